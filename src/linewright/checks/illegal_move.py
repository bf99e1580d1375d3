"""A move that cannot be played on the board where it stands.

Students who follow on their own board get lost at this place, and everything after it is about
another position. The finding says what forbids the move and offers legal moves, likeliest first:
those nearest in piece and square after which the moves that follow in the text can be played.

```flags
The main line is 1.d4 d5 2.c4 e6 ⟦3.Nd3⟧ Nf6 4.Bg5.
```

```clean
The main line is 1.d4 d5 2.c4 e6 3.Nc3 Nf6 4.Bg5.
```

Limits: a legal move that is not the one meant is not found here. Where what follows leaves one
repair only, the lesson is followed with it, so that one slip does not hide the rest.

Source: FIDE Laws of Chess, articles 3.1 to 3.10.
"""

from collections.abc import Iterator

from linewright.checks import Grounds, from_slips
from linewright.finding import Finding, Severity
from linewright.lesson import SlipKind

SEVERITY = Severity.ERROR
IN_EXERCISES = ("task", "answer")


def check(grounds: Grounds) -> Iterator[Finding]:
    """Findings for slips of the kind *illegal*."""
    yield from from_slips(grounds, SlipKind.ILLEGAL, "illegal-move", SEVERITY, "is illegal")
