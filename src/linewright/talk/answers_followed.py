"""A talk heard with those of the teacher's answers that can be followed: the others change nothing."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

from linewright.talk.answers import board_before, fault_here
from linewright.talk.record import Answered, Heard

MOST_TRIED_AGAIN = 3
"""So many answers are tried again without the others that could not be followed."""

Hears = Callable[[Mapping[str, str]], Heard]
"""Hears the talk with some of the answers, by their places."""


def heard_with(answers: Mapping[str, str], hears: Hears) -> Heard:
    """What is heard with the answers that can be followed, and what became of each.

    The search makes room for an answer at any price: an answer that is a mistake bends the line to
    it, or brings in moves that nobody said. So the talk is heard again without those that came to
    nothing; of several each is tried once more, for one may have spoilt another.

    **Cost**: a hearing more for each round, only where something cannot be followed.
    """
    refused: dict[str, Answered] = {}
    heard = _without_spoilers(answers, hears, refused)
    if len(refused) > 1:
        for place in list(refused)[:MOST_TRIED_AGAIN]:
            kept = {p: a for p, a in answers.items() if p not in refused or p == place}
            again = hears(kept)
            if not _unfollowed(again, kept, hears):
                heard = again
                del refused[place]
    faults = (replace(one, fault=fault_here(one, heard)) for one in refused.values())
    told = {one.place: one for one in (*faults, *heard.answered)}
    return replace(heard, answered=tuple(told[place] for place in answers if place in told))


def _without_spoilers(
    answers: Mapping[str, str], hears: Hears, refused: dict[str, Answered]
) -> Heard:
    """What is heard when each round leaves out what it could not follow; that goes to `refused`."""
    kept = dict(answers)
    heard = hears(kept)
    while unfollowed := _unfollowed(heard, kept, hears):
        for one in unfollowed:
            refused[one.place] = one
            del kept[one.place]
        heard = hears(kept)
    return heard


def _unfollowed(heard: Heard, kept: Mapping[str, str], hears: Hears) -> list[Answered]:
    """The answers about words of the talk that could not be followed.

    Nor is one followed with another number on a board that the talk has only for its sake.
    """
    found = [one for one in heard.answered if one.fault and one.said is not None]
    if found:
        return found
    for one in heard.answered:
        if one.numbered:
            without = hears({place: told for place, told in kept.items() if place != one.place})
            if _way_before(one, heard) != _way_before(one, without):
                found.append(replace(one, numbered="", fault=fault_here(one, without)))
    return found


def _way_before(one: Answered, heard: Heard) -> tuple[str, ...]:
    return heard.line_to(board_before(one, heard))
