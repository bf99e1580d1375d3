"""Something that looks like a move and is none.

A square that does not exist or a mistyped letter is easily overlooked, and whatever is not read
as a move is not checked.

```flags
The main line is 1.d4 d5 2.c4 e6 ⟦3.Nc9⟧ as usual.
```

```clean
The main line is 1.d4 d5 2.c4 e6 3.Nc3 as usual.
```

Limits: only what begins like a move and holds a digit is suspected.

Source: PGN standard (1994), section 8.2.3.
"""

from collections.abc import Iterator

from linewright.checks import Grounds, from_faults
from linewright.finding import Finding, Severity

SEVERITY = Severity.ERROR


def check(grounds: Grounds) -> Iterator[Finding]:
    """Findings for faults of the kind *move*."""
    yield from from_faults(grounds, "move", "unreadable-move", SEVERITY)
