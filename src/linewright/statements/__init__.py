"""Statements about the board, in plain English: found, judged, and shown why.

Each module of this package is one family of statements. It holds `FAMILY` (the name in reports),
`PATTERNS` (how it is said, and who judges it) and a docstring with the documentation: after the
definitions, lines "after MOVES:" (or "FEN ...:") followed by wordings with their verdicts::

    after 1.e4 e5 2.Nf3:
        holds: White has a knight on f3
        fails: it is White's move
        cannot tell: the knight is better than the bishop
        left alone: the knight is a fine piece

One test runs all of them. A new family is a new file; nothing else needs to know of it.
"""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from functools import cache
from typing import TYPE_CHECKING

import chess

from linewright.source import Span

if TYPE_CHECKING:
    from linewright.judged_place import Judges, Place
    from linewright.judging import Pattern


class Answer(StrEnum):
    """What the board says to a statement."""

    HOLDS = "holds"
    FAILS = "fails"
    CANNOT_TELL = "cannot-tell"


@dataclass(frozen=True, slots=True)
class Statement:
    """Something said about the board: its place, its words, its family.

    `span` is the place in the text it was found in.
    """

    span: Span
    words: str
    family: str


@dataclass(frozen=True, slots=True)
class Verdict:
    """A statement judged.

    `because` is the board fact in one short sentence; `squares` ("e4") and `arrows` ("e1-e8") are
    to be drawn on the board `fen`; where it fails, `offer` is a near reading that holds and
    `repair` the words with that reading, if a word can simply be exchanged.
    """

    statement: Statement
    answer: Answer
    because: str
    squares: tuple[str, ...] = ()
    arrows: tuple[str, ...] = ()
    offer: str = ""
    repair: str = ""
    fen: str = ""

    @property
    def verdict(self) -> str:
        """The answer in words: ``holds``, ``fails`` or ``cannot-tell``."""
        return self.answer.value


@dataclass(frozen=True, slots=True)
class Family:
    """One family as listed: its name, patterns and documentation."""

    name: str
    patterns: tuple[Pattern, ...]
    documentation: str


@cache
def families() -> tuple[Family, ...]:
    """All families, found by listing this package."""
    found = []
    for module in pkgutil.iter_modules(__path__):
        loaded = importlib.import_module(f"{__name__}.{module.name}")
        found.append(Family(loaded.FAMILY, tuple(loaded.PATTERNS), loaded.__doc__ or ""))
    return tuple(found)


Link = tuple[int, int, tuple[str, ...]]
"""A place in a text (start, end) and the squares a marked link there points at."""


def judge(
    text: str,
    board: chess.Board | Callable[[int], Place],
    taught: chess.Color | None = None,
    judges: Judges | None = None,
    links: Sequence[Link] = (),
    near: Callable[[int], Sequence[Place]] | None = None,
    conditions: bool = False,
) -> tuple[Verdict, ...]:
    """The verdicts on all statements of a text, in order.

    `board` is the board the text is about, with its moves where they are known, or a function
    that gives the place for an offset in the text. `near` gives for speech the places shortly
    before and after: there a statement may be about any of them, and fails only if it is plain.
    With `conditions` what is said beside one ("if he takes, ...") is given too, as not decided.

    >>> board = chess.Board()
    >>> for san in "e4 e5 Nf3".split(): _ = board.push_san(san)
    >>> [(v.verdict, v.because) for v in judge("Black has the bishop pair.", board)]
    [('holds', 'Black has bishops on c8 and f8')]
    """
    from linewright.finding_statements import find
    from linewright.judged_place import Judges, Place

    place = Place(board, taught, judges or Judges()) if isinstance(board, chess.Board) else None
    at = board if callable(board) else (lambda _offset: place)
    return find(text, at, links, near, conditions)


def judged_at(verdict: Verdict, place: Place) -> tuple[Verdict, ...]:
    """What the words of a judged statement say of another place: verdicts of the same family, on
    the same statement."""
    statement = verdict.statement
    found = judge(statement.words, lambda _: place)
    same = (again for again in found if again.statement.family == statement.family)
    return tuple(replace(again, statement=statement) for again in same)


def summary(verdicts: Iterable[Verdict]) -> str:
    """The counts in one line.

    >>> summary(judge("White has two bishops, Black has no queen.", chess.Board()))
    '2 statements: 1 holds, 1 fails'
    """
    verdicts = tuple(verdicts)
    if not verdicts:
        return "no statements"
    count = {answer: sum(v.answer is answer for v in verdicts) for answer in Answer}
    parts = [
        f"{count[answer]} {word if count[answer] != 1 else one}"
        for answer, word, one in (
            (Answer.HOLDS, "hold", "holds"),
            (Answer.FAILS, "fail", "fails"),
            (Answer.CANNOT_TELL, "cannot be told", "cannot be told"),
        )
        if count[answer]
    ]
    return f"{len(verdicts)} statement{'s' * (len(verdicts) != 1)}: {', '.join(parts)}"
