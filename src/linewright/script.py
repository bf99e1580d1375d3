"""Parse a script: `Source` → `Script`. Lossless, nothing resolved on a board, never raises.

Block structure comes from CommonMark; inside a block the raw text is scanned by
`linewright.inline`, because block parsers lose the places of words.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from enum import StrEnum
from functools import cache
from typing import TYPE_CHECKING

from linewright.exercise import FENCE, ExerciseText, named_like_an_exercise, read_exercise
from linewright.expressions import expression
from linewright.frontmatter import FrontMatter, read_front_matter
from linewright.inline import (
    Figure,
    Inline,
    InlineText,
    Link,
    Mention,
    Move,
    Paren,
    Text,
    Unreadable,
    scan,
)
from linewright.move_lists import AFTER_MARKER, ListItem, numbered_lists, read_list
from linewright.source import Source, Span, decoded
from linewright.textfault import Fault

if TYPE_CHECKING:
    from markdown_it import MarkdownIt
    from markdown_it.token import Token

__all__ = [
    "Block", "BlockKind", "Fault", "Figure", "FrontMatter", "Inline", "Link", "Mention", "Move",
    "Paren", "Script", "Text", "Unreadable", "parse", "read_source",
]  # fmt: skip


class BlockKind(StrEnum):
    """What a block of the script is for."""

    HEADING = "heading"
    """The title of a part. A move in it sets the board."""
    PARAGRAPH = "paragraph"
    ITEM = "item"
    """A list item; spoken like a paragraph."""
    QUOTE = "quote"
    """A block quote: printed, not spoken (a key idea)."""
    NOTE = "note"
    """An HTML comment: the teacher's own, never shown to students."""
    PAUSE = "pause"
    EXERCISE = "exercise"
    CODE = "code"
    """Any other fenced or indented text: printed as it is, not spoken."""


SPOKEN = frozenset({BlockKind.PARAGRAPH, BlockKind.ITEM})


@dataclass(frozen=True, slots=True)
class Block:
    """One block of the script.

    `level` is the heading's level or the depth of a list item; `content` the raw characters of a
    note, an exercise or code; `exercise` what an exercise says.
    """

    kind: BlockKind
    span: Span
    inlines: tuple[Inline, ...] = ()
    level: int = 0
    content: str = ""
    exercise: ExerciseText | None = None

    @property
    def spoken(self) -> bool:
        """Whether students hear this block."""
        return self.kind in SPOKEN


@dataclass(frozen=True, slots=True)
class Script:
    """What the teacher wrote, with every fault of the writing beside it."""

    source: Source
    front: FrontMatter
    blocks: tuple[Block, ...]
    faults: tuple[Fault, ...] = field(default=())


def read_source(name: str, data: bytes) -> tuple[Source, tuple[Fault, ...]]:
    """The text of a script file, with a fault for each thing that is not plain UTF-8.

    Never raises.
    """
    faults: list[Fault] = []
    read = decoded(data)
    if read.encoding != "UTF-8":
        reason = f"byte {read.byte} is not UTF-8: the text was read as {read.encoding}"
        faults.append(Fault("text", read.place, f"{reason}; save the file as UTF-8"))
    if (nul := read.text.find("\0")) >= 0:
        reason = "the text holds NUL characters, which no editor shows: delete them"
        faults.append(Fault("text", Span(nul, nul + 1), reason))
    return Source(name, read.text), tuple(faults)


def parse(source: Source, faults: tuple[Fault, ...] = ()) -> Script:
    """The script of a source; every fault is kept beside it, and the rest is still read.

    `faults` are those found while the file was read. Never raises.
    """
    found = list(faults)
    front, body_start = read_front_matter(source, found)
    blocks = tuple(_Blocks(source, body_start, found).read())
    return Script(source, front, blocks, tuple(sorted(found, key=lambda fault: fault.span)))


@cache
def _block_parser() -> MarkdownIt:
    from markdown_it import MarkdownIt

    parser = MarkdownIt("commonmark")
    parser.core.ruler.disable(["inline", "text_join"])
    return parser


_MARKER = expression(r"\d{1,9}[.)]")
_LISTED = {
    True: "the list is read as the moves of a game, though not each item has both sides' moves:"
    " if it is a list of points, write '1)' or '-'",
    False: "the list is read as points and not as the moves of a game, because its items do not"
    " have both sides' moves: if it is moves, leave no space behind their numbers, as in '1.e4'",
}
"""What a list is taken for, if it is read as moves, and how to write the other."""
_APART = (
    "the list is read as points and not as the moves of a game, because something stands between"
    " White's move and Black's: if it is moves, write them side by side, as in '1. e4 e5'"
)


class _Blocks:
    """Walks the block tokens of one source once."""

    def __init__(self, source: Source, body_start: int, faults: list[Fault]) -> None:
        self.source = source
        self.faults = faults
        self.first_line = source.line_column(body_start)[0]
        self.body = source.text[body_start:]
        self.stack: list[Token] = []
        self.blocks: list[Block] = []
        self.move_item: Span | None = None
        self.in_game = False
        """Whether a move stands before, with no heading between that may begin another game."""
        self.lists: dict[int, list[tuple[Token, ListItem]]] = {}
        self.plain: set[int] = set()

    def read(self) -> list[Block]:
        tokens = _block_parser().parse(self.body)
        self.lists = {id(items[0][0]): items for items in numbered_lists(tokens)}
        for token in tokens:
            if token.nesting == 1:
                self.stack.append(token)
                self.read_list(token)
            elif token.nesting == -1:
                self.stack.pop()
            else:
                for block in self.leaf(token):
                    self.blocks.append(block)
                    moved = any(isinstance(inline, Move) for inline in block.inlines)
                    self.in_game = moved or (self.in_game and block.kind is not BlockKind.HEADING)
        return self.blocks

    def lines(self, token: Token) -> Span:
        """The characters of the lines a token covers, trailing blank lines left out."""
        first, last = token.map or (0, 1)
        start = self.source.line_span(self.first_line + first).start
        end_line = min(self.first_line + last - 1, self.source.lines)
        end = self.source.line_span(max(end_line, self.first_line + first)).end
        while end > start and self.source.text[end - 1] in " \t\n":
            end -= 1
        return Span(start, end)

    def leaf(self, token: Token) -> Iterator[Block]:
        if token.type == "inline":
            yield from self.inline(token)
        elif token.type == "hr":
            yield Block(BlockKind.PAUSE, self.lines(token))
        elif token.type == "html_block":
            yield from self.html(token)
        elif token.type in {"fence", "code_block"}:
            yield self.fenced(token)

    def fenced(self, token: Token) -> Block:
        """A fenced block; one that is meant for an exercise is read as one, so that students do
        not see its answer."""
        span = self.lines(token)
        name = token.info.strip().split(" ")[0].lower()
        almost = named_like_an_exercise(name, token.content.splitlines())
        if name != FENCE and not almost:
            return Block(BlockKind.CODE, span, content=token.content)
        first = Span(span.start, min(self.source.line_span(self.line_of(span)).end, span.end))
        if almost:
            words = self.source.words(first).strip()
            place = Span(first.start, first.start + len(words))
            what = f"is almost '{FENCE}'" if name else f"holds an answer: name it '{FENCE}'"
            repair = words[: len(words) - len(words.lstrip("`~"))] + FENCE
            reason = f"the block '{words}' {what}" if not name else f"'{name}' {what}"
            self.faults.append(Fault("exercise-name", place, reason, (repair,)))
        written = read_exercise(self.inside(token, span), self.faults, first)
        return Block(BlockKind.EXERCISE, span, content=token.content, exercise=written)

    def line_of(self, span: Span) -> int:
        return self.source.line_column(span.start)[0]

    def inside(self, token: Token, span: Span) -> Iterator[tuple[str, int]]:
        """The lines of a fenced block, each with its place."""
        first = self.line_of(span) + (token.type == "fence")
        for k, wanted in enumerate(token.content.splitlines()):
            line = self.source.line_span(min(first + k, self.source.lines))
            at = self.source.words(line).rfind(wanted)
            yield wanted, line.start + max(at, 0)

    def inline(self, token: Token) -> Iterator[Block]:
        kind, level = self.context()
        text = self.placed(token, kind)
        if not text.text:
            return
        span = Span(text.offset(0), text.offset(len(text.text)))
        item = self.moves_read_as_list(token, text) if kind is BlockKind.ITEM else None
        if item is not None:
            kind, span, text = BlockKind.PARAGRAPH, *item
        inlines = scan(text, self.faults)
        if item is not None and self.continues_moves():
            before = self.blocks.pop()
            gap = Text(Span(before.span.end, span.start), " ")
            span, inlines = before.span.to(span), (*before.inlines, gap, *inlines)
        self.move_item = span if item is not None else None
        if kind is BlockKind.HEADING:
            self.warn_of_underline(span, inlines)
        yield Block(kind, span, inlines, level)

    def context(self) -> tuple[BlockKind, int]:
        kinds = [token.type for token in self.stack]
        if kinds and kinds[-1] == "heading_open":
            return BlockKind.HEADING, int(self.stack[-1].tag[1:])
        if "blockquote_open" in kinds:
            return BlockKind.QUOTE, 0
        depth = kinds.count("list_item_open")
        return (BlockKind.ITEM, depth) if depth else (BlockKind.PARAGRAPH, 0)

    def placed(self, token: Token, kind: BlockKind) -> InlineText:
        """The text of an inline token, each character with its place in the source."""
        first = self.first_line + (token.map or [0, 0])[0]
        parts: list[tuple[str, int]] = []
        for k, wanted in enumerate(token.content.split("\n")):
            line = self.source.line_span(min(first + k, self.source.lines))
            raw = self.source.words(line)
            content = wanted.strip()
            plain = raw.rstrip()
            at = len(plain) - len(content) if plain.endswith(content) else raw.find(content)
            if kind is BlockKind.HEADING and plain.startswith("#") and content:
                at = raw.find(content, len(raw) - len(raw.lstrip("# \t")))
            parts.append((content if at >= 0 else raw, line.start + max(at, 0)))
        return InlineText.joined(parts)

    def read_list(self, first: Token) -> None:
        """Decides with the first item of a numbered list whether its items are moves."""
        if (items := self.lists.get(id(first))) is None:
            return
        reading = read_list([item for _, item in items], opens_the_game=not self.in_game)
        if not reading.moves:
            self.plain |= {id(token) for token, _ in items}
        if reading.doubtful:
            place = self.source.line_span(self.first_line + (first.map or [0])[0])
            words = self.source.words(place).strip()
            start = self.source.text.index(words, place.start)
            reason = _APART if reading.apart else _LISTED[reading.moves]
            self.faults.append(Fault("list", Span(start, start + len(words)), reason))

    def moves_read_as_list(self, token: Token, text: InlineText) -> tuple[Span, InlineText] | None:
        """A list item that is really a numbered move (`1. d4 d5`), its marker given back."""
        item = next(t for t in reversed(self.stack) if t.type == "list_item_open")
        same_line = (item.map or [0])[0] == (token.map or [1])[0]
        numbered = item.markup == "." and id(item) not in self.plain
        if not (same_line and numbered and AFTER_MARKER.match(text.text)):
            return None
        line = self.source.line_span(self.source.line_column(text.offset(0))[0])
        before = self.source.text[line.start : text.offset(0)]
        markers = list(_MARKER.finditer(before))
        if not markers:
            return None
        start = line.start + markers[-1].start()
        marker = self.source.text[start : text.offset(0)]
        whole = InlineText(marker + text.text, (*range(start, text.offset(0)), *text.offsets))
        return Span(start, text.offset(len(text.text))), whole

    def continues_moves(self) -> bool:
        """Whether the block before was the item above in the same run of moves."""
        return bool(self.blocks) and self.blocks[-1].span == self.move_item

    def warn_of_underline(self, span: Span, inlines: tuple[Inline, ...]) -> None:
        """A paragraph with `---` right under it is a heading in CommonMark, rarely on purpose."""
        text = self.source.words(span)
        after = self.source.text[span.end : span.end + 8].lstrip(" \t")
        figure = bool(inlines) and isinstance(inlines[-1], Figure)
        long = "\n" in text or text.rstrip().endswith((".", "?", "!"))
        if after.startswith("\n---") and (long or figure):
            what = "figure" if figure else "paragraph"
            reason = f"'---' right under a {what} makes a heading of it: leave a line empty above"
            self.faults.append(Fault("underlined-paragraph", span, reason))

    def html(self, token: Token) -> Iterator[Block]:
        span = self.lines(token)
        text = self.source.words(span)
        if not text.lstrip().startswith("<!--"):
            inlines = scan(InlineText.joined([(text, span.start)]), self.faults)
            kind = BlockKind.QUOTE if self.context()[0] is BlockKind.QUOTE else BlockKind.PARAGRAPH
            self.faults.append(Fault("html", span, "html is printed as it is written"))
            yield Block(kind, span, inlines)
            return
        end = text.find("-->")
        if end < 0:
            reason = "'<!--' is never closed: everything after it is a private note"
            self.faults.append(Fault("unclosed-comment", Span(span.start, span.start + 4), reason))
            yield Block(BlockKind.NOTE, span, content=text.lstrip()[4:].strip())
            return
        note = Span(span.start, span.start + end + 3)
        yield Block(BlockKind.NOTE, note, content=text[:end].lstrip()[4:].strip())
        rest = text[end + 3 :]
        if rest.strip():
            start = note.end + len(rest) - len(rest.lstrip())
            place = Span(start, span.end)
            inlines = scan(InlineText.joined([(self.source.words(place), start)]), self.faults)
            yield Block(BlockKind.PARAGRAPH, place, inlines)
