"""The Parquet files of a collection: their columns, how they are written and read.

Plain SQL reaches them: `rows` are one per position, move, year and band of the mover's rating,
`shared` lists the games of positions that several games pass.
"""

from __future__ import annotations

import zlib
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt
import pyarrow as pa
import pyarrow.parquet as pq

from linewright.errors import LinewrightError
from linewright.games.manifest import Piece, cannot_write

ROW_GROUP = 16_384
GAME_GROUP = 4_096
Columns = dict[str, npt.NDArray[Any]]

TEXTS = ("event", "site", "date", "round", "white", "black", "fen", "rest")
ROWS = {
    "key": pa.int64(),
    "move": pa.int16(),
    "year": pa.int16(),
    "band": pa.int16(),
    "games": pa.int32(),
    "wins": pa.int32(),
    "draws": pa.int32(),
    "losses": pa.int32(),
    "rated": pa.int32(),
    "rating_sum": pa.int64(),
    "opposed_sum": pa.int64(),
}
SHARED = {"key": pa.int64(), "game": pa.int32()}
GAMES = {
    **dict.fromkeys(TEXTS, pa.string()),
    "moves": pa.binary(),
    "white_rating": pa.int16(),
    "black_rating": pa.int16(),
    "year": pa.int16(),
    "result": pa.int8(),
    "plies": pa.int16(),
    "line": pa.int32(),
    "cut": pa.int8(),
    "fingerprint": pa.int64(),
}
HELD = {"game": pa.int32(), "line": pa.int32()}
FAULTS = {"line": pa.int32(), "game_line": pa.int32(), "reason": pa.string()}
REMOVED = {"game": pa.int32(), "counted": pa.int8()}

# Measured on invented games (bytes a row, whole row 11): sorted keys pack best as differences,
# years as split bytes, few-valued columns as a dictionary.
_ENCODINGS = {
    "key": "DELTA_BINARY_PACKED",
    "game": "DELTA_BINARY_PACKED",
    "line": "DELTA_BINARY_PACKED",
    "rating_sum": "DELTA_BINARY_PACKED",
    "opposed_sum": "DELTA_BINARY_PACKED",
    "year": "BYTE_STREAM_SPLIT",
    "fingerprint": "PLAIN",
    "moves": "PLAIN",
}


class DamagedFileError(LinewrightError):
    """A file of a collection is damaged. `path`, `reason`."""

    def __init__(self, path: Path, reason: str) -> None:
        super().__init__(
            f"'{path}' is damaged ({reason}): the rest of the collection can be used; "
            f"'linewright games verify --rebuild' makes it again"
        )
        self.path = path
        self.reason = reason


def table(schema: dict[str, Any], buffers: dict[str, Any]) -> pa.Table:
    """A table from raw buffers as the core hands them out: bytes, or offsets and bytes."""
    arrays = []
    for name, kind in schema.items():
        data = buffers[name]
        if isinstance(data, tuple):
            offsets, text = data
            parts = [None, pa.py_buffer(offsets), pa.py_buffer(text)]
            arrays.append(pa.Array.from_buffers(kind, len(offsets) // 4 - 1, parts))
        else:
            width = kind.bit_width // 8
            arrays.append(
                pa.Array.from_buffers(kind, len(data) // width, [None, pa.py_buffer(data)])
            )
    return pa.Table.from_arrays(arrays, schema=pa.schema(list(schema.items())))


def write(folder: Path, name: str, content: pa.Table, group: int = ROW_GROUP) -> Piece:
    """Writes a table to a new file of the collection. **Raises** `CannotWriteError`."""
    sink = pa.BufferOutputStream()
    names = content.schema.names
    pq.write_table(
        content,
        sink,
        row_group_size=group,
        compression="zstd",
        compression_level=1,
        use_dictionary=[name for name in names if name not in _ENCODINGS],
        column_encoding={name: _ENCODINGS[name] for name in names if name in _ENCODINGS},
        write_statistics=["key"] if "key" in names else False,
        write_page_checksum=True,
        store_schema=False,
    )
    data = sink.getvalue()
    path = folder / name
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with path.open("wb") as file:
            file.write(data)
    except OSError as error:
        path.unlink(missing_ok=True)
        raise cannot_write(path, error) from error
    return Piece(name, data.size, zlib.crc32(data))


def damage(folder: Path, piece: Piece) -> str:
    """What is wrong with a file, empty if nothing."""
    path = folder / piece.file
    try:
        data = path.read_bytes()
    except OSError as error:
        return (error.strerror or str(error)).lower()
    if len(data) != piece.size:
        return f"{len(data)} bytes instead of {piece.size}"
    return "" if zlib.crc32(data) == piece.crc else "its checksum is wrong"


class Shard:
    """A sorted file kept open: finds the rows of a key by the row groups' bounds."""

    def __init__(self, path: Path) -> None:
        self.path = path
        try:
            self._file = pq.ParquetFile(path, page_checksum_verification=True, memory_map=False)
            meta = self._file.metadata
            groups = [meta.row_group(n) for n in range(meta.num_row_groups)]
            # A file without rows, as one game may have, is one group without bounds.
            bounds = [group.column(0).statistics for group in groups if group.num_rows]
            self._low = np.array([one.min for one in bounds], np.int64)
            self._high = np.array([one.max for one in bounds], np.int64)
        except FileNotFoundError:
            raise
        except (OSError, pa.ArrowException, AttributeError) as error:
            raise DamagedFileError(path, _short(error)) from error

    def find(self, key: int) -> Columns:
        """The rows of a key."""
        first = int(np.searchsorted(self._high, key))
        last = int(np.searchsorted(self._low, key, side="right"))
        if first >= last:
            return {}
        try:
            content = self._file.read_row_groups(list(range(first, last)), use_threads=False)
        except (OSError, pa.ArrowException) as error:
            raise DamagedFileError(self.path, _short(error)) from error
        keys = content.column(0).to_numpy()
        begin, end = np.searchsorted(keys, key), np.searchsorted(keys, key, side="right")
        return {
            name: content.column(name).slice(begin, end - begin).to_numpy()
            for name in content.schema.names
        }


def read(
    path: Path, columns: Sequence[str] | None = None, groups: Sequence[int] | None = None
) -> pa.Table:
    """A file's columns, or some row groups of them. **Raises** `DamagedFileError`."""
    try:
        file = pq.ParquetFile(path, page_checksum_verification=True)
        wanted = None if columns is None else list(columns)
        if groups is None:
            return file.read(columns=wanted, use_threads=False)
        return file.read_row_groups(list(groups), columns=wanted, use_threads=False)
    except (OSError, pa.ArrowException) as error:
        raise DamagedFileError(path, _short(error)) from error


def _short(error: Exception) -> str:
    return str(error).splitlines()[0].lower() if str(error) else type(error).__name__


def raw(content: pa.Table, name: str) -> bytes:
    """The bytes of a column of numbers."""
    return bytes(content.column(name).to_numpy().tobytes())


def texts(content: pa.Table, name: str) -> tuple[bytes, bytes]:
    """Offsets and bytes of a column of texts, from zero."""
    kind = GAMES[name]
    array = (
        pa.concat_arrays(content.column(name).chunks) if content.num_rows else pa.array([], kind)
    )
    _, offsets, data = array.buffers()
    numbers = np.frombuffer(offsets, np.int32)[array.offset : array.offset + len(array) + 1]
    body = b"" if data is None else data.slice(int(numbers[0]), int(numbers[-1] - numbers[0]))
    return (numbers - numbers[0]).tobytes(), bytes(body)
