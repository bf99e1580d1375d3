"""The games a lesson names, opened once and asked in the students' band."""

from __future__ import annotations

from pathlib import Path

import chess

from linewright.drawing import Engraving
from linewright.errors import LinewrightError
from linewright.games.collection import Collection, StoredGame
from linewright.games.home import open_named
from linewright.games.model_games import Wanted, model_games
from linewright.games.plans import Plans, plans
from linewright.games.reach import Reach, reach
from linewright.games.tally import Filter, Tally, ask
from linewright.lesson import Lesson


class LessonGames:
    """What the collections named by a lesson say of its positions; answers are remembered."""

    def __init__(self, lesson: Lesson, collections: tuple[Collection, ...]) -> None:
        self.lesson = lesson
        self.collections = collections
        self.filter = Filter(lesson.front.students)
        self._tallies: dict[str, Tally] = {}
        self._reach: list[Reach | None] = []

    def tally(self, board: chess.Board | str) -> Tally:
        """The tally of a position in the students' band."""
        fen = board if isinstance(board, str) else board.fen(en_passant="fen")
        if fen not in self._tallies:
            self._tallies[fen] = ask(self.collections, fen, self.filter)
        return self._tallies[fen]

    def plans(self, board: chess.Board | str, plies: int = 20) -> Plans:
        """The plans from a position, of players of all ratings."""
        return plans(self.collections, board, plies)

    def model_games(self, board: chess.Board | str, limit: int = 3) -> tuple[StoredGame, ...]:
        """Model games through a position."""
        return model_games(self.collections, board, Wanted(), limit)

    def reach(self) -> Reach | None:
        """The lesson's reach; `None` if it does not say whom it is for."""
        if not self._reach:
            self._reach.append(reach(self.lesson, self.collections))
        return self._reach[0]

    def figures(self, lesson: Lesson) -> dict[int, Engraving]:
        """The figures of games a lesson asks for, drawn, by the place of their span."""
        from linewright.games.figures import engravings

        return engravings(lesson, self)


def games_of(
    lesson: Lesson, beside: Path | None = None
) -> tuple[LessonGames | None, tuple[str, ...]]:
    """The games a lesson names in its front matter, and a line for each that cannot be had."""
    found: list[Collection] = []
    notes: list[str] = []
    for name in lesson.front.games:
        try:
            found.append(open_named(name, beside))
        except (LinewrightError, OSError) as error:
            notes.append(f"games '{name}' left out: {error}")
    return (LessonGames(lesson, tuple(found)) if found else None), tuple(notes)
