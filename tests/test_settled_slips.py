"""Slips that leave nothing to do."""

from __future__ import annotations

import pytest

from linewright.hearing import report_text
from linewright.source import Source
from linewright.talk.answers import is_told
from linewright.talk.heard import Heard, hear
from linewright.talk.record import Answered, HeardSlip, Said
from linewright.talk.transcript import read_transcript

TALK = (
    "White plays e4, e5, knight f3, knight c6. Our bishop goes to b4, where it pins the knight, and"
    " Black plays a6, and the bishop goes back to a4. Knight f6, White castles, bishop e7.\n"
)


def heard(text: str, answers: dict[str, str] | None = None) -> Heard:
    return hear(read_transcript(Source("talk.txt", text)), answers=answers)


def test_an_answered_slip_is_counted_and_not_told_again() -> None:
    """Found in use: slips stayed among those to look at though they were answered."""
    before = report_text(heard(TALK))
    after = report_text(heard(TALK, {"word 10 bishop goes to b4": "3.Bb5"}))
    assert 'word 10 slip: "' in before
    assert ", 1 slip," in before
    assert " slip: " not in after
    assert ", 1 slip (1 as answered)," in after


SAID = Said(4, 9, "White's rook on h8 is", None)


@pytest.mark.parametrize(
    ("slip", "answer", "told"),
    [
        (HeardSlip(SAID, "Ra8", "square", 0.9, "", ()), "the rook on a8", True),
        (HeardSlip(SAID, "e4", "square", 0.9, "", ()), "the pawn on e4", True),
        (HeardSlip(SAID, "Ra8", "square", 0.9, "", ()), "the rook on b8", False),
        (HeardSlip(SAID, "Black", "side", 0.9, "", (), "rook on h8"), "the black rook on h8", True),
        (HeardSlip(SAID, "Black", "side", 0.9, "", (), "rook on h8"), "the rook on a8", False),
        (HeardSlip(SAID, "Black", "side", 0.9, "", (), "rook on h8"), "the white rook on h8", False),
        (HeardSlip(SAID, "Bb5+", "square", 0.9, "", ()), "3.Bb5", True),
        (HeardSlip(SAID, "Bb5+", "square", 0.9, "", ()), "the rook on h8", False),
    ],
)  # fmt: skip
def test_an_answer_settles_only_the_slip_that_means_it(
    slip: HeardSlip, answer: str, told: bool
) -> None:
    """Found in use: each slip in words that an answer was about was counted as settled."""
    assert is_told(slip, [Answered("word 5", answer, SAID, "")]) == told
