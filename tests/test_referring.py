"""Moves that only name the line or the lesson that is spoken of leave the board where it is."""

from __future__ import annotations

import pytest

from linewright.following import follow
from linewright.lesson import Lesson
from linewright.script import parse
from linewright.source import Source

LINE = "1.d4 d5 2.c4 c6 3.Nf3 Nf6 4.Nc3"
SIDE = f"{LINE}. (3.Nc3 dxc4 4.e3 b5 5.a4 b4? 6.Na2.)\n\n"


def followed(text: str) -> Lesson:
    return follow(parse(Source("a.md", text)))


def labels(text: str) -> set[str]:
    return {node.label for node in followed(text).tree.nodes}


@pytest.mark.parametrize(
    "told",
    [
        "Lesson 1 was 3.cxd5 cxd5, and whoever forgot it reads it again.",
        "Last week we looked at 3.cxd5 cxd5.",
        "In our first lesson we took (3.cxd5 cxd5).",
        "We took 3.cxd5 cxd5 in lesson two.",
        "Lesson 3 was about 1.e4 c5 2.Nc3.",
    ],
)
def test_the_matter_of_another_lesson_is_no_line_of_this_one(told: str) -> None:
    """Found in use: "Lesson 1 was 3.cxd5 cxd5" stood as a side line in the game file."""
    lesson = followed(f"{LINE}. {told}\n\n4.Nc3 dxc4 5.a4 Bf5.")
    assert not lesson.slips
    tree = lesson.tree
    assert tree.text(tree.main_line()[-1].index) == f"{LINE} dxc4 5.a4 Bf5"
    assert all(len(node.children) < 2 for node in tree.nodes)


@pytest.mark.parametrize(
    ("told", "played"),
    [
        ("Last week we looked at 3.cxd5 cxd5. Today 4.Nc3 Nc6 5.Bf4.", "4...Nc6"),
        ("As we saw in lesson 1, 3.cxd5 cxd5 is dull.", "3.cxd5"),
        ("As in lesson 1 we had 3.cxd5 cxd5.", "3.cxd5"),
        ("White had 3.cxd5 cxd5.", "3.cxd5"),
    ],
)
def test_moves_that_are_gone_on_with_or_spoken_of_are_played(told: str, played: str) -> None:
    before = "1.d4 d5 2.c4 c6."
    assert played in labels(f"{before} {told}")


def test_a_lesson_that_only_tells_of_another_still_has_its_moves() -> None:
    assert "1.e4" in labels("Last week we saw 1.e4 e5.")


@pytest.mark.parametrize(
    "question",
    [
        "Why is 5...b4 a mistake in the line with 3...dxc4?",
        "Why is 5...b4 a mistake in the 3...dxc4 line?",
        "What is wrong with 5...b4 in the variation beginning with 3.Nc3?",
        "After 5...b4, what does White play?",
    ],
)
def test_a_question_that_names_its_line_stays_on_its_board(question: str) -> None:
    """Found in use: "6...Nc6 in the line with 3...Bg4" had its board after 3...Bg4."""
    lesson = followed(f"{SIDE}```exercise\n{question}\nanswer: 6.Na2\n```\n")
    (exercise,) = lesson.exercises
    assert not exercise.task.slips
    assert not exercise.answer.slips
    assert " w " in exercise.fen
    assert exercise.fen.endswith(" 6")
    assert exercise.answer.tree.main_line()[-1].san == "Na2"


def test_a_line_that_is_named_to_go_back_to_it_is_gone_back_to() -> None:
    lesson = followed(f"{SIDE}```exercise\nWhat now in the line with 4.e3?\nanswer: 4...b5\n```\n")
    (exercise,) = lesson.exercises
    assert not exercise.answer.slips


def test_a_number_beyond_the_board_of_an_exercise_is_not_laid_on_the_lesson() -> None:
    lesson = followed(f"{SIDE}```exercise\nWhat now after 3.Nc3?\nanswer: 6.Na2\n```\n")
    (slip,) = lesson.exercises[0].answer.slips
    assert slip.reason.startswith("no line of the exercise reaches '6.'")


@pytest.mark.parametrize(
    ("told", "end"),
    [
        (". (Last month we met 3.cxd5 cxd5 4.Nc3.) 4...dxc4 5.a4.", "4.Nc3 dxc4 5.a4"),
        (" dxc4 5.a4 (in lesson 2 it was 5.e3 b5) 5...Bf5 6.e3 e6.", "5.a4 Bf5 6.e3 e6"),
        (" (last week it was 4.e3) 4...dxc4 5.a4 Bf5.", "4.Nc3 dxc4 5.a4 Bf5"),
        (". He took the pawn with 4...dxc4, as we saw in lesson 1. Fine.", "4.Nc3 dxc4"),
        (". A friend played 4...dxc4 5.a4 Bf5, as in the last lesson.", "dxc4 5.a4 Bf5"),
        (". Black took 4...dxc4, and last week he did not.", "4.Nc3 dxc4"),
        (". The first lesson was short: 4...dxc4 5.a4 Bf5.", "dxc4 5.a4 Bf5"),
        (". In the first session he took 4...dxc4.", "4.Nc3 dxc4"),
        (". Last year I played 4...dxc4 5.a4 and 5...Bf5 6.e3.", "dxc4 5.a4 Bf5 6.e3"),
        (". Just like last week we took 4...dxc4.", "4.Nc3 dxc4"),
    ],
)
def test_moves_that_go_on_with_the_line_are_played_beside_another_lesson(
    told: str, end: str
) -> None:
    """Found in use: real moves were left out without a word near "last week" and "in lesson 1"."""
    tree = followed(f"{LINE}{told}").tree
    assert tree.text(tree.main_line()[-1].index).endswith(end)


@pytest.mark.parametrize(
    "told",
    [
        "The previous chapter showed 2...e6 3.Nc3, and here we see 2...c6 3.Nf3.",
        "Lesson 1 was 2...e6 and lesson 2 is 2...c6 3.Nf3 Nf6.",
        "Lesson 1 was 1...e6, this one is 2...c6 3.Nf3 Nf6.",
    ],
)
def test_moves_that_are_set_beside_another_lesson_are_played(told: str) -> None:
    assert {"2...c6", "3.Nf3"} <= labels(f"1.d4 d5 2.c4. {told}")


@pytest.mark.parametrize(
    "told",
    [
        "Lesson 1 had, and White likes it, 3.cxd5 cxd5.",
        "In lesson 1 we waited, but then we took 3.cxd5 cxd5.",
        "We took 3.cxd5 cxd5, which last week was hard.",
        "We took 3.cxd5 cxd5 and lesson 2 is near.",
        "Which lesson 1 showed was 3.cxd5 cxd5.",
        "The first lesson had 3.cxd5 cxd5.",
    ],
)
def test_moves_are_left_out_only_where_the_words_are_certain(told: str) -> None:
    lesson = followed(f"{LINE}. {told}\n\n4.Nc3 dxc4 5.a4 Bf5.")
    assert "cxd5" in {node.san for node in lesson.tree.nodes}
    assert not lesson.elsewhere


def test_moves_that_are_left_out_are_told() -> None:
    text = f"{LINE}. Last week we looked at 3.cxd5 cxd5.\n\nNow 4...dxc4 5.a4."
    assert [text[s.start : s.end] for s in followed(text).elsewhere] == ["3.cxd5 cxd5"]
