"""Clauses brought to plain order: every rule of the table has an example, and reads it so."""

from __future__ import annotations

import re

import chess
import pytest

from linewright.english.phrases import FIRST_MARK, Form, gather
from linewright.english.recasting import TABLE, examples, recast
from linewright.english.sentences import read_sentences
from linewright.statements import judge


def forms(text: str) -> tuple[Form, Form]:
    (sentence,) = read_sentences(text)
    return gather(sentence.tokens)


def told(form: Form, text: str) -> str:
    """The text with what each phrase names in the place of its mark."""

    def named(match: re.Match[str]) -> str:
        phrase = form.phrases[ord(match[0]) - FIRST_MARK]
        names = (*phrase.squares, *phrase.files, phrase.pieces, phrase.who, phrase.number)
        return "".join(map(str, names))

    return re.sub("[\ue000-\uf8ff]", named, text.replace("G", "S")).rstrip(" .")


def test_each_rule_has_an_example() -> None:
    assert len(list(examples())) == TABLE.count(" => ")


@pytest.mark.parametrize(("said", "plain"), list(examples()), ids=lambda text: text)
def test_the_example_is_read_in_plain_order(said: str, plain: str) -> None:
    plainly = {told(form, form.text) for form in forms(plain)}
    made = {
        told(form, one.text) for form in forms(said) for one in recast(form.text, 0, form.phrases)
    }
    noted = {told(form, form.text) for form in forms(said)}  # notes in shorthand are written out
    assert (made | noted) & plainly, sorted(made)


ITALIAN = "e4 e5 Nf3 Nc6 Bc4 Bc5 c3 Nf6 d3 d6 O-O O-O Re1 a6".split()
SAID = {
    "It's the knight on f6 that hits the e-pawn.": "holds",
    "It's the queen that defends the pawn on e4.": "fails",
    "What protects the pawn on e4 is the rook on e1.": "holds",
    "There's a knight on f6 attacking e4.": "holds",
    "There's a knight on c6 attacking e4.": "fails",
    "The only piece that guards f2 is the king.": "holds",
    "The knight, which is on f3, attacks e5.": "holds",
    "On e1 sits White's rook.": "holds",
    "White's king ended up on g1.": "holds",
    "White's king is tucked away on h1.": "fails",
    "There are two black pieces protecting e5.": "holds",
    "The rook on e1 helps to guard e4.": "holds",
    "That's White to move, isn't it?": "holds",
    "I mean, it's Black to play, right?": "fails",
}


@pytest.mark.parametrize(("said", "verdict"), SAID.items(), ids=SAID.keys())
def test_it_is_judged_and_its_words_are_underlined(said: str, verdict: str) -> None:
    board = chess.Board()
    for san in ITALIAN:
        board.push_san(san)
    found = judge(f"Now look. {said} Good.", board)
    assert {one.verdict for one in found} == {verdict}
    for one in found:
        span = one.statement.span
        assert f"Now look. {said} Good."[span.start : span.end] == one.statement.words
        assert one.statement.words in said
