"""Numbered moves that only say which line or which lesson is spoken of: the board stays.

"6...Nc6 is a mistake in the line with 3...Bg4" speaks of the board after 6...Nc6, and "Lesson 1 was
3.cxd5 cxd5" of what is no line of this lesson.
"""

from __future__ import annotations

import re

from linewright.expressions import expression

_LINE = r"(?:(?:side|main) )?(?:line|variation|branch|system|defen[cs]e|attack|gambit)"
_NAMES_LINE = expression(
    rf"\b(?:in|of|on|from|within) (?:the|this|that|our|your|my) (?:[\w'’-]+ )?{_LINE}"
    r" (?:with|after|behind|of|that (?:begins|starts) with|(?:beginning|starting) with) ?[*_`(]*$",
    re.IGNORECASE,
)
_DETERMINED = expression(r"\b(?:in|of|on|from|within) (?:the|this|that|our|your|my) ?[*_`]*$", re.I)
_BEHIND_LINE = expression(rf"[*_`]*[ -](?:[\w'’-]+ )?{_LINE}\b", re.IGNORECASE)
_MEETING = r"(?:lesson|chapter|session|evening|talk|lecture|class)"
_COUNT = r"(?:\d+|one|two|three|four|five|six|seven|eight|nine|ten)"
_ANOTHER = expression(
    rf"\b(?:{_MEETING} {_COUNT}|(?:the |our |an |my )?(?:last|first|second|third|previous|earlier"
    rf"|another) {_MEETING}|last (?:time|week|month|year|{_MEETING}))\b",
    re.IGNORECASE,
)
_WAS_TOLD = expression(
    r"\b(?:was|were|had|saw|looked|took|played|covered|showed|learn(?:t|ed)|met|studied|chose"
    r"|discussed|treated|dealt|went|did|began|started)\b",
    re.IGNORECASE,
)
_OF_THIS_ONE = expression(r"\b(?:today|now|this time|as|like|so|again|promised)\b", re.IGNORECASE)
_NO_MORE_OF_IT = expression(r"[*_`]*(?:\s*[.,;:!?)]|\s+(?:and|but|or|in|last)\b|\s*$)")
"""Behind moves of which the sentence says nothing more."""
_STOP = expression(r"(?<!\b\d)(?<!\b\d\d)[.!?;]\s+")


def sentence_of(before: str) -> str:
    """The words of a move's sentence that stand before it.

    >>> sentence_of("1. e4 is on the board, 3.Nc3. Lesson 1 was ")
    'Lesson 1 was '
    """
    return " ".join(_STOP.split(before)[-1].split()) + " " * before.endswith((" ", "\n"))


def names_its_line(before: str, behind: str) -> bool:
    """Whether a move between these words only names the line that is spoken of.

    >>> names_its_line("a mistake in the line with ", "?"), names_its_line("of the ", " line?")
    (True, True)
    >>> names_its_line("better in the line is ", ".")
    False
    """
    sentence = sentence_of(before)
    if _NAMES_LINE.search(sentence):
        return True
    return bool(_DETERMINED.search(sentence) and _BEHIND_LINE.match(behind))


def tells_of_another_lesson(before: str, behind: str) -> bool:
    """Whether moves between these words were the matter of another lesson, and no more is said.

    >>> tells_of_another_lesson("Lesson 1 was ", ", if you recall."), tells_of_another_lesson(
    ...     "As we saw last week, ", " is dull.")
    (True, False)
    """
    sentence = sentence_of(before)
    named = _ANOTHER.search(sentence) or _ANOTHER.search(_STOP.split(behind)[0])
    told = _WAS_TOLD.search(sentence) and not _OF_THIS_ONE.search(sentence)
    return bool(named and told and _NO_MORE_OF_IT.match(behind))


__all__ = ["names_its_line", "sentence_of", "tells_of_another_lesson"]
