"""Set a lesson out as it is read: `Lesson` → `Reading`.

What handout, page and proof sheet share: the blocks in order, each word with the board it is read
on, moves in one spelling, and the diagrams a reader needs who has nothing but the paper.
"""

from __future__ import annotations

import re
from bisect import bisect_left
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from itertools import dropwhile, groupby, takewhile, zip_longest
from math import inf
from typing import TypeGuard

from linewright.english.sentences import abbreviates
from linewright.headings import heading_shown
from linewright.inline import (
    PLAIN,
    Figure,
    Inline,
    Link,
    Mark,
    Mention,
    Move,
    Paren,
    Style,
    Text,
    Unreadable,
)
from linewright.lesson import Change, Lesson, Node, Part, PlacedMark, Step, WhatIfBoard
from linewright.script import Block, BlockKind
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


@dataclass(frozen=True, slots=True)
class Reading:
    """A lesson set out. `flipped` if the reader sits behind Black."""

    lesson: Lesson
    blocks: tuple[SetBlock, ...]
    flipped: bool
    main: frozenset[int] = field(default=frozenset())

    @property
    def title(self) -> str:
        """The lesson's title."""
        return title_of(self.lesson)


def title_of(lesson: Lesson) -> str:
    """A lesson's title, the first heading where the front matter has none."""
    first = next((part.title for part in lesson.parts if part.title), "")
    title = lesson.front.title or first or "Untitled lesson"
    return curled_text(title) if lesson.front.language.lower().startswith("en") else title


def set_out(lesson: Lesson) -> Reading:
    """The lesson as it is read. Never raises.

    The teacher's private notes are left out. A heading that only repeats the title is too.
    """
    main = frozenset(node.index for node in lesson.tree.told_line())
    compositor = _Compositor(lesson, main)
    kept = (block for block in lesson.script.blocks if block.kind is not BlockKind.NOTE)
    blocks = tuple(compositor.block(block) for block in kept)
    reading = Reading(lesson, blocks, lesson.front.taught == "Black", main)
    said = [block for block in blocks if not _repeats_title(block, reading)]
    return replace(reading, blocks=_with_way(lesson, tuple(_with_diagrams(lesson, said))))


def _repeats_title(block: SetBlock, reading: Reading) -> bool:
    if block.kind is not BlockKind.HEADING or block.level > 1:
        return False
    return plain(block.runs).strip().casefold() == reading.title.strip().casefold()


def plain(runs: Iterable[Run]) -> str:
    """The readable words of some runs."""
    return "".join(
        run.text if not isinstance(run, MarkedWords | ImaginedWords | LinkedWords)
        else plain(run.runs)
        for run in runs
    )  # fmt: skip


class _Compositor:
    """Turns inlines into runs, each with its board."""

    def __init__(self, lesson: Lesson, main: frozenset[int]) -> None:
        self.lesson = lesson
        self.main = main
        self.told = {step.after for step in lesson.steps if step.spoken}
        self.returns = {
            step.span: k
            for k, step in enumerate(lesson.steps)
            if step.change in {Change.RETURN, Change.RESTORE}
        }

    def block(self, block: Block) -> SetBlock:
        plates: list[Plate] = []
        heading = block.kind is BlockKind.HEADING
        inlines = heading_shown(block) if heading else block.inlines
        runs = _trimmed(tuple(_single_spaced(self.runs(inlines, plates))))
        end = self.returns.get(Span(block.span.end, block.span.end))
        marker = self.marker(block) if block.kind is BlockKind.ITEM else ""
        if block.kind is BlockKind.EXERCISE:
            plates.append(exercise_in(block, self.lesson))
        # A figure with `---` under it is a heading in CommonMark, and no reader hears a name in it.
        nameless = heading and not plain(runs).strip()
        kind, level = (BlockKind.PARAGRAPH, 0) if nameless else (block.kind, block.level)
        told = False
        if kind is BlockKind.QUOTE and _is_box_of_moves(runs):
            told = all(run.node in self.told for run in runs if isinstance(run, MoveWords))
            runs = tuple(self.boxed(run) for run in runs)
        return SetBlock(
            kind, block.span, level, marker, runs, block.content, tuple(plates), end, told
        )

    def boxed(self, run: Run) -> Run:
        """A move in a box of moves: with the signs it has in the words, and not set off."""
        if not isinstance(run, MoveWords):
            return run
        text = run.text
        if run.node is not None and text[-1:] not in "!?":
            text += self.lesson.tree.nodes[run.node].suffix
        return replace(run, text=text, main=False, boxed=True)

    def marker(self, block: Block) -> str:
        """What stands before an item on its line, a bullet for any of the bullet signs."""
        source = self.lesson.script.source
        line = source.line_span(source.line_column(block.span.start)[0])
        before = source.text[line.start : block.span.start]
        found = re.search(r"(\d{1,9}[.)]|[-+*])[ \t]+$", before)
        if not found:
            return ""
        return found[1] if found[1][0].isdigit() else "•"

    def runs(self, inlines: Sequence[Inline], plates: list[Plate]) -> Iterator[Run]:
        for inline in inlines:
            match inline:
                case Move():
                    yield self.move(inline)
                case Mention():
                    dots = "…" if inline.black else ""
                    text = dots + inline.written.san + _tail(inline)
                    yield MentionWords(inline.span, text, inline.style)
                case Link():
                    yield self.link(inline, plates)
                case Figure():
                    plates.append(self.plate(inline))
                case Paren():
                    yield self.paren(inline)
                case _:
                    yield Words(inline.span, self.curled(inline), inline.style)

    def curled(self, inline: Text | Unreadable) -> str:
        """Words as they are printed: English quotation marks are curled, code is left alone."""
        if inline.style.code or not self.lesson.front.language.lower().startswith("en"):
            return inline.text
        start = inline.span.start
        before = self.lesson.script.source.text[max(start - 1, 0) : start].replace("\n", " ")
        return curled_text(inline.text, " " if before in {"[", "*", "_"} else before)

    def move(self, move: Move) -> MoveWords:
        placed = self.lesson.move_at(move.span.start)
        node = self.lesson.tree.nodes[placed.node] if placed and placed.node is not None else None
        if node is None or node.assumed:
            index = node.index if node else None
            written = self.lesson.script.source.words(move.span).replace("\n", " ")
            return MoveWords(move.span, written, index, False, move.style)
        number = "" if move.number is None else f"{move.number}{'…' if move.black else '.'}"
        text = number + node.san + move.written.suffix + move.written.sign.strip()
        return MoveWords(move.span, text, node.index, node.index in self.main, move.style)

    def paren(self, paren: Paren) -> Words | Turn:
        text = "(" if paren.opens else ")"
        step = self.returns.get(paren.span)
        if step is None:
            return Words(paren.span, text, paren.style)
        return Turn(paren.span, text, step, paren.style)

    def link(self, link: Link, plates: list[Plate]) -> Run:
        runs = tuple(self.runs(link.children, plates))
        place = self.lesson.at(link.span.end - 1)
        if link.what_if is not None and place.imagined is not None:
            return ImaginedWords(link.span, runs, place.imagined)
        if link.marks:
            return MarkedWords(link.span, runs, link.marks, place.fen, place.imagined is not None)
        if link.address.startswith(("#", "?")):
            return LinkedWords(link.span, runs, "")
        return LinkedWords(link.span, runs, link.address)

    def plate(self, figure: Figure) -> Plate:
        caption = printed(figure.caption)
        if not figure.kind:
            return Picture(figure.span, caption, figure.address)
        place = self.lesson.at(figure.span.start)
        imagined = place.imagined is not None
        if figure.kind == "board":
            last = "" if imagined else _last(self.lesson.tree.nodes[place.node])
            return Diagram(place.fen, caption, (), imagined, last, asked=True)
        return Drawing(figure.span, figure.kind, caption, place.fen, place.node, imagined)


FEWEST_BOXED = 4
"""So many moves make a box of moves."""


def _is_box_of_moves(runs: Sequence[Run]) -> bool:
    """Whether nothing but moves stands in a box, behind the words in bold that name it."""
    named = list(dropwhile(lambda run: getattr(getattr(run, "style", None), "strong", False), runs))
    rest = [run for run in named if not (isinstance(run, Words) and not run.text.strip())]
    return len(rest) >= FEWEST_BOXED and all(isinstance(run, MoveWords) for run in rest)


def _tail(mention: Mention) -> str:
    written = mention.written
    check = "#" if written.claims_mate else "+" if written.claims_check else ""
    return check + written.suffix + written.sign.strip()


def _last(node: Node) -> str:
    return node.move.uci()[:4] if node.move else ""


def _single_spaced(runs: Iterable[Run]) -> Iterator[Run]:
    """The runs with one space where a private note between two of them leaves its own."""
    open_space = False
    for run in runs:
        plain_words = isinstance(run, Words) and not run.style.code
        if isinstance(run, Words) and plain_words:
            if open_space and run.text[:1].isspace():
                run = replace(run, text=run.text.lstrip())  # noqa: PLW2901
            open_space = run.text[-1:].isspace() if run.text else open_space
        else:
            open_space = False
        yield run


def _trimmed(runs: tuple[Run, ...]) -> tuple[Run, ...]:
    """The runs without space at either end."""
    out = list(runs)
    while out and isinstance(out[0], Words) and not out[0].text.strip():
        out.pop(0)
    while out and isinstance(out[-1], Words) and not out[-1].text.strip():
        out.pop()
    if out and isinstance(first := out[0], Words):
        out[0] = replace(first, text=first.text.lstrip())
    if out and isinstance(last := out[-1], Words):
        out[-1] = replace(last, text=last.text.rstrip())
    return tuple(out)


_OPENS_QUOTE = frozenset(" \u00a0([{–—-/\"'“‘")


_CURLED = {'"': ("“", "”"), "'": ("‘", "’")}


def curled_text(text: str, before: str = "") -> str:
    """The words with typographic quotation marks; `before` is the character in front of them.

    >>> curled_text("'6.Nd9' is not White's move")
    '‘6.Nd9’ is not White’s move'
    """
    out: list[str] = []
    for char in text:
        opens = not before or before in _OPENS_QUOTE
        curled = _CURLED.get(char, (char, char))[0 if opens else 1]
        out.append(curled)
        before = curled
    return "".join(out)


def exercise_in(block: Block, lesson: Lesson) -> Exercise:
    """The exercise a fenced block sets, on its board."""
    placed = next(each for each in lesson.exercises if each.span == block.span)
    written = block.exercise
    task, answer = (written.task.text, written.answer.text) if written else ("", "")
    return Exercise(block.span, printed(task), placed.fen, printed(answer))


def printed(words: str) -> str:
    """Words outside the running text as books print them."""
    return curled_text(words.replace("...", "…"))


# --- diagrams a reader needs ------------------------------------------------------------------

MOST_MARKS = 7
"""More marks than this on one diagram hide the pieces; they get a diagram for each block."""


def _with_diagrams(lesson: Lesson, blocks: Sequence[SetBlock]) -> Iterator[SetBlock]:
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
        return Diagram(fen, after(reached), marks, last=_last(reached))


# --- diagrams on a long way ---------------------------------------------------------------------

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


def _with_way(lesson: Lesson, blocks: tuple[SetBlock, ...]) -> tuple[SetBlock, ...]:
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
            board = Diagram(chosen.step.fen, after(node), last=_last(node))
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
    """The positions to show on a way that begins behind a board, perhaps `before_board` too."""
    reach = EARLIEST if before_board else 0
    while len(way) >= max(WAY, EARLIEST + reach):
        may = [
            k
            for k in range(EARLIEST - 1, min(LATEST, len(way) - reach))
            if not way[k].step.depth and not lesson.tree.nodes[way[k].step.after].assumed
        ]
        best = max(may, key=lambda k: way[k].dwelt, default=None)
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


# --- boards inside long paragraphs ----------------------------------------------------------------

ENOUGH_WORDS = 10
"""So many words of a paragraph at least stand before a board set inside it, and behind it."""

_SENTENCE_END = re.compile(r"[.!?][\"”’)]*(?=\s+(?:[^\Wa-z]|\()|\s*$)")


@dataclass(frozen=True, slots=True)
class _Cut:
    """An end of a sentence in a paragraph: the run it is in, where in its text, and how many words
    stand before it."""

    run: int
    at: int
    words: int


def divided(lesson: Lesson, block: SetBlock) -> Iterator[SetBlock]:
    """A paragraph in pieces, each with the boards that its words reach; any other block as it is.

    It is cut where sentences end, so that a board stands by its words on paper too.
    """
    if block.kind is not BlockKind.PARAGRAPH or not block.plates or not block.runs:
        yield block
        return
    ends = list(_sentence_ends(block.runs))
    whole = len(plain(block.runs).split())
    begun, held = _Cut(0, 0, 0), list[Plate]()

    def cut_behind(plate: Plate) -> _Cut | None:
        place = _told_at(lesson, block, plate)
        return next((end for end in ends if block.runs[end.run].span.start >= place), None)

    plates = sorted(block.plates, key=lambda plate: _told_at(lesson, block, plate))
    for cut, told in groupby(plates, key=cut_behind):
        held.extend(told)
        if cut and min(cut.words - begun.words, whole - cut.words) >= ENOUGH_WORDS:
            runs = _between(block.runs, begun, cut)
            yield replace(block, runs=runs, plates=tuple(held), end_step=None)
            begun, held = cut, []
    yield replace(block, runs=_between(block.runs, begun, None), plates=tuple(held))


def _told_at(lesson: Lesson, block: SetBlock, plate: Plate) -> float:
    """Where a block tells what a plate shows: the last mark on it, else the move that reaches it;
    behind all words if no words tell it."""
    if isinstance(plate, Drawing):
        return plate.span.start
    fen = plate.fen if isinstance(plate, Diagram) else ""
    marked = [m.span.start for m in lesson.marks if m.fen == fen and m.span.start in block.span]
    steps = (s for s in lesson.steps if s.fen == fen and s.change is not Change.RETURN)
    told = [s.span.start for s in steps if s.span.start in block.span]
    return max(marked or told, default=inf)


def _sentence_ends(runs: Sequence[Run]) -> Iterator[_Cut]:
    """The ends of sentences outside parentheses, in the plain words of a paragraph."""
    words = depth = 0
    for k, run in enumerate(runs):
        text = plain([run])
        for stop in _SENTENCE_END.finditer(text) if isinstance(run, Words) else ():
            before = text[: stop.end()]
            if abbreviates(text, stop.end()):
                continue
            if depth + before.count("(") == before.count(")"):
                yield _Cut(k, stop.end(), words + len(before.split()))
        words += len(text.split())
        depth += text.count("(") - text.count(")")


def _between(runs: Sequence[Run], begun: _Cut, end: _Cut | None) -> tuple[Run, ...]:
    """The runs from one cut to another, or to the end."""
    out = list(runs[begun.run : end.run + 1 if end else None])
    last = out[-1]
    if end and isinstance(last, Words):
        out[-1] = replace(last, text=last.text[: end.at])
    first = out[0]
    if begun.at and isinstance(first, Words):
        out[0] = replace(first, text=first.text[begun.at :].lstrip())
    return tuple(run for run in out if not isinstance(run, Words) or run.text)


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


__all__ = [
    "Diagram",
    "Drawing",
    "Exercise",
    "ImaginedWords",
    "LinkedWords",
    "MarkedWords",
    "MentionWords",
    "MoveWords",
    "Picture",
    "PlacedMark",
    "Plate",
    "Reading",
    "Run",
    "SetBlock",
    "Turn",
    "Words",
    "after",
    "curled_text",
    "divided",
    "exercise_in",
    "grouped",
    "heading_levels",
    "own_name",
    "plain",
    "printed",
    "set_out",
    "spelt",
    "title_of",
]  # fmt: skip
