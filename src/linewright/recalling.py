"""Words with which a lesson speaks of another lesson of its series: what it had, what it will have.

"Lesson 1 was 3.cxd5 cxd5", "we saw 6.Bd3 in lesson 2", "next time we look at 4.e5": which lesson
is meant, and by which moves. Read narrowly, like what `referring` leaves off the board.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import dataclass

from linewright.expressions import expression
from linewright.lesson import Lesson
from linewright.lesson_numbers import COUNT, MEETING, ORDINAL, count_said
from linewright.notation import MOVE, WrittenMove, read_move
from linewright.referring import sentence_of
from linewright.script import BlockKind
from linewright.source import Span

_NAME = r"(?-i:[A-Z][\w'’-]+(?: [A-Z][\w'’-]+){0,3})"
_LESSON = (
    rf"(?:{MEETING} (?P<number>{COUNT})\b(?! (?:of|from|by|in) )"
    rf"|(?:our|the|my) (?P<nth>{ORDINAL}) {MEETING}\b"
    rf"|(?:our|the|my) (?P<name>{_NAME}) {MEETING}\b"
    rf"|(?:our|the|my) {MEETING} (?:on|about) (?:the )?(?P<about>{_NAME})"
    rf"|(?P<before>(?:the |our |my )?(?:last|previous) {MEETING}\b"
    r"|(?<!\bthe )last (?:time|week)\b"
    r"(?! (?!(?:we|I|you|that|and|but|because|where|was|had|at|it)\b)\w)))"
)
_TOLD = (
    r"(?:was|were|had|saw|looked|took|played|covered|showed|learn(?:t|ed)|met|studied|chose"
    r"|discussed|treated|dealt|did|began|started)"
)
_OF_THIS_ONE = (
    r"(?:today|now|here|this|these|like|which|just|so|again|promised|same|and|but|or|not|never"
    r"|why|how|instead|against|if|than|they|them|he|him|she|her|who|when|that)"
)
_WORDS = rf"(?: (?!{_OF_THIS_ONE}\b)[\w'’-]+){{0,4}}"
_HAD = expression(rf"\b{_LESSON},?{_WORDS} {_TOLD}\b{_WORDS},? ?[*_`(]*$", re.IGNORECASE)
_AS_HAD = expression(
    rf"\b(?:(?:we|you|I)(?: have| had)? (?:{_TOLD}|seen|taken|done)\b{_WORDS} (?:(?:in|at) )?"
    rf"|(?:just )?(?:as|like) (?:(?:in|at) )?"
    rf"|(?:remember|recall|know){_WORDS} (?:from|in) ){_LESSON},?(?: that)? ?[*_`(]*$",
    re.IGNORECASE,
)
"""Before moves: another lesson had them."""
_SAID_OF_IT = expression(rf"\b{_TOLD}\b{_WORDS},? ?[*_`(]*$", re.IGNORECASE)
_WAS_IN = expression(rf"^[*_`)!?]*(?:,| -| –| —)? ?(?:(?:in|at|from) )?{_LESSON}", re.IGNORECASE)
_SEE = expression(rf"^[*_`)!?]*,? ?\(?(?:see|as in|from|of|known from) {_LESSON}", re.IGNORECASE)
"""Behind moves: another lesson had them."""
_IN_IT = expression(rf"\b(?:in|from) {_LESSON},? ?[*_`(]*$", re.IGNORECASE)
_WAS_THERE = expression(r"^[*_`)!?]* (?:was|were|came|appeared|had been)\b", re.IGNORECASE)
"""Before and behind moves: another lesson had them."""
_SPOKEN_OF_HERE = expression(
    r"\b(?:today|now|here|this|these|like|just|promised|same|not|never|instead|unlike|\w+n['’]t)\b",
    re.IGNORECASE,
)

_ELSEWHERE = expression(
    r"\b(?:match|league|tournament|club|team|simul\w*|blitz|online|opponents?|I (?:lost|won|drew)"
    r"|we (?:lost|won|drew)|remember this)\b",
    re.IGNORECASE,
)
"""Words that tell of games: what was played there is no lesson's."""

_SHALL = r"(?:will |shall |are going to |['’]ll |can )"
_LOOK = (
    r"(?:look at|look into|see|meet|study|cover|learn|take(?: up)?|turn to|deal with|go into"
    r"|treat|discuss|show|play|try|examine|investigate)"
)
_STUDY = r"(?!(?:meet|play|try)\b)" + _LOOK
"""What is done in a lesson; "next time you meet it" and "next time we play" are of games."""
_COMING = (
    rf"(?P<next>next (?:time|week|month|evening|{MEETING})|(?:in )?(?:the|our|my) next {MEETING})"
)
_LATER = rf"(?:in )?(?:a later|(?P<any>another)) {MEETING}|later in (?:the|this|our) series"
_WHERE = rf"(?:{_COMING}|(?:in )?{MEETING} (?P<number>{COUNT})|{_LATER})"
_WORDS_TO = r"(?: (?!and\b|but\b|or\b|why\b|how\b|instead\b|not\b|after\b|against\b)[\w'’-]+){0,4}"
_PROMISED = expression(
    rf"(?:\b{_WHERE},? (?:(?:we|I|you) ?{_SHALL}{_LOOK}|(?:we|I) {_STUDY}){_WORDS_TO} ?[*_`(]*$"
    rf"|\b{_COMING.replace('next>', 'coming>')}[:,] ?[*_`(]*$)",
    re.IGNORECASE,
)
_PROMISED_BEHIND = expression(
    r"^[*_`)!?]*,? (?:which )?(?:(?:is|comes|follows|will (?:be|come|follow))"
    rf" (?:the subject of |for )?{_WHERE}"
    rf"|(?P<own>(?:has|gets|will get|will have|is worth|deserves) (?:a|its(?: own)?) {MEETING}"
    r"(?: of its own| to itself)?))",
    re.IGNORECASE,
)

_SHALL_SEE = expression(
    rf"\b(?:(?:we|I|you)(?:['’]ll| (?:will|shall|are going to))(?: \w+)? {_LOOK}|leav(?:e|es|ing)"
    rf"|more (?:on|about)){_WORDS_TO} ?[*_`(]*$",
    re.IGNORECASE,
)
_WAITS = expression(r"^[*_`)!?]*,? (?:must|has to|will have to|can) wait\b", re.IGNORECASE)
_THEN = expression(
    rf"^[*_`)!?]*,? (?:(?:(?:must|has to|will have to|can) wait )?(?:for|until|till) )?{_WHERE}",
    re.IGNORECASE,
)
"""Before and behind moves: another lesson will have them."""

_WAY = r"(?:way|move|choice|option|idea|try|weapon|plan|line|system|answer|reply|continuation)s?"
_TAKES_BACK = expression(
    r"\b(?:chang(?:ed?|ing) (?:my|our) minds?|correct(?:ion|ed)"
    r"|(?:I|we|that|which|lesson \w+) (?:was|were) (?:wrong|mistaken)"
    r"|no longer|(?:I|we) used to|unlike|contrary to|reconsider\w*|differently|since then|new games"
    r"|(?<!as )(?<!like )(?:I|we) (?:said|called|gave|told|thought|believed|recommended|liked"
    r"|preferred)"
    r"|too (?:kind|harsh|optimistic|pessimistic|generous))\b",
    re.IGNORECASE,
)
"""Words that tell pupils themselves that another lesson judged otherwise."""
_ANOTHER_WAY = expression(
    rf"\b(?:(?:another|other|new|second) {_WAY}|instead|rather than|in place of|different"
    r"|alternat(?:es?|ives?|ively)|also possible|side ?-?lines?|surprise|switch\w*"
    r"|replac\w+|a change|this time|for those who|if you (?:prefer|like|want)|experiment\w*|variety"
    r"|(?:possible|playable|good|fine|works?|can|could|may)\b[^.!?]{0,30} as well\b(?! as)"
    r"|your choice|matter of (?:choice|taste))\b",
    re.IGNORECASE,
)
"""Words that tell pupils themselves that there is another way to play."""


def takes_back(words: str) -> bool:
    """Whether words say that something was judged otherwise before.

    >>> takes_back("I was too kind to it in lesson 1"), takes_back("Another way is")
    (True, False)
    """
    return bool(_TAKES_BACK.search(words))


def offers_another_way(words: str) -> bool:
    """Whether words set what they tell beside another way to play, or take that back.

    >>> offers_another_way("Another way is"), offers_another_way("We play")
    (True, False)
    """
    return bool(_ANOTHER_WAY.search(words)) or takes_back(words)


@dataclass(frozen=True, slots=True)
class Recalled:
    """Moves that another lesson had, or is to have.

    `span` are the moves' words, `moves` as written, `ply` the half-moves with the first of them
    where it is numbered; `number` is the lesson's where that is said,
    `name` what its title has, `before` if it is the one before this, `coming` if the one to come,
    `anywhere` if an earlier one may have them too;
    `node` is the board the moves are for, None where no line at hand has one.
    """

    span: Span
    moves: tuple[WrittenMove, ...]
    ply: int | None
    node: int | None
    number: int | None = None
    name: str = ""
    before: bool = False
    coming: bool = False
    anywhere: bool = False


def recalled(lesson: Lesson) -> Iterator[Recalled]:
    """The moves of which a lesson says that another lesson had them, in the order of the text."""
    for span, node in _runs(lesson):
        before, behind = sentence_around(lesson, span)
        found = _HAD.search(before) or _AS_HAD.search(before) or _SEE.match(behind)
        if not found and _SAID_OF_IT.search(before):
            found = _WAS_IN.match(behind)
        if not found and _WAS_THERE.match(behind):
            found = _IN_IT.search(before)
        if found and _ELSEWHERE.search(f"{before} {behind}"):
            continue
        if found and not _SPOKEN_OF_HERE.search(before):
            said = {name: value for name, value in found.groupdict().items() if value}
            number = _number(said.get("nth") or said.get("number"))
            name = said.get("name") or said.get("about") or ""
            moves = _moves(lesson, span)
            ply = _ply(lesson, span, node)
            board = _board_of(lesson, span, ply) if node is None else node
            yield Recalled(span, moves, ply, board, number, name, "before" in said)


def promised(lesson: Lesson) -> Iterator[Recalled]:
    """The moves of which a lesson says that another lesson will have them, or has them."""
    for span, node in _runs(lesson):
        before, behind = sentence_around(lesson, span)
        found = _PROMISED.search(before) or _PROMISED_BEHIND.match(behind)
        if found is None and (_SHALL_SEE.search(before) or _WAITS.match(behind)):
            found = _THEN.match(behind)
        if found is None or _ELSEWHERE.search(f"{before} {behind}"):
            continue
        said = {name: value for name, value in found.groupdict().items() if value}
        coming = "next" in said or "coming" in said
        number = _number(said.get("number"))
        moves = _moves(lesson, span)
        ply = _ply(lesson, span, node)
        any_one = "own" in said or "any" in said
        yield Recalled(span, moves, ply, node, number, coming=coming, anywhere=any_one)


def _number(said: str | None) -> int | None:
    return count_said(said) if said else None


def _runs(lesson: Lesson) -> Iterator[tuple[Span, int | None]]:
    """The runs of moves that are spoken or printed, each with the node it begins on.

    A run that is not played, because it is taken for another lesson's, has none.
    """
    text = lesson.script.source.text
    runs: list[tuple[Span, int | None]] = [(span, None) for span in lesson.elsewhere]
    ends = -1
    for placed in lesson.moves:
        if placed.node is None or _heads(lesson, placed.span):
            continue
        if ends >= 0 and _BETWEEN.fullmatch(text, ends, placed.span.start):
            span, node = runs[-1]
            runs[-1] = (span.to(placed.span), node)
        else:
            runs.append((placed.span, placed.base))
        ends = placed.span.end
    return iter(sorted(runs, key=lambda run: run[0]))


_BETWEEN = expression(r"\s*(?:\d{1,3}\s?(?:\.{1,3}|…)\s?)?")


def _heads(lesson: Lesson, span: Span) -> bool:
    blocks = lesson.script.blocks
    k = bisect_right(blocks, span.start, key=lambda block: block.span.start)
    return not k or blocks[k - 1].kind is BlockKind.HEADING


def sentence_around(lesson: Lesson, span: Span) -> tuple[str, str]:
    """The words of the sentence before and behind some moves, without their number."""
    text = lesson.script.source.text
    blocks = lesson.script.blocks
    k = bisect_right(blocks, span.start, key=lambda block: block.span.start)
    begins = max(blocks[k - 1].span.start if k else 0, span.start - _REACH_BEFORE)
    before = _NUMBER_ENDS.sub("", sentence_of(text[begins : span.start]))
    behind = text[span.end : span.end + _REACH].split("\n\n")[0]
    return before, " ".join(_STOP.split(behind)[0].split("\n"))


_NUMBER_ENDS = expression(r"\d{1,3}\s?(?:\.{1,3}|…)\s?$")
_STOP = expression(r"[.!?;](?=\s|$)")
_REACH_BEFORE = 600
_REACH = 200
"""Characters before and behind moves in which their sentence can say whose they are."""


def _ply(lesson: Lesson, span: Span, node: int | None) -> int | None:
    if node is not None:
        return lesson.tree.nodes[node].ply + 1
    numbered = _NUMBERED.match(lesson.script.source.words(span))
    return None if numbered is None else 2 * int(numbered[1]) - (numbered[2] == ".")


def _board_of(lesson: Lesson, span: Span, ply: int | None) -> int | None:
    """The board of the line at hand on which moves that are not played have their number."""
    here = lesson.tree.nodes[lesson.at(span.start).node]
    line = (lesson.tree.nodes[0], *lesson.tree.line(here.index))
    return next((node.index for node in line if node.ply + 1 == ply), None)


_NUMBERED = expression(r"(\d{1,3})\s?(\.{1,3}|…)")


def _moves(lesson: Lesson, span: Span) -> tuple[WrittenMove, ...]:
    words = lesson.script.source.words(span)
    read = (read_move(found[0]) for found in MOVE.finditer(words))
    return tuple(move for move in read if move is not None)


__all__ = [
    "Recalled", "offers_another_way", "promised", "recalled", "sentence_around", "takes_back",
]  # fmt: skip
