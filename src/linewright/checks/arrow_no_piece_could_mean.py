"""An arrow that no piece on the board could mean.

An arrow says that the piece at its foot attacks, defends, goes to or looks at its head. Where no
piece stands at the foot, or the piece cannot reach the head, viewers learn a wrong move.

```flags
After 1.e4 e5 2.Nf3 Nc6 the knight ⟦[attacks](#attack:f3-e4)⟧ the pawn.
```

```flags
After 1.e4 e5 2.Nf3 Nc6 the rook is ⟦[looking at](#h1-g8)⟧ the corner, and ⟦[this](#e3-e5)⟧ hits.
```

```clean
After 1.e4 e5 2.Nf3 Nc6 the knight [attacks](#attack:f3-e5) the pawn.
It means to [jump](#plan:f3-g5,g5-f7).
```

Limits: a plan may pass other pieces and go on from the head of an arrow before it; whether the
plan is any good is not asked here. Words that name a file, a rank or a diagonal may be drawn as
an arrow along it, whatever stands there.

Source: FIDE Laws of Chess, articles 3.2 to 3.8 (how the pieces move).
"""

import re
from collections.abc import Iterator, Sequence
from typing import Any

import chess

from linewright.checks import Grounds
from linewright.expressions import expression
from linewright.facts import blocker
from linewright.finding import Evidence, Finding, Severity
from linewright.inline import MarkKind
from linewright.lesson import PlacedMark

SEVERITY = Severity.ERROR


def check(grounds: Grounds) -> Iterator[Finding]:
    """Findings for arrows without a piece that could mean them."""
    source = grounds.lesson.script.source
    heads: dict[tuple[int, str], chess.Piece] = {}
    for placed in grounds.lesson.marks:
        mark = placed.mark
        if mark.to is None:
            continue
        board = chess.Board(placed.fen)
        piece = board.piece_at(chess.parse_square(mark.square))
        piece = heads.get((placed.span.start, mark.square), piece)
        wrong = _wrong(placed, board, piece)
        if wrong and _is_named_line(source.words(placed.words), mark.square, mark.to):
            continue
        if wrong and _is_told(placed, grounds.verdicts):
            continue
        if not wrong and piece:
            heads[placed.span.start, mark.to] = piece
        if wrong:
            arrow = f"{mark.square}-{mark.to}"
            words = " ".join(source.words(placed.words).split())
            message = f"'{words}' draws the arrow {arrow}, but {wrong}"
            evidence = Evidence(wrong, placed.fen, arrows=(arrow,))
            yield Finding("arrow-no-piece-could-mean", SEVERITY, placed.span, message, evidence)


def _is_told(placed: PlacedMark, verdicts: Sequence[Any]) -> bool:
    """Whether the words under an arrow say the same and fail: one fault, told once."""
    ends = {placed.mark.square, placed.mark.to}
    return any(
        verdict.verdict == "fails"
        and ends <= set(verdict.squares)
        and verdict.statement.span.start < placed.span.end
        and placed.span.start < verdict.statement.span.end
        for verdict in verdicts
    )


_LINE = expression(r"\b(?:file|rank|diagonal|row|line)s?\b", re.IGNORECASE)


def _is_named_line(words: str, square: str, to: str) -> bool:
    """Whether the words name a file, rank or diagonal and the arrow lies on one."""
    on_line = chess.ray(chess.parse_square(square), chess.parse_square(to))
    return bool(on_line and _LINE.search(words))


def _wrong(placed: PlacedMark, board: chess.Board, piece: chess.Piece | None) -> str:
    mark = placed.mark
    assert mark.to is not None
    if piece is None:
        return f"{mark.square} is empty"
    origin, to = chess.parse_square(mark.square), chess.parse_square(mark.to)
    name = chess.piece_name(piece.piece_type)
    if mark.kind in {MarkKind.ATTACK, MarkKind.DEFEND}:
        verb = "attack" if mark.kind is MarkKind.ATTACK else "defend"
        if to not in _attacks(board, origin, piece):
            between = blocker(board, origin, to)
            why = "" if between is None else f" past {chess.square_name(between)}"
            return f"the {name} on {mark.square} does not {verb} {mark.to}{why}"
        return ""
    if to not in _reach(origin, piece):
        return f"a {name} on {mark.square} cannot go to {mark.to}"
    return ""


def _attacks(board: chess.Board, origin: chess.Square, piece: chess.Piece) -> chess.SquareSet:
    if board.piece_at(origin) == piece:
        return board.attacks(origin)
    after = board.copy(stack=False)
    after.set_piece_at(origin, piece)
    return after.attacks(origin)


def _reach(origin: chess.Square, piece: chess.Piece) -> chess.SquareSet:
    """The squares a piece could go to on an otherwise empty board, taking or not, castling
    included."""
    empty = chess.Board(None)
    empty.set_piece_at(origin, piece)
    squares = empty.attacks(origin)
    if piece.piece_type == chess.PAWN:
        step = 8 if piece.color else -8
        ranks = 2 if chess.square_rank(origin) == (1 if piece.color else 6) else 1
        for k in range(1, ranks + 1):
            if 0 <= origin + step * k < 64:
                squares.add(origin + step * k)
    if piece.piece_type == chess.KING and origin == (chess.E1 if piece.color else chess.E8):
        squares |= chess.SquareSet([origin + 2, origin - 2])
    return squares
