"""Learns which moves the words of a clause go with: `benches/fit_clauses.py [--write]`.

"He hits it at once" names no move. Of each clause of the talks in `tests/talks` that tells a true
move without naming it, the words are held against the traits of that move and of the other legal
ones (`linewright_core::talk::traits`): a conditional logit with one weight (L2) for each word or
pair of words and each trait, beside how usual each move is. Five folds by talk say how well it does
on voices it has not heard; `--folds FOLDER` keeps their models.

**Source**: L-BFGS from SciPy; McFadden, *Conditional logit analysis of qualitative choice behavior*
(1974). The measure is the mean log loss and the share of true moves that come first.
"""

from __future__ import annotations

import argparse
import json
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from importlib import import_module
from multiprocessing import get_context
from pathlib import Path
from typing import Any

import numpy as np
from scipy.optimize import minimize
from scipy.sparse import csr_matrix

from linewright._core import TRAITS, traits_of_moves
from linewright.talk.clauses import Goes, all_clauses, names_move, said_in
from linewright.talk.decoder import default_weights
from linewright.talk.said import Form, Phrase

fit_talk = import_module("fit_talk")

MODEL = fit_talk.ROOT / "src" / "linewright" / "talk" / "clauses.json"

FOLDS = 5

TALKS = 4
"""Words of fewer talks than this are left out."""

PENALTY = 3.0

LEAST = 0.04
"""Smaller parts of the model are dropped."""


@dataclass(frozen=True)
class Told:
    """A move that a clause tells: the talk, what is seen of the words, and the legal moves with
    their traits (places in `TRAITS`) and how usual they are, the true one at `true`.
    """

    talk: str
    seen: tuple[str, ...]
    traits: tuple[tuple[int, ...], ...]
    usual: tuple[float, ...]
    true: int
    alone: bool
    """Whether no words of the clause are read as a move; only of such the report tells."""


def told(path: Path) -> list[Told]:
    """What the clauses of one talk teach."""
    if "start" in fit_talk.marked.read_marked(path).head:
        return []  # the lines of all others begin at the first move
    sample = fit_talk.Sample(path, 0.0, book=BOOKS[path.stem])
    out = []
    for phrase, line in told_alone(sample):
        *before, move = line.split()
        found = traits_of_moves(BOOKS[path.stem], before, phrase.spec.met_square)
        usual = BOOKS[path.stem].usual(default_weights(), before)
        moves = [uci for uci, _ in found]
        out.append(
            Told(
                path.stem,
                tuple(said_in(sample.reading.lexicon, phrase)),
                tuple(tuple(seen) for _, seen in found),
                tuple(usual[uci] for uci in moves),
                moves.index(move),
                not phrase.covered,
            )
        )
    return out


def told_alone(sample: Any) -> Iterator[tuple[Phrase, str]]:
    """The clauses that tell a true move whose words name none, each with the line to it."""
    reading = sample.reading
    found = {
        first: [p for p in same if p.form is not Form.CLAUSE]
        for first, same in reading.phrases.items()
    }
    clauses = [(*_words(reading, p), p) for p in all_clauses(reading.lexicon, found)]
    named = [_words(reading, p) for same in found.values() for p in same if names_move(p)]
    for first, end, line in sample.told:
        near = [(min(b, end) - max(a, first), p) for a, b, p in clauses if a < end and first < b]
        if near and not any(a < end and first < b for a, b in named):
            yield max(near, key=lambda pair: pair[0])[1], line


def _words(reading: Any, phrase: Phrase) -> tuple[int, int]:
    """The words of a phrase."""
    return reading.tokens[phrase.first].word, reading.tokens[phrase.end - 1].word + 1


def learned(data: Sequence[Told]) -> Goes:
    """How words go with traits by some examples."""
    times: dict[str, set[str]] = defaultdict(set)
    for item in data:
        for name in item.seen:
            times[name].add(item.talk)
    names = sorted(name for name, talks in times.items() if len(talks) >= TALKS)
    table = Table.of(data, names)

    def loss(values: np.ndarray) -> tuple[float, np.ndarray]:
        goes = values.reshape(len(names), len(TRAITS))
        cost, pull = table.loss(goes)
        return cost + 0.5 * PENALTY * float((values**2).sum()), (pull + PENALTY * goes).ravel()

    start = np.zeros(len(names) * len(TRAITS))
    values = minimize(loss, start, jac=True, method="L-BFGS-B", options={"maxiter": 150}).x
    goes = values.reshape(len(names), len(TRAITS))
    return {
        name: {t: round(float(v), 2) for t, v in zip(TRAITS, row, strict=True) if abs(v) > LEAST}
        for name, row in zip(names, goes, strict=True)
        if np.abs(row).max() > LEAST
    }


def log_chances_within(raw: np.ndarray, owner: np.ndarray, count: int) -> np.ndarray:
    """The log of the chance of each choice among those of its owner, of `count` owners."""
    most = np.full(count, -np.inf)
    np.maximum.at(most, owner, raw)
    whole = np.bincount(owner, np.exp(raw - most[owner]), minlength=count)
    return np.asarray(raw - most[owner] - np.log(whole)[owner])


class Table:
    """Examples as matrices: words by example, traits and prices by legal move."""

    def __init__(
        self, seen: Any, traits: Any, usual: np.ndarray, owner: np.ndarray, true: np.ndarray
    ) -> None:
        self.seen, self.traits, self.usual, self.owner, self.true = seen, traits, usual, owner, true

    @classmethod
    def of(cls, data: Sequence[Told], names: Sequence[str]) -> Table:
        places = {name: n for n, name in enumerate(names)}
        cells = [(n, places[w]) for n, item in enumerate(data) for w in item.seen if w in places]
        rows = [seen for item in data for seen in item.traits]
        marks = [(n, what) for n, seen in enumerate(rows) for what in seen]
        sizes = [len(item.traits) for item in data]
        starts = np.concatenate([[0], np.cumsum(sizes)[:-1]])
        return cls(
            sparse(cells, (len(data), len(names))),
            sparse(marks, (len(rows), len(TRAITS))),
            np.array([price for item in data for price in item.usual]),
            np.repeat(np.arange(len(data)), sizes),
            starts + np.array([item.true for item in data]),
        )

    def odds(self, goes: np.ndarray) -> np.ndarray:
        """The log of each legal move's chance."""
        leaning = self.seen @ goes
        raw = np.asarray(self.traits.multiply(leaning[self.owner]).sum(axis=1)).ravel() - self.usual
        return log_chances_within(raw, self.owner, self.seen.shape[0])

    def loss(self, goes: np.ndarray) -> tuple[float, np.ndarray]:
        """The log loss, and what it grows by with each weight."""
        odds = self.odds(goes)
        off = np.exp(odds)
        off[self.true] -= 1.0
        weighed = self.traits.multiply(off[:, None]).tocsr()
        owners = sparse(
            list(zip(self.owner, range(len(off)), strict=True)), (self.seen.shape[0], len(off))
        )
        return -float(odds[self.true].sum()), self.seen.T @ (owners @ weighed).toarray()


def sparse(cells: Sequence[tuple[int, int]], shape: tuple[int, int]) -> Any:
    """A matrix of ones."""
    at = np.array(cells, dtype=int).reshape(-1, 2).T
    return csr_matrix((np.ones(len(cells)), at), shape=shape)


def report(data: Sequence[Told], stems: Sequence[str], folder: Path | None) -> None:
    """How well voices are read that were not heard, beside the board alone."""
    sums = np.zeros(5)
    for fold in range(FOLDS):
        fold_of = {stem: number % FOLDS for number, stem in enumerate(stems)}
        rest = [item for item in data if fold_of[item.talk] != fold]
        mine = [item for item in data if fold_of[item.talk] == fold and item.alone]
        goes = learned(rest)
        if folder:
            folder.mkdir(parents=True, exist_ok=True)
            (folder / f"{fold}.json").write_text(json.dumps(goes), "utf-8")
        names = sorted(goes)
        table = Table.of(mine, names)
        values = np.array([[goes[n].get(t, 0.0) for t in TRAITS] for n in names])
        for place, weights in ((0, np.zeros_like(values)), (2, values)):
            odds = table.odds(weights)
            best = np.full(len(mine), -np.inf)
            np.maximum.at(best, table.owner, odds)
            sums[place] -= odds[table.true].sum()
            sums[place + 1] += (odds[table.true] >= best - 1e-9).sum()
        sums[4] += len(mine)
    loss, first, loss_said, first_said = sums[:4] / sums[4]
    print(f"{len(data)} moves told by a clause, of {sums[4]:.0f} no word is read as a move")
    print(f"of these by the board alone: log loss {loss:.3f}, first {first:.1%}")
    print(f"with the words, unheard voices: log loss {loss_said:.3f}, first {first_said:.1%}")


BOOKS: dict[str, Any] = {}


def main() -> None:
    """Learn, and say how well it does."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--write", action="store_true")
    options.add_argument("--folds", type=Path, help="a folder for the models of the folds")
    chosen = options.parse_args()
    halves = (*fit_talk.LEARNED, *fit_talk.MORE)
    BOOKS.update(fit_talk.books(FOLDS, halves))
    paths = fit_talk.talks(halves)
    with get_context("fork").Pool(2) as pool:
        data = [item for part in pool.imap(told, paths, chunksize=1) for item in part]
    report(data, [path.stem for path in paths], chosen.folds)
    if chosen.write:
        text = json.dumps(learned(data), ensure_ascii=False, indent=0, sort_keys=True)
        MODEL.write_text(text + "\n", "utf-8")


if __name__ == "__main__":
    main()
