"""Moves a teacher has answered and the kinds of lines: an answer says what a move was, no more.

That words mean 20...Kb8 does not say that 20...Kb8 was played: where the line at hand has passed
move 20 the move stands beside it, and what is said next goes on from where it went on before.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace

from linewright.moves import legal_san
from linewright.talk.answers import Tokens, overlap
from linewright.talk.decoder import Event, Kind, Mode, Tree, Understood, events_of
from linewright.talk.said import Phrase


def with_ways_back(
    phrases: Mapping[int, Sequence[Phrase]], spots: Collection[Tokens]
) -> dict[int, list[Phrase]]:
    """The phrases, where those of some stretches may be moves of any board told before.

    What is answered to be a move is one, whatever the words around say of it.
    """

    def freed(phrase: Phrase) -> Phrase:
        if (phrase.first, phrase.end) not in spots:
            return phrase
        cues = replace(
            phrase.cues, back=2, number=0, begins=1.0, intent=False, negated=False, instead_of=False,
            static=False,
        )  # fmt: skip
        return replace(phrase, told=min(phrase.told, 0.0), cut=False, cues=cues)

    return {first: [freed(phrase) for phrase in same] for first, same in phrases.items()}


def asides_among(moves: Mapping[Tokens, str], plain: Understood) -> dict[Tokens, tuple[int, str]]:
    """The answered moves that stand beside the line told so far, each with the board before it.

    `plain` is what is heard without these answers; words that are a move there too stand beside
    nothing.
    """
    found = {}
    for spot, answer in moves.items():
        base = _beside(spot, answer, plain)
        if base is not None:
            found[spot] = (base, answer.rpartition(".")[2])
    return found


def _beside(spot: Tokens, answer: str, plain: Understood) -> int | None:
    """The board on the line at hand, before its end, on which an answered move is another one."""
    here = 0
    for event in events_of(plain.hypotheses[0]):
        if event.kind in (Kind.PLAY, Kind.GOTO):
            if overlap((event.phrase.first, event.phrase.end), spot):
                return None
            here = event.node if event.phrase.first < spot[0] else here
    line = plain.tree.line(here)
    move = answer.rpartition(".")[2]
    ply = _ply(answer)
    if ply is None:  # without a number it stands beside the last move, if it cannot follow it
        ply = len(line) if legal_san(plain.tree.board(here), move) else len(line) - 1
    if not 0 < ply < len(line):
        return None
    base, made = line[ply - 1], plain.tree.san(line[ply])
    if made.rstrip("+#") == move or legal_san(plain.tree.board(base), move) is None:
        return None
    return base


def _ply(answer: str) -> int | None:
    """Which half-move a numbered answer is: "20...Kb8" is the fortieth.

    >>> _ply("20...Kb8"), _ply("1.e4"), _ply("e4")
    (40, 1, None)
    """
    found = re.match(r"(\d+)(\.+)", answer)
    return None if found is None else 2 * int(found[1]) - (found[2] == ".")


def keeps_line(
    found: Understood, rest: Understood, beside: Mapping[Tokens, tuple[int, str]]
) -> bool:
    """Whether the longest line shown without some answers is shown with them too.

    And whether these moves are made on the boards they stand beside.
    """
    line = max(_shown(rest), key=len, default=())
    if not any(other[: len(line)] == line for other in _shown(found)):
        return False
    bases = {
        (event.phrase.first, event.phrase.end): _line(found.tree, event.base)
        for event in events_of(found.hypotheses[0])
        if event.kind is Kind.PLAY and not event.silent
    }
    return all(bases.get(spot) == _line(rest.tree, base) for spot, (base, _) in beside.items())


def _shown(understood: Understood) -> Iterator[tuple[str, ...]]:
    tree = understood.tree
    for event in events_of(understood.hypotheses[0]):
        if event.kind is Kind.PLAY and event.mode is Mode.SHOWN:
            yield _line(tree, event.node)


def _line(tree: Tree, node: int) -> tuple[str, ...]:
    """The moves to a board (UCI)."""
    return tuple(tree.uci(made) for made in tree.line(node)[1:])


def with_asides(
    tree: Tree,
    events: list[Event],
    beside: Mapping[Tokens, tuple[int, str]],
    phrases: Mapping[Tokens, Phrase],
) -> list[Event]:
    """The decisions without some answers, and those moves beside the line, supposed."""
    for spot, (base, san) in beside.items():
        before = [event for event in events if event.phrase.first < spot[0]]
        after = [event for event in events if event.phrase.first >= spot[1]]
        node = _grown(tree, base, san)
        made = Event(
            before[-1] if before else None, Kind.PLAY, phrases[spot], 0.0, node, base, (), (), (),
            Mode.SUPPOSED, None,
        )  # fmt: skip
        events = [*before, made, *after]
    return events


def _grown(tree: Tree, base: int, san: str) -> int:
    """The board after a move; the tree has it from now on."""
    board = tree.board(base)
    move = board.parse_san(san)
    if (known := tree.after(base, move)) is not None:
        return known
    node = max(tree.nodes, default=0) + 1
    after = board.copy(stack=False)
    written = after.san_and_push(move)
    ply = tree.nodes[base][4] + 1
    tree.nodes = {**tree.nodes, node: (base, move.uci(), written, after.fen(), ply)}
    return node


_RANK = (Mode.MENTIONED, Mode.SUPPOSED, Mode.SHOWN)


def kinds_of_lines(tree: Tree, events: Iterable[Event]) -> dict[tuple[str, ...], Mode]:
    """The kind of each move told, by the line to it (UCI): the strongest of its kinds."""
    found: dict[tuple[str, ...], Mode] = {}
    for event in events:
        if event.kind is not Kind.PLAY:
            continue
        told = event.made
        for node in tree.line(event.node)[1:]:
            line = _line(tree, node)
            known = found.setdefault(line, event.mode)
            if node in told and _RANK.index(event.mode) > _RANK.index(known):
                found[line] = event.mode
    return found


def with_kinds_of(
    plain: Iterable[Event],
    tree: Tree,
    events: list[Event],
    answered: Collection[Tokens],
    beside: Collection[Tokens],
) -> list[Event]:
    """The decisions with the kinds their words have among those without the answers.

    An answered move beside the line is supposed, unless the talk goes on from it; one that what is
    shown goes on from is shown.
    """
    kinds = {
        (event.phrase.first, event.phrase.end): event.mode
        for event in plain
        if event.kind is Kind.PLAY
    }
    goes_on: set[int] = set()
    shown: set[int] = set()
    out: list[Event] = []
    for event in reversed(events):
        if event.kind is Kind.PLAY:
            spot = (event.phrase.first, event.phrase.end)
            mode = kinds.get(spot, event.mode)
            if spot in beside and event.node not in goes_on:
                mode = Mode.SUPPOSED
            elif spot in answered and event.node in shown:
                mode = Mode.SHOWN
            event = replace(event, mode=mode)  # noqa: PLW2901
            goes_on.add(event.base)
            if mode is Mode.SHOWN:
                shown.update(tree.line(event.base))
        out.append(event)
    return out[::-1]
