"""What-if boards that a talk tells by listing the men."""

from __future__ import annotations

from time import process_time

import pytest

from linewright.following import follow
from linewright.hearing import statements_of, with_sides_told_wrong
from linewright.script import parse
from linewright.source import Source
from linewright.talk.heard import Heard, hear
from linewright.talk.imagined import imagined_boards
from linewright.talk.transcript import read_transcript
from linewright.talk.vocabulary import Lexicon, tokenise
from linewright.talk.writing import script_text

OPEN = "White plays d4, Black plays d5, c4, e6, knight c3, knight f6. "
MAIN = ["d4 d5 c4 e6 Nc3 Nf6 Bg5 Be7"]


def heard(text: str) -> Heard:
    return hear(read_transcript(Source("talk.txt", text)))


def lines(talk: Heard) -> list[str]:
    return [" ".join(move.san for move in line.moves) for line in talk.lines]


@pytest.mark.parametrize(
    ("words", "edits"),
    [
        ("Imagine there are just the kings and White has pawns on c5 and d4 and Black has pawns on c6"
         " and d5 and a bishop on d7.", "only=K&place=Pd4,Pc5,pd5,pc6,bd7"),
        ("Now imagine only the kings, White's pawns on c5 and d4, Black's pawns on d5 and c6 and a"
         " bishop on d7.", "only=K&place=Pd4,Pc5,pd5,pc6,bd7"),
        ("Picture only the kings. White has a rook on d1. Black has a rook on d8 and a pawn on d4.",
         "only=K&place=Rd1,pd4,rd8"),
        ("Picture just kings, White's knights and Black's bishops.",
         "only=KBN&remove=c1,f1,f6,b8"),
        ("Imagine just White's king on e4 and a pawn on d5 against Black's king on e7.",
         "only=K&remove=e1,e8&place=Ke4,Pd5,ke7"),
        ("Picture only the pawns and kings and a bishop on d7 for Black.", "only=KP&place=bd7"),
        ("Picture the board without the queens and the rooks.", "remove=a1,d1,h1,a8,d8,h8"),
        ("Picture it without queens, rooks and knights.",
         "remove=a1,d1,g1,h1,c3,f6,a8,b8,d8,h8"),
        ("Picture it without queens, rooks, bishops or knights.",
         "remove=a1,c1,d1,f1,g1,h1,c3,f6,a8,b8,c8,d8,f8,h8"),
        ("Picture it with no queens, bishops or rooks.",
         "remove=a1,c1,d1,f1,h1,a8,c8,d8,f8,h8"),
        ("Picture it without the queens nor the rooks.", "remove=a1,d1,h1,a8,d8,h8"),
    ],
)  # fmt: skip
def test_a_board_is_told_by_listing_its_men(words: str, edits: str) -> None:
    """Found in use: of men listed some were played as moves, and no board was shown."""
    talk = heard(OPEN + words + " Back to our game, bishop g5, bishop e7.")
    assert [board.edits for board in talk.what_if] == [edits]
    assert lines(talk) == MAIN and not talk.slips and not talk.questions
    lesson = follow(parse(Source("talk.md", script_text(talk))))
    shown = [step.imagined for step in lesson.steps if step.imagined]
    assert [(board.fen, board.why) for board in shown] == [(talk.what_if[0].fen, "")]


def test_men_named_on_a_listed_board_are_no_moves_and_no_slips() -> None:
    """Found in use: "the pawn on e6 is in its way" of such a board was played, four moves early."""
    told = (
        "Imagine just the kings, White's pawns on c5 and d4 and Black's pawns on d5 and c6 and a"
        " bishop on d7. Look at that bishop, the pawn on c6 is in its way, and the bishop on d7 sleeps."
    )
    talk = heard(OPEN + told + " Back to our game, bishop g5, bishop e7.")
    assert lines(talk) == MAIN and not talk.slips and not talk.questions


@pytest.mark.parametrize(
    "words",
    [
        "Imagine he waits. Now only the knight on c3 and White's pawn on c4 look at d5.",
        "Suppose only the queen on d1 and the knight on c3 look at d5.",
        "Imagine a knight on e5.",
    ],
)
def test_men_that_are_only_talked_about_list_no_board(words: str) -> None:
    talk = heard(OPEN + words + " Bishop g5, bishop e7.")
    assert not talk.what_if and lines(talk) == MAIN


def test_a_board_told_in_more_sentences_is_shown_at_the_last() -> None:
    talk = heard(
        OPEN + "Picture only the kings. White has a pawn on c5. Black has a pawn on c6, now."
    )
    script = script_text(talk)
    assert (
        "kings. White has a pawn on c5. [Black has a pawn on c6](?only=K&place=Pc5,pc6), now"
        in script
    )


def test_the_words_of_a_pictured_board_keep_their_marks() -> None:
    script = script_text(heard(OPEN + "Picture it without queens, rooks and knights. Bishop g5."))
    assert "[without queens, rooks and knights](?" in script


@pytest.mark.parametrize(
    "words",
    [
        "Imagine just the kings, White's pawn on d5 and Black's pawn on c4. Back to it, bishop g5, bishop e7.",
        "Picture just the kings. White has a pawn on d5. Black has a knight on c3. Back to it, bishop g5, bishop e7.",
        "Picture just the kings, White's knight on f6 and Black's bishop on d7. The knight on f6 is strong."
        " Back to it, bishop g5, bishop e7.",
    ],
)  # fmt: skip
def test_men_listed_on_squares_of_other_men_are_no_slips(words: str) -> None:
    """Found in use: "White's pawn on d5" of a pictured board was told as a slip of the game's."""
    talk = with_sides_told_wrong(heard(OPEN + words))
    assert len(talk.what_if) == 1 and lines(talk) == MAIN
    assert not talk.slips and not talk.questions
    assert not [v for v, _, _ in statements_of(talk) if v.verdict == "fails"]


@pytest.mark.parametrize(
    ("words", "edits"),
    [
        ("Picture just the kings, White's pawn on a5 and Black's pawn on b7. Bishop g5, bishop e7.",
         "only=K&place=Pa5,pb7"),
        ("Picture just the kings, White's pawns on a5 and b4 and Black's pawns on a6 and b7. G3! Be7.",
         "only=K&place=Pb4,Pa5,pa6,pb7"),
        ("Picture just the kings. White has a pawn on b4 and Black has a pawn on b7. G3, bishop e7.",
         "only=K&place=Pb4,pb7"),
    ],
)  # fmt: skip
def test_a_square_behind_a_list_is_a_move(words: str, edits: str) -> None:
    """Found in use: of "a pawn on d5. C4!" the move was taken for one more man of the list."""
    talk = heard(OPEN + words)
    assert [board.edits for board in talk.what_if] == [edits]
    first = "g3" if "G3" in words else "Bg5"
    assert lines(talk) == [f"d4 d5 c4 e6 Nc3 Nf6 {first} Be7"] and not talk.slips


@pytest.mark.parametrize(
    "words",
    [
        "That is all. So White castles, castles, and the bishop on c4 goes to b3, a6.",
        "That is all. So White castles, castles, and here the bishop on c4 now goes to b3, a6.",
        "In the real position White castles, castles, bishop on c4 to b3, a6.",
    ],
)
def test_a_listed_man_that_moves_in_the_game_makes_a_move(words: str) -> None:
    """Found in use: "the bishop on c4 goes to b3" was passed over for sixty words after a list."""
    opening = "e4, e5, knight f3, knight c6, bishop c4, bishop c5, c3, knight f6, d3, d6. "
    told = "Imagine just the kings, White's bishop on c4 and Black's pawn on f7. "
    talk = heard(opening + told + words)
    assert lines(talk) == ["e4 e5 Nf3 Nc6 Bc4 Bc5 c3 Nf6 d3 d6 O-O O-O Bb3 a6"]


@pytest.mark.parametrize(
    ("words", "both"),
    [
        ("Imagine just the kings, a white pawn on e5 and a black pawn on e5.",
         "the white pawn and the black pawn would both stand on e5"),
        ("Imagine just the kings, White's rook on e1 and Black's rook on d8.",
         "the white king and the white rook would both stand on e1"),
        ("Picture just kings, White's knights and a black bishop on c3.",
         "the white knight and the black bishop would both stand on c3"),
    ],
)  # fmt: skip
def test_two_men_listed_on_one_square_are_told(words: str, both: str) -> None:
    """Found in use: of two men on one square the first was gone from the board without a word."""
    talk = heard(OPEN + words + " Back to our game, bishop g5, bishop e7.")
    told = [f.message for f in talk.transcript.findings if f.rule == "two-men-on-a-square"]
    assert len(told) == 1 and both in told[0]
    assert not talk.what_if and lines(talk) == MAIN


def test_a_king_told_elsewhere_leaves_his_square() -> None:
    words = "Imagine just White's king on e4 and a rook on e1 against Black's king on e7."
    talk = heard(OPEN + words + " Back to our game, bishop g5, bishop e7.")
    assert [board.edits for board in talk.what_if] == ["only=K&remove=e8&place=Re1,Ke4,ke7"]
    assert not [f for f in talk.transcript.findings if f.rule == "two-men-on-a-square"]


@pytest.mark.parametrize("said", ["the and ", "only just the "])
def test_words_between_men_take_no_longer_than_as_many_words(said: str) -> None:
    """Found in use: a run of them was walked through again from each of its words."""
    lexicon = Lexicon.of(tokenise([(word, "", 0.0) for word in (said * 8000).split()]))
    began = process_time()
    assert not list(imagined_boards(lexicon))
    assert process_time() - began < 5
