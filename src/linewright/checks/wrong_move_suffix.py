"""A capture, check or mate in the notation that is not so on the board.

The notation promises what the board does not show: `x` where nothing is taken, `+` without check,
`#` without mate. Readers who play the move over look for what they missed.

```flags
The line goes 1.e4 e5 2.Nf3 Nc6 ⟦3.Bb5+⟧ a6.
```

```flags
The line goes 1.e4 e5 ⟦2.Nxf3⟧ Nc6.
```

```clean
The line goes 1.e4 e5 2.Nf3 d6 3.Bb5+ c6.
```

Limits: a capture or check that the notation leaves out is not reported; many books leave them
out.

Source: PGN standard (1994), section 8.2.3.5; FIDE Laws of Chess, appendix C.
"""

from collections.abc import Iterator

import chess

from linewright.analyst.hypotheses import answers, hypotheses
from linewright.checks import Grounds
from linewright.finding import Evidence, Finding, Severity
from linewright.moves import false_claim

SEVERITY = Severity.ERROR
IN_EXERCISES = ("task", "answer")


def check(grounds: Grounds) -> Iterator[Finding]:
    """Findings for moves and mentions that claim what is not so."""
    lesson = grounds.lesson
    places = [
        (move.span, move.written, lesson.tree.nodes[move.base].board(), node.move)
        for move in lesson.moves
        if move.node is not None and (node := lesson.tree.nodes[move.node]).move
    ]
    supposed = tuple(hypotheses(lesson))
    places += [
        (m.span, m.written, chess.Board(m.fen), m.move)
        for m in lesson.mentions
        if m.move and not any(answers(hypothesis, m.span) for hypothesis in supposed)
    ]
    for span, written, board, move in places:
        if move is None or not (wrong := false_claim(written, board, move)):
            continue
        words = lesson.script.source.words(span)
        san = board.san(move)
        repair = words.replace(written.text, san + written.suffix)
        message = f"'{words}' {wrong}; write {repair}"
        yield Finding(
            "wrong-move-suffix", SEVERITY, span, message, Evidence(wrong, board.fen()), (repair,)
        )
