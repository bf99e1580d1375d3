"""Learns how sure what was heard is: `benches/fit_sureness.py [--every 1] [--rates 0,8] [--write]`.

Three logistic models (L2) over what the search found around a place
(`linewright.talk.sureness`): of the slips, which are slips; of the moves that nobody said, and of
those told, which were played. It learns from every talk that may be looked at. For each it says how
near the chances come to what is true, of talks in folds that were not learned from: the Brier
score, and by tenths how many there are and how many are right; before and after, which is by the
weights that are there and by those learned.

With `--write` the weights (`sureness.toml`) are written anew; then `--every 1` should be given, for
else only some of the talks are heard.

**Source**: Brier, *Verification of forecasts expressed in terms of probability* (1950); L-BFGS from
SciPy.
"""

from __future__ import annotations

import argparse
import random
import re
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from importlib import import_module
from multiprocessing import get_context
from pathlib import Path
from typing import Any

import numpy as np
from scipy.optimize import minimize

from linewright.hearing import with_sides_told_wrong
from linewright.talk.decoder import Kind, default_weights
from linewright.talk.heard import ASK_UNSAID_BELOW, Heard, hear_reading
from linewright.talk.sureness import (
    default_sureness,
    move_features,
    slip_features,
    sure_moves,
    unsaid_features,
    unsaid_of,
)

fit_talk = import_module("fit_talk")
scoring = fit_talk.scoring

LOOKED_AT = (
    "tune", "plain", "voices", "exam", "club", "slips", "long", "tongue", "facts", "ways", "rooms",
)  # fmt: skip
WEIGHTS = fit_talk.ROOT / "src" / "linewright" / "talk" / "sureness.toml"
FOLDS = 5

PENALTY = 1.0
"""Of each weight but the first, which sets the level."""


@dataclass
class Examples:
    """What was heard at places of talks, whether it is so, and in which talk."""

    features: list[dict[str, float]] = field(default_factory=list)
    right: list[bool] = field(default_factory=list)
    kinds: list[str] = field(default_factory=list)
    talks: list[str] = field(default_factory=list)

    def add(self, talk: str, kind: str, features: dict[str, float], right: bool) -> None:
        """One more."""
        self.features.append(features)
        self.right.append(right)
        self.kinds.append(kind)
        self.talks.append(talk)

    def table(self) -> tuple[list[str], np.ndarray, np.ndarray]:
        """The names of what is seen, the rows, and whether each is so."""
        names = list(self.features[0])
        rows = np.array([[row[name] for name in names] for row in self.features])
        return names, rows, np.array(self.right, float)

    def folds(self) -> np.ndarray:
        """The fold of each, by its talk."""
        talks = sorted(set(self.talks))
        random.Random(1).shuffle(talks)
        fold = {talk: number % FOLDS for number, talk in enumerate(talks)}
        return np.array([fold[talk] for talk in self.talks])


Found = list[tuple[str, str, dict[str, float], bool]]
"""Which model, the kind, what is seen, whether it is so."""


def right_slips(truth: dict[str, Any], heard: Heard) -> set[int]:
    """The numbers of the slips that are slips, as the scorer pairs them."""
    told = fit_talk.report(heard)["slips"]
    used: set[int] = set()
    for wanted in truth["slips"]:
        near = [
            number
            for number, slip in enumerate(told)
            if number not in used and scoring.near(slip, wanted, scoring.NEAR_S)
        ]
        meant = (n for n in near if scoring.same(told[n]["meant"], wanted["meant"]))
        if near:
            used.add(next(meant, near[0]))
    return used


def unsaid_moves(truth: dict[str, Any], heard: Heard) -> Iterator[tuple[Any, bool]]:
    """The turns with moves that nobody said, and whether all of these were played."""
    known = scoring.edges(truth["lines"], scoring.ALL)
    for turn in heard.turns:
        unsaid = unsaid_of(turn.event) if turn.event.kind is Kind.PLAY else ()
        lines = [heard.line_to(node) for node in unsaid]
        if lines:
            yield turn, all(scoring.edge_after(line[:-1], line[-1]) in known for line in lines)


def told_moves(truth: dict[str, Any], heard: Heard) -> Iterator[bool]:
    """Of each move told, whether it was played, in their order."""
    known = scoring.edges(truth["lines"], scoring.ALL)
    for turn, _ in sure_moves(heard):
        line = heard.line_to(turn.node)
        yield scoring.edge_after(line[:-1], line[-1]) in known


def looked_at(task: tuple[Path, float]) -> tuple[str, Found]:
    """What one talk gives."""
    path, rate = task
    sample = fit_talk.Sample(path, rate)
    heard = with_sides_told_wrong(hear_reading(sample.reading, weights=default_weights()))
    right = right_slips(sample.truth, heard)
    found: Found = [
        ("slip", slip.kind, slip_features(heard, slip), number in right)
        for number, slip in enumerate(heard.slips)
    ]
    found += [
        ("unsaid", "unsaid", unsaid_features(heard, turn), played)
        for turn, played in unsaid_moves(sample.truth, heard)
    ]
    seen = zip(move_features(heard), told_moves(sample.truth, heard), strict=True)
    found += [("move", "move", features, played) for features, played in seen]
    return path.stem, found


def learned(rows: np.ndarray, right: np.ndarray) -> np.ndarray:
    """The weights that make what is so likeliest."""
    held = np.full(rows.shape[1], PENALTY)
    held[0] = 0.01

    def loss(weights: np.ndarray) -> tuple[float, np.ndarray]:
        odds = rows @ weights
        cost = np.log1p(np.exp(-np.where(right > 0, odds, -odds))).sum()
        slopes = rows.T @ (chance(odds) - right) + held * weights
        return float(cost + 0.5 * (held * weights**2).sum()), slopes

    start = np.zeros(rows.shape[1])
    return np.array(minimize(loss, start, jac=True, method="L-BFGS-B").x)


def chance(odds: np.ndarray) -> np.ndarray:
    """Log odds as chances."""
    return np.array(1 / (1 + np.exp(-odds)))


def of_others(examples: Examples) -> np.ndarray:
    """The chances by weights learned from the talks of the other folds."""
    _, rows, right = examples.table()
    folds, told = examples.folds(), np.zeros(len(right))
    for fold in range(FOLDS):
        weights = learned(rows[folds != fold], right[folds != fold])
        told[folds == fold] = chance(rows[folds == fold] @ weights)
    return told


def say(name: str, examples: Examples, talks: int) -> dict[str, float]:
    """Prints how sure and how right, and gives the weights."""
    names, rows, right = examples.table()
    now = default_sureness()[name]
    before = chance(rows @ np.array([now[one] for one in names]))
    after = of_others(examples)
    told = [np.mean((chances - right) ** 2) for chances in (before, after)]
    print(f"{name}: {len(right)}, {right.mean():.1%} of them right, in {talks} hearings")
    print(f"  Brier score: {told[0]:.3f} by the weights there are, {told[1]:.3f} in {FOLDS} folds,")
    print(f"  {right.mean() * (1 - right.mean()):.3f} if all were equally sure")
    for low in np.arange(0, 1, 0.1):
        here = (after >= low) & (after < low + 0.1)
        if here.any():
            print(f"  {low:.1f}: {here.sum():4}, right {right[here].mean():.2f}")
    for kind in sorted(set(examples.kinds)):
        here = np.array([one == kind for one in examples.kinds])
        print(
            f"  {kind}: {here.sum()}, sure {after[here].mean():.2f}, right {right[here].mean():.2f}"
        )
    if name == "unsaid":
        asked = after < ASK_UNSAID_BELOW
        wrong = asked & (right == 0)
        print(
            f"  asked below {ASK_UNSAID_BELOW}: {wrong.sum()} of {(right == 0).sum()} wrong ones,"
            f" {(asked & (right > 0)).sum()} of {int(right.sum())} right ones,"
            f" {asked.sum() / talks:.2f} a talk"
        )
    return dict(zip(names, (round(float(w), 2) for w in learned(rows, right)), strict=True))


def write(weights: dict[str, dict[str, float]]) -> None:
    """Puts the weights into their file; its comments stay."""
    text = WEIGHTS.read_text("utf-8")
    for part, values in weights.items():
        head, mark, rest = text.partition(f"[{part}]")
        body, gap, later = rest.partition("\n[")
        for name, value in values.items():
            body = re.sub(rf"(?m)^{name} = [-\d.]+", f"{name} = {value}", body)
        text = head + mark + body + gap + later
    WEIGHTS.write_text(text, "utf-8")


def tasks_of(halves: Sequence[str], rates: Sequence[float], every: int) -> list[tuple[Path, float]]:
    """The talks to hear, each so many of a folder."""
    paths = [
        path for half in halves for path in sorted((fit_talk.TALKS / half).glob("*.talk"))[::every]
    ]
    return [(path, rate) for path in paths for rate in rates]


def main() -> None:
    """Learn, and say how well it does."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--halves", default=",".join(LOOKED_AT))
    options.add_argument("--rates", default="0,8")
    options.add_argument("--every", type=int, default=12)
    options.add_argument("--write", action="store_true")
    chosen = options.parse_args()
    rates = [float(rate) / 100 for rate in chosen.rates.split(",")]
    tasks = tasks_of(chosen.halves.split(","), rates, chosen.every)
    examples: dict[str, Examples] = defaultdict(Examples)
    with get_context("fork").Pool() as pool:
        for talk, found in pool.imap(looked_at, tasks):
            for model, kind, features, right in found:
                examples[model].add(talk, kind, features, right)
    weights = {name: say(name, part, len(tasks)) for name, part in sorted(examples.items())}
    if chosen.write:
        write(weights)


if __name__ == "__main__":
    main()
