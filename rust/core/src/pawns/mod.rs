//! Pawn endings: exact tables for few men, bounds for more.
//!
//! All positions with the same pawns and officers are one *skeleton* and are solved together by
//! retrograde analysis, after every skeleton its moves can turn it into. Promotions are followed
//! into tables as far as those are affordable; beyond, a win is claimed only where it holds
//! whatever the promotion is worth, and a third reading judges by rule of thumb.

mod length;
mod skeleton;
mod slice;
mod solver;
mod table;

pub use table::{Bracket, MoveBracket, NoTable, Tables};

#[cfg(test)]
mod tests;
