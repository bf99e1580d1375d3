"""The built-in engine as an answerer."""

from __future__ import annotations

from linewright._core import Engine
from linewright.analyst.answer import Analysis, Effort, Line, Score


class BuiltIn:
    """The built-in engine; needs nothing installed.

    >>> answer = BuiltIn().answer("7k/5Q2/6K1/8/8/8/8/8 w - - 0 1", Effort(depth=2))
    >>> answer.best.score
    Score(cp=None, mate=1)
    """

    def __init__(self, hash_mb: int = 16, threads: int = 1) -> None:
        self._engine = Engine(hash_mb=hash_mb, threads=threads)

    @property
    def identity(self) -> str:
        """Name and version."""
        return self._engine.identity

    def answer(self, fen: str, effort: Effort, only: tuple[str, ...] = ()) -> Analysis:
        """The same answer every time for the same limits in nodes or depth."""
        found = self._engine.analyse(
            fen,
            nodes=effort.nodes,
            depth=effort.depth,
            time_ms=effort.time_ms,
            lines=effort.lines,
            only=only,
        )
        sign = 1 if fen.split()[1] == "w" else -1
        lines = tuple(
            Line(
                Score(
                    None if line.score_cp is None else sign * line.score_cp,
                    None if line.mate is None else sign * line.mate,
                ),
                tuple(line.moves),
            )
            for line in found.lines
        )
        return Analysis(fen, found.engine, found.depth, found.nodes, lines)

    def close(self) -> None:
        """Does nothing: there is no process to end."""
