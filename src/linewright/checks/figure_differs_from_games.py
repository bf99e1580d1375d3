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

```flags
---
for: White
students: 1000-1900
games: examples/brackwater-games.pgn.xz
---
After 1.d4 d5 2.c4 e6 3.Nc3 Nf6 4.cxd5 only ⟦one in ten⟧ players plays 4...exd5 here.
```

```flags
---
for: White
students: 1000-1900
games: examples/brackwater-games.pgn.xz
---
After 1.d4 d5 2.c4 e6 3.Nc3 Nf6 4.cxd5 White wins ⟦90 percent⟧ of the games.
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

Limits: needs a collection. Who wins or loses is read where White, Black, "we" or "I" stands right
before it. Nothing is told of a share that the sentence denies. A share of the games beside which no
move is named is told in a note, as not compared. Read are percentages and fractions ("two thirds of
our members", "three out of ten") with words like "play", "chosen", "score", "wins" or "drawn" in
the same sentence, about the nearest move before or after them in that sentence, numbers of games
with a move, and how many games a collection is said to have, where a sentence says nothing else. A
percentage is contradicted if it lies outside the interval by more than one point (five after
"about" and the like), of fewer than thirty games by more than ten points; of fewer than ten games
none is. A number of games is too large if the collection has fewer of players of all ratings;
numbers below ten are not judged, and those in words are never called older.

Source: the collections named in the front matter, in the students' band; Wilson's interval for
shares, the trinomial error for scores.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

import chess

from linewright.checks import Grounds
from linewright.expressions import expression
from linewright.finding import Evidence, Finding, Severity
from linewright.games.statistics import FEWEST, Proportion, percent, proportion
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
_PEOPLE = (
    r"(?:[\w-]+\s+)?(?:players|members|games|opponents|people|pupils|students|masters|amateurs"
    r"|cases|them|us)\b"
)
_FRACTION = expression(
    r"\b(?P<of>(?:two|one|a)\s+thirds?|(?:three|one|a)\s+(?:quarters?|fourths?)|half)\s+(?:of\s+)?"
    rf"(?:the|our|my|your|all|his|these|of)\s+{_PEOPLE}",
    re.IGNORECASE,
)
_OUT_OF = expression(
    rf"\b(?P<part>{NUMBER})\s+(?:out\s+of|in)\s+(?:every\s+)?(?P<all>{NUMBER})\s+"
    rf"(?:of\s+(?:the|our|my|your|these)\s+)?(?:{_PEOPLE}|(?=go\b|play\b|choose\b|reply\b|prefer\b|take\b))",
    re.IGNORECASE,
)
_OF_GAMES = expression(
    r"\s+(?:of|in)\s+(?:the|our|all|these|my)\s+(?:\w+\s+)?games\b", re.IGNORECASE
)
_PARTS = {"third": 3, "quarter": 4, "fourth": 4}
_GAMES = expression(rf"\bin\s+({NUMBER})\s+games\b(?! out of)", re.IGNORECASE)
_LEAST = r"more than|over|at least|upwards? of"
_MOST = r"fewer than|less than|under|at most|up to|no more than"
_CLAIMED = (
    rf"(?:(?:(?P<least>{_LEAST})|(?P<most>{_MOST})|about|around|roughly|nearly|almost|some)\s+)?"
    rf"(?P<games>{NUMBER})\s+games"
)
_OPENS = r"\W*(?:(?:now|today|by now|so|and|but|currently|in all)\b\W*)*"
_SENTENCE = expression(r"[^!?;]*?(?:(?<!\b\d)(?<!\b\d\d)\.(?=\s|$)|[!?;]|$)", re.DOTALL)
_LOOSE = expression(r"\b(?:about|around|roughly|nearly|almost|over|more or less|some)\b")
_SCORE = expression(r"\bscor(?:e|es|ed|ing)\b")
_WON = expression(
    r"\b(?P<who>White|Black|[Ww]e|I|[Yy]ou)\s+(?:(?:has|have)\s+)?"
    r"(?:[^.;]*?[\d%a-z]\s*(?:,|and)\s+)??(?P<won>wins?|won|loses?|lost)\s+"
    r"(?:(?:only|just|about|around|roughly|nearly|almost|over|some)\s+){0,2}$"
)
"""Who wins or loses a share, told right before it."""
_SHARE_ENDS = expression(
    r"\s*(?:$|[.,;:!?)]|and\b|games\b|(?:of|in)\s+(?:(?:the|our|all|these)\s+(?:\w+\s+)?games|them)\b)"
)
_DENIED = expression(r"\b(?:not|never|no|nobody|rather|refuse|without)\b|n['’]t\b", re.IGNORECASE)
_TO_MOVE = expression(r"[\s,*_]*(?:(?:with|for|the|move|here|now|on)\b[\s,*_]*)*")
"""What may stand between a verb of playing and its move."""
_DRAWN = expression(r"\b(?:drawn|draws?)\b")
_PLAYED = expression(
    r"\b(?:plays?|played|chooses?|chose|chosen|reply|replies|replied|answers?|answered|go|goes|met|seen)"
    r"\b"
)
_TAKEN = expression(r"\b(?:takes?|took|taken|recaptures?|castles?)\b")
_SIDE = expression(r"\b(White|Black)\b(?=\s+(?:scores?|scored|is scoring)\b)")
_READ = {BlockKind.PARAGRAPH, BlockKind.ITEM, BlockKind.QUOTE}


@cache
def _in_all_told(names: tuple[str, ...]) -> tuple[re.Pattern[str], ...]:
    """Sentences that tell no more than how many games there are, in a collection or in one of the
    names: anything else in them may leave only a part of the games ("40 games with 2.Nf3")."""
    named = "".join(f"|{re.escape(name)}" for name in names)
    whole = rf"(?:the|our|my|this)\s+(?:\w+\s+)?(?:collection|database|file{named})"
    return tuple(
        expression(rf"{_OPENS}{told}(?=\s*(?:[.!?;)]|$))", re.IGNORECASE)
        for told in (
            rf"there\s+are\s+(?P<said>{_CLAIMED}\s+in\s+{whole})",
            rf"(?P<said>{whole}\s+(?:now\s+)?(?:has|holds|contains)\s+{_CLAIMED})",
        )
    )


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
    for part, claimed, room in _shares(text):
        span = Span(start + part.start, start + part.stop)
        said = _judged(grounds, text, start, span, claimed, room)
        words = lesson.script.source.words(span)
        if said:
            message = f"'{words}' is not what the games say: {said[0]}"
            yield _finding(span, message, said[1])
        elif _is_of_no_move(grounds, text, start, span):
            message = (
                f"'{words}' is not compared with the games: no move of theirs is named beside it"
            )
            yield replace(
                _finding(span, message, lesson.at(span.start).fen), severity=Severity.NOTE
            )
    for match in _GAMES.finditer(text):
        span = Span(start + match.start(), start + match.end())
        claimed = number_said(match[1])
        near = _move(grounds, start, start + len(text), span) if claimed >= FEWEST else None
        if near is None:
            continue
        tally, move = near
        words = lesson.script.source.words(span)
        counted = f"{move.san} is in {move.games} games"
        if match[1][0].isdigit() and move.games > claimed * 1.05:
            counted += f" by now ({tally.basis()})"
            yield _finding(span, f"'{words}' is older than the games: {counted}", tally.fen)
        elif (most := _of_all_players(tally, move)) * 1.05 < claimed:
            counted = f"{move.san} is in no more than {most} ({tally.where(Filter()).basis()})"
            yield _finding(span, f"'{words}' is more than there are: {counted}", tally.fen)


def _is_of_no_move(grounds: Grounds, text: str, start: int, span: Span) -> bool:
    """Whether a share of games is told of a move, and no notation says of which."""
    scored = _SCORE.search(text) or _WON.search(text[: span.start - start])
    of_games = _OF_GAMES.match(text, span.end - start)
    mine = of_games is not None and re.search(r"\bmy\b", of_games[0])
    if mine or not (_PLAYED.search(text) or _TAKEN.search(text)):
        return False
    return bool(of_games and not scored and _move(grounds, start, start + len(text), span) is None)


def _shares(text: str) -> Iterator[tuple[range, float, float]]:
    """The shares a text tells: the place of each, what it claims, and how loosely."""
    loose = 0.05 if _LOOSE.search(text) else 0.01
    for match in _PERCENT.finditer(text):
        yield range(match.start(), match.end()), float(match[1]) / 100, loose
    for match in _FRACTION.finditer(text):
        words = match["of"].lower().split()
        parts = _PARTS.get(words[-1].rstrip("s"), 2)
        many = {"two": 2, "three": 3}.get(words[0], 1)
        yield range(match.start("of"), match.end("of")), many / parts, 0.05
    for match in _OUT_OF.finditer(text):
        many, parts = number_said(match["part"]), number_said(match["all"])
        if many <= parts > 2:
            place = range(match.start(), match.end("all"))
            yield place, many / parts, max(loose, 0.05) if parts <= 10 else loose


def _in_all(grounds: Grounds, text: str, start: int, named: bool) -> Iterator[Finding]:
    """What contradicts the number of all games that a sentence tells; `named` where moves were
    named before it in its block: then fewer games may be those of a part."""
    from linewright.games.tally import Filter

    names = tuple(Path(name).name.split(".")[0] for name in grounds.lesson.front.games)
    match = next(filter(None, (told.match(text) for told in _in_all_told(names))), None)
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
    grounds: Grounds, text: str, start: int, span: Span, claimed: float, room: float
) -> tuple[str, str] | None:
    """What contradicts a percentage, with its position; `None` if nothing does."""
    found = _move(grounds, start, start + len(text), span)
    before, behind = text[: span.start - start], text[span.end - start :]
    won = _WON.search(before) if _SHARE_ENDS.match(behind) else None
    if won:
        side = _who(won["who"], grounds.lesson)
        lost = won["won"].startswith("los")
        does = "is lost in" if lost else "is won in"
        return _score(grounds, found, span, side, claimed, room, does) if side else None
    if _SCORE.search(text):
        side = next(iter(_SIDE.findall(text)), "")
        return _score(grounds, found, span, side, claimed, room)
    if found is None or not (_DRAWN.search(text) or _PLAYED.search(text)) or _DENIED.search(text):
        return None
    if not _DRAWN.search(text) and not _is_played(grounds.lesson, behind, span.end):
        return None
    tally, move = found
    figure = move.drawn if _DRAWN.search(text) else move.share
    what = "drawn" if _DRAWN.search(text) else "played"
    if _agrees(figure, claimed, room):
        return None
    interval = f"{percent(figure.low)} to {percent(figure.high)}"
    return f"{move.san} is {what} in {figure} ({interval}; {tally.basis()})", tally.fen


def _who(told: str, lesson: Lesson) -> str:
    """The side that wins: the one named, or the one the lesson is for; empty where neither is."""
    if told in ("White", "Black"):
        return told
    return "" if told.lower() == "you" else lesson.front.taught or ""


def _is_played(lesson: Lesson, behind: str, start: int) -> bool:
    """Whether a verb of playing behind a share leads straight to its move, if one stands there."""
    verb = _PLAYED.search(behind)
    if verb is None:
        return True
    gap = _TO_MOVE.match(behind, verb.end())
    at = start + (gap.end() if gap else verb.end())
    spans = [one.span for one in lesson.moves] + [one.span for one in lesson.mentions]
    near = [one for one in spans if start <= one.start < start + len(behind)]
    if any(one.start < start + verb.start() for one in near):
        return True
    if re.match(r"[^;]*\bwith\s+\d", behind[at - start :]):
        return False
    return not near or any(one.start <= at < one.end for one in near)


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
    does: str = "",
) -> tuple[str, str] | None:
    """What contradicts what a side is said to score, or to win of the games."""
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
    if does:
        won = (side in ("", mover)) is ("won" in does)
        share = proportion(score.wins if won else score.losses, score.games)
        low, high, value = share.low, share.high, share.share
    room = max(room, 0.1) if score.small else room
    if score.games < FEWEST or low - room <= claimed <= high + room:
        return None
    interval = f"{percent(low)} to {percent(high)}"
    told = f"{what} {does or 'scores'} {percent(value)} for {side or mover} in {score.games} games"
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
