"""A private note that is never closed.

In the middle of a paragraph students would read it; on a line of its own it swallows the rest of
the lesson.

```flags
The main line is 1.d4 d5.

⟦<!--⟧ mention the club match
```

```clean
The main line is 1.d4 d5.

<!-- mention the club match -->
```

Limits: none known.

Source: CommonMark 0.31, section 4.6.
"""

from collections.abc import Iterator

from linewright.checks import Grounds, from_faults
from linewright.finding import Finding, Severity

SEVERITY = Severity.WARNING


def check(grounds: Grounds) -> Iterator[Finding]:
    """Findings for faults of the kind *unclosed-comment*."""
    yield from from_faults(grounds, "unclosed-comment", "unclosed-comment", SEVERITY)
