"""An image whose address is almost the name of a figure.

The figure would not be drawn, and a reader would find a broken picture instead.

```flags
The board after 1.d4 d5: ⟦![The start](bord)⟧
```

```clean
The board after 1.d4 d5: ![The start](board)
```

Limits: an address with a dot or a slash is an ordinary picture.

Source: the script language of this project.
"""

from collections.abc import Iterator

from linewright.checks import Grounds, from_faults
from linewright.finding import Finding, Severity

SEVERITY = Severity.WARNING


def check(grounds: Grounds) -> Iterator[Finding]:
    """Findings for faults of the kind *figure*."""
    yield from from_faults(grounds, "figure", "unknown-figure", SEVERITY)
