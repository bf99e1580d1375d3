"""The sound of a recording, whatever it came in: 16,000 samples a second, one channel.

Decoding is PyAV's, with the FFmpeg library inside its wheel. A recording that breaks off or is
silent is a finding; what could be decoded is kept.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, BinaryIO

import numpy as np
from numpy.typing import NDArray

from linewright.clock import clock
from linewright.finding import Finding, Severity
from linewright.source import Span

RATE_HZ = 16_000
"""What the acoustic model of the alignment library was trained on."""

NARROW_HZ = 11_000
"""Below this many samples a second the sounds that tell s, f and t apart are cut off; measured
with the draft voice, words are found at 11,025 as well as at 22,050, at 8,000 often not."""

Samples = NDArray[np.int16]


@dataclass(frozen=True, slots=True)
class Recording:
    """Decoded sound. **Units/shape**: `samples` is mono, 16 bit, `RATE_HZ` a second."""

    name: str
    samples: Samples
    findings: tuple[Finding, ...] = ()

    @property
    def length_ms(self) -> int:
        """How long the sound lasts."""
        return len(self.samples) * 1000 // RATE_HZ


SILENT = 60
"""A recording whose loudest sample (of 32,768) is below this holds nothing to hear: 55 dB under
full scale."""


def read_recording(name: str, file: BinaryIO) -> Recording:
    """The sound of an audio or video file in any format, sample rate and number of channels.

    **Source**: containers and codecs as FFmpeg reads them. **Cost**: linear in the length, some
    500 times real time; 115 MB an hour.
    """
    blocks: list[Samples] = []
    trouble = ""
    expected_ms, rate_hz = _told(file)
    try:
        blocks.extend(_decoded(file))
    except _errors() as error:
        told = getattr(error, "strerror", "") or str(error) or type(error).__name__
        trouble = told[:1].lower() + told[1:]
    samples = np.concatenate(blocks) if blocks else np.zeros(0, np.int16)
    findings = list(_judged(Recording(name, samples), trouble, expected_ms))
    if len(samples) and 0 < rate_hz < NARROW_HZ:
        findings.append(_narrow(name, rate_hz))
    return Recording(name, samples, tuple(findings))


def _narrow(name: str, rate_hz: int) -> Finding:
    message = (
        f"“{name}” was recorded at {rate_hz} samples a second, as by telephone; many words cannot"
        " be matched below 11025: record at 16000 or more"
    )
    return Finding("narrow-recording", Severity.WARNING, Span(0, 0), message)


def _errors() -> tuple[type[Exception], ...]:
    import av

    return (av.error.FFmpegError, ValueError, IndexError, OSError, EOFError)


def _told(file: BinaryIO) -> tuple[int | None, int]:
    """The length in milliseconds and the samples a second that the file claims, if it does."""
    import av

    try:
        file.seek(0)
        with av.open(file, mode="r") as container:
            sound = container.streams.audio
            rate_hz = int(sound[0].rate or 0) if sound else 0
            return (int(container.duration) // 1000 if container.duration else None), rate_hz
    except _errors():
        return None, 0


def _decoded(file: BinaryIO) -> Iterator[Samples]:
    import av

    file.seek(0, os.SEEK_SET)
    with av.open(file, mode="r") as container:
        if not container.streams.audio:
            raise ValueError("there is no sound in the file")
        resampler = av.AudioResampler(format="s16", layout="mono", rate=RATE_HZ)
        for frame in container.decode(container.streams.audio[0]):
            yield from _resampled(resampler, frame)
        yield from _resampled(resampler, None)


def _resampled(resampler: Any, frame: Any) -> Iterator[Samples]:
    for block in resampler.resample(frame):
        yield block.to_ndarray()[0].copy()


def _judged(recording: Recording, trouble: str, expected_ms: int | None) -> Iterator[Finding]:
    place = Span(0, 0)
    heard = clock(recording.length_ms)
    name = f"“{recording.name}”"
    if not len(recording.samples):
        reason = trouble or "it holds no sound"
        message = f"{name} cannot be heard: {reason}; give a sound or film file that plays"
        yield Finding("unreadable-recording", Severity.ERROR, place, message)
        return
    if trouble:
        message = f"{name} is damaged after {heard} ({trouble}); what comes before is used"
        yield Finding("recording-breaks-off", Severity.WARNING, place, message)
    elif expected_ms and recording.length_ms < expected_ms - 2000:
        message = (
            f"{name} says it lasts {clock(expected_ms)} but only {heard} could be read;"
            " what could be read is used"
        )
        yield Finding("recording-breaks-off", Severity.WARNING, place, message)
    loudest = int(np.abs(recording.samples.astype(np.int32)).max())
    if loudest < SILENT:
        message = (
            f"{name} is silent: the loudest sample is {loudest} of 32768; was the microphone on"
        )
        yield Finding("silent-recording", Severity.ERROR, place, message)
