"""What is usual on a board: openings by position, and a cheap look at the moves elsewhere.

`Positions` keeps every board a talk may have reached, each once for its line of moves, with its
legal moves and how likely each is to be the one a teacher shows.
"""

from __future__ import annotations

import csv
import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from functools import lru_cache
from importlib import resources

import chess

Usual = Callable[[chess.Board], dict[chess.Move, float]]
"""Something that knows how often moves are played in a position: move to its count or weight."""

Key = tuple[int, ...]
"""A position without its counters and its en-passant square."""


def key_of(board: chess.Board) -> Key:
    """The key of a board. **Cost**: reads nine numbers."""
    return (board.pawns, board.knights, board.bishops, board.rooks, board.queens, board.kings,
            board.occupied_co[True], int(board.turn), board.castling_rights)  # fmt: skip


_RIGHTS = {"K": chess.BB_H1, "Q": chess.BB_A1, "k": chess.BB_H8, "q": chess.BB_A8}


def key_of_fen(fen: str) -> Key:
    """The key of a position written as FEN or EPD, without making a board.

    >>> key_of_fen(chess.STARTING_FEN) == key_of(chess.Board())
    True
    """
    placement, turn, castling = fen.split()[:3]
    masks = dict.fromkeys("pnbrqk", 0)
    white = 0
    square = 56
    for char in placement:
        if char == "/":
            square -= 16
        elif char.isdigit():
            square += int(char)
        else:
            masks[char.lower()] |= 1 << square
            white |= (1 << square) if char.isupper() else 0
            square += 1
    rights = sum(_RIGHTS.get(char, 0) for char in castling)
    return (*masks.values(), white, int(turn == "w"), rights)


VALUE = {chess.PAWN: 1.0, chess.KNIGHT: 3.0, chess.BISHOP: 3.1, chess.ROOK: 5.0,
         chess.QUEEN: 9.0, chess.KING: 20.0}  # fmt: skip
LETTERS = "?PNBRQK"


@dataclass(slots=True)
class _Branch:
    rows: int = 0
    names: list[str] = field(default_factory=list)
    after: dict[str, _Branch] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Named:
    """An opening name with the moves that lead to it."""

    name: str
    moves: tuple[str, ...]


@dataclass(slots=True)
class Catalogue:
    """Openings by line and by position.

    **Source**: the catalogue of the `ocn-chess` package (CC BY 4.0).
    """

    root: _Branch
    by_key: dict[Key, list[_Branch]]
    named: tuple[Named, ...]
    lines: dict[str, tuple[str, ...]]

    def branches(self, path: Iterable[str]) -> _Branch | None:
        """What the catalogue has after the moves, or None."""
        branch: _Branch | None = self.root
        for uci in path:
            branch = branch.after.get(uci) if branch else None
        return branch


@lru_cache(maxsize=1)
def catalogue() -> Catalogue:
    """The opening catalogue. **Cost**: read once, about 0.1 s."""
    root = _Branch()
    by_key: dict[Key, list[_Branch]] = {}
    named: list[Named] = []
    by_slug: dict[str, tuple[str, ...]] = {}
    data = resources.files("ocn") / "data"
    aliases: dict[str, str] = {}
    with (data / "ocn-1.csv").open(encoding="utf-8") as lines:
        for row in csv.DictReader(lines):
            aliases[row["ocn1"]] = row["aliases"]
    with (data / "ocn-1.positions.tsv").open(encoding="utf-8") as lines:
        for row in csv.DictReader(lines, delimiter="\t"):
            moves = tuple(row["moves_uci"].split())
            by_slug[row["ocn1"]] = moves
            branch = root
            branch.rows += 1
            for uci in moves:
                branch = branch.after.setdefault(uci, _Branch())
                branch.rows += 1
            names = [row["canonical_name"], *aliases.get(row["ocn1"], "").split("|")]
            branch.names.extend(n for n in names if n)
            by_key.setdefault(key_of_fen(row["epd"]), []).append(branch)
            named.extend(Named(n, moves) for n in names if n)
    return Catalogue(root, by_key, tuple(named), by_slug)


def catalogue_line(slug: str) -> tuple[str, ...]:
    """The moves of a place in the catalogue, named by its own key."""
    return catalogue().lines.get(slug, ())


@dataclass(frozen=True, slots=True)
class Legal:
    """A legal move with what words may say of it. Squares are 0 to 63, pieces ``PNBRQK``."""

    move: chess.Move
    piece: str
    start: int
    to: int
    captured: str
    castling: str
    promotion: str
    ep: bool


@dataclass(slots=True)
class Position:
    """A board reached by one line of moves. `usual` is minus the log of each move's chance."""

    index: int
    parent: int
    move: chess.Move | None
    made: chess.Board | None
    ply: int
    path: tuple[str, ...] | None
    legal: tuple[Legal, ...] | None = None
    usual: dict[chess.Move, float] | None = None
    outlook: tuple[dict[chess.Move, float], float, float] = field(
        default_factory=lambda: ({}, 0.0, 1.0)
    )
    after: dict[chess.Move, int] = field(default_factory=dict)

    @property
    def turn(self) -> str:
        """Whose move it is, "w" or "b"."""
        return "b" if self.ply % 2 else "w"

    @property
    def number(self) -> int:
        """The number of the next move."""
        return self.ply // 2 + 1


class Positions:
    """All boards of a talk.

    `counts` may add what a collection knows; `theme` are the lines of openings the talk names.
    """

    def __init__(
        self,
        start: chess.Board | None = None,
        counts: Usual | None = None,
        theme: Iterable[tuple[str, ...]] = (),
    ) -> None:
        board = start or chess.Board()
        standard = board.fen() == chess.STARTING_FEN
        ply = 2 * (board.fullmove_number - 1) + (board.turn == chess.BLACK)
        self.all: list[Position] = [Position(0, -1, None, board, ply, () if standard else None)]
        self._catalogue = catalogue()
        self._counts = counts
        self._theme: dict[tuple[str, ...], dict[str, float]] = {}
        for line in theme:
            for ply, uci in enumerate(line):
                ahead = self._theme.setdefault(line[:ply], {})
                ahead[uci] = ahead.get(uci, 0.0) + 1.0
        self._checks: dict[tuple[int, chess.Move], bool] = {}

    def __getitem__(self, index: int) -> Position:
        return self.all[index]

    def play(self, index: int, move: chess.Move) -> int:
        """The position after a move; made once."""
        position = self.all[index]
        known = position.after.get(move)
        if known is not None:
            return known
        path = None if position.path is None else (*position.path, move.uci())
        new = Position(len(self.all), index, move, None, position.ply + 1, path)
        self.all.append(new)
        position.after[move] = new.index
        return new.index

    def board(self, index: int) -> chess.Board:
        """The board of a position, made when first asked for; not to be changed."""
        position = self.all[index]
        if position.made is None:
            board = self.board(position.parent).copy(stack=False)
            assert position.move is not None
            board.push(position.move)
            position.made = board
        return position.made

    def san(self, index: int) -> str:
        """The move that led to a position, in short notation."""
        position = self.all[index]
        if position.move is None:
            return ""
        return self.board(position.parent).san(position.move)

    def line(self, index: int) -> list[int]:
        """The positions from the start to this one, the start first."""
        out = []
        while index >= 0:
            out.append(index)
            index = self.all[index].parent
        return out[::-1]

    def legal(self, index: int) -> tuple[Legal, ...]:
        """The legal moves of a position."""
        position = self.all[index]
        if position.legal is None:
            position.legal = tuple(_legal(self.board(index)))
        return position.legal

    def gives_check(self, index: int, move: chess.Move) -> bool:
        """Whether a move gives check; remembered."""
        key = (index, move)
        if key not in self._checks:
            self._checks[key] = self.board(index).gives_check(move)
        return self._checks[key]

    def can(self, index: int, letters: Iterable[str], targets: int) -> bool:
        """Whether one of the pieces named (any, if none) has a legal move to one of the squares.

        **Shape**: `targets` is a set of squares as bits. **Cost**: cheaper than all legal moves.
        """
        position = self.all[index]
        if position.legal is not None:
            wanted = set(letters)
            return any(
                targets >> item.to & 1 and (not wanted or item.piece in wanted)
                for item in position.legal
            )
        board = self.board(index)
        own = board.occupied_co[board.turn]
        mask = 0
        for letter in letters:
            mask |= board.pieces_mask(LETTERS.index(letter), board.turn)
        moves = board.generate_legal_moves(mask or own, targets)
        return next(moves, None) is not None

    def price(self, index: int, item: Legal) -> float:
        """Minus the log of a legal move's chance of being shown here, roughly.

        The catalogue and, where given, a collection's counts weigh as far as they go; a cheap
        look at the board does the rest.
        """
        position = self.all[index]
        if position.usual is None:
            position.usual = {}
            position.outlook = self._outlook(position)
        known = position.usual.get(item.move)
        if known is None:
            counts, total, rest = position.outlook
            trust = total / (total + 1.2)
            if total > 6:
                chance = (3.0 if item.captured else 1.0) / max(20, len(self.legal(index)))
            else:
                chance = math.exp(_appeal(position, item, self)) / rest
            chance = (1 - trust) * min(chance, 0.95)
            if total:
                chance += trust * counts.get(item.move, 0.0) / total
            ahead = self._theme.get(position.path) if position.path is not None else None
            if ahead:
                share = ahead.get(item.move.uci(), 0.0) / sum(ahead.values())
                chance = 0.5 * chance + 0.5 * share
            known = position.usual[item.move] = -math.log(max(chance, 1e-6))
        return known

    def usual(self, index: int) -> list[tuple[float, Legal]]:
        """All legal moves with their prices, the most usual first."""
        found = [(self.price(index, item), item) for item in self.legal(index)]
        found.sort(key=lambda pair: pair[0])
        return found

    def _outlook(self, position: Position) -> tuple[dict[chess.Move, float], float, float]:
        """What is known of the moves here: weights, their sum, and the sum of all appeals."""
        index = position.index
        counts: dict[chess.Move, float] = {
            chess.Move.from_uci(uci): n**0.7 for uci, n in self.book(index).items()
        }
        if self._counts is not None:
            for move, count in self._counts(self.board(index)).items():
                counts[move] = counts.get(move, 0.0) + count
        total = sum(counts.values())
        legal = self.legal(index)
        rest = 1.7 * len(legal)
        last = position.move
        if total <= 6 and last is not None:
            rest += sum(
                math.exp(_appeal(position, item, self))
                for item in legal
                if item.castling or (item.captured and item.to == last.to_square)
            )
        return counts, total, rest

    def book(self, index: int) -> dict[str, int]:
        """How many catalogued lines go on with each move from a position."""
        position = self.all[index]
        counts: dict[str, int] = {}
        branches = list(self._catalogue.by_key.get(key_of(self.board(index)), ()))
        if position.path is not None and len(position.path) < 40:
            own = self._catalogue.branches(position.path)
            if own is not None and own not in branches:
                branches.append(own)
        for branch in branches:
            for uci, child in branch.after.items():
                counts[uci] = counts.get(uci, 0) + child.rows
        return counts

    def names(self, index: int) -> list[str]:
        """The opening names of exactly this position."""
        board = self.board(index)
        return [n for b in self._catalogue.by_key.get(key_of(board), ()) for n in b.names]


def _legal(board: chess.Board) -> Iterable[Legal]:
    for move in board.legal_moves:
        piece = board.piece_type_at(move.from_square) or 0
        castling = ""
        if board.is_castling(move):
            castling = "K" if chess.square_file(move.to_square) > 4 else "Q"
        ep = board.is_en_passant(move)
        captured = "P" if ep else LETTERS[board.piece_type_at(move.to_square) or 0]
        promotion = LETTERS[move.promotion] if move.promotion else ""
        yield Legal(move, LETTERS[piece], move.from_square, move.to_square,
                    "" if captured == "?" else captured, castling, promotion, ep)  # fmt: skip


_CENTRE = chess.BB_D4 | chess.BB_E4 | chess.BB_D5 | chess.BB_E5
_WIDE = _CENTRE | chess.BB_C4 | chess.BB_C5 | chess.BB_F4 | chess.BB_F5


def _exchange(board: chess.Board, item: Legal) -> float:
    """A rough gain in pawns: what is taken less what may be lost on the square."""
    mine = VALUE[LETTERS.index(item.promotion or item.piece)]
    gain = VALUE[LETTERS.index(item.captured)] if item.captured else 0.0
    them = not board.turn
    attackers = board.attackers(them, item.to)
    if not attackers:
        return gain
    cheapest = min(VALUE[board.piece_type_at(s) or chess.KING] for s in attackers)
    guards = board.attackers(board.turn, item.to) & ~chess.BB_SQUARES[item.start]
    loss = mine if not guards else max(0.0, mine - cheapest)
    return gain - loss


def _appeal(position: Position, item: Legal, positions: Positions) -> float:
    """How natural a move looks, in units of log odds; cheap and rough (own constants)."""
    board = positions.board(position.index)
    if item.castling:
        return 2.0
    score = max(-2.2, min(3.0, 0.9 * _exchange(board, item)))
    them = not board.turn
    kind = LETTERS.index(item.piece)
    attackers = board.attackers(them, item.start)
    if attackers and item.piece != "P":
        guards = board.attackers(board.turn, item.start)
        cheapest = min(VALUE[board.piece_type_at(s) or chess.KING] for s in attackers)
        if not guards or cheapest < VALUE[kind]:
            score += min(VALUE[kind], 5.0) * 0.4
    last = position.move
    if last is not None and last.to_square == item.to and item.captured:
        before = positions.board(position.parent)
        score += 2.2 if before.is_capture(last) else 0.8
    if item.captured == "" and item.piece == "K":
        score -= 1.2
    elif item.piece in "NB" and chess.square_rank(item.start) == (0 if board.turn else 7):
        score += 0.9 + (0.4 if chess.square_file(item.to) in (2, 3, 4, 5) else 0.0)
    elif item.piece == "P":
        bit = chess.BB_SQUARES[item.to]
        score += 0.9 if bit & _CENTRE else 0.5 if bit & _WIDE else 0.0
        if chess.square_file(item.to) in (0, 7):
            score -= 0.2
    elif item.piece == "Q" and position.ply < 12:
        score -= 0.3
    return score
