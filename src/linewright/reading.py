"""Set a lesson out as it is read: `Lesson` → `Reading`.

What handout, page and proof sheet share: the blocks in order, each word with the board it is read
on, moves in one spelling, and the diagrams a reader needs who has nothing but the paper.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from itertools import dropwhile

from linewright.headings import heading_shown
from linewright.inline import (
    Figure,
    Inline,
    Link,
    Mention,
    Move,
    Paren,
    Text,
    Unreadable,
)
from linewright.lesson import Change, Lesson
from linewright.reading_boards import with_diagrams, with_way
from linewright.script import Block, BlockKind
from linewright.set_blocks import (
    Diagram,
    Drawing,
    Exercise,
    ImaginedWords,
    LinkedWords,
    MarkedWords,
    MentionWords,
    MoveWords,
    Picture,
    Plate,
    Run,
    SetBlock,
    Turn,
    Words,
    last_squares,
    plain,
)
from linewright.source import Span
from linewright.typography import curled_text, printed


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
    return replace(reading, blocks=with_way(lesson, tuple(with_diagrams(lesson, said))))


def _repeats_title(block: SetBlock, reading: Reading) -> bool:
    if block.kind is not BlockKind.HEADING or block.level > 1:
        return False
    return plain(block.runs).strip().casefold() == reading.title.strip().casefold()


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
                    text = dots + inline.written.printed + _tail(inline)
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
            last = "" if imagined else last_squares(self.lesson.tree.nodes[place.node])
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


def exercise_in(block: Block, lesson: Lesson) -> Exercise:
    """The exercise a fenced block sets, on its board."""
    placed = next(each for each in lesson.exercises if each.span == block.span)
    written = block.exercise
    task, answer = (written.task.text, written.answer.text) if written else ("", "")
    return Exercise(block.span, printed(task), placed.fen, printed(answer))
