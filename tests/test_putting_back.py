"""Words that put back what an imagined board left out show the real board again."""

from __future__ import annotations

import pytest

from linewright.following import follow
from linewright.lesson import Change
from linewright.script import parse
from linewright.source import Source
from linewright.statements_of_lesson import judge_lesson

LINE = "1.e4 e5 2.Nf3 Nc6 3.Bb5 a6"
WITHOUT = "See it [without the queens](?remove=d1,d8)."
BARE = "See it [with kings and pawns](?only=KP)."


def restored(words: str) -> list[str]:
    text = f"{LINE}. {words}\n"
    lesson = follow(parse(Source("a.md", text)))
    steps = [step for step in lesson.steps if step.change is Change.RESTORE]
    return [text[step.span.start : step.span.end] for step in steps]


@pytest.mark.parametrize(
    ("words", "back"),
    [
        (f"{WITHOUT} Now put the queens back. White is a little better.", "put the queens back"),
        (f"{WITHOUT} We put them back, and look again.", "put them back"),
        (f"{WITHOUT} Put back both queens. White is a little better.", "Put back both queens"),
        (f"{BARE} Now set the pieces back. White is a little better.", "set the pieces back"),
        (f"{WITHOUT} Back to the real board, then.", "Back to the real board"),
        (f"{WITHOUT} Back to the game.", "Back to the game"),
        (f"{WITHOUT} Now the queens come back.", "the queens come back"),
        (f"{WITHOUT} With the queens back, White is better.", "With the queens back"),
        (f"{WITHOUT} Now put\nthe queens back.", "put\nthe queens back"),
        (f"{WITHOUT} Now put **the queens** back.", "put **the queens** back"),
    ],
)
def test_the_board_comes_back_with_its_men(words: str, back: str) -> None:
    """Found in use: "now put the queens back" kept the board without queens."""
    assert restored(words)[0] == back


@pytest.mark.parametrize(
    "words",
    [
        f"{WITHOUT} Do not put the queens back yet.",
        f"{WITHOUT} If you put the queens back, it is another game.",
        f"{WITHOUT} White puts the knight back.",
        f"{BARE} Now put the rooks back.",
        "Now put the queens back.",
        f"{WITHOUT} Later we will put the queens back.",
        f"{WITHOUT} We put the queens back later.",
        f"{WITHOUT} Should we put the queens back?",
        f"{WITHOUT} Nobody puts the queens back.",
        f"{WITHOUT} Without putting the queens back, look at the pawns.",
        f"{WITHOUT} Then White puts them back on the defensive.",
        f"{WITHOUT} The rooks bring them back into play.",
        f"{WITHOUT} Bring them back into play.",
        f"{WITHOUT} White gives it back.",
        f"{WITHOUT} Nobody *will* put the queens back.",
        f"{WITHOUT} Black may after 3...a6 put the queens back.",
    ],
)
def test_what_puts_nothing_back_changes_no_board(words: str) -> None:
    assert all("back" not in one for one in restored(words))


def test_what_is_said_behind_it_is_judged_on_the_real_board() -> None:
    text = f"{LINE}. {WITHOUT} White has no queen. Now put the queens back. White has a queen.\n"
    verdicts = judge_lesson(follow(parse(Source("a.md", text))))
    assert [verdict.verdict for verdict in verdicts] == ["holds"] * 2
