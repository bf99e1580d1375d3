"""Where commands print: a terminal that shows a teacher's words as they stand."""

from __future__ import annotations

from typing import IO, TYPE_CHECKING

if TYPE_CHECKING:
    from rich.console import Console


def terminal(
    *,
    err: bool = False,
    wrap: bool = False,
    file: IO[str] | None = None,
    width: int | None = None,
) -> Console:
    """A console that reads no markup, no emoji codes and no numbers to colour in what it prints.

    A file may be called `notes[b].md`, and `lesson.md:100:7` is a place in it. Lines longer than
    the terminal are broken at words if `wrap`, else where they end.

    >>> import io
    >>> out = io.StringIO()
    >>> terminal(file=out, width=60).print("notes[b].md:100:7")
    >>> out.getvalue()
    'notes[b].md:100:7\\n'
    """
    from rich.console import Console

    return Console(
        stderr=err,
        file=file,
        width=width,
        soft_wrap=not wrap,
        markup=False,
        emoji=False,
        highlight=False,
    )


__all__ = ["terminal"]
