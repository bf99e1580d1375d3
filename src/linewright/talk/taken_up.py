"""Where the talk takes up its main line again with a move told there: "back to the main line, with Nf6".

The search may still hear that move anew, from another board than the one the main line had reached,
where what is said next fits that board better. Of the two, only the teacher knows which is meant.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from linewright.talk.decoder import Event, Kind, Mode, Tree
from linewright.talk.vocabulary import Token

FAR = 20
"""So many words may stand between those that take the line up and its move."""

NEAREST = 60
"""The move before one is among so many decisions before it, or too far off to matter."""


def told_on_the_main_line(
    tree: Tree, events: Sequence[Event], at: int, tokens: Sequence[Token]
) -> int | None:
    """The board that the move of a decision led to when it was told before, on the line taken up.

    None where the words take up no line, or where it goes on from the board the talk had reached.
    """
    event = events[at]
    if event.kind is not Kind.PLAY or event.silent or event.extra or event.faults:
        return None
    behind = [events[k] for k in range(max(0, at - NEAREST), at)]
    here = next((e.node for e in reversed(behind) if e.kind in (Kind.PLAY, Kind.GOTO)), 0)
    last = next((e for e in reversed(behind) if e.kind is Kind.PLAY), None)
    if here == event.base or last is None or not _takes_up(tokens, last, event):
        return None
    before = [other for other in events[:at] if other.kind is Kind.PLAY]
    line = tree.line(event.node)
    told = (
        other.node
        for other in reversed(before)
        if other.node not in line
        and _move(tree, other.node) == _move(tree, event.node)
        and _as_main(other, event)
    )
    return next(told, None)


def _move(tree: Tree, node: int) -> tuple[str, str]:
    """The move that led to a board, whoever made it."""
    return tree.turn(node), tree.san(node)


def _takes_up(tokens: Sequence[Token], last: Event, event: Event) -> bool:
    """Whether the words since the last move say that the line that is taught goes on."""
    first = event.phrase.first
    since = tokens[max(last.phrase.end, first - FAR) : first]
    return bool(_TAKES_UP.search(" ".join(token.text for token in since)))


def _as_main(other: Event, event: Event) -> bool:
    """Whether a move was told on a line that is no less to the teacher than the one at hand."""
    return _STRENGTH.index(other.mode) >= _STRENGTH.index(event.mode)


_STRENGTH = [Mode.MENTIONED, Mode.SUPPOSED, Mode.SHOWN]
_LINE = r"(?:main|real|actual|our) (?:line|game|variation|position)"
_TAKES_UP = re.compile(rf"\b{_LINE} again\b|\b(?:back|return\w*|again)\b[^.]*\b{_LINE}\b")
