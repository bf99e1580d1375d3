"""Find the statements of a text and put the verdicts together."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

import chess

from linewright import names as catalogue
from linewright.board_words import NUMBER_WORDS
from linewright.english.answers import put_together
from linewright.english.narrative import told_now
from linewright.english.phrases import FIRST_MARK, LETTERS, Form, Mode, Phrase, gather
from linewright.english.recasting import Recast, as_it_is, recast
from linewright.english.sentences import (
    SOMETIME,
    Sentence,
    read_sentences,
    supposes,
    uncovers,
)
from linewright.english.wording import inflected, third_person
from linewright.english.words import Token
from linewright.expressions import expression
from linewright.forbidding import forbids
from linewright.judged_place import Place
from linewright.judging import Fact, Judge, Pattern, Said, decide, phrases_of
from linewright.moves import MAN, legal_san, side_name
from linewright.moves_meant import Played, find_move, past_moves, was_supposed
from linewright.referents import (
    Choice,
    Memory,
    choices_of,
    is_generic,
    moves_of_several,
    piece_choice,
    which_is_meant,
)
from linewright.said_plainly import is_plainly_wrong, puts_a_king
from linewright.seen_from import seen_from
from linewright.source import Span
from linewright.statements import Answer, judged_at
from linewright.wordings import Fit, Listing, listings

if TYPE_CHECKING:
    from linewright.statements import Link, Verdict

_KINDS = set(LETTERS.values())
_M = "."
_STARTS = expression(
    r"(?:^|(?<= )|(?<=^))(?:[,;:.!?()\[\]—–\"“”]|--|\.{3}|…|and|but|or|so|because|since|as|while|"
    r"whereas|although|though|yet|that|for|where|plus|nor|with|thus|hence|which|who|except that) (?!$)"
)
"""Where a clause may begin: after a stop or a word that joins clauses."""

_PREFIX = expression(
    r"(?:(?:so|sure|whereas|while|although|though|since|because|and|but|well|here|yes|no|ok|okay|look(?: at)? how|see how|look|there|then|thus|plus|or|nor|"
    rf"S{_M} (?:think|believe|would say|am sure|guess|know|say|is sure|is certain)|we (?:see|know|can see|note)|"
    rf"(?:S{_M}|one) (?:can see|know|knows|see|sees|will notice|will see|may notice|notice|notices)|(?:please )?(?:note|notice|"
    r"remember|observe|see|mind|check|watch|recall|count)(?: how| that| them up)?|for one thing|in (?:this|the) "
    r"(?:\w+ )?(?:position|moment|end|diagram|line|ending|endgame|middlegame|final position)|"
    r"at (?:this|that) (?:moment|point|stage)|on the (?:other|one) hand|in (?:other words|short|"
    r"addition|return|exchange|compensation|the process|the meantime|reality|truth)|"
    rf"(?:with|by) (?:the|this|that|G{_M}) (?:(?:very|last|latest|previous|final) )*move ?,? ?(?=[SP])|with (?:this|that) ,? ?(?=S)|"
    r"at the same time|as a (?:result|consequence)|to be (?:fair|honest|clear|sure|frank)|in any case|mind you|honestly|interestingly enough|as far as [^,;:.]{1,24} (?:is concerned|goes)|"
    rf"it (?:turns out|so happens|happens|follows|seems|looks like|appears)(?: that)?|S{_M} (?:will|might|may|can|should|must) (?:notice|see|note|observe|spot|agree|say|remember)(?: that| how)?|"
    rf"(?:S{_M}|N{_M}|one) can fail to (?:notice|see|observe|note)(?: that)?|the (?:reader|student|pupil|viewer|attentive reader|observer) (?:will|may|should|can|must|would) (?:notice|see|observe|note|find|have noticed|have seen)(?: that)?|"
    rf"(?:S{_M}|one) (?:should|must) (?:note|notice|remember)(?: that)?|S{_M} (?:would|will) (?:say|add|point out|note)(?: that)?|let (?:us|S{_M}) (?:note|notice|remember|see|be clear)(?: that)?|"
    r"(?:by|through|via|in) (?:this|that|a different|another|an unusual) (?:order of moves|move order|sequence of moves)|in (?:return|exchange|compensation|recompense) for (?:the |G. )?(?:\w+ |N. |F. )*?(?:pawns?|pair|exchange|pieces?|knight|bishop|rook|queen|structure|centre|damage|weakness|weaknesses) ?,? ?(?=S.)|"
    r"(?:with|given) (?:best|correct|accurate|perfect|proper|good|right|precise) play(?: (?:from|by|on) (?:both(?: sides| players)?|either side|S.))?|"
    r"(?:by|via|through) (?:a |simple |direct )*transposition(?: of moves)?|after (?:all |so many |both )?(?:of )?(?:the|these|those|this|that|such) ?(?:\w+ )?(?:exchanges?|recaptures?|captures?|trades?|swaps?|trading|swapping|transactions?|fireworks|complications?|skirmish(?:es)?|operations?|fighting|tactics|bloodshed|sequence|dust|business|adventures?|\w+ing)(?: of (?:the )?\w+)?|"
    r"by contrast|first(?: of all)?|second|finally|"
    r"secondly|to (?:begin|start) with|one thing is clear|what is more|the (?:\w+ )?(?:point|fact|truth|"
    r"problem|trouble|snag|difference|result|reason|news|thing|catch|key|"
    r"drawback|upshot|downside|upside) is(?: that)?|"
    r"it is (?:clear|obvious|important|worth noting|plain|easy to see|no accident)(?: that)?|"
    r"(?:this|that|which) (?:means|shows)(?: that)?|the \w+ \w+ is that|given|at least|in all|"
    r"all in all|in sum|in total|at (?:club|master|our|this|that|the|your|any|amateur|top|higher|lower|every) level|"
    r"in (?:our club|practice|the collection|our games|my games|club games|tournament games|recent years|master games|"
    r"plain words|plain english)|on our level|among \w+ players|as for material|material wise|objectively|structurally|"
    rf"for (?:S{_M}|the moment)|from G{_M} point of view|(?:with|because of|thanks to|owing to) (?:P{_M}|(?:G{_M}|the) \w+ (?:on|at) Q{_M}) ?,? ?(?=[SPG]{_M})|after that|by the way|materially|on the (?:whole|surface)) ?(?:, )?)+"
)
_AFTER = expression(
    rf"(?:(?:only |right |straight )?after|following|with|by playing|by) "
    rf"((?:(?:M{_M}|Q{_M}(?! (?:is|are|has|have|can|was|becomes|remains|stands)\b)) ?"
    rf"(?:(?:,|and|then|by|followed by) (?=[MQ]))?)+)(?:, )?(?:but )?"
)
_DOUBT = expression(
    r"\b(?:doubt|deny|denies|wrong|false|myth|lie|untrue|whether|unlikely|idea|impression|hope|claim|afraid|worried|not|"
    r"never|hardly|so|such|feeling|promise|rumour|mistake|think|pretend|ensure|make sure|danger)\b"
)
_TAIL_BAD = (
    r" (?:in (?:the )?(?:long run|endgame|ending|endings|future|end|two|one|a few|many|most|some|such|"
    r"general|practice|time|due course|N|every|all|other|principle)\b|"
    r"for (?:ever|good|a move|a while)\b|to (?:be(?! (?:seen|found))|get|have|become)\b|so that|as if|as long as|as soon|"
    r"when (?!(?:\S+ ){1,3}(?:went|moved|took|was|were|played|captured|came|left|castled|exchanged|gave|retreated))|if (?!S. (?:fancied|fancies|fancy|wanted|wants?|liked|likes?|wished|wish|wishes|chose|chooses|cared|felt like|look|ask|count|add|check|compare|think about)\b)|unless |until )"
)
_TRAILS = (
    rf"(?: (?:left|at all|either|though|anywhere|to be seen|to be found|in sight|in evidence|all told|all in all|to date|in all|as it is|already|on (?:the|this) board|of (?:G{_M}|its|their) own|whatsoever|to speak of|"
    r"of any kind|from the board|in the position|to boot|into the bargain|alone|together|altogether|all the same|as it were|in return|in the process|in the bargain|for G. (?:trouble|troubles|pains|efforts)|for dear life|hooray|alike|only|whenever|any ?time|by then|by now|by that time|(?:some|several|a few|many|N.) moves? (?:earlier|ago|before)|in good time|on the previous move|by the time (?:[a-z]+ ?){2,5}|to G. name|to start with|in (?:that|this) (?:moment|position)))*"
)
"""What may trail after a statement and changes nothing."""

_ENDS = expression(
    rf"(?!{_TAIL_BAD})(?={_TRAILS}(?: ?$| [,;:.!?()\[\]—–\"“”]| --| …| \.\.\.| (?:and|but|or|so|because|since|as|"
    r"while|whereas|although|though|which|who|where|with|in|at|for|from|to|against|due|thanks|despite|"
    r"without|yet|rather|instead|unlike|here|when|if|by (?:taking|capturing|playing|castling|exchanging|giving|winning|pushing|moving|advancing|developing|retreating|recapturing)|by (?:the|this|that|these|such|G.) (?:transaction|combination|exchange|operation|manoeuvre|deal|capture|trade|sequence|trick|line|last move)|after (?:taking|recapturing|retaking|(?:all |so many |both )?(?:of )?(?:the|these|those|this|that|such|many|some|a few|several|so many|N.)? ?(?:\w+ )?(?:exchanges?|recaptures?|captures?|trades?|swaps?|trading|swapping|transactions?|fireworks|complications?|skirmish(?:es)?|operations?|fighting|tactics|bloodshed|sequence|dust|business|adventures?|\w+ing)|this|that|G. last move)|plus|whose|on (?:an?|both|either|the)|that|not|nor|too|"
    rf"(?:after|by) [MQ]{_M})(?: |$)))"
)
"""What may follow a statement: the end, a stop, another clause, or a phrase that adds to it."""

_NARROWS = expression(
    rf" (?:(?:on|along) (?:the )?(?:F{_M}|W{_M})|(?P<side>for (?:(?:each|either|both) )?(?:S{_M}|sides?\b))|"
    rf"for (?:(?:an?|the|G{_M}) )?(?:P{_M}|knight|bishop|rook|queen|pawn|piece)\b)"
)
"""A phrase behind a statement that no wording took in, and that leaves less of it: what fails of
all may be so of that part ("no pawn in front of it on the g-file")."""

_WITHOUT = expression(r"\s+without [a-z]+ing\b[^,.;:]*")
"""What would come of a move: what cannot be done without it may well be possible."""
_NOT_ABLE = expression(
    r"\b(?:can['’]t|couldn['’]t|cannot|(?:can|could|may) (?:not|never))\b", re.IGNORECASE
)

_OF_EACH = expression(r"\b(?:each|either|both)\b")

_AFTER_MOVES = expression(rf"(?<=[MQ]{_M}) (?=[SPGM]{_M} |the |Q{_M} [a-z]{{3,}}s )")
"""Where a clause begins behind moves: "2.Nf3 Nc6 3.Bb5 attacks the knight"."""

_OF_MOVES_MADE = frozenset(("captures", "played"))
"""Families that may tell a move just before its notation: "Black took back on g6 11...hxg6"."""
_WITH_MOVE = expression(
    rf" ?,? ?(?:with|by|by playing|playing|through|by means of|using|and plays)?(?: the move)? ?M{_M}"
)
"""The move with which something is done, behind what is done."""

_NEXT_CLAUSE = expression(
    r"(?<!\bcan)(?<!\bmay)(?<!\bwill)(?<!\bmust)(?<!\bcould)(?<!\bwould)(?<!\bmight)(?<!\bshall)(?<!\bshould)"
    rf"(?= (?:S{_M} (?!(?:and|or|of|to|on|in|at|with|by|from|too|as|but|so|which|that|who)\b)[a-z]+|"
    r"there (?:is|are)|this is|that is|what|okay|right|well|now)\b)"
)
"""Where the next clause begins in speech written down without stops; "could we have taken it" is
a question."""

_VERBS = expression(
    r"(?:is|are|has|have|can|does|do|may|attacks?|defends?|protects?|pins?|forks?|controls?|hits?|"
    r"guards?|covers?|threatens?|stops?|prevents?|blocks?|eyes|holds|keeps|enjoys|lacks|needs|"
    r"occupies|dominates?|wins|loses|leads|cannot|stands?|sits?|supports?|opens?|gains?|leaves|"
    r"gives|castled|skewers?|targets?|prepares?)\b"
)
_PLAIN_VERB = expression(
    r"(?:attack|defend|protect|pin|fork|control|hit|guard|cover|threaten|stop|prevent|block|dominate|support|"
    r"open|gain|skewer|target|prepare)\b"
)
_HIT_PIECE = expression(
    rf"(?:(?:has |have )(?:just )?(?:hit|attacked|targeted)|attacks|hits|targets|eyes|threatens|looks at|stares at|glares at|aims at|points at|bears on|bears down on) ([PQ]{_M})"
)
_HIT_BEFORE = expression(
    r"(?:s|es|ing|ed|by|on to|[Ll]ook at|gunning for|to (?:take|capture|win) on|(?:attack|hit|eye|guard|cover|defend|protect|control|watch|target|threaten|support|pin|menace|assail)|(?:[a-z]{2}ing|leans|bears|presses|bangs|hammers|looks|stares|aims|points|glares|peers|gazes|leers) "
    r"(?:(?:down|right|straight|directly|hard) )*(?:on|at|upon|against)) $"
)
"""Before a square: what stands there is what something is done to."""
_DONE_TO_IT = expression(
    r"\b(?i:attack|hit|ey|guard|cover|defend|protect|control|watch|target|threaten|support|menac|assail|look|star|aim|bear|mind|babysit)"
    r"(?:s|es|e|ing|ed|ting)?(?: (?:down|right|straight|directly))*(?: (?:at|on|upon|after))? $",
)
"""Before "it": the piece named just before does something to what was spoken of earlier."""
_STOOD_ON = expression(rf" on Q{_M} ,? ?\w+ $")
"""The place of a man, and not what he does something to, before "which"."""
_WENT_TO = expression(
    rf"(P{_M}) (?:goes|went|moves|moved|comes|came)(?: (?:back|out|over|up|down))? to (Q{_M}) ,? ?\w+ $"
)
"""A man and where he went: his place, if he stands there."""
_MOVES_AND = expression(
    rf"(?:(?:^|(?<=[.,;:!?] ))(?:[MQ]{_M} )*?| to Q{_M} )(M{_M}|(?<=M. )Q{_M}) ,? ?and $"
)
"""The last move before "and", where its clause is only moves, or it tells where a man went."""
_IS_OR_HAS = expression(r"(?:is|are|have|has(?! [a-z]+ed\b))\b")
"""What is said of a square as well as of what does something; "has attacked" only of the latter."""
_STANDING = expression(
    r" is (?:(?:well |badly |only |left )?(?:protected|defended|guarded|covered|supported|undefended|unprotected|unguarded)|"
    r"loose|hanging|en prise)\b|"
    r" has (?:any |a |its own )?(?:cover|protection|defenders?|defence|guard|support)(?= ?$| [,;.:!]| (?:and|but) )|"
    rf" has (?:only |just )?N{_M} (?:attackers?|defenders?|protectors?|guards?|hits?)\b"
)
"""What is said of a piece that is attacked, rather than of the one that attacks it."""

_MOVE_CLAUSE = expression(
    rf"(?:^|(?:[,;:.]|and|but) )(M{_M}) [^,;:.]*[, ]+(?:(?:and|but|though|although|yet) )?$"
)
_RUN_OF_MOVES = expression(rf"(?<=^)(?:the )?(?:M{_M} )+$|(?<=[,;:.] )(?:M{_M} )+$")
"""Moves right before a move of which something is told: "Bxc3 bxc3 doubles the pawns"."""
_LEAVES = expression(
    rf"((?:M{_M} ){{2,}})(?:would |will )?(?:leaves?|gives?|saddles?|lands?|hands?) (S{_M}) (?:with )?(?=[a-zPN])"
)
"""Several moves and what they leave a side with."""
_MOVE_AND = expression(rf"(?:(?:now|then|so|just|play|simply|here) )*(M{_M}) ,? ?and $")
"""A bare move and what it brings: "queen to b3 and f7 is attacked twice"."""
_GOES_ON = expression(
    rf"(?:(?:then|but|and|though|although|yet|also) )*(?:[SP]{_M}|(?:the|G{_M}) \w+(?: pawn)?) (?:(?:can|could|may|would|will|simply|just) )*(?:takes? back|recaptures?|take it back|retakes?|has taken back)\b"
)
_ANSWERS = expression(
    rf"(?:(?:then|but|and|though|although|yet|also) )*(?:[SP]{_M}|(?:the|G{_M}) \w+(?: pawn)?) "
    r"(?:can|could|may|must|has to|have to|would have to|will have to)\b"
)
"""What is done about a check, behind the move that gives it."""

_MIGHT_TAKE = expression(
    r"(?:\b(?:can|could|may|might|would) (?:(?:now|also|even) )?(?:take|capture|grab|snatch|eat))\b[^;:.]*$"
)
"""What can be taken, before clauses that say how it is taken back then."""

_WITH_IT = expression(
    rf"(?:it|that|this|P{_M}) (?:comes|is|would be|goes|happens) (?:with )?(?:a )?check\b"
)
_WERE_TRADED = expression(
    rf"(?:P{_M}|the \w+(?: and \w+)?) (?:is|are|was|were|has been|have been) (?:traded|exchanged|swapped|taken)\b"
)
_ALL_BUT = expression(
    r"\b(?:all|every|everything|everybody|everyone|nothing|none|nobody|any|anything)\b[^,;:.]* but $"
)
_BARE_NOUN = expression(
    rf"(?:the |an? |one |G{_M} )?(?:[SPQFN]{_M}|\w+)(?: (?:squared )?\w+)?(?: of S{_M})?(?= ?$| ?[,;.!])"
)
"""What is left out behind "all but"."""

_BEHIND_NOUN = {"", *" ,;:.!?)"}
"""What may stand behind a noun phrase."""

_COULD = expression(r"\b(?:can|could|may|might|would|will|should)\b[^;:.]*$")
"""What can be done or will be, before "where"."""

_NOUN_BEFORE = expression(rf"(?:^|[ ,])(?:{MAN})s? ?$")
_LISTED = expression(rf"(?:{MAN})s? ")
"""In "bishop and knight have been exchanged" no clause begins after "and"."""

_TOLD = expression(
    r"(?:has|have|is|are) ((?:developed|lost|won|got|given up|taken|brought out|exchanged|traded|sacrificed|kept|"
    r"captured|doubled|fianchettoed|moved|controlled|attacked|defended|protected|covered|pinned) )"
)
"""A verb and what it tells of, which a clause that leaves out both takes over."""

_PLACE_FIRST = expression(r"(?:on|in|at|along|by|from|over|against) ")
_PARTICIPLE = expression(
    r"(?:attacked|defended|pinned|hit|protected|guarded|covered|supported|blockaded|blocked|isolated|doubled|"
    r"undefended|unprotected|controlled|hanging)\b"
)
_CONDITION = expression(
    r"\b(?:if|unless|when|suppose|imagine|otherwise|whenever|until|once|as soon as)\b"
)
_IN_OPENING = expression(r"\b[Ii]n (?:the|a|an) (?=[A-Z])")
_MOVE_NUMBER = expression(r"[\d(]")
_LATER = expression(rf" after ((?:[MQ]{_M} ?)+)(?=$|[ ,;:.!?)])")
_LATER_END = expression(rf" after (?:[MQ]{_M} ?)+(?= ?$| ?[.;!])")
_FUTURE = expression(
    r"\b(?:will|would|shall|could|might|should|want|wants|hopes|going to|get|gets|create|creates|create|creating|make|"
    r"makes|avoid|avoids|without|accept|accepts|leave|leaves|obtain|win|was|were|had|did|about|like|than|no|play against|"
    r"how|lesson|chapter|called|become|becomes)\b[^,;:.]*$"
)

Shift = chess.Board | str | None
"""The board a clause speaks of where it says "after Nd4", what is wrong with it, or None."""


@dataclass(frozen=True, slots=True)
class _Match:
    """A pattern that fits: its place in the text, the fact, and the words to put instead."""

    start: int
    end: int
    family: str
    fact: Fact
    place: Place
    repair: tuple[int, int, str] | None = None


@dataclass(frozen=True, slots=True)
class _Told:
    """A pattern that fits: where, in the form and in the text, and whether it is turned round."""

    fit: Fit
    begin: int
    stop: int
    start: int
    end: int
    turned: bool
    only: bool = False


@dataclass(frozen=True, slots=True)
class _Start:
    """A place in a form where a clause may begin, after which joint.

    `turned` where "it is not true that" or "nor" stands before it.
    """

    at: int
    joint: str = ""
    turned: bool = False


@dataclass(frozen=True, slots=True)
class _Reading:
    """A clause as it may be read: the text to match, and how its places map to the form.

    `text[begin:]` is matched; place `p` of it is place `p + moved` of the form. Where the words
    were put in another order, `stop` is the place in the form where the reading ends, and the
    match must reach the end of `text`. `only` where "only" stands before its subject. An `echo` repeats the predicate said before ("White has
    not"): its "not" stands behind it. `turned` after "nor". `square` is a square put in for
    "which": a man may have been told to go there, so it is no move.
    """

    text: str
    begin: int
    moved: int = 0
    stop: int | None = None
    echo: bool = False
    turned: bool = False
    only: bool = False
    square: str = ""

    def as_meant(self, fit: Fit) -> bool:
        """Whether a wording takes no square for a pawn move: "it goes to a4, which is a retreat"."""
        return not self.square or all(
            held != self.square for name, held in fit.groups if name.startswith("move")
        )


@dataclass(slots=True)
class _Clause:
    """What the clause before left behind: its subject, verb and predicate, for the next one."""

    subject: str = ""
    verb: str = ""
    predicate: str = ""


def find(
    text: str,
    at: Callable[[int], Place | None],
    links: Sequence[Link] = (),
    near: Callable[[int], Sequence[Place]] | None = None,
    conditions: bool = False,
) -> tuple[Verdict, ...]:
    """The verdicts on the statements of a text. `at` gives the place for an offset."""
    reader = _Reader(text, at, links, near, conditions)
    verdicts: list[Verdict] = []
    sentences = tuple(put_together(read_sentences(text)))
    for number, sentence in enumerate(sentences):
        after = sentences[number + 1] if number + 1 < len(sentences) else None
        found = reader.read(sentence, _answer(sentence, after))
        if not found and (now := told_now(sentence)) is not None:
            found = reader.read(now)
        there = (seen_from(text, verdict, at) for verdict in found)
        verdicts.extend(_of_what_is_supposed(verdict, sentence, at) for verdict in there)
    return tuple(verdicts)


def _of_what_is_supposed(
    verdict: Verdict, sentence: Sentence, at: Callable[[int], Place | None]
) -> Verdict:
    """A verdict on what a move named earlier in the sentence would lead to, judged there: "White
    may play Ne5, and the knight on e5 looks at f7".

    Only what is not so on the board is looked at: so it is where it holds behind that move, or
    speaks of a man on its square that is not there yet. What is said of the board as it is now
    ("already", the material) is of no such move.
    """
    start = verdict.statement.span.start
    place = at(start) if verdict.verdict == "fails" else None
    if (
        place is None
        or verdict.statement.family in _AS_IT_IS
        or _NOW.search(verdict.statement.words)
    ):
        return verdict
    for played in _supposed(sentence, start, place):
        words = verdict.statement.words
        to = chess.square_name(played.move.to_square)
        later = verdict.because.startswith("there is no") and re.search(rf"\bon {to}\b", words)
        for again in judged_at(verdict, place.on(played.after)):
            if again.verdict == "holds" or later:
                return replace(again, because=f"after {played.san}: {again.because}")
    words = " ".join(token.text for token in sentence.tokens if token.end <= start)
    then = _THEN.search(words)
    clause = _CLAUSES.split(words[: then.start()])[-1] if then else ""
    if _MAY_COME.search(clause) and not _DENIED.search(clause) and not forbids(clause):
        because = "it is said of what comes then, not of this board"
        return replace(
            verdict, answer=Answer.CANNOT_TELL, because=because, offer="", repair="", arrows=()
        )
    return verdict


def _supposed(sentence: Sentence, before: int, place: Place) -> Iterator[Played]:
    """The moves named in a sentence before a place that its words suppose: not played, and spoken
    of as what may come, not as what does not; the last one first."""
    tokens = [token for token in sentence.tokens if token.end <= before]
    for k in range(len(tokens) - 1, -1, -1):
        token = tokens[k]
        pushed = token.kind == "square" and k > 0 and _PLAYS.fullmatch(tokens[k - 1].text)
        if token.number is not None or not (token.kind == "move" or pushed):
            continue
        if not _is_supposed(tokens[:k], tokens[k + 1 :]):
            continue
        played = find_move(place.board, token.text, None, token.black, place.past())
        if played is not None and all(played.move is not past.move for past in place.past()):
            yield played


def _is_supposed(before: Sequence[Token], behind: Sequence[Token]) -> bool:
    """Whether the words around a move tell that it may come, and not that it does not."""
    told = " ".join(token.text for token in before)
    around = (_JOINT.split(told)[-1], " ".join(token.text for token in behind))
    denied = forbids(told) or any(_DENIED.search(words) for words in around)
    return _MAY_COME.search(told) is not None and not denied


_JOINT = expression(r"[,;:]|\b(?:and|but|so|because|while)\b")
_MAY_COME = expression(
    r"\b(?:may|can|could|would|will|might|should|must|wants?|wish(?:es)?|hopes?|plans?|intends?|prepares?|"
    r"threatens?|threatening|threats?|ideas?|plan|if|suppose|imagine|consider|let us|able|ready|possible)\b"
)
_THEN = expression(
    r"(?: ?[,;:] (?:and |but )?| (?:and|but) )(?:then|after that|afterwards|later) ?,?$"
)
_CLAUSES = expression(r"[,;:]")
_DENIED = expression(
    r"\b(?:not|never|no|cannot|without|nor|neither|hardly|instead of|rather than)\b"
)
_AS_IT_IS = frozenset(("material", "castling", "turn", "captures", "played"))
_NOW = expression(
    r"\b(?:already|now|still|at the moment|right now|so far|as it is)\b", re.IGNORECASE
)
_PLAYS = expression(r"(?:play|push|advance|threaten)(?:s|es|ing)?|(?:threat )?(?:is|of|with|to|by)")


_ASKED = expression(r"(?:and |but |so |well ,? )?(?:is|are|has|have|can|does|do|did|was|were) ")
_SAYS_SO = expression(
    r"(?:and |but |so )?(?:white|black|both sides|neither side|the [a-z]+(?: on [a-h][1-8])?) (?:is|are|has|have|can) "
)
"""A question put as what is said: "Black is to move? No."."""
_SAID_BACK = expression(
    r"(?:well |oh |why |but |and )?,? ?(?:(?P<yes>yes|yep|yeah|correct|indeed|of course|certainly|exactly|sure|absolutely)"
    r"|(?P<no>no|nope|not yet|not at all|never|by no means|not any more)"
    r"|\w+ (?:is|are|has|have|does|do|can|did|was|were)(?P<not> not)?(?= ?$| [,.;!:—–]))(?= |$)"
)


def _answer(sentence: Sentence, after: Sentence | None) -> tuple[int, bool] | None:
    """Where a question of yes or no ends that is answered at once, and whether with yes."""
    words = " ".join(t.text for t in sentence.tokens)
    told = sentence.asks and _SAYS_SO.match(words) and not re.search(r"\b(?:not|never|no)\b", words)
    if not (_ASKED.match(words) or told):
        return None
    end, reply = sentence.span.end, ""
    cut = next((n for n, t in enumerate(sentence.tokens) if t.text in {":", "—", "–", "--"}), None)
    if cut is not None:
        end = sentence.tokens[cut].start
        reply = " ".join(t.text for t in sentence.tokens[cut + 1 :])
    elif sentence.asks and after is not None:
        reply = " ".join(t.text for t in after.tokens)
    found = _SAID_BACK.match(reply)
    if found is None or (cut is None and not sentence.asks):
        return None
    return end, not (found["no"] or found["not"])


class _Reader:
    """Reads a text sentence by sentence and remembers what it spoke of."""

    def __init__(
        self,
        text: str,
        at: Callable[[int], Place | None],
        links: Sequence[Link],
        near: Callable[[int], Sequence[Place]] | None = None,
        conditions: bool = False,
    ) -> None:
        self.text = text
        self.conditions = conditions
        self.at = at
        self.near = near
        self.links = links
        self.memory = Memory()
        self.patterns = listings()
        self._noted: dict[int, list[tuple[int, Memory]]] = {}
        self._settled: dict[int, chess.Square] = {}
        self._put_off = False
        self.answer: tuple[int, bool] | None = None

    def read(self, sentence: Sentence, answer: tuple[int, bool] | None = None) -> list[Verdict]:
        """The verdicts on the statements of one sentence.

        `answer` is where a question ends that was answered, and whether with yes.
        """
        self.answer = answer
        links = [link for link in self.links if link[0] < sentence.span.end]
        self._put_off = bool(SOMETIME.search(" ".join(t.text for t in sentence.tokens)))
        bare, full = gather(sentence.tokens, links)
        found: list[_Match] = []
        end = self._asserted_until(bare, sentence)
        if end > sentence.span.start:
            for form, is_full in ((full, True), (bare, False)):
                scan = _Scan(self, form, self.patterns[is_full, False], sentence)
                found.extend(m for m in scan.matches() if m.end <= end)
            found = self._without_given(_best(found))
            for form, is_full in ((full, True), (bare, False)):
                for match in self._nouns(form, sentence, self.patterns[is_full, True]):
                    told = match.fact.true and found  # a lesser claim beside the clauses judged
                    if match.end <= end and not told and not _overlaps(match, found):
                        found.append(match)
        if found and self._of_another_opening(sentence):
            found = [match for match in found if match.family == "names"]
        if sentence.supposes and not found and self.conditions:
            found = self._beside_condition(sentence)
        self._remember(full)
        return [self._verdict(m) for m in sorted(found, key=lambda m: m.start)]

    def _without_given(self, found: list[_Match]) -> list[_Match]:
        """Without what a relative clause takes for granted: "White has a pawn on d5 that hangs"."""
        kept = []
        for match in found:
            behind = [
                other
                for other in found
                if 0 <= other.start - match.end < 8
                and re.fullmatch(
                    r"\s*(?:(?:that|which|who)\s*)?", self.text[match.end : other.start]
                )
                and re.match(r"\s*(?:that|which|who)\b", self.text[match.end :])
            ]
            if not (behind and match.fact.true):
                kept.append(match)
        return kept

    def _asserted_until(self, form: Form, sentence: Sentence) -> int:
        """Where the part of a sentence that asserts something of the board ends; -1 for none."""
        if self.answer is not None and not (sentence.reports or sentence.supposes):
            return self.answer[0] + 1
        if sentence.asks or sentence.reports:
            return -1
        place = self.at(sentence.span.start)
        if not sentence.supposes or (place is not None and place.imagined):
            return len(self.text) + 1
        if uncovers(self.text[sentence.span.start : sentence.span.end].lower()):
            return -1
        if not supposes(re.sub(rf"S{_M}", "white", form.text)):  # "if he plays h6" is "after h6"
            return len(self.text) + 1
        condition = _CONDITION.search(form.text)
        if not condition:
            return -1
        joints = re.finditer(r" (?:[;:—–]|, (?:but|and|so|yet|although|though) )", form.text)
        cut = [m.start() for m in joints if m.start() < condition.start()]
        return end_offset(form, cut[-1]) if cut else -1

    def _of_another_opening(self, sentence: Sentence) -> bool:
        """Whether a sentence is of an opening that is not on the board ("In the Sicilian ..."):
        an introduction, or a look aside."""
        for said in _IN_OPENING.finditer(self.text, sentence.span.start, sentence.span.end):
            words = self.text[said.end() : sentence.span.end]
            found = catalogue.find_names(f"in the {_MOVE_NUMBER.split(words)[0]}")
            if not found or found[0].span.start > len("in the ") or not found[0].certain:
                continue
            place = self.at(sentence.span.end - 1)
            if place is None or place.imagined or not catalogue.is_proper(found[0].meant):
                continue
            if catalogue.belongs(found[0].words, place.boards()).how != "here":
                return True
        return False

    def _beside_condition(self, sentence: Sentence) -> list[_Match]:
        """What is said beside a condition: it is not of this board, and nothing is left out.

        The condition itself ("if the bishop were on b4") asserts nothing.
        """
        words = self.text[sentence.span.start : sentence.span.end]
        condition = _CONDITION.search(words.lower())
        if condition is None or sentence.asks or sentence.reports:
            return []
        start, comma = condition.start(), words.find(",", condition.start())
        inside = range(start, comma if comma >= 0 else len(words))
        tokens = tuple(t for t in sentence.tokens if t.start - sentence.span.start not in inside)
        bare, full = gather(tokens, [])
        beside = replace(sentence, tokens=tokens, supposes=False)
        found = [
            match
            for form, is_full in ((full, True), (bare, False))
            for match in _Scan(self, form, self.patterns[is_full, False], beside).matches()
            if match.fact.true is not None
        ]
        because = f"it is said of what '{condition[0]}' supposes, not of this board"
        return [replace(match, fact=Fact(None, because), repair=None) for match in _best(found)]

    def _nouns(self, form: Form, sentence: Sentence, patterns: Listing) -> Iterator[_Match]:
        """What noun phrases take for granted, wherever they stand."""
        if sentence.general:
            return
        for fit in patterns.anywhere(form.text):
            start, end = fit.start, fit.end
            if start and form.text[start - 1] != " ":
                continue
            if form.text[end : end + 1] not in _BEHIND_NOUN:
                continue
            if negated(form, start - 6, end) or _FUTURE.search(form.text[:start]):
                continue
            if made := self.judged(form, fit, start, end, None):
                yield made

    # --- verdicts ----------------------------------------------------------------------------

    def judged(
        self,
        form: Form,
        fit: Fit,
        begin: int,
        stop: int,
        shift: Shift,
        turned: bool = False,
        only: bool = False,
    ) -> _Match | None:
        """The match with what the board says, or None where its words mean nothing there."""
        start, end = offset(form, begin), end_offset(form, stop)
        if no_before := _NO_BEFORE.search(self.text[:start]) if begin in form.negated else None:
            start = no_before.start(1)
        place = self.at(end - 1) or self.at(start)
        if place is None:
            return None
        if later := _LATER.match(form.text, stop):
            shift = board_after(place, _moves_in(form, later[1]))
        if isinstance(shift, str):
            return _Match(start, end, fit.family, Fact(None, shift), place)
        if shift is not None:
            place = place.on(shift)
        told = _Told(fit, begin, stop, start, end, turned, only)
        made = self._told_at(form, told, place)
        if made is not None and made.fact.true is False:
            after = self._place_after_move(form, stop, place)
            if shift is not None and after is not None and not _goes_on(after.board, shift):
                after = None
            if shift is None and after is None and fit.family in _OF_MOVES_MADE:
                after = self.at(end_offset(form, len(form.text)) - 1)
            again = self._told_at(form, told, after) if after else None
            made = again if again is not None and again.fact.true else made
        if made is not None and made.fact.true is False and self.near is not None:
            return self._as_spoken(form, told, made)
        return made

    def _as_spoken(self, form: Form, told: _Told, made: _Match) -> _Match:
        """What fails in speech: it may be said of a board shortly before or after.

        Where it holds of none, it fails only if it names what it speaks of, and is of a kind
        that hardly anybody says loosely (`linewright.said_plainly`).
        """
        assert self.near is not None
        for place in self.near(told.end - 1):
            again = self._told_at(form, told, place)
            if again is not None and again.fact.true:
                return again
        named = all(map(_is_named, phrases_of(told.fit.groups, form).values()))
        words, fact = self.text[told.start : told.end], made.fact
        named = named or puts_a_king(words)
        if named and is_plainly_wrong(words, told.fit.family, fact.because, fact.offer):
            return made
        fact = replace(made.fact, true=None, because=f"of which board? here {made.fact.because}")
        return replace(made, fact=replace(fact, offer=""), repair=None)

    def _place_after_move(self, form: Form, stop: int, place: Place) -> Place | None:
        """The place after the move named right behind a statement: "pins the pawn with 6...Qe7"."""
        behind = _WITH_MOVE.match(form.text, stop)
        if behind is None:
            return None
        after = self.at(end_offset(form, behind.end()) - 1)
        return after if after is not None and after.fen != place.fen else None

    def _told_at(self, form: Form, told: _Told, place: Place) -> _Match | None:
        """What the board of a place says to a match, or None where its words mean nothing there."""
        fit, begin, stop = told.fit, told.begin, told.stop
        phrases = phrases_of(told.fit.groups, form)
        if any(p.start == told.start and is_generic(p) for p in phrases.values()):
            return None
        can = self._put_off and _CAN.search(self.text, told.start, told.end)
        if can and fit.family in {"powers", "turn", "attack", "effects", "analysis"}:
            return None  # "the rook may come to e1 later"
        if fit.family not in _OF_ANYTHING and any(_is_whole(p) for p in phrases.values()):
            return None
        no = negated(form, begin, stop) ^ fit.pattern.against ^ told.turned
        no ^= bool(_NEVER_BEHIND.match(self.text, told.end))
        if not no and _CAN.search(self.text, told.start, told.end):
            phrases = {name: _free_choice(phrase) for name, phrase in phrases.items()}
        memory = self._memory_at(form, self._said_from(told.start, phrases))
        if (acts := _acting_side(form, told)) and not _HOSTILE.search(
            self.text, told.start, told.end
        ):
            memory = replace(memory, side=acts == "white")  # "White has put his king on g1"
        if self._does_to_another(phrases):
            memory = replace(memory, it=tuple(dict.fromkeys((*memory.it, *memory.led))))
        choices = choices_of(phrases, place, memory)
        almost = any(begin <= h <= stop for h in form.almost)
        if choices is None or (almost and not fit.pattern.tolerant):
            return None
        said = Said(
            place,
            {},
            {
                name: _in_words(form, held)
                for name, held in fit.groups
                if len(held) > 2 or held[0] not in _KINDS
            },
            phrases,
            no,
            almost or any(begin <= h <= stop for h in form.hedged),
            self.text[told.start : told.end],
            fit.pattern.telling_not,
            self._left_out_after(form, stop),
        )
        judge = fit.pattern.judge
        if fit.pattern.against and any(map(_of_each, choices.values())):
            judge, no = _denying(judge), not no  # "all are unprotected": none is protected
        fact = decide(judge, said, choices)
        if fact is not None and fact.offer == "<missing>" and fit.family == "effects":
            legal = _OF_LAW.search(said.original)  # "Nd6 is illegal", of a move that is none
            if legal is not None and "not possible here" in fact.because:
                denied = negated(form, begin, stop) ^ told.turned ^ bool(legal["no"])
                fact = replace(fact, true=denied, offer="")
                return _Match(told.start, told.end, fit.family, fact, place)
        if told.only:
            fact = _only_so(judge, said, choices, fact)
        if fact is None:
            return None
        if fact.meant and fact.true is not None:
            self._settled.update(fact.meant)
            self._noted.clear()
        fact = turned_by(fact, no)
        if fact.true is False and (narrowed := _NARROWS.match(form.text, stop)):
            words = self.text[told.end : end_offset(form, narrowed.end())].strip()
            if not narrowed["side"] or _OF_EACH.search(words):
                fact = Fact(None, f"what '{words}' leaves of it is not judged", fact.squares)
        able = fact.true is False and no and _NOT_ABLE.search(self.text[told.start : told.end])
        if able and (without := _WITHOUT.match(self.text, told.end)):
            fact = Fact(None, f"what follows is not judged: '{without[0].strip(' ,')}'")
        return self._with_offer(told, said, choices, fact)

    def _said_from(self, start: int, phrases: Mapping[str, Phrase]) -> int:
        """Where the words of a statement begin that point back: before it, where it goes on with
        the "it" that leads the clause before ("it opens the way for the bishop and covers d4")."""
        leads = (
            p.start
            for p in phrases.values()
            if p.determiner == "it"
            and not _DONE_TO_IT.search(self.text[max(0, p.start - 24) : p.start])
        )
        return min([start, *leads])

    def _does_to_another(self, phrases: Mapping[str, Phrase]) -> bool:
        """Whether "it" does something to what else is named: it may be what was spoken of last, or
        what did something to that ("the bishop attacks the knight. It pins it to the queen")."""
        it = phrases.get("piece")
        if it is None or it.determiner != "it" or it.squares or len(phrases) < 2:
            return False
        return not re.match(r"\s*(?:'s|is|was|has|had)\b", self.text[it.end :])

    def _with_offer(
        self, told: _Told, said: Said, choices: dict[str, Choice], fact: Fact
    ) -> _Match:
        """The match with its fact, and where that fails a near reading that holds."""
        repair = None
        if fact.true is False:
            offer, repair = self._near(told.fit.pattern, said, choices, dict(said.phrases))
            fact = replace(fact, offer=fact.offer or offer)
        return _Match(told.start, told.end, told.fit.family, fact, said.place, repair)

    def _left_out_after(self, form: Form, stop: int) -> str:
        """The words between a match and the next word that was kept, such as "at once"."""
        end = end_offset(form, stop)
        after = [item.start for item in form.items if item.start >= end]
        return self.text[end : after[0] if after else end + 20]

    def _near(
        self,
        pattern: Pattern,
        said: Said,
        choices: dict[str, Choice],
        phrases: dict[str, Phrase],
    ) -> tuple[str, tuple[int, int, str] | None]:
        """A near reading that holds: the other side, the file beside."""
        for name, choice in choices.items():
            if len(choice.values) != 1 or choice.unsure:
                continue
            kind = name.rstrip("0123456789")
            for value, words in _neighbours(kind, choice.values[0]):
                other = {**choices, name: Choice((value,))}
                fact = decide(pattern.judge, replace(said, values={}), other)
                if fact and turned_by(fact, said.negated).true and fact.offer != "<missing>":
                    phrase = phrases[name]
                    plain = self.text[phrase.start : phrase.end].lower() in {"white", "black"}
                    repair = (phrase.start, phrase.end, words) if plain else None
                    return f"it holds {'with' if kind == 'number' else 'of'} {words}", repair
        return "", None

    def _memory_at(self, form: Form, start: int) -> Memory:
        """What has been spoken of up to a place."""
        if id(form) not in self._noted:
            self._noted[id(form)] = self._notes(form)
        memory = self.memory
        for place, after in self._noted[id(form)]:
            if place >= start:
                break
            memory = after
        return memory

    def _notes(self, form: Form) -> list[tuple[int, Memory]]:
        """What is remembered after each phrase of a form, with the place where it begins."""
        memory = self.memory
        earlier: tuple[Any, ...] = ()
        led = False
        notes = []
        for phrase in form.phrases:
            if phrase.kind == "piece" and phrase.determiner == "it" and earlier:
                if _DONE_TO_IT.search(self.text[max(0, phrase.start - 24) : phrase.start]):
                    memory = replace(memory, it=earlier)  # "the knight attacks it": it still
                    notes.append((phrase.start, memory))
                continue
            changed = self._noted_phrase(phrase, memory)
            if changed is not None:
                if changed.it != memory.it:
                    earlier = memory.it
                if not led and self._leads(phrase):
                    changed = replace(changed, led=changed.it if len(changed.it) == 1 else ())
                    led = True
                memory = changed
                notes.append((phrase.start, memory))
        return notes

    def _leads(self, phrase: Phrase) -> bool:
        """Whether a clause may be about what is named: a man, or a move that does something."""
        verb = r"\s*(?:[a-z]+ly )?[a-z]+s\b"
        return phrase.kind == "piece" or bool(re.match(verb, self.text[phrase.end :]))

    def _noted_phrase(self, phrase: Phrase, memory: Memory) -> Memory | None:
        if phrase.who in {"white", "black"}:
            memory = replace(memory, side=phrase.who == "white")
            if phrase.kind != "piece":
                return memory
        place = self.at(max(phrase.end - 1, 0))
        if place is None:
            return None
        if phrase.kind == "piece" and phrase.determiner != "it" and not phrase.parts:
            if (settled := self._settled.get(phrase.start)) is not None:
                agent = self._is_agent(phrase)
                return (_also_named if agent else _spoken_of)(memory, (settled,))
            choice = piece_choice(phrase, place, memory)
            if phrase.who == "you" and phrase.squares and choice and choice.values:
                memory = replace(memory, you=place.board.color_at(choice.values[0]))
            if choice and choice.values and self._is_agent(phrase) and memory.it:
                return _also_named(memory, () if choice.unsure else choice.values)
            if choice and choice.values and (not choice.unsure or len(choice.values) <= 2):
                return _spoken_of(memory, choice.values)
            if choice and choice.values and choice.values[0] in memory.named:
                return _spoken_of(memory, choice.values[:1])
            return memory if phrase.who in {"white", "black"} else None
        if phrase.kind == "square" and len(phrase.squares) == 1:
            at = chess.parse_square(phrase.squares[0])
            before = self.text[max(0, phrase.start - 24) : phrase.start]
            hit = _HIT_BEFORE.search(before) and not re.search(
                r"\b(?:is|has|was|pawns|this) $", before
            )
            leads = re.match(r"\s+(?:is|was|remains|becomes|belongs)\b", self.text[phrase.end :])
            leads = leads or re.match(
                r"['’]s\s+(?!pawn|knight|bishop|rook|queen)", self.text[phrase.end :]
            )
            told = leads or (hit and place.board.piece_at(at))
            return _spoken_of(memory, (at,)) if told else None
        if phrase.kind == "move":
            token = phrase.moves[0]
            played = find_move(place.board, token.text, token.number, token.black, place.past())
            if played:
                return _spoken_of(memory, (played.move.to_square,))
        return None

    def _is_agent(self, phrase: Phrase) -> bool:
        """Whether "by" stands before a piece: what was spoken of before is still "it"."""
        return bool(
            re.search(r"\b(?:by|behind)\s+$", self.text[max(0, phrase.start - 12) : phrase.start])
        )

    def _remember(self, form: Form) -> None:
        self.memory = self._memory_at(form, len(self.text) + 1)
        self._noted.clear()

    def _verdict(self, match: _Match) -> Verdict:
        from linewright.statements import Answer, Statement, Verdict

        words = self.text[match.start : match.end]
        answer = Answer.CANNOT_TELL
        if match.fact.true is not None:
            answer = Answer.HOLDS if match.fact.true else Answer.FAILS
        repair = ""
        if match.repair:
            first, last, new = match.repair
            repair = self.text[match.start : first] + new + self.text[last : match.end]
        offer = "" if match.fact.offer == "<missing>" else match.fact.offer
        return Verdict(
            Statement(Span(match.start, match.end), words, match.family),
            answer,
            match.fact.because,
            match.fact.squares,
            match.fact.arrows,
            offer if answer is Answer.FAILS else "",
            repair,
            match.place.fen,
        )


class _Scan:
    """Looks through one form of a sentence for clauses that a pattern fits."""

    def __init__(self, reader: _Reader, form: Form, patterns: Listing, sentence: Sentence) -> None:
        self.reader = reader
        self.form = form
        self.text = form.text
        ends = {m.start() for m in _ENDS.finditer(form.text)}
        if sentence.running:
            ends.update(m.start() for m in _NEXT_CLAUSE.finditer(form.text))
        self.ends = sorted(ends, reverse=True)
        self.running = sentence.running
        self.patterns = patterns
        self.general = sentence.general
        self.shift: Shift = None
        self.shifted_at = 0
        self.reached: dict[int, tuple[Place, Reached]] = {}
        self.before = _Clause()

    def matches(self) -> Iterator[_Match]:
        """The matches of this form, from left to right."""
        taken = 0
        for start in sorted(self._starts(), key=lambda start: start.at):
            if start.at < taken and start.joint not in {"and", "or", ",", "but"}:
                continue
            readings = self._readings(start)
            best = self._best_of(readings, start.turned)
            if best:
                match, reading, fit = best
                yield match
                taken = fit.end + reading.moved if reading.stop is None else reading.stop
                self._keep(reading.text[fit.start : fit.end])
            elif readings:
                self._keep_subject(self.text[readings[-1].begin :])

    def _starts(self) -> Iterator[_Start]:
        if self.reader.answer is not None:
            yield _Start(0, "", not self.reader.answer[1])
            return
        yield _Start(0)
        if self.running:
            yield from (_Start(m.end() + 1) for m in _NEXT_CLAUSE.finditer(self.text))
        yield from (_Start(m.end()) for m in _AFTER_MOVES.finditer(self.text))
        for match in _STARTS.finditer(self.text):
            joint = match[0].strip()
            if joint == "that":
                before = re.split(r"[,;:.] ", self.text[: match.start()])[-1]
                denied = _denied(self.form, before, match.start())
                if denied is not None:
                    yield _Start(match.end(), joint, denied)
                    continue
                doubted = _DOUBT.search(before) or negated(
                    self.form, match.start() - len(before), match.start()
                )
                if doubted and not re.match(rf"[SP]{_M}$", before.strip()[-2:]):
                    continue
            if (
                _GOES_ON.match(self.text, match.end())
                and _MIGHT_TAKE.search(self.text[: match.start()])
                and not _MOVE_CLAUSE.search(self.text[: match.end()])
            ):
                continue  # "may capture the rook, but the king takes back"
            with_it = joint == "and" and _WITH_IT.match(self.text, match.end())
            if with_it and _MIGHT_TAKE.search(self.text[: match.start()]):
                continue  # "can take on h4, and it comes with check"
            if joint == "where" and _WERE_TRADED.match(self.text, match.end()):
                continue  # "recaptured on d4, where the knights were traded"
            if (
                joint == "but"
                and _ALL_BUT.search(self.text[: match.start()] + match[0])
                and (_BARE_NOUN.match(self.text, match.end()))
            ):
                continue  # "all his pieces but the bishop"
            if joint == "where" and _COULD.search(self.text[: match.start()]):
                continue  # "may capture on g6, where Black can take back": what comes then
            if (
                joint in {"and", "or"}
                and _LISTED.match(self.text, match.end())
                and _NOUN_BEFORE.search(self.text[: match.start()])
            ):
                continue
            yield _Start(match.end(), joint, joint == "nor")

    def _readings(self, start: _Start) -> list[_Reading]:
        """The ways to read the clause that begins here, the plainest first."""
        self._shift_by_move(start)
        begins = [self._past_after(start.at)]
        prefix = _PREFIX.match(self.text, begins[0])
        if prefix and (
            not negated(self.form, begins[0], prefix.end() - 1) or "can fail to" in prefix[0]
        ):
            begins.append(prefix.end())
            begins.append(self._past_after(prefix.end()))
        readings = [_Reading(self.text, begin) for begin in dict.fromkeys(begins)]
        if self.reader.answer is not None and (asked := _told_plainly(self.text)):
            again = recast(asked.text, 0, self.form.phrases)
            return [asked, *(_recast_again(asked, one) for one in again)]
        last = begins[-1]
        if left := self._left_by_moves(last):
            readings.insert(0, left)
        if subject := self._it_again(last):
            length = len(subject)
            readings.insert(0, _Reading(f"{subject}{self.text[last + length :]}", 0, last))
        for begin in dict.fromkeys(begins):
            readings.extend(self._recast(begin))
        done = self.text[begins[-1] : begins[-1] + 1] in {"M", "Q"}
        done = done and not self.text.startswith((" can be", " can ever be"), begins[-1] + 2)
        if self.shift is not None or done or _LATER_END.search(self.text, begins[-1]):
            told = [_Reading(p.text, 0, p.moved, p.stop) for p in as_it_is(self.text, begins[-1])]
            readings = [*told, *readings] if self.shift is not None else [*readings, *told]
        readings.extend(self._carried(last, start.joint))
        readings.extend([only for one in readings if (only := _only_of(one))])
        return readings

    def _shift_by_move(self, start: _Start) -> None:
        """The board after "bishop takes f7" for "the king can take back" behind it."""
        alone = start.joint == "and" and _MOVE_AND.match(self.text[: start.at])
        if alone and (place := self.reader.at(offset(self.form, start.at))) is not None:
            moves = _moves_in(self.form, alone[1])
            if moves[0].moves and moves[0].moves[0].number is None:
                self.shift = board_after(place, moves)
                self.shifted_at = start.at
                return
        if (run := _RUN_OF_MOVES.search(self.text[: start.at])) and not start.joint:
            moves = _moves_in(self.form, run[0])
            place = self.reader.at(offset(self.form, start.at))
            if place is not None and all(m.moves and m.moves[0].number is None for m in moves):
                _, reached = self.reached.setdefault(id(place), (place, {}))
                self.shift = board_after(place, moves, reached)
                self.shifted_at = start.at
            return
        before = _MOVE_CLAUSE.search(self.text[: start.at]) if start.joint else None
        if before is None:
            return
        goes_on = _GOES_ON.match(self.text, start.at) or (
            "check" in before[0] and _ANSWERS.match(self.text, start.at)
        )
        place = self.reader.at(offset(self.form, start.at)) if goes_on else None
        if place is not None:
            self.shift = board_after(place, _moves_in(self.form, before[1]))
            self.shifted_at = start.at

    def _left_by_moves(self, begin: int) -> _Reading | None:
        """ "Bxf6 Nxf6 leaves Black with the bishop pair" as "Black has the bishop pair" then."""
        found = _LEAVES.match(self.text, begin)
        place = self.reader.at(offset(self.form, begin)) if found else None
        moves = _moves_in(self.form, found[1]) if found else []
        if found is None or place is None or any(m.moves[0].number for m in moves):
            return None
        self.shift = board_after(place, moves)
        self.shifted_at = found.end()
        lead = f"{found[2]} has "
        return _Reading(f"{lead}{self.text[found.end() :]}", 0, found.end() - len(lead))

    def _it_again(self, begin: int) -> str:
        """The subject of the clause before, where this one begins with "it"."""
        subject = self.before.subject
        if subject[:1] != "P" or self.text[begin : begin + 1] != "P":
            return ""
        it = self.form.phrases[ord(self.text[begin + 1]) - FIRST_MARK]
        before = self.form.phrases[ord(subject[1]) - FIRST_MARK]
        plain = before.determiner != "it" and not before.plural and not before.parts
        hit = _HIT_PIECE.match(self.before.predicate)
        if hit and it.determiner == "it" and _STANDING.match(self.text, begin + 2):
            return hit[1]  # "the rook attacks the bishop, and it is not protected"
        return subject if it.determiner == "it" and not it.squares and plain else ""

    def _past_after(self, at: int) -> int:
        """The place past "after Nd4"; the board after it is kept for the clauses that follow."""
        match = _AFTER.match(self.text, at)
        if not match or (match[0].startswith(("with", "by")) and "Q" in match[1]):
            return at
        place = self.reader.at(offset(self.form, match.end() - 1))
        if place is None:
            return at
        self.shift = board_after(place, _moves_in(self.form, match[1]))
        self.shifted_at = match.end()
        return match.end()

    def _shift_until(self, reach: int) -> Shift:
        """The board of "after Nd4", unless moves stand before `reach` that lead on from it, or
        elsewhere: back to an earlier number."""
        if not isinstance(self.shift, chess.Board):
            return self.shift
        later = _moves_in(
            self.form, "".join(re.findall(rf"M{_M}", self.text[self.shifted_at : reach]))
        )
        place = self.reader.at(max(end_offset(self.form, reach) - 1, 0))
        if place is None or not any(p.moves[0].number is not None for p in later):
            return self.shift
        before = self.reader.at(offset(self.form, self.shifted_at))
        left = before is not None and before.fen != place.fen
        return None if left or _goes_on(place.board, self.shift) else self.shift

    def _recast(self, begin: int) -> Iterator[_Reading]:
        """Other orders of words: "it is White who has X", "the one with X is White"."""
        for plain in recast(self.text, begin, self.form.phrases):
            yield _Reading(plain.text, 0, plain.moved, plain.stop)

    def _carried(self, begin: int, joint: str) -> Iterator[_Reading]:
        """Clauses that leave out the subject, the verb or the predicate of the one before."""
        rest = self.text[begin:]
        if joint in {"which", "who", "that"}:
            subject = self._named_before(begin, joint)
            if subject and _VERBS.match(rest):
                square = subject if subject[0] == "Q" else ""
                moved = begin - len(subject) - 1
                yield _Reading(f"{subject} {rest}", 0, moved, square=square)
            return
        if echo := _ECHO.match(rest):
            turned = joint != "nor" and rest.startswith(("nor", "neither"))
            yield from self._echoed(echo, begin, turned)
        if joint == "and" and (last := self._last_of_moves(begin)) and _VERBS.match(rest):
            yield _Reading(f"{last} {rest}", 0, begin - len(last) - 1)
        elif self.before.subject and joint in {"and", "or", ",", "but", "yet", ";", "while"}:
            yield from self._same_subject(begin, joint, rest)
            yield from self._same_predicate(begin, rest)

    def _last_of_moves(self, begin: int) -> str:
        """The move before "and", if that is what does what is told then: "2.Nf3 Nc6 3.Bb5 and
        pins", "it hits the queen, she goes back to d2 16.Qd2 and attacks it"."""
        run = _MOVES_AND.search(self.text[:begin])
        return run[1] if run else ""

    def _named_before(self, begin: int, joint: str) -> str:
        """What "which" is said of, the nearest that is named: "looks at f7, which is weak"."""
        before = self.text[:begin]
        does = joint == "who" or not _IS_OR_HAS.match(self.text, begin)
        stood = _STOOD_ON.search(before) or self._stands_where_it_went(before)
        if does and re.search(rf" Q{_M} ,? ?\w+ $", before) and not stood:
            return ""  # "it goes to e4, which attacks the queen", "it covers d4, which stops him"
        found = re.findall(rf"[{'SPM' if does else 'SPMQFWRD'}]{_M}", before)
        return found[-1] if found else ""

    def _stands_where_it_went(self, before: str) -> bool:
        """Whether words end with a man that went to a square, and he stands on it."""
        went = _WENT_TO.search(before)
        place = self.reader.at(offset(self.form, went.start())) if went else None
        if went is None or place is None:
            return False
        told, to = (self.form.phrases[ord(mark[1]) - FIRST_MARK] for mark in went.groups())
        if len(to.squares) != 1 or not (
            man := place.board.piece_at(chess.parse_square(to.squares[0]))
        ):
            return False
        whose = {told.who, *told.words} & {"white", "black"}
        return man.symbol().upper() in told.pieces and whose <= {chess.COLOR_NAMES[man.color]}

    def _same_subject(self, begin: int, joint: str, rest: str) -> Iterator[_Reading]:
        """Clauses without a subject, or without subject and verb: "and pins the knight"."""
        before = self.before
        if _VERBS.match(rest):
            if not (_PLAIN_VERB.match(rest) and self._is_one(before.subject)):
                # not "the knight will go to g4 and bother the bishop"
                yield _Reading(f"{before.subject} {rest}", 0, begin - len(before.subject) - 1)
        elif before.verb in {"is", "are"} and _PARTICIPLE.match(rest):
            lead = f"{before.subject} is "
            yield _Reading(f"{lead}{rest}", 0, begin - len(lead))
        elif before.verb and joint in {"and", "or", "but"} and not _SUBJECTS.match(rest):
            if (also := _ALSO_OUT.match(before.predicate)) and (one := _ONE_MORE.match(rest)):
                words = f"{before.subject} {before.verb} {one[0]} {also['more']}"
                yield _Reading(words, 0, 0, begin + one.end())
                return
            placed = _PLACE_FIRST.match(before.predicate.partition(" ")[2])
            if placed or not _PLACE_FIRST.match(rest):
                told = _TOLD.match(before.predicate) or self._told_before(begin)
                lead = f"{before.subject} {before.verb} {told[1] if told else ''}"
                yield _Reading(f"{lead}{rest}", 0, begin - len(lead))

    def _told_before(self, begin: int) -> re.Match[str] | None:
        """The verb of a clause that was not understood: "has developed" two knights and a bishop."""
        found = re.search(rf"{self.before.subject} (?=(?:has|have) )", self.text[:begin])
        told = _TOLD.match(self.text, found.end()) if found else None
        return told if told and self.text[told.end()] != "," else None

    def _same_predicate(self, begin: int, rest: str) -> Iterator[_Reading]:
        """Clauses of another side with what was said before: "Black three", "Black has one out"."""
        before = self.before
        again = re.match(rf"(S{_M} (?:has|have)) (?=the |a |an |N{_M}|only )", rest)
        if again and (completed := _completed(rest[again.end() :], before.predicate)):
            words, length = completed
            yield _Reading(f"{again[1]} {words}", 0, 0, begin + again.end() + length)
        gap = re.match(rf"(S{_M}) (?:(?:has|have) )?(?=the |a |an |N{_M}|only )", rest)
        if not (gap and before.verb and before.predicate and gap[1] != before.subject):
            return
        tail = rest[gap.end() :]
        number = re.match(rf"(?:only )?(N{_M})(?= ?$| [,;.!])", tail)
        if number and (old := re.search(rf"N{_M}", before.predicate)):
            changed = before.predicate[: old.start()] + number[1] + before.predicate[old.end() :]
            if self.form.phrases[ord(number[1][1]) - FIRST_MARK].number == 1:
                changed = re.sub(rf"({number[1]}) ([a-z]+)s\b", r"\1 \2", changed)
            yield _Reading(f"{gap[1]} {changed}", 0, 0, begin + gap.end() + number.end())
        if rest.startswith((f"{gap[1]} has", f"{gap[1]} have")):
            return
        lead = f"{gap[1]} {before.verb} "
        if completed := _completed(tail, before.predicate):
            words, length = completed
            yield _Reading(f"{lead}{words}", 0, 0, begin + gap.end() + length)
        else:
            yield _Reading(f"{lead}{tail}", 0, begin + gap.end() - len(lead))

    def _is_one(self, subject: str) -> bool:
        """Whether a subject is a single piece or side, of which one says "attacks"."""
        phrase = self.form.phrases[ord(subject[1]) - FIRST_MARK]
        return not (phrase.plural or phrase.parts) and phrase.who not in {
            "we",
            "you",
            "they",
            "both",
        }

    def _echoed(self, echo: re.Match[str], begin: int, turned: bool) -> Iterator[_Reading]:
        """ "White has not", "so is the knight", "nor can Black": the predicate said before."""
        subject = echo["after"] or echo["front"]
        lead = self.text[begin : begin + 8].startswith(("so ", "nor ", "neither "))
        if echo["aux2"] and not lead and not turned and self.text[begin - 2 : begin] == ", ":
            return  # "is it", asked behind what was said
        aux = echo["aux2"] or echo["aux"]
        predicate = self.before.predicate
        first = predicate.split(" ", 1)[0]
        fits = {"has": {"has", "have"}, "have": {"has", "have"}, "is": {"is", "are"},
                "are": {"is", "are"}, "can": {"can"}}.get(aux, {first})  # fmt: skip
        if subject[0] == "P" and self._owner_left_out(subject):
            return  # "both black knights are out, neither bishop is": of Black's
        if predicate and first in fits:
            stop = begin + echo.end()
            yield _Reading(f"{subject} {predicate}", 0, 0, stop, True, turned)

    def _owner_left_out(self, subject: str) -> bool:
        """Whether men are named without a side, where those before had one."""
        phrases = self.form.phrases
        one = phrases[ord(subject[1]) - FIRST_MARK]
        before = self.before.subject
        if one.mode is not Mode.NONE or one.who or one.squares or before[:1] != "P":
            return False
        owned = phrases[ord(before[1]) - FIRST_MARK]
        sides = {"white", "black"}
        return bool(owned.who or sides & {*owned.words}) and not sides & {*one.words}

    def _best_of(
        self, readings: Sequence[_Reading], turned: bool
    ) -> tuple[_Match, _Reading, Fit] | None:
        """The match that reaches furthest and means something on the board."""
        found: list[tuple[int, int, Fit, _Reading]] = []
        for order, reading in enumerate(readings):
            ends = self._ends_of(reading)
            for fit in self.patterns.beginning(reading.text, reading.begin, ends):
                if (not self.general or fit.pattern.usual) and reading.as_meant(fit):
                    reach = fit.end + reading.moved if reading.stop is None else reading.stop
                    found.append((reach, -order, fit, reading))
        found.sort(key=lambda f: (f[0], f[1]), reverse=True)
        undecided: tuple[_Match, _Reading, Fit] | None = None
        reached = 0
        for reach, _, fit, reading in found:
            if undecided is not None and reach < reached:
                break
            begin = self._begin_of(reading, readings)
            no = turned ^ reading.turned
            if reading.echo and reach + 1 in self.form.negated:
                no = not no
            shift = self._shift_until(reach)
            made = self.reader.judged(self.form, fit, begin, reach, shift, no, reading.only)
            asks = made is not None and made.fact.because.endswith("?")  # which one is meant
            if made and (made.fact.true is not None or (asks and undecided is None)):
                return made, reading, fit
            if made and undecided is None:
                undecided, reached = (made, reading, fit), reach
        return undecided

    def _begin_of(self, reading: _Reading, readings: Sequence[_Reading]) -> int:
        """Where a reading begins in the form; those put in another order at the last plain one."""
        if reading.text is self.text:
            return reading.begin
        return max((r.begin for r in readings if r.text is self.text), default=0)

    def _ends_of(self, reading: _Reading) -> Sequence[int]:
        """Where a statement may end in the text of a reading, the last place first."""
        if reading.stop is not None:
            return [len(reading.text)]
        if not reading.moved:
            return self.ends
        return [end - reading.moved for end in self.ends if end > reading.moved]

    def _keep(self, words: str) -> None:
        """Remember subject, verb and predicate of a clause that was understood."""
        first = _LEAD.match(words)
        if first:
            self.before = _Clause(first[1], first[2] or "", words[first.end(1) + 1 :])

    def _keep_subject(self, words: str) -> None:
        first = _BARE_LEAD.match(words)
        if first:
            self.before = _Clause(first[1], first[2] or "", "")


_SUBJECTS = expression(
    rf"(?:(?!(?:that|which|who|where|but|because|while|as|since|so|when|if|with)\b|S{_M})[^\s,;:.!?()]+ )+?"
    rf"and (?:(?!(?:that|which|who)\b|S{_M})[^\s,;:.!?()]+ )+?(?:are|have)\b"
)
"""Several men with a verb of their own: "the knight on d4 and the bishop on c1 are strong"."""

_ALSO_OUT = expression(
    rf"(?:has|have) (?:only |just )?(?:N{_M}|an?|the) (?:minor )?\w+ (?P<more>out|developed|at home|undeveloped|in play|pinned|hanging)$"
)
_ONE_MORE = expression(rf"(?:only |just )?(?:N{_M}|an?|the) (?:minor )?\w+(?= ?$| [,.;!])")
"""In "one knight out and one bishop" the bishop is out too."""
_LEAD = expression(rf"(?:the |both |all |only )?([SPMQ]{_M}) ((?:is|are|has|have|can)\b)?")
_BARE_LEAD = expression(rf"([SPMQ]{_M})(?! (?:and|or)\b)(?: (is|are|has|have|can)\b)?")
"""The subject and the verb of a clause: no noun that "and" goes on from ("for the bishop and ...")."""


def _completed(tail: str, predicate: str) -> tuple[str, int] | None:
    """ "one knight" with what followed "knights" in the clause before ("has both knights out")."""
    told = re.match(
        rf"(?:only |just )?(?:N{_M} |an? |the )?(?:minor )?(\w+)(?= ?$| [,;.!]| and)", tail
    )
    if not told or len(told[1]) < 4:
        return None
    old = re.search(rf"\b{told[1].rstrip('s')}s?\b(?P<more> .+)", predicate)
    return (told[0] + old["more"], told.end()) if old else None


_INVERTED = expression(
    rf"(?:(?:and|but|so|well) )?(is|are|has|have|can) ((?:the )?[SPFQ]{_M}|there|it|that|this) "
)
_DOES = expression(
    rf"(?:(?:and|but|so|well) )?(does|do|did) ([SP]{_M}) (?:(?:now|really|still) )?(\w+)"
)


def _told_plainly(text: str) -> _Reading | None:
    """ "has White castled" as "White has castled"."""
    if asked := _INVERTED.match(text):
        lead = f"{asked[2]} {asked[1]} "
    elif asked := _DOES.match(text):
        past = inflected(asked[3])["past"]
        did = f"has {past}" if asked[1] == "did" else third_person(asked[3])
        lead = f"{asked[2]} {did}"
    else:
        return None
    return _Reading(lead + text[asked.end() :], 0, asked.end() - len(lead))


def _recast_again(asked: _Reading, plain: Recast) -> _Reading:
    """What a question asks, put in plain order once more."""
    stop = None if plain.stop is None else plain.stop + asked.moved
    return _Reading(plain.text, 0, plain.moved + asked.moved, stop)


_ECHO = expression(
    rf"(?:(?P<front>[SP]{_M}) (?P<aux>has|have|is|are|can|does|do)(?: too| as well)?"
    rf"|(?:so|neither|nor)? ?(?P<aux2>has|have|is|are|can|does|do) (?P<after>[SP]{_M}))(?= ?$| [,;.!]| and| but)"
)


# --- places and boards -----------------------------------------------------------------------


_HOSTILE = expression(
    r"\b(?:attack|hit|pin|fork|skewer|threat|tak|took|captur|win|won|wins|trap|chas|harass|hunt|exchang|trad|swap|target|eye|menac|"
    r"assail|mate|check|against|stop|prevent|stalemat|double[sd]|isolat|weaken|disrupt|ruin|spoil|gain|snatch|grab|eat|ate|kill)\w*",
    re.I,
)
"""What one does to the other: "White attacks his knight" is of Black's."""
_CAN = expression(r"\b(?:can|could|may|might|cannot|can't)\b", re.I)
_NEVER_BEHIND = expression(r"\s+(?:never|not at all|no longer|no more|not any more)\b")
_NO_BEFORE = expression(r"\b(no|not|never)\s+$", re.I)
_OF_ANYTHING = {
    "attack",
    "attack counts",
    "between",
    "castling",
    "lines",
    "material",
    "pawns",
    "squares",
    "tactics",
}
"""Families in which "nothing" and "everything" speak of the pieces on the board."""


def _free_choice(phrase: Phrase) -> Phrase:
    """What "or" joins behind "can": "can go to e7 or d7" says that it can go to either."""
    several = len(phrase.parts) > 1 or len(phrase.squares) > 1
    listed = several and phrase.kind in {"square", "piece"} and phrase.mode is Mode.ANY
    return replace(phrase, mode=Mode.ALL) if listed else phrase


_OF_LAW = expression(r"\b(?P<no>illegal|impossible)\b|\b(?:legal|possible|playable|allowed)\b")
"""What is said of a move by the laws."""


def _acting_side(form: Form, told: _Told) -> str:
    """The side named at the beginning of what is told ("by e3 White opens"), "" for none."""
    for phrase in form.phrases:
        if phrase.kind == "side" and told.start <= phrase.start < told.start + 16:
            return phrase.who if phrase.who in {"white", "black"} else ""
    return ""


def _only_of(reading: _Reading) -> _Reading | None:
    """The reading of "only White has castled" as "White has castled", of White only."""
    if not re.compile(r"only S. ").match(reading.text, reading.begin) or reading.echo:
        return None
    return replace(reading, begin=reading.begin + len("only "), only=True)


def _only_so(
    judge: Judge, said: Said, choices: dict[str, Choice], fact: Fact | None
) -> Fact | None:
    """The fact of one side, if it is none of the other."""
    name = next((n for n in ("side", "whose") if n in choices), "")
    values = choices[name].values if name else ()
    if fact is None or not fact.true or len(values) != 1:
        return fact if fact is not None and fact.true is False and len(values) == 1 else None
    other = decide(judge, said, {**choices, name: Choice((not values[0],))})
    return replace(other, true=False) if other is not None and other.true else fact


def _of_each(choice: Choice) -> bool:
    """Whether something is said of each of several."""
    return choice.mode is Mode.ALL and len(choice.values) > 1


def _denying(judge: Judge) -> Judge:
    """A judge of the contrary."""

    def judged(said: Said) -> Fact | None:
        fact = judge(said)
        return None if fact is None else turned_by(fact, no=True)

    return judged


def _is_named(phrase: Phrase) -> bool:
    """Whether a phrase names what it means, so that it can be meant of one board only."""
    if phrase.parts:
        return all(map(_is_named, phrase.parts))
    if phrase.kind == "piece":
        return bool(phrase.squares) and phrase.determiner != "it"
    return phrase.who not in {"he", "they", "it", "you"}


def _in_words(form: Form, text: str) -> str:
    """Words of a form with the numbers among them in digits."""
    return re.sub(
        r"N([\ue000-\uf8ff])", lambda m: str(form.phrases[ord(m[1]) - FIRST_MARK].number), text
    )


def _is_whole(phrase: Phrase) -> bool:
    """Whether a phrase is "nothing", "everything" or the like."""
    return phrase.kind == "piece" and phrase.determiner == "all"


def _spoken_of(memory: Memory, squares: tuple[Any, ...]) -> Memory:
    """The memory after pieces were spoken of; those on other squares move back."""
    told = tuple(s for s in squares if isinstance(s, int))
    named = (*told, *(s for s in memory.named if s not in told)) if len(told) == 1 else memory.named
    return replace(memory, it=squares, named=named[:6])


def _also_named(memory: Memory, squares: tuple[Any, ...]) -> Memory:
    """The memory after a piece was spoken of that did something to what was spoken of before."""
    if not memory.it:
        return _spoken_of(memory, squares)
    return replace(_spoken_of(memory, squares), it=memory.it)


def _moves_in(form: Form, text: str) -> list[Phrase]:
    return [form.phrases[ord(c) - FIRST_MARK] for c in text if FIRST_MARK <= ord(c) <= 0xF8FF]


Told = tuple[str, int | None, bool | None]
"""A move as it is named: its notation, its number and whether it is marked as Black's."""
Reached = dict[tuple[Told, ...], chess.Board | str]
"""The boards after moves named at one place, or what is wrong with them."""


def board_after(
    place: Place, moves: Sequence[Phrase], reached: Reached | None = None
) -> chess.Board | str:
    """The board after the moves named, or what is wrong with them.

    Moves that are the last ones played, or were played before in this order, lead to the board
    after them; others are played on this board. What is `reached` already is gone on from, and
    what is found goes there: boards in it are shared.
    """
    named = tuple(map(_told, moves))
    reached = {} if reached is None else reached
    if named not in reached:
        known = next((n for n in range(len(named) - 1, 0, -1) if named[:n] in reached), 0)
        before = reached[named[:known]] if known else place.board
        reached[named] = (
            before if isinstance(before, str) else _played_on(place, before.copy(), named, known)
        )
    return reached[named]


def _told(phrase: Phrase) -> Told:
    token = phrase.moves[0] if phrase.moves else None
    return (token.text, token.number, token.black) if token else (phrase.squares[0], None, None)


def _played_on(
    place: Place, current: chess.Board, moves: Sequence[Told], first: int
) -> chess.Board | str:
    """The board after the moves from the number `first` on, or what is wrong with one."""
    for index, (san, number, black) in enumerate(moves[first:], first):
        if index and (move := legal_san(current, san)):
            current.push(move)
            continue
        past = past_moves(current) if index else place.past()
        played = find_move(current, san, number, black, past)
        if played is None and was_supposed(past, san):
            continue
        if played is None and (several := moves_of_several(current, san)):
            return which_is_meant(several)
        if played is None:
            return f"{'that move' if san.startswith('?') else san} is not possible here"
        current = played.after
    return current


def _goes_on(board: chess.Board, shift: Shift) -> bool:
    """Whether a board was reached by moves from the board of "after Nd4"."""
    if not isinstance(shift, chess.Board):
        return False
    stack, before = board.move_stack, shift.move_stack
    return len(stack) > len(before) and stack[: len(before)] == before


def turned_by(fact: Fact, no: bool) -> Fact:
    """The fact under a "not"; what is not there at all stays false."""
    if fact.true is None or fact.offer == "<missing>" or not no:
        return fact
    return replace(fact, true=not fact.true)


def _neighbours(kind: str, value: object) -> Iterator[tuple[object, str]]:
    if kind in {"side", "whose"} and isinstance(value, bool):
        yield not value, side_name(not value)
    elif kind == "file" and isinstance(value, int):
        for file in (value - 1, value + 1):
            if 0 <= file < 8:
                yield file, f"the {'abcdefgh'[file]}-file"
    elif kind == "number" and isinstance(value, int):
        for number in (value + 1, value - 1):
            if 0 < number < len(NUMBER_WORDS):
                yield number, NUMBER_WORDS[number]


def negated(form: Form, start: int, end: int) -> bool:
    """Whether an odd number of "not"s was taken out between two places of a form."""
    return sum(start <= n <= end for n in form.negated) % 2 == 1


def offset(form: Form, place: int) -> int:
    """The offset in the text of a place in a form."""
    index = max((i for i, at in enumerate(form.at) if at <= place), default=0)
    return form.items[index].start if form.items else 0


def end_offset(form: Form, place: int) -> int:
    """The offset in the text where the words before a place in a form end."""
    index = max((i for i, at in enumerate(form.at) if at < place), default=0)
    return form.items[index].end if form.items else 0


def _denied(form: Form, before: str, end: int) -> bool | None:
    """Whether "it is (not) true that" stands there, and if so whether it denies."""
    match = re.search(
        r"\bit is (?:quite |simply )?(true|the case|correct|right|a fact|false|wrong|untrue)(?: to say)? ?$",
        before,
    )
    if not match:
        return None
    wrong = match[1] in {"false", "wrong", "untrue"}
    return wrong ^ negated(form, end - len(match[0]), end)


def _overlaps(match: _Match, others: Sequence[_Match]) -> bool:
    return any(match.start < o.end and o.start < match.end for o in others)


def _is_open(fact: Fact) -> bool:
    """Whether a fact leaves open what is true, without asking what was meant."""
    return fact.true is None and not fact.because.endswith("?")


def _best(found: Sequence[_Match]) -> list[_Match]:
    """Matches that do not overlap, longer ones first.

    Of the same words a reading that finds nothing on the board to speak of gives way to another.
    """
    kept: list[_Match] = []
    for match in sorted(found, key=_rank):
        if not _overlaps(match, kept):
            kept.append(match)
    return kept


def _rank(match: _Match) -> tuple[int, int, bool, bool]:
    fact = match.fact
    return match.start - match.end, match.start, _is_open(fact), fact.offer == "<missing>"
