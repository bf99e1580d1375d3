"""Captures: what was taken, by whom, with what and where, what was given for it, what took back.

Read from the moves that led to the board; where they are not known it cannot be told. To recapture
is to take on the square on which the other side has just taken (common practice, no source). A
piece is given for another if the two were taken one after the other on one square.

    after 1.e4 e5 2.Nf3 Nc6 3.Bb5 a6 4.Bxc6 dxc6 5.O-O f6 6.d4 exd4 7.Nxd4 c5 8.Nb3 Qxd1 9.Rxd1:
        holds: White gave his light-squared bishop for a knight
        holds: Black recaptured with the d-pawn
        holds: Black's queen's knight was taken on c6
        holds: the rook took the queen
        holds: the last capture was on d1
        fails: White took on c6 with the knight
        fails: Black took back with the b-pawn
        holds: Black's d-pawn recaptured the bishop
        fails: Black recaptured the bishop with the b-pawn
        fails: our queen was taken by the knight
        fails: White's rook recaptured with check
        fails: Black's king has taken something
        left alone: Black takes back with the b-pawn
        left alone: take back with the pawn
        left alone: which way would Black take back
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

import chess

from linewright.board_words import MEN_OF_KIND, square
from linewright.expressions import expression
from linewright.judging import Fact, Pattern, Said
from linewright.moves import side_name

FAMILY = "captures"

_TYPES = MEN_OF_KIND | {"thing": MEN_OF_KIND["man"]}


@dataclass(frozen=True, slots=True)
class Capture:
    """A capture played: who took, with what from which square, what was taken and where.

    `began` is the square the taken man began the game on, `back` whether it recaptured, `ply` its
    number among the half-moves known.
    """

    colour: chess.Color
    by: chess.PieceType
    source: chess.Square
    taken: chess.PieceType
    square: chess.Square
    began: chess.Square
    back: bool
    ply: int

    @property
    def words(self) -> str:
        """The capture in words: "White's bishop took the knight on c6"."""
        by, taken = chess.piece_name(self.by), chess.piece_name(self.taken)
        return f"{side_name(self.colour)}'s {by} took the {taken} on {square(self.square)}"


def captures(said: Said) -> list[Capture]:
    """The captures of the moves known, in order. Cost: linear in the moves."""
    found: list[Capture] = []
    began = {s: s for s in chess.SQUARES}
    last = None
    for ply, played in enumerate(said.place.past()):
        board, move = played.before, played.move
        if board.is_capture(move):
            at = move.to_square
            if board.is_en_passant(move):
                at = chess.square(chess.square_file(at), chess.square_rank(move.from_square))
            taken = board.piece_type_at(at) or chess.PAWN
            by = board.piece_type_at(move.from_square) or chess.PAWN
            back = last == move.to_square
            found.append(
                Capture(
                    board.turn, by, move.from_square, taken, move.to_square, began[at], back, ply
                )
            )
        last = move.to_square if board.is_capture(move) else None
        began[move.to_square] = began[move.from_square]
        if board.is_castling(move):
            king = chess.square_file(move.to_square) == 6
            rank = chess.square_rank(move.to_square)
            rook = chess.square(7 if king else 0, rank)
            began[chess.square(5 if king else 3, rank)] = began[rook]
    return found


def _kind(word: str) -> str:
    return {"men": "man", "anything": "thing", "something": "thing"}.get(
        word, word.removesuffix("s")
    )


def _by_fits(said: Said, one: Capture) -> bool:
    """Whether a capture was made by the side and the piece named."""
    if "side" in said and one.colour != said.side("side"):
        return False
    if "whose" in said and one.colour != said.side("whose"):
        return False
    if (colour := said.word("bycolour")) and one.colour != (colour == "white"):
        return False
    by = _kind(said.word("by"))
    if by and one.by not in _TYPES.get(by, ()):
        return False
    if "file" in said and chess.square_file(one.source) != said.file("file"):
        return False
    shade = said.word("shade")
    return not shade or one.by != chess.BISHOP or _is_light(one.square) == (shade == "light")


def _is_light(at: chess.Square) -> bool:
    return bool(chess.BB_LIGHT_SQUARES & chess.BB_SQUARES[at])


def _taken_fits(said: Said, one: Capture) -> bool:
    """Whether a capture took what is named, where it is named."""
    if "whose2" in said and one.colour == said.side("whose2"):
        return False
    if "side2" in said and one.colour == said.side("side2"):
        return False
    taken = _kind(said.word("taken"))
    if taken and one.taken not in _TYPES.get(taken, ()):
        return False
    if "file2" in said and chess.square_file(one.began) != said.file("file2"):
        return False
    if (colour := said.word("colour")) and one.colour == (colour == "white"):
        return False
    if (wing := said.word("own")) and (chess.square_file(one.began) > 3) != (wing == "king"):
        return False
    if "wing" in said and (chess.square_file(one.began) > 3) != (said.wing().value == "kingside"):
        return False
    shade = said.word("shaded")
    if shade and one.taken == chess.BISHOP and _is_light(one.square) != (shade == "light"):
        return False
    return "square" not in said or one.square == said.at("square")


def _judged(said: Said, found: list[Capture], fitting: list[Capture]) -> Fact | None:
    if not said.place.history:
        return Fact(None, "the moves that led here are not known")
    wanted = said.number() if "number" in said else None
    true = len(fitting) == wanted if wanted is not None else bool(fitting)
    if fitting:
        because = "; ".join(one.words for one in fitting[-2:])
    else:
        near = [c for c in found if "square" in said and c.square == said.at("square")]
        near = near or [c for c in found if "side" in said and c.colour == said.side()] or found
        because = near[-1].words if near else "nothing has been taken"
    return Fact(true, because, tuple(chess.square_name(c.square) for c in fitting[-2:]))


def was_taken(said: Said) -> Fact | None:
    """Whether there was a capture as it is told."""
    found = captures(said)
    if "side" in said and "whose2" in said and said.side() == said.side("whose2"):
        return None  # "he took his pawn"
    fitting = [c for c in found if _by_fits(said, c) and _taken_fits(said, c)]
    if said.word("just"):
        last = len(said.place.past()) - 1
        fitting = [c for c in fitting if c.ply >= last - (said.word("just") != "last")]
    return _judged(said, found, fitting)


def just_lost(said: Said) -> Fact | None:
    """ "Black's queen is lost" of the one that the last move took; of any other nothing is said
    here, for it may be lost on the board."""
    taken = said.place.just_taken()
    if taken is None or taken.color != said.side("whose"):
        return None
    if said.negated or _OTHER.search(said.original):
        return None  # what is not lost, or not the one just taken, stands on the board
    kind = chess.piece_name(taken.piece_type)
    if kind != said.word("taken"):
        return None
    return Fact(True, f"{side_name(taken.color)}'s {kind} was just taken")


_OTHER = expression(r"(?i:\bother\b)")


def took_something(said: Said) -> Fact | None:
    """Whether a piece or side took anything, or did with the last move."""
    found = captures(said)
    fitting = [c for c in found if _by_fits(said, c)]
    if said.word("latest"):
        fitting = [c for c in fitting if c.ply == len(said.place.past()) - 1]
    return _judged(said, found, fitting)


def took_back(said: Said) -> Fact | None:
    """Whether there was a recapture as it is told; of the last one, if there were several."""
    found = [c for c in captures(said) if c.back]
    mine = [c for c in found if "side" not in said or c.colour == said.side()]
    mine = [c for c in mine if "square" not in said or c.square == said.at("square")]
    fitting = [c for c in mine if _by_fits(said, c) and _taken_fits(said, c)]
    last = len(said.place.past()) - 1
    if _TAKES_BACK.search(said.original) and not (mine and mine[-1].ply == last):
        return None  # told of the move to come
    if said.word("checked") and fitting:
        after = said.place.past()[fitting[-1].ply].after
        checks = "with" if after.is_check() else "without"
        return Fact(after.is_check(), f"{fitting[-1].words}, {checks} check")
    if (
        not mine
        and said.place.history
        and "side" in said
        and not (said.word("by") or "square" in said)
    ):
        return _judged(said, found, [])
    return _judged(said, found, fitting)


_TAKES_BACK = expression(r"\b(?:recaptures|takes back)\b")


def last_capture(said: Said) -> Fact | None:
    """Whether the last capture was on the square, or by the side, told."""
    found = captures(said)
    fitting = [c for c in found[-1:] if _by_fits(said, c) and _taken_fits(said, c)]
    return _judged(said, found, fitting)


def _exchanges(said: Said) -> Iterator[tuple[Capture, Capture]]:
    """The pairs of captures one after the other on one square."""
    for first, second in pairwise(captures(said)):
        if second.back and first.square == second.square and second.ply == first.ply + 1:
            yield first, second


def gave_for(said: Said) -> Fact | None:
    """Whether a side lost what it is said to have given where it took what it got for it."""
    if not said.place.history:
        return Fact(None, "the moves that led here are not known")
    given, got = _TYPES[_kind(said.word("given"))], _TYPES[_kind(said.word("got"))]
    told = "no such exchange was made"
    for first, second in _exchanges(said):
        for loss, gain in ((first, second), (second, first)):
            loser = next((said.side(n) for n in ("side", "whose") if n in said.values), None)
            fits = loser is None or loss.colour != loser
            if not (fits and loss.taken in given and gain.taken in got):
                continue
            if "square" in said and loss.square != said.at("square"):
                continue
            shade = said.word("shade")
            if (
                shade
                and loss.taken == chess.BISHOP
                and _is_light(loss.square) != (shade == "light")
            ):
                continue
            return Fact(True, f"{first.words}, {second.words}", (chess.square_name(first.square),))
        told = f"{first.words}, {second.words}"
    return Fact(False, told)


def file_pawns_for(said: Said) -> Fact | None:
    """Whether a side lost its pawn of a file and took the other's of another, one after the other."""
    if not said.place.history:
        return Fact(None, "the moves that led here are not known")
    side = said.side("whose") if "whose" in said.values else said.side()
    told = "no such exchange was made"
    for first, second in pairwise(captures(said)):
        for loss, gain in ((first, second), (second, first)):
            pawns = loss.taken == gain.taken == chess.PAWN and loss.colour != gain.colour
            if not pawns or loss.colour == side:
                continue
            files = chess.square_file(loss.began), chess.square_file(gain.began)
            if files == (said.file("file"), said.file("file2")):
                return Fact(True, f"{first.words}, {second.words}")
        told = f"{first.words}, {second.words}"
    return Fact(False, told)


def exchanged_on(said: Said) -> Fact | None:
    """Whether both sides took on the square, one after the other."""
    if not said.place.history:
        return Fact(None, "the moves that led here are not known")
    found = [(a, b) for a, b in _exchanges(said) if a.square == said.at("square")]
    there = [c for c in captures(said) if c.square == said.at("square")]
    text = "; ".join(c.words for c in there) or f"nothing was taken on {square(said.at('square'))}"
    if not found and there:
        return None
    return Fact(bool(found), text)


def number_taken(said: Said) -> Fact | None:
    """Whether a side has made so many captures."""
    found = [c for c in captures(said) if "side" not in said or c.colour == said.side()]
    return _judged(said, found, found)


def last_was_capture(said: Said) -> Fact | None:
    """Whether the last move took something."""
    found = captures(said)
    past = said.place.past()
    last = [c for c in found[-1:] if c.ply == len(past) - 1 and _by_fits(said, c)]
    if not past:
        return None
    because = last[0].words if last else f"the last move was {past[-1].san}"
    return Fact(bool(last), because)


_ANY = r"(?:pawns?|knights?|bishops?|rooks?|queens?|minor pieces?|pieces?)"
_TOOK = (
    r"(?:(?:has |have )?(?:(?P<just>just) )?(?:taken|captured|eaten|grabbed|snatched|swallowed|removed|eliminated|taken off|picked up)|took|took off|eliminated|captured|ate|"
    r"grabbed|snatched|removed|(?:has |have )?captured)"
)
_BACK = r"(?:(?:has|have) (?:just )?(?:recaptured|taken back|retaken)|recaptured|took back|retook|recaptures|takes back)"
_BY = (
    r"(?:the |a |an |one of |{whose} |G. )*(?:(?P<bycolour>white|black) )?(?:(?P<shade>light|dark) squared )?(?:(?:king|queen) 's )?"
    r"(?:{file} )?(?P<by>pawn|knight|bishop|rook|queen|king|minor piece|piece)"
)
_WITH = r"(?:with|using) (?:the |a |an |one of |G. )*(?:(?P<shade>light|dark) squared )?(?:(?:king|queen) 's )?(?:{file} )?(?P<by>pawn|knight|bishop|rook|queen|king|piece)s?"
_TAKEN = (
    r"(?:(?:the|a|an|{number}|{whose2}|G.|one of G.|one of {whose2}) )?(?:(?P<colour>white|black) )?"
    r"(?:(?P<shaded>light|dark) squared )?(?:(?P<own>king|queen) 's )?(?:{file2} )?"
    rf"(?P<taken>{_ANY})(?: on {{wing}})?"
)
_ON = r"(?: (?:on|at) {square})"
_NOT_MORE = r"(?! (?:with|on|for|in return|in exchange|,? ?and (?:a|an|the|N.|G.) (?:pawn|knight|bishop|rook|queen|piece|F.))\b)"

PATTERNS = (
    Pattern(rf"{{side}} {_TOOK} {_TAKEN}{_ON}?(?: {_WITH})?{_NOT_MORE}", was_taken),
    Pattern(rf"{{side}} {_TOOK} {_TAKEN} {_WITH}{_ON}?{_NOT_MORE}", was_taken),
    Pattern(rf"{{side}} {_TOOK}{_ON}(?: {_WITH})?{_NOT_MORE}", was_taken),
    Pattern(rf"{{side}} {_TOOK} {_WITH}{_ON}?{_NOT_MORE}", was_taken),
    Pattern(rf"{_BY} {_TOOK} {_TAKEN}{_ON}?{_NOT_MORE}", was_taken),
    Pattern(rf"{_BY} {_TOOK}{_ON}{_NOT_MORE}", was_taken),
    Pattern(
        rf"{{side}} {_TOOK} (?:the |{{whose2}} )?{{square}} (?P<taken>{_ANY})(?: {_WITH})?{_NOT_MORE}",
        was_taken,
    ),
    Pattern(
        rf"(?:the |{{whose2}} )?{{square}} (?P<taken>{_ANY}) (?:was|has been|got) (?:just )?(?:taken|captured|eaten|grabbed|removed|picked up)(?: (?:by|with) {_BY})?{_NOT_MORE}",
        was_taken,
    ),
    Pattern(
        rf"(?:{_BY}|{{side}}) {_TOOK} (?:something|anything|a thing|a piece|a pawn)(?: (?:with|on|by) (?:the|this|that|its|G.) (?P<latest>last|latest) move)?{_NOT_MORE}",
        took_something,
    ),
    Pattern(
        rf"{_TAKEN} (?:was|has been|got|were|have been) (?:just )?(?:taken|captured|eaten|grabbed|removed|picked up){_ON}?(?: (?:by|with) {_BY})?{_NOT_MORE}",
        was_taken,
    ),
    Pattern(
        rf"{_TAKEN} (?:was|has been|got|were|have been) (?:taken|captured|eaten) by {{side}}{_ON}?",
        was_taken,
    ),
    Pattern(
        rf"{{side}} {_BACK}{_ON}?(?: {_WITH})?{_ON}?(?P<checked> with (?:a )?check)?", took_back
    ),
    Pattern(rf"{_BY} {_BACK}{_ON}?(?P<checked> with (?:a )?check)?", took_back),
    Pattern(rf"{_WITH} {{side}} {_BACK}{_ON}?", took_back),
    Pattern(rf"{{side}} {_BACK} {_TAKEN}{_ON}?(?: {_WITH})?{_ON}?", took_back),
    Pattern(rf"{_BY} {_BACK} {_TAKEN}{_ON}?", took_back),
    Pattern(
        r"{side} (?:has |have )?(?:just )?won (?:the|{whose2}) (?:(?P<colour>white|black) )?(?P<taken>queen|rook|bishop|knight)",
        was_taken,
    ),
    Pattern(r"{whose} (?P<taken>queen|rook|bishop|knight|pawn) (?:is|was) lost", just_lost),
    Pattern(rf"the last (?:capture|exchange) was{_ON}", last_capture),
    Pattern(r"the last capture was (?:made )?by {side}", last_capture),
    Pattern(
        r"{side} (?:has |have )?(?:just )?(?:exchanged|swapped|traded|given up|given away|given|gave up|gave away|gave|sacrificed|parted with) (?:the |a |one |G. |one of G. )?(?:(?P<shade>light|dark) squared )?(?P<given>pawn|knight|bishop|rook|queen|piece)s? "
        rf"(?:for|against|in return for|in exchange for) (?:the |a |one |G. )?(?:(?:light|dark) squared )?(?P<got>pawn|knight|bishop|rook|queen|piece){_ON}?",
        gave_for,
    ),
    Pattern(
        r"(?:a|one|the|{whose}) (?P<given>pawn|knight|bishop|rook|queen) (?:was|has been) (?:exchanged|swapped|traded|given up|given) for (?:a|the|one|G.) "
        rf"(?P<got>pawn|knight|bishop|rook|queen){_ON}?",
        gave_for,
    ),
    Pattern(
        rf"{{side}} (?:has |have )?(?:exchanged|swapped|traded)(?: pieces| pawns)?{_ON}",
        exchanged_on,
    ),
    Pattern(
        rf"there (?:was|has been|have been) (?:(?:an?|one|the|N.) )?(?:exchange|trade|swap)s?{_ON}",
        exchanged_on,
    ),
    Pattern(
        rf"(?:pieces|pawns) (?:were|have been) (?:exchanged|traded|swapped){_ON}", exchanged_on
    ),
    Pattern(
        r"{side} (?:has|have) (?:made|played) (?:only |just )?{number} captures?", number_taken
    ),
    Pattern(r"{number} captures (?:has|have) been (?:made|played)", number_taken),
    Pattern(r"the last move (?:was|is) a (?:capture|recapture)", last_was_capture),
    Pattern(r"{whose} last move (?:was|is) a (?:capture|recapture)", last_was_capture),
    Pattern(
        r"{side} (?:has |have )?(?:given up|given|gave up|gave|exchanged|swapped|traded|sacrificed) (?:{own}|the|a) {file} pawn (?:for|against) (?:{whose2}|the|a|G.) {file2} pawn",
        file_pawns_for,
    ),
    Pattern(
        r"{whose} {file} pawn (?:was|has been|got) (?:exchanged|swapped|traded|given) for (?:{whose2}|the|a|G.) {file2} pawn",
        file_pawns_for,
    ),
)
