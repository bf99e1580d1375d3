"""An exercise whose answer is missing or empty.

Students cannot tell whether they have found it, and nothing checks that there is one.

```flags
After 1.e4 e5 2.Nf3 Nc6 3.Bc4 Nf6 4.Ng5 White attacks.

⟦~~~exercise⟧
Black to move. Which pawn stops the attack?
~~~
```

```flags
After 1.e4 e5 2.Nf3 Nc6 3.Bc4 Nf6 4.Ng5 White attacks.

~~~exercise
Black to move. Which pawn stops the attack?
⟦answer⟧:
~~~
```

```clean
After 1.e4 e5 2.Nf3 Nc6 3.Bc4 Nf6 4.Ng5 White attacks.

~~~exercise
Black to move. Which pawn stops the attack?
answer: 4...d5
~~~
```

Limits: an answer in words alone counts as one. Accept the finding where the answer is told in
class.

Source: the script language of this project.
"""

from collections.abc import Iterator

from linewright.checks import Grounds, from_faults
from linewright.finding import Finding, Severity

SEVERITY = Severity.WARNING


def check(grounds: Grounds) -> Iterator[Finding]:
    """Findings for faults of the kind *no-answer*."""
    yield from from_faults(grounds, "no-answer", "exercise-without-answer", SEVERITY)
