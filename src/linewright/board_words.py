"""What stands on a board, in words: squares, men and their numbers."""

from __future__ import annotations

from collections.abc import Iterable

import chess

from linewright import facts
from linewright.moves import PIECE_TYPES
from linewright.number_words import UNITS

MEN_OF_KIND: dict[str, tuple[chess.PieceType, ...]] = {
    **{name: (kind,) for name, kind in PIECE_TYPES.items()},
    "minor piece": (chess.KNIGHT, chess.BISHOP),
    "heavy piece": (chess.ROOK, chess.QUEEN),
    "major piece": (chess.ROOK, chess.QUEEN),
    "piece": (chess.KNIGHT, chess.BISHOP, chess.ROOK, chess.QUEEN),
    "man": tuple(chess.PIECE_TYPES),
}
"""The men a word may mean."""


AT_THE_START = {
    "pawn": 8, "knight": 2, "bishop": 2, "rook": 2, "queen": 1, "minor piece": 4, "heavy piece": 3,
    "major piece": 3, "piece": 7, "man": 16,
}  # fmt: skip
"""How many of a kind each side begins with."""


NUMBER_WORDS = ["no", *UNITS[1:11]]


def square(at: chess.Square) -> str:
    """The name of a square."""
    return chess.square_name(at)


def names(squares: Iterable[chess.Square]) -> tuple[str, ...]:
    """The names of squares."""
    return tuple(chess.square_name(s) for s in squares)


def piece_on(board: chess.Board, at: chess.Square) -> str:
    """ "the knight on f6", or "f6" where nothing stands there."""
    kind = board.piece_type_at(at)
    return f"the {chess.piece_name(kind)} on {square(at)}" if kind else square(at)


def past_blocker(board: chess.Board, at: chess.Square, target: chess.Square) -> str:
    """ " past the pawn on e4", where that keeps a piece from a square on its line, or ""."""
    blocker = facts.blocker(board, at, target)
    return "" if blocker is None else f" past {piece_on(board, blocker)}"


def kind_and_square(board: chess.Board, at: chess.Square) -> str:
    """ "knight on f6"."""
    return piece_on(board, at).removeprefix("the ")


def listed(parts: Iterable[str], joint: str = "and") -> str:
    """ "a, b and c"; "none" where there is nothing.

    >>> listed(["e4", "d5", "c6"]), listed([])
    ('e4, d5 and c6', 'none')
    """
    parts = list(parts)
    if not parts:
        return "none"
    return f"{', '.join(parts[:-1])} {joint} {parts[-1]}" if len(parts) > 1 else parts[0]


def several(number: int, one: str, many: str = "") -> str:
    """ "no pawns", "one pawn", "three pawns".

    >>> several(1, "pawn"), several(0, "pawn"), several(12, "move")
    ('one pawn', 'no pawns', '12 moves')
    """
    word = NUMBER_WORDS[number] if 0 <= number < len(NUMBER_WORDS) else str(number)
    return f"{word} {one if number == 1 else many or one + 's'}"


def file_name(file: int) -> str:
    """ "e-file"."""
    return f"{'abcdefgh'[file]}-file"
