"""The judge of pawn endings as statements about the board ask it."""

from __future__ import annotations

import chess

from linewright.analyst.pawn_ending import Certainty, PawnEndings, Result
from linewright.changed_boards import why_impossible
from linewright.judging import Fact


class EndingDecider:
    """The judge of pawn endings as the family of endings asks it.

    With `only_proved` nothing is played out: what the tables do not prove is not told.
    """

    def __init__(self, endings: PawnEndings, *, only_proved: bool = False) -> None:
        self._endings = endings
        self._only_proved = only_proved

    def __call__(self, board: chess.Board, side: bool | None, result: str) -> Fact | None:
        """Whether a pawn ending is won, lost or drawn as said; None where nobody is named."""
        if why := why_impossible(board):
            return Fact(None, f"no position to look at: {why}")
        verdict = self._endings.proved(board) if self._only_proved else self._endings.verdict(board)
        if verdict is None:
            return Fact(None, "too large for tables alone: it would have to be played out")
        because = f"{verdict.sentence()}, {verdict.text}"
        if any(word in result for word in ("draw", "hold", "save")):
            return self._fact(verdict.certainty, verdict.result is Result.DRAW, because)
        if side is None:
            won = verdict.result is not Result.DRAW
            wants_win = any(word in result for word in ("won", "win"))
            return self._fact(verdict.certainty, won, because) if wants_win else None
        wins = verdict.result is (Result.WHITE if side else Result.BLACK)
        loses = verdict.result is (Result.BLACK if side else Result.WHITE)
        lost = any(word in result for word in ("los", "hopeless"))
        return self._fact(verdict.certainty, loses if lost else wins, because)

    @staticmethod
    def _fact(certainty: Certainty, true: bool, because: str) -> Fact:
        return Fact(None if certainty is Certainty.LEANING else true, because)
