"""What a speaker takes back before he goes on, and what stands behind it."""

from __future__ import annotations

from time import process_time

import pytest

from linewright.source import Source
from linewright.talk.heard import Heard, hear
from linewright.talk.taken_back import without_taken_back
from linewright.talk.transcript import read_transcript
from linewright.talk.vocabulary import Lexicon, Token, tokenise

ITALIAN = "e4, e5, knight f3, knight c6, bishop c4, bishop c5, c3, knight f6, d3, d6"


def heard(text: str, answers: dict[str, str] | None = None) -> Heard:
    return hear(read_transcript(Source("talk.txt", text)), answers=answers)


def spoken(said: str) -> tuple[Token, ...]:
    return tokenise([(word, word[-1], 0.0) for word in said.split()])


def line(talk: Heard) -> list[str]:
    (only,) = talk.lines
    return [move.san for move in only.moves]


@pytest.mark.parametrize(
    ("said", "kept"),
    [
        ("plays rook h6 no wait pawn h3 then", "plays pawn h3 then"),
        ("the night to f6 no sorry the night to f3 and", "the night to f3 and"),
        ("develops the bishop to g4 no sorry i mean to g5", "develops the bishop to g5"),
        ("rook a to d1 no hang on castles now", "castles now"),
        ("bishop to no sorry queen e2", "queen e2"),
        ("knight e2 no wait knight g3 no sorry knight h4", "knight h4"),
        ("to a6 no sorry to b6 no wait to c6", "to c6"),
        ("e4 no wait knight f3", "knight f3"),
        ("knight f3, d6, no, sorry, knight c6", "knight f3 knight c6"),
        ("rook e1 a6 no sorry rook e8", "rook e1 rook e8"),
        ("e takes f4, knight f3, g5, no, hang on, bishop e7", "e takes f4 knight f3 bishop e7"),
        ("f4 e takes f4 no sorry bishop c5", "f4 bishop c5"),
        ("the knight, to f6, no, sorry, the knight to f3", "the knight to f3"),
        ("knight g1 to f3 no sorry bishop f1 to c4", "bishop f1 to c4"),
        ("c takes d5 no sorry e takes d5", "e takes d5"),
        ("castles no sorry castles queenside", "castles queenside"),
    ],
)
def test_what_is_taken_back_is_left_out(said: str, kept: str) -> None:
    tokens = spoken(said)
    assert " ".join(t.text for t in without_taken_back(Lexicon.of(tokens))) == kept


@pytest.mark.parametrize(
    "said",
    [
        "the bishop comes to f5 no hang on the d7 knight is in the way",
        "knight f6 no sorry then it is another opening",
        "bishop c4 no wait bishop c4 is right",
        "the rook looks along the rank no wait knight f3",
        "we do not trade the bishop no not the bishop on e7",
        "knight f6. No, sorry, knight f3",
        "bishop g5, h6, no wait, g5 is hit by the pawn",
        "bishop h4, g5, no, wait, bishop g3 is fine",
        "black wants bishop g4, no, hang on, h3 stops that",
        "can white play bishop g5 here no sorry h6",
        "bishop g5 no sorry h6 kicks it",
        "what about queen h5 no wait knight f6",
        "is it check on h7 no wait the king on g8 takes",
        "queen h7 no wait the king takes",
    ],
)
def test_what_nothing_of_its_kind_replaces_stays(said: str) -> None:
    tokens = spoken(said)
    assert without_taken_back(Lexicon.of(tokens)) == tokens


def test_what_is_asked_is_not_taken_back_by_its_answer() -> None:
    tokens = tokenise([("Rook", "", 0.0), ("e1", "?", 0.0), ("No,", "", 0.0), ("wait,", "", 0.0),
                       ("rook", "", 0.0), ("f2", ".", 0.0)])  # fmt: skip
    assert without_taken_back(Lexicon.of(tokens)) == tokens


@pytest.mark.parametrize(
    ("led_to", "taken_back", "meant"),
    [
        (". Now", "rook h5, no, wait,", "pawn h3. Then castles, and castles."),
        (" now we bring the bishop to", "f4 no sorry to", "g5 then h6 and bishop h4"),
        (
            " now white brings the night",
            "to d7 no sorry the night",
            "b to d2 then castles and castles",
        ),
    ],
)
def test_a_talk_is_heard_as_if_it_had_not_been_said(
    led_to: str, taken_back: str, meant: str
) -> None:
    """Found in use: both moves were lost, or the man was, and a correction was told as a slip."""
    talk = heard(f"{ITALIAN}{led_to} {taken_back} {meant}")
    as_meant = heard(f"{ITALIAN}{led_to} {meant}")
    assert line(talk) == line(as_meant)
    assert len(line(talk)) == 13
    assert not talk.slips
    assert len(talk.questions) == len(as_meant.questions)


def test_many_signs_take_no_longer_than_as_many_words() -> None:
    """Found in use: a run of them was walked through again from each of its words."""
    said = spoken("no no wait " * 2000 + "knight f3")
    began = process_time()
    without_taken_back(Lexicon.of(said))
    assert process_time() - began < 5


def test_an_answer_is_about_what_was_said_then() -> None:
    """Found in use: the move stood on the words that were taken back."""
    words = ITALIAN + ". Now rook h6, no, wait, pawn h6. Then castles, and castles."
    place = f"word {len(ITALIAN.split()) + 3} h6"
    talk = heard(words, {place: "h4"})
    (said,) = [m.said for m in talk.moves.values() if m.said and "h6" in m.said.text]
    assert said.first > words.split().index("wait,")
