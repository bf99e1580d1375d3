"""What is usual in openings: the catalogue's lines, for the search over a talk's readings."""

from __future__ import annotations

import csv
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
    """The catalogue's lines by position. **Cost**: made once, 60 ms."""
    return OpeningBook([" ".join(line) for line in catalogued_lines().values()])


def catalogue_line(key: str) -> tuple[str, ...]:
    """The moves of a place in the catalogue; none if it has no such place."""
    return catalogued_lines().get(key, ())
