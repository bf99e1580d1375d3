"""The lesson on paper: a tagged PDF in two columns, with diagrams, key ideas and a move index.

Typeset in the typesetter's own fonts, so that it looks the same on every machine, and without a
date of its own, so that the same lesson gives the same bytes.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cache
from importlib import resources
from itertools import accumulate, pairwise
from typing import Any

from linewright.columns import Kind, Piece, Place, Setting, Standing, arrange
from linewright.dividing import divided
from linewright.drawing import board_svg, board_words, mark_sample
from linewright.drawing.palette import WORD_COLOURS
from linewright.lesson import Lesson, Node
from linewright.masthead import (
    MEANINGS,
    explained,
    facts_line,
    missing_picture,
    opening_line,
    players_line,
)
from linewright.outputs import Artifact, Edition
from linewright.plates import is_for_students, plate_of
from linewright.reading import Reading, set_out
from linewright.script import BlockKind
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
    grouped,
    heading_levels,
    own_name,
    plain,
    spelt,
)

PAPERS = {"a4": "a4", "letter": "us-letter", "us-letter": "us-letter"}

LETTERS_IN_LINE, FEW_LINES = 50, 4
"""Letters of a line of answers, and how many lines of them need no page of their own."""

THIN = 0.35
"""A last page filled to less than this share, in its first column only, is saved if closer lines
and smaller boards can."""
BOARD_MM, CLOSE_BOARD_MM = 54, 49
TASK_MM, CLOSE_TASK_MM = 52, 47
"""How wide a board and that of an exercise are, and where they stand closer."""

LETTERS_IN_INDEX, HANDFUL, MOST_TOGETHER = 44, 6, 30
"""Letters of a line of the index, how many lines of it no page holds fewer of, and how many at most
are kept together."""


def make(edition: Edition) -> tuple[Artifact, ...]:
    """The handout as one PDF (PDF/UA-1)."""
    source = typst_source(edition)
    return (Artifact(f"{edition.base}.pdf", "application/pdf", typeset(source)),)


def typeset(source: str) -> bytes:
    """The PDF of a Typst text, tagged, with no date.

    Only the typesetter's own fonts are used, unless a character is in none of them: then the
    machine's fonts are tried, and what no font has is printed as an empty box and listed.
    """
    import typst

    try:
        return _compiled(source, system_fonts=False)
    except typst.TypstError as error:
        if "could not be displayed" not in str(error):
            raise
    lacking = _undisplayable(source)
    for char in lacking:
        source = source.replace(char, "□")
    if lacking:
        codes = ", ".join(f"U+{ord(char):04X}" for char in sorted(lacking))
        note = literal(f"Printed as □, because no font here has them: {codes}.")
        source = source.rstrip().removesuffix("})") + f"plain-figure({note})\n}})\n"
    return _compiled(source, system_fonts=True)


def _compiled(source: str, *, system_fonts: bool) -> bytes:
    import typst

    return bytes(
        typst.compile(
            source.encode(),
            format="pdf",
            font_paths=_fonts(system_fonts),
            pdf_standards="ua-1",
            timestamp=0,
        )
    )


@cache
def _fonts(system: bool) -> Any:
    import typst

    return typst.Fonts(include_system_fonts=system, include_embedded_fonts=True)


def _undisplayable(source: str) -> set[str]:
    """The characters that no font on this machine has. Cost: the logarithm of their number."""
    import typst

    def lacking(chars: list[str]) -> set[str]:
        words = literal(" ".join(chars))
        try:
            _compiled(f'{_FONT}#set document(title: "a")\n#{words}', system_fonts=True)
            return set()
        except typst.TypstError:
            if len(chars) == 1:
                return set(chars)
        middle = len(chars) // 2
        return lacking(chars[:middle]) | lacking(chars[middle:])

    rare = sorted({char for char in source if ord(char) > 0x24F})
    return lacking(rare) if rare else set()


_FONT = '#set text(font: "Libertinus Serif")\n'


def typst_source(edition: Edition) -> str:
    """The handout as a Typst text: the template, then calls with string literals only."""
    reading = set_out(edition.lesson)
    template = (resources.files("linewright") / "templates" / "handout.typ").read_text("utf-8")

    def source(close: bool) -> str:
        document = _Setter(edition, reading, close).document(template)
        return template + "\n".join(document) + "\n"

    usual = source(close=False)
    end = _end(usual)
    if not end.thin:
        return usual
    closer = source(close=True)
    saved = _stacked(closer) <= _stacked(usual) and _end(closer).page < end.page
    return closer if saved else usual


_A_BOARD = re.compile(r"(?:at-foot\(|at-head\()?\{? ?diagram\(")


def _stacked(source: str) -> int:
    """How many boards follow another with no words between them."""
    boards = [bool(_A_BOARD.match(line)) for line in source.split("\n")]
    return sum(one and other for one, other in pairwise(boards))


@dataclass(frozen=True, slots=True)
class _End:
    """Where the words of a handout end: the page, and whether it holds next to nothing."""

    page: int
    thin: bool


def _end(source: str) -> _End:
    """Where the words end. **Cost**: that of setting the handout once more."""
    import typst

    found = typst.query(source.encode(), "<end>", field="value", one=True, font_paths=_fonts(False))
    end = json.loads(found)
    thin = end["page"] > 1 and not end["right"] and end["share"] < THIN
    return _End(end["page"], thin)


def literal(text: str) -> str:
    """A Typst string literal; control characters, which fonts cannot show, are left out.

    >>> literal('say "#eval"')
    '"say \\\\"#eval\\\\""'
    """
    kept = "".join(c if c.isprintable() else " " if c in "\n\t\u00a0" else "" for c in text)
    return '"' + kept.replace("\\", "\\\\").replace('"', '\\"') + '"'


@dataclass(frozen=True, slots=True)
class _Set:
    """A piece of the body as it is set: its call, and the call of its other form.

    `part` is the number of headings that lead to it; a `movable` piece may stand at the foot or
    the head of a column.
    """

    call: str
    other: str
    kind: Kind
    part: int
    movable: bool = False


HIGHEST_MOVED = 0.5
"""A figure higher than this share of a column stands where it is told."""


def _placed(template: str, front: str, masthead: str, body: Sequence[_Set]) -> Iterator[str]:
    """The calls of the body, with every board where it stands in its column."""
    if not any(piece.movable for piece in body):
        yield from (piece.call for piece in body)
        return
    pieces, setting = _measured(template, front, masthead, body)
    standings = {standing.board: standing for standing in arrange(pieces, setting)}
    before: dict[int, list[Standing]] = {}
    behind: dict[int, list[Standing]] = {}
    for standing in standings.values():
        at = before if standing.place is Place.FOOT else behind
        at.setdefault(standing.behind, []).append(standing)
    for k, piece in enumerate(body):
        yield from (_stood(body, standing) for standing in before.get(k, ()))
        if k not in standings:
            yield piece.call
        yield from (_stood(body, standing) for standing in behind.get(k, ()))


def _stood(body: Sequence[_Set], standing: Standing) -> str:
    piece = body[standing.board]
    call = piece.other if standing.away else piece.call
    match standing.place:
        case Place.FOOT:
            return f"at-foot({call})"
        case Place.HEAD:
            return f"at-head({call})"
        case Place.HERE:
            return call


def _measured(
    template: str, front: str, masthead: str, body: Sequence[_Set]
) -> tuple[list[Piece], Setting]:
    """The body as `columns` sees it, with the heights that the typesetter gives it."""
    import typst

    forms = "".join(f"({{ {piece.call} }}, {{ {piece.other} }}), " for piece in body)
    source = f"{template}#handout({front}, {{ measured({masthead}, ({forms})) }})\n"
    found = typst.query(
        source.encode(), "<measured>", field="value", one=True, font_paths=_fonts(False)
    )
    size = json.loads(found)
    setting = Setting(
        (size["first"], size["first"], size["column"]),
        size["line"], size["leading"], size["spacing"], size["clearance"],
    )  # fmt: skip
    return [
        _piece(one, heights, setting) for one, heights in zip(body, size["pieces"], strict=True)
    ], setting


def _piece(piece: _Set, heights: Sequence[float], setting: Setting) -> Piece:
    height, other, above, below = heights
    kind = piece.kind
    if piece.movable and height > HIGHEST_MOVED * setting.heights[-1]:
        kind = Kind.WHOLE
    if piece.call.startswith("par("):
        return Piece(kind, height, other, part=piece.part)
    return Piece(kind, height, other, above, below, piece.part)


class _Setter:
    """Writes the calls of one handout."""

    def __init__(self, edition: Edition, reading: Reading, close: bool) -> None:
        self.edition = edition
        self.close = close
        self.board_mm = CLOSE_BOARD_MM if close else BOARD_MM
        self.task_mm = CLOSE_TASK_MM if close else TASK_MM
        self.lesson: Lesson = edition.lesson
        self.reading = reading
        self.labelled: set[int] = set()
        self.looked_up = False
        """Whether a box is at hand whose moves the words tell too: the index leads to these."""
        self.kinds: dict[str, None] = {}
        self.answers: list[str] = []
        self.few = _few(plate.answer for block in reading.blocks for plate in block.plates
                        if isinstance(plate, Exercise))  # fmt: skip

    def document(self, template: str) -> Iterator[str]:
        front = self.lesson.front
        paper = PAPERS.get(self.edition.paper, "a4")
        language = front.language.split("-")[0].lower()
        language = language if re.fullmatch("[a-z]{2,3}", language) else "en"
        title = self.reading.title
        masthead = (
            f"masthead-words({literal(front.club)}, {literal(title)},"
            f" {literal(players_line(self.lesson))},"
            f" {literal(opening_line(self.lesson))}, {literal(facts_line(self.lesson))})"
        )
        settings = (
            f"paper: {literal(paper)}, title: {literal(title)},"
            f" running: {literal(title)}, club: {literal(front.club)},"
            f" language: {literal(language)}, close: {'true' if self.close else 'false'}"
        )
        body = list(self.body())
        placed = list(_placed(template, settings, masthead, body))
        appendix = list(self.appendix())
        yield f"#handout({settings}, answers: {self.answers_given()}, {{"
        yield f"masthead({masthead})"
        yield from placed
        yield from appendix
        yield "})"

    # The text

    def body(self) -> Iterator[_Set]:
        read = self.reading.blocks
        blocks = tuple(piece for block in read for piece in divided(self.lesson, block))
        levels = heading_levels(blocks)
        k = part = 0
        name = ""
        while k < len(blocks):
            block = blocks[k]
            group = [block]
            if block.kind is BlockKind.HEADING:
                part, name = part + 1, plain(block.runs).strip()
            if block.kind is BlockKind.QUOTE:
                group = grouped(self.lesson, blocks, k)
                yield _Set(idea := self.key_idea(group), idea, Kind.WHOLE, part)
            else:
                for piece in self.block(block, levels.get(k, 2)):
                    yield replace(piece, part=part)
            k += len(group)
            for piece in self.plates([plate for one in group for plate in one.plates], name):
                yield replace(piece, part=part)

    def block(self, block: SetBlock, level: int) -> Iterator[_Set]:
        words = self.runs(block.runs)
        match block.kind:
            case BlockKind.HEADING:
                call, kind = f"heading(level: {level}, {words})", Kind.HEADING
            case BlockKind.ITEM:
                call = f"item({literal(block.marker)}, {max(block.level, 1)}, {words})"
                kind = Kind.WORDS
            case BlockKind.PAUSE:
                call, kind = "pause()", Kind.WHOLE
            case BlockKind.CODE:
                call, kind = f"code({_lines_literal(block.content)})", Kind.WHOLE
            case _ if block.runs:
                yield _Set(f"par({words})", f"indented(par({words}))", Kind.WORDS, 0)
                return
            case _:
                return
        yield _Set(call, call, kind, 0)

    def key_idea(self, group: list[SetBlock]) -> str:
        label = "" if own_name(group[0]) else "Key idea"
        paragraphs = " ".join(self.boxed_paragraph(p) for p in group if p.runs)
        return f"boxed({literal(label)}, {{ {paragraphs} }})"

    def boxed_paragraph(self, block: SetBlock) -> str:
        self.looked_up = block.looked_up
        words = self.runs(block.runs)
        self.looked_up = False
        return f"par({words});"

    def runs(self, runs: Iterable[Run]) -> str:
        return "{ " + " ".join(self.run(run) + ";" for run in runs) + " }"

    def run(self, run: Run) -> str:
        match run:
            case MoveWords():
                return self.move(run)
            case MentionWords():
                return _styled(f"box({literal(run.text)})", run.style.strong, run.style.emphasis)
            case MarkedWords():
                inner = self.runs(run.runs)
                for kind in dict.fromkeys(mark.kind.value for mark in run.marks):
                    self.kinds[kind] = None
                    colour = WORD_COLOURS[kind]
                    inner = f"marked({literal(kind)}, {literal(colour)}, {inner})"
                return inner
            case ImaginedWords():
                return f"emph({self.runs(run.runs)})"
            case LinkedWords():
                return self.link(run)
            case _:
                words = (
                    f"raw({literal(run.text)})"
                    if run.style.code and run.text.strip()
                    else literal(run.text)
                )
                return _styled(words, run.style.strong, run.style.emphasis)

    def move(self, run: MoveWords) -> str:
        strong = "true" if run.main or run.style.strong else "false"
        words = f"m({literal(run.text)}, {strong})"
        if run.boxed:
            bare = run.text.removeprefix(run.number)
            words = f"boxed-m({literal(run.number)}, {literal(bare)})"
        if run.style.emphasis:
            words = f"emph({words})"
        if run.node is None or run.node in self.labelled or self.looked_up:
            return words
        self.labelled.add(run.node)
        return f"[#{words}<n{run.node}>]"

    def link(self, run: LinkedWords) -> str:
        words = self.runs(run.runs)
        if run.address.startswith(("https://", "http://", "mailto:")):
            return f"link({literal(run.address)}, underline({words}))"
        return words

    # Plates

    def plates(self, plates: Iterable[Plate], part: str) -> Iterator[_Set]:
        for plate in plates:
            match plate:
                case Diagram():
                    call, other = self.diagram(plate), self.diagram(plate, part)
                    yield _Set(call, other, Kind.BOARD, 0, movable=True)
                case Exercise():
                    yield _Set(call := self.exercise(plate), call, Kind.WHOLE, 0)
                case Drawing():
                    yield from self.drawing(plate, part)
                case Picture():
                    call = f"plain-figure({literal(missing_picture(plate))})"
                    yield _Set(call, call, Kind.WHOLE, 0)

    def diagram(self, plate: Diagram, part: str = "") -> str:
        """A board; with the name of a part in its caption if it stands in another."""
        for mark in plate.marks:
            self.kinds[mark.kind.value] = None
        svg = board_svg(
            plate.fen,
            plate.marks,
            flipped=self.reading.flipped,
            imagined=plate.imagined,
            last="" if plate.marks else plate.last,
            words="",
        )
        words = board_words(plate.fen, plate.marks, imagined=plate.imagined)
        caption = _named(plate.caption, part)
        width = f"width: {self.board_mm}mm"
        return f"diagram({literal(svg)}, {literal(words)}, {literal(caption)}, {width})"

    def exercise(self, plate: Exercise) -> str:
        number = len(self.answers) + 1
        foot = f" upside-down({literal(plate.answer)});" if self.few and plate.answer else ""
        self.answers.append("" if self.few else plate.answer)
        svg = board_svg(plate.fen, flipped=self.reading.flipped, words="")
        task = plate.task or "What would you play?"
        return (
            f"boxed({literal(f'Exercise {number}')}, {{"
            f" diagram({literal(svg)}, {literal(board_words(plate.fen))}, {literal('')},"
            f" width: {self.task_mm}mm); par({literal(task)});{foot} }})"
        )

    def drawing(self, plate: Drawing, part: str) -> Iterator[_Set]:
        record = self.edition.figures.get(plate.span.start)
        made = plate_of(plate, record, self.lesson, self.drawn)
        if not is_for_students(plate, made):
            return
        if not made.svg:
            words = f"{plate.caption}: {made.words}" if plate.caption else made.words
            call = f"plain-figure({literal(words)})"
            yield _Set(call, call, Kind.WHOLE, 0)
            return
        width = f"{self.board_mm}mm" if plate.kind == "pawn-ending" else "100%"
        notes = " ".join(f"figure-note({literal(note)});" for note in made.notes)
        call, other = (
            f"{{ diagram({literal(made.svg)}, {literal(made.words)}, {literal(caption)},"
            f" width: {width}); {notes} }}"
            for caption in (plate.caption, _named(plate.caption, part))
        )
        yield _Set(call, other, Kind.BOARD, 0, movable=True)

    def drawn(self, fen: str, imagined: bool) -> str:
        """A board for a figure."""
        return board_svg(fen, flipped=self.reading.flipped, imagined=imagined, words="")

    # What stands at the end

    def appendix(self) -> Iterator[str]:
        yield from self.key()
        yield from self.index()

    def answers_given(self) -> str:
        """The answers, for a page of their own, or none; few of them stand with their exercises."""
        given = [(k, answer) for k, answer in enumerate(self.answers, 1) if answer]
        items = "".join(f" item({literal(f'{k}.')}, 1, {literal(answer)});" for k, answer in given)
        return f'{{ end-heading("Answers");{items} }}' if given else "none"

    def key(self) -> Iterator[str]:
        """What the marks mean, for the kinds that stand in this handout."""
        kinds = explained(self.kinds)
        if not kinds:
            return
        samples = (
            f"key-line({literal(mark_sample(kind))}, {literal(f'sample of the mark {kind}')},"
            f" {literal(kind)}, {literal(WORD_COLOURS[kind])},"
            f" {literal(': ' + MEANINGS[kind])})"
            for kind in kinds
        )
        yield from _together(['end-heading("What the marks mean")', *samples], "1.7em", 0)

    def index(self) -> Iterator[str]:
        """The index of moves, in which no page begins or ends with less than a handful of lines."""
        lines = list(_index_lines(self.lesson))
        if not lines:
            return
        made = list(self.index_lines(lines))
        lengths = [-(-len(words) // LETTERS_IN_INDEX) for _, words, _ in lines]
        first, last = _handful(lengths), len(lengths) - _handful(lengths[::-1])
        heading = 'end-heading("Index of moves")'
        if first >= last:
            first, last = len(made), len(made)
        yield from _together([heading, *made[:first]], "1.7em", sum(lengths[:first]))
        yield from made[first:last]
        yield from _together(made[last:], "0.45em", sum(lengths[last:]))

    def index_lines(self, lines: Iterable[tuple[int, str, int]]) -> Iterator[str]:
        """The lines of the index, each with the page of its last board that has a place."""
        for depth, words, leaf in lines:
            shown = [n.index for n in self.lesson.tree.line(leaf) if n.index in self.labelled]
            target = f"<n{leaf}>" if leaf in self.labelled else (
                f"<n{shown[-1]}>" if shown else "none"
            )  # fmt: skip
            yield f"index-line({depth}, {literal(words)}, {target})"


def _named(caption: str, part: str) -> str:
    """A caption with the name of its part.

    >>> _named("After 9.Re1", "The trap")
    'After 9.Re1 (The trap)'
    """
    return f"{caption} ({part})" if caption and part else caption or part


def _handful(lengths: Sequence[int]) -> int:
    """How many entries of the index, from its beginning, make a handful of printed lines."""
    whole = list(accumulate(lengths))
    return next((k for k, lines in enumerate(whole, 1) if lines >= HANDFUL), len(lengths))


def _together(parts: Sequence[str], above: str, lines: int) -> Iterator[str]:
    """Parts that no column or page ends between, if they are not too long for a column."""
    if parts and lines <= MOST_TOGETHER:
        yield f"together({above}, {{ {'; '.join(parts)} }})"
    else:
        yield from parts


def _few(answers: Iterable[str]) -> bool:
    """Whether answers would leave a page of their own nearly empty."""
    return sum(-(-len(answer) // LETTERS_IN_LINE) for answer in answers) <= FEW_LINES


def _styled(words: str, strong: bool, emphasis: bool) -> str:
    if strong:
        words = f"strong({words})"
    return f"emph({words})" if emphasis else words


def _lines_literal(content: str) -> str:
    return ' + "\\n" + '.join(literal(line) for line in content.rstrip("\n").split("\n"))


def _index_lines(lesson: Lesson) -> Iterator[tuple[int, str, int]]:
    """The lines of the tree, each from where it leaves its line: depth, moves, last node."""
    nodes, explained = lesson.tree.nodes, lesson.tree.explanations()
    waiting = [(child, 0) for child in reversed(nodes[0].children)]
    while waiting:
        start, depth = waiting.pop()
        run = [nodes[start]]
        for node in lesson.tree.main_line(start):
            if (node.index in explained) is not (start in explained):
                break  # what explains a line is a line of its own
            run.append(node)
        yield min(depth, 6), _numbered(run), run[-1].index
        inside = {node.index for node in run}
        aside = [child for node in run for child in node.children if child not in inside]
        waiting.extend((child, depth + 1) for child in reversed(aside))


def _numbered(run: list[Node]) -> str:
    return " ".join(
        spelt(node) if node.white or k == 0 else node.san + node.suffix
        for k, node in enumerate(run)
    )
