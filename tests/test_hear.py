"""Talks heard from plain words: what is played, supposed, mentioned, gone back to, said wrong."""

from __future__ import annotations

import json
from importlib import resources
from pathlib import Path

import chess
import pytest
from jsonschema import Draft202012Validator

from linewright.following import follow
from linewright.hearing import as_record, report_text, with_sides_told_wrong
from linewright.lesson import Change
from linewright.outputs.game_file import game_of
from linewright.script import parse
from linewright.source import Source
from linewright.speech import spoken_words
from linewright.talk.answers import place_of
from linewright.talk.decoder import Decoder, default_weights
from linewright.talk.fluency import fluency, wrong_words
from linewright.talk.heard import Heard, hear
from linewright.talk.phrases import Parser
from linewright.talk.titles import title_of
from linewright.talk.transcript import read_transcript, source_from_bytes
from linewright.talk.vocabulary import Lexicon, tokenise
from linewright.talk.writing import corrected_captions, script_text, slip_list
from linewright.timing import time


def heard(text: str, answers: dict[str, str] | None = None) -> Heard:
    return hear(read_transcript(Source("talk.txt", text)), answers=answers)


def lines(talk: Heard) -> list[str]:
    return [" ".join(move.san for move in line.moves) for line in talk.lines]


TUNE = Path(__file__).parent / "talks" / "tune"
_FORMS = (".vtt", ".srt", ".md", ".txt")
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


ALBIN = (
    "d4 d5, c4 e5, d takes e5 d4, e3 bishop b4 check, bishop d2 d takes e3, bishop takes b4,"
    " e takes f2 check, king e2, "
)
"""The trap in the Albin Counter-Gambit with a promotion to a knight (well known, from memory)."""
BEFORE_PROMOTION = "d4 d5 c4 e5 dxe5 d4 e3 Bb4+ Bd2 dxe3 Bxb4 exf2+ Ke2 "


@pytest.mark.parametrize(
    ("words", "wanted"),
    [
        ("e4 e6, d4 d5, e5 c5. Now f4. Black plays f5, and White takes en passant.",
         "e4 e6 d4 d5 e5 c5 f4 f5 exf6"),
        ("e4 e6, e5 d5, e takes d6 en passant.", "e4 e6 e5 d5 exd6"),
        (f"{ALBIN}pawn takes g1 and promotes to a knight with check.", f"{BEFORE_PROMOTION}fxg1=N+"),
        (f"{ALBIN}f takes g1 promoting to a knight, check.", f"{BEFORE_PROMOTION}fxg1=N+"),
        (f"{ALBIN}f takes g1 makes a queen.", f"{BEFORE_PROMOTION}fxg1=Q"),
    ],
)  # fmt: skip
def test_pawns_take_in_passing_and_promote(words: str, wanted: str) -> None:
    talk = heard(words)
    assert lines(talk) == [wanted]
    assert not talk.slips and not talk.questions


@pytest.mark.parametrize("words", ["there would be two knights who want", "we see four pieces on"])
def test_a_number_that_counts_is_no_square(words: str) -> None:
    lexicon = Lexicon.of(tokenise([(word, "", 0.0) for word in words.split()]))
    number = next(k for k, word in enumerate(words.split()) if word in ("two", "four"))
    assert not [guess for guess in lexicon.squares(number - 1) if guess.end == number + 1]


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
    words = OPEN + "Bishop c4, and the knight comes out."
    first = heard(words)
    assert first.questions
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


def test_marks_behind_corrected_words_stay_with_them() -> None:
    """Found in use: a full stop stood alone at the start of a line."""
    text = (
        "1\n00:00:01,000 --> 00:00:05,000\nWe play e4 and e5, then knight\nf3 and knight c six.\n\n"
        "2\n00:00:05,000 --> 00:00:09,000\nOur bishop goes to c4, bishop see\n"
        "five. Then bishop takes\nf7 Czech.\n"
    )
    talk = hear(read_transcript(Source("talk.srt", text)))
    captions = corrected_captions(talk)
    assert "bishop c5.\nThen bishop" in captions
    assert "f7 check.\n" in captions


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


@pytest.mark.parametrize("behind", ["any moves", "all that", "every lesson", "we start"])
def test_what_comes_before_something_is_no_square(behind: str) -> None:
    """Found in use: "the basic deal, before any moves" was asked about as a pawn on b4."""
    assert not Lexicon.of(
        tokenise([(word, "", 0.0) for word in f"before {behind}".split()])
    ).squares(0)


@pytest.mark.parametrize(
    ("words", "wanted"),
    [
        ("White starts with d4. Black does the same. White offers the c-pawn and Black accepts.",
         "d4 d5 c4 dxc4"),
        ("d4 d5 c4 e6 knight c3 knight f6 bishop g5 knight bd7 e3.",
         "d4 d5 c4 e6 Nc3 Nf6 Bg5 Nbd7 e3"),
        ("e4 e5, knight f3. Black has to protect the pawn, d6 does it.", "e4 e5 Nf3 d6"),
    ],
)  # fmt: skip
def test_moves_that_lean_on_the_board(words: str, wanted: str) -> None:
    assert lines(heard(words)) == [wanted]


EXCHANGE = "White plays d4, Black d5, c4, e6, knight c3, knight f6, c takes d5, e takes d5, "
DEVELOPED = EXCHANGE + "bishop g5, bishop e7, e3, castles, "


@pytest.mark.parametrize(
    ("words", "wanted"),
    [
        (DEVELOPED + "bishop d3, c6, and the king's knight comes to e2.", "Bd3 c6 Nge2"),
        (DEVELOPED + "the king's knight comes to f3, the queen's knight to d7.", "Nf3 Nbd7"),
        (DEVELOPED + "bishop d3, h6. The bishop drops back to f4.", "Bd3 h6 Bf4"),
        (DEVELOPED + "bishop d3, c6, queen c2, knight bd7, castles long, the a-knight is fine.",
         "Bd3 c6 Qc2 Nbd7 O-O-O"),
        ("White plays e4, Black e5, knight f3, knight c6, bishop b5, a6, bishop takes c6, d takes.",
         "Bxc6 dxc6"),
        ("White plays e4, Black e5, knight f3, knight c6, bishop b5, a6, bishop takes c6, "
         "and now b takes c6 is the lesser evil.", "Bxc6 bxc6"),
        ("White plays e4, Black e5, knight f3, knight c6, bishop c4. If I were choosing I'd take "
         "Black. Bishop c5.", "Bc4 Bc5"),
        ("White plays e4, Black e5, knight f3, knight c6, bishop c4, bishop c5, castles, "
         "knight f6, and now the rook, very naturally, goes in the middle, e1.", "O-O Nf6 Re1"),
    ],
)  # fmt: skip
def test_words_that_tell_which_piece(words: str, wanted: str) -> None:
    assert lines(heard(words))[0].endswith(wanted)


def test_words_are_not_read_short_of_their_square() -> None:
    words = "White plays e4, Black d5, White captures on d5. The queen takes back."
    assert lines(heard(words)) == ["e4 d5 exd5 Qxd5"]


@pytest.mark.parametrize(("words", "may_be"), [("bee, five", False), ("bee five", True)])
def test_words_that_a_comma_parts_are_no_square_half_heard(words: str, may_be: bool) -> None:
    """Found in use: "good evening, it's me, for the last time" began with 1.b4."""
    spoken = [(word.rstrip(","), word[len(word.rstrip(",")) :], 0.0) for word in words.split()]
    assert bool(Lexicon.of(tokenise(spoken)).squares(0)) == may_be


def test_what_if_words_make_no_moves() -> None:
    talk = heard(OPEN + "Bishop c4, bishop c5. Now take away all the pieces but kings and pawns.")
    assert lines(talk) == ["e4 e5 Nf3 Nc6 Bc4 Bc5"]


@pytest.mark.parametrize(
    ("words", "edits"),
    [
        ("Consider the position with all the minor pieces removed.", "only=KQRP"),
        ("Just look. Take off all the pawns and the rooks for a second.",
         "remove=a1,h1,a2,b2,c2,d2,f2,g2,h2,e4,e5,a7,b7,c7,d7,f7,g7,h7,a8,h8"),
        ("If you took both queens off it would not be so good.", "remove=d1,d8"),
        ("Picture the ending, just kings and pawn, seven each.", "only=KP"),
        ("Now just imagine that bishop's gone.", "remove=c5"),
        ("Imagine the bishop on c5 isn't there.", "remove=c5"),
        ("Suppose the queens are not on the board.", "remove=d1,d8"),
        ("Imagine there is no knight on c6.", "remove=c6"),
        ("Suppose black has no queen at all.", "remove=d8"),
    ],
)  # fmt: skip
def test_a_board_is_pictured_in_yet_other_words(words: str, edits: str) -> None:
    talk = heard(OPEN + "Bishop c4, bishop c5. " + words)
    assert [board.edits for board in talk.what_if] == [edits]


@pytest.mark.parametrize(
    "words",
    [
        "He takes, queens off, and it is an ending.",
        "The bishop wants to remove the knight on f6 one day.",
        "It takes away the bishop on c5.",
        "The usual move is a6. It takes away b5. Queen e2 protects the pawn.",
        "What if we just close it? So the bishop has gone to f8.",
        "Normally you mustn't take the queen out.",
        "Suppose he wants to swap off our knight on f3.",
        "Suppose black has no good move.",
        "Imagine the bishop is not on c5 but on e7.",
    ],
)
def test_what_a_move_takes_away_pictures_no_board(words: str) -> None:
    assert not heard(OPEN + "Bishop c4, bishop c5, d3, knight f6. " + words).what_if


def test_the_exchange_as_a_name_is_no_capture() -> None:
    talk = heard("e4 e6 d4 d5. The exchange variation is level, so take your time. Knight c3.")
    assert lines(talk) == ["e4 e6 d4 d5 Nc3"]


def test_a_side_misspoken_where_a_piece_stands_is_a_slip() -> None:
    talk = heard(OPEN + "Bishop c4, bishop e7. Good. White's bishop stands on e7 and is solid.")
    assert [(slip.kind, slip.meant) for slip in talk.slips] == [("side", "Black")]


@pytest.mark.parametrize("verb", ["eyes", "looks at", "attacks", "points at"])
def test_a_piece_that_looks_at_a_square_does_not_stand_on_it(verb: str) -> None:
    talk = heard(OPEN + f"Bishop c4, bishop c5, castles, queen f6, d3. The queen {verb} f3.")
    assert "e4 e5 Nf3 Nc6 Bc4 Bc5 O-O Qf6 d3" in lines(talk)
    assert not talk.slips


def test_a_place_that_was_left_takes_the_talk_back() -> None:
    talk = heard(
        OPEN + "Bishop c4, knight f6, knight g5, d5. Anyway. The bishop is on c4, the knight is"
        " on f3. So let's go back. The knight stands on f3. White plays d3 instead."
    )
    assert "e4 e5 Nf3 Nc6 Bc4 Nf6 d3" in lines(talk)


def test_notation_stands_after_the_words_of_its_move() -> None:
    talk = heard("e4 d5. White can take it, and if Black takes it back, knight c3 comes.")
    text = script_text(talk)
    assert "take it 2.exd5, and" in text and "takes it back 2...Qxd5," in text


def test_a_talk_is_named_by_the_opening_it_names() -> None:
    talk = heard("Hello, today we look at the Berlin Defence. " + OPEN + "Bishop b5, knight f6.")
    assert script_text(talk).startswith('---\ntitle: "Berlin Defence"\n')


def test_questions_are_asked_only_where_the_lines_would_differ() -> None:
    talk = heard(OPEN + "Bishop b5, knight f6, castles. Black can take it. Knight takes e4.")
    assert lines(talk)[-1] == "e4 e5 Nf3 Nc6 Bb5 Nf6 O-O Nxe4"
    assert not [q for q in talk.questions if "Nxe4" in q.text and "only talk" in q.text]


def test_wrong_words_are_told_by_what_they_follow() -> None:
    plain = (
        "so the first thing that i want to show you is that there is a lot of time to think about"
        " it and that you do not have to be afraid of what is going to happen in the next few moves"
        " because we are going to look at all of them and you will see that it is not as bad as it"
        " may seem at the beginning of the day when you have to get up and go to work again"
    ).split()
    garbled = [
        {"show": "shoe", "time": "dime", "think": "sink", "afraid": "freight", "going": "cowing",
         "moves": "mauve", "look": "luck", "bad": "bat", "seem": "scene", "work": "walk",
         "happen": "happy", "day": "bay", "next": "necks"}.get(word, word)
        for word in plain
    ]  # fmt: skip
    clean, noisy = (fluency(words, lambda word: False) for words in (plain, garbled))
    assert clean is not None and noisy is not None and noisy < clean - 2
    assert wrong_words(["too", "few"], lambda word: False) is None


def test_every_price_is_named_and_no_other() -> None:
    phrases = Parser(Lexicon.of(tokenise([("e4", "", 0.0)]))).phrases()
    with pytest.raises(ValueError, match="'beams' is no weight"):
        Decoder(phrases, weights={**default_weights(), "beams": 3.0}).search()
    short = {name: price for name, price in default_weights().items() if name != "slip"}
    with pytest.raises(ValueError, match="'slip' is missing"):
        Decoder(phrases, weights=short).search()


@pytest.mark.parametrize(
    ("words", "wanted"),
    [
        (OPEN + "Bishop c4. He brings the knight out straight away. Knight g5, d5.",
         "e4 e5 Nf3 Nc6 Bc4 Nf6 Ng5 d5"),
        ("e4 e5. Knight f3, and where does Black's knight go? To c6. Bishop b5.",
         "e4 e5 Nf3 Nc6 Bb5"),
        (OPEN + "Bishop c4, and with his knight he answers at once. F6 with the knight, then d3.",
         "e4 e5 Nf3 Nc6 Bc4 Nf6 d3"),
        ("e4 d5, e5 f5. White takes in passing, e takes f6, and Black takes back.",
         "e4 d5 e5 f5 exf6 Nxf6"),
        ("d4 d5. For that reason White's second move is c4. E6, knight c3.", "d4 d5 c4 e6 Nc3"),
    ],
)  # fmt: skip
def test_moves_told_without_their_square_or_far_from_their_piece(words: str, wanted: str) -> None:
    assert lines(heard(words)) == [wanted]


@pytest.mark.parametrize(
    "back",
    [
        "Let us go back to the moment at which Black accepted.",
        "Go back to where the pawn was taken.",
        "We return to the place where he took.",
    ],
)
def test_a_capture_without_its_square_may_be_gone_back_to(back: str) -> None:
    talk = heard(
        "d4 d5, c4. Black takes on c4. E3, knight f6, bishop takes c4, e6. "
        + back
        + " Now knight c3, a6."
    )
    assert lines(talk) == ["d4 d5 c4 dxc4 e3 Nf6 Bxc4 e6", "d4 d5 c4 dxc4 Nc3 a6"]


def test_a_move_that_another_takes_the_place_of_is_gone_back_before() -> None:
    talk = heard(
        OPEN + "Bishop b5, a6, bishop a4, knight f6. In place of a6 Black may play d6. D4."
    )
    assert "e4 e5 Nf3 Nc6 Bb5 d6 d4" in lines(talk)


@pytest.mark.parametrize(
    "counted",
    [
        "Now d6, knight f6, bishop c5 are all possible. Bishop c5.",
        "There are three good replies, knight f6, d6 and bishop c5. He plays bishop c5.",
    ],
)
def test_moves_that_are_only_counted_up_are_not_played(counted: str) -> None:
    talk = heard(OPEN + "Bishop c4. " + counted + " C3, knight f6, d3.")
    assert lines(talk)[0] == "e4 e5 Nf3 Nc6 Bc4 Bc5 c3 Nf6 d3"


def test_a_piece_said_to_stand_wrong_is_found_in_any_sentence() -> None:
    talk = heard(
        "d4 d5, c4 e6, knight c3, knight f6, bishop g5. I can't chase his bishop on g4 with a pawn."
    )
    assert [(slip.said.text, slip.meant) for slip in talk.slips] == [("his bishop on g4", "Bg5")]


@pytest.mark.parametrize(
    ("words", "wanted"),
    [
        (OPEN + "Bishop c4, bishop c5. Castling, king to g1. Knight f6, d3.",
         "e4 e5 Nf3 Nc6 Bc4 Bc5 O-O Nf6 d3"),
        (OPEN + "Bishop c4, bishop c5. Castles, knight f6. Your king's rook goes to e1, d6.",
         "e4 e5 Nf3 Nc6 Bc4 Bc5 O-O Nf6 Re1 d6"),
        (OPEN + "Bishop c4, knight f6. Knight g5, d5, pawn takes d5, knight takes d5. The knight eats"
         " on f7, and the king eats it. Queen f3 check.",
         "e4 e5 Nf3 Nc6 Bc4 Nf6 Ng5 d5 exd5 Nxd5 Nxf7 Kxf7 Qf3+"),
        ("King's pawn, king's pawn, knight, knight, bishop b5. A6, bishop takes c6.",
         "e4 e5 Nf3 Nc6 Bb5 a6 Bxc6"),
    ],
)  # fmt: skip
def test_kings_and_their_pieces_move(words: str, wanted: str) -> None:
    assert lines(heard(words)) == [wanted]


def test_castling_without_a_wing_is_to_the_nearer_one() -> None:
    talk = heard("d4 d5, c4 e6, knight c3 knight f6, bishop g5 bishop e7, e3 castles, queen c2 c6,"
                 " bishop d3 knight b d7, knight f3 rook e8. White castles.")  # fmt: skip
    assert lines(talk)[0].endswith("Re8 O-O")


def test_a_statement_that_holds_of_the_other_side_is_a_slip() -> None:
    words = (
        "d4 d5, c4. Black takes on c4. Knight c3, knight f6. At this moment Black is a pawn down."
    )
    talk = with_sides_told_wrong(heard(words))
    assert [(slip.kind, slip.meant) for slip in talk.slips] == [("side", "White")]
    assert "a pawn down" in talk.slips[0].said.text
    right = with_sides_told_wrong(heard(words.replace("Black is a", "White is a")))
    assert not right.slips


def test_one_of_a_kind_is_told_in_the_singular() -> None:
    talk = with_sides_told_wrong(heard("d4 d5, c4. Black takes on c4. Now Black is a pawn down."))
    assert report_text(talk).endswith(
        "1 line, 4 moves said, 0 not said, 1 slip, 0 questions, 0 corrections"
    )


@pytest.mark.parametrize(
    "words",
    [
        OPEN + "Bishop c4. It's for a quiet game.",
        "d4 d5, c4 e6, knight c3 knight f6, bishop g5 knight b to d7. He wakes the bishop, the book says.",
    ],
)
def test_ordinary_words_of_plain_captions_stand(words: str) -> None:
    assert not heard(words).caption_changes


def test_a_night_on_a_square_is_put_right() -> None:
    changes = heard(OPEN + "Bishop c4, night f6. The night on f6 hits e4.").caption_changes
    assert [(change.said.text, change.now) for change in changes] == [("night", "knight")] * 2


@pytest.mark.parametrize(
    ("words", "wanted"),
    [
        (OPEN + "Bishop b5, a6, bishop takes c6. Black takes, White castles.", "Bxc6 dxc6 O-O"),
        ("e4 e5, f4, and Black accepts it. Knight f3.", "exf4 Nf3"),
        (OPEN + "Bishop b5, and Black puts the question to the bishop, a6.", "Bb5 a6"),
        (OPEN + "Bishop b5. Black asks the bishop. Bishop a4, knight f6.", "Bb5 a6 Ba4 Nf6"),
        (
            "e4 c5, knight f3 d6, d4, c takes d4, knight takes d4. Black attacks the pawn on e4"
            " with his knight. White protects it with the knight, and Black plays a6.",
            "Nxd4 Nf6 Nc3 a6",
        ),
        ("e4 c6, d4 d5, e takes d5. Black takes, bishop d3.", "exd5 cxd5 Bd3"),
        (
            "e4 e5, knight f3, knight c6, bishop b5, a6. White eats the knight, and Black takes"
            " back with the d-pawn.",
            "Bxc6 dxc6",
        ),
        (
            "d4 f5, e4, f takes e4, queen h5, and it's check. Black blocks with the pawn.",
            "Qh5+ g6",
        ),
        (
            "d4 f5, e4, f takes e4, queen h5 check. Black puts the pawn in between.",
            "Qh5+ g6",
        ),
        (
            OPEN + "Bishop c4, bishop c5. White tucks his king away, and we do likewise with"
            " knight f6.",
            "Bc4 Bc5 O-O",
        ),
    ],
)
def test_moves_told_by_what_they_do(words: str, wanted: str) -> None:
    assert wanted in lines(heard(words))[0]


@pytest.mark.parametrize(
    "way",
    [
        "Knight f6 is the other idea.",
        "Second possibility, knight f6.",
        "In place of bishop c5, Black may proceed with knight f6.",
        "Or Black could play knight f6.",
    ],
)
def test_what_is_counted_stands_beside_the_move_before(way: str) -> None:
    talk = heard(OPEN + f"Bishop c4, bishop c5. {way}")
    assert "e4 e5 Nf3 Nc6 Bc4 Nf6" in lines(talk)


def test_a_board_is_told_by_the_move_that_had_led_to_it() -> None:
    talk = heard(
        OPEN + "Bishop c4, bishop c5, c3, knight f6. When White had played bishop c4, Black could"
        " also go knight f6, d3, bishop e7."
    )
    assert "e4 e5 Nf3 Nc6 Bc4 Nf6 d3 Be7" in lines(talk)


@pytest.mark.parametrize(
    ("talk", "wanted"),
    [
        ("e4 e5, f4. The king's gambit is f4.", "e4 e5 f4"),
        ("e4 e6, d4 d5, knight d2 knight f6, e5. Black goes from f6 to d7.", "Nfd7"),
    ],
)
def test_names_and_ways_are_heard_whole(talk: str, wanted: str) -> None:
    assert lines(heard(talk))[0].endswith(wanted)


def test_going_back_to_where_a_move_was_played_makes_no_move() -> None:
    talk = heard(
        OPEN + "d4, black takes, bishop c4, knight f6, e5, d5, bishop b5, knight e4, knight takes"
        " d4, bishop d7, bishop takes c6, b takes c6. Let's go back to where White played"
        " bishop c4. A second possibility is bishop c5."
    )
    assert len(lines(talk)) == 2
    assert "e4 e5 Nf3 Nc6 d4 exd4 Bc4 Bc5" in lines(talk)


def test_words_of_a_capture_with_its_verb_stay() -> None:
    talk = heard(OPEN + "d4, black takes. White takes on d4 with the knight.")
    assert "White takes on d4 with the knight 4.Nxd4." in script_text(talk)


@pytest.mark.parametrize(
    ("words", "was", "now"),
    [
        ("so against the Caro can, e4 c6, we play d4 d5", "Caro can", "Caro-Kann"),
        ("so the roy lopez is e4 e5 knight f3 knight c6 bishop b5", "roy lopez", "Ruy Lopez"),
        ("e4 d6 d4 knight f6 is the perk defence", "perk", "Pirc"),
        ("e4 c6 d4 d5 f3 supporting the centre with the pond", "pond", "pawn"),
        ("e4 e5 knight f3 knight c6 bishop b5 pinning the night", None, None),
        ("d4 d5 bishop g5 attacking the night", "night", "knight"),
        ("the buddha pest gambit: d4 knight f6 c4 e5", "buddha pest", "Budapest"),
        ("a pet rough, that is e4 e5 knight f3 knight f6", "pet rough", "Petrov"),
        ("so d4 knight f6 c4 e6 g3, the cattle on, d5 bishop g2", "cattle on", "Catalan"),
        (
            "e4 e5 knight f3 knight c6 bishop c4 bishop see five, castles, knight f6",
            "see five",
            "c5",
        ),
        ("e4 d5 takes, queen takes, knight c3, queen e5 cheque, bishop e2", "cheque", "check"),
        ("e4 c5 knight f3 d6 d4, black plays sea takes d4, knight takes d4", "sea", "c"),
    ],
)
def test_captions_are_put_right(words: str, was: str | None, now: str | None) -> None:
    changes = {c.said.text: c.now for c in heard(words).caption_changes}
    assert was is None or changes.get(was) == now, changes


@pytest.mark.parametrize(
    "words",
    [
        "e4 e5 and there is a perk: knight f3 comes with an attack",
        "in Scandinavia, in winter, e4 d5 is played by night",
        "good night everybody, that was the evening",
        "are you ready? e4 e5 knight f3",
        "the caro-kann, the Caro Kann: e4 c6 d4 d5",
        "the rubbish on the fourth: e4 e6 d4 d5 knight c3 takes, when I was a boy",
        "e4 e5 knight f3, the Czech champion played that, and bought it with a cheque",
        "e4 e5 knight f3 knight c6 bishop b5 a6 bishop a4 knight f6 castles bishop e7 rook e1 b5"
        " bishop b3 d6 c3 castles h3 knight b8 d4 knight b d7 and he brought the tea",
        "e4 e5 knight f3 knight c6 bishop b5 a6 bishop a4 knight f6 castles and for a minute more"
        " he shook his head, and the more he thought the less he liked it",
        "d4 f5 e4 takes knight c3 knight f6, and then the pawns stand on light squares",
        "d4 knight f6 knight f3 g6 bishop f4 bishop g7 and we lean on e5 as long as we can",
        "e4 e5 f4 takes knight f3 and it is a nice game",
        "d4 d5 c4 c6 knight f3 knight f6, that is a slow defence, his slow defence, and he is slow",
        "e4 e5 knight f3 knight c6 bishop c4, and the slow defence is bishop e7",
    ],
)
def test_ordinary_words_are_no_misheard_names(words: str) -> None:
    assert not heard(words).caption_changes


def test_the_word_behind_a_name_a_man_and_a_square_are_put_right() -> None:
    """Found in use: "the austrian a tack", "three porns" and "f for" stayed in the captions."""
    text = (
        "tonight the austrian a tack where white pushes three porns so e4 d6 d4 knight f6 knight c3 g6"
        " now tonight it's f for this is the one bishop g7 knight f3 castles"
    )
    talk = hear(read_transcript(Source("talk.txt", text)))
    changes = {change.said.text: change.now for change in talk.caption_changes}
    assert changes == {"a tack": "attack", "porns": "pawns", "f for": "f4"}


def test_words_behind_a_name_that_are_no_kind_stay() -> None:
    text = "e4 e5, f4. In the King's the fence stands, and a gambler bit. Black takes on f4, knight f3."
    assert hear(read_transcript(Source("talk.txt", text))).caption_changes == ()


@pytest.mark.parametrize(
    ("words", "was", "now"),
    [
        ("d4 d5 c4 knight c6, so here's the chick or in, odd", "chick or in", "Chigorin"),
        ("e4 e5 knight f3 knight c6 d4 takes takes knight f6, it's me says", "me says", "Mieses"),
        ("e4 c5 knight f3 e6 d4 takes d4 knight takes d4 a6, the can is calm", "can", "Kan"),
        ("d4 f5 e4, the stand on gambit", "stand on", "Staunton"),
        ("the slow defence is d4 d5 c4 c6 knight f3 knight f6", "slow", "Slav"),
        ("today the bengal gambit, d4 knight f6 c4 c5 d5 b5 c takes b5 a6", "bengal", "Benko"),
        ("e4 e5 f4, no, f4 e5, that's frauds gambit, f takes e5 d6", "frauds", "From's"),
        ("e4 d6 d4 knight f6 knight c3 g6 f4, the australian attack", "australian", "Austrian"),
    ],
)
def test_plain_words_are_a_name_where_something_is_named(words: str, was: str, now: str) -> None:
    assert {c.said.text: c.now for c in heard(words).caption_changes}.get(was) == now


@pytest.mark.parametrize(
    ("words", "was", "now"),
    [
        ("Bishop c4, bishop c5. We cassel, knight f6.", "cassel", "castle"),
        ("Bishop c4, bishop c5. White cassels, knight f6.", "cassels", "castles"),
        ("Bishop c4, bishop c5. We castle's, nights f6.", "castle's", "castle"),
        ("Bishop c4, bishop c5. We castle, nights f6.", "nights", "knight"),
        ("Bishop c4, bishop c5. He castle's, knight f6.", "castle's", "castles"),
        ("Bishop c4, bishop c5, d3. The ponds on e4 and d3 stand well.", "ponds", "pawns"),
    ],
)
def test_a_misheard_word_keeps_its_form(words: str, was: str, now: str) -> None:
    changes = {c.said.text: c.now for c in heard(OPEN + words).caption_changes}
    assert changes.get(was) == now


def test_a_night_stays_a_night_where_knights_are_spelt_right() -> None:
    words = (
        OPEN
        + "Bishop c4, bishop see five, d three, knight eff six. We sat up all one night and nobody minded."
    )
    assert "night" not in {c.said.text for c in heard(words).caption_changes}


def test_a_check_is_told_with_the_square_it_comes_from() -> None:
    talk = heard("e4 c5, knight f3 d6, and now White checks on b5. Bishop d7.")
    assert lines(talk) == ["e4 c5 Nf3 d6 Bb5+ Bd7"]


def test_a_move_behind_with_is_not_the_piece_that_does_something_else() -> None:
    talk = heard(OPEN + "bishop c4, bishop c5, knight c3, d6. He attacks it with knight a4.")
    assert lines(talk) == ["e4 e5 Nf3 Nc6 Bc4 Bc5 Nc3 d6 Na4"]


def test_words_of_two_sentences_tell_no_one_capture() -> None:
    talk = heard(OPEN + "d4, e takes d4. What do we take with? Knight takes d4.")
    text = script_text(talk)
    assert "What do we take with? 4.Nxd4." in text


def test_captions_without_stops_have_parts_where_they_go_back() -> None:
    talk = heard(
        "so white starts with e4 and black answers e5 and now knight f3 knight c6 bishop c4 and"
        " bishop c5 is the usual move here we castle and black plays knight f6 but let me go back"
        " to bishop c4 because instead of bishop c5 black can also play knight f6 and then d3"
    )
    text = script_text(talk)
    assert "\n\n## 3.Bc4: 3…**Nf6** instead of Bc5\n\nBut let me go back to" in text


def test_questions_stand_behind_the_paragraph_they_are_about() -> None:
    talk = heard(OPEN + "Bishop b5, a6, takes, takes. Queen e2.")
    paragraph, question, *_ = script_text(talk).split("---\n\n")[1].strip().split("\n\n")
    assert "4...dxc6" in paragraph and question.startswith("<!-- question at")


def test_a_move_not_said_stands_before_the_clause_that_tells_the_next() -> None:
    text = script_text(heard(OPEN + "d4, e takes d4, bishop c5 and bishop e3."))
    assert "3...exd4, 4.Nxd4 <!-- not said: 4.Nxd4 --> bishop c5 4...Bc5 and" in text


def test_a_square_that_is_named_in_two_words_is_not_put_right() -> None:
    """Found in use: "takes e five" became "takes e e5" in the captions."""
    talk = heard(
        "e four e five knight f three night c six d four e takes d four knight takes d four"
        " knight f six knight takes c six b takes c six e five queen e seven and the pawn on e five"
        " is safe for now knight g to e seven no"
    )
    assert not any(change.now[-2:] == "e5" for change in talk.caption_changes)
    assert "e e5" not in corrected_captions(talk)


@pytest.mark.parametrize("name", ["nimzo", "tarrasch", "petroff", "kan", "slav"])
def test_a_script_leads_its_reader_where_the_talk_was(name: str) -> None:
    """Every board of the talk is in the script, and no other."""
    found = next(p for p in TUNE.glob(f"{name}.*") if p.suffix in _FORMS)
    talk = hear(read_transcript(source_from_bytes(found.name, found.read_bytes())[0]))
    lesson = follow(parse(Source("script.md", script_text(talk))))
    shown = {tuple(n.san for n in lesson.tree.line(i)) for i in range(len(lesson.tree.nodes))}
    told = {tuple(_way(talk, node)) for node in talk.moves}
    assert shown - {()} == told
    main = [talk.moves[node].san for node in talk.main_line()]
    assert [node.san for node in lesson.tree.main_line()][: len(main)] == main


def _way(talk: Heard, node: int) -> list[str]:
    move = talk.moves.get(node)
    return [] if move is None else [*_way(talk, move.parent), move.san]


SICILIAN = "e4 c5, knight f3, d6, d4, c takes d4, knight takes d4, knight f6, knight c3, a6. "


@pytest.mark.parametrize(
    ("words", "said", "meant"),
    [
        (OPEN + "Bishop c4, bishop c5, d3, d6. The bishop on c8 opens the game for White one day.", "", ""),
        (OPEN + "Bishop b5, a6, bishop takes c6, d takes c6. White has doubled pawns on c7 and c6.",
         "White has doubled pawns on c7", "Black"),
        (SICILIAN + "Bishop e2, e5, knight b3, bishop e7, castles. What do we do with the bishop on b3?",
         "the bishop on b3", "Nb3"),
        (SICILIAN + "Bishop e2, e5. Black will put the bishop on e3.", "Black will put the bishop on e3",
         "White"),
        (OPEN + "Bishop c4, bishop c5, castles, knight f6, d3, castles, c3, d6, rook e1, bishop e6, knight d2, a6. Nobody looks at the rook on h8.",
         "the rook on h8", "Ra8"),
    ],
)  # fmt: skip
def test_whose_a_piece_is_and_what_stands_there(words: str, said: str, meant: str) -> None:
    found = {(slip.said.text, slip.meant) for slip in heard(words).slips}
    assert found == ({(said, meant)} if said else set())


@pytest.mark.parametrize(
    "words",
    [
        "e4 e5, f4. And we block, bishop c5.",
        OPEN + "Bishop b5. He is annoyed by the bishop, take on c6 he cannot. A6.",
        "e4 e5. White gives a pawn: d4.",
    ],
)
def test_words_that_belong_to_something_else_are_no_slips(words: str) -> None:
    assert not heard(words).slips


def test_a_condition_that_takes_a_move_back_goes_back() -> None:
    talk = heard(
        "d4, d5, c4, e6, knight c3, knight f6. White takes on d5, we take back with the pawn, bishop"
        " g5. What if White doesn't take? He can simply play bishop g5. Then bishop e7."
    )
    assert lines(talk)[-1] == "d4 d5 c4 e6 Nc3 Nf6 Bg5 Be7"


@pytest.mark.parametrize(
    ("words", "wanted"),
    [
        (OPEN + "Bishop c4, bishop c5, castles, knight f6, d3, castles, bishop g5, h6, bishop h4, d6."
         " When both have castled, White may also go rook e1.", "O-O Re1"),
        (OPEN + "Bishop c4, bishop c5, castles, d6. A second way for White is d3, knight f6."
         " And the last, for those who like to attack. White gives a pawn with b4.", "Bc5 b4"),
    ],
)  # fmt: skip
def test_boards_of_before_told_by_what_stood_on_them(words: str, wanted: str) -> None:
    assert any(line.endswith(wanted) for line in lines(heard(words)))


def test_a_piece_that_goes_back_does_not_take_the_talk_back() -> None:
    words = "d4 knight f6, bishop g5, knight e4, bishop f4, c5, f3. What if he just goes back? Knight f6."
    assert lines(heard(words)) == ["d4 Nf6 Bg5 Ne4 Bf4 c5 f3 Nf6"]


@pytest.mark.parametrize(
    ("words", "edits"),
    [
        ("Imagine this position without the queens.", "remove=d1,d8"),
        ("Now picture the same thing with the queens taken off.", "remove=d1,d8"),
        ("Suppose there are no queens on the board.", "remove=d1,d8"),
        ("Picture it with both light bishops gone.", "remove=c4,c8"),
        ("Imagine the light squared bishops off as well.", "remove=c4,c8"),
        ("Imagine White without the bishop on c1.", "remove=c1"),
        ("Imagine we take everything off except kings and ponds here.", "only=KP"),
        ("Kings and pawns, nothing else on the board.", "only=KP"),
        ("Imagine the last position with the kings and the pawns only.", "only=KP"),
        (
            "And if you imagine that we trade everything except the rooks, who is better?",
            "only=KRP",
        ),
        ("Imagine all the minor pieces removed.", "only=KQRP"),
    ],
)
def test_boards_are_pictured_in_many_words(words: str, edits: str) -> None:
    talk = heard(OPEN + "Bishop c4, bishop c5. " + words)
    assert [board.edits for board in talk.what_if] == [edits]


@pytest.mark.parametrize(
    "words",
    [
        "Knight f6, and in these lines the queens come off.",
        "Knight f6, d4. Now he can take our bishop, and the knights get swapped.",
        "No pawns have left the board yet.",
        "Now bishop d3 would swap the bishops off, but we castle.",
        "Knight f6, d3, and we take the knights off, or White wants to swap that bishop off.",
    ],
)
def test_exchanges_are_no_pictured_boards(words: str) -> None:
    assert not heard(OPEN + "Bishop c4, bishop c5. " + words).what_if


def test_the_next_move_of_a_game_that_goes_on_is_made_where_the_talk_is() -> None:
    """Found in use: "the game goes on. White's next move is ..." went back to another line."""
    talk = heard(
        "e4 e5, knight f3, knight c6, c3. The most active answer is d5. White goes queen a4, f6,"
        " bishop b5, knight e7. White takes on d5, queen takes d5, d4, bishop d7, bishop e3, and Black"
        " takes on d4, c takes d4, knight e5. Let me go back to the third move. Instead of d5 Black can"
        " play knight f6. Then d4, knight takes e4, d5, knight e7, knight takes e5, knight g6, bishop d3,"
        " and Black takes on e5. Bishop takes e4, bishop c5, castles, castles, and the game goes on."
        " White's next move is knight d2."
    )
    assert lines(talk)[-1].endswith("Bxe4 Bc5 O-O O-O Nd2")


@pytest.mark.parametrize(
    ("words", "wanted"),
    [
        ("queen takes f4 hits the queen queen to e6", "Qxe5 f4 Qe6"),
        ("queen takes f4 kicks her queen e6", "Qxe5 f4 Qe6"),
    ],
)
def test_a_square_that_acts_is_no_target_of_the_words_before_it(words: str, wanted: str) -> None:
    """Found in use, in captions without stops: "queen takes" takes nothing on f4."""
    talk = heard(
        "e4 d5 and white takes queen takes and knight c3 queen d6 d4 knight f6 knight f3 a6 g3 bishop"
        " g4 bishop g2 knight c6 castles castles long h3 bishop f5 bishop e3 e5 of course d takes e5"
        f" knight takes knight takes {words}"
    )
    assert lines(talk)[0].endswith(wanted)
    assert not talk.slips


def test_a_capture_of_the_piece_that_acts_is_still_one() -> None:
    talk = heard(OPEN + "bishop b5 a6 bishop takes c6 attacks nothing more d takes c6")
    assert lines(talk)[0].endswith("Bxc6 dxc6")


@pytest.mark.parametrize(
    ("words", "title"),
    [
        ("today the bengal gambit d4 knight f6 c4 c5 d5 b5 c takes b5 a6", "Benko Gambit"),
        ("tonight it is the two knights the real one e4 e5 knight f3 knight c6 bishop c4 knight f6"
         " knight g5 d5", "Two Knights Defence"),
        ("tonight two knights of a club came in e4 e5 knight f3 knight c6 bishop c4 knight f6"
         " knight g5 d5", "Italian Game, Two Knights Defence, Knight Attack, Normal Variation"),
    ],
)  # fmt: skip
def test_a_talk_is_named_by_what_it_names_misheard_or_for_short(words: str, title: str) -> None:
    assert title_of(heard(words)) == title


def test_a_title_is_spelt_as_names_are() -> None:
    """Found in use: captions without capitals made a lesson called "Caro kann"."""
    talk = heard("tonight the caro kann so we play e4 c6 d4 d5 and push e5 bishop f5 knight f3 e6")
    assert 'title: "Caro-Kann' in script_text(talk)


SCANDI = "E4 d5, takes d5, queen takes d5, knight c3, queen {}, d4, knight f6, knight f3, c6, bishop c4, "
SPANISH = "E4, e5, knight f3, knight c6, bishop b5{}, a6, bishop a4, knight f6, castles, bishop e7, rook e1."


@pytest.mark.parametrize(
    ("words", "title"),
    [
        ("Today we learn the Scandinavian. " + SCANDI.format("a5") + "bishop f5.", "Scandinavian Defence"),
        ("Today, the Scandinavian defence. " + SCANDI.format("a5") + "bishop f5.", "Scandinavian Defence"),
        (SPANISH.format(", the Spanish which he plays"), "Spanish Opening"),
        (SPANISH.format(""), "Ruy Lopez, Closed"),
        ("It is not like the Slav. " + SPANISH.format(", the Ruy Lopez"), "Ruy Lopez"),
        ("Tonight the Slav. " + SPANISH.format(""), "Slav"),
        (SPANISH.format("") + " Instead of a6 Black can play knight f6, castles, knight takes e4, d4.", "Ruy Lopez"),
    ],
)  # fmt: skip
def test_a_title_says_what_the_talk_says_or_what_its_lines_share(words: str, title: str) -> None:
    """Found in use: a talk on "the Scandinavian" had a variation of a variation as its title."""
    assert f'title: "{title}"' in script_text(heard(words))


def test_names_in_captions_are_looked_for_where_they_stand() -> None:
    """What stands between the words of a caption file is no part of what is said."""
    cue = "00:{:02}.000 --> 00:{:02}.000\n{}\n"
    said = SPANISH.format("").lower().replace(",", "").split(". ")[0].split()
    later = ["hello everybody"] * 60 + [" ".join(said)] + ["that is not the sicilian defence"]
    cues = "\n".join(cue.format(k // 2, k // 2 + 1, text) for k, text in enumerate(later))
    talk = hear(read_transcript(Source("talk.vtt", f"WEBVTT\n\n{cues}")))
    assert 'title: "Ruy Lopez, Closed"' in script_text(talk)


def test_a_title_names_the_opening_that_is_shown() -> None:
    """Found in use: the opening of last week's lesson, named first, became the title."""
    words = "Last week we saw the Queen's Gambit, today Black plays the King's Indian. "
    talk = heard(words + "D4, knight f6, c4, g6, knight c3, bishop g7, e4, d6, knight f3, castles.")
    assert "title: \"King's Indian" in script_text(talk)


@pytest.mark.parametrize(
    ("words", "written", "wanted"),
    [
        (
            "d4, e takes d4, knight takes d4, knight takes d4, and we take back with the queen? Yes, we do.",
            "with the queen 5.Qxd4 ? Yes, we do",
            "Qxd4",
        ),
        ("bishop c4, Nf6, and White plays Ng5?! Then d5.", "4.Ng5 ?! Then", "Ng5"),
    ],
)
def test_the_mark_of_a_question_is_no_verdict_on_a_move(
    words: str, written: str, wanted: str
) -> None:
    """Found in use: "take back with the king?" became 12.Kxd2? and in the game file $2."""
    text = script_text(heard(OPEN + words))
    assert written in text
    script = parse(Source("script.md", text))
    lesson = follow(script)
    assert wanted in [node.san for node in lesson.tree.nodes]
    assert not any(node.suffix for node in lesson.tree.nodes)
    assert "$" not in str(game_of(lesson))
    shown = " ".join(word.shown for word in spoken_words(script) if word.shown)
    assert written in shown


def test_the_mark_of_a_cry_belongs_to_its_move() -> None:
    """Found in use: "6.Qf3 !" lost its mark in the game file."""
    text = script_text(heard(OPEN + "Bishop c4, bishop c5, and now we play b4! Bishop takes b4."))
    assert "we play 4.b4!" in text
    lesson = follow(parse(Source("script.md", text)))
    assert [node.label for node in lesson.tree.nodes if node.suffix == "!"] == ["4.b4"]
    assert "b4 $1" in str(game_of(lesson))


def test_titles_of_a_heard_script_name_the_move_that_is_new() -> None:
    """Found in use: "Back to : d5 instead of exf4" on the prompt sheet and in the film's chapters."""
    talk = heard(
        "e4 e5, f4. E takes f4. Knight f3, d6, d4, g5, h4, g4. Now let's go back to f4. Instead of"
        " taking Black can play d5, e takes d5, e4, d3, knight f6. Let's go back to f4 again."
        " E takes f4, and then bishop c4."
    )
    lesson = follow(parse(Source("script.md", script_text(talk))))
    titles = [part.title for part in lesson.parts]
    assert titles == ["2…d5 instead of exf4", "Back to 2.f4"]
    assert [lesson.tree.nodes[part.start].label for part in lesson.parts] == ["2.f4", "2.f4"]
    assert not lesson.slips


@pytest.mark.parametrize(
    ("words", "written"),
    [
        ("bishop c4, bishop c5. Bishop takes f7, and it's check as well, king takes f7.",
         "4.Bxf7+, and it's check as well, 4...Kxf7"),
        ("bishop b5, d6, d4, bishop d7, bishop takes c6, and it's not check. Bishop takes c6.",
         "5.Bxc6, and it's not check."),
        ("bishop c4, bishop c5, bishop takes f7 with check, king takes f7.", "4.Bxf7+ with check, 4...Kxf7"),
        ("bishop c4, bishop c5, bishop takes f7 check, king takes f7.", "4.Bxf7+, 4...Kxf7"),
        ("bishop b5, a6, bishop back to a4.", "bishop back to a4 4.Ba4."),
        ("bishop c4, knight d4. He counts his pawns. C3, and it goes.", "He counts his pawns. 4.c3, and"),
    ],
)  # fmt: skip
def test_words_of_a_move_that_say_more_than_its_notation_stay(words: str, written: str) -> None:
    """Found in use: of "queen takes e4, and it's check as well" only "9.Qxe4+ as well" was left."""
    assert written in script_text(heard(OPEN + words))


LONGER = (
    "e4 e5, f4. Black can play d5, e takes d5. Let's go back to f4. Instead of d5 Black takes, e"
    " takes f4. Knight f3, g5, h4, g4, knight e5, knight f6, d4, d6, knight d3, knight takes e4."
)


def test_the_main_line_of_a_heard_script_is_the_one_that_is_taught() -> None:
    """Found in use: a line dismissed after two moves was the main one of the game file."""
    talk = heard(LONGER)
    text = script_text(talk)
    lesson = follow(parse(Source("script.md", text)))
    assert [node.san for node in lesson.tree.main_line()] == [
        "e4", "e5", "f4", "exf4", "Nf3", "g5", "h4", "g4", "Ne5", "Nf6", "d4", "d6", "Nd3", "Nxe4",
    ]  # fmt: skip
    assert not lesson.slips
    body = text.split("---\n\n")[1]
    assert body.startswith("> **Main line.** 1.e4 e5 2.f4 exf4 3.Nf3 g5 ")
    assert body.partition("\n\n")[2].startswith("1.e4 1...e5, 2.f4. Black can play 2...d5")
    assert [step.spoken for step in lesson.steps[:14]] == [False] * 14
    cues = [cue for cue in time(lesson).cues if cue.step and cue.step.change is Change.MOVE]
    assert all(cue.end_ms == cue.start_ms for cue in cues[:14]), "no film shows the box"
    told = str(game_of(lesson))
    assert "Main line" not in told
    assert "2. f4 exf4 ( { Black can play } 2... d5" in " ".join(told.split())


def test_a_talk_whose_first_line_is_its_main_one_has_no_box() -> None:
    text = script_text(
        heard(OPEN + "Bishop b5, a6. Instead of bishop b5 White can play bishop c4.")
    )
    assert "\n> " not in text


def test_no_heading_stands_within_the_right_answer() -> None:
    """Found in use: "So the", a heading, "right answer, let's go back"."""
    words = (
        "e4 e5, f4. There is d5, e takes d5, e4, d3, knight f6, d takes e4, knight takes e4. Okay."
        " So the right answer, let's go back again, pawn on f4, the right answer is e takes f4."
    )
    text = script_text(heard(words))
    assert "\n\n## After 2.f4\n\nOkay. So the right answer" in text


TWO_KNIGHTS = (
    "White plays e4, Black answers e5, knight f3, knight c6, bishop c4, knight f6. Now knight g5, d5,"
    " e takes d5, knight a5, bishop b5 check, c6, d takes c6, b takes c6, bishop e2, h6, knight f3, e4."
)


def test_a_board_before_a_move_is_gone_back_to() -> None:
    """Found in use: "before knight g5" was heard as the knight on b4, or as a move to d4."""
    talk = heard(
        f"{TWO_KNIGHTS} Now back to the board with three knights in play, before knight g5. You can play d4"
        " instead. Black takes, e takes d4, and White castles."
    )
    assert "e4 e5 Nf3 Nc6 Bc4 Nf6 d4 exd4 O-O" in lines(talk) and len(talk.lines) == 2
    assert not talk.questions
    assert "with three knights in play, before knight g5." in script_text(talk)


@pytest.mark.parametrize(
    "told", ["bishop before", "and the bishop comes to before", "bishop, before,"]
)
def test_a_square_that_sounds_like_before_is_heard_behind_a_piece(told: str) -> None:
    talk = heard(f"d4 knight f6, c4 e6, knight c3 {told} knight f3, castles, e3, d5.")
    assert lines(talk) == ["d4 Nf6 c4 e6 Nc3 Bb4 Nf3 O-O e3 d5"]


@pytest.mark.parametrize(
    ("words", "moves"),
    [("rook f to c1, rook e to c8.", "Rfc1 Rec8"), ("rook f c1, rook e c8.", "Rfc1 Rec8"),
     ("rook a to c1, and Black answers rook a to c8.", "Rac1 Rac8")],
)  # fmt: skip
def test_the_file_that_is_said_tells_which_rook(words: str, moves: str) -> None:
    """Found in use: "rook e to c8" was heard as the other rook's, which is the more usual."""
    talk = heard(
        "d4, d5, c4, c6, knight f3, knight f6, e3, bishop f5, bishop d3, e6, castles, knight b d7, b3,"
        f" bishop d6, bishop b2, queen e7, knight b d2, castles, c takes d5, c takes d5, queen e2, rook f e8, {words}"
    )
    assert " ".join(move.san for move in talk.lines[0].moves[-2:]) == moves
    assert not any("rook" in asked.said.text for asked in talk.questions) and not talk.slips
