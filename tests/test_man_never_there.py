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
        "Whoever won a rook on f7 last week may sit down.",
    ],
)
def test_a_man_that_was_there_or_is_only_supposed_is_left_alone(words: str) -> None:
    assert not told(words)
