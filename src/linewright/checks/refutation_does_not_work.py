"""A refutation that does not work: the move it punishes is good.

"If he takes, we have him": the students will let him take. When the line shown in answer leaves
them worse, the lesson has taught them to lose.

```flags
---
for: Black
---
After 1.e4 e5 2.Nf3 Nf6 White may not take: ⟦3.Nxe5?⟧ Nxe4 4.Qe2 Nf6 5.Nc6+ Be7 6.Nxd8 Kxd8.
```

```clean
---
for: Black
---
After 1.d4 d5 2.c4 e6 3.Nc3 Nf6 4.Bg5 Nbd7 5.cxd5 exd5 all is safe. If White takes, 6.Nxd5 Nxd5
7.Bxd8 Bb4+ 8.Qd2 Bxd2+ wins a piece.
```

Limits: needs an analyst; looks at moves marked `?` or `??`, and at the other side's moves that
follow the word if, that have an answer in the lesson.

Source: an engine's answer, with its depth and nodes beside it; the measure is common practice, no
source.
"""

from collections.abc import Iterator

import chess

from linewright.analyst.questions import Analyst, deeper
from linewright.analyst.review import Shown, arrow, is_hypothetical, shown_moves, taught_side
from linewright.analyst.students import severity_of_loss
from linewright.checks import Grounds
from linewright.finding import Evidence, Finding, Severity
from linewright.lesson import Lesson

SEVERITY = Severity.ERROR
NEEDS = ("analyst",)

SOUND_CP = 30


def check(grounds: Grounds) -> Iterator[Finding]:
    """Findings for punished moves that deserve no punishment, or whose punishment backfires."""
    analyst, lesson = grounds.analyst, grounds.lesson
    if analyst is None:
        return
    for shown in shown_moves(lesson):
        if shown.node.children and _is_punished(lesson, shown):
            yield from _judged(analyst, lesson, shown)


def _is_punished(lesson: Lesson, shown: Shown) -> bool:
    if shown.node.suffix in {"?", "??"}:
        return True
    side = taught_side(lesson)
    if side is None or shown.white == side:
        return False
    return is_hypothetical(lesson, shown)


def _judged(analyst: Analyst, lesson: Lesson, shown: Shown) -> Iterator[Finding]:
    """The line of the lesson after the move: does it leave the punisher at least as well off as
    he was before it?"""
    students = lesson.front.students
    punisher = not shown.white
    line = lesson.tree.main_line(shown.node.index)
    end = line[-1]
    for effort in (analyst.effort, deeper(analyst.effort)):
        before = analyst.ask(shown.before, effort).best
        after = analyst.ask(end.board(), effort)
        if before is None:
            return
        had = before.score.worth(punisher)
        has = after.best.score.worth(punisher) if after.best else _over(end.board(), punisher)
        backfires = severity_of_loss(had, has, students)
        sound = analyst.soundness(shown.before, shown.move, effort)
        marked = shown.node.suffix in {"?", "??"}
        unpunished = marked and sound.loss_cp <= SOUND_CP
        if backfires is None and not unpunished:
            return
    words = lesson.script.source.words(shown.span)
    if backfires is not None:
        shown_line = lesson.tree.text(end.index).split(" ")
        reply = after.text(0, 6) if after.best else end.san
        message = (
            f"'{words}' is not refuted by the line shown: after {end.label} "
            f"{'White' if punisher else 'Black'} is worse ({_in_pawns(has)}): {reply}"
        )
        evidence = Evidence(after.cited(), end.fen, (), (), " ".join(shown_line[-8:]))
    else:
        message = f"'{words}' is as good as any move and cannot be refuted: {sound.shown()}"
        arrows = (arrow(sound.move),)
        evidence = Evidence(sound.analysis.cited(), sound.fen, (), arrows, sound.shown())
    yield Finding("refutation-does-not-work", backfires or Severity.WARNING, shown.span, message,
                  evidence)  # fmt: skip


def _over(board: chess.Board, side: bool) -> int:
    """The worth of a finished game."""
    if not board.is_checkmate():
        return 0
    return -100_000 if board.turn == side else 100_000


def _in_pawns(worth: int) -> str:
    return "mated" if worth < -50_000 else f"{worth / 100:+.1f}"
