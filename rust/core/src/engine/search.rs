//! The search: iterative deepening over a principal-variation search with a quiescence search at
//! its ends.
//!
//! Source: common practice of the trade (principal variation search, null move, late move
//! reductions, futility, singular extensions, history); margins are this project's own.

use std::sync::LazyLock;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering::Relaxed};
use std::time::Instant;

use arrayvec::ArrayVec;

use super::board::{Board, PAWN, pawn_attacks};
use super::eval::{UNSURE, evaluate, rough};
use super::history::{History, Past, SPECIAL_RANK, bonus, row};
use super::moves::{Checks, Legality, Move, Ranked, exchange_wins, legal, possible};
use super::pawns::PawnTable;
use super::picker::{Picker, victim_worth};
use super::score::{INFINITE, KNOWN_WIN, MATE, MATE_BOUND, MAX_PLY};
use super::table::{Bound, Found, Table};

/// Nodes between two looks at the clock and the stop flag.
const CHECK_EVERY: u64 = 512;

/// Nodes the first iteration may take whatever the limit, so that something is found; an ordinary
/// position takes some hundreds. With many queens on the board it would take millions.
const FIRST_NODES: u64 = 8192;

/// Centipawns a ply by which a position must be ahead to count as won near the leaves.
const AHEAD: i32 = 75;

/// Lines shorter than this many moves of both sides are carried on from the table.
const LENGTHENED: u32 = 8;

/// What all threads of one search share.
pub struct Shared<'a> {
    /// The transposition table.
    pub table: &'a Table,
    /// Set from outside to end the search.
    pub stop: &'a AtomicBool,
    /// Set when the main thread is done.
    pub over: AtomicBool,
    /// Nodes of all threads, as last told.
    pub nodes: AtomicU64,
    /// When the search began.
    pub began: Instant,
    /// When it must end.
    pub deadline: Option<Instant>,
    /// Nodes each thread may search.
    pub node_limit: u64,
}

/// One line found at the root.
#[derive(Clone, Debug)]
pub struct RootLine {
    /// Score as the side to move sees it.
    pub score: i32,
    /// Depth of the iteration that found it.
    pub depth: u32,
    /// Deepest ply reached.
    pub reached: u32,
    /// The moves.
    pub moves: Vec<Move>,
}

#[derive(Clone, Copy, Default)]
struct Frame {
    row: Option<u16>,
    eval: i32,
    excluded: Move,
}

/// What is known of a node before its moves are tried.
#[derive(Clone, Copy)]
struct Spot<'b> {
    board: &'b Board,
    depth: i32,
    ply: usize,
    cut: bool,
    in_check: bool,
    improving: bool,
    /// On a principal variation now or once.
    principal: bool,
    eval: i32,
    found: Option<Found>,
    remembered: Move,
}

/// A move about to be tried.
struct Attempt {
    played: Move,
    /// Number of moves tried with this one.
    tried: i32,
    /// How the quiet move has fared.
    record: i32,
    checks: bool,
    /// A capture that loses material.
    losing: bool,
    /// Remembered, a killer or the usual reply.
    special: bool,
}

/// What the moves of a node tried so far have come to.
struct SoFar {
    best: i32,
    best_move: Move,
    tried: i32,
    skip_quiets: bool,
    /// Moves that did not refute the one before.
    quiets: ArrayVec<Move, 64>,
    captures: ArrayVec<Move, 32>,
    /// The lower end of the window before any was tried.
    old_alpha: i32,
}

impl SoFar {
    fn new(alpha: i32) -> SoFar {
        SoFar {
            best: -INFINITE,
            best_move: Move::NONE,
            tried: 0,
            skip_quiets: false,
            quiets: ArrayVec::new(),
            captures: ArrayVec::new(),
            old_alpha: alpha,
        }
    }

    /// Takes down a move that refuted nothing; more than fit are not worth remembering.
    #[inline]
    fn note(&mut self, played: Move) {
        let _ = if played.is_quiet() {
            self.quiets.try_push(played)
        } else {
            self.captures.try_push(played)
        };
    }
}

/// A position in which only what is forcing is tried.
struct Calm<'b> {
    board: &'b Board,
    ply: usize,
    /// Plies since the search proper ended.
    below: i32,
    in_check: bool,
    remembered: Move,
    /// What a capture may add to.
    hope: i32,
    /// Its evaluation.
    eval: i32,
}

impl Calm<'_> {
    /// The most a move can come to, if that makes it not worth trying.
    #[inline]
    fn passed_over(&self, played: Move, tried: i32, best: i32, alpha: i32) -> Option<i32> {
        let board = self.board;
        if self.in_check {
            let late = tried > 3 && best > -MATE_BOUND && played.is_quiet();
            return late.then_some(-INFINITE);
        }
        if played.captures() && !played.promotes() {
            let most = self.hope + victim_worth(board, played);
            if most <= alpha {
                return Some(most);
            }
        }
        let sound = played.is_quiet()
            || played == self.remembered
            || exchange_wins(board, played, 0)
            || (self.below == 0 && Checks::of(board).given_by(board, played));
        (!sound).then_some(-INFINITE)
    }
}

/// What need not be tried near the leaves.
enum Hopeless {
    No,
    Move,
    Quiets,
    /// Quiet moves after this one.
    QuietsAfter,
}

/// One thread's search.
pub struct Searcher<'a> {
    shared: &'a Shared<'a>,
    history: &'a mut History,
    pawns: &'a mut PawnTable,
    frames: Vec<Frame>,
    lines: Vec<ArrayVec<Move, MAX_PLY>>,
    /// Keys of the game up to the root, then of the path.
    keys: Vec<u64>,
    root_keys: usize,
    nodes: u64,
    told: u64,
    next_check: u64,
    stopped: bool,
    /// Told to stop before anything was found: nothing forcing is tried any more.
    hurried: bool,
    reached: usize,
    root_depth: i32,
    /// Root moves not to be searched now.
    skipped: Vec<Move>,
    /// Root moves to be searched; all if empty.
    only: Vec<Move>,
    reductions: &'static [[u8; 64]; 64],
}

static REDUCTIONS: LazyLock<[[u8; 64]; 64]> = LazyLock::new(|| {
    let mut table = [[0; 64]; 64];
    for (depth, row) in table.iter_mut().enumerate().skip(1) {
        for (tried, cell) in row.iter_mut().enumerate().skip(1) {
            *cell = (0.4 + (depth as f64).ln() * (tried as f64).ln() / 2.4) as u8;
        }
    }
    table
});

impl<'a> Searcher<'a> {
    /// A search of a game whose earlier positions had `keys`.
    pub fn new(
        shared: &'a Shared<'a>,
        history: &'a mut History,
        pawns: &'a mut PawnTable,
        keys: &[u64],
        only: &[Move],
    ) -> Searcher<'a> {
        let mut all = Vec::with_capacity(keys.len() + 2 * MAX_PLY);
        all.extend_from_slice(keys);
        Searcher {
            shared,
            history,
            pawns,
            frames: vec![Frame::default(); MAX_PLY + 8],
            lines: vec![ArrayVec::new(); MAX_PLY + 8],
            keys: all,
            root_keys: keys.len(),
            nodes: 0,
            told: 0,
            next_check: CHECK_EVERY.min(shared.node_limit),
            stopped: false,
            hurried: false,
            reached: 0,
            root_depth: 0,
            skipped: Vec::new(),
            only: only.to_vec(),
            reductions: &REDUCTIONS,
        }
    }

    /// Deepens until a limit is met; `report` is told every finished line.
    ///
    /// Returns the best lines of the last iteration that got as far as a first move.
    pub fn deepen(
        &mut self,
        board: &Board,
        max_depth: u32,
        wanted: usize,
        first_depth: u32,
        mut report: impl FnMut(&[RootLine], usize, u64) -> bool,
    ) -> Vec<RootLine> {
        let choices = if self.only.is_empty() {
            legal(board).len()
        } else {
            self.only.len()
        };
        let wanted = wanted.min(choices);
        let mut best: Vec<RootLine> = Vec::new();
        for depth in first_depth..=max_depth.min(MAX_PLY as u32 - 1) {
            let mut found = self.iterate(board, depth, wanted, &best, &mut report);
            let rest = left_over(&best, &found);
            found.extend(rest);
            found.truncate(wanted);
            found.sort_by_key(|line| -line.score);
            if !found.is_empty() {
                best = found;
            }
            if self.stopped || self.hurried {
                break;
            }
        }
        self.tell_nodes();
        for line in &mut best {
            self.lengthen(board, line);
        }
        best
    }

    /// The lines of one iteration, as far as it got; `before` are those of the last.
    fn iterate(
        &mut self,
        board: &Board,
        depth: u32,
        wanted: usize,
        before: &[RootLine],
        report: &mut impl FnMut(&[RootLine], usize, u64) -> bool,
    ) -> Vec<RootLine> {
        let mut found: Vec<RootLine> = Vec::new();
        for index in 0..wanted {
            self.skipped = found.iter().map(|line| line.moves[0]).collect();
            self.reached = 0;
            let guess = before.get(index).map(|line| line.score);
            let Some(line) = self.root(board, depth as i32, guess) else {
                break;
            };
            found.push(line);
            if self.stopped {
                break;
            }
            let mut merged = found.clone();
            merged.extend(left_over(before, &found));
            if !report(&merged, index, self.all_nodes()) {
                self.stopped = true;
            }
        }
        found
    }

    /// Carries a line on by what the table remembers: a search that ran out of nodes at its end
    /// has the first move and no reply.
    fn lengthen(&self, root: &Board, line: &mut RootLine) {
        let mut board = line
            .moves
            .iter()
            .fold(*root, |board, &played| board.after(played));
        let mut seen = vec![root.key, board.key];
        while line.moves.len() < line.depth.min(LENGTHENED) as usize {
            let remembered = self.shared.table.find(board.key, 0).map(|found| found.best);
            let Some(played) = remembered.filter(|&played| {
                possible(&board, played) && Legality::of(&board).allows(&board, played)
            }) else {
                return;
            };
            board = board.after(played);
            if seen.contains(&board.key) {
                return;
            }
            seen.push(board.key);
            line.moves.push(played);
        }
    }

    /// Nodes of all threads.
    pub fn all_nodes(&self) -> u64 {
        self.shared.nodes.load(Relaxed) + self.nodes - self.told
    }

    /// The best line of the root: searched within a window around `guess` first, a wider one each
    /// time the score falls outside.
    fn root(&mut self, board: &Board, depth: i32, guess: Option<i32>) -> Option<RootLine> {
        self.root_depth = depth;
        let mut window = 12;
        let (mut alpha, mut beta) = match guess {
            Some(score) if depth >= 5 && score.abs() < KNOWN_WIN => {
                (score - window, score + window)
            }
            _ => (-INFINITE, INFINITE),
        };
        let mut reduced = 0;
        let mut kept: Option<RootLine> = None;
        loop {
            self.lines[0].clear();
            let score = self.node::<true>(board, alpha, beta, (depth - reduced).max(1), 0, false);
            if !self.lines[0].is_empty() && (!self.stopped || score > alpha) {
                kept = Some(self.root_line(depth, score));
            }
            if self.stopped {
                return kept;
            }
            if score <= alpha {
                beta = i32::midpoint(alpha, beta);
                alpha = (score - window).max(-INFINITE);
                reduced = 0;
            } else if score >= beta {
                beta = (score + window).min(INFINITE);
                reduced = (reduced + 1).min(2);
            } else {
                return kept;
            }
            window += window / 2 + 5;
            if window > 600 {
                (alpha, beta) = (-INFINITE, INFINITE);
            }
        }
    }

    fn root_line(&self, depth: i32, score: i32) -> RootLine {
        RootLine {
            score,
            depth: depth as u32,
            reached: self.reached as u32,
            moves: self.lines[0].to_vec(),
        }
    }

    #[inline]
    fn count_node(&mut self) -> bool {
        if self.stopped {
            return true;
        }
        self.nodes += 1;
        if self.nodes >= self.next_check {
            self.look_around();
        }
        self.stopped
    }

    #[cold]
    fn look_around(&mut self) {
        self.tell_nodes();
        let shared = self.shared;
        let late = shared
            .deadline
            .is_some_and(|deadline| Instant::now() >= deadline);
        // Something must have been found before the search may end.
        let enough = self.nodes >= shared.node_limit || late;
        let stopped = shared.stop.load(Relaxed) || shared.over.load(Relaxed) || enough;
        if stopped && self.root_depth > 1 || shared.over.load(Relaxed) {
            self.stopped = true;
        }
        self.hurried = stopped && self.nodes >= FIRST_NODES;
        self.next_check = (self.nodes + CHECK_EVERY).min(shared.node_limit.max(self.nodes + 1));
    }

    fn tell_nodes(&mut self) {
        self.shared.nodes.fetch_add(self.nodes - self.told, Relaxed);
        self.told = self.nodes;
    }

    /// Has everything remembered of a position fetched.
    #[inline]
    fn expect(&self, key: u64) {
        self.shared.table.expect(key);
        self.pawns.expect(key);
    }

    /// Has what is remembered of the likeliest next positions fetched.
    #[inline]
    fn expect_next(&self, board: &Board, found: Option<Found>, may_pass: bool) {
        if let Some(found) = found {
            self.expect(board.likely_key(found.best));
        }
        if may_pass {
            self.expect(board.key_after_pass());
        }
    }

    fn past(&self, ply: usize) -> Past {
        let row = |back: usize| ply.checked_sub(back).and_then(|at| self.frames[at].row);
        self.history.past([row(1), row(2), row(4)], ply)
    }

    /// Whether the position is drawn by repetition or the fifty-move rule.
    fn drawn(&self, board: &Board) -> bool {
        if board.quiet_plies >= 100 && (!board.in_check() || !legal(board).is_empty()) {
            return true;
        }
        let here = self.keys.len();
        let reach = here.min(board.quiet_plies as usize);
        let mut seen = 0;
        for back in (4..=reach).step_by(2) {
            let at = here - back;
            if self.keys[at] == board.key {
                // Once within the search is taken for twice: the same again is no progress.
                seen += if at >= self.root_keys { 2 } else { 1 };
                if seen >= 2 {
                    return true;
                }
            }
        }
        false
    }

    /// The score of a position searched `depth` plies deep, within or beyond the window.
    ///
    /// `cut`: whether a reply is expected to refute the move that led here.
    fn node<const PV: bool>(
        &mut self,
        board: &Board,
        mut alpha: i32,
        mut beta: i32,
        depth: i32,
        ply: usize,
        cut: bool,
    ) -> i32 {
        if depth <= 0 {
            return self.quiesce::<PV>(board, alpha, beta, ply, 0);
        }
        self.lines[ply].clear();
        if ply > 0 {
            if let Some(score) = self.ended(board, ply) {
                return score;
            }
            (alpha, beta) = without_later_mates(alpha, beta, ply);
            if alpha >= beta {
                return alpha;
            }
        }
        self.reached = self.reached.max(ply);
        if !PV && let Some(score) = self.far_ahead(board, beta, depth, ply) {
            return score;
        }
        let found = self.found(board, ply);
        if !PV && let Some(score) = self.settled(board, found, beta, depth, ply) {
            return score;
        }
        self.expect_next(board, found, !PV && depth >= 3);
        let (mut spot, guess) = self.spot(board, found, depth, ply, cut, PV);
        if !PV && let Some(score) = self.prune(&spot, alpha, beta, guess) {
            return score;
        }
        let less = spot.remembered.is_none() && depth >= 5 && (PV || cut);
        spot.depth -= i32::from(less);
        self.history.forget_killers(ply + 1);
        self.try_moves::<PV>(&spot, alpha, beta)
    }

    /// What the table says of a position all of whose moves are searched.
    #[inline]
    fn found(&self, board: &Board, ply: usize) -> Option<Found> {
        match self.frames[ply].excluded {
            Move::NONE => self.shared.table.find(board.key, ply),
            _ => None,
        }
    }

    /// The score of a position far ahead near the leaves: seen without asking the table or counting
    /// anything.
    #[inline]
    fn far_ahead(&mut self, board: &Board, beta: i32, depth: i32, ply: usize) -> Option<i32> {
        let whole = self.frames[ply].excluded.is_none();
        if depth >= 3 || !whole || beta.abs() >= MATE_BOUND || board.in_check() {
            return None;
        }
        let low = rough(board, self.pawns)? - UNSURE;
        (low - AHEAD * depth >= beta).then(|| i32::midpoint(low, beta))
    }

    /// The score of a position that needs no search: drawn, too deep, or out of time.
    fn ended(&mut self, board: &Board, ply: usize) -> Option<i32> {
        if self.count_node() || self.drawn(board) {
            return Some(0);
        }
        if ply >= MAX_PLY - 1 {
            return Some(if board.in_check() {
                0
            } else {
                evaluate(board, self.pawns)
            });
        }
        None
    }

    /// The remembered score, if it decides.
    fn settled(
        &mut self,
        board: &Board,
        found: Option<Found>,
        beta: i32,
        depth: i32,
        ply: usize,
    ) -> Option<i32> {
        let found = found?;
        // Close to the fifty-move draw a remembered score may hide it.
        if found.depth < depth || board.quiet_plies >= 90 || !allows_cut(found, beta) {
            return None;
        }
        if found.score >= beta && found.best.is_quiet() && possible(board, found.best) {
            let past = self.past(ply);
            self.history
                .adjust(board, found.best, &past, bonus(depth) / 2);
        }
        Some(found.score)
    }

    /// What is known of a node before its moves are tried, and its likely score.
    fn spot<'b>(
        &mut self,
        board: &'b Board,
        found: Option<Found>,
        depth: i32,
        ply: usize,
        cut: bool,
        principal: bool,
    ) -> (Spot<'b>, i32) {
        let in_check = board.in_check();
        let eval = match found {
            _ if in_check => -INFINITE,
            Some(found) => found.eval,
            None if !self.frames[ply].excluded.is_none() => self.frames[ply].eval,
            None => evaluate(board, self.pawns),
        };
        self.frames[ply].eval = eval;
        // What the table found may say more than the evaluation.
        let guess = match found {
            Some(found) if !in_check && allows_cut(found, eval + i32::from(found.score > eval)) => {
                found.score
            }
            _ => eval,
        };
        let before = |plies: usize| ply.checked_sub(plies).map(|at| self.frames[at].eval);
        let improving = !in_check && before(2).is_some_and(|then| then == -INFINITE || eval > then);
        let spot = Spot {
            board,
            depth,
            ply,
            cut,
            in_check,
            improving,
            principal: principal || found.is_some_and(|found| found.principal),
            eval,
            found,
            remembered: found.map_or(Move::NONE, |found| found.best),
        };
        (spot, guess)
    }

    /// Tries the moves of a node, likeliest first, until one refutes the move that led here.
    fn try_moves<const PV: bool>(&mut self, spot: &Spot<'_>, mut alpha: i32, beta: i32) -> i32 {
        let Spot { board, ply, .. } = *spot;
        let (checks, past) = (Checks::of(board), self.past(ply));
        let mut picker = Picker::all(board, spot.remembered);
        let mut so_far = SoFar::new(alpha);
        while let Some(ranked) = picker.next(board, self.history, &past, so_far.skip_quiets) {
            let played = ranked.played();
            if self.set_aside(ply, played) {
                continue;
            }
            so_far.tried += 1;
            self.expect(board.likely_key(played));
            let attempt = Attempt {
                played,
                tried: so_far.tried,
                record: self.record(board, ranked, &past),
                checks: checks.given_by(board, played),
                losing: picker.is_losing(),
                special: ranked.rank() >= SPECIAL_RANK,
            };
            if self.left_out::<PV>(spot, &attempt, &mut so_far, alpha) {
                continue;
            }
            let score = match self.extension::<PV>(spot, &attempt, beta) {
                Ok(extension) => self.descend::<PV>(spot, &attempt, extension, alpha, beta),
                Err(score) => return score,
            };
            if self.stopped {
                return if ply == 0 { so_far.best } else { 0 };
            }
            if self.improved::<PV>(ply, played, score, alpha, &mut so_far) {
                alpha = score;
            }
            if score >= beta {
                break;
            }
            so_far.note(played);
        }
        self.conclude::<PV>(spot, &so_far, &past, alpha, beta)
    }

    /// How a quiet move has fared, as far as that is known already.
    #[inline]
    fn record(&self, board: &Board, ranked: Ranked, past: &Past) -> i32 {
        match ranked.rank() {
            _ if !ranked.played().is_quiet() => 0,
            SPECIAL_RANK.. => self.history.record(board, ranked.played(), past),
            record => record,
        }
    }

    /// Whether a move is not tried at all; takes down if no quiet move is from here on.
    #[inline]
    fn left_out<const PV: bool>(
        &self,
        spot: &Spot<'_>,
        attempt: &Attempt,
        so_far: &mut SoFar,
        alpha: i32,
    ) -> bool {
        let Spot { board, ply, .. } = *spot;
        if ply == 0 || so_far.best <= -MATE_BOUND || !board.has_pieces(board.turn) {
            return false;
        }
        let hopeless = self.hopeless::<PV>(spot, attempt, alpha);
        so_far.skip_quiets |= matches!(hopeless, Hopeless::Quiets | Hopeless::QuietsAfter);
        matches!(hopeless, Hopeless::Quiets | Hopeless::Move)
    }

    /// Takes down the score of a move; whether it raises `alpha`.
    #[inline]
    fn improved<const PV: bool>(
        &mut self,
        ply: usize,
        played: Move,
        score: i32,
        alpha: i32,
        so_far: &mut SoFar,
    ) -> bool {
        so_far.best = so_far.best.max(score);
        if score <= alpha {
            return false;
        }
        so_far.best_move = played;
        if PV {
            self.extend_line(ply, played);
        }
        true
    }

    /// The score of a node whose moves have been tried, with what is to be learnt from them.
    fn conclude<const PV: bool>(
        &mut self,
        spot: &Spot<'_>,
        so_far: &SoFar,
        past: &Past,
        alpha: i32,
        beta: i32,
    ) -> i32 {
        let ply = spot.ply;
        let whole = self.frames[ply].excluded.is_none();
        if so_far.tried == 0 {
            return match (whole, spot.in_check) {
                (false, _) => alpha,
                (true, true) => ply as i32 - MATE,
                (true, false) => 0,
            };
        }
        let best = match so_far.best {
            // Everything was pruned.
            score if score == -INFINITE => alpha,
            score => score,
        };
        if best >= beta {
            self.learn(spot, so_far, past);
        }
        if whole && !self.hurried && (ply > 0 || (self.skipped.is_empty() && self.only.is_empty()))
        {
            let bound = Bound::of(best, beta, PV && best > so_far.old_alpha);
            self.remember(spot, best, so_far.best_move, bound);
        }
        best
    }

    /// Writes into the table what the moves of a node have come to.
    fn remember(&self, spot: &Spot<'_>, score: i32, best: Move, bound: Bound) {
        let entry = Found {
            best,
            score,
            eval: spot.eval,
            depth: spot.depth,
            bound,
            principal: spot.principal,
        };
        self.shared.table.store(spot.board.key, spot.ply, entry);
    }

    /// Whether a move, or all quiet moves from here on, need not be tried near the leaves.
    fn hopeless<const PV: bool>(&self, spot: &Spot<'_>, attempt: &Attempt, alpha: i32) -> Hopeless {
        let Spot { board, depth, .. } = *spot;
        let Attempt {
            played,
            tried,
            record,
            checks,
            losing,
            ..
        } = *attempt;
        let left = (depth - self.reduction(depth, tried)).max(0);
        if !played.is_quiet() {
            let lost = left <= 6 && losing && !checks && !exchange_wins(board, played, -95 * depth);
            return if lost { Hopeless::Move } else { Hopeless::No };
        }
        let enough = (3 + depth * depth) / if spot.improving { 1 } else { 2 };
        let late = !PV && tried > enough;
        let futile = !spot.in_check
            && !checks
            && left <= 5
            && spot.eval + 90 + 95 * left + record / 64 <= alpha;
        if futile && tried > 1 {
            return Hopeless::Quiets;
        }
        let unsuccessful = left <= 4 && record < -3500 * (left + 1);
        let loses = |bar: i32| left <= 7 && !exchange_wins(board, played, bar);
        if (unsuccessful && !checks) || loses(-22 * left * left - 20) {
            return if late || futile {
                Hopeless::Quiets
            } else {
                Hopeless::Move
            };
        }
        if late || futile {
            Hopeless::QuietsAfter
        } else {
            Hopeless::No
        }
    }

    /// How much deeper than usual a move is searched; `Err` is a score that decides the node.
    fn extension<const PV: bool>(
        &mut self,
        spot: &Spot<'_>,
        attempt: &Attempt,
        beta: i32,
    ) -> Result<i32, i32> {
        let Spot { depth, ply, .. } = *spot;
        if ply >= 2 * self.root_depth as usize {
            return Ok(0);
        }
        let extension = match spot.found {
            Some(found) if self.may_be_alone(spot, attempt, found) => {
                self.alone::<PV>(spot, found, beta)?
            }
            _ => 0,
        };
        let forcing = attempt.checks && (PV || depth <= 8);
        if extension == 0 && forcing && exchange_wins(spot.board, attempt.played, 0) {
            return Ok(1);
        }
        Ok(extension)
    }

    /// Whether it is worth finding out if a move is the only good one.
    #[inline]
    fn may_be_alone(&self, spot: &Spot<'_>, attempt: &Attempt, found: Found) -> bool {
        spot.ply > 0
            && attempt.played == spot.remembered
            && spot.depth >= 7
            && self.frames[spot.ply].excluded.is_none()
            && found.depth >= spot.depth - 3
            && matches!(found.bound, Bound::AtLeast | Bound::Exact)
            && found.score.abs() < MATE_BOUND
    }

    /// How much deeper the remembered move is searched; `Err` is a score that decides the node.
    ///
    /// Without it the position is searched again, less deep: if nothing comes close, the move is
    /// the only one and deserves care.
    fn alone<const PV: bool>(
        &mut self,
        spot: &Spot<'_>,
        found: Found,
        beta: i32,
    ) -> Result<i32, i32> {
        let Spot { depth, ply, .. } = *spot;
        let bar = found.score - 2 * depth;
        self.frames[ply].excluded = spot.remembered;
        let other = self.node::<false>(spot.board, bar - 1, bar, (depth - 1) / 2, ply, spot.cut);
        self.frames[ply].excluded = Move::NONE;
        self.lines[ply].clear();
        match other {
            _ if self.stopped => Err(0),
            _ if other < bar => Ok(if !PV && other < bar - 20 { 2 } else { 1 }),
            _ if bar >= beta => Err(bar),
            _ if found.score >= beta => Ok(-1),
            _ => Ok(0),
        }
    }

    /// The score of a move: later moves reduced and with a closed window first.
    fn descend<const PV: bool>(
        &mut self,
        spot: &Spot<'_>,
        attempt: &Attempt,
        extension: i32,
        alpha: i32,
        beta: i32,
    ) -> i32 {
        let Spot {
            board,
            depth,
            ply,
            cut,
            ..
        } = *spot;
        let Attempt { played, tried, .. } = *attempt;
        let mut next = *board;
        next.play(played);
        self.frames[ply].row = Some(row(board, played));
        self.keys.push(board.key);
        let full = depth - 1 + extension;
        let reducible = played.is_quiet() || attempt.losing || !spot.principal;
        let mut score = alpha + 1;
        if tried > 1 + i32::from(PV) && depth >= 3 && reducible {
            let reduction = self.reduction_of(spot, attempt);
            let reduced = (full - reduction).clamp(1.min(full), full.max(1));
            score = -self.node::<false>(&next, -alpha - 1, -alpha, reduced, ply + 1, true);
            if score > alpha && reduced < full {
                score = -self.node::<false>(&next, -alpha - 1, -alpha, full, ply + 1, !cut);
            }
        } else if !PV || tried > 1 {
            score = -self.node::<false>(&next, -alpha - 1, -alpha, full, ply + 1, !cut);
        }
        if PV && (tried == 1 || score > alpha) {
            score = -self.node::<true>(&next, -beta, -alpha, full, ply + 1, false);
        }
        self.keys.pop();
        score
    }

    /// By how many plies a late move is reduced.
    fn reduction_of(&self, spot: &Spot<'_>, attempt: &Attempt) -> i32 {
        let Attempt {
            played,
            tried,
            record,
            checks,
            losing,
            special,
        } = *attempt;
        let mut reduction = self.reduction(spot.depth, tried);
        reduction += i32::from(spot.cut) + i32::from(!spot.improving) - i32::from(spot.principal);
        if played.is_quiet() {
            reduction -= (record / 7000).clamp(-2, 3) + i32::from(special);
            reduction += i32::from(!spot.remembered.is_none() && !spot.remembered.is_quiet());
        } else {
            reduction = reduction / 2 - i32::from(!losing);
        }
        reduction
            - i32::from(checks)
            - i32::from(spot.ply == 0)
            - i32::from(is_lever(spot.board, played))
    }

    /// Takes down what refuted the move before, and what did not.
    fn learn(&mut self, spot: &Spot<'_>, so_far: &SoFar, past: &Past) {
        let Spot { board, depth, .. } = *spot;
        let best = so_far.best_move;
        if best.is_quiet() {
            self.history
                .reward(board, best, &so_far.quiets, past, depth);
        } else {
            self.history.adjust_capture(board, best, bonus(depth));
        }
        for &played in &so_far.captures {
            self.history.adjust_capture(board, played, -bonus(depth));
        }
    }

    fn reduction(&self, depth: i32, tried: i32) -> i32 {
        i32::from(self.reductions[depth.clamp(0, 63) as usize][tried.clamp(0, 63) as usize])
    }

    /// Whether a move is not to be searched now.
    #[inline]
    fn set_aside(&self, ply: usize, played: Move) -> bool {
        played == self.frames[ply].excluded
            || (ply == 0
                && (self.skipped.contains(&played)
                    || (!self.only.is_empty() && !self.only.contains(&played))))
    }

    fn extend_line(&mut self, ply: usize, played: Move) {
        let (upper, lower) = self.lines.split_at_mut(ply + 1);
        let line = &mut upper[ply];
        line.clear();
        line.push(played);
        for &reply in &lower[0] {
            let _ = line.try_push(reply);
        }
    }

    /// What can be said of a node without trying its moves one by one.
    fn prune(&mut self, spot: &Spot<'_>, alpha: i32, beta: i32, guess: i32) -> Option<i32> {
        let Spot {
            board,
            depth,
            ply,
            improving,
            ..
        } = *spot;
        if spot.in_check || !self.frames[ply].excluded.is_none() || beta.abs() >= MATE_BOUND {
            return None;
        }
        let passed = ply > 0 && self.frames[ply - 1].row.is_none();
        let margin = AHEAD * (depth - i32::from(improving));
        if depth <= 8 && guess - margin >= beta && guess < KNOWN_WIN {
            // A quiet threat of mate does not show in the evaluation, but after a pass.
            if depth < 3 || passed || self.after_pass_holds(board, beta, ply) {
                return Some(i32::midpoint(guess, beta));
            }
            if self.stopped {
                return Some(0);
            }
        }
        if depth <= 2 && guess + 250 + 220 * depth * depth <= alpha {
            let score = self.quiesce::<false>(board, alpha, alpha + 1, ply, 0);
            if score <= alpha {
                return Some(score);
            }
        }
        if depth >= 3 && guess >= beta && !passed && board.has_pieces(board.turn) {
            return self.pass(spot, beta, guess);
        }
        None
    }

    /// The score of a node that stands even if its side passes.
    fn pass(&mut self, spot: &Spot<'_>, beta: i32, guess: i32) -> Option<i32> {
        let Spot {
            board, depth, ply, ..
        } = *spot;
        let reduction = 3 + depth / 4 + ((guess - beta) / 200).min(3);
        self.frames[ply].row = None;
        self.keys.push(board.key);
        let next = board.after_pass();
        let score = -self.node::<false>(
            &next,
            -beta,
            1 - beta,
            depth - reduction,
            ply + 1,
            !spot.cut,
        );
        self.keys.pop();
        if self.stopped {
            return Some(0);
        }
        if score < beta {
            return None;
        }
        let score = if score >= MATE_BOUND { beta } else { score };
        // Deep down a wrong pass is costly (zugzwang): make sure without passing.
        (depth < 12 || self.sure(board, beta, depth - reduction, ply)).then_some(score)
    }

    /// Whether `beta` stands even if the other side has two moves in a row, captures and checks.
    fn after_pass_holds(&mut self, board: &Board, beta: i32, ply: usize) -> bool {
        self.frames[ply].row = None;
        self.keys.push(board.key);
        let score = -self.quiesce::<false>(&board.after_pass(), -beta, 1 - beta, ply + 1, 0);
        self.keys.pop();
        score >= beta
    }

    fn sure(&mut self, board: &Board, beta: i32, depth: i32, ply: usize) -> bool {
        let row = if ply > 0 {
            self.frames[ply - 1].row.take()
        } else {
            None
        };
        let score = self.node::<false>(board, beta - 1, beta, depth, ply, false);
        if ply > 0 {
            self.frames[ply - 1].row = row;
        }
        score >= beta
    }

    /// The score of a position once captures (and checks at first) are tried out.
    fn quiesce<const PV: bool>(
        &mut self,
        board: &Board,
        alpha: i32,
        beta: i32,
        ply: usize,
        below: i32,
    ) -> i32 {
        self.lines[ply].clear();
        if let Some(score) = self.ended(board, ply) {
            return score;
        }
        self.reached = self.reached.max(ply);
        // Evaluated while the table's entry is on its way: most positions end here without it.
        let eval = self.standing_eval::<PV>(board, alpha, beta, below);
        if eval >= beta {
            return eval;
        }
        // Further down the table's answers do not repay the wait for them.
        let table = self.shared.table;
        let found = (below == 0).then(|| table.find(board.key, ply)).flatten();
        if let Some(found) = found.filter(|found| !PV && allows_cut(*found, beta)) {
            return found.score;
        }
        let best = standing(found, eval, ply);
        if best >= beta || (self.hurried && !board.in_check()) {
            return best;
        }
        let calm = Calm {
            board,
            ply,
            below,
            in_check: board.in_check(),
            remembered: found.map_or(Move::NONE, |found| found.best),
            hope: best + 150,
            eval,
        };
        self.try_noisy::<PV>(&calm, best, alpha, beta)
    }

    /// The evaluation of a position where nothing has to be done; a rough one where that is
    /// enough, `-INFINITE` in check.
    #[inline]
    fn standing_eval<const PV: bool>(
        &mut self,
        board: &Board,
        alpha: i32,
        beta: i32,
        below: i32,
    ) -> i32 {
        if board.in_check() {
            return -INFINITE;
        }
        if !PV && let Some(rough) = rough(board, self.pawns) {
            if rough - UNSURE >= beta {
                return rough - UNSURE;
            }
            // What is stored in the table must be exact.
            if rough + UNSURE <= alpha && below > 0 {
                return rough;
            }
        }
        evaluate(board, self.pawns)
    }

    /// The score of a position in which what is forcing is tried.
    fn try_noisy<const PV: bool>(
        &mut self,
        calm: &Calm<'_>,
        mut best: i32,
        alpha: i32,
        beta: i32,
    ) -> i32 {
        let &Calm { board, ply, .. } = calm;
        let checks = calm.below == 0 && !calm.in_check;
        let mut picker = Picker::noisy(board, calm.remembered, checks);
        // Only quiet moves are ranked by what was played before.
        let past = if checks || calm.in_check {
            self.past(ply)
        } else {
            Past::default()
        };
        let (mut best_move, mut tried, mut low) = (Move::NONE, 0, alpha.max(best));
        while let Some(ranked) = picker.next(board, self.history, &past, false) {
            let played = ranked.played();
            tried += 1;
            if let Some(most) = calm.passed_over(played, tried, best, low) {
                best = best.max(most);
                continue;
            }
            let score = -self.reply::<PV>(calm, played, low, beta);
            if self.stopped {
                return 0;
            }
            best = best.max(score);
            if score <= low {
                continue;
            }
            best_move = played;
            if PV {
                self.extend_line(ply, played);
            }
            if score >= beta {
                break;
            }
            low = score;
        }
        let bound = Bound::of(best, beta, PV && best > alpha);
        self.keep(calm, best, best_move, bound, PV);
        best
    }

    /// What a forcing move leads to, as the other side sees it.
    #[inline]
    fn reply<const PV: bool>(
        &mut self,
        calm: &Calm<'_>,
        played: Move,
        alpha: i32,
        beta: i32,
    ) -> i32 {
        let &Calm { board, ply, .. } = calm;
        self.pawns.expect(board.likely_key(played));
        let mut next = *board;
        next.play(played);
        self.frames[ply].row = Some(row(board, played));
        self.keys.push(board.key);
        let score = self.quiesce::<PV>(&next, -beta, -alpha, ply + 1, calm.below + 1);
        self.keys.pop();
        score
    }

    /// Writes into the table what came of the forcing moves, where it will be asked for.
    fn keep(&self, calm: &Calm<'_>, score: i32, best: Move, bound: Bound, principal: bool) {
        if calm.below > 0 || self.hurried {
            return;
        }
        let entry = Found {
            best,
            score,
            eval: calm.eval,
            depth: 0,
            bound,
            principal,
        };
        self.shared.table.store(calm.board.key, calm.ply, entry);
    }
}

/// Lines of the last iteration that this one has not reached yet.
fn left_over(old: &[RootLine], new: &[RootLine]) -> Vec<RootLine> {
    old.iter()
        .filter(|line| !new.iter().any(|other| other.moves[0] == line.moves[0]))
        .cloned()
        .collect()
}

/// A window without what cannot be reached: a mate found nearer to the root is not bettered here.
#[inline]
fn without_later_mates(alpha: i32, beta: i32, ply: usize) -> (i32, i32) {
    let mated = ply as i32 - MATE;
    (alpha.max(mated), beta.min(-mated - 1))
}

/// What a position is worth if nothing more is taken.
#[inline]
fn standing(found: Option<Found>, eval: i32, ply: usize) -> i32 {
    if eval == -INFINITE {
        return ply as i32 - MATE;
    }
    let better = found.filter(|found| allows_cut(*found, eval + i32::from(found.score > eval)));
    better.map_or(eval, |found| found.score)
}

/// Whether a pawn advances to attack a pawn: what changes a structure changes plans.
#[inline]
fn is_lever(board: &Board, played: Move) -> bool {
    let (us, to) = (board.turn, played.to());
    board.role_on(played.from()) == PAWN
        && played.is_quiet()
        && (pawn_attacks(us, to) & board.men(us ^ 1, PAWN)).any()
}

/// Whether a remembered score decides against `beta`.
#[inline]
fn allows_cut(found: Found, beta: i32) -> bool {
    match found.bound {
        Bound::Exact => true,
        Bound::AtLeast => found.score >= beta,
        Bound::AtMost => found.score < beta,
        Bound::None => false,
    }
}
