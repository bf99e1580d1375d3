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
"""

from __future__ import annotations

import re
from dataclasses import replace

import chess

from linewright import facts
from linewright.judging import (
    Fact,
    Pattern,
    Said,
    kind_and_square,
    listed,
    named,
    names,
    piece_on,
    several,
    square,
)

FAMILY = "squares"


def _guard_text(said: Said, at: chess.Square, colour: chess.Color) -> str:
    can = facts.pawn_can_guard(said.board, colour, at)
    if can:
        return f"{named(colour)} can still bring a pawn to guard {square(at)}"
    return f"{named(colour)} has no pawn that can ever guard {square(at)}"


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
        bool(found), f"holes in {named(colour)}'s camp: {listed(names(found))}", names(found)
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
        return Fact(False, f"{named(not colour)} can attack {square(at)} with a pawn", names([at]))
    return Fact(False, f"no pawn of {named(colour)}'s guards {square(at)}", names([at]))


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
        return Fact(False, f"{named(not colour)} can attack {square(at)} with a pawn", names([at]))
    return Fact(False, f"no pawn guards {piece_on(said.board, at)}", names([at]))


def any_outpost(said: Said) -> Fact:
    """Whether a side has an outpost for a knight."""
    found = [o.square for o in facts.outposts(said.board, said.side())]
    return Fact(
        bool(found), f"outposts of {named(said.side())}: {listed(names(found))}", names(found)
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
    kind = f"{named(piece.color)}'s {chess.piece_name(piece.piece_type)}s"
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
        kinds = {"pawn": 1, "knight": 2, "bishop": 3, "rook": 4, "queen": 5, "king": 6}
        true = true and piece is not None and piece.piece_type == kinds[said.word("man").strip()]
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
        f"{named(said.side())} has {what} in the centre: {listed(names(squares))}",
        names(squares),
    )


def more_centre(said: Said) -> Fact:
    """Whether a side has more in and on the centre than the other."""
    mine, yours = (facts.centre(said.board, c) for c in (said.side(), not said.side()))
    worth = [2 * len(c.pawns) + c.hits for c in (mine, yours)]
    text = (
        f"{named(said.side())}: {several(len(mine.pawns), 'pawn')} there, {mine.hits} attacks on it; "
        f"{named(not said.side())}: {several(len(yours.pawns), 'pawn')}, {yours.hits} attacks"
    )
    if worth[0] == worth[1] or (len(mine.pawns) - len(yours.pawns)) * (mine.hits - yours.hits) < 0:
        return Fact(None, f"a matter of opinion: {text}")
    return Fact(worth[0] > worth[1], text)


def centre_closed(said: Said) -> Fact:
    """Whether the centre is closed: both sides' d- or e-pawns block each other."""
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
    return Fact(bool(rams) and (not levers), f"centre: {text}", names(s for r in rams for s in r))


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
_DRIVE = (
    r"(?:attack|chase|drive|kick|hit|harass|challenge|disturb|drive away|trouble|question|threaten|"
    r"bother|put the question to|remove|shift)"
)
_DRIVEN = (
    r"(?:attacked|chased|driven away|driven|hit|harassed|challenged|disturbed|troubled|questioned|"
    r"bothered|threatened|removed|shifted|asked to leave)"
)
_SQ = r"(?:the )?(?:square |point )?{square}"
_CTRL = (
    r"(?:controls?|covers?|eye|guard|watch|look at|looks at|looks after|looks down on|has (?:an )?influence on|fights for|fight for|has control (?:of|over)|bears? on|has a grip on|keeps control of|"
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
    return Fact(true, _guard_text(said, at, not colour), names([at]))


_AT_ONCE = re.compile(
    r"\b(?:at once|immediately|right away|straight ?away|at the moment|for now|now)\b"
)


def _hit_at_once(said: Said, at: chess.Square, colour: chess.Color) -> Fact:
    """Whether a pawn of a side attacks a piece, or can with its next move."""
    board = said.board.copy(stack=False)
    board.turn = colour
    hits = [s for s in facts.attackers(board, colour, at) if s in board.pieces(chess.PAWN, colour)]
    moves = [
        m.to_square
        for m in board.generate_pseudo_legal_moves(board.pawns)
        if at in chess.SquareSet(chess.BB_PAWN_ATTACKS[colour][m.to_square])
    ]
    found = sorted({*hits, *moves})
    text = f"{named(colour)} can attack {square(at)} with a pawn from {listed(names(found))}"
    if not found:
        text = f"no pawn of {named(colour)}'s can attack {square(at)} with its next move"
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


def _of_whose(said: Said) -> Said:
    """The same with the side whose it is as the side that does it."""
    return replace(said, values={**said.values, "side": said.values["whose"]})


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


PATTERNS = (
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
        r"{piece} {be} (?:on|has|occupies|enjoys) (?:a |an )?(?:\w+ )?outpost", piece_on_outpost
    ),
    Pattern(r"{piece} (?:has|have|occupies|enjoys) (?:a |an )?(?:\w+ )?outpost", piece_on_outpost),
    Pattern(r"{piece} {be} (?:firmly |well |beautifully )?outposted", piece_on_outpost),
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
        r"{side} {have} {number} (?P<man>pawn|piece)s? in the cent(?:re|er)(?: ,? {side2} (?:has )?(?:none|no))?",
        in_centre,
    ),
    Pattern(
        rf"{{side}} (?:can|could) (?:ever |still |always )?{_DRIVE} {{piece}}(?: away| off| out)?(?: from (?:there|{{square}}))?(?: again)? (?:with|by means of) (?:{{piece2}}|a pawn|pawns)",
        drives,
    ),
    Pattern(
        r"{piece} (?:occup(?:y|ies)|has|holds|{be} on) (?:a |the )?(?:central|centre|center) squares?|{piece} {be} (?:right |proudly )?in the cent(?:re|er)(?: of the board)?(?: ,? on {square})?",
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
        lambda said: outpost(_of_whose(said)),
    ),
    Pattern(
        r"an? (?:\w+ )?outpost (?:beckons|waits|exists|is waiting|is available|has appeared|has arisen|arises)"
        r"(?: for (?:{side}|(?:{own}|the|a) (?:knight|bishop|piece)))? (?:on|at) {square}",
        outpost,
    ),
    Pattern(
        r"{whose} (?:control|grip|hold) (?:of|over|on) {square} {be} (?:greater|stronger|better|firmer|tighter) than {whose2}",
        lambda said: more_control(_of_whose(said)),
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
)
