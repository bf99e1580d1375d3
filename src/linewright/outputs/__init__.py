"""The outputs, one file each, found by listing this package.

A module has `make(edition)`, which returns its artifacts and writes nothing; the same edition
gives the same bytes. Its docstring's first line is what `build --help` says of it.
"""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any

from linewright.finding import Finding
from linewright.lesson import Lesson
from linewright.timing import Timeline


@dataclass(frozen=True, slots=True)
class Artifact:
    """One file to be: its name (no folders), its media type and its bytes."""

    name: str
    media_type: str
    data: bytes


@dataclass(frozen=True, slots=True)
class Edition:
    """Everything an output is made from.

    `held` are findings held back until a slip before them is mended; `figures` maps a figure's
    place (the start of its span) to the record it draws; `verdicts` are the judged statements;
    `paper` is ``a4`` or ``us-letter``; `base` is the file name without ending that artifacts
    begin with; `folder` the folder of the script, from which pictures and recordings are named;
    `options` hold what only one output asks for. `talk` has the times of the talk that the
    script was heard from, where it has any.
    """

    lesson: Lesson
    timeline: Timeline
    findings: tuple[Finding, ...] = ()
    held: tuple[Finding, ...] = ()
    verdicts: tuple[Any, ...] = ()
    figures: Mapping[int, Any] = field(default_factory=dict)
    base: str = "lesson"
    paper: str = "a4"
    folder: Path = Path()
    options: Mapping[str, Any] = field(default_factory=dict)
    talk: Timeline | None = None


@dataclass(frozen=True, slots=True)
class Output:
    """An output as it is listed. `on_demand` ones are made only when asked for by name."""

    name: str
    summary: str
    make: Callable[[Edition], tuple[Artifact, ...]]
    on_demand: bool = False


def output_names() -> tuple[str, ...]:
    """The names of all outputs without loading them."""
    return tuple(info.name.replace("_", "-") for info in pkgutil.iter_modules(__path__))


@cache
def load_output(name: str) -> Output:
    """The output of a name from `output_names`."""
    module = importlib.import_module(f"{__name__}.{name.replace('-', '_')}")
    summary = (module.__doc__ or "").strip().split("\n", 1)[0]
    return Output(name, summary, module.make, getattr(module, "ON_DEMAND", False))
