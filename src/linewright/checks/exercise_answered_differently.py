"""An exercise whose board another lesson of the series has too, with another answer.

```flags
===== lesson-1.md
After 1.e4 e5 2.Nf3 Nc6 3.Bc4 Nd4 comes a question.

~~~exercise
What should White play?
answer: 4.Nxd4 exd4 5.O-O.
~~~

===== lesson-2.md
After 1.e4 e5 2.Nf3 Nc6 3.Bc4 Nd4 comes a question.

~~~exercise
What should White play?
answer: ⟦4.c3⟧ Nxf3+ 5.Qxf3.
~~~
```

```clean
===== lesson-1.md
After 1.e4 e5 2.Nf3 Nc6 3.Bc4 Nd4 comes a question.

~~~exercise
What should White play?
answer: 4.Nxd4 exd4 5.O-O.
~~~

===== lesson-2.md
After 1.e4 e5 2.Nf3 Nc6 3.Bc4 Nd4 comes a question.

~~~exercise
What else could White play?
answer: 4.c3 Nxf3+ 5.Qxf3.
~~~
```

Limits: only where several lessons are checked together, and both questions plainly ask what to play
("What should White play?", "Find the best move."): a task ("Find a move that protects e5", "How
does White win?") can have several answers. An answer that shows the other move too is left alone.

Source: none.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import chess

from linewright.checks import Grounds
from linewright.finding import Evidence, Finding, Passage, Severity
from linewright.lesson import PlacedExercise
from linewright.opinions import Key, key_of, surely_reached
from linewright.recalling import takes_back
from linewright.series import Member, asks_what_to_play, question_of
from linewright.source import Span

SEVERITY = Severity.WARNING
NEEDS = ("series",)


@dataclass(frozen=True, slots=True)
class _Answer:
    """The first move of an answer, and all moves the answer shows on the exercise's board."""

    span: Span
    fen: str
    move: chess.Move
    shown: frozenset[chess.Move]
    line: str


def check(grounds: Grounds) -> Iterator[Finding]:
    """A finding for each exercise that the lesson and another answer differently."""
    series, lesson = grounds.series, grounds.lesson
    if series is None:
        return
    for own, other, said in series.differences(lesson, _answered, _differ):
        if takes_back(series.member(lesson).paragraph(own.span) + other.paragraph(said.span)):
            continue
        if _is_main(series.member(lesson), own) and _is_main(other, said):
            continue
        also = Passage(other.source, said.span)
        message = (
            f"'{lesson.script.source.words(own.span)}' is the answer here, but on the same board "
            f"{other.at(said.span)} answers '{also.words}': "
            "give one answer, or both in both lessons"
        )
        evidence = Evidence(also.words, own.fen, line=said.line)
        rule = "exercise-answered-differently"
        yield Finding(rule, SEVERITY, own.span, message, evidence, also=also)


def _is_main(member: Member, answer: _Answer) -> bool:
    """Whether the lesson teaches the answer outside exercises: two such are another rule's."""
    choice = member.choices.get(key_of(answer.fen))
    return bool(choice and choice.told is member.lesson and choice.move == answer.move)


def _answered(member: Member) -> Mapping[Key, _Answer]:
    """The answers of a lesson by the board on which it is asked what to play."""
    out: dict[Key, _Answer] = {}
    for exercise in member.lesson.exercises:
        answer = _answer(exercise)
        if answer and asks_what_to_play(question_of(exercise)):
            out.setdefault(key_of(exercise.fen), answer)
    return out


def _answer(exercise: PlacedExercise) -> _Answer | None:
    told = exercise.answer
    first = next(iter(told.moves), None)
    node = None if first is None or first.node is None else told.tree.nodes[first.node]
    if first is None or node is None or node.parent is None or node.move is None:
        return None
    board = told.tree.nodes[node.parent]
    if board.fen != exercise.fen or not surely_reached(told, node):
        return None
    shown = {told.tree.nodes[way].move for way in board.children}
    shown |= {one.move for one in told.mentions if one.fen == board.fen}
    line = told.tree.text(node.index)
    return _Answer(first.span, board.fen, node.move, frozenset(m for m in shown if m), line)


def _differ(one: _Answer, other: _Answer) -> bool:
    return one.move not in other.shown and other.move not in one.shown
