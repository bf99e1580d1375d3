"""Fits the prices of the search for talks: `benches/fit_talk.py --fit [--rounds 12] [--write]`.

Without `--fit` it only says how the talks are heard now; `--why NAME` shows where a talk is
misunderstood, the true decisions beside the mistaken ones.

The talks of `tests/talks/tune` and `plain`, as they stand and with recogniser-like errors, are
searched freely beside the truth. Wherever the search prefers a mistake, that is one condition on
the prices: the truth must cost less than the mistake, by a margin. The conditions (each as a line
in the prices, taken where they stood) of several rounds are held together; new prices break them
least while they stay near the old ones. This is training a structured support vector machine with
latent decisions, by cutting planes, for inexact search.

**Source**: Tsochantaridis et al., *Large margin methods for structured and interdependent output
variables* (2005); Daumé and Marcu, *Learning as search optimization* (2005); Huang, Fayong and Guo,
*Structured perceptron with inexact search* (2012): the worst mistake before the truth is lost.

The half kept aside is never read here.
"""

from __future__ import annotations

import argparse
import json
import random
import re
import sys
import time
import tomllib
from collections.abc import Iterator, Sequence
from functools import cached_property
from importlib import import_module
from multiprocessing import get_context
from pathlib import Path
from typing import Any

import numpy as np

from linewright._core import OpeningBook
from linewright.talk.clauses import Goes
from linewright.talk.decoder import Decoder, default_weights, whose
from linewright.talk.heard import FIRST_BEAM, Heard, Reading, hear_reading
from linewright.talk.said import Phrase
from linewright.talk.telling import Models
from linewright.talk.transcript import read_transcript, source_from_bytes
from linewright.talk.usual import named_lines, natural, repertory

ROOT = Path(__file__).resolve().parent.parent
TALKS = ROOT / "tests" / "talks"
WEIGHTS = ROOT / "src" / "linewright" / "talk" / "weights.toml"
sys.path.insert(0, str(TALKS))
LEARNED = ("tune", "plain", "voices", "exam", "club", "slips")
MORE = ("tongue", "long", "ways")
"""Of these clauses and names are learned: with them the other models did worse on new voices."""

marked = import_module("marked")
noise = import_module("noise")
scoring = import_module("score")

FIXED = ("beam", "spread", "same_board", "siblings", "silent_most", "second_most", "book_most")
"""Limits of the search: no price depends on them smoothly."""

MARGIN = 0.8
"""How much cheaper the truth should be than a mistake."""

NEAR = 3
"""A phrase may tell a move whose words are this near (words)."""

HELD = 8
"""Conditions found this many rounds ago still count."""

STRIDE = 0.35
"""How far a price moves in one round, in its own scale."""


class Sample:
    """One talk at one rate of errors, taken apart, with its truth."""

    def __init__(
        self,
        path: Path,
        rate: float,
        seed: int = 1,
        telling: Models | None = None,
        form: str = "",
        book: OpeningBook | None = None,
        goes: Goes | None = None,
    ) -> None:
        talk = marked.read_marked(path)
        talk.head["form"] = form or talk.head["form"]
        self.truth: dict[str, Any] = marked.truth(marked.read_marked(path))
        if rate:
            talk = noise.noisy(talk, rate, seed)
        name = f"{path.stem}.{marked.SUFFIX[talk.head['form']]}"
        source, _ = source_from_bytes(name, marked.transcript(talk).encode())
        self.name = f"{path.stem} +{rate:.0%}"
        self.reading = Reading.of(read_transcript(source), telling, book, goes)
        self.lines: list[str] = []
        self.told: list[tuple[int, int, str]] = []
        starts = [word.start for word in talk.words for _ in word.shown.split()]
        self._walk(talk.root, (), starts, self.told)
        self.decoder = Decoder(self.reading.phrases, self.reading.lexicon.noise, book=book)
        self.at = self._told_by(self.told)
        self.slipped = list(self._slipped(talk, starts))
        self.slips = {
            number for number, phrase in enumerate(self.decoder.phrases) if self._is_slip(phrase)
        }
        self.theme = [" ".join(line) for line in self.reading.theme]

    def _walk(
        self,
        node: Any,
        line: tuple[str, ...],
        starts: list[float],
        told: list[tuple[int, int, str]],
    ) -> None:
        """All lines of the truth, and which words tell the last move of each."""
        for child in node.children:
            longer = (*line, node.board.parse_san(child.san).uci())
            self.lines.append(" ".join(longer))
            if child.at is not None and starts:
                first = min(range(len(starts)), key=lambda i: abs(starts[i] - child.at))
                length = len((child.said or child.hint or "one").split())
                told.append((first, first + length, self.lines[-1]))
            self._walk(child, longer, starts, told)

    def _told_by(self, told: list[tuple[int, int, str]]) -> dict[int, list[str]]:
        """The lines that each phrase, by its number, may lead to."""
        tokens = self.reading.tokens
        at: dict[int, list[str]] = {}
        for number, phrase in enumerate(self.decoder.phrases):
            first, end = tokens[phrase.first].word, tokens[phrase.end - 1].word + 1
            near = [line for a, b, line in told if first < b + NEAR and a - NEAR < end]
            if near:
                at[number] = near
        return at

    def _slipped(self, talk: Any, starts: list[float]) -> Iterator[range]:
        """The words of each slip."""
        for slip in talk.slips:
            first = min(range(len(starts)), key=lambda i: abs(starts[i] - slip["at"]))
            yield range(first, first + len((slip["said"] or "one").split()))

    def _is_slip(self, phrase: Phrase) -> bool:
        """Whether a phrase has words of a slip."""
        tokens = self.reading.tokens
        first, end = tokens[phrase.first].word, tokens[phrase.end - 1].word + 1
        return any(first < words.stop and words.start < end for words in self.slipped)

    def score(self, weights: dict[str, float]) -> Any:
        """The counts of this talk under some prices."""
        return scoring.score(self.truth, report(hear_reading(self.reading, weights=weights)))

    def lesson(self, weights: dict[str, float]) -> Any:
        """What the talk teaches about the prices; see `linewright_core::talk::lesson`."""
        return self.decoder.lesson(
            weights, self.theme, self.me, self.lines, self.at, self.slips, MARGIN
        )

    def way(self, weights: dict[str, float]) -> Any:
        """The decisions of the cheapest way to understand the talk that the truth allows."""
        return self.decoder.way(weights, self.theme, self.me, self.lines, self.at, self.slips)

    @cached_property
    def me(self) -> str:
        """The side the speaker calls "I"."""
        return whose(self.decoder.search("", self.reading.theme, beam=FIRST_BEAM))

    def words(self, number: int) -> str:
        """The words of a phrase."""
        phrase = self.decoder.phrases[number]
        tokens = self.reading.tokens
        first, end = tokens[phrase.first].word, tokens[phrase.end - 1].word + 1
        return " ".join(word.text for word in self.reading.transcript.words[first:end])


def talks(halves: Sequence[str] = LEARNED) -> list[Path]:
    """The talks that may be learned from, by name."""
    found = (path for half in halves for path in TALKS.glob(f"{half}/*.talk"))
    return sorted(found, key=lambda path: path.stem)


def models(folder: Path, halves: Sequence[str] = LEARNED) -> dict[str, Any]:
    """For each talk the models of a folder that have not seen it."""
    stems = [path.stem for path in talks(halves)]
    files = sorted(folder.glob("*.json"))
    loaded = [json.loads(path.read_text("utf-8")) for path in files]
    return {stem: loaded[number % len(loaded)] for number, stem in enumerate(stems)}


def books(count: int, halves: Sequence[str] = LEARNED) -> dict[str, OpeningBook]:
    """For each talk what is usual without the lines of its fold, of so many folds."""
    named = named_lines()
    paths = talks(halves)
    shown = [[" ".join(line) for line in marked.lines(marked.read_marked(p))] for p in paths]
    made = []
    for fold in range(count):
        others = [line for n, lines in enumerate(shown) if n % count != fold for line in lines]
        made.append(OpeningBook(named + others, [repertory()], natural()))
    return {path.stem: made[number % count] for number, path in enumerate(paths)}


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


SAMPLES: list[Sample] = []
"""What the workers measure on; they are forked with it."""


def scored(task: tuple[int, dict[str, float]]) -> tuple[int, Any]:
    """The score of one sample."""
    number, weights = task
    return number, SAMPLES[number].score(weights)


def taught(task: tuple[int, dict[str, float]]) -> tuple[int, Any]:
    """The lesson of one sample."""
    number, weights = task
    return number, SAMPLES[number].lesson(weights)


class Conditions:
    """Conditions on the prices, each as a line: violation = fixed + slopes · prices."""

    def __init__(self, names: list[str], start: np.ndarray, strength: float) -> None:
        self.names, self.start = names, start
        self.scale = np.maximum(0.4, 0.5 * np.abs(start))
        self.strength = strength
        self.rounds: list[tuple[np.ndarray, np.ndarray]] = []

    def row(self, slopes: dict[str, float]) -> np.ndarray:
        """Slopes by name as a row."""
        return np.array([slopes.get(name, 0.0) for name in self.names])

    def add(self, weights: np.ndarray, points: list[Any]) -> None:
        """The conditions of one round."""
        slopes = np.array([self.row(point[2]) for point in points])
        fixed = np.array([point[0] for point in points]) - slopes @ weights
        self.rounds.append((fixed, slopes))

    def solved(self, weights: np.ndarray, truth: np.ndarray, steps: int = 3000) -> np.ndarray:
        """The prices that break the conditions least and stay near those at the start.

        All mistakes could be made cheaper by making everything cheap, so the price of the truth,
        which grows by `truth` with the prices, stays what it is. Subgradient descent on the scaled
        distance from the start with steps that shrink, none further than `STRIDE` from the prices
        at hand, where the lines were drawn; the mean of the last half.
        """
        fixed = np.concatenate([f for f, _ in self.rounds[-HELD:]])
        slopes = np.concatenate([s for _, s in self.rounds[-HELD:]])
        held = min(HELD, len(self.rounds))
        here = (weights - self.start) / self.scale
        level = truth * self.scale
        moved, total, counted = here.copy(), np.zeros_like(here), 0
        for step in range(steps):
            now = self.start + self.scale * moved
            broken = np.clip((fixed + slopes @ now) / MARGIN, 0.0, 1.0)
            pull = (slopes.T @ broken) * self.scale / held + self.strength * moved
            moved = moved - 0.3 / (self.strength * (1 + step) ** 0.7 + 20) * pull
            moved = np.clip(moved, here - STRIDE, here + STRIDE)
            moved = moved - level * (level @ (moved - here)) / (level @ level)
            if step >= steps // 2:
                total, counted = total + moved, counted + 1
        mean = self.start + self.scale * total / counted
        keep = np.sign(self.start) != 0
        crossed = keep & (np.sign(mean) != np.sign(self.start))
        return np.where(crossed, 0.02 * np.sign(self.start), mean)


def measure(pool: Any, weights: dict[str, float], rates: list[float], each: bool) -> None:
    """Says how the talks are heard."""
    sums = {rate: scoring.Score() for rate in rates}
    tasks = [(number, weights) for number in range(len(SAMPLES))]
    for number, score in pool.imap(scored, tasks, chunksize=1):
        sums[rates[number % len(rates)]] += score
        if each:
            print(f"{SAMPLES[number].name:24} {line(score)}")
    for rate, score in sums.items():
        print(f"all +{rate:.0%}{'':16} {line(score)}", flush=True)


def fit(
    pool: Any, weights: dict[str, float], options: argparse.Namespace, rates: list[float]
) -> None:
    """Moves the weights (in place) for some rounds."""
    held = tuple(options.hold.split()) or ("no price",)
    names = [name for name in weights if name not in FIXED and not name.startswith(held)]
    values = np.array([weights[name] for name in names])
    conditions = Conditions(names, values.copy(), options.strength)
    ends = time.monotonic() + 60 * options.minutes
    seen: list[np.ndarray] = []
    for turn in range(options.rounds):
        tasks = [(number, dict(weights)) for number in range(len(SAMPLES))]
        lessons = list(pool.imap_unordered(taught, tasks, chunksize=1))
        points = [point for _, lesson in lessons for point in lesson[4]]
        truth = sum(conditions.row(lesson[1]) for _, lesson in lessons)
        conditions.add(values, points)
        print(
            f"round {turn + 1}: {len(points)} mistakes,"
            f" violation {sum(point[0] for point in points):.1f},"
            f" truth {sum(lesson[0] for _, lesson in lessons):.1f},"
            f" not reached {sum(lesson[2] for _, lesson in lessons)}",
            flush=True,
        )
        values = conditions.solved(values, truth)
        seen.append(values)
        weights.update(zip(names, (round(float(v), 3) for v in values), strict=True))
        if options.show and (turn + 1) % options.show == 0:
            measure(pool, weights, rates, each=False)
            if options.write:
                write(weights)
        if time.monotonic() > ends:
            break
    # the prices of one round swing with the mistakes it happened to see; the mean does not
    mean = np.mean(seen[len(seen) // 3 :], axis=0)
    weights.update(zip(names, (round(float(v), 3) for v in mean), strict=True))
    measure(pool, weights, rates, each=False)


def write(weights: dict[str, float]) -> None:
    """Puts the prices into their file; its comments stay."""
    text = WEIGHTS.read_text("utf-8")
    for name, value in weights.items():
        text = re.sub(rf"(?m)^{name} = [-\d.]+", f"{name} = {value:g}", text)
    tomllib.loads(text)
    WEIGHTS.write_text(re.sub(r"(?m)^(\w+ = -?\d+)(?=\s|$)(?!\.)", r"\1.0", text), "utf-8")


def why(sample: Sample, weights: dict[str, float]) -> None:
    """Shows where one talk is misunderstood."""
    price, _, wrong, _, points = sample.lesson(weights)
    print(f"== {sample.name}: truth {price:.1f}, {wrong} moves not reached, {len(points)} mistakes")
    for violation, mistakes, slopes, good, bad in points:
        print(f"  {violation:.1f} for {mistakes} moves")
        said = {d[:3] for d in good} & {d[:3] for d in bad}
        both = [("+", d) for d in good] + [("-", d) for d in bad]
        for sign, (number, kind, san, cost, is_wrong, _, _) in sorted(both, key=lambda d: d[1][0]):
            if (number, kind, san) not in said:
                mark = " (wrong)" if is_wrong else ""
                print(f"    {sign} “{sample.words(number)}” {kind} {san} {cost:.1f}{mark}")
        steep = sorted(slopes.items(), key=lambda item: -abs(item[1]))
        print("      " + ", ".join(f"{name} {slope:+.1f}" for name, slope in steep[:14]))


def main() -> None:
    """Fit, and say what it did."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--rates", default="0,8")
    options.add_argument("--rounds", type=int, default=12)
    options.add_argument("--minutes", type=float, default=30.0)
    options.add_argument("--strength", type=float, default=2.0, help="how dear it is to move away")
    options.add_argument("--show", type=int, default=4, help="measure after each so many rounds")
    options.add_argument("--write", action="store_true")
    options.add_argument("--fit", action="store_true", help="without it, only measure")
    options.add_argument("--why", nargs="*", default=[], help="talks to look at")
    options.add_argument("--seed", type=int, default=1)
    options.add_argument("--skip", default="", help="every so many talks, as 3/0, is left out")
    options.add_argument("--only", action="store_true", help="only those left out")
    options.add_argument(
        "--folds",
        type=Path,
        help="models of telling by fold, see fit_telling; a talk's lines are not known then",
    )
    options.add_argument("--weights", type=Path, help="a table of prices to begin with")
    options.add_argument("--to", type=Path, help="where the fitted table is written")
    options.add_argument("--hold", default="", help="prices that stay, by how their names begin")
    options.add_argument("--beam", type=float, help="a narrower search, to fit faster")
    chosen = options.parse_args()
    rates = [float(rate) / 100 for rate in chosen.rates.split(",")]
    weights = dict(default_weights())
    if chosen.weights:
        parts = tomllib.loads(chosen.weights.read_text("utf-8"))
        weights.update(parts)
    if chosen.beam:
        weights["beam"] = chosen.beam
    paths = talks()
    if chosen.why:
        paths = [path for path in paths if path.stem in chosen.why]
    telling = models(chosen.folds) if chosen.folds else {}
    usual = books(len(list(chosen.folds.glob("*.json")))) if chosen.folds else {}
    random.Random(5).shuffle(paths)
    if chosen.skip:
        every, place = map(int, chosen.skip.split("/"))
        paths = [p for n, p in enumerate(paths) if (n % every == place) == chosen.only]
    SAMPLES.extend(
        Sample(path, rate, chosen.seed, telling.get(path.stem), book=usual.get(path.stem))
        for path in paths
        for rate in rates
    )
    if chosen.why:
        for sample in SAMPLES:
            why(sample, weights)
        return
    with get_context("fork").Pool(2) as pool:
        if not chosen.fit:
            measure(pool, weights, rates, each=True)
            return
        fit(pool, weights, chosen, rates)
    if chosen.to:
        chosen.to.write_text("".join(f"{k} = {float(v)}\n" for k, v in weights.items()), "utf-8")
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
