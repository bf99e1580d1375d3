"""Capital letters for the words of a recogniser that writes none, as a reader expects them.

Which words begin a sentence only the script knows; here are those with a capital anywhere: "I",
the sides, names of openings, of the players, the speaker, the club and pupils who are addressed,
days. A talk that has capitals keeps its own.
"""

from __future__ import annotations

import re
from bisect import bisect_left, bisect_right
from collections.abc import Iterator

from linewright.names import find_names
from linewright.talk.addressed import names_addressed
from linewright.talk.record import Heard
from linewright.talk.vocabulary import ARTICLES, DIGITS, FILES, PIECES, is_square

CAPITALS_SHARE = 0.01
"""A talk of whose words fewer than this have a capital was written without."""

_I = re.compile(r"i(?:['’](?:m|ve|ll|d|s))?")
_SIDE = re.compile(r"(?:white|black)(?:['’]s)?")
_MEN = frozenset(
    "side square squares piece pieces man men army camp set colour color colours colors half"
    " squared box one ones stuff centre center light dark queenside kingside".split()
) | {form for piece in PIECES for form in (piece, f"{piece}s")}  # fmt: skip
"""Words behind which no side is meant: "the white queen", "black squares"."""
_ARTICLES = ARTICLES | frozenset("every each one no".split())
_COUNTS = frozenset("all some many most these those such few several other best good of".split())
_WAYS = frozenset("up down forward forwards back backwards away out over towards".split())
_VERBS = frozenset("is has had was to can plays played takes will would should must may".split())
_DAYS = frozenset(
    "monday tuesday wednesday thursday friday saturday sunday january february april june july"
    " september october november december".split()
)
_NATIONS = frozenset(
    "italian spanish french english sicilian dutch russian german viennese hungarian scandinavian"
    " norwegian danish portuguese latvian indian american polish".split()
)
_SMALL = frozenset("of the and in on at with for a an by or de la".split())


def capitals(heard: Heard) -> dict[int, str]:
    """The words that have a capital anywhere, by number, as they are written then.

    Empty for a talk that has capitals of its own.
    """
    words = [word.text for word in heard.transcript.words]
    if not is_small(words):
        return {}
    found = {k: _capital(words[k]) for k in (*_of_names(heard), *_of_club(heard, words))}
    pupils = names_addressed([word.lower() for word in words])
    named = (*heard.players.values(), heard.teacher)
    players = {part.lower() for name in named for part in name.split()}
    for k, word in enumerate(words):
        side = _SIDE.fullmatch(word) and _is_side(words, k)
        if (
            side
            or _I.fullmatch(word)
            or word in _DAYS | _NATIONS
            or _owner(word) in players | pupils
        ):
            found[k] = _capital(word)
    return found


def is_small(words: list[str]) -> bool:
    """Whether a talk is written without capitals."""
    own = sum(1 for word in words if re.match(r"[A-Z][a-z]", word))
    return bool(words) and own < CAPITALS_SHARE * len(words)


def begun(text: str) -> str:
    """A text of a script with a capital where it begins with a word; a square is none.

    >>> begun("so here we are"), begun("e4 is weak"), begun("[this one](#e4)"), begun("1.e4 it is")
    ('So here we are', 'e4 is weak', '[This one](#e4)', '1.e4 it is')
    """
    found = re.match(r"[\[(*_\"“‘']*(?=[^\W\d_])(?![a-h](?:[1-8x]|-pawn))", text)
    return text[: found.end()] + _capital(text[found.end() :]) if found else text


def titled(name: str) -> str:
    """A name with a capital for each word that has one in a title.

    >>> titled("queen's gambit declined"), titled("Attack of the bishop")
    ("Queen's Gambit Declined", 'Attack of the Bishop')
    """
    words = name.split()
    return " ".join(_capital(w) if k == 0 or w not in _SMALL else w for k, w in enumerate(words))


def _owner(word: str) -> str:
    return re.sub(r"['’]s$", "", word)


def _capital(word: str) -> str:
    """A word with a capital, "I'm"."""
    return word[:1].upper() + word[1:]


def _is_side(words: list[str], k: int) -> bool:
    """Whether "white" or "black" is the side: not in "the white queen", "black and white"."""
    after = words[k + 1] if k + 1 < len(words) else ""
    before = words[k - 1] if k else ""
    if words[k].endswith("s"):  # "White's"
        return True
    if words[max(0, k - 3) : k] == ["in", "black", "and"]:
        return False
    pair = words[k + 2] if after in ("and", "or") and k + 2 < len(words) else ""
    if pair in ("white", "black"):  # "white and black squares"
        return _is_side(words, k + 2)
    if before in _ARTICLES and after not in _VERBS:
        return False
    if after == "moves":
        return before not in _COUNTS and _says_what_moves(words[k + 2 : k + 5])
    named = after in FILES and k + 2 < len(words) and words[k + 2].startswith("pawn")
    return after not in _MEN and not after.endswith("-squared") and not named


def _says_what_moves(after: list[str]) -> bool:
    """Whether words behind "white moves" say what, or where it goes: "the bishop", "to e5".

    >>> _says_what_moves(["the", "bishop"]), _says_what_moves(["later", "on"])
    (True, False)
    """
    if after[:1] == ["to"]:
        after = after[1:]
        return bool(after) and (_is_square(after) or after[0] in ARTICLES)
    what = (ARTICLES - {"that"}) | PIECES.keys() | _WAYS | {"it"}
    return bool(after) and (_is_square(after) or after[0] in what)


def _is_square(words: list[str]) -> bool:
    """Whether words begin with a square, "e5" or "e five"."""
    return is_square(words[0]) or (words[0] in FILES and words[1:2] != [] and words[1] in DIGITS)


def _of_club(heard: Heard, words: list[str]) -> Iterator[int]:
    """The words of the club's name, wherever it is said."""
    name = heard.club.lower().split()
    for k in range(len(words) - len(name) + 1 if name else 0):
        if words[k : k + len(name)] == name:
            yield from range(k, k + len(name))


def _of_names(heard: Heard) -> Iterator[int]:
    """The words of the names of openings, small words inside them left out."""
    words, starts = heard.transcript.words, heard.transcript.starts
    for name in find_names(heard.transcript.text):
        first = bisect_right(starts, name.span.start) - 1
        last = bisect_left(starts, name.span.end)
        if name.certain:
            yield from (k for k in range(first, last) if words[k].text not in _SMALL)
