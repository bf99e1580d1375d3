"""An `accept` entry that accepts nothing.

Either the fault is mended and the entry can go, or its rule or place is mistyped and it does not
do what it was written for.

```flags
---
accept:
  - ⟦rule: illegal-move
    place: 3.Nd3
    because: shown as a blunder of notation⟧
---
The main line is 1.d4 d5 2.c4 e6 3.Nc3.
```

```clean
---
accept:
  - rule: illegal-move
    place: 3.Nd3
    because: shown as a slip that pupils make
---
Do not write 1.d4 d5 2.c4 e6 3.Nd3 on your score sheet.
```

Limits: rules that did not run, for want of an analyst or of games, are left alone.

Source: the script language of this project.
"""

from collections.abc import Iterator
from difflib import get_close_matches

from linewright.checks import Grounds, acceptance, all_checks
from linewright.finding import Finding, Severity
from linewright.frontmatter import Accepted

SEVERITY = Severity.WARNING
AFTER_OTHERS = True


def check(grounds: Grounds) -> Iterator[Finding]:
    """A finding for each entry that no finding needs."""
    lesson = grounds.lesson
    used = {acceptance(finding, lesson) for finding in grounds.findings}
    names = [check.name for check in all_checks()]
    for entry in lesson.front.accept:
        if entry in used:
            continue
        if entry.rule not in names:
            near = get_close_matches(entry.rule, names, 1, 0.6)
            hint = f": perhaps '{near[0]}'" if near else ""
            reason = f"'{entry.rule}' is no rule{hint}"
        elif entry.place not in lesson.script.source.text[lesson.front.span.end :]:
            reason = f"the words '{entry.place}' do not stand in the script"
        elif not _ran(entry, grounds):
            continue
        else:
            reason = f"no '{entry.rule}' is found at '{entry.place}'"
        message = f"this entry accepts nothing: {reason}"
        yield Finding("accept-of-nothing", SEVERITY, entry.span, message)


def _ran(entry: Accepted, grounds: Grounds) -> bool:
    """Whether the rule of an entry had what it needs, and so could find anything."""
    needs = next(check.needs for check in all_checks() if check.name == entry.rule)
    if any(not getattr(grounds, need) for need in needs):
        return False
    if "verdicts" not in needs:
        return True
    text = grounds.lesson.script.source.text
    start = text.find(entry.place, grounds.lesson.front.span.end)
    place = range(start, start + len(entry.place))
    return not any(v.verdict == "cannot-tell" and v.statement.span.start in place
                   for v in grounds.verdicts)  # fmt: skip
