"""A figure in the text that the collection contradicts, or that is older than the collection.

Figures are copied once and repeated for years; students believe numbers.

```flags
---
for: White
students: 1000-1900
games: examples/brackwater-games.pgn.xz
---
After 1.d4 d5 2.c4 e6 3.Nc3 Nf6 4.cxd5 exd5 5.Bg5 Black steps out of the pin with 5...Be7, played
in ⟦90 percent⟧ of the games.
```

```flags
---
for: White
students: 1000-1900
games: examples/brackwater-games.pgn.xz
---
After 1.d4 d5 2.c4 White has offered a pawn; ⟦in 200 games⟧ it was declined with 2...e6.
```

```clean
---
for: White
students: 1000-1900
games: examples/brackwater-games.pgn.xz
---
After 1.d4 d5 2.c4 e6 3.Nc3 Nf6 4.cxd5 Black takes back with the pawn, 4...exd5, played in about 95
percent of the games. White scores 50 percent, more or less.
```

Limits: needs a collection. Read are percentages with words like "play", "played", "chosen",
"score" or "drawn" in the same sentence, about the nearest move before or after them in that
sentence, and numbers of games. A percentage is contradicted if it lies outside the interval of
at least thirty games by more than one point (five after "about" and the like).

Source: the collections named in the front matter, in the students' band; Wilson's interval for
shares, the trinomial error for scores.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import TYPE_CHECKING

import chess

from linewright.checks import Grounds
from linewright.expressions import expression
from linewright.finding import Evidence, Finding, Severity
from linewright.games.statistics import percent
from linewright.lesson import Lesson
from linewright.script import BlockKind
from linewright.source import Span

if TYPE_CHECKING:
    from linewright.games.tally import MoveTally, Tally

SEVERITY = Severity.WARNING
NEEDS = ("collection",)

_PERCENT = expression(r"\b(\d{1,3}(?:\.\d)?)\s?(?:%|percent\b|per\s+cent\b)")
_GAMES = expression(r"\bin\s+(\d[\d,]*)\s+games\b")
_SENTENCE = expression(r"[^!?;]*?(?:(?<!\d)\.(?=\s|$)|[!?;]|$)", re.DOTALL)
_LOOSE = expression(r"\b(?:about|around|roughly|nearly|almost|over|more or less|some)\b")
_SCORE = expression(r"\bscor(?:e|es|ed|ing)\b")
_DRAWN = expression(r"\b(?:drawn|draws?)\b")
_PLAYED = expression(r"\b(?:play|plays|played|choose|chosen|reply|replies|go|met|seen)\b")
_SIDE = expression(r"\b(White|Black)\b(?=\s+(?:scores?|scored|is scoring))")
_READ = {BlockKind.PARAGRAPH, BlockKind.ITEM, BlockKind.QUOTE}


def check(grounds: Grounds) -> Iterator[Finding]:
    """Findings at the figures."""
    if grounds.collection is None:
        return
    lesson = grounds.lesson
    for block in lesson.script.blocks:
        if block.kind not in _READ:
            continue
        text = lesson.script.source.words(block.span)
        for match in _SENTENCE.finditer(text):
            start = block.span.start + match.start()
            yield from _sentence(grounds, match[0], start)


def _sentence(grounds: Grounds, text: str, start: int) -> Iterator[Finding]:
    lesson = grounds.lesson
    for match in _PERCENT.finditer(text):
        span = Span(start + match.start(), start + match.end())
        said = _judged(grounds, text, start, span, float(match[1]) / 100)
        if said:
            words = lesson.script.source.words(span)
            message = f"'{words}' is not what the games say: {said[0]}"
            yield _finding(span, message, said[1])
    for match in _GAMES.finditer(text):
        span = Span(start + match.start(), start + match.end())
        found = _move(grounds, start, start + len(text), span)
        if found is None:
            continue
        tally, move = found
        claimed = int(match[1].replace(",", ""))
        if move.games > claimed * 1.05:
            words = lesson.script.source.words(span)
            counted = f"{move.san} is in {move.games} games by now ({tally.basis()})"
            yield _finding(span, f"'{words}' is older than the games: {counted}", tally.fen)


def _finding(span: Span, message: str, fen: str) -> Finding:
    rule = "figure-differs-from-games"
    return Finding(rule, SEVERITY, span, message, Evidence(fen=fen))


def _judged(
    grounds: Grounds, text: str, start: int, span: Span, claimed: float
) -> tuple[str, str] | None:
    """What contradicts a percentage, with its position; `None` if nothing does."""
    room = 0.05 if _LOOSE.search(text) else 0.01
    found = _move(grounds, start, start + len(text), span)
    side = _SIDE.search(text)
    if _SCORE.search(text):
        return _score(grounds, found, span, side[1] if side else "", claimed, room)
    if found is None or not (_DRAWN.search(text) or _PLAYED.search(text)):
        return None
    tally, move = found
    figure = move.drawn if _DRAWN.search(text) else move.share
    what = "drawn" if _DRAWN.search(text) else "played"
    if figure.small or figure.low - room <= claimed <= figure.high + room:
        return None
    interval = f"{percent(figure.low)} to {percent(figure.high)}"
    return f"{move.san} is {what} in {figure} ({interval}; {tally.basis()})", tally.fen


def _score(
    grounds: Grounds,
    found: tuple[Tally, MoveTally] | None,
    span: Span,
    side: str,
    claimed: float,
    room: float,
) -> tuple[str, str] | None:
    if found is not None:
        tally, score, what = found[0], found[1].score, found[1].san
    else:
        board = chess.Board(grounds.lesson.at(span.start).fen)
        tally = grounds.collection.tally(board)
        score, what = tally.score, "the position"
    mover = "White" if tally.white_to_move else "Black"
    low, high, value = score.low, score.high, score.value
    if side and side != mover:
        low, high, value = 1 - high, 1 - low, 1 - value
    if score.small or low - room <= claimed <= high + room:
        return None
    interval = f"{percent(low)} to {percent(high)}"
    told = f"{what} scores {percent(value)} for {side or mover} in {score.games} games"
    return f"{told} ({interval}; {tally.basis()})", tally.fen


def _move(grounds: Grounds, start: int, end: int, span: Span) -> tuple[Tally, MoveTally] | None:
    """The move of the sentence nearest to a figure, with the tally of its position."""
    lesson = grounds.lesson
    near: list[tuple[int, str, chess.Move]] = []
    for placed in lesson.moves:
        if start <= placed.span.start < end and placed.node is not None:
            node = lesson.tree.nodes[placed.node]
            if node.move is not None:
                near.append((_far(placed.span, span), _fen(lesson, placed.base), node.move))
    for mention in lesson.mentions:
        if start <= mention.span.start < end and mention.move is not None:
            near.append((_far(mention.span, span), mention.fen, mention.move))
    if not near:
        return None
    _, fen, played = min(near, key=lambda one: one[0])
    tally = grounds.collection.tally(chess.Board(fen))
    move = tally.move(played.uci())
    return (tally, move) if move is not None else None


def _far(one: Span, other: Span) -> int:
    return max(one.start - other.end, other.start - one.end)


def _fen(lesson: Lesson, node: int) -> str:
    return lesson.tree.nodes[node].board().fen(en_passant="fen")
