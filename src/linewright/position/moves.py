"""What a move does: attacks, defends, blocks, opens, gives up, prepares castling, stops, threatens.

The board given is the one before the move. A move is not asked to be legal where only its traces
are wanted; where legality matters the function says so.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import chess

from linewright.position import Squares
from linewright.position.attack import capture_result, exchange, spread
from linewright.position.castling import castling, rights
from linewright.position.files import FileState, file_state
from linewright.position.material import VALUES
from linewright.position.pawns import Wing
from linewright.position.tactics import Discovery, after_move, discoveries


@dataclass(frozen=True, slots=True)
class Effects:
    """The traces of one move, read off the board before and after it.

    `piece` moved, `taken` was captured (None: nothing). `attacks`: the enemy men the moved piece
    attacks now; `newly_attacks`: those of them it did not attack before. `defends`,
    `newly_defends`: the own men likewise; `gives_up`: the own men it defended before and no longer
    does. `discovered`: attacks opened by leaving the line. `blocked`: enemy line pieces whose reach
    the moved piece now cuts; `freed`: own line pieces that reach further than before.
    """

    move: chess.Move
    piece: chess.PieceType
    taken: chess.PieceType | None
    check: bool
    mate: bool
    attacks: Squares
    newly_attacks: Squares
    defends: Squares
    newly_defends: Squares
    gives_up: Squares
    discovered: tuple[Discovery, ...]
    blocked: Squares
    freed: Squares


def effects(board: chess.Board, move: chess.Move) -> Effects:
    """What a legal move of the side to move changes.

    Raises: ValueError where no piece stands on the move's first square.

    >>> board = chess.Board()
    >>> effects(board, chess.Move.from_uci("e2e4")).freed == (chess.D1, chess.F1)
    True
    """
    piece = board.piece_type_at(move.from_square)
    if piece is None:
        raise ValueError(f"no piece on {chess.square_name(move.from_square)}")
    colour = bool(board.occupied_co[chess.WHITE] & chess.BB_SQUARES[move.from_square])
    after = after_move(board, move)
    before_reach = board.attacks_mask(move.from_square)
    reach = after.attacks_mask(move.to_square)
    enemy, own = after.occupied_co[not colour], after.occupied_co[colour]
    was_enemy, was_own = board.occupied_co[not colour], board.occupied_co[colour]
    return Effects(
        move,
        piece,
        captured(board, move),
        after.is_check(),
        after.is_checkmate(),
        spread(reach & enemy),
        spread(reach & enemy & ~before_reach),
        spread(reach & own),
        spread(reach & own & ~(before_reach & was_own)),
        spread(before_reach & was_own & own & ~reach),
        discoveries(board, move),
        tuple(s for s in _lines(after, not colour) if _shorter(board, after, s, was_enemy)),
        tuple(
            s
            for s in _lines(after, colour)
            if s != move.to_square and after.attacks_mask(s) & ~board.attacks_mask(s)
        ),
    )


def captured(board: chess.Board, move: chess.Move) -> chess.PieceType | None:
    """The kind of piece a move takes, or None."""
    if board.is_en_passant(move):
        return chess.PAWN
    return None if board.is_castling(move) else board.piece_type_at(move.to_square)


def recaptures(board: chess.Board) -> bool:
    """True where the last move of the stack took back on the square of the capture before it."""
    if len(board.move_stack) < 2:
        return False
    before = board.copy()
    last = before.pop()
    first = before.peek()
    took_back = before.is_capture(last) and last.to_square == first.to_square
    before.pop()
    return took_back and before.is_capture(first)


def blocks_line(
    board: chess.Board, move: chess.Move
) -> tuple[tuple[chess.Square, chess.Square], ...]:
    """The enemy attacks that a move blocks: pairs (line piece, own man it attacked).

    The moved piece stands between the two after the move and did not before.

    >>> board = chess.Board("4k3/8/8/8/1b6/8/2P5/4K3 w - - 0 1")
    >>> blocks_line(board, chess.Move.from_uci("c2c3")) == ((chess.B4, chess.E1),)
    True
    """
    colour = board.color_at(move.from_square)
    if colour is None:
        return ()
    after = after_move(board, move)
    return tuple(
        (by, target)
        for by in _lines(after, not colour)
        for target in chess.scan_forward(
            board.attacks_mask(by) & ~after.attacks_mask(by) & after.occupied_co[colour]
        )
        if chess.between(by, target) & chess.BB_SQUARES[move.to_square]
    )


def opened_files(board: chess.Board, move: chess.Move) -> tuple[tuple[int, FileState], ...]:
    """The files (0 = a) that a move opens or half-opens, each with what it is afterwards.

    A file that was half-open and becomes open is among them; one that a pawn closes is not.
    """
    after = after_move(board, move)
    return tuple(
        (file, now)
        for file in range(8)
        if (now := file_state(after, file)) != (was := file_state(board, file))
        and (was == FileState.CLOSED or now == FileState.OPEN)
    )


def prepares_castling(board: chess.Board, move: chess.Move) -> tuple[Wing, ...]:
    """The wings on which the move's side has fewer men between king and rook after the move.

    The right to castle must still be there. Whether it could castle at once tells
    `makes_castling_possible`. Source: common practice, no source.
    """
    colour = board.color_at(move.from_square)
    if colour is None:
        return ()
    after = after_move(board, move)
    return tuple(
        wing
        for wing in rights(after, colour)
        if len(castling(after, colour, wing).between) < len(castling(board, colour, wing).between)
    )


def makes_castling_possible(board: chess.Board, move: chess.Move) -> tuple[Wing, ...]:
    """The wings on which the move's side could castle after the move and could not before."""
    colour = board.color_at(move.from_square)
    if colour is None:
        return ()
    after = after_move(board, move)
    return tuple(
        wing
        for wing in rights(after, colour)
        if castling(after, colour, wing).possible and not castling(board, colour, wing).possible
    )


class Stop(StrEnum):
    """What becomes of an enemy move after a move that was meant to stop it."""

    IMPOSSIBLE = "no longer possible"
    LOSES = "the piece would be lost there"
    NOT_STOPPED = "still possible"
    WAS_NOT_POSSIBLE = "was not possible anyway"


def stops(board: chess.Board, move: chess.Move, other: chess.Move) -> Stop:
    """Whether a move stops an enemy move: `other`, by the side that answers.

    It stops the enemy move where that would have been legal had the mover passed, and is now
    illegal, or now loses material by static exchange where it lost less before.

    >>> board = chess.Board("r1bqkb1r/pppp1ppp/2n2n2/4p3/2B1P3/5N2/PPPP1PPP/RNBQK2R b KQkq - 5 4")
    >>> stops(board, chess.Move.from_uci("h7h6"), chess.Move.from_uci("f3g5"))
    <Stop.LOSES: 'the piece would be lost there'>
    """
    passed = to_move(board, not board.turn)
    if not passed.is_legal(other):
        return Stop.WAS_NOT_POSSIBLE
    after = after_move(board, move)
    if not after.is_legal(other):
        return Stop.IMPOSSIBLE
    brings = capture_result(after, other)
    return Stop.LOSES if brings < min(0, capture_result(passed, other)) else Stop.NOT_STOPPED


@dataclass(frozen=True, slots=True)
class Threat:
    """A move that a side threatens to play, and what it would bring.

    `gain` in pawns by static exchange (a promotion counts); `mate` where it is mate at once.
    """

    move: chess.Move
    gain: int
    mate: bool


def threats(board: chess.Board, colour: chess.Color) -> tuple[Threat, ...]:
    """What a side would do if it were to move now: mate in one, or win material at once.

    Mates first, then the most profitable. Empty where its opponent, being to move, is in check
    (nothing can be threatened but the king). Deeper threats are a question for the analyst.
    Source: "threat", common practice, no source. Cost: one move list, and one board for each
    checking move.

    >>> board = chess.Board("r1bqkbnr/pppp1ppp/2n5/4p2Q/2B1P3/8/PPPP1PPP/RNB1K1NR b KQkq - 3 3")
    >>> [(t.move.uci(), t.mate) for t in threats(board, chess.WHITE)][0]
    ('h5f7', True)
    """
    asked = board if board.turn == colour else to_move(board, colour)
    if board.turn != colour and board.is_check():
        return ()
    found = []
    for move in asked.generate_legal_moves():
        mate = asked.gives_check(move) and after_move(asked, move).is_checkmate()
        takes = asked.is_capture(move) or move.promotion is not None
        gain = capture_result(asked, move) if takes else 0
        if mate or gain > 0:
            found.append(Threat(move, gain, mate))
    return tuple(sorted(found, key=lambda t: (not t.mate, -t.gain, t.move.uci())))


def threatens_mate(board: chess.Board, colour: chess.Color) -> tuple[chess.Move, ...]:
    """The moves with which a side would mate at once, were it to move (see `threats`)."""
    return tuple(threat.move for threat in threats(board, colour) if threat.mate)


def tempo_targets(board: chess.Board, move: chess.Move) -> Squares:
    """The enemy men a move attacks anew so that they must be seen to: it gains a tempo on them.

    Men (the king too, in check) that could be taken with profit after the move and could not
    before, the moved piece itself not being lost. Source: Companion, "tempo"; the measure by
    static exchange is the project's own.

    >>> board = chess.Board("rnb1kbnr/ppp1pppp/8/3q4/8/8/PPPP1PPP/RNBQKBNR w KQkq - 0 3")
    >>> tempo_targets(board, chess.Move.from_uci("b1c3")) == (chess.D5,)
    True
    """
    colour = board.color_at(move.from_square)
    if colour is None:
        return ()
    after = after_move(board, move)
    if exchange(after, move.to_square, not colour) > 0:
        return ()
    return tuple(
        square
        for square in chess.scan_forward(after.occupied_co[not colour])
        if _must_move(after, square, colour) and not _must_move(board, square, colour)
    )


def only_legal(board: chess.Board) -> chess.Move | None:
    """The only legal move of the side to move, or None where it has none or several."""
    moves = board.generate_legal_moves()
    first = next(moves, None)
    return first if first is not None and next(moves, None) is None else None


def legal_count(board: chess.Board) -> int:
    """How many legal moves the side to move has.

    >>> legal_count(chess.Board())
    20
    """
    return board.legal_moves.count()


def moves_to(
    board: chess.Board, colour: chess.Color, kind: chess.PieceType, square: chess.Square
) -> tuple[chess.Move, ...]:
    """The legal moves of a side's pieces of a kind to a square, as if it were to move."""
    asked = board if board.turn == colour else to_move(board, colour)
    return tuple(
        asked.generate_legal_moves(asked.pieces_mask(kind, colour), chess.BB_SQUARES[square])
    )


def mobile(board: chess.Board, square: chess.Square) -> tuple[chess.Move, ...]:
    """The legal moves of the piece on a square, as if its side were to move."""
    colour = board.color_at(square)
    if colour is None:
        return ()
    asked = board if board.turn == colour else to_move(board, colour)
    return tuple(asked.generate_legal_moves(chess.BB_SQUARES[square]))


def trapped(board: chess.Board, square: chess.Square) -> bool:
    """True where a piece (not a pawn or king) is attacked with profit and no move of it helps.

    Each of its legal moves loses material by static exchange at least as the attack does now or
    worse than nothing. What other pieces could do for it is not asked. Source: "trapped piece",
    common practice, no source; the measure by static exchange is the project's own.
    """
    kind, colour = board.piece_type_at(square), board.color_at(square)
    if kind in (None, chess.PAWN, chess.KING) or colour is None:
        return False
    if exchange(board, square, not colour) <= 0:
        return False
    asked = board if board.turn == colour else to_move(board, colour)
    return all(capture_result(asked, move) < 0 for move in mobile(board, square))


def _must_move(board: chess.Board, square: chess.Square, by: chess.Color) -> bool:
    if board.piece_type_at(square) == chess.KING:
        return bool(board.attackers_mask(by, square))
    return exchange(board, square, by) > 0


def to_move(board: chess.Board, colour: chess.Color) -> chess.Board:
    """A copy of the board with a side to move; nothing can be taken en passant where the other side
    has passed."""
    copy = board.copy(stack=False)
    if copy.turn != colour:
        copy.turn, copy.ep_square = colour, None
    return copy


def _lines(board: chess.Board, colour: chess.Color) -> Squares:
    return spread((board.bishops | board.rooks | board.queens) & board.occupied_co[colour])


def _shorter(
    before: chess.Board, after: chess.Board, square: chess.Square, was_there: chess.Bitboard
) -> bool:
    """True where a line piece that did not move reaches less than before."""
    if not was_there & chess.BB_SQUARES[square]:
        return False
    return bool(before.attacks_mask(square) & ~after.attacks_mask(square))


def value_at(board: chess.Board, square: chess.Square) -> int:
    """The value of the piece on a square in pawns; 0 for a king or an empty square."""
    kind = board.piece_type_at(square)
    return 0 if kind is None else VALUES[kind]
