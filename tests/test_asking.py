"""`linewright ask`: one statement, a file of them, and the statements of a lesson."""

from __future__ import annotations

import json
import random
import re
from pathlib import Path

import chess
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from typer.testing import CliRunner

import linewright
from linewright.asking import UnreadableQuestionError, answer, answer_lines, ask, read_board
from linewright.cli import app
from linewright.following import follow
from linewright.script import parse
from linewright.source import Source
from linewright.statements import families, judge, summary
from linewright.statements_of_lesson import judge_lesson

BERLIN = "1.e4 e5 2.Nf3 Nc6 3.Bb5 Nf6 4.O-O Nxe4 5.d4 Nd6 6.Bxc6 dxc6 7.dxe5 Nf5 8.Qxd8+ Kxd8 9.Nc3"


# common practice, no source: what every handbook says of this position
@pytest.mark.parametrize(
    "text",
    [
        "Material is even.",
        "Black cannot castle.",
        "Black has the bishop pair.",
        "Black has an unopposed light-squared bishop.",
        "White has four pawns to three on the kingside.",
        "White has three pawns against four on the queenside.",
        "Black's c-pawns are doubled.",
        "It is Black's move.",
        "The queens are off.",
    ],
)
def test_what_everybody_knows_of_the_berlin_ending(text: str) -> None:
    assert [v.verdict for v in ask(text, moves=BERLIN)] == ["holds"]


def test_knights_and_bishops_on_the_way_there() -> None:
    pinned = "e4 e5 Nf3 Nc6 Bb5 Nf6 O-O Nxe4 d4 exd4 Re1".split()
    assert ask("The knight is pinned to the king.", moves=pinned)[0].verdict == "holds"
    hangs = ask("The bishop on b5 hangs.", moves="e4 e5 Nf3 Nc6 Bb5 Nf6 O-O Nxe4 d4 Nd6")
    assert hangs[0].verdict == "holds"
    assert "b5" in hangs[0].squares


def test_we_he_and_the_last_mover() -> None:
    moves = "e4 e5 Nf3 Nc6 Bb5 Nf6 O-O"
    assert ask("We have castled.", moves=moves, taught="White")[0].verdict == "holds"
    assert ask("We have castled.", moves=moves, taught="Black")[0].verdict == "fails"
    assert ask("He has castled.", moves=moves, taught="Black")[0].verdict == "holds"
    assert ask("He has castled.", moves=moves)[0].verdict == "holds"
    assert ask("We have castled.", moves=moves)[0].verdict == "cannot-tell"


def test_a_marked_link_points_at_the_piece() -> None:
    moves = "e4 e5 Nf3 Nc6 d3 Nf6 Nbd2 d6"
    assert ask("[This knight](#f3) attacks e5.", moves=moves)[0].verdict == "holds"
    assert ask("[This knight](#d2) attacks e5.", moves=moves)[0].verdict == "fails"


def test_after_a_move_the_board_is_the_one_after_it() -> None:
    moves = "e4 e5 Nf3 Nc6 Bb5 a6 Ba4 d6"
    assert ask("The bishop on b3 is attacked.", moves=moves)[0].verdict == "fails"
    assert ask("After 5.Bb3 Na5 the bishop on b3 is attacked.", moves=moves)[0].verdict == "holds"
    assert ask("After Qh9 it is mate.", moves=moves) == ()
    assert ask("After Qh5 it is mate.", moves=moves)[0].verdict == "cannot-tell"


def test_a_near_reading_is_offered() -> None:
    verdict = ask("White has the bishop pair.", moves="e4 e5 Nf3 Nc6 Bb5 a6 Bxc6 dxc6")[0]
    assert verdict.verdict == "fails"
    assert verdict.offer == "it holds of Black"
    assert verdict.repair == "Black has the bishop pair"


def test_denials() -> None:
    moves = "e4 e5"
    for text in (
        "White is not a pawn up",
        "Neither side is a pawn up",
        "It isn't true that White is a pawn up",
        "White has not castled yet",
        "No file is open",
        "Nobody has castled",
    ):
        assert {v.verdict for v in ask(text, moves=moves)} == {"holds"}, text


def test_batch_answers_every_line_and_survives_bad_ones() -> None:
    lines = [
        json.dumps({"moves": ["e4", "e5"], "text": "It is White's move.", "taught": None}),
        "not json",
        "[]",
        "",
        json.dumps({"moves": ["e4", "Ke7"], "text": "x"}),
        json.dumps({"fen": "nonsense", "text": "x"}),
        json.dumps({"moves": 7, "text": "x"}),
        json.dumps({"moves": [], "text": "¹ ² ½ \ud800 e4", "taught": "Green"}),
        json.dumps({"fen": chess.STARTING_FEN, "text": "White can castle.", "taught": "White"}),
    ]
    answers = [json.loads(line) for line in answer_lines(lines)]
    assert len(answers) == 8
    assert answers[0] == {
        "text": "It is White's move.",
        "statements": [
            {
                "words": "It is White's move",
                "family": "turn",
                "verdict": "holds",
                "because": "it is White's move",
                "squares": [],
            }
        ],
    }
    assert all("error" in a for a in answers[1:7])
    assert answers[7]["statements"][0]["verdict"] == "fails"


def test_the_command(tmp_path: Path) -> None:
    run = CliRunner().invoke
    good = run(app, ["ask", "--moves", "1.e4 e5 2.Nf3", "Black has the bishop pair"])
    assert good.exit_code == 0
    assert good.stdout.startswith('holds: "Black has the bishop pair"')
    assert run(app, ["ask", "--moves", "1.e4", "Black has castled"]).exit_code == 1
    bad = run(app, ["ask", "--moves", "1.e5", "x"])
    assert bad.exit_code == 2
    questions = tmp_path / "q.jsonl"
    questions.write_text('{"moves": [], "text": "White is to move."}\n', "utf-8")
    assert '"verdict": "holds"' in run(app, ["ask", "--batch", str(questions)]).stdout
    assert run(app, ["ask", "--batch", str(tmp_path / "none")]).exit_code == 2
    lesson = tmp_path / "l.md"
    lesson.write_text("---\nfor: Black\n---\nFirst 1.e4 e5.\n\nThen 2.Nf3 Nc6 3.Bb5.\n", "utf-8")
    asked = run(app, ["ask", "--lesson", str(lesson), "--at", "4", "We are to move"])
    assert asked.stdout.startswith("fails"), asked.stdout
    asked = run(app, ["ask", "--lesson", str(lesson), "--at", "3.Bb5", "We are to move"])
    assert asked.stdout.startswith("holds"), asked.stdout
    nowhere = {"400": "it has 6 lines", "7.Bb5": "perhaps 3.Bb5"}
    for at, hint in nowhere.items():
        asked = run(app, ["ask", "--lesson", str(lesson), "--at", at, "We are to move"])
        assert asked.exit_code == 2 and hint in asked.output
    fen = "4k3/8/4K3/4P3/8/8/8/8 w - - 0 1"
    with lesson.open("a", encoding="utf-8") as more:
        more.write(f"\n```exercise\nWho wins?\nfen: {fen}\nanswer: White\n```\n")
    asked = run(app, ["ask", "--lesson", str(lesson), "--at", "Who wins", "Black has no pawns."])
    assert asked.stdout.startswith("holds"), asked.stdout


def test_a_lesson_is_read_and_judged_as_check_does(tmp_path: Path) -> None:
    run = CliRunner().invoke
    lesson = tmp_path / "wide.md"
    lesson.write_bytes("# First\n1.e4 e5 2.Nf3\n".encode("utf-16"))
    asked = run(app, ["ask", "--lesson", str(lesson), "White has a knight on f3."])
    assert asked.stdout.startswith("holds"), asked.output
    start = "8/8/8/3k4/8/3K4/3P4/8 w - - 0 1"
    lesson.write_text(f"---\nstart: {start}\n---\n# An ending\n1.Ke3 Ke5\n", "utf-8")
    said = "White wins this pawn ending."
    asked = run(app, ["ask", "--lesson", str(lesson), said])
    by_fen = run(app, ["ask", "--fen", start, "--moves", "1.Ke3 Ke5", said])
    assert asked.stdout.startswith("fails") and asked.stdout == by_fen.stdout, asked.output
    assert run(app, ["ask", "--lesson", str(tmp_path), said]).exit_code == 2
    asked = run(app, ["ask", "--lesson", str(lesson), "--at", "²", said])
    assert asked.exit_code == 2 and "nowhere" in asked.output


def test_no_line_of_a_batch_loses_the_answers_to_others(tmp_path: Path) -> None:
    questions = tmp_path / "q.jsonl"
    lines = [
        '{"text": "\\ud800 White is better."}',
        '{"text": ' + "[" * 200_000,
        '{"text": "White is to move.", "taught": [1]}',
        '{"text": "White has a pawn on e4.\u2028 It is Black to move.", "moves": "1.e4"}',
    ]
    questions.write_text("\n".join(lines) + "\r\n", "utf-8")
    asked = CliRunner().invoke(app, ["ask", "--batch", str(questions)])
    assert asked.exit_code == 0, asked.output
    answers = [json.loads(line) for line in asked.stdout.strip().split("\n")]
    assert len(answers) == 4
    assert answers[0]["text"] == "\ud800 White is better."
    assert "is no JSON" in answers[1]["error"]
    assert answers[2]["error"] == "line 3: taught unreadable"
    assert [s["verdict"] for s in answers[3]["statements"]] == ["holds", "holds"]


def test_a_batch_may_be_in_the_encodings_a_lesson_may(tmp_path: Path) -> None:
    questions = tmp_path / "q.jsonl"
    for encoding in ("utf-16", "cp1252"):
        questions.write_text('{"text": "König: White is to move."}\n', encoding)
        asked = CliRunner().invoke(app, ["ask", "--batch", str(questions)])
        assert json.loads(asked.stdout)["text"].startswith("König"), encoding


def test_lines_are_counted_by_their_line_ends_alone(tmp_path: Path) -> None:
    lesson = tmp_path / "feeds.md"
    lesson.write_text("# x\n1.e4 e5\f\v\f\v 2.Nf3\n", "utf-8")
    asked = CliRunner().invoke(app, ["ask", "--lesson", str(lesson), "--at", "5", "It is mate"])
    assert "it has 2 lines" in asked.output


def test_the_python_function_is_the_same() -> None:
    assert linewright.ask is ask


def test_unreadable_questions() -> None:
    for moves, fen in (("1.e4 e4", None), (None, "8/8"), (["Qxf7"], None)):
        with pytest.raises(UnreadableQuestionError):
            read_board(moves, fen)


LESSON = """---
for: White
---
# Black has the bishop pair 1.e4

<!-- Black has castled -->

We begin 1.e4 e5 2.Nf3 Nc6 3.Bb5 a6 4.Bxc6 dxc6. **Black** has the bishop pair; material is level.
[This pawn](#c6) is doubled. Now (4...bxc6 and the c-file
is open) we go on, 5.O-O, and *we* have castled.

> White has doubled pawns.
"""


def test_a_lessons_statements_stand_in_its_source_with_their_boards() -> None:
    source = Source("lesson.md", LESSON)
    verdicts = judge_lesson(follow(parse(source)))
    told = [(source.words(v.statement.span), v.verdict) for v in verdicts]
    assert told == [
        ("Black** has the bishop pair", "holds"),
        ("material is level", "holds"),
        ("This pawn](#c6) is doubled", "holds"),
        ("the c-file\nis open", "fails"),
        ("we* have castled", "holds"),
        ("White has doubled pawns", "fails"),
    ]
    assert summary(verdicts) == "6 statements: 4 hold, 2 fail"


def test_moves_played_inside_a_sentence_move_its_board() -> None:
    text = (
        "After 1.d4 d5 2.c4 e6 3.Nc3 Nf6 4.cxd5 exd5 White plays 5.Bg5, and 5...Be7 breaks the pin."
    )
    verdicts = judge_lesson(follow(parse(Source("lesson.md", text))))
    assert [v.verdict for v in verdicts if "pin" in v.statement.words] == ["holds"]


def test_transpositions_between_lines_of_the_lesson() -> None:
    text = (
        "First 1.d4 d5 2.c4 e6 3.Nc3 Nf6.\n\nThen 1.c4 e6 2.Nc3 Nf6 3.d4 d5, and this transposes to the "
        "main line. But here, 1.c4 e5, it transposes to the main line only in a dream."
    )
    verdicts = judge_lesson(follow(parse(Source("lesson.md", text))))
    told = [v.verdict for v in verdicts if "transposes" in v.statement.words]
    assert told == ["holds", "fails"]


WORDS = [
    "White has a knight on f3", "the knight on f6 is", "Black has castled", "it is White's move",
    "the c-file is open", "White has two bishops", "the pawn on e5 is attacked",
    *(
        "White Black he his our the a this knight bishop pawn king on e4 f6 d5 is are has can not no "
        "castle attacked defended pinned twice open file c- half-open pawns majority kingside if would "
        "and or , . ? ( ) Nf3 3.Bb5 O-O after with 's it that which only both neither three 2"
    ).split(),
]  # fmt: skip
JOINTS = (" ", ". ", ", and ")


def judged_well(text: str) -> int:
    """How many statements are found in a text, each with what every verdict must have."""
    verdicts = judge(text, read_board("e4 e5 Nf3 Nc6 Bb5 Nf6"))
    for verdict in verdicts:
        span = verdict.statement.span
        assert text[span.start : span.end] == verdict.statement.words
        assert verdict.verdict in {"holds", "fails", "cannot-tell"}
        assert verdict.because
    return len(verdicts)


@settings(max_examples=150, deadline=None)
@given(st.lists(st.sampled_from(WORDS), max_size=25), st.sampled_from(JOINTS))
def test_no_order_of_words_breaks_it(words: list[str], joint: str) -> None:
    judged_well(joint.join(words))


def test_orders_of_words_hold_statements() -> None:
    """Words in any order say something often enough for the test above to see verdicts."""
    source = random.Random(20261127)
    orders = (source.choice(JOINTS).join(source.choices(WORDS, k=12)) for _ in range(40))
    assert sum(map(judged_well, orders)) > 20


@settings(max_examples=100, deadline=None)
@given(st.text(max_size=80))
def test_any_text_is_answered(text: str) -> None:
    assert answer(json.dumps({"moves": ["e4"], "text": text}))["text"] == text


def test_patterns_can_be_read_and_name_no_unknown_phrase() -> None:
    from linewright.judging import MACROS, PHRASES
    from linewright.wordings import Listing

    for family in families():
        for pattern in family.patterns:
            assert Listing([(family.name, pattern)])
            names = set(re.findall(r"\{([a-z]+)\d?\}", pattern.template))
            assert names <= MACROS.keys() | PHRASES.keys(), pattern.template


def test_a_pawn_ending_is_proved_by_tables_where_nobody_is_asked() -> None:
    # Fine, Basic Chess Endings: with the king in front of its pawn and the opposition White wins
    won, drawn = "4k3/8/4K3/4P3/8/8/8/8 w - - 0 1", "k7/8/1K6/P7/8/8/8/8 w - - 0 1"
    said = {"White wins the pawn ending.": ("holds", "fails"), "It is a draw.": ("fails", "holds")}
    for text, verdicts in said.items():
        assert tuple(ask(text, fen=fen)[0].verdict for fen in (won, drawn)) == verdicts
    (large,) = ask("The pawn ending is won.", fen="8/pp3kpp/8/3p4/3P4/5K2/PP4PP/8 w - - 0 1")
    assert large.verdict == "cannot-tell" and "too large" in large.because


def test_where_no_man_attacks_or_defends_it_is_said_of_nothing() -> None:
    (verdict,) = ask("The pawn on e4 is neither attacked nor defended.", moves="1.e4 e5")
    assert verdict.because == "the pawn on e4 is attacked by nothing and defended by nothing"
    (verdict,) = ask("The pawn on e4 is supported by two of its fellows.", moves="1.e4 e5")
    assert verdict.because == "the pawn on e4 is defended by nothing"
