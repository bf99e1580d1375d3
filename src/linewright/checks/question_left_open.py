"""A slip or a question of a hearing that nobody has answered.

Students get the move that was likeliest, which may be another than the one shown.

```flags
---
talk: club.txt
---
We begin with 1.e4 e5 2.Nc3, the knight comes out.

<!-- ⟦question at '0:19 knight comes out'⟧: is it 2.Nc3, or 2.Nf3? -->
```

```clean
---
talk: club.txt
---
We begin with 1.e4 e5 2.Nc3, the knight comes out.

<!-- say this slowly -->
```

Limits: all are told at the first of them; once the line `talk:` is taken out, none is.

Source: the script language of this project.
"""

from collections.abc import Iterator

from linewright.checks import Grounds
from linewright.expressions import expression
from linewright.finding import Evidence, Finding, Severity
from linewright.script import BlockKind
from linewright.source import Span

SEVERITY = Severity.WARNING

_OPEN = expression(r"(?:perhaps a )?(?P<what>slip|question) at (?:'.*?'|\".*?\")(?= \(|:)")


def check(grounds: Grounds) -> Iterator[Finding]:
    """A finding for the open slips and questions of a heard script, at the first."""
    script = grounds.lesson.script
    notes = (block for block in script.blocks if block.kind is BlockKind.NOTE)
    found = [(block, match) for block in notes if (match := _OPEN.match(block.content)) is not None]
    if not script.front.talk or not found:
        return
    kinds = [match["what"] for _, match in found]
    counts = [(kinds.count(kind), kind) for kind in ("slip", "question") if kind in kinds]
    told = " and ".join(f"{count} {kind}{'s' * (count > 1)}" for count, kind in counts)
    why = f"{told} of the hearing {'is' if len(found) == 1 else 'are'} open"
    message = (
        f"{why}: put what was meant below 'answers:' in the head, then run"
        f" 'linewright hear {script.front.talk}' again"
    )
    block, match = found[0]
    start = script.source.text.index(match[0], block.span.start)
    span = Span(start, start + len(match[0]))
    yield Finding("question-left-open", SEVERITY, span, message, Evidence(why))
