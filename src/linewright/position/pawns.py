"""Pawn structure: doubled, isolated, backward, passed pawns, islands, majorities, breaks.

Pawns are judged by where they stand, not by how they will move: whether a passed pawn can be
stopped, or a weak one held, is no question of structure. "Ahead" and "behind" are seen from the
pawn's own side.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import chess

from linewright.position import Squares
from linewright.position.attack import spread


class Wing(StrEnum):
    """A half of the board: the queenside has files a to d, the kingside e to h.

    Source: Companion, "king's side" and "queen's side"; some books leave the d- and e-files out
    as the centre.
    """

    QUEENSIDE = "queenside"
    KINGSIDE = "kingside"


WING_FILES = {
    Wing.QUEENSIDE: chess.BB_FILE_A | chess.BB_FILE_B | chess.BB_FILE_C | chess.BB_FILE_D,
    Wing.KINGSIDE: chess.BB_FILE_E | chess.BB_FILE_F | chess.BB_FILE_G | chess.BB_FILE_H,
}


def pawns(board: chess.Board, colour: chess.Color) -> Squares:
    """The squares of a side's pawns."""
    return spread(board.pawns & board.occupied_co[colour])


def on_file(board: chess.Board, colour: chess.Color, file: int) -> Squares:
    """A side's pawns on a file (0 = a)."""
    return spread(_own(board, colour) & chess.BB_FILES[file])


def doubled(board: chess.Board, colour: chess.Color) -> tuple[Squares, ...]:
    """The groups of two or more pawns of a side on one file, from the a-file on.

    Source: Companion, "doubled pawns". Tripled pawns are a group of three.

    >>> board = chess.Board("r1bqkbnr/1pp2ppp/p1p5/4p3/4P3/5N2/PPPP1PPP/RNBQK2R w KQkq - 0 5")
    >>> [[chess.square_name(s) for s in group] for group in doubled(board, chess.BLACK)]
    [['c6', 'c7']]
    """
    groups = (on_file(board, colour, file) for file in range(8))
    return tuple(group for group in groups if len(group) > 1)


def doubled_files(board: chess.Board, colour: chess.Color) -> tuple[int, ...]:
    """The files (0 = a) on which a side has doubled (or tripled) pawns."""
    return tuple(chess.square_file(group[0]) for group in doubled(board, colour))


def tripled(board: chess.Board, colour: chess.Color) -> tuple[Squares, ...]:
    """The groups of three or more pawns of a side on one file."""
    return tuple(group for group in doubled(board, colour) if len(group) > 2)


def isolated(board: chess.Board, colour: chess.Color) -> Squares:
    """A side's pawns with no pawn of their own on a neighbouring file.

    Source: Companion, "isolated pawn"; Nimzowitsch, "the isolated queen's pawn".
    """
    own = _own(board, colour)
    return tuple(s for s in chess.scan_forward(own) if not own & _beside(chess.square_file(s)))


def isolated_queens_pawn(board: chess.Board, colour: chess.Color) -> chess.Square | None:
    """A side's isolated pawn on the d-file, if there is one (and only one there).

    Source: Nimzowitsch, "the isolated queen's pawn and his descendants".
    """
    found = [s for s in isolated(board, colour) if chess.square_file(s) == 3]
    return found[0] if len(found) == 1 else None


def backward(board: chess.Board, colour: chess.Color) -> Squares:
    """A side's backward pawns.

    A pawn is backward where it has pawns of its own on a neighbouring file but none level with it
    or behind it, and an enemy pawn attacks the square in front of it. Whether the file is
    half-open for the enemy, as some books ask, tells `backward_on_half_open_file`.
    Source: Companion, "backward pawn"; definitions differ between books: Kmoch's "straggler" must
    also be half-free (no enemy pawn ahead on its file) and stand on its second or third rank.
    """
    own, enemy = _own(board, colour), _own(board, not colour)
    found = []
    for square in chess.scan_forward(own):
        beside = own & _beside(chess.square_file(square))
        if not beside or beside & ~_ahead(square, colour):
            continue
        stop = square + _step(colour)
        if chess.BB_PAWN_ATTACKS[colour][stop] & enemy:
            found.append(square)
    return tuple(found)


def backward_on_half_open_file(board: chess.Board, colour: chess.Color) -> Squares:
    """The backward pawns of a side that no enemy pawn shields on their file from the front."""
    enemy = _own(board, not colour)
    return tuple(
        s for s in backward(board, colour) if not enemy & chess.BB_FILES[chess.square_file(s)]
    )


def passed(board: chess.Board, colour: chess.Color) -> Squares:
    """A side's passed pawns: no enemy pawn ahead on the same or a neighbouring file.

    A pawn behind another of its own on the file counts too. Source: Companion, "passed pawn";
    Nimzowitsch, "the passed pawn".

    >>> passed(chess.Board("4k3/p7/8/8/8/8/6PP/4K3 w - - 0 1"), chess.WHITE)
    (14, 15)
    """
    own, enemy = _own(board, colour), _own(board, not colour)
    return tuple(s for s in chess.scan_forward(own) if not enemy & _path(s, colour))


def protected_passed(board: chess.Board, colour: chess.Color) -> Squares:
    """A side's passed pawns that a pawn of their own defends. Source: Companion, "passed pawn"."""
    own = _own(board, colour)
    return tuple(s for s in passed(board, colour) if chess.BB_PAWN_ATTACKS[not colour][s] & own)


def outside_passed(board: chess.Board, colour: chess.Color) -> Squares:
    """A side's passed pawns with every other pawn (of both sides) at least two files further in.

    The pawn stands on the a-, b- or c-file with all other pawns to its right, or on the f-, g- or
    h-file with all others to its left; a pawn of its own beside it or behind it is allowed, and
    there must be others. Source: Companion, "outside passed pawn" ("distant passed pawn"); the
    distance of two files is the project's reading.
    """
    own = _own(board, colour)
    found = []
    for square in passed(board, colour):
        file = chess.square_file(square)
        company = own & (chess.BB_FILES[file] | _beside(file))
        others = [chess.square_file(s) for s in chess.scan_forward(board.pawns & ~company)]
        if not others:
            continue
        inwards = min(others) - file if file < 4 else file - max(others)
        if inwards >= 2 and file not in (3, 4):
            found.append(square)
    return tuple(found)


def connected(board: chess.Board, colour: chess.Color) -> Squares:
    """A side's pawns that defend a neighbour, are defended by one, or stand beside one.

    Source: Companion, "connected pawns" asks only for neighbouring files; this is the stricter
    sense in which pawns hold each other now. For the wide sense see `islands`.
    """
    own = _own(board, colour)
    return tuple(s for s in chess.scan_forward(own) if own & _neighbours(s))


def connected_passed(board: chess.Board, colour: chess.Color) -> tuple[Squares, ...]:
    """The groups of two or more passed pawns of a side on neighbouring files.

    Source: Companion, "connected pawns", "passed pawn".
    """
    return tuple(
        group
        for group in _runs(chess.SquareSet(passed(board, colour)).mask)
        if len({chess.square_file(s) for s in group}) > 1
    )


def hanging_pawns(board: chess.Board, colour: chess.Color) -> Squares:
    """A side's two hanging pawns, or none.

    Two pawns abreast on the side's fourth rank, on neighbouring files, with no pawn of their own
    on either file beside the pair, and the files they stand on half-open.
    Usually the c- and d-pawns. Source: Nimzowitsch, "the isolated couple"; Companion, "hanging
    pawns".
    """
    own, enemy = _own(board, colour), _own(board, not colour)
    rank = chess.BB_RANKS[3 if colour == chess.WHITE else 4]
    for file in range(7):
        pair = own & rank & (chess.BB_FILES[file] | chess.BB_FILES[file + 1])
        both = chess.BB_FILES[file] | chess.BB_FILES[file + 1]
        outer = (_beside(file) | _beside(file + 1)) & ~both
        if pair.bit_count() == 2 and (own & both) == pair and not own & outer and not enemy & both:
            return spread(pair)
    return ()


@dataclass(frozen=True, slots=True)
class Chain:
    """Pawns of one side in a diagonal line, each defending the next: from base to head."""

    base: chess.Square
    head: chess.Square
    pawns: Squares


def chains(board: chess.Board, colour: chess.Color, length: int = 2) -> tuple[Chain, ...]:
    """The diagonal chains of at least `length` pawns of a side, each defended by the one before.

    Source: Nimzowitsch, "the pawn chain" (attack it at the base); Companion, "pawn chain".
    """
    own = _own(board, colour)
    found = []
    for sideways in (-1, 1):
        for base in chess.scan_forward(own):
            if _shifted(base, colour, -sideways, -1, own) is not None:
                continue
            links = [base]
            while (up := _shifted(links[-1], colour, sideways, 1, own)) is not None:
                links.append(up)
            if len(links) >= length:
                found.append(Chain(base, links[-1], tuple(sorted(links))))
    return tuple(found)


def islands(board: chess.Board, colour: chess.Color) -> tuple[Squares, ...]:
    """A side's pawn islands, from the a-file on: groups on files with no gap between.

    Source: Capablanca's term as told in Companion, "pawn island".

    >>> len(islands(chess.Board(), chess.WHITE))
    1
    """
    return _runs(_own(board, colour))


@dataclass(frozen=True, slots=True)
class WingCount:
    """How many pawns each side has on a wing."""

    wing: Wing
    white: int
    black: int

    def of(self, colour: chess.Color) -> int:
        """The pawns of one side."""
        return self.white if colour == chess.WHITE else self.black


def wing_count(board: chess.Board, wing: Wing) -> WingCount:
    """The pawns of both sides on a wing (files a to d, or e to h).

    >>> wing_count(chess.Board(), Wing.QUEENSIDE)
    WingCount(wing=<Wing.QUEENSIDE: 'queenside'>, white=4, black=4)
    """
    mask = board.pawns & WING_FILES[wing]
    return WingCount(
        wing,
        (mask & board.occupied_co[chess.WHITE]).bit_count(),
        (mask & board.occupied_co[chess.BLACK]).bit_count(),
    )


def count_between(board: chess.Board, colour: chess.Color, first: int, last: int) -> int:
    """How many pawns a side has on the files from `first` to `last` (0 = a), both included."""
    own = _own(board, colour)
    return sum((own & chess.BB_FILES[file]).bit_count() for file in range(first, last + 1))


def majority(board: chess.Board, wing: Wing) -> chess.Color | None:
    """The side with more pawns on a wing, or None where they have as many.

    Source: Companion, "pawn majority". Doubled pawns count as two.
    """
    pawns_there = wing_count(board, wing)
    if pawns_there.white == pawns_there.black:
        return None
    return pawns_there.white > pawns_there.black


def candidates(board: chess.Board, colour: chess.Color) -> Squares:
    """A side's candidate passed pawns: not passed, no enemy pawn ahead on the file, and not
    outnumbered on the way.

    The pawns of its own on the neighbouring files that are level or behind are at least as many as
    the enemy pawns ahead on those files. Source: Kmoch, "candidate" among the half-free pawns, as
    against the "faker" with too few helpers.
    """
    own, enemy = _own(board, colour), _own(board, not colour)
    free = set(passed(board, colour))
    found = []
    for square in chess.scan_forward(own):
        ahead = _ahead(square, colour)
        file = chess.square_file(square)
        if square in free or (own | enemy) & ahead & chess.BB_FILES[file]:
            continue
        helpers = own & _beside(file) & ~ahead
        sentries = enemy & _beside(file) & ahead
        if helpers.bit_count() >= sentries.bit_count():
            found.append(square)
    return tuple(found)


def rams(board: chess.Board) -> tuple[tuple[chess.Square, chess.Square], ...]:
    """The pairs (White's pawn, Black's pawn) that block each other head to head.

    Source: Kmoch, "ram".
    """
    black = _own(board, chess.BLACK)
    return tuple(
        (square, square + 8)
        for square in pawns(board, chess.WHITE)
        if black & chess.BB_SQUARES[square + 8]
    )


def levers(board: chess.Board) -> tuple[tuple[chess.Square, chess.Square], ...]:
    """The pairs (White's pawn, Black's pawn) that can take each other.

    Source: Kmoch, "lever"; "tension" in common practice.
    """
    return tuple(
        (square, target)
        for square in pawns(board, chess.WHITE)
        for target in chess.scan_forward(
            chess.BB_PAWN_ATTACKS[chess.WHITE][square] & _own(board, chess.BLACK)
        )
    )


def breaks(board: chess.Board, colour: chess.Color) -> tuple[chess.Move, ...]:
    """The pawn advances of a side, as if it were to move, that attack an enemy pawn at once.

    Whether the break is good, or the pawn is lost there, is not asked; that it is legal, is.
    Source: Kmoch, "lever" as a move; "break" in common practice.

    >>> [move.uci() for move in breaks(chess.Board("4k3/8/2p5/8/3P4/8/8/4K3 w - - 0 1"), True)]
    ['d4d5']
    """
    enemy = _own(board, not colour)
    asked = board
    if board.turn != colour:
        asked = board.copy(stack=False)
        asked.turn, asked.ep_square = colour, None
    return tuple(
        move
        for move in asked.generate_legal_moves(_own(board, colour), ~board.occupied)
        if chess.square_file(move.from_square) == chess.square_file(move.to_square)
        and chess.BB_PAWN_ATTACKS[colour][move.to_square] & enemy
        and move.promotion in (None, chess.QUEEN)
    )


def steps_to_promote(square: chess.Square, colour: chess.Color) -> int:
    """How many moves a pawn on a square needs to promote on a free path; the first may be double.

    >>> steps_to_promote(chess.E2, chess.WHITE)
    5
    """
    rank = chess.square_rank(square)
    done = rank if colour == chess.WHITE else 7 - rank
    return 5 if done == 1 else 7 - done


def in_the_square(board: chess.Board, pawn: chess.Square, defender_to_move: bool) -> bool:
    """True where the enemy king alone catches a passed pawn that runs: it is in its square.

    Pieces, and pawns in the king's way, are not looked at. Source: the rule of the square,
    Companion, "square, rule of the"; it holds for a bare pawn that its own king does not help.
    """
    colour = _colour_of(board, pawn)
    king = board.king(not colour)
    if king is None:
        return False
    goal = chess.square(chess.square_file(pawn), 7 if colour == chess.WHITE else 0)
    reach = chess.square_distance(king, goal) - (1 if defender_to_move else 0)
    return reach <= steps_to_promote(pawn, colour)


def _own(board: chess.Board, colour: chess.Color) -> chess.Bitboard:
    return board.pawns & board.occupied_co[colour]


def _colour_of(board: chess.Board, square: chess.Square) -> chess.Color:
    return bool(board.occupied_co[chess.WHITE] & chess.BB_SQUARES[square])


def _step(colour: chess.Color) -> int:
    return 8 if colour == chess.WHITE else -8


def _beside(file: int) -> chess.Bitboard:
    left = chess.BB_FILES[file - 1] if file > 0 else 0
    return left | (chess.BB_FILES[file + 1] if file < 7 else 0)


def _ahead(square: chess.Square, colour: chess.Color) -> chess.Bitboard:
    """All squares on the ranks ahead of a square."""
    rank = chess.square_rank(square)
    if colour == chess.WHITE:
        return chess.BB_ALL & ~((1 << 8 * (rank + 1)) - 1)
    return (1 << 8 * rank) - 1


def _path(square: chess.Square, colour: chess.Color) -> chess.Bitboard:
    """The squares ahead on a pawn's own and the neighbouring files."""
    file = chess.square_file(square)
    return _ahead(square, colour) & (chess.BB_FILES[file] | _beside(file))


def _neighbours(square: chess.Square) -> chess.Bitboard:
    """The squares beside a pawn, those that defend it and those it defends, on other files."""
    rank, file = chess.square_rank(square), chess.square_file(square)
    near = range(max(0, rank - 1), min(7, rank + 1) + 1)
    return _beside(file) & sum(chess.BB_RANKS[r] for r in near)


def _shifted(
    square: chess.Square, colour: chess.Color, sideways: int, up: int, own: chess.Bitboard
) -> chess.Square | None:
    """The pawn of the same side one step diagonally from a square, if one stands there."""
    file = chess.square_file(square) + sideways
    rank = chess.square_rank(square) + (up if colour == chess.WHITE else -up)
    if not (0 <= file < 8 and 0 <= rank < 8):
        return None
    found = chess.square(file, rank)
    return found if own & chess.BB_SQUARES[found] else None


def _runs(own: chess.Bitboard) -> tuple[Squares, ...]:
    """The pawns grouped by runs of neighbouring files."""
    groups: list[Squares] = []
    run = 0
    for file in range(9):
        here = own & chess.BB_FILES[file] if file < 8 else 0
        if here:
            run |= here
        elif run:
            groups.append(spread(run))
            run = 0
    return tuple(groups)
