"""Words that put back what an imagined board left out: "now put the queens back"."""

from __future__ import annotations

import re
from collections.abc import Iterable

from linewright.expressions import expression
from linewright.moves import PIECE_TYPES

_GAP = r"[\s*_]+"
"""What stands between words, which may be printed bold."""
_MEN = "|".join(PIECE_TYPES)
_WHOSE = r"(?:the|both|all|all the|his|her|our|their|your|my|these|those)"
_NOUN = rf"(?:(?:white|black|other|missing|same) )?(?P<man>{_MEN}|piece|men|man)s?"
_WHAT = rf"(?:(?:{_WHOSE} )?{_NOUN}|it|them|everything)"
_LEAD = r"(?:now|so|and|then|next|ok|okay|well|first|please|again|let['’]s|let us|we|i)\b,? "
_DEED = (
    rf"(?:put|place|set|bring) back {_WHAT.replace('<man>', '<behind>')}"
    rf"|(?:put|place|set|bring) {_WHAT.replace('<man>', '<before>')} back"
    rf"|{_WHOSE} {_NOUN.replace('<man>', '<come>')} (?:come|are|go) back"
    rf"|with {_WHOSE} {_NOUN.replace('<man>', '<with>')} back"
    r"|back to the (?:(?:real|actual|true) (?:board|position|game)|game)"
)
_ENDS = (
    r"(?=[\s*_]*(?:$|[.,;:!?)—–]|(?:again|now|on the board|on their squares|and|where|to see)\b))"
)
_BACK = expression(
    rf"[\s*_]*(?:{_LEAD}){{0,4}}(?P<deed>{_DEED})\b{_ENDS}".replace(" ", _GAP), re.IGNORECASE
)
"""Only what is done now, told from the beginning of a sentence: an order, or "now we put"."""
_UNDONE = expression(r"\b(?:later|yet|would|could|might|will|should)\b", re.IGNORECASE)
_STOP = expression(r"[.!?;:][*_)\"”]*(?:\s+|$)")
_NAMES = ("behind", "before", "come", "with")


def put_back(text: str, left_out: Iterable[str], midway: bool = False) -> range | None:
    """Where the words put the men left out (letters of ``KQRBNP``) back on the board, if they do.

    Where several kinds were left out, one of them alone does not bring the board back. A text that
    begins `midway` goes on with a sentence begun before it.

    >>> put_back("Now put the queens back. White has a queen.", "Q")
    range(4, 23)
    >>> put_back("Do not put the queens back yet.", "Q") is None
    True
    >>> put_back("Put the rooks back.", "QR") is None
    True
    """
    kinds = {letter.upper() for letter in left_out}
    begins = 0
    for stop in (*_STOP.finditer(text), None):
        ends = stop.end() if stop else len(text)
        found = _BACK.match(text, begins, ends) if begins or not midway else None
        if found and not _UNDONE.search(text, begins, ends) and "?" not in text[begins:ends]:
            man = next(filter(None, map(found.group, _NAMES)), "").lower()
            if man not in PIECE_TYPES or kinds == {_letter(man)}:
                return range(found.start("deed"), found.end("deed"))
        begins = ends
    return None


def _letter(man: str) -> str:
    return " PNBRQK"[PIECE_TYPES[man]]
