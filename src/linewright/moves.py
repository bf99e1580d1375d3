"""Which move a written move is on a board, and why not."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import chess

from linewright.expressions import expression
from linewright.notation import WrittenMove

PIECE_NAMES = {
    "K": "king", "Q": "queen", "R": "rook", "B": "bishop", "N": "knight", "P": "pawn",
}  # fmt: skip
MAN = "|".join(PIECE_NAMES.values())
"""The six men, for an expression."""
PIECE_LETTERS = {name: letter for letter, name in PIECE_NAMES.items()}
_TYPES = {name: kind for kind, name in enumerate("PNBRQK", start=1)}
PIECE_TYPES = {name: _TYPES[letter] for letter, name in PIECE_NAMES.items()}


class WhyNot(StrEnum):
    """Why a written move is no move on a board."""

    ILLEGAL = "illegal"
    AMBIGUOUS = "ambiguous"


@dataclass(frozen=True, slots=True)
class Unresolved:
    """A written move that is not exactly one legal move.

    `reason` is the board fact, lower case without a full stop; `moves` are the legal moves it
    could be (ambiguous) or none (illegal).
    """

    why: WhyNot
    reason: str
    moves: tuple[chess.Move, ...] = ()


def side_name(white: bool) -> str:
    """White or Black."""
    return "White" if white else "Black"


def legal_san(board: chess.Board, san: str) -> chess.Move | None:
    """The move that notation means on a board; None where it is none there.

    >>> legal_san(chess.Board(), "e4"), legal_san(chess.Board(), "e5")
    (Move.from_uci('e2e4'), None)
    """
    try:
        return board.parse_san(san)
    except ValueError:
        return None


def candidates(written: WrittenMove, board: chess.Board) -> list[chess.Move]:
    """The legal moves that fit a written move, its check and capture marks not asked."""
    if written.castling:
        return [
            move
            for move in board.generate_castling_moves()
            if board.is_kingside_castling(move) == (written.castling == "K")
        ]
    to = chess.parse_square(written.to)
    from_mask = board.pieces_mask(_TYPES[written.piece], board.turn)
    if written.from_file:
        from_mask &= chess.BB_FILES["abcdefgh".index(written.from_file)]
    elif written.piece == "P":
        from_mask &= chess.BB_FILES[chess.square_file(to)]
    if written.from_rank:
        from_mask &= chess.BB_RANKS[int(written.from_rank) - 1]
    wanted = _TYPES[written.promotion] if written.promotion else None
    moves = board.generate_legal_moves(from_mask, chess.BB_SQUARES[to])
    return [
        move
        for move in moves
        if (not wanted or move.promotion == wanted)
        and not (written.piece == "K" and board.is_castling(move))
    ]


def resolve(written: WrittenMove, board: chess.Board) -> chess.Move | Unresolved:
    """The one legal move that is meant, or why there is none.

    >>> from linewright.notation import read_move
    >>> resolve(read_move("Nf3"), chess.Board()).uci()
    'g1f3'
    >>> resolve(read_move("Nf4"), chess.Board()).reason
    'no white knight reaches f4 (from b1, g1)'
    """
    found = candidates(written, board)
    if len(found) == 1:
        return found[0]
    if not found:
        return Unresolved(WhyNot.ILLEGAL, why_illegal(written, board))
    if found[0].promotion and len({move.from_square for move in found}) == 1:
        reason = f"a pawn that reaches {written.to} becomes a queen, rook, bishop or knight"
    else:
        name = PIECE_NAMES[written.piece]
        squares = " and ".join(sorted(chess.square_name(move.from_square) for move in found))
        reason = f"the {name}s on {squares} can both go to {written.to}"
        if len(found) > 2:
            reason = reason.replace("can both", "can all")
    return Unresolved(WhyNot.AMBIGUOUS, reason, tuple(found))


def may_have_led_to(written: WrittenMove, board: chess.Board) -> bool:
    """Whether a written move may be the one after which a board stands as it does.

    >>> from linewright.notation import read_move
    >>> after = chess.Board("4k3/8/8/8/2B5/8/8/4K3 b - - 0 14")
    >>> may_have_led_to(read_move("Bxc4"), after), may_have_led_to(read_move("Bd3"), after)
    (True, False)
    """
    mover = not board.turn
    if written.castling:
        rank, files = 0 if mover else 7, (6, 5) if written.castling == "K" else (2, 3)
        king, rook = (chess.square(file, rank) for file in files)
        stand = chess.Piece(chess.KING, mover), chess.Piece(chess.ROOK, mover)
        return (board.piece_at(king), board.piece_at(rook)) == stand
    kind = _TYPES[written.promotion or written.piece]
    if board.piece_at(chess.parse_square(written.to)) != chess.Piece(kind, mover):
        return False
    left = written.from_file + written.from_rank
    if len(left) == 2 and board.piece_at(chess.parse_square(left)):
        return False
    return board.is_check() or not (written.claims_check or written.claims_mate)


def second_leg(written: WrittenMove, board: chess.Board) -> tuple[chess.Board, chess.Move] | None:
    """The second leg of a route of two moves ("Na6-c7") and the board it is played on, the other
    side passing between them; None if the side to move has no man for it.

    >>> from linewright.notation import read_move
    >>> second_leg(read_move("Nf3-e5"), chess.Board())[1].uci()
    'f3e5'
    """
    start = written.from_file + written.from_rank
    if len(start) < 2 or written.claims_capture:
        return None
    stop = chess.parse_square(start)
    for first in board.generate_legal_moves(board.pieces_mask(_TYPES[written.piece], board.turn)):
        after = board.copy(stack=False)
        after.push(first)
        if first.to_square != stop or after.is_check():
            continue
        after.push(chess.Move.null())
        if isinstance(second := resolve(written, after), chess.Move):
            return after, second
    return None


def false_claim(written: WrittenMove, board: chess.Board, move: chess.Move) -> str:
    """What a written move claims although it is not so, or an empty string."""
    after = board.copy(stack=False)
    after.push(move)
    if written.claims_capture and not board.is_capture(move):
        return f"takes nothing: {chess.square_name(move.to_square)} is empty"
    if written.claims_mate and not after.is_checkmate():
        return "is check but not mate" if after.is_check() else "is not mate, not even check"
    if written.claims_check and not after.is_check():
        return "gives no check"
    return ""


def why_illegal(written: WrittenMove, board: chess.Board) -> str:
    """The board fact that forbids a written move, lower case without a full stop."""
    if written.castling:
        return _why_no_castling(written.castling == "K", board)
    side = side_name(board.turn)
    name = PIECE_NAMES[written.piece]
    kind = _TYPES[written.piece]
    own = board.pieces(kind, board.turn)
    if not own:
        return f"{side} has no {name}"
    to = chess.parse_square(written.to)
    standing = board.piece_at(to)
    if standing and standing.color == board.turn:
        own_name = chess.piece_name(standing.piece_type)
        return f"{side}'s own {own_name} stands on {written.to}"
    pseudo = [
        move
        for move in board.generate_pseudo_legal_moves(int(own), chess.BB_SQUARES[to])
        if not board.is_castling(move)
    ]
    if written.piece == "P" and not (written.claims_capture or written.from_file):
        pseudo = [move for move in pseudo if not board.is_capture(move)]
    meant = [move for move in pseudo if _from_where_written(written, move)]
    if meant:
        return _why_not_legal(meant[0], board, name)
    if written.piece == "P":
        return _why_no_pawn_move(written, board)
    squares = ", ".join(chess.square_name(square) for square in own)
    origin = f" on the {written.from_file}-file" if written.from_file and pseudo else ""
    return f"no {side.lower()} {name}{origin} reaches {written.to} (from {squares})"


def _from_where_written(written: WrittenMove, move: chess.Move) -> bool:
    name = chess.square_name(move.from_square)
    return name[0] == (written.from_file or name[0]) and name[1] == (written.from_rank or name[1])


def _why_not_legal(move: chess.Move, board: chess.Board, name: str) -> str:
    origin = chess.square_name(move.from_square)
    to = chess.square_name(move.to_square)
    if name == "king":
        return f"{to} is attacked"
    if board.is_pinned(board.turn, move.from_square):
        return f"the {name} on {origin} is pinned to the king"
    if board.is_check():
        return f"{side_name(board.turn)} is in check and {origin}-{to} does not answer it"
    return f"{origin}-{to} would leave the king in check"


def _why_no_pawn_move(written: WrittenMove, board: chess.Board) -> str:
    side = side_name(board.turn).lower()
    if written.claims_capture:
        origin = f"the {written.from_file}-file" if written.from_file else "a neighbouring file"
        to = chess.parse_square(written.to)
        if not board.piece_at(to) and to != board.ep_square:
            return f"there is nothing on {written.to} to take"
        return f"no {side} pawn on {origin} can take on {written.to}"
    standing = board.piece_at(chess.parse_square(written.to))
    if standing:
        return f"the {chess.piece_name(standing.piece_type)} on {written.to} is in the way"
    return f"no {side} pawn can go to {written.to}"


def _why_no_castling(kingside: bool, board: chess.Board) -> str:
    """Source: FIDE Laws of Chess, article 3.8.2."""
    side = side_name(board.turn)
    wing = "kingside" if kingside else "queenside"
    king = board.king(board.turn)
    home = chess.E1 if board.turn else chess.E8
    if king != home:
        return f"{side}'s king is not on {chess.square_name(home)}"
    rights = board.has_kingside_castling_rights if kingside else board.has_queenside_castling_rights
    if not rights(board.turn):
        return f"{side} has lost the right to castle {wing}"
    if board.is_check():
        return f"{side} is in check"
    rook = home + 3 if kingside else home - 4
    between = chess.SquareSet(chess.between(home, rook)) & chess.SquareSet(board.occupied)
    if between:
        square = next(iter(between))
        piece = board.piece_at(square)
        name = chess.piece_name(piece.piece_type) if piece else "piece"
        return f"the {name} on {chess.square_name(square)} stands between king and rook"
    return f"the king would pass over or land on an attacked square on the {wing}"


def likeliness_order(written: WrittenMove, board: chess.Board) -> list[tuple[float, chess.Move]]:
    """All legal moves by how near they are to a written one, each with its distance: 0 is the
    same, a unit about one slip."""
    ranked = sorted((_unlikeness(written, m, board), m.uci(), m) for m in board.legal_moves)
    return [(unlikeness, move) for unlikeness, _, move in ranked]


def likeliest(written: WrittenMove, board: chess.Board, most: int = 3) -> list[chess.Move]:
    """The legal moves that may have been meant, judged by the board alone, likeliest first.

    None where castling was written and no move is nearer to it than any other.
    """
    ranked = likeliness_order(written, board)
    if written.castling and ranked and ranked[0][0] >= _NO_CASTLING:
        return []
    return [move for unlikeness, move in ranked if unlikeness <= ranked[0][0] + 3.0][:most]


_NO_CASTLING = 4.0
"""How far a move is from castling that neither castles nor clears the way for it."""
_BISHOP_OR_PAWN = expression(r"b[a-h][1-8]")
"""A capture by a pawn, or a bishop's move without its capital."""


def _unlikeness(written: WrittenMove, move: chess.Move, board: chess.Board) -> float:
    """How far a legal move is from a written one; 0 is the same, a unit about one slip."""
    kind = board.piece_type_at(move.from_square)
    if written.castling:
        if board.is_castling(move):
            return 1.0
        return 2.5 if _clears_the_way(written, move, board) else _NO_CASTLING
    if board.is_castling(move):
        return 3.0
    to = chess.parse_square(written.to)
    if kind == chess.BISHOP and to == move.to_square and _BISHOP_OR_PAWN.match(written.text):
        return 0.3
    unlike = 0.0 if kind == _TYPES[written.piece] else 1.5
    files = abs(chess.square_file(to) - chess.square_file(move.to_square))
    ranks = abs(chess.square_rank(to) - chess.square_rank(move.to_square))
    if files and ranks:
        unlike += 1.0 + 0.6 * (files + ranks)
    elif files or ranks:
        unlike += 0.8 + 0.25 * (files + ranks)
    if written.from_file and "abcdefgh"[chess.square_file(move.from_square)] != written.from_file:
        unlike += 0.8
    if written.from_rank and str(chess.square_rank(move.from_square) + 1) != written.from_rank:
        unlike += 0.5
    if board.is_capture(move) != written.claims_capture:
        unlike += 0.4
    if written.claims_check and not board.gives_check(move):
        unlike += 0.4
    if move.promotion and move.promotion != (_TYPES.get(written.promotion) or chess.QUEEN):
        unlike += 0.5
    return unlike


def _clears_the_way(written: WrittenMove, move: chess.Move, board: chess.Board) -> bool:
    """Whether a move takes away what stands between the king and the rook that would castle."""
    king = board.king(board.turn)
    if king is None or king != (chess.E1 if board.turn else chess.E8):
        return False
    corner = chess.square(7 if written.castling == "K" else 0, chess.square_rank(king))
    return move.from_square in chess.SquareSet(chess.between(king, corner))


def label(board: chess.Board, san: str) -> str:
    """A move with its number: `6.Nxd5` or `6...Qd7`; the board stands before the move."""
    dots = "." if board.turn else "..."
    return f"{board.fullmove_number}{dots}{san}"


def numbered(board: chess.Board, moves: Sequence[chess.Move]) -> str:
    """A line in SAN with move numbers, from a position: `6...Nxd5 7.Bxd8 Bb4+`.

    Raises `ValueError` if a move is illegal.
    """
    board = board.copy(stack=False)
    words = []
    for k, move in enumerate(moves):
        san = board.san(move)
        words.append(label(board, san) if board.turn or k == 0 else san)
        board.push(move)
    return " ".join(words)
