"""What an exercise asks to be true or false, or yes or no, is judged with its answer."""

from __future__ import annotations

import pytest

from linewright.following import follow
from linewright.script import parse
from linewright.source import Source
from linewright.statements_of_lesson import judge_lesson

MATE = "6k1/5ppp/8/8/8/8/5PPP/2r3K1 w - - 0 1"


def judged(question: str, answer: str) -> list[tuple[str, str]]:
    text = f"1.d4 d5.\n\n```exercise\nfen: {MATE}\n{question}\nanswer: {answer}\n```\n"
    source = Source("a.md", text)
    verdicts = judge_lesson(follow(parse(source)))
    return [(v.verdict, source.words(v.statement.span)) for v in verdicts]


@pytest.mark.parametrize(
    ("question", "answer", "expected"),
    [
        ("White is mated. True or false?", "false", [("fails", "false")]),
        ("White is mated. True or false?", "true", [("holds", "true")]),
        ("White is stalemated. True or false?", "False.", [("holds", "False")]),
        ("True or false: White is stalemated.", "true", [("fails", "true")]),
        ("White is mated (right or wrong?)", "It is wrong.", [("fails", "wrong")]),
        ("Right or wrong, and why: the c-file is open.", "not so", [("fails", "not so")]),
        ("Is the king on g1 in check?", "no", [("fails", "no")]),
        ("Is the king on g1 in check?", "yes, by the rook", [("holds", "yes")]),
        ("Yes or no: is the king on g1 in check?", "No", [("fails", "No")]),
        (
            "Black has a rook. White is mated. True or false?",
            "true",
            [("holds", "Black has a rook"), ("holds", "true")],
        ),
        ("White is mated. True or false?", "see above", [("cannot-tell", "White is mated")]),
        ("Who is better?", "Black", []),
    ],
)
def test_a_yes_or_no_is_judged_on_the_board_of_its_question(
    question: str, answer: str, expected: list[tuple[str, str]]
) -> None:
    """Found in use: "false" passed under a claim that is true on the exercise's board."""
    assert judged(question, answer) == expected


def test_an_answer_whose_reason_fails_is_told_once() -> None:
    assert judged("White is mated. True or false?", "false, White is not mated.") == [
        ("fails", "White is not mated")
    ]


@pytest.mark.parametrize(
    "answer", ["No doubt it is.", "No question", "No need to ask: yes.", "True to its name, no."]
)
def test_a_word_that_begins_other_words_is_no_reply(answer: str) -> None:
    """Found in use: "No doubt it is" was judged as "no"."""
    assert judged("Is the king on g1 in check?", answer) == []


@pytest.mark.parametrize(
    "answer", ["no it is not", "No: none", "no - look", "No (none)", "no because"]
)
def test_a_reply_may_be_gone_on_with(answer: str) -> None:
    assert ("fails", answer[:2]) in judged("Is the king on g1 in check?", answer)


def test_a_reply_with_moves_of_its_own_is_not_judged() -> None:
    """Found in use: the mate that the answer's move gives was denied on the board before it."""
    assert judged("Find a move. Is the king on g1 in stalemate?", "Yes, 1.f3.") == []
    assert judged("White is stalemated. True or false?", "True, 1.f3.") == [
        ("cannot-tell", "White is stalemated")
    ]


@pytest.mark.parametrize(
    "behind",
    [
        "True or false? Why?",
        "True or false? Explain.",
        "True or false? Give a reason.",
        "True or false? Is that so?",
        "Is that true?",
        "Do you agree?",
        "Right?",
    ],
)
def test_what_asks_for_a_reason_is_not_what_is_true_or_false(behind: str) -> None:
    """Found in use: the claim was judged as if the lesson made it."""
    assert judged(f"White is stalemated. {behind}", "No.") == [("holds", "No")]


@pytest.mark.parametrize(
    "question",
    [
        "White is stalemated. Black is mated. True or false?",
        "a) White is stalemated. b) Black is mated. True or false?",
        "White is stalemated. True or false? Black is mated. True or false?",
        "True or false? White is stalemated. Black is mated.",
    ],
)
def test_a_reply_to_several_claims_is_not_judged(question: str) -> None:
    assert {verdict for verdict, _ in judged(question, "false")} == {"cannot-tell"}


def test_a_reply_to_several_questions_is_not_judged() -> None:
    assert judged("Is the king on g1 in check? Is the queen on d8 pinned?", "no") == []


def test_the_words_of_a_reply_are_no_statement() -> None:
    """Found in use: "It's true" was judged as a statement of its own."""
    assert judged("White is mated. True or false?", "It's true.") == [("holds", "true")]


@pytest.mark.parametrize(
    ("question", "answer", "expected"),
    [
        ("How many pawns has White?", "three", [("holds", "three")]),
        ("How many pawns has White?", "Four.", [("fails", "Four")]),
        ("Look again. How many pawns does Black have?", "two", [("fails", "two")]),
        ("Which piece attacks the white king?", "the rook on c1", [("holds", "the rook on c1")]),
        ("Which piece attacks the white king?", "the pawn on h7", [("fails", "the pawn on h7")]),
        ("Where should the king have gone?", "forward", []),
        ("How many moves ahead did you look?", "three", []),
        ("How many pawns has White?", "many", []),
    ],
)
def test_an_answer_in_words_is_judged_with_what_asks_for_it(
    question: str, answer: str, expected: list[tuple[str, str]]
) -> None:
    """Found in use: "how many pawns has White?" with one too many for an answer was not judged."""
    assert judged(question, answer) == expected


@pytest.mark.parametrize(
    ("question", "answer"),
    [
        ("How many pawns are on the second rank?", "Three."),
        ("How many pawns are on the second rank?", "Six."),
        ("How many rooks are on an open file?", "One."),
        ("How many pawns has White? How many pawns has Black?", "Two and three."),
        ("How many pawns has White? How many pawns has Black?", "Two."),
        ("How many pawns has White?", "Not two."),
        ("How many pawns has White?", "Fewer than four."),
        ("How many pawns has White?", "Some say four. It is three."),
        ("How many pawns has White?", "Three, on f2, g2 and a2."),
        ("Suppose the f-pawn falls. How many pawns has White?", "Two."),
    ],
)
def test_what_is_more_than_a_plain_answer_to_a_plain_question_is_not_judged(
    question: str, answer: str
) -> None:
    """Found in use: the pawns of a rank were counted on the whole board."""
    assert judged(question, answer) == []


def test_an_answer_is_judged_on_the_board_that_its_question_imagines() -> None:
    question = "See it [with the corner empty](?remove=c1). How many rooks has Black?"
    assert judged(question, "None.") == [("holds", "None")]
    assert judged(question, "One.") == [("fails", "One")]


def test_whose_move_it_is_is_judged() -> None:
    assert judged("Whose move is it?", "Black's.") == [("fails", "Black's")]
