//! What a position is worth without looking ahead: material, placement, mobility, king safety,
//! pawns, threats, and how to drive a bare king to mate.

use shakmaty::{Bitboard, Rank, Square, attacks};

use super::board::{BISHOP, BLACK, Board, KING, KNIGHT, PAWN, QUEEN, ROOK, Side, WHITE};
use super::features::{self as f, danger};
use super::moves::pawn_captures_of;
use super::pawns::{self, PawnEntry, PawnTable};
use super::weights::{DANGER, WEIGHTS};
use super::{KNOWN_WIN, S, s};

/// Takes down what the evaluation counts, for the tuner; the search uses [`Silent`].
pub trait Witness {
    /// `index` was counted `times` for White less Black.
    fn saw(&mut self, index: usize, times: i32);
    /// `index` of the dangers was counted `times` against the king of `side`.
    fn feared(&mut self, side: Side, index: usize, times: i32);
    /// The endgame score was multiplied by `scale` / 64.
    fn scaled(&mut self, scale: i32);
}

/// Takes nothing down and costs nothing.
pub struct Silent;

impl Witness for Silent {
    #[inline(always)]
    fn saw(&mut self, _: usize, _: i32) {}
    #[inline(always)]
    fn feared(&mut self, _: Side, _: usize, _: i32) {}
    #[inline(always)]
    fn scaled(&mut self, _: i32) {}
}

/// The square as White sees it if it is White's, as Black sees it otherwise.
#[inline]
pub fn seen_by(side: Side, square: Square) -> Square {
    if side == WHITE {
        square
    } else {
        square.flip_vertical()
    }
}

#[inline]
fn sign(side: Side) -> i32 {
    1 - 2 * side as i32
}

/// Where the weight of a role on a square stands.
pub const fn placement(role: usize, square: usize) -> usize {
    let file = square & 7;
    let folded = if file > 3 { 7 - file } else { file };
    f::PLACEMENT + 32 * role + 4 * (square >> 3) + folded
}

/// Attacks of both sides, as far as the evaluation has come.
struct Attacks {
    all: [Bitboard; 2],
    twice: [Bitboard; 2],
    by: [[Bitboard; 6]; 2],
    zone: [Bitboard; 2],
    pinned: [Bitboard; 2],
    danger: [i32; 2],
    attackers: [i32; 2],
}

/// What the counting of one side's pieces needs at hand.
struct Reach {
    /// Squares worth going to.
    area: Bitboard,
    king: Square,
    pinned: Bitboard,
    /// About the enemy king.
    zone: Bitboard,
    all: Bitboard,
    twice: Bitboard,
    /// What the enemy king has to fear of the pieces that attack about it, and how many they are.
    danger: i32,
    attackers: i32,
}

impl Attacks {
    /// What kings and pawns attack, before the pieces are looked at.
    #[inline(always)]
    fn of_kings_and_pawns(board: &Board) -> Attacks {
        let mut seen = Attacks {
            all: [Bitboard::EMPTY; 2],
            twice: [Bitboard::EMPTY; 2],
            by: [[Bitboard::EMPTY; 6]; 2],
            zone: [Bitboard::EMPTY; 2],
            pinned: [board.pinned(WHITE), board.pinned(BLACK)],
            danger: [0; 2],
            attackers: [0; 2],
        };
        for side in [WHITE, BLACK] {
            let king = board.king(side);
            let near = attacks::king_attacks(king);
            seen.zone[side] = near | Bitboard::from_square(king);
            seen.note(side, KING, near);
            seen.note(side, PAWN, pawn_captures_of(side, board.men(side, PAWN)));
        }
        seen
    }

    #[inline]
    fn note(&mut self, side: Side, role: usize, attacked: Bitboard) {
        self.twice[side] |= self.all[side] & attacked;
        self.all[side] |= attacked;
        self.by[side][role] |= attacked;
    }
}

/// The evaluation in centipawns as the side to move sees it.
pub fn evaluate(board: &Board, table: &mut PawnTable) -> i32 {
    if let Some(score) = table.evaluation(board.key) {
        return score;
    }
    let score = judged(board, table.entry(board), &mut Silent);
    table.keep_evaluation(board.key, score);
    score
}

/// How far the evaluation may be from [`rough`]: in a million positions of four middlegames
/// 965 differed by more.
pub const UNSURE: i32 = 250;

/// With fewer pieces a single passed pawn may decide, and [`rough`] says nothing.
const ROUGH_PHASE: u8 = 8;

/// What material, placement and pawns alone say, as the side to move sees it.
#[inline]
pub fn rough(board: &Board, table: &mut PawnTable) -> Option<i32> {
    if board.phase < ROUGH_PHASE {
        return None;
    }
    let entry = table.entry(board);
    let total = board.placed + entry.score + entry.shelter[WHITE] + entry.shelter[BLACK];
    let phase = i32::from(board.phase.min(24));
    let score = (total.middle() * phase + total.end() * (24 - phase)) / 24;
    Some(score * sign(board.turn))
}

/// The evaluation, with everything it counts told to `witness`.
pub fn judged<W: Witness>(board: &Board, entry: &PawnEntry, witness: &mut W) -> i32 {
    if let Some(score) = known(board) {
        return score * sign(board.turn);
    }
    let mut total = board.placed + entry.score + entry.shelter[WHITE] + entry.shelter[BLACK];
    let mut seen = Attacks::of_kings_and_pawns(board);
    let mut count = Counter {
        witness,
        total: S::default(),
    };
    count.pieces::<WHITE>(board, entry, &mut seen);
    count.pieces::<BLACK>(board, entry, &mut seen);
    count.threats::<WHITE>(board, &seen);
    count.threats::<BLACK>(board, &seen);
    for side in [WHITE, BLACK] {
        count.passed(board, entry, side, &seen);
        count.space(board, side, &seen);
    }
    count.add(f::TEMPO, sign(board.turn));
    total += count.total;
    let fears = [WHITE, BLACK].map(|side| fear(board, side, &seen, count.witness));
    total += s(
        fears[BLACK].0 - fears[WHITE].0,
        fears[BLACK].1 - fears[WHITE].1,
    );
    blended(board, total, witness) * sign(board.turn)
}

/// Middlegame and endgame score weighed by what is on the board.
fn blended<W: Witness>(board: &Board, total: S, witness: &mut W) -> i32 {
    let phase = i32::from(board.phase.min(24));
    let scale = endgame_scale(board, total.end());
    witness.scaled(scale);
    let score = (total.middle() * phase + total.end() * scale / 64 * (24 - phase)) / 24;
    score + driven(board, score)
}

struct Counter<'a, W: Witness> {
    witness: &'a mut W,
    total: S,
}

impl<W: Witness> Counter<'_, W> {
    #[inline(always)]
    fn add(&mut self, index: usize, times: i32) {
        self.total += WEIGHTS[index] * times;
        self.witness.saw(index, times);
    }

    #[inline(always)]
    fn one(&mut self, index: usize, side: Side) {
        if side == WHITE {
            self.total += WEIGHTS[index];
        } else {
            self.total -= WEIGHTS[index];
        }
        self.witness.saw(index, sign(side));
    }

    #[inline(always)]
    fn count(&mut self, index: usize, side: Side, squares: Bitboard) {
        self.add(index, sign(side) * squares.count() as i32);
    }

    fn pieces<const US: usize>(&mut self, board: &Board, entry: &PawnEntry, seen: &mut Attacks) {
        let occupied = board.occupied();
        let king = board.king(US);
        let area = area::<US>(board, seen);
        let (own, queens) = (board.side(US), board.role(QUEEN));
        let mut reach = Reach {
            area,
            king,
            pinned: seen.pinned[US],
            zone: seen.zone[US ^ 1],
            all: seen.all[US],
            twice: seen.twice[US],
            danger: 0,
            attackers: 0,
        };
        for square in own & board.role(KNIGHT) {
            let attacked = attacks::knight_attacks(square);
            self.piece::<US, KNIGHT>(&mut reach, seen, square, attacked);
        }
        let through = occupied & !queens;
        for square in own & board.role(BISHOP) {
            let attacked = attacks::bishop_attacks(square, through);
            self.piece::<US, BISHOP>(&mut reach, seen, square, attacked);
        }
        let through = through & !(own & board.role(ROOK));
        for square in own & board.role(ROOK) {
            let attacked = attacks::rook_attacks(square, through);
            self.piece::<US, ROOK>(&mut reach, seen, square, attacked);
        }
        for square in own & queens {
            let attacked = attacks::queen_attacks(square, occupied);
            self.piece::<US, QUEEN>(&mut reach, seen, square, attacked);
        }
        seen.all[US] = reach.all;
        seen.twice[US] = reach.twice;
        seen.danger[US ^ 1] = reach.danger;
        seen.attackers[US ^ 1] = reach.attackers;
        self.minors::<US>(board, entry, seen);
        self.rooks::<US>(board, entry);
    }

    /// Counts where a piece can go, and takes down whom it attacks.
    #[inline(always)]
    fn piece<const US: usize, const ROLE: usize>(
        &mut self,
        reach: &mut Reach,
        seen: &mut Attacks,
        square: Square,
        mut attacked: Bitboard,
    ) {
        if reach.pinned.contains(square) {
            // No knight stays on the ray.
            attacked &= attacks::ray(reach.king, square);
        }
        const FIRST: [(usize, usize); 6] = [
            (0, 0),
            (f::KNIGHT_MOBILITY, 8),
            (f::BISHOP_MOBILITY, 13),
            (f::ROOK_MOBILITY, 14),
            (f::QUEEN_MOBILITY, 27),
            (0, 0),
        ];
        let (first, most) = FIRST[ROLE];
        self.one(first + (attacked & reach.area).count().min(most), US);
        reach.twice |= reach.all & attacked;
        reach.all |= attacked;
        seen.by[US][ROLE] |= attacked;
        if (attacked & reach.zone).any() {
            reach.attackers += 1;
            reach.danger += DANGER[danger::ATTACKERS + ROLE];
            self.witness.feared(US ^ 1, danger::ATTACKERS + ROLE, 1);
        }
    }

    /// Outposts, shields and the bishops' pawns.
    #[inline]
    fn minors<const US: usize>(&mut self, board: &Board, entry: &PawnEntry, seen: &Attacks) {
        let (knights, bishops) = (board.men(US, KNIGHT), board.men(US, BISHOP));
        let outposts = Bitboard(if US == WHITE {
            0x0000_ffff_ff00_0000
        } else {
            0x0000_00ff_ffff_0000
        }) & seen.by[US][PAWN]
            & !entry.could_attack[US ^ 1];
        self.count(f::OUTPOST, US, knights & outposts);
        self.count(f::OUTPOST + BISHOP - KNIGHT, US, bishops & outposts);
        let Bitboard(pawns) = board.role(PAWN);
        let shielded = Bitboard(if US == WHITE { pawns >> 8 } else { pawns << 8 });
        self.count(f::SHIELDED, US, (knights | bishops) & shielded);
        let pawns = board.men(US, PAWN);
        for colour in [Bitboard::LIGHT_SQUARES, Bitboard::DARK_SQUARES] {
            let pairs = (bishops & colour).count() * (pawns & colour).count();
            self.add(f::BISHOP_PAWNS, sign(US) * pairs as i32);
        }
        if bishops.more_than_one() {
            self.one(f::BISHOP_PAIR, US);
        }
    }

    /// Rooks on open files and on the seventh.
    #[inline]
    fn rooks<const US: usize>(&mut self, board: &Board, entry: &PawnEntry) {
        let rooks = board.men(US, ROOK);
        let [ours, theirs] = [entry.files[US], entry.files[US ^ 1]];
        self.count(f::ROOK_OPEN, US, rooks & !ours & !theirs);
        self.count(f::ROOK_HALF_OPEN, US, rooks & !ours & theirs);
        let seventh = Bitboard::from_rank(if US == WHITE {
            Rank::Seventh
        } else {
            Rank::Second
        });
        let eighth = Bitboard::from_rank(if US == WHITE {
            Rank::Eighth
        } else {
            Rank::First
        });
        let targets = (seventh & board.role(PAWN)) | (eighth & board.role(KING));
        if (targets & board.side(US ^ 1)).any() {
            self.count(f::ROOK_SEVENTH, US, rooks & seventh);
        }
    }

    fn threats<const US: usize>(&mut self, board: &Board, seen: &Attacks) {
        let (us, them) = (US, US ^ 1);
        let theirs = board.side(them);
        let pieces = theirs & !board.role(PAWN) & !board.role(KING);
        let minors = seen.by[us][KNIGHT] | seen.by[us][BISHOP];
        let strongly = seen.by[them][PAWN] | (seen.twice[them] & !seen.twice[us]);
        let weak = theirs & !strongly & seen.all[us];
        let pawned = pieces & seen.by[us][PAWN];
        let hits = [
            (f::PAWN_ATTACKS, pawned),
            (f::MINOR_ATTACKS, minors & pieces),
            (f::ROOK_ATTACKS, seen.by[us][ROOK] & pieces),
        ];
        for (feature, victims) in hits {
            for square in victims {
                self.one(feature + board.role_on(square), us);
            }
        }
        let pawns = board.role(PAWN) & weak;
        self.count(f::MINOR_ATTACKS + PAWN, us, minors & pawns);
        self.count(f::ROOK_ATTACKS + PAWN, us, seen.by[us][ROOK] & pawns);
        let heavy = seen.by[us][QUEEN] | seen.by[us][KING];
        self.count(f::LOOSE_ATTACKED, us, heavy & weak & !seen.all[them]);
        self.count(f::HANGING, us, pieces & seen.all[us] & !seen.all[them]);
        let targets = pawn_captures_of(us, pawn_steps::<US>(board, seen)) & pieces & !pawned;
        self.count(f::STEP_ATTACKS, us, targets);
    }

    fn space(&mut self, board: &Board, us: Side, seen: &Attacks) {
        if board.phase < 12 {
            return;
        }
        const CENTRE: u64 = 0x3c3c_3c3c_3c3c_3c3c;
        let half: u64 = if us == WHITE {
            0xffff_ff00
        } else {
            0x00ff_ffff_0000_0000
        };
        let safe = Bitboard(CENTRE & half) & !board.men(us, PAWN) & !seen.by[us ^ 1][PAWN];
        let held = safe & !(seen.all[us ^ 1] & !seen.all[us]);
        self.count(f::SPACE, us, held);
    }

    fn passed(&mut self, board: &Board, entry: &PawnEntry, us: Side, seen: &Attacks) {
        let them = us ^ 1;
        for square in entry.passed & board.side(us) {
            let rank = seen_by(us, square).rank() as usize;
            let front = pawns::ahead(us, square);
            let Some(next) = square.offset(if us == WHITE { 8 } else { -8 }) else {
                continue;
            };
            if !board.occupied().contains(next) {
                self.one(f::PASSED_FREE + rank, us);
            }
            if (front & (seen.all[them] | board.side(them))).is_empty() {
                self.one(f::PASSED_SAFE + rank, us);
            }
            if seen.by[us][PAWN].contains(square) {
                self.one(f::PASSED_SUPPORTED, us);
            }
            let progress = rank as i32 - 2;
            if progress > 0 {
                let own = board.king(us).distance(next) as i32;
                let enemy = board.king(them).distance(next) as i32;
                self.add(f::PASSED_OWN_KING, sign(us) * progress * own);
                self.add(f::PASSED_ENEMY_KING, sign(us) * progress * enemy);
            }
            let rear = pawns::ahead(them, square);
            if (rear & board.men(us, ROOK)).any() {
                self.one(f::PASSED_ROOK_BEHIND, us);
            }
            if !board.has_pieces(them) && runs(board, us, square, front) {
                self.one(f::PASSED_RUNS, us);
            }
        }
    }
}

/// Where going counts for a piece: not where the king or a stuck pawn stands, nor where a pawn takes.
#[inline(always)]
fn area<const US: usize>(board: &Board, seen: &Attacks) -> Bitboard {
    let (low, before_men) = if US == WHITE {
        let low = Bitboard::from_rank(Rank::Second) | Bitboard::from_rank(Rank::Third);
        (low, board.occupied().0 >> 8)
    } else {
        let low = Bitboard::from_rank(Rank::Seventh) | Bitboard::from_rank(Rank::Sixth);
        (low, board.occupied().0 << 8)
    };
    let stuck = board.men(US, PAWN) & (low | Bitboard(before_men));
    !(stuck | Bitboard::from_square(board.king(US)) | seen.by[US ^ 1][PAWN])
}

/// Squares a pawn can step to without being lost.
#[inline(always)]
fn pawn_steps<const US: usize>(board: &Board, seen: &Attacks) -> Bitboard {
    let them = US ^ 1;
    let empty = !board.occupied();
    let safe = empty & !seen.by[them][PAWN] & (!seen.all[them] | seen.all[US]);
    let shifted =
        |Bitboard(pawns): Bitboard| Bitboard(if US == WHITE { pawns << 8 } else { pawns >> 8 });
    let third = Bitboard::from_rank(if US == WHITE {
        Rank::Third
    } else {
        Rank::Sixth
    });
    let once = shifted(board.men(US, PAWN)) & empty;
    (once | (shifted(once & third) & empty)) & safe
}

/// Whether a passed pawn queens before the enemy king can catch it.
///
/// Source: the rule of the square, common practice.
fn runs(board: &Board, us: Side, square: Square, front: Bitboard) -> bool {
    if (front & board.side(us)).any() {
        return false;
    }
    let rank = seen_by(us, square).rank() as i32;
    let steps = (7 - rank).min(5);
    let goal = Square::from_coords(
        square.file(),
        if us == WHITE {
            Rank::Eighth
        } else {
            Rank::First
        },
    );
    let king = board.king(us ^ 1).distance(goal) as i32;
    let to_move = i32::from(board.turn != us);
    king - to_move > steps
}

/// The squared danger is divided by this.
pub const DANGER_DIVISOR: i32 = 1024;
/// Most that the danger takes off: about a queen and a rook.
pub const DANGER_MOST: i32 = 1500;
/// With few pieces left the danger is far smaller.
pub const DANGER_END_DIVISOR: i32 = 8;

/// What the king of `side` has to fear: points off its middlegame and its endgame score.
fn fear<W: Witness>(board: &Board, side: Side, seen: &Attacks, witness: &mut W) -> (i32, i32) {
    let them = side ^ 1;
    if seen.attackers[side] == 0 {
        return (0, 0);
    }
    let mut sum = seen.danger[side];
    let mut add = |index: usize, times: usize| {
        sum += DANGER[index] * times as i32;
        witness.feared(side, index, times as i32);
    };
    let near = attacks::king_attacks(board.king(side));
    let weak = seen.all[them]
        & !seen.twice[side]
        & (!seen.all[side] | seen.by[side][KING] | seen.by[side][QUEEN]);
    let safe = !board.side(them) & (!seen.all[side] | (weak & seen.twice[them]));
    add(danger::ATTACKS, (near & seen.all[them]).count());
    add(danger::WEAK, (near & weak).count());
    let mut unsafe_checks = Bitboard::EMPTY;
    for (index, squares) in checks_on(board, side, seen).into_iter().enumerate() {
        let is_safe = usize::from((squares & safe).any());
        add(danger::SAFE_CHECKS + index, is_safe);
        unsafe_checks |= squares & !safe & !board.side(them);
    }
    add(danger::UNSAFE_CHECKS, unsafe_checks.count());
    let no_queen = usize::from(board.men(them, QUEEN).is_empty());
    add(danger::NO_QUEEN, no_queen);
    add(danger::PINNED, seen.pinned[side].count());
    add(danger::BASE, 1);
    let knight_near = usize::from((near & board.men(side, KNIGHT)).any());
    add(danger::KNIGHT_NEAR, knight_near);
    let sum = sum.max(0);
    (
        (sum * sum / DANGER_DIVISOR).min(DANGER_MOST),
        sum / DANGER_END_DIVISOR,
    )
}

/// Squares from which knights, bishops, rooks and queens could check the king of `side`.
#[inline(always)]
fn checks_on(board: &Board, side: Side, seen: &Attacks) -> [Bitboard; 4] {
    let them = side ^ 1;
    let king = board.king(side);
    let through = board.occupied() & !board.men(side, QUEEN);
    let straight = attacks::rook_attacks(king, through);
    let slanting = attacks::bishop_attacks(king, through);
    [
        attacks::knight_attacks(king) & seen.by[them][KNIGHT],
        slanting & seen.by[them][BISHOP],
        straight & seen.by[them][ROOK],
        (straight | slanting) & seen.by[them][QUEEN],
    ]
}

/// Scores of positions with few men that need no counting, from White's side.
fn known(board: &Board) -> Option<i32> {
    if board.phase > 3 || board.role(PAWN).any() {
        return None;
    }
    // Without pawns: two minor pieces at most on the board cannot be forced to mate, unless one
    // side has both and they are not two knights.
    let side = |side: Side| (board.side(side) & !board.role(KING)).count();
    let heavy = (board.role(ROOK) | board.role(QUEEN)).any();
    let (white, black) = (side(WHITE), side(BLACK));
    if heavy {
        return None;
    }
    let knights = board.role(KNIGHT).count();
    let bishops = board.role(BISHOP);
    let one_colour = (bishops & Bitboard::LIGHT_SQUARES).is_empty()
        || (bishops & Bitboard::DARK_SQUARES).is_empty();
    match (white.max(black), white.min(black)) {
        (0 | 1, _) => Some(0),
        (2, 0) if knights == 2 || (knights == 0 && one_colour) => Some(0),
        _ => None,
    }
}

/// How much of an endgame advantage counts, in 64ths.
///
/// Source: common practice (no pawns left to queen, bishops of opposite colours).
fn endgame_scale(board: &Board, end: i32) -> i32 {
    let strong = if end >= 0 { WHITE } else { BLACK };
    let weak = strong ^ 1;
    let bishops = board.role(BISHOP);
    let opposite = board.men(WHITE, BISHOP).single_square().is_some()
        && board.men(BLACK, BISHOP).single_square().is_some()
        && (bishops & Bitboard::LIGHT_SQUARES)
            .single_square()
            .is_some();
    if board.men(strong, PAWN).is_empty() {
        let ahead = force(board, strong) - force(board, weak);
        if ahead <= 3 {
            return if force(board, strong) < 5 { 4 } else { 12 };
        }
    }
    if opposite {
        let bare = board.phase == 2;
        let pawns = board.men(strong, PAWN).count() as i32;
        return if bare {
            (16 + 4 * pawns).min(40)
        } else {
            (40 + 3 * pawns).min(64)
        };
    }
    let pawns = board.men(strong, PAWN).count() as i32;
    (44 + 5 * pawns).min(64)
}

/// Pieces counted 3-3-5-9.
fn force(board: &Board, side: Side) -> i32 {
    [(KNIGHT, 3), (BISHOP, 3), (ROOK, 5), (QUEEN, 9)]
        .iter()
        .map(|&(role, worth)| worth * board.men(side, role).count() as i32)
        .sum()
}

/// Driving a king without pawns to the edge and bringing the own king up, on top of `score`.
///
/// Source: common practice; with bishop and knight the corner of the bishop's colour counts.
fn driven(board: &Board, score: i32) -> i32 {
    if board.phase > 12 || score.abs() < 200 {
        return 0;
    }
    let strong = if score > 0 { WHITE } else { BLACK };
    let weak = strong ^ 1;
    let helpless = (board.side(weak) & !board.role(KING)).is_empty();
    if !helpless || force(board, strong) < 5 {
        return 0;
    }
    let (king, prey) = (board.king(strong), board.king(weak));
    let near = 14 - prey.distance(king) as i32 * 2;
    let edge = |square: Square| {
        let (file, rank) = (square.file() as i32, square.rank() as i32);
        (2 * file - 7).abs() / 2 + (2 * rank - 7).abs() / 2
    };
    let bishop_and_knight = board.men(strong, BISHOP).single_square().is_some()
        && board.men(strong, KNIGHT).single_square().is_some()
        && force(board, strong) == 6;
    let corner = match board.men(strong, BISHOP).single_square() {
        Some(bishop) if bishop_and_knight => {
            let corners = if bishop.is_light() {
                [Square::A8, Square::H1]
            } else {
                [Square::A1, Square::H8]
            };
            let away = corners
                .iter()
                .map(|corner| steps(*corner, prey))
                .min()
                .unwrap_or(0);
            20 * (14 - away)
        }
        _ => 12 * edge(prey),
    };
    let sure = board.phase >= 2 && board.men(strong, PAWN).is_empty()
        || (board.men(strong, QUEEN) | board.men(strong, ROOK)).any();
    let base = if sure { KNOWN_WIN / 10 } else { 0 };
    (base + corner + 6 * near) * sign(strong)
}

/// Whether a mating drive is part of the evaluation.
pub fn is_driven(board: &Board, score: i32) -> bool {
    driven(board, score) != 0
}

/// Tells the material and the placement the board adds up by itself.
pub fn witness_placement<W: Witness>(board: &Board, witness: &mut W) {
    for square in board.occupied() {
        let (role, white) = (board.role_on(square), board.side(WHITE).contains(square));
        let side = if white { WHITE } else { BLACK };
        witness.saw(f::MATERIAL + role, sign(side));
        witness.saw(
            placement(role, seen_by(side, square).to_usize()),
            sign(side),
        );
    }
}

/// Files and ranks between two squares.
fn steps(a: Square, b: Square) -> i32 {
    (a.file().distance(b.file()) + a.rank().distance(b.rank())) as i32
}

/// The weights as the board adds them up for each move.
pub const fn placed(weights: &[S; f::COUNT]) -> [[S; 64]; 12] {
    let mut table = [[s(0, 0); 64]; 12];
    let mut role = 0;
    while role < 6 {
        let mut square = 0;
        while square < 64 {
            let (man, spot) = (
                weights[f::MATERIAL + role],
                weights[placement(role, square)],
            );
            let (middle, end) = (man.middle() + spot.middle(), man.end() + spot.end());
            table[role][square] = s(middle, end);
            table[6 + role][square ^ 56] = s(-middle, -end);
            square += 1;
        }
        role += 1;
    }
    table
}
