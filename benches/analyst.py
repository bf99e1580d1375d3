"""What the analyst costs: `benches/analyst.py [--endings N]`.

Prints the checking of the example lesson, the first time and again, the same of a heard talk from
the command line, and the verdict on every listed pawn ending with its time. Times are processor
times; the baseline is counting the legal moves of the initial position to five plies (4,865,609 of
them) in the same run.
"""

from __future__ import annotations

import argparse
import os
import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from statistics import median
from typing import Any

import chess
import yaml

from linewright._core import PawnTables, perft
from linewright.aids import Aids
from linewright.analyst.builtin import BuiltIn
from linewright.analyst.memory import Memory
from linewright.analyst.pawn_ending import Certainty, PawnEndings
from linewright.analyst.questions import Analyst
from linewright.build import examine, load

ROOT = Path(__file__).parent.parent


def baseline_s() -> float:
    """Processor seconds of the baseline."""
    begun = time.process_time()
    assert perft(chess.STARTING_FEN, 5) == 4_865_609
    return time.process_time() - begun


def lesson(baseline: float) -> None:
    """The example lesson, checked twice with one memory."""
    path = ROOT / "examples" / "exchange-variation.md"
    source, faults = load(path)
    with tempfile.TemporaryDirectory() as folder:
        examine(source, faults)
        for name in ("first time", "again"):
            memory = Memory(Path(folder) / "memory.sqlite")
            analyst = Analyst(BuiltIn(), memory)
            begun, wall = time.process_time(), time.perf_counter()
            aids = Aids(analyst=analyst)
            report = examine(source, faults, lambda _, aids=aids: aids)  # type: ignore[misc]
            spent, passed = time.process_time() - begun, time.perf_counter() - wall
            memory.close()
            positions = len(report.lesson.tree.nodes)
            print(
                f"lesson of {positions} positions, {name}: {spent:.2f} s ({passed:.2f} s passed), "
                f"{spent / baseline:.1f} x baseline, engine asked {analyst.asked} times"
            )


def from_command_line(baseline: float) -> None:
    """A talk of some sixty positions, checked by the command for the first time and again."""
    command = [sys.executable, "-m", "linewright"]
    with tempfile.TemporaryDirectory() as folder:
        home = {**os.environ, "XDG_CACHE_HOME": folder, "PYTHONPYCACHEPREFIX": f"{folder}/pyc"}
        home.pop("PYTHONDONTWRITEBYTECODE", None)
        talk = ROOT / "tests" / "talks" / "tune" / "two_knights.srt"
        subprocess.run(
            [*command, "hear", str(talk), "--out", folder],
            check=False,
            capture_output=True,
            env=home,
        )
        script = next(Path(folder).glob("*.script.md"))
        for name, runs in (("first time", 1), ("again", 9)):
            spent, passed = [], []
            for _ in range(runs):
                before, begun = resource.getrusage(resource.RUSAGE_CHILDREN), time.perf_counter()
                done = subprocess.run(
                    [*command, "check", str(script)], check=False, capture_output=True, env=home
                )
                after = resource.getrusage(resource.RUSAGE_CHILDREN)
                passed.append(time.perf_counter() - begun)
                spent.append(after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime)
            told = next(line for line in done.stdout.decode().splitlines() if "positions" in line)
            print(
                f"{told.partition('(')[2].rstrip(')')}, command line, {name}: "
                f"{median(spent):.2f} s ({min(spent):.2f} to {max(spent):.2f}, n = {runs}; "
                f"{median(passed):.2f} s passed), {median(spent) / baseline:.1f} x baseline"
            )


def endings(baseline: float, most: int) -> None:
    """The listed pawn endings, each with empty tables."""
    listed = yaml.safe_load((ROOT / "tests" / "tables" / "pawn_endings.yaml").read_text())
    entries: list[dict[str, Any]] = listed["endings"][:most]
    right = proved = few = 0
    for entry in entries:
        judge = PawnEndings(Analyst(BuiltIn(hash_mb=64)))
        begun = time.process_time()
        verdict = judge.verdict(chess.Board(entry["fen"]))
        spent = time.process_time() - begun
        known = entry["expected"] != "open"
        right += known and verdict.result == entry["expected"]
        if entry["men"] <= 5:
            few += 1
            proved += verdict.certainty is Certainty.PROVED
        print(
            f"{entry['id']:36} {entry['men']:2} men  {verdict.result:11} {verdict.certainty:10} "
            f"{spent:6.2f} s {spent / baseline:6.1f} x baseline"
        )
    known = sum(entry["expected"] != "open" for entry in entries)
    print(f"{right} of {known} right; of up to five men {proved} of {few} proved")


def tables(baseline: float) -> None:
    """How many skeletons of pawns are solved a second."""
    solver = PawnTables(60_000)
    begun = time.process_time()
    solver.bracket("7k/ppp5/8/PPP5/8/8/8/7K w - - 0 1")
    spent = time.process_time() - begun
    print(
        f"{solver.solved()} tables of 8,192 positions and more: {spent:.2f} s, "
        f"{spent / baseline:.1f} x baseline"
    )


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--endings", type=int, default=1000, help="only the first N endings")
    chosen = parser.parse_args()
    baseline = baseline_s()
    print(f"baseline: {baseline:.3f} s")
    lesson(baseline)
    from_command_line(baseline)
    tables(baseline)
    endings(baseline, chosen.endings)


if __name__ == "__main__":
    main()
