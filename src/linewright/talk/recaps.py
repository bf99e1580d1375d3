"""What sums a talk up at its end: there moves are named, and none is shown.

"So, to sum up: castle, hit the centre with c5, never take on b2": the words of a move, but the
board stands still. A line that is gone through once more is a line ("to sum up, e4, e5, knight
f3"); so is what comes where a summing up breaks off ("back to the main line").
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import accumulate

from linewright.english.sentences import read_sentences
from linewright.talk.vocabulary import Token, stop_before, tokenise

LAST_WORDS = 100
LAST_SHARE = 0.15
"""What opens a summing up does so among so many last words; if it says so in plain words, also in
this last share of a long talk."""

SOON = 14
"""So many words behind the opening may say that a line is gone through again."""

CLOSING_WORDS = 40
"""Among so many last words a talk takes its leave: "that's it for today"."""

_SOME = "(?:two|three|four|five|six|seven)"
_KINDS = "(?:things|rules|points|pictures|lessons|ideas|mistakes|roads|systems|branches)"
_SUMS_UP = re.compile(
    r"(?: sum| summing)(?: it| this| that| things)?(?: all)? up(?![\w'])"
    r"| (?:summary|recap|recapitulate|takeaways?)(?![\w'])"
    r"|(?:\.| so| and| now| here's| is)(?: ,)? (?:the|your|my) list(?! of)(?![\w'])"
)
_OPENS = re.compile(
    r" rules to take home(?![\w'])"
    r"| (?:let me|let us|let's) remind (?:you|us|ourselves)(?![\w'])"
    r"| what (?:do|did|can|should|have) (?:we|you) (?:learn|learned|learnt)(?! from| about| here)(?![\w'])"
    r"|(?:\.| so| please| just| and)(?: ,)? remember(?: just| only| these| the| my)* "
    rf"{_SOME}(?![\w'])"
    rf"|(?:\.| so)(?: ,)?(?: the)? {_SOME} {_KINDS}(?: to (?:remember|take|keep)[\w ]*)?(?= [.,])"
    rf"| {_SOME} {_KINDS} to (?:remember|take home|keep in mind)(?![\w'])"
    r"| keep(?! it)(?: [\w']+){1,4} in (?:your )?(?:minds?|heads?|notebooks?)(?![\w'])"
    r"| what(?: [\w']+){0,3} (?:get|gets|do|does|got) wrong(?!['\w]| here| in)"
    r"| (?:(?:your|our|the|a) )?homework(?= [.,])"
)
"""Words that open a summing up at the very end: "so remember three things"."""

_TAKES_LEAVE = re.compile(
    r"(?:\.| so| right| okay)(?: ,)? that's (?:it|all|the lot|your lot|me|us)(?: done| for (?:today|tonight|now)"
    r"| from [\w ]+)?(?= [.,])"
    r"| that's (?:it|all|us) for (?:today|tonight)(?![\w'])"
    r"| \.(?: so| and| okay| right)*(?: ,)? next (?:time|week|month|lesson|monday|tuesday|wednesday"
    r"|thursday|friday|saturday|sunday)(?![\w'])"
)
"""Words with which a talk ends: what comes after them is named, not shown."""

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
    r"|(?: \.)?(?: now| and| so)?(?: to finish)?(?: ,)?(?: let us| let's| let me| i'll| we'll)?"
    r" (?:play|run|go|race|rattle|walk)(?: \w+)? through(?![\w'])"
)
"""Where the talk takes up a line again."""


def recap(tokens: Sequence[Token]) -> tuple[int, int]:
    """The tokens in which a talk sums itself up; none where it does not.

    >>> from linewright.talk.vocabulary import tokenise
    >>> said = "e4 e5. So to sum up castle and play d4".split()
    >>> recap(tokenise([(word.strip("."), word[len(word.strip(".")):], 0.0) for word in said]))
    (4, 10)
    """
    size = len(tokens)
    begin = max(0, size - max(LAST_WORDS, round(LAST_SHARE * size)))
    told = [f"{stop_before(token)} {token.text}" for token in tokens[begin:]]
    text = "".join(told)
    ends = list(accumulate(map(len, told)))

    def token_at(place: int) -> int:
        return begin + sum(end <= place for end in ends)

    def among(last_words: int) -> int:
        return ends[-last_words - 1] if len(ends) > last_words else 0

    found = (
        *_SUMS_UP.finditer(text),
        *_OPENS.finditer(text, among(LAST_WORDS)),
        *_TAKES_LEAVE.finditer(text, among(CLOSING_WORDS)),
    )
    lines = [one.start() for one in found if _goes_through(text[one.end() :])]
    lines += [one.start() for one in _BREAKS_OFF.finditer(text)]
    opening = min((one.start() for one in found if one.start() not in lines), default=None)
    if opening is None:
        return size, size
    stop = min((line for line in lines if line > opening), default=len(text))
    return token_at(opening), token_at(stop)


_LEADS_IN = re.compile(
    r"(?:(?<=\s)|^)(?:(?:and|so|now|okay|right|well|then|let|let['’]s|me|us|to|that['’]s|that is"
    r"|it|all),?\s+)+$",
    re.IGNORECASE,
)
"""What talk without stops says before it sums up: "and that is it let me"."""


def closing_at(words: str) -> int | None:
    """The place in the words behind the last move where the talk sums itself up or takes its leave.

    From the beginning of that sentence; None where it does neither.

    >>> [closing_at(w) for w in ("is lost. Good. So let's sum up.", "is lost so let me sum up all")]
    [15, 8]
    >>> closing_at("is lost. The knight is free.")
    """
    parts = list(re.finditer(r"\S+", words))
    bare = [part[0].rstrip(".,;:!?") for part in parts]
    told = [(word, part[0][len(word) :], 0.0) for word, part in zip(bare, parts, strict=True)]
    tokens = tokenise(told)
    first, _ = recap(tokens)
    if first == len(tokens):
        return None
    place = parts[tokens[first].word].start()
    begins = (sentence.span.start for sentence in read_sentences(words))
    sentence = max((start for start in begins if start <= place), default=0)
    led = _LEADS_IN.search(words, sentence, place)
    return sentence if re.search(r"[.!?]", words) else led.start() if led else place


def _goes_through(behind: str) -> bool:
    """Whether the words behind an opening tell a line once more, from its first move on."""
    own = re.split(r" \.", behind.removeprefix(" ."), maxsplit=1)[0]
    soon = " ".join(own.split(" ")[: SOON + 1])
    off = _BREAKS_OFF.search(behind)
    return bool(_AGAIN.search(soon) or _FIRST.search(behind[: off.start() if off else None]))
