"""The teacher's answers to questions about a talk: which words each is about, what became of it.

An answer names a place, a time (or the number of a word) with the words said there, and the move
they make, or "only talk"; "as said" refuses what is put right there.
"""

from __future__ import annotations

import math
import re
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import chess
from rapidfuzz.fuzz import ratio

from linewright.clock import clock
from linewright.expressions import expression
from linewright.finding import Finding, Severity
from linewright.moves import side_name
from linewright.notation import in_english, read_move
from linewright.source import NOWHERE
from linewright.talk.decoder import Kind
from linewright.talk.meant import meaning
from linewright.talk.record import (
    AS_SAID,
    ONLY_TALK,
    Answered,
    CaptionChange,
    Heard,
    HeardSlip,
    Said,
    Turn,
)
from linewright.talk.said import Phrase
from linewright.talk.transcript import Word
from linewright.talk.vocabulary import DIGITS, PIECES

Tokens = tuple[int, int]
"""Tokens of the talk, half open."""

_TALK = frozenset((ONLY_TALK, "talk", "none", "no move", "-", "--", "---", "–", "—"))

NEAR_MS = 3000
"""So far may the time of a place be from that of its words."""
NEAR_WORDS = 8
"""The same where words are counted: what is said in three seconds."""

FAR = 10
"""So many times farther may a time be from words said only once; the words of a talk that was
written on are counted anew, its times are not."""

NEAREST = 3
"""So many places that would fit are listed."""
ALIKE = 85.0
"""Words of a place near its time are those said, if they are as like as this (per cent)."""

_PLACE = expression(
    r"\s*(?:word\s+(?P<word>\d{1,7})|(?P<time>(?:\d{1,3}:)?\d{1,3}:\d\d))?(?:\b|^)\s*(?P<words>.*?)\s*",
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
class AnswerPlace:
    """A place as it is written: a time or the number of a word, and words; or only one of these."""

    at_ms: int | None
    word: int | None
    words: str

    @classmethod
    def read(cls, text: str) -> AnswerPlace | None:
        """The place that a text names, or None.

        >>> AnswerPlace.read("1:23 knight f3"), AnswerPlace.read("knight f3")
        (AnswerPlace(at_ms=83000, word=None, words='knight f3'), AnswerPlace(at_ms=None, word=None, words='knight f3'))
        >>> AnswerPlace.read("1:23"), AnswerPlace.read("?")
        (AnswerPlace(at_ms=83000, word=None, words=''), None)
        """
        found = _PLACE.fullmatch(text)
        if not found or not (plain(found["words"]) or found["word"] or found["time"]):
            return None
        words = plain(found["words"])
        if found["word"]:
            return cls(None, int(found["word"]) - 1, words)
        if not found["time"]:
            return cls(None, None, words)
        seconds = 0
        for part in found["time"].split(":"):
            seconds = 60 * seconds + int(part)
        return cls(1000 * seconds, None, words)

    def distance(self, first: int, at_ms: int | None) -> float | None:
        """How far a word is from the place, 1 being the farthest that fits; None if unknown."""
        if self.word is not None:
            return abs(first - self.word) / NEAR_WORDS
        if self.at_ms is None or at_ms is None:
            return None
        return abs(at_ms // 1000 * 1000 - self.at_ms) / NEAR_MS

    def said_in(self, words: Sequence[Word]) -> list[tuple[float, Tokens]]:
        """Where its words are said, the nearest first, with the distance, endless if unknown."""
        wanted = self.words.split()
        known = [(part, k) for k, word in enumerate(words) for part in plain(word.text).split()]
        texts = [part for part, _ in known]
        found = []
        for start in range(len(texts) - len(wanted) + 1 if wanted else 0):
            if texts[start : start + len(wanted)] == wanted:
                first, end = known[start][1], known[start + len(wanted) - 1][1] + 1
                distance = self.distance(first, words[first].start_ms)
                found.append((math.inf if distance is None else distance, (first, end)))
        return sorted(found)

    def near(self, said: Said) -> float:
        """How far words are from its time, endless if unknown."""
        distance = self.distance(said.first, said.at_ms)
        return math.inf if distance is None else distance

    @property
    def is_timed(self) -> bool:
        """Whether it says where in the talk it is."""
        return self.at_ms is not None or self.word is not None

    def likeness(self, said: Said) -> float:
        """How like its words are to those of the talk, spelling aside, in per cent."""
        return ratio(_spelt(self.words), _spelt(plain(said.text)))


def _spelt(words: str) -> str:
    """Words as a reader of notation spells them.

    >>> _spelt("night f three"), _spelt("pond takes e 4")
    ('knight f3', 'pawn takes e4')
    """
    texts = (_AS_SPELT.get(word, word) for word in words.split())
    return re.sub(r"\b([a-h]) ([1-8])\b", r"\1\2", " ".join(texts))


_AS_SPELT = {**DIGITS, "night": "knight", "nite": "knight", "pond": "pawn", "prawn": "pawn"}


def is_talk(answer: str) -> bool:
    """Whether an answer says that the words make no move.

    >>> is_talk("only talk"), is_talk("--"), is_talk("—"), is_talk("d4")
    (True, True, True, False)
    """
    return (plain(answer) or answer.strip()) in _TALK


def is_as_said(answer: str) -> bool:
    """Whether an answer says that nothing is to be put right in the words."""
    return plain(answer) == AS_SAID


_MEANING = expression(
    r"(?:the )?(?:(?P<side>white|black)(?:['’]s)? )?(?P<man>pawn|knight|bishop|rook|queen|king)"
    r" on (?P<square>[a-h][1-8])"
)


def is_meaning(answer: str) -> bool:
    """Whether an answer says where the man stands that words of a slip meant.

    >>> is_meaning("the rook on a8"), is_meaning("White's rook"), is_meaning("Ra8")
    (True, False, False)
    """
    return _MEANING.fullmatch(plain(answer)) is not None


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
        cls,
        answers: Mapping[str, str],
        spots: Mapping[Tokens, Said],
        words: Sequence[Word],
        unnamed: Collection[Tokens] = (),
    ) -> Answers:
        """Finds the words for each answer among those that may tell something of the board.

        Those of `unnamed` name no move: they are taken where no words beside them do.
        """
        found: list[tuple[Tokens, Answered]] = []
        lost: list[Answered] = []
        for place, answer in answers.items():
            spot, fault = _spot(place, answer, spots, words, unnamed)
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
            spot: number_of(one.answer) + move_in(one.answer)
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


_NAMES_A_MAN = re.compile(r"(?i)\b(?:king|queen|rook|bishop|knight|pawn)s?\b")


def _spot(
    place: str,
    answer: str,
    spots: Mapping[Tokens, Said],
    words: Sequence[Word],
    unnamed: Collection[Tokens],
) -> tuple[Tokens | None, str]:
    """The tokens an answer is about, or why there are none."""
    meaning = is_meaning(answer)
    known_answer = is_talk(answer) or is_as_said(answer) or meaning or move_in(answer)
    if not known_answer:
        why = f"'{answer}' is neither a move nor '{ONLY_TALK}' nor '{AS_SAID}'"
        return None, why + (
            _how_to_mend(answer) if _NAMES_A_MAN.search(answer) else _spelt_so(answer)
        )
    read = AnswerPlace.read(place)
    if read is None:
        return None, "a place is written with its time or word, then the words: '1:23 knight f3'"
    if is_as_said(answer) or meaning:
        return None, _NO_SLIP + _how_to_mend(answer) if meaning else _NOTHING_REFUSED
    found: dict[Tokens, float] = {}
    for distance, said in read.said_in(words):
        if (spot := _alike(said, spots, unnamed)) is not None:
            found.setdefault(spot, distance)
    near = min(found, key=found.__getitem__, default=None)
    far = read.at_ms is not None and FAR < min(found.values(), default=0) < math.inf
    once = len(found) == 1 and not far
    if near is not None and (found[near] <= 1 or once):
        return near, ""
    if found:
        return None, f"its words are said elsewhere, at {_listed(spots[spot] for spot in found)}"
    if (close := _by_time(read, spots)) is not None:
        return close, ""
    return None, _NO_WORDS + _nearest(read, spots.values())


def _spelt_so(answer: str) -> str:
    """The answer with the English letter of its piece, if it has another language's; else empty.

    >>> _spelt_so("5...Sf6"), _spelt_so("yes")
    (": the pieces' letters are K, Q, R, B and N; perhaps '5...Nf6'", '')
    """
    move = _NUMBER.sub("", answer.strip())
    number = answer.strip().removesuffix(move)
    english = in_english(move)
    told = f": the pieces' letters are K, Q, R, B and N; perhaps '{number}{english}'"
    return told if english else ""


_NUMBER = expression(r"^\d*\s*[.…]*\s*")


def _how_to_mend(answer: str) -> str:
    return f"; to mend a name, put '[means {answer}]' behind its words in the talk"


_NO_WORDS = "no words that may tell a move fit this place"
_NO_SLIP = "no slip at this place can mean that"
_NOTHING_REFUSED = "neither a slip nor a correction of the captions is at this place"


def _by_time(place: AnswerPlace, spots: Mapping[Tokens, Said]) -> Tokens | None:
    """The tokens near the time of a place, whose words are spelt otherwise or not given.

    Without a time they are those spelt otherwise, if such words are said once.
    """
    like = {
        spot: said
        for spot, said in spots.items()
        if not place.words or place.likeness(said) >= ALIKE
    }
    if not place.is_timed:
        return next(iter(like)) if len(like) == 1 else None
    near = {spot: (place.near(said), said.first - said.end) for spot, said in like.items()}
    best = min(near, key=near.__getitem__, default=None)
    return best if best is not None and near[best][0] <= 1 else None


def _listed(places: Iterable[Said]) -> str:
    """Places as they are written, those told first."""
    written = dict.fromkeys(f"'{place_of(said)}'" for said in places)
    return _or(list(written)[:NEAREST])


def _alike(
    said: Tokens, spots: Mapping[Tokens, Said], unnamed: Collection[Tokens]
) -> Tokens | None:
    """The tokens whose words are these, or the most of them, or the least that takes them in."""
    best = None
    for spot, words in spots.items():
        inside = said[0] <= words.first and words.end <= said[1]
        around = words.first <= said[0] and said[1] <= words.end
        if inside or around:
            length = words.end - words.first
            much = -length if inside else length
            rank = (not (inside and around), not inside, spot in unnamed, much, spot)
            best = rank if best is None else min(best, rank)
    return None if best is None else best[-1]


def _nearest(place: AnswerPlace, spots: Collection[Said]) -> str:
    """Which places would fit best, by time and words, each stretch of the talk once."""
    ranks = {said: (_rank(place, said), said.first, said.end) for said in spots}
    apart: list[Said] = []
    for said in sorted((one for one in ranks if ranks[one][0] < math.inf), key=ranks.__getitem__):
        whole = _widest(said, spots)
        if not any(overlap((whole.first, whole.end), (one.first, one.end)) for one in apart):
            apart.append(whole)
    if not apart:
        return ""
    does = "that does is" if len(apart) == 1 else "that do are"
    return f": the nearest {does} {_listed(apart[:NEAREST])}"


def _widest(said: Said, spots: Iterable[Said]) -> Said:
    """The most words that tell something together with these: "queen d4", not "d4"."""
    around = (one for one in spots if one.first <= said.first and said.end <= one.end)
    return max(around, key=lambda one: one.end - one.first, default=said)


def _rank(place: AnswerPlace, said: Said) -> float:
    """How far words are from a place: quite other words count as four times the time that fits."""
    far = place.near(said) if place.is_timed else 0.0
    return far + (4 - place.likeness(said) / 25 if place.words else 0.0)


# --- what became of an answer ------------------------------------------------------------------


def followed(answers: Answers, heard: Heard) -> tuple[Answered, ...]:
    """The answers with the reason why, where one could not be followed, or not as numbered."""
    found = [replace(one, fault=_fault(one, heard)) for _, one in answers.found]
    told = (one if one.fault else replace(one, numbered=_numbered(one, heard)) for one in found)
    return (*told, *answers.lost)


def _fault(one: Answered, heard: Heard) -> str:
    assert one.said is not None
    words = (one.said.first, one.said.end)
    if is_talk(one.answer):
        made = next((t for t in heard.turns if _plays(t) and overlap(t.phrase, words)), None)
        return f"its words are part of {heard.label(made.node)}" if made else ""
    node = _made(one, heard)
    if not node or heard.moves[node].san.rstrip("+#") != move_in(one.answer):
        return fault_here(one, heard)
    return ""


def goes_back_to(one: Answered, heard: Heard) -> str:
    """The move to whose board words lead back that are answered to be only talk; else empty."""
    if one.said is None or one.fault or not is_talk(one.answer):
        return ""
    words = (one.said.first, one.said.end)
    back = (t for t in heard.turns if t.event.kind is Kind.GOTO and overlap(t.phrase, words))
    return next((heard.label(turn.node) for turn in back), "")


def fault_here(one: Answered, heard: Heard) -> str:
    """Why an answer cannot be followed on the board its words are said at, heard without it."""
    if one.said is None or is_talk(one.answer):
        return one.fault
    before = board_before(one, heard)
    return _why_not_played(move_in(one.answer), heard.board(before), heard.label(before))


def board_before(one: Answered, heard: Heard) -> int:
    """The board that the words of an answer are said at."""
    assert one.said is not None
    words = (one.said.first, one.said.end)
    turn = next((t for t in heard.turns if _plays(t) and overlap(t.phrase, words)), None)
    return heard.node_at(one.said.first) if turn is None else turn.event.base


def _made(one: Answered, heard: Heard) -> int:
    """The board after what an answer's words are on it; 0 where they change nothing."""
    words = one.said and (one.said.first, one.said.end)
    return next((turn.node for turn in heard.turns if turn.phrase == words and turn.node), 0)


def _numbered(one: Answered, heard: Heard) -> str:
    """The move of an answer with its number, if the answer has another; else empty."""
    label = heard.label(_made(one, heard))
    return "" if is_talk(one.answer) or label.startswith(number_of(one.answer)) else label


def number_of(answer: str) -> str:
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
    turn = side_name(board.turn)
    near = [san for san in legal if san[-2:] == move[-2:] and "-" not in move]
    more = f": {_or(near[:3])} can" if near else ""
    return f"{turn} is to move {where} and cannot play '{move}'{more}"


def is_answered(said: Said, answered: Iterable[Answered]) -> bool:
    """Whether an answer about any of these words is followed."""
    words = (said.first, said.end)
    known = [one.said for one in answered if one.said and not one.fault]
    return any(overlap((one.first, one.end), words) for one in known)


def is_told(slip: HeardSlip, answered: Iterable[Answered]) -> bool:
    """Whether an answer that is followed says that just this was meant by these words."""
    return is_answered(slip.said, [one for one in answered if _says_meant(slip, one.answer)])


def _says_meant(slip: HeardSlip, answer: str) -> bool:
    """Whether an answer names the move or the man that a slip means, not only its words."""
    told = _MEANING.fullmatch(plain(answer))
    if told is None:
        return move_in(answer) == slip.meant.rstrip("+#")
    if _is_of_whose_man(slip):
        same = slip.men == f"{told['man']} on {told['square']}"
        return same and told["side"] in (None, slip.meant.lower())
    return _man_meant(told) == slip.meant


def _man_meant(told: re.Match[str]) -> str:
    """The man and square of an answer as a slip has them: "Ra8", "e4" of a pawn."""
    return PIECES[told["man"]].replace("P", "") + told["square"]


def without_answered(
    slips: tuple[HeardSlip, ...], answered: tuple[Answered, ...], words: Sequence[Word]
) -> tuple[tuple[HeardSlip, ...], tuple[Answered, ...]]:
    """The slips without those whose words are answered to be no slip, and the answers.

    Those whose meaning is answered are sure, and mean what is answered.
    """
    talk = [one for one in answered if is_talk(one.answer) or is_as_said(one.answer)]
    meanings = [one for one in answered if is_meaning(one.answer) or one.said is None]
    dropped = {slip: one for slip in slips for one in talk if _is_about(one, slip, slips, words)}
    meant = {
        slip: one
        for slip in slips
        for one in meanings
        if _can_mean(slip, one) and _is_about(one, slip, slips, words)
    }
    about = {one: slip.said for slip, one in (*dropped.items(), *meant.items())}
    return (
        tuple(_meaning(slip, meant.get(slip)) for slip in slips if slip not in dropped),
        tuple(replace(one, said=about[one], fault="") if one in about else one for one in answered),
    )


def _can_mean(slip: HeardSlip, one: Answered) -> bool:
    """Whether a slip of where something stands, or whose it is, may mean the man an answer names.

    An answer in just the words that tell what a slip means confirms it.
    """
    if plain(one.answer) in (plain(slip.meant), plain(meaning(slip))):
        return True
    if slip.kind == "file":
        return _files_in(one.answer) == _files_in(slip.meant)
    told = _MEANING.fullmatch(plain(one.answer))
    if told is None or not (slip.kind in ("square", "piece") or _is_of_whose_man(slip)):
        return False
    piece = slip.board().piece_at(chess.parse_square(told["square"]))
    if piece is None or chess.piece_name(piece.piece_type) != told["man"]:
        return False
    if _is_of_whose_man(slip) and slip.men != f"{told['man']} on {told['square']}":
        return False
    return told["side"] in (None, chess.COLOR_NAMES[piece.color])


_A_FILE = re.compile(r"(?<![\w'-])([a-h])[- ](pawn|file)s?\b")
_NO_FILE = re.compile(r"\b(?:not?|never|neither)\b|n't\b")


def _files_in(answer: str) -> set[tuple[str, ...]]:
    """The files, or pawns by their files, that an answer names: "Black has doubled c pawns"."""
    told = plain(answer)
    return set() if _NO_FILE.search(told) else set(_A_FILE.findall(told))


def _is_of_whose_man(slip: HeardSlip) -> bool:
    """Whether a slip is in whose a man is: "the white bishop on d4" of Black's."""
    return slip.kind == "side" and bool(slip.men) and slip.meant in ("White", "Black")


def _meaning(slip: HeardSlip, one: Answered | None) -> HeardSlip:
    """A slip with the meaning that is answered, if any is."""
    if one is None:
        return slip
    told = _MEANING.fullmatch(plain(one.answer))
    if told is None:
        return replace(slip, sure=1.0)
    if _is_of_whose_man(slip):
        return replace(slip, sure=1.0)
    return replace(slip, meant=_man_meant(told), sure=1.0)


def without_refused(
    changes: tuple[CaptionChange, ...], answered: tuple[Answered, ...], words: Sequence[Word]
) -> tuple[tuple[CaptionChange, ...], tuple[Answered, ...]]:
    """The corrections of the captions without those that are refused, and the answers."""
    refused = {
        change: one
        for change in changes
        for one in answered
        if _refuses(one, change, changes, words)
    }
    about = {one: change.said for change, one in refused.items()}
    return (
        tuple(change for change in changes if change not in refused),
        tuple(
            replace(one, said=one.said or about[one], fault="", refuses=True)
            if one in about
            else one
            for one in answered
        ),
    )


def with_confirmed(heard: Heard) -> tuple[Answered, ...]:
    """The answers, with "as said" of words that are a move followed: that move is right as heard."""
    moves = [turn for turn in heard.turns if _plays(turn)]
    words = heard.transcript.words
    spots = [Said(*t.phrase, "", words[t.phrase[0]].start_ms) for t in moves]
    out = []
    for one in heard.answered:
        if one.said is None and one.fault == _NOTHING_REFUSED:
            told = _told_at(one.place, spots, words)
            said = next((s for s in spots for t in told if overlap((s.first, s.end), t)), None)
            out.append(one if said is None else replace(one, said=said, fault=""))
        else:
            out.append(one)
    return tuple(out)


def _refuses(
    one: Answered, change: CaptionChange, changes: Iterable[CaptionChange], words: Sequence[Word]
) -> bool:
    """Whether an answer refuses a correction.

    Only talk its words may be in others too ("the night on e6"), unless it is said of just them.
    """
    here = (change.said.first, change.said.end)
    if is_as_said(one.answer):
        told = _told_at(one.place, [other.said for other in changes], words)
        return any(overlap(spot, here) for spot in told)
    told = _told_at(one.place, (), words) if is_talk(one.answer) else []
    return any(here[0] <= first and end <= here[1] for first, end in told)


def _is_about(
    one: Answered, slip: HeardSlip, slips: Iterable[HeardSlip], words: Sequence[Word]
) -> bool:
    """Whether an answer is about a slip, whose words may be no move's."""
    here = (slip.said.first, slip.said.end)
    if one.said is not None:
        return overlap((one.said.first, one.said.end), here)
    told = _told_at(one.place, [other.said for other in slips], words)
    return any(overlap(spot, here) for spot in told)


def _told_at(written: str, spots: Iterable[Said], words: Sequence[Word]) -> list[Tokens]:
    """Where the words of a place are said near its time, or anywhere if once.

    Of a time alone it is the nearest of some spots.
    """
    place = AnswerPlace.read(written)
    if place is None:
        return []
    if place.words:
        told = place.said_in(words)
        return [spot for distance, spot in told if distance <= 1 or len(told) == 1]
    near = min(spots, key=place.near, default=None)
    return [(near.first, near.end)] if near is not None and place.near(near) <= 1 else []


def _or(words: list[str]) -> str:
    return " or ".join([", ".join(words[:-1]), words[-1]] if len(words) > 1 else words)


def findings_of(
    answered: Sequence[Answered], unread: Iterable[str] = (), offers: Mapping[str, str] = {}
) -> list[Finding]:
    """A finding for each answer that could not be followed, and for each line that is none.

    `offers` are what the questions that are still open offer, by their places.
    """
    found = [
        Finding("answer-not-followed", Severity.WARNING, NOWHERE, _message(one, offers))
        for one in answered
        if one.fault
    ]
    found.extend(
        Finding("answer-of-another-number", Severity.NOTE, NOWHERE, _numbered_message(one))
        for one in answered
        if one.numbered
    )
    taken = {one.place: one.answer for one in answered}
    found.extend(
        Finding("unreadable-answer", Severity.WARNING, NOWHERE, _unread_message(line, taken))
        for line in unread
    )
    return found


def _unread_message(line: str, taken: Mapping[str, str]) -> str:
    """Why a line is no answer; `taken` are those that are, by their places."""
    place = next(iter(re.findall(r'"([^"]*)"', line)), "")
    if place in taken:
        why = f"its place is there already, with '{taken[place]}': leave one of the two"
    elif line.count('"') % 2:
        why = f"a quotation mark is not closed: {_SHAPE}"
    elif place and ":" not in re.sub(r'"[^"]*"', "", line):
        why = f"there is no colon between place and move: {_SHAPE}"
    else:
        why = _SHAPE
    return f"'{line}' is no answer: {why}"


def back_told(heard: Heard) -> Iterator[Finding]:
    """A note for each answer "only talk" whose words make no move, but go back to a board."""
    for one in heard.answered:
        if label := goes_back_to(one, heard):
            message = (
                f"the answer '{one.place}: {one.answer}' is followed: its words make no move, but"
                f" lead back to {label}"
            )
            yield Finding("answer-goes-back", Severity.NOTE, NOWHERE, message)


_SHAPE = (
    "below 'answers:' each stands on a line of its own, two spaces in, place and move in quotes"
    ' with a colon between: "1:23 knight f3": "2.Nf3"'
)


def _message(one: Answered, offers: Mapping[str, str]) -> str:
    offered = f"; asked is: is it {offers[one.place]}?" if one.place in offers else ""
    return f"the answer '{one.place}: {one.answer}' is not followed: {one.fault}{offered}"


def _numbered_message(one: Answered) -> str:
    return (
        f"the answer '{one.place}: {one.answer}' is followed as {one.numbered}: that is its number"
        " on the board its words are said at"
    )
