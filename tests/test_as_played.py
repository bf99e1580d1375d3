"""Moves told as really played, and lines called the main one, behind what is only supposed."""

from __future__ import annotations

import pytest

from linewright.source import Source
from linewright.talk.heard import Heard, hear
from linewright.talk.transcript import read_transcript
from linewright.talk.writing import script_text

SCANDINAVIAN = (
    "[0:01] white plays e4 i reply d5 e takes d5 queen takes d5 knight c3 queen a5 d4 knight f6 knight f3"
    " bishop g4 h3 and i took bishop takes f3\n"
    "[0:15] what i should have chosen there is bishop h5 after bishop h5 g4 bishop g6 knight e5 e6 and"
    " the pawns hold\n"
    "[0:25] {} and he took back queen takes f3 c6 bishop d2 knight b d7 castles queenside e6\n"
    "[0:40] he pushed g4 and i answered bishop b4\n"
)

SLAV = (
    "[0:01] White plays d4, we reply d5, c4, c6, knight f3, knight f6, knight c3, e6, e3, knight b d7,"
    " bishop d3, bishop d6, castles, castles, e4, d takes e4, knight takes e4, knight takes e4, bishop"
    " takes e4, and we push e5.\n"
    "[0:30] And if he goes d5, then we answer knight f6, he takes on c6, and we take the bishop on e4.\n"
    "[0:45] And if he takes on e5, knight takes e5, then he takes, knight takes e5, and our bishop takes"
    " on e5, and he plays queen c2.\n"
    "[0:55] {} bishop c2. And we finish with rook e8.\n"
)


def heard(text: str, answers: dict[str, str] | None = None) -> Heard:
    return hear(read_transcript(Source("talk.txt", text)), answers=answers)


def kind_of(talk: Heard, label: str) -> str:
    return next(move.kind for node, move in talk.moves.items() if talk.label(node) == label)


def main_line(talk: Heard) -> list[str]:
    return [talk.label(node) for node in talk.main_line()]


@pytest.mark.parametrize(
    "told", ["but i took the knight", "no in the game i took the knight", "well i took the knight"]
)
@pytest.mark.parametrize("answers", [{}, {"0:45 answered bishop b4": "10...Bb4"}])
def test_a_game_goes_on_behind_what_should_have_been_played(
    told: str, answers: dict[str, str]
) -> None:
    """Found in use: the second half of a game was told as supposed, behind "but i took"."""
    talk = heard(SCANDINAVIAN.format(told), answers)
    assert kind_of(talk, "6...Bh5") == "supposed" and kind_of(talk, "8...e6") == "supposed"
    assert {kind_of(talk, label) for label in ("6...Bxf3", "7.Qxf3", "9.O-O-O")} == {"shown"}
    assert main_line(talk)[-2:] == ["10.g4", "10...Bb4"]
    assert "supposed" not in {line.kind for line in talk.lines if len(line.moves) > 17}


@pytest.mark.parametrize("told", ["but if i took the knight", "but i could have taken the knight"])
def test_what_might_have_been_taken_was_not_played(told: str) -> None:
    talk = heard(SCANDINAVIAN.format(told))
    assert kind_of(talk, "7.Qxf3") != "shown"


@pytest.mark.parametrize(
    "told", ["So in the main line he plays", "But in the game, as I said,", "In our game he played"]
)
def test_the_line_that_is_called_the_main_one_is_it(told: str) -> None:
    """Found in use: a longer "if he takes" line stood in the box of the main line."""
    talk = heard(SLAV.format(told))
    assert main_line(talk)[-2:] == ["11.Bc2", "11...Re8"]
    assert "11.Bc2 Re8\n" in script_text(talk).split("> **Main line.** ")[1]


@pytest.mark.parametrize(
    "told",
    [
        "So White may play",
        "In the main line of the Meran he plays",
        "In the game he could have played",
    ],
)
def test_without_such_words_the_main_line_is_the_longest(told: str) -> None:
    talk = heard(SLAV.format(told))
    assert "11.Bc2" not in main_line(talk)


def test_what_sums_a_main_line_up_is_no_line() -> None:
    talk = heard(SLAV.format("White has") + "[1:10] So, in the main line, take on e4, push e5.\n")
    assert not talk.main


TWO_REPLIES = (
    "White plays e4, Black e5, knight f3. Now {} d4, knight f6, d takes e5, knight takes e4, bishop"
    " d3. Then there is knight c6 as well, bishop b5, a6, bishop a4, knight f6, castles, bishop e7,"
    " rook e1, castles.\n"
)


@pytest.mark.parametrize(
    "told",
    [
        "d6 is the main line,",
        "d6, and that's still the main move,",
        "Black's main reply is d6,",
        "d6, that's ours.",
        "d6, which is my choice.",
    ],
)
def test_a_move_that_is_called_the_main_one_leads_the_main_line(told: str) -> None:
    """Found in use: the longer side line stood in the box, against "is the main line"."""
    assert main_line(heard(TWO_REPLIES.format(told)))[3] == "2...d6"


@pytest.mark.parametrize(
    "told",
    ["d6 is the main line of another book,", "d6 is not the main line,", "d6 is a good line,"],
)
def test_a_move_that_is_not_called_the_main_one_leads_none(told: str) -> None:
    assert main_line(heard(TWO_REPLIES.format(told)))[3] == "2...Nc6"


@pytest.mark.parametrize(
    ("told", "reply"),
    [
        ("bishop c4 is the main line, but we choose bishop b5, a6, bishop a4, knight f6.", "3.Bb5"),
        (
            "bishop b5 is the main line, a6, bishop a4, knight f6, castles. But bishop c4, that's ours."
            " Bishop c5, c3, knight f6.",
            "3.Bc4",
        ),
    ],
)
def test_the_talks_own_line_goes_before_what_others_play_most(told: str, reply: str) -> None:
    talk = heard(f"White plays e4, Black e5, knight f3, knight c6. Now {told}\n")
    assert main_line(talk)[4] == reply


@pytest.mark.parametrize(
    ("told", "reply"),
    [
        (
            "Bishop b5 is the main line, a6, bishop a4, knight f6, castles, bishop e7. We play bishop"
            " c4, bishop c5, c3, knight f6.",
            "3.Bc4",
        ),
        (
            "The main line is bishop b5, a6, bishop a4, knight f6, castles. We go bishop c4, bishop"
            " c5, c3, knight f6.",
            "3.Bc4",
        ),
        (
            "Bishop b5 is the main move, a6, bishop a4, knight f6. Our own weapon is bishop c4,"
            " bishop c5, c3.",
            "3.Bc4",
        ),
        (
            "Bishop b5, a6, bishop a4, that's my choice in blitz. Now bishop c4, bishop c5, c3, knight"
            " f6, d3.",
            "3.Bc4",
        ),
        (
            "Bishop b5, and here a6 is the main move, bishop a4. Then bishop c4, bishop c5, c3, knight"
            " f6, d3, d6, castles, a6.",
            "3.Bc4",
        ),
        (
            "Bishop b5, a6, bishop a4, that's ours. Then bishop c4, bishop c5, c3, knight f6, d3, d6,"
            " castles, a6.",
            "3.Bc4",
        ),
    ],
)
def test_what_we_play_goes_before_a_main_line_and_what_is_short_does_not(
    told: str, reply: str
) -> None:
    talk = heard(f"White plays e4, Black e5, knight f3, knight c6. {told}\n")
    assert main_line(talk)[4] == reply


CLOSED_ITALIAN = (
    "White plays e4, Black e5, knight f3, knight c6, bishop c4, bishop c5, c3, knight f6. Now comes"
    " pawn to d4, the point. {}"
)


@pytest.mark.parametrize(
    ("told", "before"),
    [
        ("If he takes, we take back with the pawn. So he retreats, bishop b6, and we castle.", ""),
        ("If he takes, we take back with the pawn. So Black goes bishop b6. Then we castle.", ""),
    ],
)
def test_what_follows_from_a_supposition_is_shown(told: str, before: str) -> None:
    """Found in use: "so he pushes" stood in the parentheses of "if he takes"."""
    talk = heard(CLOSED_ITALIAN.format(told))
    assert main_line(talk)[-3:] == ["5.d4", "5...Bb6", "6.O-O"]
    assert kind_of(talk, "5...exd4") == "supposed"


@pytest.mark.parametrize(
    ("leaves", "kind"), [("Anyway", "shown"), ("But in fact", "shown"), ("Or perhaps", "supposed")]
)
def test_anyway_leaves_what_was_supposed(leaves: str, kind: str) -> None:
    """Found in use: the line taught stood in the parentheses of "if he takes"."""
    talk = heard(
        "E4, d5, takes, queen takes, knight c3, queen d6. D4, knight f6, knight f3, c6, knight e5, knight b"
        " d7, bishop f4, knight d5, knight takes d5, and if queen takes d5, well, then comes c4."
        f" {leaves}, he takes with the pawn, c takes d5, and we go knight takes d7.\n"
    )
    assert kind_of(talk, "8...Qxd5") == "supposed"
    assert kind_of(talk, "9.Nxd7") == kind


def test_a_so_within_what_is_supposed_goes_on_there() -> None:
    told = "If he takes, we take back with the pawn, so he plays bishop b4 check."
    talk = heard(CLOSED_ITALIAN.format(told))
    assert kind_of(talk, "6...Bb4+") == "supposed"
