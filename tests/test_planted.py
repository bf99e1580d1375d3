"""One fault in a script gives one finding, at its place, with the repair that was meant."""

from __future__ import annotations

import re
import statistics

import pytest
from chess import C5, Board

from linewright.build import edition_of, examine
from linewright.finding import Finding
from linewright.following import follow
from linewright.lesson import Lesson, SlipKind
from linewright.outputs import load_output
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


HITS = "After 1.e4 c6 2.d4 d5 3.e5 Bf5 4.Nf3 e6 5.Be2 Black "


def test_a_mark_may_stand_before_the_move_that_makes_it_true() -> None:
    text = HITS + "hits the [base of the chain](#attack:c5-d4) with 5...c5 at once."
    assert findings(text) == []
    placed = lesson(text).marks[0]
    assert Board(placed.fen).piece_at(C5) is not None


@pytest.mark.parametrize(
    "told",
    [
        "hits the [base of the chain](#attack:c5-e4) with 5...c5.",
        "hits the [base of the chain](#attack:c5-d4) now. Later comes 5...c5.",
    ],
)
def test_a_mark_that_no_move_of_its_sentence_makes_true_is_told(told: str) -> None:
    assert [f.rule for f in findings(HITS + told)] == ["arrow-no-piece-could-mean"]


def test_a_square_marked_as_a_hole_stays_on_its_board() -> None:
    read = lesson("After 1.e4 c5 2.Nf3 e5 the [hole](#d5) invites 3.Nc3 Nc6 4.Nd5.")
    assert read.marks[0].fen == read.at(read.marks[0].span.start).fen


@pytest.mark.parametrize("between", ["", ",", ":", " \u2013", " \u2014", " ("])
@pytest.mark.parametrize(
    ("line", "words", "move"),
    [
        ("1.e4 e5 2.Nf3 Nc6 3.Bb5 a6 4.Ba4 Nf6", "White castles queenside", "5.O-O"),
        ("1.e4 c6 2.d4 d5 3.e5 Bf5 4.Nc3 e6 5.g4", "knight to g6", "5...Bg6"),
    ],
)
def test_words_that_contradict_the_move_beside_them_are_told(
    line: str, words: str, move: str, between: str
) -> None:
    closing = ")" if "(" in between else ""
    space = "" if between.endswith("(") else " "
    told = findings(f"After {line} {words}{between}{space}{move}{closing}.")
    assert [f.rule for f in told] == ["words-and-move-differ"]


def test_the_proof_sheet_says_how_many_findings_are_held_back() -> None:
    text = "The line is 1.d4 d5 2.c4 e6 3.Qd7 Qc8 and the [knight](#attack:c3-d5) attacks d5."
    edition = edition_of(examine(Source("lesson.md", text)), "lesson")
    sheet = load_output("proof").make(edition)[0].data.decode()
    assert re.search(r"\d findings? held back until a move is mended", sheet)
