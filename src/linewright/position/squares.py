"""Squares: who controls them, holes and outposts, the centre."""

from __future__ import annotations

from dataclasses import dataclass

import chess

from linewright.position import Squares
from linewright.position.attack import spread
from linewright.position.files import FileState, file_state

CENTRE: Squares = (chess.D4, chess.E4, chess.D5, chess.E5)
"""The four centre squares. Source: Companion, "centre"."""


@dataclass(frozen=True, slots=True)
class Control:
    """The pieces of each side that attack a square (pinned ones too, FIDE 3.1.3)."""

    square: chess.Square
    white: Squares
    black: Squares

    def of(self, colour: chess.Color) -> Squares:
        """One side's pieces."""
        return self.white if colour == chess.WHITE else self.black


def control(board: chess.Board, square: chess.Square) -> Control:
    """Who bears on a square, and with what.

    >>> len(control(chess.Board(), chess.F3).white)
    3
    """
    return Control(
        square,
        spread(board.attackers_mask(chess.WHITE, square)),
        spread(board.attackers_mask(chess.BLACK, square)),
    )


def more_control(board: chess.Board, square: chess.Square) -> chess.Color | None:
    """The side with more pieces bearing on a square, or None where they are as many."""
    here = control(board, square)
    if len(here.white) == len(here.black):
        return None
    return len(here.white) > len(here.black)


def pawn_can_guard(board: chess.Board, colour: chess.Color, square: chess.Square) -> bool:
    """True where a pawn of the side attacks a square or could come to attack it by advancing.

    Pawns on the neighbouring files at least one rank behind the square could; whether their way is
    blocked, and captures that change file, are not looked at.
    """
    file, rank = chess.square_file(square), chess.square_rank(square)
    own = board.pawns & board.occupied_co[colour]
    behind = (
        (1 << 8 * rank) - 1
        if colour == chess.WHITE
        else chess.BB_ALL & ~((1 << 8 * (rank + 1)) - 1)
    )
    beside = (chess.BB_FILES[file - 1] if file > 0 else 0) | (
        chess.BB_FILES[file + 1] if file < 7 else 0
    )
    return bool(own & behind & beside)


def rank_for(colour: chess.Color, square: chess.Square) -> int:
    """The rank of a square counted from a side, 1 to 8.

    >>> rank_for(chess.BLACK, chess.D5)
    4
    """
    rank = chess.square_rank(square)
    return rank + 1 if colour == chess.WHITE else 8 - rank


def is_hole(board: chess.Board, colour: chess.Color, square: chess.Square) -> bool:
    """True where a square on a side's third to fifth rank can never be guarded by its pawns.

    Source: Steinitz, "hole" (a square in one's own camp that no own pawn can guard); Companion,
    "hole", "weak square". The fifth rank is counted in because teachers do.

    >>> board = chess.Board("r1bqkb1r/pp3ppp/2np1n2/1N2p3/4P3/2N5/PPP2PPP/R1BQKB1R w KQkq - 0 7")
    >>> is_hole(board, chess.BLACK, chess.D5)
    True
    """
    return 3 <= rank_for(colour, square) <= 5 and not pawn_can_guard(board, colour, square)


def holes(board: chess.Board, colour: chess.Color) -> Squares:
    """A side's holes on its third and fourth rank: its own camp (see `is_hole`)."""
    camp = range(16, 32) if colour == chess.WHITE else range(32, 48)
    return tuple(square for square in camp if not pawn_can_guard(board, colour, square))


@dataclass(frozen=True, slots=True)
class Outpost:
    """A square where a side's piece is guarded by its pawn and safe from enemy pawns for ever.

    `piece` is the piece of the side that stands there, or None; `guards` its pawns that defend it;
    `on_open_line` where the side has no pawn on the file (Nimzowitsch's outpost).
    """

    square: chess.Square
    piece: chess.PieceType | None
    guards: Squares
    on_open_line: bool


def outpost(board: chess.Board, colour: chess.Color, square: chess.Square) -> Outpost | None:
    """The outpost that a square is for a side, or None.

    It lies on the side's fourth to seventh rank, a pawn of the side defends it, no enemy pawn
    attacks it or can come to by advancing, and no enemy pawn stands on it.
    Source: Companion, "outpost"; Nimzowitsch asks for the fifth rank or further on an open or
    half-open file, which `square` and `on_open_line` tell.
    """
    guards = board.attackers_mask(colour, square) & board.pawns
    if not guards or not 4 <= rank_for(colour, square) <= 7:
        return None
    if pawn_can_guard(board, not colour, square):
        return None
    if board.pawns & chess.BB_SQUARES[square]:
        return None
    piece = board.piece_type_at(square) if board.color_at(square) == colour else None
    state = file_state(board, chess.square_file(square))
    open_for = (
        FileState.OPEN,
        FileState.HALF_OPEN_FOR_WHITE if colour == chess.WHITE else FileState.HALF_OPEN_FOR_BLACK,
    )
    return Outpost(square, piece, spread(guards), state in open_for)


def outposts(board: chess.Board, colour: chess.Color) -> tuple[Outpost, ...]:
    """All outposts of a side, occupied or not (see `outpost`)."""
    guarded = chess.BB_EMPTY
    for pawn in chess.scan_forward(board.pawns & board.occupied_co[colour]):
        guarded |= chess.BB_PAWN_ATTACKS[colour][pawn]
    found = (outpost(board, colour, square) for square in chess.scan_forward(guarded))
    return tuple(one for one in found if one is not None)


@dataclass(frozen=True, slots=True)
class Centre:
    """What a side has in and on the four centre squares.

    `pawns` and `pieces` stand on them; `hits` counts how often its men attack them in all.
    """

    pawns: Squares
    pieces: Squares
    hits: int


def centre(board: chess.Board, colour: chess.Color) -> Centre:
    """A side's men in the centre and how often they bear on it.

    >>> centre(chess.Board(), chess.WHITE)
    Centre(pawns=(), pieces=(), hits=0)
    """
    own = board.occupied_co[colour] & chess.SquareSet(CENTRE).mask
    hits = sum(board.attackers_mask(colour, square).bit_count() for square in CENTRE)
    return Centre(spread(own & board.pawns), spread(own & ~board.pawns), hits)
