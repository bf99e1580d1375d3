"""The questions everything else asks of an engine."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import chess

from linewright.analyst.answer import (
    MATE_WORTH,
    Analysis,
    Answerer,
    Effort,
    EngineTroubleError,
    Line,
    Score,
    san_line,
)
from linewright.analyst.memory import Memory
from linewright.analyst.students import severity_of_loss
from linewright.changed_boards import why_impossible
from linewright.finding import Severity
from linewright.position.fen import read_fen
from linewright.position.material import balance

DEFAULT_EFFORT = Effort(nodes=100_000)
"""About a tenth of a second on one core: some twelve plies in a middlegame."""

SIGN_RANGES = {
    "=": (-45, 45), "⩲": (15, 110), "⩱": (-110, -15), "±": (60, 230), "∓": (-230, -60),
    "+-": (140, MATE_WORTH), "-+": (-MATE_WORTH, -140), "∞": (-160, 160),
}  # fmt: skip
"""The scores, in hundredths of a pawn for White, that a sign of advantage is in keeping with; wide,
and overlapping, because signs are opinions. Source: common practice, no source."""

SIGN_NAMES = {
    "=": "level", "⩲": "a little better for White", "⩱": "a little better for Black",
    "±": "better for White", "∓": "better for Black", "+-": "won for White",
    "-+": "won for Black", "∞": "unclear",
}  # fmt: skip

REAL_THREAT_CP = 150
FORCED_PLIES = 8
ONLY_MOVE_CP = 150


@dataclass(frozen=True, slots=True)
class Soundness:
    """What a move costs: `best` and `played` are worth so many hundredths of a pawn to the mover.

    `refutation` is the opponent's best line after the move (UCI), `instead` the best line of the
    position before it; `analysis` the answer they come from.
    """

    fen: str
    move: str
    best_cp: int
    played_cp: int
    refutation: tuple[str, ...]
    instead: tuple[str, ...]
    analysis: Analysis

    @property
    def loss_cp(self) -> int:
        """How much worse than the best move; never negative."""
        return max(self.best_cp - self.played_cp, 0)

    def shown(self, most: int = 8) -> str:
        """The move with its refutation, in SAN with numbers."""
        return san_line(self.fen, (self.move, *self.refutation), most)

    def better(self, most: int = 6) -> str:
        """The best line instead, in SAN with numbers."""
        return san_line(self.fen, self.instead, most)


@dataclass(frozen=True, slots=True)
class Error:
    """A move that costs enough to matter, and how much it matters to the students."""

    soundness: Soundness
    severity: Severity


@dataclass(frozen=True, slots=True)
class Threat:
    """What the side not to move would do if the other passed.

    `fen` is the position with the pass made; `points` what the line wins, in pawns; `mate` if it
    mates.
    """

    fen: str
    line: tuple[str, ...]
    points: int
    mate: bool
    analysis: Analysis

    def shown(self, most: int = 6) -> str:
        """The line in SAN with numbers."""
        return san_line(self.fen, self.line, most)


@dataclass(frozen=True, slots=True)
class OnlyMove:
    """Whether a position has one good move: `gap_cp` to the second best, None if there is none."""

    move: str
    only: bool
    gap_cp: int | None
    analysis: Analysis


@dataclass(frozen=True, slots=True)
class Won:
    """What a side wins in the best line of a position: `points` in pawns, `mate` if it mates."""

    points: int
    mate: bool
    worth_cp: int
    line: tuple[str, ...]
    analysis: Analysis


@dataclass(frozen=True, slots=True)
class InKeeping:
    """Whether a sign of advantage fits: `fits`, the score, and the sign that would."""

    sign: str
    fits: bool
    score: Score
    better_sign: str
    analysis: Analysis


class Analyst:
    """Answers questions about positions; asks its engine only what it does not remember.

    `engine` may fail: then `on_trouble` gets one line and `fallback` answers from there on.
    """

    def __init__(
        self,
        engine: Answerer,
        memory: Memory | None = None,
        *,
        effort: Effort = DEFAULT_EFFORT,
        fallback: Callable[[], Answerer] | None = None,
        on_trouble: Callable[[str], None] | None = None,
    ) -> None:
        self._engine = engine
        self._identity = engine.identity
        self._memory = memory or Memory(None)
        self._fallback = fallback
        self._on_trouble = on_trouble or (lambda _: None)
        self.effort = effort
        self.asked = 0

    @property
    def identity(self) -> str:
        """Name and version of the engine that answers now."""
        return self._identity

    @property
    def engine(self) -> Answerer:
        """What answers now."""
        return self._engine

    @property
    def memory(self) -> Memory:
        """The remembered answers."""
        return self._memory

    def close(self) -> None:
        """Ends the engine and lets go of the memory."""
        self._engine.close()
        self._memory.close()

    def ask(
        self,
        position: chess.Board | str,
        effort: Effort | None = None,
        only: Sequence[str] = (),
        lines: int | None = None,
    ) -> Analysis:
        """The answer for a position, remembered or new.

        Raises `ValueError` for an impossible position, `EngineTroubleError` if no engine is left.
        """
        try:
            board = read_fen(position) if isinstance(position, str) else position
        except ValueError as error:
            raise ValueError(f"'{position}' is no position: {error}") from None
        fen = board.fen()
        if why := why_impossible(board):
            raise ValueError(f"'{fen}' is no position: {why}")
        return self._known_or_new(fen, effort, only, lines)

    def _known_or_new(
        self,
        fen: str,
        effort: Effort | None,
        only: Sequence[str] = (),
        lines: int | None = None,
    ) -> Analysis:
        effort = effort or self.effort
        effort = replace(effort, lines=lines) if lines else effort
        asked = tuple(sorted(only))
        known = self._memory.recall(self._identity, fen, effort, asked)
        if known is not None:
            return known
        self.asked += 1
        analysis = self._answered(fen, effort, asked)
        self._memory.remember(analysis, effort, asked)
        return analysis

    def _answered(self, fen: str, effort: Effort, only: tuple[str, ...]) -> Analysis:
        try:
            return self._engine.answer(fen, effort, only)
        except EngineTroubleError as trouble:
            self._on_trouble(str(trouble))
            if self._fallback is None:
                raise
            self._engine, self._fallback = self._fallback(), None
            self._identity = self._engine.identity
            return self._engine.answer(fen, effort, only)

    def best(self, position: chess.Board | str, lines: int = 3) -> Analysis:
        """The best moves with their lines."""
        return self.ask(position, lines=lines)

    def soundness(
        self, board: chess.Board, move: chess.Move, effort: Effort | None = None
    ) -> Soundness:
        """What a move loses against the best one, and by which refutation.

        Raises `ValueError` if the move is illegal.
        """
        if not board.is_legal(move):
            raise ValueError(f"'{move.uci()}' is illegal in '{board.fen()}'")
        white = board.turn
        free = self.ask(board, effort)
        fen = free.fen
        best = free.best
        assert best is not None, "a legal move was given"
        if best.moves[0] == move.uci():
            played, analysis = best, free
        else:
            analysis = self._known_or_new(fen, effort, (move.uci(),))
            played = analysis.best or best
            if played.score.worth(white) > best.score.worth(white):
                best = played
        return Soundness(
            fen,
            move.uci(),
            best.score.worth(white),
            played.score.worth(white),
            played.moves[1:],
            best.moves,
            analysis,
        )

    def error(
        self, board: chess.Board, move: chess.Move, students: tuple[int, int] | None
    ) -> Error | None:
        """What is wrong with a move, looked at again with more effort; None if nothing is."""
        found = self.soundness(board, move)
        if severity_of_loss(found.best_cp, found.played_cp, students) is None:
            return None
        found = self.soundness(board, move, deeper(self.effort))
        severity = severity_of_loss(found.best_cp, found.played_cp, students)
        if severity is None:
            return None
        return Error(found, severity)

    def threat(self, board: chess.Board) -> Threat | None:
        """What the side not to move threatens, by letting the other side pass; None if nothing
        that wins material or mates beyond what it has anyhow, or if there is check."""
        if board.is_check() or not any(board.legal_moves):
            return None
        threatener = not board.turn
        passed = board.copy(stack=False)
        passed.push(chess.Move.null())
        if why_impossible(passed) or not any(passed.legal_moves):
            return None
        there, here = self.ask(passed), self.ask(board)
        line = there.best
        if line is None or here.best is None:
            return None
        gain = line.score.worth(threatener) - here.best.score.worth(threatener)
        mate = line.score.mate is not None and line.score.worth(threatener) > 0
        points = won_points(passed, line.moves)
        already = here.best.score.mate is not None and here.best.score.worth(threatener) > 0
        if gain < REAL_THREAT_CP or already or (not mate and points < 1):
            return None
        return Threat(passed.fen(), line.moves, points, mate, there)

    def only_move(self, board: chess.Board) -> OnlyMove | None:
        """Whether one move stands out; None where the game is over."""
        analysis = self.ask(board, lines=2)
        if analysis.best is None:
            return None
        move = analysis.best.moves[0]
        if len(analysis.lines) == 1:
            return OnlyMove(move, True, None, analysis)
        first, second = (line.score.worth(board.turn) for line in analysis.lines[:2])
        return OnlyMove(move, first - second >= ONLY_MOVE_CP, first - second, analysis)

    def won(
        self, board: chess.Board, side: chess.Color, moves: Sequence[chess.Move] = ()
    ) -> Won | None:
        """What a side wins with best play after some moves, counted from `board` on.

        None where the game is over without mate. Looks with the effort of a second look.
        """
        end = board.copy(stack=False)
        for move in moves:
            end.push(move)
        analysis = self.ask(end, deeper(self.effort))
        line = tuple(move.uci() for move in moves)
        if end.is_checkmate():
            mates = end.turn != side
            worth = MATE_WORTH if mates else -MATE_WORTH
            return Won(0, mates, worth, line, analysis)
        if analysis.best is None:
            return None
        worth = analysis.best.score.worth(side)
        line = (*line, *analysis.best.moves)
        points = won_points(board, line, len(moves) + FORCED_PLIES)
        mates = analysis.best.score.mate is not None and worth > 0
        return Won(points if side == board.turn else -points, mates, worth, line, analysis)

    def in_keeping(
        self, board: chess.Board, sign: str, effort: Effort | None = None
    ) -> InKeeping | None:
        """Whether a sign of advantage fits the position; None for a sign that is none or where
        the game is over."""
        sign = normal_sign(sign)
        if sign not in SIGN_RANGES:
            return None
        analysis = self.ask(board, effort)
        if analysis.best is None:
            return None
        score = analysis.best.score
        low, high = SIGN_RANGES[sign]
        worth = score.worth(chess.WHITE)
        return InKeeping(sign, low <= worth <= high, score, fitting_sign(worth), analysis)

    def advantage(self, board: chess.Board) -> Line | None:
        """The best line with its score, for statements such as "White is better"."""
        return self.ask(board).best


DEEPER = 6


def deeper(effort: Effort) -> Effort:
    """The effort with which a doubt is looked at again before it is reported."""
    return replace(
        effort,
        nodes=effort.nodes and effort.nodes * DEEPER,
        depth=effort.depth and effort.depth + 2,
        time_ms=effort.time_ms and effort.time_ms * DEEPER,
    )


def normal_sign(sign: str) -> str:
    """One spelling for each sign of advantage.

    >>> normal_sign("+/-"), normal_sign("+−"), normal_sign("=+")
    ('±', '+-', '⩱')
    """
    plain = sign.replace("−", "-").replace("–", "-")
    return {"+=": "⩲", "=+": "⩱", "+/-": "±", "-/+": "∓"}.get(plain, plain)


def fitting_sign(worth_cp: int) -> str:
    """The sign that goes with a score for White.

    Source: common practice, no source.
    """
    for sign, least in (("+-", 185), ("±", 85), ("⩲", 35)):
        if worth_cp >= least:
            return sign
    for sign, most in (("-+", -185), ("∓", -85), ("⩱", -35)):
        if worth_cp <= most:
            return sign
    return "="


def won_points(board: chess.Board, moves: Sequence[str], most: int = FORCED_PLIES) -> int:
    """What a line wins for the side that begins it, in pawns, counted where it has come to rest:
    not in the middle of an exchange, and at the end of the line after what can still be taken.

    >>> won_points(chess.Board("4k3/8/8/3p4/4P3/8/8/4K3 w - - 0 1"), ["e4d5", "e8e7"])
    1
    >>> won_points(chess.Board("3rk3/8/8/3p4/8/8/8/3QK3 w - - 0 1"), ["d1d5"])
    -8
    """
    running, side, taking = board.copy(stack=False), board.turn, False
    for move in map(chess.Move.from_uci, moves[:most]):
        taking = running.is_capture(move)
        running.push(move)
    standing, rest = balance(running, side), at_rest(running, side)
    # A pawn that could be taken at the end of a quiet line is no more than a chance.
    told = rest if taking or abs(rest - standing) > 1 else standing
    return told - balance(board, side)


_REST_PLIES = 12


def at_rest(board: chess.Board, side: chess.Color) -> int:
    """The balance of material for a side, in pawns, when all that is worth taking is taken.

    Either side may stop taking; a side in check must answer it. Cost: grows with the captures
    there are, a few milliseconds at most.

    >>> at_rest(chess.Board("3rk3/8/8/3Q4/8/8/8/4K3 b - - 0 1"), chess.WHITE)
    -5
    """
    worth = _taken_out(board.copy(stack=False), -1000, 1000, _REST_PLIES)
    return worth if side == board.turn else -worth


def _taken_out(board: chess.Board, low: int, high: int, plies: int) -> int:
    """The balance for the side to move after captures, in a window."""
    evading = board.is_check() and not board.is_checkmate()
    best = -1000 if evading and plies else balance(board, board.turn)
    if plies == 0 or best >= high:
        return best
    low = max(low, best)
    moves = board.legal_moves if evading else board.generate_legal_captures()
    for move in sorted(moves, key=lambda move: _order(board, move)):
        board.push(move)
        worth = -_taken_out(board, -high, -low, plies - 1)
        board.pop()
        best = max(best, worth)
        low = max(low, best)
        if low >= high:
            break
    return best


def _order(board: chess.Board, move: chess.Move) -> tuple[int, int]:
    """Captures of the most by the least first."""
    taken = board.piece_type_at(move.to_square) or 0
    return -taken, board.piece_type_at(move.from_square) or 0
