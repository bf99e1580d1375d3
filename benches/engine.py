"""How fast and how strong the built-in engine is: `benches/engine.py`.

    python benches/engine.py [--seconds 1.0] [--every 1] [--positions WAC BK]

Seconds are the processor's, not the clock's, so that a busy machine does not change the figures:
the speed in middlegames is measured first, and the suites are then given the nodes of so many
seconds (Win at Chess `--seconds`, Bratko-Kopec ten times that). `--every 5` takes every fifth
position. Sources of the positions: tests/tables/tactics.csv.

A match against an earlier version, 400 games at 5,000 nodes a move with its interval:

    cargo run --release -p linewright-tune -- match NEW OLD 200 5000 1

where NEW and OLD are commands that speak UCI (`target/release/linewright-tune uci`). Instructions
instead of seconds: `valgrind --tool=callgrind target/release/linewright-tune speed 50000`.
"""

from __future__ import annotations

import argparse
import subprocess
import sys
import threading
import time
from collections.abc import Sequence
from pathlib import Path

from linewright._core import Engine, perft

TABLE = Path(__file__).resolve().parent.parent / "tests" / "tables" / "tactics.csv"
ROUNDS = 15
"""A busy machine only makes a round slower: the best is nearest to the speed there is."""
MIDDLEGAMES = (
    "r1bq1rk1/pp2bppp/2n1pn2/2pp4/3P1B2/2PBPN2/PP1N1PPP/R2QK2R w KQ - 0 8",
    "r4rk1/1pp1qppp/p1np1n2/2b1p1B1/2B1P1b1/P1NP1N2/1PP1QPPP/R4RK1 w - - 0 10",
    "r3k2r/p1ppqpb1/bn2pnp1/3PN3/1p2P3/2N2Q1p/PPPBBPPP/R3K2R w KQkq - 0 1",
    "r2q1rk1/1b2bppp/p2ppn2/1p6/3QPP2/1BN1B3/PPP3PP/R4RK1 w - - 0 13",
)


def baseline() -> float:
    """Moves a processor second that the rules library alone makes and counts."""
    start = time.process_time()
    moves = sum(perft(fen, 4) for fen in MIDDLEGAMES[:2])
    return moves / (time.process_time() - start)


def speed(engine: Engine, nodes: int = 1_500_000) -> list[float]:
    """Nodes a processor second in middlegames, of several rounds, the slowest first."""
    rounds = []
    for _ in range(ROUNDS):
        start = time.process_time()
        done = sum(engine.analyse(fen, nodes=nodes // 4).nodes for fen in MIDDLEGAMES)
        rounds.append(done / (time.process_time() - start))
    return sorted(rounds)


Row = list[str]
"""A position: its name, the board, the best moves, in how many moves it mates."""


def positions(prefix: str) -> list[Row]:
    """The positions of the table whose names begin so."""
    named = (line for line in TABLE.read_text("utf-8").splitlines() if not line.startswith("#"))
    return [line.split(",") for line in named if line.startswith(prefix)]


def what_is_missing(prefixes: Sequence[str]) -> str:
    """Which names of positions are not in the table, and what there is; empty if all are."""
    lacking = [repr(prefix) for prefix in prefixes if not positions(prefix)]
    there = sorted({name.partition(".")[0] for name, *_ in positions("") if "." in name})
    none = f"no position of {TABLE.name} begins with {' or '.join(lacking)}"
    return f"{none}; there are {', '.join(there)}" if lacking else ""


def suite(engine: Engine, prefix: str, nodes: int, every: int) -> None:
    """Prints how many positions are solved, and which are not."""
    rows = positions(prefix)[::every]
    missed = []
    start = time.process_time()
    for name, fen, best, _ in rows:
        if engine.analyse(fen, nodes=nodes).lines[0].moves[0] not in best.split():
            missed.append(name)
    spent = (time.process_time() - start) / len(rows)
    found = len(rows) - len(missed)
    print(f"{prefix}: {found} of {len(rows)} at {nodes:,} nodes ({spent:.2f} s each)")
    if missed:
        print(f"     missed: {' '.join(missed)}")


def stopping(engine: Engine) -> float:
    """Milliseconds from asking a search to stop until it has, the median of nine."""
    delays = []
    for _ in range(9):
        asked: list[float] = []

        def stop(asked: list[float] = asked) -> None:
            asked.append(time.perf_counter())
            engine.stop()

        threading.Timer(0.2, stop).start()
        engine.analyse(MIDDLEGAMES[2], time_ms=60_000)
        delays.append(1000 * (time.perf_counter() - asked[0]))
    return sorted(delays)[4]


def starting() -> tuple[float, float]:
    """Milliseconds of `linewright engine` from its start to its end, and of Python alone."""

    def best(*arguments: str) -> float:
        rounds = []
        for _ in range(5):
            start = time.perf_counter()
            told = b"uci\nisready\ngo depth 1\nquit\n"
            subprocess.run(
                [sys.executable, *arguments], input=told, capture_output=True, check=True
            )
            rounds.append(1000 * (time.perf_counter() - start))
        return min(rounds)

    return best("-m", "linewright", "engine"), best("-c", "pass")


def one_or_more(text: str) -> int:
    """A whole number above nothing, of an option."""
    if (number := int(text)) < 1:
        raise argparse.ArgumentTypeError(f"{number} is not one or more")
    return number


def main() -> None:
    """Measures and prints."""
    parser = argparse.ArgumentParser(description="speed and strength of the built-in engine")
    parser.add_argument("--seconds", type=float, default=1.0)
    parser.add_argument("--every", type=one_or_more, default=1)
    parser.add_argument("--positions", nargs="*", default=["WAC", "BK"])
    wanted = parser.parse_args()
    if why := what_is_missing(wanted.positions):
        parser.error(why)
    engine = Engine(hash_mb=64)
    moves, rounds = baseline(), speed(Engine(hash_mb=16))
    nodes = rounds[-1]
    print(f"rules library alone: {moves:,.0f} moves made and counted a second")
    print(f"search with full evaluation: {nodes:,.0f} nodes a second ({nodes / moves:.2f} of that)")
    middle, least = rounds[len(rounds) // 2], rounds[0]
    print(f"  the best of {len(rounds)} rounds; median {middle:,.0f}, least {least:,.0f}")
    engine_ms, python_ms = starting()
    print(f"start-up: {engine_ms - python_ms:.0f} ms beside Python's own {python_ms:.0f} ms")
    print(f"stopping: {stopping(engine):.1f} ms")
    for prefix in wanted.positions:
        factor = 10 if prefix == "BK" else 1
        suite(engine, prefix, int(nodes * wanted.seconds * factor), wanted.every)


if __name__ == "__main__":
    main()
