"""A taught move where another is clearly better.

The move does no harm, but the students' side had something much stronger: a piece for nothing, a
mate. They will meet the position, and somebody else will show it to them.

```flags
---
for: White
---
After 1.e4 e5 2.Nf3 Nf6 3.Nxe5 Nxe4 4.Qe2 Nf6 White opens a diagonal with ⟦5.d3⟧ d6.
```

```clean
---
for: White
---
After 1.d4 d5 2.c4 e6 White develops with 3.Nc3 Nf6.
```

Limits: needs an analyst; moves after which the side stands worse are the business of
`taught-move-loses`. A better move that the lesson shows beside it is not missed. Small differences
are not reported: they are taste.

Source: an engine's answer, with its depth and nodes beside it; the measure is common practice, no
source.
"""

from collections.abc import Iterator

from linewright.analyst.review import LOST_CP, Shown, arrow, best_move_san, taught_errors
from linewright.checks import Grounds
from linewright.finding import Evidence, Finding, Severity
from linewright.lesson import Lesson

SEVERITY = Severity.WARNING
NEEDS = ("analyst",)
IN_EXERCISES = ("answer",)


def check(grounds: Grounds) -> Iterator[Finding]:
    """Findings for taught moves that leave much of an advantage unused."""
    lesson = grounds.lesson
    for shown, error in taught_errors(lesson, grounds.analyst):
        if error.soundness.played_cp <= LOST_CP:
            continue
        found = error.soundness
        if _is_shown(lesson, shown, found.instead[0]):
            continue
        words = lesson.script.source.words(shown.span)
        best = best_move_san(found)
        message = (
            f"'{words}' is playable, but {best} is worth {found.loss_cp / 100:.1f} pawns more: "
            f"{found.better()}"
            if abs(found.best_cp) < 50_000
            else f"'{words}' misses a forced mate: {found.better()}"
        )
        arrows = (arrow(found.instead[0]),)
        evidence = Evidence(found.analysis.cited(), found.fen, (), arrows, found.better())
        yield Finding(
            "better-move-missed", SEVERITY, shown.span, message, evidence, (best.rstrip("+#"),)
        )


def _is_shown(lesson: Lesson, shown: Shown, uci: str) -> bool:
    """Whether the lesson shows the better move beside this one."""
    parent = lesson.tree.nodes[shown.node.parent or 0]
    beside = (lesson.tree.nodes[child].move for child in parent.children)
    return any(move is not None and move.uci() == uci for move in beside)
