"""A talk without capitals and stops comes back with those that a reader needs, and no others."""

from __future__ import annotations

import re

import pytest

from linewright.following import follow
from linewright.script import parse
from linewright.source import Source
from linewright.talk.addressed import names_addressed
from linewright.talk.heard import Heard, hear
from linewright.talk.titles import title_of
from linewright.talk.transcript import read_transcript
from linewright.talk.writing import corrected_captions, script_text
from tests.talks.marked import FOLDER, read_marked, transcript

GAME = (
    "good evening i'm glad that you came and today it's the italian game so white plays e4 black"
    " plays e5 knight f3 knight c6 bishop c4 bishop c5 and white's bishop looks at f7 "
)


def heard(text: str, name: str = "a.txt") -> Heard:
    return hear(read_transcript(Source(name, text)))


def paragraphs(script: str) -> list[str]:
    parts = script.split("---\n\n", 1)[1].split("\n\n")
    return [part.strip() for part in parts if not part.startswith(("#", ">", "<!--"))]


@pytest.mark.parametrize(
    "now",
    [
        "Good evening I'm glad",
        "it's the Italian Game",
        "so White plays 1.e4 Black plays 1...e5",
        "and White's bishop looks at f7",
    ],
)
def test_what_has_a_capital_anywhere_has_one(now: str) -> None:
    assert now in script_text(heard(GAME))


@pytest.mark.parametrize(
    "kept",
    ["the white king", "black squares", "a white pawn", "in black and white", "i.e. the bishop"],
)
def test_a_colour_is_no_side(kept: str) -> None:
    assert kept in script_text(heard(f"{GAME}and mind {kept} tonight"))


def test_a_side_that_moves_a_man_has_a_capital() -> None:
    script = script_text(
        heard(f"{GAME}and so white moves the bishop away and all white moves lose")
    )
    assert "so White moves the bishop away and all white moves lose" in script


@pytest.mark.parametrize(
    "kept",
    [
        "three white moves later",
        "only white moves there",
        "strong white moves",
        "natural white moves that come first",
        "the next white moves are forced",
        "what white moves do you see",
        "in four black moves",
        "both white moves fail",
        "quiet white moves to look at",
    ],
)
def test_moves_that_are_counted_or_described_name_no_side(kept: str) -> None:
    assert kept in script_text(heard(f"{GAME}and mind {kept} tonight"))


@pytest.mark.parametrize(
    ("said", "written"),
    [
        ("if white moves his queen", "if White moves his queen"),
        ("when black moves to d five", "when Black moves to d five"),
        ("and black moves knight or king", "and Black moves knight or king"),
        ("then white moves forward", "then White moves forward"),
        ("so white moves it at once", "so White moves it at once"),
    ],
)
def test_a_side_moves_what_is_named_or_somewhere(said: str, written: str) -> None:
    assert written in script_text(heard(f"{GAME}and mind {said} tonight"))


def test_two_sides_named_together_are_sides() -> None:
    script = script_text(heard(f"{GAME}and between white and black there is peace in february"))
    assert "between White and Black there is peace in February" in script
    script = script_text(heard(f"{GAME}and there are white and black squares"))
    assert "there are white and black squares" in script


def test_names_of_players_and_of_days_have_capitals() -> None:
    words = "our game from saturday osgood with white against penrice so osgood plays e4 penrice e5"
    talk = heard(f"{words} knight f3 knight c6 bishop b5 and osgood castles soon")
    script = script_text(talk)
    assert "from Saturday Osgood with White against Penrice so Osgood plays 1.e4" in script


@pytest.mark.parametrize("name", ["slips/pirc_austrian_i", "exam/italian_n", "exam/nimzo_l"])
def test_every_paragraph_begins_and_ends_as_one(name: str) -> None:
    """Found in use: a talk by a recogniser came back in small letters, without a stop."""
    talk = heard(transcript(read_marked(FOLDER / f"{name}.talk")), "a.vtt")
    script = script_text(talk)
    for text in paragraphs(script):
        plain = text.replace("[", "").replace("(", "")
        assert plain[0].isdigit() or plain[0].isupper() or plain[1:2].isdigit(), text
        said = re.sub(r"<!--.*?-->", "", text, flags=re.DOTALL)
        assert said.rstrip().endswith((".", "?", "!", ":")), text
        assert " i " not in text and " white's " not in text
    lesson = follow(parse(Source("a.md", script)))
    assert not lesson.slips
    assert "I'" not in corrected_captions(talk) and "White" not in corrected_captions(talk)


def test_a_talk_with_capitals_keeps_its_own() -> None:
    words = "Today white plays e4. Black plays e5. White has knight f3, and black knight c6."
    script = script_text(heard(words))
    assert "Today white plays 1.e4." in script and "and black 2...Nc6." in script


def test_no_paragraph_is_broken_inside_a_thought() -> None:
    """Found in use: "the watchman takes him there as" / "well can he go to h5"."""
    script = script_text(heard(transcript(read_marked(FOLDER / "long/vienna_e.talk")), "a.vtt"))
    ends = [text.rstrip(".").split()[-1] for text in paragraphs(script)]
    assert not {"as", "and", "says", "without", "the"} & set(ends)
    begins = [text.split()[:2] for text in paragraphs(script)]
    assert ["So", "that"] not in begins and "Another" not in {first for first, *_ in begins}


def test_a_small_title_is_the_name_of_what_is_shown() -> None:
    """Found in use: "Vienna's game vienna" stood over a lesson."""
    talk = heard(transcript(read_marked(FOLDER / "long/vienna_e.talk")), "a.vtt")
    assert title_of(talk).startswith("Vienna G")


@pytest.mark.parametrize("address", ["yes", "well done", "thank you", "good", "exactly", "sorry"])
@pytest.mark.parametrize("name", ["marta", "tomas", "derek", "kofi"])
def test_a_pupil_who_is_addressed_has_a_capital_everywhere(address: str, name: str) -> None:
    script = script_text(heard(f"{GAME}{address} {name} and later {name}'s bishop and {name} says"))
    assert f"{name.title()} and later {name.title()}'s bishop and {name.title()} says" in script


@pytest.mark.parametrize(
    "said",
    ["yes pinning", "thank you everybody", "good equaliser", "sorry queenside", "yes suffices it to",
     "exactly swapping", "hello erm", "well done lads", "yes knights", "good regrouping"],
)  # fmt: skip
def test_a_word_behind_an_address_that_is_no_name_keeps_its_small_letter(said: str) -> None:
    assert said in script_text(heard(f"{GAME}and {said} and so on"))


@pytest.mark.parametrize(
    "said",
    ["prophylaxis says wait", "the old zzyzx says wait", "zzyzx says wait, and that is a zzyzx",
     "our zzyzx asks why", "says little zugzwang"],
)  # fmt: skip
def test_a_thing_that_says_something_keeps_its_small_letter(said: str) -> None:
    """Found in use: a scoresheet and a rule of the trade were pupils, with capitals everywhere."""
    assert not names_addressed(said.replace(",", "").split())


@pytest.mark.parametrize("talk", ["long/scotch_d", "long/evans_gambit_c", "exam/kings_gambit_m"])
def test_names_addressed_are_few(talk: str) -> None:
    words = transcript(read_marked(FOLDER / f"{talk}.talk"))
    said = [w.text.lower() for w in read_transcript(Source("a.vtt", words)).words]
    assert len(names_addressed(said)) <= 4


@pytest.mark.parametrize("quoted", ["and perrin asks about it", "what now says young perrin"])
def test_a_pupil_whose_words_are_told_has_a_capital_everywhere(quoted: str) -> None:
    """Found in use: pupils who ask and say something had small letters."""
    script = script_text(heard(f"{GAME}{quoted} and later perrin's bishop and theory says"))
    assert "Perrin's bishop and theory says" in script and "perrin" not in script
