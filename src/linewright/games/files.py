"""Game files as streams of bytes: plain, packed, from standard input, from folders."""

from __future__ import annotations

import bz2
import lzma
import sys
import zipfile
import zlib
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import IO, Any, Protocol, cast

CHUNK = 4 << 20
BOMB_BYTES = 64 << 20
"""Up to here anything may unpack; beyond it the ratio below is looked at."""
BOMB_RATIO = 400
"""Game text packs to a twentieth at best; a file that unpacks to 400 times its size is none."""

KINDS = {".pgn", ".gz", ".bz2", ".xz", ".zst", ".zip"}
_MAGIC = (
    (b"\x1f\x8b", ".gz"),
    (b"BZh", ".bz2"),
    (b"\xfd7zXZ\x00", ".xz"),
    (b"\x28\xb5\x2f\xfd", ".zst"),
    (b"PK\x03\x04", ".zip"),
    (b"PK\x05\x06", ".zip"),
)
_BROKEN = (EOFError, OSError, zlib.error, lzma.LZMAError, zipfile.BadZipFile, ValueError)


class BrokenFileError(Exception):
    """The rest of a file cannot be had; the text says why. `early`: it breaks off in the middle."""

    def __init__(self, reason: str, *, early: bool = False) -> None:
        super().__init__(reason)
        self.early = early


@dataclass(frozen=True, slots=True)
class GameFile:
    """A stretch of game text under a name; `chunks()` gives its bytes from the start."""

    name: str
    size: int
    """Bytes on disk, packed as they are; 0 if unknown."""
    chunks: Callable[[], Iterator[bytes]]
    remark: str = ""
    """Something odd about the file itself."""


def find(paths: list[str]) -> Iterator[GameFile | tuple[str, str]]:
    """The game files under the given names, in order; a name with a reason where there is none.

    `-` is standard input. Folders are searched through for game files; an archive of several
    files gives one entry each.
    """
    for name in paths:
        if name == "-":
            yield GameFile("standard input", 0, _standard_input)
            continue
        path = Path(name)
        if path.is_dir():
            inside = sorted(p for p in path.rglob("*") if p.suffix.lower() in KINDS and p.is_file())
            if not inside:
                yield name, "no game files in this folder"
            for file in inside:
                yield from _open(file, str(file))
        else:
            yield from _open(path, name)


def _standard_input() -> Iterator[bytes]:
    yield from _stream(sys.stdin.buffer, 0)


def _open(path: Path, name: str) -> Iterator[GameFile | tuple[str, str]]:
    try:
        with path.open("rb") as file:
            head = file.read(8)
        size = path.stat().st_size
    except OSError as error:
        yield name, (error.strerror or str(error)).lower()
        return
    kind = _kind(head)
    if kind == ".zip":
        yield from _members(path, name)
        return
    suffix = path.suffix.lower()
    odd = suffix in KINDS and (kind or ".pgn") != suffix
    what = f"packed as {kind}" if kind else "plain text"
    remark = f"the name says {suffix}, the file is {what}: read as that" if odd else ""

    def chunks() -> Iterator[bytes]:
        with path.open("rb") as file:
            yield from _stream(file, size)

    yield GameFile(name, size, chunks, remark)


def _members(path: Path, name: str) -> Iterator[GameFile | tuple[str, str]]:
    try:
        with zipfile.ZipFile(path) as archive:
            members = [m for m in archive.infolist() if not m.is_dir()]
    except _BROKEN as error:
        yield name, f"the archive is damaged: {error}"
        return
    if not members:
        yield name, "the archive is empty"
    for member in members:
        label = f"{name}:{member.filename}"
        if Path(member.filename).suffix.lower() in KINDS - {".pgn"}:
            yield label, "an archive inside an archive: unpack it first"
        elif member.flag_bits & 1:
            yield label, "the archive is locked with a password"
        else:
            yield GameFile(label, member.compress_size, _member(path, member))


def _member(path: Path, member: zipfile.ZipInfo) -> Callable[[], Iterator[bytes]]:
    def chunks() -> Iterator[bytes]:
        try:
            with zipfile.ZipFile(path) as archive, archive.open(member) as stream:
                yield from _text(_plain(b"", stream), max(member.compress_size, 1))
        except (NotImplementedError, RuntimeError, *_BROKEN) as error:
            raise BrokenFileError(f"the archive is damaged: {error}", early=True) from error

    return chunks


def _kind(head: bytes) -> str:
    return next((kind for magic, kind in _MAGIC if head.startswith(magic)), "")


def _stream(file: IO[bytes], packed: int) -> Iterator[bytes]:
    """The text of an open file, unpacked if it is packed; `packed` is its size then, or 0."""
    head = file.read(8)
    kind = _kind(head)
    if kind == ".zip":
        raise BrokenFileError(
            "an archive of several files cannot come from standard input: save it first"
        )
    if kind:
        return _text(_inflated(kind, head, file), packed or _UNKNOWN)
    return _text(_plain(head, file), 0)


_UNKNOWN = 1 << 20
"""Taken for the size of a packed stream that does not tell."""


def _plain(head: bytes, file: IO[bytes]) -> Iterator[bytes]:
    first = head + _read(file, CHUNK - len(head))
    while first:
        yield first
        first = _read(file, CHUNK)


def _read(file: IO[bytes], size: int) -> bytes:
    try:
        return file.read(size)
    except (NotImplementedError, RuntimeError, *_BROKEN) as error:
        raise _damaged(error) from error


def _damaged(error: Exception) -> BrokenFileError:
    reason = str(error).lower() or type(error).__name__
    return BrokenFileError(f"the archive is damaged: {reason}", early=True)


class _Unpacker(Protocol):
    """What the unpackers of the standard library and of zstandard have in common."""

    @property
    def eof(self) -> bool: ...
    @property
    def unused_data(self) -> bytes: ...


def _inflated(kind: str, head: bytes, file: IO[bytes]) -> Iterator[bytes]:
    """Everything that can be unpacked, member after member; then the fault, if there is one."""
    step = 1 << 10 if kind == ".zst" else 1 << 16
    unpacker = _unpacker(kind)
    data = head
    while True:
        try:
            yield from _out(unpacker, data)
        except Exception as error:
            if not isinstance(error, (*_BROKEN, *_zstd_errors())):
                raise
            raise _damaged(error) from error
        if unpacker.eof:
            data = unpacker.unused_data or file.read(step)
            data = data.lstrip(b"\0") if kind == ".gz" else data
            if not data:
                return
            unpacker = _unpacker(kind)
            continue
        data = file.read(step)
        if not data:
            raise BrokenFileError("the archive breaks off before its end", early=True)


def _zstd_errors() -> tuple[type[Exception], ...]:
    import zstandard

    return (zstandard.ZstdError,)


def _unpacker(kind: str) -> _Unpacker:
    import zstandard

    match kind:
        case ".gz":
            return zlib.decompressobj(31)
        case ".bz2":
            return bz2.BZ2Decompressor()
        case ".xz":
            return lzma.LZMADecompressor()
        case _:
            return cast(
                _Unpacker, zstandard.ZstdDecompressor(max_window_size=1 << 31).decompressobj()
            )


def _out(unpacker: Any, data: bytes) -> Iterator[bytes]:
    """What some packed bytes unpack to, never more than a chunk at once where that can be asked."""
    if isinstance(unpacker, (bz2.BZ2Decompressor, lzma.LZMADecompressor)):
        yield unpacker.decompress(data, CHUNK)
        while not unpacker.needs_input and not unpacker.eof:
            yield unpacker.decompress(b"", CHUNK)
    elif isinstance(unpacker, type(zlib.decompressobj())):
        yield unpacker.decompress(data, CHUNK)
        while unpacker.unconsumed_tail and not unpacker.eof:
            yield unpacker.decompress(unpacker.unconsumed_tail, CHUNK)
    else:
        yield unpacker.decompress(data)


def _text(pieces: Iterator[bytes], packed: int) -> Iterator[bytes]:
    """The text in chunks; UTF-16 and old line ends are put right, bombs and binaries stopped."""
    total = 0
    mend: Callable[[bytes], bytes] | None = None
    for chunk in _gathered(pieces):
        mend = mend or _mender(chunk)
        total += len(chunk)
        if packed and total > BOMB_BYTES and total > packed * BOMB_RATIO:
            reason = f"unpacks to more than {BOMB_RATIO} times its size: stopped there"
            raise BrokenFileError(reason, early=True)
        yield mend(chunk)


def _gathered(pieces: Iterator[bytes]) -> Iterator[bytes]:
    """Small pieces put together to chunks; before a fault, what there is."""
    waiting: list[bytes] = []
    size = 0
    try:
        for piece in pieces:
            waiting.append(piece)
            size += len(piece)
            if size >= CHUNK:
                yield b"".join(waiting)
                waiting, size = [], 0
    except BrokenFileError:
        if size:
            yield b"".join(waiting)
        raise
    if size:
        yield b"".join(waiting)


def _mender(head: bytes) -> Callable[[bytes], bytes]:
    sample = head[:65536]
    if sample.startswith((b"\xff\xfe", b"\xfe\xff")):
        import codecs

        decode = codecs.getincrementaldecoder("utf-16")(errors="replace")
        return lambda chunk: decode.decode(chunk).encode()
    if b"\0" in sample:
        raise BrokenFileError("a binary file, not game text")
    if b"\r" in sample and b"\n" not in sample:
        return lambda chunk: chunk.replace(b"\r", b"\n")
    return bytes
