//! All boards of a talk, and how usual each move is on them.

use std::rc::Rc;

use shakmaty::san::San;
use shakmaty::zobrist::Zobrist64;
use shakmaty::{
    Bitboard, CastlingSide, Chess, Color, EnPassantMode, File, Move, Position, Role, Square,
};

use super::habits::{Habits, View};
use super::weights::Weights;
use super::words::Wing;
use crate::quick::QuickMap;

/// A legal move with what words may say of it; castling goes to the king's square.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs)]
pub struct Legal {
    pub mv: Move,
    pub role: Role,
    pub from: Square,
    pub to: Square,
    pub captured: Option<Role>,
    pub castling: Option<Wing>,
    pub promotion: Option<Role>,
    pub ep: bool,
}

impl Legal {
    pub(super) fn of(mv: Move) -> Self {
        let castling = mv.castling_side().map(|side| match side {
            CastlingSide::KingSide => Wing::King,
            CastlingSide::QueenSide => Wing::Queen,
        });
        let from = mv.from().expect("nothing is dropped in chess");
        let to = match castling {
            Some(Wing::King) => Square::from_coords(File::G, from.rank()),
            Some(_) => Square::from_coords(File::C, from.rank()),
            None => mv.to(),
        };
        Self {
            mv,
            role: mv.role(),
            from,
            to,
            captured: mv.capture(),
            castling,
            promotion: mv.promotion(),
            ep: mv.is_en_passant(),
        }
    }
}

/// How often moves are played on a board: the move and its count or weight.
pub type Counts<'a> = dyn Fn(&Chess) -> Vec<(Move, f32)> + 'a;

/// What known opening lines go on with, by position.
#[derive(Clone, Debug, Default)]
pub struct Book {
    after: QuickMap<u64, Vec<(Move, f32)>>,
}

impl Book {
    /// The book of lines from the start, moves in the notation of UCI; a line is read up to its
    /// first move that is not legal.
    #[must_use]
    pub fn of<'a>(lines: impl Iterator<Item = &'a str>) -> Self {
        let mut book = Self::default();
        for line in lines {
            book.add(line);
        }
        book
    }

    fn add(&mut self, line: &str) {
        let mut board = Chess::default();
        for text in line.split_whitespace() {
            let Some(mv) = text
                .parse::<shakmaty::uci::UciMove>()
                .ok()
                .and_then(|uci| uci.to_move(&board).ok())
            else {
                return;
            };
            self.count(key_of(&board), mv);
            board.play_unchecked(mv);
        }
    }

    /// Adds the lines of a text, one a row: how many moves it shares with the row before, then the
    /// others in short notation. Rows that begin with a hash say where the lines come from.
    ///
    /// # Errors
    /// The first row that cannot be read.
    pub fn read(&mut self, rows: &str) -> Result<(), String> {
        let mut made: Vec<(u64, Move)> = Vec::new();
        let mut boards = vec![Chess::default()];
        for row in rows.lines().filter(|row| !row.starts_with('#')) {
            let fault = || format!("no line of moves: '{row}'");
            let mut words = row.split_whitespace();
            let shared: usize = words
                .next()
                .and_then(|word| word.parse().ok())
                .filter(|&shared| shared <= made.len())
                .ok_or_else(fault)?;
            made.truncate(shared);
            boards.truncate(shared + 1);
            for word in words {
                let board = boards.last().expect("the start is never cut");
                let san: San = word.parse().map_err(|_| fault())?;
                let mv = san.to_move(board).map_err(|_| fault())?;
                made.push((key_of(board), mv));
                let mut next = board.clone();
                next.play_unchecked(mv);
                boards.push(next);
            }
            for &(key, mv) in &made {
                self.count(key, mv);
            }
        }
        Ok(())
    }

    fn count(&mut self, key: u64, mv: Move) {
        let here = self.after.entry(key).or_default();
        match here.iter_mut().find(|(known, _)| *known == mv) {
            Some((_, count)) => *count += 1.0,
            None => here.push((mv, 1.0)),
        }
    }

    fn moves(&self, board: &Chess) -> &[(Move, f32)] {
        self.after.get(&key_of(board)).map_or(&[], Vec::as_slice)
    }
}

/// The key of a board without its en passant square and its counters.
fn key_of(board: &Chess) -> u64 {
    let Zobrist64(bits) = board.zobrist_hash(EnPassantMode::Legal);
    bits
}

/// The mark of a line with one move more.
fn longer(path: u64, made: &Legal) -> u64 {
    let promoted = made.promotion.map_or(0, |role| role as u64);
    let step = (made.from as u64) << 9 | (made.to as u64) << 3 | promoted;
    (path.rotate_left(23) ^ (step + 1)).wrapping_mul(0x9E37_79B9_7F4A_7C15)
}

/// A board reached by one line of moves.
#[derive(Debug)]
pub struct Node {
    pub parent: u32,
    pub made: Option<Legal>,
    pub board: Chess,
    pub ply: u32,
    /// The same for boards that differ only in the way to them.
    pub key: u64,
    /// Stands for the line of moves to the board, in any tree.
    pub path: u64,
    legal: Option<Rc<[Legal]>>,
    usual: Option<Rc<[f32]>>,
    in_book: bool,
    /// How likely the talk is to come back here, by the words said on the board.
    pub parts: f32,
    children: Vec<(Move, u32)>,
}

/// All boards a talk may have reached, each once for its line of moves; number 0 is the start.
pub struct Tree<'a> {
    nodes: Vec<Node>,
    book: &'a Book,
    theme: Book,
    counts: Option<&'a Counts<'a>>,
    habits: &'a Habits,
    weights: &'a Weights,
}

impl<'a> Tree<'a> {
    /// A tree with the start alone. `theme` has the lines of the openings that the talk names.
    #[must_use]
    pub fn new(
        book: &'a Book,
        theme: Book,
        counts: Option<&'a Counts<'a>>,
        habits: &'a Habits,
        weights: &'a Weights,
    ) -> Self {
        let mut tree = Self {
            nodes: Vec::new(),
            book,
            theme,
            counts,
            habits,
            weights,
        };
        tree.add(0, None, Chess::default(), 0);
        tree
    }

    fn add(&mut self, parent: u32, made: Option<Legal>, board: Chess, ply: u32) -> u32 {
        let index = u32::try_from(self.nodes.len()).expect("a talk has fewer boards");
        let key = key_of(&board);
        let path = made.map_or(0, |made| longer(self.nodes[parent as usize].path, &made));
        self.nodes.push(Node {
            parent,
            made,
            board,
            ply,
            key,
            path,
            legal: None,
            usual: None,
            in_book: false,
            parts: 0.0,
            children: Vec::new(),
        });
        index
    }

    /// How many boards there are.
    #[must_use]
    pub fn len(&self) -> usize {
        self.nodes.len()
    }

    /// Never: there is always the start.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.nodes.is_empty()
    }

    /// A board by its number.
    #[must_use]
    pub fn node(&self, index: u32) -> &Node {
        &self.nodes[index as usize]
    }

    /// The number of the board before; none for the start.
    #[must_use]
    pub fn parent(&self, index: u32) -> Option<u32> {
        let node = self.node(index);
        node.made.map(|_| node.parent)
    }

    /// Whose move it is.
    #[must_use]
    pub fn turn(&self, index: u32) -> Color {
        self.node(index).board.turn()
    }

    /// The number of the next move.
    #[must_use]
    pub fn number(&self, index: u32) -> u32 {
        self.node(index).ply / 2 + 1
    }

    /// The boards from this one back to the first after the start.
    pub fn back(&self, index: u32) -> impl Iterator<Item = u32> + '_ {
        let mut next = Some(index);
        std::iter::from_fn(move || {
            let here = next?;
            next = self.parent(here);
            next.map(|_| here)
        })
    }

    /// Whether one board lies on the line to another.
    #[must_use]
    pub fn on_line(&self, above: u32, mut below: u32) -> bool {
        let ply = self.node(above).ply;
        while self.node(below).ply > ply {
            below = self.node(below).parent;
        }
        above == below
    }

    /// Takes note of what words that led to a board say of coming back to it; the surest count.
    pub fn dwell(&mut self, index: u32, parts: f32) {
        let node = &mut self.nodes[index as usize];
        if node.parts == 0.0 || parts > node.parts {
            node.parts = parts;
        }
    }

    /// The board after a move; made once.
    pub fn play(&mut self, index: u32, legal: &Legal) -> u32 {
        let node = self.node(index);
        if let Some(&(_, known)) = node.children.iter().find(|(mv, _)| *mv == legal.mv) {
            return known;
        }
        let mut board = node.board.clone();
        let ply = node.ply + 1;
        board.play_unchecked(legal.mv);
        let new = self.add(index, Some(*legal), board, ply);
        self.nodes[index as usize].children.push((legal.mv, new));
        new
    }

    /// The board after a move if it was ever looked at.
    #[must_use]
    pub fn child(&self, index: u32, legal: &Legal) -> Option<u32> {
        let children = &self.node(index).children;
        children
            .iter()
            .find(|(mv, _)| *mv == legal.mv)
            .map(|&(_, child)| child)
    }

    /// The legal moves of a board.
    pub fn legal(&mut self, index: u32) -> Rc<[Legal]> {
        let node = &mut self.nodes[index as usize];
        let moves = node.legal.get_or_insert_with(|| {
            node.board
                .legal_moves()
                .into_iter()
                .map(Legal::of)
                .collect()
        });
        Rc::clone(moves)
    }

    /// Whether one of the named pieces can go to one of the squares; any piece if none is named.
    #[must_use]
    pub fn can(&self, index: u32, roles: &[Role], targets: Bitboard) -> bool {
        let board = &self.node(index).board;
        let free = targets & !board.us();
        let named = if roles.is_empty() {
            &Role::ALL[..]
        } else {
            roles
        };
        named.iter().any(|&role| {
            free.into_iter()
                .any(|to| !board.san_candidates(role, to).is_empty())
        })
    }

    /// Whether a move gives check.
    #[must_use]
    pub fn gives_check(&self, index: u32, legal: &Legal) -> bool {
        let mut board = self.node(index).board.clone();
        board.play_unchecked(legal.mv);
        board.is_check()
    }

    /// Whether the openings' catalogue knows a move here.
    pub fn in_book(&mut self, index: u32) -> bool {
        let _ = self.usual(index);
        self.node(index).in_book
    }

    /// Minus the log of each legal move's chance of being shown here, in the order of `legal`.
    ///
    /// The catalogue, the openings the talk names and, where given, a collection's counts weigh as
    /// far as they go; what looks natural on the board (`Habits`) does the rest.
    pub fn usual(&mut self, index: u32) -> Rc<[f32]> {
        if let Some(known) = &self.node(index).usual {
            return Rc::clone(known);
        }
        let legal = self.legal(index);
        let (prices, in_book) = self.prices(index, &legal);
        let node = &mut self.nodes[index as usize];
        node.in_book = in_book;
        let prices: Rc<[f32]> = prices.into();
        node.usual = Some(Rc::clone(&prices));
        prices
    }

    fn prices(&self, index: u32, legal: &[Legal]) -> (Vec<f32>, bool) {
        let w = self.weights;
        let board = &self.node(index).board;
        let mut known: Vec<f32> = vec![0.0; legal.len()];
        let in_book = spread(&mut known, legal, self.book.moves(board), w.book_power);
        if let Some(counts) = self.counts {
            spread(&mut known, legal, &counts(board), 1.0);
        }
        let total: f32 = known.iter().sum();
        let trust = (total / (total + w.book_doubt)).min(w.book_most);
        let appeal = self.habits.appeal(&self.view(index), legal);
        let most = appeal.iter().copied().fold(f32::MIN, f32::max);
        let natural: Vec<f32> = appeal
            .iter()
            .map(|odds| (w.habit * (odds - most)).exp())
            .collect();
        let rest: f32 = natural.iter().sum();
        let mut themed = vec![0.0; legal.len()];
        let ahead = spread(&mut themed, legal, self.theme.moves(board), 1.0);
        let all: f32 = themed.iter().sum::<f32>().max(1.0);
        let prices = (0..legal.len())
            .map(|i| {
                let mut chance = (1.0 - trust) * natural[i] / rest;
                if total > 0.0 {
                    chance += trust * known[i] / total;
                }
                if ahead {
                    chance += w.theme_share * (themed[i] / all - chance);
                }
                -chance.max(1e-6).ln()
            })
            .collect();
        (prices, in_book)
    }

    /// A board with the last moves that led to it.
    #[must_use]
    pub fn view(&self, index: u32) -> View<'_> {
        let node = self.node(index);
        let before = self.parent(index).map(|above| self.node(above));
        View {
            board: &node.board,
            answered: node.made.as_ref(),
            own: before.and_then(|above| above.made.as_ref()),
            ply: node.ply,
        }
    }
}

/// Adds counts to the moves they are for; whether there were any.
fn spread(known: &mut [f32], legal: &[Legal], counts: &[(Move, f32)], power: f32) -> bool {
    for (mv, count) in counts {
        if let Some(place) = legal.iter().position(|item| item.mv == *mv) {
            known[place] += count.powf(power);
        }
    }
    !counts.is_empty()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rows_share_what_the_row_before_begins_with() {
        let mut book = Book::default();
        book.read("# where from\n0 e4 e5 Nf3\n2 Nc3\n1 c5 Nf3\n")
            .unwrap();
        let start = book.moves(&Chess::default()).to_vec();
        assert_eq!(start.len(), 1);
        assert!((start[0].1 - 3.0).abs() < 1e-6, "three lines begin so");
        let whole = Book::of(["e2e4 e7e5 g1f3", "e2e4 e7e5 b1c3", "e2e4 c7c5 g1f3"].into_iter());
        assert_eq!(book.after.len(), whole.after.len());
        for (key, moves) in &whole.after {
            assert_eq!(&book.after[key], moves);
        }
    }

    #[test]
    fn a_row_that_is_no_line_is_refused() {
        for rows in ["0 e4 Nf6 Ke3", "1 e4", "e4 e5", "0 e4\n2 e5", "0 e4 e9"] {
            let fault = Book::default().read(rows).unwrap_err();
            assert!(fault.starts_with("no line of moves: "), "{fault}");
        }
    }
}
