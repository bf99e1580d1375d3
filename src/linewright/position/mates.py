"""How soon a side can force mate, by looking at every move."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import lru_cache

import chess


class TooManyBoardsError(Exception):
    """More boards would have to be looked at than were allowed."""


BOARDS = 32_000
"""So many boards an answer may take: about a quarter of a second, and what a mate in three takes
in an ordinary middlegame."""


def fastest_mate(
    board: chess.Board, colour: chess.Color, most: int, boards: int = BOARDS
) -> int | None:
    """In how many of its own moves a side mates whatever the other does, None if not within `most`.

    The side to move may be either. Raises `TooManyBoardsError` after so many boards: every move
    that is made counts, and every one that is only looked at. What was found out is
    remembered, so that all that is asked of one board and side takes no more than that either.

    Cost: grows with the legal moves to the power of twice `most`, up to `boards`; what refuted one
    move is tried first against the next.

    >>> fastest_mate(chess.Board("6k1/5ppp/8/8/8/8/8/R3K3 w - - 0 1"), chess.WHITE, 2)
    1
    >>> fastest_mate(chess.Board("7k/8/5K2/8/8/8/8/6Q1 w - - 0 1"), chess.WHITE, 2)
    1
    >>> fastest_mate(chess.Board("7k/8/4K3/8/8/8/8/6Q1 w - - 0 1"), chess.WHITE, 2)
    2
    """
    return _search(board.epd(), board.chess960, colour, boards).fastest(most)


class _Search:
    """A search on one board for one side, which goes on where it stopped if more is asked."""

    def __init__(self, board: chess.Board, colour: chess.Color, boards: int) -> None:
        self._board, self._colour, self._left = board, colour, boards
        self._refuting: dict[int, chess.Move] = {}
        self._asked = 0
        self._found: int | None = None

    def fastest(self, most: int) -> int | None:
        """The fastest mate in up to `most` moves; what is left of the boards is used up by all
        that is ever asked."""
        to_move = self._board.turn == self._colour
        while self._found is None and self._asked <= most:
            if self._left < 0:
                raise TooManyBoardsError
            board = self._board.copy(stack=False)
            if (self.mates if to_move else self.mated)(board, self._asked):
                self._found = self._asked
            self._asked += 1
        return self._found if self._found is not None and self._found <= most else None

    def _count(self) -> None:
        self._left -= 1
        if self._left < 0:
            raise TooManyBoardsError

    def mates(self, board: chess.Board, moves: int) -> bool:
        """Whether the side to move mates in at most so many moves."""
        for move in self._attacks(board, moves):
            self._count()
            board.push(move)
            found = self.mated(board, moves - 1)
            board.pop()
            if found:
                return True
        return False

    def mated(self, board: chess.Board, moves: int) -> bool:
        """Whether the side to move is mated, or is in at most so many moves of the other."""
        if not moves:
            return board.is_checkmate()
        some = False
        for reply in self._first(self._refuting.get(moves), board.legal_moves):
            some = True
            self._count()
            board.push(reply)
            found = self.mates(board, moves)
            board.pop()
            if not found:
                self._refuting[moves] = reply
                return False
        return some or board.is_check()

    def _attacks(self, board: chess.Board, moves: int) -> Iterator[chess.Move]:
        """The moves to try, checks first; nothing else mates at once."""
        if not moves:
            return
        quiet = []
        for move in board.legal_moves if moves > 1 else _may_check(board):
            self._count()
            if board.gives_check(move):
                yield move
            elif moves > 1:
                quiet.append(move)
        yield from quiet

    def _first(self, move: chess.Move | None, moves: Iterable[chess.Move]) -> Iterator[chess.Move]:
        found = list(moves)
        if move in found:
            yield move
        yield from (other for other in found if other != move)


def _may_check(board: chess.Board) -> Iterator[chess.Move]:
    """The legal moves but those that touch no line to the other king; the rest need no board."""
    king = board.king(not board.turn)
    if king is None:
        return
    lines = chess.SquareSet(chess.BB_KNIGHT_ATTACKS[king]) | chess.SquareSet(
        chess.BB_DIAG_ATTACKS[king][0]
        | chess.BB_RANK_ATTACKS[king][0]
        | chess.BB_FILE_ATTACKS[king][0]
    )
    for move in board.legal_moves:
        touches = move.from_square in lines or move.to_square in lines
        if touches or board.is_castling(move) or board.is_en_passant(move):
            yield move


@lru_cache(maxsize=1024)
def _search(epd: str, chess960: bool, colour: chess.Color, boards: int) -> _Search:
    return _Search(chess.Board(f"{epd} 0 1", chess960=chess960), colour, boards)
