"""Suppositions in words: which moves they mean, and whether what is said of them works."""

from __future__ import annotations

from functools import cache

import pytest

from linewright.aids import Aids
from linewright.analyst.answer import Effort
from linewright.analyst.builtin import BuiltIn
from linewright.analyst.hypotheses import hypotheses
from linewright.analyst.questions import Analyst
from linewright.build import examine
from linewright.following import follow
from linewright.script import parse
from linewright.source import Source

TRAP = "After 1.d4 d5 2.c4 e6 3.Nc3 Nf6 4.Bg5 Nbd7 5.cxd5 exd5 all is safe. "
SCANDINAVIAN = "After 1.e4 d5 2.exd5 Qxd5 3.Nc3 "
SLAV = "After 1.d4 d5 2.c4 c6 3.Nf3 Nf6 4.Nc3 dxc4 5.a4 Bf5 White has a choice. "
KNIGHTS = "After 1.e4 e5 2.Nf3 Nc6 3.Bc4 Nf6 4.Ng5 d5 5.exd5 Black has a choice. "


def script(taught: str, text: str) -> Source:
    return Source("a.md", f"---\nfor: {taught}\nstudents: 1200-1600\n---\n{text}\n")


@cache
def analyst() -> Analyst:
    return Analyst(BuiltIn(), effort=Effort(nodes=20_000))


@pytest.mark.parametrize(
    ("taught", "text", "moves", "reply", "won", "gains"),
    [
        ("Black", TRAP + "If he takes the pawn, Bb4+ wins the bishop.",
         ["Nxd5"], "Bb4+", "the bishop", True),
        ("Black", TRAP + "If White grabs on d5, the knight drops.", ["Nxd5"], "", "knight", True),
        ("Black", TRAP + "If White grabs on d5, Black loses a piece.",
         ["Nxd5"], "", "a piece", False),
        ("White", KNIGHTS + "If he takes the pawn, Nxf7 is strong.",
         ["Qxd5", "Nxd5"], "Nxf7", "", True),
        ("White", KNIGHTS + "When she captures the pawn with the queen, Bxd5 wins the queen.",
         ["Qxd5"], "Bxd5", "the queen", True),
        ("White", KNIGHTS + "If Black plays Na5, then Bb5+ comes.", ["Na5"], "Bb5+", "", True),
        ("White", SCANDINAVIAN + "Qa5 4.d4 Nf6 5.Bd2. If the queen takes on a2, Rxa2 wins the queen.",
         ["Qxa2"], "Rxa2", "the queen", True),
        ("Black", SCANDINAVIAN + "Qe5+. If White blocks with the queen, ...Qxe2+ wins a pawn.",
         ["Qe2"], "Qxe2+", "a pawn", True),
        ("Black", SLAV + "If White plays e3, then e6 is usual.", ["e3"], "e6", "", True),
    ],
)  # fmt: skip
def test_what_is_supposed_and_said(
    taught: str, text: str, moves: list[str], reply: str, won: str, gains: bool
) -> None:
    (found,) = hypotheses(follow(parse(script(taught, text))))
    assert [found.board.san(move) for move in found.moves] == moves
    assert (found.reply, found.won, found.gains) == (reply, won, gains)


@pytest.mark.parametrize(
    "text",
    [
        "If we take, we are lost.",  # not our move
        "If White castles, all is well.",  # cannot castle
        "If he takes the rook, Qa5 wins.",  # there is no rook to take
        "If White takes, 6.Nxd5 Nxd5 7.Bxd8 Bb4+ wins a piece.",  # a line, not words
        "If you like this opening, play it.",
        "If he takes on d5 [and here the script breaks off",
        "If the rook takes on d5, we are lost.",  # no rook can
        "If White blocks with the queen, all is well.",  # there is no check
        "If White plays c3, all is well.",  # a knight stands there
    ],
)
def test_what_cannot_be_understood_is_left_alone(text: str) -> None:
    assert not list(hypotheses(follow(parse(script("Black", TRAP + text)))))


@pytest.mark.parametrize(
    ("taught", "text", "flagged"),
    [
        ("Black", TRAP + "If he takes the pawn, Nxd5 wins a piece.", ""),
        ("Black", TRAP + "If he takes the pawn, Bb4+ wins the bishop.", "Bb4+ wins the bishop"),
        ("Black", TRAP + "If White grabs on d5, the knight drops.", ""),
        ("Black", TRAP + "If White grabs on d5, Black loses a piece.", "Black loses a piece"),
        ("White", KNIGHTS + "If Black takes with the queen, Bxd5 wins the queen.", ""),
        ("White", KNIGHTS + "If he plays Nxd5, Qf3 wins a piece.", "Qf3 wins a piece"),
        ("White", KNIGHTS + "If he plays Nxd5, Nxh7 is strong.", "Nxh7 is strong"),
        (
            "White",
            SLAV.replace(" Bf5 White has a choice.", ".")
            + "If he plays b5, axb5 cxb5 Nxb5 wins a pawn.",
            "",
        ),
        (
            "White",
            SCANDINAVIAN + "Qa5 4.d4 Nf6 5.Bd2. If the queen takes on a2, Rxa2 wins the queen.",
            "",
        ),
        (
            "Black",
            SCANDINAVIAN + "Qe5+. If White blocks with the queen, ...Qxe2+ wins a queen.",
            "...Qxe2+ wins a queen",
        ),
    ],
)
def test_a_refutation_in_words_is_tried(taught: str, text: str, flagged: str) -> None:
    """Common practice, no source: the trap with the check on b4; in the Two Knights 6.Qf3 loses
    the knight on g5 to the queen."""
    report = examine(script(taught, text), (), lambda _: Aids(analyst=analyst()))
    found = [f for f in report.findings if f.rule == "refutation-does-not-work"]
    source = report.lesson.script.source
    assert [source.words(f.span) for f in found] == ([flagged] if flagged else [])
    rest = {f.rule for f in report.findings} - {"refutation-does-not-work"}
    assert not rest & {"wrong-move-suffix", "impossible-mention", "mention-not-yet-possible"}
