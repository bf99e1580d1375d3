"""A move of each side left out: found by what follows, and no board of another line is asked."""

from __future__ import annotations

from linewright.lesson import Slip, follow
from linewright.script import parse
from linewright.source import Source

FIRST = (
    "1.d4 d5 2.c4 e6 3.Nc3 Nf6 4.Bg5 Be7 5.e3 0-0 6.Nf3 h6 7.Bh4 b6 8.cxd5 Nxd5 9.Bxe7 Qxe7 "
    "10.Nxd5 exd5\n\n# Another way\n\n"
)


def slips(text: str) -> tuple[Slip, ...]:
    return follow(parse(Source("lesson.md", text))).slips


def test_a_rare_move_left_out_is_found_by_the_captures_behind_it() -> None:
    """Found in use: without 7.a4 nothing on the a-file could take back, two moves later."""
    line = "1.g3 e5 2.Bg2 d5 3.d3 Nf6 4.Nf3 Nc6 5.0-0 Be7 6.b4 a6 8.b5 axb5 9.axb5 Rxa1 10.bxc6"
    for before in ("", FIRST):
        (slip,) = slips(before + line)
        assert slip.reason == "move 7 is left out before it"
        assert all(text.startswith("7.a4 ") for text in slip.repairs)


def test_the_move_that_matters_less_may_be_any_of_those_that_fit() -> None:
    line = (
        "1.g3 e5 2.Bg2 d5 3.d3 Nf6 4.Nf3 Nc6 5.0-0 Be7 6.b4 a6 8.b5 axb5 9.axb5 Rxa1 10.bxc6 Be6 "
        "11.cxb7 d4 12.Ng5 Bd5"
    )
    (slip,) = slips(line)
    assert "7.a4 d4 8.b5" not in slip.repairs and "7.a4 Be6 8.b5" not in slip.repairs


def test_behind_a_wrong_number_a_move_is_judged_on_its_own_line() -> None:
    line = "1.g3 e5 2.Bg2 d5 3.d3 Nf6 4.Nf3 Nc6 5.0-0 Be7 6.b4 a6 9.b5 axb5 10.axb5"
    told = [slip.reason for slip in slips(FIRST + line)]
    assert told[1] == "no white pawn on the a-file can take on b5"
    assert len(told) == 2
