"""How words sound, and how near two sounds are.

A sound is a tuple of phones of the CMU pronouncing dictionary (ARPAbet, without stress), which
ships with the alignment library. Words it lacks get a pronunciation by rough spelling rules.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import lru_cache
from pathlib import Path

Phones = tuple[str, ...]

VOWELS = frozenset("AA AE AH AO AW AY EH ER EY IH IY OW OY UH UW".split())
_NEAR: dict[frozenset[str], float] = {
    frozenset(pair.split()): cost
    for cost, pairs in {
        0.25: "IH IY|AA AO|UH UW|AH UH|AH IH|EH IH|AE EH|AO OW|AA AH|EH AH|S Z|T D|F V|TH F|K G",
        0.4: "P B|TH DH|SH CH|CH JH|DH D|TH T|M N|N NG|EY EH|EY IY|AY AA|AW AO|ER AH|ER AO|TH S",
        0.5: "B V|SH S|ZH JH|JH Z|L R|W R|W V|AY EY|D N|B D|P T|K T|DH V|EY AY|S F|Y IY|B P|B M",
    }.items()
    for pair in pairs.split("|")
}
_WEAK = {"HH": 0.4, "AH": 0.4, "T": 0.55, "D": 0.55, "Y": 0.4, "IH": 0.5, "S": 0.6, "Z": 0.55,
         "R": 0.6, "L": 0.7, "N": 0.7, "W": 0.6, "V": 0.65, "NG": 0.7}  # fmt: skip


def _swap(a: str, b: str) -> float:
    if a == b:
        return 0.0
    near = _NEAR.get(frozenset((a, b)))
    if near is not None:
        return near
    if a in VOWELS and b in VOWELS:
        return 0.7
    return 1.3 if (a in VOWELS) != (b in VOWELS) else 1.0


def _drop(a: str) -> float:
    return _WEAK.get(a, 0.85)


@lru_cache(maxsize=200_000)
def distance(a: Phones, b: Phones) -> float:
    """How far two sounds are apart: 0 for the same, about 1 for one clearly different phone.

    **Cost**: the product of the lengths; remembered.

    >>> distance(("N", "AY", "T"), ("N", "AY", "T"))
    0.0
    >>> distance(("P", "AO", "N"), ("P", "AA", "N", "D")) < 1
    True
    """
    row = [0.0]
    for phone in b:
        row.append(row[-1] + _drop(phone))
    for phone in a:
        above = row
        row = [above[0] + _drop(phone)]
        for j, other in enumerate(b):
            best = above[j] + _swap(phone, other)
            best = min(best, above[j + 1] + _drop(phone), row[j] + _drop(other))
            row.append(best)
    return row[-1]


def prefix_costs(window: Phones, target: Phones) -> list[float]:
    """For each length of a beginning of the window, its distance to the target."""
    column = [0.0]
    for phone in window:
        column.append(column[-1] + _drop(phone))
    for other in target:
        left = column
        column = [left[0] + _drop(other)]
        for i, phone in enumerate(window):
            best = left[i] + _swap(phone, other)
            best = min(best, left[i + 1] + _drop(other), column[i] + _drop(phone))
            column.append(best)
    return column


def _dictionary_path() -> Path | None:
    try:
        import pocketsphinx
    except ImportError:  # pragma: no cover - the wheel is a dependency
        return None
    path = Path(pocketsphinx.get_model_path()) / "en-us" / "cmudict-en-us.dict"
    return path if path.exists() else None


def pronunciations(words: Iterable[str]) -> dict[str, Phones]:
    """The first pronunciation of each word; of words not in the dictionary a guess by spelling.

    **Source**: CMU pronouncing dictionary as shipped with pocketsphinx. **Cost**: one pass over
    the dictionary file (about 30 ms).
    """
    wanted = set(words)
    found: dict[str, Phones] = {}
    path = _dictionary_path()
    if path is not None:
        with path.open(encoding="utf-8") as lines:
            for line in lines:
                word, _, phones = line.partition(" ")
                if word in wanted:
                    found[word] = tuple(phones.split())
    for word in wanted - found.keys():
        found[word] = spelt(word)
    return found


def known_words(words: Iterable[str]) -> frozenset[str]:
    """Those of the words that stand in the pronouncing dictionary."""
    wanted = set(words)
    path = _dictionary_path()
    if path is None:
        return frozenset(wanted)
    with path.open(encoding="utf-8") as lines:
        return frozenset(w for line in lines if (w := line.partition(" ")[0]) in wanted)


_RULES: tuple[tuple[str, str], ...] = (
    ("tsch", "CH"), ("sch", "SH"), ("tch", "CH"), ("igh", "AY"), ("eau", "OW"), ("ough", "AO"),
    ("ee", "IY"), ("ea", "IY"), ("oo", "UW"), ("ou", "AW"), ("ow", "OW"), ("ai", "EY"),
    ("ay", "EY"), ("ei", "AY"), ("ie", "IY"), ("oa", "OW"), ("au", "AO"), ("aw", "AO"),
    ("oy", "OY"), ("oi", "OY"), ("ck", "K"), ("ch", "CH"), ("sh", "SH"), ("th", "TH"),
    ("ph", "F"), ("qu", "K W"), ("ng", "NG"), ("ar", "AA R"), ("er", "ER"), ("ir", "ER"),
    ("ur", "ER"), ("or", "AO R"), ("kn", "N"), ("wr", "R"), ("gh", "G"), ("dg", "JH"),
    ("ll", "L"), ("ss", "S"), ("tt", "T"), ("nn", "N"), ("mm", "M"), ("pp", "P"), ("ff", "F"),
    ("rr", "R"), ("bb", "B"), ("dd", "D"), ("zz", "T S"), ("ce", "S"), ("ci", "S IH"),
    ("a", "AE"), ("b", "B"), ("c", "K"), ("d", "D"), ("e", "EH"), ("f", "F"), ("g", "G"),
    ("h", "HH"), ("i", "IH"), ("j", "JH"), ("k", "K"), ("l", "L"), ("m", "M"), ("n", "N"),
    ("o", "AA"), ("p", "P"), ("q", "K"), ("r", "R"), ("s", "S"), ("t", "T"), ("u", "AH"),
    ("v", "V"), ("w", "W"), ("x", "K S"), ("y", "IY"), ("z", "Z"),
)  # fmt: skip
_LETTERS = {
    "a": "EY", "b": "B IY", "c": "S IY", "d": "D IY", "e": "IY", "f": "EH F", "g": "JH IY",
    "h": "EY CH",
}  # fmt: skip
_DIGITS = {
    "1": "W AH N", "2": "T UW", "3": "TH R IY", "4": "F AO R", "5": "F AY V", "6": "S IH K S",
    "7": "S EH V AH N", "8": "EY T", "9": "N AY N", "0": "Z IH R OW",
}  # fmt: skip
LETTER_PHONES: dict[str, Phones] = {k: tuple(v.split()) for k, v in _LETTERS.items()}
DIGIT_PHONES: dict[str, Phones] = {
    k: tuple(v.split()) for k, v in _DIGITS.items() if k in "12345678"
}


def spelt(word: str) -> Phones:
    """A rough pronunciation by spelling; single letters and digits are said by their names.

    >>> spelt("f3"), spelt("najdorf")
    (('EH', 'F', 'TH', 'R', 'IY'), ('N', 'AE', 'JH', 'D', 'AO', 'R', 'F'))
    """
    plain = word.lower()
    if re.fullmatch(r"[a-h][0-9]|[a-h]|[0-9]+", plain):
        names = [(_LETTERS | _DIGITS)[char] for char in plain]
        return tuple(" ".join(names).split())
    out: list[str] = []
    at = 0
    while at < len(plain):
        if plain.startswith("e", at) and at == len(plain) - 1 and len(plain) > 2:
            break
        for letters, phones in _RULES:
            if plain.startswith(letters, at):
                out.extend(phones.split())
                at += len(letters)
                break
        else:
            out.extend(_DIGITS.get(plain[at], "").split())
            at += 1
    return tuple(out)


def square_phones(square: str) -> Phones:
    """How a square is said: "e4" as the letter's name and the number."""
    return LETTER_PHONES[square[0]] + DIGIT_PHONES[square[1]]


def square_costs(window: Phones) -> dict[str, float]:
    """The distance of a stretch of sound to every square within 1.6 of it.

    The best split into a letter and a digit is taken. **Cost**: 16 small tables.
    """
    if not 2 <= len(window) <= 9:
        return {}
    letters = {f: prefix_costs(window, phones) for f, phones in LETTER_PHONES.items()}
    back = window[::-1]
    digits = {r: prefix_costs(back, phones[::-1])[::-1] for r, phones in DIGIT_PHONES.items()}
    found: dict[str, float] = {}
    for file, left in letters.items():
        if min(left) > 1.6:
            continue
        for rank, right in digits.items():
            cost = min(a + b for a, b in zip(left, right, strict=True))
            if cost <= 1.6:
                found[file + rank] = cost
    return found
