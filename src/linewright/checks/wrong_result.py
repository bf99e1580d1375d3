"""A result that the board at the end of the main line contradicts.

Whoever gets the game file sees a win where there is mate against the winner, or a loss where
nobody can win any more.

```flags
---
⟦result⟧: 1-0
---
The game went 1.f3 e5 2.g4 Qh4#.
```

```clean
---
result: 0-1
---
The game went 1.f3 e5 2.g4 Qh4#.
```

Limits: only mate, stalemate and too few men to mate contradict a result; players resign or agree to
a draw on any board.

Source: FIDE Laws of Chess, articles 5.1 and 5.2.
"""

from collections.abc import Iterator

from linewright.checks import Grounds
from linewright.finding import Evidence, Finding, Severity
from linewright.lesson import Node

SEVERITY = Severity.ERROR


def check(grounds: Grounds) -> Iterator[Finding]:
    """One finding if the board says that the game ended otherwise."""
    front = grounds.lesson.front
    line = grounds.lesson.tree.told_line()
    if front.result == "*" or not line:
        return
    fact, result = _ended(line[-1])
    if not fact or front.result == result:
        return
    message = f"the result is '{front.result}', but {fact}; write {result}"
    evidence = Evidence(fact, line[-1].fen)
    yield Finding("wrong-result", SEVERITY, front.place("result"), message, evidence)


def _ended(last: Node) -> tuple[str, str]:
    """What ends the game on a board and the result it gives; empty where nothing does."""
    board = last.board()
    if board.is_checkmate():
        return f"{last.label} is mate", "1-0" if last.white else "0-1"
    if board.is_stalemate():
        return f"{last.label} is stalemate", "1/2-1/2"
    if board.is_insufficient_material():
        return f"after {last.label} nobody can mate any more", "1/2-1/2"
    return "", ""
