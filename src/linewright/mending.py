"""What was meant by a move that fits nowhere: repairs, likeliest first.

Each repair is tried: the moves that follow in the script are placed after it, and a repair is
likelier the closer it is to what is written and the more of what follows it makes possible.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

import chess

from linewright.inline import Move, Paren, Unreadable
from linewright.moves import Unresolved, WhyNot, label, likeliness_order, resolve, side_name
from linewright.names import names_at
from linewright.notation import WrittenMove, in_english, read_by_files, read_move
from linewright.placing import Walk, number_text, ply_of
from linewright.position.attack import hanging
from linewright.position.material import balance
from linewright.source import Span


@dataclass(frozen=True, slots=True)
class BlockEnd:
    """The end of a block among the moves of a script: side lines close, runs end."""


Event = Move | Paren | Unreadable | BlockEnd
Known = frozenset[tuple[int, bool, str]]
"""The moves of a script by number and side (True is Black), in plain short notation."""


class Slipped(StrEnum):
    """What kind of slip a repair takes a text for."""

    MOVE = "move"
    SIDE = "side"
    NUMBER = "number"
    MISSING = "missing"
    SWAPPED = "swapped"


_ELSEWHERE = frozenset({Slipped.MOVE, Slipped.NUMBER})
"""Kinds of repair that may lie on another line, which is unlikely within a run of moves."""


@dataclass(frozen=True, slots=True)
class Repair:
    """One way to mend a move: `moves` are played from `base` (with `kind` *missing* the last is
    the one written, with *swapped* they are the written one's and the next one's), `text` stands
    in place of what is written, `cost` is how far it is from it, less what follows it makes
    possible. `sure` if what follows leaves no real doubt, `loses` if it leaves a piece to be taken
    for nothing; `shift` is how much too high a number is if those after it are too."""

    kind: Slipped
    base: int
    moves: tuple[chess.Move, ...]
    text: str
    cost: float
    reason: str = ""
    fits: float = 0.0
    tried: int = 0
    sure: bool = False
    loses: bool = False
    shift: int = 0


AHEAD = 16
"""Moves that are tried after a repair."""
EVENTS_AHEAD = 8 * AHEAD
"""Events among which these moves are looked for."""
_PER_MISFIT = 1.2
_ELSEWHERE_FIT = 0.8
_KNOWN = 0.7
_MARGIN = 0.6
_WORTH_OFFERING = 2.5
"""How much less likely than the likeliest a repair may be to be offered."""
_BACK = 1.0
"""How much likelier a repair of an earlier, legal move must be than one of the slip."""


def repairs(
    walk: Walk, move: Move, ahead: Sequence[Event], known: Known, straight_on: bool = False
) -> list[Repair]:
    """The repairs of a written move that fits nowhere, likeliest first; empty if none is likely.

    `straight_on` as in `Walk.place`. Cost: the near moves times the moves tried after each.
    """
    offered = [*_offered(walk, move, ahead, known)]
    if straight_on:
        offered = [
            replace(r, cost=r.cost + 2.0) if r.base != walk.node and r.kind in _ELSEWHERE else r
            for r in offered
        ]
    ranked = _ranked(walk, offered, ahead, known)
    best = ranked[0] if ranked else None
    if best is None or len(best.moves) < 3 or best.kind is not Slipped.MISSING:
        return ranked
    near = [r for r in offered if any(_same(r, one) for one in ranked[:_MOST_PAIRED])]
    return _ranked(walk, [*near, *_beside(walk, move, best)], ahead, known, 2 * AHEAD)


def repairs_of_text(
    walk: Walk, text: str, number: int | None, black: bool | None, ahead: Sequence[Event],
    known: Known,
) -> list[Repair]:  # fmt: skip
    """The repairs of words that look like a move and are none, by their letters.

    One that has the same letters, but for capitals or another language, is sure.
    """
    from rapidfuzz.distance import OSA

    ply = None if number is None else 2 * (number - 1) + bool(black)
    given = "" if number is None else f"{number}{'...' if black else '.'}"
    offered, same = [], []
    plain = text.rstrip("+#!?")
    read_as = dict.fromkeys((in_english(plain) or plain, plain, plain.lower(), plain.capitalize()))
    written = [move for one in read_as if (move := read_move(one)) is not None]
    for base in _nodes_at(walk, ply):
        board = walk.tree.boards[base]
        told = {*(resolve(one, board) for one in written), *_by_files(plain, board)}
        for legal in board.legal_moves:
            san = board.san(legal)
            far = OSA.distance(plain.lower(), san.rstrip("+#").lower())
            if legal in told:
                far = 0
            if far <= 2:
                cost = 0.9 * far + 0.3 * (base != walk.node) + _out_of_the_way(legal, board)
                offered.append(Repair(Slipped.MOVE, base, (legal,), given + san, cost))
                if not far:
                    same.append(offered[-1])
    if len(same) == 1:
        return [replace(same[0], sure=True)]
    offered.sort(key=lambda repair: repair.cost)
    return _ranked(walk, offered[:12], ahead, known)


def _by_files(text: str, board: chess.Board) -> Iterator[chess.Move]:
    """The captures by pawns that are written with their two files alone: "cd"."""
    files = read_by_files(text)
    for move in board.generate_pseudo_legal_captures() if files else ():
        pawn = board.piece_type_at(move.from_square) == chess.PAWN
        names = tuple(chess.square_name(at)[0] for at in (move.from_square, move.to_square))
        if pawn and names == files and board.is_legal(move):
            yield move


def _ranked(
    walk: Walk, offered: list[Repair], ahead: Sequence[Event], known: Known, most: int = AHEAD
) -> list[Repair]:
    tried: list[Repair] = []
    bound = float("inf")
    for repair in sorted(offered, key=lambda repair: repair.cost):
        if (one := _tried(walk, repair, ahead, known, bound, most)) is not None:
            tried.append(one)
            bound = min(bound, one.cost + _WORTH_OFFERING)
    tried.sort(key=lambda repair: (repair.cost, repair.text))
    if not tried:
        return []
    best = tried[0]
    rival = next((r.cost for r in tried[1:] if not _same(r, best)), best.cost + 9.0)
    # A legal next move under the other side's dots is meant, though more of the kind may follow.
    is_next = best.kind is Slipped.SIDE and best.base == walk.node
    hopeless = best.tried >= 2 and not best.fits and not is_next
    needed = best.fits > 0 or best.cost < 1.6 or is_next
    sure = not hopeless and rival >= best.cost + _MARGIN and needed
    return [replace(best, sure=sure), *tried[1:]]


def goes_on(walk: Walk, best: Repair, ahead: Sequence[Event]) -> bool:
    """Whether to go on with a repair: it is sure, or what follows needs it."""
    if best.sure or not best.tried:
        return True
    without = walk.copy()
    without.lost = True
    return best.fits > _fitting(without, ahead)[0]


def follows_better(walk: Walk, node: int, ahead: Sequence[Event]) -> float:
    """How many more of the next moves find a place from another node of the tree than from where
    the text stands; negative if fewer do."""
    there = walk.copy()
    there.node = node
    return _fitting(there, ahead)[0] - _fitting(walk.copy(), ahead)[0]


def misfitting(walk: Walk, ahead: Sequence[Event]) -> float:
    """How many of the next moves find no place from where the text stands: no other node of the
    tree can be better by more."""
    fits, tried = _fitting(walk.copy(), ahead)
    return tried - fits


@dataclass(frozen=True, slots=True)
class Passed:
    """A move that was placed: where the text stood before it, and its place among the events."""

    at: int
    move: Move
    walk: Walk
    straight_on: bool


def earlier_repair(
    passed: Sequence[Passed], best: Repair | None, events: Sequence[Event], here: int, known: Known
) -> tuple[Passed, Repair] | None:
    """The move before a slip that is likelier to be wrong than the one that fits nowhere, with
    its repair: the moves up to the slip and after it follow from that, and from no repair of
    the slip itself. One after which the slip is still there explains nothing.

    `here` is the slip's place in `events`, `best` its likeliest repair. Cost: as `repairs`, for
    each move passed.
    """
    likely: list[tuple[float, int, Passed, Repair]] = []
    cost_here = best.cost if best else _PER_MISFIT * 8
    if cost_here <= 1.0:
        return None
    bound = cost_here - _BACK + _MARGIN
    at_fault = events[here]
    slip = at_fault.span if isinstance(at_fault, Move) else None
    for one in passed:
        between = sum(isinstance(event, Move) for event in events[one.at + 1 : here + 1])
        ahead = events[one.at + 1 : here + EVENTS_AHEAD]
        for repair in _offered(one.walk, one.move, ahead, known, legal=True):
            tried = _tried(one.walk, repair, ahead, known, bound, AHEAD + between, slip)
            if tried is not None:
                likely.append((tried.cost, -one.at, one, tried))
                bound = min(bound, tried.cost + _MARGIN)
    if not likely:
        return None
    likely.sort(key=lambda found: found[:2])
    cost, _, one, repair = likely[0]
    if cost + _BACK > cost_here:
        return None
    return one, replace(repair, sure=len(likely) < 2 or likely[1][0] >= cost + _MARGIN)


def _same(one: Repair, other: Repair) -> bool:
    return (one.base, one.moves) == (other.base, other.moves)


def _tried(
    walk: Walk,
    repair: Repair,
    ahead: Sequence[Event],
    known: Known,
    bound: float,
    most: int = AHEAD,
    needed: Span | None = None,
) -> Repair | None:
    """The repair with what follows it tried, or None as soon as it costs more than `bound`, or if
    the move that is `needed` behind it finds no place."""
    cost = repair.cost - _known_bonus(walk, repair, known)
    if cost - _NAMED > bound:
        return None
    unusual, loses = _unusual(walk, repair)
    cost += unusual
    if cost > bound:
        return None
    trial = walk.copy()
    trial.node = repair.base
    for move in repair.moves:
        trial.node = trial.tree.play(trial.node, move)
    if repair.kind is Slipped.SWAPPED:
        ahead = ahead[1:]
    misfits = (bound - cost) / _PER_MISFIT
    fits, tried = _fitting(trial.copy() if repair.shift else trial, ahead, most, misfits, needed)
    if repair.shift and fits < tried:
        shifted = [_renumbered(event, repair.shift) for event in ahead]
        also = _fitting(trial, shifted, most, misfits, needed)
        if also[1] - also[0] < tried - fits:
            fits, tried = also
    cost += _PER_MISFIT * (tried - fits)
    if cost > bound:
        return None
    return replace(repair, cost=cost, fits=fits, tried=tried, loses=loses)


def _renumbered(event: Event, by: int) -> Event:
    """A move with its number less by so much, as the numbers after a wrong one may all be."""
    if isinstance(event, Move) and event.number is not None and event.number > by:
        return replace(event, number=event.number - by)
    return event


_NAMED = 0.6
"""How much likelier a move is that leads to a position of the catalogue of openings."""
_LOSES = 1.0
"""How much less likely one is that leaves a piece to be taken for nothing."""
_LOSES_A_PAWN = 0.3


def _unusual(walk: Walk, repair: Repair) -> tuple[float, bool]:
    """How unlike what is usually played the moves of a repair are, and whether they lose a piece.

    The last of several is the one that is written.
    """
    board = walk.tree.boards[repair.base]
    given = repair.moves[:-1] if repair.kind is Slipped.MISSING else repair.moves
    if repair.kind not in {Slipped.MOVE, Slipped.MISSING}:
        return 0.0, False
    cost, loses = 0.0, False
    for move in given:
        after = board.copy(stack=False)
        after.push(move)
        if (named := names_at(after)) is not None:
            cost -= (_NAMED if named.exact else _NAMED - 0.2) / len(given)
        lost = _left_to_take(board, after)
        cost += _LOSES if lost >= _PIECE else _LOSES_A_PAWN if lost > 0 else 0.0
        loses = loses or lost >= _PIECE
        board = after
    return cost, loses


_PIECE = 3


def _left_to_take(board: chess.Board, after: chess.Board) -> int:
    """How much more can be taken after a move than it takes, in pawns; a check comes first."""
    if after.is_check():
        return 0
    taken = balance(after, board.turn) - balance(board, board.turn)
    return max((one.loss for one in hanging(after, board.turn)), default=0) - taken


def _known_bonus(walk: Walk, repair: Repair, known: Known) -> float:
    """What it speaks for a repair that the script plays its moves elsewhere."""
    board = walk.tree.boards[repair.base]
    is_filled = repair.kind is Slipped.MISSING
    bonus = 0.0
    for k, move in enumerate(repair.moves):
        san = board.san(move).rstrip("+#").replace("x", "")
        is_own = is_filled and k == len(repair.moves) - 1
        if not is_own and (board.fullmove_number, not board.turn, san) in known:
            bonus += _KNOWN / (1 if is_filled else len(repair.moves))
        if k + 1 < len(repair.moves):
            board = board.copy(stack=False)
            board.push(move)
    return bonus


_HOPELESS = 1000
"""More misfits than any repair can outweigh."""


def _fitting(
    trial: Walk,
    ahead: Sequence[Event],
    most: int = AHEAD,
    misfits: float = float("inf"),
    needed: Span | None = None,
) -> tuple[float, int]:
    """How many of the next moves find a place, and how many were tried; a move that is not the
    capture or the check it says counts half, one that leaves the line at hand for another a
    little less than one that goes on. Ends early at more than so many misfits, or with nothing
    but misfits if the move that is `needed` finds no place.

    Moves in side lines are tried besides, up to as many again: what is set beside a wrong move
    fits whatever was meant, and tells nothing of it.
    """
    fits = 0.0
    tried = beside = inside = 0
    straight_on = True
    for event in ahead:
        match event:
            case Move():
                tried += 1
                placed = trial.place(event, straight_on and event.number is None)
                trial.lost = placed is None
                if placed is None and event.span == needed:
                    return 0.0, _HOPELESS
                if placed is not None:
                    board = trial.tree.boards[placed[0]]
                    at_hand = placed[0] == trial.node or placed[0] in trial.tree.path(trial.node)
                    fit = 1.0 if at_hand else _ELSEWHERE_FIT
                    fits += fit if _said(event.written, board, placed[1]) < 0.3 else fit / 2
                    trial.node = trial.tree.visit(trial.tree.play(*placed))
                beside += inside > 0
                if tried - min(beside, most) == most or tried - fits > misfits:
                    break
            case Paren():
                inside = max(0, inside + (1 if event.opens else -1))
                _paren(trial, event)
            case BlockEnd():
                inside = 0
                trial.node = trial.open[0] if trial.open else trial.node
                trial.open.clear()
            case Unreadable():
                trial.lost = True
        straight_on = isinstance(event, Move)
    return fits, tried


def _paren(trial: Walk, paren: Paren) -> None:
    if paren.opens:
        trial.open.append(trial.node)
    elif trial.open:
        trial.node = trial.open.pop()
        trial.lost = False


def _offered(
    walk: Walk, move: Move, ahead: Sequence[Event], known: Known, legal: bool = False
) -> Iterator[Repair]:
    """Every kind of repair; `legal` if the move itself fits and is doubted all the same."""
    yield from _near_moves(walk, move, legal)
    yield from _other_side(walk, move)
    yield from _other_number(walk, move)
    yield from _missing(walk, move, known, legal)
    yield from _swapped(walk, move, ahead)


def _nodes_at(walk: Walk, ply: int | None) -> list[int]:
    """The nodes where a move with a number could be played, the likeliest first."""
    tree = walk.tree
    if ply is None or ply == tree.ply(walk.node):
        return [walk.node]
    path = tree.path(walk.node)
    return [node for node in path if tree.ply(node) == ply] + tree.others(ply, path)[:2]


def _near_moves(walk: Walk, move: Move, legal: bool) -> Iterator[Repair]:
    """Another piece or square, at the number and side that are written."""
    for k, base in enumerate(_nodes_at(walk, ply_of(move))):
        board = walk.tree.boards[base]
        why = resolve(move.written, board)
        prefix = number_text(move)
        if isinstance(why, Unresolved) and why.why is WhyNot.AMBIGUOUS:
            near = [(0.0, m) for m in why.moves]
        elif isinstance(why, Unresolved):
            near = likeliness_order(move.written, board)[:12]
        elif legal:
            near = [(c, m) for c, m in likeliness_order(move.written, board)[:6] if m != why]
        else:
            continue
        for cost, other in near:
            text = prefix + board.san(other) + move.written.suffix
            yield Repair(Slipped.MOVE, base, (other,), text, cost + 0.3 * k)


def _other_side(walk: Walk, move: Move) -> Iterator[Repair]:
    """`3.Nf6` for `3...Nf6`: the number fits, the dots name the wrong side."""
    if move.number is None:
        return
    ply = 2 * (move.number - 1) + (0 if move.black else 1)
    for node in reversed(walk.tree.path(walk.node)):
        board = walk.tree.boards[node]
        if walk.tree.ply(node) != ply:
            continue
        if isinstance(found := resolve(move.written, board), chess.Move):
            text = label(board, board.san(found)) + move.written.suffix
            reason = f"it is {side_name(board.turn)}'s move"
            cost = 0.7 + _said(move.written, board, found)
            yield Repair(Slipped.SIDE, node, (found,), text, cost, reason)


def _other_number(walk: Walk, move: Move) -> Iterator[Repair]:
    """The next move of the line under a wrong number, its side as written or not; or a move that
    finds its place under the number before or after."""
    if move.number is None or walk.lost:
        return
    board = walk.board
    given = number_text(move)
    found = resolve(move.written, board)
    if isinstance(found, chess.Move) and move.number != board.fullmove_number:
        text = label(board, board.san(found)) + move.written.suffix
        reason = f"'{given}' cannot be: the next move is {text} by {side_name(board.turn)}"
        ahead = (ply_of(move) or 0) - board.ply()
        if ahead > 0 and ahead % 2 == 0:
            reason += f", or {_left_out(board, ahead // 2)} before it"
        far = 0.4 * min(3, abs(move.number - board.fullmove_number))
        far += 0.6 * (bool(move.black) == board.turn)
        cost = 0.3 + far + _said(move.written, board, found)
        shift = ahead // 2 if ahead > 0 and ahead % 2 == 0 else 0
        yield Repair(Slipped.NUMBER, walk.node, (found,), text, cost, reason, shift=shift)
    for number in (move.number - 1, move.number + 1):
        placed = walk.place(replace(move, number=number)) if number else None
        if placed is None or placed[0] == walk.node:
            continue
        board = walk.tree.boards[placed[0]]
        text = label(board, board.san(placed[1])) + move.written.suffix
        reason = f"'{given}' cannot be: the move that fits is {text}"
        cost = 1.3 + _said(move.written, board, placed[1])
        yield Repair(Slipped.NUMBER, placed[0], (placed[1],), text, cost, reason)


def _left_out(board: chess.Board, moves: int) -> str:
    """What is left out where the numbers leave out so many moves of both sides."""
    first, one = board.fullmove_number, "" if board.turn else "..."
    if moves == 1 and board.turn:
        return f"move {first} is left out"
    last = first + moves - board.turn
    return f"moves {first}{one} to {last} are left out"


_MOST_PAIRED = 8
"""So many likely moves of either side are tried with each other where one of each is left out."""
_PAIR_LEFT_OUT = 2.2
_FEW_PAIRED = 2
"""So many are tried with every move of the other side."""


def _by_likeliness(board: chess.Board, known: Known) -> list[tuple[float, chess.Move]]:
    """The legal moves where nothing is written, the likeliest first, each with its cost."""
    out = []
    played = set(_known_here(board, known))
    for move in board.legal_moves:
        after = board.copy(stack=False)
        after.push(move)
        cost = _out_of_the_way(move, board) - _NAMED * (names_at(after) is not None)
        out.append((cost - _KNOWN * (move in played), move.uci(), move))
    return [(cost, move) for cost, _, move in sorted(out)]


def _missing(walk: Walk, move: Move, known: Known, legal: bool) -> Iterator[Repair]:
    """A move left out before the one that is written, or one of each side.

    A legal move without a number may be the other side's as well.
    """
    board = walk.board
    ply = ply_of(move)
    if walk.lost:
        return
    if ply is None or ply == board.ply() + 1:
        for filler in _known_here(board, known) if legal and ply is not None else board.legal_moves:
            cost = 1.0 + _out_of_the_way(filler, board)
            yield from _filled(walk, move, (filler,), cost)
    elif ply == board.ply() + 2:
        for cost, first, more, second in _paired(board, known, legal):
            spent = (max(cost, 0.0) + max(more, 0.0)) / 2
            yield from _filled(walk, move, (first, second), _PAIR_LEFT_OUT + spent)


def _paired(
    board: chess.Board, known: Known, legal: bool
) -> Iterator[tuple[float, chess.Move, float, chess.Move]]:
    """A move of each side that may be left out, each with its cost; `legal` as in `_offered`.

    One of them may be hardly likely but for what follows (7.a4 before 8.b5 axb5 9.axb5): it is
    tried with a few of the likeliest of the other side.
    """
    firsts = (
        [(0.0, m) for m in _known_here(board, known)] if legal else _by_likeliness(board, known)
    )
    for k, (cost, first) in enumerate(firsts):
        after = board.copy(stack=False)
        after.push(first)
        if legal:
            seconds = [(0.0, m) for m in _known_here(after, known)]
        elif k < _FEW_PAIRED:
            seconds = _by_likeliness(after, known)
        else:
            most = _MOST_PAIRED if k < _MOST_PAIRED else _FEW_PAIRED
            seconds = _by_likeliness(after, known)[:most]
        for more, second in seconds:
            yield cost, first, more, second


def _beside(walk: Walk, move: Move, best: Repair) -> Iterator[Repair]:
    """The repairs by a left-out move of each side that leave White's or Black's as in the best:
    of which of the two what follows tells less, it is any move."""
    board, (first, second, _) = walk.board, best.moves
    pairs = [(other, second) for other in board.legal_moves]
    after = board.copy(stack=False)
    after.push(first)
    pairs += [(first, other) for other in after.legal_moves if other != second]
    for one, other in pairs:
        after = board.copy(stack=False)
        after.push(one)
        if after.is_legal(other):
            spent = (_out_of_the_way(one, board) + _out_of_the_way(other, after)) / 2
            yield from _filled(walk, move, (one, other), _PAIR_LEFT_OUT + spent)


def _known_here(board: chess.Board, known: Known) -> list[chess.Move]:
    """The legal moves that the script plays at this number somewhere."""
    number, black = board.fullmove_number, not board.turn
    sans = {san for at, side, san in known if (at, side) == (number, black)}
    return [m for m in board.legal_moves if board.san(m).rstrip("+#").replace("x", "") in sans]


def _filled(
    walk: Walk, move: Move, fillers: tuple[chess.Move, ...], cost: float
) -> Iterator[Repair]:
    board = walk.board.copy(stack=False)
    upcoming = f"{board.fullmove_number}{'.' if board.turn else '...'}"
    words = []
    for k, filler in enumerate(fillers):
        san = board.san(filler)
        words.append(label(board, san) if move.number is not None and k == 0 else san)
        board.push(filler)
    found = resolve(move.written, board)
    if not isinstance(found, chess.Move):
        return
    text = f"{' '.join(words)} {number_text(move)}{board.san(found)}{move.written.suffix}"
    side = side_name(walk.board.turn)
    reason = f"{side}'s move {upcoming} is missing before it"
    if len(fillers) > 1:
        reason = f"{_left_out(walk.board, len(fillers) // 2)} before it"
    cost += _said(move.written, board, found)
    yield Repair(Slipped.MISSING, walk.node, (*fillers, found), text, cost, reason)


def _out_of_the_way(move: chess.Move, board: chess.Board) -> float:
    """How unlike the usual moves of an opening a move is, where nothing else is known of it."""
    kind = board.piece_type_at(move.from_square)
    centre = abs(chess.square_file(move.to_square) - 3.5) + abs(
        chess.square_rank(move.to_square) - 3.5
    )
    cost = 0.04 * centre
    if board.is_capture(move) or board.is_castling(move):
        return cost
    if kind in (chess.KING, chess.QUEEN, chess.ROOK):
        cost += 0.3
    return cost


def _swapped(walk: Walk, move: Move, ahead: Sequence[Event]) -> Iterator[Repair]:
    """`2.e6 c4` for `2.c4 e6`: two moves that follow each other, exchanged."""
    upcoming = ahead[0] if ahead else None
    if not isinstance(upcoming, Move) or walk.lost:
        return
    for base in _nodes_at(walk, ply_of(move)):
        board = walk.tree.boards[base]
        if ply_of(upcoming) not in (None, board.ply() + 1):
            continue
        first = resolve(upcoming.written, board)
        if not isinstance(first, chess.Move):
            continue
        after = board.copy(stack=False)
        after.push(first)
        second = resolve(move.written, after)
        if isinstance(second, chess.Move):
            one, other = board.san(first), after.san(second)
            text = f"{number_text(move)}{one} {number_text(upcoming)}{other}"
            reason = "it is exchanged with the move after it"
            yield Repair(Slipped.SWAPPED, base, (first, second), text, 0.8, reason)


def _said(written: WrittenMove, board: chess.Board, move: chess.Move) -> float:
    """How far what the notation says of capture and check is from the move."""
    unlike = 0.4 * (board.is_capture(move) != written.claims_capture)
    return unlike + 0.4 * (written.claims_check and not board.gives_check(move))
