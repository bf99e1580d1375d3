"""Clauses that name no move: those that tell one, and those that only talk."""

from __future__ import annotations

import chess
import pytest

from linewright._core import TRAITS
from linewright.source import Source
from linewright.talk.clauses import default_goes, leaning_of, likely, with_clauses
from linewright.talk.heard import Heard, hear, spoken
from linewright.talk.phrases import Parser
from linewright.talk.said import Form, Phrase, Spec
from linewright.talk.transcript import read_transcript
from linewright.talk.vocabulary import Lexicon, tokenise

SPEC = Spec()
OPEN = "e4 e5, knight f3, knight c6, "


def heard(text: str) -> Heard:
    return hear(read_transcript(Source("talk.txt", text)))


def main_line(text: str) -> str:
    (line,) = heard(text).lines
    return " ".join(move.san for move in line.moves)


@pytest.mark.parametrize(
    ("words", "wanted"),
    [
        (
            "d4 d5, c4 e6, knight c3, knight f6, bishop g5, bishop e7, e3, castles, knight f3, h6."
            " White maintains the pin. b6.",
            "d4 d5 c4 e6 Nc3 Nf6 Bg5 Be7 e3 O-O Nf3 h6 Bh4 b6",
        ),
        ("e4 e6, d4 d5. White shuts the centre. c5, c3, knight c6.", "e4 e6 d4 d5 e5 c5 c3 Nc6"),
        (
            "e4 c5, knight f3 d6, d4, c takes d4, knight takes d4, knight f6, knight c3, a6, bishop e2."
            " Black gains space in the middle. Knight b3, bishop e7.",
            "e4 c5 Nf3 d6 d4 cxd4 Nxd4 Nf6 Nc3 a6 Be2 e5 Nb3 Be7",
        ),
        (
            f"{OPEN}bishop b5. He puts the question to it right away. Bishop a4, knight f6, castles.",
            "e4 e5 Nf3 Nc6 Bb5 a6 Ba4 Nf6 O-O",
        ),
        (
            f"{OPEN}bishop c4, knight f6, knight g5. He has to shut the diagonal. e takes d5,"
            " knight a5.",
            "e4 e5 Nf3 Nc6 Bc4 Nf6 Ng5 d5 exd5 Na5",
        ),
        (
            "e4 c6, d4 d5, e takes d5. The pawn captures towards the middle. Bishop d3, knight c6.",
            "e4 c6 d4 d5 exd5 cxd5 Bd3 Nc6",
        ),
        (
            "d4 knight f6, c4 g6, knight c3, bishop g7, e4, d6, knight f3, castles, bishop e2, e5."
            " White settles for safety first. Knight c6, d5, knight e7.",
            "d4 Nf6 c4 g6 Nc3 Bg7 e4 d6 Nf3 O-O Be2 e5 O-O Nc6 d5 Ne7",
        ),
        (
            "d4 d5, c4 c6, knight f3, knight f6, knight c3. The pawn helps itself on the wing. a4,"
            " bishop f5.",
            "d4 d5 c4 c6 Nf3 Nf6 Nc3 dxc4 a4 Bf5",
        ),
        (
            "e4 e5, knight f3, d6, d4, bishop g4, d takes e5. Black parts with the bishop. Queen takes"
            " f3, d takes e5.",
            "e4 e5 Nf3 d6 d4 Bg4 dxe5 Bxf3 Qxf3 dxe5",
        ),
    ],
)
def test_a_clause_tells_the_move_that_its_words_go_with(words: str, wanted: str) -> None:
    assert main_line(words) == wanted


@pytest.mark.parametrize(
    "talk",
    [
        "I was very happy with it. The tea was cold.",
        "And that is a good moment to breathe. You will see this often in the league.",
        "It looks natural, and it is what most people play.",
    ],
)
def test_mere_talk_between_moves_makes_none(talk: str) -> None:
    assert main_line(f"{OPEN}bishop b5. {talk} a6, bishop a4.") == "e4 e5 Nf3 Nc6 Bb5 a6 Ba4"


def test_a_move_told_by_a_clause_keeps_its_words_and_their_place() -> None:
    found = heard("e4 e6, d4 d5. White shuts the centre. c5, c3, knight c6.")
    move = next(move for move in found.moves.values() if move.san == "e5")
    assert move.said is not None
    assert move.said.text.casefold() == "shuts the centre"


# --- which clauses there are ---------------------------------------------------------------------


def clauses(text: str) -> list[str]:
    lexicon = Lexicon.of(tokenise(spoken(read_transcript(Source("talk.txt", text)))))
    found = with_clauses(lexicon, Parser(lexicon).phrases())
    return [
        " ".join(lexicon.text(k) for k in range(phrase.first, phrase.end))
        for same in found.values()
        for phrase in same
        if phrase.form is Form.CLAUSE
    ]


def test_a_clause_is_what_names_no_move_between_stops_and_joining_words() -> None:
    assert clauses("Knight f3, and he digs in, then she smiles warmly.") == [
        "digs in",
        "smiles warmly",
    ]


def test_a_square_alone_behind_it_is_what_a_clause_is_about() -> None:
    assert clauses("Now he looks after e4, of course.") == ["looks after e4", "of course"]


def test_words_that_are_read_as_a_move_are_no_clause() -> None:
    assert clauses("He takes back. He castles. Bishop drops back to e2.") == []


def test_a_long_clause_is_cut() -> None:
    (found,) = clauses("sitting quietly with friends by our old stove drinking tea till late")
    assert len(found.split()) == 9


# --- what is learned -----------------------------------------------------------------------------


def test_words_lean_to_what_they_are_learned_with() -> None:
    goes = {"shuts": {"Closes": 1.5, "Takes": -0.5}, "shuts the": {"Closes": 0.25}}
    leaning = dict(zip(TRAITS, leaning_of(["shuts", "the", "shuts the"], goes), strict=True))
    assert leaning["Closes"] == 1.75
    assert leaning["Takes"] == -0.5
    assert leaning["Knight"] == 0.0


def test_the_learned_table_names_traits_that_there_are() -> None:
    assert {trait for row in default_goes().values() for trait in row} <= set(TRAITS)
    back = default_goes()["back"]
    assert back["GoesBack"] > 0.3


def test_clauses_that_hardly_tell_a_move_are_not_searched() -> None:
    told = Phrase(0, 2, Form.CLAUSE, told=-1.0, spec=SPEC)
    idle = Phrase(3, 5, Form.CLAUSE, told=-3.5, spec=SPEC)
    plain = Phrase(6, 7, Form.SQUARE, told=-3.5, spec=SPEC)
    found = {0: [told], 3: [idle], 6: [plain]}
    assert likely(found, lambda _: False) == {0: [told], 6: [plain]}
    assert likely(found, lambda spot: spot == (3, 5)) == found


QUIET = (
    "d4 d5 c4 d takes c4 knight f3 knight f6 e3 e6 bishop takes c4 c5 castles a6 bishop b3 knight c6"
    " knight c3 bishop e7 queen e2 c takes d4 rook d1 castles e takes d4"
)


def test_a_square_that_is_called_one_is_a_place_and_tells_no_other_move() -> None:
    """Found in use: "it gives us the e5 square for the night" took a pawn with another knight."""
    line = main_line(
        f"{QUIET} it leaves us the e5 square for the night and black must sit and wait so what does he"
        " do he goes night a5 and bishop c2 b5 bishop g5 bishop b7"
    )
    assert line.endswith("O-O exd4 Na5 Bc2 b5 Bg5 Bb7")


def test_a_square_that_is_called_one_is_what_its_clause_speaks_of() -> None:
    lexicon = Lexicon.of(tokenise(spoken(heard("e4 e5. he eyes the d4 square now").transcript)))
    found = with_clauses(lexicon, Parser(lexicon).phrases())
    (clause,) = [p for same in found.values() for p in same if p.form is Form.CLAUSE]
    assert clause.spec.met_square == chess.D4
    assert clause.price == 0


def test_a_misheard_square_behind_a_clause_is_no_cheaper_than_alone() -> None:
    """Found in use: "he has to do something gee six" was any move but g6."""
    line = main_line(
        f"{QUIET} knight a5 bishop c2 b5 bishop g5 bishop d7 knight e5 rook c8 queen d3 aiming at h7"
        " and everybody sees the threat bishop takes f6 and then queen takes h7 mate so he has to do"
        " something gee six and now our queen goes across queen h three"
    )
    assert "Qd3 g6" in line


def phrases_of(text: str) -> set[str]:
    """The words of each phrase that is found in some words."""
    lexicon = Lexicon.of(tokenise([(word, "", 0.0) for word in text.split()]))
    return {
        " ".join(token.text for token in lexicon.tokens[p.first : p.end])
        for same in Parser(lexicon).phrases().values()
        for p in same
        if p.price < 5
    }


def test_for_somebody_is_no_rank() -> None:
    """Found in use: "that is nice for us too" was a knight on the fourth rank."""
    assert "nice for" not in phrases_of("e4 e5 that is nice for us too")
    assert "night for" in phrases_of("e4 e5 and night for and then d5")


def test_what_nobody_says_before_takes_is_a_file() -> None:
    """Found in use: "he plays be takes see for" was a capture with any man."""
    line = main_line(
        f"{QUIET} knight a5 bishop c2 b5 bishop g5 bishop b7 knight e5 rook c8 queen d3 g6 queen h3"
        " knight d5 bishop takes e7 knight takes e7 knight e4 bishop takes e4 bishop takes e4 knight"
        " c4 knight takes c4 he plays be takes see for and b3"
    )
    assert line.endswith("Nc4 Nxc4 bxc4 b3")
    assert "see takes d5" in phrases_of("d4 d5 c4 c6 and now see takes d5 see takes d5")


def test_a_square_that_one_only_has_is_no_clause_of_another_move() -> None:
    """Found in use: "we have c4" behind "let me see" was heard as a knight's move, unasked."""
    talk = heard(
        "E4, d5, takes, queen takes, knight c3, queen d6. D4, knight f6, knight f3, c6, knight e5, knight b"
        " d7, bishop f4, knight d5, knight takes d5, and if queen takes d5, well, let me think, we have"
        " c4. Anyway, he takes with the pawn, c takes d5, and we go knight takes d7."
    )
    assert not {"9.Nf3", "9.Nc4"} & {talk.label(node) for node in talk.moves}
    told = {talk.label(node) for node in talk.moves} | {
        c for q in talk.questions for c in q.choices
    }
    assert "9.c4" in told
    assert talk.label(talk.main_line()[-1]) == "9.Nxd7"
