//! Games by the million: reading them, keeping them compact, indexing the positions they pass.
//!
//! The games themselves are the truth; every index is derived from them by [`index`] and can be
//! built again at any time.

pub mod arrivals;
pub mod generate;
pub mod index;
pub mod moves;
pub mod plans;
pub mod read;
mod replay;
mod tags;

pub use replay::{GameText, Replay};

/// The result of a game as it is stored in one byte.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
#[repr(u8)]
pub enum Outcome {
    /// Unfinished, unknown or contradictory: counted as played, never as a score.
    #[default]
    Unknown = 0,
    /// White won.
    White = 1,
    /// Drawn.
    Draw = 2,
    /// Black won.
    Black = 3,
}

impl Outcome {
    /// The outcome a stored byte means; anything else is unknown.
    #[must_use]
    pub const fn from_byte(byte: u8) -> Self {
        match byte {
            1 => Self::White,
            2 => Self::Draw,
            3 => Self::Black,
            _ => Self::Unknown,
        }
    }

    /// The outcome a result tag or a termination marker names, `None` if it is neither.
    #[must_use]
    pub fn from_text(text: &[u8]) -> Option<Self> {
        match text {
            b"1-0" => Some(Self::White),
            b"0-1" => Some(Self::Black),
            b"1/2-1/2" | b"1/2" | b"\xc2\xbd-\xc2\xbd" | b"\xc2\xbd" => Some(Self::Draw),
            b"*" => Some(Self::Unknown),
            _ => None,
        }
    }
}

/// Worker threads to use: what the machine offers, at most eight.
#[must_use]
pub fn workers() -> usize {
    std::thread::available_parallelism().map_or(2, |n| n.get().clamp(1, 8))
}
