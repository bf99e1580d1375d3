"""Answers to the questions of a hearing with which the talk has not been heard.

What is made of the script still has the moves from before them.

```flags
---
talk: club.txt
⟦answers⟧:
  "0:19 knight out": "5...Ne7"
---
We begin with 1.e4 e5.
```

```clean
---
talk: club.txt
---
We begin with 1.e4 e5.
```

Limits: a hearing marks the answers it knew; a script whose mark was taken out is told to be heard
again.

Source: the script language of this project.
"""

from collections.abc import Iterator

from linewright.checks import Grounds
from linewright.finding import Evidence, Finding, Severity
from linewright.talk.written_answers import is_newer_than_hearing

SEVERITY = Severity.WARNING


def check(grounds: Grounds) -> Iterator[Finding]:
    """A finding where the answers of a heard script are newer than its hearing."""
    script = grounds.lesson.script
    if not script.front.talk or not is_newer_than_hearing(script.source):
        return
    why = "the answers are newer than the hearing, and the script does not follow them"
    message = f"{why}: run 'linewright hear {script.front.talk}' again"
    yield Finding(
        "answers-not-heard", SEVERITY, script.front.place("answers"), message, Evidence(why)
    )
