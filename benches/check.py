"""What checking costs beyond starting Python: CPU and memory, on a lesson of 2,000 words.

Ratios are to parsing and hashing the same text with the standard library's regular expressions
and SHA-256 in the same run, since machines differ and are noisy.
"""

from __future__ import annotations

import hashlib
import re
import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from statistics import median

ROOT = Path(__file__).parent.parent
EXAMPLE = (ROOT / "examples" / "exchange-variation.md").read_text("utf-8")
RUNS = 5


def lesson_text(words: int) -> str:
    """The example, repeated under new headings until it has so many words."""
    head, _, body = EXAMPLE[4:].partition("---\n")
    parts = [body]
    while len(" ".join(parts).split()) < words:
        parts.append(body)
    return f"---\n{head}---\n" + "\n".join(parts)


def cpu(command: list[str]) -> float:
    """CPU seconds of a command, the least of several runs."""
    times = []
    for _ in range(RUNS):
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        subprocess.run(command, check=False, capture_output=True)
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        times.append(after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime)
    return min(times)


def baseline(text: str) -> float:
    """CPU seconds of splitting the text into words and hashing each, a hundred times."""
    times = []
    for _ in range(RUNS):
        start = time.process_time()
        for _ in range(100):
            for word in re.findall(r"\S+", text):
                hashlib.sha256(word.encode()).digest()
        times.append(time.process_time() - start)
    return median(times)


def main() -> None:
    text = lesson_text(2000)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "lesson.md"
        path.write_text(text, "utf-8")
        python = [sys.executable, "-c", "pass"]
        imports = [sys.executable, "-c", "import linewright.cli, linewright.build"]
        program = [sys.executable, "-m", "linewright"]
        start, imported = cpu(python), cpu(imports)
        helped = cpu([*program, "--help"])
        checked = cpu([*program, "check", "--quick", str(path)])
        without_film = cpu([*program, "build", "--quick", "--without", "film", str(path),
                            "--out", folder])  # fmt: skip
        memory_mb = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
    base = baseline(text)
    print(f"lesson of {len(text.split())} words; least of {RUNS} runs")
    print(f"CPU seconds (and times the baseline of {base:.3f} s)")
    for name, seconds in (
        ("start of Python", start),
        ("imports of cli and build", imported - start),
        ("--help, all of it", helped),
        ("check, beyond start and imports", checked - imported),
        ("build without film, all of it", without_film),
    ):
        print(f"  {name:<34}{seconds:7.3f} s   {seconds / base:6.2f} ×")
    print(f"  largest memory of any of these    {memory_mb:7.0f} MB")


if __name__ == "__main__":
    main()
