"""A line of an exercise that begins with a key there is not.

What it holds would be printed with the question; where it is almost a key there is, it is read as
that, so that students do not see the answer.

```flags
After 1.e4 e5 2.Nf3 Nc6 3.Bc4 Nf6 4.Ng5 White attacks.

~~~exercise
Black to move. Which pawn stops the attack?
⟦solution⟧: 4...d5
~~~
```

```clean
After 1.e4 e5 2.Nf3 Nc6 3.Bc4 Nf6 4.Ng5 White attacks.

~~~exercise
Black to move. Which pawn stops the attack?
answer: 4...d5
~~~
```

Limits: a word with a capital letter before a colon is taken for the start of a sentence, unless it
is almost a key.

Source: the script language of this project.
"""

from collections.abc import Iterator

from linewright.checks import Grounds, from_faults
from linewright.finding import Finding, Severity

SEVERITY = Severity.ERROR


def check(grounds: Grounds) -> Iterator[Finding]:
    """Findings for faults of the kind *exercise-key*."""
    yield from from_faults(grounds, "exercise-key", "unknown-exercise-key", SEVERITY)
