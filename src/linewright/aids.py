"""What a lesson is judged with beyond the board: statements, an analyst, collections."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from linewright.lesson import Lesson

if TYPE_CHECKING:
    from linewright.analyst.pawn_ending import PawnEndings
    from linewright.analyst.questions import Analyst
    from linewright.games.of_lesson import LessonGames
    from linewright.judged_place import Judges
    from linewright.kept_verdicts import Kept


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
    from linewright.statements_of_lesson import judge_lesson

    notes: list[str] = []
    analyst, endings = open_analyst(notes.append)
    games = _games(lesson, notes)

    def judges() -> Judges:
        from linewright.deciding import Decider, EndingDecider
        from linewright.judged_place import Judges

        decider = Decider(analyst, lesson.front.students)
        return Judges(decider, EndingDecider(endings), _asked_of(games))

    def figures() -> dict[int, Any]:
        drawn = games.figures(lesson) if games is not None else {}
        return {**_endings_of(lesson, endings), **drawn}

    kept = None if games or endings.has_large_tables else _kept(lesson, analyst)

    def judge(told: Lesson) -> tuple[Any, ...]:
        return judge_lesson(told, judges, kept)

    return Aids(judge, analyst, games, figures, notes, analyst.close)


def aids_of_board(lesson: Lesson) -> Aids:
    """What a lesson can be judged with by its boards and words alone."""
    from linewright.analyst.memory import Memory
    from linewright.analyst.settings import memory_path
    from linewright.kept_verdicts import Kept
    from linewright.statements_of_lesson import judge_lesson

    memory = Memory(memory_path())
    kept = Kept(memory, "the board alone")
    notes = (NO_FIGURES,) if lesson.front.games and _asks_for_games(lesson) else ()
    return Aids(lambda told: judge_lesson(told, None, kept), notes=notes, close=memory.close)


NO_FIGURES = "no games are asked (--quick): figures of games are left out"


def _asks_for_games(lesson: Lesson) -> bool:
    from linewright.inline import OF_GAMES, Figure

    inlines = (inline for block in lesson.script.blocks for inline in block.inlines)
    return any(isinstance(inline, Figure) and inline.kind in OF_GAMES for inline in inlines)


def _endings_of(lesson: Lesson, endings: PawnEndings) -> Mapping[int, Any]:
    """The judged endings of the figures that draw one."""
    if "pawn-ending" not in lesson.script.source.text:
        return {}
    from linewright.deciding import ending_figures

    return ending_figures(lesson, endings)


def _kept(lesson: Lesson, analyst: Analyst) -> Kept | None:
    """Where verdicts are kept; nowhere if another program answers, which may change."""
    from linewright.analyst.builtin import BuiltIn
    from linewright.kept_verdicts import Kept

    if not isinstance(analyst.engine, BuiltIn):
        return None
    return Kept(analyst.memory, f"{analyst.identity} {analyst.effort} {lesson.front.students}")


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
