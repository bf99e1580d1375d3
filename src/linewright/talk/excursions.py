"""Moves of a heard talk that are told in passing: a script has them in parentheses.

"The king goes to e6, because if he goes to g8, bishop takes d5 is check": the talk leaves the line
for a move or two inside a sentence and is back at once. At the closing parenthesis the board is
back too, so no heading is needed, and the line shown stays the first one.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence

from linewright.talk.decoder import Kind
from linewright.talk.paragraphs import Layout
from linewright.talk.record import LONGEST_SUPPOSED, Heard, Turn

LONGEST_EXCURSION = 4
"""Half-moves. Longer ones stand in parentheses only beside another line than the main one: that has
a box, but of others what is told first would be the line."""


def excursions(heard: Heard, layout: Layout) -> dict[int, int]:
    """The moves told in passing, each with the move at which the talk stands before and after."""
    out: dict[int, int] = {}
    sentences = list(layout.sentences())
    turns, main = heard.turns, heard.main_line()
    times: dict[int, int] = {}
    for turn in turns:
        times[turn.node] = times.get(turn.node, 0) + 1
    for k in range(1, len(turns)):
        here = turns[k - 1].node
        run = _run(heard, turns[k:])
        after = turns[k + len(run) : k + len(run) + 1]
        if _is_in_passing(heard, here, run, sentences, after, main) and all(
            times[turn.node] == 1 for turn in run
        ):
            out.update((turn.node, here) for turn in run)
    return out


def _run(heard: Heard, turns: Sequence[Turn]) -> list[Turn]:
    """The supposed moves at the beginning of turns, each played after the one before."""
    out: list[Turn] = []
    for turn in turns:
        event = turn.event
        supposed = event.kind is Kind.PLAY and heard.moves[turn.node].kind != "shown"
        follows = not out or event.base == out[-1].node
        if not supposed or not follows or event.silent or event.extra:
            break
        out.append(turn)
    return out


def _is_in_passing(
    heard: Heard,
    here: int,
    run: Sequence[Turn],
    sentences: Sequence[tuple[int, int]],
    after: Sequence[Turn],
    main: Collection[int],
) -> bool:
    """Whether moves are beside the last one shown, told in one sentence, and the talk goes on from there."""
    if not run or len(run) > (LONGEST_EXCURSION if here in main else LONGEST_SUPPOSED):
        return False
    if here not in heard.moves:
        return False
    shown = heard.moves[here]
    beside = run[0].event.base in (here, shown.parent) and shown.kind == "shown"
    first, last = next(_around(sentences, run[0].phrase[0]))
    whole = all(first <= turn.phrase[0] < last for turn in run)
    alone = not any(first <= turn.phrase[0] < last for turn in after)
    back = bool(after) and after[0].event.base == here and after[0].event.kind is Kind.PLAY
    return beside and whole and alone and back and heard.moves[after[0].node].kind == "shown"


def _around(sentences: Sequence[tuple[int, int]], word: int) -> Iterator[tuple[int, int]]:
    return (one for one in sentences if one[0] <= word < one[1])
