//! Moves in 16 bits, and making them: captures and quiet moves apart, each made directly.

use std::fmt;

use arrayvec::ArrayVec;
use shakmaty::{Bitboard, Rank, Square, attacks};

use super::board::{
    BISHOP, Board, KING, KNIGHT, PAWN, QUEEN, ROOK, Side, WHITE, behind, pawn_attacks,
};

/// A move: from, to (the rook's square for castling) and four bits of kind.
#[derive(Clone, Copy, PartialEq, Eq, Default)]
pub struct Move(pub u16);

/// What a move does besides going from one square to another.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Kind {
    Plain,
    DoubleStep,
    Castle,
    EnPassant,
    Promote(usize),
}

const DOUBLE_STEP: u16 = 1 << 12;
const CASTLE: u16 = 2 << 12;
const CAPTURE: u16 = 4 << 12;
const EN_PASSANT: u16 = 5 << 12;
const PROMOTE: u16 = 8 << 12;

impl Move {
    /// No move at all; also stands for passing.
    pub const NONE: Move = Move(0);

    #[inline]
    fn new(from: Square, to: Square, kind: u16) -> Move {
        Move(from.to_u32() as u16 | (to.to_u32() as u16) << 6 | kind)
    }

    #[inline]
    pub fn from(self) -> Square {
        Square::new(u32::from(self.0 & 63))
    }

    #[inline]
    pub fn to(self) -> Square {
        Square::new(u32::from(self.0 >> 6 & 63))
    }

    #[inline]
    pub fn kind(self) -> Kind {
        match self.0 >> 12 {
            1 => Kind::DoubleStep,
            2 => Kind::Castle,
            5 => Kind::EnPassant,
            code if code & 8 != 0 => Kind::Promote(KNIGHT + (code & 3) as usize),
            _ => Kind::Plain,
        }
    }

    #[inline]
    pub fn captures(self) -> bool {
        self.0 & CAPTURE != 0
    }

    #[inline]
    pub fn promotes(self) -> bool {
        self.0 & PROMOTE != 0
    }

    #[inline]
    pub fn is_en_passant(self) -> bool {
        self.0 >> 12 == EN_PASSANT >> 12
    }

    /// Takes what stands elsewhere than on the target square, or puts something new there.
    #[inline]
    pub fn is_unusual(self) -> bool {
        self.0 >= EN_PASSANT
    }

    /// Takes one piece from one square to another, capturing or not.
    #[inline]
    pub fn is_plain(self) -> bool {
        self.0 & (DOUBLE_STEP | CASTLE | PROMOTE) == 0
    }

    /// Neither a capture nor a promotion.
    #[inline]
    pub fn is_quiet(self) -> bool {
        self.0 & (CAPTURE | PROMOTE) == 0
    }

    #[inline]
    pub fn is_none(self) -> bool {
        self.0 == 0
    }

    /// The move in the notation of UCI; castling by the king's target where king and rook stand
    /// as in the usual game, by the rook's square otherwise.
    pub fn uci(self) -> String {
        let (from, mut to) = (self.from(), self.to());
        if self.kind() == Kind::Castle {
            let usual = matches!(
                (from, to),
                (Square::E1, Square::H1 | Square::A1) | (Square::E8, Square::H8 | Square::A8)
            );
            if usual {
                let side = usize::from(from == Square::E8);
                let slot = 2 * side + usize::from(to.to_u32() < from.to_u32());
                to = Board::castling_squares(slot).0;
            }
        }
        let suffix = match self.kind() {
            Kind::Promote(role) => ["", "n", "b", "r", "q"][role.min(QUEEN)],
            _ => "",
        };
        format!("{from}{to}{suffix}")
    }
}

impl fmt::Debug for Move {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.uci())
    }
}

/// A move with the number it is sorted by, in one word that compares as they are tried: by rank,
/// then the earlier place in the list.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Ranked(i64);

impl Ranked {
    /// A move with its rank that stands at `place` in the list.
    #[inline]
    pub fn new(played: Move, rank: i32, place: usize) -> Ranked {
        Ranked(i64::from(rank) << 32 | (0xffff - place as i64) << 16 | i64::from(played.0))
    }

    #[inline]
    pub fn played(self) -> Move {
        Move(self.0 as u16)
    }

    #[inline]
    pub fn rank(self) -> i32 {
        (self.0 >> 32) as i32
    }

    #[inline]
    pub fn place(self) -> usize {
        0xffff - (self.0 >> 16 & 0xffff) as usize
    }
}

/// Moves of one position; no position has more than 218.
pub type Moves = ArrayVec<Ranked, 256>;

/// Appends a move; rank and place are given once all are made.
#[inline]
fn add(moves: &mut Moves, played: Move) {
    moves.push(Ranked::new(played, 0, 0));
}

#[inline]
fn forward(side: Side, pawns: Bitboard) -> Bitboard {
    Bitboard(if side == WHITE {
        pawns.0 << 8
    } else {
        pawns.0 >> 8
    })
}

/// Squares a move may end on that answers the check, everything if there is none.
#[inline]
fn answering(board: &Board) -> Bitboard {
    match board.checkers.single_square() {
        Some(checker) => {
            attacks::between(board.king(board.turn), checker) | Bitboard::from_square(checker)
        }
        None if board.checkers.any() => Bitboard::EMPTY,
        None => Bitboard::FULL,
    }
}

/// Appends captures and promotions; legal but for what [`Legality`] still has to say.
pub fn captures(board: &Board, moves: &mut Moves) {
    let us = board.turn;
    let theirs = board.side(us ^ 1);
    let answers = answering(board);
    if answers.any() {
        pawn_captures(board, answers, moves);
        pieces(board, theirs & answers, CAPTURE, moves);
    }
    let king = board.king(us);
    for to in attacks::king_attacks(king) & theirs {
        add(moves, Move::new(king, to, CAPTURE));
    }
}

/// Appends the moves that neither capture nor promote.
pub fn quiets(board: &Board, moves: &mut Moves) {
    let us = board.turn;
    let empty = !board.occupied();
    let answers = answering(board);
    if answers.any() {
        pawn_steps(board, answers & empty, moves);
        pieces(board, empty & answers, 0, moves);
    }
    let king = board.king(us);
    for to in attacks::king_attacks(king) & empty {
        add(moves, Move::new(king, to, 0));
    }
    if !board.in_check() {
        castlings(board, moves);
    }
}

/// Appends the moves of [`quiets`] that give check, for a side that is not in check itself.
pub fn quiet_checks(board: &Board, checks: &Checks, moves: &mut Moves) {
    let from = moves.len();
    if (checks.uncovering).any() {
        quiets(board, moves);
    } else {
        let empty = !board.occupied();
        let aimed = |role: usize| empty & checks.squares[role];
        pawn_steps(board, aimed(PAWN), moves);
        for role in KNIGHT..=QUEEN {
            for from in board.men(board.turn, role) {
                for to in reach(board, role, from) & aimed(role) {
                    add(moves, Move::new(from, to, 0));
                }
            }
        }
        castlings(board, moves);
    }
    let mut kept = from;
    for index in from..moves.len() {
        let played = moves[index].played();
        if checks.given_by(board, played) {
            moves[kept] = Ranked::new(played, 0, 0);
            kept += 1;
        }
    }
    moves.truncate(kept);
}

/// Squares a piece other than a pawn attacks.
#[inline]
fn reach(board: &Board, role: usize, from: Square) -> Bitboard {
    let occupied = board.occupied();
    match role {
        KNIGHT => attacks::knight_attacks(from),
        BISHOP => attacks::bishop_attacks(from, occupied),
        ROOK => attacks::rook_attacks(from, occupied),
        QUEEN => attacks::queen_attacks(from, occupied),
        _ => attacks::king_attacks(from),
    }
}

#[inline]
fn pieces(board: &Board, targets: Bitboard, kind: u16, moves: &mut Moves) {
    let us = board.turn;
    let occupied = board.occupied();
    for from in board.men(us, KNIGHT) {
        for to in attacks::knight_attacks(from) & targets {
            add(moves, Move::new(from, to, kind));
        }
    }
    for from in board.men(us, BISHOP) {
        for to in attacks::bishop_attacks(from, occupied) & targets {
            add(moves, Move::new(from, to, kind));
        }
    }
    for from in board.men(us, ROOK) {
        for to in attacks::rook_attacks(from, occupied) & targets {
            add(moves, Move::new(from, to, kind));
        }
    }
    for from in board.men(us, QUEEN) {
        for to in attacks::queen_attacks(from, occupied) & targets {
            add(moves, Move::new(from, to, kind));
        }
    }
}

fn last_rank(side: Side) -> Bitboard {
    Bitboard::from_rank(if side == WHITE {
        Rank::Eighth
    } else {
        Rank::First
    })
}

fn promotions(from: Square, to: Square, kind: u16, moves: &mut Moves) {
    for role in [QUEEN, KNIGHT, ROOK, BISHOP] {
        let role = (role - KNIGHT) as u16;
        add(moves, Move::new(from, to, PROMOTE | kind | role << 12));
    }
}

fn pawn_captures(board: &Board, answers: Bitboard, moves: &mut Moves) {
    let us = board.turn;
    let theirs = board.side(us ^ 1);
    let pawns = board.men(us, PAWN);
    let last = last_rank(us);
    let near = forward(us ^ 1, last);
    for from in pawns & near {
        for to in pawn_attacks(us, from) & theirs & answers {
            promotions(from, to, CAPTURE, moves);
        }
    }
    for to in forward(us, pawns & near) & !board.occupied() & answers {
        promotions(behind(us, to), to, 0, moves);
    }
    let reach = pawn_captures_of(us, pawns & !near) & theirs & answers;
    for to in reach {
        for from in pawn_attacks(us ^ 1, to) & pawns {
            add(moves, Move::new(from, to, CAPTURE));
        }
    }
    if let Some(to) = board.en_passant {
        // Taking en passant may answer a check by the pawn that has just moved.
        let gone = Bitboard::from_square(behind(us, to));
        if ((gone | Bitboard::from_square(to)) & answers).any() {
            for from in pawn_attacks(us ^ 1, to) & pawns {
                add(moves, Move::new(from, to, EN_PASSANT));
            }
        }
    }
}

/// Squares attacked by any of the pawns.
#[inline]
pub fn pawn_captures_of(side: Side, pawns: Bitboard) -> Bitboard {
    let (left, right) = (
        pawns.0 & !0x0101_0101_0101_0101,
        pawns.0 & !0x8080_8080_8080_8080,
    );
    Bitboard(if side == WHITE {
        left << 7 | right << 9
    } else {
        left >> 9 | right >> 7
    })
}

fn pawn_steps(board: &Board, targets: Bitboard, moves: &mut Moves) {
    let us = board.turn;
    let empty = !board.occupied();
    let third = Bitboard::from_rank(if us == WHITE {
        Rank::Third
    } else {
        Rank::Sixth
    });
    let single = forward(us, board.men(us, PAWN)) & empty;
    let double = forward(us, single & third) & targets;
    for to in single & targets & !last_rank(us) {
        add(moves, Move::new(behind(us, to), to, 0));
    }
    for to in double {
        add(
            moves,
            Move::new(behind(us, behind(us, to)), to, DOUBLE_STEP),
        );
    }
}

fn castlings(board: &Board, moves: &mut Moves) {
    let us = board.turn;
    let king = board.king(us);
    for slot in board.castling_slots(us) {
        let rook = board.castling_rook(slot);
        let (king_to, rook_to) = Board::castling_squares(slot);
        let both = Bitboard::from_square(king) | Bitboard::from_square(rook);
        let others = board.occupied() & !both;
        let walk = attacks::between(king, king_to) | Bitboard::from_square(king_to);
        let path = walk | attacks::between(rook, rook_to) | Bitboard::from_square(rook_to);
        let clear = (path & others).is_empty();
        if clear
            && walk
                .into_iter()
                .all(|square| !board.attacked(square, us ^ 1, others))
        {
            add(moves, Move::new(king, rook, CASTLE));
        }
    }
}

/// What is needed to say of a made move whether it leaves the king in check.
pub struct Legality {
    pinned: Bitboard,
    /// Men whose moves need a closer look: the pinned ones and the king.
    careful: Bitboard,
}

impl Legality {
    #[inline]
    pub fn of(board: &Board) -> Legality {
        let pinned = board.pinned(board.turn);
        let careful = pinned | Bitboard::from_square(board.king(board.turn));
        Legality { pinned, careful }
    }

    /// Whether a move made by [`captures`] or [`quiets`] is legal.
    #[inline(always)]
    pub fn allows(&self, board: &Board, played: Move) -> bool {
        let usual = !self.careful.contains(played.from()) && !played.is_en_passant();
        usual || self.allows_unusual(board, played)
    }

    /// [`Legality::allows`] of the king, pinned men and taking en passant.
    #[inline(never)]
    fn allows_unusual(&self, board: &Board, played: Move) -> bool {
        let (from, to, us) = (played.from(), played.to(), board.turn);
        let king = board.king(us);
        if from == king {
            let without = board.occupied() ^ Bitboard::from_square(king);
            return played.kind() == Kind::Castle || !board.attacked(to, us ^ 1, without);
        }
        if played.is_en_passant() {
            let gone = Bitboard::from_square(behind(us, to));
            let occupied =
                board.occupied() ^ Bitboard::from_square(from) ^ gone ^ Bitboard::from_square(to);
            return (board.attackers(king, occupied) & board.side(us ^ 1) & !gone).is_empty();
        }
        !self.pinned.contains(from) || attacks::ray(king, from).contains(to)
    }
}

/// From where the enemy king can be checked, and whose moves would uncover a check.
pub struct Checks {
    squares: [Bitboard; 5],
    uncovering: Bitboard,
    king: Square,
}

impl Checks {
    pub fn of(board: &Board) -> Checks {
        let (us, them) = (board.turn, board.turn ^ 1);
        let king = board.king(them);
        let occupied = board.occupied();
        let slanting = attacks::bishop_attacks(king, occupied);
        let straight = attacks::rook_attacks(king, occupied);
        Checks {
            squares: [
                pawn_attacks(them, king),
                attacks::knight_attacks(king),
                slanting,
                straight,
                slanting | straight,
            ],
            uncovering: board.screening(king, us) & board.side(us),
            king,
        }
    }

    /// Whether a legal move gives check; for castling and en passant only what is cheap to see.
    #[inline]
    pub fn given_by(&self, board: &Board, played: Move) -> bool {
        let (from, to) = (played.from(), played.to());
        if self.uncovering.contains(from) && !attacks::ray(self.king, from).contains(to) {
            return true;
        }
        match played.kind() {
            Kind::Castle => {
                let slot = 2 * board.turn + usize::from(to.to_u32() < from.to_u32());
                self.squares[ROOK].contains(Board::castling_squares(slot).1)
            }
            Kind::Promote(role) => self.squares[role].contains(to),
            _ => {
                let role = board.role_on(from);
                role < KING && self.squares[role].contains(to)
            }
        }
    }
}

/// All legal moves.
pub fn legal(board: &Board) -> Moves {
    let mut moves = Moves::new();
    captures(board, &mut moves);
    quiets(board, &mut moves);
    let legality = Legality::of(board);
    moves.retain(|ranked| legality.allows(board, ranked.played()));
    moves
}

/// Whether a move from elsewhere (a table) could have been made here by [`captures`] or
/// [`quiets`].
pub fn possible(board: &Board, played: Move) -> bool {
    let (from, to, us) = (played.from(), played.to(), board.turn);
    if played.is_none() || !board.side(us).contains(from) {
        return false;
    }
    match played.kind() {
        Kind::Castle | Kind::EnPassant | Kind::Promote(_) | Kind::DoubleStep => {
            let mut moves = Moves::new();
            if played.is_quiet() {
                quiets(board, &mut moves);
            } else {
                captures(board, &mut moves);
            }
            moves.iter().any(|ranked| ranked.played() == played)
        }
        Kind::Plain => plain_possible(board, from, to, played.captures()),
    }
}

fn plain_possible(board: &Board, from: Square, to: Square, capture: bool) -> bool {
    let us = board.turn;
    let target = if capture {
        board.side(us ^ 1)
    } else {
        !board.occupied()
    };
    if !target.contains(to) {
        return false;
    }
    let role = board.role_on(from);
    let reached = match role {
        PAWN if last_rank(us).contains(to) => Bitboard::EMPTY,
        PAWN if capture => pawn_attacks(us, from),
        PAWN => forward(us, Bitboard::from_square(from)),
        _ => reach(board, role, from),
    };
    reached.contains(to) && (role == KING || answering(board).contains(to))
}

/// Worth of what stands on a square.
#[inline]
pub fn worth_on(board: &Board, square: Square) -> i32 {
    // By the piece code: one look instead of two.
    const BY_CODE: [i32; 16] = {
        let mut by_code = [0; 16];
        let mut code = 0;
        while code < 12 {
            by_code[code] = WORTH[code % 6];
            code += 1;
        }
        by_code
    };
    BY_CODE[board.cell(square) as usize & 15]
}

/// Worth of the roles where captures are weighed against each other; textbook values.
pub const WORTH: [i32; 7] = [100, 300, 310, 500, 900, 20_000, 0];

/// Roles behind which a man may take slantwise or straight, a bit each.
const SLANTING: u32 = 1 << PAWN | 1 << BISHOP | 1 << QUEEN;
const STRAIGHT: u32 = 1 << ROOK | 1 << QUEEN;

/// Whether the exchanges on the target square of `played` leave at least `threshold` centipawns.
///
/// Source: static exchange evaluation, common practice.
pub fn exchange_wins(board: &Board, played: Move, threshold: i32) -> bool {
    let (from, to, us) = (played.from(), played.to(), board.turn);
    let mut occupied = board.occupied() ^ Bitboard::from_square(from);
    let (won, at_stake) = match played.kind() {
        Kind::Castle => return threshold <= 0,
        Kind::EnPassant => {
            occupied ^= Bitboard::from_square(behind(us, to));
            (WORTH[PAWN], WORTH[PAWN])
        }
        Kind::Promote(role) => (worth_on(board, to) + WORTH[role] - WORTH[PAWN], WORTH[role]),
        _ => (worth_on(board, to), worth_on(board, from)),
    };
    let balance = won - threshold;
    if balance < 0 {
        return false;
    }
    let balance = balance - at_stake;
    balance >= 0 || gains_by_retaking(board, to, occupied | Bitboard::from_square(to), balance)
}

/// Whether the side to move comes out ahead if both sides go on taking on `to`, where it has just
/// taken and stands `balance` behind if its piece is lost.
#[inline]
fn gains_by_retaking(board: &Board, to: Square, mut occupied: Bitboard, mut balance: i32) -> bool {
    let straight = board.role(ROOK) | board.role(QUEEN);
    let slanting = board.role(BISHOP) | board.role(QUEEN);
    let mut attackers = board.attackers(to, occupied) & occupied;
    let mut side = board.turn ^ 1;
    loop {
        let ours = attackers & board.side(side) & occupied;
        let Some((role, square)) = least(board, ours) else {
            break;
        };
        if role == KING && (attackers & occupied & board.side(side ^ 1)).any() {
            break;
        }
        occupied ^= Bitboard::from_square(square);
        side ^= 1;
        balance = -balance - 1 - WORTH[role];
        if balance >= 0 {
            break;
        }
        if SLANTING >> role & 1 == 1 {
            attackers |= attacks::bishop_attacks(to, occupied) & slanting;
        }
        if STRAIGHT >> role & 1 == 1 {
            attackers |= attacks::rook_attacks(to, occupied) & straight;
        }
        attackers &= occupied;
    }
    // Whoever has run out of good captures loses the exchange.
    side != board.turn
}

/// The least worthy of some men.
#[inline]
fn least(board: &Board, men: Bitboard) -> Option<(usize, Square)> {
    if men.is_empty() {
        return None;
    }
    let role = (PAWN..KING)
        .find(|&role| (men & board.role(role)).any())
        .unwrap_or(KING);
    Some((role, (men & board.role(role)).first()?))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::key::position_of;

    fn perft(board: &Board, depth: u32) -> u64 {
        let moves = legal(board);
        if depth <= 1 {
            return moves.len() as u64;
        }
        moves
            .iter()
            .map(|ranked| perft(&board.after(ranked.played()), depth - 1))
            .sum()
    }

    fn board(fen: &str) -> Board {
        Board::of(&position_of(fen).unwrap())
    }

    /// Source: the standard published perft table (initial position, positions 2 to 6) and the
    /// extended-castling positions shipped as test data with python-chess.
    #[test]
    fn published_counts() {
        for (fen, depth, count) in [
            (
                "rnbqkbnr/pppppppp/8/8/8/8/PPPPPPPP/RNBQKBNR w KQkq - 0 1",
                4,
                197_281,
            ),
            (
                "r3k2r/p1ppqpb1/bn2pnp1/3PN3/1p2P3/2N2Q1p/PPPBBPPP/R3K2R w KQkq - 0 1",
                3,
                97_862,
            ),
            ("8/2p5/3p4/KP5r/1R3p1k/8/4P1P1/8 w - - 0 1", 5, 674_624),
            (
                "r3k2r/Pppp1ppp/1b3nbN/nP6/BBP1P3/q4N2/Pp1P2PP/R2Q1RK1 w kq - 0 1",
                4,
                422_333,
            ),
            (
                "rnbq1k1r/pp1Pbppp/2p5/8/2B5/8/PPP1NnPP/RNBQK2R w KQ - 1 8",
                3,
                62_379,
            ),
            (
                "r4rk1/1pp1qppp/p1np1n2/2b1p1B1/2B1P1b1/P1NP1N2/1PP1QPPP/R4RK1 w - - 0 10",
                3,
                89_890,
            ),
        ] {
            assert_eq!(perft(&board(fen), depth), count, "{fen}");
        }
    }

    #[test]
    fn keys_and_placement_are_kept_up() {
        let mut board =
            board("r3k2r/p1ppqpb1/bn2pnp1/3PN3/1p2P3/2N2Q1p/PPPBBPPP/R3K2R w KQkq - 0 1");
        let mut position =
            position_of("r3k2r/p1ppqpb1/bn2pnp1/3PN3/1p2P3/2N2Q1p/PPPBBPPP/R3K2R w KQkq - 0 1")
                .unwrap();
        let mut state = 7u64;
        for _ in 0..200 {
            use shakmaty::Position;
            let moves = legal(&board);
            if moves.is_empty() {
                break;
            }
            state = state
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1);
            let played = moves[(state >> 33) as usize % moves.len()].played();
            let parsed: shakmaty::uci::UciMove = played.uci().parse().unwrap();
            position.play_unchecked(parsed.to_move(&position).unwrap());
            board = board.after(played);
            let fresh = Board::of(&position);
            assert_eq!((board.key, board.pawn_key), (fresh.key, fresh.pawn_key));
            assert_eq!((board.placed, board.phase), (fresh.placed, fresh.phase));
            assert_eq!(board.checkers, fresh.checkers);
            assert_eq!(board.screens, fresh.screens);
        }
    }

    /// Exchanges counted by hand.
    #[test]
    fn exchanges_are_weighed() {
        let all = |fen: &str, uci: &str| {
            let board = board(fen);
            let played = legal(&board)
                .iter()
                .map(|r| r.played())
                .find(|m| m.uci() == uci)
                .unwrap();
            (-1200..1200)
                .rev()
                .find(|&bar| exchange_wins(&board, played, bar))
                .unwrap()
        };
        assert_eq!(
            all("1k1r4/1pp4p/p7/4p3/8/P5P1/1PP4P/2K1R3 w - - 0 1", "e1e5"),
            100
        );
        let busy = "1k1r3q/1ppn3p/p4b2/4p3/8/P2N2P1/1PP1R1BP/2K1Q3 w - - 0 1";
        assert_eq!(all(busy, "d3e5"), 100 - 300);
    }
}
