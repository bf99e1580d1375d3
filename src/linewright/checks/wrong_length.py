"""A lesson shorter or longer than its teacher means it to be.

The aim is `minutes` in the front matter, the length that of the timeline: measured where there
is a recording, else that of the draft voice at the pace.

```flags
---
⟦minutes⟧: 8-10
---
The main line is 1.d4 d5 2.c4 e6.
```

```clean
---
minutes: 0.05-0.2
---
The main line is 1.d4 d5 2.c4 e6.
```

Limits: without a recording the length is an estimate.

Source: definition of words a minute.
"""

from collections.abc import Iterator

from linewright.checks import Grounds
from linewright.clock import clock
from linewright.finding import Evidence, Finding, Severity

SEVERITY = Severity.WARNING


def check(grounds: Grounds) -> Iterator[Finding]:
    """One finding if the length lies outside the aim."""
    front = grounds.lesson.front
    if front.minutes is None:
        return
    low, high = front.minutes
    minutes = grounds.timeline.total_ms / 60_000
    if low <= minutes <= high:
        return
    words = sum(1 for word in grounds.timeline.words if word.said)
    off = low - minutes if minutes < low else minutes - high
    direction = "short" if minutes < low else "long"
    length = clock(grounds.timeline.total_ms)
    many = max(round(off * front.pace), 1)
    message = (
        f"the lesson lasts {length} ({words} spoken words), "
        f"{clock(round(off * 60_000))} too {direction}: about {many} words "
        f"{'more' if minutes < low else 'fewer'}"
    )
    yield Finding("wrong-length", SEVERITY, front.place("minutes"), message, Evidence(length))
