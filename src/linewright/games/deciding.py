"""What the games say to statements about how often and how well a move is played.

Limits for words (common practice, no source): rare is surely below one in ten, often surely one
in five or more, most surely more than half, nearly all surely more than 85 in a hundred. Between
the limits it cannot be told, and with fewer than thirty games only what their interval leaves no
doubt of: eighteen of twenty games are most of them. With fewer than ten nothing is told.
"""

from __future__ import annotations

import re

from linewright.expressions import expression
from linewright.games.of_lesson import LessonGames
from linewright.games.statistics import FEWEST, SMALL, Score
from linewright.games.statistics import score as score_of
from linewright.games.tally import MoveTally, Tally
from linewright.judging import Fact, Said
from linewright.moves import side_name
from linewright.moves_meant import Played

RARE, OFTEN, MOST, NEARLY_ALL = 0.10, 0.20, 0.50, 0.85

_NUMBER = expression(r"(?<![\w.])\d+(?![\w.])|\bpercent\b|\bper cent\b|%")
_RARELY = expression(r"\b(?:rare|rarely|seldom|hardly|never|unusual|uncommon|unpopular|few)\b")
_NEARLY = expression(r"\b(?:nearly all|almost all|almost always|always|vast majority)\b")
_MOSTLY = expression(r"\b(?:most|usually|normally|mostly|majority|generally)\b")
_RANKED = expression(
    r"\b(?P<rank>second|third)?\s*(?:commonest|most\s+(?:often\s+)?(?:common|popular|frequent|usual"
    r"|played|frequently\s+played)|main|usual|normal|standard|principal|favourite)\s+(?:move|repl"
    r"|answer|choice|continuation|response|line|option|variation|one|recapture|retreat|capture"
    r"|defence|development|main)|\bmost\s+often$"
)
_NONE = expression(r"^(?:nobody|no one|none)\b.*\b(?:has|have|ever|yet)\b")
_OFTEN = expression(r"\b(?:often|frequently|commonly|common|popular|many|regularly)\b")
_BADLY = expression(r"\b(?:badly|poorly|worse|disappointingly|below average|bad|poor|terrible)\b")
_DOWN = expression(
    r"\b(?:less|decline|declining|out of fashion|falling|fallen|rare|rarer|shrunk)\b"
)


class GamesDecider:
    """The collection as the families of statements ask it: `Judges.tally`."""

    def __init__(self, games: LessonGames) -> None:
        self._games = games

    def __call__(self, said: Said, question: str) -> Fact | None:
        """What the games show, or None where the words do not say enough."""
        words = " ".join(said.original.lower().split())
        if _NUMBER.search(words):
            return Fact(None, "the figure is compared with the games by a check of its own")
        played = _played(said)
        if question == "score":
            return self._score(said, words, played)
        if played is None:
            return None
        tally = self._games.tally(played.before)
        move = tally.move(played.move.uci())
        if tally.games < (SMALL if question == "trend" else FEWEST):
            return Fact(None, f"only {tally.basis()}")
        if question == "trend":
            return _trend(words, tally, move)
        return _frequency(words, tally, move, played)

    def _score(self, said: Said, words: str, played: Played | None) -> Fact | None:
        if " than " in words or re.search(r"\b(?:half|most)\b", words):
            return None
        if "move" in said and played is not None:
            tally = self._games.tally(played.before)
            move = tally.move(played.move.uci())
            mover, found = played.colour, move.score if move else None
            what = played.san
        else:
            tally = self._games.tally(said.board)
            mover, found, what = said.board.turn, tally.score, "the position"
        if found is None or found.small:
            return Fact(None, f"only {found.games if found else 0} games with {what}")
        side = said.side() if "side" in said or "whose" in said else mover
        mine = found if side == mover else score_of(found.losses, found.draws, found.wins)
        name = side_name(side)
        return _well(mine, not _BADLY.search(words), f"{what} scores {mine} for {name}", tally)


def _played(said: Said) -> Played | None:
    """The move spoken of: the one named, else the last one played."""
    if "move" in said:
        return said.played()
    if not said.board.move_stack:
        return None
    before = said.board.copy()
    return Played(before, before.pop()) if before.move_stack else None


def _well(found: Score, well: bool, told: str, tally: Tally) -> Fact:
    because = f"{told} ({tally.filter})"
    if found.low <= 0.5 <= found.high:
        return Fact(None, because)
    return Fact((found.low > 0.5) is well, because)


def _frequency(words: str, tally: Tally, move: MoveTally | None, played: Played) -> Fact | None:
    first = tally.moves[0]
    told = f"{played.san} is played in {move.share if move else f'none of {tally.games} games'}"
    because = f"{told} ({tally.filter})"
    if _NONE.search(words):
        return Fact(move is None or not move.games, because)
    ranked = _RANKED.search(words)
    if ranked and not _RARELY.search(words):
        wanted = {"second": 2, "third": 3}.get(ranked["rank"] or "", 1)
        rank = tally.rank(played.move.uci())
        if tally.games < SMALL and not _stands_apart(tally, move, wanted):
            return Fact(None, f"only {tally.basis()}")
        if rank == wanted:
            return Fact(True, because)
        return Fact(False, f"{because}; {first.san} in {first.share}")
    low = move.share.low if move else 0.0
    high = move.share.high if move else 3 / tally.games
    if _RARELY.search(words):
        return _between(low > OFTEN, high < RARE, because, true_if_high=False)
    for pattern, least, most in (
        (_NEARLY, NEARLY_ALL, NEARLY_ALL - 0.1),
        (_MOSTLY, MOST, MOST),
        (_OFTEN, OFTEN, RARE),
    ):
        if pattern.search(words):
            return _between(low > least, high < most, because, true_if_high=True)
    return None


def _stands_apart(tally: Tally, move: MoveTally | None, wanted: int) -> bool:
    """Whether few games still leave no doubt which move is the most frequent of the two."""
    first = tally.moves[0]
    other = (tally.moves[1] if len(tally.moves) > 1 else None) if move is first else move
    high = other.share.high if other else 3 / tally.games
    return wanted == 1 and first.share.low > high


def _between(above: bool, below: bool, because: str, *, true_if_high: bool) -> Fact:
    if not above and not below:
        return Fact(None, because)
    return Fact(above is true_if_high, because)


def _trend(words: str, tally: Tally, move: MoveTally | None) -> Fact | None:
    trend = move.trend if move else None
    if move is None or trend is None or trend.recent.small or trend.before.small:
        return Fact(None, "too few games to see a trend")
    because = f"{move.san}: {trend} ({tally.filter})"
    if trend.direction == 0:
        return Fact(None, because)
    return Fact((trend.direction < 0) is bool(_DOWN.search(words)), because)
