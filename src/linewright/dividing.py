"""Long paragraphs divided where a board is told of, so that it stands by its words."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import groupby
from math import inf

from linewright.english.sentences import abbreviates
from linewright.lesson import Change, Lesson
from linewright.script import BlockKind
from linewright.set_blocks import Diagram, Drawing, Plate, Run, SetBlock, Words, plain

ENOUGH_WORDS = 10
"""So many words of a paragraph at least stand before a board set inside it, and behind it."""


_SENTENCE_END = re.compile(r"[.!?][\"”’)]*(?=\s+(?:[^\Wa-z]|\()|\s*$)")


@dataclass(frozen=True, slots=True)
class _Cut:
    """An end of a sentence in a paragraph: the run it is in, where in its text, and how many words
    stand before it."""

    run: int
    at: int
    words: int


def divided(lesson: Lesson, block: SetBlock) -> Iterator[SetBlock]:
    """A paragraph in pieces, each with the boards that its words reach; any other block as it is.

    It is cut where sentences end, so that a board stands by its words on paper too.
    """
    if block.kind is not BlockKind.PARAGRAPH or not block.plates or not block.runs:
        yield block
        return
    ends = list(_sentence_ends(block.runs))
    whole = len(plain(block.runs).split())
    begun, held = _Cut(0, 0, 0), list[Plate]()

    def cut_behind(plate: Plate) -> _Cut | None:
        place = _told_at(lesson, block, plate)
        return next((end for end in ends if block.runs[end.run].span.start >= place), None)

    plates = sorted(block.plates, key=lambda plate: _told_at(lesson, block, plate))
    for cut, told in groupby(plates, key=cut_behind):
        held.extend(told)
        if cut and min(cut.words - begun.words, whole - cut.words) >= ENOUGH_WORDS:
            runs = _between(block.runs, begun, cut)
            yield replace(block, runs=runs, plates=tuple(held), end_step=None)
            begun, held = cut, []
    yield replace(block, runs=_between(block.runs, begun, None), plates=tuple(held))


def _told_at(lesson: Lesson, block: SetBlock, plate: Plate) -> float:
    """Where a block tells what a plate shows: the last mark on it, else the move that reaches it;
    behind all words if no words tell it."""
    if isinstance(plate, Drawing):
        return plate.span.start
    fen = plate.fen if isinstance(plate, Diagram) else ""
    marked = [m.span.start for m in lesson.marks if m.fen == fen and m.span.start in block.span]
    steps = (s for s in lesson.steps if s.fen == fen and s.change is not Change.RETURN)
    told = [s.span.start for s in steps if s.span.start in block.span]
    return max(marked or told, default=inf)


def _sentence_ends(runs: Sequence[Run]) -> Iterator[_Cut]:
    """The ends of sentences outside parentheses, in the plain words of a paragraph."""
    words = depth = 0
    for k, run in enumerate(runs):
        text = plain([run])
        for stop in _SENTENCE_END.finditer(text) if isinstance(run, Words) else ():
            before = text[: stop.end()]
            if abbreviates(text, stop.end()):
                continue
            if depth + before.count("(") == before.count(")"):
                yield _Cut(k, stop.end(), words + len(before.split()))
        words += len(text.split())
        depth += text.count("(") - text.count(")")


def _between(runs: Sequence[Run], begun: _Cut, end: _Cut | None) -> tuple[Run, ...]:
    """The runs from one cut to another, or to the end."""
    out = list(runs[begun.run : end.run + 1 if end else None])
    last = out[-1]
    if end and isinstance(last, Words):
        out[-1] = replace(last, text=last.text[: end.at])
    first = out[0]
    if begun.at and isinstance(first, Words):
        out[0] = replace(first, text=first.text[begun.at :].lstrip())
    return tuple(run for run in out if not isinstance(run, Words) or run.text)
