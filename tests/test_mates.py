"""How soon a side mates, what that may cost, and how it is said."""

from __future__ import annotations

from collections.abc import Iterator

import chess
import pytest

from linewright.position import mates
from linewright.statements import judge

MIDDLEGAME = "r1bq1rk1/pp2bppp/2n1pn2/3p4/2PP4/2N2N2/PP2BPPP/R1BQ1RK1 w - - 0 1"
IN_TWO = "7k/8/4K3/8/8/8/8/6Q1 w - - 0 1"
IN_ONE_AFTER_EVERY_REPLY = "7k/8/5K2/8/8/8/8/6Q1 b - - 0 1"


@pytest.fixture
def boards(monkeypatch: pytest.MonkeyPatch) -> Iterator[list[chess.Move]]:
    """The moves made on any board meanwhile, also those made only to see whether they check."""
    made: list[chess.Move] = []
    push = chess.Board.push

    def counting(self: chess.Board, move: chess.Move) -> None:
        made.append(move)
        push(self, move)

    monkeypatch.setattr(chess.Board, "push", counting)
    mates._search.cache_clear()
    yield made
    mates._search.cache_clear()


def test_no_more_boards_are_made_than_allowed(boards: list[chess.Move]) -> None:
    with pytest.raises(mates.TooManyBoardsError):
        mates.fastest_mate(chess.Board(MIDDLEGAME), chess.WHITE, 4, boards=2_000)
    assert 1_000 < len(boards) <= 2_000


def test_what_is_asked_again_or_of_another_number_is_not_looked_at_again(
    boards: list[chess.Move],
) -> None:
    for most in (4, 4, 5, 6):
        with pytest.raises(mates.TooManyBoardsError):
            mates.fastest_mate(chess.Board(MIDDLEGAME), chess.WHITE, most, boards=2_000)
    assert len(boards) <= 2_000
    assert mates.fastest_mate(chess.Board(MIDDLEGAME), chess.WHITE, 2, boards=2_000) is None


def test_a_claim_of_a_long_mate_cannot_be_told_and_costs_little(boards: list[chess.Move]) -> None:
    (verdict,) = judge("There is a forced mate in five.", chess.Board(MIDDLEGAME))
    assert verdict.verdict == "cannot-tell"
    assert len(boards) <= 2 * mates.BOARDS + 100


@pytest.mark.parametrize("seed", range(20))
def test_no_check_is_left_out(seed: int) -> None:
    import random

    board, drawn = chess.Board(), random.Random(seed)
    while not board.is_game_over() and board.ply() < 80:
        board.push(drawn.choice(list(board.legal_moves)))
        wanted = [move for move in board.legal_moves if board.gives_check(move)]
        assert [move for move in mates._may_check(board) if board.gives_check(move)] == wanted


@pytest.mark.parametrize(
    ("words", "verdict"),
    [
        ("White has no mate in three.", "fails"),
        ("There is no mate in three.", "fails"),
        ("White has no mate in one.", "holds"),
        ("White mates in two or three moves.", "holds"),
        ("White has a forced mate in three or four.", "fails"),
        ("White has a mate in three at most.", "holds"),
        ("White mates within three moves.", "holds"),
        ("White mates in at least three moves.", "fails"),
        ("There is a forced mate in three or fewer moves.", "holds"),
        ("White mates in three.", "fails"),
    ],
)
def test_a_number_of_moves_is_read_with_its_bounds_and_denied_up_to_it(
    words: str, verdict: str
) -> None:
    (found,) = judge(words, chess.Board(IN_TWO))
    assert (found.verdict, found.statement.words) == (verdict, words.rstrip("."))


@pytest.mark.parametrize(
    ("words", "verdict"),
    [
        ("White mates in one.", "holds"),
        ("White mates in two.", "holds"),
        ("It is mate in two.", "holds"),
        ("White mates in three.", "fails"),
    ],
)
def test_the_move_just_made_may_be_counted_whoever_is_named(words: str, verdict: str) -> None:
    (found,) = judge(words, chess.Board(IN_ONE_AFTER_EVERY_REPLY))
    assert found.verdict == verdict
    assert verdict == "holds" or found.because == "White mates in one"
