"""Whether an exercise's "true", "false", "yes" or "no" is so on the board.

"White is checkmated here. True or false?" says nothing of the board: its answer does.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from linewright.expressions import expression
from linewright.source import Span
from linewright.statements import Answer, Statement, Verdict, judge

if TYPE_CHECKING:
    from linewright.judging import Place

_CHOICE = expression(
    r"\(?\b(?:(?P<true>true|right|correct|fact) or (?:false|wrong|not|untrue|incorrect|fiction)"
    r"|yes or no)\b(?:,? (?:and )?why)?\s*[?:.—–)-]*\s*",
    re.IGNORECASE,
)
_REPLY = expression(
    r"\W*(?:(?:the answer|it|this|that|the statement)(?: is|['’]s) )?"
    r"(?P<word>(?P<no>no|false|wrong|untrue|incorrect|not (?:true|right|correct|so)|fiction)"
    r"|(?P<yes>yes|true|right|correct|fact))\b(?! (?:and|or) )",
    re.IGNORECASE,
)
_SENTENCE = expression(r"(?<!\b\d)(?<!\b\d\d)[.!?;](?=\s|$)")


@dataclass(frozen=True, slots=True)
class Asked:
    """What a question leaves to the answer: its place in the question, and whether it is put as
    a claim and not as a question of yes or no."""

    span: Span
    claim: bool


def asked_of(question: str) -> Asked | None:
    """What of a question is true or false, or yes or no; None if it asks for anything else.

    >>> asked_of("White is to move. The e-file is open. True or false?")
    Asked(span=Span(start=18, end=37, start_ms=None, end_ms=None), claim=True)
    >>> asked_of("Is the knight pinned?").claim
    False
    """
    choice = next(iter(_CHOICE.finditer(question)), None)
    sentences = list(_sentences(question, choice.span() if choice else (len(question),) * 2))
    if not sentences:
        return None
    behind = [one for one in sentences if choice and one.start >= choice.end()]
    span = behind[0] if behind else sentences[-1]
    asks = question[: span.end].endswith("?")
    if choice is None and not asks:
        return None
    return Asked(span, claim=choice is not None and not asks)


def _sentences(text: str, gap: tuple[int, int]) -> Iterator[Span]:
    """The sentences of a text on either side of a gap."""
    for begin, end in ((0, gap[0]), (gap[1], len(text))):
        at = begin
        for stop in [*(m.end() for m in _SENTENCE.finditer(text, begin, end)), end]:
            words = text[at:stop]
            if re.search(r"\w", words):
                start = at + len(words) - len(words.lstrip())
                yield Span(start, start + len(words.strip()))
            at = stop


def says_whether(answer: str) -> bool:
    """Whether an answer begins with a "true", "false", "yes" or "no"."""
    return bool(_REPLY.match(answer))


def judged_answer(question: str, asked: Asked, answer: str, place: Place) -> Verdict | None:
    """The verdict on the "true", "false", "yes" or "no" an answer begins with, its place in the
    answer, on the board of the question; None if it begins otherwise, or no statement was asked.
    """
    if (reply := _REPLY.match(answer)) is None:
        return None
    words, yes = question[asked.span.start : asked.span.end], bool(reply["yes"])
    text = words if asked.claim else f"{words} {'Yes' if yes else 'No'}."
    found = judge(text, lambda _: place)
    if (said := _together(found)) is None:
        return None
    if asked.claim:
        so = "is so" if said.answer is Answer.HOLDS else "is not so"
        said = replace(said, because=f"'{said.statement.words}' {so}: {said.because}")
    span = Span(reply.start("word"), reply.end("word"))
    statement = Statement(span, reply["word"], said.statement.family)
    told = said.answer
    if asked.claim and not yes and told is not Answer.CANNOT_TELL:
        told = Answer.FAILS if told is Answer.HOLDS else Answer.HOLDS
    return replace(said, statement=statement, answer=told, offer="", repair="")


def _together(found: Sequence[Verdict]) -> Verdict | None:
    """The verdict that decides about all of them: one that fails, else one that is not known."""
    for answer in (Answer.FAILS, Answer.CANNOT_TELL, Answer.HOLDS):
        if said := next((one for one in found if one.answer is answer), None):
            return said
    return None


__all__ = ["Asked", "asked_of", "judged_answer", "says_whether"]
