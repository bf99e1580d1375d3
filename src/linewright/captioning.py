"""Cut what is said into captions of at most two lines of 37 characters.

A caption ends where a sentence or a clause does if it can, stays in its paragraph, and is shown
while its words are said, longer where nothing follows at once.

Words that a script has and its talk does not say would flash by: they stay until they can be read,
and the captions behind them come later, until they have caught up. Moves in notation that it does
not say stand behind words that tell them: no caption has them, nor brackets around what is said.

Source: BBC Subtitle Guidelines (37 characters, two lines, breaks after punctuation); Ofcom guidance
quoted by BBC R&D, "How fast should subtitles be?" (2015): difficult above 200 words a minute.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import groupby, pairwise

from linewright.speech import STOPS
from linewright.timing import Timeline, Word

LINE_CHARACTERS = 37
LINES = 2
MIN_MS = 1000
"""Shortest caption where the silence after it allows; common practice, no source."""

SILENCE_MS = 1500
"""A silence in which a caption ends; common practice, no source."""

FASTEST_WPM = 200
"""Above this captions are difficult to read."""
RUSHED_WPM = 300
"""Words that pass faster than this are said by nobody."""

_SENTENCE = re.compile(r"[.!?…][\"'”’)]*$")
_CLAUSE = re.compile(r"[,;:—–)][\"'”’)]*$")
_BEFORE = frozenset(
    "and but or so because when while if that which who with of in on at to for by the a an".split()
)


@dataclass(frozen=True, slots=True)
class Caption:
    """One caption: its interval and its one or two lines."""

    start_ms: int
    end_ms: int
    lines: tuple[str, ...]


def captions(timeline: Timeline) -> list[Caption]:
    """What is heard of the timeline, as it is printed, in captions, ordered and disjoint.

    Notation that is not said is in none.
    """
    return _readable(_as_said(timeline), timeline.total_ms)


def latest_ms(timeline: Timeline) -> int:
    """How much later than its words a caption is shown at most."""
    said = _as_said(timeline)
    shown = _readable(said, timeline.total_ms)
    late = (b.start_ms - a.start_ms for a, b in zip(said, shown, strict=True))
    return max(late, default=0)


def _as_said(timeline: Timeline) -> list[Caption]:
    """The captions while their words are said."""
    out: list[Caption] = []
    for _, group in groupby(timeline.words, key=lambda word: word.block):
        for run in _between_silences(_printed(_without_brackets(_heard(list(group))))):
            for words in _split(run):
                lines = _lines(_texts(words)) or ()
                out.append(Caption(words[0].start_ms, words[-1].end_ms, lines))
    return [_held(caption, out[k + 1 : k + 2], timeline) for k, caption in enumerate(out)]


def _rushed(caption: Caption) -> bool:
    """Whether a caption passes faster than anybody speaks."""
    return caption.end_ms - caption.start_ms < _reading_ms(caption, RUSHED_WPM)


def _reading_ms(caption: Caption, wpm: int) -> float:
    return sum(len(line.split()) for line in caption.lines) * 60_000 / wpm


def _readable(shown: list[Caption], total_ms: int) -> list[Caption]:
    """The captions with time to read those that pass too fast, the next ones later if they must."""
    out: list[Caption] = []
    free = 0
    for caption in shown:
        start = max(caption.start_ms, free)
        needed = _reading_ms(caption, FASTEST_WPM)
        if not _rushed(caption):
            needed = min(needed, caption.end_ms - caption.start_ms)
        end = max(caption.end_ms, min(round(start + needed), total_ms), start + 1)
        out.append(Caption(start, end, caption.lines))
        free = end
    return out


def _between_silences(words: list[Word]) -> list[list[Word]]:
    """The words of a paragraph in runs: no caption stays up while nobody speaks."""
    out: list[list[Word]] = []
    for word in words:
        if out and word.start_ms - out[-1][-1].end_ms < SILENCE_MS:
            out[-1].append(word)
        else:
            out.append([word])
    return out


def _held(caption: Caption, following: list[Caption], timeline: Timeline) -> Caption:
    """The caption held until it can be read, as far as the next one and the end allow."""
    until = following[0].start_ms if following else timeline.total_ms
    wanted = max(caption.end_ms, caption.start_ms + MIN_MS)
    end = max(caption.end_ms, min(wanted, until))
    return Caption(caption.start_ms, max(end, caption.start_ms + 1), caption.lines)


def _heard(words: Sequence[Word]) -> list[Word]:
    """The words without notation that is not said: it stands behind words that tell the same.

    Where only its end is said, that is shown. Its marks go to the words beside it, but for
    brackets and quotation marks that hold nothing else.
    """
    out: list[Word] = []
    opens = ""
    for first, *others in _entries(words):
        if first.said or not any(c.isalnum() for c in first.shown):
            out += [replace(first, shown=opens + first.shown), *others]
            opens = ""
            continue
        marks = _MARKS.fullmatch(first.shown)
        lead, stops = (marks[1], marks[3]) if marks else ("", "")
        opens += lead
        said = [word for word in others if word.said]
        if said:
            text = " ".join(word.said for word in said).rstrip(STOPS)
            out += [replace(said[0], shown=f"{opens}{text}{stops}"), *said[1:]]
            opens = ""
            continue
        opens, stops = _without_pairs(opens, stops)
        last = next((k for k in reversed(range(len(out))) if out[k].shown), None)
        if stops and last is not None:
            out[last] = replace(out[last], shown=out[last].shown.rstrip(STOPS) + stops)
    return out


_MARKS = re.compile(r"([^\w.…]*)(.*?)([^\w+#=]*)", re.DOTALL)
_PAIRS = {")": "(", "]": "[", "”": "“", "’": "‘", "»": "«", '"': '"', "'": "'"}


def _without_pairs(opens: str, closes: str) -> tuple[str, str]:
    """Marks that open and marks that close, less those that close one of the first.

    >>> _without_pairs("“(", ").")
    ('“', '.')
    """
    kept = ""
    for mark in closes:
        at = opens.rfind(_PAIRS.get(mark, mark))
        if mark in _PAIRS and at >= 0:
            opens = opens[:at] + opens[at + 1 :]
        else:
            kept += mark
    return opens, kept


def _without_brackets(words: Sequence[Word]) -> list[Word]:
    """The words without round brackets, which nobody speaks: in captions they hold sounds."""
    return [replace(word, shown=_bare(word.shown)) for word in words]


_ENDS = re.compile(r"(\W*)(.*?)(\W*)", re.DOTALL)


def _bare(shown: str) -> str:
    """What is printed without the brackets at the ends of its words, empty if it is only these.

    >>> [_bare(shown) for shown in ("(see", "f(x)", "(s)he),", "e5 (", "c4 ),", "( )")]
    ['see', 'f(x)', '(s)he,', 'e5', 'c4,', '']
    """
    out: list[str] = []
    for word in shown.split(" "):
        found = _ENDS.fullmatch(word)
        if found is None or not re.search("[()]", word):
            out.append(word)
            continue
        lead, core, tail = found.groups()
        opens, closes = _unclosed(core)
        bare = _kept(lead, "(", closes) + core + _kept(tail[::-1], ")", opens)[::-1]
        if out and not any(c.isalnum() for c in bare):
            out[-1] += bare
        elif bare:
            out.append(bare)
    return " ".join(out)


def _unclosed(core: str) -> tuple[int, int]:
    """How many brackets inside a word are not closed there, and how many not opened."""
    opens = closes = 0
    for mark in core:
        if mark == "(":
            opens += 1
        elif mark == ")":
            opens, closes = (opens - 1, closes) if opens else (0, closes + 1)
    return opens, closes


def _kept(marks: str, bracket: str, number: int) -> str:
    """Marks at an end of a word, from outside, with so many brackets, those next to it."""
    out = ""
    for mark in reversed(marks):
        if mark not in "()":
            out = mark + out
        elif mark == bracket and number:
            out, number = mark + out, number - 1
    return out


def _entries(words: Sequence[Word]) -> list[list[Word]]:
    """Each printed word with those that it is said with besides."""
    out: list[list[Word]] = []
    for word in words:
        if word.shown or not out:
            out.append([word])
        else:
            out[-1].append(word)
    return out


def _printed(words: list[Word]) -> list[Word]:
    """One entry for each printed word, lasting as long as all words it is said with."""
    out = [replace(entry[0], end_ms=entry[-1].end_ms) for entry in _entries(words)]
    return [piece for word in out for piece in _short_enough(word)]


def _short_enough(word: Word) -> list[Word]:
    """A word cut into pieces that fit a line, its time shared among them."""
    text = word.shown
    if len(text) <= LINE_CHARACTERS:
        return [word] if text else []
    pieces = [text[k : k + LINE_CHARACTERS] for k in range(0, len(text), LINE_CHARACTERS)]
    step = (word.end_ms - word.start_ms) / len(pieces)
    return [
        Word(
            word.span,
            word.said,
            piece,
            word.block,
            round(word.start_ms + k * step),
            round(word.start_ms + (k + 1) * step),
        )
        for k, piece in enumerate(pieces)
    ]


def _texts(words: Sequence[Word]) -> list[str]:
    return [word.shown for word in words]


def _split(words: list[Word]) -> list[list[Word]]:
    """The words of a paragraph in captions, by the least sum of penalties.

    Cost: words times the longest caption.
    """
    best: list[tuple[float, int]] = [(0.0, 0)]
    for end in range(1, len(words) + 1):
        options = []
        for start in range(end - 1, -1, -1):
            lines = _lines(_texts(words[start:end]))
            if lines is None:
                break
            penalty = _penalty(words[start:end], end == len(words))
            options.append((best[start][0] + penalty, start))
        best.append(min(options))
    cuts = [len(words)]
    while cuts[-1]:
        cuts.append(best[cuts[-1]][1])
    cuts.reverse()
    return [words[a:b] for a, b in pairwise(cuts)]


def _penalty(words: Sequence[Word], last: bool) -> float:
    """How bad a caption is: where it ends, how short it is, how many sentences it mixes."""
    text = " ".join(_texts(words))
    end = words[-1].shown
    penalty = 1.0
    if not (last or _SENTENCE.search(end)):
        penalty += 1.0 if _CLAUSE.search(end) else 3.0
        if end.lower() in _BEFORE:
            penalty += 2.0
    if len(text) < 20:
        penalty += 1.5
    inner = sum(1 for word in words[:-1] if _SENTENCE.search(word.shown) and len(word.shown) > 3)
    return penalty + 0.7 * inner


def _lines(texts: list[str]) -> tuple[str, ...] | None:
    """The words on one or two lines, broken after punctuation and evenly; None if too long."""
    whole = " ".join(texts)
    if len(whole) <= LINE_CHARACTERS:
        return (whole,)
    if len(whole) > LINES * LINE_CHARACTERS + 1:
        return None
    options = []
    for k in range(1, len(texts)):
        upper, lower = " ".join(texts[:k]), " ".join(texts[k:])
        if max(len(upper), len(lower)) > LINE_CHARACTERS:
            continue
        uneven = abs(len(upper) - len(lower)) / 10
        breaks = 0.0 if _CLAUSE.search(texts[k - 1]) or _SENTENCE.search(texts[k - 1]) else 2.0
        if texts[k - 1].lower() in _BEFORE:
            breaks += 2.0
        options.append((uneven + breaks, upper, lower))
    return min(options)[1:] if options else None
