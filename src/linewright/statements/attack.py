"""Attack and defence: who attacks what, how often, undefended, hanging, overloaded, trapped.

Definitions: a piece attacks a square if it could take there, pinned or not (FIDE Laws of Chess,
3.1.2 and 3.1.3). Counts take the pieces that bear on the square directly; where the statement's
number agrees once pieces behind them in a battery are counted, it holds too, and so does an attack
by such a piece, the queen behind a bishop (common practice, no source), unless it is told as a
direct one, or is on a king: that would be check. Undefended: nothing of its own side could take back. Hanging or en prise: it can be taken with profit, counting the
exchanges on its square (common practice, no source). Overloaded: several attacked pieces stand
only as long as it defends them (the Oxford Companion, "overloading").

    after 1.e4 e5 2.Nf3:
        holds: the pawn on e5 is attacked
        holds: The pawn on e5 is attacked by the knight.
        fails: the e5-pawn is defended
        holds: the e-pawn is hanging
        fails: the knight on f3 attacks d5
        holds: the knight on f3 attacks e5 and d4
        holds: nothing defends the pawn on e5
        left alone: the knight looks for a better square
        left alone: White could attack the pawn on e5 again.
        fails: the bishop isn't defended
    after 1.e4 e5 2.Nf3 Nc6 3.Bb5 Nf6:
        holds: the pawn on e4 is attacked once and not defended
        holds: the pawn on e5 is hit once and defended once
        fails: Black attacks the pawn on e4 twice
        holds: after 4.d3 the pawn on e4 is defended
        holds: the knight on c6 has the pawn on d7 for a defender
        fails: the pawn on e5 has a defender in the pawn on d7
        fails: White has two pieces defending e4
        holds: Black has one piece defending e5
    after 1.e4 e5 2.Nf3 Nc6 3.Bc4 Nf6 4.d3:
        holds: everything is defended
        fails: the rook on a1 is defended
    after 1.e4 e5 2.d4 exd4 3.Bc4 Nf6 4.Qxd4 d6 5.Qd3 Nc6 6.Qb3:
        holds: the queen attacks f7
        holds: f7 is attacked by the queen and the bishop
        holds: the queen does not attack f7 directly
        fails: the queen directly attacks f7
        fails: the pawn on f7 is directly attacked by the queen
        fails: the queen attacks c6
    after 1.e4 e5 2.Nf3 Nc6 3.Bc4 Nf6 4.Nc3 Nxe4:
        fails: everything is defended
    after 1.e4 e5 2.Nf3 Nc6 3.Bb5 Nf6 4.O-O Nxe4 5.d4 Nd6:
        holds: the bishop on b5 is hanging
        holds: The bishop is attacked by the knight on d6.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import replace

import chess

from linewright import facts
from linewright.board_words import (
    kind_and_square,
    listed,
    names,
    past_blocker,
    piece_on,
    several,
    square,
)
from linewright.expressions import expression
from linewright.judging import Fact, Judge, Pattern, Said, from_behind
from linewright.moves import side_name

FAMILY = "attack"

_JOINT = expression(r"\bbetween (?:them|the two)\b")


def _arrows(sources: Iterable[chess.Square], target: chess.Square) -> tuple[str, ...]:
    return tuple(f"{square(s)}-{square(target)}" for s in sources)


def _by(board: chess.Board, squares: Iterable[chess.Square]) -> str:
    """The men on squares in words, "nothing" if there are none."""
    men = [f"the {kind_and_square(board, s)}" for s in squares]
    return listed(men) if men else "nothing"


def _hitters(said: Said, at: chess.Square) -> tuple[chess.Square, ...]:
    """Enemy pieces that attack what stands there; of an empty square, those of the side named."""
    if said.board.color_at(at) is not None:
        return tuple(facts.enemies_on(said.board, at))
    return ()


_LOOKS = expression(r"\b(?:look|point|aim|stare|gaze|glare|peer|eye|train)", re.I)


def _without(said: Said, name: str) -> Said:
    return replace(said, values={k: v for k, v in said.values.items() if k != name})


def attacks(said: Said) -> Fact | None:
    """Whether a piece attacks a piece or square."""
    source, target = said.at("piece"), said.at("target")
    if said.phrases["piece"].determiner == "all" and said.board.color_at(target) is not None:
        return is_attacked(_without(said, "piece"))
    if said.board.piece_at(source) is None or source == target:
        return None
    own = said.board.color_at(source)
    if said.board.color_at(target) == own and _LOOKS.search(said.original):
        return None
    if said.board.color_at(target) == own and _another_is_meant(said, target):
        return None
    if said.board.color_at(target) == own and not said.word("bears"):
        return Fact(False, f"{piece_on(said.board, target)} is of the same side")
    true = facts.attacks(said.board, source, target)
    if not true and (behind := from_behind(said, said.board, source, target)):
        return Fact(True, behind, names((source, target)), _arrows([source], target))
    definite = all(said.phrases[name].squares for name in ("piece", "target"))
    if not true and _LOOKS.search(said.original) and not (definite and not _on_line(said)):
        return None  # it may look that way, past what stands between
    reach = listed(
        names(
            s
            for s in facts.attacked_squares(said.board, source)
            if said.board.color_at(s) == (not own)
        )
    )
    if not true and _JOINT.search(said.original):
        return None  # what several pieces attack together, each attacks a part of
    because = (
        f"{piece_on(said.board, source)} attacks {piece_on(said.board, target)}"
        if true
        else f"{piece_on(said.board, source)} does not reach {square(target)}"
        f"{past_blocker(said.board, source, target)}; it attacks {reach if reach != 'none' else 'no enemy piece'}"
    )
    return Fact(true, because, names((source, target)), _arrows([source], target) if true else ())


def _another_is_meant(said: Said, target: chess.Square) -> bool:
    """Whether the target may be a man of the other side: no side is named, and it has such a man."""
    told = said.phrases["target"]
    man = said.board.piece_at(target)
    if man is None or told.who or told.squares or {"white", "black", "own"} & set(told.words):
        return False
    return bool(said.board.pieces(man.piece_type, not man.color))


def _on_line(said: Said) -> bool:
    """Whether a piece would attack its target on an empty board."""
    source, target = said.at("piece"), said.at("target")
    board = chess.Board(None)
    board.set_piece_at(source, said.board.piece_at(source))
    return target in board.attacks(source)


def defends(said: Said) -> Fact | None:
    """Whether a piece defends a piece or square of its side."""
    source, target = said.at("piece"), said.at("target")
    piece = said.board.piece_at(source)
    if said.phrases["piece"].determiner == "all" and said.board.color_at(target) is not None:
        return is_defended(_without(said, "piece"))
    if piece is None or source == target:
        return None
    if said.board.piece_type_at(target) == chess.KING:
        told = said.phrases["target"]
        if re.search(r"\bshield", said.original) or not (told.who or told.squares):
            return None  # what stands before a king; whose king, if that is not said
    if said.board.color_at(target) == (not piece.color):
        if re.search(r"\bhold", said.original):
            return None  # "the c-pawn holds the passed pawn": it stops it
        return Fact(False, f"{piece_on(said.board, target)} is an enemy piece")
    true = facts.attacks(said.board, source, target)
    if not true and re.search(r"\bshield", said.original) and _screens(said.board, source, target):
        own = piece_on(said.board, target)
        return Fact(True, f"{piece_on(said.board, source)} stands in the way of an attack on {own}")
    does = "defends" if true else "does not defend"
    return Fact(
        true,
        f"{piece_on(said.board, source)} {does} {piece_on(said.board, target)}",
        names((source, target)),
        _arrows([source], target) if true else (),
    )


def _screens(board: chess.Board, source: chess.Square, target: chess.Square) -> bool:
    """Whether a man keeps off an attack on another of its side: one comes where it is taken away."""
    without = board.copy(stack=False)
    piece = without.remove_piece_at(source)
    if piece is None:
        return False
    enemy = not piece.color
    return bool(without.attackers(enemy, target) - board.attackers(enemy, target))


def of_square(judge: Judge) -> Judge:
    """A judge of what is said of a square, "c3 protects it": of the piece that stands there.

    Where it has just come there, the move is meant.
    """

    def judged(said: Said) -> Fact | None:
        last = said.place.last()
        if last is not None and last.move.to_square == said.at("square"):
            return None
        values = {**said.values, "piece": said.values["square"]}
        phrases = {**said.phrases, "piece": said.phrases["square"]}
        return judge(replace(said, values=values, phrases=phrases))

    return judged


def is_attacked(said: Said) -> Fact | None:
    """Whether a piece is attacked (by a piece, by a side, so often)."""
    at = said.at("target")
    colour = said.board.color_at(at)
    if colour is None and "piece" not in said and "side" not in said:
        if said.negated:
            return None  # by which side an empty square is not attacked is not said
        sides = [c for c in chess.COLORS if facts.attackers(said.board, c, at)]
        if not sides:
            return Fact(False, f"nothing attacks {square(at)}", names([at]))
        hitters = facts.attackers(said.board, sides[0], at)
        return Fact(True, f"{square(at)} is attacked by {_by(said.board, hitters)}", names([at]))
    if "side" in said and said.side() == colour:
        return Fact(False, f"{piece_on(said.board, at)} belongs to {side_name(said.side())}")
    hitters = facts.attackers(said.board, said.side(), at) if "side" in said else _hitters(said, at)
    if "piece" in said:
        return _by_piece(said, at, hitters)
    if "number" in said and colour is None and "side" not in said:
        return None  # whose attacks are counted on an empty square is not said
    if "number" in said:
        return _counted(said, at, hitters, "attack")
    true = bool(hitters)
    because = (
        f"{piece_on(said.board, at)} is attacked by {_by(said.board, hitters)}"
        if true
        else f"nothing attacks {piece_on(said.board, at)}"
    )
    return Fact(true, because, names((at, *hitters)), _arrows(hitters, at))


def _by_piece(said: Said, at: chess.Square, hitters: tuple[chess.Square, ...]) -> Fact | None:
    source = said.at("piece")
    piece = said.board.piece_at(source)
    if source == at or piece is None:
        return None
    if said.board.color_at(at) is None:
        hitters = facts.attackers(said.board, piece.color, at)
    if "number" in said and said.phrases["piece"].plural:
        return _counted_of_kind(said, at, piece)
    enemy = piece.color != said.board.color_at(at)
    if enemy and (behind := from_behind(said, said.board, source, at)):
        return Fact(True, behind, names((at, source)), _arrows([source], at))
    true = source in hitters or (
        said.board.color_at(at) is None and facts.attacks(said.board, source, at)
    )
    because = (
        f"{piece_on(said.board, at)} is attacked by {_by(said.board, hitters)}"
        if hitters
        else (f"nothing attacks {piece_on(said.board, at)}")
    )
    return Fact(true, because, names((at, source)), _arrows(hitters, at))


def _counted_of_kind(said: Said, at: chess.Square, piece: chess.Piece) -> Fact:
    """Whether so many of a side's pieces of one kind attack something."""
    own = said.board.pieces(piece.piece_type, piece.color)
    found = [s for s in facts.attackers(said.board, piece.color, at) if s in own]
    kind = several(len(found), chess.piece_name(piece.piece_type))
    text = f"{side_name(piece.color)} has {kind} that attack{'s' if len(found) == 1 else ''} {square(at)}"
    return Fact(len(found) == said.number(), text, names((at, *found)), _arrows(found, at))


def _counted(said: Said, at: chess.Square, hitters: tuple[chess.Square, ...], what: str) -> Fact:
    behind = facts.pressure(said.board, at)
    extra = len(behind.attackers_behind if what == "attack" else behind.defenders_behind)
    wanted = said.number()
    more = bool(re.search(r"at least", said.word("least")))
    true = wanted in {len(hitters), len(hitters) + extra} or (
        more and len(hitters) + extra >= wanted
    )
    verb = "attacked" if what == "attack" else "defended"
    often = {0: f"not {verb}", 1: f"{verb} once", 2: f"{verb} twice"}
    times = often.get(len(hitters), f"{verb} {len(hitters)} times")
    by = f" ({_by(said.board, hitters)})" if hitters else ""
    because = f"{piece_on(said.board, at)} is {times}{by}"
    if extra and wanted != len(hitters):
        hidden = behind.attackers_behind if what == "attack" else behind.defenders_behind
        men = listed(piece_on(said.board, s) for s in hidden)
        because += f", {len(hitters) + extra} times with {men} behind"
    return Fact(true, because, names((at, *hitters)), _arrows(hitters, at))


def is_defended(said: Said) -> Fact | None:
    """Whether a piece is defended (by a piece, so often); of an empty square, by the side named."""
    at = said.at("target")
    colour = said.board.color_at(at)
    if re.search(r"\b(?:sufficiently|adequately|enough|properly)\b", said.trailing):
        return None
    if colour is None:
        if "side" in said:
            colour = said.side()
        elif "piece" in said:
            return defends_square(said, at)
        else:
            return _square_covered(said, at)
    if "side" in said and said.side() != colour:
        return Fact(False, f"{piece_on(said.board, at)} belongs to {side_name(colour)}")
    keepers = facts.attackers(said.board, colour, at)
    of_pawns = "piece" in said and said.phrases["piece"].pieces == "P"
    if said.board.piece_type_at(at) == chess.KING and of_pawns:
        return None  # what shelters a king is told of as development
    if "number" in said and "piece" in said and said.phrases["piece"].plural:
        return None  # "defended twice by pieces and once by a pawn"
    if "number" in said:
        return _counted(said, at, keepers, "defend")
    if "piece" in said:
        true = said.at("piece") in keepers
        if said.word("only"):
            true = keepers == (said.at("piece"),)
    else:
        true = bool(keepers)
    because = (
        f"{piece_on(said.board, at)} is defended by {_by(said.board, keepers)}"
        if keepers
        else f"nothing defends {piece_on(said.board, at)}"
    )
    if not true and _sums_up(said) and not facts.attackers(said.board, not colour, at):
        return Fact(True, f"nothing attacks {piece_on(said.board, at)}", names([at]))
    return Fact(true, because, names((at, *keepers)), _arrows(keepers, at))


def _sums_up(said: Said) -> bool:
    """Whether everything is spoken of: of what nobody attacks it is no matter."""
    return bool(re.search(r"\b(?:everything|everyone)\b", said.original.lower()))


def _square_covered(said: Said, at: chess.Square) -> Fact | None:
    covered = {c: facts.attackers(said.board, c, at) for c in chess.COLORS}
    both = [f"{side_name(c)}: {_by(said.board, a)}" for c, a in covered.items()]
    if all(covered.values()) or not any(covered.values()):
        return Fact(any(covered.values()), f"{square(at)} is covered by {'; '.join(both)}")
    return Fact(None, f"by which side? {'; '.join(both)}")


def defends_square(said: Said, at: chess.Square) -> Fact:
    """Whether a piece covers an empty square."""
    source = said.at("piece")
    true = facts.attacks(said.board, source, at)
    does = "covers" if true else "does not cover"
    return Fact(true, f"{piece_on(said.board, source)} {does} {square(at)}", names((source, at)))


def undefended(said: Said) -> Fact | None:
    """Whether nothing of its own side defends a piece."""
    fact = is_defended(said)
    if fact is None or fact.true is None:
        return fact
    return Fact(not fact.true, fact.because, fact.squares, fact.arrows)


def hanging(said: Said) -> Fact | None:
    """Whether a piece can be taken with profit."""
    at = said.at("target")
    if said.board.piece_at(at) is None or said.board.piece_type_at(at) == chess.KING:
        return None
    hitters = _hitters(said, at)
    keepers = facts.defenders(said.board, at)
    found = facts.hanging_piece(said.board, at)
    if found:
        attackers = _by(said.board, hitters)
        guard = (
            "nothing defends it"
            if not keepers
            else (f"taking it wins {several(found.loss, 'point')}")
        )
        return Fact(
            True,
            f"{piece_on(said.board, at)} is attacked by {attackers} and {guard}",
            names((at, *hitters)),
            _arrows(hitters, at),
        )
    if not hitters:
        return Fact(False, f"nothing attacks {piece_on(said.board, at)}", names([at]))
    return Fact(
        False,
        f"{piece_on(said.board, at)} is attacked by {_by(said.board, hitters)}, but "
        f"defended by {_by(said.board, keepers)}"
        if keepers
        else f"{piece_on(said.board, at)} is attacked, but cannot be taken with profit",
        names((at, *hitters, *keepers)),
    )


def can_be_taken(said: Said) -> Fact | None:
    """Whether a piece can legally be taken (by a piece)."""
    at = said.at("target")
    colour = said.board.color_at(at)
    if colour is None or said.board.piece_type_at(at) == chess.KING:
        return None
    takers = _takers(said.board, at)
    if said.negated and takers and "piece" not in said and not facts.hanging_piece(said.board, at):
        return Fact(
            None,
            f"{piece_on(said.board, at)} may be taken by {_by(said.board, takers)}; "
            "whether that is good is another question",
        )
    true = said.at("piece") in takers if "piece" in said else bool(takers)
    because = (
        f"{piece_on(said.board, at)} can be taken by {_by(said.board, takers)}"
        if takers
        else f"nothing can take {piece_on(said.board, at)}"
    )
    return Fact(true, because, names((at, *takers)), _arrows(takers, at))


def _takers(board: chess.Board, at: chess.Square) -> tuple[chess.Square, ...]:
    hitters = facts.enemies_on(board, at)
    colour = board.color_at(at)
    return tuple(
        s
        for s in hitters
        if any(m.to_square == at or board.is_en_passant(m) for m in facts.mobile(board, s))
        and board.color_at(s) != colour
    )


def taken_free(said: Said) -> Fact | None:
    """Whether a piece can be taken with profit ("without loss")."""
    return hanging(said)


def can_take(said: Said) -> Fact | None:
    """Whether a piece can legally take something."""
    source, at = said.at("piece"), said.at("target")
    piece = said.board.piece_at(source)
    if piece is None or said.board.color_at(at) in {None, piece.color}:
        return None
    true = any(m.to_square == at for m in facts.mobile(said.board, source))
    can = "can take" if true else "cannot take"
    return Fact(
        true,
        f"{piece_on(said.board, source)} {can} {piece_on(said.board, at)}",
        names((source, at)),
    )


def _may_be_piece(said: Said) -> bool:
    """Whether "he" or "she" may be a piece: "she attacks c2" of a queen."""
    side = said.phrases.get("side")
    return side is not None and side.who == "he"


def side_attacks(said: Said) -> Fact | None:
    """Whether a side attacks something (so often)."""
    at = said.at("target")
    if said.board.color_at(at) == said.side():
        if _may_be_piece(said):
            return None
        return Fact(False, f"{piece_on(said.board, at)} is {side_name(said.side())}'s own")
    return _side_bears_on(said, at, "attack")


def side_defends(said: Said) -> Fact | None:
    """Whether a side defends something (so often)."""
    at = said.at("target")
    if said.board.color_at(at) == (not said.side()):
        target = said.phrases.get("target")
        own = target is not None and target.who in {"he", "we", "they", "you"}
        if _may_be_piece(said) or own:
            return None  # "Black supports his knight" is of no knight of White's
        return Fact(False, f"{piece_on(said.board, at)} is not {side_name(said.side())}'s")
    return _side_bears_on(said, at, "defend")


def _side_bears_on(said: Said, at: chess.Square, verb: str) -> Fact:
    """Whether a side's pieces attack or defend what stands on a square (so often)."""
    bearing = facts.attackers(said.board, said.side(), at)
    hit = facts.attackers(said.board, not said.side(), at)
    if verb == "defend" and not bearing and not hit and _sums_up(said):
        return Fact(True, f"nothing attacks {piece_on(said.board, at)}", names([at]))
    if "number" in said:
        return _counted(said, at, bearing, verb)
    because = (
        f"{piece_on(said.board, at)} is {verb}ed by {_by(said.board, bearing)}"
        if bearing
        else f"nothing of {side_name(said.side())}'s {verb}s {piece_on(said.board, at)}"
    )
    return Fact(bool(bearing), because, names((at, *bearing)), _arrows(bearing, at))


def hit_and_defended(said: Said) -> Fact | None:
    """Whether a piece is attacked so often and defended so often."""
    at = said.at("target")
    colour = said.board.color_at(at)
    if colour is None:
        return None
    state = facts.pressure(said.board, at)
    hits, keeps = len(state.attackers), len(state.defenders)
    more_hits, more_keeps = hits + len(state.attackers_behind), keeps + len(state.defenders_behind)
    wanted_hits = said.number("number") if "number" in said else None
    wanted_keeps = said.number("number2") if "number2" in said else None
    true = wanted_hits is None or wanted_hits in {hits, more_hits}
    if said.word("none"):
        true = true and keeps == 0
    elif wanted_keeps is not None:
        true = true and wanted_keeps in {keeps, more_keeps}
    if wanted_hits is None:
        true = true and hits > 0
    because = (
        f"{piece_on(said.board, at)} is attacked by {_by(said.board, state.attackers)} and "
        f"defended by {_by(said.board, state.defenders)}"
    )
    return Fact(
        true,
        because,
        names((at, *state.attackers, *state.defenders)),
        _arrows(state.attackers, at),
    )


def more_than(said: Said) -> Fact | None:
    """Whether a piece is attacked more often than defended (or the other way round)."""
    at = said.at("target")
    if said.board.color_at(at) is None:
        return None
    state = facts.pressure(said.board, at)
    hits = len(state.attackers) + len(state.attackers_behind)
    keeps = len(state.defenders) + len(state.defenders_behind)
    true = hits > keeps if said.word("attacked") else keeps > hits
    if said.word("equal"):
        true = hits == keeps
    return Fact(true, f"{piece_on(said.board, at)} is attacked {hits} and defended {keeps} times")


def overloaded(said: Said) -> Fact | None:
    """Whether a piece must defend several things at once."""
    at = said.at("target")
    colour = said.board.color_at(at)
    if colour is None:
        return None
    found = [o for o in facts.overloaded(said.board, colour) if o.square == at]
    if found:
        wards = listed(piece_on(said.board, w) for w in found[0].wards)
        return Fact(
            True, f"{piece_on(said.board, at)} must defend {wards}", names((at, *found[0].wards))
        )
    needed = facts.needed_for(said.board, at)
    text = listed(piece_on(said.board, w) for w in needed) if needed else "nothing that is attacked"
    return Fact(False, f"{piece_on(said.board, at)} is needed for {text}", names([at]))


def trapped(said: Said) -> Fact | None:
    """Whether a piece is attacked and cannot get away."""
    if said.phrases["target"].determiner == "all":
        return None  # "nothing is lost" speaks of the game
    at = said.at("target")
    kind = said.board.piece_type_at(at)
    if kind is None or kind in {chess.KING, chess.PAWN}:
        return None
    true = facts.trapped(said.board, at)
    moves = facts.mobile(said.board, at)
    if not true and not moves and said.word("shut"):
        true = True
    if not true and _of_the_other_side(said, at):
        return None
    where = listed(names(m.to_square for m in moves)) if moves else "nowhere"
    piece = piece_on(said.board, at)
    because = f"{piece} can go to {where}" if moves else f"{piece} has no move"
    if true and moves:
        because = f"{piece} can be won wherever it goes, on {where}"
    if not _hitters(said, at):
        because += " and is not attacked"
    return Fact(true, because, names([at]))


def _of_the_other_side(said: Said, at: chess.Square) -> bool:
    """Whether "the queen is lost" hardly speaks of this one: only the other side's is attacked."""
    phrase, piece = said.phrases["target"], said.board.piece_at(at)
    if piece is None or phrase.determiner != "the" or phrase.who or phrase.squares or phrase.words:
        return False
    others = said.board.pieces(piece.piece_type, not piece.color)
    return not _hitters(said, at) and any(_hitters(said, other) for other in others)


def lost(said: Said) -> Fact | None:
    """Whether a piece is trapped, or one of its kind was taken with the last move."""
    at, phrase, taken = said.at("target"), said.phrases["target"], said.place.just_taken()
    piece = said.board.piece_at(at)
    if taken is None or piece is None or phrase.squares or taken.piece_type != piece.piece_type:
        return trapped(said)
    if said.negated or "other" in phrase.words:
        return trapped(said)  # what is not lost, or not the one just taken, stands on the board
    if phrase.who in {"white", "black", "we"} and piece.color != taken.color:
        return trapped(said)
    return Fact(
        True, f"{side_name(taken.color)}'s {chess.piece_name(taken.piece_type)} was just taken"
    )


def more_attackers(said: Said) -> Fact | None:
    """Whether a side has so many attackers (against so many defenders) on a square."""
    at = said.at("target")
    hits = facts.attackers(said.board, said.side(), at)
    keeps = facts.attackers(said.board, not said.side(), at)
    true = said.number() == len(hits)
    if "number2" in said:
        true = true and said.number("number2") == len(keeps)
    return Fact(
        true,
        f"{square(at)}: {side_name(said.side())} has {len(hits)}, "
        f"{side_name(not said.side())} {len(keeps)}",
        names((at, *hits, *keeps)),
    )


def _swapped(said: Said) -> Said:
    values = {**said.values, "piece": said.values["piece2"], "piece2": said.values["piece"]}
    phrases = {**said.phrases, "piece": said.phrases["piece2"], "piece2": said.phrases["piece"]}
    return replace(said, values=values, phrases=phrases)


def blocks(said: Said) -> Fact | None:
    """Whether a piece stands in the way of another: before a pawn, or on a line piece's line."""
    if said.phrases["piece"].determiner == "all" and re.search(r"\bstops?\b", said.original):
        return None  # "nothing stops the knight from going there"
    at, other = said.at("piece"), said.at("piece2")
    piece, blocker = said.board.piece_at(other), said.board.piece_at(at)
    if piece is None or blocker is None or at == other:
        return None
    phrase = said.phrases["piece"]
    ways = [at]
    if phrase.plural and not phrase.squares:
        ways = [*said.board.pieces(blocker.piece_type, blocker.color)]
    found = [s for s in ways if _in_the_way(said.board, s, other)]
    text = f"{listed(piece_on(said.board, s) for s in found or [at])} {'is' if found else 'is not'}"
    return Fact(
        bool(found),
        f"{text.replace(' is', ' are') if len(found) > 1 else text} in the way of "
        f"{piece_on(said.board, other)}",
        names((*(found or [at]), other)),
    )


def _in_the_way(board: chess.Board, at: chess.Square, other: chess.Square) -> bool:
    """Whether what stands on a square blocks the piece on another; men between may step aside."""
    piece = board.piece_at(other)
    if piece is None or at == other:
        return False
    if piece.piece_type == chess.PAWN:
        return at == other + (8 if piece.color else -8)
    empty = chess.Board(None)
    empty.set_piece_at(other, piece)
    return at in empty.attacks(other) and not chess.SquareSet.between(at, other) & board.pawns


def in_front(said: Said) -> Fact | None:
    """Whether a piece stands on the same file ahead of a pawn or piece."""
    at, other = said.at("piece"), said.at("piece2")
    colour = said.board.color_at(other)
    if colour is None or at == other:
        return None
    true = chess.square_file(at) == chess.square_file(other) and (
        (chess.square_rank(at) > chess.square_rank(other)) == colour
    )
    return Fact(
        true, f"{piece_on(said.board, at)}, {piece_on(said.board, other)}", names((at, other))
    )


def takes_away(said: Said) -> Fact | None:
    """Whether a piece covers a square that another could otherwise use."""
    at, other, where = said.at("piece"), said.at("piece2"), said.at("square")
    if said.board.color_at(at) in {None, said.board.color_at(other)}:
        return None
    true = facts.attacks(said.board, at, where)
    if not said.phrases["piece2"].plural:
        true = true and facts.attacks(said.board, other, where)
    return Fact(
        true,
        f"{piece_on(said.board, at)} "
        f"{'covers' if facts.attacks(said.board, at, where) else 'does not cover'} "
        f"{square(where)}",
        names((at, other, where)),
    )


def stands_on(said: Said) -> Fact | None:
    """Whether a piece stands on a square."""
    at, where = said.at("piece"), said.at("square")
    piece = said.board.piece_at(where)
    phrase = said.phrases["piece"]
    if phrase.squares or said.board.piece_at(at) is None:
        return None
    if phrase.plural and len(said.phrases["square"].squares) > 1:
        return None  # each square is asked about by itself
    colour = side_name(bool(piece and piece.color))
    text = (
        f"{colour}'s {kind_and_square(said.board, where)}" if piece else f"{square(where)} is empty"
    )
    return Fact(at == where, text, names([where]))


def neither(said: Said) -> Fact | None:
    """Whether a piece is neither attacked nor defended."""
    at = said.at("target")
    colour = said.board.color_at(at)
    if colour is None:
        return None
    state = facts.pressure(said.board, at)
    return Fact(
        not state.attackers and not state.defenders,
        f"{piece_on(said.board, at)} is attacked by {_by(said.board, state.attackers)} and "
        f"defended by {_by(said.board, state.defenders)}",
        names([at]),
    )


def by_fellows(said: Said) -> Fact | None:
    """Whether a piece is defended by so many of its own kind."""
    at = said.at("target")
    piece = said.board.piece_at(at)
    if piece is None:
        return None
    keepers = facts.defenders(said.board, at)
    own = [s for s in keepers if said.board.piece_type_at(s) == piece.piece_type]
    text = f"{piece_on(said.board, at)} is defended by {_by(said.board, keepers)}"
    return Fact(len(own) == said.number(), text, names((at, *own)))


def only_attacked(said: Said) -> Fact | None:
    """Whether a piece is the only one of its side that is attacked."""
    at = said.at("target")
    colour = said.board.color_at(at)
    if colour is None:
        return None
    own = chess.SquareSet(said.board.occupied_co[colour])
    if said.word("kind") == "pawn":
        own &= said.board.pawns
    hit = [s for s in own if facts.enemies_on(said.board, s)]
    text = f"attacked of {side_name(colour)}: {_by(said.board, hit)}"
    return Fact(hit == [at], text, names(hit))


def by_fellow(said: Said) -> Fact | None:
    """Whether a piece is defended by another of its kind."""
    at = said.at("target")
    piece = said.board.piece_at(at)
    if piece is None:
        return None
    keepers = facts.defenders(said.board, at)
    true = any(said.board.piece_type_at(s) == piece.piece_type for s in keepers)
    return Fact(
        true,
        f"{piece_on(said.board, at)} is defended by {_by(said.board, keepers)}",
        names((at, *keepers)),
    )


def each_other(said: Said) -> Fact | None:
    """Whether a piece defends another of its side that defends it."""
    at = said.at("piece")
    colour = said.board.color_at(at)
    if colour is None:
        return None
    kind = said.board.piece_type_at(at)
    found = [
        s
        for s in facts.defenders(said.board, at)
        if facts.attacks(said.board, at, s)
        and (said.phrases["piece"].parts or said.board.piece_type_at(s) == kind)
    ]
    return Fact(
        bool(found),
        f"{piece_on(said.board, at)} and {_by(said.board, found)} defend each other"
        if found
        else f"nothing that {piece_on(said.board, at)} defends defends it",
        names((at, *found)),
    )


def sole_defender(said: Said) -> Fact | None:
    """Whether a piece is the only one that defends another."""
    at = said.at("target")
    colour = said.board.color_at(at)
    if colour is None:
        return None
    keepers = facts.attackers(said.board, colour, at)
    return Fact(
        keepers == (said.at("piece"),),
        f"{piece_on(said.board, at)} is defended by {_by(said.board, keepers)}",
        names((at, *keepers)),
    )


def none_but(said: Said) -> Fact | None:
    """Whether a piece has no defender but the one named: said with a "not"."""
    fact = sole_defender(said)
    if fact is None or not said.negated:
        return None
    return replace(fact, true=not fact.true)


def sole_attacker(said: Said) -> Fact | None:
    """Whether a piece is the only one that attacks another."""
    at = said.at("target")
    hitters = _hitters(said, at)
    return Fact(
        hitters == (said.at("piece"),),
        f"{piece_on(said.board, at)} is attacked by {_by(said.board, hitters)}",
        names((at, *hitters)),
    )


def side_count(said: Said) -> Fact | None:
    """Whether a side has so many attackers or defenders on something."""
    at = said.at("target" if "target" in said else "square")
    bearing = facts.attackers(said.board, said.side(), at)
    behind = facts.attackers_through(said.board, said.side(), at)
    true = said.number() in {len(bearing), len(bearing) + len(behind)}
    return Fact(
        true,
        f"{side_name(said.side())} bears on {square(at)} with {_by(said.board, bearing)}",
        names((at, *bearing)),
    )


def pieces_count(said: Said) -> Fact | None:
    """Whether so many pieces (of a colour) attack or defend something."""
    at = said.at("target")
    colour = said.board.color_at(at)
    attack = said.word("verb") in {"attack", "hit"}
    if said.word("shade"):
        side = said.word("shade") == "white"
    elif colour is None:
        return None
    else:
        side = (not colour) if attack else colour
    bearing = facts.attackers(said.board, side, at)
    return Fact(
        len(bearing) == said.number(),
        f"{side_name(side)} bears on {square(at)} with {_by(said.board, bearing)}",
        names((at, *bearing)),
    )


def counts(said: Said) -> Fact | None:
    """Whether there are so many attackers (and defenders) of something."""
    at = said.at("target")
    if said.board.color_at(at) is None:
        return None
    state = facts.pressure(said.board, at)
    number = {"attackers": len(state.attackers), "defenders": len(state.defenders)}
    true = number[said.word("what")] == said.number()
    if "number2" in said:
        true = true and number[said.word("other")] == said.number("number2")
    return Fact(
        true,
        f"{piece_on(said.board, at)} is attacked {number['attackers']} and defended "
        f"{number['defenders']} times",
        names([at]),
    )


def _loose(said: Said, how: str) -> tuple[chess.Square, ...]:
    colour = said.side()
    if how in {"hanging", "en prise"}:
        return tuple(h.square for h in facts.hanging(said.board, colour))
    if how == "attacked":
        return tuple(facts.attacked(said.board, colour))
    return tuple(facts.undefended(said.board, colour))


def has_loose(said: Said) -> Fact:
    """Whether a side has anything hanging (or undefended)."""
    found = _loose(said, said.word("how"))
    return Fact(bool(found), f"{said.word('how')}: {listed(names(found))}", names(found))


def none_loose(said: Said) -> Fact:
    """Whether nothing of a side's is hanging (or undefended, or attacked)."""
    fact = has_loose(said)
    return Fact(not fact.true, fact.because, fact.squares)


def loose_count(said: Said) -> Fact:
    """Whether so many of a side's pieces hang or are undefended."""
    how = "hanging" if "hanging" in said.original else "undefended"
    found = [
        s
        for s in _loose(said, how)
        if (said.board.piece_type_at(s) == chess.PAWN) == said.word("kind").startswith("pawn")
    ]
    return Fact(len(found) == said.number(), f"{how}: {listed(names(found))}", names(found))


_HIT = (
    r"(?:attacked|hit|under attack|under fire|in danger|threatened|targeted|challenged|"
    r"assailed|assaulted|bombarded|in the firing line|being attacked|exposed to attack)"
)
_HITS = (
    r"(?:attacks?|hits?|is attacking|are attacking|is hitting|strikes? at|takes? aim at|press(?:es)? (?:on|against)|"
    r"targets?|is aiming at|aims? at|is bearing down on|are hitting|bears? down on|"
    r"(?:puts?|is putting|exerts?) pressure on|eyes?|is eyeing|looks? at|is targeting|strikes|"
    r"stares? at|glares? at|gazes? at|peers? at|fires? on|points? at|menaces?|sees?|"
    r"bites on|fires at|assails|harasses|challenges|presses on|has its eye on|is trained on|"
    r"points at|is pointing at|is pointed at|sets its sights on|is looking at)"
)
_SIDE_HITS = (
    r"(?:attacks?|hits?|is attacking|are attacking|is hitting|strikes? at|targets?|is aiming at|aims? at|"
    r"are hitting|bears? down on|(?:puts?|is putting|exerts?) pressure on|is targeting|assails|challenges)"
)
_SAFE = (
    r"(?:defended|protected|guarded|covered|supported|backed up|held|propped up|"
    r"shielded|safeguarded|being defended|overprotected|watched over)"
)
_SAVES = (
    r"(?:defends?|protects?|guards?|covers?|supports?|is defending|is protecting|is guarding|"
    r"are defending|are protecting|is covering|watches over|backs up|holds|props up|"
    r"is supporting|looks after|keeps an eye on|safeguards|shields|stands guard over|is holding|are holding|hold)"
)
_LOOSE = (
    r"(?:undefended|unprotected|unguarded|loose|without (?:a |any )?(?:defender|protection|"
    r"defence|support|cover)|left undefended|defenceless|not covered|unsupported|uncovered)"
)
_HANGS = (
    r"(?:hanging|en prise|en pris|there for the taking|free for the taking|up for grabs|"
    r"hanging in the air|just hanging|left hanging|there to be taken|for free|there for free|"
    r"left en prise|a free pawn|a free piece|on offer|lost for nothing)"
)


def attack_each(said: Said) -> Fact | None:
    """Whether a piece attacks an enemy piece that attacks it."""
    if said.phrases["piece"].pieces == "P" and "attack" not in said.original:
        return None  # pawns face each other where they block each other
    at = said.at("piece")
    colour = said.board.color_at(at)
    if colour is None:
        return None
    found = [s for s in facts.enemies_on(said.board, at) if facts.attacks(said.board, at, s)]
    return Fact(
        bool(found),
        f"{piece_on(said.board, at)} and {_by(said.board, found)} attack each other"
        if found
        else f"nothing that attacks {piece_on(said.board, at)} is attacked by it",
        names((at, *found)),
    )


def side_more(said: Said) -> Fact:
    """Whether a side bears on something with more pieces than the other."""
    at = said.at("target")
    mine, yours = (len(facts.attackers(said.board, c, at)) for c in (said.side(), not said.side()))
    true = mine < yours if said.word("fewer") else mine > yours
    return Fact(
        true, f"{square(at)}: {side_name(said.side())} {mine}, {side_name(not said.side())} {yours}"
    )


def too_few(said: Said) -> Fact | None:
    """Whether a piece is attacked more often than defended (or the reverse)."""
    at = said.at("target")
    if said.board.color_at(at) is None:
        return None
    state = facts.pressure(said.board, at)
    hits = len(state.attackers) + len(state.attackers_behind)
    keeps = len(state.defenders) + len(state.defenders_behind)
    true = keeps > hits if said.word("first") == "defenders" else hits > keeps
    return Fact(true, f"{piece_on(said.board, at)} is attacked {hits} and defended {keeps} times")


def _from_square(said: Said) -> Said:
    phrases = {**said.phrases, "piece": said.phrases["square"]}
    return replace(said, values={**said.values, "piece": said.at("square")}, phrases=phrases)


def defended_from(said: Said) -> Fact | None:
    """Whether what stands on a square defends something."""
    return defends(_from_square(said))


def attacked_from(said: Said) -> Fact | None:
    """Whether what stands on a square attacks something."""
    return attacks(_from_square(said))


def has_attacked(said: Said) -> Fact | None:
    """Whether a piece attacks what it "has attacked"; of an earlier attack nothing is known."""
    fact = attacks(said)
    last = said.board.move_stack[-1].to_square if said.board.move_stack else None
    return fact if fact is None or fact.true or last == said.at("piece") else None


def keeps_out(said: Said) -> Fact | None:
    """Whether a piece controls a square of another."""
    return takes_away(said)


def _along(said: Said) -> bool:
    """Whether two pieces stand on the line they are said to work along."""
    first, second = said.at("piece"), said.at("target")
    on = {
        "rank": chess.square_rank(first) == chess.square_rank(second),
        "file": chess.square_file(first) == chess.square_file(second),
        "diagonal": chess.square_distance(first, second)
        == abs(chess.square_file(first) - chess.square_file(second))
        == abs(chess.square_rank(first) - chess.square_rank(second)),
    }
    kind = next((k for k in on if k in said.phrases), said.word("line"))
    if kind == "file" and "file" in said:
        return on["file"] and chess.square_file(first) == said.file()
    return on.get(kind, True)


def attacks_along(said: Said) -> Fact | None:
    """Whether a piece attacks something along the line named."""
    fact = attacks(said)
    return fact if fact is None or _along(said) else replace(fact, true=False)


def defends_along(said: Said) -> Fact | None:
    """Whether a piece defends something along the line named."""
    fact = defends(said)
    return fact if fact is None or _along(said) else replace(fact, true=False)


def lined_up(said: Said) -> Fact | None:
    """Whether a piece bears on a square, if need be through pieces of its own side."""
    at, target = said.at("piece"), said.at("target")
    colour = said.board.color_at(at)
    if colour is None:
        return None
    board, line = said.board.copy(stack=False), chess.SquareSet(chess.between(at, target))
    for square_between in line:
        if board.color_at(square_between) == colour:
            board.remove_piece_at(square_between)
    true = target in board.attacks(at)
    bears = "bears" if true else "does not bear"
    return Fact(
        true, f"{piece_on(said.board, at)} {bears} on {square(target)}", names((at, target))
    )


def has_place(said: Said) -> Fact | None:
    """Whether a piece has a square to go to, safely."""
    fact = trapped(said)
    if fact is None or fact.true is None:
        return fact
    nowhere = re.search(r"\b(?:nowhere|no place)\b", said.original.lower())
    return fact if nowhere else replace(fact, true=not fact.true)


def takes_with_check(said: Said) -> Fact | None:
    """Whether a piece can take something and give check."""
    fact = can_take(said)
    if fact is None or not fact.true:
        return fact
    source, at = said.at("piece"), said.at("target")
    board = facts.to_move(said.board, bool(said.board.color_at(source)))
    move = next(m for m in board.legal_moves if m.from_square == source and m.to_square == at)
    true = board.gives_check(move)
    return replace(
        fact, true=true, because=f"{fact.because}, {'with' if true else 'without'} check"
    )


def well_defended(said: Said) -> Fact | None:
    """That a piece is well defended: false of one that nothing defends, else by the count."""
    at = said.at("target")
    if said.board.color_at(at) is None:
        return None
    state = facts.pressure(said.board, at)
    hits, keeps = len(state.attackers), len(state.defenders)
    if 0 < keeps < hits:
        return None
    return Fact(
        keeps > 0,
        f"{piece_on(said.board, at)} is defended by {_by(said.board, state.defenders) if keeps else 'nothing'}",
        names((at, *state.defenders)),
    )


def takes_on(said: Said) -> Fact | None:
    """Whether a piece can legally take what stands on a square."""
    at, where = said.at("piece"), said.at("square")
    colour = said.board.color_at(at)
    if colour is None:
        return None
    enemy = said.board.color_at(where) == (not colour)
    true = enemy and any(m.to_square == where for m in facts.mobile(said.board, at))
    can = "can take" if true else "cannot take"
    return Fact(true, f"{piece_on(said.board, at)} {can} on {square(where)}", names((at, where)))


def takes_safely(said: Said) -> Fact | None:
    """Whether a piece can legally take something and nothing could take back."""
    fact = can_take(said)
    if fact is None or not fact.true:
        return fact
    source, at = said.at("piece"), said.at("target")
    board = facts.to_move(said.board, bool(said.board.color_at(source)))
    board.push(next(m for m in board.legal_moves if m.from_square == source and m.to_square == at))
    back = [m for m in board.legal_moves if m.to_square == at]
    by = listed(f"the {kind_and_square(board, m.from_square)}" for m in back)
    after = f"{by} can take back" if back else "nothing can take back"
    return replace(fact, true=not back, because=f"{fact.because}; {after}")


def anything_loose(said: Said) -> Fact | None:
    """Whether a side (or either) has anything hanging or undefended: "nothing is hanging"."""
    if said.values.get("piece") is not None and said.phrases["piece"].determiner != "all":
        return None
    sides = [said.side()] if "side" in said else list(chess.COLORS)
    found = [
        s
        for colour in sides
        for s in _loose(replace(said, values={"side": colour}), said.word("how"))
    ]
    nothing = re.search(r"\b(?:nothing|not a thing)\b", said.original.lower()) is not None
    text = f"{said.word('how')}: {_by(said.board, found)}"
    return Fact(bool(found) != nothing, text, names(found))


def side_has_bearing(said: Said) -> Fact | None:
    """Whether a side has such a man (so many of them) that attacks or guards something."""
    at, colour, men = said.at("target"), said.side(), said.phrases["man"]
    if men.squares or men.who or (men.determiner not in {"a", "an", "any", ""}):
        return None
    found = [
        s
        for s in facts.attackers(said.board, colour, at)
        if said.board.piece_at(s).symbol().upper() in men.pieces  # type: ignore[union-attr]
    ]
    owner = said.board.color_at(at)
    wrong = owner is (not colour) if said.word("saves") else owner is colour
    if wrong and not said.word("bears"):
        return Fact(False, f"{piece_on(said.board, at)} is {side_name(bool(owner))}'s")
    true = len(found) == men.number if men.number else bool(found)
    text = listed(piece_on(said.board, s) for s in found) if found else "no such man"
    return Fact(true, f"{side_name(colour)}: {text} bears on {square(at)}", names((at, *found)))


_BEARING = (
    r"(?:(?P<hits>attacking|hitting|eyeing|aiming at|pointing at|looking at|trained on|staring at|pressing on|threatening|targeting)|"
    r"(?P<saves>defending|protecting|supporting|backing up|backing|looking after|minding)|(?P<bears>covering|guarding|controlling|watching|bearing on|bearing down on))"
)

PATTERNS = (
    Pattern(
        rf"{{side}} {{have}} (?P<man>P.) (?:there |ready |still )?{_BEARING} {{target}}",
        side_has_bearing,
    ),
    Pattern(
        r"{side} {have} (?:nothing|anything|something|a thing|(?:a|any) (?:piece|pawn)|P.) (?:(?:that|which) (?:is|are) )?(?P<how>hanging|loose|undefended|unprotected|en prise|attacked)",
        anything_loose,
    ),
    Pattern(
        r"there (?:is|are) (?:(?:a|any) )?(?:piece|pieces|nothing|anything|something|P.) (?P<how>hanging|loose|undefended|unprotected|en prise)",
        anything_loose,
    ),
    Pattern(
        r"{target} can be (?:taken|captured|won|grabbed) (?:without loss|for free|for nothing|with impunity|safely|with profit)",
        taken_free,
    ),
    Pattern(
        rf"{{piece}} (?:both |all )?(?:can )?{_HITS} {{target}}(?: (?:again|as well))?(?! (?:together|along) with)",
        attacks,
    ),
    Pattern(r"{piece} {be} (?:attacking|hitting|eyeing|targeting) {target}", attacks),
    Pattern(rf"{{square}} (?:both |all )?{_HITS} {{target}}", of_square(attacks)),
    Pattern(rf"{{square}} (?:both |all )?{_SAVES} {{target}}", of_square(defends)),
    Pattern(
        r"{piece} (?P<bears>bears? on|{be} (?:trained|focused) on|(?:can )?(?:reach|reaches|see|sees)(?: as far as| all the way to| right through to)?|{be} in contact with) "
        r"{target}",
        attacks,
    ),
    Pattern(rf"{{piece}} (?:both |all )?{_SAVES} {{target}}(?! (?:together|along) with)", defends),
    Pattern(r"{piece} (?:has|have) {target} (?:protected|covered|defended|guarded)", defends),
    Pattern(
        rf"{{target}} {{be}} (?:(?P<least>at least )?{{number}} times )?{_HIT}"
        rf"(?: (?P<least>at least )?{{number}} times)?(?: by {{side}}| (?:by|from) {{piece}})?",
        is_attacked,
    ),
    Pattern(
        r"{target} (?:comes?|has come|is coming) under (?:attack|fire)(?: (?:by|from) {piece})?",
        is_attacked,
    ),
    Pattern(
        rf"{{target}} {{be}} {_SAFE}(?: (?P<least>at least )?{{number}} times)?"
        r"(?: (?P<only>only )?by (?P<only>only )?{piece}(?P<only> only| alone)?| by {side})?",
        is_defended,
    ),
    Pattern(rf"{{target}} {{be}} {{number}} times {_SAFE}", is_defended),
    Pattern(rf"only {{piece}} (?:can )?{_HITS} {{target}}", sole_attacker),
    Pattern(rf"only {{piece}} (?:can )?{_SAVES} {{target}}", sole_defender),
    Pattern(rf"{{target}} {{be}} {_SAFE} by (?:the pawn (?:on|at) )?{{square}}", defended_from),
    Pattern(rf"{{target}} {{be}} {_HIT} by (?:the pawn (?:on|at) )?{{square}}", attacked_from),
    Pattern(
        r"{target} (?:has|have|enjoys) (?:a |an |any |enough |ample |plenty of |solid |good |adequate |sufficient |full |excellent |firm |reliable |all the )?(?:defender|defenders|protection|protector|protectors|guard|guardian|"
        r"support|cover|defence)",
        is_defended,
    ),
    Pattern(
        r"{target} (?:has|have) {number} (?P<kind>defenders?|protectors?|guards?)", is_defended
    ),
    Pattern(
        r"{target} (?:has|have) {number} attackers?(?: and {number2} defenders?)?",
        hit_and_defended,
    ),
    Pattern(rf"{{target}} {{be}} {_LOOSE}(?! by)", undefended),
    Pattern(rf"{{target}} {{be}} {_LOOSE} by {{piece}}", is_defended, against=True),
    Pattern(r"{target} {be} (?:a )?(?:loose|undefended|unprotected) (?:piece|pawn)", undefended),
    Pattern(
        r"{target} (?:lacks?|needs|is short of|misses) (?:a |any )?(?:defender|protection|"
        r"support)",
        undefended,
    ),
    Pattern(
        rf"{{target}} (?:(?:{{be}}) (?:left |just |simply )?{_HANGS}|hangs?)(?! (?:together|on|by|over|around)\b)",
        hanging,
    ),
    Pattern(
        r"{piece} (?:can|could) (?:take|capture|grab|win|snatch) {target}(?! (?:without|for free|free of|for nothing|safely))",
        can_take,
    ),
    Pattern(
        r"{target} (?:can|could|may) be (?:taken|captured|won|grabbed|snapped off|removed|eaten)(?: (?:by|with) {piece})?",
        can_be_taken,
    ),
    Pattern(
        rf"{{side}} {_SIDE_HITS} {{target}}(?: {{number}} times)?(?: with {{number}} pieces)?(?! (?:with (?:[PN].|more|fewer|only|just|as)|together|more|as often) ?)",
        side_attacks,
    ),
    Pattern(
        rf"{{side}} {_SAVES} {{target}}(?: {{number}} times)?(?! (?:with (?:[PN].|more|fewer|only|just|as)|together|more|as often) ?)",
        side_defends,
    ),
    Pattern(r"{side} (?:has|have) {target} (?:covered|protected|defended|guarded)", side_defends),
    Pattern(r"{side} (?:has|have) (?:attacked|hit) {target}(?: {number} times)?", side_attacks),
    Pattern(
        rf"{{target}} {{be}} {_HIT} (?:{{number}} times )?(?:and|but|,|and but) (?:only |is |it is )*"
        rf"(?:{_SAFE} )(?:(?P<least>only |just )?{{number2}} times)",
        hit_and_defended,
    ),
    Pattern(
        rf"{{target}} {{be}} {{number}} times {_HIT} (?:and|but) (?:only |is |it is )*{{number2}} times "
        rf"{_SAFE}",
        hit_and_defended,
    ),
    Pattern(
        rf"{{target}} {{be}} {_HIT} {{number}} times (?:and|but) (?P<none>{_LOOSE})",
        hit_and_defended,
    ),
    Pattern(
        rf"{{target}} {{be}} (?P<attacked>{_HIT}) more (?:often|times) than (?:(?:it|P.) is )?{_SAFE}",
        more_than,
    ),
    Pattern(
        rf"{{target}} {{be}} {_SAFE} more (?:often|times) than (?:(?:it|P.) is )?{_HIT}", more_than
    ),
    Pattern(
        rf"{{target}} {{be}} {_HIT} as (?:often|many times) as (?P<equal>(?:(?:it|P.) is )?{_SAFE})",
        more_than,
    ),
    Pattern(
        r"{side} (?:has|have) {number} (?:attackers|pieces)(?: (?:against|to) {number2}"
        r"(?: defenders?)?)? (?:on|against|aimed at|trained on|bearing on|attacking|hitting) {target}",
        more_attackers,
    ),
    Pattern(
        r"{target} {be} (?:an )?(?:overloaded|overworked|overburdened|overtaxed|overstretched|"
        r"doing two jobs|tied to two tasks|doing too much)(?: piece| defender)?",
        overloaded,
    ),
    Pattern(r"{target} {be} (?:trapped|caught|encircled|cornered|ensnared|doomed)", trapped),
    Pattern(r"{target} {be} lost", lost),
    Pattern(
        r"{target} (?:has|have) (?:a |any )?(?:escape|escape square|way out|safe square|"
        r"square to go to|retreat|safe retreat|squares?)(?: left)?",
        trapped,
        against=True,
    ),
    Pattern(
        r"{piece} (?:blocks|stands in the way of|is in the way of|gets in the way of|obstructs|blockades|holds up|stops|shuts in|hems in) {piece2}",
        blocks,
    ),
    Pattern(r"{piece} {be} blocked (?:in )?by {piece2}", lambda said: blocks(_swapped(said))),
    Pattern(r"{piece} {be} in front of {piece2}", in_front),
    Pattern(r"{piece} (?:takes|denies|deprives) {square} (?:away )?from {piece2}", takes_away),
    Pattern(
        r"{piece} (?:{be}|has (?:landed|settled|arrived|appeared)) (?:in the middle |in the cent(?:re|er) |firmly |proudly )?(?:on|at) {square}",
        stands_on,
    ),
    Pattern(rf"{{target}} {{be}} neither {_HIT} nor {_SAFE}", neither),
    Pattern(r"{target} {have} (?:any |a |an )?(?:attackers?|enemy on it)", is_attacked),
    Pattern(r"{target} {be} (?:being )?(?:looked after|taken care of) (?:by {piece})", is_defended),
    Pattern(r"{target} {be} under (?:the )?protection (?:of {piece}|of {side})?", is_defended),
    Pattern(r"{target} (?:enjoys|has) the (?:protection|support) of {piece}", is_defended),
    Pattern(
        rf"{{target}} {{be}} {_SAFE} by (?:its|{{own}}) (?:colleague|partner|twin|brother|sister|neighbou?r|fellow|companion|fellow \w+|other half)",
        by_fellow,
    ),
    Pattern(
        rf"{{target}} {{be}} {_SAFE} by {{number}} of (?:its|{{own}}|G.) (?:own )?(?:colleagues|partners|brothers|sisters|neighbou?rs|fellows|companions|comrades|fellow \w+|kind)",
        by_fellows,
    ),
    Pattern(
        r"{side} {have} {number} (?P<what>pieces|men|units|things)(?: that)? (?:on|against|around|attacking|defending|protecting|guarding|covering|hitting|attack|defend|protect|guard|cover|hit) (?:(?:the|G.) \w+ (?:on|at) |(?:the|G.) )?{square}(?: pawn| knight| bishop| rook| queen)?",
        side_count,
    ),
    Pattern(
        r"{target} {have} (?:any |other )*(?:defenders?|protectors?|guards?|protection|support|cover) (?:but|except|except for|other than|apart from|besides|save|beyond) {piece}",
        none_but,
        telling_not=True,
    ),
    Pattern(
        r"the only (?:(?:white|black|enemy) )?(?P<kind>piece|man|pawn|unit|thing)(?: of G.)? (?:that {be} )?(?:under (?:attack|fire)|attacked|hit)(?: by [SP].)? {be} {target}",
        only_attacked,
    ),
    Pattern(
        r"{target} {be} the only (?:(?:white|black|enemy) )?(?P<kind>piece|man|pawn|unit|thing)(?: of G.)? (?:that {be} )?(?:under (?:attack|fire)|attacked|hit)",
        only_attacked,
    ),
    Pattern(
        r"the only P. (?:that {be} )?(?:under (?:attack|fire)|attacked|hit) {be} {target}",
        only_attacked,
    ),
    Pattern(
        r"{piece} (?:defend|protect|support|cover|guard|back up|look after)s? (?:each other|one another)",
        each_other,
    ),
    Pattern(r"{piece} {be} (?:defended|protected|guarded) by each other", each_other),
    Pattern(
        r"{piece} {be} (?:the )?(?:only|sole) (?:defender|protector|guard|piece that defends|piece defending|piece protecting|piece that protects) (?:of )?{target}(?: has)?",
        sole_defender,
    ),
    Pattern(
        r"(?:the )?(?:only|sole) (?:defender|protector|guard) of {target} is {piece}", sole_defender
    ),
    Pattern(r"(?:the )?(?:only|sole) (?:attacker) of {target} is {piece}", sole_attacker),
    Pattern(
        r"{side} {have} {number} (?P<what>attackers?|pieces?|men|man|defenders?|protectors?|guards?) (?:on|of|against|for|around|attacking|defending|protecting|guarding|covering|hitting|attack|defend|protect|guard|cover|hit) {target}",
        side_count,
    ),
    Pattern(
        r"{number} (?:(?P<shade>white|black) )?pieces (?P<verb>attack|defend|protect|hit|guard|cover) {target}",
        pieces_count,
    ),
    Pattern(
        r"there are {number} (?P<what>attackers|defenders)(?: and {number2} (?P<other>defenders|attackers))? (?:on|of|around) {target}",
        counts,
    ),
    Pattern(
        r"{side} {have} {number} (?:hanging|loose|undefended|unprotected) (?P<kind>pieces?)",
        loose_count,
    ),
    Pattern(
        r"{side} {have} (?:a |any |some )?(?P<how>hanging|loose|undefended|unprotected) (?:pieces?|pieces or pawns)(?! on)",
        has_loose,
    ),
    Pattern(
        r"(?:nothing|none) of {whose}(?: pieces)? {be} (?P<how>hanging|loose|undefended|unprotected|attacked|en prise)",
        none_loose,
    ),
    Pattern(
        r"{piece} (?:attack|attacks|are attacking|hit|stare at|look at|eye|face|oppose|confront|glare at|are facing|are staring at|are looking at) (?:each other|one another)",
        attack_each,
    ),
    Pattern(
        r"{target} (?:has been|was|is) left (?:without (?:a |any )?(?:cover|protection|defender|support|defence)|to its fate|unprotected|undefended)",
        undefended,
    ),
    Pattern(r"{piece} {be} (?:right |directly |immediately )?in front of {piece2}", in_front),
    Pattern(
        r"{side} (?:puts?|trains?|aims?|directs?|points?|is aiming|concentrates|brings) {number} pieces (?:on|at|against|to bear on) {target}",
        side_count,
    ),
    Pattern(
        r"{side} {have} (?:more|(?P<fewer>fewer)) (?P<what>attackers|defenders|pieces) (?:on|around|of|bearing on) {target} than {side2}",
        side_more,
    ),
    Pattern(
        r"{target} {be} (?:under ?defended|under (?:defended|protected|guarded)|underprotected|insufficiently (?:defended|protected|guarded)|outnumbered)",
        too_few,
    ),
    Pattern(r"{target} {have} (?:too few|not enough|more attackers than) defenders", too_few),
    Pattern(
        r"{target} {have} more (?P<first>attackers|defenders) than (?:attackers|defenders)", too_few
    ),
    Pattern(r"{piece} (?:has|have) (?:attacked|hit|challenged|targeted) {target}", has_attacked),
    Pattern(
        rf"(?:nothing|none) of {{whose}}(?: (?:pieces|men|forces|army))? (?:can )?{_SAVES} {{target}}",
        lambda said: side_defends(said.of_whose()),
        against=True,
    ),
    Pattern(
        rf"(?:nothing|none) of {{whose}}(?: (?:pieces|men|forces|army))? (?:can )?{_HITS} {{target}}",
        lambda said: side_attacks(said.of_whose()),
        against=True,
    ),
    Pattern(
        r"{target} (?:has|have) (?:nowhere|anywhere|somewhere|no place|any place) (?:safe )?(?:left )?to (?:go|run|hide|retreat|turn|flee|run to|escape)(?: to)?",
        has_place,
    ),
    Pattern(
        r"{piece} (?:keeps?|bars?|shuts?|locks?) {piece2} (?:out of|from|away from|off) {square}",
        keeps_out,
    ),
    Pattern(
        rf"{{piece}} {_HITS} {{target}} (?:along|down|across|up|on) (?:the )?(?:(?:same |open |long )?(?P<line>rank|file|diagonal)|{{rank}}|{{file}}|{{diagonal}})",
        attacks_along,
    ),
    Pattern(
        rf"{{piece}} {_SAVES} {{target}} (?:along|down|across|up|on) (?:the )?(?:(?:same |open |long )?(?P<line>rank|file|diagonal)|{{rank}}|{{file}}|{{diagonal}})",
        defends_along,
    ),
    Pattern(
        r"{piece} {be} (?:lined up|trained|aimed|pointed|pointing|massed|concentrated|directed|ranged|bearing|focused) (?:against|on|at|towards|upon|down on) {target}",
        lined_up,
    ),
    Pattern(
        r"{piece} (?:line up|point|aim|bear down|converge|bear) (?:against|on|at|towards) {target}",
        lined_up,
    ),
    Pattern(
        rf"{{target}} {{be}} {_SAFE} by (?:anybody|anyone|somebody|someone|one of {{own}} own)",
        is_defended,
    ),
    Pattern(rf"{{target}} {{be}} {_HIT} by (?:anybody|anyone|somebody|someone)", is_attacked),
    Pattern(
        r"{piece} (?:can|could|may|might|is able to) (?:take|capture|grab|win|snatch) {target} with (?:a )?check",
        takes_with_check,
    ),
    Pattern(
        r"{piece} (?:may|might|is able to|is free to|are able to) (?:take|capture|grab|snatch) {target}",
        can_take,
    ),
    Pattern(
        r"{piece} {have} (?:its|{own}) (?:way|path|diagonal|road|view|line|progress) (?:barred|blocked|obstructed|closed|shut) by {piece2}",
        lambda said: blocks(_swapped(said)),
    ),
    Pattern(
        rf"{{target}} {{be}} (?:well|amply|sufficiently|adequately|solidly|reliably|enough) {_SAFE}",
        well_defended,
    ),
    Pattern(
        r"{target} {be} (?:in|within) (?:the )?(?:sights?|range|reach|firing line|line of fire|view) of {piece}",
        is_attacked,
    ),
    Pattern(r"{piece} (?:can|could|may) (?:take|capture) on {square}", takes_on),
    Pattern(
        r"{piece} (?:can|could|may|is able to) (?:take|capture|grab|snatch|win) {target} (?:without (?:being recaptured|being taken back|loss|punishment|any risk|risk|fear)|for free|free of charge|for nothing|with impunity|safely)",
        takes_safely,
    ),
)
