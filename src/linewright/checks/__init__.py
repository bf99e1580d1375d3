"""The checks, one file each, found by listing this package.

A check's file name is its name. It holds `SEVERITY` and `check(grounds)`, and its docstring is
the user's documentation: what it finds, why it matters, an example that is flagged (the flagged
words between ⟦ and ⟧), one that is clean, limits, source.
"""

from __future__ import annotations

import importlib
import pkgutil
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import cache
from typing import TYPE_CHECKING, Any

from linewright.expressions import expression
from linewright.finding import Evidence, Finding, Severity
from linewright.lesson import Lesson, SlipKind
from linewright.timing import Timeline

if TYPE_CHECKING:
    from linewright.frontmatter import Accepted
    from linewright.series import Series


@dataclass(frozen=True, slots=True)
class Grounds:
    """What a check may look at.

    `verdicts` are the judged statements, `analyst` whatever engine answers, `collection` the
    games the lesson names: each None or empty where there is none, and then the checks that need
    it find nothing. `unheard` says why the recording that the lesson names is not its sound, empty
    where it is, or none is named. `series` are the lessons it is compared with, itself among them,
    None where it is checked alone. `findings` are those of the other checks, only for checks with
    `AFTER_OTHERS`.
    """

    lesson: Lesson
    timeline: Timeline
    verdicts: tuple[Any, ...] = ()
    analyst: Any = None
    collection: Any = None
    unheard: str = ""
    series: Series | None = None
    findings: tuple[Finding, ...] = ()


@dataclass(frozen=True, slots=True)
class Example:
    """A documented example: a script and the spans of its words that must be flagged."""

    text: str
    flagged: tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True)
class Check:
    """A check as it is listed: its name, severity, documentation and function.

    `needs` names the grounds beyond the board that it looks at (``analyst``, ``series``);
    `in_exercises` the passages of exercises that are looked at as well (``task``, ``answer``).
    """

    name: str
    severity: Severity
    documentation: str
    run: Callable[[Grounds], Iterator[Finding]]
    after_others: bool = False
    needs: tuple[str, ...] = ()
    in_exercises: tuple[str, ...] = ()

    def findings(self, grounds: Grounds) -> Iterator[Finding]:
        """What the check finds in a lesson and in its exercises."""
        yield from self.run(grounds)
        for exercise in grounds.lesson.exercises:
            for passage in self.in_exercises:
                yield from self.run(replace(grounds, lesson=getattr(exercise, passage)))

    @property
    def summary(self) -> str:
        """The first line of the documentation."""
        return self.documentation.strip().split("\n", 1)[0]

    def examples(self) -> tuple[Example, ...]:
        """The documented examples that must be flagged."""
        return tuple(_example(text) for text in _fences(self.documentation, "flags"))

    def clean_examples(self) -> tuple[str, ...]:
        """The documented examples in which no check may find anything."""
        return tuple(_fences(self.documentation, "clean"))


@cache
def all_checks() -> tuple[Check, ...]:
    """Every check of the package, by name."""
    return tuple(_load(info.name) for info in pkgutil.iter_modules(__path__))


def _load(module_name: str) -> Check:
    module = importlib.import_module(f"{__name__}.{module_name}")
    return Check(
        name=module_name.replace("_", "-"),
        severity=module.SEVERITY,
        documentation=module.__doc__ or "",
        run=module.check,
        after_others=getattr(module, "AFTER_OTHERS", False),
        needs=getattr(module, "NEEDS", ()),
        in_exercises=getattr(module, "IN_EXERCISES", ()),
    )


@dataclass(frozen=True, slots=True)
class Checked:
    """The findings of all checks in the order of their places, those accepted, and those held
    back: made on a board that is in doubt because of a slip before it."""

    findings: tuple[Finding, ...]
    accepted: tuple[tuple[Finding, Accepted], ...]
    held: tuple[Finding, ...] = ()


def run_checks(grounds: Grounds) -> Checked:
    """Every finding of every check; those the front matter accepts are kept apart, and those
    on boards that another finding has put in doubt.

    >>> from linewright.following import follow
    >>> from linewright.script import parse
    >>> from linewright.source import Source
    >>> from linewright.timing import time
    >>> lesson = follow(parse(Source("a.md", "1.e4 e5 2.Nf4")))
    >>> run_checks(Grounds(lesson, time(lesson))).findings[0].rule
    'illegal-move'
    """
    first = (check for check in all_checks() if not check.after_others)
    findings = [finding for check in first for finding in check.findings(grounds)]
    with_others = replace(grounds, findings=tuple(findings))
    findings += [f for check in all_checks() if check.after_others for f in check.run(with_others)]
    return _sorted_out(findings, grounds)


def compared(checked: Checked, grounds: Grounds) -> Checked:
    """The same with what the checks of a series find; `grounds` tell what it is compared with.

    An entry of `accept` that nothing of the series needs can be told only now.
    """
    before = [*checked.findings, *(finding for finding, _ in checked.accepted), *checked.held]
    by_series = (check for check in all_checks() if "series" in check.needs)
    found = [*before, *(finding for check in by_series for finding in check.run(grounds))]
    with_others = replace(grounds, findings=tuple(found))
    accepting = next(check for check in all_checks() if check.name == "accept-of-nothing")
    found += [finding for finding in accepting.run(with_others) if finding not in before]
    return _sorted_out(found, grounds)


def _sorted_out(findings: list[Finding], grounds: Grounds) -> Checked:
    """The findings in the order of their places, those accepted and those in doubt apart."""
    findings.sort(key=lambda finding: (finding.span.start, finding.rule, finding.message))
    kept: list[Finding] = []
    accepted: list[tuple[Finding, Accepted]] = []
    held: list[Finding] = []
    for finding in findings:
        entry = acceptance(finding, grounds.lesson)
        if in_doubt(finding, grounds.lesson):
            held.append(finding)
        elif entry is None:
            kept.append(finding)
        else:
            accepted.append((finding, entry))
    return Checked(tuple(kept), tuple(accepted), tuple(held))


_OF_THE_WRITING = frozenset(
    {
        "illegal-move", "ambiguous-move", "wrong-move-number", "unfollowed-move", "unreadable-move",
        "move-others-contradict", "impossible-start",
    }
)  # fmt: skip


def in_doubt(finding: Finding, lesson: Lesson) -> bool:
    """Whether a finding rests on a board that a slip before it has put in doubt."""
    if finding.rule in _OF_THE_WRITING:
        return any(finding.span.start in span for span in lesson.unclosed)
    if finding.evidence.fen is None:
        return False
    return lesson.in_doubt(finding.span.start)


def acceptance(finding: Finding, lesson: Lesson) -> Accepted | None:
    """The `accept` entry of the front matter that covers a finding, if there is one.

    An entry covers the findings of its rule that touch one of the places where its words stand.
    """
    text = lesson.script.source.text
    end = max(finding.span.end, finding.span.start + 1)
    for entry in lesson.front.accept:
        if entry.rule != finding.rule:
            continue
        start = text.find(entry.place, lesson.front.span.end)
        while start >= 0:
            if start < end and finding.span.start < start + len(entry.place):
                return entry
            start = text.find(entry.place, start + 1)
    return None


_FENCE = expression(r"^```(flags|clean)\n(.*?)^```$", re.MULTILINE | re.DOTALL)


def _fences(documentation: str, kind: str) -> list[str]:
    return [match[2] for match in _FENCE.finditer(documentation) if match[1] == kind]


NUL_SHOWN = "␀"
"""How documentation, which is plain text, shows a NUL character."""


def _example(marked: str) -> Example:
    text, flagged, start = "", [], 0
    for piece in re.split(r"(⟦|⟧)", marked.replace(NUL_SHOWN, "\0")):
        if piece == "⟦":
            start = len(text)
        elif piece == "⟧":
            flagged.append((start, len(text)))
        else:
            text += piece
    return Example(text, tuple(flagged))


def from_faults(grounds: Grounds, kind: str, rule: str, severity: Severity) -> Iterator[Finding]:
    """A finding for each fault of the writing of a kind."""
    for fault in grounds.lesson.script.faults:
        if fault.kind == kind:
            yield Finding(rule, severity, fault.span, fault.reason, repairs=fault.repairs)


def from_slips(
    grounds: Grounds, kind: SlipKind, rule: str, severity: Severity, verdict: str
) -> Iterator[Finding]:
    """A finding for each slip of a kind: the words quoted, the verdict, the board fact, the
    repairs."""
    source = grounds.lesson.script.source
    for slip in grounds.lesson.slips:
        if slip.kind is not kind:
            continue
        message = f"'{source.words(slip.span)}' {verdict}: {slip.reason}"
        if slip.repairs:
            message += f"; perhaps {' or '.join(slip.repairs)}"
        evidence = Evidence(slip.reason, slip.fen)
        yield Finding(rule, severity, slip.span, message, evidence, slip.repairs)
