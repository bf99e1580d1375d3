"""Stories in the past tense, and what speakers put in to win time, read on the board they stand at."""

from __future__ import annotations

import chess
import pytest

from linewright.english.hesitation import without_hesitation
from linewright.english.narrative import told_now
from linewright.english.sentences import read_sentences
from linewright.english.words import read_words
from linewright.statements import judge

FRENCH = "e4 e6 d4 d5 Nc3 Bb4 e5 c5 a3 Bxc3+ bxc3 Ne7".split()
TOLD = {
    "White had castled.": "white has castled .",
    "The rooks were off by then, and White's knight stood on e5.": "the rooks are off by then , and white 's knight stands on e5 .",
    "Black's queen bore down on h2.": "black 's queen bears down on h2 .",
    "No file had yet been opened.": "no file has yet been opened .",
}
OF_NO_BOARD = (
    "The knight was pinned.",
    "She had castled and smiled.",
    "White was lost when the clock fell.",
    "White had a pawn on e4 before that.",
    "My knight on e5 was trapped.",
    "In that game White had the bishop pair.",
    "White has castled.",
)
PLAIN = {
    "White, um, has, I think, castled.": "white has castled .",
    "I'm fairly sure Black can't castle.": "black can not castle .",
    "The e-file is open, folks!": "the e file is open !",
    "Three pawns each, no wait, White has four.": "white has four .",
    "I don't think he can castle.": "i do not think he can castle .",
    "Yes, with the knight.": "yes , with the knight .",
}
HOLDS = (
    "White had the bishop pair.",
    "The pawns on c2 and c3 were doubled.",
    "Black's knight, I believe, has come to e7.",
    "It's, erm, White to move.",
    "I'd say the pawn on d4 is attacked once.",
)
FAILS = (
    "White had castled by then.",
    "Both kings had found safety on the kingside.",
    "The d-file, let me see, is open.",
    "Black was a pawn up.",
)


@pytest.mark.parametrize(("said", "now"), TOLD.items())
def test_a_story_is_told_of_the_board_it_has_come_to(said: str, now: str) -> None:
    (sentence,) = read_sentences(said)
    made = told_now(sentence)
    assert made is not None
    assert " ".join(token.text for token in made.tokens) == now


@pytest.mark.parametrize("said", OF_NO_BOARD)
def test_what_may_be_told_of_any_time_is_left_as_it_is(said: str) -> None:
    assert told_now(read_sentences(said)[0]) is None


@pytest.mark.parametrize(("said", "plain"), PLAIN.items())
def test_what_only_wins_time_is_left_out(said: str, plain: str) -> None:
    assert " ".join(t.text for t in without_hesitation(read_words(said))) == plain


@pytest.mark.parametrize(
    ("said", "verdict"), [(s, "holds") for s in HOLDS] + [(s, "fails") for s in FAILS]
)
def test_stories_and_hesitant_words_are_judged(said: str, verdict: str) -> None:
    board = chess.Board()
    for san in FRENCH:
        board.push_san(san)
    assert [v.verdict for v in judge(said, board, chess.WHITE)] == [verdict]
