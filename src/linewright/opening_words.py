"""Words that open a part which begins on another board than the part before it ends with."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Iterator
from dataclasses import replace

from linewright.lesson import Lesson
from linewright.source import Span
from linewright.statements import Answer, Verdict

_WHY = "it opens a part whose moves begin on another board, and may speak of what comes there"


def not_of_the_part_before(verdicts: Iterable[Verdict], lesson: Lesson) -> Iterator[Verdict]:
    """The verdicts, those that fail in such words undecided: there the board at hand is still the
    last one of the part before, which a teacher who begins anew hardly speaks of."""
    opening = tuple(_openings(lesson))
    for verdict in verdicts:
        start = verdict.statement.span.start
        if verdict.answer is Answer.FAILS and any(start in span for span in opening):
            verdict = replace(  # noqa: PLW2901
                verdict, answer=Answer.CANNOT_TELL, because=_WHY, offer="", repair=""
            )
        yield verdict


def _openings(lesson: Lesson) -> Iterator[Span]:
    """From each heading to the first move of its part, if that goes elsewhere."""
    for part in lesson.parts:
        k = bisect_left(lesson.starts, part.span.start)
        if k == len(lesson.starts) or not k:
            continue
        first = lesson.steps[k]
        if first.span.start in part.span and first.went_elsewhere:
            yield Span(part.span.start, first.span.start)
