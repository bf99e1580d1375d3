"""The sentences that measure the judging of statements: well formed, mixed, on legal boards."""

from __future__ import annotations

import json
from collections import Counter
from pathlib import Path
from typing import Any

import chess
import pytest

FOLDER = Path(__file__).parent / "statements"
SETS = sorted(FOLDER.glob("*.jsonl"))
LATER = sorted(FOLDER.glob("later/*.jsonl"))
FAMILIES = {
    "material", "bishops", "castling", "state", "attack", "tactics", "pawns", "files", "squares",
    "development", "moves", "threat", "endings", "stats", "names", "king", "opinion", "trap",
    "prose", "advantage", "soundness", "force",
}  # fmt: skip


def sentences(path: Path) -> list[dict[str, Any]]:
    return [json.loads(row) for row in path.read_text("utf-8").splitlines()]


def expectations(sentence: dict[str, Any]) -> list[str]:
    expect = sentence["expect"]
    return expect if isinstance(expect, list) else [expect]


@pytest.mark.parametrize("path", [*SETS, *LATER], ids=lambda path: path.stem)
def test_every_sentence_stands_on_a_legal_board(path: Path) -> None:
    for sentence in sentences(path):
        assert sentence["taught"] in ("White", "Black", None)
        assert sentence["family"] in FAMILIES or path in LATER
        assert set(expectations(sentence)) <= {"holds", "fails", "cannot-tell", "none"}
        board = chess.Board(sentence.get("fen", chess.STARTING_FEN))
        for san in sentence.get("moves", []):
            board.push_san(san)
        assert board.is_valid()


@pytest.mark.parametrize("path", SETS, ids=lambda path: path.stem)
def test_true_and_false_and_traps_are_mixed(path: Path) -> None:
    found = Counter(word for s in sentences(path) for word in expectations(s))
    decidable = found["holds"] + found["fails"]
    assert decidable >= 300
    assert 0.35 < found["holds"] / decidable < 0.65
    assert found["none"] >= 30 and found["cannot-tell"] >= 15
    assert {s["family"] for s in sentences(path)} == FAMILIES


@pytest.mark.parametrize("path", SETS, ids=lambda path: path.stem)
def test_no_sentence_stands_twice_at_one_place(path: Path) -> None:
    places = [json.dumps([s.get("moves"), s.get("fen"), s["text"]]) for s in sentences(path)]
    assert len(set(places)) == len(places)


def test_the_sets_share_no_sentence_and_no_prose() -> None:
    seen: set[str] = set()
    for path in [*SETS, *LATER]:
        here = {json.dumps([s.get("moves"), s.get("fen"), s["text"]]) for s in sentences(path)}
        assert not here & seen
        seen |= here
    prose: list[str] = []
    for path in sorted(FOLDER.glob("prose_*.txt")):
        prose += [row for row in path.read_text("utf-8").splitlines() if row]
    assert len(set(prose)) == len(prose)
