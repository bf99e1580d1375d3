"""Phrases of a talk that may be about moves, with what stands around them.

A `Phrase` covers some tokens and says what they describe (`Spec`), how they are said (`Form`)
and which cues of the sentence bear on them (`Cues`). Which reading holds (a move, a mention, a
going back, a slip) is for the decoder: only the whole talk can tell.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from typing import Protocol

import chess

from linewright.talk.deeds import by_a_pawn, deeds, set_phrases
from linewright.talk.manners import again, manners
from linewright.talk.said import Form, Phrase, Spec
from linewright.talk.sparing import sparing
from linewright.talk.vocabulary import (
    ALIKE,
    ARTICLES,
    DIGITS,
    FILES,
    INFINITE,
    PIECES,
    RETAKES,
    SENTENCE,
    SOFT_TAKES,
    TAKES,
    TRADES,
    WALKS,
    Guess,
    Lexicon,
    Token,
    is_square,
    words,
)

FILLERS = words(
    "to on onto into in at the his her its their my your our a an this that simply just here now"
    " there back over up down out along across all way right straight away immediately first also"
    " then again uh um er erm well quickly actually really maybe calmly quietly boldly finally"
    " s is was has had be been being gets got get both from queen's king's side square sorry"
)
MOVING = words(
    "goes go went going gone comes come came coming moves move moved moving hops hop hopped hopping"
    " jumps jump jumped jumping drops drop dropped dropping lands land landed landing retreats"
    " retreat retreated retreating steps step stepped stepping heads head headed develops develop"
    " developed developing slides slide slid swings swing swung returns return returned returning"
    " plays play played playing placed put leaps leap leaped lept shifts shift shifted travels"
    " advances advance advanced advancing pushes push pushed pushing flies fly flew reroutes"
    " reroute rerouted transfers enters enter entered bounces sits settles backs withdraws"
    " withdraw withdrew retires retire retired runs run ran crashes sinks lifts lift relocates"
    " relocated activates fianchettoed emerges improves arrives arrived reaches reached appears"
    " appeared pops popped invades invaded penetrates infiltrates marches marched"
    " walks walked trots gallops dances dives plunges sails sailed zooms switches switched climbs"
    " races rushes storms charges dashes flees fled escapes escaped regroups redeploys parks perches"
    " nestles creeps crawls sneaks slips slipped wanders tucks springs sprang swoops"
    " darts strolls crosses crossed"
)
_AT = words("on at")
_OF_A_FILE = words("the half open half-open file")
LEADING = words(
    "to on onto into in at back square via over the from down up is there here right straight side uh um er well sorry"
)
_STANDS = words(
    "on at is sits stands standing sitting stood sat placed still stays remains lives here there"
    " was already now posted landed right back that which who 's s currently"
)
PLACING = words(
    "puts put places placed placing putting brings bring brought bringing plants planting posts"
    " develops develop developed developing lands install installs posting sticks moves"
    " plays drops move play played transfers reroutes parks tucks stations positions sets"
    " pops throws swings slots leads steers sends sent hops plonks plops drop"
)
BACKWARDS = words(
    "retreats retreat retreated retreating withdraws withdraw withdrew retires retire retired"
    " returns return returned returning drops drop dropped dropping backs back"
)
"""Pieces do this, not pawns."""
_PLAIN_WORDS = words("he she the if i see be t s for tea")
"""Taken for the letters of files only where the recogniser errs often."""
_WINGS = words("king's queen's")
_WINGED_NAMES = words("gambit indian opening defence defense fianchetto attack")
SUBJECT_WITHIN = 10
"""A piece named this many words before may be what a square is for."""
NO_WHOLE = 2.0
"""What it costs to hear "f6" alone in "from f6 to d7"."""
FAR_SUBJECT = 0.8
ALMOST, HEARD = 1.0, 2.0
"""A square misheard at this price is as good as named, or may still be meant."""
HAS_MOVED = 0.9
"""A king's rook may stand on another file by now."""
OVER_A_STOP = 0.8
"""One named in the sentence before is likelier done with."""
PAUSED = 1.6
"""A comma before the square makes it likelier a phrase of its own."""
STOPPED = 2.4
"""A full stop makes it likelier still: "trades the bishop. E5 stops it"."""
CHECK_WORDS = words("check checks checking czech cheque")


class Stretch(Protocol):
    """Tokens `first` up to `end`."""

    @property
    def first(self) -> int: ...
    @property
    def end(self) -> int: ...


@dataclass(slots=True)
class Parser:
    """Finds the phrases of a talk."""

    lexicon: Lexicon
    _starts: dict[int, list[Phrase]] = field(default_factory=dict)

    def phrases(self, but: Sequence[Stretch] = ()) -> dict[int, list[Phrase]]:
        """All phrases by the token they begin with, but for those within some stretches."""
        found: dict[int, list[Phrase]] = {}
        taken = {k for stretch in but for k in range(stretch.first, stretch.end)}
        for index in range(len(self.lexicon.tokens)):
            if index in taken:
                continue
            own = _distinct(self._at(index), self._acts)
            if own:
                found[index] = own
        return _with_covered(self.lexicon.tokens, again(self.lexicon, found))

    # --- one place ----------------------------------------------------------------------------

    def _at(self, i: int) -> Iterator[Phrase]:
        yield from self._notation(i)
        yield from self._castling(i)
        yield from self._trades(i)
        yield from self._piece_first(i)
        yield from self._square_first(i)
        yield from self._rank_first(i)
        yield from self._file_first(i)
        yield from self._verb_first(i)
        yield from deeds(self.lexicon, i)
        yield from manners(self.lexicon, i)
        yield from sparing(self.lexicon, i)

    def _text(self, i: int) -> str:
        return self.lexicon.text(i)

    def _open(self, i: int) -> bool:
        """Whether token i continues the same clause."""
        tokens = self.lexicon.tokens
        return i < len(tokens) and tokens[i].gap < 0.6

    def _close(self, i: int) -> bool:
        """Whether token i follows without even a comma."""
        tokens = self.lexicon.tokens
        return i < len(tokens) and tokens[i].gap < 0.3

    def _notation(self, i: int) -> Iterator[Phrase]:
        spec = read_notation(self.lexicon.tokens[i].raw)
        if spec is not None:
            form = Form.CASTLING if spec.castling else Form.NOTATION
            yield from self._suffixed(Phrase(i, i + 1, form, spec, verb=True))

    def _castling(self, i: int) -> Iterator[Phrase]:
        text = self._text(i)
        wing = ""
        price = self.lexicon.castle(i)
        if price < INFINITE:
            end, wing = self._wing(i + 1)
            if self._text(i + 1) == "king" and self._text(i + 2) != "side" and not wing:
                end = i + 1
        elif text in ("goes", "going", "went") and self._text(i + 1) in ("short", "long"):
            end, wing = self._wing(i + 1)
            price = 0.5
        elif text in ("long", "short") and self._text(i + 1) in ("castles", "castle", "castling"):
            end, wing, price = i + 2, "Q" if text == "long" else "K", 0.0
        else:
            return
        spec = Spec(castling=wing or "any")
        finite = text in ("castles", "castled", "castle") or price > 0
        yield Phrase(i, end, Form.CASTLING, spec, price, verb=finite)

    def _wing(self, i: int) -> tuple[int, str]:
        j = i
        while self._text(j) in ("to", "on", "the", "his", "her", "by", "now", "here"):
            j += 1
        text, after = self._text(j), self._text(j + 1)
        pairs = {
            "king": "K",
            "king's": "K",
            "kings": "K",
            "queen": "Q",
            "queen's": "Q",
            "queens": "Q",
        }
        if text in ("kingside", "short"):
            return j + 1, "K"
        if text in ("queenside", "long"):
            return j + 1, "Q"
        if text in pairs and after in ("side", "sides", "sight", "aside", "wing", "cider"):
            return j + 2, pairs[text]
        return i, ""

    # --- piece first --------------------------------------------------------------------------

    def _piece_first(self, i: int) -> Iterator[Phrase]:
        if self._text(i) in _WINGS and self._text(i + 1) in _WINGED_NAMES:
            return  # "the king's gambit is f4"
        winged = self._text(i - 1) in _WINGS and self._close(i)
        yield from self._alone(i)
        for piece, price in self.lexicon.pieces(i):
            if winged and piece in "NBR":
                continue  # told from "king's" on
            yield from self._piece_move(i, piece, price)
            yield from self._piece_takes(i, piece, price)
            yield from self._piece_vague(i, piece, price)

    def _alone(self, i: int) -> Iterator[Phrase]:
        """A piece alone between commas: "king's pawn, king's pawn, knight, knight"."""
        tokens = self.lexicon.tokens
        ends = i + 1 >= len(tokens) or tokens[i + 1].gap >= 0.3
        piece = PIECES.get(self._text(i), "")
        listed = any(
            self._text(k) in PIECES or is_square(self._text(k)) or self.lexicon.castle(k) < 1
            for k in (i - 1, i + 1)
        )  # but not "go away, bishop"
        if tokens[i].gap >= 0.3 and ends and piece and i and listed:
            spec = Spec(pieces=((piece, 0.0),), quiet=True)
            yield Phrase(i, i + 1, Form.VAGUE, spec, 1.2, verb=True)
        other = self._text(i - 1) in ("other", "last", "second") and self._text(i - 2) == "the"
        if other and ends and piece and tokens[i - 2].gap >= 0.3:  # "the other knight,"
            spec = Spec(pieces=((piece, 0.0),), quiet=True, other=True)
            yield Phrase(i, i + 1, Form.VAGUE, spec, 1.2, verb=True)

    def _acts(self, end: int) -> bool:
        """Whether a verb follows at once that makes the words before it its subject."""
        tokens = self.lexicon.tokens
        return end < len(tokens) and tokens[end].gap < 0.3 and tokens[end].text in _ACTS

    def _from_hint(self, j: int) -> Iterator[tuple[int, Spec, float]]:
        """Nothing, or where the piece comes from: "b" in "knight b d7", "on b1" in "to d2"."""
        yield j, Spec(), 0.0
        text = self._text(j)
        if len(text) == 1 and text in "abcdefgh" and self._open(j + 1):
            yield j + 1, Spec(from_file=text), 0.1
        elif text in ("on", "from") and self._open(j + 1):
            k = j + 2 if self._text(j + 1) == "the" else j + 1
            if (square := self.lexicon.square(k)) is not None:
                yield square.end, Spec(from_square=chess.parse_square(square.value)), 0.1
            else:
                file = self._text(k)
                if len(file) == 1 and file in "abcdefgh":
                    k += 2 if self._text(k + 1) == "file" else 1
                    yield k, Spec(from_file=file), 0.1

    def _between(self, j: int, limit: int = 7) -> Iterator[tuple[int, bool, bool, float]]:
        """Places a target may stand at after a piece: (place, verb seen, only standing, price)."""
        verb = False
        standing = True
        price = 0.0
        strange = 0
        yield j, verb, False, price
        for k in range(j, j + limit):
            text = self._text(k)
            if not text or not (self._open(k) or k == j):
                return
            if text in MOVING:
                verb = True
                standing = False
            elif text in _STANDS:
                pass
            elif text in FILLERS:
                if text in ("to", "into", "onto", "back", "over", "out", "from"):
                    standing = False
            elif self._skippable(k) and strange < 1 and not (standing and k > j):
                strange += 1
                price += 0.9
            else:
                return
            yield k + 1, verb, standing, price

    def _tells_file(self, k: int) -> bool:
        """Whether the word behind a piece is the file it comes from: "rook e to c8", "rook a d1"."""
        then = k + 2 if self._text(k + 1) == "to" else k + 1
        named = self._text(k) in FILES and is_square(self._text(then))
        return named and all(self._close(n) for n in range(k, then + 1))

    def _told_by_file(self, i: int) -> bool:
        """Whether a square stands behind a piece and its file: the words are one move."""
        file = i - 2 if self._text(i - 1) == "to" else i - 1
        return self._text(file - 1) in PIECES and self._tells_file(file)

    def _leads(self, k: int) -> bool:
        """Whether a square may follow the word: "to", a verb of moving, but not "again"."""
        text = self._text(k)
        return text in LEADING or text in MOVING or text not in FILLERS

    def _skippable(self, k: int) -> bool:
        text = self._text(k)
        if self.lexicon.pieces(k) and self.lexicon.pieces(k)[0][1] < 1:
            return False
        if self.lexicon.take(k) < 2 or self.lexicon.castle(k) < 2 or text in STOPPERS:
            return False
        return not self.lexicon.square(k) and self.lexicon.colour(k) is None

    def _piece_move(self, i: int, piece: str, price: float) -> Iterator[Phrase]:
        other = self._text(i - 1) in ("other", "second")
        for j, hint, extra in self._from_hint(i + 1):
            hint = replace(hint, other=other)  # noqa: PLW2901
            if extra == 0.0 or self._open(j):
                yield from self._piece_to(i, j, ((piece, price),), hint, extra)

    def _piece_to(
        self, i: int, j: int, pieces: tuple[tuple[str, float], ...], hint: Spec, extra: float
    ) -> Iterator[Phrase]:
        seen: set[int] = set()
        for k, verb, standing, more in self._between(j):
            if k in seen or not (self._open(k) or k == j):
                continue
            seen.add(k)
            if k > j and self._tells_file(j):
                return  # "rook e to c8" is no other rook's move
            if self._text(k) in ("the", "a") and self.lexicon.file(k + 1):
                continue
            if k > j and not self._leads(k - 1):
                continue
            for end, targets, cost in _grouped(self.lexicon.squares(k)):
                if cost > 2 and k > j + 3:
                    continue
                form = Form.PLACED if standing and k > j else Form.FULL
                apart = self.lexicon.tokens[k].gap >= 0.3
                if apart and self._text(i - 1) in ARTICLES and not verb:
                    continue  # "protects the pawn, f6"
                stop = not (self._open(k) or self.lexicon.noisy)
                pause = (PAUSED if apart else 0.0) + (STOPPED if stop else 0.0)
                nearer = 0.75 if cost and k == j else 1.0
                weighed = tuple((square, nearer * far) for square, far in targets)
                back = any(self._text(n) in BACKWARDS for n in range(j, k))
                spec = replace(hint, pieces=pieces, targets=weighed, back=back)
                phrase = Phrase(i, end, form, spec, extra + more + pause, verb=verb)
                yield from self._suffixed(phrase) if form is Form.FULL else (phrase,)
            if any(0 < guess.price <= ALIKE for guess in self.lexicon.squares(k)):
                return  # its rank is no lone one
            yield from self._partial(i, k, j, pieces, hint, extra + more)
            if self.lexicon.square(k) is not None:
                return

    def _partial(self, i: int, k: int, j: int, pieces: tuple[tuple[str, float], ...], hint: Spec,
                 price: float) -> Iterator[Phrase]:  # fmt: skip
        """Half a square: "rook to the e file", "knight f" with the digit lost."""
        text = self._text(k)
        file = text if len(text) == 1 and text in "abcdefgh" else ""
        if text == "the" and len(self._text(k + 1)) == 1 and self._text(k + 1) in "abcdefgh":
            file, k = self._text(k + 1), k + 1
        if file and self._text(k + 1) == "file":
            spec = replace(hint, pieces=pieces, to_file=file)
            yield from self._to_a_file(Phrase(i, k + 2, Form.VAGUE, spec, price, verb=True), 0.4)
        elif file and text != "a" and k <= j + 1 and not hint.from_file:
            yield Phrase(
                i, k + 1, Form.FULL, replace(hint, pieces=pieces, to_file=file), price + 2.2
            )
        elif k <= j + 2 and (digit := self._lone_digit(k)) is not None:
            spec = replace(hint, pieces=pieces, to_rank=digit[0])
            yield Phrase(i, k + 1, Form.FULL, spec, price + 1.6 + digit[1])
        elif text in ("open", "half", "half-open") and self._text(k + 1) in ("file", "open"):
            end = k + (3 if text == "half" else 2)
            spec = replace(hint, pieces=pieces)
            yield from self._to_a_file(Phrase(i, end, Form.VAGUE, spec, price, verb=True), 0.5)

    def _to_a_file(self, phrase: Phrase, vague: float) -> Iterator[Phrase]:
        """The phrase at so much more, or with the square behind it: "to the open file on c8"."""
        told = self._text(phrase.end) in _AT
        at = phrase.end + told
        square = self.lexicon.square(at) if self._open(phrase.end) and self._open(at) else None
        same = square is not None and square.value[0] == phrase.spec.to_file
        if square is None or not (told or same or self._close(at)):  # "to the open file, a6"
            yield replace(phrase, price=phrase.price + vague)
            return
        target = ((chess.parse_square(square.value), 0.0),)
        spec = replace(phrase.spec, targets=target, to_file="")
        yield from self._suffixed(replace(phrase, end=square.end, form=Form.FULL, spec=spec))

    def _lone_digit(self, k: int) -> tuple[str, float] | None:
        """A rank whose file was lost: "knight three" for "knight f3"."""
        digit = self.lexicon.digit(k)
        if digit is None or digit[1] > 1.5 or self._text(k + 1) in _COUNTED:
            return None
        if self._text(k) not in DIGITS and self._text(k + 1) in ARTICLES | _WHOM:
            return None  # "that is nice for us"
        ends = k + 1 >= len(self.lexicon.tokens) or self.lexicon.tokens[k + 1].gap >= 0.3
        plain = self._text(k + 1) in ("and", "check", "then", "now", "which", "is", "attacking")
        more = 0.0 if ends or plain else 1.0
        return digit[0], digit[1] * self.lexicon.ease + more

    def _piece_takes(self, i: int, piece: str, price: float) -> Iterator[Phrase]:
        for j, hint, extra in self._from_hint(i + 1):
            for k in range(j, min(j + 4, len(self.lexicon.tokens))):
                if k > j and not (self._text(k - 1) in FILLERS or self._text(k - 1) in MOVING):
                    break
                if not self._open(k):
                    break
                take = self._take_price(k)
                if take >= INFINITE:
                    continue
                if any(self._text(n) in _PASSIVE for n in range(j, k)) and self._text(k) in _TAKEN:
                    spec = Spec(capture=True, captured=piece)  # "where the pawn was taken"
                    yield from self._suffixed(
                        Phrase(i, k + 1, Form.CAPTURE, spec, extra + take + 0.3, verb=True)
                    )
                    break
                base = replace(hint, pieces=((piece, price),), capture=True)
                yield from self._captures(i, k, base, extra + take, subject=True)
                break

    def _take_price(self, k: int) -> float:
        text = self._text(k)
        then = self._text(k + 1)
        otherwise = then in _TAKEN_OTHERWISE and self._close(k + 1)
        some = then in ("a", "an") and self._text(k + 2) in _SOME_TAKEN and self._close(k + 2)
        if otherwise or some or (text in NOUNS and self._text(k - 1) in _NOUN_BEFORE):
            return INFINITE
        if text in SOFT_TAKES:
            return 1.2
        if text in _EATS:
            object_ = self._text(k + 1)
            told = object_ in ARTICLES or object_ in ("it", "on") or is_square(object_)
            return 0.2 if told else INFINITE
        return self.lexicon.take(k)

    def _captures(
        self, i: int, verb_at: int, base: Spec, price: float, subject: bool
    ) -> Iterator[Phrase]:
        """Phrases from a verb of capture on: with a square, a piece, both, or nothing."""
        text = self._text(verb_at)
        if text in RETAKES:
            base = replace(base, retake=True)
        j = verb_at + 1
        steps = 0
        while steps < 6 and self._open(j) and self._text(j) in _TAKE_FILLERS:
            if self.lexicon.tokens[j].gap >= 0.3:
                break
            if self._text(j) == "back":
                base = replace(base, retake=True)
            j += 1
            steps += 1
        yielded = False
        if self._open(j) or j == verb_at + 1:
            for end, targets, cost in _grouped(self.lexicon.squares(j)):
                if cost and text in SOFT_TAKES:
                    continue
                apart = self.lexicon.tokens[j].gap >= 0.3  # "he takes, b4"
                spec = replace(base, targets=targets)
                nxt = self._text(end)
                stop = end
                if nxt in PIECES and self._text(j - 1) in ARTICLES:  # "takes the e5 pawn"
                    spec = replace(spec, captured=PIECES[nxt])
                    stop = end + 1
                yielded = yielded or not cost
                far = price + (PAUSED if apart else 0.0)
                yield from self._suffixed(Phrase(i, stop, Form.CAPTURE, spec, far, verb=True))
            if self._text(j - 1) not in ("it", "back", "this", "again", "here", "now", "away"):
                yield from self._captured_piece(i, j, base, price, text)
        if (
            self._close(j)
            and len(self._text(j)) == 1
            and self._text(j) in "bcdefgh"
            and not yielded
        ):
            spec = replace(base, to_file=self._text(j))
            end = j + 1
            if self._text(end) in PIECES:
                spec = replace(spec, captured=PIECES[self._text(end)])
                yield from self._suffixed(
                    Phrase(i, end + 1, Form.CAPTURE, spec, price + 0.2, verb=True)
                )
            else:
                yield Phrase(i, end, Form.CAPTURE, spec, price + 2.0, verb=True)
        with_what = text in SOFT_TAKES and self._text(j) in ("with", "using")
        if text not in SOFT_TAKES or (with_what and self._text(j - 1) in ("it", "up")):
            more = 0.6 if subject else 0.3
            bare = Phrase(i, verb_at + 1, Form.CAPTURE, base, price + more, verb=True)
            if base.retake and self._text(verb_at + 1) == "back":
                bare = replace(bare, end=verb_at + 2)
            if with_what or (self._text(verb_at + 1) == "it" and self._close(verb_at + 2)):
                end = j if with_what else verb_at + 2
                yield from self._longer(replace(bare, end=end))
            if not with_what:
                yield from self._suffixed(bare)

    def _longer(self, phrase: Phrase) -> Iterator[Phrase]:
        """The phrase with what follows it, if that says more."""
        for longer in self._suffixed(phrase):
            if longer.end > phrase.end:
                yield longer

    def _captured_piece(
        self, i: int, j: int, base: Spec, price: float, verb: str
    ) -> Iterator[Phrase]:
        file = ""
        if len(self._text(j)) == 1 and self._text(j) in "abcdefgh":
            file, j = self._text(j), j + 1
        for piece, cost in self.lexicon.pieces(j):
            if cost > 1.5 and verb in SOFT_TAKES:
                continue
            if j > i and self.lexicon.tokens[j].gap >= 0.3:
                continue
            after = j + 1
            verb_next = self._close(after) and self._take_price(after) < 1
            goes_next = self._close(after) and (
                self.lexicon.square(after) is not None or self._text(after) in MOVING
            )
            if verb_next or goes_next:
                price += 1.0 if self._text(j - 1) in ARTICLES and not verb_next else 3.0
            spec = replace(base, captured=piece, to_file=file)
            end = j + 1
            if self._text(end) in _AT and (square := self.lexicon.square(end + 1)):
                spec = replace(spec, targets=((chess.parse_square(square.value), 0.0),), to_file="")
                end = square.end
            soft = 0.4 if verb in SOFT_TAKES and not spec.targets else 0.0
            yield from self._suffixed(
                Phrase(i, end, Form.CAPTURE, spec, price + cost + soft, verb=True)
            )

    def _piece_vague(self, i: int, piece: str, price: float) -> Iterator[Phrase]:
        if self._text(i) in ("king's", "queen's") and self._text(i + 1) in ("pawn", "pond"):
            file = "e" if piece == "K" else "d"
            spec = Spec(pieces=(("P", 0.0),), from_file=file, quiet=True)
            if self._text(i + 2) not in ("opening", "game", "openings", "structure", "structures"):
                yield Phrase(i, i + 2, Form.VAGUE, spec, 0.6, verb=True)
        if self._text(i) in ("king's", "queen's") and self._text(i + 1) in (
            "knight",
            "rook",
            "bishop",
        ):
            wing = {"knight": "gb", "rook": "ha", "bishop": "fc"}[self._text(i + 1)]
            at_home = Spec(from_file=wing[0] if piece == "K" else wing[1])
            letter = PIECES[self._text(i + 1)]
            take = self._take_price(i + 2) if self._open(i + 2) else INFINITE
            for hint, more in ((at_home, 0.0), (Spec(), HAS_MOVED)):
                yield from self._piece_to(i, i + 2, ((letter, 0.0),), hint, more)
                if take < 1:
                    base = replace(hint, pieces=((letter, 0.0),), capture=True)
                    yield from self._captures(i, i + 2, base, take + more, subject=True)
        if price > 0.5 or piece == "P":
            return
        j = i + 1
        while (
            self._text(j) in ("just", "simply", "now", "then", "also", "has", "to", "must")
            and j < i + 4
        ):
            j += 1
        if not self._open(j):
            return
        text, after = self._text(j), self._text(j + 1)
        other = self._text(i - 1) in ("other", "second")
        yield from self._walks(i, j, Spec(pieces=((piece, price),), quiet=True, other=other))
        if text in CHECK_WORDS or (text in ("gives", "with") and after in ("check", "a")):
            end = j + (1 if text in CHECK_WORDS else 2)
            if self._text(end) == "check":
                end += 1
            yield Phrase(
                i, end, Form.VAGUE, Spec(pieces=((piece, price),), check=True), 0.4, verb=True
            )

    def _walks(self, i: int, j: int, spec: Spec) -> Iterator[Phrase]:
        """ "steps aside", "goes all the way home", "joins in": what a piece does, and no square."""
        text, after = self._text(j), self._text(j + 1)
        if text in WALKS:
            k = j + 1
            while self._text(k) in _ALL_THE_WAY:
                k += 1
            where = self._text(k)
            if not self._open(k) or self._squared(k + 1):
                return
            if where in _BACK or (where in _AWAY and k == j + 1):
                spec = replace(spec, back=where in _BACK)
                yield Phrase(i, k + 1, Form.VAGUE, spec, 0.8, verb=True)
                if where == "home" and (homes := _homes(spec)):
                    spec = replace(spec, targets=homes, quiet=False)
                    yield Phrase(i, k + 1, Form.FULL, spec, 1.0, verb=True)
                return
        pair = (text, after) in _PAIRS
        if pair or text in VAGUE_VERBS:
            end = j + (2 if pair else 1)
            if not self._squared(end):
                spec = replace(spec, back=text in BACKWARDS)
                yield Phrase(i, end, Form.VAGUE, spec, 0.8, verb=True)

    def _squared(self, k: int) -> bool:
        """Whether a square follows, perhaps after "to" or "to the open file on"."""
        while (self._text(k) in LEADING or self._text(k) in _OF_A_FILE) and self._close(k):
            k += 1
        return self._close(k) and self.lexicon.square(k) is not None

    # --- squares and files first --------------------------------------------------------------

    def _square_first(self, i: int) -> Iterator[Phrase]:
        for end, targets, cost in _grouped(self.lexicon.squares(i)):
            nxt = self._text(end)
            if nxt in PIECES and self._close(end):
                yield from self._square_piece(i, end, targets, cost)
            if nxt in ("square", "squares"):
                yield Phrase(i, end + 1, Form.SQUARE, Spec(targets=targets), 6.0)
                continue
            if cost == 0:
                yield from self._seen_from(i, end, targets)
            start = targets[0][0]
            far = 0.0 if cost == 0 else 0.8
            if cost == 0:
                for whole in self._from_to(i, end, start):
                    yield whole
                    far = NO_WHOLE if whole.price < 1 else far
                if self._open(end) and self._take_price(end) < 1:
                    base = Spec(from_square=start, capture=True)
                    yield from self._captures(i, end, base, 0.1, subject=True)
            if (
                cost < ALMOST
                and self._text(i - 1) == "to"
                and self._close(i)
                and not self._named(i)
            ):
                back = "back" in (self._text(i - 2), self._text(i - 3))  # "back one to h6"
                free = Spec(targets=targets, free=True, back=back)
                yield Phrase(i, end, Form.SQUARE, free, 0.2 if back else 0.5)
            phrase = Phrase(i, end, Form.SQUARE, Spec(targets=targets), far)
            yield from self._suffixed(phrase)
            whose = cost < ALMOST and not self._told_by_file(i)
            piece, far = self._subject(i) if whose else ("", 0.0)
            if piece:
                spec = Spec(targets=targets, pieces=((piece, 0.0),))
                yield from self._suffixed(replace(phrase, spec=spec, price=far))

    def _seen_from(
        self, i: int, end: int, targets: tuple[tuple[int, float], ...]
    ) -> Iterator[Phrase]:
        """ "From d3 our bishop eyes h7", "on d6 it isn't in the way": where a piece stands now."""
        tokens = self.lexicon.tokens
        begins = self._text(i - 1) in ("from", "on") and tokens[i - 1].gap >= 0.6
        if not begins or i < 2 or not self._close(i) or not self._close(end):
            return
        piece, stop = "", end + 1
        if self._text(end) in _WALKERS:
            piece = next((PIECES[self._text(k)] for k in range(i - 2, max(i - 12, -1), -1)
                          if self._text(k) in PIECES), "")  # fmt: skip
        elif self._text(end) in ARTICLES and self._close(stop):
            piece, stop = PIECES.get(self._text(stop), ""), end + 2
        verb = (
            self._close(stop) and self._text(stop) not in PIECES and not is_square(self._text(stop))
        )
        if piece and verb:
            spec = Spec(pieces=((piece, 0.0),), targets=targets)
            yield Phrase(i, stop, Form.PLACED, spec, 0.3)

    def _rank_first(self, i: int) -> Iterator[Phrase]:
        """A pawn move whose file was lost: "black plays six" for "d6"."""
        tokens = self.lexicon.tokens
        alone = i > 0 and (
            tokens[i].gap >= 0.3
            or self._text(i - 1) in ("plays", "with", "and", "then", "now", "pawn", "is")
        )
        digit = self._lone_digit(i) if alone else None
        if digit is not None and digit[1] < 1.0:
            spec = Spec(pieces=(("P", 0.0),), to_rank=digit[0])
            yield Phrase(i, i + 1, Form.VAGUE, spec, 1.2 + digit[1], verb=True)

    def _square_piece(
        self, i: int, end: int, targets: tuple[tuple[int, float], ...], cost: float
    ) -> Iterator[Phrase]:
        piece = PIECES[self._text(end)]
        rank = chess.square_rank(targets[0][0])
        if rank in (0, 7) and piece in "QRBN":  # "e8 queen" may promote
            spec = Spec(targets=targets, pieces=(("P", 0.0),), promotion=piece)
            yield Phrase(i, end + 1, Form.FULL, spec, 0.6, verb=True)
        if self._open(end + 1) and self._take_price(end + 1) < 1 and cost == 0:
            base = Spec(pieces=((piece, 0.0),), from_square=targets[0][0], capture=True)
            yield from self._captures(i, end + 1, base, 0.1, subject=True)
        price = 0.0 if self._text(i - 1) in ARTICLES else 1.8
        yield Phrase(i, end + 1, Form.PLACED, Spec(pieces=((piece, 0.0),), targets=targets), price)

    def _from_to(self, i: int, end: int, start: int) -> Iterator[Phrase]:
        j = end
        while self._text(j) in ("to", "pawn", "goes", "moves", "and", "on") and j < end + 3:
            j += 1
        if j > end and "to" not in (self._text(k) for k in range(end, j)):
            return
        square = self.lexicon.square(j) if self._open(j) else None
        apart = (
            j == end and self._open(j) and self.lexicon.tokens[j].gap >= 0.25
        )  # "d6, h3" are two moves
        if square is not None and not apart:
            spec = Spec(from_square=start, targets=((chess.parse_square(square.value), 0.0),))
            price = 0.3 if j > end else 1.2
            yield Phrase(i, square.end, Form.FULL, spec, price, verb=True)

    def _file_first(self, i: int) -> Iterator[Phrase]:
        file = self.lexicon.file(i)
        if (
            file is None
            or (file[1] > 2.5)
            or not (self.lexicon.noisy or self._file_told(i) or self._text(i) not in _PLAIN_WORDS)
        ):
            return
        j = i + 1
        piece = self._text(j)
        if file[1] < 1.5 and piece in ("rook", "knight", "night") and self._open(j):
            hint = Spec(from_file=file[0])
            letter = "R" if piece == "rook" else "N"
            yield from self._piece_to(i, j + 1, ((letter, file[1] * 0.2),), hint, 0.05)
            if self._take_price(j + 1) < 1:
                base = replace(hint, pieces=((letter, 0.0),), capture=True)
                yield from self._captures(i, j + 1, base, 0.1, subject=True)
        pawn = self._open(j) and any(p == "P" and c < 1 for p, c in self.lexicon.pieces(j))
        if pawn:
            j += 1
        elif self._text(i) == "a" or self.lexicon.square(i) is not None:
            return
        base = Spec(pieces=(("P", 0.0),), from_file=file[0])
        price = 0.0 if self._file_told(i) else file[1] * (0.25 if pawn else 1.0)
        k = j
        while (
            self._open(k)
            and self._text(k) in ("then", "now", "just", "simply", "also")
            and k < j + 2
        ):
            k += 1
        if self._open(k) and (take := self._take_price(k)) < 2.5:
            yield from self._captures(i, k, replace(base, capture=True), price + take, subject=True)
        if pawn and file[1] < 1.5:
            yield from self._piece_to(i, j, (("P", price),), Spec(from_file=file[0]), 0.0)
            text = self._text(j)
            up = text in ("up", "one", "two") and self._text(i) != "a"  # "a pawn up"
            if text in MOVING or up:
                yield Phrase(i, j + 1, Form.VAGUE, replace(base, quiet=True), 0.9, verb=True)

    # --- verbs first --------------------------------------------------------------------------

    def _verb_first(self, i: int) -> Iterator[Phrase]:
        take = self._take_price(i)
        if take < INFINITE:
            headless = self._close(i) and (
                any(c < 0.6 for _, c in self.lexicon.pieces(i - 1)) or self._file_told(i - 1)
            )
            more = 2.5 if headless else 0.0  # "queen takes f7" without its queen
            yield from self._captures(i, i, Spec(capture=True), take + more, subject=False)
        yield from self._goes(i)
        if self._text(i) in _WALKERS:
            yield from self._walks(i, i + 1, Spec(quiet=True, free=True))
            if self._text(i) == "she":
                yield from self._walks(i, i + 1, Spec(pieces=(("Q", 0.0),), quiet=True))
        yield from self._puts(i)
        yield from self._both(i)
        yield from by_a_pawn(self.lexicon, i)
        for phrase in set_phrases(self.lexicon, i):
            yield from self._suffixed(phrase)
        yield from self._vague(i)

    def _subject(self, i: int) -> tuple[str, float]:
        """The piece that a square some words later may be for, and what that costs.

        "The bishop settles for b2", "where does the knight go? G5": the nearest, if no other square
        and no capture stands between, and no more than one end of a sentence.
        """
        ends = 0
        for k in range(i - 1, max(i - SUBJECT_WITHIN, -1), -1):
            text = self._text(k)
            if self.lexicon.tokens[k + 1].gap >= SENTENCE:
                begins = all(self._text(n) in LEADING for n in range(k + 1, i))
                ends += 1
                if ends > 1 or not begins:
                    return "", 0.0
            if is_square(text) or self.lexicon.take(k) < 1 or self.lexicon.castle(k) < 1:
                return "", 0.0
            if text in PIECES:
                piece = PIECES[text]
                apart = k == i - 1 and self.lexicon.tokens[i].gap >= 0.3  # "the rook, b8"
                if piece == "P" or not (k < i - 1 or apart):
                    return "", 0.0
                return piece, FAR_SUBJECT + (OVER_A_STOP if ends or apart else 0.0)
        return "", 0.0

    def _file_told(self, i: int) -> bool:
        """Whether a token is the letter of a file and no article."""
        return i >= 0 and _tells_file(self.lexicon.tokens, i)

    def _named(self, i: int) -> bool:
        """Whether a piece is named just before, in the same clause."""
        for k in range(i - 1, max(i - 6, -1), -1):
            if self._text(k) in PIECES:
                return True
            if self.lexicon.tokens[k].gap >= 0.3 or self._text(k) in ("and", "it", "she", "he"):
                return False
        return False

    def _goes(self, i: int) -> Iterator[Phrase]:
        """ "it drops back to g6", "she goes all the way to a5": a verb of moving, a square."""
        if self._text(i) not in MOVING or self._text(i) in (
            "play",
            "plays",
            "played",
            "put",
            "placed",
        ):
            return
        if self._named(i):
            return
        queen = self._text(i - 1) == "she"
        toward, back = False, self._text(i) in BACKWARDS
        for k in range(i + 1, min(i + 7, len(self.lexicon.tokens))):
            if not self._open(k):
                return
            heard = [g for g in _grouped(self.lexicon.squares(k)) if g[2] < HEARD] if toward else []
            for end, targets, _ in heard:
                spec = Spec(targets=targets, free=True, back=back)
                yield Phrase(i, end, Form.FULL, spec, 0.3, verb=True)
                if queen:
                    spec = Spec(targets=targets, pieces=(("Q", 0.0),), back=back)
                    yield Phrase(i, end, Form.FULL, spec, 0.5, verb=True)
            if any(cost == 0 for _, _, cost in heard):
                return
            text = self._text(k)
            toward = toward or text in ("to", "back", "into", "onto")
            back = back or text in BACKWARDS
            if text not in FILLERS:
                return

    def _puts(self, i: int) -> Iterator[Phrase]:
        """ "puts one on c8", "brings it to g6"."""
        if self._text(i) not in PLACING or self._text(i + 1) not in (
            "one",
            "it",
            "her",
            "him",
            "another",
        ):
            return
        k = i + 2
        while self._text(k) in ("back", "over", "out", "up", "down", "all", "right"):
            k += 1
        if self._text(k) not in ("on", "to", "onto", "at"):
            return
        like_last = self._text(i + 1) in ("one", "another")
        for end, targets, cost in _grouped(self.lexicon.squares(k + 1)):
            if cost < HEARD:
                spec = Spec(targets=targets, free=True, like_last=like_last)
                yield Phrase(i, end, Form.FULL, spec, 0.3, verb=True)

    def _both(self, i: int) -> Iterator[Phrase]:
        """ "both sides castle", "both players bring out a knight"."""
        if self._text(i) != "both" or self._text(i + 1) not in (
            "sides",
            "players",
            "kings",
            "of",
            "white",
        ):
            return
        for k in range(i + 1, i + 9):
            if not self._open(k):
                return
            end = k + 1 if self.lexicon.castle(k) < 1 else self._tucked(k)
            if end:
                yield Phrase(i, end, Form.BOTH, Spec(castling="any"), 0.2, verb=True)
                return
            pieces = self.lexicon.pieces(k)
            if (
                pieces
                and pieces[0][1] < 0.6
                and self._text(k - 1) in ("a", "their", "the", "one", "knights", "king's")
            ):
                verb = {self._text(n) for n in range(i + 1, k)}
                if verb & {"bring", "develop", "brings", "bringing", "move", "get", "fianchetto"}:
                    spec = Spec(
                        pieces=((pieces[0][0], 0.0),), quiet=True, fianchetto="fianchetto" in verb
                    )
                    yield Phrase(i, k + 1, Form.BOTH, spec, 0.3, verb=True)
                return

    def _tucked(self, k: int) -> int:
        """The end of "kings away", "kings are brought to safety"; 0 for other words."""
        if self._text(k) not in ("kings", "king"):
            return 0
        k += 1
        while self._text(k) in _TUCKED:
            k += 1
        return k + 1 if self._text(k) in ("away", "to", "into", "safe", "safely") else 0

    def _vague(self, i: int) -> Iterator[Phrase]:
        text = self._text(i)
        if text in PAWN_VERBS:
            j = i + 1
            while self._text(j) in (
                "the",
                "his",
                "her",
                "that",
                "this",
                "on",
                "forward",
                "past",
                "with",
                "a",
            ):
                j += 1
            file = self._text(j)
            if len(file) == 1 and file in "abcdefgh" and self._text(j + 1) in ("pawn", "pond"):
                spec = Spec(pieces=(("P", 0.0),), from_file=file, quiet=True)
                yield Phrase(i, j + 2, Form.VAGUE, spec, 0.4, verb=True)
            elif self.lexicon.square(j) is None and text in PUSHES:
                end = j + 1 if self._text(j) == "pawn" else i + 1
                yield Phrase(
                    i, end, Form.VAGUE, Spec(pieces=(("P", 0.0),), quiet=True), 1.0, verb=True
                )
        yield from self._vague_object(i, text)

    def _vague_object(self, i: int, text: str) -> Iterator[Phrase]:
        """ "develops the knight", "fianchettoes his bishop": a verb, a piece, no square."""
        brings = text in BRINGS
        if text not in OBJECT_VERBS and not brings and not text.startswith("fianchetto"):
            return
        j = i + 1
        while self._text(j) in ("the", "his", "her", "a", "an", "that", "this", "their", "with", "other", "last", "dark", "light", "squared", "king's", "queen's", "square", "my", "your", "our", "its", "second"):  # fmt: skip
            j += 1
        fianchetto = text.startswith("fianchetto")
        pieces = self.lexicon.pieces(j)
        if pieces and pieces[0][1] < 0.6 and pieces[0][0] != "P":
            k = j + 1
            for place, _, _, _ in self._between(j + 1, 4):
                if self.lexicon.squares(place):
                    return
            begun = k
            back = self._text(k) in _BACK
            while self._text(k) in _AWAY or self._text(k) in _BACK:
                k += 1
            size = next((len(p) for p in _TO_PLAY if self._follows(k, p)), 0)
            bare = k + size == begun or pieces[0][0] == "K"  # a king gets to safety by castling
            if text not in OBJECT_VERBS and not fianchetto and bare:
                return  # "takes the knight"
            spec = Spec(
                pieces=((pieces[0][0], pieces[0][1]),), quiet=True, fianchetto=fianchetto, back=back
            )
            yield Phrase(i, k + size, Form.VAGUE, spec, 1.0, verb=True)
        elif fianchetto and text.endswith("es"):
            spec = Spec(pieces=(("B", 0.0),), quiet=True, fianchetto=True)
            yield Phrase(i, i + 1, Form.VAGUE, spec, 1.0, verb=True)

    def _follows(self, k: int, said: tuple[str, ...]) -> bool:
        return tuple(self._text(k + n) for n in range(len(said))) == said

    def _trades(self, i: int) -> Iterator[Phrase]:
        """ "trades queens", "the queens come off", "both queens disappear", "queens are exchanged"."""
        text = self._text(i)
        if text in TRADES:
            j = i + 1
            while self._text(j) in (
                "off",
                "the",
                "of",
                "both",
                "a",
                "all",
                "pair",
                "these",
                "those",
            ):
                j += 1
            plural = "queens" if self._text(j) == "ladies" else self._text(j)
            if plural.endswith("s") and plural[:-1] in PIECES and plural != "pawns":
                spec = Spec(capture=True, captured=PIECES[plural[:-1]])
                end = j + 1
                if self._text(end) in _AT and (square := self.lexicon.square(end + 1)):
                    spec = replace(spec, targets=((chess.parse_square(square.value), 0.0),))
                    end = square.end
                yield from self._suffixed(Phrase(i, end, Form.TRADE, spec, 0.2, verb=True))
        elif text.endswith("s") and text[:-1] in ("queen", "rook", "knight", "bishop", "pawn"):
            j = i + 1
            while self._text(j) in ("both", "are", "have", "will", "then", "now", "all", "get", "got", "were", "been", "also", "soon", "quickly", "immediately"):  # fmt: skip
                j += 1
            gone = self._text(j) in GONE or (self._text(j), self._text(j + 1)) in GONE_PAIRS
            if gone and self._open(j):
                end = j + (1 if self._text(j) in GONE else 2)
                if self._text(end) == "off":
                    end += 1
                spec = Spec(capture=True, captured=PIECES[text[:-1]])
                if self._text(end) in _AT and (square := self.lexicon.square(end + 1)):
                    spec = replace(spec, targets=((chess.parse_square(square.value), 0.0),))
                    end = square.end
                elif text == "pawns":
                    file = self._text(i - 1)
                    if len(file) != 1 or file not in "abcdefgh":
                        return
                    spec = replace(spec, from_file=file)  # "the c-pawns come off"
                yield Phrase(i, end, Form.TRADE, spec, 0.3, verb=True)

    # --- after the phrase ---------------------------------------------------------------------

    def _suffixed(self, phrase: Phrase) -> Iterator[Phrase]:
        """The phrase, and the phrase with what follows it: by which piece, from where, check."""
        current = phrase
        yielded = False
        for _ in range(3):
            longer = self._suffix(current)
            if longer is None:
                break
            current, yielded = longer, True
        yield current
        if yielded:
            yield replace(phrase, price=phrase.price + 1.5)

    def _suffix(self, phrase: Phrase) -> Phrase | None:
        j = phrase.end
        if not self._open(j) and not (
            j < len(self.lexicon.tokens) and self._text(j) in ("check", "checkmate")
        ):
            return None
        text, spec = self._text(j), phrase.spec
        if text in ("discovered", "double", "discover", "a") and self._text(j + 1) == "check":
            return replace(phrase, end=j + 2, spec=replace(spec, check=True))
        if text in ("with", "using", "by"):
            return self._with_piece(phrase, j + 1)
        if text in _RECAPTURING and self._close(j) and spec.targets and not spec.capture:
            end = j + 2 if self._text(j + 1) == "back" else j + 1
            return replace(phrase, end=end, spec=replace(spec, capture=True, retake=True))
        if text in ("check", "checkmate", "czech", "cheque") and not spec.check:
            mate = text == "checkmate"
            return replace(phrase, end=j + 1, spec=replace(spec, check=not mate, mate=mate))
        passing = self._text(j + 1) in ("passant", "passent", "passing", "pass")
        if (text == "en" and passing) or (text == "in" and self._text(j + 1) == "passing"):
            return replace(phrase, end=j + 2, spec=replace(spec, ep=True, capture=True))
        if text in ("and", "which") and self._text(j + 1) in _PROMOTES:
            return self._promotion(phrase, j + 2)
        if text in ("and", "which", "that") and not spec.check:
            k = j + 1
            while self._text(k) in (
                "it",
                "it's",
                "is",
                "that's",
                "this",
                "gives",
                "a",
                "with",
                "also",
            ):
                k += 1
            if self._text(k) in ("check", "checkmate") and k > j + 1:
                return replace(phrase, end=k + 1, spec=replace(spec, check=True))
        if text in ("is", "gives", "giving") and self._text(j + 1) == "check" and not spec.check:
            return replace(phrase, end=j + 2, spec=replace(spec, check=True))
        if text in _PROMOTES:
            return self._promotion(phrase, j + 1)
        if text == "from":
            for end, hint, _ in list(self._from_hint(j))[1:]:
                if not spec.from_file and spec.from_square is None:
                    joined = replace(spec, from_file=hint.from_file, from_square=hint.from_square)
                    return replace(phrase, end=end, spec=joined)
        return None

    def _with_piece(self, phrase: Phrase, j: int) -> Phrase | None:
        if not self._open(j):
            return None  # "what does he take with? Queen takes d7 is usual"
        while self._text(j) in ARTICLES:
            j += 1
        if self._text(j) in ("check", "checkmate"):
            return replace(phrase, end=j + 1, spec=replace(phrase.spec, check=True))
        spec = phrase.spec
        told = bool(spec.capture or spec.deed) or (
            phrase.form is Form.SQUARE and self._text(phrase.end) == "with"
        )
        if spec.pieces or not told:
            return None
        file = ""
        if len(self._text(j)) == 1 and self._text(j) in "abcdefgh" and self._text(j + 1) in PIECES:
            file, j = self._text(j), j + 1
        pieces = self.lexicon.pieces(j)
        if not pieces or pieces[0][1] > 1.5:
            return None
        if not file and self._close(j + 1) and self.lexicon.square(j + 1) is not None:
            return None  # "attacks it with knight b6" tells the knight's move
        hint = next(
            (h for e, h, _ in list(self._from_hint(j + 1))[1:] if h.from_square is not None), None
        )
        end = j + 1
        if hint is not None and self._text(j + 1) in ("on", "from"):
            end = next(
                e for e, h, _ in list(self._from_hint(j + 1))[1:] if h.from_square is not None
            )
            spec = replace(spec, from_square=hint.from_square)
        return replace(
            phrase, end=end, spec=replace(spec, pieces=pieces[:1], from_file=file or spec.from_file)
        )

    def _promotion(self, phrase: Phrase, j: int) -> Phrase | None:
        while self._text(j) in ("to", "a", "an", "into", "the", "new"):
            j += 1
        piece = PIECES.get(self._text(j), "")
        if piece not in ("Q", "R", "B", "N"):
            return None
        return replace(phrase, end=j + 1, spec=replace(phrase.spec, promotion=piece))


_RECAPTURING = words("recapturing retaking")
_PROMOTES = words("equals promoting promotes becoming makes making becomes promotion")
STOPPERS = words(
    "and or but then if because so which when while after before takes with pinning attacking"
    " defending controls attacks defends for of against are can could would should will may might"
    " not than as where why how sorry i attack defend pins protects protecting threatening"
    " threatens attacked defended pinned protected wants"
    " leaves vacates abandons deserts"
)
_COUNTED = words("squares square moves move pawns pieces knights bishops rooks of times minutes ways"
                 " possibilities options things more other against hundred")  # fmt: skip
_WHOM = words("us him me you them her it everybody everyone both")
_TAKEN_OTHERWISE = words(
    "care time note advantage place over control seriously part turns long longer stock notes"
    " aim aims heart shelter refuge charge root hold"
    " account granted shape effect ages white black variation opening french slav spanish caro lesson"
)
"""What is taken without a capture: "take care", "take your time", "the Exchange Variation"."""
_SOME_TAKEN = words(
    "sip breath break look seat photo picture moment minute second while guess rest bow biscuit coffee"
    " tea drink nap chance risk lot bit note walk hint vote stand"
)
"""What is taken without a capture behind an article: "I take a sip", "take a moment"."""
_EATS = words("eat ate eating eaten")
"""Numbers as often as captures, to a recogniser."""
NOUNS = words("exchange trade swap capture recapture take takes")
_NOUN_BEFORE = words(
    "the an each every this that of such any another my his her for quick simple fair bad good"
    " early slight equal even"
)
_PASSIVE = words("was is were been be being gets got are get")
_TAKEN = words("taken captured recaptured grabbed snatched eaten")
_TAKE_FILLERS = words(
    "on the back at his her its their a an this that it in now here away off up s there again right"
    " my your our"
)
PUSHES = words("pushes pushed push pushing advances thrusts")
PAWN_VERBS = PUSHES | words(
    "offers offered gambits sacrifices moves moved plays opens starts begins open opened start started"
    " begin began adds add added"
)
VAGUE_VERBS = words("retreats retreated withdraws sidesteps retires escapes")
_AWAY = words("aside away off over out up in across forward")
_BACK = words("back home")
_ALL_THE_WAY = words("all the way right straight just then again")
"""Where a piece goes that nobody gives a square."""
_PAIRS = {("has", "moved"), ("gets", "developed"), ("is", "developed"), ("joins", "in")}
_WALKERS = words("it she which")
"""Pronouns that stand for a piece."""
_HOMES = {"N": "b1 g1 b8 g8", "B": "c1 f1 c8 f8", "R": "a1 h1 a8 h8", "Q": "d1 d8"}
_TO_PLAY = (("into", "play"), ("into", "the", "game"), ("into", "action"), ("to", "safety"))
OBJECT_VERBS = words(
    "develops retreats moves withdraws activates saves rescues repositions developing developed"
)
BRINGS = words("brings brought bring gets sends sent takes pulls pulled puts plays moves moved leads"
               " develops")  # fmt: skip
"""With a piece and a word such as "out": a move without its square."""
_TUCKED = words(
    "are get got have been now then were gets tucked brought put moved taken tuck hidden"
)
GONE = words("disappear vanish disappeared exchanged traded swapped off disappearing gone")
GONE_PAIRS = {("come", "off"), ("came", "off"), ("go", "off"), ("leave", "the"), ("left", "the"), ("traded", "off"), ("comes", "off")}  # fmt: skip


def read_notation(raw: str) -> Spec | None:
    """A move in letters ("Nf3", "exd5", "O-O") as a spec, or None.

    >>> read_notation("Nbd7").from_file, read_notation("bxc6").capture, read_notation("of")
    ('b', True, None)
    """
    if raw.lower() in ("o-o", "0-0"):
        return Spec(castling="K")
    if raw.lower() in ("o-o-o", "0-0-0"):
        return Spec(castling="Q")
    if len(raw) < 3 or not is_square(raw[-2:].lower()):
        return None
    target = ((chess.parse_square(raw[-2:].lower()), 0.0),)
    head = raw[:-2]
    capture = head.endswith(("x", "X"))
    head = head.rstrip("xX")
    if raw[0] in "KQRBN" or (raw[0] in "kqrn" and len(raw) > 2):
        hint = head[1:]
        file = hint.lower() if len(hint) == 1 and hint.lower() in "abcdefgh" else ""
        rank = hint if len(hint) == 1 and hint in "12345678" else ""
        return Spec(
            ((raw[0].upper(), 0.0),), target, from_file=file, from_rank=rank, capture=capture
        )
    if len(head) == 1 and head in "abcdefgh" and capture:
        return Spec((("P", 0.0),), target, from_file=head, capture=True)
    return None


def _grouped(
    guesses: tuple[Guess, ...],
) -> Iterator[tuple[int, tuple[tuple[int, float], ...], float]]:
    """The guesses that end at the same token as one set of targets, with the lowest price."""
    ends: dict[int, list[Guess]] = {}
    for guess in guesses:
        ends.setdefault(guess.end, []).append(guess)
    for end, same in ends.items():
        targets = tuple((chess.parse_square(g.value), g.price) for g in same)
        yield end, targets, same[0].price


def _homes(spec: Spec) -> tuple[tuple[int, float], ...]:
    """The squares where the piece named begins a game, of both sides."""
    squares = _HOMES.get(spec.pieces[0][0], "") if spec.pieces else ""
    return tuple((chess.parse_square(square), 0.0) for square in squares.split())


def _plain_squares(spec: Spec) -> set[int]:
    return {square for square, price in spec.targets if price < 1}


def _tells_file(tokens: Sequence[Token], i: int) -> bool:
    """Whether a token tells a file: "f takes", "A-rook", "king's knight", but not "a pawn".

    So do words that nobody says before "takes": "he plays be takes see for".
    """
    text = tokens[i].text
    if text in _WINGS:
        return True
    if text == "a" and i + 1 < len(tokens):
        after = tokens[i + 1]
        return after.word == tokens[i].word or (after.text in TAKES and after.gap < 0.3)
    if text in ("be", "see") and i + 1 < len(tokens):
        return tokens[i + 1].text in ("takes", "captures") and tokens[i + 1].gap < 0.3
    return len(text) == 1 and text in "bcdefgh"


def _with_covered(
    tokens: Sequence[Token], found: dict[int, list[Phrase]]
) -> dict[int, list[Phrase]]:
    """The phrases, marked where a later one says as much with its own words."""

    def covered(phrase: Phrase) -> bool:
        spec = phrase.spec
        file = bool(spec.from_file) and not _tells_file(tokens, phrase.first)
        return file and any(
            q.end >= phrase.end and not q.cut and q.price <= phrase.price + 0.2
            and q.spec.capture == spec.capture and q.spec.captured == spec.captured
            and _plain_squares(q.spec) >= _plain_squares(spec)
            and (q.spec.capture or {p for p, _ in q.spec.pieces} >= {p for p, _ in spec.pieces})
            for n in range(phrase.first + 1, phrase.end)
            for q in found.get(n, ())
        )  # fmt: skip

    return {
        first: [replace(p, covered=True) if covered(p) else p for p in phrases]
        for first, phrases in found.items()
    }


_ACTS = words("hits attacks kicks stops chases threatens asks drives opens closes blocks")


def _distinct(phrases: Iterator[Phrase], acts: Callable[[int], bool]) -> list[Phrase]:
    """Each reading once, the cheapest; those that cut a plain longer one short say so.

    `acts` is whether a verb follows that what ends there is the subject of: in "queen takes f4 hits
    the queen" it is f4 that hits, and "queen takes" cuts nothing short.
    """
    best: dict[tuple[int, Form, Spec], Phrase] = {}
    for phrase in phrases:
        key = (phrase.end, phrase.form, phrase.spec)
        if key not in best or phrase.price < best[key].price:
            best[key] = phrase
    plain = max(
        (
            p.end
            for p in best.values()
            if p.spec.says_target and p.plain and p.form is not Form.PLACED and not acts(p.end)
        ),
        default=0,
    )
    named = max((p.end for p in best.values() if p.plain and p.spec.says_mover), default=0)
    found = [
        replace(
            p,
            cut=not p.spec.says_target
            and p.end < (plain if p.spec.says_mover else max(plain, named)),
        )
        for p in best.values()
    ]
    return sorted(found, key=lambda p: (p.price, -p.end))
