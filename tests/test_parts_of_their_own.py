"""What headings name and what a part says at large: not of the board the part before ends with."""

from __future__ import annotations

import pytest

from linewright.following import follow
from linewright.script import parse
from linewright.source import Source
from linewright.statements_of_lesson import judge_lesson

BEFORE = "1.d4 d5 2.c4 dxc4 3.e4 c5 4.dxc5 Qxd1+ 5.Kxd1\n\n"


@pytest.mark.parametrize(
    ("heading", "slips"), [("Black keeps her with ...Qe7", 0), ("Not ...Qe4", 1)]
)
def test_a_move_that_a_heading_names_is_looked_for_below_it(heading: str, slips: int) -> None:
    text = f"{BEFORE}# {heading}\n\n1.e4 e5 2.Nf3 Nc6 3.Bc4 Qe7.\n\n# After that\n\n1.d4 d5."
    assert len(follow(parse(Source("lesson.md", text))).slips) == slips


def judged(text: str) -> list[tuple[str, str]]:
    found = judge_lesson(follow(parse(Source("lesson.md", text))))
    return [(verdict.statement.words, verdict.verdict) for verdict in found]


@pytest.mark.parametrize(
    "words",
    [
        "When White has pawns on c4 and d3 and Black has pawns on e5 and d6, "
        "nobody has an isolated pawn.",
        "But when Black puts pawns on c5 and e6, White has an isolated pawn.",
        "When both sides keep the queens, Black has two knights.",
    ],
)
def test_what_is_said_of_every_position_of_a_kind_is_not_of_this_board(words: str) -> None:
    assert all(verdict == "cannot-tell" for _, verdict in judged(f"{BEFORE}# Plans\n\n{words}"))


def test_what_was_so_when_a_move_was_played_is_of_the_board() -> None:
    text = f"{BEFORE}When White took back, Black has a queen."
    assert [verdict for _, verdict in judged(text)] == ["fails"]


def test_words_before_a_part_that_begins_elsewhere_are_not_of_the_board_at_hand() -> None:
    words = "White's bishop on b5 attacks the knight on c6.\n\n"
    assert [v for _, v in judged(f"{BEFORE}# Italy\n\n{words}1.e4 e5 2.Nf3 Nc6 3.Bb5.")] == [
        "cannot-tell"
    ]
    assert [v for _, v in judged(f"{BEFORE}# Going on\n\n{words}5...e5 6.Bxc4.")] == ["fails"]
    set_up = f"{BEFORE}# After 1.d4 Nf6\n\n{words}1.e4 e5 2.Nf3 Nc6 3.Bb5."
    assert [v for _, v in judged(set_up)] == ["fails"]
