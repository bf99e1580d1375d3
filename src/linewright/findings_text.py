"""Findings for a terminal and for other programs."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Any

from linewright.build import Report
from linewright.clock import clock
from linewright.finding import Finding, Passage, Severity
from linewright.source import Source, Span

if TYPE_CHECKING:
    from rich.console import Console, RenderableType

SCHEMA_VERSION = 1
_COLOURS = {Severity.ERROR: "red", Severity.WARNING: "yellow", Severity.NOTE: "cyan"}
_CONTEXT = 96
"""Widest stretch of a source line shown, in characters; paragraphs are often one long line."""
_GUTTER = 6
"""Characters before a source line, for its number."""


def as_json(reports: Sequence[Report]) -> dict[str, Any]:
    """The findings of lessons as data; the schema is `schemas/check.schema.json`."""
    return {
        "version": SCHEMA_VERSION,
        "findings": [one for report in reports for one in _findings(report)],
        "lessons": [_lesson(report) for report in reports],
    }


def _lesson(report: Report) -> dict[str, Any]:
    counts = Counter(finding.severity for finding in report.findings)
    return {
        "file": report.lesson.script.source.name,
        "title": report.lesson.front.title,
        "spoken_words": sum(1 for word in report.timeline.words if word.said),
        "seconds": round(report.timeline.total_ms / 1000, 1),
        "positions": len(report.lesson.tree.nodes),
        "counts": {severity.value: counts[severity] for severity in Severity},
        "held_back": len(report.checked.held),
        "accepted": [
            {"rule": entry.rule, "place": entry.place, "because": entry.because}
            for _, entry in report.checked.accepted
        ],
    }


def _findings(report: Report) -> list[dict[str, Any]]:
    source = report.lesson.script.source
    return [finding_json(source, finding) for finding in report.findings]


def finding_json(source: Source, finding: Finding) -> dict[str, Any]:
    """One finding as data: lines and columns counted from 1, the end column past the last."""
    line, column = source.line_column(finding.span.start)
    end_line, end_column = source.line_column(finding.span.end)
    evidence = finding.evidence
    return {
        "file": source.name,
        "rule": finding.rule,
        "severity": finding.severity.value,
        "line": line,
        "column": column,
        "end_line": end_line,
        "end_column": end_column,
        "words": source.words(finding.span),
        "message": finding.message,
        "repairs": list(finding.repairs),
        "evidence": {
            "text": evidence.text,
            "fen": evidence.fen,
            "squares": list(evidence.squares),
            "arrows": list(evidence.arrows),
            "line": evidence.line,
        },
        "also": None if finding.also is None else _passage(finding.also),
    }


def _passage(passage: Passage) -> dict[str, Any]:
    """Words of another lesson as data, with places as those of the finding."""
    line, column = passage.source.line_column(passage.span.start)
    end_line, end_column = passage.source.line_column(passage.span.end)
    return {
        "file": passage.source.name,
        "line": line,
        "column": column,
        "end_line": end_line,
        "end_column": end_column,
        "words": passage.words,
    }


def print_statements(console: Console, report: Report, listed: bool) -> None:
    """Prints how many statements hold and fail, and each of them if `listed`."""
    from linewright.statements import summary

    if listed:
        source = report.lesson.script.source
        for verdict in report.verdicts:
            line, _ = source.line_column(verdict.statement.span.start)
            answer = verdict.verdict.replace("-", " ")
            words = " ".join(verdict.statement.words.split())
            console.print(f"{line}: {answer}: '{words}': {verdict.because}")
    if report.verdicts:
        console.print(summary(report.verdicts), style="dim")


def print_report(console: Console, report: Report) -> None:
    """Prints each finding with its source line and the words underlined, then a summary."""
    source = report.lesson.script.source
    for finding in report.findings:
        for line in finding_lines(source, finding):
            console.print(line)
        console.print()
    console.print(summary(report))


def print_against(console: Console, report: Report, others: Sequence[Source]) -> None:
    """Prints the findings that hold a lesson against one of some others."""
    for finding in report.findings:
        if finding.also is not None and any(finding.also.source is one for one in others):
            for line in finding_lines(report.lesson.script.source, finding):
                console.print(line)
            console.print()


def print_settled(console: Console, before: Report, now: Report) -> None:
    """Prints what held a lesson against another before and does not now; the lesson itself is the
    same."""
    source = now.lesson.script.source
    left = {(finding.rule, finding.span) for finding in now.findings}
    for finding in before.findings:
        if finding.also is not None and (finding.rule, finding.span) not in left:
            line, column = source.line_column(finding.span.start)
            words = " ".join(source.words(finding.span).split())
            console.print(
                f"{source.name}:{line}:{column}  '{words}' is no longer at odds with "
                f"{finding.also.source.name}",
                markup=False, highlight=False,
            )  # fmt: skip


def told_in_a_line(report: Report) -> Iterator[str]:
    """Each error and warning with its place and its rule, in a line."""
    source = report.lesson.script.source
    for finding in report.findings:
        if finding.severity is not Severity.NOTE:
            line, column = source.line_column(finding.span.start)
            place = f"{source.name}:{line}:{column}"
            yield f"{place} {finding.severity.value} {finding.rule}: {finding.message}"


def finding_lines(source: Source, finding: Finding) -> list[RenderableType]:
    """The lines that show one finding."""
    from rich.text import Text

    colour = _COLOURS[finding.severity]
    line, column = source.line_column(finding.span.start)
    head = Text()
    head.append(f"{source.name}:{line}:{column}", style="bold")
    head.append(f"  {finding.severity.value}", style=f"bold {colour}")
    head.append(f"  {finding.rule}", style="dim")
    out: list[RenderableType] = [head, *_underlined(source, finding.span, colour)]
    if finding.also is not None:
        other, start = finding.also.source, finding.also.span.start
        place = ":".join(map(str, (other.name, *other.line_column(start))))
        out.append(Text.assemble(" " * _GUTTER, ("and in ", "dim"), place))
        out += _underlined(finding.also.source, finding.also.span, colour)
    out.append(Text.assemble(" " * _GUTTER, finding.message))
    if finding.evidence.line:
        out.append(Text.assemble(" " * _GUTTER, ("line: ", "dim"), finding.evidence.line))
    return out


def _underlined(source: Source, span: Span, colour: str) -> list[RenderableType]:
    """The source line of some words, and the line that underlines them."""
    from rich.text import Text

    shown, underline = _excerpt(source, span)
    number = f"{source.line_column(span.start)[0]:>{_GUTTER - 1}} "
    return [
        Text.assemble((number, "dim"), ("│ ", "dim"), shown),
        Text.assemble((" " * len(number), "dim"), ("│ ", "dim"), (underline, colour)),
    ]


def _excerpt(source: Source, span: Span) -> tuple[str, str]:
    """The source line around the words, cut to a readable width, and its underline."""
    line, column = source.line_column(span.start)
    whole = source.line_span(line)
    text = source.words(whole)
    start = column - 1
    end = max(min(span.end - whole.start, len(text)), start + 1)
    left = max(0, min(start - 32, len(text) - _CONTEXT)) if len(text) > _CONTEXT else 0
    if left:
        left = text.rfind(" ", 0, left + 1) + 1
    right = min(len(text), left + _CONTEXT)
    before, after = "… " if left else "", " …" if right < len(text) else ""
    shown = "".join(c if c.isprintable() else "·" for c in text[left:right])
    stop = min(end, right)
    underline = " " * (len(before) + start - left) + "‾" * max(stop - start, 1)
    return f"{before}{shown}{after}", underline


def summary(report: Report) -> str:
    """One line: what was found, how long the lesson is, how many positions it shows."""
    counts = Counter(finding.severity for finding in report.findings)
    parts = [
        f"{counts[severity]} {severity.value}{'s' if counts[severity] != 1 else ''}"
        for severity in Severity
        if counts[severity]
    ]
    found = ", ".join(parts) or "nothing to mend"
    words = sum(1 for word in report.timeline.words if word.said)
    accepted = len(report.checked.accepted)
    kept = f", {accepted} accepted" if accepted else ""
    if held := len(report.checked.held):
        kept += (
            f", {held} more held back: made on boards in doubt until the moves before are mended"
        )
    positions = len(report.lesson.tree.nodes)
    length = clock(report.timeline.total_ms)
    return (
        f"{report.lesson.script.source.name}: {found}{kept} "
        f"({words} spoken words, {length}, {positions} position{'s' * (positions != 1)})"
    )
