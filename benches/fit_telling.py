"""Learns whether words tell a move from the words around them: `benches/fit_telling.py [--write]`.

A logistic regression (L2) over what `linewright.talk.telling` sees of each phrase of the talks in
`tests/talks/tune` and `plain`, as they stand and with recogniser-like errors. Whether a phrase
tells a move is read off the cheapest way to understand the talk that the truth allows. Five folds
by talk say how well it does on voices it has not heard; `--folds FOLDER` keeps their models, so
that prices can be fitted on what each talk's own words have not taught.

**Source**: L-BFGS from SciPy; the measure is the area under the ROC curve and the mean log loss.
"""

from __future__ import annotations

import argparse
import json
from collections import Counter, defaultdict
from importlib import import_module
from multiprocessing import get_context
from pathlib import Path
from typing import Any

import numpy as np
from scipy.optimize import minimize
from scipy.sparse import csr_matrix

from linewright.talk.decoder import default_weights
from linewright.talk.telling import SINCE, features, plain_words

fit_talk = import_module("fit_talk")

MODEL = fit_talk.ROOT / "src" / "linewright" / "talk" / "telling.json"

FOLDS = 5

TALKS = 4
"""What is seen in fewer talks than this is left out: it may be one voice's, or one opening's."""

TIMES = 6

PENALTY = 10.0

LEAST = 0.02
"""Smaller parts of the model are dropped."""

BEAM = 100.0
"""Narrower than in use: the truth leads the search."""

Row = tuple[str, frozenset[str], dict[str, bool]]
"""The talk, what is seen of the phrase, and what is true of it."""

WHAT = ("tells", "leaves")


def rows(task: tuple[Path, float]) -> list[Row]:
    """The phrases of one talk that the truth decides."""
    path, rate = task
    sample = fit_talk.Sample(path, rate)
    _, _, _, way, _ = sample.lesson({**default_weights(), "beam": BEAM})
    phrases = sample.decoder.phrases
    tokens = sample.reading.tokens
    plain = plain_words(tokens)
    kinds = {decision[0]: decision for decision in way}
    spans = [(phrases[number].first, phrases[number].end) for number in kinds]
    out: list[Row] = []
    for number, phrase in enumerate(phrases):
        decision = kinds.get(number)
        other = any(first < phrase.end and phrase.first < end for first, end in spans)
        if decision is not None or not other:
            seen = frozenset(features(tokens, plain, phrase))
            tells = decision is not None and decision[1] == "play"
            leaves = decision is not None and decision[5]
            out.append((path.stem, seen, {"tells": tells, "leaves": leaves}))
    return out


def learned(data: list[Row], what: str) -> dict[str, float]:
    """The model of one thing by some rows."""
    times: Counter[str] = Counter()
    talks: dict[str, set[str]] = defaultdict(set)
    for talk, seen, _ in data:
        wanted = [n for n in seen if what == "leaves" or not n.startswith(SINCE)]
        times.update(wanted)
        for name in wanted:
            talks[name].add(talk)
    names = sorted(n for n, count in times.items() if count >= TIMES and len(talks[n]) >= TALKS)
    table = matrix(data, {name: place for place, name in enumerate(names)})
    tells = np.array([row[2][what] for row in data], dtype=float)

    def loss(values: np.ndarray) -> tuple[float, np.ndarray]:
        odds = table @ values[:-1] + values[-1]
        cost = np.logaddexp(0.0, odds) - tells * odds
        pull = 1 / (1 + np.exp(-odds)) - tells
        whole = cost.sum() + 0.5 * PENALTY * (values[:-1] ** 2).sum()
        return float(whole), np.append(table.T @ pull + PENALTY * values[:-1], pull.sum())

    start = np.zeros(len(names) + 1)
    values = minimize(loss, start, jac=True, method="L-BFGS-B", options={"maxiter": 200}).x
    model = {
        n: round(float(v), 2) for n, v in zip(names, values[:-1], strict=True) if abs(v) > LEAST
    }
    return {"": round(float(values[-1]), 2), **model}


def matrix(data: list[Row], places: dict[str, int]) -> Any:
    """Rows by what is seen."""
    cells = [(i, places[name]) for i, row in enumerate(data) for name in row[1] if name in places]
    at = np.array(cells).T
    return csr_matrix((np.ones(len(cells)), at), shape=(len(data), len(places)))


def fold_of(stem: str, stems: list[str]) -> int:
    """Which fold a talk is in."""
    return stems.index(stem) % FOLDS


def main() -> None:
    """Learn, and say how well it does."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--rates", default="0,6")
    options.add_argument("--write", action="store_true")
    options.add_argument("--folds", type=Path, help="a folder for the models of the folds")
    chosen = options.parse_args()
    rates = [float(rate) / 100 for rate in chosen.rates.split(",")]
    paths = fit_talk.talks()
    tasks = [(path, rate) for path in paths for rate in rates]
    with get_context("fork").Pool(2) as pool:
        data = [row for part in pool.imap(rows, tasks, chunksize=1) for row in part]
    report(data, [path.stem for path in paths], chosen.folds)
    model = {what: learned(data, what) for what in WHAT}
    print(f"{len(data)} phrases, {[len(m) for m in model.values()]} parts")
    if chosen.write:
        text = json.dumps(model, ensure_ascii=False, indent=0, sort_keys=True)
        MODEL.write_text(text + "\n", "utf-8")


def report(data: list[Row], stems: list[str], folder: Path | None) -> None:
    """How well voices are read that were not heard."""
    found: dict[str, list[tuple[float, bool]]] = {what: [] for what in WHAT}
    for fold in range(FOLDS):
        rest = [row for row in data if fold_of(row[0], stems) != fold]
        models = {what: learned(rest, what) for what in WHAT}
        if folder:
            folder.mkdir(parents=True, exist_ok=True)
            (folder / f"{fold}.json").write_text(json.dumps(models), "utf-8")
        for stem, seen, true in data:
            if fold_of(stem, stems) == fold:
                for what, model in models.items():
                    total = model[""] + sum(model.get(name, 0.0) for name in seen)
                    found[what].append((total, true[what]))
    for what, pairs in found.items():
        odds = np.array([value for value, _ in pairs])
        true_ones = np.array([value for _, value in pairs])
        order = odds.argsort().argsort()
        few = true_ones.sum()
        area = (order[true_ones].mean() - (few - 1) / 2) / (~true_ones).sum()
        loss = (np.logaddexp(0.0, odds) - true_ones * odds).mean()
        print(f"{what}, unheard voices: area {area:.3f}, log loss {loss:.3f}")


if __name__ == "__main__":
    main()
