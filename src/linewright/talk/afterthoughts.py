"""Moves said wrong that only later words show: "bishop d3", and a while after it "the bishop on e2".

The search plays "bishop d3" where it is legal; a slip there would be a guess. What is said of the
piece afterwards may settle it: it is said to stand, or to bear on a square, where the move did not
bring it, and another legal move would have. Plans and comparisons are told in the same words, so each
such doubt is put to the search once more: only it knows what the whole talk would cost with the
other move.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import chess

from linewright.talk.decoder import Event, Kind, Tree
from linewright.talk.said import Phrase
from linewright.talk.scene import bears
from linewright.talk.vocabulary import ARTICLES, PIECES, Lexicon, Token, is_square, words

NAMED_WITHIN = 90
"""A piece named with its square tells of a move so many words before."""

BARE_WITHIN = 40
"""A pronoun with a square ("from e3 it looks") tells of one so many words before."""

AIM_WITHIN = 9
"""What the piece moved bears on is told so soon after ("rook c1, covers d4")."""

DEARER_STANDING = 6.0
"""So much dearer the talk may be with the move that a piece's place tells of."""

DEARER_AIM = 2.5
"""So much dearer with the move that its aim tells of: less, for it may be another piece's."""


@dataclass(frozen=True, slots=True)
class Doubt:
    """A move that may have been said wrong, and the one that later words have instead (SAN).

    `dearer` is how much more the whole talk may cost with it.
    """

    phrase: Phrase
    meant: str
    dearer: float


@dataclass(frozen=True, slots=True)
class Standing:
    """Where a piece is said to stand: the square, the piece's letter (empty for a pronoun)."""

    at: int
    square: int
    letter: str
    near: bool
    """Whether only a square that is easily said for another counts."""


def afterthoughts(
    tree: Tree, events: Sequence[Event], tokens: Sequence[Token], lexicon: Lexicon
) -> list[Doubt]:
    """The moves that what is said after them makes doubtful, one for each place that does so."""
    nearest: dict[int, tuple[int, Doubt]] = {}
    for index, event in enumerate(events):
        if not _plainly_made(event):
            continue
        for standing, line in _standings(tree, events, index, tokens, lexicon):
            meant = _meant(tree, event.node, line, standing)
            gap = standing.at - event.phrase.end
            if meant and (standing.at not in nearest or gap < nearest[standing.at][0]):
                nearest[standing.at] = gap, Doubt(event.phrase, meant, DEARER_STANDING)
        if aimed := _aimed_instead(tree, event, tokens, lexicon):
            nearest[event.phrase.end] = 0, Doubt(event.phrase, aimed, DEARER_AIM)
    return list(dict.fromkeys(doubt for _, doubt in nearest.values()))


def _plainly_made(event: Event) -> bool:
    """Whether an event is one move that the words name with its square."""
    return (
        event.kind is Kind.PLAY
        and not event.faults
        and not event.extra
        and bool(event.phrase.spec.targets)
    )


def _standings(
    tree: Tree, events: Sequence[Event], index: int, tokens: Sequence[Token], lexicon: Lexicon
) -> Iterator[tuple[Standing, list[int]]]:
    """Where pieces are said to stand after a move, with the boards from it on to that place."""
    made = events[index].node
    end = events[index].phrase.end
    later = [e for e in events[index + 1 :] if e.kind in (Kind.PLAY, Kind.GOTO)]
    here = made
    for k in range(end, min(len(tokens), end + NAMED_WITHIN)):
        while later and later[0].phrase.first <= k:
            here = later.pop(0).node
        line = tree.line(here)
        if made not in line:
            return
        if _unreal(tokens, k, end):
            continue
        found = _place_told(tokens, lexicon, k, end)
        if found is not None and (found.letter or k - end <= BARE_WITHIN):
            yield found, line[line.index(made) :]


def _unreal(tokens: Sequence[Token], k: int, end: int) -> bool:
    """Whether the words before a place tell of a wish or of what is not so."""
    while k > end and tokens[k].gap < 0.6:
        k -= 1
        if tokens[k].text in _UNREAL:
            return True
    return False


def _place_told(tokens: Sequence[Token], lexicon: Lexicon, k: int, end: int) -> Standing | None:
    """A piece or a pronoun said to stand on a square, told from a token on."""
    text = tokens[k].text
    if is_square(text):  # "that e2 knight"
        piece = PIECES.get(lexicon.text(k + 1), "")
        if not piece or tokens[k + 1].gap >= 0.3 or lexicon.text(k - 1) not in _OWNED:
            return None
        return Standing(k, chess.parse_square(text), piece, near=False)
    square = lexicon.square(k + 1) if text in ("on", "from") else None
    if square is None or tokens[k + 1].gap >= 0.3:
        return None
    target = chess.parse_square(square.value)
    letter, pronoun = _subject(tokens, lexicon, k, end)
    if letter is None:
        return None
    after, next_one = lexicon.text(square.end), lexicon.text(square.end + 1)
    if letter or after in _PRONOUNS or (text == "on" and pronoun):
        return Standing(k, target, letter, near=True)
    if text == "from" and after in _OWNED and next_one in PIECES:  # "from d2 the knight"
        return Standing(k, target, PIECES[next_one], near=True)
    return None


def _subject(
    tokens: Sequence[Token], lexicon: Lexicon, k: int, end: int
) -> tuple[str | None, bool]:
    """The piece named before a place, and whether a pronoun is; None where more is named."""
    pronoun = False
    for b in range(k - 1, max(end - 1, k - 7), -1):
        if letter := lexicon.man(b):
            return letter, pronoun
        if lexicon.men(b) or lexicon.square(b) is not None:
            return None, pronoun
        if tokens[b + 1].gap >= 0.6:
            break
        pronoun = pronoun or tokens[b].text in _PRONOUNS
    return "", pronoun


def _meant(tree: Tree, made: int, line: Sequence[int], standing: Standing) -> str:
    """The one move instead of that made which puts a piece where it is said to stand, or nothing.

    `line` are the boards from that move to where the piece is spoken of: none has it there.
    """
    before = tree.parent(made)
    boards = [tree.board(node) for node in (before, *line)]
    if any(_there(board, standing) for board in boards):
        return ""
    board, move = boards[0], chess.Move.from_uci(tree.uci(made))
    found = []
    for other in board.legal_moves:
        letter = _letter(board, other.from_square)
        same_piece = other.from_square == move.from_square
        alike = letter == _letter(board, move.from_square)
        fits = other.to_square == standing.square and other != move
        fits = fits and (letter == standing.letter if standing.letter else same_piece)
        if not fits or board.is_castling(other) or not (alike or other.to_square == move.to_square):
            continue
        if standing.near and not confusable(move.to_square, other.to_square):
            continue
        if _goes_on(board, other, [tree.uci(node) for node in line[1:]], standing.square):
            found.append(board.san(other).rstrip("+#"))
    return found[0] if len(found) == 1 else ""


def _there(board: chess.Board, standing: Standing) -> bool:
    piece = board.piece_at(standing.square)
    return piece is not None and standing.letter in ("", piece.symbol().upper())


def _letter(board: chess.Board, square: int) -> str:
    piece = board.piece_at(square)
    return piece.symbol().upper() if piece else ""


def confusable(said: int, meant: int) -> bool:
    """Whether one square is readily said for another: on one file or rank, or next to it."""
    return (
        said % 8 == meant % 8 or said // 8 == meant // 8 or chess.square_distance(said, meant) == 1
    )


def _goes_on(board: chess.Board, move: chess.Move, line: Sequence[str], square: int) -> bool:
    """Whether the moves that follow can be made after another move, and leave its piece there."""
    board = board.copy(stack=False)
    mover = _letter(board, move.from_square)
    board.push(move)
    for uci in line:
        following = chess.Move.from_uci(uci)
        if following not in board.legal_moves:
            return False
        board.push(following)
    return _letter(board, square) == mover


def _aimed_instead(tree: Tree, event: Event, tokens: Sequence[Token], lexicon: Lexicon) -> str:
    """The one move of the same piece that bears on what it is said to bear on, or nothing."""
    aims = list(_aims(tokens, lexicon, event.phrase.end))
    move = chess.Move.from_uci(tree.uci(event.node))
    if not aims or all(bears(tree.board(event.node), move.to_square, aim) for aim in aims):
        return ""
    board = tree.board(tree.parent(event.node))
    found = []
    for other in board.legal_moves:
        confused = other != move and confusable(move.to_square, other.to_square)
        if other.from_square == move.from_square and confused and not board.is_castling(other):
            after = board.copy(stack=False)
            after.push(other)
            if all(bears(after, other.to_square, aim) for aim in aims):
                found.append(board.san(other).rstrip("+#"))
    return found[0] if len(found) == 1 else ""


def _aims(tokens: Sequence[Token], lexicon: Lexicon, end: int) -> Iterator[int]:
    """The squares that a piece is said to bear on, right after its move."""
    for k in range(end, min(len(tokens), end + AIM_WITHIN)):
        text = tokens[k].text
        if (k > end and tokens[k].gap >= 1 and text not in _GOING_ON) or text in PIECES:
            return
        at = k + 2 if lexicon.text(k + 1) in _STRAIGHT else k + 1
        looks = lexicon.text(at) == _BEARING_AT.get(text)
        if text in _BEARING or looks:
            yield from _listed(tokens, lexicon, at + 1 if looks else k + 1)
            return
        if lexicon.square(k) is not None:
            return


def _listed(tokens: Sequence[Token], lexicon: Lexicon, k: int) -> Iterator[int]:
    """The squares named from a token on, with their pieces: "the knight on c6 and e5"."""
    while k < len(tokens):
        square = lexicon.square(k)
        if square is not None:
            yield chess.parse_square(square.value)
            k = square.end
        elif tokens[k].gap < 0.3 and (tokens[k].text in _OWNED or tokens[k].text in _LISTING):
            k += 1
        else:
            return


_UNREAL = words(
    "would could might should want wants wanted like no not never isn't aren't don't doesn't won't"
    " can't cannot put puts if instead i'd you'd we'd he'd she'd they'd"
)
_BEARING = words(
    "hits hit hitting attacks attacking eyes eyeing pins pinning guards guarding covers covering"
    " protects protecting defends defending holds holding forks forking threatens threatening sees"
)
_BEARING_AT = {"looks": "at", "looking": "at", "aims": "at", "aiming": "at", "eye": "on",
               "points": "at", "pointing": "at"}  # fmt: skip
_STRAIGHT = words("straight right directly down")
_GOING_ON = words("it she that this which hitting attacking covering guarding looking now")
_LISTING = words("king queen rook bishop knight pawn on and as well")
_OWNED = (ARTICLES - {"an"}) | words("white's black's he's")
_PRONOUNS = words("it she he it's she's he's")
