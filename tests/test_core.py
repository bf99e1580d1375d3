"""The Rust core against published counts and the rules library in Python."""

from __future__ import annotations

import random
from pathlib import Path
from typing import Any

import chess
import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from linewright import _core

TABLE = yaml.safe_load((Path(__file__).parent / "tables" / "perft.yaml").read_text("utf-8"))


@pytest.mark.parametrize("entry", TABLE["positions"], ids=lambda entry: str(entry["id"]))
def test_published_perft_counts(entry: dict[str, Any]) -> None:
    for depth, nodes in entry["nodes"].items():
        assert _core.perft(entry["fen"], depth) == nodes, depth


def played(seed: int, plies: int) -> list[chess.Board]:
    """The boards of a random legal game."""
    chance = random.Random(seed)
    board = chess.Board()
    boards = [board.copy()]
    for _ in range(plies):
        legal = sorted(board.legal_moves, key=chess.Move.uci)
        if not legal:
            break
        board.push(chance.choice(legal))
        boards.append(board.copy())
    return boards


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 10**9), st.integers(1, 80))
def test_perft_agrees_with_the_reference_on_random_positions(seed: int, plies: int) -> None:
    board = played(seed, plies)[-1]
    assert _core.perft(board.fen(), 1) == board.legal_moves.count()
    two = 0
    for move in board.legal_moves:
        board.push(move)
        two += board.legal_moves.count()
        board.pop()
    assert _core.perft(board.fen(), 2) == two


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 10**9))
def test_keys_are_equal_exactly_where_positions_are(seed: int) -> None:
    """The same placement, side, castling rights and usable en passant square: the same key."""
    keys: dict[str, int] = {}
    for board in played(seed, 60):
        epd = _pseudo_legal_epd(board)
        key = _core.position_key(board.fen(en_passant="fen"))
        assert keys.setdefault(epd, key) == key
        assert -(2**63) <= key < 2**63
    assert len(set(keys.values())) == len(keys)


def _pseudo_legal_epd(board: chess.Board) -> str:
    """The position with its en passant square only where a pawn stands ready to take."""
    return board.epd(en_passant="xfen")


def test_transpositions_share_a_key() -> None:
    def key(moves: str) -> int:
        board = chess.Board()
        for san in moves.split():
            board.push_san(san)
        return _core.position_key(board.fen())

    assert key("d4 d5 c4 e6 Nc3 Nf6 cxd5 exd5") == key("c4 e6 Nc3 d5 d4 Nf6 cxd5 exd5")
    assert key("e4 e5") != key("e4 e6")


@pytest.mark.parametrize(
    "fen", ["", "8/8/8/8/8/8/8/8 w - - 0 1", "words", "k7/8/8/8/8/8/8/K7 x - -"]
)
def test_what_is_no_position_is_refused_with_its_text(fen: str) -> None:
    with pytest.raises(ValueError, match="is not a position"):
        _core.position_key(fen)
