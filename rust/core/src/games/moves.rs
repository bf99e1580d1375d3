//! Moves in one byte, and as a number for the tally rows.
//!
//! A stored game is a run of bytes: the high half says which of the mover's pieces moves (counted
//! from a1 to h8), the low half which of its target squares it goes to (counted likewise among
//! the squares it could reach on this board, legal or not). Nothing needs move generation, and
//! what is played often compresses well.

use shakmaty::{Bitboard, Board, Chess, Color, Move, Position, Role, Square, attacks};

const ESCAPE: usize = 15;
const CASTLE_SHORT: usize = 8;
const CASTLE_LONG: usize = 9;

/// The number of a move in the tally rows: from + 64 × to + 4096 × promotion.
///
/// Squares count from a1 = 0 to h8 = 63; promotion is 0 or 2 knight, 3 bishop, 4 rook, 5 queen.
/// Castling goes from the king's square to the rook's.
#[must_use]
pub fn code(played: Move) -> u16 {
    let from = played.from().map_or(0, |square| square as u16);
    let promotion = played.promotion().map_or(0, |role| role as u16);
    let to = match played {
        Move::Castle { rook, .. } => rook,
        other => other.to(),
    };
    from | (to as u16) << 6 | promotion << 12
}

fn below(square: Square) -> Bitboard {
    Bitboard((1u64 << square as u32) - 1)
}

fn targets(board: &Board, from: Square, role: Role, color: Color) -> Bitboard {
    if role != Role::Pawn {
        return attacks::attacks(from, role.of(color), board.occupied());
    }
    let file = Bitboard::from_file(from.file());
    let rank = from.rank() as i32;
    let step = color.fold_wb(1, -1);
    let reach = attacks::pawn_attacks(color, from);
    let ahead = |n: i32| {
        let wanted = rank + step * n;
        if (0..8).contains(&wanted) {
            file & Bitboard(0xff << (8 * wanted))
        } else {
            Bitboard::EMPTY
        }
    };
    reach | ahead(1) | ahead(2)
}

/// Writes a move legal in `position` behind `out`.
pub fn encode(position: &Chess, played: Move, out: &mut Vec<u8>) {
    let board = position.board();
    let color = position.turn();
    let from = played.from().unwrap_or(Square::A1);
    let ordinal = (board.by_color(color) & below(from)).count();
    let target = match played {
        Move::Castle { king, rook } if king.file() < rook.file() => CASTLE_SHORT,
        Move::Castle { .. } => CASTLE_LONG,
        other => (targets(board, from, other.role(), color) & below(other.to())).count(),
    };
    out.push((ordinal << 4 | target.min(ESCAPE)) as u8);
    if target >= ESCAPE {
        out.push((target - ESCAPE) as u8);
    }
    if let Some(role) = played.promotion() {
        out.push(role as u8);
    }
}

/// Reads the next move of a stored game, `None` at its end or where the bytes make no sense.
pub fn decode(position: &Chess, bytes: &mut &[u8]) -> Option<Move> {
    let (&first, mut rest) = bytes.split_first()?;
    let board = position.board();
    let color = position.turn();
    let from = nth(board.by_color(color), usize::from(first >> 4))?;
    let role = board.role_at(from)?;
    let mut target = usize::from(first & 15);
    if target == ESCAPE {
        let (&more, after) = rest.split_first()?;
        target += usize::from(more);
        rest = after;
    }
    if role == Role::King && target >= CASTLE_SHORT {
        *bytes = rest;
        return castle(position, from, target == CASTLE_SHORT);
    }
    let to = nth(targets(board, from, role, color), target)?;
    let capture = board.role_at(to);
    let played = if role == Role::Pawn {
        pawn_move(from, to, capture, &mut rest)?
    } else {
        Move::Normal {
            role,
            from,
            capture,
            to,
            promotion: None,
        }
    };
    *bytes = rest;
    Some(played)
}

fn pawn_move(from: Square, to: Square, capture: Option<Role>, rest: &mut &[u8]) -> Option<Move> {
    if from.file() != to.file() && capture.is_none() {
        return Some(Move::EnPassant { from, to });
    }
    let last = matches!(to.rank(), shakmaty::Rank::First | shakmaty::Rank::Eighth);
    let promotion = if last {
        let (&role, after) = rest.split_first()?;
        *rest = after;
        Some(Role::try_from(role).ok()?)
    } else {
        None
    };
    Some(Move::Normal {
        role: Role::Pawn,
        from,
        capture,
        to,
        promotion,
    })
}

fn castle(position: &Chess, king: Square, short: bool) -> Option<Move> {
    let side = if short {
        shakmaty::CastlingSide::KingSide
    } else {
        shakmaty::CastlingSide::QueenSide
    };
    let rook = position.castles().rook(position.turn(), side)?;
    Some(Move::Castle { king, rook })
}

fn nth(squares: Bitboard, index: usize) -> Option<Square> {
    let mut left = squares.0;
    for _ in 0..index {
        left &= left.wrapping_sub(1);
    }
    Bitboard(left).first()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::key::position_of;

    fn round_trip(fen: &str) {
        let position = position_of(fen).unwrap();
        for &played in &position.legal_moves() {
            let mut bytes = Vec::new();
            encode(&position, played, &mut bytes);
            let mut rest = bytes.as_slice();
            assert_eq!(
                decode(&position, &mut rest),
                Some(played),
                "{fen} {played:?}"
            );
            assert!(rest.is_empty());
        }
    }

    #[test]
    fn every_legal_move_comes_back() {
        for fen in [
            "rnbqkbnr/pppppppp/8/8/8/8/PPPPPPPP/RNBQKBNR w KQkq - 0 1",
            "r3k2r/p1ppqpb1/bn2pnp1/3PN3/1p2P3/2N2Q1p/PPPBBPPP/R3K2R w KQkq - 0 1",
            "8/2p5/3p4/KP5r/1R3p1k/8/4P1P1/8 w - - 0 1",
            "r3k2r/Pppp1ppp/1b3nbN/nP6/BBP1P3/q4N2/Pp1P2PP/R2Q1RK1 w kq - 0 1",
            "rnbqkb1r/ppp1pppp/5n2/3pP3/8/8/PPPP1PPP/RNBQKBNR w KQkq d6 0 3",
            "R6R/3Q4/1Q4Q1/4Q3/2Q4Q/Q4Q2/pp1Q4/kBNN1KB1 w - - 0 1",
        ] {
            round_trip(fen);
        }
    }

    #[test]
    fn nonsense_is_refused() {
        let position = Chess::default();
        assert_eq!(decode(&position, &mut [0xff, 0xff].as_slice()), None);
        assert_eq!(decode(&position, &mut [].as_slice()), None);
    }
}
