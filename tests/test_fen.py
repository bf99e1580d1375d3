"""What is said of a text that is no position."""

import chess
import pytest
from hypothesis import given
from hypothesis import strategies as st

from linewright.asking import UnreadableQuestionError, ask
from linewright.following import follow
from linewright.position.fen import EXAMPLE, read_fen, why_unreadable
from linewright.script import parse
from linewright.source import Source


@pytest.mark.parametrize(
    ("fen", "reason"),
    [
        ("start", f"a position is written like {EXAMPLE}"),
        ("8/8/8 w - - 0 1", "'8/8/8' has 3 ranks between its strokes and not 8"),
        ("4k3/8/8/8/8/9/8/4K3 w - - 0 1", "'9' in rank 3 ('9') stands for no piece"),
        ("4k3/8/8/8/8/8/8/4K4 w - - 0 1", "rank 1 ('4K4') has 9 squares and not 8"),
        ("4k3/8/44/8/8/8/8/4K3 w - - 0 1", "'44' in rank 6 is written 8: empty squares side by side"),
        ("4k3/8/8/8/8/8/8/4K3 W - - 0 1", "'W' is no side to move: w or b is meant"),
        (
            "4k3/8/8/8/8/8/8/4K3 w none - 0 1",
            "'none' tells no castling: some of KQkq are meant, or - for none",
        ),
        ("4k3/8/8/8/8/8/8/4K3 w - - 0 1 b", "'b' stands behind its end"),
    ],
)  # fmt: skip
def test_what_is_wrong_is_said_in_words_of_the_text(fen: str, reason: str) -> None:
    """Found in use: the message was the rules library's, and repeated the position thrice."""
    assert why_unreadable(fen) == reason
    with pytest.raises(ValueError, match="is no position: ") as wrong:
        ask("White is a pawn up.", fen=fen)
    assert isinstance(wrong.value, UnreadableQuestionError)
    assert str(wrong.value) == f"'{fen}' is no position: {reason}"


def test_an_exercise_says_its_position_once() -> None:
    text = "1.e4 e5.\n\n```exercise\nMate?\nfen: 4k3/8/8/8/8/8/8/4K w - - 0 1\nanswer: 1.Kd2\n```\n"
    (exercise,) = follow(parse(Source("a.md", text))).exercises
    (slip,) = exercise.task.slips
    assert slip.reason == "rank 1 ('4K') has 5 squares and not 8"


@given(
    st.lists(
        st.sampled_from(["4k3/8/8/8/8/8/8/4K3", "w", "b", "-", "KQ", "e3", "0", "1", "8/8", "x"])
    )
)
def test_whatever_the_rules_library_refuses_has_a_reason(parts: list[str]) -> None:
    fen = " ".join(parts)
    try:
        expected = chess.Board(fen)
    except ValueError:
        with pytest.raises(ValueError, match=r"\w"):
            read_fen(fen)
    else:
        assert read_fen(fen) == expected
