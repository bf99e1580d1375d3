"""Words that a recogniser writes for a man throughout a talk are put right wherever they stand."""

from __future__ import annotations

import pytest

from linewright.source import Source
from linewright.talk.heard import hear
from linewright.talk.transcript import read_transcript


def test_a_man_always_misheard_is_put_right_though_another_is_not() -> None:
    text = (
        "White plays e4 and Black plays e5 the pawn on e5 is attacked by night f3 and night see six"
        " protects the pawn then bishop b5 a pawn goes to a6 and bishop a4 night f6 castles and night"
        " takes e4 the pawn on e4 is gone so rook e1 and the other night was better instead of the"
        " night move the pawn on a6 and the pawn on b7 and the pawn on c7 and the"
        " pawn on g7 stand well and that asks our night the question good night"
    )
    changes = hear(read_transcript(Source("talk.txt", text))).caption_changes
    at = {change.said.first: change.now for change in changes}
    words = text.split()
    nights = [k for k, word in enumerate(words) if word == "night"]
    assert [k for k in nights if k not in at] == nights[-1:]


NIGHTS = (
    "white plays e4 and black plays e5 "
    + "the pawn on e4 is fine " * 7
    + "night f3 and night c6 then night c3 and night f6 is next "
)


def put_right(words: str) -> list[str]:
    """What is written for the nights among words said in a talk that has "night" for each knight."""
    text = f"{NIGHTS}{words} and so to bed"
    changes = hear(read_transcript(Source("talk.txt", text))).caption_changes
    first = len(NIGHTS.split())
    assert [c.now for c in changes if c.said.first < first] == ["knight"] * 4
    return [change.now for change in changes if change.said.first >= first]


@pytest.mark.parametrize(
    "words",
    [
        "see you tomorrow night and that is all",
        "we meet on tuesday night as ever",
        "what a night",
        "one night i dreamt of it",
        "have a nice night",
        "it was a long night",
        "we are ships in the night",
        "for two nights i looked at it",
        "my night was short",
        "the night life here is poor",
        "the other night we met again",
    ],
)
def test_a_night_is_no_man_however_often_a_knight_is_misheard(words: str) -> None:
    assert put_right(words) == []


@pytest.mark.parametrize(
    "words",
    [
        "he puts the question to it and asks our night to go",
        "because the f3 night moved away",
        "so mind the night move",
        "his night belongs in the centre",
        "and a bishop for night is fair",
        "the other night was better",
        "the night on the rim is dim",
        "look hard at the night",
        "the night isn't bad",
    ],
)
def test_a_man_said_to_be_a_night_is_put_right(words: str) -> None:
    assert put_right(words) == ["knight"]
