"""What is stated in a script as books print it, right behind moves and beside other clauses."""

from __future__ import annotations

import pytest

from linewright.following import follow
from linewright.script import parse
from linewright.source import Source
from linewright.statements_of_lesson import judge_lesson


def judged(text: str) -> list[tuple[str, str]]:
    found = judge_lesson(follow(parse(Source("lesson.md", text))))
    return [(verdict.statement.words, verdict.verdict) for verdict in found]


@pytest.mark.parametrize("stop", ["", ",", "."])
@pytest.mark.parametrize(
    ("words", "verdict"),
    [
        ("White's rook attacks the pawn on a7", "holds"),
        ("the rook on a5 attacks the pawn on a7", "holds"),
        ("White's rook attacks the knight on c6", "fails"),
    ],
)
def test_a_man_named_behind_a_move_is_not_the_one_that_moved(
    stop: str, words: str, verdict: str
) -> None:
    text = f"1.a4 Nc6 2.a5 e6 3.a6 bxa6 4.Rxa6 Bb7 5.Ra5 Qe7{stop} {words[0].upper()}{words[1:]}."
    assert [found for _, found in judged(text)] == [verdict]


@pytest.mark.parametrize("said", ["it", "this", "she"])
def test_what_is_said_of_it_behind_a_move_is_said_of_the_move(said: str) -> None:
    assert judged(f"1.e4 e5 2.Qh5, {said} attacks the pawn on e5.")[0][1] == "holds"


def test_men_with_a_verb_of_their_own_are_not_what_the_clause_before_had() -> None:
    text = (
        "1.e4 e5 2.Nf3 d6 3.d4 exd4 Black has taken a pawn but the knight on f3 and "
        "the bishop on c1 are strong."
    )
    assert [verdict for _, verdict in judged(text)] == ["holds"]


def test_the_piece_that_is_lost_is_the_one_that_is_attacked() -> None:
    """Found in use: "the queen is lost" was told of White's own, with Black's under attack."""
    moves = "1.c4 c5 2.g3 d5 3.cxd5 Qxd5 4.Nf3 Nc6 5.Bg2 e5 6.0-0 h6 7.d3 b6 8.Ng5"
    text = f"{moves} and the queen is lost."
    (verdict,) = judge_lesson(follow(parse(Source("lesson.md", text))))
    assert verdict.verdict == "fails" and "queen on d5" in verdict.because
