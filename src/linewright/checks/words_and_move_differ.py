"""Words beside a move that say another move.

One of the two is a slip, and students who hear the words and see the move learn the wrong one.
The piece, the square, the capture and what is taken, check and mate, and the side of castling
are compared.

```flags
After 1.e4 e5 2.Nf3 d6 White gives up the centre: bishop takes e5 ⟦3.Nxe5⟧ dxe5.
```

```flags
After 1.e4 e5 2.Nf3 Nc6 3.Bb5 a6 4.Ba4 Nf6 White castles queenside ⟦5.O-O⟧.
```

```clean
After 1.e4 e5 2.Nf3 d6 White gives up a piece: knight takes e5 3.Nxe5 dxe5.
```

Limits: only words that lead straight to a numbered move, or follow it at once ("6.Nxd5 takes the
pawn"), are compared.

Source: common practice, no source.
"""

from collections.abc import Iterator

from linewright.checks import Grounds
from linewright.finding import Evidence, Finding, Severity
from linewright.lesson import Lesson, PlacedMove
from linewright.movewords import MoveWords, differences, words_after, words_before

SEVERITY = Severity.ERROR
IN_EXERCISES = ("task", "answer")


def check(grounds: Grounds) -> Iterator[Finding]:
    """Findings for moves whose words say something else."""
    lesson = grounds.lesson
    for placed in lesson.moves:
        if placed.node is None:
            continue
        node = lesson.tree.nodes[placed.node]
        board = lesson.tree.nodes[placed.base].board()
        for words in _beside(lesson, placed):
            wrong = differences(words, board, node.move) if node.move else []
            if not wrong or _fits_move_before(lesson, placed.base, words):
                continue
            said = " ".join(lesson.script.source.text[words.start : words.end].split())
            fact = " and ".join(wrong)
            message = f"the words say '{said}', but in {node.label} {fact}"
            uci = node.move.uci() if node.move else ""
            evidence = Evidence(fact, board.fen(), arrows=(f"{uci[:2]}-{uci[2:4]}",))
            yield Finding("words-and-move-differ", SEVERITY, placed.span, message, evidence)


def _fits_move_before(lesson: Lesson, base: int, words: MoveWords) -> bool:
    """Whether the words tell the move before ("after bishop takes c6 4...dxc6")."""
    last = lesson.tree.nodes[base]
    if last.parent is None or last.move is None:
        return False
    return not differences(words, lesson.tree.nodes[last.parent].board(), last.move)


def _beside(lesson: Lesson, placed: PlacedMove) -> Iterator[MoveWords]:
    """What the words of the same block say right before and right after a move."""
    text = lesson.script.source.text
    block = next(b for b in lesson.script.blocks if placed.span.start in b.span)
    if before := words_before(text, block.span.start, placed.span.start):
        yield before
    if after := words_after(text, placed.span.end, block.span.end):
        yield after
