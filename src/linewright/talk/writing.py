"""What a heard talk is written out as: a script, a slip list, corrected captions.

The spoken words are kept. A move that is named in full gives way to its notation; one that is only
hinted at keeps its words and gets the notation after them; one that was not said is put in with
a private note. Where the talk goes back, a heading sets the board.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field

from linewright.clock import clock
from linewright.names import find_names
from linewright.talk.decoder import Event, Kind, Mode
from linewright.talk.heard import Heard, HeardMove, HeardSlip, Question, Said
from linewright.talk.said import Form
from linewright.talk.vocabulary import TAKES

_ARTICLES = frozenset("the a an his her my our your this that their".split())
_OBJECTS = frozenset("it this that them back again first too there".split())
_JOINTS = frozenset(
    "and but then so because which where when if while after or who that's it's before since as"
    " for with although whereas is was of".split()
)
"""Words that open something new after a move."""

PARAGRAPH_WORDS = 90
PAUSE_S = 2.0


def place_of(said: Said) -> str:
    """How a place in the talk is written in the script's `answers`."""
    when = f"word {said.first + 1}" if said.at_ms is None else clock(said.at_ms)
    return f"{when} {_plain(said.text)}"


def _plain(text: str) -> str:
    return re.sub(r"[^\w\s'-]", "", text.lower()).strip()


def script_text(heard: Heard, answers: tuple[tuple[str, str], ...] = ()) -> str:
    """The talk as a script in the project's language.

    `answers` are the teacher's answers to earlier questions; they are kept in the front matter.
    """
    return _Writer(heard, answers).text()


@dataclass(slots=True)
class _Writer:
    heard: Heard
    answers: tuple[tuple[str, str], ...]
    out: list[str] = field(default_factory=list)
    paragraph: list[str] = field(default_factory=list)
    here: int = 0
    line: list[int] = field(default_factory=list)
    """The nodes of the line a reader of the script is on, the start first."""

    def text(self) -> str:
        at = 0
        for first, last in self._sentences():
            self._sentence(first, last)
            at = last
        self._close()
        assert at == len(self.heard.transcript.words)
        return self._front() + "\n\n".join(part for part in self.out if part) + "\n"

    def _front(self) -> str:
        lines = ["---", f"title: {_quoted(self._title())}"]
        taught = {"w": "White", "b": "Black"}.get(self.heard.me)
        if taught:
            lines.append(f"for: {taught}")
        if self.answers:
            lines.append("answers:")
            lines.extend(f"  {_quoted(place)}: {_quoted(move)}" for place, move in self.answers)
        return "\n".join([*lines, "---", "", ""])

    def _title(self) -> str:
        headings = self.heard.transcript.headings
        if headings:
            return headings[0].title
        name = self.heard.transcript.source.name
        opening = next((n for n in find_names(self.heard.transcript.text) if n.certain), None)
        if opening is not None:
            return opening.words[:1].upper() + opening.words[1:]
        return name.rpartition(".")[0] or name

    # --- sentences and paragraphs -------------------------------------------------------------

    def _sentences(self) -> Iterator[tuple[int, int]]:
        """Runs of words up to a full stop, a long pause or enough words."""
        words = self.heard.transcript.words
        first = 0
        for index, word in enumerate(words):
            ends = word.ends_sentence or index + 1 == len(words)
            pause = False
            if (
                index + 1 < len(words)
                and word.end_ms is not None
                and words[index + 1].start_ms is not None
            ):
                pause = words[index + 1].start_ms - word.end_ms >= PAUSE_S * 1000  # type: ignore[operator]
            if ends or (pause and not self._inside_phrase(index + 1)):
                yield first, index + 1
                first = index + 1

    def _inside_phrase(self, word: int) -> bool:
        return any(turn.phrase[0] < word < turn.phrase[1] for turn in self.heard.turns)

    def _sentence(self, first: int, last: int) -> None:
        turns = [t for t in self.heard.turns if first <= t.phrase[0] < last]
        jump = self._jump(turns[0].event) if turns else None
        if jump is not None:
            self._close()
            self._heading(jump)
        notes = [q for q in self.heard.questions if first <= q.said.first < last]
        for question in notes:
            self._close()
            self.out.append(_question_note(question))
        self.paragraph.append(self._words(first, last))
        if sum(len(part.split()) for part in self.paragraph) >= PARAGRAPH_WORDS:
            self._close()

    def _close(self) -> None:
        if self.paragraph:
            self.out.append(" ".join(part for part in self.paragraph if part))
            self.paragraph = []

    def _heading(self, node: int) -> None:
        if node == 0:
            self.out.append("## From the start")
            self.here, self.line = 0, []
            return
        self.out.append(f"## Back to {self._label(node)}")
        self._stand(node)

    def _jump(self, event: Event) -> int | None:
        """Where a heading must put the board before this event, or None if none is needed."""
        base = event.node if event.kind is Kind.GOTO else event.base
        if base == self.here:
            return None
        if event.kind is Kind.PLAY and event.mode is not Mode.SHOWN and base in self.line:
            return None
        if event.kind is Kind.PLAY and base in self.line and self._steps(base) <= 4:
            return None
        if event.kind is Kind.PLAY and self._branches_here(base):
            return None
        return base

    def _branches_here(self, base: int) -> bool:
        """Whether the numbered move itself leads the reader back: its line is the one at hand."""
        return (
            base in self.line
            and self.here in self.heard.moves
            and (self.heard.moves[self.here].kind != "shown")
        )

    def _steps(self, base: int) -> int:
        return len(self.line) - 1 - self.line.index(base) if base in self.line else 99

    def _stand(self, node: int) -> None:
        self.here = node
        if node not in self.line:
            self.line = self._path(node)

    def _path(self, node: int) -> list[int]:
        path = []
        while node in self.heard.moves:
            path.append(node)
            node = self.heard.moves[node].parent
        return [0, *path[::-1]]

    # --- words --------------------------------------------------------------------------------

    def _words(self, first: int, last: int) -> str:
        words = self.heard.transcript.words
        parts: list[str] = []
        index = first
        for turn in self.heard.turns:
            start, end = turn.phrase
            if not index <= start < last:
                continue
            parts.extend(self._plain_words(index, start))
            tail = self._tail(end, self._next_turn(start, last))
            parts.append(self._turn(turn.event, start, end, tail))
            index = max(index, end, tail)
        parts.extend(self._plain_words(index, last))
        text = " ".join(part for part in parts if part)
        if words[last - 1].mark == "" and last == len(words):
            text += "."
        return text

    def _plain_words(self, first: int, last: int) -> list[str]:
        """Words as said, with captions' errors put right, marks and what-if boards linked."""
        words = self.heard.transcript.words
        changes = {c.said.first: c for c in self.heard.caption_changes}
        links = {w.said.first: w for w in self.heard.what_if}
        out: list[str] = []
        index = first
        while index < last:
            link, change = links.get(index), changes.get(index)
            if link is not None and link.said.end <= last:
                text = " ".join(words[k].text for k in range(index, link.said.end))
                out.append(f"[{_escaped(text)}](?{link.edits})" + words[link.said.end - 1].mark)
                index = link.said.end
            elif change is not None and change.said.end <= last:
                out.append(_escaped(change.now) + words[change.said.end - 1].mark)
                index = change.said.end
            else:
                out.append(_escaped(words[index].text) + words[index].mark)
                index += 1
        return out

    def _next_turn(self, start: int, last: int) -> int:
        """Where the next change of the board begins, at most the end of the sentence."""
        later = [turn.phrase[0] for turn in self.heard.turns if turn.phrase[0] > start]
        return min([last, *later])

    def _tail(self, end: int, stop: int) -> int:
        """How far the words of a move reach, so that its notation stands after "it" and "first"."""
        words = self.heard.transcript.words
        if end >= stop or words[end - 1].mark:
            return end
        for k in range(end, min(end + 5, stop)):
            text = words[k].text.lower()
            if k > end and words[k - 1].text.lower() == "as" and text == "well":
                return k + 1
            if (text in _JOINTS and text != "as") or text.endswith("ing"):
                return k
            if words[k].mark:
                return k + 1
        return end + 1 if words[end].text.lower() in _OBJECTS else end

    def _turn(self, event: Event, start: int, end: int, tail: int) -> str:
        words = self.heard.transcript.words
        if event.kind is not Kind.GOTO and self._replaces(event, start):
            rest = self._plain_words(end, tail)
            return " ".join([self._notation(event) + words[end - 1].mark, *rest])
        mark = words[tail - 1].mark
        spoken = " ".join(self._plain_words(start, tail))
        spoken = spoken[: len(spoken) - len(mark)] if mark else spoken
        if event.kind is Kind.GOTO:
            if event.node in self.heard.moves and self.here != event.node:
                self._stand(event.node)
                return f"{spoken} {self._label(event.node)}{mark}"
            return spoken + mark
        return f"{spoken} {self._notation(event)}{mark}"

    def _replaces(self, event: Event, start: int) -> bool:
        """Whether the notation says all the words said."""
        words = self.heard.transcript.words
        if event.silent or event.extra or (start and words[start - 1].text.lower() in _ARTICLES):
            return False
        form, spec = event.phrase.form, event.phrase.spec
        if form is Form.CAPTURE:
            if words[start].text.lower() in TAKES:
                return False  # "White takes on d4 with the knight"
            return spec.full and bool(spec.pieces or spec.from_square is not None)
        if form is Form.FULL:
            return bool(spec.pieces) and not event.phrase.verb
        return form in (Form.SQUARE, Form.NOTATION)

    def _notation(self, event: Event) -> str:
        nodes = [*event.silent, *event.extra, event.node]
        unsaid = [self._label(node) for node in event.silent]
        if len(event.extra):
            unsaid.append(self._label(event.node))
        parts = []
        for node in nodes:
            parts.append(self._label(node))
            self._step(node)
        text = " ".join(parts)
        note = f" <!-- not said: {', '.join(unsaid)} -->" if unsaid else ""
        return text + note

    def _step(self, node: int) -> None:
        parent = self.heard.moves[node].parent
        if node in self.line:
            self.here = node
            return
        if self.line and parent in self.line:
            self.line = self.line[: self.line.index(parent) + 1]
        else:
            self.line = self._path(parent)
        self.line.append(node)
        self.here = node

    def _label(self, node: int) -> str:
        move = self.heard.moves[node]
        parts = move.fen.split()
        white_moved = parts[1] == "b"
        number = int(parts[5]) if white_moved else int(parts[5]) - 1
        return f"{number}{'.' if white_moved else '...'}{move.san}"


def _question_note(question: Question) -> str:
    choices = ", or ".join(question.choices)
    place = place_of(question.said)
    return (
        f"<!-- question at {place!r}: is it {choices}? To answer, put under answers in the head"
        f" of this script: {_quoted(place)}: the move (or: only talk) -->"
    )


def _quoted(text: str) -> str:
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'


def _escaped(text: str) -> str:
    """Words of the talk as plain CommonMark text."""
    return re.sub(r"([\\`*_\[\]<>#])", r"\\\1", text)


# --- captions ----------------------------------------------------------------------------------


def corrected_captions(heard: Heard) -> str:
    """The transcript's file with the corrected words in it; everything else is untouched."""
    source = heard.transcript.source
    words = heard.transcript.words
    out: list[str] = []
    at = 0
    for change in sorted(heard.caption_changes, key=lambda c: c.said.first):
        start = words[change.said.first].span.start
        end = words[change.said.end - 1].span.end
        if start < at:
            continue
        out.append(source.text[at:start])
        out.append(_in_place(source.text[start:end], change.now))
        at = end
    out.append(source.text[at:])
    return "".join(out)


def _in_place(old: str, new: str) -> str:
    """The new words with the line break, if the old ones had one."""
    if "\n" not in old or "-->" in old:
        return new if "-->" not in old else old
    parts = new.split(" ")
    return "\n".join([" ".join(parts[:-1]), parts[-1]]) if len(parts) > 1 else new + "\n"


def changes_table(heard: Heard) -> str:
    """The changes to the captions, a line each."""
    rows = ["| time | was | now |", "|---|---|---|"]
    rows.extend(
        f"| {_when(c.said)} | {_cell(c.said.text)} | {_cell(c.now)} |"
        for c in heard.caption_changes
    )
    return "\n".join(rows) + "\n"


def slip_list(heard: Heard) -> str:
    """The slips with how to mend them, as a table."""
    if not heard.slips:
        return "No slip was found.\n"
    rows = [
        "| time | said | what stood on the board | meant | sure | how to mend it |",
        "|---|---|---|---|---|---|",
    ]
    for slip in heard.slips:
        rows.append(
            f"| {_when(slip.said)} | {_cell(slip.said.text)} | {_cell(slip.stood)} | {slip.meant}"
            f" | {round(100 * slip.sure)} % | {_cell(mend(slip))} |"
        )
    return "\n".join(rows) + "\n"


def mend(slip: HeardSlip) -> str:
    """How a slip may be mended."""
    if slip.sure < 0.6:
        return "look at it first: it may be right as said"
    return f'say it again, or put a note on screen at {_when(slip.said)}: "{slip.meant}"'


def _when(said: Said) -> str:
    return f"word {said.first + 1}" if said.at_ms is None else clock(said.at_ms)


def _cell(text: str) -> str:
    return text.replace("|", "\\|").replace("\n", " ")


def moves_said(heard: Heard) -> Iterator[HeardMove]:
    """The moves with words, in the order of the talk."""
    for turn in heard.turns:
        if turn.event.kind is Kind.PLAY:
            yield heard.moves[turn.node]
