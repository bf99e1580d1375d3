"""Attack and defence: who bears on a square, what can be taken, and what that wins.

A piece attacks the squares it could capture on, even when it is pinned and may not move
(FIDE 3.1.2, 3.1.3). What can really be taken, and whether that pays, the static exchange tells:
both sides take on one square in turn with the least valuable piece that may legally take, and
either may stop when going on would cost more than it brings.
"""

from __future__ import annotations

from dataclasses import dataclass

import chess

from linewright.position import Squares
from linewright.position.material import VALUES

_ORDER = (chess.PAWN, chess.KNIGHT, chess.BISHOP, chess.ROOK, chess.QUEEN, chess.KING)
_LAST_RANKS = chess.BB_RANK_1 | chess.BB_RANK_8


def spread(mask: chess.Bitboard) -> Squares:
    """The squares of a bitboard."""
    return tuple(chess.scan_forward(mask))


def attackers(board: chess.Board, colour: chess.Color, square: chess.Square) -> Squares:
    """The squares of a side's pieces that attack a square, pinned or not.

    Source: FIDE 3.1.2, 3.1.3.

    >>> [chess.square_name(s) for s in attackers(chess.Board(), chess.WHITE, chess.F3)]
    ['g1', 'e2', 'g2']
    """
    return spread(board.attackers_mask(colour, square))


def attackers_through(board: chess.Board, colour: chess.Color, square: chess.Square) -> Squares:
    """The pieces that attack a square once their own side's pieces in front of them move on it.

    These are the rear pieces of batteries: the second of two doubled rooks, the queen behind a
    bishop, a bishop behind a pawn that captures. A piece that attacks by itself is not among them,
    nor is one behind the king, which takes only where nothing can take back.
    """
    direct = board.attackers_mask(colour, square)
    seen, occupied = direct, board.occupied
    while True:
        occupied &= ~(seen & ~board.kings)
        more = board.attackers_mask(colour, square, occupied) & occupied & ~seen
        if not more:
            return spread(seen & ~direct)
        seen |= more


def attacked_squares(board: chess.Board, square: chess.Square) -> Squares:
    """The squares that the piece on a square attacks; empty where none stands there."""
    return spread(board.attacks_mask(square))


def attacks(board: chess.Board, source: chess.Square, target: chess.Square) -> bool:
    """True where the piece on `source` attacks (or defends) `target`."""
    return bool(board.attacks_mask(source) & chess.BB_SQUARES[target])


def defenders(board: chess.Board, square: chess.Square) -> Squares:
    """The pieces that defend the piece on a square: those of its side that could take back there.

    Empty where no piece stands there. A pinned defender is among them (FIDE 3.1.3).
    """
    colour = board.color_at(square)
    return () if colour is None else attackers(board, colour, square)


def enemies_on(board: chess.Board, square: chess.Square) -> Squares:
    """The pieces that attack the piece on a square; empty where no piece stands there.

    A pawn that may be taken en passant is attacked by the pawns that may take it (FIDE 3.7.3).
    """
    colour = board.color_at(square)
    if colour is None:
        return ()
    mask = board.attackers_mask(not colour, square)
    for move in _en_passant_on(board, square):
        mask |= chess.BB_SQUARES[move.from_square]
    return spread(mask)


@dataclass(frozen=True, slots=True)
class Pressure:
    """How often a piece is hit and how often it is defended.

    `attackers` and `defenders` bear on it directly; `attackers_behind` and `defenders_behind`
    stand behind one of those in a battery. Teachers count either way.
    """

    square: chess.Square
    attackers: Squares
    attackers_behind: Squares
    defenders: Squares
    defenders_behind: Squares


def pressure(board: chess.Board, square: chess.Square) -> Pressure:
    """How often the piece on a square (or the empty square, seen by White) is hit and defended.

    For an empty square White counts as the defender.
    """
    colour = board.color_at(square)
    own = chess.WHITE if colour is None else colour
    return Pressure(
        square,
        enemies_on(board, square) if colour is not None else attackers(board, not own, square),
        attackers_through(board, not own, square),
        attackers(board, own, square),
        attackers_through(board, own, square),
    )


def undefended(board: chess.Board, colour: chess.Color) -> Squares:
    """A side's pieces and pawns (not the king) that nothing of their own side defends.

    Source: the "loose" or "unprotected" piece, common practice, no source.
    """
    return tuple(
        square
        for square in chess.scan_forward(board.occupied_co[colour] & ~board.kings)
        if not board.attackers_mask(colour, square)
    )


def attacked(board: chess.Board, colour: chess.Color) -> Squares:
    """A side's pieces and pawns (king among them) that the other side attacks."""
    return tuple(
        square
        for square in chess.scan_forward(board.occupied_co[colour])
        if board.attackers_mask(not colour, square)
    )


def capture_result(
    board: chess.Board, move: chess.Move, without: chess.Bitboard = chess.BB_EMPTY
) -> int:
    """What a capture brings the side that makes it, both sides then taking on that square.

    The static exchange: after the capture the other side takes back with its least valuable piece
    that legally may, and so on; either side may stop. `without` leaves pieces out of the count.
    Units: pawns (`VALUES`); a promotion counts as a queen for a pawn. The move is not asked to be
    legal, only to be a capture or a move to the square.

    >>> board = chess.Board("4k3/8/3p4/4p3/8/5N2/8/4K3 w - - 0 1")
    >>> capture_result(board, chess.Move.from_uci("f3e5"))
    -2
    """
    mover = board.piece_type_at(move.from_square)
    colour = board.color_at(move.from_square)
    if mover is None or colour is None:
        return 0
    gain = _taken_value(board, move)
    occupied = (board.occupied & ~chess.BB_SQUARES[move.from_square]) & ~without
    if _is_en_passant(board, move):
        occupied &= ~chess.BB_SQUARES[_taken_square(move)]
    occupied |= chess.BB_SQUARES[move.to_square]
    standing = VALUES[mover]
    if mover == chess.PAWN and chess.BB_SQUARES[move.to_square] & _LAST_RANKS:
        standing = VALUES[move.promotion or chess.QUEEN]
        gain += standing - 1
    return gain - _reply(board, not colour, move.to_square, standing, occupied)


def _reply(
    board: chess.Board,
    colour: chess.Color,
    square: chess.Square,
    standing: int,
    occupied: chess.Bitboard,
) -> int:
    """What `colour` wins by taking (or not) the piece worth `standing` on a square: 0 or more."""
    taker = _least_taker(board, colour, square, occupied)
    if taker is None:
        return 0
    kind = board.piece_type_at(taker)
    assert kind is not None
    value, gain = VALUES[kind], standing
    if kind == chess.PAWN and chess.BB_SQUARES[square] & _LAST_RANKS:
        value = VALUES[chess.QUEEN]
        gain += value - 1
    left = occupied & ~chess.BB_SQUARES[taker]
    return max(0, gain - _reply(board, not colour, square, value, left))


def _least_taker(
    board: chess.Board, colour: chess.Color, square: chess.Square, occupied: chess.Bitboard
) -> chess.Square | None:
    """The least valuable piece that may legally take on a square in the midst of an exchange."""
    takers = board.attackers_mask(colour, square, occupied) & occupied & ~chess.BB_SQUARES[square]
    if not takers:
        return None
    for kind in _ORDER:
        for taker in chess.scan_forward(takers & board.pieces_mask(kind, colour)):
            if _may_take(board, colour, taker, square, occupied):
                return taker
    return None


def _may_take(
    board: chess.Board,
    colour: chess.Color,
    taker: chess.Square,
    square: chess.Square,
    occupied: chess.Bitboard,
) -> bool:
    """True where taking leaves the own king unattacked."""
    king = board.king(colour)
    if king is None:
        return True
    if king == taker:
        king = square
    left = occupied & ~chess.BB_SQUARES[taker]
    hitting = board.attackers_mask(not colour, king, left) & left & ~chess.BB_SQUARES[square]
    return not hitting


def exchange(
    board: chess.Board,
    square: chess.Square,
    colour: chess.Color,
    without: chess.Bitboard = chess.BB_EMPTY,
) -> int:
    """The most that a side wins by taking the enemy piece on a square, as if it were to move.

    Zero where it cannot take, or taking would cost material. `without` leaves pieces out of the
    count ("if this defender were gone"). Units: pawns.

    >>> exchange(chess.Board("4k3/8/8/4p3/8/5N2/8/4K3 w - - 0 1"), chess.E5, chess.WHITE)
    1
    """
    if board.color_at(square) != (not colour) or board.piece_type_at(square) == chess.KING:
        return 0
    best = 0
    occupied = board.occupied & ~without
    takers = board.attackers_mask(colour, square, occupied) & occupied
    for taker in chess.scan_forward(takers):
        if _may_take(board, colour, taker, square, occupied):
            best = max(best, capture_result(board, chess.Move(taker, square), without))
    for move in _en_passant_on(board, square):
        best = max(best, capture_result(board, move, without))
    return best


@dataclass(frozen=True, slots=True)
class Hanging:
    """A piece that is attacked and would be lost, or lost for too little.

    `loss` is what its side loses by the static exchange, in pawns.
    """

    square: chess.Square
    attackers: Squares
    defenders: Squares
    loss: int


def hanging_piece(board: chess.Board, square: chess.Square) -> Hanging | None:
    """The piece on a square as a hanging one, or None: attacked, and taking it wins material.

    It is judged as if the other side were to move, whoever is. A king never hangs.
    Source: "hanging" and "en prise" as teachers use them, common practice, no source; the loss by
    static exchange.
    """
    colour = board.color_at(square)
    if colour is None:
        return None
    loss = exchange(board, square, not colour)
    if loss <= 0:
        return None
    return Hanging(square, enemies_on(board, square), defenders(board, square), loss)


def hanging(board: chess.Board, colour: chess.Color) -> tuple[Hanging, ...]:
    """A side's pieces and pawns that the other side could take with profit, were it to move.

    >>> board = chess.Board("r1bqkbnr/pppp1ppp/2n5/4N3/4P3/8/PPPP1PPP/RNBQKB1R b KQkq - 0 3")
    >>> [(chess.square_name(h.square), h.loss) for h in hanging(board, chess.WHITE)]
    [('e5', 3)]
    """
    found = (
        hanging_piece(board, square)
        for square in chess.scan_forward(board.occupied_co[colour] & ~board.kings)
    )
    return tuple(one for one in found if one is not None)


@dataclass(frozen=True, slots=True)
class Overload:
    """A piece that is the needed defender of several things at once (`wards`)."""

    square: chess.Square
    wards: Squares


def needed_for(board: chess.Board, defender: chess.Square) -> Squares:
    """The pieces that would hang if this defender were not there, and do not hang as it is."""
    colour = board.color_at(defender)
    if colour is None:
        return ()
    without = chess.BB_SQUARES[defender]
    wards = board.attacks_mask(defender) & board.occupied_co[colour] & ~board.kings
    return tuple(
        ward
        for ward in chess.scan_forward(wards)
        if board.attackers_mask(not colour, ward)
        and exchange(board, ward, not colour) == 0
        and exchange(board, ward, not colour, without) > 0
    )


def overloaded(board: chess.Board, colour: chess.Color) -> tuple[Overload, ...]:
    """A side's pieces that must each defend two or more attacked pieces.

    A piece is overloaded where two or more of its own side's attacked pieces stand only as long as
    it defends them (`needed_for`). Guarding a square, such as one where mate threatens, is not
    counted. Source: Companion, "overloading"; the measure by static exchange is the project's own.
    """
    found = (
        Overload(square, needed_for(board, square))
        for square in chess.scan_forward(board.occupied_co[colour])
    )
    return tuple(one for one in found if len(one.wards) > 1)


def _taken_value(board: chess.Board, move: chess.Move) -> int:
    if _is_en_passant(board, move):
        return 1
    taken = board.piece_type_at(move.to_square)
    return 0 if taken is None else VALUES[taken]


def _is_en_passant(board: chess.Board, move: chess.Move) -> bool:
    return (
        board.piece_type_at(move.from_square) == chess.PAWN
        and chess.square_file(move.from_square) != chess.square_file(move.to_square)
        and board.piece_type_at(move.to_square) is None
    )


def _taken_square(move: chess.Move) -> chess.Square:
    """Where the pawn taken en passant by this move stands."""
    return chess.square(chess.square_file(move.to_square), chess.square_rank(move.from_square))


def _en_passant_on(board: chess.Board, square: chess.Square) -> tuple[chess.Move, ...]:
    """The legal en passant captures of the pawn on a square."""
    if board.ep_square is None or board.piece_type_at(square) != chess.PAWN:
        return ()
    return tuple(move for move in board.generate_legal_ep() if _taken_square(move) == square)
