"""What sums a talk up at its end shows no moves, unless a line is gone through again."""

from __future__ import annotations

import pytest

from linewright.source import Source
from linewright.talk.heard import Heard, hear, spoken
from linewright.talk.recaps import closing_at, recap
from linewright.talk.transcript import read_transcript
from linewright.talk.vocabulary import tokenise
from linewright.talk.writing import script_text

PLAYED = "e4 e5 Nf3 Nc6 Bc4 Bc5 c3 Nf6 d3 d6 O-O O-O Re1 a6"
ITALIAN = (
    "e4 e5, knight f3, knight c6, bishop c4, bishop c5, c3, knight f6, d3, d6, castles, castles,"
    " rook e1, a6. "
)


def heard(text: str) -> Heard:
    return hear(read_transcript(Source("talk.txt", text)))


def lines(talk: Heard) -> list[str]:
    return [" ".join(move.san for move in line.moves) for line in talk.lines]


def summed_up(text: str) -> str:
    tokens = tokenise(spoken(read_transcript(Source("talk.txt", text))))
    first, end = recap(tokens)
    return " ".join(token.text for token in tokens[first:end])


def without_stops(text: str) -> str:
    return text.lower().replace(",", "").replace(".", "").replace(":", "")


CLOSINGS = [
    "So, to sum up. First: take me, with d5. Second: the knight goes to a5. Third, bishop takes f7.",
    "So remember three things: castle, hit the centre with d4, and never take on b2.",
    "To recap: castle early, play h3 against the pin, and d4 when you are ready.",
    "Let me remind you of the plan. Castle, h3, knight to g3, then d4.",
    "So the summary. Knight g5 for fighters, bishop g5 for builders, a4 for nobody.",
    "That's it for today. Bishop out, knight g5, d4.",
    "Keep the two branches in your notebooks: the quiet line with h3, and the early d4.",
    "What do pupils get wrong? They play d4 too soon, or they take on f7.",
    "So the list. One, h3 against the pin. Two, d4 when you can. Three, bishop takes f7 never.",
    "Three things. Strike with d4, know your pin with bishop g5, and do not take on f7.",
]


@pytest.mark.parametrize("closing", CLOSINGS)
def test_a_summing_up_shows_nothing(closing: str) -> None:
    talk = heard(f"{ITALIAN}{closing} Good night.")
    assert lines(talk) == [PLAYED]
    assert talk.questions == ()
    assert closing in script_text(talk)


@pytest.mark.parametrize("closing", CLOSINGS[:3])
def test_a_summing_up_without_stops_shows_nothing(closing: str) -> None:
    assert lines(heard(without_stops(f"{ITALIAN}{closing} Good night."))) == [PLAYED]


@pytest.mark.parametrize(
    "closing",
    [
        "To sum up, let's play it through once more: e4 e5, knight f3, knight c6, bishop c4, knight f6.",
        "So to sum up. E4 e5, knight f3, knight c6, bishop c4, and knight f6 is the other one.",
        "So summary, it goes e four e five, knight f3, knight c6, bishop c4, knight f6.",
    ],
)
def test_a_line_gone_through_again_is_a_line(closing: str) -> None:
    assert lines(heard(ITALIAN + closing)) == [PLAYED, "e4 e5 Nf3 Nc6 Bc4 Nf6"]


def test_a_summing_up_ends_where_a_line_is_taken_up() -> None:
    text = f"{ITALIAN}So to sum up: castle, and play d4. One last thing. Instead of a6 there is bishop g4, h3, bishop h5."
    assert summed_up(text) == "sum up castle and play d4"
    assert lines(heard(text))[-1].endswith("O-O O-O Re1 Bg4 h3 Bh5")


@pytest.mark.parametrize(
    "text",
    [
        "Black has three things here. He can pin, he can castle. The pin: bishop g4.",
        "Two things are hit at once, the pawn on e5 and the knight. Do you remember two weeks ago?",
        "What he does wrong here is knight g4. H3, knight h6, and a plus.",
        "There is a list of things on the wall. Then h3.",
        "We play three games a week. It adds up. D4 some day.",
    ],
)
def test_words_that_sum_nothing_up(text: str) -> None:
    assert summed_up(ITALIAN + text) == ""


def test_a_summing_up_stands_at_the_end() -> None:
    talk = f"{ITALIAN}To sum up: castle. " + "Then we look at it from the other side of it. " * 12
    assert summed_up(talk) == ""


def test_a_summing_up_ends_where_a_line_is_gone_through() -> None:
    told = (
        "So three things: castle, play d4, wait. Let's run through it once more: e4 e5, knight c3."
    )
    assert summed_up(ITALIAN + told) == "so three things castle play d4 wait"
    assert lines(heard(ITALIAN + told)) == [PLAYED, "e4 e5 Nc3"]


def test_a_summing_up_names_boards_of_the_whole_talk() -> None:
    """Found in use: "the bishop on b4" in a summing up was perhaps said for g4, at the end."""
    line = (
        "d4 Nf6, c4 e6, Nc3 Bb4, e3 O-O, Bd3 d5, Nf3 c5, O-O Nc6, a3 Bxc3, bxc3 dxc4, Bxc4 Qc7,"
        " Bd3 e5, Qc2 Re8. "
    )
    closing = (
        "So remember three things. First, pin the knight with the bishop on b4, so that he cannot have"
        " e4. Second, take on c3. Third, the break is e5."
    )
    assert heard(line + closing).slips == ()


def test_a_summing_up_leaves_the_last_moves_where_they_stand() -> None:
    """Found in use: the end of the line stood thirteen moves back, nearer to what is summed up."""
    line = (
        "After f4 the main answer is d5. Knight f3, knight f6, e3, g6, bishop e2, bishop g7, castles,"
        " castles, d3, c5. And here comes the queen to e1. Knight comes to c6, knight c3, just develop,"
        " b6, a4, bishop b7, bishop d2. Queen d7, rook d1, rook a to d8, all is ready. And now finally"
        " d4, our break. If he takes, we take back with the pawn. So he pushes, c4, and then f5."
    )
    closing = " To sum up: f4, knight f3, e3, bishop e2, castle, d3, queen e1. Good night."
    (shown,) = (one for one in heard(line + closing).lines if one.kind == "shown")
    assert [move.san for move in shown.moves][-4:] == ["Rad8", "d4", "c4", "f5"]


@pytest.mark.parametrize(
    ("words", "closing"),
    [
        ("Black is lost. Dr. Smethurst says let's sum up.", "Dr. Smethurst says let's sum up."),
        ("Black is lost. So let's sum up.", "So let's sum up."),
        ("Play 12. Kd2 here. That's it for today.", "That's it for today."),
    ],
)
def test_what_closes_a_talk_begins_with_its_sentence(words: str, closing: str) -> None:
    assert words[closing_at(words) :] == closing
