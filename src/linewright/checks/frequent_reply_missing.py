"""A reply that many of the students' opponents play, and the lesson does not show.

The students learn what to do against the reply shown and meet another one on Thursday.

```flags
---
for: White
students: 1000-1900
games: examples/brackwater-games.pgn.xz
---
After 1.d4 d5 2.c4 e6 3.Nc3 Nf6 4.cxd5 exd5 White pins the knight, ⟦5.Bg5⟧, and when Black steps
out of the pin with 5...Be7, White plays 6.e3.
```

```clean
---
for: White
students: 1000-1900
games: examples/brackwater-games.pgn.xz
---
After 1.d4 d5 2.c4 e6 3.Nc3 Nf6 4.cxd5 exd5 White pins the knight, 5.Bg5. Black has three answers.
He steps out of the pin with 5...Be7 6.e3. Or he holds the centre, 5...c6 6.e3. Or he plays
5...Nbd7 6.e3, and the pawn on d5 is held by a trick.
```

Limits: needs a collection and to know for whom the lesson is. A reply counts as missing where the
lesson shows another one, from the place where its lines begin to part; mentioning it is enough.
Only replies that surely are one in ten or more there, and one in twenty-five from where the
lesson begins, are reported.

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

SEVERITY = Severity.WARNING
NEEDS = ("collection",)
LEAST_SHARE = 0.1
LEAST_WEIGHT = 0.04


def check(grounds: Grounds) -> Iterator[Finding]:
    """Findings at the move after which the reply is missing."""
    found = grounds.collection.reach() if grounds.collection is not None else None
    if found is None:
        return
    missing = [
        reply
        for reply in found.unanswered
        if reply.share.low >= LEAST_SHARE
        and reply.weight >= LEAST_WEIGHT
        and not reply.share.small
        and not _mentioned(grounds.lesson, reply)
    ]
    for node in dict.fromkeys(reply.node for reply in missing):
        span = _span(grounds.lesson, node)
        if span is not None:
            here = [reply for reply in missing if reply.node == node]
            yield _finding(grounds.lesson, span, here, str(found.filter))


def _finding(lesson: Lesson, span: Span, missing: list[Reply], chosen: str) -> Finding:
    replies = " and by ".join(f"{one.label} ({_why(one)})" for one in missing)
    message = (
        f"'{lesson.script.source.words(span)}' is often answered by {replies}, {chosen}, which "
        f"the lesson does not show; show it, or say that it comes later"
    )
    arrows = tuple(f"{one.uci[:2]}-{one.uci[2:4]}" for one in missing)
    evidence = Evidence(missing[0].reason, missing[0].fen, (), arrows)
    return Finding("frequent-reply-missing", SEVERITY, span, message, evidence)


def _why(reply: Reply) -> str:
    return f"{reply.share}: {reply.reason}" if reply.reason else str(reply.share)


def _span(lesson: Lesson, node: int) -> Span | None:
    """Where the move to a node is written; for the start, the first move."""
    return next(
        (m.span for m in lesson.moves if m.node == node or (node == 0 and m.base == 0)), None
    )


def _mentioned(lesson: Lesson, reply: Reply) -> bool:
    epd = chess.Board(reply.fen).epd()
    return any(
        mention.move is not None
        and mention.move.uci() == reply.uci
        and chess.Board(mention.fen).epd() == epd
        for mention in lesson.mentions
    )
