"""Sentences of a text, and whether they assert anything about the board."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise

from linewright.english.contrast import without_contrast
from linewright.english.hesitation import without_hesitation
from linewright.english.shorthand import written_out
from linewright.english.told_moves import told_as_done
from linewright.english.words import Token, read_words
from linewright.expressions import expression
from linewright.question_marks import ends_question
from linewright.source import Span


@dataclass(frozen=True, slots=True)
class Sentence:
    """One sentence: its place in the text and its tokens, which keep their places in the text.

    `asks` is true of a question; `supposes` of a sentence with a condition or a supposition,
    `reports` of one that gives what somebody thought, `general` of one about what is usual.
    Such sentences say nothing of this board. `running` is true of a piece of speech written down
    without stops.
    """

    span: Span
    tokens: tuple[Token, ...]
    asks: bool = False
    supposes: bool = False
    reports: bool = False
    general: bool = False
    running: bool = False


_END = expression(r"(?<=[.!?…])[\"”’)\]*_]*\s+(?=[\"“‘(\[*_]*(?:[A-Z0-9…♔-♟]|$))|\n\s*\n")
_NO_END = expression(
    r"(?:\b\d{1,3}|\be\.g|\bi\.e|\bvs|\bcf|\bMrs?|\bMs|\bDr|\bProf|\bSt|\betc|\bviz)\.$", re.I
)

_FIGURES = expression(
    r"\bif (?:truth be told|anything|not more|not worse|(?:you|we|one|i) (?:add|count|look|ask|check|like|want to be|will|see|"
    r"compare|tot|sum|think about|am not mistaken|am honest|may say|are counting|are wondering|care to|please|follow the|"
    r"do the|stop to|study|inspect|take stock)\b[^,:;]*|i am (?:not mistaken|right|honest)|you please|proof (?:is|were) needed)"
    r"|\b(?:if it (?:were|was|is|had been)|(?:were|was) it) (?:now |only |still )*(?:his|her|our|my|your|their|white 's|black 's) (?:turn|move|go)\b"
    r"|\bif it (?:were|was|is) (?:now )?(?:white|black) to (?:move|play)\b|\bif (?:he|she|we|white|black) (?:were|was) (?:to move|on move)\b"
    r"|\bif (?:we|he|she|they|you|i|white|black) (?:fancied|fanc(?:y|ies)|wanted|wants?|liked|likes?|wished|wish|chose|cared|felt like)(?: (?:it|to|that|so))?(?= ?$| ?[.,;:!])"
    r"|\bwhenever(?= ?(?:$|[,.!;:—]))"
    r"|\bas soon as (?:it (?:pleases|suits)|(?:he|she|we|they|you|white|black) (?:likes?|wants?|pleases?|wishes|wish|chooses?|fanc(?:y|ies)))(?: (?:him|her|us|them|you|white|black|to))?"
    r"|\bwhenever (?:it (?:pleases|suits) (?:him|her|us|them|you|white|black)|(?:he|she|it|they|we|you|white|black) (?:likes?|wants?|pleases?|wishes|wish|chooses?|fanc(?:y|ies)))\b"
)
"""Figures of speech with "if" or "whenever" that suppose nothing."""

_SUPPOSES = expression(
    r"\b(?:if|unless|suppose|supposing|imagine|assuming|provided that|in case|were to|whenever|"
    r"as soon as|should (?:white|black|he|she|they|you|we)|had (?:white|black|he|she|they|you|we|it)"
    r"|were (?:white|black|he|she|it) |what happens when|wish|hopefully|let us say|say that|"
    r"pretend|picture|as though|would have(?! to\b)|could have|might have|should have|otherwise)\b"
)
_DO_AND = expression(
    r"^(?:just |simply |now |so )?(?:take|capture|play|push|move|trade|exchange|grab|put|recapture|snap off)\b(?! (?:a look|note)).*\b(?:and|then) "
    r"(?:you|we|he|she|it|white|black|there|the [a-z]+) (?:have|has|are|is|will|win|wins|get|gets|would|can|take|takes)\b"
)
"""Told to do something, and what comes of it: "take on c7 and you've won a queen" supposes."""
_LEAVES = r"(?:jumps|moves|steps|goes|hops|runs|slides|gets|disappears|vanishes)"
_FIRST_AWAY = expression(
    r"\bthe (?:\w+ )?(?:king|queen|rook|bishop|knight|pawn)(?: on [a-h][1-8])? "
    rf"{_LEAVES}"
    r"(?: (?:away|aside|off|out of the way|somewhere))? ?,? (?:and|then|and then) (?:the|his|her|our|my)\b"
)
"""What a piece uncovers by moving is of a later board: "the knight jumps away and the bishop hits"."""
_ONCE_AWAY = expression(
    r"\b(?:when|once|after) (?:P.|(?:the|his|her|our|my|your|their|its|this|that|G.|(?:white|black) 's) "
    r"(?:(?!(?:the|an?|his|her|our|my|your|their|its|this|that)\b)\w+ ){0,2}(?:king|queen|rook|bishop|knight|pawn|piece)(?: (?:on|at) (?:[a-h][1-8]|Q.))?) "
    rf"(?:{_LEAVES}|leaves|retreats|falls|is (?:moved|taken|captured|exchanged|traded|gone|driven (?:away|off|back)))\b"
)
"""A condition that begins with "when": what comes of it is of a later board, too."""
_WHENEVER_SO = expression(
    r"^(?:(?:and|but|so|also|yet) )*when (?:white|black|both sides|either side|one side|a (?:side|player)) "
    r"(?:has|have|puts?|places?|sets?(?: up)?|builds?|keeps?|chooses?|adopts?)\b(?! (?:just|now|already|played|taken))"
)
"""A sentence about every position of a kind: "when White puts pawns on c4 and d3"."""
_REPORTS = expression(
    r"\b(?:used to|according to|it (?:is|was) (?:said|thought|believed|claimed|assumed|held)|"
    r"(?:was|were|is|are|has been|been|long) (?:once |long |widely |generally |often )?"
    r"(?:thought|believed|considered|regarded|assumed|supposed|reputed|said|taught|known to)\b|"
    r"(?:theory|books?|textbooks?|manuals?|people|many|some|everyone|everybody|players|masters|they|"
    r"pupils?|students?|beginners?|authors?|opponents?|he|she|somebody|someone|white|black|engines?|"
    r"grandmasters?|commentators?|marit|teachers?|coach|nobody|the old \w+|my \w+|others|a \w+ player)"
    r"(?: \w+){0,2} (?:says?|said|thinks?|thought|claims?|claimed|believes?|believed|holds? that|held|"
    r"argues?|argued|considers?|considered|assumes?|assumed|hopes?|hoped|tells? (?:you|us|me)|"
    r"told (?:you|us|me)|maintains?|maintained|insists?|insisted|wrote|writes?|feels?|felt|"
    r"fears?|feared|imagines?|imagined|pretends?|suggests?|reckons?|reckoned|will tell|"
    r"worries|worried|asks?|asked|wonders?|wondered|swears?|swore|taught)"
    r"|i (?:used to|once|thought|believed|assumed|hoped|feared|wondered|was taught)|"
    r"in (?:that|a|one|another|the next|his|her|my|some) (?:\w+ )?(?:game|match|tournament)|(?:and|then) the game|last (?:week|year|month|summer|winter|spring|autumn|night|season|time|"
    r"monday|tuesday|wednesday|thursday|friday|saturday|sunday)|yesterday|years? ago|weeks? ago|my opponent (?!s|has|is|can|now)|never got it back|"
    r"supposedly|allegedly|reportedly|reputedly|legend|rumou?r|the (?:myth|saying|story|rule) )\b"
)
_GENERAL = expression(
    r"\b(?:usually|(?<!more )(?<!as )often|sometimes|normally|typically|generally|rarely|seldom|as a rule|in general|"
    r"in (?:many|most|some|other|all|such|these|those|this kind of|this type of|similar|certain) "
    r"(?:lines?|positions?|games?|openings?|variations?|endings?|endgames?|structures?|cases?)|"
    r"every so often|from time to time|all too often|most of the time|tends? to|in principle|"
    r"in such|by definition|in theory|for example when|through check|only on the (?:very )?next move|according to the (?:rules|laws)|"
    r"the rules? (?:says?|of)|a rule|by the rules)\b"
)


SOMETIME = expression(
    r"\b(?:later(?: on)?|at some (?:point|stage|moment)|sooner or later|eventually|one day|some ?day|in the (?:long run|future)|"
    r"in (?:two|three|four|a few|some) moves|before long|in time|in due course|as the game goes on|down the (?:road|line)|"
    r"tomorrow|next time|another time|soon|at any (?:time|moment))\b"
)
"""Words that put what can be done off to a time nobody can tell."""


def read_sentences(text: str) -> tuple[Sentence, ...]:
    """The sentences of a text, in order.

    >>> [s.asks for s in read_sentences("Is it mate? No. White plays 12.Nf3. Then b4.")]
    [True, False, False, False]
    """
    found: list[Sentence] = []
    start = 0
    ends = [m for m in _END.finditer(text) if not abbreviates(text, m.start())]
    for begin, end in [(m.start(), m.end()) for m in ends] + [(len(text), len(text))]:
        piece = text[start:begin]
        if piece.strip():
            lead = len(piece) - len(piece.lstrip())
            found.extend(_pieces(text, start + lead, start + len(piece.rstrip())))
        start = end
    return tuple(found)


def abbreviates(text: str, end: int) -> bool:
    """Whether the stop before a place belongs to a number or a short form.

    >>> abbreviates("For Mr. Pell it was.", 7), abbreviates("For Mr. Pell it was.", 20)
    (True, False)
    """
    return bool(_NO_END.search(text[max(0, end - 12) : end].rstrip('"”’)')))


LONG = 60
"""So many words without a stop are no sentence: nobody put the stops."""

LONGEST = 200
"""More words than this are cut, as the cost of a sentence grows with the square of its length;
nobody says so many in one."""
MOST_MARKS = 400
"""So many words and marks at most, each counted: of text without blanks, too."""
_WORD_ENDS = expression(rf"(?:\S++\s++){{{LONGEST}}}")
_MARK_ENDS = expression(rf"(?:(?:\w++|[^\w\s])\s*+){{{MOST_MARKS}}}")
_CUT = expression(r".*[.!?;:]\s+|.*,\s+|.*\s", re.DOTALL)

_BREATH = expression(
    r"(?<!\s)\s++(?=(?:so|but|now|because|okay|ok|then|yes|if|unless|when|what|why|how|who|"
    r"(?:and )?(?:people|theory|books|everyone|everybody|some) (?:say|says|think|thinks|used)|"
    r"and (?:the|that|this|it|he|she|we|you|i|they|white|black|now|then|here|there|his|her|our|my|your))\s)"
)


def _pieces(text: str, start: int, end: int) -> Iterator[Sentence]:
    """The sentence between two places, cut where a speaker may take breath if it has no stops.

    What follows a condition is part of it, as nothing shows where it ends.
    """
    while cut := _too_long(text, start, end):
        yield from _pieces(text, start, start + len(text[start:cut].rstrip()))
        start = cut
    words = text[start:end]
    if words.count(" ") < LONG or re.search(r"[.,;:!?]\s", words):
        yield _sentence(text, start, end)
        return
    supposes = False
    cuts = [start, *(start + m.end() for m in _BREATH.finditer(words)), end]
    for first, last in pairwise(cuts):
        made = _sentence(text, first, first + len(text[first:last].rstrip()))
        firm = re.match(r"(?:so|but|now|okay|ok|yes)\s", text[first:last])
        yield replace(made, supposes=made.supposes or (supposes and not firm), running=True)
        supposes = made.supposes


def _too_long(text: str, start: int, end: int) -> int:
    """Where a sentence is cut that is too long for one, at its last stop; 0 if it is not."""
    ends = [m.end() for long in (_WORD_ENDS, _MARK_ENDS) if (m := long.match(text, start, end))]
    at = min(ends, default=end)
    if at == end:
        return 0
    found = _CUT.match(text, start, at)
    return found.end() if found else at


def _sentence(text: str, start: int, end: int) -> Sentence:
    words = text[start:end]
    tokens = written_out(without_hesitation([_moved(token, start) for token in read_words(words)]))
    tokens = _moves_as_done(without_contrast(tokens))
    plain = " ".join(t.text for t in tokens)
    stops = words.rstrip('"”’)*_ ')
    return Sentence(
        Span(start, end),
        tokens,
        asks=_asks(stops, plain, text[end : end + 12]),
        supposes=supposes(plain),
        reports=bool(_REPORTS.search(plain)),
        general=bool(_GENERAL.search(plain)),
    )


def _moves_as_done(tokens: tuple[Token, ...]) -> tuple[Token, ...]:
    """The tokens with "the knight going to g5" as "moving the knight to g5"."""
    told = told_as_done(" ".join(t.text for t in tokens))
    if told is None:
        return tokens
    first, end, words = told
    at, place = [], 0
    for token in tokens:
        at.append(place)
        place += len(token.text) + 1
    span = [token for token, where in zip(tokens, at, strict=True) if first <= where < end]
    if not span or at[tokens.index(span[0])] != first:
        return tokens
    begin = tokens.index(span[0])
    kept = {token.text: token for token in span}
    made = [
        replace(kept.get(word, span[0]), text=word, start=span[0].start, end=span[-1].end)
        for word in words.split()
    ]
    return (*tokens[:begin], *made, *tokens[begin + len(span) :])


_TAGGED = expression(
    r",\s*(?:right|ok|okay|yes|correct|agreed|see|you see|you know|eh|huh|no|"
    r"(?:is|are|has|have|had|do|does|did|can|could|was|were|will|would)(?:n['’]t)?\s+"
    r"(?:it|he|she|they|we|you|there|i|white|black|that|this))(?:,\s*[a-z]+(?:\s[a-z]+)?)?\?$",
    re.I,
)
"""A tag behind what is asserted: "that's a pin, isn't it?"."""


def supposes(plain: str) -> bool:
    """Whether the words of a sentence, in lower case, hold a condition or a supposition."""
    told = _SUPPOSES.search(_FIGURES.sub("", plain)) or _DO_AND.match(plain)
    always = _WHENEVER_SO.match(plain) or _ONCE_AWAY.search(plain)
    return bool(told) or bool(always) or uncovers(plain)


def uncovers(plain: str) -> bool:
    """Whether a piece first moves away in a sentence, and another does something then."""
    return bool(_FIRST_AWAY.search(plain))


def _asks(words: str, plain: str, after: str) -> bool:
    """Whether a sentence is a question; "e5?" may be a move, unless an answer follows."""
    if _TAGGED.search(words) and not _ASKS.match(plain):
        return False
    if re.match(r"\s*(?:No|Yes|Well|Not|Never|Of course|Indeed)\b", after) and words.endswith("?"):
        return True
    move = re.search(r"(?<! on [a-h])(?<! at [a-h])(?<! from [a-h])[a-h1-8O0]\s?[!?]{1,2}$", words)
    if move and words.endswith("?") and ends_question(words.rstrip("?"), after):
        return True
    return (words.endswith("?") and not move) or bool(_ASKS.match(plain))


_ASKS = expression(
    r"(?:can|could|does|do|did|is|are|was|has|have|should|will|would|who|why|how|where|when|which|"
    r"whose) (?:white|black|he|she|it|they|we|you|i|the|this|that|there|his|her|our|my|any|anyone|"
    r"many|much|often|to)\b(?!.*[.!]$)"
)


def _moved(token: Token, by: int) -> Token:
    return Token(
        token.text, token.start + by, token.end + by, token.kind, token.move, token.number,
        token.black, token.hyphen,
    )  # fmt: skip
