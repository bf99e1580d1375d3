"""Slips in what a piece is said to look at: "bishop c4, looking at f2" where it looks at f7.

The square is named for the one that mirrors it on the other side of the board, or for one beside it.
A piece is said to look at much that is not in its way, for the speaker may have another piece, or a
later board, in mind. So only a piece that is plainly named is judged (the one moved just before, or
one that stands on the square told), only where nothing of the kind is so on this board and those just
before, and only where one confusable square has a man on it that the piece does bear on. What a
piece is said not to look at ("she no longer looks at h7") is no slip for not being in its way.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

import chess

from linewright.moves import PIECE_NAMES
from linewright.talk.decoder import Event, Kind, Tree
from linewright.talk.record import UNWEIGHED, Heard, HeardSlip, Said
from linewright.talk.scene import bears
from linewright.talk.vocabulary import PIECES, Lexicon, Token, is_square, words

WITHIN = 7
"""A square is named at most so many words after "looks"."""

SUBJECT_WITHIN = 7
"""The piece is named at most so many words before it."""

THROUGH = 2
"""Through more men than these nothing is said to look at a square."""

BOARDS = 3
"""So many boards, the one at hand and those before it, count."""

_LOOKS = words(
    "looks look looking aims aim aiming points point pointing stares stare staring eyes eyeing trains"
    " sees see hits hitting attacks attacking guards guarding covers covering protects protecting"
    " defends defending holds holding threatens threatening pressing presses"
)
_BETWEEN = words(
    "at on the that straight right directly down along diagonal towards toward all way very his her our"
    " my square pawn point"
)
_OTHERS = words(
    "they both we we're you i i'm he's we've everybody everybody's everyone everyone's everything all"
)

_NOT = words("not never cannot hardly stops stopped ceases ceased")
_NO_MORE = {("no", "longer"), ("no", "more"), ("any", "more"), ("any", "longer")}

DENIED_WITHIN = 3
"""What denies a verb stands at most so many words before it."""


@dataclass(frozen=True, slots=True)
class Aim:
    """A piece (its square) that is said to bear on a square, in tokens `first` up to `end`."""

    piece: int
    target: int
    first: int
    end: int


@dataclass(frozen=True)
class AimSlips:
    """Finds the slips of aim of one talk.

    `events` are what its phrases were taken for; `said` gives the words of tokens.
    """

    tree: Tree
    events: Sequence[Event]
    tokens: Sequence[Token]
    lexicon: Lexicon
    said: Callable[[int, int], Said]

    def slips(self, heard: Heard) -> Iterator[HeardSlip]:
        """The slips in the order of the talk."""
        for k, token in enumerate(self.tokens):
            if token.text not in _LOOKS:
                continue
            here = heard.node_at(token.word)
            aim = self._aim(k)
            if aim is None or self._is_denied(k, aim):
                continue
            if self._board(here).piece_at(aim.piece) is not None:
                yield from self._slip(heard, aim, here)

    def _aim(self, k: int) -> Aim | None:
        """What a piece is said to bear on by the verb at a token, if both are plainly named."""
        target = self._target(k + 1)
        piece = None if target is None else self._piece(k)
        if target is None or piece is None:
            return None
        square, first, end = target
        return Aim(piece, square, first, end) if square != piece else None

    def _is_denied(self, k: int, aim: Aim) -> bool:
        """Whether the verb at a token is denied: "isn't looking at", "looks at h7 no longer"."""
        if self._no_more(aim.end) or self.lexicon.text(aim.end) == "anymore":
            return True
        for j in range(k - 1, max(k - DENIED_WITHIN, 0) - 1, -1):
            if self.tokens[j + 1].gap >= 0.3:
                return False
            text = self.tokens[j].text
            emphatic = text == "not" and self.lexicon.text(j + 1) in ("only", "just")
            if (text in _NOT and not emphatic) or text.endswith("n't") or self._no_more(j):
                return True
        return False

    def _no_more(self, k: int) -> bool:
        return (self.lexicon.text(k), self.lexicon.text(k + 1)) in _NO_MORE

    def _target(self, k: int) -> tuple[int, int, int] | None:
        """The square named from a token on, with the tokens of its name."""
        for j in range(k, min(k + WITHIN, len(self.tokens))):
            square = self.lexicon.square(j)
            if square is not None:
                told = j in self._of_moves or square.price > 0 or self._names_more(square.end)
                return None if told else (chess.parse_square(square.value), j, square.end)
            aside = self.tokens[j].gap >= 0.6 and self.tokens[j].text != "at"
            if self.tokens[j].text not in _BETWEEN or aside:
                return None
        return None

    def _names_more(self, k: int) -> bool:
        """Whether a piece follows a square at once: "looks at the f2 knight"."""
        return self.lexicon.text(k) in PIECES and self.tokens[k].gap < 0.3

    def _piece(self, k: int) -> int | None:
        """The square of the piece that the verb at a token speaks of; None where it is not plain."""
        for b in range(k, max(k - SUBJECT_WITHIN, 0), -1):
            if b in self._moved:
                return self._moved[b]
            text = self.lexicon.text(b - 1)
            if is_square(text):
                return self._placed(b - 1)
            if b - 1 in self._of_moves or text in PIECES or text in _OTHERS:
                return None
        return None

    def _placed(self, k: int) -> int | None:
        """The square at a token, if a piece is said to stand there: "the bishop on g7"."""
        on = self.lexicon.text(k - 1) == "on" and self.lexicon.man(k - 2)
        of = self.lexicon.man(k + 1)
        return chess.parse_square(self.tokens[k].text) if on or of else None

    def _slip(self, heard: Heard, aim: Aim, here: int) -> Iterator[HeardSlip]:
        """The slip, if the piece bears on one man that may be confused with what is named."""
        boards = [self._board(node) for node in self.tree.line(here)[: -BOARDS - 1 : -1]]
        for board in boards:
            if board.piece_at(aim.piece) is not None and _reaches(board, aim.piece, aim.target):
                return
        meant = [
            square
            for square in _confused_with(aim.target)
            if boards[0].piece_at(square) is not None and bears(boards[0], aim.piece, square)
        ]
        mirrored = chess.square_mirror(aim.target)
        if mirrored in meant:
            meant = [mirrored]
        if len(meant) != 1:
            return
        piece = boards[0].piece_at(aim.piece)
        assert piece is not None
        name, place = PIECE_NAMES[piece.symbol().upper()], chess.square_name(aim.piece)
        aimed, told = chess.square_name(meant[0]), chess.square_name(aim.target)
        stood = f"the {name} on {place} looks at {aimed}, not at {told}"
        said = self.said(aim.first, aim.end)
        yield HeardSlip(said, aimed, "square", UNWEIGHED, stood, heard.line_to(here))

    def _board(self, node: int) -> chess.Board:
        return self.tree.board(node)

    @cached_property
    def _moved(self) -> dict[int, int]:
        """Where the piece went by the move that ends before a token; "it" is seldom a pawn."""
        return {
            event.phrase.end: chess.parse_square(self.tree.uci(event.node)[2:4])
            for event in self.events
            if event.kind is Kind.PLAY and not self.tree.san(event.node)[0].islower()
        }

    @cached_property
    def _of_moves(self) -> frozenset[int]:
        """The tokens that tell of moves."""
        return frozenset(
            token
            for event in self.events
            if event.kind in (Kind.PLAY, Kind.GOTO)
            for token in range(event.phrase.first, event.phrase.end)
        )


def _reaches(board: chess.Board, piece: int, square: int) -> bool:
    """Whether a piece bears on a square, if need be through a man or two."""
    between = chess.SquareSet(chess.between(piece, square)) & board.occupied
    return bool(bears(board, piece, square)) and len(between) <= THROUGH


def _confused_with(square: int) -> Iterator[int]:
    """The squares that one may be said for: that of the other side, and those beside it."""
    yield chess.square_mirror(square)
    for other in chess.SQUARES:
        apart = chess.square_distance(other, square) == 1
        if apart and (other % 8 == square % 8 or other // 8 == square // 8):
            yield other
