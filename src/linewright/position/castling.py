"""Castling: the right, whether it can be done now, why not, and whether it was done."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import chess

from linewright.position import Squares
from linewright.position.attack import spread
from linewright.position.pawns import Wing


class Obstacle(StrEnum):
    """Why a side cannot castle on a wing now.

    Source: FIDE 3.8.2: the right is lost when the king (3.8.2.1.1) or that rook (3.8.2.1.2) has
    moved; castling is prevented for a time when the king's square, the one it crosses or the one it
    reaches is attacked (3.8.2.2.1), or a piece stands between king and rook (3.8.2.2.2).
    """

    RIGHT_LOST = "right lost"
    PIECE_BETWEEN = "piece between"
    IN_CHECK = "in check"
    THROUGH_ATTACK = "through attack"
    INTO_ATTACK = "into attack"


@dataclass(frozen=True, slots=True)
class Castling:
    """Whether a side may castle on one wing.

    `right`: neither king nor rook has moved. `possible`: it could castle at once if it were to
    move. `obstacles`: why not; `between`: the pieces in the way; `attackers`: the enemy pieces that
    check the king or attack the square it crosses or reaches; `attacked`: those squares.
    """

    colour: chess.Color
    wing: Wing
    right: bool
    possible: bool
    obstacles: tuple[Obstacle, ...] = ()
    between: Squares = ()
    attackers: Squares = ()
    attacked: Squares = ()


def has_right(board: chess.Board, colour: chess.Color, wing: Wing) -> bool:
    """True where a side's king and the rook of that wing have not moved.

    >>> has_right(chess.Board(), chess.WHITE, Wing.KINGSIDE)
    True
    """
    if wing == Wing.KINGSIDE:
        return board.has_kingside_castling_rights(colour)
    return board.has_queenside_castling_rights(colour)


def rights(board: chess.Board, colour: chess.Color) -> tuple[Wing, ...]:
    """The wings on which a side still has the right to castle."""
    return tuple(wing for wing in (Wing.KINGSIDE, Wing.QUEENSIDE) if has_right(board, colour, wing))


def castling(board: chess.Board, colour: chess.Color, wing: Wing) -> Castling:
    """Whether a side may castle on a wing now, with all the reasons against it.

    Whose move it is makes no difference: it is judged as if the side were to move. An attack on
    the rook, or on b1 or b8, does not hinder castling. Standard chess only, not Chess960.
    Source: FIDE 3.8.2.

    >>> board = chess.Board()
    >>> castling(board, chess.WHITE, Wing.KINGSIDE).obstacles
    (<Obstacle.PIECE_BETWEEN: 'piece between'>,)
    """
    if not has_right(board, colour, wing):
        return Castling(colour, wing, right=False, possible=False, obstacles=(Obstacle.RIGHT_LOST,))
    home = chess.E1 if colour == chess.WHITE else chess.E8
    side = 1 if wing == Wing.KINGSIDE else -1
    corner = home + (3 if side > 0 else -4)
    between = spread(chess.between(home, corner) & board.occupied)
    obstacles = [Obstacle.PIECE_BETWEEN] if between else []
    attacked, attackers = [], chess.BB_EMPTY
    for steps, obstacle in enumerate(
        (Obstacle.IN_CHECK, Obstacle.THROUGH_ATTACK, Obstacle.INTO_ATTACK)
    ):
        square = home + steps * side
        hitting = board.attackers_mask(not colour, square)
        if hitting:
            obstacles.append(obstacle)
            attacked.append(square)
            attackers |= hitting
    return Castling(
        colour,
        wing,
        right=True,
        possible=not obstacles,
        obstacles=tuple(obstacles),
        between=between,
        attackers=spread(attackers),
        attacked=tuple(sorted(attacked)),
    )


def can_castle(board: chess.Board, colour: chess.Color) -> tuple[Wing, ...]:
    """The wings on which a side could castle at once if it were to move."""
    return tuple(wing for wing in rights(board, colour) if castling(board, colour, wing).possible)


def castled(board: chess.Board, colour: chess.Color) -> Wing | None:
    """The wing on which a side castled in the moves that led to this board.

    Read from the board's move stack. Without one (a position given by its FEN) the answer is None,
    and `looks_castled` is all that can be said. Cost: one pass over the moves.
    """
    if not board.move_stack:
        return None
    replay = board.root()
    for move in board.move_stack:
        if replay.turn == colour and replay.is_castling(move):
            return Wing.KINGSIDE if replay.is_kingside_castling(move) else Wing.QUEENSIDE
        replay.push(move)
    return None


def looks_castled(board: chess.Board, colour: chess.Color) -> Wing | None:
    """The wing on which a side's king stands as after castling, or None.

    Kingside: king on the g- or h-file of its first rank, no rook of its own between it and the
    corner. Queenside: king on the a-, b- or c-file, likewise. Walking there looks the same.
    Source: common practice, no source.
    """
    king = board.king(colour)
    if king is None or board.has_castling_rights(colour):
        return None
    first = 0 if colour == chess.WHITE else 7
    file = chess.square_file(king)
    if chess.square_rank(king) != first or 2 < file < 6:
        return None
    corner = chess.square(0 if file <= 2 else 7, first)
    outside = (chess.between(king, corner) | chess.BB_SQUARES[corner]) & ~chess.BB_SQUARES[king]
    if outside & board.rooks & board.occupied_co[colour]:
        return None
    return Wing.QUEENSIDE if file <= 2 else Wing.KINGSIDE


@dataclass(frozen=True, slots=True)
class RightLost:
    """How a right to castle was lost: the half-move (0 = first of the stack) and what moved.

    `square` is where the king or rook stood; `taken` where the rook was captured there.
    """

    ply: int
    move: chess.Move
    square: chess.Square
    taken: bool


def lost_by(board: chess.Board, colour: chess.Color, wing: Wing) -> RightLost | None:
    """The move that cost a side the right to castle on a wing (castling itself among them).

    None where the right is still there, was not there at the start, or the board has no moves.
    Cost: one pass over the moves.
    """
    if has_right(board, colour, wing) or not board.move_stack:
        return None
    replay = board.root()
    for ply, move in enumerate(board.move_stack):
        had = has_right(replay, colour, wing)
        mover = replay.turn
        replay.push(move)
        if had and not has_right(replay, colour, wing):
            taken = mover != colour
            return RightLost(ply, move, move.to_square if taken else move.from_square, taken)
    return None
