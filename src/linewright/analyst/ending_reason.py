"""Why a pawn ending is won or drawn, in the words of the trade; empty where it cannot be told."""

from __future__ import annotations

import chess

from linewright.moves import side_name
from linewright.position.pawns import (
    WING_FILES,
    Wing,
    doubled,
    outside_passed,
    passed,
    protected_passed,
)

BREAKTHROUGH_PLIES = 5


def reason_for(board: chess.Board, value: int, line: tuple[str, ...]) -> str:
    """One clause for a verdict: `value` is 1, 0 or -1 from White's side, `line` shows it.

    Source: the themes are those of the handbooks (rule of the square, key squares, opposition,
    breakthrough, outside and protected passed pawn, crippled majority).
    """
    if not any(board.legal_moves):
        state = "mated" if board.is_check() else "stalemated"
        return f"{side_name(board.turn)} is {state}"
    if value == 0:
        return _why_drawn(board, line)
    winner = value > 0
    for theme in (
        _running_pawn,
        _breakthrough,
        _key_squares,
        _trapped_by_zugzwang,
        _crippled_majority,
        _outside_passed,
        _protected_passed,
        _connected,
        _more_pawns,
    ):  # fmt: skip
        if words := theme(board, winner, line):
            return words
    return ""


def in_square(board: chess.Board, pawn: chess.Square, white: bool) -> bool:
    """Whether the enemy king stands in the square of a pawn, by the rule of the square.

    Source: the rule of the square; a pawn on its second rank counts from the third.
    """
    rank = chess.square_rank(pawn) if white else 7 - chess.square_rank(pawn)
    steps = 7 - max(rank, 2)
    last = chess.square(chess.square_file(pawn), 7 if white else 0)
    king = board.king(not white)
    assert king is not None
    distance = chess.square_distance(king, last)
    return distance <= steps + (board.turn != white)


def key_squares(pawn: chess.Square, white: bool) -> frozenset[chess.Square]:
    """The key squares of a passed pawn without enemy pawns: a king that reaches one wins.

    Source: handbook rule: for a rook's pawn the two squares beside its queening corner; else the
    three squares two ranks ahead, from the fifth rank on also those one rank ahead.
    """
    file, rank = chess.square_file(pawn), chess.square_rank(pawn)
    own_rank = rank if white else 7 - rank
    if file in (0, 7):
        beside = 1 if file == 0 else 6
        own = [(beside, 7), (beside, 6)]
    else:
        ranks = [own_rank + 2] if own_rank < 4 else [own_rank + 1, own_rank + 2]
        own = [(f, r) for r in ranks for f in (file - 1, file, file + 1) if r < 8]
    return frozenset(chess.square(f, r if white else 7 - r) for f, r in own)


def has_opposition(board: chess.Board, side: bool) -> bool:
    """Whether the kings face each other with an odd number of squares between and the other side
    has to move: direct, or distant on a file, rank or diagonal.

    Source: common definition of the opposition.
    """
    mine, other = board.king(side), board.king(not side)
    assert mine is not None and other is not None
    files = abs(chess.square_file(mine) - chess.square_file(other))
    ranks = abs(chess.square_rank(mine) - chess.square_rank(other))
    aligned = files == 0 or ranks in {0, files}
    return aligned and max(files, ranks) % 2 == 0 and board.turn != side


def _running_pawn(board: chess.Board, winner: bool, line: tuple[str, ...]) -> str:
    theirs = passed(board, not winner)
    for pawn in passed(board, winner):
        free = not (_ahead(pawn, winner) & board.occupied)
        if free and not theirs and not in_square(board, pawn, winner):
            king = chess.square_name(board.king(not winner) or 0)
            return (
                f"the pawn on {chess.square_name(pawn)} cannot be caught, the king on {king} is "
                "outside its square"
            )
    return ""


def _breakthrough(board: chess.Board, winner: bool, line: tuple[str, ...]) -> str:
    if passed(board, winner):
        return ""
    running = board.copy(stack=False)
    for uci in line[:BREAKTHROUGH_PLIES]:
        move = chess.Move.from_uci(uci)
        mine = running.turn == winner
        pawn = running.piece_type_at(move.from_square) == chess.PAWN
        quiet = not running.is_capture(move)
        guards = running.attackers_mask(not winner, move.to_square) & running.pawns
        if mine and pawn and quiet and guards:
            san = running.san(move)
            return f"breakthrough: {san} gives up a pawn so that another gets through"
        running.push(move)
    return ""


def _key_squares(board: chess.Board, winner: bool, line: tuple[str, ...]) -> str:
    """King and pawn against king: the king stands on a key square or reaches one."""
    if chess.popcount(board.pawns) != 1:
        return ""
    pawn = next(iter(chess.SquareSet(board.pawns)))
    keys = key_squares(pawn, winner)
    king = board.king(winner)
    assert king is not None
    name = chess.square_name(pawn)
    if king in keys:
        return f"the king on {chess.square_name(king)} holds a key square of the pawn on {name}"
    running = board.copy(stack=False)
    for uci in line:
        move = chess.Move.from_uci(uci)
        if running.piece_type_at(move.from_square) == chess.PAWN:
            break
        if running.turn == winner and move.to_square in keys:
            square = chess.square_name(move.to_square)
            took = (
                ", by taking the opposition"
                if has_opposition(_after(board, line[:1]), winner) and board.turn == winner
                else ""
            )
            return f"the king reaches the key square {square} of the pawn on {name}{took}"
        running.push(move)
    if has_opposition(board, winner):
        return f"{side_name(winner)} has the opposition"
    return ""


def _after(board: chess.Board, line: tuple[str, ...]) -> chess.Board:
    after = board.copy(stack=False)
    for uci in line:
        after.push_uci(uci)
    return after


def _trapped_by_zugzwang(board: chess.Board, winner: bool, line: tuple[str, ...]) -> str:
    """Blocked pawns and kings that face each other: the side to move has to give way."""
    if passed(board, winner) or passed(board, not winner) or not has_opposition(board, winner):
        return ""
    mine, other = board.king(winner), board.king(not winner)
    assert mine is not None and other is not None
    if chess.square_distance(mine, other) != 2:
        return ""
    return f"{side_name(winner)} has the opposition and {side_name(not winner)} must give way"


def _outside_passed(board: chess.Board, winner: bool, line: tuple[str, ...]) -> str:
    """A passed pawn far from the rest that draws the king away."""
    if outside_passed(board, not winner):
        return ""
    found = outside_passed(board, winner) or _distant(board, winner)
    if not found:
        return ""
    name = chess.square_name(found[0])
    return f"the outside passed pawn on {name} draws the king away from the other pawns"


def _distant(board: chess.Board, winner: bool) -> tuple[chess.Square, ...]:
    """Passed pawns with every pawn of the enemy at least three files away."""
    enemy = [chess.square_file(s) for s in chess.SquareSet(board.pawns & board.occupied_co[
        not winner])]  # fmt: skip
    return tuple(
        pawn
        for pawn in passed(board, winner)
        if enemy and all(abs(chess.square_file(pawn) - file) >= 3 for file in enemy)
    )


def _protected_passed(board: chess.Board, winner: bool, line: tuple[str, ...]) -> str:
    found = protected_passed(board, winner)
    if not found or passed(board, not winner):
        return ""
    name = chess.square_name(found[0])
    return f"the protected passed pawn on {name} ties the king down"


def _crippled_majority(board: chess.Board, winner: bool, line: tuple[str, ...]) -> str:
    """The loser's majority has doubled pawns and makes no passed pawn; the winner's makes one."""
    mine = board.pawns & board.occupied_co[winner]
    theirs = board.pawns & board.occupied_co[not winner]
    for wing in Wing:
        here, there = WING_FILES[wing], ~WING_FILES[wing] & chess.BB_ALL
        crippled = [
            group for group in doubled(board, not winner)
            if chess.BB_SQUARES[group[0]] & here
        ]  # fmt: skip
        blocked = chess.popcount(theirs & here) >= chess.popcount(mine & here)
        free = chess.popcount(mine & there) > chess.popcount(theirs & there)
        if crippled and blocked and free:
            file = chess.FILE_NAMES[chess.square_file(crippled[0][0])]
            other = Wing.KINGSIDE if wing is Wing.QUEENSIDE else Wing.QUEENSIDE
            return (
                f"{side_name(not winner)}'s {wing} majority is crippled by the doubled "
                f"{file}-pawns and makes no passed pawn, {side_name(winner)}'s {other} "
                "majority does"
            )
    return ""


def _connected(board: chess.Board, winner: bool, line: tuple[str, ...]) -> str:
    found = passed(board, winner)
    files = {chess.square_file(pawn) for pawn in found}
    if passed(board, not winner) or len(found) < 2:
        return ""
    names = " and ".join(chess.square_name(pawn) for pawn in found[:2])
    if any(file + 1 in files for file in files):
        return f"the connected passed pawns on {names} support each other"
    return f"the passed pawns on {names} are too many for one king"


def _more_pawns(board: chess.Board, winner: bool, line: tuple[str, ...]) -> str:
    lead = chess.popcount(board.pawns & board.occupied_co[winner]) - chess.popcount(
        board.pawns & board.occupied_co[not winner]
    )
    if lead > 0:
        return f"{side_name(winner)} has {'a pawn' if lead == 1 else f'{lead} pawns'} more"
    return ""


def _why_drawn(board: chess.Board, line: tuple[str, ...]) -> str:
    """One clause for a draw: who holds it, and how."""
    one = chess.popcount(board.pawns) == 1
    stronger = _stronger(board)
    if stronger is None:
        return "neither side gets through" if not passed(board, True) and not passed(
            board, False) else ""  # fmt: skip
    weaker = side_name(not stronger)
    runners = [pawn for pawn in passed(board, stronger) if in_square(board, pawn, stronger)]
    if one:
        pawn = next(iter(chess.SquareSet(board.pawns)))
        name = chess.square_name(pawn)
        if chess.square_file(pawn) in (0, 7):
            return f"{weaker}'s king holds the corner in front of the rook's pawn on {name}"
        if has_opposition(board, not stronger):
            return f"{weaker} has the opposition and keeps the king off the key squares"
        if has_opposition(_after(board, line[:1]), not stronger) and board.turn != stronger:
            return f"{weaker} takes the opposition and keeps the king off the key squares"
        return f"{weaker}'s king stays in front of the pawn on {name}"
    if runners and not passed(board, not stronger):
        return f"{weaker}'s king holds the passed pawn on {chess.square_name(runners[0])}"
    return ""


def _stronger(board: chess.Board) -> bool | None:
    """The side with more pawns, or None."""
    white = chess.popcount(board.pawns & board.occupied_co[chess.WHITE])
    black = chess.popcount(board.pawns) - white
    return None if white == black else white > black


def _ahead(pawn: chess.Square, white: bool) -> int:
    """The squares in front of a pawn on its file."""
    file = chess.BB_FILES[chess.square_file(pawn)]
    rank = chess.square_rank(pawn)
    ranks = range(rank + 1, 8) if white else range(rank)
    mask = 0
    for r in ranks:
        mask |= chess.BB_RANKS[r]
    return file & mask
