"""Which move a number is of, and of which move another is \"the other\"."""

from __future__ import annotations

import pytest

from linewright.source import Source
from linewright.talk.heard import Heard, hear
from linewright.talk.transcript import read_transcript

OPEN = "E4, e5, knight f3, knight c6, d4, e takes d4, knight takes d4. "


def heard(text: str) -> Heard:
    return hear(read_transcript(Source("talk.txt", text)))


def told(talk: Heard) -> list[str]:
    return [" ".join(move.san for move in line.moves) for line in talk.lines]


def test_a_number_said_of_one_move_is_not_that_of_the_next() -> None:
    talk = heard(
        OPEN
        + "There are two big moves. One is bishop c5. The main line today is bishop c5.\n\nYes? Can"
        " Black play queen h4 here instead, to take the pawn on e4? Good question. Queen h4 is"
        " possible, on move four, and it does hit the pawn. We just play knight c3."
    )
    assert "e4 e5 Nf3 Nc6 d4 exd4 Nxd4 Qh4 Nc3" in told(talk)
    assert all(move.said for move in talk.moves.values())


def test_what_is_counted_after_moves_is_no_number_of_a_move() -> None:
    talk = heard(
        OPEN + "There are two big moves. One is bishop c5, which attacks our knight. The main line"
        " today is bishop c5, and there bishop e3."
    )
    assert "e4 e5 Nf3 Nc6 d4 exd4 Nxd4 Bc5 Be3" in told(talk)
    assert not any("bishop c5" in question.said.text for question in talk.questions)


def test_the_other_move_is_one_on_the_same_board() -> None:
    talk = heard(
        "E4, e5, knight f3, knight c6, d4.\n\nBlack takes, e takes d4. And now we take back with the"
        " knight. So the knight from f3 goes to d4, and White has a knight in the centre and a pawn"
        " on e4.\n\nLook at the diagonals. Both White bishops can come out. Black has no pawn in the"
        " centre at all.\n\nNow what does Black do? One is bishop c5, which attacks our knight. The"
        " other is knight f6, which attacks our pawn on e4. The main move is bishop c5, so put that"
        " on your boards."
    )
    assert "e4 e5 Nf3 Nc6 d4 exd4 Nxd4 Nf6" in told(talk)
    assert not any("Nf6" in line.split()[1] for line in told(talk))
    assert not talk.questions


@pytest.mark.parametrize(
    ("words", "other"),
    [
        ("Black has two moves, one is bishop c5, the other is knight f6.", "Nf6"),
        ("Black has three moves, one is bishop c5, the other is queen h4.", "Qh4"),
        ("Black has two moves: one is bishop c5, the other is knight f6.", "Nf6"),
        ("Black has two moves, one try is bishop c5, the other try is knight f6.", "Nf6"),
        ("There are two moves, one was bishop c5. The other is knight f6.", "Nf6"),
    ],
)
def test_two_moves_of_which_one_is_told_first_are_both_heard(words: str, other: str) -> None:
    before = "e4 e5 Nf3 Nc6 d4 exd4 Nxd4"
    assert told(heard(OPEN + words)) == [f"{before} Bc5", f"{before} {other}"]
    gone_on_with = told(heard(f"{OPEN}{words} We look at bishop c5, bishop e3."))
    assert gone_on_with == [f"{before} Bc5 Be3", f"{before} {other}"]


@pytest.mark.parametrize(
    ("words", "wanted"),
    [
        ("You know what everybody likes here. The other is queen h4.", "Qh4"),
        ("Black can of course develop. The other is knight f6, which attacks e4.", "Nf6"),
    ],
)
def test_the_other_move_is_played_where_no_first_one_was_told(words: str, wanted: str) -> None:
    assert told(heard(OPEN + words)) == [f"e4 e5 Nf3 Nc6 d4 exd4 Nxd4 {wanted}"]
