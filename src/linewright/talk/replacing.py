"""Which words of a talk a move's notation takes the place of in a script.

A move that is named in full gives way to its notation; of one that is only hinted at the words
stay, and the notation stands behind them. A noun with words of its own ("the other pawn") stays a
noun, and only the square behind it gives way.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

import chess

from linewright.talk.decoder import Event, Kind
from linewright.talk.said import Form
from linewright.talk.transcript import Word
from linewright.talk.vocabulary import (
    ARTICLES,
    DIGITS,
    FILE_WORDS,
    FILES,
    PIECES,
    TAKES,
    TO_A_SQUARE,
)

Stretch = tuple[int, int]
"""Words of the talk, half open."""

_CHECK = frozenset("check checkmate mate passant".split())
_OF_CHECK = frozenset(
    "and it's it is that's that which with a discovered double giving gives comes en also".split()
)
"""Words that say more of a check than its sign."""
_WAYS = frozenset("back out home".split())
"""Words that say how a piece goes, which no notation does."""
_QUALITIES = frozenset(
    "other own white black first second third last next new old free extra good bad light dark same"
    " poor brave little big central remaining light-squared dark-squared queen's king's queenside"
    " kingside passed doubled isolated lone"
    .split()
) | frozenset(FILES)  # fmt: skip
"""Words between an article and a piece: "the other pawn", "his a pawn"."""
_CONTRACTED = frozenset("it that this here there what he she let who where how one".split())
"""Words whose "'s" is no possessive: "it's knight f3"."""
_APART_WORDS = 6
"""So far behind its hint a move may be named in full: "he recaptures, as he must, g takes f4"."""


def replaced(
    words: Sequence[Word], turn: tuple[Stretch, Event], move: tuple[str, str], reach: Stretch
) -> Stretch | None:
    """The words that the notation takes the place of, or None where it stands behind them all.

    `turn` is what is said of the move and how it was understood, `move` its SAN and UCI, `reach`
    the words from the last move to the next.
    """
    said, event = turn
    bare = event.phrase.form in (Form.SQUARE, Form.NOTATION) or _is_lettered(words, said, event)
    if event.kind is not Kind.PLAY or event.extra or (event.silent and not bare):
        return None  # behind a move that nobody said the words are what a reader goes by
    own = _behind_its_file(words, turn, move[0], reach[0]) or (
        said if _is_bare_castling(words, turn, reach[0]) else _in_phrase(words, *turn, reach[0])
    )
    return own or _named_behind(words, said[1], move, reach)


def _in_phrase(words: Sequence[Word], said: Stretch, event: Event, floor: int) -> Stretch | None:
    """The words of its own phrase, with the article before them, that the notation says."""
    form, spec = event.phrase.form, event.phrase.spec
    if any(_text(words, k) in _WAYS for k in range(*said)):
        return None
    if _is_lettered(words, said, event):
        return core(words, said)
    if form in (Form.SQUARE, Form.NOTATION):
        return _square_alone(words, said, form, floor)
    if not spec.full:
        return None
    first, last = core(words, said)
    while _text(words, first) in _QUALITIES - PIECES.keys() and _text(words, first + 1) in PIECES:
        first += 1  # "the king's knight"
    head, qualified = _noun(words, first, floor)
    if form is Form.CAPTURE and _text(words, said[0]) not in TAKES:
        if not spec.pieces and spec.from_square is None:
            return None
        return (_square_behind(words, first, last), last) if qualified else (head, last)
    if form is not Form.FULL or not spec.pieces or event.phrase.verb:
        return None  # "White takes on d4 with the knight", "the bishop comes to c4"
    if head == first:
        return first, last
    return None if _text(words, first + 1) in TO_A_SQUARE else (first + 1, last)


def _behind_its_file(
    words: Sequence[Word], turn: tuple[Stretch, Event], san: str, floor: int
) -> Stretch | None:
    """The words of a pawn's capture whose file was not heard with it, as an "a" is for an article:
    "and a takes b5"."""
    said, event = turn
    first, last = core(words, said)
    whole = event.phrase.form is Form.CAPTURE and event.phrase.spec.full
    if not whole or first <= floor or words[first - 1].mark or san[0] not in FILES:
        return None
    if _text(words, first) not in TAKES or _text(words, first + 1) in ARTICLES:
        return None
    return (first - 1, last) if san[0] == FILE_WORDS.get(_text(words, first - 1)) else None


def _is_bare_castling(words: Sequence[Word], turn: tuple[Stretch, Event], floor: int) -> bool:
    """Whether only "castles" is said, in a row of moves: nobody who does it, and no side."""
    said, event = turn
    alone = said[1] - said[0] == 1 and event.phrase.form is Form.CASTLING
    return alone and said[0] == floor


def _is_lettered(words: Sequence[Word], said: Stretch, event: Event) -> bool:
    """Whether castling is written in letters alone: "O-O"."""
    alone = said[1] - said[0] == 1 and event.phrase.form is Form.CASTLING
    return alone and _LETTERS.search(_text(words, said[0])) is not None


_LETTERS = re.compile("[o0]-[o0]")


def _square_alone(words: Sequence[Word], said: Stretch, form: Form, floor: int) -> Stretch | None:
    """The words of a square, or of notation, that tell the move; None where they tell a place."""
    first, last = core(words, said)
    before = _text(words, first - 1) if first > floor else ""
    if before in ARTICLES and not _is_file_named(words, first - 1, floor):
        return None
    if form is Form.NOTATION or before not in TO_A_SQUARE:
        return first, last
    start = first - 2
    if before != "to" or start < floor or not _is_square(words, start):
        return None  # "the rook goes to d1": a place
    if _text(words, start - 1) in PIECES and start > floor:
        start -= 1
    bare = _noun(words, start, floor)[0] == start and _text(words, start - 1) not in TO_A_SQUARE
    return (start, last) if bare else None  # "pawn d2 to d4"


def _is_file_named(words: Sequence[Word], k: int, floor: int) -> bool:
    """Whether an "a" is the file: "his a pawn"."""
    return _text(words, k) == "a" and k > floor and _is_determiner(words, k - 1)


def core(words: Sequence[Word], said: Stretch) -> Stretch:
    """The words of a phrase that its notation says, without a sentence before them.

    Nor with more than "check" behind them: "and it's check", "discovered check".
    """
    start, end = said
    first = next(
        (k for k in range(end - 1, start, -1) if any(c in ".:;!?" for c in words[k - 1].mark)),
        start,
    )
    last = end - 1 if _text(words, end - 1) in _CHECK else end
    while last > first + 1 and _text(words, last - 1) in _OF_CHECK:
        last -= 1
    return first, last if last < end - 1 else end


def _noun(words: Sequence[Word], first: int, floor: int) -> tuple[int, bool]:
    """Where the noun begins whose last word is at `first`, and whether it has more than an article.

    A file that is named is no more than the notation says: "his a pawn".
    """
    qualities: list[str] = []
    k = first - 1
    while k >= floor and not words[k].mark:
        if _is_determiner(words, k) and not _is_file_named(words, k, floor):
            return k, any(text not in FILES for text in qualities)
        if _text(words, k) not in _QUALITIES:
            break
        qualities.append(_text(words, k))
        k -= 1
    return first, False


def _is_determiner(words: Sequence[Word], k: int) -> bool:
    """Whether a word begins a noun: "the", "my", "White's"."""
    text = _text(words, k).replace("’", "'")
    owner = text.removesuffix("'s")
    return text in ARTICLES or (owner != text and owner not in _CONTRACTED | {"queen", "king"})


def _square_behind(words: Sequence[Word], first: int, last: int) -> int:
    """Where the square begins that ends a phrase, with the word that leads to it: "on d4"."""
    k = next((k for k in range(last - 1, first, -1) if _is_square(words, k)), last - 1)
    if _text(words, k) in DIGITS and k - 1 > first and _text(words, k - 1) in FILES:
        k -= 1
    return k - 1 if k - 1 > first and _text(words, k - 1) in TO_A_SQUARE else k


def _named_behind(
    words: Sequence[Word], end: int, move: tuple[str, str], reach: Stretch
) -> Stretch | None:
    """The words behind a hint that name the same move in full: "he takes back, g takes f4"."""
    san, uci = move
    names = _names(san, uci)
    for k in range(end, min(end + _APART_WORDS, reach[1])):
        if any(word.ends_sentence for word in words[max(k - 1, 0) : k]):
            return None
        for name in names:
            size = len(name)
            if k + size > reach[1] or any(words[n].mark for n in range(k, k + size - 1)):
                continue
            alone = size == 1 and k > end and not words[k - 1].mark
            if [_spelt(words, n) for n in range(k, k + size)] == name and not alone:
                head, qualified = _noun(words, k, end)
                return (_square_behind(words, k, k + size) if qualified else head), k + size
    return None


def _names(san: str, uci: str) -> list[list[str]]:
    """How a move is named in full, the longest first."""
    plain = san.rstrip("+#")
    if plain.startswith("O") or "=" in plain:
        return []
    kind = plain[0].lower() if plain[0].isupper() else "p"
    piece = chess.piece_name("pnbrqk".index(kind) + 1)
    square, file = uci[2:4], uci[0]
    out: list[list[str]] = []
    for told in ([square], [*square]):
        if "x" in plain:
            takers = [[piece], [piece, file]] if kind != "p" else [[file], [piece], [file, piece]]
            out += [
                [*taker, verb, *on, *told]
                for taker in takers
                for verb in ("takes", "captures")
                for on in ([], ["on"])
            ]
        else:
            out += [[piece, *to, *told] for to in ([], ["to"])]
            out += [told] if kind == "p" else []
    return sorted(out, key=len, reverse=True)


def _is_square(words: Sequence[Word], k: int) -> bool:
    """Whether a word ends a square: "d4", or the "four" of "d four"."""
    text = _text(words, k)
    return bool(re.fullmatch("[a-h][1-8]", text)) or (
        text in DIGITS and _text(words, k - 1) in FILES
    )


def _spelt(words: Sequence[Word], k: int) -> str:
    """A word with its number as a digit."""
    text = _text(words, k)
    return DIGITS.get(text, text)


def _text(words: Sequence[Word], k: int) -> str:
    return words[k].text.lower() if 0 <= k < len(words) else ""
