"""The commands as a teacher meets them: what they print, exit codes, bad input, nothing lost."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from importlib import resources
from pathlib import Path
from typing import IO

import jsonschema
import pytest

from linewright.build import KeptFiles, examine, load, write, write_file
from linewright.checks import all_checks
from linewright.cli import main
from linewright.errors import CannotReadError, CannotWriteError
from linewright.following import follow
from linewright.outputs import Artifact, output_names
from linewright.script import parse
from linewright.source import Source

EXAMPLES = Path(__file__).parent.parent / "examples"
CLEAN = EXAMPLES / "exchange-variation.md"
FAULTY = EXAMPLES / "exchange-variation-with-faults.md"


@pytest.fixture
def run(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]):  # type: ignore[no-untyped-def]
    """Runs the program in this process: exit code, what it printed, what it complained of."""

    def runner(*arguments: str) -> tuple[int, str, str]:
        monkeypatch.setattr(sys, "argv", ["linewright", *arguments])
        with pytest.raises(SystemExit) as ended:
            main()
        code = ended.value.code
        out = capsys.readouterr()
        return (code if isinstance(code, int) else 0 if code is None else 1), out.out, out.err

    return runner


def test_exit_codes(run) -> None:  # type: ignore[no-untyped-def]
    assert run("check", "--quick", str(CLEAN))[0] == 0
    assert run("check", "--quick", str(FAULTY))[0] == 1
    assert run("check", "--quick", "nowhere.md")[0] == 2


@pytest.mark.parametrize("command", ["hear", "build", "check"])
def test_a_folder_is_no_talk_and_no_lesson(run, command: str) -> None:  # type: ignore[no-untyped-def]
    for folder in (".", "/", ""):
        code, _, told = run(command, folder)
        assert code == 2 and "it is a folder" in told


def test_a_talk_without_an_ending_has_a_folder_of_its_own(run, tmp_path: Path) -> None:  # type: ignore[no-untyped-def]
    talk = tmp_path / "monday"
    talk.write_text("We open with e4, and he answers with e5.", "utf-8")
    assert run("hear", str(talk))[0] == 0
    assert (tmp_path / "monday-lesson" / "monday.script.md").exists()
    code, _, told = run("hear", str(talk), "--out", str(talk))
    assert code == 2 and "it is a file" in told


def test_a_file_without_tags_is_perhaps_no_game_file(run, tmp_path: Path) -> None:  # type: ignore[no-untyped-def]
    notes, made = tmp_path / "notes.md", tmp_path / "made.md"
    notes.write_text("1. e4 e5 2. Nf3\n", "utf-8")
    code, out, _ = run("new", str(made), "--from", str(notes))
    assert code == 0 and "perhaps it is no game file" in out


def test_the_text_shows_place_words_and_message(run) -> None:  # type: ignore[no-untyped-def]
    _, out, _ = run("check", "--quick", str(FAULTY))
    assert "illegal-move" in out and "3.Nd3" in out and "‾‾‾" in out
    assert "perhaps 3.Nc3" in out


def test_a_place_is_printed_as_it_stands(run, tmp_path: Path) -> None:  # type: ignore[no-untyped-def]
    """Found in use: `lesson.md:100:15` was printed with the emoji of a hundred in it."""
    lesson = tmp_path / "notes[b].md"
    lesson.write_text("\n" * 99 + "White begins 1.e4 e5 2.Nf6 Nc6 3.Bb5.\n")
    for command in (("check", "--quick"), ("build", "--quick", "--only", "game-file")):
        _, out, _ = run(*command, str(lesson))
        assert "notes[b].md:100:" in out
        assert "notes[b].md: 1 error" in out


def test_one_place_makes_the_console() -> None:
    """So that no command reads markup or emoji codes in a user's words."""
    package = Path(__file__).parent.parent / "src" / "linewright"
    makers = [p.name for p in package.rglob("*.py") if re.search(r"\bConsole\(", p.read_text())]
    assert makers == ["terminal.py"]


def test_json_follows_its_published_schema(run) -> None:  # type: ignore[no-untyped-def]
    code, out, _ = run("check", "--quick", "--json", str(FAULTY), str(CLEAN))
    data = json.loads(out)
    printed = run("check", "--schema")[1]
    schema = json.loads(printed)
    stored = resources.files("linewright").joinpath("schemas/check.schema.json")
    assert printed == stored.read_text("utf-8")
    jsonschema.Draft202012Validator.check_schema(schema)
    jsonschema.validate(data, schema)
    assert code == 1
    finding = next(f for f in data["findings"] if f["rule"] == "illegal-move")
    line = FAULTY.read_text("utf-8").split("\n")[finding["line"] - 1]
    column = finding["column"] - 1
    assert line[column : column + len(finding["words"])] == finding["words"] == "3.Nd3"
    assert finding["repairs"][0] == "3.Nc3"
    assert len(data["lessons"]) == 2


@pytest.mark.parametrize(
    ("name", "data", "code"),
    [
        ("empty.md", b"", 1),
        ("latin.md", "1.d4 caf\u00e9".encode("cp1252"), 1),
        ("nul.md", b"1.d4 \0 d5", 1),
        ("list.md", b"---\n- a\n- b\n---\n1.d4", 1),
        ("bomb.md", b"---\na: &a [x,x]\nb: &b [*a,*a]\nc: [*b,*b]\n---\n1.d4", 1),
        ("tag.md", b"---\na: !!python/object/apply:os.getcwd []\n---\n1.d4", 1),
        ("binary.md", bytes(range(256)) * 20, 1),
        ("name with spaces and \u00e9\u00e8.md", b"1.d4 d5", 0),
    ],
)
def test_any_file_is_a_finding_and_no_traceback(  # type: ignore[no-untyped-def]
    run, tmp_path: Path, name: str, data: bytes, code: int
) -> None:
    path = tmp_path / name
    path.write_bytes(data)
    got, out, err = run("check", "--quick", str(path))
    assert got == code, out
    assert "Traceback" not in out + err
    assert path.read_bytes() == data


def test_what_cannot_be_read_is_one_line(run, tmp_path: Path) -> None:  # type: ignore[no-untyped-def]
    long = tmp_path / "long.md"
    long.write_bytes(b"word " * 1_100_000)
    for path in (tmp_path, long, tmp_path / "none.md"):
        code, _, err = run("check", "--quick", str(path))
        assert code == 2
        assert err.startswith("linewright: cannot read") and err.count("\n") == 1
    with pytest.raises(CannotReadError):
        load(tmp_path)


def test_ten_thousand_moves_and_five_hundred_branches() -> None:
    shuffle = ["Nf3 Nf6", "Ng1 Ng8"]
    moves = " ".join(f"{k + 1}.{shuffle[k % 2]}" for k in range(5000))
    read = follow(parse(Source("long.md", f"Play {moves} on.")))
    assert not read.slips and len(read.tree.nodes) == 10_001
    branches = " ".join(
        f"(1.d4 d5 2.c4 e6 3.Nc3 Nf6 4.{m} a6)" for m in ["Bg5", "Nf3", "cxd5"] * 170
    )
    read = follow(parse(Source("wide.md", f"1.e4 e5 {branches} 2.Nf3")))
    assert not read.slips
    assert len(examine(Source("many.md", "(1.e4 " * 500)).findings) > 0


def test_an_unknown_output_paper_or_rule_names_those_there_are(run) -> None:  # type: ignore[no-untyped-def]
    for arguments, known in (
        (("build", str(CLEAN), "--only", "booklet"), "handout"),
        (("build", str(CLEAN), "--paper", "a3"), "us-letter"),
        (("build", str(CLEAN), "--shape", "round"), "square"),
        (("rules", "no-such-rule"), "illegal-move"),
    ):
        code, _, err = run(*arguments)
        assert code == 2 and known in err and err.count("\n") == 1


def test_build_says_which_outputs_there_are(run) -> None:  # type: ignore[no-untyped-def]
    """Found in use: the names that --only takes were told only where a wrong one was given."""
    code, out, _ = run("build", "--help")
    told = " ".join(re.sub(r"[│╭╮╰╯─]", " ", out).split())
    assert code == 0 and f"Make only this output, of {', '.join(output_names())};" in told


def test_outputs_may_be_listed_with_commas(run, tmp_path: Path) -> None:  # type: ignore[no-untyped-def]
    """Found in use: "page,handout" was refused as the name of no output."""
    listed = "captions, game-file"
    run("build", "--quick", str(CLEAN), "--only", listed, "--out", str(tmp_path))
    assert {path.suffix for path in tmp_path.iterdir()} == {".vtt", ".srt", ".pgn"}


def test_a_build_leaves_foreign_files_alone(run, tmp_path: Path) -> None:  # type: ignore[no-untyped-def]
    out = tmp_path / "out folder"
    out.mkdir()
    (out / "mine.txt").write_text("keep")
    code, printed, _ = run("build", "--quick", str(CLEAN), "--only", "captions", "--out", str(out))
    assert code == 0
    assert (out / "mine.txt").read_text() == "keep"
    names = {path.name for path in out.iterdir()}
    assert names == {"mine.txt", "exchange-variation.en.vtt", "exchange-variation.en.srt"}
    assert "exchange-variation.en.vtt" in printed


def test_the_same_input_gives_the_same_bytes(run, tmp_path: Path) -> None:  # type: ignore[no-untyped-def]
    only = [x for name in ("captions", "game-file", "prompt-sheet", "page", "proof", "handout")
            for x in ("--only", name)]  # fmt: skip
    made = []
    for folder in ("one", "two"):
        run("build", "--quick", str(CLEAN), *only, "--out", str(tmp_path / folder))
        made.append({p.name: p.read_bytes() for p in (tmp_path / folder).iterdir()})
    assert made[0] == made[1]
    assert len(made[0]) == 7


@pytest.mark.skipif(os.name == "nt" or os.geteuid() == 0, reason="root may write anywhere")
def test_a_folder_that_may_not_be_written(run, tmp_path: Path) -> None:  # type: ignore[no-untyped-def]
    tmp_path.chmod(0o500)
    code, _, err = run(
        "build", "--quick", str(CLEAN), "--only", "captions", "--out", str(tmp_path / "x")
    )
    assert code == 2 and "cannot write" in err


def test_a_file_in_the_way_of_the_folder_is_one_line(run, tmp_path: Path) -> None:  # type: ignore[no-untyped-def]
    blocked = tmp_path / "file"
    blocked.write_text("")
    code, _, err = run("build", "--quick", str(CLEAN), "--only", "captions", "--out", str(blocked))
    assert code == 2 and "cannot write" in err and err.count("\n") == 1


def test_an_interrupted_write_leaves_the_old_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "page.html"
    path.write_bytes(b"old")

    def full(handle: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(CannotWriteError) as error:
        write_file(path, b"new")
    assert "no space left" in str(error.value)
    assert path.read_bytes() == b"old"
    assert [p.name for p in tmp_path.iterdir()] == ["page.html"]


def test_artifacts_are_written_whole(tmp_path: Path) -> None:
    paths = write(tmp_path / "new", [Artifact("a.txt", "text/plain", b"a")])
    assert [path.read_bytes() for path in paths] == [b"a"]


def test_kept_film_parts_come_back_and_a_missing_folder_is_no_matter(tmp_path: Path) -> None:
    kept = KeptFiles(tmp_path / "film")
    assert kept.get("key") is None
    kept.put("key", b"part")
    assert kept.get("key") == b"part"
    (tmp_path / "blocked").write_text("")
    KeptFiles(tmp_path / "blocked" / "film").put("key", b"part")


def test_a_new_script_is_clean_and_never_overwrites(run, tmp_path: Path) -> None:  # type: ignore[no-untyped-def]
    path = tmp_path / "my-lesson.md"
    assert run("new", str(path))[0] == 0
    assert run("check", "--quick", str(path))[0] == 0
    code, _, err = run("new", str(path))
    assert code == 2 and "nothing is overwritten" in err


def test_a_script_from_a_game(run, tmp_path: Path) -> None:  # type: ignore[no-untyped-def]
    game = tmp_path / "game.pgn"
    game.write_text('[Event "Cup"]\n\n1. e4 {best} e5 $146 2. Nf3 *\n')
    code, out, _ = run("new", str(tmp_path / "l.md"), "--from", str(game))
    assert code == 0 and "not kept" in out and "ask before you publish" in out
    assert "'for: White' or 'for: Black'" in out
    assert run("check", "--quick", str(tmp_path / "l.md"))[0] == 0
    game.write_text('[Event "Cup"]\n[Taught "Black"]\n\n1. e4 {best} e5 2. Nf3 *\n')
    assert "for: White" not in run("new", str(tmp_path / "t.md"), "--from", str(game))[1]
    empty = tmp_path / "empty.pgn"
    empty.write_text("nothing")
    assert run("new", str(tmp_path / "m.md"), "--from", str(empty))[0] == 2


def test_pictures_and_clips(run, tmp_path: Path) -> None:  # type: ignore[no-untyped-def]
    for name, start in (("b.svg", b"<svg"), ("b.png", b"\x89PNG")):
        path = tmp_path / name
        assert run("picture", str(CLEAN), "--at", "6.Nxd5", "--out", str(path))[0] == 0
        assert path.read_bytes().startswith(start)
    clip = tmp_path / "trap.gif"
    assert (
        run("clip", str(CLEAN), "--line", "6.Nxd5", "--shape", "200x200", "--out", str(clip))[0]
        == 0
    )
    assert clip.read_bytes().startswith(b"GIF89a")
    code, _, err = run("picture", str(CLEAN), "--at", "99.Kh9", "--out", str(tmp_path / "c.svg"))
    assert code == 2 and "stands nowhere" in err
    code, _, err = run("picture", str(CLEAN), "--at", "9.Nxd5", "--out", str(tmp_path / "c.svg"))
    assert code == 2 and "perhaps 6.Nxd5" in err
    for command in (["picture", "--at"], ["clip", "--line"]):
        code, _, err = run(command[0], str(CLEAN), command[1], "", "--out", str(tmp_path / "c.gif"))
        assert code == 2 and "no place is named" in err
    code, _, err = run("picture", str(CLEAN), "--at", "the", "--out", str(tmp_path / "d.svg"))
    assert code == 0 and "the first, in line" in err


def test_rules_are_listed_and_explained(run) -> None:  # type: ignore[no-untyped-def]
    _, listed, _ = run("rules")
    for check in all_checks():
        assert check.name in listed
    _, told, _ = run("rules", "illegal-move")
    assert "Limits" in told and "Source" in told


@pytest.mark.parametrize("command", ["check", "build", "new", "rules", "picture", "clip"])
def test_help_has_examples(run, command: str) -> None:  # type: ignore[no-untyped-def]
    code, out, _ = run(command, "--help")
    assert code == 0 and f"linewright {command}" in out


def test_every_output_is_listed() -> None:
    assert set(output_names()) >= {
        "captions", "film", "game-file", "handout", "page", "prompt-sheet", "proof",
    }  # fmt: skip


def test_watch_checks_again_when_a_script_is_saved(tmp_path: Path) -> None:
    path = tmp_path / "lesson.md"
    path.write_text("1.e4 e5 2.Nf4", "utf-8")
    command = [sys.executable, "-u", "-m", "linewright", "check", "--quick", "--watch", str(path)]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as watching:
        assert watching.stdout is not None
        try:
            read_until(watching.stdout, "1 error")
            path.write_text("1.e4 e5 2.Nf3", "utf-8")
            os.utime(path, (2_000_000_000, 2_000_000_000))
            read_until(watching.stdout, "nothing to mend")
        finally:
            watching.kill()


def read_until(stream: IO[str], words: str) -> None:
    """Reads lines up to one that holds the words; a stream that ends without them fails."""
    for line in stream:
        if words in line:
            return
    pytest.fail(f"'{words}' never came")


def test_a_rule_mistyped_is_offered(run) -> None:  # type: ignore[no-untyped-def]
    code, _, err = run("rules", "ilegal-move")
    assert code == 2
    assert err == "linewright: there is no rule 'ilegal-move': did you mean 'illegal-move'?\n"


@pytest.mark.parametrize("command", [["verify"], ["info"], ["remove", "club.pgn"]])
def test_a_collection_that_is_not_there_is_told_and_not_made(  # type: ignore[no-untyped-def]
    run, tmp_path: Path, command: list[str]
) -> None:
    folder = tmp_path / "doesnotexist"
    code, out, err = run("games", *command, "-c", str(folder))
    assert (code, out) == (2, "")
    assert "there is no collection" in err
    assert not folder.exists()


ACCEPTED = """---
for: White
accept:
  - {rule: taught-move-loses, place: 3.e3, because: shown so}
---
The main line is 1.d4 d5 2.c4 e6 3.e3 Nf6.
"""


def test_rules_that_did_not_run_accept_what_they_like(run, tmp_path: Path) -> None:  # type: ignore[no-untyped-def]
    script = tmp_path / "a.md"
    script.write_text(ACCEPTED)
    assert run("check", "--quick", str(script))[0] == 0
    script.write_text(ACCEPTED.replace("taught-move-loses", "illegal-move"))
    assert "accept-of-nothing" in run("check", "--quick", str(script))[1]
    script.write_text(ACCEPTED.replace("taught-move-loses", "taught-moves-lose"))
    assert "accept-of-nothing" in run("check", "--quick", str(script))[1]


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("", "no words"),
        ("---\ntitle: A\n---\n\n<!-- to be written -->\n", "no words"),
        ("# A plan\n\nWelcome. We look at it.\n", "no moves"),
    ],
)
def test_an_empty_lesson_is_a_finding_and_is_not_built(  # type: ignore[no-untyped-def]
    run, tmp_path: Path, text: str, why: str
) -> None:
    script = tmp_path / "empty.md"
    script.write_text(text)
    code, out, _ = run("check", "--quick", str(script))
    assert code == 1 and "empty-lesson" in out and why in out
    code, out, err = run("build", "--quick", str(script), "--only", "game-file")
    assert code == 2 and "is not built: the lesson has" in err and why in err
    assert [path.name for path in tmp_path.iterdir()] == ["empty.md"]


def test_a_lesson_of_exercises_or_of_one_board_is_not_empty(run, tmp_path: Path) -> None:  # type: ignore[no-untyped-def]
    script = tmp_path / "sheet.md"
    mate = "fen: 6k1/5ppp/8/8/8/8/8/R5K1 w - - 0 1\nanswer: 1.Ra8#"
    for text in (
        f"```exercise\nWhite mates.\n{mate}\n```\n",
        "---\nstart: 6k1/5ppp/8/8/8/8/8/R5K1 w - - 0 1\n---\n\nThe back rank is weak.\n",
        "[Picture it with kings and pawns](?only=KP) tonight.\n",
    ):
        script.write_text(text)
        assert "empty-lesson" not in run("check", "--quick", str(script))[1]


def test_a_quick_build_finds_what_a_quick_check_finds(run, tmp_path: Path) -> None:  # type: ignore[no-untyped-def]
    script = tmp_path / "a.md"
    script.write_text("After 1.e4 e5 2.Nf3 Nc6 Black has the bishop pair and White is a pawn up.\n")
    checked = run("check", "--quick", str(script))[1].split("a.md: ")[-1].split(" (")[0]
    built = run("build", "--quick", str(script), "--only", "game-file")[1]
    assert checked == "1 error"
    assert f"a.md: {checked} (" in built


def test_a_quick_check_asks_no_voice(  # type: ignore[no-untyped-def]
    run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It would take longer than all else together."""
    asked = []

    def voice(folder: Path, *, aligned: bool = True) -> None:
        asked.append(folder)

    monkeypatch.setattr("linewright.build.timing_of", voice)
    script = tmp_path / "l.md"
    script.write_text("---\ntitle: T\n---\n\nWhite begins with 1.e4, and 1...e5.\n", "utf-8")
    assert run("check", "--quick", str(script))[0] == 0
    assert asked == []


def test_a_lesson_is_as_long_for_check_as_for_build(run, tmp_path: Path) -> None:  # type: ignore[no-untyped-def]
    script = tmp_path / "a.md"
    text = "After 1.e4 e5 2.Nf3 Nc6 the knight defends the pawn, and 3.Bb5 looks at the knight.\n"
    script.write_text(
        f"---\ntitle: A long walk\n---\n\n{text}\n" + f"{text}\n" * 25 + "Look. Here. Now. " * 30
    )
    data = json.loads(run("check", "--json", str(script))[1])
    checked = run("check", str(script))[1].splitlines()
    built = run("build", str(script), "--only", "prompt-sheet")[1].splitlines()
    told = next(line for line in checked if "spoken words" in line)
    assert told.partition("a.md: ")[2] in "\n".join(built)
    at_pace = examine(*load(script)).timeline.total_ms
    assert abs(1000 * data["lessons"][0]["seconds"] - at_pace) > 2000, "the voice takes its time"


def test_the_folder_of_a_lesson_has_its_name_once(run, tmp_path: Path) -> None:  # type: ignore[no-untyped-def]
    """Found in use: `nimzo-lesson.md` was built into `nimzo-lesson-lesson`."""
    script = tmp_path / "nimzo-lesson.md"
    script.write_text("1.d4 Nf6 2.c4 e6 3.Nc3 Bb4 is the line of tonight.\n", "utf-8")
    run("build", "--quick", str(script), "--only", "game-file")
    assert (tmp_path / "nimzo-lesson" / "nimzo-lesson.pgn").is_file()


def test_a_fault_of_the_program_is_not_taken_for_findings(run, monkeypatch) -> None:  # type: ignore[no-untyped-def]
    def broken(*_: object, **__: object) -> None:
        raise RuntimeError("a screw is loose")

    monkeypatch.setattr("linewright.asking.ask", broken)
    code, _, complaint = run("ask", "White has a knight on f3.")
    assert code == 2
    assert "a screw is loose" in complaint
    assert complaint.rstrip().endswith("linewright: stopped by a fault of its own")
