"""Which reading of a whole talk makes sense on the board.

A beam search over the phrases of a talk in order (in Rust, `linewright_core::talk`). A hypothesis
is a place in a tree of moves with the places it may return to; each phrase may be a move from here
or from an earlier place, a supposed or mentioned side line, the repetition of a move already made,
a going back, a slip with the move that was meant, a move after one that was not said, or nothing
but talk. Every choice has a price (minus a log likelihood, see `weights.toml`); the cheapest whole
is kept, with its nearest rivals.
"""

from __future__ import annotations

import math
import tomllib
from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from enum import StrEnum
from functools import cached_property, lru_cache
from importlib import resources
from typing import TypeVar

import chess

from linewright._core import OpeningBook, TalkFound, TalkSearch
from linewright.talk.said import Phrase, Spec
from linewright.talk.sounds import distance, square_phones
from linewright.talk.usual import Usual, opening_book
from linewright.talk.vocabulary import INFINITE

T = TypeVar("T")


class Kind(StrEnum):
    """What a phrase turned out to be."""

    PLAY = "play"
    ASIDE = "aside"
    ECHO = "echo"
    GOTO = "goto"
    PLACE = "place"


class Mode(StrEnum):
    """What a line is to the teacher."""

    SHOWN = "shown"
    SUPPOSED = "supposed"
    MENTIONED = "mentioned"


@dataclass(frozen=True, slots=True)
class Fault:
    """Where the words and the move differ.

    `slot` names the part (square, piece, wing, capture, captured, from, side); `misheard` says the
    recogniser is likelier to blame than the teacher.
    """

    slot: str
    misheard: bool = False


@dataclass(frozen=True, slots=True, eq=False)
class Event:
    """One decision, with the one before it. `node` is the board after it, `base` the one before a move.

    `silent` are moves made before it without a word, `extra` the first of two moves in one phrase,
    `true` whether a piece stands where it is said to.
    """

    before: Event | None
    kind: Kind
    phrase: Phrase
    price: float
    node: int
    base: int
    silent: tuple[int, ...]
    extra: tuple[int, ...]
    faults: tuple[Fault, ...]
    mode: Mode
    true: bool | None

    @property
    def made(self) -> tuple[int, ...]:
        """The boards it brings, those before it that nobody said included."""
        return (*self.silent, *self.extra, self.node)


@dataclass(frozen=True, slots=True)
class Hypothesis:
    """A way to understand the talk: its price and its last decision."""

    price: float
    event: Event | None


@dataclass(frozen=True, slots=True)
class Rival:
    """Another way to the same place, and how much dearer it is."""

    gap: float
    kept: Event | None
    event: Event | None


@dataclass(frozen=True, slots=True)
class Choice:
    """A legal move that words may mean, with the price and what does not fit."""

    price: float
    move: chess.Move
    faults: tuple[Fault, ...]


@dataclass(slots=True)
class Tree:
    """The boards of an understood talk by number; 0 is the start."""

    nodes: Mapping[int, tuple[int, str, str, str, int]]
    _boards: dict[int, chess.Board] = field(default_factory=dict)

    def parent(self, node: int) -> int:
        """The board before; -1 for the start."""
        return self.nodes[node][0] if node else -1

    def uci(self, node: int) -> str:
        """The move that led to a board."""
        return self.nodes[node][1]

    def san(self, node: int) -> str:
        """The move that led to a board, in short notation."""
        return self.nodes[node][2]

    def board(self, node: int) -> chess.Board:
        """The board; not to be changed."""
        if node not in self._boards:
            self._boards[node] = chess.Board(self.nodes[node][3])
        return self._boards[node]

    def turn(self, node: int) -> str:
        """Whose move it is, "w" or "b"."""
        return "b" if self.nodes[node][4] % 2 else "w"

    def number(self, node: int) -> int:
        """The number of the next move."""
        return self.nodes[node][4] // 2 + 1

    def numbered(self, node: int) -> str:
        """The move that led to a board with its number: "3...Bc5"."""
        parent = self.parent(node)
        return f"{self.number(parent)}{self.dots(parent)}{self.san(node)}"

    def dots(self, node: int) -> str:
        """What stands between a number and the next move: "." or "..."."""
        return "." if self.turn(node) == "w" else "..."

    def line(self, node: int) -> list[int]:
        """The boards from the start to this one, the start first."""
        out = []
        while node >= 0:
            out.append(node)
            node = self.parent(node)
        return out[::-1]

    def after(self, node: int, move: chess.Move) -> int | None:
        """The board after a move, if the talk has it."""
        uci = move.uci()
        return next((n for n, item in self.nodes.items() if n and item[:2] == (node, uci)), None)


class Understood:
    """What a search found: hypotheses, the cheapest first, the rivals of the best, all boards."""

    def __init__(self, found: TalkFound, phrases: Sequence[Phrase]) -> None:
        self._found = found
        self._plain = found.events
        self._phrases = phrases
        self._events: dict[int, Event] = {}
        self.tree = Tree(found.nodes)

    @cached_property
    def hypotheses(self) -> list[Hypothesis]:
        """The ways to understand the talk, the cheapest first; never none."""
        return [Hypothesis(price, self._event(link)) for price, link in self._found.hypotheses]

    @cached_property
    def rivals(self) -> list[Rival]:
        """Near misses on the way of the best."""
        return [
            Rival(gap, self._event(kept), self._event(other))
            for gap, kept, other in self._found.rivals
        ]

    def _event(self, link: int) -> Event | None:
        waiting: list[int] = []
        while link and link not in self._events:
            waiting.append(link)
            link = self._plain[link][10]
        for number in reversed(waiting):
            self._events[number] = self._made(number)
        first = waiting[0] if waiting else link
        return self._events.get(first)

    def _made(self, link: int) -> Event:
        kind, phrase, price, node, base, silent, extra, faults, mode, true, before = self._plain[
            link
        ]
        return Event(
            self._events.get(before), Kind(kind), self._phrases[phrase], price, node, base,
            tuple(silent), tuple(extra), tuple(Fault(*fault) for fault in faults), Mode(mode), true,
        )  # fmt: skip


@dataclass(frozen=True, slots=True)
class WayBack:
    """A going back that no words tell, before the phrases that begin at a token.

    `phrase` tells the move to the board it leads to as that was told, `move` is that move with its
    number.
    """

    phrase: Phrase
    move: str


Decision = tuple[int, str, str, float, bool, bool, bool]
"""A phrase by number, what it was taken for, the last move (SAN), its price, whether it is wrong,
whether it leaves the board at hand, and whether the talk comes back to the board after it."""

Point = tuple[float, int, dict[str, float], list[Decision], list[Decision]]
"""How much dearer the truth is, moves at stake, what that grows by with each price, the true
decisions, the mistaken ones."""


class Decoder:
    """Searches the readings of one talk.

    `noise` is the recogniser's share of wrong words, `weights` the prices by name, `book` what is
    usual in openings, if other than what ships, `ways_back` where the talk is known to go back, by
    tokens.
    """

    def __init__(
        self,
        phrases: Mapping[int, Sequence[Phrase]],
        noise: float = 0.01,
        weights: Mapping[str, float] | None = None,
        book: OpeningBook | None = None,
        ways_back: Mapping[int, WayBack] = {},
    ) -> None:
        self.book = book or opening_book()
        self.phrases: list[Phrase] = []
        self._ways_back: dict[int, str] = {}
        for first in sorted(phrases):
            if first in ways_back:
                self._ways_back[len(self.phrases)] = ways_back[first].move
                self.phrases.append(ways_back[first].phrase)
            self.phrases.extend(phrases[first])
        self.weights = dict(weights or default_weights())
        specs: dict[Spec, int] = {}
        numbered = [
            (self._placed(k, p), specs.setdefault(p.spec, len(specs)))
            for k, p in enumerate(self.phrases)
        ]
        self._search = TalkSearch(list(specs), numbered, noise, confusions(noise))

    def search(
        self,
        me: str = "",
        theme: Sequence[Sequence[str]] = (),
        answers: Mapping[tuple[int, int], str] | None = None,
        counts: Usual | None = None,
        truth: Mapping[int, Sequence[str]] | None = None,
        beam: float = math.inf,
        perhaps: Mapping[tuple[int, int], tuple[str, float]] | None = None,
    ) -> Understood:
        """The best ways to understand the whole talk.

        `me` is the side the speaker calls "I" ("w", "b" or nothing), `theme` the lines of the
        openings that are named (UCI), `answers` the teacher's by tokens, `counts` may say how often
        moves are played. `truth` is for finding out why a talk is misunderstood: the lines that
        phrases (by number) are known to lead to. `beam` may narrow the search. `perhaps` are moves
        (SAN) that tokens may mean though they say others, and how much less than a slip each costs.
        """
        lines = [" ".join(line) for line in theme]
        asked = None if counts is None else _by_fen(counts)
        weights = {**self.weights, "beam": min(beam, self.weights["beam"])}
        found = self._search.search(
            weights, self.book, lines, me, {**self._by_number(answers or {}), **self._ways_back},
            asked, truth, perhaps=self._by_number(perhaps or {}),
        )  # fmt: skip
        return Understood(found, self.phrases)

    def _by_number(self, known: Mapping[tuple[int, int], T]) -> dict[int, T]:
        """What is known of tokens, by the numbers of the phrases that are just these."""
        return {
            number: known[phrase.first, phrase.end]
            for number, phrase in enumerate(self.phrases)
            if (phrase.first, phrase.end) in known
        }

    def _placed(self, number: int, phrase: Phrase) -> Phrase:
        """A phrase where the search has it: a going back takes a place before what it stands before.

        So words behind it stand a place later, and phrases keep their lengths.
        """
        if not self._ways_back:
            return phrase
        backs = [self.phrases[k].first for k in self._ways_back]
        first = phrase.first + sum(back < phrase.first for back in backs)
        if number in self._ways_back:
            return replace(phrase, first=first, end=first + 1)
        end = phrase.end + sum(back < phrase.end for back in backs)
        return replace(phrase, first=first + (phrase.first in backs), end=end)

    def lesson(
        self,
        weights: Mapping[str, float],
        theme: Sequence[str],
        me: str,
        lines: Sequence[str],
        at: Mapping[int, Sequence[str]],
        slips: set[int],
        margin: float,
    ) -> tuple[float, dict[str, float], int, list[Decision], list[Point]]:
        """What the talk teaches about the prices, its moves being known.

        `lines` are all lines of the truth (UCI), `at` those that phrases by number lead to, `slips`
        the phrases that are slips of the tongue; the truth should be `margin` cheaper than any
        mistake. Gives the price of the truth, what it grows by with each weight, how many of its
        moves could not be reached, the true decisions, and the places where a mistake is preferred.
        """
        return self._search.lesson(
            dict(weights), self.book, list(theme), me, list(lines), dict(at), slips, margin
        )

    def way(
        self,
        weights: Mapping[str, float],
        theme: Sequence[str],
        me: str,
        lines: Sequence[str],
        at: Mapping[int, Sequence[str]],
        slips: set[int],
    ) -> list[Decision]:
        """The decisions of the cheapest way to understand the talk that its known moves allow.

        The arguments are those of `lesson`.
        """
        return self._search.way(
            dict(weights), self.book, list(theme), me, list(lines), dict(at), slips
        )

    def choices(self, line: Sequence[str], phrase: Phrase) -> list[Choice]:
        """The moves that a phrase may mean after the moves of a line (UCI), likeliest first."""
        number = next(n for n, other in enumerate(self.phrases) if other is phrase)
        found = self._search.choices(self.weights, self.book, list(line), number)
        return [
            Choice(price, chess.Move.from_uci(uci), tuple(Fault(*f) for f in faults))
            for price, uci, faults in found
        ]


def _by_fen(counts: Usual) -> Callable[[str], dict[str, float]]:
    def ask(fen: str) -> dict[str, float]:
        return {move.uci(): float(n) for move, n in counts(chess.Board(fen)).items()}

    return ask


@lru_cache(maxsize=1)
def default_weights() -> dict[str, float]:
    """The fitted prices by name.

    **Source**: fitted on the invented talks of ``tests/talks/tune`` (``benches/fit_talk.py``).
    """
    text = (resources.files("linewright.talk") / "weights.toml").read_text("utf-8")
    return {
        name: float(value) for part in tomllib.loads(text).values() for name, value in part.items()
    }


@lru_cache(maxsize=4)
def confusions(noise: float) -> list[float]:
    """The price of a recogniser writing one square for another, by their sounds: 64 times 64."""
    base = -math.log(max(noise, 0.002) * 0.5)
    sounds = [square_phones(chess.square_name(s)) for s in range(64)]
    table = []
    for a in range(64):
        for b in range(64):
            far = 0.0 if a == b else distance(sounds[a], sounds[b])
            table.append(0.0 if a == b else base + 1.6 * far if far <= 1.3 else INFINITE)
    return table


def events_of(hypothesis: Hypothesis) -> list[Event]:
    """The decisions of a hypothesis in order."""
    return list(chain(hypothesis.event))[::-1]


def chain(event: Event | None) -> Iterator[Event]:
    """A decision and all before it, the last first."""
    while event is not None:
        yield event
        event = event.before


def whose(understood: Understood) -> str:
    """Which side the speaker calls "I" or "we", from the moves; empty if it cannot be told."""
    votes = _votes(understood)
    return _won({side: votes["me", side] + votes["other", _against(side)] for side in "wb"})


def whose_you(understood: Understood) -> str:
    """Which side the speaker calls "you", from the moves; empty if it cannot be told."""
    votes = _votes(understood)
    return _won({side: votes["you", side] for side in "wb"})


def _votes(understood: Understood) -> Counter[tuple[str, str]]:
    """How many moves each side makes after words for each person."""
    return Counter(
        (event.phrase.cues.person, _against(understood.tree.turn(event.node)))
        for event in events_of(understood.hypotheses[0])
        if event.kind is Kind.PLAY and event.phrase.cues.person
    )


def _against(side: str) -> str:
    return "b" if side == "w" else "w"


def _won(votes: dict[str, int]) -> str:
    best = max(votes, key=votes.__getitem__)
    total = votes["w"] + votes["b"]
    return best if total >= 3 and votes[best] >= 0.72 * total else ""
