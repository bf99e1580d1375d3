//! Walking through stored games.

use shakmaty::zobrist::Zobrist64;
use shakmaty::{Chess, Move, Position};

use super::moves;
use crate::key::{EN_PASSANT, position_key, position_of};

/// A stored game: its start (empty for the usual one) and its moves in bytes.
#[derive(Debug, Clone, Copy)]
pub struct GameText<'a> {
    /// FEN of the start, empty for the usual start.
    pub fen: &'a str,
    /// Moves as written by [`moves::encode`].
    pub moves: &'a [u8],
}

/// Steps through a game: position, key and move at each ply.
#[derive(Debug)]
pub struct Replay<'a> {
    /// The position before the next move.
    pub position: Chess,
    /// Its key.
    pub key: i64,
    rest: &'a [u8],
}

impl<'a> Replay<'a> {
    /// A game at its start, `None` if its FEN is none.
    #[must_use]
    pub fn new(game: GameText<'a>) -> Option<Self> {
        let position = if game.fen.is_empty() {
            Chess::default()
        } else {
            position_of(game.fen).ok()?
        };
        let key = position_key(&position);
        Some(Self {
            position,
            key,
            rest: game.moves,
        })
    }

    /// The next move without playing it.
    pub fn peek(&mut self) -> Option<Move> {
        moves::decode(&self.position, &mut self.rest)
    }

    /// Plays a move taken from [`Replay::peek`].
    pub fn play(&mut self, played: Move) {
        self.key = key_after(&self.position, self.key, played);
        self.position.play_unchecked(played);
        if self.key == UNKNOWN {
            self.key = position_key(&self.position);
        }
    }
}

/// Stands for "hash the whole board"; a true key of this value is merely hashed twice.
const UNKNOWN: i64 = i64::MIN;

fn key_after(position: &Chess, key: i64, played: Move) -> i64 {
    position
        .update_zobrist_hash(Zobrist64(key.cast_unsigned()), played, EN_PASSANT)
        .map_or(UNKNOWN, |Zobrist64(bits)| bits.cast_signed())
}
