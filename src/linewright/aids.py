"""What a lesson is judged with beyond the board: statements, an analyst, collections. Floor 6."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from linewright.lesson import Lesson


@dataclass(frozen=True, slots=True)
class Aids:
    """Functions and answerers a lesson is judged with; each may be missing.

    `notes` say in one line each what is missing that was asked for.
    """

    judge: Callable[[Lesson], tuple[Any, ...]] | None = None
    analyst: Any = None
    collection: Any = None
    notes: tuple[str, ...] = ()


def aids_for(lesson: Lesson) -> Aids:
    """What a lesson can be judged with on this machine, as its front matter asks."""
    from linewright.statements_of_lesson import judge_lesson

    return Aids(judge_lesson)
