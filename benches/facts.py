"""What each fact of a board costs, beside the cost of copying the board: `benches/facts.py`.

    python benches/facts.py [--positions 400] [--definition 100000]

`--definition N` compares the facts with their definitions, carried out the slow way, on N
random positions (tests/test_facts_random.py); 100,000 take about half an hour on one core.
"""

from __future__ import annotations

import argparse
import random
import sys
import time
from collections.abc import Callable
from importlib import import_module
from pathlib import Path

import chess

from linewright import facts

sys.path.insert(0, str(Path(__file__).resolve().parent.parent / "tests"))
by_definition = import_module("test_facts_random")

WHITE, KINGSIDE = chess.WHITE, facts.Wing.KINGSIDE
CALLS: dict[str, Callable[[chess.Board], object]] = {
    "copying the board": lambda board: board.copy(stack=False),
    "balance": facts.balance,
    "in_words": facts.in_words,
    "hanging": lambda board: facts.hanging(board, WHITE),
    "overloaded": lambda board: facts.overloaded(board, WHITE),
    "undefended": lambda board: facts.undefended(board, WHITE),
    "pins": lambda board: facts.pins(board, WHITE),
    "skewers": lambda board: facts.skewers(board, WHITE),
    "forks": lambda board: facts.forks(board, WHITE),
    "passed": lambda board: facts.passed(board, WHITE),
    "backward": lambda board: facts.backward(board, WHITE),
    "islands": lambda board: facts.islands(board, WHITE),
    "chains": lambda board: facts.chains(board, WHITE),
    "breaks": lambda board: facts.breaks(board, WHITE),
    "castling": lambda board: facts.castling(board, WHITE, KINGSIDE),
    "half_open_files": lambda board: facts.half_open_files(board, WHITE),
    "batteries": lambda board: facts.batteries(board, WHITE),
    "holes": lambda board: facts.holes(board, WHITE),
    "outposts": lambda board: facts.outposts(board, WHITE),
    "bad_bishops": lambda board: facts.bad_bishops(board, WHITE),
    "development": lambda board: facts.development(board, WHITE),
    "king_safety": lambda board: facts.king_safety(board, WHITE),
    "threats": lambda board: facts.threats(board, WHITE),
}


def microseconds(call: Callable[[chess.Board], object], boards: list[chess.Board]) -> float:
    """The time of one call, the best of three rounds over all boards."""
    rounds = []
    for _ in range(3):
        start = time.perf_counter()
        for board in boards:
            call(board)
        rounds.append(time.perf_counter() - start)
    return min(rounds) / len(boards) * 1e6


def compare(number: int, seed: int) -> None:
    """Fails with the position where a fact differs from its definition; else says so."""
    source = random.Random(seed)
    for board in by_definition.positions(number, seed):
        by_definition.check_position(board)
        by_definition.check_square(board, source.randrange(64))
    print(f"{number} positions (seed {seed}) agree with the definitions", flush=True)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--positions", type=int, default=400)
    parser.add_argument("--definition", type=int, default=0)
    parser.add_argument("--seed", type=int, default=20260103)
    given = parser.parse_args()
    if given.definition:
        compare(given.definition, given.seed)
        return
    boards = list(by_definition.positions(given.positions, seed=1))
    base = microseconds(CALLS["copying the board"], boards)
    for name, call in CALLS.items():
        cost = microseconds(call, boards)
        print(f"{name:20} {cost:7.1f} µs  {cost / base:6.2f} board copies")


if __name__ == "__main__":
    main()
