"""Intervals, scores and ratings: the few formulas a tally needs, each with its source."""

from __future__ import annotations

import math
from dataclasses import dataclass

Z95 = 1.959963984540054
"""Two-sided 95 percent point of the normal curve."""

SMALL = 30
"""Below this many games a figure is called a small sample (common practice, no source)."""
FEWEST = 10
"""Below this many games nothing is told from them, nor against a figure (common practice, no
source)."""


@dataclass(frozen=True, slots=True)
class Proportion:
    """`count` out of `games`, with the interval the true share probably lies in."""

    count: int
    games: int
    low: float
    high: float

    @property
    def share(self) -> float:
        """The share itself, 0 to 1; 0 of no games is 0."""
        return self.count / self.games if self.games else 0.0

    @property
    def small(self) -> bool:
        """Whether the sample is too small to lean on."""
        return self.games < SMALL

    @property
    def short(self) -> str:
        """The share in percent; of a handful of games, of which percents say too much, the count.

        >>> proportion(1, 1).short, proportion(30, 60).short
        ('1 of 1', '50 %')
        """
        few = 0 < self.games < FEWEST
        return f"{self.count} of {self.games}" if few else percent(self.share)

    def __str__(self) -> str:
        counts = f"{self.count} of {self.games}"
        return counts if self.short == counts else f"{self.short} ({counts})"


@dataclass(frozen=True, slots=True)
class Score:
    """Wins, draws and losses of one side, and the interval its true score probably lies in."""

    wins: int
    draws: int
    losses: int
    low: float
    high: float

    @property
    def games(self) -> int:
        """Games with a result."""
        return self.wins + self.draws + self.losses

    @property
    def value(self) -> float:
        """Points per game, 0 to 1; without games 0.5, over its whole range."""
        return (self.wins + self.draws / 2) / self.games if self.games else 0.5

    @property
    def small(self) -> bool:
        """Whether the sample is too small to lean on."""
        return self.games < SMALL

    def __str__(self) -> str:
        if not self.games:
            return "no results"
        few = ", small sample" if self.small else ""
        band = f"{percent(self.low)} to {percent(self.high)}"
        return f"{percent(self.value)} in {in_games(self.games)} ({band}{few})"


def in_games(number: int) -> str:
    """How many games, as people write it.

    >>> in_games(1), in_games(2)
    ('1 game', '2 games')
    """
    return f"{number} game{'s' * (number != 1)}"


def percent(share: float) -> str:
    """A share as people write it: whole percents, one decimal below 1.

    >>> percent(0.5834), percent(0.0042), percent(0)
    ('58 %', '0.4 %', '0 %')
    """
    if 0 < share < 0.00995:
        return f"{share * 100:.1f} %" if share >= 0.0005 else "below 0.1 %"
    return f"{share * 100:.0f} %"


def wilson(successes: float, trials: int, z: float = Z95) -> tuple[float, float]:
    """The score interval of a proportion.

    **Source**: E. B. Wilson, J. Am. Stat. Assoc. 22 (1927) 209-212; Newcombe, Statistics in
    Medicine 17 (1998) 857-872, method 3.

    >>> [round(end, 4) for end in wilson(81, 263)]
    [0.2553, 0.3662]
    """
    if trials <= 0:
        return 0.0, 1.0
    p = successes / trials
    spread = z * z / trials
    centre = (p + spread / 2) / (1 + spread)
    half = z * math.sqrt(p * (1 - p) / trials + spread / (4 * trials)) / (1 + spread)
    low = 0.0 if successes <= 0 else max(0.0, centre - half)
    high = 1.0 if successes >= trials else min(1.0, centre + half)
    return low, high


def proportion(count: int, games: int) -> Proportion:
    """A share with its Wilson interval."""
    return Proportion(count, games, *wilson(count, games))


def difference(one: Proportion, other: Proportion, z: float = Z95) -> tuple[float, float]:
    """The interval of the difference between two independent shares (one minus other).

    **Source**: Newcombe, Statistics in Medicine 17 (1998) 873-890, method 10.

    >>> low, high = difference(proportion(56, 70), proportion(48, 80))
    >>> round(low, 4), round(high, 4)
    (0.0524, 0.3339)
    """
    (low1, high1), (low2, high2) = (
        wilson(one.count, one.games, z),
        wilson(other.count, other.games, z),
    )
    gap = one.share - other.share
    return (
        gap - math.hypot(one.share - low1, high2 - other.share),
        gap + math.hypot(high1 - one.share, other.share - low2),
    )


def trinomial_error(wins: int, draws: int, losses: int) -> float:
    """The standard error of a score, draws counted as what they are; 0 without games.

    **Source**: variance of one game w(1-s)² + d(½-s)² + l·s², over n (common practice).

    >>> round(trinomial_error(40, 40, 20), 6)
    0.037417
    """
    games = wins + draws + losses
    if not games:
        return 0.0
    s = (wins + draws / 2) / games
    each = wins * (1 - s) ** 2 + draws * (0.5 - s) ** 2 + losses * s * s
    return math.sqrt(each / games / games)


def score(wins: int, draws: int, losses: int, z: float = Z95) -> Score:
    """A score with its interval: trinomial, and Wilson's where that would claim too much.

    With few games, or all of them alike, the trinomial error is too small or nought; there the
    points are taken as a proportion, which is never narrower.
    """
    games = wins + draws + losses
    if not games:
        return Score(0, 0, 0, 0.0, 1.0)
    points = wins + draws / 2
    error = trinomial_error(wins, draws, losses)
    if games < SMALL or error == 0:
        return Score(wins, draws, losses, *wilson(points, games, z))
    middle = points / games
    return Score(wins, draws, losses, max(0.0, middle - z * error), min(1.0, middle + z * error))


def score_difference(one: Score, other: Score) -> tuple[float, float]:
    """The interval of the difference between two independent scores (one minus other).

    **Source**: Newcombe's method 10 applied to the two scores' own intervals (square-and-add).
    """
    gap = one.value - other.value
    return (
        gap - math.hypot(one.value - one.low, other.high - other.value),
        gap + math.hypot(one.high - one.value, other.value - other.low),
    )


# fmt: off
_DP = (
    0, 7, 14, 21, 29, 36, 43, 50, 57, 65, 72, 80, 87, 95, 102, 110, 117, 125, 133, 141, 149, 158,
    166, 175, 184, 193, 202, 211, 220, 230, 240, 251, 262, 273, 284, 296, 309, 322, 336, 351, 366,
    383, 401, 422, 444, 470, 501, 538, 589, 677, 800,
)
# fmt: on


def rating_difference(fraction: float) -> int:
    """The rating difference a fractional score stands for.

    **Source**: FIDE Rating Regulations (1 March 2024), table 8.1.1.

    >>> rating_difference(0.64), rating_difference(0.36), rating_difference(1)
    (102, -102, 800)
    """
    hundredths = math.floor(fraction * 100 + 0.5)
    return _DP[hundredths - 50] if hundredths >= 50 else -_DP[50 - hundredths]


def performance(opposition: float, result: Score) -> int | None:
    """The rating a score against opponents of this mean rating stands for, `None` without games.

    **Source**: FIDE Rating Regulations, Rp = Ra + dp (table 8.1.1).
    """
    if not result.games:
        return None
    return round(opposition) + rating_difference(result.value)
