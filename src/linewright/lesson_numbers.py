"""How lessons of a series are counted: "lesson 2", "our third evening", "chapter twelve"."""

from __future__ import annotations

from linewright.number_words import UNITS, number_said

MEETING = r"(?:lesson|chapter|session|evening|talk|lecture|class)"
"""What a lesson is called."""
COUNT = rf"(?:\d{{1,3}}|{'|'.join(UNITS[1:13])})"
"""Its number."""
NTH = (
    "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth",
    "eleventh", "twelfth",
)  # fmt: skip
"""Its number as an ordinal, to be looked for as `ORDINAL`."""
ORDINAL = rf"(?:{'|'.join(NTH)})"


def count_said(words: str) -> int:
    """The number that a count or an ordinal says.

    >>> [count_said(words) for words in ("2", "Twelve", "third")]
    [2, 12, 3]
    """
    return NTH.index(words.lower()) + 1 if words.lower() in NTH else number_said(words)


__all__ = ["COUNT", "MEETING", "NTH", "ORDINAL", "count_said"]
