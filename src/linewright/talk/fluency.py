"""How well the words of a transcript follow each other, as a sign of a recogniser's errors.

A misheard word seldom fits the words before it. How much likelier words are after the two before
them than alone, by the language model that ships with the alignment library, falls steadily with
the share of wrong words. Words of the board are left out: no model of plain English expects them.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import lru_cache
from pathlib import Path
from typing import Protocol

FEWEST = 40
"""Fewer runs of three plain words than this say nothing."""

FLUENT = 10.5
PER_UNIT = 0.018
"""Fitted on the invented talks of ``tests/talks/tune`` with errors at known rates: without errors
the mean gain is about 10.5 thousand (6.5 to 12.9 by speaker), and each thousand less is about
1.8 % more wrong words."""


class _Model(Protocol):
    def prob(self, words: list[str]) -> int:
        """Log probability (as whole steps of a small base) of the first word after the others."""


@lru_cache(maxsize=1)
def _model() -> _Model | None:
    try:
        import pocketsphinx
    except ImportError:  # pragma: no cover - the wheel is a dependency
        return None
    path = Path(str(pocketsphinx.get_model_path("en-us"))) / "en-us.lm.bin"
    if not path.exists():  # pragma: no cover - it ships in the wheel
        return None
    quiet = pocketsphinx.Config(hmm=None, lm=None, dict=None, loglevel="FATAL")
    model: _Model = pocketsphinx.NGramModel(quiet, pocketsphinx.LogMath(), str(path))
    return model


def fluency(texts: Sequence[str], chess: Callable[[str], bool]) -> float | None:
    """How much likelier words are after the two before them than alone; None if too few.

    `texts` are lower-case words, `chess` says which are words of the board. **Units**: thousands
    of steps of the model's logarithm.

    **Source**: the English trigram model of the pocketsphinx wheel. **Cost**: 50 ms once, then
    2 µs a word.
    """
    model = _model()
    if model is None:
        return None
    plain = [text for text in texts if text.isalpha()]
    board = [chess(text) for text in plain]
    gains = []
    for i in range(2, len(plain)):
        alone = model.prob([plain[i]])
        if alone > -(10**7) and not any(board[i - 2 : i + 1]):
            gains.append(model.prob([plain[i], plain[i - 1], plain[i - 2]]) - alone)
    return sum(gains) / len(gains) / 1000 if len(gains) >= FEWEST else None


def wrong_words(texts: Sequence[str], chess: Callable[[str], bool]) -> float | None:
    """The share of misheard words of a transcript, roughly; None where there is too little to go by."""
    found = fluency(texts, chess)
    return None if found is None else max(0.0, (FLUENT - found) * PER_UNIT)


_UNKNOWN = -(10**7)
"""Below this the model does not know a word."""


@lru_cache(maxsize=4096)
def rarity(word: str) -> int | None:
    """How rare a word is; None if the model does not know it, or there is no model.

    **Units**: steps of the model's logarithm: "the" about 32,000, "marta" about 139,000.
    """
    model = _model()
    alone = _UNKNOWN if model is None else model.prob([word])
    return None if alone <= _UNKNOWN else -alone


@lru_cache(maxsize=4096)
def _gain(word: str, before: str) -> int:
    model = _model()
    return 0 if model is None else model.prob([word, before]) - model.prob([word])


def gain_behind(word: str, before: Sequence[str]) -> int:
    """How much likelier a word is behind the one of these words that helps it most."""
    return max(_gain(word, each) for each in before)


@lru_cache(maxsize=65536)
def gain(word: str, before: str, before_that: str) -> int:
    """How much likelier a word is after two others than alone; 0 where one is no word of letters.

    **Units**: steps of the model's logarithm.
    """
    model = _model()
    if model is None or not (word.isalpha() and before.isalpha() and before_that.isalpha()):
        return 0
    alone = model.prob([word])
    return 0 if alone <= _UNKNOWN else model.prob([word, before, before_that]) - alone
