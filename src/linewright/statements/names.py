"""Names of openings and transpositions: by the catalogue, and by the lines of the lesson itself.

Definitions: a name belongs to a line if the named position stands on it or on the catalogue's way
to it; codes are those of the Encyclopaedia of Chess Openings. "It transposes to" holds if the
position (board, side to move, rights) is one that the name has by another order of moves, or stands
on another line of the lesson.

    after 1.e4 e5 2.Nf3 Nc6 3.Bb5 Nf6:
        holds: this is the Berlin Defence
        holds: We have reached the Berlin.
        holds: This opening is known as the Ruy Lopez.
        fails: this is the Najdorf
        fails: it is called the Scotch Game
        holds: this is a Spanish
        left alone: The Najdorf is my favourite opening.
        left alone: In the Sicilian the fight is sharper.
    after 1.Nf3 Nf6 2.c4 g6 3.Nc3 Bg7 4.e4 d6 5.d4:
        holds: we have transposed to the King's Indian
        holds: it transposes into a King's Indian Defence
        fails: it transposes to the Grünfeld
"""

from __future__ import annotations

import re
from collections.abc import Sequence

import chess

from linewright import names as catalogue
from linewright.judging import Fact, Pattern, Said, past_boards

FAMILY = "names"


def is_called(said: Said) -> Fact | None:
    """Whether the line has the name said of it."""
    return _judged(said, past_boards(said.board))


def transposes(said: Said) -> Fact | None:
    """Whether the line has the name said, by whatever order of moves."""
    return _judged(said, past_boards(said.board))


def _judged(said: Said, line: Sequence[chess.Board]) -> Fact | None:
    found = catalogue.find_names(said.original)
    if not found and _TOLD.search(said.original):
        found = tuple(
            f
            for f in catalogue.find_names(_cased(said.word("name")))
            if catalogue.is_proper(f.meant)
        )
    if not found:
        return None
    name = " ".join(f.words for f in found)
    rest = set(_words(said.word("name"))) - set(_words(name)) - _SMALL
    if len(rest) > 1:
        return None  # "the whole point of the Caro" names no opening
    belonging = catalogue.belongs(name, line)
    here = catalogue.name_of_line(past_boards(said.board))
    what = f"the {here.usual} ({here.code})" if here else "a position without a name"
    if belonging.how == "here":
        return Fact(True, f"the line is {what}")
    if belonging.how == "unknown":
        return Fact(None, f"no opening of that name is known; the line is {what}")
    offer = f"it is {what}" if here else ""
    if belonging.how == "later":
        return Fact(False, f"not yet: the line is {what}", offer=offer)
    return Fact(False, f"the line is {what}", offer=offer)


def _words(text: str) -> list[str]:
    return re.findall(r"[a-z]+", text.lower())


_SMALL = set(
    _words(
        "the a an of in to for with our his old good main line lines so called famous "
        "classical closed open modern s defence defense variation opening system game "
        "attack gambit side proper again black white here also by"
    )
)
_TOLD = re.compile(
    r"\b(?:the name|recogni[sz]es?|calls? (?:it|this)|called|known as|named|transpos\w+|name is)\b"
)


def _cased(text: str) -> str:
    """The words as names are written, so that "berlin" counts after "known as"."""
    return "X " + re.sub(r"\b([a-z])", lambda m: m[1].upper(), text).replace("'S", "'s")


_THIS = (
    r"(?:it|this|that|which|the position|this position|the opening|this opening|the line|this line|this variation|the variation|the system|"
    r"this system|the game|here it|what {side} have(?: here| got)?|{own} (?:opening|defence|system|choice|set up|line|variation)|we)"
)
_NAME = r"(?:the |a |an |{own} )?(?P<name>[^A-Z,;:.!?()]{4,60}?)(?: (?:opening|line|position|proper|territory))?"


def own_tree(said: Said) -> Fact:
    """Whether another line of the same lesson reaches this position."""
    lines = said.place.judges.lines
    board = said.played().after if "move" in said else said.board
    key = " ".join(board.fen().split()[:4])
    if key in lines:
        return Fact(True, f"the lesson reached the same position after {lines[key]}")
    if not lines:
        return Fact(None, "to which line? none of the lesson's own reaches a position twice")
    return Fact(False, "no other line of the lesson reaches this position")


def same_road(said: Said) -> Fact | None:
    """Whether another line of the lesson reaches the position; of others nothing is said."""
    fact = own_tree(said)
    return fact if fact.true else None


PATTERNS = (
    Pattern(
        _THIS
        + rf" (?:is|are in|are now in|becomes|has become|is called|is named|is known as|goes by the name of|is|have|was|turns into)"
        rf"(?: commonly| generally| usually| also)? (?:known as |called |named )?{_NAME}",
        is_called,
    ),
    Pattern(
        rf"(?:we|{{side}}) (?:have|has|are|is) (?:reached|entered|arrived at|arrived in|got|playing|in|into|now in) {_NAME}",
        is_called,
    ),
    Pattern(
        rf"(?:{{side}} (?:plays|has played|chooses|has chosen|goes for|has gone for|opts for|defends with|answers with)) {_NAME}",
        is_called,
    ),
    Pattern(rf"{{side}} calls? (?:it|this) {_NAME}", is_called),
    Pattern(rf"(?:people|players|everyone|most) calls? (?:it|this) {_NAME}", is_called),
    Pattern(rf"(?:known as|called|named|the so called) {_NAME}", is_called),
    Pattern(
        r"(?:"
        + _THIS
        + rf"|{{side}}) (?:transposes?|has transposed|have transposed|has just transposed|leads|comes down|is a transposition|boils down|"
        rf"transposed|are transposing|reverts)(?: back)?(?: directly)? (?:to|into) {_NAME}",
        transposes,
    ),
    Pattern(
        r"(?:{own}|the|its) (?:name|code|eco code) is (?P<name>[^A-Z,;:.!?()]{4,60}?)",
        is_called,
    ),
    Pattern(rf"{{side}} (?:all )?(?:recogni[sz]e|recogni[sz]es) (?:this as )?{_NAME}", is_called),
    Pattern(rf"(?:this|it) (?:must|has to|can only) be {_NAME}", is_called),
    Pattern(
        rf"(?:the|its) (?:name|proper name|usual name) (?:of|for) (?:this|the) (?:opening|line|position|variation|defence|system) is {_NAME}",
        is_called,
    ),
    Pattern(
        rf"(?:this|the) (?:opening|line|position|variation|defence|system) (?:goes by|bears|carries|has) the name (?:of )?{_NAME}",
        is_called,
    ),
    Pattern(rf"welcome to {_NAME}", is_called),
    Pattern(
        r"(?:it|this|that|which|the position|this line|{move}) (?:transposes|leads back|brings us back|comes back|goes back|has transposed|is a transposition|transposes back)(?: directly)?(?: (?:to|into) (?:the (?:main|other|same|first|earlier|previous) (?:line|position|variation)|a position we (?:know|have seen)|known paths))?",
        own_tree,
    ),
    Pattern(
        r"(?:this|it) is the same position(?: (?:as before|as in the main line|we had before|again))?",
        own_tree,
    ),
    Pattern(
        r"(?:it|this|that|{move}) (?:brings us|gets us|takes us|gets|comes|leads|leads us) (?:there|here|to the same (?:place|position|thing|diagram)|into the same position)(?: too| as well)?",
        same_road,
    ),
    Pattern(
        r"(?:it|this|that|{move}) (?:is|makes) another (?:road|way|route|order) to (?:the same (?:place|position)|it|this|here)",
        same_road,
    ),
)
