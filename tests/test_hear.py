"""Talks heard from plain words: what is played, supposed, mentioned, gone back to, said wrong."""

from __future__ import annotations

import json
from importlib import resources

import chess
import pytest
from jsonschema import Draft202012Validator

from linewright.hearing import as_record
from linewright.lesson import follow
from linewright.script import parse
from linewright.source import Source
from linewright.talk.heard import Heard, hear
from linewright.talk.transcript import read_transcript
from linewright.talk.vocabulary import Lexicon, tokenise
from linewright.talk.writing import corrected_captions, place_of, script_text, slip_list


def heard(text: str, answers: dict[str, str] | None = None) -> Heard:
    return hear(read_transcript(Source("talk.txt", text)), answers=answers)


def lines(talk: Heard) -> list[str]:
    return [" ".join(move.san for move in line.moves) for line in talk.lines]


OPEN = "White plays e4, Black replies e5, knight f3, knight c6. "


@pytest.mark.parametrize(
    ("words", "wanted"),
    [
        ("pawn to e4, and black replies with the Caro-Kann, c6.", "e4 c6"),
        ("e4 e5. Knight to f three, knight c6, bishop to b five.", "e4 e5 Nf3 Nc6 Bb5"),
        ("e4 e5 knight f3 knight c6 bishop b5 knight f6. White castles and Black grabs the pawn on e4.",
         "e4 e5 Nf3 Nc6 Bb5 Nf6 O-O Nxe4"),
        ("e4 e5 knight f3 knight c6 bishop b5 a6. Bishop takes c6, d takes c6.",
         "e4 e5 Nf3 Nc6 Bb5 a6 Bxc6 dxc6"),
        ("d4 d5, c4 e6, knight c3, knight f6, c takes d5, and Black takes back with the pawn.",
         "d4 d5 c4 e6 Nc3 Nf6 cxd5 exd5"),
        ("e4 e5, night f3, night c6, bishop c for.", "e4 e5 Nf3 Nc6 Bc4"),
        ("e4 c5, Nf3 d6, d4 cxd4, Nxd4.", "e4 c5 Nf3 d6 d4 cxd4 Nxd4"),
    ],
)  # fmt: skip
def test_moves_as_teachers_say_them(words: str, wanted: str) -> None:
    assert lines(heard(words)) == [wanted]


def test_what_is_wanted_or_feared_is_not_played() -> None:
    talk = heard(OPEN + "Now White wants to play d4, but first bishop c4. Black stops knight g5.")
    assert lines(talk) == ["e4 e5 Nf3 Nc6 Bc4"]


def test_a_supposed_line_returns_to_where_it_began() -> None:
    talk = heard(
        OPEN + "Bishop c4, bishop c5, c3, knight f6. If White goes d4 at once, then pawn takes d4,"
        " pawn takes d4, bishop b4 check. So White plays d3, and Black castles."
    )
    assert "e4 e5 Nf3 Nc6 Bc4 Bc5 c3 Nf6 d3 O-O" in lines(talk)
    kinds = {line.kind for line in talk.lines}
    assert kinds == {"shown", "supposed"}


def test_instead_of_a_move_stands_where_that_move_stood() -> None:
    talk = heard(OPEN + "Bishop b5, a6. Instead of bishop b5 White can also play bishop c4.")
    assert lines(talk) == ["e4 e5 Nf3 Nc6 Bb5 a6", "e4 e5 Nf3 Nc6 Bc4"]


def test_a_legal_move_can_be_the_wrong_one() -> None:
    """Common practice, no source: in this line the knight goes to f5 and the queens are exchanged."""
    talk = heard(
        OPEN + "Bishop b5, knight f6, castles, knight takes e4, d4, knight d6, bishop takes c6,"
        " d takes c6, and White restores the balance. Black brings the bishop to f5. Both queens"
        " disappear. Now that the knight stands on f5, White plays knight c3."
    )
    line = lines(talk)[0]
    assert line.endswith("dxe5 Nf5 Qxd8+ Kxd8 Nc3")
    slip = talk.slips[0]
    assert (slip.meant, slip.kind) == ("Nf5", "piece")
    assert "bishop to f5" in slip.said.text


def test_every_move_has_its_words_or_says_that_it_was_not_said() -> None:
    talk = heard(
        "Queen's pawn, queen's pawn, c4, e6, knight c3, knight f6, bishop g5. Castles. e3."
    )
    for line in talk.lines:
        board = chess.Board()
        for move in line.moves:
            board.push_san(move.san)
            assert move.said is None or move.said.text


def test_an_answer_is_not_asked_again() -> None:
    words = OPEN + "Bishop c4, bishop c5, and the knight comes out."
    first = heard(words)
    for question in first.questions:
        answers = {place_of(question.said): question.choices[-1]}
        again = heard(words, answers)
        assert question.said not in [q.said for q in again.questions]


def test_captions_keep_everything_but_the_corrected_words() -> None:
    text = (
        "WEBVTT\n\n00:01.000 --> 00:04.000\n<i>e4</i> e5, night f3\n\n"
        "00:04.000 --> 00:08.000\nnight c6, bishop be five.\n"
    )
    talk = hear(read_transcript(Source("talk.vtt", text)))
    wanted = text.replace("night f3", "knight f3").replace("night c6", "knight c6")
    assert corrected_captions(talk) == wanted.replace("be five", "b5")
    assert next((c.said.text, c.now) for c in talk.caption_changes) == ("night", "knight")


def test_the_report_fits_its_published_schema() -> None:
    schema = json.loads(
        resources.files("linewright").joinpath("schemas/hear.schema.json").read_text("utf-8")
    )
    record = as_record(heard(OPEN + "Picture the board with just kings and pawns. Bishop b5."))
    Draft202012Validator(schema).validate(record)
    assert record["what_if"][0]["edits"] == "only=KP"


def test_the_script_puts_the_board_where_the_talk_had_it() -> None:
    talk = heard(OPEN + "Bishop b5, a6. Instead of bishop b5 White can also play bishop c4.")
    lesson = follow(parse(Source("script.md", script_text(talk))))
    leaves = [
        " ".join(node.san for node in lesson.tree.line(i))
        for i, node in enumerate(lesson.tree.nodes)
        if not node.children
    ]
    assert leaves == lines(talk)
    assert lesson.slips == ()
    assert "No slip" in slip_list(talk)


def test_talk_that_is_not_chess_gives_nothing() -> None:
    talk = heard("We take the flour and the butter and mix them well. " * 12)
    assert talk.lines == ()
    assert any(f.rule == "not-about-chess" for f in talk.transcript.findings)


@pytest.mark.parametrize(
    ("said", "square"),
    [("before", "b4"), ("be five", "b5"), ("c for", "c4"), ("eat one", "e1"), ("if three", "f3"),
     ("age five", "h5"), ("see six", "c6"), ("e four", "e4"), ("g7", "g7")],
)  # fmt: skip
def test_squares_as_recognisers_write_them(said: str, square: str) -> None:
    """The issue's own examples and like ones; pronunciations from the CMU dictionary."""
    lexicon = Lexicon.of(tokenise([(word, "", 0.0) for word in said.split()]))
    best = lexicon.squares(0)[0]
    assert best.value == square
    assert best.end == len(said.split())
