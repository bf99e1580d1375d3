"""Learns what teachers name on a board, and where they miss it: `benches/fit_naming.py [--write]`.

Two models (`linewright.talk.aptness`), of the talks in `tests/talks` that may be looked at:

* `apt`: of every square, man, side and file that a talk rightly names without moving it, the words
  around are held against what is true on the true board of what is named and of what it may be
  said for: a conditional logit with one weight (L2) for each of what is seen of the words and each
  trait. No slip is needed to learn it.
* `slip`: the talks are heard, and of what they name on the boards as heard a logistic regression
  (L2) learns from the slips marked in them where something else was meant. Each talk is weighed by
  a model `apt` that has not seen it.

Five folds by talk say how well both do on voices not heard: log loss and how often what is named
comes first; and of all slips how many are found at which chance, beside the rules and alone.
Hearing all talks takes about twenty minutes; `--every 10` takes some of them.

**Source**: McFadden, *Conditional logit analysis of qualitative choice behavior* (1974); L-BFGS
from SciPy.
"""

from __future__ import annotations

import argparse
import json
import math
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from importlib import import_module
from multiprocessing import get_context
from pathlib import Path
from typing import Any

import chess
import numpy as np
from scipy.optimize import minimize
from scipy.sparse import csr_matrix

from linewright.hearing import with_sides_told_wrong
from linewright.talk.aptness import (
    AHEAD,
    BEHIND,
    LATELY,
    Features,
    Goes,
    Spot,
    chance,
    log_chances,
    true_of,
    weigh,
)
from linewright.talk.decoder import default_weights
from linewright.talk.heard import hear_names, spoken
from linewright.talk.naming import Name, Slot, names_in
from linewright.talk.players import players, with_sides
from linewright.talk.record import Heard
from linewright.talk.scene import ALONE, Scene, Step
from linewright.talk.transcript import read_transcript, source_from_bytes
from linewright.talk.vocabulary import Lexicon, tokenise

fit_talk = import_module("fit_talk")
log_chances_within = import_module("fit_clauses").log_chances_within
marked, scoring = fit_talk.marked, fit_talk.scoring

HALVES = (*fit_talk.LEARNED, *fit_talk.MORE, "facts")
MODEL = fit_talk.ROOT / "src" / "linewright" / "talk" / "naming.json"
WRITTEN_FOR_SLIPS = ("tongue", "facts")
"""Talks of these have five to nine slips each; how likely one is goes by the others."""

FOLDS = 5

NOISE = 0.08
"""Word errors of the talks that are heard with errors too."""

PENALTY = {Slot.SQUARE: 8.0, Slot.SIDE: 8.0, Slot.PIECE: 6.0, Slot.FILE: 4.0}
TALKS = {Slot.SQUARE: 8, Slot.SIDE: 8, Slot.PIECE: 8, Slot.FILE: 6}
"""What is seen of the words in fewer talks than these is left out."""

LEAST = 0.05
"""Smaller weights are dropped."""

SLIP_TALKS = 12
SLIP_PENALTY = {"gap": 0.1, "word": 6.0}
"""Of what the gap to the best choice says, and of words and traits; 1 for the others."""


# --- what is rightly named -----------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Named:
    """A name on the true board: what is true of each choice, the one said first."""

    talk: str
    slot: Slot
    seen: tuple[str, ...]
    true: tuple[tuple[str, ...], ...]


class Boards(marked.Reader):  # type: ignore[misc, name-defined]
    """Reads a marked talk and keeps the board of each word, and whether it is plain talk."""

    def __init__(self, talk: Any, body: str) -> None:
        super().__init__(talk, body)
        self.plain = True
        self.at: list[tuple[Any, bool]] = []
        self.told: list[tuple[int, Any]] = []

    def tagged(self, tag: str, text: str) -> None:
        self.plain = False
        super().tagged(tag, text)
        self.plain = True
        if not tag.startswith(("@", "!")):
            self.told.append((len(self.talk.words), self.node))

    def say_word(self, word: str, said: str) -> None:
        super().say_word(word, said)
        if len(self.at) < len(self.talk.words):
            self.at.append((self.node, self.plain))


def rightly_named(path: Path) -> list[Named]:
    """What one talk names in words that tell no move and are no slip."""
    head, _, body = path.read_text("utf-8").partition("\n\n")
    talk = marked.Talk(path.stem, dict(line.split(": ", 1) for line in head.splitlines()))
    if "start" in talk.head:
        return []
    reader = Boards(talk, body)
    reader.read()
    name = f"{path.stem}.{marked.SUFFIX[talk.head['form']]}"
    source, _ = source_from_bytes(name, marked.transcript(talk).encode())
    tokens = tokenise(spoken(read_transcript(source)))
    tokens = with_sides(tokens, players(tokens))
    owner = [n for n, word in enumerate(talk.words) for _ in word.shown.split()]
    out: list[Named] = []
    squares: list[tuple[int, int]] = []
    for found in names_in(Lexicon.of(tokens)):
        words = {tokens[k].word for k in range(found.first, found.end)}
        places = [owner[word] for word in words if word < len(owner)]
        if not places or not all(reader.at[place][1] for place in places):
            continue
        lately = frozenset(square for k, square in squares if k >= found.first - LATELY)
        scene = _scene(reader, min(places), lately)
        out.append(Named(path.stem, found.slot, found.seen, true_of(found, scene)))
        if found.slot is Slot.SQUARE:
            squares.append((found.first, chess.parse_square(found.said)))
    return out


def _scene(reader: Boards, place: int, lately: frozenset[int]) -> Scene:
    """The board of a word with the moves before it and those told next."""

    def step(node: Any) -> Step:
        board = node.parent.board
        return Step.of(board, board.parse_san(node.san))

    node = reader.at[place][0]
    behind = tuple(step(above) for above in node.path()[-BEHIND:])
    ahead = tuple(step(told) for end, told in reader.told if end > place)[:AHEAD]
    return Scene(node.board, behind, ahead, lately)


class Table:
    """Names of one slot as a matrix: a row for each choice, a column for each word and trait."""

    def __init__(self, data: Sequence[Named], columns: Mapping[tuple[str, str], int]) -> None:
        by_word: dict[str, dict[str, int]] = defaultdict(dict)
        for (word, trait), column in columns.items():
            by_word[word][trait] = column
        places: list[int] = []
        ends = [0]
        for item in data:
            known = [by_word[word] for word in item.seen if word in by_word]
            for one in item.true:
                places += [where[t] for where in known for t in one if t in where]
                ends.append(len(places))
        sizes = [len(item.true) for item in data]
        shape = (len(ends) - 1, len(columns))
        ones = np.ones(len(places), dtype=np.float32)
        self.rows = csr_matrix((ones, np.array(places, dtype=np.int32), np.array(ends)), shape)
        self.columns = self.rows.T.tocsr()
        self.owner = np.repeat(np.arange(len(data)), sizes)
        self.true = np.concatenate([[0], np.cumsum(sizes)[:-1]]).astype(int)

    def odds(self, weights: np.ndarray) -> np.ndarray:
        """The log of the chance of each choice."""
        return log_chances_within(self.rows @ weights, self.owner, len(self.true))


def columns_of(data: Sequence[Named], least: int) -> dict[tuple[str, str], int]:
    """The words seen in enough talks, each with every trait; single squares go with no word."""
    talks: dict[str, set[str]] = defaultdict(set)
    for item in data:
        for word in item.seen:
            talks[word].add(item.talk)
    words = sorted(word for word, seen in talks.items() if len(seen) >= least)
    known = sorted({trait for item in data for one in item.true for trait in one})
    pairs = [(w, t) for w in words for t in known if not (w and t.startswith(ALONE))]
    return {pair: place for place, pair in enumerate(pairs)}


def learned(data: Sequence[Named], slot: Slot) -> Goes:
    """How words go with traits, by some names of one slot."""
    columns = columns_of(data, TALKS[slot])
    table = Table(data, columns)
    held = PENALTY[slot]

    def loss(weights: np.ndarray) -> tuple[float, np.ndarray]:
        odds = table.odds(weights)
        off = np.exp(odds)
        off[table.true] -= 1.0
        cost = -float(odds[table.true].sum()) + 0.5 * held * float(weights @ weights)
        return cost, table.columns @ off + held * weights

    start = np.zeros(len(columns))
    found = minimize(loss, start, jac=True, method="L-BFGS-B", options={"maxiter": 60}).x
    out: dict[str, dict[str, float]] = defaultdict(dict)
    for (word, trait), place in columns.items():
        if abs(found[place]) > LEAST:
            out[word][trait] = round(float(found[place]), 2)
    return dict(out)


def learn_apt(data: Sequence[Named]) -> dict[str, Goes]:
    """The models of all slots."""
    return {slot.value: learned([d for d in data if d.slot is slot], slot) for slot in Slot}


def say_apt(data: Sequence[Named], apt: Mapping[int, Mapping[str, Goes]]) -> None:
    """How well names of talks are foretold that the models have not seen."""
    for slot in Slot:
        losses, first, equal = [], [], []
        for item in (d for d in data if d.slot is slot and len(d.true) > 1):
            chances = log_chances(item.seen, item.true, apt[FOLD[item.talk]][slot.value])
            losses.append(-chances[0])
            first.append(chances[0] >= max(chances))
            equal.append(np.log(len(chances)))
        print(
            f"{slot.value}: {len(losses)} named, log loss {np.mean(losses):.3f}"
            f" ({np.mean(equal):.3f} if all were equal), first {np.mean(first):.1%}"
        )


# --- where another was meant ---------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Weighed:
    """A name of a talk as heard: what tells whether it is a slip, and whether it is one."""

    features: Features
    slip: bool
    told: dict[str, Any]
    """The slip as the program would tell it."""
    covered: bool
    """Whether a rule finds a slip there."""


@dataclass(frozen=True, slots=True)
class HeardTalk:
    """What one talk gives: its true slips, those that rules find, and its names."""

    talk: str
    half: str
    truth: dict[str, Any]
    slips: list[dict[str, Any]]
    names: list[Weighed]


def weighed(task: tuple[Path, float]) -> HeardTalk | None:
    """The names of one talk as heard, weighed by a model that has not seen it."""
    path, rate = task
    if "start" in marked.read_marked(path).head:
        return None
    sample = fit_talk.Sample(path, rate)
    bare, spots = hear_names(sample.reading, default_weights())
    heard = with_sides_told_wrong(bare)
    names = list(_weighed(sample, heard, spots, APT[FOLD[path.stem]]))
    return HeardTalk(
        path.stem, path.parent.name, sample.truth, fit_talk.report(heard)["slips"], names
    )


def _weighed(
    sample: Any, heard: Heard, spots: Sequence[Spot], apt: Mapping[str, Goes]
) -> Iterator[Weighed]:
    timed = any(slip["at"] is not None for slip in sample.truth["slips"])
    for spot in spots:
        found = weigh(spot, apt)
        if found is None:
            continue
        word = sample.reading.tokens[spot.name.first].word
        at = heard.transcript.words[word].start_ms
        told = {
            "at": at / 1000 if timed and at is not None else None,
            "said": _words(sample, spot.name), "meant": spot.name.choices[found.best], "moves": [],
        }  # fmt: skip
        sure = (slip.said for slip in heard.slips if slip.sure >= scoring.SURE)
        covered = any(said.first <= word < said.end for said in sure)
        slip = any(word in words for words in sample.slipped)
        yield Weighed(found.features, slip, told, covered)


def _words(sample: Any, name: Name) -> str:
    tokens = sample.reading.tokens
    words = sorted({tokens[k].word for k in range(name.first, name.end)})
    return " ".join(sample.reading.transcript.words[word].text for word in words)


def learn_slips(data: Sequence[tuple[str, Weighed]]) -> dict[str, float]:
    """What makes a slip likely."""
    talks: dict[str, set[str]] = defaultdict(set)
    for talk, item in data:
        for what in item.features:
            talks[what].add(talk)
    names = sorted(what for what, seen in talks.items() if len(seen) >= SLIP_TALKS)
    places = {what: place for place, what in enumerate(names)}
    cells = [
        (row, places[what], value)
        for row, (_, item) in enumerate(data)
        for what, value in item.features.items()
        if what in places
    ]
    row, column, value = zip(*cells, strict=True)
    table = csr_matrix((value, (row, column)), shape=(len(data), len(names)))
    turned = table.T.tocsr()
    right = np.array([item.slip for _, item in data], float)
    held = np.array([_held(what) for what in names])

    def loss(weights: np.ndarray) -> tuple[float, np.ndarray]:
        odds = table @ weights
        cost = float(np.logaddexp(0, odds).sum() - odds[right > 0].sum())
        slopes = turned @ (1 / (1 + np.exp(-odds)) - right) + held * weights
        return cost + 0.5 * float((held * weights**2).sum()), slopes

    start = np.zeros(len(names))
    found = minimize(loss, start, jac=True, method="L-BFGS-B", options={"maxiter": 300}).x
    return {
        what: round(float(weight), 3)
        for what, weight in zip(names, found, strict=True)
        if abs(weight) > LEAST / 5
    }


def _held(what: str) -> float:
    """How strongly a weight is held to nothing."""
    if what.startswith("gap") or what in ("", "said", "best", "since", "told", "unread"):
        return SLIP_PENALTY["gap"]
    of_words = what.startswith("word ") or " said: " in what or " best: " in what
    return SLIP_PENALTY["word"] if of_words else 1.0


def shifted(weights: Mapping[str, float], by: float) -> dict[str, float]:
    """The weights with other log odds to begin with."""
    return {**weights, "": round(weights.get("", 0.0) + by, 3)}


def level(talks: Sequence[HeardTalk], slip: Mapping[int, Mapping[str, float]]) -> float:
    """What to add to the log odds, so that ordinary talks have as many slips as is likely.

    The talks written for slips teach what a slip looks like, not how often one is made.
    """
    rows = [
        (math.fsum(slip[FOLD[talk.talk]].get(w, 0.0) * v for w, v in item.features.items()), item)
        for talk in talks
        if talk.half not in WRITTEN_FOR_SLIPS
        for item in talk.names
    ]
    odds = np.array([odds for odds, _ in rows])
    wanted = sum(item.slip for _, item in rows)
    low, high = -5.0, 5.0
    while high - low > 0.01:
        middle = (low + high) / 2
        less = (1 / (1 + np.exp(-(odds + middle)))).sum() < wanted
        low, high = (middle, high) if less else (low, middle)
    return round((low + high) / 2, 2)


def say_slips(talks: Sequence[HeardTalk], slip: Mapping[int, Mapping[str, float]]) -> None:
    """How many slips are found with what is named, and how many false ones told, in two parts."""
    for name, part in (
        ("ordinary talks", [talk for talk in talks if talk.half not in WRITTEN_FOR_SLIPS]),
        ("written for slips", [talk for talk in talks if talk.half in WRITTEN_FOR_SLIPS]),
    ):
        print(f"{name}: {len(part)} hearings")
        _say_slips(part, slip)


def _say_slips(talks: Sequence[HeardTalk], slip: Mapping[int, Mapping[str, float]]) -> None:
    for cut in (None, 0.6, 0.5, 0.4, 0.3, 0.25, 0.2):
        found = all_ = alarms = 0
        for talk in talks:
            told = [one for one in talk.slips if one["sure"] >= scoring.SURE]
            told += [
                item.told
                for item in talk.names
                if cut is not None
                and not item.covered
                and chance(item.features, slip[FOLD[talk.talk]]) >= cut
            ]
            score = scoring.Score()
            scoring.score_slips(score, talk.truth, {"slips": told})
            found, all_ = found + score.slips_found, all_ + score.slips
            alarms += score.false_alarms
        name = "rules alone" if cut is None else f"named, from {cut}"
        print(f"{name}: {found} of {all_} slips, {alarms / len(talks):.2f} false a talk")


APT: dict[int, dict[str, Goes]] = {}
FOLD: dict[str, int] = {}


def main() -> None:
    """Learn, and say how well it does."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--every", type=int, default=1, help="of the talks to hear")
    options.add_argument("--noisy", type=int, default=4, help="every so many with errors too")
    options.add_argument("--write", action="store_true")
    chosen = options.parse_args()
    paths = fit_talk.talks(HALVES)
    FOLD.update({path.stem: number % FOLDS for number, path in enumerate(paths)})
    with get_context("fork").Pool(2) as pool:
        data = [item for part in pool.imap(rightly_named, paths, chunksize=4) for item in part]
    for fold in range(FOLDS):
        APT[fold] = learn_apt([item for item in data if FOLD[item.talk] != fold])
    say_apt(data, APT)
    paths = paths[:: chosen.every]
    tasks = [(path, 0.0) for path in paths] + [(path, NOISE) for path in paths[:: chosen.noisy]]
    with get_context("fork").Pool(2) as pool:
        talks = [talk for talk in pool.imap(weighed, tasks, chunksize=2) if talk is not None]
    rows = [(talk.talk, item) for talk in talks for item in talk.names]
    slip = {
        fold: learn_slips([row for row in rows if FOLD[row[0]] != fold]) for fold in range(FOLDS)
    }
    shift = level(talks, slip)
    slip = {fold: shifted(weights, shift) for fold, weights in slip.items()}
    print(f"log odds of a slip shifted by {shift}")
    say_slips(talks, slip)
    if chosen.write:
        models = {"apt": learn_apt(data), "slip": shifted(learn_slips(rows), shift)}
        MODEL.write_text(json.dumps(models, ensure_ascii=False, indent=0, sort_keys=True) + "\n")


if __name__ == "__main__":
    main()
