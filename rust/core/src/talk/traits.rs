//! What words without a square may say of a move: that it takes, retreats, attacks, closes.
//!
//! A clause such as "he hits it at once" names no move, yet fits some of the legal ones better than
//! others. Which words go with which of these traits is learned (`benches/fit_clauses.py`).

use arrayvec::ArrayVec;
use shakmaty::{Bitboard, Board, Color, File, Position, Rank, Role, Square, attacks};

use super::fit::{brings_to_bear, came_from, pins};
use super::habits::{checks, danger, exchange, moved, value};
use super::tree::{Legal, Tree};
use super::words::Wing;

macro_rules! traits {
    ($($name:ident)*) => {
        /// A trait of a move; what it is about stands where it is found.
        #[derive(Clone, Copy, Debug, PartialEq, Eq)]
        #[allow(missing_docs)]
        pub enum Trait { $($name),* }

        /// The names of the traits, in order.
        pub const TRAITS: &[&str] = &[$(stringify!($name)),*];
    };
}

traits! {
    Pawn Knight Bishop Rook Queen King CastlesShort CastlesLong
    Takes TakesPawn TakesKnight TakesBishop TakesRook TakesQueen
    TakesBack TakesTheMover WinsSomething Exchanges GivesUp
    Checks Mates AnswersCheck Blocks
    GoesBack Returns GoesHome Flees Guarded
    HitsTheMover HitsPawn HitsKnight HitsBishop HitsRook HitsQueen
    GuardsPawn GuardsPiece GuardsAttacked Pins Unpins Offers
    Develops Fianchetto Again Mirrors OpenFile Doubles
    FileA FileB FileC FileD FileE FileF FileG FileH
    TwoSteps Centre Meets Closes EnPassant Promotes
    QueensWing KingsWing
    MeetsNamed
}

/// The traits of one move.
pub type Found = ArrayVec<Trait, 32>;

const CENTRE: Bitboard = Bitboard(0x0000_003C_3C00_0000);
const LONG_DIAGONALS: Bitboard = Bitboard(0x0042_0000_0000_4200);

/// The traits of a legal move on a board.
#[must_use]
pub fn traits(tree: &Tree, node: u32, item: &Legal) -> Found {
    let board = tree.node(node).board.board();
    let mover = tree.turn(node);
    let after = moved(board, mover, item);
    let mut found = Found::new();
    let mut note = |so: bool, what: Trait| {
        if so && !found.is_full() {
            found.push(what);
        }
    };
    match item.castling {
        Some(Wing::Queen) => note(true, Trait::CastlesLong),
        Some(_) => note(true, Trait::CastlesShort),
        None => note(true, of_role(item.role)),
    }
    let last = tree.node(node).made;
    let in_check = tree.node(node).board.is_check();
    of_captures(board, mover, item, last.as_ref(), &mut note);
    let check = checks(&after, mover);
    note(check, Trait::Checks);
    if check {
        let mut next = tree.node(node).board.clone();
        next.play_unchecked(item.mv);
        note(next.is_checkmate(), Trait::Mates);
    }
    note(in_check, Trait::AnswersCheck);
    let between = item.role != Role::King && item.captured.is_none();
    note(in_check && between, Trait::Blocks);
    if item.castling.is_none() {
        of_its_way(tree, node, item, &mut note);
        of_its_aims(tree, node, item, last.as_ref(), &mut note);
        note(pinned(board, mover) > pinned(&after, mover), Trait::Unpins);
    }
    note(again(tree, node, item), Trait::Again);
    let mirrored = last.is_some_and(|last| {
        item.from == last.from.flip_vertical() && item.to == last.to.flip_vertical()
    });
    note(mirrored, Trait::Mirrors);
    if item.role == Role::Pawn {
        of_pawns(board, &after, mover, item, &mut note);
    }
    let wing = if item.to.file() < File::D {
        Trait::QueensWing
    } else {
        Trait::KingsWing
    };
    note(!matches!(item.to.file(), File::D | File::E), wing);
    found
}

/// Whether a move bears on a square that its words name.
#[must_use]
pub fn meets(tree: &Tree, node: u32, item: &Legal, named: Option<Square>) -> bool {
    named.is_some_and(|square| brings_to_bear(tree, node, item).contains(square))
}

fn of_role(role: Role) -> Trait {
    match role {
        Role::Pawn => Trait::Pawn,
        Role::Knight => Trait::Knight,
        Role::Bishop => Trait::Bishop,
        Role::Rook => Trait::Rook,
        Role::Queen => Trait::Queen,
        Role::King => Trait::King,
    }
}

fn of_captures(
    board: &Board,
    mover: Color,
    item: &Legal,
    last: Option<&Legal>,
    note: &mut impl FnMut(bool, Trait),
) {
    let gain = exchange(board, mover, item);
    note(gain < -0.5, Trait::GivesUp);
    let Some(taken) = item.captured else { return };
    note(true, Trait::Takes);
    let what = match taken {
        Role::Pawn => Trait::TakesPawn,
        Role::Knight => Trait::TakesKnight,
        Role::Bishop => Trait::TakesBishop,
        Role::Rook => Trait::TakesRook,
        Role::Queen | Role::King => Trait::TakesQueen,
    };
    note(true, what);
    let there = last.filter(|last| last.to == item.to);
    let back = there.is_some_and(|last| last.captured.is_some());
    note(back, Trait::TakesBack);
    note(there.is_some() && !back, Trait::TakesTheMover);
    note(gain > 0.5, Trait::WinsSomething);
    let alike = (value(taken) - value(item.role)).abs() < 0.5;
    note(alike && taken != Role::Pawn, Trait::Exchanges);
}

/// Where the piece comes from and goes to.
fn of_its_way(tree: &Tree, node: u32, item: &Legal, note: &mut impl FnMut(bool, Trait)) {
    let board = tree.node(node).board.board();
    let mover = tree.turn(node);
    let rank = |square: Square| mover.fold_wb(square.rank(), square.rank().flip_vertical());
    let (from, to) = (rank(item.from), rank(item.to));
    note(to < from, Trait::GoesBack);
    note(came_from(tree, node, item), Trait::Returns);
    note(
        to == Rank::First && item.role != Role::King,
        Trait::GoesHome,
    );
    match danger(board, mover, item) {
        Some(0 | 1) => note(true, Trait::Flees),
        Some(_) => note(true, Trait::Guarded),
        None => {}
    }
    let minor = matches!(item.role, Role::Knight | Role::Bishop);
    note(minor && from == Rank::First && to > from, Trait::Develops);
    let diagonal = item.role == Role::Bishop && LONG_DIAGONALS.contains(item.to);
    note(diagonal && from == Rank::First, Trait::Fianchetto);
    if item.role == Role::Rook {
        let file = Bitboard::from(item.to.file());
        let ours = board.by_color(mover);
        note((file & ours & board.pawns()).is_empty(), Trait::OpenFile);
        let mates = file & ours & board.rooks_and_queens();
        note(mates.without(item.from).any(), Trait::Doubles);
    }
}

/// What the piece bears on after the move and did not before.
fn of_its_aims(
    tree: &Tree,
    node: u32,
    item: &Legal,
    last: Option<&Legal>,
    note: &mut impl FnMut(bool, Trait),
) {
    let board = tree.node(node).board.board();
    let mover = tree.turn(node);
    let met = brings_to_bear(tree, node, item);
    let theirs = met & board.by_color(!mover);
    let ours = met & board.by_color(mover) & !board.kings();
    note(
        last.is_some_and(|last| theirs.contains(last.to)),
        Trait::HitsTheMover,
    );
    for (role, hits) in [
        (Role::Pawn, Trait::HitsPawn),
        (Role::Knight, Trait::HitsKnight),
        (Role::Bishop, Trait::HitsBishop),
        (Role::Rook, Trait::HitsRook),
        (Role::Queen, Trait::HitsQueen),
    ] {
        note((theirs & board.by_role(role)).any(), hits);
    }
    note((ours & board.pawns()).any(), Trait::GuardsPawn);
    note((ours & !board.pawns()).any(), Trait::GuardsPiece);
    let attacked = |square: Square| board.attacks_to(square, !mover, board.occupied()).any();
    note(ours.into_iter().any(attacked), Trait::GuardsAttacked);
    let pinning = theirs & !board.kings();
    note(
        pinning
            .into_iter()
            .any(|square| pins(board, item, mover, square)),
        Trait::Pins,
    );
    let peer = item.role != Role::Pawn && (theirs & board.by_role(item.role)).any();
    note(peer, Trait::Offers);
}

fn of_pawns(
    board: &Board,
    after: &Board,
    mover: Color,
    item: &Legal,
    note: &mut impl FnMut(bool, Trait),
) {
    const FILES: [Trait; 8] = [
        Trait::FileA,
        Trait::FileB,
        Trait::FileC,
        Trait::FileD,
        Trait::FileE,
        Trait::FileF,
        Trait::FileG,
        Trait::FileH,
    ];
    note(true, FILES[item.from.file() as usize]);
    let steps = (item.from.rank() as i8 - item.to.rank() as i8).abs();
    note(steps == 2, Trait::TwoSteps);
    note(CENTRE.contains(item.to), Trait::Centre);
    note(item.ep, Trait::EnPassant);
    note(item.promotion.is_some(), Trait::Promotes);
    if item.captured.is_some() {
        return;
    }
    let enemy = board.pawns() & board.by_color(!mover);
    let touched = |square| (attacks::pawn_attacks(mover, square) & enemy).any();
    let meets = touched(item.to);
    note(meets, Trait::Meets);
    let barred = item
        .to
        .offset(mover.fold_wb(8, -8))
        .is_some_and(|next| (Bitboard::from(next) & after.pawns()).any());
    note(barred && (touched(item.from) || !meets), Trait::Closes);
}

/// Whether the piece is the one its side moved last.
fn again(tree: &Tree, node: u32, item: &Legal) -> bool {
    let own = tree
        .parent(node)
        .and_then(|before| tree.node(before).made)
        .map(|made| made.to);
    own == Some(item.from)
}

/// How many of a side's men are pinned to its king or queen.
fn pinned(board: &Board, side: Color) -> usize {
    let ours = board.by_color(side);
    let behind = ours & (board.kings() | board.queens());
    let men = ours & !board.pawns() & !behind;
    let sliders = board.by_color(!side) & board.sliders();
    sliders
        .into_iter()
        .filter_map(|square| Some((square, board.piece_at(square)?)))
        .map(|(square, piece)| {
            let seen = attacks::attacks(square, piece, board.occupied());
            (seen & men)
                .into_iter()
                .filter(|&man| {
                    let open = board.occupied().without(man);
                    let beyond = attacks::attacks(square, piece, open) & !seen;
                    (beyond & behind).any()
                })
                .count()
        })
        .sum()
}
