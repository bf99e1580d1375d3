"""Letters of the board's margin, drawn with one pen, so that a board needs no font.

Each letter stands on a base line at 80 units, figures and capitals 80 high, small letters 50.
"""

from __future__ import annotations

GLYPHS: dict[str, tuple[int, str]] = {
    "1": (40, "M10 16L24 2V80M10 80H38"),
    "2": (50, "M8 20C9 -4 43 -4 43 22C43 40 24 56 8 80H45"),
    "3": (50, "M9 3H42L24 32C50 30 50 80 26 80C16 80 10 75 7 67"),
    "4": (52, "M36 80V2L6 56H48"),
    "5": (50, "M42 3H14L11 36C20 26 46 28 46 54C46 84 13 88 6 66"),
    "6": (50, "M38 3C20 8 8 30 8 54C8 89 46 88 46 56C46 31 14 28 8 54"),
    "7": (48, "M6 3H44C31 24 23 50 21 80"),
    "8": (52, "M26 37C7 35 9 2 26 2C43 2 45 35 26 37C2 40 2 80 26 80C50 80 50 40 26 37Z"),
    "a": (
        50,
        "M10 41C13 27 39 26 39 45V71C39 79 43 81 48 78M39 52C22 50 7 56 8 68C9 84 34 83 39 67",
    ),
    "b": (52, "M10 0V80M10 55C10 22 46 22 46 55C46 88 10 88 10 55"),
    "c": (48, "M43 43C37 24 8 28 8 55C8 86 38 86 44 68"),
    "d": (54, "M44 0V80M44 55C44 22 8 22 8 55C8 88 44 88 44 55"),
    "e": (50, "M8 54H44C44 22 8 22 8 55C8 86 38 86 44 69"),
    "f": (40, "M40 6C30 -3 20 2 20 18V80M7 32H36M8 80H34"),
    "g": (54, "M44 30V84C44 107 13 105 10 93M44 55C44 22 8 22 8 55C8 86 44 86 44 55"),
    "h": (52, "M10 0V80M10 51C14 24 44 22 44 47V80"),
    "A": (56, "M5 80L28 2L51 80M14 54H42"),
    "D": (60, "M9 2V80H22C62 80 62 2 22 2Z"),
    "E": (52, "M45 2H10V80H47M10 40H39"),
    "G": (60, "M51 17C38 -7 7 0 7 41C7 84 52 90 52 44H32"),
    "I": (24, "M12 2V80"),
    "M": (68, "M9 80V2L34 52L59 2V80"),
    "N": (58, "M9 80V2L49 80V2"),
}


def width(words: str, height: float, *, spacing: float = 12) -> float:
    """How wide `words` are when set so that capitals are `height` units high."""
    return (sum(GLYPHS[c][0] for c in words) + spacing * (len(words) - 1)) * height / 80


def lettered(
    words: str, x: float, baseline: float, *, height: float, colour: str, spacing: float = 12
) -> str:
    """The SVG path of `words`, centred on `x`.

    >>> lettered("I", 50, 40, height=40, colour="#000000")[:38]
    '<g transform="translate(44 0) scale(.5'
    """
    scale = height / 80
    left = x - width(words, height, spacing=spacing) / 2
    pens, at = [], 0.0
    for letter in words:
        advance, path = GLYPHS[letter]
        pens.append(f'<path transform="translate({at:g} 0)" d="{path}"/>' if at else
                    f'<path d="{path}"/>')  # fmt: skip
        at += advance + spacing
    place = f"translate({left:g} {baseline - height:g}) scale({f'{scale:g}'.lstrip('0')})"
    return (
        f'<g transform="{place}" fill="none" stroke="{colour}" stroke-width="9.5"'
        f' stroke-linecap="round" stroke-linejoin="round">{"".join(pens)}</g>'
    )
