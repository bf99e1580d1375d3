"""The board that words speak of, and what is true there of what they name: its traits."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import chess

from linewright.moves import side_name
from linewright.position import pawns
from linewright.position.files import FileState, file_state, heavy_on_file
from linewright.position.material import count
from linewright.talk.naming import Name, Slot
from linewright.talk.vocabulary import FILES

LETTERS = " PNBRQK"

ALONE = "at "
"""Traits that begin so are of one square; no word goes with them."""


@dataclass(frozen=True, slots=True)
class Step:
    """A move that was told: the side that made it, what it moved and took (letters), and where."""

    white: bool
    man: str
    taken: str
    origin: int
    target: int

    @classmethod
    def of(cls, board: chess.Board, move: chess.Move) -> Step:
        """The move made on a board."""
        taken = board.piece_type_at(move.to_square) or 0
        if board.is_en_passant(move):
            taken = chess.PAWN
        man = LETTERS[board.piece_type_at(move.from_square) or 0]
        return cls(board.turn, man, LETTERS[taken].strip(), move.from_square, move.to_square)


@dataclass(frozen=True, slots=True)
class Scene:
    """A board with the moves that led to it (`behind`, the last one last) and what the talk tells next.

    `named` are the squares that were named a short while ago.
    """

    board: chess.Board
    behind: tuple[Step, ...]
    ahead: tuple[Step, ...]
    named: frozenset[int]

    @property
    def last(self) -> Step | None:
        """The move made last."""
        return self.behind[-1] if self.behind else None

    @property
    def mover(self) -> bool:
        """The side that moved last (True for White)."""
        return not self.board.turn


def traits(scene: Scene, name: Name, choice: str) -> tuple[str, ...]:
    """What is true of a choice in place of what words name, each once."""
    if name.slot is Slot.SQUARE:
        found = _of_square(scene, name, chess.parse_square(choice))
    elif name.slot is Slot.PIECE:
        found = _of_man(scene, name, chess.PIECE_SYMBOLS.index(choice.lower()))
    elif name.slot is Slot.SIDE:
        found = _of_side(scene, name, choice == "w")
    else:
        found = _of_file(scene, name, FILES.index(choice))
    return tuple(dict.fromkeys(found))


# --- squares -----------------------------------------------------------------------------------


def _of_square(scene: Scene, name: Name, square: int) -> Iterator[str]:
    board = scene.board
    yield from _standing(scene, square)
    if name.man:
        yield from _with_man(board, LETTERS.index(name.man), square)
    if scene.last is not None:
        last = scene.last
        if last.target == square:
            yield "went there"
        if last.origin == square:
            yield "came from there"
        yield from _seen_from(scene, "moved", last.target, square)
    if name.subject is not None and board.piece_at(name.subject) is not None:
        yield from _seen_from(scene, "subject", name.subject, square)
    if name.subject == square:
        yield "named before"
    yield from _around(board, square)
    yield from _pawn_there(board, square)
    yield from _in_the_talk(scene, square)
    file, rank = chess.square_file(square), chess.square_rank(square)
    yield f"rank {rank + 1}"
    yield f"files {'aqcddckh'[file]}"
    yield f"{ALONE}{chess.square_name(square)}"


def _standing(scene: Scene, square: int) -> Iterator[str]:
    """What stands on a square."""
    board, piece = scene.board, scene.board.piece_at(square)
    if piece is None:
        yield "empty"
        return
    whose = _whose(scene, piece.color)
    letter = LETTERS[piece.piece_type]
    yield from ("man", f"{whose} man", letter, f"{whose} {letter}")
    yield "white man" if piece.color else "black man"
    hit = bool(board.attackers_mask(not piece.color, square))
    held = bool(board.attackers_mask(piece.color, square))
    if hit:
        yield "hit"
    if not held:
        yield "loose"
    if hit and not held:
        yield "hanging"


def _with_man(board: chess.Board, kind: int, square: int) -> Iterator[str]:
    """How a square goes with the man named with it."""
    piece = board.piece_at(square)
    there = piece is not None and piece.piece_type == kind
    yield "that man" if there else "another man" if piece else "no man"
    men = _men(board, kind)
    if not there and any(could_go(board, man, square) for man in men):
        yield "that man goes"
    if any(bears(board, man, square) == 1 for man in men):
        yield "that man bears"


def _seen_from(scene: Scene, who: str, place: int, square: int) -> Iterator[str]:
    """How a man bears on a square."""
    board, piece = scene.board, scene.board.piece_at(square)
    how = bears(board, place, square)
    if how == 1:
        yield f"{who} bears"
        man = board.piece_at(place)
        if piece is not None and man is not None:
            yield f"{who} hits" if piece.color != man.color else f"{who} guards"
    elif how == 2:
        yield f"{who} behind"
        if piece is not None:
            yield f"{who} behind man"
    if could_go(board, place, square):
        yield f"{who} goes"
    if place != square and chess.square_distance(place, square) == 1:
        yield f"{who} beside"


def _around(board: chess.Board, square: int) -> Iterator[str]:
    for white, step in ((True, -8), (False, 8)):
        side = "white" if white else "black"
        before = square + step
        if 0 <= before < 64 and board.piece_at(before) == chess.Piece(chess.PAWN, white):
            yield f"before a {side} pawn"
        attackers = board.attackers_mask(white, square)
        if attackers & board.pieces_mask(chess.PAWN, white):
            yield f"{side} pawn bears"
        if attackers:
            yield f"{side} bears"
        king = board.king(white)
        if king is not None and chess.square_distance(king, square) == 1:
            yield f"beside {side}'s king"


def _pawn_there(board: chess.Board, square: int) -> Iterator[str]:
    piece = board.piece_at(square)
    if piece is None or piece.piece_type != chess.PAWN:
        return
    yield from _of_pawn(board, square, piece.color)


def _of_pawn(board: chess.Board, square: int, white: bool) -> Iterator[str]:
    """What kind of pawn stands on a square."""
    for what, found in (
        ("isolated", pawns.isolated(board, white)),
        ("doubled", [pawn for group in pawns.doubled(board, white) for pawn in group]),
        ("passed", pawns.passed(board, white)),
    ):
        if square in found:
            yield what
    if not board.attackers_mask(white, square) & board.pieces_mask(chess.PAWN, white):
        yield "no pawn guards"


def _in_the_talk(scene: Scene, square: int) -> Iterator[str]:
    """Whether the talk goes to a square, or was there."""
    ahead = scene.ahead
    if ahead and ahead[0].target == square:
        yield "next there"
    elif any(step.target == square for step in ahead):
        yield "soon there"
    if any(step.origin == square for step in ahead):
        yield "soon from there"
    if any(step.target == square for step in scene.behind[:-1]):
        yield "was there"
    if square in scene.named:
        yield "named lately"


# --- men ---------------------------------------------------------------------------------------


def _of_man(scene: Scene, name: Name, kind: int) -> Iterator[str]:
    board, letter = scene.board, LETTERS[kind]
    yield letter
    if not board.pieces_mask(kind, chess.WHITE) | board.pieces_mask(kind, chess.BLACK):
        yield "none left"
    for white in chess.COLORS:
        yield from _men_of_side(scene, kind, white)
    if name.square is not None:
        yield from _at_the_square(scene, kind, name.square)
    if scene.last is not None:
        yield from _by_last(scene, scene.last, kind)
    if scene.ahead:
        if scene.ahead[0].man == letter:
            yield "moves next"
        if scene.ahead[0].taken == letter:
            yield "taken next"
    if any(step.man == letter for step in scene.ahead[1:3]):
        yield "moves soon"
    if any(step.man == letter for step in scene.behind[-3:-1]):
        yield "moved before"
    if name.subject is not None:
        if board.piece_type_at(name.subject) == kind:
            yield "on the square named"
        if any(bears(board, man, name.subject) == 1 for man in _men(board, kind)):
            yield "bears on the square named"


def _men(board: chess.Board, kind: int) -> chess.SquareSet:
    """The squares of the men of a kind, of both sides."""
    return board.pieces(kind, chess.WHITE) | board.pieces(kind, chess.BLACK)


def _men_of_side(scene: Scene, kind: int, white: bool) -> Iterator[str]:
    """How many men of a kind a side has, and how they fare."""
    board, men = scene.board, scene.board.pieces(kind, white)
    whose = _whose(scene, white)
    yield f"{whose} {'some' if kind == chess.PAWN else min(len(men), 2)}"
    if any(board.attackers_mask(not white, man) for man in men):
        yield f"{whose} hit"
    if any(not board.attackers_mask(white, man) for man in men):
        yield f"{whose} loose"
    if any(board.is_pinned(white, man) for man in men):
        yield f"{whose} pinned"


def _whose(scene: Scene, white: bool) -> str:
    return "mover's" if white == scene.mover else "other's"


def _at_the_square(scene: Scene, kind: int, square: int) -> Iterator[str]:
    """How men of a kind go with the square named with them."""
    board, piece = scene.board, scene.board.piece_at(square)
    if piece is None:
        yield "empty"
    elif piece.piece_type == kind:
        yield "stands there"
        yield f"{_whose(scene, piece.color)} there"
    else:
        yield "another man"
    men = _men(board, kind)
    if square not in men and any(could_go(board, man, square) for man in men):
        yield "goes there"
    if any(bears(board, man, square) == 1 for man in men):
        yield "bears there"


def _by_last(scene: Scene, last: Step, kind: int) -> Iterator[str]:
    """How men of a kind go with the move made last."""
    board, letter = scene.board, LETTERS[kind]
    if last.man == letter:
        yield "moved"
    if last.taken == letter:
        yield "taken"
    for man in board.pieces(kind, not last.white):
        how = bears(board, last.target, man)
        if how:
            yield "hit by it" if how == 1 else "behind for it"
    for man in board.pieces(kind, last.white):
        if bears(board, last.target, man) == 1:
            yield "guarded by it"
    if any(bears(board, man, last.target) == 1 for man in board.pieces(kind, not last.white)):
        yield "hits it"
    if any(
        bears(board, man, last.target) == 1 and man != last.target
        for man in board.pieces(kind, last.white)
    ):
        yield "guards it"


# --- sides -------------------------------------------------------------------------------------


def _of_side(scene: Scene, name: Name, white: bool) -> Iterator[str]:
    board = scene.board
    yield side_name(white)
    yield "moved" if white == scene.mover and scene.behind else "to move"
    for step, when in zip(scene.ahead, ("next", "second"), strict=False):
        if step.white == white:
            yield f"moves {when}"
    if scene.last is not None and scene.last.taken:
        yield "took" if scene.last.white == white else "lost a man"
    if board.is_check() and board.turn == white:
        yield "in check"
    yield from _compared(board, white)
    yield from _king_of(board, white)
    if name.man:
        yield from _with_own_man(scene, name, white)
    if name.square is not None:
        yield from _with_square(scene, name.square, white)
    if name.file:
        yield from _on_file(board, FILES.index(name.file), white)


def _with_own_man(scene: Scene, name: Name, white: bool) -> Iterator[str]:
    """How a side goes with the man named with it, and the square of that."""
    board, square = scene.board, name.square
    men = board.pieces(LETTERS.index(name.man), white)
    yield "has that man" if men else "no such man"
    last = scene.last
    if last is not None and last.white == white and last.man == name.man:
        yield "that man moved"
    if any(step.white == white and step.man == name.man for step in scene.ahead[:3]):
        yield "that man moves next"
    if any(board.attackers_mask(not white, man) for man in men):
        yield "that man is hit"
    if square is None:
        return
    if square in men:
        yield "that man there"
    elif any(could_go(board, man, square) for man in men):
        yield "that man goes there"
    if any(bears(board, man, square) == 1 for man in men):
        yield "that man bears there"


def _with_square(scene: Scene, square: int, white: bool) -> Iterator[str]:
    """How a side goes with the square named with it."""
    board, piece = scene.board, scene.board.piece_at(square)
    if piece is not None:
        yield "own man there" if piece.color == white else "other's man there"
    going = [m for m in chess.scan_forward(board.occupied_co[white]) if could_go(board, m, square)]
    if going:
        yield "goes there"
    if any(board.piece_type_at(man) == chess.PAWN for man in going):
        yield "pawn goes there"
    if any(step.white == white and step.target == square for step in scene.ahead):
        yield "will go there"


def _compared(board: chess.Board, white: bool) -> Iterator[str]:
    """What a side has more of than the other."""
    mine, theirs = _counted(board, white), _counted(board, not white)
    for what, own in mine.items():
        if own != theirs[what]:
            yield f"more {what}" if own > theirs[what] else f"fewer {what}"
        if not own:
            yield f"no {what}"
    if abs(mine["worth"] - theirs["worth"]) == 1:
        yield "a pawn up" if mine["worth"] > theirs["worth"] else "a pawn down"


def _counted(board: chess.Board, white: bool) -> dict[str, int]:
    """What sides are compared by."""
    men = count(board, white)
    return {
        "worth": men.points,
        "pawns": men.pawns,
        "doubled": sum(len(group) for group in pawns.doubled(board, white)),
        "isolated": len(pawns.isolated(board, white)),
        "passed": len(pawns.passed(board, white)),
        "bishops": men.bishops,
        "space": _space(board, white),
        "out": _out(board, white),
        "queens": men.queens,
        "rooks": men.rooks,
        "knights": men.knights,
        "loose": _loose(board, white),
        "open lines": _open_lines(board, white),
    }


def _space(board: chess.Board, white: bool) -> int:
    """The ranks that the pawns have gone together."""
    ranks = (chess.square_rank(pawn) for pawn in board.pieces(chess.PAWN, white))
    return sum(rank - 1 if white else 6 - rank for rank in ranks)


def _out(board: chess.Board, white: bool) -> int:
    """The knights and bishops that left the first rank."""
    home = 0 if white else 7
    men = board.pieces(chess.KNIGHT, white) | board.pieces(chess.BISHOP, white)
    return sum(chess.square_rank(man) != home for man in men)


def _loose(board: chess.Board, white: bool) -> int:
    """The men that are attacked and not guarded."""
    men = (m for kind in range(1, 6) for m in board.pieces(kind, white))
    return sum(
        bool(board.attackers_mask(not white, m)) and not board.attackers_mask(white, m) for m in men
    )


def _open_lines(board: chess.Board, white: bool) -> int:
    """The files with a rook or a queen of a side and none of its pawns."""
    return sum(
        bool(heavy_on_file(board, white, file)) and not pawns.on_file(board, white, file)
        for file in range(8)
    )


def _king_of(board: chess.Board, white: bool) -> Iterator[str]:
    """Where the king of a side stands."""
    king = board.king(white)
    if king is None:
        return
    file = chess.square_file(king)
    home = chess.square_rank(king) == (0 if white else 7)
    if home and file in (3, 4):
        yield "king in the middle"
    elif home:
        yield "king short" if file > 4 else "king long"
    else:
        yield "king out"
    if board.has_castling_rights(white):
        yield "may castle"
    near = range(max(file - 1, 0), min(file + 2, 8))
    if not all(pawns.on_file(board, white, f) for f in near):
        yield "king open"


def _on_file(board: chess.Board, file: int, white: bool) -> Iterator[str]:
    """What a side has on a file."""
    yield f"pawns on it {min(len(pawns.on_file(board, white, file)), 2)}"
    if heavy_on_file(board, white, file):
        yield "heavy on it"


# --- files -------------------------------------------------------------------------------------


def _of_file(scene: Scene, name: Name, file: int) -> Iterator[str]:
    board = scene.board
    yield f"file {FILES[file]}"
    for white in chess.COLORS:
        yield from _of_side_on_file(scene, file, white)
    state = file_state(board, file)
    if state is not FileState.CLOSED:
        yield "open" if state is FileState.OPEN else "half open"
    last = scene.last
    if last is not None:
        for square, what in ((last.target, "went there"), (last.origin, "came from there")):
            if chess.square_file(square) == file:
                yield what
                if last.man == "P":
                    yield f"pawn {what}"
    for n, step in enumerate(scene.ahead[:4]):
        when = "soon" if n else "next"
        if chess.square_file(step.origin) == file:
            yield f"{when} from there"
            if step.man == name.man:
                yield "that man moves"
        if chess.square_file(step.target) == file:
            yield f"{when} there"
    if name.subject is not None and chess.square_file(name.subject) == file:
        yield "file of the square named"


def _of_side_on_file(scene: Scene, file: int, white: bool) -> Iterator[str]:
    """What a side has on a file, and what kind of pawns."""
    board, whose = scene.board, _whose(scene, white)
    own = pawns.on_file(board, white, file)
    yield f"{whose} pawns {min(len(own), 2)}"
    for pawn in own:
        yield from (f"{whose} {what}" for what in _of_pawn(board, pawn, white))
        if board.attackers_mask(not white, pawn):
            yield f"{whose} pawn hit"
        step = pawn + (8 if white else -8)
        if 0 <= step < 64 and could_go(board, pawn, step):
            yield f"{whose} pawn goes"
    for kind in (chess.ROOK, chess.QUEEN, chess.KING):
        if board.pieces_mask(kind, white) & chess.BB_FILES[file]:
            yield f"{whose} {LETTERS[kind]} on it"


# --- how men move ------------------------------------------------------------------------------


def bears(board: chess.Board, place: int, square: int) -> int:
    """How a man bears on a square: 1 directly, 2 through what stands between, 0 not at all."""
    piece = board.piece_at(place)
    if piece is None or place == square:
        return 0
    if board.attacks_mask(place) & chess.BB_SQUARES[square]:
        return 1
    across = abs(chess.square_file(place) - chess.square_file(square))
    along = abs(chess.square_rank(place) - chess.square_rank(square))
    diagonal = across == along and piece.piece_type in (chess.BISHOP, chess.QUEEN)
    straight = not (across and along) and piece.piece_type in (chess.ROOK, chess.QUEEN)
    return 2 if diagonal or straight else 0


def could_go(board: chess.Board, place: int, square: int) -> bool:
    """Whether a man could move to a square, were it its turn and its king safe."""
    piece, there = board.piece_at(place), board.piece_at(square)
    if piece is None or place == square:
        return False
    if piece.piece_type != chess.PAWN:
        mine = there is not None and there.color == piece.color
        return not mine and bool(board.attacks_mask(place) & chess.BB_SQUARES[square])
    step = 8 if piece.color else -8
    if square == place + step:
        return there is None
    if square == place + 2 * step:
        home = chess.square_rank(place) == (1 if piece.color else 6)
        return home and there is None and board.piece_at(place + step) is None
    takes = there is not None and there.color != piece.color
    return takes and bool(board.attacks_mask(place) & chess.BB_SQUARES[square])
