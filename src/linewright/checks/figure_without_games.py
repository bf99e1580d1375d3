"""A figure of games where no games are at hand to draw it from.

It is left out of what students get, and the words around it speak of a figure that is not there.

```flags
---
for: White
---
After 1.d4 d5 2.c4 White has offered a pawn. ⟦![What Black does](tally)⟧
```

```flags
---
for: White
students: 1000-1900
games: examples/brackwater-games.pgn.xz
---
After 1.h4 a5 2.Rh3 nobody knows what happens. ⟦![What happens](plans)⟧
```

```clean
---
for: White
students: 1000-1900
games: examples/brackwater-games.pgn.xz
---
After 1.d4 d5 2.c4 White has offered a pawn. ![What Black does](tally)
```

Limits: games that are named and cannot be read are told apart from this.

Source: the collections named in the front matter, in the students' band; plans are those of
players of all ratings.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

import chess

from linewright.checks import Grounds
from linewright.finding import Evidence, Finding, Severity
from linewright.inline import OF_GAMES, Figure

if TYPE_CHECKING:
    from linewright.games.reach import Reach

SEVERITY = Severity.WARNING
NEEDS = ("collection",)


def check(grounds: Grounds) -> Iterator[Finding]:
    """Findings at the figures that are not drawn."""
    lesson = grounds.lesson
    inlines = (inline for block in lesson.script.blocks for inline in block.inlines)
    for figure in inlines:
        if not isinstance(figure, Figure) or figure.kind not in OF_GAMES:
            continue
        if reason := _why_not(grounds, figure):
            words = lesson.script.source.words(figure.span)
            evidence = Evidence(fen=lesson.at(figure.span.start).fen)
            message = f"'{words}' is not drawn: {reason}"
            yield Finding("figure-without-games", SEVERITY, figure.span, message, evidence)


def _why_not(grounds: Grounds, figure: Figure) -> str:
    """Why a figure has no games; empty if it has some, or if that cannot be told."""
    games = grounds.collection
    if games is None:
        named = grounds.lesson.front.games
        return "" if named else "the lesson names no games; write 'games: NAME' in its front matter"
    if figure.kind == "reach":
        return _why_no_reach(games.reach())
    from linewright.games.tally import Filter

    tally = games.tally(chess.Board(grounds.lesson.at(figure.span.start).fen))
    counted = tally if figure.kind == "tally" else tally.where(Filter())
    if counted.games:
        return ""
    return f"no game comes to this board ({counted.basis()}); put it earlier, or take it out"


def _why_no_reach(reach: Reach | None) -> str:
    if reach is None:
        return "the lesson does not say whom it is for; write 'for: White' or 'for: Black'"
    return "" if reach.games else f"no game comes to where the lesson begins ({reach.basis()})"
