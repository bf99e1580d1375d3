"""Who gives a talk, and the club it is held in."""

from __future__ import annotations

import pytest

from linewright.hearing import as_record
from linewright.source import Source
from linewright.talk.heard import hear, spoken
from linewright.talk.persons import club_of, teacher_of
from linewright.talk.transcript import read_transcript
from linewright.talk.vocabulary import tokenise
from linewright.talk.writing import script_text


def told(text: str) -> tuple[str, str]:
    tokens = tokenise(spoken(read_transcript(Source("talk.txt", text))))
    return teacher_of(tokens), club_of(tokens)


@pytest.mark.parametrize(
    ("text", "teacher", "club"),
    [
        ("Good evening, I am Hester Gorse, and this is the talk of the Mill Lane Chess Club.",
         "Hester Gorse", "Mill Lane Chess Club"),
        ("Hello, I'm Osmund, and tonight it is the Slav.", "Osmund", ""),
        ("My name's Osmund Fennel. Welcome back to Harbour chess club.", "Osmund Fennel",
         "Harbour Chess Club"),
        ("good evening my name is hester gorse and tonight a game from the mill lane chess club",
         "Hester Gorse", "Mill Lane Chess Club"),
        ("hester gorse mill lane chess club and tonight the slav", "", ""),
        ("i am happy to be here at the local chess club", "", ""),
        ("I am sure that our chess club is the best chess club.", "", ""),
        ("I am Black in this game. I'm White in the next.", "", ""),
        ("My name is Hester Gorse. And this is Tom. My name is Tom Penrice.", "", ""),
        ("I am Hester. My name is Hester Gorse. I play for the Mill Lane Chess Club, he for the"
         " Quay Street Chess Club.", "Hester Gorse", ""),
    ],
)  # fmt: skip
def test_a_speaker_says_who_and_where_he_is(text: str, teacher: str, club: str) -> None:
    assert told(text) == (teacher, club)


def test_a_program_is_told_whose_talk_it_is() -> None:
    text = "I'm Hester Gorse of the Mill Lane Chess Club. We play e4, e5, knight f3."
    record = as_record(hear(read_transcript(Source("talk.txt", text))))
    assert (record["teacher"], record["club"]) == ("Hester Gorse", "Mill Lane Chess Club")


def test_the_head_names_teacher_and_club_and_the_words_have_their_capitals() -> None:
    """Found in use: both had to be put into the head by hand."""
    text = (
        "good evening my name is hester gorse and tonight i show you a game from the mill lane chess"
        " club we play e4 e5 knight f3 knight c6 bishop b5 a6 and so says hester to the mill lane chess"
        " club good night"
    )
    script = script_text(hear(read_transcript(Source("talk.txt", text))))
    assert '\nteacher: "Hester Gorse"\nclub: "Mill Lane Chess Club"\n' in script
    assert "my name is Hester Gorse and" in script
    assert script.count("the Mill Lane Chess Club") == 2
