"""HTML in the script, which is printed as it is written.

A script is read by students in several forms, of which a web page is only one, so tags are shown
and not obeyed.

```flags
⟦<div>The main line is 1.d4 d5.</div>⟧
```

```clean
The main line is 1.d4 d5.
```

Limits: tags inside a paragraph are printed without a finding.

Source: the script language of this project.
"""

from collections.abc import Iterator

from linewright.checks import Grounds, from_faults
from linewright.finding import Finding, Severity

SEVERITY = Severity.NOTE


def check(grounds: Grounds) -> Iterator[Finding]:
    """Findings for faults of the kind *html*."""
    yield from from_faults(grounds, "html", "html-shown-as-text", SEVERITY)
