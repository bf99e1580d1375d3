"""Men listed for a board: "kings, White has pawns on d4 and e5 and Black a bishop on c8"."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import chess

from linewright.talk.vocabulary import CASTLES, COMMA, SENTENCE, TAKES, Lexicon, words

REACH = 60
"""So many words after a list it is still the board talked about, if the talk does not go back."""


@dataclass(frozen=True, slots=True)
class Listed:
    """Men of one kind: their letter, the side ("w", "b"; "" is either) and their squares.

    Without squares those that stand on the board are meant.
    """

    letter: str
    side: str = ""
    squares: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class List:
    """Men listed from a token on: where the list ends, and where its last sentence begins."""

    men: tuple[Listed, ...]
    end: int
    sentence: int
    has_kings: bool
    """Whether both kings are named, as they are only where every man is."""

    @property
    def has_both_sides(self) -> bool:
        """Whether men of White and of Black are named as theirs."""
        return {men.side for men in self.men} >= {"w", "b"}

    @property
    def is_placed(self) -> bool:
        """Whether a list says where men stand or whose they are, not only of what kinds."""
        return any(men.squares or men.side for men in self.men)


def listed_men(lexicon: Lexicon, first: int) -> List | None:
    """The men listed from a token on, or None.

    A sentence may go on with the list of the other side: "White has ... . Black has ...".
    """
    men: list[Listed] = []
    side, kings = "", 0
    end = sentence = j = first
    while j < len(lexicon.tokens):
        stops = j > first and lexicon.tokens[j].gap >= SENTENCE
        if stops and not (lexicon.colour(j) and lexicon.text(j + 1) in _HAS):
            break
        if letter := lexicon.men(j) or lexicon.man(j):
            squares, stop = _squares(lexicon, j + 1, bool(lexicon.men(j)))
            if stop < len(lexicon.tokens) and lexicon.text(stop) in _TELLS and men:
                break  # "and the bishop on c8 is bad": the list is over
            both = letter == "K" and bool(lexicon.men(j))
            kings += (letter == "K") + both
            whose = side or _side_behind(lexicon, stop)
            j = end = stop if side or not whose else stop + 2
            men.append(Listed(letter, "" if both else whose, squares))
            continue
        if colour := lexicon.colour(j):
            side = colour[0]
        elif lexicon.text(j) not in _GLUE:
            break
        sentence = j if stops else sentence
        j += 1
    return List(tuple(men), end, min(sentence, end - 1), kings > 1) if men else None


def named_again(lexicon: Lexicon, men: tuple[Listed, ...], start: int) -> Iterator[tuple[int, int]]:
    """Where listed men are named on their squares after the list ("the pawn on e6 is in its way").

    Until the talk goes back to the board of the game, or tells a move; each with its first token
    and its end.
    """
    standing = {(kind.letter, square) for kind in men for square in kind.squares}
    for k in range(start, min(start + REACH, len(lexicon.tokens))):
        if lexicon.text(k) in _LEAVES or _tells_a_move(lexicon, k):
            return
        letter = lexicon.man(k)
        square = lexicon.square(k + 2) if letter and lexicon.text(k + 1) in _ON else None
        if square is None or {lexicon.text(square.end + n) for n in (0, 1)} & _MOVES:
            continue  # "the bishop on c4 now goes to b3"
        if (letter, chess.parse_square(square.value)) in standing:
            yield k, square.end


def _tells_a_move(lexicon: Lexicon, k: int) -> bool:
    """Whether a move is told at a token: "castles", "takes", "knight f3", "h6" alone."""
    if lexicon.text(k) in _MOVES or (lexicon.man(k) and lexicon.square(k + 1) is not None):
        return True
    square = lexicon.square(k)
    parted = lexicon.tokens[k].gap >= COMMA
    return square is not None and parted


def _side_behind(lexicon: Lexicon, j: int) -> str:
    """The side of "a bishop on d7 for Black" ("" where none is told)."""
    colour = lexicon.colour(j + 1) if lexicon.text(j) in ("for", "of") else None
    return colour[0] if colour else ""


def _squares(lexicon: Lexicon, j: int, several: bool) -> tuple[tuple[int, ...], int]:
    """The squares named from a token on ("on d4 and e5", "d4, e5"), and where they end.

    They are of one sentence, and a man that is named alone has one: what is named behind is a move.
    """
    found: list[int] = []
    end = j
    j += lexicon.text(j) in _ON
    while (square := lexicon.square(j)) is not None:
        tells = bool(found) and lexicon.text(square.end) in _TELLS
        if tells or any(token.gap >= SENTENCE for token in lexicon.tokens[end : j + 1]):
            break
        found.append(chess.parse_square(square.value))
        end = square.end
        if not several:
            break
        j = end + (lexicon.text(end) == "and")
        j += lexicon.text(j) in _ON
    return tuple(found), end


def listed_board(board: chess.Board, men: tuple[Listed, ...]) -> tuple[str, chess.Board] | None:
    """The edits as a script's link writes them, and the board with the kings and listed men.

    None where neither the list nor the board says whose a man is.
    """
    kept = {square: piece for square, piece in board.piece_map().items() if piece.symbol() in "Kk"}
    letters = {"K"}
    for kind in men:
        if not kind.squares:
            letters.add(kind.letter)
            kept |= _standing(board, kind)
        for square in kind.squares:
            piece = _piece(board, kind, square)
            if piece is None:
                return None
            if piece.piece_type == chess.KING:
                kept = {s: p for s, p in kept.items() if p != piece}
            kept[square] = piece
    changed = board.copy(stack=False)
    changed.set_piece_map(kept)
    if changed.king(chess.WHITE) is None or changed.king(chess.BLACK) is None:
        return None
    return _edits(board, changed, letters), changed


def two_on_a_square(board: chess.Board, men: tuple[Listed, ...]) -> str:
    """Which two men a list has on one square, or a man on a king's; empty where there are none."""
    told = [(s, piece) for kind in men for s in kind.squares if (piece := _piece(board, kind, s))]
    moved = {piece for _, piece in told}
    kings = {s: p for s, p in board.piece_map().items() if p.symbol() in "Kk" and p not in moved}
    stand = dict(kings)
    for kind in men:
        stand |= _standing(board, kind) if not kind.squares and kind.letter != "K" else {}
    for square, piece in told:
        if stand.setdefault(square, piece) != piece:
            other, name = _named(stand[square]), chess.square_name(square)
            return f"{other} and {_named(piece)} would both stand on {name}"
    return ""


def _named(piece: chess.Piece) -> str:
    return f"the {chess.COLOR_NAMES[piece.color]} {chess.piece_name(piece.piece_type)}"


def _standing(board: chess.Board, kind: Listed) -> dict[int, chess.Piece]:
    """The men of a kind that stand on the board."""
    return {
        square: piece
        for square, piece in board.piece_map().items()
        if piece.symbol().upper() == kind.letter and kind.side in ("", "w" if piece.color else "b")
    }


def _piece(board: chess.Board, kind: Listed, square: int) -> chess.Piece | None:
    """The man of a kind on a square: of the side that is said, or whose man stands there."""
    if kind.side:
        return chess.Piece(chess.PIECE_SYMBOLS.index(kind.letter.lower()), kind.side == "w")
    there = board.piece_at(square)
    return there if there and there.symbol().upper() == kind.letter else None


def _edits(board: chess.Board, changed: chess.Board, letters: set[str]) -> str:
    """What a link writes to make one board of another, of which it keeps some kinds of men."""
    left = {s: p for s, p in board.piece_map().items() if p.symbol().upper() in letters}
    new = changed.piece_map()
    gone = [chess.square_name(s) for s in sorted(left) if s not in new]
    put = [p.symbol() + chess.square_name(s) for s, p in sorted(new.items()) if left.get(s) != p]
    edits = ["only=" + "".join(k for k in "KQRBNP" if k in letters)]
    edits += ["remove=" + ",".join(gone)] if gone else []
    edits += ["place=" + ",".join(put)] if put else []
    return "&".join(edits)


_GLUE = words(
    "and with plus against versus also the a an his her their its two both three four five six one there just only"
    " has have having got to for then light dark squared square coloured passed doubled isolated"
)
_HAS = words("has have had with")
_ON = words("on at")
_LEAVES = words("back return returning game real position")
_MOVES = (
    CASTLES | TAKES | words("goes went moves moved comes came drops jumps retreats steps plays")
)
_TELLS = words("is are was were can will would has takes goes moves comes")
"""Verbs behind a man's square: the man is talked about, and listed no more."""
