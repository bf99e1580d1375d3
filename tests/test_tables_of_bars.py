"""Tables of bars, found wherever they stand."""

from __future__ import annotations

import pytest

from linewright.checks import Grounds, run_checks
from linewright.following import follow
from linewright.script import parse
from linewright.source import Source
from linewright.timing import time

TABLE = ("| Black | White |", "|---|---|", "| ...e6 | Nc3 |")


@pytest.mark.parametrize(
    ("before", "indent"), [("", ""), ("What to play:\n", ""), ("- What to play:\n", "  ")]
)
def test_a_table_is_found_wherever_it_stands(before: str, indent: str) -> None:
    """Found in use: one right below a line of words, or in an item, was printed with its bars."""
    text = f"1.d4 d5.\n\n{before}" + "\n".join(indent + row for row in TABLE) + "\n\n2.c4"
    lesson = follow(parse(Source("lesson.md", text)))
    found = [
        f
        for f in run_checks(Grounds(lesson, time(lesson))).findings
        if f.rule == "table-printed-with-its-bars"
    ]
    (finding,) = found
    assert text[finding.span.start :].lstrip().startswith("| Black")
    assert bool(finding.repairs) == (not before)
