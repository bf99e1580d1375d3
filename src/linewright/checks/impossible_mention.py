"""A move mentioned in passing that neither side can play where the lesson stands.

"Then Bg5 would be strong" misleads when the bishop is shut in. A mention is tried for the side to
move, for the other side, after the moves mentioned before it in its sentence, and against the
moves the lesson has shown.

```flags
After 1.d4 d5 2.c4 e6 3.Nc3 the rook lift ⟦Rh5⟧ would be strong.
```

```clean
After 1.d4 d5 2.c4 e6 3.Nc3 Nf6 the pin Bg5 would be strong.
```

Limits: a pawn move without a number ("d4") reads as the name of a square. A move that needs one
more own move first is reported by *mention-not-yet-possible*.

Source: FIDE Laws of Chess, articles 3.1 to 3.10.
"""

from collections.abc import Iterator

from linewright.analyst.hypotheses import unexplained
from linewright.checks import Grounds, from_slips
from linewright.finding import Finding, Severity
from linewright.lesson import SlipKind

SEVERITY = Severity.WARNING
IN_EXERCISES = ("task", "answer")


def check(grounds: Grounds) -> Iterator[Finding]:
    """Findings for slips of the kind *mention*."""
    found = from_slips(
        grounds, SlipKind.MENTION, "impossible-mention", SEVERITY, "is impossible for either side"
    )
    yield from unexplained(grounds.lesson, found)
