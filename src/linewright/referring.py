"""Numbered moves that only say which line or which lesson is spoken of: the board stays.

"6...Nc6 is a mistake in the line with 3...Bg4" speaks of the board after 6...Nc6, and "Lesson 1 was
3.cxd5 cxd5" of what is no line of this lesson.
"""

from __future__ import annotations

import re

from linewright.expressions import expression
from linewright.lesson_numbers import COUNT, MEETING, ORDINAL
from linewright.notation import MOVE

_LINE = r"(?:(?:side|main) )?(?:line|variation|branch|system|defen[cs]e|attack|gambit)"
_NAMES_LINE = expression(
    rf"\b(?:in|of|on|from|within) (?:the|this|that|our|your|my) (?:[\w'’-]+ )?{_LINE}"
    r" (?:with|after|behind|of|that (?:begins|starts) with|(?:beginning|starting) with) ?[*_`(]*$",
    re.IGNORECASE,
)
_FOR_ANOTHER = expression(
    r"\([^()]*\b(?:instead of|in place of|rather than|better than|stronger than|not|unlike)"
    r" [*_`]*$",
    re.IGNORECASE,
)
_CLOSED = expression(r"[*_`]*[.!,;]?\)")
_DETERMINED = expression(r"\b(?:in|of|on|from|within) (?:the|this|that|our|your|my) ?[*_`]*$", re.I)
_BEHIND_LINE = expression(rf"[*_`]*[ -](?:[\w'’-]+ )?{_LINE}\b", re.IGNORECASE)
_ANOTHER = (
    rf"\b(?:{MEETING} {COUNT}|our {ORDINAL} {MEETING}"
    rf"|(?:the |our |an |my )?(?:last|previous|earlier|another) {MEETING}"
    r"|last (?:time|week|month|year))\b"
)
_TOLD = (
    r"(?:was|were|had|saw|looked|took|played|covered|showed|learn(?:t|ed)|met|studied|chose"
    r"|discussed|treated|dealt|went|did|began|started)"
)
_OF_THIS_ONE = r"(?:today|now|here|this|these|as|like|which|just|so|again|promised|same|and|but|or)"
_WORDS = rf"(?: (?!{_OF_THIS_ONE}\b)[\w'’-]+){{0,4}}"
_ENDS = r" ?[*_`(]*$"
_ANOTHER_WAS = expression(
    rf"(?:\b(?:in|at) )?{_ANOTHER}{_WORDS} {_TOLD}\b{_WORDS}{_ENDS}", re.IGNORECASE
)
_WAS = expression(rf"\b{_TOLD}\b{_WORDS}{_ENDS}", re.IGNORECASE)
_IN_ANOTHER = expression(rf"[*_`)]*\s+(?:(?:in|at) )?{_ANOTHER}", re.IGNORECASE)
_SPOKEN_OF_HERE = expression(
    r"\b(?:today|now|here|this|these|as|like|which|just|promised|same)\b", re.IGNORECASE
)
_NO_MORE_OF_IT = expression(r"[*_`]*(?:\s*[.,;:!?)]|\s+(?:and|but|or|in|last)\b|\s*$)")
"""Behind moves of which the sentence says nothing more."""
_ANY_MOVE = expression(rf"\d\s?(?:\.|…)[.…\s]*(?:{MOVE.pattern})")
_PARENTHESIS = expression(r"\([^()]*\)")
_STOP = expression(r"(?<!\b\d)(?<!\b\d\d)[.!?;][\"”’*_]*\s+")


def sentence_begins(before: str) -> int:
    """Where the sentence begins whose words end these; what is in parentheses ends none.

    >>> sentence_begins("We wait. Lesson 1 (last week. Or not.) was ")
    9
    """
    outside = _PARENTHESIS.sub(lambda found: " " * len(found[0]), before)
    return max((stop.end() for stop in _STOP.finditer(outside)), default=0)


def sentence_of(before: str) -> str:
    """The words of a move's sentence that stand before it, without closed parentheses.

    >>> sentence_of("1. e4 is on the board, 3.Nc3. Lesson 1 (the long one) was ")
    'Lesson 1 was '
    """
    outside = _PARENTHESIS.sub("", before[sentence_begins(before) :])
    return " ".join(outside.split()) + " " * before.endswith((" ", "\n"))


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


def names_its_rival(before: str, behind: str) -> bool:
    """Whether a move between these words is named in parentheses as the one that was not chosen.

    >>> names_its_rival("12.Ra3 (instead of ", ") 12...g5"), names_its_rival("(not ", " yet)")
    (True, False)
    """
    return bool(_FOR_ANOTHER.search(before) and _CLOSED.match(behind))


def tells_of_another_lesson(before: str, behind: str) -> bool:
    """Whether moves between these words were the matter of another lesson, and no more is said.

    Only where nothing else stands between the lesson's name, the verb and the moves, and the
    sentence has no other moves: moves left out wrongly are a worse fault than a line too many.

    >>> tells_of_another_lesson("Lesson 1 was ", ", if you recall."), tells_of_another_lesson(
    ...     "As we saw last week, ", " is dull.")
    (True, False)
    """
    sentence, rest = sentence_of(before), _STOP.split(behind)[0]
    if _ANY_MOVE.search(sentence) or _ANY_MOVE.search(rest) or not _NO_MORE_OF_IT.match(behind):
        return False
    if _SPOKEN_OF_HERE.search(sentence) or _SPOKEN_OF_HERE.search(rest):
        return False
    if _ANOTHER_WAS.search(sentence):
        return True
    return bool(_WAS.search(sentence) and _IN_ANOTHER.match(rest))


__all__ = [
    "names_its_line", "names_its_rival", "sentence_begins", "sentence_of",
    "tells_of_another_lesson",
]  # fmt: skip
