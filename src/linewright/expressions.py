"""Regular expressions and what is read off them, kept between runs of the program.

To compile the many expressions words are found with takes longer than to read a lesson with them,
so what compiling gives is kept in the user's cache folder and taken from there the next time. It
is kept under the expression itself and this Python's own mark of its compiled form: a changed
expression is compiled anew. The file begins with a checksum of the rest, as Python's own form of
values (which is read fastest) is read safely only as it was written. A file that is damaged or
cannot be read or written does no harm.
"""

from __future__ import annotations

import atexit
import contextlib
import marshal
import os
import re
import sys
import zlib
from array import array
from functools import cache
from pathlib import Path
from typing import Any

_WORD = "I"
"""One code of a compiled expression: four bytes."""


MOST = 1_000
"""So many things are kept; beyond that only those this run of the program used."""


def folder() -> Path:
    """The user's folder for what can be made again."""
    own = os.environ.get("LINEWRIGHT_CACHE")
    shared = os.environ.get("XDG_CACHE_HOME")
    return Path(own) if own else (Path(shared) if shared else Path.home() / ".cache") / "linewright"


@cache
def _parts() -> tuple[Any, Any, Any] | None:
    """The parts of Python's expressions that compile, or None where they are not as expected."""
    try:
        import _sre  # type: ignore[import-not-found, unused-ignore]
        from re import _compiler, _parser  # type: ignore[attr-defined, unused-ignore]
    except ImportError:
        return None
    known = all(hasattr(_compiler, name) for name in ("_code",)) and array(_WORD).itemsize == 4
    return (_sre, _compiler, _parser) if known and _sre.CODESIZE == 4 else None


def _checksum(told: bytes) -> bytes:
    return zlib.crc32(told).to_bytes(4, "big")


class Store:
    """What is kept, in one file: a table for each kind of thing.

    >>> import tempfile
    >>> path = Path(tempfile.mkdtemp()) / "kept.bin"
    >>> one = Store(path)
    >>> one.put("greeting", "a", ["hello"])
    >>> one.save()
    >>> Store(path).get("greeting", "a")
    ['hello']
    """

    def __init__(self, path: Path) -> None:
        self.path = path
        self.changed = False
        self._used: set[tuple[str, str]] = set()
        self._tables: dict[str, dict[str, Any]] = self._read()

    def _read(self) -> dict[str, dict[str, Any]]:
        try:
            written = self.path.read_bytes()
        except OSError:
            return {}
        mark, told = written[:4], written[4:]
        known: dict[str, dict[str, Any]] = (
            marshal.loads(told) if told and mark == _checksum(told) else {}
        )
        return known

    def get(self, kind: str, key: str) -> Any:
        """What is kept under a key, or None."""
        self._used.add((kind, key))
        return self._tables.get(kind, {}).get(key)

    def put(self, kind: str, key: str, value: Any) -> None:
        """Keeps something until `save` writes it."""
        self._used.add((kind, key))
        self._tables.setdefault(kind, {})[key] = value
        self.changed = True

    def save(self) -> None:
        """Writes the file anew, if there is something to write and it can be written."""
        many = sum(map(len, self._tables.values())) > MOST
        if not (self.changed or many):
            return
        if many:  # what older versions asked for
            self._tables = {
                kind: {k: v for k, v in table.items() if (kind, k) in self._used}
                for kind, table in self._tables.items()
            }
        mine = self.path.with_suffix(f".{os.getpid()}")
        with contextlib.suppress(OSError):
            self.path.parent.mkdir(parents=True, exist_ok=True)
            told = marshal.dumps(self._tables)
            mine.write_bytes(_checksum(told) + told)
            mine.replace(self.path)
        self.changed = False


@cache
def kept() -> Store:
    """The store of this user, written when the program ends."""
    parts = _parts()
    magic = parts[0].MAGIC if parts else 0
    store = Store(folder() / f"expressions-{sys.implementation.cache_tag}-{magic}.kept")
    atexit.register(store.save)
    return store


def expression(source: str, flags: int = 0, store: Store | None = None) -> re.Pattern[str]:
    """An expression, compiled or taken from what is kept.

    Raises `re.error` for what is none.

    >>> expression(r"(?P<who>[SP])x", store=Store(Path("nowhere"))).match("Px")["who"]
    'P'
    """
    parts = _parts()
    if parts is None:
        return re.compile(source, flags)
    store = store or kept()
    kind = f"code {int(flags)}"
    row = store.get(kind, source)
    if row is not None:
        with contextlib.suppress(ValueError, TypeError, KeyError, RuntimeError, OverflowError):
            return _from_kept(parts[0], source, row)
    row = _compiled(parts, source, int(flags))
    store.put(kind, source, row)
    return _from_kept(parts[0], source, row)


def _compiled(parts: tuple[Any, Any, Any], source: str, flags: int) -> list[Any]:
    """What compiling an expression gives, as it is kept."""
    _, compiler, parser = parts
    parsed = parser.parse(source, flags)
    code = array(_WORD, compiler._code(parsed, flags))
    state = parsed.state
    return [flags | state.flags, code.tobytes(), state.groups, dict(state.groupdict)]


def _from_kept(sre: Any, source: str, row: list[Any]) -> re.Pattern[str]:
    flags, written, groups, named = row
    code = array(_WORD, written)
    names: list[str | None] = [None] * groups
    for name, number in named.items():
        names[number] = name
    made: re.Pattern[str] = sre.compile(
        source, flags, code.tolist(), groups - 1, named, tuple(names)
    )
    return made
