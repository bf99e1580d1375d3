"""The proof sheet a teacher works from: the script's own text, with the findings in its margin.

Every finding stands beside its words with the board fact, the repairs and, where it was looked at
on a board, a small diagram. One HTML file, no script, nothing loaded from anywhere.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from markupsafe import Markup, escape

from linewright.clock import clock
from linewright.drawing import Dark, Engraving, board_svg, shared_shapes, signs
from linewright.finding import Finding, Severity
from linewright.html import render
from linewright.inline import Inline, Link, Move
from linewright.lesson import Lesson
from linewright.margin import (
    LOOKS,
    Diagrams,
    MarginNote,
    counted,
    noted_words,
    number_chip,
    sentence,
    statement_counts,
    stylesheet,
    tally,
    told,
)
from linewright.masthead import facts_line, opening_line
from linewright.outputs import Artifact, Edition
from linewright.plates import plate_of
from linewright.reading import set_out, title_of
from linewright.script import BlockKind
from linewright.set_blocks import Drawing
from linewright.source import Source, Span
from linewright.statements import Verdict

NAMES = {Severity.ERROR: "error", Severity.WARNING: "warning", Severity.NOTE: "note"}


def make(edition: Edition) -> tuple[Artifact, ...]:
    """The proof sheet as one HTML file."""
    html = proof_html(edition)
    return (Artifact(f"{edition.base}-proof.html", "text/html", html.encode()),)


def proof_html(edition: Edition) -> str:
    """The text of the proof sheet."""
    lesson = edition.lesson
    source = lesson.script.source
    notes = tuple(_notes(edition))
    return render(
        "proof.html",
        language=lesson.front.language or "en",
        css=Markup(stylesheet()),
        shapes=Markup(shared_shapes()),
        title=title_of(lesson),
        file=source.name.replace("\\", "/").rsplit("/", 1)[-1],
        club=lesson.front.club,
        opening=opening_line(lesson),
        facts=facts_line(lesson),
        size=size_line(edition),
        tally=tally(note.margin for note in notes),
        statements=statement_counts(edition.verdicts),
        verdicts=[
            told(verdict, str(line := _line_of(verdict, source)), f"l{line}")
            for verdict in edition.verdicts
        ],
        rows=list(_rows(lesson, notes, _figures(edition))),
        accepted=lesson.front.accept,
    )


def _line_of(verdict: Verdict, source: Source) -> int:
    return source.line_column(verdict.statement.span.start)[0]


def size_line(edition: Edition) -> str:
    """How much is said, how long it takes and how many positions are shown."""
    spoken = sum(1 for word in edition.timeline.words if word.said)
    positions = len(edition.lesson.tree.nodes) - 1
    moves = f"{counted(positions, 'move')} shown" if positions else "no moves yet"
    length = clock(edition.timeline.total_ms)
    held = len(edition.held)
    later = f" · {counted(held, 'finding')} held back until a move is mended" if held else ""
    return f"{counted(spoken, 'spoken word')} · {length} · {moves}{later}"


# --- notes ------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Note:
    """A finding and how it stands in the margin."""

    finding: Finding
    margin: MarginNote

    @property
    def number(self) -> int:
        """Its number on the sheet."""
        return self.margin.number

    @property
    def look(self) -> str:
        """How grave it looks."""
        return self.margin.look


def _notes(edition: Edition) -> Iterator[Note]:
    """The notes of an edition, each board drawn once where notes follow each other."""
    source = edition.lesson.script.source
    diagrams = Diagrams(edition.lesson.front.taught == "Black")
    imagined = {step.fen for step in edition.lesson.steps if step.imagined}
    ordered = sorted(edition.findings, key=lambda f: (f.span.start, f.span.end, f.rule))
    for number, finding in enumerate(ordered, 1):
        evidence = finding.evidence
        marks = signs("point", evidence.squares, evidence.arrows)
        board, turn = diagrams.draw(evidence.fen, marks, evidence.fen in imagined)
        name = NAMES[finding.severity]
        because = "" if evidence.text in finding.message else evidence.text
        margin = MarginNote(
            number, name, name.capitalize(), _where(finding, source), sentence(finding.message),
            sentence(because), evidence.line, finding.repairs, board, turn,
        )  # fmt: skip
        yield Note(finding, margin)


def _where(finding: Finding, source: Source) -> str:
    line, _ = source.line_column(finding.span.start)
    start_ms = finding.span.start_ms
    time = f" · {clock(start_ms)}" if start_ms is not None else ""
    return f"{finding.rule} · line {line}{time}"


# --- the text ---------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Line:
    """A line of the script with its number, its words ready for the page."""

    number: int
    words: Markup


@dataclass(frozen=True, slots=True)
class Row:
    """Lines that stand together, with the notes on them.

    `flows` if they are one paragraph broken by hand, which is set anew.
    """

    look: str
    flows: bool
    lines: tuple[Line, ...]
    notes: tuple[MarginNote, ...]
    figures: tuple[Engraving, ...]


def _figures(edition: Edition) -> dict[int, Engraving]:
    """The figures the lesson asks for, drawn, by their places; boards stand with the findings."""
    flipped = edition.lesson.front.taught == "Black"

    def draw(fen: str, imagined: bool) -> str:
        return board_svg(
            fen, flipped=flipped, imagined=imagined, dark=Dark.TINTED, shared=True, words=""
        )

    made = {}
    for block in set_out(edition.lesson).blocks:
        for plate in block.plates:
            if isinstance(plate, Drawing):
                place = plate.span.start
                record = edition.figures.get(place)
                made[place] = plate_of(plate, record, edition.lesson, draw)
    return made


def _rows(lesson: Lesson, notes: Sequence[Note], figures: dict[int, Engraving]) -> Iterator[Row]:
    source = lesson.script.source
    looks = _looks(lesson)
    styles = _styles(lesson)
    printer = _Printer(source, notes, styles)
    for first, last in _stretches(source):
        span = Span(source.line_span(first).start, source.line_span(last).end)
        mine = tuple(note.margin for note in printer.notes_up_to(span.end))
        lines = tuple(printer.line(number) for number in range(first, last + 1))
        look = looks(span)
        flows = look not in _AS_WRITTEN and _broken_by_hand(source, first, last)
        here = tuple(figure for place, figure in figures.items() if place in span)
        yield Row(look, flows, lines, mine, here)


_AS_WRITTEN = frozenset({"front", "code", "quote"})
HAND_BROKEN = 60
"""A line at least this long, with another below it, was broken to fit an editor's window."""


def _broken_by_hand(source: Source, first: int, last: int) -> bool:
    above = [source.words(source.line_span(number)) for number in range(first, last)]
    return bool(above) and all(len(line) >= HAND_BROKEN for line in above)


def _stretches(source: Source) -> Iterator[tuple[int, int]]:
    """First and last line of each stretch of lines between empty ones."""
    first = 0
    for number in range(1, source.lines + 1):
        empty = not source.words(source.line_span(number)).strip()
        if not empty and not first:
            first = number
        if empty and first:
            yield first, number - 1
            first = 0
    if first:
        yield first, source.lines


def _looks(lesson: Lesson) -> Callable[[Span], str]:
    """A function from a stretch of text to how it is set."""
    front_end = lesson.front.span.end
    starts = {block.span.start: block for block in lesson.script.blocks}
    notes = [b.span for b in lesson.script.blocks if b.kind is BlockKind.NOTE]
    code = {BlockKind.CODE, BlockKind.EXERCISE}
    fenced = [b.span for b in lesson.script.blocks if b.kind in code]
    headings = {
        lesson.script.source.line_column(start)[0]: block
        for start, block in starts.items()
        if block.kind is BlockKind.HEADING
    }

    def look(span: Span) -> str:
        if span.start < front_end:
            return "front"
        if any(span.start in private for private in notes):
            return "private"
        if any(span.start in block for block in fenced):
            return "code"
        heading = headings.get(lesson.script.source.line_column(span.start)[0])
        if heading:
            return f"heading h{min(heading.level, 4)}"
        return "quote" if lesson.script.source.text[span.start : span.start + 1] == ">" else ""

    return look


def _styles(lesson: Lesson) -> list[tuple[int, int, str]]:
    """Stretches of the text set apart: moves, and the addresses of links."""
    found: list[tuple[int, int, str]] = []

    def walk(inlines: Iterable[Inline]) -> None:
        for inline in inlines:
            if isinstance(inline, Move):
                found.append((inline.span.start, inline.span.end, "mv"))
            elif isinstance(inline, Link):
                walk(inline.children)
                end = inline.children[-1].span.end if inline.children else inline.span.start
                found.append((end, inline.span.end, "address"))

    for block in lesson.script.blocks:
        walk(block.inlines)
    return sorted(found)


class _Printer:
    """Prints lines of the script with the words of findings underlined and numbered."""

    def __init__(
        self, source: Source, notes: Sequence[Note], styles: list[tuple[int, int, str]]
    ) -> None:
        self.source = source
        self.notes = notes
        self.styles = styles
        self.next_note = 0
        self.next_style = 0
        self.upcoming = 0
        self.open: list[Note] = []

    def notes_up_to(self, end: int) -> Iterator[Note]:
        """The notes whose words begin at or before a place, each given once."""
        while self.next_note < len(self.notes):
            note = self.notes[self.next_note]
            if note.finding.span.start > end:
                return
            self.next_note += 1
            yield note

    def line(self, number: int) -> Line:
        """A line: segments between the places where a finding or a style begins or ends."""
        span = self.source.line_span(number)
        touching = self.touching(span)
        styles = self.styles_in(span)
        text = self.source.words(span)
        cuts = {span.start, span.end, span.end - len(text.lstrip())}
        for note in touching:
            cuts |= {max(_start(note), span.start), min(_end(note), span.end)}
        for start, end, _ in styles:
            cuts |= {max(start, span.start), min(end, span.end)}
        places = sorted(cuts)
        words = [self.segment(start, end, touching, styles) for start, end in pairwise(places)]
        words += [_number(n) for n in touching if span.end < _end(n) <= span.end + 1]
        return Line(number, Markup("").join(words))

    def touching(self, span: Span) -> list[Note]:
        """The notes with words on a line. Lines come in order, so that each note is met once."""
        while self.upcoming < len(self.notes) and _start(self.notes[self.upcoming]) <= span.end:
            self.open.append(self.notes[self.upcoming])
            self.upcoming += 1
        self.open = [note for note in self.open if _end(note) > span.start]
        return self.open

    def styles_in(self, span: Span) -> list[tuple[int, int, str]]:
        while self.next_style < len(self.styles) and self.styles[self.next_style][1] <= span.start:
            self.next_style += 1
        found = []
        for style in self.styles[self.next_style :]:
            if style[0] >= span.end:
                break
            if style[1] > span.start:
                found.append(style)
        return found

    def segment(
        self, start: int, end: int, notes: list[Note], styles: list[tuple[int, int, str]]
    ) -> Markup:
        words = escape(self.source.text[start:end])
        for left, right, style in styles:
            if left <= start and end <= right:
                words = Markup('<span class="{}">{}</span>').format(style, words)
        here = [note for note in notes if _start(note) <= start and end <= _end(note)]
        if here and words.strip():
            shown = min(here, key=lambda note: (_rank(note), _end(note) - _start(note)))
            long = _end(shown) - _start(shown) > 160
            words = noted_words(words, shown.number, shown.look, long, _start(shown) == start)
        closing = (_number(note) for note in notes if _end(note) == end)
        return words + Markup("").join(closing)


def _number(note: Note) -> Markup:
    return number_chip(note.number, note.look, note.look)


def _start(note: Note) -> int:
    return note.finding.span.start


def _end(note: Note) -> int:
    return max(note.finding.span.end, note.finding.span.start + 1)


def _rank(note: Note) -> int:
    return LOOKS.index(note.look)
