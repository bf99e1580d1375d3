"""Answers remembered between runs, in one file under the user's cache folder."""

from __future__ import annotations

import json
import sqlite3
import threading
from contextlib import suppress
from pathlib import Path

from linewright.analyst.answer import Analysis, Effort, Line, Score

LAYOUT = 1
"""Raised whenever the stored form changes: older files are then set up anew."""

MOST_ANSWERS = 400_000
"""Older answers are forgotten beyond this; about 150 MB."""


class Memory:
    """Remembered answers, keyed by engine, position, limits and question.

    Safe for several processes at once. A file that cannot be read is moved aside and made anew;
    where no file can be written, nothing is remembered and nothing fails.

    >>> memory = Memory(None)
    >>> memory.recall("engine", "fen", Effort(nodes=1)) is None
    True
    """

    def __init__(self, path: Path | None) -> None:
        self._lock = threading.Lock()
        self._path = path
        self._store: sqlite3.Connection | None = None
        with self._lock:
            self._open()

    def recall(
        self, engine: str, fen: str, effort: Effort, only: tuple[str, ...] = ()
    ) -> Analysis | None:
        """The remembered answer, or None."""
        row = self.recall_text("analysis", _key(engine, fen, effort, only))
        if row is None:
            return None
        try:
            data = json.loads(row)
            lines = tuple(
                Line(Score(line["cp"], line["mate"]), tuple(line["moves"]))
                for line in data["lines"]
            )
            return Analysis(fen, engine, data["depth"], data["nodes"], lines)
        except (ValueError, KeyError, TypeError):
            return None

    def remember(self, analysis: Analysis, effort: Effort, only: tuple[str, ...] = ()) -> None:
        """Keeps an answer."""
        lines = [
            {"cp": line.score.cp, "mate": line.score.mate, "moves": line.moves}
            for line in analysis.lines
        ]
        data = {"depth": analysis.depth, "nodes": analysis.nodes, "lines": lines}
        key = _key(analysis.engine, analysis.fen, effort, only)
        self.remember_text("analysis", key, json.dumps(data, separators=(",", ":")))

    def recall_text(self, kind: str, key: str) -> str | None:
        """A remembered text of another kind of answer."""
        rows = self._run("SELECT text FROM answers WHERE kind = ? AND key = ?", (kind, key))
        return str(rows[0][0]) if rows else None

    def remember_text(self, kind: str, key: str, text: str) -> None:
        """Keeps a text of another kind of answer."""
        self._run("INSERT OR REPLACE INTO answers (kind, key, text) VALUES (?, ?, ?)",
                  (kind, key, text))  # fmt: skip

    def close(self) -> None:
        """Lets go of the file."""
        with self._lock:
            if self._store is not None:
                self._store.close()
                self._store = None

    def _run(self, command: str, values: tuple[str, ...]) -> list[tuple[object, ...]]:
        with self._lock:
            for _ in range(2):
                if self._store is None:
                    return []
                try:
                    return self._store.execute(command, values).fetchall()
                except sqlite3.OperationalError:
                    return []  # busy or full: the answer is worked out, or not kept
                except sqlite3.DatabaseError:
                    self._anew()
        return []

    def _open(self) -> None:
        if self._path is None:
            self._store = self._connected(":memory:")
            return
        try:
            self._path.parent.mkdir(parents=True, exist_ok=True)
            self._store = self._connected(str(self._path))
        except sqlite3.OperationalError:
            self._store = None
        except sqlite3.DatabaseError:
            self._anew()
        except OSError:
            self._store = None

    def _connected(self, name: str) -> sqlite3.Connection:
        store = sqlite3.connect(name, timeout=5, isolation_level=None, check_same_thread=False)
        try:
            store.execute("PRAGMA journal_mode = WAL")
            store.execute("PRAGMA synchronous = NORMAL")
            if store.execute("PRAGMA user_version").fetchone()[0] != LAYOUT:
                store.execute("DROP TABLE IF EXISTS answers")
                store.execute(f"PRAGMA user_version = {LAYOUT}")
            store.execute(
                "CREATE TABLE IF NOT EXISTS answers (kind TEXT NOT NULL, key TEXT NOT NULL, "
                "text TEXT NOT NULL, PRIMARY KEY (kind, key))"
            )
            store.execute(
                "DELETE FROM answers WHERE rowid <= (SELECT max(rowid) FROM answers) - ?",
                (MOST_ANSWERS,),
            )
        except sqlite3.Error:
            store.close()
            raise
        return store

    def _anew(self) -> None:
        """Moves an unreadable file aside and starts a new one."""
        if self._store is not None:
            with suppress(sqlite3.Error):
                self._store.close()
            self._store = None
        if self._path is None:
            return
        try:
            self._path.replace(self._path.with_suffix(".unreadable"))
            for ending in ("-wal", "-shm"):
                self._path.with_name(self._path.name + ending).unlink(missing_ok=True)
            self._store = self._connected(str(self._path))
        except (OSError, sqlite3.Error):
            self._store = None


def _key(engine: str, fen: str, effort: Effort, only: tuple[str, ...]) -> str:
    """What an answer depends on; move counters do not matter to it."""
    return "|".join((engine, " ".join(fen.split()[:4]), str(effort), " ".join(only)))
