"""Words spoken faster than captions can be read.

Captions carry every word that is said. Guidelines ask for 160 to 180 words a minute at most;
above that readers lose either the words or the board.

```flags
---
⟦pace⟧: 210
---
The main line is 1.d4 d5 2.c4 e6, and everything that follows is about the pawns.
```

```clean
---
pace: 150
---
The main line is 1.d4 d5 2.c4 e6, and everything that follows is about the pawns.
```

Limits: with a recording each paragraph of more than a dozen words is measured by itself;
otherwise the pace counts.

Source: Ofcom guidance quoted by BBC R&D, "How fast should subtitles be?" (2015): 160 to 180 words
a minute, difficult above 200.
"""

from collections.abc import Iterator

from linewright.checks import Grounds
from linewright.finding import Finding, Severity

SEVERITY = Severity.WARNING
MOST_WPM = 180
FEWEST_WORDS = 12


def check(grounds: Grounds) -> Iterator[Finding]:
    """A finding for the pace, or for each measured paragraph that is too fast."""
    timeline = grounds.timeline
    front = grounds.lesson.front
    if timeline.how != "recording":
        if front.pace > MOST_WPM:
            message = (
                f"'pace: {front.pace}' is faster than captions can be read: at most {MOST_WPM}"
            )
            yield Finding("too-fast-for-captions", SEVERITY, front.place("pace"), message)
        return
    for passage in timeline.passages:
        words = sum(1 for word in timeline.words if word.block == passage.block and word.said)
        minutes = (passage.end_ms - passage.start_ms) / 60_000
        if words >= FEWEST_WORDS and minutes > 0 and words / minutes > MOST_WPM:
            rate = round(words / minutes)
            message = f"{rate} words a minute: faster than captions can be read, at most {MOST_WPM}"
            yield Finding("too-fast-for-captions", SEVERITY, passage.span, message)
