"""A bishop of one colour of square on a square of the other: no board has that."""

from __future__ import annotations

import chess
import pytest

from linewright.build import examine
from linewright.source import Source
from linewright.statements import judge

LINE = "1.e4 c5 2.Nf3 d6 3.d4 cxd4 4.Nxd4 Bg4"


def verdict(text: str) -> tuple[str, str]:
    board = chess.Board()
    for san in "e4 c5 Nf3 d6 d4 Bg4".split():
        board.push_san(san)
    (one,) = judge(text, board)
    return one.verdict, one.because


@pytest.mark.parametrize(
    "text",
    [
        "The {} bishop on g4 pins the knight.",
        "Black's {} bishop on g4 attacks the knight on f3.",
        "The knight is pinned by the {} bishop on g4.",
        "The {} bishop from c8 pins the knight.",
    ],
)
def test_the_colour_of_a_bishop_counts_where_its_square_is_named_too(text: str) -> None:
    """Found in use: "the dark-squared bishop on g4 pins the knight" held for one on light squares."""
    assert verdict(text.format("light-squared"))[0] == "holds"
    answer, because = verdict(text.format("dark-squared"))
    assert answer == "fails"
    assert because.endswith(" is a light square")


def told(words: str) -> list[str]:
    found = examine(Source("a.md", f"{LINE}. {words}\n")).findings
    return [finding.message for finding in found if finding.rule == "bishop-on-other-colour"]


def test_a_bishop_on_no_square_of_its_own_is_told_without_a_statement() -> None:
    assert told("We gladly swap our dark-squared bishop on g4 for it.") == [
        "'dark-squared bishop on g4', but g4 is a light square; perhaps light-squared"
    ]
    assert told("One day our light-squared bishop goes to g7.") == [
        "'light-squared bishop goes to g7', but g7 is a dark square; perhaps dark-squared"
    ]


@pytest.mark.parametrize(
    "words",
    [
        "We gladly swap our light-squared bishop on g4 for it.",
        "One day our dark-squared bishop goes to g7.",
        "There is no dark-squared bishop on g4.",
        "Our dark-squared bishop is not on g4.",
        "Is our dark-squared bishop on g4?",
        "If the dark-squared bishop was on g4, we would take it.",
        "Neither dark-squared bishop on g4 nor knight helps.",
        "Some call it a dark-squared bishop on g4, which is wrong.",
        "Our dark-squared bishop waits, and the other one went to g4.",
    ],
)
def test_what_puts_no_bishop_there_is_left_alone(words: str) -> None:
    assert told(words) == []


def test_a_hyphen_that_does_not_break_is_a_hyphen() -> None:
    assert len(told("We swap our dark\u2011squared bishop on g4 for it.")) == 1
