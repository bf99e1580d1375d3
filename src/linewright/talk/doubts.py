"""Which doubts about a talk a teacher is asked: each spot once, and none that decides nothing.

A teacher answers a handful of questions, and hears the talk again. So of several doubts about one
spot the first is asked; what is still in doubt after its answer is asked then.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from linewright.talk.answers import plain
from linewright.talk.decoder import Event, Kind, Tree, chain
from linewright.talk.record import ONLY_TALK, Question

REPEATED_WORDS = 12
"""Words told again as soon as this are the same move or cry: "mate, mate, mate"."""

SPOT_WORDS = 60
"""So many words apart two doubts are about one spot, if the one hangs on the other."""


@dataclass(frozen=True, slots=True)
class Doubt:
    """A question with the decisions it is between.

    `one` is on the way that is kept, `other` the nearest in its place (None where it is only asked
    whether moves that nobody said were made), `way` the last decision of the other way.
    """

    question: Question
    one: Event
    other: Event | None = None
    way: Event | None = None

    @property
    def events(self) -> tuple[Event, ...]:
        """The moves it is between."""
        both = (self.one,) if self.other is None else (self.one, self.other)
        return tuple(event for event in both if event.kind is Kind.PLAY)

    @property
    def hangs(self) -> bool:
        """Whether what follows may not be at all if it is answered another way.

        Whether the knight takes or the pawn, the next move comes.
        """
        asked = self.question
        return ONLY_TALK in asked.choices or bool(asked.unsaid or asked.boards)


def asked_once(doubts: Sequence[Doubt], tree: Tree) -> Iterator[Question]:
    """The questions of these doubts, in the order of the talk, each spot asked about once."""
    before: list[Doubt] = []
    for doubt in sorted(doubts, key=lambda d: (d.question.said.first, d.question.said.end)):
        near = [
            one for one in before if doubt.question.said.first - one.question.said.end < SPOT_WORDS
        ]
        before.append(doubt)
        if not any(_settles(one, doubt, tree) for one in near):
            yield doubt.question


def _settles(first: Doubt, later: Doubt, tree: Tree) -> bool:
    """Whether the answer to one doubt decides another, or whether it is there at all."""
    if moves_of(first.question) == moves_of(later.question) or _repeats(first, later):
        return True
    if later.other is not None and any(event is later.other for event in chain(first.way)):
        return True
    if not first.hangs:
        return False
    doubtful = {node for event in first.events for node in event.made}
    lines = (tree.line(tree.parent(event.node)) for event in later.events)
    return any(not doubtful.isdisjoint(line) for line in lines)


def _repeats(first: Doubt, later: Doubt) -> bool:
    """Whether words are told again at once, whole or in part, or what may be the same move."""
    one, two = first.question, later.question
    if two.said.first - one.said.end >= REPEATED_WORDS:
        return False
    words, again = f" {plain(one.said.text)} ", f" {plain(two.said.text)} "
    told = words.strip() and again.strip() and (words in again or again in words)
    return bool(told) or bool(moves_of(one) & moves_of(two))


def moves_of(question: Question) -> frozenset[str]:
    """The moves a question is between."""
    return frozenset(question.choices) - {ONLY_TALK}
