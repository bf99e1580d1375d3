"""A side line in parentheses that is not closed in its paragraph.

What follows in the paragraph is followed on the side line, where the main line may be meant; at
the end of the paragraph the board goes back.

```flags
After 1.d4 d5 2.c4 e6 ⟦(⟧2...c6 3.Nf3 Nf6 the centre is firm.
```

```clean
After 1.d4 d5 2.c4 e6 (2...c6 3.Nf3 Nf6) the centre is firm.
```

Limits: parentheses without moves are left alone.

Source: PGN standard (1994), section 8.2.5.
"""

from collections.abc import Iterator

from linewright.checks import Grounds, from_faults
from linewright.finding import Finding, Severity

SEVERITY = Severity.WARNING
IN_EXERCISES = ("task", "answer")


def check(grounds: Grounds) -> Iterator[Finding]:
    """Findings for faults of the kind *side-line*."""
    yield from from_faults(grounds, "side-line", "unclosed-side-line", SEVERITY)
