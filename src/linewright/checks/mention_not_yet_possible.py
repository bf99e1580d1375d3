"""A move mentioned in passing that needs another own move first.

Plans are told this way ("the rook comes to h3"), so it is only a note; but a pupil may try to
play the move at once.

```flags
After 1.d4 d5 2.c4 e6 White dreams of ⟦Bb5⟧.
```

```clean
After 1.d4 d5 2.c4 e6 White dreams of Nc3.
```

Limits: looks one own move ahead, the other side passing.

Source: common practice, no source.
"""

from collections.abc import Iterator

from linewright.analyst.hypotheses import unexplained
from linewright.checks import Grounds, from_slips
from linewright.finding import Finding, Severity
from linewright.lesson import SlipKind

SEVERITY = Severity.NOTE


def check(grounds: Grounds) -> Iterator[Finding]:
    """Findings for slips of the kind *mention-later*."""
    found = from_slips(
        grounds, SlipKind.MENTION_LATER, "mention-not-yet-possible", SEVERITY, "is not possible yet"
    )
    yield from unexplained(grounds.lesson, found)
