"""The film: the board in step with the voice (MP4), with captions, chapters and a poster.

Without a recording the draft voice speaks. Options: `shape` (wide, tall, square or a size),
`fps`, `burnt` (captions in the picture), `part` (only parts with this in their title).
"""

from __future__ import annotations

import io

from linewright.errors import UnknownNameError
from linewright.film import Film, Shape, film_of
from linewright.film.canvas import Canvas
from linewright.film.reel import Labels, encode
from linewright.film.sound import Sound, normalised
from linewright.film.views import SHAPES, View, part_of
from linewright.outputs import Artifact, Edition

LANGUAGES = {"en": "eng", "de": "deu", "fr": "fra", "es": "spa", "nl": "nld", "no": "nor"}


def make(edition: Edition) -> tuple[Artifact, ...]:
    """The film and its poster picture. **Raises** `UnknownNameError` for a part there is not."""
    options = edition.options
    shape = options.get("shape", SHAPES["wide"])
    film = film_of(
        edition.lesson, edition.timeline, options.get("fps", 30), options.get("burnt", False)
    )
    front = edition.lesson.front
    labels = Labels(front.title, film.byline, LANGUAGES.get(front.language, "und"))
    sound = options.get("sound")
    sound = normalised(sound) if isinstance(sound, Sound) else None
    suffix = "" if shape.name == "wide" else f"-{shape.name}"
    if wanted := options.get("part"):
        film, sound = _part(film, sound, wanted)
        suffix += "-part"
    data = encode(film, shape, sound, labels, options.get("kept"), options.get("progress"))
    return (
        Artifact(f"{edition.base}{suffix}.mp4", "video/mp4", data),
        Artifact(f"{edition.base}{suffix}-poster.png", "image/png", poster(film, shape)),
    )


def _part(film: Film, sound: Sound | None, wanted: str) -> tuple[Film, Sound | None]:
    found = part_of(film, wanted)
    if found is None:
        raise UnknownNameError("part", wanted, tuple(title for title, _ in film.parts))
    part, first, end = found
    return part, sound.between(first / film.fps, end / film.fps) if sound else None


def poster(film: Film, shape: Shape) -> bytes:
    """The title card as a PNG."""
    canvas = Canvas(film, shape)
    out = io.BytesIO()
    canvas.paint(View("title")).save(out, "PNG")
    return out.getvalue()
