"""Texts and places in them. Only `Source` knows lines and columns."""

from __future__ import annotations

import codecs
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


@dataclass(frozen=True, slots=True)
class Decoded:
    """The text of a file, and what encoding it was read as.

    Where that is not UTF-8, the byte numbered `byte`, counted from 1, was the first to show it, and
    stands at `place`.
    """

    text: str
    encoding: str = "UTF-8"
    byte: int = 0
    place: Span = NOWHERE


def decoded(data: bytes) -> Decoded:
    """The text of the bytes of a file; line ends become LF, a byte order mark is dropped.

    UTF-8, or UTF-16 by its mark, else Windows-1252, the usual culprit. What fails there too
    becomes U+FFFD. Never raises.

    >>> decoded(b"\\xef\\xbb\\xbfone\\r\\ntwo").text
    'one\\ntwo'
    >>> decoded("König".encode("cp1252")).encoding
    'Windows-1252'
    """
    try:
        return Decoded(_with_one_line_end(data.decode().removeprefix("\ufeff")))
    except UnicodeDecodeError as error:
        bad = error.start
    if data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        name, before, text = "UTF-16", "", data.decode("utf-16", "replace")
    else:
        mark = len(codecs.BOM_UTF8) if data.startswith(codecs.BOM_UTF8) else 0
        name, text = "Windows-1252", data[mark:].decode("cp1252", "replace")
        before = text[: bad - mark]
    text, place = _with_one_line_end(text), len(_with_one_line_end(before))
    place = min(place, max(len(text) - 1, 0))
    return Decoded(text, name, bad + 1, Span(place, place + 1))


def _with_one_line_end(text: str) -> str:
    return text.replace("\r\n", "\n").replace("\r", "\n")


def beside_or_above(folder: Path, name: str) -> Path:
    """A file that a script of a folder names: there, else in the folder above, where the talk of a
    heard script and its recording are."""
    beside, above = folder / name, folder.resolve().parent / name
    return above if not beside.exists() and above.is_file() else beside
