"""What is wrong with the writing of a script, before any board is looked at."""

from __future__ import annotations

from dataclasses import dataclass

from linewright.source import Span


@dataclass(frozen=True, slots=True)
class Fault:
    """One fault of the writing; a check of the same kind reports it.

    `kind` says which check (`text`, `front-matter`, `mark`, …), `reason` is lower case without a
    full stop, `repairs` are texts to put in place of the span's words.
    """

    kind: str
    span: Span
    reason: str
    repairs: tuple[str, ...] = ()
