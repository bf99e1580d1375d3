"""Whether an exercise's "true", "false", "yes" or "no" is so on the board.

"White is checkmated here. True or false?" says nothing of the board: its answer does.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from linewright.english.sentences import Sentence, read_sentences
from linewright.expressions import expression
from linewright.moves import PIECE_TYPES
from linewright.number_words import NUMBER
from linewright.source import Span
from linewright.statements import Answer, Statement, Verdict, judge

if TYPE_CHECKING:
    from linewright.judged_place import Place

_MEN = "|".join(PIECE_TYPES)
_CHOICE = expression(
    r"\(?\b(?:(?P<true>true|right|correct|fact) or (?:false|wrong|not|untrue|incorrect|fiction)"
    r"|yes or no)\b(?:,? (?:and )?why)?\s*[?:.—–)-]*\s*",
    re.IGNORECASE,
)
_REPLY = expression(
    r"\W*(?:(?:the answer|it|this|that|the statement)(?: is|['’]s) )?"
    r"(?P<word>(?P<no>no|false|wrong|untrue|incorrect|not (?:true|right|correct|so)|fiction)"
    r"|(?P<yes>yes|true|right|correct|fact))\b[\"”’)*_]*"
    r"(?=\s*(?:$|[.,;:!?(—–]|\n)|\s+-\s|\s+(?:because|it)\b)",
    re.IGNORECASE,
)
"""A word that replies, and not one that begins other words: "no doubt", "true to its name"."""
_ASKS_AGAIN = expression(
    r"\W*(?:(?:and |but )?(?:why\b[^.!?]{0,40}|how(?: so| come)?)"
    r"|(?:please |then )?(?:(?:explain|justify|argue|prove|say why|tell (?:me |us )?why)\b[^.!?]*"
    r"|give (?:a|your|the|one|two) \w+))\W*$",
    re.IGNORECASE,
)
"""What only asks for the reason of an answer."""
_ASKS_ABOUT = expression(
    r"\W*(?:(?:is|isn['’]t) (?:that|this|it) (?:really )?(?:true|right|correct|so|a fact)"
    r"|(?:do|don['’]t|would) you (?:agree|think so|believe (?:it|that|this))"
    r"|right|correct|true|agreed|yes)\W*\?\W*$",
    re.IGNORECASE,
)
"""What asks whether the sentence before is so."""
_FOR_WORDS = expression(r"\W*(?:how (?:many|often)|which|where|whose)\b", re.IGNORECASE)
_PLAIN = expression(
    rf"[\W_]*(?:(?:{NUMBER}|none|no|never|nothing|once|twice)"
    rf"(?: (?:{_MEN}|piece|square|move|check|time)s?)?"
    rf"|(?:(?:the|an?) )?(?:(?:white|black|light-squared|dark-squared|(?:king|queen)['’]s) )?"
    rf"(?:[a-h]-)?(?:{_MEN})(?: on [a-h][1-8])?"
    r"|(?:(?:on|at|to|in) )?(?:the )?(?:[a-h][1-8]|[a-h]-file)"
    r"|white(?:['’]s)?|black(?:['’]s)?|both(?: sides)?|neither(?: side)?)[\W_]*(?<![?])",
    re.IGNORECASE,
)
"""An answer that is nothing but a number, a man, a place or a side."""
_ENDS = expression(r"(?: (?:move|turn) is it(?: now)?)?\W*$", re.IGNORECASE)
_SUPPOSES = expression(
    r"\b(?:if|suppos(?:e|ing)|imagin(?:e|ing)|pretend|assum(?:e|ing)|were|would|could|without|had|will)\b",
    re.IGNORECASE,
)
_COUNTED = expression(r"(?<![\w.])\(?(?:[a-d]|\d)\)\s")
_ENDED = expression(r"[.!?:;,(—–-]\s*$")


@dataclass(frozen=True, slots=True)
class Asked:
    """What a question leaves to the answer: its place in the question, and whether it is put as
    a claim and not as a question of yes or no. It is not `single` if an answer may be to another
    claim than to this one."""

    span: Span
    claim: bool
    single: bool = True


def asked_of(question: str) -> Asked | None:
    """What of a question is true or false, or yes or no; None if it asks for anything else.

    >>> asked = asked_of("White is to move. The e-file is open. True or false? Why?")
    >>> (asked.span.start, asked.span.end, asked.claim)
    (18, 37, True)
    >>> asked_of("Is the knight pinned?").claim
    False
    >>> asked_of("Is the knight pinned? Is the e-file open?") is None
    True
    """
    choices = list(_CHOICE.finditer(question))
    gap = choices[0].span() if choices else (len(question),) * 2
    before = _sentences(question, 0, gap[0])
    behind = _sentences(question, gap[1], len(question))
    about = not choices and len(before) > 1 and _asks_about(question, before[-1])
    if about:
        before = before[:-1]
    leads = not before or not _ENDED.search(question[: gap[0]]) or ":" in question[slice(*gap)]
    claims = behind if behind and leads else before
    if not claims:
        return None
    span = claims[0] if claims is behind else claims[-1]
    asks = question[: span.end].endswith("?")
    if not (choices or about or asks):
        return None
    if not (choices or about) and sum(question[: one.end].endswith("?") for one in before) > 1:
        return None
    counted = len(_COUNTED.findall(question)) > 1
    single = len(choices) < 2 and not counted and (claims is before or len(behind) == 1)
    return Asked(span, claim=not asks, single=single)


def _asks_about(text: str, span: Span) -> bool:
    return bool(_ASKS_ABOUT.match(text[span.start : span.end]))


def _sentences(text: str, start: int, end: int) -> list[Span]:
    """The sentences of a stretch of a text, but those that only ask for a reason."""
    spans = (one.span for one in read_sentences(text[start:end]))
    moved = (Span(one.start + start, one.end + start) for one in spans)
    return [
        one
        for one in moved
        if re.search(r"\w", words := text[one.start : one.end]) and not _ASKS_AGAIN.match(words)
    ]


def reply_of(answer: str) -> Span | None:
    """The "true", "false", "yes" or "no" an answer begins with, with the words that lead to it.

    >>> reply_of("It's true, I think."), reply_of("No doubt it is.")
    (Span(start=0, end=9, start_ms=None, end_ms=None), None)
    """
    reply = _REPLY.match(answer)
    return Span(reply.start(), reply.end()) if reply else None


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


def judged_in_words(
    question: str, answer: str, at: Callable[[int], Place | None]
) -> Verdict | None:
    """The verdict on an answer in words to "how many", "which" or "where", its place in the answer;
    None if the question does not end so, or the two say nothing together that can be judged.

    `at` gives the board for an offset in the question. Judged is only an answer that is nothing
    but a number, a man, a place or a side, to a question that was understood to its end.
    """
    asked, replies = _said_in(question), _said_in(answer)
    if len(replies) != 1 or [one.asks for one in asked].count(True) != 1 or not asked[-1].asks:
        return None
    words = _words(question, asked[-1].span).strip()
    reply = _words(answer, replies[0].span).strip(" \n.")
    place = at(asked[-1].span.start)
    if place is None or not _FOR_WORDS.match(words) or not _PLAIN.fullmatch(reply):
        return None
    if _SUPPOSES.search(question):
        return None
    found = judge(f"{words} {reply[:1].upper()}{reply[1:]}.", lambda _: place)
    ends = _ENDS.search(words)
    assert ends is not None, "it matches at the end at least"
    said = _together([one for one in found if one.statement.span.start < ends.start()])
    if said is None or said.statement.span.end < ends.start():
        return None
    start = replies[0].span.start + _words(answer, replies[0].span).index(reply)
    statement = Statement(Span(start, start + len(reply)), reply, said.statement.family)
    return replace(said, statement=statement, offer="", repair="")


def _said_in(text: str) -> list[Sentence]:
    return [one for one in read_sentences(text) if re.search(r"\w", _words(text, one.span))]


def _words(text: str, span: Span) -> str:
    return text[span.start : span.end]


def _together(found: Sequence[Verdict]) -> Verdict | None:
    """The verdict that decides about all of them: one that fails, else one that is not known."""
    for answer in (Answer.FAILS, Answer.CANNOT_TELL, Answer.HOLDS):
        if said := next((one for one in found if one.answer is answer), None):
            return said
    return None


__all__ = ["Asked", "asked_of", "judged_answer", "judged_in_words", "reply_of"]
