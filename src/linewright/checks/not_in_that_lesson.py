"""Moves said to stand in another lesson of the series, which does not have them.

Pupils look them up and find something else, or the lesson was changed since.

```flags
===== lesson-1.md
The line is 1.d4 d5 2.c4 e6 3.Nc3 Nf6 4.Bg5.

===== lesson-2.md
After 1.d4 d5 2.c4 e6 3.Nc3 Nf6 it is 4.cxd5 exd5. In lesson 1 we played ⟦4.Bf4 Be7⟧.
```

```clean
===== lesson-1.md
The line is 1.d4 d5 2.c4 e6 3.Nc3 Nf6 4.Bg5.

===== lesson-2.md
After 1.d4 d5 2.c4 e6 3.Nc3 Nf6 it is 4.cxd5 exd5. In lesson 1 we played 4.Bg5 there.
```

Limits: only where several lessons are checked together and the one that is meant is among them. A
lesson is found by its number ("lesson 2", "our first lesson"), as the one before ("last time") or
by a name in its title ("our Slav lesson"). Its number is the one in its title ("Lesson 2: ...",
"2. The pin"), else in its file's name; where no lesson has one, they are numbered by `date`. Any
place in that lesson will do, on the same board or with the same move number.

Source: none.
"""

from __future__ import annotations

from collections.abc import Iterator

from linewright.checks import Grounds
from linewright.finding import Evidence, Finding, Passage, Severity
from linewright.opinions import key_of
from linewright.recalling import Recalled, recalled
from linewright.series import Member, Series

SEVERITY = Severity.WARNING
NEEDS = ("series",)


def check(grounds: Grounds) -> Iterator[Finding]:
    """A finding for each run of moves that the lesson named for it does not have."""
    series, lesson = grounds.series, grounds.lesson
    if series is None:
        return
    mine = series.member(lesson)
    for told in recalled(lesson):
        meant = _meant(series, mine, told)
        if meant is None or meant is mine:
            continue
        fen = None if told.node is None else lesson.tree.nodes[told.node].fen
        key = key_of(fen) if fen else None
        if not told.moves or meant.has(told.moves, told.ply, key):
            continue
        others = (one for one in series.members if one not in (mine, meant))
        other = next((one for one in others if one.has(told.moves, told.ply, key)), None)
        yield _finding(mine, told, meant, other, fen)


def _meant(series: Series, mine: Member, told: Recalled) -> Member | None:
    """The lesson that is meant, None where it is not among those at hand."""
    if told.number is not None:
        return series.numbered(told.number)
    return series.before(mine) if told.before else series.named(told.name)


def _finding(
    mine: Member, told: Recalled, meant: Member, other: Member | None, fen: str | None
) -> Finding:
    words = " ".join(mine.source.words(told.span).split())
    also = _instead(told, meant, fen)
    fact = f"{meant.called} does not have it"
    if also is not None:
        fact += f": there stands '{also.words}' ({also.place})"
    repair = f"it stands in {other.called}" if other else "mend the move, or name the right lesson"
    message = f"'{words}' is said to be in another lesson, but {fact}; {repair}"
    return Finding(
        "not-in-that-lesson", SEVERITY, told.span, message, Evidence(fact, fen), also=also
    )


def _instead(told: Recalled, meant: Member, fen: str | None) -> Passage | None:
    """What the lesson that is meant has where it parts from the moves."""
    key = key_of(fen) if fen else None
    along = meant.followed(told.moves, told.ply, key)
    board = key_of(along[-1].fen) if along else key
    start = min(meant.shown.get(board, {}).values(), default=None) if board else None
    if start is None:
        return None
    placed = meant.lesson.told_at(start).move_at(start)
    return Passage(meant.source, placed.span) if placed else None
