"""The lesson as it sounds: spoken by the draft voice, with the time of every word. Floor 4."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import groupby
from pathlib import Path

from linewright.errors import CannotReadError
from linewright.lesson import Lesson
from linewright.speech import SpokenWord, spoken_words
from linewright.talk.align import Alignment, align
from linewright.talk.recording import Recording, read_recording
from linewright.talk.transcript import Timing
from linewright.timing import Timeline, Word, silence_ms, time, timeline
from linewright.voice import Speech, join, silence, speak

_SAMPLE_WORDS = 400
"""Words spoken to find the setting at which the voice keeps the teacher's pace."""

_SQUARE_LETTERS = {"a": "eh"}
"""The file letter that a reading voice takes for an article."""


def voiced(lesson: Lesson) -> tuple[Timeline, Speech]:
    """The timeline of the draft voice and its sound, at about the script's pace.

    Every time in it is measured: it is where the voice says the word. The same lesson gives the
    same sound. **Raises** `VoiceError` if the voice cannot speak. Cost: the length of the lesson.
    """
    words = spoken_words(lesson.script)
    setting = _setting(words, lesson.front.pace)
    parts: list[Speech] = []
    timed: list[Word] = []
    clock_ms = 0
    previous = -1
    for block, group in groupby(words, key=lambda word: word.block):
        gap = silence(silence_ms(lesson, previous, block))
        spoken = list(group)
        said = _speak(spoken, setting)
        clock_ms += gap.length_ms
        timed.extend(_timed(spoken, said, clock_ms))
        clock_ms += said.length_ms
        parts += [gap, said]
        previous = block
    parts.append(silence(silence_ms(lesson, previous, len(lesson.script.blocks))))
    sound = join(parts)
    return timeline(lesson, timed, sound.length_ms, "voice"), sound


def recorded(lesson: Lesson, path: Path, length_ms: int) -> tuple[Timeline, tuple[str, ...]]:
    """The timeline of a recording, aligned word by word, and what could not be measured.

    Where the alignment fails the words are spread over the recording by their length, and every
    time says that it is estimated. **Raises** `CannotReadError` if there is no such file.
    """
    words = spoken_words(lesson.script)
    said = [word for word in words if word.said]
    found = align([word.said for word in said], _opened(path), [word.span for word in said])
    notes = tuple(finding.message for finding in found.findings)
    if found.refused:
        timed = spread_over(lesson, words, length_ms)
        notes += (f"'{path.name}' is not aligned to the words: their times are estimated",)
    else:
        timed = _aligned(words, found)
    return timeline(lesson, timed, length_ms, "recording"), notes


def spread_over_recording(lesson: Lesson, length_ms: int) -> Timeline:
    """The timeline of a recording as long as this whose words are not looked for in it.

    Every time in it is estimated.
    """
    words = spread_over(lesson, spoken_words(lesson.script), length_ms)
    return timeline(lesson, words, length_ms, "recording")


def _opened(path: Path) -> Recording:
    try:
        with path.open("rb") as file:
            return read_recording(path.name, file)
    except OSError as error:
        raise CannotReadError(str(path), (error.strerror or str(error)).lower()) from None


def _aligned(words: Sequence[SpokenWord], found: Alignment) -> list[Word]:
    """The words with the times found; one that is printed and not said takes no time."""
    out: list[Word] = []
    times = iter(found.times)
    last, timing = 0, Timing.MEASURED
    for word in words:
        start, last, timing = next(times) if word.said else (last, last, timing)
        known = timing is Timing.MEASURED
        out.append(Word(word.span, word.said, word.shown, word.block, start, last, known))
    return out


def spread_over(lesson: Lesson, words: Sequence[SpokenWord], length_ms: int) -> list[Word]:
    """Words spread over a length of time as at an even pace, silences kept."""
    at_pace = time(lesson).words
    whole = max(time(lesson).total_ms, 1)
    return [
        replace(
            word,
            start_ms=word.start_ms * length_ms // whole,
            end_ms=word.end_ms * length_ms // whole,
        )
        for word in at_pace
    ]


def _speak(words: Sequence[SpokenWord], setting: int) -> Speech:
    heard = [_sounded(word.said) for word in words if word.said]
    return speak(heard, pace=setting) if heard else Speech(22_050, b"")


def _sounded(said: str) -> str:
    """A word as the voice must read it: squares letter by letter, "a4" not as an article."""
    core = said.rstrip(".,;:?!")
    if len(core) == 2 and core[0] in "abcdefgh" and core[1] in "12345678":
        letter = _SQUARE_LETTERS.get(core[0], core[0].upper())
        return f"{letter} {core[1]}{said[len(core) :]}"
    if len(core) == 1 and core in "abcdefgh" and core != "a":
        return core.upper() + said[len(core) :]
    return said


def _timed(words: Sequence[SpokenWord], said: Speech, start_ms: int) -> list[Word]:
    """The words with their times; one that is printed and not said takes no time."""
    out: list[Word] = []
    times = iter(said.words)
    last = 0
    for word in words:
        begin, end = next(times) if word.said else (last, last)
        last = end
        out.append(
            Word(
                word.span,
                word.said,
                word.shown,
                word.block,
                start_ms + begin,
                start_ms + max(end, begin),
                measured=True,
            )
        )
    return out


def _setting(words: Sequence[SpokenWord], pace: int) -> int:
    """The voice's own measure of speed at which it says about `pace` of our words a minute."""
    sample = [word for word in words if word.said][:_SAMPLE_WORDS]
    if len(sample) < 10:
        return pace
    said = _speak(sample, pace)
    measured = len(sample) * 60_000 / max(said.length_ms, 1)
    return round(pace * pace / max(measured, 1))
