"""How soon a side can force mate, by looking at every move."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import chess


class TooManyBoardsError(Exception):
    """More boards would have to be looked at than were allowed."""


def fastest_mate(
    board: chess.Board, colour: chess.Color, most: int, boards: int = 20_000
) -> int | None:
    """In how many of its own moves a side mates whatever the other does, None if not within `most`.

    The side to move may be either. Raises `TooManyBoardsError` after so many boards.

    Cost: grows with the legal moves to the power of twice `most`, less one; what refuted one move
    is tried first against the next, so that mostly the power of `most` is paid.

    >>> fastest_mate(chess.Board("6k1/5ppp/8/8/8/8/8/R3K3 w - - 0 1"), chess.WHITE, 2)
    1
    >>> fastest_mate(chess.Board("7k/8/5K2/8/8/8/8/6Q1 w - - 0 1"), chess.WHITE, 2)
    1
    >>> fastest_mate(chess.Board("7k/8/4K3/8/8/8/8/6Q1 w - - 0 1"), chess.WHITE, 2)
    2
    """
    search = _Search(boards)
    for moves in range(most + 1):
        asked = board.copy(stack=False)
        if search.mates(asked, moves) if board.turn == colour else search.mated(asked, moves):
            return moves
    return None


class _Search:
    def __init__(self, boards: int) -> None:
        self._left = boards
        self._refuting: dict[int, chess.Move] = {}

    def mates(self, board: chess.Board, moves: int) -> bool:
        """Whether the side to move mates in at most so many moves."""
        for move in self._attacks(board, moves):
            self._left -= 1
            if self._left < 0:
                raise TooManyBoardsError
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
        for move in board.legal_moves:
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
