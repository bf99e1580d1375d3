"""One fault in a script gives one finding, at its place, with the repair that was meant."""

from __future__ import annotations

import statistics

import pytest

from linewright.build import examine
from linewright.finding import Finding
from linewright.lesson import Lesson, SlipKind, follow
from linewright.script import parse
from linewright.source import Source
from tests.planted import Outcome, outcomes, table


@pytest.fixture(scope="module")
def found() -> list[Outcome]:
    return outcomes(most=8, seed=5)


def test_one_fault_gives_one_finding(found: list[Outcome]) -> None:
    """Before repairs were tried against what follows, the mean was 3.8 and the worst case 34."""
    extra = [one.follow_on for one in found if one.noticed]
    assert len(extra) >= 80
    assert statistics.median(extra) == 0, table(found)
    assert statistics.mean(extra) <= 0.25, table(found)
    assert max(extra) <= 4, table(found)


def test_the_first_repair_offered_is_mostly_the_right_one(found: list[Outcome]) -> None:
    ranks = [one.rank() for one in found if one.noticed and one.planted.kind != "missing"]
    assert sum(rank == 0 for rank in ranks) >= 0.75 * len(ranks), table(found)


def lesson(text: str) -> Lesson:
    return follow(parse(Source("lesson.md", text)))


def findings(text: str) -> list[Finding]:
    return list(examine(Source("lesson.md", text)).findings)


CHAIN = "The chain 1.e4 c6 2.d4 d5 3.e5.\n\n"


def test_a_near_move_of_the_same_side_is_likelier_than_the_other_side() -> None:
    text = CHAIN + "The bishop comes out: 3...Bg5. Then\n\nthe quiet way is 4.Nf3 e6 5.Be2 c5."
    only = findings(text)
    assert [f.rule for f in only] == ["illegal-move"]
    assert only[0].repairs[0] == "3...Bf5"
    assert "e6" in lesson(text).tree.text(len(lesson(text).tree.nodes) - 1)


def test_the_other_side_is_meant_where_only_that_fits() -> None:
    slips = lesson("1.d4 d5 2.c4 e6 3.Nc3 3.Nf6 4.Bg5 Be7").slips
    assert [slip.repairs for slip in slips] == [("3...Nf6",)]


@pytest.mark.parametrize(
    ("text", "place", "repair"),
    [
        ("1.d4 d5 2.e6 c4 3.Nc3 Nf6 4.cxd5 exd5", "2.e6", "2.c4 e6"),
        ("1.d4 d5 2.c4 e6 3.Nc3 4.cxd5 exd5 5.Bg5 Nf6", "4.cxd5", None),
        ("1.d4 d5 2.c4 e6 3.Nc3 Nf6 5.cxd5 exd5 6.Bg5", "5.cxd5", "4.cxd5"),
        ("1.d4 d5 2.c3 e6 3.Nc3 Nf6 4.cxd5 exd5 5.Bg5 Be7", "2.c3", "2.c4"),
        ("1.d4 d5 2.c4 e6 3.Nj3 Nf6 4.cxd5 exd5 5.Bg5", "3.Nj3", "3.Nc3"),
        ("1.d4 d5 2.c4 e6 3.Nc3 nf6 4.cxd5 exd5 5.Bg5", "nf6", "Nf6"),
        ("1.d4 d5 2.c4 e6 3.Nc3 Nf6 4.cxd5 exd55 5.Bg5", "exd55", "exd5"),
        ("1.d4 d5 2.c4 e6 3.Nc3 Nf6 3.cxd5 exd5 5.Bg5", "3.cxd5", "4.cxd5"),
    ],
)
def test_a_single_slip_is_one_finding_where_it_stands(
    text: str, place: str, repair: str | None
) -> None:
    source = Source("lesson.md", f"The main line is {text}.")
    only = findings(source.text)
    assert [source.words(f.span) for f in only] == [place], [f.message for f in only]
    assert repair is None or only[0].repairs[0] == repair


def test_a_missing_move_is_told_as_missing() -> None:
    only = findings("The main line is 1.d4 d5 2.c4 e6 3.Nc3 4.cxd5 exd5 5.Bg5 Nf6.")
    assert "Black's move 3... is missing before it" in only[0].message


def test_what_is_said_on_a_lost_board_is_held_back_and_counted() -> None:
    text = (
        "The line is 1.d4 d5 2.c4 e6 3.Qd7 Qc8 and the [knight](#attack:c3-d5) attacks d5. "
        "White is a rook up."
    )
    report = examine(Source("lesson.md", text))
    assert [f.rule for f in report.findings] == ["illegal-move", "unfollowed-move"]
    assert "arrow-no-piece-could-mean" in {f.rule for f in report.checked.held}


def test_a_legal_move_is_doubted_only_where_what_follows_says_so() -> None:
    assert [slip.kind for slip in lesson("1.d4 e6 2.c4 Bb4+ 3.a3").slips] == [SlipKind.ILLEGAL]
    slip = lesson("1.d4 d5 2.c3 e6 3.Nc3 Nf6 4.cxd5 exd5 5.Bg5 Be7").slips[0]
    assert slip.kind is SlipKind.CONTRADICTED
    assert "'3.Nc3' cannot be played after it" in slip.reason
