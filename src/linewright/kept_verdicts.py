"""Verdicts of statements kept between runs: a lesson checked again is not judged again.

A verdict is kept under a digest of all it depends on: the words of its block, the moves to every
board in it, who was asked, and the program itself. Whatever of these changes, it is judged anew.
"""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Callable, Iterator, Sequence
from dataclasses import asdict, dataclass
from functools import cache
from pathlib import Path
from typing import Protocol

from linewright.source import Span
from linewright.statements import Answer, Statement, Verdict

KIND = "verdicts"
"""What kind of remembered text they are."""

PROGRAM = (".py", ".so", ".pyd", ".json", ".toml", ".csv", ".tsv")
"""Files of the program that verdicts depend on."""


class Store(Protocol):
    """Where texts are remembered; see `linewright.analyst.memory.Memory`."""

    def recall_text(self, kind: str, key: str) -> str | None: ...
    def remember_text(self, kind: str, key: str, text: str) -> None: ...


@dataclass(frozen=True, slots=True)
class Kept:
    """Verdicts kept in a store. `asked` names who judges beyond the board, with their limits."""

    store: Store
    asked: str = ""

    def judged(self, judge: Callable[[], tuple[Verdict, ...]], *about: str) -> tuple[Verdict, ...]:
        """The verdicts kept about something, or those given now, which are kept."""
        found = self.recall(*about)
        if found is None:
            found = judge()
            self.keep(found, *about)
        return found

    def recall(self, *about: str) -> tuple[Verdict, ...] | None:
        """The verdicts kept about something, or None."""
        text = self.store.recall_text(KIND, self._key(about))
        if text is None:
            return None
        try:
            return tuple(_read(_table(row)) for row in _listed(json.loads(text)))
        except (ValueError, KeyError, TypeError):
            return None

    def keep(self, verdicts: Sequence[Verdict], *about: str) -> None:
        """Keeps the verdicts about something."""
        rows = [asdict(verdict) for verdict in verdicts]
        text = json.dumps(rows, ensure_ascii=False, separators=(",", ":"))
        self.store.remember_text(KIND, self._key(about), text)

    def _key(self, about: tuple[str, ...]) -> str:
        told = "\0".join((program(), self.asked, *about))
        return hashlib.blake2b(told.encode(), digest_size=20).hexdigest()


def _read(row: dict[str, object]) -> Verdict:
    told = _table(row.pop("statement"))
    span = _table(told["span"])
    statement = Statement(
        Span(int(str(span["start"])), int(str(span["end"]))),
        str(told["words"]),
        str(told["family"]),
    )
    answer = Answer(str(row.pop("answer")))
    squares, arrows = (tuple(map(str, _listed(row.pop(name)))) for name in ("squares", "arrows"))
    words = {name: str(value) for name, value in row.items()}
    return Verdict(statement, answer, squares=squares, arrows=arrows, **words)


def _table(value: object) -> dict[str, object]:
    if not isinstance(value, dict):
        raise TypeError(f"no table: {value!r}")
    return value


def _listed(value: object) -> list[object]:
    if not isinstance(value, list):
        raise TypeError(f"no list: {value!r}")
    return value


@cache
def program() -> str:
    """What tells this program from any other: a digest of its files and of the rules library's.

    Of a file its number and the time it was last changed at, which, unlike its other times, no
    installer can set; its content where the system keeps no such time. **Cost**: 2 to 5 ms, once;
    15 to 40 ms with contents.
    """
    import chess

    places = (Path(__file__).parent, Path(chess.__file__).parent, _catalogue())
    files = sorted(path for place in places for path in _files(str(place)))
    stats = [Path(path).stat() for path in files]
    mark = hashlib.blake2b(digest_size=20)
    by_content = os.name == "nt" or len({stat.st_ctime_ns for stat in stats}) < 2
    for path, stat in zip(files, stats, strict=True):
        mark.update(f"{path}\0{stat.st_size}\0".encode())
        if by_content:
            mark.update(Path(path).read_bytes())
        else:
            mark.update(f"{stat.st_ino}\0{stat.st_mtime_ns}\0{stat.st_ctime_ns}\0".encode())
    return mark.hexdigest()


def _catalogue() -> Path:
    from importlib.util import find_spec

    found = find_spec("ocn")
    return Path(found.origin).parent if found and found.origin else Path(__file__).parent


def _files(folder: str) -> Iterator[str]:
    with os.scandir(folder) as entries:
        for entry in entries:
            if entry.is_dir(follow_symlinks=False):
                yield from _files(entry.path)
            elif entry.name.endswith(PROGRAM):
                yield entry.path
