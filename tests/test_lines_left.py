"""Answers whose words are said on a line that the talk had left, without saying that it goes back."""

from __future__ import annotations

from linewright.source import Source
from linewright.talk.decoder import Decoder, Kind, Understood, events_of
from linewright.talk.heard import Heard, Reading, Said, _Hearing, hear
from linewright.talk.lines_left import leads_back, ways_back_to
from linewright.talk.transcript import read_transcript

GAMBIT = """[0:00] White plays e4, Black plays e5, f4, e takes f4, knight f3. If Black pushes, g5, we play h4, and then g4 and knight e5 is our line.
[0:20] Or from the start: e4, c5, knight f3, d6, d4, c takes d4, knight takes d4, knight f6.
[0:40] What if Black goes bishop g7? Then we push, d4, and h6.
"""

BY_TWO_WAYS = """[0:00] We begin with e4, e5, knight f3, knight c6, d4, e takes d4. Now bishop c4. If Black plays bishop c5, we go c3, and after knight f6 we know the board.
[0:15] Here it is again: e4, e5, knight f3, knight c6, bishop c4, bishop c5, c3, knight f6, d4, e takes d4. It's the same board.
[0:30] What if Black takes, d takes c3? Then you can give bishop takes f7 check. King takes f7, and queen d5 check.
"""


def heard(text: str, answers: dict[str, str] | None = None) -> Heard:
    return hear(read_transcript(Source("talk.txt", text)), answers=answers)


def lines(talk: Heard) -> list[str]:
    """The lines with the moves that are said; those that go no further than another are left out."""
    found = [" ".join(move.san for move in line.moves if move.said) for line in talk.lines]
    return [line for line in found if sum(other.startswith(line) for other in found) == 1]


def test_an_answer_with_a_number_goes_back_to_a_line_that_was_left() -> None:
    talk = heard(GAMBIT, {"0:40 bishop g7": "4...Bg7"})
    assert [one.fault for one in talk.answered] == [""]
    assert lines(talk) == [
        "e4 e5 f4 exf4 Nf3 g5 h4 g4 Ne5",
        "e4 e5 f4 exf4 Nf3 g5 h4 Bg7 d4 h6",
        "e4 c5 Nf3 d6 d4 cxd4 Nxd4 Nf6",
    ]


def test_an_answer_leaves_a_line_whole_that_was_told_in_full_before_it() -> None:
    answers = {"0:30 d takes c3": "5...dxc3", "0:00 knight f6": "5...Nf6"}
    told = [
        "e4 e5 Nf3 Nc6 d4 exd4 Bc4 Bc5 c3 Nf6",
        "e4 e5 Nf3 Nc6 d4 exd4 Bc4 Bc5 c3 dxc3 Bxf7+ Kxf7 Qd5+",
        "e4 e5 Nf3 Nc6 Bc4 Bc5 c3 Nf6 d4 exd4",
    ]
    assert lines(heard(BY_TWO_WAYS, answers)) == told
    assert lines(heard(BY_TWO_WAYS, dict([*answers.items()][:1]))) == told


def test_what_fits_a_line_that_was_left_is_offered() -> None:
    asked = {q.said.text: q for q in heard(BY_TWO_WAYS).questions}
    question = asked["d takes c3"]
    assert question.boards == ("after 6.e5", "after 5.c3")
    assert question.ways == ("6...dxc3 after 6.e5", "5...dxc3 after 5.c3", "only talk")


def test_a_going_back_without_words_inside_a_word_has_none() -> None:
    talk = read_transcript(
        Source("talk.txt", "White plays e4, Black plays e5, f4 e5-f4 is possible")
    )
    hearing = _Hearing(Reading.of(talk), None, {}, None)
    inside = next(k for k in range(1, len(hearing.tokens)) if hearing.tokens[k].text == "f4"
                  and hearing.tokens[k].word == hearing.tokens[k - 1].word)  # fmt: skip
    word = hearing.tokens[inside].word
    assert hearing.said(inside, inside) == Said(word, word, "", None)
    assert hearing.said(inside, inside + 1).text == "e5-f4"


def test_a_way_back_changes_no_price_of_other_words() -> None:
    """Found by reading: where one was possible, "knight on c3" cost more in the whole talk."""
    text = GAMBIT.replace("What if", "The rook on a4 is strong. What if")
    reading = Reading.of(read_transcript(Source("talk.txt", text)))
    plain = Decoder(reading.phrases).search()
    spot = next(
        (phrase.first, phrase.end)
        for same in reading.phrases.values()
        for phrase in same
        if [token.text for token in reading.tokens[phrase.first : phrase.end]] == ["bishop", "g7"]
    )
    ways = ways_back_to({spot: "4...Bg7"}, plain)
    again = Decoder(reading.phrases, ways_back=ways).search(answers={spot: "4...Bg7"})
    assert leads_back(again, ways.values())

    def standing(found: Understood) -> list[float]:
        events = events_of(found.hypotheses[0])
        return [round(event.price, 3) for event in events if event.kind is Kind.PLACE]

    assert standing(plain)
    assert standing(plain) == standing(again)
