"""The blocks of a lesson that is set out: their words, each with its board, and their plates."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import takewhile

from linewright.inline import PLAIN, Mark, Style
from linewright.lesson import Lesson, Node, WhatIfBoard
from linewright.script import BlockKind
from linewright.source import Span


@dataclass(frozen=True, slots=True)
class Words:
    """Plain words."""

    span: Span
    text: str
    style: Style = PLAIN


@dataclass(frozen=True, slots=True)
class MoveWords:
    """A move as books print it. `node` is None where the board cannot follow; `main` if it
    belongs to the lesson's main line; `boxed` if it stands in a box of moves."""

    span: Span
    text: str
    node: int | None
    main: bool
    style: Style = PLAIN
    boxed: bool = False

    @property
    def number(self) -> str:
        """The number it is printed with: "3." or "3…", empty without one."""
        found = re.match(r"\d+(?:\.+|…)", self.text)
        return found[0] if found else ""


@dataclass(frozen=True, slots=True)
class MentionWords:
    """A move mentioned, not played."""

    span: Span
    text: str
    style: Style = PLAIN


@dataclass(frozen=True, slots=True)
class Turn:
    """Words at which the board goes back: the parenthesis that closes a side line."""

    span: Span
    text: str
    step: int
    style: Style = PLAIN


@dataclass(frozen=True, slots=True)
class MarkedWords:
    """Words with marks on the board they are read on."""

    span: Span
    runs: tuple[Run, ...]
    marks: tuple[Mark, ...]
    fen: str
    imagined: bool


@dataclass(frozen=True, slots=True)
class ImaginedWords:
    """Words from which an imagined board is shown."""

    span: Span
    runs: tuple[Run, ...]
    board: WhatIfBoard


@dataclass(frozen=True, slots=True)
class LinkedWords:
    """Words that lead outside the lesson."""

    span: Span
    runs: tuple[Run, ...]
    address: str


Run = Words | MoveWords | MentionWords | Turn | MarkedWords | ImaginedWords | LinkedWords


@dataclass(frozen=True, slots=True)
class Diagram:
    """A board to print. `last` is the move that led to it ("e2e4"); `caption` may be empty."""

    fen: str
    caption: str
    marks: tuple[Mark, ...] = ()
    imagined: bool = False
    last: str = ""
    asked: bool = False


@dataclass(frozen=True, slots=True)
class Drawing:
    """A figure asked for that is no board: a tally, plans, a tree, the reach, a pawn ending."""

    span: Span
    kind: str
    caption: str
    fen: str
    node: int
    imagined: bool


@dataclass(frozen=True, slots=True)
class Picture:
    """An ordinary image."""

    span: Span
    caption: str
    address: str


@dataclass(frozen=True, slots=True)
class Exercise:
    """A task on a board; `answer` is empty where the teacher keeps it back."""

    span: Span
    task: str
    fen: str
    answer: str


Plate = Diagram | Drawing | Picture | Exercise


@dataclass(frozen=True, slots=True)
class SetBlock:
    """One block with the plates that follow it.

    `marker` is what stands before a list item ("1." or a bullet), empty where an item goes on.
    `end_step` is the step with which the board goes back at the block's end, if it does.
    `looked_up` if it is a box of moves that the words tell too: it is for looking up, not in the
    reader's way.
    """

    kind: BlockKind
    span: Span
    level: int
    marker: str
    runs: tuple[Run, ...]
    content: str
    plates: tuple[Plate, ...]
    end_step: int | None = None
    looked_up: bool = False


def plain(runs: Iterable[Run]) -> str:
    """The readable words of some runs."""
    return "".join(
        run.text if not isinstance(run, MarkedWords | ImaginedWords | LinkedWords)
        else plain(run.runs)
        for run in runs
    )  # fmt: skip


def last_squares(node: Node) -> str:
    return node.move.uci()[:4] if node.move else ""


def goes_on(lesson: Lesson, block: SetBlock, following: SetBlock) -> bool:
    """Whether a list or a box goes on with the following block.

    Boxes with an empty line between them are two, as in CommonMark.
    """
    if block.kind is not following.kind:
        return False
    if block.kind is BlockKind.QUOTE:
        between = lesson.script.source.text[block.span.end : following.span.start]
        return not re.search(r"\n[ \t]*\n", between)
    return block.kind is BlockKind.ITEM


def grouped(lesson: Lesson, blocks: Sequence[SetBlock], start: int) -> list[SetBlock]:
    """The blocks of the list or box that begins with one, or that block alone."""
    end = start + 1
    while end < len(blocks) and goes_on(lesson, blocks[end - 1], blocks[end]):
        end += 1
    return list(blocks[start:end])


def after(node: Node) -> str:
    """The caption of a position: "After 9…Be7"."""
    return f"After {spelt(node)}" if node.parent is not None else "The starting position"


def spelt(node: Node) -> str:
    """A move with its number as books print it: "9…Be7"."""
    return node.label.replace("...", "…") + node.suffix


def own_name(block: SetBlock) -> str:
    """The words in bold that a box begins with, which then are its heading; empty without them."""
    bold = takewhile(lambda run: getattr(getattr(run, "style", None), "strong", False), block.runs)
    return plain(bold).strip().rstrip(".:")


def heading_levels(blocks: tuple[SetBlock, ...]) -> dict[int, int]:
    """The level each heading is set at: the title is 1, none skips a level (PDF/UA-1, 7.4.2)."""
    levels: dict[int, int] = {}
    written: list[int] = []
    for k, block in enumerate(blocks):
        if block.kind is not BlockKind.HEADING:
            continue
        while written and written[-1] >= block.level:
            written.pop()
        written.append(block.level)
        levels[k] = 1 + len(written)
    return levels
