"""A move that two or more pieces of the kind can make.

Students do not know which piece to move, and half of them will move the other one.

```flags
After 1.d4 d5 2.Nf3 Nf6 3.e3 e6 4.Bd3 Bd6 White can bring a knight to d2: ⟦5.Nd2⟧ is usual.
```

```clean
After 1.d4 d5 2.Nf3 Nf6 3.e3 e6 4.Bd3 Bd6 White can bring a knight to d2: 5.Nbd2 is usual.
```

Limits: a piece that is pinned and cannot move does not count, as the standard says. A pawn that
reaches the last rank without naming its new piece is reported here too.

Source: PGN standard (1994), section 8.2.3.4.
"""

from collections.abc import Iterator

from linewright.checks import Grounds, from_slips
from linewright.finding import Finding, Severity
from linewright.lesson import SlipKind

SEVERITY = Severity.ERROR
IN_EXERCISES = ("task", "answer")


def check(grounds: Grounds) -> Iterator[Finding]:
    """Findings for slips of the kind *ambiguous*."""
    yield from from_slips(
        grounds, SlipKind.AMBIGUOUS, "ambiguous-move", SEVERITY, "could be more than one move"
    )
