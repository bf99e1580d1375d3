"""Words of the board that a recogniser wrote as others, wherever they stand: "the ship on g7".

What a move proves is put right by it (`heard.py`); but most of what a talk says of the board moves
nothing. So a small network that sees what the model of English makes of a word and of those around it
says which kind of word of the board was said there, if any. The words of that kind that sound so are
weighed against each other: by their sound, by how well the written ones fit their place in plain
English, by the men on the board, and by the move that the search heard there. Only what is all but
certain is changed: a caption put wrong is worse than one left wrong.

What is weighed was learned from talks with errors (`misheard_model.py`, `benches/fit_misheard.py`).
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from functools import cached_property

import chess
import numpy as np

from linewright.talk.decoder import Event, Kind, Tree
from linewright.talk.fluency import gain, rarity
from linewright.talk.misheard_model import Sort, Sorts, chances
from linewright.talk.sounds import LETTER_PHONES, Phones, distance, square_costs
from linewright.talk.vocabulary import (
    ARTICLES,
    BEFORE_A_VERB,
    CLEAR_ERRORS,
    COLOURS,
    COMMA,
    COMMON,
    DIGITS,
    FILES,
    OWNED,
    PIECES,
    TAKES,
    Lexicon,
    Token,
    is_square,
    words,
)

LIKELY = 0.03
"""Below this chance that a word of the board was said, none is looked for."""

CERTAIN = 0.8
"""A change less sure than this is not made."""

SELDOM = 0.004
"""Words of a sort that is less likely than this are not weighed."""

LONGEST = 3
"""So many words may stand for one."""

FARTHEST = 2.6
"""Words that sound more different than this are not weighed."""

NEAR_SQUARE = 0.8
"""A square that sounds more different than this is not put in place of words."""

MOST = 8
"""So many words are weighed for one stretch, the nearest in sound."""

FORMS: Mapping[Sort, tuple[str, ...]] = {
    Sort.KNIGHT: ("knight", "knights"),
    Sort.BISHOP: ("bishop", "bishops"),
    Sort.ROOK: ("rook", "rooks"),
    Sort.QUEEN: ("queen", "queens"),
    Sort.KING: ("king", "kings"),
    Sort.PAWN: ("pawn", "pawns"),
    Sort.TAKES: ("takes", "take", "taken", "taking"),
    Sort.CHECK: ("check", "checks"),
    Sort.CASTLES: ("castles", "castle", "castled", "castling"),
    Sort.WHITE: ("white",),
    Sort.BLACK: ("black",),
}
_LETTERS = {sort: PIECES[forms[0]] for sort, forms in FORMS.items() if forms[0] in PIECES}
_NAMES = {letter: FORMS[sort][0] for sort, letter in _LETTERS.items()}


_BEFORE_BE = (
    BEFORE_A_VERB | words("we'll i'll you'll he'll she'll they'll it'll there'll not")
) - {"to"}
"""Behind these comes a verb; behind "to" a square may come as well."""


_OF_NIGHTS = words("life club clubs bus train shift sky school time fever owl out in before")
"""Before these a night is one: "the night life"."""


@dataclass(frozen=True, slots=True)
class Candidate:
    """Tokens `first` up to `end` may stand for `now`; `seen` is what speaks for and against it."""

    first: int
    end: int
    now: str
    sort: Sort
    seen: Mapping[str, float]


@dataclass(frozen=True, slots=True)
class Misheard:
    """Tokens `first` up to `end` stand for `now`; `sure` from 0 to 1."""

    first: int
    end: int
    now: str
    sure: float


@dataclass(frozen=True)
class Ear:
    """Hears what the words of one talk were misheard for.

    `sorts` has a row for each token, with the chance of each `Sort`; `board_at` gives the board when a
    token is said; `done` are the words of the talk that are put right already, and `habits` how often
    words were put right so.
    """

    lexicon: Lexicon
    sorts: Sorts
    tree: Tree
    events: Sequence[Event]
    board_at: Callable[[int], chess.Board]
    done: AbstractSet[int]
    habits: Mapping[tuple[str, str], int]

    def misheard(self) -> Iterator[Misheard]:
        """What is all but certain, the surest first; nothing where no move was heard.

        **Cost**: 0.3 s for ten minutes of a talk with many errors.
        """
        heard_moves = any(map(_is_move, self.events))
        found = [each for each in self.candidates() if heard_moves and is_near(each)]
        weighed = zip(chances([each.seen for each in found]), found, strict=True)
        taken: set[int] = set()
        for sure, each in sorted(weighed, key=lambda one: (-one[0], one[1].first)):
            stretch = range(each.first, each.end)
            if sure >= CERTAIN and taken.isdisjoint(stretch):
                taken.update(stretch)
                yield Misheard(each.first, each.end, each.now, round(sure, 2))

    def candidates(self) -> Iterator[Candidate]:
        """All that words may stand for."""
        board_word = self.sorts[:, Sort.KNIGHT : Sort.OTHER].sum(1) + self.sorts[:, Sort.SEVERAL]
        for first in range(len(self._tokens)):
            for end in range(first + 1, min(first + LONGEST, len(self._tokens)) + 1):
                if board_word[first:end].max() >= LIKELY and self._may_be_misheard(first, end):
                    yield from self._of_stretch(first, end)

    # --- what may have been said --------------------------------------------------------------

    @property
    def _tokens(self) -> Sequence[Token]:
        return self.lexicon.tokens

    def _text(self, k: int) -> str:
        return self.lexicon.text(k)

    def _may_be_misheard(self, first: int, end: int) -> bool:
        for k in range(first, end):
            token = self._tokens[k]
            named = token.text.removesuffix("'s") in PIECES or is_square(token.text)
            of_night = token.text == "night" and self._text(k + 1) in _OF_NIGHTS
            broken = k > first and token.gap >= COMMA
            if named or of_night or broken or token.word in self.done:
                return False
        if self._within_word(first) or self._within_word(end) or self._is_verb(first):
            return False
        plain = self.lexicon.square(first)
        return plain is None or plain.end > end  # "e four" is e4 as it stands

    def _within_word(self, k: int) -> bool:
        """Whether a token goes on with the word before it, as in "b-pawn"."""
        return 0 < k < len(self._tokens) and self._tokens[k].word == self._tokens[k - 1].word

    def _is_verb(self, k: int) -> bool:
        """Whether "be" or "see" is what it seems: "he will be five", "you see two of them"."""
        verb = self._text(k) in ("be", "see") and self._text(k - 1) in _BEFORE_BE
        return verb and self._tokens[k].gap < COMMA

    def _of_stretch(self, first: int, end: int) -> Iterator[Candidate]:
        sound: Phones = sum((self.lexicon.sound(self._text(k)) for k in range(first, end)), ())
        if not 0 < len(sound) <= 12:
            return
        written = " ".join(self._text(k) for k in range(first, end))
        found = sorted(
            (far, now, sort, size)
            for far, now, sort, size in self._sounding_so(first, end, sound)
            if now != written
        )
        if found and found[0][0] == 0 and found[0][2] is Sort.SQUARE:
            found = found[:1]  # "see one" is c1, whatever else would fit the board
        for rank, (far, now, sort, size) in enumerate(found[:MOST]):
            ahead = next((other[0] - far for other in found if other[1] != now), 2.0)
            seen = {
                **self._of_sorts(first, end, sort),
                **self._of_sound(far, size, ahead, rank == 0),
                **self._of_words(first, end, now),
                **self._of_moves(first, end, now, sort),
                **self._of_board(first, end, now, sort),
                **self._of_neighbours(first, end),
                **_of_what(now, sort),
            }
            yield Candidate(first, end, now, sort, seen)

    def _sounding_so(
        self, first: int, end: int, sound: Phones
    ) -> Iterator[tuple[float, str, Sort, int]]:
        """How far each word that sounds so is from the sound, the word, its sort and its phones."""
        likely = self.sorts[first:end].max(0)
        for sort, forms in FORMS.items():
            for form in forms if likely[sort] >= SELDOM else ():
                target = self.lexicon.sound(form)
                far = distance(sound, target)
                if far <= min(FARTHEST, 0.75 * len(target)):
                    yield far, form, sort, len(target)
        if likely[Sort.SQUARE] >= SELDOM:
            for square, far in self._squares(first, end, sound).items():
                yield far, square, Sort.SQUARE, 5
        move = self._move_at(first) if likely[Sort.SEVERAL] >= SELDOM else ""
        if move:
            target = sum((self.lexicon.sound(word) for word in move.split()), ())
            far = distance(sound, target)
            if far <= FARTHEST:
                yield far, move, Sort.SEVERAL, len(target)

    def _squares(self, first: int, end: int, sound: Phones) -> dict[str, float]:
        """The squares that sound so; of a number alone, those whose letter was lost."""
        costs = dict(square_costs(sound)) if end - first <= 2 else {}
        digit = self.lexicon.digit(first) if end == first + 1 else None
        if digit is not None:
            for file, phones in LETTER_PHONES.items():
                lost = 0.6 * len(phones) + digit[1]
                costs[file + digit[0]] = min(lost, costs.get(file + digit[0], lost))
        return costs

    def _move_at(self, k: int) -> str:
        """The man and the square of the move that the search heard in these words."""
        event = self._event_at.get(k)
        if event is None or not _is_move(event) or self.tree.san(event.node)[0] not in _NAMES:
            return ""
        san = self.tree.san(event.node)
        takes = " takes" if "x" in san else ""
        return f"{_NAMES[san[0]]}{takes} {self.tree.uci(event.node)[2:4]}"

    # --- what speaks for it and against it ----------------------------------------------------

    def _of_sorts(self, first: int, end: int, sort: Sort) -> dict[str, float]:
        chances = np.clip(self.sorts[first:end], 1e-4, 1 - 1e-4)
        odds = np.log(chances / (1 - chances))
        return {
            "sort, at most": float(odds[:, sort].max()),
            "sort, at least": float(odds[:, sort].min()),
            "as written, at most": float(odds[:, Sort.AS_WRITTEN].max()),
            "as written, at least": float(odds[:, Sort.AS_WRITTEN].min()),
            "word of no board": float(odds[:, Sort.OTHER].max()),
            "several words": float(odds[:, Sort.SEVERAL].max()),
        }

    def _of_sound(self, far: float, size: int, ahead: float, best: bool) -> dict[str, float]:
        return {
            "sound": far,
            "sound for its length": far / size,
            "nearer than the next": min(ahead, 2.0),
            "nearest": float(best),
        }

    def _of_words(self, first: int, end: int, now: str) -> dict[str, float]:
        around = [self._text(k) for k in range(first - 2, end + 1)]
        texts, after = around[2:-1], around[-1]
        rare = [rarity(text) for text in texts]
        follows = (gain(text, *around[n : n + 2][::-1]) for n, text in enumerate(texts))
        return {
            "of two words": float(end - first == 2),
            "of three words": float(end - first == 3),
            "common words": sum(text in COMMON for text in texts) / len(texts),
            "known words": sum(self.lexicon.known_word(k) for k in range(first, end)) / len(texts),
            "number": float(any(text in DIGITS for text in texts)),
            "known error": float(any(text in CLEAR_ERRORS for text in texts)),
            "word of the board": float(any(text in TAKES or text in COLOURS for text in texts)),
            "letter": float(any(len(text) == 1 for text in texts)),
            "rare": max(200_000 if r is None else r for r in rare) / 50_000,
            "follows": min(follows) / 20_000,
            "is followed": gain(after, around[-2], around[-3]) / 20_000,
            "no word": float(None in rare),
            "put right so": float(min(self.habits.get((" ".join(texts), now), 0), 3)),
        }

    @cached_property
    def _event_at(self) -> dict[int, Event]:
        found: dict[int, Event] = {}
        for event in self.events:
            for k in range(event.phrase.first, event.phrase.end):
                found.setdefault(k, event)
        return found

    def _of_moves(self, first: int, end: int, now: str, sort: Sort) -> dict[str, float]:
        """Whether the move that the search heard at these words, or beside them, speaks for them."""
        at = self._event_at
        inside = list({id(e): e for k in range(first, end) if (e := at.get(k))}.values())
        beside = [e for k in (first - 1, end) if (e := at.get(k)) and e not in inside]
        fits = [self._fits(event, now, sort) for event in inside]
        return {
            "move fits": float(True in fits),
            "move differs": float(False in fits),
            "move beside fits": float(any(self._fits(event, now, sort) for event in beside)),
            "in a move": float(any(event.kind is Kind.PLAY for event in inside)),
            "in a phrase": float(bool(inside)),
            "told": max(-5.0, min(max((e.phrase.told for e in inside), default=0.0), 5.0)),
            "price": min(max((event.price for event in inside), default=0.0), 12.0) / 4,
        }

    def _fits(self, event: Event, now: str, sort: Sort) -> bool | None:
        """Whether a word is one of a move's; None if the event is no move, or the word of no matter."""
        if not _is_move(event):
            return None
        san = self.tree.san(event.node)
        if sort is Sort.SQUARE:
            return now == self.tree.uci(event.node)[2:4]
        if sort in _LETTERS:
            return (san[0] if san[0] in "NBRQKO" else "P") == _LETTERS[sort]
        if sort is Sort.TAKES:
            return "x" in san
        if sort is Sort.CASTLES:
            return san[0] == "O"
        if sort is Sort.CHECK:
            return True if san[-1] in "+#" else None
        return True if sort is Sort.SEVERAL else None

    def _of_board(self, first: int, end: int, now: str, sort: Sort) -> dict[str, float]:
        """Whether such a man stands on the square named, or can go there."""
        letter, square = self._man_and_square(first, end, now, sort)
        if square is None:
            return dict.fromkeys(_OF_BOARD, 0.0)
        board = self.board_at(first)
        piece = board.piece_at(square)
        seen = dict.fromkeys(_OF_BOARD, 0.0) | {"man on the square": float(piece is not None)}
        if letter:
            kind = chess.Piece.from_symbol(letter).piece_type
            stands = piece is not None and piece.piece_type == kind
            men = board.pieces(kind, board.turn)
            goes = any(board.is_legal(chess.Move(man, square)) for man in men)
            seen |= {
                "such a man there": float(stands),
                "such a man goes there": float(goes),
                "no such man": float(not stands and not goes),
                "man and square": 1.0,
            }
        return seen

    def _man_and_square(
        self, first: int, end: int, now: str, sort: Sort
    ) -> tuple[str, chess.Square | None]:
        """The letter of the man and the square that are named together with the word, if any."""
        if sort is Sort.SQUARE:
            near = (self._text(k) for k in range(first - 1, first - 4, -1))
            man = next((text for text in near if text in PIECES), "")
            return PIECES.get(man, ""), chess.parse_square(now)
        if sort not in _LETTERS:
            return "", None
        ahead = range(end, min(end + 3, len(self._tokens)))
        named = next((guess for k in ahead if (guess := self.lexicon.square(k))), None)
        return _LETTERS[sort], None if named is None else chess.parse_square(named.value)

    def _of_neighbours(self, first: int, end: int) -> dict[str, float]:
        before, after = self._text(first - 1), self._text(end)
        joined = end < len(self._tokens) and self._tokens[end].gap < COMMA
        square = joined and (is_square(after) or self.lexicon.square(end) is not None)
        return {
            "behind a man": float(before in PIECES),
            "behind taking": float(before in TAKES),
            "behind a preposition": float(before in ("to", "on", "at", "from", "takes")),
            "behind an article": float(before in ARTICLES or before in OWNED),
            "behind a file": float(before in FILES),
            "behind a stop": float(self._tokens[first].gap >= COMMA),
            "before a square": float(square),
            "before taking": float(joined and after in TAKES),
            "before a man": float(joined and after in PIECES),
            "before to": float(joined and after == "to"),
            "before a number": float(joined and after in DIGITS),
            "a man two before": float(self._text(first - 2) in PIECES),
            "errors": min(self.lexicon.noise, 0.2) * 10,
            "wrong words": self._wrong_share * 10,
        }

    @cached_property
    def _wrong_share(self) -> float:
        return self.lexicon.wrong_share()


_OF_BOARD = (
    "such a man there",
    "such a man goes there",
    "no such man",
    "man on the square",
    "man and square",
)


def is_near(candidate: Candidate) -> bool:
    """Whether no other word sounds more like what is written, and a square is nearly heard as such."""
    square = candidate.sort is Sort.SQUARE
    return candidate.seen["nearest"] > 0 and (not square or candidate.seen["sound"] < NEAR_SQUARE)


def bare_words(text: str) -> str:
    """Words in small letters without stops, as tokens have them."""
    return " ".join(re.findall(r"[\w'-]+", text.lower()))


def _is_move(event: Event) -> bool:
    return event.kind is Kind.PLAY and bool(event.node)


def _of_what(now: str, sort: Sort) -> dict[str, float]:
    return {
        "a man": float(sort <= Sort.PAWN),
        "a square": float(sort is Sort.SQUARE),
        "takes": float(sort is Sort.TAKES),
        "check": float(sort is Sort.CHECK),
        "castles": float(sort is Sort.CASTLES),
        "a side": float(sort in (Sort.WHITE, Sort.BLACK)),
        "ends in s": float(now.endswith("s")),
        "several": float(sort is Sort.SEVERAL),
    }
