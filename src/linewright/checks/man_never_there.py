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

Limits: a man that the words before bring to the square is left alone, and so are questions, what is
denied, told of the past or said in an exercise, and talks, where the hearing weighs the words.

Source: common practice, no source.
"""

import re
from collections.abc import Iterator

import chess

from linewright.checks import Grounds
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
    r"\b(?:wins?|winning|takes?|taking|captures?|capturing|grabs?|grabbing|snatch(?:es|ing)?"
    r"|picks? (?:up|off)|collects?|collecting|loses?|losing|regains?|recovers?|traps?|trapping)"
    r" (?:(?:an?|the|his|her|our|my|your|their|its|white['’]s|black['’]s) )?(?:[a-z-]+ )?"
    rf"(?P<man>{_MEN}) on (?P<square>[a-h][1-8])\b",
    re.IGNORECASE,
)
_DENIED = expression(r"\b(?:not|never|no|cannot|without|nobody|if)\b|n['’]t\b", re.IGNORECASE)
_STOP = expression(r"(?<!\b\d)(?<!\b\d\d)[.!?;:](?=\s|$)")


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
    ends = _STOP.search(text, found.end())
    asks = ends is not None and ends[0] == "?"
    return not asks and not _DENIED.search(_STOP.split(before)[-1])


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
    boards = [node.board() for node in lesson.tree.nodes]
    boards += [chess.Board(step.fen) for step in lesson.steps if step.imagined]
    if any(board.piece_type_at(at) == kind for board in boards):
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
