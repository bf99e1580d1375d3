"""The facts of a board against their definitions, carried out the slow way on random positions.

Nothing here uses bitboards or the package's own functions to find the expected answer: pieces are
looked up square by square, lines are walked, exchanges are played out on a board.
"""

from __future__ import annotations

import random
from collections.abc import Iterator

import chess
import pytest

from linewright import facts
from linewright.facts import Wing

STRAIGHT = ((1, 0), (-1, 0), (0, 1), (0, -1))
SLANTED = ((1, 1), (1, -1), (-1, 1), (-1, -1))
LEAPS = ((1, 2), (2, 1), (2, -1), (1, -2), (-1, -2), (-2, -1), (-2, 1), (-1, 2))


def positions(number: int, seed: int) -> Iterator[chess.Board]:
    """Half from random games (legal, mostly crowded), half set up at random (mostly open)."""
    source = random.Random(seed)
    for index in range(number):
        yield played(source) if index % 2 else set_up(source)


def played(source: random.Random) -> chess.Board:
    board = chess.Board()
    for _ in range(source.randrange(4, 90)):
        moves = list(board.legal_moves)
        if not moves:
            break
        captures = [move for move in moves if board.is_capture(move)]
        board.push(source.choice(captures if captures and source.random() < 0.4 else moves))
    return board


def set_up(source: random.Random) -> chess.Board:
    while True:
        board = chess.Board(None)
        squares = source.sample(range(64), 2)
        board.set_piece_at(squares[0], chess.Piece(chess.KING, chess.WHITE))
        board.set_piece_at(squares[1], chess.Piece(chess.KING, chess.BLACK))
        for _ in range(source.randrange(2, 18)):
            kind = source.choice("PPPPPNBRQ")
            square = source.randrange(8, 56) if kind == "P" else source.randrange(64)
            if board.piece_at(square) is None:
                board.set_piece_at(
                    square, chess.Piece.from_symbol(source.choice((kind, kind.lower())))
                )
        board.turn = source.random() < 0.5
        if board.is_valid():
            return board


def at(board: chess.Board, file: int, rank: int) -> chess.Piece | None:
    return board.piece_at(chess.square(file, rank)) if 0 <= file < 8 and 0 <= rank < 8 else None


def hits(board: chess.Board, source: int, target: int) -> bool:
    """FIDE 3.2 to 3.8 by walking: the piece on source could capture on target."""
    piece = board.piece_at(source)
    if piece is None or source == target:
        return False
    file, rank = source % 8, source // 8
    goal = (target % 8, target // 8)
    if piece.piece_type == chess.PAWN:
        up = 1 if piece.color else -1
        return goal in ((file - 1, rank + up), (file + 1, rank + up))
    if piece.piece_type == chess.KNIGHT:
        return any(goal == (file + x, rank + y) for x, y in LEAPS)
    if piece.piece_type == chess.KING:
        return any(goal == (file + x, rank + y) for x, y in STRAIGHT + SLANTED)
    lines = {chess.BISHOP: SLANTED, chess.ROOK: STRAIGHT, chess.QUEEN: STRAIGHT + SLANTED}
    for x, y in lines[piece.piece_type]:
        here, row = file + x, rank + y
        while 0 <= here < 8 and 0 <= row < 8:
            if (here, row) == goal:
                return True
            if at(board, here, row) is not None:
                break
            here, row = here + x, row + y
    return False


def slow_attackers(board: chess.Board, colour: bool, target: int) -> tuple[int, ...]:
    return tuple(
        s
        for s in range(64)
        if (piece := board.piece_at(s)) is not None
        and piece.color == colour
        and hits(board, s, target)
    )


def squares_of(board: chess.Board, colour: bool, kind: int) -> list[int]:
    return [s for s in range(64) if board.piece_at(s) == chess.Piece(kind, colour)]


def slow_absolute_pins(board: chess.Board, colour: bool) -> tuple[int, ...]:
    """A piece is pinned where its removal lets a piece attack the king that did not before."""
    king = squares_of(board, colour, chess.KING)[0]
    before = set(slow_attackers(board, not colour, king))
    found = []
    for square in range(64):
        piece = board.piece_at(square)
        if piece is None or piece.color != colour or square == king:
            continue
        without = board.copy(stack=False)
        without.remove_piece_at(square)
        if set(slow_attackers(without, not colour, king)) - before:
            found.append(square)
    return tuple(found)


def ahead(colour: bool, rank: int, other: int) -> bool:
    return other > rank if colour else other < rank


def slow_passed(board: chess.Board, colour: bool) -> tuple[int, ...]:
    return tuple(
        s
        for s in squares_of(board, colour, chess.PAWN)
        if not any(
            abs(e % 8 - s % 8) <= 1 and ahead(colour, s // 8, e // 8)
            for e in squares_of(board, not colour, chess.PAWN)
        )
    )


def slow_isolated(board: chess.Board, colour: bool) -> tuple[int, ...]:
    own = squares_of(board, colour, chess.PAWN)
    return tuple(s for s in own if not any(abs(o % 8 - s % 8) == 1 for o in own))


def slow_backward(board: chess.Board, colour: bool) -> tuple[int, ...]:
    own = squares_of(board, colour, chess.PAWN)
    found = []
    for s in own:
        beside = [o for o in own if abs(o % 8 - s % 8) == 1]
        stop = s + (8 if colour else -8)
        struck = any(hits(board, e, stop) for e in squares_of(board, not colour, chess.PAWN))
        if beside and all(ahead(colour, s // 8, o // 8) for o in beside) and struck:
            found.append(s)
    return tuple(found)


def slow_candidates(board: chess.Board, colour: bool) -> tuple[int, ...]:
    own, enemy = squares_of(board, colour, chess.PAWN), squares_of(board, not colour, chess.PAWN)
    found = []
    for s in own:
        if s in slow_passed(board, colour):
            continue
        if any(o % 8 == s % 8 and ahead(colour, s // 8, o // 8) for o in own + enemy):
            continue
        helpers = [o for o in own if abs(o % 8 - s % 8) == 1 and not ahead(colour, s // 8, o // 8)]
        sentries = [e for e in enemy if abs(e % 8 - s % 8) == 1 and ahead(colour, s // 8, e // 8)]
        if len(helpers) >= len(sentries):
            found.append(s)
    return tuple(found)


def slow_islands(board: chess.Board, colour: bool) -> int:
    files = sorted({s % 8 for s in squares_of(board, colour, chess.PAWN)})
    return sum(1 for file in files if file - 1 not in files)


def slow_guard(board: chess.Board, colour: bool, square: int) -> bool:
    """A pawn pushed on and on, nothing in its way, attacks the square somewhere."""
    for pawn in squares_of(board, colour, chess.PAWN):
        rank = pawn // 8
        while 0 < rank < 7:
            alone = chess.Board(None)
            alone.set_piece_at(chess.square(pawn % 8, rank), chess.Piece(chess.PAWN, colour))
            if hits(alone, chess.square(pawn % 8, rank), square):
                return True
            rank += 1 if colour else -1
    return False


VALUE = {chess.PAWN: 1, chess.KNIGHT: 3, chess.BISHOP: 3, chess.ROOK: 5, chess.QUEEN: 9}


def played_out(board: chess.Board, square: int, first: bool = True) -> int:
    """The best result of taking on a square over all legal orders, both sides free to stop."""
    best = 0
    for move in board.generate_legal_captures(to_mask=chess.BB_SQUARES[square]):
        if move.promotion not in (None, chess.QUEEN) or board.is_en_passant(move):
            continue
        taken = board.piece_type_at(square)
        assert taken is not None
        gain = VALUE[taken] + (8 if move.promotion else 0)
        after = board.copy(stack=False)
        after.push(move)
        best = max(best, gain - played_out(after, square, first=False))
    return best


def check_position(board: chess.Board) -> None:
    for colour in chess.COLORS:
        pins = tuple(pin.pinned for pin in facts.absolute_pins(board, colour))
        assert pins == slow_absolute_pins(board, colour), board.fen()
        assert facts.passed(board, colour) == slow_passed(board, colour), board.fen()
        assert facts.isolated(board, colour) == slow_isolated(board, colour), board.fen()
        assert facts.backward(board, colour) == slow_backward(board, colour), board.fen()
        assert facts.candidates(board, colour) == slow_candidates(board, colour), board.fen()
        assert len(facts.islands(board, colour)) == slow_islands(board, colour), board.fen()
        files = [s % 8 for s in squares_of(board, colour, chess.PAWN)]
        enemy_files = [s % 8 for s in squares_of(board, not colour, chess.PAWN)]
        assert facts.doubled_files(board, colour) == tuple(
            f for f in range(8) if files.count(f) > 1
        ), board.fen()
        assert facts.half_open_files(board, colour) == tuple(
            f for f in range(8) if f not in files and f in enemy_files
        ), board.fen()
        assert facts.undefended(board, colour) == tuple(
            s
            for s in range(64)
            if (piece := board.piece_at(s)) is not None
            and piece.color == colour
            and piece.piece_type != chess.KING
            and not slow_attackers(board, colour, s)
        ), board.fen()


def check_square(board: chess.Board, square: int) -> None:
    for colour in chess.COLORS:
        assert facts.attackers(board, colour, square) == slow_attackers(board, colour, square)
        assert facts.pawn_can_guard(board, colour, square) == slow_guard(board, colour, square), (
            board.fen(),
            chess.square_name(square),
        )


def test_structure_and_pins_by_definition() -> None:
    for board in positions(1000, seed=20260101):
        check_position(board)


def test_attack_and_guard_by_definition() -> None:
    source = random.Random(7)
    for board in positions(300, seed=20260102):
        for square in source.sample(range(64), 6):
            check_square(board, square)


def test_holes_and_outposts_by_definition() -> None:
    for board in positions(40, seed=20260110):
        for colour in chess.COLORS:
            camp = range(16, 32) if colour else range(32, 48)
            assert facts.holes(board, colour) == tuple(
                s for s in camp if not slow_guard(board, colour, s)
            ), board.fen()
            expected = [
                s
                for s in range(64)
                if (s // 8 in range(3, 7) if colour else s // 8 in range(1, 5))
                and any(hits(board, pawn, s) for pawn in squares_of(board, colour, chess.PAWN))
                and not slow_guard(board, not colour, s)
                and board.piece_type_at(s) != chess.PAWN
            ]
            assert [o.square for o in facts.outposts(board, colour)] == expected, board.fen()


@pytest.mark.slow
def test_structure_pins_and_attack_by_definition_on_100_000_positions() -> None:
    source = random.Random(8)
    for board in positions(100_000, seed=20260103):
        check_position(board)
        check_square(board, source.randrange(64))


def exchange_pairs(number: int, seed: int) -> Iterator[tuple[chess.Board, int]]:
    for board in positions(number, seed):
        mover = board.turn
        for square in range(64):
            piece = board.piece_at(square)
            if piece is None or piece.color == mover or piece.piece_type == chess.KING:
                continue
            if board.attackers_mask(mover, square):
                yield board, square


def test_exchange_matches_playing_it_out() -> None:
    for board, square in exchange_pairs(400, seed=20260104):
        assert facts.exchange(board, square, board.turn) == played_out(board, square), (
            board.fen(),
            chess.square_name(square),
        )


def with_en_passant(number: int) -> list[chess.Board]:
    """Random positions in which a pawn may be taken en passant."""
    source, found = random.Random(20260113), list[chess.Board]()
    while len(found) < number:
        board = set_up(source)
        for move in board.legal_moves:
            if board.piece_type_at(move.from_square) == chess.PAWN and (
                abs(move.from_square - move.to_square) == 16
            ):
                after = board.copy(stack=False)
                after.push(move)
                if after.has_legal_en_passant():
                    found.append(after)
    return found


def test_every_capture_brings_what_playing_it_out_brings() -> None:
    seen = {"en passant": 0, "promotion": 0, "plain": 0}
    for board in [*positions(250, seed=20260111), *with_en_passant(12)]:
        for move in board.generate_legal_captures():
            if move.promotion not in (None, chess.QUEEN):
                continue
            passing = board.is_en_passant(move)
            taken = chess.PAWN if passing else board.piece_type_at(move.to_square)
            assert taken is not None
            after = board.copy(stack=False)
            after.push(move)
            gain = VALUE[taken] + (8 if move.promotion else 0)
            expected = gain - played_out(after, move.to_square)
            assert facts.capture_result(board, move) == expected, (board.fen(), move.uci())
            seen["en passant" if passing else "promotion" if move.promotion else "plain"] += 1
    assert all(seen.values()), seen


def looking(board: chess.Board, square: int, steps: tuple[tuple[int, int], ...]) -> list[list[int]]:
    """The pieces met one after the other along each line from a square."""
    met = []
    for x, y in steps:
        line, file, rank = [], square % 8 + x, square // 8 + y
        while 0 <= file < 8 and 0 <= rank < 8:
            if at(board, file, rank) is not None:
                line.append(chess.square(file, rank))
            file, rank = file + x, rank + y
        met.append(line)
    return met


def test_batteries_and_x_rays_by_walking_the_lines() -> None:
    lines = {chess.BISHOP: SLANTED, chess.ROOK: STRAIGHT, chess.QUEEN: STRAIGHT + SLANTED}
    for board in positions(150, seed=20260112):
        for colour in chess.COLORS:
            expected = set()
            for square in range(64):
                piece = board.piece_at(square)
                if piece is None or piece.color != colour or piece.piece_type not in lines:
                    continue
                own_lines = lines[piece.piece_type]
                rays = {(m[0], m[1]) for m in looking(board, square, own_lines) if len(m) > 1}
                assert {(r.through, r.target) for r in facts.x_rays(board, square)} == rays
                for step in own_lines:
                    met = looking(board, square, (step,))[0]
                    other = board.piece_at(met[0]) if met else None
                    if other is None or other.color != colour or other.piece_type not in lines:
                        continue
                    if step in lines[other.piece_type]:
                        expected.add(tuple(sorted((square, met[0]))))
            assert {tuple(sorted(b.pieces)) for b in facts.batteries(board, colour)} == expected, (
                board.fen()
            )


def test_hanging_is_what_a_legal_capture_wins() -> None:
    compared = 0
    for board in positions(200, seed=20260105):
        if board.ep_square is not None:
            continue
        expected = [
            square
            for square in range(64)
            if (piece := board.piece_at(square)) is not None
            and piece.color != board.turn
            and piece.piece_type != chess.KING
            and played_out(board, square) > 0
        ]
        found = [one.square for one in facts.hanging(board, not board.turn)]
        assert found == expected, board.fen()
        compared += len(found)
    assert compared > 100


def test_castling_possible_is_what_the_rules_library_allows() -> None:
    seen = {True: 0, False: 0}
    for board in positions(900, seed=20260106):
        for wing in Wing:
            legal = any(
                board.is_kingside_castling(move) == (wing == Wing.KINGSIDE)
                for move in board.generate_castling_moves()
                if board.is_legal(move)
            )
            if board.is_valid():
                answer = facts.castling(board, board.turn, wing)
                assert answer.possible == legal, board.fen()
                seen[legal] += 1
    assert seen[True] > 10 and seen[False] > 10


def test_threats_are_the_mates_and_profitable_captures() -> None:
    for board in positions(150, seed=20260107):
        mates = set()
        for move in board.legal_moves:
            after = board.copy(stack=False)
            after.push(move)
            if after.is_checkmate():
                mates.add(move)
        assert set(facts.threatens_mate(board, board.turn)) == mates, board.fen()


def test_boards_are_never_changed() -> None:
    for board in positions(60, seed=20260108):
        before, stack = board.fen(), list(board.move_stack)
        move = next(iter(board.legal_moves), None)
        for colour in chess.COLORS:
            facts.pins(board, colour)
            facts.hanging(board, colour)
            facts.overloaded(board, colour)
            facts.threats(board, colour)
            facts.breaks(board, colour)
            facts.castled(board, colour)
            facts.lost_by(board, colour, Wing.KINGSIDE)
        if move is not None:
            facts.effects(board, move)
            facts.tempo_targets(board, move)
            facts.prepares_castling(board, move)
        facts.recaptures(board)
        assert (board.fen(), list(board.move_stack)) == (before, stack)


def test_discovered_check_is_check_by_a_piece_that_did_not_move() -> None:
    source, seen = random.Random(20260109), 0
    for _ in range(1200):
        board = set_up(source)
        for move in board.legal_moves:
            if not board.gives_check(move) or board.is_castling(move):
                assert not facts.discovered_check(board, move), (board.fen(), move.uci())
                continue
            after = board.copy(stack=False)
            after.push(move)
            king = squares_of(after, after.turn, chess.KING)[0]
            expected = bool(set(slow_attackers(after, not after.turn, king)) - {move.to_square})
            assert facts.discovered_check(board, move) == expected, (board.fen(), move.uci())
            found = any(one.check for one in facts.discoveries(board, move))
            assert found == expected or board.is_en_passant(move), (board.fen(), move.uci())
            seen += expected
    assert seen > 20
