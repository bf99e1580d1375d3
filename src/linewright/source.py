"""Texts and places in them. Only `Source` knows lines and columns."""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass, field
from pathlib import Path


@dataclass(frozen=True, slots=True, order=True)
class Span:
    """A half-open range of characters in a source.

    **Units**: `start`, `end` in characters from the start of the text; `start_ms`, `end_ms` in
    milliseconds, only in a talk.
    """

    start: int
    end: int
    start_ms: int | None = None
    end_ms: int | None = None

    def __contains__(self, offset: int) -> bool:
        return self.start <= offset < self.end

    def to(self, other: Span) -> Span:
        """The span from the start of this one to the end of the other."""
        return Span(self.start, other.end, self.start_ms, other.end_ms)


NOWHERE = Span(0, 0)
"""The place of what stands nowhere in particular: the start of the text."""


@dataclass(frozen=True, slots=True)
class Source:
    """A named text.

    >>> source = Source("lesson.md", "one\\ntwo")
    >>> source.line_column(5)
    (2, 2)
    >>> source.words(Span(4, 7))
    'two'
    """

    name: str
    text: str
    _line_starts: tuple[int, ...] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        starts = [0]
        starts.extend(i + 1 for i, c in enumerate(self.text) if c == "\n")
        object.__setattr__(self, "_line_starts", tuple(starts))

    @property
    def lines(self) -> int:
        """How many lines the text has; an empty text has one."""
        return len(self._line_starts)

    @property
    def written_lines(self) -> int:
        """How many lines a reader counts: `lines` without the empty one behind the last line end.

        >>> Source("lesson.md", "one\\n\\ftwo\\n").written_lines
        2
        """
        return max(self.lines - (not self.text or self.text.endswith("\n")), 1)

    def line_column(self, offset: int) -> tuple[int, int]:
        """Line and column of a place, both counted from 1, the column in characters."""
        line = bisect_right(self._line_starts, max(offset, 0))
        return line, max(offset, 0) - self._line_starts[line - 1] + 1

    def line_span(self, line: int) -> Span:
        """The characters of a line (counted from 1) without its line end."""
        start = self._line_starts[line - 1]
        last = self._line_starts[line] - 1 if line < self.lines else len(self.text)
        return Span(start, last)

    def words(self, span: Span) -> str:
        """The text of a span as it stands in the source."""
        return self.text[span.start : span.end]


def beside_or_above(folder: Path, name: str) -> Path:
    """A file that a script of a folder names: there, else in the folder above, where the talk of a
    heard script and its recording are."""
    beside, above = folder / name, folder.resolve().parent / name
    return above if not beside.exists() and above.is_file() else beside
