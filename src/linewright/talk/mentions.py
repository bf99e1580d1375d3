"""Moves that are only talked about: denied, wished for, feared, put off, or somebody's guess.

"He cannot castle yet", "White wants e4", "that stops b5", "knight c6 is coming", "we could trade
everything": the words before or after say plainly that no move is made. So does a summing up at the
end (`linewright.talk.recaps`), and what is asked of the class ("hands up"). What words leave open is
for the model of `linewright.talk.telling` and for the board; here stands only what is so seldom a
move that no board should make it one.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from linewright.talk.cues import NUMBERS, SOME_PLAY, takes_another
from linewright.talk.recaps import recap
from linewright.talk.said import Form, Phrase
from linewright.talk.vocabulary import (
    ARTICLES,
    CASTLES,
    COMMA,
    PIECES,
    SENTENCE,
    Token,
    is_square,
    stop_before,
    words,
)

NEVER = -40.0
"""The log odds that words tell a move which are plainly only talk."""

HINTED = -4.0
"""The log odds of a capture that the next sentence names."""

ASKED = -30.0
"""The same of one that is only asked about; where no other fits, it is made and another takes back."""

PLAIN = 1.0
"""Words read at less than this are what they seem, and so are all moves within them."""


_BEFORE, _AFTER = 12, 6
"""How many words count."""

_BARE = words(
    "take castle capture recapture swap exchange trade eat grab snatch win retake chop go come play"
    " put bring get move push retreat step drop jump hop block"
)
"""Such a verb hangs on the words before it: "he doesn't take", unlike "he doesn't, takes"."""

_ADVERB = "just|even|really|ever|simply|actually|always|now|then|soon|also|later|yet|easily"
_GO = (
    "go|come|play|take|put|get|move|push|bring|retreat|step|drop|jump|hop|develop|swap|trade|run"
    "|reach|try|roll|break"
)
_TO = (
    "to|on|in|into|onto|back|the|his|her|your|our|my|it|him|that|a|an|out|away|straight|there|with|at"
    "|via|over|up|down|for|forward|around|round|across|home"
)
_VERB = rf"(?: (?:{_GO})(?: (?:{_TO}))*)"
_NOT = (
    "(?:can't|cannot|can never|couldn't|don't|doesn't|didn't|won't|wouldn't|shouldn't|mustn't"
    "|(?:do|does|did|must|should|will|could|would) not|never|refuses to|unable to)"
)
_PEOPLE = (
    "(?:people|pupils|students|kids|children|somebody|someone|of you|two|three|four|five|six|seven"
    "|eight|nine|ten)"
)


def _ending(*ways: str) -> re.Pattern[str]:
    return re.compile(rf" (?:{'|'.join(ways)})(?<! it)(?<! him)$")


def _beginning(*ways: str) -> re.Pattern[str]:
    return re.compile(rf"^ (?:{'|'.join(ways)})(?![\w'-])")


_TAKES_AN_OBJECT = _ending(
    rf"{_NOT}(?: (?:{_ADVERB}))*(?: (?:want|need|have|like) to)?{_VERB}?",
    rf"(?:want|wants|wanted)(?: to{_VERB}?)?",
    rf"(?:would|i'd|he'd|she'd|we'd|you'd|they'd) (?:like|love|prefer)(?: to{_VERB}?| a| the)?",
    "(?:ready|able|hoping|happy|offering|threatening|intending|planning|aiming|preparing|wishing"
    rf"|likely|tempted) to{_VERB}?",
    rf"(?:i'm|he's|she's|we're|you're|they're|is|are|'s) (?:going to|gonna|about to)(?: just)?{_VERB}",
    "(?:need|needs)(?: the)?",
    "(?:stop|stops|stopping|prevent|prevents|preventing|avoid|avoids|avoiding|fears|discourages)",
    "(?:idea|plan|aim|threat|hope|dream) (?:is|was)(?: to)?",
)
"""Words that need a square, or the bare verb of a capture or of castling, to be whole."""

_SQUARE_TO_COME = _ending(
    "maybe", "some ?day", "one day", "later",
    "ever(?: get| gets| go| goes| play| plays| comes to| goes to)?",
    "(?:square|point|target|weakness|base|root|head|tail|bottom|top|hole|outpost|spot|chain|child)"
    "(?: (?!was|were|he|she|we|they|white|black)[\\w']+){0,4} is",
)  # fmt: skip
"""What a square alone is after these is no move: "the base of the chain right now is d4"."""

_GETS = _ending("get", "gets", "getting")

_WHATEVER = _ending(
    "(?:threat|idea|chance|fear|hope) of|hoping for|right to|without",
    r"(?:i'd|he'd|she'd|we'd|you'd|they'd|would|should|could)(?: have|'ve) (?:gone|played|put)(?: for)?",
    r"(?:one|two|another) more moves?(?: ,)?",
    rf"{_PEOPLE} (?:said|say|suggested|shouted|guessed|voted for)(?: ,)?",
    r"(?:and|so|then) next(?: is| comes)?",
    "next is",
)

_LOOKED_FORWARD_TO = _beginning(
    "would", "would've", "could've",
    "(?:is|was) coming",
    "to come", "in mind", "in the (?:air|pocket)", "at some point", "some ?day", "one day",
    "sooner or later", "some time", "sometime", "eventually",
    "(?:is|are) (?:what for|the (?:dream|idea|plan|aim|goal|threat))",
    ", that's (?:the|a|his|her|our) (?:dream|idea|plan|hope|threat|aim)",
    "(?:never|doesn't) works?", "(?:isn't|is not) possible", "is impossible",
)  # fmt: skip

_IN_GENERAL = _beginning(
    "too many", "as many", "too much", "everything", "pieces", "it easy", "(?:your|my|his|our|its) time",
    "a (?:look|minute|moment|second|break|seat)", "care", "place", "notes", "turns", "up swimming",
)  # fmt: skip
"""No man is taken: "exchange as many as you can", "take your time"."""

_IN = _beginning("in")
_NEXT = re.compile(r"^ next(?! is)(?![\w'-])")
_RANK = _beginning("rank", "row")

_LIST = (
    "the|a|an|our|my|your|his|her|their|its|and|on|also|plus|then|,|now|are|is|knights?|nights?|bishops?|rooks?"
    "|queens?|kings?|pawns?|ponds?|[a-h][1-8]"
)
_COUNTED = _ending(
    rf"(?:attackers|defenders|guardians)(?: (?:on|of|against|for))?(?: (?:{_LIST}))*"
)
"""A man and a square after these are counted: "attackers, knight c6, knight f5, queen b6"."""

_ANYONE = _ending(
    "(?:somebody|someone|everybody|everyone|people|pupils|kids|students|always|often)"
)

_NOT_THERE = _ending(
    "no",
    "(?:isn't|wasn't|aren't|not|without|hasn't got|haven't got|hasn't|haven't) (?:a|an|any)",
)
"""A man behind these is missed: "there's no rook on the c-file yet"."""

_WITH_ONE = _ending("with(?: a| an| the| his| her| my| our| your)?")
_WOULD_BE = _beginning(
    "(?:[\\w']+ ){0,2}(?:would|wouldn't|could|might)", "(?:i|you|he|she|it|we|they)'d"
)
"""What is said of a board with a man more: "with a rook on c8 it would be a fine move"."""

_OPEN = re.compile(r" (?:why|if|suppose|unless|when|whether)(?: [\w'-]+){0,3}$")
"""What these begin may be looked at on the board: "if he doesn't take", "why don't we take"."""


_MAN = r"(?:(?:the|a) )?(?:(?:knight|bishop|rook|queen|king|pawn)(?: (?:to|on))? )?[a-h][1-8]"
_WITH = re.compile(
    rf"(?: ,)?(?P<man> {_MAN})(?P<more>(?: (?:,|and|with) {_MAN})*)(?: ,)? (?:with|and)$"
)
_AND_ALL_THAT = re.compile(
    r"^(?: (?:and|with|plus|,) (?:(?:long |short )?castling|(?:[\w']+ )?[a-h][1-8]))*(?: ,)?"
    r" (?:and (?:all that|so on|so forth|the rest|that sort of thing|(?:things|stuff) like that)|etcetera"
    r"|(?:set-?ups?|systems?|schemes?|formations?|structures?))(?![\w'-])"
)
"""Words that make moves named together a way to set men up: "with queen d2 and all that"."""


_IDLE = re.compile(
    r" (?:if|when|suppose|while)(?: [\w']+){1,2}(?: (?:just|simply|only|always))*"
    r" (?:(?:sit|sits|stand|stands|stay|stays|wait|waits|dawdle|dawdles|hang|hangs)(?: (?:there|here|still|around|about|back"
    r"|and|wait|watch|look|on|passively))*|(?:do|does|play|plays|try|tries) nothing(?: at all| here| about it)?)"
    r"(?: ,)?(?: (?:then|now|sooner or later|white|black|he|she|they|will|plays?|gets?|has|comes|just|simply|in|the"
    r"|pawn|knight|bishop|queen|rook|goes|to))*$"
)
"""What nobody moved before: "if we just sit there, then e5 comes"."""

_A_MOVE = re.compile(
    r" (?:[a-h][1-8]|knight|bishop|rook|queen|king|pawn|castles?|takes?|captures?)(?![\w'])"
)

_NEW_CLAUSE = re.compile(r" (?:\.|so|but|okay|let's|let)(?![\w'])")

_CLASS = re.compile(
    r" (?:hands? (?:up|down)|show of hands|(?:raise|raises|put|lift) (?:\w+ )?hands?|(?:your|all) hands?"
    r"|eyes (?:on|front|up|here|to)|pens? down|sit down|settle down|listen(?: up)?|quiet please"
    r"|shout (?:it )?out|pair up|turn (?:to|round to) your neighbours?)(?![\w'-])"
)
"""Words to the class, not about the board."""


_A_NAME = re.compile(
    r" (?:the|called)(?: [\w'-]+){1,3} (?:defence|defense|gambit|opening|variation|system|attack)$"
)


def spoken_of(
    tokens: Sequence[Token], found: Mapping[int, Sequence[Phrase]]
) -> dict[int, list[Phrase]]:
    """The same phrases, those that are plainly only talk neither told as moves nor gone back to."""
    talk = [p for phrases in found.values() for p in phrases if only_talk(tokens, p)]
    itself = {id(phrase) for phrase in talk}
    within = _ends((phrase.first, phrase.end) for phrase in talk if phrase.price < PLAIN)
    summing, ended = recap(tokens)
    of_a_man = [
        phrase
        for phrases in found.values()
        for phrase in phrases
        if phrase.form is Form.CAPTURE and phrase.spec.says_mover
    ]
    named = {phrase.first: phrase for phrase in of_a_man if phrase.spec.targets}
    tried = {phrase.first for phrase in of_a_man}

    def read(phrase: Phrase) -> Phrase:
        mute = id(phrase) in itself or phrase.end <= within.get(phrase.first, 0)
        mute = mute or summing <= phrase.first < ended
        if not mute and phrase.end + 2 in named and takes_another(tokens, phrase):
            return replace(phrase, told=min(phrase.told, ASKED))
        if not mute and phrase.end in named and _is_named_next(tokens, phrase, named[phrase.end]):
            return replace(phrase, told=min(phrase.told, HINTED))
        if not mute and phrase.end in tried and _is_asked(tokens, phrase):
            return replace(phrase, told=min(phrase.told, ASKED))
        return replace(phrase, told=NEVER, leaves=NEVER) if mute else phrase

    return {first: [read(phrase) for phrase in phrases] for first, phrases in found.items()}


def _is_asked(tokens: Sequence[Token], phrase: Phrase) -> bool:
    """Whether a question asks if one takes, and says not with what: "Should we take? Pawn takes"."""
    return _is_bare_capture(phrase) and tokens[phrase.end - 1].asked


def _is_bare_capture(phrase: Phrase) -> bool:
    said = phrase.spec.says_mover or phrase.spec.says_target
    return phrase.form is Form.CAPTURE and not said


def _is_named_next(tokens: Sequence[Token], phrase: Phrase, named: Phrase) -> bool:
    """Whether words say only who takes, or with what, before those that name the capture.

    "We take. D takes c4.", "we take back with the knight, knight takes d5". The board may have its
    say: another may take back.
    """
    if _is_bare_capture(phrase):
        alone = phrase.first > 0 and tokens[phrase.first - 1].gap >= SENTENCE
        return alone and tokens[phrase.end].gap >= SENTENCE
    said = phrase.form is Form.CAPTURE and not phrase.spec.says_target
    with_what = said and bool(_WITH_WHAT.search(_words_of(tokens, phrase)))
    return with_what and phrase.spec.pieces[:1] == named.spec.pieces[:1]


_WITH_WHAT = re.compile(r" with(?: [\w']+){1,2}$")


def only_talk(tokens: Sequence[Token], phrase: Phrase) -> bool:
    """Whether the words around a phrase say that no move is made."""
    before, after = _before(tokens, phrase.first), _after(tokens, phrase.end)
    if phrase.form is Form.CLAUSE and (_to_the_class(tokens, phrase) or _names(tokens, phrase)):
        return True
    if phrase.form is Form.CLAUSE and _presents(tokens, phrase):
        return True
    if _counts_or_asks(tokens, phrase, before) or _is_a_noun(tokens, phrase):
        return True
    if phrase.price >= PLAIN:
        return False
    bare = tokens[phrase.first].text in _BARE
    square = phrase.form is Form.SQUARE
    man = phrase.spec.pieces and phrase.spec.targets and not phrase.verb
    if man and not phrase.spec.capture and _COUNTED.search(before):
        return True
    if (square or bare or phrase.form is Form.PLACED) and _TAKES_AN_OBJECT.search(before):
        return not _OPEN.search(_TAKES_AN_OBJECT.sub("", before))
    if _wished_too(tokens, phrase) or _is_a_condition(before, after) or _is_a_rule(before, after):
        return True
    if phrase.spec.pieces and not square and _is_missed(before, after):
        return True
    if square and (_names_a_place(before, after) or _is_listed(tokens, phrase)):
        return True
    if _of_a_set_up(before, after) or (
        _IDLE.search(before) and not _A_MOVE.search(_NEW_CLAUSE.split(after)[0])
    ):
        return True
    if phrase.form is Form.CASTLING and _NEXT.search(after):
        return True
    if bare and phrase.form in (Form.CAPTURE, Form.TRADE) and _IN_GENERAL.search(after):
        return True
    return bool(_WHATEVER.search(before) or _LOOKED_FORWARD_TO.search(after))


def _wished_too(tokens: Sequence[Token], phrase: Phrase) -> bool:
    """Whether a phrase is one of several things of a wish or a plan.

    "He would like to keep his pawns there, put a knight on c3", "the plan is: castle, and jump into c4".
    """
    start = _verb_of(tokens, phrase.first)
    joined = start and (tokens[start].gap >= COMMA or tokens[start - 1].text in ("and", "or"))
    if start is None or not joined:
        return False
    begin = start
    while begin and tokens[begin].gap < SENTENCE and start - begin < _WISH_WITHIN:
        begin -= 1
    said = "".join(f" {token.text}" for token in tokens[begin:start])
    wish = list(_WISHES.finditer(said))
    if not wish or _SOMEBODY_ELSE.search(said, wish[-1].end()):
        return False
    return wish[-1].end() < len(said) or _is_one_of_several(tokens, phrase.end)


def _is_one_of_several(tokens: Sequence[Token], end: int) -> bool:
    """Whether another thing is told in the same sentence behind a phrase: "castle, and take on d5"."""
    then = tokens[end : end + 1]
    return (
        bool(then)
        and then[0].gap < SENTENCE
        and (then[0].gap >= COMMA or then[0].text in ("and", "or"))
    )


def _verb_of(tokens: Sequence[Token], first: int) -> int | None:
    """Where the bare verb of a phrase stands, in it or before its man: "put a knight on c3"."""
    if tokens[first].text in _BARE:
        return first
    verb = first - 1 - (first > 0 and tokens[first - 1].text in ARTICLES)
    close = all(token.gap < COMMA for token in tokens[verb + 1 : first + 1])
    return verb if verb >= 0 and close and tokens[verb].text in _BARE else None


_WISH_WITHIN = 30
_WISHES = re.compile(
    r" (?:(?:would|i'd|he'd|she'd|we'd|you'd|they'd) (?:like|love|prefer) to"
    r"|(?:want|wants|hope|hopes|intend|intends|aim|aims|wish|wishes) to"
    r"|(?:plan|idea|aim|dream|hope|wish) (?:is|was)(?: simple| clear| simply)?)(?![\w'-])"
)
_SOMEBODY_ELSE = re.compile(
    r" (?:i|we|you|he|she|they|it|white|black|who|which|that|so|but|because|when|if|while|then|now|here"
    r"|(?:is|are|was|were|has|have|plays?|goes)|[\w]+'(?:s|re|ve|ll|d))(?![\w'-])"
)
"""What begins a clause that is no part of the wish."""


_WILL_BE_IF = re.compile(
    r" (?:will|would|could|might|may|can)(?: (?:only|always|soon|also|then|really))*"
    r" (?:be|become|get|look|stay|remain|fall|hang)(?: (?!if|when|\.)[\w'-]+){0,4} (?:if|when|once|as soon as)"
    r"(?: (?:the|his|her|our|my|your|white|black|white's|black's))*$"
)


def _is_a_condition(before: str, after: str) -> bool:
    """Whether a sentence ends with when what it says is so: "it will be weak if the knight goes to d7"."""
    return bool(_WILL_BE_IF.search(before) and after.startswith(" ."))


_IF_ONE = re.compile(r" if (?P<who>you|we|i|he|she|they|white|black)(?: (?:ever|do|really|just))*$")
_ONE_ALSO = re.compile(
    r"^ ,(?: then)? (?P<who>you|we|i|he|she|they|white|black)(?: (?:can|must|should|always|just|simply))*"
    r" (?:follow|follows|play|plays|continue|continues|put|puts|go|goes)(?: with| by| on| to)?"
    rf"(?: (?:{'|'.join(sorted(ARTICLES))}))?"
    rf" (?:[a-h][1-8]|{'|'.join(sorted(PIECES.keys() | CASTLES))})(?![\w'-])"
)


def _is_a_rule(before: str, after: str) -> bool:
    """Whether one side does both things of a rule, which no board shows: "if you take, you follow with c6".

    "If you take, you play a gambit" says of one move what it is.
    """
    condition, does = _IF_ONE.search(before), _ONE_ALSO.search(after)
    return bool(condition and does and condition["who"] == does["who"])


def _is_missed(before: str, after: str) -> bool:
    """Whether a man is one that does not stand there, or is put there in thought."""
    return bool(_NOT_THERE.search(before) or (_WITH_ONE.search(before) and _WOULD_BE.search(after)))


def _is_a_noun(tokens: Sequence[Token], phrase: Phrase) -> bool:
    """Whether a phrase is a noun: "which trades does White want", "it would be a fine move" (no a5)."""
    said = [token.text for token in tokens[phrase.first : phrase.end]]
    asked = phrase.first > 0 and tokens[phrase.first - 1].text in _BEFORE_NOUNS
    if asked and said[0] in _TRADES and tokens[phrase.first].gap < COMMA:
        return True
    then = tokens[phrase.end].text if phrase.end < len(tokens) else ""
    return said[0] == "a" and len(said) == 2 and then in _NOUNS and tokens[phrase.end].gap < COMMA


_BEFORE_NOUNS = words("which what many any these those such of more further all some most no")
_TRADES = words("trades exchanges swaps captures")
_NOUNS = words("move idea game line position point example day way plan piece square thing choice")


def _presents(tokens: Sequence[Token], phrase: Phrase) -> bool:
    """Whether a clause presents the move it names, and tells no other: "there's the quiet e3"."""
    said = [token.text for token in tokens[phrase.first : phrase.end]]
    presents = said[0] == "there's" or said[:2] == ["there", "is"]
    return presents and is_square(said[-1])


def _is_listed(tokens: Sequence[Token], phrase: Phrase) -> bool:
    """Whether a square is one of several that are called so.

    "D6, f6, g5, all those dark squares", "these four little pawns, a6, b6, d6, e6".
    """
    first, end = phrase.first, phrase.end
    while first and _goes_on(tokens, first) and _lists(tokens[first - 1]):
        first -= 1
    while end < len(tokens) and _goes_on(tokens, end) and _lists(tokens[end]):
        end += 1
    listed = sum(is_square(token.text) for token in tokens[first:end])
    if listed >= MANY and first and _goes_on(tokens, first) and tokens[first - 1].text in _PLURALS:
        return True
    if listed < SEVERAL:
        return False
    called = False
    for k in range(end, min(end + _CALLED_WITHIN, len(tokens))):
        if not _goes_on(tokens, k) or tokens[k].text in _PLACES:
            return called and _goes_on(tokens, k)
        if tokens[k].text not in _CALLING | _ABOUT_PLACES:
            return False
        called = called or tokens[k].text in _CALLING
    return False


def _goes_on(tokens: Sequence[Token], k: int) -> bool:
    return tokens[k].gap < SENTENCE


def _lists(token: Token) -> bool:
    return is_square(token.text) or token.text in ("and", "or")


SEVERAL, MANY = 2, 3

_CALLED_WITHIN = 7
_CALLING = words("those these are they're weak dark light")
_ABOUT_PLACES = words(
    "all the they so many black white white's black's his her our my your their good bad important"
    " key central best other both of full only main weakened"
)
_PLURALS = words("pawns squares fields holes points men")
_PLACES = words("squares fields holes points outposts posts weaknesses")


def _names_a_place(before: str, after: str) -> bool:
    """Whether a square alone is one that is spoken of: "the base is d4", "if he ever gets e5 in"."""
    gets_in = _GETS.search(before) and _IN.search(after)
    spoken_of_before = _SQUARE_TO_COME.search(before)
    return bool(spoken_of_before or gets_in or _NEXT.search(after) or _RANK.search(after))


def _of_a_set_up(before: str, after: str) -> bool:
    """Whether a move is named with another as a way to set men up, of which nobody plays the rest.

    "Some of you like bishop e3 with queen d2", "bishop e3 and queen d2 and all that".
    """
    joined = _WITH.search(before)
    if joined is None:
        return False
    of_taste = joined[0].endswith("with") and SOME_PLAY.search(before[: joined.start()])
    return bool(of_taste or _AND_ALL_THAT.search(after))


def _counts_or_asks(tokens: Sequence[Token], phrase: Phrase, before: str) -> bool:
    """ "A pawn on move three", "somebody always asks"."""
    said = [token.text for token in tokens[phrase.first : phrase.end]]
    if len(said) > 1 and said[-2] == "move" and said[-1] in NUMBERS:
        return True
    return said[-1] in ("ask", "asks", "asked") and bool(_ANYONE.search(before))


def _to_the_class(tokens: Sequence[Token], phrase: Phrase) -> bool:
    """Whether a clause that names no move tells the class what to do: "hands up", "eyes here"."""
    around = tokens[max(0, phrase.first - 2) : phrase.end + 2]
    return bool(_CLASS.search("".join(f" {token.text}" for token in around)))


def _names(tokens: Sequence[Token], phrase: Phrase) -> bool:
    """Whether a clause ends with what may be an opening's name: "it's the slow defence"."""
    return bool(_A_NAME.search(_words_of(tokens, phrase)))


def _words_of(tokens: Sequence[Token], phrase: Phrase) -> str:
    return "".join(f" {token.text}" for token in tokens[phrase.first : phrase.end])


def _ends(stretches: Iterable[tuple[int, int]]) -> dict[int, int]:
    """For each token of some stretches, where they end at the latest."""
    ends: dict[int, int] = {}
    for first, end in stretches:
        for k in range(first, end):
            ends[k] = max(ends.get(k, 0), end)
    return ends


def _before(tokens: Sequence[Token], first: int) -> str:
    told = "".join(
        f"{stop_before(tokens[k])} {tokens[k].text}" for k in range(max(0, first - _BEFORE), first)
    )
    return told + stop_before(tokens[first])


def _after(tokens: Sequence[Token], end: int) -> str:
    return "".join(f"{stop_before(token)} {token.text}" for token in tokens[end : end + _AFTER])
