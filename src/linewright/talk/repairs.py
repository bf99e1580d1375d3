"""What a speaker puts right at once: "the pawn on d4. I mean the hole on d4"."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import chess

from linewright.talk.record import HeardSlip
from linewright.talk.vocabulary import PIECES, Lexicon, Token, words

WITHIN = 5
"""So many words may stand between what was said wrong and the sign that it was."""

REACH = 6
"""What is meant instead is said within so many words behind the sign."""

_SIGNS = words("sorry no rather")
_MEAN = words("mean meant")


@dataclass(frozen=True, slots=True)
class Repair:
    """What words put right name: a piece (its letter), a square; each empty where none is named."""

    piece: str
    square: str
    words: str


def as_put_right(
    slips: Iterator[HeardSlip], tokens: Sequence[Token], lexicon: Lexicon
) -> Iterator[HeardSlip]:
    """The slips, with the meaning that the speaker gives at once where he gives it.

    Where he keeps the square and names no piece for it, what he meant is nothing on the board.
    """
    for slip in slips:
        repair = _repair_behind(slip, tokens, lexicon)
        if repair is None or not repair.square:
            yield slip
        elif repair.square == _square_of(slip.meant):
            yield replace(slip, stood=_put_right(repair), put_right=repair.words)
        elif not _of_place(slip):
            if repair.piece not in _pieces_said(slip, tokens):  # else he has taken his words back
                yield slip
        elif not repair.piece and repair.square in _squares_said(slip, tokens, lexicon):
            continue
        elif (meant := _standing(slip, repair)) and meant != slip.meant:
            yield replace(slip, meant=meant, stood=_put_right(repair), put_right=repair.words)
        else:
            yield slip


def _put_right(repair: Repair) -> str:
    return f'put right at once: "{repair.words}"'


def _square_of(meant: str) -> str:
    """The square of a place or a move: "Nc6", "exd8=Q+"; empty where there is none."""
    found = re.search(r"([a-h][1-8])(?:=[QRBN])?[+#]?$", meant)
    return found[1] if found else ""


def _of_place(slip: HeardSlip) -> bool:
    """Whether a slip says where a man stands: no move leads to its own kind's square."""
    place = re.fullmatch("([KQRBN]?)([a-h][1-8])", slip.meant)
    return place is not None and _kind_on(slip, place[2]) == (place[1] or "P")


def _repair_behind(slip: HeardSlip, tokens: Sequence[Token], lexicon: Lexicon) -> Repair | None:
    """What is put right behind the words of a slip; None where nothing is."""
    end = next((k for k, token in enumerate(tokens) if token.word >= slip.said.end), len(tokens))
    for k in range(end, min(end + WITHIN, len(tokens))):
        pair = [token.text for token in tokens[k : k + 2]]
        if pair[0] == "i" and pair[-1] in _MEAN:
            return _named(tokens, lexicon, k + 2)
        if pair[0] in _SIGNS and tokens[k].gap >= 0.3:
            return _named(tokens, lexicon, k + 1)
    return None


def _named(tokens: Sequence[Token], lexicon: Lexicon, first: int) -> Repair:
    """The piece and the square in the words of a repair, up to the square or a full stop."""
    piece, square, k = "", "", first
    while k < min(first + REACH, len(tokens)) and not square:
        if k > first and tokens[k].gap >= 0.9:
            break
        found = lexicon.square(k)
        square = found.value if found else ""
        piece = piece or PIECES.get(tokens[k].text, "")
        k = found.end if found else k + 1
    return Repair(piece, square, " ".join(token.text for token in tokens[first:k]))


def _squares_said(slip: HeardSlip, tokens: Sequence[Token], lexicon: Lexicon) -> set[str]:
    here = [k for k, t in enumerate(tokens) if slip.said.first <= t.word < slip.said.end]
    return {found.value for k in here if (found := lexicon.square(k))}


def _pieces_said(slip: HeardSlip, tokens: Sequence[Token]) -> set[str]:
    said = (t.text for t in tokens if slip.said.first <= t.word < slip.said.end)
    return {PIECES[text] for text in said if text in PIECES}


def _standing(slip: HeardSlip, repair: Repair) -> str:
    """The piece of a repair as a slip's meaning, if one of its kind stands there."""
    kind = _kind_on(slip, repair.square)
    if not kind or repair.piece not in ("", kind):
        return ""
    return ("" if kind == "P" else kind) + repair.square


def _kind_on(slip: HeardSlip, square: str) -> str:
    """The letter of the man that stands on a square; empty where none does."""
    man = slip.board().piece_at(chess.parse_square(square))
    return "" if man is None else man.symbol().upper()
