"""Verdicts on pawn endings: proved, played out, or leaning; with a line and the reason in words."""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from dataclasses import asdict, dataclass, replace
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING

import chess

from linewright._core import PawnTables
from linewright.analyst.answer import Effort, san_line
from linewright.analyst.questions import Analyst
from linewright.changed_boards import why_impossible
from linewright.moves import side_name
from linewright.position.fen import read_fen

if TYPE_CHECKING:
    import chess.syzygy

MOST_SKELETONS = 40_000
"""Endings whose pawns can go more ways than this are played out instead; it is about the number
that is solved in the time a teacher waits."""

MOST_TABLES = 300
"""Tables of queens and pawns spent on proving one ending; some seconds."""

SEARCHES = (60_000, 180_000, 540_000)
"""Nodes a move when an ending is played out, growing until two results agree."""

LONGEST_PLIES = 240
SHOWN_PLIES = 40
DECIDED_CP = 1400
QUIET_PLIES = 60
LEANING_CP = 120


class Result(StrEnum):
    """Who wins."""

    WHITE = "white-wins"
    DRAW = "draw"
    BLACK = "black-wins"

    @property
    def words(self) -> str:
        """As it is said."""
        return {"white-wins": "White wins", "draw": "a draw", "black-wins": "Black wins"}[self]


class Certainty(StrEnum):
    """How sure a verdict is."""

    PROVED = "proved"
    """By tables, or by a search that ends in them."""
    PLAYED_OUT = "played out"
    """Both sides played by the engine, twice with growing effort, with one result."""
    LEANING = "leaning"
    """The results differ; the last one counts."""


@dataclass(frozen=True, slots=True)
class Verdict:
    """What a pawn ending is worth with one side to move.

    `line` is instructive (UCI), `text` the same in SAN with numbers; `reason` one clause in
    words, empty where it cannot be told; `holding` the moves (SAN) that keep the result for the
    side to move, none where it is lost, None where they were not all judged; `engine`, `depth` and
    `nodes` say who decided it.
    """

    fen: str
    result: Result
    certainty: Certainty
    line: tuple[str, ...]
    text: str
    reason: str
    holding: tuple[str, ...] | None
    engine: str
    depth: int
    nodes: int

    def sentence(self) -> str:
        """The verdict as one line.

        Lower case without a full stop, as findings are.
        """
        mover = side_name(self.fen.split()[1] == "w")
        because = f": {self.reason}" if self.reason else ""
        return f"{mover} to move, {self.result.words} ({self.certainty}){because}"


@dataclass(frozen=True, slots=True)
class PawnEnding:
    """A pawn ending judged for either side to move; a figure draws this.

    `here` is for the side to move in `fen`; `other` for the other side, None where that is
    impossible (a king could be taken).
    """

    fen: str
    here: Verdict
    other: Verdict | None


def is_pawn_ending(board: chess.Board) -> bool:
    """Whether only kings and pawns are left, and some pawn is.

    >>> is_pawn_ending(chess.Board("4k3/8/8/8/8/8/4P3/4K3 w - - 0 1"))
    True
    """
    return bool(board.pawns) and board.occupied == board.pawns | board.kings


class PawnEndings:
    """Judges pawn endings with tables, an analyst, and larger tables if the user has some."""

    def __init__(
        self, analyst: Analyst, endgame_tables: Sequence[Path] = (), most_tables: int = MOST_TABLES
    ) -> None:
        self._analyst = analyst
        self._tables = PawnTables(MOST_SKELETONS)
        self._most_tables = most_tables
        self._folders = tuple(folder for folder in endgame_tables if folder.is_dir())
        self._large: chess.syzygy.Tablebase | None = None

    @property
    def has_large_tables(self) -> bool:
        """Whether the user has endgame tables."""
        return bool(self._folders)

    def judge(self, position: chess.Board | str) -> PawnEnding:
        """The ending judged for either side to move; remembered.

        Raises `ValueError` for an impossible position or one with other pieces.
        """
        try:
            board = read_fen(position) if isinstance(position, str) else position.copy()
        except ValueError as error:
            raise ValueError(f"'{position}' is no position: {error}") from None
        if why := why_impossible(board):
            raise ValueError(f"'{board.fen()}' is no position: {why}")
        if not is_pawn_ending(board):
            raise ValueError(f"'{board.fen()}' is no pawn ending")
        turned = board.copy(stack=False)
        turned.turn = not board.turn
        turned.ep_square = None
        here = self.verdict(board)
        other = None if why_impossible(turned) else self.verdict(turned)
        if other is not None:
            here, other = _with_zugzwang(here, other), _with_zugzwang(other, here)
        return PawnEnding(board.fen(), here, other)

    def verdict(self, board: chess.Board) -> Verdict:
        """The ending judged for the side to move; remembered."""
        key = f"{self._identity()}|{' '.join(board.fen().split()[:4])}"
        known = _from_text(self._analyst.memory.recall_text("pawn-ending", key), board.fen())
        if known is not None:
            return known
        found = self.proved(board) or self._played_out(board)
        self._analyst.memory.remember_text("pawn-ending", key, json.dumps(asdict(found)))
        return found

    def proved(self, board: chess.Board) -> Verdict | None:
        """The ending judged for the side to move by tables alone; None where they do not reach."""
        return self._from_large(board) or self._from_tables(board)

    def _identity(self) -> str:
        folders = ",".join(str(folder) for folder in self._folders)
        return f"{self._analyst.identity}|{self._most_tables}|{folders}"

    # Larger tables of the user's

    def _from_large(self, board: chess.Board) -> Verdict | None:
        if not self._folders or board.castling_rights:
            return None
        if self._large is None:
            import chess.syzygy

            self._large = chess.syzygy.Tablebase()
            for folder in self._folders:
                self._large.add_directory(str(folder))
        value = self._probe(board)
        if value is None:
            return None
        after = {move: self._probe_after(board, move) for move in board.legal_moves}
        holding = None
        if None not in after.values():
            holding = [move for move, worth in after.items() if worth == value]
        line = self._line(board, self._large_choice)
        by = ("endgame tables", 0, 0)
        return self._verdict(board, value, Certainty.PROVED, line, holding, by=by)

    def _probe(self, board: chess.Board) -> int | None:
        """1, 0 or -1 from White's side; a win that the fifty-move rule spoils is a draw."""
        if self._large is None:
            return None
        try:
            value = self._large.probe_wdl(board)
        except (KeyError, ValueError, OSError, IndexError):
            return None  # no such table, or one that cannot be read
        sign = (value > 1) - (value < -1)
        return sign if board.turn else -sign

    def _probe_after(self, board: chess.Board, move: chess.Move) -> int | None:
        after = board.copy(stack=False)
        after.push(move)
        return self._probe(after)

    def _large_choice(self, board: chess.Board) -> chess.Move | None:
        value = self._probe(board)
        if value is None or self._large is None:
            return None
        keeping = [m for m in board.legal_moves if self._probe_after(board, m) == value]

        def length(move: chess.Move) -> int:
            after = board.copy(stack=False)
            after.push(move)
            try:
                return abs(self._large.probe_dtz(after)) if self._large else 0
            except (KeyError, ValueError, OSError, IndexError):
                return 0

        winning = value == (1 if board.turn else -1)
        return (min if winning else max)(keeping, key=length, default=None)

    # Our own tables

    def _from_tables(self, board: chess.Board) -> Verdict | None:
        """A proved verdict, or None."""
        value = self._tables.prove(board.fen(), self._most_tables)
        if value is None or value[0] != value[1]:
            return None
        moves = self._tables.moves(board.fen()) or []
        holding = [
            chess.Move.from_uci(uci) for uci, after, _ in moves if after[:2] == (value[0],) * 2
        ]
        line = self._line(board, self._table_choice)
        by = ("pawn tables", 0, self._tables.solved())
        return self._verdict(board, value[0], Certainty.PROVED, line, holding, by=by)

    def _table_choice(self, board: chess.Board) -> chess.Move | None:
        """The quickest winning move, the longest resistance, or the most testing way to draw."""
        moves = self._tables.moves(board.fen()) if is_pawn_ending(board) else None
        if not moves:
            return None
        sign = 1 if board.turn else -1
        best = max(sign * after[2] for _, after, _ in moves)
        keeping = [(uci, plies) for uci, after, plies in moves if sign * after[2] == best]
        if best > 0:
            uci = min(keeping, key=lambda move: 255 if move[1] is None else move[1])[0]
        elif best < 0:
            uci = max(keeping, key=lambda move: -1 if move[1] is None else move[1])[0]
        else:
            uci = min(keeping, key=lambda move: self._testing(board, move[0]))[0]
        return chess.Move.from_uci(uci)

    def _testing(self, board: chess.Board, uci: str) -> tuple[int, int, int]:
        """Smaller for a drawing move with fewer answers that hold: such a line shows the point."""
        move = chess.Move.from_uci(uci)
        after = board.copy(stack=False)
        after.push(move)
        if not is_pawn_ending(after):
            return (99, 0, 0)
        replies = self._tables.moves(after.fen()) or []
        worst = -1 if after.turn else 1
        holding = sum(1 for _, value, _ in replies if value[2] != worst)
        return (0 if holding < len(replies) else 1, holding, -int(board.piece_type_at(
            move.from_square) == chess.PAWN))  # fmt: skip

    def _line(
        self, board: chess.Board, choose: Callable[[chess.Board], chess.Move | None]
    ) -> tuple[str, ...]:
        """A line until a pawn has queened, the game is over, or nothing new happens."""
        running = board.copy(stack=False)
        line: list[str] = []
        seen = {running.epd()}
        while len(line) < SHOWN_PLIES and not running.is_game_over():
            move = choose(running)
            if move is None:
                break
            running.push(move)
            line.append(move.uci())
            if move.promotion or running.epd() in seen:
                break
            seen.add(running.epd())
        return tuple(line)

    # Playing out

    def _played_out(self, board: chess.Board) -> Verdict:
        bracket = self._tables.bracket(board.fen())
        results: list[_Game] = []
        for nodes in SEARCHES:
            results.append(self._game(board, nodes))
            if len(results) > 1 and results[-1].value == results[-2].value:
                break
        last = results[-1]
        stable = len(results) < len(SEARCHES) or last.value == results[-2].value
        # Where the games differ, the tables' own judgement of promotions casts the vote.
        stable = stable or (bracket is not None and bracket[2] == last.value)
        inside = bracket is None or bracket[0] <= last.value <= bracket[1]
        sure = stable and last.finished and inside
        certainty = Certainty.PLAYED_OUT if sure else Certainty.LEANING
        by = (self._analyst.identity, last.depth, sum(game.nodes for game in results))
        return self._verdict(board, last.value, certainty, last.line, None, by=by)

    def _game(self, board: chess.Board, nodes: int) -> _Game:
        """Both sides played until mate, a draw, a proved position or a decided one."""
        running = board.copy(stack=False)
        line: list[str] = []
        depth = searched = 0
        while len(line) < LONGEST_PLIES:
            ended = self._ended(running)
            if ended is not None:
                return _Game(ended, True, tuple(line), depth, searched)
            analysis = self._analyst.ask(running, Effort(nodes=nodes))
            searched += analysis.nodes
            depth = depth or analysis.depth
            assert analysis.best is not None, "the game is not over"
            worth = analysis.best.score.worth(chess.WHITE)
            if abs(worth) >= DECIDED_CP:
                line += analysis.best.moves[: max(0, SHOWN_PLIES - len(line))]
                return _Game(1 if worth > 0 else -1, True, tuple(line), depth, searched)
            running.push_uci(analysis.best.moves[0])
            line.append(analysis.best.moves[0])
        worth = worth if abs(worth) >= LEANING_CP else 0
        return _Game((worth > 0) - (worth < 0), False, tuple(line), depth, searched)

    def _ended(self, board: chess.Board) -> int | None:
        """The value where a game that is played out may stop, from White's side."""
        if board.is_checkmate():
            return -1 if board.turn else 1
        if board.is_game_over() or board.is_repetition(3) or board.halfmove_clock >= QUIET_PLIES:
            return 0
        if is_pawn_ending(board) and chess.popcount(board.pawns) <= 3:
            value = self._tables.bracket(board.fen())
            if value is not None and value[0] == value[1]:
                return value[0]
        return None

    # The record

    def _verdict(
        self,
        board: chess.Board,
        value: int,
        certainty: Certainty,
        line: tuple[str, ...],
        holding: Sequence[chess.Move] | None,
        *,
        by: tuple[str, int, int],
    ) -> Verdict:
        from linewright.analyst.ending_reason import reason_for

        result = {1: Result.WHITE, 0: Result.DRAW, -1: Result.BLACK}[value]
        lost = value == (-1 if board.turn else 1)
        kept = None if holding is None else tuple(board.san(m) for m in holding if not lost)
        return Verdict(
            board.fen(),
            result,
            certainty,
            line,
            san_line(board.fen(), line, SHOWN_PLIES),
            reason_for(board, value, line),
            kept,
            *by,
        )


@dataclass(frozen=True, slots=True)
class _Game:
    value: int
    finished: bool
    line: tuple[str, ...]
    depth: int
    nodes: int


def _with_zugzwang(verdict: Verdict, other: Verdict) -> Verdict:
    """The verdict, its reason saying so where having the move is what costs the result."""
    value = {Result.WHITE: 1, Result.DRAW: 0, Result.BLACK: -1}
    mover = 1 if verdict.fen.split()[1] == "w" else -1
    mine, passed = mover * value[verdict.result], mover * value[other.result]
    if mine >= passed:
        return verdict
    both = "whoever has to move loses" if mine == -1 and passed == 1 else "zugzwang"
    side = side_name(mover == 1)
    words = both if both != "zugzwang" else f"zugzwang: {side} would be better off without the move"
    reason = f"{words}; {verdict.reason}" if verdict.reason else words
    return replace(verdict, reason=reason)


def _from_text(text: str | None, fen: str) -> Verdict | None:
    """A remembered verdict; None if there is none or it cannot be read."""
    if text is None:
        return None
    try:
        data = json.loads(text)
        return Verdict(
            fen,
            Result(data["result"]),
            Certainty(data["certainty"]),
            tuple(data["line"]),
            data["text"],
            data["reason"],
            None if data["holding"] is None else tuple(data["holding"]),
            data["engine"],
            data["depth"],
            data["nodes"],
        )
    except (ValueError, KeyError, TypeError):
        return None
