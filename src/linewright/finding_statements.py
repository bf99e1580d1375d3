"""Find the statements of a text and put the verdicts together."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cache
from typing import TYPE_CHECKING

import chess

from linewright.english.phrases import FIRST_MARK, LETTERS, Form, Phrase, gather
from linewright.english.sentences import Sentence, read_sentences
from linewright.judging import (
    Choice,
    Fact,
    Memory,
    Pattern,
    Place,
    Said,
    choices_of,
    compiled,
    decide,
    find_move,
    group_name,
    is_generic,
    named,
    phrases_of,
    piece_choice,
)
from linewright.source import Span

if TYPE_CHECKING:
    from linewright.statements import Family, Link, Verdict

_NUMBER = "N[\ue000-\uf8ff]"
_KINDS = set(LETTERS.values())
_M = "[\ue000-\uf8ff]"
_STARTS = re.compile(
    r"(?:^|(?<= )|(?<=^))(?:[,;:.!?()\[\]—–\"“”]|--|\.{3}|…|and|but|or|so|because|since|as|while|"
    r"whereas|although|though|yet|that|for|where|plus|nor|with|thus|hence|which|who|except) (?!$)"
)
_PREFIX = re.compile(
    r"(?:(?:so|and|but|well|here|yes|no|ok|okay|look|there|then|thus|plus|or|nor|"
    r"i (?:think|believe|would say|am sure|guess)|we (?:see|know|can see|note)|"
    r"you (?:can see|know|see|will notice|will see|may notice|notice)|(?:please )?(?:note|notice|"
    r"remember|observe|see|mind|check|watch|recall)(?: how| that)?|for one thing|in (?:this|the) "
    r"(?:\w+ )?(?:position|moment|end|diagram|line|ending|endgame|middlegame|final position)|"
    r"at (?:this|that) (?:moment|point|stage)|on the (?:other|one) hand|in (?:other words|short|"
    r"addition|return|exchange|compensation|the process|the meantime|reality|truth)|"
    r"at the same time|as a (?:result|consequence)|by contrast|first(?: of all)?|second|finally|"
    r"secondly|to (?:begin|start) with|one thing is clear|what is more|the (?:point|fact|truth|"
    r"problem|trouble|snag|difference|result|reason|good news|bad news|main thing|catch|key|"
    r"drawback|upshot|key point|key fact|downside|upside) is(?: that)?|"
    r"it is (?:clear|obvious|important|worth noting|plain|easy to see|no accident)(?: that)?|"
    r"(?:this|that|which) (?:means|shows)(?: that)?|the \w+ \w+ is that|given|at least|in all|"
    r"all in all|in sum|in total|at (?:club|master|our|this|that|the|your|any|amateur|top|higher|lower|every) level|"
    r"in (?:our club|practice|the collection|our games|my games|club games|tournament games|recent years|master games|"
    r"the meantime|other words|plain words|plain english)|on our level|among \\w+ players|as for material|material wise|objectively|structurally) ?"
    r"(?:, )?)+"
)
_AFTER = re.compile(
    rf"(?:(?:only |right |straight )?after|following|with|by playing|by) "
    rf"((?:[MQ]{_M} ?(?:(?:,|and|then|by|followed by) (?=[MQ]))?)+)(?:, )?(?:but )?"
)
_DOUBT = re.compile(r"\b(?:doubt|deny|denies|wrong|false|myth|lie|untrue|whether|unlikely|idea|"
                    r"impression|hope|claim|afraid|worried|not|never|hardly|so|such|feeling|"
                    r"promise|rumour|mistake|think|pretend|ensure|make sure|danger)\b")  # fmt: skip
_TAIL_BAD = (
    r" (?:in (?:the )?(?:long run|endgame|ending|endings|future|end|two|one|a few|many|most|some|such|"
    r"general|practice|time|due course|N|every|all|other|principle)\b|"
    r"for (?:ever|good|a move|a while)\b|to (?:be|get|have|become)\b|so that|as if|as long as|as soon|"
    r"when |if |unless |until )"
)
_ENDS = re.compile(
    rf"(?!{_TAIL_BAD})(?=(?: ?$| [,;:.!?()\[\]—–\"“”]| --| …| \.\.\.| (?:and|but|or|so|because|since|as|"
    r"while|whereas|although|though|which|who|where|with|in|at|for|from|to|against|due|thanks|despite|"
    r"without|yet|rather|instead|unlike|here|when|plus|whose|on (?:an?|both|either|the)|that|not|nor|"
    rf"after [MQ]{_M})(?: |$)))"
)
"""What may follow a statement: the end, a stop, another clause, or a phrase that adds to it."""

_VERBS = re.compile(
    r"(?:is|are|has|have|can|does|do|may|attacks?|defends?|protects?|pins?|forks?|controls?|hits?|"
    r"guards?|covers?|threatens?|stops?|prevents?|blocks?|eyes|holds|keeps|enjoys|lacks|needs|"
    r"occupies|dominates?|wins|loses|leads|cannot|stands?|sits?|supports?|opens?|gains?|leaves|"
    r"gives|castled|skewers?|targets?|prepares?)\b"
)
_CONDITION = re.compile(r"\b(?:if|unless|when|suppose|imagine|otherwise|whenever|until|once)\b")


@dataclass(frozen=True, slots=True)
class _Match:
    """A pattern that fits at a place: the span in the text and the verdict's fact."""

    start: int
    end: int
    family: str
    fact: Fact
    place: Place
    words: tuple[int, int]
    repair: str = ""


@dataclass(frozen=True, slots=True)
class _Start:
    """A place in a form where a clause may begin, with the board it is about.

    `turned` where "it is not true that" stands before it.
    """

    at: int
    lead: str = ""
    joint: str = ""
    turned: bool = False


def find(
    text: str, at: Callable[[int], Place | None], links: Sequence[Link], families: Sequence[Family]
) -> tuple[Verdict, ...]:
    """The verdicts on the statements of a text. `at` gives the place for an offset."""
    reader = _Reader(text, at, links, families)
    verdicts: list[Verdict] = []
    for sentence in read_sentences(text):
        verdicts.extend(reader.read(sentence))
    return tuple(verdicts)


class _Reader:
    """Reads a text sentence by sentence and remembers what it spoke of."""

    def __init__(
        self,
        text: str,
        at: Callable[[int], Place | None],
        links: Sequence[Link],
        families: Sequence[Family],
    ) -> None:
        self.text = text
        self.at = at
        self.links = links
        self.memory = Memory()
        self.patterns = _sorted_patterns(tuple(families))

    def read(self, sentence: Sentence) -> list[Verdict]:
        links = [link for link in self.links if link[0] < sentence.span.end]
        bare, full = gather(sentence.tokens, links)
        found: list[_Match] = []
        place = self.at(sentence.span.start)
        alone = (
            sentence.asks
            or sentence.reports
            or (sentence.supposes and not (place and place.imagined))
        )
        end = self._asserted_until(bare, sentence) if alone else len(self.text) + 1
        if place and end > sentence.span.start:
            forms = ((full, True), (bare, False))
            for form, is_full in forms:
                listed = self.patterns[is_full, False]
                found.extend(m for m in self._clauses(form, sentence, listed) if m.words[1] <= end)
            found = _best(found)
            for form, is_full in forms:
                for match in self._nouns(form, sentence, self.patterns[is_full, True]):
                    if match.words[1] <= end and not _overlaps(match, found):
                        found.append(match)
        self._remember(full, sentence.span.end)
        return [self._verdict(m) for m in sorted(found, key=lambda m: m.words)]

    def _asserted_until(self, form: Form, sentence: Sentence) -> int:
        """Where the part of a sentence that stands before a condition ends, if there is one."""
        if sentence.asks or sentence.reports:
            return -1
        condition = _CONDITION.search(form.text)
        if not condition:
            return -1
        cut = [
            m.start() for m in re.finditer(r" (?:[;:—–]|, (?:but|and|so|yet|although|though) )",
                                           form.text[: condition.start()])
        ]  # fmt: skip
        return _offset(form, cut[-1]) if cut else -1

    # --- clauses -----------------------------------------------------------------------------

    def _clauses(
        self, form: Form, sentence: Sentence, patterns: Sequence[_Listed]
    ) -> Iterator[_Match]:
        shifts: list[chess.Board | str] = []
        subject = verb = ""
        taken = 0
        ends = _ends(form.text)
        for start in self._starts(form):
            if start.at < taken and start.joint not in {"and", "or", ",", "but"}:
                continue
            begin, moved, shift = self._shifted(form, start.at, shifts)
            if moved:
                shifts = [shift] if shift is not None else []
            prefix = _PREFIX.match(form.text, begin)
            if prefix and _negated(form, begin, prefix.end() - 1):
                prefix = None
            begins = [begin, prefix.end()] if prefix and prefix.end() > begin else [begin]
            if prefix:
                late, moved, shift = self._shifted(form, prefix.end(), shifts)
                if moved:
                    shifts = [shift] if shift is not None else []
                    begins.append(late)
            leads = [""]
            if subject and start.joint in {"and", "or", ",", "but", "which", "who", "that", "yet"}:
                lead = subject
                if start.joint in {"which", "who", "that"}:
                    lead = _before(form, start.at) or ""
                if lead and _VERBS.match(form.text, begins[-1]):
                    leads.append(f"{lead} ")
                elif lead and verb and start.joint != ",":
                    leads.append(f"{lead} {verb} ")
            gap = re.match(rf"(S{_M}) (?=the |a |an |{_NUMBER}|no )", form.text[begins[-1] :])
            if gap and verb and subject != gap[1]:
                begins.append(begins[-1] + gap.end())
                leads = ["", f"{gap[1]} {verb} "]
            best = self._at_start(form, sentence, begins, leads, ends, shifts, patterns, start.turned)
            if best:
                yield best[0]
                taken = best[1]
                subject, verb = _subject_of(form, begins, best) or (subject, verb)
            else:
                first = re.match(
                    rf"([SPM]{_M})(?: (is|are|has|have|can))?", form.text[begins[-1] :]
                )
                if first:
                    subject, verb = first[1], first[2] or ""

    def _starts(self, form: Form) -> list[_Start]:
        starts = [_Start(0)]
        for match in _STARTS.finditer(form.text):
            joint = match[0].strip()
            if joint == "that":
                before = re.split(r"[,;:.] ", form.text[: match.start()])[-1]
                denied = _denied(form, before, match.start())
                if denied is not None:
                    starts.append(_Start(match.end(), joint=joint, turned=denied))
                    continue
                if _DOUBT.search(before) or _negated(
                    form, match.start() - len(before), match.start()
                ):
                    if not re.match(rf"[SP]{_M}$", before.strip()[-2:]):
                        continue
            starts.append(_Start(match.end(), joint=joint))
        return starts

    def _shifted(
        self, form: Form, at: int, shifts: Sequence[chess.Board | str]
    ) -> tuple[int, bool, chess.Board | str | None]:
        """Past "after Nd4", with the board after it (or what is wrong with it)."""
        match = _AFTER.match(form.text, at)
        if not match or (match[0].startswith(("with", "by")) and "Q" in match[1]):
            return at, False, None
        place = self.at(_offset(form, match.end() - 1)) or self.at(_offset(form, at))
        if place is None:
            return at, False, None
        moves = [
            form.phrases[ord(c) - FIRST_MARK] for c in match[1] if FIRST_MARK <= ord(c) <= 0xF8FF
        ]
        return match.end(), True, board_after(place.board, moves)

    def _at_start(
        self,
        form: Form,
        sentence: Sentence,
        begins: Sequence[int],
        leads: Sequence[str],
        ends: Sequence[int],
        shifts: Sequence[chess.Board | str],
        patterns: Sequence[_Listed],
        turned: bool = False,
    ) -> tuple[_Match, int, re.Match[str]] | None:
        candidates = []
        for begin in dict.fromkeys(begins):
            for lead in leads:
                rest = f"{lead}{form.text[begin:]}" if lead else form.text
                for listed in patterns:
                    if not listed.fits(rest if lead else form.text):
                        continue
                    if lead:
                        moved = [e - begin + len(lead) for e in ends]
                        match = listed.match(rest, 0, moved)
                    else:
                        match = listed.match(rest, begin, ends)
                    if match:
                        if sentence.general and not listed.pattern.usual:
                            continue
                        candidates.append(
                            (match.end() - len(lead), -begin, listed, match, lead, begin)
                        )
        candidates.sort(key=lambda c: (c[0] if not c[4] else c[0] + c[5], c[1]), reverse=True)
        for end, _, listed, match, lead, begin in candidates:
            stop = end + begin if lead else end
            made = self._judged(form, listed, match, begin, stop, shifts, turned)
            if made:
                return made, stop, match
        return None

    # --- noun phrases ------------------------------------------------------------------------

    def _nouns(
        self, form: Form, sentence: Sentence, patterns: Sequence[_Listed]
    ) -> Iterator[_Match]:
        if sentence.general:
            return
        for listed in patterns:
            if not listed.fits(form.text):
                continue
            for match in listed.finditer(form.text):
                before = form.text[: match.start()]
                if match.start() and form.text[match.start() - 1] != " ":
                    continue
                if not re.match(r"$|[ ,;:.!?)]", form.text[match.end() :]):
                    continue
                if _negated(form, match.start() - 6, match.end()) or _FUTURE.search(before):
                    continue
                made = self._judged(form, listed, match, match.start(), match.end(), [], False)
                if made:
                    yield made

    # --- verdicts ----------------------------------------------------------------------------

    def _judged(
        self,
        form: Form,
        listed: _Listed,
        match: re.Match[str],
        begin: int,
        stop: int,
        shifts: Sequence[chess.Board | str],
        turned: bool,
    ) -> _Match | None:
        start, end = _offset(form, begin), _end_offset(form, stop)
        place = self.at(end - 1) or self.at(start)
        if place is None:
            return None
        later = re.match(rf" after ((?:[MQ]{_M} ?)+)(?=$|[ ,;:.!?)])", form.text[stop:])
        board: chess.Board | str | None = shifts[0] if shifts else None
        if later:
            moves = [form.phrases[ord(c) - FIRST_MARK] for c in later[1] if ord(c) >= FIRST_MARK]
            board = board_after(place.board, moves)
        if isinstance(board, str):
            return _Match(start, end, listed.family, Fact(None, board), place, (start, end))
        if board is not None:
            place = replace(place, board=board)
        phrases = phrases_of(match, form)
        if any(p.start == start and is_generic(p) for p in phrases.values()):
            return None
        memory = self._memory_at(form, start, place)
        choices = choices_of(phrases, place, memory)
        if choices is None:
            return None
        negated = _negated(form, begin, stop) ^ listed.pattern.against ^ turned
        said = Said(
            place,
            {},
            {group_name(k): v for k, v in match.groupdict().items() if v and v[0] not in _KINDS},
            phrases,
            negated,
            any(begin <= h <= stop for h in form.hedged),
            self.text[start:end],
            listed.pattern.telling_not,
        )
        fact = decide(listed.pattern.judge, said, choices)
        if fact is None:
            return None
        fact = _turned(fact, negated)
        offer, repair = ("", "")
        if fact.true is False:
            offer, repair = self._near(listed.pattern, said, choices, phrases, negated)
            fact = replace(fact, offer=fact.offer or offer)
        return _Match(start, end, listed.family, fact, place, (start, end), repair)

    def _near(
        self,
        pattern: Pattern,
        said: Said,
        choices: dict[str, Choice],
        phrases: dict[str, Phrase],
        negated: bool,
    ) -> tuple[str, str]:
        """A near reading that holds: the other side, the file beside."""
        for name, choice in choices.items():
            if len(choice.values) != 1 or choice.unsure:
                continue
            for value, words in _neighbours(name.rstrip("0123456789"), choice.values[0]):
                other = {**choices, name: Choice((value,))}
                fact = decide(pattern.judge, replace(said, values={}), other)
                if fact and _turned(fact, negated).true and fact.offer != "<missing>":
                    phrase = phrases[name]
                    old = self.text[phrase.start : phrase.end]
                    new = words if old.lower() in {"white", "black"} else ""
                    return (
                        f"it holds of {words}",
                        f"{phrase.start}:{phrase.end}:{new}" if new else "",
                    )
        return "", ""

    def _memory_at(self, form: Form, start: int, place: Place) -> Memory:
        """What has been spoken of up to a place."""
        memory = Memory(self.memory.side, self.memory.it, self.memory.move)
        _note(form, memory, start, place)
        return memory

    def _remember(self, form: Form, end: int) -> None:
        place = self.at(max(end - 1, 0))
        if place is not None:
            _note(form, self.memory, end, place)

    def _verdict(self, match: _Match) -> Verdict:
        from linewright.statements import Answer, Statement, Verdict

        start, end = match.words
        words = self.text[start:end].strip()
        answer = Answer.CANNOT_TELL
        if match.fact.true is not None:
            answer = Answer.HOLDS if match.fact.true else Answer.FAILS
        repair = ""
        if match.repair:
            first, last, new = match.repair.split(":")
            repair = self.text[start : int(first)] + new + self.text[int(last) : end]
        offer = "" if match.fact.offer == "<missing>" else match.fact.offer
        return Verdict(
            Statement(Span(start, end), words, match.family),
            answer,
            match.fact.because,
            match.fact.squares,
            match.fact.arrows,
            offer if answer is Answer.FAILS else "",
            repair,
            match.place.board.fen(),
        )


_FUTURE = re.compile(r"\b(?:will|would|shall|could|might|should|want|wants|hopes|going to|get|gets|"
                     r"create|creates|create|creating|make|makes|avoid|avoids|without|accept|"
                     r"accepts|leave|leaves|obtain|win|was|were|had|did|about|like|than|no|"
                     r"play against|how|lesson|chapter|called|become|becomes)\b[^,;:.]*$")  # fmt: skip


_GUARD = re.compile(r"\(\?!((?:[^()]|\((?:[^()]|\([^()]*\))*\))*)\)$")


class _Listed:
    """A pattern with its family and the words that must stand in a text for it to fit.

    What must not follow (a negative look-ahead at the end of the template) is kept apart, as the
    match itself ends where a clause may end.
    """

    __slots__ = ("_guard", "_keys", "_template", "family", "pattern")

    def __init__(self, family: str, pattern: Pattern) -> None:
        self.family = family
        self.pattern = pattern
        guard = _GUARD.search(pattern.template)
        self._guard = guard[1] if guard else ""
        self._template = pattern.template[: guard.start()] if guard else pattern.template
        self._keys = needed_words(self._template)

    def fits(self, text: str) -> bool:
        return all(any(word in text for word in words) for words in self._keys)

    def match(self, text: str, begin: int, ends: Sequence[int]) -> re.Match[str] | None:
        """The longest match from `begin` to one of the ends."""
        regex = compiled(self._template)
        if regex.match(text, begin) is None:
            return None
        for end in ends:
            if end <= begin:
                break
            match = regex.fullmatch(text, begin, end)
            if match and not (self._guard and compiled(self._guard).match(text, end)):
                return match
        return None

    def finditer(self, text: str) -> Iterator[re.Match[str]]:
        """All matches, wherever they stand."""
        return compiled(self.pattern.template).finditer(text)


def needed_words(template: str) -> list[frozenset[str]]:
    """Sets of words: of each, one must stand in any text the template fits.

    >>> [sorted(words) for words in needed_words(r"{side} (?:has|have) (?:a )?(?:red|blue) hat")]
    [['has', 'have'], ['blue', 'red'], ['hat']]
    """
    found: list[frozenset[str]] = []
    for part, optional in _top_parts(template):
        if optional:
            continue
        if not part.startswith("("):
            plain = re.sub(r"\{\w+\}|\[[^]]*\]|\\.|.[?*]", " ", part)
            found.extend(frozenset([w]) for w in re.findall(r"[a-z]{3,}", plain))
        elif not part.startswith(("(?!", "(?<", "(?=")) or part.startswith("(?P<"):
            inner = re.sub(r"^\((?:\?:|\?P<\w+>)?", "", part)[:-1]
            choices = [_longest(needed_words(choice)) for choice in _choices(inner)]
            if all(choices):
                found.append(frozenset().union(*choices))
    return found


def _longest(sets: list[frozenset[str]]) -> frozenset[str]:
    return max(sets, key=lambda words: min(map(len, words)), default=frozenset())


def _choices(text: str) -> list[str]:
    """The alternatives of a group, split at its own bars."""
    found, depth, start = [], 0, 0
    for at, char in enumerate(text):
        depth += (char in "([") - (char in ")]")
        if char == "|" and depth == 0:
            found.append(text[start:at])
            start = at + 1
    return [*found, text[start:]]


def _top_parts(template: str) -> Iterator[tuple[str, bool]]:
    """The groups of a template and the text between them; whether each may be missing."""
    if len(_choices(template)) > 1:
        return
    depth = start = 0
    for at, char in enumerate(template):
        if char == "(" and template[at - 1 : at] != "\\":
            if depth == 0:
                yield template[start:at], False
                start = at
            depth += 1
        elif char == ")" and template[at - 1 : at] != "\\":
            depth -= 1
            if depth == 0:
                optional = template[at + 1 : at + 2] in {"?", "*"}
                yield template[start : at + 1], optional
                start = at + 1
    yield template[start:], False


@cache
def _sorted_patterns(families: tuple[Family, ...]) -> dict[tuple[bool, bool], list[_Listed]]:
    """The patterns by (matched against the full form, noun phrase)."""
    found: dict[tuple[bool, bool], list[_Listed]] = {
        (full, noun): [] for full in (True, False) for noun in (True, False)
    }
    for family in families:
        for pattern in family.patterns:
            found[pattern.full, pattern.noun].append(_Listed(family.name, pattern))
    return found


def board_after(board: chess.Board, moves: Sequence[Phrase]) -> chess.Board | str:
    """The board after the moves named, or what is wrong with them.

    Moves that are the last ones played, or were played before in this order, lead to the board
    after them; others are played on this board.
    """
    current = board.copy()
    for index, phrase in enumerate(moves):
        token = phrase.moves[0] if phrase.moves else None
        san = token.text if token else phrase.squares[0]
        number = token.number if token else None
        black = token.black if token else None
        if index and (move := _playable(current, san)):
            current.push(move)
            continue
        played = find_move(current, san, number, black)
        if played is None:
            return f"{san} is not possible here"
        current = played.after
    return current


def _playable(board: chess.Board, san: str) -> chess.Move | None:
    try:
        return board.parse_san(san)
    except ValueError:
        return None


def _turned(fact: Fact, negated: bool) -> Fact:
    if fact.true is None or fact.offer == "<missing>" or not negated:
        return fact
    return replace(fact, true=not fact.true)


def _neighbours(kind: str, value: object) -> Iterator[tuple[object, str]]:
    if kind in {"side", "whose"} and isinstance(value, bool):
        yield not value, named(not value)
    elif kind == "file" and isinstance(value, int):
        for file in (value - 1, value + 1):
            if 0 <= file < 8:
                yield file, f"the {'abcdefgh'[file]}-file"


def _negated(form: Form, start: int, end: int) -> bool:
    return sum(start <= n <= end for n in form.negated) % 2 == 1


def _offset(form: Form, place: int) -> int:
    """The offset in the text of a place in a form."""
    index = max((i for i, at in enumerate(form.at) if at <= place), default=0)
    return form.items[index].start if form.items else 0


def _end_offset(form: Form, place: int) -> int:
    index = max((i for i, at in enumerate(form.at) if at < place), default=0)
    return form.items[index].end if form.items else 0


def _before(form: Form, at: int) -> str:
    """The last phrase before a place that can be a subject."""
    found = re.findall(rf"[SPM]{_M}", form.text[:at])
    return found[-1] if found else ""


def _denied(form: Form, before: str, end: int) -> bool | None:
    """Whether "it is (not) true that" stands there, and if so whether it denies."""
    match = re.search(
        r"\bit is (?:quite |simply )?(true|the case|correct|right|a fact|false|wrong|untrue)"
        r"(?: to say)? ?$",
        before,
    )
    if not match:
        return None
    wrong = match[1] in {"false", "wrong", "untrue"}
    return wrong ^ _negated(form, end - len(match[0]), end)


def _ends(text: str) -> list[int]:
    """The places where a statement may end, last first."""
    return [m.start() for m in _ENDS.finditer(text)][::-1]


def _subject_of(
    form: Form, begins: Sequence[int], best: tuple[_Match, int, re.Match[str]]
) -> tuple[str, str] | None:
    first = re.match(rf"(?:the |both |all )?([SPM]{_M})(?: (is|are|has|have|can))?", best[2][0])
    return (first[1], first[2] or "") if first else None


def _overlaps(match: _Match, others: Sequence[_Match]) -> bool:
    return any(match.words[0] < o.words[1] and o.words[0] < match.words[1] for o in others)


def _best(found: Sequence[_Match]) -> list[_Match]:
    """Matches that do not overlap, longer ones first."""
    kept: list[_Match] = []
    for match in sorted(found, key=lambda m: (m.words[0] - m.words[1], m.words[0])):
        if not _overlaps(match, kept):
            kept.append(match)
    return kept


def _note(form: Form, memory: Memory, until: int, place: Place) -> None:
    """Remember the sides and pieces a form names before an offset."""
    for phrase in form.phrases:
        if phrase.start >= until:
            break
        if phrase.who in {"white", "black"}:
            memory.side = phrase.who == "white"
        if phrase.kind == "piece" and phrase.determiner != "it" and not phrase.parts:
            choice = piece_choice(phrase, place, memory)
            if choice and choice.values and (not choice.unsure or len(choice.values) <= 2):
                memory.it = choice.values
        elif phrase.kind == "move":
            token = phrase.moves[0]
            played = find_move(place.board, token.text, token.number, token.black)
            if played:
                memory.it = (played.move.to_square,)
                memory.move = played
