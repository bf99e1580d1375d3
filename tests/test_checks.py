"""Every documented example of every check, run."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache
from pathlib import Path
from time import process_time

import pytest

from linewright.aids import aids_of_board
from linewright.analyst.answer import Effort
from linewright.analyst.builtin import BuiltIn
from linewright.analyst.questions import Analyst
from linewright.build import Timed, compare, examine, paced
from linewright.checks import Check, Grounds, all_checks, run_checks
from linewright.finding import Finding
from linewright.following import follow
from linewright.games.of_lesson import games_of
from linewright.script import parse, read_source
from linewright.source import Source, Span
from linewright.statements_of_lesson import judge_lesson
from linewright.timing import time


@cache
def analyst() -> Analyst:
    return Analyst(BuiltIn(), effort=Effort(nodes=40_000))


def scripts(text: str) -> tuple[tuple[int, str, str], ...]:
    """The scripts of an example, each with where it begins and its name: a series has several,
    each under a line ``===== name``."""
    heads = list(re.finditer(r"^===== (.+)\n", text, re.MULTILINE))
    if not heads:
        return ((0, "example.md", text),)
    ends = [head.start() for head in heads[1:]] + [len(text)]
    return tuple(
        (head.end(), head[1], text[head.end() : end]) for head, end in zip(heads, ends, strict=True)
    )


def findings(text: str, check: Check) -> tuple[Finding, ...]:
    """What is found in the scripts of an example, with places in the example's text."""
    parts = scripts(text)
    if len(parts) > 1:
        reports = compare([examine(Source(n, t), (), aids_of_board) for _, n, t in parts])
        found = [
            replace(f, span=Span(start + f.span.start, start + f.span.end))
            for (start, _, _), report in zip(parts, reports, strict=True)
            for f in report.findings
        ]
        return tuple(found)
    source, faults = read_source("example.md", text.encode())
    lesson = follow(parse(source, faults))
    asked = analyst() if "analyst" in check.needs else None
    games = games_of(lesson)[0] if "collection" in check.needs else None
    told = judge_lesson(lesson) if "verdicts" in check.needs else ()
    heard = paced(Path())(lesson) if "recording" in check.needs else Timed(time(lesson))
    grounds = Grounds(lesson, heard.timeline, told, asked, games, heard.unheard)
    return run_checks(grounds).findings


EXAMPLES = [(check, k) for check in all_checks() for k in range(len(check.examples()))]
CLEAN = [(check, k) for check in all_checks() for k in range(len(check.clean_examples()))]


def name(value: object) -> str:
    return value.name if isinstance(value, Check) else str(value)


@pytest.mark.parametrize("check", all_checks(), ids=name)
def test_is_documented(check: Check) -> None:
    assert check.examples(), "a check needs an example that it flags"
    assert check.clean_examples(), "a check needs an example that stays clean"
    for needed in ("Limits:", "Source:"):
        assert needed in check.documentation
    assert not check.summary.endswith(("..", ". ."))


@pytest.mark.parametrize(("check", "k"), EXAMPLES, ids=name)
def test_flagging_example_is_flagged_at_its_words(check: Check, k: int) -> None:
    example = check.examples()[k]
    found = [f for f in findings(example.text, check) if f.rule == check.name]
    assert [(f.span.start, f.span.end) for f in found] == list(example.flagged)
    assert all(f.severity is check.severity for f in found)


@pytest.mark.parametrize(("check", "k"), CLEAN, ids=name)
def test_clean_example_is_clean_under_every_check(check: Check, k: int) -> None:
    assert findings(check.clean_examples()[k], check) == ()


@pytest.mark.parametrize(("check", "k"), EXAMPLES, ids=name)
def test_messages_read_like_messages(check: Check, k: int) -> None:
    for finding in findings(check.examples()[k].text, check):
        assert not finding.message.endswith(".")
        assert "\n" not in finding.message


def test_the_documentation_is_plain_text() -> None:
    """Found in use: a NUL character in the page of rules made a binary file of it."""
    for check in all_checks():
        assert all(c.isprintable() or c == "\n" for c in check.documentation), check.name
    page = (Path(__file__).parent.parent / "docs" / "rules.md").read_text("utf-8")
    assert all(c.isprintable() or c == "\n" for c in page)


LONG = {
    "a sentence without a stop": "1.e4 e5 and then White has more space than Black who is happy ",
    "sentences": "We look at the knight. And Then it is Black's move! ",
    "moves": "After 1.e4 e5 2.Nf3 we look. ",
    "no moves": "then 2.Nd9 is bad. ",
    "open brackets": "[word ",
    "open parentheses": "(word ",
}


@pytest.mark.parametrize("words", LONG.values(), ids=LONG.keys())
def test_the_cost_of_a_check_is_linear_in_a_paragraph(words: str) -> None:
    """Eight times the words cost about eight times as much; the square of it would be 64."""

    def seconds(times: int) -> float:
        text = "1.e4 e5 " + words * times
        begun = process_time()
        lesson = follow(parse(Source("a.md", text)))
        run_checks(Grounds(lesson, time(lesson), judge_lesson(lesson)))
        return process_time() - begun

    seconds(10)  # the machine may be busy once, not three times
    assert any(seconds(800) < 20 * max(seconds(100), 0.02) for _ in range(3))


def test_a_parenthesis_that_is_not_closed_is_one_finding() -> None:
    """Where its side line was to end nobody knows: what stands behind it is held back."""
    text = (
        "We begin 1.d4 d5 2.c4 e6 (2...c6 is the Slav. 3.Nc3 Nf6 4.Bg5 Be7.\n\n"
        "The bishop on g5 pins the knight. 5.e3 O-O 6.Nf3 Nbd7 and {}.\n"
    )
    for ends, wanted in (
        ("material is level", ["unclosed-side-line"]),
        ("Black has no rook", ["unclosed-side-line", "statement-fails"]),
    ):
        report = examine(Source("a.md", text.format(ends)), aids_for=aids_of_board)
        assert [finding.rule for finding in report.findings] == wanted
        assert report.checked.held
    closed = text.format("material is level").replace("Slav.", "Slav).")
    assert examine(Source("a.md", closed), aids_for=aids_of_board).checked.held == ()


def test_the_figures_of_moves_that_come_too_fast_prove_it() -> None:
    """Found in use: "22 moves in 28 seconds" is no more than 18 in 20."""
    moves = "1.e4 e5 2.Nf3 Nc6 3.Bb5 a6 4.Ba4 Nf6 5.O-O Be7 6.Re1 b5 7.Bb3 d6 8.c3 O-O 9.h3 Na5"
    told = []
    for more in ("10.Bc2", "10.Bc2 c5 11.d4 Qc7"):
        report = examine(Source("a.md", f"---\npace: 170\n---\n{moves} {more} is old.\n"))
        told += [f.message for f in report.findings if f.rule == "too-fast-to-follow"]
    assert re.match(r"19 moves begin within (1\d|20) seconds: more than 18 in 20", told[0])
    assert re.match(r"of 22 moves any 19 begin within (1\d|20) seconds: ", told[1])


def test_the_letters_of_another_language_are_told_once() -> None:
    """Found in use: each move was told to be none, and what could be read was not followed."""
    text = "The line is 1.e4 d5 2.exd5 Dxd5 3.Sc3 Da5 4.d4 Sf6 5.Lc4 c6 6.Sge2 e6.\n"
    report = examine(Source("a.md", text))
    told = [f for f in report.findings if f.severity.value == "error"]
    assert [f.message for f in told] == [
        "'Dxd5' is no move in chess notation: the pieces' letters are K, Q, R, B and N "
        "(D is Q, S is N, L is B), and so with 5 more; perhaps Qxd5"
    ]


def test_an_arrow_under_words_that_fail_is_one_fault_and_says_why() -> None:
    """Found in use: words and arrow were told apart, neither saying what stood between."""
    text = "1.e4 e5 2.Nf3 Nc6 3.Bb5 a6 4.Ba4. {}\n"
    for words, message in {
        "It works [that way](#attack:d1-h1).": "the queen on d1 does not attack h1 past e1",
        "The queen on d1 [hits d5](#attack:d1-d5).": "queen on d1 does not reach d5 past the pawn",
    }.items():
        source = Source("a.md", text.format(words))
        found = [f for f in run_on(source) if f.severity.value == "error"]
        assert [message in f.message for f in found] == [True], found


def run_on(source: Source) -> tuple[Finding, ...]:
    lesson = follow(parse(source))
    return run_checks(Grounds(lesson, time(lesson), judge_lesson(lesson))).findings


@pytest.mark.parametrize(
    ("marked", "wrong"),
    [
        ("[hits f7 behind the bishop](#b3-f7)", 0),
        ("[aims past the bishop on c4](#b3-f7)", 0),
        ("[guards the bishop](#b3-f7)", 0),
        ("[guards the knight](#b3-f7)", 1),
        ("[guards the bishop](#b3-b7)", 1),
    ],
)
def test_an_arrow_is_on_the_man_that_a_battery_sees_through(marked: str, wrong: int) -> None:
    """Found in use: the bishop before a queen was missed under the arrow of the two."""
    moves = "1.e4 e5 2.Nf3 d6 3.d4 Bg4 4.dxe5 Bxf3 5.Qxf3 dxe5 6.Bc4 Nf6 7.Qb3"
    told = run_on(Source("lesson.md", f"{moves}. The queen {marked}."))
    assert [f.rule for f in told].count("mark-differs-from-words") == wrong
