"""Material: what each side has, and who has more."""

from __future__ import annotations

from dataclasses import dataclass

import chess

from linewright.moves import side_name
from linewright.number_words import UNITS

VALUES = {
    chess.PAWN: 1,
    chess.KNIGHT: 3,
    chess.BISHOP: 3,
    chess.ROOK: 5,
    chess.QUEEN: 9,
    chess.KING: 0,
}
"""The value of each kind of piece in pawns. The king has none: it cannot be taken.

Source: the count taught to beginners, common practice, no source (FIDE gives no values).
"""

_NAMES = {
    chess.PAWN: ("pawn", "pawns"),
    chess.KNIGHT: ("knight", "knights"),
    chess.BISHOP: ("bishop", "bishops"),
    chess.ROOK: ("rook", "rooks"),
    chess.QUEEN: ("queen", "queens"),
}
_NUMBERS = ("no", "a", *UNITS[2:11])


@dataclass(frozen=True, slots=True)
class Count:
    """How many of each kind, without the king; in a difference the numbers may be negative."""

    pawns: int
    knights: int
    bishops: int
    rooks: int
    queens: int

    @property
    def points(self) -> int:
        """The value in pawns (`VALUES`)."""
        return self.pawns + 3 * (self.knights + self.bishops) + 5 * self.rooks + 9 * self.queens

    @property
    def minor(self) -> int:
        """Bishops and knights together."""
        return self.knights + self.bishops

    @property
    def pieces(self) -> int:
        """All but the pawns and the king."""
        return self.minor + self.rooks + self.queens

    def __sub__(self, other: Count) -> Count:
        return Count(
            self.pawns - other.pawns,
            self.knights - other.knights,
            self.bishops - other.bishops,
            self.rooks - other.rooks,
            self.queens - other.queens,
        )


def count(board: chess.Board, colour: chess.Color) -> Count:
    """What a side has on the board.

    >>> count(chess.Board(), chess.WHITE)
    Count(pawns=8, knights=2, bishops=2, rooks=2, queens=1)
    """
    own = board.occupied_co[colour]
    return Count(
        (board.pawns & own).bit_count(),
        (board.knights & own).bit_count(),
        (board.bishops & own).bit_count(),
        (board.rooks & own).bit_count(),
        (board.queens & own).bit_count(),
    )


def points(board: chess.Board, colour: chess.Color) -> int:
    """The value of a side's pieces and pawns.

    Units: pawns; 39 at the start.
    """
    return count(board, colour).points


def balance(board: chess.Board, colour: chess.Color = chess.WHITE) -> int:
    """How much more a side has than the other; negative where it has less.

    Units: pawns.
    """
    return points(board, colour) - points(board, not colour)


def difference(board: chess.Board, colour: chess.Color) -> Count:
    """Kind by kind, how many more a side has than the other."""
    return count(board, colour) - count(board, not colour)


def level(board: chess.Board) -> bool:
    """True where both sides' pieces are worth the same.

    >>> level(chess.Board())
    True
    """
    return balance(board) == 0


def same_material(board: chess.Board) -> bool:
    """True where both sides have the same number of every kind (stricter than `level`)."""
    return difference(board, chess.WHITE) == Count(0, 0, 0, 0, 0)


def swing(before: chess.Board, after: chess.Board, colour: chess.Color) -> Count:
    """What a side gained on the other between two boards, kind by kind.

    A pawn taken by the side counts +1 pawn, a pawn it lost -1.
    """
    return difference(after, colour) - difference(before, colour)


def exchange_up(board: chess.Board) -> chess.Color | None:
    """The side that is the exchange up: a rook more for a minor piece less, queens equal.

    Pawns are not looked at: "the exchange for a pawn" is still the exchange.
    Source: Companion, "exchange, the".

    >>> exchange_up(chess.Board("4k3/8/8/8/8/2n5/8/R3K3 w - - 0 1"))
    True
    """
    diff = difference(board, chess.WHITE)
    if diff.queens == 0 and diff.rooks == -diff.minor and abs(diff.rooks) == 1:
        return diff.rooks > 0
    return None


def piece_up(board: chess.Board) -> chess.Color | None:
    """The side that has one minor piece more, rooks and queens equal, whatever the pawns."""
    diff = difference(board, chess.WHITE)
    if diff.queens == 0 and diff.rooks == 0 and abs(diff.minor) == 1:
        return diff.minor > 0
    return None


def ending(board: chess.Board) -> str | None:
    """The kind of ending: "pawn", "knight", "bishop", "bishop against knight", "minor-piece",
    "rook", "queen", "bare kings"; None where both sides have not just pieces of such a kind.

    A rook ending has rooks on both sides and no other piece. Source: common practice, no source.
    """
    white, black = count(board, chess.WHITE), count(board, chess.BLACK)
    if not white.pieces and not black.pieces:
        return "pawn" if board.pawns else "bare kings"
    if not white.pieces or not black.pieces:
        return None
    both = (white, black)
    if all(side.pieces == side.minor for side in both):
        if all(side.pieces == side.knights for side in both):
            return "knight"
        if all(side.pieces == side.bishops for side in both):
            return "bishop"
        one_each = white.minor == black.minor == 1
        return "bishop against knight" if one_each else "minor-piece"
    if all(side.pieces == side.rooks for side in both):
        return "rook"
    return "queen" if all(side.pieces == side.queens for side in both) else None


def can_mate(board: chess.Board, colour: chess.Color) -> bool:
    """False where no series of legal moves could end in this side giving mate.

    Source: FIDE 5.2.2 and 6.9 (dead position), as far as python-chess tells it from material.
    """
    return not board.has_insufficient_material(colour)


def in_words(board: chess.Board) -> str:
    """The balance in one phrase: "level, 29 points each", "White is a pawn up, 30 points to 29".

    >>> in_words(chess.Board())
    'material is level, 39 points each'
    """
    white, black = points(board, chess.WHITE), points(board, chess.BLACK)
    if white == black:
        if same_material(board):
            return f"material is level, {white} points each"
        return f"material is level, {white} points each: {_trade(board, chess.WHITE)}"
    ahead = white > black
    high, low = max(white, black), min(white, black)
    return f"{side_name(ahead)} is {_lead(board, ahead)} up, {high} points to {low}"


def _lead(board: chess.Board, colour: chess.Color) -> str:
    diff = difference(board, colour)
    if exchange_up(board) == colour and diff.pawns == 0:
        return "the exchange"
    kinds = (diff.pawns, diff.minor, diff.rooks, diff.queens)
    if sum(1 for number in kinds if number) == 1:
        number = max(kinds)
        one, many = (
            ("pawn", "pawns"),
            ("piece", "pieces"),
            ("rook", "rooks"),
            ("queen", "queens"),
        )[kinds.index(number)]
        return f"a {one}" if number == 1 else f"{_NUMBERS[min(number, 10)]} {many}"
    return f"{diff.points} point{'s' if diff.points != 1 else ''} ({_trade(board, colour)})"


def _trade(board: chess.Board, colour: chess.Color) -> str:
    """What a side has more of, against what it has less of: "a rook for a bishop and two pawns"."""
    diff = difference(board, colour)
    kinds = (
        (diff.queens, chess.QUEEN),
        (diff.rooks, chess.ROOK),
        (diff.bishops, chess.BISHOP),
        (diff.knights, chess.KNIGHT),
        (diff.pawns, chess.PAWN),
    )
    more = _listed([_several(number, kind) for number, kind in kinds if number > 0])
    less = _listed([_several(-number, kind) for number, kind in kinds if number < 0])
    return f"{more or 'nothing'} for {less or 'nothing'}"


def _several(number: int, kind: chess.PieceType) -> str:
    one, many = _NAMES[kind]
    return f"a {one}" if number == 1 else f"{_NUMBERS[min(number, 10)]} {many}"


def _listed(parts: list[str]) -> str:
    return " and ".join([", ".join(parts[:-1]), parts[-1]] if len(parts) > 1 else parts)
