"""How a game ended: told plainly in a talk, kept in the script and the game file, or not at all."""

from __future__ import annotations

import pytest

from linewright.build import examine
from linewright.following import follow
from linewright.outputs.game_file import game_of, tag_section
from linewright.script import parse
from linewright.source import Source
from linewright.talk.heard import hear
from linewright.talk.results import result_of
from linewright.talk.transcript import read_transcript
from linewright.talk.writing import script_text

MOVES = (
    "{} plays e4, {} replies e5, knight f3, knight c6, bishop c4, bishop c5, c3, knight f6, d4,"
    " e takes d4, c takes d4, bishop b4 check, bishop d2. "
)
PLAIN = MOVES.format("White", "Black")
NAMED = "Osgood with White against young Penrice. " + MOVES.format("Osgood", "Penrice")


def script_of(words: str) -> str:
    return script_text(hear(read_transcript(Source("a.txt", words))))


@pytest.mark.parametrize(
    ("words", "result"),
    [
        (PLAIN + "Black resigned.", "1-0"),
        (PLAIN + "And White gave up.", "0-1"),
        (PLAIN + "And here Black simply resigned, because if he takes on d2, knight b takes d2.", "1-0"),
        (PLAIN + "A draw was agreed.", "1/2-1/2"),
        (PLAIN + "They agreed to a draw here.", "1/2-1/2"),
        (PLAIN + "Black's flag fell.", "1-0"),
        (PLAIN + "And Black won.", "0-1"),
        (NAMED + "Penrice resigned.", "1-0"),
        (NAMED + "Osgood lost on time.", "0-1"),
        ("White plays f3, Black answers e5, g4, queen h4 mate.", "0-1"),
    ],
)  # fmt: skip
def test_a_result_that_is_plainly_told_is_handed_back(words: str, result: str) -> None:
    """Found in use: a whole game with its end was told, and the game file said `*`."""
    script = script_of(words)
    assert f'\nresult: "{result}"\n' in script
    lesson = follow(parse(Source("a.md", script)))
    assert not lesson.script.faults and lesson.front.result == result
    assert f'[Result "{result}"]\n' in tag_section(lesson)
    assert str(game_of(lesson)).endswith(result)


STOPLESS = MOVES.format("white", "black").replace(",", "").rstrip(". ")


@pytest.mark.parametrize(
    ("said", "result"),
    [
        (" and white resigned", "0-1"),
        (" and he thought for a minute more and then he played bishop takes d2 check and white resigned", "0-1"),
        (" he should have waited but then black plays bishop takes d2 check and white resigned so what do we learn", "0-1"),
        (" and if black plays bishop takes d2 check then white resigned", ""),
        (" and now he thought black resigned", ""),
    ],
)  # fmt: skip
def test_a_result_is_found_in_words_without_stops(said: str, result: str) -> None:
    talk = hear(read_transcript(Source("a.txt", STOPLESS + said)))
    assert result_of(talk) == result, script_text(talk)


@pytest.mark.parametrize(
    ("said", "result"),
    [
        ("If he takes, bishop takes d2, then knight takes d2. White resigned.", "0-1"),
        ("If he takes, bishop takes d2, then knight takes d2. White would have resigned.", ""),
        ("If he takes, bishop takes d2, then knight takes d2. And that was it.", ""),
    ],
)
def test_the_last_words_say_who_lost_behind_moves_heard_as_supposed(said: str, result: str) -> None:
    talk = hear(read_transcript(Source("a.txt", PLAIN + said)))
    assert talk.moves[talk.turns[-1].node].kind == "supposed"
    assert result_of(talk) == result


@pytest.mark.parametrize(
    "said",
    [
        "White gave up the centre.",
        "Black would have resigned.",
        "If White castles too late, Black won.",
        "He resigned.",
        "Black won a pawn.",
        "Black resigned?",
        "White resigned. No, Black resigned.",
        "In another game Black resigned.",
        "A player with White resigned here instead of going on; White resigned here instead.",
        "Back to move four. Instead of c3 White castles. Black resigned.",
        "It is a draw.",
    ],
)
def test_a_result_is_never_guessed(said: str) -> None:
    talk = hear(read_transcript(Source("a.txt", PLAIN + said)))
    assert result_of(talk) == ""
    script = script_text(talk)
    assert "\nresult:" not in script
    assert '[Result "*"]' in tag_section(follow(parse(Source("a.md", script))))


@pytest.mark.parametrize(
    ("written", "read"),
    [("1-0", "1-0"), ("0–1", "0-1"), ("½-½", "1/2-1/2"), ("1/2 - 1/2", "1/2-1/2"), ('"*"', "*")],
)
def test_a_result_is_read_as_it_is_written(written: str, read: str) -> None:
    script = parse(Source("a.md", f"---\nresult: {written}\n---\n\n1.e4\n"))
    assert not script.faults and script.front.result == read


def test_what_is_no_result_is_told() -> None:
    script = parse(Source("a.md", "---\nresult: White wins\n---\n\n1.e4\n"))
    assert [fault.reason for fault in script.faults] == [
        "'result: White wins' is not read: 1-0, 0-1, 1/2-1/2 or * is expected"
    ]
    assert script.front.result == "*"


@pytest.mark.parametrize(
    ("result", "start", "moves", "fact"),
    [
        ("1-0", "", "1.f3 e5 2.g4 Qh4#", "2...Qh4# is mate; write 0-1"),
        ("0-1", "7k/8/5KQ1/8/8/8/8/8 w - - 0 1", "1.Kf7", "1.Kf7 is stalemate; write 1/2-1/2"),
        ("1-0", "7k/8/8/8/8/8/1r6/K7 w - - 0 1", "1.Kxb2",
         "after 1.Kxb2 nobody can mate any more; write 1/2-1/2"),
        ("1-0", "", "1.f3 e5 2.g4 (2.e4 Qh4+) 2...Nc6 (2...Qh4#)", ""),
        ("*", "", "1.f3 e5 2.g4 Qh4#", ""),
    ],
)  # fmt: skip
def test_a_result_is_held_against_the_last_board(
    result: str, start: str, moves: str, fact: str
) -> None:
    head = f'---\nresult: "{result}"\n' + (f"start: {start}\n" if start else "")
    report = examine(Source("a.md", f"{head}---\n\n{moves}\n"))
    told = [f.message for f in report.findings if f.rule == "wrong-result"]
    assert told == ([f"the result is '{result}', but {fact}"] if fact else [])
