"""The statements of a lesson: what the teacher says, judged on the board at that place."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace

import chess

from linewright.inline import Inline, Link, MarkKind, Move, Text
from linewright.judging import Judges, Place
from linewright.lesson import Lesson
from linewright.script import Block, BlockKind
from linewright.source import Span
from linewright.statements import Link as Pointed
from linewright.statements import Statement, Verdict, judge

READ = {BlockKind.PARAGRAPH, BlockKind.ITEM, BlockKind.QUOTE}
"""Blocks whose statements are judged: what is spoken, and what is printed beside it."""


def judge_lesson(lesson: Lesson, judges: Judges | None = None) -> tuple[Verdict, ...]:
    """The verdicts on all statements of a lesson, in order, with their places in the source.

    Headings and private notes are left out, block quotes are read. Cost: linear in the words.
    """
    at = places(lesson, judges)
    verdicts: list[Verdict] = []
    for block in lesson.script.blocks:
        if block.kind in READ and block.inlines:
            verdicts.extend(_judge_block(lesson, block, at, judges))
    return tuple(verdicts)


def _judge_block(
    lesson: Lesson, block: Block, at: Callable[[int], Place], judges: Judges | None
) -> Iterator[Verdict]:
    text, links = readable(lesson.script.source.text, block)
    start = block.inlines[0].span.start
    for verdict in judge(text, lambda offset: at(start + offset), None, judges, links):
        span = verdict.statement.span
        moved = Span(start + span.start, start + span.end)
        words = " ".join(verdict.statement.words.split())
        yield replace(verdict, statement=Statement(moved, words, verdict.statement.family))


def readable(source: str, block: Block) -> tuple[str, list[Pointed]]:
    """The words of a block without its marks, each at its old distance from the first."""
    start = block.inlines[0].span.start
    letters = [" "] * (block.inlines[-1].span.end - start)
    links: list[Pointed] = []
    _write(source, block.inlines, start, letters, links)
    return "".join(letters), links


def _write(
    source: str, inlines: Sequence[Inline], start: int, letters: list[str], links: list[Pointed]
) -> None:
    for inline in inlines:
        if isinstance(inline, Link):
            squares = tuple(
                m.square
                for m in inline.marks
                if m.to is None and (m.kind in {MarkKind.POINT, MarkKind.WEAK})
            )
            if squares and inline.children:
                first, last = inline.children[0].span.start, inline.children[-1].span.end
                links.append((first - start, last - start, squares))
            _write(source, inline.children, start, letters, links)
            continue
        words = source[inline.span.start : inline.span.end]
        if isinstance(inline, Text):
            if inline.style.code:
                continue
            if len(inline.text) == len(words):
                words = inline.text
        elif not isinstance(inline, Move) and not hasattr(inline, "written"):
            words = words if type(inline).__name__ == "Paren" else " " * len(words)
        for index, letter in enumerate(words):
            letters[inline.span.start - start + index] = " " if letter == "\n" else letter


def shared_positions(lesson: Lesson) -> dict[str, str]:
    """The positions that two lines of the lesson reach, each with the first move that led there."""
    first: dict[str, str] = {}
    shared: dict[str, str] = {}
    for node in lesson.tree.nodes:
        key = " ".join(node.fen.split()[:4])
        if key in first:
            shared[key] = first[key]
        else:
            first[key] = node.label
    return shared


def places(lesson: Lesson, judges: Judges | None = None) -> Callable[[int], Place]:
    """The board, with the moves that led there, for any place of the script."""
    taught = {"White": chess.WHITE, "Black": chess.BLACK}.get(lesson.front.taught or "")
    known = replace(judges or Judges(), lines=shared_positions(lesson))
    imagined: dict[str, Place] = {}
    followed = {0: Place(lesson.tree.nodes[0].board(), taught, known)}

    def reached(index: int) -> Place:
        for node in lesson.tree.line(index):
            if node.index not in followed:
                assert node.parent is not None
                assert node.move is not None
                before = followed[node.parent]
                board = before.board.copy()
                board.push(node.move)
                followed[node.index] = Place(board, taught, known, before=before)
        return followed[index]

    def at(offset: int) -> Place:
        place = lesson.at(offset)
        if place.imagined is None:
            return reached(place.node)
        if place.fen not in imagined:
            imagined[place.fen] = Place(chess.Board(place.fen), taught, known, imagined=True)
        return imagined[place.fen]

    return at
