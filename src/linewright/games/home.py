"""Where collections live, and how a name in a lesson or on the command line finds one."""

from __future__ import annotations

import hashlib
import os
import re
from pathlib import Path

import chess

from linewright.errors import CannotReadError, LinewrightError
from linewright.games.adding import Addition
from linewright.games.collection import Collection
from linewright.games.manifest import load
from linewright.moves import Unresolved, label, likeliest, resolve
from linewright.notation import WrittenMove, in_english, read_move
from linewright.position.fen import read_fen

USUAL = "games"
"""The collection that is meant when none is named."""


class UnplayableLineError(LinewrightError):
    """Moves given by the caller cannot be played. `text`, `move`, `reason`."""

    def __init__(self, text: str, move: str, reason: str) -> None:
        super().__init__(f"'{move}' in '{text}' {reason}")
        self.text = text
        self.move = move
        self.reason = reason


def shelf() -> Path:
    """The folder in which collections without a path of their own stand."""
    data = os.environ.get("XDG_DATA_HOME") or Path.home() / ".local" / "share"
    return Path(data) / "linewright" / "collections"


def locate(name: str | None, beside: Path | None = None) -> Path:
    """The folder of a collection: beside the lesson, as a path, or by name on the shelf."""
    if name is None:
        return shelf() / USUAL
    if beside is not None and (beside / name).is_dir():
        return beside / name
    if Path(name).is_dir() or "/" in name or os.sep in name or name.startswith("."):
        return Path(name)
    return shelf() / name


def play(text: str, fen: str | None = None) -> chess.Board:
    """The board after moves written as in a book: `1.d4 d5 2.c4`, numbers or not.

    **Raises** `UnplayableLineError` naming the first move that does not go.

    >>> play("1.e4 e5 2.Nf3").fen().split()[0]
    'rnbqkbnr/pppp1ppp/8/4p3/4P3/5N2/PPPP1PPP/RNBQKB1R'
    """
    board = position(fen) if fen else chess.Board()
    for token in re.findall(r"[^\s.…]+", re.sub(r"\b\d+\s*(?:\.+|…)", " ", text)):
        move = token.strip("!?,;").replace("0-0-0", "O-O-O").replace("0-0", "O-O")
        if not move or move.isdigit():
            continue
        written = read_move(move)
        if written is None:
            english = in_english(move)
            perhaps = f"; perhaps {english}" if english else ""
            raise UnplayableLineError(text, move, f"is no move in chess notation{perhaps}")
        found = resolve(written, board)
        if isinstance(found, Unresolved):
            raise UnplayableLineError(text, move, _unplayable(written, board, found))
        board.push(found)
    return board


def _unplayable(written: WrittenMove, board: chess.Board, why: Unresolved) -> str:
    """What is wrong with a move, and the moves that are nearest to it."""
    near = why.moves or likeliest(written, board)
    perhaps = " or ".join(label(board, board.san(move)) for move in near)
    kind = "could be several moves" if why.moves else "cannot be played there"
    return f"{kind}: {why.reason}" + (f"; perhaps {perhaps}" if perhaps else "")


def position(fen: str) -> chess.Board:
    """The board of a FEN. **Raises** `UnplayableLineError`."""
    try:
        board = read_fen(fen)
    except ValueError as error:
        raise UnplayableLineError(fen, fen, f"is no position: {error}") from None
    if board.status() & ~chess.STATUS_TOO_MANY_CHECKERS:
        raise UnplayableLineError(fen, fen, "is no position that can arise in a game")
    return board


def cache() -> Path:
    """The folder in which game files named by lessons are kept indexed; it can be deleted."""
    data = os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache"
    return Path(data) / "linewright" / "collections"


def open_named(name: str, beside: Path | None = None) -> Collection:
    """A collection by name: a folder, or a game file, which is indexed once and then remembered.

    **Raises** `CannotReadError` if there is neither.
    """
    for path in (*([beside / name] if beside else []), Path(name)):
        if path.is_file():
            return _indexed(path)
    return Collection(locate(name, beside))


def _indexed(path: Path) -> Collection:
    with path.open("rb") as file:
        digest = hashlib.file_digest(file, "sha256").hexdigest()[:20]
    stem = path.name.split(".")[0]
    folder = cache() / f"{stem}-{digest}"
    if load(folder).generation == 0 or not all(s.complete for s in load(folder).sources):
        (report,) = Addition(folder).run([str(path)])[:1]
        if report.broken or not report.added:
            why = report.broken or "no game in it can be read"
            raise CannotReadError(str(path), why)
    return Collection(folder, stem)
