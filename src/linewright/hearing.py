"""From a talk's file to its report: reading, hearing, judging statements, JSON."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

from linewright.clock import clock
from linewright.errors import CannotReadError
from linewright.talk.heard import Heard, HeardMove, Said, hear
from linewright.talk.transcript import Transcript, read_transcript, source_from_bytes


def hear_file(path: Path, recording: Path | None = None) -> Heard:
    """The talk in a file, heard; with its recording every word gets a measured time.

    Raises: CannotReadError.
    """
    try:
        data = path.read_bytes()
    except OSError as error:
        raise CannotReadError(str(path), (error.strerror or str(error)).lower()) from error
    source, found = source_from_bytes(path.name, data)
    transcript = read_transcript(source)
    transcript = replace(transcript, findings=(*found, *transcript.findings))
    return hear(transcript if recording is None else _timed_by(transcript, recording))


def _timed_by(transcript: Transcript, path: Path) -> Transcript:
    from linewright.talk.align import align_transcript
    from linewright.talk.recording import read_recording

    try:
        with path.open("rb") as file:
            return align_transcript(transcript, read_recording(path.name, file))
    except OSError as error:
        raise CannotReadError(str(path), (error.strerror or str(error)).lower()) from error


def _at(said: Said | None) -> float | None:
    return None if said is None or said.at_ms is None else round(said.at_ms / 1000, 3)


def as_record(heard: Heard) -> dict[str, Any]:
    """The report of `linewright hear --json`."""
    return {
        "talk": heard.transcript.source.name,
        "timing": heard.transcript.timing.value,
        "lines": [
            {"kind": line.kind, "moves": [_move(move) for move in line.moves]}
            for line in heard.lines
        ],
        "slips": [
            {
                "at": _at(slip.said), "said": slip.said.text, "meant": slip.meant,
                "kind": slip.kind, "sure": slip.sure, "stood": slip.stood, "moves": list(slip.line),
            }
            for slip in heard.slips
        ],
        "questions": [
            {
                "at": _at(q.said), "said": q.said.text, "text": q.text,
                "choices": list(q.choices), "moves": list(q.line),
            }
            for q in heard.questions
        ],
        "statements": [],
        "caption_changes": [
            {"at": _at(c.said), "was": c.said.text, "now": c.now, "sure": c.sure}
            for c in heard.caption_changes
        ],
        "what_if": [
            {"at": _at(w.said), "said": w.said.text, "edits": w.edits, "fen": w.fen, "moves": list(w.line)}
            for w in heard.what_if
        ],
        "findings": [
            {"rule": f.rule, "severity": f.severity.value, "message": f.message}
            for f in heard.transcript.findings
        ],
    }  # fmt: skip


def _move(move: HeardMove) -> dict[str, Any]:
    return {"san": move.san, "at": _at(move.said), "said": move.said.text if move.said else None}


def write_all(heard: Heard, folder: Path) -> list[Path]:
    """Writes what a talk gives into a folder; returns the paths."""
    return []


def report_text(heard: Heard) -> str:
    """A short account of a hearing, for the terminal."""
    lines = []
    for slip in heard.slips:
        at = "" if slip.said.at_ms is None else clock(slip.said.at_ms) + " "
        lines.append(f'{at}slip: "{slip.said.text}": {slip.stood}: {slip.meant}')
    return "\n".join(lines)
