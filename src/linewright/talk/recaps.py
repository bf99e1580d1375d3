"""What sums a talk up at its end: there moves are named, and none is shown.

"So, to sum up: castle, hit the centre with c5, never take on b2": the words of a move, but the
board stands still. A line that is gone through once more is a line ("to sum up, e4, e5, knight
f3"); so is what comes where a summing up breaks off ("back to the main line").
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import accumulate

from linewright.talk.vocabulary import Token

SENTENCE, COMMA = 0.9, 0.25

LAST_WORDS = 80
LAST_SHARE = 0.12
"""What opens a summing up does so among so many last words, or in this last share of a long talk."""

SOON = 14
"""So many words behind the opening may say that a line is gone through again."""

_SOME = "(?:two|three|four|five|six)"
_OPENS = re.compile(
    r"(?: sum| summing)(?: it| this| that| things)?(?: all)? up(?![\w'])"
    r"| (?:summary|recap|recapitulate|takeaways?)(?![\w'])"
    r"| rules to take home(?![\w'])"
    r"|(?:\.| so| please| just| and)(?: ,)? remember(?: just| only| these| the| my)* "
    rf"{_SOME}(?![\w'])"
    rf"|(?:\.| so)(?: ,)?(?: the)? {_SOME} (?:things|rules|points)(?: to (?:remember|take|keep)[\w ]*)?(?= [.,])"
    rf"| {_SOME} (?:things|rules|points) to (?:remember|take home|keep in mind)(?![\w'])"
    r"| (?:(?:your|our|the|a) )?homework(?= [.,])"
)
"""Words that open a summing up: "to sum up", "so remember three things"."""

_AGAIN = re.compile(
    r" (?:once more|one more time|again|from the (?:beginning|start|top|first)|in order)(?![\w'])"
    r"| (?:play|run|go|race|rattle|walk)(?: \w+)? through(?![\w'])"
)
"""Words that say that a line is gone through."""

_PAWN_OF = r"(?:pawn (?:to )?)?[a-h] ?"
_KNIGHT_TO = r"(?:knight|night|horse) (?:to )?[cf] ?"
_WHITE_BEGINS = rf"(?:{_PAWN_OF}(?:[34]|three|four|for)|{_KNIGHT_TO}(?:3|three))"
_BLACK_ANSWERS = rf"(?:{_PAWN_OF}(?:[56]|five|six)|{_KNIGHT_TO}(?:6|six))"
_FIRST = re.compile(
    rf"^(?: [a-z'-]+| [.,])*? {_WHITE_BEGINS}"
    r"(?: [.,]| and| black| white| he| then| plays| answers| replies| with)*"
    rf" {_BLACK_ANSWERS}(?![\w'-])"
)
"""The moves that begin a game, one of White and one of Black, before any other square is named."""

_BREAKS_OFF = re.compile(
    r" \.(?: and| but| so| now| oh| right| okay)*(?: ,)? (?:back to|let's go back|let me go back|one (?:more|last)"
    r"|now then|what if|what about|there's (?:another|one more)|another)(?![\w'])"
)
"""Where the talk takes up a line again."""


def recap(tokens: Sequence[Token]) -> tuple[int, int]:
    """The tokens in which a talk sums itself up; none where it does not.

    >>> from linewright.talk.vocabulary import tokenise
    >>> said = "e4 e5. So to sum up castle and play d4".split()
    >>> recap(tokenise([(word.strip("."), word[len(word.strip(".")):], 0.0) for word in said]))
    (4, 9)
    """
    begin = len(tokens) - max(LAST_WORDS, round(LAST_SHARE * len(tokens)))
    told = [f"{_pause(token)} {token.text}" for token in tokens[max(0, begin) :]]
    text = "".join(told)
    ends = list(accumulate(map(len, told)))
    for opening in _OPENS.finditer(text):
        if not _goes_through(text[opening.end() :]):
            off = _BREAKS_OFF.search(text, opening.end())
            first = sum(end <= opening.start() for end in ends)
            last = sum(end <= off.start() for end in ends) if off else len(told)
            return max(0, begin) + first, max(0, begin) + last
    return len(tokens), len(tokens)


def _goes_through(behind: str) -> bool:
    """Whether the words behind an opening tell a line once more, from its first move on."""
    soon = " ".join(behind.split(" ")[: SOON + 1])
    return bool(_AGAIN.search(soon) or _FIRST.search(behind))


def _pause(token: Token) -> str:
    return " ." if token.gap >= SENTENCE else " ," if token.gap >= COMMA else ""
