"""Whether a question mark right after a move ends a question, or is the sign of a mistake.

"6.Nxd5? loses" and "what about 6.Nxd5? It is fine" look alike; the sentence tells.
"""

from __future__ import annotations

import re

from linewright.expressions import expression
from linewright.notation import MOVE

_STOP = expression(r"(?:(?<!\d)|(?<=[a-h][1-8]))(?:[.!?…][\"”’*_]*\s+(?![a-z])|[;:]\s)|[(\[]")
_LEAD_IN = (
    r"(?:(?:and|but|so|well|now|then|or|yes|no|okay|ok|right|look|tell me|you ask|you may ask|"
    r"you might ask|the question is|quiz|question|first|next|also),?\s+){0,3}"
)
_SUBJECT = (
    r"(?:white|black|he|she|it|they|we|you|i|the|this|that|these|those|there|his|her|its|our|my|"
    r"your|their|one|any\w*|some\w*|both|an?|\d|[KQRBN♔-♟]?[a-h]?x?[a-h][1-8])"
)
_INVERTED = (
    r"(?:can|could|does|do|did|is|are|was|were|has|have|had|should|shall|will|would|may|might)"
    rf"(?:n['’]t)?\s+{_SUBJECT}(?!\w)"
)
_ABOUT = (
    r"(?:what|how) about\b|what if\b|what of\b|what happens\b|why\b(?! (?:he|she|we|they|it)\b)"
)
_WH = (
    r"(?:where|which|who|whose|whom|why)\b|(?:what|how)(?:['’]s| (?:is|are|was|does|do|did|can|"
    r"could|should|shall|would|will|has|have|else|then|now|next|move|reply|many|much|often|good|"
    r"bad|strong|come|to))\b|when (?:does|do|did|is|are|can|could|should|will|would)\b"
)
_OPENS = expression(rf"{_LEAD_IN}(?:{_WH}|{_ABOUT}|{_INVERTED})", re.IGNORECASE)
_WITHIN = expression(
    r"\b(?:(?:what|how) about|what (?:if|of|happens))\b"
    rf"|(?:[,–—]|\b(?:and|but|or|so)(?: now| then| here)?|[a-h][1-8][+#]?|O-O)\s+"
    rf"(?:{_ABOUT}|{_INVERTED})",
    re.IGNORECASE,
)
_IF = expression(rf"{_LEAD_IN}(?:if|suppose|supposing|imagine)\b", re.IGNORECASE)
_ENDS = expression(r"[\"”’*_)\]]*(?:\s*$|\s+(?=[\"“‘*_(\[]*[^\sa-z])|(?<=\)))")
_LINE_GOES_ON = expression(rf"[\"”’*_]*\s*(?:\d{{1,3}}\s?(?:\.{{1,3}}|…)\s?)?{MOVE.pattern}")
_THEN = expression(r"[\"”’*_)\]]*\s+Then\b")
_ANSWERED = expression(r"[\"”’*_)\]]*\s+(?:No|Yes|Of course|Certainly|Never|Not)\b")


def ends_question(before: str, after: str) -> bool:
    """Whether a question mark ends a question: `before` is the text up to the move and its mark,
    `after` what follows the mark. Cost: what is given; a few hundred characters are enough.

    >>> ends_question("And what about 3.Nc3", " It is fine.")
    True
    >>> ends_question("White goes wrong with 6.Nxd5", " Black takes the queen.")
    False
    """
    end = _ENDS.match(after)
    if end is None or MOVE.match(after, end.end()):
        return False
    stops = list(_STOP.finditer(before))
    sentence = (before[stops[-1].end() :] if stops else before).lstrip(" \n\"“‘'*_")
    if _OPENS.match(sentence) or _WITHIN.search(sentence) or _ANSWERED.match(after):
        return True
    return bool(_IF.match(sentence) and _THEN.match(after))


def may_end_sentence(after: str) -> bool:
    """Whether the mark before these words may be that of its sentence: no word of it follows, and
    no move of the line.

    >>> [may_end_sentence(after) for after in (" It only helps Black.", " d5.", " is bold.")]
    [True, False, False]
    >>> may_end_sentence('" asked a pupil.')
    True
    """
    return bool(_ENDS.match(after) or after.startswith(('"', "”"))) and not _LINE_GOES_ON.match(
        after
    )
