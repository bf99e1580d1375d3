"""`linewright picture` and `linewright clip`: one board, or one line, for a message or a slide."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

if TYPE_CHECKING:
    from linewright.lesson import Lesson

KINDS = (".svg", ".png")
FORMS = (".gif", ".mp4")


def register(app: typer.Typer) -> None:
    """Adds the commands."""
    app.command("picture")(picture)
    app.command("clip")(clip)


def picture(
    lesson: Annotated[Path, typer.Argument(help="The lesson script.", show_default=False)],
    at: Annotated[
        str, typer.Option("--at", help="A move ('9.Nc3'), or words that stand in the script.")
    ],
    out: Annotated[
        Path | None, typer.Option("--out", help="File to write, .svg or .png [default: NAME.svg].")
    ] = None,
    width: Annotated[
        int, typer.Option("--width", min=32, max=8192, help="Width of a PNG in pixels.")
    ] = 1080,
) -> None:
    """Draw the board at a place of the lesson, with the marks that stand there.

    Examples:

        linewright picture lesson.md --at "9.Nc3" --out board.png

        linewright picture lesson.md --at "this pawn"
    """
    from linewright.build import write_file
    from linewright.drawing import board_svg
    from linewright.errors import UnknownNameError

    read = _lesson(lesson)
    place = _place(read, at)
    told = read.told_at(place)
    shown = told.at(place)
    marks = [m.mark for m in told.marks if m.words.start <= place <= m.words.end]
    move = told.tree.nodes[shown.node].move
    svg = board_svg(
        shown.fen,
        marks,
        flipped=read.front.taught == "Black",
        imagined=shown.imagined is not None,
        last=move.uci()[:4] if move and not shown.imagined else "",
    )
    path = out or lesson.with_suffix(".svg")
    if path.suffix.lower() not in KINDS:
        raise UnknownNameError("kind of picture", path.suffix, KINDS)
    write_file(path, svg.encode() if path.suffix.lower() == ".svg" else _png(svg, width))
    typer.echo(str(path))


def clip(
    lesson: Annotated[Path, typer.Argument(help="The lesson script.", show_default=False)],
    line: Annotated[str, typer.Option("--line", help="A move of the line ('6.Nxd5').")],
    out: Annotated[
        Path | None, typer.Option("--out", help="File to write, .gif or .mp4 [default: NAME.gif].")
    ] = None,
    shape: Annotated[
        str, typer.Option("--shape", help="Picture: wide, tall, square, or 640x640.")
    ] = "640x640",
) -> None:
    """Film one line without sound: from the position before a move to the end of its line.

    Examples:

        linewright clip lesson.md --line "6.Nxd5"

        linewright clip lesson.md --line "6.Nxd5" --out trap.mp4 --shape square
    """
    from linewright.build import write_file
    from linewright.errors import UnknownNameError
    from linewright.film import shape_of
    from linewright.film.reel import silent_clip
    from linewright.film.views import film_of_line

    read = _lesson(lesson)
    place = _place(read, line)
    told = read.told_at(place)
    node = told.at(place).node
    size = shape_of(shape)
    if size is None:
        raise UnknownNameError("shape", shape, ("wide", "tall", "square", "sizes like 640x640"))
    path = out or lesson.with_suffix(".gif")
    if path.suffix.lower() not in FORMS:
        raise UnknownNameError("kind of clip", path.suffix, FORMS)
    film = film_of_line(told, node, fps=24)
    write_file(path, silent_clip(film, size, path.suffix.lower()[1:]))
    typer.echo(str(path))


def _lesson(path: Path) -> Lesson:
    from linewright.build import load
    from linewright.following import follow
    from linewright.script import parse

    return follow(parse(*load(path)))


def _place(lesson: Lesson, words: str) -> int:
    from linewright.errors import LinewrightError

    if not words.strip():
        raise LinewrightError("no place is named: a move ('9.Nc3') or words of the script")
    place = lesson.find(words)
    if place is None:
        near = lesson.near(words)
        hint = f": perhaps {' or '.join(near)}" if near else ""
        raise LinewrightError(f"'{words}' stands nowhere in the lesson{hint}")
    source = lesson.script.source
    times = source.text.count(words)
    if source.text.startswith(words, place) and times > 1:
        line = source.line_column(place)[0]
        typer.echo(f"'{words}' stands in {times} places: the first, in line {line}", err=True)
    return place


def _png(svg: str, width: int) -> bytes:
    import resvg_py

    from linewright.drawing.palette import DAY

    return bytes(
        resvg_py.svg_to_bytes(
            svg_string=svg, width=width, background=DAY.paper, skip_system_fonts=True
        )
    )
