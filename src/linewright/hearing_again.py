"""A talk heard again: which of its places are heard otherwise than at the hearing before.

A hearing leaves a record of what it heard in the proof sheet, which the next one reads. A teacher
who answers one question need not read everything again: what else has changed is told, each change
once, with the moves behind it counted.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from hashlib import sha256

import chess
from rapidfuzz.distance import Indel

from linewright.talk.answers import place_of
from linewright.talk.decoder import Kind
from linewright.talk.heard import Heard, Said, line_text
from linewright.talk.record import ONLY_TALK, when
from linewright.talk.transcript import Word
from linewright.talk.written_answers import quoted

MOST_ON_TERMINAL = 12
"""More places that are heard otherwise are left to the proof sheet."""

NEAR_WORDS = 12
"""Words that may tell one move, the ones at one hearing and the others at the next, are no farther
apart."""

LEAST_SHARED = 0.5
"""A talk that shares fewer of its words with the one before is another talk."""


@dataclass(frozen=True, slots=True)
class Told:
    """Words that changed the board: the first and the one after the last, and the board after them.

    `unsaid` are so many moves before them without words, `moves` so many told by them, none where
    they go back.
    """

    first: int
    end: int
    node: int
    unsaid: int
    moves: int


@dataclass(frozen=True, slots=True)
class HeardBefore:
    """What one hearing heard. A board is the number of the move to it, from 1; 0 is the start."""

    words: tuple[str, ...]
    moves: tuple[tuple[int, str, str], ...]
    """The board before each move, the move and its kind."""
    told: tuple[Told, ...]
    answers: tuple[tuple[int, int, str], ...]
    """The words that are answered or mended, half open, and what they are said to be."""

    @classmethod
    def of(cls, heard: Heard) -> HeardBefore:
        """The record of a hearing."""
        numbers = {0: 0}
        for node in sorted(heard.moves, key=lambda node: len(heard.way_to(node))):
            numbers[node] = len(numbers)
        kept = [heard.moves[node] for node in list(numbers)[1:]]
        told = []
        for turn in heard.turns:
            event = turn.event
            if turn.node in numbers:
                moves = len(event.extra) + 1 if event.kind is not Kind.GOTO else 0
                unsaid = len(event.silent) if moves else 0
                told.append(Told(*turn.phrase, numbers[turn.node], unsaid, moves))
        answers = [(a.said.first, a.said.end, a.answer) for a in heard.answered if a.said]
        answers += [(*mend.words, mend.means) for mend in heard.transcript.mends]
        return cls(
            tuple(word.text for word in heard.transcript.words),
            tuple((numbers[move.parent], move.san, move.kind) for move in kept),
            tuple(told),
            tuple(sorted(answers)),
        )

    @classmethod
    def read(cls, sheet: str) -> HeardBefore | None:
        """The record in a proof sheet; None where there is none, or none that can be read."""
        found = _RECORD.search(sheet)
        if found is None or found["sum"] != _sum(found["data"]):
            return None
        try:
            data = json.loads(found["data"])
            return cls(
                tuple(data["words"].split(" ")),
                tuple((base, san, kind) for base, san, kind in data["moves"]),
                tuple(Told(*turn) for turn in data["told"]),
                tuple((first, end, said) for first, end, said in data["answers"]),
            )
        except (ValueError, TypeError, KeyError):  # as another version writes it
            return None

    def written(self) -> str:
        """The record as an invisible line of a proof sheet."""
        told = [[t.first, t.end, t.node, t.unsaid, t.moves] for t in self.told]
        data = {"words": " ".join(self.words), "moves": self.moves, "told": told}
        text = json.dumps({**data, "answers": self.answers}, separators=(",", ":"))
        text = text.replace("<", r"\u003c").replace(
            ">", r"\u003e"
        )  # or words might end the comment
        return f"<!-- what was heard {_sum(text)}: {text} -->"

    def way_to(self, node: int) -> list[int]:
        """The boards from the first move to a board."""
        way = []
        while node:
            way.append(node)
            node = self.moves[node - 1][0]
        return way[::-1]

    def line_to(self, node: int) -> tuple[str, ...]:
        """The moves from the start to a board."""
        return tuple(self.moves[n - 1][1] for n in self.way_to(node))

    def base(self, told: Told) -> int:
        """The board that words are said at, before all moves that they make."""
        return [0, *self.way_to(told.node)][-1 - told.unsaid - told.moves]

    def own(self, told: Told) -> tuple[int, tuple[str, ...]]:
        """What words make of any board: the moves, and how many of them are said."""
        return told.moves, self.line_to(told.node)[len(self.line_to(self.base(told))) :]

    def kind(self, told: Told) -> str:
        return self.moves[told.node - 1][2] if told.node and told.moves else ""


_RECORD = re.compile(
    r"^<!-- what was heard (?P<sum>[0-9a-f]+): (?P<data>\{.*\}) -->$", re.MULTILINE
)


def _sum(text: str) -> str:
    """What tells a record that stands as it was written from one that does not."""
    return sha256(text.encode()).hexdigest()[:16]


@dataclass(frozen=True, slots=True)
class Otherwise:
    """A place that is heard otherwise: what it was and what it is.

    `behind` are so many moves that are others only because they go on from it. `answer` is the line
    that makes it what it was, empty where none can.
    """

    said: Said
    was: str
    now: str
    behind: int
    answer: str


@dataclass(frozen=True, slots=True)
class Again:
    """What a hearing heard otherwise than the one before, in the order of the talk.

    `behind_answers` are so many moves that go on from what the teacher changed; whether that was
    words too, not only answers, `words_changed` says, `anything_changed` whether it was anything.
    """

    places: tuple[Otherwise, ...]
    behind_answers: int
    anything_changed: bool
    words_changed: bool

    @property
    def reassurance(self) -> str:
        """That nothing else is heard otherwise; empty where something is.

        >>> Again((), 2, True, False).reassurance
        'all else is heard as before, but for the 2 moves that go on from your answers'
        """
        if self.places:
            return ""
        if not self.anything_changed:
            return "all is heard as before"
        told = f", but for {self.behind_text}" if self.behind_answers else ""
        return f"all else is heard as before{told}"

    @property
    def behind_text(self) -> str:
        """The moves that go on from what the teacher changed, counted."""
        moves = (
            "move that goes" if self.behind_answers == 1 else f"{self.behind_answers} moves that go"
        )
        return f"the {moves} on from {'what you changed' if self.words_changed else 'your answers'}"


def behind_text(place: Otherwise) -> str:
    """The moves behind a place, counted; empty where there are none."""
    many = f"the {place.behind} moves behind it change too" if place.behind else ""
    return "the move behind it changes too" if place.behind == 1 else many


def again_lines(again: Again) -> Iterator[str]:
    """What is heard otherwise, for the terminal."""
    for place in again.places[:MOST_ON_TERMINAL]:
        behind = f"; {told}" if (told := behind_text(place)) else ""
        answer = f"; to have it as before, answer {place.answer}" if place.answer else ""
        yield (
            f'{when(place.said)} heard otherwise: "{place.said.text}" is {place.now}, was'
            f" {place.was}{behind}{answer}"
        )
    if len(again.places) > MOST_ON_TERMINAL:
        yield f"and {len(again.places) - MOST_ON_TERMINAL} more heard otherwise on the proof sheet"
    if again.reassurance:
        yield again.reassurance


def heard_again(heard: Heard, before: HeardBefore | None) -> Again | None:
    """What is heard otherwise than before; None where there was no hearing of this talk."""
    now = HeardBefore.of(heard)
    if before is None or not now.words:
        return None
    places = _places_in(before.words, now.words)
    shared = sum(at is not None for at in places)
    if shared < LEAST_SHARED * max(len(before.words), len(now.words)):
        return None
    return _Comparison(before, now, places, heard.transcript.words).made()


def _places_in(before: Sequence[str], now: Sequence[str]) -> list[int | None]:
    """Where each word of a talk stands in the talk as it is now."""
    places: list[int | None] = [None] * len(before)
    for step in Indel.opcodes(before, now):
        if step.tag == "equal":
            places[step.src_start : step.src_end] = range(step.dest_start, step.dest_end)
    return places


@dataclass(slots=True)
class _Spot:
    """Words that changed the board in one of two hearings, with what they told in each.

    `own` says that the teacher answered them or wrote them anew. `root` is the spot whose change
    makes this one heard otherwise, perhaps itself; None where it is heard as before.
    """

    first: int
    end: int
    own: bool = False
    before: list[int] = field(default_factory=list)
    now: list[int] = field(default_factory=list)
    root: int | None = None


class _Side:
    """One of the two hearings, with the spot that each of its boards and turns belongs to."""

    def __init__(self, record: HeardBefore) -> None:
        self.record = record
        self.spot_of: list[int] = [0] * len(record.told)
        self.maker: dict[int, int] = {}

    def file(self, spot: int, turn: int) -> None:
        """Files a turn, and the boards that are reached by it for the first time, under a spot."""
        self.spot_of[turn] = spot
        for node in self.record.way_to(self.record.told[turn].node):
            self.maker.setdefault(node, spot)

    def line(self, turn: int) -> tuple[str, ...]:
        return self.record.line_to(self.record.told[turn].node)

    def own(self, turn: int) -> tuple[int, tuple[str, ...]]:
        return self.record.own(self.record.told[turn])

    def kind(self, turn: int) -> str:
        return self.record.kind(self.record.told[turn])

    def base_maker(self, turn: int) -> int | None:
        return self.maker.get(self.record.base(self.record.told[turn]))

    def node_maker(self, turn: int) -> int | None:
        return self.maker.get(self.record.told[turn].node)

    def goes_on(self, turn: int) -> bool:
        """Whether words go on from where the words before them left the board."""
        told = self.record.told
        last = told[turn - 1].node if turn else 0
        return told[turn].moves > 0 and self.record.base(told[turn]) == last

    def text(self, turns: Sequence[int]) -> str:
        """What words are heard as: "7.Bf4", "back to 3.Bb5", "only talk"."""
        return ", ".join(self._text(self.record.told[turn]) for turn in turns) or ONLY_TALK

    def _text(self, told: Told) -> str:
        line = self.record.line_to(told.node)
        if not told.moves:
            return f"back to {line_text(line[-1:], len(line) - 1) if line else 'the start'}"
        said = len(line) - told.moves
        first = said - told.unsaid
        unsaid = f" with {line_text(line[first:said], first)} before it, which nobody said"
        return line_text(line[said:], said) + (unsaid if told.unsaid else "")


class _Comparison:
    """Two hearings of one talk, held against each other place by place."""

    def __init__(
        self,
        before: HeardBefore,
        now: HeardBefore,
        places: Sequence[int | None],
        words: Sequence[Word],
    ) -> None:
        self.before, self.now = _Side(before), _Side(now)
        self.places, self.words = places, words
        self.kept = {place for place in places if place is not None}
        self.answers = set(self._answers_changed())
        self.spots = list(self._joined(self._spots()))
        for k, spot in enumerate(self.spots):
            for turn in spot.before:
                self.before.file(k, turn)
            for turn in spot.now:
                self.now.file(k, turn)
            spot.root = self._root(k)

    def made(self) -> Again:
        """What is heard otherwise."""
        behind: dict[int, list[int]] = {}
        for k, spot in enumerate(self.spots):
            if spot.root not in (None, k) and self._tells_a_move(spot):
                behind.setdefault(spot.root, []).append(k)
        heads = [k for k, spot in enumerate(self.spots) if spot.root == k]
        words_changed = len(self.kept) < max(len(self.words), len(self.places))
        return Again(
            tuple(self._told(k, behind.get(k, [])) for k in heads if not self.spots[k].own),
            sum(len(behind.get(k, [])) for k in heads if self.spots[k].own),
            words_changed or bool(self.answers),
            words_changed,
        )

    # --- what belongs together ----------------------------------------------------------------

    def _place(self, first: int, end: int) -> tuple[int, int]:
        """Where words of the talk as it was stand now; between two words if they are gone."""
        now = [place for place in self.places[first:end] if place is not None]
        if now:
            return now[0], now[-1] + 1
        after = next((place for place in self.places[end:] if place is not None), len(self.words))
        return after, after

    def _answers_changed(self) -> Iterator[tuple[int, int]]:
        """The words about which the answers are others now."""
        before = {(*self._place(a, b), said) for a, b, said in self.before.record.answers}
        now = set(self.now.record.answers)
        yield from ((first, end) for first, end, _ in before ^ now)

    def _spots(self) -> Iterator[_Spot]:
        """The words that change the board in either hearing, those that overlap taken together."""
        turns = []
        for k, told in enumerate(self.before.record.told):
            gone = None in self.places[told.first : told.end]
            turns.append((*self._place(told.first, told.end), 0, k, gone))
        for k, told in enumerate(self.now.record.told):
            new = not self.kept.issuperset(range(told.first, told.end))
            turns.append((told.first, told.end, 1, k, new))
        spot: _Spot | None = None
        for first, end, side, k, own in sorted(turns):
            if spot is None or first >= spot.end:
                if spot is not None:
                    yield spot
                spot = _Spot(first, end)
            spot.end = max(spot.end, end)
            answered = any(first < b and a < end for a, b in self.answers)
            spot.own = spot.own or own or answered
            (spot.now if side else spot.before).append(k)
        if spot is not None:
            yield spot

    def _joined(self, spots: Iterable[_Spot]) -> Iterator[_Spot]:
        """The spots, two as one where what the one told before is told by the words of the other.

        "He takes. The pawn takes c5": which of the two makes the move changes no board.
        """
        last: _Spot | None = None
        for spot in spots:
            if last is not None and self._tell_the_same(last, spot):
                last.end, last.own = spot.end, last.own or spot.own
                last.before, last.now = last.before + spot.before, last.now + spot.now
                continue
            if last is not None:
                yield last
            last = spot
        if last is not None:
            yield last

    def _tell_the_same(self, one: _Spot, other: _Spot) -> bool:
        before, now = one.before + other.before, one.now + other.now
        apart = not (one.before and one.now) and not (other.before and other.now)
        told = [self.before.own(t) for t in before] == [self.now.own(t) for t in now]
        return apart and told and other.first - one.end <= NEAR_WORDS

    def _tells_a_move(self, spot: _Spot) -> bool:
        return any(self.now.record.told[turn].moves for turn in spot.now)

    # --- what is heard otherwise, and why -----------------------------------------------------

    def _root(self, k: int) -> int | None:
        """The spot whose change makes this one heard otherwise; None where it is as before."""
        spot = self.spots[k]
        if self._leads_to_same(k):
            return None
        if [self.before.own(t) for t in spot.before] != [self.now.own(t) for t in spot.now]:
            return k
        roots = [
            self._root_of(k, old, new)
            for old, new in zip(spot.before, spot.now, strict=True)
            if self.before.line(old) != self.now.line(new)
            or self.before.kind(old) != self.now.kind(new)
        ]
        if not roots:
            return None
        first = roots[0]
        return k if first is None else first

    def _leads_to_same(self, k: int) -> bool:
        """Whether words lead to the same board in both, one known before, by whatever they tell."""
        before, now = self.spots[k].before[-1:], self.spots[k].now[-1:]
        if [self.before.line(t) for t in before] != [self.now.line(t) for t in now]:
            return False
        known = [self.before.node_maker(t) != k for t in before]
        return all(known) and all(self.now.node_maker(t) != k for t in now)

    def _root_of(self, k: int, old: int, new: int) -> int | None:
        """The spot before this one that a change comes from, if it comes from there."""
        makers = [(self.before.base_maker(old), self.now.base_maker(new))]
        makers.append((self.before.node_maker(old), self.now.node_maker(new)))
        if self.before.goes_on(old) and self.now.goes_on(new):
            makers += [(at, at) for at in (self.before.spot_of[old - 1], self.now.spot_of[new - 1])]
        same_line = self.before.line(old) == self.now.line(new)
        for one, other in makers:
            if one is None or one != other or one == k:
                continue
            root = self.spots[one].root
            if root is not None and (
                not same_line or self._kinds_of(self.spots[one]) == self._kinds_of(self.spots[k])
            ):
                return root
        return None

    def _kinds_of(self, spot: _Spot) -> tuple[list[str], list[str]]:
        return (
            [self.before.kind(turn) for turn in spot.before],
            [self.now.kind(turn) for turn in spot.now],
        )

    # --- how it is told -----------------------------------------------------------------------

    def _told(self, k: int, behind: Sequence[int]) -> Otherwise:
        spot = self.spots[k]
        was, now = self.before.text(spot.before), self.now.text(spot.now)
        if was == now:
            was, now = (f"{was}{beside}" for beside in self._apart(spot))
        answer = self._answer(spot)
        if not answer and not self._tells_a_move(spot) and behind:
            answer = self._answer(self.spots[behind[0]])
        return Otherwise(self._said(spot), was, now, len(behind), answer)

    def _apart(self, spot: _Spot) -> tuple[str, str]:
        """What tells two ways to hear words apart that are told alike."""
        for old, new in zip(spot.before, spot.now, strict=False):
            lines = self.before.line(old), self.now.line(new)
            for n, parted in enumerate(zip(*lines, strict=False)):
                if parted[0] != parted[1]:
                    one, other = (line_text([san], n) for san in parted)
                    return f" in the line of {one}", f" in the line of {other}"
        kinds = zip(*self._kinds_of(spot), strict=False)
        one, other = next(((old, new) for old, new in kinds if old != new), ("", ""))
        return f", {one}", f", {other}"

    def _said(self, spot: _Spot) -> Said:
        """The words of a spot, as they are heard now."""
        told = self.now.record.told
        first = min((told[turn].first for turn in spot.now), default=spot.first)
        end = max((told[turn].end for turn in spot.now), default=spot.end)
        words = self.words[first:end]
        text = " ".join([*(word.text + word.mark for word in words[:-1]), words[-1].text])
        return Said(first, end, text, words[0].start_ms)

    def _answer(self, spot: _Spot) -> str:
        """The line of a script's head that makes a spot what it was; empty where none can."""
        both = self.before.text(spot.before[:1]), self.now.text(spot.now[:1])
        was, now = (text.partition(" with ")[0] for text in both)  # no answer tells what is unsaid
        moves = [self.before.record.told[turn].moves for turn in spot.before]
        goes_back = any(not self.now.record.told[turn].moves for turn in spot.now)
        if moves not in ([], [1]) or was == now or (goes_back and not moves):
            return ""
        if moves and not self._can_be(was, spot):
            return ""
        return f"{quoted(place_of(self._said(spot)))}: {quoted(was)}"

    def _can_be(self, numbered: str, spot: _Spot) -> bool:
        """Whether a move with its number can be made on the line at hand, as it is heard now."""
        record = self.now.record
        here = next((record.told[turn] for turn in spot.now), None)
        if here is not None and here.moves:
            line = record.line_to(here.node)[: -here.moves - here.unsaid]
        else:
            told = (turn.node for turn in record.told if turn.end <= spot.first)
            line = record.line_to(max(enumerate(told), default=(0, 0))[1])
        board = chess.Board()
        for san in (*line, ""):
            number = f"{board.fullmove_number}{'.' if board.turn else '...'}"
            legal = {number + board.san(move) for move in board.legal_moves}
            if numbered in legal:
                return True
            if san:
                board.push_san(san)
        return False
