//! The built-in engine: search and evaluation on bitboards.
//!
//! [`Engine`] answers questions about a [`Game`] within [`Limits`]; [`uci`] speaks the protocol.

mod board;
mod eval;
mod features;
mod history;
mod key_table;
mod moves;
mod pawns;
mod picker;
mod score;
mod search;
mod table;
pub mod tuning;
pub mod uci;
mod weights;

use std::fmt;
use std::sync::LazyLock;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering::Relaxed};
use std::thread::Scope;
use std::time::{Duration, Instant};

use shakmaty::uci::UciMove;
use shakmaty::{Chess, Position};

use crate::PositionError;
use crate::key::position_of;
use board::Board;
use history::History;
use moves::{Move, legal};
use pawns::PawnTable;
use score::{KNOWN_WIN, MATE, MATE_BOUND, MAX_PLY, S, s};
use search::{RootLine, Searcher, Shared};
use table::{Table, TooLarge};

/// What the engine calls itself: its version, and a mark that changes with everything that decides
/// its answers, so that what one build found is never taken for the answer of another.
pub fn identity() -> &'static str {
    static IDENTITY: LazyLock<String> = LazyLock::new(|| {
        let version = env!("CARGO_PKG_VERSION");
        format!("linewright built-in {version}+{:08x}", mark(&DECIDING))
    });
    &IDENTITY
}

/// The sources that decide what the engine answers.
const DECIDING: [&[u8]; 12] = [
    include_bytes!("board.rs"),
    include_bytes!("eval.rs"),
    include_bytes!("features.rs"),
    include_bytes!("history.rs"),
    include_bytes!("key_table.rs"),
    include_bytes!("mod.rs"),
    include_bytes!("moves.rs"),
    include_bytes!("pawns.rs"),
    include_bytes!("picker.rs"),
    include_bytes!("score.rs"),
    include_bytes!("search.rs"),
    include_bytes!("table.rs"),
];

/// A short sum over the sources and the weights.
///
/// Source: FNV-1a (Fowler, Noll, Vo 1991), folded to 32 bits.
fn mark(sources: &[&[u8]]) -> u32 {
    let fed = |sum: u64, byte: &u8| (sum ^ u64::from(*byte)).wrapping_mul(0x0100_0000_01b3);
    let mut sum = 0xcbf2_9ce4_8422_2325;
    for source in sources {
        sum = source.iter().fold(sum, fed);
    }
    let (weights, dangers) = tuning::in_force();
    for (middle, end) in weights {
        sum = [middle, end]
            .iter()
            .flat_map(|n| n.to_le_bytes())
            .fold(sum, |s, b| fed(s, &b));
    }
    for danger in dangers {
        sum = danger.to_le_bytes().iter().fold(sum, fed);
    }
    (sum ^ sum >> 32) as u32
}

/// Why a question could not be answered.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum EngineError {
    /// The FEN is no position, or an impossible one.
    Position(PositionError),
    /// A move of the game or of the moves to look at is not legal there.
    Move {
        /// The move as it was given.
        uci: String,
        /// The position it was to be played in.
        fen: String,
    },
    /// A limit that makes no sense.
    Limit(String),
    /// A hash table larger than the memory that is free.
    Hash {
        /// What was asked for.
        asked_mb: usize,
        /// The most that may be asked for: three quarters of the memory that is free.
        most_mb: usize,
    },
}

impl fmt::Display for EngineError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            EngineError::Position(error) => error.fmt(f),
            EngineError::Move { uci, fen } => {
                write!(f, "'{uci}' is not a legal move in '{fen}'")
            }
            EngineError::Limit(reason) => f.write_str(reason),
            EngineError::Hash { asked_mb, most_mb } if asked_mb > most_mb => write!(
                f,
                "a hash table of {asked_mb} MB does not fit: it may have {most_mb} MB, three \
                 quarters of the memory that is free"
            ),
            EngineError::Hash { asked_mb, .. } => write!(
                f,
                "a hash table of {asked_mb} MB does not fit: the system does not give the memory"
            ),
        }
    }
}

impl std::error::Error for EngineError {}

impl From<PositionError> for EngineError {
    fn from(error: PositionError) -> Self {
        EngineError::Position(error)
    }
}

impl From<TooLarge> for EngineError {
    fn from(TooLarge { asked_mb, most_mb }: TooLarge) -> Self {
        EngineError::Hash { asked_mb, most_mb }
    }
}

/// A position with the moves that led to it, which decide about repetitions.
#[derive(Clone)]
pub struct Game {
    position: Chess,
    board: Board,
    keys: Vec<u64>,
}

impl Game {
    /// The game that begins at `fen` and goes on with `moves` in the notation of UCI.
    ///
    /// # Errors
    /// [`EngineError::Position`] for an impossible position, [`EngineError::Move`] for an illegal
    /// move.
    pub fn new<M: AsRef<str>>(fen: &str, moves: &[M]) -> Result<Game, EngineError> {
        let position = position_of(fen)?;
        let mut game = Game {
            board: Board::of(&position),
            position,
            keys: Vec::new(),
        };
        for played in moves {
            game.play(played.as_ref())?;
        }
        Ok(game)
    }

    /// Plays one more move.
    ///
    /// # Errors
    /// [`EngineError::Move`] if it is not legal.
    pub fn play(&mut self, uci: &str) -> Result<(), EngineError> {
        let played = self.read(uci)?;
        self.keys.push(self.board.key);
        self.position.play_unchecked(played);
        self.board = Board::of(&self.position);
        if self.board.quiet_plies == 0 {
            self.keys.clear();
        }
        Ok(())
    }

    /// The position reached.
    #[must_use]
    pub fn position(&self) -> &Chess {
        &self.position
    }

    /// Whether this position stands on the board for the third time.
    #[must_use]
    pub fn repeated(&self) -> bool {
        self.keys
            .iter()
            .filter(|&&key| key == self.board.key)
            .count()
            >= 2
    }

    fn read(&self, uci: &str) -> Result<shakmaty::Move, EngineError> {
        uci.parse::<UciMove>()
            .ok()
            .and_then(|parsed| parsed.to_move(&self.position).ok())
            .ok_or_else(|| EngineError::Move {
                uci: shortened(uci),
                fen: fen_of(&self.position),
            })
    }

    fn engine_moves<M: AsRef<str>>(&self, moves: &[M]) -> Result<Vec<Move>, EngineError> {
        moves
            .iter()
            .map(|uci| self.engine_move(uci.as_ref()))
            .collect()
    }

    fn engine_move(&self, uci: &str) -> Result<Move, EngineError> {
        let wanted = self.read(uci)?;
        let text = UciMove::from_standard(wanted).to_string();
        let other = UciMove::from_chess960(wanted).to_string();
        legal(&self.board)
            .iter()
            .map(|ranked| ranked.played())
            .find(|played| played.uci() == text || played.uci() == other)
            .ok_or_else(|| EngineError::Move {
                uci: shortened(uci),
                fen: fen_of(&self.position),
            })
    }
}

fn fen_of(position: &Chess) -> String {
    shakmaty::fen::Fen::from_position(position, shakmaty::EnPassantMode::Legal).to_string()
}

fn shortened(text: &str) -> String {
    if text.chars().count() <= 40 {
        return text.to_owned();
    }
    text.chars().take(40).chain(['…']).collect()
}

/// What ends a search; whichever comes first.
#[derive(Debug, Clone, Default)]
pub struct Limits {
    /// Nodes.
    pub nodes: Option<u64>,
    /// Depth in plies.
    pub depth: Option<u32>,
    /// Time.
    pub time: Option<Duration>,
    /// No new iteration begins after this time.
    pub soft_time: Option<Duration>,
}

impl Limits {
    fn checked(&self) -> Result<(), EngineError> {
        let wrong = |text: &str| Err(EngineError::Limit(text.to_owned()));
        match self {
            Limits { nodes: Some(0), .. } => wrong("a limit of 0 nodes leaves nothing to search"),
            Limits { depth: Some(0), .. } => wrong("a depth of 0 leaves nothing to search"),
            Limits {
                time: Some(Duration::ZERO),
                ..
            } => wrong("a time of 0 leaves nothing to search"),
            _ => Ok(()),
        }
    }
}

/// A score as the side to move sees it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Score {
    /// Hundredths of a pawn.
    Centipawns(i32),
    /// Mate in so many moves; negative when getting mated, 0 when mated already.
    Mate(i32),
}

impl Score {
    fn of(score: i32) -> Score {
        if score >= MATE_BOUND {
            Score::Mate((MATE - score + 1) / 2)
        } else if score <= -MATE_BOUND {
            Score::Mate(-(MATE + score) / 2)
        } else {
            Score::Centipawns(score)
        }
    }
}

/// One of the best lines.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Line {
    /// As the side to move sees it.
    pub score: Score,
    /// Depth of the search that found it.
    pub depth: u32,
    /// Deepest ply looked at.
    pub reached: u32,
    /// The moves in the notation of UCI.
    pub moves: Vec<String>,
}

/// What a search found, or has found so far.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Answer {
    /// Best lines first; empty if there is no legal move.
    pub lines: Vec<Line>,
    /// Depth finished or begun.
    pub depth: u32,
    /// Nodes of all threads.
    pub nodes: u64,
    /// Time taken.
    pub time: Duration,
    /// Share of the hash table in use, in thousandths.
    pub filled: usize,
}

/// The engine with its memory.
pub struct Engine {
    table: Table,
    workers: Vec<(History, PawnTable)>,
}

impl Engine {
    /// An engine with a hash table of `hash_mb` megabytes and `threads` threads.
    ///
    /// # Errors
    /// [`EngineError::Hash`] if the table does not fit, [`EngineError::Limit`] for no table, no
    /// thread or more than 64.
    pub fn new(hash_mb: usize, threads: usize) -> Result<Engine, EngineError> {
        if hash_mb == 0 {
            return Err(EngineError::Limit(
                "a hash table of 0 MB holds nothing".to_owned(),
            ));
        }
        if !(1..=64).contains(&threads) {
            let text = format!("{threads} threads cannot be had, 1 to 64 can");
            return Err(EngineError::Limit(text));
        }
        let table = Table::new(hash_mb)?;
        let workers = (0..threads).map(|_| Default::default()).collect();
        Ok(Engine { table, workers })
    }

    /// Forgets everything, so that the next answer depends on nothing asked before.
    pub fn clear(&mut self) {
        self.table.clear();
        for (history, pawns) in &mut self.workers {
            *history = History::new();
            pawns.clear();
        }
    }

    /// The best `wanted` lines of a game's last position; `only` restricts the first moves.
    ///
    /// `report` hears of every finished line and may end the search by returning false; `stop`
    /// ends it from another thread within milliseconds. One thread, a node or depth limit and
    /// a cleared engine always give the same answer.
    ///
    /// # Errors
    /// [`EngineError::Limit`] for limits of nothing, [`EngineError::Move`] if `only` holds an
    /// illegal move.
    pub fn analyse<M: AsRef<str>>(
        &mut self,
        game: &Game,
        limits: &Limits,
        wanted: usize,
        only: &[M],
        stop: &AtomicBool,
        mut report: impl FnMut(&Answer, usize) -> bool,
    ) -> Result<Answer, EngineError> {
        limits.checked()?;
        if wanted == 0 {
            return Err(EngineError::Limit("0 lines were asked for".to_owned()));
        }
        let only = game.engine_moves(only)?;
        let began = Instant::now();
        if legal(&game.board).is_empty() {
            return Ok(finished(game, began));
        }
        self.table.grow_older();
        let threads = self.workers.len() as u64;
        let shared = shared(&self.table, stop, limits, threads, began);
        let soft = limits.soft_time;
        let depth = limits.depth.unwrap_or(MAX_PLY as u32 - 1);
        let Some((main, others)) = self.workers.split_first_mut() else {
            return Ok(finished(game, began));
        };
        let lines = std::thread::scope(|scope| {
            help(scope, others, &shared, game, wanted, &only);
            let mut searcher = Searcher::new(&shared, &mut main.0, &mut main.1, &game.keys, &only);
            let lines = searcher.deepen(&game.board, depth, wanted, 1, |lines, index, nodes| {
                let answer = told(lines, nodes, &shared);
                let go_on = report(&answer, index);
                let last = index + 1 == wanted.min(lines.len());
                go_on && !(last && soft.is_some_and(|soft| began.elapsed() >= soft))
            });
            shared.over.store(true, Relaxed);
            lines
        });
        Ok(told(&lines, shared.nodes.load(Relaxed), &shared))
    }

    /// The evaluation of a position without any search, as the side to move sees it.
    #[must_use]
    pub fn evaluate(game: &Game) -> i32 {
        eval::evaluate(&game.board, &mut PawnTable::new())
    }
}

/// What the threads of a search share, the nodes dealt out evenly.
fn shared<'a>(
    table: &'a Table,
    stop: &'a AtomicBool,
    limits: &Limits,
    threads: u64,
    began: Instant,
) -> Shared<'a> {
    Shared {
        table,
        stop,
        over: AtomicBool::new(false),
        nodes: AtomicU64::new(0),
        began,
        deadline: limits.time.and_then(|time| began.checked_add(time)),
        node_limit: limits
            .nodes
            .map_or(u64::MAX, |nodes| nodes.div_ceil(threads)),
    }
}

/// Starts the threads that search beside the main one, until that is done.
fn help<'scope>(
    scope: &'scope Scope<'scope, '_>,
    workers: &'scope mut [(History, PawnTable)],
    shared: &'scope Shared<'scope>,
    game: &'scope Game,
    wanted: usize,
    only: &'scope [Move],
) {
    for (index, (history, pawns)) in workers.iter_mut().enumerate() {
        let run = move || {
            let mut searcher = Searcher::new(shared, history, pawns, &game.keys, only);
            let first = 1 + (index as u32 + 1) % 2;
            searcher.deepen(&game.board, MAX_PLY as u32, wanted, first, |_, _, _| true);
        };
        // Without the thread the answer is the same, only later.
        let _ = std::thread::Builder::new()
            .stack_size(STACK_BYTES)
            .spawn_scoped(scope, run);
    }
}

/// Room for the deepest search on a thread of its own.
pub const STACK_BYTES: usize = 16 << 20;

fn told(lines: &[RootLine], nodes: u64, shared: &Shared<'_>) -> Answer {
    let line = |line: &RootLine| Line {
        score: Score::of(line.score),
        depth: line.depth,
        reached: line.reached,
        moves: line.moves.iter().map(|played| played.uci()).collect(),
    };
    Answer {
        depth: lines.iter().map(|line| line.depth).max().unwrap_or(0),
        lines: lines.iter().map(line).collect(),
        nodes,
        time: shared.began.elapsed(),
        filled: shared.table.filled(),
    }
}

/// The answer where the game is over: no lines.
fn finished(_game: &Game, began: Instant) -> Answer {
    Answer {
        lines: Vec::new(),
        depth: 0,
        nodes: 0,
        time: began.elapsed(),
        filled: 0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_identity_changes_with_every_source_that_decides() {
        assert_ne!(mark(&DECIDING), mark(&DECIDING[1..]));
        let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/src/engine");
        let other = ["tuning.rs", "uci.rs", "weights.rs"];
        for file in std::fs::read_dir(folder).unwrap() {
            let path = file.unwrap().path();
            let name = path.file_name().unwrap().to_str().unwrap().to_owned();
            let text = std::fs::read(&path).unwrap();
            let counted = DECIDING.contains(&text.as_slice());
            assert!(counted != other.contains(&name.as_str()), "{name}");
        }
        assert!(identity().starts_with("linewright built-in "));
    }
}
