"""A mark on an empty square, or on something else than its words say.

The words "this pawn" with a mark on a knight teach the wrong thing twice: listeners hear one and
viewers see the other.

```flags
After 1.e4 e5 2.Nf3 look at ⟦[this pawn](#f3)⟧ well.
```

```flags
After 1.e4 e5 2.Nf3 look at ⟦[Black's knight](#d4)⟧ well.
```

```flags
After 1.e4 e5 look at ⟦[the pawn on e4](#e5)⟧ well.
```

```clean
After 1.e4 e5 2.Nf3 look at [this knight](#f3) and at [this hole](#d5) well.
```

```clean
1.e4 e5 2.Nf3 d6 3.d4 Bg4. The bishop [pins the knight on f3](#g4-d1).
```

```clean
1.e4 d6 2.d4 Nf6 3.Bd3 g6 4.Nf3 Bg7 5.O-O O-O 6.Bc4 c6 7.Qd3 Nbd7 8.Qb3.
The queen [looks through the bishop on c4](#b3-f7).
```

An arrow is on the man it goes over too, where that alone keeps a piece from a man behind it of the
same side: so a pin is drawn. It is also on men of the piece's own side that it attacks through, as
the queen does behind a bishop.

Limits: the last piece word of the marked words counts ("the knight that guards the pawn" is read
as a pawn only if one arrow or square fits it). Words without a piece or square may point
anywhere.

Source: common practice, no source.
"""

import re
from collections.abc import Iterator

import chess

from linewright.board_words import names
from linewright.checks import Grounds
from linewright.expressions import expression
from linewright.finding import Evidence, Finding, Severity
from linewright.inline import MarkKind
from linewright.judging import battery
from linewright.lesson import PlacedMark
from linewright.moves import MAN, PIECE_TYPES, side_name

SEVERITY = Severity.ERROR

_PIECE = expression(rf"\b({MAN})(?!s\b|-|side)\b", re.IGNORECASE)
_SIDE = expression(r"\b(white|black)(?:'s|’s)?\b", re.IGNORECASE)
_SQUARE = expression(r"\b([a-h][1-8])\b")


def check(grounds: Grounds) -> Iterator[Finding]:
    """Findings for marks whose words name something else than what stands there."""
    source = grounds.lesson.script.source
    by_link: dict[tuple[int, int], list[PlacedMark]] = {}
    for placed in grounds.lesson.marks:
        by_link.setdefault((placed.span.start, placed.span.end), []).append(placed)
    for marks in by_link.values():
        words = " ".join(source.words(marks[0].words).split())
        wrong = _other_square(words, marks) or _other_piece(words, marks)
        if wrong:
            squares = tuple(dict.fromkeys(mark.mark.square for mark in marks))
            message = f"'{words}' is marked on {' and '.join(squares)}, but {wrong}"
            evidence = Evidence(wrong, marks[0].fen, squares)
            yield Finding("mark-differs-from-words", SEVERITY, marks[0].span, message, evidence)


def _on(placed: PlacedMark) -> tuple[str, ...]:
    """The squares that a mark is on: its own, and those of a man pinned along its arrow, or of men
    of a piece's own side that it attacks through."""
    mark = placed.mark
    if not mark.to:
        return (mark.square,)
    board = chess.Board(placed.fen)
    first, last = chess.parse_square(mark.square), chess.parse_square(mark.to)
    over = [at for at in chess.SquareSet.between(first, last) if board.piece_at(at)]
    hit = len(over) == 1 and over[0] in board.attacks(first)
    owners = {board.color_at(at) for at in (*over, last)}
    pinned = hit and owners == {not board.color_at(first)}
    meant = pinned or battery(board, first, last)
    return (mark.square, mark.to, *names(over if meant else ()))


def _other_square(words: str, marks: list[PlacedMark]) -> str:
    named = set(_SQUARE.findall(words))
    marked = {square for placed in marks for square in _on(placed)}
    missing = sorted(named - marked)
    return f"the words name {' and '.join(missing)}" if named and missing == sorted(named) else ""


def _other_piece(words: str, marks: list[PlacedMark]) -> str:
    """What stands where the words' piece should, or nothing if some marked square has it."""
    names = [name.lower() for name in _PIECE.findall(words)]
    if not names:
        return ""
    board = chess.Board(marks[0].fen)
    wanted = {PIECE_TYPES[name] for name in names}
    side = _SIDE.search(words)
    colour = None if side is None else side[1].lower() == "white"
    standing = [board.piece_at(chess.parse_square(s)) for m in marks for s in _on(m)]
    if any(p and p.piece_type in wanted and colour in {None, p.color} for p in standing):
        return ""
    if marks[0].mark.kind is MarkKind.PLAN and any(standing):
        return ""
    first = standing[0]
    if first is None:
        return f"{marks[0].mark.square} is empty"
    owner = side_name(first.color)
    return f"{owner}'s {chess.piece_name(first.piece_type)} stands on {marks[0].mark.square}"
