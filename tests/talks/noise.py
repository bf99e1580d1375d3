"""Recogniser-like errors in captions, from pronunciations, at a set word error rate.

A recogniser goes wrong where the sounds allow it: it writes another word or two of nearly the same
sounds, runs two words together, or loses a short one. Words and pronunciations come from the CMU
pronouncing dictionary that ships with `pocketsphinx`, how usual a word is from the language model
beside it.
"""

from __future__ import annotations

import random
import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from typing import Any

import pocketsphinx
from rapidfuzz.distance import Levenshtein
from rapidfuzz.process import extract

VOWELS = ["IY IH EY", "EH AE", "AA AO AH", "OW UH UW", "AY AW OY", "ER AH"]
CONSONANTS = [
    "P B",
    "T D TH DH",
    "K G",
    "F V TH",
    "S Z SH ZH TH",
    "CH JH SH ZH",
    "M N NG",
    "L R W",
    "Y W",
    "HH",
]
"""Phones that recognisers take for each other: same manner of speaking, or only voice apart
(phonetics textbooks; common practice, no source)."""

LETTERS = {
    "a": "EY",
    "b": "B IY",
    "c": "S IY",
    "d": "D IY",
    "e": "IY",
    "f": "EH F",
    "g": "JH IY",
    "h": "EY CH",
}
DIGITS = dict(
    zip(
        "0123456789",
        ["zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine"],
        strict=True,
    )
)
FILLERS = ("uh", "um", "and", "the", "so")


@dataclass(frozen=True)
class Vocabulary:
    """What the recogniser can write: word, phones as one letter each, and how usual it is."""

    words: tuple[str, ...]
    sounds: tuple[str, ...]
    usual: tuple[float, ...]
    phones: dict[str, str]
    spoken: dict[str, str]


@cache
def vocabulary() -> Vocabulary:
    """The dictionary's words that its language model knows, with the first pronunciation of each."""
    path = Path(str(pocketsphinx.get_model_path("en-us")))
    model = pocketsphinx.NGramModel(
        pocketsphinx.Config(hmm=None, lm=None, dict=None),
        pocketsphinx.LogMath(),
        str(path / "en-us.lm.bin"),
    )
    letters: dict[str, str] = {}
    spoken: dict[str, str] = {}
    words, sounds, usual = [], [], []
    for line in (path / "cmudict-en-us.dict").read_text("utf-8").splitlines():
        word, *phones = line.split()
        text = "".join(letters.setdefault(phone, chr(65 + len(letters))) for phone in phones)
        if "(" in word:
            continue
        spoken[word] = text
        known = float(model.prob([word]))
        if known > -170_000 and re.fullmatch(r"[a-z]+(?:'[a-z]+)?", word):
            words.append(word)
            sounds.append(text)
            usual.append(known)
    return Vocabulary(tuple(words), tuple(sounds), tuple(usual), letters, spoken)


@cache
def near() -> frozenset[tuple[str, str]]:
    """Pairs of phones that are easily taken for each other."""
    letters = vocabulary().phones
    groups = [[letters[p] for p in group.split() if p in letters] for group in VOWELS + CONSONANTS]
    return frozenset((a, b) for group in groups for a in group for b in group if a != b)


def sounds_of(text: str) -> str | None:
    """The phones of a word or square, or None when nobody knows how it is said."""
    known = vocabulary()
    out = ""
    for part in re.findall(r"[a-h][1-8]|\d|[a-z']+", text.lower()):
        if re.fullmatch(r"[a-h][1-8]", part):
            out += (
                "".join(known.phones[p] for p in LETTERS[part[0]].split())
                + known.spoken[DIGITS[part[1]]]
            )
        elif part.isdigit():
            out += known.spoken[DIGITS[part]]
        elif part in LETTERS and part != "a":
            out += "".join(known.phones[p] for p in LETTERS[part].split())
        elif part in known.spoken:
            out += known.spoken[part]
        else:
            return None
    return out or None


def distance(a: str, b: str) -> float:
    """How far apart two strings of phones are; a near phone counts less than a lost one."""
    pairs, total = near(), 0.0
    for step in Levenshtein.editops(a, b):
        if step.tag == "replace":
            total += 0.4 if (a[step.src_pos], b[step.dest_pos]) in pairs else 1.1
        else:
            total += 0.8
    return total


@cache
def alike(sounds: str) -> tuple[tuple[str, float], ...]:
    """Words a recogniser may write for these phones, likeliest first, with their price."""
    known = vocabulary()
    found = extract(
        sounds,
        known.sounds,
        scorer=Levenshtein.distance,
        limit=60,
        score_cutoff=max(2, len(sounds) // 2),
    )
    priced = []
    for text, _, index in found:
        price = distance(sounds, text) - known.usual[index] / 40_000
        priced.append((known.words[index], price))
    return tuple(sorted(priced, key=lambda item: (item[1], item[0])))


@cache
def alike_in_two(sounds: str) -> tuple[tuple[str, float], ...]:
    """Two words for these phones, likeliest first: “be three” for b3."""
    pairs = []
    for cut in range(1, len(sounds)):
        left, right = close(sounds[:cut]), close(sounds[cut:])
        pairs += [(f"{a} {b}", p + q) for a, p in left for b, q in right]
    return tuple(sorted(pairs, key=lambda item: (item[1], item[0]))[:12])


def close(sounds: str) -> list[tuple[str, float]]:
    """The likeliest words that differ from these phones in one at most."""
    known = vocabulary()
    return [(w, p) for w, p in alike(sounds)[:8] if distance(sounds, known.spoken[w]) <= 0.8][:4]


def pick(options: Sequence[tuple[str, float]], was: str, dice: random.Random) -> str | None:
    """One of the likeliest writings other than the right one."""
    others = [word for word, _ in options if word != was.lower()][:4]
    return dice.choices(others, weights=[8, 4, 2, 1][: len(others)])[0] if others else None


def noisy(talk: Any, rate: float, seed: int = 1) -> Any:
    """The marked talk with this share of its words misheard; words and times of the truth stay.

    Each word of the result keeps in `said` what was really said there (empty where a word was
    added), so that a correction can be checked.
    """
    dice = random.Random(f"{talk.name} {rate} {seed}")
    words = list(talk.words)
    budget = round(rate * len(words))
    order = list(range(len(words)))
    dice.shuffle(order)
    changed: dict[int, list[Any]] = {}
    for index in order:
        if budget <= 0:
            break
        if index in changed or index + 1 in changed:
            continue
        cost = mishear(words, index, changed, dice, budget)
        budget -= cost
    out = [new for i, word in enumerate(words) for new in changed.get(i, [word])]
    return replace(talk, words=out)


def mishear(
    words: Sequence[Any],
    index: int,
    changed: dict[int, list[Any]],
    dice: random.Random,
    budget: int,
) -> int:
    """Spoil one place and say how many word errors that makes."""
    word = words[index]
    core = re.sub(r"[^\w'-]", "", word.shown)
    if word.shown != word.said or len(core) == 0:
        return 0
    tail = word.shown[len(word.shown.rstrip(",.;:?!…—")) :]
    kind = dice.random()
    if kind < 0.1 and len(core) <= 3 and not re.search(r"\d", core):
        changed[index] = [replace(word, shown="")]
        return 1
    if kind < 0.16:
        filler = dice.choice(FILLERS)
        changed[index] = [replace(word, shown=filler, said="", end=word.start), word]
        return 1
    sounds = sounds_of(core)
    if sounds is None:
        return 0
    if kind < 0.3 and budget > 1 and index + 1 < len(words):
        merged = merge(words, index, sounds, dice)
        if merged:
            changed[index], changed[index + 1] = merged, []
            return 2
    if kind < 0.55 and len(sounds) > 2 and budget > 1:
        text = pick(alike_in_two(sounds), core, dice)
        if text:
            changed[index] = [replace(word, shown=text + tail)]
            return 2
    text = pick(alike(sounds), core, dice)
    if text is None:
        return 0
    changed[index] = [
        replace(word, shown=(text.capitalize() if core[0].isupper() else text) + tail)
    ]
    return 1


def merge(words: Sequence[Any], index: int, sounds: str, dice: random.Random) -> list[Any] | None:
    """Two words heard as one: “before” for b four."""
    one, two = words[index], words[index + 1]
    if two.shown != two.said or one.shown[-1] in ".?!" or len(sounds) > 5:
        return None
    core = re.sub(r"[^\w'-]", "", two.shown)
    more = sounds_of(core)
    if more is None or len(more) > 5:
        return None
    text = pick(alike(sounds + more), core, dice)
    if text is None:
        return None
    tail = two.shown[len(two.shown.rstrip(",.;:?!…—")) :]
    return [replace(one, shown=text + tail, said=f"{one.said} {two.said}", end=two.end)]


def error_rate(talk: Any) -> float:
    """Word error rate of a talk's captions against what was said (edits a said word)."""
    said = [plain(w) for word in talk.words for w in word.said.split()]
    shown = [plain(w) for word in talk.words for w in word.shown.split()]
    return float(Levenshtein.distance(said, shown)) / max(len(said), 1)


def plain(word: str) -> str:
    """A word without case and punctuation."""
    return re.sub(r"[^\w'-]", "", word).lower()
