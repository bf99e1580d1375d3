"""A move that cannot be followed because the one before it is wrong.

Nothing is wrong with the move itself as far as can be told; it is followed again when the move
before it is mended.

```flags
The main line is 1.d4 d5 2.c4 e6 3.Qd7 ⟦Qc8⟧.
```

```clean
The main line is 1.d4 d5 2.c4 e6 3.Nc3 Nf6.
```

Limits: where only one repair of the wrong move lets the rest be played, the rest is followed and
this finding does not appear.

Source: follows from *illegal-move*.
"""

from collections.abc import Iterator

from linewright.checks import Grounds, from_slips
from linewright.finding import Finding, Severity
from linewright.lesson import SlipKind

SEVERITY = Severity.WARNING


def check(grounds: Grounds) -> Iterator[Finding]:
    """Findings for slips of the kind *unfollowed*."""
    yield from from_slips(
        grounds, SlipKind.UNFOLLOWED, "unfollowed-move", SEVERITY, "cannot be followed"
    )
