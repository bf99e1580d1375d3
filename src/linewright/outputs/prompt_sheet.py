"""The prompt sheet: the words as they are spoken, moves spelt out, the time beside each paragraph.

For reading from while the lesson is recorded or given live: one HTML page in large type, which
prints on paper as well. Nothing in it needs a network.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from linewright.clock import clock
from linewright.headings import heading_title
from linewright.html import render
from linewright.lesson import Lesson
from linewright.masthead import players_line
from linewright.outputs import Artifact, Edition
from linewright.script import BlockKind
from linewright.timing import Timeline, Word


@dataclass(frozen=True, slots=True)
class Line:
    """One row of the sheet. `kind` is ``part``, ``words`` or ``pause``; `words` are (text, is it
    a move) in order."""

    kind: str
    time: str = ""
    words: tuple[tuple[str, bool], ...] = ()


HOW = {
    "pace": "at {pace} words a minute",
    "voice": "as the draft voice speaks it",
    "recording": "as recorded",
}


def make(edition: Edition) -> tuple[Artifact, ...]:
    """The prompt sheet as one HTML page."""
    lesson = edition.lesson
    page = render(
        "prompt_sheet.html",
        title=lesson.front.title or edition.base,
        players=players_line(lesson),
        lines=lines(lesson, edition.timeline),
        total=clock(edition.timeline.total_ms),
        words=sum(1 for word in edition.timeline.words if word.said),
        how=HOW[edition.timeline.how].format(pace=lesson.front.pace),
        language=lesson.front.language,
    )
    return (Artifact(f"{edition.base}-prompt.html", "text/html", page.encode()),)


def lines(lesson: Lesson, timeline: Timeline) -> list[Line]:
    """The rows of the sheet in order."""
    starts = {passage.block: passage.start_ms for passage in timeline.passages}
    out: list[Line] = []
    for index, block in enumerate(lesson.script.blocks):
        if block.kind is BlockKind.HEADING:
            out.append(Line("part", words=((heading_title(block), False),)))
        elif block.kind is BlockKind.PAUSE:
            out.append(Line("pause"))
        elif index in starts:
            words = [word for word in timeline.words if word.block == index]
            out.append(Line("words", clock(starts[index]), _said(words)))
    return out


def _said(words: Sequence[Word]) -> tuple[tuple[str, bool], ...]:
    """The spoken words; those of one move stand together.

    What is printed and not said is left out: it stands behind words that tell the same.
    """
    out: list[tuple[str, bool]] = []
    for word in words:
        if word.shown:
            out.append((word.said, _letters(word.shown) != _letters(word.said)))
        elif word.said:
            out[-1] = (f"{out[-1][0]} {word.said}".strip(), True)
    return tuple((text, move) for text, move in out if text)


def _letters(text: str) -> str:
    return "".join(c for c in text if c.isalnum())
