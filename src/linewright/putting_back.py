"""Words that put back what an imagined board left out: "now put the queens back"."""

from __future__ import annotations

import re
from collections.abc import Iterable

from linewright.expressions import expression
from linewright.moves import PIECE_TYPES

_MEN = "|".join(PIECE_TYPES)
_WHAT = (
    rf"(?:(?:the|both|all|all the|his|her|our|their|your|my|these|those) )?"
    rf"(?:(?:white|black|other|missing|same) )?(?P<man>{_MEN}|piece|men|man|it|them|everything)s?"
)
_BACK = expression(
    r"\b(?:put|puts|putting|place|set|bring|give) "
    rf"(?:back {_WHAT.replace('<man>', '<behind>')}|{_WHAT} back)\b"
    r"|\bback to the (?:real|actual|true) (?:board|position|game)\b",
    re.IGNORECASE,
)
_NOT_DONE = expression(
    r"\b(?:not|never|no|cannot|before|until|unless|if|when|would|could|might|had|imagine|suppose)\b"
    r"|n['’]t\b",
    re.IGNORECASE,
)
_STOP = expression(r"[.!?;:]\s")


def put_back(text: str, left_out: Iterable[str]) -> range | None:
    """Where the words put the men left out (letters of ``KQRBNP``) back on the board, if they do.

    Where several kinds were left out, one of them alone does not bring the board back.

    >>> put_back("Now put the queens back. White has a queen.", "Q")
    range(4, 23)
    >>> put_back("Do not put the queens back yet.", "Q") is None
    True
    >>> put_back("Put the rooks back.", "QR") is None
    True
    """
    kinds = {letter.upper() for letter in left_out}
    for found in _BACK.finditer(text):
        man = (found["man"] or found["behind"] or "").lower()
        stops = [stop.end() for stop in _STOP.finditer(text, 0, found.start())]
        before = text[stops[-1] if stops else 0 : found.start()]
        if not _NOT_DONE.search(before) and (man not in PIECE_TYPES or kinds == {_letter(man)}):
            return range(found.start(), found.end())
    return None


def _letter(man: str) -> str:
    return " PNBRQK"[PIECE_TYPES[man]]
