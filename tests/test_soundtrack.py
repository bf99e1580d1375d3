"""Times from the draft voice and from a recording: one timeline for every output."""

from __future__ import annotations

import re
import wave
from pathlib import Path

import pytest
from typer.testing import CliRunner

from linewright.build import examine, timing_of
from linewright.cli import app
from linewright.finding import Severity
from linewright.following import follow
from linewright.script import parse
from linewright.soundtrack import voiced
from linewright.source import Source
from linewright.talk.heard import hear
from linewright.talk.transcript import read_transcript
from linewright.talk.writing import script_text
from linewright.voice import speak

TEXT = """---
title: A short walk
pace: 130
---
# First

We begin with the king's pawn, 1.e4, and Black answers in the centre, 1...e5. Then the knight
comes out, 2.Nf3, and looks at the pawn.
"""


def source(text: str = TEXT) -> Source:
    return Source("walk.md", text)


def test_the_voice_keeps_about_the_pace() -> None:
    lesson = follow(
        parse(source(TEXT + "\nMore words follow here, and we speak them slowly. " * 6))
    )
    timeline, sound = voiced(lesson)
    spoken_ms = sum(p.end_ms - p.start_ms for p in timeline.passages)
    words = sum(1 for word in timeline.words if word.said)
    assert words * 60_000 / spoken_ms == pytest.approx(130, rel=0.15)
    assert timeline.total_ms == sound.length_ms
    assert timeline.how == "voice"


def test_times_are_ordered_and_boards_change_with_their_words() -> None:
    timeline, _ = voiced(follow(parse(source())))
    starts = [word.start_ms for word in timeline.words]
    assert starts == sorted(starts)
    for cue in timeline.cues:
        if cue.step and cue.step.spoken:
            word = next(
                w
                for w in timeline.words
                if w.span == cue.step.span or w.span.start >= cue.step.span.start
            )
            assert cue.start_ms == word.start_ms and cue.measured


def test_the_same_lesson_sounds_the_same() -> None:
    lesson = follow(parse(source()))
    assert voiced(lesson)[1].pcm == voiced(lesson)[1].pcm


def test_a_recording_of_the_lesson_is_measured(tmp_path: Path) -> None:
    spoken, sound = voiced(follow(parse(source())))
    (tmp_path / "talk.wav").write_bytes(sound.wav())
    text = TEXT.replace("pace: 130", "pace: 130\nrecording: talk.wav")
    report = examine(source(text), timed=timing_of(tmp_path))
    assert report.timeline.how == "recording"
    pairs = zip(report.timeline.words, spoken.words, strict=True)
    errors = sorted(abs(a.start_ms - b.start_ms) for a, b in pairs)
    assert errors[len(errors) // 2] <= 80
    assert sum(word.measured for word in report.timeline.words) > 0.8 * len(errors)


def silent(path: Path) -> None:
    with wave.open(str(path), "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(16_000)
        file.writeframes(bytes(2 * 16_000 * 2))


@pytest.mark.parametrize("fault", ["is silent", "does not say these words", "invalid", "no such"])
def test_a_recording_that_cannot_be_used_is_a_finding(tmp_path: Path, fault: str) -> None:
    """Found in use: the draft voice spoke, or captions ran ten times too fast, "nothing to mend"."""
    path = tmp_path / "walk.wav"
    if fault == "is silent":
        silent(path)
    elif fault == "invalid":
        path.write_text("no sound at all " * 50)
    elif fault != "no such":
        path.write_bytes(
            speak(("Cakes need flour, sugar and butter. " * 6).split(), pace=140).wav()
        )
    text = TEXT.replace("pace: 130", "pace: 130\nrecording: walk.wav")
    report = examine(source(text), timed=timing_of(tmp_path))
    found = next(one for one in report.findings if one.rule == "unusable-recording")
    assert found.severity is Severity.ERROR and not report.clean
    assert source(text).words(found.span) == "recording" and fault in found.message
    assert report.timeline.how == "voice" and report.sound is not None
    assert report.timeline.total_ms > 8000, "not squeezed into the recording"


def test_captions_of_a_heard_script_then_have_the_times_of_its_talk(tmp_path: Path) -> None:
    told = SPOKEN.replace("\n", " ").replace("The knight", "\n[0:40] The knight")
    (tmp_path / "evening.txt").write_text(f"[0:05] {told}")
    silent(tmp_path / "evening.wav")
    text = script_text(hear(read_transcript(Source("evening.txt", f"[0:05] {told}"))))
    text = text.replace("---\n\n", "recording: evening.wav\n---\n\n", 1)
    script = tmp_path / "evening.md"
    script.write_text(text)
    only = ["--quick", "--only", "captions", "--out", str(tmp_path / "made")]
    built = CliRunner().invoke(app, ["build", str(script), *only])
    assert built.exit_code == 1 and "1 error" in built.output
    assert re.search(r"evening\.md:\d+:1 error unusable-recording: .*is silent", built.output)
    assert "captions have the times of the talk" in built.output
    assert "00:00:40" in next((tmp_path / "made").glob("*.vtt")).read_text()


def test_check_tells_of_a_missing_recording_at_once(tmp_path: Path) -> None:
    script = tmp_path / "walk.md"
    script.write_text(TEXT.replace("pace: 130", "pace: 130\nrecording: gone.mp3"))
    for more in (["--quick"], []):
        checked = CliRunner().invoke(app, ["check", *more, str(script)])
        assert checked.exit_code == 1 and "unusable-recording" in checked.output
        assert "gone.mp3" in checked.output


def test_a_check_takes_the_length_of_a_recording_without_looking_for_words(tmp_path: Path) -> None:
    lesson = follow(parse(source()))
    _, sound = voiced(lesson)
    with wave.open(str(tmp_path / "talk.wav"), "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(sound.rate_hz)
        file.writeframes(sound.pcm + bytes(2 * 5 * sound.rate_hz))
    text = TEXT.replace("pace: 130", "pace: 130\nrecording: talk.wav")
    report = examine(source(text), timed=timing_of(tmp_path, aligned=False))
    assert report.timeline.total_ms == pytest.approx(sound.length_ms + 5000, abs=20)
    assert not any(word.measured for word in report.timeline.words)
    assert report.timeline.words[-1].end_ms <= report.timeline.total_ms


SPOKEN = """White begins with the king's pawn and plays e4, and Black puts his own pawn on e5.
The knight comes out to f3, and Black's knight goes to c6. Then the bishop slides to b5, where it
looks at the knight. Now the pawn steps up to a6, and the bishop goes back to a4. White is happy.
"""


def heard_and_spoken(folder: Path, extra: str = "") -> tuple[str, list[int]]:
    """The script heard from a talk in a folder, beside its recording, and when each word begins."""
    (folder / "evening.txt").write_text(SPOKEN)
    sound = speak([*extra.split(), *SPOKEN.split()], pace=130)
    (folder / "evening.wav").write_bytes(sound.wav())
    text = script_text(hear(read_transcript(Source("evening.txt", SPOKEN))))
    text = text.replace("---\n\n", "recording: evening.wav\n---\n\n", 1)
    return text, [start for start, _ in sound.words]


def test_a_recording_is_held_against_the_words_of_the_talk(tmp_path: Path) -> None:
    """Found in use: the script's words were looked for, moves said twice; boards came 3 s late."""
    text, begins = heard_and_spoken(tmp_path)
    assert "to f3 2.Nf3" in text and "to a4 4.Ba4" in text
    report = examine(source(text), timed=timing_of(tmp_path))
    assert report.timeline.how == "recording" and not report.notes
    said = [word for word in report.timeline.words if word.said]
    errors = [abs(a.start_ms - b) for a, b in zip(said, begins, strict=True)]
    assert max(errors) <= 250 and all(word.measured for word in said)


def test_an_edited_script_that_was_recorded_anew_is_measured(tmp_path: Path) -> None:
    added = "Let me say before we begin that this is an old opening and a good one for a club. "
    text, begins = heard_and_spoken(tmp_path, added)
    text = text.replace("White begins with", f"{added}White begins with")
    report = examine(source(text), timed=timing_of(tmp_path))
    measured = [word for word in report.timeline.words if word.measured]
    assert measured[0].said == "Let" and abs(measured[0].start_ms - begins[0]) <= 250


def test_what_is_done_without_the_talk_is_said(tmp_path: Path) -> None:
    text, _ = heard_and_spoken(tmp_path)
    (tmp_path / "evening.txt").unlink()
    report = examine(source(text), timed=timing_of(tmp_path))
    assert report.notes[0].startswith("the talk 'evening.txt' is not beside the script: ")
