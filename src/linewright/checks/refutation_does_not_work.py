"""A refutation that does not work: the move it punishes is good.

"If he takes, we have him": the students will let him take. When the line shown in answer leaves
them worse, the lesson has taught them to lose.

```flags
---
for: Black
---
After 1.e4 e5 2.Nf3 Nf6 White may not take: ⟦3.Nxe5?⟧ Nxe4 4.Qe2 Nf6 5.Nc6+ Be7 6.Nxd8 Kxd8.
```

```flags
---
for: Black
---
After 1.d4 d5 2.c4 e6 3.Nc3 Nf6 4.Bg5 Nbd7 5.cxd5 exd5 all is safe. If he takes the pawn,
⟦Bb4+ wins the bishop⟧.
```

```clean
---
for: Black
---
After 1.d4 d5 2.c4 e6 3.Nc3 Nf6 4.Bg5 Nbd7 5.cxd5 exd5 all is safe. If he takes the pawn, Nxd5 wins
a piece.
```

```clean
---
for: Black
---
After 1.d4 d5 2.c4 e6 3.Nc3 Nf6 4.Bg5 Nbd7 5.cxd5 exd5 all is safe. If White takes, 6.Nxd5 Nxd5
7.Bxd8 Bb4+ 8.Qd2 Bxd2+ wins a piece.
```

Limits: needs an analyst; looks at moves marked `?` or `??`, and at the other side's moves that
follow the word if, that have an answer in the lesson; and at sentences such as "if he takes the
pawn, Qa4+ wins the bishop", where the side, the capture and what is won can be understood. Where
the words may mean several captures, all must fail. In a script that was heard a move behind the
word if is only one that may happen. How a game went on (`white` or `black` in the head) is no
answer that is recommended. How much a finding matters goes by the students' rating and by what is
lost: it may be a warning or a note.

Source: an engine's answer, with its depth and nodes beside it; the measure is common practice, no
source.
"""

from collections.abc import Iterator
from itertools import takewhile

import chess

from linewright.analyst.answer import san_line
from linewright.analyst.claims import won_as_said
from linewright.analyst.hypotheses import Hypothesis, hypotheses
from linewright.analyst.questions import Analyst, deeper
from linewright.analyst.review import (
    Shown,
    arrow,
    best_move_san,
    cost_in_words,
    game_moves,
    is_hypothetical,
    shown_moves,
    taught_side,
)
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
        if shown.node.children and is_punished(lesson, shown) and not _is_a_game(lesson, shown):
            yield from _judged(analyst, lesson, shown)
    for hypothesis in hypotheses(lesson):
        yield from _supposed(analyst, lesson, hypothesis)


def _is_a_game(lesson: Lesson, shown: Shown) -> bool:
    """Whether the line behind a move is how a game went, and no answer that is recommended."""
    return shown.node.children[0] in game_moves(lesson)


def _supposed(analyst: Analyst, lesson: Lesson, told: Hypothesis) -> Iterator[Finding]:
    """Does what is said to come of a supposed move come of it, for any move it may be?"""
    failed = []
    for line in told.lines():
        found = _failure(analyst, lesson, told, line)
        if found is None:
            return
        failed.append(found)
    if not failed:
        return
    why, shown, cited, severity = failed[0]
    message = f"'{lesson.script.source.words(told.told)}' does not work: {why}"
    evidence = Evidence(cited, told.board.fen(), (), (), shown)
    yield Finding("refutation-does-not-work", severity, told.told, message, evidence)


def _failure(
    analyst: Analyst, lesson: Lesson, told: Hypothesis, line: tuple[chess.Move, ...]
) -> tuple[str, str, str, Severity] | None:
    """Why a line does not do what was said of it, with the line and who says so."""
    board, students = told.board, lesson.front.students
    punisher = not board.turn
    if told.won:
        found = analyst.won(board, punisher if told.gains else board.turn, line)
        if found is None or won_as_said(found, told.won) is not False:
            return None
        shown = san_line(board.fen(), found.line, len(line) + 4)
        score = found.analysis.best.score if found.analysis.best else "the game is over"
        return f"{shown} ({score})", shown, found.analysis.cited(), SEVERITY
    if len(line) < 2:
        return None
    after = board.copy(stack=False)
    after.push(line[0])
    error = analyst.error(after, line[1], students)
    if error is None:
        return None
    sound = error.soundness
    why = f"it {cost_in_words(sound)}: {sound.shown()}; better is {best_move_san(sound)}"
    return why, sound.shown(), sound.analysis.cited(), error.severity


def is_punished(lesson: Lesson, shown: Shown) -> bool:
    """Whether a move is shown as one that is answered by force."""
    if shown.node.suffix in {"?", "??"}:
        return True
    side = taught_side(lesson)
    if side is None or shown.white == side:
        return False
    if lesson.front.talk:
        return False  # in speech "if" brings in whatever may happen
    return is_hypothetical(lesson, shown)


def _judged(analyst: Analyst, lesson: Lesson, shown: Shown) -> Iterator[Finding]:
    """The line of the lesson after the move: does it leave the punisher at least as well off as
    he was before it?"""
    students = lesson.front.students
    punisher = not shown.white
    line = lesson.tree.main_line(shown.node.index)
    written = list(takewhile(lambda node: not node.assumed, line))
    if not written:
        return
    end = written[-1]
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
