"""What is usual in openings, for the search over a talk's readings.

Three things tell it: the catalogue's named lines, lines that trainers show, and, where none of them
goes on, what moves look natural on the board.
"""

from __future__ import annotations

import csv
import json
from collections.abc import Callable, Mapping
from functools import lru_cache
from importlib import resources

import chess

from linewright._core import OpeningBook

Usual = Callable[[chess.Board], Mapping[chess.Move, float]]
"""Something that knows how often moves are played in a position: move to its count or weight."""


@lru_cache(maxsize=1)
def catalogued_lines() -> dict[str, tuple[str, ...]]:
    """The moves (UCI) of each place in the catalogue of openings, by its own key.

    **Source**: the catalogue of the `ocn-chess` package (CC BY 4.0). **Cost**: read once, 40 ms.
    """
    path = resources.files("ocn") / "data" / "ocn-1.positions.tsv"
    with path.open(encoding="utf-8") as lines:
        rows = csv.DictReader(lines, delimiter="\t")
        return {row["ocn1"]: tuple(row["moves_uci"].split()) for row in rows}


@lru_cache(maxsize=1)
def opening_book() -> OpeningBook:
    """The known lines by position, and what moves look natural. **Cost**: made once, 0.15 s."""
    return OpeningBook(named_lines(), [repertory(), _text("shown.txt")], natural())


def named_lines() -> list[str]:
    """The catalogue's lines, each a text of moves (UCI)."""
    return [" ".join(line) for line in catalogued_lines().values()]


def repertory() -> str:
    """Opening lines as club trainers know them, as the core reads them."""
    return _text("repertory.txt")


def natural() -> list[float]:
    """What each thing seen of a move adds to the log odds that a teacher shows it.

    In the order of ``linewright_core::talk::habits``. **Source**: learned from the invented talks
    of ``tests/talks`` and the lines of ``repertory.txt`` (``benches/fit_habits.py``).
    """
    blocks: dict[str, list[float]] = json.loads(_text("habits.json"))
    return [weight for block in blocks.values() for weight in block]


def _text(name: str) -> str:
    return (resources.files("linewright.talk") / name).read_text("utf-8")


def catalogue_line(key: str) -> tuple[str, ...]:
    """The moves of a place in the catalogue; none if it has no such place."""
    return catalogued_lines().get(key, ())
