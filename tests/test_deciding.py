"""Statements that the analyst and the judge of pawn endings decide."""

from __future__ import annotations

from functools import cache, partial
from pathlib import Path

import chess
import pytest

from linewright.aids import Aids
from linewright.analyst.answer import Effort
from linewright.analyst.builtin import BuiltIn
from linewright.analyst.pawn_ending import PawnEndings
from linewright.analyst.questions import Analyst
from linewright.asking import ask
from linewright.build import examine, load
from linewright.deciding import Decider, EndingDecider, ending_figures
from linewright.following import follow
from linewright.judged_place import Judges, Place
from linewright.script import parse
from linewright.source import Source
from linewright.statements import judge
from linewright.statements_of_lesson import judge_lesson

DAMIANO = "1.e4 e5 2.Nf3 f6 3.Nxe5 fxe5 4.Qh5+"
TRAP = "1.d4 d5 2.c4 e6 3.Nc3 Nf6 4.Bg5 Nbd7 5.cxd5 exd5"

TAKEN = "1.e4 e5 2.Nf3 d6 3.h3 h6 4.Nxe5"


@cache
def judges() -> Judges:
    analyst = Analyst(BuiltIn(), effort=Effort(nodes=15_000))
    return Judges(Decider(analyst, (1200, 1700)), EndingDecider(PawnEndings(analyst)))


@pytest.mark.parametrize(
    ("moves", "text", "verdict"),
    [
        (DAMIANO, "White is better.", "holds"),
        (DAMIANO, "White is winning.", "holds"),
        (DAMIANO, "Black is winning.", "fails"),
        (DAMIANO, "Black stands much worse.", "holds"),
        (DAMIANO, "The position is equal.", "fails"),
        (DAMIANO, "White has a clear advantage.", "holds"),
        ("1.e4 e5", "The position is equal.", "holds"),
        ("1.e4 e5", "White is winning.", "fails"),
        (TRAP, "Nxd5 is a mistake.", "holds"),
        (TRAP, "Nxd5 is a good move.", "fails"),
        (TRAP, "e3 is a blunder.", "fails"),
        ("1.e4 e5 2.Bc4 Nc6 3.Qh5", "White threatens Qxf7.", "holds"),
        ("1.d4 d5 2.c4 c6 3.Nf3 Nf6 4.Nc3 dxc4", "b5 is a threat.", "cannot-tell"),
        ("1.d4 d5 2.c4 c6 3.Nf3 Nf6 4.Nc3", "a3 is a threat.", "fails"),
        (TAKEN, "White threatens Nd3.", "fails"),
        (TAKEN, "White threatens a3.", "fails"),
        (TAKEN, "White threatens Nxf7.", "cannot-tell"),
        ("1.e4 d5 2.exd5", "White threatens d4.", "fails"),
        ("1.e4 d5 2.exd5", "White threatens c4.", "cannot-tell"),
    ],
)
def test_statements_of_advantage_soundness_and_threats(moves: str, text: str, verdict: str) -> None:
    """Common practice, no source: three well-known openings for beginners."""
    found = ask(text, moves=moves, judges=judges())
    assert [v.verdict for v in found] == [verdict], [v.because for v in found]


WON_BACK = "1.e4 e5 2.Nf3 Nc6 3.Nc3 Nf6 4.Bc4 Nxe4 5.Nxe4 d5"


@pytest.mark.parametrize(
    ("moves", "text", "verdict"),
    [
        (TRAP + " 6.Nxd5", "Black wins a piece by force.", "holds"),
        (TRAP + " 6.Nxd5", "White wins a piece by force.", "fails"),
        (TRAP + " 6.Nxd5", "White loses a piece by force.", "holds"),
        (TRAP + " 6.Nxd5 Nxd5 7.Bxd8", "Bb4+ wins the queen back.", "holds"),
        (TRAP, "White wins a pawn.", "fails"),
        (WON_BACK, "Black regains the piece by force.", "holds"),
        ("1.d4 d5 2.c4 dxc4", "White always gets the pawn back by force.", "holds"),
        ("1.e4 e5 2.Bc4 Nc6 3.Qh5 Nf6", "White has mate in two.", "fails"),
        ("1.f3 e5 2.g4", "There is a forced mate.", "holds"),
        ("1.e4 e5", "White wins a piece by force.", "fails"),
        ("1.e4 e5", "White wins by force.", "fails"),
    ],
)
def test_statements_of_force(moves: str, text: str, verdict: str) -> None:
    """Common practice, no source: traps and exchanges every beginner's book has."""
    found = ask(text, moves=moves, judges=judges())
    assert [v.verdict for v in found] == [verdict], [v.because for v in found]


@pytest.mark.parametrize(
    ("text", "verdict"),
    [
        ("The pawn ending is won for White.", "holds"),
        ("The pawn ending is drawn.", "fails"),
        ("White wins the pawn ending.", "holds"),
        ("Black holds the ending.", "fails"),
    ],
)
def test_statements_about_pawn_endings(text: str, verdict: str) -> None:
    """Source: outside passed pawn, handbook theme."""
    found = ask(text, fen="8/8/1p2k3/1P6/3K4/8/5P2/8 w - - 0 1", judges=judges())
    assert [v.verdict for v in found] == [verdict]
    assert "proved" in found[0].because


def test_figures_show_the_ending_of_their_board_or_of_the_what_if_board_before() -> None:
    text = (
        "---\nstart: 4k3/5p2/8/8/8/8/4PN2/4K3 w - - 0 1\n---\n"
        "# One\n\nA knight is on the board. ![Not yet](pawn-ending)\n\n"
        "# Two\n\n[Take it away.](?remove=f2,f7)\n\n![The pawn](pawn-ending)\n"
    )
    lesson = follow(parse(Source("a.md", text)))
    endings = PawnEndings(Analyst(BuiltIn()))
    found = ending_figures(lesson, endings)
    assert list(found) == [text.index("![The pawn")]
    assert next(iter(found.values())).fen == "4k3/8/8/8/8/8/4P3/4K3 w - - 0 1"


@pytest.mark.parametrize("edit", ["remove=e8", "remove=d8&place=Qe7", "turn=black&place=qe2"])
def test_nothing_is_decided_on_impossible_boards(edit: str) -> None:
    text = (
        f"After 1.e4 e5 [look here](?{edit}) White is better. The pawn ending is won for White.\n"
    )
    said = judge_lesson(follow(parse(Source("a.md", text))), judges())
    assert {verdict.verdict for verdict in said} <= {"cannot-tell"}


def test_the_example_lesson_is_clean_and_its_trap_is_proved_by_a_line() -> None:
    """Common practice, no source: the trap with 6.Nxd5 and the check on b4."""
    path = Path(__file__).parent.parent / "examples" / "exchange-variation.md"
    source, faults = load(path)
    analyst = Analyst(BuiltIn(), effort=Effort(nodes=20_000))
    report = examine(source, faults, lambda _: Aids(analyst=analyst))
    assert report.clean
    proofs = [f for f in report.findings if f.rule == "mistake-as-said"]
    assert len(proofs) == 1 and proofs[0].evidence.line.startswith("6.Nxd5 Nxd5 7.Bxd8 Bb4+ 8.Qd2")
    asked = analyst.asked
    examine(source, faults, lambda _: Aids(analyst=analyst))
    assert analyst.asked == asked


def _always(place: Place, _: int) -> Place:
    return place


def test_a_pawn_taken_by_the_move_just_made_is_won_though_the_taker_is_taken() -> None:
    """Found in use: behind the capture "Black wins a pawn" failed, counted from the recapture on."""
    board = chess.Board("4r1k1/5pp1/5n1p/8/4P3/B1N5/5PPP/6K1 b - - 0 1")
    guarded = chess.Board("6k1/5pp1/5n1p/8/4P3/B1N5/5PPP/6K1 b - - 0 1")
    verdicts = []
    for before in (board, guarded):
        before.push_san("Nxe4")
        place = Place(before, judges=judges())
        verdicts += [v.verdict for v in judge("Black wins a pawn.", partial(_always, place))]
    assert verdicts == ["holds", "fails"]


@pytest.mark.parametrize("many", ["two", "2", "3", "four", "10"])
def test_more_than_one_pawn_is_not_won_where_one_is(many: str) -> None:
    """Found in use: "wins two pawns" held of one pawn taken."""
    board = chess.Board("4r1k1/5pp1/5n1p/8/4P3/B1N5/5PPP/6K1 b - - 0 1")
    board.push_san("Nxe4")
    told = judge(f"Black wins {many} pawns.", partial(_always, Place(board, judges=judges())))
    assert [verdict.verdict for verdict in told] != ["holds"]
