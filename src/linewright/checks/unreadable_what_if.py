"""A what-if address with changes that cannot be read.

The board shown would not be the board meant.

```flags
After 1.d4 d5 picture it ⟦[without the queens](?remove=d1,d10)⟧ for a moment.
```

```clean
After 1.d4 d5 picture it [without the queens](?remove=d1,d8) for a moment.
```

Limits: what can be read of the address is still done.

Source: the script language of this project.
"""

from collections.abc import Iterator

from linewright.checks import Grounds, from_faults
from linewright.finding import Finding, Severity

SEVERITY = Severity.ERROR


def check(grounds: Grounds) -> Iterator[Finding]:
    """Findings for faults of the kind *what-if*."""
    yield from from_faults(grounds, "what-if", "unreadable-what-if", SEVERITY)
