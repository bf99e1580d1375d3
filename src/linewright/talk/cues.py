"""What the words around a phrase say about it: who moves, whether it is meant, where it belongs."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise

from linewright.talk.phrases import PLACING
from linewright.talk.said import Cues, Form, Phrase
from linewright.talk.vocabulary import (
    COMMA,
    DIGITS,
    OWNERS,
    PERSONS,
    PIECES,
    SENTENCE,
    TAKES,
    WHO,
    Lexicon,
    Token,
    is_square,
    words,
)

INTENT = words(
    "wants want wanted threat threats threaten threatens threatening idea ideas plan plans planning"
    " aim aims aiming hope hopes hoping prepares prepare preparing preparation intends intending"
    " ready dreams dream eyeing allow allows allowing wishes wish later eventually"
    " someday tempting meet meets intention"
    " longs itching ambition desire  discourages encourage provokes provoking inviting invites"
)
MODAL = words(
    "can could may might will possible option options alternative alternatives try tries consider"
    " considered perhaps maybe sometimes possibility choice choices candidate candidates"
)
SUPPOSED = words("if suppose supposing assuming imagine unless whenever should whatif were lest")
NEGATED = words(
    "not never without avoid avoids avoiding prevent prevents preventing stop stops stopping"
    " cannot can't doesn't don't isn't didn't won't wouldn't couldn't shouldn't hasn't nothing no"
    " mustn't impossible forget lost losing loses lose right rights allowed unable refuses refrains"
    " declines delays avoided prevented instead"
)
PLAYED = words(
    "plays played play goes went moves moved replies reply replied answers answer answered responds"
    " responded continues continued chooses chose opens opened begins began starts started follows"
    " followed comes came met decides prefers retreats"
    " develops developed strikes hits pushes advances recaptures takes"
    " move response meets"
)
STATIC_BEFORE = words(
    "at over around of against towards from behind for square control controls controlling attack"
    " attacks attacking attacked defend defends defending protect protects protecting cover covers"
    " covering eye eyes eyeing targets target targeting hits hit hitting watch watches watching guard"
    " guards guarding supports support supporting weaken weakens weakened leaves pressure pressures"
    " pressing blockade blockades occupy occupies occupying pin pins pinned pinning via through weak"
    " outpost squares hole grip fight fights fighting tied overprotects contest contests contesting"
    " pawns between near undermine undermines undermining threatens holds holding"
    " strengthens blocks blocking unguarded invade invading reach reaches reaching"
)
_STRANDED = words(
    "at over around of against towards from behind for via through between near on to with"
)
"""Words that govern what follows, unless a comma says that it came before: "what we waited for, b4"."""
ALTERNATIVE = words("instead alternatively alternative alternatives also option options possibility"
                    " possibilities otherwise besides equally")  # fmt: skip
_ORDERS = words("other another second third fourth fifth different next last final")
_GOES_ON = words("next last final")
_OPTIONS = words("option move way possibility answer reply try plan choice idea line variation"
                 " question defence defense system continuation retreat method"
                 " attempt approach thing one")  # fmt: skip
LINKS = words("and or then followed by next also maybe even perhaps possibly & later either comes"
              " finally eventually uh um er first the move")  # fmt: skip
BREAKS = words("so but okay however anyway because whereas although therefore while since")
DECIDES = words("decides chooses prefers continues proceeds forced has have had best correct needs"
                " need must is was goes decided chose ought time likes going simplest simply normal usual"
                " natural likely move main common popular important good better order opts")  # fmt: skip
UNREAL = words("would imagine picture dream ideally normally usually typically elsewhere used wish"
               " similar ideal could might hypothetically system variations")  # fmt: skip
_BECAUSE = words("because cause cos since")
_ASKED_ABOUT = {("what", "about"), ("how", "about"), ("what", "of")}
_ANSWERED_WITHIN = 5
"""Among so many words behind a move asked about its answer begins."""
LISTED = 14
"""A list of moves is no longer than this (words)."""
_LISTING = words("or and are they're to is the all both take takes castles check even")
_ARE_ALL = words("all both are they're also equally is perfectly")
_POSSIBLE = words("possible playable reasonable sensible conceivable candidates options imaginable")
_HAVING = words("had have has with playing played plays handling got as")
_COUNTS_OF = words("replies moves options choices ways candidates possibilities answers tries ideas"
                   " entries squares continuations")  # fmt: skip
_SEVERAL = words("two three four five six several some many various other")
_WE_ARE = words("we're you're i'm are am is back again now he's they're")
_BACKERS = words("go going goes come coming let's lets get jump step stepping head switch turn we"
                 " us then now and so wind moving look take cut")  # fmt: skip
ORDINALS = {"first": 1, "second": 2, "third": 3, "fourth": 4, "fifth": 5, "sixth": 6,
            "seventh": 7, "eighth": 8, "ninth": 9, "tenth": 10}  # fmt: skip
NUMBERS = {**{w: int(d) for w, d in DIGITS.items()}, "nine": 9, "ten": 10, "eleven": 11,
           "twelve": 12, "thirteen": 13, "fourteen": 14, "fifteen": 15, "sixteen": 16,
           "seventeen": 17, "eighteen": 18, "nineteen": 19, "twenty": 20}  # fmt: skip


SOME_PLAY = re.compile(
    r" (?:some|others|many|most|(?:quiet|other|careful|ambitious|young|strong) (?:people|players))"
    r"(?: (?:of you|of us|of them|people|players|pupils|kids|others))?(?: (?:also|just|often|still))?"
    r" (?:like|prefer|play|try|choose|go for|go)(?: to play)?$"
)
"""Whose taste a move is: "some of you like bishop e3"."""


@dataclass(slots=True)
class CueReader:
    """Adds cues to phrases, in the order of the talk."""

    lexicon: Lexicon
    _seen: dict[object, int] = field(default_factory=dict)
    _hint: tuple[int, int] = (-1, -99)
    _unpunctuated: bool = False
    _moves: int = 0
    """How many phrases before are likely moves."""

    def read(self, found: dict[int, list[Phrase]]) -> dict[int, list[Phrase]]:
        """The same phrases with their cues."""
        tokens = self.lexicon.tokens
        stops = sum(token.gap >= 0.95 for token in tokens[1:])
        self._unpunctuated = stops * 60 < len(tokens)
        out: dict[int, list[Phrase]] = {}
        last_end = 0
        last = Cues()
        for index in sorted(found):
            same = [self._with_cues(phrase, last_end, last) for phrase in found[index]]
            out[index] = same
            for phrase in same:
                if not self._asked_why_not(phrase):
                    self._seen[phrase.spec] = phrase.end
                if self._supports(phrase):
                    self._hint = phrase.spec.targets[0][0], phrase.end
            strong = next((p for p in same if self._ends_cues(p)), None)
            if strong is not None:
                last_end, last = max(last_end, strong.end), strong.cues
                self._moves += 1
        return out

    def _ends_cues(self, phrase: Phrase) -> bool:
        """Whether what was said before a phrase says nothing of what comes behind it.

        A move that is only asked about ("why not castle? If Black castles here ...") has the line
        that answers it stand in its own place, and a capture of "another one" that which names it.
        """
        if self._asked_why_not(phrase) or takes_another(self.lexicon.tokens, phrase):
            return False
        return _move_like(phrase) or self._gone_back_to(phrase)

    def _asked_why_not(self, phrase: Phrase) -> bool:
        before = self._clause(phrase.first, 0)[:4]
        return phrase.cues.negated and ("not", "why") in pairwise(before)

    def _gone_back_to(self, phrase: Phrase) -> bool:
        """Whether the talk goes back to where a piece stands: "back to our bishop on b2"."""
        k = phrase.first - 1
        while self._text(k) in _DEFINITE or self._text(k) in ("to", "at"):
            k -= 1
        placed = phrase.form is Form.PLACED and phrase.cues.back == 2 and not phrase.price
        return placed and self._text(k) in ("back", "rewind", "return")

    def _with_cues(self, phrase: Phrase, last_end: int, last: Cues) -> Phrase:
        before = self._clause(phrase.first, last_end)
        since = self._since(phrase.first, last_end)
        cues = self._near(phrase, before)
        cues = self._wider(cues, phrase, since, last_end)
        if self._linked(phrase.first, last_end):
            cues = replace(
                cues, intent=cues.intent or last.intent, modal=cues.modal or last.modal,
                negated=cues.negated or (last.negated and self._text(phrase.first - 1) in ("or", "and")),
                static=cues.static or (last.static and phrase.form is Form.SQUARE and not cues.played
                               and self._text(phrase.first - 1) in ("and", "or")), listed=True,
                infinitive=cues.infinitive or last.infinitive,
                reason=cues.reason or last.reason,
            )  # fmt: skip
        near = self._seen.get(phrase.spec, -99)
        square, said = self._hint
        if phrase.first - said <= 9:
            cues = replace(cues, hint=square)
        return replace(phrase, cues=replace(cues, repeated=phrase.first - near <= 5))

    def _supports(self, phrase: Phrase) -> bool:
        """ "Black supports d5": a move that is not said."""
        return (
            phrase.form is Form.SQUARE
            and phrase.cues.static
            and bool(phrase.cues.side or phrase.cues.weak_side)
            and self._text(phrase.first - 1) in _SUPPORTS
        )

    def _text(self, index: int) -> str:
        return self.lexicon.text(index)

    def _clause(self, first: int, last_end: int) -> list[str]:
        """Words just before, nearest first, back to a break or the move before."""
        out: list[str] = []
        tokens = self.lexicon.tokens
        for k in range(first - 1, max(last_end, first - 10) - 1, -1):
            if tokens[k + 1].gap >= 0.6:
                break
            text = tokens[k].text
            if text in BREAKS and not (text == "so" and self._text(k + 1) == "that"):
                break
            out.append(text)
            begins = k > 0 and (
                tokens[k].gap >= 0.3 or tokens[k - 1].text in ("and", "but", "then", "when")
            )
            supposed = self._text(k - 1) in SUPPOSED or self._text(k - 2) in SUPPOSED
            if text in SUBJECTS and begins and not supposed:
                break
        return _SHOWS.sub(" ", " ".join(reversed(out))).split()[::-1]

    def _ing(self, k: int) -> bool:
        """Whether a word is a verb in -ing, and not a king."""
        return self._text(k).endswith("ing") and self._text(k) not in PIECES

    def _castling_alone(self, phrase: Phrase) -> bool:
        """Whether a clause is nothing but "castling": "bishop g2, castling, castling"."""
        tokens, end = self.lexicon.tokens, phrase.end
        begins = phrase.first > 0 and tokens[phrase.first].gap >= 0.3
        begins = begins or self._text(phrase.first - 1) in ("simply", "just", "with", "is", "by")
        ends = end >= len(tokens) or tokens[end].gap >= 0.3
        ends = ends or self._text(end) in ("also", "too", "from", "himself", "herself", "likewise")
        return phrase.form is Form.CASTLING and begins and ends

    def _tight(self, first: int, before: list[str]) -> list[str]:
        """The words before up to a comma."""
        tokens = self.lexicon.tokens
        for n in range(len(before)):
            if tokens[first - n].gap >= 0.3 and not (
                (n < len(before) and before[n] in _HESITATION) or (n and before[n - 1] in _HESITATION)
            ):  # fmt: skip
                return before[:n]
        return before

    def _since(self, first: int, last_end: int) -> list[str]:
        return [self._text(k) for k in range(max(last_end, first - 30), first)]

    def _linked(self, first: int, last_end: int) -> bool:
        """Whether a phrase is joined to the one before by "and", "or" or a comma."""
        between = range(last_end, first)
        if not 0 < last_end <= first or len(between) > 4:
            return False
        gap = max((self.lexicon.tokens[k].gap for k in range(last_end, first + 1)), default=0.0)
        if gap >= 0.6 or not all(self._text(k) in LINKS for k in between):
            return False
        return len(between) > 0 or 0.25 <= gap <= 0.35

    def _near(self, phrase: Phrase, before: list[str]) -> Cues:
        nearest = before[:8]
        side, piece_side = self._side(phrase, len(before))
        strong = side and self._plainly(phrase.first, side)
        infinitive = _infinitive(before, self._text(phrase.first))
        intent = any(t in INTENT for t in nearest) or self._would_like(before)
        intent = intent or self._candidates(phrase)
        intent = intent or self._not_yet(phrase, self._tight(phrase.first, before))
        played = any(t in PLAYED for t in before[:4]) or phrase.form is Form.NOTATION
        named = phrase.spec.pieces or phrase.spec.capture  # "why not to c3" names a square
        against = bool(named) and self._spoken_against(phrase.end, before)
        means = before[:1] == ["with"]
        played = played or means or before[:1] in (["is"], ["was"], ["comes"])
        return Cues(
            side=side if strong else "", weak_side="" if strong else side,
            piece_side=piece_side, intent=intent, person=_person(before),
            modal=any(t in MODAL for t in nearest) or self._asked(phrase.end),
            reason=self._reason(phrase.first) or self._general(phrase.first), paired=self._paired(phrase), firm=self._firm(phrase, nearest),
            supposed=self._supposed(before) or against,
            negated=(_negated(before) and not against and not self._says_itself(phrase.first))
            or self._denied(phrase.end),
            infinitive=infinitive, played=played,
            gerund=(self._ing(phrase.first) and not self._castling_alone(phrase))
            or "ing" in _ending(before),
            static=self._static(phrase, before),
            after=any(t in ("after", "following", "once", "when") for t in before[:4]),
            unreal=any(t in UNREAL for t in nearest) or self._would_follow(phrase),
            past=any(t in ("played", "was", "had", "did", "already") for t in before[:4]),
        )  # fmt: skip

    def _says_itself(self, first: int) -> bool:
        """Whether a man and its verb begin a clause: "do not be greedy the knight comes back to c3".

        In captions without stops what is denied before is another clause's.
        """
        man = bool(self.lexicon.man(first)) and self._text(first - 1) in _DEFINITE
        verb = self._text(first + 1)
        return man and verb in _COMES and self._text(first - 2) not in _THINKS

    def _general(self, first: int) -> bool:
        """Whether the sentence tells what happens in general: "when the pawn reaches b5, ..."."""
        tokens = self.lexicon.tokens
        for k in range(first - 1, max(first - 14, -1), -1):
            if tokens[k + 1].gap >= 0.6:
                return False
            if tokens[k].text in ("remember", "homework", "summary") and k < first - 1:
                return True
            if tokens[k].text in ("when", "once", "whenever") and tokens[k].gap >= 0.6:
                return self._text(k + 1) not in ("black", "white", "he", "she", "both")
        return False

    def _asked(self, end: int) -> bool:
        """Whether the sentence is a question that ends just here."""
        tokens = self.lexicon.tokens
        return any(tokens[k].asked for k in range(end - 1, min(end + 3, len(tokens)))
                   if k == end - 1 or tokens[k].gap < 0.6)  # fmt: skip

    def _denied(self, end: int) -> bool:
        after = [self._text(k) for k in range(end, end + 3)]
        return after[:2] == ["not", "yet"] or after[:2] in (["doesn't", "work"], ["is", "not"], ["isn't", "possible"], ["is", "impossible"], ["fails", "to"])  # fmt: skip

    def _reason(self, first: int) -> bool:
        """Whether the clause gives a reason or a purpose."""
        tokens = self.lexicon.tokens
        for k in range(first - 1, max(first - 8, -1), -1):
            if tokens[k + 1].gap >= 0.6:
                return False
            text = tokens[k].text
            if (
                text in _REASONS
                or (text in _POINTS and "is" in (self._text(k + 1), self._text(k + 2)))
                or (text == "that" and self._text(k - 1) == "so")
            ):
                return True
        return False

    def _paired(self, phrase: Phrase) -> bool:
        """Whether two squares are named together, as a plan is."""
        if phrase.form is not Form.SQUARE:
            return False
        end, first = phrase.end, phrase.first
        if self._text(end) in ("and", "or") and self.lexicon.square(end + 1) is not None:
            return self.lexicon.tokens[end].gap < 0.3
        return self._text(first - 1) in ("and", "or") and any(
            g.end == first - 1 and g.price == 0 for k in (first - 2, first - 3) if k >= 0
            for g in self.lexicon.squares(k)
        )  # fmt: skip

    def _firm(self, phrase: Phrase, nearest: list[str]) -> bool:
        """Whether a placement is said as a fact about the board at hand."""
        before = self._text(phrase.first - 1)
        if phrase.form is not Form.PLACED:
            return False
        if before in ("from", "on") and is_square(self._text(phrase.first)):
            return True  # "from d3 our bishop eyes h7"
        if before not in _DEFINITE:
            return False
        verb = any(self._text(k) in _STANDING for k in range(phrase.first + 1, phrase.end))
        if nearest[1:3] in (["with", "do"], ["about", "do"]):
            return True  # "what do we do with the bishop on c3"
        return not any(t in _SOFTENERS for t in nearest[1 : 2 if verb else 5])

    def _not_yet(self, phrase: Phrase, before: list[str]) -> bool:
        """ "before the pawn moves", "because of knight b5", "let him take", "knight b5 next"."""
        if self._text(phrase.end) in ("next", "later", "someday", "eventually"):
            return True
        near = before[:5]
        for n, text in enumerate(near):
            if text in ("before", "until") and n and near[n - 1] in _CLAUSE_BEGINS:
                return True
        if "of" in near[:3] and "because" in before[:5]:
            return True
        return any(t in ("let", "lets", "letting") for t in near[:3])

    def _would_like(self, before: list[str]) -> bool:
        pairs = set(zip(before[1:], before[:-1], strict=False))
        return bool(pairs & {("would", "like"), ("would", "love"), ("looking", "to"), ("about", "to"),
                             ("in", "order"), ("so", "that"), ("happy", "to"), ("was", "going"), ("were", "going")})  # fmt: skip

    def _would_follow(self, phrase: Phrase) -> bool:
        after = [self._text(k) for k in range(phrase.end, phrase.end + 2)]
        return after[:1] == ["would"] or after[:1] == ["could"]

    def _supposed(self, before: list[str]) -> bool:
        if any(t in SUPPOSED for t in before):
            return True
        joined = " " + " ".join(reversed(before)) + " "
        return bool(_SAY.search(joined)) or any(p in joined for p in ("in case", "what happens after", "when black", "when white", "when he"))  # fmt: skip

    def _spoken_against(self, end: int, before: list[str]) -> bool:
        """Whether a question is answered with a reason or a no: "why not take? Because ..."."""
        asked = set(pairwise(reversed(before)))
        answers = _BECAUSE if ("why", "not") in asked else frozenset()
        if asked & _ASKED_ABOUT:
            answers = _BECAUSE | {"no", "nope"}
        for k in range(end, min(end + _ANSWERED_WITHIN, len(self.lexicon.tokens))):
            if self._text(k) in answers:
                return "no" not in answers or self.lexicon.tokens[k - 1].asked
            if is_square(self._text(k)) or self._text(k) in PIECES:
                return False
        return False

    def _side(self, phrase: Phrase, reach: int) -> tuple[str, str]:
        """The side said to move, and the side the phrase's own piece is given ("the white knight")."""
        first = phrase.first
        after = self._text(phrase.end)
        if after in ("from", "by"):
            colour = self.lexicon.colour(phrase.end + 1)
            if colour and colour[1] == 0 and self._text(phrase.end + 1) in ("white", "black"):
                return colour[0], ""
        for back in range(1, min(reach, 8) + 1):
            k = first - back
            colour = self.lexicon.colour(k)
            if colour is None or colour[1] > 1.0:
                continue
            if self._text(k - 1) in ("for", "against", "of", "than", "gives", "give"):
                if back > 1 and self._text(k - 1) == "for" and self._text(k + 1) == "to":
                    return colour[0], ""
                continue
            if back > 1 and self._of_another(k):
                continue
            if back == 1:
                return colour[0], colour[0] if phrase.spec.pieces else ""
            if self.lexicon.pieces(k + 1) and self.lexicon.pieces(k + 1)[0][1] < 1:
                continue
            if self._text(k).endswith("'s") and self._text(k + 1) not in _MOVE_NOUNS:
                continue
            return colour[0], ""
        return "", ""

    def _of_another(self, colour: int) -> bool:
        """Whether a side is somebody's, and somebody else does something then: "I had Black he ...".

        In captions without stops the side ends what was said before.
        """
        having = colour - (self._text(colour - 1) == "the") - 1
        after = self._text(colour + 1)
        who = [self._text(k) for k in (having - 1, having - 2) if self._text(k) in PERSONS]
        return self._text(having) in _HAVING and after in PERSONS and bool(who) and after not in who

    def _plainly(self, first: int, side: str) -> bool:
        """Whether only words of moving stand between a side and the phrase."""
        after = self._text(first)
        for back in range(1, 9):
            k = first - back
            text = self._text(k)
            colour = self.lexicon.colour(k)
            if colour is not None and colour[0] == side and colour[1] <= 1.0:
                return not (back > 1 and text.endswith("s") and not text.endswith("'s"))
            if self.lexicon.tokens[k + 1].gap >= 0.3 and after not in ("and",):
                return False
            by_what = 1 < back < 4 and self._text(first - 1) == "with"  # "kicks us with g4"
            if text not in PLAYED and text not in MODAL and text not in _BETWEEN and not by_what:
                return False
        return True

    def _static(self, phrase: Phrase, before: list[str]) -> bool:
        """Whether the phrase names a place rather than a move."""
        if phrase.form is Form.PLACED:
            return not any(t in PLACING for t in before[:4])
        if phrase.form is not Form.SQUARE:
            return False
        if self._part_of_square(phrase.first):
            return False
        one = before[0] if before else ""
        if one in _STRANDED and COMMA <= self.lexicon.tokens[phrase.first].gap <= 0.35:
            return False  # "the moment we have been waiting for, b4"
        two = before[1] if len(before) > 1 else ""
        if one == "with" and two in (
            "help",
            "helps",
            "along",
            "deal",
            "dealing",
            "reckon",
            "ideas",
        ):
            return True
        if one in STATIC_BEFORE or (
            one in ("the", "his", "that", "this", "an", "both", "like")
            and two not in ("move", "plays")
        ):
            return True
        if one == "on":
            return True
        if one == "to" and two in (
            "tied",
            "access",
            "pressure",
            "go",
            "got",
            "get",
            "way",
            "close",
            "lead",
            "leads",
        ):
            return True
        return one == "and" and any(is_square(t) or t in STATIC_BEFORE for t in before[1:4])

    def _part_of_square(self, first: int) -> bool:
        """Whether the words before are a square misheard: "ee for" is e4, not "for"."""
        return any(g.end == first and g.price < 2.5 for g in self.lexicon.squares(first - 2)) and (
            self._text(first - 1) in ("for", "to", "too", "fore")
        )

    def _wider(self, cues: Cues, phrase: Phrase, since: list[str], last_end: int) -> Cues:
        first = phrase.first
        joined = " " + " ".join(since) + " "
        gaps = [self.lexicon.tokens[k].gap for k in range(last_end, first + 1)]
        begins = max(gaps, default=0.0)
        if begins < 0.6 and any(t in _OPENERS for t in since):
            begins = 0.6
        if self._unpunctuated and begins < 0.5 and since:
            begins = 0.5  # a full stop may stand anywhere
        if _NEXT_MOVE.search(joined.rstrip()):
            begins = 0.0
        behind = self._number_behind(phrase.end)
        return replace(
            cues,
            alternative=max(_alternative(since[-18:]), self._counted(first, last_end), int(self._concludes(first, last_end)),
                            self._called_other(phrase.end)),
            either=(bool(since) and since[-1] == "or") or self._is_the_other(first, last_end),
            instead_of=_instead_of(since),
            board_of=bool(_WHERE_PLAYED.search(joined)),
            back=2 if any(p in joined for p in _GOING_BACK) or _HAD_PLAYED.search(joined) else max(
                self._back(first, last_end), int(self._at_again(phrase)), int(self._since_castled(phrase)), int(behind > 0)),
            main=bool(_THE_GAME.search(joined)) or self._concludes(first, last_end) or any(p in joined for p in (" main line", " main game", " our game", " our line", " main variation", " our position", " real game", " actual game", " main move")),
            start=any(p in joined for p in (" the beginning", " the start ", " starting position", " initial position", " start again", " start over", " starting again", " move one ", " from scratch", " all back ", " everything back ", " from the top ", " fresh board ", " set it up again", " set up the board", " set them up again", " reset the board", " clear the board", " pieces back ", " new game ")),
            number=self._reached(self._number_before(since, first, last_end)) or behind,
            begins=begins,
        )  # fmt: skip

    def _concludes(self, first: int, last_end: int) -> bool:
        """Whether a sentence says what follows from what the one before supposed.

        "If he takes, we take back. So he pushes": what is done is done on the board of before.
        """
        so = first - 1
        while so > last_end and self._same_sentence(so):
            so -= 1
        if so < last_end or self._same_sentence(so) or self._text(so) != "so":
            return False
        start = so - 1
        while start > 0 and self._same_sentence(start):
            start -= 1
        supposed = any(self._text(k) in _IFS for k in range(start, min(start + 3, so)))
        return supposed and self._text(so + 1) in SUBJECTS

    def _number_before(self, since: Sequence[str], first: int, last_end: int) -> int:
        """The number of a move named since the last one, that of the last one itself left out."""
        on = next((k for k, text in enumerate(since[:3]) if text in ("on", "at")), None)
        if last_end and on is not None and self._number_behind(last_end):
            since = since[on + 3 :]
        elif last_end and since and since[0] in _WAS:
            # "was the move on move two", "is possible, on move four, and it hits the pawn"
            end = self._clause_end(last_end)
            said_of_it = since[end - last_end :][:2] in (["on", "move"], ["at", "move"])
            end = self._clause_end(end) if said_of_it and self._clause_end(end) == end + 3 else end
            since = since[end - last_end :]
        start = first - len(since)
        return _number(since, lambda n: self.lexicon.tokens[start + n].gap < SENTENCE)

    def _clause_end(self, start: int) -> int:
        """The end of the clause that a token stands in, so far as it is marked."""
        tokens = self.lexicon.tokens
        end = start + 1
        while end < len(tokens) and tokens[end].gap < COMMA and tokens[end].text not in _NEW_CLAUSE:
            end += 1
        return end

    def _reached(self, number: int) -> int:
        """The number of a move, or 0 where far too few were told: "the queens come off at move five"."""
        return number if number - 1 <= self._moves else 0

    def _number_behind(self, end: int) -> int:
        """The number of the move that is named behind it: "e3 there on move five"; or 0."""
        on = end
        while self._text(on) in _WHEN:
            on += 1
        texts = [token.text for token in self.lexicon.tokens[on : on + 4]]
        joined = all(token.gap < 0.3 for token in self.lexicon.tokens[end : on + 3])
        return _number(texts) if texts[:1] in (["on"], ["at"]) and joined else 0

    def _counted(self, first: int, last_end: int) -> int:
        """2 where a sentence on the way begins by counting: "Second refusal, d5", "Three. He ...".

        Words such as "two" count only where they stand alone, as the first of some do not at all.
        """
        tokens = self.lexicon.tokens
        for k in range(max(last_end, first - FAR_COUNT), first):
            if tokens[k].gap < 0.9 and k:
                continue
            text, alone = tokens[k].text, tokens[k + 1].gap >= 0.3
            if text in _LATER and (alone or tokens[min(k + 2, first)].gap >= 0.3):
                return 2
            if text in _LATER_NUMBERS and alone and k + 1 < first:
                return 2
            if self._the_last(k, first):
                return 2
            if text == "or" and self._text(k + 1) in WHO:
                return 1
        return 0

    def _the_last(self, k: int, first: int) -> bool:
        """ "And the last, ...", "The other one, ...": what is counted stands alone."""
        k += self._text(k) in ("and", "now", "so")
        if self._text(k) != "the" or self._text(k + 1) not in ("last", "other", "next"):
            return False
        end = k + 2 + (self._text(k + 2) == "one")
        return end < first and self.lexicon.tokens[end].gap >= 0.3

    def _is_the_other(self, first: int, last_end: int) -> bool:
        """ "One is bishop c5. The other is knight f6": a sentence gives one move for another."""
        for k in range(max(last_end, first - NAMED_WITHIN), first):
            if self._text(k) != "the" or self._text(k + 1) != "other":
                continue
            end = k + 2 + (self._text(k + 2) in OTHERS)
            if self._text(end) == "is" and self._text(end + 1) not in _STANDS:
                return self.lexicon.tokens[k].gap >= COMMA and self._gave_one(last_end)
        return False

    def _gave_one(self, last_end: int) -> bool:
        """Whether the move before is one of some that are counted: "one is bishop c5", "two moves"."""
        return any(
            self._text(k) in _ONE_OF for k in range(max(0, last_end - COUNTED_WITHIN), last_end)
        )

    def _called_other(self, end: int) -> int:
        """ "Knight h4 is the other idea", "bishop f5 was perfectly possible"."""
        after = [self._text(k) for k in range(end, end + 5)]
        if after[0] not in ("is", "was", "would", "were") or not self._open_until(end, 4):
            return 0
        rest = after[1:]
        if any(a in _ORDERS and b in _OPTIONS for a, b in pairwise(rest)):
            return 2
        also = any(t in ("also", "perfectly", "equally", "quite", "another") for t in rest[:2])
        return int(also and any(t in _POSSIBLE or t in _OPTIONS for t in rest[1:3]))

    def _open_until(self, first: int, length: int) -> bool:
        tokens = self.lexicon.tokens[first : first + length]
        return bool(tokens) and all(token.gap < 0.6 for token in tokens[:2])

    def _at_again(self, phrase: Phrase) -> bool:
        """ "we're at c3 again", "we are at c3": where the board is, not what it does."""
        before = self._text(phrase.first - 1), self._text(phrase.first - 2)
        return phrase.form is Form.SQUARE and before[0] == "at" and before[1] in _WE_ARE

    def _since_castled(self, phrase: Phrase) -> bool:
        """ "When both have castled", "once White had castled": a board of before, if there is one."""
        if phrase.form is not Form.CASTLING or self._text(phrase.end - 1) != "castled":
            return False
        before = [self._text(k) for k in range(phrase.first - 1, max(phrase.first - 5, -1), -1)]
        had = before[:1] in (["have"], ["has"], ["had"]) or before[:2] in (
            ["just", "had"],
            ["both", "have"],
        )
        return had and any(t in ("when", "once", "after", "where") for t in before)

    def _candidates(self, phrase: Phrase) -> bool:
        """Whether a phrase is one of moves that are only counted up.

        "Queen c7, knight f6, g6 are all possible", "two sensible replies, knight f6 and knight c6".
        """
        k = phrase.end
        while k < phrase.end + LISTED and self._in_list(k):
            k += 1
        if k > phrase.end and self._text(k) in _POSSIBLE and self._text(k - 1) in _ARE_ALL:
            return True
        k = phrase.first
        while k > phrase.first - LISTED and self._in_list(k - 1) and self._same_sentence(k):
            k -= 1
        if not (
            self._same_sentence(k) and self._text(k - 1) in _COUNTS_OF and k < phrase.first + 1
        ):
            return False
        return any(self._text(n) in _SEVERAL for n in range(max(0, k - 4), k - 1))

    def _in_list(self, k: int) -> bool:
        text = self._text(k)
        return text in _LISTING or text in PIECES or is_square(text)

    def _same_sentence(self, k: int) -> bool:
        return 0 < k < len(self.lexicon.tokens) and self.lexicon.tokens[k].gap < 0.9

    def _back(self, first: int, last_end: int) -> int:
        for k in range(max(last_end, first - 30), first):
            if self._text(k) != "back":
                continue
            window = range(max(last_end, k - 4), k)
            if any(self.lexicon.pieces(j) and self.lexicon.pieces(j)[0][1] < 0.6 for j in window):
                continue
            if self._text(k + 1) in ("with", "then", "rank", "row", "in", "down"):
                continue
            if self._text(k - 1) in _A_PIECE_DOES or self._text(k - 2) in _A_PIECE_DOES:
                continue  # "what if he just goes back"
            if any(
                self.lexicon.take(j) < 1 or self._text(j) in ("drops", "dropped", "retreats")
                for j in window
            ):
                continue
            opening = self.lexicon.tokens[k].gap >= 0.3 or k == 0
            verb = self._text(k - 1) in (
                "go",
                "going",
                "let's",
                "come",
                "coming",
                "jump",
                "step",
                "head",
            )
            if verb or (opening and self._text(k + 1) == "to"):
                return 2
            if opening or self._text(k - 1) in _BACKERS or self._text(k + 1) in ("to", "at", "in"):
                return 1
        return 0


NAMED_WITHIN = 6
"""So many words before a move "the other is" may begin."""
OTHERS = words("one move way option choice plan idea try")
_STANDS = words("on at in")
_BE = words("is was would")
COUNTED_WITHIN = 20
"""So many words before the end of a move may say that it is one of some."""
_ONE_OF = words("one first two")
_WHEN = words("there here already right straight away immediately once")
"""Words of time and place between a move and its number."""
_WAS = words("was is were")
_NEW_CLAUSE = words("and but so then now here")
_A_PIECE_DOES = words("goes went comes came drops dropped steps stepped")
SUBJECTS = (WHO - {"you"}) | words("it he's she's i'm we're")
_BETWEEN = words("with by to now then just simply first can will would should has have is also still"
                 " usually normally often always again here at once immediately on the a his her its"
                 " castles best only main usual common move reply answer response most well"
                 " calmly quickly finally in want wants going must needs need could does did"
                 " not never likes decides gets so uh um er 's puts put brings bring goes go from my"
                 " that bishop knight queen rook king pawn out back even instead probably perhaps")  # fmt: skip
_MOVE_NOUNS = words("move reply answer best response main usual next first most only other second"
                    " idea point own favourite choice")  # fmt: skip


_GOING_BACK = (" rewind", " return to ", " returning to ", " again at ", " again after ", " once more after ", "let's go back", "lets go back",
               "let us go back", "take that back", "take it back", "take you back", "take us back", "takes us back", "bring us back")  # fmt: skip
_SHOWN = (
    r"(?:(?:that|which) )?(?:(?:i|we) (?:want|wanted|would like|would love|like|am going|are going|have)"
    r"|(?:i'd|we'd) (?:like|love)|(?:i'm|we're) (?:going|about)) to "
    r"(?:show|teach|give|look at|(?:finish|end|close|start|begin|leave) (?:you |us )?with)(?: (?:you|us))?"
)
_SHOWS = re.compile(rf"(?:(?<= )|^){_SHOWN}(?: |$)")
"""What the teacher does, no player: "the move I want to show you, knight d7"."""
_NEXT_MOVE = re.compile(
    rf" (?:(?:the|our|my|his|her|white's|black's) (?:very )?(?:last|final|next)|one (?:last|final|more)) move(?: {_SHOWN})?"
    r"(?: is| comes| was| here)?$"
)
"""What announces that the line goes on: "and now the last move I want to show you, knight d7"."""
_SAY = re.compile(r"(?<! you)(?<! i)(?<! we)(?<! they)(?<! people)(?<! would)(?<! to) say ")
"""What is supposed ("say he takes"), unlike what somebody says: "Nils, what do you say?"."""
_HAD_PLAYED = re.compile(
    r" (when|once|where|after) (\w+ ){1,2}(had|has|had just|has just) "
    r"(played|gone|moved|castled|taken|pushed|developed|put) (\w+ ){0,2}$"
)
"""A board of before, by the move that led to it."""
_WHERE_PLAYED = re.compile(
    r" back (to |at |in )?((the|that|our) (position|moment|point|place|board|move) )?"
    r"(where|when) (\w+ ){1,2}(had |has )?(just )?"
    r"(played|plays|went|goes|castled|took|takes|put|moved|pushed|developed) $"
)
_OPENERS = words("so now okay but however anyway usually normally then's actually right")
_STANDING = words("stands sits stood is remains stays")
_DEFINITE = words("the this that his her our my your white's black's")
_SOFTENERS = words("if when once will would could can might wants want put get gets bring imagine"
                   " instead after until before to needs need normally with was had going other"
                   " another similar where")  # fmt: skip
_CLAUSE_BEGINS = WHO | (OWNERS - {"its", "their"}) | words("it the a any")
_SUPPORTS = words("supports defends protects guards attacks hits covers overprotects controls")
_POINTS = words("reason problem trouble danger snag catch drawback")
_REASONS = words("because since whereupon")


def takes_another(tokens: Sequence[Token], phrase: Phrase) -> bool:
    """Whether a capture says no more than that one more is taken: "and takes another one"."""
    bare = phrase.form is Form.CAPTURE and not (phrase.spec.says_mover or phrase.spec.says_target)
    behind = [token.text for token in tokens[phrase.end : phrase.end + 2]]
    return bare and behind in (["another", "one"], ["another", "pawn"], ["one", "more"])


def _move_like(phrase: Phrase) -> bool:
    """Whether a phrase is likely a move of its own, so that cues before it end with it."""
    if phrase.form is Form.CAPTURE and phrase.price < 1.0:
        return not phrase.cues.infinitive and not phrase.cues.gerund and not phrase.cues.negated
    if phrase.price > 1.0 or not phrase.spec.full:
        return False
    if phrase.form in (Form.FULL, Form.NOTATION, Form.CASTLING, Form.CAPTURE):
        return not any(price > 1.5 for _, price in phrase.spec.targets)
    return phrase.form is Form.SQUARE and not phrase.cues.static and phrase.spec.targets[0][1] == 0


_HESITATION = words("uh um er erm well like yeah you know i think hmm")
_ME = words("i we i'm i'll we'll we're i've we've i'd we'd my our")
_OF_THE_AUDIENCE = words("know see remember think notice understand imagine guess recall hear")
"""What the audience does rather than a player."""
_YOU = words("you you're you'll you've you'd")
_OTHER = words(
    "he she they he's she's they're he'll she'll they'll he'd opponent opponents his her"
)


def _person(before: list[str]) -> str:
    """Who is the subject just before a phrase, as a pronoun."""
    for n, text in enumerate(before[:6]):
        if text in _YOU:
            if any(later in _OF_THE_AUDIENCE for later in before[max(0, n - 2) : n]):
                continue  # "as you can see"
            return "you"
        possessive = text in ("my", "our", "his", "her")
        if possessive and n > 0:
            continue
        if text in _ME:
            return "me"
        if text in _OTHER:
            return "other"
    return ""


def _ending(before: list[str]) -> set[str]:
    return {
        "ing"
        for t in before[:2]
        if t in ("playing", "castling", "taking", "going", "capturing", "pushing")
    }


def _infinitive(before: list[str], text: str) -> bool:
    """ "to play d5", "to take on d5", "to castle"."""
    if not before:
        return False
    bases = words(
        "play take castle capture push recapture develop move go put bring retreat retake"
    )
    at = next((n for n, t in enumerate(before[:4]) if t in bases), None)
    if text in bases and before[0] == "to":
        return before[1] not in DECIDES if len(before) > 1 else True
    if at is None or len(before) <= at + 1 or before[at + 1] != "to":
        return False
    return not (len(before) > at + 2 and before[at + 2] in DECIDES)


def _negated(before: list[str]) -> bool:
    means = before[:1] == ["with"]
    if before[:2] == ["yet", "not"]:
        return False
    for n, text in enumerate(before[:7]):
        if text in _NEW_CLAUSE:
            return False
        if text in ("right", "no", "instead", "lost", "losing", "lose", "rights", "nothing"):
            if (text == "right" and "to" in before[:n]) or (text == "no" and n <= 1):
                return True
            continue
        if means and not (text in ("not", "never", "cannot") or text.endswith("n't")):
            continue  # "stops that with c4": the move is the means
        if text in NEGATED:
            return True
    return False


_THE_GAME = re.compile(
    r" the game (?!goes|went|continues|is|was|will|can|has|starts|begins|opens|plays) ?"
)
_NEW_CLAUSE = words("if when but then now so because where since after once")


def _alternative(since: list[str]) -> int:
    """ "instead", "another option", "the second way"."""
    pairs = list(zip(since, since[1:], [*since[2:], ""], strict=False))
    taken = {n + 1 for n, text in enumerate(since) if text in TAKES}
    ordered = [
        (a, b)
        for n, (a, b, c) in enumerate(pairs)
        if a in _ORDERS and (b in _OPTIONS or c == "move") and n not in taken
    ]  # what is taken is no option: "takes another one"
    if any(a not in _GOES_ON or b != "move" for a, b in ordered):  # "White's next move" goes on
        return 2
    if any(text in ALTERNATIVE for text in since):
        return 1
    if any((a, b) in _IN_PLACE for a, b, _ in pairs):
        return 1
    if SOME_PLAY.search(" " + " ".join(since[-6:])):
        return 1
    if since[:1] in (["and"], ["or"]) and "there's" in since[1:3]:
        return 1  # "there's knight e5, and there's e3"
    return int(any((a in _BETTER or a + " " + b in _BETTER_PAIRS) and "is" in (b, c)
                   for a, b, c in pairs[-6:]))  # fmt: skip


def _instead_of(since: list[str]) -> bool:
    """ "instead of", "rather than", just before the phrase."""
    tail = [t for t in since[-6:] if t not in _OF_FILLERS]
    return tail[-2:] in (
        ["instead", "of"],
        ["rather", "than"],
        ["apart", "from"],
        ["unlike"],
        ["place", "of"],
    ) or _if_not(since[-9:])


def _if_not(since: list[str]) -> bool:
    """ "what if Black doesn't put the knight on c6": a condition that takes a move back."""
    denied = next((k for k, t in reversed(list(enumerate(since))) if t in _DENIED), None)
    if denied is None or not set(since[max(0, denied - 3) : denied]) & _IFS:
        return False
    return all(t in _OF_FILLERS or t in _DONE for t in since[denied + 1 :])


_COMES = words("comes goes moves jumps hops drops retreats steps returns travels swings")
_THINKS = words("think believe say mean sure that where why how like want before until")
_DENIED = words("doesn't don't didn't doesnt dont didnt")
_IFS = words("if suppose supposing imagine say")
_DONE = words("put play go like want to bring develop place putting bringing developing placing your my"
              " our their her on in for immediately at once here")  # fmt: skip


_IN_PLACE = {("place", "of"), ("rather", "than"), ("why", "not")}
FAR_COUNT = 18
_LATER = words("second third fourth fifth secondly thirdly finally lastly")
_LATER_NUMBERS = words("two three four five six")
_BETTER = words("better stronger safer best simpler sharper")
_BETTER_PAIRS = {"usual one", "main move", "normal one", "usual move", "main one", "popular one",
                 "common one", "right move", "correct move", "best move", "better move"}  # fmt: skip
_OF_FILLERS = words(
    "playing the going white's black's taking moving his her this with move immediate a"
)


def _number(since: Iterable[str], goes_on: Callable[[int], bool] = lambda _: True) -> int:
    """The move number named ("on move five", "at move number 6"), or 0.

    `goes_on` says whether a word stands in the sentence of the one before: "two moves. One is c4"
    names none.
    """
    listed = list(since)
    for n, text in enumerate(listed):
        if text not in ("move", "moves"):
            if (
                text in ORDINALS
                and n + 1 < len(listed)
                and listed[n + 1] == "move"
                and "the" in listed[max(0, n - 2) : n]
            ) and any(t in ("back", "on", "at", "rewind") for t in listed[max(0, n - 5) : n]):
                return ORDINALS[text]
            continue
        rest = [t for t in listed[n + 1 : n + 3] if t != "number"]
        if n + 1 < len(listed) and not goes_on(n + 1):
            continue
        if text == "moves" and rest[:1] == ["one"] and set(rest[1:]) & (OTHERS | _BE):
            continue  # "two moves, one is c4"
        if rest and n and listed[n - 1] not in ("a", "this", "the", "that", "best", "to"):
            if rest[0] in NUMBERS:
                return NUMBERS[rest[0]]
            if rest[0].isdigit() and int(rest[0]) < 80:
                return int(rest[0])
    return 0
