//! A middlegame and an endgame score in one number, and the scores of mates.

use std::ops::{Add, AddAssign, Mul, Neg, Sub, SubAssign};

/// A middlegame and an endgame score, added in one addition.
#[derive(Clone, Copy, Default, PartialEq, Eq, Debug)]
pub struct S(i32);

/// A pair from its middlegame and endgame score.
#[must_use]
pub const fn s(middle: i32, end: i32) -> S {
    S((end << 16) + middle)
}

impl S {
    /// The middlegame score.
    #[inline]
    #[must_use]
    pub const fn middle(self) -> i32 {
        self.0 as i16 as i32
    }

    /// The endgame score.
    #[inline]
    #[must_use]
    pub const fn end(self) -> i32 {
        // The lower half borrows from the upper one when it is negative.
        (self.0 + 0x8000) >> 16
    }
}

impl Add for S {
    type Output = S;
    #[inline]
    fn add(self, other: S) -> S {
        S(self.0.wrapping_add(other.0))
    }
}

impl Sub for S {
    type Output = S;
    #[inline]
    fn sub(self, other: S) -> S {
        S(self.0.wrapping_sub(other.0))
    }
}

impl AddAssign for S {
    #[inline]
    fn add_assign(&mut self, other: S) {
        *self = *self + other;
    }
}

impl SubAssign for S {
    #[inline]
    fn sub_assign(&mut self, other: S) {
        *self = *self - other;
    }
}

impl Mul<i32> for S {
    type Output = S;
    #[inline]
    fn mul(self, times: i32) -> S {
        S(self.0.wrapping_mul(times))
    }
}

impl Neg for S {
    type Output = S;
    #[inline]
    fn neg(self) -> S {
        S(self.0.wrapping_neg())
    }
}

/// Deepest line the search follows.
pub const MAX_PLY: usize = 128;
/// Mate on the board; mate in `n` plies scores `n` less.
pub const MATE: i32 = 32_000;
/// Scores beyond this are mates.
pub const MATE_BOUND: i32 = MATE - 2 * MAX_PLY as i32;
/// More than any score.
pub const INFINITE: i32 = 32_500;
/// Wins known without a mate in sight score around this.
pub const KNOWN_WIN: i32 = 10_000;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn halves_survive_arithmetic() {
        for (a, b) in [(-300, 500), (250, -1), (0, 0), (-1, -1), (7, -900)] {
            let pair = s(a, b);
            assert_eq!((pair.middle(), pair.end()), (a, b));
            let sum = pair * 3 - s(10, -20) + -s(1, 1);
            assert_eq!((sum.middle(), sum.end()), (3 * a - 11, 3 * b + 19));
        }
    }
}
