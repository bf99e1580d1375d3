"""A position that another lesson of the series judges otherwise: equal there, better for one here.

Pupils need one answer to where a line leads. Signs of advantage (`=`, `⩲`, `±`, `+-`, `∞` and those
for Black) are read, and words like "White is better", "the position is equal", "Black has a small
advantage".

```flags
===== lesson-1.md
After 1.d4 d5 2.c4 e6 3.Nc3 Nf6 4.cxd5 exd5 the position is equal.

===== lesson-2.md
Now 1.c4 e6 2.Nc3 Nf6 3.d4 d5 4.cxd5 exd5 and ⟦White is clearly better⟧.
```

```clean
===== lesson-1.md
After 1.d4 d5 2.c4 e6 3.Nc3 Nf6 4.cxd5 exd5 the position is equal.

===== lesson-2.md
Now 1.c4 e6 2.Nc3 Nf6 3.d4 d5 4.cxd5 exd5 and White is slightly better.
```

Limits: only where several lessons are checked together, and only in what is said plainly of the
board at its place. Equal and a little better do not differ, nor better and winning; "fine for
Black" is anything from equal on. Told in the later lesson, and not where that one accepts it.

Source: the signs as in the PGN standard (1994), section 10; where they differ is a choice.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping

from linewright.checks import Grounds
from linewright.finding import Evidence, Finding, Passage, Severity
from linewright.opinions import Key, OfPosition, differ, key_of
from linewright.recalling import takes_back
from linewright.series import Member

SEVERITY = Severity.WARNING
NEEDS = ("series",)


def check(grounds: Grounds) -> Iterator[Finding]:
    """A finding for each position that the lesson and another judge differently."""
    series, lesson = grounds.series, grounds.lesson
    if series is None:
        return
    for own, other, said in series.differences(lesson, _judged, differ):
        if takes_back(series.member(lesson).paragraph(own.span) + other.paragraph(said.span)):
            continue
        also = Passage(other.source, said.span)
        same = "the same position" + (", reached otherwise" if own.line != said.line else "")
        message = (
            f"'{' '.join(lesson.script.source.words(own.span).split())}', but of {same}, "
            f"{other.at(said.span)} says '{' '.join(also.words.split())}': "
            "judge it alike in both, or say in the later lesson why it has changed"
        )
        evidence = Evidence(also.words, own.fen, line=said.line)
        yield Finding(
            "position-judged-differently", SEVERITY, own.span, message, evidence, also=also
        )


def _judged(member: Member) -> Mapping[Key, OfPosition]:
    """The judgments of a lesson by position; none of one that it judges in two ways."""
    by_board: dict[Key, list[OfPosition]] = defaultdict(list)
    for said in member.of_positions:
        by_board[key_of(said.fen)].append(said)
    return {
        about: max(said, key=lambda one: abs(one.low + one.high))
        for about, said in by_board.items()
        if max(one.low for one in said) - min(one.high for one in said) < 1
    }
