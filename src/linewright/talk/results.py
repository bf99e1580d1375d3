"""How the game of a talk ended, where the talk plainly says so or the board shows it.

Said is who resigned, lost on time or won, or that a draw was agreed, with the side or its player
named, while the board stands at the end of the main line. The last words of a talk may also say who
lost behind moves that were heard as supposed. What may be meant of another game, of what would be or
of nobody named is no result.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from linewright.expressions import expression
from linewright.talk.decoder import Kind, Mode
from linewright.talk.record import Heard, Turn
from linewright.talk.transcript import Word

DRAWN = "1/2-1/2"
_WON_BY = {"w": "1-0", "b": "0-1"}
_OTHER = {"w": "b", "b": "w"}

_HOW = r"(?: (?:had|has|then|just|simply|finally|here|now|promptly|immediately|at once|rightly))*"
_END = (
    r"(?= [.!?;]|$| here\b| now\b| at once\b| on the spot\b| on move\b| after\b| and (?:that|so)\b)"
)
_LOST = expression(
    rf"(?P<side>[wb])side{_HOW} (?:resign(?:ed|s)\b|(?:gave|gives) up{_END}"
    rf"|(?:lost|loses) on time\b|(?:ran|runs) out of time\b|overstepp?ed the time\b|(?:is|was) (?:check)?mated\b"
    rf"|(?:threw|throws) in the towel\b)|(?P<flag>[wb])side's flag (?:fell|falls|drops|dropped)\b"
)
_WON = expression(rf"(?P<side>[wb])side{_HOW} (?:won|wins)(?: on time\b| the game\b|{_END})")
_DRAW = expression(
    r"\bagreed? (?:to |on )?(?:a|the) draw\b|\bdraw (?:was |is )?agreed\b|\bshook hands on a draw\b"
    r"|\bgame (?:ended|ends) (?:in|as) a draw\b|\bgame (?:was|is) drawn\b"
    r"|\bdrawn by (?:agreement|repetition)\b"
)
_UNREAL = frozenset(
    "if would could might may should can will shall must until unless before whether almost nearly"
    " not never nobody why when whenever think thought expected feared hoped hopes wants wanted"
    " instead another other once sometimes often usually mostly always perhaps maybe probably"
    " wouldn't couldn't didn't doesn't hasn't hadn't isn't wasn't can't cannot won't he'd she'd"
    " they'd i'd we'd you'd say suppose imagine".split()
)
"""Words that make what is said behind them no plain fact of this game."""
_TITLES = frozenset(
    "mr mrs miss ms dr doctor sir master fide the young old little big uncle aunt auntie".split()
)


def result_of(heard: Heard) -> str:
    """The result as a game file writes it; empty where it is not plainly told.

    A mate or stalemate on the board at the end of the main line is told by the board.
    """
    main = heard.main_line()
    if not main:
        return ""
    board = heard.board(main[-1])
    if board.is_checkmate():
        return _WON_BY["b" if board.turn else "w"]
    if board.is_stalemate():
        return DRAWN
    told = set(_told(heard, main[-1])) or set(_told_last(heard, main))
    return told.pop() if len(told) == 1 else ""


def _told(heard: Heard, end: int) -> Iterator[str]:
    """The results that are said while the board stands at the end of the main line."""
    explained = heard.explanations()
    for stretch in _stretches(heard):
        here = {heard.node_at(word) for word in range(stretch.at, stretch.end)}
        if end in {explained.get(node, node) for node in here} and not stretch.asks(heard):
            yield from _said(_with_sides(heard, stretch.words(heard)))


def _told_last(heard: Heard, main: tuple[int, ...]) -> Iterator[str]:
    """Who is said to have lost behind the last move of a talk, on a line that is the main one.

    It leaves the main line in its last moves at most, and goes on as far: real moves are now and then
    heard as supposed.
    """
    last = heard.turns[-1]
    line = heard.way_to(last.node)
    if len(line) < len(main) or line[: len(main) - LAST_MOVES] != list(main[:-LAST_MOVES]):
        return
    for stretch in _stretches(heard):
        if stretch.end > last.phrase[1] and not stretch.asks(heard):
            yield from _lost(_with_sides(heard, stretch.words(heard)))


def _lost(text: str) -> Iterator[str]:
    for lost in _plain(_LOST, text):
        yield _WON_BY[_OTHER[lost["side"] or lost["flag"]]]


def _said(text: str) -> Iterator[str]:
    yield from _lost(text)
    for won in _plain(_WON, text):
        yield _WON_BY[won["side"]]
    for _ in _plain(_DRAW, text):
        yield DRAWN


def _plain(told: re.Pattern[str], text: str) -> Iterator[re.Match[str]]:
    """Where a result is told, with nothing before it or close behind it that makes it unreal."""
    for found in told.finditer(text):
        behind = re.split(r"[,.]|\bbecause\b", text[found.end() :])[0].split()[:CLOSE]
        if _UNREAL.isdisjoint([*text[: found.end()].split(), *behind]):
            yield found


CLOSE = 3
"""So many words behind a result may make it unreal: "resigned here instead"."""


LONGEST = 30
"""Words without a stop are looked at so many at a time."""

LEAD = 4
"""So many words before a move may make what is said behind it unreal, where there are no stops."""

LAST_MOVES = 2
"""So many moves before its end may the main line be left by moves that were played."""


@dataclass(frozen=True, slots=True)
class _Stretch:
    """Words that are read together: from `first` up to `end`, said on the boards from `at` on."""

    first: int
    end: int
    at: int

    def words(self, heard: Heard) -> Sequence[Word]:
        return heard.transcript.words[self.first : self.end]

    def asks(self, heard: Heard) -> bool:
        return "?" in heard.transcript.words[self.end - 1].mark


def _stretches(heard: Heard) -> Iterator[_Stretch]:
    """The sentences; long ones without stops by the moves shown in them, in parts."""
    first = 0
    words = heard.transcript.words
    for index, word in enumerate(words):
        if any(c in ".!?;:" for c in word.mark) or index + 1 == len(words):
            if index + 1 - first <= LONGEST:
                yield _Stretch(first, index + 1, first)
            else:
                yield from _by_moves(heard, first, index + 1)
            first = index + 1


def _by_moves(heard: Heard, first: int, end: int) -> Iterator[_Stretch]:
    """Parts of a sentence, each from a few words before a move that is shown up to the next.

    What made something before that move unreal ("he thought", "he should have waited") is over.
    """
    moves = [t.phrase[0] for t in heard.turns if first < t.phrase[0] < end and _shows(t)]
    for at, stop in pairwise([first, *moves, end]):
        start = max(first, at - LEAD)
        for part in range(start, stop, LONGEST):
            yield _Stretch(part, min(part + LONGEST, stop), max(part, at))


def _shows(turn: Turn) -> bool:
    return turn.event.kind is Kind.PLAY and turn.event.mode is Mode.SHOWN


def _with_sides(heard: Heard, words: Sequence[Word]) -> str:
    """The words in small letters, whoever stands for a side named by it: "wside resigned ."."""
    sides = _sides(heard)
    out = []
    for word in words:
        text = word.text.lower()
        name, _, owned = text.partition("'")
        known = sides.get(name)
        out.append(f"{known}side" + (f"'{owned}" if owned else "") if known else text)
        if word.mark:
            out.append("." if any(c in ".!?;:" for c in word.mark) else word.mark)
    return " ".join(out).replace("my opponent", _opponent(heard))


def _opponent(heard: Heard) -> str:
    return f"{_OTHER[heard.me]}side" if heard.me else "my opponent"


def _sides(heard: Heard) -> dict[str, str]:
    """The side of each word that stands for one."""
    found = {"white": "w", "black": "b"}
    if heard.me:
        found |= {"i": heard.me, "we": heard.me}
    for side, name in heard.players.items():
        for word in name.lower().split():
            if word not in _TITLES:
                found[word] = side
    return found
