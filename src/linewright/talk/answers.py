"""The teacher's answers to questions about a talk: which words each is about, what became of it.

An answer names a place, a time (or the number of a word) with the words said there, and the move
they make, or "only talk".
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

import chess

from linewright.clock import clock
from linewright.expressions import expression
from linewright.finding import Finding, Severity
from linewright.notation import read_move
from linewright.source import NOWHERE
from linewright.talk.decoder import Kind
from linewright.talk.record import ONLY_TALK, Answered, Heard, HeardSlip, Said, Turn
from linewright.talk.said import Phrase
from linewright.talk.transcript import Word

Tokens = tuple[int, int]
"""Tokens of the talk, half open."""

_TALK = frozenset((ONLY_TALK, "talk", "none", "no move", "-", "--", "---", "–", "—"))

NEAR_MS = 3000
"""So far may the time of a place be from that of its words."""
NEAR_WORDS = 8
"""The same where words are counted: what is said in three seconds."""

_PLACE = expression(
    r"\s*(?:word\s+(?P<word>\d{1,7})|(?P<time>(?:\d{1,3}:)?\d{1,3}:\d\d))\s+(?P<words>\S.*?)\s*",
    re.IGNORECASE,
)


def place_of(said: Said) -> str:
    """How a place in the talk is written in the script's `answers`.

    >>> place_of(Said(4, 6, "Knight f3,", 83_400)), place_of(Said(4, 6, "Knight f3", None))
    ('1:23 knight f3', 'word 5 knight f3')
    """
    when = f"word {said.first + 1}" if said.at_ms is None else clock(said.at_ms)
    return f"{when} {plain(said.text)}"


def plain(text: str) -> str:
    """Words without capitals and marks."""
    return " ".join(re.sub(r"[^\w\s'-]", "", text.lower()).split())


@dataclass(frozen=True, slots=True)
class Place:
    """A place as it is written: a time or the number of a word, and words."""

    at_ms: int | None
    word: int | None
    words: str

    @classmethod
    def read(cls, text: str) -> Place | None:
        """The place that a text names, or None.

        >>> Place.read("1:23 knight f3"), Place.read("knight f3")
        (Place(at_ms=83000, word=None, words='knight f3'), None)
        """
        found = _PLACE.fullmatch(text)
        if not found or not plain(found["words"]):
            return None
        if found["word"]:
            return cls(None, int(found["word"]) - 1, plain(found["words"]))
        seconds = 0
        for part in found["time"].split(":"):
            seconds = 60 * seconds + int(part)
        return cls(1000 * seconds, None, plain(found["words"]))

    def distance(self, first: int, at_ms: int | None) -> float | None:
        """How far a word is from the place, 1 being the farthest that fits; None if unknown."""
        if self.word is not None:
            return abs(first - self.word) / NEAR_WORDS
        if self.at_ms is None or at_ms is None:
            return None
        return abs(at_ms // 1000 * 1000 - self.at_ms) / NEAR_MS

    def said_in(self, words: Sequence[Word]) -> list[tuple[float, Tokens]]:
        """Where its words are said, the nearest first, with the distance."""
        wanted = self.words.split()
        known = [(part, k) for k, word in enumerate(words) for part in plain(word.text).split()]
        texts = [part for part, _ in known]
        found = []
        for start in range(len(texts) - len(wanted) + 1):
            if texts[start : start + len(wanted)] == wanted:
                first, end = known[start][1], known[start + len(wanted) - 1][1] + 1
                distance = self.distance(first, words[first].start_ms)
                if distance is not None:
                    found.append((distance, (first, end)))
        return sorted(found)


def is_talk(answer: str) -> bool:
    """Whether an answer says that the words make no move.

    >>> is_talk("only talk"), is_talk("--"), is_talk("—"), is_talk("d4")
    (True, True, True, False)
    """
    return (plain(answer) or answer.strip()) in _TALK


def move_in(answer: str) -> str:
    """The move (SAN without signs) that an answer names; empty if none.

    >>> move_in("6...Bxc5+"), move_in("0-0"), move_in("yes")
    ('Bxc5', 'O-O', '')
    """
    written = read_move(re.sub(r"^\s*\d+\s*[.…]+\s*|[\s.]+$", "", answer).strip())
    return written.san if written else ""


@dataclass(frozen=True, slots=True)
class Answers:
    """The answers with the tokens each is about; `lost` are those that no words fit."""

    found: tuple[tuple[Tokens, Answered], ...]
    lost: tuple[Answered, ...]

    @classmethod
    def of(
        cls, answers: Mapping[str, str], spots: Mapping[Tokens, Said], words: Sequence[Word]
    ) -> Answers:
        """Finds the words for each answer among those that may tell something of the board."""
        found: list[tuple[Tokens, Answered]] = []
        lost: list[Answered] = []
        for place, answer in answers.items():
            spot, fault = _spot(place, answer, spots, words)
            if spot is None:
                lost.append(Answered(place, answer, None, fault))
            else:
                found.append((spot, Answered(place, answer, spots[spot], "")))
        return cls(tuple(found), tuple(lost))

    def told(self, phrases: Iterable[Tokens]) -> dict[Tokens, str]:
        """What each stretch of tokens is known to be: a move, with its number if known, or only talk.

        Words inside those that are only talk are so too.
        """
        moves = {
            spot: _number(one.answer) + move_in(one.answer)
            for spot, one in self.found
            if not is_talk(one.answer)
        }
        talk = [spot for spot, one in self.found if is_talk(one.answer)]
        told = {p: ONLY_TALK for p in phrases if any(overlap(p, spot) for spot in talk)}
        return {**told, **moves}

    def clear(self, phrases: dict[int, list[Phrase]]) -> dict[int, list[Phrase]]:
        """The phrases without those that run into the words of a move that is answered."""
        moves = [spot for spot, one in self.found if not is_talk(one.answer)]
        if not moves:
            return phrases
        return {
            first: [p for p in same if not any(p.first < spot[0] < p.end for spot in moves)]
            for first, same in phrases.items()
        }

    def about(self, phrase: Tokens) -> bool:
        """Whether an answer is about any of these tokens."""
        return any(overlap(phrase, spot) for spot, _ in self.found)


def overlap(one: Tokens, other: Tokens) -> bool:
    """Whether two half open stretches share anything."""
    return one[0] < other[1] and other[0] < one[1]


def _spot(
    place: str, answer: str, spots: Mapping[Tokens, Said], words: Sequence[Word]
) -> tuple[Tokens | None, str]:
    """The tokens an answer is about, or why there are none."""
    if not is_talk(answer) and not move_in(answer):
        return None, f"'{answer}' is neither a move nor '{ONLY_TALK}'"
    read = Place.read(place)
    if read is None:
        return None, "a place is written with its time or word, then the words: '1:23 knight f3'"
    known = read.said_in(words)
    for distance, said in known:
        if (spot := _alike(said, spots)) is not None:
            if distance <= 1:
                return spot, ""
            return None, f"{_NO_WORDS}: the nearest that does is '{place_of(spots[spot])}'"
    return None, _NO_WORDS + _nearest(read, spots.values())


_NO_WORDS = "no words that may tell a move fit this place"


def _alike(said: Tokens, spots: Mapping[Tokens, Said]) -> Tokens | None:
    """The tokens whose words are these, or the most of them, or the least that takes them in."""
    best = None
    for spot, words in spots.items():
        inside = said[0] <= words.first and words.end <= said[1]
        around = words.first <= said[0] and said[1] <= words.end
        if inside or around:
            length = words.end - words.first
            rank = (not (inside and around), not inside, -length if inside else length, spot)
            best = rank if best is None else min(best, rank)
    return None if best is None else best[3]


def _nearest(place: Place, spots: Collection[Said]) -> str:
    """Which place would fit, by its time."""
    known = [(d, said.first, said) for said in spots
             if (d := place.distance(said.first, said.at_ms)) is not None]  # fmt: skip
    best = min(known, default=None, key=lambda item: item[:2])
    return f": the nearest that does is '{place_of(best[2])}'" if best else ""


# --- what became of an answer ------------------------------------------------------------------


def followed(answers: Answers, heard: Heard) -> tuple[Answered, ...]:
    """The answers with the reason why, where one could not be followed."""
    found = (replace(one, fault=_fault(one, heard)) for _, one in answers.found)
    return (*found, *answers.lost)


def _fault(one: Answered, heard: Heard) -> str:
    assert one.said is not None
    words = (one.said.first, one.said.end)
    if is_talk(one.answer):
        made = next((t for t in heard.turns if _plays(t) and overlap(t.phrase, words)), None)
        return f"its words are part of {heard.label(made.node)}" if made else ""
    made = next((t for t in heard.turns if t.phrase == words and t.node), None)
    if made is None or heard.moves[made.node].san.rstrip("+#") != move_in(one.answer):
        before = heard.node_at(one.said.first)
        return _why_not_played(move_in(one.answer), heard.board(before), heard.label(before))
    if not heard.label(made.node).startswith(_number(one.answer)):
        return f"on the board its words are said at it is {heard.label(made.node)}"
    return ""


def _number(answer: str) -> str:
    """The number of a move as it is written before it, "3." or "3..."; empty if there is none."""
    found = re.match(r"\s*(\d+)\s*(\.{2,}|…|\.)", answer)
    return f"{found[1]}{'.' if found[2] == '.' else '...'}" if found else ""


def _plays(turn: Turn) -> bool:
    return turn.event.kind is Kind.PLAY


def _why_not_played(move: str, board: chess.Board, after: str) -> str:
    """Why a move that was answered was not made, with moves that can be."""
    where = f"after {after}" if after else "at the start"
    legal = sorted(board.san(m).rstrip("+#") for m in board.legal_moves)
    if move in legal:
        return f"'{move}' can be played {where}, but not with these words"
    turn = "White" if board.turn else "Black"
    near = [san for san in legal if san[-2:] == move[-2:] and "-" not in move]
    more = f": {_or(near[:3])} can" if near else ""
    return f"{turn} is to move {where} and cannot play '{move}'{more}"


def is_answered(said: Said, answered: Iterable[Answered]) -> bool:
    """Whether an answer about any of these words is followed."""
    words = (said.first, said.end)
    known = [one.said for one in answered if one.said and not one.fault]
    return any(overlap((one.first, one.end), words) for one in known)


def without_answered(
    slips: tuple[HeardSlip, ...], answered: tuple[Answered, ...], words: Sequence[Word]
) -> tuple[tuple[HeardSlip, ...], tuple[Answered, ...]]:
    """The slips without those whose words are answered to be only talk, and the answers."""
    talk = [one for one in answered if is_talk(one.answer)]
    dropped = {slip: one for slip in slips for one in talk if _is_about(one, slip.said, words)}
    about = {one: slip.said for slip, one in dropped.items()}
    return (
        tuple(slip for slip in slips if slip not in dropped),
        tuple(replace(one, said=about[one], fault="") if one in about else one for one in answered),
    )


def _is_about(one: Answered, said: Said, words: Sequence[Word]) -> bool:
    """Whether an answer is about these words, which may be no move's."""
    here = (said.first, said.end)
    if one.said is not None:
        return overlap((one.said.first, one.said.end), here)
    place = Place.read(one.place)
    near = place.said_in(words) if place else []
    return any(distance <= 1 and overlap(spot, here) for distance, spot in near)


def _or(words: list[str]) -> str:
    return " or ".join([", ".join(words[:-1]), words[-1]] if len(words) > 1 else words)


def findings_of(answered: Iterable[Answered], unread: Iterable[str] = ()) -> list[Finding]:
    """A finding for each answer that could not be followed, and for each line that is none."""
    found = [
        Finding("answer-not-followed", Severity.WARNING, NOWHERE, _message(one))
        for one in answered
        if one.fault
    ]
    found.extend(
        Finding("unreadable-answer", Severity.WARNING, NOWHERE, f"'{line}' is no answer: {_SHAPE}")
        for line in unread
    )
    return found


_SHAPE = (
    "below 'answers:' each stands on a line of its own, two spaces in, place and move in quotes"
    ' with a colon between: "1:23 knight f3": "2.Nf3"'
)


def _message(one: Answered) -> str:
    return f"the answer '{one.place}: {one.answer}' is not followed: {one.fault}"
