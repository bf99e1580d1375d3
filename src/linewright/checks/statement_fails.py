"""Something said about the board that is not so.

The lesson says "the e-file is open" and there is a pawn on it. Students believe the sentence, not
the board, and carry it home.

```flags
After 1.e4 e5 2.Nf3 Nc6 3.Bb5 a6 4.Bxc6 dxc6 ⟦White has the bishop pair⟧.
```

```flags
After 1.e4 e5 2.Nf3 Nc6 we look again: ⟦the e-file is half-open for White⟧, and it is White's move.
```

```clean
After 1.e4 e5 2.Nf3 Nc6 3.Bb5 a6 4.Bxc6 dxc6 Black has the bishop pair, and material is level.
```

Limits: only what the families of statements understand is judged; the proof sheet counts what
could not be told. Questions, suppositions and other people's opinions are left alone. Names of
openings are the business of `wrong-opening-name`.

Source: the definitions stand with each family of statements.
"""

from collections.abc import Iterator

from linewright.checks import Grounds
from linewright.finding import Evidence, Finding, Severity

SEVERITY = Severity.ERROR
NEEDS = ("verdicts",)


def check(grounds: Grounds) -> Iterator[Finding]:
    """Findings for the statements that fail, with a near reading that holds as the repair."""
    for verdict in grounds.verdicts:
        statement = verdict.statement
        if verdict.verdict != "fails" or statement.family == "names":
            continue
        offer = f"; {verdict.offer}" if verdict.offer else ""
        message = f"'{statement.words}' fails: {verdict.because}{offer}"
        evidence = Evidence(verdict.because, verdict.fen, verdict.squares, verdict.arrows)
        repairs = (verdict.repair,) if verdict.repair else ()
        yield Finding("statement-fails", SEVERITY, statement.span, message, evidence, repairs)
