"""Pins, skewers, forks, double attacks, discoveries, X-rays.

Definitions: absolutely pinned: taking the piece away exposes its own king (FIDE Laws of Chess,
3.9.2); relatively pinned: something worth more, or loose, stands behind it on the line (Hooper &
Whyld, The Oxford Companion to Chess, "pin"). A fork is one piece attacking two at once, each of
which is the king or can be taken with profit ("fork" in the Companion). Discovered: the attack is
made by a piece that did not move.

    after 1.e4 e5 2.Nf3 Nc6 3.Bb5 Nf6 4.O-O Nxe4 5.d4 exd4 6.Re1:
        holds: the knight is pinned
        holds: the knight on e4 is pinned to the king
        holds: It's pinned to the king by the rook on e1.
        fails: the knight on c6 is pinned
        fails: the knight on e4 is pinned to the queen
        fails: the knight on e4 isn't pinned
        left alone: a pinned knight cannot move
        left alone: White would love to pin the knight.
    after 1.e4 e5 2.Nf3 d6 3.d4 Bg4:
        holds: the knight on f3 is pinned to the queen
        holds: the bishop on g4 pins the knight on f3
        holds: there is a pin on the knight
        fails: White's knight on f3 is absolutely pinned
    FEN r3k3/2N5/8/8/8/8/8/4K3 b - - 0 1:
        holds: the knight forks the king and the rook
        holds: this is a fork
        holds: the king and the rook are forked
        fails: the knight forks king and queen
        fails: it is a double check
"""

from __future__ import annotations

import re

import chess

from linewright import facts
from linewright.board_words import listed, names, piece_on, several, square
from linewright.judging import Fact, Pattern, Said, others_of
from linewright.moves import side_name
from linewright.moves_meant import Played
from linewright.position.tactics import Pin

FAMILY = "tactics"


def _pin_text(board: chess.Board, pin: Pin) -> str:
    return (
        f"{piece_on(board, pin.pinned)} is pinned to {piece_on(board, pin.behind)} by "
        f"{piece_on(board, pin.by)}"
    )


def _draw(*squares: chess.Square) -> tuple[str, ...]:
    return names(squares)


def _why_free(board: chess.Board, at: chess.Square) -> str:
    """Why a piece is not pinned: what stands between, or that no line piece aims at it."""
    colour = board.color_at(at)
    if colour is None:
        return f"nothing stands on {square(at)}"
    king = board.king(colour)
    for by in facts.spread(
        board.occupied_co[not colour] & (board.bishops | board.rooks | board.queens)
    ):
        if king is None or not facts.line_between(by, king):
            continue
        between = facts.spread(chess.between(by, king) & board.occupied)
        slanted = facts.line_between(by, king) == "diagonal"
        fits = board.piece_type_at(by) in (
            {chess.BISHOP, chess.QUEEN} if slanted else {chess.ROOK, chess.QUEEN}
        )
        if fits and at in between and len(between) > 1:
            other = next(s for s in between if s != at)
            return f"{piece_on(board, at)} is not pinned: {piece_on(board, other)} stands between"
    return f"{piece_on(board, at)} is not pinned"


def is_pinned(said: Said) -> Fact | None:
    """Whether a piece is pinned (to what, by what)."""
    at = said.at("piece")
    colour = said.board.color_at(at)
    if colour is None or said.board.piece_type_at(at) == chess.KING:
        return None
    found = facts.pins_of(said.board, at)
    if said.word("absolute"):
        found = tuple(p for p in found if p.absolute)
    if said.word("relative"):
        found = tuple(p for p in found if not p.absolute)
    fitting = tuple(p for p in found if _fits(said, p))
    if fitting:
        pin = fitting[0]
        return Fact(
            True,
            _pin_text(said.board, pin),
            _draw(pin.pinned, pin.behind, pin.by),
            (f"{square(pin.by)}-{square(pin.behind)}",),
        )
    if found:
        return Fact(False, _pin_text(said.board, found[0]), _draw(at, found[0].by, found[0].behind))
    others = facts.pins_of(said.board, at)
    return Fact(
        False, _pin_text(said.board, others[0]) if others else _why_free(said.board, at), _draw(at)
    )


def _fits(said: Said, pin: Pin) -> bool:
    if "target" in said and said.at("target") != pin.behind:
        return False
    if "side" in said and said.board.color_at(pin.by) != said.side():
        return False
    by = said.values.get("piece2")
    return by is None or by == pin.by


def pins(said: Said) -> Fact | None:
    """Whether a piece pins another (to what)."""
    by, pinned = said.at("piece"), said.at("piece2")
    colour = said.board.color_at(by)
    if colour is None or said.board.color_at(pinned) == colour:
        return (
            Fact(False, f"{piece_on(said.board, pinned)} is of the same side")
            if (colour is not None and by != pinned)
            else None
        )
    found = [p for p in facts.pins_of(said.board, pinned) if p.by == by]
    if "target" in said:
        found = [p for p in found if p.behind == said.at("target")]
    if found:
        return Fact(
            True,
            _pin_text(said.board, found[0]),
            _draw(by, pinned, found[0].behind),
            (f"{square(by)}-{square(found[0].behind)}",),
        )
    others = facts.pins_of(said.board, pinned)
    return Fact(
        False,
        _pin_text(said.board, others[0]) if others else _why_free(said.board, pinned),
        _draw(by, pinned),
    )


def side_pins(said: Said) -> Fact | None:
    """Whether a side pins a piece."""
    pinned = said.at("piece")
    if said.board.color_at(pinned) == said.side():
        return Fact(False, f"{piece_on(said.board, pinned)} is {side_name(said.side())}'s own")
    return is_pinned(said)


def there_is_pin(said: Said) -> Fact:
    """Whether any piece of either side is pinned."""
    found = [p for c in chess.COLORS for p in facts.pins(said.board, c)]
    if not found:
        return Fact(False, "no piece is pinned")
    return Fact(True, _pin_text(said.board, found[0]), _draw(found[0].pinned, found[0].by))


def can_move_though_pinned(said: Said) -> Fact | None:
    """Whether a pin lets a piece move at all."""
    at = said.at("piece")
    if said.board.color_at(at) is None:
        return None
    moves = facts.mobile(said.board, at)
    pin = facts.pins_of(said.board, at)
    text = _pin_text(said.board, pin[0]) if pin else f"{piece_on(said.board, at)} is not pinned"
    if moves:
        return Fact(
            True,
            f"{piece_on(said.board, at)} can go to {listed(names(m.to_square for m in moves))}",
            _draw(at),
        )
    return Fact(False, text if pin else f"{piece_on(said.board, at)} has no legal move", _draw(at))


def forks(said: Said) -> Fact | None:
    """Whether a piece forks the pieces named (or any two)."""
    by = said.at("piece")
    colour = said.board.color_at(by)
    if colour is None:
        return None
    fork = facts.fork_by(said.board, by)
    two = facts.attacks_two(said.board, by)
    if "target" in said:
        target = said.at("target")
        if said.board.color_at(target) == colour:
            return Fact(False, f"{piece_on(said.board, target)} is of the same side")
        told = said.phrases["target"]
        named_two = max(len(told.parts), len(told.squares)) > 1
        true = facts.attacks(said.board, by, target) and (named_two or len(two) > 1)
    else:
        true = fork is not None
    targets = fork.targets if fork else two
    text = listed(piece_on(said.board, t) for t in targets) if targets else "no two pieces"
    return Fact(
        true,
        f"{piece_on(said.board, by)} attacks {text}",
        _draw(by, *targets),
        tuple(f"{square(by)}-{square(t)}" for t in targets),
    )


def are_forked(said: Said) -> Fact | None:
    """Whether a piece is one of those forked by one enemy piece."""
    at = said.at("target")
    colour = said.board.color_at(at)
    if colour is None:
        return None
    for fork in facts.forks(said.board, not colour):
        if at in fork.targets and ("piece" not in said or fork.by == said.at("piece")):
            text = listed(piece_on(said.board, t) for t in fork.targets)
            return Fact(
                True,
                f"{piece_on(said.board, fork.by)} attacks {text}",
                _draw(fork.by, *fork.targets),
            )
    return Fact(False, f"no piece forks {piece_on(said.board, at)}", _draw(at))


def there_is_fork(said: Said) -> Fact:
    """Whether the side that has just moved forks something."""
    colours = (not said.board.turn, said.board.turn)
    for colour in colours:
        found = facts.forks(said.board, colour)
        if found:
            text = listed(piece_on(said.board, t) for t in found[0].targets)
            return Fact(
                True,
                f"{piece_on(said.board, found[0].by)} attacks {text}",
                _draw(found[0].by, *found[0].targets),
            )
    return Fact(False, "no piece attacks two at once with profit")


def move_forks(said: Said) -> Fact | None:
    """Whether a move makes a fork (or any double attack)."""
    return _fork_by(said.played())


def move_forks_those(said: Said) -> Fact | None:
    """Whether a move attacks the pieces named, and at least two things."""
    played = said.played()
    fact = _fork_by(played)
    hit = facts.attacks(played.after, played.move.to_square, said.at("target"))
    enemy = played.after.color_at(said.at("target")) is not played.colour
    return Fact(bool(fact.true) and hit and enemy, fact.because, fact.squares)


def target_skewered(said: Said) -> Fact:
    """Whether a piece is in front or behind in a skewer."""
    at = said.at("target")
    found = [
        s for c in chess.COLORS for s in facts.skewers(said.board, c) if at in {s.front, s.behind}
    ]
    return Fact(
        bool(found), f"{piece_on(said.board, at)} is {'' if found else 'not '}skewered", _draw(at)
    )


def last_move_forks(said: Said) -> Fact | None:
    """The same of the move just played."""
    last = said.place.last()
    return there_is_fork(said) if last is None else _fork_by(last)


def _fork_by(played: Played) -> Fact:
    after = played.after
    fork = facts.fork_by(after, played.move.to_square)
    targets = fork.targets if fork else facts.double_attack(played.before, played.move)
    if len(targets) > 1:
        text = listed(piece_on(after, t) for t in targets)
        return Fact(True, f"{played.san} attacks {text}", _draw(played.move.to_square, *targets))
    hit = facts.effects(played.before, played.move).attacks
    text = listed(piece_on(after, t) for t in hit) if hit else "no enemy piece"
    return Fact(
        False,
        f"after {played.san} {piece_on(after, played.move.to_square)} attacks {text}",
        _draw(played.move.to_square),
    )


def skewers(said: Said) -> Fact | None:
    """Whether a piece skewers (another, or any)."""
    by = said.at("piece")
    colour = said.board.color_at(by)
    if colour is None:
        return None
    found = [s for s in facts.skewers(said.board, not colour) if s.by == by]
    if "target" in said:
        found = [s for s in found if said.at("target") in {s.front, s.behind}]
    if found:
        return Fact(
            True,
            f"{piece_on(said.board, by)} skewers {piece_on(said.board, found[0].front)} "
            f"and {piece_on(said.board, found[0].behind)}",
            _draw(by, found[0].front),
        )
    return Fact(False, f"{piece_on(said.board, by)} skewers nothing", _draw(by))


def move_skewers(said: Said) -> Fact | None:
    """Whether a move makes a skewer (of what is named)."""
    played = said.played()
    after = played.after
    found = [s for s in facts.skewers(after, not played.colour) if s.by == played.move.to_square]
    if "target" in said:
        found = [s for s in found if said.at("target") in {s.front, s.behind}]
    if not found:
        text = f"after {played.san} {piece_on(after, played.move.to_square)} skewers nothing"
        return Fact(False, text, _draw(played.move.to_square))
    one = found[0]
    text = f"{played.san} skewers {piece_on(after, one.front)} and {piece_on(after, one.behind)}"
    return Fact(True, text, _draw(one.by, one.front, one.behind))


def there_is_skewer(said: Said) -> Fact:
    """Whether any piece is skewered."""
    found = [s for c in chess.COLORS for s in facts.skewers(said.board, c)]
    if found:
        one = found[0]
        return Fact(
            True,
            f"{piece_on(said.board, one.by)} skewers {piece_on(said.board, one.front)} "
            f"and {piece_on(said.board, one.behind)}",
            _draw(one.by, one.front, one.behind),
        )
    return Fact(False, "no piece is skewered")


def discovered_check(said: Said) -> Fact | None:
    """Whether a move (the last one, if none is named) gives a discovered check."""
    played = said.played() if "move" in said else said.place.last()
    if played is None:
        return _standing_discovery(said, chess.KING)
    true = facts.discovered_check(played.before, played.move)
    after = played.after
    if true:
        givers = [s for s in after.checkers() if s != played.move.to_square]
        return Fact(
            True,
            f"{played.san} uncovers {listed(piece_on(after, s) for s in givers)}",
            _draw(*givers),
        )
    if after.is_check():
        return Fact(False, f"{played.san} gives check itself")
    return Fact(False, f"{played.san} gives no check")


def _standing_discovery(said: Said, kind: int | None) -> Fact:
    for colour in chess.COLORS:
        for one in facts.masked_attacks(said.board, colour):
            if kind is None or said.board.piece_type_at(one.target) == kind:
                return Fact(
                    True,
                    f"{piece_on(said.board, one.screen)} masks {piece_on(said.board, one.by)}",
                    _draw(one.by, one.screen, one.target),
                )
    return Fact(False, "no piece masks an attack of another")


def has_discovery(said: Said) -> Fact:
    """Whether a side holds a discovered check or attack ready, or has just given it."""
    last = said.place.last()
    if last is not None and last.colour == said.side() and said.board.turn != said.side():
        given = facts.discovered_check(last.before, last.move)
        if given and said.word("what").endswith("check"):
            return Fact(True, f"{last.san} is a discovered check", _draw(last.move.to_square))
    wanted = said.word("what")
    for one in facts.masked_attacks(said.board, said.side()):
        if "check" not in wanted or said.board.piece_type_at(one.target) == chess.KING:
            return Fact(
                True,
                f"{piece_on(said.board, one.screen)} masks "
                f"{piece_on(said.board, one.by)}, which aims at "
                f"{piece_on(said.board, one.target)}",
                _draw(one.by, one.screen, one.target),
            )
    return Fact(False, f"no piece of {side_name(said.side())}'s masks another")


def can_uncover(said: Said) -> Fact | None:
    """Whether some legal move of a piece gives check from the piece behind it."""
    at = said.at("piece")
    colour = said.board.color_at(at)
    if colour is None:
        return None
    board = facts.to_move(said.board, colour)
    found = [m for m in board.legal_moves if m.from_square == at and _uncovers_check(board, m)]
    text = f"{several(len(found), 'move')} of {piece_on(board, at)} uncover a check"
    return Fact(bool(found), text)


def can_skewer(said: Said) -> Fact | None:
    """Whether some check by a piece would skewer what is named."""
    at = said.at("piece")
    colour = said.board.color_at(at)
    if colour is None:
        return None
    board = facts.to_move(said.board, colour)
    for move in board.legal_moves:
        if move.from_square != at or not board.gives_check(move):
            continue
        after = Played(board, move).after
        for one in facts.skewers(after, not colour):
            ends = {one.front, one.behind}
            behind = "piece2" not in said or said.at("piece2") in ends
            if one.by == move.to_square and said.at("target") in ends and behind:
                return Fact(True, f"{board.san(move)} skewers it", _draw(one.front, one.behind))
    return Fact(False, f"no check of {piece_on(board, at)} skewers it", _draw(at))


def always_discovers(said: Said) -> Fact | None:
    """Whether every legal move of a piece gives check from the piece behind it."""
    at = said.at("piece")
    colour = said.board.color_at(at)
    if colour is None:
        return None
    board = facts.to_move(said.board, colour)
    moves = [m for m in board.legal_moves if m.from_square == at]
    found = [m for m in moves if _uncovers_check(board, m)]
    text = f"{len(found)} of {several(len(moves), 'move')} of {piece_on(board, at)} uncover a check"
    return Fact(bool(moves) and len(found) == len(moves), text)


def _uncovers_check(board: chess.Board, move: chess.Move) -> bool:
    """Whether another piece than the moved one gives check after a move."""
    after = board.copy(stack=False)
    after.push(move)
    return any(s != move.to_square for s in after.checkers())


def discovers(said: Said) -> Fact | None:
    """Whether a move discovers an attack."""
    played = said.played() if "move" in said else said.place.last()
    if played is None:
        return _standing_discovery(said, None)
    found = facts.discoveries(played.before, played.move)
    after = played.after
    if "target" in said:
        found = tuple(d for d in found if d.target == said.at("target"))
    if found:
        return Fact(
            True,
            f"{played.san} uncovers {piece_on(after, found[0].by)} against "
            f"{piece_on(after, found[0].target)}",
            _draw(found[0].by, found[0].target),
        )
    return Fact(False, f"{played.san} uncovers no attack")


def double_check(said: Said) -> Fact:
    """Whether two pieces give check at once (after a move, if one is named)."""
    board = said.played().after if "move" in said else said.board
    givers = tuple(board.checkers())
    text = listed(piece_on(board, s) for s in givers) if givers else "no piece"
    return Fact(len(givers) > 1, f"check is given by {text}", _draw(*givers))


def double_attack(said: Said) -> Fact | None:
    """Whether a move attacks two things at once."""
    played = said.played() if "move" in said else said.place.last()
    return there_is_fork(said) if played is None else _fork_by(played)


def xray(said: Said) -> Fact | None:
    """Whether a line piece bears on something through another piece."""
    by, target = said.at("piece"), said.at("target")
    found = [x for x in facts.x_rays(said.board, by) if x.target == target]
    if found:
        return Fact(
            True,
            f"{piece_on(said.board, by)} bears on {piece_on(said.board, target)} through "
            f"{piece_on(said.board, found[0].through)}",
            _draw(by, target),
        )
    return Fact(
        False,
        f"{piece_on(said.board, by)} does not bear on {piece_on(said.board, target)} "
        "through a piece",
        _draw(by, target),
    )


def can_move_number(said: Said) -> Fact | None:
    """Whether a piece has so many legal moves."""
    at = said.at("piece")
    if said.board.color_at(at) is None:
        return None
    moves = facts.mobile(said.board, at)
    return Fact(
        len(moves) == said.number(),
        f"{piece_on(said.board, at)} can go to {listed(names(m.to_square for m in moves))}",
        _draw(at),
    )


def attacks_number(said: Said) -> Fact | None:
    """Whether a piece attacks so many enemy men (pawns may be left out)."""
    at = said.at("piece")
    colour = said.board.color_at(at)
    if colour is None:
        return None
    hit = [
        s for s in facts.attacked_squares(said.board, at) if said.board.color_at(s) == (not colour)
    ]
    big = [s for s in hit if said.board.piece_type_at(s) != chess.PAWN]
    return Fact(
        said.number() in {len(hit), len(big)},
        f"{piece_on(said.board, at)} attacks {listed(piece_on(said.board, s) for s in hit)}",
        _draw(at, *hit),
    )


def same_line(said: Said) -> Fact | None:
    """Whether two pieces share the line named."""
    line = facts.line_between(said.at("piece"), said.at("piece2"))
    wanted = said.word("line")
    return Fact(
        bool(line) if wanted == "line" else line == wanted,
        f"{piece_on(said.board, said.at('piece'))} and "
        f"{piece_on(said.board, said.at('piece2'))} share {'the ' + line if line else 'no line'}",
    )


def is_skewered(said: Said) -> Fact | None:
    """Whether a piece is in front or behind in a skewer."""
    at = said.at("piece")
    colour = said.board.color_at(at)
    if colour is None:
        return None
    found = [s for s in facts.skewers(said.board, colour) if at in {s.front, s.behind}]
    return Fact(
        bool(found), f"{piece_on(said.board, at)} is {'' if found else 'not '}skewered", _draw(at)
    )


def side_has_pin(said: Said) -> Fact:
    """Whether any piece of a side is pinned."""
    found = facts.pins(said.board, said.side())
    return Fact(
        bool(found),
        _pin_text(said.board, found[0])
        if found
        else f"no piece of {side_name(said.side())}'s is pinned",
    )


def side_no_pin(said: Said) -> Fact:
    """Whether no piece of a side is pinned."""
    fact = side_has_pin(said)
    return Fact(not fact.true, fact.because)


_TO = r"(?: (?:to|against|on|in front of) {target})?"
_BY = r"(?: by {piece2}| by {side})?"


def on_one_line(said: Said) -> Fact | None:
    """Whether a piece shares the line named with another of the pieces spoken of."""
    at, wanted = said.at("piece"), said.word("line")
    if len(said.phrases["piece"].parts) != 2:
        return None
    lines = {s: facts.line_between(at, s) for s in others_of(said, at)}
    found = [s for s, line in lines.items() if line and wanted in {"line", line}]
    return Fact(
        bool(found),
        f"{piece_on(said.board, at)} shares "
        f"{'the ' + wanted + ' with ' + listed(piece_on(said.board, s) for s in found) if found else 'no such line'}",
        _draw(at, *found),
    )


def pin_is(said: Said) -> Fact | None:
    """Whether the pins on the board are absolute, or relative, as said."""
    found = [
        p
        for c in chess.COLORS
        for p in (*facts.absolute_pins(said.board, c), *facts.relative_pins(said.board, c))
    ]
    if not found:
        return Fact(False, "nothing is pinned")
    wanted = bool(said.word("absolute"))
    fits = [p for p in found if p.absolute == wanted]
    return Fact(
        bool(fits), _pin_text(said.board, (fits or found)[0]), _draw((fits or found)[0].pinned)
    )


def side_forks(said: Said) -> Fact | None:
    """Whether a piece of a side forks (or skewers) the pieces named."""
    at = said.at("target")
    skewer = re.search(r"skewer", said.original) is not None
    if said.board.color_at(at) in {None, said.side()}:
        return None
    if skewer:
        hit = [s for s in facts.skewers(said.board, not said.side()) if at in (s.front, s.behind)]
        return Fact(
            bool(hit), f"{piece_on(said.board, at)} is {'' if hit else 'not '}skewered", _draw(at)
        )
    return are_forked(said)


def fork_on(said: Said) -> Fact | None:
    """Whether a side, if it were to move, could make a fork on a square."""
    colour = said.side()
    board = said.board.copy(stack=False)
    if board.turn != colour:
        if board.is_check():
            return None
        board.push(chess.Move.null())
    if board.is_check():
        king_first = board.copy(stack=False)
        moves = [m for m in king_first.pseudo_legal_moves if m.to_square == said.at("square")]
    else:
        moves = [m for m in board.legal_moves if m.to_square == said.at("square")]
    facts_found = [_fork_by(Played(board, m)) for m in moves]
    good = [fact for fact in facts_found if fact.true]
    if good:
        return good[0]
    return Fact(
        False, f"{side_name(colour)} has no move to {said.phrases['square'].squares[0]} that forks"
    )


def fork_at(said: Said) -> Fact:
    """Whether either side, if it were to move, could make a fork on a square."""
    found = [
        fork_on(said.meaning({**said.values, "side": colour}))
        for colour in (said.board.turn, not said.board.turn)
    ]
    told = [fact for fact in found if fact is not None]
    return next((fact for fact in told if fact.true), told[0])


def skewer_on(said: Said) -> Fact | None:
    """Whether a side, if it were to move, could skewer a piece from a square."""
    board = said.board.copy(stack=False)
    if board.turn != said.side():
        if board.is_check():
            return None
        board.push(chess.Move.null())
    for move in board.legal_moves:
        if move.to_square != said.at("square"):
            continue
        after = Played(board, move).after
        for one in facts.skewers(after, not said.side()):
            if one.by == move.to_square and said.at("target") in {one.front, one.behind}:
                return Fact(True, f"{board.san(move)} skewers it", _draw(one.front, one.behind))
    return Fact(False, f"no move to {square(said.at('square'))} skewers it")


def _pinned_to(said: Said) -> tuple[list[Pin], str]:
    """The pins of the piece named (to what is named), and them in words."""
    found = list(facts.pins_of(said.board, said.at("piece")))
    if "target" in said:
        found = [p for p in found if p.behind == said.at("target")]
    text = (
        _pin_text(said.board, found[0])
        if found
        else (f"{piece_on(said.board, said.at('piece'))} is not pinned so")
    )
    return found, text


def side_pinned(said: Said) -> Fact | None:
    """Whether a side pins a piece to another."""
    found, text = _pinned_to(said)
    true = any(said.board.color_at(p.by) is said.side() for p in found)
    return Fact(true, text, names([said.at("piece")]))


def last_move_pinned(said: Said) -> Fact | None:
    """Whether a piece is pinned since the last move."""
    last = said.place.last()
    if last is None:
        return None
    found, text = _pinned_to(said)
    if "whose" in said.values and last.colour != said.side("whose"):
        return None
    before = {p.pinned for c in chess.COLORS for p in facts.pins(last.before, c)}
    new = [p for p in found if p.pinned not in before or p.by == last.move.to_square]
    return Fact(bool(new), text, names([said.at("piece")]))


def pin_there(said: Said) -> Fact:
    """Whether a piece (the one on the square named) is pinned."""
    found = [p for c in (chess.WHITE, chess.BLACK) for p in facts.pins(said.board, c)]
    if "square" in said:
        found = [p for p in found if p.pinned == said.at("square")]
    text = _pin_text(said.board, found[0]) if found else "nothing is pinned there"
    return Fact(bool(found), text, names(p.pinned for p in found))


def anything_pinned(said: Said) -> Fact:
    """Whether anything of a side's is pinned."""
    colour = said.side("whose")
    found = [p for c in chess.COLORS for p in facts.pins(said.board, c)]
    found = [p for p in found if said.board.color_at(p.pinned) is colour]
    text = (
        _pin_text(said.board, found[0]) if found else f"nothing of {side_name(colour)}'s is pinned"
    )
    nothing = said.original.lower().startswith("nothing")
    return Fact(bool(found) != nothing, text, names(p.pinned for p in found))


def has_fork(said: Said) -> Fact:
    """Whether a side forks something now."""
    found = facts.forks(said.board, said.side())
    text = f"{side_name(said.side())} {'has a fork' if found else 'forks nothing'}"
    return Fact(bool(found), text, names(f.by for f in found))


def hit_with_another(said: Said) -> Fact | None:
    """Whether an enemy piece (of the side named) attacks something and another thing as well."""
    at = said.at("target")
    owner = said.board.color_at(at)
    if owner is None or ("side" in said and said.side() == owner):
        return None
    for by in facts.attackers(said.board, not owner, at):
        hit = facts.attacked_squares(said.board, by)
        two = [s for s in hit if said.board.color_at(s) is owner]
        if len(two) > 1:
            text = listed(piece_on(said.board, t) for t in two)
            return Fact(True, f"{piece_on(said.board, by)} attacks {text}", _draw(by, *two))
    return Fact(
        False, f"nothing attacks {piece_on(said.board, at)} together with another", _draw(at)
    )


_DOUBLE = r"(?:double|two pronged|twofold|simultaneous) (?:attack|threat|assault)"
_MAKES = r"(?:makes|make|carries out|launches|delivers|executes|mounts|creates|performs|undertakes|(?:has|have) (?:made|carried out|launched|delivered|executed|mounted|created))"

PATTERNS = (
    Pattern(
        rf"{{piece}} {_MAKES} (?:a |the )?(?:\w+ )?{_DOUBLE}(?: (?:on|against|upon|at|of) (?:both )?{{target}})?",
        forks,
    ),
    Pattern(
        rf"{{side}} (?:{{have}}|{_MAKES}) (?:a |the )?(?:\w+ )?{_DOUBLE} (?:on|against|upon|at|of) (?:both )?{{target}}",
        hit_with_another,
    ),
    Pattern(
        rf"(?:there is|here is|we have|(?:{{it}}|P.) (?:is|was)) (?:a |the )?(?:\w+ )?{_DOUBLE}(?: by P.)? ?,? ?(?:on|against|upon|at|of) (?:both )?{{target}}",
        hit_with_another,
    ),
    Pattern(
        rf"{{side}} (?:{{have}}|{_MAKES}) (?:a |the )?(?:\w+ )?{_DOUBLE}(?! on| against)", has_fork
    ),
    Pattern(
        rf"{{piece}} {{be}} (?:(?P<absolute>absolutely|legally) |(?P<relative>only relatively|"
        rf"relatively) )?pinned(?: down)?{_TO}{_BY}{_TO.replace('target', 'target2')}(?! to | by | on )",
        is_pinned,
    ),
    Pattern(
        rf"{{piece}} {{be}} (?:(?P<absolute>absolutely) )?pinned(?: down)?{_BY} (?:to|against) {{target}}",
        is_pinned,
    ),
    Pattern(
        rf"{{piece}} {{be}} (?:in|caught in|stuck in|under|held in) (?:a|an|the) (?:(?P<absolute>absolute)|"
        rf"(?P<relative>relative)|nasty|awkward|annoying)? ?pin{_TO}{_BY}",
        is_pinned,
    ),
    Pattern(
        r"{piece} {be} (?:free of the pin|out of the pin|unpinned|free from the pin)",
        is_pinned,
        against=True,
    ),
    Pattern(
        r"{piece} (?:is |are )?(?:(?:absolutely|relatively) )?(?:pins?|pinning|has pinned|nails|holds in a pin)"
        r"(?: down)? {piece2}(?: (?:to|against) {target})?(?! to | on )",
        pins,
    ),
    Pattern(
        rf"{{side}} (?:pins?|has pinned|have pinned|is pinning|are pinning) {{piece}}{_TO}",
        side_pins,
    ),
    Pattern(
        r"(?:there is|we have|we see) (?:a|an) (?:(?P<absolute>absolute)|(?P<relative>relative)|"
        r"nasty|annoying|awkward)? ?pin (?:on|against|of) {piece}",
        is_pinned,
    ),
    Pattern(
        r"there is (?:a |any )?pins?(?: anywhere)?(?! on P| on the | on G| against )", there_is_pin
    ),
    Pattern(
        r"{piece} can (?:legally )?move(?: at all)?(?! without| or | because of)",
        can_move_though_pinned,
        telling_not=True,
    ),
    Pattern(
        r"(?<!with )(?:a |what a )?(?:nice |deadly |nasty )?discovered check", discovered_check
    ),
    Pattern(r"(?<!with )(?:a |what a )?double check", double_check),
    Pattern(
        r"(?:{side} (?:can|could|may|has|have|will|would)(?: (?:play|go|have|give|try))? )?{move} ,? ?(?:with|giving|and gives|comes with|is played with|coming with) (?:a |an )?discovered check",
        discovered_check,
    ),
    Pattern(
        r"(?:{side} (?:can|could|may|has|have|will|would)(?: (?:play|go|have|give|try))? )?{move} ,? ?(?:with|giving|and gives|comes with|is played with|coming with) (?:a |an )?double check",
        double_check,
    ),
    Pattern(
        r"{piece} (?:can|could|may) (?:move|go|jump|step|hop)(?: away| off| anywhere)? with (?:a )?discovered check",
        can_uncover,
    ),
    Pattern(
        r"{piece} {have} (?:a |any )?(?:nasty |strong |nice )?checks? (?:that|which) (?:would )?skewers? {target}(?: (?:to|against|and) {piece2})?",
        can_skewer,
    ),
    Pattern(
        r"(?:{it}|{side} (?:has|have)|{side}|the last move|{whose} last move) (?:discovered|uncovered|discovers|uncovers|unveiled|unmasked) (?:a )check",
        discovered_check,
    ),
    Pattern(
        r"{piece} (?:uncovers|discovers|unmasks|opens|reveals|unleashes) (?:an |the )?(?:\w+ 's )?(?:discovered )?(?:attack|check)(?: of {piece3})?"
        r"(?: (?:on|against) {target})?",
        discovers,
    ),
    Pattern(r"{piece} (?:is|are) able to move", can_move_though_pinned),
    Pattern(
        r"{piece} can (?:legally |ever )?(?:move|step aside|leave|go away|budge|stir|give way|get out of the way) without (?:exposing|losing|dropping|giving up|abandoning|hanging|leaving|uncovering) {target}(?: hanging| to attack| unprotected)?",
        is_pinned,
        against=True,
    ),
    Pattern(
        r"(?:any|every|each) (?:move|step|jump|hop|retreat|leap)(?: at all)? (?:of|by|with) {piece} (?:is|gives|would be|would give|means|discovers|unleashes|brings|will be|will give) (?:a )?discovered check",
        always_discovers,
    ),
    Pattern(
        r"{piece} (?:has|have) (?:a |any )?(?:legal |single )*(?:moves?|move at all)(?: at all)?",
        can_move_though_pinned,
    ),
    Pattern(
        r"{piece} (?:is )?(?:forks?|forking|has forked|is making a fork on|gives a fork of|double attacks?)"
        r"(?: both)? {target}",
        forks,
    ),
    Pattern(r"{piece} (?:makes|gives|is giving|has) (?:a |the )?(?:family )?fork", forks),
    Pattern(r"{target} {be} forked(?: by {piece})?", are_forked),
    Pattern(
        r"(?:there is|we have|we see) (?:a |the )?(?:knight |queen |pawn |bishop |rook |family |royal )*fork"
        r"(?! on | with | at | by | in | coming)",
        there_is_fork,
    ),
    Pattern(
        r"{it} (?:is|would be|was|makes|gives|will be) (?:a |the |an )?(?:knight |queen |pawn |bishop |"
        r"family |royal |classic |nice |beautiful |simple |nasty )*fork",
        last_move_forks,
    ),
    Pattern(
        r"{move} (?:is|would be|was|makes|would make|gives|will be|comes with|creates|wins material with) "
        r"(?:a |the |an )?(?:knight |queen |pawn |bishop |family |royal |classic |nice |nasty )*fork",
        move_forks,
    ),
    Pattern(r"{piece} (?:is )?(?:skewers?|skewering|has skewered)(?: both)? {target}", skewers),
    Pattern(
        r"(?:there is|we have|{it} (?:is|would be|was)) (?:a |the )skewer(?! (?:on|of|against))",
        there_is_skewer,
    ),
    Pattern(
        r"{move} (?:is|would be|was|makes|would make|gives|will be|comes with|creates|sets up) (?:a |the |an )?(?:nice |nasty |simple |classic |rook |queen |bishop )*skewer",
        move_skewers,
    ),
    Pattern(
        r"{move} (?:is|would be|was|makes|would make|gives|will be|creates) (?:a |the |an )?(?:nice |nasty |simple |classic |rook |queen |bishop )*skewer ?,? ?(?:of |on |against |: )?(?:both )?{target}",
        move_skewers,
    ),
    Pattern(
        r"{move} (?:(?:would |will |can )?skewers?|skewering)(?: both)? {target}", move_skewers
    ),
    Pattern(
        r"{move} (?:is|would be|was|makes|would make|gives|will be|creates) (?:a |the |an )?(?:knight |queen |pawn |bishop |rook |family |royal |classic |nice |nasty )*fork ?,? ?(?:of |on |against |between |: )(?:both )?{target}",
        move_forks_those,
    ),
    Pattern(
        r"(?:there is|we have|here is|(?:{it}|P.) (?:is|would be|was)) (?:a |the )skewer ?,? ?(?:on|of|against|:) (?:both )?{target}",
        target_skewered,
    ),
    Pattern(
        r"(?:there is|we have|here is|(?:{it}|P.) (?:is|was)) (?:a |the )skewer (?:along|down|on|up|across) (?:(?:the|an?) )?(?:open |long )?(?:{file}|{rank}|{diagonal}|file|rank|diagonal)",
        there_is_skewer,
    ),
    Pattern(
        r"(?:{side} {have}|there is|there comes|here comes) (?:a |the )?(?:strong |nasty |nice |simple )?(?:knight |queen |pawn |bishop |rook |family |royal )*fork (?:ready |available |coming |possible )?(?:with|by|by playing|through|after) {move}",
        move_forks,
    ),
    Pattern(
        r"(?:{side} {have}|there is|there comes|here comes) (?:a |the )?(?:strong |nasty |nice |simple )?(?:queen |bishop |rook )*skewer (?:ready |available |coming |possible )?(?:(?:on|along|down) (?:the )?(?:F.|D.|R.) )?(?:with|by|by playing|through|after) {move}",
        move_skewers,
    ),
    Pattern(
        r"(?:there is|there will be|we have|the|a) (?:a |the )?(?:(?:knight|queen|pawn|bishop|rook|family|royal|nasty|strong) )*fork (?:ready |available |coming |possible |waiting |looming |is |comes |would come |is coming |is possible |looms |waits )?(?:on|at) {square}",
        fork_at,
    ),
    Pattern(
        r"{side} (?:can|could) (?:also )?skewer (?:both )?{target} (?:on|from|with) {square}",
        skewer_on,
    ),
    Pattern(
        r"{move} (?:is|would be|was|gives|would give|comes with|gives white|gives black) (?:a )?"
        r"discovered check",
        discovered_check,
    ),
    Pattern(
        r"(?:{it} (?:is|was|would be)|there is|we have|it comes with|{side} (?:gives?|gave|has given)) (?:a )?discovered check",
        discovered_check,
    ),
    Pattern(
        r"{side} (?:has|have|can give|threatens|is threatening|has ready) (?:a |the )?(?P<what>discovered "
        r"(?:check|attack)|discovery)(?: ready| available| in hand| at (?:his|her|their) disposal)?",
        has_discovery,
    ),
    Pattern(
        r"{move} (?:is|makes|would be|discovers|would discover|uncovers|unleashes|opens|reveals) (?:a |an )?"
        r"(?:discovered attack|discovery|attack|discover an attack)",
        discovers,
    ),
    Pattern(r"{it} (?:is|was) (?:a )?(?:discovered attack|discovery)", discovers),
    Pattern(r"(?:{it} (?:is|was)|there is|we have) (?:a )?double check", double_check),
    Pattern(r"{move} (?:is|was|gives|would be|comes with) (?:a )?double check", double_check),
    Pattern(
        r"{move} (?:is|makes|would be|creates|would make|sets up) (?:a )?double (?:attack|threat)",
        double_attack,
    ),
    Pattern(r"(?:{it} (?:is|was|would be)|there is|we have) (?:a )?double attack", double_attack),
    Pattern(
        r"{piece} (?:(?:x rays?|is x raying|has an x ray on) {target}(?: through {piece2})?|bears? on {target} through {piece2})",
        xray,
    ),
    Pattern(
        r"{piece} (?:holds?|keeps?|has|have) {piece2} (?:in|under) (?:a|an|the) (?:nasty |awkward |annoying )?pin(?: (?:to|against) {target})?",
        pins,
    ),
    Pattern(
        r"{piece} {be} (?:nailed|tied|stuck|fixed|bound) (?:down )?to {target}(?: by {piece2})?(?! )",
        is_pinned,
    ),
    Pattern(
        r"(?:the )?pin (?:on|against|of) {piece} (?:is|has been) (?:broken|lifted|over|gone|relieved)",
        is_pinned,
        against=True,
    ),
    Pattern(
        r"(?:the )?pin (?:on|against|of) {piece} (?:is|remains) (?:absolute|real|still there|in place|on)",
        is_pinned,
    ),
    Pattern(
        r"{piece} (?:is|are) (?:immobile|immobilised|immobilized|frozen|paralysed|paralyzed|unable to move|not allowed to move|stuck)(?! in| to| behind)",
        can_move_though_pinned,
        against=True,
    ),
    Pattern(r"{piece} {have} {number} (?:legal )?moves?", can_move_number),
    Pattern(
        r"{piece} (?:attacks|hits|is attacking|is hitting) {number} (?:enemy )?(?:pieces|things|targets|men)(?: at once)?",
        attacks_number,
    ),
    Pattern(
        r"{piece} (?:attacks|hits) {target} (?:at the same time|simultaneously|at once|in one go)",
        forks,
    ),
    Pattern(r"(?:there is|we have) (?:a )?fork (?:on|of|between|by) {target}", are_forked),
    Pattern(r"{piece} {be} (?:in )?(?:a )?fork(?:ing)?", forks),
    Pattern(
        r"{piece} {be} (?:on|in|along) the same (?P<line>diagonal|file|rank|line) (?:as {piece2})",
        same_line,
    ),
    Pattern(
        r"{piece} {be} (?:on|along) (?:the same|one) (?P<line>diagonal|file|rank|line)",
        on_one_line,
    ),
    Pattern(r"{piece} {be} skewered(?: by {piece2})?", is_skewered),
    Pattern(r"{side} {have} (?:a )?(?:piece|knight|pawn|bishop) pinned", side_has_pin),
    Pattern(
        r"{side} {have} (?:a |any )?(?:pinned (?:piece|knight|bishop|pawn)s?|pieces? that (?:is|are) pinned)",
        side_has_pin,
    ),
    Pattern(r"none of {whose} pieces {be} pinned", side_no_pin),
    Pattern(
        r"{move} (?:(?:would |will |can )?forks?|forking)(?: both)? {target}",
        move_forks,
    ),
    Pattern(
        r"(?:the pin|it) is (?:only |just )?(?:an? )?(?:(?P<absolute>absolute|real|true)|(?P<relative>relative))(?: one| pin)?",
        pin_is,
    ),
    Pattern(
        r"{side} (?:forks?|is forking|has forked|have forked|skewers?|is skewering|has skewered|have skewered) {target}",
        side_forks,
    ),
    Pattern(
        r"(?:the )?pin (?:on|against|of) {piece} {be} (?:only |just )?(?:an? )?(?:(?P<absolute>absolute|real)|(?P<relative>relative))(?: one| pin)?",
        is_pinned,
    ),
    Pattern(
        r"{side} (?:threatens?|{be} threatening|can play|{have}|eyes?) (?:a |the )?(?:knight |queen |pawn |bishop |rook |royal )?fork (?:on|at) {square}",
        fork_on,
    ),
    Pattern(
        r"(?:(?:with|by) (?:the|{own}|his|our) last move ?,? )?{side} (?:has|have) (?:just |now )?pinned {piece} (?:to|against) {target}",
        side_pinned,
    ),
    Pattern(
        r"(?:{whose}|the) last move (?:has )?(?:pinned|pins) {piece}(?: (?:to|against) {target})?",
        last_move_pinned,
    ),
    Pattern(
        r"{piece} (?:has|have) (?:got out|slipped out|escaped|come out|got free|freed itself) (?:of|from) the pin",
        is_pinned,
        against=True,
    ),
    Pattern(r"there is (?:a |any )?pin (?:on|along) (?:the )?(?:{square}|board)", pin_there),
    Pattern(r"(?:anything|nothing|something) of {whose} is pinned", anything_pinned),
    Pattern(r"{side} {have} (?:a |the )?fork(?: here| on the board| there)?", has_fork),
)
