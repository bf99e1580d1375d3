"""Statements about frequency, score and fashion, judged by the games."""

from __future__ import annotations

import pytest

from linewright.following import follow
from linewright.games.adding import Addition
from linewright.games.collection import Collection
from linewright.games.deciding import GamesDecider
from linewright.games.of_lesson import LessonGames
from linewright.judged_place import Judges
from linewright.script import parse
from linewright.source import Source
from linewright.statements_of_lesson import judge_lesson


@pytest.fixture(scope="module")
def games(tmp_path_factory: pytest.TempPathFactory) -> Collection:
    """1...e5 in 140 games (70 before 2015, White wins most), 1...c5 in 50, 1...a5 in 10."""
    folder = tmp_path_factory.mktemp("games")
    lines = {("e5", 2005, "1-0"): 110, ("e5", 2020, "0-1"): 10, ("c5", 2004, "0-1"): 10}
    lines |= {("c5", 2020, "0-1"): 60, ("a5", 2003, "1-0"): 10}
    text = "".join(
        f'[Event "E"]\n[Date "{year}.1.1"]\n[White "{reply} {year} {n}"]\n[Result "{result}"]\n\n'
        f"1.e4 {reply} {result}\n\n"
        for (reply, year, result), count in lines.items()
        for n in range(count)
    )
    (folder / "g.pgn").write_text(text)
    Addition(folder / "c").run([str(folder / "g.pgn")])
    return Collection(folder / "c")


SENTENCES = {
    "e5 is the commonest move": "holds",
    "c5 is the commonest move": "fails",
    "most players choose e5": "holds",
    "most players choose c5": "fails",
    "Black plays e5 most often": "holds",
    "Black plays c5 most often": "fails",
    "most of our members play e5": "holds",
    "most of our members play c5": "fails",
    "nobody has ever played h5": "holds",
    "nobody has ever played a5": "fails",
    "none of our members has played a5 yet": "fails",
    "a5 is rarely played": "holds",
    "e5 is rarely played": "fails",
    "c5 is becoming more popular": "holds",
    "e5 is becoming more popular": "fails",
}


@pytest.mark.parametrize("sentence", SENTENCES)
def test_statements_are_judged_by_the_games(games: Collection, sentence: str) -> None:
    text = f"After 1.e4 Black has a choice: {sentence}.\n"
    lesson = follow(parse(Source("lesson.md", text)))
    decider = GamesDecider(LessonGames(lesson, (games,)))
    verdicts = judge_lesson(lesson, Judges(tally=decider))
    found = [(v.verdict, v.because) for v in verdicts if v.statement.family == "frequency"]
    assert [str(verdict) for verdict, _ in found] == [SENTENCES[sentence]], found
    assert all(" of 200" in because or " of 70" in because for _, because in found)
