"""What an engine answers: lines with scores, always with engine, depth and nodes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import chess

from linewright.errors import LinewrightError
from linewright.moves import numbered

MOST = 2**62
"""Largest limit; engines count in 64 bits."""

MATE_WORTH = 100_000
"""What a mate counts where scores are compared, in hundredths of a pawn, less one a move."""


class EngineTroubleError(LinewrightError):
    """An engine that cannot be used any more. `engine` is its name, `reason` lower case."""

    def __init__(self, engine: str, reason: str) -> None:
        super().__init__(f"the engine '{engine}' is not used any more: {reason}")
        self.engine = engine
        self.reason = reason


class EffortError(LinewrightError):
    """Limits that no engine can keep to."""


@dataclass(frozen=True, slots=True)
class Score:
    """A score from White's side: `cp` in hundredths of a pawn, or `mate` in so many moves.

    `mate` is positive if White mates. Exactly one of the two is given.
    """

    cp: int | None = None
    mate: int | None = None

    def worth(self, white: bool) -> int:
        """The score as one number from a side's view, a mate beyond any material.

        >>> Score(mate=-3).worth(chess.WHITE), Score(cp=35).worth(chess.BLACK)
        (-99997, -35)
        """
        if self.mate is not None:
            value = MATE_WORTH - abs(self.mate)
            value = value if self.mate > 0 else -value
        else:
            value = self.cp or 0
        return value if white else -value

    def __str__(self) -> str:
        if self.mate is not None:
            return f"mate in {abs(self.mate)} for {'White' if self.mate > 0 else 'Black'}"
        return f"{(self.cp or 0) / 100:+.2f}"


@dataclass(frozen=True, slots=True)
class Line:
    """One line of an answer: its score and its moves in UCI notation, never empty."""

    score: Score
    moves: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Effort:
    """How long to think: the first limit reached ends it; `lines` best lines are asked for.

    Raises `EffortError` for limits below 1, beyond what engines count, or none at all.
    """

    nodes: int | None = None
    depth: int | None = None
    time_ms: int | None = None
    lines: int = 1

    def __post_init__(self) -> None:
        limits = {"nodes": self.nodes, "depth": self.depth, "time_ms": self.time_ms}
        given = {name: limit for name, limit in limits.items() if limit is not None}
        if not given:
            raise EffortError("an engine needs a limit: nodes, depth or time_ms")
        for name, limit in {**given, "lines": self.lines}.items():
            if limit < 1:
                raise EffortError(f"{name} must be at least 1, not {limit}")
            if limit > MOST:
                raise EffortError(f"{name} must be at most {MOST}, not {limit}")

    def __str__(self) -> str:
        parts = {"n": self.nodes, "d": self.depth, "t": self.time_ms, "l": self.lines}
        return " ".join(f"{name}{limit}" for name, limit in parts.items() if limit is not None)


@dataclass(frozen=True, slots=True)
class Analysis:
    """An engine's answer to one position.

    `lines` are the best lines, best first; none where the game is over. `depth` in plies;
    `engine` the identity (name and version) that answered.
    """

    fen: str
    engine: str
    depth: int
    nodes: int
    lines: tuple[Line, ...]

    @property
    def best(self) -> Line | None:
        """The best line."""
        return self.lines[0] if self.lines else None

    @property
    def white_to_move(self) -> bool:
        """Whose move it is."""
        return self.fen.split()[1] == "w"

    def text(self, rank: int = 0, most: int = 8) -> str:
        """A line in SAN with move numbers, at most so many plies.

        >>> line = Line(Score(cp=30), ("e2e4", "e7e5"))
        >>> Analysis(chess.STARTING_FEN, "engine", 2, 50, (line,)).text()
        '1.e4 e5'
        """
        return san_line(self.fen, self.lines[rank].moves, most)

    def cited(self) -> str:
        """The engine, depth and nodes, as a proof sheet names them."""
        return f"{self.engine}, depth {self.depth}, {self.nodes:,} positions"


class Answerer(Protocol):
    """Whatever can answer: the built-in engine, a UCI engine."""

    @property
    def identity(self) -> str:
        """Name and version; answers of another identity are not this one's."""

    def answer(self, fen: str, effort: Effort, only: tuple[str, ...] = ()) -> Analysis:
        """The answer for a position; `only` restricts the first move (UCI).

        Raises `EngineTroubleError` if it cannot answer any more.
        """

    def close(self) -> None:
        """Ends it; answering afterwards is a fault of the caller."""


def san_line(fen: str, moves: tuple[str, ...], most: int = 8) -> str:
    """A line of UCI moves in SAN with numbers, at most so many plies."""
    board = chess.Board(fen)
    return numbered(board, [chess.Move.from_uci(uci) for uci in moves[:most]])
