"""Why a text is no position in FEN, in the words of who wrote it."""

from __future__ import annotations

import re

import chess

EXAMPLE = "4k3/8/8/8/8/8/4P3/4K3 w - - 0 1"


def read_fen(fen: str) -> chess.Board:
    """The board of a FEN.

    **Raises**: `ValueError` with what is wrong with the text, lower case without a full stop.

    >>> read_fen("4k3/8/8/8/8/8/4P3/4K3 w - - 0 1").turn
    True
    """
    try:
        return chess.Board(fen)
    except ValueError:
        raise ValueError(why_unreadable(fen) or "it cannot be read as FEN") from None


def why_unreadable(fen: str) -> str:
    """What is wrong with a text as FEN, lower case; empty if its parts are well written.

    **Source**: PGN standard (1994), section 16.1.

    >>> why_unreadable("4k3/8/8/8/8/8/4P3/4K w - - 0 1")
    "rank 1 ('4K') has 5 squares and not 8"
    """
    men, *rest = fen.split() or [""]
    return _wrong_board(men) or _wrong_rest(rest)


def _wrong_board(men: str) -> str:
    ranks = men.split("/")
    if len(ranks) == 1:
        return f"a position is written like {EXAMPLE}"
    if len(ranks) != 8:
        return f"'{men}' has {len(ranks)} ranks between its strokes and not 8"
    for number, rank in zip(range(8, 0, -1), ranks, strict=True):
        if unknown := re.search(r"[^1-8KQRBNPkqrbnp]", rank):
            return f"'{unknown[0]}' in rank {number} ('{rank}') stands for no piece"
        squares = sum(int(c) if c.isdigit() else 1 for c in rank)
        if squares != 8:
            return f"rank {number} ('{rank}') has {squares} squares and not 8"
        if apart := re.search(r"\d\d+", rank):
            total = sum(map(int, apart[0]))
            return f"'{apart[0]}' in rank {number} is written {total}: empty squares side by side"
    return ""


_FIELDS = (
    (r"[wb]", "is no side to move: w or b is meant"),
    (r"-|[KQABCDEFGHkqabcdefgh]{1,4}", "tells no castling: some of KQkq are meant, or - for none"),
    (r"-|[a-h][36]", "is no square behind a pawn that went two squares: - where there is none"),
    (r"\d+", "is no number of moves without a capture or a pawn's move"),
    (r"\d+", "is no number of the move"),
)


def _wrong_rest(fields: list[str]) -> str:
    if len(fields) > len(_FIELDS):
        return f"'{' '.join(fields[len(_FIELDS) :])}' stands behind its end"
    for field, (pattern, wrong) in zip(fields, _FIELDS, strict=False):
        if not re.fullmatch(pattern, field):
            return f"'{field}' {wrong}"
    return ""
