"""What a lesson is judged with beyond the board: statements, an analyst, collections. Floor 6."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from linewright.lesson import Lesson


@dataclass(frozen=True, slots=True)
class Aids:
    """Functions and answerers a lesson is judged with; each may be missing."""

    judge: Callable[[Lesson], tuple[Any, ...]] | None = None
    analyst: Any = None
    collection: Any = None


def aids_for(lesson: Lesson) -> Aids:
    """What a lesson can be judged with on this machine, as its front matter asks."""
    return Aids()
