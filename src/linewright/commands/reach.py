"""How much of what students will meet a lesson answers."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

if TYPE_CHECKING:
    from linewright.games.reach import Reach


def register(app: typer.Typer) -> None:
    """Adds `linewright reach`."""
    app.command("reach")(reach)


def reach(
    lesson: Annotated[Path, typer.Argument(help="The lesson's script.")],
    collection: Annotated[
        list[str] | None,
        typer.Option("--collection", "-c", metavar="FOLDER", help="Instead of those it names."),
    ] = None,
    rating: Annotated[
        str | None, typer.Option(help="Instead of its students' band: 1200-1600.")
    ] = None,
    start: Annotated[
        str | None, typer.Option("--from", help="The line its reach counts from.")
    ] = None,
    figure: Annotated[
        Path | None, typer.Option(help="Write the figure to this SVG file too.")
    ] = None,
    as_json: Annotated[bool, typer.Option("--json", help="Answer in JSON.")] = False,
) -> None:
    """What do students meet that the lesson does not answer, and what could be cut?"""
    found = _reach(lesson, collection, rating, start)
    if figure is not None:
        from linewright.errors import CannotWriteError
        from linewright.games.figures import draw_reach

        try:
            figure.write_text(draw_reach(found), encoding="utf-8")
        except OSError as error:
            raise CannotWriteError(str(figure), (error.strerror or str(error)).lower()) from error
    if as_json:
        from dataclasses import asdict

        answer = {**asdict(found), "filter": str(found.filter), "half_way": found.half_way}
        typer.echo(json.dumps(answer, indent=1))
    else:
        _print(found)


def _reach(path: Path, names: list[str] | None, rating: str | None, start: str | None) -> Reach:
    from linewright.build import load
    from linewright.commands.games import number_range
    from linewright.errors import LinewrightError
    from linewright.following import follow
    from linewright.games.home import open_named
    from linewright.games.reach import reach as measure
    from linewright.script import parse

    lesson = follow(parse(*load(path)))
    wanted = names or list(lesson.front.games)
    if not wanted:
        raise LinewrightError(
            f"'{path}' names no games: write 'games: NAME' in its front matter or give --collection"
        )
    collections = [open_named(name, path.parent) for name in wanted]
    node = _node(lesson, start) if start else None
    found = measure(lesson, collections, ratings=number_range(rating, "rating"), start=node)
    if found is None:
        raise LinewrightError(
            f"'{path}' does not say whom it is for, or shows no moves: write 'for: White' or "
            f"'for: Black' in its front matter"
        )
    return found


def _node(lesson: object, line: str) -> int:
    from linewright.errors import UnknownNameError
    from linewright.games.home import play
    from linewright.lesson import Lesson

    assert isinstance(lesson, Lesson)
    epd = play(line).epd()
    found = next((n.index for n in lesson.tree.nodes if n.board().epd() == epd), None)
    if found is None:
        known = tuple(lesson.tree.text(n.index) for n in lesson.tree.nodes if len(n.children) > 1)
        raise UnknownNameError("position in the lesson after", line, known[:5])
    return found


def _print(found: Reach) -> None:
    from linewright.games.statistics import percent

    say = typer.echo
    if not found.games:
        say(f"for {found.taught}: {found.no_games}")
        return
    say(f"for {found.taught}: {found.basis()}")
    interval = f"{percent(found.low)} to {percent(found.high)}"
    say(f"stays in the lesson to the end of a line: {percent(found.inside)} ({interval})")
    if found.unknown >= 0.005:
        say(f"comes to a position without games: {percent(found.unknown)}")
    if found.half_way is not None:
        say(f"half of the games have left the lesson after {found.half_way} plies")
    shown = found.unanswered[:12]
    few = "unanswered, counted from fewer than 30 games, lean on nothing:"
    for title, small in (("unanswered, weightiest first:", False), (few, True)):
        replies = [one for one in shown if one.share.small == small]
        if replies:
            say(title)
        for one in replies:
            told = f"{one.label} after {one.after or 'the start'}: {one.share}"
            told += f"; {one.reason}" if one.reason else ""
            say(f"  {percent(one.weight):>5}  {told}")
    if found.rare:
        say("answered, though students will hardly meet it:")
    for one in found.rare:
        say(f"  {one.label}: {one.share}, {one.taught_plies} positions taught after it")
    if len(found.choices) > 1:
        say("where the lesson shows several moves:")
    for choice in found.choices:
        line = choice.line or "the start"
        say(f"  {choice.label} after {line}: stays inside {percent(choice.inside)}")
    if found.orders:
        say("other move orders that come to the lesson:")
    for order in found.orders[:8]:
        say(f"  {order.moves}: {order.share} of the games that come to {order.line}")
    if found.thin:
        say(f"{len(found.thin)} positions rest on fewer than 30 games")
