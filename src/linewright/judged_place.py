"""Where a statement stands: a board, what led to it, and who can be asked about it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

import chess

from linewright.moves_meant import Played, past_moves


@dataclass(frozen=True, slots=True)
class Judges:
    """Who can be asked beyond the board. Each may be missing; then the answer is "cannot tell".

    `analyst` is asked about threats, soundness and advantage, `pawn_ending` about pawn endings,
    `tally` about how often and how well a move is played; `lines` are the positions (FEN without
    counters) that several lines of the same lesson reach, with the move that first led there.
    """

    analyst: Any = None
    pawn_ending: Any = None
    tally: Any = None
    lines: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Place:
    """Where a statement stands: the board (with the moves that led there), whom is taught.

    `history` is false where the board was only set up, so that nothing is known of the moves.
    `imagined` is true on a changed board that no moves lead to; `before` is the place one move
    earlier, where it is known.
    """

    board: chess.Board
    taught: chess.Color | None = None
    judges: Judges = Judges()
    imagined: bool = False
    before: Place | None = field(default=None, compare=False, repr=False)
    _past: list[Played] = field(default_factory=list, compare=False, repr=False)
    _fen: list[str] = field(default_factory=list, compare=False, repr=False)

    def on(self, board: chess.Board) -> Place:
        """The same place with another board."""
        return Place(board, self.taught, self.judges, self.imagined)

    def past(self) -> list[Played]:
        """The moves that led here. Cost: linear in the moves, once."""
        if not self._past:
            earlier, places = self, []
            while earlier.before is not None and not earlier._past:
                places.append(earlier)
                earlier = earlier.before
            self._past.extend(earlier._past or past_moves(earlier.board))
            self._past.extend(
                Played(place.before.board, place.board.peek())
                for place in reversed(places)
                if place.before is not None
            )
        return self._past

    def boards(self) -> list[chess.Board]:
        """The boards from the start of the known moves to this one, shared: not to be changed."""
        return [*(played.before for played in self.past()), self.board]

    @property
    def fen(self) -> str:
        """The board as FEN. Cost: once."""
        if not self._fen:
            self._fen.append(self.board.fen())
        return self._fen[0]

    def last(self) -> Played | None:
        """The move that led here, if it is known."""
        if not self.board.move_stack:
            return None
        before = self.board.copy()
        move = before.pop()
        return Played(before, move)

    def just_taken(self) -> chess.Piece | None:
        """The man that the move that led here took, if it took one."""
        last = self.last()
        if last is None or not last.before.is_capture(last.move):
            return None
        pawn = chess.Piece(chess.PAWN, not last.colour)  # en passant
        return last.before.piece_at(last.move.to_square) or pawn

    @property
    def history(self) -> bool:
        """Whether the moves that led here are known from the start of the game."""
        return bool(self.board.move_stack)
