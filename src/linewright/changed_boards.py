"""Boards that no game led to: a board with a teacher's changes made, and why a board cannot be."""

from __future__ import annotations

import chess

from linewright.inline import Edits
from linewright.moves import side_name
from linewright.position.fen import read_fen


def apply_edits(board: chess.Board, edits: Edits) -> tuple[chess.Board, str]:
    """The board with the edits made, and what is impossible about it (empty if nothing).

    Castling rights and en passant squares that no longer fit are dropped.
    """
    why = ""
    out = board.copy(stack=False)
    if edits.fen:
        try:
            out = read_fen(edits.fen if " " in edits.fen else f"{edits.fen} w - - 0 1")
        except ValueError as error:
            why = f"'{edits.fen}' is no position: {error}"
    if edits.only:
        for square, piece in out.piece_map().items():
            if piece.symbol().upper() not in edits.only:
                out.remove_piece_at(square)
    for square_name in edits.remove:
        if out.remove_piece_at(chess.parse_square(square_name)) is None and not why:
            why = f"there is nothing on {square_name} to remove"
    for letter, square_name in edits.place:
        out.set_piece_at(chess.parse_square(square_name), chess.Piece.from_symbol(letter))
    if edits.turn:
        out.turn = edits.turn == "white"
    out.castling_rights = out.clean_castling_rights()
    out.ep_square = out.ep_square if out.has_legal_en_passant() else None
    return out, why or why_impossible(out)


def game_over(board: chess.Board) -> str:
    """How the game has ended on a board; empty if it goes on.

    Source: FIDE Laws of Chess, articles 5.1.1 (checkmate) and 5.2.1 (stalemate).
    """
    if any(board.generate_legal_moves()):
        return ""
    return "mate" if board.is_check() else "stalemate"


def why_impossible(board: chess.Board) -> str:
    """What makes a board no possible board, lower case; empty if nothing.

    Source: FIDE Laws of Chess, articles 2.2 (pieces), 3.9 and 5.1 (the king is never taken).
    """
    status = board.status()
    for side in (chess.WHITE, chess.BLACK):
        kings = len(board.pieces(chess.KING, side))
        if kings != 1:
            return f"{side_name(side)} has {kings or 'no'} king{'s' * (kings > 1)}"
        if len(board.pieces(chess.PAWN, side)) > 8:
            return f"{side_name(side)} has more than eight pawns"
    if status & chess.STATUS_PAWNS_ON_BACKRANK:
        return "a pawn stands on the first or last rank"
    if status & chess.STATUS_OPPOSITE_CHECK:
        other = side_name(not board.turn)
        return f"{other} is in check although it is {side_name(board.turn)}'s move"
    if status & (chess.STATUS_TOO_MANY_WHITE_PIECES | chess.STATUS_TOO_MANY_BLACK_PIECES):
        return "a side has more than sixteen pieces"
    return ""


def why_no_start(written: str) -> str:
    """Why a FEN is no position that a game could have; empty if it is one."""
    try:
        return why_impossible(read_fen(written))
    except ValueError as error:
        return str(error)
