"""Slips of the file in talk about pawns: "doubled d-pawns" where the e-pawns are doubled.

A file is called doubled or open; where that is false of it, on the board at hand, just before and
just after, and true of one other, that one was meant.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import islice

import chess

from linewright.talk.decoder import Event, Kind, Tree
from linewright.talk.record import UNWEIGHED, Heard, HeardSlip, Said
from linewright.talk.vocabulary import FILES, WHO, Token, words

_BETWEEN = words("pawns pawn ponds pond on the white black isolated")
_FILES = frozenset(FILES)
_OF_IT = words("pawns pawn file files")
_WHO_DOUBLES = WHO | {"rooks"}
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
