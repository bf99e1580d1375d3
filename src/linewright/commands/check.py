"""`linewright check`: what does not fit, with the words underlined."""

from __future__ import annotations

import json
import time as clock_time
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

if TYPE_CHECKING:
    from linewright.build import Report

POLL_S = 0.3


def register(app: typer.Typer) -> None:
    """Adds the command."""
    app.command("check")(check)


def check(
    lessons: Annotated[
        list[Path] | None, typer.Argument(help="Lesson scripts.", show_default=False)
    ] = None,
    as_json: Annotated[
        bool, typer.Option("--json", help="Print JSON for other programs (see the schema).")
    ] = False,
    watch: Annotated[
        bool, typer.Option("--watch", help="Check again whenever a script is saved.")
    ] = False,
    schema: Annotated[
        bool, typer.Option("--schema", help="Print the JSON Schema of --json and stop.")
    ] = False,
    quick: Annotated[
        bool,
        typer.Option("--quick", help="Board, words and pace only: no voice, analyst or games."),
    ] = False,
    statements: Annotated[
        bool, typer.Option("--statements", help="List every statement with its verdict too.")
    ] = False,
) -> None:
    """Report everything in a script that does not fit the board.

    Several scripts are compared too: those of one series, or all where none names a series.

    Exit code 0: clean (notes at most); 1: findings; 2: could not run.

    Examples:

        linewright check lesson.md

        linewright check --json lesson.md > findings.json

        linewright check --watch lesson.md

        linewright check lesson-1.md lesson-2.md lesson-3.md
    """
    if schema:
        from importlib import resources

        text = (
            resources.files("linewright").joinpath("schemas/check.schema.json").read_text("utf-8")
        )
        typer.echo(text, nl=False)
        return
    if not lessons:
        raise typer.BadParameter("name a lesson script to check")
    lessons = list({path.resolve(): path for path in reversed(lessons)}.values())[::-1]
    if watch:
        _watch(lessons, quick)
        return
    reports = _compared([_examined(path, quick) for path in lessons])
    for note in dict.fromkeys(note for report in reports for note in report.notes):
        typer.echo(f"linewright: {note}", err=True)
    if as_json:
        from linewright.findings_text import as_json as data

        typer.echo(json.dumps(data(reports), ensure_ascii=False, indent=2))
    else:
        _print(reports, statements)
    raise typer.Exit(0 if all(report.clean for report in reports) else 1)


def _examined(path: Path, quick: bool, aligned: bool = True) -> Report:
    from linewright.aids import aids_for, aids_of_board
    from linewright.build import examine, load_lesson, paced, timing_of

    source, faults = load_lesson(path)
    if quick:  # the draft voice takes longer than all else together: the pace says enough
        return examine(source, faults, aids_of_board, paced(path.parent))
    return examine(source, faults, aids_for, timing_of(path.parent, aligned=aligned))


def _compared(reports: list[Report]) -> list[Report]:
    from linewright.build import compare

    return list(compare(reports)) if len(reports) > 1 else reports


def _print(reports: list[Report], statements: bool = False) -> None:
    from linewright.findings_text import print_report, print_statements
    from linewright.terminal import terminal

    console = terminal()
    for report in reports:
        print_report(console, report)
        print_statements(console, report, statements)


def _watch(lessons: list[Path], quick: bool) -> None:
    """Checks on every save until interrupted."""
    from linewright.errors import LinewrightError
    from linewright.terminal import terminal

    console = terminal()
    seen: dict[Path, float] = {}
    known: dict[Path, Report] = {}
    told: dict[Path, Report] = {}
    while True:
        changed = [path for path in lessons if _saved(path) != seen.get(path)]
        for path in changed:
            seen[path] = _saved(path)
            known.pop(path, None)
            try:
                known[path] = _examined(path, quick, aligned=False)
            except LinewrightError as error:
                console.print(f"linewright: {error}")
        if changed:
            read = [path for path in lessons if path in known]
            reports = _compared([known[path] for path in read])
            before, told = told, dict(zip(read, reports, strict=True))
            _print_changed(told, before, changed)
        clock_time.sleep(POLL_S)


def _print_changed(
    reports: dict[Path, Report], before: dict[Path, Report], changed: list[Path]
) -> None:
    """Prints the reports of the scripts that were saved, and what the others say differently, or
    no longer do since they were last reported (`before`)."""
    from linewright.findings_text import print_against, print_settled
    from linewright.terminal import terminal

    console = terminal()
    sources = [reports[path].lesson.script.source for path in changed if path in reports]
    for path, report in reports.items():
        if path in changed:
            console.rule(f"{path}  {clock_time.strftime('%H:%M:%S')}", style="dim")
            _print([report])
        else:
            print_against(console, report, sources)
            if path in before:
                print_settled(console, before[path], report)


def _saved(path: Path) -> float:
    try:
        return path.stat().st_mtime
    except OSError:
        return -1.0
