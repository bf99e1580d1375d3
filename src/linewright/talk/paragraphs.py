"""Where the sentences and the paragraphs of a heard talk end.

A teacher's paragraphs (blank lines in a text) stay. Elsewhere a part is divided into paragraphs of
about the same length, where the speaker pauses or opens a new thought, and never inside what is
counted ("first ..., second ..., third ..."). In talk without stops sentences end where the speaker
pauses, or, where nothing tells the pauses, where a new thought opens.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

from linewright.talk.decoder import Kind, Mode
from linewright.talk.record import Heard
from linewright.talk.transcript import FileForm, Word
from linewright.talk.vocabulary import ARTICLES

_OPENERS = frozenset(
    "but so now okay ok right alright well what let let's instead another next finally anyway".split()
)
"""Words that open a new thought where captions have no stops."""
_WEAK_OPENERS = frozenset("another next instead finally".split())
"""Openers that as often stand inside a sentence: "she takes another one"."""
_HANGING = frozenset(
    "and or as of to for with at in on by from than if when because that which what is are was be i'd"
    " there's there here's that's what's who's where's he's she's it's they're we're you're i'm you've"
    " we've i've they've says said say my your his her its our their very all not who whose"
    " they he she we i let can will would should could must may might do does did has have had going"
    " just".split()
)
"""Words that no thought ends with: "pawns on a2 and another one", "as well"."""
_BEGUN_BY = frozenset("you it that this only".split())
"""Words that begin a clause behind one that no thought ends with: "and if you", "and only"."""
_NO_OPENERS = frozenset(
    [("what", who) for who in "black white the a he she they we you i it".split()]
    + [("now", "that"), ("so", "that"), ("so", "much"), ("so", "many"), ("so", "far")]
    + [("right", way) for way in "up down away back in on behind there here at into now".split()]
    + [("but", more) for more in "nothing only not no never one".split()]
    + [("let", verb) for verb in "it him her them that you go".split()]
    + [("now", verb) for verb in "is was are were has had".split()]
    + [("well", place) for place in "beside behind before after in on placed worth".split()]
)
"""Openers that open nothing before these words: "so that nothing lands on g4", "but nothing more",
"the main move now is"."""
_ASKED_ABOUT = frozenset("it this that he them there".split())
"""Words between "is" and what is asked of them: "is it okay"."""
_GOING_ON = frozenset(
    "and or because which who whose with of than so that's it that this these those i he she they"
    " his her its such both".split()
)
"""Words that speak of what was just said: a paragraph seldom begins with them."""
_NEW_THOUGHTS = frozenset("now but let let's what how here all right okay next then".split())
_COUNTED = frozenset("second secondly third thirdly fourth fourthly fifth fifthly lastly".split())
"""Words that go on with what is counted."""
_FIRST = frozenset("first firstly one".split())
_ANNOUNCES = re.compile(
    r"(?i)\b(?:two|three|four|five|\d) (?:\w+ )?(?:things|reasons|ideas|points|plans)\b"
)
"""Words that announce a count: "remember three things"."""
COUNTED_SENTENCES = 15
"""What is counted is said in so many sentences at most."""

PARAGRAPH_WORDS = 90
"""About so many words make a paragraph where the talk has none of its own."""
OWN_PARAGRAPH_WORDS = 250
"""A paragraph of the teacher's longer than this is divided too."""
RUN_WORDS = 60
"""Words without a stop after which the next new thought begins a sentence."""
PAUSE_S = 2.0
BREATH_S = 0.4
"""In talk without stops a sentence ends at a pause as long as this."""
MOST_BREATHS = 4
"""More pauses than one in so many words are hesitation and end no sentence."""
STOPPED = 0.75
"""The share of paragraphs that end with a stop where blank lines are a teacher's paragraphs."""


@dataclass(slots=True)
class Told:
    """A sentence as it is written: its words in the talk, its text, private notes on it.

    `open` if a parenthesis in it is not closed yet: no paragraph ends there.
    """

    first: int
    last: int
    text: str
    notes: list[str]
    open: bool = False


@dataclass(frozen=True)
class Layout:
    """The sentences and paragraphs of one talk."""

    heard: Heard

    @property
    def words(self) -> tuple[Word, ...]:
        """The words of the talk."""
        return self.heard.transcript.words

    def sentences(self) -> Iterator[tuple[int, int]]:
        """Runs of words up to a full stop, a pause, or where a new thought opens."""
        thoughts = self._thoughts
        first = 0
        for index in range(1, len(self.words) + 1):
            ends = index == len(self.words) or self.words[index - 1].ends_sentence
            opens = index in thoughts or index in self.own or self._runs_over(first, index)
            pause = index < len(self.words) and self._is_pause(index)
            if ends or opens or (pause and not self._inside_phrase(index)):
                yield first, index
                first = index

    def _runs_over(self, first: int, index: int) -> bool:
        return (
            index - first >= RUN_WORDS
            and self.opens(index)
            and self._text(index) not in _WEAK_OPENERS
            and not self._inside_phrase(index)
        )

    def _is_pause(self, index: int) -> bool:
        """Whether the speaker pauses before a word for so long that the sentence is over."""
        pause = self._pause_s(index)
        if pause >= PAUSE_S:
            return True
        return self.breathes and pause >= BREATH_S and self._can_end(index)

    def _can_end(self, index: int) -> bool:
        last = self._text(index - 1)
        begun = last in _BEGUN_BY and self._text(index - 2) in _HANGING
        return last not in ARTICLES | _HANGING and not begun

    @cached_property
    def unstopped(self) -> bool:
        """Whether the talk is written without stops."""
        return sum(word.ends_sentence for word in self.words) * RUN_WORDS <= len(self.words)

    @cached_property
    def breathes(self) -> bool:
        """Whether the pauses of a talk without stops tell where its sentences end."""
        if not self.unstopped:
            return False
        pauses = sum(self._pause_s(k) >= BREATH_S for k in range(1, len(self.words)))
        return len(self.words) / RUN_WORDS <= pauses <= len(self.words) / MOST_BREATHS

    def _pause_s(self, index: int) -> float:
        """The silence before a word in seconds, 0 where no times are known."""
        before, word = self.words[index - 1], self.words[index]
        if before.end_ms is None or word.start_ms is None:
            return 0.0
        return (word.start_ms - before.end_ms) / 1000

    @cached_property
    def _thoughts(self) -> frozenset[int]:
        """Where a going back is opened in words without stops: "but let me go back to ..."."""
        if not self.unstopped:
            return frozenset()
        found: set[int] = set()
        here, told = 0, 0
        for turn in self.heard.turns:
            event, start = turn.event, turn.phrase[0]
            base = event.node if event.kind is Kind.GOTO else event.base
            if base != here and (event.kind is Kind.GOTO or event.mode is Mode.SHOWN):
                opener = next((k for k in range(start, told - 1, -1) if self.opens(k)), None)
                while opener is not None and opener - 1 >= told and self.opens(opener - 1):
                    opener -= 1
                if opener is not None:
                    found.add(opener)
            here, told = turn.node, max(told, turn.phrase[1])
        return frozenset(found)

    def opens(self, word: int) -> bool:
        """Whether a word opens a new thought, with no stop before it to say so."""
        return (
            0 < word < len(self.words)
            and self._text(word) in _OPENERS
            and self._can_end(word)
            and not self.words[word - 1].mark
            and not self._asks_whether(word)
            and (self._text(word), self._text(word + 1)) not in _NO_OPENERS
        )

    def _asks_whether(self, word: int) -> bool:
        """Whether a word is what a question is about: "is it okay", "was that right"."""
        return self._text(word - 2) in ("is", "was") and self._text(word - 1) in _ASKED_ABOUT

    def _inside_phrase(self, word: int) -> bool:
        return any(turn.phrase[0] < word < turn.phrase[1] for turn in self.heard.turns)

    def _text(self, word: int) -> str:
        return self.words[word].text.lower() if 0 <= word < len(self.words) else ""

    # --- paragraphs ---------------------------------------------------------------------------

    @cached_property
    def own(self) -> frozenset[int]:
        """The words that begin a paragraph of the teacher's: those behind a blank line of a text.

        Blank lines that cut sentences divide lines of captions, not paragraphs.
        """
        transcript = self.heard.transcript
        if transcript.form is not FileForm.TEXT:
            return frozenset()
        text = transcript.source.text
        begins = [
            k
            for k in range(1, len(self.words))
            if re.search(
                r"\n[ \t\r]*\n", text[self.words[k - 1].span.end : self.words[k].span.start]
            )
        ]
        stopped = sum(any(c in ".!?…:" for c in self.words[k - 1].mark) for k in begins)
        return frozenset(begins if stopped >= STOPPED * len(begins) else ())

    def paragraphs(self, part: Sequence[Told]) -> list[list[Told]]:
        """The sentences of a part in paragraphs of about the same length.

        **Cost**: the square of the number of sentences.
        """
        size = [len(one.text.split()) for one in part]
        if not part or sum(size) <= (OWN_PARAGRAPH_WORDS if self.own else 1.5 * PARAGRAPH_WORDS):
            return [list(part)] if part else []
        counted = self._counted(part)
        best: list[tuple[float, int]] = [(0.0, 0)]
        for end in range(1, len(part) + 1):
            ways = (
                (
                    best[start][0] + _ill(sum(size[start:end])) + self._cost(part, start, counted),
                    start,
                )
                for start in range(end)
            )
            best.append(min(ways))
        cuts = [len(part)]
        while cuts[-1]:
            cuts.append(best[cuts[-1]][1])
        cuts.reverse()
        return [list(part[a:b]) for a, b in pairwise(cuts)]

    def _counted(self, part: Sequence[Told]) -> set[int]:
        """The sentences of a part that stand inside what is counted, the first of it left out."""
        inside: set[int] = set()
        for k, one in enumerate(part):
            if self._text(one.first) in _FIRST:
                later = [
                    n
                    for n in range(k + 1, min(k + COUNTED_SENTENCES, len(part)))
                    if self._text(part[n].first) in _COUNTED
                ]
                announced = k > 0 and bool(_ANNOUNCES.search(part[k - 1].text))
                inside.update(range(k if announced else k + 1, max(later, default=0) + 1))
        return inside

    def _cost(self, part: Sequence[Told], start: int, counted: Collection[int]) -> float:
        """How ill a paragraph begins with a sentence of a part."""
        if start == 0:
            return 0.0
        if part[start - 1].open:
            return 100.0
        first = part[start].first
        begins, before = self._text(first), self.words[first - 1].mark
        cost = 0.1 - min(self._pause_s(first), 1.5) / 2
        cost += 5.0 * (start in counted) + 0.3 * (begins in _GOING_ON)
        cost += 0.4 * ("?" in before) + 1.0 * (":" in before)
        return cost - 0.3 * (begins in _NEW_THOUGHTS)


def _ill(words: int) -> float:
    """How ill the length of a paragraph is; a few words alone are worst."""
    return (words / PARAGRAPH_WORDS - 1) ** 2 + (1.0 if words < PARAGRAPH_WORDS / 4 else 0.0)
