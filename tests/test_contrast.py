"""Contrasts: what is set against what is said is left out, and nothing else is."""

from __future__ import annotations

import pytest

from linewright.asking import ask
from linewright.english.contrast import without_contrast
from linewright.english.words import read_words

EXCHANGE = "e4 e5 Nf3 Nc6 Bb5 a6 Bxc6 dxc6 O-O f6 d4 exd4 Nxd4"


@pytest.mark.parametrize(
    ("said", "left"),
    [
        ("It is White, not Black, who can castle.", "it is white who can castle ."),
        ("Not Black but White has the pair.", "white has the pair ."),
        ("The pawn is hit twice, not once.", "the pawn is hit twice ."),
        ("He castled short, not long.", "he castled short ."),
        ("Black, rather than White, is to move.", "black is to move ."),
        ("It's a Caro-Kann, not a French.", "it is a caro kann ."),
    ],
)
def test_what_is_set_against_is_left_out(said: str, left: str) -> None:
    assert " ".join(t.text for t in without_contrast(read_words(said))) == left


@pytest.mark.parametrize(
    "said",
    [
        "The knight is attacked, not pinned.",
        "White has castled, Black has not.",
        "It is not White's move.",
        "The pawn is not on e4.",
        "Not a single pawn has moved.",
    ],
)
def test_what_says_two_things_or_denies_one_is_left_as_it_is(said: str) -> None:
    tokens = tuple(read_words(said))
    assert without_contrast(tokens) == tokens


@pytest.mark.parametrize(
    ("text", "verdict"),
    [
        ("It is White, not Black, who has the bishop pair.", "fails"),
        ("It is Black, not White, who has the bishop pair.", "holds"),
        ("White has castled short, not long.", "holds"),
        ("White has castled long, not short.", "fails"),
        ("This is the Spanish, not the Scandinavian.", "holds"),
        ("This is the Scandinavian, not the Spanish.", "fails"),
        ("Only Black has the bishop pair.", "holds"),
        ("Only White has castled.", "holds"),
        ("Only White has a light-squared bishop.", "fails"),
    ],
)
def test_what_is_left_is_judged(text: str, verdict: str) -> None:
    assert [v.verdict for v in ask(text, moves=EXCHANGE)] == [verdict]
