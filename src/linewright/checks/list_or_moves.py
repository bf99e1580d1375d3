"""A numbered list that could be the moves of a game, or moves that could be a list.

A list numbered 1., 2., 3. is read as moves where its items have the moves of both sides. One that
begins with moves and is something between says too little: the board may show what was not meant.

```flags
⟦1. d4 takes the centre.⟧
2. c4 attacks it.
```

```clean
1. d4 d5
2. c4 attacks it.
```

Limits: only lists whose numbers count from 1; a list that stands behind moves with no heading
between, and in which no item has the moves of both sides, is taken for a list without a word.

Source: CommonMark 0.31, section 5.3.
"""

from collections.abc import Iterator

from linewright.checks import Grounds, from_faults
from linewright.finding import Finding, Severity

SEVERITY = Severity.WARNING


def check(grounds: Grounds) -> Iterator[Finding]:
    """Findings for faults of the kind *list*."""
    yield from from_faults(grounds, "list", "list-or-moves", SEVERITY)
