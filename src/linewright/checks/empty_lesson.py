"""A lesson without words, or without anything on the board.

There is nothing to check and nothing to make: the wrong file was named, or the script is still to
be written. Such a lesson is not built.

```flags
⟦Welcome, everybody.⟧ Tonight we look at an old plan.
```

```clean
Welcome, everybody. Tonight we look at an old plan: 1.d4 d5 2.c4 e6.
```

Limits: a start of its own, an imagined board, a figure or an exercise is something on the board.

Source: common practice, no source.
"""

from collections.abc import Iterator

from linewright.checks import Grounds
from linewright.finding import Evidence, Finding, Severity
from linewright.lesson import nothing_in_it
from linewright.source import Span

SEVERITY = Severity.ERROR


def check(grounds: Grounds) -> Iterator[Finding]:
    """A finding for a lesson with nothing in it, at its first sentence."""
    lesson = grounds.lesson
    why = nothing_in_it(lesson)
    if not why:
        return
    text = lesson.script.source.text
    first = next((b.span for b in lesson.script.blocks if b.inlines), Span(0, 0))
    words = text[first.start : first.end].split("\n")[0]
    stop = words.find(". ")
    end = first.start + (stop + 1 if stop >= 0 else len(words))
    yield Finding("empty-lesson", SEVERITY, Span(first.start, end), why, Evidence(why))
