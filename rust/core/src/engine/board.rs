//! The engine's own board: bitboards, a copy square by square, keys kept up to date by each move.
//!
//! Small enough to be copied for every move tried, which is cheaper than taking moves back.

use shakmaty::{Bitboard, CastlingSide, Chess, Color, EnPassantMode, Position, Square, attacks};

use super::moves::{Kind, Move};
use super::weights::PLACED;
use super::{S, key_table};

/// White is 0, black is 1: `side ^ 1` is the other side.
pub type Side = usize;
pub const WHITE: Side = 0;
pub const BLACK: Side = 1;

pub const PAWN: usize = 0;
pub const KNIGHT: usize = 1;
pub const BISHOP: usize = 2;
pub const ROOK: usize = 3;
pub const QUEEN: usize = 4;
pub const KING: usize = 5;

/// What a square without a piece holds; pieces are `6 * side + role`.
pub const NOBODY: u8 = 12;

/// The squares in line with each square on an empty board: straight, slanting.
static LINES: [(u64, u64); 64] = lines();

const fn lines() -> [(u64, u64); 64] {
    let mut lines = [(0, 0); 64];
    let mut index = 0;
    while index < 64 {
        let (file, rank) = (index & 7, index >> 3);
        let mut other = 0;
        while other < 64 {
            let (aside, ahead) = (
                (other & 7_usize).abs_diff(file),
                (other >> 3).abs_diff(rank),
            );
            if other != index && (aside == 0 || ahead == 0) {
                lines[index].0 |= 1 << other;
            }
            if other != index && aside == ahead {
                lines[index].1 |= 1 << other;
            }
            other += 1;
        }
        index += 1;
    }
    lines
}

const SIDES: [Color; 2] = [Color::White, Color::Black];

/// How much each role counts towards the middlegame (24 with all pieces on the board).
const PHASE: [u8; 6] = [0, 1, 1, 2, 4, 0];

/// A position as the search sees it.
#[derive(Clone, Copy, Debug)]
pub struct Board {
    roles: [Bitboard; 6],
    sides: [Bitboard; 2],
    cells: [u8; 64],
    kings: [Square; 2],
    /// Who gives check to the side to move.
    pub checkers: Bitboard,
    /// Pieces of either side that alone stand between the king of the side to move and a
    /// long-range piece of the other.
    pub screens: Bitboard,
    /// Zobrist key of everything that decides legal moves.
    pub key: u64,
    /// Zobrist key of the pawns alone; 0 without any.
    pub pawn_key: u64,
    /// Material and placement, from White's side.
    pub placed: S,
    /// 24 with all pieces on the board, 0 with pawns and kings only.
    pub phase: u8,
    /// Whose move it is.
    pub turn: Side,
    /// Half-moves since the last capture or pawn move.
    pub quiet_plies: u8,
    /// En passant square, set only if a pawn stands ready to take there.
    pub en_passant: Option<Square>,
    castling: u8,
    castling_rooks: [Square; 4],
    /// Squares from or to which a move gives up a right to castle.
    castling_men: Bitboard,
}

/// Attacks of a pawn of `side` on `square`.
#[inline]
pub fn pawn_attacks(side: Side, square: Square) -> Bitboard {
    attacks::pawn_attacks(SIDES[side & 1], square)
}

/// The square a rank nearer to `side`'s first rank.
#[inline]
pub fn behind(side: Side, square: Square) -> Square {
    let index = square.to_u32();
    Square::new(
        (if side == WHITE {
            index.wrapping_sub(8)
        } else {
            index + 8
        }) & 63,
    )
}

impl Board {
    /// The engine's board of a legal position.
    pub fn of(position: &Chess) -> Board {
        let mut board = Board {
            roles: [Bitboard::EMPTY; 6],
            sides: [Bitboard::EMPTY; 2],
            cells: [NOBODY; 64],
            // A legal position has a king of either side: both are put on their squares below.
            kings: [Square::A1; 2],
            checkers: position.checkers(),
            screens: Bitboard::EMPTY,
            key: 0,
            pawn_key: 0,
            placed: S::default(),
            phase: 0,
            turn: position.turn().fold_wb(WHITE, BLACK),
            quiet_plies: u8::try_from(position.halfmoves()).unwrap_or(u8::MAX),
            en_passant: position.ep_square(EnPassantMode::PseudoLegal),
            castling: 0,
            castling_rooks: [Square::A1; 4],
            castling_men: Bitboard::EMPTY,
        };
        for (square, piece) in position.board() {
            let role = usize::from(piece.role) - 1;
            board.put(square, piece.color.fold_wb(WHITE, BLACK), role);
        }
        for (slot, right) in CASTLINGS.iter().enumerate() {
            if let Some(rook) = position.castles().rook(right.0, right.1) {
                board.castling |= 1 << slot;
                board.castling_rooks[slot] = rook;
                board.castling_men |= Bitboard::from_square(rook);
                board.castling_men |= Bitboard::from_square(board.king(slot / 2));
            }
        }
        board.key ^= key_table::CASTLING[board.castling as usize & 15];
        board.key ^= board.en_passant_key();
        if board.turn == BLACK {
            board.key ^= key_table::BLACK_TO_MOVE;
        }
        board.screens = board.screening(board.king(board.turn), board.turn ^ 1);
        board
    }

    #[inline]
    pub fn occupied(&self) -> Bitboard {
        self.sides[0] | self.sides[1]
    }

    #[inline]
    pub fn side(&self, side: Side) -> Bitboard {
        self.sides[side & 1]
    }

    /// Pieces of one role, of both sides.
    #[inline]
    pub fn role(&self, role: usize) -> Bitboard {
        self.roles[role]
    }

    #[inline]
    pub fn men(&self, side: Side, role: usize) -> Bitboard {
        self.roles[role] & self.sides[side & 1]
    }

    #[inline]
    pub fn king(&self, side: Side) -> Square {
        self.kings[side & 1]
    }

    /// Piece code on a square, [`NOBODY`] if it is empty.
    #[inline]
    pub fn cell(&self, square: Square) -> u8 {
        self.cells[square.to_usize()]
    }

    /// Role on a square; 6 if it is empty.
    #[inline]
    pub fn role_on(&self, square: Square) -> usize {
        const ROLE: [u8; 16] = [0, 1, 2, 3, 4, 5, 0, 1, 2, 3, 4, 5, 6, 6, 6, 6];
        ROLE[self.cell(square) as usize & 15] as usize
    }

    /// Whether `side` has anything besides king and pawns.
    #[inline]
    pub fn has_pieces(&self, side: Side) -> bool {
        (self.sides[side & 1] & !(self.roles[PAWN] | self.roles[KING])).any()
    }

    #[inline]
    pub fn in_check(&self) -> bool {
        self.checkers.any()
    }

    /// Slots of the castling rights still held by `side`.
    #[inline]
    pub fn castling_slots(&self, side: Side) -> impl Iterator<Item = usize> + use<> {
        let rights = self.castling >> (2 * side) & 3;
        (0..2usize)
            .filter(move |slot| rights >> slot & 1 == 1)
            .map(move |slot| 2 * side + slot)
    }

    /// Where the king and the rook of a castling slot go.
    #[inline]
    pub fn castling_squares(slot: usize) -> (Square, Square) {
        const TO: [(Square, Square); 4] = [
            (Square::G1, Square::F1),
            (Square::C1, Square::D1),
            (Square::G8, Square::F8),
            (Square::C8, Square::D8),
        ];
        TO[slot & 3]
    }

    #[inline]
    pub fn castling_rook(&self, slot: usize) -> Square {
        self.castling_rooks[slot & 3]
    }

    /// Pieces of both sides that attack `square`, with `occupied` deciding what is in the way.
    #[inline]
    pub fn attackers(&self, square: Square, occupied: Bitboard) -> Bitboard {
        let straight = self.roles[ROOK] | self.roles[QUEEN];
        let slanting = self.roles[BISHOP] | self.roles[QUEEN];
        (pawn_attacks(BLACK, square) & self.men(WHITE, PAWN))
            | (pawn_attacks(WHITE, square) & self.men(BLACK, PAWN))
            | (attacks::knight_attacks(square) & self.roles[KNIGHT])
            | (attacks::king_attacks(square) & self.roles[KING])
            | (attacks::rook_attacks(square, occupied) & straight)
            | (attacks::bishop_attacks(square, occupied) & slanting)
    }

    /// Whether `by` attacks `square`, with `occupied` deciding what is in the way.
    #[inline]
    pub fn attacked(&self, square: Square, by: Side, occupied: Bitboard) -> bool {
        let theirs = self.sides[by & 1];
        (pawn_attacks(by ^ 1, square) & theirs & self.roles[PAWN]).any()
            || (attacks::knight_attacks(square) & theirs & self.roles[KNIGHT]).any()
            || (attacks::king_attacks(square) & theirs & self.roles[KING]).any()
            || (attacks::bishop_attacks(square, occupied)
                & theirs
                & (self.roles[BISHOP] | self.roles[QUEEN]))
                .any()
            || (attacks::rook_attacks(square, occupied)
                & theirs
                & (self.roles[ROOK] | self.roles[QUEEN]))
                .any()
    }

    /// Pieces of `side` that stand between their king and a piece pinning them.
    #[inline]
    pub fn pinned(&self, side: Side) -> Bitboard {
        let screens = if side == self.turn {
            self.screens
        } else {
            self.screening(self.king(side), side ^ 1)
        };
        screens & self.sides[side & 1]
    }

    /// Long-range pieces of `by` in line with `king`, whatever stands between.
    #[inline]
    fn snipers(&self, king: Square, by: Side) -> Bitboard {
        let straight = self.roles[ROOK] | self.roles[QUEEN];
        let slanting = self.roles[BISHOP] | self.roles[QUEEN];
        let (straight_lines, slanting_lines) = LINES[king.to_usize()];
        ((Bitboard(straight_lines) & straight) | (Bitboard(slanting_lines) & slanting))
            & self.sides[by & 1]
    }

    /// Pieces of either side that alone stand between `king` and a long-range piece of `by`.
    pub fn screening(&self, king: Square, by: Side) -> Bitboard {
        let occupied = self.occupied();
        let mut screening = Bitboard::EMPTY;
        for sniper in self.snipers(king, by) {
            let between = attacks::between(king, sniper) & occupied;
            if !between.more_than_one() {
                screening |= between;
            }
        }
        screening
    }

    /// Finds who gives check to the side to move, and what stands between its king and a check.
    #[inline]
    fn look_at_king(&mut self) {
        let (us, them) = (self.turn & 1, self.turn & 1 ^ 1);
        let (king, occupied) = (self.king(us), self.occupied());
        let mut checkers = ((pawn_attacks(us, king) & self.roles[PAWN])
            | (attacks::knight_attacks(king) & self.roles[KNIGHT]))
            & self.sides[them];
        let mut screens = Bitboard::EMPTY;
        for sniper in self.snipers(king, them) {
            let between = attacks::between(king, sniper) & occupied;
            if between.is_empty() {
                checkers |= Bitboard::from_square(sniper);
            } else if !between.more_than_one() {
                screens |= between;
            }
        }
        (self.checkers, self.screens) = (checkers, screens);
    }

    /// The position after a legal move.
    #[inline]
    #[must_use]
    pub fn after(&self, played: Move) -> Board {
        let mut next = *self;
        next.play(played);
        next
    }

    /// About the key of the position after a move: exact but for castling, castling rights,
    /// promotions and en passant, which are rare enough for a hint.
    #[inline]
    pub fn likely_key(&self, played: Move) -> u64 {
        let (from, to) = (played.from().to_usize(), played.to().to_usize());
        let piece = self.cells[from] as usize;
        let taken = self.cells[to] as usize;
        let mut key = self.key ^ key_table::BLACK_TO_MOVE;
        key ^= key_table::PIECES[piece.min(11)][from] ^ key_table::PIECES[piece.min(11)][to];
        if taken < NOBODY as usize {
            key ^= key_table::PIECES[taken][to];
        }
        key
    }

    /// The key of the position after passing.
    #[inline]
    pub fn key_after_pass(&self) -> u64 {
        self.key ^ self.en_passant_key() ^ key_table::BLACK_TO_MOVE
    }

    /// The position after passing; only sensible when not in check.
    #[must_use]
    pub fn after_pass(&self) -> Board {
        let mut next = *self;
        next.key = self.key_after_pass();
        next.en_passant = None;
        next.turn ^= 1;
        next.quiet_plies = next.quiet_plies.saturating_add(1);
        next.screens = next.screening(next.king(next.turn), self.turn);
        next
    }

    /// Plays a legal move; in the search on a copy, which [`Board::after`] would copy once more.
    pub fn play(&mut self, played: Move) {
        let (us, them) = (self.turn & 1, self.turn & 1 ^ 1);
        let (from, to) = (played.from(), played.to());
        let role = self.role_on(from);
        self.key ^= self.en_passant_key() ^ key_table::BLACK_TO_MOVE;
        self.en_passant = None;
        self.quiet_plies = self.quiet_plies.saturating_add(1);
        let both = Bitboard::from_square(from) | Bitboard::from_square(to);
        if (self.castling_men & both).any() {
            self.give_up_castling(from, to, role == KING);
        }
        if played.is_plain() {
            if played.captures() {
                self.take(to, them, self.role_on(to));
            }
            self.shift(from, to, us, role);
        } else {
            self.play_special(played, us);
        }
        if role == PAWN || played.captures() {
            self.quiet_plies = 0;
        }
        self.turn = them;
        self.look_at_king();
    }

    /// Moves that do more than take one piece from one square to another.
    fn play_special(&mut self, played: Move, us: Side) {
        let (from, to, them) = (played.from(), played.to(), us ^ 1);
        match played.kind() {
            Kind::Castle => self.castle(us, from, to),
            Kind::EnPassant => {
                self.take(behind(us, to), them, PAWN);
                self.shift(from, to, us, PAWN);
            }
            Kind::Promote(promoted) => {
                if played.captures() {
                    self.take(to, them, self.role_on(to));
                }
                self.take(from, us, PAWN);
                self.put(to, us, promoted);
            }
            Kind::DoubleStep => {
                self.shift(from, to, us, PAWN);
                let square = behind(us, to);
                if (pawn_attacks(us, square) & self.men(them, PAWN)).any() {
                    self.en_passant = Some(square);
                    self.key ^= self.en_passant_key();
                }
            }
            Kind::Plain => self.shift(from, to, us, self.role_on(from)),
        }
    }

    fn castle(&mut self, us: Side, king: Square, rook: Square) {
        let kingside = rook.to_u32() > king.to_u32();
        let (king_to, rook_to) = Board::castling_squares(2 * us + usize::from(!kingside));
        self.take(king, us, KING);
        self.take(rook, us, ROOK);
        self.put(king_to, us, KING);
        self.put(rook_to, us, ROOK);
    }

    fn give_up_castling(&mut self, from: Square, to: Square, king_moves: bool) {
        self.key ^= key_table::CASTLING[self.castling as usize & 15];
        if king_moves {
            self.castling &= !(3 << (2 * self.turn));
        }
        let mut men = Bitboard::EMPTY;
        for slot in 0..4 {
            let rook = self.castling_rooks[slot];
            if rook == from || rook == to {
                self.castling &= !(1 << slot);
            }
            if self.castling >> slot & 1 == 1 {
                men |= Bitboard::from_square(rook) | Bitboard::from_square(self.king(slot / 2));
            }
        }
        self.castling_men = men;
        self.key ^= key_table::CASTLING[self.castling as usize & 15];
    }

    #[inline]
    fn en_passant_key(&self) -> u64 {
        self.en_passant
            .map_or(0, |square| key_table::EN_PASSANT[square.to_usize() & 7])
    }

    #[inline]
    fn put(&mut self, square: Square, side: Side, role: usize) {
        let code = 6 * side + role;
        self.toggle(square, side, role);
        self.cells[square.to_usize()] = code as u8;
        self.placed += PLACED[code][square.to_usize()];
        self.phase += PHASE[role];
        if role == KING {
            self.kings[side] = square;
        }
    }

    #[inline]
    fn take(&mut self, square: Square, side: Side, role: usize) {
        let role = role.min(KING);
        self.toggle(square, side, role);
        self.cells[square.to_usize()] = NOBODY;
        self.placed -= PLACED[6 * side + role][square.to_usize()];
        self.phase -= PHASE[role];
    }

    #[inline]
    fn shift(&mut self, from: Square, to: Square, side: Side, role: usize) {
        let role = role.min(KING);
        let both = Bitboard::from_square(from) | Bitboard::from_square(to);
        self.roles[role] ^= both;
        self.sides[side] ^= both;
        let code = 6 * side + role;
        let keys = &key_table::PIECES[code];
        self.change_key(keys[from.to_usize()] ^ keys[to.to_usize()], role);
        self.cells[from.to_usize()] = NOBODY;
        self.cells[to.to_usize()] = code as u8;
        let placed = &PLACED[code];
        self.placed += placed[to.to_usize()];
        self.placed -= placed[from.to_usize()];
        if role == KING {
            self.kings[side] = to;
        }
    }

    #[inline]
    fn toggle(&mut self, square: Square, side: Side, role: usize) {
        let bit = Bitboard::from_square(square);
        self.roles[role] ^= bit;
        self.sides[side] ^= bit;
        self.change_key(key_table::PIECES[6 * side + role][square.to_usize()], role);
    }

    #[inline]
    fn change_key(&mut self, key: u64, role: usize) {
        self.key ^= key;
        // Without a branch, which would be guessed wrong at every other move.
        self.pawn_key ^= key & u64::from(role == PAWN).wrapping_neg();
    }
}

const CASTLINGS: [(Color, CastlingSide); 4] = [
    (Color::White, CastlingSide::KingSide),
    (Color::White, CastlingSide::QueenSide),
    (Color::Black, CastlingSide::KingSide),
    (Color::Black, CastlingSide::QueenSide),
];
