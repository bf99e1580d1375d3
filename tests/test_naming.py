"""What words name without moving it, what is true of it on the board, and where it is a slip."""

from __future__ import annotations

import math

import chess
import pytest

from linewright.source import Source
from linewright.talk.aptness import FARTHEST, Models, chance, default_models, log_chances
from linewright.talk.heard import spoken
from linewright.talk.naming import (
    Name,
    Slot,
    confusable_files,
    confusable_squares,
    names_in,
)
from linewright.talk.scene import Scene, Step, bears, could_go, traits
from linewright.talk.transcript import read_transcript
from linewright.talk.vocabulary import Lexicon, tokenise


def names(text: str) -> list[Name]:
    """All that a text names."""
    transcript = read_transcript(Source("talk.txt", text))
    return list(names_in(Lexicon.of(tokenise(spoken(transcript)))))


def scene(line: str, then: str = "") -> Scene:
    """The board after some moves, with those that the talk tells next."""
    board = chess.Board()
    steps = []
    for san in line.split():
        move = board.parse_san(san)
        steps.append(Step.of(board, move))
        board.push(move)
    later, ahead = board.copy(), []
    for san in then.split():
        move = later.parse_san(san)
        ahead.append(Step.of(later, move))
        later.push(move)
    return Scene(board, tuple(steps), tuple(ahead), frozenset())


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("The pawn on d four is weak.", [("piece", "P"), ("square", "d4")]),
        ("White has doubled pawns.", [("side", "w")]),
        ("The rook takes the open e file.", [("piece", "R"), ("file", "e")]),
        ("a pawn is a pawn", [("piece", "P"), ("piece", "P")]),
        ("our d-pawn goes", [("file", "d"), ("piece", "P")]),
    ],
)
def test_squares_men_sides_and_files_are_named(text: str, wanted: list[tuple[str, str]]) -> None:
    assert [(name.slot.value, name.said) for name in names(text)] == wanted


def test_a_square_knows_the_man_named_with_it_and_the_square_named_before() -> None:
    first, second = (n for n in names("The bishop on d6 looks at h2.") if n.slot is Slot.SQUARE)
    assert (first.man, first.subject) == ("B", None)
    assert (second.man, second.subject) == ("", chess.D6)


def test_a_full_stop_ends_what_is_seen_of_the_words() -> None:
    (name,) = names("He likes it. See e5. And then")
    assert {"-1 see", "-2.", "+1."} <= set(name.seen)
    assert not {"early it", "late and"} & set(name.seen)


def test_what_a_name_may_be_said_for() -> None:
    assert {chess.square_name(s) for s in confusable_squares(chess.F7)} == {
        "e7", "g7", "f8", "f6", "f2", "c7",
    }  # fmt: skip
    assert {chess.square_name(s) for s in confusable_squares(chess.A1)} == {"b1", "a2", "a8", "h1"}
    assert confusable_files("d") == ("c", "e")
    assert confusable_files("a") == ("b", "h")


SPANISH = "e4 e5 Nf3 Nc6 Bb5"
ISOLATED = "d4 d5 c4 e6 Nc3 c5 cxd5 exd5 Nf3 Nc6 g3 Nf6 Bg2 Be7 O-O O-O dxc5 Bxc5"


@pytest.mark.parametrize(
    ("line", "words", "slot", "choice", "has", "lacks"),
    [
        (SPANISH, "the bishop hits c6", Slot.SQUARE, "c6", "moved hits|hit|other's N", "empty"),
        (SPANISH, "the bishop looks at d7", Slot.SQUARE, "d7", "moved behind man", "moved bears"),
        (SPANISH, "the knight on c6", Slot.SQUARE, "c6", "that man", "another man"),
        (SPANISH, "the bishop on c6", Slot.SQUARE, "c6", "another man", "that man"),
        (SPANISH, "a knight on d4", Slot.SQUARE, "d4", "no man|that man goes", "that man"),
        (ISOLATED, "the pawn on d5", Slot.SQUARE, "d5", "isolated|that man", "passed|doubled"),
        (SPANISH, "the bishop moved", Slot.PIECE, "B", "moved", "taken"),
        (SPANISH, "the knight on c6", Slot.PIECE, "N", "stands there|hit by it", "goes there"),
        (ISOLATED, "the knight took it", Slot.PIECE, "B", "moved", "none left"),
        (ISOLATED, "White is better", Slot.SIDE, "w", "fewer isolated|to move", "more isolated"),
        (ISOLATED, "White is better", Slot.SIDE, "b", "more isolated|moved|took", "to move"),
        (ISOLATED, "White's bishop on c5", Slot.SIDE, "b", "that man there", "that man goes there"),
        (ISOLATED, "the c file is open", Slot.FILE, "c", "open", "half open"),
        (ISOLATED, "the d file is open", Slot.FILE, "d", "half open|other's Q on it", "open"),
    ],
)  # fmt: skip
def test_what_is_true_of_a_choice(
    line: str, words: str, slot: Slot, choice: str, has: str, lacks: str
) -> None:
    name = next(name for name in names(words) if name.slot is slot)
    true = set(traits(scene(line), name, choice))
    assert set(has.split("|")) <= true
    assert not set(lacks.split("|")) & true


def test_the_talk_to_come_is_true_of_squares_and_sides() -> None:
    after = scene(SPANISH, "a6 Ba4 Nf6")
    square = next(n for n in names("he looks at f6") if n.slot is Slot.SQUARE)
    side = next(n for n in names("Black goes on") if n.slot is Slot.SIDE)
    assert "soon there" in traits(after, square, "f6")
    assert "next there" in traits(after, square, "a6")
    assert "moves next" in traits(after, side, "b")
    assert "moves second" in traits(after, side, "w")


@pytest.mark.parametrize("fen", [
    chess.STARTING_FEN,
    "r1bqkbnr/1ppp1ppp/p1n5/1B2p3/4P3/5N2/PPPP1PPP/RNBQK2R w KQkq - 0 4",
    "8/2p5/3p4/KP5r/1R3p1k/8/4P1P1/8 w - - 0 1",
])  # fmt: skip
def test_men_could_go_where_the_rules_let_them(fen: str) -> None:
    """Held against python-chess's pseudo-legal moves: all but castling and en passant."""
    board = chess.Board(fen)
    for white in chess.COLORS:
        board.turn = white
        board.ep_square = None
        made = {(m.from_square, m.to_square) for m in board.pseudo_legal_moves}
        castles = {(m.from_square, m.to_square) for m in board.generate_castling_moves()}
        found = {
            (place, square)
            for place in chess.SquareSet(board.occupied_co[white])
            for square in chess.SQUARES
            if could_go(board, place, square)
        }
        assert found == made - castles


def test_a_man_bears_directly_and_through_others() -> None:
    board = scene(SPANISH).board
    assert bears(board, chess.B5, chess.C6) == 1
    assert bears(board, chess.B5, chess.E8) == 2
    assert bears(board, chess.B5, chess.B6) == 0
    assert bears(board, chess.G8, chess.F6) == 1


def test_chances_of_choices_add_up_and_follow_what_goes_with_the_words() -> None:
    goes = {"": {"hit": 1.0}, "-1 attacks": {"hit": 2.0}}
    true = (("hit", "man"), ("man",))
    plain = [math.exp(chance_) for chance_ in log_chances([""], true, goes)]
    said = [math.exp(chance_) for chance_ in log_chances(["", "-1 attacks"], true, goes)]
    assert math.isclose(sum(plain), 1.0)
    assert plain[0] == pytest.approx(math.e / (1 + math.e))
    assert said[0] == pytest.approx(math.exp(3) / (1 + math.exp(3)))


def test_the_chance_of_a_slip_is_a_logistic_of_what_is_seen() -> None:
    assert chance({"": 1.0, "gap": 2.0}, {"": -1.0, "gap": 0.5}) == 0.5
    assert chance({"": 1.0, "word x": 1.0}, {"": -1.0}) == 0.27
    assert FARTHEST > 0


def test_the_models_that_ship_know_every_kind_of_name() -> None:
    models = default_models()
    assert isinstance(models, Models)
    assert set(models.apt) == {slot.value for slot in Slot}
    assert all(len(goes) > 100 for goes in models.apt.values())
    assert _of_gap(0, models) < 0.05 < _of_gap(10, models)


def _of_gap(gap: float, models: Models) -> float:
    """How likely a square is a slip, by how much better another goes here and on the next board."""
    over = {f"gap over {least}": max(gap - least, 0) / 4 for least in (2, 4, 6)}
    features = {"": 1.0, "square": 1.0, "gap": gap / 4, "gap next": gap / 4, **over}
    return chance(features, models.slip)
