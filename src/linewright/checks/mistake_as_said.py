"""A move marked as a mistake, with the line that proves it one.

No fault: the proof, for the teacher's own sheet. A trap is only as good as its last move.

```flags
After 1.d4 d5 2.c4 e6 3.Nc3 Nf6 4.Bg5 Nbd7 5.cxd5 exd5 the pawn is poisoned:
⟦6.Nxd5?⟧ Nxd5 7.Bxd8 Bb4+.
```

```clean
After 1.d4 d5 2.c4 e6 3.Nc3 Nf6 4.Bg5 Nbd7 5.cxd5 exd5 White develops with 6.e3.
```

Limits: needs an analyst; a note, never more; a move whose notation claims what is not so is left to
`wrong-move-suffix`.

Source: an engine's answer, with its depth and nodes beside it.
"""

from collections.abc import Iterator
from dataclasses import replace
from itertools import takewhile

from linewright.analyst.questions import Soundness, won_points
from linewright.analyst.review import Shown, arrow, best_move_san, cost_in_words, shown_moves
from linewright.checks import Grounds
from linewright.finding import Evidence, Finding, Severity
from linewright.lesson import Lesson, Node
from linewright.moves import false_claim

SEVERITY = Severity.NOTE
NEEDS = ("analyst",)


def check(grounds: Grounds) -> Iterator[Finding]:
    """Notes for moves marked `?` or `??` that the analyst finds bad too."""
    analyst, lesson = grounds.analyst, grounds.lesson
    if analyst is None:
        return
    for shown in shown_moves(lesson):
        if shown.node.suffix not in {"?", "??"} or _misnamed(lesson, shown):
            continue
        error = analyst.error(shown.before, shown.move, lesson.front.students)
        if error is None:
            continue
        found = _as_taught(lesson, shown.node, error.soundness)
        words = lesson.script.source.words(shown.span)
        message = (
            f"'{words}' is a mistake, as it says: it {cost_in_words(found)}: {found.shown()}; "
            f"better is {best_move_san(found)}"
        )
        evidence = Evidence(
            found.analysis.cited(), shown.node.fen, (), (arrow(found.move),), found.shown()
        )
        yield Finding("mistake-as-said", SEVERITY, shown.span, message, evidence)


def _misnamed(lesson: Lesson, shown: Shown) -> bool:
    """Whether the notation claims what is not so: then another move may have been meant."""
    placed = lesson.move_at(shown.span.start)
    return placed is not None and bool(false_claim(placed.written, shown.before, shown.move))


def _as_taught(lesson: Lesson, node: Node, found: Soundness) -> Soundness:
    """The same with the lesson's own line as proof, where that wins no less."""
    written = takewhile(lambda after: not after.assumed, lesson.tree.main_line(node.index))
    own = tuple(after.move.uci() for after in written if after.move)
    board = node.board()
    if own and won_points(board, own) >= max(won_points(board, found.refutation), 1):
        return replace(found, refutation=own)
    return found
