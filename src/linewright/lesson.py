"""A script with its boards: what `following` makes of it. Every fault is a `Slip` beside it."""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass, field
from difflib import get_close_matches
from enum import StrEnum
from itertools import takewhile

import chess

from linewright.headings import text_of, walk
from linewright.inline import (
    Edits,
    Figure,
    Mark,
    Unreadable,
)
from linewright.notation import WrittenMove
from linewright.script import FrontMatter, Script
from linewright.source import Span


@dataclass(frozen=True, slots=True, eq=False)
class Node:
    """One position of the lesson's tree.

    `index` and `parent` are places in `Tree.nodes`; `ply` counts half-moves from the initial
    position by the move number (1.e4 is 1, 1...e5 is 2); `fen` is the position after the move;
    `children` with the main continuation first (`linewright.trunk`), else in the order they were
    shown outside parentheses, the others last; `suffix` and
    `sign` as first written; `assumed` if the move is a repair of a slip and not what was written;
    `doubtful` if such a repair on the line to it could as well be another; `aside` if it is told
    inside parentheses only; `settled` if the teacher says which continuation is its main one.
    """

    index: int
    parent: int | None
    move: chess.Move | None
    san: str
    ply: int
    fen: str
    label: str
    children: tuple[int, ...] = ()
    suffix: str = ""
    sign: str = ""
    assumed: bool = False
    doubtful: bool = False
    aside: bool = False
    settled: bool = False
    _board: chess.Board = field(default_factory=chess.Board, repr=False)

    def board(self) -> chess.Board:
        """A fresh board with the position after the move."""
        return self._board.copy(stack=False)

    @property
    def white(self) -> bool:
        """Whether White made the move."""
        return not self._board.turn


@dataclass(frozen=True, slots=True, eq=False)
class Tree:
    """All positions of a lesson; node 0 is the start."""

    nodes: tuple[Node, ...]

    def line(self, index: int) -> tuple[Node, ...]:
        """The nodes from the first move to a node, the start left out."""
        out: list[Node] = []
        node = self.nodes[index]
        while node.parent is not None:
            out.append(node)
            node = self.nodes[node.parent]
        return tuple(reversed(out))

    def moves(self, index: int) -> tuple[chess.Move, ...]:
        """The moves from the start to a node."""
        return tuple(node.move for node in self.line(index) if node.move)

    def main_line(self, index: int = 0) -> tuple[Node, ...]:
        """The nodes after a node along first continuations."""
        out: list[Node] = []
        node = self.nodes[index]
        while node.children:
            node = self.nodes[node.children[0]]
            out.append(node)
        return tuple(out)

    def told_line(self) -> tuple[Node, ...]:
        """The main line as far as it is told outside parentheses; all of it if none is."""
        explained = self.explanations()
        return tuple(takewhile(lambda node: node.index not in explained, self.main_line()))

    def explanations(self) -> dict[int, int]:
        """The moves told inside parentheses after the last move of a line, by that last move.

        "12.Rd1 (12...exd5 13.Rxd5 wins the queen)": they say why, the line ends before them.
        """
        out: dict[int, int] = {}
        for node in self.nodes[1:]:
            assert node.parent is not None
            before = self.nodes[node.parent]
            if before.index in out:
                out[node.index] = out[before.index]
            elif (
                before.parent is not None
                and not before.aside
                and all(self.nodes[child].aside for child in before.children)
            ):
                out[node.index] = before.index
        return out

    def leaves(self) -> tuple[Node, ...]:
        """The nodes at which lines end, in the order they were shown."""
        return tuple(node for node in self.nodes if not node.children and node.parent is not None)

    def text(self, index: int) -> str:
        """The line to a node in SAN with numbers."""
        words = []
        for k, node in enumerate(self.line(index)):
            words.append(node.label if node.white or k == 0 else node.san)
        return " ".join(words)


class Change(StrEnum):
    """What a step does to the board."""

    MOVE = "move"
    RETURN = "return"
    """A side line, a heading's or a quote's excursion closes."""
    WHAT_IF = "what-if"
    RESTORE = "restore"
    """A what-if board gives way to the real one."""


@dataclass(frozen=True, slots=True)
class WhatIfBoard:
    """A changed board that no legal move leads to. `why` says what is impossible about it."""

    span: Span
    fen: str
    base: int
    edits: Edits
    why: str = ""


@dataclass(frozen=True, slots=True)
class Step:
    """One change on the board at one place in the words.

    `before` and `after` are nodes; `base` is the node a move is played from, so that a step with
    ``base != before`` first goes back (or elsewhere). `fen` is the board shown after; `depth` how
    many side lines are open; `spoken` False in headings and quotes.
    """

    span: Span
    change: Change
    before: int
    base: int
    after: int
    fen: str
    depth: int = 0
    spoken: bool = True
    imagined: WhatIfBoard | None = None

    @property
    def went_elsewhere(self) -> bool:
        """Whether the board first leaves the position it stood at."""
        return self.base != self.before


class SlipKind(StrEnum):
    """What does not fit the board."""

    ILLEGAL = "illegal"
    AMBIGUOUS = "ambiguous"
    NUMBER = "number"
    MENTION = "mention"
    MENTION_LATER = "mention-later"
    """Impossible now, possible after another own move or two."""
    UNFOLLOWED = "unfollowed"
    """Comes after an illegal move and cannot be followed."""
    CONTRADICTED = "contradicted"
    """Can be played, but then what comes after it cannot."""
    UNREADABLE = "unreadable"
    """No notation, but a move was meant."""
    WHAT_IF = "what-if"
    START = "start"


@dataclass(frozen=True, slots=True)
class Slip:
    """What was written does not fit the board. `fen` is the board it was tried on."""

    kind: SlipKind
    span: Span
    fen: str
    reason: str
    repairs: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class PlacedMark:
    """A mark with the words it stands on and the board it is drawn on."""

    span: Span
    words: Span
    mark: Mark
    node: int
    fen: str


@dataclass(frozen=True, slots=True)
class PlacedMention:
    """A move mentioned, with the board it was found possible on (`fen`) and the move, or None."""

    span: Span
    written: WrittenMove
    node: int
    fen: str
    move: chess.Move | None


@dataclass(frozen=True, slots=True)
class PlacedMove:
    """A move as written with the node it became, or None where it was a slip."""

    span: Span
    written: WrittenMove
    node: int | None
    base: int


@dataclass(frozen=True, slots=True)
class Part:
    """A part of the lesson: from a heading to the next.

    `title` is the heading without its move; `key` the node to draw for the part; `start` the node
    at which it begins.
    """

    title: str
    level: int
    span: Span
    start: int
    key: int


@dataclass(frozen=True, slots=True)
class Place:
    """The board at a place in the words."""

    node: int
    fen: str
    imagined: WhatIfBoard | None = None

    def board(self) -> chess.Board:
        """A fresh board."""
        return chess.Board(self.fen)


@dataclass(frozen=True, slots=True)
class PlacedExercise:
    """An exercise with its board (`fen`).

    `task` and `answer` are followed like lessons of their own: the question from the place where
    the exercise stands, the answer from the exercise's board and the line that leads to it (from
    behind the moves of the question, if it goes on with them), taught to whoever is to move there,
    or to who replies where the question asks what comes of a move. Neither is part of the lesson's
    tree.
    """

    span: Span
    fen: str
    task: Lesson
    answer: Lesson


@dataclass(frozen=True, slots=True)
class Lesson:
    """A script with its boards.

    Steps, marks, mentions, moves and slips are in the order of their places; `lost` are the
    stretches from a slip that nothing mends to the next move that finds its place, `unclosed`
    those from a parenthesis that is not closed to the first move behind its paragraph; the moves
    `elsewhere` are taken for those of another lesson and not played.
    """

    script: Script
    tree: Tree
    steps: tuple[Step, ...]
    moves: tuple[PlacedMove, ...]
    marks: tuple[PlacedMark, ...]
    mentions: tuple[PlacedMention, ...]
    slips: tuple[Slip, ...]
    parts: tuple[Part, ...]
    lost: tuple[Span, ...] = ()
    exercises: tuple[PlacedExercise, ...] = ()
    unclosed: tuple[Span, ...] = ()
    elsewhere: tuple[Span, ...] = ()
    _starts: tuple[int, ...] = field(init=False, repr=False, compare=False)
    _moves_at: dict[int, PlacedMove] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "_starts", tuple(step.span.start for step in self.steps))
        object.__setattr__(self, "_moves_at", {move.span.start: move for move in self.moves})

    @property
    def front(self) -> FrontMatter:
        """The front matter of the script."""
        return self.script.front

    @property
    def starts(self) -> tuple[int, ...]:
        """The places at which the steps begin."""
        return self._starts

    def at(self, offset: int) -> Place:
        """The board while the character at `offset` is said; a move's own words show it played."""
        found = self.step_at(offset)
        if found is None:
            return Place(0, self.tree.nodes[0].fen)
        return Place(found.after, found.fen, found.imagined)

    def before(self, offset: int) -> Place:
        """The board just before the character at `offset`."""
        return self.at(offset - 1)

    def step_at(self, offset: int) -> Step | None:
        """The last step at or before a place."""
        k = bisect_right(self._starts, offset)
        return self.steps[k - 1] if k else None

    def in_doubt(self, offset: int) -> bool:
        """Whether the board is not known for sure there, because of a slip before it."""
        if any(offset in span for span in (*self.lost, *self.unclosed)):
            return True
        return self.tree.nodes[self.at(offset).node].doubtful

    def move_at(self, start: int) -> PlacedMove | None:
        """The move whose words start exactly there."""
        return self._moves_at.get(start)

    def find(self, words: str) -> int | None:
        """The place of a move such as `9.Nc3` or `9...Be7` in the script, of a line of moves, or
        of any words; None if it stands nowhere."""
        wanted = words.replace(" ", "").rstrip("+#!?")
        for move in self.moves:
            if move.node is not None and self.tree.nodes[move.node].label.rstrip("+#") == wanted:
                return move.span.start
        place = self.script.source.text.find(words)
        return place if place >= 0 else None

    def near(self, words: str) -> tuple[str, ...]:
        """The moves of the lesson that read most like words that stand nowhere, at most three."""
        labels = dict.fromkeys(node.label for node in self.tree.nodes[1:])
        move = words.replace(" ", "").rstrip("+#!?")
        same = tuple(label for label in labels if _without_number(label) == _without_number(move))
        return same[:3] or tuple(get_close_matches(move, labels, 3, 0.75))

    def told_at(self, offset: int) -> Lesson:
        """Whose boards a place has: this lesson, or the question or answer of an exercise there."""
        for exercise in self.exercises:
            if offset in exercise.span:
                for told in (exercise.answer, exercise.task):
                    if told.script.blocks and told.script.blocks[0].span.start <= offset:
                        return told
        return self


def _without_number(label: str) -> str:
    return label.lstrip("0123456789.… ").rstrip("+#")


def nothing_in_it(lesson: Lesson) -> str:
    """Why there is nothing to make of a lesson, lower case; empty if there is something."""
    blocks = lesson.script.blocks
    inlines = [inline for block in blocks for inline in walk(block.inlines)]
    if not lesson.exercises and not any(text_of(inline).strip() for inline in inlines):
        return "the lesson has no words: nothing can be made of it"
    shown = (lesson.moves, lesson.steps, lesson.mentions, lesson.exercises, lesson.front.start)
    slipped = any(isinstance(inline, Unreadable | Figure) for inline in inlines)
    if not any(shown) and not slipped:
        return "the lesson has no moves: write them in the text, as in '1.d4 d5 2.c4'"
    return ""
