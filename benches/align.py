"""How well and how fast recordings are aligned: `benches/align.py [TALK ...]`.

Talks of `tests/talks/tune` are spoken by the draft voice, paragraph by paragraph with pauses and
changing speed, and the times found are held against the voice's own. Speed is given for the
processor (CPU seconds) and the clock; the baseline is decoding the sound without any matching.
"""

from __future__ import annotations

import io
import sys
import time
from importlib import import_module
from pathlib import Path

import numpy as np

from linewright.talk.align import align
from linewright.talk.recording import read_recording
from linewright.voice import Speech, join, silence, speak

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT / "tests" / "talks"))
marked = import_module("marked")

VOICES = [("italian", 140, "en-gb"), ("caro", 165, "en-gb+f3"), ("scandinavian", 185, "en-us")]


def spoken(name: str, pace: int, voice: str) -> tuple[list[str], Speech]:
    """The words of a talk and their sound."""
    talk = marked.read_marked(ROOT / "tests" / "talks" / "tune" / f"{name}.talk")
    paragraphs: dict[int, list[str]] = {}
    for word in talk.words:
        paragraphs.setdefault(word.paragraph, []).append(word.shown)
    parts: list[Speech] = []
    for i, words in enumerate(paragraphs.values()):
        parts += [silence(800 + 700 * (i % 4)), speak(words, voice, pace + (15 if i % 2 else 0))]
    return [word for words in paragraphs.values() for word in words], join(parts)


def main() -> None:
    """Print the figures."""
    for name, pace, voice in VOICES:
        if len(sys.argv) > 1 and name not in sys.argv[1:]:
            continue
        words, speech = spoken(name, pace, voice)
        began, clock = time.process_time(), time.perf_counter()
        recording = read_recording("talk.wav", io.BytesIO(speech.wav()))
        decoded = time.process_time()
        found = align(words, recording)
        cpu, wall = time.process_time() - began, time.perf_counter() - clock
        pairs = zip(found.times, speech.words, strict=True)
        off = np.array([abs(ours[0] - true[0]) for ours, true in pairs])
        length = speech.length_ms / 1000
        print(
            f"{name:13} {voice:9} {length:4.0f} s  {found.measured}/{len(words)} words measured"
            f"  median {np.median(off):3.0f} ms  95 % within {np.percentile(off, 95):3.0f} ms"
            f"  within 200 ms {np.mean(off <= 200):6.1%}  {length / cpu:3.0f} x real time by CPU,"
            f" {length / wall:3.0f} x by clock, {length / (decoded - began):.0f} x to decode"
        )


if __name__ == "__main__":
    main()
