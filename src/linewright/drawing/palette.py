"""The colours of everything the project draws and sets, and their contrast.

Marks use the Okabe-Ito colours; all other colours are paper and ink.
"""

from __future__ import annotations

from dataclasses import dataclass, fields

INK = "#1d1a17"
"""Text, outlines, black pieces, and the thin edge round every mark."""
PAPER = "#fffdf8"
"""White pieces and the page a diagram is printed on."""

ORANGE = "#e69f00"
BLUISH_GREEN = "#009e73"
BLUE = "#0072b2"
VERMILLION = "#d55e00"
REDDISH_PURPLE = "#cc79a7"

MARK_COLOURS = {
    "point": BLUE,
    "attack": VERMILLION,
    "defend": BLUISH_GREEN,
    "plan": REDDISH_PURPLE,
    "weak": ORANGE,
}
"""Source: Okabe & Ito, Color Universal Design, 2002 (revised 2008)."""

WORD_COLOURS = {**MARK_COLOURS, "plan": "#c0669a", "weak": "#b37700"}
"""For the lines under marked words on a light page, for which two of the colours are too pale."""


@dataclass(frozen=True, slots=True)
class Ground:
    """The paper a board is printed on."""

    light: str
    dark: str
    line: str
    """The hatching of dark squares, and marginal letters on a hatched board."""


BOARD = Ground(light="#fcf7ec", dark="#ddcfb3", line="#6f6250")
IMAGINED = Ground(light="#eef1f8", dark="#c8d1e3", line="#5a6680")
"""A what-if board is printed on blue paper, hatched the other way."""


@dataclass(frozen=True, slots=True)
class Sheet:
    """The colours of a page of text: one for daylight, one for the dark."""

    paper: str
    panel: str
    """Boxes: key ideas, findings, the table of moves."""
    ink: str
    quiet: str
    """Captions, times, page furniture."""
    rule: str
    """Lines that only decorate."""
    edge: str
    """Lines that mean something: borders of controls, focus."""
    link: str
    error: str
    warning: str
    note: str
    now: str
    """Behind the move the board stands at."""


DAY = Sheet(
    paper="#fffdf8",
    panel="#f6f0e2",
    ink="#1d1a17",
    quiet="#5f564a",
    rule="#d8ccb4",
    edge="#857a69",
    link="#00598c",
    error="#9c2f00",
    warning="#7a4b00",
    note="#00598c",
    now="#f3df9e",
)
NIGHT = Sheet(
    paper="#191714",
    panel="#252119",
    ink="#ede6d8",
    quiet="#b5aa98",
    rule="#453e33",
    edge="#857a69",
    link="#86c8f0",
    error="#ff9d73",
    warning="#f0c066",
    note="#86c8f0",
    now="#5a4716",
)


def css_variables(sheet: Sheet, marks: dict[str, str] | None = None) -> str:
    """The colours of a page, and of marks by kind, as the custom properties of a style sheet."""
    named = {field.name: getattr(sheet, field.name) for field in fields(sheet)}
    return ";".join(f"--{name}:{colour}" for name, colour in {**named, **(marks or {})}.items())


def luminance(colour: str) -> float:
    """The relative luminance of a colour written ``#rrggbb``, from 0 (black) to 1 (white).

    **Source**: WCAG 2.2, definition of relative luminance.

    >>> luminance("#ffffff")
    1.0
    """
    red, green, blue = (_linear(int(colour[i : i + 2], 16) / 255) for i in (1, 3, 5))
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def _linear(channel: float) -> float:
    return channel / 12.92 if channel <= 0.04045 else ((channel + 0.055) / 1.055) ** 2.4


def contrast(one: str, other: str) -> float:
    """The contrast ratio of two colours, from 1 to 21, whichever way round.

    **Source**: WCAG 2.2, definition of contrast ratio. Text needs 4.5, large text and shapes
    that carry meaning 3 (success criteria 1.4.3 and 1.4.11).

    >>> round(contrast("#777777", "#ffffff"), 4)
    4.4781
    """
    dim, bright = sorted((luminance(one), luminance(other)))
    return (bright + 0.05) / (dim + 0.05)
