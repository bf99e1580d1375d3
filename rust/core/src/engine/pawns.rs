//! Pawn structure and the kings' shelter, remembered by the key of the pawns.

use shakmaty::{Bitboard, File, Square};

use super::S;
use super::board::{BLACK, Board, PAWN, Side, WHITE};
use super::eval::{Silent, Witness, seen_by};
use super::features as f;
use super::moves::pawn_captures_of;
use super::weights::WEIGHTS;

/// What the pawns say; no more than one line of the processor's cache.
#[derive(Clone, Copy, Default)]
#[repr(align(64))]
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

const _: () = assert!(size_of::<PawnEntry>() == 64);
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

    /// Has the evaluation of a position fetched, because it will be asked for soon.
    #[inline]
    pub fn expect(&self, key: u64) {
        linewright_memory::will_read(&self.evaluations[key as usize & (EVALUATIONS - 1)]);
    }

    /// Remembers an evaluation.
    #[inline]
    pub fn keep_evaluation(&mut self, key: u64, score: i32) {
        let word = key & KEY_BITS | u64::from(score as i16 as u16);
        self.evaluations[key as usize & (EVALUATIONS - 1)] = word;
    }

    /// What the pawns of a position say.
    #[inline(always)]
    pub fn entry(&mut self, board: &Board) -> &PawnEntry {
        let slot = &mut self.entries[board.pawn_key as usize & (PAWN_ENTRIES - 1)];
        let kings = [WHITE, BLACK].map(|side| Some(board.king(side)));
        if slot.key != board.pawn_key || slot.kings != kings {
            slot.renew(board, kings);
        }
        slot
    }
}

impl PawnEntry {
    /// Counts afresh what has changed; apart from the look-up, which is made for every position.
    #[inline(never)]
    fn renew(&mut self, board: &Board, kings: [Option<Square>; 2]) {
        if self.key != board.pawn_key {
            *self = structure(board, &mut Silent);
        }
        for side in [WHITE, BLACK] {
            if self.kings[side] != kings[side] {
                self.kings[side] = kings[side];
                self.shelter[side] = shelter(board, side, &mut Silent);
            }
        }
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

/// The squares to the left and right of a set of squares.
#[inline]
fn beside(squares: Bitboard) -> Bitboard {
    let Bitboard(bits) = squares;
    Bitboard((bits & !0x8080_8080_8080_8080) << 1 | (bits & !0x0101_0101_0101_0101) >> 1)
}

/// The squares a rank further on.
#[inline]
fn stepped(side: Side, squares: Bitboard) -> Bitboard {
    let Bitboard(bits) = squares;
    Bitboard(if side == WHITE { bits << 8 } else { bits >> 8 })
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
        self.count(index, side, 1);
    }

    fn count(&mut self, index: usize, side: Side, times: usize) {
        let times = times as i32 * (1 - 2 * side as i32);
        self.score += WEIGHTS[index] * times;
        self.witness.saw(index, times);
    }

    fn by_rank(&mut self, first: usize, side: Side, pawns: Bitboard) {
        for square in pawns {
            self.add(first + seen_by(side, square).rank() as usize, side);
        }
    }
}

/// The pawn structure of a position, counted afresh; the shelter stays open.
pub fn structure<W: Witness>(board: &Board, witness: &mut W) -> PawnEntry {
    let mut entry = PawnEntry {
        key: board.pawn_key,
        ..PawnEntry::default()
    };
    let mut tally = Tally {
        score: S::default(),
        witness,
    };
    for side in [WHITE, BLACK] {
        let pawns = board.men(side, PAWN);
        entry.could_attack[side] = filled_forward(side, pawn_captures_of(side, pawns));
        entry.files[side] = filled_forward(WHITE, pawns) | filled_forward(BLACK, pawns);
        entry.passed |= pawns_of(board, side, &mut tally);
    }
    entry.score = tally.score;
    entry
}

/// Counts one side's pawns; returns those that are passed.
fn pawns_of<W: Witness>(board: &Board, us: Side, tally: &mut Tally<'_, W>) -> Bitboard {
    let them = us ^ 1;
    let (own, enemy) = (board.men(us, PAWN), board.men(them, PAWN));
    // Squares behind a pawn of either side, seen from this one.
    let behind_own = filled_forward(them, stepped(them, own));
    let behind_enemy = filled_forward(them, stepped(them, enemy));
    let (doubled, open) = (own & behind_own, own & !behind_enemy);
    let supported = own & pawn_captures_of(us, own);
    let phalanx = own & beside(own);
    let isolated = own & !beside(filled_forward(WHITE, own) | filled_forward(BLACK, own));
    let helped = own & beside(filled_forward(us, own));
    let stopped = own & stepped(them, pawn_captures_of(them, enemy));
    let backward = stopped & !isolated & !supported & !helped;
    let passed = open & !beside(behind_enemy) & !doubled;
    tally.by_rank(f::SUPPORTED, us, supported);
    tally.by_rank(f::PHALANX, us, phalanx);
    tally.by_rank(f::PASSED, us, passed);
    tally.by_rank(f::LEVER, us, own & pawn_captures_of(them, enemy));
    tally.by_rank(f::RAM, us, own & stepped(them, enemy));
    let aims = pawn_captures_of(them, enemy) & !(own | enemy);
    tally.by_rank(f::BREAK, us, own & stepped(them, aims));
    for (index, pawns) in [
        (f::DOUBLED, doubled),
        (f::ISOLATED, isolated),
        (f::ISOLATED_OPEN, isolated & open),
        (f::BACKWARD, backward),
        (f::BACKWARD_OPEN, backward & open),
    ] {
        tally.count(index, us, pawns.count());
    }
    for square in open & !doubled & !passed {
        let next = filled_forward(us, Bitboard::from_square(square));
        let rear = filled_forward(them, Bitboard::from_square(square));
        if (beside(rear) & own).count() >= (beside(next) & enemy).count() {
            tally.by_rank(f::CANDIDATE, us, Bitboard::from_square(square));
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
