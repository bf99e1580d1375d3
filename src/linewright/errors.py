"""Faults of the caller or the environment; faults in a teacher's file are findings instead."""

from __future__ import annotations

from difflib import get_close_matches


class LinewrightError(Exception):
    """Something that keeps the program from doing what it was asked; the text is one line."""


class CannotReadError(LinewrightError):
    """A file cannot be read. `path` as it was given, `reason` lower case."""

    def __init__(self, path: str, reason: str) -> None:
        super().__init__(f"cannot read '{path}': {reason}")
        self.path = path
        self.reason = reason


class CannotWriteError(LinewrightError):
    """A file cannot be written. `path` as it was given, `reason` lower case."""

    def __init__(self, path: str, reason: str) -> None:
        super().__init__(f"cannot write '{path}': {reason}")
        self.path = path
        self.reason = reason


class UnknownNameError(LinewrightError):
    """A name that means nothing here. `known` are those that do."""

    def __init__(self, what: str, name: str, known: tuple[str, ...]) -> None:
        near = get_close_matches(name.lower(), known, 1, 0.6)
        others = f"there are {', '.join(known)}" if known else "there is none"
        hint = f"did you mean '{near[0]}'?" if near else others
        super().__init__(f"there is no {what} '{name}': {hint}")
        self.what = what
        self.name = name
        self.known = known


class NothingToMakeError(LinewrightError):
    """A lesson with nothing in it was to be built. `name`, `reason`."""

    def __init__(self, name: str, reason: str) -> None:
        super().__init__(f"{name} is not built: {reason}")
        self.name = name
        self.reason = reason
