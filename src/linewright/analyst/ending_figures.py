"""Which board a figure of a pawn ending shows."""

from __future__ import annotations

from collections.abc import Iterator

import chess

from linewright.analyst.pawn_ending import is_pawn_ending
from linewright.changed_boards import why_impossible
from linewright.inline import Figure, Inline, Link
from linewright.lesson import Lesson


def ending_boards(lesson: Lesson) -> Iterator[tuple[Figure, chess.Board | None]]:
    """The lesson's `pawn-ending` figures with the boards they show.

    A figure on a board with more pieces shows the last what-if board of kings and pawns before it
    in its part; None where there is none that is possible.
    """
    for block in lesson.script.blocks:
        for figure in _figures(block.inlines):
            boards = map(chess.Board, _boards_for(lesson, figure.span.start))
            fitting = (b for b in boards if is_pawn_ending(b) and not why_impossible(b))
            yield figure, next(fitting, None)


def _boards_for(lesson: Lesson, offset: int) -> list[str]:
    """The board at a figure, then the what-if boards before it in its part, latest first."""
    begins = max((part.span.start for part in lesson.parts if offset in part.span), default=0)
    imagined = [
        step.imagined.fen
        for step in lesson.steps
        if step.imagined is not None and begins <= step.span.start < offset
    ]
    return [lesson.at(offset).fen, *reversed(imagined)]


def _figures(inlines: tuple[Inline, ...]) -> Iterator[Figure]:
    for inline in inlines:
        if isinstance(inline, Figure) and inline.kind == "pawn-ending":
            yield inline
        elif isinstance(inline, Link):
            yield from _figures(inline.children)
