"""A talk understood: its lines with words and times, slips, questions, caption corrections.

`hear` turns a transcript into a `Heard`: nothing is invented, every move carries the words and
the time it came from, or says that it was not said.
"""

from __future__ import annotations

import itertools
import re
from bisect import bisect_left
from collections import Counter
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

import chess

from linewright._core import OpeningBook
from linewright.finding import Finding, Severity
from linewright.moves import PIECE_NAMES
from linewright.names import find_names, names_at
from linewright.source import Span
from linewright.talk.afterthoughts import afterthoughts
from linewright.talk.answered_moves import (
    asides_among,
    keeps_line,
    kinds_of_lines,
    with_asides,
    with_kinds_of,
    with_ways_back,
)
from linewright.talk.answers import (
    Answers,
    followed,
    is_answered,
    is_told,
    with_confirmed,
    without_answered,
    without_refused,
)
from linewright.talk.answers_followed import heard_with
from linewright.talk.aptness import Spot
from linewright.talk.as_played import said_to_be_main, with_what_was_played
from linewright.talk.asked_of_class import with_kinds_asked
from linewright.talk.clauses import Goes, likely, with_clauses
from linewright.talk.cues import CueReader
from linewright.talk.decoder import (
    Decoder,
    Event,
    Kind,
    Mode,
    Understood,
    events_of,
    whose,
    whose_you,
)
from linewright.talk.doubts import Doubt, asked_once
from linewright.talk.heard_names import misheard_names
from linewright.talk.imagined import Imagined, edited, imagined_boards, named_on_them
from linewright.talk.language import Text, read
from linewright.talk.lines_left import leads_back, told_elsewhere, ways_back_to
from linewright.talk.listed_men import two_on_a_square
from linewright.talk.mends import answers_in_captions, as_meant, with_mends
from linewright.talk.mentions import spoken_of
from linewright.talk.misheard import Candidate, Ear, bare_words
from linewright.talk.misheard_model import Sorts, sorts
from linewright.talk.needed_words import needed_words
from linewright.talk.persons import club_of, teacher_of
from linewright.talk.phrases import Parser
from linewright.talk.players import introduced_at, names_of_players, players, with_sides
from linewright.talk.record import (
    ONLY_TALK,
    CaptionChange,
    Heard,
    HeardLine,
    HeardMove,
    HeardSlip,
    Question,
    Said,
    Turn,
    WhatIf,
)
from linewright.talk.retold import with_retold
from linewright.talk.said import Form, Phrase
from linewright.talk.slip_sides import with_sides_as_said
from linewright.talk.slips import TELLS_A_MOVE, TELLS_NO_MOVE, SlipFinder
from linewright.talk.sounding_names import (
    is_spelling_of,
    kinds_after_names,
    kinds_behind,
    misspelt_names,
    name_words,
    names_before_kinds,
    sounding_names,
)
from linewright.talk.sureness import FARTHEST, doubtful_words, sure_slip, sure_unsaid
from linewright.talk.taken_back import without_taken_back
from linewright.talk.taken_up import told_on_the_main_line
from linewright.talk.telling import MOST, Models, tell
from linewright.talk.transcript import Transcript
from linewright.talk.tries import with_tries
from linewright.talk.usual import Usual, catalogue_line
from linewright.talk.vocabulary import (
    ARTICLES,
    DIGITS,
    FILES,
    OWNED,
    PIECES,
    SENTENCE,
    Lexicon,
    Token,
    is_square,
    tokenise,
)
from linewright.talk.warned import with_what_is_warned_of

FIRST_BEAM = 60
"""A quick first hearing tells whom the speaker calls "I"."""

MOVE_SURELY = 2.0
"""So much is asked of a move in place of one that is written."""

SURELY_NO_MOVE = -2.0
"""Below these, no misheard word is put right for a move."""

FITS_WELL = 3.0
"""Words that mean a move at less than this (in price) are put right, however ordinary."""

ASK_UNSAID_BELOW = 0.5
"""Moves that nobody said and that are less sure than this are shown to the teacher as a question."""

ASK_BELOW = 1.3
"""Readings nearer than this (in price) are shown to the teacher as a question."""

JUST_TOLD = 4
"""So many words may stand between a move and the square it went to."""

MOST_CHOICES = 4
"""So many readings at most are offered to choose from; any other move may be written."""


def hear(
    transcript: Transcript,
    counts: Usual | None = None,
    answers: Mapping[str, str] | None = None,
) -> Heard:
    """What a talk says, move by move.

    `answers` are the teacher's answers to earlier questions: place (as in the script's head) to a
    move or "only talk". `counts` may say how often moves are played (a collection's tally). A transcript that is not
    about chess, or not English, gives an empty result; its findings say why.

    **Cost**: about 2 s of CPU for ten minutes of talk, with answers up to three times as much; more
    than in proportion for longer ones (a minute for an hour).
    """
    if transcript.refused:
        return Heard(transcript, (), {}, (), (), (), (), ())
    return hear_reading(Reading.of(transcript), counts, answers)


def hear_reading(
    reading: Reading,
    counts: Usual | None = None,
    answers: Mapping[str, str] | None = None,
    weights: Mapping[str, float] | None = None,
) -> Heard:
    """As `hear`, of a talk taken apart before, perhaps with other prices than the fitted ones."""
    known = {**answers_in_captions(reading.transcript), **(answers or {})}
    return with_mends(
        heard_with(known, lambda kept: _Hearing(reading, counts, kept, weights).heard())
    )


def hear_names(
    reading: Reading, weights: Mapping[str, float] | None = None
) -> tuple[Heard, tuple[Spot, ...]]:
    """As `hear_reading`, without the slips in what is named, and all that is named, to learn from."""
    hearing = _Hearing(reading, None, {}, weights)
    heard = hearing.heard(named=False)
    return heard, tuple(hearing.slips.names.spots(heard))


def hear_misheard(reading: Reading, told: Sorts) -> tuple[Heard, tuple[Candidate, ...]]:
    """As `hear_reading`, without what only the sorts of words tell misheard, and all that words may
    stand for by these sorts, to learn from."""
    hearing = _Hearing(reading, None, {}, None)
    heard = hearing.heard(misheard=False)
    return heard, tuple(hearing.ear(heard, heard.caption_changes, told).candidates())


def spoken(transcript: Transcript) -> list[tuple[str, str, float]]:
    """Words with the punctuation after them and the pause before them in seconds."""
    out: list[tuple[str, str, float]] = []
    before = None
    for word in transcript.words:
        pause = 0.0
        if before is not None and word.start_ms is not None and before.end_ms is not None:
            pause = (word.start_ms - before.end_ms) / 1000
        out.append((word.text, word.mark, pause))
        before = word
    return out


def themes(text: str) -> list[tuple[str, ...]]:
    """The lines of the openings that a text names."""
    from linewright.names import rows_meant

    lines: list[tuple[str, ...]] = []
    for found in find_names(text):
        if not found.certain or "castles" in found.meant:
            continue
        rows = [catalogue_line(slug) for slug in rows_meant(found.meant)]
        lines.extend(sorted((row for row in rows if row), key=lambda row: (len(row), row))[:2])
    return lines


@dataclass(frozen=True, slots=True)
class Reading:
    """A talk taken apart: what its words may stand for, before a board is looked at."""

    transcript: Transcript
    tokens: tuple[Token, ...]
    text: Text
    lexicon: Lexicon
    phrases: dict[int, list[Phrase]]
    theme: list[tuple[str, ...]]
    book: OpeningBook | None = None
    names: Mapping[str, str] = field(default_factory=dict)
    """The name of the player of each side that is named."""
    teacher: str = ""
    club: str = ""
    introduced: int = 0
    """The word at which the talk first tells who has which side."""

    @classmethod
    def of(
        cls,
        transcript: Transcript,
        telling: Models | None = None,
        book: OpeningBook | None = None,
        goes: Goes | None = None,
    ) -> Reading:
        """The reading of a transcript; `telling`, `book` and `goes` are other than those that ship.

        **Cost**: 0.4 s for ten minutes of talk.
        """
        tokens = as_meant(transcript, tokenise(spoken(transcript)))
        names, teacher, club = names_of_players(tokens), teacher_of(tokens), club_of(tokens)
        introduced = introduced_at(tokens)
        lexicon = Lexicon.of(with_sides(tokens, players(tokens)))
        tokens = without_taken_back(lexicon)
        if len(tokens) < len(lexicon.tokens):
            lexicon = Lexicon.of(tokens)
        imagined = list(imagined_boards(lexicon))
        told = [*imagined, *named_on_them(lexicon, imagined)]
        parsed = without_before(lexicon, Parser(lexicon).phrases(told))
        phrases = with_clauses(lexicon, parsed, goes)
        phrases = CueReader(lexicon).read(phrases)
        text = read(tokens)
        phrases = with_retold(tokens, spoken_of(tokens, tell(tokens, text, phrases, telling)))
        phrases = with_tries(lexicon, phrases)
        theme = themes(transcript.text)
        return cls(
            transcript, tokens, text, lexicon, phrases, theme, book, names, teacher, club, introduced
        )  # fmt: skip


def without_before(
    lexicon: Lexicon, phrases: Mapping[int, Sequence[Phrase]]
) -> dict[int, list[Phrase]]:
    """The phrases without those that read b4 in "before knight g5".

    A recogniser writes "before" for b4 behind a piece; a piece behind it is one of the move that the
    talk goes back before.
    """

    def tells_time(phrase: Phrase) -> bool:
        k = phrase.first
        return (
            lexicon.text(k) == "before"
            and lexicon.text(k + 1) in PIECES
            and lexicon.tokens[k + 1].gap < 0.3
            and lexicon.square(k + 2) is not None
            and lexicon.text(k - 1) not in ARTICLES | OWNED | set(PIECES)
        )

    kept = {first: [p for p in same if not tells_time(p)] for first, same in phrases.items()}
    return {first: same for first, same in kept.items() if same}


def with_you(
    phrases: Mapping[int, Sequence[Phrase]], me: str, you: str
) -> tuple[str, dict[int, list[Phrase]]] | None:
    """The side to be called "me" and the phrases with "you" as that one or the other.

    None if the sides are not known. Where nobody says "I", "you" takes its place.
    """
    if not you:
        return None
    name = "me" if not me or me == you else "other"

    def told(phrase: Phrase) -> Phrase:
        person = phrase.cues.person
        if person == "you":
            person = name
        elif not me:
            person = ""
        return replace(phrase, cues=replace(phrase.cues, person=person))

    return me or you, {first: [told(p) for p in same] for first, same in phrases.items()}


class _Hearing:
    """One hearing of one talk; `plain` is that without the answers, where it is known."""

    def __init__(
        self,
        reading: Reading,
        counts: Usual | None,
        answers: Mapping[str, str],
        weights: Mapping[str, float] | None,
        plain: _Hearing | None = None,
    ) -> None:
        of_kinds = plain is None
        self.transcript = reading.transcript
        self.names = reading.names
        self.introduced = reading.introduced
        self.teacher, self.club = reading.teacher, reading.club
        self.tokens = reading.tokens
        self.text, self.lexicon = reading.text, reading.lexicon
        self._partings: dict[tuple[int, int], tuple[Event | None, Event | None, _Parting]] = {}
        self.answers = self._placed(reading.phrases, answers)
        self.phrases = likely(self.answers.clear(reading.phrases), self.answers.about)
        self.answered = self.answers.told((p.first, p.end) for p in _each(self.phrases))
        self.weights, self.book = weights, reading.book
        self.decoder = self._decoder(self.phrases)
        theme = reading.theme
        self.me, you = self._whose_moves(reading, counts, weights)
        known = with_you(self.phrases, self.me, you)
        if known is not None:
            self.me, self.phrases = known
            self.decoder = self._decoder(self.phrases)
        self.doubted: frozenset[tuple[int, int]] = frozenset()
        asked = dict(self.answered)

        def without(spots: Collection[tuple[int, int]]) -> _Hearing:
            gone = {one.place for spot, one in self.answers.found if spot in spots}
            left = {place: told for place, told in answers.items() if place not in gone}
            return _Hearing(reading, counts, left, weights, plain)

        if self.answers.found and plain is None:
            plain = without([spot for spot, _ in self.answers.found])
        self.plain: Understood | None = plain.understood if plain is not None else None
        self.understood: Understood = self._thought_over(theme, counts)
        self.events: list[Event] = self._as_played(self.understood)
        self.kinds: Mapping[tuple[str, ...], Mode] = {}

        if self.answers.found and of_kinds:
            moves = {spot: move for spot, move in asked.items() if move != ONLY_TALK}
            assert plain is not None
            self._as_unanswered(
                {spot: moves[spot] for spot, _ in self.answers.found if spot in moves},
                plain,
                without,
            )
        self.tree = self.understood.tree
        self.slips = SlipFinder(
            self.decoder, self.understood, self.tokens, self.lexicon, self.doubted, self.said
        )

    def _decoder(self, phrases: Mapping[int, Sequence[Phrase]]) -> Decoder:
        return Decoder(phrases, self.lexicon.noise, self.weights, self.book)

    def _whose_moves(
        self,
        reading: Reading,
        counts: Usual | None,
        weights: Mapping[str, float] | None,
    ) -> tuple[str, str]:
        """Whom the speaker calls "I" and "you", by the moves of a quick first hearing.

        A few answers may tip a count that is short: what it cannot tell then, the talk without
        them does.

        **Cost**: a narrow search more, where it cannot be told with answers.
        """
        first = self.decoder.search("", reading.theme, self.answered, counts, beam=FIRST_BEAM)
        me, you = whose(first), whose_you(first)
        if not self.answers.found or (me and you):
            return me, you
        decoder = Decoder(
            likely(reading.phrases, lambda _: False), self.lexicon.noise, weights, reading.book
        )
        plain = decoder.search("", reading.theme, {}, counts, beam=FIRST_BEAM)
        return me or whose(plain), you or whose_you(plain)

    def _thought_over(self, theme: list[tuple[str, ...]], counts: Usual | None) -> Understood:
        """What the search finds, or finds again where later words make moves doubtful.

        **Cost**: a second search, for one talk in six.
        """
        found = self._searched(theme, counts)
        events = events_of(found.hypotheses[0])
        doubts = afterthoughts(found.tree, events, self.tokens, self.lexicon)
        places = [((d.phrase.first, d.phrase.end), d) for d in doubts]
        perhaps = {p: (d.meant, d.dearer) for p, d in places if not self.answers.about(p)}
        if not perhaps:
            return found
        self.doubted = frozenset(perhaps)
        return self._searched(theme, counts, perhaps)

    def _as_unanswered(
        self,
        moves: Mapping[tuple[int, int], str],
        plain: _Hearing,
        without: Callable[[Collection[tuple[int, int]]], _Hearing],
    ) -> None:
        """Keeps its lines of the kinds they have without the answers; `without` hears so.

        An answer says which move words are, not that the line at hand is another: of a move beside
        it ("king b8 would have been tougher") the talk does not go on, unless it does so anyway.

        **Cost**: hearing the talk again, and once more where an answer stands beside the line.
        """
        beside = asides_among(moves, plain.understood)
        if beside:
            rest = plain if len(beside) == len(self.answers.found) else without(beside)
            beside = asides_among({spot: moves[spot] for spot in beside}, rest.understood)
            if beside and not keeps_line(self.understood, rest.understood, beside):
                # clauses that nothing but the answer takes for a move are not among the others'
                told = (*_each(self.phrases), *_each(rest.phrases))
                phrases = {(p.first, p.end): p for p in told}
                self.decoder, self.phrases, self.doubted = rest.decoder, rest.phrases, rest.doubted
                self.understood = rest.understood
                self.events = with_asides(rest.understood.tree, rest.events, beside, phrases)
        tree = self.understood.tree
        self.events = with_kinds_of(
            plain.events, tree, self.events, frozenset(moves), frozenset(beside)
        )
        self.kinds = kinds_of_lines(plain.understood.tree, plain.events)

    def _as_played(self, understood: Understood) -> list[Event]:
        """The decisions of a search, with what is warned of told, and what was really played shown."""
        tree, events = understood.tree, events_of(understood.hypotheses[0])
        events = with_what_is_warned_of(tree, events, self.tokens, self.decoder.choices)
        return with_what_was_played(tree, events, self.tokens)

    def _searched(
        self,
        theme: list[tuple[str, ...]],
        counts: Usual | None,
        perhaps: Mapping[tuple[int, int], tuple[str, float]] | None = None,
    ) -> Understood:
        """What the search finds with what is answered.

        Where an answered move is not made, the search may also go back for it, whatever the words
        around say; where no way makes it on a board of its number, the move alone counts.

        **Cost**: a second search for an answer that is not followed at first, a third for one with a
        number that cannot be.
        """

        def searched(decoder: Decoder) -> Understood:
            return decoder.search(self.me, theme, self.answered, counts, perhaps=perhaps)

        found = self._gone_back(searched(self.decoder), searched)
        missed = self._missed(found)
        if not missed:
            return found
        freed = with_ways_back(self.phrases, missed)
        decoder = self._decoder(freed)
        again = searched(decoder)
        if len(still := self._missed(again)) < len(missed):
            self.decoder, self.phrases = decoder, freed
            found, missed = again, still
        numbered = {spot for spot in missed if "." in self.answered[spot]}
        if not numbered:
            return found
        for spot in numbered:
            self.answered[spot] = self.answered[spot].rpartition(".")[2]
        return searched(self.decoder)

    def _gone_back(
        self, found: Understood, searched: Callable[[Decoder], Understood]
    ) -> Understood:
        """What is found, or what a search finds that may go back to lines left for what is answered.

        **Cost**: a search more, only where an answered move is one of a line that was left.
        """
        if self.plain is None:
            return found
        moves = {s: move for s, move in self.answered.items() if "." in move}
        ways = ways_back_to(moves, self.plain)
        if not ways:
            return found
        decoder = Decoder(self.phrases, self.lexicon.noise, self.weights, self.book, ways)
        again = searched(decoder)
        missed, now = self._missed(found), self._missed(again)
        cheaper = again.hypotheses[0].price < found.hypotheses[0].price
        if not leads_back(again, ways.values()) or not (
            now < missed or (now == missed and cheaper)
        ):
            return found
        self.decoder = decoder
        return again

    def _missed(self, found: Understood) -> set[tuple[int, int]]:
        """Where an answered move is not made, nor gone back to, or not as it is numbered."""
        made = {
            (event.phrase.first, event.phrase.end): found.tree.numbered(event.node).rstrip("+#")
            for event in events_of(found.hypotheses[0])
            if event.kind in (Kind.PLAY, Kind.GOTO) and event.node
        }
        moves = {spot: move for spot, move in self.answered.items() if move != ONLY_TALK}
        return {
            spot
            for spot, move in moves.items()
            if (told := made.get(spot)) is None
            or (told if "." in move else told.rpartition(".")[2]) != move
        }

    def _placed(
        self, phrases: Mapping[int, Sequence[Phrase]], answers: Mapping[str, str]
    ) -> Answers:
        """The answers with the tokens they are about."""
        spots = {(p.first, p.end) for p in _each(phrases)} if answers else ()
        said = {spot: self.said(*spot) for spot in sorted(spots)}
        named = {(p.first, p.end) for p in _each(phrases) if p.form is not Form.CLAUSE}
        return Answers.of(answers, said, self.transcript.words, said.keys() - named)

    def heard(self, named: bool = True, misheard: bool = True) -> Heard:
        """Everything heard; perhaps without the slips in what is only named, or without the words
        that were misheard where no move tells it."""
        turns = list(self._turns())
        moves = self._moves()
        places = tuple((turn.word, turn.node) for turn in turns)
        partings, margins = self._other_ways()
        bare = Heard(
            self.transcript, (), moves, tuple(turns), (), (), (), (), self.me, places,
            partings=partings, margins=margins, players=self.names, introduced=self.introduced,
            main=said_to_be_main(self.tree, self.events, self.tokens),
            teacher=self.teacher, club=self.club, pictured=tuple(self._pictured()),
        )  # fmt: skip
        answered = followed(self.answers, bare)
        bare = replace(bare, answered=answered)
        slips, answered = without_answered(
            tuple(sorted(self._slips(bare, named), key=_when)), answered, self.transcript.words
        )
        changes, answered = without_refused(
            tuple(sorted(self._changes(bare, misheard), key=_when)),
            answered,
            self.transcript.words,
        )
        answered = with_confirmed(replace(bare, answered=answered))
        moves = with_kinds_asked(moves, turns, self.transcript.words)
        asked = [q for q in self._questions(bare) if not bare.is_pictured(q.said)]
        findings = (*self.transcript.findings, *self._boards_not_shown(bare))
        return replace(
            bare,
            transcript=replace(self.transcript, findings=findings),
            moves=moves,
            lines=tuple(_lines(moves)),
            slips=slips,
            answered=answered,
            questions=tuple(sorted(_unsettled(asked, slips), key=_when)),
            caption_changes=changes,
            what_if=tuple(self._boards(bare)),
        )

    def _slips(self, heard: Heard, named: bool) -> Iterator[HeardSlip]:
        """The slips, each as sure as it deserves.

        What a rule says of the same words as a name stays, for it says more; the surer one tells
        how sure it is. Nothing is surer than what the speaker puts right himself.
        """
        ruled = with_sides_as_said(self.slips.slips(heard), self.tokens, self.lexicon)
        found = [replace(slip, sure=sure_slip(heard, slip)) for slip in ruled]
        of_names = self.slips.named(heard) if named else ()
        for slip in with_sides_as_said(of_names, self.tokens, self.lexicon):
            beside = [k for k, other in enumerate(found) if _share_words(slip.said, other.said)]
            for k in beside:
                found[k] = replace(found[k], sure=max(found[k].sure, slip.sure))
            if not beside:
                found.append(slip)
        for slip in found:
            if heard.is_pictured(slip.said):
                continue
            sure = bool(slip.put_right) or is_told(slip, heard.answered)
            yield replace(slip, sure=1.0) if sure else slip

    def _other_ways(self) -> tuple[tuple[tuple[int, float], ...], dict[int, float]]:
        """Where the nearest other ways part from the best, and what doing without a move costs."""
        best = self.understood.hypotheses[0]
        ways = [(h.price - best.price, best.event, h.event) for h in self.understood.hypotheses[1:]]
        rivals = [(r.gap, r.kept, r.event) for r in self.understood.rivals]
        partings: dict[int, float] = {}
        margins: dict[int, float] = {}
        for gap, kept, other in (*ways, *rivals):
            if gap >= FARTHEST:
                continue
            parting = self._parting(kept, other)
            if parting.ours == parting.theirs:
                continue
            for node in parting.ours:
                margins[node] = min(gap, margins.get(node, gap))
            if parting.pair is not None:
                word = self.tokens[parting.pair[0].phrase.first].word
                partings[word] = min(gap, partings.get(word, gap))
        return tuple(sorted(partings.items())), margins

    def _parting(self, one: Event | None, other: Event | None) -> _Parting:
        """Where two ways part. Cost: once."""
        known = self._partings.get((id(one), id(other)))
        if known is None:
            known = one, other, _Parting.of(one, other)  # what is kept has its id to itself
            self._partings[id(one), id(other)] = known
        return known[2]

    def said(self, first: int, end: int) -> Said:
        """The words of the tokens from `first` up to `end`; none of a going back without words."""
        a = self.tokens[first].word
        if first == end:  # not up to the word before, which may be the same
            return Said(a, a, "", self.transcript.words[a].start_ms)
        b = self.tokens[end - 1].word + 1
        words = self.transcript.words[a:b]
        text = " ".join(
            w.text + (w.mark if i < len(words) - 1 else "") for i, w in enumerate(words)
        )
        return Said(a, b, text, words[0].start_ms)

    # --- the tree -----------------------------------------------------------------------------

    def _turns(self) -> Iterator[Turn]:
        for event in self.events:
            if event.kind in (Kind.PLAY, Kind.GOTO):
                said = self.said(event.phrase.first, event.phrase.end)
                yield Turn(said.first, event.node, (said.first, said.end), event)

    def _moves(self) -> dict[int, HeardMove]:
        found: dict[int, HeardMove] = {}
        for event in self.events:
            if event.kind is not Kind.PLAY:
                continue
            said = self.said(event.phrase.first, event.phrase.end)
            for node in event.made:
                unsaid = node in event.silent or (node == event.node and bool(event.extra))
                wrong = self.slips.missaid.get(node) if unsaid else None
                words = self.said(wrong.phrase.first, wrong.phrase.end) if wrong else None
                self._add(found, node, words if unsaid else said, event.mode)
        return {node: self._of_kind(move) for node, move in found.items()}

    def _of_kind(self, move: HeardMove) -> HeardMove:
        """A move of the kind it has without the teacher's answers, if it is told there too."""
        line = tuple(self.tree.uci(node) for node in self.tree.line(move.node)[1:])
        return replace(move, kind=self.kinds.get(line, Mode(move.kind)).value)

    def _add(self, found: dict[int, HeardMove], node: int, said: Said | None, mode: Mode) -> None:
        rank = [Mode.MENTIONED, Mode.SUPPOSED, Mode.SHOWN]
        for above in self.tree.line(node)[1:-1]:
            if above not in found:
                self._add(found, above, None, mode)
        if node in found:
            old = found[node]
            if rank.index(mode) > rank.index(Mode(old.kind)):
                found[node] = replace(old, kind=mode.value)
            return
        found[node] = HeardMove(
            node, self.tree.parent(node), self.tree.san(node), self.tree.uci(node), said, mode.value,
            self.tree.board(node).fen(),
        )  # fmt: skip

    # --- questions ----------------------------------------------------------------------------

    def _questions(self, heard: Heard) -> Iterator[Question]:
        asked: set[int] = set()
        guessed: set[int] = set()
        doubts = [
            *self._doubts(heard, asked, guessed),
            *self._doubts_of_unsaid(heard, asked - guessed, guessed),
            *self._doubts_of_lines_taken_up(heard, asked),
        ]
        yield from asked_once(doubts, self.tree)

    def _doubts(self, heard: Heard, asked: set[int], guessed: set[int]) -> Iterator[Doubt]:
        """Where another way to understand the talk is near; the places go to `asked`.

        Those where it only has other moves that nobody said go to `guessed` too.
        """
        for gap, one, other, way in self._rivals():
            if gap > ASK_BELOW or one.phrase is None or one.phrase.first in asked:
                continue
            asked.add(one.phrase.first)
            said = self.said(one.phrase.first, one.phrase.end)
            if is_answered(said, heard.answered) or self._decides_nothing(one, other):
                continue
            choices: tuple[str, ...] = (self._reading(one), self._reading(other))
            if choices[0] == choices[1]:
                if _is_play(one) and one.silent and one.silent != other.silent:
                    guessed.add(one.phrase.first)
                continue
            made = one if one.kind is Kind.PLAY else other
            bases = [self.tree.parent(event.node) for event in (one, other) if _is_play(event)]
            boards = tuple(self._behind(base) for base in bases) if len(set(bases)) > 1 else ()
            if not boards:
                further = [*choices, *self._further(one, bases[0])]
                choices, boards = self._offered(further, made, bases[0])
            unsaid = self._unsaid(heard, made)
            yield Doubt(_question(said, choices, self._way(made), unsaid, boards), one, other, way)

    def _further(self, one: Event, base: int) -> Iterator[str]:
        """Which moves the words of a decision may be besides on a board, the nearest way first."""
        for event in self._instead(one):
            if _is_play(event) and self.tree.parent(event.node) == base:
                yield self._reading(event)

    def _way(self, made: Event) -> tuple[str, ...]:
        """The moves to the board on which a move is made."""
        return tuple(self.tree.san(n) for n in self.tree.line(self.tree.parent(made.node))[1:])

    def _behind(self, base: int) -> str:
        return f"after {self.tree.numbered(base)}" if base else "at the start"

    def _decides_nothing(self, one: Event, other: Event | None) -> bool:
        """Whether the words tell moves again that are told before, or nothing.

        Nor is a teacher asked whether plain English is a square ("for now" is no "4"), or whether
        words tell a move that are taken for talk and are so as surely as words can be.
        """
        earlier = {
            node
            for event in self.events
            if event.kind is Kind.PLAY and event.phrase.first < one.phrase.first
            for node in event.made
        }
        made = [event for event in (one, other) if event is not None and _is_play(event)]
        if len(made) == 1 and (set(made[0].made) <= earlier or self._tells_again(one, made[0])):
            return True
        phrase = made[-1].phrase
        plain = all(self.lexicon.ordinary(k) for k in range(phrase.first, phrase.end))
        talk = phrase.told <= -MOST or (phrase.form is Form.SQUARE and plain)
        return not _is_play(one) and talk

    def _tells_again(self, one: Event, made: Event) -> bool:
        """Whether words that are talk say where the last move went: "with the bishop, it goes to d3"."""
        phrase = one.phrase
        before = [e for e in self.events if _is_play(e) and e.phrase.end <= phrase.first]
        if _is_play(one) or phrase.spec.capture or not before:
            return False
        last = before[-1].phrase.end
        near = phrase.first - last <= JUST_TOLD and all(
            self.tokens[k].gap < SENTENCE for k in range(last, phrase.first + 1)
        )
        return near and self.tree.uci(before[-1].node)[2:4] == self.tree.uci(made.node)[2:4]

    def _doubts_of_unsaid(
        self, heard: Heard, asked: set[int], guessed: set[int]
    ) -> Iterator[Doubt]:
        """Whether moves that nobody said were played, where that is in doubt, or which were.

        The words beside them tell a move with them, something else, or nothing. Where they are
        `guessed`, others would do as well.
        """
        for turn in heard.turns:
            event = turn.event
            if not self._unsaid(heard, event) or event.phrase.first in asked:
                continue
            said = self.said(event.phrase.first, event.phrase.end)
            sure = (
                sure_unsaid(heard, turn) >= ASK_UNSAID_BELOW and event.phrase.first not in guessed
            )
            if is_answered(said, heard.answered) or sure:
                continue
            told = (*event.extra, event.node)[0]
            here = self.tree.parent(told)
            others = (o for o in self._instead(event) if self.tree.parent(o.node) == here)
            readings = [self.tree.numbered(told), *map(self._reading, others), ONLY_TALK]
            choices, boards = self._offered(readings, event, here)
            line = heard.line_to(here)
            unsaid = self._unsaid(heard, event, self._guesses(event))
            yield Doubt(_question(said, choices, line, unsaid, boards), event)

    def _offered(
        self, readings: Sequence[str], event: Event, here: int
    ) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """The readings of words as choices, and behind which moves they are where that differs.

        Where a move needs one before it that nobody said, another on a line that was left is one.
        """
        left = told_elsewhere(self.tree, self.events, event, self.decoder.choices)
        if left is None or left[0] in readings:
            return _with_talk_last(readings), ()
        at = readings.index(self._reading(event)) + 1 if self._reading(event) in readings else 1
        choices = _with_talk_last((*readings[:at], left[0], *readings[at:]))
        if ONLY_TALK in choices[:-1]:  # what words are behind is told of moves
            return choices, ()
        moves = (choice for choice in choices if choice != ONLY_TALK)
        return choices, tuple(self._behind(left[1] if m == left[0] else here) for m in moves)

    def _doubts_of_lines_taken_up(self, heard: Heard, asked: set[int]) -> Iterator[Doubt]:
        """Whether a move with which the main line is taken up again is the one told there before."""
        for at, event in enumerate(self.events):
            if event.phrase.first in asked or not event.phrase.says_something:
                continue
            told = told_on_the_main_line(self.tree, self.events, at, self.tokens)
            said = self.said(event.phrase.first, event.phrase.end)
            if told is None or is_answered(said, heard.answered):
                continue
            choices = (self._reading(event), self.tree.numbered(told))
            boards = (self._behind(event.base), self._behind(self.tree.parent(told)))
            yield Doubt(_question(said, choices, self._way(event), "", boards), event)

    def _guesses(self, event: Event) -> tuple[str, ...]:
        """Other moves that may have been made without a word before one, the nearest first."""
        told = (
            self._line(other.silent)
            for other in self._instead(event, ASK_BELOW)
            if _is_play(other) and other.silent and self._reading(other) == self._reading(event)
        )
        own = self._line(event.silent)
        return tuple(line for line in dict.fromkeys(told) if line != own)[: MOST_CHOICES - 1]

    def _unsaid(self, heard: Heard, event: Event, guesses: Sequence[str] = ()) -> str:
        """The moves of a decision that nobody said: "4...d6 before it"; empty without any.

        Those that are said at another place of the talk are not among them. `guesses` are others
        that may stand in the place of the first.
        """
        if event.kind is not Kind.PLAY:
            return ""
        moves = (heard.moves.get(node) for node in event.silent)
        told = all(move is not None and move.said is not None for move in moves)
        before = "" if told else self._line(event.silent)
        before = " or ".join([before, *guesses]) if before else ""
        after = self._line((event.node,) if event.extra else ())
        parts = (before and f"{before} before it", after and f"{after} after it")
        return " and ".join(part for part in parts if part)

    def _line(self, nodes: Sequence[int]) -> str:
        """Moves that follow each other, with their numbers."""
        start = len(self.tree.line(nodes[0])) - 2 if nodes else 0
        return line_text([self.tree.san(node) for node in nodes], start)

    def _instead(self, event: Event, farthest: float = FARTHEST) -> Iterator[Event]:
        """What the words of a move are on other ways, the nearest first."""
        for gap, other in self._other_readings.get(event.phrase.first, ()):
            if gap < farthest:
                yield other

    @cached_property
    def _other_readings(self) -> Mapping[int, Sequence[tuple[float, Event]]]:
        """The decisions of other ways where they part from the nearest, by the first word.

        Before each stands how much dearer that way is.
        """
        found: dict[int, list[tuple[float, Event]]] = {}
        best = self.understood.hypotheses[0]
        ways = [(h.price - best.price, best.event, h.event) for h in self.understood.hypotheses[1:]]
        ways += [(r.gap, r.kept, r.event) for r in self.understood.rivals]
        for gap, kept, other in sorted(ways, key=lambda way: way[0]):
            pair = self._parting(kept, other).pair if gap < max(FARTHEST, ASK_BELOW) else None
            if pair is not None:
                found.setdefault(pair[0].phrase.first, []).append((gap, pair[1]))
        return found

    def _rivals(self) -> Iterator[tuple[float, Event, Event, Event | None]]:
        best = self.understood.hypotheses[0]
        for other in self.understood.hypotheses[1:]:
            gap = other.price - best.price
            if gap > ASK_BELOW:
                break
            parting = self._parting(best.event, other.event)
            if parting.pair is not None and parting.ours != parting.theirs:
                yield gap, *parting.pair, other.event
        for rival in self.understood.rivals:
            if rival.gap > ASK_BELOW:
                continue
            parting = self._parting(rival.kept, rival.event)
            if parting.pair is not None and parting.ours != parting.theirs:
                yield rival.gap, *parting.pair, rival.event

    def _reading(self, event: Event) -> str:
        if event.kind is not Kind.PLAY:
            return ONLY_TALK
        return self.tree.numbered(event.node)

    # --- captions -----------------------------------------------------------------------------

    def _changes(self, heard: Heard, misheard: bool) -> Iterator[CaptionChange]:
        """What moves, names and common errors put right, and then what else is all but certain."""
        known = list(self._known_changes(heard))
        yield from known
        if not misheard:
            return
        for each in self.ear(heard, known, sorts(self.text)).misheard():
            said = self.said(each.first, each.end)
            yield CaptionChange(said, _cased(said.text, each.now), each.sure)

    def ear(self, heard: Heard, known: Sequence[CaptionChange], told: Sorts) -> Ear:
        """Hears what else was misheard; `told` are the chances of the sorts of each token."""
        done = {word for change in known for word in range(change.said.first, change.said.end)}
        habits = Counter((bare_words(c.said.text), bare_words(c.now)) for c in known)
        return Ear(
            self.lexicon, told, self.tree, self.events,
            lambda k: self.tree.board(heard.node_at(self.tokens[k].word)), done, habits,
        )  # fmt: skip

    def _known_changes(self, heard: Heard) -> Iterator[CaptionChange]:
        done: set[int] = set()
        in_doubt = doubtful_words(heard)
        for event in self.events:
            for first, end, now in self._misheard(event):
                said = self.said(first, end)
                if said.first in done or _same_words(said.text, now):
                    continue
                if self._stands_as_written(first, end, event):
                    continue
                if is_square(self.tokens[first].text) and in_doubt(said.first):
                    continue  # a square as written is likelier right than a board that may be lost
                done.update(range(said.first, said.end))
                yield CaptionChange(said, _cased(said.text, now), 0.9)
        for first, end, now in needed_words(self.events, self.tree, self.tokens, self.lexicon):
            said = self.said(first, end)
            if done.isdisjoint(range(said.first, said.end)):
                done.update(range(said.first, said.end))
                yield CaptionChange(said, _cased(said.text, now), 0.9)
        for first, end, now in misheard_names(self.tokens):
            said = self.said(first, end)
            if said.first not in done:
                done.update(range(said.first, said.end))
                yield CaptionChange(said, now, 0.9)
        yield from self._sounding_names(heard, done)
        yield from self._plain_errors(done)

    def _sounding_names(self, heard: Heard, done: set[int]) -> Iterator[CaptionChange]:
        """Words that sound like a name of the openings shown: "the pon ziani"."""
        named = [name for node in heard.moves if (name := names_at(self.tree.board(node)))]
        usual = [each for name in named for each in (name.usual, *name.also)]
        wanted, kinds = name_words(usual), kinds_behind(usual)
        starts = heard.transcript.starts
        of_names = {
            number
            for name in find_names(heard.transcript.text)
            if name.certain
            for number in range(
                *(bisect_left(starts, end) for end in (name.span.start, name.span.end))
            )
        }
        of_moves = {
            k
            for event in self.events
            if event.kind is Kind.PLAY and event.phrase.form is not Form.CLAUSE
            for k in range(event.phrase.first, event.phrase.end)
        }

        def known(k: int) -> bool:
            word = self.tokens[k].word
            return k in of_moves or word in of_names or word in done

        def of_board(k: int) -> bool:
            return k in of_moves or self.tokens[k].word in done or self.tokens[k].text in shown

        shown = {word for each in usual for word in re.findall(r"\w+", each.lower())}
        heard_so = (
            *sounding_names(self.tokens, self.lexicon.sound, wanted, known),
            *names_before_kinds(self.tokens, self.lexicon.sound, wanted, kinds, of_board),
            *kinds_after_names(self.tokens, self.lexicon.sound, kinds),
            *misspelt_names(self.tokens, self.lexicon.known_word, wanted, known),
        )
        for first, end, now in heard_so:
            said = self.said(first, end)
            if not is_spelling_of(said.text, now) and done.isdisjoint(range(said.first, said.end)):
                done.update(range(said.first, said.end))
                yield CaptionChange(said, now, 0.8)

    def _stands_as_written(self, first: int, end: int, event: Event) -> bool:
        """Whether words are too ordinary to be put right on the word of one phrase.

        They may, where they fit a move well, or where the recogniser errs often and the words around
        tell one.
        """
        phrase = event.phrase
        if event.kind is Kind.PLAY and self._letter_and_number(first, end):
            return False
        fits = event.kind is Kind.PLAY and event.price < FITS_WELL
        if fits and (phrase.form is Form.FULL or phrase.told > 0):
            return False
        plain = all(self.lexicon.ordinary(k) for k in range(first, end))
        square = all(is_square(self.tokens[k].text) for k in range(first, end))
        if event.kind is Kind.PLAY and self._sounds_as_square(first, end):
            return phrase.told < SURELY_NO_MOVE
        if phrase.told < SURELY_NO_MOVE or self._far_fetched(phrase):
            return True
        known = all(self.lexicon.known_word(k) for k in range(first, end))
        if known and phrase.told < TELLS_NO_MOVE:
            return True
        if self.lexicon.noisy:
            return (plain or square) and phrase.told < (MOVE_SURELY if square else TELLS_A_MOVE)
        return plain or square

    def _sounds_as_square(self, first: int, end: int) -> bool:
        """Whether two words are a file's letter and a number by sound: "be three", "see five"."""
        file, number = self.lexicon.text(first), self.lexicon.text(first + 1)
        return end == first + 2 and file in _FILE_SOUNDS and number in DIGITS

    def _letter_and_number(self, first: int, end: int) -> bool:
        """Whether two words are a file's letter, which is no word, and a number by sound: "f for"."""
        letter = self.lexicon.text(first)
        named = len(letter) == 1 and letter in "bcdefgh" and end == first + 2
        return named and self.lexicon.digit(first + 1) is not None

    def _far_fetched(self, phrase: Phrase) -> bool:
        """Whether words sound little like a square that nothing else in the phrase tells of."""
        targets = phrase.spec.targets
        return phrase.form is Form.SQUARE and bool(targets) and targets[0][1] > 3.0

    def _within_square(self, k: int, target: str) -> int | None:
        """Where the square ends that a token is a part of, plainly named in several; or None."""
        before = self.lexicon.square(k - 1) if k else None
        if before is not None and before.end > k:
            return before.end
        here = self.lexicon.square(k)
        return here.end if here is not None and here.end > k + 1 and here.value == target else None

    def _misheard(self, event: Event) -> Iterator[tuple[int, int, str]]:
        """Stretches of tokens in a phrase that stand for other words, with those words."""
        phrase = event.phrase
        assert phrase is not None
        board_backed = event.kind in (Kind.PLAY, Kind.ECHO, Kind.GOTO, Kind.PLACE)
        if not board_backed or event.true is False:
            return
        yield from self._misheard_file(event)
        target = self._target(event)
        letters = {letter for letter, _ in phrase.spec.pieces} | {phrase.spec.captured}
        k = phrase.first
        while k < phrase.end:
            if (plain := self._within_square(k, target)) is not None:
                k = plain  # "e five": its number alone is not misheard
                continue
            guess = next(
                (
                    g
                    for g in self.lexicon.squares(k)
                    if g.value == target
                    and g.end <= phrase.end
                    and g.price > 0
                    and not self._toward(g.end)
                ),
                None,
            )
            if guess is not None:
                toward = "to " if self._named_by_file(k) else ""
                yield k, guess.end, toward + guess.value
                k = guess.end
                continue
            text = self.tokens[k].text
            fault = any(f.misheard and f.slot == "square" for f in event.faults)
            if fault and is_square(text) and target and text != target:
                yield k, k + 1, target
            piece = next(
                ((p, c) for p, c in self.lexicon.pieces(k) if p in letters and c > 0), None
            )
            if piece and text.removesuffix("s") not in PIECES and not text.endswith("'s"):
                alone = is_square(self.lexicon.text(k + 1)) or self.lexicon.take(k + 1) == 0
                yield k, k + 1, PIECE_NAMES[piece[0]] + ("" if alone else _plural(text))
            elif self._misheard_taking(k, phrase):
                yield k, k + 1, "takes"
            elif phrase.spec.castling and 0 < self.lexicon.castle(k) < 90:
                yield k, k + 1, self.lexicon.castling_word(k)
            k += 1

    def _misheard_file(self, event: Event) -> Iterator[tuple[int, int, str]]:
        """The word for the file of a pawn that takes, in the phrase or before it: "see takes d4"."""
        phrase = event.phrase
        if event.kind is not Kind.PLAY or phrase.form is not Form.CAPTURE:
            return
        san = self.tree.san(event.node)
        for k in (phrase.first, phrase.first - 1):
            named = k >= 0 and self.tokens[k].text in _FILE_WORDS and self.lexicon.file(k)
            follows = (
                self.lexicon.take(k + 1) == 0 and self.tokens[min(k + 1, phrase.first)].gap < 0.3
            )
            if named and named[0] == san[0] and follows:
                yield k, k + 1, san[0]

    def _misheard_taking(self, k: int, phrase: Phrase) -> bool:
        """Whether a word stands for "takes", and is no word of its own: "makes a queen"."""
        if not phrase.spec.capture or not 0 < self.lexicon.take(k) < 90:
            return False
        own = self.tokens[k].text == "makes" and self.lexicon.text(k + 1) in (*ARTICLES, "it")
        return not own and self.tokens[k].text not in _TAKE_WORDS

    def _named_by_file(self, k: int) -> bool:
        """Whether "to" says where a piece goes that its file tells apart: "knight b to seven"."""
        file, piece = self.lexicon.text(k - 1), self.lexicon.text(k - 2)
        return self.tokens[k].text == "to" and file in FILES and piece in PIECES

    def _target(self, event: Event) -> str:
        assert event.phrase is not None
        if event.kind is Kind.PLACE:
            return chess.square_name(event.phrase.spec.targets[0][0])
        if event.phrase.form is Form.TRADE or not event.node:
            return ""
        return self.tree.uci(event.node)[2:4]

    def _plain_errors(self, done: set[int]) -> Iterator[CaptionChange]:
        """Words that are no words of a chess talk, wherever they stand."""
        for index, token in enumerate(self.tokens):
            if (square := self._square_stood_on(index)) and token.word not in done:
                said = self.said(index, index + 2)
                done.update(range(said.first, said.end))
                yield CaptionChange(said, square, 0.9)
            now = _PLAIN.get(token.text)
            if now and token.word not in done and self._of_the_board(index):
                said = self.said(index, index + 1)
                if said.text.lower().strip(".,") == token.text:
                    done.add(token.word)
                    named = token.text in _CHEQUES and token.gap < SENTENCE  # "e5 Czech"
                    yield CaptionChange(said, now if named else _cased(said.text, now), 0.95)

    def _square_stood_on(self, k: int) -> str:
        """The square that two words name behind "bishop on"; empty if they are words."""
        piece, on = self.lexicon.text(k - 2), self.lexicon.text(k - 1)
        if piece not in PIECES or on != "on" or not self._sounds_as_square(k, k + 2):
            return ""
        return _FILE_SOUNDS[self.tokens[k].text] + DIGITS[self.lexicon.text(k + 1)]

    def _toward(self, k: int) -> bool:
        """Whether a square follows "to" at once: "b to d2" is no "b2"."""
        before, after = self.lexicon.text(k - 1), self.lexicon.text(k)
        return before == "to" and is_square(after) and self.tokens[k].gap < 0.3

    def _of_the_board(self, k: int) -> bool:
        """Whether a word for "knight" or "pawn" is no night, by what follows, or it may be none."""
        if self.lexicon.text(k - 1) in _BEFORE_NIGHT and not is_square(self.lexicon.text(k + 1)):
            return False
        if self.tokens[k].text in _CHEQUES:
            return self._of_a_check(k)
        ill = _PLAIN[self.tokens[k].text] in self._spelt_ill
        if self.tokens[k].text not in _NIGHTS or (ill and self.tokens[k].text in _PONDS):
            return True
        if ill and self._likely_a_man(k):
            return True
        before = [self.lexicon.text(n) for n in (k - 1, k - 2)]
        owned = before[0] in OWNED
        pawn = self.tokens[k].text in _PONDS and (
            owned or before[0] in set(FILES) or before[0] in _OF_PAWNS
        )
        beside = before[1] == "and" and self.lexicon.text(k - 3) in PIECES
        if pawn or (owned and (beside or before[1] in _DONE_TO_PIECES)):
            return True
        after = [self.lexicon.text(n) for n in range(k + 1, k + 3)]
        if after[0] == "and":
            return after[1].removesuffix("s") in PIECES  # "one night and nobody came"
        if self.tokens[k].text.endswith("s") and (is_square(after[0]) or after[0] in PIECES):
            return False  # "knight takes e4", run together
        return after[0] in _OF_PIECES or any(is_square(text) for text in after)

    def _likely_a_man(self, k: int) -> bool:
        """Whether "night", where it is mostly a knight, is said of as a man: "asks our night".

        A talk has nights of its own, too: "my night was short", "ships in the night".
        """
        before = [self.lexicon.text(n) for n in (k - 1, k - 2)]
        after = [self.lexicon.text(n) for n in (k + 1, k + 2)]
        if (before[0] in _JOINS_MEN and before[1].removesuffix("s") in PIECES) or (
            after[0] in _JOINS_MEN and after[1].removesuffix("s") in PIECES
        ):
            return True
        file = after[0] in FILES and after[1] in DIGITS.keys() | {"to"}  # "night b to d7"
        if file or (after[0] in _FILE_SOUNDS and after[1] in DIGITS.keys() | {"for"}):
            return True
        if self._square_owned_before(k):
            return True
        if before[0] not in _OWNS_MEN or before[1] in _SPENDS_NIGHTS:
            return False
        other = before[0] == "other" and after[0] in ("was", "were")  # "the other night we met"
        return other or before[1] in _DONE_WITH_MEN or after[0] in _SAID_OF_MEN

    def _of_a_check(self, k: int) -> bool:
        """Whether a word for "check" follows a move: "queen a5 cheque", not "the Czech Benoni"."""
        before = [self.tokens[n].text for n in range(max(k - 4, 0), k)]
        return self.lexicon.text(k + 1) not in _CZECH and any(
            is_square(text) or text in PIECES for text in before
        )

    def _square_owned_before(self, k: int) -> bool:
        """Whether the square of a man stands before a token: "the f3 night moved away"."""
        squares = ((n, self.lexicon.square(n)) for n in range(max(k - 2, 0), k))
        return any(
            square is not None and square.end == k and self.lexicon.text(n - 1) in _OWNS_MEN
            for n, square in squares
        )

    @cached_property
    def _spelt_ill(self) -> frozenset[str]:
        """The men for whom the recogniser writes other words more often than not: "knight", "pawns"."""
        if not self.lexicon.noisy:
            return frozenset()
        texts = [token.text for token in self.tokens]

        def ill(men: Collection[str]) -> bool:
            wrong = sum(text in _MISSPELT and _PLAIN[text] in men for text in texts)
            return wrong > max(3, sum(text in men for text in texts))

        kinds = (_SPELT, frozenset(("knight", "knights")), frozenset(("pawn", "pawns")))
        return frozenset().union(*(men for men in kinds if ill(men)))

    # --- what-if boards -----------------------------------------------------------------------

    @cached_property
    def _imagined(self) -> tuple[Imagined, ...]:
        return tuple(imagined_boards(self.lexicon))

    def _boards(self, heard: Heard) -> Iterator[WhatIf]:
        for found in self._imagined:
            said = self.said(max(found.first, found.sentence), found.end)
            node = heard.node_at(said.first)
            last = self._last_square(found.first)
            result = edited(self.tree.board(node), found, last)
            if result is not None and not two_on_a_square(self.tree.board(node), found.listed):
                edits, board = result
                yield WhatIf(said, edits, board.fen(), heard.line_to(node))

    def _boards_not_shown(self, heard: Heard) -> Iterator[Finding]:
        """A finding for each board that is told with two men on one square."""
        for found in self._imagined:
            said = self.said(found.first, found.end)
            board = self.tree.board(heard.node_at(said.first))
            if both := two_on_a_square(board, found.listed):
                words = self.transcript.words
                span = Span(words[said.first].span.start, words[said.end - 1].span.end)
                message = (
                    f"'{said.text}' pictures no board, {both}: mend in the talk where they stand"
                )
                yield Finding("two-men-on-a-square", Severity.WARNING, span, message)

    def _pictured(self) -> Iterator[Said]:
        """The words that list the men of a board, or name them on it."""
        boards = [found for found in self._imagined if found.listed]
        for found in (*boards, *named_on_them(self.lexicon, boards)):
            yield self.said(found.first, found.end)

    def _last_square(self, before: int) -> int | None:
        for k in range(before - 1, max(before - 40, -1), -1):
            square = self.lexicon.square(k)
            if square is not None:
                return chess.parse_square(square.value)
        return None


_PLAIN = {"night": "knight", "nights": "knights", "nite": "knight", "pond": "pawn", "ponds": "pawns",
          "porn": "pawn", "prawn": "pawn", "cheque": "check", "czech": "check"}  # fmt: skip
_PLAIN |= {"nites": "knights", "porns": "pawns", "prawns": "pawns"}
_CHEQUES = frozenset("cheque czech".split())
_MISSPELT = frozenset(_PLAIN) - _CHEQUES
_CZECH = frozenset("benoni defence defense pirc variation system champion".split())
_SPELT = frozenset("knight knights pawn pawns".split())
_FILE_SOUNDS = {
    "be": "b", "bee": "b", "see": "c", "sea": "c", "dee": "d", "eat": "e", "eff": "f", "ef": "f",
    "gee": "g", "age": "h",
}  # fmt: skip
"""What a recogniser writes for the letter of a file before a number."""
_OF_PAWNS = frozenset(
    "weak weakest passed isolated doubled backward extra poisoned central hanging lone".split()
)
_FILE_WORDS = frozenset("see sea si cee dee bee gee ef eff".split())
_NIGHTS = frozenset("night nights prawn prawns pond ponds".split())
_BEFORE_NIGHT = frozenset("good last every all by at late saturday friday club".split())
_PONDS = frozenset("prawn prawns pond ponds".split())
_DONE_TO_PIECES = frozenset(
    "pin pins pinning pinned attack attacks attacking kick kicks kicking hit hits hitting chase chases"
    " chasing take takes taking develop develops developing defend defends defending move moves"
    " moving trade trades trading win wins winning lose loses losing".split()
)
_JOINS_MEN = frozenset("and or for against with versus than".split())
_OWNS_MEN = (OWNED - {"a"}) | frozenset("other both white's black's queen's king's".split())
_SPENDS_NIGHTS = frozenset("in for through during all".split())
_DONE_WITH_MEN = _DONE_TO_PIECES | frozenset(
    "ask asks asking put puts putting bring brings bringing play plays playing with against behind than at"
    " free frees trap traps unpin unpins".split()
)
_SAID_OF_MEN = frozenset(
    "move moves fork forks are isn't aren't can cannot can't could will would has had wants must needs belongs looks"
    " hits defends protects guards covers controls pins gets reaches heads back away here there"
    " into over".split()
)
"""Words that stand behind a man which is owned: "the night move", "his night belongs"."""
_OF_PIECES = frozenset(
    "on takes goes to moves jumps hops comes drops retreats stands sits is from attacks pair".split()
)
_TAKE_WORDS = frozenset(
    "wins win picks accepts won regains regained recovers recovered grabs".split()
)


def _share_words(one: Said, other: Said) -> bool:
    return one.first < other.end and other.first < one.end


def _unsettled(questions: Iterable[Question], slips: Iterable[HeardSlip]) -> Iterator[Question]:
    """The questions but those about words that the speaker puts right himself."""
    settled = [slip.said for slip in slips if slip.put_right]
    return (q for q in questions if not any(_share_words(q.said, said) for said in settled))


def _when(found: Question | CaptionChange | HeardSlip) -> tuple[int, int]:
    return found.said.first, found.said.end


def _question(
    said: Said,
    choices: tuple[str, ...],
    line: tuple[str, ...],
    unsaid: str,
    boards: tuple[str, ...] = (),
) -> Question:
    """The question what words are, with the moves in doubt beside them."""
    beside = f", with {unsaid}, which nobody said" if unsaid else ""
    asked = Question(said, "", choices, line, unsaid, boards)
    return replace(asked, text=f'"{said.text}"{beside}: is it {asked.offer}')


def _with_talk_last(readings: Iterable[str]) -> tuple[str, ...]:
    """The likeliest readings, each once, talk behind the moves unless it is the likeliest."""
    each = list(dict.fromkeys(readings))
    talk = [ONLY_TALK] if ONLY_TALK in each[1:] else []
    moves = [reading for reading in each if reading not in talk]
    return (*moves[: MOST_CHOICES - len(talk)], *talk)


def _is_play(event: Event) -> bool:
    return event.kind is Kind.PLAY


def _each(phrases: Mapping[int, Sequence[Phrase]]) -> Iterator[Phrase]:
    return itertools.chain.from_iterable(phrases.values())


@dataclass(frozen=True, slots=True)
class _Parting:
    """Where two ways to understand a talk part: the first decisions that differ there, and the
    boards that each reaches by moves from there on.
    """

    pair: tuple[Event, Event] | None
    ours: frozenset[int]
    theirs: frozenset[int]

    @classmethod
    def of(cls, one: Event | None, other: Event | None) -> _Parting:
        """The parting of two ways, given by their last decisions."""
        ours, theirs = _apart(one, other)
        return cls(_first_difference(ours, theirs), _made(ours), _made(theirs))


def _apart(one: Event | None, other: Event | None) -> tuple[list[Event], list[Event]]:
    """The decisions of two ways from where they part, in the order of the talk.

    **Cost**: linear in the longer of them, however long both go together before.
    """
    ways: tuple[list[Event], list[Event]] = ([], [])
    places: tuple[dict[int, int], dict[int, int]] = ({}, {})
    at = [one, other]
    while at != [None, None]:
        for side in (0, 1):
            event = at[side]
            if event is None:
                continue
            if (shared := places[1 - side].get(id(event))) is not None:
                del ways[1 - side][shared:]
                return ways[0][::-1], ways[1][::-1]
            places[side][id(event)] = len(ways[side])
            ways[side].append(event)
            at[side] = event.before
    return ways[0][::-1], ways[1][::-1]


def _made(events: Iterable[Event]) -> frozenset[int]:
    """The boards reached by moves among these decisions."""
    return frozenset(n for e in events if e.kind is Kind.PLAY for n in e.made)


def _first_difference(ours: Iterable[Event], theirs: Iterable[Event]) -> tuple[Event, Event] | None:
    """The first decisions about the same words that differ, where one of them is a move."""
    there: dict[int, list[Event]] = {}
    for their in theirs:
        if their.phrase is not None:
            there.setdefault(their.phrase.first, []).append(their)
    for mine in ours:
        said = mine.phrase is not None and mine.phrase.says_something
        for their in there.get(mine.phrase.first, ()) if said else ():
            differ = (mine.kind, mine.node) != (their.kind, their.node)
            if differ and Kind.PLAY in (mine.kind, their.kind):
                return mine, their
    return None


def _plural(text: str) -> str:
    """ "s" where a misheard piece word is written as several: "ponds"."""
    return "s" if _PLAIN.get(text, "").endswith("s") else ""


def _same_words(was: str, now: str) -> bool:
    return was.lower().strip(".,!?") == now.lower()


def _cased(was: str, now: str) -> str:
    """The new words with a capital where the old had one, or in capitals as they were."""
    if len(was) > 1 and was.isupper():
        return now.upper()
    return now[0].upper() + now[1:] if was[:1].isupper() else now


def _lines(moves: dict[int, HeardMove]) -> Iterator[HeardLine]:
    """The lines of a tree: from the start to each end, in the order they were begun.

    A line whose kind changes on its way is also given as far as the stronger kind goes.
    """
    children: dict[int, list[int]] = {}
    for node, move in moves.items():
        children.setdefault(move.parent, []).append(node)
    strength = {"mentioned": 0, "supposed": 1, "shown": 2}

    def walk(node: int, so_far: tuple[HeardMove, ...]) -> Iterator[HeardLine]:
        nxt = children.get(node, [])
        if so_far:
            kind = so_far[-1].kind
            stronger = [c for c in nxt if strength[moves[c].kind] >= strength[kind]]
            if not stronger:
                yield HeardLine(kind, so_far)
        for child in nxt:
            yield from walk(child, (*so_far, moves[child]))

    yield from walk(0, ())


def line_text(sans: Sequence[str], start: int = 0) -> str:
    """Moves with their numbers: "1.e4 e5 2.Nf3".

    >>> line_text(["e4", "e5", "Nf3"]), line_text(["c5", "d4"], 1)
    ('1.e4 e5 2.Nf3', '1...c5 2.d4')
    """
    out: list[str] = []
    for offset, san in enumerate(sans):
        ply = start + offset
        number = f"{ply // 2 + 1}." if ply % 2 == 0 else (f"{ply // 2 + 1}..." if not out else "")
        out.append(number + san)
    return " ".join(out)


__all__ = [
    "CaptionChange",
    "Heard",
    "HeardLine",
    "HeardMove",
    "HeardSlip",
    "Question",
    "Said",
    "Turn",
    "WhatIf",
    "hear",
    "line_text",
]
