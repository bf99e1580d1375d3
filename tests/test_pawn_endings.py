"""Pawn endings against published positions, and against common practice."""

from __future__ import annotations

import random
import time
from functools import cache
from pathlib import Path
from typing import Any

import chess
import chess.syzygy
import pytest
import yaml

from linewright._core import PawnTables
from linewright.analyst.builtin import BuiltIn
from linewright.analyst.ending_reason import has_opposition, in_square, key_squares
from linewright.analyst.memory import Memory
from linewright.analyst.pawn_ending import (
    MOST_TABLES,
    Certainty,
    PawnEndings,
    Result,
    Verdict,
    is_pawn_ending,
)
from linewright.analyst.questions import Analyst

TABLE: dict[str, Any] = yaml.safe_load(
    (Path(__file__).parent / "tables" / "pawn_endings.yaml").read_text()
)
LISTED = [entry for entry in TABLE["endings"] if entry["expected"] != "open"]
FEW = [entry for entry in LISTED if entry["men"] <= 5]
MANY = [entry for entry in LISTED if entry["men"] > 5]
SYZYGY = Path(__file__).parent / "tables" / "syzygy"
VALUE = {"white-wins": 1, "draw": 0, "black-wins": -1}


@cache
def endings() -> PawnEndings:
    return PawnEndings(Analyst(BuiltIn(hash_mb=64)))


@cache
def tables() -> PawnTables:
    return PawnTables(40_000)


def assert_legal(verdict: Verdict) -> None:
    """The line of a verdict can be played."""
    board = chess.Board(verdict.fen)
    for uci in verdict.line:
        board.push(board.parse_uci(uci))


def name(entry: dict[str, Any]) -> str:
    return str(entry["id"])


@pytest.mark.parametrize("entry", FEW, ids=name)
def test_listed_endings_of_up_to_five_men_are_proved(entry: dict[str, Any]) -> None:
    verdict = endings().verdict(chess.Board(entry["fen"]))
    assert (verdict.result, verdict.certainty) == (entry["expected"], Certainty.PROVED)
    if "holding" in entry:
        assert sorted(verdict.holding or ()) == sorted(entry["holding"])
    assert_legal(verdict)


@pytest.mark.parametrize("entry", MANY, ids=name)
def test_tables_of_larger_endings_bound_the_listed_result(entry: dict[str, Any]) -> None:
    found = tables().bracket(entry["fen"])
    assert found is not None
    low, high, _ = found
    assert low <= VALUE[entry["expected"]] <= high


def test_a_larger_ending_is_proved_by_following_the_promotions_that_matter() -> None:
    """Source: protected passed pawn, handbook theme (six men)."""
    fen = "8/8/4k3/1pP2p2/1P3K2/8/8/8 w - - 0 1"
    assert PawnTables(1000).prove(fen, MOST_TABLES) == (0, 0, 0)


@pytest.mark.slow
@pytest.mark.parametrize("entry", MANY, ids=name)
def test_listed_endings_of_more_men_are_judged_rightly(entry: dict[str, Any]) -> None:
    assert endings().verdict(chess.Board(entry["fen"])).result == entry["expected"]


@pytest.mark.slow
@pytest.mark.parametrize(
    ("moves", "result"),
    [
        ("e4 e5 Nf3 Nc6 Bb5 Nf6 O-O Nxe4 d4 Nd6 Bxc6 dxc6 dxe5 Nf5 Qxd8+ Kxd8", Result.WHITE),
        ("e4 e6 d4 d5 exd5 exd5", Result.DRAW),
    ],
    ids=["after the Berlin defence", "after the exchange French"],
)
def test_common_practice_with_only_kings_and_pawns(moves: str, result: Result) -> None:
    """Common practice, no source: the first is held to be winning for White, the second level."""
    board = chess.Board()
    for san in moves.split():
        board.push_san(san)
    for square, piece in board.piece_map().items():
        if piece.piece_type not in {chess.KING, chess.PAWN}:
            board.remove_piece_at(square)
    board.castling_rights = 0
    judged = endings().judge(chess.Board(board.fen()))
    assert judged.here.result is result


@pytest.mark.parametrize(
    "pair", TABLE["corresponding_squares"], ids=lambda p: f"{p['white_king']}~{p['black_king']}"
)
def test_corresponding_squares(pair: dict[str, Any]) -> None:
    """Source: Duchamp & Halberstadt, 1932, for the Lasker-Reichhelm position of 1901."""
    board = chess.Board("8/8/3p4/p2P1p2/P2P1P2/8/8/8 w - - 0 1")
    board.set_piece_at(chess.parse_square(pair["white_king"]), chess.Piece.from_symbol("K"))
    board.set_piece_at(chess.parse_square(pair["black_king"]), chess.Piece.from_symbol("k"))
    for turn, key in ((chess.WHITE, "white_to_move"), (chess.BLACK, "black_to_move")):
        board.turn = turn
        found = tables().bracket(board.fen())
        assert found is not None
        assert found[0] <= VALUE[pair[key]] <= found[1]
        if pair["exact"]:  # not by the source's own promotions judged by rule of thumb
            assert found[2] == VALUE[pair[key]]


def test_random_endings_are_worth_what_their_best_move_leads_to() -> None:
    """Positions and moves by python-chess; en passant and promotions among them."""
    chance, seen = random.Random(1), 0
    while seen < 100:
        board = random_ending(chance)
        if board is None:
            continue
        seen += 1
        found, moves = tables().bracket(board.fen()), tables().moves(board.fen())
        assert found is not None and moves is not None
        assert sorted(uci for uci, _, _ in moves) == sorted(m.uci() for m in board.legal_moves)
        best = max if board.turn else min
        for side in (0, 1):
            assert found[side] == best(after[side] for _, after, _ in moves), board.fen()
        mirror = tables().bracket(board.mirror().fen())
        assert mirror is not None and (mirror[0], mirror[1]) == (-found[1], -found[0])


def random_ending(chance: random.Random) -> chess.Board | None:
    board = chess.Board(None)
    squares = chance.sample(range(64), 4)
    board.set_piece_at(squares[0], chess.Piece.from_symbol("K"))
    board.set_piece_at(squares[1], chess.Piece.from_symbol("k"))
    for square, letter in zip(squares[2:], "Pp", strict=True):
        board.set_piece_at(square, chess.Piece.from_symbol(letter))
    board.turn = chance.random() < 0.5
    usable = board.is_valid() and any(board.legal_moves) and is_pawn_ending(board)
    return board if usable else None


def test_verdicts_are_remembered(tmp_path: Path) -> None:
    board = chess.Board("8/8/1p2k3/1P6/3K4/8/5P2/8 w - - 0 1")
    first = PawnEndings(Analyst(BuiltIn(), Memory(tmp_path / "m"))).judge(board)
    begun = time.perf_counter()
    again = PawnEndings(Analyst(BuiltIn(), Memory(tmp_path / "m"))).judge(board)
    assert again == first
    assert time.perf_counter() - begun < 0.5


def test_either_side_to_move_and_the_reason_in_words() -> None:
    trebuchet = endings().judge("8/8/8/4pK2/3kP3/8/8/8 w - - 0 1")
    assert trebuchet.here.sentence().startswith("White to move, Black wins (proved): whoever has")
    assert trebuchet.other is not None and trebuchet.other.result is Result.WHITE
    reasons = {
        "8/8/8/8/P4k2/8/8/7K w - - 0 1": "outside its square",
        "4k3/8/4K3/4P3/8/8/8/8 w - - 0 1": "key square",
        "8/8/4k3/8/4K3/4P3/8/8 w - - 0 1": "Black has the opposition",
        "8/8/1p2k3/1P6/3K4/8/5P2/8 w - - 0 1": "outside passed pawn on f2",
        "8/8/8/1pPk4/1P6/3K4/8/8 w - - 0 1": "protected passed pawn on c5",
        "8/1k6/8/1K6/P7/8/8/8 w - - 0 1": "holds the corner",
    }
    for fen, words in reasons.items():
        assert words in endings().verdict(chess.Board(fen)).reason


@pytest.mark.parametrize(
    ("fen", "words"),
    [
        ("4k3/8/8/8/8/8/4Q3/4K3 b - - 0 1", "is no pawn ending"),
        ("4k3/8/8/8/8/8/8/4K3 w - - 0 1", "is no pawn ending"),
        ("8/8/8/8/8/8/4P3/4K3 w - - 0 1", "Black has no king"),
        ("4k3/3P4/8/8/8/8/8/4K3 w - - 0 1", "Black is in check"),
    ],
)
def test_positions_that_cannot_be_judged_are_refused(fen: str, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        endings().judge(fen)


@pytest.mark.parametrize(
    ("fen", "words"),
    [
        ("4k3/4P3/4K3/8/8/8/8/8 b - - 0 1", "Black to move, a draw (proved): Black is stalemated"),
        ("8/8/8/8/8/7k/7p/7K w - - 0 1", "White to move, a draw (proved): White is stalemated"),
        ("7k/5KP1/6P1/8/8/8/8/8 b - - 0 1", "Black to move, White wins (proved): Black is mated"),
    ],
)
def test_where_nothing_can_be_played_the_verdict_says_so(fen: str, words: str) -> None:
    verdict = PawnEndings(Analyst(BuiltIn())).verdict(chess.Board(fen))
    assert (verdict.sentence(), verdict.text) == (words, "")


def test_handbook_rules() -> None:
    """Source: rule of the square; key squares; opposition (handbooks)."""
    assert key_squares(chess.E4, chess.WHITE) == {chess.D6, chess.E6, chess.F6}
    assert key_squares(chess.E5, chess.WHITE) >= {chess.D6, chess.E6, chess.F6, chess.E7}
    assert key_squares(chess.A2, chess.WHITE) == {chess.B7, chess.B8}
    assert key_squares(chess.D5, chess.BLACK) == {chess.C3, chess.D3, chess.E3}
    outside = chess.Board("8/8/8/8/P4k2/8/8/7K w - - 0 1")
    inside = chess.Board("8/8/8/8/P4k2/8/8/7K b - - 0 1")
    assert not in_square(outside, chess.A4, chess.WHITE)
    assert in_square(inside, chess.A4, chess.WHITE)
    assert has_opposition(chess.Board("8/8/4k3/8/4K3/4P3/8/8 b - - 0 1"), chess.WHITE)
    assert not has_opposition(chess.Board("8/8/4k3/8/4K3/4P3/8/8 w - - 0 1"), chess.WHITE)


def test_endgame_tables_that_cannot_be_read_do_no_harm(tmp_path: Path) -> None:
    for ending in ("rtbw", "rtbz"):
        (tmp_path / f"KPvK.{ending}").write_bytes(b"no table at all")
    judge = PawnEndings(Analyst(BuiltIn()), (tmp_path, tmp_path / "nowhere"))
    verdict = judge.verdict(chess.Board("8/8/4k3/8/4K3/4P3/8/8 b - - 0 1"))
    assert (verdict.result, verdict.engine) == (Result.WHITE, "pawn tables")


def lone_pawns(chance: random.Random, pawns: int) -> chess.Board | None:
    board = chess.Board(None)
    squares = chance.sample(range(64), pawns + 2)
    for square, letter in zip(squares, "KkPP"[: pawns + 2], strict=True):
        board.set_piece_at(square, chess.Piece.from_symbol(letter))
    board.turn = chance.random() < 0.5
    return board if board.is_valid() and not board.is_game_over() else None


@pytest.mark.parametrize(("pawns", "positions"), [(1, 3_000), (2, 300)])
def test_our_tables_agree_with_published_ones(pawns: int, positions: int) -> None:
    """Source: Syzygy tables, see tests/tables/syzygy/SOURCE.txt."""
    chance = random.Random(11)
    seen = 0
    with chess.syzygy.open_tablebase(str(SYZYGY)) as published:
        while seen < positions:
            board = lone_pawns(chance, pawns)
            if board is None:
                continue
            seen += 1
            worth = published.probe_wdl(board)
            # Cursed wins, which the fifty-move rule spoils, do not occur with so few pawns.
            assert abs(worth) in {0, 2}
            ours = tables().bracket(board.fen())
            white = worth // 2 * (1 if board.turn else -1)
            assert ours is not None and ours[:2] == (white, white), board.fen()


def test_true_endgame_tables_decide_first(tmp_path: Path) -> None:
    """Source: Syzygy tables; the results are those of the listed endings."""
    judge = PawnEndings(Analyst(BuiltIn()), (SYZYGY,))
    covered = [
        entry for entry in FEW
        if chess.Board(entry["fen"]).occupied_co[chess.BLACK].bit_count() == 1
        and entry["men"] <= 4
    ]  # fmt: skip
    assert len(covered) >= 15
    for entry in covered:
        verdict = judge.verdict(chess.Board(entry["fen"]))
        assert (verdict.result, verdict.certainty) == (entry["expected"], Certainty.PROVED)
        assert verdict.engine == "endgame tables"
        if "holding" in entry:
            assert sorted(verdict.holding or ()) == sorted(entry["holding"])
        assert_legal(verdict)
    (tmp_path / "KPvK.rtbw").write_bytes((SYZYGY / "KPvK.rtbw").read_bytes())
    alone = PawnEndings(Analyst(BuiltIn()), (tmp_path,))
    queens = alone.verdict(chess.Board("8/4P1k1/8/8/8/8/8/4K3 w - - 0 1"))
    assert queens.result is Result.WHITE
    # Without tables of what the pawn may become, nothing is said of the moves that hold.
    assert queens.holding is None
