"""A recording that is missing, cannot be read or holds other words than the script.

Students are to hear their teacher. A lesson whose recording cannot be used is built with the draft
voice, which nobody wants to publish without knowing.

```flags
---
⟦recording⟧: "nowhere.wav"
---
The main line is 1.d4 d5.
```

```clean
---
teacher: Wenda Harrowgate
---
The main line is 1.d4 d5.
```

Limits: whether the words are those of the script is measured by `build` and `check`, not by
`check --quick` and `check --watch`, which only look whether there is such a file.

Source: common practice, no source.
"""

from collections.abc import Iterator

from linewright.checks import Grounds
from linewright.finding import Finding, Severity

SEVERITY = Severity.ERROR
NEEDS = ("recording",)


def check(grounds: Grounds) -> Iterator[Finding]:
    """One finding with the reason why the recording was not used."""
    if grounds.unheard:
        front = grounds.lesson.front
        message = f"'{front.recording}' is not used as the sound of the lesson: {grounds.unheard}"
        yield Finding("unusable-recording", SEVERITY, front.place("recording"), message)
