"""`linewright build`: everything students get, from one script."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer


def register(app: typer.Typer) -> None:
    """Adds the command."""
    app.command("build")(build)


def build(
    lesson: Annotated[Path, typer.Argument(help="The lesson script.", show_default=False)],
    out: Annotated[
        Path | None, typer.Option("--out", help="Folder for the files [default: NAME-lesson].")
    ] = None,
    only: Annotated[
        list[str] | None,
        typer.Option("--only", help="Make only this output; may be given more than once."),
    ] = None,
    paper: Annotated[
        str, typer.Option("--paper", help="Paper of the handout: a4, us-letter.")
    ] = "a4",
    quick: Annotated[
        bool, typer.Option("--quick", help="Board and words only: ask no analyst and no games.")
    ] = False,
) -> None:
    """Make the handout, page, game file, captions, prompt sheet, proof sheet and film.

    Findings do not stop a build; they are counted, and the proof sheet shows them. Files are
    replaced as a whole; other files in the folder stay as they are.

    Exit code 0: clean (notes at most); 1: built, with findings; 2: could not run.

    Examples:

        linewright build lesson.md

        linewright build lesson.md --only handout --only page --out class/

        linewright build lesson.md --paper us-letter
    """
    from rich.console import Console
    from rich.progress import BarColumn, Progress, TextColumn, TimeElapsedColumn

    from linewright.aids import aids_for
    from linewright.build import (
        PAPERS,
        chosen_outputs,
        edition_of,
        examine,
        load,
        make,
        write,
    )
    from linewright.errors import UnknownNameError
    from linewright.findings_text import summary

    if paper not in PAPERS:
        raise UnknownNameError("paper", paper, PAPERS)
    outputs = chosen_outputs(only or [])
    source, faults = load(lesson)
    folder = out or lesson.with_name(f"{lesson.stem}-lesson")
    console = Console(soft_wrap=True)
    columns = (TextColumn("{task.description}"), BarColumn(bar_width=24), TimeElapsedColumn())
    written: list[Path] = []
    with Progress(*columns, console=console, transient=True) as progress:
        task = progress.add_task("checking", total=len(outputs) + 1)
        report = examine(source, faults, None if quick else aids_for)
        edition = edition_of(report, lesson.stem, paper=paper, folder=lesson.parent)
        progress.update(task, advance=1, description=outputs[0].name if outputs else "")
        for output, artifacts in make(edition, outputs):
            progress.update(task, description=output.name)
            written.extend(write(folder, artifacts))
            progress.advance(task)
    for path in written:
        console.print(f"  {path}", highlight=False)
    console.print(summary(report), highlight=False)
    raise typer.Exit(0 if report.clean else 1)
