"""Men said to be won where the lesson never shows one, and what is no such saying."""

from __future__ import annotations

import pytest

from linewright.build import examine
from linewright.source import Source

LINE = "1.e4 e5 2.Nf3 Nc6 3.Bc4 Bc5 4.O-O Nf6"


def told(words: str) -> list[str]:
    found = examine(Source("a.md", f"{LINE}.\n\n# To sum up\n\n{words}\n")).findings
    return [finding.message for finding in found if finding.rule == "man-never-there"]


def test_a_man_won_where_none_ever_stands_is_told_with_what_stands_there() -> None:
    """Found in use: "wins a rook on b7" passed in a summing up, though a pawn stands there."""
    assert told("The queen comes to b3 and wins a rook on f7.") == [
        "'wins a rook on f7', but no rook ever stands on f7 in the lesson: there is a black pawn now"
    ]
    assert "d6 is empty now" in told("The plan takes a bishop on d6.")[0]


@pytest.mark.parametrize(
    "words",
    [
        "The queen comes to b3 and wins the pawn on f7.",
        "Black wins the knight on g1, if it was never moved.",
        "Suppose a rook lands on f7. The bishop takes the rook on f7.",
        "Can White win the rook on f7?",
        "White does not win the rook on f7.",
        "Whoever takes the rook on f7 has read ahead.",
        "When Black castles queenside, the bishop takes the rook on d8.",
        "Once he has castled long the bishop takes the rook on d8.",
        "Should Black castle long, White takes the rook on d8.",
        "After castling long Black loses the rook on d8.",
        "Black castles long. White takes the rook on d8.",
        "Trapping the bishop on g4 is what White wants.",
        "Winning the knight on e4 takes time.",
        "White would win the knight on d5.",
        "He'd win the knight on d5.",
        "Imagine a board on which White wins the queen on b7.",
        "The trick is old: the king takes the bishop on f7.",
        "He came back by trapping the queen on a5.",
        "The aim is clear: White wins the queen on b7.",
        "Let us be clear. White, said Mr. Pell, if he is lucky, wins the queen on b7.",
    ],
)
def test_a_man_that_was_there_or_is_only_supposed_is_left_alone(words: str) -> None:
    assert not told(words)


def test_a_stop_behind_a_short_form_ends_no_sentence() -> None:
    assert not told("Nobody who learnt it from Mr. Pell takes the queen on b7.")
    assert told("Nobody asked. White takes the queen on b7.")


def test_the_boards_of_exercises_count() -> None:
    exercise = (
        "```exercise\nfen: 6k1/8/8/8/8/8/1p6/2R3K1 b - - 0 1\nquestion: What does Black play?\n"
        "answer: 1...bxc1=Q\n```\n\n"
    )
    words = "The pawn takes the rook on c1."
    assert told(words)
    assert not told(f"{exercise}{words}")
