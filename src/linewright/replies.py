"""Lists of moves that could each be played on the same board."""

from __future__ import annotations

import re
from bisect import bisect_left
from collections.abc import Sequence
from itertools import takewhile

import chess

from linewright.lesson import Change, Lesson, Step
from linewright.script import Block, BlockKind
from linewright.statements import judge, judged_at
from linewright.statements_of_lesson import places, readable

_SQUARE = re.compile(r"\b[a-h][1-8]\b")


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


def says_the_same(lesson: Lesson, block: Block, node: int) -> bool:
    """Whether what a block says of the board at hand is so on the board of a node, too: what is
    judged there, and who stands on the squares it names."""
    text, links = readable(lesson.script.source.text, block)
    at, start = places(lesson), block.inlines[0].span.start
    there = at(next((s.span.end for s in lesson.steps if s.after == node), 0))
    here = at(start).board
    for square in map(chess.parse_square, _SQUARE.findall(text)):
        if here.piece_at(square) != there.board.piece_at(square):
            return False
    found = judge(text, lambda offset: at(start + offset), links=links)
    return all(
        bool(again := judged_at(verdict, there))
        and all(one.answer is verdict.answer for one in again)
        for verdict in found
    )


def _first_move(lesson: Lesson, block: Block) -> Step | None:
    k = bisect_left(lesson.starts, block.span.start)
    for step in lesson.steps[k:]:
        if step.span.start >= block.span.end:
            return None
        if step.change is Change.MOVE:
            return step
    return None
