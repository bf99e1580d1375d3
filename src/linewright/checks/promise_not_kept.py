"""Moves promised for another lesson of the series, which no later lesson has.

```flags
===== lesson-1.md
The line is 1.e4 c6 2.d4 d5 3.Nc3 dxe4. Next time we look at ⟦3.e5⟧ as well.

===== lesson-2.md
Today it is 1.e4 c6 2.d4 d5 3.exd5 cxd5.
```

```clean
===== lesson-1.md
The line is 1.e4 c6 2.d4 d5 3.Nc3 dxe4. Next time we look at 3.exd5 as well.

===== lesson-2.md
Today it is 1.e4 c6 2.d4 d5 3.exd5 cxd5.
```

Limits: only where several lessons are checked together, and not in the last of them; "next time" is
not held against one whose next number is missing, "lesson 5" only where there is one. Any later
lesson will do, and for "a lesson of its own" any other.

Source: none.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from linewright.checks import Grounds
from linewright.finding import Evidence, Finding, Severity
from linewright.opinions import key_of
from linewright.recalling import Recalled, promised
from linewright.series import Member, Series

SEVERITY = Severity.NOTE
NEEDS = ("series",)


def check(grounds: Grounds) -> Iterator[Finding]:
    """A note for each promise that the lessons at hand do not keep."""
    series, lesson = grounds.series, grounds.lesson
    if series is None:
        return
    mine = series.member(lesson)
    for told in promised(lesson):
        asked = [one for one in _asked(series, mine, told) if one is not mine]
        fen = None if told.node is None else lesson.tree.nodes[told.node].fen
        key = key_of(fen) if fen else None
        if not told.moves or not asked or any(one.has(told.moves, told.ply, key) for one in asked):
            continue
        words = " ".join(lesson.script.source.words(told.span).split())
        if told.number is not None:
            where, has = asked[0].called, "does not have it"
        else:
            where, has = f"no {'other' if told.anywhere else 'later'} lesson here", "has it"
        message = (
            f"'{words}' is promised for another lesson, but {where} {has}: "
            "leave the promise out, or keep it"
        )
        evidence = Evidence(f"{where} {has}", fen)
        yield Finding("promise-not-kept", SEVERITY, told.span, message, evidence)


def _asked(series: Series, mine: Member, told: Recalled) -> Sequence[Member]:
    """The lessons that can keep a promise; none where that one may not be at hand."""
    if told.number is not None:
        later = series.members[series.members.index(mine) + 1 :]
        return [one for one in later if one.number == told.number]
    if told.anywhere:
        return series.members
    return () if told.coming and not series.has_next(mine) else series.after(mine)
