"""Development: which pieces are out, and who is ahead."""

from __future__ import annotations

from dataclasses import dataclass

import chess

from linewright.position import Squares
from linewright.position.attack import spread

_KNIGHTS = chess.BB_B1 | chess.BB_G1 | chess.BB_B8 | chess.BB_G8
_BISHOPS = chess.BB_C1 | chess.BB_F1 | chess.BB_C8 | chess.BB_F8


@dataclass(frozen=True, slots=True)
class Development:
    """What a side has brought out.

    `out`: its knights and bishops off the squares where they start; `home`: those still there;
    `queen_out`: the queen has left its square (False where there is none); `king_left_home`: the
    king has left its square, by castling or on foot.
    """

    out: Squares
    home: Squares
    queen_out: bool
    king_left_home: bool


def development(board: chess.Board, colour: chess.Color) -> Development:
    """A side's development, read off the board: where knights, bishops, queen and king stand.

    A minor piece on a square where a piece of its kind starts counts as at home, whichever it is.
    Source: Companion, "development": bringing pieces from their original squares.

    >>> len(development(chess.Board(), chess.WHITE).home)
    4
    """
    own = board.occupied_co[colour]
    row = chess.BB_RANK_1 if colour == chess.WHITE else chess.BB_RANK_8
    minor = (board.knights | board.bishops) & own
    home = ((board.knights & _KNIGHTS) | (board.bishops & _BISHOPS)) & own & row
    queen = board.queens & own
    king = board.kings & own
    return Development(
        spread(minor & ~home),
        spread(home),
        bool(queen) and not queen & chess.BB_FILE_D & row,
        not king & chess.BB_FILE_E & row,
    )


def lead(board: chess.Board, colour: chess.Color) -> int:
    """How many more knights and bishops a side has out than the other; negative where fewer.

    Units: pieces. Pieces that are no longer on the board count for nobody.
    """
    own, other = development(board, colour), development(board, not colour)
    return len(own.out) - len(other.out)


def tempi(board: chess.Board, colour: chess.Color) -> int:
    """How many moves of a side the position shows, at the least.

    A knight, bishop or queen off its first square counts one, a king off its first square one (as
    after castling), a pawn its steps forward, the first two of which may be one move. Rooks count
    nothing, nor do men that were taken, nor moves made back or twice with one piece.
    Units: moves. Source: Tarrasch's counting of tempi, from memory, simplified.

    >>> tempi(chess.Board(), chess.WHITE)
    0
    """
    own = board.occupied_co[colour]
    counted = len(development(board, colour).out) + int(development(board, colour).queen_out)
    for square in chess.scan_forward(board.pawns & own):
        rank = chess.square_rank(square)
        steps = rank - 1 if colour == chess.WHITE else 6 - rank
        counted += steps - 1 if steps >= 2 else steps
    return counted + int(development(board, colour).king_left_home)
