"""A paragraph that `---` right under it turns into a heading.

A pause was probably meant; as a heading the words are not spoken.

```flags
⟦Now think about it for a moment.⟧
---
Then play on with 1.d4.
```

```clean
Now think about it for a moment.

---

Then play on with 1.d4.
```

Limits: a line that does not end like a sentence is taken for a heading.

Source: CommonMark 0.31, section 4.3.
"""

from collections.abc import Iterator

from linewright.checks import Grounds, from_faults
from linewright.finding import Finding, Severity

SEVERITY = Severity.WARNING


def check(grounds: Grounds) -> Iterator[Finding]:
    """Findings for faults of the kind *underlined-paragraph*."""
    yield from from_faults(grounds, "underlined-paragraph", "underlined-paragraph", SEVERITY)
