"""Who gives a talk, and in which club: "I am Osmund Fennel, from the Mill Lane chess club"."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from linewright.talk.players import name_at
from linewright.talk.vocabulary import ARTICLES, COMMON, OWNED, Token, words

AT_FIRST = 150
"""Within so many words at the beginning, or at the end, a speaker says who and where he is."""

LONGEST_CLUB = 3
"""The name of a club has so many words at most before "chess club"."""

_NAMES_NO_CLUB = words(
    "local old village town city school county little whole famous same next big small university junior"
    " best other another first new good favourite online evening friendly the your their each every any"
    " some one tuesday monday wednesday thursday friday saturday sunday from at of in to for with and or"
    " by near welcome here back today tonight"
)
"""Words before "chess club" that name none."""
_LEADS = words("the at from of to in with for")
"""What the name of a club stands behind: "osmund fennel mill lane chess club" ends two names."""


def teacher_of(tokens: Sequence[Token]) -> str:
    """The name of the speaker, with capitals; empty where none or more than one is told.

    >>> from linewright.talk.vocabulary import tokenise
    >>> said = "good evening my name is osmund fennel and we look at the slav"
    >>> teacher_of(tokenise([(word, "", 0.0) for word in said.split()]))
    'Osmund Fennel'
    """
    names = set(_speakers(tokens))
    fullest = max(names, key=len, default="")
    return fullest if all(set(name.split()) <= set(fullest.split()) for name in names) else ""


def club_of(tokens: Sequence[Token]) -> str:
    """The name of the club, with capitals; empty where none or more than one is told.

    >>> from linewright.talk.vocabulary import tokenise
    >>> said = "a game from the mill lane chess club where i had black"
    >>> club_of(tokenise([(word, "", 0.0) for word in said.split()]))
    'Mill Lane Chess Club'
    """
    names = {" ".join(tokens[k].raw.capitalize() if tokens[k].raw.islower() else tokens[k].raw
             for k in club) for club in clubs(tokens)}  # fmt: skip
    return names.pop() if len(names) == 1 else ""


def clubs(tokens: Sequence[Token]) -> Iterator[range]:
    """The tokens of each name of a club, "chess club" among them."""
    capitals = _has_capitals(tokens)
    for k in range(1, len(tokens) - 1):
        if (tokens[k].text, tokens[k + 1].text) != ("chess", "club") or tokens[k + 1].gap >= 0.3:
            continue
        first = k
        while first > max(k - LONGEST_CLUB, 0) and tokens[first].gap < 0.3:
            if not _may_name(tokens[first - 1], capitals):
                break
            first -= 1
        leads = first == 0 or tokens[first].gap >= 0.3 or tokens[first - 1].text in _LEADS
        if first < k and (capitals or leads):
            yield range(first, k + 2)


def _speakers(tokens: Sequence[Token]) -> Iterator[str]:
    """The names that a speaker gives as his own; without capitals only those called a name."""
    capitals = _has_capitals(tokens)
    texts = [token.text for token in tokens]
    for k in range(len(tokens)):
        called = texts[k : k + 3] == ["my", "name", "is"] or texts[k : k + 2] == ["my", "name's"]
        is_one = texts[k : k + 2] == ["i", "am"] or texts[k] == "i'm"
        if not called and not (is_one and capitals and min(k, len(texts) - k) < AT_FIRST):
            continue
        behind = next(n for n in range(k, k + 3) if texts[n] in ("is", "name's", "am", "i'm")) + 1
        if found := name_at(tokens, behind, capitals):
            yield found


def _has_capitals(tokens: Sequence[Token]) -> bool:
    return any(token.raw[1:2].islower() and token.raw[0].isupper() for token in tokens)


def _may_name(token: Token, capitals: bool) -> bool:
    if capitals:
        return token.raw[:1].isupper()
    text = token.text
    return text.isalpha() and text not in _NAMES_NO_CLUB | ARTICLES | OWNED | COMMON
