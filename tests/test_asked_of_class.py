"""What a teacher asks the class: a question that no move answers is no part of the main line."""

from __future__ import annotations

import pytest

from linewright.source import Source
from linewright.talk.heard import Heard, hear
from linewright.talk.transcript import read_transcript
from linewright.talk.writing import script_text

OPEN = "White plays e4, Black plays e5, knight f3, knight c6. "
ITALIAN = OPEN + "Bishop c4, bishop c5, c3, knight f6, d3, d6, castles, castles. "


def heard(text: str) -> Heard:
    return hear(read_transcript(Source("a.txt", text)))


def last(talk: Heard) -> str:
    return talk.label(talk.main_line()[-1])


@pytest.mark.parametrize(
    "asked",
    [
        "Why not bishop takes f7 check? Because it only loses a bishop. That is all.",
        "What about knight g5? It does nothing. See you next week.",
        "Can White play knight takes e5? No. It is guarded. That is all for today.",
    ],
)
def test_a_question_that_no_move_answers_ends_no_line(asked: str) -> None:
    talk = heard(ITALIAN + asked)
    assert last(talk) == "6...O-O"
    assert asked.split(maxsplit=1)[0] in script_text(talk)
    assert "shown" not in {
        move.kind for node, move in talk.moves.items() if node not in talk.main_line()
    }


def test_a_question_that_a_move_answers_is_left_as_heard() -> None:
    talk = heard(ITALIAN + "What about knight g5? H6, knight f3, rook e8.")
    assert last(talk) == "8...Re8"


@pytest.mark.parametrize(
    "answer", ["Yes, he takes it", "Of course he takes", "He does, he takes it"]
)
def test_what_the_answer_says_yes_to_is_shown(answer: str) -> None:
    talk = heard(f"{OPEN}Then d4. Should Black take on d4? {answer}, knight takes d4, knight f6.")
    assert last(talk) == "4...Nf6"
    assert "(Should" not in script_text(talk)


def test_a_yes_that_is_taken_back_shows_nothing() -> None:
    told = "Should Black take on d4? Yes, but not for long, knight takes d4, knight f6."
    talk = heard(f"{OPEN}Then d4. {told}")
    assert {move.kind for move in talk.moves.values() if move.san == "exd4"} <= {"supposed"}


def test_captions_without_stops_tell_a_question_by_its_no() -> None:
    words = ITALIAN.lower().replace(",", "").replace(".", "")
    talk = heard(words + "can white play knight g5 no it does nothing that is all for today")
    assert last(talk) == "6...O-O"


REASONS = [
    "Why not bishop takes f7? Because then rook takes f7, and the bishop drops. ",
    "Why not bishop takes f7? Well, because rook takes f7, knight g5, rook f8. ",
    "What about bishop takes f7? No. Then rook takes f7, and the bishop drops. ",
]


@pytest.mark.parametrize("asked", REASONS)
def test_why_nobody_plays_a_move_is_supposed_with_it(asked: str) -> None:
    talk = heard(f"{ITALIAN}{asked}")
    assert last(talk) == "6...O-O"
    beside = {move.kind for node, move in talk.moves.items() if node not in talk.main_line()}
    assert beside == {"supposed"}
    goes_on = heard(f"{ITALIAN}{asked}So h3, h6, rook e1.")
    assert last(goes_on) == "8.Re1"
    kinds = {move.san: move.kind for move in goes_on.moves.values()}
    assert (kinds["Bxf7+"], kinds["Rxf7"], kinds["h3"]) == ("supposed", "supposed", "shown")


def test_why_nobody_plays_a_move_is_supposed_without_stops() -> None:
    words = (ITALIAN + REASONS[0]).lower().translate(str.maketrans("", "", ",.?"))
    talk = heard(words)
    assert last(talk) == "6...O-O"
    assert "(why not 7.Bxf7+ because then 7...Rxf7 and the bishop drops)" in script_text(talk)


def test_what_is_told_at_length_of_a_move_is_taught() -> None:
    long = (
        "Why not bishop takes f7? Because of rook takes f7, knight g5, rook f8, queen b3, king h8,"
        " knight f7 check, rook takes f7, queen takes f7. That is it."
    )
    assert last(heard(ITALIAN + long)) == "11.Qxf7"


@pytest.mark.parametrize(
    "asked", ["Nils, what do you say?", "Olga what would you say", "I would say"]
)
def test_what_somebody_is_asked_to_say_is_shown(asked: str) -> None:
    """Found in use: "say" was heard as "suppose", and the lesson ended before the pupil's answer."""
    talk = heard(f"{OPEN}Bishop c4. {asked} bishop c5, c3, knight f6.")
    assert last(talk) == "4...Nf6"
    assert {move.kind for move in talk.moves.values()} == {"shown"}


def test_what_a_teacher_says_is_played_is_supposed() -> None:
    talk = heard(f"{OPEN}Bishop c4. Let's say Black plays bishop c5, c3, knight f6.")
    assert {talk.moves[node].kind for node in talk.moves if talk.moves[node].san == "Bc5"} == {
        "supposed"
    }
