"""Boards like the diagrams of a printed chess book, as SVG text.

Pure functions from a position in FEN and its marks; no font, no rules library, the same text for
the same board. One square is 100 × 100 units.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from enum import StrEnum
from html import escape

from linewright.drawing.lettering import lettered, width
from linewright.drawing.marks import Marking, arrow, square_mark
from linewright.drawing.palette import BOARD, IMAGINED, INK, PAPER, Ground
from linewright.drawing.pieces import piece_group
from linewright.moves import PIECE_NAMES

FILES = "abcdefgh"
SIDE = 800


class Dark(StrEnum):
    """How the dark squares are told from the light ones."""

    HATCHED = "hatched"
    """By lines, for paper."""
    TINTED = "tinted"
    """By a tone, for screens and film, where fine lines shimmer."""


@dataclass(frozen=True, slots=True)
class Gliding:
    """A piece on its way from one square to another.

    **Units**: `share` of the way already gone, 0 to 1.
    """

    letter: str
    from_square: str
    to_square: str
    share: float


@dataclass(frozen=True, slots=True)
class Margins:
    """The space round the board in units, and whether its letters stand in it."""

    left: int
    top: int
    right: int
    bottom: int
    letters: bool

    @property
    def size(self) -> tuple[int, int]:
        """Width and height of the whole picture."""
        return self.left + SIDE + self.right, self.top + SIDE + self.bottom


FULL = Margins(58, 50, 58, 76, letters=True)
NARROW = Margins(22, 48, 48, 22, letters=False)
"""For small boards, where letters could not be read."""


def squares_of(fen: str) -> dict[str, str]:
    """The pieces of a position by square, in the order of FEN (a8 to h1).

    Any placement of eight ranks is read, whether a legal position or an imagined one.

    **Raises**: `ValueError` on a text that is no placement.

    >>> squares_of("8/8/8/3k4/8/8/8/4K2R w - - 0 1")
    {'d5': 'k', 'e1': 'K', 'h1': 'R'}
    """
    ranks = fen.split(" ", 1)[0].split("/")
    if len(ranks) != 8:
        raise ValueError(f"not a position: {fen!r} has {len(ranks)} ranks, not 8")
    found: dict[str, str] = {}
    for number, rank in zip(range(8, 0, -1), ranks, strict=True):
        file = 0
        for sign in rank:
            if sign in "12345678":
                file += int(sign)
                continue
            if sign not in "kqrbnpKQRBNP" or file > 7:
                raise ValueError(f"not a position: {sign!r} in rank {number} of {fen!r}")
            found[f"{FILES[file]}{number}"] = sign
            file += 1
        if file != 8:
            raise ValueError(f"not a position: rank {number} of {fen!r} has {file} squares")
    return found


def white_to_move(fen: str) -> bool:
    """Whether White is to move; White also where the FEN does not say."""
    fields = fen.split()
    return len(fields) < 2 or fields[1] != "b"


def corner(square: str, flipped: bool = False) -> tuple[int, int]:
    """The upper left corner of a square in units from the board's upper left corner.

    >>> corner("a1"), corner("a1", flipped=True)
    ((0, 700), (700, 0))
    """
    file, rank = FILES.index(square[0]), int(square[1]) - 1
    return (700 - 100 * file, 100 * rank) if flipped else (100 * file, 700 - 100 * rank)


def board_svg(
    fen: str,
    marks: Iterable[Marking] = (),
    *,
    flipped: bool = False,
    imagined: bool = False,
    dark: Dark = Dark.HATCHED,
    last: str = "",
    gliding: Iterable[Gliding] = (),
    margins: Margins = FULL,
    words: str | None = None,
    shared: bool = False,
) -> str:
    """The picture of a board.

    `last` is the move just made ("e2e4"): corners are set round its squares. `imagined` boards
    are printed on blue paper in a broken frame that says so. `words` is the text for those who
    cannot see it, `board_words` where None and nothing where empty. A `shared` board takes its
    pieces from `shared_shapes`, which must stand once in the same page.

    **Raises**: `ValueError` on a text that is no position.

    >>> board_svg("8/8/8/3k4/8/8/8/4K2R w - - 0 1").count("<use")
    15
    """
    marks = tuple(marks)
    placed = squares_of(fen)
    ground = IMAGINED if imagined else BOARD
    suffix = _suffix(imagined, dark)
    wide, high = margins.size
    shapes = "" if shared else _shapes(sorted(set(placed.values())), ground, suffix, dark)
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{-margins.left} {-margins.top} {wide}'
        f' {high}" width="{wide}" height="{high}"{_spoken(fen, marks, imagined, words)}>',
        f"<defs>{shapes}</defs>" if shapes else "",
        *_squares(ground, suffix),
        *_frame(imagined, ground),
        *(_letters(flipped) if margins.letters else ()),
        turn_svg(white_to_move(fen), flipped, margins),
        *(_last(last, flipped) if last else ()),
        *_under(marks, flipped),
        *_pieces(placed, suffix, flipped),
        *_over(marks, flipped),
        *(_glide(piece, flipped) for piece in gliding),
        "</svg>",
    ]
    return "".join(parts)


def ground_svg(
    *, flipped: bool, imagined: bool, dark: Dark = Dark.TINTED, margins: Margins = FULL
) -> str:
    """An empty board with frame and letters, to draw a moving board on, without an `svg` round it.

    Takes its squares from `shared_shapes`. `turn_svg` and `last_svg` go on top.
    """
    ground = IMAGINED if imagined else BOARD
    letters = _letters(flipped) if margins.letters else ()
    return "".join(
        (*_squares(ground, _suffix(imagined, dark)), *_frame(imagined, ground), *letters)
    )


def shared_shapes(dark: Dark = Dark.TINTED) -> str:
    """The SVG definitions that every `shared` board of a page uses, without an `svg` round them."""
    letters = list("BKNPQRbknpqr")
    real = _shapes(letters, BOARD, _suffix(False, dark), dark)
    again = letters if dark is Dark.HATCHED else []
    return real + _shapes(again, IMAGINED, _suffix(True, dark), dark)


def _suffix(imagined: bool, dark: Dark) -> str:
    """What keeps the ids of differently printed boards apart in one page."""
    return ("i" if imagined else "r") + ("h" if dark is Dark.HATCHED else "t")


def _piece_suffix(suffix: str) -> str:
    """Pieces on tinted squares have no clearing, so that they are the same on any paper."""
    return "t" if suffix.endswith("t") else suffix


def _spoken(fen: str, marks: tuple[Marking, ...], imagined: bool, words: str | None) -> str:
    if words is None:
        words = board_words(fen, marks, imagined=imagined)
    return f' role="img" aria-label="{escape(words)}"' if words else ' aria-hidden="true"'


def _shapes(letters: list[str], ground: Ground, suffix: str, dark: Dark) -> str:
    halo = ground.light if dark is Dark.HATCHED else None
    pieces = "".join(
        piece_group(letter, halo).replace("<g", f'<g id="lw{letter}{_piece_suffix(suffix)}"', 1)
        for letter in letters
    )
    cell = _hatching(ground, leaning_left=suffix[0] == "i") if dark is Dark.HATCHED else (
        f'<path d="M0 0H100V100H0Z" fill="{ground.dark}"/>'
    )  # fmt: skip
    row = "".join(f'<use href="#lwd{suffix}" x="{x}"/>' for x in (0, 200, 400, 600))
    return f'{pieces}<g id="lwd{suffix}">{cell}</g><g id="lww{suffix}">{row}</g>'


def _hatching(ground: Ground, leaning_left: bool) -> str:
    lines = []
    for step in range(1, 16):
        c = 12.5 * step
        near, far = max(0.0, c - 100), min(c, 100.0)
        if leaning_left:
            lines.append(f"M{100 - near:g} {far:g}L{100 - far:g} {near:g}")
        else:
            lines.append(f"M{near:g} {far:g}L{far:g} {near:g}")
    return f'<path d="{"".join(lines)}" stroke="{ground.line}" stroke-width="2.6"/>'


def _squares(ground: Ground, suffix: str) -> Iterator[str]:
    yield f'<path d="M0 0H{SIDE}V{SIDE}H0Z" fill="{ground.light}"/>'
    for row in range(8):
        x = 0 if row % 2 else 100
        yield f'<use href="#lww{suffix}" x="{x}" y="{100 * row}"/>'


def _frame(imagined: bool, ground: Ground) -> Iterator[str]:
    if not imagined:
        yield (
            f'<path d="M0 0H800V800H0Z" fill="none" stroke="{INK}" stroke-width="2"/>'
            f'<path d="M-9 -9H809V809H-9Z" fill="none" stroke="{INK}" stroke-width="5"/>'
        )
        return
    yield (
        f'<path d="M-9 -9H809V809H-9Z" fill="none" stroke="{INK}" stroke-width="6"'
        ' stroke-dasharray="30 17"/>'
    )
    height = 28
    words = "IMAGINED"
    half = width(words, height, spacing=26) / 2 + 22
    top, bottom = -height - 17, -2
    yield (
        f'<path d="M{400 - half:g} {top:g}H{400 + half:g}V{bottom:g}H{400 - half:g}Z"'
        f' fill="{ground.light}" stroke="{INK}" stroke-width="3"/>'
    )
    yield lettered(words, 400, -9.5, height=height, colour=INK, spacing=26)


def _letters(flipped: bool) -> Iterator[str]:
    for i in range(8):
        file = FILES[7 - i if flipped else i]
        yield lettered(file, 100 * i + 50, 856, height=34, colour=INK)
        rank = str(i + 1 if flipped else 8 - i)
        yield lettered(rank, -35, 100 * i + 67, height=34, colour=INK)


def turn_svg(white: bool, flipped: bool, margins: Margins = FULL) -> str:
    """A triangle beside the home rank of the side to move, pointing where it goes."""
    x = 834 if margins.letters else 828
    up = white != flipped
    y = 768 if up else 32
    tip, foot = (y - 17, y + 13) if up else (y + 17, y - 13)
    return (
        f'<path d="M{x - 16} {foot}L{x} {tip}L{x + 16} {foot}Z" fill="{PAPER if white else INK}"'
        f' stroke="{INK}" stroke-width="4" stroke-linejoin="round"/>'
    )


def _last(move: str, flipped: bool) -> Iterator[str]:
    for square in (move[:2], move[2:4]):
        x, y = corner(square, flipped)
        yield last_svg(x, y)


def last_svg(x: int, y: int) -> str:
    """Corners round a square of the move just made."""
    return (
        f'<path transform="translate({x} {y})" d="M4 24V4H24M76 4H96V24M96 76V96H76M24 96H4V76"'
        f' fill="none" stroke="{INK}" stroke-width="5"/>'
    )


def _under(marks: tuple[Marking, ...], flipped: bool) -> Iterator[str]:
    for mark in marks:
        if not mark.to:
            yield square_mark(mark.kind, *corner(mark.square, flipped))


def _pieces(placed: dict[str, str], suffix: str, flipped: bool) -> Iterator[str]:
    for square, letter in placed.items():
        x, y = corner(square, flipped)
        yield f'<use href="#lw{letter}{_piece_suffix(suffix)}" x="{x}" y="{y}"/>'


def _over(marks: tuple[Marking, ...], flipped: bool) -> Iterator[str]:
    for mark in marks:
        if mark.to:
            (x0, y0), (x1, y1) = (corner(s, flipped) for s in (mark.square, mark.to))
            yield arrow(mark.kind, (x0 + 50, y0 + 50), (x1 + 50, y1 + 50))


def _glide(piece: Gliding, flipped: bool) -> str:
    (x0, y0), (x1, y1) = (corner(s, flipped) for s in (piece.from_square, piece.to_square))
    x, y = x0 + (x1 - x0) * piece.share, y0 + (y1 - y0) * piece.share
    return f'<g transform="translate({x:.2f} {y:.2f})">{piece_group(piece.letter)}</g>'


_SHOWN = {
    "point": "marked",
    "attack": "attacked",
    "defend": "defended",
    "plan": "planned",
    "weak": "weak",
}


def board_words(fen: str, marks: Iterable[Marking] = (), *, imagined: bool = False) -> str:
    """The board in words, for those who cannot see it.

    **Raises**: `ValueError` on a text that is no position.

    >>> board_words("8/8/8/3k4/8/8/P7/4K2R w - - 0 1")
    'White: king e1, rook h1, pawn a2. Black: king d5. White to move.'
    """
    placed = squares_of(fen)
    sides = (
        f"{name}: {_side_words(placed, white=name == 'White')}." for name in ("White", "Black")
    )
    turn = "White to move." if white_to_move(fen) else "Black to move."
    shown = "; ".join(mark_words(mark) for mark in marks)
    told = [
        "Imagined board." if imagined else "",
        *sides,
        turn,
        f"Shown: {shown}." if shown else "",
    ]
    return " ".join(part for part in told if part)


def _side_words(placed: dict[str, str], white: bool) -> str:
    kinds = []
    for letter, name in PIECE_NAMES.items():
        wanted = letter if white else letter.lower()
        squares = sorted(square for square, piece in placed.items() if piece == wanted)
        if squares:
            kinds.append(f"{name}{'s' if len(squares) > 1 else ''} {' '.join(squares)}")
    return ", ".join(kinds) or "no pieces"


def mark_words(mark: Marking) -> str:
    """A mark in words."""
    if mark.to:
        return f"{mark.kind} arrow {mark.square} to {mark.to}"
    return f"{mark.square} {_SHOWN[mark.kind]}"
