"""Which words of a talk an answer is about."""

from __future__ import annotations

from linewright.source import Source
from linewright.talk.answers import Answers
from linewright.talk.record import Said
from linewright.talk.transcript import read_transcript


def test_an_answer_is_about_the_words_that_name_a_move() -> None:
    """Found in use: the answer to "black simply castles" was about "simply", quoted as the slip."""
    words = read_transcript(Source("talk.txt", "Then Black simply castles.")).words
    spots = {(k, k + 1): Said(k, k + 1, words[k].text, None) for k in (2, 3)}
    place = {"word 2 black simply castles": "O-O"}
    for unnamed, about in (({(2, 3)}, "castles"), ({(2, 3), (3, 4)}, "simply")):
        ((_, one),) = Answers.of(place, spots, words, unnamed).found
        assert one.said is not None
        assert one.said.text == about
