"""Several lessons checked together: where they contradict each other, and where they do not."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Callable, Sequence
from importlib import resources
from pathlib import Path
from time import process_time
from typing import IO

import jsonschema
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from typer.testing import CliRunner

from linewright.aids import aids_of_board
from linewright.build import Report, compare, examine
from linewright.checks import all_checks
from linewright.cli import app
from linewright.finding import Severity
from linewright.following import follow
from linewright.script import parse
from linewright.series import series_of
from linewright.source import Source

RULES = {check.name for check in all_checks() if "series" in check.needs}

FIANCHETTO = "1.d4 Nf6 2.c4 g6 3.Nc3 Bg7"
TURNED = "1.c4 g6 2.Nc3 Bg7 3.d4 Nf6"
"""Two ways to one position."""


def lesson(text: str, **front: str) -> str:
    head = "".join(f"{key}: {value}\n" for key, value in front.items())
    return f"---\n{head}---\n\n{text}\n" if head else f"{text}\n"


def white(text: str, **front: str) -> str:
    return lesson(text, **{"for": "White", **front})


def black(text: str, **front: str) -> str:
    return lesson(text, **{"for": "Black", **front})


def exercise(question: str, answer: str) -> str:
    return f"{FIANCHETTO} is where we stop.\n\n~~~exercise\n{question}\nanswer: {answer}\n~~~"


def reports(texts: Sequence[str]) -> tuple[Report, ...]:
    named = ((f"{chr(97 + k)}.md", text) for k, text in enumerate(texts))
    return compare([examine(Source(name, text), (), aids_of_board) for name, text in named])


def told(*texts: str) -> list[tuple[str, str, str]]:
    """The findings between lessons a.md, b.md, ...: the rule, the lesson, the words."""
    return [
        (
            found.rule,
            report.lesson.script.source.name,
            report.lesson.script.source.words(found.span),
        )
        for report in reports(texts)
        for found in report.findings
        if found.rule in RULES
    ]


MOVES = [
    # signs, in the same and in another order of moves
    (white(f"{FIANCHETTO} 4.e4! is bold."), white(f"{FIANCHETTO} 4.e4? goes too far."), "4.e4?"),
    (white(f"{FIANCHETTO} 4.e4!"), black(f"{TURNED} 4.e4??"), "4.e4??"),
    (white(f"{FIANCHETTO} 4.e4!? d6."), white(f"{TURNED} 4.e4? d6."), "4.e4?"),
    (white(f"{FIANCHETTO} 4.e4?! d6."), white(f"{TURNED} 4.e4!! d6."), "4.e4!!"),
    # words
    (
        white(f"{FIANCHETTO} and here 4.h4 is a mistake. We go 4.e4."),
        white(f"{FIANCHETTO} and here 4.h4 is a good move. The other is 4.e4."),
        "4.h4 is a good move",
    ),
    (
        white(f"{FIANCHETTO} and 4.h4! begins the attack."),
        white(f"{FIANCHETTO} 4.e4 and not h4. Here 4.h4 is a blunder."),
        "4.h4 is a blunder",
    ),
    # mentioned only
    (
        white(f"{FIANCHETTO}. Here h4 is a mistake."),
        white(f"{FIANCHETTO} 4.h4! is the way."),
        "4.h4!",
    ),
    # what one lesson teaches, another marks as bad
    (
        white(f"Our line is {FIANCHETTO} 4.Bg5 d6 5.e3."),
        black(f"{FIANCHETTO} 4.Bg5? h6 is nice for us."),
        "4.Bg5?",
    ),
    (
        black(f"{FIANCHETTO} 4.Bg5? h6 is nice for us."),
        white(f"Our line is {FIANCHETTO} 4.Bg5 d6 5.e3."),
        "4.Bg5",
    ),
    # in the answer of an exercise
    (
        white(f"{FIANCHETTO} 4.f3? is slow."),
        white(exercise("What is strong?", "4.f3! prepares e4.")),
        "4.f3!",
    ),
    # words about another way do not take a judgment back
    (
        white(f"{FIANCHETTO} 4.h4! d6."),
        white(f"{FIANCHETTO} 4.h4? d5 is bad, instead 4.e4 is another way."),
        "4.h4?",
    ),
    # a rook that comes out, or what was said before it, is no change of mind
    (
        white(f"{FIANCHETTO} 4.h4! d6."),
        white(f"{FIANCHETTO} 4.h4? d5. As I said, the rook that used to attack comes out as well."),
        "4.h4?",
    ),
    # of several judgments the strongest
    (
        white(f"{FIANCHETTO} 4.h4 d6."),
        white(f"{FIANCHETTO} 4.h4?! d5. Back to 3...Bg7. Here 4.h4 is a blunder."),
        "4.h4 is a blunder",
    ),
    # the heading of a part that repeats is no change of mind
    (
        white(f"{FIANCHETTO} 4.h4! d6."),
        white(f"# Revision\n\nThey know {FIANCHETTO} 4.h4? d5."),
        "4.h4?",
    ),
    # two moves, each the best of the same board
    (
        white(f"{FIANCHETTO} and 4.e4 is the best move."),
        white(f"{FIANCHETTO} 4.Nf3, because here 4.Nf3 is the best move. Then 4.e4 is slow."),
        "4.Nf3 is the best move",
    ),
]


@pytest.mark.parametrize(("first", "second", "words"), MOVES)
def test_a_move_judged_otherwise_is_told_in_the_later_lesson(
    first: str, second: str, words: str
) -> None:
    assert ("move-judged-differently", "b.md", words) in told(first, second)
    assert all(name == "b.md" for _, name, _ in told(first, second))


ALIKE = [
    # the same judgment, or one near to it
    (white(f"{FIANCHETTO} 4.e4! d6."), white(f"{FIANCHETTO} 4.e4!! d6.")),
    (white(f"{FIANCHETTO} 4.e4!? d6."), white(f"{FIANCHETTO} 4.e4?! d6.")),
    (white(f"{FIANCHETTO} 4.e4 d6."), white(f"{FIANCHETTO} 4.e4?! d6.")),
    # another board
    (white(f"{FIANCHETTO} 4.e4! d6."), white("1.d4 Nf6 2.c4 e6 3.Nc3 Bb4 4.e4? c5.")),
    # the other move of the same name
    (white(f"{FIANCHETTO} 4.Nf3! d6."), black(f"{FIANCHETTO} 4.g3 d6 5.Nf3? c5.")),
    # a question, a condition, what others say, a denial
    (
        white(f"{FIANCHETTO} 4.e4! d6."),
        white(f"{FIANCHETTO}. What about 4.e4? It is met by 4...d6."),
    ),
    (white(f"{FIANCHETTO} 4.h4! d6."), white(f"{FIANCHETTO}. Is h4 a mistake? Not at all.")),
    (white(f"{FIANCHETTO} 4.h4! d6."), white(f"{FIANCHETTO}. If Black castles, h4 is a mistake.")),
    (white(f"{FIANCHETTO} 4.h4! d6."), white(f"{FIANCHETTO}. Many say that h4 is a mistake.")),
    (white(f"{FIANCHETTO} 4.h4? d6."), white(f"{FIANCHETTO}. Nor is it true that h4 is good.")),
    # a lesson that sees both sides of it
    (
        white(f"{FIANCHETTO} 4.h4! d6."),
        white(f"{FIANCHETTO} 4.h4! looks strong. But 4.h4? is met by 4...d5."),
    ),
    # a lesson that says that it has changed
    (
        white(f"{FIANCHETTO} 4.h4! d6."),
        white(f"{FIANCHETTO} 4.h4? d5. I have changed my mind about it."),
    ),
    (
        white(f"{FIANCHETTO} 4.h4! d6."),
        white(f"{FIANCHETTO} 4.h4? d5. I was wrong in the first lesson."),
    ),
    (
        white(f"{FIANCHETTO} 4.h4! d6."),
        white(f"{FIANCHETTO} 4.h4? d5. I gave it an exclamation mark, and pupils lost with it."),
    ),
    # what is said of the square, and of another move
    (white(f"{FIANCHETTO} 4.h4! d6."), white(f"{FIANCHETTO}. The pawn on h4 is a mistake.")),
    # a trap whose move is shown, not taught
    (white(f"{FIANCHETTO} 4.e4 (4.Bg5 h6) d6."), black(f"{FIANCHETTO} 4.Bg5? h6.")),
    (white(f"{FIANCHETTO} 4.Bg5? h6."), black(f"{FIANCHETTO} 4.Bg5? h6.")),
    # a mark that is how the sentence is said, and what others say
    (
        white(f"{FIANCHETTO} 4.h4? d6."),
        white(f"{FIANCHETTO} and so, never go 4.h4! It helps Black."),
    ),
    (white(f"{FIANCHETTO} 4.h4? d6."), white(f"{FIANCHETTO} and never go 4.h4! d5, please.")),
    (white(f"{FIANCHETTO} 4.h4? d6."), black(f"{FIANCHETTO}. Look out for 4.h4!")),
    (white(f"{FIANCHETTO} 4.h4! d6."), white(f"{FIANCHETTO} and now why not 4.h4? It is quick.")),
    (white(f"{FIANCHETTO} 4.h4! d6."), white(f"{FIANCHETTO}. The question is what? 4.h4?")),
    (white(f"{FIANCHETTO} 4.h4! d6."), white(f'{FIANCHETTO}. "And 4.h4?" asks one of you.')),
    (white(f"{FIANCHETTO} 4.h4! d6."), white(f"{FIANCHETTO}. Old books gave 4.h4? d5.")),
    # the signs of a talk
    (white(f"{FIANCHETTO} 4.e4! d6.", talk="a.txt"), white(f"{FIANCHETTO} 4.e4? d6.")),
]


@pytest.mark.parametrize(("first", "second"), ALIKE)
def test_moves_not_judged_otherwise_are_left_alone(first: str, second: str) -> None:
    assert told(first, second) == []
    assert told(second, first) == []


POSITIONS = [
    (f"{FIANCHETTO} and the position is equal.", f"{TURNED} and White is better.", "White is better"),
    (f"{FIANCHETTO} 4.e4 d6 =", f"{TURNED} 4.e4 d6 ±", "d6 ±"),
    (f"{FIANCHETTO} and White is slightly better.", f"{FIANCHETTO} and Black has a small advantage.",
     "Black has a small advantage"),
    (f"{FIANCHETTO} 4.e4 d6 ⩲", f"{FIANCHETTO} 4.e4 d6 and White is winning.", "White is winning"),
    (f"{FIANCHETTO} and Black is fine.", f"{FIANCHETTO} and White has a clear advantage.",
     "White has a clear advantage"),
    (f"{FIANCHETTO} and the position is roughly level.", f"After {FIANCHETTO} White is much better.",
     "White is much better"),
]  # fmt: skip


@pytest.mark.parametrize(("first", "second", "words"), POSITIONS)
def test_a_position_judged_otherwise_is_told(first: str, second: str, words: str) -> None:
    assert told(first, second) == [("position-judged-differently", "b.md", words)]
    assert told(white(first), black(second)) == [("position-judged-differently", "b.md", words)]


NEAR = [
    ("White is better. We see why.", "The position is equal. We see why."),
    (f"{FIANCHETTO} and the position is equal.", f"{TURNED} and White is slightly better."),
    (f"{FIANCHETTO} and White is better.", f"{TURNED} and White is winning."),
    (f"{FIANCHETTO} and the position is equal.", f"{TURNED} and Black is fine."),
    (f"{FIANCHETTO} and the position is equal.", f"{FIANCHETTO} 4.e4 d6 and White is better."),
    (f"{FIANCHETTO} =", f"{FIANCHETTO}. If White wins the pawn, White is better."),
    (f"{FIANCHETTO} =", f"{FIANCHETTO}. Is White better? White is better in many books."),
    (f"{FIANCHETTO} =", f"{FIANCHETTO}. Then after Bg5 White is better."),
    (f"{FIANCHETTO} =", f"{FIANCHETTO}. Now comes Bg5, and White is better."),
    (f"{FIANCHETTO} =", f"{FIANCHETTO}. Imagine the knights gone. White is better."),
    (f"{FIANCHETTO} =", f"{FIANCHETTO}. It does not mean that White is better."),
    (f"{FIANCHETTO} =", f"{FIANCHETTO}. [Without knights](?remove=c3,f6) White is better."),
    (f"{FIANCHETTO} =", f"{FIANCHETTO}, and White is better, unlike what I told you earlier."),
    (f"{FIANCHETTO} =", f"{FIANCHETTO} = at first sight, and Black is better at the second ±."),
]


@pytest.mark.parametrize(("first", "second"), NEAR)
def test_positions_not_judged_otherwise_are_left_alone(first: str, second: str) -> None:
    assert told(first, second) == []


TAUGHT = [
    (white(f"We play {FIANCHETTO} 4.e4 d6."), white(f"We play {FIANCHETTO} 4.Nf3 d6."), "4.Nf3"),
    (white(f"We play {FIANCHETTO} 4.e4 d6."), white(f"{TURNED} 4.Nf3 O-O."), "4.Nf3"),
    (white("1.e4 e5 2.Nf3 Nc6 3.Bb5 a6."), white("We start 1.e4 e5 2.Nf3 Nc6 3.d4 exd4."), "3.d4"),
    (
        white("1.e4 e5 2.Nf3 Nc6 3.Bc4 Bc5.", title="Against the Open Game"),
        white("1.e4 e5 2.Nf3 Nc6 3.d4 exd4.", title="The Scotch"),
        "3.d4",
    ),
    (
        white("1.e4 c5 2.Nf3 d6 3.d4 cxd4.", title="Against the Sicilian"),
        white("1.e4 c5 2.c3 d5 3.exd5 Qxd5.", title="The Sicilian again"),
        "2.c3",
    ),
    (
        white(f"We play {FIANCHETTO} 4.e4 d6."),
        white(f"When they go {FIANCHETTO}, we go 4.Nf3 d6."),
        "4.Nf3",
    ),
    (black("1.e4 c6 2.d4 d5 is ours."), black("We meet 1.e4 with 1...e5 2.Nf3 Nc6."), "1...e5"),
    (
        white(f"We play {FIANCHETTO} 4.e4 d6."),
        white(exercise("What do we play?", "4.g3 and the bishop goes to g2.")),
        "4.g3",
    ),
]


@pytest.mark.parametrize(("first", "second", "words"), TAUGHT)
def test_another_main_move_of_the_side_taught_is_told(first: str, second: str, words: str) -> None:
    assert told(first, second) == [("another-move-taught", "b.md", words)]


ONE_REPERTOIRE = [
    # what the other side may play is no choice of the pupils
    (white("1.e4 c6 2.d4 d5 3.e5 Bf5."), white("1.e4 c5 2.Nf3 d6 3.d4 cxd4.")),
    # the side taught differs, or is not named
    (white(f"{FIANCHETTO} 4.e4 d6."), black(f"{FIANCHETTO} 4.Nf3 d6.")),
    (lesson(f"{FIANCHETTO} 4.e4 d6."), lesson(f"{FIANCHETTO} 4.Nf3 d6.")),
    # it says so
    (white(f"{FIANCHETTO} 4.e4 d6."), white(f"Another way is {FIANCHETTO} 4.Nf3 d6.")),
    (white(f"{FIANCHETTO} 4.e4 d6."), white(f"Today we try {FIANCHETTO} 4.Nf3 instead.")),
    (white(f"{FIANCHETTO} 4.e4 d6."), white(f"{FIANCHETTO} 4.Nf3 d6.", title="A second weapon")),
    (white(f"{FIANCHETTO} 4.e4 d6."), white(f"# An alternative\n\n{FIANCHETTO} 4.Nf3 d6.")),
    # it shows both
    (white(f"{FIANCHETTO} 4.e4 d6."), white(f"{FIANCHETTO} 4.Nf3 (4.e4 d6) d6.")),
    (white(f"{FIANCHETTO} 4.e4 d6. Quieter is 4.Nf3 d6."), white(f"{FIANCHETTO} 4.Nf3 O-O.")),
    (white(f"{FIANCHETTO} 4.Nf3 d6."), white(f"{FIANCHETTO} 4.e4 d6. There Nf3 was calmer.")),
    # the titles name two openings
    (
        white("1.e4 e5 2.Nf3 Nc6 3.Bc4 Bc5.", title="The Italian Game"),
        white("1.e4 e5 2.Nf3 Nc6 3.d4 exd4.", title="Lesson 5, the Scotch"),
    ),
    (
        white("1.e4 e5 2.Nf3 Nc6 3.Bc4 Nf6 4.Ng5 d5.", title="The Fried Liver Attack"),
        white("1.e4 e5 2.Nf3 Nc6 3.Bc4 Nf6 4.d3 Be7.", title="Giuoco Pianissimo"),
    ),
    (
        white("1.e4 c5 2.Nc3 Nc6.", title="Against 1...c5 with 2.Nc3"),
        white("1.e4 c5 2.d4 cxd4.", title="Against 1...c5 with 2.d4"),
    ),
    (
        white("1.e4 e5 2.Nf3 Nc6 3.Bc4 Bc5.", title="The Italian Game"),
        white("1.d4 d5 2.Bf4 Nf6 3.e3 e6.", title="The London System"),
    ),
    # a mistake, a supposition, a warning
    (white(f"{FIANCHETTO} 4.e4 d6."), white(f"{FIANCHETTO} 4.h4? d5.")),
    (white(f"{FIANCHETTO} 4.e4 d6."), white(f"{FIANCHETTO}. Suppose White goes 4.Nf3 d6 here.")),
    (white(f"{FIANCHETTO} 4.e4 d6."), white(f"{FIANCHETTO}. Never 4.h4 d5, please.")),
    # another order of the same moves
    (white(f"{FIANCHETTO} 4.e4 d6 5.Nf3 O-O."), white(f"{FIANCHETTO} 4.Nf3 d6 5.e4 O-O.")),
    # a game
    (white(f"{FIANCHETTO} 4.e4 d6."), white(f"{FIANCHETTO} 4.Nf3 d6.", white="Odo Fenn", black="Una Marsh")),
    # what others play, what was played once, what comes of a slow move, a trap
    (white(f"{FIANCHETTO} 4.e4 d6."), white(f"Most newcomers and others play {FIANCHETTO} 4.Nf3 d6.")),
    (white(f"{FIANCHETTO} 4.e4 d6."), white(f"After {FIANCHETTO} 4.Nf3 d6 we had a dull evening.")),
    (white(f"{FIANCHETTO} 4.e4 d6."), white(f"A lady of our club played like this:\n\n{FIANCHETTO} 4.Nf3 d6.")),
    (white(f"{FIANCHETTO} 4.e4 d6."), white(f"{FIANCHETTO} and see what happens: 4.Nf3 d6.")),
    (white(f"{FIANCHETTO} 4.e4 d6."), white(f"A trap for the impatient. {FIANCHETTO} 4.Nf3 d6.")),
    (white(f"{FIANCHETTO} 4.e4 d6."), white(f"# A trap\n\nWe play {FIANCHETTO} 4.Nf3 d6.")),
    (black("Ours is 1.e4 c6 2.d4 d5."), black("Our opponents like 1.e4 e5 2.Nf3 Nc6.")),
    # two ways to win an ending
    (white("1.Kd3 Kd5.", start="8/8/8/4k3/8/4K3/4P3/8 w - - 0 1"),
     white("1.Kf3 Kf5.", start="8/8/8/4k3/8/4K3/4P3/8 w - - 0 1")),
    # an exercise that asks for something else
    (white(f"{FIANCHETTO} 4.e4 d6."), white(exercise("Which move is wrong here?", "4.h4 is."))),
]  # fmt: skip


@pytest.mark.parametrize(("first", "second"), ONE_REPERTOIRE)
def test_other_moves_that_make_no_second_repertoire_are_left_alone(first: str, second: str) -> None:
    assert told(first, second) == []
    assert told(second, first) == []


def test_a_second_repertoire_is_told_once() -> None:
    """Of five lessons, two with one move and three with another, only the third is told of."""
    bold = white(f"{FIANCHETTO} 4.e4 d6.")
    quiet = white(f"{FIANCHETTO} 4.Nf3 d6.")
    assert told(bold, bold, quiet, quiet, quiet) == [("another-move-taught", "c.md", "4.Nf3")]


def test_two_moves_that_are_each_called_the_best_are_told_once() -> None:
    first = white(f"{FIANCHETTO} 4.e4 d6. Here 4.e4 is the best move.")
    second = white(f"{FIANCHETTO} 4.Nf3 d6. Here 4.Nf3 is the best move.")
    assert told(first, second) == [("move-judged-differently", "b.md", "4.Nf3 is the best move")]


def test_one_lesson_that_says_so_is_enough() -> None:
    """Where a lesson of the series sets both moves side by side, pupils know of both."""
    bold = white(f"{FIANCHETTO} 4.e4 d6.")
    quiet = white(f"{FIANCHETTO} 4.Nf3 d6.")
    both = white(f"{FIANCHETTO} 4.e4 d6. You may prefer 4.Nf3 O-O.")
    assert told(bold, quiet, both) == []


ANSWERS = [
    ("What should White play?", "4.e4 takes the centre.", "What should White play?", "4.Nf3 is calm.", "4.Nf3"),
    ("Think. How do we answer 3...Bg7?", "4.e4.", "Now what should we play here?", "4.Nf3.", "4.Nf3"),
    ("Find the best move.", "4.e4 at once.", "What is the best move?", "4.g3 at once.", "4.g3"),
]  # fmt: skip


@pytest.mark.parametrize(("asked", "said", "again", "otherwise", "words"), ANSWERS)
def test_an_exercise_answered_otherwise_is_told(
    asked: str, said: str, again: str, otherwise: str, words: str
) -> None:
    found = told(lesson(exercise(asked, said)), lesson(exercise(again, otherwise)))
    assert found == [("exercise-answered-differently", "b.md", words)]


OTHER_QUESTIONS = [
    ("What should White play?", "4.e4.", "What should White play?", "4.e4 and then 4...d6."),
    ("What should White play?", "4.e4.", "What else can White play?", "4.Nf3."),
    ("What should White play?", "4.e4.", "Which move is a mistake?", "4.h4."),
    ("What should White play?", "4.e4.", "What should White not play?", "4.h4."),
    ("What should White play?", "4.e4.", "Why does White not push?", "4.h4 d5."),
    ("What should White play?", "4.e4.", "How does White win?", "4.Nf3."),
    ("What should White play?", "4.e4.", "What should White play to protect c3?", "4.Bd2."),
    ("What should White play?", "4.e4.", "Find a move that hinders castling.", "4.Bh6."),
    ("What should White play?", "4.e4.", "Which developing move is there?", "4.Nf3."),
    ("White to play and win.", "4.e4 wins.", "How does White win?", "4.Nf3 wins."),
    ("What should White play?", "4.e4. Also good is 4.Nf3.", "What should White play?", "4.Nf3."),
    ("What should White play?", "4.e4.", "What should White play?", "There is no need to hurry."),
]


@pytest.mark.parametrize(("asked", "said", "again", "otherwise"), OTHER_QUESTIONS)
def test_exercises_not_answered_otherwise_are_left_alone(
    asked: str, said: str, again: str, otherwise: str
) -> None:
    first, second = lesson(exercise(asked, said)), lesson(exercise(again, otherwise))
    assert told(first, second) == []


ONE = lesson(f"{FIANCHETTO} 4.e4 d6 5.Nf3 O-O. There Bg5 can wait.", title='"Lesson 1: The centre"')


def two(text: str, title: str = "Lesson 2: More of it") -> str:
    return lesson(f"{FIANCHETTO} 4.Nf3 O-O. {text}", title=f'"{title}"')


NOT_THERE = [
    ("In lesson 1 we played 4.g3 there.", "4.g3"),
    ("Lesson 1 was 4.g3 d5.", "4.g3 d5"),
    ("Last time we looked at 4.g3 d5.", "4.g3 d5"),
    ("We saw 4.g3 in lesson 1.", "4.g3"),
    ("In our first lesson 4.g3 d5 was played.", "4.g3 d5"),
    ("Remember 4.e4 d5 from lesson 1.", "4.e4 d5"),
    ("As we saw in lesson 1, 4.g3 d5 is calm.", "4.g3 d5"),
    ("Our Centre lesson had 4.g3 d5.", "4.g3 d5"),
    ("As in lesson 1, 4.g3 d5 is calm.", "4.g3 d5"),
    ("In lesson 1 we played 4.Bg5 h6 5.Bh4.", "4.Bg5 h6 5.Bh4"),
    ("You know from lesson 1 that 4.g3 d5 is calm.", "4.g3 d5"),
]


@pytest.mark.parametrize(("text", "words"), NOT_THERE)
def test_moves_that_the_lesson_named_for_them_lacks_are_told(text: str, words: str) -> None:
    assert told(ONE, two(text)) == [("not-in-that-lesson", "b.md", words)]


def test_moves_retold_are_not_taught_again() -> None:
    """One fault, one finding: what lesson 1 is said to have had is no second repertoire."""
    first = white(f"{FIANCHETTO} 4.e4 d6 5.Nf3 O-O.", title="Lesson 1")
    again = white(f"{FIANCHETTO} 4.e4 d6. In lesson 1 we saw 5.f4 O-O.", title="Lesson 2")
    assert told(first, again) == [("not-in-that-lesson", "b.md", "5.f4 O-O")]


THERE = [
    "In lesson 1 we played 4.e4 there.",
    "Lesson 1 was 4.e4 d6.",
    "As we saw in lesson 1, 4.e4 d6 5.Nf3 is sharp.",
    "Last time we looked at 4.e4 d6.",
    # games, people and books elsewhere
    "Last week Anna played 4.g3 d5 at home.",
    "Last time we met them they played 4.g3 d5.",
    "The last time I played 4.g3 d5 I felt ill.",
    "Last week we played 4.g3 d5 in the match.",
    "In chapter 1 of the book we saw 4.g3 d5.",
    # a lesson that is not at hand
    "In lesson 7 we played 4.g3 there.",
    "In our Benoni lesson we played 4.g3 there.",
    "Last year we looked at 4.g3 d5.",
    # the move is this lesson's
    "After what we saw in lesson 1, today we play 4.g3 d5.",
    "Unlike in lesson 1, we go 4.g3 d5.",
    "In lesson 1 we did not play 4.g3 d5.",
    "In lesson 2 we play 4.g3 d5.",
]


@pytest.mark.parametrize("text", THERE)
def test_other_ways_to_speak_of_a_lesson_are_left_alone(text: str) -> None:
    assert told(ONE, two(text)) == []


def test_the_place_is_told_where_the_lesson_goes_on_otherwise() -> None:
    retold = f"{FIANCHETTO} 4.Nf3 O-O. Remember from lesson 1 that 4.e4 d6 5.f4 was sharp."
    found = [f for f in reports([ONE, lesson(retold, title="Lesson 2")])[1].findings if f.also]
    assert [(f.rule, f.also.words) for f in found if f.also] == [("not-in-that-lesson", "5.Nf3")]


def test_where_nothing_stands_there_no_place_is_told() -> None:
    first = lesson(f"{FIANCHETTO}.", title="Lesson 1")
    report = reports([first, two("In lesson 1 we had 4.g3 d5.")])[1]
    assert [f.also for f in report.findings if f.rule in RULES] == [None]


ASKED = "What should White play?"


def test_one_difference_in_two_exercises_is_told_once() -> None:
    first, second = white(exercise(ASKED, "4.e4 d6.")), white(exercise(ASKED, "4.Nf3 d6."))
    assert told(first, second) == [("exercise-answered-differently", "b.md", "4.Nf3")]


def test_one_difference_in_text_and_exercise_is_told_once() -> None:
    texts = [
        white(f"{exercise(ASKED, f'{move} d6.')}\n\nWe play {FIANCHETTO} {move} d6.")
        for move in ("4.e4", "4.Nf3")
    ]
    assert told(*texts) == [("another-move-taught", "b.md", "4.Nf3")]


def test_the_right_lesson_is_named() -> None:
    three = lesson(f"{FIANCHETTO} 4.e4 d6. In lesson 1 we played 4.Nf3 O-O.", title='"Lesson 3"')
    found = [f for f in reports([ONE, two(""), three])[2].findings if f.rule in RULES]
    assert [finding.message for finding in found] == [
        "'4.Nf3 O-O' is said to be in another lesson, but lesson 1 (a.md) does not have it: "
        "there stands '4.e4' (a.md:5); it stands in lesson 2 (b.md)"
    ]


PROMISES = [
    ("Next time we look at 4.g3.", "4.g3"),
    ("Next week we will study 4.g3 d5.", "4.g3 d5"),
    ("4.g3 has a lesson of its own.", "4.g3"),
    ("In lesson 2 we shall see 4.g3.", "4.g3"),
    ("4.g3 is the subject of the next lesson.", "4.g3"),
    ("We will look at 4.g3 next time.", "4.g3"),
    ("Leave 4.g3 d5 for next week.", "4.g3 d5"),
    ("4.g3 must wait until lesson 2.", "4.g3"),
    ("Next week: 4.g3 d5.", "4.g3 d5"),
]


@pytest.mark.parametrize(("text", "words"), PROMISES)
def test_a_promise_that_no_lesson_keeps_is_a_note(text: str, words: str) -> None:
    one = lesson(f"{FIANCHETTO} 4.e4 d6. {text}", title="Lesson 1")
    assert told(one, two("")) == [("promise-not-kept", "a.md", words)]
    found = [f for f in reports([one, two("")])[0].findings if f.rule in RULES]
    assert [finding.severity for finding in found] == [Severity.NOTE]


KEPT = [
    "Next time we look at 4.Nf3.",
    "4.Nf3 has a lesson of its own.",
    "In lesson 9 we shall see 4.g3.",
    "Next to 4.g3 it looks slow.",
    "We look at 4.g3 d5.",
    "Next comes 4.g3 d5.",
    "We will look at 4.Nf3 next time.",
    "We leave 4.g3 d5 for next Monday's guests.",
    "You will see 4.g3 d5 in many games.",
    "Next time you play 4.g3 d5 think of this.",
    "Next time we meet 4.g3 d5 we know it.",
    "Next week we will play 4.g3 d5 in the match.",
]


@pytest.mark.parametrize("text", KEPT)
def test_promises_kept_or_not_made_are_left_alone(text: str) -> None:
    assert told(lesson(f"{FIANCHETTO} 4.e4 d6. {text}", title="Lesson 1"), two("")) == []


def test_the_last_lesson_may_promise_and_so_may_one_whose_next_is_missing() -> None:
    assert told(ONE, two("Next time we look at 4.g3.")) == []
    four = lesson(f"{FIANCHETTO} 4.f3 d5.", title="Lesson 4")
    assert told(two("Next time we look at 4.g3."), four) == []


def test_an_earlier_lesson_keeps_no_promise_and_breaks_none() -> None:
    assert told(ONE, two("In lesson 1 we shall see 4.g3.")) == []


def test_last_time_is_the_lesson_with_the_number_before() -> None:
    four = lesson(f"{FIANCHETTO} 4.Nf3 O-O. Last time we looked at 4.g3 d5.", title="Lesson 4")
    three = lesson(f"{FIANCHETTO} 4.f3 d5.", title="Lesson 3")
    assert told(ONE, four) == []
    assert told(ONE, three, four) == [("not-in-that-lesson", "c.md", "4.g3 d5")]


def test_only_a_later_lesson_keeps_a_promise_to_come() -> None:
    three = lesson(f"{FIANCHETTO} 4.f3 d5.", title="Lesson 3")
    promise = two("In a later lesson we shall see 4.e4.")
    assert told(ONE, promise, three) == [("promise-not-kept", "b.md", "4.e4")]
    (found,) = [f for f in reports([ONE, promise, three])[1].findings if f.rule in RULES]
    assert "no later lesson here has it" in found.message
    assert told(ONE, promise) == []
    assert told(ONE, two("The move 4.e4 has a lesson of its own."), three) == []


def test_one_lesson_without_a_number_leaves_the_others_theirs() -> None:
    loose = lesson(f"{FIANCHETTO} 4.f3 d5.", title="Odds and ends")
    last = two("Last time we looked at 4.g3 d5.")
    assert told(last, loose, ONE) == [("not-in-that-lesson", "a.md", "4.g3 d5")]
    late = lesson(BAD, title="Lesson 2")
    early = lesson(GOOD, title="Lesson 1")
    assert told(late, loose, early) == [("move-judged-differently", "a.md", "4.e4?")]


NOTED = [
    ((lesson("1.e4 e5.", series="Winter"), lesson("1.e4 e5.")),
     ["a.md: no other lesson of the series 'Winter' is here to compare",
      "b.md: it names no `series`, as others do: it is compared with none of them"]),
    ((lesson("1.e4 e5.", title="Lesson 2"), lesson("1.e4 e5.", title="2. Pins")),
     ["a.md and b.md have the same number, 2: it is used for none of them"]),
    ((lesson("1.e4 e5."), lesson("1.e4 e5.")), []),
    ((lesson("1.e4 e5.", series="Winter"),), []),
]  # fmt: skip


@pytest.mark.parametrize(("texts", "notes"), NOTED)
def test_what_is_not_compared_is_noted(texts: Sequence[str], notes: list[str]) -> None:
    assert [note for report in reports(texts) for note in report.notes] == notes


# --- which lessons are compared, and what is told ------------------------------------------------

GOOD, BAD = f"{FIANCHETTO} 4.e4! d6.", f"{FIANCHETTO} 4.e4? d6."


def test_only_lessons_of_one_series_are_compared() -> None:
    assert told(lesson(GOOD, series="Autumn"), lesson(BAD, series="Spring")) == []
    assert told(lesson(GOOD, series="Autumn"), lesson(BAD)) == []
    assert len(told(lesson(GOOD, series="Autumn"), lesson(BAD, series=" autumn"))) == 1
    assert len(told(lesson(GOOD), lesson(BAD))) == 1
    assert told(lesson(GOOD)) == []


ACCEPT = "\n  - rule: move-judged-differently\n    place: {}\n    because: shown twice"


def test_a_difference_is_silent_where_the_later_lesson_accepts_it() -> None:
    keeps_good, keeps_bad = ACCEPT.format("4.e4!"), ACCEPT.format("4.e4?")
    good, bad = lesson(GOOD, accept=keeps_good), lesson(BAD, accept=keeps_bad)
    assert told(good, bad) == []
    assert [len(report.checked.accepted) for report in reports([good, bad])] == [1, 1]
    assert told(lesson(GOOD), bad) == []
    assert told(good, lesson(BAD)) == [("move-judged-differently", "b.md", "4.e4?")]


def test_an_entry_that_accepts_nothing_of_the_series_is_told_only_in_its_company() -> None:
    kept = lesson(GOOD, accept=ACCEPT.format("4.e4!"))
    assert "accept-of-nothing" not in {f.rule for f in reports([kept])[0].findings}
    assert "accept-of-nothing" in {f.rule for f in reports([kept, lesson(GOOD)])[0].findings}


def test_a_board_in_doubt_is_held_against_nothing() -> None:
    broken = "1.d4 Nf6 2.c4 g6 3.Nc4 Bg7 4.e4? d6."
    assert told(lesson(GOOD), lesson(broken)) == []


NUMBERS = [
    (("Lesson 3: The pin", "Lesson 1"), ("a.md", "b.md"), ("", ""), [("b.md", 1), ("a.md", 3)]),
    (("2. The pin", "1. The fork"), ("a.md", "b.md"), ("", ""), [("b.md", 1), ("a.md", 2)]),
    (("Pins, second evening", "Pins, first evening"), ("a.md", "b.md"), ("", ""),
     [("b.md", 1), ("a.md", 2)]),
    (("Chapter two", "Evening 1"), ("a.md", "b.md"), ("", ""), [("b.md", 1), ("a.md", 2)]),
    (("", ""), ("03-pin.md", "02-fork.md"), ("", ""), [("02-fork.md", 2), ("03-pin.md", 3)]),
    (("", ""), ("x/pin-12.md", "x/lesson4.md"), ("", ""), [("x/lesson4.md", 4), ("x/pin-12.md", 12)]),
    (("", ""), ("a.md", "b.md"), ("2026-05-09", "2026-04-30"), [("b.md", 1), ("a.md", 2)]),
    (("", ""), ("2026-05-09-pin.md", "b.md"), ("", ""), [("2026-05-09-pin.md", None), ("b.md", None)]),
    (("", ""), ("2026-11-27.md", "2026-10-30.md"), ("", ""),
     [("2026-10-30.md", 1), ("2026-11-27.md", 2)]),
    (("", ""), ("2026-11-27-lesson-2.md", "27-11-2026.md"), ("", ""),
     [("2026-11-27-lesson-2.md", 2), ("27-11-2026.md", None)]),
    (("Class 1 players at home", "How we came second class"), ("a.md", "b.md"), ("", ""),
     [("a.md", None), ("b.md", None)]),
    (("What lesson 1 left open", "Part 1 of the trip"), ("a.md", "b.md"), ("", ""),
     [("a.md", None), ("b.md", None)]),
    (("Part 2: pins", "Forks (lesson 1)"), ("a.md", "b.md"), ("", ""), [("b.md", 1), ("a.md", 2)]),
    (("Lesson Twelve", "Our eleventh evening"), ("a.md", "b.md"), ("", ""),
     [("b.md", 11), ("a.md", 12)]),
    (("Lesson 2", "Lesson 2"), ("a.md", "b.md"), ("", ""), [("a.md", None), ("b.md", None)]),
    (("1.e4 e5", "1. d4 d5"), ("a.md", "b.md"), ("", ""), [("a.md", None), ("b.md", None)]),
]  # fmt: skip


@pytest.mark.parametrize(("titles", "names", "dates", "expected"), NUMBERS)
def test_lessons_are_numbered_by_title_file_or_date(
    titles: tuple[str, ...],
    names: tuple[str, ...],
    dates: tuple[str, ...],
    expected: list[tuple[str, int | None]],
) -> None:
    texts = [
        lesson(f"{FIANCHETTO}.", title=f'"{title}"', date=f'"{date}"')
        for title, date in zip(titles, dates, strict=True)
    ]
    lessons = [follow(parse(Source(n, t))) for n, t in zip(names, texts, strict=True)]
    (found,) = series_of([(one, ()) for one in lessons])
    assert [(one.source.name, one.number) for one in found.members] == expected


def test_the_order_is_that_of_the_numbers() -> None:
    second = lesson(BAD, title="Lesson 2")
    first = lesson(GOOD, title="Lesson 1")
    assert told(second, first) == [("move-judged-differently", "a.md", "4.e4?")]


# --- the command ---------------------------------------------------------------------------------


def written(folder: Path, **texts: str) -> list[str]:
    for name, text in texts.items():
        (folder / f"{name}.md").write_text(text, "utf-8")
    return [str(folder / f"{name}.md") for name in texts]


def test_the_terminal_shows_both_lessons(tmp_path: Path) -> None:
    paths = written(tmp_path, one=lesson(GOOD), two=lesson(BAD))
    result = CliRunner().invoke(app, ["check", "--quick", *paths])
    assert result.exit_code == 1
    assert f"{paths[1]}:1:28  warning  move-judged-differently" in result.output
    assert f"and in {paths[0]}:1:28" in result.output
    assert result.output.count("‾‾‾‾‾") == 2


def test_the_readme_shows_what_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    line = "We play 1.d4 d5 2.c4 c6 3.Nf3 Nf6 4.Nc3.\n"
    black = "After 1.d4 d5 2.c4 c6 3.Nf3 Nf6 4.Nc3 e6 5.Bg5? h6! White has nothing."
    goes = "If Black protects the pawn on d5 with 4...e6, then we go 5.Bg5! at once."
    texts = {
        "01-slav": f"---\nfor: White\n---\n{line}{goes}\n",
        "04-black": f"---\nfor: Black\n---\n\n{black}\n",
    }
    monkeypatch.chdir(tmp_path)
    written(tmp_path, **texts)
    result = CliRunner().invoke(app, ["check", "--quick", "01-slav.md", "04-black.md"])
    readme = (Path(__file__).parents[1] / "README.md").read_text("utf-8")
    (sample,) = (part for part in readme.split("```") if part.startswith("console\n04-black.md"))
    assert " ".join(sample.split()[1:]) in " ".join(result.output.split())


def test_a_lesson_given_twice_is_read_once(tmp_path: Path) -> None:
    paths = written(tmp_path, one=lesson(GOOD), two=lesson(BAD))
    again = str(tmp_path / ".." / tmp_path.name / "one.md")
    result = CliRunner().invoke(app, ["check", "--quick", *paths, again])
    assert result.output.count("move-judged-differently") == 1
    assert again not in result.output


def test_json_tells_both_places(tmp_path: Path) -> None:
    paths = written(tmp_path, one=lesson(GOOD), two=lesson(f"Now {BAD} And 4.h4 Qz9."))
    result = CliRunner().invoke(app, ["check", "--quick", "--json", *paths])
    data = json.loads(result.stdout)
    stored = resources.files("linewright").joinpath("schemas/check.schema.json")
    jsonschema.validate(data, json.loads(stored.read_text("utf-8")))
    (found,) = [f for f in data["findings"] if f["rule"] == "move-judged-differently"]
    assert (found["file"], found["words"]) == (paths[1], "4.e4?")
    assert found["also"] == {
        "file": paths[0], "line": 1, "column": 28, "end_line": 1, "end_column": 33, "words": "4.e4!",
    }  # fmt: skip
    assert {f["also"] is None for f in data["findings"] if f["rule"] not in RULES} <= {True}


def test_a_promise_alone_leaves_the_exit_code(tmp_path: Path) -> None:
    promise = f"{FIANCHETTO} 4.e4 d6. The move 4.g3 has a lesson of its own."
    paths = written(tmp_path, one=lesson(promise), two=lesson(f"{FIANCHETTO} 4.e4 d6."))
    result = CliRunner().invoke(app, ["check", "--quick", *paths])
    assert "promise-not-kept" in result.output
    assert result.exit_code == 0


def test_watch_compares_again_when_one_lesson_is_saved(tmp_path: Path) -> None:
    """The lesson that is saved is reported, and what the other now says differently."""
    paths = written(tmp_path, one=lesson(GOOD), two=lesson(GOOD))
    command = [sys.executable, "-u", "-m", "linewright", "check", "--quick", "--watch", *paths]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as watching:
        assert watching.stdout is not None
        try:
            read_until(watching.stdout, f"{paths[1]}: nothing to mend")
            Path(paths[0]).write_text(lesson(BAD), "utf-8")
            os.utime(paths[0], (2_000_000_000, 2_000_000_000))
            read_until(watching.stdout, f"{paths[0]}: nothing to mend")
            read_until(watching.stdout, "move-judged-differently")
            Path(paths[0]).write_text(lesson(GOOD), "utf-8")
            os.utime(paths[0], (2_000_000_009, 2_000_000_009))
            read_until(watching.stdout, f"{paths[0]}: nothing to mend")
            read_until(watching.stdout, "'4.e4!' is no longer at odds with")
        finally:
            watching.kill()


def read_until(stream: IO[str], words: str) -> None:
    """Reads lines up to one that holds the words; a stream that ends without them fails."""
    for line in stream:
        if words in line:
            return
    pytest.fail(f"'{words}' never came")


PIECES = st.sampled_from(
    [
        FIANCHETTO, TURNED, "4.e4!", "4.e4?", "4.Nf3 O-O", "4...d6", "h4 is a mistake", "(4.g3 d5)",
        "White is better", "the position is equal", "=", "±", "In lesson 1 we saw", "Last time", "4.Nc4",
        "Next time we look at", "has a lesson of its own", "\n\n", "\n\n# A part 4.e4\n\n", ".", "?", "!",
        "[this](?remove=e2)", "\n\n~~~exercise\nWhat should White play?\nanswer: 4.e4\n~~~\n\n", "7", "(",
    ]
)  # fmt: skip
SCRIPTS = st.lists(PIECES, max_size=12).map(" ".join)


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.tuples(SCRIPTS, st.sampled_from([white, black, lesson])), min_size=2, max_size=4)
)
def test_whatever_stands_in_scripts_they_are_compared(
    written_as: list[tuple[str, Callable[[str], str]]],
) -> None:
    """Comparing never raises, and every place it tells is one of a script."""
    for report in reports([wrapped(text) for text, wrapped in written_as]):
        for found in report.findings:
            places = [(report.lesson.script.source, found.span)]
            places += [(found.also.source, found.also.span)] if found.also else []
            assert all(0 <= s.start <= s.end <= len(source.text) for source, s in places)


def test_comparing_takes_as_long_as_the_words_are_long() -> None:
    """Found in use: each judgment went through all moves of its lesson."""
    paragraph = (
        f"{FIANCHETTO} 4.e4 d6. White is better. Here 5.Nf3 is a mistake. "
        "Next time we look at 5.h3.\n\n"
    )

    def seconds(times: int) -> float:
        alone = [
            examine(Source(f"{k}.md", white(paragraph * times)), (), aids_of_board)
            for k in range(2)
        ]
        began = process_time()
        compare(alone)
        return process_time() - began

    seconds(5)
    assert seconds(640) < 7 * seconds(160) + 0.1


def test_thirty_lessons_are_compared_in_seconds() -> None:
    """Found in use: each lesson asked every other anew what it teaches."""
    lines = [f"# Part {k}\n\n{FIANCHETTO} 4.e4 d6 5.Nf3 O-O. " + "The plan is slow. " * 40
             for k in range(12)]  # fmt: skip
    text = white("\n\n".join(lines))
    alone = [examine(Source(f"{k}.md", text)) for k in range(30)]
    began = process_time()
    compare(alone)
    assert process_time() - began < 15
