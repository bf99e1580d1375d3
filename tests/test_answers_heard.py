"""Answers written into a heard script but not heard again, and questions nobody has answered."""

from __future__ import annotations

from pathlib import Path

from typer.testing import CliRunner

from linewright.build import examine, load
from linewright.cli import app
from linewright.hearing import with_answers_told
from linewright.source import Source
from linewright.talk.answers import findings_of, place_of
from linewright.talk.heard import hear
from linewright.talk.record import Answered
from linewright.talk.transcript import read_transcript
from linewright.talk.written_answers import answer_lines, is_newer_than_hearing, written_answers

TALK = """[0:00] White plays e4, Black plays e5, knight f3, knight c6.
[0:08] Bishop c4, bishop c5, and the knight comes out.
[0:15] Then d3, d6, and White castles.
"""


def rules(script: Path) -> list[str]:
    told = [(finding.rule, finding.message) for finding in examine(*load(script)).findings]
    return [rule for rule, _ in told if rule in ("answers-not-heard", "question-left-open")]


def test_answers_are_told_until_the_talk_is_heard_again(tmp_path: Path) -> None:
    """Found in use: what was built after answering still had the moves from before."""
    talk = tmp_path / "evening.txt"
    talk.write_text(TALK, "utf-8")
    run = CliRunner()
    run.invoke(app, ["hear", str(talk)])
    script = tmp_path / "evening" / "evening.script.md"
    assert rules(script) == ["question-left-open"]
    head = '---\nanswers:\n  "0:12 knight comes out": "3...Nge7"\n'
    script.write_text(script.read_text("utf-8").replace("---\n", head, 1), "utf-8")
    assert rules(script) == ["answers-not-heard", "question-left-open"]
    run.invoke(app, ["hear", str(talk)])
    assert "answers-not-heard" not in rules(script)
    text = script.read_text("utf-8").replace("3...Nge7", "3...Nh6")
    script.write_text(text, "utf-8")
    assert "answers-not-heard" in rules(script)
    run.invoke(app, ["hear", str(talk)])
    assert "3...Nh6" in script.read_text("utf-8") and "answers-not-heard" not in rules(script)


def test_the_mark_of_heard_answers_holds_for_them_alone() -> None:
    pairs = (("0:07 d5", "d5"), ("word 3 e4", "only talk"))
    for known, unread in ((pairs, ()), (pairs, ("what",)), ((), ("what",)), ((), ())):
        head = "\n".join(["---", "title: T", *answer_lines(known, unread), "---", "", "Words."])
        assert not is_newer_than_hearing(Source("s.md", head))
        told = head.replace("  # no answer: what\n", "")
        assert not is_newer_than_hearing(Source("s.md", told))
        more = head.replace(
            "\n---",
            '\nanswers:\n  "0:09 e5": "e5"\n---' if not known else '\n  "0:09 e5": "e5"\n---',
            1,
        )
        assert is_newer_than_hearing(Source("s.md", more))


def test_a_line_that_is_no_answer_says_what_is_wrong_with_it() -> None:
    """Found in use: a place written twice, a colon left out and a quote left open were told alike."""
    taken = [Answered("0:09 bishop b5", "3.Bb5", None, "")]
    lines = ('"0:09 bishop b5": "3.Bc4"', '"0:11 a6" "3...a6"', '"0:11 a6": "3...a6', "a joke")
    told = [f.message.partition("is no answer: ")[2] for f in findings_of(taken, lines)]
    assert told[0] == "its place is there already, with '3.Bb5': leave one of the two"
    assert told[1].startswith("there is no colon between place and move: below 'answers:'")
    assert told[2].startswith("a quotation mark is not closed: below 'answers:'")
    assert told[3].startswith("below 'answers:'")


def test_an_answer_without_a_time_is_read_beside_a_line_that_is_none() -> None:
    head = '---\nanswers:\n  "knight out": "Nf3"\n  "0:11 a6" "3...a6"\n---\n'
    written = written_answers(Source("s.md", head))
    assert dict(written.pairs) == {"knight out": "Nf3"}
    assert written.unread == ('"0:11 a6" "3...a6"',)


def told_of(answers: dict[str, str]) -> list[str]:
    talk = with_answers_told(hear(read_transcript(Source("evening.txt", TALK)), answers=answers))
    return [f.message for f in talk.transcript.findings if "answer" in f.rule]


def test_an_answer_in_the_letters_of_another_language_is_spelt_in_english() -> None:
    (told,) = told_of({"0:15 d3": "4.Sf3"})
    assert told.endswith(": the pieces' letters are K, Q, R, B and N; perhaps '4.Nf3'")


def test_what_an_open_question_offers_is_told_with_an_answer_that_is_none() -> None:
    talk = hear(read_transcript(Source("evening.txt", TALK)))
    (question,) = talk.questions
    (told,) = told_of({place_of(question.said): "yes"})
    assert told.endswith(f"; asked is: is it {question.offer}?")


def test_words_said_once_are_not_those_of_a_time_far_off() -> None:
    """Found in use: an answer for a minute that the talk does not have was taken for another."""
    (told,) = told_of({"1:55 d6": "Qh5"})
    assert told.endswith("its words are said elsewhere, at '0:16 d6'")
    assert not told_of({"d6": "4...d6"})


def test_a_head_put_right_stays_so(tmp_path: Path) -> None:
    """Found in use: whom the lesson is for, written into the head, was gone at the next hearing."""
    talk, script = tmp_path / "t.txt", tmp_path / "t" / "t.script.md"
    talk.write_text(
        "# The centre\n\nWe have White, so I play e4, he plays e5, I play knight f3.\n", "utf-8"
    )

    def head(*changes: tuple[str, str]) -> str:
        text = script.read_text("utf-8") if script.exists() else ""
        for before, after in changes:
            assert before in text
            text = text.replace(before, after, 1)
        if text:
            script.write_text(text, "utf-8")
        assert CliRunner().invoke(app, ["hear", str(talk)]).exit_code == 0
        return script.read_text("utf-8").split("---")[1]

    assert 'title: "The centre"' in (first := head())
    assert "for: White\n" in first
    mine = ('"The centre"\n', "Open lines\n"), ("for: White", "for: both\nresult: 1-0")
    for changes in (mine, (), ()):
        told = head(*changes)
        assert "title: Open lines\n" in told and "for: both\n" in told and "1-0" in told
    for out in (("for: both\n", "for: White\n"),), (("for: White\n", ""),), (), ():
        told = head(*out)
    assert "for:" not in told and "title: Open lines\n" in told
    assert not list(tmp_path.rglob("*before*"))


def test_only_talk_that_goes_back_is_told_where_to() -> None:
    """Found in use: words went on leading to a board after the answer, and nothing said so."""
    text = (
        "[0:00] White plays e4, Black plays e5, knight f3, knight c6, bishop c4, bishop c5, c3.\n"
        "[0:12] Now go back to where White played knight f3. Instead of knight c6 Black plays d6,"
        " and White plays d4.\n"
    )
    talk = with_answers_told(
        hear(read_transcript(Source("t.txt", text)), answers={"0:15 knight f3": "only talk"})
    )
    told = [f.message for f in talk.transcript.findings if "answer" in f.rule]
    assert [one.partition("is followed: ")[2] for one in told] == [
        "its words make no move, but lead back to 2.Nf3"
    ]
