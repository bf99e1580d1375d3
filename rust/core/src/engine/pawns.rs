//! Pawn structure and the kings' shelter, remembered by the key of the pawns.

use shakmaty::{Bitboard, File, Square};

use super::S;
use super::board::{BLACK, Board, PAWN, Side, WHITE, pawn_attacks};
use super::eval::{Silent, Witness, seen_by};
use super::features as f;
use super::moves::pawn_captures_of;
use super::weights::WEIGHTS;

/// What the pawns say.
#[derive(Clone, Copy, Default)]
pub struct PawnEntry {
    key: u64,
    /// Structure, from White's side.
    pub score: S,
    /// What the pawns do for each king, from White's side.
    pub shelter: [S; 2],
    /// Where the kings stood then.
    kings: [Option<Square>; 2],
    /// Passed pawns of both sides.
    pub passed: Bitboard,
    /// Squares attacked by the pawns of each side.
    pub attacks: [Bitboard; 2],
    /// Squares the pawns of each side attack or may attack by advancing.
    pub could_attack: [Bitboard; 2],
    /// Files with pawns of each side.
    pub files: [Bitboard; 2],
}

/// Remembered pawn structures and whole evaluations.
pub struct PawnTable {
    entries: Vec<PawnEntry>,
    /// The upper 48 bits of a position's key, and its evaluation in the lower 16.
    evaluations: Vec<u64>,
}

const PAWN_ENTRIES: usize = 1 << 12;
const EVALUATIONS: usize = 1 << 15;
/// Bits of the key that tell positions apart which share a place.
const KEY_BITS: u64 = !0xffff;

impl PawnTable {
    #[must_use]
    pub fn new() -> PawnTable {
        PawnTable {
            entries: vec![PawnEntry::default(); PAWN_ENTRIES],
            evaluations: vec![0; EVALUATIONS],
        }
    }

    /// Forgets everything.
    pub fn clear(&mut self) {
        self.entries.fill(PawnEntry::default());
        self.evaluations.fill(0);
    }

    /// The evaluation remembered of a position.
    #[inline]
    pub fn evaluation(&self, key: u64) -> Option<i32> {
        let word = self.evaluations[key as usize & (EVALUATIONS - 1)];
        ((word ^ key) & KEY_BITS == 0).then_some(i32::from(word as i16))
    }

    /// Remembers an evaluation.
    #[inline]
    pub fn keep_evaluation(&mut self, key: u64, score: i32) {
        let word = key & KEY_BITS | u64::from(score as i16 as u16);
        self.evaluations[key as usize & (EVALUATIONS - 1)] = word;
    }

    /// What the pawns of a position say.
    #[inline]
    pub fn entry(&mut self, board: &Board) -> &PawnEntry {
        let slot = &mut self.entries[board.pawn_key as usize & (PAWN_ENTRIES - 1)];
        if slot.key != board.pawn_key {
            *slot = structure(board, &mut Silent);
        }
        for side in [WHITE, BLACK] {
            let king = Some(board.king(side));
            if slot.kings[side] != king {
                slot.kings[side] = king;
                slot.shelter[side] = shelter(board, side, &mut Silent);
            }
        }
        slot
    }
}

impl Default for PawnTable {
    fn default() -> Self {
        PawnTable::new()
    }
}

/// Squares in front of `square` on its file.
#[inline]
pub fn ahead(side: Side, square: Square) -> Bitboard {
    let index = square.to_u32();
    Bitboard(if side == WHITE {
        (0x0101_0101_0101_0100 << index) & if index >= 56 { 0 } else { !0 }
    } else {
        0x0080_8080_8080_8080 >> (63 - index)
    })
}

/// The files beside a set of squares added to it.
#[inline]
fn widened(squares: Bitboard) -> Bitboard {
    let Bitboard(bits) = squares;
    Bitboard(bits | (bits & !0x8080_8080_8080_8080) << 1 | (bits & !0x0101_0101_0101_0101) >> 1)
}

fn filled_forward(side: Side, squares: Bitboard) -> Bitboard {
    let Bitboard(mut bits) = squares;
    if side == WHITE {
        bits |= bits << 8;
        bits |= bits << 16;
        bits |= bits << 32;
    } else {
        bits |= bits >> 8;
        bits |= bits >> 16;
        bits |= bits >> 32;
    }
    Bitboard(bits)
}

struct Tally<'a, W: Witness> {
    score: S,
    witness: &'a mut W,
}

impl<W: Witness> Tally<'_, W> {
    fn add(&mut self, index: usize, side: Side) {
        let sign = 1 - 2 * side as i32;
        self.score += WEIGHTS[index] * sign;
        self.witness.saw(index, sign);
    }
}

/// The pawn structure of a position, counted afresh; the shelter stays open.
pub fn structure<W: Witness>(board: &Board, witness: &mut W) -> PawnEntry {
    let mut entry = PawnEntry {
        key: board.pawn_key,
        ..PawnEntry::default()
    };
    for side in [WHITE, BLACK] {
        let pawns = board.men(side, PAWN);
        entry.attacks[side] = pawn_captures_of(side, pawns);
        entry.could_attack[side] = filled_forward(side, entry.attacks[side]);
        entry.files[side] = filled_forward(WHITE, pawns) | filled_forward(BLACK, pawns);
    }
    let mut tally = Tally {
        score: S::default(),
        witness,
    };
    for side in [WHITE, BLACK] {
        for square in board.men(side, PAWN) {
            if pawn(board, &entry, side, square, &mut tally) {
                entry.passed.add(square);
            }
        }
    }
    entry.score = tally.score;
    entry
}

/// Counts one pawn; returns whether it is passed.
fn pawn<W: Witness>(
    board: &Board,
    entry: &PawnEntry,
    us: Side,
    square: Square,
    tally: &mut Tally<'_, W>,
) -> bool {
    let them = us ^ 1;
    let (own, enemy) = (board.men(us, PAWN), board.men(them, PAWN));
    let rank = seen_by(us, square).rank() as usize;
    let front = ahead(us, square);
    let here = Bitboard::from_square(square);
    let beside = widened(Bitboard::from_file(square.file())) & !Bitboard::from_file(square.file());
    let open = (front & enemy).is_empty();
    let doubled = (front & own).any();
    let supporters = pawn_attacks(them, square) & own;
    let phalanx = widened(here) & !here & own;
    if supporters.any() {
        tally.add(f::SUPPORTED + rank, us);
    }
    if phalanx.any() {
        tally.add(f::PHALANX + rank, us);
    }
    if doubled {
        tally.add(f::DOUBLED, us);
    }
    if (beside & own).is_empty() {
        tally.add(f::ISOLATED, us);
        if open {
            tally.add(f::ISOLATED_OPEN, us);
        }
    } else if supporters.is_empty() && phalanx.is_empty() {
        let rear = filled_forward(them, here) | filled_forward(them, widened(here));
        let helped = (rear & beside & own).any();
        let next = square.offset(if us == WHITE { 8 } else { -8 });
        let stopped = next.is_some_and(|next| entry.attacks[them].contains(next));
        if !helped && stopped {
            tally.add(f::BACKWARD, us);
            if open {
                tally.add(f::BACKWARD_OPEN, us);
            }
        }
    }
    let way = widened(front) & enemy;
    let passed = way.is_empty() && !doubled;
    if passed {
        tally.add(f::PASSED + rank, us);
    } else if open && !doubled {
        let next = filled_forward(us, here);
        let guards = (widened(next) & !next & enemy).count();
        let helpers = (filled_forward(them, widened(here)) & beside & own).count();
        if helpers >= guards {
            tally.add(f::CANDIDATE + rank, us);
        }
    }
    passed
}

/// Counts the pawns in front of a king.
pub fn shelter<W: Witness>(board: &Board, us: Side, witness: &mut W) -> S {
    let mut tally = Tally {
        score: S::default(),
        witness,
    };
    let king = board.king(us);
    let (own, enemy) = (board.men(us, PAWN), board.men(us ^ 1, PAWN));
    let row = Bitboard::from_rank(king.rank());
    let not_behind = filled_forward(us, row);
    let centre = (king.file() as u32).clamp(1, 6);
    for index in centre - 1..=centre + 1 {
        let file = File::new(index);
        let column = Bitboard::from_file(file) & not_behind;
        let edge = index.min(7 - index) as usize;
        let nearest = |pawns: Bitboard| {
            let found = column & pawns;
            let square = if us == WHITE {
                found.first()
            } else {
                found.last()
            };
            square.map_or(0, |square| seen_by(us, square).rank() as usize)
        };
        let (mine, theirs) = (nearest(own), nearest(enemy));
        tally.add(f::SHELTER + 8 * edge + mine, us);
        let blocked = mine != 0 && theirs == mine + 1;
        tally.add(f::STORM + 8 * usize::from(blocked) + theirs, us);
        let whole = Bitboard::from_file(file);
        if (whole & own).is_empty() {
            let index = if (whole & enemy).is_empty() {
                f::KING_FILE + 1
            } else {
                f::KING_FILE
            };
            tally.add(index, us);
        }
    }
    tally.score
}
