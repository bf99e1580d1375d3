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

from linewright.checks import Grounds
from linewright.finding import Evidence, Finding, Severity
from linewright.lesson import SlipKind

SEVERITY = Severity.ERROR
IN_EXERCISES = ("task", "answer")


def check(grounds: Grounds) -> Iterator[Finding]:
    """Findings for faults of the kind *move*, with what fits the board in their place."""
    lesson = grounds.lesson
    slips = {slip.span: slip for slip in lesson.slips if slip.kind is SlipKind.UNREADABLE}
    for fault in lesson.script.faults:
        if fault.kind != "move":
            continue
        slip = slips.get(fault.span)
        repairs = slip.repairs if slip else fault.repairs
        message = fault.reason + (f"; perhaps {' or '.join(repairs)}" if repairs else "")
        evidence = Evidence(fault.reason, slip.fen) if slip else Evidence()
        yield Finding("unreadable-move", SEVERITY, fault.span, message, evidence, repairs)
