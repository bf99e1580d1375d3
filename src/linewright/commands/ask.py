"""`linewright ask`: is it true what is said about a board?"""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

if TYPE_CHECKING:
    from linewright.statements import Verdict


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command("ask")(ask)


def ask(
    text: Annotated[str, typer.Argument(help="What is said about the board.")] = "",
    moves: Annotated[str, typer.Option(help="The moves that lead to the board.")] = "",
    fen: Annotated[str, typer.Option(help="The board, instead of moves or before them.")] = "",
    lesson: Annotated[Path | None, typer.Option(help="A lesson whose board is meant.")] = None,
    at: Annotated[
        str,
        typer.Option(
            help="The place in the lesson: a line number, a move such as 9.Nc3, or words."
        ),
    ] = "",
    taught: Annotated[str, typer.Option(help="Whose side is taught: White or Black.")] = "",
    batch: Annotated[
        Path | None,
        typer.Option(help="A file with one question (JSON) a line; - reads the standard input."),
    ] = None,
) -> None:
    """Say what the board shows about a statement: holds, fails, or cannot tell, and why.

    A line of a batch is `{"text": …, "moves": … or [ … ], "fen": …, "taught": …}`, all but the text
    as needed; each is answered with a line, in order.

    Exit code 0: nothing fails, or a batch was answered; 1: something fails; 2: could not be asked.
    """
    from linewright.asking import UnreadableQuestionError, answer_lines
    from linewright.asking import ask as judged
    from linewright.errors import CannotReadError

    if batch is not None:
        for line in answer_lines(_lines(batch)):
            typer.echo(line)
        return
    if not text:
        raise typer.BadParameter("say what is to be judged, or give --batch")
    try:
        if lesson is not None:
            verdicts = _in_lesson(text, lesson, at, taught)
        else:
            verdicts = judged(text, moves=moves, fen=fen or None, taught=taught or None)
    except (UnreadableQuestionError, CannotReadError) as error:
        typer.echo(f"linewright ask: {error}", err=True)
        raise typer.Exit(2) from error
    for verdict in verdicts:
        typer.echo(_line(verdict))
    if not verdicts:
        typer.echo("nothing in it that the board can decide")
    failed = any(v.verdict == "fails" for v in verdicts)
    raise typer.Exit(1 if failed else 0)


def _line(verdict: Verdict) -> str:
    offer = f"; {verdict.offer}" if verdict.offer else ""
    name = {"cannot-tell": "cannot tell"}.get(verdict.verdict, verdict.verdict)
    return f'{name}: "{verdict.statement.words}": {verdict.because}{offer}'


def _lines(path: Path) -> list[str]:
    """The questions of a batch; only a line feed ends one: JSON may hold what else ends lines."""
    from linewright.source import decoded

    if str(path) == "-":
        return sys.stdin.read().split("\n")
    try:
        return decoded(path.read_bytes()).text.split("\n")
    except OSError as error:
        typer.echo(f"linewright ask: {path} cannot be read: {error.strerror}", err=True)
        raise typer.Exit(2) from error


def _in_lesson(text: str, path: Path, at: str, taught: str) -> tuple[Verdict, ...]:
    """The verdicts at a place of a lesson, read and judged as `check` reads and judges it."""
    from linewright.asking import UnreadableQuestionError, read_side, with_tables, without_links
    from linewright.build import load
    from linewright.following import follow
    from linewright.script import parse
    from linewright.statements import judge
    from linewright.statements_of_lesson import places

    source, _ = load(path)
    followed = follow(parse(source))
    of_line = at.isascii() and at.isdecimal()
    if of_line:
        there = 0 < int(at) <= source.written_lines
        offset: int | None = source.line_span(int(at)).end if there else None
    else:
        offset = followed.find(at) if at else len(source.text)
    if offset is None:
        near = followed.near(at)
        hint = f": perhaps {' or '.join(near)}" if near else ""
        hint = f": it has {source.written_lines} lines" if of_line else hint
        raise UnreadableQuestionError(f"'{at}' stands nowhere in {path.name}{hint}")
    place = places(followed.told_at(offset), with_tables())(offset)
    if taught:
        place = replace(place, taught=read_side(taught))
    plain, links = without_links(text)
    return judge(plain, lambda _: place, links=links)
