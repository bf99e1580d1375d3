"""A finished picture with its words."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Engraving:
    """An SVG text, what it shows in words for those who cannot see it, and notes to print below.

    Where nothing could be drawn `svg` is empty and `words` say why, as a sentence to print.
    """

    svg: str
    words: str
    notes: tuple[str, ...] = ()
