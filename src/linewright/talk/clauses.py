"""Clauses that name no move and may tell one: "he hits it at once", "and there's the big centre".

No list of verbs ends where teachers do. So each clause in which no move is named is a phrase too,
and two things are learned of its words: whether such a clause tells a move (`telling`), and which
moves it goes with: one that takes, retreats, closes, comes with check (`clauses.json`, learned by
`benches/fit_clauses.py`; the traits of a move are those of `linewright_core::talk::traits`). The
board and what is usual decide among these.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from functools import cache
from importlib import resources
from itertools import pairwise

from linewright._core import TRAITS
from linewright.talk.phrases import MOVING
from linewright.talk.said import Form, Phrase, Spec
from linewright.talk.vocabulary import COLOURS, PERSONS, TO_A_SQUARE, Lexicon, any_square, words

LONGEST = 9
"""Of longer clauses only so many words are read."""

BREAK = 0.25
"""A pause this long (s, or what a comma stands for) ends a clause."""

PLAIN = 1.5
"""Words that say a move at no more than this price are no part of a clause."""

A_PLACE = 6.0
"""The price of a move in the words "the e5 square"."""

SELDOM = -2.5
"""Clauses less likely to tell a move than this (log odds) are not searched."""

_JOINS = words("and then but so or now well okay yes no also")
_SUBJECTS = PERSONS | frozenset(COLOURS) | {"it"}
_CLAUSES_BEGIN = words("if when because since while as that which where who")
_ONLY_TALK = _SUBJECTS | words("um uh er erm the a an to of in on at is that this")

# before a square these say no more than that it is there: "we have c4" is that pawn's move
_HAS = words("have has had got get gets see sees find finds there there's")

# "the queen has to move": what will come, not that it has
_MOVES = words("move go decide choose think react answer reply respond")
_WILL = words("to must should can will could may might would")

# a clause that ends so goes on with what is named behind it
_LEADS = TO_A_SQUARE | words("with against for of like by than the a his her our my")

Goes = Mapping[str, Mapping[str, float]]
"""How each word goes with each trait of a move (log odds)."""


def with_clauses(
    lexicon: Lexicon, found: Mapping[int, Sequence[Phrase]], goes: Goes | None = None
) -> dict[int, list[Phrase]]:
    """The phrases of a talk, and its clauses that name no move."""
    known = default_goes() if goes is None else goes
    out = {first: list(same) for first, same in found.items()}
    for clause in all_clauses(lexicon, found):
        if clause.covered:
            continue  # what is known of some words is surer than what is learned of all
        leaning = leaning_of(said_in(lexicon, clause), known)
        spec = replace(clause.spec, leaning=leaning)
        out.setdefault(clause.first, []).append(replace(clause, spec=spec))
    return {first: out[first] for first in sorted(out)}


def likely(
    found: Mapping[int, Sequence[Phrase]], known: Callable[[tuple[int, int]], object]
) -> dict[int, list[Phrase]]:
    """The phrases without the clauses that hardly tell a move; `known` is what is answered of one."""
    kept = {
        first: [
            p
            for p in same
            if p.form is not Form.CLAUSE or p.told > SELDOM or known((p.first, p.end))
        ]
        for first, same in found.items()
    }
    return {first: same for first, same in kept.items() if same}


def said_in(lexicon: Lexicon, clause: Phrase) -> list[str]:
    """What is seen of the words of a clause: each, and each two together."""
    plain = [any_square(lexicon.text(k)) for k in range(clause.first, clause.end)]
    return [*plain, *(" ".join(pair) for pair in pairwise(["#", *plain, "#"]))]


def leaning_of(seen: Sequence[str], goes: Goes) -> tuple[float, ...]:
    """How what is seen goes with each trait, in their order."""
    sums = dict.fromkeys(TRAITS, 0.0)
    for name in seen:
        for trait, more in goes.get(name, {}).items():
            sums[trait] += more
    return tuple(round(more, 3) for more in sums.values())


def all_clauses(lexicon: Lexicon, found: Mapping[int, Sequence[Phrase]]) -> Iterator[Phrase]:
    """The clauses of a talk that name no move, in order; covered where some words are read as one."""
    named = _named(lexicon, found)
    read = {k for same in found.values() for p in same if _vague(p) for k in range(p.first, p.end)}
    first, size = 0, len(lexicon.tokens)
    while first < size:
        end = first + 1
        while end < size and not _begins(lexicon, end) and end not in named:
            end += 1
        if first not in named:
            clause = _clause(lexicon, first, end, _object(lexicon, end, named))
            if clause is not None:
                covered = not read.isdisjoint(range(clause.first, clause.end))
                yield replace(clause, covered=covered)
        first = end


def _named(lexicon: Lexicon, found: Mapping[int, Sequence[Phrase]]) -> dict[int, Phrase]:
    """The plain phrases that name a move or a square, by the tokens they cover: the longest."""
    named: dict[int, Phrase] = {}
    for same in found.values():
        for phrase in same:
            alone = phrase.price < PLAIN and _between_breaks(lexicon, phrase)
            if names_move(phrase) or _names_place(phrase) or (alone and not _vague(phrase)):
                for k in range(phrase.first, phrase.end):
                    if k not in named or named[k].end - named[k].first < phrase.end - phrase.first:
                        named[k] = phrase
    return named


def _between_breaks(lexicon: Lexicon, phrase: Phrase) -> bool:
    """Whether nothing else is said between two stops: "knight f3, the six, d4" tells d6."""
    tokens, end = lexicon.tokens, phrase.end
    ends = end == len(tokens) or tokens[end].gap >= BREAK
    return phrase.form is Form.SQUARE and ends and tokens[phrase.first].gap >= BREAK


def names_move(phrase: Phrase) -> bool:
    """Whether a phrase names a move or a square so plainly that no clause says more."""
    clause = phrase.form is Form.CLAUSE
    return not clause and not _vague(phrase) and phrase.price + _misheard(phrase) < PLAIN


def _names_place(phrase: Phrase) -> bool:
    """Whether a phrase calls a square one: "the e5 square" is where something is, and no move."""
    targets = phrase.spec.targets
    called = phrase.form is Form.SQUARE and phrase.price >= A_PLACE
    return called and targets[0][1] == 0


def _misheard(phrase: Phrase) -> float:
    """What it costs that the words for a phrase's square are other words: "for" is hardly an e4."""
    return phrase.spec.targets[0][1] if phrase.form is Form.SQUARE else 0.0


def _vague(phrase: Phrase) -> bool:
    """Whether a phrase leaves so much open that its clause may say more."""
    bare = phrase.form is Form.CAPTURE and not phrase.spec.says_target
    return bare or phrase.form is Form.VAGUE


def _begins(lexicon: Lexicon, k: int) -> bool:
    """Whether a clause begins at a token."""
    text = lexicon.text(k)
    if lexicon.tokens[k].gap >= BREAK or text in _JOINS:
        return True
    starts = text in _SUBJECTS or text in _CLAUSES_BEGIN
    return lexicon.unmarked and starts and lexicon.text(k - 1) not in _CLAUSES_BEGIN


def _object(lexicon: Lexicon, k: int, named: Mapping[int, Phrase]) -> Phrase | None:
    """The square alone that follows at once, as what the clause speaks of: "he attacks e4"."""
    phrase = named.get(k)
    alone = phrase is not None and phrase.form is Form.SQUARE and phrase.first == k
    return phrase if alone and lexicon.tokens[k].gap < BREAK else None


def _clause(lexicon: Lexicon, first: int, end: int, met: Phrase | None) -> Phrase | None:
    """The clause of some tokens, without the words that join it and say whose move it is.

    None where they say nothing of a move.
    """
    while first < end and lexicon.text(first) in _JOINS:
        first += 1
    if first < end - 1 and lexicon.text(first) in _SUBJECTS:
        first += 1
    if end - first > LONGEST:
        end, met = first + LONGEST, None
    said = [lexicon.text(k) for k in range(first, end)]
    if not said or all(text in _ONLY_TALK for text in said) or _announces(said):
        return None
    place = met is not None and _names_place(met) and said[-1] == "the"
    if (said[-1] in _LEADS and not place) or (met is not None and said[-1] in MOVING):
        return None  # "back to d8", "plays d4": the square is where it goes, or nothing is said yet
    if met is not None and all(text in _ONLY_TALK | _HAS for text in said):
        return None
    if met is None:
        return Phrase(first, end, Form.CLAUSE, Spec(), verb=True)
    spec = Spec(met_square=met.spec.targets[0][0])
    price = 0.0 if _names_place(met) else met.price + _misheard(met)
    return Phrase(first, met.end, Form.CLAUSE, spec, price, verb=True)


def _announces(said: Sequence[str]) -> bool:
    """Whether words only say that a move will come: "the queen has to move"."""
    return said[-1] in _MOVES and len(said) > 1 and said[-2] in _WILL


@cache
def default_goes() -> Goes:
    """How words go with traits of moves.

    **Source**: learned from the invented talks of ``tests/talks`` (``benches/fit_clauses.py``).
    """
    text = (resources.files("linewright.talk") / "clauses.json").read_text("utf-8")
    goes: Goes = json.loads(text)
    return goes
