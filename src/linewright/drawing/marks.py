"""Marks on a board: each kind has its own colour, its own line and its own end.

| kind | colour | on a square | arrow |
|---|---|---|---|
| point | blue | a ring | full line, plain head |
| attack | vermillion | a burst with twelve points | full line, barbed head |
| defend | bluish green | a shield | double line, round end |
| plan | reddish purple | a dashed lozenge | dashed line, open head |
| weak | orange | a cross | dotted line, hollow lozenge |

An ink edge runs round every mark, so that it stands out from paper, hatching and black pieces
alike. Lengths are in units of a hundredth of a square.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import atan2, degrees, hypot
from typing import Protocol

from linewright.drawing.palette import BOARD, INK, MARK_COLOURS, PAPER

EDGE = 2.4
"""Width of the ink edge in units."""
CLEARING = 7.5
"""Width of the paper edge round that, which parts an arrow from black pieces."""


class Marking(Protocol):
    """What is drawn: anything with a kind and a square, and another square if it is an arrow."""

    @property
    def kind(self) -> str: ...
    @property
    def square(self) -> str: ...
    @property
    def to(self) -> str | None: ...


@dataclass(frozen=True, slots=True)
class Sign:
    """A mark of no script, such as one that shows the evidence of a finding."""

    kind: str
    square: str
    to: str | None = None


def signs(kind: str, squares: tuple[str, ...], arrows: tuple[str, ...]) -> tuple[Sign, ...]:
    """Marks of one kind from names of squares and arrows.

    >>> signs("attack", ("f7",), ("c4-f7",))[1].to
    'f7'
    """
    pairs = (arrow.partition("-") for arrow in arrows)
    return (
        *(Sign(kind, square) for square in squares),
        *(Sign(kind, start, end) for start, _, end in pairs),
    )


def square_mark(kind: str, x: float, y: float) -> str:
    """The SVG of a mark on the square whose upper left corner is at (x, y); lies under a piece."""
    path, width, dash = _ON_SQUARE[kind]
    dashes = f' stroke-dasharray="{dash}"' if dash else ""
    colour = MARK_COLOURS[kind]
    return (
        f'<g transform="translate({x:g} {y:g})" fill="none">'
        f'<path d="{path}" stroke="{INK}" stroke-width="{width + 2 * EDGE:g}"{dashes}/>'
        f'<path d="{path}" stroke="{colour}" stroke-width="{width:g}"{dashes}/></g>'
    )


_BURST = (
    "M50 4L59.32 15.23L73 10.16L75.46 24.54L89.84 27L84.77 40.68L96 50L84.77 59.32L89.84 73L7"
    "5.46 75.46L73 89.84L59.32 84.77L50 96L40.68 84.77L27 89.84L24.54 75.46L10.16 73L15.23 59"
    ".32L4 50L15.23 40.68L10.16 27L24.54 24.54L27 10.16L40.68 15.23Z"
)
_ON_SQUARE = {
    "point": ("M50 7A43 43 0 1 1 50 93A43 43 0 1 1 50 7Z", 6.5, ""),
    "attack": (_BURST, 6, ""),
    "defend": ("M10 12C26 12 38 10 50 6C62 10 74 12 90 12V50C90 72 72 86 50 94C28 86 10 72 10 50Z",
               5.5, ""),
    "plan": ("M50 5L95 50L50 95L5 50Z", 6.5, "17 10"),
    "weak": ("M12 12L88 88M88 12L12 88", 8.5, ""),
}  # fmt: skip


def mark_sample(kind: str) -> str:
    """A picture of one light square with a mark on it, for a key; words stand beside it."""
    return (
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="-3 -3 106 106" width="106" height="106"'
        f' aria-hidden="true"><path d="M0 0H100V100H0Z" fill="{BOARD.light}" stroke="{INK}"'
        f' stroke-width="2"/>{square_mark(kind, 0, 0)}</svg>'
    )


def arrow(kind: str, start: tuple[float, float], end: tuple[float, float]) -> str:
    """The SVG of an arrow between the centres of two squares; lies over the pieces."""
    (x0, y0), (x1, y1) = start, end
    length = hypot(x1 - x0, y1 - y0)
    set_off = min(30.0, length * 0.25)
    turn = degrees(atan2(y1 - y0, x1 - x0))
    drawn = _ARROWS[kind](length - set_off - 8.0)
    return (
        f'<g transform="translate({x0:g} {y0:g}) rotate({turn:.4g}) translate({set_off:g} 0)"'
        f' stroke-linejoin="round"><g stroke="{PAPER}" stroke-width="{CLEARING:g}">{drawn}</g>'
        f'<g fill="{MARK_COLOURS[kind]}" stroke="{INK}" stroke-width="{EDGE:g}">{drawn}</g></g>'
    )


def _point(length: float) -> str:
    neck = length - 36
    return f'<path d="M0 -6H{neck:g}V-21L{length:g} 0L{neck:g} 21V6H0Z"/>'


def _attack(length: float) -> str:
    neck, barb = length - 27, length - 47
    return f'<path d="M0 -6H{neck:g}L{barb:g} -26L{length:g} 0L{barb:g} 26L{neck:g} 6H0Z"/>'


def _defend(length: float) -> str:
    neck, centre = length - 26, length - 15
    return (
        f'<path d="M0 -8.5H{neck:g}V-3H0Z"/><path d="M0 3H{neck:g}V8.5H0Z"/>'
        f'<circle cx="{centre:g}" cy="0" r="15"/>'
        f'<circle cx="{centre:g}" cy="0" r="6" fill="{PAPER}"/>'
    )


def _plan(length: float) -> str:
    dashes, at = [], 0.0
    while at < length - 30:
        stop = min(at + 19, length - 22)
        dashes.append(f"M{at:g} -5.5H{stop:g}V5.5H{at:g}Z")
        at += 29
    back = length - 31
    head = (
        f"M{length:g} 0L{back:g} -23L{back - 9:g} -15L{length - 19:g} 0"
        f"L{back - 9:g} 15L{back:g} 23Z"
    )
    return f'<path d="{"".join(dashes)}"/><path d="{head}"/>'


def _weak(length: float) -> str:
    dots, at = [], 6.0
    while at < length - 40:
        dots.append(f'<circle cx="{at:g}" cy="0" r="6.5"/>')
        at += 20
    back, middle = length - 36, length - 18
    outer = f"M{back:g} 0L{middle:g} -18L{length:g} 0L{middle:g} 18Z"
    inner = f"M{back + 9:g} 0L{middle:g} 9L{length - 9:g} 0L{middle:g} -9Z"
    return f'{"".join(dots)}<path d="{outer}{inner}"/>'


_ARROWS: dict[str, Callable[[float], str]] = {
    "point": _point,
    "attack": _attack,
    "defend": _defend,
    "plan": _plan,
    "weak": _weak,
}
