"""When each word is said and each board shown: Lesson × pace → `Timeline`.

A recording or the draft voice give words their times too; everything after the words is the
same, so that prompt sheet, captions and film agree.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

from linewright.lesson import Change, Lesson, Step
from linewright.script import BlockKind
from linewright.source import Span
from linewright.speech import SpokenWord, spoken_words

PARAGRAPH_GAP_MS = 600
"""Breath between paragraphs; common practice, no source."""

PART_GAP_MS = 1200
"""Silence at a heading, in which its board is set; common practice, no source."""

LEAD_MS = 2500
"""Silence before the first word, in which the title stands; and after the last. Only where the
lesson has a title. Common practice, no source."""

PAUSE_MS = 2500
"""How long `---` lasts; common practice, no source."""


@dataclass(frozen=True, slots=True)
class Word:
    """A word with its time. `measured` if the time was heard in a recording or a voice."""

    span: Span
    said: str
    shown: str
    block: int
    start_ms: int
    end_ms: int
    measured: bool = False


@dataclass(frozen=True, slots=True)
class Cue:
    """An interval in which one board is shown. `step` is None before the first change."""

    start_ms: int
    end_ms: int
    span: Span
    step: Step | None
    fen: str
    measured: bool = False


@dataclass(frozen=True, slots=True)
class Passage:
    """A spoken block with its interval; `block` is its place in the script."""

    block: int
    span: Span
    start_ms: int
    end_ms: int


@dataclass(frozen=True, slots=True)
class PartTime:
    """A part with its interval; the words before the first heading have no title."""

    title: str
    span: Span
    start_ms: int
    end_ms: int


@dataclass(frozen=True, slots=True)
class Timeline:
    """The lesson in time. Words, cues, passages and parts are ordered and do not overlap."""

    words: tuple[Word, ...]
    cues: tuple[Cue, ...]
    passages: tuple[Passage, ...]
    parts: tuple[PartTime, ...]
    total_ms: int
    how: str = "pace"

    def at(self, ms: int) -> Cue | None:
        """The cue shown at a time."""
        return next((cue for cue in self.cues if cue.start_ms <= ms < cue.end_ms), None)


def time(lesson: Lesson, said: Sequence[SpokenWord] | None = None) -> Timeline:
    """The timeline at the script's pace; every time in it is estimated.

    `said` are its words where not all of them are, as in a script that was heard.
    A passage of n words lasts n × 60 / pace seconds, shared among its words by their length.
    Source: definition of words a minute.
    """
    words = spoken_words(lesson.script) if said is None else said
    timed: list[Word] = []
    clock_ms = 0
    previous = -1
    for block, group in groupby(words, key=lambda word: word.block):
        clock_ms += silence_ms(lesson, previous, block)
        previous = block
        timed.extend(spread(list(group), clock_ms, lesson.front.pace))
        clock_ms = timed[-1].end_ms
    end_ms = clock_ms + silence_ms(lesson, previous, len(lesson.script.blocks))
    return timeline(lesson, timed, end_ms)


def silence_ms(lesson: Lesson, before: int, after: int) -> int:
    """How long nobody speaks between two spoken blocks (-1: before the first)."""
    blocks = lesson.script.blocks
    between = [block.kind for block in blocks[before + 1 : after]]
    pauses = sum(PAUSE_MS for kind in between if kind is BlockKind.PAUSE)
    at_an_end = before < 0 or after >= len(blocks)
    if at_an_end and lesson.front.title:
        return pauses + LEAD_MS
    if BlockKind.HEADING in between:
        return pauses + PART_GAP_MS
    return pauses + (PARAGRAPH_GAP_MS if before >= 0 and after < len(blocks) else 0)


def spread(words: Sequence[SpokenWord], start_ms: int, pace: int) -> list[Word]:
    """Words one after the other at a pace; their lengths share out the whole exactly."""
    heard = [word for word in words if word.said]
    total_ms = len(heard) * 60_000 / pace
    weights = [2 + sum(c.isalnum() for c in word.said) if word.said else 0 for word in words]
    whole = sum(weights) or 1
    out: list[Word] = []
    passed = 0
    for word, weight in zip(words, weights, strict=True):
        begin = start_ms + round(total_ms * passed / whole)
        passed += weight
        end = start_ms + round(total_ms * passed / whole)
        out.append(Word(word.span, word.said, word.shown, word.block, begin, end))
    return out


def timeline(lesson: Lesson, words: Sequence[Word], end_ms: int, how: str = "pace") -> Timeline:
    """The timeline of words that have their times; `end_ms` is the end of the lesson."""
    timed = tuple(words)
    end_ms = max([end_ms, *(word.end_ms for word in timed)])
    return Timeline(
        timed,
        tuple(_cues(lesson, timed, end_ms)),
        tuple(_passages(lesson, timed)),
        tuple(_parts(lesson, timed, end_ms)),
        end_ms,
        how,
    )


def _cues(lesson: Lesson, words: tuple[Word, ...], end_ms: int) -> list[Cue]:
    changes: list[tuple[int, Step, bool]] = []
    k = 0
    for step in lesson.steps:
        while k < len(words) and not _names(words[k], step):
            k += 1
        word = words[k] if k < len(words) else None
        if word is None:
            at = end_ms
        elif step.spoken:
            at = word.start_ms
        else:
            at = ((words[k - 1].end_ms if k else 0) + word.start_ms) // 2
        at = max([at, *(change[0] for change in changes[-1:])])
        changes.append((at, step, word is not None and word.measured))
    cues: list[Cue] = []
    first = changes[0][0] if changes else end_ms
    if first > 0 or not changes:
        cues.append(Cue(0, first, Span(0, 0), None, lesson.tree.nodes[0].fen))
    for n, (at, step, measured) in enumerate(changes):
        until = changes[n + 1][0] if n + 1 < len(changes) else end_ms
        cues.append(Cue(at, max(until, at), step.span, step, step.fen, measured))
    return cues


def _names(word: Word, step: Step) -> bool:
    """Whether a word is the one a step happens with: the first that reaches into or past it."""
    if word.span.end <= step.span.start:
        return False
    closes = step.change in {Change.RETURN, Change.RESTORE}
    return not (closes and word.span.start < step.span.start)


def _passages(lesson: Lesson, words: tuple[Word, ...]) -> list[Passage]:
    out = []
    for block, group in groupby(words, key=lambda word: word.block):
        members = list(group)
        span = lesson.script.blocks[block].span
        out.append(Passage(block, span, members[0].start_ms, members[-1].end_ms))
    return out


def _parts(lesson: Lesson, words: tuple[Word, ...], end_ms: int) -> list[PartTime]:
    starts: list[tuple[str, Span, int]] = []
    for part in lesson.parts:
        inside = [word.start_ms for word in words if word.span.start >= part.span.start]
        starts.append((part.title, part.span, inside[0] if inside else end_ms))
    first_part = lesson.parts[0].span.start if lesson.parts else len(lesson.script.source.text)
    if words and words[0].span.start < first_part:
        starts.insert(0, ("", Span(0, first_part), 0))
    out = []
    for k, (title, span, start) in enumerate(starts):
        until = starts[k + 1][2] if k + 1 < len(starts) else end_ms
        out.append(PartTime(title, span, start if k else 0, until))
    return out
