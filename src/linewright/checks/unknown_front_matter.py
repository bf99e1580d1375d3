"""A key of the front matter that means nothing.

What it says is not used, often because of one wrong letter.

```flags
---
title: The pin
⟦studnets⟧: 1200-1600
---
The main line is 1.d4 d5.
```

```clean
---
title: The pin
students: 1200-1600
---
The main line is 1.d4 d5.
```

Limits: none known.

Source: the script language of this project.
"""

from collections.abc import Iterator

from linewright.checks import Grounds, from_faults
from linewright.finding import Finding, Severity

SEVERITY = Severity.WARNING


def check(grounds: Grounds) -> Iterator[Finding]:
    """Findings for faults of the kind *unknown-front-matter*."""
    yield from from_faults(grounds, "unknown-front-matter", "unknown-front-matter", SEVERITY)
