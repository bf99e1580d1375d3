"""Moves told without their square: by a set phrase ("tucks the king away") or by what they do.

"White attacks the bishop", "he protects it with the f-pawn", "the queen blocks": which move does
so, the board tells. The same words often say what stands there already; the search weighs that.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import chess

from linewright.talk.manners import CHECK_VERBS, QUALITIES, piece_at
from linewright.talk.said import Form, Phrase, Spec
from linewright.talk.vocabulary import ARTICLES, COLOURS, Lexicon, is_square, words

_IRREGULAR = {
    "get": "gets got getting",
    "bring": "brings brought bringing",
    "put": "puts putting",
    "win": "wins won winning",
    "do": "does did doing done",
    "give": "gives gave giving",
    "hit": "hits hitting",
    "throw": "throws threw throwing",
    "strike": "strikes struck striking",
    "break": "breaks broke breaking",
    "drive": "drives drove driving",
    "come": "comes came coming",
    "run": "runs ran running",
    "go": "goes went going",
    "step": "steps stepped stepping",
    "tuck": "tucks tucked tucking",
    "take": "takes took taking",
    "copy": "copies copied copying",
    "reply": "replies replied replying",
    "trap": "traps trapped trapping",
    "hide": "hides hid hiding",
    "hold": "holds held holding",
    "make": "makes made making",
    "lock": "locks locked locking",
}


def forms(verb: str) -> frozenset[str]:
    """A verb in its forms, itself among them.

    >>> sorted(forms("restore")), "hit" in forms("hit")
    (['restore', 'restored', 'restores', 'restoring'], True)
    """
    if verb in _IRREGULAR:
        return words(f"{verb} {_IRREGULAR[verb]}")
    stem = verb.removesuffix("e")
    more = "es" if verb.endswith(("s", "sh", "ch", "x")) else "s"
    return frozenset((verb, verb + more, f"{stem}ed", f"{stem}ing"))


_CAPTURE = Spec(capture=True)
_PAWN_BACK = Spec(capture=True, captured="P")
_CASTLES = Spec(castling="any")
_MIRROR = Spec(mirror=True)
_CENTRE = Spec(pieces=(("P", 0.0),), targets=tuple((square, 0.0) for square in (27, 28, 35, 36)))
_CORNER = Spec(pieces=(("K", 0.0),), targets=tuple((square, 0.0) for square in (0, 7, 56, 63)))

_CLOSES = replace(_CENTRE, quiet=True)
_LUFT = Spec(
    pieces=(("P", 0.0),),
    targets=tuple((chess.parse_square(s), 0.0) for s in ("h3", "h6"))
    + tuple((chess.parse_square(s), 0.7) for s in ("g3", "g6", "a3", "a6")),
    quiet=True,
)

SET_PHRASES: tuple[tuple[str, Spec, float], ...] = (
    ("get the king to safety", _CASTLES, 0.4),
    ("get the king into safety", _CASTLES, 0.4),
    ("get the king safe", _CASTLES, 0.6),
    ("bring the king to safety", _CASTLES, 0.4),
    ("bring the king into safety", _CASTLES, 0.4),
    ("put the king in safety", _CASTLES, 0.5),
    ("put the king into safety", _CASTLES, 0.5),
    ("put the king to bed", _CASTLES, 0.6),
    ("tuck the king away", _CASTLES, 0.4),
    ("tuck the king into bed", _CASTLES, 0.4),
    ("tuck the king in the corner", _CASTLES, 0.8),
    ("tuck the king in", _CASTLES, 0.8),
    ("tuck ours away", _CASTLES, 0.6),
    ("tuck mine away", _CASTLES, 0.6),
    ("tuck yours away", _CASTLES, 0.6),
    ("tuck his away", _CASTLES, 0.6),
    ("hide the king", _CASTLES, 0.8),
    ("get the king out of there", _CASTLES, 0.4),
    ("get the king out of danger", _CASTLES, 0.6),
    ("get the king out of the centre", _CASTLES, 0.5),
    ("get the king out of the middle", _CASTLES, 0.5),
    ("king in the corner", _CORNER, 0.6),
    ("king into the corner", _CORNER, 0.4),
    ("king to the corner", _CORNER, 0.4),
    ("king goes in the corner", _CORNER, 0.2),
    ("king goes into the corner", _CORNER, 0.2),
    ("king runs into the corner", _CORNER, 0.2),
    ("back in the corner", _CORNER, 1.0),
    ("back into the corner", _CORNER, 1.0),
    ("everything comes off", replace(_CAPTURE, retake=True), 0.8),
    ("everything is taken", replace(_CAPTURE, retake=True), 0.8),
    ("restore the balance", _CAPTURE, 0.3),
    ("restore material", _CAPTURE, 0.5),
    ("restore the material balance", _CAPTURE, 0.3),
    ("regain the pawn", _PAWN_BACK, 0.3),
    ("regain the piece", _CAPTURE, 0.4),
    ("win the pawn back", _PAWN_BACK, 0.2),
    ("win back the pawn", _PAWN_BACK, 0.2),
    ("win it back", _CAPTURE, 0.4),
    ("get the pawn back", _PAWN_BACK, 0.3),
    ("get it back", _CAPTURE, 0.5),
    ("get the piece back", _CAPTURE, 0.4),
    ("even the score", _CAPTURE, 0.6),
    ("level the material", _CAPTURE, 0.5),
    ("equalise the material", _CAPTURE, 0.5),
    ("accept the gambit", _PAWN_BACK, 0.3),
    ("accept the offer", _CAPTURE, 0.4),
    ("accept the sacrifice", _CAPTURE, 0.4),
    ("accept the pawn", _PAWN_BACK, 0.3),
    ("accept it", _CAPTURE, 0.9),
    ("accept", _CAPTURE, 0.3),
    ("help himself", _CAPTURE, 0.6),
    ("help herself", _CAPTURE, 0.6),
    ("give check", Spec(check=True), 0.7),
    ("give a check", Spec(check=True), 0.7),
    ("come check", Spec(check=True), 1.0),
    ("come with check", Spec(check=True), 0.8),
    ("en passant", Spec(capture=True, ep=True), 0.4),
    ("so do we", _MIRROR, 0.5),
    ("so do i", _MIRROR, 0.5),
    ("so do you", _MIRROR, 0.5),
    ("so does he", _MIRROR, 0.4),
    ("so does white", _MIRROR, 0.4),
    ("so does black", _MIRROR, 0.4),
    ("do the same", _MIRROR, 0.3),
    ("do likewise", _MIRROR, 0.1),
    ("same from black", _MIRROR, 0.2),
    ("same from white", _MIRROR, 0.2),
    ("same for black", _MIRROR, 0.5),
    ("same for white", _MIRROR, 0.5),
    ("follow suit", _MIRROR, 0.2),
    ("reply in kind", _MIRROR, 0.2),
    ("answer in kind", _MIRROR, 0.2),
    ("respond in kind", _MIRROR, 0.2),
    ("copy him", _MIRROR, 0.4),
    ("copy it", _MIRROR, 0.4),
    ("copy that", _MIRROR, 0.4),
    ("copy the move", _MIRROR, 0.3),
    ("mirror it", _MIRROR, 0.4),
    ("mirror that", _MIRROR, 0.4),
    ("open the centre", _CENTRE, 1.6),
    ("open up the centre", _CENTRE, 1.6),
    ("strike in the centre", _CENTRE, 1.2),
    ("strike back in the centre", _CENTRE, 1.2),
    ("hit back", _CENTRE, 1.4),
    ("strike back", _CENTRE, 1.4),
    ("hit back in the centre", _CENTRE, 1.2),
    ("break in the centre", _CENTRE, 1.2),
    ("take over the centre", _CENTRE, 1.4),
    ("take the centre", _CENTRE, 1.4),
    ("close the centre", _CLOSES, 1.2),
    ("lock the centre", _CLOSES, 1.2),
    ("close the position", _CLOSES, 1.4),
    ("make luft", _LUFT, 0.3),
    ("make some luft", _LUFT, 0.3),
    ("make a luft", _LUFT, 0.3),
    ("give the king some air", _LUFT, 0.3),
    ("give the king air", _LUFT, 0.3),
    ("make some air", _LUFT, 0.5),
    ("make a hole for the king", _LUFT, 0.3),
    ("make an escape square", _LUFT, 0.4),
    ("tuck in", _CASTLES, 0.8),
    ("king away", _CASTLES, 0.5),
    ("king's away", _CASTLES, 0.5),
    ("king is away", _CASTLES, 0.5),
    ("king goes to bed", _CASTLES, 0.4),
    ("promote", Spec(pieces=(("P", 0.0),), promotion="Q"), 0.5),
)
"""Words, their first in any form and "the" for any such word, with what they say of the move."""


def _first(said: str) -> frozenset[str]:
    verb = said.split(maxsplit=1)[0]
    plain = ("king", "king's", "back", "en", "so", "same", "everything")
    return frozenset((verb,)) if verb in plain else forms(verb)


_BY_FIRST: dict[str, list[tuple[tuple[str, ...], Spec, float]]] = {}
for _said, _spec, _price in SET_PHRASES:
    for _form in _first(_said):
        _BY_FIRST.setdefault(_form, []).append((tuple(_said.split()[1:]), _spec, _price))


def set_phrases(lexicon: Lexicon, i: int) -> Iterator[Phrase]:
    """The phrases of the table that begin at a token."""
    for rest, spec, price in _BY_FIRST.get(lexicon.text(i), ()):
        heard = (lexicon.text(i + 1 + n) for n in range(len(rest)))
        if all(h == r or (r == "the" and h in ARTICLES) for h, r in zip(heard, rest, strict=True)):
            yield Phrase(i, i + 1 + len(rest), Form.VAGUE, spec, price, verb=True)


_ATTACKS = frozenset(
    form for verb in "attack hit kick chase harass question challenge bother pester drive evict nudge poke".split()
    for form in forms(verb) if not form.endswith("ing")
)  # fmt: skip
_SUPPORTS = frozenset(
    form for verb in "protect defend support guard cover hold".split()
    for form in forms(verb) if not form.endswith("ing")
)  # fmt: skip
_PINS = words("pin pins pinned")
_FORKS = words("fork forks forked")
_DOUBLES = words("double doubles doubled")
_BLOCKS = words("block blocks blocked interpose interposes interposed plug plugs plugged")
_CHECKED_OTHERWISE = words("that this it the whether if out for again what your his my on")
_PASSIVE = words("is gets was has")
_DRIVEN = words("driven kicked chased hit harassed bothered evicted questioned challenged")
_PUTS_QUESTIONS = words("put puts pop pops")
PAWNS = words("pawn pond")
_BETWEEN = (("in", "between"), ("between",), ("in", "the", "way"))
_PUTS = words("put puts throw throws place places jump jumps step steps")
_SIDES = frozenset(COLOURS) | words("i we you he she they opponent player")
_BETWEEN_SUBJECT = words(
    "just simply now then also must can will may has have to should could again at once usually"
)
_QUALITIES = QUALITIES | words("both")
FREELY = 1.8
"""What a deed costs: more often it is a remark on the move before."""
BY_A_PIECE = 2.6
WITH_A_PIECE = 0.5


def deeds(lexicon: Lexicon, i: int) -> Iterator[Phrase]:
    """The moves told by what they do whose words begin at a token: the verb, or the piece."""
    piece = piece_at(lexicon, i)
    if piece and not piece_at(lexicon, i + 1):
        file = lexicon.text(i - 1) if piece == "P" else ""
        known = len(file) == 1 and file in "abcdefgh"
        spec = Spec(pieces=((piece, 0.0),), from_file=file if known else "", quiet=True)
        verb = _skipped(lexicon, i + 1)
        for phrase in _deed(lexicon, verb, spec):
            yield Phrase(i, phrase[0], Form.VAGUE, phrase[1], BY_A_PIECE - known, verb=True)
        if end := _driven(lexicon, i + 1):
            spec = Spec(quiet=True, deed="attack", met=piece)
            yield Phrase(i, end, Form.VAGUE, spec, FREELY, verb=True)
    elif lexicon.text(_subject(lexicon, i)) in _SIDES:
        for end, spec in _deed(lexicon, i, Spec(quiet=True)):
            price = WITH_A_PIECE if spec.pieces else FREELY
            yield Phrase(i, end, Form.VAGUE, spec, price, verb=True)


def _driven(lexicon: Lexicon, k: int) -> int:
    """The end of words that say that a piece is made to move: "is driven away"; 0 for others."""
    if lexicon.text(k) not in _PASSIVE:
        return 0
    k += 2 if lexicon.text(k + 1) in ("at", "been", "now", "then", "also", "immediately") else 1
    k += lexicon.text(k) == "once"
    if lexicon.text(k) not in _DRIVEN or lexicon.tokens[k].gap >= 0.3:
        return 0
    return k + 2 if lexicon.text(k + 1) in ("away", "back", "off", "out") else k + 1


def _skipped(lexicon: Lexicon, k: int) -> int:
    while lexicon.text(k) in _BETWEEN_SUBJECT:
        k += 1
    return k


def _subject(lexicon: Lexicon, i: int) -> int:
    """The token just before, but for "just", "must" and the like."""
    k = i - 1
    while k > 0 and lexicon.text(k) in _BETWEEN_SUBJECT and lexicon.tokens[k + 1].gap < 0.3:
        k -= 1
    return k


def _deed(lexicon: Lexicon, verb: int, spec: Spec) -> Iterator[tuple[int, Spec]]:
    """Where the words of a deed end and what they say, from its verb on."""
    if not 0 < verb < len(lexicon.tokens) or lexicon.tokens[verb].gap >= 0.3:
        return
    text = lexicon.text(verb)
    if text in CHECK_VERBS and lexicon.text(verb + 1) not in _CHECKED_OTHERWISE:
        yield verb + 1, replace(spec, check=True)
    elif text in forms("ask") or lexicon.text(verb + 2) == "question":
        yield from _questioned(lexicon, verb, spec)
    elif text in _PINS or text in _FORKS:
        deed = "pin" if text in _PINS else "fork"
        for end, met, square in _object(lexicon, verb + 1):
            yield from _by_what(lexicon, end, replace(spec, deed=deed, met=met, met_square=square))
        yield verb + 1, replace(spec, deed=deed)
    elif text in _DOUBLES:
        rooks = lexicon.text(verb + 1) in ("rooks", "his", "her", "the", "our", "my", "your")
        if rooks and "rooks" in (lexicon.text(verb + 1), lexicon.text(verb + 2)):
            end = verb + (2 if lexicon.text(verb + 1) == "rooks" else 3)
            yield end, replace(spec, pieces=spec.pieces or (("R", 0.0),), deed="double")
    elif text in _BLOCKS:
        yield from _by_what(lexicon, verb + 1, replace(spec, deed="block"))
    elif text in _PUTS:
        yield from _put_between(lexicon, verb + 1, spec)
    elif text in _ATTACKS or text in _SUPPORTS:
        deed = "attack" if text in _ATTACKS else "support"
        for end, met, square in _object(lexicon, verb + 1):
            yield from _by_what(lexicon, end, replace(spec, deed=deed, met=met, met_square=square))
        for end, with_it in _by_what(lexicon, verb + 1, spec):
            if end > verb + 1 and with_it.from_file:  # "hits with the d-pawn"
                yield end, with_it


def _questioned(lexicon: Lexicon, verb: int, spec: Spec) -> Iterator[tuple[int, Spec]]:
    """ "asks the bishop", "puts the question to the bishop": a pawn attacks it."""
    pawn = replace(spec, pieces=spec.pieces or (("P", 0.0),), deed="attack")
    said = [lexicon.text(k) for k in range(verb + 1, verb + 5)]
    if said[0] != "the":
        return
    if lexicon.text(verb) in forms("ask") and (met := piece_at(lexicon, verb + 2)):
        yield verb + 3, replace(pawn, met=met)
    elif lexicon.text(verb) in _PUTS_QUESTIONS and said[1] == "question":
        end = verb + 3
        if said[2] == "to" and said[3] in ARTICLES and (met := piece_at(lexicon, verb + 5)):
            pawn, end = replace(pawn, met=met), verb + 6
        yield end, pawn


def _put_between(lexicon: Lexicon, k: int, spec: Spec) -> Iterator[tuple[int, Spec]]:
    """ "puts the bishop in between", "jumps in between"."""
    if lexicon.text(k) in ARTICLES and (piece := piece_at(lexicon, k + 1)):
        spec, k = replace(spec, pieces=((piece, 0.0),)), k + 2
    for words_ in _BETWEEN:
        if all(lexicon.text(k + n) == word for n, word in enumerate(words_)):
            yield k + len(words_), replace(spec, deed="block")
            return


def _object(lexicon: Lexicon, k: int) -> Iterator[tuple[int, str, int | None]]:
    """What a deed is done to: end, piece and square; neither for "it"."""
    text = lexicon.text(k)
    if text in ("it", "him", "her", "you", "me", "us", "them"):
        yield k + 1, "", None
        if text == "her":  # the queen, whether she moved last or not
            yield k + 1, "Q", None
        return
    while lexicon.text(k) in ARTICLES or lexicon.text(k) in _QUALITIES:
        k += 1
    if len(lexicon.text(k)) == 1 and piece_at(lexicon, k + 1) == "P":
        k += 1
    text = lexicon.text(k)
    piece = piece_at(lexicon, k)
    if not piece and not is_square(text):
        return
    end = k + 1 if piece else k
    at = end + 1 if piece and lexicon.text(end) in ("on", "at") else end
    square = lexicon.square(at) if at > end or not piece else None
    if square is not None:
        yield square.end, piece, chess.parse_square(square.value)
    elif piece:
        yield end, piece, None


def _by_what(lexicon: Lexicon, end: int, spec: Spec) -> Iterator[tuple[int, Spec]]:
    """The deed as it stands, or with the piece that does it: "with the f-pawn"."""
    k = end
    if not spec.pieces and lexicon.text(k) in ("with", "by") and lexicon.tokens[k].gap < 0.3:
        k += 1
        while lexicon.text(k) in ARTICLES or lexicon.text(k) in _QUALITIES:
            k += 1
        file = lexicon.text(k)
        known = len(file) == 1 and file in "abcdefgh" and lexicon.text(k + 1) in PAWNS
        piece = "P" if known else piece_at(lexicon, k)
        square = k + 1 < len(lexicon.tokens) and lexicon.square(k + 1) is not None
        if square and not known and lexicon.tokens[k + 1].gap < 0.3:
            piece = ""  # "attacks it with knight b6" tells the knight's move
        if piece:
            with_it = replace(spec, pieces=((piece, 0.0),), from_file=file if known else "")
            yield k + (2 if known else 1), with_it
            return
    yield end, spec


def by_a_pawn(lexicon: Lexicon, i: int) -> Iterator[Phrase]:
    """ "He does so with the d-pawn", "and with the g-pawn": a capture that was spoken of before."""
    if lexicon.text(i) != "with" or lexicon.text(i + 1) not in ARTICLES:
        return
    file, price = lexicon.file(i + 2) or ("", 0.0)
    if not file or price > 1 or lexicon.text(i + 3) not in PAWNS:
        return
    told = any(lexicon.take(k) < 1 for k in range(max(i - 4, 0), i))
    if not told:
        spec = Spec(pieces=(("P", 0.0),), from_file=file, capture=True, retake=True)
        yield Phrase(i, i + 4, Form.VAGUE, spec, 0.9, verb=True)
