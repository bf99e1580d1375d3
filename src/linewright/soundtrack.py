"""The lesson as it sounds: spoken by the draft voice, with the time of every word."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import groupby
from pathlib import Path

from linewright.errors import CannotReadError
from linewright.finding import Severity
from linewright.lesson import Lesson
from linewright.source import Span
from linewright.speech import SpokenWord, spoken_words
from linewright.talk.align import Alignment, align
from linewright.talk.recording import Recording, read_recording
from linewright.talk.transcript import Timing, Transcript
from linewright.talk_times import timed_by_talk, words_said
from linewright.timing import Timeline, Word, silence_ms, time, timeline
from linewright.voice import Speech, join, silence, speak

_SAMPLE_WORDS = 400
"""Words spoken to find the setting at which the voice keeps the teacher's pace."""

_SQUARE_LETTERS = {"a": "eh"}
"""The file letter that a reading voice takes for an article."""


def voiced(lesson: Lesson, talk: Transcript | None = None) -> tuple[Timeline, Speech]:
    """The timeline of the draft voice and its sound, at about the script's pace.

    Of a script heard from a `talk` it says what that says: no move twice, in words and as notation.
    Every time in it is measured: it is where the voice says the word. The same lesson gives the
    same sound. **Raises** `VoiceError` if the voice cannot speak. Cost: the length of the lesson.
    """
    words = words_said(lesson, talk) if talk else spoken_words(lesson.script)
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


ENOUGH = 0.9
"""The share of its words found in a recording above which a talk is what it holds."""


def recorded(
    lesson: Lesson, path: Path, length_ms: int, talk: Transcript | None = None
) -> tuple[Timeline | None, tuple[str, ...]]:
    """The timeline of a recording, aligned word by word, and what could not be measured.

    The recording of a heard script holds the words of its `talk`: these are looked for, whatever
    was edited since. Where they are not all there, as when an edited script was recorded anew, the
    script's own are looked for too, and of which more is found decides. Where both fail it
    is another recording: there is no timeline, and it is said why.
    **Raises** `CannotReadError` if there is no such file.
    """
    recording = _opened(path)
    by_talk = _by_talk(lesson, talk, recording, length_ms) if talk else None
    if by_talk and _share_measured(by_talk[0]) >= ENOUGH:
        return by_talk
    words = words_said(lesson, talk) if talk else spoken_words(lesson.script)
    by_script = _by_script(lesson, words, recording, length_ms)
    if by_talk and (
        by_script[0] is None or _share_measured(by_talk[0]) >= _share_measured(by_script[0])
    ):
        return by_talk
    return by_script


Measured = tuple[Timeline, tuple[str, ...]]


def _by_talk(
    lesson: Lesson, talk: Transcript, recording: Recording, length_ms: int
) -> Measured | None:
    """The timeline by the talk's words as they are found in a recording; None where they are not,
    or where the script has others."""
    spans = [Span(word.span.start, word.span.end) for word in talk.words]
    found = align([word.text for word in talk.words], recording, spans)
    if found.refused or _ends_early(found):
        return None
    made = timed_by_talk(lesson, talk.retimed(found.times), "recording", length_ms)
    return None if made is None else (made, tuple(finding.message for finding in found.findings))


def _by_script(
    lesson: Lesson, words: Sequence[SpokenWord], recording: Recording, length_ms: int
) -> tuple[Timeline | None, tuple[str, ...]]:
    said = [word for word in words if word.said]
    found = align([word.said for word in said], recording, [word.span for word in said])
    notes = tuple(finding.message for finding in found.findings)
    if found.refused or _ends_early(found):
        return None, notes
    return timeline(lesson, _aligned(words, found), length_ms, "recording"), notes


def _ends_early(found: Alignment) -> bool:
    return any(finding.severity is Severity.ERROR for finding in found.findings)


def _share_measured(made: Timeline) -> float:
    said = [word.measured for word in made.words if word.said]
    return sum(said) / max(len(said), 1)


def spread_over_recording(lesson: Lesson, length_ms: int) -> Timeline:
    """The timeline of a recording as long as this whose words are not looked for in it.

    Every time in it is estimated.
    """
    words = spread_over(lesson, length_ms)
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


def spread_over(lesson: Lesson, length_ms: int) -> list[Word]:
    """The words of a lesson spread over a length of time as at an even pace, silences kept."""
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
