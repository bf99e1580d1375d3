"""Words beside a move that say another move.

One of the two is a slip, and students who hear the words and see the move learn the wrong one.
The side that moves ("White's bishop", "Black plays"), the piece, the square ("d8", "d eight"), the
capture and what is taken, check and mate, and the side of castling are compared. Where `for:` says
whose side the lesson takes, "my" and "our" are that side, and in a game told by one of the players
"his" and "her" are the other, if the words before name nobody else.

```flags
After 1.e4 e5 2.Nf3 d6 White gives up the centre: bishop takes e5 ⟦3.Nxe5⟧ dxe5.
```

```flags
After 1.e4 e5 2.Nf3 Nc6 3.Bb5 a6 4.Ba4 Nf6 White castles queenside ⟦5.O-O⟧.
```

```flags
After 1.e4 e5 2.Nf3 Nc6 White's bishop comes to c5 ⟦3.Bc4⟧ Bc5.
```

```flags
After 1.e4 e5 2.Nf3 Nc6 3.Bc4 Bc5 White plays 4.c3 and White's knight comes to f6 ⟦4...Nf6⟧.
```

```flags
After 1.e4 e5 2.Nf3 Nc6 3.d4 White takes on d4 ⟦3...exd4⟧.
```

```clean
After 1.e4 e5 2.Nf3 Nc6 3.d4 Black takes on d4 3...exd4 and if White takes on d4, 4.Bc4 is a gambit.
```

```clean
After 1.e4 e5 2.Nf3 Nc6 3.Bc4 Bc5 White plays 4.c3 and Black's knight comes to f six 4...Nf6.
```

```flags
After 1.e4 e5 2.Nf3 Nc6 3.Bc4 Bc5 the knight takes c3 ⟦4.Nc3⟧ Nf6.
```

```clean
After 1.e4 e5 2.Nf3 d6 White gives up a piece: knight takes e5 3.Nxe5 dxe5.
```

```clean
---
for: Black
---
After 1.d4 d5 2.c4 e6 our knight goes to f6 with 3.Nc3 Nf6.
```

Limits: only words that lead straight to a numbered move, or follow it at once ("6.Nxd5 takes the
pawn"), are compared. What the notation says as falsely as they do (`x` where nothing is taken) is
told by `wrong-move-suffix` alone.

Source: common practice, no source.
"""

from collections.abc import Iterator
from dataclasses import replace

import chess

from linewright.checks import Grounds
from linewright.finding import Evidence, Finding, Severity
from linewright.lesson import Lesson, PlacedMove
from linewright.moves import false_claim
from linewright.movewords import (
    MoveWords,
    Owners,
    differences,
    owners_at,
    put_right,
    words_after,
    words_before,
)

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
            more = _beyond_notation(words, placed, board, node.move)
            wrong = differences(more, board, node.move) if node.move else []
            if not wrong or _fits_another(lesson, placed, words):
                continue
            said = " ".join(lesson.script.source.text[words.start : words.end].split())
            fact = " and ".join(wrong)
            right = put_right(said, words, board, node.move) if node.move else ""
            message = f"the words say '{said}', but in {node.label} {fact}"
            if _is_answered(lesson, said, node.label):
                message += f"; the answer in the head says which move it was: {_mend(said, right)}"
            uci = node.move.uci() if node.move else ""
            evidence = Evidence(fact, board.fen(), arrows=(f"{uci[:2]}-{uci[2:4]}",))
            yield Finding("words-and-move-differ", SEVERITY, placed.span, message, evidence)


def _beyond_notation(
    words: MoveWords, placed: PlacedMove, board: chess.Board, move: chess.Move | None
) -> MoveWords:
    """Words without what the notation says as falsely as they do: `wrong-move-suffix` has it."""
    written = placed.written
    if move is None or not false_claim(written, board, move):
        return words
    empty = written.claims_capture and not board.is_capture(move)
    return replace(
        words,
        takes=words.takes and not empty,
        checks=words.checks and not (written.claims_check or written.claims_mate),
        mates=words.mates and not written.claims_mate,
    )


def _mend(said: str, right: str) -> str:
    """How words that were answered are put right."""
    if not right:
        return "mend the words"
    return f"mend the words, or write in the talk '{said} [means {right}]' and hear it again"


def _is_answered(lesson: Lesson, said: str, label: str) -> bool:
    """Whether a teacher's answer about these words tells the move that stands beside them."""
    if not lesson.front.answers:
        return False
    from linewright.talk.answers import AnswerPlace, plain

    words, move = f" {plain(said)} ", label.rstrip("+#")
    for place, answer in lesson.front.answers:
        read = AnswerPlace.read(place)
        about = read is not None and bool(read.words)
        if about and read and f" {read.words} " in words and answer.rstrip("+#!?") == move:
            return True
    return False


def _fits_another(lesson: Lesson, placed: PlacedMove, words: MoveWords) -> bool:
    """Whether the words tell the move before ("after bishop takes c6 4...dxc6") or the next one
    ("11.Kd1 takes the rook 11...Nxa1"), or where a man stands ("asleep: bishop c8, 12...Re8")."""
    if words.tells_side_alone:
        return False
    last = lesson.tree.nodes[placed.base]
    if last.parent is not None and last.move is not None:
        before = lesson.tree.nodes[last.parent].board()
        if not differences(words, before, last.move):
            return True
    behind = words.start >= placed.span.end
    fits = _fits_next if behind else _fits_reply
    return fits(lesson, placed, words) or _stands_there(last.board(), words)


def _fits_next(lesson: Lesson, placed: PlacedMove, words: MoveWords) -> bool:
    """Whether words behind a move lead straight to the next one and tell it."""
    after = next((m for m in lesson.moves if m.span.start >= placed.span.end), None)
    if after is None or after.node is None:
        return False
    between = lesson.script.source.text[words.end : after.span.start]
    move = lesson.tree.nodes[after.node].move
    board = lesson.tree.nodes[after.base].board()
    return not between.strip(" ,\n") and move is not None and not differences(words, board, move)


def _fits_reply(lesson: Lesson, placed: PlacedMove, words: MoveWords) -> bool:
    """Whether words before a move and its reply tell the reply ("our knight goes to d7 with 9.Nf3
    Nbd7"), legal or not.

    Where they name no side, what is told of the square that both go to is told of the first.
    """
    after = next((m for m in lesson.moves if m.span.start >= placed.span.end), None)
    assert placed.node is not None
    node = lesson.tree.nodes[placed.node]
    assert node.move is not None
    if after is None or lesson.script.source.text[placed.span.end : after.span.start].strip():
        return False
    if words.white is None and words.to in {"", chess.square_name(node.move.to_square)}:
        return False
    move = lesson.tree.nodes[after.node].move if after.node is not None else None
    if move is not None:
        return after.base == placed.node and not differences(words, node.board(), move)
    other = words.white is None or words.white != node.white
    kind = chess.PIECE_SYMBOLS.index(after.written.piece.lower())
    return other and (words.piece, words.to) == (kind, after.written.to)


def _stands_there(board: chess.Board, words: MoveWords) -> bool:
    """Whether words that name a man and its square say where it stands: no move goes there."""
    if words.takes or words.castles or not (words.piece and words.to):
        return False
    square = chess.parse_square(words.to)
    man = board.piece_at(square)
    if man is None or man.piece_type != words.piece:
        return False
    return man.color == (board.turn if words.white is None else words.white)


def _owners(lesson: Lesson, start: int, at: int) -> Owners:
    """Whose side "my" and "his" are of before a place in the lesson."""
    front = lesson.front
    if front.taught is None:
        return {}
    white = front.taught == "White"
    name = front.white if white else front.black
    return owners_at(lesson.script.source.text, start, at, white, name)


def _beside(lesson: Lesson, placed: PlacedMove) -> Iterator[MoveWords]:
    """What the words of the same block say right before and right after a move."""
    text = lesson.script.source.text
    block = next(b for b in lesson.script.blocks if placed.span.start in b.span)
    owners = _owners(lesson, block.span.start, placed.span.start)
    mover = lesson.tree.nodes[placed.base].board().turn
    if before := words_before(text, block.span.start, placed.span.start, owners, mover):
        yield before
    if after := words_after(text, placed.span.end, block.span.end):
        yield after
