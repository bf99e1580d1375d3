"""Where a talk tells its game once more from the first move: "now Rita's game: d4, d5, c4".

The board of the first move is gone back to then, whatever the words around say: a pawn that stands
on d4 does not go there again, and a move told as plainly as this one is no slip for another.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import pairwise

from linewright.talk.said import Form, Phrase, Spec
from linewright.talk.vocabulary import COMMA, Token

RATTLED = 3
"""So many moves in a row, with nothing but commas and "and" between, are a line gone through."""
_TELLING = (Form.SQUARE, Form.FULL, Form.NOTATION, Form.CAPTURE)
_BETWEEN = frozenset("and then now white black with plays answers".split())


def with_retold(
    tokens: Sequence[Token], found: Mapping[int, Sequence[Phrase]]
) -> dict[int, list[Phrase]]:
    """The phrases, where a clause begins with the first moves of the talk again, as that board."""
    told = list(_told(found))
    firsts = [phrase.spec for phrase in told[:2]]
    again = {
        run[0]
        for k in range(1, len(told) - RATTLED + 1)
        if (run := told[k : k + RATTLED])
        and tokens[run[0].first].gap >= COMMA
        and _same(firsts, [phrase.spec for phrase in run[:2]])
        and all(_follows(tokens, one, other) for one, other in pairwise(run))
    }
    return {
        first: [_as_board(phrase) if phrase in again else phrase for phrase in same]
        for first, same in found.items()
    }


def _told(found: Mapping[int, Sequence[Phrase]]) -> Iterator[Phrase]:
    """The plain moves of a talk in order, each of the most words that begin there."""
    end = 0
    for first in sorted(found):
        plain = [
            phrase
            for phrase in found[first]
            if phrase.form in _TELLING and phrase.plain and phrase.spec.full and phrase.told > 0
        ]
        longest = max(plain, key=lambda phrase: phrase.end, default=None)
        if longest is not None and first >= end:
            yield longest
            end = longest.end


def _same(firsts: Sequence[Spec], specs: Sequence[Spec]) -> bool:
    """Whether the same squares are told, by the same men."""
    return len(firsts) == 2 and all(
        one.targets[:1] == other.targets[:1] and one.pieces[:1] == other.pieces[:1]
        for one, other in zip(firsts, specs, strict=True)
    )


def _follows(tokens: Sequence[Token], one: Phrase, other: Phrase) -> bool:
    """Whether a move is told right behind another."""
    between = range(one.end, other.first)
    return len(between) <= 2 and all(tokens[k].text in _BETWEEN for k in between)


def _as_board(phrase: Phrase) -> Phrase:
    cues = replace(phrase.cues, back=2, board_of=True, start=True, after=True, number=0)
    return replace(phrase, cues=cues)
