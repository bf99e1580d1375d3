"""What a slip means, in words: "the rook on a8", "White plays e4"."""

from __future__ import annotations

import re

import chess

from linewright.moves import side_name
from linewright.talk.record import HeardSlip


def meaning(slip: HeardSlip) -> str:
    """What a slip means in words: whose move it is, where the piece stands, else the move.

    A piece is said to stand where one of its kind does; no move leads to its own piece's square.
    Of a side the piece or the words are told too: "White" alone is nothing to put on a screen.
    """
    if slip.men:
        return f"the {slip.meant.lower()} {slip.men}"
    if slip.meant in ("White", "Black"):
        return _with_side(slip.said.text, slip.meant)
    board = slip.board()
    if place := place_meant(slip, board):
        return place
    if slip.kind != "side":
        return slip.meant
    side = side_name(board.turn)
    castles = {"O-O": "castles", "O-O-O": "castles queenside"}.get(slip.meant.rstrip("+#"))
    return f"{side} {castles or f'plays {slip.meant}'}"


def place_meant(slip: HeardSlip, board: chess.Board) -> str:
    """The piece that is said to stand elsewhere, with its square; empty where a move is meant.

    Empty too where only a square is named: of "mate on f2" it is f7 that is meant, not its pawn.
    """
    place = re.fullmatch("([KQRBN]?)([a-h][1-8])", slip.meant)
    piece = board.piece_at(chess.parse_square(place[2])) if place else None
    named = place and (place[1] or _NAMES_A_MAN.search(slip.said.text))
    if place and named and piece is not None and piece.symbol().upper() == (place[1] or "P"):
        return f"the {chess.piece_name(piece.piece_type)} on {place[2]}"
    return ""


_NAMES_A_MAN = re.compile(
    r"(?i)\b(pawn|pond|soldier|knight|night|horse|bishop|rook|queen|king)s?\b"
)


def _with_side(text: str, side: str) -> str:
    """Words with one side named for the other; the side alone where they name none.

    >>> _with_side("at this moment Black is a pawn down", "White"), _with_side("ours", "White")
    ('at this moment White is a pawn down', 'White')
    """
    other = "black" if side == "White" else "white"
    named = re.compile(rf"(?i)\b{other}\b")
    told = named.sub(lambda m: side if m[0][0].isupper() else side.lower(), text)
    return told if told != text else side
