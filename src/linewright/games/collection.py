"""A collection opened for questions, and the work on it that reads no game file."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt
import pyarrow as pa

from linewright import _core
from linewright.errors import CannotReadError, LinewrightError, UnknownNameError
from linewright.games import indexing, store
from linewright.games.manifest import Batch, Manifest, Segment, Source, load, locked, save, sweep
from linewright.games.statistics import in_games

OPEN_SHARDS = 192


@dataclass(frozen=True, slots=True)
class StoredGame:
    """One game of a collection. `moves` in SAN; `fen` of its start, empty for the usual one."""

    number: int
    white: str
    black: str
    white_rating: int
    black_rating: int
    event: str
    site: str
    date: str
    round: str
    year: int
    result: str
    fen: str
    moves: tuple[str, ...]
    source: str = ""
    line: int = 0


RESULT_OF_CODE = ("*", "1-0", "1/2-1/2", "0-1")


def _existing(folder: Path) -> Manifest:
    """The manifest of a collection that is there.

    **Raises** `CannotReadError` if there is none, `NewerCollectionError`.
    """
    manifest = load(folder)
    if not manifest.generation:
        why = "there is no collection: 'linewright games add FILES' makes one"
        raise CannotReadError(str(folder), why)
    return manifest


class Collection:
    """Indexed games in a folder.

    **Raises** `CannotReadError` if there is none, `NewerCollectionError`. Questions raise
    `DamagedFileError` naming the file if the answer lies in a damaged one; other questions go on.
    """

    def __init__(self, folder: Path | str, title: str = "") -> None:
        self.folder = Path(folder)
        self.title = title or self.folder.name
        self.manifest = _existing(self.folder)
        self._shards: OrderedDict[str, store.Shard] = OrderedDict()
        self._heads: dict[int, pa.Table] = {}
        self._gone: set[int] | None = None

    @property
    def games(self) -> int:
        """Games counted."""
        return self.manifest.live

    @property
    def identity(self) -> str:
        """Name and size, for a figure to say what it was counted from.

        The name is the one the teacher gave, never that of a folder in the cache.
        """
        return f"{self.title} ({in_games(self.games)})"

    @property
    def generation(self) -> int:
        """How many times the collection has changed: equal figures need an equal one."""
        return self.manifest.generation

    def rows(self, key: int) -> store.Columns:
        """The tally rows of a position; negative ones take removed games out again.

        **Cost**: one or two row groups of each segment.
        """
        rows: store.Columns = self._latest(lambda: self._rows(key))
        return rows

    def _rows(self, key: int) -> store.Columns:
        found = [self._find(segment, segment.rows, key) for segment in self.manifest.segments]
        found = [columns for columns in found if columns]
        if not found:
            return {name: np.empty(0, np.int64) for name in store.ROWS}
        return {name: np.concatenate([columns[name] for columns in found]) for name in store.ROWS}

    def _latest(self, answer: Callable[[], Any]) -> Any:
        """An answer from files that another process may replace meanwhile."""
        for _ in range(3):
            try:
                return answer()
            except FileNotFoundError as error:
                fresh = load(self.folder)
                if fresh.generation == self.manifest.generation:
                    raise store.DamagedFileError(
                        Path(str(error.filename)), "it is missing"
                    ) from error
                self.manifest = fresh
                self._shards.clear()
                self._heads.clear()
                self._gone = None
        raise CannotReadError(str(self.folder), "the collection keeps changing: ask again")

    def _find(self, segment: Segment, pieces: tuple[Any, ...], key: int) -> store.Columns:
        number = (
            ((key & 0xFFFF_FFFF_FFFF_FFFF) ^ (1 << 63)) >> (64 - segment.bits)
            if segment.bits
            else 0
        )
        name = pieces[number].file
        shard = self._shards.get(name)
        if shard is None:
            shard = store.Shard(self.folder / name)
            self._shards[name] = shard
            if len(self._shards) > OPEN_SHARDS:
                self._shards.popitem(last=False)
        return shard.find(key)

    def removed(self) -> set[int]:
        """Numbers of the games taken out."""
        if self._gone is None:
            self._gone = set(indexing.removed_games(self.folder, self.manifest)[0].tolist())
        return self._gone

    def games_through(self, key: int) -> npt.NDArray[np.int64]:
        """Numbers of the games that pass a position within the collection's depth, in order."""
        numbers: npt.NDArray[np.int64] = self._latest(lambda: self._through(key))
        return numbers

    def _through(self, key: int) -> npt.NDArray[np.int64]:
        found = [self._in_segment(s, key) for s in self.manifest.segments if s.sign > 0]
        numbers = np.unique(np.concatenate([np.empty(0, np.int64), *found]))
        gone = self.removed()
        return numbers[~np.isin(numbers, list(gone))] if gone else numbers

    def _in_segment(self, segment: Segment, key: int) -> npt.NDArray[np.int64]:
        shared = self._find(segment, segment.shared, key)
        if shared and len(shared["game"]):
            return _numbers(segment, shared["game"])
        rows = self._find(segment, segment.rows, key)
        if not rows or not len(rows["key"]):
            return np.empty(0, np.int64)
        return self._only_game(segment, key, rows)

    def _only_game(self, segment: Segment, key: int, rows: store.Columns) -> npt.NDArray[np.int64]:
        """The one game of a segment that passes a position, found by what its row says of it."""
        starts = {first for first, _ in segment.spans}
        for batch in self.manifest.batches:
            if batch.first not in starts:
                continue
            head = self._head(batch)
            fits = head.column("year").to_numpy() == rows["year"][0]
            if rows["rated"][0]:
                pair = sorted((int(rows["rating_sum"][0]), int(rows["opposed_sum"][0])))
                ratings = np.sort(
                    np.stack([head.column(n).to_numpy() for n in ("white_rating", "black_rating")]),
                    axis=0,
                )
                fits &= (ratings[0] == pair[0]) & (ratings[1] == pair[1])
            numbers = np.flatnonzero(fits) + batch.first
            content = self.table(numbers)
            hits = indexing.stored_games(content).passing(key, self.manifest.plies)
            if hits:
                return numbers[hits]
        return np.empty(0, np.int64)

    def _head(self, batch: Batch) -> pa.Table:
        if batch.first not in self._heads:
            names = ("year", "white_rating", "black_rating", "result", "plies")
            self._heads[batch.first] = store.read(self.folder / batch.piece.file, names)
        return self._heads[batch.first]

    def heads(self, numbers: npt.NDArray[np.int64]) -> store.Columns:
        """Year, ratings, result and plies of games, in the order of `numbers`."""
        parts = []
        for batch in self.manifest.batches:
            inside = numbers[(numbers >= batch.first) & (numbers < batch.first + batch.games)]
            if len(inside):
                parts.append(self._head(batch).take(pa.array(inside - batch.first)))
        if not parts:
            return {
                n: np.empty(0, np.int64)
                for n in ("year", "white_rating", "black_rating", "result", "plies")
            }
        whole = pa.concat_tables(parts)
        return {name: whole.column(name).to_numpy() for name in whole.schema.names}

    def table(
        self, numbers: npt.NDArray[np.int64], columns: Iterable[str] | None = None
    ) -> pa.Table:
        """Games by number, ascending, as columns."""
        wanted = list(columns or ("moves", "fen", "white_rating", "black_rating", "year", "result"))
        parts = []
        for batch in self.manifest.batches:
            inside = (
                numbers[(numbers >= batch.first) & (numbers < batch.first + batch.games)]
                - batch.first
            )
            if not len(inside):
                continue
            groups = np.unique(inside // store.GAME_GROUP)
            content = store.read(self.folder / batch.piece.file, wanted, groups.tolist())
            place = np.searchsorted(groups, inside // store.GAME_GROUP) * store.GAME_GROUP
            parts.append(content.take(pa.array(place + inside % store.GAME_GROUP)))
        if not parts:
            return pa.schema([(n, store.GAMES[n]) for n in wanted]).empty_table()
        return pa.concat_tables(parts)

    def stored(self, numbers: npt.NDArray[np.int64]) -> _core.StoredGames:
        """Games by number, ascending, for the core to walk through."""
        return indexing.stored_games(self.table(numbers))

    def read_games(self, numbers: Iterable[int]) -> tuple[StoredGame, ...]:
        """Games by number, in the order asked for."""
        order = list(numbers)
        ascending = np.array(sorted(set(order)), np.int64)
        content = self.table(ascending, [n for n in store.GAMES if n not in ("fingerprint", "cut")])
        walker = indexing.stored_games(content)
        rows = content.drop_columns(["moves"]).to_pylist()
        by_number = {
            int(number): _game(int(number), row, walker.san(index))
            for index, (number, row) in enumerate(zip(ascending, rows, strict=True))
        }
        return tuple(by_number[number] for number in order if number in by_number)

    def faults(self, source: Source) -> list[dict[str, Any]]:
        """The games of a source that were refused: line, game_line, reason."""
        found: list[dict[str, Any]] = []
        for piece in source.faults:
            found += store.read(self.folder / piece.file).to_pylist()
        return found

    def size(self) -> int:
        """Bytes on the disk."""
        return sum(piece.size for piece in self.manifest.pieces())


def sampled(numbers: npt.NDArray[np.int64], limit: int) -> npt.NDArray[np.int64]:
    """About so many of the games, from stretches spread evenly over the collection.

    Whole stretches, because games are packed by the thousand and unpacking is what costs.
    """
    if len(numbers) <= limit:
        return numbers
    stretch = numbers // store.GAME_GROUP
    there = np.unique(stretch)
    wanted = max(8, -(-limit * len(there) // len(numbers)))
    picked = there[np.linspace(0, len(there) - 1, min(wanted, len(there))).astype(int)]
    some = numbers[np.isin(stretch, picked)]
    return some[:: max(1, len(some) // limit)]


def _game(number: int, row: dict[str, Any], moves: list[str]) -> StoredGame:
    texts = {
        name: row[name] for name in ("white", "black", "event", "site", "date", "round", "fen")
    }
    return StoredGame(
        number=number,
        white_rating=row["white_rating"],
        black_rating=row["black_rating"],
        year=row["year"],
        result=RESULT_OF_CODE[row["result"]],
        moves=tuple(moves),
        line=row["line"],
        **texts,
    )


def _numbers(segment: Segment, places: npt.NDArray[Any]) -> npt.NDArray[np.int64]:
    firsts = np.array([first for first, _ in segment.spans], np.int64)
    ends = np.cumsum([count for _, count in segment.spans])
    span = np.searchsorted(ends, places, side="right")
    before = np.concatenate([[0], ends[:-1]])
    numbers: npt.NDArray[np.int64] = firsts[span] + places - before[span]
    return numbers


@dataclass(frozen=True, slots=True)
class Removal:
    """What `remove` did: games taken out, and games kept because other sources have them too."""

    sources: tuple[str, ...]
    games: int
    kept: int


def remove(folder: Path, name: str, waiting: Callable[[], None] | None = None) -> Removal:
    """Takes a source (by name or digest) out of a collection.

    Games another source has as well stay. **Raises** `UnknownNameError`, `CannotReadError`,
    `CannotWriteError`, `LinewrightError` where the name is that of several sources.
    """
    _existing(folder)
    with locked(folder, waiting):
        manifest = load(folder)
        out = tuple(
            s
            for s in manifest.sources
            if name == s.name or (len(name) >= 6 and s.digest.startswith(name))
        )
        if not out:
            raise UnknownNameError(
                "source", name, tuple(sorted({s.name for s in manifest.sources})) or ("none",)
            )
        if len({source.digest for source in out}) > 1:
            which = " or ".join(source.digest[:8] for source in out)
            raise LinewrightError(
                f"'{name}' is {len(out)} sources: name one by its digest, {which}"
            )
        staying = tuple(s for s in manifest.sources if s not in out)
        theirs, others = _held(folder, out), _held(folder, staying)
        before, settled = indexing.removed_games(folder, manifest)
        going = np.setdiff1d(np.setdiff1d(theirs, others), before).astype(np.int32)
        kept = len(np.setdiff1d(theirs, before)) - len(going)
        manifest = replace(manifest, sources=staying, live=manifest.live - len(going))
        manifest = _take_out(folder, manifest, going, before, settled)
        save(folder, manifest)
        sweep(folder, manifest)
    return Removal(tuple(s.name for s in out), len(going), kept)


def _held(folder: Path, sources: Iterable[Source]) -> npt.NDArray[np.int32]:
    columns = [
        store.read(folder / piece.file, ("game",)).column(0).to_numpy()
        for source in sources
        for piece in source.held
    ]
    return np.unique(np.concatenate([np.empty(0, np.int32), *columns]))


LARGE = 200_000
"""From here on games are taken out by rows that count against them; below, all is counted anew."""


def _take_out(
    folder: Path,
    manifest: Manifest,
    going: indexing.Ids,
    before: indexing.Ids,
    settled: indexing.Ids,
) -> Manifest:
    if not len(going):
        return manifest
    games = np.concatenate([before, going])
    counted = np.concatenate([~np.isin(before, settled), np.ones(len(going), bool)]).astype(np.int8)
    manifest = replace(manifest, removed=indexing.write_removed(folder, manifest, games, counted))
    if manifest.live < LARGE or len(going) * 4 > manifest.live:
        return indexing.rebuild(folder, manifest)
    touched = [
        b for b in manifest.batches if np.any((going >= b.first) & (going < b.first + b.games))
    ]
    span = np.concatenate([np.arange(b.first, b.first + b.games, dtype=np.int32) for b in touched])
    minus = indexing.build(folder, manifest, touched, np.setdiff1d(span, going), sign=-1)
    return indexing.compact(folder, replace(manifest, segments=(*manifest.segments, minus)))


@dataclass(frozen=True, slots=True)
class Damage:
    """A damaged file of a collection; `games` are lost with it if it cannot be made again."""

    file: str
    reason: str
    rebuilt: bool
    games: int = 0
    sources: tuple[str, ...] = ()


def verify(
    folder: Path, *, mend: bool = False, waiting: Callable[[], None] | None = None
) -> list[Damage]:
    """The damaged files of a collection; with `mend` what can be is made again from the games.

    A damaged file of games cannot be: with `mend` it is left out, and its sources are named so
    that they can be added again. **Raises** `CannotReadError` if there is no collection.
    """
    _existing(folder)
    with locked(folder, waiting):
        manifest = load(folder)
        bad = {p.file: reason for p in manifest.pieces() if (reason := store.damage(folder, p))}
        if not bad:
            return []
        lost = [batch for batch in manifest.batches if batch.piece.file in bad]
        sources = _sources_of(folder, manifest, lost, bad)
        if mend:
            _mend(folder, manifest, bad, lost)
    games = {batch.piece.file: batch.games for batch in lost}
    return [
        Damage(
            file,
            reason,
            mend and file not in games,
            games.get(file, 0),
            sources if file in games else (),
        )
        for file, reason in sorted(bad.items())
    ]


def _sources_of(
    folder: Path, manifest: Manifest, lost: list[Batch], bad: dict[str, str]
) -> tuple[str, ...]:
    names = set()
    for source in manifest.sources:
        for piece in source.held:
            if piece.file in bad:
                names.add(source.name)
                continue
            held = store.read(folder / piece.file, ("game",)).column(0).to_numpy()
            if any(np.any((held >= b.first) & (held < b.first + b.games)) for b in lost):
                names.add(source.name)
    return tuple(sorted(names))


def _mend(folder: Path, manifest: Manifest, bad: dict[str, str], lost: list[Batch]) -> None:
    kept = tuple(
        replace(
            source,
            held=tuple(p for p in source.held if p.file not in bad),
            faults=tuple(p for p in source.faults if p.file not in bad),
        )
        for source in manifest.sources
    )
    manifest = replace(
        manifest,
        sources=kept,
        batches=tuple(b for b in manifest.batches if b not in lost),
        removed=None if manifest.removed and manifest.removed.file in bad else manifest.removed,
    )
    if lost or any(s.sign < 0 for s in manifest.segments):
        gone = indexing.removed_games(folder, manifest)[0]
        living = sum(
            b.games - int(np.count_nonzero((gone >= b.first) & (gone < b.first + b.games)))
            for b in manifest.batches
        )
        manifest = indexing.rebuild(folder, replace(manifest, live=living))
    else:
        manifest = replace(
            manifest, segments=tuple(_again(folder, manifest, s, bad) for s in manifest.segments)
        )
    manifest = save(folder, manifest)
    sweep(folder, manifest)


def _again(folder: Path, manifest: Manifest, segment: Segment, bad: dict[str, str]) -> Segment:
    """A segment whose damaged shards are made again."""
    starts = {first for first, _ in segment.spans}
    batches = [batch for batch in manifest.batches if batch.first in starts]
    rows, shared = list(segment.rows), list(segment.shared)
    skip = indexing.removed_games(folder, manifest)[1]
    for shard, (one, two) in enumerate(zip(segment.rows, segment.shared, strict=True)):
        if one.file in bad or two.file in bad:
            made = indexing.build(folder, manifest, batches, skip, only=(shard, segment))
            rows[shard], shared[shard] = made.rows[0], made.shared[0]
    return replace(segment, rows=tuple(rows), shared=tuple(shared))
