"""A reply students will hardly meet, with many moves of the lesson after it.

The time of a lesson is short; a line nobody plays takes it from one that everybody plays.

```flags
---
for: White
students: 1000-1900
games: examples/brackwater-games.pgn.xz
---
After 1.d4 d5 2.c4 e6 3.Nc3 Nf6 4.cxd5 exd5 5.Bg5 Black may lash out, ⟦5...h5⟧, and then 6.e3 Be7
7.Bd3 c6 8.Qc2 Nbd7 9.Nf3 O-O gives White a game without worries.
```

```clean
---
for: White
students: 1000-1900
games: examples/brackwater-games.pgn.xz
---
After 1.d4 d5 2.c4 e6 3.Nc3 Nf6 4.cxd5 exd5 5.Bg5 Black answers 5...Be7 or 5...c6 or 5...Nbd7, as
he likes. Against a lash like 5...h5 any sound move will do.
```

Limits: needs a collection and to know for whom the lesson is. Rare means that the reply's share
surely lies below three in a hundred of at least thirty games; length means six or more positions.
A rare reply may be worth it: accept the finding and say why.

Source: the collections named in the front matter, in the students' band; the limits are common
practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

import chess

from linewright.checks import Grounds
from linewright.finding import Evidence, Finding, Severity
from linewright.lesson import Lesson
from linewright.source import Span

if TYPE_CHECKING:
    from linewright.games.reach import Reply

SEVERITY = Severity.NOTE
NEEDS = ("collection",)
LENGTH = 6


def check(grounds: Grounds) -> Iterator[Finding]:
    """Findings at the rare reply."""
    found = grounds.collection.reach() if grounds.collection is not None else None
    if found is None:
        return
    for reply in found.rare:
        span = _span(grounds.lesson, reply)
        if reply.taught_plies < LENGTH or span is None:
            continue
        words = grounds.lesson.script.source.words(span)
        message = (
            f"'{words}' is hardly met: {reply.share}, {found.filter}, and {reply.taught_plies} "
            f"positions are taught after it; shorten it, or say why it matters"
        )
        arrow = f"{reply.uci[:2]}-{reply.uci[2:4]}"
        evidence = Evidence(f"{reply.share} play it", reply.fen, (), (arrow,))
        yield Finding("rare-reply-taught-at-length", SEVERITY, span, message, evidence)


def _span(lesson: Lesson, reply: Reply) -> Span | None:
    """Where the reply is written first."""
    move = chess.Move.from_uci(reply.uci)
    epd = chess.Board(reply.fen).epd()
    nodes = lesson.tree.nodes
    return next(
        (
            placed.span
            for placed in lesson.moves
            if placed.node is not None
            and nodes[placed.node].move == move
            and nodes[placed.base].board().epd() == epd
        ),
        None,
    )
