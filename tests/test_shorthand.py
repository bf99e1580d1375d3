"""Notes in shorthand written out, and judged as what they stand for."""

from __future__ import annotations

import chess
import pytest

from linewright.english.shorthand import written_out
from linewright.english.words import read_words
from linewright.statements import judge

FRENCH = "e4 e6 d4 d5 Nc3 Bb4 e5 c5 a3 Bxc3+ bxc3 Ne7".split()
NOTES = {
    "Nc3 pinned (Bb4 - Ke1).": "the knight on c3 is pinned .",
    "B-pair: Black.": "black has the bishop pair .",
    "f7: 1 attacker (Bc4), 1 defender (K).": "f7 has 1 attackers and 1 defenders .",
    "d5: 2 v 2.": "d5 has 2 attackers and 2 defenders .",
    "Open files: d, e.": "the d and e files are open .",
    "c-file: half-open B, d-file: half-open W.": "the c file is half open for black , the d file is half open for white .",
    "Black O-O possible now.": "black can castle short .",
    "White +1.": "white is up by 1 .",
    "IQP: d5.": "the pawn on d5 is isolated .",
    "NB: rook d2 undefended.": "the rook on d2 is undefended .",
    "Pawn c4 attacked by pawn d5.": "the pawn on c4 is attacked by the pawn on d5 .",
    "To note: c-file open.": "the c file is open .",
    "Plus for White: the bishop pair.": "white has the bishop pair .",
    "Remember: Black a pawn ahead.": "black is a pawn ahead .",
    "Half-open b-file for White.": "the b file is half open for white .",
    "Black without dark-squared bishop.": "black has no dark squared bishop .",
    "a-pawn isolated.": "the a pawn is isolated .",
    "White long, Black short.": "white has castled long , black has castled short .",
    "Kingside: White 3, Black 4.": "white has 3 pawns against 4 on the kingside .",
}
SENTENCES = (
    "Nc3 is a good move.",
    "White: what a game!",
    "The plan: castle and attack.",
    "Open question: who is better?",
    "1.e4 e5 2.Nf3 Nc6",
    "Nf3, then Bb5.",
    "Remember: rooks belong on open files.",
    "Black coffee, white tablecloth.",
    "Homework: three exercises.",
    "Two white pieces hit f7.",
    "5.c3 blocked the check.",
    "White castled short, and Black castled long.",
)
HOLDS = ("Pair: White.", "b-file: half-open W.", "d4: 1 attacker, 2 defenders.", "Half-open: b.")
FAILS = ("Open files: d.", "Nc3 pinned.", "Black +1.", "White O-O possible.")


@pytest.mark.parametrize(("said", "out"), NOTES.items())
def test_a_note_is_written_out(said: str, out: str) -> None:
    made = written_out(read_words(said))
    assert " ".join(token.text for token in made) == out
    assert [t.start for t in made] == sorted(t.start for t in made)


@pytest.mark.parametrize("said", SENTENCES)
def test_a_sentence_is_left_as_it_is(said: str) -> None:
    tokens = read_words(said)
    assert written_out(tokens) == tokens


@pytest.mark.parametrize(
    ("said", "verdict"), [(s, "holds") for s in HOLDS] + [(s, "fails") for s in FAILS]
)
def test_notes_are_judged(said: str, verdict: str) -> None:
    board = chess.Board()
    for san in FRENCH:
        board.push_san(san)
    assert [v.verdict for v in judge(said, board, chess.WHITE)] == [verdict]
