"""What a collection says of a position: each move's games, score and fashion with their basis."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

import chess
import numpy as np
import numpy.typing as npt

from linewright import _core
from linewright.games import statistics, store
from linewright.games.collection import Collection
from linewright.games.statistics import Proportion, Score

BAND = 200
RECENT_YEARS = 5


@dataclass(frozen=True, slots=True)
class Filter:
    """Which games count: the mover's rating, and the first and the last year.

    Ratings are known by bands of 200 points. A limit inside a band takes the whole band; an upper
    one where a band begins takes none of it, as it would add 200 points for a player or two: of
    "1000-1400" the games are those from 1000 to 1399.
    """

    ratings: tuple[int, int] | None = None
    years: tuple[int, int] | None = None

    @property
    def bands(self) -> tuple[int, int] | None:
        """Lower ends of the first and the last band taken."""
        if self.ratings is None:
            return None
        low, high = self.ratings
        return low // BAND * BAND, max(high - 1, low) // BAND * BAND

    @property
    def ratings_of_both(self) -> tuple[int, int] | None:
        """The limits of the bands, for what looks at both players' ratings."""
        if self.bands is None:
            return None
        return max(self.bands[0], 1), self.bands[1] + BAND - 1

    def __str__(self) -> str:
        return limits_in_words(self.ratings_of_both, self.years)

    def mask(self, rows: store.Columns) -> npt.NDArray[np.bool_]:
        """Which rows count."""
        mask = np.ones(len(rows["key"]), bool)
        if self.bands is not None:
            mask &= (rows["band"] >= max(self.bands[0], 1)) & (rows["band"] <= self.bands[1])
        if self.years is not None:
            mask &= (rows["year"] >= self.years[0]) & (rows["year"] <= self.years[1])
        return mask


def limits_in_words(
    ratings: tuple[int, int] | None, years: tuple[int, int] | None, *, both: bool = False
) -> str:
    """Which games count, as people say it.

    >>> limits_in_words((1200, 1399), (2020, 2020)), limits_in_words((1200, 1399), None, both=True)
    ('rated 1200 to 1399, in 2020', 'both rated 1200 to 1399')
    """
    parts = []
    if ratings is not None:
        parts.append(f"{'both ' if both else ''}rated {ratings[0]} to {ratings[1]}")
    if years is not None:
        low, high = years
        parts.append(f"in {low}" if low == high else f"from {low} to {high}")
    return ", ".join(parts) or "all games"


@dataclass(frozen=True, slots=True)
class Part:
    """One year's or band's part of a move's games. `start`: the year, or the band's lower end."""

    start: int
    share: Proportion
    """Of the games of this year or band that reach the position."""
    score: Score


@dataclass(frozen=True, slots=True)
class Trend:
    """A move's share lately and before. `since` is the first of the recent years."""

    since: int
    recent: Proportion
    before: Proportion
    low: float
    high: float
    """Interval of recent minus before."""

    @property
    def direction(self) -> int:
        """1 if the move has come into fashion, -1 if it has gone out, 0 if that cannot be told."""
        return (self.low > 0) - (self.high < 0)

    def __str__(self) -> str:
        word = ("gone down", "no clear change", "gone up")[self.direction + 1]
        return f"{word}: {self.recent} since {self.since}, {self.before} before"


@dataclass(frozen=True, slots=True)
class MoveTally:
    """One move of a tally; wins and losses are the mover's."""

    uci: str
    san: str
    games: int
    share: Proportion
    score: Score
    drawn: Proportion
    rating: int | None
    """Mean rating of those who played it, over games with both players rated."""
    performance: int | None
    """Rating their score stands for against the opponents they met."""
    first_year: int | None
    last_year: int | None
    _rows: store.Columns = field(repr=False, compare=False)
    _code: int = field(repr=False, compare=False)

    @property
    def trend(self) -> Trend | None:
        """Its share lately against before; `None` if the games span too few years."""
        return _trend(self._rows, self._rows["move"] == self._code)

    @property
    def years(self) -> tuple[Part, ...]:
        """Share and score year by year."""
        return _parts(self._rows, self._rows["move"] == self._code, "year")

    @property
    def bands(self) -> tuple[Part, ...]:
        """Share and score by the mover's rating band."""
        return _parts(self._rows, self._rows["move"] == self._code, "band")

    @property
    def wins(self) -> int:
        """Won by the mover."""
        return self.score.wins

    @property
    def draws(self) -> int:
        """Drawn."""
        return self.score.draws

    @property
    def losses(self) -> int:
        """Lost by the mover."""
        return self.score.losses

    @property
    def small(self) -> bool:
        """Whether the sample is too small to lean on."""
        return self.games < statistics.SMALL


@dataclass(frozen=True, slots=True)
class Tally:
    """What games that reach a position go on with, most played first."""

    fen: str
    collection: str
    filter: Filter
    games: int
    score: Score
    drawn: Proportion
    moves: tuple[MoveTally, ...]
    years: tuple[int, int] | None
    """First and last year of the games counted."""
    generations: tuple[int, ...]
    """The state each collection was in, in the order of their names."""
    _rows: store.Columns = field(repr=False, compare=False)

    @property
    def white_to_move(self) -> bool:
        """Whose score it is."""
        return self.fen.split()[1] == "w"

    @property
    def small(self) -> bool:
        """Whether the sample is too small to lean on."""
        return self.games < statistics.SMALL

    def move(self, played: str) -> MoveTally | None:
        """The tally of a move given in SAN or UCI, `None` if nobody played it."""
        wanted = played.rstrip("+#!?")
        return next((m for m in self.moves if wanted in (m.uci, m.san.rstrip("+#"))), None)

    def rank(self, played: str) -> int | None:
        """1 for the move most played, and so on."""
        found = self.move(played)
        return None if found is None else 1 + sum(m.games > found.games for m in self.moves)

    def where(self, chosen: Filter) -> Tally:
        """The same position with another filter; nothing is read again."""
        return count(self.fen, self.collection, self._rows, chosen, self.generations)

    def basis(self) -> str:
        """What the figures stand on, for a caption."""
        if not self.games:
            limits = f" {self.filter}" if self.filter != Filter() else ""
            return f"no games{limits}; {self.collection}"
        few = "; a small sample" if self.small else ""
        return f"{statistics.in_games(self.games)}, {self.filter}{few}; {self.collection}"


def ask(
    collections: Collection | Sequence[Collection],
    board: chess.Board | str,
    chosen: Filter = Filter(),
) -> Tally:
    """The tally of a position; transpositions are counted in, since positions are.

    **Cost**: a few milliseconds; the file of the position's shard is read.
    """
    several = [collections] if isinstance(collections, Collection) else list(collections)
    fen = board if isinstance(board, str) else board.fen(en_passant="fen")
    found = [one.rows(_core.position_key(fen)) for one in several]
    rows = {name: np.concatenate([part[name] for part in found]) for name in store.ROWS}
    generations = tuple(one.generation for one in several)
    return count(fen, " and ".join(one.identity for one in several), rows, chosen, generations)


def count(
    fen: str, collection: str, rows: store.Columns, chosen: Filter, generations: tuple[int, ...]
) -> Tally:
    """A tally of rows of one position."""
    mask = chosen.mask(rows)
    taken = {name: column[mask] for name, column in rows.items()}
    board = chess.Board(fen)
    games = int(taken["games"].sum())
    whole = _Sums(taken)
    codes, place = np.unique(taken["move"], return_inverse=True)
    moves = [_move(board, int(code), taken, place == n, games) for n, code in enumerate(codes)]
    moves = [move for move in moves if move.games > 0]
    moves.sort(key=lambda move: (-move.games, move.san))
    years = taken["year"][taken["year"] > 0]
    return Tally(
        fen=fen,
        collection=collection,
        filter=chosen,
        games=games,
        score=whole.score(),
        drawn=whole.drawn(),
        moves=tuple(moves),
        years=(int(years.min()), int(years.max())) if len(years) else None,
        generations=generations,
        _rows=rows,
    )


class _Sums:
    """Totals of some rows."""

    def __init__(self, rows: store.Columns, mask: Any = slice(None)) -> None:
        def total(name: str) -> int:
            return int(rows[name][mask].sum())

        self.games = total("games")
        self.wins, self.draws, self.losses = total("wins"), total("draws"), total("losses")
        self.rated, self.ratings, self.opposed = (
            total("rated"),
            total("rating_sum"),
            total("opposed_sum"),
        )

    def score(self) -> Score:
        return statistics.score(self.wins, self.draws, self.losses)

    def drawn(self) -> Proportion:
        return statistics.proportion(self.draws, self.wins + self.draws + self.losses)


def _move(
    board: chess.Board, code: int, rows: store.Columns, mine: npt.NDArray[np.bool_], games: int
) -> MoveTally:
    sums = _Sums(rows, mine)
    played = move_of(board, code)
    result = sums.score()
    years = rows["year"][mine & (rows["year"] > 0)]
    return MoveTally(
        uci=played.uci(),
        san=board.san(played),
        games=sums.games,
        share=statistics.proportion(sums.games, games),
        score=result,
        drawn=sums.drawn(),
        rating=round(sums.ratings / sums.rated) if sums.rated else None,
        performance=statistics.performance(sums.opposed / sums.rated, result)
        if sums.rated
        else None,
        first_year=int(years.min()) if len(years) else None,
        last_year=int(years.max()) if len(years) else None,
        _rows=rows,
        _code=code,
    )


def move_of(board: chess.Board, code: int) -> chess.Move:
    """The move a number in the rows stands for on a board."""
    start, end, promotion = code & 63, code >> 6 & 63, code >> 12
    if (
        board.piece_type_at(start) == chess.KING
        and board.color_at(end) == board.turn
        and not board.chess960
    ):
        file = 6 if end > start else 2
        return chess.Move(start, chess.square(file, chess.square_rank(start)))
    return chess.Move(start, end, promotion or None)


def _parts(rows: store.Columns, mine: npt.NDArray[np.bool_], column: str) -> tuple[Part, ...]:
    values, place = np.unique(rows[column], return_inverse=True)
    of = np.bincount(place, rows["games"], len(values))
    names = ("games", "wins", "draws", "losses")
    games, wins, draws, losses = (
        np.bincount(place[mine], rows[n][mine], len(values)) for n in names
    )
    return tuple(
        Part(
            int(value),
            statistics.proportion(int(games[n]), int(of[n])),
            statistics.score(int(wins[n]), int(draws[n]), int(losses[n])),
        )
        for n, value in enumerate(values)
        if value and games[n] > 0
    )


def _trend(rows: store.Columns, mine: npt.NDArray[np.bool_]) -> Trend | None:
    known = rows["year"] > 0
    if not known.any():
        return None
    since = int(rows["year"][known].max()) - RECENT_YEARS + 1
    recent, before = known & (rows["year"] >= since), known & (rows["year"] < since)

    def share(where: npt.NDArray[np.bool_]) -> Proportion:
        return statistics.proportion(
            int(rows["games"][where & mine].sum()), int(rows["games"][where].sum())
        )

    one, other = share(recent), share(before)
    if not one.games or not other.games:
        return None
    return Trend(since, one, other, *statistics.difference(one, other))
