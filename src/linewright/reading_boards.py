"""The boards a reader needs who has nothing but the paper, and where they stand."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import zip_longest
from typing import TypeGuard

from linewright.inline import Mark
from linewright.lesson import Change, Lesson, Part, Step
from linewright.script import BlockKind
from linewright.set_blocks import (
    Diagram,
    Drawing,
    Plate,
    SetBlock,
    after,
    goes_on,
    last_squares,
    spelt,
)
from linewright.source import Span

MOST_MARKS = 7
"""More marks than this on one diagram hide the pieces; they get a diagram for each block."""


def with_diagrams(lesson: Lesson, blocks: Sequence[SetBlock]) -> Iterator[SetBlock]:
    """The blocks with diagrams: every imagined board, every board with marks, and the key
    position of each part, none twice in a part."""
    boards = _Boards(lesson)
    for part in _parts(lesson):
        inside = [p for p in blocks if p.span.start in part.span]
        yield from _Part(boards, part, inside).blocks()


def _parts(lesson: Lesson) -> list[Part]:
    """The parts, with one for what stands before the first heading."""
    first = lesson.parts[0].span.start if lesson.parts else len(lesson.script.source.text) + 1
    opening = Part("", 0, Span(0, first), 0, 0)
    return [opening, *lesson.parts]


class _Boards:
    """The boards of a lesson by place and by position, found without looking through all."""

    def __init__(self, lesson: Lesson) -> None:
        self.lesson = lesson
        self.starts = [step.span.start for step in lesson.steps]
        self.imagined = {s.fen: s.imagined for s in reversed(lesson.steps) if s.imagined}

    def steps_in(self, span: Span) -> tuple[Step, ...]:
        first = bisect_left(self.starts, span.start)
        return self.lesson.steps[first : bisect_left(self.starts, span.end, first)]


class _Part:
    """The diagrams of one part."""

    def __init__(self, boards: _Boards, part: Part, blocks: list[SetBlock]) -> None:
        self.boards = boards
        self.lesson = lesson = boards.lesson
        self.part = part
        self.inside = blocks
        self.marks = [m for m in lesson.marks if m.span.start in part.span]
        self.shown = {plate.fen for b in blocks for plate in b.plates if self.shows_board(plate)}
        self.key = self.key_fen()

    def shows_board(self, plate: Plate) -> TypeGuard[Diagram | Drawing]:
        """Whether a plate shows its board with all that is marked on it."""
        if isinstance(plate, Drawing) and plate.kind == "pawn-ending":
            return all(mark.fen != plate.fen for mark in self.marks)
        return isinstance(plate, Diagram)

    def key_fen(self) -> str:
        """The key position, unless it is the one every game begins with."""
        node = self.lesson.tree.nodes[self.part.key]
        return node.fen if node.parent is not None and self.part.level else ""

    def blocks(self) -> Iterator[SetBlock]:
        last = self.last_at_key()
        held: list[Plate] = []
        for k, block in enumerate(self.inside):
            plates = [self.drawn(plate) for plate in block.plates]
            held += self.needed(block)
            if k == last and self.key not in self.shown:
                self.shown.add(self.key)
                held.append(self.diagram(self.key, self.part.key))
            following = self.inside[k + 1 : k + 2]
            if not (following and goes_on(self.lesson, block, following[0])):
                # A diagram nobody asked for waits for the end of a list or a box.
                plates, held = plates + held, []
            yield replace(block, plates=tuple(plates))

    def last_at_key(self) -> int | None:
        """The block after which the key position is printed: the last to reach it."""
        if not self.key or self.key in self.shown:
            return None
        if any(mark.fen == self.key for mark in self.marks):
            return None
        for k in range(len(self.inside) - 1, -1, -1):
            steps = self.boards.steps_in(self.inside[k].span)
            if any(step.fen == self.key and step.change is Change.MOVE for step in steps):
                return k
        return None

    def drawn(self, plate: Plate) -> Plate:
        """A board asked for, with the marks of its part that belong on it."""
        if not isinstance(plate, Diagram):
            return plate
        marks = self.marks_on(plate.fen)
        return replace(plate, marks=marks if len(marks) <= MOST_MARKS else ())

    def needed(self, block: SetBlock) -> Iterator[Diagram]:
        """Diagrams for marks and imagined boards of a block that nothing else shows."""
        wanted = [m.fen for m in self.marks if m.span.start in block.span]
        imagined = {s.fen: s.imagined for s in self.boards.steps_in(block.span) if s.imagined}
        for fen in dict.fromkeys([*wanted, *imagined]):
            crowded = len(self.marks_on(fen)) > MOST_MARKS
            if fen in self.shown and not (crowded and fen in wanted):
                continue
            self.shown.add(fen)
            marks = self.marks_on(fen, block.span) if crowded else self.marks_on(fen)
            yield self.board(fen, marks[:MOST_MARKS])

    def marks_on(self, fen: str, span: Span | None = None) -> tuple[Mark, ...]:
        found = [m.mark for m in self.marks if m.fen == fen and (not span or m.span.start in span)]
        return tuple(dict.fromkeys(found))

    def board(self, fen: str, marks: tuple[Mark, ...]) -> Diagram:
        placed = next((m for m in self.marks if m.fen == fen), None)
        imagined = self.boards.imagined.get(fen)
        if imagined:
            base = self.lesson.tree.nodes[imagined.base]
            where = f"after {spelt(base)}" if base.parent is not None else "from the start"
            return Diagram(fen, f"Imagined, {where}", marks, imagined=True)
        node = placed.node if placed else self.part.key
        return self.diagram(fen, node, marks)

    def diagram(self, fen: str, node: int, marks: tuple[Mark, ...] = ()) -> Diagram:
        reached = self.lesson.tree.nodes[node]
        return Diagram(fen, after(reached), marks, last=last_squares(reached))


WAY, LATEST = 10, 14
"""Half-moves told without a board after which one is due, and by which it stands."""


EARLIEST = 7
"""So many half-moves at least lie between two boards on the way."""


LINE_ENDS = 2.0
"""How much a position weighs more whose line is left there: the talk comes back to it, or ends."""


@dataclass(frozen=True, slots=True)
class _Stop:
    """A position told for the first time: its step and block, and how long words dwell on it."""

    step: Step
    block: int
    dwelt: float


def with_way(lesson: Lesson, blocks: tuple[SetBlock, ...]) -> tuple[SetBlock, ...]:
    """The blocks with a board every so often where many moves are told without one.

    Of the positions that come into question it is the one that the words dwell on longest, none
    that another diagram shows, none inside a side line. Who asks for boards chooses them: there
    nothing is added.
    """
    plates = [plate for block in blocks for plate in block.plates]
    if any(isinstance(plate, Drawing) or getattr(plate, "asked", False) for plate in plates):
        return blocks
    shown = {_men(plate.fen) for plate in plates if isinstance(plate, Diagram)}
    added: dict[int, list[Diagram]] = {}
    way: list[_Stop] = []
    for stop in (*_stops(lesson, blocks), None):
        if stop is not None and _men(stop.step.fen) not in shown:
            way.append(stop)
            continue
        for chosen in _chosen(lesson, way, before_board=stop is not None):
            if _men(chosen.step.fen) in shown:
                continue
            node = lesson.tree.nodes[chosen.step.after]
            board = Diagram(chosen.step.fen, after(node), last=last_squares(node))
            added.setdefault(_behind(lesson, blocks, chosen.block), []).append(board)
            shown.add(_men(board.fen))
        way = []
    first = {step.fen: step.span.start for step in reversed(lesson.steps)}
    return tuple(
        replace(block, plates=_in_order(block.plates, added.get(k, []), first))
        for k, block in enumerate(blocks)
    )


def _in_order(
    plates: Sequence[Plate], added: Iterable[Diagram], first: dict[str, int]
) -> tuple[Plate, ...]:
    """The plates of a block with others among them, in the order in which they are told."""
    out = list(plates)
    for board in added:
        later = (
            k
            for k, plate in enumerate(out)
            if isinstance(plate, Diagram) and first.get(plate.fen, 0) > first[board.fen]
        )
        out.insert(next(later, len(out)), board)
    return tuple(out)


def _men(fen: str) -> str:
    """Where the men of a position stand, whatever way led there."""
    return fen.partition(" ")[0]


def _stops(lesson: Lesson, blocks: Sequence[SetBlock]) -> Iterator[_Stop]:
    """The positions that spoken moves lead to, each where it is first told."""
    told: set[int] = set()
    starts = [block.span.start for block in blocks]
    for step, following in zip_longest(lesson.steps, lesson.steps[1:]):
        within = bisect_left(starts, step.span.end) - 1
        if step.change is not Change.MOVE or not step.spoken or step.after in told or within < 0:
            continue
        told.add(step.after)
        end = following.span.start if following else blocks[-1].span.end
        left = not following or following.went_elsewhere or following.change is not Change.MOVE
        yield _Stop(step, within, (end - step.span.end) * (LINE_ENDS if left else 1.0))


def _chosen(lesson: Lesson, way: Sequence[_Stop], before_board: bool) -> Iterator[_Stop]:
    """The positions to show on a way that begins behind a board, perhaps `before_board` too.

    One of the main line goes before those of remarks beside it, however long words dwell there.
    """
    main = {node.index for node in lesson.tree.main_line()}
    reach = EARLIEST if before_board else 0
    while len(way) >= max(WAY, EARLIEST + reach):
        may = [
            k
            for k in range(EARLIEST - 1, min(LATEST, len(way) - reach))
            if not way[k].step.depth and not lesson.tree.nodes[way[k].step.after].assumed
        ]
        taught = [k for k in may if way[k].step.after in main]
        best = max(taught or may, key=lambda k: way[k].dwelt, default=None)
        if best is not None:
            yield way[best]
        way = way[LATEST - EARLIEST if best is None else best + 1 :]


def _behind(lesson: Lesson, blocks: Sequence[SetBlock], k: int) -> int:
    """The block that a diagram nobody asked for may follow: no heading, the last of a list."""
    while k + 1 < len(blocks) and (
        blocks[k].kind is BlockKind.HEADING or goes_on(lesson, blocks[k], blocks[k + 1])
    ):
        k += 1
    return k
