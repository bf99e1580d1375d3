"""Bishops: the pair, opposite colours, the one without a counterpart, good and bad ones."""

from __future__ import annotations

from dataclasses import dataclass

import chess

from linewright.position import Squares
from linewright.position.attack import spread

LIGHT = True
"""The light squares (h1, a8)."""
DARK = False
"""The dark squares (a1, h8)."""


def is_light(square: chess.Square) -> bool:
    """True for a light square.

    >>> is_light(chess.H1)
    True
    """
    return bool(chess.BB_LIGHT_SQUARES & chess.BB_SQUARES[square])


def bishops(board: chess.Board, colour: chess.Color, light: bool | None = None) -> Squares:
    """A side's bishops: all of them, or those on light (True) or dark (False) squares."""
    mask = board.bishops & board.occupied_co[colour]
    if light is not None:
        mask &= chess.BB_LIGHT_SQUARES if light else chess.BB_DARK_SQUARES
    return spread(mask)


def bishop_pair(board: chess.Board, colour: chess.Color) -> bool:
    """True where a side has bishops on both colours. Source: Companion, "two bishops"."""
    return bool(bishops(board, colour, LIGHT) and bishops(board, colour, DARK))


def pair_advantage(board: chess.Board) -> chess.Color | None:
    """The side that has the bishop pair while the other has not; None where both or neither has.

    A teacher who says "Black has the bishop pair" nearly always means this.
    """
    white, black = (bishop_pair(board, colour) for colour in (chess.WHITE, chess.BLACK))
    return None if white == black else white


def opposite_coloured(board: chess.Board) -> bool:
    """True where each side has one bishop and they move on different colours.

    Other pieces may be there. Source: Companion, "bishops of opposite colour".

    >>> opposite_coloured(chess.Board("8/5k2/2b2p2/8/8/4B1P1/5K2/8 w - - 0 1"))
    True
    """
    white, black = (bishops(board, colour) for colour in (chess.WHITE, chess.BLACK))
    return len(white) == len(black) == 1 and is_light(white[0]) != is_light(black[0])


def unopposed(board: chess.Board, colour: chess.Color) -> Squares:
    """A side's bishops on a colour on which the other side has no bishop.

    Source: common practice, no source.
    """
    return tuple(
        square
        for square in bishops(board, colour)
        if not bishops(board, not colour, is_light(square))
    )


@dataclass(frozen=True, slots=True)
class Bishop:
    """How a bishop stands to its own pawns.

    `pawns_on_colour` and `pawns_off_colour`: its own pawns on squares of its colour and of the
    other; `fixed_on_colour`: those of the first that an enemy pawn blocks; `moves`: the squares it
    attacks that are not held by its own men.
    """

    square: chess.Square
    light: bool
    pawns_on_colour: Squares
    pawns_off_colour: Squares
    fixed_on_colour: Squares
    moves: int

    @property
    def bad(self) -> bool:
        """True for a bad bishop: most of its own pawns stand on its colour, one of them fixed.

        Whether it stands outside the chain, and is of use all the same, is a matter of opinion.
        Source: Companion, "bad bishop" (hampered by its own pawns, fixed on squares of its
        colour); "most" is the project's measure.
        """
        more = len(self.pawns_on_colour) > len(self.pawns_off_colour)
        return more and bool(self.fixed_on_colour)

    @property
    def good(self) -> bool:
        """True where most of its own pawns stand on the other colour."""
        return len(self.pawns_on_colour) < len(self.pawns_off_colour)


def bishop(board: chess.Board, square: chess.Square) -> Bishop | None:
    """How the bishop on a square stands to its own pawns; None where no bishop stands there."""
    if board.piece_type_at(square) != chess.BISHOP:
        return None
    colour = bool(board.occupied_co[chess.WHITE] & chess.BB_SQUARES[square])
    own = board.pawns & board.occupied_co[colour]
    enemy = board.pawns & board.occupied_co[not colour]
    shade = chess.BB_LIGHT_SQUARES if is_light(square) else chess.BB_DARK_SQUARES
    blocked = enemy >> 8 if colour == chess.WHITE else (enemy << 8) & chess.BB_ALL
    reach = board.attacks_mask(square) & ~board.occupied_co[colour]
    return Bishop(
        square,
        is_light(square),
        spread(own & shade),
        spread(own & ~shade),
        spread(own & shade & blocked),
        reach.bit_count(),
    )


def bad_bishops(board: chess.Board, colour: chess.Color) -> Squares:
    """A side's bad bishops (see `Bishop.bad`).

    >>> board = chess.Board("r1bqkbnr/pp3ppp/2n1p3/2ppP3/3P4/2P2N2/PP3PPP/RNBQKB1R b KQkq - 2 5")
    >>> [chess.square_name(s) for s in bad_bishops(board, chess.BLACK)]
    ['c8']
    """
    found = (bishop(board, square) for square in bishops(board, colour))
    return tuple(one.square for one in found if one is not None and one.bad)


def fianchettoed(board: chess.Board, colour: chess.Color) -> Squares:
    """A side's bishops on b2, g2 (b7, g7) with the pawn in front gone or moved.

    Source: Companion, "fianchetto".
    """
    row = 1 if colour == chess.WHITE else 6
    homes = (chess.square(1, row), chess.square(6, row))
    return tuple(square for square in bishops(board, colour) if square in homes)
