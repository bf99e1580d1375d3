"""A passage with more moves a minute than students can follow.

Each change on the board has to be found, understood and kept. Counted are board changes in any
stretch of twenty seconds; going back counts as one.

```flags
---
pace: 170
---
⟦1.e4 e5 2.Nf3 Nc6 3.Bb5 a6 4.Ba4 Nf6 5.O-O Be7 6.Re1 b5 7.Bb3 d6 8.c3 O-O 9.h3 Na5
10.Bc2 c5 11.d4 Qc7⟧ is the old main line.
```

```clean
---
pace: 170
---
1.e4 e5 2.Nf3 Nc6 3.Bb5 a6 4.Ba4 Nf6 is known to everybody, and from here on we go slowly.
```

Limits: moves that students know by heart may go faster; accept the finding there.

Source: common practice, no source: eighteen changes in twenty seconds leave about a second each.
"""

from collections.abc import Iterator, Sequence
from math import ceil

from linewright.checks import Grounds
from linewright.finding import Evidence, Finding, Severity
from linewright.lesson import Change
from linewright.source import Span
from linewright.timing import Cue

SEVERITY = Severity.WARNING
WINDOW_MS = 20_000
MOST_CHANGES = 18


def check(grounds: Grounds) -> Iterator[Finding]:
    """Findings for stretches with too many board changes, one for each crowded run."""
    cues = [
        c for c in grounds.timeline.cues if c.step and c.step.spoken and _is_move(c.step.change)
    ]
    k = 0
    while k + MOST_CHANGES < len(cues):
        last = k + MOST_CHANGES
        if cues[last].start_ms - cues[k].start_ms > WINDOW_MS:
            k += 1
            continue
        while last + 1 < len(cues) and (
            cues[last + 1].start_ms - cues[last + 1 - MOST_CHANGES].start_ms <= WINDOW_MS
        ):
            last += 1
        message = (
            f"{_in_words(cues[k : last + 1])}: more than {MOST_CHANGES} "
            f"in {WINDOW_MS // 1000} seconds are hard to follow; say something between them"
        )
        span = Span(cues[k].span.start, cues[last].span.end)
        yield Finding("too-fast-to-follow", SEVERITY, span, message, Evidence(message))
        k = last + 1


def _in_words(run: Sequence[Cue]) -> str:
    """How many moves begin in how many seconds; of a long run, in any part of it that counts."""
    windows = [
        later.start_ms - first.start_ms
        for first, later in zip(run, run[MOST_CHANGES:], strict=False)
    ]
    seconds = max(1, ceil(max(windows) / 1000))
    if len(windows) == 1:
        return f"{len(run)} moves begin within {seconds} seconds"
    return f"of {len(run)} moves any {MOST_CHANGES + 1} begin within {seconds} seconds"


def _is_move(change: Change) -> bool:
    return change in {Change.MOVE, Change.WHAT_IF}
