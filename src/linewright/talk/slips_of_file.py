"""Slips of the file in talk about pawns: "doubled d-pawns" where the e-pawns are doubled.

A file is called doubled or open; where that is false of it, on the board at hand, just before and
just after, and true of one other, that one was meant. So it is of a pawn that takes back and cannot.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence, Set
from dataclasses import dataclass
from itertools import islice

import chess

from linewright.talk.decoder import Event, Kind, Tree
from linewright.talk.record import UNWEIGHED, Heard, HeardSlip, Said
from linewright.talk.vocabulary import (
    ARTICLES,
    COLOURS,
    FILES,
    SENTENCE,
    WHO,
    Token,
    is_square,
    words,
)

_BETWEEN = words("pawns pawn ponds pond on the white black isolated")
_FILES = frozenset(FILES)
_OF_IT = words("pawns pawn file files")
_WHO_DOUBLES = WHO | {"rooks"}
_TAKES_BACK = words("takes take taking recaptures recapture retakes")
_NOT_DONE = words(
    "can't cannot couldn't not never don't doesn't didn't won't wouldn't no nobody impossible"
    " if when whenever would could might should wish wishes later last once where unlike usually often"
    " sometimes somebody someone anybody anyone"
)
"""Words of a sentence that does not tell what is taken back with on the board at hand."""
_NAMED = words("the an this that")

WITHIN = 5
"""A file is named at most so many words behind "doubled"."""

BEFORE, AFTER = 4, 2
"""So many boards before and ahead count: "he gets doubled pawns" may come before the moves."""


@dataclass(frozen=True, slots=True)
class FileSlips:
    """Finds the slips of file of one talk.

    `events` are what its phrases were taken for; `said` gives the words of tokens.
    """

    tree: Tree
    events: Sequence[Event]
    tokens: Sequence[Token]
    said: Callable[[int, int], Said]

    def slips(self, heard: Heard) -> Iterator[HeardSlip]:
        """The slips in the order of the talk."""
        for k in range(len(self.tokens)):
            yield from self._of_doubled(heard, k)
            yield from self._of_open(heard, k)
            yield from self._of_taking_back(heard, k)

    def _of_doubled(self, heard: Heard, k: int) -> Iterator[HeardSlip]:
        """ "Doubled d-pawns", "doubled pawns on the d-file", where others are doubled."""
        if self._text(k) != "doubled" or self._text(k - 1) in _WHO_DOUBLES:
            return
        j = k + 1
        while j < k + WITHIN and self._text(j) in _BETWEEN:
            j += 1
        if not self._names_a_file(j):
            return
        yield from self._slip(heard, k, j, _doubled, "doubled", far=True)

    def _of_open(self, heard: Heard, k: int) -> Iterator[HeardSlip]:
        """ "The open g-file" where pawns of both sides stand on it, and the one beside it is open."""
        named = self._text(k - 1) in _NAMED and self._names_a_file(k + 1)
        if self._text(k) == "open" and named:
            yield from self._slip(heard, k, k + 1, _open, "open", far=False)

    def _of_taking_back(self, heard: Heard, k: int) -> Iterator[HeardSlip]:
        """ "Takes back with the e-pawn" where that pawn cannot, and the one that does is told after.

        Words that were heard as the move are judged with the moves.
        """
        j = k + 1 + (self._text(k + 1) == "back")
        taken_back = self._text(k) in _TAKES_BACK and self._text(j) == "with"
        if not taken_back or self._text(j + 1) not in ARTICLES or self._text(j + 3) != "pawn":
            return
        file = self._text(j + 2)
        if file not in _FILES or self._is_played(k, j + 3):
            return
        here = heard.node_at(self.tokens[k].word)
        if not here or "x" not in self.tree.san(here):
            return
        board, square = self.tree.board(here), chess.Move.from_uci(self.tree.uci(here)).to_square
        parent = self.tree.parent(here)
        retaken = parent > 0 and self.tree.uci(parent)[2:4] == self.tree.uci(here)[2:4]
        boards = (board, self.tree.board(parent)) if retaken else (board,)
        if not self._is_of_what_was_taken(k, square, {one.turn for one in boards}):
            return
        if any(FILES.index(file) in _takers(one, square) for one in boards):
            return
        goes_on = heard.continuations().get(here)
        able = {FILES[f] for f in _takers(board, square)}
        told = able & {self.tree.san(goes_on)[0]} if goes_on else set()
        if len(meant := told or able) == 1:
            pawn = f"{meant.pop()}-pawn"
            stood = f"the {pawn} can take on {chess.square_name(square)}, the {file}-pawn cannot"
            said = self.said(j + 2, j + 4)
            yield HeardSlip(said, pawn, "file", UNWEIGHED, stood, heard.line_to(here))

    def _is_of_what_was_taken(self, k: int, square: int, turns: Set[chess.Color]) -> bool:
        """Whether the sentence around "takes" is of one of these sides taking back on this square."""
        first, end = k, k + 1
        while first and self.tokens[first].gap < SENTENCE:
            first -= 1
        while end < len(self.tokens) and self.tokens[end].gap < SENTENCE:
            end += 1
        said = [self._text(n) for n in range(first, end)]
        told = [self._text(n) for n in range(first, end) if not self._is_played(n, n + 1)]
        others = {text for text in told if is_square(text)} - {chess.square_name(square)}
        sides = [COLOURS[text] == "w" for text in said[: k - first] if text in COLOURS]
        may_take = turns >= set(sides[-1:])
        return may_take and not others and _NOT_DONE.isdisjoint(said)

    def _is_played(self, first: int, end: int) -> bool:
        """Whether a move is made by some of these tokens."""
        return any(
            event.kind is Kind.PLAY and event.phrase.first < end and first < event.phrase.end
            for event in self.events
        )

    def _slip(
        self,
        heard: Heard,
        first: int,
        named: int,
        files_of: Callable[[chess.Board], set[int]],
        what: str,
        far: bool,
    ) -> Iterator[HeardSlip]:
        """The slip in a file named at a token, if one other is what it is called (`far`: any other)."""
        here = heard.node_at(self.tokens[first].word)
        file = FILES.index(self._text(named))
        if any(file in files_of(board) for board in self._boards(here, first)):
            return
        true = files_of(self.tree.board(here))
        others = [other for other in sorted(true) if far or abs(other - file) == 1]
        if len(others) == 1:
            meant = f"{FILES[others[0]]}-{'pawns' if far else 'file'}"
            verb = "are" if far else "is"
            stood = f"the {meant} {verb} {what}, the {FILES[file]}-{meant[2:]} {verb} not"
            said = self.said(first, named + 2)
            yield HeardSlip(said, meant, "file", UNWEIGHED, stood, heard.line_to(here))

    def _boards(self, here: int, token: int) -> Iterator[chess.Board]:
        """The board at hand, those before it and the next ones shown."""
        for node in self.tree.line(here)[: -BEFORE - 1 : -1]:
            yield self.tree.board(node)
        ahead = (e for e in self.events if e.kind is Kind.PLAY and e.phrase.first >= token)
        for event in islice(ahead, AFTER):
            yield self.tree.board(event.node)

    def _names_a_file(self, k: int) -> bool:
        return self._text(k) in _FILES and self._text(k + 1) in _OF_IT

    def _text(self, k: int) -> str:
        return self.tokens[k].text if 0 <= k < len(self.tokens) else ""


def _takers(board: chess.Board, square: int) -> set[int]:
    """The files whose pawns can take what stands on a square."""
    return {
        chess.square_file(move.from_square)
        for move in board.generate_legal_captures()
        if move.to_square == square and board.piece_type_at(move.from_square) == chess.PAWN
    }


def _doubled(board: chess.Board) -> set[int]:
    """The files with two pawns of one side."""
    return {
        file
        for colour in chess.COLORS
        for file in range(8)
        if len(board.pieces(chess.PAWN, colour) & chess.BB_FILES[file]) > 1
    }


def _open(board: chess.Board) -> set[int]:
    """The files on which a side has no pawn."""
    return {
        file
        for colour in chess.COLORS
        for file in range(8)
        if not board.pieces(chess.PAWN, colour) & chess.BB_FILES[file]
    }
