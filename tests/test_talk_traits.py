"""What words without a square may say of a move: its traits on the board."""

from __future__ import annotations

import chess
import pytest

from linewright._core import TRAITS, traits_of_moves
from linewright.talk.usual import opening_book


def traits(line: str, san: str, named: str = "") -> set[str]:
    """The traits of a move after a line, both in short notation."""
    board = chess.Board()
    played = []
    for move in line.split():
        played.append(board.push_san(move).uci())
    square = chess.parse_square(named) if named else None
    found = dict(traits_of_moves(opening_book(), played, square))
    return {TRAITS[place] for place in found[board.parse_san(san).uci()]}


SPANISH = "e4 e5 Nf3 Nc6 Bb5"


@pytest.mark.parametrize(
    ("line", "san", "has", "lacks"),
    [
        (SPANISH, "a6", "Pawn HitsTheMover HitsBishop FileA QueensWing", "Takes Meets Again"),
        (SPANISH, "Nd4", "Knight HitsTheMover Again", "GoesBack Develops"),
        (f"{SPANISH} a6", "Bxc6", "Takes TakesKnight Exchanges Again", "TakesBack GivesUp"),
        (f"{SPANISH} a6", "Ba4", "GoesBack Flees Again", "Returns GoesHome"),
        (f"{SPANISH} a6", "Bf1", "GoesBack GoesHome Returns", "Develops"),
        (f"{SPANISH} a6 Bxc6", "dxc6", "Takes TakesBishop TakesBack FileD", "TakesTheMover"),
        (f"{SPANISH} Nf6", "O-O", "CastlesShort KingsWing", "King Rook"),
        (f"{SPANISH} d6", "d4", "TwoSteps Centre Meets FileD", "Closes"),
        ("e4 e6 d4 d5", "e5", "Closes Pawn FileE", "Meets TwoSteps"),
        ("e4 e6 d4 d5", "exd5", "TakesPawn TakesTheMover", "Closes Exchanges"),
        ("e4 e5 Nf3 Nc6 Bc4 Nf6 Ng5", "d5", "Meets HitsBishop Centre", "Checks"),
        ("d4 Nf6 c4 e6 Nc3", "Bb4", "Bishop Pins HitsKnight Develops", "Offers"),
        ("d4 Nf6 c4 e6 Nc3 Bb4", "Bd2", "Unpins Develops", "Offers Checks"),
        ("e4 e5 Qh5 Nc6 Bc4 Nf6", "Qxf7#", "Mates Checks TakesPawn Queen", "Blocks"),
        ("d4 e6 c4 Bb4+", "Bd2", "AnswersCheck Blocks Offers", "Flees"),
        ("e4 c5 Nf3 g6 d4", "Bg7", "Fianchetto Develops", "OpenFile"),
        ("e4 e5 Nf3 Nf6", "Nxe5", "WinsSomething TakesPawn", "GivesUp"),
        ("e4 e5 Bc4 Nf6", "Bxf7+", "GivesUp Checks TakesPawn", "WinsSomething"),
        ("e4 e5 Nf3", "Nf6", "Mirrors Develops HitsPawn", "Again"),
        ("e4 d5 exd5 Qxd5 Nc3", "Qd8", "Flees Returns GoesHome Again", "Checks"),
    ],
)
def test_what_a_move_does(line: str, san: str, has: str, lacks: str) -> None:
    found = traits(line, san)
    assert set(has.split()) <= found
    assert not set(lacks.split()) & found


def test_a_square_named_is_met_by_a_move_that_bears_on_it() -> None:
    assert "MeetsNamed" in traits("e4 e5", "Nf3", "e5")
    assert "MeetsNamed" not in traits("e4 e5", "Nc3", "e5")
    assert "MeetsNamed" not in traits("e4 e5", "Nf3")


def test_every_legal_move_has_a_kind_of_piece() -> None:
    kinds = {"Pawn", "Knight", "Bishop", "Rook", "Queen", "King", "CastlesShort", "CastlesLong"}
    line = "e2e4 e7e5 g1f3 b8c6 f1b5 g8f6".split()
    found = traits_of_moves(opening_book(), line)
    assert len(found) == chess.Board(after(line)).legal_moves.count()
    for _, places in found:
        assert len(kinds & {TRAITS[place] for place in places}) == 1


def after(line: list[str]) -> str:
    board = chess.Board()
    for uci in line:
        board.push_uci(uci)
    return board.fen()


def test_a_line_that_is_not_legal_is_refused() -> None:
    with pytest.raises(ValueError, match="e2e5"):
        traits_of_moves(opening_book(), ["e2e5"])
