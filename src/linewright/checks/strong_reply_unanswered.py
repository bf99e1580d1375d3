"""A strong reply of the opponent that the lesson does not answer.

A lesson that answers three replies and leaves out the best one lets the students find it out alone,
with the clock running.

```flags
---
for: White
---
After 1.e4 e5 2.Nf3 Nc6 3.Bc4 Nf6 4.Ng5 Black attacks the knight, ⟦4...h6⟧ 5.Nxf7.
```

```clean
---
for: White
---
After 1.d4 d5 2.c4 Black holds the centre with 2...e6 3.Nc3 Nf6, or takes, 2...dxc4 3.Nf3.
```

Limits: needs an analyst; looked for only where the lesson shows at least one reply, and only
replies that leave the students' side worse off than after those shown. Replies marked as bad, or
brought in by the word if, do not count as shown. How often a reply is played
is another question. In a lesson that is a game (`white` or `black` in its head) what the players
did is no choice of replies; nor is it in a game that the words tell ("and here Wilmot played").

Source: an engine's answer, with its depth and nodes beside it; the measure is common practice, no
source.
"""

from collections.abc import Iterator

import chess

from linewright.analyst.questions import Analyst, deeper
from linewright.analyst.review import (
    BAD_SUFFIXES,
    arrow,
    game_moves,
    is_hypothetical,
    shown_moves,
    taught_side,
    told_as_played,
)
from linewright.analyst.students import severity_of_loss
from linewright.checks import Grounds
from linewright.finding import Evidence, Finding, Severity
from linewright.lesson import Lesson, Node

SEVERITY = Severity.WARNING

MATE_CP = 50_000
"""Beyond this a score is a mate."""

NEEDS = ("analyst",)


def check(grounds: Grounds) -> Iterator[Finding]:
    """Findings at the first reply shown of each position whose best reply is missing."""
    analyst, lesson = grounds.analyst, grounds.lesson
    side = taught_side(lesson)
    if analyst is None or side is None:
        return
    places = {
        shown.node.index: shown.span
        for shown in shown_moves(lesson)
        if shown.node.suffix not in BAD_SUFFIXES
        and not is_hypothetical(lesson, shown)
        and not told_as_played(lesson, shown)
    }
    played = game_moves(lesson)
    for node in lesson.tree.nodes:
        if not played.isdisjoint(node.children):
            continue  # what was played is shown, not which replies there are
        replies = [lesson.tree.nodes[child] for child in node.children]
        board = node.board()
        spans = [places[reply.index] for reply in replies if reply.index in places]
        if board.turn == side or not spans or _given_up(lesson, node, side):
            continue
        found = _missing(analyst, board, replies, lesson.front.students)
        if found is None:
            continue
        uci, line, cited, worth, known_worth = found
        shown = " and ".join(reply.label for reply in replies[:3])
        message = (
            f"'{lesson.script.source.words(spans[0])}' is shown, but not the stronger "
            f"{line.split(' ')[0]}, which {_in_words(worth, known_worth, side)}: {line}"
        )
        evidence = Evidence(f"{cited}; shown: {shown}", node.fen, (), (arrow(uci),), line)
        yield Finding("strong-reply-unanswered", SEVERITY, spans[0], message, evidence)


def _in_words(worth: int, shown: int, side: bool) -> str:
    """What the reply is worth more than those shown, to the other side."""
    if worth > MATE_CP:
        return "forces mate"
    if shown < -MATE_CP:
        return "avoids being mated"
    return f"is worth {(worth - shown) / 100:.1f} pawns more to {'Black' if side else 'White'}"


def _given_up(lesson: Lesson, node: Node, side: bool) -> bool:
    """Whether the students' side has already gone wrong on purpose on this line."""
    line = lesson.tree.line(node.index)
    return any(move.suffix in {"?", "??", "?!"} for move in line if move.white == side)


def _missing(
    analyst: Analyst,
    board: chess.Board,
    replies: list[Node],
    students: tuple[int, int] | None,
) -> tuple[str, str, str, int, int] | None:
    """The best reply if it is not shown and matters: move, line, who says so, its worth to the
    other side and the worth of those shown."""
    shown = tuple(reply.move.uci() for reply in replies if reply.move)
    found = None
    for effort in (analyst.effort, deeper(analyst.effort)):
        best, known = analyst.ask(board, effort), analyst.ask(board, effort, only=shown).best
        if best.best is None or known is None or best.best.moves[0] in shown:
            return None
        worth, known_worth = best.best.score.worth(board.turn), known.score.worth(board.turn)
        # Seen from the students' side: what they have after the replies shown, and after this.
        if severity_of_loss(-known_worth, -worth, students) is None:
            return None
        found = best.best.moves[0], best.text(0, 6), best.cited(), worth, known_worth
    return found
