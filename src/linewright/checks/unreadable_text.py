"""A file that is not plain UTF-8 text.

Letters may have been read wrongly: names and dashes suffer first.

```flags
After 1.d4 one d⟦␀⟧5 is enough.
```

```clean
After 1.d4 one d5 is enough.
```

Limits: ␀ stands for a NUL character, which no page can show; bytes that are not UTF-8
are read as Windows-1252, which is a guess.

Source: the Unicode Standard, section 3.9 (UTF-8); CommonMark 0.31, section 2.3.
"""

from collections.abc import Iterator

from linewright.checks import Grounds, from_faults
from linewright.finding import Finding, Severity

SEVERITY = Severity.ERROR


def check(grounds: Grounds) -> Iterator[Finding]:
    """Findings for faults of the kind *text*."""
    yield from from_faults(grounds, "text", "unreadable-text", SEVERITY)
