"""Moves that are not played, because the words tell of another lesson.

They stand in the text and on no board, nor in the game file. If they are a line of this lesson,
students miss it.

```flags
The line is 1.d4 d5 2.c4 c6 3.Nf3 Nf6 4.Nc3 dxc4. Last week we looked at ⟦3.cxd5 cxd5⟧.

We go on with 5.a4 Bf5.
```

```clean
The line is 1.d4 d5 2.c4 c6 3.Nf3 Nf6 4.Nc3 dxc4. Another way is 3.cxd5 cxd5.

We go on with 5.a4 Bf5.
```

Limits: told only where nothing stands between the other lesson's name, the verb and the moves; in
any other wording the moves are played.

Source: the script language of this project.
"""

from collections.abc import Iterator

from linewright.checks import Grounds
from linewright.finding import Evidence, Finding, Severity

SEVERITY = Severity.NOTE


def check(grounds: Grounds) -> Iterator[Finding]:
    """A finding for each run of moves that is taken for another lesson's."""
    lesson = grounds.lesson
    asked = (part for one in lesson.exercises for part in (one.task, one.answer))
    for span in sorted(span for one in (lesson, *asked) for span in one.elsewhere):
        words = lesson.script.source.words(span)
        why = f"'{words}' is taken for what another lesson had and is not played"
        repair = "if it is a line of this lesson, name the other lesson in a sentence of its own"
        yield Finding("moves-of-another-lesson", SEVERITY, span, f"{why}: {repair}", Evidence(why))
