"""Shares that a text tells are compared with the games only where they are told of a move."""

from __future__ import annotations

from pathlib import Path

import pytest

from linewright.checks import Grounds
from linewright.checks.figure_differs_from_games import check
from linewright.following import follow
from linewright.games.adding import Addition
from linewright.games.collection import Collection
from linewright.games.of_lesson import LessonGames
from linewright.script import parse
from linewright.source import Source
from linewright.timing import time

GAMES = Path(__file__).parents[1] / "examples/brackwater-games.pgn.xz"
FRONT = "---\nfor: White\nstudents: 1000-1900\ngames: brackwater-games.pgn.xz\n---\n"
LINE = "1.d4 d5 2.c4 e6 3.Nc3 Nf6 4.cxd5."


@pytest.fixture(scope="module")
def collection(tmp_path_factory: pytest.TempPathFactory) -> Collection:
    folder = tmp_path_factory.mktemp("games")
    Addition(folder).run([str(GAMES)])
    return Collection(folder)


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ("Half of our members play 4...exd5.", 1),
        ("Half of our members never play 4...exd5.", 0),
        ("Half of our members play cards after 4...exd5.", 0),
        ("Half of our members answer 4...exd5 with 5.Bg5.", 0),
        ("After 4...exd5 White wins 90 percent of the games.", 1),
        ("After 4...exd5 we win 90 percent of the games.", 1),
        ("After 4...exd5 White loses 90 percent of the games.", 1),
        ("After 4...exd5 White wins 43 percent and loses 47 percent of the games.", 0),
        ("After 4...exd5 Ann wins 90 percent of her games.", 0),
        ("After 4...exd5 White wins a tempo in 90 percent of the games.", 0),
        ("In two thirds of the games Black takes with the pawn.", 1),
        ("I lost 60 percent of my games this year.", 0),
    ],
)
def test_a_share_is_compared_where_it_is_told_of_a_move(
    words: str, told: int, collection: Collection
) -> None:
    """Found in use: "half of them never play it" was compared with how many play it."""
    lesson = follow(parse(Source("a.md", f"{FRONT}{LINE} {words}\n")))
    games = LessonGames(lesson, (collection,))
    assert len(list(check(Grounds(lesson, time(lesson), (), None, games)))) == told
