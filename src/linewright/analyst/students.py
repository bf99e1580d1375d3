"""How much an error costs players of a certain strength."""

from __future__ import annotations

import math

from linewright.finding import Severity

USUAL_RATING = 1500
"""Club players, where a lesson names no band."""

ERROR_DROP = 0.15
WARNING_DROP = 0.09


def expected(worth_cp: int, students: tuple[int, int] | None) -> float:
    """The share of the point that players of this band may expect from a score.

    Weaker players turn less of an advantage into points: half a pawn counts more among masters.
    Units: 0 to 1. Source: common practice, no source; the scale runs from 630 (rated 1000) to
    300 (rated 2200 and above) hundredths of a pawn for ten to one.

    >>> round(expected(200, (1000, 1200)), 2), round(expected(200, (2200, 2400)), 2)
    (0.68, 0.82)
    """
    rating = sum(students) / 2 if students else USUAL_RATING
    scale = min(max(905 - 0.275 * rating, 300), 700)
    return 1 / (1 + math.pow(10, -max(min(worth_cp, 10_000), -10_000) / scale))


def severity_of_loss(
    before_cp: int, after_cp: int, students: tuple[int, int] | None
) -> Severity | None:
    """How grave it is to come from one score to another; None if it hardly matters.

    An error costs 15 hundredths of the point or more, a warning 9. Source: common practice, no
    source.

    >>> severity_of_loss(30, -250, None)
    <Severity.ERROR: 'error'>
    >>> severity_of_loss(900, 600, None) is None
    True
    """
    drop = expected(before_cp, students) - expected(after_cp, students)
    if drop >= ERROR_DROP:
        return Severity.ERROR
    return Severity.WARNING if drop >= WARNING_DROP else None
