"""Any UCI engine as an answerer: watched, and stopped with all its children at the first trouble.

An engine is a program of somebody else. It may be missing, die, hang, write without end or name
moves that are not legal; none of that may cost more than the time allowed, or leave a process
behind.
"""

from __future__ import annotations

import asyncio
import logging
import os
import signal
import subprocess
import threading
from collections.abc import Callable, Iterator, Mapping
from concurrent.futures import CancelledError
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any, TypeVar

import chess
import chess.engine

from linewright.analyst.answer import MOST, Analysis, Effort, EngineTroubleError, Line, Score

START_S = 10.0
"""How long an engine may take to say that it is ready."""

PATIENCE_S = 60.0
"""How long an answer limited by nodes or depth may take."""

GRACE_S = 5.0
"""How much longer than its time limit an answer may take."""

MOST_BYTES = 8 * 1024 * 1024
"""Most that an engine may write for one answer; a talkative one writes some hundred kilobytes."""

MOST_IN_A_LINE = 256 * 1024
"""Longest line that is read."""

LONGEST_NAME = 80

MOST_CP = 49_999
"""Scores are kept within this many hundredths of a pawn; what is beyond stands for a mate."""

MOST_MATE = 1000
"""A mate in more moves is no score."""

MOST_SAID_CP = 10_000_000
"""Nor is a score beyond this; some engines write a sure win as hundreds of pawns."""

T = TypeVar("T")


class _Guarded(chess.engine.UciProtocol):
    """The protocol with a limit on what is read, and without its log."""

    def __init__(self) -> None:
        super().__init__()
        self.bytes_read = 0
        self.flooded = False
        self.fault = ""
        self.stop: Callable[[], None] = lambda: None

    def pipe_data_received(self, fd: int, data: bytes | str) -> None:
        self.bytes_read += len(data)
        if fd != 1 or self.flooded:
            return
        if self.bytes_read > MOST_BYTES or len(self.buffer[fd]) > MOST_IN_A_LINE:
            self.flooded = True
            self.buffer[fd].clear()
            self.stop()
            return
        super().pipe_data_received(fd, data)

    def fail(self, _loop: asyncio.AbstractEventLoop, context: dict[str, Any]) -> None:
        """Ends the engine at an error that the client would only log, and then wait for ever."""
        error = context.get("exception")
        self.fault = _told(str(error or context.get("message", "")))
        self.stop()


class UciEngine:
    """A UCI engine in a process group of its own.

    `command` is the program with its arguments, never passed to a shell. Raises
    `EngineTroubleError` if it does not start.
    """

    def __init__(
        self,
        command: tuple[str, ...],
        options: Mapping[str, str | int | bool] | None = None,
        *,
        start_s: float = START_S,
        patience_s: float = PATIENCE_S,
    ) -> None:
        self._command = command
        self._name = Path(command[0]).name if command else ""
        self._options = dict(options or {})
        self._patience_s = patience_s
        self._engine: chess.engine.SimpleEngine | None = None
        self._pid = 0
        # The client logs each line it cannot read, and the event loop a process that ended after
        # it; what matters becomes an error here.
        for talker in ("chess.engine", "asyncio"):
            logging.getLogger(talker).setLevel(logging.CRITICAL + 1)
        if not command:
            raise EngineTroubleError("", "its command is empty")
        self._engine = self._watched(start_s, lambda: self._start(start_s))
        if self._options:
            self._watched(start_s, self._configure)

    @property
    def identity(self) -> str:
        """What the engine calls itself, with its options."""
        name = _plain(self._running().id.get("name", ""))[:LONGEST_NAME] or self._name
        options = " ".join(f"{key}={self._options[key]}" for key in sorted(self._options))
        return f"{name} ({options})" if options else name

    def answer(self, fen: str, effort: Effort, only: tuple[str, ...] = ()) -> Analysis:
        """The engine's answer; the game being over, an answer without lines.

        Raises `EngineTroubleError`; the engine is then ended.
        """
        board = chess.Board(fen)
        identity = self.identity
        if not any(board.legal_moves):
            return Analysis(fen, identity, 0, 0, ())
        moves = [chess.Move.from_uci(uci) for uci in only] or None
        time_s = None if effort.time_ms is None else effort.time_ms / 1000
        limit = chess.engine.Limit(time=time_s, depth=effort.depth, nodes=effort.nodes)
        patience = self._patience_s if time_s is None else time_s + GRACE_S
        engine = self._running()
        if isinstance(engine.protocol, _Guarded):
            engine.protocol.bytes_read = 0
        lines = min(effort.lines, board.legal_moves.count() if moves is None else len(moves))
        infos = self._watched(
            patience,
            lambda: engine.analyse(board, limit, multipv=lines, root_moves=moves, game=fen),
        )
        return self._read(board, identity, infos, only)

    def close(self) -> None:
        """Asks the engine to quit, then ends its whole process group."""
        engine, self._engine = self._engine, None
        if engine is None:
            return
        with suppress(Exception):
            engine.quit()
        self._kill()
        with suppress(Exception):
            engine.close()

    def __enter__(self) -> UciEngine:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def _running(self) -> chess.engine.SimpleEngine:
        if self._engine is None:
            raise EngineTroubleError(self._name, "it has been ended")
        return self._engine

    def _start(self, start_s: float) -> chess.engine.SimpleEngine:
        async def background(started: Any) -> None:
            # A session of its own makes the engine the leader of a group that can be ended whole.
            transport, protocol = await _Guarded.popen(
                list(self._command), stderr=subprocess.DEVNULL, start_new_session=True
            )
            self._pid = transport.get_pid()
            assert isinstance(protocol, _Guarded)
            protocol.stop = self._kill
            asyncio.get_running_loop().set_exception_handler(protocol.fail)
            engine = chess.engine.SimpleEngine(transport, protocol, timeout=start_s)
            try:
                await asyncio.wait_for(protocol.initialize(), start_s)
                started.set_result(engine)
                engine.returncode.set_result(await protocol.returncode)
            finally:
                engine.close()
            await engine.shutdown_event.wait()

        engine: chess.engine.SimpleEngine = chess.engine.run_in_background(
            background, name=f"engine {self._name}"
        )
        return engine

    def _configure(self) -> None:
        engine = self._running()
        known = engine.options
        for name in self._options:
            if name not in known:
                raise chess.engine.EngineError(f"it has no option '{name}'")
        engine.configure(self._options)

    def _watched(self, patience_s: float, work: Callable[[], T]) -> T:
        """The result of the work; the engine's process group is ended if it takes too long."""
        late = threading.Event()

        def expire() -> None:
            late.set()
            self._kill()

        timer = threading.Timer(patience_s + 1, expire)
        timer.daemon = True
        timer.start()
        try:
            with self._named_trouble(late, patience_s):
                return work()
        finally:
            timer.cancel()

    @contextmanager
    def _named_trouble(self, late: threading.Event, patience_s: float) -> Iterator[None]:
        try:
            yield
        except (KeyboardInterrupt, SystemExit):
            self.close()
            raise
        except BaseException as error:
            reason = self._reason(error, late.is_set(), patience_s)
            self._kill()
            engine, self._engine = self._engine, None
            if engine is not None:
                with suppress(Exception):
                    engine.close()
            raise EngineTroubleError(self._name, reason) from None

    def _reason(self, error: BaseException, late: bool, patience_s: float) -> str:
        protocol = self._engine.protocol if self._engine else None
        if isinstance(protocol, _Guarded) and protocol.flooded:
            return f"it wrote more than {MOST_BYTES // 2**20} MB for one answer"
        if isinstance(protocol, _Guarded) and protocol.fault:
            return protocol.fault
        if late or isinstance(error, (TimeoutError, asyncio.TimeoutError)):
            return f"it did not answer within {patience_s:.0f} s"
        if isinstance(error, FileNotFoundError):
            quotes = "; a name with spaces needs quotes" if self._command[1:] else ""
            return f"there is no program '{self._command[0]}'{quotes}"
        if isinstance(error, PermissionError):
            return f"'{self._command[0]}' may not be run"
        if isinstance(error, OSError):
            return f"'{self._command[0]}' cannot be run: {_first_lower(error.strerror or '')}"
        if isinstance(error, (chess.engine.EngineTerminatedError, CancelledError)):
            return "it ended by itself"
        return _told(str(error)) or type(error).__name__

    def _kill(self) -> None:
        """Ends the engine's process group; its parent, the client's loop, reaps it."""
        if self._pid:
            with suppress(ProcessLookupError, PermissionError):
                os.killpg(self._pid, signal.SIGKILL)

    def _read(
        self,
        board: chess.Board,
        identity: str,
        infos: list[chess.engine.InfoDict],
        only: tuple[str, ...],
    ) -> Analysis:
        lines = tuple(line for info in infos if (line := _line(board, info)))
        if not lines:
            self.close()
            raise EngineTroubleError(self._name, "it gave no line with a score and legal moves")
        if only and any(line.moves[0] not in only for line in lines):
            self.close()
            raise EngineTroubleError(self._name, "it answered with a move it was not asked about")
        depth = min(max((info.get("depth", 0) for info in infos), default=0), MOST)
        nodes = min(max((info.get("nodes", 0) for info in infos), default=0), MOST)
        return Analysis(board.fen(), identity, max(depth, 0), max(nodes, 0), lines)


def _line(board: chess.Board, info: chess.engine.InfoDict) -> Line | None:
    """A line of legal moves with its score, cut where it stops being legal."""
    score, moves = info.get("score"), info.get("pv")
    if score is None or not moves:
        return None
    running, legal = board.copy(stack=False), []
    for move in moves:
        if not running.is_legal(move):
            break
        running.push(move)
        legal.append(move.uci())
    read = _score(score.white())
    return Line(read, tuple(legal)) if legal and read else None


def _score(white: chess.engine.Score) -> Score | None:
    """A score that can be compared with others; None if it is nonsense."""
    mate, cp = white.mate(), white.score()
    if mate is not None:
        return Score(None, mate) if 0 < abs(mate) <= MOST_MATE else None
    if cp is None or abs(cp) > MOST_SAID_CP:
        return None
    return Score(max(min(cp, MOST_CP), -MOST_CP))


def _plain(text: str) -> str:
    """A text on one line, without what a terminal would obey."""
    return " ".join("".join(c if c.isprintable() else " " for c in text).split())


def _told(text: str) -> str:
    """What the client says of a fault, as one short line."""
    told = _first_lower(_plain(text)[:200])
    return f"it named a move that cannot be played: {told}" if "uci: " in told else told


def _first_lower(text: str) -> str:
    return text[:1].lower() + text[1:].rstrip(".")
