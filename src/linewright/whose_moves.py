"""Whose moves a sentence tells: those the lesson teaches, or what others play and once played.

Read widely: a move that is taught and taken for another's is only held against no other lesson.
"""

from __future__ import annotations

import re

from linewright.expressions import expression
from linewright.notation import MOVE

_OUR_MOVE = r"(?:move|answer|reply|response|choice|way|line|weapon|plan|system|defen[cs]e|opening)"
_OURS = expression(
    rf"\b(?:we|our(?: (?:main|own|best|first))? {_OUR_MOVE}|let us|let['’]s|I (?:play|recommend)"
    r"|you should|the (?:best|right) (?:move|answer|reply))\b",
    re.IGNORECASE,
)
"""Subjects whose moves are the lesson's own, until another is named."""
_OTHERS = expression(
    r"\b(?:many|most(?:ly)?|some|few|others?|people|beginners?|pupils?|students?|children|opponents?"
    r"|they|he|she|everybody|everyone|nobody|somebody|someone|books?|masters?|champions?|players?"
    r"|ago|last (?:week|month|year|season|time|evening|night)|old days|in the past|once|league"
    r"|match|tournament|games?|often|usually|sometimes|traps?|greedy|careless|hasty|tempting"
    r"|what happens|happens (?:if|when)|too (?:slow|fast|early|late|greedy)|goes wrong"
    r"|suppose|supposing|imagine|what if)\b",
    re.IGNORECASE,
)
"""Subjects, times and warnings of moves that are not the lesson's own."""
_PAST = expression(
    r"\b(?:was|were|had|did|went|won|lost|gave|took|chose|began|came|saw|met|fell|drew|made|held"
    r"|(?<!is )(?<!are )(?<!be )(?:played|tried|answered|replied|continued|opened|started|liked)"
    r"|(?:I|we|you|he|she|they|who|White|Black|(?!(?:is|has|as|this) )\w+s|(?-i:[A-Z][a-z]+))"
    r" (?:\w+ly )?(?!need)[a-z]{2,}ed)\b",
    re.IGNORECASE,
)
_TITLE = expression(
    r"\b(?:traps?|blunders?|disasters?|mistakes?|errors?|pitfalls?)\b"
    r"|(?:^|\b(?:an?|the|our|my|model|club|league|last|played|one|annotated) )games?\b"
    r"|\bgames (?:of|from)\b",
    re.IGNORECASE,
)
_MOVES = expression(rf"(?:\d{{1,3}}\s?(?:\.{{1,3}}|…)\s?)?{MOVE.pattern}")


def tells_of_others(before: str, behind: str = "") -> bool:
    """Whether a sentence tells a move as another's, or as one of old: the words before and behind.

    What stands last before the move says whose it is.

    >>> [tells_of_others(words) for words in ("Many beginners go 1.e4 e5", "When they go 1.e4, we",
    ...     "One of our pupils played like this:", "See what happens:", "We play")]
    [True, False, True, True, False]
    >>> tells_of_others("After 1.d4 d5", "cxd5 we had no chances")
    True
    """
    before, behind = (" ".join(_MOVES.sub(" ", words).split()) for words in (before, behind))
    said = [one.end() for way in (_OTHERS, _PAST) for one in way.finditer(before)]
    ours = [one.end() for one in _OURS.finditer(before)]
    return max(said, default=-1) > max(ours, default=-1) or bool(_PAST.search(behind))


def is_wordless(before: str) -> bool:
    """Whether nothing but moves stands in words: what they are is said in the sentence before.

    >>> is_wordless("1.e4 e5 2."), is_wordless("Now 1.e4")
    (True, False)
    """
    return not re.search(r"[^\W\d]", _MOVES.sub(" ", before))


def is_no_lesson_of_ours(title: str) -> bool:
    """Whether a title or heading says that what stands under it is a trap, or a game.

    >>> [is_no_lesson_of_ours(title) for title in ("Three traps", "A club game", "Open Game")]
    [True, True, False]
    """
    return bool(_TITLE.search(title))


__all__ = ["is_no_lesson_of_ours", "is_wordless", "tells_of_others"]
