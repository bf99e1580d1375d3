"""How sure what was heard is: a slip that it is one, a move that it was made.

Three small logistic models (`sureness.toml`) over what the search found around a place: what the
moves there cost, how near another way to understand the talk comes, whether the talk goes on from
there. One is of slips, one of the moves that nobody said, one of those told: where these are
doubtful one after the other the hearing has lost the board. They are learned from talks whose truth
is known (`benches/fit_sureness.py`). A sureness orders and asks; nothing is left out for its sake.
"""

from __future__ import annotations

import math
import tomllib
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache
from importlib import resources
from itertools import pairwise

from linewright.talk.answers import is_answered, is_as_said
from linewright.talk.decoder import Event, Kind, Mode
from linewright.talk.record import Answered, Heard, HeardSlip, Said, Turn

NEAR_MOVES = 4
"""So many moves before and after a place tell how well the talk is understood there."""

NEAR_WORDS = 15
"""A way that parts from the best one so few words away makes a slip doubtful."""

DEAREST, DEAREST_NEAR, DEAREST_UNSAID = 12.0, 10.0, 16.0
"""Prices above these say no more: the words do not fit."""

FARTHEST = 6.0
"""A way that is dearer by more than this (in price) is no rival."""

AROUND_A_MOVE = 6
"""So many moves before and after one tell whether it was made."""

IN_DOUBT_BELOW = 0.65
"""Where the last move told is less sure than this the board is in doubt."""

HARDLY, LATELY = 0.3, 4
"""So it is where one of so many last moves is less sure than this."""

STRETCH_BELOW, STRETCH_LEAST, STRETCH_APART = 0.75, 2, 5
"""So many moves in a row that are less sure, each with those beside it, are to be read first; two
such stretches are one with no more moves than the last between them."""

Features = dict[str, float]


def sure_slip(heard: Heard, slip: HeardSlip) -> float:
    """How sure a slip is, between 0 and 1."""
    return _chance("slip", slip_features(heard, slip))


def sure_unsaid(heard: Heard, turn: Turn) -> float:
    """How sure the moves are that nobody said before those of a turn, between 0 and 1."""
    return _chance("unsaid", unsaid_features(heard, turn))


def doubtful_words(heard: Heard) -> Callable[[int], bool]:
    """Tells whether the board at a word is in doubt: the moves told to it hardly fit what is said."""
    told = sure_moves(heard)
    made: dict[int, int] = {}
    for k, (turn, _) in enumerate(told):
        for node in (*turn.event.silent, *turn.event.extra, turn.node):
            made.setdefault(node, k)

    def is_in_doubt(word: int) -> bool:
        end = made.get(heard.node_at(word), -1) + 1
        last = [sure for _, sure in told[max(0, end - LATELY) : end]]
        return bool(last) and (last[-1] < IN_DOUBT_BELOW or min(last) < HARDLY)

    return is_in_doubt


def sure_moves(heard: Heard) -> tuple[tuple[Turn, float], ...]:
    """The moves told in their order, each with how sure it is, between 0 and 1.

    What the teacher has answered is sure.
    """
    seen = _Seen(heard)
    weights = default_sureness()["move"]
    return tuple(
        (turn, 1.0 if seen.known[k] else _chance_by(weights, seen.features(k)))
        for k, turn in enumerate(seen.plays)
    )


@dataclass(frozen=True, slots=True)
class Stretch:
    """Moves in a row that hardly fit their words."""

    turns: tuple[Turn, ...]


def in_doubt(heard: Heard) -> Iterator[Stretch]:
    """Where the hearing seems to have lost the board, in the order of the talk.

    A stretch of which the teacher answers "as said" at a move is read, and goes as a whole. An answer
    that refuses a correction of the captions says so much of a word only.
    """
    read = [one for one in heard.answered if is_as_said(one.answer) and not one.refuses]
    others = [one for one in heard.answered if not is_as_said(one.answer)]
    told = sure_moves(replace(heard, answered=tuple(others)))
    sure = [one for _, one in told]
    near = [sure[max(0, k - 1) : k + 2] for k in range(len(sure))]
    low = [k for k, some in enumerate(near) if sum(some) / len(some) < STRETCH_BELOW]
    runs = [[k] for k in low[:1]]
    for before, k in pairwise(low):
        if k - before > STRETCH_APART + 1:
            runs.append([])
        runs[-1].append(k)
    for run in runs:
        turns = [turn for turn, _ in told[run[0] : run[-1] + 1]]
        if len(run) >= STRETCH_LEAST and not any(_is_read(turn, read) for turn in turns):
            yield Stretch(tuple(turns))


def _is_read(turn: Turn, read: Sequence[Answered]) -> bool:
    """Whether an answer is of all the words of a move."""
    first, end = turn.phrase
    known = [one.said for one in read if one.said and not one.fault]
    return any(said.first <= first and end <= said.end for said in known)


def unsaid_of(event: Event) -> tuple[int, ...]:
    """The moves of a decision that no words tell."""
    return (*event.silent, *((event.node,) if event.extra else ()))


def slip_features(heard: Heard, slip: HeardSlip) -> Features:
    """What tells how sure a slip is."""
    plays = _plays(heard)
    first, end = slip.said.first, slip.said.end
    at = next((t for t in plays if t.phrase[0] < end and first < t.phrase[1]), None)
    after = [t.event for t in plays if t.phrase[0] >= end][:NEAR_MOVES]
    return {
        "bias": 1.0,
        **doubts(heard, first, end),
        "told": _told(at.event) if at else 0.0,
        "no_move": float(at is None),
        "goes_on": _goes_on(at.event.node, after) if at else 0.0,
        "piece": float(slip.kind == "piece"),
        "side": float(slip.kind == "side"),
    }


def doubts(heard: Heard, first: int, end: int) -> Features:
    """How far the board is in doubt around some words: what the moves there cost, how near another
    way to understand the talk comes, how many moves nobody said.
    """
    plays = _plays(heard)
    before = [t.event for t in plays if t.phrase[1] <= first][-NEAR_MOVES:]
    after = [t.event for t in plays if t.phrase[0] >= end][:NEAR_MOVES]
    gaps = (gap for word, gap in heard.partings if abs(word - first) <= NEAR_WORDS)
    return {
        "around": _price([*before, *after]),
        "rival": _nearness(min(gaps, default=FARTHEST)),
        "unsaid": float(sum(bool(unsaid_of(event)) for event in (*before, *after))),
    }


def unsaid_features(heard: Heard, turn: Turn) -> Features:
    """What tells how sure moves are that nobody said."""
    plays = _plays(heard)
    here = plays.index(turn)
    before = [t.event for t in plays[max(0, here - NEAR_MOVES) : here]]
    after = [t.event for t in plays[here + 1 : here + 1 + NEAR_MOVES]]
    unsaid = unsaid_of(turn.event)
    gap = min((heard.margins.get(node, FARTHEST) for node in unsaid), default=FARTHEST)
    return {
        "bias": 1.0,
        "price": min(turn.event.price, DEAREST_UNSAID) / 5,
        "moves": float(len(unsaid)),
        "around": _price([*before, *after]),
        "talk": _price([t.event for t in plays], DEAREST),
        "rival": _nearness(gap),
        "goes_on": _goes_on(turn.node, after),
        "told": _told(turn.event),
    }


def move_features(heard: Heard) -> list[Features]:
    """What tells how sure each move told is, in their order."""
    seen = _Seen(heard)
    return [seen.features(k) for k in range(len(seen.plays))]


LATE_PLY = 30
"""Later moves are as often lost as those of this half-move."""


class _Seen:
    """What is seen of the moves told, in their order; `known` are those that the teacher has told."""

    def __init__(self, heard: Heard) -> None:
        self.heard = heard
        self.plays = _plays(heard)
        self.known = [
            is_answered(Said(*turn.phrase, "", None), heard.answered) for turn in self.plays
        ]
        self.prices = [
            0.0 if known else min(turn.event.price, DEAREST_NEAR)
            for turn, known in zip(self.plays, self.known, strict=True)
        ]
        self.talk = _mean(self.prices)
        self.leaps = _leaps(heard)

    def features(self, here: int) -> Features:
        """What is seen of one of them."""
        event = self.plays[here].event
        after = slice(here + 1, here + 1 + AROUND_A_MOVE)
        before = slice(max(0, here - AROUND_A_MOVE), here)
        return {
            "bias": 1.0,
            "price": _mean(self.prices[here : here + 1]),
            "told": _told(event),
            "unsaid": float(len(unsaid_of(event))),
            "slip": float(any(not fault.misheard for fault in event.faults)),
            "rival": _nearness(self.heard.margins.get(event.node, FARTHEST)),
            "supposed": float(event.mode is Mode.SUPPOSED),
            "after": _mean(self.prices[after]),
            "leaps": sum(self.leaps[after]) / AROUND_A_MOVE,
            "before": _mean(self.prices[before]),
            "talk": self.talk,
            "ply": min(len(self.heard.line_to(event.node)), LATE_PLY) / 10,
        }


def _leaps(heard: Heard) -> list[bool]:
    """Whether each move told is made on another board than the one at hand."""
    out, here = [], 0
    for turn in heard.turns:
        if turn.event.kind is Kind.PLAY:
            out.append(turn.event.base != here)
        here = turn.event.node
    return out


def _plays(heard: Heard) -> list[Turn]:
    return [turn for turn in heard.turns if turn.event.kind is Kind.PLAY]


def _price(events: Sequence[Event], most: float = DEAREST_NEAR) -> float:
    """The mean price of moves."""
    return _mean([min(event.price, most) for event in events])


def _mean(prices: Sequence[float]) -> float:
    """The mean of prices; that of doubtful moves where there are none."""
    return sum(prices) / len(prices) / 3 if prices else 1.0


def _told(event: Event) -> float:
    """How surely the words tell a move at all."""
    return max(min(event.phrase.told, 4.0), -2.0) / 2


def _nearness(gap: float) -> float:
    """How near a rival comes: 1 where it costs the same."""
    return math.exp(-min(gap, FARTHEST) / 2)


def _goes_on(node: int, after: Sequence[Event]) -> float:
    """The share of the next moves that go on from a board, each said and from where it stands."""
    count = 0
    for event in after:
        if event.base != node or event.silent:
            break
        node, count = event.node, count + 1
    return count / NEAR_MOVES


def _chance(kind: str, features: Features) -> float:
    return _chance_by(default_sureness()[kind], features)


def _chance_by(weights: Mapping[str, float], features: Features) -> float:
    odds = sum(weights[name] * value for name, value in features.items())
    return round(1 / (1 + math.exp(-odds)), 2)


@cache
def default_sureness() -> Mapping[str, Mapping[str, float]]:
    """The fitted weights by name, of slips, of moves that nobody said and of those told.

    **Source**: learned from the invented talks in ``tests/talks`` (``benches/fit_sureness.py``).
    """
    text = (resources.files("linewright.talk") / "sureness.toml").read_text("utf-8")
    return tomllib.loads(text)
