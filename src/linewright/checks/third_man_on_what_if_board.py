"""A what-if board on which a side has three knights, bishops or rooks.

"Put a knight on f4" most often means one that is on the board already; placed beside the others it
is a third one, which students count and nobody tells.

```flags
After 1.e4 e5 2.Nf3 Nc6 3.Bc4 Nf6 see it ⟦[with a knight on f4](?remove=c7&place=nf4)⟧ now.
```

```clean
After 1.e4 e5 2.Nf3 Nc6 3.Bc4 Nf6 see it [with the knight on f4](?remove=f6&place=nf4) now.
```

Limits: a third man that a pawn became on the lesson's own board is not counted against the
what-if; boards given as a whole (`fen`) or of chosen men (`only`) are left alone, those whose words
say that it is a third or an extra man, and queens, which pawns become.

Source: FIDE Laws of Chess, article 2.2.
"""

import re
from collections.abc import Iterator

import chess

from linewright.checks import Grounds
from linewright.expressions import expression
from linewright.finding import Evidence, Finding, Severity

SEVERITY = Severity.WARNING
_MEANT = expression(r"\b(?:three|third|extra|more|another|additional)\b", re.IGNORECASE)
_MEN = (chess.KNIGHT, chess.BISHOP, chess.ROOK)


def check(grounds: Grounds) -> Iterator[Finding]:
    """Findings for what-if boards that add a man to two of its kind."""
    lesson = grounds.lesson
    for step in lesson.steps:
        imagined = step.imagined
        if imagined is None or imagined.why or imagined.edits.fen or not imagined.edits.place:
            continue
        if imagined.edits.only:
            continue
        board, base = chess.Board(imagined.fen), lesson.tree.nodes[imagined.base].board()
        for letter in dict.fromkeys(letter for letter, _ in imagined.edits.place):
            man = chess.Piece.from_symbol(letter)
            men = board.pieces(man.piece_type, man.color)
            if man.piece_type not in _MEN or len(men) <= max(
                2, len(base.pieces(man.piece_type, man.color))
            ):
                continue
            squares = tuple(map(chess.square_name, men))
            kind = f"{chess.COLOR_NAMES[man.color]} {chess.piece_name(man.piece_type)}"
            fact = f"{len(men)} {kind}s stand on it, on {', '.join(squares)}"
            span = imagined.span
            words = " ".join(lesson.script.source.text[span.start : span.end].split())
            if _MEANT.search(words.partition("](")[0]):
                continue
            message = (
                f"'{words}' adds a {kind} to two: {fact}; perhaps one of them is to be removed"
            )
            evidence = Evidence(fact, imagined.fen, squares)
            yield Finding("third-man-on-what-if-board", SEVERITY, span, message, evidence)
