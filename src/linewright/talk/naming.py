"""What words name without moving it, and what they could have been said for.

"The pawn on d4 is weak", "White has doubled pawns", "the bishop looks at h7", "the open e-file": each
names a square, a man, a side or a file that the tongue may miss, as it does the one beside it or the
one across the board. Which of them a teacher would name here is for `linewright.talk.aptness`.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum

import chess

from linewright.talk.vocabulary import (
    COLOURS,
    COMMA,
    FILES,
    PIECES,
    SENTENCE,
    Lexicon,
    Token,
    any_square,
    is_square,
    words,
)

BEFORE, AFTER = 4, 3
"""So many words around a name count."""

SUBJECT_WITHIN = 14
"""A square named before, in the sentence, is what the words speak of within so many words."""

MEN = "PNBRQK"

SIDES = ("w", "b")


class Slot(StrEnum):
    """What kind of thing is named."""

    SQUARE = "square"
    PIECE = "piece"
    SIDE = "side"
    FILE = "file"


@dataclass(frozen=True, slots=True)
class Name:
    """Tokens `first` up to `end` that name something; `said` is it, `others` what it may be said for.

    Squares are written as such, men by their letter, sides as "w" and "b", files by their letter.
    """

    slot: Slot
    first: int
    end: int
    said: str
    others: tuple[str, ...]
    seen: tuple[str, ...]
    """What is seen of the words around."""
    man: str = ""
    """The letter of the man named with a square, a side or a file: "the knight on c6"."""
    square: int | None = None
    """The square named with a man or a side."""
    file: str = ""
    """The file named with a side."""
    subject: int | None = None
    """The square that the sentence named before."""
    quoted: tuple[int, int] = (0, 0)
    """The tokens that tell a reader what is named: "the pawn on d4", "White has doubled pawns"."""

    @property
    def choices(self) -> tuple[str, ...]:
        """What is said, and what it may be said for."""
        return (self.said, *self.others)


def names_in(lexicon: Lexicon) -> Iterator[Name]:
    """All that the words of a talk name, in order."""
    tokens = lexicon.tokens
    squares = {}
    for k in range(len(tokens)):
        guess = lexicon.square(k)
        if guess is not None:
            squares[k] = (guess.end, chess.parse_square(guess.value))
    reader = _Reader(lexicon, squares)
    for k in range(len(tokens)):
        if k in squares:
            yield reader.square(k)
        elif tokens[k].text in PIECES:
            yield reader.piece(k)
        elif tokens[k].text in COLOURS:
            yield reader.side(k)
        elif reader.is_file(k):
            yield reader.of_file(k)


@dataclass(frozen=True, slots=True)
class _Reader:
    """Reads the names of one talk; `squares` are its squares by their first token: end and square."""

    lexicon: Lexicon
    squares: dict[int, tuple[int, int]]

    @property
    def tokens(self) -> Sequence[Token]:
        return self.lexicon.tokens

    def text(self, k: int) -> str:
        return self.lexicon.text(k)

    def square(self, k: int) -> Name:
        """The name of a square."""
        end, square = self.squares[k]
        at = self._man_before(k)
        if at is None and self._joined(end) and self._letter(end):
            at = end  # "the e5 pawn"
        man = "" if at is None else self._letter(at)
        others = tuple(chess.square_name(s) for s in confusable_squares(square))
        seen = self._seen(k, end, f"man {man}")
        quoted = (k, end) if at is None else (min(k, at), max(end, at + 1))
        return Name(
            Slot.SQUARE, k, end, chess.square_name(square), others, seen, man,
            subject=self._subject(k), quoted=quoted,
        )  # fmt: skip

    def piece(self, k: int) -> Name:
        """The name of a man."""
        said = PIECES[self.text(k)]
        square = self._square_of(k)
        others = tuple(letter for letter in MEN if letter != said)
        seen = self._seen(k, k + 1, "placed" if square is not None else "bare")
        return Name(
            Slot.PIECE, k, k + 1, said, others, seen, square=square, subject=self._subject(k),
            quoted=(k, self._end_of_clause(k + 1, _FEW if square is not None else 0)),
        )  # fmt: skip

    def side(self, k: int) -> Name:
        """The name of a side."""
        said = COLOURS[self.text(k)]
        man, at = self._man_of_side(k)
        square = self._square_of(at) if at else self._square_soon(k)
        whose = "whose" if self.text(k).endswith("s") else "who"
        seen = self._seen(k, k + 1, f"{whose} {man}")
        return Name(
            Slot.SIDE, k, k + 1, said, tuple(s for s in SIDES if s != said), seen, man, square,
            self._file_soon(k), self._subject(k), (k, self._end_of_clause(k + 1, _FEW)),
        )  # fmt: skip

    def is_file(self, k: int) -> bool:
        """Whether a token is the letter of a file: "the e-file", "our d-pawn"."""
        text, then = self.text(k), self.text(k + 1)
        article = text == "a" and self.text(k - 1) not in _NAMING
        joined = k + 1 < len(self.tokens) and self.tokens[k + 1].gap < COMMA
        return len(text) == 1 and text in FILES and joined and then in _ON_FILES and not article

    def of_file(self, k: int) -> Name:
        """The name of a file."""
        said, what = self.text(k), self.text(k + 1)
        man = PIECES.get(what.removesuffix("s"), "")
        seen = self._seen(k, k + 2, f"of {what}")
        return Name(Slot.FILE, k, k + 2, said, confusable_files(said), seen, man,
                    subject=self._subject(k), quoted=(k, k + 2))  # fmt: skip

    # --- what stands around -------------------------------------------------------------------

    def _joined(self, k: int) -> bool:
        """Whether a token follows the one before it without a break."""
        return 0 < k < len(self.tokens) and self.tokens[k].gap < COMMA

    def _end_of_clause(self, k: int, most: int) -> int:
        """Where a clause ends from a token on, at most so many words on."""
        end = k
        while end < k + most and self._joined(end):
            end += 1
        return end

    def _man_before(self, k: int) -> int | None:
        """The man named up to three words before a square: "pawn on d4"."""
        for b in (k - 1, k - 2, k - 3):
            if b < 0 or not self._joined(b + 1) or is_square(self.text(b)):
                return None
            if self._letter(b):
                return b
        return None

    def _letter(self, k: int) -> str:
        return self.lexicon.man(k) or self.lexicon.men(k)

    def _square_of(self, k: int) -> int | None:
        """The square that a man at a token stands on or goes to: "bishop on d6", "the d6 bishop"."""
        for n in (k + 1, k + 2, k + 3):
            if not self._joined(n):
                break
            if n in self.squares:
                return self.squares[n][1]
            if self._letter(n):
                break
        before = self.squares.get(k - 1)
        return before[1] if before and before[0] == k and self._joined(k) else None

    def _man_of_side(self, k: int) -> tuple[str, int]:
        """The man that a side owns or moves, and its token: "White's rook", "Black's poor knight"."""
        for n in (k + 1, k + 2, k + 3):
            if not self._joined(n):
                break
            man = self._letter(n)
            if man:
                return man, n
        return "", 0

    def _square_soon(self, k: int) -> int | None:
        """The first square named within a few words of a side, in its clause."""
        for n in range(k + 1, k + 6):
            if not self._joined(n):
                break
            if n in self.squares:
                return self.squares[n][1]
        return None

    def _file_soon(self, k: int) -> str:
        """The file named within a few words of a side: "White has doubled c-pawns"."""
        near = (n for n in range(k + 1, k + 6) if self.is_file(n))
        found = next(near, None)
        return "" if found is None else self.text(found)

    def _subject(self, k: int) -> int | None:
        """The last square that the sentence named before a token."""
        for b in range(k - 1, max(k - SUBJECT_WITHIN, -1), -1):
            if self.tokens[b + 1].gap >= SENTENCE:
                return None
            if b in self.squares:
                return self.squares[b][1]
        return None

    def _seen(self, first: int, end: int, more: str) -> tuple[str, ...]:
        """What is seen of the words around tokens."""
        out = ["", more]
        for n, k in enumerate(range(first - 1, first - 1 - BEFORE, -1), 1):
            gap = self.tokens[k + 1].gap
            if gap >= COMMA:
                out.append(f"-{n}{'.' if gap >= SENTENCE else ','}")
            if k < 0 or gap >= SENTENCE:
                break
            out.append(f"early {self._plain(k)}")
            if n <= 3:
                out.append(f"-{n} {self._plain(k)}")
        for n, k in enumerate(range(end, end + AFTER), 1):
            gap = self.tokens[k].gap if k < len(self.tokens) else 1.0
            if gap >= COMMA:
                out.append(f"+{n}{'.' if gap >= SENTENCE else ','}")
            if gap >= SENTENCE:
                break
            out.append(f"late {self._plain(k)}")
            if n <= 2:
                out.append(f"+{n} {self._plain(k)}")
        out.append(f"-2-1 {self._plain(first - 2)} {self._plain(first - 1)}")
        out.append(f"+1+2 {self._plain(end)} {self._plain(end + 1)}")
        return tuple(out)

    def _plain(self, k: int) -> str:
        return any_square(self.text(k))


_FEW = 3
"""So many words tell what is said of a side, or where a man stands."""

_NAMING = words("the his her our my your their an open half on")
_ON_FILES = words("file files pawn pawns rook")


def confusable_squares(square: int) -> tuple[int, ...]:
    """The squares that one may be said for: those beside it, and those across the board."""
    file, rank = chess.square_file(square), chess.square_rank(square)
    beside = ((file + 1, rank), (file - 1, rank), (file, rank + 1), (file, rank - 1))
    across = ((file, 7 - rank), (7 - file, rank))
    found = {chess.square(f, r) for f, r in (*beside, *across) if 0 <= f < 8 and 0 <= r < 8}
    return tuple(sorted(found - {square}))


def confusable_files(file: str) -> tuple[str, ...]:
    """The files that one may be said for: those beside it, and the one across the board."""
    place = FILES.index(file)
    found = {n for n in (place - 1, place + 1, 7 - place) if 0 <= n < 8}
    return tuple(FILES[n] for n in sorted(found))
