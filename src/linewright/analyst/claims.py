"""Whether what is won is what was said to be won."""

from __future__ import annotations

import re

from linewright.analyst.questions import Won
from linewright.number_words import NUMBER, number_said

BETTER_CP = 40
"""A side is better from here on. Source: common practice, no source."""

WINNING_CP = 180
"""A side is winning from here on. Source: common practice, no source."""

_LEAST = {
    "pawn": 1, "exchange": 1, "material": 1, "piece": 2, "knight": 2, "bishop": 2, "rook": 3,
    "queen": 5,
}  # fmt: skip
"""The points that make a man won: something may have been given for it. Source: common practice,
no source."""


def least_points(what: str) -> int | None:
    """How many points a side must win for words such as "a piece" or "two pawns" to hold.

    >>> least_points("a piece"), least_points("4 pawns"), least_points("by force")
    (2, 4, None)
    """
    man = next((man for man in _LEAST if man in what), None)
    if man is None:
        return None
    counted = re.search(rf"\b({NUMBER})\s+(?:(?!an?\b)[a-z]+\s+){{0,2}}{man}", what)
    return _LEAST[man] * (number_said(counted[1]) if counted else 1)


def won_as_said(found: Won, what: str) -> bool | None:
    """Whether words such as "a piece", "mate" or "by force" hold of what a side wins, None where
    it lies too near to tell."""
    if re.search(r"\b(?:mates?|mating)\b", what):
        return True if found.mate else False if found.worth_cp < WINNING_CP else None
    if re.search(r"\bdraw\b", what):
        return False if found.worth_cp <= -WINNING_CP else None
    if found.mate:
        return True
    least = least_points(what)
    if least is None:
        return told(found.worth_cp - WINNING_CP, 40)
    if found.points >= least:
        # Material that is won but costs the game is not won.
        return None if found.worth_cp < -BETTER_CP else True
    return False if found.points <= 0 and found.worth_cp < 100 * least else None


def told(distance: float, margin: float = 15) -> bool | None:
    """Whether something holds, None where it is too near the limit to tell."""
    return None if abs(distance) < margin else distance > 0
