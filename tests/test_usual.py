"""What moves are usual: known lines by position, and what looks natural where none goes on."""

import sys
from collections.abc import Iterable, Iterator
from importlib import import_module, resources
from math import exp
from pathlib import Path
from typing import Any

import chess
import pytest

from linewright._core import HABITS, OpeningBook, seen_moves
from linewright.talk.decoder import default_weights
from linewright.talk.usual import natural, opening_book

TALKS = Path(__file__).parent / "talks"
sys.path.insert(0, str(TALKS))

marked: Any = import_module("marked")

LEARNED = ("tune", "plain", "voices", "exam", "club", "slips")


def rows(name: str) -> Iterator[tuple[chess.Move, ...]]:
    """The lines of a file of the package, read with the reference rules library."""
    text = (resources.files("linewright.talk") / name).read_text("utf-8")
    board = chess.Board()
    made: list[chess.Move] = []
    for row in text.splitlines():
        if row.startswith("#"):
            continue
        shared, *sans = row.split()
        for _ in range(len(made) - int(shared)):
            made.pop()
            board.pop()
        made.extend(board.push_san(san) for san in sans)
        yield tuple(made)


def ucis(sans: str) -> list[str]:
    """A line in short notation as the core takes it."""
    board = chess.Board()
    return [board.push_san(san).uci() for san in sans.split()]


def chances(sans: str, book: OpeningBook | None = None) -> list[tuple[str, float]]:
    """The moves after a line in short notation, the likeliest first, with their chances."""
    line = ucis(sans)
    board = chess.Board()
    for text in line:
        board.push_uci(text)
    prices = (book or opening_book()).usual(default_weights(), line)
    likely = sorted(prices.items(), key=lambda item: item[1])
    return [(board.san(chess.Move.from_uci(uci)), exp(-price)) for uci, price in likely]


def test_every_written_line_is_legal_and_there_once() -> None:
    lines = list(rows("repertory.txt"))
    assert len(lines) > 15_000
    assert len(set(lines)) == len(lines)


def test_the_lines_shown_are_those_of_the_talks_that_may_be_learned_from() -> None:
    """So that what is kept aside is not known beforehand."""
    told: set[tuple[str, ...]] = set()
    for path in (path for half in LEARNED for path in sorted(TALKS.glob(f"{half}/*.talk"))):
        told.update(marked.lines(marked.read_marked(path)))
    kept = {tuple(move.uci() for move in line) for line in rows("shown.txt")}
    assert prefixes(kept) == prefixes(told)


def prefixes(lines: Iterable[tuple[str, ...]]) -> set[tuple[str, ...]]:
    """Every line with all it begins with."""
    return {line[:n] for line in lines for n in range(1, len(line) + 1)}


@pytest.mark.parametrize(
    ("line", "usual"),
    [
        # common practice, no source: the first moves of well-known openings
        ("e4 e5 Nf3", "Nc6"),
        ("e4 e5 Nf3 Nc6 Bb5", "a6"),
        ("d4 d5 c4 e6 Nc3 Nf6 Bg5", "Be7"),
        ("d4 Nf6 c4 g6 Nc3 Bg7 e4", "d6"),
        ("e4 c5 Nf3 d6 d4 cxd4 Nxd4 Nf6", "Nc3"),
    ],
)
def test_what_every_trainer_shows_is_the_likeliest(line: str, usual: str) -> None:
    assert chances(line)[0][0] == usual


def test_chances_are_shares_of_one() -> None:
    for line in ("", "e4 e5", "a3 h6 h3 a6 Ra2 Rh7"):
        assert sum(chance for _, chance in chances(line)) == pytest.approx(1.0, abs=0.01)


NOBODYS = OpeningBook([], [], natural())
"""Without any known line."""


@pytest.mark.parametrize(
    ("line", "natural_one", "odd_one"),
    [
        # a man that took is taken back
        ("a4 d5 h4 e6 Nc3 d4 Rh3 dxc3", "bxc3", "Rb1"),
        # and by a pawn rather than by the king
        ("e4 e5 Nc3 Bc5 d3 Bxf2+", "Kxf2", "Kd2"),
        # a bishop attacked by a pawn moves away
        ("e4 a6 Nf3 h6 Bc4 b5", "Bb3", "Ke2"),
        # a queen is not left to be taken by a pawn
        ("e4 h5 d3 h4 Qg4 d5", "Qf3", "h3"),
        # pieces come out before the king walks
        ("e4 e5", "Nf3", "Ke2"),
    ],
)
def test_without_a_line_the_board_decides(line: str, natural_one: str, odd_one: str) -> None:
    """Common practice, no source."""
    names = [san for san, _ in chances(line, NOBODYS)]
    assert names.index(natural_one) < names.index(odd_one)


def test_the_lines_that_talks_kept_aside_show_are_mostly_expected() -> None:
    """The mean of minus the log of a move's chance; measured 0.80 when the table was learned."""
    book, weights, prices = opening_book(), default_weights(), []
    for path in sorted(TALKS.glob("club_aside/*.talk")):
        for *before, last in prefixes(marked.lines(marked.read_marked(path))):
            prices.append(book.usual(weights, before)[last])
    assert len(prices) > 2000
    assert sum(prices) / len(prices) < 1.0


def test_a_line_or_table_that_cannot_be_read_is_refused() -> None:
    with pytest.raises(ValueError, match="no line of moves"):
        OpeningBook([], ["0 e4 e4"], natural())
    with pytest.raises(ValueError, match="3 weights"):
        OpeningBook([], [], [0.0, 1.0, 2.0])
    with pytest.raises(ValueError, match="e2e5"):
        seen_moves(["e2e5"])
    with pytest.raises(ValueError, match="e2e5"):
        opening_book().usual(default_weights(), ["e2e5"])


def test_what_is_seen_lies_within_the_table() -> None:
    size = sum(length for _, length in HABITS)
    assert len(natural()) == size
    for _, seen in seen_moves(ucis("e4 e5 Nf3 Nc6 Bc4 Nf6 Ng5 d5 exd5")):
        assert seen
        assert max(seen) < size
