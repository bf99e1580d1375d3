"""What the analyst's checks say of a lesson, read as a teacher reads it."""

from __future__ import annotations

from functools import cache

import pytest

from linewright.aids import Aids
from linewright.analyst.answer import Effort
from linewright.analyst.builtin import BuiltIn
from linewright.analyst.questions import Analyst
from linewright.build import examine
from linewright.finding import Finding, Severity
from linewright.source import Source

FRONT = "---\nfor: White\nstudents: 1200-1600\n---\n"
JUMP = "After 1.e4 e5 2.Nf3 Nc6 3.Bc4 Nf6 4.Ng5 Bc5 "


@cache
def analyst() -> Analyst:
    return Analyst(BuiltIn(), effort=Effort(nodes=30_000))


def findings(text: str, rule: str) -> list[Finding]:
    report = examine(Source("a.md", FRONT + text), (), lambda _: Aids(analyst=analyst()))
    return [finding for finding in report.findings if finding.rule == rule]


def test_a_threat_that_stays_is_told_once_and_named_by_what_it_takes() -> None:
    text = JUMP + "White plays 5.Nxf7 Bxf2+ 6.Kxf2 Nxe4+ 7.Kg1 here."
    (told,) = findings(text, "threat-not-mentioned")
    assert told.message.startswith("'5.Nxf7' threatens to take the queen on d8, which is not")


def test_a_better_move_shown_beside_is_not_missed() -> None:
    beside = "After 1.e4 e5 2.Nf3 Nf6 3.Nxe5 Nxe4 4.Qe2 Nf6 White plays 5.d3 d6"
    assert findings(beside + " now.", "better-move-missed")
    assert not findings(beside + " or 5.Nc6+ Be7 6.Nxd8 now.", "better-move-missed")


def test_a_reply_that_mates_is_not_counted_in_pawns() -> None:
    text = "After 1.f3 e5 2.g4 Black develops with 2...Nc6 3.e3 here."
    (told,) = findings(text, "strong-reply-unanswered")
    assert (
        told.message
        == "'2...Nc6' is shown, but not the stronger 2...Qh4#, which forces mate: 2...Qh4#"
    )


def test_a_reply_that_avoids_mate_does_not_force_one() -> None:
    """Legal's mate, 18th century: the bishop must not take the queen."""
    text = "After 1.e4 e5 2.Nf3 d6 3.Bc4 Bg4 4.Nc3 g6 5.Nxe5 Bxd1 6.Bxf7+ Ke7 7.Nd5# it is over."
    told = findings(text, "strong-reply-unanswered")
    (avoids,) = (finding for finding in told if finding.message.startswith("'Bxd1'"))
    assert "not the stronger 5...dxe5, which avoids being mated: 5...dxe5" in avoids.message


def test_positions_after_a_guessed_repair_are_left_alone() -> None:
    """3.Qd4 is illegal; with the likeliest repair, 3.d4, the queen is given away at once."""
    text = "After 1.e4 e5 2.Nf3 Nc6 3.Qd4 exd4 4.Qxd4 Nxd4 5.Nxd4 here."
    report = examine(Source("a.md", FRONT + text), (), lambda _: Aids(analyst=analyst()))
    guessed = [node for node in report.lesson.tree.nodes if node.assumed]
    rules = {finding.rule for finding in report.findings}
    assert guessed and "illegal-move" in rules
    assert not rules & {"taught-move-loses", "better-move-missed", "strong-reply-unanswered"}
    written = findings(text.replace("3.Qd4", "3.d4"), "taught-move-loses")
    assert [finding.message[1:7] for finding in written] == ["4.Qxd4"]


def test_a_sign_that_is_off_by_little_is_only_a_note() -> None:
    """Common practice, no source: White is hardly better after three usual moves."""
    (little,) = findings("After 1.e4 e5 2.Nf3 Nc6 3.Bb5 ± now.", "sign-does-not-fit")
    (much,) = findings("After 1.e4 e5 2.Nf3 +- now.", "sign-does-not-fit")
    assert (little.severity, much.severity) == (Severity.NOTE, Severity.WARNING)


OF_A_GAME = FRONT.replace("for: White", "for: White\nwhite: P. Ronson\nblack: E. Marl")


def of_a_game(text: str) -> set[str]:
    report = examine(Source("a.md", OF_A_GAME + text), (), lambda _: Aids(analyst=analyst()))
    return {finding.rule for finding in report.findings}


ERRORS = "1.e4 e5 2.Nf3 Nc6 3.Bc4 Nf6 4.Ng5 h6 5.Bxf7+ Ke7 6.Nf3 and so on."


def test_what_players_did_is_not_taught() -> None:
    """Found in use: "23.f4 is shown, but not the stronger 23.Qc3" of a game that was played."""
    blamed = {"taught-move-loses", "better-move-missed", "strong-reply-unanswered"}
    taught = {rule for rule in blamed if findings(ERRORS, rule)}
    assert len(taught) > 1
    assert not of_a_game(ERRORS) & blamed


def test_a_told_game_offers_no_choice_of_replies() -> None:
    """Found in use: in a game told in one part a strong reply was missed that nobody played."""
    told = "1.e4 e5 2.Nf3 Nc6 3.Bc4 Nf6 4.Ng5. {} 4...h6 5.Nxf7 and so on."
    assert findings(told.format("Black replies"), "strong-reply-unanswered")
    assert not findings(told.format("Here Wilmot played"), "strong-reply-unanswered")


def test_a_taught_move_that_loses_is_told_once() -> None:
    """Found in use: its `!` was a second finding with the same words."""
    loses = "After 1.e4 e5 2.Nf3 Nc6 3.Bc4 Nf6 4.Bxf7+! Kxf7 Black is content."
    assert findings(loses, "taught-move-loses")
    assert not findings(loses, "sign-does-not-fit")


def test_a_move_of_a_game_that_is_praised_is_taught() -> None:
    praised = "1.e4 e5 2.Nf3 Nc6 3.Bc4 Nf6. Now a fine move, 4.Bxf7+ Kxf7 and so on."
    assert "taught-move-loses" in of_a_game(praised)
    assert "taught-move-loses" in of_a_game(ERRORS.replace("5.Bxf7+", "5.Bxf7+!"))
    plain = praised.replace("a fine move", "not a good move")
    assert "taught-move-loses" not in of_a_game(plain)


def test_side_lines_beside_a_game_are_judged_as_before() -> None:
    beside = "1.e4 e5 2.Nf3 Nc6 3.Bc4 Nf6 4.d3 h6 5.O-O. White should have taken (4.Bxf7+ Kxf7)."
    assert "taught-move-loses" in of_a_game(beside)


def test_how_a_game_went_on_refutes_nothing() -> None:
    """Found in use: a move marked "?" was "not refuted by the line shown", which was the game."""
    went_on = "1.e4 e5 2.Nf3 Nc6 3.Bc4 Nf6 4.Ng5 h6? 5.d3 hxg5 and Black was a piece up."
    assert findings(went_on, "refutation-does-not-work")
    assert "refutation-does-not-work" not in of_a_game(went_on)


def test_moves_of_a_game_that_is_told_are_not_taught() -> None:
    """Found in use: the mistakes that a lesson punishes were told to lose, as if it taught them."""
    told = "1.e4 e5 2.Nf3 Nc6 3.Bc4 Nf6. Here {} 4.Ng5 d5 5.exd5 Nxd5 6.O-O Be7 7.Qg4 Bxg4."
    assert findings(told.format("White plays"), "taught-move-loses")
    assert not findings(told.format("Wilmot played"), "taught-move-loses")
    assert not findings(told.format("my opponent quickly played"), "taught-move-loses")
    advised = told.replace("7.Qg4", "White should go 7.Qg4")
    assert findings(advised.format("Wilmot played"), "taught-move-loses")


def test_a_capital_at_the_beginning_of_a_sentence_makes_no_person() -> None:
    """Found in use: "Often played is" made the rest of the line one that nobody teaches."""
    told = "1.e4 e5 2.Nf3 Nc6 3.Bc4 Nf6. {} 4.Ng5 d5 5.exd5 Nxd5 6.O-O Be7 7.Qg4 Bxg4.{}"
    assert findings(told.format("\n- Often played is", ""), "taught-move-loses")
    for words in (
        "Often played is",
        "Also played",
        "Boldly played",
        "In the Lasp played by many is",
    ):
        assert findings(told.format(words, ""), "taught-move-loses"), words
    assert not findings(
        told.format("Wilmot played", " So it went for Wilmot."), "taught-move-loses"
    )
    assert not findings(told.format("I played", ""), "taught-move-loses")


def test_a_man_that_takes_and_is_taken_back_threatens_nothing() -> None:
    """Found in use: a bishop that took a knight was said to threaten the queen that took it."""
    trade = "After 1.d4 d5 2.Nf3 Bg4 3.e3 e6 4.Bd3 Nf6 5.O-O Nc6 White asks with 6.h3 {}."
    black = FRONT.replace("White", "Black")
    for reply, told in (("Bxf3 7.Qxf3 Be7 8.c3 O-O", False), ("Bxf3 7.c3 Be7 8.b3 O-O", True)):
        report = examine(
            Source("a.md", black + trade.format(reply)), (), lambda _: Aids(analyst=analyst())
        )
        found = [f for f in report.findings if f.message.startswith("'Bxf3' threatens")]
        assert bool(found) is told


ASIDE = (
    "---\nfor: Black\n---\n"
    "After 1.e4 d5 2.exd5 Qxd5 3.Nc3 Qa5 4.d4 Nf6 5.Bd2 Bf5 6.Nd5 Qd8 White is at ease. "
)


def test_a_side_line_that_asks_what_comes_of_a_move_does_not_teach_it() -> None:
    """Found in use: "(What if Black takes? ..." was blamed although its words say it is bad."""
    line = "6...Qxd2+ 7.Qxd2 Nxd5 and Black has too little"
    for lead in ("What if Black takes? ", "If ", "Is the bishop hanging? "):
        assert not blamed(f"{ASIDE}({lead}{line}.)")
    (told,) = blamed(f"{ASIDE}(Strong is {line}.)")
    assert "'6...Qxd2+' loses a queen " in told.message


def test_what_a_line_wins_back_later_is_not_taken_off_twice() -> None:
    """Found in use: the figure left out the knight that the queen's taker also lost."""
    moves = "1.e4 d5 2.exd5 Qxd5 3.Nc3 Qa5 4.d4 Nf6 5.Nf3 c6 6.Bc4 Bf5 7.Bd2 e6 8.Nd5"
    (told,) = blamed(f"---\nfor: Black\n---\nAfter {moves} Qxd2+ 9.Qxd2 cxd5 it is over.")
    assert "loses a queen for a bishop and a knight: " in told.message


def blamed(text: str) -> list[Finding]:
    report = examine(Source("a.md", text), (), lambda _: Aids(analyst=analyst()))
    return [finding for finding in report.findings if finding.rule == "taught-move-loses"]


def test_a_capture_of_nothing_is_told_once() -> None:
    """Found in use: a bishop that takes on an empty square gave three findings on one word."""
    line = "1.d4 d5 2.c4 c6 3.Nf3 Nf6 4.Nc3 dxc4 5.a4 Bf5 6.e3."
    text = f"---\nfor: Black\n---\n\n{line} The bishop takes b1, 6...Bxb1?, is silly. So 6...e6."
    found = examine(Source("a.md", text), (), lambda _: Aids(analyst=analyst())).findings
    assert [f.rule for f in found if "b1" in f.message] == ["wrong-move-suffix"]


DRIVEN = (
    "---\nfor: Black\n---\nAfter 1.d4 d5 2.c4 c6 3.Nf3 Nf6 4.Nc3 dxc4 5.e3 b5 6.a4 Black goes "
    "6...b4. {words} 7.Na2 e6."
)


@pytest.mark.parametrize(
    ("words", "mentioned"),
    [
        ("The c3-knight must leave.", True),
        ("White's knight has to move.", True),
        ("The white knight retreats.", True),
        ("The knight on c3 goes away.", True),
        ("Black's knight goes to d7 next.", False),
        ("Every knight should stand in the middle.", False),
        ("The knight on c3 goes well with the other.", False),
    ],
)
def test_a_threat_is_mentioned_by_a_word_on_the_man_it_takes(words: str, mentioned: bool) -> None:
    text = DRIVEN.format(words=words)
    report = examine(Source("a.md", text), (), lambda _: Aids(analyst=analyst()))
    told = [f for f in report.findings if f.rule == "threat-not-mentioned" and "b4" in f.message]
    assert bool(told) is not mentioned
