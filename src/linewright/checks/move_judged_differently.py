"""A move that another lesson of the series judges otherwise, on the same board.

Pupils who remember both do not know what to play. A judgment is a suffix (`!` and `!!`, `!?`, `?!`,
`?` and `??`), words like "is a mistake", "is a good move", "is the best move", or that the lesson
teaches the move as the main one of its side. Two moves of one board that are both called the best
are told as well.

```flags
===== lesson-1.md
After 1.e4 e5 2.Nf3 Nc6 3.Bc4 Nf6 we go 4.Ng5! at once.

===== lesson-2.md
If they begin with 1.e4 e5 2.Bc4 Nc6 3.Nf3 Nf6 then ⟦4.Ng5?⟧ is for another day.
```

```flags
===== lesson-1.md
After 1.e4 e5 2.Nf3 Nc6 3.Bc4 Nf6 the best move is 4.d3. Here 4.d3 is the best move.

===== lesson-2.md
We play 1.e4 e5 2.Nf3 Nc6 3.Bc4 Nf6 and now ⟦4.Nc3 is the best move⟧.
```

```clean
===== lesson-1.md
After 1.e4 e5 2.Nf3 Nc6 3.Bc4 Nf6 we go 4.Ng5! at once.

===== lesson-2.md
In the other order 1.e4 e5 2.Nf3 Nc6 3.Bc4 Bc5 the jump 4.Ng5? loses a piece.
```

Limits: only where several lessons are checked together, and only in what is said plainly: no
questions, conditions or other people's opinions. `!?` and `?!` do not differ, nor `?!` and a move
that is only taught. A lesson that judges a move both ways is left alone, and so is one that says it
sees it differently now ("I was wrong in lesson 1"). It is told in the later lesson, and not where
that one accepts it.

Source: the signs as in the PGN standard (1994), section 10.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from itertools import combinations

import chess

from linewright.checks import Grounds
from linewright.finding import Evidence, Finding, Passage, Severity
from linewright.opinions import Key, OfMove, Worth, key_of
from linewright.recalling import takes_back
from linewright.series import Member

SEVERITY = Severity.WARNING
NEEDS = ("series",)

_AGAINST = {
    Worth.BAD: {Worth.INTERESTING, Worth.GOOD, Worth.BEST, Worth.TAUGHT},
    Worth.DUBIOUS: {Worth.GOOD, Worth.BEST},
}


def check(grounds: Grounds) -> Iterator[Finding]:
    """A finding for each move of a board that the lesson and another judge differently."""
    series, lesson = grounds.series, grounds.lesson
    if series is None:
        return
    for told, differ in ((_judged, _contradict), (_called_best, _is_another)):
        for own, other, said in series.differences(lesson, told, differ):
            if takes_back(series.member(lesson).paragraph(own.span) + other.paragraph(said.span)):
                continue
            yield _finding(own, lesson.script.source.words(own.span), other, said)


def _finding(own: OfMove, words: str, other: Member, said: OfMove) -> Finding:
    also = Passage(other.source, said.span)
    ways = (one.line.rsplit(" ", 1)[0] for one in (own, said))
    same = "on the same board" + (", reached otherwise," if len(set(ways)) > 1 else "")
    says = "teaches" if said.worth is Worth.TAUGHT else "says"
    message = (
        f"'{' '.join(words.split())}', but {same} {other.at(said.span)} {says} "
        f"'{' '.join(also.words.split())}': "
        "judge it alike in both, or say in the later lesson why it has changed"
    )
    arrow = f"{chess.square_name(own.move.from_square)}-{chess.square_name(own.move.to_square)}"
    evidence = Evidence(also.words, own.fen, (), (arrow,), said.line)
    return Finding("move-judged-differently", SEVERITY, own.span, message, evidence, also=also)


def _contradict(one: OfMove, other: OfMove) -> bool:
    return _oppose(one.worth, other.worth)


def _oppose(one: Worth, other: Worth) -> bool:
    return other in _AGAINST.get(one, ()) or one in _AGAINST.get(other, ())


def _judged(member: Member) -> Mapping[tuple[Key, chess.Move], OfMove]:
    """The judgments of a lesson by board and move; none of a move that it judges both ways."""
    by_move: dict[tuple[Key, chess.Move], list[OfMove]] = defaultdict(list)
    for said in member.of_moves:
        by_move[key_of(said.fen), said.move].append(said)
    return {
        about: min(said, key=lambda one: _STRONGEST.index(one.worth))
        for about, said in by_move.items()
        if not any(_oppose(*two) for two in combinations({one.worth for one in said}, 2))
    }


_STRONGEST = (
    Worth.BAD, Worth.BEST, Worth.GOOD, Worth.DUBIOUS, Worth.INTERESTING, Worth.TAUGHT,
)  # fmt: skip
"""Of what a lesson says of a move, what the others are held against."""


def _called_best(member: Member) -> Mapping[Key, OfMove]:
    """The move that a lesson calls the best, by board; none where it calls two so."""
    by_board: dict[Key, list[OfMove]] = defaultdict(list)
    for said in member.of_moves:
        if said.worth is Worth.BEST:
            by_board[key_of(said.fen)].append(said)
    return {
        about: said[0] for about, said in by_board.items() if len({one.move for one in said}) == 1
    }


def _is_another(one: OfMove, other: OfMove) -> bool:
    return one.move != other.move
