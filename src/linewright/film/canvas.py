"""Paint views: `View` → picture. The board is drawn once, pieces are set on it like type.

Drawing whole boards as vector pictures for every frame would take a tenth of a second each; here
the empty board, each piece, each set of marks and each card of words are drawn once and pasted.
"""

from __future__ import annotations

import io
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache

from PIL import Image

from linewright.drawing import Dark, board_svg, corner, ground_svg, last_svg, piece_svg, turn_svg
from linewright.drawing import shared_shapes as shapes_svg
from linewright.drawing.board import FULL, SIDE
from linewright.drawing.marks import arrow, square_mark
from linewright.drawing.palette import DAY
from linewright.film.cards import Box, CardSetter
from linewright.film.views import Card, Film, Shape, Travel, View

PAPER = DAY.paper


@dataclass(frozen=True, slots=True)
class Layout:
    """Where things stand on the picture. **Units**: pixels.

    `square_px` is the side of a square; `board` the upper left corner of the board's squares;
    `panel` holds the words, `caption` the captions; they never meet the board.
    """

    square_px: int
    board: tuple[int, int]
    panel: Box
    caption: Box
    text_px: float


def layout_of(shape: Shape) -> Layout:
    """The layout of a shape: words beside the board where it is wide, else above and below."""
    width, height = shape.width_px, shape.height_px
    across, down = (FULL.left + SIDE + FULL.right) / 100, (FULL.top + SIDE + FULL.bottom) / 100
    if width >= 1.25 * height:
        square = int(min(0.965 * height / down, 0.56 * width / across))
        left = int(0.018 * width + FULL.left * square / 100)
        top = int((height - down * square) / 2 + FULL.top * square / 100)
        start = int(left + 8 * square + FULL.right * square / 100 + 0.02 * width)
        room = width - start - int(0.03 * width)
        caption_height = int(0.2 * height)
        text = min(room / 17.5, height / 24)
        panel = Box(start, top, room, height - top - caption_height - int(0.04 * height))
        caption = Box(start, height - caption_height - int(0.03 * height), room, caption_height)
        return Layout(square, (left, top), panel, caption, text)
    margin = int(0.04 * width)
    if height > 1.25 * width:
        return _tall(shape, (across, down), margin)
    words, foot = int(0.115 * height), int(0.075 * height)
    square = int(min(0.97 * width / across, (height - foot - words - 0.03 * height) / down))
    left = int((width - across * square) / 2 + FULL.left * square / 100)
    top = int(words + FULL.top * square / 100)
    below = int(top + 8 * square + FULL.bottom * square / 100)
    panel = Box(margin, int(0.02 * height), width - 2 * margin, words - int(0.02 * height))
    caption = Box(margin, below, width - 2 * margin, height - below - int(0.012 * height))
    return Layout(square, (left, top), panel, caption, width / 27)


def _tall(shape: Shape, board: tuple[float, float], margin: int) -> Layout:
    """The board at the top, the words under it, captions at the foot."""
    width, height = shape.width_px, shape.height_px
    foot = int(0.1 * height)
    square = int(min(0.97 * width / board[0], 0.58 * height / board[1]))
    left = int((width - board[0] * square) / 2 + FULL.left * square / 100)
    top = int(0.03 * height + FULL.top * square / 100)
    below = int(top + 8 * square + (FULL.bottom + 25) * square / 100)
    panel = Box(margin, below, width - 2 * margin, height - below - foot - int(0.05 * height))
    caption = Box(margin, height - foot - int(0.025 * height), width - 2 * margin, foot)
    return Layout(square, (left, top), panel, caption, width / 24)


class Canvas:
    """Paints the views of one film in one shape."""

    def __init__(self, film: Film, shape: Shape) -> None:
        self.film = film
        self.shape = shape
        self.layout = layout_of(shape)
        self.cards = CardSetter(self.layout.text_px)
        self._rest = lru_cache(maxsize=2)(self._resting_board)
        self._overlay = lru_cache(maxsize=4)(self._marks_overlay)
        self._ground = lru_cache(maxsize=4)(self._empty_board)
        self._piece = lru_cache(maxsize=12)(self._piece_image)
        self._panel = lru_cache(maxsize=3)(self._with_words)

    def prepare(self, views: Iterable[View]) -> None:
        """Sets the words of all views at once, which is many times faster than one by one."""
        wide = self.layout
        cards = dict.fromkeys(view.card for view in views if view.kind == "board")
        captions = dict.fromkeys(view.caption for view in views if view.caption)
        tall = self.shape.height_px > self.shape.width_px * 1.25
        compact = not tall and self.shape.width_px < 1.25 * self.shape.height_px
        self.cards.set_cards(list(cards), wide.panel, compact)
        self.cards.set_captions(list(captions), wide.caption)

    def paint(self, view: View) -> Image.Image:
        """The picture of a view. It may be shared with the next call: copy it to keep it."""
        if view.kind != "board":
            return self._title_or_end(view.kind)
        squares = tuple(mark for mark in view.marks if not mark.to)
        still = (view.resting, view.white_to_move, view.imagined, view.last)
        board = self._rest(*still, squares, view.card, view.caption)
        arrows = tuple(mark for mark in view.marks if mark.to)
        if not view.travelling and not arrows:
            return board
        image = board.copy()
        for travel in view.travelling:
            sprite = self._piece(travel.letter)
            image.paste(sprite, self._on_the_way(travel), sprite)
        if arrows:
            overlay = self._overlay(arrows, True)
            image.paste(overlay, self._board_corner(), overlay)
        return image

    # Layers

    def _resting_board(
        self,
        resting: tuple[tuple[str, str], ...],
        white: bool,
        imagined: bool,
        last: str,
        marks: tuple[object, ...],
        card: Card,
        caption: tuple[str, ...],
    ) -> Image.Image:
        image = self._panel(card, caption, white, imagined).copy()
        if last:
            for square in (last[:2], last[2:4]):
                corners = self._last_corners
                image.paste(corners, self._place(square), corners)
        if marks:
            overlay = self._overlay(marks, False)
            image.paste(overlay, self._board_corner(), overlay)
        for square, letter in resting:
            sprite = self._piece(letter)
            image.paste(sprite, self._place(square), sprite)
        return image

    def _with_words(
        self, card: Card, caption: tuple[str, ...], white: bool, imagined: bool
    ) -> Image.Image:
        image = self._ground(white, imagined).copy()
        words = self.cards.card(card)
        image.paste(words, (self.layout.panel.x, self.layout.panel.y), words)
        if caption:
            lines = self.cards.caption(caption)
            image.paste(lines, (self.layout.caption.x, self.layout.caption.y), lines)
        return image

    def _empty_board(self, white: bool, imagined: bool) -> Image.Image:
        image = Image.new("RGB", (self.shape.width_px, self.shape.height_px), PAPER)
        ground = ground_svg(flipped=self.film.flipped, imagined=imagined, dark=Dark.TINTED)
        if imagined:
            ground = _with_blue_paper(self.film.flipped)
        turn = turn_svg(white, self.film.flipped)
        board = self._vector(f"<defs>{shapes_svg(Dark.TINTED)}</defs>{ground}{turn}")
        image.paste(board, self._frame_corner(), board)
        return image

    def _marks_overlay(self, marks: Sequence[object], arrows: bool) -> Image.Image:
        parts = []
        for mark in marks:
            kind, square, to = mark.kind, mark.square, mark.to  # type: ignore[attr-defined]
            x, y = corner(square, self.film.flipped)
            if arrows:
                to_x, to_y = corner(to, self.film.flipped)
                parts.append(arrow(kind, (x + 50, y + 50), (to_x + 50, to_y + 50)))
            else:
                parts.append(square_mark(kind, x, y))
        side = 8 * self.layout.square_px
        return rendered("".join(parts), (0, 0, SIDE, SIDE), (side, side))

    @cached_property
    def _last_corners(self) -> Image.Image:
        side = self.layout.square_px
        return rendered(last_svg(0, 0), (0, 0, 100, 100), (side, side))

    def _piece_image(self, letter: str) -> Image.Image:
        side = self.layout.square_px
        return raster(piece_svg(letter), (side, side))

    def _vector(self, body: str) -> Image.Image:
        wide, high = FULL.size
        scale = self.layout.square_px / 100
        size = (round(wide * scale), round(high * scale))
        return rendered(body, (-FULL.left, -FULL.top, wide, high), size)

    # Places

    def _frame_corner(self) -> tuple[int, int]:
        scale = self.layout.square_px / 100
        x, y = self.layout.board
        return x - round(FULL.left * scale), y - round(FULL.top * scale)

    def _board_corner(self) -> tuple[int, int]:
        return self.layout.board

    def _place(self, square: str) -> tuple[int, int]:
        x, y = corner(square, self.film.flipped)
        scale = self.layout.square_px / 100
        return self.layout.board[0] + round(x * scale), self.layout.board[1] + round(y * scale)

    def _on_the_way(self, travel: Travel) -> tuple[int, int]:
        (x0, y0), (x1, y1) = self._place(travel.from_square), self._place(travel.to_square)
        share = travel.share / 1000
        return round(x0 + (x1 - x0) * share), round(y0 + (y1 - y0) * share)

    # Cards

    def _title_or_end(self, kind: str) -> Image.Image:
        return self.cards.full_page(kind, self.film, self.shape)


def _with_blue_paper(flipped: bool) -> str:
    """The imagined board's ground, drawn whole because its tinted squares are its own."""
    svg = board_svg("8/8/8/8/8/8/8/8 w - - 0 1", imagined=True, dark=Dark.TINTED, words="",
                    flipped=flipped)  # fmt: skip
    return svg[svg.index(">") + 1 : svg.rindex("</svg>")]


def rendered(
    body: str, box: tuple[float, float, float, float], size: tuple[int, int]
) -> Image.Image:
    """Vector shapes as a transparent picture; `box` is the part of the drawing shown."""
    view = " ".join(f"{value:g}" for value in box)
    svg = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{view}" width="{size[0]}"'
        f' height="{size[1]}" preserveAspectRatio="none">{body}</svg>'
    )
    return raster(svg, size)


def raster(svg: str, size: tuple[int, int]) -> Image.Image:
    """A vector picture as pixels with transparency. **Units**: `size` in pixels."""
    import resvg_py

    data = resvg_py.svg_to_bytes(
        svg_string=svg, width=size[0], height=size[1], skip_system_fonts=True
    )
    image = Image.open(io.BytesIO(bytes(data))).convert("RGBA")
    return image if image.size == size else image.resize(size)
