//! What stays while the men move: the pawns, and which officers are on the board.

use shakmaty::{Color, Role, Square, attacks};

/// An officer (queen, rook, bishop or knight) of one side, wherever it stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(super) struct Officer {
    pub(super) color: Color,
    pub(super) role: Role,
}

impl Officer {
    fn rank(self) -> (bool, u8) {
        (self.color.is_black(), 6 - self.role as u8)
    }

    /// Squares attacked from `square`; the black king is never among the blockers.
    pub(super) fn attacks(self, square: usize, blockers: u64) -> u64 {
        let piece = self.role.of(self.color);
        attacks::attacks(at(square), piece, blockers.into()).into()
    }

    /// Black king squares that do not stand in the way from one square to another.
    pub(super) fn path(self, from: usize, to: usize) -> u64 {
        if self.role == Role::Knight {
            !0
        } else {
            !between(from, to)
        }
    }
}

/// Pawns by side (white, black) and officers in a fixed order, white before black.
///
/// All positions of one skeleton are solved together: the kings, the officers' squares and the
/// side to move are what varies.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(super) struct Skeleton {
    pub(super) pawns: [u64; 2],
    officers: [Option<Officer>; 3],
}

impl Skeleton {
    pub(super) fn of_pawns(white: u64, black: u64) -> Self {
        Skeleton {
            pawns: [white, black],
            officers: [None; 3],
        }
    }

    pub(super) fn officers(&self) -> impl Iterator<Item = Officer> + '_ {
        self.officers.iter().flatten().copied()
    }

    pub(super) fn officer(&self, slot: usize) -> Officer {
        self.officers[slot].expect("slots below `officer_count` are filled")
    }

    pub(super) fn officer_count(&self) -> usize {
        self.officers.iter().flatten().count()
    }

    pub(super) fn pawn_count(&self) -> u32 {
        self.all_pawns().count_ones()
    }

    pub(super) fn all_pawns(&self) -> u64 {
        self.pawns[0] | self.pawns[1]
    }

    /// Whether a side has nothing but its king.
    pub(super) fn is_bare(&self, color: Color) -> bool {
        self.pawns[side(color)] == 0 && self.officers().all(|officer| officer.color != color)
    }

    /// The skeleton with one officer more, and the slot it stands in.
    pub(super) fn with_officer(mut self, officer: Officer) -> (Self, usize) {
        let count = self.officer_count();
        let slot = self
            .officers()
            .take_while(|other| other.rank() <= officer.rank())
            .count();
        self.officers.copy_within(slot..count, slot + 1);
        self.officers[slot] = Some(officer);
        (self, slot)
    }

    pub(super) fn without_officer(mut self, slot: usize) -> Self {
        self.officers.copy_within(slot + 1.., slot);
        self.officers[2] = None;
        self
    }

    pub(super) fn without_pawn(mut self, color: Color, square: usize) -> Self {
        self.pawns[side(color)] &= !bit(square);
        self
    }

    pub(super) fn with_pawn(mut self, color: Color, square: usize) -> Self {
        self.pawns[side(color)] |= bit(square);
        self
    }

    /// The same men with the colours changed and the board turned about its middle line.
    pub(super) fn flipped(self) -> Self {
        let [white, black] = self.pawns;
        self.officers().fold(
            Skeleton::of_pawns(black.swap_bytes(), white.swap_bytes()),
            |flipped, officer| {
                let color = !officer.color;
                flipped.with_officer(Officer { color, ..officer }).0
            },
        )
    }

    /// Black king squares that are in check, with these officers' squares and this white king.
    pub(super) fn checks_to_black(&self, squares: &[usize], white_king: usize) -> u64 {
        let mut checked = pawn_attacks(Color::White, self.pawns[0]);
        for (slot, officer) in self.officers().enumerate() {
            if officer.color.is_white() {
                let blockers = self.blockers(squares, slot) | bit(white_king);
                checked |= officer.attacks(squares[slot], blockers);
            }
        }
        checked
    }

    /// Black king squares with which the white king is in check.
    pub(super) fn checks_to_white(&self, squares: &[usize], white_king: usize) -> u64 {
        if pawn_attacks(Color::Black, self.pawns[1]) & bit(white_king) != 0 {
            return !0;
        }
        let mut checked = 0;
        for (slot, officer) in self.officers().enumerate() {
            if officer.color.is_black() {
                let reached = officer.attacks(squares[slot], self.blockers(squares, slot));
                if reached & bit(white_king) != 0 {
                    checked |= officer.path(squares[slot], white_king);
                }
            }
        }
        checked
    }

    /// Everything but the kings and one officer.
    pub(super) fn blockers(&self, squares: &[usize], but: usize) -> u64 {
        let others = squares.iter().enumerate().filter(|&(slot, _)| slot != but);
        others.fold(self.all_pawns(), |all, (_, &square)| all | bit(square))
    }

    /// Black king squares that make a legal position with `to_move` to move.
    pub(super) fn legal(&self, to_move: Color, squares: &[usize], white_king: usize) -> u64 {
        let mut taken = self.all_pawns() | bit(white_king);
        if self.all_pawns() & bit(white_king) != 0 {
            return 0;
        }
        for &square in squares {
            if taken & bit(square) != 0 {
                return 0;
            }
            taken |= bit(square);
        }
        let apart = !(taken | king_attacks(white_king));
        apart
            & !match to_move {
                Color::White => self.checks_to_black(squares, white_king),
                Color::Black => self.checks_to_white(squares, white_king),
            }
    }
}

pub(super) fn at(square: usize) -> Square {
    Square::new(square as u32)
}

pub(super) fn bit(square: usize) -> u64 {
    1 << square
}

pub(super) fn side(color: Color) -> usize {
    usize::from(color.is_black())
}

pub(super) fn king_attacks(square: usize) -> u64 {
    attacks::king_attacks(at(square)).into()
}

pub(super) fn between(from: usize, to: usize) -> u64 {
    attacks::between(at(from), at(to)).into()
}

const NOT_FILE_A: u64 = 0xfefe_fefe_fefe_fefe;
const NOT_FILE_H: u64 = 0x7f7f_7f7f_7f7f_7f7f;

/// Squares a king reaches from any square of a set.
pub(super) fn neighbours(set: u64) -> u64 {
    let beside = ((set << 1) & NOT_FILE_A) | ((set >> 1) & NOT_FILE_H);
    let row = set | beside;
    beside | (row << 8) | (row >> 8)
}

pub(super) fn pawn_attacks(color: Color, pawns: u64) -> u64 {
    let ahead = match color {
        Color::White => pawns << 8,
        Color::Black => pawns >> 8,
    };
    ((ahead << 1) & NOT_FILE_A) | ((ahead >> 1) & NOT_FILE_H)
}

/// The squares of a set, lowest first.
pub(super) fn squares_of(mut set: u64) -> impl Iterator<Item = usize> {
    std::iter::from_fn(move || {
        (set != 0).then(|| {
            let square = set.trailing_zeros() as usize;
            set &= set - 1;
            square
        })
    })
}
