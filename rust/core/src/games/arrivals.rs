//! By which moves games arrive at a position.

use std::collections::HashMap;

use super::Replay;
use super::index::Stretch;
use super::moves::code;

/// The moves that led to a position, with the games that took this way.
pub type Arrivals = HashMap<Vec<u16>, u32>;

/// Counts the ways the games of `stretch` first arrive at the position with `key`.
///
/// Only games from the usual start have a way worth telling.
pub fn count(stretch: &Stretch<'_>, key: i64, plies: usize, ways: &mut Arrivals) {
    for index in 0..stretch.heads.len() {
        let game = stretch.game(index);
        if stretch.skipped(index) || !game.fen.is_empty() {
            continue;
        }
        let Some(mut replay) = Replay::new(game) else {
            continue;
        };
        let mut way = Vec::new();
        while replay.key != key && way.len() <= plies {
            let Some(played) = replay.peek() else { break };
            way.push(code(played));
            replay.play(played);
        }
        if replay.key == key {
            *ways.entry(way).or_default() += 1;
        }
    }
}

/// Whether a game passes the position with `key` within `plies` plies.
#[must_use]
pub fn passes(stretch: &Stretch<'_>, index: usize, key: i64, plies: usize) -> bool {
    let Some(mut replay) = Replay::new(stretch.game(index)) else {
        return false;
    };
    for _ in 0..plies {
        let Some(played) = replay.peek() else {
            return false;
        };
        if replay.key == key {
            return true;
        }
        replay.play(played);
    }
    false
}
