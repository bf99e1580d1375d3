"""What is true on one board: pure functions over a `chess.Board`, which they never change.

Every function answers for the board as it stands. Squares are python-chess numbers (0 = a1 …
63 = h8), files 0 (a) to 7 (h); tuples of squares ascend. A colour is `chess.WHITE` or
`chess.BLACK`. The value of pieces is counted in pawns (`material.VALUES`).

The modules: `material`, `attack`, `tactics` (pins, skewers, forks, discoveries), `pawns`,
`castling`, `files` (files, ranks, diagonals, batteries), `squares` (holes, outposts, control),
`bishops`, `development`, `king` (the king's safety), `mates` (how soon), `moves` (what a move
does) and `fen` (why a text is no position). `from linewright import facts` gives all that is true
on a board under one name.

Sources named in the docstrings: FIDE = FIDE Laws of Chess, in force from 1 January 2023;
Companion = Hooper & Whyld, The Oxford Companion to Chess; Kmoch = Kmoch, Pawn Power in Chess;
Nimzowitsch = Nimzowitsch, My System; Tarrasch = Tarrasch, The Game of Chess; Steinitz = Steinitz,
The Modern Chess Instructor. Where a book is named, the definition is given in the project's own
words, from memory of that book; where none is, it says "common practice, no source".
"""

from __future__ import annotations

import chess

Squares = tuple[chess.Square, ...]
"""Some squares in ascending order (a1, b1, … h8)."""


def square_names(squares: Squares) -> tuple[str, ...]:
    """The squares in words: ("e4", "d5").

    >>> square_names((chess.E4, chess.D5))
    ('e4', 'd5')
    """
    return tuple(chess.square_name(square) for square in squares)
