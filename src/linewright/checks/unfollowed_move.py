"""Moves that cannot be followed because one before them is wrong.

Nothing is wrong with the moves themselves as far as can be told; they are followed again when the
move before them is mended. One finding stands for all of them, at the first.

```flags
The main line is 1.d4 d5 2.c4 e6 3.Qd7 ⟦Qc8⟧.
```

```clean
The main line is 1.d4 d5 2.c4 e6 3.Nc3 Nf6.
```

Limits: where one repair of the wrong move is likelier than all others, the rest is followed after
it and this finding does not appear.

Source: follows from *illegal-move*.
"""

from collections.abc import Iterator

from linewright.checks import Grounds
from linewright.finding import Evidence, Finding, Severity
from linewright.lesson import SlipKind

SEVERITY = Severity.WARNING
IN_EXERCISES = ("task", "answer")


def check(grounds: Grounds) -> Iterator[Finding]:
    """A finding for each stretch of moves that cannot be followed."""
    lesson = grounds.lesson
    source = lesson.script.source
    for stretch in lesson.lost:
        slips = [s for s in lesson.slips if s.span.start in stretch]
        slips = [s for s in slips if s.kind is SlipKind.UNFOLLOWED]
        if not slips:
            continue
        first = slips[0]
        more = f" and {len(slips) - 1} more" if len(slips) > 1 else ""
        message = f"'{source.words(first.span)}'{more} cannot be followed: {first.reason}"
        yield Finding(
            "unfollowed-move", SEVERITY, first.span, message, Evidence(first.reason, first.fen)
        )
