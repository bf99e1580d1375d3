"""Learns which words were misheard, and for what: `benches/fit_misheard.py [--write]`.

Two small networks (`linewright.talk.misheard_model`), of the talks in `tests/talks` that may be
looked at, as they stand and with recogniser-like errors:

* `sorts`: for each word, from what the model of English makes of it and of the words around it,
  which kind of word of the board was really said there.
* `chance`: the talks are heard, and of all words that written ones may stand for it learns which
  were said. The kinds it sees are told by a network that has not seen the writer of the talk.

Four folds by writer say, of the second, how many misheard words are put right and how many words
are put wrong, at each rate of errors. It needs what `pip install -e '.[dev,learn]'` brings, and an
hour of two processors. The networks that ship were learned with `--every 2 --write`, which takes
every other talk.

**Source**: Loshchilov, Hutter, *Decoupled Weight Decay Regularization* (2019), as in PyTorch.
"""

from __future__ import annotations

import argparse
import pickle
import random
import re
import zlib
from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher
from importlib import import_module
from multiprocessing import get_context
from pathlib import Path
from typing import Any

import numpy as np
import torch
from torch import nn
from torch.nn import functional

from linewright.hearing import as_record
from linewright.talk.heard import Reading, hear_misheard, spoken
from linewright.talk.language import read
from linewright.talk.misheard import CERTAIN, FORMS, Candidate, is_near
from linewright.talk.misheard_model import Model, Net, Sort, seen_of_words, sorts
from linewright.talk.transcript import Transcript, read_transcript, source_from_bytes
from linewright.talk.vocabulary import is_square, tokenise

fit_talk = import_module("fit_talk")
marked, noise, scoring = fit_talk.marked, fit_talk.noise, fit_talk.scoring

HALVES = (*fit_talk.LEARNED, *fit_talk.MORE, "facts", "rooms")
MODEL = fit_talk.ROOT / "src" / "linewright" / "talk" / "misheard.npz"

WORD_RATES = (0.0, 0.08)
"""Word errors added to the talks whose words are learned from, each talk with both."""

HEARD_RATES = (0.0, 0.08, 0.04, 0.12, 0.08, 0.0, 0.08, 0.02)
"""Word errors added to the talks that are heard, in turn."""

FOLDS = 4

VOICES = 4
"""So many small networks are asked how likely a correction is."""

KEPT = 0.12
"""This share of the words that stand as said, beside none misheard, is learned from."""

_SORT_OF = {form: sort for sort, forms in FORMS.items() for form in forms}


# --- what was said -----------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Talk:
    """A talk with errors: its marked words, the transcript, and the marked word of each of its."""

    name: str
    words: Sequence[Any]
    transcript: Transcript
    owners: Sequence[int | None]

    @classmethod
    def of(cls, path: Path, rate: float) -> Talk:
        """A talk at a rate of errors."""
        talk = marked.read_marked(path)
        if rate:
            talk = noise.noisy(talk, rate)
        name = f"{path.stem}.{marked.SUFFIX[talk.head['form']]}"
        source, _ = source_from_bytes(name, marked.transcript(talk).encode())
        transcript = read_transcript(source)
        shown = [(n, part) for n, word in enumerate(talk.words) for part in word.shown.split()]
        owners: list[int | None] = [None] * len(transcript.words)
        pairs = SequenceMatcher(
            None,
            [_bare(part) for _, part in shown],
            [_bare(word.text) for word in transcript.words],
            autojunk=False,
        )
        for block in pairs.get_matching_blocks():
            for k in range(block.size):
                owners[block.b + k] = shown[block.a + k][0]
        return cls(f"{path.parent.name}/{path.stem}", talk.words, transcript, owners)


def _bare(text: str) -> str:
    return re.sub(r"[^\w'-]", "", text).lower()


def writer(name: str) -> int:
    """The fold of a talk: all talks of a writer are in one."""
    half, _, stem = name.partition("/")
    return zlib.crc32((half + stem.rsplit("_", 1)[-1]).encode()) % FOLDS


def sort_said(shown: str, said: str) -> Sort:
    """What was said where words are shown.

    >>> sort_said("night", "knight"), sort_said("nightfall", "knight f4")
    (<Sort.KNIGHT: 1>, <Sort.SEVERAL: 14>)
    """
    if scoring.bare(shown) == scoring.bare(said):
        return Sort.AS_WRITTEN
    parts = scoring.bare(said).split()
    named = [
        sort
        for part in parts
        if (sort := Sort.SQUARE if is_square(part) else _SORT_OF.get(part.removesuffix("'s")))
    ]
    if len(parts) == len(named) == 1:
        return named[0]
    return Sort.SEVERAL if named else Sort.OTHER


def sorts_said(words: Sequence[Any]) -> list[Sort]:
    """What was said at each marked word; one behind a word that stands for both is of its sort."""
    found: list[Sort] = []
    for word in words:
        sort = sort_said(word.shown, word.said) if word.shown else Sort.AS_WRITTEN
        added = not word.said and _bare(word.shown) not in noise.FILLERS
        found.append(found[-1] if added and found and found[-1] else sort)
    return found


# --- what is learned from ----------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Words:
    """What the model of English makes of words of one talk (words x size), and their sorts."""

    talk: str
    seen: np.ndarray
    sorts: np.ndarray


def words_of(task: tuple[Path, float]) -> Words:
    """The words of a talk that are misheard or stand beside one that is, and some of the others."""
    talk = Talk.of(*task)
    tokens = tokenise(spoken(talk.transcript))
    said = sorts_said(talk.words)
    owners = [talk.owners[token.word] for token in tokens]
    known = [Sort.AS_WRITTEN if owner is None else said[owner] for owner in owners]
    dice = random.Random(talk.name)
    chosen = [
        k
        for k, owner in enumerate(owners)
        if owner is not None and (any(known[max(k - 1, 0) : k + 2]) or dice.random() < KEPT)
    ]
    rows = seen_of_words(read(tokens))[chosen].astype(np.float16)
    return Words(talk.name, rows, np.array([known[k] for k in chosen]))


@dataclass(frozen=True, slots=True)
class Weighed:
    """One candidate, and whether just this was said there: f5 for e5 is nearer, and wrong."""

    candidate: Candidate
    right: bool


@dataclass(frozen=True, slots=True)
class HeardTalk:
    """The candidates of one talk, how many words of the board it has misheard, and what was put
    right by moves."""

    talk: str
    rate: float
    weighed: Sequence[Weighed]
    misheard: int
    right: int


def heard_of(task: tuple[Path, float, Model]) -> HeardTalk | None:
    """What the words of one talk may stand for, heard with the sorts that a model tells."""
    path, rate, model = task
    talk = Talk.of(path, rate)
    if talk.transcript.refused:
        return None
    reading = Reading.of(talk.transcript)
    heard, candidates = hear_misheard(reading, sorts(reading.text, model))
    weighed = [
        Weighed(each, right)
        for each in candidates
        if (right := _is_right(talk, reading, each)) is not None
    ]
    score = scoring.Score()
    scoring.score_changes(score, talk.words, as_record(heard)["caption_changes"])
    return HeardTalk(talk.name, rate, weighed, score.misheard, score.changes_right)


def _is_right(talk: Talk, reading: Reading, candidate: Candidate) -> bool | None:
    """Whether the captions with a correction say what was said; None where it changes none."""
    tokens = reading.tokens[candidate.first : candidate.end]
    owners = {talk.owners[token.word] for token in tokens}
    if None in owners:
        return None
    group = scoring.group(talk.words, owners)
    said = scoring.bare(" ".join(talk.words[n].said for n in group))
    shown = scoring.bare(" ".join(talk.words[n].shown for n in group))
    was = scoring.bare(" ".join(token.text for token in tokens))
    now = scoring.bare(shown.replace(was, scoring.bare(candidate.now), 1))
    return None if now == shown else bool(now == said)


# --- the networks ------------------------------------------------------------------------------


def network(inputs: int, hidden: int, outputs: int, drops: float) -> nn.Sequential:
    """One hidden layer, some of whose inputs and units are left out while it learns."""
    return nn.Sequential(
        nn.Dropout(drops), nn.Linear(inputs, hidden), nn.GELU("tanh"), nn.Dropout(drops),
        nn.Linear(hidden, outputs),
    )  # fmt: skip


def learned(rows: np.ndarray, wanted: np.ndarray, net: nn.Sequential, rounds: int, batch: int,
            rate: float) -> Net:  # fmt: skip
    """The network that has learned what is wanted of each row: a class, or a chance."""
    middle, spread = rows.mean(0), rows.std(0) + 1e-3
    inputs, targets = torch.tensor((rows - middle) / spread), torch.tensor(wanted)
    how = torch.optim.AdamW(net.parameters(), rate, weight_decay=0.05)
    net.train()
    for done in range(rounds):
        for group in how.param_groups:
            group["lr"] = rate * (1.05 - done / rounds)
        for chosen in torch.randperm(len(targets)).split(batch):
            told = net(inputs[chosen])
            if targets.dtype == torch.int64:
                loss = functional.cross_entropy(told, targets[chosen])
            else:
                loss = functional.binary_cross_entropy_with_logits(told[:, 0], targets[chosen])
            how.zero_grad()
            loss.backward()
            how.step()
    weights = [part.detach().numpy() for part in net.parameters()]
    return Net(middle, spread, weights[0].T.copy(), weights[1], weights[2].T.copy(), weights[3])


def learned_sorts(words: Sequence[Words]) -> Net:
    """The network that tells the sorts of words."""
    rows = np.concatenate([each.seen for each in words]).astype(np.float32)
    wanted = np.concatenate([each.sorts for each in words]).astype(np.int64)
    return learned(rows, wanted, network(rows.shape[1], 64, len(Sort), 0.25), 5, 512, 1e-3)


def learned_chance(talks: Sequence[HeardTalk], names: Sequence[str]) -> Net:
    """The network that tells how likely a correction is right: several, whose mean is more often
    right than one, side by side in one."""
    weighed = [each for talk in talks for each in talk.weighed]
    rows = np.array([[w.candidate.seen[name] for name in names] for w in weighed], np.float32)
    wanted = np.array([w.right for w in weighed], np.float32)
    nets = [
        learned(rows, wanted, network(rows.shape[1], 32, 1, 0.2), 25, 512, 2e-3)
        for _ in range(VOICES)
    ]
    return Net(
        nets[0].middle,
        nets[0].spread,
        np.concatenate([net.gathers for net in nets], 1),
        np.concatenate([net.bias for net in nets]),
        np.concatenate([net.tells for net in nets]) / len(nets),
        np.mean([net.bias_told for net in nets], 0),
    )


# --- how well it does --------------------------------------------------------------------------


def picked(talk: HeardTalk, net: Net, names: Sequence[str], least: float) -> Iterator[Weighed]:
    """What is put right where this sure at least, the surest first where stretches overlap."""
    if not talk.weighed:
        return
    rows = np.array([[w.candidate.seen[n] for n in names] for w in talk.weighed], np.float32)
    chances = 1 / (1 + np.exp(-net(rows)[:, 0]))
    taken: set[int] = set()
    for n in np.argsort(-chances, kind="stable"):
        stretch = range(talk.weighed[n].candidate.first, talk.weighed[n].candidate.end)
        near = is_near(talk.weighed[n].candidate)
        if near and chances[n] >= least and taken.isdisjoint(stretch):
            taken.update(stretch)
            yield talk.weighed[n]


def print_figures(
    talks: Sequence[HeardTalk], nets: Mapping[int, Net], names: Sequence[str]
) -> None:
    """What is put right and wrong at each rate of errors, by networks that know not the writers."""
    for least in (0.6, 0.7, CERTAIN, 0.9):
        right: Counter[float] = Counter()
        wrong: Counter[float] = Counter()
        for talk in talks:
            for each in picked(talk, nets[writer(talk.talk)], names, least):
                (right if each.right else wrong)[talk.rate] += 1
        print(f"from {least} on:")
        by_rate: dict[float, list[HeardTalk]] = defaultdict(list)
        for talk in talks:
            by_rate[talk.rate].append(talk)
        for rate, some in sorted(by_rate.items()):
            print(
                f"  {rate:.0%} added: of {sum(t.misheard for t in some)} misheard words in"
                f" {len(some)} talks {sum(t.right for t in some)} put right by moves,"
                f" {right[rate]} more, {wrong[rate]} put wrong"
            )


# --- keeping it --------------------------------------------------------------------------------


def write(model: Model) -> None:
    """Keep both networks, the larger layer of each as bytes."""
    kept: dict[str, np.ndarray] = {"seen": np.frombuffer("\n".join(model.seen).encode(), np.uint8)}
    for name, net in (("sorts", model.sorts), ("chance", model.chance)):
        scales = (np.abs(net.gathers).max(0) / 127).astype(np.float16)
        whole = np.round(net.gathers / scales.astype(np.float32))
        kept[f"{name} gathers"] = np.clip(whole, -127, 127).astype(np.int8)
        kept[f"{name} gathers scales"] = scales
        parts = (net.middle, net.spread, net.bias, net.tells, net.bias_told)
        for part, values in zip(
            ("middle", "spread", "bias", "tells", "bias told"), parts, strict=True
        ):
            kept[f"{name} {part}"] = values.astype(np.float32)
    np.savez(MODEL, **kept)


def main() -> None:
    """Learn both, say how well they do on other writers, and keep them."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--every", type=int, default=1, help="of the talks, to try it out")
    options.add_argument("--write", action="store_true")
    options.add_argument("--keep", type=Path, help="a file for what was learned from")
    chosen = options.parse_args()
    torch.manual_seed(1)
    paths = fit_talk.talks(HALVES)[:: chosen.every]
    torch.set_num_threads(2)
    with get_context("fork").Pool(2) as pool:
        words = pool.map(words_of, [(path, rate) for path in paths for rate in WORD_RATES])
        told = {
            fold: learned_sorts([each for each in words if writer(each.talk) != fold])
            for fold in range(FOLDS)
        }
        tasks = []
        for n, path in enumerate(paths):
            fold = writer(f"{path.parent.name}/{path.stem}")
            blank = Model(told[fold], told[fold], ())  # only its sorts are asked for
            tasks.append((path, HEARD_RATES[n % len(HEARD_RATES)], blank))
        talks = [talk for talk in pool.imap(heard_of, tasks) if talk is not None]
    if chosen.keep:
        chosen.keep.write_bytes(pickle.dumps((words, talks)))
    names = tuple(next(each.candidate.seen for talk in talks for each in talk.weighed))
    nets = {
        fold: learned_chance([talk for talk in talks if writer(talk.talk) != fold], names)
        for fold in range(FOLDS)
    }
    print_figures(talks, nets, names)
    if chosen.write:
        write(Model(learned_sorts(words), learned_chance(talks, names), names))


if __name__ == "__main__":
    main()
