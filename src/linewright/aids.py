"""What a lesson is judged with beyond the board: statements, an analyst, collections. Floor 6."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from linewright.lesson import Lesson

if TYPE_CHECKING:
    from linewright.games.of_lesson import LessonGames


@dataclass(frozen=True, slots=True)
class Aids:
    """Functions and answerers a lesson is judged with; each may be missing.

    `figures` gives the records of the lesson's figures by their places. `notes` say in one line
    each what is missing that was asked for; they may grow while the lesson is judged. `close`
    ends the programs that were started.
    """

    judge: Callable[[Lesson], tuple[Any, ...]] | None = None
    analyst: Any = None
    collection: Any = None
    figures: Callable[[], Mapping[int, Any]] | None = None
    notes: Sequence[str] = ()
    close: Callable[[], None] | None = None


def aids_for(lesson: Lesson) -> Aids:
    """What a lesson can be judged with on this machine, as its front matter and the user's
    settings ask."""
    from linewright.analyst.open import open_analyst
    from linewright.deciding import Decider, EndingDecider, ending_figures
    from linewright.judging import Judges
    from linewright.statements_of_lesson import judge_lesson

    notes: list[str] = []
    analyst, endings = open_analyst(notes.append)
    games = _games(lesson, notes)
    judges = Judges(
        Decider(analyst, lesson.front.students), EndingDecider(endings), _asked_of(games)
    )

    def figures() -> dict[int, Any]:
        drawn = games.figures(lesson) if games is not None else {}
        return {**ending_figures(lesson, endings), **drawn}

    def judge(told: Lesson) -> tuple[Any, ...]:
        return judge_lesson(told, judges)

    return Aids(judge, analyst, games, figures, notes, analyst.close)


def aids_of_board(lesson: Lesson) -> Aids:
    """What a lesson can be judged with by its boards and words alone."""
    from linewright.statements_of_lesson import judge_lesson

    return Aids(judge_lesson)


def _games(lesson: Lesson, notes: list[str]) -> LessonGames | None:
    """The games the front matter names, a note for each that cannot be had."""
    if not lesson.front.games:
        return None
    from linewright.games.of_lesson import games_of

    games, missing = games_of(lesson, Path(lesson.script.source.name).parent)
    notes.extend(missing)
    return games


def _asked_of(games: LessonGames | None) -> Any:
    """What answers statements about frequency and score."""
    if games is None:
        return None
    from linewright.games.deciding import GamesDecider

    return GamesDecider(games)
