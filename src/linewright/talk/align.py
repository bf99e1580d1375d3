"""When each word was said: a recording held against the words of a transcript or script.

The words are matched with the sound stretch by stretch, each stretch beginning where the last one
was sure. Whether the words belong to the sound at all is measured by a control: they must fit
better than sounds in any order do, and as many as are said in the time. Where they do not, the
sound is searched for the words that follow, and the times in between are estimated and say so.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from itertools import groupby
from statistics import median
from typing import Any

import numpy as np
from numpy.typing import NDArray

from linewright.clock import clock
from linewright.finding import Finding, Severity
from linewright.source import Span
from linewright.talk.pronounce import pronounce
from linewright.talk.recording import RATE_HZ, Recording, Samples
from linewright.talk.transcript import Timing, Transcript

WINDOW_MS = 10_000
"""How much sound is matched at a time."""
BEFORE_MS = 120
"""A stretch begins this long before its first word."""
UNSURE_WORDS = 2
"""Words at the end of a stretch that are matched again with the next one."""
FASTEST_WORDS_S = 5.5
"""More words than this are not said in a second (330 words a minute)."""
BELONGS = 0.25
"""Words whose fit is not better than that of sounds in any order by this much (powers of ten a
frame) were not said there. Measured with the draft voice: 0.35 to 1 where the words were said,
-0.6 to 0.3 where they were not."""
BELONGS_FAR = 0.35
"""The same for words found by searching: many places were tried, so chance fits better."""
SLOWEST_WORDS_S = 1.2
"""Fewer words than this in a second of sound (pauses not counted) are not what was said."""
SEARCH_WORDS = 240
"""How many of the words to come are looked for after a stretch that does not fit."""
SEARCH_STEPS = 12
"""Stretches searched in vain before the rest is given up."""


@dataclass(frozen=True, slots=True)
class Alignment:
    """The time of every word given.

    **Units/shape**: `times` has one `(start_ms, end_ms, timing)` for each word, in order and
    disjoint. `fit` is how much better the words fit than sounds in any order, in powers of ten a
    frame of 10 ms (None when nothing could be measured); `refused` says that the words are not
    those of the recording.
    """

    times: tuple[tuple[int, int, Timing], ...]
    findings: tuple[Finding, ...]
    fit: float | None
    refused: bool

    @property
    def measured(self) -> int:
        """How many words have a measured time."""
        return sum(1 for _, _, timing in self.times if timing is Timing.MEASURED)


def align_transcript(transcript: Transcript, recording: Recording) -> Transcript:
    """The transcript with the times found in the recording; unchanged but for a finding where the
    recording is another one or cannot be heard: its words are still worth hearing."""
    words = [word.text for word in transcript.words]
    spans = [Span(word.span.start, word.span.end) for word in transcript.words]
    found = align(words, recording, spans)
    if found.refused:
        told = (_without_recording(finding, transcript.timing) for finding in found.findings)
        return replace(transcript, findings=(*transcript.findings, *told))
    kept = (finding for finding in transcript.findings if finding.rule != "no-times")
    return replace(transcript, findings=tuple(kept)).retimed(found.times, found.findings)


def _without_recording(finding: Finding, timing: Timing) -> Finding:
    """A finding with what is done without the recording."""
    if finding.severity is not Severity.ERROR:
        return finding
    times = "there are no times" if timing is Timing.NONE else "the times are those of the words"
    return replace(finding, message=f"{finding.message}; without it {times}")


def align(words: Sequence[str], recording: Recording, spans: Sequence[Span] = ()) -> Alignment:
    """When each of the words is said in the recording.

    A word may be several to the ear (``"knight takes d5"``). `spans` are the places of the words
    in their text, for the findings.

    **Cost**: linear in the recording, 40 times real time on one core of 2024; more where words
    and sound part ways, with an upper bound.
    """
    if not words or not len(recording.samples) or _unusable(recording):
        return Alignment((), recording.findings, None, refused=True)
    matcher = _Matcher.make(words, recording)
    matcher.run()
    return _report(matcher, recording, list(spans) or [Span(0, 0)] * len(words))


def _unusable(recording: Recording) -> bool:
    return any(finding.severity is Severity.ERROR for finding in recording.findings)


@dataclass(frozen=True, slots=True)
class _Match:
    """A word found in the sound, in frames of 10 ms from the start of the recording."""

    start: int
    end: int


@dataclass(slots=True)
class _Matcher:
    decoder: Any
    tokens: list[str]
    samples: Samples
    loud: NDArray[np.bool_]
    found: list[_Match | None]
    good: list[float] = field(default_factory=list)
    margins: list[float] = field(default_factory=list)
    stretches: int = 0
    fit: float = 0.0
    spoken: list[str] = field(default_factory=list)

    @classmethod
    def make(cls, words: Sequence[str], recording: Recording) -> _Matcher:
        samples = _dithered(recording.samples)
        decoder = _decoder()
        tokens = [_token(decoder, word) for word in words]
        return cls(decoder, tokens, samples, _loud(recording.samples), [None] * len(words))

    def run(self) -> None:
        """Match stretch after stretch; search where one does not fit."""
        word, at = 0, 0
        while word < len(self.tokens):
            start = self.next_sound(at)
            if start is None:
                return
            matched = self.stretch(word, start)
            if not self.belongs(start, matched):
                place = self.search(word, start)
                if place is None:
                    return
                word, start, matched = place
            done = word + len(matched) >= len(self.tokens) or self.at_end(start)
            kept = matched if done else matched[: max(len(matched) - UNSURE_WORDS, 1)]
            self.keep(word, kept)
            word += len(kept)
            at = (
                matched[len(kept)].start * 10 - BEFORE_MS
                if len(kept) < len(matched)
                else (kept[-1].end * 10)
            )
            if done and self.at_end(start):
                return

    def keep(self, word: int, matched: Sequence[_Match]) -> None:
        self.found[word : word + len(matched)] = matched
        self.good.append(self.fit)

    def at_end(self, start_ms: int) -> bool:
        return (start_ms + WINDOW_MS) * RATE_HZ // 1000 >= len(self.samples)

    def next_sound(self, at_ms: int) -> int | None:
        """A little before the next frame that is not a pause, or None at the end."""
        first = max(at_ms, 0) // 10
        rest = np.flatnonzero(self.loud[first:])
        return max((first + int(rest[0])) * 10 - BEFORE_MS, at_ms, 0) if len(rest) else None

    def stretch(self, word: int, start_ms: int) -> list[_Match]:
        """The words from this one on as they fit the sound from here on."""
        count = min(len(self.tokens) - word, int(WINDOW_MS / 1000 * FASTEST_WORDS_S))
        self.stretches += 1
        return self.decode(_chain(self.tokens[word : word + count]), count, start_ms)

    def decode(self, steps: list[Any], count: int, start_ms: int) -> list[_Match]:
        decoder = self.decoder
        decoder.add_fsg("words", decoder.create_fsg("words", 0, count + 1, steps))
        decoder.activate_search("words")
        first = start_ms * RATE_HZ // 1000
        sound = self.samples[first : first + WINDOW_MS * RATE_HZ // 1000]
        decoder.start_utt()
        decoder.process_raw(sound.tobytes(), full_utt=True)
        decoder.end_utt()
        best = decoder.hyp()
        if best is None:
            self.fit = WORST
            return []
        frames = max(len(sound) * 100 // RATE_HZ, 1)
        self.fit = math.log10(max(best.score, 1e-300)) * SCALE / frames
        said = [
            segment
            for segment in decoder.seg()
            if segment.word.strip("<>[]()") and (segment.word[0] not in "<[(")
        ]
        self.spoken = [segment.word.partition("(")[0] for segment in said]
        return [self.trimmed(start_ms // 10, segment) for segment in said]

    def trimmed(self, origin: int, segment: Any) -> _Match:
        """A word without the pause that the matching put into it."""
        start, end = origin + segment.start_frame, origin + segment.end_frame + 1
        sounding = np.flatnonzero(self.loud[start:end])
        if len(sounding):
            if sounding[0] >= PAUSE_FRAMES:
                start += int(sounding[0])
            else:
                start, end = self.after_pause(start, end)
            last = np.flatnonzero(self.loud[start:end])
            if end - start - int(last[-1]) > PAUSE_FRAMES:
                end = start + int(last[-1]) + 1
        return _Match(start, end)

    def after_pause(self, start: int, end: int) -> tuple[int, int]:
        """The word after a long pause that follows a scrap of the word before."""
        runs, at = list[tuple[int, int]](), start
        for loud, group in groupby(self.loud[start:end]):
            length = len(list(group))
            if loud or runs:
                runs.append((at, at + length))
            at += length
        if len(runs) >= 3 and runs[0][1] - start <= 6 and runs[1][1] - runs[1][0] >= 15:
            return runs[2][0], end
        return start, end

    def belongs(self, start_ms: int, matched: list[_Match]) -> bool:
        """Whether the words matched were said there, by the control where it is in doubt."""
        if len(matched) < SLOWEST_WORDS_S * self.sounding_s(start_ms):
            self.margins.append(-1.0)
            return False
        usual = median(self.good) if len(self.good) >= 2 else None
        if usual is not None and self.fit > usual - 0.3 and self.stretches % 25:
            return True
        self.margins.append(self.margin(start_ms))
        return self.margins[-1] >= BELONGS

    def sounding_s(self, start_ms: int) -> float:
        """Seconds of sound, pauses not counted, in the stretch that the words should fill."""
        return float(self.loud[start_ms // 10 : (start_ms + WINDOW_MS) // 10].sum()) / 100

    def margin(self, start_ms: int) -> float:
        """How much better the last match fits than sounds in any order."""
        fit, spoken = self.fit, self.spoken
        steps = [(0, 0, 1 / len(PHONES), phone.lower() + SOUND) for phone in PHONES]
        self.decode([*steps, (0, 1, 1.0)], 0, start_ms)
        margin, self.fit, self.spoken = fit - self.fit, fit, spoken
        return margin

    def search(self, word: int, start_ms: int) -> tuple[int, int, list[_Match]] | None:
        """The next place where words to come are said: word, time and the words matched there."""
        at: int | None = start_ms
        for _ in range(SEARCH_STEPS):
            if at is None:
                return None
            tokens = self.tokens[word : word + SEARCH_WORDS]
            steps = _chain(tokens) + [(0, k, 1.0) for k in range(1, len(tokens))]
            matched = self.decode(steps, len(tokens), at)
            first = _place(tokens, self.spoken) if matched else None
            if first is not None and len(matched) >= 6:
                margin = self.margin(at)
                enough = len(matched) >= SLOWEST_WORDS_S * self.sounding_s(at)
                if margin >= BELONGS_FAR and enough:
                    self.margins.append(margin)
                    return word + first, at, matched
            at = self.next_sound(at + WINDOW_MS // 2)
        return None


PAUSE_FRAMES = 8
PHONES = (
    "AA AE AH AO AW AY B CH D DH EH ER EY F G HH IH IY JH K L M N NG OW OY P R S SH T TH UH UW V W "
    "Y Z ZH"
).split()
SOUND = "_sound"
"""What the names of single sounds end with, to keep them apart from words."""
SCALE = 1024
"""The library gives the score of a stretch in units of a 1024th (its senone scores are shifted by
ten bits)."""
WORST = -4.0
"""The fit, in powers of ten a frame, of words that the sound does not allow at all."""


def _chain(tokens: Sequence[str]) -> list[Any]:
    """A grammar of the words one after the other, which may stop after any of them."""
    steps: list[Any] = [(k, k + 1, 1.0, token) for k, token in enumerate(tokens)]
    return steps + [(k, len(tokens) + 1, 1.0) for k in range(1, len(tokens) + 1)]


def _place(tokens: Sequence[str], spoken: Sequence[str]) -> int | None:
    """Where the words spoken begin among the words looked for."""
    if not spoken:
        return None
    count = len(spoken)
    places = (k for k in range(len(tokens) - count + 1) if list(tokens[k : k + count]) == spoken)
    return next(places, None)


def _decoder() -> Any:
    import pocketsphinx

    decoder = pocketsphinx.Decoder(
        lm=None, loglevel="FATAL", beam=1e-64, wbeam=1e-48, pbeam=1e-64, bestpath=False
    )
    for phone in PHONES:
        decoder.add_word(phone.lower() + SOUND, phone, False)
    return decoder


def _token(decoder: Any, word: str) -> str:
    """The name of a word in the decoder's dictionary, added with its pronunciation if need be."""
    plain = re.sub(r"[^\w' +#=-]|^['-]+|['-]+$", "", word.replace("’", "'")).strip()
    name = "_".join(plain.lower().split()) or "uh"
    if decoder.lookup_word(name) is None:
        decoder.add_word(name, pronounce(plain, decoder.lookup_word) or "AH", False)
    return name


def _dithered(samples: Samples) -> Samples:
    """The samples with noise of a few units: the model cannot hear perfect silence."""
    noise = np.random.default_rng(0).integers(-8, 9, len(samples), dtype=np.int16)
    loud = np.clip(samples, -32700, 32700)
    return np.asarray(loud + noise, np.int16)


def _loud(samples: Samples) -> NDArray[np.bool_]:
    """For each frame of 10 ms, whether there is more to hear than between the words."""
    step = RATE_HZ // 100
    frames = samples[: len(samples) // step * step].reshape(-1, step)
    if not len(frames):
        return np.zeros(0, np.bool_)
    blocks = [frames[k : k + 6000].astype(np.float32) for k in range(0, len(frames), 6000)]
    level = np.concatenate([10 * np.log10((block**2).mean(axis=1) + 1.0) for block in blocks])
    floor, top = float(np.percentile(level, 5)), float(np.percentile(level, 95))
    return np.asarray(level > floor + 0.25 * (top - floor), np.bool_)


# --- the report --------------------------------------------------------------------------------


def _report(matcher: _Matcher, recording: Recording, spans: Sequence[Span]) -> Alignment:
    if rest := _words_after_the_end(matcher):
        return _ended(matcher, recording, spans, rest)
    fit = median(matcher.margins) if matcher.margins else None
    found = sum(1 for match in matcher.found if match)
    share = found / len(matcher.found)
    if share < 0.25 or fit is None or fit < BELONGS:
        finding = _other_recording(recording, share, matcher.margins, spans)
        return Alignment((), (*recording.findings, finding), fit, refused=True)
    times = _filled(matcher.found, recording.length_ms)
    findings = (*recording.findings, *_estimated(matcher.found, times, spans))
    return Alignment(times, findings, fit, refused=False)


ENDS_EARLY_WORDS = 20
"""So many words that follow a recording are more than a last word that was cut off."""
NEAR_THE_END_FRAMES = 300
"""How far before the end of the sound the last words found may end."""
BEFORE_IT_ENDS = 0.75
"""The share of words found, up to the last one, where a recording holds the first part of them."""


def _words_after_the_end(matcher: _Matcher) -> int:
    """How many words follow where a recording ends in the middle of them; 0 where it does not."""
    places = [k for k, match in enumerate(matcher.found) if match]
    sounding = np.flatnonzero(matcher.loud)
    if len(places) < ENDS_EARLY_WORDS or not len(sounding):
        return 0
    rest = len(matcher.found) - places[-1] - 1
    last = matcher.found[places[-1]]
    near = last is not None and last.end >= int(sounding[-1]) - NEAR_THE_END_FRAMES
    enough = len(places) >= BEFORE_IT_ENDS * (places[-1] + 1)
    return rest if near and enough and rest >= ENDS_EARLY_WORDS else 0


def _ended(matcher: _Matcher, recording: Recording, spans: Sequence[Span], rest: int) -> Alignment:
    """The times up to the end of a recording; the words after it go on at an even pace."""
    first = len(matcher.found) - rest
    begins = " ".join(matcher.tokens[first : first + 4]).replace("_", " ")
    message = (
        f"“{recording.name}” ends at {clock(recording.length_ms)}, and {rest} of"
        f" {len(matcher.found)} words follow, whose times can only be estimated"
        f" (“{begins} …”): give the whole recording"
    )
    place = Span(spans[first].start, spans[-1].end)
    finding = Finding("recording-ends-early", Severity.ERROR, place, message)
    times = _filled(matcher.found, None)
    fit = median(matcher.margins) if matcher.margins else None
    estimated = _estimated(matcher.found[:first], times, spans)
    findings = (*recording.findings, *estimated, finding)
    return Alignment(times, findings, fit, refused=False)


def _other_recording(
    recording: Recording, share: float, margins: Sequence[float], spans: Sequence[Span]
) -> Finding:
    best = median(margins) if margins else 0.0
    narrow = any(finding.rule == "narrow-recording" for finding in recording.findings)
    repair = (
        "it is of telephone quality, which may be why: give a better recording"
        if narrow
        else "give the recording that belongs to the words"
    )
    message = (
        f"“{recording.name}” does not say these words: {share:.0%} of them were found in it, and"
        f" where it was tried they fit by {best:.2f} (words that are said fit by 0.4 to 1, at"
        f" least {BELONGS} is asked for); {repair}"
    )
    place = Span(spans[0].start, spans[-1].end)
    return Finding("recording-of-another-talk", Severity.ERROR, place, message)


def _filled(
    found: Sequence[_Match | None], length_ms: int | None
) -> tuple[tuple[int, int, Timing], ...]:
    """Times of all words: measured ones as they are, the others spread between their neighbours.

    `length_ms` is the end that none comes after, None where the words go on.
    """
    times: list[tuple[int, int, Timing]] = []
    index = 0
    while index < len(found):
        match = found[index]
        if match:
            start = max(match.start * 10, times[-1][1] if times else 0)
            times.append((start, max(match.end * 10, start), Timing.MEASURED))
            index += 1
            continue
        last = index
        while last < len(found) and not found[last]:
            last += 1
        after = found[last] if last < len(found) else None
        begin = times[-1][1] if times else 0
        going_on = begin + (last - index) * 400
        end = going_on if length_ms is None else min(length_ms, going_on)
        until = after.start * 10 if after else end
        width = max(until - begin, 0) / (last - index)
        for k in range(last - index):
            span = (begin + round(k * width), begin + round((k + 1) * width))
            times.append((*span, Timing.ESTIMATED))
        index = last
    return tuple(times)


def _estimated(
    found: Sequence[_Match | None],
    times: Sequence[tuple[int, int, Timing]],
    spans: Sequence[Span],
) -> Iterator[Finding]:
    """One finding for each run of words that the sound does not hold."""
    index = 0
    for matched, group in groupby(found, key=lambda match: match is not None):
        count = len(list(group))
        if not matched:
            last = index + count - 1
            place = Span(spans[index].start, spans[last].end, times[index][0], times[last][1])
            message = (
                f"{count} word{'s' if count > 1 else ''} at {clock(times[index][0])} were not"
                " found in the recording, which says something else there or cannot be made out;"
                " their times are estimated"
            )
            yield Finding("times-estimated", Severity.WARNING, place, message)
        index += count
