"""A figure of a pawn ending where no board of kings and pawns is at hand.

There would be no verdict, and students would find a line saying so instead of a board.

```flags
---
for: White
---
After 1.d4 d5 2.c4 e6 the pawns decide. ⟦![Who wins?](pawn-ending)⟧
```

```clean
---
for: White
---
After 1.d4 d5 2.c4 e6 [picture it with just kings and pawns](?only=KP).
![Who wins?](pawn-ending)
```

Limits: a what-if board earlier in the same part counts, wherever it stands.

Source: the script language of this project.
"""

from collections.abc import Iterator

from linewright.analyst.ending_figures import ending_boards
from linewright.checks import Grounds
from linewright.finding import Evidence, Finding, Severity

SEVERITY = Severity.WARNING


def check(grounds: Grounds) -> Iterator[Finding]:
    """Findings at the figures that no board of kings and pawns stands for."""
    lesson = grounds.lesson
    for figure, board in ending_boards(lesson):
        if board is not None:
            continue
        words = lesson.script.source.words(figure.span)
        message = (
            f"'{words}' is not drawn: no board of kings and pawns stands here or is imagined "
            "before it in this part; imagine one, as [in words](?only=KP)"
        )
        evidence = Evidence(
            "a pawn ending has kings and pawns only", lesson.at(figure.span.start).fen
        )
        yield Finding("pawn-ending-with-pieces", SEVERITY, figure.span, message, evidence)
