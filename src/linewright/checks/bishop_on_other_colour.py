"""A bishop called by one colour of square and put on a square of the other.

A dark-squared bishop never stands on a light square, whatever is played. One of the two words is a
slip, and a student who follows the words looks at the wrong bishop.

```flags
After 1.e4 c5 2.Nf3 d6 3.d4 cxd4 4.Nxd4 Bg4 we gladly exchange ⟦the dark-squared bishop on g4⟧.
```

```flags
After 1.e4 e5 2.Nf3 Nc6 3.Bc4 remember how often ⟦a dark-squared bishop on c4⟧ decides the game.
```

```clean
After 1.e4 c5 2.Nf3 d6 3.d4 cxd4 4.Nxd4 Bg4 we gladly exchange the light-squared bishop on g4.
```

```clean
After 1.e4 e5 2.Nf3 the dark-squared bishop comes to c5, and the light-squared one may go to g4.
```

Limits: only where the square stands right behind the bishop or behind one verb of standing or
moving, in a sentence that neither asks, supposes nor denies. What the board already denies as a
statement is told there. Exercises, whose words may be wrong on purpose, are left alone.

Source: FIDE Laws of Chess, articles 2.1 and 3.2.
"""

import re
from collections.abc import Iterator

import chess

from linewright.checks import Grounds
from linewright.expressions import expression
from linewright.finding import Evidence, Finding, Severity
from linewright.position.bishops import is_light
from linewright.source import Span
from linewright.statements_of_lesson import READ, readable

SEVERITY = Severity.WARNING
NEEDS = ("verdicts",)

_BISHOP = expression(
    r"\b(?P<none>no |without an? )?(?:the |a )?"
    r"(?P<shade>light|dark|white|black)[-\u2010\u2011 ]squared? bishop "
    r"(?:(?:is|was|stands|stood|sits|sat|lands|belongs|goes|went|comes|came|moves|moved|gets|got"
    r"|travels|retreats|develops|returns|which|that|standing|sitting|posted|back|out|already|now"
    r"|still|down|up) ){0,3}"
    r"(?:on|to) (?P<square>[a-h][1-8])\b",
    re.IGNORECASE,
)

_NOT_TOLD = expression(
    r"\b(?:not|never|no|nor|neither|cannot|without|if|unless|whether|suppose|imagine|would|could"
    r"|might|calls?|called|wrong|impossible)\b|n['’]t\b",
    re.IGNORECASE,
)
_STOP = expression(r"[.!?;](?=\W*\s|\W*$)")


def check(grounds: Grounds) -> Iterator[Finding]:
    """Findings for bishops said to stand on, or go to, a square of the other colour."""
    lesson = grounds.lesson
    failed = [v.statement.span for v in grounds.verdicts if v.verdict == "fails"]
    for block in lesson.script.blocks:
        if block.kind not in READ or not block.inlines:
            continue
        start = block.inlines[0].span.start
        text, _ = readable(lesson.script.source.text, block)
        for found in _BISHOP.finditer(text):
            span = Span(start + found.start(), start + found.end())
            if found["none"] or _is_not_told(text, found):
                continue
            if not any(span.start < one.end and one.start < span.end for one in failed):
                yield from _on_other_colour(found, span, lesson.at(span.start).fen)


def _is_not_told(text: str, found: re.Match[str]) -> bool:
    """Whether the sentence asks or supposes that a bishop is there, or denies it."""
    stops = [stop.end() for stop in _STOP.finditer(text, 0, found.start())]
    end = _STOP.search(text, found.end())
    begins, ends = stops[-1] if stops else 0, end.end() if end else len(text)
    return text[:ends].endswith("?") or bool(_NOT_TOLD.search(text, begins, ends))


def _on_other_colour(found: re.Match[str], span: Span, fen: str) -> Iterator[Finding]:
    """The finding for a bishop whose square is not of the colour it is called by."""
    light, square = found["shade"].lower() in {"light", "white"}, found["square"]
    if is_light(chess.parse_square(square)) is light:
        return
    fact = f"{square} is a {'dark' if light else 'light'} square"
    shade = found["shade"].lower()
    other = {"light": "dark", "dark": "light", "white": "black", "black": "white"}[shade]
    words = " ".join(found[0].split())
    message = f"'{words}', but {fact}; perhaps {other}-squared"
    yield Finding("bishop-on-other-colour", SEVERITY, span, message, Evidence(fact, fen, (square,)))
