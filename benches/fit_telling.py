"""Learns whether words tell a move from the words around them: `benches/fit_telling.py [--write]`.

A logistic regression (L2) over what `linewright.talk.telling` sees of each phrase of the talks in
`tests/talks` that may be learned from, as they stand, with recogniser-like errors and without
their full stops. Whether a phrase tells a move, leaves the board or makes one that is come back
to is read off the cheapest way to understand the talk that the truth allows. Five folds by talk say
how well it does on voices it has not heard; `--folds FOLDER` keeps their models, so that prices can
be fitted on what each talk's own words have not taught.

**Source**: L-BFGS from SciPy; the measure is the area under the ROC curve and the mean log loss.
"""

from __future__ import annotations

import argparse
import json
from bisect import bisect_left
from collections.abc import Iterator
from importlib import import_module
from multiprocessing import get_context
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np
from scipy.optimize import minimize
from scipy.sparse import csr_matrix

from linewright.talk.decoder import default_weights
from linewright.talk.said import Form, Phrase
from linewright.talk.telling import SINCE, dwelling, features, next_moves, plain_words

fit_talk = import_module("fit_talk")

MODEL = fit_talk.ROOT / "src" / "linewright" / "talk" / "telling.json"

FOLDS = 5

TALKS = 5
"""What is seen in fewer talks than this is left out: it may be one voice's, or one opening's."""

TIMES = 8

PENALTY = 10.0

LEAST = 0.02
"""Smaller parts of the model are dropped."""

BEAM = 100.0
"""Narrower than in use: the truth leads the search."""

Seen = dict[str, tuple[frozenset[str], bool]]
"""What is seen of a phrase for each thing to be told of it, and whether that is true."""

Row = tuple[str, Seen]
"""The talk, and what one of its phrases teaches."""

WHAT = ("tells", "leaves", "parts", "clauses")


NOISE = 0.08
"""Word errors of the talks that are learned from with errors too."""


class Decided(NamedTuple):
    """A phrase that the truth decides: what it does, and whether the talk leaves or parts there."""

    phrase: Phrase
    kind: str
    leaves: bool
    parts: bool


def decided(sample: Any) -> Iterator[Decided]:
    """The phrases of a talk on the truth's cheapest way, and those that nothing on it overlaps."""
    way = sample.way({**default_weights(), "beam": BEAM})
    phrases = sample.decoder.phrases
    kinds = {decision[0]: decision for decision in way}
    spans = [(phrases[number].first, phrases[number].end) for number in kinds]
    for number, phrase in enumerate(phrases):
        decision = kinds.get(number)
        other = any(first < phrase.end and phrase.first < end for first, end in spans)
        if decision is not None:
            _, kind, _, _, _, leaves, parts = decision
            yield Decided(phrase, kind, leaves, parts)
        elif not other:
            yield Decided(phrase, "", False, False)


def rows(task: tuple[Path, float, str]) -> list[Row]:
    """The phrases of one talk, with errors and in a form, that the truth decides."""
    path, rate, form = task
    sample = fit_talk.Sample(path, rate, form=form)
    tokens = sample.reading.tokens
    plain = plain_words(tokens)
    ends = next_moves(len(tokens), sample.reading.phrases)
    out: list[Row] = []
    for phrase, kind, leaves, parts in decided(sample):
        seen = frozenset(features(tokens, plain, phrase))
        here = frozenset(name for name in seen if not name.startswith(SINCE))
        taught: Seen = {"tells": (here, kind == "play"), "leaves": (seen, leaves)}
        if phrase.form is Form.CLAUSE:
            taught = {"clauses": (here, kind == "play")}
        elif kind == "play":
            later = frozenset(dwelling(tokens, plain, phrase, ends[phrase.end]))
            taught["parts"] = (later, parts)
        out.append((path.stem, taught))
    return out


class Examples:
    """What all phrases teach of one thing; names of what is seen stand as numbers, to save room."""

    def __init__(self) -> None:
        self.places: dict[str, int] = {}
        self.talks: list[str] = []
        self.seen: list[np.ndarray] = []
        self.true: list[bool] = []

    def add(self, talk: str, seen: frozenset[str], true: bool) -> None:
        places = self.places
        self.seen.append(np.array([places.setdefault(n, len(places)) for n in seen], np.int32))
        self.talks.append(talk)
        self.true.append(true)

    def matrix(self, rows: np.ndarray) -> Any:
        """Some rows by what is seen."""
        chosen = [self.seen[row] for row in rows]
        ends = np.cumsum([0, *(len(seen) for seen in chosen)])
        shape = (len(chosen), len(self.places))
        return csr_matrix((np.ones(ends[-1], np.float32), np.concatenate(chosen), ends), shape)


def learned(data: Examples, rows: np.ndarray) -> dict[str, float]:
    """The model of one thing by some rows."""
    table = data.matrix(rows)
    talks = {talk: number for number, talk in enumerate(sorted(set(data.talks)))}
    owners = np.array([talks[data.talks[row]] for row in rows])
    by_talk = csr_matrix(
        (np.ones(len(rows)), (owners, np.arange(len(rows)))), (len(talks), len(rows))
    )
    often = np.asarray(table.sum(axis=0)).ravel() >= TIMES
    wide = (by_talk @ table > 0).sum(axis=0).A1 >= TALKS
    kept = np.flatnonzero(often & wide)
    table = table[:, kept].astype(float)
    true = np.array(data.true, dtype=float)[rows]

    def loss(values: np.ndarray) -> tuple[float, np.ndarray]:
        odds = table @ values[:-1] + values[-1]
        cost = np.logaddexp(0.0, odds) - true * odds
        pull = 1 / (1 + np.exp(-odds)) - true
        whole = cost.sum() + 0.5 * PENALTY * (values[:-1] ** 2).sum()
        return float(whole), np.append(table.T @ pull + PENALTY * values[:-1], pull.sum())

    start = np.zeros(len(kept) + 1)
    values = minimize(loss, start, jac=True, method="L-BFGS-B", options={"maxiter": 200}).x
    names = list(data.places)
    model = {
        names[n]: round(float(v), 2)
        for n, v in zip(kept, values[:-1], strict=True)
        if abs(v) > LEAST
    }
    return {"": round(float(values[-1]), 2), **dict(sorted(model.items()))}


def fold_of(stem: str, stems: list[str]) -> int:
    """Which fold a talk is in; `stems` are sorted."""
    return bisect_left(stems, stem) % FOLDS


def main() -> None:
    """Learn, and say how well it does."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--rates", default="0,8")
    options.add_argument("--write", action="store_true")
    options.add_argument("--folds", type=Path, help="a folder for the models of the folds")
    options.add_argument("--only", choices=WHAT, help="learn this model, leave the others")
    chosen = options.parse_args()
    wanted = [what for what in WHAT if chosen.only in (None, what)]
    rates = [float(rate) / 100 for rate in chosen.rates.split(",")]
    halves = (*fit_talk.LEARNED, *fit_talk.MORE) if "clauses" in wanted else fit_talk.LEARNED
    paths = fit_talk.talks(halves)
    old = {path.stem for path in fit_talk.talks()}
    tasks = [(path, rate, "") for path in paths for rate in rates]
    stopped = [path for path in paths if fit_talk.marked.read_marked(path).head["form"] != "auto"]
    tasks += [(path, 0.0, "auto") for path in stopped]  # the same without its full stops
    data = {what: Examples() for what in wanted}
    with get_context("fork").Pool(2) as pool:
        for part in pool.imap(rows, tasks, chunksize=1):
            for talk, taught in part:
                for what, (seen, true) in taught.items():
                    if what in data and (what == "clauses" or talk in old):
                        data[what].add(talk, seen, true)
    report(data, [path.stem for path in paths], chosen.folds)
    model = {what: learned(item, np.arange(len(item.true))) for what, item in data.items()}
    for what, item in data.items():
        print(f"{what}: {len(item.true)} phrases, {len(model[what])} parts")
    if chosen.write:
        model = {**json.loads(MODEL.read_text("utf-8")), **model}
        text = json.dumps(model, ensure_ascii=False, indent=0, sort_keys=True)
        MODEL.write_text(text + "\n", "utf-8")


def report(data: dict[str, Examples], stems: list[str], folder: Path | None) -> None:
    """How well voices are read that were not heard."""
    found: dict[str, list[tuple[float, bool]]] = {what: [] for what in data}
    for fold in range(FOLDS):
        models = {}
        for what, item in data.items():
            mine = np.array([fold_of(talk, stems) == fold for talk in item.talks])
            model = models[what] = learned(item, np.flatnonzero(~mine))
            weights = np.array([model.get(name, 0.0) for name in item.places])
            here = np.flatnonzero(mine)
            odds = item.matrix(here) @ weights + model[""]
            found[what] += zip(odds, np.array(item.true)[here], strict=True)
        if folder:
            folder.mkdir(parents=True, exist_ok=True)
            (folder / f"{fold}.json").write_text(json.dumps(models), "utf-8")
    for what, pairs in found.items():
        area, loss = area_and_loss(*(np.array(part) for part in zip(*pairs, strict=True)))
        print(f"{what}, unheard voices: area {area:.3f}, log loss {loss:.3f}")


def area_and_loss(odds: np.ndarray, true: np.ndarray) -> tuple[float, float]:
    """The area under the ROC curve of log odds of what is true or not, and the mean log loss."""
    order = odds.argsort().argsort()
    few = true.sum()
    area = (order[true].mean() - (few - 1) / 2) / (~true).sum()
    return float(area), float((np.logaddexp(0.0, odds) - true * odds).mean())


if __name__ == "__main__":
    main()
