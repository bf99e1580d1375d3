"""Castling: the right, the ability now and what prevents it, which side, done already.

Definitions: FIDE Laws of Chess, article 3.8.2. "Can castle" asks whether the side could castle at
once if it were to move; "can no longer castle" and "the right" ask whether king and rook have
moved. "Stuck in the middle" means that the king stands there and has no right to castle left
(common practice, no source).

    after 1.e4 e5 2.Nf3 Nc6 3.Bb5 Nf6 4.O-O:
        holds: White has castled
        holds: White has castled kingside
        fails: Black has castled
        holds: Black has not castled yet
        holds: Black can still castle on either side
        fails: Black can castle now
        left alone: Black wants to castle
        left alone: If Black could castle, he would be fine.
        left alone: We castle early in this opening.
    after 1.e4 e5 2.Nf3 Nc6 3.Bb5 Nf6 4.O-O Nxe4 5.d4 Nd6 6.Bxc6 dxc6 7.dxe5 Nf5 8.Qxd8+ Kxd8:
        holds: Black has lost the right to castle
        holds: Black can no longer castle
        holds: his king is stuck in the middle
        fails: Black can castle queenside
        fails: White can castle
        holds: Only White has castled.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from dataclasses import replace

import chess

from linewright import facts
from linewright.board_words import listed, square
from linewright.judging import Fact, Pattern, Said
from linewright.moves import side_name
from linewright.position.castling import Castling, Obstacle
from linewright.position.pawns import Wing

FAMILY = "castling"
_LATER_ON = r"\b(?:still|later|yet|one day|some day|any ?more|longer|in principle|rights?|again)\b"
_WINGS = (Wing.KINGSIDE, Wing.QUEENSIDE)


def _wings(said: Said) -> tuple[Wing, ...]:
    if "wing" in said:
        return (said.wing(),)
    if said.word("way"):
        return (Wing.KINGSIDE if said.word("way") == "short" else Wing.QUEENSIDE,)
    return _WINGS


def _enough(said: Said) -> Callable[[Iterable[bool]], bool]:
    """Whether one wing is enough: not where "either" or "both" is said (without a "not")."""
    return all if said.word("sides") in {"either", "both"} and not said.negated else any


def why_not(board: chess.Board, colour: chess.Color, wing: Wing) -> str:
    """What stands in the way of castling on a wing, in words; "" where it is possible."""
    state: Castling = facts.castling(board, colour, wing)
    if state.possible:
        return ""
    if not state.right:
        return f"the right to castle {wing} is lost"
    reasons = []
    if state.between:
        reasons.append(
            f"{listed(square(s) for s in state.between)} stand between".replace(
                "stand", "stands" if len(state.between) == 1 else "stand"
            )
        )
    if Obstacle.IN_CHECK in state.obstacles:
        reasons.append("the king is in check")
    elif state.attacked:
        reasons.append(
            f"{listed(square(s) for s in state.attacked)} attacked by "
            f"{listed(square(s) for s in state.attackers)}"
        )
    return f"{wing}: {', '.join(reasons)}"


def _because(said: Said, colour: chess.Color) -> str:
    done = facts.castled(said.board, colour)
    if done is not None:
        return f"{side_name(colour)} has castled {done}"
    parts = [why_not(said.board, colour, wing) or f"{wing} is possible" for wing in _wings(said)]
    return f"{side_name(colour)}: {'; '.join(parts)}"


def has_right(said: Said) -> Fact:
    """Whether the right is still there (on the wing named, or on any)."""
    colour = said.side()
    true = _enough(said)(facts.has_right(said.board, colour, wing) for wing in _wings(said))
    if true:
        kept = [wing for wing in _wings(said) if facts.has_right(said.board, colour, wing)]
        return Fact(True, f"{side_name(colour)} has kept the right to castle {listed(kept, 'or')}")
    return Fact(False, _lost(said, colour))


def _lost(said: Said, colour: chess.Color) -> str:
    done = facts.castled(said.board, colour)
    if done is not None:
        return f"{side_name(colour)} has castled {done}"
    for wing in _wings(said):
        lost = facts.lost_by(said.board, colour, wing)
        if lost is not None:
            number = (said.board.ply() - len(said.board.move_stack) + lost.ply) // 2 + 1
            piece = "king" if square(lost.square)[0] == "e" else f"rook on {square(lost.square)}"
            verb = "was taken" if lost.taken else "moved"
            return f"{side_name(colour)}'s {piece} {verb} on move {number}"
    return f"{side_name(colour)} has no right to castle left"


def has_both_rights(said: Said) -> Fact:
    """Whether a side may still castle on both wings ("cannot … on either": on none)."""
    colour = said.side()
    now = not said.negated and not re.search(_LATER_ON, f"{said.original}{said.trailing}".lower())
    if now and "both" in said.original.lower():
        true = all(facts.castling(said.board, colour, wing).possible for wing in _WINGS)
        return Fact(true, _because(said, colour))
    if said.negated and not re.search(
        _LATER_ON, f"{said.original}{said.trailing}".lower().replace("yet", "")
    ):
        true = any(facts.castling(said.board, colour, wing).possible for wing in _WINGS)
        return Fact(true, _because(said, colour))
    wanted = 1 if said.negated else 2
    true = len(facts.rights(said.board, colour)) >= wanted
    return Fact(true, has_right(said).because if true else _because(said, colour))


def can_castle(said: Said) -> Fact:
    """Whether a side could castle at once; with "no longer" or "still", whether it has the right."""
    colour = said.side()
    if re.search(
        r"\b(?:no longer|any ?more|any longer|still|never again|not any)\b",
        f"{said.original}{said.trailing}".lower(),
    ):
        return has_right(said)
    true = _enough(said)(facts.castling(said.board, colour, wing).possible for wing in _wings(said))
    return Fact(true, _because(said, colour))


def has_castled(said: Said) -> Fact:
    """Whether a side has castled (on the wing named)."""
    colour = said.side()
    done = facts.castled(said.board, colour)
    if done is None and not said.place.history and not facts.rights(said.board, colour):
        done = facts.looks_castled(said.board, colour)
    king = said.board.king(colour)
    if done is None:
        where = "there is no king" if king is None else f"the king stands on {square(king)}"
        return Fact(False, f"{side_name(colour)} has not castled: {where}")
    right = done in _wings(said) and _on_move(said, colour)
    last = said.place.last()
    if last is not None and re.search(r"\bjust\b", said.original):
        right = right and last.colour == colour and last.before.is_castling(last.move)
    return Fact(right, f"{side_name(colour)} has castled {done}")


def king_castled(said: Said) -> Fact | None:
    """Whether a king has got to its place by castling."""
    piece = said.board.piece_at(said.at("piece"))
    if piece is None or piece.piece_type != chess.KING:
        return None
    return has_castled(replace(said, values={**said.values, "side": piece.color}))


def _on_move(said: Said, colour: chess.Color) -> bool:
    """Whether the castling was the move of the number named, if one is."""
    if "number" not in said:
        return True
    return any(
        played.colour == colour
        and played.before.is_castling(played.move)
        and played.before.fullmove_number == said.number()
        for played in said.place.past()
    )


def only_castled(said: Said) -> Fact:
    """Whether one side has castled and the other has not."""
    colour = said.side()
    done = {c: facts.castled(said.board, c) for c in chess.COLORS}
    text = [f"{side_name(c)} has {'castled' if done[c] else 'not castled'}" for c in chess.COLORS]
    return Fact(done[colour] is not None and done[not colour] is None, ", ".join(text))


def opposite_sides(said: Said) -> Fact:
    """Whether the sides have castled on different wings."""
    return _both_castled(said, same=False)


def same_side(said: Said) -> Fact:
    """Whether both sides have castled on the same wing."""
    return _both_castled(said, same=True)


def _both_castled(said: Said, same: bool) -> Fact:
    done = [
        facts.castled(said.board, c)
        or (None if said.place.history else facts.looks_castled(said.board, c))
        for c in chess.COLORS
    ]
    words = [
        f"{side_name(c)} has castled {d}" if d else f"{side_name(c)} has not castled"
        for c, d in zip(chess.COLORS, done, strict=True)
    ]
    true = None not in done and (done[0] == done[1]) is same
    return Fact(true, ", ".join(words))


def stuck(said: Said) -> Fact | None:
    """Whether a king stands in the middle without a right to castle."""
    colour = _king_side(said)
    if colour is None:
        return None
    king = said.board.king(colour)
    if king is None:
        return None
    true = facts.stuck_in_the_middle(said.board, colour)
    rights = facts.rights(said.board, colour)
    may = f"may still castle {listed(rights, 'or')}" if rights else "can no longer castle"
    return Fact(
        true, f"{side_name(colour)}'s king stands on {square(king)} and {may}", (square(king),)
    )


def in_middle(said: Said) -> Fact | None:
    """Whether a king stands in the middle."""
    colour = _king_side(said)
    king = None if colour is None else said.board.king(colour)
    if colour is None or king is None:
        return None
    true = facts.in_the_middle(said.board, colour)
    return Fact(true, f"{side_name(colour)}'s king stands on {square(king)}", (square(king),))


def _king_side(said: Said) -> chess.Color | None:
    if "piece" in said:
        piece = said.board.piece_at(said.at())
        return piece.color if piece and piece.piece_type == chess.KING else None
    return said.side()


def prevented_by(said: Said) -> Fact | None:
    """Whether a piece keeps a side from castling."""
    attacker = said.at("piece")
    piece = said.board.piece_at(attacker)
    if piece is None:
        return None
    named_side = "side" in said or "whose" in said
    states = [facts.castling(said.board, piece.color, wing) for wing in _wings(said)]
    own = any(attacker in s.between for s in states)  # "the bishop on f1 is in the way"
    colour = said.side() if named_side else piece.color if own else not piece.color
    states = [facts.castling(said.board, colour, wing) for wing in _wings(said)]
    true = any(s.right and (attacker in s.attackers or attacker in s.between) for s in states)
    return Fact(true, _because(said, colour), (square(attacker),))


def anyone_can(said: Said) -> Fact:
    """Whether either side could castle at once."""
    can = [
        c for c in chess.COLORS for w in _wings(said) if facts.castling(said.board, c, w).possible
    ]
    return Fact(bool(can), f"{_because(said, chess.WHITE)}; {_because(said, chess.BLACK)}")


_WHERE = (
    r"(?: (?:, )?(?:on |to )?(?:the )?{wing}| (?:, )?(?P<way>short|long)|"
    r" on (?P<sides>either|any|both) (?:side|wing)s?)?"
)
_ABLE = r"(?:can|may|could|is able to|are able to|is free to|are free to|has the option to|is allowed to|is entitled to|is permitted to|is in a position to)"


def _whose_right(said: Said) -> Fact:
    return has_right(said.of_whose())


def _whose_rights_there(said: Said) -> Fact:
    """Whether a side's right to castle is left, on a wing, or on both where none is named."""
    moved = said.of_whose()
    return has_right(moved) if "wing" in said else has_both_rights(moved)


def _only_can(said: Said) -> Fact:
    colour = said.side()
    can = {
        c: any(facts.castling(said.board, c, wing).possible for wing in _wings(said))
        for c in chess.COLORS
    }
    return Fact(
        bool(can[colour]) and not can[not colour],
        f"{_because(said, colour)}; {_because(said, not colour)}",
    )


def king_went(said: Said) -> Fact | None:
    """Whether a king stands on the wing named."""
    at = said.at("piece")
    if said.board.piece_type_at(at) != chess.KING:
        return None
    true = (chess.square_file(at) < 4) == (said.wing() is Wing.QUEENSIDE)
    true = true and at not in {chess.E1, chess.E8}
    return Fact(true, f"the king stands on {square(at)}", (square(at),))


def king_can(said: Said) -> Fact | None:
    """Whether the side of a king could castle; with "never again", whether it has the right."""
    piece = said.board.piece_at(said.at("piece"))
    if piece is None or piece.piece_type != chess.KING:
        return None
    moved = replace(said, values={**said.values, "side": piece.color})
    return has_right(moved) if "again" in said.original else can_castle(moved)


def king_right(said: Said) -> Fact | None:
    """Whether the side of a king has the right to castle."""
    piece = said.board.piece_at(said.at("piece"))
    if piece is None or piece.piece_type != chess.KING:
        return None
    return has_right(replace(said, values={**said.values, "side": piece.color}))


def either_way(said: Said) -> Fact:
    """Whether a side may castle on both wings; at once, where that is said."""
    now = re.search(r"\b(?:now|at once|immediately|this move|straight away|next move|right away)\b",
                    f"{said.original} {said.trailing}")  # fmt: skip
    if not now:
        return has_both_rights(said)
    colour = said.side()
    true = all(facts.castling(said.board, colour, wing).possible for wing in _WINGS)
    return Fact(true, _because(said, colour))


def will_castle(said: Said) -> Fact | None:
    """That a side will never castle: whether it has lost the right; of plans nothing is said."""
    return has_right(said) if said.negated else None


def out_of_check(said: Said) -> Fact | None:
    """Castling out of check is against the Laws."""
    return Fact(False, "castling out of check is not allowed") if said.board.is_check() else None


def once_possible(said: Said) -> Fact | None:
    """Whether a side has the right to castle and nothing but men between hinders it."""
    states = [facts.castling(said.board, said.side(), wing) for wing in _wings(said)]
    if not any(state.right for state in states):
        return has_right(said)
    fine = any(s.right and not s.attacked and Obstacle.IN_CHECK not in s.obstacles for s in states)
    return has_right(said) if fine else None


def must_clear(said: Said) -> Fact | None:
    """Whether nothing but men of the kind named hinders a side from castling on a wing."""
    colour, board = said.side(), said.board
    kind = chess.PIECE_NAMES.index(said.word("kind"))
    for wing in _wings(said):
        state = facts.castling(board, colour, wing)
        rank = 0 if colour else 7
        files = range(5, 7) if wing is Wing.KINGSIDE else range(1, 4)
        between = [chess.square(f, rank) for f in files if board.piece_at(chess.square(f, rank))]
        if state.right and between and all(board.piece_type_at(s) == kind for s in between):
            return Fact(True, _because(said, colour))
    return Fact(False, _because(said, colour))


def no_more(said: Said) -> Fact | None:
    """ "no castling for White": that the right is lost, said with a "not"."""
    return has_right(said) if said.negated else None


def out_of_check_any(said: Said) -> Fact | None:
    """The same, of a check that castling is said to answer."""
    return out_of_check(said)


def one_way_only(said: Said) -> Fact:
    """Whether a side could castle at once on just one wing."""
    colour = said.side()
    ways = [w for w in _WINGS if facts.castling(said.board, colour, w).possible]
    return Fact(len(ways) == 1, _because(said, colour))


_TWO = (
    r"(?:{side}|they|(?:the |both |both the |N. |the N. |the two |two )?(?:kings|players|sides|opponents|armies|"
    r"parties|monarchs|rivals|colou?rs))"
)
_WENT = (
    r"(?:(?:has|have|had|are|were|is)(?: both| each)? (?:castled|gone|moved|run|headed|fled|settled|hidden|safely tucked away|tucked away)|went|castled?|castles|"
    r"are|live|is|reside|have moved)(?: off| away| both| over| each)*"
)
_FLANKS = r"(?:sides|wings|flanks|ends|directions|parts|halves)(?: of (?:the )?(?:board|town|street|road))?"


def _just_castled(said: Said) -> Fact:
    """Whether the last move was castling by a side (on the wing named)."""
    last = said.place.last()
    if last is None:
        return Fact(None, "the last move is not known")
    kingside = last.before.is_kingside_castling(last.move)
    wing = Wing.KINGSIDE if kingside else Wing.QUEENSIDE
    castled = last.before.is_castling(last.move) and wing in _wings(said)
    return Fact(castled and last.colour == said.side(), f"the last move was {last.san}")


def king_put(said: Said) -> Fact:
    """Whether a side's king stands on the square named."""
    king = said.board.king(said.side())
    where = "nowhere" if king is None else square(king)
    return Fact(king == said.at("square"), f"{side_name(said.side())}'s king stands on {where}")


PATTERNS = (
    Pattern(
        r"{side} (?:first )?(?:must|has to|have to|needs to|need to|will have to|would have to|needs|need only|needs only|needs only to|only needs to|only has to|has only to|need merely)(?: first| only)? (?:move away|move|clear away|clear|develop|remove|shift|get|bring out|take away|take)(?: (?:the|a|an|G.))? (?:(?:light|dark) squared |Q. )?(?P<kind>queen|bishop|knight)s?(?: (?:out of the way|out|away|off|first|from Q.|on Q.|off Q.))*"
        rf" (?:before|in order to|so as to|to|and then) (?:S. (?:can |may |could )?castles?|castling|castle|he can castle){_WHERE}",
        must_clear,
    ),
    Pattern(rf"(?:any )?castling{_WHERE} (?:for|by) {{side}}", no_more),
    Pattern(
        r"{side} (?:can|may|is able to|are able to) castle (?:on )?(?:either side|both sides|"
        r"either wing|both wings|either way|both ways|on either flank|in both directions)",
        has_both_rights,
    ),
    Pattern(rf"{{side}} {_ABLE} castle{_WHERE} (?:at all|anywhere|in any way)", can_castle),
    Pattern(
        rf"{{side}} {_ABLE} castle{_WHERE}(?: (?:next move|(?:on|with) (?:{{own}}|the) next move|on the spot|out of danger|next|at any moment|any time|whenever {{side2}} "
        r"(?:likes?|wants?|pleases?|wishes|wish|chooses?|fanc(?:y|ies))|(?:whenever|as soon as) (?:it (?:pleases|suits) {side2}|{side2} (?:likes?|wants?|pleases?|wishes|wish|chooses?|fanc(?:y|ies)))|at will|at leisure|at {own} leisure|legally|straight away))?",
        can_castle,
    ),
    Pattern(rf"{{side}} {{be}} ready to castle{_WHERE}", can_castle),
    Pattern(
        rf"{{side}} {_ABLE} castle{_WHERE} (?:until|till|before|unless|as long as|so long as|while) [^,;:.]*[^,;:. ]",
        lambda said: can_castle(said) if said.negated else None,
    ),
    Pattern(
        rf"{{side}} (?:is|are) (?:unable|not able|not free|prevented from|debarred from|barred from|precluded from|excluded from|prohibited from|forbidden from|kept from|hindered from|stopped from) (?:to castle|castling)"
        rf"{_WHERE}",
        can_castle,
        against=True,
    ),
    Pattern(
        rf"castling{_WHERE} is (?:possible|legal|available|allowed|on|permitted)(?: for {{side}})",
        can_castle,
    ),
    Pattern(
        rf"castling{_WHERE} is {{whose}}(?: for the asking)?",
        lambda said: can_castle(said.of_whose()),
    ),
    Pattern(
        rf"{{side}} (?:is|are) (?:prevented|stopped|kept|hindered|barred|debarred) from castling{_WHERE} by {{piece}}",
        prevented_by,
    ),
    Pattern(
        rf"{{side}} (?:is|are) without {{det}}(?:castling rights?|rights? to castle|chance to castle){_WHERE}",
        has_right,
        against=True,
    ),
    Pattern(
        r"{piece} {be} (?:uncastled|yet to castle|still to castle)", king_castled, against=True
    ),
    Pattern(
        rf"castling{_WHERE} is (?:impossible|illegal|unavailable|prevented|ruled out|out of the "
        r"question|not available|forbidden)(?: for {side})",
        can_castle,
        against=True,
    ),
    Pattern(
        r"{side} (?:has|have) (?:been robbed of|been deprived of|been stripped of|been denied|lost|forfeited|given up|forgone|surrendered|conceded|sacrificed|"
        r"thrown away|renounced|lost for good) {det}"
        rf"(?:castling rights?|rights? to castle|ability to castle|privilege of castling|"
        rf"chance to castle|option of castling|possibility of castling|right of castling){_WHERE}",
        has_right,
        against=True,
    ),
    Pattern(
        r"{side} {have} {det}"
        rf"(?:castling rights?|rights? to castle|ability to castle|option of castling|"
        rf"possibility of castling){_WHERE}(?: later(?: on)?| one day| some day| at some point)?",
        has_right,
    ),
    Pattern(
        rf"{{side}} (?:has|have) (?:forever |permanently )?(?:lost|forfeited|given up|renounced|thrown away|squandered|spoilt|ruined|wasted) (?:{{own}} )?castling{_WHERE}",
        has_right,
        against=True,
    ),
    Pattern(
        rf"{{whose}} (?:castling rights?|right to castle{_WHERE}) (?:is|are|has|have)(?: been| all)? "
        r"(?:gone|lost|forfeited|over|history)",
        _whose_right,
        against=True,
    ),
    Pattern(rf"{{side}} (?:has|have|is|are) castled{_WHERE}", has_castled),
    Pattern(
        r"{side} (?:has|have) (?:completed castling|tucked {det}king away|"
        r"brought {det}king to safety by castling)",
        has_castled,
    ),
    Pattern(
        r"{side} (?:has|have) (?:tucked|brought|put|got|moved|led|taken|stowed|hidden) {det}king (?:away )?(?:safely |to safety |out of danger )?(?:on|to|onto|over to) {square}(?: by castling)?",
        king_put,
    ),
    Pattern(
        rf"{{side}} castled{_WHERE}(?: (?:on move {{number}}|long ago|a long time ago|early|at once|some moves ago))?",
        has_castled,
    ),
    Pattern(rf"{{piece}} (?:(?:has|have|is|are) )?castled{_WHERE}", king_castled),
    Pattern(
        r"{piece} (?:lives|shelters|is tucked away) (?:safely )?(?:on|over on) {wing}", king_castled
    ),
    Pattern(
        r"{side} (?:has|have) {det}kings? (?:all )?(?:safe|safely|tucked away|in safety|secure|castled|hidden|sheltered|well hidden)(?: away)?(?: (?:on|over on) {wing})?",
        has_castled,
    ),
    Pattern(
        r"{side} {have} (?:both|all|N.)(?: (?:of )?{own})? castling (?:rights|options|possibilities)(?: available| open| left| intact)?",
        has_both_rights,
    ),
    Pattern(
        r"{side} (?:can|may|could) (?:still )?(?:choose|pick|decide) (?:on )?(?:which|what|whichever) (?:side|way|wing|direction) (?:to castle|{side2} castles?)",
        has_both_rights,
    ),
    Pattern(
        r"{side} {be} (?:all |safely |already )?(?:tucked (?:in|up|away)|safely tucked (?:in|up|away))",
        has_castled,
    ),
    Pattern(r"{side} {be} (?:uncastled|yet to castle|still to castle)", has_castled, against=True),
    Pattern(rf"{{side}} (?:has|have) (?:yet|still) to castle{_WHERE}", has_castled, against=True),
    Pattern(rf"only {{side}} (?:has|is) castled{_WHERE}", only_castled),
    Pattern(rf"only {{side}} {_ABLE} castle{_WHERE}", _only_can),
    Pattern(
        rf"{_TWO} {_WENT} (?:(?:on|to|towards|in|into) )?(?:the )?(?:opposite|different|other) {_FLANKS}",
        opposite_sides,
    ),
    Pattern(
        rf"{_TWO} {_WENT} (?:(?:on|to|towards|in|into) )?(?:the )?same (?:side|wing|flank|part)(?: of the board)?",
        same_side,
    ),
    Pattern(
        rf"{_TWO} (?:has|have) (?:put|brought|moved|tucked|taken|placed|led|sent) (?:G.|the|both|all)? ?kings? (?:away )?(?:on|to|onto) (?:the )?same (?:side|wing|flank)",
        same_side,
    ),
    Pattern(
        rf"{_TWO} (?:has|have) (?:put|brought|moved|tucked|taken|placed|led|sent) (?:G.|the|both|all)? ?kings? (?:away )?(?:on|to|onto) (?:the )?(?:opposite|different) {_FLANKS}",
        opposite_sides,
    ),
    Pattern(
        r"(?:it is |this is |that is |there is |we have |S. have )?(?:a case of |a position with |a game with )?(?:opposite side(?:s|d)? castling|castling (?:on|to) opposite (?:sides|wings|flanks))(?: (?:is on the board|has (?:taken place|happened|occurred|been done|come about)|it is))?(?= ?$| [,.!;])",
        opposite_sides,
    ),
    Pattern(
        rf"{{side}} {_ABLE} castle (?:(?:on|to|in) )?(?:neither (?:of the )?(?:sides?|wings?|flanks?|way|direction)|nowhere|neither W. nor W.|neither short nor long|neither long nor short)",
        can_castle,
        against=True,
    ),
    Pattern(
        rf"{{side}} {_ABLE} castle (?:only )?(?:on |to )?(?:(?:just|only) )?(?:one|N.|S.) (?:(?:side|wing|way) )?(?:only|alone)?",
        one_way_only,
    ),
    Pattern(
        r"{piece} {be} (?:stuck|caught|trapped|stranded|marooned|left|held up|pinned down|exposed) "
        r"(?:in|on|at) (?:the )?(?:middle|centre|center)",
        stuck,
    ),
    Pattern(r"{piece} {be} (?:in|on|at) (?:the )?(?:middle|centre|center)", in_middle),
    Pattern(
        r"{piece} (?:has not|has never|has) left (?:the )?(?:middle|centre|center)",
        in_middle,
        against=True,
    ),
    Pattern(
        rf"{{piece}} (?:prevents?|stops?|keeps?|hinders?) {{side}} (?:from )?castling{_WHERE}",
        prevented_by,
    ),
    Pattern(
        rf"{{piece}} (?:prevents?|stops?|rules out|hinders?|blocks?|{{be}} in the way of) (?:{{whose}} )?castling{_WHERE}",
        prevented_by,
    ),
    Pattern(
        rf"castling{_WHERE} (?:has been|was) (?:completed|carried out|done) by {{side}}",
        has_castled,
    ),
    Pattern(
        rf"{{side}} (?:has|have) (?:found time|got round|managed|bothered|deigned|troubled|remembered|chosen|decided|elected|preferred|hurried|got around|had time|been able|found the time) to castle{_WHERE}",
        has_castled,
    ),
    Pattern(
        rf"{{side}} (?:has|have) got (?:castled|round to castling|around to castling){_WHERE}",
        has_castled,
    ),
    Pattern(
        r"{side} (?:has|have) (?:tucked|moved|brought|put|conveyed|escorted|whisked|spirited|evacuated|led|shepherded|stowed|packed|hidden|hustled|removed|rushed|got|carried|sent|stashed) {det}kings? (?:safely )?(?:away|into safety|in safety|to safety|in a safe place|under cover|to shelter|into shelter|into hiding|to bed|behind (?:the|{own}) pawns|out of (?:the )?(?:cent(?:re|er)|danger|harm 's way|the way)|from the cent(?:re|er)|to a place of safety|to a safe place|to a safer place|into a safe corner)(?: (?:on|over on|in|to) {wing})?",
        has_castled,
    ),
    Pattern(
        rf"{{side}} (?:lost|gave up|forfeited|threw away|gives up|loses) {{det}}(?:castling rights?|rights? to castle|chance to castle){_WHERE}",
        has_right,
        against=True,
    ),
    Pattern(
        r"{whose} castling rights? {be} (?:still )?(?:intact|there|untouched|preserved|unspent|unimpaired|unharmed|alive|complete|fully intact)",
        has_both_rights,
    ),
    Pattern(
        r"{whose} (?:right to castle|castling rights?) {be} (?:still )?(?:intact|there|untouched|preserved|unspent|unimpaired|unharmed|alive|in force|valid|in order)"
        r"(?: on (?:the )?(?:{wing}|either (?:wing|side|flank)|both (?:wings|sides|flanks)))?",
        _whose_rights_there,
    ),
    Pattern(
        rf"{{side}} (?:requires?|needs?) (?:any )?(?:further |more |additional )?(?:preparations?|preparatory moves?|preliminar(?:y|ies)(?: moves?)?) (?:in order |before )?(?:to castle|castling){_WHERE}",
        can_castle,
        against=True,
    ),
    Pattern(
        rf"{{piece}} (?:must|has to|needs to|will have to)(?: first)? (?:move(?: away| out| off)?|go(?: away| out)?|get out(?: of the way)?|leave|be moved|be developed|come out|vacate Q.|step aside)(?: (?:from|off) Q.)? before castling{_WHERE}",
        prevented_by,
    ),
    Pattern(
        r"{piece} (?:has|have) (?:sought|found|taken|gone into|reached|run for|headed for) (?:the |a |its |{own} )?(?:shelter|refuge|safety|cover|sanctuary|safe haven|haven|hiding)(?: (?:of|on|in|behind|from) (?:the )?(?:{wing}|wings?|flanks?|corner|castled position|pawns|{own} pawns|the cent(?:re|er)))?",
        king_castled,
    ),
    Pattern(
        r"{side} (?:has|have) (?:kept|preserved|retained|still got) (?:both|all) (?:of {own} )?(?:castling rights?|rights? to castle)",
        has_both_rights,
    ),
    Pattern(
        rf"castling{_WHERE} is (?:possible|legal|available|allowed|on|an option)(?! for)",
        anyone_can,
    ),
    Pattern(
        rf"castling{_WHERE} is (?:impossible|illegal|unavailable|ruled out|out of the question|off the menu)(?! for)",
        anyone_can,
        against=True,
    ),
    Pattern(
        rf"{{side}} {_ABLE} (?:now )?(?:go|castle) (?:either way|both ways|to either side)",
        has_both_rights,
    ),
    Pattern(
        rf"the (?:way|path|road) is (?:clear|free|open) for {{side}} to castle{_WHERE}", can_castle
    ),
    Pattern(
        r"{side} (?:can|could|may) castle (?:on |to )?(?:whichever side|wherever|any way|either side|where) {side2} (?:likes?|wants?|pleases?)",
        has_both_rights,
    ),
    Pattern(
        rf"{{side}} {_ABLE} castle{_WHERE} (?:one day|some day|later(?: on)?|at some point|sooner or later)",
        has_right,
    ),
    Pattern(
        r"{piece} (?:(?:has|have) (?:gone to bed|gone to sleep|gone|run|headed|moved|fled|slipped away|been brought|been tucked away|found (?:safety|shelter)|taken refuge|hidden|escaped)|went|fled) (?:to safety |into safety |safely |away )?(?:to|on|over to|over on) (?:the )?{wing}",
        king_went,
    ),
    Pattern(
        rf"it (?:is|would be) (?:legal|possible|allowed) for {{side}} to castle{_WHERE}", can_castle
    ),
    Pattern(
        rf"{{side}} (?:keeps?|kept|retains?|retained|preserves?|preserved|holds on to) {{det}}(?:right to castle|castling rights?|option of castling){_WHERE}",
        has_right,
    ),
    Pattern(rf"{{piece}} (?:can|may|could) castle{_WHERE}(?: again)?", king_can),
    Pattern(rf"{{piece}} {{be}} (?:all |quite )?ready to castle{_WHERE}", king_can),
    Pattern(
        rf"{{side}} (?:meets|meet|satisfies|has fulfilled|has met|has satisfied|fulfils) (?:all )?(?:of )?(?:the )?(?:conditions|requirements) (?:for|of) castling{_WHERE}",
        can_castle,
    ),
    Pattern(
        rf"only {{side}} (?:has|have) (?:got (?:round|around) to castling|managed to castle|got castled){_WHERE}",
        only_castled,
    ),
    Pattern(
        rf"{{piece}} (?:can|may|could|might) (?:one day |later )?castle{_WHERE} (?:one day|some day|later(?: on)?|at some point|sooner or later)",
        king_right,
    ),
    Pattern(
        rf"{{side}} {_ABLE} castle{_WHERE} (?:once|when) (?!.*(?:M|Q). ?$)[^,;:.]*[^,;:. ]",
        once_possible,
    ),
    Pattern(
        r"{piece} {be} (?:safe|tucked away|hidden|secure|sheltered|snug|at home) (?:on|over on) {wing}",
        king_went,
    ),
    Pattern(
        r"{piece} (?:has|have|is|are) (?:been |already )?(?:robbed of|deprived of|stripped of|denied|lost|forfeited|given up) (?:the|{own}|any|all|its) (?:(?:right|rights|chance) to castle|castling rights?|right of castling|privilege of castling)",
        king_right,
        against=True,
    ),
    Pattern(
        r"{piece} {have} (?:any |the |its |{own} )?(?:castling rights?|rights? to castle)",
        king_right,
    ),
    Pattern(
        r"{piece} (?:{be} (?:safely castled|tucked away|safely tucked away|out of the cent(?:re|er)|tucked up)|(?:has|have) (?:gone|got|been brought|been tucked away|been taken|been whisked|been led) (?:(?:in)?to (?:safety|shelter)|under cover)(?: on {wing})?)",
        king_castled,
    ),
    Pattern(
        rf"{{side}} {_ABLE} castle (?:in |on |to )?(?:whichever|any|either|whatever) (?:way|side|wing|direction)"
        r"(?: {side2} (?:likes?|wants?|pleases?|prefers?|chooses?))?(?: ,)?",
        either_way,
    ),
    Pattern(
        rf"castling{_WHERE} is (?:forbidden|prohibited|denied|barred|closed) (?:to|for) {{side}}(?: (?:forever|for good|for the rest of the game))?",
        can_castle,
        against=True,
    ),
    Pattern(
        rf"{{side}} (?:will|shall|is going to|are going to|is ever going to) (?:ever )?(?:be able to )?castle{_WHERE}(?: (?:again|in this game|today|this game))?",
        will_castle,
        telling_not=True,
    ),
    Pattern(
        rf"{{side}} {_ABLE} castle{_WHERE} out of (?:it|check|the check|this|trouble)", out_of_check
    ),
    Pattern(
        rf"{{side}} (?:can|may|must|has to|will have to|should) (?:forget|wave goodbye to|say goodbye to|kiss goodbye to|give up on|abandon)(?: (?:about|the idea of|all thought of))? castling{_WHERE}",
        has_right,
        against=True,
    ),
    Pattern(
        r"{side} (?:can|could|may) (?:answer|parry|meet|escape|get out of) (?:the |this )?check by castling",
        out_of_check,
    ),
    Pattern(
        rf"castling{_WHERE} {{be}} (?:over|finished|gone|history|lost|out|a thing of the past)(?: and done with| and done)? for {{side}}",
        has_right,
        against=True,
    ),
    Pattern(
        rf"{{whose}} last move was (?:to castle|castling|castles){_WHERE}",
        lambda said: _just_castled(said.of_whose()),
    ),
    Pattern(
        rf"(?:{{move}}|it|this|that|the move|this move|the last move|{{whose2}} last move) (?:has |have |would )?costs? {{side}} (?:the |{{own}} )?(?:right to castle|castling rights?|right of castling|chance to castle|castling){_WHERE}",
        has_right,
        against=True,
    ),
    Pattern(r"{side} (?:has|have) (?:gone|chosen to go) (?P<way>short|long)", has_castled),
    Pattern(r"{piece} (?:has|have) (?:gone|run) (?P<way>short|long)", king_castled),
    Pattern(rf"{{side}} {_ABLE} (?:still |yet )?go (?P<way>short|long)", has_right),
    Pattern(r"there is (?:any )?castling (?:left )?for {side}", has_right),
    Pattern(
        r"(?:the |this )?check (?:can|could|may) be (?:answered|met|parried|escaped) by castling",
        out_of_check_any,
    ),
    Pattern(
        rf"(?:the |{{own}} )?(?:rook|king)(?: 's)?(?: [^,;:.]*?)? (?:has |have )?costs? {{side}} (?:the |{{own}} )?right to castle{_WHERE}",
        has_right,
        against=True,
    ),
)
