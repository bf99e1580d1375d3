"""Adding game files to a collection, so that every moment can be the last."""

from __future__ import annotations

import hashlib
import queue
import threading
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from pathlib import Path

import numpy as np
import numpy.typing as npt
import pyarrow as pa

from linewright import _core
from linewright.games import files, indexing, store
from linewright.games.manifest import (
    Batch,
    Manifest,
    Piece,
    Source,
    load,
    locked,
    save,
    sweep,
)

GAMES_AT_ONCE = 1_000_000
SECONDS_AT_MOST = 60.0


@dataclass(frozen=True, slots=True)
class Remark:
    """What is wrong at a place of a game file. `game_line` is where its game begins."""

    line: int
    game_line: int
    reason: str


@dataclass(frozen=True, slots=True)
class FileReport:
    """What became of one file."""

    file: str
    games: int
    added: int
    duplicates: int
    variants: int
    refused: tuple[Remark, ...]
    warnings: tuple[Remark, ...]
    warned: int
    """Remarks in all; `warnings` holds the first thousand."""
    broken: str = ""
    """Why the file, or the rest of it, could not be read; empty if it was."""
    resumed: bool = False


@dataclass(slots=True)
class _Reading:
    """A file while it is read."""

    name: str
    number: int
    before: Source | None = None
    """The state of an addition that was interrupted."""
    games: int = 0
    added: int = 0
    variants: int = 0
    warned: int = 0
    duplicates: list[tuple[int, int]] = field(default_factory=list)
    refused: list[Remark] = field(default_factory=list)
    warnings: list[Remark] = field(default_factory=list)
    stored: list[pa.Table] = field(default_factory=list)
    held: list[Piece] = field(default_factory=list)
    faults: list[Piece] = field(default_factory=list)
    saved_duplicates: int = 0
    saved_refused: int = 0
    digest: str = ""
    bytes: int = 0
    lines: int = 1
    complete: bool = False
    broken: str = ""

    def source(self) -> Source:
        old = self.before or Source(self.number, self.name, "", 0, 0, False)
        return Source(
            number=self.number,
            name=self.name,
            digest=self.digest,
            bytes=self.bytes,
            lines=self.lines,
            complete=self.complete,
            games=old.games + self.games,
            added=old.added + self.added,
            duplicates=old.duplicates + len(self.duplicates),
            refused=old.refused + len(self.refused),
            variants=old.variants + self.variants,
            warned=old.warned + self.warned,
            held=old.held + tuple(self.held),
            faults=old.faults + tuple(self.faults),
            broken=self.broken,
        )

    def report(self) -> FileReport:
        source = self.source()
        return FileReport(
            self.name,
            source.games,
            source.added,
            source.duplicates,
            source.variants,
            tuple(self.refused),
            tuple(self.warnings),
            source.warned,
            self.broken,
            self.before is not None,
        )


@dataclass(frozen=True, slots=True)
class Progress:
    """How far an addition is. `bytes` of unpacked text in this file, `games` added in all."""

    file: str
    bytes: int
    games: int
    stage: str = "reading"


Tell = Callable[[Progress], None]


class Addition:
    """One run of `games add`: reads files into a collection and commits as it goes."""

    def __init__(
        self, folder: Path, *, keep_to_fault: bool = False, tell: Tell = lambda _: None
    ) -> None:
        self._folder = folder
        self._keep = keep_to_fault
        self._tell = tell
        self._manifest = Manifest()
        self._fingerprints = np.empty(0, np.int64)
        self._ids = np.empty(0, np.int32)
        self._readings: list[_Reading] = []
        self._open: list[_Reading] = []
        self._committed = time.monotonic()

    def run(
        self, paths: list[str], plies: int | None = None, waiting: Callable[[], None] | None = None
    ) -> list[FileReport]:
        """Adds the files; what each came to.

        **Raises** `CannotWriteError`, `NewerCollectionError`; the collection stands as after the
        last commit.
        """
        with locked(self._folder, waiting):
            self._manifest = load(self._folder)
            sweep(self._folder, self._manifest)
            self._set_depth(plies)
            self._know()
            reader = _core.GameReader(self._fingerprints.tobytes(), keep_to_fault=self._keep)
            for found in files.find(paths):
                self._file(found, reader)
            self._commit()
            self._finish()
        return [reading.report() for reading in self._readings]

    def _set_depth(self, plies: int | None) -> None:
        if plies is None or plies == self._manifest.plies:
            return
        self._manifest = replace(self._manifest, plies=plies)
        if self._manifest.batches:
            self._stage("counting to another depth")
            self._manifest = save(self._folder, indexing.rebuild(self._folder, self._manifest))

    def _stage(self, stage: str) -> None:
        name = self._readings[-1].name if self._readings else ""
        self._tell(Progress(name, 0, sum(r.added for r in self._readings), stage))

    def _know(self) -> None:
        prints, ids = [self._fingerprints], [self._ids]
        for batch in self._manifest.batches:
            content = store.read(self._folder / batch.piece.file, ("fingerprint",))
            prints.append(content.column(0).to_numpy())
            ids.append(np.arange(batch.first, batch.first + batch.games, dtype=np.int32))
        fingerprints, numbers = np.concatenate(prints), np.concatenate(ids)
        gone, _ = indexing.removed_games(self._folder, self._manifest)
        living = ~np.isin(numbers, gone)
        self._fingerprints, self._ids = fingerprints[living], numbers[living]

    def _file(self, found: files.GameFile | tuple[str, str], reader: _core.GameReader) -> None:
        number = (
            max((s.number for s in self._manifest.sources), default=0) + len(self._readings) + 1
        )
        if isinstance(found, tuple):
            self._readings.append(_Reading(found[0], number, broken=found[1]))
            return
        reading = _Reading(found.name, number)
        self._readings.append(reading)
        self._open.append(reading)
        if found.remark:
            reading.warnings.append(Remark(1, 1, found.remark))
            reading.warned += 1
        interrupted = next(
            (
                s
                for s in self._manifest.sources
                if s.name == found.name and not s.complete and not s.broken
            ),
            None,
        )
        if interrupted is None or not self._resume(found, reading, interrupted, reader):
            self._read(reading, _Text(found.chunks()), reader)
        self._take(reading, reader)
        if sum(t.num_rows for r in self._open for t in r.stored) >= GAMES_AT_ONCE or self._late():
            self._commit()

    def _late(self) -> bool:
        return time.monotonic() - self._committed > SECONDS_AT_MOST

    def _resume(
        self, found: files.GameFile, reading: _Reading, before: Source, reader: _core.GameReader
    ) -> bool:
        """Goes on where an interrupted addition of the same text stopped, if it is the same."""
        text = _Text(found.chunks())
        try:
            same = text.skip(before.bytes) == before.digest
        except files.BrokenFileError:
            same = False
        if same:
            reading.before = before
            reading.number = before.number
            reader.start_at_line(before.lines)
            self._read(reading, text, reader)
        return same

    def _read(self, reading: _Reading, text: _Text, reader: _core.GameReader) -> None:
        try:
            for chunk in _ahead(text):
                reader.feed(chunk)
                text.held_back(reader.held_back())
                self._tell(
                    Progress(
                        reading.name,
                        text.bytes,
                        sum(r.added for r in self._readings) + reader.waiting(),
                    )
                )
                if reader.waiting() >= GAMES_AT_ONCE:
                    self._take(reading, reader)
                    reading.digest, reading.bytes, reading.lines = (
                        text.digest(),
                        text.bytes,
                        reader.line(),
                    )
                    self._commit()
            reader.finish()
        except files.BrokenFileError as error:
            reading.broken = str(error)
            if reader.held_back():
                line = reader.line()
                reading.refused.append(Remark(line, line, "the file breaks off in this game"))
                reading.games += 1
            reader.drop_rest()
        text.held_back(0)
        reading.digest, reading.bytes, reading.complete = (
            text.digest(),
            text.bytes,
            not reading.broken,
        )

    def _take(self, reading: _Reading, reader: _core.GameReader) -> None:
        report = reader.take_report()
        reading.games += report["games"]
        reading.variants += report["variants"]
        reading.warned += report["warned"]
        reading.refused += [Remark(*one) for one in report["refused"]]
        reading.warnings += [Remark(*one) for one in report["warnings"]][
            : 1000 - len(reading.warnings)
        ]
        reading.duplicates += report["duplicates"]
        if reader.waiting():
            content = store.table(store.GAMES, reader.take_games())
            reading.added += content.num_rows
            reading.stored.append(content)

    def _commit(self) -> None:
        """Writes what was read since the last commit and makes it part of the collection."""
        self._committed = time.monotonic()
        tables = [content for reading in self._open for content in reading.stored]
        manifest = self._manifest
        games = pa.concat_tables(tables) if tables else None
        if games is not None:
            first = manifest.next_game
            batch = Batch(
                store.write(self._folder, f"games/{first:09d}.parquet", games, store.GAME_GROUP),
                first,
                games.num_rows,
            )
            self._stage("sorting positions")
            manifest = replace(
                manifest,
                batches=(*manifest.batches, batch),
                next_game=first + games.num_rows,
                live=manifest.live + games.num_rows,
            )
            segment = indexing.build(self._folder, manifest, [batch], np.empty(0, np.int32))
            manifest = replace(manifest, segments=(*manifest.segments, segment))
            self._learn(games, first)
        manifest = self._note_sources(
            manifest, manifest.next_game - (0 if games is None else games.num_rows)
        )
        if manifest != self._manifest:
            self._manifest = save(self._folder, manifest)
        self._open = [reading for reading in self._open if not (reading.complete or reading.broken)]
        for reading in self._open:
            reading.stored.clear()

    def _learn(self, games: pa.Table, first: int) -> None:
        fresh = games.column("fingerprint").to_numpy()
        self._fingerprints = np.concatenate([self._fingerprints, fresh])
        ids = np.arange(first, first + len(fresh), dtype=np.int32)
        self._ids = np.concatenate([self._ids, ids])

    def _note_sources(self, manifest: Manifest, first: int) -> Manifest:
        order = np.argsort(self._fingerprints)
        for reading in self._open:
            first = self._note_held(reading, first, order)
            self._note_faults(reading)
            source = reading.source()
            if self._known_before(source, manifest):
                continue
            others = tuple(s for s in manifest.sources if s.number != source.number)
            if source.complete:
                # A new reading of a file whose interrupted addition could not be resumed.
                others = tuple(s for s in others if s.name != source.name or s.complete or s.added)
            manifest = replace(manifest, sources=(*others, source))
        return manifest

    @staticmethod
    def _known_before(source: Source, manifest: Manifest) -> bool:
        return not source.added and any(
            s.number != source.number
            and s.complete
            and (s.name, s.digest) == (source.name, source.digest)
            for s in manifest.sources
        )

    def _note_held(self, reading: _Reading, first: int, order: npt.NDArray[np.int64]) -> int:
        new = sum(content.num_rows for content in reading.stored)
        lines = [content.column("line").to_numpy() for content in reading.stored]
        numbers = [np.arange(first, first + new, dtype=np.int32)]
        again = reading.duplicates[reading.saved_duplicates :]
        reading.saved_duplicates = len(reading.duplicates)
        if again:
            prints = np.array([one for one, _ in again], np.int64)
            numbers.append(
                self._ids[order[np.searchsorted(self._fingerprints, prints, sorter=order)]]
            )
            lines.append(np.array([line for _, line in again], np.int32))
        games, places = np.concatenate(numbers), np.concatenate([*lines, np.empty(0, np.int32)])
        if len(games):
            kind = pa.schema(list(store.HELD.items()))
            content = pa.table({"game": games, "line": places.astype(np.int32)}, schema=kind)
            name = f"sources/{reading.number:05d}-{self._manifest.generation + 1:06d}-held.parquet"
            reading.held.append(store.write(self._folder, name, content))
        return first + int(new)

    def _note_faults(self, reading: _Reading) -> None:
        fresh = reading.refused[reading.saved_refused :]
        reading.saved_refused = len(reading.refused)
        if not fresh:
            return
        columns = {
            "line": [min(r.line, 2**31 - 1) for r in fresh],
            "game_line": [min(r.game_line, 2**31 - 1) for r in fresh],
            "reason": [r.reason for r in fresh],
        }
        content = pa.table(columns, schema=pa.schema(list(store.FAULTS.items())))
        name = f"sources/{reading.number:05d}-{self._manifest.generation + 1:06d}-faults.parquet"
        reading.faults.append(store.write(self._folder, name, content))

    def _finish(self) -> None:
        compacted = indexing.compact(self._folder, self._manifest, self._stage)
        if compacted is not self._manifest:
            self._manifest = save(self._folder, compacted)
        sweep(self._folder, self._manifest)


class _Text:
    """The text of a file with the digest of what is done with."""

    def __init__(self, chunks: Iterator[bytes]) -> None:
        self._chunks = chunks
        self._hash = hashlib.blake2b(digest_size=16)
        self._tail = b""
        self._fresh: list[bytes] = []
        self.bytes = 0

    def __iter__(self) -> Iterator[bytes]:
        if self._tail:
            first, self._tail = self._tail, b""
            yield first
        yield from self._chunks

    def seen(self, chunk: bytes) -> None:
        """Notes that a chunk was handed on."""
        self._fresh.append(chunk)

    def held_back(self, count: int) -> None:
        """Counts everything handed on but the last `count` bytes as done with."""
        whole = b"".join([self._tail, *self._fresh])
        self._fresh.clear()
        done = len(whole) - count
        self._hash.update(memoryview(whole)[:done])
        self._tail = whole[done:]
        self.bytes += done

    def digest(self) -> str:
        """Digest of what is done with."""
        return self._hash.copy().hexdigest()

    def skip(self, count: int) -> str:
        """Passes over the first `count` bytes; their digest."""
        for chunk in self._chunks:
            part = chunk[: count - self.bytes]
            self._hash.update(part)
            self.bytes += len(part)
            if self.bytes == count:
                self._tail = chunk[len(part) :]
                break
        return self.digest()


def _ahead(text: _Text) -> Iterator[bytes]:
    """The chunks of a text, unpacked by a thread of its own two chunks ahead."""
    ready: queue.Queue[bytes | BaseException | None] = queue.Queue(2)
    stop = threading.Event()

    def put(item: bytes | BaseException | None) -> bool:
        while not stop.is_set():
            try:
                ready.put(item, timeout=0.2)
                return True
            except queue.Full:
                continue
        return False

    def work() -> None:
        try:
            for chunk in text:
                if not put(chunk):
                    return
            put(None)
        except BaseException as error:
            put(error)

    thread = threading.Thread(target=work, daemon=True)
    thread.start()
    try:
        while (item := ready.get()) is not None:
            if isinstance(item, BaseException):
                raise item
            text.seen(item)
            yield item
    finally:
        stop.set()
        thread.join()
