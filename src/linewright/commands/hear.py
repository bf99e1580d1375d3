"""`linewright hear`: a talk becomes a lesson."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer


def register(app: typer.Typer) -> None:
    """Adds the command."""
    app.command("hear")(hear)


def hear(
    talk: Annotated[
        Path | None,
        typer.Argument(help="A transcript (WebVTT, SRT, text with times).", show_default=False),
    ] = None,
    recording: Annotated[
        Path | None,
        typer.Option("--recording", help="Its sound or film, to measure when each word is said."),
    ] = None,
    as_json: Annotated[
        bool, typer.Option("--json", help="Print JSON for other programs and write no file.")
    ] = False,
    out: Annotated[
        Path | None,
        typer.Option("--out", help="Folder for script, slips, captions and proof sheet."),
    ] = None,
    schema: Annotated[
        bool, typer.Option("--schema", help="Print the JSON Schema of --json and stop.")
    ] = False,
) -> None:
    """Understand a talk: the moves it shows, what was said wrong, captions put right.

    Exit code 0: heard; 1: heard, but not all of it could be used (the recording is another one,
    say); 2: could not run, and nothing was written.

    Examples:

        linewright hear talk.vtt

        linewright hear talk.srt --out lesson

        linewright hear talk.md --recording talk.mp4

        linewright hear --json talk.vtt > heard.json
    """
    if schema:
        from importlib import resources

        text = resources.files("linewright").joinpath("schemas/hear.schema.json").read_text("utf-8")
        typer.echo(text, nl=False)
        return
    if talk is None:
        raise typer.BadParameter("give a talk, for example: linewright hear talk.vtt")
    from linewright.errors import CannotWriteError, LinewrightError
    from linewright.hearing import (
        answers_in,
        folder_of,
        has_errors,
        hear_file,
        keep_script,
        measured_text,
        otherwise_than_before,
        recording_line,
        report_text,
        script_in,
        statements_of,
        with_head,
        write_all,
        wrote_text,
    )
    from linewright.source import beside_or_above

    try:
        folder = out or folder_of(talk)
        if not as_json and folder.exists() and not folder.is_dir():
            raise CannotWriteError(str(folder), "it is a file")
        written_before = answers_in(folder / f"{talk.stem}.script.md")
        answers = written_before.pairs
        head = dict(written_before.head)
        given = recording
        if recording is None and written_before.recording:
            recording = beside_or_above(folder, written_before.recording)
        heard = hear_file(talk, recording, answers, written_before.unread, of_script=given is None)
        if given is not None and not has_errors(heard):
            head.update([recording_line(given, folder)])
        heard = with_head(heard, head, folder)
    except LinewrightError as error:
        typer.echo(f"linewright hear: {error}", err=True)
        raise typer.Exit(2) from error
    if as_json:
        import json

        from linewright.hearing import as_record

        typer.echo(json.dumps(as_record(heard), ensure_ascii=False, indent=1))
        raise typer.Exit(1 if has_errors(heard) else 0)
    script = script_in(heard, folder)
    if not heard.transcript.words or (heard.transcript.refused and script.exists()):
        typer.echo(report_text(heard))
        stays = f": {script} stays as it is" if script.exists() else ""
        typer.echo(f"linewright hear: nothing is written{stays}", err=True)
        raise typer.Exit(2)
    try:
        kept = keep_script(heard, folder, answers)
        judged, again = statements_of(heard), otherwise_than_before(heard, folder)
        written = write_all(heard, folder, answers, judged, again)
    except LinewrightError as error:
        typer.echo(f"linewright hear: {error}", err=True)
        raise typer.Exit(2) from error
    typer.echo(report_text(heard, judged, again))
    if recording is not None and (told := measured_text(heard, recording)):
        typer.echo(told)
    typer.echo(wrote_text(written, kept))
    raise typer.Exit(1 if has_errors(heard) else 0)
