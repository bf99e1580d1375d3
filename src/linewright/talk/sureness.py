"""How sure what was heard is: a slip that it is one, a move that nobody said that it was played.

Two small logistic models (`sureness.toml`) over what the search found around a place: what the
moves there cost, how near another way to understand the talk comes, whether the talk goes on from
there. They are learned from talks whose truth is known (`benches/fit_sureness.py`). A sureness
orders and asks; nothing is left out for its sake.
"""

from __future__ import annotations

import math
import tomllib
from collections.abc import Mapping, Sequence
from functools import cache
from importlib import resources

from linewright.talk.decoder import Event, Kind
from linewright.talk.record import Heard, HeardSlip, Turn

NEAR_MOVES = 4
"""So many moves before and after a place tell how well the talk is understood there."""

NEAR_WORDS = 15
"""A way that parts from the best one so few words away makes a slip doubtful."""

DEAREST, DEAREST_NEAR, DEAREST_UNSAID = 12.0, 10.0, 16.0
"""Prices above these say no more: the words do not fit."""

FARTHEST = 6.0
"""A way that is dearer by more than this (in price) is no rival."""

DOUBTFUL = 0.7
"""Around a place where moves cost more than this (as `around` has it) the board is in doubt."""

Features = dict[str, float]


def sure_slip(heard: Heard, slip: HeardSlip) -> float:
    """How sure a slip is, between 0 and 1."""
    return _chance("slip", slip_features(heard, slip))


def sure_unsaid(heard: Heard, turn: Turn) -> float:
    """How sure the moves are that nobody said before those of a turn, between 0 and 1."""
    return _chance("unsaid", unsaid_features(heard, turn))


def is_in_doubt(heard: Heard, word: int) -> bool:
    """Whether the board at a word is in doubt: the moves around it hardly fit what is said."""
    plays = _plays(heard)
    before = [t.event for t in plays if t.phrase[0] <= word][-NEAR_MOVES:]
    after = [t.event for t in plays if t.phrase[0] > word][:NEAR_MOVES]
    return _price([*before, *after]) >= DOUBTFUL


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


def _plays(heard: Heard) -> list[Turn]:
    return [turn for turn in heard.turns if turn.event.kind is Kind.PLAY]


def _price(events: Sequence[Event], most: float = DEAREST_NEAR) -> float:
    """The mean price of moves; that of doubtful ones where there are none."""
    prices = [min(event.price, most) for event in events]
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
    weights = default_sureness()[kind]
    odds = sum(weights[name] * value for name, value in features.items())
    return round(1 / (1 + math.exp(-odds)), 2)


@cache
def default_sureness() -> Mapping[str, Mapping[str, float]]:
    """The fitted weights by name, of slips and of moves that nobody said.

    **Source**: learned from the invented talks in ``tests/talks`` (``benches/fit_sureness.py``).
    """
    text = (resources.files("linewright.talk") / "sureness.toml").read_text("utf-8")
    return tomllib.loads(text)
