"""Slips that only what is said afterwards shows, and moves that the words before them miss."""

from __future__ import annotations

import pytest

from linewright.source import Source
from linewright.talk.heard import Heard, hear
from linewright.talk.transcript import read_transcript


def heard(text: str) -> Heard:
    return hear(read_transcript(Source("talk.txt", text)))


def slips(talk: Heard) -> list[tuple[str, str, str]]:
    return [(slip.said.text, slip.meant, slip.kind) for slip in talk.slips]


def line(talk: Heard) -> str:
    return " ".join(move.san for move in talk.lines[0].moves)


SPANISH = "e4 e5, knight f3, knight c6, bishop b5, a6, bishop a4, knight f6, castles, bishop e7. "
QUEENS = "d4, d5, c4, e6, knight c3, knight f6, bishop g5, bishop e7, e3, castles, knight f3. "


@pytest.mark.parametrize(
    ("words", "said", "meant"),
    [
        (QUEENS + "Knight b to d7, rook c1, c6. Bishop e2. Black takes on c4. With the bishop on d3"
         " White would recapture at once. The bishop takes back from d3.", "Bishop e2", "Bd3"),
        (QUEENS + "Knight b to d7, rook c1, c6. Queen d2, rook e8. From c2 the queen looks at h7, and"
         " that is a good square for her. Bishop d3.", "Queen d2", "Qc2"),
        (SPANISH + "Rook e1, b5, bishop b3, d6, c3, castles, h3. Knight a5, bishop c2, c5, d4. Queen d7,"
         " knight b to d2. See how the queen on c7 watches e5.", "Queen d7", "Qc7"),
    ],
)  # fmt: skip
def test_where_a_piece_stands_afterwards_tells_what_was_meant(
    words: str, said: str, meant: str
) -> None:
    talk = heard(words)
    assert (said, meant, "square") in slips(talk)
    assert meant in line(talk).split()
    slip = next(slip for slip in talk.slips if slip.meant == meant)
    assert slip.sure >= 0.5


@pytest.mark.parametrize(
    "after",
    [
        "Some people put the bishop on d3 instead.",
        "We would like the bishop on d3 one day.",
        "There is no bishop on d3, you see.",
        "In the other line the bishop stands on d3.",
    ],
)
def test_plans_and_other_lines_make_no_move_doubtful(after: str) -> None:
    talk = heard(QUEENS + "Knight b to d7, rook c1, c6. Bishop e2. " + after)
    assert not talk.slips
    assert line(talk).endswith("c6 Be2")


def test_a_move_the_words_miss_by_one_part_was_said_wrong_not_left_out() -> None:
    talk = heard(QUEENS + "h6. Knight h4, and knight e4, and he takes, takes.")
    wrong = [slip for slip in talk.slips if slip.meant == "Bh4"]
    assert [slip.said.text for slip in wrong] == ["Knight h4"]
    move = next(m for m in talk.lines[0].moves if m.san == "Bh4")
    assert move.said is not None and move.said.text == "Knight h4"


def test_a_capture_told_again_at_once_shows_the_side_said_wrong() -> None:
    talk = heard(
        "e4, d5. White takes, queen takes, knight c3, queen a5, d4, knight f6, knight f3, bishop f5,"
        " bishop c4, e6, bishop d2, bishop b4, a3. White takes c3, bishop takes c3, and queen c7."
    )
    assert ("White takes c3", "Bxc3", "side") in slips(talk)
