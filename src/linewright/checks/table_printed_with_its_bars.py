"""A table, which is printed and read aloud with its bars.

The script has the blocks of CommonMark, and tables are none of them: on paper and in the captions
stand the bars and dashes. A list says the same.

```flags
1.d4 d5.

⟦| Black plays | White answers |
|---|---|
| ...e6 | Nc3 |
| ...c6 | Nf3 |⟧

2.c4
```

```clean
1.d4 d5.

- Black plays ...e6, White answers Nc3
- Black plays ...c6, White answers Nf3

2.c4
```

Limits: bars without a line of dashes below the first row are taken for what they are.

Source: CommonMark 0.31, which has no tables.
"""

import re
from collections.abc import Iterator, Sequence

from linewright.checks import Grounds
from linewright.expressions import expression
from linewright.finding import Finding, Severity
from linewright.source import Span

SEVERITY = Severity.WARNING

_DASHES = expression(r"\s*\|?\s*:?-+:?\s*(?:\|\s*:?-+:?\s*)*\|?\s*")
_BAR = re.compile(r"(?<!\\)\|")


def check(grounds: Grounds) -> Iterator[Finding]:
    """Findings for blocks of words that are a table in other dialects of Markdown."""
    lesson = grounds.lesson
    for block in lesson.script.blocks:
        words = lesson.script.source.words(block.span) if block.inlines else ""
        lines = words.splitlines(keepends=True)
        rows = [row.strip("> \n") for row in lines]
        first = next((k for k in range(len(rows)) if _is_table(rows[k:])), None)
        if first is None:
            continue
        rows = rows[first:]
        span = Span(block.span.start + sum(map(len, lines[:first])), block.span.end)
        items = _as_list([_cells(row) for row in (rows[0], *rows[2:])])
        message = "a table is printed and read aloud with its bars: write its rows as a list"
        if items:
            message += f", as in '{items[0]}'"
        # A list right below a line, or inside an item, has to be set apart by hand.
        repairs = ("\n".join(items),) if items and not first else ()
        yield Finding("table-printed-with-its-bars", SEVERITY, span, message, repairs=repairs)


def _is_table(rows: Sequence[str]) -> bool:
    """Whether a line of dashes and bars has as many cells as the one above it, more than one."""
    if len(rows) < 2 or not _DASHES.fullmatch(rows[1]) or "|" not in rows[0]:
        return False
    return len(_cells(rows[0])) == len(_cells(rows[1])) and "|" in rows[1]


def _cells(row: str) -> list[str]:
    return [cell.strip() for cell in _BAR.split(row.strip().strip("|"))]


def _as_list(rows: Sequence[Sequence[str]]) -> list[str]:
    """The rows below the first as items, each cell behind the head of its column."""
    head, *below = rows
    told = (
        ", ".join(f"{name} {cell}".strip() for name, cell in zip(head, row, strict=False) if cell)
        for row in below
    )
    return [f"- {item}" for item in told if item]
