"""Something that looks like a move and is none.

A square that does not exist or a mistyped letter is easily overlooked, and whatever is not read
as a move is not checked.

```flags
The main line is 1.d4 d5 2.c4 e6 ⟦3.Nc9⟧ as usual.
```

```flags
The main line is 1.e4 e5 2.Nf3 Nc6 3.Bc4 Bc5 ⟦4.00⟧ Nf6 as usual.
```

```clean
The main line is 1.d4 d5 2.c4 e6 3.Nc3 as usual.
```

Limits: only what begins like a move and holds a digit is suspected, and castling without its
strokes: `OO` everywhere, `8.00` only where the king can castle at that move.

Source: PGN standard (1994), section 8.2.3.
"""

from collections.abc import Iterator

from linewright.checks import Grounds
from linewright.expressions import expression
from linewright.finding import Evidence, Finding, Severity
from linewright.lesson import Lesson, Slip, SlipKind
from linewright.notation import in_english
from linewright.source import Span

_NUMBER = expression(r"\d+(?:\.\.\.|…|\.)\s*")

SEVERITY = Severity.ERROR
IN_EXERCISES = ("task", "answer")


def check(grounds: Grounds) -> Iterator[Finding]:
    """Findings for faults of the kind *move*, with what fits the board in their place."""
    lesson = grounds.lesson
    slips = {slip.span: slip for slip in lesson.slips if slip.kind is SlipKind.UNREADABLE}
    told = {fault.span: fault for fault in lesson.script.faults if fault.kind == "move"}
    foreign = _in_other_letters(lesson, slips)
    for span in {**told, **slips}:
        if span in foreign[1:]:
            continue
        slip, fault = slips.get(span), told.get(span)
        reason = fault.reason if fault else slip.reason if slip else ""
        repairs = slip.repairs if slip else fault.repairs if fault else ()
        if span in foreign:
            more = f", and so with {len(foreign) - 1} more" if foreign[1:] else ""
            letters = f"K, Q, R, B and N ({_spelt(lesson, foreign)})"
            reason += f": the pieces' letters are {letters}{more}"
            repairs = repairs[:1]
        message = reason + (f"; perhaps {' or '.join(repairs)}" if repairs else "")
        evidence = Evidence(reason, slip.fen) if slip else Evidence()
        yield Finding("unreadable-move", SEVERITY, span, message, evidence, repairs)


def _spelt(lesson: Lesson, foreign: list[Span]) -> str:
    """Which letter stands for which in these moves: "S is N, L is B"."""
    moves = [_NUMBER.sub("", lesson.script.source.words(span)) for span in foreign]
    return ", ".join(dict.fromkeys(f"{move[0]} is {in_english(move)[0]}" for move in moves))


def _in_other_letters(lesson: Lesson, slips: dict[Span, Slip]) -> list[Span]:
    """The moves that hold with the English letter of their piece: one fault, told once."""
    found = []
    for span, slip in sorted(slips.items()):
        move = _NUMBER.sub("", lesson.script.source.words(span))
        english = in_english(move).rstrip("+#!?")
        repair = _NUMBER.sub("", slip.repairs[0]).rstrip("+#") if slip.repairs else ""
        if english and repair and (repair[0], repair[-2:]) == (english[0], english[-2:]):
            found.append(span)
    return found
