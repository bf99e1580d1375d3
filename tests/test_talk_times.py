"""Captions of a heard script have the times and the stops of its talk."""

from __future__ import annotations

import random
import re
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path

import chess
import pytest
from typer.testing import CliRunner

from linewright import talk_times
from linewright.build import Timed, by_talk, paced, timing_of
from linewright.captioning import RUSHED_WPM, captions
from linewright.cli import app
from linewright.following import follow
from linewright.lesson import Lesson
from linewright.notation import read_move
from linewright.script import parse
from linewright.soundtrack import voiced
from linewright.source import Source, Span
from linewright.speech import say_move
from linewright.talk.heard import hear
from linewright.talk.transcript import Transcript, read_transcript
from linewright.talk.writing import script_text
from linewright.talk_times import UNSAID_MS, _paired, timed_by_talk
from linewright.timing import Timeline, Word

TALK = """WEBVTT

00:00:04.000 --> 00:00:08.000
Good evening. White plays e4, Black
plays e5. Then knight f3, knight c6.

00:00:20.000 --> 00:00:24.000
Now it is the bishop: he takes aim
with bishop c4, and the bishop comes too.

00:00:31.000 --> 00:00:36.000
We castle. He hits e4 with knight f6.
Is it dangerous? No!
"""


def talk(text: str = TALK) -> Transcript:
    return read_transcript(Source("club.vtt", text))


def lesson(text: str = TALK) -> Lesson:
    return follow(parse(Source("club.script.md", script_text(hear(talk(text))))))


def timed(made: Lesson, told: Transcript) -> Timeline:
    timeline = timed_by_talk(made, told)
    assert timeline is not None
    return timeline


def test_words_of_a_heard_script_have_the_times_of_its_talk() -> None:
    """Found in use: the captions were timed by the draft voice, the talk had times of its own."""
    timeline = timed(lesson(), talk())
    begins = {word.shown.rstrip(".,?!"): word.start_ms for word in timeline.words if word.shown}
    told = {word.text: word.start_ms for word in talk().words}
    assert begins["Good"] == told["Good"] == 4000
    assert begins["Now"] == told["Now"] == 20_000
    assert begins["We"] == told["We"] == 31_000
    assert begins["dangerous"] == told["dangerous"]
    assert 20_000 < begins["3.Bc4"] < 24_000 and 31_000 < begins["4...Nf6"] < 36_000
    assert timeline.how == "talk" and timeline.total_ms == 36_000


def test_words_are_in_order_and_none_is_lost() -> None:
    timeline = timed(lesson(), talk())
    for before, after in zip(timeline.words, timeline.words[1:], strict=False):
        assert before.start_ms <= before.end_ms <= after.start_ms
    at_voice = [word for word in timeline.words if word.shown]
    assert len(at_voice) >= 30
    steps = [cue for cue in timeline.cues if cue.step]
    assert [cue.start_ms for cue in steps] == sorted(cue.start_ms for cue in steps)
    assert len(steps) == len(lesson().steps)


def test_captions_keep_the_stops_and_capitals_of_the_talk() -> None:
    made = captions(timed(lesson(), talk()))
    text = " ".join(line for caption in made for line in caption.lines)
    assert made[0].start_ms == 4000
    stops = re.findall(r"[.?!](?= |$)", text)
    assert len(stops) == len(re.findall(r"[.?!](?= |\n|$)", TALK.split("\n\n", 1)[1]))
    for words in (
        "Good evening. White plays 1.e4,",
        "Now it is the bishop:",
        "Is it dangerous? No!",
    ):
        assert words in text


def test_a_script_that_was_edited_keeps_the_times_of_what_was_said() -> None:
    text = script_text(hear(talk())).replace("Good evening.", "A word that was not said. Evening.")
    timeline = timed(follow(parse(Source("a.md", text))), talk())
    now = next(word for word in timeline.words if word.shown == "Now")
    assert now.start_ms == 20_000


@pytest.mark.parametrize(
    ("told", "script"),
    [
        (TALK.split("\n\n", 1)[1].replace(" --> ", " "), ""),
        (TALK, "---\ntalk: club.vtt\n---\n\nThis is another lesson, about 1.d4 d5 2.c4 e6 only.\n"),
    ],
)
def test_without_times_or_with_other_words_there_are_none(told: str, script: str) -> None:
    plain = re.sub(r"\d\d:\d\d:\d\d\.\d+.*\n", "", told) if not script else told
    transcript = read_transcript(Source("club.txt" if not script else "club.vtt", plain))
    made = follow(parse(Source("a.md", script or script_text(hear(transcript)))))
    assert timed_by_talk(made, transcript) is None


def test_build_takes_the_times_of_the_talk_beside_the_script(tmp_path: Path) -> None:
    (tmp_path / "club.vtt").write_text(TALK)
    runner = CliRunner()
    runner.invoke(app, ["hear", str(tmp_path / "club.vtt")])
    script = tmp_path / "club" / "club.script.md"
    only = ["--quick", "--only", "captions", "--out", str(tmp_path / "made")]
    built = runner.invoke(app, ["build", str(script), *only])
    assert "captions have the times of the talk 'club.vtt'" in built.stdout
    made = next((tmp_path / "made").glob("*.vtt")).read_text()
    assert "00:00:20.000 --> " in made and "00:00:31.000 --> " in made
    (tmp_path / "club.vtt").unlink()
    built = runner.invoke(app, ["build", str(script), *only])
    assert "the talk 'club.vtt' is not beside the script" in built.stdout
    assert "00:00:20.000 --> " not in next((tmp_path / "made").glob("*.vtt")).read_text()


def test_the_talk_is_found_from_inside_the_folder_of_the_script(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Found in use: built in its own folder, a script was said to be without its talk."""
    (tmp_path / "club.vtt").write_text(TALK)
    (tmp_path / "club").mkdir()
    monkeypatch.chdir(tmp_path / "club")
    timeline, _ = by_talk(lesson(), Path())
    assert timeline is not None and timeline.how == "talk"


@pytest.mark.parametrize("way", [paced, timing_of])
def test_a_talk_that_is_missing_or_cannot_be_read_is_told(
    way: Callable[[Path], Callable[[Lesson], Timed]],
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Found in use: the draft voice said moves twice, and nothing told that the talk was gone."""
    made = lesson(TWICE)
    (note,) = way(tmp_path)(made).notes
    assert note.startswith("the talk 'club.vtt' is not beside the script: all words of the script")
    (tmp_path / "club.vtt").write_text(TWICE)
    assert way(tmp_path)(made).notes == ()

    def denied(path: Path) -> bytes:
        raise PermissionError(13, "Permission denied", str(path))

    monkeypatch.setattr(Path, "read_bytes", denied)
    (note,) = way(tmp_path)(made).notes
    assert "club.vtt': permission denied: all words" in note and note.endswith("some moves twice")


ADDED = "The bishop on c4 looks at the weak square f7."


def test_words_that_the_talk_does_not_say_can_be_read() -> None:
    """Found in use: a sentence put into the script stood on the screen for 0.7 s."""
    told = talk()
    text = script_text(hear(told)).replace("Now it is the", f"{ADDED} Now it is the")
    assert ADDED in text
    made = captions(timed(follow(parse(Source("club.script.md", text))), told))
    for before, after in pairwise(made):
        assert before.end_ms <= after.start_ms
    for caption in made:
        words = sum(len(line.split()) for line in caption.lines)
        assert words * 60_000 / (caption.end_ms - caption.start_ms) <= RUSHED_WPM, caption
    assert made[-1].start_ms == captions(timed(lesson(), told))[-1].start_ms


def test_captions_that_come_late_are_told(tmp_path: Path) -> None:
    told = talk()
    (tmp_path / "club.vtt").write_text(TALK, "utf-8")
    many = " ".join(["Good evening.", *[ADDED] * 3])
    text = script_text(hear(told)).replace("Good evening.", many)
    script = follow(parse(Source("club.script.md", text)))
    _, notes = by_talk(script, tmp_path)
    assert any(re.match(r"captions come up to [5-9] s after the words", note) for note in notes)
    assert len(by_talk(lesson(), tmp_path)[1]) == 1


def test_words_said_again_in_a_summing_up_are_not_taken_for_those_before() -> None:
    """Found in use: captions came nine seconds late behind words that the talk said twice."""
    told = (
        "so here we retake there with the king pawn and it is level the knight hops in the king"
        " goes home never forget this we retake with the king pawn"
    ).split()
    said = (
        "so here we retake with the king pawn and knight e4 it is level knight hops the king king"
        " g8 goes home never we retake f takes e6 with the king pawn"
    ).split()
    found = _paired(said, told)
    assert found[said.index("level")] == told.index("level")
    assert found[said.index("hops")] == told.index("hops")


TWICE = """WEBVTT

00:00:01.000 --> 00:00:09.000
White plays e4, and Black answers with c5.
The knight goes to f3, and our knight goes to c6.

00:00:20.000 --> 00:00:24.000
Now he pushes to d4, and we take there.
"""


def test_notation_behind_its_own_words_is_not_said() -> None:
    """Found in use: "goes to f3 2.Nf3" was counted, and looked for in the sound, as "goes to f3
    knight f3"."""
    told = talk(TWICE)
    made = lesson(TWICE)
    assert "goes to f3 2.Nf3" in made.script.source.text
    timeline = timed(made, told)
    assert [word.said.strip(".,") for word in timeline.words if word.said] == [
        word.text.strip(".,") for word in told.words
    ]
    knight = next(word for word in timeline.words if word.shown == "2.Nf3,")
    f3 = next(word for word in told.words if word.text == "f3")
    assert (knight.said, knight.start_ms) == ("", f3.end_ms)
    cue = next(cue for cue in timeline.cues if cue.step and cue.step.span.start in knight.span)
    assert cue.start_ms == f3.end_ms


def test_no_caption_and_no_reader_says_a_move_twice(tmp_path: Path) -> None:
    """Found in use: the sheet to read from said "our knight goes to c6 knight c6"."""
    (tmp_path / "club.vtt").write_text(TWICE)
    (tmp_path / "club.script.md").write_text(script_text(hear(talk(TWICE))))
    only = ["--only", "captions", "--only", "prompt-sheet", "--out", str(tmp_path / "made")]
    CliRunner().invoke(app, ["build", str(tmp_path / "club.script.md"), "--quick", *only])
    sheet = next((tmp_path / "made").glob("*-prompt.html")).read_text()
    said = " ".join(re.sub("<[^>]+>", " ", sheet.partition("<body")[2]).split())
    assert "The knight goes to f3, and our knight goes to c6." in said
    assert "he pushes to d4, and we take there." in said
    made = captions(timed(lesson(TWICE), talk(TWICE)))
    text = " ".join(line for caption in made for line in caption.lines)
    assert "1...c5. The knight goes to f3, and our knight goes to c6. Now he pushes to d4," in text
    assert text.endswith("and we take there.")


def test_the_draft_voice_says_what_the_talk_said() -> None:
    at_talk, alone = voiced(lesson(TWICE), talk(TWICE))[0], voiced(lesson(TWICE))[0]
    told = [word.said for word in at_talk.words if word.said]
    assert told.count("knight") == TWICE.count("knight")
    assert len(told) < sum(1 for word in alone.words if word.said)
    assert [cue.fen for cue in at_talk.cues] == [cue.fen for cue in alone.cues]


ADDED_MOVES = "Then black defends with 2...Nc6 and the plan is 3.Bb5. 3...a6 4.Ba4."
ADDED_BLOCK = "A quiet way, as I add at home, is 4...Nf6 5.O-O and there we stop."

GOODBYE = (
    "Thanks for coming, all, mind the stairs, and help me with the chairs before you go home. The"
    " kettle is on for whoever stays, and next week we hold the quick games that we put off."
)


def test_moves_that_a_teacher_adds_to_a_heard_script_are_said_and_shown() -> None:
    """Found in use: moves in a sentence added by hand were in no caption and spoken by nobody."""
    told = talk(
        "WEBVTT\n\n00:00:01.000 --> 00:00:09.000\nWhite plays e4, and Black answers with e5.\n"
        f"White brings out the knight.\n\n00:00:20.000 --> 00:00:28.000\n{GOODBYE}\n"
    )
    front = "---\ntalk: club.vtt\n---\n\n"
    heard = "White plays 1.e4, and Black answers with 1...e5. White brings out the knight 2.Nf3."
    text = f"{front}{heard} {ADDED_MOVES} {GOODBYE}\n\n{ADDED_BLOCK}\n"
    made = follow(parse(Source("club.script.md", text)))
    timeline = timed(made, told)
    shown = " ".join(line for caption in captions(timeline) for line in caption.lines)
    assert f"brings out the knight. {ADDED_MOVES} Thanks" in shown
    assert shown.endswith(ADDED_BLOCK)
    for words in (timeline.words, voiced(made, told)[0].words):
        unsaid = [word.shown for word in words if word.shown and not word.said]
        assert unsaid == ["2.Nf3."]


def test_all_words_of_a_script_that_has_others_than_its_talk_are_said() -> None:
    """Found in use: the draft voice left moves out where another talk was named."""
    text = (
        "---\ntalk: club.vtt\n---\n\nAnother lesson, about Black: 1.d4 d5 2.c4 e6, no other. We\n"
    )
    made = follow(parse(Source("club.script.md", text)))
    assert all(word.said for word in voiced(made, talk("WEBVTT\n"))[0].words)
    other = talk("WEBVTT\n\n00:00:01.000 --> 00:00:03.000\nBlack no\n")
    assert all(word.said for word in voiced(made, other)[0].words)


def word(said: str, shown: str, at: int = 0) -> Word:
    return Word(Span(at, at + 1), said, shown, 0, 0, 900)


@pytest.mark.parametrize(
    ("words", "shown"),
    [
        ([word("he", "he"), word("", "4.Qxf7#!")], "he!"),
        ([word("takes", "takes"), word("", "4...Bxe5,"), word("", ""), word("e5,", "")], "takes e5,"),
        ([word("so", "so"), word("", "(4.Nf3"), word("then", "then")], "so then"),
        ([word("so", "so"), word("", "(4.Nf3)."), word("Then", "Then")], "so. Then"),
        ([word("", "4.Nf3"), word("", ""), word("it", "it")], "it"),
        ([word("", ""), word("", "4.Nf3,"), word("it", "it")], "it"),
        ([word("so", "so"), word("", "“4.Nf3”"), word("it", "it")], "so it"),
        ([word("so", "so"), word("", "“(4.Nf3)"), word("then", "then”")], "so “then”"),
        ([word("so", "so"), word("", "(4.Nf3"), word("", "Nc6),"), word("it", "it")], "so, it"),
        ([word("so", "“so"), word("", "4.Nf3”"), word("it", "it")], "“so” it"),
        ([word("so", "so"), word("", "“4...Bxe5,"), word("e5,", ""), word("it", "it”")], "so “e5, it”"),
        ([word("so", "so"), word("", "...Nf6"), word("it", "it")], "so it"),
        ([word("", "–"), word("queen", "4.Qh5#"), word("h5", ""), word("", "")], "– 4.Qh5#"),
    ],
)  # fmt: skip
def test_marks_of_notation_that_is_not_said_are_kept(words: list[Word], shown: str) -> None:
    made = captions(Timeline(tuple(words), (), (), (), 1000))
    assert " ".join(line for caption in made for line in caption.lines) == shown


def test_a_block_of_which_nothing_is_said_has_no_caption() -> None:
    """Found in use: captions failed where a block began with notation that its talk leaves out."""
    assert captions(Timeline((word("", ""), word("", "4.Nf3,")), (), (), (), 1000)) == []


def test_a_move_said_in_other_words_is_said() -> None:
    told = talk(TWICE.replace("knight goes to f3", "night goes to eff three"))
    timeline = timed(lesson(TWICE), told)
    assert next(word for word in timeline.words if word.shown == "2.Nf3,").said


def test_notation_that_is_not_said_holds_no_caption_through_a_pause() -> None:
    made = captions(timed(lesson(TWICE), talk(TWICE)))
    last = max(caption.end_ms for caption in made if caption.start_ms < 20_000)
    assert last <= 9000 + 2 * UNSAID_MS


def test_long_texts_are_parted_where_both_say_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    chance = random.Random(7)
    told = [
        chance.choice("we take back the knight pawn goes on here so and it is".split())
        for _ in range(600)
    ]
    said = [word for word in told for word in ([word, "Nf3"] if chance.random() < 0.05 else [word])]
    whole = _paired(said, told)
    monkeypatch.setattr(talk_times, "MOST_PAIRS", 20_000)
    parted = _paired(said, told)
    assert len(parted) == len(whole) == len(told)
    assert all(said[k] == told[n] for k, n in parted.items())
    assert list(parted.values()) == sorted(parted.values())


def test_long_texts_that_say_nothing_alike_are_not_held_against_each_other(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(talk_times, "MOST_PAIRS", 20_000)
    assert _paired(["one", "two"] * 200, ["two", "three"] * 200) == {}


LEADS = ("Look at {to}.", "I like {to}, and so does he:", "What stands on {to}?", "Well,", "")
TELLINGS = (
    ("{plain}", "{move}"),
    ("{plain}", "{move}"),
    ("to {to}", "to {to} {move}"),
    ("it comes to {to}", "it comes to {to} {move}"),
)
TRAILS = ("and the square {to} is taken.", "and now {to} is ours.", "with a grip.", "and", "")


def club_game(seed: int) -> tuple[str, str, str]:
    """What a talk says of a game, the script heard from it, and what its captions show."""
    chance, board = random.Random(seed), chess.Board()
    told, script, shown = list[str](), list[str](), list[str]()
    for _ in range(24):
        move = chance.choice(sorted(board.legal_moves, key=str))
        san = board.san(move)
        written = read_move(san)
        assert written is not None
        number = f"{board.fullmove_number}{'.' if board.turn else '...'}{san}"
        lead, trail = chance.choice(LEADS), chance.choice(TRAILS)
        one, other = ("{plain}", "{move}") if written.castling else chance.choice(TELLINGS)
        names = {"to": chess.square_name(move.to_square), "move": number}
        board.push(move)
        for out, how in ((told, one), (script, other), (shown, other.removesuffix(" {move}"))):
            text = f"{lead} {how}, {trail}" if trail else f"{lead} {how}."
            out.append(text.format(plain=say_move(written), **names))
    one, other, third = (" ".join(" ".join(out).split()) for out in (told, script, shown))
    return one, other, third


@pytest.mark.parametrize("seed", range(40))
def test_captions_keep_every_word_and_every_move(seed: int) -> None:
    """Found in use: "Look at g5. Knight g5, and" was shown as "Look at g5, and": the square of the
    words before was taken for that of the move."""
    told, script, shown = club_game(seed)
    heard = talk(f"WEBVTT\n\n00:00:01.000 --> 00:09:00.000\n{told}\n")
    made = follow(parse(Source("club.script.md", f"---\ntalk: club.vtt\n---\n\n{script}\n")))
    lines = (line for caption in captions(timed(made, heard)) for line in caption.lines)
    assert " ".join(lines) == shown
