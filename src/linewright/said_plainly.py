"""Which statements of a talk are wrong beyond doubt, where the board denies them.

Speech is loose: "the bishops are traded" says what is about to be done, "the rook has an open file"
what one sees coming, "it looks at h7" what one has just talked about. Of the statements of talks
that the board denies, three in four are true as they are meant. Those of the kinds below are
nearly always slips of the tongue.
"""

from __future__ import annotations

import re

from linewright.expressions import expression

_OF_OPINION = frozenset({"names", "analysis"})
_SIDE = expression(r"\b(?:white|black)\b", re.IGNORECASE)
_OTHER_SIDE = expression(r"it holds of (?:White|Black)")
_OTHER_MAN = expression(r"there is no [a-z ]+ on [a-h][1-8]: an? ")
_OTHER_SHADE = expression(r"there is no .* on [a-h][1-8]: [a-h][1-8] is a (?:light|dark) square")
_MAN_THERE = expression(r"(?:White|Black)'s (?:king|queen|rook|bishop|knight|pawn) on [a-h][1-8]$")
_KING_ON = expression(
    r"\b(?:white|black)(?:'s)? king (?:(?:is|stands|sits|still|now) )*on [a-h][1-8]\b",
    re.IGNORECASE,
)
_PUTS = expression(r"\b(?:put|puts|putting|hit|goes|go|coming)\b", re.IGNORECASE)
_PAWNS = expression(
    r"\b(?:have|has|had|got|'ve|'s|gets?) .*\b(?:doubled|isolated|passed)\b", re.IGNORECASE
)
_CASTLED = expression(r"\b(?:white|black) (?:has|'s) (?:already |just )?castled\b", re.IGNORECASE)
_TAKES_BACK = expression(r"\b(?:takes? back|recaptures?|retakes?)\b", re.IGNORECASE)


def is_plainly_wrong(words: str, family: str, because: str, offer: str) -> bool:
    """Whether a statement that names what it speaks of is a slip where it fails.

    The other side than the one named by its colour, another man on a square than the one said to
    stand there, a bishop on a square of the other colour than its own, a king elsewhere than it
    stands, a side that has not castled, pawns that a side has not, another man than the one that
    took back.
    """
    if _OTHER_SHADE.fullmatch(because):
        return True
    if family in _OF_OPINION:
        return False
    if _OTHER_SIDE.fullmatch(offer):
        return _SIDE.search(words) is not None
    if _OTHER_MAN.match(because) or puts_a_king(words):
        return _PUTS.search(words) is None
    if family == "castling":
        return _CASTLED.search(words) is not None
    if family == "pawns":
        return bool(_PAWNS.search(words) or _MAN_THERE.match(because))
    return family == "captures" and _TAKES_BACK.search(words) is not None


def puts_a_king(words: str) -> bool:
    """Whether a side's king is said to stand on a square; there is one of each side.

    >>> puts_a_king("Black's king on g8 is safe"), puts_a_king("the king goes to g8")
    (True, False)
    """
    return _KING_ON.search(words) is not None
