"""Answered moves of lines that the talk has left: the search may go back for each to its board.

An answer with a number says on which board its words are said: where it is told on a line that was
left, the talk has gone back there without a word. The search goes back only where words do, or else
bends the line at hand until the answer fits.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import replace

from linewright.talk.answers import Tokens
from linewright.talk.decoder import Choice, Event, Kind, Tree, Understood, WayBack, events_of
from linewright.talk.said import Cues, Phrase

BACK = Cues(back=2, begins=1.0)

FITS = 1.0
"""Words that cost less than this (in price) on a board fit a move there as they are."""


def ways_back_to(moves: Mapping[Tokens, str], plain: Understood) -> dict[int, WayBack]:
    """The goings back that numbered answers need, by their first words.

    `plain` is what is heard without the answers. A move that follows on the line at hand, or stands
    beside it, needs none.
    """
    found = {}
    for spot, answer in moves.items():
        before = [e for e in events_of(plain.hypotheses[0]) if e.phrase.first < spot[0]]
        told = _told_last(answer, plain.tree, before)
        if told is not None:
            phrase = replace(
                told.phrase, first=spot[0], end=spot[0], told=0.0, cut=False, cues=BACK
            )
            found[spot[0]] = WayBack(phrase, plain.tree.numbered(told.node).rstrip("+#"))
    return found


def _told_last(answer: str, tree: Tree, before: Sequence[Event]) -> Event | None:
    """The last move told that an answered one may follow, if it is not of the line at hand."""
    here = next((e.node for e in reversed(before) if e.kind in (Kind.PLAY, Kind.GOTO)), 0)
    line = tree.line(here)
    if any(fits(answer, tree, node) for node in line):
        return None
    told = (e for e in reversed(before) if e.kind is Kind.PLAY and not e.extra)
    return next((e for e in told if fits(answer, tree, e.node)), None)


def fits(answer: str, tree: Tree, node: int) -> bool:
    """Whether a move with its number ("5...dxc3") can be played on a board."""
    number, _, san = answer.rpartition(".")
    if f"{number}." != f"{tree.number(node)}{tree.dots(node)}":
        return False
    try:
        tree.board(node).parse_san(san)
    except ValueError:
        return False
    return True


Choices = Callable[[Sequence[str], Phrase], Sequence[Choice]]
"""The moves that a phrase may mean behind a line (UCI)."""


def told_elsewhere(
    tree: Tree, events: Sequence[Event], event: Event, choices: Choices
) -> tuple[str, int] | None:
    """What words would be on the board told last that they fit without a move nobody said.

    With that board, of a line that was left; None where there is none. Of a move that needs moves
    before it that nobody said, as the decision has it.
    """
    here = tree.parent(event.silent[0]) if event.silent else event.base
    line = set(tree.line(here))
    before = (e for e in reversed(events) if e.phrase.first < event.phrase.first)
    told = dict.fromkeys(e.node for e in before if e.kind is Kind.PLAY)
    for node in told if event.silent else ():
        if node in line or tree.turn(node) != tree.turn(tree.parent(event.node)):
            continue
        found = choices([tree.uci(made) for made in tree.line(node)[1:]], event.phrase)
        if found and not found[0].faults and found[0].price < FITS:
            san = tree.board(node).san(found[0].move)
            return f"{tree.number(node)}{tree.dots(node)}{san}", node
    return None


def leads_back(found: Understood, ways: Collection[WayBack]) -> bool:
    """Whether each of these goings back is made."""
    gone = {id(e.phrase) for e in events_of(found.hypotheses[0]) if e.kind is Kind.GOTO}
    return all(id(way.phrase) in gone for way in ways)
