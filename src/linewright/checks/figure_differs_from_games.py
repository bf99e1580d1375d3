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

```flags
---
for: White
students: 1000-1900
games: examples/brackwater-games.pgn.xz
---
After 1.d4 d5 2.c4 e6 Black has declined, as ⟦in 90,000 games⟧ of the file.
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
sentence, numbers of games with a move, and how many games a collection is said to have, where a
sentence says nothing else. A percentage is contradicted if it lies outside the interval by more
than one point (five after "about" and the like), of fewer than thirty games by more than ten
points; of fewer than ten games none is. A number of games is too large if the collection has fewer
of players of all ratings; numbers below ten are not judged, and those in words are never called
older.

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
from linewright.games.statistics import FEWEST, Proportion, percent
from linewright.lesson import Lesson
from linewright.moves import side_name
from linewright.number_words import NUMBER, number_said
from linewright.script import BlockKind
from linewright.source import Span

if TYPE_CHECKING:
    from linewright.games.tally import MoveTally, Tally

SEVERITY = Severity.WARNING
NEEDS = ("collection",)

_PERCENT = expression(r"\b(\d{1,3}(?:\.\d)?)\s?(?:%|percent\b|per\s+cent\b)")
_GAMES = expression(rf"\bin\s+({NUMBER})\s+games\b(?! out of)", re.IGNORECASE)
_LEAST = r"more than|over|at least|upwards? of"
_MOST = r"fewer than|less than|under|at most|up to|no more than"
_ALL = r"(?:the|our|my|this)\s+(?:\w+\s+)?(?:collection|database|file)"
_CLAIMED = (
    rf"(?:(?:(?P<least>{_LEAST})|(?P<most>{_MOST})|about|around|roughly|nearly|almost|some)\s+)?"
    rf"(?P<games>{NUMBER})\s+games"
)
_OPENS = r"\W*(?:(?:now|today|by now|so|and|but|currently|in all)\b\W*)*"
_IN_ALL = tuple(
    expression(rf"{_OPENS}{told}(?=\s*(?:[.!?;)]|$))", re.IGNORECASE)
    for told in (
        rf"there\s+are\s+(?P<said>{_CLAIMED}\s+in\s+{_ALL})",
        rf"(?P<said>{_ALL}\s+(?:now\s+)?(?:has|holds|contains)\s+{_CLAIMED})",
    )
)
"""Sentences that tell no more than how many games there are: anything else in them may leave only
a part of the games ("40 games with 2.Nf3")."""
_SENTENCE = expression(r"[^!?;]*?(?:(?<!\d)\.(?=\s|$)|[!?;]|$)", re.DOTALL)
_LOOSE = expression(r"\b(?:about|around|roughly|nearly|almost|over|more or less|some)\b")
_SCORE = expression(r"\bscor(?:e|es|ed|ing)\b")
_DRAWN = expression(r"\b(?:drawn|draws?)\b")
_PLAYED = expression(
    r"\b(?:plays?|played|chooses?|chose|chosen|reply|replies|replied|answers?|answered|go|goes|met|seen)"
    r"\b"
)
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
            named = any(block.span.start <= move.span.start < start for move in lesson.moves)
            yield from _in_all(grounds, match[0], start, named)


def _sentence(grounds: Grounds, text: str, start: int) -> Iterator[Finding]:
    from linewright.games.tally import Filter

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
        claimed = number_said(match[1])
        found = _move(grounds, start, start + len(text), span) if claimed >= FEWEST else None
        if found is None:
            continue
        tally, move = found
        words = lesson.script.source.words(span)
        counted = f"{move.san} is in {move.games} games"
        if match[1][0].isdigit() and move.games > claimed * 1.05:
            counted += f" by now ({tally.basis()})"
            yield _finding(span, f"'{words}' is older than the games: {counted}", tally.fen)
        elif (most := _of_all_players(tally, move)) * 1.05 < claimed:
            counted = f"{move.san} is in no more than {most} ({tally.where(Filter()).basis()})"
            yield _finding(span, f"'{words}' is more than there are: {counted}", tally.fen)


def _in_all(grounds: Grounds, text: str, start: int, named: bool) -> Iterator[Finding]:
    """What contradicts the number of all games that a sentence tells; `named` where moves were
    named before it in its block: then fewer games may be those of a part."""
    from linewright.games.tally import Filter

    match = next(filter(None, (told.match(text) for told in _IN_ALL)), None)
    if match is None or grounds.lesson.front.start:
        return
    start_fen = grounds.lesson.tree.nodes[0].fen
    whole = grounds.collection.tally(chess.Board(start_fen)).where(Filter())
    claimed, room = number_said(match["games"]), 0.2 if _LOOSE.search(match["said"]) else 0.05
    too_many = claimed - whole.games > room * claimed and not match["most"]
    too_few = whole.games - claimed > room * claimed and not match["least"]
    if too_many or (too_few and not named):
        span = Span(start + match.start("said"), start + match.end("said"))
        words = grounds.lesson.script.source.words(span)
        message = f"'{words}' is not what there are: {whole.collection}"
        yield _finding(span, message, start_fen)


def _of_all_players(tally: Tally, move: MoveTally) -> int:
    """The games with a move, whoever played them."""
    from linewright.games.tally import Filter

    whole = tally.where(Filter()).move(move.uci)
    return whole.games if whole else move.games


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
    if _agrees(figure, claimed, room):
        return None
    interval = f"{percent(figure.low)} to {percent(figure.high)}"
    return f"{move.san} is {what} in {figure} ({interval}; {tally.basis()})", tally.fen


def _agrees(figure: Proportion, claimed: float, room: float) -> bool:
    """Whether a percentage lies in the interval of its games, or they are too few to tell."""
    room = max(room, 0.1) if figure.small else room
    return figure.games < FEWEST or figure.low - room <= claimed <= figure.high + room


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
    mover = side_name(tally.white_to_move)
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
