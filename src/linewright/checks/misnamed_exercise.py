"""A fenced block that is almost named `exercise`, or holds an answer under another name.

As any other block it would be printed as it stands, the answer in full view. It is read as an
exercise until it is mended.

```flags
After 1.e4 e5 2.Nf3 Nc6 3.Bc4 Nf6 4.Ng5 White attacks.

⟦~~~exercize⟧
Black to move. Which pawn stops the attack?
answer: 4...d5
~~~
```

```clean
After 1.e4 e5 2.Nf3 Nc6 3.Bc4 Nf6 4.Ng5 White attacks.

~~~exercise
Black to move. Which pawn stops the attack?
answer: 4...d5
~~~
```

Limits: a block of another name that holds no line `answer:` is printed as it is written.

Source: the script language of this project.
"""

from collections.abc import Iterator

from linewright.checks import Grounds, from_faults
from linewright.finding import Finding, Severity

SEVERITY = Severity.ERROR


def check(grounds: Grounds) -> Iterator[Finding]:
    """Findings for faults of the kind *exercise-name*."""
    yield from from_faults(grounds, "exercise-name", "misnamed-exercise", SEVERITY)
