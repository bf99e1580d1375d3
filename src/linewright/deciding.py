"""What the analyst says to statements that only calculation can judge.

Who is asked for a fact about a position that the board alone does not show: whether somebody
stands better, whether a move is sound, whether a pawn ending is won.
"""

from __future__ import annotations

from collections.abc import Mapping

import chess

from linewright import facts
from linewright.analyst.answer import san_line
from linewright.analyst.claims import (
    BETTER_CP,
    WINNING_CP,
    least_points,
    told,
    won_as_said,
)
from linewright.analyst.ending_decider import EndingDecider
from linewright.analyst.ending_figures import ending_boards
from linewright.analyst.pawn_ending import PawnEnding, PawnEndings
from linewright.analyst.questions import REAL_THREAT_CP, Analyst, Won, deeper, fitting_sign
from linewright.analyst.review import cost_in_words
from linewright.analyst.students import severity_of_loss
from linewright.changed_boards import why_impossible
from linewright.judging import Fact, Said
from linewright.lesson import Lesson
from linewright.moves import side_name
from linewright.moves_meant import Played

BEST_CP = 25
"""Moves within this of the best are as good."""

_WORSE_WORDS = frozenset({"worse", "losing", "lost", "busted", "in trouble", "bad",
                          "worse position", "lost position"})  # fmt: skip
_WINNING_WORDS = frozenset({"winning", "won", "losing", "lost", "busted", "winning position",
                            "lost position"})  # fmt: skip
_OPINIONS = frozenset({"initiative", "attack", "pull", "unclear", "comfortable", "more comfortable",
                       "for choice", "fine", "good"})  # fmt: skip
_LEVEL_WORDS = frozenset({"equal", "level", "balanced", "even", "drawn", "a draw", "ok", "okay"})
_GOOD_MOVES = frozenset({"sound", "correct", "best", "the best move", "the strongest", "good",
                         "a good move", "strong", "winning"})  # fmt: skip
_BAD_MOVES = frozenset({"unsound", "incorrect", "refuted", "dubious", "a mistake", "a blunder",
                        "an error", "bad", "a bad move", "weak", "losing"})  # fmt: skip


class Decider:
    """The analyst as the families of statements ask it."""

    def __init__(self, analyst: Analyst, students: tuple[int, int] | None = None) -> None:
        self._analyst = analyst
        self._students = students

    def decide(self, said: Said, question: str) -> Fact | None:
        """What the analyst finds, or None where the words do not say enough."""
        if why := why_impossible(said.board):
            return Fact(None, f"no position to look at: {why}")
        how = said.word("how").split(" for ")[0]
        if question == "advantage" and how and how not in _OPINIONS:
            return self._advantage(said, how)
        if question == "soundness" and how and "move" in said:
            return self._soundness(said.played(), how)
        if question == "threat" and "move" in said:
            return self._threat(said.played())
        if question == "threat" and "side" in said and said.word("kind"):
            return self._threat_to_win(said)
        if question == "force":
            return self._force(said)
        return None

    def only_move(self, before: chess.Board, move: chess.Move) -> Fact:
        """Whether a move is the only good one."""
        found = self._analyst.only_move(before)
        assert found is not None, "a move was played"
        best = before.san(chess.Move.from_uci(found.move))
        if found.move != move.uci():
            return Fact(False, f"{best} is better ({found.analysis.cited()})")
        if found.gap_cp is None:
            return Fact(True, f"{best} is the only legal move")
        second = before.san(chess.Move.from_uci(found.analysis.lines[1].moves[0]))
        gap = f"{found.gap_cp / 100:.1f} pawns"
        if found.only:
            return Fact(True, f"the next best, {second}, is {gap} worse")
        return Fact(False, f"{second} is only {gap} worse")

    def _advantage(self, said: Said, how: str) -> Fact:
        """White's score against what was said; between the limits it cannot be told."""
        analysis = self._analyst.ask(said.board, deeper(self._analyst.effort))
        if analysis.best is None:
            return Fact(None, "the game is over")
        worth = analysis.best.score.worth(said.side() if "side" in said else chess.WHITE)
        score = f"{analysis.best.score} ({fitting_sign(analysis.best.score.worth(chess.WHITE))})"
        because = f"the analyst gives {score}: {analysis.text(0, 6)} [{analysis.cited()}]"
        if how in _LEVEL_WORDS:
            return Fact(told(BETTER_CP * 1.5 - abs(worth)), because)
        if "side" not in said:
            return Fact(None, because)
        least = WINNING_CP if how in _WINNING_WORDS else BETTER_CP
        worth = -worth if how in _WORSE_WORDS else worth
        return Fact(told(worth - least / 2, 20), because)

    def _soundness(self, played: Played, how: str) -> Fact | None:
        effort = deeper(self._analyst.effort)
        found = self._analyst.soundness(played.before, played.move, effort)
        grave = severity_of_loss(found.best_cp, found.played_cp, self._students) is not None
        because = f"it {cost_in_words(found)}: {found.shown(6)} [{found.analysis.cited()}]"
        if found.loss_cp <= BEST_CP:
            because = f"no move is better: {found.shown(6)} [{found.analysis.cited()}]"
        if how in _BAD_MOVES:
            return Fact(True if grave else False if found.loss_cp <= BEST_CP else None, because)
        if how in {"best", "the best move", "the strongest"}:
            return Fact(True if found.loss_cp <= BEST_CP else False if grave else None, because)
        if how in _GOOD_MOVES:
            return Fact(not grave, because)
        return None

    def _threat(self, played: Played) -> Fact | None:
        board = facts.to_move(played.before, not played.colour)
        if not board.is_valid():
            return None
        found = self._analyst.threat(board)
        if found is None and facts.balance(board, played.colour) > 0:
            return self._kept(board, played)
        if found is None:
            return Fact(False, "letting the other side pass wins nothing")
        cited = f"{found.shown()} [{found.analysis.cited()}]"
        if found.line[0] == played.move.uci():
            return Fact(True, cited)
        return Fact(None, f"the strongest threat is {cited}")

    def _kept(self, board: chess.Board, played: Played) -> Fact:
        """Whether a move may threaten to keep what its side has won: no line then wins more.

        Only a move that hits, takes or guards a man may, and neither one that takes a man out of
        an attack nor one that loses what is won. Whether it then is a threat is left open.
        """
        side = side_name(played.colour)
        because = f"{side} is ahead already, and letting the other side pass wins no more"
        if not _bears_on_a_man(played):
            return Fact(False, because)
        after = played.before.copy(stack=False)
        after.push(played.move)
        there, best = (
            self._analyst.ask(after),
            self._analyst.ask(facts.to_move(board, not board.turn)),
        )
        if there.best is None or best.best is None:
            return Fact(None, because)
        loss = best.best.score.worth(played.colour) - there.best.score.worth(played.colour)
        cited = f"{there.text(0, 6)} [{there.cited()}]"
        return Fact(False if loss >= REAL_THREAT_CP else None, f"{because}: {cited}")

    def _threat_to_win(self, said: Said) -> Fact | None:
        """Whether a side would win such a man if it were to move."""
        board = facts.to_move(said.board, not said.side())
        least = least_points(said.word("kind"))
        if not board.is_valid() or least is None:
            return None
        found = self._analyst.threat(board)
        if found is None:
            return Fact(False, "letting the other side pass wins nothing")
        because = f"{found.shown()} [{found.analysis.cited()}]"
        return Fact(True if found.mate or found.points >= least else None, because)

    def _force(self, said: Said) -> Fact | None:
        """Whether a side wins (or loses) something, or mates, with best play."""
        played = said.played() if "move" in said else None
        side = played.colour if played else said.side() if "side" in said else said.board.turn
        side = side != (said.word("deed") in _LOSING_DEEDS)
        board, moves = (played.before, [played.move]) if played else (said.board, [])
        found = self._analyst.won(board, side, moves)
        if found is None:
            return Fact(False, "the game is over without mate")
        line = san_line(board.fen(), found.line, 8)
        score = found.analysis.best.score if found.analysis.best else "mate"
        because = f"the analyst gives {score}: {line} [{found.analysis.cited()}]"
        if "number" in said and "mate" in said.original.lower():
            return Fact(_mates_within(found, said.number()), because)
        what = said.word("won") or said.original
        true = won_as_said(found, what)
        last = said.place.last()
        if not true and played is None and last is not None and last.colour is side:
            true = self._won_with_last(last, what) or true
        return Fact(true, because)

    def _won_with_last(self, last: Played, what: str) -> bool:
        """Whether a side wins it with the move it has just made: "14...Nxe4. Black wins a pawn" is
        said of the pawn on e4 too, though the knight is taken in return."""
        if not last.before.is_capture(last.move) or least_points(what) is None:
            return False
        found = self._analyst.won(last.before, last.colour, [last.move])
        return found is not None and won_as_said(found, what) is True


def _bears_on_a_man(played: Played) -> bool:
    """Whether a move takes a man, or hits or guards one from its new square, and is no retreat."""
    before, move = played.before, played.move
    if before.is_capture(move):
        return True
    after = before.copy(stack=False)
    after.push(move)
    reached = after.attacks(move.to_square)
    if reached & after.occupied_co[not played.colour]:
        return True
    guarded = reached & after.occupied_co[played.colour] & ~after.kings
    return bool(guarded) and not before.is_attacked_by(not played.colour, move.from_square)


_LOSING_DEEDS = frozenset({"loses", "lose", "is losing", "is lost"})


def _mates_within(found: Won, moves: int) -> bool | None:
    """Whether there is a mate in so many moves, None where a deeper search might find one."""
    best = found.analysis.best
    if found.mate and best is not None and best.score.mate is not None:
        fastest = abs(best.score.mate)
        return fastest == moves if fastest <= moves else None
    return False if found.worth_cp < WINNING_CP else None


def ending_figures(lesson: Lesson, endings: PawnEndings) -> Mapping[int, PawnEnding]:
    """The judged endings of the lesson's `pawn-ending` figures, by the place of the figure.

    A figure without a board of kings and pawns is left out.
    """
    return {
        figure.span.start: endings.judge(board)
        for figure, board in ending_boards(lesson)
        if board is not None
    }


__all__ = ["Decider", "EndingDecider", "ending_figures"]
