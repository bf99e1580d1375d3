"""A suffix or sign of advantage that does not fit the position.

`!` on a move that loses, `?` on the best one, `±` in a level position: students believe signs.

```flags
---
for: White
---
The line is 1.e4 e5 2.Nf3, and Black goes for ⟦2...Qh4!⟧ 3.Nxh4.
```

```flags
The line is 1.e4 e5 ⟦2.Nf3 +-⟧ and so on.
```

```clean
The line is 1.d4 d5 2.c4! e6 3.Nc3 Nf6 = and so on.
```

Limits: needs an analyst; signs are opinions, so they are read widely: `=` up to half a pawn, `±`
from half a pawn to two, and a sign that is off by little for these students is only a note. A bad
move with a reply that shows why is the business of `refutation-does-not-work`, one that is taught
and loses that of `taught-move-loses`, with its sign. In a heard
talk (`talk:` in the head) `!` is how it was said, and no sign.

Source: PGN standard (1994), section 10, for the signs; their ranges are common practice, no source.
"""

from collections.abc import Iterator

import chess

from linewright.analyst.questions import SIGN_NAMES, SIGN_RANGES, Analyst, InKeeping, deeper
from linewright.analyst.review import Shown, arrow, best_move_san, cost_in_words, shown_moves
from linewright.analyst.students import severity_of_loss
from linewright.checks import Grounds
from linewright.finding import Evidence, Finding, Severity
from linewright.lesson import Lesson

SEVERITY = Severity.WARNING
NEEDS = ("analyst",)
AFTER_OTHERS = True

SOUND_CP = 30
"""A move within this of the best deserves no question mark."""


def check(grounds: Grounds) -> Iterator[Finding]:
    """Findings for suffixes and signs, with the line that contradicts them."""
    analyst, lesson = grounds.analyst, grounds.lesson
    if analyst is None:
        return
    losing = {one.span for one in grounds.findings if one.rule == "taught-move-loses"}
    for shown in shown_moves(lesson):
        if shown.span not in losing:  # its sign goes when the move is mended
            yield from _suffix(analyst, lesson, shown)
        yield from _sign(analyst, lesson, shown)


def _suffix(analyst: Analyst, lesson: Lesson, shown: Shown) -> Iterator[Finding]:
    suffix = shown.node.suffix
    words = lesson.script.source.words(shown.span)
    if suffix in {"!", "!!"}:
        if lesson.front.talk:
            return
        error = analyst.error(shown.before, shown.move, lesson.front.students)
        if error is None:
            return
        found = error.soundness
        message = (
            f"'{words}' {cost_in_words(found)}, which deserves no '{suffix}': {found.shown()}; "
            f"better is {best_move_san(found)}"
        )
        evidence = Evidence(found.analysis.cited(), shown.node.fen, (), (), found.shown())
        yield Finding("sign-does-not-fit", SEVERITY, shown.span, message, evidence)
    elif suffix in {"?", "??"} and not shown.node.children:
        found = analyst.soundness(shown.before, shown.move, deeper(analyst.effort))
        if found.loss_cp > SOUND_CP:
            return
        message = f"'{words}' is as good as any move, which deserves no '{suffix}': {found.shown()}"
        arrows = (arrow(found.move),)
        evidence = Evidence(found.analysis.cited(), found.fen, (), arrows, found.shown())
        yield Finding("sign-does-not-fit", SEVERITY, shown.span, message, evidence)


def _sign(analyst: Analyst, lesson: Lesson, shown: Shown) -> Iterator[Finding]:
    sign = shown.node.sign
    board = shown.node.board()
    if not sign:
        return
    found = analyst.in_keeping(board, sign)
    if found is not None and not found.fits:
        found = analyst.in_keeping(board, sign, deeper(analyst.effort))
    if found is None or found.fits:
        return
    words = lesson.script.source.words(shown.span)
    line = found.analysis.text(0, 6)
    message = (
        f"'{words}' says that the position is {SIGN_NAMES[found.sign]}, but it is "
        f"{SIGN_NAMES[found.better_sign]} ({found.score}): {line}; perhaps {found.better_sign}"
    )
    evidence = Evidence(found.analysis.cited(), shown.node.fen, (), (), line)
    repairs = (words.replace(sign, found.better_sign),)
    severity = _severity(found, lesson.front.students)
    yield Finding("sign-does-not-fit", severity, shown.span, message, evidence, repairs)


def _severity(found: InKeeping, students: tuple[int, int] | None) -> Severity:
    """A note if sign and score hardly differ to the students."""
    low, high = SIGN_RANGES[found.sign]
    worth = found.score.worth(chess.WHITE)
    nearest = min(max(worth, low), high)
    matters = severity_of_loss(max(worth, nearest), min(worth, nearest), students)
    return Severity.NOTE if matters is None else SEVERITY
