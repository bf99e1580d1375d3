"""A `?`, `??` or `?!` with a space before it, which may be the sign of a mistake.

Behind a space it is read as the mark of a question, and the game file has no sign. `!`, `!!` and
`!?` belong to their move with a space and without.

```flags
The line goes 1.e4 e5 ⟦2.Qh5 ?⟧ Nc6 3.Bc4 g6.
```

```clean
The line goes 1.e4 e5 2.Qh5? Nc6 3.Bc4 g6 4.Qf3 ! Nf6.
```

```clean
What about 1.e4 e5 2.Bc4 ? It is fine.
```

Limits: a heard talk writes its questions so (`talk:` in the head), and is not looked at.

Source: PGN standard (1994), section 8.2.3.8, for the signs.
"""

from collections.abc import Iterator

from linewright.checks import Grounds, from_faults
from linewright.finding import Finding, Severity

SEVERITY = Severity.WARNING


def check(grounds: Grounds) -> Iterator[Finding]:
    """Findings for faults of the kind *sign-apart*."""
    if not grounds.lesson.front.talk:
        yield from from_faults(grounds, "sign-apart", "sign-apart-from-move", SEVERITY)
