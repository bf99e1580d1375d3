"""What a check reports."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from linewright.source import Source, Span


class Severity(StrEnum):
    """How much a finding matters to the students."""

    ERROR = "error"
    """Students would learn something false, or something cannot be made as written."""
    WARNING = "warning"
    """Probably not what the teacher means."""
    NOTE = "note"
    """Worth a look; never changes the exit code."""


@dataclass(frozen=True, slots=True)
class Evidence:
    """What the board, the games or the analyst show, for the proof sheet to draw.

    `fen` is the position looked at; `squares` ("e4") and `arrows` ("e1-e8") are drawn on it;
    `line` is a line in SAN with numbers that proves the finding; `text` says the rest.
    """

    text: str = ""
    fen: str | None = None
    squares: tuple[str, ...] = ()
    arrows: tuple[str, ...] = ()
    line: str = ""


@dataclass(frozen=True, slots=True)
class Passage:
    """Words of another lesson that a finding holds its own against."""

    source: Source
    span: Span

    @property
    def words(self) -> str:
        """The words as they stand there."""
        return self.source.words(self.span)

    @property
    def place(self) -> str:
        """Its file and line, counted from 1: ``slav.md:14``."""
        return f"{self.source.name}:{self.source.line_column(self.span.start)[0]}"


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing a check reports.

    `rule` is the name of the check (kebab case). `message` is lower case without a full stop:
    the teacher's words quoted, then the fact, then the repair. `repairs` are texts that could
    stand in place of the span's words, likeliest first. `also` is what another lesson of the series
    says, where that is what does not fit.
    """

    rule: str
    severity: Severity
    span: Span
    message: str
    evidence: Evidence = Evidence()
    repairs: tuple[str, ...] = ()
    also: Passage | None = None
