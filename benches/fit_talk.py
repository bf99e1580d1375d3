"""Fits the prices of the search for talks: `benches/fit_talk.py --fit [--rounds 2] [--write]`.

Without `--fit` it only says how the talks are heard now.

Coordinate search on the invented talks of `tests/talks/tune` as they stand and with
recogniser-like errors: each price is moved up and down in turn, and a step is kept when more moves
stand at their place. What counts is moves found less moves invented, slips and what-if boards
besides. The half kept aside is never read here.
"""

from __future__ import annotations

import argparse
import random
import re
import sys
import time
import tomllib
from importlib import import_module
from multiprocessing import get_context
from pathlib import Path
from typing import Any

from linewright.talk.decoder import default_weights
from linewright.talk.heard import Heard, Reading, hear_reading
from linewright.talk.transcript import read_transcript, source_from_bytes

ROOT = Path(__file__).resolve().parent.parent
TALKS = ROOT / "tests" / "talks"
WEIGHTS = ROOT / "src" / "linewright" / "talk" / "weights.toml"
sys.path.insert(0, str(TALKS))

marked = import_module("marked")
noise = import_module("noise")
scoring = import_module("score")

FIXED = ("beam", "spread", "same_board", "siblings")
FIRST = (
    "usual_named usual_among usual_rare silent silent_usual strange_move strange_capture skip_full"
    " full_aside square_aside square_told_aside capture_target_aside branch leave_shown_break"
    " leave_supposed_break earlier earlier_most_break alternative alternative_ply counted"
    " modal_play supposed_play echo_full echo_playable gone return_uncued place_false_soft"
    " tells_aside intent_aside negated_aside paired_aside square_play appeal_scale book_doubt"
).split()
"""The prices that matter most are tried first."""


class Sample:
    """One talk at one rate of errors, taken apart, with its truth."""

    def __init__(self, path: Path, rate: float, seed: int = 1) -> None:
        talk = marked.read_marked(path)
        self.truth: dict[str, Any] = marked.truth(talk)
        if rate:
            talk = noise.noisy(talk, rate, seed)
        name = f"{path.stem}.{marked.SUFFIX[talk.head['form']]}"
        source, _ = source_from_bytes(name, marked.transcript(talk).encode())
        self.name = f"{path.stem} +{rate:.0%}"
        self.reading = Reading.of(read_transcript(source))

    def score(self, weights: dict[str, float]) -> Any:
        """The counts of this talk under some prices."""
        return scoring.score(self.truth, report(hear_reading(self.reading, weights=weights)))


def report(heard: Heard) -> dict[str, Any]:
    """What the scorer looks at, without the statements."""
    lines = [
        {"kind": line.kind, "moves": [{"san": move.san} for move in line.moves]}
        for line in heard.lines
    ]
    slips = [
        {"at": s.said.at_ms and s.said.at_ms / 1000, "said": s.said.text, "meant": s.meant,
         "sure": s.sure, "moves": list(s.line)}
        for s in heard.slips
    ]  # fmt: skip
    return {"lines": lines, "slips": slips}


def gain(score: Any) -> float:
    """How good a hearing was, in moves."""
    wrong = score.moves_heard - score.moves_heard_right
    slips = 3.0 * score.slips_found + score.slips_meant - 4.0 * score.false_alarms
    return float(score.moves_found - 0.5 * wrong + slips + 2.0 * score.branches_right)


SAMPLES: list[Sample] = []
"""What the workers measure on; they are forked with it."""


def measured(task: tuple[int, dict[str, float]]) -> float:
    """The gain of one sample."""
    number, weights = task
    return gain(SAMPLES[number].score(weights))


def total(pool: Any, weights: dict[str, float]) -> float:
    """The gain over all samples."""
    tasks = [(number, weights) for number in range(len(SAMPLES))]
    return float(sum(pool.imap_unordered(measured, tasks, chunksize=1)))


def tried(value: float, step: float) -> list[float]:
    return [value + step, value - step]


def fit(pool: Any, weights: dict[str, float], rounds: int, seconds: float) -> float:
    """Moves the weights (in place) as long as it helps; the gain reached."""
    best = total(pool, weights)
    print(f"start {best:.1f}", flush=True)
    ends = time.monotonic() + seconds
    order = random.Random(7)
    for turn in range(rounds):
        names = [name for name in weights if name not in FIXED]
        order.shuffle(names)
        names.sort(key=lambda name: name not in FIRST)
        for name in names:
            before = weights[name]
            step = max(0.15, 0.3 * abs(before)) / (1 + turn)
            for value in tried(before, step):
                weights[name] = round(value, 3)
                now = total(pool, weights)
                if now > best + 0.4:
                    print(f"{best:.1f} -> {now:.1f}  {name} {before} -> {value:.3f}", flush=True)
                    best = now
                    break
                weights[name] = before
            if time.monotonic() > ends:
                return best
    return best


def write(weights: dict[str, float]) -> None:
    """Puts the prices into their file; its comments stay."""
    text = WEIGHTS.read_text("utf-8")
    for name, value in weights.items():
        text = re.sub(rf"(?m)^{name} = [-\d.]+", f"{name} = {value:g}", text)
    tomllib.loads(text)
    WEIGHTS.write_text(re.sub(r"(?m)^(\w+ = -?\d+)(?=\s|$)(?!\.)", r"\1.0", text), "utf-8")


def main() -> None:
    """Fit, and say what it did."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--rates", default="0,8")
    options.add_argument("--rounds", type=int, default=2)
    options.add_argument("--minutes", type=float, default=20.0)
    options.add_argument("--write", action="store_true")
    options.add_argument("--fit", action="store_true", help="without it, only measure")
    chosen = options.parse_args()
    rates = [float(rate) / 100 for rate in chosen.rates.split(",")]
    SAMPLES.extend(Sample(p, rate) for p in sorted(TALKS.glob("tune/*.talk")) for rate in rates)
    weights = dict(default_weights())
    if not chosen.fit:
        sums = {rate: scoring.Score() for rate in rates}
        for number, sample in enumerate(SAMPLES):
            score = sample.score(weights)
            sums[rates[number % len(rates)]] += score
            print(f"{sample.name:24} {line(score)}")
        for rate, score in sums.items():
            print(f"all +{rate:.0%}{'':16} {line(score)}   gain {gain(score):.1f}")
        return
    with get_context("fork").Pool(2) as pool:
        fit(pool, weights, chosen.rounds, 60 * chosen.minutes)
    if chosen.write:
        write(weights)


def line(s: Any) -> str:
    """One row of counts."""
    return (
        f"moves {s.moves_found:4}/{s.moves:<4} {100 * s.moves_found / max(1, s.moves):5.1f} %"
        f"  right {s.moves_heard_right:4}/{s.moves_heard:<4}"
        f" side {s.branches_right:3}/{s.branches:<3}"
        f" unspoken {s.unspoken_right:2}/{s.unspoken:<2} slips {s.slips_found}/{s.slips}"
        f" ({s.slips_meant}) alarms {s.false_alarms}"
    )


if __name__ == "__main__":
    main()
