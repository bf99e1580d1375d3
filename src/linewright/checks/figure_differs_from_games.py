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
sentence, numbers of games with a move, and how many games a collection is said to have. A
percentage is contradicted if it lies outside the interval by more than one point (five after
"about" and the like), of fewer than thirty games by more than ten points; of fewer than ten games
none is. A number of games is too large if the collection has fewer of players of all ratings.

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
from linewright.games.statistics import Proportion, percent
from linewright.lesson import Lesson
from linewright.script import BlockKind
from linewright.source import Span

if TYPE_CHECKING:
    from linewright.games.tally import MoveTally, Tally

SEVERITY = Severity.WARNING
NEEDS = ("collection",)

_PERCENT = expression(r"\b(\d{1,3}(?:\.\d)?)\s?(?:%|percent\b|per\s+cent\b)")
_NUMBER = (
    r"(?:\d[\d,]*|(?:twenty|thirty|forty|fifty|sixty|seventy|eighty|ninety)(?:[ -](?:one|two|three|"
    r"four|five|six|seven|eight|nine))?|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|"
    r"thirteen|fourteen|fifteen|sixteen|seventeen|eighteen|nineteen|a hundred)"
)
_GAMES = expression(rf"\bin\s+({_NUMBER})\s+games\b(?! out of)", re.IGNORECASE)
_IN_ALL = expression(
    rf"\b({_NUMBER})\s+games\s+(?:are\s+|stand\s+)?in\s+(?:the|our|my|this)\s+(?:\w+\s+)?(?:collection|database|file)\b"
    rf"|\b(?:the|our|my|this)\s+(?:\w+\s+)?(?:collection|database|file)\s+(?:has|holds|contains|of)\s+({_NUMBER})\s+games\b",
    re.IGNORECASE,
)
_UNITS = {word: k for k, word in enumerate(
    "no one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen"
    " sixteen seventeen eighteen nineteen".split()
)}  # fmt: skip
_TENS = {word: 10 * k for k, word in enumerate(
    "twenty thirty forty fifty sixty seventy eighty ninety".split(), start=2
)}  # fmt: skip
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
        found = _move(grounds, start, start + len(text), span)
        if found is None:
            continue
        tally, move = found
        claimed = _counted(match[1])
        words = lesson.script.source.words(span)
        counted = f"{move.san} is in {move.games} games"
        if move.games > claimed * 1.05:
            counted += f" by now ({tally.basis()})"
            yield _finding(span, f"'{words}' is older than the games: {counted}", tally.fen)
        elif (most := _of_all_players(tally, move)) * 1.05 < claimed:
            counted = f"{move.san} is in no more than {most} ({tally.where(Filter()).basis()})"
            yield _finding(span, f"'{words}' is more than there are: {counted}", tally.fen)
    for match in _IN_ALL.finditer(text) if not lesson.front.start else ():
        span = Span(start + match.start(), start + match.end())
        start_fen = lesson.tree.nodes[0].fen
        whole = grounds.collection.tally(chess.Board(start_fen)).where(Filter())
        claimed = _counted(match[1] or match[2])
        if abs(whole.games - claimed) > 0.05 * claimed:
            words = lesson.script.source.words(span)
            message = f"'{words}' is not what there are: {whole.collection}"
            yield _finding(span, message, start_fen)


def _counted(words: str) -> int:
    """The number that digits or words say.

    >>> _counted("1,200"), _counted("forty"), _counted("twenty-one"), _counted("a hundred")
    (1200, 40, 21, 100)
    """
    parts = words.lower().replace(",", "").replace("-", " ").split()
    if parts[0].isdigit():
        return int(parts[0])
    return 100 if parts[0] == "a" else sum(_UNITS.get(p, 0) + _TENS.get(p, 0) for p in parts)


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


_FEWEST = 10
"""With fewer games no percentage is contradicted (common practice, no source)."""


def _agrees(figure: Proportion, claimed: float, room: float) -> bool:
    """Whether a percentage lies in the interval of its games, or they are too few to tell."""
    room = max(room, 0.1) if figure.small else room
    return figure.games < _FEWEST or figure.low - room <= claimed <= figure.high + room


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
