"""A man said to be won on a square where the lesson never shows one.

In a plan or a summing up the board of the moment does not tell whether "wins the rook on b7" is
so. But on some board of the lesson the rook should stand there.

```flags
After 1.e4 e5 2.Nf3 Nc6 3.Bc4 Bc5 remember the plan: the queen comes to b3 and ⟦wins a rook on f7⟧.
```

```clean
After 1.e4 e5 2.Nf3 Nc6 3.Bc4 Bc5 remember the plan: the queen comes to b3 and wins the pawn on f7.
```

```clean
After 1.e4 e5 2.Nf3 Nc6 3.Bc4 Bc5 suppose that his rook goes to f7. The bishop takes the rook on f7.
```

Limits: only what a sentence says happens ("wins", "takes"), not what it calls by name ("winning").
A man that the words before bring to the square is left alone, and so is one that may take there on
some board, and a king or rook on its castled square once castling is spoken of. So are questions,
what is denied ("not", "no"), supposed ("if", "when", "should", "would", "imagine", "after taking"),
or aimed at, what is told of the past or in an exercise, and talks, where the hearing weighs the
words.

Source: common practice, no source.
"""

import re
from collections.abc import Iterator

import chess

from linewright.checks import Grounds
from linewright.english.sentences import abbreviates
from linewright.expressions import expression
from linewright.finding import Evidence, Finding, Severity
from linewright.lesson import Lesson
from linewright.moves import PIECE_TYPES
from linewright.source import Span
from linewright.statements_of_lesson import READ, readable

SEVERITY = Severity.WARNING
NEEDS = ("verdicts",)

_MEN = "|".join(PIECE_TYPES)
_WON = expression(
    r"\b(?:wins?|takes?|captures?|grabs?|snatch(?:es)?"
    r"|picks? (?:up|off)|collects?|loses?|regains?|recovers?|traps?)"
    r" (?:(?:an?|the|his|her|our|my|your|their|its|white['’]s|black['’]s) )?(?:[a-z-]+ )?"
    rf"(?P<man>{_MEN}) on (?P<square>[a-h][1-8])\b",
    re.IGNORECASE,
)
_DENIED = expression(r"\b(?:not|never|no|cannot|without|nobody)\b|n['’]t\b", re.IGNORECASE)
_SUPPOSED = expression(
    r"\b(?:if|unless|when(?:ever)?|once|whoever|should|would|could|might|imagin\w*|suppos\w*"
    r"|after \w+ing|aim\w*|hop(?:e[sd]?|ing))\b|['’]d\b",
    re.IGNORECASE,
)
_STOP = expression(r"[.!?][\"”’)]*(?=\s|$)")
_CASTLING = expression(r"\bcastl", re.IGNORECASE)
_CASTLED = frozenset({"c1", "d1", "f1", "g1", "c8", "d8", "f8", "g8"})


def check(grounds: Grounds) -> Iterator[Finding]:
    """Findings for men that are won, taken or lost where none of their kind ever stands."""
    lesson = grounds.lesson
    if lesson.front.talk:
        return
    failed = [v.statement.span for v in grounds.verdicts if v.verdict == "fails"]
    for block in lesson.script.blocks:
        if block.kind not in READ or not block.inlines:
            continue
        start = block.inlines[0].span.start
        text, _ = readable(lesson.script.source.text, block)
        for found in _WON.finditer(text):
            span = Span(start + found.start(), start + found.end())
            if any(span.start < one.end and one.start < span.end for one in failed):
                continue
            if _asserted(text, found) and not _beside_a_move(lesson, span):
                yield from _never_there(lesson, found, span)


def _asserted(text: str, found: re.Match[str]) -> bool:
    """Whether a sentence says it of a man that no words before bring to its square."""
    before = text[: found.start()]
    if re.search(rf"{found['square']}\b", before):
        return False
    stops = [m.end() for m in _STOP.finditer(text) if not abbreviates(text, m.end())]
    begin = max((end for end in stops if end <= found.start()), default=0)
    end = min((end for end in stops if end >= found.end()), default=len(text))
    sentence = text[begin:end]
    asks = sentence.rstrip('"”’)').endswith("?")
    denied = _DENIED.search(text[begin : found.start()])
    return not asks and not denied and not _SUPPOSED.search(sentence)


def _beside_a_move(lesson: Lesson, span: Span) -> bool:
    """Whether the words stand right beside a move, with which they are compared elsewhere."""
    text = lesson.script.source.text
    return any(
        not re.search(r"\w", text[min(one.span.end, span.end) : max(one.span.start, span.start)])
        for one in lesson.moves
    )


def _never_there(lesson: Lesson, found: re.Match[str], span: Span) -> Iterator[Finding]:
    """The finding for a man of a kind that stands on its square on no board of the lesson."""
    at, kind = chess.parse_square(found["square"]), PIECE_TYPES[found["man"].lower()]
    if any(_stands_or_takes(board, kind, at) for board in _boards(lesson)):
        return
    spoken = lesson.script.source.text[: span.start]
    if (
        kind in (chess.KING, chess.ROOK)
        and found["square"] in _CASTLED
        and _CASTLING.search(spoken)
    ):
        return
    here = lesson.at(span.start)
    man, square = found["man"].lower(), found["square"]
    standing = here.board().piece_at(at)
    now = f"{square} is empty now"
    if standing is not None:
        side = chess.COLOR_NAMES[standing.color]
        now = f"there is a {side} {chess.piece_name(standing.piece_type)} now"
    words = " ".join(found[0].split())
    fact = f"no {man} ever stands on {square} in the lesson: {now}"
    evidence = Evidence(fact, here.fen, (square,))
    yield Finding("man-never-there", SEVERITY, span, f"'{words}', but {fact}", evidence)


def _boards(lesson: Lesson) -> Iterator[chess.Board]:
    """Every board of the lesson, what is imagined and the questions and answers among them."""
    for told in (lesson, *(part for one in lesson.exercises for part in (one.task, one.answer))):
        yield from (node.board() for node in told.tree.nodes)
        yield from (chess.Board(step.fen) for step in told.steps if step.imagined)


def _stands_or_takes(board: chess.Board, kind: chess.PieceType, at: chess.Square) -> bool:
    """Whether a man of a kind stands on a square, or may be on it next by taking what is there."""
    standing = board.piece_at(at)
    if standing is None:
        return False
    may = board.attackers(not standing.color, at) & board.pieces_mask(kind, not standing.color)
    return standing.piece_type == kind or bool(may)
