"""A talk heard with those of the teacher's answers that can be followed: the others change nothing."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import replace
from itertools import islice

import chess

from linewright.talk.answers import board_before, fault_here, is_as_said, move_in, number_of
from linewright.talk.decoder import Kind
from linewright.talk.record import ONLY_TALK, Answered, Heard, Turn

MOST_TRIED_AGAIN = 3
"""So many answers are tried again without the others that could not be followed."""

Hears = Callable[[Mapping[str, str]], Heard]
"""Hears the talk with some of the answers, by their places."""


def heard_with(answers: Mapping[str, str], hears: Hears) -> Heard:
    """What is heard with the answers that can be followed, and what became of each.

    The search makes room for an answer at any price: an answer that is a mistake bends the line to
    it, or brings in moves that nobody said. So the talk is heard again without those that came to
    nothing; of several each is tried once more, for one may have spoilt another. A move written with
    a file or rank that it does not need ("Rfd1" where one rook can go there) is tried without it.

    **Cost**: a hearing more for each round, only where something cannot be followed.
    """
    heard, refused = _heard_without_mistakes(answers, hears)
    plainer = {one.place: told for one in refused if (told := _plainer(one, heard))}
    if not plainer:
        return heard
    heard, _ = _heard_without_mistakes({**answers, **plainer}, hears)
    as_written = (replace(one, answer=answers[one.place]) for one in heard.answered)
    return replace(heard, answered=tuple(as_written))


def _plainer(one: Answered, heard: Heard) -> str:
    """An answer's move as it needs to be written, with its number; empty where it is written so."""
    if one.said is None or not (move := move_in(one.answer)):
        return ""
    board = heard.board(board_before(one, heard))
    try:
        san = board.san(board.parse_san(move)).rstrip("+#")
    except ValueError:
        return ""
    return number_of(one.answer) + san if san != move else ""


def _heard_without_mistakes(
    answers: Mapping[str, str], hears: Hears
) -> tuple[Heard, Collection[Answered]]:
    """What is heard with the answers that can be followed as written, and the others."""
    refused: dict[str, Answered] = {}
    heard = _without_spoilers(answers, hears, refused)
    if len(refused) > 1:
        for place in list(refused)[:MOST_TRIED_AGAIN]:
            kept = {p: a for p, a in answers.items() if p not in refused or p == place}
            again = hears(kept)
            if not _unfollowed(again, kept, hears):
                heard = again
                del refused[place]
    faults = (replace(one, fault=fault_here(one, heard)) for one in refused.values())
    told = {one.place: one for one in (*faults, *heard.answered)}
    heard = replace(heard, answered=tuple(told[place] for place in answers if place in told))
    resolved: dict[str, str] = {}
    for one in heard.answered:
        if is_as_said(one.answer) and one.said is not None and not one.fault:
            heard = _as_said(one, heard, hears, resolved)
    return heard, refused.values()


def _as_said(one: Answered, heard: Heard, hears: Hears, resolved: dict[str, str]) -> Heard:
    """What is heard where words that are no slip were one: then they make the move they say.

    On the board of the slip, or on one before it; where they make none they are only talk. What
    they are goes to `resolved`, where that of such answers before it stands by their places.

    **Cost**: a hearing more for each way that is tried, only for a slip that changed the board.
    """
    assert one.said is not None
    words = (one.said.first, one.said.end)
    turn = next((t for t in heard.turns if t.phrase == words and _is_a_slip(t)), None)
    if turn is None:
        return heard
    others = {o.place: o.answer for o in heard.answered if o.place != one.place and not o.fault}
    others |= resolved
    for answer in (*islice(_literal(turn, heard), MOST_TRIED_AGAIN), ONLY_TALK):
        again = hears({**others, one.place: answer})
        here = next((o for o in again.answered if o.place == one.place), None)
        if here is not None and not here.fault and not here.numbered:
            resolved[one.place] = answer
            as_was = {o.place: o for o in (*heard.answered, *again.answered)}
            as_was |= {o.place: o for o in heard.answered if is_as_said(o.answer)}
            return replace(again, answered=tuple(as_was[o.place] for o in heard.answered))
    return heard


def _is_a_slip(turn: Turn) -> bool:
    return turn.event.kind is Kind.PLAY and any(not fault.misheard for fault in turn.event.faults)


def _literal(turn: Turn, heard: Heard) -> Iterator[str]:
    """The moves that a turn's words say, on its board and on those before it, with their numbers."""
    spec = turn.event.phrase.spec
    letters = {letter for letter, _ in spec.pieces} or {"P"}
    squares = {square for square, _ in spec.targets[:1]}
    stood = [*reversed(heard.way_to(heard.node_at(turn.phrase[0]))), 0]
    for node in dict.fromkeys((turn.event.base, *stood)):
        board = heard.board(node)
        number = f"{len(heard.way_to(node)) // 2 + 1}{'.' if board.turn else '...'}"
        for move in board.legal_moves:
            man = chess.piece_symbol(board.piece_type_at(move.from_square) or 1).upper()
            taken = board.is_capture(move) or not spec.capture
            if move.to_square in squares and man in letters and taken:
                yield number + board.san(move).rstrip("+#")


def _without_spoilers(
    answers: Mapping[str, str], hears: Hears, refused: dict[str, Answered]
) -> Heard:
    """What is heard when each round leaves out what it could not follow; that goes to `refused`."""
    kept = dict(answers)
    heard = hears(kept)
    while unfollowed := _unfollowed(heard, kept, hears):
        for one in unfollowed:
            refused[one.place] = one
            del kept[one.place]
        heard = hears(kept)
    return heard


def _unfollowed(heard: Heard, kept: Mapping[str, str], hears: Hears) -> list[Answered]:
    """The answers about words of the talk that could not be followed.

    Nor is one followed with another number on a board that the talk has only for its sake.
    """
    found = [one for one in heard.answered if one.fault and one.said is not None]
    if found:
        return found
    for one in heard.answered:
        if one.numbered:
            without = hears({place: told for place, told in kept.items() if place != one.place})
            if _way_before(one, heard) != _way_before(one, without):
                found.append(replace(one, numbered="", fault=fault_here(one, without)))
    return found


def _way_before(one: Answered, heard: Heard) -> tuple[str, ...]:
    return heard.line_to(board_before(one, heard))
