"""A move number, or a side, that cannot be: no line of the lesson takes a move at that number.

A wrong number sends the reader to another position. The move itself is followed if it can be
played where the lesson stands.

```flags
The main line is 1.d4 d5 2.c4 e6 ⟦4.Nc3⟧.
```

```flags
After 1.d4 d5 2.c4 e6 3.Nc3 comes ⟦3.Nf6⟧.
```

```clean
After 1.d4 d5 2.c4 e6 3.Nc3 comes 3...Nf6. Earlier, 2...c6 was possible.
```

Limits: a wrong number that happens to lead to a legal move on an earlier line reads as going
back, which the script language allows everywhere.

Source: PGN standard (1994), section 8.2.2.
"""

from collections.abc import Iterator

from linewright.checks import Grounds, from_slips
from linewright.finding import Finding, Severity
from linewright.lesson import SlipKind

SEVERITY = Severity.ERROR
IN_EXERCISES = ("task", "answer")


def check(grounds: Grounds) -> Iterator[Finding]:
    """Findings for slips of the kind *number*."""
    yield from from_slips(
        grounds, SlipKind.NUMBER, "wrong-move-number", SEVERITY, "does not fit here"
    )
