//! A written move becomes a legal one, or the reason why it cannot.

use shakmaty::san::{San, SanError};
use shakmaty::{Chess, Color, Move, Position, Role, Square};

/// A move that was found, and what had to be overlooked to find it.
pub(super) type Resolved = Result<(Move, Option<&'static str>), String>;

/// The move `token` stands for in `position`; `number` labels it in the reason.
pub(super) fn resolve(position: &Chess, token: &[u8]) -> Resolved {
    if is_null(token) {
        return Err(format!(
            "{} is a null move: nobody may pass",
            label(position, token)
        ));
    }
    if let Ok(san) = San::from_ascii(token) {
        return from_san(position, san, token);
    }
    if let Some((plain, remark)) = respell(token) {
        if let Ok(san) = San::from_ascii(&plain) {
            return from_san(position, san, token)
                .map(|(played, also)| (played, also.or(Some(remark))));
        }
        if let Some(played) = from_squares(position, &plain) {
            return Ok((played, Some(remark)));
        }
    }
    Err(format!("{} is no move{}", quoted(token), hint(token)))
}

fn from_san(position: &Chess, san: San, token: &[u8]) -> Resolved {
    match san.to_move(position) {
        Ok(played) => Ok((played, None)),
        Err(SanError::AmbiguousSan) => Err(ambiguous(position, san, token)),
        Err(SanError::IllegalSan) => {
            let other = other_capture(san).and_then(|san| san.to_move(position).ok());
            other.map_or_else(
                || Err(illegal(position, san, token)),
                |played| Ok((played, Some("capture sign missing or too much"))),
            )
        }
    }
}

fn other_capture(san: San) -> Option<San> {
    match san {
        San::Normal {
            role,
            file,
            rank,
            capture,
            to,
            promotion,
        } => Some(San::Normal {
            role,
            file,
            rank,
            capture: !capture,
            to,
            promotion,
        }),
        _ => None,
    }
}

fn is_null(token: &[u8]) -> bool {
    matches!(token, b"--" | b"Z0" | b"@@@@" | b"0000" | b"null" | b"<>")
}

/// Zeros for castling, figurines, long algebraic: how they are written in SAN or as squares.
fn respell(token: &[u8]) -> Option<(Vec<u8>, &'static str)> {
    let castle: Vec<u8> = token
        .iter()
        .map(|&b| if matches!(b, b'0' | b'o') { b'O' } else { b })
        .collect();
    if castle == b"O-O" || castle == b"O-O-O" {
        return Some((castle, "castling written with zeros or small letters"));
    }
    let text = std::str::from_utf8(token).ok()?;
    let plain: String = text.chars().filter_map(letter).collect();
    let plain = plain.replace([':', '×'], "x").replace(['(', ')'], "");
    (plain.as_bytes() != token)
        .then(|| (plain.into_bytes(), "move not in standard notation"))
        .or_else(|| {
            let squares = matches!(token.len(), 4 | 5) && token.is_ascii();
            squares.then(|| (token.to_vec(), "move written as two squares"))
        })
}

fn letter(written: char) -> Option<char> {
    Some(match written {
        '♔' | '♚' => 'K',
        '♕' | '♛' => 'Q',
        '♖' | '♜' => 'R',
        '♗' | '♝' => 'B',
        '♘' | '♞' => 'N',
        '♙' | '♟' | '-' | '–' => return None,
        other => other,
    })
}

fn from_squares(position: &Chess, text: &[u8]) -> Option<Move> {
    let uci = shakmaty::uci::UciMove::from_ascii(text).ok()?;
    uci.to_move(position).ok()
}

fn quoted(token: &[u8]) -> String {
    let shown: String = super::super::tags::text(token).chars().take(40).collect();
    format!("'{shown}'")
}

fn hint(token: &[u8]) -> &'static str {
    let small_piece = token.len() >= 3
        && matches!(token[0], b'n' | b'k' | b'q' | b'r')
        && token[1..].iter().all(|b| b.is_ascii_alphanumeric());
    if small_piece {
        ": pieces have capital letters"
    } else {
        ""
    }
}

/// A move with its number, as it would stand in a book: `12...Bxe5`.
pub(super) fn label(position: &Chess, token: &[u8]) -> String {
    let dots = position.turn().fold_wb(".", "...");
    let text: String = super::super::tags::text(token).chars().take(40).collect();
    format!("'{}{dots}{text}'", position.fullmoves())
}

fn ambiguous(position: &Chess, san: San, token: &[u8]) -> String {
    let San::Normal { role, to, .. } = san else {
        return illegal(position, san, token);
    };
    let mut choices: Vec<String> = position
        .san_candidates(role, to)
        .iter()
        .filter(|played| san.matches(**played))
        .map(|&played| San::from_move(position, played).to_string())
        .collect();
    choices.sort();
    format!(
        "{} could be {}: say which",
        label(position, token),
        choices.join(" or ")
    )
}

fn illegal(position: &Chess, san: San, token: &[u8]) -> String {
    let why = match san {
        San::Normal {
            role,
            to,
            promotion,
            ..
        } => why_not(position, role, to, promotion),
        San::Castle(side) => {
            let long = side == shakmaty::CastlingSide::QueenSide;
            format!(
                "{} may not castle {}",
                mover(position),
                if long { "long" } else { "short" }
            )
        }
        _ => "there is no such move in chess".to_owned(),
    };
    format!("{} cannot be played: {why}", label(position, token))
}

fn mover(position: &Chess) -> &'static str {
    position.turn().fold_wb("White", "Black")
}

fn why_not(position: &Chess, role: Role, to: Square, promotion: Option<Role>) -> String {
    let name = ["pawn", "knight", "bishop", "rook", "queen", "king"][role as usize - 1];
    let candidates = position.san_candidates(role, to);
    if role == Role::Pawn
        && candidates.iter().any(|m| m.promotion().is_some())
        && promotion.is_none()
    {
        return "the pawn's new piece is missing".to_owned();
    }
    if !candidates.is_empty() {
        return format!("the {name} that can go to {to} stands elsewhere");
    }
    let ours = position.board().by_color(position.turn());
    if ours.contains(to) {
        return format!("{}'s own piece stands on {to}", mover(position));
    }
    let pieces = ours & position.board().by_role(role);
    if pieces.is_empty() {
        return format!("{} has no {name}", mover(position));
    }
    if role != Role::Pawn
        && pieces
            .into_iter()
            .any(|from| position.board().attacks_from(from).contains(to))
    {
        return "the king would be in check".to_owned();
    }
    if matches!(position.legal_ep_square(), Some(square) if square == to) {
        return format!("the {name} cannot take on {to}");
    }
    format!(
        "no {} {name} can go to {to}",
        position.turn().fold_wb("white", "black")
    )
}

/// Whether the side to move is the one a move number with dots names.
pub(super) fn number_fits(position: &Chess, number: u32, black: bool) -> bool {
    position.fullmoves().get() == number && (!black || position.turn() == Color::Black)
}
