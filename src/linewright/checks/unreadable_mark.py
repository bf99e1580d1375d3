"""A mark whose address cannot be read.

The mark is not drawn, and students do not see what the words point at.

```flags
After 1.d4 d5 look at ⟦[this pawn](#d9)⟧ well.
```

```clean
After 1.d4 d5 look at [this pawn](#d5) well.
```

Limits: an address that begins with `#` is always read as marks.

Source: the script language of this project.
"""

from collections.abc import Iterator

from linewright.checks import Grounds, from_faults
from linewright.finding import Finding, Severity

SEVERITY = Severity.ERROR


def check(grounds: Grounds) -> Iterator[Finding]:
    """Findings for faults of the kind *mark*."""
    yield from from_faults(grounds, "mark", "unreadable-mark", SEVERITY)
