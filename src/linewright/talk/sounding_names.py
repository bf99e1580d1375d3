"""Names of openings that a recogniser wrote as other words that sound like them.

"The pon ziani", "a bogey indian": only names of the openings that the talk shows are listened for,
so that a handful of sounds is compared and ordinary words are seldom taken for one.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from itertools import pairwise

from rapidfuzz.distance import Levenshtein

from linewright.names import plain_letters
from linewright.talk.sounds import Phones, distance, spelt
from linewright.talk.vocabulary import COMMON, PIECES, Token, is_square, words

MOST = 3
"""No misheard name is longer (words)."""

NEAR = 0.21
"""So far may the sounds of words be from a name, by phone of the name."""

NEARER = 0.14
"""So far, where the words are one that may stand for itself: "green", "touch"."""

NEAR_BEFORE_KIND = 0.39
"""So far, where the word behind is the one that follows the name: "the slow defence" for Slav.

In the talks that may be looked at this took twelve names for what they are, and no other word.
"""

SHORT = 5
"""Names of fewer phones are heard only where the words around say that one is named."""

SPELT = 5
"""Names of fewer letters are known by no letter that is wrong."""

SPELT_LONG = 9
"""In names of so many letters two may be wrong."""

_NO_NAMES = words(
    "opening defence defense gambit attack system variation variations game line lines setup"
    " countergambit counterattack counter main old new modern exchange classical accelerated advance"
    " closed open normal quiet king's queen's kings queens king queen pawn pawns knight knights bishop"
    " bishops rook four three two black white declined accepted refused deferred reversed delayed with"
    " and the of against symmetrical fianchetto hedgehog central center centre early double poisoned"
    " wing other transfer order formation orthodox knight's knights' bishop's rook's pawn's kingside queenside"
    " standard development forcing capture holding simul"
)
_KINDS = words(
    "defence defense opening gambit attack system variation game declined accepted exchange"
)
_THEMSELVES = frozenset(PIECES) | words("i and of with piece pieces side white black")
_PRONOUNS = words(
    "he she it they we you him her them us me my his our your their this that some one two other"
)
_PLAIN_WORDS = (COMMON | _PRONOUNS | words("isn't it's he's she's")) - words("all long same")
"""Words that hold a sentence together: where one is among those that sound like a name, they are
mostly as said ("he brought the other knight", "pawns stand on light squares")."""
_NO_BEGINNING = words(
    "the a an in it's its is at on to for that this as if or so what's that's he's she's"
)
_NAMING = words("the a called an this our tonight's today's")
_NAMES_ONE = words("the called that's it's is this our tonight's today's")
"""What a name comes after; "a slow defence" is any."""
_NAMES_AT_ONCE = words("the a called an it's")

# how the names are said that spelling rules get wrong
_SAID = {
    "alapin": "AE L AH P IH N",
    "alekhine": "AE L AH K IY N",
    "benko": "B EH NG K OW",
    "benoni": "B EH N OW N IY",
    "budapest": "B UW D AH P EH S T",
    "caro-kann": "K AE R OW K AE N",
    "catalan": "K AE T AH L AE N",
    "chigorin": "CH IH G AO R IH N",
    "colle": "K AA L IY",
    "grunfeld": "G R UW N F EH L D",
    "kan": "K AE N",
    "najdorf": "N AY D AO R F",
    "nimzo-indian": "N IH M Z OW IH N D IY AH N",
    "bogo-indian": "B OW G OW IH N D IY AH N",
    "nimzowitsch": "N IH M Z OW V IH CH",
    "petroff": "P EH T R AO F",
    "petrov": "P EH T R AO F",
    "philidor": "F IH L AH D AO R",
    "pirc": "P ER K",
    "ponziani": "P AA N Z IY AA N IY",
    "prix": "P R IY",
    "reti": "R EH T IY",
    "rossolimo": "R AA S AH L IY M OW",
    "scandinavian": "S K AE N D AH N EY V IY AH N",
    "scheveningen": "SH EH V AH N IH NG AH N",
    "sicilian": "S AH S IH L IY AH N",
    "smith-morra": "S M IH TH M AO R AH",
    "sveshnikov": "S V EH SH N IH K AO F",
    "taimanov": "T AY M AH N AO F",
    "tarrasch": "T AA R AE SH",
    "trompowsky": "T R AA M P AO F S K IY",
    "winawer": "V IH N AH V ER",
    "zukertort": "Z UW K ER T AO R T",
}


def name_words(names: Iterable[str]) -> dict[str, Phones]:
    """The words of opening names that may be misheard, each with its sound.

    >>> name_words(["Philidor Defence, Hanham Variation"])
    {'Philidor': ('F', 'IH', 'L', 'AH', 'D', 'AO', 'R'), 'Hanham': ('HH', 'AE', 'N', 'HH', 'AE', 'M')}
    """
    found: dict[str, Phones] = {}
    for name in names:
        for word in re.findall(r"[^\W\d_][\w'’-]+", name):
            plain = plain_letters(word)
            if plain not in _NO_NAMES and word[0].isupper() and len(plain) > 2:
                sound = _SAID.get(plain)
                found[word] = tuple(sound.split()) if sound else spelt(plain.replace("-", ""))
    return found


def kinds_behind(names: Iterable[str]) -> dict[str, frozenset[str]]:
    """The words of opening names with those words for a kind that follow them at once.

    >>> sorted(kinds_behind(["Slav Defence, Exchange Variation"])["Slav"])
    ['defence', 'defense']
    """
    found: dict[str, set[str]] = {}
    for name in names:
        parts = re.findall(r"[^\W\d_][\w'’-]+|,", name)
        for word, kind in pairwise(parts):
            if kind.lower() in _KINDS:
                spelt_so = kind.lower().replace("defence", "defense")
                found.setdefault(word, set()).update((kind.lower(), spelt_so))
    return {word: frozenset(kinds) for word, kinds in found.items()}


def sounding_names(
    tokens: Sequence[Token],
    sound: Callable[[str], Phones],
    wanted: Mapping[str, Phones],
    known: Callable[[int], bool],
) -> Iterator[tuple[int, int, str]]:
    """Stretches of tokens that sound like one of the wanted names, with that name.

    `sound` gives the phones of a word, `known` says of a token whether it stands for itself (a word
    of a name that is found, or of a move).

    **Cost**: the tokens, times the wanted names that begin and end with such a sound.
    """
    written = {_stem(name) for name in wanted} | _SAID.keys()
    itself = [
        _stem(token.text) in written
        or _stem(token.text) in _THEMSELVES
        or is_square(token.text)
        or known(k)
        for k, token in enumerate(tokens)
    ]
    place = 0
    while place < len(tokens):
        found = []
        for end in range(place + 1, min(place + MOST, len(tokens)) + 1):
            if itself[end - 1] or (end - 1 > place and tokens[end - 1].gap >= 0.3):
                break
            if tokens[place].text in _NO_BEGINNING:
                break
            if not _may_be_misheard(tokens, place, end):
                continue
            heard = tuple(phone for k in range(place, end) for phone in sound(tokens[k].text))
            alone = end == place + 1
            for name, phones in wanted.items():
                named = _named(
                    tokens, place, end, sure=plain_letters(name) in _SAID or len(phones) > SHORT
                )
                near = _how_near(heard, phones, alone, named)
                if near is not None:
                    found.append((near, end, name))
        if found:
            _, end, name = min(found)
            yield place, end, name
            place = end
        else:
            place += 1


def names_before_kinds(
    tokens: Sequence[Token],
    sound: Callable[[str], Phones],
    wanted: Mapping[str, Phones],
    kinds: Mapping[str, frozenset[str]],
    known: Callable[[int], bool],
) -> Iterator[tuple[int, int, str]]:
    """Words of plain English that stand for a wanted name before the word that follows it.

    "The slow defence" where the talk shows the Slav Defence. `sound` and `known` as above, `kinds`
    says which words follow a name.

    **Cost**: the words before "defence" and the like, times the wanted names.
    """
    written = {_stem(name) for name in wanted} | _SAID.keys()
    for kind in range(2, len(tokens)):
        found = []
        for first in range(kind - 1, max(0, kind - 1 - MOST), -1):
            if (
                known(first)
                or _stem(tokens[first].text) in written
                or (first < kind - 1 and tokens[first + 1].gap >= 0.3)
            ):
                break
            if not _named_kind(tokens, first, kind):
                continue
            heard = tuple(phone for k in range(first, kind) for phone in sound(tokens[k].text))
            for name, phones in wanted.items():
                near = _near_before_kind(heard, phones)
                if near is not None and tokens[kind].text in kinds.get(name, ()):
                    found.append((near, first, name))
        if found:
            _, first, name = min(found)
            yield first, kind, name


def misspelt_names(
    tokens: Sequence[Token],
    english: Callable[[int], bool],
    wanted: Iterable[str],
    known: Callable[[int], bool],
) -> Iterator[tuple[int, int, str]]:
    """Words that are no English and a wanted name but for a letter or two: "the Vianna".

    `english` says whether a token is an English word, `known` as above.

    **Cost**: the words that are no English, times the wanted names.
    """
    plain = {name: plain_letters(name) for name in wanted}
    written = {_stem(name) for name in plain} | _SAID.keys()
    for k, token in enumerate(tokens):
        if len(token.text) < SPELT or english(k) or known(k) or _stem(token.text) in written:
            continue
        for name, letters in plain.items():
            most = 1 if len(letters) < SPELT_LONG else 2
            near = len(letters) >= SPELT and letters[0] == token.text[0]
            if near and Levenshtein.distance(token.text, letters, score_cutoff=most) <= most:
                yield k, k + 1, name
                break


def kinds_after_names(
    tokens: Sequence[Token],
    sound: Callable[[str], Phones],
    kinds: Mapping[str, frozenset[str]],
) -> Iterator[tuple[int, int, str]]:
    """Words that stand for the word that follows a name: "the Austrian a tack".

    `sound` and `kinds` as above.

    **Cost**: linear in the tokens.
    """
    behind = {plain_letters(name): sorted(those) for name, those in kinds.items()}
    for k, token in enumerate(tokens[:-1]):
        for kind in behind.get(plain_letters(token.text), ()):
            wanted = sound(kind)
            for end in range(k + 2, min(k + 1 + MOST, len(tokens)) + 1):
                said = [one.text for one in tokens[k + 1 : end]]
                if tokens[end - 1].gap >= 0.3 or said[0] in _KINDS:
                    break
                heard = tuple(phone for text in said for phone in sound(text))
                near = NEARER if len(said) == 1 else NEAR
                if distance(heard, wanted) <= near * len(wanted):
                    yield k + 1, end, kind.capitalize() if token.raw[:1].isupper() else kind
                    break


def _how_near(heard: Phones, phones: Phones, alone: bool, named: bool) -> float | None:
    """How far words are from a name by phone; None where that is too far.

    `alone` says whether it is one word, `named` whether something is named there.
    """
    strict = alone or len(phones) < SHORT
    if not heard or (strict and not named) or abs(len(heard) - len(phones)) > 3:
        return None
    if not (_alike(heard[0], phones[0]) and _alike(heard[-1], phones[-1])):
        return None
    far = distance(heard, phones) / len(phones)
    return far if far <= (NEARER if strict else NEAR) else None


def _named_kind(tokens: Sequence[Token], first: int, end: int) -> bool:
    """Whether words can only be the name before a word for a kind: "the slow defence"."""
    if tokens[first - 1].text not in _NAMES_ONE or not _kind_after(tokens, end):
        return False
    own = {token.text for token in tokens[first:end]}
    return tokens[end].gap < 0.3 and own.isdisjoint(_NO_NAMES | _PLAIN_WORDS | _THEMSELVES)


def _near_before_kind(heard: Phones, phones: Phones) -> float | None:
    if not heard or not _alike(heard[0], phones[0]) or abs(len(heard) - len(phones)) > 3:
        return None
    far = distance(heard, phones) / len(phones)
    return far if far <= NEAR_BEFORE_KIND else None


def _alike(a: str, b: str) -> bool:
    return a == b or distance((a,), (b,)) <= 0.7


def is_spelling_of(said: str, name: str) -> bool:
    """Whether words are a name but for capitals, accents, hyphens and a "'s" behind it.

    >>> is_spelling_of("caro kann", "Caro-Kann"), is_spelling_of("cargo can", "Caro-Kann")
    (True, False)
    >>> is_spelling_of("Réti's", "Réti"), is_spelling_of("evan's", "Evans")
    (True, False)
    """
    own = re.sub(r"['’]s$", "", said)
    one, other = (re.sub(r"[\s-]", "", plain_letters(text)) for text in (own, name))
    return one == other


def _may_be_misheard(tokens: Sequence[Token], first: int, end: int) -> bool:
    """Whether words may stand for a name although one among them holds a sentence together.

    They may behind "the" or "called" ("the she goring") and before "gambit" ("a bay a net attack"),
    but no words that end with who does something: "the more he waits".
    """
    texts = [token.text for token in tokens[first:end]]
    if _PLAIN_WORDS.isdisjoint(texts):
        return True
    if end > first + 1 and _kind_after(tokens, end):
        return True
    before = tokens[first - 1].text if first else ""
    return before in _NAMES_AT_ONCE and texts[-1] not in _PRONOUNS


def _kind_after(tokens: Sequence[Token], end: int) -> bool:
    return end < len(tokens) and tokens[end].text in _KINDS


def _stem(word: str) -> str:
    return plain_letters(word).removesuffix("s").removesuffix("'")


def _named(tokens: Sequence[Token], first: int, end: int, sure: bool) -> bool:
    """Whether the words around say that something is named; more is asked where it is not `sure`."""
    before = tokens[first - 1].text if first else ""
    return _kind_after(tokens, end) or (sure and (before in _NAMING or first == 0))
