"""Questions and their answers read as one sentence, and judged as such."""

from __future__ import annotations

import chess
import pytest

from linewright.english.answers import put_together
from linewright.english.sentences import read_sentences
from linewright.statements import judge

FRENCH = "e4 e6 d4 d5 Nc3 Bb4 e5 c5 a3 Bxc3+ bxc3 Ne7".split()
TOGETHER = {
    "Which file is open? The d-file.": "the d file is open",
    "Which pawns are doubled? The black ones on the c-file!": "the black pawns on the c file are doubled",
    "Who has the bishop pair? White.": "white has the bishop pair",
    "What does the pawn on c5 attack? The pawn on d4.": "the pawn on c5 attacks the pawn on d4",
    "How many islands does White have? Two! And Black? One!": "white has two islands and black one",
    "How many times is the pawn attacked? Twice.": "the pawn is attacked twice",
    "Whose move is it? Black's.": "it is black 's move",
    "Where is the king? Still on e8.": "the king is still on e8",
    "Guess who guards d4! The queen and the pawn!": "the queen and the pawn guard d4",
    "That d4 pawn? Protected twice.": "that d4 pawn is protected twice .",
    "Knight e7 pinned? No, not at all.": "the knight e7 is not pinned",
    "Black castled? Not yet.": "black has not castled",
    "Half-open b-file? That's ours.": "half open b file , that is ours .",
}
APART = (
    "Which file is open? I would rather not say.",
    "Who has the bishop pair? That is the question.",
    "What now? White thinks.",
    "Where? On e8.",
    "Where is? On e8.",
    "Why castle? Because the king is safer there.",
    "Which is better? If Black plays d5, the knight.",
    "What do they call it? Theory once thought it was dubious.",
)
HOLDS = (
    "Which side has the bishop pair? White.",
    "How many islands does White have? Two.",
    "Who's to move? White.",
    "That d4 pawn? Protected twice.",
    "Knight e7 pinned? Nope.",
    "White's c-pawns: doubled.",
    "d4 — our queen covers it.",
    "Is that check? No!",
)
FAILS = (
    "Which file is open? The d-file.",
    "Who has the bishop pair? Black.",
    "How many islands does White have? Three.",
    "White's dark-squared bishop? Gone.",
    "Black castled? Yes.",
    "Is that check? Yes!",
)


@pytest.mark.parametrize(("said", "read"), TOGETHER.items())
def test_a_question_and_its_answer_are_one_sentence(said: str, read: str) -> None:
    (sentence,) = put_together(read_sentences(said))
    assert " ".join(token.text for token in sentence.tokens) == read
    assert not sentence.asks
    assert all(0 <= t.start < t.end <= len(said) for t in sentence.tokens)
    starts = [t.start for t in sentence.tokens]
    assert starts == sorted(starts)


@pytest.mark.parametrize("said", APART)
def test_what_does_not_answer_stays_apart(said: str) -> None:
    assert list(put_together(read_sentences(said))) == list(read_sentences(said))


@pytest.mark.parametrize(
    ("said", "verdict"), [(s, "holds") for s in HOLDS] + [(s, "fails") for s in FAILS]
)
def test_what_is_asked_and_answered_is_judged(said: str, verdict: str) -> None:
    board = chess.Board()
    for san in FRENCH:
        board.push_san(san)
    assert [v.verdict for v in judge(said, board, chess.WHITE)] == [verdict]
