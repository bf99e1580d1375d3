"""How the words of a chess talk are said, for the alignment library.

Its dictionary (CMU, American English) knows 126,000 words. Squares, moves in notation, numbers
and joined words are put together from words it knows; what is left is said by spelling rules.
"""

from __future__ import annotations

import re
from collections.abc import Callable

from linewright.moves import PIECE_NAMES
from linewright.notation import WrittenMove, read_move
from linewright.number_words import UNITS, number_words
from linewright.talk.sounds import spelt

Lookup = Callable[[str], str | None]
"""From a word in small letters to its phones, or None when the dictionary lacks it."""

_LETTERS = {"a": "EY", "b": "B IY", "c": "S IY", "d": "D IY", "e": "IY", "f": "EH F",
            "g": "JH IY", "h": "EY CH"}  # fmt: skip


def move_words(move: WrittenMove) -> str:
    """A written move as it is said.

    >>> from linewright.notation import read_move
    >>> move_words(read_move("Nbxd7+")), move_words(read_move("O-O-O"))
    ('knight b takes d 7 check', 'castles queenside')
    """
    if move.castling:
        return "castles " + ("kingside" if move.castling == "K" else "queenside")
    parts = [] if move.piece == "P" else [PIECE_NAMES[move.piece]]
    parts += [move.from_file, move.from_rank]
    parts += ["takes"] if move.claims_capture else []
    parts += [move.to[0], move.to[1]]
    parts += ["promotes to", PIECE_NAMES[move.promotion]] if move.promotion else []
    parts += ["mate"] if move.claims_mate else ["check"] if move.claims_check else []
    return " ".join(part for part in parts if part)


def pronounce(word: str, lookup: Lookup) -> str:
    """The phones of a word (or of several, said as one), never empty for a word with letters.

    **Source**: CMU pronouncing dictionary for what it knows; rules for the rest (common practice,
    no source).

    >>> pronounce("f3", {"three": "TH R IY"}.get)
    'EH F TH R IY'
    >>> pronounce("bishopless", {"bishop": "B IH SH AH P", "less": "L EH S"}.get)
    'B IH SH AH P L EH S'
    """
    plain = word.replace("’", "'").strip()
    known = lookup(plain.lower())
    if known:
        return known
    phones = [phone for part in _parts(plain) if (phone := _one(part, lookup))]
    return " ".join(phones)


def _parts(word: str) -> list[str]:
    """The pieces a written word is said in."""
    move = read_move(word)
    if move and (move.piece != "P" or move.claims_capture or len(word) > 2):
        return move_words(move).split()
    parts: list[str] = []
    for piece in re.findall(r"[a-h][1-8](?![\w])|\d+|[^\W\d_]+(?:'[^\W\d_]+)?", word):
        if re.fullmatch(r"[a-h][1-8]", piece):
            parts += [piece[0], UNITS[int(piece[1])]]
        elif piece.isdecimal() and piece.isascii():
            parts += number_words(int(piece)).split()
        else:
            parts.append(piece.lower())
    return parts


def _one(part: str, lookup: Lookup) -> str:
    if part in _LETTERS:
        return _LETTERS[part]
    if part.isdigit():
        return lookup(UNITS[int(part) % 20]) or " ".join(spelt(part))
    known = lookup(part) or _joined(part, lookup) or _with_ending(part, lookup)
    return known or " ".join(spelt(_plain_letters(part)))


def _plain_letters(text: str) -> str:
    import unicodedata

    split = unicodedata.normalize("NFD", text.replace("ø", "o").replace("ß", "ss"))
    return re.sub(r"[^a-z]", "", split.lower()) or "uh"


def _joined(part: str, lookup: Lookup) -> str:
    """Two known words run together, split where the shorter one is longest: “queen-side”."""
    cuts = sorted(range(3, len(part) - 2), key=lambda cut: (-min(cut, len(part) - cut), -cut))
    for cut in cuts:
        left, right = lookup(part[:cut]), lookup(part[cut:])
        if left and right:
            return f"{left} {right}"
    return ""


_ENDINGS = {"'s": "Z", "s": "Z", "'ll": "AH L", "'d": "D", "ed": "D", "ing": "IH NG", "er": "ER",
            "ly": "L IY", "n't": "AH N T", "less": "L AH S", "ish": "IH SH"}  # fmt: skip


def _with_ending(part: str, lookup: Lookup) -> str:
    """A known word with an ending: “fianchettoes”, “unpinning”."""
    for ending, sound in _ENDINGS.items():
        if part.endswith(ending) and len(part) > len(ending) + 2:
            stem = part[: -len(ending)]
            short = stem[:-1] if stem[-1] == stem[-2] else stem
            known = lookup(stem) or lookup(stem + "e") or lookup(short)
            if known:
                return f"{known} {sound}"
    return ""
