"""Moves that a talk warns of and then shows: "don't take back with the pawn, queen takes d8 check".

The words forbid the move, so the search takes them for talk alone, and what refutes it for moves
behind one that nobody said. Here the words that forbid it are made those that tell it, and its line
one that is supposed: it is shown for what is wrong with it.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import replace

import chess

from linewright.talk.decoder import Choice, Event, Kind, Mode, Tree
from linewright.talk.said import Phrase
from linewright.talk.vocabulary import Token, stop_before

WITHIN = 30
"""So many words at most lie between a warning and what shows why."""

WARNING_WORDS = 8

_VERBS = (
    "go|come|play|take|put|get|move|push|bring|retreat|step|drop|jump|swap|trade|try|recapture|back|for"
    "|to|on|with|the|your|his|her|our|my|it|him|that|a|an"
)
_FORBIDS = re.compile(
    r"(?:\b(?:mustn't|shouldn't|(?:must|should) (?:not|never)|avoid)"
    r"|(?<!\bhe)(?<!\bshe)(?<!\bit)(?<!\bthey)(?<!\bwhite)(?<!\bblack) (?:don't|do not|never))"
    rf"(?: (?:ever|just|simply|even|please|always))*(?: (?:{_VERBS}))*$"
)

Means = Callable[[Sequence[str], Phrase], Sequence[Choice]]
"""What a phrase may mean after a line (UCI), the likeliest first."""


def with_what_is_warned_of(
    tree: Tree, events: Sequence[Event], tokens: Sequence[Token], means: Means
) -> list[Event]:
    """The decisions, with the warning for the first of some moves that nobody said."""
    out = list(events)
    for k, event in enumerate(events):
        if event.kind is not Kind.PLAY or not event.silent:
            continue
        warning = _warning(tree, out, k, tokens, means)
        if warning is None:
            continue
        node = event.silent[0]
        base = tree.parent(node)
        told = replace(
            out[warning], kind=Kind.PLAY, node=node, base=base, mode=Mode.SUPPOSED, silent=(),
            extra=(), faults=(), true=None,
        )  # fmt: skip
        out[warning] = told
        out[k] = replace(event, silent=event.silent[1:], base=node)
        for n in range(k, len(out)):
            if out[n].kind is Kind.PLAY and node in tree.line(out[n].node):
                out[n] = replace(out[n], mode=Mode.SUPPOSED)
    return out


def _warning(
    tree: Tree, events: Sequence[Event], k: int, tokens: Sequence[Token], means: Means
) -> int | None:
    """Which decision before one that begins with a move not said warns of that move; maybe none."""
    first = events[k].phrase.first
    node = events[k].silent[0]
    line = [tree.uci(n) for n in tree.line(tree.parent(node))[1:]]
    move = chess.Move.from_uci(tree.uci(node))
    for n in range(k - 1, -1, -1):
        event = events[n]
        if event.kind in (Kind.PLAY, Kind.GOTO) or first - event.phrase.end > WITHIN:
            return None
        if event.kind is Kind.ASIDE and _forbids(event.phrase, tokens):
            choices = means(line, event.phrase)
            if choices and choices[0].move == move and not choices[0].faults:
                return n
    return None


def _forbids(phrase: Phrase, tokens: Sequence[Token]) -> bool:
    before = tokens[max(0, phrase.first - WARNING_WORDS) : phrase.first]
    return bool(_FORBIDS.search("".join(f"{stop_before(token)} {token.text}" for token in before)))
