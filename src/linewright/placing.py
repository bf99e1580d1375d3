"""Where a written move belongs among the lines shown so far.

(a) It is the next move of the current line; (b) a move already on the current line, or a new
branch from it, at that number; (c) a move on another line at that number, latest first, or a new
branch there. A move whose number fits the current position but which is illegal there is a slip,
not a branch elsewhere.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import chess

from linewright.inline import Move
from linewright.moves import label, resolve

NEVER = float("inf")


class GrowingTree:
    """The growing tree; boards are kept and never changed, so that going back costs nothing."""

    def __init__(self, start: chess.Board) -> None:
        self.boards = [start]
        self.plies = [start.ply()]
        self.parents: list[int | None] = [None]
        self.moves: list[chess.Move | None] = [None]
        self.sans = [""]
        self.labels = [""]
        self.children: list[tuple[int, ...]] = [()]
        self.suffixes = [""]
        self.signs = [""]
        self.assumed = [False]
        self.doubtful = [False]
        self.told = [0.0]
        self.visited = [0]
        self.clock = 0
        self._fens: dict[int, str] = {}

    def copy(self) -> GrowingTree:
        """The same tree, to be grown on its own. Cost: thirteen lists, nothing in them."""
        out = GrowingTree(self.boards[0])
        for name in (
            "boards", "plies", "parents", "moves", "sans", "labels", "children", "suffixes",
            "signs", "assumed", "doubtful", "told", "visited",
        ):  # fmt: skip
            setattr(out, name, list(getattr(self, name)))
        out.clock = self.clock
        return out

    def ply(self, node: int) -> int:
        return self.plies[node]

    def fen(self, node: int) -> str:
        if node not in self._fens:
            self._fens[node] = self.boards[node].fen()
        return self._fens[node]

    def visit(self, node: int) -> int:
        self.clock += 1
        self.visited[node] = self.clock
        return node

    def child(self, node: int, move: chess.Move) -> int | None:
        return next((c for c in self.children[node] if self.moves[c] == move), None)

    def play(self, node: int, move: chess.Move) -> int:
        """The node after a legal move, made if it is new."""
        known = self.child(node, move)
        if known is not None:
            return known
        before = self.boards[node]
        board = before.copy(stack=False)
        san = board.san_and_push(move)
        new = len(self.boards)
        self.boards.append(board)
        self.plies.append(board.ply())
        self.parents.append(node)
        self.moves.append(move)
        self.sans.append(san)
        self.labels.append(label(before, san))
        self.children.append(())
        self.children[node] += (new,)
        self.suffixes.append("")
        self.signs.append("")
        self.assumed.append(False)
        self.doubtful.append(self.doubtful[node])
        self.told.append(NEVER)
        self.visited.append(0)
        return new

    def assume(self, node: int, move: chess.Move, sure: bool) -> int:
        """The node after a move that is a repair of what was written."""
        new = self.child(node, move)
        if new is None:
            new = self.play(node, move)
            self.assumed[new] = True
            self.doubtful[new] = self.doubtful[new] or not sure
        return new

    def tell(self, node: int) -> None:
        """Notes that a move is told outside parentheses."""
        self.told[node] = min(self.told[node], self.clock)

    def path(self, node: int) -> list[int]:
        """The nodes from the start to this one."""
        out = [node]
        while (parent := self.parents[out[-1]]) is not None:
            out.append(parent)
        return out[::-1]

    def others(self, ply: int, path: Sequence[int]) -> list[int]:
        """Nodes with a ply that are not on the path, latest visited first."""
        on_path = set(path)
        found = [k for k in range(len(self.boards)) if self.ply(k) == ply and k not in on_path]
        return sorted(found, key=self.last_visit, reverse=True)

    def last_visit(self, node: int) -> int:
        return max([self.visited[node], *(self.visited[child] for child in self.children[node])])


@dataclass(slots=True)
class Walk:
    """A place in the growing tree: `node`, the nodes to which `open` side lines return, and
    whether the text is `lost` (the board does not follow it any more)."""

    tree: GrowingTree
    node: int = 0
    open: list[int] = field(default_factory=list)
    lost: bool = False

    def copy(self) -> Walk:
        """The same place in a copy of the tree."""
        return Walk(self.tree.copy(), self.node, list(self.open), self.lost)

    @property
    def board(self) -> chess.Board:
        """The board of the place, not to be changed."""
        return self.tree.boards[self.node]

    def place(self, move: Move, straight_on: bool = False) -> tuple[int, chess.Move] | None:
        """The node a written move is played from and the move, or None if it fits nowhere.

        `straight_on`: nothing but space stands between it and the move before, so that it cannot
        go on elsewhere at a later number, nor go back if it is the next move.
        """
        ply = ply_of(move)
        if ply is None or ply == self.tree.ply(self.node):
            if self.lost and ply is None:
                return None
            found = resolve(move.written, self.board)
            if isinstance(found, chess.Move):
                return self.node, found
            return None if ply is None else self.known_elsewhere(move, ply)
        if (
            straight_on
            and not self.lost
            and (
                ply > self.tree.ply(self.node)
                or isinstance(resolve(move.written, self.board), chess.Move)
            )
        ):
            return None
        return self.branch(move, ply)

    def branch(self, move: Move, ply: int) -> tuple[int, chess.Move] | None:
        """(b) on the current line or from it, then (c) on or from other lines."""
        path = self.tree.path(self.node)
        for node in path:
            if self.tree.ply(node) == ply and node != self.node:
                found = resolve(move.written, self.tree.boards[node])
                if isinstance(found, chess.Move):
                    return node, found
        if (known := self.known_elsewhere(move, ply)) is not None:
            return known
        for node in self.tree.others(ply, path):
            found = resolve(move.written, self.tree.boards[node])
            if isinstance(found, chess.Move):
                return node, found
        return None

    def known_elsewhere(self, move: Move, ply: int) -> tuple[int, chess.Move] | None:
        """A move already shown on another line, the latest first."""
        for node in self.tree.others(ply, self.tree.path(self.node)):
            board = self.tree.boards[node]
            found = resolve(move.written, board)
            if not isinstance(found, chess.Move) or self.tree.child(node, found) is None:
                continue
            if board.is_capture(found) or not move.written.claims_capture:
                return node, found
        return None


def ply_of(move: Move) -> int | None:
    """The half-moves before a numbered move, counted from the initial position; None in a run."""
    return None if move.number is None else 2 * (move.number - 1) + (1 if move.black else 0)


def number_text(move: Move) -> str:
    """The number of a move as it is written, empty in a run."""
    return "" if move.number is None else f"{move.number}{'...' if move.black else '.'}"
