"""The example lessons against their stored reports; a change of a report is read in review."""

from __future__ import annotations

import io
import os
from pathlib import Path

import pytest

from linewright.build import Report, examine, load
from linewright.checks import all_checks
from linewright.findings_text import print_report
from linewright.terminal import terminal

EXAMPLES = Path(__file__).parent.parent / "examples"
REPORTS = EXAMPLES / "reports"
LESSONS = ("exchange-variation", "exchange-variation-with-faults")


def report_of(name: str) -> Report:
    path = EXAMPLES / f"{name}.md"
    source, faults = load(path)
    return examine(source, faults)


def text_of(report: Report) -> str:
    out = io.StringIO()
    print_report(terminal(file=out, width=120), report)
    return out.getvalue().replace(f"{EXAMPLES}{os.sep}", "")


@pytest.mark.parametrize("name", LESSONS)
def test_report_is_as_stored(name: str) -> None:
    text = text_of(report_of(name))
    stored = REPORTS / f"{name}.txt"
    if os.environ.get("LINEWRIGHT_SNAPSHOTS") == "write":
        REPORTS.mkdir(exist_ok=True)
        stored.write_text(text, "utf-8")
    assert text == stored.read_text("utf-8")


def test_the_example_is_clean() -> None:
    assert report_of("exchange-variation").findings == ()


def test_planted_faults_show_a_dozen_checks_at_work() -> None:
    rules = {finding.rule for finding in report_of("exchange-variation-with-faults").findings}
    assert len(rules) >= 12
    assert rules <= {check.name for check in all_checks()}


def test_the_example_is_about_as_long_as_it_says() -> None:
    words = sum(1 for word in report_of("exchange-variation").timeline.words if word.said)
    assert 800 <= words <= 1000
