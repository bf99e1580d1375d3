"""What is said of White on a board is as true of Black on the board turned round."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import chess
import pytest

from linewright.asking import ask

FOLDER = Path(__file__).parent / "statements"
SQUARE = re.compile(r"(?<=[a-hxKQRBN])[1-8](?!\d|[A-Za-wyz]|x(?![a-h]))")
SWAPPED = {"White": "Black", "Black": "White", "white": "black", "black": "white"}
SWAPPED |= {"light": "dark", "dark": "light", "first": "second", "second": "first"}
SIDE = re.compile(
    r"\b(?:(?:White|Black|white|black|light|dark)(?=s?\b)|(?:first|second)(?= player))"
)


def turned(text: str) -> str:
    """The sentence about the board turned round: other side, other rank, other shade."""
    swapped = SIDE.sub(lambda match: SWAPPED[match[0]], text)
    return SQUARE.sub(lambda match: str(9 - int(match[0])), swapped)


def boards(sentence: dict[str, Any]) -> tuple[chess.Board, chess.Board]:
    """The board of a sentence and the same turned round, each with its moves."""
    board = chess.Board(sentence.get("fen", chess.STARTING_FEN))
    mirror = board.mirror()
    for san in sentence.get("moves", []):
        move = board.parse_san(san)
        board.push(move)
        mirror.push(
            chess.Move(
                chess.square_mirror(move.from_square),
                chess.square_mirror(move.to_square),
                move.promotion,
            )
        )
    return board, mirror


def verdicts(text: str, board: chess.Board, taught: str | None) -> list[str]:
    moves = [move.uci() for move in board.move_stack]
    given = ask(text, moves=moves, fen=board.root().fen(), taught=taught)
    return [
        verdict.verdict
        for verdict in given
        if verdict.verdict in ("holds", "fails") and verdict.statement.family != "names"
    ]


def test_a_square_and_a_side_are_turned() -> None:
    assert turned("White's knight on f3 attacks e5 after Nxe5+.") == (
        "Black's knight on f6 attacks e4 after Nxe4+."
    )


@pytest.mark.parametrize("thorough", [False, pytest.param(True, marks=pytest.mark.slow)])
def test_the_board_turned_round_gets_the_same_verdicts(thorough: bool) -> None:
    rows = (FOLDER / "develop.jsonl").read_text("utf-8").splitlines()
    # names of openings, and White's having the first move, do not turn round with the board
    rows = rows[:: 1 if thorough else 4]
    sentences = [s for s in map(json.loads, rows) if s["family"] not in ("names", "stats", "trap")]
    # and a number with its dots tells whose move it is
    sentences = [s for s in sentences if not re.search(r"\.\.\.|\d\.[A-Za-z]", s["text"])]
    # nor does the shorthand "W" and "B", as "B" is the bishop too, nor a "light piece"
    sentences = [s for s in sentences if not re.search(r"\b[WB]\b|\blight piece", s["text"])]
    differing = []
    for sentence in sentences:
        board, mirror = boards(sentence)
        assert mirror.fen().split()[:4] == board.mirror().fen().split()[:4]
        taught = sentence["taught"]
        one = verdicts(sentence["text"], board, taught)
        other = verdicts(turned(sentence["text"]), mirror, SWAPPED.get(taught))
        if one != other:
            differing.append((sentence["text"], one, turned(sentence["text"]), other))
    assert not differing, differing
