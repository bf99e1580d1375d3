"""The players of a game that a talk goes through, and which side each has.

"Osgood with White against young Penrice ... Penrice takes on e4": a player's name says who moves
as plainly as "Black" does. Which side a player has is said once, mostly at the beginning; from then
on the name is read as the side.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from linewright.names import stands_in_names
from linewright.talk.vocabulary import (
    AFTER_A_SIDE,
    ARTICLES,
    CASTLES,
    CLEAR_ERRORS,
    COLOURS,
    COMMON,
    PIECES,
    TAKES,
    Token,
    is_square,
    words,
)

LONGEST = 2
"""A player's name has this many words at most, without a title."""

WITHIN = 6
"""So many words may stand between "White" and the name of who had it."""

_TITLES = words(
    "mr mister mrs missus miss ms dr doctor sir frau herr madame father sister major captain colonel old young"
    " little big uncle auntie aunt grandpa grandma coach"
)
_AS_WRITTEN = {"missus": "Mrs", "mister": "Mr"}
_NOT_WRITTEN = words("our my old young little big")
"""What stands before a name and is no title."""
_HAVING = words("with has had having playing played plays takes took handling as gets got")
_PIECES_OF = words("pieces side men")
_IS = words("is was were")
_AGAINST = words("against versus vs facing opposing beat")
_NO_NAME = words(
    "game games player players opponent opponents better worse fine here there today tonight winning"
    " lost losing happy nobody somebody everybody everyone someone anyone both who attack defence"
    " defense gambit opening variation system he's she's pupils pupil teacher teachers children people"
    " club friend friends student students junior juniors today's tonight's same other again plan"
    " idea check mate trade swap exchange please never always ours yours mine"
)
_DOES = words("isn't wasn't was found finds chose knew knows did never put had thought bangs")
_UNREAL = words("if when whenever once usually always often sometimes where")
"""Before "I had Black" these tell of other games."""
_SIDES = {"w": "white", "b": "black"}


@dataclass(frozen=True, slots=True)
class _Name:
    """A name from token `first` up to `end`; its words, without a title.

    It is doubtful where a word that is no name could stand as well: "White is Thorne", "better"; and
    sure where none could: "I had Black against Mrs Dunmore".
    """

    first: int
    end: int
    words: tuple[str, ...]
    doubtful: bool = False
    sure: bool = False


_Sides = list[tuple[str, _Name]]
_Reader = Callable[[int], _Name | None]


def players(tokens: Sequence[Token]) -> dict[str, str]:
    """The side ("w" or "b") of each player, by each word of the name.

    A name counts only if the talk uses it later as one uses a side ("Penrice takes", "Hetty's
    knight"), or tells whom the speaker faced by a title ("I had Black against Mrs Dunmore"), and if it is never given both sides. That the player named first has White
    ("Osgood against Penrice") is common practice, no source.

    >>> from linewright.talk.vocabulary import tokenise
    >>> said = "Osgood against Penrice . e4 e5 . Osgood plays knight f3 and Penrice answers d6"
    >>> players(tokenise([(word, "", 0.0) for word in said.split()]))
    {'osgood': 'w', 'penrice': 'b'}
    """
    told: dict[str, set[str]] = defaultdict(set)
    for side, name in _believed(tokens):
        for word in name.words:
            told[word].add(side)
    return {word: min(sides) for word, sides in told.items() if len(sides) == 1}


def names_of_players(tokens: Sequence[Token]) -> dict[str, str]:
    """The name of the player of each side ("w" or "b") as said, with capitals and its title.

    A side is left out where two names of it have no word in common: they may be two players.

    >>> from linewright.talk.vocabulary import tokenise
    >>> said = "osmund fennel has white against mrs dunmore and osmund plays e4"
    >>> names_of_players(tokenise([(word, "", 0.0) for word in said.split()]))
    {'w': 'Osmund Fennel', 'b': 'Mrs Dunmore'}
    """
    sides = players(tokens)
    told: dict[str, list[_Name]] = defaultdict(list)
    for side, name in _believed(tokens):
        if all(sides.get(word) == side for word in name.words):
            told[side].append(name)
    fullest = {side: max(names, key=lambda name: len(name.words)) for side, names in told.items()}
    named = {
        side: _as_written(tokens, full)
        for side, full in fullest.items()
        if all(set(name.words) & set(full.words) for name in told[side])
    }
    return {**_speaker(tokens), **named}


def introduced_at(tokens: Sequence[Token]) -> int:
    """The word at which the talk first tells who has which side; 0 where it names no player."""
    return min((tokens[name.first].word for _, name in _believed(tokens)), default=0)


def _speaker(tokens: Sequence[Token]) -> dict[str, str]:
    """The speaker's own name by the side played: "my name is Hester Gorse ... I had Black".

    Nothing where either is told in two ways.
    """
    capitals = any(token.raw[1:2].islower() and token.raw[0].isupper() for token in tokens)
    texts = [token.text for token in tokens]
    sides, names = set(), set()
    for place, text in enumerate(texts):
        if text == "i" and texts[place + 1 : place + 2] in (["had"], ["played"]):
            real = not place or texts[place - 1] not in _UNREAL
            sides.add(_has_side(texts, place + 1) if real else "")
        if texts[place : place + 3] == ["my", "name", "is"]:
            found = _name_at(tokens, place + 3, capitals)
            names.add(_as_written(tokens, found) if found else "")
    sides.discard("")
    names.discard("")
    return {sides.pop(): names.pop()} if len(sides) == len(names) == 1 else {}


def name_at(tokens: Sequence[Token], first: int, capitals: bool) -> str:
    """The name that begins at a token as it is written; empty where none does."""
    found = _name_at(tokens, first, capitals)
    return _as_written(tokens, found) if found else ""


def _as_written(tokens: Sequence[Token], name: _Name) -> str:
    spoken = [token for token in tokens[name.first : name.end] if token.text not in _NOT_WRITTEN]
    told = (token.raw if token.raw.lower() == token.text else token.text for token in spoken)
    parts = (_AS_WRITTEN.get(part.lower(), part) for part in told)
    return " ".join(part[:1].upper() + part[1:] for part in parts)


def _believed(tokens: Sequence[Token]) -> _Sides:
    """Who is said to have which side, if the talk uses the names as one uses a side."""
    capitals = any(token.raw[1:2].islower() and token.raw[0].isupper() for token in tokens)
    acting = _acting(tokens)
    enough = 1 if capitals else 2
    found: _Sides = []
    for pairing in _introduced(tokens, capitals, acting):
        often = max(acting[word] for _, name in pairing for word in name.words)
        needed = enough if len(pairing) == 1 and pairing[0][1].doubtful else 1
        if often >= needed or pairing[0][1].sure:
            found.extend(pairing)
    return found


def with_sides(tokens: Sequence[Token], named: Mapping[str, str]) -> tuple[Token, ...]:
    """The tokens with each player's name read as the side; a title before it says nothing.

    A name that tells who had a side is no side that moves: "Black was Ben e4".

    >>> from linewright.talk.vocabulary import tokenise
    >>> said = tokenise([(word, "", 0.0) for word in "then Mr Penrice's knight takes".split()])
    >>> [token.text for token in with_sides(said, {"penrice": "b"})]
    ['then', "black's", 'knight', 'takes']
    """
    out: list[Token] = []
    told = _telling_who(tokens)
    for place, token in enumerate(tokens):
        bare = token.text.removesuffix("'s")
        if bare not in named or place in told:
            out.append(token)
            continue
        text = _SIDES[named[bare]] + token.text[len(bare) :]
        gap, first = token.gap, place
        while out and gap < 0.3 and _belongs(tokens, first - 1, named):
            gap, first = out.pop().gap, first - 1
        out.append(replace(token, text=text, gap=gap))
    return tuple(out)


def _telling_who(tokens: Sequence[Token]) -> set[int]:
    """The places of names that tell who had a side: "White was Anna"."""
    capitals = any(token.raw[1:2].islower() and token.raw[0].isupper() for token in tokens)
    out: set[int] = set()
    for place, token in enumerate(tokens):
        if token.text in ("white", "black"):
            found = _who_was(tokens, place, lambda first: _name_at(tokens, first, capitals))
            out.update(range(found.first, found.end) if found else ())
    return out


def _belongs(tokens: Sequence[Token], place: int, named: Mapping[str, str]) -> bool:
    """Whether a word is the title or the first name of the player named after it."""
    text, after = tokens[place].text, tokens[place + 1].text.removesuffix("'s")
    return text in _TITLES or (text in named and named[text] == named.get(after, ""))


def _introduced(
    tokens: Sequence[Token], capitals: bool, acting: Mapping[str, int]
) -> Iterator[_Sides]:
    """Who is said to have which side: one player, or two in one breath."""
    texts = [token.text for token in tokens]

    def name(first: int) -> _Name | None:
        return _name_at(tokens, first, capitals)

    for place, text in enumerate(texts):
        found = name(place)
        if found is not None and not _in_name(tokens, place, capitals):
            found = found if capitals else _at_the_end(tokens, found, acting)
            side = _has_side(texts, found.end)
            other = _opponent(texts, found, name)
            if other is not None:
                first = side or "w"
                yield [(first, found), ("b" if first == "w" else "w", other)]
            elif side:
                yield [(side, found)]
        if text in ("i", "we") and (faced := _faced(tokens, place, name)) is not None:
            yield [faced]
        if text in ("white", "black") and (found := _who_was(tokens, place, name)) is not None:
            yield _both_were(tokens, (text[0], found), name)
        was = texts[place + 1 : place + 3]
        calls = text in ("white's", "black's") and was[:1] == ["name"] and was[-1] in _IS
        if calls and (found := name(place + 3)):
            yield [(text[0], found)]


def _in_name(tokens: Sequence[Token], place: int, capitals: bool) -> bool:
    """Whether the word before belongs to the same name."""
    before = _name_at(tokens, place - 1, capitals) if place else None
    return before is not None and before.end > place


def _at_the_end(tokens: Sequence[Token], found: _Name, acting: Mapping[str, int]) -> _Name:
    """The name that ends a run of words, where no capitals tell a name from words before it.

    "Our summer league osmund fennel has white": two words at most, the last alone where it is used
    as a side elsewhere too and the word before it is not.
    """
    end = found.end
    while end < len(tokens) and tokens[end].gap < 0.3 and _may_name(tokens[end], capitals=False):
        end += 1
    if end == found.end:
        return found
    first = end - LONGEST
    has = end < len(tokens) and tokens[end].text in AFTER_A_SIDE | _DOES
    first += not acting[tokens[first].text] and acting[tokens[end - 1].text] > has
    return _Name(first, end, tuple(token.text for token in tokens[first:end]))


def _opponent(texts: Sequence[str], first: _Name, name: _Reader) -> _Name | None:
    """ "Osgood against Penrice", "Osgood with the white pieces against Penrice": the second."""
    place = first.end
    if _has_side(texts, place):
        place += next(n for n, text in enumerate(texts[place:]) if text in ("white", "black")) + 1
        place += place < len(texts) and texts[place] in _PIECES_OF
    return name(place + 1) if place < len(texts) and texts[place] in _AGAINST else None


def _faced(tokens: Sequence[Token], place: int, name: _Reader) -> tuple[str, _Name] | None:
    """ "I had Black against Mrs Dunmore": the side and name of whom the speaker faced."""
    texts = [token.text for token in tokens[place + 1 : place + 1 + WITHIN]]
    side = _has_side(texts, 0)
    against = next((n for n, text in enumerate(texts) if text in _AGAINST), None)
    if not side or against is None:
        return None
    found = name(place + against + 2)
    if found is None:
        return None
    titled = any(token.text in _TITLES for token in tokens[found.first : found.end])
    return ("b" if side == "w" else "w"), replace(found, sure=titled)


def _has_side(texts: Sequence[str], place: int) -> str:
    """ "... with White", "... had the black pieces": the side, or nothing."""
    if place >= len(texts) or texts[place] not in _HAVING:
        return ""
    place += 1
    if place < len(texts) and texts[place] == "the":
        if texts[place + 2 : place + 3] and texts[place + 2] not in _PIECES_OF:
            return ""
        place += 1
    side = texts[place] if place < len(texts) else ""
    after = texts[place + 1] if place + 1 < len(texts) else ""
    return side[0] if side in ("white", "black") and after not in PIECES else ""


def _both_were(tokens: Sequence[Token], told: tuple[str, _Name], name: _Reader) -> _Sides:
    """ "White was Miss Thorne, and Black was Mr Farr": both; one alone may be no name."""
    side, found = told
    for place in range(found.end, min(found.end + WITHIN, len(tokens))):
        text = tokens[place].text
        if text in ("white", "black") and text[0] != side:
            other = _who_was(tokens, place, name)
            if other is not None:
                return [told, (text[0], other)]
    return [(side, replace(found, doubtful=True))]


def _who_was(tokens: Sequence[Token], place: int, name: _Reader) -> _Name | None:
    """ "White is Miss Thorne", "Black in our game was Mr Farr": the name."""
    for k in range(place + 1, min(place + WITHIN, len(tokens))):
        if tokens[k].gap >= 0.3:
            return None
        if tokens[k].text in _IS:
            return name(k + 1)
    return None


def _name_at(tokens: Sequence[Token], first: int, capitals: bool) -> _Name | None:
    """The name that begins at a token, with the title before it."""
    place = first
    while place < min(len(tokens), first + 2) and tokens[place].text in _TITLES | {"our", "my"}:
        place += 1
    found: list[str] = []
    while place < len(tokens) and len(found) < LONGEST:
        token = tokens[place]
        if (found and token.gap >= 0.3) or not _may_name(token, capitals):
            break
        found.append(token.text)
        place += 1
    return _Name(first, place, tuple(found)) if found else None


def _may_name(token: Token, capitals: bool) -> bool:
    text = token.text
    if len(text) < 2 or not text.isalpha() or (capitals and not token.raw[0].isupper()):
        return False
    return not (
        text in COMMON or text in PIECES or text.removesuffix("s") in PIECES or text in TAKES
        or text in CASTLES or text in COLOURS or text in AFTER_A_SIDE or text in _NO_NAME
        or text in CLEAR_ERRORS or text in _HAVING or text in _AGAINST or text in _TITLES or is_square(text)
        or stands_in_names(text)
    )  # fmt: skip


def _acting(tokens: Sequence[Token]) -> Counter[str]:
    """How often each word is used as one uses a side: "Penrice takes", "Penrice's knight"."""
    times: Counter[str] = Counter()
    for place, (token, nxt) in enumerate(pairwise(tokens)):
        bare, after = token.text.removesuffix("'s"), nxt.text
        if nxt.gap >= 0.3:
            continue
        owns = bare != token.text and (after in PIECES or after.removesuffix("s") in PIECES)
        article = place > 0 and tokens[place - 1].text in ARTICLES
        if owns or (after in AFTER_A_SIDE | _DOES and after not in PIECES and not article):
            times[bare] += 1
    return times
