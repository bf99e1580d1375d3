"""What a teacher is asked: each spot once, no choice that makes no sense on its board."""

from __future__ import annotations

import re
from dataclasses import replace

import chess
import pytest

from linewright.source import Source
from linewright.talk.answers import place_of
from linewright.talk.decoder import Kind, Tree
from linewright.talk.doubts import SPOT_WORDS, Doubt, asked_once
from linewright.talk.heard import MOST_CHOICES, Heard, _apart, hear
from linewright.talk.record import ONLY_TALK, Question, Said
from linewright.talk.transcript import read_transcript
from linewright.talk.writing import script_text
from tests.talks.marked import FOLDER, read_marked, transcript

OPEN = "White plays e4, Black replies e5, knight f3, knight c6. "
LEAPS = OPEN + "Bishop c4. Now d3, and knight g5 comes, castles. Then rook e1, h6, and knight f3."
WHICH_KNIGHT = OPEN + "Bishop c4, and the knight comes out."


def heard(text: str, answers: dict[str, str] | None = None, name: str = "talk.txt") -> Heard:
    return hear(read_transcript(Source(name, text)), answers=answers)


def moves_on_boards(question: Question) -> list[tuple[str, bool]]:
    """The choices with whether they can be played on the board of the question.

    A choice of another board says which.
    """
    board = chess.Board()
    for san in question.line:
        board.push_san(san)
    found = []
    for choice, way in zip(question.choices, question.ways, strict=True):
        if choice == ONLY_TALK or (way != choice and question.boards[0] not in way):
            continue
        number, san = re.fullmatch(r"(\d+\.+)(.*)", choice).groups()  # type: ignore[union-attr]
        here = f"{board.fullmove_number}{'.' if board.turn else '...'}"
        legal = any(board.san(move).rstrip("+#") == san.rstrip("+#") for move in board.legal_moves)
        found.append((choice, legal and number == here))
    return found


@pytest.mark.parametrize(
    "text", [LEAPS, WHICH_KNIGHT, OPEN + "Bishop b5, a6, takes, takes. Queen e2."]
)
def test_every_choice_can_be_played_on_the_board_that_is_shown(text: str) -> None:
    """Found in use: a choice was of a board some moves on, or of another line."""
    questions = heard(text).questions
    assert questions
    for question in questions:
        assert len(set(question.choices)) == len(question.choices) >= 2
        assert all(question.choices)
        assert all(legal for _, legal in moves_on_boards(question)), question


def test_what_hangs_on_an_answer_is_asked_after_it() -> None:
    """Found in use: of a run of moves told in brief each was asked about."""
    first = heard(LEAPS)
    assert len(first.questions) == 1
    (asked,) = first.questions
    later = heard(LEAPS, {place_of(asked.said): asked.choices[0]})
    assert [question.said for question in later.questions] != [asked.said]
    assert later.questions, "what is in doubt still is asked next"


@pytest.mark.parametrize(("name", "most"), [("morra_a", 6), ("two_knights_long_a", 4)])
def test_a_long_talk_is_asked_about_with_few_questions(name: str, most: int) -> None:
    """Found in use: a summary of moves told before brought seven questions, "which nobody said";
    "he's got an extra pawn for the rest of the night" was asked about as c4."""
    marked = read_marked(FOLDER / "long" / f"{name}.talk")
    talk = heard(transcript(marked), name=f"{name}.vtt")
    assert 0 < len(talk.questions) <= most
    for question in talk.questions:
        assert all(legal for _, legal in moves_on_boards(question)), question
        if ONLY_TALK in question.choices and len(question.choices) == 2:
            assert not told_before(talk, question), question


def told_before(talk: Heard, question: Question) -> bool:
    """Whether the one move of a question is told before on the same board."""
    line = (*question.line, next(c for c in question.choices if c != ONLY_TALK).split(".")[-1])
    return any(
        talk.line_to(node) == line
        and turn.event.kind is Kind.PLAY
        and turn.phrase[1] <= question.said.first
        for turn in talk.turns
        for node in (turn.node,)
    )


def test_a_choice_of_another_board_says_which() -> None:
    question = Question(Said(0, 2, "knight c6", None), "", ("2...Nc6", "4...Nc6", ONLY_TALK), (),
                        boards=("after 2.c3", "after 4.d4"))  # fmt: skip
    assert question.ways == ("2...Nc6 after 2.c3", "4...Nc6 after 4.d4", ONLY_TALK)
    talk = heard(OPEN + "Bishop b5.")
    script = script_text(replace(talk, questions=(question,)))
    offered = "is it 2...Nc6 after 2.c3, or 4...Nc6 after 4.d4, or another move, or only talk?"
    assert offered in script


def test_a_question_leaves_room_for_any_other_move() -> None:
    """Found in use: questions whose choices were all wrong did not say what else may be written."""
    words = OPEN + "Now White's knight takes e5."
    talk = heard(words)
    (asked,) = talk.questions
    assert asked.text.endswith(", or another move")
    place = place_of(asked.said)
    note = f'"{place}": "3.Nxe5" (or another move in SAN, or "only talk") -->'
    assert note in script_text(talk)
    other = heard(words, {place: "d4"})
    assert not other.answered[0].fault


@pytest.mark.parametrize("none", ["--", "—", "none", "only talk"])
def test_a_dash_answers_that_words_make_no_move(none: str) -> None:
    words = OPEN + "Bishop c4, bishop c5. May White play d4 at once? He may. But we play c3, d6."
    asked = heard(words).questions[0]
    again = heard(words, {place_of(asked.said): none})
    assert not again.answered[0].fault
    assert "d4" not in {move.san for move in again.moves.values()}


def test_the_best_few_readings_are_offered() -> None:
    """The likeliest stand first, and each can be played on the board of the question."""
    marked = read_marked(FOLDER / "tongue" / "evans_o2.talk")
    talk = heard(transcript(marked), name="a.srt")
    by_words = {question.said.text: question.choices for question in talk.questions}
    assert by_words["pawn takes"] == ("10...dxc6", "10...bxc6")
    for question in talk.questions:
        assert 2 <= len(set(question.choices)) == len(question.choices) <= MOST_CHOICES
        assert all(legal for _, legal in moves_on_boards(question)), question


@pytest.mark.parametrize(
    ("said", "count"),
    [
        (("knight e5", "I say knight e5"), 1),
        (("mate", "mate", "mate"), 1),
        (("mate", "check"), 2),
    ],
)
def test_one_cry_told_again_at_once_is_one_question(said: tuple[str, ...], count: int) -> None:
    talk = heard("e4 e5, knight f3.")
    choices = (("1.e4", "1.d4"), ("1...e5", "1...e6"), ("2.Nf3", "2.Nc3"))
    plays = [turn.event for turn in talk.turns]
    doubts = [
        Doubt(Question(Said(5 * k, 5 * k + 2, text, None), "", choices[k], ()), plays[k])
        for k, text in enumerate(said)
    ]
    assert len(list(asked_once(doubts, hear_tree(talk)))) == count


def doubts_of(talk: Heard, *asked: tuple[int, tuple[str, ...]]) -> list[Doubt]:
    """Doubts about moves of a talk, each with its choices."""
    plays = [turn.event for turn in talk.turns]
    return [
        Doubt(Question(Said(first, first + 1, "", None), "", choices, ()), plays[number])
        for number, (first, choices) in enumerate(asked)
    ]


@pytest.mark.parametrize(
    ("first", "later", "count"),
    [
        ((0, ("1.e4", ONLY_TALK)), (9, ("1...e5", ONLY_TALK)), 1),
        ((0, ("1.e4", ONLY_TALK)), (SPOT_WORDS + 9, ("1...e5", ONLY_TALK)), 2),
        ((0, ("1.e4", "1.e3")), (9, ("1...e5", "1...e6")), 2),
        ((0, ("1.e4", "1.e3")), (9, ("1.e3", "1.e4")), 1),
    ],
)
def test_one_spot_is_asked_about_once(
    first: tuple[int, tuple[str, ...]], later: tuple[int, tuple[str, ...]], count: int
) -> None:
    """Whichever pawn moved, the answer is asked about; not where it hangs on the move before."""
    talk = heard("e4 e5, knight f3.")
    tree = hear_tree(talk)
    assert len(list(asked_once(doubts_of(talk, first, later), tree))) == count


def hear_tree(talk: Heard) -> Tree:
    """The boards of a talk as the search numbers them."""
    nodes = {0: (-1, "", "", chess.STARTING_FEN, 0)}
    for node, move in talk.moves.items():
        ply = len(talk.line_to(node))
        nodes[node] = (move.parent, move.uci, move.san, move.fen, ply)
    return Tree(nodes)


class _Step:
    """A decision that counts how often the one before it is asked for."""

    asked = 0

    def __init__(self, before: _Step | None) -> None:
        self._before = before

    @property
    def before(self) -> _Step | None:
        _Step.asked += 1
        return self._before


def test_where_two_ways_part_is_found_without_going_through_what_they_share() -> None:
    shared = None
    for _ in range(1000):
        shared = _Step(shared)
    ours, theirs = [_Step(shared)], [_Step(shared)]
    ours.append(_Step(ours[-1]))
    ours.append(_Step(ours[-1]))
    assert _apart(ours[-1], theirs[-1]) == (ours, theirs)  # type: ignore[arg-type, comparison-overlap]
    assert _apart(shared, ours[0]) == ([], ours[:1])  # type: ignore[arg-type, comparison-overlap]
    assert _apart(None, ours[0])[0] == []  # type: ignore[arg-type]
    assert _Step.asked < 1100


TAKEN_UP = (
    "White plays e4, e5, knight f3, knight c6, bishop c4, bishop c5, c3, knight f6.\n\nInstead of bishop"
    " c5 he can play bishop e7. Then d3, d6, castles.\n\n{} knight f6, and here comes the point. Knight g5, d5, e takes d5, knight d4, c3,"
    " b5, bishop f1, and the knight takes on d5."
)


@pytest.mark.parametrize(
    "words",
    ["Now the main line again. We had", "Back to our game, with", "We return to the main line:"],
)
def test_a_line_taken_up_on_another_board_is_asked_about(words: str) -> None:
    """Found in use: the rest of a talk went on from an invented board without any question."""
    (question,) = heard(TAKEN_UP.format(words)).questions
    assert question.ways == ("3...Nf6 after 3.Bc4", "4...Nf6 after 4.c3")
    for answer in question.choices:
        again = heard(TAKEN_UP.format(words), {place_of(question.said): answer})
        assert not again.questions
        assert not any(answered.fault for answered in again.answered)


def test_another_try_is_no_line_taken_up() -> None:
    talk = heard(TAKEN_UP.format("He can also play"))
    assert not any("4...Nf6" in question.choices for question in talk.questions)
