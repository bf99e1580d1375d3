"""A starting position in the front matter that is no possible position.

Every move of the lesson is followed from there. The lesson is read from the initial position
instead, so that the rest can be checked.

```flags
---
⟦start⟧: 8/8/8/8/8/8/8/K7 w - - 0 1
---
It is White to move.
```

```clean
---
start: 4k3/8/8/8/8/8/4P3/4K3 w - - 0 1
---
It is White to move.
```

Limits: whether a game can lead to the position is not asked.

Source: PGN standard (1994), section 16.1; FIDE Laws of Chess, article 2.2.
"""

from collections.abc import Iterator

from linewright.checks import Grounds, from_slips
from linewright.finding import Finding, Severity
from linewright.lesson import SlipKind

SEVERITY = Severity.ERROR
IN_EXERCISES = ("task", "answer")


def check(grounds: Grounds) -> Iterator[Finding]:
    """Findings for slips of the kind *start*."""
    yield from from_slips(
        grounds, SlipKind.START, "impossible-start", SEVERITY, "cannot be the start"
    )
