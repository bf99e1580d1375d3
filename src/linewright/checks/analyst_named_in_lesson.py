"""An engine named in the lesson itself, which is never started.

A lesson may come from somebody else; a file that is only read must not start a program. The engine
is named in your own settings.

```flags
---
title: The plan
⟦analyst⟧: /usr/local/bin/my-engine
---
The line is 1.e4 e5.
```

```clean
---
title: The plan
---
The line is 1.e4 e5.
```

Limits: none known.

Source: common practice, no source.
"""

from collections.abc import Iterator

from linewright.checks import Grounds, from_faults
from linewright.finding import Finding, Severity

SEVERITY = Severity.WARNING


def check(grounds: Grounds) -> Iterator[Finding]:
    """One finding for each such key."""
    yield from from_faults(grounds, "analyst-in-lesson", "analyst-named-in-lesson", SEVERITY)
