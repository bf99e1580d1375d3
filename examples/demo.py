"""Build the example lesson with every output and say where the files are."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

HERE = Path(__file__).parent
LESSON = HERE / "exchange-variation.md"


def main() -> int:
    """Exit code of the build."""
    folder = Path(sys.argv[1] if len(sys.argv) > 1 else "build/demo")
    program = [sys.executable, "-m", "linewright"]
    print(f"checking and building {LESSON.relative_to(Path.cwd())}")
    built = subprocess.run([*program, "build", str(LESSON), "--out", str(folder)], check=False)
    if built.returncode == 2:
        return 2
    print(f"\nEverything is in {folder}. To begin with, open")
    for name, what in (
        (
            "exchange-variation-proof.html",
            "the proof sheet: the script with the findings beside it",
        ),
        ("exchange-variation.html", "the page students click through"),
        ("exchange-variation.pdf", "the handout"),
        ("exchange-variation.mp4", "the film"),
    ):
        if (folder / name).exists():
            print(f"  {folder / name}  {what}")
    print("\nNow try")
    print("  .venv/bin/linewright check examples/exchange-variation-with-faults.md")
    print("  .venv/bin/linewright reach examples/exchange-variation.md")
    return built.returncode


if __name__ == "__main__":
    sys.exit(main())
