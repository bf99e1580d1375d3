"""A game that a talk tells once more from its first move."""

from __future__ import annotations

import pytest

from linewright.source import Source
from linewright.talk.heard import Heard, hear
from linewright.talk.transcript import read_transcript
from linewright.talk.writing import script_text

FIRST = "d4, d5, c4, c6, knight f3, knight f6, knight c3, d takes c4, a4, bishop f5. "
AGAIN = "d4, d5, c4, c6, knight f3, knight f6, knight c3, d takes c4. And now Otto played e4."


def heard(text: str) -> Heard:
    return hear(read_transcript(Source("talk.txt", text)))


@pytest.mark.parametrize(
    "between",
    [
        "He knew it up to move four. ",
        "His opponent knew the opening only up to move five. ",
        "Otto had seen all that in a book. ",
        "Now Otto's game. ",
    ],
)
def test_a_line_told_again_from_its_first_move_goes_back_to_that_move(between: str) -> None:
    """Found in use: the first move was heard as a slip for another, whatever was answered."""
    found = heard(FIRST + between + AGAIN)
    assert not found.slips
    assert [move.san for move in found.moves.values() if not move.parent] == ["d4"]
    last = next(node for node, move in found.moves.items() if move.san == "e4")
    assert found.line_to(last) == ("d4", "d5", "c4", "c6", "Nf3", "Nf6", "Nc3", "dxc4", "e4")


def test_its_first_move_is_written_with_its_number_below_a_heading() -> None:
    script = script_text(heard(FIRST + "Now Otto's game. " + AGAIN))
    assert "## From the start" in script
    assert "Now Otto's game. 1.d4, 1...d5, 2.c4" in script


def test_the_same_squares_named_later_tell_no_first_move() -> None:
    found = heard(FIRST + "The squares d4 and d5 are what the whole fight is about. E3, e6.")
    assert [found.moves[turn.node].san for turn in found.turns][10:] == ["e3", "e6"]
