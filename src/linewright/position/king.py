"""The king's safety, as far as the board decides it: shelter, open lines, attackers, the middle.

Whether a king is *safe* is a matter of judgement; these are the facts a teacher points to.
"""

from __future__ import annotations

from dataclasses import dataclass

import chess

from linewright.position import Squares
from linewright.position.attack import spread
from linewright.position.files import FileState, file_state


@dataclass(frozen=True, slots=True)
class KingSafety:
    """The decidable facts about a king's safety.

    `shield`: its own pawns one or two ranks in front of it on its own and the neighbouring files;
    `open_files`, `half_open_files`: those of these files (0 = a) without any pawn, or with none of
    its own; `attackers`: enemy pieces (not pawns, not the king) that attack a square beside it;
    `flights`: the squares beside it that are neither held by its own men nor attacked;
    `in_the_middle`: see the function of that name.
    """

    king: chess.Square
    shield: Squares
    open_files: tuple[int, ...]
    half_open_files: tuple[int, ...]
    attackers: Squares
    flights: Squares
    in_the_middle: bool


def king_safety(board: chess.Board, colour: chess.Color) -> KingSafety | None:
    """The facts about a side's king; None where it has no king (a teaching board).

    >>> facts = king_safety(chess.Board(), chess.WHITE)
    >>> facts.in_the_middle, len(facts.shield)
    (True, 3)
    """
    king = board.king(colour)
    if king is None:
        return None
    file = chess.square_file(king)
    files = [f for f in (file - 1, file, file + 1) if 0 <= f < 8]
    half_open = (
        FileState.HALF_OPEN_FOR_WHITE if colour == chess.WHITE else FileState.HALF_OPEN_FOR_BLACK
    )
    states = {f: file_state(board, f) for f in files}
    return KingSafety(
        king,
        _shield(board, colour, king, files),
        tuple(f for f in files if states[f] == FileState.OPEN),
        tuple(f for f in files if states[f] == half_open),
        _attackers(board, colour, king),
        flights(board, colour),
        in_the_middle(board, colour),
    )


def flights(board: chess.Board, colour: chess.Color) -> Squares:
    """The squares the king could go to: beside it, not held by its own men, not attacked.

    An attack through the king's own square counts (it cannot step back along the line).
    """
    king = board.king(colour)
    if king is None:
        return ()
    without = board.occupied & ~chess.BB_SQUARES[king]
    beside = chess.BB_KING_ATTACKS[king] & ~board.occupied_co[colour]
    return tuple(
        square
        for square in chess.scan_forward(beside)
        if not board.attackers_mask(not colour, square, without | chess.BB_SQUARES[square])
    )


def in_the_middle(board: chess.Board, colour: chess.Color) -> bool:
    """True where a side's king stands on the d-, e- or f-file of its first two ranks, or on the
    c-file of the second, whether or not it may still castle.

    On c1, c8 it stands as after queenside castling. Source: common practice, no source.
    """
    king = board.king(colour)
    if king is None:
        return False
    rank = chess.square_rank(king) if colour == chess.WHITE else 7 - chess.square_rank(king)
    file = chess.square_file(king)
    return rank <= 1 and (file in (3, 4, 5) or (file == 2 and rank == 1))


def stuck_in_the_middle(board: chess.Board, colour: chess.Color) -> bool:
    """True where a side's king is in the middle and has no right to castle left."""
    return in_the_middle(board, colour) and not board.has_castling_rights(colour)


def back_rank_weak(board: chess.Board, colour: chess.Color) -> bool:
    """True where the king on its first rank has no flight square off that rank.

    Every square in front of it is held by its own men or attacked, so a check along the rank that
    nothing answers would be mate. Source: Companion, "back-rank mate".
    """
    king = board.king(colour)
    row = chess.BB_RANK_1 if colour == chess.WHITE else chess.BB_RANK_8
    if king is None or not chess.BB_SQUARES[king] & row:
        return False
    return not any(not chess.BB_SQUARES[square] & row for square in flights(board, colour))


def _shield(
    board: chess.Board, colour: chess.Color, king: chess.Square, files: list[int]
) -> Squares:
    rank = chess.square_rank(king)
    near = (rank + 1, rank + 2) if colour == chess.WHITE else (rank - 1, rank - 2)
    ranks = sum(chess.BB_RANKS[r] for r in near if 0 <= r < 8)
    columns = sum(chess.BB_FILES[f] for f in files)
    return spread(board.pawns & board.occupied_co[colour] & ranks & columns)


def _attackers(board: chess.Board, colour: chess.Color, king: chess.Square) -> Squares:
    found = chess.BB_EMPTY
    for square in chess.SquareSet(chess.BB_KING_ATTACKS[king] | chess.BB_SQUARES[king]):
        found |= board.attackers_mask(not colour, square)
    return spread(found & ~board.pawns & ~board.kings)
