"""Squares: holes, outposts, weak squares, who controls what and how often, the centre.

Definitions: a hole is a square in a side's own camp that none of its pawns can ever guard
(Steinitz, The Modern Chess Instructor). An outpost lies in the enemy half, is guarded by an own
pawn and safe from enemy pawns for ever (Nimzowitsch, My System). Control is counted in pieces
that bear on the square, pinned or not.

    after 1.e4 c5 2.Nf3 Nc6 3.d4 cxd4 4.Nxd4 Nf6 5.Nc3 e5 6.Ndb5 d6:
        holds: there is a hole on d5
        holds: Black has a hole on d5
        fails: White has a hole on d5
        holds: Black can no longer cover d5 with a pawn
        holds: White controls d5 three times
        holds: White has more control over d5 than Black
        fails: Black controls d5 more often than White
        left alone: weak squares are holes in the wall
        left alone: White dreams of an outpost
    after 1.e4 e5 2.Nf3 Nc6:
        holds: White has a pawn in the centre
        holds: d4 is empty
        fails: e5 is empty
        fails: e5 is occupied by White
    FEN 4k3/8/5n2/8/8/8/PP4PP/4K3 b - - 0 1:
        holds: The knight comes to e5 and no white pawn can ever chase it from there.
        fails: The knight goes to h5, where no white pawn can ever chase it.
"""

from __future__ import annotations

import re
from dataclasses import replace

import chess

from linewright import facts
from linewright.board_words import (
    MEN_OF_KIND,
    kind_and_square,
    listed,
    names,
    piece_on,
    several,
    square,
)
from linewright.expressions import expression
from linewright.judging import Fact, Pattern, Said
from linewright.moves import PIECE_TYPES, side_name

FAMILY = "squares"


def _hit_text(said: Said, at: chess.Square, colour: chess.Color) -> str:
    if facts.pawn_can_guard(said.board, colour, at):
        return f"{side_name(colour)} can still attack {piece_on(said.board, at)} with a pawn"
    return f"{side_name(colour)} has no pawn that can ever attack {piece_on(said.board, at)}"


def _guard_text(said: Said, at: chess.Square, colour: chess.Color) -> str:
    can = facts.pawn_can_guard(said.board, colour, at)
    if can:
        return f"{side_name(colour)} can still bring a pawn to guard {square(at)}"
    return f"{side_name(colour)} has no pawn that can ever guard {square(at)}"


def _side_for_hole(said: Said, at: chess.Square) -> chess.Color:
    """Whose camp a square is in: White's up to the fourth rank, Black's from the fifth."""
    return chess.square_rank(at) < 4


def is_hole(said: Said) -> Fact:
    """Whether a square is a hole (in the camp of the side named, or of the one it lies in)."""
    at = said.at("square")
    name = "whose" if "whose" in said else "side"
    colour = said.side(name) if name in said else _side_for_hole(said, at)
    true = facts.is_hole(said.board, colour, at)
    return Fact(true, _guard_text(said, at, colour), names([at]))


def weak_square(said: Said) -> Fact:
    """Whether a square can no longer be guarded by a pawn of the side it belongs to."""
    at = said.at("square")
    name = "whose" if "whose" in said else "side"
    colour = said.side(name) if name in said else _side_for_hole(said, at)
    true = not facts.pawn_can_guard(said.board, colour, at)
    return Fact(true, _guard_text(said, at, colour), names([at]))


def any_hole(said: Said) -> Fact:
    """Whether a side has holes in its camp."""
    name = "whose" if "whose" in said else "side"
    colour = said.side(name)
    found = facts.holes(said.board, colour)
    return Fact(
        bool(found), f"holes in {side_name(colour)}'s camp: {listed(names(found))}", names(found)
    )


def outpost(said: Said) -> Fact:
    """Whether a square is an outpost for a side (for either, if none is named)."""
    at = said.at("square")
    colours = [said.side()] if "side" in said else [chess.WHITE, chess.BLACK]
    for colour in colours:
        found = facts.outpost(said.board, colour, at)
        if found:
            guards = listed(names(found.guards))
            return Fact(
                True,
                f"{square(at)} is guarded by the pawn on {guards} and no enemy pawn can attack it",
                names((at, *found.guards)),
            )
    colour = colours[0] if len(colours) == 1 else chess.square_rank(at) >= 4
    if facts.pawn_can_guard(said.board, not colour, at):
        return Fact(
            False, f"{side_name(not colour)} can attack {square(at)} with a pawn", names([at])
        )
    return Fact(False, f"no pawn of {side_name(colour)}'s guards {square(at)}", names([at]))


def piece_on_outpost(said: Said) -> Fact | None:
    """Whether a piece stands on an outpost."""
    at = said.at("piece")
    colour = said.board.color_at(at)
    if colour is None:
        return None
    found = facts.outpost(said.board, colour, at)
    if found:
        return Fact(
            True,
            f"{piece_on(said.board, at)} is guarded by the pawn on "
            f"{listed(names(found.guards))} and no enemy pawn can attack it",
            names([at]),
        )
    if facts.pawn_can_guard(said.board, not colour, at):
        return Fact(
            False, f"{side_name(not colour)} can attack {square(at)} with a pawn", names([at])
        )
    return Fact(False, f"no pawn guards {piece_on(said.board, at)}", names([at]))


def any_outpost(said: Said) -> Fact:
    """Whether a side has an outpost for a knight."""
    found = [o.square for o in facts.outposts(said.board, said.side())]
    return Fact(
        bool(found), f"outposts of {side_name(said.side())}: {listed(names(found))}", names(found)
    )


def pawn_cover(said: Said) -> Fact:
    """Whether a side's pawns could still guard a square."""
    at = said.at("square")
    return Fact(
        facts.pawn_can_guard(said.board, said.side(), at),
        _guard_text(said, at, said.side()),
        names([at]),
    )


def _control_text(said: Said, at: chess.Square) -> str:
    state = facts.control(said.board, at)
    return (
        f"{square(at)}: White bears on it {len(state.white)} times, Black {len(state.black)}".replace(
            "1 times", "once"
        )
        .replace("2 times", "twice")
        .replace("0 times", "not at all")
    )


def controls(said: Said) -> Fact:
    """Whether a side bears on a square (so often; more often than the other)."""
    at = said.at("square")
    colour = said.side()
    mine = facts.control(said.board, at).of(colour)
    if "number" in said:
        behind = facts.attackers_through(said.board, colour, at)
        true = said.number() in {len(mine), len(mine) + len(behind)}
    elif said.word("more"):
        true = facts.more_control(said.board, at) is colour
    else:
        true = bool(mine)
    return Fact(true, _control_text(said, at), names((at, *mine)))


def more_control(said: Said) -> Fact | None:
    """Whether a side bears on a square more often than the other."""
    at = said.at("square")
    if facts.more_control(said.board, at) is None and "more" not in said.original:
        return None  # whose a contested square is, is a matter of opinion
    return Fact(
        facts.more_control(said.board, at) is said.side(), _control_text(said, at), names([at])
    )


def equal_control(said: Said) -> Fact:
    """Whether both sides bear on a square as often."""
    at = said.at("square")
    return Fact(facts.more_control(said.board, at) is None, _control_text(said, at), names([at]))


def piece_controls(said: Said) -> Fact | None:
    """Whether a piece bears on a square."""
    source, at = said.at("piece"), said.at("square")
    piece = said.board.piece_at(source)
    if piece is None or source == at:
        return None
    phrase = said.phrases["piece"]
    if phrase.plural and not (phrase.squares or phrase.files or phrase.parts):
        return _pieces_control(said, piece, at)
    true = facts.attacks(said.board, source, at)
    does = "bears on" if true else "does not bear on"
    return Fact(true, f"{piece_on(said.board, source)} {does} {square(at)}", names((source, at)))


def _pieces_control(said: Said, piece: chess.Piece, at: chess.Square) -> Fact:
    """Of pieces named together ("White's pawns") one that bears on the square is enough."""
    found = [
        s
        for s in facts.attackers(said.board, piece.color, at)
        if said.board.piece_type_at(s) == piece.piece_type
    ]
    kind = f"{side_name(piece.color)}'s {chess.piece_name(piece.piece_type)}s"
    text = f"of {kind} {listed(names(found))} bear on {square(at)}"
    return Fact(bool(found), text, names((at, *found)))


def empty(said: Said) -> Fact:
    """Whether a square is empty."""
    at = said.at("square")
    piece = said.board.piece_at(at)
    text = f"there is a {kind_and_square(said.board, at)}" if piece else f"{square(at)} is empty"
    return Fact(piece is None, text, names([at]))


def occupied(said: Said) -> Fact:
    """Whether a square is occupied (by the side, or the kind of man, named)."""
    at = said.at("square")
    piece = said.board.piece_at(at)
    true = piece is not None
    if "side" in said or "whose" in said:
        true = piece is not None and piece.color == said.side()
    if said.word("man").strip():
        true = (
            true and piece is not None and piece.piece_type == PIECE_TYPES[said.word("man").strip()]
        )
        if said.word("shade"):
            true = true and piece is not None and piece.color == (said.word("shade") == "white")
    text = (
        f"{'White' if piece.color else 'Black'}'s {kind_and_square(said.board, at)}"
        if piece
        else (f"{square(at)} is empty")
    )
    return Fact(true, text, names([at]))


_WIDE_CENTRE = chess.SquareSet(chess.parse_square(f + r) for f in "cdef" for r in "45")


def in_centre(said: Said) -> Fact:
    """Whether a side has (so many) pawns on e4, d4, e5, d5."""
    found = facts.centre(said.board, said.side())
    squares = found.pawns if said.word("man").startswith("pawn") else found.pieces
    true = len(squares) == said.number() if "number" in said else bool(squares)
    if not true and said.word("man").startswith("pawn") and "number" in said:
        own = facts.pawns(said.board, said.side())
        wide = tuple(s for s in own if s in _WIDE_CENTRE)  # with the c- and f-pawns beside them
        files = tuple(s for s in own if chess.square_file(s) in {3, 4})  # wherever they stand
        fitting = next((found for found in (wide, files) if len(found) == said.number()), None)
        true = fitting is not None
        squares = fitting or squares
    what = several(len(squares), said.word("man").rstrip("s"))
    return Fact(
        true,
        f"{side_name(said.side())} has {what} in the centre: {listed(names(squares))}",
        names(squares),
    )


def more_centre(said: Said) -> Fact:
    """Whether a side has more in and on the centre than the other."""
    mine, yours = (facts.centre(said.board, c) for c in (said.side(), not said.side()))
    worth = [2 * len(c.pawns) + c.hits for c in (mine, yours)]
    text = (
        f"{side_name(said.side())}: {several(len(mine.pawns), 'pawn')} there, {mine.hits} attacks on it; "
        f"{side_name(not said.side())}: {several(len(yours.pawns), 'pawn')}, {yours.hits} attacks"
    )
    if worth[0] == worth[1] or (len(mine.pawns) - len(yours.pawns)) * (mine.hits - yours.hits) < 0:
        return Fact(None, f"a matter of opinion: {text}")
    return Fact(worth[0] > worth[1], text)


def centre_closed(said: Said) -> Fact:
    """Whether the centre is closed: d- and e-pawns block each other, or one pair and none can take."""
    rams = [r for r in facts.rams(said.board) if chess.square_file(r[0]) in {3, 4}]
    levers = [
        p
        for p in facts.levers(said.board)
        if {chess.square_file(p[0]), chess.square_file(p[1])} & {3, 4}
    ]
    text = (
        "; ".join(f"{square(a)} and {square(b)} block each other" for a, b in rams)
        or "no blocked pair"
    )
    blocked = len({chess.square_file(a) for a, _ in rams}) == 2 or (rams and not levers)
    return Fact(bool(blocked), f"centre: {text}", names(s for r in rams for s in r))


def pawn_can_hit(said: Said) -> Fact | None:
    """Whether an enemy pawn could ever attack a piece where it stands."""
    at = said.at("piece")
    colour = said.board.color_at(at)
    if colour is None or said.board.piece_type_at(said.at("piece2")) != chess.PAWN:
        return None
    if said.board.color_at(said.at("piece2")) == colour:
        return None
    if said.phrases["piece"].determiner in {"a", "an", "any"} and not said.phrases["piece"].squares:
        return None
    if "square" in said and said.at("square") != at:
        return None
    return _this_pawn_hits(said) or _pawn_can_hit(said)


def pawn_can_hit_there(said: Said) -> Fact | None:
    """Whether an enemy pawn could ever attack a square that a piece is said to go to."""
    at, pawn = said.at("square"), said.at("piece2")
    colour = said.board.color_at(pawn)
    if said.board.piece_type_at(pawn) != chess.PAWN or said.phrases["piece3"].determiner != "it":
        return None
    if colour is None or colour == said.board.color_at(said.at("piece")):
        return None
    return Fact(
        facts.pawn_can_guard(said.board, colour, at), _guard_text(said, at, colour), names([at])
    )


def shade_pawn(said: Said) -> Fact:
    """Whether a pawn of the colour named (or of the side in whose camp it lies) could guard it."""
    at = said.at("square")
    shade = said.word("shade")
    colour = shade == "white" if shade in {"white", "black"} else _side_for_hole(said, at)
    return Fact(
        facts.pawn_can_guard(said.board, colour, at), _guard_text(said, at, colour), names([at])
    )


def centralised(said: Said) -> Fact | None:
    """Whether a piece stands on one of the sixteen squares of the wide centre."""
    at = said.at("piece")
    if said.board.piece_at(at) is None:
        return None
    true = 2 <= chess.square_file(at) <= 5 and 2 <= chess.square_rank(at) <= 5
    if "square" in said:
        true = true and said.at("square") == at
    return Fact(true, piece_on(said.board, at), names([at]))


_MEN = r"(?:pieces|men|units|attackers|guards|pieces and pawns|defenders|helpers|fighters)"
_BEARING = (
    r"(?:bearing on|aimed at|aiming at|trained on|looking at|controlling|covering|watching|eyeing|guarding|"
    r"that (?:control|cover|watch|guard|bear on|look at)|pointing at|directed at|that hit|hitting|fighting for)"
)
_SQ = r"(?:the )?(?:square |point )?{square}"
_CTRL = (
    r"(?:controls?|covers?|commands?|eye|guard|watch|look at|looks at|looks after|looks down on|has (?:an )?influence on|fights for|fight for|has control (?:of|over)|bears? on|has a grip on|keeps control of|"
    r"keeps a grip on|watches|guards|eyes|aims at|has a hold on|keeps an eye on|attacks|exerts control over|dominates|overlooks)"
)


def _pawn_can_hit(said: Said) -> Fact | None:
    """Whether an enemy pawn could ever (or at once) attack a piece where it stands."""
    at = said.at("piece")
    colour = said.board.color_at(at)
    if colour is None:
        return None
    if _AT_ONCE.search(f"{said.original} {said.trailing}"):
        return _hit_at_once(said, at, not colour)
    true = facts.pawn_can_guard(said.board, not colour, at)
    return Fact(true, _hit_text(said, at, not colour), names([at]))


_AT_ONCE = expression(
    r"\b(?:at once|immediately|right away|straight ?away|at the moment|for now|now)\b"
)


def _hit_at_once(said: Said, at: chess.Square, colour: chess.Color) -> Fact:
    """Whether a pawn of a side attacks a piece, or can with its next move."""
    board = facts.to_move(said.board, colour)
    hits = [s for s in facts.attackers(board, colour, at) if s in board.pieces(chess.PAWN, colour)]
    moves = [
        m.to_square
        for m in board.generate_pseudo_legal_moves(board.pawns)
        if at in chess.SquareSet(chess.BB_PAWN_ATTACKS[colour][m.to_square])
    ]
    found = sorted({*hits, *moves})
    text = f"{side_name(colour)} can attack {square(at)} with a pawn from {listed(names(found))}"
    if not found:
        text = f"no pawn of {side_name(colour)}'s can attack {square(at)} with its next move"
    return Fact(bool(found), text, names((at, *found)))


def drives(said: Said) -> Fact | None:
    """Whether a side's pawns could ever attack a piece where it stands."""
    at = said.at("piece")
    if said.board.color_at(at) in {None, said.side()}:
        return None
    if "square" in said and said.at("square") != at:
        return None
    if "piece2" in said and said.board.piece_type_at(said.at("piece2")) != chess.PAWN:
        return None
    return _this_pawn_hits(said) or _pawn_can_hit(said)


def _this_pawn_hits(said: Said) -> Fact | None:
    """That the pawn named cannot come to attack a piece by its own steps, where it cannot."""
    if "piece2" not in said or not (said.phrases["piece2"].files or said.phrases["piece2"].squares):
        return None
    pawn, at = said.at("piece2"), said.at("piece")
    up = 1 if said.board.color_at(pawn) else -1
    steps = up * (chess.square_rank(at) - chess.square_rank(pawn))
    beside = abs(chess.square_file(at) - chess.square_file(pawn)) == 1
    if beside and steps > 0:
        return None
    text = f"{piece_on(said.board, pawn)} cannot come to attack {square(at)}"
    return Fact(False, text, names((pawn, at)))


def by_pawn(said: Said) -> Fact:
    """Whether a pawn of either side guards a square."""
    at = said.at("square")
    pawns = [
        s
        for c in chess.COLORS
        for s in facts.attackers(said.board, c, at)
        if said.board.piece_type_at(s) == chess.PAWN
    ]
    return Fact(bool(pawns), f"pawns that guard {square(at)}: {listed(names(pawns))}", names(pawns))


def denied(said: Said) -> Fact | None:
    """Whether the enemy covers a square, so that a piece cannot safely go there."""
    at, where = said.at("piece"), said.at("square")
    colour = said.board.color_at(at)
    if colour is None:
        return None
    guards = facts.attackers(said.board, not colour, where)
    text = f"{square(where)} is covered by {listed(piece_on(said.board, s) for s in guards)}"
    return Fact(bool(guards), text.replace("by none", "by nothing"), names((where, *guards)))


def denies_side(said: Said) -> Fact | None:
    """Whether a piece covers a square that the other side would use."""
    at, where = said.at("piece"), said.at("square")
    if said.board.color_at(at) is None:
        return None
    if "side" in said and said.board.color_at(at) == said.side():
        return None
    true = facts.attacks(said.board, at, where)
    does = "covers" if true else "does not cover"
    return Fact(true, f"{piece_on(said.board, at)} {does} {square(where)}", names((at, where)))


def _queening_squares(board: chess.Board, colour: chess.Color | None) -> dict[int, int]:
    """The squares where passed pawns become queens, each with the pawn."""
    sides = chess.COLORS if colour is None else (colour,)
    return {
        chess.square(chess.square_file(s), 7 if c else 0): s
        for c in sides
        for s in facts.passed(board, c)
    }


def _queening_text(found: dict[int, int]) -> str:
    told = (f"the pawn on {square(s)} queens on {square(at)}" for at, s in found.items())
    return "; ".join(told) or "no pawn is passed"


def queening(said: Said) -> Fact:
    """Whether a passed pawn becomes a queen on a square."""
    found = _queening_squares(said.board, None)
    at = said.at("square")
    return Fact(at in found, _queening_text(found), names(s for p in found.items() for s in p))


def queening_covered(said: Said) -> Fact | None:
    """Whether a piece covers the square where the one passed pawn becomes a queen."""
    colour = said.side("whose") if "whose" in said else None
    found = _queening_squares(said.board, colour)
    if len(found) != 1:
        return None
    at = said.at("piece")
    (goal,) = found
    true = facts.attacks(said.board, at, goal)
    does = "covers" if true else "does not cover"
    return Fact(true, f"{piece_on(said.board, at)} {does} {square(goal)}", names((at, goal)))


def on_the_rim(said: Said) -> Fact | None:
    """Whether a piece stands on the edge of the board."""
    at = said.at("piece")
    if said.board.color_at(at) is None:
        return None
    true = chess.square_file(at) in {0, 7} or chess.square_rank(at) in {0, 7}
    return Fact(true, piece_on(said.board, at), names([at]))


_IMAGINED = r"(?:knight|bishop|rook|queen|piece|king)s?"
_DRIVE = r"(?:drive|chase|kick|push|attack|hit|disturb|bother|challenge|dislodge|harass|trouble|remove|evict|throw)"
_DRIVEN = r"(?:driven|chased|kicked|pushed|attacked|hit|disturbed|bothered|challenged|dislodged|harassed|troubled|removed|evicted|thrown)"
_NOW = r"(?: (?:next|next move|at once|now|immediately|in one move|this move|right away|straight away))?"


def _defender_of(said: Said, at: chess.Square) -> chess.Color:
    """Whose pawns may attack a square: those named, else of whom does not stand there."""
    colour = said.word("colour")
    if colour in {"black", "white"}:
        return colour == "white"
    for name in ("side", "whose2", "whose"):
        if name in said.values:
            return said.side(name) if name != "whose" else _of_imagined(said)
    owner = said.board.color_at(at)
    return chess.square_rank(at) < 4 if owner is None else not owner


def _of_imagined(said: Said) -> chess.Color:
    """Whose pawns they are where "whose" tells of the piece, or of the pawns, by its place."""
    whose = said.phrases["whose"]
    pawns = said.original.lower().find("pawn")
    return said.side("whose") if whose.start > pawns > -1 else not said.side("whose")


def pawn_hits_imagined(said: Said) -> Fact | None:
    """Whether a pawn could ever attack a piece on a square, whether or not one stands there."""
    at = said.at("square")
    colour = _defender_of(said, at)
    if "whose" in said.values and said.phrases["whose"].start > said.phrases["square"].start:
        colour = said.side("whose")
    if _AT_ONCE.search(f"{said.original} {said.trailing}"):
        return _hit_at_once(said, at, colour)
    true = facts.pawn_can_guard(said.board, colour, at)
    return Fact(true, _guard_text(said, at, colour), names([at]))


def pawn_hits_piece(said: Said) -> Fact | None:
    """Whether an enemy pawn could ever attack a piece."""
    owner = said.board.color_at(said.at("piece"))
    if owner is None:
        return None
    for name in ("side", "whose"):
        if name in said.values and said.side(name) == owner:
            return None
    return _pawn_can_hit(said)


def pawn_guards_target(said: Said) -> Fact | None:
    """Whether a pawn (of the side told) could ever guard a square or piece."""
    at = said.at("target")
    return pawn_ever_covers(replace(said, values={**said.values, "square": at}))


def any_pawn_covers(said: Said) -> Fact:
    """Whether any of a side's pawns covers a square (could ever cover it, after "can")."""
    at, colour = said.at("square"), said.side("whose")
    if re.search(r"\b(?:can|could|will|ever)\b", said.original):
        true = facts.pawn_can_guard(said.board, colour, at)
        text = _guard_text(said, at, colour)
    else:
        found = [
            s
            for s in facts.attackers(said.board, colour, at)
            if said.board.piece_type_at(s) == chess.PAWN
        ]
        true = bool(found)
        text = f"pawns of {side_name(colour)}'s that cover {square(at)}: {listed(names(found)) or 'none'}"
    none = said.word("none") in {"none", "not one"}
    return Fact(true != none, text, names([at]))


def pawn_ever_covers(said: Said) -> Fact | None:
    """Whether a pawn (of the side told) could ever cover a square."""
    at = said.at("square")
    owner = said.board.color_at(at)
    if said.word("colour"):
        colour = said.word("colour") == "white"
    elif "side" in said.values or "whose" in said.values:
        colour = said.side("side" if "side" in said.values else "whose")
    elif owner is not None and re.search(r"defend|protect|support|guard|cover", said.original):
        colour = owner
    elif owner is not None:
        colour = not owner
    else:
        return None
    true = facts.pawn_can_guard(said.board, colour, at)
    return Fact(true, _guard_text(said, at, colour), names([at]))


def that_pawn_ever_covers(said: Said) -> Fact | None:
    """Whether the pawn named could ever cover a square, by advancing and without taking."""
    at, goal = said.at("piece"), said.at("square")
    pawn = said.board.piece_at(at)
    if pawn is None or pawn.piece_type != chess.PAWN:
        return None
    beside = abs(chess.square_file(at) - chess.square_file(goal)) == 1
    ahead = (chess.square_rank(goal) - chess.square_rank(at)) * (1 if pawn.color else -1)
    text = f"the pawn on {square(at)} {'can' if beside and ahead > 0 else 'cannot'} come to cover {square(goal)}"
    return Fact(beside and ahead > 0, text, names((at, goal)))


def covered_by_kind(said: Said) -> Fact:
    """Whether so many men of a side, of the kind named, cover a square."""
    at, colour = said.at("square"), said.word("colour") == "white"
    kind = said.word("kind")
    wanted = None if kind in {"piece", "man", "unit"} else chess.PIECE_NAMES.index(kind)
    found = [
        s
        for s in facts.attackers(said.board, colour, at)
        if wanted in {None, said.board.piece_type_at(s)}
    ]
    text = f"{square(at)} is covered by {side_name(colour)}'s {kind}s on {listed(names(found))}"
    text = text if found else f"no {kind} of {side_name(colour)}'s covers {square(at)}"
    return Fact(len(found) == said.number(), text, names((at, *found)))


def own_pawn_ever_covers(said: Said) -> Fact | None:
    """Whether a pawn of its side could ever guard a piece."""
    at = said.at("piece")
    owner = said.board.color_at(at)
    if owner is None:
        return None
    true = facts.pawn_can_guard(said.board, owner, at)
    return Fact(true, _guard_text(said, at, owner), names([at]))


def _least_moves(board: chess.Board, at: chess.Square, to: chess.Square) -> int | None:
    """The fewest moves of a piece to a square if all other men stay; None if more than four."""
    piece = board.piece_at(at)
    if piece is None:
        return None
    free = board.copy(stack=False)
    free.remove_piece_at(at)
    reached, edge = {at}, {at}
    for moves in range(1, 5):
        following: set[chess.Square] = set()
        for source in edge:
            free.set_piece_at(source, piece)
            if piece.piece_type == chess.PAWN:
                free.turn = piece.color
                targets = {
                    m.to_square for m in free.generate_pseudo_legal_moves(chess.BB_SQUARES[source])
                }
            else:
                own = chess.SquareSet(board.occupied_co[piece.color])
                targets = set(free.attacks(source) - own)
            free.remove_piece_at(source)
            following |= {t for t in targets if t == to or board.piece_at(t) is None}
        if to in following:
            return moves
        edge = following - reached
        reached |= edge
    return None


def _reach(said: Said) -> tuple[int | None, str]:
    at, to = said.at("piece"), said.at("square")
    least = _least_moves(said.board, at, to)
    text = (
        f"{piece_on(said.board, at)} needs {several(least, 'move')} to reach {square(to)}"
        if (least)
        else f"{piece_on(said.board, at)} does not reach {square(to)} in four moves"
    )
    return least, text


def reaches_in(said: Said) -> Fact | None:
    """Whether a piece can reach a square in so many moves (or fewer)."""
    if said.board.color_at(said.at("piece")) is None:
        return None
    least, text = _reach(said)
    if said.number() > 4 and least is None:
        return None
    return Fact(least is not None and least <= said.number(), text)


def can_come_out(said: Said) -> Fact | None:
    """Whether a piece can go to a square (or to both named) with one move."""
    if said.board.color_at(said.at("piece")) is None:
        return None
    least, text = _reach(said)
    if "square2" in said.values and least == 1:
        least, text = _reach(replace(said, values={**said.values, "square": said.at("square2")}))
    return Fact(least == 1, text)


def reaches_in_least(said: Said) -> Fact | None:
    """Whether a piece needs just so many moves to a square."""
    if said.board.color_at(said.at("piece")) is None or said.number() > 4:
        return None
    least, text = _reach(said)
    return Fact(least == said.number(), text)


def can_put(said: Said) -> Fact | None:
    """Whether a side has a move with such a piece to a square; to use it, one where no enemy pawn
    takes it."""
    if said.board.turn != said.side() and said.board.is_check():
        return None
    board = facts.to_move(said.board, said.side())
    kinds = MEN_OF_KIND.get(said.word("kind"), MEN_OF_KIND["man"])
    to = said.at("square")
    found = [
        m
        for m in board.legal_moves
        if m.to_square == to and board.piece_type_at(m.from_square) in kinds
    ]
    sans = listed([board.san(m) for m in found[:3]]) if found else "no such move"
    text = f"{side_name(said.side())} has {sans}"
    if "stays" not in said:
        return Fact(bool(found), text, names([to]))
    guards = [
        s for s in board.attackers(not said.side(), to) if s in board.pieces(1, not said.side())
    ]
    if guards:
        text = f"{piece_on(board, guards[0])} guards {square(to)}"
    return Fact(bool(found) and not guards, text, names((to, *guards)))


def controls_at_all(said: Said) -> Fact:
    """Whether a side bears on a square, and the other not more often."""
    at = said.at("square")
    control = facts.control(said.board, at)
    mine, yours = control.of(said.side()), control.of(not said.side())
    return Fact(bool(mine) and len(mine) >= len(yours), _control_text(said, at), names((at, *mine)))


def only_side_controls(said: Said) -> Fact | None:
    """Whether a side bears on a square and the other does not, if "only" or "alone" is said."""
    at = said.at("square")
    if not re.search(r"\b(?:only|alone)\b", said.original.lower()):
        return None
    control = facts.control(said.board, at)
    true = bool(control.of(said.side())) and not control.of(not said.side())
    return Fact(true, _control_text(said, at), names([at]))


def anything_of_controls(said: Said) -> Fact:
    """Whether anything of a side's bears on a square."""
    at = said.at("square")
    mine = facts.control(said.board, at).of(said.side("whose"))
    nothing = said.original.lower().startswith("nothing")
    return Fact(bool(mine) != nothing, _control_text(said, at), names((at, *mine)))


def with_piece_controls(said: Said) -> Fact:
    """Whether a side bears on a square with the piece named."""
    at, kind = said.at("square"), said.word("kind")
    mine = [
        s
        for s in facts.control(said.board, at).of(said.side())
        if chess.piece_name(said.board.piece_type_at(s) or chess.PAWN) == kind
        and ("square2" not in said.values or s == said.at("square2"))
    ]
    text = f"{side_name(said.side())}'s {kind}s that bear on {square(at)}: {listed(names(mine)) or 'none'}"
    return Fact(bool(mine), text, names((at, *mine)))


def outpost_of_piece(said: Said) -> Fact | None:
    """Whether a square is an outpost for the side of a piece."""
    colour = said.board.color_at(said.at("piece"))
    if colour is None:
        return None
    return outpost(replace(said, values={**said.values, "side": colour}))


def _with_whose(said: Said) -> Said:
    if "whose" in said.values and "side" not in said.values:
        return said.of_whose()
    return said


def square_before(said: Said) -> Fact | None:
    """Whether a square is the one before a pawn or piece."""
    at = said.at("piece")
    colour = said.board.color_at(at)
    if colour is None:
        return None
    ahead = at + (8 if colour else -8)
    if not 0 <= ahead < 64:
        return None
    text = f"before {piece_on(said.board, at)} is {square(ahead)}"
    return Fact(said.at("square") == ahead, text, names((at, ahead)))


def number_on_square(said: Said) -> Fact:
    """Whether a side bears on a square with so many men."""
    at = said.at("square")
    mine = list(facts.control(said.board, at).of(said.side()))
    if said.word("sort") == "pawns":
        mine = [s for s in mine if said.board.piece_type_at(s) == chess.PAWN]
    return Fact(len(mine) == said.number(), _control_text(said, at), names((at, *mine)))


PATTERNS = (
    Pattern(
        r"{square} (?:{be}) (?:controlled|covered|guarded|watched|supported|attacked|hit|defended|protected) {number} times by (?:an? |{number2} )?(?P<colour>white|black) (?P<kind>pawn|knight|bishop|rook|queen|king|piece|man|unit)s?",
        covered_by_kind,
    ),
    Pattern(
        r"{square} (?:{be}) (?:controlled|covered|guarded|watched|supported) by {number} (?P<colour>white|black) (?P<kind>pawn|knight|bishop|rook|queen|king|piece|man|unit)s?",
        covered_by_kind,
    ),
    Pattern(
        r"{piece} (?:can|could) (?:ever |still |yet |one day |always )?(?:be used to |come to )?(?:cover|guard|defend|protect|control|contest|challenge) {square}(?: again| one day)?",
        that_pawn_ever_covers,
    ),
    Pattern(
        r"(?:there is|we have) (?:a |an )?(?:big |gaping |permanent |nasty |terrible |deep )*(?:hole|weak spot|weak point|soft spot|gap) (?:on|at) {square}"
        r"(?: in {whose} (?:camp|position|structure|territory))?",
        is_hole,
    ),
    Pattern(
        r"{side} {have} (?:a |an )?(?:\w+ ){0,2}hole (?:on|at) {square}(?: in {own} (?:camp|position|structure|territory))?",
        is_hole,
    ),
    Pattern(
        r"{square} {be} (?:a|an) (?:big |gaping |permanent |nasty |terrible |deep |serious |real )*hole"
        r"(?: in {whose} (?:camp|position|structure|territory)| for {side})?",
        is_hole,
    ),
    Pattern(
        r"{square} {be} (?:a |an |permanently |chronically )?(?:permanent |chronic |serious |real )*(?:weak square|weakness|"
        r"weakened)(?: in {whose} (?:camp|position|structure|territory)| for {side})?",
        weak_square,
    ),
    Pattern(
        r"{side} {have} (?:a |an )?(?:permanent |chronic |serious |real )*(?:weak square|weakness) (?:on|at) {square}",
        weak_square,
    ),
    Pattern(
        r"{side} {have} (?:a |any |some |several )?(?:holes?)(?: in {own} (?:camp|position))?(?! (?:on|at))",
        any_hole,
    ),
    Pattern(
        r"there (?:is|are) (?:a |any |some |several )?holes? in {whose} (?:camp|position|territory|structure)",
        any_hole,
    ),
    Pattern(
        r"{side} {have} (?:a |an |the )?(?:fine |good |great |strong |perfect |wonderful |ideal |secure |"
        r"permanent |beautiful |magnificent |super |lovely )*(?:outpost|stronghold|strong point|strongpoint|foothold) (?:on|at) {square}",
        outpost,
    ),
    Pattern(
        r"{square} {be} (?:a |an |the )?(?:fine |good |great |strong |perfect |wonderful |ideal |secure |"
        r"permanent |beautiful |lovely |super )*outpost(?: for {side}| for {own} (?:knight|pieces))?",
        outpost,
    ),
    Pattern(
        r"(?:there is|we have) (?:a |an )?(?:\w+ )?outpost on {square}(?: for {side})?", outpost
    ),
    Pattern(
        r"{piece} {be} (?:on|has|occupies|enjoys) (?:a |an )?(?:\w+ )?outpost(?! (?:on|at) Q)",
        piece_on_outpost,
    ),
    Pattern(
        r"{piece} (?:has|have|occupies|enjoys) (?:a |an )?(?:\w+ )?outpost(?! (?:on|at) Q)",
        piece_on_outpost,
    ),
    Pattern(r"{piece} {be} (?:firmly |well |beautifully )?outposted", piece_on_outpost),
    Pattern(
        r"{piece} (?:{be} (?:on|at)|has|have|occupies|enjoys|has found|finds|has established itself on|rests on) (?:an?|the|its|{own}) (?:\w+ )*(?:outpost|stronghold|foothold)(?: (?:on|at) {square})?",
        piece_on_outpost,
    ),
    Pattern(r"{side} {have} (?:a |an |any )?(?:\w+ )?outposts?(?! on| at)", any_outpost),
    Pattern(
        r"{side} (?:can|could) (?:ever )?(?:cover|guard|protect|defend|control) {square} (?:with|by) (?:a |any |"
        r"another |{own} )?pawns?(?: again)?",
        pawn_cover,
    ),
    Pattern(
        r"{piece} (?:can|could) (?:be (?:attacked|chased away|driven away|kicked|dislodged|challenged|evicted)) "
        r"by a pawn(?: again)?",
        _pawn_can_hit,
    ),
    Pattern(
        rf"{{side}} {_CTRL} {_SQ}(?: {{number}} times| with {{number}} (?:pieces|men|units))?(?: (?P<more>more (?:often|times|firmly) than {{side2}}(?: does| do)?))?",
        controls,
    ),
    Pattern(
        rf"{{side}} (?:has|have) (?:(?P<more>more|better) control (?:of|over)) {_SQ}(?: than {{side2}})?",
        more_control,
    ),
    Pattern(
        rf"{{side}} {{have}} {{number}} {_MEN} (?:on|{_BEARING}) {{square}}",
        controls,
    ),
    Pattern(rf"(?:both sides|{{side}}) (?:control|cover) {_SQ} equally(?: often)?", equal_control),
    Pattern(rf"{{piece}} (?:both )?{_CTRL} {{square}}", piece_controls),
    Pattern(
        r"{square} {be} (?:covered|controlled|guarded|watched|eyed|defended|protected|observed|dominated|hit|attacked|in the sights of|under the control of|under the eye of) ?(?:by )?{piece}",
        piece_controls,
    ),
    Pattern(r"{square} {be} (?:empty|vacant|unoccupied|free|vacated)", empty),
    Pattern(r"(?:there is )?nothing (?:stands |is )?on {square}", empty),
    Pattern(
        r"{square} {be} (?:occupied|taken)(?: by (?:{side}|(?:a |the |an )?(?:(?P<shade>white|black) )?(?P<man>pawn|knight|"
        r"bishop|rook|queen|king)))?",
        occupied,
    ),
    Pattern(
        r"{side} (?:occup(?:y|ies)|has occupied) {square}(?: with (?:a |the |{own} )?(?P<man>pawn|knight|bishop|rook|"
        r"queen|king))?",
        occupied,
    ),
    Pattern(
        r"{side} {have} (?:a |the |an |{number} )?(?P<man>pawns?|pieces?|knights?) in the cent(?:re|er)",
        in_centre,
    ),
    Pattern(
        r"{side} (?:controls?|dominates?|owns?|rules|has (?:more|better) control of) the cent(?:re|er)",
        more_centre,
    ),
    Pattern(r"{side} {have} (?:more space|more control) in the cent(?:re|er)", more_centre),
    Pattern(
        r"(?:the )?(?:pawn )?cent(?:re|er) {be} (?:closed|locked|blocked|locked up)", centre_closed
    ),
    Pattern(
        r"{square} {be} (?:firmly |fully |completely )?(?:under {whose} control|in {whose} hands|in {whose} grip|dominated by {side}|{whose})",
        more_control,
    ),
    Pattern(r"{square} belongs to {side}", more_control),
    Pattern(
        r"{square} {be} (?:controlled|covered|guarded|watched|attacked|defended|protected|hit) (?:(?:{number} times )?by {side}(?: {number} times)?)",
        controls,
    ),
    Pattern(
        r"{side} {have} (?:a |the )?(?:firm |good |strong |tight |complete |full |better |more |superior )*(?:grip|hold|control) (?:on|over|of) {square}",
        more_control,
    ),
    Pattern(r"{side} {have} (?:any |some )?(?:control|influence) (?:over|on) {square}", controls),
    Pattern(
        r"{whose} pieces (?:control|cover|bear on|are aimed at|aim at) {square}(?: {number} times)?",
        controls,
    ),
    Pattern(
        rf"{{piece}} (?:can|could) (?:ever |still |always )?be {_DRIVEN}(?: away)?(?: from (?:{{square}}|its post))?(?: again)? by {{piece2}}(?: again)?",
        pawn_can_hit,
    ),
    Pattern(
        rf"{{piece2}} (?:can|could) (?:ever |still |always )?{_DRIVE} {{piece}}(?: away| off| out)?(?: (?:from|out of|off) (?:there|{{square}}))?(?: again)?",
        pawn_can_hit,
    ),
    Pattern(
        rf"{{piece}} (?:can |will |may )?(?:comes?|goes|go|gets?|jumps?|hops?|lands?|settles?|moves?|heads?|swings?|steps?|travels?) (?:up |back |over |down |in )?(?:to|on|onto|into|at|for) {{square}} ,? ?(?:and|where|from where) {{piece2}} (?:can|could|will) (?:ever |still |always )?{_DRIVE} {{piece3}}(?: away| off| out)?(?: (?:from|out of|off) (?:there|{{square2}}))?(?: again)?",
        pawn_can_hit_there,
    ),
    Pattern(
        r"{square} can (?:ever |still )?be (?:covered|guarded|defended|protected|controlled|contested|challenged|attacked) by (?:a |any |another )?(?:(?P<shade>white|black|enemy) |{own} )?pawns?(?: again)?",
        shade_pawn,
    ),
    Pattern(
        r"{whose} pawns can (?:ever |still )?(?:cover|guard|defend|protect|control|attack|challenge) {square}(?: again)?",
        pawn_cover,
    ),
    Pattern(
        r"{side} {have} (?:a |any |another )?pawns? (?:left )?(?:that|which|to|who|able to) (?:can |could )?(?:ever )?(?:covers?|guards?|defends?|protects?|controls?|attacks?|challenges?|looks? at|fights? for) {square}(?: (?:with|again))?",
        pawn_cover,
    ),
    Pattern(
        r"{square} {be} (?:a |an |the )?(?:potential |possible |future |real |natural |permanent )*outpost(?: for {own} (?:pieces|knights?))?",
        outpost,
    ),
    Pattern(
        r"{whose} (?P<man>pawn|knight|bishop|rook|queen|king)s? (?:stands?|are|is|sits?) on {square}",
        occupied,
    ),
    Pattern(r"{side} {have} (?P<man>pawn|knight|bishop|rook)s on {square}", occupied),
    Pattern(r"{piece} {be} centrali[sz]ed(?: on {square})?", centralised),
    Pattern(
        r"{square} {be} (?:weak|permanently weak|chronically weak)(?: for {side})?", weak_square
    ),
    Pattern(
        r"{side} {have} (?:occupied|filled|taken) the cent(?:re|er)(?: with {number} (?P<man>pawns))?",
        lambda said: in_centre(said) if "number" in said else None,
    ),
    Pattern(
        r"{side} {have} {number} (?P<man>pawn|piece)s? (?:side by side |abreast |next to each other )?in the cent(?:re|er)(?: ,? {side2} (?:has )?(?:none|no))?",
        in_centre,
    ),
    Pattern(
        rf"{{side}} (?:can|could) (?:ever |still |always )?{_DRIVE} {{piece}}(?: away| off| out)?(?: from (?:there|{{square}}))?(?: again)? (?:with|by means of) (?:{{piece2}}|a pawn|pawns)",
        drives,
    ),
    Pattern(
        r"{piece} (?:occup(?:y|ies)|has|holds|{be} on) (?:a |the )?(?:central|centre|center) squares?|{piece} {be} (?:right |proudly )?in the (?:cent(?:re|er)|middle)(?: of the board)?(?: ,? on {square})?",
        centralised,
    ),
    Pattern(
        r"{side} (?:has|keeps|holds|maintains) (?:a )?(?:firm |strong |close )?(?:watch|eye|guard) (?:on|over) {square}",
        controls,
    ),
    Pattern(
        r"{square} {be} (?:defended|covered|protected|guarded) (?:only )?by (?:a|one) pawn", by_pawn
    ),
    Pattern(r"{square} {be} (?:within|out of) reach of {piece}", piece_controls),
    Pattern(
        r"{piece} (?:aims? at|is aimed at|has its eye on|keeps an eye on|eyes|is trained on|looks at|is looking at|has {square} in its sights|prevents anything landing on|guards against anything on) {square}",
        piece_controls,
    ),
    Pattern(r"{square} (?:offers|provides) {side} (?:a |an )?(?:\w+ )?outpost", outpost),
    Pattern(
        r"{square} {be} (?:an? |the )?(?:\w+ )?(?:outpost|stronghold) for (?:{own}|the|a) (?:knight|pieces|bishop)",
        outpost,
    ),
    Pattern(
        r"(?:the )?(?:hole|weak square|weak point|outpost) (?:is|lies) (?:on )?{square}",
        weak_square,
    ),
    Pattern(
        r"{square} is (?:beyond the reach of|out of reach of|out of reach for|safe from) {whose} pawns",
        pawn_cover,
        against=True,
    ),
    Pattern(
        r"{piece} (?:has|have|occupies|enjoys) (?:a |an )?(?:\w+ )?(?:outpost|stronghold|foothold) on {square}",
        piece_on_outpost,
    ),
    Pattern(
        r"{side} {have} more (?:pieces|men|attackers|units) (?:bearing on|aimed at|trained on|aiming at|on|against|controlling) {square}(?: than {side2})?",
        more_control,
    ),
    Pattern(
        rf"{{side}} (?:can|could) (?:ever |still |always )?(?:push|advance|use|bring up|throw forward|play) (?:a|the|any) "
        rf"pawn (?:to|and) {_DRIVE} {{piece}}(?: away| off| out)?",
        drives,
    ),
    Pattern(
        rf"{{side}} (?:can|could) (?:ever |still |always )?{_DRIVE} (?:a|any|an enemy|the) (?:piece|knight|bishop|man) "
        r"(?:on|at|from) {square} (?:with|by) (?:a |any |{own} )?pawns?",
        pawn_cover,
    ),
    Pattern(
        r"{square} {be} {whose} (?:\w+ )?(?:outpost|stronghold|strong point|foothold)",
        lambda said: outpost(said.of_whose()),
    ),
    Pattern(
        r"an? (?:\w+ )?outpost (?:beckons|waits|exists|is waiting|is available|has appeared|has arisen|arises)"
        r"(?: for (?:{side}|(?:{own}|the|a) (?:knight|bishop|piece)))? (?:on|at) {square}",
        outpost,
    ),
    Pattern(
        r"{whose} (?:control|grip|hold) (?:of|over|on) {square} {be} (?:greater|stronger|better|firmer|tighter) than {whose2}",
        lambda said: more_control(said.of_whose()),
    ),
    Pattern(
        r"{square} {be} (?:denied to|taken (?:away )?from|off limits (?:to|for)|out of bounds for|forbidden (?:to|for)|"
        r"closed to|barred to|not available to) {piece}",
        denied,
    ),
    Pattern(
        r"{piece} (?:takes?|keeps?|denies|deprives|robs|steals) (?:away )?(?:{square} (?:away )?from|{side} of {square}|{side} {square}|{square} away|(?:the )?{square}) ?(?:{side}|{whose} pieces)?(?<! from)",
        denies_side,
    ),
    Pattern(
        r"{square} {be} (?:the|{own}) (?:queening|promotion) square(?: (?:of|for) .*)?", queening
    ),
    Pattern(r"the (?:queening|promotion) square (?:of the passed pawn )?is {square}", queening),
    Pattern(
        r"(?:the|{whose}) (?:queening|promotion) square {be} (?:controlled|covered|guarded|watched|defended) by {piece}",
        queening_covered,
    ),
    Pattern(
        r"{piece} (?:controls|covers|guards|watches|keeps an eye on) (?:the|{own}) (?:queening|promotion) square",
        queening_covered,
    ),
    Pattern(
        r"{side} {have} (?:an? |the )?(?:\w+ )?(?P<man>pawn )?cent(?:re|er) ?(?::|with (?P<man>pawn)s (?:on|at)|on) {square}",
        occupied,
    ),
    Pattern(
        r"{piece} {be} (?:stranded |stuck |dim )?(?:on|at) the (?:rim|edge|side)(?: of the board)?",
        on_the_rim,
    ),
    Pattern(
        r"{side} {have} (?:an? |the )?(?P<man>pawn) (?:duo|pair|phalanx|tandem|wedge|centre|center) (?:on|at) {square}",
        occupied,
    ),
    Pattern(
        rf"(?:a|an|the|any|our|{{own}}|{{whose}}) (?:black |white |enemy )?{_IMAGINED} (?:on|at) {{square}} (?:can|could|is|will|would)(?: ever| be| then)* (?:be )?{_DRIVEN}(?: away| off| out)? by (?:a|an|any|one of|{{whose2}}|black|white|enemy)?(?: (?P<colour>black|white|enemy))? ?pawns?",
        pawn_hits_imagined,
    ),
    Pattern(
        rf"(?:an? |any |one )?(?:(?P<colour>black|white|enemy) )?pawns? (?:of (?:{{side}}|{{whose}}) )?(?:can|could|will|would|is able to)(?: ever| be able to| still)* {_DRIVE} (?:a|an|the|any|our|his|{{own}}) {_IMAGINED}(?: away| off| out)? (?:on|from|away from|off|at) {{square}}",
        pawn_hits_imagined,
    ),
    Pattern(
        rf"{{side}} (?:can|could)(?: ever)? {_DRIVE} (?:a|an|the|any|our|his|{{own}}) {_IMAGINED}(?: away| off| out)? (?:on|from|away from|off|at) {{square}} with (?:a|any|one of G.) pawns?",
        pawn_hits_imagined,
    ),
    Pattern(
        r"(?P<none>none|not one|any|one) of {whose} pawns (?:(?:can|could|will)(?: ever)? )?(?:controls?|covers?|guards?|attacks?|defends?|protects?|reach(?:es)?|hits?) {square}",
        any_pawn_covers,
    ),
    Pattern(
        r"(?:an? |any |another )?(?:(?P<colour>black|white) )?pawn (?:of (?:{side}|{whose}) )?(?:can|could|will)(?: ever)? (?:control|cover|guard|attack|defend|protect|support|hit|reach) {square}(?: again)?",
        pawn_ever_covers,
    ),
    Pattern(
        r"(?:an? |any |another )?pawn (?:can|could|will)(?: ever)? (?:cover|guard|defend|protect|support) {piece}(?: again)?",
        own_pawn_ever_covers,
    ),
    Pattern(
        r"{side} (?:can|could)(?: ever)? (?:control|cover|guard|attack|hit|defend|protect|contest|challenge) {square} (?:again )?with (?:a|any|one of G.|another|its|G.) pawns?(?: again)?",
        pawn_cover,
    ),
    Pattern(
        r"{piece} (?:can|could) (?:get to|reach|go to|jump to|land on|come to|hop to|arrive on|arrive at|be on|get into|travel to) {square} in (?:just |only )?{number} (?:moves?|jumps?|steps?|hops?)",
        reaches_in,
    ),
    Pattern(
        r"{piece} (?:needs?|takes?|requires?) (?:just |only )?{number} (?:moves?|jumps?|steps?|hops?) to (?:get to|reach|go to|arrive on|come to|land on) {square}",
        reaches_in_least,
    ),
    Pattern(
        r"{piece} is (?:just |only )?{number} (?:moves?|jumps?|hops?) (?:away )?from {square}",
        reaches_in_least,
    ),
    Pattern(
        rf"{{side}} (?:can|could) (?:put|place|plant|post|establish|station|plonk|bring|get|play) (?:a|the|{{own}}|one of {{own}}) (?P<kind>pawn|knight|bishop|rook|queen|king|piece)s? (?:on|onto|to|into) {{square}}{_NOW}",
        can_put,
    ),
    Pattern(
        rf"{{side}} (?:can|could) (?:occupy|take over|step into|jump into|(?P<stays>use|make use of|settle on)) {{square}}(?: (?:with|for|as a home for) (?:a|the|{{own}}) (?P<kind>pawn|knight|bishop|rook|queen|king|piece))?{_NOW}",
        can_put,
    ),
    Pattern(
        r"{side} (?:has|have|keeps?|holds?) {square} (?:under (?:control|observation|lock and key|guard)|covered|well covered|in hand|in {own} hands|in {own} grip|in {own} sights|guarded)",
        controls_at_all,
    ),
    Pattern(
        r"{piece} (?:has|have|keeps?|holds?) {square} (?:under (?:control|observation|lock and key|guard)|covered|well covered|in hand|in its sights|in {own} sights|guarded)",
        piece_controls,
    ),
    Pattern(
        r"(?:only )?{side} (?:alone )?(?:controls?|covers?|guards?|bears? on|attacks?|commands?|has control of|have control of) {square}",
        only_side_controls,
    ),
    Pattern(
        r"{square} is (?:controlled|covered|guarded|commanded|attacked) (?:only )?(?:only )?by {side}(?: only| alone)?",
        only_side_controls,
    ),
    Pattern(
        r"(?:anything|nothing|something) of {whose} (?:controls|covers|guards|attacks|bears on|looks at|hits|watches|defends) {square}",
        anything_of_controls,
    ),
    Pattern(
        r"with (?:the |a |G. )(?P<kind>pawn|knight|bishop|rook|queen|king)(?: on {square2})? {side} (?:controls?|covers?|guards?|attacks?|watches|bears on|eyes) {square}",
        with_piece_controls,
    ),
    Pattern(
        r"{piece} (?:has|have) (?:an|the|a fine|a good|a strong|a perfect) outpost (?:on|at) {square}",
        outpost_of_piece,
    ),
    Pattern(
        r"there is an outpost (?:for (?:a|the|{whose}|our|G.) (?:knight|bishop|piece|rook)s? )?(?:on|at) {square}",
        lambda said: outpost(_with_whose(said)),
    ),
    Pattern(
        r"{square} (?:is|would be|could be|will be|makes|can be|becomes) (?:an|the|a) (?:\w+ )?outpost(?: square)?(?: for (?:a|the|{whose}|{side}|our|G.)(?: white| black)?(?: knight| bishop| piece| rook)?)?",
        lambda said: outpost(_with_whose(said)),
    ),
    Pattern(
        r"the (?:hole|weak square|outpost) (?:on|at) {square} is {whose}",
        lambda said: controls_at_all(said.of_whose()),
    ),
    Pattern(r"the square in front of {piece} is {square}", square_before),
    Pattern(
        r"{square} is (?:the square )?(?:right |directly |just )?in front of {piece}", square_before
    ),
    Pattern(
        r"{side} (?:has|have) {number} (?P<sort>pieces|attackers|defenders|men|units|pawns) (?:trained |aimed |pointing |bearing |looking )?(?:on|at|against|covering|controlling|aiming at|pointing at) {square}",
        number_on_square,
    ),
    Pattern(
        rf"(?:an? |any |one )?(?:(?P<colour>black|white|enemy) )?pawns? (?:of (?:{{side}}|{{whose}}) )?(?:can|could|will|would|is able to)(?: ever| be able to| still| again)* {_DRIVE}(?: away| off| out)? {{piece}}(?: away| off| out)?(?: again)?",
        pawn_hits_piece,
    ),
    Pattern(
        r"(?:an? |any |one )?(?:(?P<colour>black|white) )?pawns? (?:of (?:{side}|{whose}) )?(?:can|could|will)(?: ever| be able to| still)* (?:protect|cover|guard|defend|control) {target}(?: again)?",
        pawn_guards_target,
    ),
    Pattern(
        r"(?:the )?(?:cent(?:re|er)(?: pawns)?|central pawns) {be} (?:completely |totally |firmly )?(?:locked|closed|blocked|fixed|rammed|jammed)(?: up)?",
        centre_closed,
    ),
    Pattern(
        r"{piece} can (?:come out|get out|be developed|develop|come) (?:to|on) {square}(?: or {square2})?(?: (?:next|at once|now))?",
        can_come_out,
    ),
    Pattern(
        r"(?:the )?(?:cent(?:re|er)(?: pawns)?|central pawns) {be} (?:completely |totally |firmly )?(?:locked|closed|blocked|fixed|rammed|jammed)(?: up)? by (?:the )?[^,;:.]*pawns?[^,;:.]*",
        centre_closed,
    ),
    Pattern(
        r"{whose} pawns (?:has|have) (?:any |some |a )?(?:control|influence|say|grip) (?:over|of|on) {square}",
        lambda said: pawn_cover(said.of_whose()),
    ),
)
