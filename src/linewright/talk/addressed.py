"""Pupils whom a teacher speaks to or of by name, in a talk that is written without capitals.

"Yes tomas", "well done marta", "perrin asks", "says young odo": there stands a name, if the word is
none of plain English. That the language model says which ships with the alignment library: a word that it does
not know, or a rare one that no article, verb or "very" makes likelier.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import pairwise

from linewright.talk.fluency import gain_behind, rarity
from linewright.talk.vocabulary import ARTICLES, CASTLES, OWNERS, PIECES, is_square
from linewright.talk.vocabulary import words as words_of

_ONE_WORD = words_of("yes yeah thanks bravo exactly correct hello sorry")
_TWO_WORDS = frozenset(
    tuple(pair.split())
    for pair in "well done,thank you,very good,well spotted,well seen,quite right,spot on,good evening,"
    "good morning".split(",")
)
_GOOD = "good"
"""An address too, but not before a word that the model lacks: "good equaliser"."""

_SPEAKS = words_of("says said asks asked wonders wondered")
_YOUNG = words_of("young old little big")

_BEFORE_A_NOUN = (ARTICLES - {"that", "this"}) | words_of("every each some any")
_TITLED = words_of("friend pupil student son daughter brother sister colleague captain")
"""A name may stand behind these and an article: "my friend odo says"."""

RARE = 115_000
"""A word this rare (steps of the model's logarithm) may be a name."""
GAIN = 600
"""Words of plain English gain more than this behind an article, a pronoun or "very".

Both fitted on the talks of ``tests/talks`` that may be looked at: 51 names addressed in them are
found, a handful is not (June, Iris, Mads), and no other word is taken for one.
"""
_PLAIN_BEFORE = "the a my these more very to he they".split()
_OF_THE_TRADE = words_of(
    "kingside queenside endgame middlegame scandi fianchetto isolani zugzwang zwischenzug prophylaxis tempo"
    " kibitzer kibitzers kibitz patzer woodpusher gambiteer gambit countergambit counterplay hypermodern"
    " grandmaster tablebase scoresheet repertoire theory novelty outpost en prise passant luft pgn caissa"
    " annotator clubmate whiteboard heuristic positional"
)
_NO_NAMES = (
    words_of("um uh erm er ehm hm hmm ok okay mister")
    | _OF_THE_TRADE
    | CASTLES
    | PIECES.keys()
)  # fmt: skip
_ENDINGS = (("s", ""), ("es", ""), ("ed", ""), ("ed", "e"), ("ing", ""), ("ing", "e"), ("er", ""),
            ("er", "e"), ("ly", ""), ("d", ""))  # fmt: skip
"""Endings of words of plain English, each with that of the word it comes from."""


def names_addressed(texts: Sequence[str]) -> frozenset[str]:
    """The words, in small letters, that are names of those whom the speaker addresses or quotes.

    >>> sorted(names_addressed("yes tomas and well done marta you see yes exactly the bishop".split()))
    ['marta', 'tomas']
    >>> sorted(names_addressed("lotte asks about h6 says young casimir but theory says".split()))
    ['casimir', 'lotte']
    """
    found = set()
    nouns = {text for before, text in pairwise(texts) if before in _BEFORE_A_NOUN - OWNERS}
    for k, text in enumerate(texts):
        before = tuple(texts[max(0, k - 2) : k])
        last = before[-1] if before else ""
        speaks = k + 1 < len(texts) and texts[k + 1] in _SPEAKS
        quoted = last in _YOUNG and before[0] in _SPEAKS
        sure = last in _ONE_WORD or before in _TWO_WORDS or speaks or quoted
        owned = last in OWNERS
        noun = text in nouns or owned or (speaks and _describes(texts, k - 1))
        if (sure or last == _GOOD) and not noun and is_name(text, unknown_too=sure):
            found.add(text)
    return frozenset(found)


def _describes(texts: Sequence[str], k: int) -> bool:
    """Whether a word is an adjective behind an article or an owner: "the old kibitzer says"."""
    return k > 0 and texts[k - 1] in _BEFORE_A_NOUN and texts[k] not in _TITLED


def is_name(word: str, unknown_too: bool = True) -> bool:
    """Whether a word is no word of plain English nor of the board; perhaps one the model lacks.

    >>> is_name("gareth"), is_name("queenside"), is_name("pinning"), is_name("exactly")
    (True, False, False, False)
    """
    if not re.fullmatch(r"[^\W\d_]{3,}", word) or is_square(word):
        return False
    if not _NO_NAMES.isdisjoint((word, *_bases(word))):
        return False
    rare = rarity(word)
    if rare is None:
        known = any(rarity(base) is not None for base in _bases(word))
        return unknown_too and not known
    inflected = any((rarity(base) or rare) < rare for base in _bases(word))
    return not inflected and rare > RARE and gain_behind(word, _PLAIN_BEFORE) < GAIN


def _bases(word: str) -> list[str]:
    found = [
        word[: -len(ending)] + rest
        for ending, rest in _ENDINGS
        if word.endswith(ending) and len(word) - len(ending) > 2
    ]
    return [*found, *(base[:-1] for base in found if base[-1:] == base[-2:-1])]  # "pinning"
