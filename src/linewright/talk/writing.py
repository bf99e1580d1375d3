"""What a heard talk is written out as: a script, a slip list, corrected captions.

The spoken words are kept. A move that is named in full gives way to its notation; one that is only
hinted at keeps its words and gets the notation after them; one that was not said is put in with
a private note. Where the talk goes back, a heading sets the board.
"""

from __future__ import annotations

import re
from bisect import bisect_left, bisect_right
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import takewhile
from operator import itemgetter

import chess

from linewright.movewords import put_right_of
from linewright.talk.answers import is_answered, place_of
from linewright.talk.capitals import begun, capitals
from linewright.talk.decoder import Event, Kind, Mode
from linewright.talk.excursions import excursions
from linewright.talk.heard import (
    Heard,
    HeardSlip,
    Question,
    Said,
    Turn,
    WhatIf,
    line_text,
)
from linewright.talk.meant import meaning, place_meant
from linewright.talk.mends import names_meant
from linewright.talk.paragraphs import Layout, Told
from linewright.talk.read_first import ReadFirst, read_first
from linewright.talk.record import AS_SAID, ONLY_TALK, CaptionChange, when
from linewright.talk.replacing import core, replaced
from linewright.talk.results import result_of
from linewright.talk.said import Form
from linewright.talk.titles import title_of
from linewright.talk.vocabulary import ARTICLES, DIGITS, PERSONS, PIECES, TAKES, TO_A_SQUARE, WHO
from linewright.talk.written_answers import answer_lines, quoted

_OBJECTS = frozenset(
    "it this that them back again first too there off away up down out in over".split()
)
_JOINTS = frozenset(
    "and but then so because which where when if while after or who that's it's before since as"
    " for with although whereas is was of".split()
)
"""Words that open something new after a move."""

_OWN_TAIL = _OBJECTS | frozenset(
    "also here home check instead already anyway straight immediately quickly mine ours yours".split()
)
"""Words that may stand behind those of a move and still be about it."""
_HOW_FAR = frozenset("one two square squares step steps".split())
_STAND_FOR_MEN = frozenset("it this that them there".split())
"""Words that are no object behind a move whose square is named: they begin what follows."""
_DIRECTIONS = frozenset("in out up down back off away over".split())
_NEXT_SAYS = WHO | frozenset("it is was has have wants takes goes comes hits".split())
"""Words with which what stands behind a capture's object is a clause of its own."""
_CLAUSES = frozenset("and but then so now if".split())
_GO_ON = frozenset("then now".split())
"""Those that as often stand inside a clause: "and only then"."""
_TAUGHT = frozenset(
    "right main correct best proper normal usual normally usually critical theory modern".split()
)
"""Words that make no exception of the move they are said of."""
_REASONS = frozenset("because if otherwise since".split())
"""Words that open an explanation."""
_SUBJECTS = PERSONS - {"you"}
"""Words that begin a clause of their own."""
_BEFORE_ING = frozenset("without by before after for of from instead".split())
"""Words before a verb in "-ing": "castles without looking"."""
_LEADS = frozenset("as than like here there now".split())
"""Words that stand before the subject of a clause."""

_ASKS_FOR_A_MOVE = re.compile(
    r"\banswer\b|\b(?:find|guess|spot|look for|think of) (?:the|a|an|black's|white's|his|her|our|your)\b"
    r"|\bwho (?:knows|remembers|sees|finds|can|has)\b|\b(?:what|which)(?: [\w'’]+){0,4} moves?\b"
)

TAUGHT_WORDS = 12
"""So many words before a move may say that it is the one that is taught."""
REASON_WORDS = 12
"""So many words before a move may open its explanation."""
THEN_WITHIN = 3
"""So many words may stand between "and" and a "then" of the same clause."""
APART_WORDS = 60
"""An explanation whose moves are farther apart than this is closed between them."""

LEADING_WORDS = 60
"""So many words of a part without a move lead to the next."""
LEADING_SENTENCES = 3
"""So many sentences before a part may say that the talk goes elsewhere."""
_ORDER = "(?:first|second|third|fourth|fifth|last|final|other|next)"
_PART = (
    "(?:plan|chapter|line|way|idea|try|option|system|variation|possibility|part|choice|branch|move)"
)
_GOES_ELSEWHERE = re.compile(
    r"(?i)^(?:all right|right|okay|ok|well|fine|good|so|and now|now|one more(?: thing)?|next)[.!]?$"
    r"|\b(?:go|going|come|coming|take you) (?:straight |right |now )?back\b"
    r"|^(?:and now|so now|now|next|second|third|last|okay|right)\b(?:\W+[\w’']+){1,6}[.!:]?$"
    rf"|^(?:and |so |now |here )*(?:the|our|my|white's|black's) {_ORDER} {_PART}\b"
    r"|^(?:or|or else|alternatively|another)\b(?:\W+[\w’']+){1,4}[.!:]?$"
    r"|\bback (?:we go|to|up|at)\b|\brewind\b|\breturn to\b|^one more\b|^(?:the )?(?:second|third|next|last) thing\b"
)
"""Sentences that say that the talk goes elsewhere."""
_ASKS_OR_ADDRESSES = re.compile(
    r"(?i)[?][\"”’)]*$|^(?:and |so )?now for\b|^(?:very |a )*(?:good|nice|fair) question[.!]$"
    r"|^(?:yes|yeah|yep|please|go on|sorry),? [\w’']+[.!:]$"
)
"""Sentences that say nothing of a board: "Can I ask something?", "Yes, Nela.", "Now for the plan"."""
NAMED_PLIES = 2
"""Words that only name a man may be of a board so many moves back."""
SIDE_LINE_PLIES = 4
"""A line beside the main one that is shown for so many moves is a part of its own."""

_OPEN, _CLOSE = "(", ")"


def script_text(heard: Heard, answers: tuple[tuple[str, str], ...] = ()) -> str:
    """The talk as a script in the project's language.

    `answers` are the teacher's answers to earlier questions; they are kept in the front matter.
    """
    return _Writer(heard, answers).text()


def head_told(heard: Heard) -> dict[str, str]:
    """The lines of a head that the talk gives, by their keys: its title, whom it is for, who speaks
    and plays, and how the game ended."""
    players = heard.players_of_main_line()
    told = {
        "title": title_of(heard),
        "for": {"w": "White", "b": "Black"}.get(heard.me, ""),
        "teacher": heard.teacher,
        "club": heard.club,
        "white": players.get("w", ""),
        "black": players.get("b", ""),
        "result": result_of(heard),
    }
    return {
        key: f"{key}: {value if key == 'for' else quoted(value)}"
        for key, value in told.items()
        if value
    }


@dataclass(frozen=True, slots=True)
class _Aside:
    """A parenthesis: the move it explains, where it was opened, and the line there."""

    end: int
    here: int
    line: tuple[int, ...]


@dataclass(slots=True)
class _Writer:
    heard: Heard
    answers: tuple[tuple[str, str], ...]
    out: list[str] = field(default_factory=list)
    paragraph: list[Told] = field(default_factory=list)
    """The sentences since the last heading, or since the teacher's last paragraph."""
    opened: int | None = None
    """Where in `out` the last heading stands, while no move has been told below it."""
    looks_back: bool = False
    """Whether that part only names what might have been played: it leads nowhere."""
    here: int = 0
    ends: set[int] = field(default_factory=set)
    """The words behind those that tell moves."""
    shown: dict[int, None] = field(default_factory=dict)
    """The nodes a reader has been shown so far."""
    line: list[int] = field(default_factory=list)
    """The nodes of the line a reader of the script is on, the start first."""
    explained: dict[int, int] = field(default_factory=dict)
    """The moves that only explain the last move of a line: they stand in parentheses."""
    headings: set[str] = field(default_factory=set)
    """Those written so far."""
    capitals: dict[int, str] = field(default_factory=dict)
    """The words that have a capital where the talk is written without."""
    mended: int = 0
    """The words before this that are put right stand written already."""
    aside: _Aside | None = None
    """Where the parenthesis at hand was opened."""
    layout: Layout = field(init=False)
    lost: list[ReadFirst] = field(init=False)
    main: tuple[int, ...] = ()
    """The nodes of the line that is taught."""
    goes_on: dict[int, int] = field(init=False)
    """The move that each board is gone on from farthest."""
    begins: list[tuple[int, int]] = field(init=False)
    """Where the words of each turn begin, a sentence that ends inside them left out, with its
    number; in the order of the words."""
    changes: dict[int, CaptionChange] = field(init=False)
    """What stands for words of captions, and for names that the teacher mends, by their place."""
    boards: dict[int, WhatIf] = field(init=False)
    """The boards imagined, by the place of their words."""

    def __post_init__(self) -> None:
        self.layout = Layout(self.heard)
        self.lost = read_first(self.heard)
        self.main = self.heard.main_line()
        self.goes_on = self.heard.continuations()
        words = self.heard.transcript.words
        self.begins = sorted(
            (core(words, turn.phrase)[0], k) for k, turn in enumerate(self.heard.turns)
        )
        told = (*self.heard.caption_changes, *names_meant(self.heard))
        self.changes = {change.said.first: change for change in told}
        self.boards = {board.said.first: board for board in self.heard.what_if}

    def text(self) -> str:
        at = 0
        self.explained = {**excursions(self.heard, self.layout), **self._explanations()}
        self.capitals = capitals(self.heard)
        self._box()
        for first, last in self.layout.sentences():
            self._sentence(first, last)
            at = last
        self._close()
        assert at == len(self.heard.transcript.words)
        return self._front() + "\n\n".join(part for part in self.out if part) + "\n"

    def _explanations(self) -> dict[int, int]:
        """The moves that only explain the last one of a line, but those that a teacher confirmed.

        A game file has explanations in words alone; who answers that a move is made teaches it.
        """
        explained = self.heard.explanations()
        told = (turn for turn in self.heard.turns if turn.event.kind is Kind.PLAY)
        confirmed = {
            node
            for turn in told
            if turn.node in explained and is_answered(_said(turn), self.heard.answered)
            for node in self.heard.way_to(turn.node)
        }
        return {
            node: end
            for node, end in explained.items()
            if not any(n in confirmed and n in explained for n in self.heard.way_to(node))
        }

    def _front(self) -> str:
        talk = self.heard.transcript.source.name.rpartition("/")[2]
        kept = dict(self.heard.head)
        told = {**head_told(self.heard), "talk": f"talk: {quoted(talk)}", **kept}
        keys = [*_HEAD_FIRST, *(key for key in kept if key not in _HEAD_LAST), *_HEAD_LAST]
        lines = [told[key] for key in dict.fromkeys(keys) if told.get(key)]
        lines.extend(answer_lines(self.answers, self.heard.unread_answers))
        return "\n".join(["---", *lines, "---", "", ""])

    def _box(self) -> None:
        """The main line in a box before the talk, where another is told before it.

        The first continuation that a script shows is its main one; a box shows without speaking.
        """
        if not _leads_astray(self.heard, self.main):
            return
        moves = line_text([self.heard.moves[node].san for node in self.main])
        self.out.append(f"> **Main line.** {moves}")
        self.shown.update(dict.fromkeys(self.main))

    # --- sentences and paragraphs -------------------------------------------------------------

    def _sentence(self, first: int, last: int) -> None:
        turns = [turn for turn, _ in self._turns(first, last)]
        back = list(takewhile(lambda turn: turn.event.kind is Kind.GOTO, turns))
        turn = next(iter(back[-1:] or turns), None)  # of places named in a row the last is meant
        jump = self._jump(turn) if turn else None
        if turn and jump is not None:
            leading = self._leading()
            self._close()
            begins = leading[0].first if leading else first
            self._heading(jump, turn, apart=begins in self.layout.own)
            self.paragraph.extend(leading)
        elif (
            first in self.layout.own and self.aside is None
        ):  # a parenthesis ends with its paragraph
            self._close()
        notes = list(self._notes_on(first, last))
        text = self._words(first, last)
        before = self.heard.transcript.words[first - 1] if first else None
        opens = before is not None and before.ends_sentence
        goes_on = before is not None and (
            _SHORTENED.fullmatch(before.text) or before.mark.endswith(("...", "…"))
        )
        written = begun(text) if opens and not goes_on else text
        self.paragraph.append(Told(first, last, written, notes, self.aside is not None))

    def _turns(self, first: int, last: int) -> list[tuple[Turn, int]]:
        """The turns that begin among these words, in the order of the talk, and where they do."""
        place = itemgetter(0)
        low = bisect_left(self.begins, first, key=place)
        high = bisect_left(self.begins, last, low, key=place)
        inside = sorted((k, start) for start, k in self.begins[low:high])
        return [(self.heard.turns[k], start) for k, start in inside]

    def _leading(self) -> list[Told]:
        """The sentences at hand that say that the talk goes elsewhere, taken off: they begin a part.

        "All right. Go back to move three." In them no move is told. So do those of the teacher's
        own paragraph that only ask or address a pupil: "Yes, Nela?"
        """
        own = bool(self.paragraph) and self.paragraph[0].first in self.layout.own
        count, words = 0, 0
        for k, one in enumerate(reversed(self.paragraph[-LEADING_SENTENCES:]), 1):
            if self._turns(one.first, one.last) or one.open:
                break
            words += len(one.text.split())
            asks = _ASKS_OR_ADDRESSES.search(one.text) and not _OF_THE_BOARD.search(one.text)
            own = own and bool(asks or _GOES_ELSEWHERE.search(one.text))
            if (own or _GOES_ELSEWHERE.search(one.text)) and words <= LEADING_WORDS:
                count = k
        leading = self.paragraph[len(self.paragraph) - count :]
        del self.paragraph[len(self.paragraph) - count :]
        return leading

    def _notes_on(self, first: int, last: int) -> Iterator[str]:
        """Slips, questions and where to read first in these words, as private notes in their order.

        What is answered is decided: a slip whose move is known stands in the slip list alone.
        """
        asked = {q.said: q for q in self.heard.questions if first <= q.said.first < last}
        slips = [slip for slip in self.heard.slips if first <= slip.said.first < last]
        told = [slip for slip in slips if not is_answered(slip.said, self.heard.answered)]
        lost = [one for one in self.lost if first <= one.said.first < last]
        both: list[HeardSlip | Question | ReadFirst] = [*lost, *told, *asked.values()]
        for one in sorted(both, key=lambda one: one.said.first):
            if isinstance(one, ReadFirst):
                yield f"<!-- {_in_a_note(f'at {place_of(one.said)!r}: {one.text}')} -->"
            elif isinstance(one, Question):
                yield _question_note(one)
            else:
                yield _slip_note(one, asked=one.said in asked)

    def _close(self) -> None:
        """Writes what was told since the last heading, or the teacher's last paragraph."""
        for paragraph in self.layout.paragraphs(self.paragraph):
            text = " ".join(filter(None, (one.text for one in paragraph)))
            self.out.append(_stopped(begun(text)))
            self.out.extend(note for one in paragraph for note in one.notes)
        self.paragraph = []

    def _heading(self, node: int, turn: Turn, apart: bool = False) -> None:
        """Opens a part; a part before it in which no move was told is no part of its own.

        Its words lead to the next, if they are few: the heading stands above them. Those of what
        should have been played ("instead of c5 ...") lead nowhere; nor do those at a board that the
        next part does not begin at or behind, in a paragraph of the teacher's (`apart`).
        """
        place = len(self.out)
        leads_on = not apart or self.here in self._path(node)
        if self.opened is not None and leads_on:
            self.out[self.opened] = ""
            between = [part for part in self.out[self.opened + 1 :] if not part.startswith("<!--")]
            length = sum(len(part.split()) for part in between)
            if length <= LEADING_WORDS and not self.looks_back:
                place = self.opened
        cues = turn.event.phrase.cues
        self.opened, self.looks_back = place, bool(cues.instead_of and not cues.back)
        words = self._heading_words(node, turn)
        if words in self.headings:
            words = self._told_apart(words, node, turn)
        self.headings.add(words)
        self.out.insert(place, f"## {words}")
        if node == 0:
            self.here, self.line = 0, []
        else:
            self._stand(node)

    def _heading_words(self, node: int, turn: Turn) -> str:
        """The moves that set the board, then what is new there as a title: "3…d5 instead of exf4".

        The new move is set apart from its number, so that it is not played before it is said. No
        line is called an exception that the talk teaches, or may teach: "After 3.Bc4: 3…d6".
        """
        way = self._way_to(node) if node else ""
        pair = self._instead(node, turn)
        asked = pair is not None and self._is_asked(pair[0], turn)
        plainly = pair is not None and self._is_asked(pair[0], turn, plainly=True)
        if pair is not None and not plainly and self._is_exception(node, pair, turn):
            old = self.heard.moves[pair[1]].san.rstrip("+#")
            return f"{way}: {self._set_apart(pair[0])} instead of {old}".removeprefix(": ")
        if not node:
            return "From the start"
        retold = self._retold_to(node, turn)
        if retold is not None:
            return f"From {way} to {self._set_apart(retold)}"
        lead, _, last = way.rpartition(" ")  # those before the words set the board
        told = f"After {last}" if pair else f"Back to {last}"
        if pair and not asked:
            told += f": {self._set_apart(pair[0])}"
        return f"{lead}: {told}".removeprefix(": ")

    def _told_apart(self, words: str, node: int, turn: Turn) -> str:
        """A heading that stands above already, with the move that follows: "Back to 3.e3: 3…c5"."""
        new = self._next_made(turn)
        follows = new is not None and self.heard.moves[new].parent == node
        told = words.endswith(self._set_apart(new)) if new else True
        if new and follows and not told and not self._is_asked(new, turn):
            return f"{words}: {self._set_apart(new)}"
        return f"{words}, again"

    def _retold_to(self, node: int, turn: Turn) -> int | None:
        """The last move of a line that a sentence tells again from its first move on, if it does."""
        words, turns = self.heard.transcript.words, self.heard.turns
        at = turns.index(turn)
        if turn.event.kind is not Kind.GOTO or self.heard.moves[node].parent:
            return None
        last, told = node, {n for one in turns[:at] for n in one.event.made}
        for one in turns[at + 1 :]:
            between = words[turn.word : one.word]
            again = one.event.base == last and (last != node or one.node in told)
            if (
                one.event.kind is not Kind.PLAY
                or not again
                or any(w.ends_sentence for w in between)
            ):
                break
            last = one.node
        return None if last == node else last

    def _set_apart(self, new: int) -> str:
        """A move apart from its number, so that it is not played before it is said."""
        san = self.heard.moves[new].san
        number = self.heard.label(new)[: -len(san)].replace("...", "…")
        return f"{number}**{san.rstrip('+#')}**"

    def _next_made(self, turn: Turn) -> int | None:
        """The first move made from a turn on."""
        later = self.heard.turns[self.heard.turns.index(turn) :]
        made = (n for t in later if t.event.kind is Kind.PLAY for n in t.event.made)
        return next(made, None)

    def _instead(self, node: int, turn: Turn) -> tuple[int, int] | None:
        """The move that is new at a node, and the one of those told that the talk goes on from."""
        new = self._next_made(turn)
        if new is None or self.heard.moves[new].parent != node:
            return None
        before = self.heard.turns[: self.heard.turns.index(turn)]
        told = [n for t in before if t.event.kind is Kind.PLAY for n in t.event.made]
        ways = [n for n in told if self.heard.moves[n].parent == node]
        main = self.goes_on.get(node)
        old = main if main in ways else next(iter(ways), None)
        return None if old is None or new in told else (new, old)

    def _is_exception(self, node: int, pair: tuple[int, int], turn: Turn) -> bool:
        """Whether the new move at a node is plainly beside the one that is taught and was told."""
        new, old = pair
        if old != self.goes_on.get(node) or self.heard.moves[new].kind != "shown":
            return False
        made = next(t for t in self.heard.turns if new in t.event.made)
        first = max(0, turn.phrase[0] - TAUGHT_WORDS)
        words = self.heard.transcript.words[first : made.phrase[1]]
        return not any(word.text.lower() in _TAUGHT for word in words)

    def _is_asked(self, new: int, turn: Turn, plainly: bool = False) -> bool:
        """Whether the words that lead to a move ask for it: no heading gives the answer away.

        A question may name the move itself ("can't Black take?"); plainly it asks which one it is.
        """
        made = next(t for t in self.heard.turns if new in t.event.made)
        first = max(0, turn.phrase[0] - TAUGHT_WORDS)
        words = self.heard.transcript.words[first : made.phrase[0]]
        said = " ".join(word.text.lower() for word in words)
        questions = not plainly and any("?" in word.mark for word in words)
        return questions or bool(_ASKS_FOR_A_MOVE.search(said))

    def _jump(self, turn: Turn) -> int | None:
        """Where a heading must put the board before this turn, or None if none is needed."""
        event = turn.event
        base = event.node if event.kind is Kind.GOTO else event.base
        if self._begins_again(event):
            base = 0
        if (end := self.explained.get(turn.node)) is not None:
            if self.aside is not None and self.aside.end == end:
                return None
            base = end
        if base == self.here or self._only_names(event):
            return None
        if event.kind is Kind.PLAY and self._begins_side_line(event):
            return base
        if event.kind is Kind.PLAY and event.mode is not Mode.SHOWN and base in self.line:
            return None
        if event.kind is Kind.PLAY and base in self.line and self._steps(base) <= 4:
            return None
        if event.kind is Kind.PLAY and self._branches_here(base):
            return None
        return base

    def _begins_again(self, event: Event) -> bool:
        """Whether the words of a going back are the first move, told again with those behind it."""
        cues = event.phrase.cues
        retold = event.kind is Kind.GOTO and cues.start and cues.board_of
        return retold and event.node in self.heard.moves and not self.heard.moves[event.node].parent

    def _only_names(self, event: Event) -> bool:
        """Whether words name a man of a board just left, and do not say that the talk goes back."""
        cues = event.phrase.cues
        if event.kind is Kind.GOTO and not cues.back and self._says_again(event):
            return True
        says_so = cues.back or cues.after or cues.board_of or cues.start or cues.number
        return event.kind is Kind.GOTO and not says_so and self._steps(event.node) <= NAMED_PLIES

    def _names_other(self, event: Event) -> bool:
        """Whether words name the move that the last one is in the place of: "e3 instead of a4"."""
        last = self.heard.moves.get(self.here)
        named = event.phrase.cues.instead_of and last is not None
        return named and last is not None and last.parent == event.node

    def _says_again(self, event: Event) -> bool:
        """Whether a board just left is named to say the next move once more.

        "When the pawn comes to e5, you answer d5."
        """
        later = self.heard.turns[self._turn_of(event) + 1 :]
        again = bool(later) and later[0].event.kind is Kind.PLAY and later[0].node == self.here
        return again and self._steps(event.node) <= NAMED_PLIES

    def _begins_side_line(self, event: Event) -> bool:
        """Whether a move begins a line beside the main one that is shown for some moves."""
        seen = event.node in self.shown or event.node in self.main
        if seen or event.mode is not Mode.SHOWN or event.base not in self.line:
            return False
        later = self.heard.turns[self._turn_of(event) :]
        inside = takewhile(lambda turn: event.node in self._path(turn.node), later)
        told = [turn for turn in inside if turn.event.mode is Mode.SHOWN]
        return len(told) >= SIDE_LINE_PLIES

    def _turn_of(self, event: Event) -> int:
        return next(k for k, turn in enumerate(self.heard.turns) if turn.event is event)

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
        parts: list[str] = []
        index = first
        for turn, start in self._turns(first, last):
            end = turn.phrase[1]
            if start < index:
                continue
            clause = self._clause(index, start)
            end_explained = self.explained.get(turn.node)
            if end_explained is not None and self.aside is None:
                clause = self._reason(index, clause)
            parts.extend(self._plain_words(index, clause))
            parts.extend(self._parenthesis(end_explained))
            behind = index == start and parts and _NOTATION_ENDS.search(parts[-1])
            if behind and self._is_beside(turn.event):
                parts.append(self.heard.label(turn.event.base))
                self._stand(turn.event.base)
            parts.append(self._unsaid(turn.event))
            stop = self._next_turn(start, last)
            place = self._replaced(turn, (clause, stop))
            begin = min(start, place[0]) if place else start
            parts.extend(self._plain_words(clause, begin))
            tail = max(self._tail(turn.event, end, stop), place[1] if place else 0)
            self.ends.add(end)
            parts.append(self._turn(turn.event, (begin, tail), place))
            index = max(index, end, tail)
        ends = self.aside is not None and not self._goes_on_aside(last)
        if ends and last - index > REASON_WORDS:  # talk without stops has gone on since
            parts.extend(self._parenthesis(None))
        parts.extend(self._plain_words(index, last))
        if ends:
            parts.extend(self._parenthesis(None))
        return _joined(parts)

    def _is_beside(self, event: Event) -> bool:
        """Whether a move is made in the place of the last one: two in a row would be one slip."""
        last = self.heard.moves.get(self.here)
        return event.kind is Kind.PLAY and last is not None and 0 < event.base == last.parent

    def _parenthesis(self, end: int | None) -> list[str]:
        """What closes the parenthesis at hand, and opens one for what explains the move `end`.

        At the closing one a reader is back where it was opened.
        """
        out = []
        if self.aside is not None and self.aside.end != end:
            out.append(_CLOSE)
            self.here, self.line = self.aside.here, list(self.aside.line)
            self.aside = None
        if end is not None and self.aside is None:
            out.append(_OPEN)
            self.aside = _Aside(end, self.here, tuple(self.line))
        return out

    def _goes_on_aside(self, last: int) -> bool:
        """Whether the next move behind these words is of the explanation at hand, and soon."""
        later = next((turn for turn in self.heard.turns if turn.phrase[0] >= last), None)
        assert self.aside is not None
        return (
            later is not None
            and later.phrase[0] - last < APART_WORDS
            and self.explained.get(later.node) == self.aside.end
        )

    def _reason(self, first: int, clause: int) -> int:
        """Where the words begin that open an explanation: "because if he takes"."""
        words = self.heard.transcript.words
        reach = range(max(first, clause - REASON_WORDS), clause)
        reason = next((k for k in reach if words[k].text.lower() in _REASONS), None)
        if reason is not None or words[clause].text.lower() not in _GO_ON:
            return clause if reason is None else reason
        near = range(clause - 1, max(first, clause - THEN_WITHIN) - 1, -1)
        return next((k for k in near if words[k].text.lower() in _CLAUSES - _GO_ON), clause)

    def _plain_words(self, first: int, last: int) -> list[str]:
        """Words as said, with captions' errors put right, marks and what-if boards linked."""
        words = self.heard.transcript.words
        changes, links = self.changes, self.boards
        out: list[str] = []
        index = max(first, self.mended)
        while index < last:
            link, change = links.get(index), changes.get(index)
            if link is not None and link.said.end <= last and self._can_be_pictured(link):
                text = " ".join(self._linked_words(index, link.said.end))
                out.append(f"[{_escaped(text)}](?{link.edits})" + words[link.said.end - 1].mark)
                index = link.said.end
            elif change is not None:  # its last words may stand in the next sentence
                out.append(
                    _marked(self._worded(index, change.now), words[change.said.end - 1].mark)
                )
                index = self.mended = change.said.end
            else:
                out.append(_marked(self._worded(index, self._text(index)), words[index].mark))
                index += 1
        return out

    def _linked_words(self, first: int, last: int) -> Iterator[str]:
        """Words, captions' errors put right, with their marks but for that behind the last."""
        words, index = self.heard.transcript.words, first
        while index < last:
            change = self.changes.get(index)
            whole = change is not None and change.said.end <= last
            text = change.now if change and whole else self._text(index)
            index = change.said.end if change and whole else index + 1
            yield _marked(text, words[index - 1].mark) if index < last else text

    def _text(self, word: int) -> str:
        """A word as said, with a capital where one is due."""
        text = self.capitals.get(word, self.heard.transcript.words[word].text)
        return self._opening_quote(word) + text

    def _opening_quote(self, word: int) -> str:
        """The quotation mark that stands right before a word in the talk, where one closes later.

        The words of a transcript have only the marks behind them.
        """
        talk, start = (
            self.heard.transcript.source.text,
            self.heard.transcript.words[word].span.start,
        )
        mark = talk[start - 1 : start]
        apart = start < 2 or talk[start - 2].isspace() or talk[start - 2] in "(>"
        return mark if mark and mark in _QUOTES and apart else ""

    def _can_be_pictured(self, board: WhatIf) -> bool:
        """Whether the men that an imagined board does without stand on the reader's board."""
        gone = re.search("(?:^|&)remove=([^&]*)", board.edits)
        here = self.heard.board(self.here)
        squares = gone[1].split(",") if gone else []
        return all(here.piece_at(chess.parse_square(square)) for square in squares)

    def _worded(self, word: int, text: str) -> str:
        """A word as plain text; a square that the talk points at is a mark."""
        if not _SQUARE.fullmatch(text):
            return _escaped(text)
        if self._points_at(word):
            return f"[{text}](#{text})"
        return f"{_NO_MOVE} {text}" if self._stands_behind_a_move(word) else text

    def _points_at(self, word: int) -> bool:
        """Whether the class is told to look at a square: "look at f7", "this square, f7"."""
        before: list[str] = []
        for k in range(word - 1, max(word - POINTING_WORDS, 0) - 1, -1):
            told = self.heard.transcript.words[k]
            if told.ends_sentence:
                before.insert(0, ".")
                break
            before.insert(0, told.text.lower() + told.mark)
        else:
            before.insert(0, "." if word <= POINTING_WORDS else "…")
        return bool(_POINTS.search(" ".join(before)))

    def _stands_behind_a_move(self, word: int) -> bool:
        """Whether a square that is only talked about would be read as the next move."""
        words = self.heard.transcript.words
        placed = word > 0 and words[word - 1].text.lower() in TO_A_SQUARE
        return not placed and word in self.ends and not words[word - 1].mark

    def _next_turn(self, start: int, last: int) -> int:
        """Where the next change of the board begins, at most the end of the sentence."""
        later = bisect_right(self.begins, start, key=itemgetter(0))
        return min([last, *(begin for begin, _ in self.begins[later : later + 1])])

    def _tail(self, event: Event, end: int, stop: int) -> int:
        """How far the words of a move reach, so that its notation stands after "it" and "first"."""
        words = self.heard.transcript.words
        if end >= stop or words[end - 1].mark:
            return end
        if event.phrase.form is Form.CAPTURE and words[end].text.lower() in TAKES:
            return end + 1  # "bishop takes bishop takes": of two moves it is the other's verb
        unstopped = self.layout.unstopped
        for k in range(end, min(end + 5, stop)):
            if k > end and [word.text.lower() for word in words[k - 1 : k + 1]] == ["as", "well"]:
                return k + 1
            joint = k if self._names_another(k) else self._joint(end, k)
            if joint is not None:
                return self._own_tail(event, end, joint) if unstopped else joint
            if words[k].mark:
                return k + 1
        if unstopped:
            return self._own_tail(event, end, min(end + 5, stop))
        return end + 1 if words[end].text.lower() in _OBJECTS else end

    def _names_another(self, k: int) -> bool:
        """Whether the words from one on name the move that another takes the place of."""
        two = [word.text.lower() for word in self.heard.transcript.words[k : k + 2]]
        return two in (["instead", "of"], ["rather", "than"])

    def _joint(self, end: int, k: int) -> int | None:
        """Where the words of a move that ends before `end` stop, if the word at `k` opens something new."""
        words = self.heard.transcript.words
        text, before = words[k].text.lower(), words[k - 1].text.lower()
        taken = k == end and before in TAKES
        if k > end and text.endswith("ing") and before in _BEFORE_ING:
            return k - 1
        if text in _SUBJECTS or (text == "that" and not taken):
            return k - 1 if k > end and before in _LEADS else k
        return k if (text in _JOINTS and text != "as") or text.endswith("ing") else None

    def _own_tail(self, event: Event, end: int, stop: int) -> int:
        """How far the words before a joint are a move's own, where no stop parts the next from them.

        "Takes the pawn back again", but not "he wants to castle", nor "hits e4".
        """
        words = self.heard.transcript.words
        texts = [word.text.lower() for word in words[end:stop]]
        named = event.phrase.spec.says_target
        takes = not named and event.phrase.form in (Form.CAPTURE, Form.TRADE)
        goes_on = not _NEXT_SAYS.isdisjoint(texts) or any(text.endswith("'s") for text in texts)
        if takes and texts[:1] and texts[0] in ARTICLES and not goes_on:
            return stop
        may = _OWN_TAIL - _STAND_FOR_MEN if named else _OWN_TAIL
        if event.phrase.form is Form.VAGUE:
            may |= _HOW_FAR
        own = end + sum(1 for _ in takewhile(lambda text: text in may, texts))
        follows = words[own].text.lower() if own < len(words) else ""
        leads = own > end and words[own - 1].text.lower() in _DIRECTIONS
        return own - 1 if leads and follows in ARTICLES | {"of", "to", "into"} else own

    def _replaced(self, turn: Turn, reach: tuple[int, int]) -> tuple[int, int] | None:
        """The words that a move's notation takes the place of, or None."""
        words = self.heard.transcript.words
        if self._begins_again(turn.event):
            return core(words, turn.phrase)
        if turn.event.kind is not Kind.PLAY:
            return None
        move = self.heard.moves[turn.node]
        return replaced(words, (turn.phrase, turn.event), (move.san, move.uci), reach)

    def _turn(self, event: Event, said: tuple[int, int], place: tuple[int, int] | None) -> str:
        """What is said of a move, with its notation in its place or behind the words."""
        words = self.heard.transcript.words
        start, tail = said
        if place is not None:
            first, last = place
            self.ends.add(last)
            before = self._plain_words(start, first)
            notation = self._opening_quote(first) + self._notation(event)
            told = _marked(notation, words[last - 1].mark)
            return " ".join([*before, told, *self._plain_words(last, tail)])
        self.ends.add(tail)
        mark = words[tail - 1].mark
        spoken = " ".join(self._plain_words(start, tail))
        spoken = spoken[: len(spoken) - len(mark)] if mark else spoken
        if event.kind is Kind.GOTO:
            moves = event.node in self.heard.moves and self.here != event.node
            if moves and not self._only_names(event) and not self._names_other(event):
                way = self._way_to(event.node)
                self._stand(event.node)
                return f"{spoken} {_marked(way, mark)}"
            return spoken + mark
        return f"{spoken} {_marked(self._notation(event), mark)}"

    def _clause(self, first: int, start: int) -> int:
        """Where the clause begins in which a move is told."""
        words = self.heard.transcript.words
        return next(
            (
                k
                for k in range(start, first, -1)
                if words[k - 1].mark or words[k].text.lower() in _CLAUSES
            ),
            first,
        )

    def _unsaid(self, event: Event) -> str:
        """The moves made without a word before a move, in front of the clause that tells it."""
        if event.kind is Kind.GOTO:
            return ""
        again = self._again(event.base)
        if not event.silent:
            return again
        labels = [self.heard.label(node) for node in event.silent]
        for node in event.silent:
            self._step(node)
        return f"{again} {' '.join(labels)} <!-- not said: {', '.join(labels)} -->".lstrip()

    def _again(self, base: int) -> str:
        """The moves that bring a reader back to where a move is made, if its number does not."""
        if base == 0 or base in self.line:
            return ""
        way = self._way_to(base)
        self._stand(base)
        return way

    def _way_to(self, node: int) -> str:
        """A node's move, behind those before it where its number alone would lead elsewhere."""
        return " ".join(self.heard.label(n) for n in self._way_nodes(node))

    def _way_nodes(self, node: int) -> list[int]:
        """The fewest moves that lead a reader to a node, the node's own last."""
        path = self._path(node)[1:]
        found = (k for k in reversed(range(len(path))) if self._found_by_number(path[k], k + 1))
        return path[next(found, 0) :]

    def _found_by_number(self, node: int, ply: int) -> bool:
        """Whether a reader of the move with its number comes to this node and no other."""
        if node in self.line:
            return True
        moves, san = self.heard.moves, self.heard.moves[node].san
        if ply <= len(self.line):
            before = self.line[ply - 1]
            board = chess.Board(moves[before].fen) if before else chess.Board()
            try:
                board.parse_san(san)
            except ValueError:
                pass
            else:
                return before == moves[node].parent
        same = [n for n in self.shown if moves[n].san == san and len(self._path(n)) - 1 == ply]
        return same == [node]

    def _notation(self, event: Event) -> str:
        self.opened = None
        labels = [self.heard.label(node) for node in (*event.extra, event.node)]
        for node in (*event.extra, event.node):
            self._step(node)
        note = f" <!-- not said: {labels[-1]} -->" if event.extra else ""
        return " ".join(labels) + note

    def _step(self, node: int) -> None:
        self.shown[node] = None
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


_SQUARE = re.compile("[a-h][1-8]")

_SHORTENED = re.compile(r"(?:\w\.)*\w|etc|vs|mrs?|dr|st|resp", re.IGNORECASE)
"""Words whose stop shortens them and ends no sentence: "i.e."."""
_QUOTES = '"“‘„«'
_NO_MOVE = "<!-- named, not played -->"
"""What stands before a square behind a move, so that it is not played."""
POINTING_WORDS = 6
"""So many words before a square may point at it."""
_MAN = "|".join(form for piece in PIECES for form in (piece, f"{piece}s"))
_OF_THE_BOARD = re.compile(rf"(?i)\b(?:{_MAN}|[a-h](?:[1-8]| (?:{'|'.join(DIGITS)})))\b")
"""A man or a square."""
_CALLS = (
    "now|and|so|but|just|please|us|let's|then|here|again|first|second|third|always|also|i|we|you"
    "|okay|ok|right|well|everybody|everyone"
)
"""Words before one that points, where the class is meant and not the men: "three men look at d4"."""
_POINTS = re.compile(
    rf"(?:[.,;:] |\b(?:{_CALLS}) )(?:look|watch|notice|mind)(?: again| closely)?"
    r"(?: at| out for)?(?: (?:the|that|this|these|his|our|my|your|her|its))?"
    rf"(?: (?:square|point|weak)| (?:{_MAN}) (?:on|at))?[,:]?$"
    r"|\b(?:this|that) (?:weak |lovely |important )?(?:square|point)(?: here| on| called)?[,:]?$"
)
"""Words that point at the square behind them."""

_ENDS = re.compile(
    r"(?P<stop>[.!?…:][\"”’)]*)?(?P<comma>[,;])?(?P<notes>(?:\s*<!--.*?-->)*)$", re.DOTALL
)


def _stopped(text: str) -> str:
    """A paragraph with a stop at its end, in front of notes.

    >>> _stopped("and 12.Kd2 <!-- not said: 12.Kd2 -->"), _stopped("well,"), _stopped("What now?")
    ('and 12.Kd2. <!-- not said: 12.Kd2 -->', 'well.', 'What now?')
    """
    end = _ENDS.search(text)
    if end is None or end["stop"]:
        return text
    return f"{text[: end.start()]}.{end['notes']}"


def _joined(parts: list[str]) -> str:
    """Parts of a sentence with spaces between them, none inside parentheses.

    Marks stand as in print: none before a parenthesis, the stop of a sentence that goes on from
    before it behind it.

    >>> _joined(["Here", "12.Rd1,", "(", "because", "12...exd5", "loses.", ")"])
    'Here 12.Rd1 (because 12...exd5 loses).'
    >>> _joined(["(", "If", "12...exd5,", "13.Rxd5.", ")"])
    '(If 12...exd5, 13.Rxd5.)'
    """
    out, opened, inside = "", True, False
    for part in filter(None, parts):
        if part == _OPEN:
            inside = bool(out)
            out = out.removesuffix(",")
        out += part if opened or part == _CLOSE else f" {part}"
        if part == _CLOSE and inside and out[-2:-1] in (".", "!", "?"):
            out = f"{out[:-2]}){out[-2]}"
        opened = part == _OPEN
    return out


def _marked(text: str, mark: str) -> str:
    """Words with the mark behind them; a question's stands apart from a move's notation.

    "Kxd2?" would be a verdict on the move, where a speaker only asks. A private note does not come
    between a word and its mark.
    """
    said, note, rest = text.partition(" <!--")
    if note and mark[:1] != "?":
        return f"{said}{mark}{note}{rest}"
    apart = mark[:1] == "?" and _NOTATION_ENDS.search(text)
    return f"{text} {mark}" if apart else text + mark


_NOTATION_ENDS = re.compile(
    r"(?<![\w/])(?:(?:\d+\.+)(?:[a-h]x)?[a-h][1-8]|[a-h]x[a-h][1-8]|(?:\d+\.+)?O-O(?:-O)?"
    r"|(?:\d+\.+)?[KQRBN][a-h]?[1-8]?x?[a-h][1-8])(?:=[QRBN])?[+#]?(?: <!--[^>]*-->)?$"
)
"""Words that a script's reader takes for a move; a square alone is a word."""


def _leads_astray(heard: Heard, main: tuple[int, ...]) -> bool:
    """Whether another line than the main one is told first somewhere on its way."""
    firsts: dict[int, int] = {}
    for node, move in heard.moves.items():
        firsts.setdefault(move.parent, node)
    return any(firsts[heard.moves[node].parent] != node for node in main)


_HEAD_FIRST = ("title", "talk", "for", "teacher", "club")
_HEAD_LAST = ("white", "black", "result")


def _said(turn: Turn) -> Said:
    """The words of a turn by their places alone."""
    return Said(*turn.phrase, "", None)


def _question_note(question: Question) -> str:
    place = place_of(question.said)
    before = f"nobody said {question.unsaid}; " if question.unsaid else ""
    move = next(choice for choice in question.choices if choice != ONLY_TALK)
    told = (
        f"question at {place!r}: {before}is it {question.offer}? To answer, put"
        f' {_UNDER_ANSWERS}: {quoted(place)}: "{move}" (or another move in SAN, or'
        f' "{ONLY_TALK}")'
    )
    return f"<!-- {_in_a_note(told)} -->"


_UNDER_ANSWERS = "under answers in the head of this script"


def _slip_note(slip: HeardSlip, asked: bool) -> str:
    """A slip as a private note; if its words are `asked` about too, the question says how to answer."""
    place = place_of(slip.said)
    name = "perhaps a slip" if slip.sure < PERHAPS_BELOW else "slip"
    told = f"{name} at {place!r} ({round(100 * slip.sure)} % sure): {slip.stood}; {mend(slip)}"
    if not asked:
        told += f". {_how_to_answer(slip, place)}"
    return f"<!-- {_in_a_note(told)} -->"


def _how_to_answer(slip: HeardSlip, place: str) -> str:
    """How it is answered that something else was meant, or nothing else."""
    if _is_of_a_move(slip):
        return (
            f'If it was another move, put {_UNDER_ANSWERS}: {quoted(place)}: "the move in SAN"'
            f' (or "{ONLY_TALK}")'
        )
    mended = f"{slip.said.text} [means {meaning(slip)}]"
    return (
        f"If it is one, write in the talk {quoted(mended)} and hear it again, and the script says it"
        f' so; if it is none, put {_UNDER_ANSWERS}: {quoted(place)}: "{ONLY_TALK}"'
    )


def _in_a_note(text: str) -> str:
    """Text on one line that does not end the comment it stands in."""
    return " ".join(text.replace("-->", "→").split())


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
        rest = source.text[end:].partition("\n")[0]
        new = _in_place(source.text[start:end], change.now, alone=not rest.strip(_MARKS))
        at = end + ("-->" in new and source.text.startswith(" ", end))
        if new.endswith("\n") and "-->" not in new:  # what marks follow stay behind the word
            marks = re.compile(r"([.,;:!?…]*) ?").match(source.text, end)
            assert marks is not None
            new, at = f"{new[:-1]}{marks[1]}\n", marks.end()
        out.append(new)
    out.append(source.text[at:])
    return "".join(out)


_MARKS = " .,;:!?…"

_NEXT_CUE = re.compile(r"(?s)\s*?\n\s*\n.*-->[^\n]*\n(?:\s*<[^>]*>)*")
"""What stands between two words in two cues, up to the words of the second."""


def _in_place(old: str, new: str, alone: bool) -> str:
    """The new words with the line break, if the old ones had one.

    Of words in two cues the new ones stand in the first; `alone` says that the second has no others,
    and then they share them if they can, as no cue may be left empty.
    """
    if "-->" in old:
        between = _NEXT_CUE.search(old)
        first, _, last = new.rpartition(" ")
        if between is None or (alone and not first):
            return old
        return f"{first}{between[0]}{last}" if alone else f"{new}{between[0]}"
    if "\n" not in old:
        return new
    parts = new.split(" ")
    return "\n".join([" ".join(parts[:-1]), parts[-1]]) if len(parts) > 1 else new + "\n"


def changes_table(heard: Heard) -> str:
    """The changes to the captions, a line each, and how one is refused."""
    if not heard.caption_changes:
        return "No word was changed.\n"
    rows = ["| time | was | now |", "|---|---|---|"]
    rows.extend(
        f"| {when(c.said)} | {_cell(c.said.text)} | {_cell(c.now)} |" for c in heard.caption_changes
    )
    refusal = how_to_refuse(heard)
    return "\n".join([*rows, *(["", f"{refusal}."] if refusal else [])]) + "\n"


def how_to_refuse(heard: Heard) -> str:
    """How a correction is refused, told of the first; empty where there is none."""
    if not heard.caption_changes:
        return ""
    place = place_of(heard.caption_changes[0].said)
    return (
        "To refuse one, put under answers in the head of the script its time and words:"
        f" {quoted(place)}: {quoted(AS_SAID)}"
    )


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
            f"| {when(slip.said)} | {_cell(slip.said.text)} | {_cell(slip.stood)} | {meaning(slip)}"
            f" | {round(100 * slip.sure)} % | {_cell(_mend_in(heard, slip))} |"
        )
    return "\n".join(rows) + "\n"


def _mend_in(heard: Heard, slip: HeardSlip) -> str:
    """How a slip may be mended, its words too where the teacher has answered which move it was.

    Script and captions keep them as said, beside the right move.
    """
    told = mend(slip)
    if slip.put_right or not is_answered(slip.said, heard.answered):
        return told
    board = slip.board()
    try:
        right = put_right_of(slip.said.text, board, board.parse_san(slip.meant))
    except ValueError:
        return told
    mended = f"{slip.said.text} [means {right}]"
    words = f"; for the words in the script, write in the talk {quoted(mended)} and hear it again"
    return told + words if right else told


PERHAPS_BELOW = 0.5
"""A slip less sure than this is told as a perhaps."""

LOOK_FIRST_BELOW = 0.6
"""Below this nobody should mend a slip before looking at it."""


def mend(slip: HeardSlip) -> str:
    """How a slip may be mended."""
    if slip.put_right:
        return "nothing to mend, you did so yourself"
    if slip.sure < LOOK_FIRST_BELOW:
        return "look at it first: it may be right as said"
    if slip.said.at_ms is None:  # nothing is shown on screen of a talk without times
        return f'say it again: "{meaning(slip)}"'
    return f'say it again, or put a note on screen at {when(slip.said)}: "{meaning(slip)}"'


def _is_of_a_move(slip: HeardSlip) -> bool:
    """Whether a slip is in the words of a move, not in what stands where or whose it is."""
    board = slip.board()
    try:
        board.parse_san(slip.meant)
    except ValueError:
        return False
    return not place_meant(slip, board)


def _cell(text: str) -> str:
    return text.replace("|", "\\|").replace("\n", " ")
