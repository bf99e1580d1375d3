"""How long a film takes to make: seconds of film for a second of work, memory, size.

The lesson is the example, repeated under new headings to ten minutes. The ratio is to encoding
the same number of frames of one still picture in the same run, since machines are noisy.
"""

from __future__ import annotations

import io
import resource
import sys
import time as clock
from fractions import Fraction
from pathlib import Path

import av
import numpy as np

sys.path.insert(0, str(Path(__file__).parent))

from check import lesson_text

from linewright.film import film_of
from linewright.film.canvas import Canvas
from linewright.film.reel import Labels, encode
from linewright.film.sound import Sound, normalised
from linewright.film.views import SHAPES
from linewright.following import follow
from linewright.script import parse
from linewright.soundtrack import voiced
from linewright.source import Source


def stills(frames: int) -> float:
    """Seconds to encode so many frames of one grey picture."""
    start = clock.perf_counter()
    with av.open(io.BytesIO(), "w", format="mp4") as out:
        stream = out.add_stream("libx264", rate=30)
        stream.width, stream.height, stream.pix_fmt = 1920, 1080, "yuv420p"
        stream.options = {"preset": "superfast", "bf": "0"}
        grey = np.full((1080 * 3 // 2, 1920), 128, np.uint8)
        for k in range(frames):
            frame = av.VideoFrame.from_ndarray(grey, format="yuv420p")
            frame.pts, frame.time_base = k, Fraction(1, 30)
            out.mux(stream.encode(frame))
        out.mux(stream.encode(None))
    return clock.perf_counter() - start


def main() -> None:
    lesson = follow(parse(Source("lesson.md", lesson_text(1000))))
    begin = clock.perf_counter()
    timeline, speech = voiced(lesson)
    spoken_s = clock.perf_counter() - begin
    start, cpu = clock.perf_counter(), clock.process_time()
    film = film_of(lesson, timeline)
    sound = normalised(Sound(speech.rate_hz, speech.pcm))
    data = encode(film, SHAPES["wide"], sound, Labels("bench", ""))
    wall_s, cpu_s = clock.perf_counter() - start, clock.process_time() - cpu
    minutes = timeline.total_ms / 60_000
    frames = len(film.shots)
    base = stills(frames)
    first = clock.perf_counter()
    canvas = Canvas(film, SHAPES["wide"])
    view = film.view_at(film.frames // 3)
    canvas.prepare([view])
    canvas.paint(view)
    still_s = clock.perf_counter() - first
    memory_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(f"{minutes:.1f} minutes at 1080p30: {frames} changes of the picture")
    print(f"  voice {spoken_s:.1f} s; film {wall_s:.1f} s ({cpu_s:.1f} s of CPU)")
    print(f"  {minutes * 60 / wall_s:.1f} × real time")
    print(f"  {wall_s / base:.2f} × the same number of stills ({base:.1f} s)")
    print(
        f"  file {len(data) / 2**20:.1f} MB; memory {memory_mb:.0f} MB; first still {still_s:.2f} s"
    )


if __name__ == "__main__":
    main()
