"""Which move a told move means on a board: one played, one possible, or one only supposed."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

import chess


@dataclass(frozen=True, slots=True)
class Played:
    """A move spoken of, with the board before it."""

    before: chess.Board
    move: chess.Move

    @property
    def after(self) -> chess.Board:
        """The board after the move."""
        board = self.before.copy()
        board.push(self.move)
        return board

    @property
    def colour(self) -> chess.Color:
        """The side that makes the move."""
        return self.before.turn

    @property
    def san(self) -> str:
        """The move in short notation."""
        return self.before.san(self.move)


def find_move(
    board: chess.Board,
    san: str,
    number: int | None = None,
    black: bool | None = None,
    past: Sequence[Played] | None = None,
) -> Played | None:
    """The move a name means on a board, or None.

    A numbered move is looked for at its number among the moves played, or as another move there;
    then the last move, a legal move, a move played before (latest first), a move of the side that
    is not to move. `past` are the moves that led here, if they are known already.
    """
    past = past_moves(board) if past is None else past
    others = black is not None and number is None and board.turn == black
    if san.startswith("?!"):  # supposed, so it is none that was played
        if others and (played := _as_other_side(board, san)):
            return played
        return Played(board, move) if (move := _legal(board, san)) else _as_other_side(board, san)
    if number is not None:
        here = 2 * (board.fullmove_number - 1) + (not board.turn)
        index = len(past) - (here - 2 * (number - 1) - bool(black))
        if 0 <= index < len(past):
            if _same_move(past[index], san):
                return past[index]
            if move := _legal(past[index].before, san):
                return Played(past[index].before, move)
    if past and _same_move(past[-1], san):
        return past[-1]
    if others and (played := _as_other_side(board, san)):
        return played
    if move := _legal(board, san):
        return Played(board, move)
    for earlier in reversed(past):
        if (black is None or earlier.colour == (not black)) and _same_move(earlier, san):
            return earlier
    return _as_other_side(board, san)


SUPPOSED_PLIES = 4
"""So many moves behind "if he takes" the words still go on from it."""


def was_supposed(past: Sequence[Played], san: str) -> bool:
    """Whether a supposed move is one of the last played: "if he takes", and a line shows it."""
    return san.startswith("?!") and any(_same_move(one, san) for one in past[-SUPPOSED_PLIES:])


def of_side(played: Played, board: chess.Board, colour: chess.Color) -> Played | None:
    """A move as the same words mean it for one side on a board, or None where it has none such."""
    if played.colour == colour:
        return played
    return _as_other_side(board, played.san) if board.turn != colour else None


def _as_other_side(board: chess.Board, san: str) -> Played | None:
    """The move as one of the side that is not to move."""
    if board.is_check():
        return None
    other = board.copy(stack=False)
    other.push(chess.Move.null())
    move = _legal(other, san)
    return Played(other, move) if move else None


def past_moves(board: chess.Board) -> list[Played]:
    """The moves of a board's stack, each with the board before it. Cost: linear in the moves."""
    before = board.root()
    found = []
    for move in board.move_stack:
        found.append(Played(before.copy(), move))
        before.push(move)
    return found


def _same_move(played: Played, san: str) -> bool:
    if san.startswith("?"):
        return played.move in _as_told(played.before, san)
    castles = san.startswith("O")
    if not castles and chess.square_name(played.move.to_square) not in san:
        return False
    return _legal(played.before, san) == played.move


def _as_told(board: chess.Board, told: str) -> list[chess.Move]:
    """The legal moves that fit a move told in words (`linewright.english.told_moves`)."""
    man, file, start, takes, prey, to = told.lstrip("?!").split(":")
    kinds = {symbol.upper(): kind for kind, symbol in enumerate(chess.PIECE_SYMBOLS) if symbol}
    last = board.move_stack[-1].to_square if board.move_stack else None
    found = [
        move
        for move in board.legal_moves
        if (not man or board.piece_type_at(move.from_square) == kinds[man])
        and (not file or chess.square_file(move.from_square) == "abcdefgh".index(file))
        and (not start or chess.square_name(move.from_square) == start)
        and (not to or chess.square_name(move.to_square) == to)
        and (not takes or board.is_capture(move))
        and (not prey or board.piece_type_at(move.to_square) == kinds[prey])
    ]
    if takes and not to and not prey:  # "taking back with the h-pawn"
        found = [m for m in found if m.to_square == last] or found
    return [m for m in found if m.promotion in {None, chess.QUEEN}]


def _legal(board: chess.Board, san: str) -> chess.Move | None:
    if san.startswith("?"):
        fitting = _as_told(board, san)
        if not san.lstrip("?!").startswith(":"):
            return fitting[0] if len(fitting) == 1 else None
        goals = {move.to_square for move in fitting}  # "takes on c3": the least man that can
        fitting.sort(key=lambda move: board.piece_type_at(move.from_square) or 0)
        return fitting[0] if len(goals) == 1 else None
    for written in (san, san.replace("x", ""), re.sub(r"^([KQRBN])x?([a-h][1-8])$", r"\1x\2", san)):
        try:
            return board.parse_san(written)
        except ValueError:
            continue
    return None
