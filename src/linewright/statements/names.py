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
        left alone: that is the French Defence trouble and we do not have it
        left alone: this is an Italian bishop
        left alone: it comes back to c6
        left alone: and then it comes back
        fails: this is the French Defence again
    after 1.Nf3 Nf6 2.c4 g6 3.Nc3 Bg7 4.e4 d6 5.d4:
        holds: we have transposed to the King's Indian
        holds: it transposes into a King's Indian Defence
        fails: it transposes to the Grünfeld
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence
from dataclasses import replace

import chess

from linewright import names as catalogue
from linewright.board_words import NUMBER_WORDS
from linewright.expressions import expression
from linewright.judging import Fact, Pattern, Said

FAMILY = "names"


def is_called(said: Said) -> Fact | None:
    """Whether the line has the name said of it."""
    return _judged(said, said.place.boards())


def is_fragment(said: Said) -> Fact | None:
    """Whether the line has the name that is all there is of a sentence: "Caro-Kann, Advance"."""
    return _judged(replace(said, words={**said.words, "fragment": "x"}), said.place.boards())


def transposes(said: Said) -> Fact | None:
    """Whether the line has the name said, by whatever order of moves."""
    return _judged(said, said.place.boards())


def _named_in(
    said: Said,
) -> tuple[tuple[catalogue.NameFound, ...], tuple[catalogue.NameFound, ...]]:
    """The opening names among the words said to be one, and those that only tell a kind."""
    meant = set(_words(said.word("name"))) | {
        NUMBER_WORDS[int(n)] for n in re.findall(r"\d+", said.word("name")) if int(n) < 11
    }
    told = f"so {_BEHIND.sub(';', said.original)}"
    found = tuple(
        f
        for f in catalogue.find_names(told)
        if set(_words(f.words)) & meant - _SMALL_WORDS and f.words.lower() not in _CONTRACTED
    )
    kinds = tuple(f for f in found if catalogue.tells_a_kind(told, f.span.start, f.span.end))
    if found or not (_TOLD.search(said.original) or said.word("fragment")):
        return tuple(f for f in found if f not in kinds), kinds
    cased = catalogue.find_names(_cased(said.word("name")))
    return tuple(f for f in cased if catalogue.is_proper(f.meant)), ()


_BEHIND = expression(
    r"\b(?:on the board|in front of us|here|against(?: the)?|versus|with \d\.\S+)(?= |$)"
)
"""Words behind a name that are no part of it."""
_CONTRACTED = {"we're", "we’re", "they're", "you're", "were", "we"}


def _judged(said: Said, line: Sequence[chess.Board]) -> Fact | None:
    found, kinds = _named_in(said)
    if not found or {"like", "unlike"} & set(_words(f"{said.original} {said.word('name')}")):
        return None
    if said.word("fragment") and any(_misheard(f) and not f.certain for f in found):
        return None  # "well done" is no Van der Wiel
    proper = any(catalogue.is_proper(f.meant) for f in found)
    if not proper and (said.word("fragment") or not any(f.words[0].isupper() for f in found)):
        return None
    name = " ".join(f.words for f in found)
    besides = " ".join(f.words for f in kinds)
    rest = set(_words(said.word("name"))) - set(_words(f"{name} {besides}")) - _SMALL
    if said.word("fragment") and rest | (_VERBS & set(_words(said.word("name")))):
        return None
    if len(rest) > 1 and not said.word("loose"):
        return None  # "the whole point of the Caro" names no opening
    if said.word("fragment") and (
        catalogue.name_of_line(line) is None or any(f.words[0].islower() for f in found)
    ):
        return None
    belonging = catalogue.belongs(name, line)
    plain = re.sub(r"^(?:closed|open|main|classical|normal|modern|old) ", "", name)
    if belonging.how != "here" and plain != name and catalogue.belongs(plain, line).how == "here":
        return None  # "a closed King's Indian" may be no name
    if belonging.how == "unknown" and len(found) > 1:
        each = [catalogue.belongs(f.words, line) for f in found]
        belonging = next((one for one in each if one.how != "here"), each[0])
        if each[0].how == "here" and belonging.how == "unknown":
            return None
    here = catalogue.name_of_line(said.place.boards())
    what = f"the {here.usual} ({here.code})" if here else "a position without a name"
    if belonging.how == "here":
        began = here is not None and catalogue.belongs(name, line[-1:]).how != "here"
        return Fact(
            True, f"the line began as one and is now {what}" if began else f"the line is {what}"
        )
    if belonging.how == "unknown":
        return Fact(None, f"no opening of that name is known; the line is {what}")
    offer = f"it is {what}" if here else ""
    if belonging.how == "later":
        return Fact(False, f"not yet: the line is {what}", offer=offer)
    return Fact(False, f"the line is {what}", offer=offer)


def _misheard(found: catalogue.NameFound) -> bool:
    """Whether a short name is none that is written so, only one like it."""
    plain = unicodedata.normalize("NFKD", found.words).encode("ascii", "ignore").decode().lower()
    return set(_words(plain)) != set(_words(found.meant.lower())) and len(plain) < 8


def _words(text: str) -> list[str]:
    return re.findall(r"[a-z]+", text.lower())


_SMALL = set(
    _words(
        "the a an of in to for with our his old good main line lines so called famous "
        "classical closed open modern s defence defense variation opening system game "
        "attack gambit side proper again black white here also by road lines obviously then so "
        "okay right ok well yes exact precise exactly variations form version branch board front us "
        "main against set up structure chapter on before got versus"
    )
)
_SMALL_WORDS = set(_words("the a an of in to for with our his is are we it this that not and"))
_VERBS = set(_words("is are was has have had can will would gives likes leads looks feels needs"))
_TOLD = expression(
    r"\b(?:the name|recogni[sz]es?|calls? (?:it|this)|called|known as|named|transpos\w+|name is)\b"
)


def _cased(text: str) -> str:
    """The words as names are written, so that "berlin" counts after "known as"."""
    return "X " + re.sub(r"\b([a-z])", lambda m: m[1].upper(), text).replace("'S", "'s")


_THIS = (
    r"(?:it|this|that|which|this one|that one|the whole thing|the position|this position|the opening|this opening|the line|this line|this variation|the variation|the system|"
    r"this system|the game|here it|what {side} have(?: here| got)?|{own} (?:opening|defence|system|choice|set up|line|variation)|we)"
)
_NAME = r"(?:the |a |an |{own} )?(?P<name>(?:[^A-Z,;:.!?()]|N.){4,60}?)(?: (?:opening|line|position|proper|territory))?"
_SUBJECT = (
    r"(?:it|this|that|which|here it|all|everything|we|{side}|N. players|the N. players|the (?:present |whole |current |actual )?(?:position|opening|line|variation|system|game|"
    r"structure|set up|defence|players|moves|choice)|(?:this|our|the) (?:position|opening|line|variation|system|game|structure|set up|defence)|"
    r"today (?:'s|is) (?:opening|line|game|theme)|{own} (?:opening|defence|system|choice|set up|line|variation|game)|what (?:{side}|S.) (?:has|have)(?: here| got| on the board| in front of S.)*|what is on the board|this set up with [^,;]{3,30}|the diagram|S. S.)"
)
_CAME = (
    r"(?:(?:(?:has|have|had) )?(?:started|begun|began|opened|begins|starts|opens|start|begin|commenced|kicked off|started out|"
    r"set out|started off|started life|began life|came out|come out)(?: out| off| life)? (?:as|with|from|in|out of)|"
    r"(?:shows?|presents|gives|is showing)(?: (?:us|S.))?(?: a (?:main |typical |normal |well known )?(?:position|line|form) (?:of|from|in))?|(?:arrived|got|landed|came|reached)(?: (?:here|there|this|at this point|this position))?(?: (?:through|via|by way of|from|out of|by))|(?:comes?|came|arises?|arose|stems?|derives?|results?|resulted|has come|has sprung|springs?|sprang|has arisen|has resulted|grew|grows|developed)(?: about)? (?:from|out of|through|via|by way of)|"
    r"(?:belongs?|belonged) to|concerns?|falls under|comes under|is part of|"
    r"(?:is|are|was|were)(?: in| into| out of| from| following| playing| looking at| dealing with| seeing| studying| watching| within)|"
    r"(?:is|are|was) (?:what (?:S. )?calls?|the start of|the beginning of|the result of|a (?:line|variation|branch|form|case|position|version) (?:of|from|in)|one of the (?:main )?(?:lines|variations|positions) (?:of|in|from))|"
    r"(?:becomes?|became|has become|have become|turned into|turns into|has turned into|turned out to be|has turned out to be|boils down to)|"
    r"(?:has |have )?(?:obtained|reached|entered|got|gone into|chosen|opted for|gone for|followed|picked|selected|adopted|employed|used|set up|tried|offered|"
    r"responded with|replied with|answered with|defended with|reacted with|met it with|gone down|steered into|headed for|played|decided on|gone in for)|"
    r"(?:chooses?|chose|opts? for|goes for|went for|went into|followed|follows|picks?|adopts?|employs?|uses|plays|answers with|replies with|responds with|defends with|went down|goes into|steers? into|tries|decides on))"
)
_WHAT_LEADS = r"(?:it|this|that|which|the position|this line|{move})"
_TO_A_LINE = (
    r" (?:to|into) (?:the (?:main|other|same|first|earlier|previous) (?:line|position|variation)|"
    r"a position we (?:know|have seen)|known paths)"
)
_ROAD = r"(?:(?:the )?main (?:road|line|lines|variation|path) of )?"


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
        rf"{_SUBJECT} {_CAME} {_ROAD}{_NAME}(?! (?:player|players|pawn|structure|bishop|one|it|that|which|before|next|last)\b)",
        is_called,
    ),
    Pattern(
        rf"{_SUBJECT} {_CAME} {_ROAD}{_NAME} (?:against|versus) (?:the |a |an |G. )?(?P<loose>[a-z' ]{{4,40}}?)",
        is_called,
    ),
    Pattern(
        rf"(?:{{side}}|we|here we) (?:has|have)(?: got)? {_ROAD}{_NAME}(?: (?:on the board|in front of (?:S.)|before S.|here|in our hands))",
        is_called,
    ),
    Pattern(rf"there is {_NAME} (?:on the board|here|in front of S.)", is_called),
    Pattern(rf"(?:{{side}}|we) (?:has|have)(?: got)? {_NAME}", is_called),
    Pattern(
        r"^(?:out of) (?:a|an|the|this|our) (?P<loose>(?P<name>[^A-Z,;:.!?()]{3,40}[a-z']))",
        is_called,
        noun=True,
    ),
    Pattern(
        r"in (?:this|our) (?P<loose>(?P<name>[^A-Z,;:.!?()]{3,40}[a-z']))", is_called, noun=True
    ),
    Pattern(
        r"(?:S.|(?:the )?(?:\w+ )?(?:reader|student|pupil|viewer|player|listener|class|expert|connoisseur|audience|readers|students|pupils|viewers|players)|anyone|anybody) (?:will |should |may |can |must |ought to )?(?:have )?(?:now |already |surely |certainly |no doubt |here )?(?:recogni[sz]ed?s?|identify|identified|identifies|spot|spotted|know) (?:this |it |here )?(?:as |to be |in (?:it|this) )?(?:the |a |an |G. )?(?P<name>[^A-Z,;:.!?()]{4,60}?)",
        is_called,
    ),
    Pattern(
        r"^(?P<fragment>(?:okay|ok|so|right|just|nothing but|good old|well|here|and|yes|once|now|the|a|an|our|old|welcome to|so much for|much for|only|hello|again|typical|it is|,) )*"
        r"(?P<name>(?:(?:[a-z']{2,}|N.|,) ){0,5}[a-z']{4,})(?! (?:[a-zA-Z;:]|, [a-zA-Z]))",
        is_fragment,
    ),
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
        r"(?:{own}|the|its|(?:this|the) (?:opening|line|variation|system|defence) 's) (?:name|code|eco code) is (?P<name>[^A-Z,;:.!?()]{4,60}?)",
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
        rf"{_WHAT_LEADS} (?:transposes|has transposed|is a transposition|transposes back)(?: directly)?(?:{_TO_A_LINE})?",
        own_tree,
    ),
    Pattern(
        # a man comes back to a square
        rf"{_WHAT_LEADS} (?:leads back|brings us back|comes back|goes back)(?: directly)?{_TO_A_LINE}",
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
    Pattern(
        rf"{_NAME} (?:(?:lies|is|stands) (?:before (?:us|S.)|in front of (?:us|S.)|on the board)|(?:has|have) (?:arisen|been reached|come about|resulted|appeared on the board|been entered))",
        is_called,
    ),
    Pattern(
        r"(?:here )?S. (?:has|have) (?:reached|entered) (?P<loose>(?P<name>[^A-Z,;:.!?()]{3,40}[a-z']))",
        is_called,
    ),
    Pattern(
        rf"(?:what (?:{{side}}|S.) (?:has|have)(?: here| got| on the board| in front of S.)*|what is on the board|this set up with [^,;A-Z]{{3,30}}(?:Q. )?|this set up|the (?:present |actual |current )?(?:position|opening)(?: on the board)?) (?:is|was)(?: called| known as| named)? {_ROAD}{_NAME}",
        is_called,
    ),
)
