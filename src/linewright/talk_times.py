"""When the words of a heard script were said: the times of the talk it was heard from.

A script keeps the words of its talk; moves stand in it in notation and are said as the talk says
them. So its words are looked for in the talk's, in order, and what lies between two that are found
(a move told in other words, one that nobody said) shares the time between them.

A move whose words the talk keeps stands behind them in notation too ("so she goes back to c7
14...Qc7"). Nothing is said between them and what follows, so the notation is printed and not said.
What a teacher added stands there too, but in sentences or behind words that the talk does not have.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from linewright.errors import CannotReadError
from linewright.lesson import Lesson
from linewright.source import beside_or_above
from linewright.speech import STOPS, SpokenWord, spoken_words
from linewright.talk.transcript import Timing, Transcript, read_transcript, source_from_bytes
from linewright.talk.transcript import Word as Told
from linewright.timing import Timeline, Word, timeline

FEWEST = 0.5
"""The share of a script's words that must be the talk's; else it is another's, or written anew."""

UNSAID_MS = 400
"""How long notation that is not said has at most, so that none holds a caption through a pause."""


def talk_of(lesson: Lesson, folder: Path) -> Transcript | None:
    """The talk a script was heard from, beside the script or where `hear` left it; None if gone.

    **Raises** `CannotReadError` if it is there and cannot be read.
    """
    path = beside_or_above(folder, Path(lesson.front.talk).name)
    if not path.is_file():
        return None
    try:
        data = path.read_bytes()
    except OSError as error:
        raise CannotReadError(str(path), (error.strerror or str(error)).lower()) from error
    return read_transcript(source_from_bytes(path.name, data)[0])


def timed_by_talk(
    lesson: Lesson, talk: Transcript, how: str = "talk", end_ms: int = 0
) -> Timeline | None:
    """The timeline of a script by its talk's times; None where the talk has none or other words.

    A time is measured where the talk has it measured for that word. `how` and `end_ms` are those of
    a recording in which the talk's words were found.

    **Cost**: that of comparing two texts (`_paired`).
    """
    told = [word for word in talk.words if word.start_ms is not None and word.end_ms is not None]
    heard = _heard_from(lesson, talk)
    if heard is None or len(told) < len(talk.words):
        return None
    words, found = heard
    at = {k: told[n] for k, n in found.items()}
    return timeline(lesson, _spread(words, at, told), max(end_ms, talk.end_ms or 0), how)


def words_said(lesson: Lesson, talk: Transcript) -> tuple[SpokenWord, ...]:
    """The words of a heard script; notation that its talk does not say is printed only.

    The stop behind it is heard behind the word before it. All words of a script with other words
    than the talk's are said.
    """
    heard = _heard_from(lesson, talk)
    return heard[0] if heard else spoken_words(lesson.script)


def _heard_from(
    lesson: Lesson, talk: Transcript
) -> tuple[tuple[SpokenWord, ...], dict[int, int]] | None:
    """The words of a heard script and which of the talk's each is; None if they are another's."""
    words = spoken_words(lesson.script)
    found = _found(words, [word.text for word in talk.words])
    out = list(words)
    for k in sorted(_unsaid(words, found, len(talk.words))):
        out[k] = replace(words[k], said="")
        stop = words[k].said[len(words[k].said.rstrip(STOPS)) :]
        before = next((n for n in range(k - 1, -1, -1) if out[n].said), None)
        if stop and before is not None and out[before].block == words[k].block:
            out[before] = replace(out[before], said=out[before].said.rstrip(STOPS) + stop)
    said = sum(1 for word in out if word.said)
    return (tuple(out), found) if found and len(found) >= FEWEST * said else None


def _found(words: Sequence[SpokenWord], told: Sequence[str]) -> dict[int, int]:
    """Which word of the talk each word is, for those that are found in their order."""
    said = [k for k, word in enumerate(words) if word.said]
    notation = [words[k].notation for k in said]
    pairs = _paired([words[k].said for k in said], told, notation)
    return {said[k]: place for k, place in pairs.items()}


def _paired(
    said: Sequence[str], told: Sequence[str], notation: Sequence[bool] = ()
) -> dict[int, int]:
    """Which word of the talk each word is, in order, so that as many as can be are found.

    Words that stand together in both count twice. The longest run of words that both have is not
    enough: a summing up has words said long before, and all between them would be lost.

    A word of `notation` counts less than a teacher's own, which "to g3 5.Ng3" leaves the g3 that
    was said; it may be left out between words that stand together, and where it was said ("look at
    g5. 5.Ng5, and") it keeps what is its own from the words before it.

    **Source**: Needleman and Wunsch (1970), without a price for what is left out.

    **Cost**: a step and a byte for each pair of words: 0.2 s and 15 MB for twenty minutes of talk;
    longer texts are parted where both plainly say the same, and have nothing in common without such
    a place.

    >>> _paired("we take so take back".split(), "we take back so we take back".split())
    {0: 0, 1: 1, 2: 3, 3: 5, 4: 6}
    >>> _paired("at g5 knight g5 and".split(), "at g5 knight g5 and".split(), [0, 0, 1, 1, 0])
    {0: 0, 1: 1, 2: 2, 3: 3, 4: 4}
    >>> _paired("to g5 knight g5 and".split(), "to g5 and".split(), [0, 0, 1, 1, 0])
    {0: 0, 1: 1, 4: 2}
    """
    notation = notation or [False] * len(said)
    if len(said) * len(told) > MOST_PAIRS:
        parted = _parted(said, told)
        if parted is None:
            return {}
        one, other = parted
        later = _paired(said[one:], told[other:], notation[one:])
        sooner = _paired(said[:one], told[:other], notation[:one])
        return sooner | {one + k: other + n for k, n in later.items()}
    ways = _ways(*_numbered(said, told), notation)
    out: dict[int, int] = {}
    n, m, together = len(said), len(told), False
    while n and m:
        way = ways[n, m]
        if together and way & _PASSED:
            n -= 1
        elif together or way & _MATCHED:
            n, m = n - 1, m - 1
            out[n] = m
            together = bool(way & _TOGETHER)
        else:
            n, m = (n - 1, m) if way & _LEFT_OUT else (n, m - 1)
    return dict(sorted(out.items()))


MOST_PAIRS = 60_000_000
"""So many pairs of words are held against each other at once: those of forty minutes of talk."""

_RUNS = (8, 5)
"""So many words that stand once in each of two texts are taken for the same words."""


def _parted(said: Sequence[str], told: Sequence[str]) -> tuple[int, int] | None:
    """A place in each of two texts, near the middle, where the same words begin, if any."""
    texts = [[_plain(word) for word in text] for text in (said, told)]
    middle = len(said) // 2
    for size in _RUNS:
        one, other = (_runs(text, size) for text in texts)
        shared = [(k, other[run]) for run, k in one.items() if k and other.get(run)]
        if shared:
            return min(shared, key=lambda places: abs(places[0] - middle))
    return None


def _runs(words: Sequence[str], size: int) -> dict[tuple[str, ...], int]:
    """The runs of words of a text with where each begins; 0 for one that stands twice."""
    runs: dict[tuple[str, ...], int] = {}
    for k in range(len(words) - size + 1):
        run = tuple(words[k : k + size])
        runs[run] = k if run not in runs else 0
    return runs


_MATCHED, _TOGETHER, _LEFT_OUT, _PASSED = 1, 2, 4, 8

_OWN, _NOTATION = 3, 2
"""What a word that is found counts; twice that where it stands together with the one before."""


def _ways(
    said: NDArray[np.int32], told: NDArray[np.int32], notation: Sequence[bool]
) -> NDArray[np.uint8]:
    """How the best of all ways to find the words before each pair of places ends.

    `_PASSED` tells of notation that is left out behind the word that was found last.
    """
    ways = np.zeros((len(said) + 1, len(told) + 1), np.uint8)
    best = np.zeros(len(told) + 1, np.int32)
    matched = np.full(len(told) + 1, _NO_MATCH, np.int32)
    for k, word in enumerate(said, 1):
        worth = _NOTATION if notation[k - 1] else _OWN
        apart, together = best[:-1] + worth, matched[:-1] + 2 * worth
        here = np.where(told == word, np.maximum(apart, together), _NO_MATCH)
        row = np.maximum.accumulate(np.maximum(best[1:], here))
        passed = (matched[1:] >= here) if notation[k - 1] else np.zeros(len(told), np.bool_)
        ways[k, 1:] = (
            (here == row) * _MATCHED
            | (together >= apart) * _TOGETHER
            | (best[1:] == row) * _LEFT_OUT
            | passed * _PASSED
        )
        best[1:], matched[1:] = row, np.where(passed, matched[1:], here)
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


def _unsaid(words: Sequence[SpokenWord], found: dict[int, int], told: int) -> set[int]:
    """The words of notation between two words that the talk says one right after the other.

    Notation that stands behind other words than the talk's since the first of the two, or in a
    sentence without any of the talk's, was added to the script: it is said.
    """
    out: set[int] = set()
    run: list[int] = []
    last, added = -1, False
    for sentence in _sentences(words):
        if any(words[k].notation for k in sentence) and not any(k in found for k in sentence):
            continue
        for k in sentence:
            if k in found:
                out.update(run if found[k] == last + 1 else ())
                run, last, added = [], found[k], False
            elif not words[k].notation:
                added = added or bool(words[k].said)
            elif not added:
                run.append(k)
    out.update(run if last == told - 1 else ())
    return out


_CLOSING = "\"'”’)]"


def _sentences(words: Sequence[SpokenWord]) -> Iterator[list[int]]:
    """The places of the words of each sentence; none goes on in the next block."""
    sentence: list[int] = []
    for k, word in enumerate(words):
        if sentence and word.block != words[k - 1].block:
            yield sentence
            sentence = []
        sentence.append(k)
        if word.said.rstrip(_CLOSING).endswith(tuple(".!?…")):
            yield sentence
            sentence = []
    if sentence:
        yield sentence


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
        unsaid = word.notation and not word.said
        length = min(share, UNSAID_MS) if unsaid else share
        known = unsaid and bool(out) and out[-1].measured
        out.append(replace(plain, start_ms=begin, end_ms=begin + length, measured=known))
    return out
