"""How well and how fast talks are heard: `benches/talk.py [--half tune|aside] [--rates 0,8]`.

Every talk of `tests/talks` is heard by the command line in a process of its own, as it stands and
with recogniser-like errors added; the report is held against the truth file. `--faults` lists what
went wrong, for the half that may be looked at. `--ten N` hears N talks of ten minutes instead, each
put together of talks of the tune half, for their time and memory.
"""

from __future__ import annotations

import argparse
import json
import os
import subprocess
import sys
import tempfile
from dataclasses import replace
from importlib import import_module
from pathlib import Path
from statistics import median
from typing import Any

ROOT = Path(__file__).resolve().parent.parent
TALKS = ROOT / "tests" / "talks"
sys.path.insert(0, str(TALKS))

marked = import_module("marked")
noise = import_module("noise")
scoring = import_module("score")

TEN_MINUTES_S = 600.0

HEAR = [sys.executable, "-c", "from linewright.cli import main; main()", "hear"]


def heard(path: Path) -> tuple[dict[str, Any], float, int]:
    """The report on a transcript, with CPU seconds and peak memory (MB) of the process."""
    as_installed = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    with tempfile.TemporaryFile() as out, tempfile.TemporaryFile() as errors:
        process = subprocess.Popen(
            [*HEAR, str(path), "--json"], stdout=out, stderr=errors, env=as_installed
        )
        _, status, usage = os.wait4(process.pid, 0)
        process.returncode = os.waitstatus_to_exitcode(status)
        out.seek(0)
        errors.seek(0)
        try:
            report = json.loads(out.read())
        except ValueError:
            print(f"{path.name}: no report\n{errors.read().decode()[-2000:]}", file=sys.stderr)
            report = {"lines": []}
    return report, usage.ru_utime + usage.ru_stime, usage.ru_maxrss // 1024


def measured(path: Path, rate: float, seed: int) -> tuple[Any, float, float, int, float]:
    """Score, word error rate, CPU seconds, memory and length (minutes) of one talk at one rate."""
    talk = marked.read_marked(path)
    truth = marked.files(path)
    target, text = next(iter(truth.items()))
    report = json.loads(truth[path.with_suffix(".truth.json")])
    if rate:
        talk = noise.noisy(talk, rate, seed)
        text = marked.transcript(talk)
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / target.name
        file.write_text(text, "utf-8")
        result, seconds, memory = heard(file)
    minutes = talk.words[-1].end / 60
    return (
        scoring.score(report, result, talk.words),
        noise.error_rate(talk),
        seconds,
        memory,
        minutes,
    )


def of_ten_minutes(paths: list[Path]) -> str:
    """The captions of the first ten minutes of talks spoken one behind the other."""
    talk = marked.read_marked(paths[0])
    for path in paths[1:]:
        begun = talk.words[-1].end + 1.0
        more = marked.read_marked(path).words
        talk.words += [replace(w, start=w.start + begun, end=w.end + begun) for w in more]
    talk.words = [word for word in talk.words if word.end <= TEN_MINUTES_S]
    talk.head["form"] = "vtt"
    return str(marked.transcript(talk))


def time_ten_minutes(number: int) -> None:
    """Print the processor time and memory of hearing talks of ten minutes."""
    paths = sorted(TALKS.glob("tune/*.talk"))
    seconds, memory = [], []
    with tempfile.TemporaryDirectory() as folder:
        for k in range(number + 1):
            first = 3 * k % len(paths)
            file = Path(folder) / "talk.vtt"
            file.write_text(of_ten_minutes((paths[first:] + paths)[:4]), "utf-8")
            _, spent, peak = heard(file)
            if k:  # the first run compiles the program
                seconds.append(spent)
                memory.append(peak)
    print(
        f"a talk of ten minutes: {median(seconds):.1f} CPU s ({min(seconds):.1f} to "
        f"{max(seconds):.1f}, n = {number}), {max(memory)} MB at most"
    )


def share(part: int, whole: int) -> str:
    """A share with its counts."""
    return f"{100 * part / whole:5.1f} % ({part}/{whole})" if whole else "   –"


def row(title: str, s: Any) -> str:
    """One line of figures."""
    parts = [
        f"moves {share(s.moves_found, s.moves)}",
        f"heard right {share(s.moves_heard_right, s.moves_heard)}",
        f"whole lines {share(s.lines_whole, s.lines)}",
        f"side lines {share(s.branches_right, s.branches)}",
        f"unspoken {share(s.unspoken_right + s.unspoken_asked, s.unspoken)}",
        f"slips {share(s.slips_found, s.slips)} (meant right {s.slips_meant})",
        f"false alarms {s.false_alarms / max(s.talks, 1):.2f} a talk",
        f"boards {share(s.boards_right, s.boards)}",
        f"corrections {share(s.changes_right, s.changes - s.changes_neutral)} of {s.misheard}",
        f"questions {s.questions / max(s.talks, 1):.1f} a talk",
    ]
    return f"{title:24} " + "  ".join(parts)


def main() -> None:
    """Print the figures."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--half", default="both", help="a folder of talks, or both")
    parser.add_argument("--rates", default="0")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--only", default="*")
    parser.add_argument("--faults", action="store_true")
    parser.add_argument("--save", type=Path)
    parser.add_argument("--each", action="store_true")
    parser.add_argument("--ten", type=int, default=0, metavar="N")
    given = parser.parse_args()
    if given.ten:
        time_ten_minutes(given.ten)
        return
    if given.save:
        sys.stdout = given.save.open("a", encoding="utf-8")
    halves = ["tune", "aside"] if given.half == "both" else [given.half]
    for half in halves:
        for rate in [float(r) / 100 for r in given.rates.split(",")]:
            total, rates, seconds, memory, minutes = scoring.Score(), [], 0.0, 0, 0.0
            for path in sorted(TALKS.glob(f"{half}/{given.only}.talk")):
                one, wer, cpu, peak, length = measured(path, rate, given.seed)
                total, seconds, memory, minutes = (
                    total + one,
                    seconds + cpu,
                    max(memory, peak),
                    minutes + length,
                )
                rates.append(wer)
                if given.each:
                    print(row(f"  {path.stem} ({cpu:.1f} s)", one))
            title = f"{half} +{rate:.0%} ({sum(rates) / len(rates):.1%})"
            print(row(title, total))
            print(f"    {seconds / minutes * 10:.1f} CPU s for ten minutes, {memory} MB at most")
            if given.faults and "aside" not in half:
                print("\n".join(f"    {fault}" for fault in total.faults))


if __name__ == "__main__":
    main()
