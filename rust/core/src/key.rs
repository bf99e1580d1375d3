//! Position keys: 64-bit Zobrist hashes, signed so that they fit an SQL `BIGINT`.

use shakmaty::fen::Fen;
use shakmaty::zobrist::Zobrist64;
use shakmaty::{CastlingMode, Chess, EnPassantMode, Position};

use crate::PositionError;

/// How the en passant square enters a key: whenever a pawn stands ready to take, legal or not.
///
/// Two positions that differ only in a square no pawn can use must share a key, or
/// transpositions fall apart; `PseudoLegal` does that without generating moves.
pub const EN_PASSANT: EnPassantMode = EnPassantMode::PseudoLegal;

/// The key of a position.
#[must_use]
pub fn position_key<P: Position>(position: &P) -> i64 {
    let Zobrist64(bits) = position.zobrist_hash(EN_PASSANT);
    bits.cast_signed()
}

/// The position a FEN describes, castling rights of the standard and of the extended form alike.
///
/// Checks that could not have arisen in a game are taken: such positions can be counted and
/// compared, and studies and imagined boards have them.
///
/// # Errors
/// [`PositionError`] if the text is no FEN or no legal position.
pub fn position_of(fen: &str) -> Result<Chess, PositionError> {
    let wrong = |reason: String| PositionError {
        fen: fen.to_owned(),
        reason,
    };
    let parsed: Fen = fen.parse().map_err(|error| wrong(format!("{error}")))?;
    parsed
        .into_position(CastlingMode::Chess960)
        .or_else(shakmaty::PositionError::ignore_impossible_check)
        .map_err(|error| wrong(format!("{error}")))
}

/// The key of the position a FEN describes.
///
/// # Errors
/// [`PositionError`] if the text is no FEN or no legal position.
pub fn key_of_fen(fen: &str) -> Result<i64, PositionError> {
    position_of(fen).map(|position| position_key(&position))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn unusable_en_passant_square_does_not_change_the_key() {
        let with = key_of_fen("rnbqkbnr/pppppppp/8/8/4P3/8/PPPP1PPP/RNBQKBNR b KQkq e3 0 1");
        let without = key_of_fen("rnbqkbnr/pppppppp/8/8/4P3/8/PPPP1PPP/RNBQKBNR b KQkq - 0 1");
        assert_eq!(with.unwrap(), without.unwrap());
    }

    #[test]
    fn castling_rights_and_side_to_move_change_the_key() {
        let keys: Vec<i64> = ["w KQkq", "w KQk", "b KQkq"]
            .iter()
            .map(|tail| key_of_fen(&format!("r3k2r/8/8/8/8/8/8/R3K2R {tail} - 0 1")).unwrap())
            .collect();
        assert!(keys[0] != keys[1] && keys[0] != keys[2] && keys[1] != keys[2]);
    }

    #[test]
    fn errors_quote_the_text() {
        let error = key_of_fen("no board").unwrap_err();
        assert!(error.to_string().contains("'no board'"));
    }
}
