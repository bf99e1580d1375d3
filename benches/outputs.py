"""What each output of the example lesson costs, beside following and checking it.

    python benches/outputs.py

CPU seconds of the best of three rounds, with the ratio to `examine` of the same lesson in the same
run, and the size of what is made. The first handout also loads the typesetter's fonts.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from pathlib import Path

from linewright.build import edition_of, examine, load
from linewright.drawing import board_svg
from linewright.outputs import load_output, output_names

EXAMPLE = Path(__file__).parent.parent / "examples" / "exchange-variation.md"
PAGE_BYTES = 400_000


def cpu(call: Callable[[], object], rounds: int = 3) -> float:
    """The CPU time of one call, the best of some rounds."""
    best = float("inf")
    for _ in range(rounds):
        start = time.process_time()
        call()
        best = min(best, time.process_time() - start)
    return best


def main() -> None:
    """Prints one line an output."""
    source, faults = load(EXAMPLE)
    report = examine(source, faults)
    baseline = cpu(lambda: examine(source, faults))
    print(f"examine, the baseline           {baseline:8.3f} s    1.00")
    edition = edition_of(report, "lesson")
    board = report.lesson.tree.nodes[-1].fen
    one = cpu(lambda: board_svg(board))
    print(f"one board as SVG text           {one:8.5f} s {one / baseline:7.4f}")
    total = 0.0
    for name in output_names():
        output = load_output(name)
        if output.on_demand or name == "film":  # the film has a benchmark of its own
            continue
        artifacts = output.make(edition)
        cost = cpu(lambda output=output: output.make(edition))
        total += cost
        size = ", ".join(f"{artifact.name} {len(artifact.data):,} bytes" for artifact in artifacts)
        print(f"{name:31} {cost:8.3f} s {cost / baseline:7.2f}    {size}")
        if name == "page":
            verdict = "under" if len(artifacts[0].data) < PAGE_BYTES else "OVER"
            print(f"  the page is {verdict} {PAGE_BYTES:,} bytes")
    print(f"all of them                     {total:8.3f} s {total / baseline:7.2f}")


if __name__ == "__main__":
    main()
