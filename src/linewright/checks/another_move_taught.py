"""A board on which another lesson of the series teaches its side another move.

Pupils learn two openings where they need one, and do not know which to play. Compared are the main
moves of the side that both lessons are `for`.

```flags
===== lesson-1.md
---
for: White
---
We answer 1.e4 c5 with 2.Nf3 d6 3.d4 cxd4 4.Nxd4.

===== lesson-2.md
---
for: White
---
After 1.e4 c5 2.Nf3 d6 our move is ⟦3.Bb5+⟧ Bd7 4.Bxd7+.
```

```clean
===== lesson-1.md
---
for: White
---
We answer 1.e4 c5 with 2.Nf3 d6 3.d4 cxd4 4.Nxd4.

===== lesson-2.md
---
for: White
---
Another way after 1.e4 c5 2.Nf3 d6 is 3.Bb5+ Bd7 4.Bxd7+.
```

Limits: only where several lessons are checked together and both name the side they are `for`. Left
alone where any lesson of the series shows both moves on that board, or tells one of them with
words like "another way", "instead", "a surprise weapon", in its title, heading or paragraph; where
the move is marked as bad, warned of, supposed or in parentheses, or told as what others play or
once played; under a title of traps; in games; in lessons that start from a board of their own, such
as endgames, in which several moves may win; and where the two moves
are two orders of the same moves; and where both lessons name another opening or a move in title or
heading ("The Scotch", "The Italian Game"). Answers of exercises count like main moves where the
question asks what to play.

Source: none; what is a contradiction is a choice.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping

import chess

from linewright.checks import Grounds
from linewright.expressions import expression
from linewright.finding import Evidence, Finding, Passage, Severity
from linewright.names import belongs, find_names
from linewright.notation import MOVE, read_move
from linewright.opinions import Key, Worth, key_of
from linewright.recalling import offers_another_way
from linewright.series import Choice, Member, Series

SEVERITY = Severity.WARNING
NEEDS = ("series",)


def check(grounds: Grounds) -> Iterator[Finding]:
    """A finding where the lesson is the first of the series with another main move on a board."""
    series, lesson = grounds.series, grounds.lesson
    if series is None:
        return
    for own, other, chosen in series.differences(lesson, _chosen, _is_another):
        if not _is_told_first(series, own, chosen) or _is_known(series, own, chosen):
            continue
        mine = series.member(lesson)
        if (
            _one_order_or_the_other(own, chosen)
            or (_called_best(mine, own) and _called_best(other, chosen))
            or (_told_as_exercise(mine, own) and _told_as_exercise(other, chosen))
            or _named_apart(_own_names(mine, own), _own_names(other, chosen))
        ):
            continue
        also = Passage(other.source, chosen.span)
        message = (
            f"'{own.node.label}' is taught here, but on the same board {other.at(chosen.span)} "
            f"teaches '{chosen.node.label}': choose one, or say that it is another way"
        )
        line = chosen.line
        arrow = f"{chess.square_name(own.move.from_square)}-{chess.square_name(own.move.to_square)}"
        evidence = Evidence(f"{other.called}: {line}", own.fen, (), (arrow,), line)
        yield Finding("another-move-taught", SEVERITY, own.span, message, evidence, also=also)


def _chosen(member: Member) -> Mapping[tuple[Key, str | None], Choice]:
    """The main moves of a lesson by board and the side it is for; none from a board of its own."""
    if member.lesson.front.start:
        return {}
    side = member.lesson.front.taught
    return {(key, side): choice for key, choice in member.choices.items()}


def _is_another(one: Choice, other: Choice) -> bool:
    return one.move != other.move


def _is_known(series: Series, one: Choice, other: Choice) -> bool:
    """Whether some lesson of the series speaks of both moves as ways there are."""
    key = key_of(one.fen)
    moves = {one.move, other.move}
    for member in series.members:
        shown = member.shown.get(key, {})
        if moves <= shown.keys():
            return True
        choice = member.choices.get(key)
        if choice is None or choice.move not in moves:
            continue
        (beside,) = moves - {choice.move}
        written = read_move(chess.Board(choice.fen).san(beside))
        if written and member.mentions(written, key):
            return True
        if offers_another_way(member.around(choice.span)):
            return True
    return False


def _one_order_or_the_other(one: Choice, other: Choice) -> bool:
    """Whether both moves lead to a position that both lessons have behind them."""
    return bool(one.leads_to() & other.leads_to())


def _is_told_first(series: Series, one: Choice, other: Choice) -> bool:
    """Whether the later lesson of two is the first with its move: one finding is enough."""
    key, moves = key_of(one.fen), {one.move, other.move}
    said = [(member, choice) for member in series.members if (choice := member.choices.get(key))]
    first = {move: next(c for _, c in said if c.move == move) for move in moves}
    return {id(one), id(other)} == {id(choice) for choice in first.values()}


def _called_best(member: Member, choice: Choice) -> bool:
    """Whether a lesson says of its main move that it is the best: two of them are told as that."""
    return any(
        said.worth is Worth.BEST and (said.fen, said.move) == (choice.fen, choice.move)
        for said in member.of_moves
    )


def _named_apart(one: frozenset[str], other: frozenset[str]) -> bool:
    """Whether both lessons have names of their own, and not the same: pupils know what each is
    about."""
    return bool(one and other and one != other)


def _told_as_exercise(member: Member, choice: Choice) -> bool:
    """Whether a move is taught only as an exercise's answer: of two there is a rule of its own."""
    return choice.told is not member.lesson


def _own_names(member: Member, choice: Choice) -> frozenset[str]:
    """The openings and moves that the title of a lesson, or the heading of the part, names as what
    it is about: not those that the board before the move has already, nor those it is against."""
    tree = choice.told.tree
    before = [tree.nodes[0].fen, *(one.fen for one in tree.line(choice.node.index)[:-1])]
    titles = member.titles(choice.span)
    names = {
        found.words.casefold()
        for title in titles
        for found in find_names(title)
        if not _AGAINST.search(title[: title.find(found.words)])
        and belongs(found.words, before).how != "here"
    }
    moves = {move[0] for title in titles for move in MOVE.finditer(title)}
    return frozenset(names | moves)


_AGAINST = expression(
    r"\b(?:against|versus|vs\.?|beat(?:ing)?|meet(?:ing)?|facing|fight(?:ing)?|answer(?:ing)?)"
    r"(?: (?:the|an?))? $",
    re.IGNORECASE,
)
