//! All boards of a talk, and how usual each move is on them.

use std::rc::Rc;

use shakmaty::zobrist::Zobrist64;
use shakmaty::{
    Bitboard, CastlingSide, Chess, Color, EnPassantMode, File, Move, Position, Rank, Role, Square,
    attacks,
};

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
    fn of(mv: Move) -> Self {
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

/// What catalogued opening lines go on with, by position.
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
            let here = self.after.entry(key_of(&board)).or_default();
            match here.iter_mut().find(|(known, _)| *known == mv) {
                Some((_, count)) => *count += 1.0,
                None => here.push((mv, 1.0)),
            }
            board.play_unchecked(mv);
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
    weights: &'a Weights,
}

impl<'a> Tree<'a> {
    /// A tree with the start alone. `theme` has the lines of the openings that the talk names.
    #[must_use]
    pub fn new(
        book: &'a Book,
        theme: Book,
        counts: Option<&'a Counts<'a>>,
        weights: &'a Weights,
    ) -> Self {
        let mut tree = Self {
            nodes: Vec::new(),
            book,
            theme,
            counts,
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
    /// far as they go; a cheap look at the board does the rest.
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
        let trust = total / (total + w.book_doubt);
        let natural: Vec<f32> = legal
            .iter()
            .map(|item| self.appeal(index, item).exp())
            .collect();
        let rest: f32 = natural.iter().sum::<f32>().max(1.0);
        let mut themed = vec![0.0; legal.len()];
        let ahead = spread(&mut themed, legal, self.theme.moves(board), 1.0);
        let all: f32 = themed.iter().sum::<f32>().max(1.0);
        let prices = (0..legal.len())
            .map(|i| {
                let mut chance = (1.0 - trust) * (natural[i] / rest).min(0.95);
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

    /// How natural a move looks, in units of log odds; cheap and rough.
    fn appeal(&self, index: u32, item: &Legal) -> f32 {
        let w = self.weights;
        let node = self.node(index);
        let board = &node.board;
        if item.castling.is_some() {
            return w.castles;
        }
        let mut score = (w.gains * exchange(board, item)).clamp(-2.2, 3.0);
        if item.role != Role::Pawn {
            score += w.flees * flight(board, item);
        }
        if item.captured.is_some() {
            let takers = attackers(board, board.turn(), item.to);
            if value(item.role) > cheapest(board, takers) + 0.5 {
                score += w.takes_dearly;
            }
        }
        if let (Some(last), Some(_)) = (node.made, item.captured)
            && last.to == item.to
        {
            score += if last.captured.is_some() {
                w.takes_back
            } else {
                w.takes_the_mover
            };
        }
        if self.moved_before(index, item.from) && item.captured.is_none() {
            score += w.moves_again;
        }
        score += w.attacks * menace(board, item);
        score + self.placement(index, item)
    }

    /// What there is to be said for where a piece goes.
    fn placement(&self, index: u32, item: &Legal) -> f32 {
        let w = self.weights;
        let node = self.node(index);
        let home = item.from.rank() == node.board.turn().fold_wb(Rank::First, Rank::Eighth);
        match item.role {
            Role::King if item.captured.is_none() => w.walks,
            Role::Knight | Role::Bishop if home => {
                if (2..=5).contains(&(item.to.file() as u8)) {
                    w.develops_inside
                } else {
                    w.develops
                }
            }
            Role::Pawn => {
                let middle = if CENTRE.contains(item.to) {
                    w.pawn_centre
                } else if WIDE.contains(item.to) {
                    w.pawn_near_centre
                } else {
                    0.0
                };
                let edge = matches!(item.to.file(), File::A | File::H);
                middle + if edge { w.pawn_edge } else { 0.0 }
            }
            Role::Queen if node.ply < 12 => w.early_queen,
            _ => 0.0,
        }
    }

    /// Whether the side to move came to a square with its last move.
    fn moved_before(&self, index: u32, square: Square) -> bool {
        let own = self.parent(index);
        let made = own.and_then(|own| self.node(own).made);
        made.is_some_and(|made| made.to == square)
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

const CENTRE: Bitboard = Bitboard(0x0000_0018_1800_0000);
const WIDE: Bitboard = Bitboard(0x0000_003C_3C00_0000);

fn value(role: Role) -> f32 {
    match role {
        Role::Pawn => 1.0,
        Role::Knight => 3.0,
        Role::Bishop => 3.1,
        Role::Rook => 5.0,
        Role::Queen => 9.0,
        Role::King => 20.0,
    }
}

/// Who of a side attacks a square, through nothing.
fn attackers(board: &Chess, side: Color, square: Square) -> Bitboard {
    board
        .board()
        .attacks_to(square, side, board.board().occupied())
}

fn cheapest(board: &Chess, among: Bitboard) -> f32 {
    among
        .into_iter()
        .filter_map(|square| board.board().role_at(square))
        .map(value)
        .fold(20.0, f32::min)
}

/// A rough gain in pawns: what is taken less what may be lost on the square.
fn exchange(board: &Chess, item: &Legal) -> f32 {
    let mine = value(item.promotion.unwrap_or(item.role));
    let gain = item.captured.map_or(0.0, value);
    let them = attackers(board, !board.turn(), item.to);
    if them.is_empty() {
        return gain;
    }
    let guards = attackers(board, board.turn(), item.to).without(item.from);
    let backed = !guards.is_empty()
        || (item.role == Role::Pawn && item.captured.is_none() && pawn_guard(board, item));
    let loss = if backed {
        (mine - cheapest(board, them)).max(0.0)
    } else {
        mine
    };
    gain - loss
}

/// Whether a move attacks a piece worth more than the one that moves, or one that nobody guards.
fn menace(board: &Chess, item: &Legal) -> f32 {
    let mine = item.promotion.unwrap_or(item.role);
    let occupied = board.board().occupied().without(item.from).with(item.to);
    let piece = mine.of(board.turn());
    let seen = attacks::attacks(item.to, piece, occupied) & board.them();
    let hit = seen.into_iter().any(|square| {
        board.board().role_at(square).is_some_and(|role| {
            value(role) > value(mine) + 0.5
                || (role != Role::Pawn && attackers(board, !board.turn(), square).is_empty())
        })
    });
    if hit { 1.0 } else { 0.0 }
}

/// Whether a pawn guards the square a pawn steps to.
fn pawn_guard(board: &Chess, item: &Legal) -> bool {
    let from = attacks::pawn_attacks(!board.turn(), item.to);
    !(from & board.our(Role::Pawn)).is_empty()
}

/// What there is to be said for moving an attacked piece away.
fn flight(board: &Chess, item: &Legal) -> f32 {
    let them = attackers(board, !board.turn(), item.from);
    if them.is_empty() {
        return 0.0;
    }
    let guards = attackers(board, board.turn(), item.from);
    if guards.is_empty() || cheapest(board, them) < value(item.role) {
        value(item.role).min(5.0) * 0.4
    } else {
        0.0
    }
}
