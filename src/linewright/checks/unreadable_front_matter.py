"""Front matter, or a value in it, that cannot be read.

The lesson is checked and built as if it were not there.

```flags
---
⟦pace⟧: quick
---
The main line is 1.d4 d5.
```

```clean
---
pace: 150
---
The main line is 1.d4 d5.
```

Limits: aliases, tags and deep nesting are refused, since a script may come from anybody.

Source: YAML 1.1, of which only plain values are read.
"""

from collections.abc import Iterator

from linewright.checks import Grounds, from_faults
from linewright.finding import Finding, Severity

SEVERITY = Severity.ERROR


def check(grounds: Grounds) -> Iterator[Finding]:
    """Findings for faults of the kind *front-matter*."""
    yield from from_faults(grounds, "front-matter", "unreadable-front-matter", SEVERITY)
