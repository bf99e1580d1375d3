"""The words of a heard talk as its proof sheet sets them, with moves, notes and times.

No word is lost: each stands in exactly one line, in the order of the talk, captions put right with
what stood there before.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from math import ceil

from markupsafe import Markup

from linewright.margin import LOOKS, MarginNote, noted_words, number_chip
from linewright.talk.decoder import Event, Kind
from linewright.talk.heard import CaptionChange, Heard, Said, Turn, line_text
from linewright.talk.record import when
from linewright.typography import printed

SHORTEST, LONG, LONGEST = 14, 30, 60
"""Words in a line of the sheet: at least, before it may end with a caption, and at most."""
PAUSE_MS = 2000
MOST_LINES = 8
"""Lines that stand together where nothing is noted."""


@dataclass(frozen=True, slots=True)
class Placed:
    """A note and the words it is about."""

    said: Said
    margin: MarginNote


@dataclass(frozen=True, slots=True)
class Line:
    """A line of the talk. `anchor` is its id, `time` when it begins."""

    anchor: str
    time: str
    words: Markup
    height: float
    """**Units**: rem, as far as it can be known before it is set."""


@dataclass(slots=True)
class Row:
    """Lines that stand together, with the notes on them; a heading has no time."""

    look: str = ""
    lines: list[Line] = field(default_factory=list)
    notes: list[MarginNote] = field(default_factory=list)
    room: float = 0.0


def move_label(heard: Heard, node: int) -> str:
    """A move of the talk with its number: "3…Bc5"."""
    ply = len(heard.line_to(node)) - 1
    return printed(line_text([heard.moves[node].san], ply))


def rows_of(heard: Heard, notes: Sequence[Placed]) -> list[Row]:
    """The whole talk in rows."""
    return list(_Setting(heard, notes).rows())


@dataclass(frozen=True, slots=True)
class _Atom:
    """Words that cannot be parted: one, or several that were put right together.

    `mark` is the punctuation after them.
    """

    first: int
    end: int
    words: Markup
    mark: str
    length: int


_Note = tuple[int, int, MarginNote]
"""The words a note is about, from the first to the one after the last, and the note."""


class _Setting:
    """Sets one talk, line by line."""

    def __init__(self, heard: Heard, notes: Sequence[Placed]) -> None:
        self.heard = heard
        self.words = heard.transcript.words
        self.atoms = list(_atoms(heard))
        self.starts = [atom.first for atom in self.atoms]
        self.notes: dict[int, list[_Note]] = {}
        self.turns: dict[int, list[Turn]] = {}
        self.moving: set[int] = set()
        self.cuts: set[int] = set()
        self._place(notes)
        self.moves = _Moves(heard)
        self.sounds = self._sounds()
        self.speaker = ""

    def _place(self, notes: Sequence[Placed]) -> None:
        """Files notes by each word they are about, turns by the word after them."""
        for note in notes:
            start, stop = self._whole_range(note.said.first, note.said.end)
            self.cuts |= {start, stop}
            for word in range(start, stop):
                self.notes.setdefault(word, []).append((start, stop, note.margin))
        for turn in self.heard.turns:
            start, stop = self._whole_range(*turn.phrase)
            self.cuts |= {start, stop}
            self.moving.update(range(start, stop))
            self.turns.setdefault(stop, []).append(turn)

    def _whole_range(self, first: int, end: int) -> tuple[int, int]:
        """The range widened to whole atoms."""
        one = self.atoms[bisect_right(self.starts, first) - 1]
        other = self.atoms[bisect_right(self.starts, max(first, end - 1)) - 1]
        return one.first, other.end

    def _sounds(self) -> dict[int, list[str]]:
        """Labels such as ``[music]`` by the word they stand before."""
        source = self.heard.transcript.source
        places = [word.span.start for word in self.words]
        found: dict[int, list[str]] = {}
        for span in self.heard.transcript.sounds:
            found.setdefault(bisect_left(places, span.start), []).append(source.words(span))
        return found

    # --- rows ---------------------------------------------------------------------------------

    def rows(self) -> Iterator[Row]:
        headings = list(self.heard.transcript.headings)
        row = Row()
        for first, end in self._stretches():
            while headings and headings[0].before_word <= first:
                yield from self._done(row)
                yield self._heading(headings.pop(0).title)
                row = Row()
            notes = self._beginning(first, end)
            if self._parts(row, first, notes):
                yield from self._done(row)
                row = Row()
            if not row.lines:
                self.moves.start_row()
            line = self._line(first, end)
            row.room += sum(_note_height(note) for note in notes) - line.height
            row.lines.append(line)
            row.notes.extend(notes)
        yield from self._done(row)
        yield from (self._heading(heading.title) for heading in headings)

    def _beginning(self, first: int, end: int) -> list[MarginNote]:
        """The notes whose words begin in a stretch."""
        return [
            margin
            for word in range(first, end)
            for start, _, margin in self.notes.get(word, ())
            if start == word
        ]

    def _done(self, row: Row) -> Iterator[Row]:
        if row.lines:
            yield row

    def _heading(self, title: str) -> Row:
        return Row("heading h2", [Line("", "", Markup("{}").format(title), 2.0)])

    def _parts(self, row: Row, first: int, notes: Sequence[MarginNote]) -> bool:
        """Whether a line begins a new row: lines stand beside notes as long as there is room."""
        if not row.lines:
            return False
        if notes or self._speaks(first):
            return True
        if row.notes:
            return row.room < 2
        return len(row.lines) >= MOST_LINES or self._turns_back(first)

    def _turns_back(self, first: int) -> bool:
        near = range(first + 1, first + SHORTEST)
        return any(t.event.kind is Kind.GOTO for end in near for t in self.turns.get(end, ()))

    # --- lines --------------------------------------------------------------------------------

    def _stretches(self) -> Iterator[tuple[int, int]]:
        """The first word of each line and the one after its last."""
        headings = {heading.before_word for heading in self.heard.transcript.headings}
        closed = self._closed()
        first = 0
        for end in range(1, len(self.words) + 1):
            here = end in headings or self._ends(first, end) or end == len(self.words)
            if here and end not in closed:
                yield first, end
                first = end

    def _closed(self) -> set[int]:
        """Places inside a move's words or inside words put right, where no line ends."""
        ranges = [turn.phrase for turn in self.heard.turns]
        ranges += [(atom.first, atom.end) for atom in self.atoms]
        return {k for start, end in ranges for k in range(start + 1, end)}

    def _ends(self, first: int, end: int) -> bool:
        count = end - first
        if end < len(self.words) and self._speaks(end):
            return True
        last = self.words[end - 1]
        if count >= SHORTEST and last.ends_sentence:
            return True
        if end == len(self.words) or count >= LONGEST:
            return True
        after = self.words[end]
        if count >= LONG and last.cue != after.cue:
            return True
        silent = last.end_ms is not None and after.start_ms is not None
        return silent and (after.start_ms or 0) - (last.end_ms or 0) >= PAUSE_MS

    def _speaks(self, word: int) -> bool:
        """Whether somebody is named as the speaker from this word on."""
        now = self.words[word].speaker
        return bool(now) and (word == 0 or now != self.words[word - 1].speaker)

    def _line(self, first: int, end: int) -> Line:
        at = when(Said(first, end, "", self.words[first].start_ms))
        atoms = self.atoms[bisect_left(self.starts, first) : bisect_left(self.starts, end)]
        parts = [self._spoken_by(first)]
        group: list[_Atom] = []
        for atom in atoms:
            if group and (atom.first in self.cuts or atom.first in self.sounds):
                parts.append(self._segment(group))
                group = []
            group.append(atom)
        parts.append(self._segment(group))
        parts.extend(self._sound(len(self.words)) if end == len(self.words) else ())
        words = Markup(" ").join(part for part in parts if part)
        return Line(f"l{first}", at, words, self._height(atoms))

    def _spoken_by(self, first: int) -> Markup:
        if not self._speaks(first) or self.words[first].speaker == self.speaker:
            return Markup("")
        self.speaker = self.words[first].speaker
        return Markup('<b class="speaker">{}</b>').format(self.speaker)

    def _height(self, atoms: Sequence[_Atom]) -> float:
        moves = sum(len(self.turns.get(atom.end, ())) for atom in atoms)
        return 1.8 * ceil((sum(atom.length for atom in atoms) + 7 * moves) / 66)

    def _segment(self, atoms: Sequence[_Atom]) -> Markup:
        """Words with the same notes on them, then what ends with them: numbers and moves."""
        first, end = atoms[0].first, atoms[-1].end
        mark = atoms[-1].mark
        words = Markup(" ").join(atom.words + atom.mark for atom in atoms[:-1])
        words += Markup(" " if words else "") + atoms[-1].words
        if first in self.moving:
            words = Markup('<span class="said">{}</span>').format(words)
        here = self.notes.get(first, [])
        if here:
            words = _underlined(words, here, first)
        closing = [number_chip(note.number, note.look, note.name.lower())
                   for _, stop, note in here if stop == end]  # fmt: skip
        turned = [self.moves.told(turn) for turn in self.turns.get(end, ())]
        parts = [*self._sound(first), words + Markup("").join(closing), *turned]
        return Markup(" ").join(part for part in parts if part) + mark

    def _sound(self, word: int) -> list[Markup]:
        sounds = self.sounds.get(word, [])
        return [Markup('<span class="sound">{}</span>').format(sound) for sound in sounds]


def _underlined(words: Markup, notes: Sequence[_Note], first: int) -> Markup:
    """Words as those of the gravest note on them; the other notes that begin there get a place."""
    shown = min(notes, key=lambda note: (LOOKS.index(note[2].look), note[1] - note[0]))
    places = [
        Markup('<span id="w{}"></span>').format(note.number)
        for start, _, note in notes
        if start == first and note is not shown[2]
    ]
    long = shown[1] - shown[0] > 25
    number, look = shown[2].number, shown[2].look
    return Markup("").join(places) + noted_words(words, number, look, long, shown[0] == first)


def _note_height(note: MarginNote) -> float:
    """About how high a note is, in rem."""
    lines = ceil(len(note.message) / 34) + ceil(len(note.because) / 34) + ceil(len(note.mend) / 34)
    text = 3.0 + 1.4 * (lines + len(note.to_copy) + bool(note.repairs))
    return max(text, 12.0) if note.board else text


def _atoms(heard: Heard) -> Iterator[_Atom]:
    """The words in order, those that are put right together with what stood there before."""
    words = heard.transcript.words
    changes = {change.said.first: (k, change) for k, change in enumerate(heard.caption_changes, 1)}
    index = 0
    while index < len(words):
        number, change = changes.get(index, (0, None))
        if change is not None:
            end = min(max(change.said.end, index + 1), len(words))
            yield _Atom(
                index, end, _changed(number, change), words[end - 1].mark,
                len(change.said.text) + len(change.now) + 2,
            )  # fmt: skip
            index = end
        else:
            word = words[index]
            length = len(word.text) + len(word.mark) + 1
            yield _Atom(index, index + 1, Markup("{}").format(word.text), word.mark, length)
            index += 1


def _changed(number: int, change: CaptionChange) -> Markup:
    words = '<del id="c{}">{}</del> <ins>{}</ins>'
    return Markup(words).format(number, change.said.text, change.now)


class _Moves:
    """Tells the moves in the order they are made, each with its words for how it is meant."""

    def __init__(self, heard: Heard) -> None:
        self.heard = heard
        self.here = 0
        self.kind = "shown"
        self.told_of: set[int] = set()

    def start_row(self) -> None:
        """Makes the next move say again how it is meant, unless the talk shows it."""
        if self.kind != "shown":
            self.kind = ""

    def told(self, turn: Turn) -> Markup:
        """What changes on the board: a going back, moves not said, the move."""
        event = turn.event
        if event.kind is Kind.GOTO:
            parts = [self._back(turn.node)]
        else:
            back = [] if event.base == self.here else [self._back(event.base)]
            parts = [*back, *self._kind(event), *self._played(event)]
        self.here = turn.node
        return Markup(" ").join(parts)

    def _back(self, node: int) -> Markup:
        place = move_label(self.heard, node) if node in self.heard.moves else "the start"
        return Markup('<span class="back">back to {}</span>').format(place)

    def _kind(self, event: Event) -> Iterator[Markup]:
        if event.mode.value != self.kind:
            self.kind = event.mode.value
            yield Markup('<span class="kind">{}</span>').format(self.kind)

    def _played(self, event: Event) -> Iterator[Markup]:
        new = event.made
        before = [node for node in self._above(new[0]) if node not in self.told_of]
        unsaid = {*before, *event.silent, *([event.node] if event.extra else [])}
        for node in (*before, *new):
            if node in self.heard.moves:
                self.told_of.add(node)
                yield self._move(node, node in unsaid, event.mode.value)

    def _above(self, node: int) -> list[int]:
        """The moves before a move, the first first."""
        found = []
        while node in self.heard.moves:
            node = self.heard.moves[node].parent
            found.append(node)
        return [node for node in found[::-1] if node in self.heard.moves]

    def _move(self, node: int, unsaid: bool, kind: str) -> Markup:
        label = move_label(self.heard, node)
        if unsaid:
            words = '<span class="san {} unsaid"><i>not said</i> {}</span>'
            return Markup(words).format(kind, label)
        return Markup('<span class="san {}">{}</span>').format(kind, label)
