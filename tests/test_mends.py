"""What a teacher mends in the transcript itself: words said wrong, with what they mean behind them."""

from __future__ import annotations

from html import unescape

import pytest

from linewright.hearing import statements_of, with_answers_told, with_sides_told_wrong
from linewright.hearing_sheet import hearing_sheet
from linewright.source import Source
from linewright.talk.heard import Heard, Reading, hear
from linewright.talk.meant import meaning
from linewright.talk.transcript import read_transcript
from linewright.talk.writing import corrected_captions, script_text, slip_list

QUEENS_GAMBIT = (
    "[0:01] White plays d4, d5, c4, e6, knight c3, knight f6, e3, bishop e7, knight f3, castles,"
    " bishop d3.\n[0:14] Black takes on c4. White takes back with the knight. Then c5, castles, a6, a4,"
    " knight c6, queen e2.\n[0:30] The white knight on c6 looks at d4. Black plays queen c7, and the"
    " bishop on b4 looks at f7.\n[0:40] White's king on h1 is safe.\n"
)
VTT = (
    "WEBVTT\n\n00:01.000 --> 00:12.000\nWhite plays e4, e5, knight f3, knight c6, bishop c4,\nbishop c5,"
    " c3, knight f5.\n\n00:12.500 --> 00:20.000\nThen d3, d6, castles, castles, rook e1 and a6.\n"
)


def heard(text: str, name: str = "talk.txt") -> Heard:
    talk = with_sides_told_wrong(hear(read_transcript(Source(name, text))))
    return with_answers_told(talk)


def moves(talk: Heard) -> list[str]:
    return [" ".join(move.san for move in line.moves) for line in talk.lines]


def mended(text: str, name: str = "talk.txt") -> tuple[Heard, str]:
    """A talk, and its text with each slip mended as the proof sheet offers it."""
    talk = heard(text, name)
    sheet = unescape(hearing_sheet(talk))
    for slip in talk.slips:
        mend = f"{slip.said.text} [means {meaning(slip)}]"
        assert slip.said.text in text
        if slip.sure >= 0.6:
            assert mend in sheet
        text = text.replace(slip.said.text, mend, 1)
    return talk, text


@pytest.mark.parametrize(("text", "name"), [(QUEENS_GAMBIT, "talk.txt"), (VTT, "talk.vtt")])
def test_what_the_proof_sheet_offers_for_captions_is_read_as_a_mend(text: str, name: str) -> None:
    """Found in use: the brackets were read as words, and the slip was told again beside them."""
    first, mend = mended(text, name)
    assert first.slips
    talk = heard(mend, name)
    assert not talk.slips
    assert [word.text for word in talk.transcript.words] == [w.text for w in first.transcript.words]
    assert [word.mark for word in talk.transcript.words] == [w.mark for w in first.transcript.words]
    assert moves(talk) == moves(first)
    assert talk.transcript.findings == first.transcript.findings
    assert {q.said.text for q in talk.questions} <= {q.said.text for q in first.questions}
    assert corrected_captions(talk) == mend
    assert "means" not in script_text(talk)


def test_a_mend_tells_the_move_that_is_meant() -> None:
    text = QUEENS_GAMBIT.replace("the knight. Then", "the knight [means Bxc4]. Then")
    assert any("dxc4 Bxc4 c5" in line for line in moves(heard(text)))
    other = text.replace("6 looks", "6 [means the black knight on c6] looks")
    talk = heard(other)
    assert "c6" not in " ".join(slip.said.text for slip in talk.slips)
    assert not any("c6" in v.statement.words for v, _, _ in statements_of(talk))


def test_a_mend_that_cannot_be_followed_changes_nothing_and_is_told() -> None:
    talk = heard(QUEENS_GAMBIT.replace("the knight. Then", "the knight [means Rxc4]. Then"))
    told = [f.message for f in talk.transcript.findings if f.rule == "answer-not-followed"]
    assert len(told) == 1 and "[means Rxc4]" in told[0] and "Bxc4 can" in told[0]
    assert moves(talk) == moves(heard(QUEENS_GAMBIT))


@pytest.mark.parametrize(
    "mend",
    ["\n[means Nf6].", " [means\nNf6].", "\n[means\nNf6].", "[Means: Nf6].", " [means Nf6]."],
)
def test_a_mend_may_stand_on_the_next_line_of_a_caption(mend: str) -> None:
    talk = heard(VTT.replace("knight f5.", f"knight f5{mend}"), "talk.vtt")
    first = heard(VTT, "talk.vtt")
    assert not talk.slips and moves(talk) == moves(first)
    assert [(w.text, w.mark, w.start_ms) for w in talk.transcript.words] == [
        (w.text, w.mark, w.start_ms) for w in first.transcript.words
    ]
    assert talk.transcript.findings == first.transcript.findings


def test_words_between_brackets_are_words_where_they_mend_nothing() -> None:
    talk = read_transcript(
        Source("talk.txt", "[0:01] Knight f3 [by which White means no harm]. e5.")
    )
    assert not talk.mends and "harm" in talk.text
    assert not read_transcript(Source("talk.txt", "[means Nf3] Knight f3.")).mends


@pytest.mark.parametrize(
    ("mended", "written"),
    [
        ("The white knight on c6 [means the black knight on c6] looks", "The black knight on c6 looks"),
        ("The bishop and the knight on c6 [means White's knight on f3] look", "and White's knight on f3 look"),
        ("Remember that Black [means White] is worse", "Remember that White is worse"),
        ("He likes it there [means the knight on c6] a lot", "He likes it there a lot"),
    ],
)  # fmt: skip
def test_a_name_stands_in_the_script_as_it_was_meant(mended: str, written: str) -> None:
    """Found in use: students were given "pins the knight on f6", which the teacher had mended."""
    talk = heard(QUEENS_GAMBIT.partition("[0:30]")[0] + f"[0:30] {mended}. Queen c7.\n")
    script = script_text(talk)
    assert f"{written}." in script and "means" not in script
    assert mended in corrected_captions(talk)


SLIP = (
    "White plays e4, e5, knight f3, knight c6. Our bishop goes to b4, where it pins the knight, and"
    " Black plays a6, and the bishop goes back to a4. Knight f6, White castles, bishop e7.\n"
)


def test_the_slip_list_says_how_words_are_mended_whose_move_was_answered() -> None:
    """Found in use: "our bishop goes to e3 7.Bd3" stayed on page and in captions when the move was
    answered, and nothing said how to mend it."""
    answers = {"word 10 bishop goes to b4": "3.Bb5"}
    mend = "bishop goes to b4 [means bishop goes to b5]"
    asked = hear(read_transcript(Source("talk.txt", SLIP)))
    assert "[means" not in slip_list(asked)
    told = hear(read_transcript(Source("talk.txt", SLIP)), answers=answers)
    assert f'write in the talk "{mend}" and hear it again' in slip_list(told)
    mended = SLIP.replace("bishop goes to b4", mend)
    talk = hear(read_transcript(Source("talk.txt", mended)), answers=answers)
    assert "Our bishop goes to b5 3.Bb5, where it pins" in script_text(talk)
    assert not talk.slips


def test_a_mend_changes_only_the_words_that_differ() -> None:
    """Found in use: "goes to b5,  3.Bb5," when the words mended began before those of the move."""
    mended = SLIP.replace("to b4", "to b4 [means our bishop goes to b5]")
    talk = heard(mended)
    assert "Our bishop goes to b5 3.Bb5, where it pins" in script_text(talk)


def test_an_answer_that_is_no_move_tells_how_a_name_is_mended() -> None:
    words = read_transcript(Source("talk.txt", QUEENS_GAMBIT))
    told = hear(words, answers={"0:30 knight on c6": "the knight on f3"}).answered
    assert [one.fault.partition("; ")[2] for one in told] == [
        "to mend a name, put '[means the knight on f3]' behind its words in the talk"
    ]


def test_brackets_that_mean_nothing_are_no_mend() -> None:
    """Found in use: the hearing broke off at "[means  ]"."""
    talk = heard("[0:01] White plays e4, e5, knight f3 [means  ], knight c6.\n")
    assert not talk.transcript.mends
    assert "Nf3" in script_text(talk)


def test_a_mend_is_followed_where_the_words_around_name_a_place() -> None:
    """Found in use: a legal move that was mended in the transcript could not be played "with these words"."""
    talk = heard(
        "e4, e5, knight f3, knight c6, bishop c4, bishop c5. White wins time with a blow at c4"
        " [means b4]. Bishop takes b4, c3, bishop a5."
    )
    assert moves(talk) == ["e4 e5 Nf3 Nc6 Bc4 Bc5 b4 Bxb4 c3 Ba5"]
    assert not [one for one in talk.answered if one.fault]


@pytest.mark.parametrize(
    ("mended", "meant"),
    [
        ("Black simply castles [means White simply castles]", "white simply castles"),
        ("Black castles [means White castles]", "white castles"),
        (
            "Black brings that bishop to d3 [means White plays Bd3]",
            "white brings that bishop to d3",
        ),
        ("the bishop goes to e5 [means the bishop goes to e3]", "the bishop goes to e3"),
        ("he likes it there [means the knight on c6]", "he likes it there"),
    ],
)
def test_the_words_that_are_meant_are_heard(mended: str, meant: str) -> None:
    """Found in use: a mend of the side was followed for the side that was said."""
    reading = Reading.of(read_transcript(Source("talk.txt", f"e4, e5. Now {mended}. Knight f6.")))
    said = " ".join(token.text for token in reading.tokens)
    assert said == f"e4 e5 now {meant} knight f6"
    assert {token.word for token in reading.tokens} <= set(range(len(reading.transcript.words)))


@pytest.mark.parametrize(
    ("mend", "written"),
    [
        ("bishop goes to b4 [means Bb5]", "Our bishop goes to b5 3.Bb5, where it pins"),
        (
            "bishop goes straight out to b4 [means Bb5]",
            "Our bishop goes straight out to b5 3.Bb5, where it",
        ),
        ("knight goes to b5 [means Bb5]", "Our bishop goes to b5 3.Bb5, where it pins"),
    ],
)
def test_words_of_a_move_stand_in_the_script_as_they_were_meant(mend: str, written: str) -> None:
    """Found in use: "goes back to e3 8.Be2" stood before pupils though the slip was mended."""
    talk = heard(SLIP.replace("bishop goes to b4", mend))
    assert written in script_text(talk)
    assert mend in corrected_captions(talk)


OPEN = "White plays e4, Black plays e5. "


@pytest.mark.parametrize(
    ("told", "line", "written"),
    [
        (
            "The knight goes to f3 and the knight to d6 [means Nc6]. Bishop b5.",
            "e4 e5 Nf3 Nc6 Bb5",
            "The knight goes to f3 2.Nf3 and the knight to c6 2...Nc6.",
        ),
        (
            "Knight f3. The knight answers on c6 and the bishop goes to b4 [means Bb5]. A6.",
            "e4 e5 Nf3 Nc6 Bb5 a6",
            "The knight answers on c6 2...Nc6 and the bishop goes to b5 3.Bb5.",
        ),
        (
            "Knight f3, knight c6. The black bishop goes to b4 [means Bb5]. A6.",
            "e4 e5 Nf3 Nc6 Bb5 a6",
            "The white bishop goes to b5 3.Bb5.",
        ),
    ],
)
def test_words_of_a_right_move_before_the_mended_one_stay(
    told: str, line: str, written: str
) -> None:
    """Found in use: the words of an earlier, right move were written over with the one meant."""
    talk = heard(OPEN + told)
    assert moves(talk)[0] == line and written in script_text(talk)
    captions = "WEBVTT\n\n00:01.000 --> 00:20.000\n" + OPEN + told + "\n"
    assert written in script_text(heard(captions, "talk.vtt"))


@pytest.mark.parametrize(
    ("told", "written"),
    [
        ("The black bishop goes to b5 [means White]. A6.", "The white bishop goes to b5 3.Bb5."),
        ("Black's bishop goes to b5 [means White's bishop]. A6.", "White's bishop goes to b5 3.Bb5."),
        ("The black bishop goes to b5 [means White's bishop]. A6.", "White's bishop goes to b5 3.Bb5."),
        ("Bishop b5 [means Black]. A6.", "2...Nc6. 3.Bb5. 3...a6."),
        ("White likes this, so the bishop goes to b5 [means Black]. A6.", "White likes this, so the bishop goes"),
        ("White sees that the bishop goes to b5 [means Black]. A6.", "White sees that the bishop goes"),
        ("Bishop b5 and then it looks there [means the pawn on e5]. A6.", "3.Bb5 and then it looks there."),
    ],
)  # fmt: skip
def test_a_name_that_is_meant_takes_no_move_away(told: str, written: str) -> None:
    """Found in use: "[means White]" stood in the place of the square, and the move was lost."""
    talk = heard(OPEN + "Knight f3, knight c6. " + told)
    assert moves(talk) == ["e4 e5 Nf3 Nc6 Bb5 a6"] and not talk.questions
    assert written in script_text(talk)


@pytest.mark.parametrize(
    ("told", "meant"),
    [
        ("White is glad, so the bishop goes to c5 [means Black plays Bc5]", "White is glad"),
        ("white is glad so the bishop c5 [means Black plays Bc5]", "White is glad"),
        ("Since White wants d4 the bishop goes to c5 [means Black plays Bc5]", "White wants"),
        ("White goes to c5 [means Black plays Bc5]", "Black goes"),
        ("the white bishop quickly goes to c5 [means Black plays Bc5]", "black bishop quickly goes"),
    ],
)  # fmt: skip
def test_only_the_side_that_moves_is_another_than_was_said(told: str, meant: str) -> None:
    """Found in use: "White is happy" became "Black is happy" where only the move was mended."""
    reading = Reading.of(read_transcript(Source("talk.txt", f"e4, e5, knight f3. {told}. D4.")))
    assert meant.lower() in " ".join(token.text for token in reading.tokens)
    assert meant in script_text(heard(f"e4, e5, knight f3. {told}. D4."))


@pytest.mark.parametrize(
    ("told", "written"),
    [
        ("The bishop, attacked, goes back to e3 [means Bd2],", "The bishop, attacked, goes back to d2 6.Bd2"),
        ("Back to e3, [means Bd2]", "Back to d2 6.Bd2"),
        ("The rook waits. Back to e3 [means Bd2],", "Back to d2 6.Bd2"),
        ("The knight, attacked, goes to e3 [means Bd2],", "The knight, attacked, goes to e3 6.Bd2"),
        ("The bishop, attacked, leaves g5 [means Bd2],", "leaves g5 6.Bd2"),
        ("The bishop, attacked, goes away, giving up g5 [means Bd2],", "giving up g5 6.Bd2"),
        ("The bishop, attacked, goes back, with an eye on h6 [means Bd2],", "an eye on h6 6.Bd2"),
    ],
)  # fmt: skip
def test_a_square_is_as_it_was_meant_though_its_man_stands_before_a_comma(
    told: str, written: str
) -> None:
    """Found in use: the square that was said stood before the move that was meant."""
    game = "White plays d4, d5, c4, e6, knight c3, knight f6, knight f3, bishop e7, bishop g5, castles."
    talk = heard(f"[0:01] {game} [0:14] {told} and Black plays c6.")
    assert written in script_text(talk)


@pytest.mark.parametrize("mend", ["", " [means the black knight on b6]"])
def test_what_is_said_of_a_man_named_wrong_is_not_told_beside_the_slip(mend: str) -> None:
    """Found in use: with its name mended, "it looks at c4" still failed of the white knight."""
    talk = heard(
        "White plays e4, and Black answers with knight f6. White pushes e5, knight d5, d4, d6, c4, "
        f"knight b6, knight f3. White's knight on b6{mend} is a little odd, but it looks at c4. "
        "Bishop g4, bishop e2, e6."
    )
    assert not [verdict for verdict, _, _ in statements_of(talk) if verdict.verdict == "fails"]
    assert len(talk.slips) == (0 if mend else 1)


def test_words_that_are_a_slip_are_no_statement_that_holds() -> None:
    """Found in use: "goes back to h4" held of a bishop that could go there, beside its slip."""
    talk = heard(
        "White plays d4, and Black answers with knight f6. c4, e6, knight c3, bishop b4, queen c2, "
        "castles, a3, bishop takes c3 check, queen takes c3, b6. The bishop goes to f4. The bishop on "
        "g5 pins the knight, bishop b7, f3."
    )
    assert [slip.meant for slip in talk.slips] == ["Bg5"]
    told = {verdict.statement.words: verdict.verdict for verdict, _, _ in statements_of(talk)}
    assert told["The bishop goes to f4"] == "cannot-tell"
    assert told["The bishop on g5 pins the knight"] == "holds"
