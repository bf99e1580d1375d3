"""Slips mended by what follows: moves left out, and squares that side lines say nothing of."""

from __future__ import annotations

from linewright.following import follow
from linewright.lesson import Slip
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


def test_a_side_line_set_beside_a_wrong_move_says_nothing_of_it() -> None:
    """Found in use: the lesson went on behind the side line, whose moves were all it looked at."""
    text = (
        "1.e4 e5 2.Nf3 Nc6 3.Bb5 a6 4.Ba4 Nd6 Or (4...d6 5.0-0 Bd7 6.c3 Nf6 7.Re1 Be7 8.d4 0-0 "
        "9.Nbd2 Re8 10.Nf1 h6 11.Ng3 Bf8 12.a3 b5 13.Bc2 g6 is slower).\n\n"
        "5.0-0 Be7 6.Re1 b5 7.Bb3 0-0 8.c3 d6 9.h3 Nd7 10.d4 Bf6"
    )
    (slip,) = slips(text)
    assert slip.repairs[0] == "Nf6"


def test_a_move_left_out_before_one_that_could_be_either_sides_blames_no_other() -> None:
    """Found in use: 1.d4, 2.c4 and g6 were blamed, and the slip was there all the same."""
    line = "1.d4 Nf6 2.c4 g6 3.Nc3 Bg7 4.e4 d6 5.Nf3 0-0 e5 7.0-0 Nc6 8.d5 Ne7."
    (slip,) = slips(line)
    assert slip.reason == "White's move 6. is missing before it, so that '7.0-0' can follow"
    assert line[slip.span.start : slip.span.end] == "e5"


def test_a_reply_behind_parentheses_is_read_as_it_is_written() -> None:
    """Found in use: behind a comma it was no move, and a move nobody wrote stood in its place."""
    for between in (
        "(not 2.Nf3), e6",
        "(not 2.Nf3); e6",
        "(not 2.Nf3) (nor 2.e4) e6",
        "(not 2.Nf3), (nor 2.e4), e6",
    ):
        lesson = follow(parse(Source("lesson.md", f"1.d4 d5 2.c4 {between} 3.Nc3 Nf6.")))
        assert not lesson.slips, between
        assert [n.san for n in lesson.tree.told_line()][2:] == ["c4", "e6", "Nc3", "Nf6"]
