"""Moves told by the manner in which a piece moves, with no square or with one named before.

"The knight hops back to the queenside", "jumps in with the other knight", "the bishop takes the
long diagonal", "trades his knight for the bishop", "checks on c7 with the b-knight", "and there it
lands": what each says of a move stands here; which move it is, the board tells.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

import chess

from linewright.talk.said import Form, Phrase, Spec
from linewright.talk.vocabulary import (
    ARTICLES,
    TO_A_SQUARE,
    WALKS,
    WHO,
    Guess,
    Lexicon,
    is_square,
    words,
)

PAUSE = 0.3
"""A break this strong is a comma."""

_QUEENSIDE, _KINGSIDE = "abc", "fgh"
_MIDDLE = (("d4", 0.0), ("e4", 0.0), ("d5", 0.0), ("e5", 0.0), ("c4", 0.6), ("c5", 0.6),
           ("f4", 0.6), ("f5", 0.6))  # fmt: skip
_LONG_DIAGONALS = ("b2", "g2", "b7", "g7")


def _of_files(files: str) -> tuple[tuple[int, float], ...]:
    return tuple((s, 0.0) for s in chess.SQUARES if chess.FILE_NAMES[chess.square_file(s)] in files)


def _named(squares: Sequence[tuple[str, float]]) -> tuple[tuple[int, float], ...]:
    return tuple((chess.parse_square(square), price) for square, price in squares)


_CENTRE_WORDS = words("centre center middle")
_WHERE: dict[str, tuple[tuple[int, float], ...]] = {
    **dict.fromkeys(("queenside",), _of_files(_QUEENSIDE)),
    **dict.fromkeys(("kingside",), _of_files(_KINGSIDE)),
    **dict.fromkeys(_CENTRE_WORDS, _named(_MIDDLE)),
    **dict.fromkeys(("edge", "rim"), _of_files("ah")),
    "corner": _named([(square, 0.0) for square in ("a1", "h1", "a8", "h8")]),
}
_WINGS = {("king", "side"): "kingside", ("queen", "side"): "queenside",
          ("king's", "side"): "kingside", ("queen's", "side"): "queenside"}  # fmt: skip
_TOWARDS = (TO_A_SQUARE - {"from"}) | words("in towards toward")
_ON_THE_WAY = words("all the way right straight just then again back over across out up down")

_ALL_WALKS = WALKS | words(
    "leaps leapt marches marched travels travelled wanders wandered switches switched crosses"
    " crossed sails sailed shifts shifted transfers transferred trots gallops dances hurries rushes"
    " rushed dashes climbs jump hop swing walk"
)
_INWARDS = words("in out up over forward across")
_LEAVES = words("leaves vacates abandons quits deserts swaps exchanges")
_GIVES = words("gives give gave giving")


def manners(lexicon: Lexicon, i: int) -> Iterator[Phrase]:
    """The phrases of this kind that begin at a token."""
    yield from _to_a_region(lexicon, i)
    yield from _leaves_for(lexicon, i)
    yield from _there(lexicon, i)
    yield from _with_what(lexicon, i)
    yield from _piece_for_piece(lexicon, i)
    yield from _check_on(lexicon, i)
    yield from _along(lexicon, i)
    yield from _gone(lexicon, i)
    yield from _pawn_walks(lexicon, i)
    yield from _inverted(lexicon, i)
    yield from _from_there(lexicon, i)
    yield from _exchange(lexicon, i)


def piece_at(lexicon: Lexicon, k: int) -> str:
    """The piece a token names, as it stands or plainly misheard; empty for none."""
    found = lexicon.pieces(k)
    return found[0][0] if found and found[0][1] < 0.6 else ""


def _at(square: Guess) -> tuple[tuple[int, float], ...]:
    """A square that was named as the only target."""
    return ((chess.parse_square(square.value), 0.0),)


def _close(lexicon: Lexicon, k: int) -> bool:
    return k < len(lexicon.tokens) and lexicon.tokens[k].gap < PAUSE


def _skip(lexicon: Lexicon, k: int, some: frozenset[str]) -> int:
    while lexicon.text(k) in some and _close(lexicon, k):
        k += 1
    return k


QUALITIES = words(
    "king's queen's dark light squared square good bad black white poor brave little big weak own last"
    " other second first remaining dark-squared light-squared"
)
"""What may stand between an article and a piece."""


def piece_after(lexicon: Lexicon, k: int) -> tuple[int, Spec] | None:
    """Where the name of a piece ends that may begin at a token, and what it says."""
    begun = k
    k = _skip(lexicon, k, ARTICLES | QUALITIES)
    other = any(lexicon.text(n) in ("other", "second") for n in range(begun, k))
    file = lexicon.text(k)
    known = len(file) == 1 and file in "abcdefgh" and bool(piece_at(lexicon, k + 1))
    if known:
        k += 1
    piece = piece_at(lexicon, k)
    if not piece or not _close(lexicon, k):
        return None
    spec = Spec(pieces=((piece, 0.0),), from_file=file if known else "", other=other)
    return k + 1, spec


def _region(lexicon: Lexicon, k: int) -> tuple[int, str] | None:
    """Where "to the queenside" ends that may begin at a token, and which region it is."""
    k = _skip(lexicon, k, _ON_THE_WAY)
    if lexicon.text(k) not in _TOWARDS or not _close(lexicon, k):
        return None
    k = _skip(lexicon, k + 1, ARTICLES)
    pair = _WINGS.get((lexicon.text(k), lexicon.text(k + 1)))
    if pair:
        return k + 2, pair
    return (k + 1, lexicon.text(k)) if lexicon.text(k) in _WHERE else None


_WALKERS = words("it she which")
_ARRIVES = words("is lands sits stands goes comes arrives")
_STILL = words("just simply now then also has to must can will")


def _subject_and_verb(lexicon: Lexicon, i: int, verbs: frozenset[str]) -> tuple[str, int] | None:
    """A piece (empty for "it") that a token names, and where one of some verbs follows it."""
    piece = piece_at(lexicon, i)
    verb = _skip(lexicon, i + 1, _STILL)
    if not piece and lexicon.text(i) not in _WALKERS:
        return None
    return (piece, verb) if lexicon.text(verb) in verbs and _close(lexicon, verb) else None


def _bare(lexicon: Lexicon, i: int) -> tuple[str, int] | None:
    """A piece with no verb: "knight to the edge", but not where it is "on the rim"."""
    piece = piece_at(lexicon, i)
    return (piece, i) if piece not in ("", "P") and lexicon.text(i + 1) in _INTO else None


_INTO = words("to into towards")


def _to_a_region(lexicon: Lexicon, i: int) -> Iterator[Phrase]:
    """ "The knight hops back to the queenside", "it steps into the middle"."""
    found_verb = _subject_and_verb(lexicon, i, _ALL_WALKS) or _bare(lexicon, i)
    if found_verb is None:
        return
    piece, k = found_verb
    found = _region(lexicon, k + 1)
    if found is None:
        return
    end, where = found
    if piece == "K" and where in ("queenside", "kingside"):
        wing = "Q" if where == "queenside" else "K"
        yield Phrase(i, end, Form.CASTLING, Spec(castling=wing), 0.5, verb=True)
        return
    back = any(lexicon.text(n) == "back" for n in range(k, end))
    spec = Spec(pieces=((piece, 0.0),) if piece else (), targets=_WHERE[where], quiet=True,
                free=not piece, back=back)  # fmt: skip
    yield Phrase(i, end, Form.VAGUE, spec, 0.9, verb=True)


def _there(lexicon: Lexicon, i: int) -> Iterator[Phrase]:
    """ "There she is on b4": it has just come there."""
    if lexicon.text(i) not in ("there", "here") or lexicon.text(i + 1) not in ("it", "he", "she"):
        return
    if lexicon.text(i + 2) not in _ARRIVES or lexicon.text(i + 3) not in ("on", "at"):
        return
    square = lexicon.square(i + 4)
    if square is not None and _close(lexicon, i + 4):
        spec = Spec(targets=_at(square), free=True)
        yield Phrase(i, square.end, Form.FULL, spec, 0.6, verb=True)


def _leaves_for(lexicon: Lexicon, i: int) -> Iterator[Phrase]:
    """ "The queen leaves the d-file for b6", "the knight gives up c4 for d2"."""
    piece = piece_at(lexicon, i)
    if not piece:
        return
    verb = _skip(lexicon, i + 1, _STILL)
    if lexicon.text(verb) in _GIVES and lexicon.text(verb + 1) in ("up", "away"):
        verb += 1
    elif lexicon.text(verb) not in _LEAVES:
        return
    for k in range(verb + 1, verb + 6):
        if not _close(lexicon, k):
            return
        if lexicon.text(k) == "for":
            square = lexicon.square(k + 1)
            if square is not None:
                target = _at(square)
                spec = Spec(pieces=((piece, 0.0),), targets=target)
                yield Phrase(i, square.end, Form.FULL, spec, 0.2, verb=True)
            return


def _with_what(lexicon: Lexicon, i: int) -> Iterator[Phrase]:
    """ "Jumps in with the other knight", "comes out with his queen"."""
    if lexicon.text(i) not in _ALL_WALKS:
        return
    k = i + 1
    inwards = lexicon.text(k) in _INWARDS or lexicon.text(k) in ("back", "away")
    if not inwards or lexicon.text(k + 1) != "with" or not _close(lexicon, k + 1):
        return
    found = piece_after(lexicon, k + 2)
    if found is None or found[1].pieces[0][0] == "P":
        return
    spec = replace(found[1], quiet=lexicon.text(k) in ("out", "back", "away"),
                   back=lexicon.text(k) == "back")  # fmt: skip
    yield Phrase(i, found[0], Form.VAGUE, spec, 0.6, verb=True)


_SWAPS = words(
    "trade trades traded trading exchange exchanges exchanged exchanging swap swaps swapped swapping"
    " give gives gave giving sacrifice sacrifices sacrificed"
)
_GIVEN_UP = words("up away off")


def _piece_for_piece(lexicon: Lexicon, i: int) -> Iterator[Phrase]:
    """ "Trades his knight for the bishop", "gives up the bishop for the knight"."""
    if lexicon.text(i) not in _SWAPS:
        return
    mine = piece_after(lexicon, _skip(lexicon, i + 1, _GIVEN_UP))
    if mine is None or lexicon.text(mine[0]) != "for" or not _close(lexicon, mine[0]):
        return
    theirs = piece_after(lexicon, mine[0] + 1)
    if theirs is None:
        return
    end, met = theirs
    spec = replace(mine[1], capture=True, captured=met.pieces[0][0])
    square = lexicon.square(end + 1) if lexicon.text(end) in ("on", "at") else None
    if square is not None:
        target = _at(square)
        spec, end = replace(spec, targets=target), square.end
    yield Phrase(i, end, Form.CAPTURE, spec, 0.3, verb=True)


CHECK_VERBS = words("check checks checked")
_CHECKED = words("me him you us her them king the white black")


def _check_on(lexicon: Lexicon, i: int) -> Iterator[Phrase]:
    """ "Checks me on c7 with the b-knight", "gives a check on b4"."""
    k = i
    if lexicon.text(k) in _GIVES:
        k = _skip(lexicon, k + 1, words("a another the"))
    if lexicon.text(k) not in CHECK_VERBS or (k > i and not _close(lexicon, k)):
        return
    k = _skip(lexicon, k + 1, _CHECKED)
    square = lexicon.square(k + 1) if lexicon.text(k) in ("on", "from", "at") else None
    if square is None:
        return
    targets = _at(square)
    spec = Spec(targets=targets, check=True, free=True)
    end = square.end
    if lexicon.text(end) == "with" and (found := piece_after(lexicon, end + 1)):
        spec = replace(found[1], targets=targets, check=True)
        end = found[0]
    yield Phrase(i, end, Form.FULL, spec, 0.4, verb=True)


_SEIZES = words(
    "takes take occupies occupy seizes claims grabs gets controls conquers doubles commands"
)


def _along(lexicon: Lexicon, i: int) -> Iterator[Phrase]:
    """ "The bishop gets the long diagonal", "the rook occupies the open file"."""
    piece = piece_at(lexicon, i)
    if piece not in ("B", "R", "Q"):
        return
    k = _skip(lexicon, i + 1, _STILL)
    seizes = lexicon.text(k) in _SEIZES
    onto = lexicon.text(k) in ("on", "onto", "to") or (
        lexicon.text(k) in _ALL_WALKS and lexicon.text(k + 1) in ("to", "onto")
    )
    if not (seizes or onto) or not _close(lexicon, k):
        return
    k = _skip(lexicon, k + 1, ARTICLES | words("to onto"))
    spec = Spec(pieces=((piece, 0.0),), quiet=True)
    if (lexicon.text(k), lexicon.text(k + 1)) == ("long", "diagonal") and piece == "B":
        spec = replace(spec, targets=_named([(s, 0.0) for s in _LONG_DIAGONALS]))
        yield Phrase(i, k + 2, Form.VAGUE, spec, 0.6, verb=True)
    elif seizes and piece != "B" and lexicon.text(k + 1) == "file":
        file = lexicon.text(k)
        if len(file) == 1 and file in "abcdefgh":
            yield Phrase(i, k + 2, Form.VAGUE, replace(spec, to_file=file), 0.5, verb=True)
        elif file in ("open", "half-open"):
            yield Phrase(i, k + 2, Form.VAGUE, spec, 0.7, verb=True)


_FALLS = words("falls disappears vanishes")
_GOES_OFF = {("comes", "off"), ("drops", "off"), ("goes", "too"), ("is", "gone"), ("gets", "eaten")}


def _gone(lexicon: Lexicon, i: int) -> Iterator[Phrase]:
    """ "The pawn on e4 comes off", "his bishop disappears": taken, nobody says by what."""
    piece = piece_at(lexicon, i)
    if not piece or piece == "K" or lexicon.text(i - 1) not in ARTICLES:
        return
    k, spec = i + 1, Spec(capture=True, captured=piece)
    if lexicon.text(k) in ("on", "at") and (square := lexicon.square(k + 1)):
        spec = replace(spec, targets=_at(square))
        k = square.end
    k = _skip(lexicon, k, words("then now also just simply"))
    if not _close(lexicon, k):
        return
    pair = (lexicon.text(k), lexicon.text(k + 1))
    if pair in _GOES_OFF or pair[0] in _FALLS:
        end = k + (2 if pair in _GOES_OFF else 1)
        if lexicon.text(end) == "with" and lexicon.text(end + 1) == "check":
            end, spec = end + 2, replace(spec, check=True)
        yield Phrase(i, end, Form.CAPTURE, spec, 0.9, verb=True)


_PAWN_WALKS = words("marches marched runs ran advances advanced steps stepped walks walked goes went"
                    " moves moved keeps creeps rolls pushes")  # fmt: skip
_ONWARDS = words("on forward again further up ahead past down running going marching")


def _pawn_walks(lexicon: Lexicon, i: int) -> Iterator[Phrase]:
    """ "The pawn marches on": a pawn's step without its square."""
    if piece_at(lexicon, i) != "P" or lexicon.text(i).endswith("s"):
        return
    k = _skip(lexicon, i + 1, _STILL)
    if lexicon.text(k) not in _PAWN_WALKS or lexicon.text(k + 1) not in _ONWARDS:
        return
    if not (_close(lexicon, k) and _close(lexicon, k + 1)) or lexicon.square(k + 2) is not None:
        return
    file = lexicon.text(i - 1)
    known = len(file) == 1 and file in "bcdefgh"
    spec = Spec(pieces=(("P", 0.0),), from_file=file if known else "", quiet=True)
    yield Phrase(i, k + 2, Form.VAGUE, spec, 1.0, verb=True)


_ADVERBS = words("in out off up back over across down away forward here there")
_GOES = words("goes comes went came jumps hops steps swings drops")
_GO = words("go come went came")


def _inverted(lexicon: Lexicon, i: int) -> Iterator[Phrase]:
    """ "In goes the knight", "off go the queens", "out comes the bishop to c5"."""
    if lexicon.text(i) not in _ADVERBS or not _close(lexicon, i + 1):
        return
    many = _skip(lexicon, i + 2, ARTICLES)
    name = lexicon.text(many)
    if lexicon.text(i) == "off" and lexicon.text(i + 1) in _GO and name in _SEVERAL:
        spec = Spec(capture=True, captured=_SEVERAL[name])
        yield Phrase(i, many + 1, Form.TRADE, spec, 0.2, verb=True)
    found = piece_after(lexicon, i + 2) if lexicon.text(i + 1) in _GOES else None
    if found is None or lexicon.text(i + 2) not in ARTICLES or name in _SEVERAL:
        return
    end, spec = found
    back = lexicon.text(i) == "back"
    square = lexicon.square(end + 1) if lexicon.text(end) in _TOWARDS else None
    if square is not None and _close(lexicon, end + 1):
        target = _at(square)
        spec = replace(spec, targets=target, back=back)
        yield Phrase(i, square.end, Form.FULL, spec, 0.1, verb=True)
    elif not (lexicon.text(i) == "off" and spec.pieces[0][0] != "P"):  # "off comes the bishop"
        yield Phrase(i, end, Form.VAGUE, replace(spec, quiet=True, back=back), 0.6, verb=True)


_SEVERAL = {"queens": "Q", "rooks": "R", "bishops": "B", "knights": "N"}
_WORKS = words(
    "keeps keep holds watches eyes attacks guards defends protects supports aims stares looks hits"
    " blocks controls covers pins kept held attacked guarded defended protected supported blocked"
    " covered pinned"
)
_NEAR = 4


def _from_there(lexicon: Lexicon, i: int) -> Iterator[Phrase]:
    """ "It keeps the pin from h5", "the knight blocks the diagonal from c5": it goes there."""
    found_verb = _subject_and_verb(lexicon, i, _WORKS)
    if found_verb is None:
        return
    piece, verb = found_verb
    for k in range(verb + 1, verb + 2 + _NEAR):
        if not _close(lexicon, k) or is_square(lexicon.text(k)):
            return
        if lexicon.text(k) == "from":
            square = lexicon.square(k + 1)
            if square is not None and _close(lexicon, k + 1):
                target = _at(square)
                pieces = ((piece, 0.0),) if piece else ()
                spec = Spec(pieces=pieces, targets=target, free=not piece)
                yield Phrase(i, square.end, Form.FULL, spec, 0.9, verb=True)
            return


_SACRIFICES = words("sacrifice sacrifices sacrificed sacrificing gives gave give offers offered")


def _exchange(lexicon: Lexicon, i: int) -> Iterator[Phrase]:
    """ "He sacrifices the exchange on f3", "gives up the exchange": a rook takes something less."""
    if lexicon.text(i) not in _SACRIFICES:
        return
    k = _skip(lexicon, i + 1, _GIVEN_UP)
    if (lexicon.text(k), lexicon.text(k + 1)) != ("the", "exchange") or not _close(lexicon, k + 1):
        return
    spec = Spec(pieces=(("R", 0.0),), capture=True)
    square = lexicon.square(k + 3) if lexicon.text(k + 2) in ("on", "at") else None
    if square is not None:
        spec = replace(spec, targets=_at(square))
        yield Phrase(i, square.end, Form.CAPTURE, spec, 0.2, verb=True)
    else:
        yield Phrase(i, k + 2, Form.CAPTURE, spec, 0.9, verb=True)


# --- words that stand for a move named before ----------------------------------------------------

_SUBJECTS = WHO | {"it", "everybody"}
_DOES = words("does do did")
_PLAYS = words("plays played play does did do")
_IT = words("it that this so")
_TURNS_UP = {("there", "it", "is"), ("there", "it", "goes"), ("there", "it", "comes"),
             ("there", "it", "lands"), ("here", "it", "is"), ("here", "it", "comes"),
             ("there", "he", "is"), ("there", "she", "is"), ("there", "she", "goes"),
             ("here", "he", "comes"), ("here", "she", "comes"), ("now", "it", "comes"),
             ("it", "lands", "there"), ("it", "goes", "there"), ("it", "comes", "there")}  # fmt: skip
_FURTHEST = 16
_AT_HAND = 3
_AGAIN_PRICE, _AGAIN_MORE = 1.0, 0.4


def again(lexicon: Lexicon, found: Mapping[int, list[Phrase]]) -> dict[int, list[Phrase]]:
    """The phrases with more of them for words that stand for a move spoken of just before.

    "Heading for b4. And there it is", "he wants e5, and he plays it": the words stand for what was
    a plan when it was named.
    """
    out = {first: list(phrases) for first, phrases in found.items()}
    for i in range(len(lexicon.tokens)):
        end = _stands_for(lexicon, i)
        if end:
            new = list(_meant(found, i, end))
            if new:
                out.setdefault(i, []).extend(new)
    return dict(sorted(out.items()))


def _stands_for(lexicon: Lexicon, i: int) -> int:
    """The end of words from a token on that stand for a move; 0 if they do not."""
    said = tuple(lexicon.text(k) for k in range(i, i + 3))
    tokens = lexicon.tokens

    def ends(k: int) -> bool:
        return k >= len(tokens) or tokens[k].gap >= PAUSE or lexicon.text(k) in ("and", "but", "on")

    if said in _TURNS_UP and ends(i + 3) and not is_square(lexicon.text(i + 4)):
        return i + 3
    begins = lexicon.text(i - 1) in ("and", "which", "so", "now", "then") or (
        i < len(tokens) and tokens[i].gap >= PAUSE
    )
    if said[0] in _SUBJECTS and begins:
        if said[1] in _PLAYS and said[2] in _IT and ends(i + 3):
            return i + 3
        if said[1] in _DOES and ends(i + 2) and lexicon.text(i - 1) in ("and", "which"):
            return i + 2
    return 0


def _meant(found: Mapping[int, list[Phrase]], i: int, end: int) -> Iterator[Phrase]:
    """What words may stand for: the moves named last, the nearest first."""
    named: list[Phrase] = []
    for first in range(i - 1, max(i - _FURTHEST, -1), -1):
        best = min((p for p in found.get(first, ()) if p.end <= i and _names_a_square(p)),
                   key=lambda p: (p.price, -len(p.spec.pieces)), default=None)  # fmt: skip
        if best is not None:
            if named and named[-1].first < best.end:
                named.pop()  # the end of this one
            named.append(best)
    for far, phrase in enumerate(named[:_AT_HAND]):
        spec = phrase.spec if phrase.spec.pieces else replace(phrase.spec, free=True)
        yield Phrase(i, end, Form.FULL, spec, _AGAIN_PRICE + _AGAIN_MORE * far, verb=True)


def _names_a_square(phrase: Phrase) -> bool:
    plain = phrase.price < 0.7 and any(price < 0.6 for _, price in phrase.spec.targets)
    named = (Form.FULL, Form.SQUARE, Form.CAPTURE, Form.PLACED)
    return plain and len(phrase.spec.targets) < 8 and phrase.form in named
