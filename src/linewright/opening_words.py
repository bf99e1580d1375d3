"""Words that open a part which begins on another board than the part before it ends with."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

from linewright.lesson import Lesson, Part
from linewright.source import Span
from linewright.statements import Answer, Verdict, judged_at

if TYPE_CHECKING:
    from linewright.judged_place import Place

_WHY = "it opens a part whose moves begin on another board, and may speak of what comes there"


def not_of_the_part_before(
    verdicts: Iterable[Verdict], lesson: Lesson, places: Callable[[], Callable[[int], Place]]
) -> Iterator[Verdict]:
    """The verdicts, those that fail in such words undecided: there the board at hand is still the
    last one of the part before, which a teacher who begins anew hardly speaks of.

    What fails on every board of the part itself and of the line to it fails all the same. `places`
    gives the boards of the lesson by their offsets, if they are needed.
    """
    opening = tuple(_openings(lesson))
    for verdict in verdicts:
        start = verdict.statement.span.start
        part = next((part for span, part in opening if start in span), None)
        if part and verdict.answer is Answer.FAILS and _may_come(verdict, lesson, part, places()):
            verdict = replace(  # noqa: PLW2901
                verdict, answer=Answer.CANNOT_TELL, because=_WHY, offer="", repair=""
            )
        yield verdict


def _may_come(verdict: Verdict, lesson: Lesson, part: Part, at: Callable[[int], Place]) -> bool:
    """Whether what is said does not fail on a board of a part, or of the line that leads to it."""
    told = [step for step in lesson.steps if step.span.start in part.span]
    moved = next(step for step in told if step.went_elsewhere)
    line = {node.index for node in lesson.tree.line(moved.base)}
    reached = {s.after: s.span.end for s in reversed(lesson.steps) if s.after in line}
    offsets = {0, *reached.values(), *(step.span.end for step in told)}
    for offset in offsets:
        again = judged_at(verdict, at(offset))
        if not again or any(one.answer is not Answer.FAILS for one in again):
            return True
    return False


def _openings(lesson: Lesson) -> Iterator[tuple[Span, Part]]:
    """From each heading to the first move of its part, if that goes elsewhere."""
    for part in lesson.parts:
        k = bisect_left(lesson.starts, part.span.start)
        if k == len(lesson.starts) or not k:
            continue
        first = lesson.steps[k]
        if first.span.start in part.span and first.went_elsewhere:
            yield Span(part.span.start, first.span.start), part
