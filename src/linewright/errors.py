"""Faults of the caller or the environment; faults in a teacher's file are findings instead."""

from __future__ import annotations


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
        super().__init__(f"there is no {what} '{name}': there are {', '.join(known)}")
        self.what = what
        self.name = name
        self.known = known
