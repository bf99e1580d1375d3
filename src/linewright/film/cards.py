"""Words on the picture, set as type: many cards in one run, since starting the setter is dear."""

from __future__ import annotations

import io
from dataclasses import dataclass

from PIL import Image

from linewright.drawing.palette import DAY, IMAGINED
from linewright.film.views import Card, Film, Shape

FONTS = '("Libertinus Serif", "New Computer Modern", "DejaVu Sans Mono")'
"""Fonts inside the setter, so that a film looks the same everywhere."""


IMAGINED_NOTE = "an imagined board"


AT_ONCE = 32
"""Cards set in one run; all of a run's pictures are in memory together."""


@dataclass(frozen=True, slots=True)
class Box:
    """A place on the picture. **Units**: pixels."""

    x: int
    y: int
    width: int
    height: int


class CardSetter:
    """Sets cards, keeps them, and gives them back as transparent pictures."""

    def __init__(self, text_px: float) -> None:
        self.text_px = text_px
        self._cards: dict[Card, bytes] = {}
        self._captions: dict[tuple[str, ...], bytes] = {}
        self._pages: dict[tuple[str, Shape], Image.Image] = {}

    def set_cards(self, cards: list[Card], box: Box, compact: bool) -> None:
        """Sets the cards that are not set yet."""
        new = [card for card in cards if card not in self._cards]
        markup = _compact_card if compact else _card
        pages = [_page(box, markup(card, self.text_px, box)) for card in new]
        self._cards.update(zip(new, set_pages(pages), strict=True))

    def set_captions(self, captions: list[tuple[str, ...]], box: Box) -> None:
        """Sets the captions that are not set yet."""
        new = [caption for caption in captions if caption not in self._captions]
        pages = [_page(box, _caption(caption, self.text_px, box)) for caption in new]
        self._captions.update(zip(new, set_pages(pages), strict=True))

    def card(self, card: Card) -> Image.Image:
        """The picture of a card set before."""
        return _picture(self._cards[card])

    def caption(self, caption: tuple[str, ...]) -> Image.Image:
        """The picture of a caption set before."""
        return _picture(self._captions[caption])

    def full_page(self, kind: str, film: Film, shape: Shape) -> Image.Image:
        """The title or the end card, with a diagram."""
        key = (kind, shape)
        if key not in self._pages:
            self._pages[key] = title_page(kind, film, shape)
        return self._pages[key]


def set_pages(pages: list[str]) -> list[bytes]:
    """Each page as PNG bytes, one pixel a point."""
    if not pages:
        return []
    import typst

    head = f'#set text(font: {FONTS}, fill: rgb({q(DAY.ink)}), lang: "en", fallback: true)\n'
    pictures: list[bytes] = []
    for k in range(0, len(pages), AT_ONCE):
        source = head + "#set par(leading: 0.55em)\n" + "\n".join(pages[k : k + AT_ONCE])
        out = typst.compile(source.encode(), format="png", ppi=72.0, ignore_system_fonts=True)
        pictures += [out] if isinstance(out, bytes) else list(out)
    return pictures


def q(text: str) -> str:
    """A text as a string of the setter's language."""
    plain = "".join(c if c.isprintable() else " " for c in text)
    return '"' + plain.replace("\\", "\\\\").replace('"', '\\"') + '"'


def _page(box: Box, body: str) -> str:
    size = f"width: {box.width}pt, height: {box.height}pt"
    # Clipped, since what runs over would begin a page of its own.
    whole = f"#block(width: 100%, height: 100%, clip: true)[{body}]"
    return f"#page({size}, margin: 0pt, fill: none)[{whole}]"


def _text(words: str, size: float, more: str = "") -> str:
    return f"#text(size: {size:.1f}pt{more})[#{q(words)}]"


def _stack(parts: list[str], gap: float) -> str:
    """Blocks one under the other, empty ones left out."""
    shown = ", ".join(f"[{part}]" for part in parts if part)
    return f"#stack(dir: ttb, spacing: {gap:.1f}pt, {shown})"


def _card(card: Card, size: float, box: Box) -> str:
    """Part, move and line one under the other; whose move it is at the foot."""
    quiet = f", fill: rgb({q(DAY.quiet)})"
    rule = f"#line(length: 100%, stroke: 1.5pt + rgb({q(DAY.rule)}))"
    part = _text(_cut(card.part, 90), 0.95 * size, f', style: "italic"{quiet}')
    head = _stack([part, rule], 0.45 * size) if card.part else ""
    move = _stack(
        [_text(card.move, 2.3 * size, ", weight: 600"), _text(card.said, size, quiet)],
        0.75 * size,
    )
    body = [head, _note(card, size), move if card.move else "", _line_text(card, size)]
    foot = f"#place(bottom + left)[{_text(card.to_move, 0.85 * size, quiet)}]"
    return _stack(body, 1.1 * size) + foot


def _note(card: Card, size: float) -> str:
    if not card.note:
        return ""
    if card.note == IMAGINED_NOTE:
        ground = f"fill: rgb({q(IMAGINED.dark)}), inset: (x: 14pt, y: 9pt), radius: 4pt"
        return f"#box({ground})[{_text(card.note, 0.95 * size, ', weight: 600')}]"
    return _text(f"← {card.note}", 0.95 * size, f", fill: rgb({q(DAY.link)})")


def _line_text(card: Card, size: float) -> str:
    """The moves in order, each unbroken, the current one strong."""
    if not card.line:
        return ""
    quiet = f"fill: rgb({q(DAY.quiet)})"
    words = [
        f"#box[#text(weight: 700)[#{q(word)}]]" if current else f"#box[#text({quiet})[#{q(word)}]]"
        for word, current in card.line
    ]
    body = " ".join(words)
    return f"#set par(leading: 0.5em)\n#text(size: {size:.1f}pt)[{body}]"


def _compact_card(card: Card, size: float, box: Box) -> str:
    """Part on the left, the move large on the right; for pictures with little room for words."""
    quiet = f", fill: rgb({q(DAY.quiet)})"
    part = _text(_cut(card.part, 60), 0.85 * size, f', style: "italic"{quiet}')
    left = _stack([part, _note(card, 0.8 * size) or _text(card.to_move, 0.75 * size, quiet)], 14)
    move = [_text(card.move, 1.5 * size, ", weight: 600"), _text(card.said, 0.75 * size, quiet)]
    right = _stack(move if card.move else [], 12) if card.move else ""
    return (
        "#grid(columns: (1fr, auto), column-gutter: 18pt, align: (left + horizon, right + horizon),"
        f" [{left}], [{right}])"
    )


def _caption(lines: tuple[str, ...], size: float, box: Box) -> str:
    """Two lines of 37 characters must fit the width."""
    fit = min(1.05 * size, box.width / (37 * 0.5), box.height / 3.4)
    text = _stack([_text(line, fit) for line in lines], 0.5 * fit)
    ground = f"fill: rgb({q(DAY.panel)}), inset: (x: 18pt, y: 14pt), radius: 6pt"
    return f"#align(center + horizon)[#box({ground})[#align(center)[{text}]]]"


def _cut(words: str, most: int) -> str:
    return words if len(words) <= most else words[: most - 1].rstrip() + "…"


def title_page(kind: str, film: Film, shape: Shape) -> Image.Image:
    """The title or end card: a diagram and the words beside or under it."""
    from linewright.film.canvas import raster

    width, height = shape.width_px, shape.height_px
    image = Image.new("RGB", (width, height), DAY.paper)
    beside = width >= 1.25 * height
    side = int(min(0.8 * height, 0.46 * width) if beside else min(0.78 * width, 0.6 * height))
    x = int(0.06 * width) if beside else (width - side) // 2
    y = (height - side) // 2 if beside else int(0.06 * height)
    diagram = raster(_diagram(kind, film), (side, side))
    image.paste(diagram, (x, y), diagram)
    if beside:
        box = Box(x + side + int(0.05 * width), y, width - x - side - int(0.1 * width), side)
    else:
        top = y + side + int(0.02 * height)
        box = Box(int(0.07 * width), top, int(0.86 * width), height - top - int(0.03 * height))
    (data,) = set_pages([_page(box, _title_text(kind, film, box))])
    words = _picture(data)
    image.paste(words, (box.x, box.y), words)
    return image


def _title_text(kind: str, film: Film, box: Box) -> str:
    size = min(box.width / 11, box.height / 5.5)
    title = _cut(film.title or "A chess lesson", 140)
    size *= min(1.0, (38 / max(len(title), 1)) ** 0.5)
    quiet = f", fill: rgb({q(DAY.quiet)})"
    rule = f"#line(length: 30%, stroke: 2pt + rgb({q(DAY.edge)}))"
    over = _text("End of the lesson", 0.5 * size, f', style: "italic"{quiet}')
    shown = _text(title, 0.75 * size if kind == "end" else size, ", weight: 600")
    under = _text(_cut(film.byline, 120), 0.5 * size, quiet) if film.byline else ""
    stack = _stack([over if kind == "end" else "", shown, rule, under], 0.5 * size)
    return f"#set par(leading: 0.35em)\n#align(left + horizon)[{stack}]"


def _diagram(kind: str, film: Film) -> str:
    """The board of the card: the first part's key position, or where the lesson ends."""
    from linewright.drawing import NARROW, Dark, board_svg

    fen = film.title_fen if kind == "title" else film.end_fen
    return board_svg(fen, flipped=film.flipped, dark=Dark.TINTED, margins=NARROW, words="")


def _picture(data: bytes) -> Image.Image:
    return Image.open(io.BytesIO(data)).convert("RGBA")
