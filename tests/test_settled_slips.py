"""Slips that leave nothing to do."""

from __future__ import annotations

from linewright.hearing import report_text
from linewright.source import Source
from linewright.talk.heard import Heard, hear
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
