//! What the tuner needs: the list of weights, and what the evaluation counted in a position.

use super::Game;
use super::board::{BLACK, Side, WHITE};
use super::eval::{Witness, judged};
use super::features::{COUNT, GROUPS, danger};
use super::pawns::{shelter, structure};
use super::weights::{DANGER, WEIGHTS};

pub use super::eval::placement;

/// Number of weights that are a middlegame and an endgame score.
pub const WEIGHT_COUNT: usize = COUNT;
/// Number of weights of the danger to a king.
pub const DANGER_COUNT: usize = danger::COUNT;
/// The squared danger is divided by this for the middlegame score.
pub const DANGER_DIVISOR: i32 = super::eval::DANGER_DIVISOR;
/// Most that the danger takes off a middlegame score.
pub const DANGER_MOST: i32 = super::eval::DANGER_MOST;
/// The danger is divided by this for the endgame score.
pub const DANGER_END_DIVISOR: i32 = super::eval::DANGER_END_DIVISOR;

/// Name, first place and number of places of every group of weights.
#[must_use]
pub fn groups() -> &'static [(&'static str, usize, usize)] {
    GROUPS
}

/// The weights in force: middlegame and endgame scores, and the dangers.
#[must_use]
pub fn in_force() -> (Vec<(i32, i32)>, Vec<i32>) {
    (
        WEIGHTS
            .iter()
            .map(|weight| (weight.middle(), weight.end()))
            .collect(),
        DANGER.to_vec(),
    )
}

/// What the evaluation counted in one position, from White's side.
#[derive(Debug, Clone, Default)]
pub struct Counted {
    /// Weight and how often it counted for White less Black.
    pub linear: Vec<(u16, i16)>,
    /// Counts against the white and the black king.
    pub dangers: [[i16; DANGER_COUNT]; 2],
    /// Share of the endgame score that counts, in 64ths.
    pub scale: i32,
    /// 24 with all pieces on the board, 0 with none.
    pub phase: i32,
    /// The evaluation itself.
    pub score: i32,
    /// Whether the evaluation did more than count (known draws, mating drives).
    pub special: bool,
}

struct Notes {
    linear: Vec<i16>,
    counted: Counted,
}

impl Witness for Notes {
    fn saw(&mut self, index: usize, times: i32) {
        self.linear[index] += times as i16;
    }
    fn feared(&mut self, side: Side, index: usize, times: i32) {
        self.counted.dangers[side][index] += times as i16;
    }
    fn scaled(&mut self, scale: i32) {
        self.counted.scale = scale;
    }
}

/// What the evaluation counts in the last position of a game.
#[must_use]
pub fn counted(game: &Game) -> Counted {
    let mut notes = Notes {
        linear: vec![0; COUNT],
        counted: Counted::default(),
    };
    let board = &game.board;
    let mut entry = structure(board, &mut notes);
    for side in [WHITE, BLACK] {
        entry.shelter[side] = shelter(board, side, &mut notes);
    }
    super::eval::witness_placement(board, &mut notes);
    let score = judged(board, &entry, &mut notes);
    let mut counted = notes.counted;
    counted.phase = i32::from(board.phase.min(24));
    counted.score = if board.turn == WHITE { score } else { -score };
    counted.special = counted.scale == 0 || super::eval::is_driven(board, counted.score);
    counted.linear = (0u16..)
        .zip(notes.linear)
        .filter(|&(_, times)| times != 0)
        .collect();
    counted
}
