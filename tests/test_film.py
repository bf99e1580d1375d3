"""The film, decoded again: boards against their words, tracks, chapters, flashing, loudness."""

from __future__ import annotations

import io
import math
from fractions import Fraction
from functools import cache
from itertools import pairwise
from pathlib import Path

import av
import numpy as np
import pytest
from PIL import Image

from linewright.drawing import squares_of
from linewright.errors import CannotReadError
from linewright.film.canvas import Canvas, layout_of
from linewright.film.reel import Labels, encode, shots_in, silent_clip
from linewright.film.sound import Sound, loudness, normalised, read_recording
from linewright.film.views import SHAPES, Film, Shape, View, between, film_of, part_of, shape_of
from linewright.following import follow
from linewright.lesson import Lesson
from linewright.script import parse
from linewright.source import Source
from linewright.timing import Timeline, time

TEXT = """---
title: A short walk
teacher: Marit Solvang
club: Brackwater Chess Circle
for: White
---

# First steps

We begin with 1.e4 e5 2.Nf3 Nc6 3.Bc4 and now 3...Bc5 is quiet. White castles, 4.O-O, and
[this bishop](#attack:c4-f7) looks at f7. Black answers 4...Nf6 and develops.

# Another way

Go back: 3...Nf6 4.Ng5 d5 5.exd5 Nxd5 is sharp. [Picture it with just kings and pawns](?only=KP)
for a moment, and then on with 6.Nxf7 Kxf7 as the old books have it.
"""
SMALL = Shape("small", 640, 360)
FPS = 30


@cache
def lesson() -> Lesson:
    return follow(parse(Source("walk.md", TEXT)))


@cache
def timeline() -> Timeline:
    return time(lesson())


@cache
def film() -> Film:
    return film_of(lesson(), timeline(), FPS)


def tone(seconds: float, dbfs: float, hertz: float = 1000.0, rate_hz: int = 48_000) -> Sound:
    """A sine whose peak lies at a level below full scale."""
    t = np.arange(round(seconds * rate_hz)) / rate_hz
    wave = 32_767 * 10 ** (dbfs / 20) * np.sin(2 * np.pi * hertz * t)
    return Sound(rate_hz, np.rint(wave).astype(np.int16).tobytes())


@cache
def encoded() -> bytes:
    sound = tone(timeline().total_ms / 1000, -20)
    return encode(film(), SMALL, sound, Labels("A short walk", "Marit Solvang"))


def pictures(data: bytes) -> list[tuple[float, Image.Image]]:
    with av.open(io.BytesIO(data), "r") as container:
        frames = [
            (float(f.time or 0), f.to_ndarray(format="rgb24")) for f in container.decode(video=0)
        ]
    return [(at, Image.fromarray(pixels)) for at, pixels in frames]


def test_tracks_chapters_and_labels() -> None:
    with av.open(io.BytesIO(encoded()), "r") as container:
        streams = list(container.streams)[:3]
        kinds = [stream.type for stream in streams]
        names = [stream.codec_context.name for stream in streams]
        languages = [stream.metadata.get("language") for stream in streams[1:]]
        chapters = [
            (str(c["metadata"]["title"]), float(c["start"] * Fraction(c["time_base"] or 0)))
            for c in container.chapters()
        ]
        assert container.metadata["title"] == "A short walk"
    assert kinds == ["video", "audio", "subtitle"]
    assert names == ["h264", "aac", "mov_text"]
    assert languages == ["eng", "eng"]
    assert [title for title, _ in chapters] == ["First steps", "Another way"]
    assert chapters[0][1] == 0
    assert abs(chapters[1][1] - timeline().parts[1].start_ms / 1000) < 0.05


def test_the_file_can_be_played_while_it_loads() -> None:
    data = encoded()
    assert data.index(b"moov") < data.index(b"mdat")


def test_sound_and_picture_end_together() -> None:
    with av.open(io.BytesIO(encoded()), "r") as container:
        picture, sound = (
            float(Fraction(stream.duration or 0) * (stream.time_base or 0))
            for stream in (container.streams.video[0], container.streams.audio[0])
        )
    assert abs(picture - timeline().total_ms / 1000) < 2 / FPS
    assert abs(picture - sound) < 0.06


def _board(image: Image.Image, corner: tuple[int, int], side: int) -> np.ndarray:
    x, y = corner
    crop = image.convert("L").crop((x, y, x + 8 * side, y + 8 * side))
    return np.asarray(crop, np.float32)


def test_boards_change_with_their_words() -> None:
    """Within one frame of the timeline: the old board before the word, the new one after the
    glide; checked on the decoded film."""
    canvas_ready = Canvas(film(), SMALL)
    canvas_ready.prepare([shot.view for shot in film().shots])
    frames = pictures(encoded())
    times = [at for at, _ in frames]
    checked = 0
    for cue in timeline().cues:
        if cue.step is None or cue.step.imagined or cue.end_ms - cue.start_ms < 600:
            continue
        settled = (cue.start_ms + 450) / 1000
        k = max(i for i, at in enumerate(times) if at <= settled + 1e-3)
        if film().view_at(round(settled * FPS)).kind != "board":
            continue
        assert recognised_with(canvas_ready, frames[k][1]) == squares_of(cue.fen), cue.step
        checked += 1
    assert checked >= 8


def recognised_with(canvas: Canvas, image: Image.Image) -> dict[str, str]:
    """The pieces of a frame, by comparing each square with each piece painted there."""
    layout = layout_of(SMALL)
    side = layout.square_px
    board = _board(image, layout.board, side)
    cells = _cells(canvas, side)
    found = {}
    for k in range(64):
        row, column = divmod(k, 8)
        part = board[row * side : (row + 1) * side, column * side : (column + 1) * side]
        light = (row + column) % 2 == 0
        inner = slice(side // 6, side - side // 6)
        letter = min(
            ["", *"KQRBNPkqrbnp"],
            key=lambda c: float(np.abs(part[inner, inner] - cells[light, c][inner, inner]).mean()),
        )
        if letter:
            found[f"{'abcdefgh'[column]}{8 - row}"] = letter
    return found


@cache
def _cells(canvas: Canvas, side: int) -> dict[tuple[bool, str], np.ndarray]:
    card = next(shot.view.card for shot in film().shots if shot.view.kind == "board")
    out = {}
    for light, square in ((True, "a8"), (False, "b8")):
        for letter in ["", *"KQRBNPkqrbnp"]:
            resting = ((square, letter),) if letter else ()
            painted = canvas.paint(View("board", resting, card=card))
            whole = _board(painted, layout_of(SMALL).board, side)
            column = 0 if light else side
            out[light, letter] = whole[:side, column : column + side]
    return out


def test_a_board_change_starts_on_the_frame_of_its_word() -> None:
    changes = 0
    for cue in timeline().cues:
        if cue.step is None or cue.step.imagined or cue.step.went_elsewhere:
            continue
        frame = round(cue.start_ms * FPS / 1000)
        before, after = film().view_at(frame - 1), film().view_at(frame + 1)
        if before.kind == after.kind == "board":
            assert before != after
            changes += 1
    assert changes > 5


def test_nothing_flashes() -> None:
    """WCAG 2.2, 2.3.1 and its definition of general flash: at most three pairs of opposing
    changes of relative luminance of 0.1 or more, the darker below 0.8, in any second, on any
    area larger than a quarter of ten degrees of vision (341 × 256 at 1024 × 768)."""
    frames = pictures(encoded())
    last: np.ndarray | None = None
    direction = np.zeros((45, 80), np.int8)
    turns: list[tuple[float, np.ndarray]] = []
    worst = 0.0
    for at, image in frames:
        light = _luminance(image)
        if last is not None:
            change = light - last
            strong = (np.abs(change) >= 0.1) & (np.minimum(light, last) < 0.8)
            sign = np.where(strong, np.sign(change), 0).astype(np.int8)
            opposing = (sign != 0) & (direction != 0) & (sign != direction)
            direction = np.where(sign != 0, sign, direction)
            turns = [(t, m) for t, m in turns if at - t < 1.0] + [(at, opposing)]
            counts = np.sum([m for _, m in turns], axis=0)
            worst = max(worst, float((counts > 3).mean()))
        last = light
    assert worst < 0.25 * 341 * 256 / (1024 * 768)


def _luminance(image: Image.Image) -> np.ndarray:
    small = np.asarray(image.resize((80, 45)), np.float64) / 255
    linear = np.where(small <= 0.04045, small / 12.92, ((small + 0.055) / 1.055) ** 2.4)
    return np.asarray(linear @ np.array([0.2126, 0.7152, 0.0722]))


@pytest.mark.parametrize("name", list(SHAPES))
def test_words_and_captions_never_cover_the_board(name: str) -> None:
    layout = layout_of(SHAPES[name])
    x, y = layout.board
    side = 8 * layout.square_px
    shape = SHAPES[name]
    for box in (layout.panel, layout.caption):
        apart = (
            box.x >= x + side
            or box.x + box.width <= x
            or box.y >= y + side
            or box.y + box.height <= y
        )
        assert apart
        assert box.x >= 0 and box.x + box.width <= shape.width_px
        assert box.y >= 0 and box.y + box.height <= shape.height_px


@pytest.mark.parametrize("size", ["160x160", "161x161", "4096x160", "500x1200", "1280x720"])
def test_odd_picture_sizes_can_be_painted(size: str) -> None:
    shape = shape_of(size)
    assert shape is not None and shape.width_px % 2 == 0 and shape.height_px % 2 == 0
    canvas = Canvas(film(), shape)
    view = film().view_at(film().frames // 2)
    canvas.prepare([view])
    assert canvas.paint(view).size == (shape.width_px, shape.height_px)
    assert canvas.paint(View("title")).size == (shape.width_px, shape.height_px)


@pytest.mark.parametrize("size", ["0x0", "x", "99999x2", "wider", "-4x8"])
def test_impossible_sizes_are_refused(size: str) -> None:
    assert shape_of(size) is None


def test_a_piece_glides_and_castling_moves_both() -> None:
    before = "r3k2r/8/8/8/8/8/8/R3K2R w KQkq - 0 1"
    after = "r3k2r/8/8/8/8/8/8/R4RK1 b kq - 1 1"
    resting, travelling = between(before, after, 0.5)
    assert {(t.letter, t.from_square, t.to_square) for t in travelling} == {
        ("K", "e1", "g1"), ("R", "h1", "f1"),
    }  # fmt: skip
    assert dict(resting)["a1"] == "R"


def test_what_is_taken_stands_until_the_end() -> None:
    resting, travelling = between("8/8/8/3p4/4P3/8/8/8 w - -", "8/8/8/3P4/8/8/8/8 b - -", 0.9)
    assert dict(resting) == {"d5": "p"}
    assert [t.to_square for t in travelling] == ["d5"]


def test_going_back_is_said() -> None:
    notes = {shot.view.card.note for shot in film().shots if shot.view.kind == "board"}
    assert any("after" in note for note in notes)
    assert "an imagined board" in notes


def test_title_and_end_stand_in_silence_only() -> None:
    kinds = [shot.view.kind for shot in film().shots]
    assert kinds[0] == "title" and kinds[-1] == "end"
    words = [word for word in timeline().words if word.said]
    assert film().view_at(round(words[0].start_ms * FPS / 1000)).kind == "board"
    assert film().view_at(round(words[-1].end_ms * FPS / 1000)).kind == "board"


def test_finished_parts_are_used_again() -> None:
    class Kept(dict[str, bytes]):
        def put(self, key: str, data: bytes) -> None:
            self[key] = data

    kept = Kept()
    first = encode(film(), SMALL, None, Labels("A", ""), kept)
    assert len(kept) == 2
    seen = dict(kept)
    again = encode(film(), SMALL, None, Labels("A", ""), kept)
    assert kept == seen
    assert first == again


def test_a_part_is_a_film_of_its_own() -> None:
    found = part_of(film(), "another")
    assert found is not None
    part, first, end = found
    assert part.frames == end - first and part.parts == (("Another way", 0),)
    assert part_of(film(), "nowhere") is None


@pytest.mark.parametrize("fps", range(24, 61))
def test_a_part_has_the_captions_of_its_words(fps: int) -> None:
    """Found in use: the first caption was missing, and the first of the next part flashed up,
    where the part begins between two frames."""
    whole = film_of(lesson(), timeline(), fps)
    parts = [part_of(whole, title) for title, _ in whole.parts]
    shown = [caption.lines for part in parts if part for caption in part[0].captions]
    assert shown == [caption.lines for caption in whole.captions]
    for part, own in zip(parts, timeline().parts, strict=True):
        assert part is not None
        inside = [c for c in whole.captions if own.start_ms <= c.start_ms < own.end_ms]
        assert [c.lines for c in part[0].captions] == [c.lines for c in inside]


def test_long_stills_are_repeated_now_and_then() -> None:
    shots = shots_in(film(), 0, film().frames)
    gaps = [b.frame - a.frame for a, b in pairwise(shots)]
    assert max(gaps) <= 4 * FPS


def test_a_clip_for_messages() -> None:
    data = silent_clip(film(), Shape("tiny", 320, 180), "gif")
    image = Image.open(io.BytesIO(data))
    assert image.format == "GIF" and getattr(image, "n_frames", 1) > 10


# source: EBU Tech 3341 (2023), minimum requirements test signal 1: a 1000 Hz sine at -23.0 dBFS
# on both channels of a stereo signal measures -23.0 ± 0.1 LUFS. One channel alone measures 3.01
# LU less (ITU-R BS.1770-4, summation over channels). Recalled, not read.
@pytest.mark.parametrize(("dbfs", "lufs"), [(-23.0, -26.0), (-20.0, -23.0), (-33.0, -36.0)])
def test_loudness_of_the_published_signal(dbfs: float, lufs: float) -> None:
    assert loudness(tone(20, dbfs)).lufs == pytest.approx(lufs, abs=0.1)


def test_sound_is_brought_to_the_published_target() -> None:
    quiet, loud = normalised(tone(5, -40)), normalised(tone(5, -3))
    for sound in (quiet, loud):
        assert loudness(sound).lufs == pytest.approx(-23.0, abs=0.2)


def test_peaks_stay_under_the_limit_and_silence_stays_silence() -> None:
    spiky = np.zeros(48_000 * 5, np.int16)
    spiky[::4800] = 20_000
    out = normalised(Sound(48_000, spiky.tobytes()))
    assert loudness(out).peak_dbtp <= -0.9
    silent = Sound(48_000, bytes(96_000))
    assert normalised(silent) == silent


@pytest.mark.parametrize(("layout", "rate"), [("stereo", 44_100), ("mono", 8_000)])
def test_recordings_of_any_kind_are_read(tmp_path: Path, layout: str, rate: int) -> None:
    path = tmp_path / "talk.wav"
    with av.open(str(path), "w") as out:
        stream = out.add_stream("pcm_f32le", rate=rate, layout=layout)
        channels = 2 if layout == "stereo" else 1
        block = np.tile(np.sin(np.arange(rate) / 9).astype(np.float32) / 3, channels)
        frame = av.AudioFrame.from_ndarray(block.reshape(1, -1), format="flt", layout=layout)
        frame.sample_rate = rate
        out.mux(stream.encode(frame))
        out.mux(stream.encode(None))
    sound = read_recording(path)
    assert sound.rate_hz == 48_000
    assert sound.length_ms == pytest.approx(1000, abs=30)


def test_what_is_no_recording_is_one_clear_line(tmp_path: Path) -> None:
    broken = tmp_path / "talk.mp3"
    broken.write_bytes(b"not sound at all" * 100)
    for path in (broken, tmp_path / "none.wav"):
        with pytest.raises(CannotReadError) as error:
            read_recording(path)
        assert "\n" not in str(error.value)


@pytest.mark.parametrize(
    "title",
    ["", "x" * 400, "שיעור פתיחה", "درس", "第一课 ♞", 'quotes " and \\ #hash [brackets]'],
)
def test_any_title_can_be_filmed(title: str) -> None:
    text = f"---\ntitle: {title!r}\n---\nOnly words, no move at all.\n" if title else "Only words."
    read = follow(parse(Source("t.md", text)))
    made = film_of(read, time(read))
    canvas = Canvas(made, Shape("tiny", 320, 180))
    canvas.prepare([shot.view for shot in made.shots])
    for shot in made.shots:
        assert canvas.paint(shot.view).size == (320, 180)


def test_the_easing_ends_where_it_should() -> None:
    _, start = between("8/8/8/8/8/8/4P3/8 w - -", "8/8/8/8/4P3/8/8/8 b - -", 0.0)
    _, end = between("8/8/8/8/8/8/4P3/8 w - -", "8/8/8/8/4P3/8/8/8 b - -", 1.0)
    assert start[0].share == 0 and end[0].share == 1000
    assert math.isclose(sum(t.share for t in (*start, *end)), 1000)
