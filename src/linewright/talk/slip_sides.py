"""Slips whose meaning agrees with the side that is named: "Black's king on g8" is Black's king.

The rules that find a slip look for the likeliest man; whose it is they may pass over.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

import chess

from linewright.moves import PIECE_NAMES
from linewright.talk.record import HeardSlip
from linewright.talk.vocabulary import COMMA, PIECES, Lexicon, Token

NAMED_WITHIN = 2
"""So many words before those of a slip may name the side of its piece."""


def with_sides_as_said(
    slips: Iterable[HeardSlip], tokens: Sequence[Token], lexicon: Lexicon
) -> Iterator[HeardSlip]:
    """The slips, those of a man of a side that is named with a man of that side for their meaning.

    Where it has several of the kind, none of them near, nothing is known of what was meant.
    """
    for slip in slips:
        here = [
            k for k, token in enumerate(tokens) if slip.said.first <= token.word < slip.said.end
        ]
        side = _side_of(here, lexicon, tokens) if here else ""
        letter = next((PIECES[tokens[k].text] for k in here if tokens[k].text in PIECES), "")
        squares = [found.value for k in here if (found := lexicon.square(k))]
        man = _man_meant(slip, squares[-1]) if side and letter and squares else None
        if man is None:
            yield slip
        elif (meant := _of_that_side(slip, man, side, letter, squares[-1])) is not None:
            yield meant


def _side_of(here: Sequence[int], lexicon: Lexicon, tokens: Sequence[Token]) -> str:
    """The side named before or in the words of a slip: "w", "b", or nothing."""
    for k in range(here[-1], max(here[0] - NAMED_WITHIN, 0) - 1, -1):
        if k < here[0] and tokens[k + 1].gap >= COMMA:
            return ""  # across a break no side belongs to a piece
        if found := lexicon.colour(k):
            return found[0]
    return ""


def _man_meant(slip: HeardSlip, said: str) -> chess.Piece | None:
    """The man that a slip of where one stands is said to mean; None of any other slip.

    A meaning is a man with its square, or a man alone that stands on the square said.
    """
    place = re.fullmatch("([KQRBN]?)([a-h][1-8])", slip.meant)
    if slip.kind == "side" or not (place or slip.meant in PIECES):
        return None
    letter, square = (place[1] or "P", place[2]) if place else (PIECES[slip.meant], said)
    man = slip.board().piece_at(chess.parse_square(square))
    return man if man is not None and man.symbol().upper() == letter else None


def _of_that_side(
    slip: HeardSlip, man: chess.Piece, side: str, letter: str, said: str
) -> HeardSlip | None:
    """The slip with a man of a side for its meaning; None where which one cannot be told."""
    board = slip.board()
    colour = chess.WHITE if side == "w" else chess.BLACK
    if man.color == colour and not (letter == "K" and man.piece_type != chess.KING):
        return slip
    own = [
        chess.square_name(s)
        for s in board.pieces(chess.Piece.from_symbol(letter).piece_type, colour)
    ]
    near = [square for square in own if square[0] == said[0] or square[1] == said[1]]
    meant = own if len(own) == 1 else near
    if len(meant) != 1 or meant[0] == said:
        return None
    name = f"{chess.COLOR_NAMES[colour]} {PIECE_NAMES[letter]}"
    stood = f"the {name} stands on {meant[0]}, not on {said}"
    return replace(
        slip, meant=("" if letter == "P" else letter) + meant[0], kind="square", stood=stood
    )
