"""A file given to the wrong command, or one that is no talk at all."""

from __future__ import annotations

from pathlib import Path

import pytest
from typer.testing import CliRunner

from linewright.build import load_lesson
from linewright.cli import app
from linewright.errors import CannotReadError, UnknownNameError
from linewright.hearing import hear_file

TIMED = "[0:01] White plays e4, Black plays e5.\n[0:07] Knight f3, knight c6.\n"
CAPTIONS = "1\n00:00:01,000 --> 00:00:04,000\nWhite plays e4, Black plays e5.\n"


@pytest.mark.parametrize(("name", "text"), [("a.txt", TIMED), ("a.srt", CAPTIONS), ("a.md", TIMED)])
def test_a_transcript_is_no_lesson(tmp_path: Path, name: str, text: str) -> None:
    """Found in use: its words were judged on the first board, and moves were asked for."""
    talk = tmp_path / name
    talk.write_text(text, "utf-8")
    with pytest.raises(CannotReadError, match="transcript of a talk, run 'linewright hear"):
        load_lesson(talk)


def test_times_in_a_lesson_make_no_transcript_of_it(tmp_path: Path) -> None:
    lesson = tmp_path / "a.md"
    lesson.write_text("[0:10] We begin with 1.e4 e5.\n", "utf-8")
    assert load_lesson(lesson)[0].text


@pytest.mark.parametrize(
    "head", ['title: "Open games"\ntalk: "open.srt"', 'title: "Open games"\nfor: White']
)
def test_a_script_is_no_talk(tmp_path: Path, head: str) -> None:
    """Found in use: a script was heard as a talk, with slips that nobody made."""
    script = tmp_path / "open.script.md"
    script.write_text(f"---\n{head}\n---\n\nWe begin with 1.e4 e5.\n", "utf-8")
    with pytest.raises(CannotReadError, match="lesson script, run 'linewright check") as told:
        hear_file(script)
    assert ("its talk 'open.srt'" in str(told.value)) == ("talk:" in head)


def test_a_talk_without_a_move_is_told(tmp_path: Path) -> None:
    talk = tmp_path / "greeting.txt"
    talk.write_text("Good evening, we play bingo tonight.", "utf-8")
    told = [finding.rule for finding in hear_file(talk).transcript.findings]
    assert "no-moves" in told
    talk.write_text("Good evening, White plays e4.", "utf-8")
    assert "no-moves" not in [finding.rule for finding in hear_file(talk).transcript.findings]


@pytest.mark.parametrize("data", [b"", b"\xff\xfe\x00abcd", b" \n\n"])
def test_of_a_file_without_a_word_nothing_is_written(tmp_path: Path, data: bytes) -> None:
    talk = tmp_path / "talk.vtt"
    talk.write_bytes(data)
    done = CliRunner().invoke(app, ["hear", str(talk)])
    assert done.exit_code == 2 and not (tmp_path / "talk").exists()
    assert "no spoken word was found" in done.stdout
    assert ("is it a text file" in done.stdout) == data.startswith(b"\xff")


def test_where_there_is_no_name_none_is_listed() -> None:
    assert (
        str(UnknownNameError("part", "the trap", ()))
        == "there is no part 'the trap': there is none"
    )
