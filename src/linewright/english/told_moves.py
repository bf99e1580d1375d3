"""Moves told in words, read as moves: "if Black puts the knight on c6", "taking with the h-pawn".

`told_move` looks at the words of a normal form from one place on and gives the move they tell, as
`Told`: the kind of man, where it comes from, whether it takes, where it goes, as far as the words
say. A condition ("if", "should", "after", "once") with a move in it is read as "after" that move:
the clause behind it is about the board after it. Which legal move is meant is settled on the board
(`linewright.moves_meant`).
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from linewright.expressions import expression
from linewright.moves import MAN, PIECE_LETTERS

_MAN = rf"(?:{MAN}|piece)"
_ARTICLE = r"(?:(?:the|a|that|this|G.|S. 's) )?(?:(?:other|white|black|own|light|dark|squared|square|second|first|same|W.) )*"


def _noun(name: str) -> str:
    """A man with what tells it: "our f-pawn", "the knight on c3", "the c3 knight"."""
    return (
        rf"{_ARTICLE}(?:(?P<{name}file>F.) |(?P<{name}at>Q.) )?(?P<{name}>{_MAN})"
        rf"(?: (?:on|from|at)? ?(?P<{name}from>Q.)(?! ?(?:to|and)))?"
    )


_STEPS = (
    "go goes going come comes coming move moves moved moving step steps stepping jump jumps jumping jumped hop hops "
    "hopping hopped run runs retreat retreats retreated retreating drop drops dropping swing swings slide slides travel travels advance "
    "advances advanced advancing push pushes went walk walks head heads return returns land lands leap leaps drift pop pops "
    "leapt settles settle appears appear arrives arrive got gets"
)
_PUTS = (
    "play plays played playing move moves moved moving put puts putting place places placed placing bring brings brought bringing develop develops developed developing pop "
    "pops popping drop drops dropping slide slides swing swings jump jumps retreat retreats retreated retreating advance advances advanced advancing push pushes "
    "pushed pushing transfer transfers take takes shift shifts lift lifts post posts station plant plants hop hops throw throws sink sinks "
    "tuck tucks withdraw withdraws get gets go goes route send sends"
)
_TAKES = (
    "take takes took taken taking capture captures captured capturing recapture recaptures recaptured recapturing grab grabs "
    "grabbed grabbing eat eats win wins winning snap snaps retake retakes chop chops exchange exchanges exchanged exchanging "
    "snatch snatches gobble gobbles swap swaps swapping trade trades trading remove removes removing"
)


def _any(words: str) -> str:
    return f"(?:{'|'.join(words.split())})"


_ADVERBS = r"(?:(?:now|then|simply|just|ever|first|next|instead|immediately|here|back|again|over|down|up|out|away|off|across|in|right|straight|too) )*"
_TO = r"(?:to|on|onto|into|in on|at)"
_GOES = rf"{_ADVERBS}(?:from (?P<start>Q.) )?{_ADVERBS}{_TO} (?P<to>Q.)"
_PLAYS = (
    rf"{_ADVERBS}{_any(_PUTS)} {_ADVERBS}"
    rf"(?:(?P<move>M.)|{_noun('put')} {_GOES}|(?P<bare>Q.)(?! {_MAN}))"
)
_CAPTURES = (
    rf"{_ADVERBS}{_any(_TAKES)} {_ADVERBS}"
    rf"(?:on (?P<where>Q.)|{_noun('taken')}|(?P<square>Q.)|(?:the )?(?P<pairs>queen|rook|bishop|knight|pawn)s on (?P<pairsat>Q.)|it|P.)?(?: {_ADVERBS}(?:with|using|by) {_noun('by')})?"
)
_MAN_MOVES = (
    rf"{_noun('man')} {_ADVERBS}(?:(?:should|would|could|will|were|was|is|has|had|does|be|been|to|ever|can) )*"
    rf"(?:{_any(_STEPS + ' played put placed brought developed pushed')} {_GOES}|{_CAPTURES.replace('?P<by', '?P<own').replace('?P<taken', '?P<prey').replace('?P<where', '?P<spot').replace('?P<square', '?P<point').replace('?P<pairs', '?P<ones')})"
)
_GOING = expression(
    r"(?P<man>(?:the|our|his|her|my|your|white 's|black 's)(?: (?:other|white|black|own|light|dark|squared|[a-h]|[a-h][1-8]|king 's|queen 's))*"
    r" (?:king|queen|rook|bishop|knight|pawn)(?: on [a-h][1-8])?) (?:going|moving|jumping|coming|hopping|leaping|landing|retreating|stepping|advancing|swinging|dropping back|dropping)"
    r"(?: back| up| over| out)? (?:to|on|into) (?=[a-h][1-8] (?:would|will|could|can|might|brings|puts)\b)"
)
_PUSH = expression(
    r"(?:a|the) (?:push|advance|move|thrust|march) of (?P<man>(?:the|our|his|her|my|white 's|black 's)(?: [a-h])? (?:pawn|knight|bishop|queen|rook|king)) to "
    r"(?=[a-h][1-8] (?:would|will|could|can|might)\b)"
)
_CHECKS = rf"(?:{MAN})"
_WHOSE = r"(?:(?:the|a|an|this|that|his|her|our|my|your|white 's|black 's|such a) )?(?:(?:white|black|simple|nasty|immediate|quick|cheeky|little|double) )*"
_IS_SAID = r"(?: ?$| ?[,.;:!—–]| (?:is|was|are|would|will|can|could|forks?|skewers?|hits|attacks|wins|gives|picks|comes|brings|makes|creates|does|and|leads|pins|also|simply|just|now|then|even|only)\b)"
_CHECK_ON = expression(
    rf"{_WHOSE}(?P<man>{_CHECKS})(?: 's)? check (?:on|at|to) (?P<to>[a-h][1-8])(?={_IS_SAID})"
)
_TO_CHECK = expression(
    rf"(?<!the )(?<!'s )(?P<man>{_CHECKS}) (?:to |on )?(?P<to>[a-h][1-8]) (?:with |giving |is )?check(?={_IS_SAID})"
)


_A_MAN = rf"(?:the|our|his|her|my|your|white 's|black 's|a|a white|a black)(?: (?:other|white|black|light|dark|squared|[a-h]))* (?:{MAN})"
_WOULD = r"(?= (?:would|could)\b(?! be\b| have\b| go\b| come\b| move\b| return\b| retreat\b))"
_FROM_THERE = expression(
    rf"(?<!back )(?:from|on|at) (?P<to>[a-h][1-8]) ,? ?(?P<man>{_A_MAN})(?P<behind>){_WOULD}"
)
_IMAGINED_THERE = expression(
    r"(?P<man>(?:a|another)(?: (?:white|black))? (?:king|queen|rook|bishop|knight|pawn)) (?:on|at) (?P<to>[a-h][1-8])(?P<behind>)(?= (?:would|could) (?:now |also |then )?(?:fork|attack|hit|skewer|pin|check|give check))"
)
_FROM_BEHIND = expression(
    rf"(?P<man>{_A_MAN})(?= would)(?P<behind> would (?:fork|attack|hit|skewer|check|give check)\b[^,;:.]*?) (?:from|on|at) (?P<to>[a-h][1-8])(?= ?$| ?[.,;!])"
)


def told_as_done(text: str) -> tuple[int, int, str] | None:
    """Where a noun tells a move, and as what is done it reads: "the knight going to g5 would".

    >>> told_as_done("the knight going to g5 would attack f7")
    (0, 20, 'moving the knight to ')
    >>> told_as_done("the knight check on c7 is a fork")
    (0, 22, 'knight to c7')
    """
    for pattern in (_FROM_THERE, _IMAGINED_THERE, _FROM_BEHIND):
        if match := pattern.search(text):
            return (
                match.start(),
                match.end(),
                f"moving {match['man']} to {match['to']}{match['behind'] or ''}",
            )
    for pattern in (_CHECK_ON, _TO_CHECK):
        match = pattern.search(text)
        if match and not re.search(r"\b(?:there is|gives?|gave|was|is) $", text[: match.start()]):
            return match.start(), match.end(), f"{match['man']} to {match['to']}"
    for pattern in (_GOING, _PUSH):
        if match := pattern.search(text):
            return match.start(), match.end(), f"moving {match['man']} to "
    return None


_END = r"(?= ?(?:$|[,.;:!]| and | then | with check | S. | G. | the | it | would | will | can | could | is | are | has | P.))"
_IF = r"(?:if|when|once|after|should|were|suppose|supposing|as soon as|whenever|assuming)"

_SIDE_PLAYS = expression(
    rf"(?P<if>{_IF}) (?:(?P<side>S.) )(?:(?:should|would|could|were|will|had|does|decides|chooses|wants|dares|be|to) )*{_PLAYS}{_END}"
)
_SIDE_TAKES = expression(
    rf"(?P<if>{_IF}) (?:(?P<side>S.) )(?:(?:should|would|could|were|will|had|does|decides|chooses|wants|dares|to) )*{_CAPTURES}{_END}"
)
_PIECE_MOVES = expression(rf"(?P<if>{_IF}) {_MAN_MOVES}{_END}")
_GERUND = expression(
    rf"(?:{_ADVERBS}(?:{_any('playing moving putting placing bringing developing popping retreating advancing pushing dropping')}) "
    rf"{_ADVERBS}(?:(?P<move>M.)|{_noun('put')} {_GOES})|(?:playing|pushing|advancing|going|developing|trying) (?P<bare>Q.)(?! {_MAN}))(?= )"
)
_GERUND_TAKES = expression(
    rf"{_any('taking capturing recapturing retaking exchanging')} (?:back |again )?"
    rf"(?:on (?P<where>Q.)|{_noun('taken')}|(?P<square>Q.))?(?: ?with {_noun('by')})?(?= (?!on Q))"
)


@dataclass(frozen=True, slots=True)
class Told:
    """A move as told: what is not said is empty.

    `man` is a letter of ``KQRBNP``, `start` and `to` are squares, `file` is where it comes from,
    `takes` whether it takes, `prey` what; `mark` is the phrase of a move or pawn's square named plainly, `side` that of who plays.
    `supposed` is true of a move that has not been played. `condition` is true where it is told as a condition;
    `length` is how many characters of the text tell it.
    """

    length: int
    man: str = ""
    start: str = ""
    file: str = ""
    takes: bool = False
    to: str = ""
    prey: str = ""
    mark: str = ""
    side: str = ""
    condition: bool = True
    supposed: bool = False

    @property
    def code(self) -> str:
        """The move in one word, as `linewright.moves_meant` reads it."""
        return f"?{'!' if self.supposed else ''}{self.man}:{self.file}:{self.start}:{'x' if self.takes else ''}:{self.prey}:{self.to}"


_CASTLES = expression(
    r"(?P<if>(?:if|when|once|after|should|suppose|supposing) )?(?:S. )?(?P<cond>(?:castles?|castling|to castle))(?: (?P<way>short|long)| (?:on )?(?:the )?(?P<wing>W.))?(?= ?(?:$|,|would|will|could|can|brings|puts|now|here|defends|protects|attacks|guards|covers|opens|unpins|breaks|connects|blocks|hits|gets|gives|leaves|loses|hangs|S. |P. |the |G. ))"
)


def told_castling(text: str) -> tuple[int, str, str, bool] | None:
    """How much of a text tells of castling as a move, which way, on what wing, and if as a condition.

    >>> told_castling("castling would bring the rook to f1"), told_castling("castling is possible")
    ((8, '', '', False), None)
    """
    match = _CASTLES.match(text)
    if match is None:
        return None
    condition = bool(match["if"])
    behind = text[match.end() :]
    if re.search(r"\bwill\b", behind):
        return None  # what is to come of it some day
    if not condition and not re.match(
        r" (?:(?:would|could) (?!be\b)|(?:now |here )*(?:defends|protects|attacks|guards|covers|unpins|hits)\b[^,;:.]*Q.)",
        behind,
    ):
        return None
    return match.end(), match["way"] or "", match["wing"] or "", condition


_TURN = expression(
    r"(?:,? )?(?:(?:if|when|once) it (?:were|was|is|had been) (?:now |only |still )*(?:(?:G.|S. 's) (?:turn|move|go)|S. to (?:move|play))|"
    r"(?:were|was|had) it (?:now |only |been )*(?:(?:G.|S. 's) (?:turn|move|go)|S. to (?:move|play))|if S. (?:were|was|is) (?:to move|on move))"
    r"(?: now| to move| to play| here)*(?= ?(?:$|[,.;:!]| S. (?:can|could|may) castle))"
)


def told_turn(text: str) -> int:
    """How much of a text says "if it were his turn", which a judge of "can" supposes anyway.

    >>> told_turn("if it were Ga turn now , he can castle"), told_turn("if it rains")
    (22, 0)
    """
    match = _TURN.match(text)
    return match.end() if match else 0


TRIGGERS = frozenset(
    "castling if when once after should were was had suppose supposing as whenever assuming taking capturing recapturing retaking exchanging going trying "
    "playing moving putting placing bringing developing popping retreating advancing pushing dropping".split()
)
"""Words with which a move may begin to be told."""

_PAST = expression(
    r"\b(?:moved|went|came|took|jumped|hopped|captured|recaptured|played|retreated|advanced|grabbed|landed|leapt|pushed|developed|brought|placed)\b"
)


def told_move(text: str, names: dict[str, str]) -> Told | None:
    """The move that the words at the beginning of a text tell, or None.

    `text` is a normal form without pieces; `names` tells what squares and files its phrases name.
    """
    for pattern in (_SIDE_PLAYS, _SIDE_TAKES, _PIECE_MOVES, _GERUND, _GERUND_TAKES):
        match = pattern.match(text)
        if match and (told := _told(match, names)):
            return told
    return None


def _told(match: re.Match[str], names: dict[str, str]) -> Told | None:
    found = {k: v for k, v in match.groupdict().items() if v}
    condition = "if" in found
    if found.get("if") in {"when", "once"} and _PAST.search(match[0]):
        return None
    length = match.end()
    if mark := found.get("move") or found.get("bare"):
        return Told(length, mark=mark, side=found.get("side", ""), condition=condition)

    def first(*keys: str) -> str:
        return next((found[k] for k in keys if k in found), "")

    takes = not first("to")
    mover = (
        "put" if "put" in found else "man" if "man" in found else "by" if "by" in found else "own"
    )
    to = names.get(
        first(
            "to",
            "where",
            "square",
            "spot",
            "point",
            "takenfrom",
            "takenat",
            "preyfrom",
            "preyat",
            "pairsat",
            "onesat",
        ),
        "",
    )
    man = PIECE_LETTERS.get(found.get(mover, ""), "")
    start = names.get(first("start", f"{mover}from", f"{mover}at"), "")
    prey = PIECE_LETTERS.get(first("taken", "prey", "pairs"), "")
    man = man or PIECE_LETTERS.get(first("pairs"), "")
    if takes and not (
        to or prey or man
    ):  # "if he takes it": what was imagined a sentence before, maybe
        return None
    if not takes and not man:
        return None
    return Told(
        length,
        man,
        start,
        names.get(found.get(f"{mover}file", ""), ""),
        takes,
        to,
        prey,
        side=found.get("side", ""),
        condition=condition,
        supposed=found.get("if", "after") != "after",
    )
