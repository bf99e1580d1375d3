"""Regular expressions and what is read off them, kept between runs of the program. Floor 0.

The statements are found with well over a thousand expressions. To compile those that a lesson needs
takes longer than to judge the lesson, so what compiling gives is kept in the user's cache folder
and taken from there the next time. It is kept under the expression itself and this Python's own
mark of its compiled form: a changed expression is compiled anew. A file that cannot be read or
written does no harm.
"""

from __future__ import annotations

import atexit
import base64
import contextlib
import json
import os
import re
import sys
from array import array
from functools import cache
from pathlib import Path
from typing import Any

_WORD = "I"
"""One code of a compiled expression: four bytes."""


MOST = 8_000
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


class Store:
    """What is kept, in one file: a table for each kind of thing.

    >>> import tempfile
    >>> path = Path(tempfile.mkdtemp()) / "kept.json"
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
            tables = json.loads(self.path.read_text("utf-8"))
        except (OSError, ValueError):
            return {}
        tables = tables if isinstance(tables, dict) else {}
        return {kind: table for kind, table in tables.items() if isinstance(table, dict)}

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
        """Writes the file anew, if something was put and it can be written."""
        if not self.changed:
            return
        if sum(map(len, self._tables.values())) > MOST:  # what older versions asked for
            self._tables = {
                kind: {k: v for k, v in table.items() if (kind, k) in self._used}
                for kind, table in self._tables.items()
            }
        mine = self.path.with_suffix(f".{os.getpid()}")
        with contextlib.suppress(OSError):
            self.path.parent.mkdir(parents=True, exist_ok=True)
            mine.write_text(json.dumps(self._tables, separators=(",", ":")), "utf-8")
            mine.replace(self.path)
        self.changed = False


@cache
def kept() -> Store:
    """The store of this user, written when the program ends."""
    parts = _parts()
    magic = parts[0].MAGIC if parts else 0
    store = Store(folder() / f"expressions-{sys.implementation.cache_tag}-{magic}.json")
    atexit.register(store.save)
    return store


def expression(source: str, store: Store | None = None) -> re.Pattern[str]:
    """An expression, compiled or taken from what is kept.

    Raises `re.error` for what is none.

    >>> expression(r"(?P<who>[SP])x", Store(Path("nowhere"))).match("Px")["who"]
    'P'
    """
    parts = _parts()
    if parts is None:
        return re.compile(source)
    store = store or kept()
    row = store.get("code", source)
    if row is not None:
        with contextlib.suppress(ValueError, TypeError, KeyError, RuntimeError, OverflowError):
            return _from_kept(parts[0], source, row)
    row = _compiled(parts, source)
    store.put("code", source, row)
    return _from_kept(parts[0], source, row)


def _compiled(parts: tuple[Any, Any, Any], source: str) -> list[Any]:
    """What compiling an expression gives, as it is kept."""
    _, compiler, parser = parts
    parsed = parser.parse(source, 0)
    code = array(_WORD, compiler._code(parsed, 0))
    text = base64.b64encode(code.tobytes()).decode("ascii")
    return [parsed.state.flags, text, parsed.state.groups, dict(parsed.state.groupdict)]


def _from_kept(sre: Any, source: str, row: list[Any]) -> re.Pattern[str]:
    flags, text, groups, named = row
    code = array(_WORD)
    code.frombytes(base64.b64decode(text))
    names: list[str | None] = [None] * groups
    for name, number in named.items():
        names[number] = name
    made: re.Pattern[str] = sre.compile(
        source, flags, code.tolist(), groups - 1, named, tuple(names)
    )
    return made
