"""Which kind of word of the board was said where a word stands, and how sure a correction is.

Two small networks of one hidden layer each, learned from invented talks with a recogniser's errors
(`benches/fit_misheard.py`): one sees what the model of English (`language.py`) makes of a word and of
those around it, the other what speaks for a correction and against it (`misheard.py`). Their weights
are in `misheard.npz`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import IntEnum
from functools import cache
from importlib import resources

import numpy as np
from numpy.typing import NDArray
from threadpoolctl import threadpool_limits

from linewright.talk.language import Text, gelu

Array = NDArray[np.float32]

Sorts = Array
"""The chance of each `Sort` for each token of a talk: tokens x sorts."""


class Sort(IntEnum):
    """What was really said where a word stands."""

    AS_WRITTEN = 0
    KNIGHT = 1
    BISHOP = 2
    ROOK = 3
    QUEEN = 4
    KING = 5
    PAWN = 6
    SQUARE = 7
    TAKES = 8
    CHECK = 9
    CASTLES = 10
    WHITE = 11
    BLACK = 12
    OTHER = 13
    """Another word, but none of the board's."""
    SEVERAL = 14
    """Several words of the board: "nightfall" for "knight f4"."""


@dataclass(frozen=True, slots=True)
class Net:
    """One hidden layer; inputs are made even by `middle` and `spread` first."""

    middle: Array
    spread: Array
    gathers: Array
    bias: Array
    tells: Array
    bias_told: Array

    def __call__(self, rows: Array) -> Array:
        even: Array = (rows - self.middle) / self.spread
        return gelu(even @ self.gathers + self.bias) @ self.tells + self.bias_told

    @classmethod
    def kept(cls, name: str, kept: Mapping[str, NDArray[np.generic]]) -> Net:
        """The network of that name in a file of weights; large layers are bytes with a scale."""

        def array(part: str) -> Array:
            return kept[f"{name} {part}"].astype(np.float32)

        gathers = array("gathers") * array("gathers scales")
        return cls(
            array("middle"), array("spread"), gathers, array("bias"), array("tells"),
            array("bias told"),
        )  # fmt: skip


@dataclass(frozen=True, slots=True)
class Model:
    """Both networks, with the names of what the second sees in their order."""

    sorts: Net
    chance: Net
    seen: tuple[str, ...]

    @classmethod
    def from_file(cls, kept: Mapping[str, NDArray[np.generic]]) -> Model:
        seen = tuple(bytes(kept["seen"].tobytes()).decode().split("\n"))
        return cls(Net.kept("sorts", kept), Net.kept("chance", kept), seen)


@cache
def shipped() -> Model:
    """The model that ships."""
    with (resources.files("linewright.talk") / "misheard.npz").open("rb") as file:
        kept = np.load(file, allow_pickle=False)
        return Model.from_file({name: kept[name] for name in kept.files})


def sorts(text: Text, model: Model | None = None) -> Sorts:
    """The sorts of all tokens of a talk."""
    with threadpool_limits(1):
        odds = (model or shipped()).sorts(seen_of_words(text))
    odds = np.exp(odds - odds.max(1, keepdims=True))
    shares: Sorts = odds / odds.sum(1, keepdims=True)
    return shares


def seen_of_words(text: Text) -> Array:
    """What the model of English makes of each token and of the pieces beside it: tokens x size."""
    return text.around(np.arange(len(text.starts)), np.arange(len(text.starts)) + 1)


def chances(seen: Sequence[Mapping[str, float]], model: Model | None = None) -> list[float]:
    """How likely corrections are right, each from 0 to 1."""
    model = model or shipped()
    if not seen:
        return []
    rows = np.array([[each[name] for name in model.seen] for each in seen], np.float32)
    return [float(share) for share in 1 / (1 + np.exp(-model.chance(rows)[:, 0]))]
