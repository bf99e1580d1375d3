"""Boards, pieces and marks: what they say, and whether it can be seen."""

from __future__ import annotations

import io
import os
import re
from pathlib import Path
from xml.etree import ElementTree

import chess
import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from linewright.drawing import (
    FULL,
    NARROW,
    Dark,
    Gliding,
    Sign,
    board_svg,
    board_words,
    corner,
    piece_svg,
    shared_shapes,
    signs,
    squares_of,
)
from linewright.drawing.marks import arrow
from linewright.drawing.palette import (
    BOARD,
    DAY,
    IMAGINED,
    INK,
    MARK_COLOURS,
    NIGHT,
    PAPER,
    WORD_COLOURS,
    contrast,
    luminance,
)

HERE = Path(__file__).parent
COLOUR = yaml.safe_load((HERE / "tables" / "colour.yaml").read_text())
QGD = "r1bq1rk1/pp1nbppp/2p2n2/3p2B1/3P4/2NBPN2/PPQ2PPP/R4RK1 b - - 5 9"
KINGS_AND_PAWNS = "4k3/pp3ppp/2p5/3p4/1P1P4/4P3/P4PPP/4K3 w - - 0 1"
KINDS = ("point", "attack", "defend", "plan", "weak")
EVERY_MARK = (
    *(
        Sign(kind, square)
        for kind, square in zip(KINDS, ("d5", "f7", "c6", "b5", "e4"), strict=True)
    ),
    *(
        Sign(kind, *squares)
        for kind, squares in zip(
            KINDS,
            (("d3", "h7"), ("g5", "f6"), ("e7", "f6"), ("b2", "b4"), ("a1", "c1")),
            strict=True,
        )
    ),
)
BOARDS = {
    "plain": board_svg(QGD),
    "marks": board_svg(QGD, EVERY_MARK, last="f8e8"),
    "black-side": board_svg(QGD, EVERY_MARK, flipped=True, dark=Dark.TINTED),
    "imagined": board_svg(KINGS_AND_PAWNS, (Sign("plan", "b4", "b5"),), imagined=True),
    "narrow": board_svg(QGD, margins=NARROW, dark=Dark.TINTED),
    "gliding": board_svg(KINGS_AND_PAWNS, gliding=(Gliding("P", "b4", "b5", 0.5),)),
}


@pytest.mark.parametrize("name", BOARDS)
def test_board_is_drawn_as_stored(name: str) -> None:
    stored = HERE / "drawing" / f"{name}.svg"
    text = BOARDS[name].replace("><", ">\n<") + "\n"
    if os.environ.get("LINEWRIGHT_SNAPSHOTS") == "write":
        stored.write_text(text)
    assert text == stored.read_text()


@pytest.mark.parametrize("name", BOARDS)
def test_board_is_well_formed_small_and_needs_no_font(name: str) -> None:
    root = ElementTree.fromstring(BOARDS[name])
    assert root.get("role") == "img"
    assert root.get("aria-label")
    assert len(BOARDS[name]) < 30_000
    assert "<text" not in BOARDS[name]
    ids = re.findall(r'id="([^"]+)"', BOARDS[name])
    assert len(ids) == len(set(ids))
    assert set(re.findall(r'href="#([^"]+)"', BOARDS[name])) <= set(ids)


def test_pictures_by_the_same_name_are_the_same_bytes() -> None:
    assert board_svg(QGD, EVERY_MARK) == board_svg(QGD, EVERY_MARK)


@st.composite
def positions(draw: st.DrawFn) -> chess.Board:
    board = chess.Board()
    for pick in draw(st.lists(st.integers(0, 10_000), max_size=60)):
        moves = sorted(board.legal_moves, key=chess.Move.uci)
        if not moves:
            break
        board.push(moves[pick % len(moves)])
    return board


@given(positions())
def test_squares_agree_with_the_rules_library(board: chess.Board) -> None:
    expected = {chess.square_name(s): p.symbol() for s, p in board.piece_map().items()}
    assert squares_of(board.fen()) == expected


@given(positions())
def test_words_hold_the_whole_position(board: chess.Board) -> None:
    """The position can be set up again from the words alone."""
    rebuilt = chess.Board.empty()
    words = board_words(board.fen())
    white, black, turn = re.fullmatch(
        r"White: (.*)\. Black: (.*)\. (White|Black) to move\.", words
    ).groups()  # type: ignore[union-attr]
    for colour, side in ((chess.WHITE, white), (chess.BLACK, black)):
        for group in side.split(", "):
            name, *squares = group.split(" ")
            kind = chess.PIECE_NAMES.index(name.removesuffix("s"))
            for square in squares:
                rebuilt.set_piece_at(chess.parse_square(square), chess.Piece(kind, colour))
    assert rebuilt.board_fen() == board.board_fen()
    assert turn == ("White" if board.turn else "Black")


def test_words_for_marks_and_imagined_boards() -> None:
    words = board_words(
        KINGS_AND_PAWNS, (Sign("plan", "b4", "b5"), Sign("weak", "c6")), imagined=True
    )
    assert words.startswith("Imagined board. White: king e1, pawns a2 b4 d4 e3 f2 g2 h2. Black: ")
    assert words.endswith("White to move. Shown: plan arrow b4 to b5; c6 weak.")


def test_an_empty_board_is_a_board() -> None:
    assert "White: no pieces. Black: no pieces." in board_svg("8/8/8/8/8/8/8/8")


@pytest.mark.parametrize(
    "fen",
    [
        "",
        "8/8",
        "9/8/8/8/8/8/8/8",
        "8/8/8/8/8/8/8/7",
        "x7/8/8/8/8/8/8/8",
        "8/8/8/8/8/8/8/ppppppppp",
    ],
)
def test_what_is_no_position_is_refused(fen: str) -> None:
    with pytest.raises(ValueError, match="not a position"):
        board_svg(fen)


def test_words_cannot_break_out_of_the_picture() -> None:
    svg = board_svg(QGD, words='"><script>alert(1)</script>')
    assert "<script" not in svg
    assert ElementTree.fromstring(svg).get("aria-label") == '"><script>alert(1)</script>'


def test_shared_shapes_serve_every_board() -> None:
    for dark in Dark:
        shapes = shared_shapes(dark)
        ElementTree.fromstring(f"<defs>{shapes}</defs>")
        ids = set(re.findall(r'id="([^"]+)"', shapes))
        for imagined in (False, True):
            board = board_svg(QGD, imagined=imagined, dark=dark, shared=True)
            assert set(re.findall(r'href="#([^"]+)"', board)) <= ids
            assert len(board) < 6_000


def test_evidence_becomes_signs() -> None:
    assert signs("attack", ("f7",), ("c4-f7",)) == (
        Sign("attack", "f7"),
        Sign("attack", "c4", "f7"),
    )


# --- what the eye gets ------------------------------------------------------------------------


def raster(svg: str, width: int) -> Image.Image:
    import resvg_py

    png = resvg_py.svg_to_bytes(
        svg_string=svg, width=width, background="#fcf7ec", skip_system_fonts=True
    )
    return Image.open(io.BytesIO(bytes(png))).convert("L")


def test_all_twelve_pieces_differ_at_24_pixels() -> None:
    """At the smallest size used, any two differ by 12 of 255 tones a pixel on average."""
    pictures = {letter: list(raster(piece_svg(letter), 24).tobytes()) for letter in "KQRBNPkqrbnp"}
    for one, pixels in pictures.items():
        for other, others in pictures.items():
            if one < other:
                apart = sum(abs(a - b) for a, b in zip(pixels, others, strict=True)) / len(pixels)
                assert apart > 12, (one, other, apart)


def test_pieces_keep_inside_their_square() -> None:
    for letter in "KQRBNP":
        pixels = raster(piece_svg(letter), 100)
        edge = [pixels.getpixel((x, y)) for x in range(100) for y in (0, 99)]
        edge += [pixels.getpixel((x, y)) for y in range(100) for x in (0, 99)]
        assert set(edge) == {247}, letter


def dark_at(image: Image.Image, square: str, flipped: bool = False) -> float:
    """The mean tone of the middle of an empty square."""
    x, y = corner(square, flipped)
    left, top = FULL.left + x + 10, FULL.top + y + 10
    tones = image.crop((left, top, left + 80, top + 80)).tobytes()
    return sum(tones) / len(tones)


@pytest.mark.parametrize("dark", Dark)
@pytest.mark.parametrize("flipped", [False, True])
def test_a1_is_dark_and_h1_is_light(dark: Dark, flipped: bool) -> None:
    """FIDE Laws of Chess, article 2.1: the right corner square nearest each player is white."""
    image = raster(board_svg("8/8/8/8/8/8/8/8", flipped=flipped, dark=dark), FULL.size[0])
    for file in range(8):
        for rank in range(8):
            square = f"{'abcdefgh'[file]}{rank + 1}"
            is_dark = dark_at(image, square, flipped) < 235
            assert is_dark == (
                not chess.BB_LIGHT_SQUARES & chess.BB_SQUARES[chess.square(file, rank)]
            )


def test_imagined_boards_differ_without_colour() -> None:
    plain, imagined = (board_svg(KINGS_AND_PAWNS, imagined=i) for i in (False, True))
    assert "stroke-dasharray" in imagined
    assert "stroke-dasharray" not in plain
    assert raster(plain, 300).tobytes() != raster(imagined, 300).tobytes()


def test_marks_differ_without_colour() -> None:
    """Shape alone tells the kinds apart: every two kinds differ once all colours are one."""

    def shape(svg: str) -> str:
        return re.sub(r"#[0-9a-f]{6}", "#000000", svg)

    on_squares = {shape(board_svg("8/8/8/8/8/8/8/8", (Sign(k, "e4"),), words="")) for k in KINDS}
    arrows = {shape(arrow(kind, (50, 50), (450, 50))) for kind in KINDS}
    assert len(on_squares) == len(arrows) == len(KINDS)


# --- colours ----------------------------------------------------------------------------------


def test_mark_colours_are_the_published_ones() -> None:
    assert set(MARK_COLOURS.values()) <= set(COLOUR["okabe_ito"].values())
    assert len(set(MARK_COLOURS.values())) == len(MARK_COLOURS) == 5


@pytest.mark.parametrize(("one", "other", "ratio"), COLOUR["contrast"])
def test_contrast_agrees_with_worked_values(one: str, other: str, ratio: float) -> None:
    assert contrast(one, other) == pytest.approx(ratio, abs=1e-4)


def test_luminance_agrees_with_worked_values() -> None:
    for name, value in COLOUR["luminance"].items():
        colour = COLOUR["okabe_ito"].get(name, "#ffffff")
        assert luminance(colour) == pytest.approx(value, abs=1e-6)


@pytest.mark.parametrize("sheet", [DAY, NIGHT], ids=["day", "night"])
def test_text_can_be_read(sheet: object) -> None:
    text = COLOUR["thresholds"]["text"]
    for ground in ("paper", "panel", "now"):
        for colour in (
            ("ink", "link")
            if ground == "now"
            else ("ink", "quiet", "link", "error", "warning", "note")
        ):
            ratio = contrast(getattr(sheet, colour), getattr(sheet, ground))
            assert ratio >= text, (colour, ground, ratio)
    for ground in ("paper", "panel"):
        assert contrast(sheet.edge, getattr(sheet, ground)) >= COLOUR["thresholds"]["non_text"]  # type: ignore[attr-defined]


def test_lines_under_marked_words_can_be_seen() -> None:
    shapes = COLOUR["thresholds"]["non_text"]
    for kind in KINDS:
        assert min(contrast(WORD_COLOURS[kind], g) for g in (DAY.paper, DAY.panel)) >= shapes, kind
        assert min(contrast(MARK_COLOURS[kind], g) for g in (NIGHT.paper, NIGHT.panel)) >= shapes


def test_shapes_can_be_seen() -> None:
    """The ink edge parts every mark and piece from what it lies on."""
    shapes = COLOUR["thresholds"]["non_text"]
    for colour in MARK_COLOURS.values():
        assert contrast(colour, INK) >= shapes
    for ground in (BOARD, IMAGINED):
        for paper in (ground.light, ground.dark):
            assert contrast(INK, paper) >= COLOUR["thresholds"]["text"]
        assert contrast(ground.line, ground.light) >= shapes
    assert contrast(PAPER, INK) >= COLOUR["thresholds"]["text"]
