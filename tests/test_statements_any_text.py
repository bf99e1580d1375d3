"""Any text at any board: no exception, places map back to the words, reasons read as one line."""

from __future__ import annotations

import json
from itertools import pairwise
from pathlib import Path

import chess
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from linewright import finding_statements
from linewright.asking import ask, read_side
from linewright.english.sentences import MOST_MARKS, read_sentences
from linewright.english.words import LONGEST_WORD
from linewright.moves_meant import find_move
from linewright.statements import judge
from linewright.talk.vocabulary import tokenise

ROWS = [
    json.loads(row)
    for row in (Path(__file__).parent / "statements" / "develop.jsonl")
    .read_text("utf-8")
    .splitlines()
]
SIDES = st.sampled_from(["White", "Black", None])
BOARDS = [
    chess.STARTING_FEN,
    "r3k2r/p1ppqpb1/bn2pnp1/3PN3/1p2P3/2N2Q1p/PPPBBPPP/R3K2R w KQkq - 0 1",
    "8/8/8/8/8/8/8/8 w - - 0 1",  # a teaching board without kings
    "8/5k2/2b2p2/8/8/4B1P1/5K2/8 w - - 0 1",
    "8/P7/8/8/8/8/p7/8 b - - 0 1",
    "7k/5Q2/6K1/8/8/8/8/8 b - - 0 1",
    "4k3/8/8/3pP3/8/8/8/4K3 w - d6 0 1",
]
WORDS = sorted({word for row in ROWS for word in row["text"].split()})
CHESS = st.lists(st.sampled_from(WORDS), min_size=1, max_size=25).map(" ".join)
HALVES = st.tuples(st.sampled_from(ROWS), st.sampled_from(ROWS), st.integers(1, 60)).map(
    lambda parts: parts[0]["text"][: parts[2]] + parts[1]["text"][parts[2] // 2 :]
)


def check(text: str, fen: str, taught: str | None) -> None:
    board = chess.Board(fen)
    for verdict in judge(text, board, read_side(taught)):
        span = verdict.statement.span
        assert 0 <= span.start < span.end <= len(text)
        assert text[span.start : span.end] == verdict.statement.words
        assert verdict.because and "\n" not in verdict.because
        assert not verdict.because.endswith(".")
        assert set(verdict.squares) <= set(chess.SQUARE_NAMES)
    assert board.fen() == chess.Board(fen).fen()


@settings(max_examples=25, deadline=None)
@given(st.text(max_size=120), st.sampled_from(BOARDS), SIDES)
def test_any_characters(text: str, fen: str, taught: str | None) -> None:
    check(text, fen, taught)


@settings(max_examples=25, deadline=None)
@given(CHESS, st.sampled_from(BOARDS), SIDES)
def test_chess_words_in_any_order(text: str, fen: str, taught: str | None) -> None:
    check(text, fen, taught)


@settings(max_examples=25, deadline=None)
@given(HALVES, st.sampled_from(BOARDS), SIDES)
def test_halves_of_sentences(text: str, fen: str, taught: str | None) -> None:
    check(text, fen, taught)


def test_every_sentence_on_every_board() -> None:
    for row in ROWS[::20]:
        for fen in BOARDS:
            check(row["text"], fen, row["taught"])


def test_two_sentences_together_are_judged_as_one_by_one() -> None:
    """What stands in one sentence does not change the verdict on the next about named things."""
    board = "r3k2r/p1ppqpb1/bn2pnp1/3PN3/1p2P3/2N2Q1p/PPPBBPPP/R3K2R w KQkq - 0 1"
    one, two = "The pawn on d5 is attacked three times.", "Black has doubled d-pawns."
    alone = [v.verdict for text in (one, two) for v in ask(text, fen=board)]
    assert alone == ["holds", "fails"]
    assert [v.verdict for v in ask(f"{one} {two}", fen=board)] == alone


@pytest.mark.parametrize(
    "text",
    ["车马象" * 400, "N" * 5000, "a-" * 2000, "e4-" * 2000, '"' * 4000, "1" * 5000, "no " * 900],
)
def test_no_sentence_and_no_word_is_so_long_that_to_judge_it_takes_for_ever(text: str) -> None:
    sentences = read_sentences(text)
    assert sentences
    assert max(len(sentence.tokens) for sentence in sentences) <= 2 * MOST_MARKS
    words = [token for sentence in sentences for token in sentence.tokens]
    assert all(len(token.text) <= LONGEST_WORD for token in words)
    assert all(a.span.end <= b.span.start for a, b in pairwise(sentences))


def test_a_word_too_long_is_heard_as_its_beginning() -> None:
    tokens = tokenise([("e4", ",", 0.0), ("x" * 5000, "", 0.0), ("e5", "", 0.0)])
    assert [token.text for token in tokens] == ["e4", "x" * LONGEST_WORD, "e5"]


def test_a_run_of_moves_is_gone_on_from_not_played_anew(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[str] = []

    def counted(board: chess.Board, san: str, *more: object) -> object:
        asked.append(san)
        return find_move(board, san, *more)  # type: ignore[arg-type]

    monkeypatch.setattr(finding_statements, "find_move", counted)
    judge("knight f3 knight c6 " * 45, chess.Board())
    assert len(asked) < 20 * 90
