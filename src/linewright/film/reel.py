"""Encode a film: pictures, sound, captions, chapters → MP4; a silent clip → MP4 or GIF.

Each part is encoded by itself and can be kept, so that an interrupted or repeated build goes on
from the parts it has. Parts are put together without encoding again.
"""

from __future__ import annotations

import hashlib
import heapq
import io
import tempfile
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Any, Protocol

from linewright.captioning import Caption
from linewright.film.canvas import Canvas
from linewright.film.sound import Sound
from linewright.film.views import Film, Shape, Shot

if TYPE_CHECKING:
    from PIL import Image

RECIPE = "2"
"""Changed when the same film would be encoded differently, so that kept parts are not mixed."""

WORKERS = 2
"""Parts encoded side by side; painting and encoding leave the interpreter's lock alone."""

REFRESH_S = 4
"""Longest a frame stands without being repeated, so that jumping in the film works everywhere."""

_VIDEO = {
    "preset": "superfast",
    "crf": "21",
    "bf": "0",
    "x264-params": "mbtree=0:scenecut=0:rc-lookahead=0",
}
"""Stills with a piece moving need no looking ahead, which costs half the time."""
_ASS_HEADER = (
    b"[Script Info]\nScriptType: v4.00+\n\n[V4+ Styles]\nFormat: Name, Fontname, Fontsize,"
    b" PrimaryColour, SecondaryColour, OutlineColour, BackColour, Bold, Italic, Underline,"
    b" StrikeOut, ScaleX, ScaleY, Spacing, Angle, BorderStyle, Outline, Shadow, Alignment,"
    b" MarginL, MarginR, MarginV, Encoding\nStyle: Default,Serif,16,&Hffffff,&Hffffff,&H0,&H0,"
    b"0,0,0,0,100,100,0,0,1,1,0,2,10,10,10,0\n\n[Events]\nFormat: Layer, Start, End, Style, Name,"
    b" MarginL, MarginR, MarginV, Effect, Text\n"
)
"""What the encoder of text tracks asks for before it opens; players do not see it."""


class Kept(Protocol):
    """Where finished parts are kept between builds."""

    def get(self, key: str) -> bytes | None: ...
    def put(self, key: str, data: bytes) -> None: ...


@dataclass(frozen=True, slots=True)
class Labels:
    """What a film says of itself."""

    title: str
    artist: str
    language: str = "eng"
    comment: str = ""


Progress = Callable[[int, int], None]
"""Called with frames done and frames in all."""


def encode(
    film: Film,
    shape: Shape,
    sound: Sound | None,
    labels: Labels,
    kept: Kept | None = None,
    progress: Progress | None = None,
) -> bytes:
    """The film as an MP4 file: H.264, AAC, captions as a text track, parts as chapters.

    Raises `OSError` if there is no room for its temporary file. Cost: the number of changes of
    the picture, not the length.
    """
    counted = _Counted(film.frames, progress)
    with ThreadPoolExecutor(max_workers=WORKERS) as pool:
        made = [
            pool.submit(_segment, film, shape, first, end, kept, counted)
            for first, end in _segments(film)
        ]
        segments = [part.result() for part in made]
    with tempfile.TemporaryDirectory(prefix="linewright-") as folder:
        path = Path(folder) / "film.mp4"
        _put_together(path, film, segments, sound, labels)
        return path.read_bytes()


class _Counted:
    """Adds up the progress of parts that are encoded side by side."""

    def __init__(self, frames: int, progress: Progress | None) -> None:
        self.frames = frames
        self.progress = progress
        self.done: dict[int, int] = {}

    def __call__(self, first: int, done: int) -> None:
        """So many frames of the part that begins at a frame are done."""
        self.done[first] = done
        if self.progress:
            self.progress(sum(self.done.values()), self.frames)


def _segments(film: Film) -> Iterator[tuple[int, int]]:
    """The frame ranges of the parts."""
    starts = sorted({0, *(frame for _, frame in film.parts if 0 < frame < film.frames)})
    for k, start in enumerate(starts):
        yield start, starts[k + 1] if k + 1 < len(starts) else film.frames


def shots_in(film: Film, first: int, end: int) -> list[Shot]:
    """The shots of a range of frames, one at its start, repeated where they stand long."""
    inside = [shot for shot in film.shots if first < shot.frame < end]
    shots = [Shot(first, film.view_at(first)), *inside]
    step = REFRESH_S * film.fps
    out: list[Shot] = []
    for k, shot in enumerate(shots):
        until = shots[k + 1].frame if k + 1 < len(shots) else end
        out.append(shot)
        out.extend(Shot(frame, shot.view) for frame in range(shot.frame + step, until, step))
    if out[-1].frame < end - 1:  # the last frame gives the part its length
        out.append(Shot(end - 1, out[-1].view))
    return out


def _segment(
    film: Film, shape: Shape, first: int, end: int, kept: Kept | None, counted: _Counted
) -> bytes:
    shots = shots_in(film, first, end)
    cards = (film.title, film.byline, film.title_fen, film.end_fen, film.flipped)
    key = hashlib.sha256(repr((RECIPE, shape, film.fps, cards, first, end, shots)).encode())
    if kept is not None and (data := kept.get(key.hexdigest())):
        counted(first, end - first)
        return data
    canvas = Canvas(film, shape)
    canvas.prepare([shot.view for shot in shots])
    data = _encode_pictures(film, shape, canvas, shots, first, counted)
    if kept is not None:
        kept.put(key.hexdigest(), data)
    return data


def _encode_pictures(
    film: Film,
    shape: Shape,
    canvas: Canvas,
    shots: Sequence[Shot],
    first: int,
    counted: _Counted,
) -> bytes:
    import av

    buffer = io.BytesIO()
    with av.open(buffer, "w", format="mp4") as out:
        stream = _video_stream(out, film.fps, shape)
        stream.codec_context.options = {**_VIDEO, "g": str(film.fps * 3600)}
        stream.codec_context.thread_count = 1  # parts run side by side instead
        planes = _Planes(shape)
        for k, shot in enumerate(shots):
            frame = planes.frame(canvas.paint(shot.view))
            frame.pts, frame.time_base = shot.frame - first, Fraction(1, film.fps)
            long_still = k + 1 < len(shots) and shots[k + 1].frame - shot.frame > film.fps
            frame.pict_type = 1 if k == 0 or (long_still and k % 8 == 0) else 0
            out.mux(stream.encode(frame))
            counted(first, shot.frame - first)
        out.mux(stream.encode(None))
    return buffer.getvalue()


class _Planes:
    """Turns pictures into frames, converting only what changed since the one before.

    Converting a whole picture takes as long as encoding it, and most changes are a piece or two.
    """

    def __init__(self, shape: Shape) -> None:
        import numpy as np

        self.width, self.height = shape.width_px, shape.height_px
        half = (self.height // 2, self.width // 2)
        self.planes = [
            np.zeros((self.height, self.width), np.uint8),
            np.zeros(half, np.uint8),
            np.zeros(half, np.uint8),
        ]
        self.last: Image.Image | None = None

    def frame(self, image: Image.Image) -> Any:
        """The frame of a picture."""
        import numpy as np
        from av import VideoFrame
        from PIL import ImageChops

        box = (0, 0, self.width, self.height)
        if self.last is not None:
            box = ImageChops.difference(self.last, image).getbbox() or (0, 0, 0, 0)
        if box[2] > box[0]:
            self.convert(image, box)
        self.last = image
        flat = np.concatenate([plane.reshape(-1) for plane in self.planes])
        packed = flat.reshape(self.height * 3 // 2, self.width)
        return VideoFrame.from_ndarray(packed, format="yuv420p")

    def convert(self, image: Image.Image, box: tuple[int, int, int, int]) -> None:
        from av import VideoFrame

        x0, y0 = box[0] // 2 * 2, box[1] // 2 * 2
        x1, y1 = (box[2] + 1) // 2 * 2, (box[3] + 1) // 2 * 2
        wide, high = x1 - x0, y1 - y0
        from_image: Callable[[Image.Image], Any] = VideoFrame.from_image
        part = from_image(image.crop((x0, y0, x1, y1))).reformat(
            format="yuv420p", src_colorspace="itu709", dst_colorspace="itu709"
        )
        flat = part.to_ndarray().reshape(-1)
        self.planes[0][y0:y1, x0:x1] = flat[: wide * high].reshape(high, wide)
        quarter = wide * high // 4
        for k in (1, 2):
            start = wide * high + (k - 1) * quarter
            chroma = flat[start : start + quarter].reshape(high // 2, wide // 2)
            self.planes[k][y0 // 2 : y1 // 2, x0 // 2 : x1 // 2] = chroma


def _video_stream(out: Any, fps: int, shape: Shape) -> Any:
    stream = out.add_stream("libx264", rate=fps)
    stream.width, stream.height = shape.width_px, shape.height_px
    stream.pix_fmt = "yuv420p"
    stream.time_base = Fraction(1, fps)
    stream.codec_context.time_base = Fraction(1, fps)
    for name in ("colorspace", "color_primaries", "color_trc"):
        setattr(stream.codec_context, name, 1)  # BT.709 for all three
    return stream


def _put_together(
    path: Path, film: Film, segments: list[bytes], sound: Sound | None, labels: Labels
) -> None:
    import av

    with av.open(str(path), "w", format="mp4", options={"movflags": "+faststart"}) as out:
        out.metadata.update(
            {"title": labels.title, "artist": labels.artist, "comment": labels.comment}
        )
        template = av.open(io.BytesIO(segments[0]))
        video = out.add_stream_from_template(template.streams.video[0])
        video.metadata["language"] = "und"
        audio = _audio_stream(out, sound, labels) if sound and sound.pcm else None
        text = _text_stream(out, labels) if film.captions else None
        out.set_chapters(_chapters(film))  # type: ignore[arg-type]
        out.start_encoding()
        _mux(out, film, segments, (video, audio, text), sound)
        template.close()


def _audio_stream(out: Any, sound: Sound, labels: Labels) -> Any:
    stream = out.add_stream("aac", rate=sound.rate_hz, layout="mono")
    stream.bit_rate = 96_000
    stream.metadata["language"] = labels.language
    return stream


def _text_stream(out: Any, labels: Labels) -> Any:
    stream = out.add_stream("mov_text")
    stream.codec_context.subtitle_header = _ASS_HEADER
    stream.codec_context.time_base = Fraction(1, 1000)
    stream.time_base = Fraction(1, 1000)
    stream.metadata["language"] = labels.language
    return stream


def _chapters(film: Film) -> list[dict[str, Any]]:
    starts = [(title or film.title or "Beginning", frame) for title, frame in film.parts]
    if starts:
        starts[0] = (starts[0][0], 0)
    out = []
    for k, (title, frame) in enumerate(starts):
        end = starts[k + 1][1] if k + 1 < len(starts) else film.frames
        if end > frame:
            base = Fraction(1, film.fps)
            chapter = {"id": k + 1, "start": frame, "end": end, "time_base": base}
            out.append({**chapter, "metadata": {"title": title}})
    return out


def _mux(
    out: Any, film: Film, segments: list[bytes], streams: tuple[Any, Any, Any], sound: Sound | None
) -> None:
    """Packets of all tracks, earliest first, so that the file can be played while it loads."""
    video, audio, text = streams
    sources = [_video_packets(segments, film, video)]
    if audio is not None and sound is not None:
        sources.append(_audio_packets(sound, audio))
    if text is not None:
        sources.append(_text_packets(film.captions, text))
    for _, _, packet in heapq.merge(*sources, key=lambda item: item[:2]):
        out.mux_one(packet)


_Packets = Iterator[tuple[float, int, Any]]


def _video_packets(segments: list[bytes], film: Film, stream: Any) -> _Packets:
    import av

    starts = [first for first, _ in _segments(film)]
    for first, data in zip(starts, segments, strict=True):
        with av.open(io.BytesIO(data), "r") as part:
            for packet in part.demux(video=0):
                if packet.pts is None or packet.dts is None:  # the end of the part
                    continue
                offset = int(Fraction(first, film.fps) / packet.time_base)
                packet.pts += offset
                packet.dts += offset
                packet.stream = stream
                yield float(packet.dts * packet.time_base), 0, packet


def _audio_packets(sound: Sound, stream: Any) -> _Packets:
    import av
    import numpy as np

    samples = np.frombuffer(sound.pcm, np.int16)
    size = 1024
    for start in range(0, len(samples), size):
        block = samples[start : start + size].reshape(1, -1)
        frame = av.AudioFrame.from_ndarray(block, format="s16", layout="mono")
        frame.sample_rate = sound.rate_hz
        frame.pts, frame.time_base = start, Fraction(1, sound.rate_hz)
        yield from _timed(stream.encode(frame))
    yield from _timed(stream.encode(None))


def _timed(packets: Sequence[Any]) -> _Packets:
    for packet in packets:
        yield float((packet.dts or 0) * packet.time_base), 1, packet


def _text_packets(captions: Sequence[Caption], stream: Any) -> _Packets:
    """Text samples with empty ones in the gaps, as the format asks."""
    import av

    now = 0
    for caption in captions:
        if caption.start_ms > now:
            yield now / 1000, 2, _text_packet(av, stream, "", now, caption.start_ms)
        text = "\n".join(caption.lines)
        start = max(caption.start_ms, now)
        end = max(caption.end_ms, start + 1)
        yield start / 1000, 2, _text_packet(av, stream, text, start, end)
        now = end


def _text_packet(av_module: Any, stream: Any, text: str, start_ms: int, end_ms: int) -> Any:
    data = text.encode()
    packet = av_module.Packet(len(data).to_bytes(2, "big") + data)
    packet.stream = stream
    packet.time_base = Fraction(1, 1000)
    packet.pts = packet.dts = start_ms
    packet.duration = end_ms - start_ms
    return packet


def silent_clip(film: Film, shape: Shape, form: str) -> bytes:
    """A short film without sound, as ``mp4`` or ``gif``, for messages."""
    if form == "mp4":
        return encode(film, shape, None, Labels(film.title, ""))
    canvas = Canvas(film, shape)
    canvas.prepare([shot.view for shot in film.shots])
    images = [canvas.paint(shot.view).quantize(128) for shot in film.shots]
    ends = [shot.frame for shot in film.shots[1:]] + [film.frames]
    lengths = [
        max(round((end - shot.frame) * 1000 / film.fps), 20)
        for shot, end in zip(film.shots, ends, strict=True)
    ]
    out = io.BytesIO()
    images[0].save(out, "GIF", save_all=True, append_images=images[1:], duration=lengths, loop=0)
    return out.getvalue()
