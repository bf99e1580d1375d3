"""What an exercise asks to be true or false, or yes or no, is judged with its answer."""

from __future__ import annotations

import pytest

from linewright.lesson import follow
from linewright.script import parse
from linewright.source import Source
from linewright.statements_of_lesson import judge_lesson

MATE = "6k1/5ppp/8/8/8/8/5PPP/2r3K1 w - - 0 1"


def judged(question: str, answer: str) -> list[tuple[str, str]]:
    text = f"1.d4 d5.\n\n```exercise\nfen: {MATE}\n{question}\nanswer: {answer}\n```\n"
    source = Source("a.md", text)
    verdicts = judge_lesson(follow(parse(source)))
    return [(v.verdict, source.words(v.statement.span)) for v in verdicts]


@pytest.mark.parametrize(
    ("question", "answer", "expected"),
    [
        ("White is mated. True or false?", "false", [("fails", "false")]),
        ("White is mated. True or false?", "true", [("holds", "true")]),
        ("White is stalemated. True or false?", "False.", [("holds", "False")]),
        ("True or false: White is stalemated.", "true", [("fails", "true")]),
        ("White is mated (right or wrong?)", "It is wrong.", [("fails", "wrong")]),
        ("Right or wrong, and why: the c-file is open.", "not so", [("fails", "not so")]),
        ("Is the king on g1 in check?", "no", [("fails", "no")]),
        ("Is the king on g1 in check?", "yes, by the rook", [("holds", "yes")]),
        ("Yes or no: is the king on g1 in check?", "No", [("fails", "No")]),
        (
            "Black has a rook. White is mated. True or false?",
            "true",
            [("holds", "Black has a rook"), ("holds", "true")],
        ),
        ("White is mated. True or false?", "see above", [("cannot-tell", "White is mated")]),
        ("Who is better?", "Black", []),
    ],
)
def test_a_yes_or_no_is_judged_on_the_board_of_its_question(
    question: str, answer: str, expected: list[tuple[str, str]]
) -> None:
    """Found in use: "false" passed under a claim that is true on the exercise's board."""
    assert judged(question, answer) == expected


def test_an_answer_whose_reason_fails_is_told_once() -> None:
    assert judged("White is mated. True or false?", "false, White is not mated.") == [
        ("fails", "White is not mated")
    ]
