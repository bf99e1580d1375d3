"""Files, ranks and diagonals: open or not, who stands on them, what is lined up."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import chess

from linewright.position import Squares
from linewright.position.attack import spread

_STRAIGHT = "straight"
_SLANTED = "slanted"


class FileState(StrEnum):
    """What pawns stand on a file.

    Source: Companion, "open file", "half-open file": half-open for the side that has no pawn on it.
    """

    OPEN = "open"
    HALF_OPEN_FOR_WHITE = "half-open for White"
    HALF_OPEN_FOR_BLACK = "half-open for Black"
    CLOSED = "closed"


def file_state(board: chess.Board, file: int) -> FileState:
    """Whether a file (0 = a) is open, half-open (for whom) or closed.

    >>> file_state(chess.Board(), 4)
    <FileState.CLOSED: 'closed'>
    """
    here = board.pawns & chess.BB_FILES[file]
    white = here & board.occupied_co[chess.WHITE]
    black = here & board.occupied_co[chess.BLACK]
    if white and black:
        return FileState.CLOSED
    if not here:
        return FileState.OPEN
    return FileState.HALF_OPEN_FOR_BLACK if white else FileState.HALF_OPEN_FOR_WHITE


def open_files(board: chess.Board) -> tuple[int, ...]:
    """The files (0 = a) without any pawn."""
    return tuple(file for file in range(8) if file_state(board, file) == FileState.OPEN)


def half_open_files(board: chess.Board, colour: chess.Color) -> tuple[int, ...]:
    """The files (0 = a) on which a side has no pawn and the other side has one."""
    wanted = (
        FileState.HALF_OPEN_FOR_WHITE if colour == chess.WHITE else FileState.HALF_OPEN_FOR_BLACK
    )
    return tuple(file for file in range(8) if file_state(board, file) == wanted)


def heavy_on_file(board: chess.Board, colour: chess.Color, file: int) -> Squares:
    """A side's rooks and queens on a file (0 = a)."""
    return spread((board.rooks | board.queens) & board.occupied_co[colour] & chess.BB_FILES[file])


def controls_file(board: chess.Board, file: int) -> chess.Color | None:
    """The side that controls a file: it alone has a rook or queen on it, and no pawn of its own.

    None where both or neither have one there, or its own pawn stands on the file.
    Source: common practice, no source ("to command a file").
    """
    for colour in chess.COLORS:
        own_pawns = board.pawns & board.occupied_co[colour] & chess.BB_FILES[file]
        if (
            heavy_on_file(board, colour, file)
            and not own_pawns
            and not heavy_on_file(board, not colour, file)
        ):
            return colour
    return None


def rooks_on_rank(board: chess.Board, colour: chess.Color, rank: int) -> Squares:
    """A side's rooks on a rank counted from its own side (1 to 8; the seventh is 7)."""
    row = rank - 1 if colour == chess.WHITE else 8 - rank
    return spread(board.rooks & board.occupied_co[colour] & chess.BB_RANKS[row])


@dataclass(frozen=True, slots=True)
class Battery:
    """Two line pieces of one side on one line, nothing between, both moving along it.

    `line` is "file", "rank" or "diagonal"; the squares of the line from edge to edge in `along`.
    """

    pieces: tuple[chess.Square, chess.Square]
    line: str
    along: Squares


def batteries(board: chess.Board, colour: chess.Color) -> tuple[Battery, ...]:
    """A side's batteries: rook and rook or queen on a file or rank, bishop and queen on a diagonal.

    Source: Companion, "battery".

    >>> board = chess.Board("4k3/8/8/8/8/3B4/2Q5/4K3 w - - 0 1")
    >>> batteries(board, chess.WHITE)[0].line
    'diagonal'
    """
    own = board.occupied_co[colour]
    found = []
    for mask, line in (
        ((board.rooks | board.queens) & own, _STRAIGHT),
        ((board.bishops | board.queens) & own, _SLANTED),
    ):
        squares = spread(mask)
        for index, one in enumerate(squares):
            for other in squares[index + 1 :]:
                kind = line_between(one, other)
                if not kind or (kind == "diagonal") != (line == _SLANTED):
                    continue
                if chess.between(one, other) & board.occupied:
                    continue
                found.append(Battery((one, other), kind, spread(chess.ray(one, other))))
    return tuple(found)


def doubled_rooks(board: chess.Board, colour: chess.Color) -> tuple[Battery, ...]:
    """The batteries of two rooks on a file ("doubled rooks")."""
    return tuple(
        battery
        for battery in batteries(board, colour)
        if battery.line == "file"
        and all(board.piece_type_at(square) == chess.ROOK for square in battery.pieces)
    )


def connected_rooks(board: chess.Board, colour: chess.Color) -> bool:
    """True where two rooks of a side defend each other. Source: common practice, no source."""
    rooks = spread(board.rooks & board.occupied_co[colour])
    return any(board.attacks_mask(rook) & board.rooks & board.occupied_co[colour] for rook in rooks)


def line_between(one: chess.Square, other: chess.Square) -> str:
    """The line two squares share: "file", "rank", "diagonal" or "".

    >>> line_between(chess.A1, chess.H8)
    'diagonal'
    """
    if one == other:
        return ""
    if chess.square_file(one) == chess.square_file(other):
        return "file"
    if chess.square_rank(one) == chess.square_rank(other):
        return "rank"
    return "diagonal" if chess.ray(one, other) else ""


def clear_between(board: chess.Board, one: chess.Square, other: chess.Square) -> bool:
    """True where two squares share a line and no piece stands between them."""
    return bool(line_between(one, other)) and not chess.between(one, other) & board.occupied


def blocker(board: chess.Board, at: chess.Square, target: chess.Square) -> chess.Square | None:
    """What keeps a queen, rook or bishop from a square on its line: the first piece between.

    >>> chess.square_name(blocker(chess.Board(), chess.D1, chess.D5) or 0)
    'd2'
    >>> blocker(chess.Board(), chess.A1, chess.D4) is None
    True
    """
    piece = board.piece_at(at)
    if piece is None or piece.piece_type not in {chess.BISHOP, chess.ROOK, chess.QUEEN}:
        return None
    alone = chess.Board(None)
    alone.set_piece_at(at, piece)
    between = chess.SquareSet(chess.between(at, target) & board.occupied)
    if target not in alone.attacks(at) or not between:
        return None
    return min(between, key=lambda square: chess.square_distance(at, square))


def diagonal(one: chess.Square, other: chess.Square) -> Squares:
    """The whole diagonal through two squares, from edge to edge; empty where they share none.

    >>> len(diagonal(chess.B1, chess.H7))
    7
    """
    if line_between(one, other) != "diagonal":
        return ()
    return spread(chess.ray(one, other))


def diagonal_open(board: chess.Board, one: chess.Square, other: chess.Square) -> bool:
    """True where the stretch of the diagonal from one square to the other holds no pawn.

    The end squares are looked at too. Source: like the open file, common practice, no source.
    """
    stretch = chess.between(one, other) | chess.BB_SQUARES[one] | chess.BB_SQUARES[other]
    return line_between(one, other) == "diagonal" and not stretch & board.pawns


def on_diagonal(board: chess.Board, colour: chess.Color, line: Squares) -> Squares:
    """A side's bishops and queens that stand on a diagonal given by its squares."""
    mask = chess.SquareSet(line).mask
    return spread((board.bishops | board.queens) & board.occupied_co[colour] & mask)
