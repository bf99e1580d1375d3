//! Pure Rust core of linewright: position keys, reading games, search, pawn endings, finding
//! wordings and the search over the readings of a talk.
//!
//! Nothing here knows of Python; `linewright-py` converts at the border.
#![forbid(unsafe_code)]

pub mod engine;
pub mod games;
pub mod key;
pub mod pawns;
pub mod perft;
pub mod talk;
pub mod wordings;

mod error;
mod quick;

pub use error::PositionError;
