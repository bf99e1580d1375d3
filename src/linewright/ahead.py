"""What comes next in a script, as far as it can tell which line goes on."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from itertools import takewhile

from linewright.headings import walk
from linewright.inline import Move, Paren, Unreadable
from linewright.mending import EVENTS_AHEAD, BlockEnd, Event, Known
from linewright.script import Script


class Events:
    """The moves of a script in order (`all`), with the side lines and blocks they stand in."""

    def __init__(self, script: Script) -> None:
        self.source = script.source
        self.all = tuple(_events(script))
        self._starts = _starts(self.all)
        self._places = {id(event): k for k, event in enumerate(self.all)}

    def place_of(self, event: Move | Unreadable) -> int:
        """The place of a move among them."""
        return self._places[id(event)]

    def before(self, event: Move | Unreadable) -> Event:
        """The one before a move."""
        return self.all[self.place_of(event) - 1]

    def behind(self, place: int) -> Sequence[Event]:
        """What comes after a place, as far as it can tell which line goes on."""
        first = bisect_left(self._starts, place)
        return self.all[first : first + EVENTS_AHEAD]

    def next_move(self, place: int) -> Move | None:
        """The next move behind a place."""
        return next((e for e in self.behind(place) if isinstance(e, Move)), None)

    def ahead_of(self, event: Move | Unreadable) -> Sequence[Event]:
        """What comes after a move, as far as it can tell what was meant."""
        here = self.place_of(event) + 1
        return self.all[here : here + EVENTS_AHEAD]

    def run_from(self, move: Move) -> list[Move]:
        """A move and those right behind it."""
        behind = (self.all[k] for k in range(self.place_of(move) + 1, len(self.all)))
        rest = takewhile(lambda event: isinstance(event, Move) and self.straight_on(event), behind)
        return [move, *(event for event in rest if isinstance(event, Move))]

    def straight_on(self, move: Move) -> bool:
        """Whether nothing but space stands between a move and the one before it."""
        before = self.before(move)
        if not isinstance(before, Move):
            return False
        return not self.source.text[before.span.end : move.span.start].strip()


def _events(script: Script) -> list[Event]:
    """The moves of a script in order, with the side lines and blocks they stand in."""
    out: list[Event] = []
    for block in script.blocks:
        for inline in walk(block.inlines):
            if isinstance(inline, Paren) and not inline.partner and not inline.opens:
                continue
            if isinstance(inline, Move | Unreadable | Paren):
                out.append(inline)
        out.append(BlockEnd())
    return out


def _starts(events: Sequence[Event]) -> list[int]:
    """Where the events begin, in order; the end of a block counts with the event before it."""
    out: list[int] = []
    for event in events:
        last = out[-1] if out else -1
        out.append(last if isinstance(event, BlockEnd) else max(last, event.span.start))
    return out


def known_moves(events: Sequence[Event]) -> Known:
    """The moves that a script writes, by number and side, runs counted on."""
    out: set[tuple[int, bool, str]] = set()
    number, black = 0, False
    for event in events:
        if isinstance(event, Move):
            if event.number is not None:
                number, black = event.number, bool(event.black)
            if number:
                out.add((number, black, event.written.san.replace("x", "")))
            number, black = (number + black, not black) if number else (0, False)
        else:
            number = 0
    return frozenset(out)
