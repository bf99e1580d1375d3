"""Sentences made up on random boards, their truth found the slow way, against the judging.

Truth comes from the definitions as test_facts_random carries them out (walking lines, looping over
squares) and from python-chess for legality; no function of the package takes part in it.
"""

from __future__ import annotations

import random
from collections import defaultdict
from collections.abc import Callable
from importlib.util import module_from_spec, spec_from_file_location
from pathlib import Path
from types import ModuleType

import chess
import pytest

from linewright.asking import ask


def _definitions() -> ModuleType:
    path = Path(__file__).parent / "test_facts_random.py"
    spec = spec_from_file_location("facts_by_definition", path)
    assert spec is not None and spec.loader is not None
    module = module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


slow = _definitions()
SIDES = {chess.WHITE: "White", chess.BLACK: "Black"}
KINDS = {
    chess.PAWN: "pawn",
    chess.KNIGHT: "knight",
    chess.BISHOP: "bishop",
    chess.ROOK: "rook",
    chess.QUEEN: "queen",
    chess.KING: "king",
}
NUMBERS = "no one two three four five six seven eight".split()
Made = tuple[str, bool] | None
Maker = Callable[[chess.Board, random.Random], Made]


def men(board: chess.Board, colour: bool, *kinds: int) -> list[int]:
    return [
        square
        for square in range(64)
        if (piece := board.piece_at(square)) is not None
        and piece.color == colour
        and (not kinds or piece.piece_type in kinds)
    ]


def some_man(board: chess.Board, source: random.Random, *kinds: int) -> tuple[int, bool] | None:
    colour = source.random() < 0.5
    found = men(board, colour, *kinds)
    return (source.choice(found), colour) if found else None


def called(board: chess.Board, square: int) -> str:
    kind = board.piece_type_at(square)
    assert kind is not None
    return f"{KINDS[kind]} on {chess.square_name(square)}"


def worth(board: chess.Board, colour: bool) -> int:
    return sum(slow.VALUE.get(board.piece_type_at(s), 0) for s in men(board, colour))


def level(board: chess.Board, source: random.Random) -> Made:
    text = source.choice(("Material is level.", "The material is equal.", "Material is even."))
    return text, worth(board, True) == worth(board, False)


def pawn_count(board: chess.Board, source: random.Random) -> Made:
    colour = source.random() < 0.5
    number = len(men(board, colour, chess.PAWN)) + source.choice((0, 0, 1, -1))
    if not 1 < number < 9:
        return None
    truth = number == len(men(board, colour, chess.PAWN))
    return f"{SIDES[colour]} has {NUMBERS[number]} pawns.", truth


def wing(board: chess.Board, source: random.Random) -> Made:
    side = source.choice(("queenside", "kingside"))
    files = range(4) if side == "queenside" else range(4, 8)
    white, black = (
        sum(s % 8 in files for s in men(board, colour, chess.PAWN)) for colour in chess.COLORS
    )
    claimed = white + source.choice((0, 0, 1))
    if claimed < 2 or black < 2 or claimed > 8:
        return None
    text = f"White has {NUMBERS[claimed]} pawns against {NUMBERS[black]} on the {side}."
    return text, claimed == white


def pair(board: chess.Board, source: random.Random) -> Made:
    colour = source.random() < 0.5
    shades = {(s % 8 + s // 8) % 2 for s in men(board, colour, chess.BISHOP)}
    others = {(s % 8 + s // 8) % 2 for s in men(board, not colour, chess.BISHOP)}
    if len(others) == 2:
        return None  # with two pairs "has the bishop pair" may mean an advantage
    return f"{SIDES[colour]} has the bishop pair.", len(shades) == 2


def opposite(board: chess.Board, source: random.Random) -> Made:
    white, black = (men(board, colour, chess.BISHOP) for colour in chess.COLORS)
    if len(white) != 1 or len(black) != 1:
        return None
    truth = (white[0] % 8 + white[0] // 8) % 2 != (black[0] % 8 + black[0] // 8) % 2
    return "There are opposite-coloured bishops on the board.", truth


def file_state(board: chess.Board, source: random.Random) -> Made:
    file = source.randrange(8)
    white, black = (
        any(s % 8 == file for s in men(board, colour, chess.PAWN)) for colour in chess.COLORS
    )
    name = chess.FILE_NAMES[file]
    if source.random() < 0.5:
        return f"The {name}-file is open.", not white and not black
    colour = source.random() < 0.5
    own, enemy = (white, black) if colour else (black, white)
    return f"The {name}-file is half-open for {SIDES[colour]}.", not own and enemy


def pawn_sort(board: chess.Board, source: random.Random) -> Made:
    found = some_man(board, source, chess.PAWN)
    if found is None:
        return None
    square, colour = found
    word, squares = source.choice(
        (
            ("passed", slow.slow_passed(board, colour)),
            ("isolated", slow.slow_isolated(board, colour)),
            ("backward", slow.slow_backward(board, colour)),
        )
    )
    return f"The pawn on {chess.square_name(square)} is {word}.", square in squares


def doubled(board: chess.Board, source: random.Random) -> Made:
    colour, file = source.random() < 0.5, source.randrange(8)
    number = sum(s % 8 == file for s in men(board, colour, chess.PAWN))
    return f"{SIDES[colour]} has doubled {chess.FILE_NAMES[file]}-pawns.", number > 1


def islands(board: chess.Board, source: random.Random) -> Made:
    colour = source.random() < 0.5
    number = slow.slow_islands(board, colour)
    claimed = number + source.choice((0, 0, 1, -1))
    if claimed < 2:
        return None
    return f"{SIDES[colour]} has {NUMBERS[claimed]} pawn islands.", claimed == number


def attacked(board: chess.Board, source: random.Random) -> Made:
    found = some_man(board, source, chess.PAWN, chess.KNIGHT, chess.BISHOP, chess.ROOK, chess.QUEEN)
    if found is None or board.ep_square is not None:
        return None
    square, colour = found
    text = source.choice(("is attacked", "is not attacked"))
    truth = bool(slow.slow_attackers(board, not colour, square))
    return f"The {called(board, square)} {text}.", truth == (text == "is attacked")


def defended(board: chess.Board, source: random.Random) -> Made:
    found = some_man(board, source, chess.PAWN, chess.KNIGHT, chess.BISHOP, chess.ROOK, chess.QUEEN)
    if found is None:
        return None
    square, colour = found
    word, wanted = source.choice((("protected", True), ("undefended", False), ("defended", True)))
    truth = bool(slow.slow_attackers(board, colour, square)) == wanted
    return f"The {called(board, square)} is {word}.", truth


def attacks(board: chess.Board, source: random.Random) -> Made:
    found = some_man(board, source)
    if found is None:
        return None
    square, colour = found
    targets = [s for s in men(board, not colour) if board.piece_type_at(s) != chess.KING]
    if not targets or board.piece_type_at(square) == chess.KING:
        return None
    hit = [s for s in targets if slow.hits(board, square, s)]
    target = source.choice(hit if hit and source.random() < 0.5 else targets)
    return f"The {called(board, square)} attacks the {called(board, target)}.", target in hit


def hanging(board: chess.Board, source: random.Random) -> Made:
    enemy = [s for s in men(board, not board.turn) if board.piece_type_at(s) != chess.KING]
    if not enemy or board.ep_square is not None:
        return None
    square = source.choice(enemy)
    return f"The {called(board, square)} is hanging.", slow.played_out(board, square) > 0


def pinned(board: chess.Board, source: random.Random) -> Made:
    colour = source.random() < 0.5
    held = slow.slow_absolute_pins(board, colour)
    others = [s for s in men(board, colour) if board.piece_type_at(s) != chess.KING]
    pool = list(held) if held and source.random() < 0.7 else others
    if not pool:
        return None
    square = source.choice(pool)
    word, wanted = source.choice((("is", True), ("is not", False)))
    return f"The {called(board, square)} {word} pinned to the king.", (square in held) == wanted


def right(board: chess.Board, source: random.Random) -> Made:
    colour = source.random() < 0.5
    has = bool(board.castling_rights & (chess.BB_RANK_1 if colour else chess.BB_RANK_8))
    text, wanted = source.choice(
        (
            ("can no longer castle", False),
            ("has lost the right to castle", False),
            ("still has the right to castle", True),
        )
    )
    return f"{SIDES[colour]} {text}.", has == wanted


def castle_now(board: chess.Board, source: random.Random) -> Made:
    side = source.choice(("kingside", "queenside"))
    truth = any(
        board.is_kingside_castling(move) == (side == "kingside")
        for move in board.legal_moves
        if board.is_castling(move)
    )
    word, wanted = source.choice((("can", True), ("cannot", False)))
    return f"{SIDES[board.turn]} {word} castle {side} at once.", truth == wanted


def turn(board: chess.Board, source: random.Random) -> Made:
    colour = source.random() < 0.5
    return f"It is {SIDES[colour]}'s move.", board.turn == colour


def check(board: chess.Board, source: random.Random) -> Made:
    colour = source.random() < 0.5
    king = men(board, colour, chess.KING)[0]
    word, wanted = source.choice((("is", True), ("is not", False)))
    truth = bool(slow.slow_attackers(board, not colour, king)) == wanted
    return f"{SIDES[colour]} {word} in check.", truth


def legal(board: chess.Board, source: random.Random) -> Made:
    number = len(list(board.legal_moves))
    if not 2 <= number <= 8:
        return None
    claimed = number + source.choice((0, 1))
    return f"{SIDES[board.turn]} has {claimed} legal moves.", claimed == number


def hole(board: chess.Board, source: random.Random) -> Made:
    colour = source.random() < 0.5
    square = source.randrange(16, 32) if colour else source.randrange(32, 48)
    text = f"{SIDES[colour]} has a hole on {chess.square_name(square)}."
    return text, not slow.slow_guard(board, colour, square)


def exchange(board: chess.Board, source: random.Random) -> Made:
    (rooks, minors, queens, pawns) = (
        len(men(board, True, *kinds)) - len(men(board, False, *kinds))
        for kinds in (
            (chess.ROOK,),
            (chess.KNIGHT, chess.BISHOP),
            (chess.QUEEN,),
            (chess.PAWN,),
        )
    )
    if queens or pawns or abs(rooks) != 1 or rooks != -minors:
        return None
    colour = source.random() < 0.5
    return f"{SIDES[colour]} is the exchange up.", (rooks > 0) == colour


MAKERS: tuple[Maker, ...] = (
    level, pawn_count, wing, pair, opposite, file_state, pawn_sort, doubled, islands, attacked,
    defended, attacks, hanging, pinned, right, castle_now, turn, check, legal, hole, exchange,
)  # fmt: skip


def sentences(boards: int, seed: int, each: int) -> list[tuple[str, chess.Board, str, bool]]:
    source = random.Random(seed)
    made = []
    for board in slow.positions(boards, seed):
        for maker in source.sample(MAKERS, each):
            found = maker(board, source)
            if found is not None:
                made.append((maker.__name__, board, *found))
    return made


def judged(cases: list[tuple[str, chess.Board, str, bool]]) -> None:
    """Every verdict is the true one; at most one sentence in fifty is left without a verdict."""
    silent: dict[str, list[str]] = defaultdict(list)
    truths: dict[str, list[bool]] = defaultdict(list)
    for name, board, text, truth in cases:
        given = [v for v in ask(text, fen=board.fen()) if v.verdict in ("holds", "fails")]
        if not given:
            silent[name].append(f"{text} ({board.fen()})")
            continue
        truths[name].append(truth)
        for verdict in given:
            assert verdict.verdict == ("holds" if truth else "fails"), (
                text, board.fen(), verdict.because
            )  # fmt: skip
    missed = sum(len(texts) for texts in silent.values())
    assert missed <= len(cases) / 50, {name: texts[:2] for name, texts in silent.items()}
    for name, seen in truths.items():
        assert len(set(seen)) == 2 or len(seen) < 40, f"{name}: only {seen[0]} sentences"


def test_made_up_sentences_are_judged_by_the_definitions() -> None:
    judged(sentences(boards=60, seed=20260201, each=6))


@pytest.mark.slow
def test_thousands_of_made_up_sentences() -> None:
    judged(sentences(boards=1500, seed=20260202, each=14))
