"""A move taught to the students that loses material or the game.

Students play what they are shown. A move that loses to a reply the lesson does not know does so
at the board, again and again, until somebody tells them.

```flags
---
for: White
---
After 1.e4 e5 2.Nf3 Nc6 3.Bc4 Nf6 White strikes at once with ⟦4.Bxf7+⟧ Kxf7.
```

```clean
---
for: White
---
After 1.e4 e5 2.Nf3 Nc6 3.Bb5 a6 White keeps the bishop with 4.Ba4 Nf6.
```

Limits: needs an analyst; a move marked `?`, `??` or `?!`, and everything after it, is not taught
as one to play, nor is a move of the game that the lesson shows (`white` or `black` in its
head), unless its words praise it, nor one behind words that tell of a game ("here Wilmot played"),
unless they praise or recommend it. How much an error matters goes by the students' rating: an error
costs them 15 hundredths of the point, a warning 9.

Source: an engine's answer, with its depth and nodes beside it; the measure is common practice, no
source.
"""

from collections.abc import Iterator

from linewright.analyst.review import (
    LOST_CP,
    arrow,
    best_move_san,
    cost_in_words,
    taught_errors,
)
from linewright.checks import Grounds
from linewright.finding import Evidence, Finding, Severity

SEVERITY = Severity.ERROR
NEEDS = ("analyst",)
IN_EXERCISES = ("answer",)


def check(grounds: Grounds) -> Iterator[Finding]:
    """Findings for taught moves after which their side stands worse, with the refutation."""
    lesson = grounds.lesson
    for shown, error in taught_errors(lesson, grounds.analyst):
        if error.soundness.played_cp > LOST_CP:
            continue
        found = error.soundness
        words = lesson.script.source.words(shown.span)
        best = best_move_san(found)
        message = f"'{words}' {cost_in_words(found)}: {found.shown()}; better is {best}"
        evidence = Evidence(
            found.analysis.cited(), shown.node.fen, (), (arrow(found.move),), found.shown()
        )
        repair = (best.rstrip("+#"),)
        yield Finding("taught-move-loses", error.severity, shown.span, message, evidence, repair)
