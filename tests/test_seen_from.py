"""What a man would do from a square it is only sent to is judged from that square."""

from __future__ import annotations

import chess
import pytest

from linewright.statements import judge


def verdicts(text: str, moves: str) -> list[str]:
    board = chess.Board()
    for san in moves.split():
        board.push_san(san)
    return [found.verdict for found in judge(text, board)]


OPENING = "d4 d5 Nf3 e6 c4 c6 Nc3 Nf6 e3 Nbd7"


@pytest.mark.parametrize(
    ("text", "verdict"),
    [
        ("White's knight goes to e5, from where it attacks f7.", "holds"),
        ("White's knight goes to e5, from where it attacks b7.", "fails"),
        ("White's knight heads for e5, where it attacks c6 and d7.", "holds"),
        ("White's knight on f3 comes to e5 and attacks f7 from there.", "holds"),
        ("From e5 White's knight attacks f7.", "holds"),
        ("From e5 White's knight attacks b7.", "fails"),
        ("The white knight wants to come to e5. There it attacks f7.", "holds"),
        ("The black knight on d7 heads for b6, where it defends d5.", "holds"),
        ("The black knight on d7 heads for b6, where it defends e6.", "fails"),
        ("The knight on f3 attacks e5.", "holds"),
        ("The knight on f3 attacks f7.", "fails"),
    ],
)
def test_what_a_man_does_from_where_it_goes_is_judged_there(text: str, verdict: str) -> None:
    """Found in use: "heads for c4, where it attacks d6" failed for the knight still on d2."""
    assert verdicts(text, OPENING)[-1:] == [verdict]


def test_the_man_that_just_moved_is_sent_on() -> None:
    moves = f"{OPENING} Bd3 Nb6"
    assert verdicts("This heads for c4, where it attacks b2.", moves) == ["holds"]
    assert verdicts("From c4 it attacks e3.", moves) == ["holds"]
    assert verdicts("From c4 it attacks g2.", moves) == ["cannot-tell"]


@pytest.mark.parametrize(
    ("text", "verdict"),
    [
        ("The queen attacks the knight from d1.", "fails"),
        ("Black's queen on d8 defends the knight from d8.", "holds"),
        ("White's bishop defends the pawn from f1.", "holds"),
        ("The knight protects the pawn from f3.", "holds"),
        ("The black queen defends the bishop from d8.", "holds"),
        ("From f6 the knight attacks e5.", "fails"),
        ("White attacks the pawn on d5 from c4.", "holds"),
        ("White has played c4, where the pawn attacks d5.", "holds"),
    ],
)
def test_a_man_that_is_there_already_is_the_one_that_acts(text: str, verdict: str) -> None:
    """Found in use: the man acted upon was put on the square of the one that acts."""
    assert verdicts(text, OPENING)[-1:] == [verdict]


@pytest.mark.parametrize(
    "text",
    [
        "White's knights go to e5, where they attack f7.",
        "From e5 both knights attack f7.",
        "The rook comes to c8, where it attacks c4.",
        "The bishop is on c4, where it attacks a1.",
    ],
)
def test_what_several_men_or_one_that_cannot_come_would_do_is_not_told(text: str) -> None:
    assert verdicts(text, OPENING)[-1:] == ["cannot-tell"]
