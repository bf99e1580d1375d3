"""`linewright new`: a script to begin with, or one made from an annotated game file."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

STARTER = """---
title: {title}
teacher: Your name
for: White
students: 1200-1600
pace: 140
---

# The first moves

Write as you would speak. A move with its number puts the board there: 1.e4 e5 2.Nf3 Nc6 3.Bc4.
Moves that follow directly belong to the line, and a number that goes back goes back on the board:
instead of the bishop, White can play 3.d4. A side line stands in parentheses (3.Bb5 is another
lesson) and leaves the board as it was.

![The board at this place](board)

Words can point at the board: after 3.Bc4 the [bishop](#attack:c4-f7) looks at f7, and
[this pawn](#e5) is attacked once. You can also [picture it without the queens](?remove=d1,d8).

> **Key idea.** A block quote is printed in the handout and not spoken.

<!-- A comment like this is yours alone. -->

---

# What to remember

Three dashes on a line of their own are a pause. Now run `linewright check` on this file.
"""


def register(app: typer.Typer) -> None:
    """Adds the command."""
    app.command("new")(new)


def new(
    script: Annotated[
        Path, typer.Argument(help="The script to write, such as lesson.md.", show_default=False)
    ],
    game: Annotated[
        Path | None, typer.Option("--from", help="Make it from the first game of this game file.")
    ] = None,
) -> None:
    """Write a starter script, or turn an annotated game file into one.

    A file that is there already is never overwritten.

    Examples:

        linewright new my-lesson.md

        linewright new my-lesson.md --from game.pgn
    """
    from linewright.build import load, write_file
    from linewright.errors import CannotReadError, CannotWriteError
    from linewright.from_game import CAUTION, script_from_game

    if script.exists():
        raise CannotWriteError(str(script), "it is there already, and nothing is overwritten")
    if game is None:
        title = script.stem.replace("-", " ").replace("_", " ").capitalize()
        write_file(script, STARTER.format(title=title.replace(":", " ")).encode())
        typer.echo(f"{script}: a script to begin with; next: linewright check {script}")
        return
    source, _ = load(game)
    made = script_from_game(source.text)
    if made is None:
        raise CannotReadError(str(game), "there is no game in it")
    write_file(script, made.text.encode())
    typer.echo(f"{script}: made from {game}")
    if not made.tagged:
        typer.echo(
            f"  {game} has no tags: perhaps it is no game file. Look at what was made of it."
        )
    for lost in made.not_kept:
        typer.echo(f"  not kept: {lost}")
    if "\nfor: " not in made.text.partition("\n---\n")[0]:
        typer.echo(
            "  Whose side does it teach? Write 'for: White' or 'for: Black' into its head; "
            "until then the moves of both are judged as advice."
        )
    typer.echo(f"  {CAUTION}")
    if made.players:
        lines = " and ".join(f"{side.lower()}:" for side in made.players)
        typer.echo(f"  Players are named at {lines}, which everyone gets who gets the lesson.")
    if made.names_in_words:
        typer.echo(f"  Your words name them too: {', '.join(made.names_in_words)}.")
