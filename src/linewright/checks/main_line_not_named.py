"""A short line told first, so that it is the main one, though another goes on much longer.

Game file, page and handout set one line as the main one. Where nothing in the script says which,
they take what is told first; that may be what the lesson only clears away before its subject.

```flags
# When White checks
1.e4 c5 2.Nf3 d6 ⟦3.Bb5+⟧ Bd7 is soon told.

# When White opens the game
After 3.d4 cxd4 4.Nxd4 Nf6 5.Nc3 a6 6.Be2 e5 7.Nb3 Be7 both castle.
```

```clean
# When White checks
1.e4 c5 2.Nf3 d6 3.Bb5+ Bd7 is soon told.

# The main line
After 3.d4 cxd4 4.Nxd4 Nf6 5.Nc3 a6 6.Be2 e5 7.Nb3 Be7 both castle.
```

Limits: much longer means three times as long and by eight half-moves or more. Not in the script
of a game, nor in one that was heard, where the hearing chooses. Only the first place is told.

Source: none; what is much longer is a choice.
"""

from __future__ import annotations

from collections.abc import Iterator

from linewright.checks import Grounds
from linewright.finding import Evidence, Finding, Severity
from linewright.lesson import Lesson, Node

SEVERITY = Severity.NOTE
LONGER_PLIES = 8
LONGER_TIMES = 3


def check(grounds: Grounds) -> Iterator[Finding]:
    """A note at the first move of the main line that a much longer line is told beside."""
    lesson = grounds.lesson
    front = lesson.front
    if front.talk or front.names_players:
        return
    for node in lesson.tree.told_line():
        other = _longer(lesson, node)
        if other is None:
            continue
        span = next((placed.span for placed in lesson.moves if placed.node == node.index), None)
        if span is not None:
            yield Finding("main-line-not-named", SEVERITY, span, *_told(lesson, node, other))
        return


def _longer(lesson: Lesson, node: Node) -> Node | None:
    """The continuation told beside one that goes on much longer, if the script does not choose."""
    assert node.parent is not None
    fork = lesson.tree.nodes[node.parent]
    if fork.settled:
        return None
    ways = [lesson.tree.nodes[child] for child in fork.children]
    told = {way.index: _length(lesson, way) for way in ways if not way.aside}
    longest = max(told, key=told.__getitem__, default=node.index)
    own = told.get(node.index, 0)
    if told.get(longest, 0) < max(own * LONGER_TIMES, own + LONGER_PLIES):
        return None
    return lesson.tree.nodes[longest]


def _length(lesson: Lesson, node: Node) -> int:
    """How many half-moves are told from a move on, itself counted, on its longest way."""
    longest, ahead = 0, [(node, 1)]
    while ahead:
        here, count = ahead.pop()
        longest = max(longest, count)
        ways = (lesson.tree.nodes[child] for child in here.children)
        ahead += [(way, count + 1) for way in ways if not way.aside]
    return longest


def _told(lesson: Lesson, node: Node, other: Node) -> tuple[str, Evidence]:
    fork = lesson.tree.nodes[node.parent or 0]
    message = (
        f"'{node.label}' is taken for the main line, because it is told first; '{other.label}' "
        f"goes on much longer: if that is it, head its part 'The main line', or begin with a box, "
        f"'> **Main line.** ...'"
    )
    return message, Evidence("", fork.fen, (), (), lesson.tree.text(_end(lesson, other).index))


def _end(lesson: Lesson, node: Node) -> Node:
    """Where the main line from a node on ends."""
    return [node, *lesson.tree.main_line(node.index)][-1]
