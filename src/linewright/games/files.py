"""Game files as streams of bytes: plain, packed, from standard input, from folders."""

from __future__ import annotations

import bz2
import gzip
import io
import lzma
import sys
import zipfile
import zlib
from collections.abc import Callable, Iterator
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from typing import IO

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
    return _pieces(_unpacked(_Peek(sys.stdin.buffer)), 0)


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
            yield from _pieces(_unpacked(_Peek(file)), size if kind else 0)

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
                yield from _pieces(stream, max(member.compress_size, 1))
        except (NotImplementedError, RuntimeError, *_BROKEN) as error:
            raise BrokenFileError(f"the archive is damaged: {error}", early=True) from error

    return chunks


class _Peek(io.RawIOBase):
    """A stream whose first bytes can be looked at."""

    def __init__(self, inner: IO[bytes]) -> None:
        self._inner = inner
        self.head = inner.read(8)
        self._left = self.head

    def readable(self) -> bool:
        return True

    def read(self, size: int = -1) -> bytes:
        if self._left:
            first, self._left = self._left, b""
            return first if size == len(first) else first + self._inner.read(max(size - len(first), 0) if size >= 0 else -1)
        return self._inner.read(size)

    def readinto(self, buffer: memoryview) -> int:  # type: ignore[override]
        data = self.read(len(buffer))
        buffer[: len(data)] = data
        return len(data)


def _kind(head: bytes) -> str:
    return next((kind for magic, kind in _MAGIC if head.startswith(magic)), "")


def _unpacked(stream: _Peek) -> IO[bytes]:
    match _kind(stream.head):
        case ".gz":
            return gzip.GzipFile(fileobj=stream)  # type: ignore[return-value]
        case ".bz2":
            return bz2.BZ2File(stream)  # type: ignore[return-value]
        case ".xz":
            return lzma.LZMAFile(stream)  # type: ignore[return-value]
        case ".zst":
            import zstandard

            return zstandard.ZstdDecompressor(max_window_size=1 << 31).stream_reader(
                stream, read_across_frames=True
            )  # type: ignore[return-value]
        case ".zip":
            return _first_member(stream)
        case _:
            return stream  # type: ignore[return-value]


def _first_member(stream: _Peek) -> IO[bytes]:
    raise BrokenFileError("an archive of several files cannot come from standard input: save it first")


def _pieces(stream: IO[bytes], packed: int) -> Iterator[bytes]:
    """The text in chunks; UTF-16 and old line ends are put right, bombs and binaries stopped."""
    total = 0
    first = True
    mend: Callable[[bytes], bytes] = bytes
    with closing(stream):
        while chunk := _read(stream):
            if first:
                mend = _mender(chunk)
                first = False
            total += len(chunk)
            if packed and total > BOMB_BYTES and total > packed * BOMB_RATIO:
                reason = f"unpacks to more than {BOMB_RATIO} times its size: stopped there"
                raise BrokenFileError(reason, early=True)
            yield mend(chunk)


def _read(stream: IO[bytes]) -> bytes:
    import zstandard

    try:
        return stream.read(CHUNK)
    except (*_BROKEN, zstandard.ZstdError) as error:
        reason = str(error).lower() or type(error).__name__
        raise BrokenFileError(f"the archive is damaged or breaks off: {reason}", early=True) from error


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
