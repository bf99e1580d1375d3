"""Model games: whole games through a position, the best for a student to play over."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import chess
import numpy as np
import numpy.typing as npt

from linewright import _core
from linewright.games import store
from linewright.games.collection import Collection, StoredGame


@dataclass(frozen=True, slots=True)
class Wanted:
    """Which games serve as models. Limits include both ends; `plies` is the whole game's length."""

    result: str | None = None
    """"1-0", "0-1" or "1/2-1/2"."""
    ratings: tuple[int, int] | None = None
    """Of both players."""
    years: tuple[int, int] | None = None
    plies: tuple[int, int] = (20, 160)

    def mask(self, heads: store.Columns) -> npt.NDArray[np.bool_]:
        """Which games fit."""
        mask = (heads["plies"] >= self.plies[0]) & (heads["plies"] <= self.plies[1])
        if self.result is not None:
            mask &= heads["result"] == ("*", "1-0", "1/2-1/2", "0-1").index(self.result)
        if self.ratings is not None:
            low, high = self.ratings
            for side in ("white_rating", "black_rating"):
                mask &= (heads[side] >= low) & (heads[side] <= high)
        if self.years is not None:
            mask &= (heads["year"] >= self.years[0]) & (heads["year"] <= self.years[1])
        return np.asarray(mask, bool)


def model_games(
    collections: Collection | Sequence[Collection],
    board: chess.Board | str,
    wanted: Wanted = Wanted(),
    limit: int = 5,
) -> tuple[StoredGame, ...]:
    """Games that pass the position, the highest-rated first, later ones before earlier.

    **Cost**: the games' heads are read once; then one lookup.
    """
    several = [collections] if isinstance(collections, Collection) else list(collections)
    fen = board if isinstance(board, str) else board.fen(en_passant="fen")
    found: list[StoredGame] = []
    for one in several:
        numbers = one.games_through(_core.position_key(fen))
        heads = one.heads(numbers)
        fits = np.flatnonzero(wanted.mask(heads))
        level = heads["white_rating"][fits].astype(int) + heads["black_rating"][fits]
        best = fits[np.lexsort((numbers[fits], -heads["year"][fits].astype(int), -level))][:limit]
        found += [
            replace(game, source=one.title) for game in one.read_games(numbers[best].tolist())
        ]
    found.sort(key=lambda game: (-(game.white_rating + game.black_rating), -game.year))
    return tuple(found[:limit])
