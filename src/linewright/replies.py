"""Lists of moves that could each be played on the same board."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from itertools import takewhile

from linewright.lesson import Change, Lesson, Step
from linewright.script import Block, BlockKind


def board_before_replies(lesson: Lesson, blocks: Sequence[Block]) -> int | None:
    """The node of the board on which each item of a list that ends `blocks` plays another first
    move; None where they end with no such list.

    What stands below such a list is said of that board, and not of the last of its moves alone.
    """
    items = [*takewhile(lambda block: block.kind is BlockKind.ITEM, reversed(blocks))]
    firsts = [_first_move(lesson, item) for item in items]
    if len(firsts) < 2 or None in firsts:
        return None
    bases = {step.base for step in firsts if step}
    moves = {step.after for step in firsts if step}
    return bases.pop() if len(bases) == 1 and len(moves) == len(firsts) else None


def _first_move(lesson: Lesson, block: Block) -> Step | None:
    k = bisect_left(lesson.starts, block.span.start)
    for step in lesson.steps[k:]:
        if step.span.start >= block.span.end:
            return None
        if step.change is Change.MOVE:
            return step
    return None
