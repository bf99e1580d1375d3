"""How a heard talk reads as a script: marks, capitals, sentences, parentheses, headings."""

from __future__ import annotations

import pytest

from linewright.source import Source
from linewright.talk.heard import hear
from linewright.talk.paragraphs import Layout
from linewright.talk.transcript import read_transcript
from linewright.talk.writing import script_text


def script(words: str, name: str = "club.txt") -> str:
    text = script_text(hear(read_transcript(Source(name, words))))
    return text.partition("---\n\n")[2]


def captions(lines: list[tuple[float, str]]) -> str:
    """A WebVTT file; a word takes 0.3 s, and before each line the speaker pauses for so long."""
    out, at = ["WEBVTT"], 0.0
    for pause, line in lines:
        begin = at + pause
        at = begin + 0.3 * len(line.split())
        out.append(f"{_stamp(begin)} --> {_stamp(at)}\n{line}")
    return "\n\n".join(out)


def _stamp(seconds: float) -> str:
    return f"00:{int(seconds) // 60:02}:{seconds % 60:06.3f}"


def test_castling_in_letters_is_written_once() -> None:
    """Found in use: "5.O-O O-O" became "5.O-O 5.O-O O-O 5...O-O"."""
    text = script("White plays 1.e4 e5 2.Nf3 Nf6 3.Bc4 Bc5 4.O-O O-O 5.d3 and that is it.")
    assert "3...Bc5 4.O-O 4...O-O 5.d3" in text


def test_a_move_that_is_quoted_keeps_both_marks() -> None:
    text = script('White plays e4, e5, Nf3. What now, Odile? "Knight c6." Yes, knight c6.')
    assert 'Odile? "2...Nc6." Yes, knight c6.' in text


@pytest.mark.parametrize("mark", ["...", "…"])
def test_what_goes_on_behind_dots_has_no_new_capital(mark: str) -> None:
    text = script(f"So 1.d4 d5 2.c4 and he looks at{mark} what does he look at? Then 2...e6.")
    assert f"he looks at{mark} what does he" in text
    assert "? Then 2...e6." in text


def test_a_parenthesis_begins_with_its_clause() -> None:
    """Found in use: "and only (then after say 5.Bg3 you play"."""
    text = script(
        "d4 f5 bishop g5 h6 bishop h4 g5 and white plays e3 so do not take play knight f6 first"
        " and only then after say bishop g3 you play d6 and you are fine"
    )
    assert "(and only then after say 5.Bg3 you play 5...d6" in text


def sentences(words: str, name: str = "club.vtt") -> list[str]:
    talk = hear(read_transcript(Source(name, words)))
    told = [word.text for word in talk.transcript.words]
    return [" ".join(told[first:last]) for first, last in Layout(talk).sentences()]


@pytest.mark.parametrize("begun", ["and if you", "and only"])
def test_no_sentence_ends_inside_a_clause(begun: str) -> None:
    """Found in use: a pause behind "and if you" parted it, and a parenthesis began behind it."""
    lines = [(0.1, "white plays e4 and black plays e5"), (0.6, f"knight f3 {begun}")]
    lines += [(0.6, "play it then it is fine"), (0.6, "knight c6 and then bishop c4 comes")]
    told = sentences(captions([*lines, (0.6, "that is all i wanted to say")]))
    assert f"knight f3 {begun} play it then it is fine" in told


def test_the_main_move_now_is_one_thought() -> None:
    words = "d4 f5 this is a wall and the main move now is g3 knight f6 now comes bishop g2"
    layout = Layout(hear(read_transcript(Source("club.txt", words))))
    opens = [k for k, word in enumerate(words.split()) if word == "now" and layout.opens(k)]
    assert [words.split()[k + 1] for k in opens] == ["comes"]


def test_a_heading_stands_where_the_talk_goes_back() -> None:
    """Found in use: thirty words on the old board stood below the heading."""
    lines = [
        (0.1, "white plays e4 and black plays e5"),
        (0.6, "knight f3 knight c6 bishop c4 bishop c5 c3 knight f6 d4 e takes d4"),
        (0.6, "this is sharp and everybody here should know it by heart so we go back to the"
              " position after knight c6 and instead of the move bishop c4 white plays bishop b5"
              " a6 bishop a4 knight f6"),
        (0.6, "that is all i wanted to say"),
    ]  # fmt: skip
    text = script(captions(lines), "club.vtt")
    before, heading, behind = text.partition("## ")
    assert heading and "know it by heart" in before
    assert "So we go back to the position" in behind


def test_words_of_what_should_have_been_played_lead_to_no_other_part() -> None:
    text = script(
        "e4 e5 knight f3 knight c6 bishop c4 knight f6 knight g5 d5 e takes d5 knight takes d5"
        " but instead of knight g5 white should have waited and then it is a game all right let us"
        " go back to the very beginning after e4 c5 knight f3 d6 d4 c takes d4 knight takes d4"
    )
    before, _, behind = text.partition("## ")
    assert "white should have waited" in before.lower()
    assert "1...c5" in behind


def test_a_verb_that_is_left_over_stands_before_the_move() -> None:
    """Found in use: "after 20.Bxf3 bishop takes bishop 20...Bxf3 takes White has"."""
    line = (
        "white plays d4 f5 g3 knight f6 bishop g2 e6 knight f3 d5 castles bishop d6 c4 c6 b3"
        " queen e7 knight e5 castles knight d2 a5 bishop b2 knight bd7 knight df3 knight e4 knight"
        " takes d7 bishop takes d7 knight e5 bishop e8 e3 bishop h5 f3 knight g5 c5 bishop takes e5"
        " d takes e5 and now knight takes"
    )
    behind = [
        (0.0, "f3 check it wins a pawn because after bishop takes"),
        (0.1, "bishop takes white has no light squared bishop and"),
        (0.1, "his king is cold and the pawns on e3 and e5 are weak"),
        (0.0, "so it is a game all right"),
    ]
    talk = read_transcript(Source("club.vtt", captions([(0.1, line), *behind])))
    text = script_text(hear(talk, answers={"0:21 bishop takes bishop": "18...Bxf3"}))
    assert "bishop takes bishop takes 18...Bxf3 White has" in text
