"""`linewright build`: everything students get, from one script."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from pkgutil import iter_modules
from typing import TYPE_CHECKING, Annotated

import typer

if TYPE_CHECKING:
    from rich.progress import Progress

    from linewright.build import Report
    from linewright.outputs import Output


_OUTPUTS = Path(__file__).parent.parent / "outputs"
_NAMES = ", ".join(info.name.replace("_", "-") for info in iter_modules([str(_OUTPUTS)]))
"""The outputs there are, listed without loading them: every command would wait for that."""

_ONLY = f"Make only this output, of {_NAMES}; several with commas, or one each."


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
        typer.Option("--only", help=_ONLY),
    ] = None,
    without: Annotated[
        list[str] | None,
        typer.Option(
            "--without", help="Leave this output out; several with commas, or one each time."
        ),
    ] = None,
    paper: Annotated[
        str, typer.Option("--paper", help="Paper of the handout: a4, us-letter.")
    ] = "a4",
    shape: Annotated[
        str, typer.Option("--shape", help="Picture of the film: wide, tall, square, or 1280x720.")
    ] = "wide",
    fps: Annotated[
        int, typer.Option("--fps", min=24, max=60, help="Frames a second of the film.")
    ] = 30,
    burnt_captions: Annotated[
        bool, typer.Option("--burnt-captions", help="Write the captions into the picture as well.")
    ] = False,
    part: Annotated[
        str, typer.Option("--part", help="Film only the part with this in its title, for a look.")
    ] = "",
    quick: Annotated[
        bool, typer.Option("--quick", help="Board and words only: ask no analyst and no games.")
    ] = False,
) -> None:
    """Make the handout, page, game file, captions, prompt sheet, proof sheet and film.

    The times of captions, prompt sheet and film come from the recording that the front matter
    names, else from the draft voice; captions of a talk that was heard have the talk's own, if its
    file is beside the script. Findings do not stop a build, unless there are no words or no
    moves; errors and warnings are told in a line each, and the
    proof sheet shows all. Files are replaced as a whole; others
    in the folder stay as they are.

    Exit code 0: clean (notes at most); 1: built, with findings; 2: could not run.

    Examples:

        linewright build lesson.md

        linewright build lesson.md --only handout --only page --out class/

        linewright build lesson.md --only film --part "trap" --shape tall
    """
    from linewright.build import PAPERS, chosen_outputs
    from linewright.errors import CannotReadError, UnknownNameError
    from linewright.film import shape_of
    from linewright.findings_text import summary, told_in_a_line
    from linewright.terminal import terminal

    if paper not in PAPERS:
        raise UnknownNameError("paper", paper, PAPERS)
    picture = shape_of(shape)
    if picture is None:
        known = ("wide", "tall", "square", "sizes like 1280x720")
        raise UnknownNameError("shape", shape, known)
    outputs = chosen_outputs(only or [], without or [])
    options = {"shape": picture, "fps": fps, "burnt": burnt_captions, "part": part}
    if not lesson.name:  # "." and "/"
        raise CannotReadError(str(lesson), "it is a folder")
    folder = out or lesson.with_name(lesson_folder(lesson.stem))
    console = terminal()
    with _progress(console) as progress:
        report, written = _run(progress, lesson, folder, outputs, paper, options, quick)
    for path in written:
        console.print(f"  {path}")
    for line in told_in_a_line(report):
        console.print(line)
    console.print(summary(report))
    for note in report.notes:
        console.print(note)
    raise typer.Exit(0 if report.clean else 1)


def lesson_folder(stem: str) -> str:
    """The folder of a lesson's files, by the name of its script.

    >>> lesson_folder("benko"), lesson_folder("nimzo-lesson")
    ('benko-lesson', 'nimzo-lesson')
    """
    return stem if stem.endswith("-lesson") else f"{stem}-lesson"


def _progress(console: object) -> Progress:
    from rich.console import Console
    from rich.progress import BarColumn, Progress, TextColumn, TimeRemainingColumn

    assert isinstance(console, Console)
    columns = (TextColumn("{task.description:<14}"), BarColumn(bar_width=28), TimeRemainingColumn())
    return Progress(*columns, console=console, transient=True)


def _run(
    progress: Progress,
    lesson: Path,
    folder: Path,
    outputs: tuple[Output, ...],
    paper: str,
    options: dict[str, object],
    quick: bool,
) -> tuple[Report, list[Path]]:
    """Checks the lesson, makes each output and writes it as soon as it is made."""
    from linewright.aids import aids_for, aids_of_board
    from linewright.build import (
        KeptFiles,
        by_talk,
        edition_of,
        examine,
        load_lesson,
        make,
        timing_of,
        write,
    )
    from linewright.errors import NothingToMakeError
    from linewright.lesson import nothing_in_it

    task = progress.add_task("checking", total=None)
    source, faults = load_lesson(lesson)
    soundtrack = timing_of(lesson.parent)
    report = examine(source, faults, aids_of_board if quick else aids_for, soundtrack)
    if why := nothing_in_it(report.lesson):
        raise NothingToMakeError(str(lesson), why)

    def film_progress(done: int, whole: int) -> None:
        progress.update(task, description="film", completed=done, total=whole)

    more = {**options, "sound": report.sound, "kept": KeptFiles(), "progress": film_progress}
    talk, notes = by_talk(report.lesson, lesson.parent, recorded=report.timeline.how == "recording")
    if any(output.name == "captions" for output in outputs):
        report = replace(report, notes=(*report.notes, *notes))
    edition = edition_of(
        report, lesson.stem, paper=paper, folder=lesson.parent, options=more, talk=talk
    )
    written: list[Path] = []
    progress.update(task, description="making", total=None)
    for output, artifacts in make(edition, outputs):
        progress.update(task, description=output.name, total=None)
        written.extend(write(folder, artifacts))
    return report, written
