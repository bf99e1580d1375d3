"""Sound of a film: the draft voice or a recording, at a published loudness, never re-timed.

Source: EBU R 128 (2020): programme loudness −23.0 LUFS, maximum true peak −1 dBTP; measured by
the filter of the FFmpeg library after ITU-R BS.1770.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import Any

from linewright.errors import CannotReadError

TARGET_LUFS = -23.0
MAX_PEAK_DBTP = -1.0
BLOCK = 1 << 18
"""Samples made louder at a time."""

SILENT_LUFS = -70.0
"""The gate of the measurement: what is quieter has no loudness."""


@dataclass(frozen=True, slots=True)
class Sound:
    """Mono sound. **Units/shape**: `pcm` 16 bit little endian, `rate_hz` samples a second."""

    rate_hz: int
    pcm: bytes

    @property
    def length_ms(self) -> int:
        """How long it lasts."""
        return len(self.pcm) // 2 * 1000 // self.rate_hz

    def between(self, start_s: float, end_s: float) -> Sound:
        """A stretch of the sound."""
        first, last = round(start_s * self.rate_hz), round(end_s * self.rate_hz)
        return Sound(self.rate_hz, self.pcm[2 * first : 2 * last])


@dataclass(frozen=True, slots=True)
class Loudness:
    """Integrated loudness in LUFS and the highest true peak in dBTP."""

    lufs: float
    peak_dbtp: float


def read_recording(path: Path, rate_hz: int = 48_000) -> Sound:
    """The sound of a recording of any format, mixed to one channel.

    **Raises** `CannotReadError` if there is no file or no sound in it.
    """
    import av

    try:
        with av.open(str(path)) as source:
            if not source.streams.audio:
                raise CannotReadError(str(path), "there is no sound in it")
            pcm = b"".join(_samples(source, rate_hz))
    except (OSError, av.FFmpegError) as error:
        reason = str(getattr(error, "strerror", "") or error).lower()
        raise CannotReadError(str(path), reason) from None
    if not pcm:
        raise CannotReadError(str(path), "there is no sound in it")
    return Sound(rate_hz, pcm)


def _samples(source: Any, rate_hz: int) -> Iterator[bytes]:
    import av

    resampler = av.AudioResampler(format="s16", layout="mono", rate=rate_hz)
    for frame in source.decode(audio=0):
        frame.pts = None
        yield from (_bytes(each) for each in resampler.resample(frame))
    yield from (_bytes(each) for each in resampler.resample(None))


def _bytes(frame: Any) -> bytes:
    return bytes(frame.planes[0])[: frame.samples * 2]


def loudness(sound: Sound) -> Loudness:
    """How loud a sound is as a whole."""
    import av
    import numpy as np

    graph = av.filter.Graph()
    source = graph.add_abuffer(
        format="s16", sample_rate=sound.rate_hz, layout="mono", time_base=Fraction(1, sound.rate_hz)
    )
    meter = graph.add("ebur128", "metadata=1:peak=true")
    sink = graph.add("abuffersink")
    source.link_to(meter)
    meter.link_to(sink)
    graph.configure()
    samples = np.frombuffer(sound.pcm, np.int16)
    result: dict[str, str] = {}
    block = sound.rate_hz // 10
    for start in range(0, len(samples), block):
        piece = samples[start : start + block].reshape(1, -1)
        frame = av.AudioFrame.from_ndarray(piece, format="s16", layout="mono")
        frame.sample_rate, frame.pts = sound.rate_hz, start
        graph.push(frame)
        result = _drained(graph, result)
    graph.push(None)
    result = _drained(graph, result)
    lufs = float(result.get("lavfi.r128.I", SILENT_LUFS))
    peaks = [float(v) for k, v in result.items() if k.startswith("lavfi.r128.true_peak")]
    linear = max(peaks, default=0.0)
    return Loudness(lufs, 20 * math.log10(linear) if linear > 0 else -math.inf)


def _drained(graph: Any, result: dict[str, str]) -> dict[str, str]:
    import av

    while True:
        try:
            frame = graph.pull()
        except (av.BlockingIOError, av.EOFError):
            return result
        result = dict(frame.metadata) or result


def normalised(sound: Sound) -> Sound:
    """The sound at the target loudness, less where its peaks would pass the limit.

    One gain for the whole, so that nothing is re-timed and soft passages stay soft. Silence stays
    as it is.
    """
    import numpy as np

    measured = loudness(sound)
    if measured.lufs <= SILENT_LUFS:
        return sound
    gain_db = min(TARGET_LUFS - measured.lufs, MAX_PEAK_DBTP - measured.peak_dbtp)
    gain = 10 ** (gain_db / 20)
    samples = np.frombuffer(sound.pcm, np.int16)
    louder = bytearray()
    for start in range(0, len(samples), BLOCK):  # in blocks, since floats take twice the room
        block = np.rint(samples[start : start + BLOCK] * np.float32(gain))
        louder += np.clip(block, -32768, 32767).astype(np.int16).tobytes()
    return Sound(sound.rate_hz, bytes(louder))
