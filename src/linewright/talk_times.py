"""When the words of a heard script were said: the times of the talk it was heard from. Floor 4.

A script keeps the words of its talk; moves stand in it in notation and are said as the talk says
them. So its words are looked for in the talk's, in order, and what lies between two that are found
(a move told in other words, one that nobody said) shares the time between them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from linewright.errors import CannotReadError
from linewright.lesson import Lesson
from linewright.speech import SpokenWord, spoken_words
from linewright.talk.transcript import Timing, Transcript, read_transcript, source_from_bytes
from linewright.talk.transcript import Word as Told
from linewright.timing import Timeline, Word, timeline

FEWEST = 0.5
"""The share of a script's words that must be the talk's; else it is another's, or written anew."""


def talk_of(lesson: Lesson, folder: Path) -> Transcript | None:
    """The talk a script was heard from, beside the script or where `hear` left it; None if gone.

    **Raises** `CannotReadError` if it is there and cannot be read.
    """
    name = Path(lesson.front.talk).name
    near = (folder / name, folder.resolve().parent / name) if name else ()  # "." has no parent
    path = next((path for path in near if path.is_file()), None)
    if path is None:
        return None
    try:
        data = path.read_bytes()
    except OSError as error:
        raise CannotReadError(str(path), (error.strerror or str(error)).lower()) from error
    return read_transcript(source_from_bytes(path.name, data)[0])


def timed_by_talk(lesson: Lesson, talk: Transcript) -> Timeline | None:
    """The timeline of a script by its talk's times; None where the talk has none or other words.

    A time is measured where the talk's file has it for that word.

    **Cost**: that of comparing two texts (`_found`).
    """
    told = [word for word in talk.words if word.start_ms is not None and word.end_ms is not None]
    words = spoken_words(lesson.script)
    heard = [k for k, word in enumerate(words) if word.said]
    if not told or not heard or len(told) < len(talk.words):
        return None
    found = _found([words[k].said for k in heard], [word.text for word in told])
    if len(found) < FEWEST * len(heard):
        return None
    at = {heard[k]: told[n] for k, n in found.items()}
    return timeline(lesson, _spread(words, at, told), talk.end_ms or 0, "talk")


def _found(said: Sequence[str], told: Sequence[str]) -> dict[int, int]:
    """Which word of the talk each word is, in order, so that as many as can be are found.

    Words that stand together in both count twice. The longest run of words that both have is not
    enough: a summing up has words said long before, and all between them would be lost.

    **Source**: Needleman and Wunsch (1970), without a price for what is left out.

    **Cost**: a step and a byte for each pair of words: 0.2 s and 15 MB for twenty minutes of talk.

    >>> _found("we take so take back".split(), "we take back so we take back".split())
    {0: 0, 1: 1, 2: 3, 3: 5, 4: 6}
    """
    ways = _ways(*_numbered(said, told))
    out: dict[int, int] = {}
    n, m, together = len(said), len(told), False
    while n and m:
        way = ways[n, m]
        if together or way & _MATCHED:
            n, m = n - 1, m - 1
            out[n] = m
            together = bool(way & _TOGETHER)
        else:
            n, m = (n - 1, m) if way & _LEFT_OUT else (n, m - 1)
    return dict(sorted(out.items()))


_MATCHED, _TOGETHER, _LEFT_OUT = 1, 2, 4


def _ways(said: NDArray[np.int32], told: NDArray[np.int32]) -> NDArray[np.uint8]:
    """How the best of all ways to find the words before each pair of places ends."""
    ways = np.zeros((len(said) + 1, len(told) + 1), np.uint8)
    best = np.zeros(len(told) + 1, np.int32)
    matched = np.full(len(told) + 1, _NO_MATCH, np.int32)
    for k, word in enumerate(said, 1):
        apart, together = best[:-1] + 1, matched[:-1] + 2
        here = np.where(told == word, np.maximum(apart, together), _NO_MATCH)
        row = np.maximum.accumulate(np.maximum(best[1:], here))
        ways[k, 1:] = (
            (here == row) * _MATCHED
            | (together >= apart) * _TOGETHER
            | (best[1:] == row) * _LEFT_OUT
        )
        best[1:], matched[1:] = row, here
    return ways


_NO_MATCH = -(10**6)


def _numbered(
    said: Sequence[str], told: Sequence[str]
) -> tuple[NDArray[np.int32], NDArray[np.int32]]:
    """Two texts with a number for each different word."""
    numbers: dict[str, int] = {}
    one, other = (
        np.array([numbers.setdefault(_plain(w), len(numbers)) for w in text], np.int32)
        for text in (said, told)
    )
    return one, other


def _plain(word: str) -> str:
    return "".join(c for c in word.lower() if c.isalnum())


def _spread(words: Sequence[SpokenWord], at: dict[int, Told], told: Sequence[Told]) -> list[Word]:
    """The words with their times; those not found share what lies between their neighbours."""
    out: list[Word] = []
    first_ms, last_ms = told[0].span.start_ms or 0, told[-1].span.end_ms or 0
    for k, word in enumerate(words):
        plain = Word(word.span, word.said, word.shown, word.block, 0, 0)
        if (own := at.get(k)) is not None:
            start, end = own.span.start_ms or 0, own.span.end_ms or 0
            known = own.timing is Timing.MEASURED
            out.append(replace(plain, start_ms=start, end_ms=end, measured=known))
            continue
        begin = out[-1].end_ms if out else first_ms
        after = next((n for n in range(k, len(words)) if n in at), None)
        until = last_ms if after is None else at[after].span.start_ms or 0
        share = max(until - begin, 0) // ((len(words) if after is None else after) - k)
        out.append(replace(plain, start_ms=begin, end_ms=begin + share))
    return out
