"""Exercises: their form is read, and question and answer are checked like any other line."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from linewright.aids import Aids
from linewright.analyst.answer import Effort
from linewright.analyst.builtin import BuiltIn
from linewright.analyst.questions import Analyst
from linewright.build import edition_of, examine
from linewright.finding import Finding, Severity
from linewright.following import follow
from linewright.outputs.handout import typst_source
from linewright.outputs.page import make as make_page
from linewright.reading import set_out
from linewright.script import parse
from linewright.set_blocks import Exercise
from linewright.source import Source
from linewright.statements_of_lesson import judge_lesson

EXAMPLE = (Path(__file__).parent.parent / "examples" / "exchange-variation.md").read_text("utf-8")
LINE = "We play 1.e4 e5 2.Nf3 Nc6 3.Bc4 Nf6 4.Ng5 and attack, but 3...Bc5 is another evening.\n\n"
QUESTION = "After 3...Nf6 4.Ng5 how does Black stop the attack?\n"


@cache
def analyst() -> Analyst:
    return Analyst(BuiltIn(), effort=Effort(nodes=30_000))


def exercise(text: str, fence: str = "exercise") -> str:
    return f"{LINE}```{fence}\n{text}\n```\n"


def findings(text: str, asked: bool = False) -> tuple[Finding, ...]:
    aids = (lambda _: Aids(analyst=analyst())) if asked else None
    return examine(Source("a.md", text), (), aids).findings


def only(text: str, asked: bool = False) -> Finding:
    found = [finding for finding in findings(text, asked) if finding.span.start >= len(LINE)]
    assert len(found) == 1, found
    return found[0]


def test_a_good_exercise_is_clean() -> None:
    assert not findings(exercise(QUESTION + "answer: 4...d5 5.exd5 Na5"))
    assert not findings(exercise(QUESTION + "Answer: with the pawn, 4...d5, or Na5 next"))


def test_an_illegal_move_of_the_answer_is_told_on_the_board_of_the_exercise() -> None:
    text = exercise(QUESTION + "answer: 4...d5 5.exd5 Nxe5")
    found = only(text)
    assert found.rule == "illegal-move"
    assert text[found.span.start : found.span.end] == "Nxe5"
    assert found.message.startswith("'Nxe5' is illegal: Black's own pawn stands on e5; perhaps ")


def test_an_answer_is_not_looked_for_on_another_line() -> None:
    """4...Bxf2+ can be played after 3...Bc5, which is not the exercise's board."""
    text = LINE.replace("is another", "4.O-O Bxf2+ is another")
    found = examine(Source("a.md", text + "```exercise\n" + QUESTION + "answer: 4...Bxf2+\n```"))
    assert [finding.rule for finding in found.findings] == ["illegal-move"]


def test_the_answer_of_the_example_is_checked() -> None:
    assert EXAMPLE.count("answer: 6...Nxd5") == 1
    found = findings(EXAMPLE.replace("answer: 6...Nxd5", "answer: 6...Nxd6"))
    assert [finding.rule for finding in found] == ["illegal-move"]
    assert found[0].message == (
        "'6...Nxd6' is illegal: no black knight reaches d6 (from f6, d7); perhaps 6...Nxd5"
    )


def test_an_illegal_move_of_the_question_is_told_once() -> None:
    found = only(exercise(QUESTION.replace("4.Ng5", "4.Ng6") + "answer: 4...d5 5.exd5"))
    assert found.rule == "illegal-move"
    assert found.message.startswith("'4.Ng6' is illegal: no white knight reaches g6")


def test_a_wrong_sign_of_check_is_told() -> None:
    found = only(exercise(QUESTION + "answer: 4...d5 5.Bb5#"))
    assert found.rule == "wrong-move-suffix"


def test_an_answer_that_loses_to_a_reply_is_told() -> None:
    found = only(exercise(QUESTION + "answer: 4...a6 5.Nxf7"), asked=True)
    assert found.rule in {"taught-move-loses", "better-move-missed"}
    assert found.message.startswith("'4...a6' loses ")


def test_the_mistake_that_a_question_starts_from_is_not_taught() -> None:
    text = exercise(
        "After 3...Nf6 4.Nxe5 Nxe5 what has White lost?\nanswer: a knight, and 5.Bb3 saves the bishop"
    )
    side = f"---\nfor: White\n---\n{text}"
    assert not [f for f in findings(side, asked=True) if f.span.start > side.index("4.Nxe5")]


@pytest.mark.parametrize(
    ("lines", "rule", "message"),
    [
        ("answer:", "exercise-without-answer", "'answer:' is empty"),
        ("", "exercise-without-answer", "there is no line 'answer: …'"),
        (
            "solution: 4...d5",
            "unknown-exercise-key",
            "'solution' is no key of an exercise, it is almost 'answer'",
        ),
        (
            "anwser: 4...d5",
            "unknown-exercise-key",
            "'anwser' is no key of an exercise, it is almost 'answer'",
        ),
        (
            "level: 3\nanswer: 4...d5",
            "unknown-exercise-key",
            "'level' is no key of an exercise: there are task, fen and answer",
        ),
    ],
)
def test_the_form_of_an_exercise_is_checked(lines: str, rule: str, message: str) -> None:
    found = only(exercise(QUESTION + lines))
    assert (found.rule, found.message) == (rule, message)


def test_a_sentence_with_a_colon_is_no_key() -> None:
    assert not findings(exercise("Remember: count.\n" + QUESTION + "answer: 4...d5"))


def test_a_board_of_its_own_is_checked() -> None:
    good = "White mates.\nfen: 6k1/5ppp/8/8/8/8/8/R5K1 w - - 0 1\nanswer: 1.Ra8#"
    assert not findings(exercise(good), asked=True)
    assert only(exercise(good.replace("Ra8#", "Rb8#"))).rule == "illegal-move"
    assert only(exercise(good.replace("6k1", "8"))).rule == "impossible-start"


@pytest.mark.parametrize("fence", ["exercize", "exercises", "Excercise", "quiz"])
def test_a_misnamed_exercise_is_told_and_its_answer_kept_back(fence: str) -> None:
    text = exercise(QUESTION + "answer: 4...d5 5.exd5 Na5", fence)
    report = examine(Source("a.md", text))
    (found,) = report.findings
    assert (found.rule, found.severity) == ("misnamed-exercise", Severity.ERROR)
    assert text[found.span.start : found.span.end] == f"```{fence}"
    (plate,) = [p for b in set_out(report.lesson).blocks for p in b.plates if hasattr(p, "task")]
    assert isinstance(plate, Exercise)
    assert plate.task == QUESTION.strip().replace("...", "…")
    edition = edition_of(report, "a")
    assert "code(" not in typst_source(edition).split("#handout(")[-1]
    assert b"<pre" not in make_page(edition)[0].data


def test_other_fenced_blocks_stay_as_they_are() -> None:
    assert not findings(f"{LINE}```text\nThe answer is 42: 4...d6.\n```\n")


def test_a_capture_from_the_wrong_file_is_told_as_such() -> None:
    text = "1.e4 e6 2.d4 d5 3.e5 c5 4.c3 c4 5.b4 how?\nanswer: 5...axb3"
    found = only(exercise(text))
    assert found.message == (
        "'5...axb3' is illegal: no black pawn on the a-file can take on b3; perhaps 5...cxb3 or 5...b5 or 5...b6"
    )


FORK = "rnbqkbnr/pppp1ppp/8/4p3/4P3/5N2/PPPP1PPP/RNBQKB1R b KQkq - 1 2"


def test_a_question_may_name_its_own_board_by_a_move_of_the_lesson() -> None:
    """Found in use: no line was said to reach the move that leads to the board, though one does."""
    text = f"Black to move: what is best after 2.Nf3 here?\nfen: {FORK}\nanswer: 2...Nc6 3.Bc4"
    report = examine(Source("a.md", exercise(text)))
    assert not report.findings
    (placed,) = report.lesson.exercises
    assert placed.fen == FORK
    wrong = only(exercise(text.replace("2...Nc6", "2...Nc5")))
    assert wrong.rule == "illegal-move" and "'2...Nc5'" in wrong.message


def test_a_move_that_leads_to_another_board_than_the_own_one_is_told() -> None:
    text = f"Black to move after 1...e5 what then?\nfen: {FORK}\nanswer: 2...Nc6"
    found = only(exercise(text))
    assert found.message.startswith(
        "'1...e5' does not fit here: no line of the exercise's own board reaches '1...': "
    )


OPEN = "1.e4 e5 2.Nf3 Nc6.\n\n"


@pytest.mark.parametrize(
    ("answer", "flagged"),
    [
        ("Qg5", "Qg5"),
        ("**Qg5**, and the queen is out.", "Qg5"),
        ("Black plays Qg5 Nxg5 h6", "Qg5"),
        ("Nc6 or Qg5", "Qg5"),
        ("g5", "g5"),
        ("Nc6 or, some say, Qg5", ""),
        ("Nc6 and not Qg5", ""),
        ("Not Qg5", ""),
        ("after Qg5 the queen is lost", ""),
        ("Nc6, for Qg5 loses the queen", ""),
        ("f6 is the weak point", ""),
    ],
)
def test_an_answer_without_a_number_is_analysed(answer: str, flagged: str) -> None:
    """Found in use: an answer that loses the queen was only told where it had a number."""
    text = f"{OPEN}```exercise\nBlack to move after 1.e4 e5 2.Nf3. Which move?\nanswer: {answer}\n```\n"
    found = [f for f in findings(text, asked=True) if f.span.start > text.index("answer:")]
    assert [text[f.span.start : f.span.end] for f in found] == [flagged] * bool(flagged)
    own = f"{OPEN}```exercise\nBlack to move. Which move?\nfen: {FORK}\nanswer: {answer}\n```\n"
    found = [f for f in findings(own, asked=True) if f.span.start > own.index("answer:")]
    assert [own[f.span.start : f.span.end] for f in found] == [flagged] * bool(flagged)


def test_an_answer_without_numbers_is_followed_and_printed_as_it_is_written() -> None:
    text = (
        f"{OPEN}```exercise\nBlack to move after 2.Nf3. What now?\nanswer: d6 d4 exd4, or Nf6\n```"
    )
    report = examine(Source("a.md", text))
    assert not report.findings
    answer = report.lesson.exercises[0].answer
    assert [answer.tree.text(leaf.index) for leaf in answer.tree.leaves()] == [
        "1.e4 e5 2.Nf3 d6 3.d4 exd4",
        "1.e4 e5 2.Nf3 Nf6",
    ]
    (plate,) = [p for b in set_out(report.lesson).blocks for p in b.plates if hasattr(p, "task")]
    assert isinstance(plate, Exercise)
    assert plate.answer == "d6 d4 exd4, or Nf6"


def test_squares_that_are_asked_for_are_no_moves() -> None:
    text = f"{OPEN}```exercise\nBlack to move after 2.Nf3. Which square is weak?\nanswer: f6\n```"
    answer = examine(Source("a.md", text)).lesson.exercises[0].answer
    assert not answer.moves


@pytest.mark.parametrize(
    "question",
    [
        "Why does Black not bring the queen out?",
        "What is wrong with the queen move?",
        "Can the queen come out, and what happens then?",
    ],
)
def test_a_move_whose_failure_is_asked_for_is_not_taught(question: str) -> None:
    """Found in use: the answer that shows why a move fails was told to lose."""
    text = f"{OPEN}```exercise\n2.Nf3 now. {question}\nanswer: 2...Qg5 3.Nxg5\n```\n"
    assert not findings(text, asked=True)
    missed = text.replace("3.Nxg5", "3.Nxe5")
    (found,) = findings(missed, asked=True)
    assert missed[found.span.start : found.span.end] == "3.Nxe5"


def test_a_place_in_an_exercise_has_the_board_of_the_exercise() -> None:
    """Found in use: a picture at an exercise's words showed the last board of the lesson."""
    fen = "4k3/8/4K3/4P3/8/8/8/8 w - - 0 1"
    own = f"```exercise\nWho is faster?\nfen: {fen}\nanswer: White after 1.Kd6 Kd8\n```\n"
    text = (
        exercise("Is it free? After 3...Nf6 4.Ng5 we look.\nanswer: 4...d5 5.exd5")
        + own
        + "\nThe end.\n"
    )
    lesson = follow(parse(Source("a.md", text)))

    def shown(words: str) -> str:
        place = lesson.find(words)
        assert place is not None
        return lesson.told_at(place).at(place).fen

    assert shown("Who is faster") == fen == shown(fen)
    assert shown("1.Kd6").startswith("4k3/8/3K4/")
    assert shown("5.exd5").startswith("r1bqkb1r/ppp2ppp/2n2n2/3Pp1N1/")
    assert shown("we look").startswith("r1bqkb1r/pppp1ppp/2n2n2/4p1N1/")
    assert shown("The end") == lesson.at(len(text)).fen
    assert shown("4.Ng5 and") == shown("we look")


def test_moves_like_one_that_stands_nowhere_are_named() -> None:
    lesson = follow(parse(Source("a.md", LINE)))
    assert lesson.near("7.Bc4") == ("3.Bc4",)
    assert lesson.near("nonsense") == ()


def test_what_a_question_says_is_judged_on_the_exercise_board() -> None:
    text = (
        "Words first.\n\n```exercise\nWhite to move. It is a forced mate in two.\n"
        "fen: 6k1/5ppp/8/8/8/8/5PPP/3R2K1 w - - 0 1\nanswer: 1.Rd8#. It is mate.\n```\n"
    )
    lesson = follow(parse(Source("lesson.md", text)))
    told = {v.statement.words: (v.verdict, v.because) for v in judge_lesson(lesson)}
    assert told["It is a forced mate in two"] == ("fails", "Rd8# is mate")
    assert told["It is mate"][0] == "holds"
    assert all(
        text[v.statement.span.start :].startswith(v.statement.words) for v in judge_lesson(lesson)
    )


def test_a_question_may_speak_of_the_board_it_ends_with() -> None:
    text = f"{LINE}```exercise\nBlack to move. White has just played 4.Ng5.\nanswer: 4...d5\n```\n"
    told = judge_lesson(follow(parse(Source("lesson.md", text))))
    (asked,) = (v for v in told if v.statement.words == "Black to move")
    assert asked.verdict == "holds"


def test_a_question_may_name_the_main_line_for_its_move() -> None:
    """Found in use: the same move of the line before the exercise was taken instead."""
    lesson = follow(
        parse(
            Source(
                "a.md",
                "# The main line\nAfter 1.d4 d5 2.c4 e6 3.Nc3 Nf6 4.Bg5 Be7.\n\n"
                "# The other line\nAfter 1.d4 Nf6 2.c4 e6 3.Nc3 Bb4 we shall see more.\n\n"
                "```exercise\nWhite has just played 3.Nc3 in the main line. And Black?\n"
                "answer: 3...Nf6\n```\n",
            )
        )
    )
    (exercise,) = lesson.exercises
    assert exercise.fen.startswith("rnbqkbnr/ppp2ppp/4p3/3p4/2PP4/2N5/")
    assert not exercise.answer.slips


@pytest.mark.parametrize(
    ("said", "verdicts"),
    [
        ("Black's last move was Bc5.", ["cannot-tell"]),
        ("Black's last move was O-O.", ["cannot-tell"]),
        ("Black's last move was Bd7.", ["fails"]),
    ],
)
def test_a_question_may_tell_what_led_to_its_own_board(said: str, verdicts: list[str]) -> None:
    """Found in use: the move was called impossible because its man stands there already."""
    fen = "r1bq1rk1/pppp1ppp/2n2n2/2b1p3/2B1P3/2NP1N2/PPP2PPP/R1BQK2R w Q - 0 6"
    text = exercise(f"fen: {fen}\n{said} What now?\nanswer: 6.Bg5")
    told = judge_lesson(follow(parse(Source("lesson.md", text))))
    assert [v.verdict for v in told if v.statement.words in said] == verdicts


@pytest.mark.parametrize(
    ("said", "verdicts"),
    [
        ("White can play Nf3.", ["fails"]),
        ("White is able to play Nf3.", ["fails"]),
        ("Nf3 is possible.", ["fails"]),
        ("Kg8 is legal.", ["fails"]),
        ("Nf6 is not possible.", ["holds"]),
        ("The last move was 5.Bc5.", ["fails"]),
        ("The last move was 5...Bc5.", ["cannot-tell"]),
        ("White cannot play Nf3.", ["cannot-tell"]),
    ],
)
def test_what_can_be_played_is_of_the_board_that_was_set_up(said: str, verdicts: list[str]) -> None:
    """Found in use: a move that is called possible was held for one that may have been made."""
    fen = "r1bq1rk1/pppp1ppp/2n2n2/2b1p3/2B1P3/2NP1N2/PPP2PPP/R1BQK2R w Q - 0 6"
    text = exercise(f"fen: {fen}\n{said} What now?\nanswer: 6.Bg5")
    told = judge_lesson(follow(parse(Source("lesson.md", text))))
    assert [v.verdict for v in told if v.statement.words in said] == verdicts


AFTER_CHECK = "fen: 6k1/5ppp/8/8/2B1n3/8/5PPP/4R1K1 b - - 0 24\n"


@pytest.mark.parametrize(
    "question",
    [
        "White has just played 24.Bxc4. How does Black win material?",
        "What is wrong after 23...Nxc4 24.Bxc4? Where was White inattentive?",
    ],
)
def test_a_question_may_name_the_move_that_led_to_its_own_board(question: str) -> None:
    text = exercise(f"{question}\n{AFTER_CHECK}answer: 24...Nc3 25.Re8#")
    assert not findings(text)


def test_a_move_that_cannot_have_led_to_the_own_board_is_told() -> None:
    found = findings(exercise(f"White has just played 24.Bd3.\n{AFTER_CHECK}answer: 24...Nc3"))
    assert "wrong-move-number" in {each.rule for each in found}


@pytest.mark.parametrize("answer", ["24...Nd6", "Nd6", "24...Nd6 25.h3", "24.Re2 Nd6"])
def test_an_answer_may_go_on_behind_the_move_its_question_plays(answer: str) -> None:
    board = "fen: 6k1/5ppp/8/8/2B1n3/8/5PPP/4R1K1 w - - 0 24\n"
    text = exercise(f"What is the best answer to 24.Re2 here?\n{board}answer: {answer}")
    assert not findings(text)
    (placed,) = follow(parse(Source("a.md", text))).exercises
    assert placed.fen.split()[1] == "w"
    assert [move.node is not None for move in placed.answer.moves][:1] == [True]
