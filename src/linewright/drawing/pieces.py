"""The project's own pieces: six silhouettes in the manner of a wood engraving.

Each piece stands in a square of 100 × 100 units. White is paper with an ink outline and shading
on its right; Black is ink with paper lines, lit from the left. The thin shading is for large
boards; at 24 px it fades to a grey edge and the silhouette alone tells the pieces apart.
"""

from __future__ import annotations

from dataclasses import dataclass

from linewright.drawing.palette import INK, PAPER

OUTLINE = 4.0
"""Width of the outline in units."""
HALO = 13.0
"""Width of the clearing cut into the hatching round a piece."""


@dataclass(frozen=True, slots=True)
class Shape:
    """The paths of one kind of piece: outline, inner lines, shading on the right."""

    outline: str
    lines: str
    shading: str
    even: bool = True
    """Whether the piece is its own mirror image, so that its shading can change sides."""


SHAPES = {
    "k": Shape(
        "M24 88.5V85C24 80.5 27 77.8 30.6 76.8C31.8 71.6 31.2 67.4 29 63C24.6 55.6 22.8 48.4"
        " 25.4 42.2C29.6 35 39.4 33.6 46.2 32.4L46.6 24.8H38.8V16.8H46V9H54V16.8H61.2V24.8H53.4"
        "L53.8 32.4C60.6 33.6 70.4 35 74.6 42.2C77.2 48.4 75.4 55.6 71 63C68.8 67.4 68.2 71.6"
        " 69.4 76.8C73 77.8 76 80.5 76 85V88.5Z",
        "M30.6 77.2C43 74.6 57 74.6 69.4 77.2M29.4 63.6C43 60.2 57 60.2 70.6 63.6M50 33.4C42.6"
        " 39.6 40.8 50 42 60.6M50 33.4C57.4 39.6 59.2 50 58 60.6M46.8 32.6H53.2",
        "M72.6 46.2C73 51 71 56.4 68.4 60.6M69.2 43.4C69.8 49.4 68 55.4 65.4 60M65.4 41.6C66.2"
        " 47.6 64.8 54.4 62.6 59.4M53.8 45.6C54.8 50 54.9 54.4 54.4 58.6M67 66.4C66.2 69 66 71.4"
        " 66.3 73.4M63.2 65.6C62.7 68.2 62.6 70.6 62.8 72.8M59.4 65C59.1 67.6 59 70 59.1 72.2",
    ),
    "q": Shape(
        "M24 88.5V85C24 80.5 27 77.8 30.6 76.8C31.6 72 31 67.6 29 63L17.6 32.6L32.2 47.5L33.8 26"
        "L43 45.5L50 22.6L57 45.5L66.2 26L67.8 47.5L82.4 32.6L71 63C69 67.6 68.4 72 69.4 76.8"
        "C73 77.8 76 80.5 76 85V88.5Z"
        "M20.8 28.2A5.2 5.2 0 1 1 10.4 28.2A5.2 5.2 0 1 1 20.8 28.2Z"
        "M37.8 20.8A5.2 5.2 0 1 1 27.4 20.8A5.2 5.2 0 1 1 37.8 20.8Z"
        "M55.2 16.8A5.2 5.2 0 1 1 44.8 16.8A5.2 5.2 0 1 1 55.2 16.8Z"
        "M72.6 20.8A5.2 5.2 0 1 1 62.2 20.8A5.2 5.2 0 1 1 72.6 20.8Z"
        "M89.6 28.2A5.2 5.2 0 1 1 79.2 28.2A5.2 5.2 0 1 1 89.6 28.2Z",
        "M30.6 77.2C43 74.6 57 74.6 69.4 77.2M29.4 63.6C43 60.2 57 60.2 70.6 63.6",
        "M70.6 53.4L67.8 60.4M67 51.6L64.4 59.4M63.2 50.6L61.2 58.8M59.4 51.6L58.4 58.4M67.2 66.4"
        "C66.4 69 66.2 71.4 66.5 73.4M63.4 65.6C62.9 68.2 62.8 70.6 63 72.8M59.6 65C59.3 67.6"
        " 59.2 70 59.3 72.2",
    ),
    "r": Shape(
        "M22 88.5V84.5C22 80.5 24.4 78.2 28.4 77.4C31.4 75.6 33.2 73.4 33.6 70L36 43L28 35.6V17.5"
        "H39.2V24.8H44.8V17.5H55.2V24.8H60.8V17.5H72V35.6L64 43L66.4 70C66.8 73.4 68.6 75.6"
        " 71.6 77.4C75.6 78.2 78 80.5 78 84.5V88.5Z",
        "M29.4 77.6H70.6M34.8 68.8H65.2M36.6 43.2H63.4M30 35.6H70",
        "M61 46.6L62.4 65.4M57.8 46.6L58.8 65.4M54.6 46.6L55.2 62M67.8 22V32M64.6 27V32"
        "M62.4 71.8L63.8 74.4M58.8 71.8L59.6 74.4",
    ),
    "b": Shape(
        "M24 88.5V85C24 80.5 27 77.8 31.4 76.8C38 73.4 41.4 68.4 41.6 62.5H37C33.8 62.5 33.8 56.7"
        " 37 56.7H39.4C33.4 51.4 31.6 45 33.8 38.6C36.4 31.4 42.4 27.6 45.8 22.2A6.2 6.2 0 1 1"
        " 54.2 22.2C57.6 27.6 63.6 31.4 66.2 38.6C68.4 45 66.6 51.4 60.6 56.7H63C66.2 56.7 66.2"
        " 62.5 63 62.5H58.4C58.6 68.4 62 73.4 68.6 76.8C73 77.8 76 80.5 76 85V88.5Z",
        "M31.4 77.2H68.6M42 62.6H58M40 56.8H60M61.2 30.8L49.6 44.6M46.4 22.4H53.6",
        "M63.4 40C65 45 63 50.4 58.4 54M59.8 42.4C60.6 46.4 58.8 50.6 55 54M56.2 46.4C56.4 49.4"
        " 55 52 52.2 54M55.6 66C56.4 69.4 58.6 72.4 62 74.6M52.4 66C52.8 69.4 54 72.2 56 74.6",
    ),
    "n": Shape(
        "M24 88.5V85C24 80.5 27 77.8 31.6 76.8C31.4 68 36.6 62 42.6 57C46.6 53.6 48.4 51 48.8 47.8"
        "C44.6 50.4 40 51.4 36 54.4C33 56.8 30.4 61 26.6 60.4C21 59.4 19 54.4 21 49.8C23.6 44.2"
        " 28.2 40.8 29.8 34.4C31 29.4 33.8 25.4 38.2 22.8L37 11.4L46 18.6L53 14.4C69 19.4 78 35.6"
        " 78 54C78 63 76 70 72 76.8C74.6 77.8 77 80.5 77 85V88.5Z",
        "M32 77.2H72M35.6 35.4L40.6 32.6M25 53L26.8 51.8M53 14.6C58.6 23 58.4 26 56 29.4C64.4 37"
        " 67 46 66 56C65.2 64 63 70 59.6 75.4",
        "M62.4 22.6C62.2 25 61.4 27 60.2 29M68.8 29.6C67.8 32 66.6 33.8 65 35.4M73 38.4C71.8 40.6"
        " 70.2 42.4 68.2 43.8M74.8 48.4C73.4 50.2 71.6 51.6 69.4 52.4M74.8 58.2C73 59.6 71 60.6"
        " 68.6 61M73 67.4C71 68.4 69 69 66.6 69M52 53C49 57.6 43 61 39.6 66.4M55.6 55C52.6 60"
        " 47.4 63.4 44 68.6",
        even=False,
    ),
    "p": Shape(
        "M26 88.5V85C26 80.5 29 77.8 33.5 76.8C39.5 70 42.6 61 43 52.5H38.6C35.4 52.5 35.4 46.6"
        " 38.6 46.6H40.8A14.2 14.2 0 1 1 59.2 46.6H61.4C64.6 46.6 64.6 52.5 61.4 52.5H57C57.4 61"
        " 60.5 70 66.5 76.8C71 77.8 74 80.5 74 85V88.5Z",
        "M34 77.2H66M41.5 46.8H58.5M43.6 52.6H56.4",
        "M58.2 28.4A11 11 0 0 1 60.2 39.8M54.6 30.4A8 8 0 0 1 57 40.2M54.2 56C54.8 62.5 56.6 68.5"
        " 60 73.6M51 58C51.4 63.5 52.6 68.5 54.8 73.4",
    ),
}
"""By the letter FEN gives the black piece."""


def piece_group(letter: str, halo: str | None = None) -> str:
    """The SVG group of a piece by its FEN letter, in a square of 100 × 100 units.

    `halo` is the colour of the ground cleared round the piece, or None for no clearing.

    >>> piece_group("P").startswith('<g stroke-linejoin="round"')
    True
    """
    shape = SHAPES[letter.lower()]
    white = letter.isupper()
    fill, pen = (PAPER, INK) if white else (INK, PAPER)
    lit = ' transform="matrix(-1 0 0 1 100 0)"' if shape.even and not white else ""
    clearing = (
        f'<path d="{shape.outline}" fill="{halo}" stroke="{halo}" stroke-width="{HALO:g}"/>'
        if halo
        else ""
    )
    return (
        f'<g stroke-linejoin="round" stroke-linecap="round">{clearing}'
        f'<path d="{shape.outline}" fill="{fill}" stroke="{INK}" stroke-width="{OUTLINE:g}"/>'
        f'<path d="{shape.lines}" fill="none" stroke="{pen}" stroke-width="2.8"/>'
        f'<path d="{shape.shading}" fill="none" stroke="{pen}" stroke-width="1.3"{lit}/></g>'
    )


def piece_svg(letter: str) -> str:
    """A picture of one piece on nothing, 100 × 100 units."""
    return (
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 100" width="100" height="100">'
        f"{piece_group(letter)}</svg>"
    )
