"""Answers written into a heard script but not heard again, and questions nobody has answered."""

from __future__ import annotations

from pathlib import Path

from typer.testing import CliRunner

from linewright.build import examine, load
from linewright.cli import app
from linewright.source import Source
from linewright.talk.written_answers import answer_lines, is_newer_than_hearing

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
        more = head.replace(
            "\n---",
            '\nanswers:\n  "0:09 e5": "e5"\n---' if not known else '\n  "0:09 e5": "e5"\n---',
            1,
        )
        assert is_newer_than_hearing(Source("s.md", more))
