"""What a model of English makes of the phrases of a talk.

"He dreams of a knight on d5" wishes and "the knight lands on d5" tells a move: talks with known moves
are too few to teach all words for it, but much English has been read. So a small transformer that has
read it (`all-MiniLM-L6-v2`) was trained further on the talks, to say of each phrase whether it tells a
move made now and whether the talk leaves the board with it. Its weights are in `language.npz`, a byte
each (`benches/fit_language.py`). It knows no chess: the board has its say in the search.

**Source**: Vaswani et al., *Attention Is All You Need* (2017); Devlin et al., *BERT* (2018), whose layers
and word pieces these are; Wang et al., *MiniLM* (2020).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from threadpoolctl import threadpool_limits

from linewright.expressions import expression
from linewright.talk.vocabulary import COMMA, SENTENCE, Token

Array = NDArray[np.float32]

HEADS = 12

WINDOW = 254
"""So many pieces are read at once, with one that begins and one that ends them."""

MARGIN = 40
"""So many pieces at either end of a window are only read for the sake of the others."""

UNKNOWN, BEGIN, END = "[UNK]", "[CLS]", "[SEP]"

_PARTS = expression(r"\w+|[^\w\s]")


class Judgement(NamedTuple):
    """The log odds by the model that a phrase tells a move, the same where it names none, and that
    it leaves the board."""

    tells: float
    clauses: float
    leaves: float


def read(tokens: Sequence[Token]) -> Text:
    """A talk as the model reads it.

    **Cost**: a second of one processor for ten minutes of talk.
    """
    with threadpool_limits(1):  # more gain little, and wait for each other where others work too
        return shipped().read(tokens)


def judge(text: Text, spans: Sequence[tuple[int, int]]) -> list[Judgement]:
    """What the model makes of stretches of a talk, each given as its first token and its end."""
    if not spans:
        return []
    rows = shipped().head(text, *np.array(spans).T)
    return [Judgement(*(round(float(odds), 2) for odds in row)) for row in rows]


@dataclass(frozen=True, slots=True)
class Text:
    """A talk as the model has read it.

    `vectors` has a row for each piece, one before the first and one after the last; the pieces of a
    token are those from `starts[token]` up to `ends[token]`.
    """

    vectors: Array
    starts: NDArray[np.int64]
    ends: NDArray[np.int64]

    def around(self, first: NDArray[np.int64], end: NDArray[np.int64]) -> Array:
        """Stretches from tokens `first` up to `end`: their first piece, their last, the mean of all
        and of the two beside them, side by side (stretches x 4 sizes)."""
        begin, stop = self.starts[first] + 1, self.ends[end - 1] + 1
        vectors = self.vectors
        sums = np.concatenate([np.zeros((1, vectors.shape[1])), vectors.cumsum(0, dtype=float)])
        mean = (sums[stop] - sums[begin]) / (stop - begin)[:, None]
        beside = (vectors[begin - 1] + vectors[stop]) / 2
        seen = np.concatenate([vectors[begin], vectors[stop - 1], mean, beside], 1)
        return seen.astype(np.float32)


@dataclass(frozen=True, slots=True)
class Dense:
    """A layer that weighs every input for every output: `weights` are inputs x outputs."""

    weights: Array
    bias: Array

    def __call__(self, inputs: Array) -> Array:
        return inputs @ self.weights + self.bias


@dataclass(frozen=True, slots=True)
class Norm:
    """Evens out each row to mean 0 and variance 1, then scales and shifts it."""

    scale: Array
    shift: Array

    def __call__(self, rows: Array) -> Array:
        rows = rows - rows.mean(-1, keepdims=True)
        rows /= np.sqrt((rows * rows).mean(-1, keepdims=True) + 1e-12)
        return rows * self.scale + self.shift


@dataclass(frozen=True, slots=True)
class Layer:
    """One layer of the transformer: each piece looks at all others, then thinks for itself."""

    looks: Dense
    gathers: Dense
    evens: Norm
    widens: Dense
    narrows: Dense
    evens_again: Norm

    def __call__(self, rows: Array) -> Array:
        """The pieces of one window (pieces x size) after this layer."""
        rows = self.evens(rows + self.gathers(_attention(self.looks(rows))))
        return self.evens_again(rows + self.narrows(gelu(self.widens(rows))))


def _attention(looks: Array) -> Array:
    """What each piece takes from the others; `looks` has its question, key and value side by side."""
    pieces, width = looks.shape
    each = width // 3 // HEADS
    parts: Array = looks.reshape(pieces, 3, HEADS, each).transpose(1, 2, 0, 3)
    asked, keys, values = parts
    shares: Array = asked @ keys.transpose(0, 2, 1)
    shares *= np.float32(each**-0.5)
    shares -= shares.max(-1, keepdims=True)
    np.exp(shares, out=shares)
    shares /= shares.sum(-1, keepdims=True)
    taken: Array = shares @ values
    return taken.transpose(1, 0, 2).reshape(pieces, width // 3)


def gelu(values: Array) -> Array:
    """The Gaussian error linear unit, by its usual approximation.

    **Source**: Hendrycks, Gimpel, *Gaussian Error Linear Units* (2016).
    """
    root = np.float32(0.7978845608)
    bent = values * values
    bent *= np.float32(0.044715) * root
    bent += root
    bent *= values
    np.tanh(bent, out=bent)
    bent += np.float32(1)
    bent *= values
    bent *= np.float32(0.5)
    return bent


@dataclass(frozen=True, slots=True)
class Model:
    """The whole model; `words` are kept a byte each, with a scale for each row."""

    pieces: Mapping[str, int]
    words: NDArray[np.int8]
    scales: Array
    places: Array
    evens: Norm
    layers: tuple[Layer, ...]
    gathers: Dense
    tells: Dense

    def read(self, tokens: Sequence[Token]) -> Text:
        """A talk as the model reads it, window by window."""
        numbers, starts, ends = in_pieces(tokens, self.pieces)
        vectors = np.empty((len(numbers) + 2, self.places.shape[1]), np.float32)
        for low, high, first, end in windows(len(numbers)):
            rows = self._window(numbers[low:high])
            vectors[first + 1 : end + 1] = rows[first - low + 1 : end - low + 1]
            if first == 0:
                vectors[0] = rows[0]
            vectors[-1] = rows[-1]
        return Text(vectors, np.array(starts), np.array(ends))

    def _window(self, numbers: Sequence[int]) -> Array:
        """The rows of some pieces, of one that begins them and one that ends them."""
        chosen = np.array([self.pieces[BEGIN], *numbers, self.pieces[END]])
        rows = self.words[chosen] * self.scales[chosen, None] + self.places[: len(chosen)]
        rows = self.evens(rows)
        for layer in self.layers:
            rows = layer(rows)
        return rows

    def head(self, text: Text, first: NDArray[np.int64], end: NDArray[np.int64]) -> Array:
        """The log odds for the stretches from tokens `first` up to `end`: stretches x 3."""
        return self.tells(gelu(self.gathers(text.around(first, end))))


def in_pieces(
    tokens: Sequence[Token], pieces: Mapping[str, int]
) -> tuple[list[int], list[int], list[int]]:
    """The numbers of all pieces of a talk, and where those of each token begin and end.

    A break in the talk is read as a comma or a full stop.
    """
    numbers: list[int] = []
    starts, ends = [], []
    for token in tokens:
        if numbers and token.gap >= COMMA:
            numbers.append(pieces["." if token.gap >= SENTENCE else ","])
        starts.append(len(numbers))
        numbers += split(token.text, pieces)
        ends.append(len(numbers))
    return numbers, starts, ends


def windows(size: int) -> Iterator[tuple[int, int, int, int]]:
    """The windows over so many pieces: where each begins and ends, and which of it are kept.

    >>> list(windows(300))
    [(0, 254, 0, 214), (46, 300, 214, 300)]
    """
    first = 0
    while first < size or first == 0:
        low = max(0, min(first - MARGIN, size - WINDOW))
        high = min(size, low + WINDOW)
        end = high if high == size else high - MARGIN
        yield low, high, first, end
        first = max(end, 1)


@cache
def _known(word: str) -> tuple[str, ...]:
    """The parts of a word that are split further each for itself: "knight's" has three."""
    return tuple(_PARTS.findall(word.lower()))


def split(word: str, pieces: Mapping[str, int]) -> list[int]:
    """The numbers of a word's pieces, each the longest that is known.

    >>> split("rooks", {"rook": 1, "##s": 2, "[UNK]": 0})
    [1, 2]
    """
    out: list[int] = []
    for part in _known(word):
        found = _split_part(part, pieces)
        out += found or [pieces[UNKNOWN]]
    return out or [pieces[UNKNOWN]]


def _split_part(part: str, pieces: Mapping[str, int]) -> list[int]:
    out: list[int] = []
    first = 0
    while first < len(part):
        start = "##" if first else ""
        ends = range(len(part), first, -1)
        end = next((end for end in ends if start + part[first:end] in pieces), None)
        if end is None:
            return []
        out.append(pieces[start + part[first:end]])
        first = end
    return out


@cache
def shipped() -> Model:
    """The model that ships.

    **Source**: `all-MiniLM-L6-v2` (Apache-2.0), trained further on the invented talks of
    ``tests/talks`` (``benches/fit_language.py``).
    """
    with (resources.files("linewright.talk") / "language.npz").open("rb") as file:
        kept = np.load(file, allow_pickle=False)
        return _model({name: kept[name] for name in kept.files})


def _model(kept: Mapping[str, NDArray[np.generic]]) -> Model:
    def array(name: str) -> Array:
        return kept[name].astype(np.float32)

    def dense(name: str) -> Dense:
        scales = array(f"{name} scales")
        return Dense(
            np.ascontiguousarray((array(f"{name} weights") * scales[:, None]).T),
            array(f"{name} bias"),
        )

    def norm(name: str) -> Norm:
        return Norm(array(f"{name} scale"), array(f"{name} shift"))

    names = bytes(kept["pieces"].tobytes()).decode().split("\n")
    layers = tuple(
        Layer(
            dense(f"{n} looks"), dense(f"{n} gathers"), norm(f"{n} evens"),
            dense(f"{n} widens"), dense(f"{n} narrows"), norm(f"{n} evens again"),
        )
        for n in range(int(kept["layers"]))
    )  # fmt: skip
    return Model(
        {name: number for number, name in enumerate(names)},
        kept["words"].astype(np.int8), array("scales"), array("places"), norm("evens"), layers,
        dense("gathers"), dense("tells"),
    )  # fmt: skip
