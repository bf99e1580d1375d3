"""A move that can be played, but the moves after it cannot be played then.

One wrong square early in a line spoils everything after it. Where one other move makes the moves
that follow possible, that move is the likelier slip, and the finding stands there instead of at
every move after it.

```flags
The main line is 1.d4 d5 ⟦2.c3⟧ e6 3.Nc3 Nf6 4.cxd5 exd5 5.Bg5.
```

```clean
The main line is 1.d4 d5 2.c4 e6 3.Nc3 Nf6 4.cxd5 exd5 5.Bg5.
```

Limits: only the last eight moves before the one that fits nowhere are doubted, and only where a
repair of theirs is clearly likelier than one of that move itself.

Source: FIDE Laws of Chess, articles 3.1 to 3.10.
"""

from collections.abc import Iterator

from linewright.checks import Grounds, from_slips
from linewright.finding import Finding, Severity
from linewright.lesson import SlipKind

SEVERITY = Severity.ERROR
IN_EXERCISES = ("task", "answer")


def check(grounds: Grounds) -> Iterator[Finding]:
    """Findings for slips of the kind *contradicted*."""
    yield from from_slips(
        grounds, SlipKind.CONTRADICTED, "move-others-contradict", SEVERITY, "does not fit the rest"
    )
