"""Plans: what happens in the moves after a position, counted over the games that reach it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import chess
import numpy as np

from linewright import _core
from linewright.games import statistics
from linewright.games.collection import Collection
from linewright.games.statistics import Proportion, Score
from linewright.games.tally import limits_in_words

GAMES_AT_MOST = 20_000


@dataclass(frozen=True, slots=True)
class Happening:
    """Something games do after a position: in how many, when, and how White and Black score."""

    share: Proportion
    white: Score
    """White's score in the games where it happens."""
    mean_ply: float
    """Plies after the position, on average, at which it happens."""

    def score(self, color: chess.Color) -> Score:
        """The score of one side."""
        if color:
            return self.white
        return statistics.score(self.white.losses, self.white.draws, self.white.wins)


@dataclass(frozen=True, slots=True)
class Route:
    """Where a piece stands when the plies are over; `to_square` is empty if it was taken."""

    piece: str
    from_square: str
    to_square: str
    happening: Happening


@dataclass(frozen=True, slots=True)
class Break:
    """A pawn move that takes a pawn or attacks one."""

    side: str
    from_square: str
    to_square: str
    happening: Happening


@dataclass(frozen=True, slots=True)
class Castling:
    """Which way a side castles; `way` is "short", "long" or "not"."""

    side: str
    way: str
    happening: Happening


@dataclass(frozen=True, slots=True)
class Plans:
    """What games do in the `plies` after a position."""

    fen: str
    collection: str
    plies: int
    games: int
    passing: int
    """Games that pass the position; `games` of them were followed."""
    score: Score
    """White's."""
    routes: tuple[Route, ...]
    breaks: tuple[Break, ...]
    castling: tuple[Castling, ...]
    queens_off: Happening | None
    """Both queens gone within the plies; `None` if there are none to begin with."""
    queens_off_ever: Happening | None
    """Both queens gone at any time."""
    queens_on: Score | None
    """White's score in games that keep a queen to the end."""
    limits: str = ""
    """Which games were taken, as people say it; empty for all."""

    def basis(self) -> str:
        """What the figures stand on, for a caption."""
        of = (
            ""
            if self.games == self.passing
            else f" (every {self.passing // self.games}th of {self.passing})"
        )
        few = "; a small sample" if self.games < statistics.SMALL else ""
        of += f", {self.limits}" if self.limits else ""
        number, unit = (self.plies, "half-move") if self.plies % 2 else (self.plies // 2, "move")
        moves = unit if number == 1 else f"{number} {unit}s"
        games = statistics.in_games(self.games)
        return f"{games}{of}, the next {moves}{few}; {self.collection}"


_Count = tuple[int, int, int, int, int]


def plans(
    collections: Collection | Sequence[Collection],
    board: chess.Board | str,
    plies: int = 20,
    ratings: tuple[int, int] | None = None,
    years: tuple[int, int] | None = None,
) -> Plans:
    """What the games through a position do in the next `plies` plies.

    At most 20,000 games are followed, evenly taken; the record says so. `ratings` limits both
    players, `years` the games. **Cost**: a replay of the games.
    """
    several = [collections] if isinstance(collections, Collection) else list(collections)
    fen = board if isinstance(board, str) else board.fen(en_passant="fen")
    key = _core.position_key(fen)
    total: _Count = (0, 0, 0, 0, 0)
    events: dict[tuple[str, str], _Count] = {}
    passing = 0
    for one in several:
        numbers = one.games_through(key)
        if ratings is not None or years is not None:
            heads = one.heads(numbers)
            limits = {"white_rating": ratings, "black_rating": ratings, "year": years}
            for name, ends in limits.items():
                if ends is not None:
                    inside = (heads[name] >= ends[0]) & (heads[name] <= ends[1])
                    numbers, heads = numbers[inside], {n: c[inside] for n, c in heads.items()}
        passing += len(numbers)
        step = max(1, int(np.ceil(len(numbers) * len(several) / GAMES_AT_MOST)))
        counted, found = one.stored(numbers[::step]).plans(key, one.manifest.plies, plies)
        total = _plus(total, counted)
        for kind, what, count in found:
            events[kind, what] = _plus(events.get((kind, what), (0, 0, 0, 0, 0)), count)
    identity = " and ".join(one.identity for one in several)
    record = _record(
        board=chess.Board(fen),
        fen=fen,
        collection=identity,
        plies=plies,
        total=total,
        passing=passing,
        events=events,
    )
    limited = ratings is not None or years is not None
    words = limits_in_words(ratings, years, both=True) if limited else ""
    return replace(record, limits=words)


def _plus(one: _Count, other: _Count) -> _Count:
    a, b, c, d, e = (x + y for x, y in zip(one, other, strict=True))
    return a, b, c, d, e


def _record(
    *,
    board: chess.Board,
    fen: str,
    collection: str,
    plies: int,
    total: _Count,
    passing: int,
    events: dict[tuple[str, str], _Count],
) -> Plans:
    games = total[0]

    def happening(count: _Count) -> Happening:
        n, white, draws, black, at = count
        result = statistics.score(white, draws, black)
        return Happening(statistics.proportion(n, games), result, at / n if n else 0.0)

    def of(kind: str) -> list[tuple[str, Happening]]:
        found = [(what, happening(count)) for (one, what), count in events.items() if one == kind]
        return sorted(found, key=lambda item: (-item[1].share.count, item[0]))

    ever = events.get(("queens-off-ever", ""))
    queens = bool(board.queens)
    return Plans(
        fen=fen,
        collection=collection,
        plies=plies,
        games=games,
        passing=passing,
        score=statistics.score(*total[1:4]),
        routes=_routes(board, of("goes"), of("taken")),
        breaks=_breaks(of),
        castling=_castling(events, total, happening),
        queens_off=happening(events.get(("queens-off", ""), (0, 0, 0, 0, 0))) if queens else None,
        queens_off_ever=happening(ever or (0, 0, 0, 0, 0)) if queens else None,
        queens_on=_without(total, ever) if queens else None,
    )


def _breaks(of: Callable[[str], list[tuple[str, Happening]]]) -> tuple[Break, ...]:
    found = [
        Break(side, what[:2], what[3:], one)
        for side, kind in (("White", "white-break"), ("Black", "black-break"))
        for what, one in of(kind)
    ]
    return tuple(sorted(found, key=lambda one: -one.happening.share.count))


def _routes(
    board: chess.Board, goes: list[tuple[str, Happening]], taken: list[tuple[str, Happening]]
) -> tuple[Route, ...]:
    def piece(square: str) -> str:
        found = board.piece_at(chess.parse_square(square))
        return found.symbol() if found else "?"

    routes = [Route(piece(what[:2]), what[:2], what[3:], one) for what, one in goes]
    routes += [Route(piece(what), what, "", one) for what, one in taken]
    routes.sort(key=lambda route: (route.from_square, -route.happening.share.count))
    return tuple(routes)


def _castling(
    events: dict[tuple[str, str], _Count], total: _Count, happening: Callable[[_Count], Happening]
) -> tuple[Castling, ...]:
    found = []
    for side in ("White", "Black"):
        left = total
        for way in ("short", "long"):
            count = events.get(("castles", f"{side.lower()}-{way}"), (0, 0, 0, 0, 0))
            left = _plus(left, tuple(-n for n in count))  # type: ignore[arg-type]
            found.append(Castling(side, way, happening(count)))
        found.append(Castling(side, "not", happening((*left[:4], 0))))
    return tuple(found)


def _without(total: _Count, part: _Count | None) -> Score:
    part = part or (0, 0, 0, 0, 0)
    return statistics.score(*(a - b for a, b in zip(total[1:4], part[1:4], strict=True)))
