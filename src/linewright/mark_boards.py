"""Which board each mark of a script is drawn on."""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import replace

import chess

from linewright.expressions import expression
from linewright.inline import MarkKind
from linewright.lesson import Change, PlacedMark, Step
from linewright.moves import PIECE_TYPES
from linewright.source import Source


def on_their_boards(
    source: Source, marks: Sequence[PlacedMark], steps: Sequence[Step]
) -> Iterator[PlacedMark]:
    """The marks, each on the board it means: where its piece comes only with the next moves
    of the sentence ("hits the base of the chain with 5...c5"), the board after them."""
    starts = [step.span.start for step in steps]
    for placed in marks:
        if _shows_a_piece(source, placed, chess.Board(placed.fen)):
            yield placed
            continue
        first = bisect_right(starts, placed.span.start)
        later = _later_board(source, placed, steps[first : first + 2])
        yield placed if later is None else replace(placed, node=later.after, fen=later.fen)


def _later_board(source: Source, placed: PlacedMark, steps: Sequence[Step]) -> Step | None:
    for step in steps:
        between = source.text[placed.span.end : step.span.start]
        if step.change is not Change.MOVE or _SENTENCE_END.search(between):
            return None
        if _shows_a_piece(source, placed, chess.Board(step.fen)):
            return step
    return None


_SENTENCE_END = expression(r"(?<!\d)[.!?;]\s|[()]|\n\s*\n")
_PIECE_WORD = expression(rf"\b(?:{'|'.join(PIECE_TYPES)})\b", re.IGNORECASE)


def _shows_a_piece(source: Source, placed: PlacedMark, board: chess.Board) -> bool:
    """Whether a mark that means a piece finds it on a board, and an arrow of attack or defence
    its head; marks on squares are no matter of pieces unless their words say so."""
    mark = placed.mark
    piece = board.piece_at(chess.parse_square(mark.square))
    if mark.to is None:
        named = _PIECE_WORD.findall(source.words(placed.words))
        kinds = {PIECE_TYPES[name.lower()] for name in named}
        return not kinds or (piece is not None and piece.piece_type in kinds)
    if piece is None or mark.kind not in {MarkKind.ATTACK, MarkKind.DEFEND}:
        return piece is not None
    return chess.parse_square(mark.to) in board.attacks(chess.parse_square(mark.square))
