"""Learns what moves look natural: `benches/fit_habits.py [--write]`.

A conditional logit (L2) over what each legal move does on the board
(`linewright_core::talk::habits`): of the moves of a position, which is the one a teacher shows. It
learns from every move of the talks in `tests/talks` that may be learned from and from the lines of
`repertory.txt`, each move of a position once. With `--write` the table (`habits.json`) and the
lines the talks show (`shown.txt`) are written anew.

`--rows FOLDER` makes `repertory.txt` of text files with a line of moves a row, in short notation.

How well it does is said of the talks kept aside: the mean of minus the log of the chance that
each move shown had by the table alone, and with the known lines, as the search mixes them.

**Source**: McFadden, *Conditional logit analysis of qualitative choice behavior* (1974); L-BFGS
from SciPy.
"""

from __future__ import annotations

import argparse
import json
from collections.abc import Iterable, Iterator
from importlib import import_module
from pathlib import Path

import chess
import numpy as np
from scipy.optimize import minimize
from scipy.sparse import csr_matrix

from linewright._core import HABITS, OpeningBook, seen_moves
from linewright.talk.decoder import default_weights
from linewright.talk.usual import named_lines

fit_talk = import_module("fit_talk")

TALK = fit_talk.ROOT / "src" / "linewright" / "talk"

ASIDE = (
    "aside",
    "plain_aside",
    "exam_aside",
    "club_aside",
    "late_aside",
    "long_aside",
    "tongue_aside",
)

PENALTY = 0.3
"""Of each weight; the table is small against what it learns from."""

SCATTERED = "answers"
"""Answers to single moves are many and seldom: they are held nearer to nothing."""

OF_LINES = 0.25
"""What a move of the repertory counts against one of a talk: there are many more."""

Line = tuple[str, ...]
Shown = dict[tuple[str, str], tuple[Line, float]]
"""Moves by position and move: the line to the position, and what it counts."""


def lines_of(path: Path) -> list[Line]:
    """The lines of a talk (UCI) from the start to each end."""
    lines: list[Line] = fit_talk.marked.lines(fit_talk.marked.read_marked(path))
    return lines


def rows_of(folder: Path) -> Iterator[Line]:
    """The lines of text files (UCI), each up to its first move that is not legal."""
    for path in sorted(folder.glob("**/*.txt")):
        for row in path.read_text("utf-8").splitlines():
            board, line = chess.Board(), []
            for word in row.split():
                try:
                    move = board.parse_san(word)
                except ValueError:
                    break
                line.append(move.uci())
                board.push(move)
            if line:
                yield tuple(line)


def shared(lines: Iterable[Line]) -> str:
    """Lines as the core reads them: how many moves are shared with the one before, and the rest."""
    out, before = [], ()
    for line in sorted(set(lines)):
        same = next(
            (n for n, (a, b) in enumerate(zip(line, before, strict=False)) if a != b),
            min(len(line), len(before)),
        )
        board = chess.Board()
        sans = []
        for place, text in enumerate(line):
            move = chess.Move.from_uci(text)
            if place >= same:
                sans.append(board.san(move).rstrip("+#"))
            board.push(move)
        if sans:
            out.append(f"{same} {' '.join(sans)}")
            before = line
    return "\n".join(out) + "\n"


def unshared(text: str) -> Iterator[Line]:
    """The lines (UCI) of a text that `shared` made."""
    moves: list[chess.Move] = []
    board = chess.Board()
    for row in text.splitlines():
        if row.startswith("#"):
            continue
        same, *sans = row.split()
        while len(moves) > int(same):
            moves.pop()
            board.pop()
        for san in sans:
            moves.append(board.push_san(san))
        yield tuple(move.uci() for move in moves)


def shown(lines: Iterable[Line], counts: float, known: Shown | None = None) -> Shown:
    """Every move of the lines once, added to those known."""
    found: Shown = dict(known or {})
    for line in lines:
        board = chess.Board()
        for place, text in enumerate(line):
            found.setdefault((board.epd(), text), (line[:place], counts))
            board.push_uci(text)
    return found


class Table:
    """Positions with all their legal moves, as rows of what is seen of each."""

    def __init__(self, moves: Shown) -> None:
        cells: list[int] = []
        ends, of, true = [0], [], []
        for number, ((_, text), (line, _)) in enumerate(moves.items()):
            for uci, seen in seen_moves(list(line)):
                cells += seen
                ends.append(len(cells))
                of.append(number)
                true.append(uci == text)
        ones = np.ones(len(cells), dtype=np.float32)
        size = sum(length for _, length in HABITS)
        self.seen = csr_matrix((ones, cells, ends), shape=(len(of), size))
        self.of, self.true = np.array(of), np.array(true)
        self.starts = np.r_[0, np.flatnonzero(np.diff(self.of)) + 1]
        self.counts = np.array([count for _, count in moves.values()])

    def chances(self, table: np.ndarray) -> np.ndarray:
        """The chance of each move among those of its position."""
        odds = self.seen @ table
        most = np.maximum.reduceat(odds, self.starts)
        likely = np.exp(odds - most[self.of])
        return likely / np.add.reduceat(likely, self.starts)[self.of]

    def loss(self, table: np.ndarray) -> tuple[float, np.ndarray]:
        """Minus the log chance of the moves shown, and its slopes."""
        chances = self.chances(table)
        cost = -(np.log(chances[self.true]) * self.counts).sum()
        return float(cost), self.seen.T @ ((chances - self.true) * self.counts[self.of])


def learned(data: Table) -> np.ndarray:
    """The table that makes the moves shown likeliest, held near nothing."""
    held = np.concatenate(
        [np.full(length, PENALTY * (3 if name == SCATTERED else 1)) for name, length in HABITS]
    )

    def loss(table: np.ndarray) -> tuple[float, np.ndarray]:
        cost, slopes = data.loss(table)
        return cost + 0.5 * float((held * table * table).sum()), slopes + held * table

    start = np.zeros(len(held))
    return minimize(loss, start, jac=True, method="L-BFGS-B", options={"maxiter": 200}).x


def chance(moves: Shown, book: OpeningBook) -> float:
    """The mean of minus the log of the chance of moves shown, as the search sees them."""
    weights = default_weights()
    return float(
        np.mean([book.usual(weights, line)[text] for (_, text), (line, _) in moves.items()])
    )


def main() -> None:
    """Learn, and say how well it does."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--write", action="store_true")
    options.add_argument("--rows", type=Path, help="a folder of lines to make the repertory of")
    chosen = options.parse_args()
    repertory = TALK / "repertory.txt"
    if chosen.rows:
        head = "".join(f"# {row}\n" for row in SOURCE.splitlines())
        repertory.write_text(head + shared(rows_of(chosen.rows)), "utf-8")
    of_talks = [line for path in fit_talk.talks() for line in lines_of(path)]
    of_lines = list(unshared(repertory.read_text("utf-8")))
    moves = shown(of_lines, OF_LINES, shown(of_talks, 1.0))
    table = learned(Table(moves)).round(2)
    kept = shown(
        (line for half in ASIDE for path in sorted((fit_talk.TALKS / half).glob("*.talk"))
         for line in lines_of(path)), 1.0
    )  # fmt: skip
    named = named_lines()
    written, by_talks = shared(of_lines), shared(of_talks)
    print(f"learned from {len(moves)} moves; of {len(kept)} moves kept aside, by")
    for name, lines, rows in (
        ("the table alone", [], []),
        ("the named lines", named, []),
        ("the repertory too", named, [written]),
        ("the lines shown too", named, [written, by_talks]),
    ):
        print(f"  {name}: {chance(kept, OpeningBook(lines, rows, table.tolist())):.3f}")
    if chosen.write:
        (TALK / "shown.txt").write_text(f"# {SHOWN}\n{by_talks}", "utf-8")
        blocks, place = {}, 0
        for name, length in HABITS:
            blocks[name] = [float(value) for value in table[place : place + length]]
            place += length
        text = ",\n".join(f'"{name}": {json.dumps(block)}' for name, block in blocks.items())
        (TALK / "habits.json").write_text(f"{{\n{text}\n}}\n", "utf-8")


SOURCE = """Opening lines as club trainers know them, written down for linewright from memory.
Source: common practice, no source. Each row: how many moves it shares with the row before it,
and the rest."""

SHOWN = (
    "The lines of the invented talks that may be learned from (tests/talks), as in repertory.txt."
)

if __name__ == "__main__":
    main()
