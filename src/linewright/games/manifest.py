"""The one file that says what a collection consists of; replaced whole, or not at all."""

from __future__ import annotations

import json
import os
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import asdict, dataclass, field, replace
from pathlib import Path
from typing import Any

from linewright.errors import CannotReadError, CannotWriteError, LinewrightError

VERSION = 1
KEYS = "zobrist64; en passant if a pawn stands ready to take; signed"
PLIES = 60
"""How deep a collection counts unless the teacher says otherwise."""


class NewerCollectionError(LinewrightError):
    """The collection was written by a later version of the program."""

    def __init__(self, folder: str, version: int) -> None:
        super().__init__(
            f"the collection '{folder}' was written by a newer linewright (its version {version}, "
            f"this one reads up to {VERSION}): update linewright"
        )
        self.folder = folder
        self.version = version


@dataclass(frozen=True, slots=True)
class Piece:
    """A file of the collection: its name in the folder, its length and its checksum (CRC-32)."""

    file: str
    size: int
    crc: int


@dataclass(frozen=True, slots=True)
class Source:
    """A file of games that was added. `digest` is that of its text, unpacked."""

    number: int
    name: str
    digest: str
    bytes: int
    lines: int
    complete: bool
    games: int = 0
    added: int = 0
    duplicates: int = 0
    refused: int = 0
    variants: int = 0
    warned: int = 0
    held: tuple[Piece, ...] = ()
    """Which games the source has: game, line."""
    faults: tuple[Piece, ...] = ()
    """Games refused: line, line of the game, reason."""
    broken: str = ""


@dataclass(frozen=True, slots=True)
class Batch:
    """A file of stored games, numbered from `first`."""

    piece: Piece
    first: int
    games: int


@dataclass(frozen=True, slots=True)
class Segment:
    """Tally rows and passages of some games, spread over 2^bits shards."""

    spans: tuple[tuple[int, int], ...]
    """Game numbers it was derived from: first, how many."""
    bits: int
    sign: int
    rows: tuple[Piece, ...]
    shared: tuple[Piece, ...]
    row_count: int

    @property
    def games(self) -> int:
        """How many games the spans hold."""
        return sum(count for _, count in self.spans)


@dataclass(frozen=True, slots=True)
class Manifest:
    """What a collection consists of."""

    plies: int = PLIES
    sources: tuple[Source, ...] = ()
    batches: tuple[Batch, ...] = ()
    segments: tuple[Segment, ...] = ()
    removed: Piece | None = None
    """Numbers of games taken out, and whether the segments still count them."""
    live: int = 0
    """Games counted."""
    next_game: int = 0
    generation: int = 0
    version: int = VERSION
    keys: str = KEYS
    kind: str = field(default="linewright collection")

    def pieces(self) -> Iterator[Piece]:
        """Every file the manifest refers to."""
        for source in self.sources:
            yield from (*source.held, *source.faults)
        for batch in self.batches:
            yield batch.piece
        for segment in self.segments:
            yield from (*segment.rows, *segment.shared)
        if self.removed is not None:
            yield self.removed


def _piece(data: dict[str, Any] | None) -> Piece | None:
    return None if data is None else Piece(**data)


def _pieces(data: list[dict[str, Any]]) -> tuple[Piece, ...]:
    return tuple(Piece(**one) for one in data)


def load(folder: Path) -> Manifest:
    """The manifest of a collection, an empty one where there is none yet.

    **Raises** `NewerCollectionError`, `CannotReadError`.
    """
    path = folder / "manifest.json"
    try:
        data = json.loads(path.read_text(encoding="utf-8"))
    except FileNotFoundError:
        return Manifest()
    except (OSError, ValueError) as error:
        raise CannotReadError(str(path), str(error).lower()) from error
    return _from_json(folder, path, data)


def _from_json(folder: Path, path: Path, data: Any) -> Manifest:
    try:
        if int(data["version"]) > VERSION:
            raise NewerCollectionError(str(folder), int(data["version"]))
        sources = tuple(
            Source(**{**one, "held": _pieces(one["held"]), "faults": _pieces(one["faults"])})
            for one in data["sources"]
        )
        batches = tuple(
            Batch(Piece(**one["piece"]), one["first"], one["games"]) for one in data["batches"]
        )
        segments = tuple(
            Segment(
                tuple((first, count) for first, count in one["spans"]),
                one["bits"],
                one["sign"],
                _pieces(one["rows"]),
                _pieces(one["shared"]),
                one["row_count"],
            )
            for one in data["segments"]
        )
        parts = {"sources": sources, "batches": batches, "segments": segments}
        return Manifest(**{**data, **parts, "removed": _piece(data["removed"])})
    except (KeyError, TypeError, ValueError) as error:
        raise CannotReadError(str(path), f"not a manifest of a collection: {error}") from error


def save(folder: Path, manifest: Manifest) -> Manifest:
    """Puts a manifest in the place of the one before, its generation raised by one.

    Everything it refers to is on the disk before; then one rename. **Raises** `CannotWriteError`.
    """
    manifest = replace(manifest, generation=manifest.generation + 1)
    path = folder / "manifest.json"
    temporary = folder / "manifest.json.new"
    try:
        for piece in manifest.pieces():
            _settle(folder / piece.file)
        with temporary.open("w", encoding="utf-8") as file:
            json.dump(asdict(manifest), file, indent=1)
            file.flush()
            os.fsync(file.fileno())
        temporary.replace(path)
    except OSError as error:
        with suppress(OSError):
            temporary.unlink()
        raise cannot_write(path, error) from error
    _settled.update(str(folder / piece.file) for piece in manifest.pieces())
    return manifest


_settled: set[str] = set()


def _settle(path: Path) -> None:
    if str(path) in _settled:
        return
    descriptor = os.open(path, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)


def cannot_write(path: Path, error: OSError) -> CannotWriteError:
    """The error of the program for an error of the disk."""
    reason = (error.strerror or str(error)).lower()
    return CannotWriteError(str(path), f"{reason}; the collection stands as before")


@contextmanager
def locked(folder: Path, waiting: Any = None) -> Iterator[None]:
    """Holds the collection for writing; another process waits until it is free.

    `waiting()` is called once if there is something to wait for. **Raises** `CannotWriteError`.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
        file = (folder / "lock").open("a+b")
    except OSError as error:
        raise cannot_write(folder, error) from error
    with file:
        _hold(file.fileno(), waiting)
        yield


def _hold(descriptor: int, waiting: Any) -> None:
    try:
        import fcntl
    except ImportError:  # Windows
        import msvcrt
        import time

        while True:
            try:
                msvcrt.locking(descriptor, msvcrt.LK_NBLCK, 1)  # type: ignore[attr-defined]
                return
            except OSError:
                time.sleep(0.2)
    try:
        fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        if waiting is not None:
            waiting()
        fcntl.flock(descriptor, fcntl.LOCK_EX)


def sweep(folder: Path, manifest: Manifest) -> None:
    """Deletes what an interrupted addition left behind and what the manifest has outgrown."""
    wanted = {piece.file for piece in manifest.pieces()}
    for kind in ("games", "sources", "rows"):
        for path in (folder / kind).glob("**/*"):
            if path.is_file() and path.relative_to(folder).as_posix() not in wanted:
                with suppress(OSError):
                    path.unlink()
    for path in (folder / "rows").glob("*"):
        with suppress(OSError):
            path.rmdir()
