"""Segments of tally rows, derived from stored games; the games are the truth."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt
import pyarrow as pa

from linewright import _core
from linewright.games import store
from linewright.games.manifest import Batch, Manifest, Piece, Segment

ROWS_PER_SHARD = 600_000
PASSAGES_AT_ONCE = 64_000_000
"""16 bytes each: what one pass over the games may hold in memory."""
FEED = 16 * store.GAME_GROUP
MERGE_FACTOR = 4
"""A segment is joined with the one before unless that is at least so many times as large."""

Ids = npt.NDArray[np.int32]
Tell = Callable[[str], None]


def stored_games(content: pa.Table, skip: bytes = b"") -> _core.StoredGames:
    """Games of a table as the core walks through them."""
    offsets, moves = store.texts(content, "moves")
    fen_offsets, fens = store.texts(content, "fen")
    white, black, year, result = (
        store.raw(content, name) for name in ("white_rating", "black_rating", "year", "result")
    )
    return _core.StoredGames(moves, offsets, fens, fen_offsets, white, black, year, result, skip)


_NEEDED = ("moves", "fen", "white_rating", "black_rating", "year", "result")


def _stretches(folder: Path, batch: Batch) -> Iterator[tuple[int, pa.Table]]:
    groups = math.ceil(batch.games / store.GAME_GROUP)
    step = FEED // store.GAME_GROUP
    for first in range(0, groups, step):
        wanted = range(first, min(first + step, groups))
        yield (
            batch.first + first * store.GAME_GROUP,
            store.read(folder / batch.piece.file, _NEEDED, wanted),
        )


def _passages(folder: Path, batches: list[Batch], plies: int) -> int:
    total = 0
    for batch in batches:
        column = store.read(folder / batch.piece.file, ("plies",)).column(0).to_numpy()
        total += int(np.minimum(column, plies).sum())
    return total


def build(
    folder: Path,
    manifest: Manifest,
    batches: list[Batch],
    skip: Ids,
    *,
    sign: int = 1,
    only: tuple[int, Segment] | None = None,
) -> Segment:
    """A new segment of the games in `batches` without those in `skip`; its files are written.

    **Cost**: one replay of all games for every 64 million passages; memory for as many. With
    `only` (shard, segment) just that shard is made again, under its old name.
    """
    total = _passages(folder, batches, manifest.plies)
    bits = only[1].bits if only else _bits(total)
    shards = range(1 << bits) if only is None else range(only[0], only[0] + 1)
    passes = max(1, math.ceil(total / PASSAGES_AT_ONCE)) if only is None else 1
    share = math.ceil(len(shards) / passes)
    place = f"rows/{manifest.generation + 1:06d}-{batches[0].first if batches else 0}-{sign:+d}"
    made: list[tuple[Piece, Piece, int]] = []
    for first in range(shards.start, shards.stop, share):
        last = min(first + share, shards.stop)
        indexer = _core.GameIndexer(manifest.plies, bits, first, last, sign)
        for batch in batches:
            for number, content in _stretches(folder, batch):
                skipped = np.isin(np.arange(number, number + content.num_rows), skip)
                indexer.feed(stored_games(content, skipped.astype(np.uint8).tobytes()))
        made += _write(folder, place if only is None else "", indexer, range(first, last), only)
    spans = tuple((batch.first, batch.games) for batch in batches)
    rows, shared, counts = zip(*made, strict=True)
    return Segment(spans, bits, sign, rows, shared, sum(counts))


def _bits(passages: int) -> int:
    return min(10, max(0, math.ceil(math.log2(max(passages, 1) / ROWS_PER_SHARD))))


def _write(
    folder: Path,
    place: str,
    indexer: _core.GameIndexer,
    shards: range,
    only: tuple[int, Segment] | None,
) -> list[tuple[Piece, Piece, int]]:
    def one(shard: int) -> tuple[Piece, Piece, int]:
        data = indexer.rows(shard - shards.start)
        rows_name, shared_name = (
            f"{place}/rows-{shard:04d}.parquet",
            f"{place}/shared-{shard:04d}.parquet",
        )
        if only is not None:
            rows_name, shared_name = only[1].rows[shard].file, only[1].shared[shard].file
        rows = store.table(store.ROWS, data)
        shared = store.table(store.SHARED, {"key": data["shared_key"], "game": data["shared_game"]})
        return (
            store.write(folder, rows_name, rows),
            store.write(folder, shared_name, shared),
            rows.num_rows,
        )

    with ThreadPoolExecutor(2) as pool:
        return list(pool.map(one, shards))


def removed_games(folder: Path, manifest: Manifest) -> tuple[Ids, Ids]:
    """Games taken out: all of them, and those the segments no longer count."""
    if manifest.removed is None:
        none = np.empty(0, np.int32)
        return none, none
    content = store.read(folder / manifest.removed.file)
    games = content.column("game").to_numpy()
    return games, games[content.column("counted").to_numpy() == 0]


def rebuild(folder: Path, manifest: Manifest, tell: Tell = lambda _: None) -> Manifest:
    """The manifest with one segment in place of all, made from the stored games."""
    everything, _ = removed_games(folder, manifest)
    manifest = _settle(folder, manifest, everything)
    if not manifest.batches:
        return replace(manifest, segments=())
    tell("sorting positions")
    segment = build(folder, manifest, list(manifest.batches), everything)
    return replace(manifest, segments=(segment,))


def _settle(folder: Path, manifest: Manifest, everything: Ids) -> Manifest:
    """Forgets batches without a living game; what else is removed is counted no more."""
    gone = set(everything.tolist())
    kept = tuple(
        batch
        for batch in manifest.batches
        if not all(number in gone for number in range(batch.first, batch.first + batch.games))
    )
    inside = np.array(
        [n for n in sorted(gone) if any(b.first <= n < b.first + b.games for b in kept)], np.int32
    )
    removed = None
    if len(inside):
        removed = write_removed(folder, manifest, inside, np.zeros(len(inside), np.int8))
    return replace(manifest, batches=kept, removed=removed)


def write_removed(folder: Path, manifest: Manifest, games: Ids, counted: npt.NDArray[Any]) -> Piece:
    """The file that says which games were taken out."""
    content = pa.table(
        {"game": games, "counted": counted}, schema=pa.schema(list(store.REMOVED.items()))
    )
    return store.write(folder, f"sources/removed-{manifest.generation + 1:06d}.parquet", content)


def compact(folder: Path, manifest: Manifest, tell: Tell = lambda _: None) -> Manifest:
    """The manifest with small segments joined, so that few files answer a question."""
    segments = list(manifest.segments)
    negative = sum(s.games for s in segments if s.sign < 0)
    if negative and (len(segments) > 8 or negative * MERGE_FACTOR > manifest.live):
        return rebuild(folder, manifest, tell)
    keep = len(segments)
    while keep > 1 and segments[keep - 1].sign > 0 and segments[keep - 2].sign > 0:
        tail = sum(s.games for s in segments[keep - 1 :])
        if tail * MERGE_FACTOR < segments[keep - 2].games:
            break
        keep -= 1
    joined = segments[keep - 1 :]
    if len(joined) < 2:
        return manifest
    tell("joining additions")
    spans = {first for segment in joined for first, _ in segment.spans}
    batches = [batch for batch in manifest.batches if batch.first in spans]
    _, settled = removed_games(folder, manifest)
    segment = build(folder, manifest, batches, settled)
    return replace(manifest, segments=(*segments[: keep - 1], segment))
