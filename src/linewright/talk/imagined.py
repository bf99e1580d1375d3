"""What-if boards in a talk: "picture it with just kings and pawns", "take that bishop off"."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import chess

from linewright.talk.vocabulary import PIECES, Lexicon, words

_ONLY = words("only just nothing but")
_IMAGINE = words("picture imagine suppose visualise visualize pretend think see look")
_TAKE_AWAY = words("take remove delete lift wipe strip takes removing taking without forget swap")
_OFF = words("off away out aside")
_ARTICLES = words(
    "the a an all both this that just these those of his her its my our your every other"
)
_ADDS = words("put place add drop stick")


@dataclass(frozen=True, slots=True)
class Imagined:
    """A changed board: the tokens that say so, and its edits as a script's link writes them."""

    first: int
    end: int
    edits: str


def imagined_boards(lexicon: Lexicon) -> Iterator[tuple[Imagined, list[str]]]:
    """The what-if boards of a talk in order, each with the pieces to take away (letters)."""
    last_end = 0
    for index in range(len(lexicon.tokens)):
        if index < last_end:
            continue
        found = _only(lexicon, index) or _all_pieces(lexicon, index) or _removed(lexicon, index)
        if found is not None:
            last_end = found[0].end
            yield found


def _only(lexicon: Lexicon, i: int) -> tuple[Imagined, list[str]] | None:
    """ "just kings and pawns", "only the pawns", "nothing but kings and pawns"."""
    if lexicon.text(i) not in _ONLY:
        return None
    j = i
    while lexicon.text(j) in _ONLY or lexicon.text(j) in _ARTICLES:
        j += 1
    kinds, end = _kinds(lexicon, j)
    if "P" not in kinds or not _meant(lexicon, i, end, kinds):
        return None
    return Imagined(i, end, "only=" + "".join(k for k in "KQRBNP" if k in kinds | {"K"})), []


def _kinds(lexicon: Lexicon, j: int) -> tuple[set[str], int]:
    kinds: set[str] = set()
    end = j
    while True:
        text = lexicon.text(j)
        if text.endswith("s") and text[:-1] in PIECES:
            kinds.add(PIECES[text[:-1]])
            end = j + 1
        elif text not in ("and", "the", "their", "then"):
            return kinds, end
        j += 1


def _meant(lexicon: Lexicon, first: int, end: int, kinds: set[str]) -> bool:
    """Whether a board is imagined, and not only counted ("there are just pawns left")."""
    if kinds >= {"K", "P"}:
        return True
    near = {lexicon.text(k) for k in range(max(0, first - 8), min(end + 6, len(lexicon.tokens)))}
    return bool(near & (_IMAGINE | {"with", "board"}))


def _all_pieces(lexicon: Lexicon, i: int) -> tuple[Imagined, list[str]] | None:
    """ "take away all the pieces", "take all the pieces off"."""
    if lexicon.text(i) not in _TAKE_AWAY:
        return None
    j = i + 1
    seen_all = False
    while lexicon.text(j) in _ARTICLES or lexicon.text(j) in _OFF:
        seen_all = seen_all or lexicon.text(j) in ("all", "every")
        j += 1
    if lexicon.text(j) in ("pieces", "piece") and seen_all:
        end = j + 1
        if lexicon.text(end) in _OFF:
            end += 1
        return Imagined(i, end, "only=KP"), []
    return None


def _removed(lexicon: Lexicon, i: int) -> tuple[Imagined, list[str]] | None:
    """ "take the queens off", "remove the bishop on c8", "take just that bishop off the board"."""
    if lexicon.text(i) not in _TAKE_AWAY or lexicon.text(i) == "without":
        return None
    j = i + 1
    off = False
    while (
        lexicon.text(j) in _ARTICLES
        or lexicon.text(j) in _OFF
        or lexicon.colour(j) == ("w", 0.0)
        or lexicon.colour(j) == ("b", 0.0)
    ):
        off = off or lexicon.text(j) in _OFF
        j += 1
    text = lexicon.text(j)
    plural = text.endswith("s") and text[:-1] in PIECES
    letter = PIECES.get(text[:-1] if plural else text, "")
    if letter in ("", "K"):
        return None
    end = j + 1
    square = lexicon.square(end + 1) if lexicon.text(end) in ("on", "from", "at") else None
    place = square.value if square else ""
    end = square.end if square else end
    board = lexicon.text(end) in _OFF or (
        lexicon.text(end) == "from" and lexicon.text(end + 2) == "board"
    )
    if not (off or board or lexicon.text(i) in ("remove", "removing", "delete")):
        return None
    if lexicon.text(i) in ("take", "takes", "taking") and not board and not off:
        return None
    while lexicon.text(end) in ("off", "away", "from", "the", "board", "out"):
        end += 1
    what = place or (letter + ("s" if plural else ""))
    return Imagined(i, end, "remove=" + what), [letter]


def edited(board: chess.Board, edits: str, last: int | None) -> tuple[str, chess.Board] | None:
    """The edits with squares in place of piece names, and the changed board.

    `last` is the square talked about just before, for "that bishop".
    """
    name, _, value = edits.partition("=")
    changed = board.copy(stack=False)
    if name == "only":
        for square, piece in board.piece_map().items():
            if piece.symbol().upper() not in value:
                changed.remove_piece_at(square)
        return edits, changed
    squares = _squares_of(board, value, last)
    for square in squares:
        changed.remove_piece_at(square)
    if not squares:
        return None
    return "remove=" + ",".join(chess.square_name(s) for s in squares), changed


def _squares_of(board: chess.Board, value: str, last: int | None) -> list[int]:
    if len(value) == 2 and value[0] in "abcdefgh" and value[1].isdigit():
        return [chess.parse_square(value)] if board.piece_at(chess.parse_square(value)) else []
    kind = "?PNBRQK".index(value[0])
    every = [s for s, p in board.piece_map().items() if p.piece_type == kind]
    if value.endswith("s"):
        return sorted(every)
    if last in every:
        return [last]
    return every if len(every) == 1 else []
