"""Moves told with hardly a word: "knight out, knight out", "home", "check", "we go past".

A teacher in a hurry names a piece, or what a move does, and leaves the square to the board. The same
words are as often mere talk; so they count only where a clause begins and ends with them, and the
search says which move is meant. A recogniser that writes no stops leaves that to the prices.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import chess

from linewright.talk.manners import CHECK_VERBS, PAUSE, QUALITIES, piece_after, piece_at
from linewright.talk.said import Form, Phrase, Spec
from linewright.talk.vocabulary import ARTICLES, INFINITE, PIECES, WHO, Lexicon, is_square, words

OPENERS = words("and then now so but first bang well here again next or finally still also")
"""A clause may begin with these."""
FOLLOWERS = words(
    "and with in hits hit hitting attacks attacking kicks kicking because then now so but where eyeing"
    " again too first also at pins pinning since before after he we black white i you"
)
"""A clause may end before these."""
JOINED = 0.5
UNMARKED = 1.3
"""What it costs that no stop parts the words from others, where the talk has stops and where not."""
CLAUSE = 4
"""So many words may stand before a piece in its clause."""


def sparing(lexicon: Lexicon, i: int) -> Iterator[Phrase]:
    """The phrases of this kind that begin at a token."""
    yield from _piece_and_adverb(lexicon, i)
    yield from _piece_alone(lexicon, i)
    yield from _between(lexicon, i)
    yield from _home(lexicon, i)
    yield from _jumps(lexicon, i)
    yield from _check(lexicon, i)
    yield from _past(lexicon, i)
    yield from _step(lexicon, i)
    yield from _small(lexicon, i)
    yield from _develops(lexicon, i)
    yield from _offers(lexicon, i)
    yield from _copies(lexicon, i)
    yield from _keeps(lexicon, i)
    yield from _brings(lexicon, i)


def begins(lexicon: Lexicon, i: int) -> float:
    """The price of a clause beginning at a token: none after a pause, `INFINITE` where it cannot."""
    if i <= 0 or lexicon.tokens[i].gap >= PAUSE:
        return 0.0
    if lexicon.text(i - 1) in OPENERS and lexicon.tokens[i - 1].gap >= PAUSE:
        return 0.0
    if lexicon.text(i - 1) in ("and", "then", "now") or (
        lexicon.unmarked and _moves(lexicon, i - 1)
    ):
        return JOINED
    return UNMARKED if lexicon.unmarked else INFINITE


def ends(lexicon: Lexicon, k: int) -> float:
    """The price of a clause ending before a token."""
    if k >= len(lexicon.tokens) or lexicon.tokens[k].gap >= PAUSE:
        return 0.0
    if lexicon.text(k) in FOLLOWERS or (lexicon.unmarked and _moves(lexicon, k)):
        return JOINED / 2
    return UNMARKED if lexicon.unmarked and lexicon.text(k) not in _GOES_ON else INFINITE


def _moves(lexicon: Lexicon, k: int) -> bool:
    """Whether a token is of the words that tell moves: a square, a piece, a capture, castling."""
    text = lexicon.text(k)
    told = text in PIECES or is_square(text) or text in _MOVED
    return told or lexicon.take(k) < 1 or lexicon.castle(k) < 1


_MOVED = words("out home check block pin")
_GOES_ON = words("to of on the a his her its their our your my from for into onto off in or is was")


def apart(lexicon: Lexicon, i: int, end: int) -> float:
    """The price of tokens being a clause of their own."""
    return begins(lexicon, i) + ends(lexicon, end)


def _told(lexicon: Lexicon, i: int, end: int, spec: Spec, price: float) -> Iterator[Phrase]:
    """A move without its square, unless one follows."""
    price += ends(lexicon, end)
    squared = lexicon.square(end) is not None and lexicon.tokens[end].gap < PAUSE
    if price < INFINITE and not squared:
        yield Phrase(i, end, Form.VAGUE, spec, price, verb=True)


def _clause(lexicon: Lexicon, i: int) -> int:
    """Where the words that lead to a piece begin: "now", "our other" before "knight"."""
    k = i
    while k > max(i - CLAUSE, 0) and lexicon.tokens[k].gap < PAUSE and (
        lexicon.text(k - 1) in ARTICLES or lexicon.text(k - 1) in QUALITIES
    ):  # fmt: skip
        k -= 1
    return k


# --- pieces -------------------------------------------------------------------------------------

_OUT = words("out in comes come up forward across jumps hops develops there")
_HOMEWARDS = words("home back returns retreats")
_NO_SUBJECT = words(
    "with of for against by from without about like on be is was been see sees had want wants"
)
"""What comes after these is no move: "it must be this knight first", "with the knight out"."""
_AFTER_OUT = words("out in over up again first round around across forward too")


def _piece_and_adverb(lexicon: Lexicon, i: int) -> Iterator[Phrase]:
    """ "Knight out", "the bishop comes", "horse first", "queen home", "rook lift"."""
    piece = piece_at(lexicon, i)
    text = lexicon.text(i + 1)
    if not piece or lexicon.text(i).endswith("s") or i + 1 >= len(lexicon.tokens):
        return
    first = _clause(lexicon, i)
    price = begins(lexicon, first)
    spoken_of = lexicon.text(first - 1) in _NO_SUBJECT and lexicon.tokens[first].gap < PAUSE
    if lexicon.tokens[i + 1].gap >= PAUSE or price >= INFINITE or spoken_of:
        return
    back = text in _HOMEWARDS
    lift = piece == "R" and text == "lift"
    if piece == "P" or not (back or lift or text in _OUT or text == "first"):
        return
    end = i + 2
    if lexicon.text(end) in _AFTER_OUT and lexicon.tokens[end].gap < PAUSE:
        end += 1
    back = back or "back" in (lexicon.text(end), lexicon.text(end - 1))
    end += lexicon.text(end) in _HOMEWARDS and lexicon.tokens[end].gap < PAUSE
    home = "home" in (lexicon.text(i + 1), lexicon.text(end - 1))
    spec = Spec(
        pieces=((piece, 0.0),), targets=_HOME if home else (), quiet=True, back=back,
        other=_other(lexicon, first, i),
    )  # fmt: skip
    yield from _told(lexicon, i, end, spec, 0.5 + price)


def _other(lexicon: Lexicon, first: int, i: int) -> bool:
    return any(lexicon.text(k) in ("other", "second") for k in range(first, i))


def _piece_alone(lexicon: Lexicon, i: int) -> Iterator[Phrase]:
    """ "Knight, knight. Pin.", "our other knight, hits d4", "Now the knight, bishop e7"."""
    piece = PIECES.get(lexicon.text(i), "")
    if piece in ("", "K", "P", "Q"):
        return
    first = _clause(lexicon, i)
    price = begins(lexicon, first)
    other = _other(lexicon, first, i)
    now = lexicon.text(first - 1) in ("now", "then", "first", "and")
    if first < i and not (other or now):
        return  # "the knight," says nothing
    end = i + 1
    if price > JOINED or (end < len(lexicon.tokens) and lexicon.tokens[end].gap < PAUSE):
        if not (lexicon.unmarked and _listed(lexicon, i) and lexicon.tokens[end].gap < PAUSE):
            return
        price = UNMARKED
    spec = Spec(pieces=((piece, 0.0),), quiet=True, other=other)
    yield Phrase(i, end, Form.VAGUE, spec, 1.3 + price, verb=True)


def _listed(lexicon: Lexicon, i: int) -> bool:
    """Whether a piece stands in a row of moves: "c6 knight knight pin"."""
    before, after = lexicon.text(i - 1), lexicon.text(i + 1)
    moves = (before in PIECES or is_square(before)) and i + 1 < len(lexicon.tokens)
    return moves and (after in PIECES or lexicon.castle(i + 1) < 1)


_PLUGS = words("plugs plug interposes interpose blocks block")
_GUARDS = words("guards guard defends defend protects protect covers cover helps")


def _between(lexicon: Lexicon, i: int) -> Iterator[Phrase]:
    """ "Bishop in between", "bishop plugs", "knight guards"; "block", "pin" and "guards" alone."""
    piece = piece_at(lexicon, i)
    if (
        piece
        and not lexicon.text(i).endswith("s")
        and begins(lexicon, _clause(lexicon, i)) < INFINITE
    ):
        spec = Spec(pieces=((piece, 0.0),), quiet=True)
        text = lexicon.text(i + 1)
        if (text, lexicon.text(i + 2)) == ("in", "between"):
            yield Phrase(i, i + 3, Form.VAGUE, replace(spec, deed="block"), 0.4, verb=True)
        elif text == "between" or text in _PLUGS:
            yield from _told(lexicon, i, i + 2, replace(spec, deed="block"), 0.4)
        elif text in _GUARDS:
            yield from _told(lexicon, i, i + 2, replace(spec, deed="support"), 1.0)
    elif deed := _DEEDS.get(lexicon.text(i)):
        yield from _deed_alone(lexicon, i, deed)


_DEEDS: dict[str, str] = {
    **dict.fromkeys(("pin", "pins"), "pin"),
    **dict.fromkeys(("fork", "forks"), "fork"),
    **dict.fromkeys(("block", "blocks", "plugs"), "block"),
    **dict.fromkeys(("kicks", "chases", "kick", "chase"), "attack"),
    **dict.fromkeys(("guards", "guard", "defends"), "support"),
}
_KICKED = "NBQ"
NOT_LAST = 0.7
"""What is kicked has mostly just come."""
_ONE = words("a another the this")


def _deed_alone(lexicon: Lexicon, i: int, deed: str) -> Iterator[Phrase]:
    """ "Pin.", "and a pin,", "we kick,", "block"."""
    if lexicon.tokens[i].gap < PAUSE and is_square(lexicon.text(i - 1)):
        return  # "bishop g5 pins"
    first = i - 1 if lexicon.text(i - 1) in (WHO if deed == "attack" else _ONE) else i
    price = begins(lexicon, first)
    if lexicon.tokens[i].gap >= PAUSE and first < i:
        return
    piece = (("P", 0.0), ("N", 0.8), ("B", 0.8), ("Q", 1.5), ("R", 1.5)) if deed == "attack" else ()
    spec = Spec(pieces=piece, quiet=True, deed=deed)
    yield from _told(lexicon, i, i + 1, spec, 0.9 + price)
    for met in _KICKED if deed == "attack" else "":
        yield from _told(lexicon, i, i + 1, replace(spec, met=met), NOT_LAST + 0.9 + price)


# --- going home ---------------------------------------------------------------------------------

_IT = words("it he she")
_GOES = words("goes comes drops hops steps went came jumps")
_GO = _GOES | words("go come drop step")
_HOME = tuple(
    (square, 0.0) for rank in (chess.BB_RANK_1, chess.BB_RANK_8) for square in chess.SquareSet(rank)
)


def _home(lexicon: Lexicon, i: int) -> Iterator[Phrase]:
    """ "Home.", "back it goes", "we go back"."""
    text = lexicon.text(i)
    end = i + 1
    if text in ("home", "back"):
        if text == "back" and lexicon.text(end) == "home":
            text, end = "home", end + 1
        price = begins(lexicon, i)
        inverted = lexicon.text(end) in _IT and lexicon.text(end + 1) in _GOES
        if inverted:
            end += 2
        elif lexicon.unmarked and text == "back" and lexicon.tokens[i].gap < PAUSE:
            return
    elif text in _GO and lexicon.text(i + 1) in ("home", "back") and lexicon.text(i - 1) in WHO:
        end, price = i + 2, begins(lexicon, i - 1)
        text = lexicon.text(i + 1)
    else:
        return
    spec = Spec(quiet=True, back=True, free=True)
    if text == "home":
        pieces = (("N", 0.0), ("B", 0.0), ("Q", 0.0), ("R", 0.5))
        spec = replace(spec, pieces=pieces, targets=_HOME, free=False)
    yield from _told(lexicon, i, end, spec, (0.3 if text == "home" else 0.7) + price)


_WAYS_IN = words("in on up down out across over")
_JUMPS = words("jump jumps jumped hop hops hopped leap leaps leapt")


def _jumps(lexicon: Lexicon, i: int) -> Iterator[Phrase]:
    """ "In it goes", "we jump in"."""
    text, after = lexicon.text(i), lexicon.text(i + 1)
    if text in _WAYS_IN and after in _IT and lexicon.text(i + 2) in _GOES:
        spec = Spec(quiet=text != "in", free=True)
        yield from _told(lexicon, i, i + 3, spec, 1.0 + begins(lexicon, i))
    elif text in _JUMPS and lexicon.text(i - 1) in WHO and after in _WAYS_IN:
        spec = Spec(pieces=(("N", 0.0),), quiet=after != "in")
        yield from _told(lexicon, i, i + 2, spec, 0.7)


def _check(lexicon: Lexicon, i: int) -> Iterator[Phrase]:
    """ "Check.", "and a check", "check from the queen", "pawn check"."""
    piece = piece_at(lexicon, i)
    if piece == "P" and lexicon.text(i + 1) == "check" and begins(lexicon, i) < INFINITE:
        spec = Spec(pieces=((piece, 0.0),), check=True)
        yield Phrase(i, i + 2, Form.VAGUE, spec, 0.6, verb=True)
    if lexicon.text(i) not in CHECK_VERBS or lexicon.text(i) == "checked":
        return
    first = i - 1 if lexicon.text(i - 1) in _ONE and lexicon.tokens[i].gap < PAUSE else i
    price = begins(lexicon, first)
    found = piece_after(lexicon, i + 2) if lexicon.text(i + 1) in ("from", "by", "with") else None
    if found is not None and price < INFINITE:
        spec = replace(found[1], check=True)
        yield from _told(lexicon, i, found[0], spec, 0.5 + price)
    own = lexicon.tokens[first].gap >= PAUSE or lexicon.text(first - 1) in OPENERS
    if own:  # "bishop b5 check" is one move
        yield from _told(lexicon, i, i + 1, Spec(check=True), 0.8 + price)


# --- pawns --------------------------------------------------------------------------------------

_PAWN = Spec(pieces=(("P", 0.0),), quiet=True)
_PASSES = words("go goes went push pushes pushed roll rolls rolled steps step")
_PASSED = words("him it that them")


def _past(lexicon: Lexicon, i: int) -> Iterator[Phrase]:
    """ "We go past", "he went past it", "Past.", "it goes by"."""
    if lexicon.text(i) == "past" and begins(lexicon, i) == 0 and ends(lexicon, i + 1) == 0:
        yield Phrase(i, i + 1, Form.VAGUE, _PAWN, 1.0, verb=True)
    if lexicon.text(i) not in _PASSES or lexicon.text(i + 1) not in ("past", "by"):
        return
    if lexicon.text(i - 1) in WHO or lexicon.text(i - 1) in ("it", "pawn", "just", "simply"):
        end = i + 2 + (lexicon.text(i + 2) in _PASSED)
        yield from _told(lexicon, i, end, _PAWN, 0.5)


_STEPS = words("step steps square squares")
_TWO = replace(_PAWN, targets=tuple((s, 0.0) for r in (3, 4) for s in range(8 * r, 8 * r + 8)))


def _step(lexicon: Lexicon, i: int) -> Iterator[Phrase]:
    """ "One step", "the a-pawn, two squares"."""
    if lexicon.text(i) not in ("one", "two") or lexicon.text(i + 1) not in _STEPS:
        return
    if lexicon.tokens[i].gap < PAUSE and is_square(lexicon.text(i - 1)):
        return  # "e6 one step"
    price = begins(lexicon, i)
    spec = _TWO if lexicon.text(i) == "two" else _PAWN
    file = lexicon.text(i - 2)
    if piece_at(lexicon, i - 1) == "P" and len(file) == 1 and file in "abcdefgh":
        spec, price = replace(spec, from_file=file), 0.0
    yield from _told(lexicon, i, i + 2, spec, 1.0 + price)


def _small(lexicon: Lexicon, i: int) -> Iterator[Phrase]:
    """ "The small move", "the little move with the a-pawn"."""
    if lexicon.text(i) not in ("small", "little", "tiny") or lexicon.text(i + 1) != "move":
        return
    if lexicon.text(i - 1) != "the" or lexicon.tokens[i].gap >= PAUSE:
        return
    found = piece_after(lexicon, i + 3) if lexicon.text(i + 2) == "with" else None
    if found is not None and found[1].from_file:
        yield Phrase(i, found[0], Form.VAGUE, replace(found[1], quiet=True), 0.5, verb=True)
    yield from _told(lexicon, i, i + 2, _PAWN, 1.4 + begins(lexicon, i - 1))


# --- verbs --------------------------------------------------------------------------------------

_DEVELOPS = words("develops develop developed")
_MINOR = Spec(pieces=(("N", 0.0), ("B", 0.0)), quiet=True)
_OPPONENTS = WHO | words("opponent black's white's")


def _develops(lexicon: Lexicon, i: int) -> Iterator[Phrase]:
    """ "He develops", "we develop": a knight or a bishop."""
    told = lexicon.text(i) in _DEVELOPS and lexicon.text(i - 1) in _OPPONENTS
    if told and lexicon.tokens[i].gap < PAUSE:
        end = i + 1 + (lexicon.text(i + 1) in ("too", "again", "likewise"))
        yield from _told(lexicon, i, end, _MINOR, 1.0)


_OFFERS = words("offer offers offered")
_GAMBITS = ARTICLES | {"another"}


def _offers(lexicon: Lexicon, i: int) -> Iterator[Phrase]:
    """ "Offers the queens": a queen that faces the other."""
    offered = lexicon.text(i) in _OFFERS and lexicon.text(i + 1) in ARTICLES
    if offered and lexicon.text(i + 2) in ("queens", "ladies"):
        spec = Spec(pieces=(("Q", 0.0),), quiet=True, deed="attack", met="Q")
        yield Phrase(i, i + 3, Form.VAGUE, spec, 0.4, verb=True)
    elif lexicon.text(i) in _OFFERS and lexicon.text(i + 1) in _GAMBITS:
        end = i + 2
        if piece_at(lexicon, end) == "P" or lexicon.text(i + 1) == "another":
            end += piece_at(lexicon, end) == "P"
            yield from _told(lexicon, i, end, _PAWN, 1.0)


_COPIES = words("copies copy copied")


def _copies(lexicon: Lexicon, i: int) -> Iterator[Phrase]:
    """ "White copies": the move just made, as the other side makes it."""
    if lexicon.text(i) in _COPIES and lexicon.text(i - 1) in WHO:
        yield from _told(lexicon, i, i + 1, Spec(mirror=True), 0.4)


_KEEPS = words("keep keeps kept")
_PINNING = replace(
    Spec(pieces=(("B", 0.0),), quiet=True),
    targets=tuple((chess.parse_square(s), 0.0) for s in ("h4", "h5", "a4", "a5")),
)


def _keeps(lexicon: Lexicon, i: int) -> Iterator[Phrase]:
    """ "It keeps the pin": the bishop steps back on its line."""
    if lexicon.text(i) in _KEEPS and (lexicon.text(i + 1), lexicon.text(i + 2)) == ("the", "pin"):
        yield from _told(lexicon, i, i + 3, _PINNING, 0.7)


_BRINGS = words("bring brings brought bringing get gets got lets")
_WAYS = words("out back in home over up round")


def _brings(lexicon: Lexicon, i: int) -> Iterator[Phrase]:
    """ "Brought out the knight", "he brings the knight," "gets out his other bishop"."""
    if lexicon.text(i) not in _BRINGS:
        return
    way = lexicon.text(i + 1) in _WAYS
    found = piece_after(lexicon, i + 1 + way)
    if found is None or found[1].pieces[0][0] in "PK":
        return
    if not (way or lexicon.text(i).startswith("br")) or lexicon.text(found[0] - 1).endswith("s"):
        return
    back = lexicon.text(i + 1) in ("back", "home")
    spec = replace(found[1], quiet=True, back=back)
    yield from _told(lexicon, i, found[0], spec, 0.5 if way else 0.9)
