//! How natural a move looks where no book knows it, learned from the moves that teachers show.
//!
//! A conditional logit over what each legal move does on the board: what goes where, takes what,
//! leaves what hanging, answers what. What is seen of a move is a handful of numbers, each with a
//! learned weight; the sum is the move's log odds against the other moves of the board.
//! `benches/fit_habits.py` learns the weights.

use arrayvec::ArrayVec;
use shakmaty::uci::UciMove;
use shakmaty::{Bitboard, Board, Chess, Color, Position, Role, Square, attacks};

use super::tree::Legal;
use super::words::Wing;

/// What is seen of one move: places in the table of weights.
pub type Seen = ArrayVec<u16, 24>;

/// A board with the last moves that led to it.
#[derive(Clone, Copy)]
#[allow(missing_docs)]
pub struct View<'a> {
    pub board: &'a Chess,
    /// The other side's last move,
    pub answered: Option<&'a Legal>,
    /// and this side's own before it.
    pub own: Option<&'a Legal>,
    pub ply: u32,
}

const SQUARES: u16 = 6 * 64;
const STEPS: u16 = 9;
/// Answers to a move that landed somewhere, by where and with what, share so many places.
const SCATTERED: u16 = 1 << 13;

/// The parts of the table with their lengths, in order.
pub const PARTS: [(&str, u16); 15] = [
    ("lands", SQUARES),
    ("leaves", SQUARES),
    ("takes", 36),
    ("earns", 2 * STEPS),
    ("retakes", 12),
    ("flees", 18),
    ("checks", 2),
    ("hits", 36),
    ("again", 6),
    ("castles", 2),
    ("loses", 18),
    ("late", 7 * 8),
    ("pawns", 8),
    ("guards", 6),
    ("answers", SCATTERED),
];

/// Where a part begins.
const fn part(number: usize) -> u16 {
    let (mut place, mut before) = (0, 0);
    while before < number {
        place += PARTS[before].1;
        before += 1;
    }
    place
}

const LANDS: u16 = part(0);
const LEAVES: u16 = part(1);
const TAKES: u16 = part(2);
const EARNS: u16 = part(3);
const RETAKES: u16 = part(4);
const FLEES: u16 = part(5);
const CHECKS: u16 = part(6);
const HITS: u16 = part(7);
const AGAIN: u16 = part(8);
const CASTLES: u16 = part(9);
const LOSES: u16 = part(10);
const LATE: u16 = part(11);
const PAWNS: u16 = part(12);
const GUARDS: u16 = part(13);
const ANSWERS: u16 = part(14);

/// How many weights there are.
pub const SIZE: usize = part(PARTS.len()) as usize;

/// The learned weights.
#[derive(Clone, Debug)]
pub struct Habits(Vec<f32>);

impl Habits {
    /// The weights in the order of this file; as many as [`SIZE`].
    ///
    /// # Errors
    /// Another number of weights.
    pub fn of(weights: Vec<f32>) -> Result<Self, String> {
        if weights.len() == SIZE {
            Ok(Self(weights))
        } else {
            Err(format!("{} weights for {SIZE} places", weights.len()))
        }
    }

    /// The log odds of each move against the others of the board.
    #[must_use]
    pub fn appeal(&self, view: &View, moves: &[Legal]) -> Vec<f32> {
        let hanging = hanging(view.board.board(), view.board.turn());
        moves
            .iter()
            .map(|item| {
                let seen = seen_with(view, item, &hanging);
                seen.iter().map(|&place| self.0[usize::from(place)]).sum()
            })
            .collect()
    }
}

/// What is seen of each legal move after the moves of a line (UCI); to learn from.
///
/// # Errors
/// The first move that is not legal.
pub fn seen_after(line: &[String]) -> Result<Vec<(Legal, Seen)>, String> {
    let mut board = Chess::default();
    let mut made: Vec<Legal> = Vec::new();
    for text in line {
        let uci: Option<UciMove> = text.parse().ok();
        let mv = uci.and_then(|uci| uci.to_move(&board).ok());
        let mv = mv.ok_or_else(|| format!("'{text}' is not legal here"))?;
        made.push(Legal::of(mv));
        board.play_unchecked(mv);
    }
    let view = View {
        board: &board,
        answered: made.last(),
        own: made.iter().rev().nth(1),
        ply: u32::try_from(made.len()).expect("a short line"),
    };
    let hanging = hanging(board.board(), board.turn());
    let legal = board.legal_moves().into_iter().map(Legal::of);
    Ok(legal
        .map(|item| (item, seen_with(&view, &item, &hanging)))
        .collect())
}

fn seen_with(view: &View, item: &Legal, hanging: &[Square]) -> Seen {
    let turn = view.board.turn();
    let board = view.board.board();
    let after = moved(board, turn, item);
    let mut seen = Seen::new();
    of_what_hangs(board, &after, turn, item, hanging, &mut seen);
    if let Some(wing) = item.castling {
        seen.push(CASTLES + u16::from(wing == Wing::Queen));
        seen.push(LATE + 6 * 8 + age(view.ply));
        return seen;
    }
    let role = place_of(item.role);
    seen.push(LANDS + role * 64 + relative(turn, item.to));
    seen.push(LEAVES + role * 64 + relative(turn, item.from));
    seen.push(LATE + role * 8 + age(view.ply));
    let gain = exchange(board, turn, item);
    let quiet = item.captured.is_none();
    seen.push(EARNS + if quiet { STEPS } else { 0 } + step(gain));
    if let Some(taken) = item.captured {
        seen.push(TAKES + role * 6 + place_of(taken));
    }
    if let (Some(last), false) = (view.answered, quiet)
        && last.to == item.to
    {
        seen.push(RETAKES + 2 * role + u16::from(last.captured.is_some()));
    }
    if let Some(danger) = danger(board, turn, item) {
        seen.push(FLEES + 3 * role + danger);
    }
    if checks(&after, turn) {
        seen.push(CHECKS + u16::from(gain < 0.0));
    }
    if let Some(hit) = menace(&after, turn, item) {
        seen.push(HITS + role * 6 + place_of(hit));
    }
    if view.own.is_some_and(|own| own.to == item.from) {
        seen.push(AGAIN + role);
    }
    if item.role == Role::Pawn {
        seen.push(PAWNS + pawn(board, &after, turn, item));
    }
    if let Some(last) = view.answered {
        let theirs = place_of(last.role) * 64 + relative(turn, last.to);
        let ours = role * 64 + relative(turn, item.to);
        seen.push(ANSWERS + scattered(theirs, ours));
    }
    seen
}

/// Whether a move sees to this side's men that hang: what is still lost after it, what it guards.
fn of_what_hangs(
    before: &Board,
    after: &Board,
    turn: Color,
    item: &Legal,
    hanging: &[Square],
    seen: &mut Seen,
) {
    let mut lost: Option<Role> = None;
    let mut saved: Option<Role> = None;
    for &square in hanging.iter().filter(|&&square| square != item.from) {
        let Some(role) = before.role_at(square) else {
            continue;
        };
        let slot = if loss(after, !turn, square) > 0.5 {
            &mut lost
        } else {
            &mut saved
        };
        if slot.is_none_or(|known| value(role) > value(known)) {
            *slot = Some(role);
        }
    }
    if let Some(role) = lost {
        let how = if item.captured.is_some() {
            0
        } else if checks(after, turn) {
            1
        } else {
            2
        };
        seen.push(LOSES + how * 6 + place_of(role));
    }
    if let Some(role) = saved {
        seen.push(GUARDS + place_of(role));
    }
}

fn place_of(role: Role) -> u16 {
    role as u16 - 1
}

/// A square as its side sees it.
fn relative(turn: Color, square: Square) -> u16 {
    let seen = turn.fold_wb(square, square.flip_vertical());
    u16::from(u8::from(seen))
}

fn scattered(theirs: u16, ours: u16) -> u16 {
    let mixed = (u32::from(theirs) << 9 | u32::from(ours)).wrapping_mul(0x9E37_79B1);
    u16::try_from(mixed >> 19).expect("thirteen bits")
}

fn age(ply: u32) -> u16 {
    u16::try_from(ply / 6).map_or(7, |age| age.min(7))
}

fn step(gain: f32) -> u16 {
    const EDGES: [f32; 8] = [-6.0, -3.5, -1.5, -0.5, 0.5, 1.5, 3.5, 6.0];
    EDGES.iter().map(|&edge| u16::from(gain > edge)).sum()
}

pub(super) fn value(role: Role) -> f32 {
    match role {
        Role::Pawn => 1.0,
        Role::Knight => 3.0,
        Role::Bishop => 3.2,
        Role::Rook => 5.0,
        Role::Queen => 9.5,
        Role::King => 50.0,
    }
}

/// The board after a move; rights and clocks do not matter here.
pub(super) fn moved(board: &Board, turn: Color, item: &Legal) -> Board {
    let mut after = board.clone();
    after.discard_piece_at(item.from);
    if item.ep {
        after.discard_piece_at(Square::from_coords(item.to.file(), item.from.rank()));
    }
    if let Some(wing) = item.castling {
        let rank = item.from.rank();
        let rook = |file| Square::from_coords(file, rank);
        let (from, to) = match wing {
            Wing::Queen => (rook(shakmaty::File::A), rook(shakmaty::File::D)),
            _ => (rook(shakmaty::File::H), rook(shakmaty::File::F)),
        };
        after.discard_piece_at(from);
        after.set_piece_at(to, Role::Rook.of(turn));
    }
    after.set_piece_at(item.to, item.promotion.unwrap_or(item.role).of(turn));
    after
}

fn attackers(board: &Board, side: Color, square: Square, occupied: Bitboard) -> Bitboard {
    board.attacks_to(square, side, occupied) & occupied
}

fn cheapest(board: &Board, among: Bitboard) -> Option<(Square, Role)> {
    among
        .into_iter()
        .filter_map(|square| Some((square, board.role_at(square)?)))
        .min_by(|a, b| value(a.1).total_cmp(&value(b.1)))
}

/// What a side wins by taking on a square in the best order, in pawns; nothing is forced.
fn loss(board: &Board, taker: Color, square: Square) -> f32 {
    match board.role_at(square) {
        Some(role) => swap(board, taker, square, value(role), board.occupied()),
        None => 0.0,
    }
}

/// The static exchange on a square, `standing` being what is there to be taken.
fn swap(board: &Board, taker: Color, square: Square, standing: f32, occupied: Bitboard) -> f32 {
    let Some((from, role)) = cheapest(board, attackers(board, taker, square, occupied)) else {
        return 0.0;
    };
    let rest = swap(board, !taker, square, value(role), occupied.without(from));
    (standing - rest).max(0.0)
}

/// What a move wins or loses on its square, in pawns.
pub(super) fn exchange(board: &Board, turn: Color, item: &Legal) -> f32 {
    let gain = item.captured.map_or(0.0, value);
    let piece = item.promotion.unwrap_or(item.role);
    let more = if item.promotion.is_some() {
        value(piece) - 1.0
    } else {
        0.0
    };
    let occupied = board.occupied().without(item.from);
    gain + more - swap(board, !turn, item.to, value(piece), occupied)
}

/// The men of a side that the other could win.
fn hanging(board: &Board, side: Color) -> Vec<Square> {
    let mine = board.by_color(side) & !board.kings();
    mine.into_iter()
        .filter(|&square| loss(board, !side, square) > 0.5)
        .collect()
}

/// How a piece stands that moves away: attacked by a cheaper one (0), unguarded (1), or guarded (2).
pub(super) fn danger(board: &Board, turn: Color, item: &Legal) -> Option<u16> {
    let occupied = board.occupied();
    let (_, them) = cheapest(board, attackers(board, !turn, item.from, occupied))?;
    Some(if value(them) + 0.5 < value(item.role) {
        0
    } else if attackers(board, turn, item.from, occupied).is_empty() {
        1
    } else {
        2
    })
}

pub(super) fn checks(after: &Board, turn: Color) -> bool {
    after
        .king_of(!turn)
        .is_some_and(|king| after.attacks_to(king, turn, after.occupied()).any())
}

/// The best man that the moved piece attacks and could win.
fn menace(after: &Board, turn: Color, item: &Legal) -> Option<Role> {
    let piece = item.promotion.unwrap_or(item.role);
    let seen = attacks::attacks(item.to, piece.of(turn), after.occupied()) & after.by_color(!turn);
    seen.into_iter()
        .filter_map(|square| Some((square, after.role_at(square)?)))
        .filter(|&(square, role)| {
            role != Role::King
                && (value(role) > value(piece) + 0.5
                    || attackers(after, !turn, square, after.occupied()).is_empty())
        })
        .map(|(_, role)| role)
        .max_by(|a, b| value(*a).total_cmp(&value(*b)))
}

/// What a pawn move is like: whether it meets an enemy pawn, or two, and is backed by its own.
fn pawn(board: &Board, after: &Board, turn: Color, item: &Legal) -> u16 {
    let met = attacks::pawn_attacks(turn, item.to) & board.pawns() & board.by_color(!turn);
    let backed = attacks::pawn_attacks(!turn, item.to) & after.pawns() & after.by_color(turn);
    u16::from(met.any()) + 2 * u16::from(met.more_than_one()) + 4 * u16::from(backed.any())
}

#[cfg(test)]
mod tests {
    use shakmaty::fen::Fen;
    use shakmaty::{CastlingMode, Chess};

    use super::*;

    fn at(fen: &str) -> Chess {
        let fen: Fen = fen.parse().expect("a position");
        fen.into_position(CastlingMode::Standard).expect("legal")
    }

    fn worth(fen: &str, uci: &str) -> f32 {
        let board = at(fen);
        let mv = uci
            .parse::<UciMove>()
            .expect("a move")
            .to_move(&board)
            .expect("legal");
        exchange(board.board(), board.turn(), &Legal::of(mv))
    }

    #[test]
    fn exchanges_are_counted_in_the_best_order() {
        // a rook takes a pawn that nobody guards
        let free = "1k1r4/1pp4p/p7/4p3/8/P5P1/1PP4P/2K1R3 w - - 0 1";
        assert!((worth(free, "e1e5") - 1.0).abs() < 1e-3);
        // a knight takes a pawn guarded twice
        let guarded = "1k1r3q/1ppn3p/p4b2/4p3/8/P2N2P1/1PP1R1BP/2K1Q3 w - - 0 1";
        assert!((worth(guarded, "d3e5") + 2.0).abs() < 0.3);
        // a pawn that steps where a pawn takes it for nothing
        assert!((worth("4k3/8/3p4/8/4P3/8/8/4K3 w - - 0 1", "e4e5") + 1.0).abs() < 1e-3);
        // a pawn takes back in passing
        assert!((worth("4k3/8/8/3pP3/8/8/8/4K3 w - d6 0 1", "e5d6") - 1.0).abs() < 1e-3);
    }

    #[test]
    fn what_hangs_is_seen_and_so_is_who_guards_it() {
        let board = at("4k3/8/8/3p4/4N3/8/8/3RK3 w - - 0 1");
        let hangs = hanging(board.board(), Color::White);
        assert_eq!(hangs, [Square::E4]);
        let legal: Vec<Legal> = board.legal_moves().into_iter().map(Legal::of).collect();
        let view = View {
            board: &board,
            answered: None,
            own: None,
            ply: 20,
        };
        let how = |uci: &str| {
            let mv = uci.parse::<UciMove>().unwrap().to_move(&board).unwrap();
            let item = legal.iter().find(|item| item.mv == mv).unwrap();
            seen_with(&view, item, &hangs)
        };
        let lost = LOSES + 2 * 6 + place_of(Role::Knight);
        assert!(how("e1f2").contains(&lost), "the knight still hangs");
        assert!(
            how("d1d5").iter().all(|&place| place != lost),
            "the pawn is gone"
        );
    }

    #[test]
    fn both_sides_see_the_board_alike() {
        let line = |text: &str| {
            text.split_whitespace()
                .map(str::to_owned)
                .collect::<Vec<_>>()
        };
        let white = seen_after(&line("g1f3 g8f6 f3g1 f6g8")).unwrap();
        let black = seen_after(&line("g1f3 g8f6 f3g1 f6g8 g1f3 g8f6 f3g1")).unwrap();
        let lands = |seen: &[(Legal, Seen)], from: Square, to: Square| {
            let found = seen
                .iter()
                .find(|(item, _)| (item.from, item.to) == (from, to));
            found.map(|(_, seen)| (seen[0], seen[1])).unwrap()
        };
        assert_eq!(
            lands(&white, Square::E2, Square::E4),
            lands(&black, Square::E7, Square::E5)
        );
    }

    #[test]
    fn a_table_of_another_size_is_refused() {
        assert!(Habits::of(vec![0.0; SIZE]).is_ok());
        assert!(Habits::of(vec![0.0; 3]).unwrap_err().contains("3 weights"));
        assert!(
            seen_after(&["e2e5".to_owned()])
                .unwrap_err()
                .contains("e2e5")
        );
    }

    #[test]
    fn nothing_seen_lies_outside_the_table() {
        for line in [
            "",
            "e2e4 d7d5 e4d5 d8d5 b1c3",
            "e2e4 e7e5 g1f3 b8c6 f1c4 g8f6 f3g5 f6e4",
        ] {
            let line: Vec<String> = line.split_whitespace().map(str::to_owned).collect();
            for (item, seen) in seen_after(&line).unwrap() {
                assert!(
                    !seen.is_empty() && seen.iter().all(|&place| usize::from(place) < SIZE),
                    "{item:?}"
                );
            }
        }
    }
}
