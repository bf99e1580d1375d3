"""Words of the board that were written as others, put right where no move tells it."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest

from linewright.source import Source
from linewright.talk.heard import Heard, Reading, hear, hear_misheard
from linewright.talk.misheard_model import Sort, chances, shipped, sorts
from linewright.talk.transcript import read_transcript
from linewright.talk.writing import corrected_captions

GAME = (
    "White plays d4, Black plays knight f6, c4, g6, knight c3, bishop g7, e4, d6, knight f3, castles,"
    " bishop e2, e5, castles, knight c6, d5, knight e7. "
)


def heard(words: str, answers: dict[str, str] | None = None) -> Heard:
    return hear(read_transcript(Source("talk.txt", GAME + words)), answers=answers)


def put_right(words: str) -> list[tuple[str, str]]:
    return [(change.said.text, change.now) for change in heard(words).caption_changes]


@pytest.mark.parametrize(
    ("words", "changes"),
    [
        ("The bitch up on g7 is shut in.", [("bitch up", "bishop")]),
        ("So be lack attacks on the king's side.", [("be lack", "black")]),
    ],
)
def test_words_that_move_nothing_are_put_right_by_sound_and_sense(
    words: str, changes: list[tuple[str, str]]
) -> None:
    """Found in use: "the bitch up on g7" stood before pupils, for no move told what it was."""
    assert put_right(words) == changes


@pytest.mark.parametrize(
    "words",
    [
        "We met last night at the club.",
        "It was a long night for both players.",
        "I might be wrong about it.",
        "You can take your time here.",
        "It's only a castle in the air.",
        "He wore a white coat and a black hat.",
        "Check the clock before you move.",
        "Have a look at the long diagonal.",
        "I look for a plan before I move.",
        "Be six feet from the board, please.",
        "I need a clean sheet of paper.",
        "They ship it in a box.",
        "It costs four pounds at the door.",
        "We have the room until eight.",
        "To be fair, three of you saw it.",
        "See you at five, and bring a friend.",
    ],
)
def test_ordinary_words_stay(words: str) -> None:
    """They sound like words of the board, too ("might", "look", "clean", "ship")."""
    assert not put_right(words)


def test_a_letter_and_a_number_by_sound_are_no_other_square() -> None:
    """A rook goes to a1 there and not to c1, but "see one" is c1."""
    reading = Reading.of(read_transcript(Source("talk.txt", GAME + "The rook belongs on see one.")))
    found = hear_misheard(reading, sorts(reading.text))[1]
    both = [each.now for each in found if each.end - each.first == 2 and each.sort is Sort.SQUARE]
    assert both == ["c1"]


@pytest.mark.parametrize(
    ("words", "wrong"),
    [
        ("Look at the weak square on eve five.", "f5"),
        ("The pawn on he five is weak.", "d5"),
        ("The knight looks at if for now.", "e4"),
        ("Both be shops are shut in.", "bishop"),
        ("We will be five at the table.", "b5"),
        ("He'll be five in May.", "b5"),
        ("You see two of them.", "c2"),
    ],
)
def test_no_word_is_put_that_was_not_nearly_said(words: str, wrong: str) -> None:
    """Found in use: a square was put for another, as any square was nearer than the words."""
    assert wrong not in [now for _, now in put_right(words)]


def test_nothing_is_put_right_where_no_move_was_told() -> None:
    reading = Source("talk.txt", "The bitch up is shut in, so be lack attacks, says the pupil.")
    assert not hear(read_transcript(reading)).caption_changes


def test_a_change_over_two_captions_stands_in_the_first() -> None:
    """Found in use: it was told in the list of changes and not made."""
    cues = f"WEBVTT\n\n00:01.000 --> 00:40.000\n{GAME}The pawn on be"
    text = f"{cues}\n\n00:41.000 --> 00:44.000\nfive is far away.\n"
    talk = hear(read_transcript(Source("talk.vtt", text)))
    assert [change.now for change in talk.caption_changes] == ["b5"]
    shown = corrected_captions(talk)
    assert "The pawn on b5\n\n00:41.000 --> 00:44.000\nis far away." in shown


def test_a_change_may_be_refused() -> None:
    words = "The bitch up on g7 is shut in."
    assert heard(words).caption_changes
    refused = heard(words, {"bitch up": "as said"})
    assert not refused.caption_changes


def test_no_two_changes_touch_the_same_words() -> None:
    words = "The bitch up on be too and the night on see three, and be lack take so on the five."
    changes = sorted(heard(words).caption_changes, key=lambda change: change.said.first)
    assert len(changes) > 1
    assert all(one.said.end <= other.said.first for one, other in pairwise(changes))


def test_each_word_has_one_sort_and_what_is_certain_is_known_as_such() -> None:
    reading = Reading.of(
        read_transcript(Source("talk.txt", GAME + "The bitch up on g7 is shut in."))
    )
    told = sorts(reading.text)
    assert told.shape == (len(reading.tokens), len(Sort))
    assert np.allclose(told.sum(1), 1, atol=1e-5)
    plain = [k for k, token in enumerate(reading.tokens) if token.text == "plays"]
    assert all(told[k, Sort.AS_WRITTEN] > 0.9 for k in plain)
    at = next(k for k, token in enumerate(reading.tokens) if token.text == "bitch")
    assert told[at, Sort.KNIGHT : Sort.OTHER].argmax() + Sort.KNIGHT == Sort.BISHOP


def test_how_sure_a_change_is_hangs_on_all_that_was_learned() -> None:
    reading = Reading.of(
        read_transcript(Source("talk.txt", GAME + "The bitch up on g7 is shut in."))
    )
    found = hear_misheard(reading, sorts(reading.text))[1]
    assert {tuple(each.seen) for each in found} == {shipped().seen}
    told = chances([each.seen for each in found])
    best = found[told.index(max(told))]
    assert (best.now, best.end - best.first) == ("bishop", 2)
