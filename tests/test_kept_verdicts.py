"""Verdicts kept between runs: nothing is judged twice, and nothing stale is ever told."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any

import pytest

from linewright import kept_verdicts, statements_of_lesson
from linewright.analyst.memory import Memory
from linewright.following import follow
from linewright.kept_verdicts import KIND, Kept
from linewright.lesson import Lesson
from linewright.script import parse
from linewright.source import Source
from linewright.statements import judge
from linewright.statements_of_lesson import judge_lesson

LESSON = """---
title: The bishop pair
---

1.e4 e5 2.Nf3 Nc6 3.Bb5 a6 4.Bxc6 dxc6 Black has the bishop pair.

5.O-O White has castled. The material is level.

5...f6 White has the bishop pair.
"""


class Counting:
    """Judges, and counts the texts."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        self.texts: list[str] = []
        monkeypatch.setattr(statements_of_lesson, "judge", self)

    def __call__(self, text: str, *rest: Any) -> Any:
        self.texts.append(" ".join(text.split()))
        return judge(text, *rest)


@pytest.fixture
def counting(monkeypatch: pytest.MonkeyPatch) -> Counting:
    return Counting(monkeypatch)


def lesson(text: str = LESSON) -> Lesson:
    return follow(parse(Source("lesson.md", text)))


def test_a_second_run_judges_nothing_and_says_the_same(counting: Counting, tmp_path: Path) -> None:
    first, second = (Memory(tmp_path / "answers.sqlite") for _ in range(2))
    told = judge_lesson(lesson(), None, Kept(first))
    assert told == judge_lesson(lesson())
    assert {verdict.verdict for verdict in told} == {"holds", "fails"}
    counting.texts.clear()
    assert judge_lesson(lesson(), None, Kept(second)) == told
    assert counting.texts == []


@pytest.mark.parametrize(
    ("old", "new", "judged"),
    [
        ("White has castled", "White has not castled", ["White has not castled"]),
        ("title: The bishop pair", "title: The pair", []),
        ("5...f6", "5...Bg4", ["White has the bishop pair"]),
        ("4.Bxc6 dxc6", "4.Bxc6 bxc6", ["Black has", "White has castled", "White has the bishop"]),
        ("title: The", "for: Black\ntitle: The", ["Black has", "White has c", "White has the"]),
    ],
)
def test_only_what_changed_is_judged_anew(
    counting: Counting, old: str, new: str, judged: list[str]
) -> None:
    kept = Kept(Memory(None))
    judge_lesson(lesson(), None, kept)
    counting.texts.clear()
    changed = LESSON.replace(old, new)
    found = judge_lesson(lesson(changed), None, kept)
    assert found == judge_lesson(lesson(changed))
    fresh = counting.texts[: len(judged)]
    assert all(words in text for words, text in zip(judged, fresh, strict=True))
    assert len(counting.texts) == len(judged) + 3  # and all three without what was kept


def test_verdicts_of_another_program_or_judge_are_not_told(
    counting: Counting, monkeypatch: pytest.MonkeyPatch
) -> None:
    memory = Memory(None)
    judge_lesson(lesson(), None, Kept(memory))
    for other in (Kept(memory, "another judge"), Kept(memory)):
        counting.texts.clear()
        judge_lesson(lesson(), None, other)
        assert len(counting.texts) == 3
        monkeypatch.setattr(kept_verdicts, "program", lambda: "another program")


@pytest.mark.parametrize("text", ["", "[", "{}", '[{"statement": 3}]', '[{"answer": "so"}]', "[1]"])
def test_a_damaged_entry_is_judged_anew(counting: Counting, text: str) -> None:
    class Damaged(Memory):
        def recall_text(self, kind: str, key: str) -> str | None:
            return text if kind == KIND else None

    assert judge_lesson(lesson(), None, Kept(Damaged(None))) == judge_lesson(lesson())


def test_the_program_is_told_by_its_files(tmp_path: Path) -> None:
    (tmp_path / "sub").mkdir()
    file = tmp_path / "sub" / "rule.py"
    file.write_text("x = 1")
    (tmp_path / "notes.txt").write_text("no part of the program")
    assert list(kept_verdicts._files(str(tmp_path))) == [str(file)]
    assert kept_verdicts.program() == kept_verdicts.program() != ""


def test_a_program_of_the_same_sizes_and_times_is_another(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    rule = tmp_path / "rule.py"
    monkeypatch.setattr(kept_verdicts, "__file__", str(rule))
    marks = set()
    for text in ("limit = 25", "limit = 30"):
        rule.write_text(text)
        os.utime(rule, (1, 1))
        kept_verdicts.program.cache_clear()
        marks.add(kept_verdicts.program())
    monkeypatch.undo()
    kept_verdicts.program.cache_clear()
    assert len(marks) == 2
