"""A what-if board that could not stand on a chess board.

A board without a king, or with a king that could be taken, cannot be judged or played from, and
students notice.

```flags
After 1.d4 d5 2.c4 e6 picture it ⟦[with just the pawns](?only=P)⟧ for a moment.
```

```clean
After 1.d4 d5 2.c4 e6 picture it [with just kings and pawns](?only=KP) for a moment.
```

Limits: a board that no game can lead to (two dark-squared bishops and eight pawns) passes.

Source: FIDE Laws of Chess, articles 2.2, 3.9 and 5.1.
"""

from collections.abc import Iterator

from linewright.checks import Grounds, from_slips
from linewright.finding import Finding, Severity
from linewright.lesson import SlipKind

SEVERITY = Severity.ERROR


def check(grounds: Grounds) -> Iterator[Finding]:
    """Findings for slips of the kind *what-if*."""
    yield from from_slips(
        grounds, SlipKind.WHAT_IF, "impossible-what-if-board", SEVERITY, "is no possible board"
    )
