"""Pins, skewers, forks and discoveries: what pieces do to one another along lines and at once."""

from __future__ import annotations

from dataclasses import dataclass

import chess

from linewright.position import Squares
from linewright.position.attack import (
    capture_result,
    exchange,
    spread,
)
from linewright.position.material import VALUES

_KING_WORTH = 100
"""More than all else together: the king may not be left to be taken."""


@dataclass(frozen=True, slots=True)
class Pin:
    """The piece on `pinned` shields `behind` from the line piece on `by`.

    `absolute` where the king is behind: leaving the line is against the rules (FIDE 3.9.2).
    """

    pinned: chess.Square
    by: chess.Square
    behind: chess.Square
    absolute: bool


def absolute_pins(board: chess.Board, colour: chess.Color) -> tuple[Pin, ...]:
    """A side's pieces and pawns whose removal would expose their own king to a line piece.

    Source: Companion, "pin"; FIDE 3.9.2 makes it binding.

    >>> board = chess.Board("r1bqkbnr/ppp2ppp/2np4/1B2p3/4P3/5N2/PPPP1PPP/RNBQK2R w KQkq - 0 4")
    >>> [chess.square_name(pin.pinned) for pin in absolute_pins(board, chess.BLACK)]
    ['c6']
    """
    king = board.king(colour)
    if king is None:
        return ()
    found = []
    for sniper in _line_pieces(board, not colour):
        single = _single_between(board, sniper, king)
        if single is not None and board.color_at(single) == colour:
            found.append(Pin(single, sniper, king, absolute=True))
    return tuple(sorted(found, key=lambda pin: pin.pinned))


def relative_pins(board: chess.Board, colour: chess.Color) -> tuple[Pin, ...]:
    """A side's pieces pinned to something other than the king.

    A line piece attacks the pinned piece; the next piece on that line is of the same side, worth
    at least as much as the pinned one, and would be lost, wholly or for too little, if the pinned
    piece were gone. So a knight with a defended bishop behind it is not pinned, nor is a piece that
    can take the line piece with profit.
    Source: Companion, "pin" (half-pin left out); the measure by static exchange is the
    project's own.

    >>> board = chess.Board("rnbqkb1r/ppp2ppp/4pn2/3p2B1/2PP4/2N5/PP2PPPP/R2QKBNR b KQkq - 1 4")
    >>> [(chess.square_name(p.pinned), chess.square_name(p.behind))
    ...  for p in relative_pins(board, chess.BLACK)]
    [('f6', 'd8')]
    """
    found = []
    for by in _line_pieces(board, not colour):
        for front, behind in _shields(board, by, colour):
            if board.piece_type_at(behind) in {chess.KING, chess.PAWN} or _worth(
                board, front
            ) > _worth(board, behind):
                continue
            if _takes_back(board, front, by):
                continue
            take = chess.Move(by, behind)
            if capture_result(board, take, chess.BB_SQUARES[front]) > 0:
                found.append(Pin(front, by, behind, absolute=False))
    return tuple(sorted(found, key=lambda pin: (pin.pinned, pin.by)))


def pins(board: chess.Board, colour: chess.Color) -> tuple[Pin, ...]:
    """A side's pinned pieces: absolute pins first, then relative ones."""
    return absolute_pins(board, colour) + relative_pins(board, colour)


def pins_of(board: chess.Board, square: chess.Square) -> tuple[Pin, ...]:
    """The pins that hold the piece on a square; empty where it is free or no piece is there."""
    colour = board.color_at(square)
    if colour is None:
        return ()
    return tuple(pin for pin in pins(board, colour) if pin.pinned == square)


def can_leave_pin(board: chess.Board, pin: Pin) -> bool:
    """True where the pinned piece has a move along the line of the pin (taking the pinner counts).

    Whether the move is legal otherwise (the king in check by another piece) is not asked.
    """
    along = chess.ray(pin.by, pin.behind) & ~chess.BB_SQUARES[pin.pinned]
    if board.piece_type_at(pin.pinned) != chess.PAWN:
        reach = board.attacks_mask(pin.pinned) & ~board.occupied_co[_colour(board, pin.pinned)]
        return bool(reach & along)
    copy = board.copy(stack=False)
    copy.turn = _colour(board, pin.pinned)
    from_mask = chess.BB_SQUARES[pin.pinned]
    return any(copy.generate_pseudo_legal_moves(from_mask, along))


@dataclass(frozen=True, slots=True)
class Skewer:
    """The line piece on `by` attacks `front`; when that moves away, `behind` can be taken."""

    front: chess.Square
    by: chess.Square
    behind: chess.Square


def skewers(board: chess.Board, colour: chess.Color) -> tuple[Skewer, ...]:
    """A side's pieces that are skewered by the other side.

    The piece in front is the king, or is worth more than the one behind and must move because
    taking it wins material; the one behind could then be taken with profit. The one in front cannot
    take the line piece with profit. Two pieces of one kind on a line, the rear one unprotected,
    count too. Source: Companion, "skewer"; the measure
    by static exchange is the project's own.
    """
    found = []
    for by in _line_pieces(board, not colour):
        for front, behind in _shields(board, by, colour):
            if board.piece_type_at(behind) == chess.KING:
                continue
            if _worth(board, front) < _worth(board, behind) or not _takes(board, by, front):
                continue
            if _takes_back(board, front, by):
                continue
            if capture_result(board, chess.Move(by, behind), chess.BB_SQUARES[front]) > 0:
                found.append(Skewer(front, by, behind))
    return tuple(sorted(found, key=lambda skewer: (skewer.front, skewer.by)))


@dataclass(frozen=True, slots=True)
class Fork:
    """The piece on `by` attacks two or more enemy pieces at once, and each attack bites.

    `safe` where the forking piece itself cannot be taken with profit.
    """

    by: chess.Square
    targets: Squares
    safe: bool


def fork_by(board: chess.Board, square: chess.Square) -> Fork | None:
    """The fork that the piece on a square makes, or None.

    Targets are the enemy king and the enemy pieces and pawns that this piece could take with
    profit, counting the whole exchange; two of them make a fork, whoever is to move. A king can
    fork too. Source: Companion, "fork"; the measure by static exchange is the project's own.

    >>> board = chess.Board("r1bqkb1r/ppp2Npp/2n5/3np3/2B5/8/PPPP1PPP/RNBQK2R b KQkq - 0 6")
    >>> fork = fork_by(board, chess.F7)
    >>> [chess.square_name(s) for s in fork.targets]
    ['d8', 'h8']
    """
    colour = board.color_at(square)
    if colour is None:
        return None
    reach = board.attacks_mask(square) & board.occupied_co[not colour]
    if reach.bit_count() < 2:
        return None
    targets = tuple(t for t in chess.scan_forward(reach) if _takes(board, square, t))
    if len(targets) < 2:
        return None
    return Fork(square, targets, exchange(board, square, not colour) == 0)


def forks(board: chess.Board, colour: chess.Color) -> tuple[Fork, ...]:
    """The forks that a side's pieces make as the board stands."""
    found = (fork_by(board, square) for square in chess.scan_forward(board.occupied_co[colour]))
    return tuple(fork for fork in found if fork is not None)


def attacks_two(board: chess.Board, square: chess.Square) -> Squares:
    """The enemy pieces (not pawns) and king that the piece on a square attacks, if two or more.

    The plain meaning of "it attacks two pieces at once", without asking whether it bites.
    """
    colour = board.color_at(square)
    if colour is None:
        return ()
    targets = spread(board.attacks_mask(square) & board.occupied_co[not colour] & ~board.pawns)
    return targets if len(targets) > 1 else ()


@dataclass(frozen=True, slots=True)
class Discovery:
    """A move off a line opens the attack of the line piece on `by` against `target`.

    `check` where the target is the king.
    """

    by: chess.Square
    target: chess.Square
    check: bool


def discoveries(board: chess.Board, move: chess.Move) -> tuple[Discovery, ...]:
    """The attacks on enemy pieces that a move discovers: made by a piece that did not move.

    Only targets that are the king or can be taken with profit after the move count. Castling
    discovers nothing (the rook moves too). Source: Companion, "discovered attack".

    >>> board = chess.Board("rnbqkb1r/pppp1ppp/5n2/4N3/8/8/PPPPQPPP/RNB1KB1R w KQkq - 2 5")
    >>> [d.check for d in discoveries(board, chess.Move.from_uci("e5c6"))]
    [True]
    """
    colour = board.color_at(move.from_square)
    if colour is None or board.is_castling(move):
        return ()
    after = after_move(board, move)
    return tuple(
        Discovery(by, target, after.piece_type_at(target) == chess.KING)
        for by in _line_pieces(after, colour)
        if by != move.to_square
        for target in chess.scan_forward(
            after.attacks_mask(by)
            & ~board.attacks_mask(by)
            & chess.ray(by, move.from_square)
            & after.occupied_co[not colour]
        )
        if _takes(after, by, target)
    )


def discovered_check(board: chess.Board, move: chess.Move) -> bool:
    """True where a move gives check with a piece that did not move itself."""
    if board.is_castling(move):
        return False
    after = after_move(board, move)
    return any(square != move.to_square for square in spread(after.checkers_mask()))


def double_check(board: chess.Board) -> bool:
    """True where two pieces give check at once.

    >>> double_check(chess.Board("rnbk1b1r/pp3ppp/2p5/4q1B1/4n3/8/PPP2PPP/2KR1BNR b - - 1 10"))
    True
    """
    return board.checkers_mask().bit_count() > 1


@dataclass(frozen=True, slots=True)
class Masked:
    """A line piece on `by` aims at `target` through its own side's piece on `screen`.

    When the screen moves off the line the attack is discovered.
    """

    by: chess.Square
    screen: chess.Square
    target: chess.Square


def masked_attacks(board: chess.Board, colour: chess.Color) -> tuple[Masked, ...]:
    """The discoveries a side holds ready: king or more valuable or loose pieces behind a screen."""
    found = []
    for by in _line_pieces(board, colour):
        for screen, target in _lined_up(board, by):
            if board.color_at(screen) != colour or board.color_at(target) == colour:
                continue
            if board.piece_type_at(target) == chess.KING or (
                capture_result(board, chess.Move(by, target), chess.BB_SQUARES[screen]) > 0
            ):
                found.append(Masked(by, screen, target))
    return tuple(found)


@dataclass(frozen=True, slots=True)
class XRay:
    """A line piece on `by` bears on `target` through the piece on `through`, of either side."""

    by: chess.Square
    through: chess.Square
    target: chess.Square


def x_rays(board: chess.Board, square: chess.Square) -> tuple[XRay, ...]:
    """What the line piece on a square bears on through exactly one other piece.

    Source: Companion, "X-ray".
    """
    if board.piece_type_at(square) not in (chess.BISHOP, chess.ROOK, chess.QUEEN):
        return ()
    return tuple(XRay(square, near, far) for near, far in _lined_up(board, square))


def new_attacks(board: chess.Board, move: chess.Move) -> Squares:
    """The enemy pieces and king that can be taken with profit after a move and could not before.

    Two of them make a double attack, by whichever pieces. The check on a king counts as one.
    """
    colour = board.color_at(move.from_square)
    if colour is None:
        return ()
    after = after_move(board, move)
    return tuple(
        square
        for square in chess.scan_forward(after.occupied_co[not colour])
        if _loses(after, square, colour) and not _loses(board, square, colour)
    )


def double_attack(board: chess.Board, move: chess.Move) -> Squares:
    """The targets of the double attack that a move makes; empty where it makes none."""
    targets = new_attacks(board, move)
    return targets if len(targets) > 1 else ()


def after_move(board: chess.Board, move: chess.Move) -> chess.Board:
    """A new board after the move (null moves too); the given one stays as it is."""
    after = board.copy(stack=False)
    after.push(move)
    return after


def _line_pieces(board: chess.Board, colour: chess.Color) -> Squares:
    return spread((board.bishops | board.rooks | board.queens) & board.occupied_co[colour])


def _single_between(
    board: chess.Board, sniper: chess.Square, king: chess.Square
) -> chess.Square | None:
    """The only piece between a line piece and a square it would reach on an empty board."""
    if not _aims(board, sniper, king):
        return None
    between = chess.between(sniper, king) & board.occupied
    return chess.msb(between) if between.bit_count() == 1 else None


def _aims(board: chess.Board, by: chess.Square, target: chess.Square) -> bool:
    kind = board.piece_type_at(by)
    straight = kind in (chess.ROOK, chess.QUEEN)
    slanted = kind in (chess.BISHOP, chess.QUEEN)
    mask = chess.BB_SQUARES[target]
    lines = (chess.BB_RANK_ATTACKS[by][0] | chess.BB_FILE_ATTACKS[by][0]) if straight else 0
    lines |= chess.BB_DIAG_ATTACKS[by][0] if slanted else 0
    return bool(lines & mask)


def _lined_up(board: chess.Board, by: chess.Square) -> list[tuple[chess.Square, chess.Square]]:
    """The pairs (near, far) of pieces that a line piece meets one after the other on a line."""
    pairs = []
    for near in chess.scan_forward(board.attacks_mask(by) & board.occupied):
        beyond = chess.ray(by, near) & ~chess.BB_SQUARES[near] & board.occupied
        reach = _through(board, by, near) & beyond
        for far in chess.scan_forward(reach):
            if chess.between(by, far) & chess.BB_SQUARES[near]:
                pairs.append((near, far))
    return pairs


def _through(board: chess.Board, by: chess.Square, near: chess.Square) -> chess.Bitboard:
    """What a line piece would attack if the piece on `near` were gone."""
    occupied = board.occupied & ~chess.BB_SQUARES[near]
    ray = chess.ray(by, near)
    if ray & chess.BB_DIAG_ATTACKS[by][0]:
        return chess.BB_DIAG_ATTACKS[by][chess.BB_DIAG_MASKS[by] & occupied] & ray
    if chess.square_rank(by) == chess.square_rank(near):
        return chess.BB_RANK_ATTACKS[by][chess.BB_RANK_MASKS[by] & occupied]
    return chess.BB_FILE_ATTACKS[by][chess.BB_FILE_MASKS[by] & occupied]


def _shields(
    board: chess.Board, by: chess.Square, colour: chess.Color
) -> list[tuple[chess.Square, chess.Square]]:
    """The pairs of pieces of one side that an enemy line piece meets one after the other."""
    own = board.occupied_co[colour]
    return [
        (near, far)
        for near, far in _lined_up(board, by)
        if own & chess.BB_SQUARES[near] and own & chess.BB_SQUARES[far]
    ]


def _worth(board: chess.Board, square: chess.Square) -> int:
    kind = board.piece_type_at(square)
    if kind == chess.KING:
        return _KING_WORTH
    return 0 if kind is None else VALUES[kind]


def _takes(board: chess.Board, by: chess.Square, target: chess.Square) -> bool:
    """True where the target is the king or taking it with this piece wins material.

    A pinned piece that may not take bites nothing but the king it checks.
    """
    if board.piece_type_at(target) == chess.KING:
        return True
    colour = _colour(board, by)
    if _is_held(board, by, target, colour):
        return False
    return capture_result(board, chess.Move(by, target)) > 0


def _takes_back(board: chess.Board, front: chess.Square, by: chess.Square) -> bool:
    """True where the piece in front can take the line piece that attacks it, with profit."""
    reach = board.attacks_mask(front) & chess.BB_SQUARES[by]
    return bool(reach) and _takes(board, front, by)


def _is_held(
    board: chess.Board, by: chess.Square, target: chess.Square, colour: chess.Color
) -> bool:
    """True where taking would leave or put the own king in an attack."""
    king = board.king(colour)
    if king is None:
        return False
    if king == by:
        left = board.occupied & ~chess.BB_SQUARES[by]
        return bool(board.attackers_mask(not colour, target, left) & ~chess.BB_SQUARES[target])
    return not board.pin_mask(colour, by) & chess.BB_SQUARES[target]


def _loses(board: chess.Board, square: chess.Square, taker: chess.Color) -> bool:
    if board.piece_type_at(square) == chess.KING:
        return bool(board.attackers_mask(taker, square))
    return exchange(board, square, taker) > 0


def _colour(board: chess.Board, square: chess.Square) -> chess.Color:
    return bool(board.occupied_co[chess.WHITE] & chess.BB_SQUARES[square])
