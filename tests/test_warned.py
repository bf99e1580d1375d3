"""Moves that a talk warns of and then shows."""

from __future__ import annotations

import pytest

from linewright.source import Source
from linewright.talk.heard import Heard, hear
from linewright.talk.transcript import read_transcript
from linewright.talk.writing import script_text

OPEN = (
    "White plays e4, Black plays e5, knight f3, knight c6, d4, e takes d4, knight takes d4, knight f6,"
    " knight takes c6. "
)
TRAP = "queen takes d8 check, king takes d8, bishop c4. "
INSTEAD = "Instead b takes c6, e5, queen e7."


def heard(text: str) -> Heard:
    return hear(read_transcript(Source("a.txt", text)))


@pytest.mark.parametrize(
    "warning",
    [
        "Please don't take back with the d-pawn. Olga did that, and it hurt: ",
        "Never take back with the d-pawn, because of ",
        "You shouldn't take with the d-pawn here: ",
    ],
)
def test_a_warning_tells_the_move_that_it_names(warning: str) -> None:
    """Found in use: the bad move stood before the warning, as one that nobody said."""
    talk = heard(OPEN + warning + TRAP + INSTEAD)
    bad = next(move for move in talk.moves.values() if move.san == "dxc6")
    assert bad.said is not None
    assert bad.kind == "supposed"
    script = script_text(talk)
    assert script.index("d-pawn") < script.index("5...dxc6")
    assert "not said" not in script
    assert [talk.moves[node].san for node in talk.main_line()][-3:] == ["bxc6", "e5", "Qe7"]


def test_what_somebody_does_not_do_is_no_warning() -> None:
    talk = heard(OPEN + "He doesn't take back with the d-pawn. B takes c6, e5, queen e7.")
    assert {move.kind for move in talk.moves.values()} == {"shown"}
