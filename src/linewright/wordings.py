"""The wordings of all families of statements, found in a text.

More than a thousand regular expressions are tried at every place where a clause may begin. The Rust
core does it (`rust/core/src/wordings`): it tries only those whose words all stand in the text, and
has nothing to compile or to keep between runs.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

from linewright._core import Wordings
from linewright.english.wording import BEING
from linewright.expressions import expression
from linewright.judging import MACROS, PHRASES, Pattern


@dataclass(frozen=True, slots=True)
class Fit:
    """A wording that fits a text: whose it is, where it stands, and what its groups hold.

    `groups` are those that hold something, by name, in the order in which they are written.
    """

    family: str
    pattern: Pattern
    start: int
    end: int
    groups: tuple[tuple[str, str], ...]


class Listing:
    """Wordings of several families that are matched against the same normal form.

    Raises: ValueError for a template that is none, with what is wrong in it.
    """

    def __init__(self, told: Sequence[tuple[str, Pattern]]) -> None:
        self._told = tuple(told)
        self._core = Wordings([_parts(pattern) for _, pattern in told], MACROS | PHRASES)

    def beginning(self, text: str, begin: int, ends: Sequence[int]) -> list[Fit]:
        """The wordings that fit from a place to one of the ends (last first), by families."""
        return [self._fit(*found) for found in self._core.beginning(text, begin, ends)]

    def anywhere(self, text: str) -> list[Fit]:
        """The wordings that fit wherever they stand, by families."""
        return [self._fit(*found) for found in self._core.anywhere(text)]

    def _fit(self, number: int, begin: int, end: int, groups: list[tuple[str, str]]) -> Fit:
        family, pattern = self._told[number]
        return Fit(family, pattern, begin, end, tuple(groups))


@cache
def listings() -> dict[tuple[bool, bool], Listing]:
    """The wordings of all families by (matched against the full form, noun phrase)."""
    from linewright.statements import families

    told: dict[tuple[bool, bool], list[tuple[str, Pattern]]] = {
        (full, noun): [] for full in (True, False) for noun in (True, False)
    }
    for family in families():
        for pattern in family.patterns:
            told[pattern.full, pattern.noun].append((family.name, pattern))
    return {kind: Listing(patterns) for kind, patterns in told.items()}


_GUARD = expression(r"\(\?!((?:[^()]|\((?:[^()]|\([^()]*\))*\))*)\)$")
_BEING = expression(rf"(?:{'|'.join(BEING)})\b")
"""What a template holds that `_PLACED` finds anything in; much sooner seen."""
_PLACED = expression(rf"\b({'|'.join(BEING)})\b(\??)(?! guard| up)")


def _parts(pattern: Pattern) -> tuple[str, str]:
    """A template in plain words, and what must not follow it.

    That is kept apart (a negative look-ahead at the end), as a match ends where a clause may end.
    """
    template = plainly(pattern.template)
    guard = None if pattern.noun else _GUARD.search(template)
    return (template[: guard.start()], guard[1]) if guard else (template, "")


def plainly(template: str) -> str:
    """A template in the words the text is put into: "is" for "stands"."""
    if not _BEING.search(template):
        return template
    return _PLACED.sub(lambda m: "(?:is|are)" if m[2] else BEING[m[1]], template)
