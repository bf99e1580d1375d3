use std::fmt;

/// Why a position could not be taken from its FEN.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PositionError {
    /// The text as it was given.
    pub fen: String,
    /// What is wrong with it, lower case, no full stop.
    pub reason: String,
}

impl fmt::Display for PositionError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "'{}' is not a position: {}", self.fen, self.reason)
    }
}

impl std::error::Error for PositionError {}
