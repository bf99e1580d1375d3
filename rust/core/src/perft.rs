//! Counting the leaves of the legal move tree, the usual proof of a move generator.

use shakmaty::Position;

/// Number of legal move sequences of `depth` plies from `position`.
///
/// Source: published perft tables are compared in the tests. Cost: the count itself, less its
/// last ply.
#[must_use]
pub fn perft<P: Position + Clone>(position: &P, depth: u32) -> u64 {
    let moves = position.legal_moves();
    match depth {
        0 => 1,
        1 => moves.len() as u64,
        _ => moves
            .iter()
            .map(|&played| {
                let mut next = position.clone();
                next.play_unchecked(played);
                perft(&next, depth - 1)
            })
            .sum(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::key::position_of;

    /// Source: the standard published perft table (initial position; the dense middlegame).
    #[test]
    fn published_counts() {
        let start =
            position_of("rnbqkbnr/pppppppp/8/8/8/8/PPPPPPPP/RNBQKBNR w KQkq - 0 1").unwrap();
        assert_eq!(perft(&start, 4), 197_281);
        let dense =
            position_of("r3k2r/p1ppqpb1/bn2pnp1/3PN3/1p2P3/2N2Q1p/PPPBBPPP/R3K2R w KQkq - 0 1")
                .unwrap();
        assert_eq!(perft(&dense, 3), 97_862);
    }
}
