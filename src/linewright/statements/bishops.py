"""The bishop pair, bishops of opposite colours, unopposed, good and bad bishops, fianchetto.

Definitions: the bishop pair is bishops on both colours (Hooper & Whyld, The Oxford Companion to
Chess, "two bishops"); it is true of both sides at the start of a game. Opposite colours: each side
has one bishop and they move on different colours. Unopposed: the other side has no bishop on that
colour (common practice, no source). Bad: most of its own pawns stand on its colour and at least
one of them is blocked (the Companion, "bad bishop"; the measure is the project's). Outside the pawn
chain: an own pawn stands diagonally behind it (common practice, no source).

    after 1.e4 e5 2.Nf3 Nc6 3.Bb5 a6 4.Bxc6 dxc6:
        holds: Black has the bishop pair
        fails: Black has three bishops
        holds: White has given up the bishop pair
        holds: White has given up his good bishop
        fails: White has the two bishops
        fails: the bishops are of opposite colours
        holds: Black's light-squared bishop has no counterpart
        fails: Black has an unopposed dark-squared bishop
        holds: White no longer has a light-squared bishop
        left alone: the bishop pair is worth half a pawn
        left alone: Black would like to keep the bishop pair.
    after 1.e4 e6 2.d4 d5 3.e5 c5 4.c3 Nc6:
        holds: the bishop on c8 is bad
        fails: White's dark-squared bishop is unopposed
        cannot tell: the bishop is better than the knight
    after 1.e4 c6 2.d4 d5 3.e5 Bf5 4.Nf3 e6:
        holds: the bishop on f5 is outside the pawn chain
        fails: Black's light-squared bishop is behind the pawn chain
    after 1.d4 Nf6 2.c4 g6 3.g3 Bg7 4.Bg2:
        holds: both sides have fianchettoed the king's bishop
        fails: White's bishop on g2 is hemmed in by its own pawns
"""

from __future__ import annotations

import re
from dataclasses import replace

import chess

from linewright import facts
from linewright.board_words import listed, names, piece_on, several, square
from linewright.judging import Fact, Pattern, Said, others_of
from linewright.moves import side_name

FAMILY = "bishops"


def _own(said: Said, colour: chess.Color) -> str:
    own = facts.bishops(said.board, colour)
    if not own:
        return f"{side_name(colour)} has no bishop"
    plural = "bishops" if len(own) > 1 else "one bishop,"
    return f"{side_name(colour)} has {plural} on {listed(names(own))}"


def pair(said: Said) -> Fact:
    """Whether a side has bishops on both colours."""
    colour = said.side()
    return Fact(
        facts.bishop_pair(said.board, colour),
        _own(said, colour),
        names(facts.bishops(said.board, colour)),
    )


def pair_wanted(said: Said) -> Fact | None:
    """The same for "has two bishops", if the number is two."""
    return pair(said) if said.number() == 2 else None


def only_pair(said: Said) -> Fact:
    """Whether only one side has the bishop pair."""
    colour = said.side()
    true = facts.pair_advantage(said.board) is colour
    return Fact(true, f"{_own(said, colour)}; {_own(said, not colour)}")


def anyone_pair(said: Said) -> Fact:
    """Whether either side has the bishop pair."""
    true = any(facts.bishop_pair(said.board, c) for c in chess.COLORS)
    return Fact(true, f"{_own(said, chess.WHITE)}; {_own(said, chess.BLACK)}")


def opposite(said: Said) -> Fact:
    """Whether each side has one bishop, on different colours."""
    both = facts.bishops(said.board, chess.WHITE) + facts.bishops(said.board, chess.BLACK)
    return Fact(
        facts.opposite_coloured(said.board),
        f"{_own(said, chess.WHITE)}; {_own(said, chess.BLACK)}",
        names(both),
    )


def same_colour(said: Said) -> Fact:
    """Whether each side has one bishop, on the same colour."""
    own = [facts.bishops(said.board, c) for c in (chess.WHITE, chess.BLACK)]
    true = all(len(o) == 1 for o in own) and facts.is_light(own[0][0]) == facts.is_light(own[1][0])
    return Fact(true, f"{_own(said, chess.WHITE)}; {_own(said, chess.BLACK)}")


def _shade(said: Said) -> bool | None:
    word = said.word("shade")
    return None if not word else word in {"light", "white"}


def has_coloured(said: Said) -> Fact:
    """Whether a side has a bishop on the colour named."""
    colour, light = said.side(), bool(_shade(said))
    own = facts.bishops(said.board, colour, light)
    shade = "light" if light else "dark"
    text = f"on {names(own)[0]}" if own else "none"
    return Fact(bool(own), f"{side_name(colour)}'s {shade}-squared bishop: {text}", names(own))


def someone_has_coloured(said: Said) -> Fact:
    """Whether either side has a bishop on the colour named."""
    light = bool(_shade(said))
    own = [s for c in chess.COLORS for s in facts.bishops(said.board, c, light)]
    shade = "light" if light else "dark"
    return Fact(bool(own), f"{shade}-squared bishops: {listed(names(own))}", names(own))


def lost_coloured(said: Said) -> Fact:
    """Whether a side has no bishop on the colour named any more."""
    fact = has_coloured(said)
    return Fact(not fact.true, fact.because, fact.squares)


def has_unopposed(said: Said) -> Fact:
    """Whether a side has a bishop on a colour on which the other has none."""
    colour = said.side()
    light = _shade(said)
    found = [
        s
        for s in facts.unopposed(said.board, colour)
        if light is None or facts.is_light(s) == light
    ]
    rival = _own(said, not colour)
    if found:
        return Fact(True, f"{piece_on(said.board, found[0])} has no rival: {rival}", names(found))
    return Fact(False, f"{_own(said, colour)}; {rival}")


def is_unopposed(said: Said) -> Fact | None:
    """Whether a bishop has no rival on its colour."""
    at = said.at()
    piece = said.board.piece_at(at)
    if piece is None or piece.piece_type != chess.BISHOP:
        return None
    rivals = facts.bishops(said.board, not piece.color, facts.is_light(at))
    text = (
        f"{side_name(not piece.color)} has one on {names(rivals)[0]}" if rivals else "has no rival"
    )
    joint = ": " if rivals else " "
    return Fact(not rivals, f"{piece_on(said.board, at)}{joint}{text}", names((at, *rivals)))


def is_bad(said: Said) -> Fact | None:
    """Whether a bishop is bad by its pawns."""
    state = facts.bishop(said.board, said.at())
    if state is None:
        return None
    on, fixed = len(state.pawns_on_colour), len(state.fixed_on_colour)
    off = len(state.pawns_off_colour)
    because = (
        f"{piece_on(said.board, state.square)}: {several(on, 'own pawn')} on its colour "
        f"({fixed} blocked), {off} on the other"
    )
    true: bool | None = state.bad
    if on == off and fixed:
        true, because = None, f"a matter of opinion; {because}"
    return Fact(true, because, names((state.square, *state.pawns_on_colour)))


def shut_in(said: Said) -> Fact | None:
    """Whether own pawns named stand in a bishop's way; of pawns in general, whether it is bad."""
    at, pawn = said.at("piece"), said.at("piece2")
    if said.board.piece_type_at(at) != chess.BISHOP:
        return None
    if not said.phrases["piece2"].squares:
        return _behind_own(said)
    own = said.board.color_at(pawn) == said.board.color_at(at)
    line = chess.SquareSet(chess.between(at, pawn))
    aligned = (
        abs(chess.square_file(at) - chess.square_file(pawn))
        == chess.square_distance(at, pawn)
        == abs(chess.square_rank(at) - chess.square_rank(pawn))
    )
    enemies = line & said.board.occupied_co[not said.board.color_at(at)]
    ahead = (pawn > at) == said.board.color_at(at)
    true = own and aligned and not enemies and ahead
    if not true and len(said.phrases["piece2"].squares) > 1:
        return None
    stands = "stands" if true else "does not stand"
    return Fact(
        true,
        f"{piece_on(said.board, pawn)} {stands} in the way of {piece_on(said.board, at)}",
        names((at, pawn)),
    )


def _behind_own(said: Said) -> Fact | None:
    """Whether a bishop has no way past its own men, where that is plain."""
    at, by = said.at("piece"), said.phrases["piece2"]
    board, colour = said.board, said.board.color_at(said.at("piece"))
    if colour is None or by.who == "both":
        return None
    kinds = [t for t in chess.PIECE_TYPES if chess.piece_symbol(t).upper() in by.pieces]
    own = [
        s
        for s in board.attacks(at) & board.occupied_co[colour]
        if board.piece_type_at(s) in kinds and (s > at) == colour
    ]
    ahead = [s for s in board.attacks(at) if (s > at) == colour]
    free = [s for s in ahead if board.color_at(s) != colour]
    if kinds == [chess.PAWN] and (found := outside_chain(said)) is not None and found.true:
        return replace(found, true=False)
    if kinds == [chess.PAWN] and (not own or free):
        return is_bad(said)
    true = bool(own) and len(free) < 2
    if not true and own:
        return None  # one of its ways is blocked
    return Fact(
        true,
        f"{piece_on(board, at)} has {several(len(free), 'square')} ahead; own men before it: "
        f"{listed(names(own)) or 'none'}",
        names((at, *own)),
    )


def shut_away(said: Said) -> Fact | None:
    """Whether a bishop has no move at all; it is not shut in with five or more squares."""
    at = said.at("piece")
    if said.board.piece_type_at(at) != chess.BISHOP:
        return None
    if "square" in said and said.at("square") != at:
        return Fact(False, f"the bishop stands on {square(at)}", names([at]))
    own = said.board.occupied_co[bool(said.board.color_at(at))]
    free = chess.SquareSet(said.board.attacks(at)) - chess.SquareSet(own)
    if 0 < len(free) < 5:
        return None
    return Fact(
        not free, f"{piece_on(said.board, at)} has {several(len(free), 'square')}", names([at])
    )


def has_bad(said: Said) -> Fact | None:
    """Whether a side has a bishop that is bad (or good) by its pawns."""
    own = facts.bishops(said.board, said.side())
    told = [is_bad(replace(said, values={**said.values, "piece": at})) for at in own]
    verdicts = [fact for fact in told if fact is not None and fact.true is not None]
    if not own:
        return Fact(False, _own(said, said.side()))
    if len(verdicts) != len(own):
        return told[0]
    bad = said.word("which") == "bad"
    found = [fact for fact in verdicts if fact.true is bad]
    return Fact(bool(found), (found or verdicts)[0].because, (found or verdicts)[0].squares)


def fianchetto_at(said: Said) -> Fact:
    """Whether a side has a bishop in fianchetto on the wing or square named."""
    found = facts.fianchettoed(said.board, said.side())
    if "square" in said:
        found = tuple(s for s in found if s == said.at("square"))
    if "wing" in said:
        found = tuple(
            s for s in found if (chess.square_file(s) > 3) == (said.wing().value == "kingside")
        )
    here = facts.fianchettoed(said.board, said.side())
    because = (
        f"{side_name(said.side())} has {_bishop_at(here)}" if here else _own(said, said.side())
    )
    return Fact(bool(found), f"{because} in fianchetto" if here else because, names(found))


def only_fianchetto(said: Said) -> Fact:
    """Whether just one side has a bishop in fianchetto."""
    here = facts.fianchettoed(said.board, said.side())
    there = facts.fianchettoed(said.board, not said.side())
    text = f"in fianchetto: {listed(names((*here, *there))) or 'none'}"
    return Fact(bool(here) and not there, text, names((*here, *there)))


def off_own_colour(said: Said) -> Fact | None:
    """Whether most (all) of a side's pawns stand on the other colour than its one bishop."""
    own = facts.bishops(said.board, said.side("whose"))
    state = facts.bishop(said.board, own[0]) if len(own) == 1 else None
    if state is None:
        return None
    on, off = state.pawns_on_colour, state.pawns_off_colour
    true = not on if "all" in said.original.lower().split() else len(off) > len(on)
    return Fact(
        true,
        f"{piece_on(said.board, own[0])}: {several(len(on), 'own pawn')} on its colour, {len(off)} on the other",
        names((own[0], *off)),
    )


def whose_shades(said: Said) -> Fact:
    """Whether a side's one bishop runs on the colour named and the other side's on the other."""
    light = bool(_shade(said))
    mine, yours = (facts.bishops(said.board, c) for c in (said.side("side"), not said.side("side")))
    true = len(mine) == len(yours) == 1 and (
        (facts.is_light(mine[0]), facts.is_light(yours[0])) == (light, not light)
    )
    return Fact(true, f"{_own(said, said.side())}; {_own(said, not said.side())}")


def see_past(said: Said) -> Fact | None:
    """Whether a bishop's line is free where a piece is named that it may have to pass."""
    at, other = said.at("piece"), said.at("piece2")
    if said.board.piece_type_at(at) != chess.BISHOP or other not in said.board.attacks(at):
        return None
    return Fact(
        False,
        f"{piece_on(said.board, other)} stands in the way of {piece_on(said.board, at)}",
        names((at, other)),
    )


def turned(fact: Fact, by: bool) -> Fact:
    """The fact, turned round where "none" is said."""
    return replace(fact, true=not fact.true) if by else fact


def both_fianchettoed(said: Said) -> Fact:
    """Whether both sides have a bishop in fianchetto."""
    found = [facts.fianchettoed(said.board, c) for c in (chess.WHITE, chess.BLACK)]
    text = f"in fianchetto: {listed(names((*found[0], *found[1]))) or 'none'}"
    return Fact(all(found), text, names((*found[0], *found[1])))


def any_fianchetto(said: Said) -> Fact:
    """Whether any bishop stands in fianchetto ("nothing": none does)."""
    found = [s for c in (chess.WHITE, chess.BLACK) for s in facts.fianchettoed(said.board, c)]
    nothing = re.match(r"(?i)no(?:thing)?\b", said.original) is not None and not said.negated
    text = f"in fianchetto: {listed(names(found)) or 'none'}"
    return Fact(bool(found) != nothing, text, names(found))


def any_pawn_on_shade(said: Said) -> Fact:
    """Whether any of a side's pawns stands on the colour named."""
    pawns = facts.pawns(said.board, said.side("whose"))
    on = [s for s in pawns if facts.is_light(s) == bool(_shade(said))]
    return Fact(
        bool(on),
        f"{len(on)} of {side_name(said.side('whose'))}'s {len(pawns)} pawns stand on "
        f"{said.word('shade')} squares",
        names(on),
    )


def coloured_pawns_on_shade(said: Said) -> Fact:
    """The same as for "White's pawns", of "the white pawns"."""
    colour = said.word("colour") == "white"
    return pawns_on_shade(replace(said, values={**said.values, "side": colour}))


def is_good(said: Said) -> Fact | None:
    """Whether most of its own pawns stand on the other colour."""
    state = facts.bishop(said.board, said.at())
    bad = is_bad(said)
    if state is None or bad is None:
        return None
    return Fact(None if bad.true is None else state.good, bad.because, bad.squares)


def fianchetto(said: Said) -> Fact:
    """Whether a side has a bishop in fianchetto (the king's or the queen's, if named)."""
    colour = said.side()
    found = facts.fianchettoed(said.board, colour)
    which = said.word("which")
    if which:
        found = tuple(s for s in found if (chess.square_file(s) == 6) == (which == "king"))
    because = f"{side_name(colour)} has {_bishop_at(found)}" if found else _own(said, colour)
    return Fact(bool(found), because, names(found))


def _bishop_at(squares: tuple[chess.Square, ...]) -> str:
    plural = "bishops" if len(squares) > 1 else "a bishop"
    return f"{plural} on {listed(square(s) for s in squares)}"


def is_fianchettoed(said: Said) -> Fact | None:
    """Whether a bishop stands in fianchetto."""
    piece = said.board.piece_at(said.at())
    if piece is None or piece.piece_type != chess.BISHOP:
        return None
    if "side" in said and piece.color != said.side():
        return None
    true = said.at() in facts.fianchettoed(said.board, piece.color)
    return Fact(true, f"the bishop stands on {square(said.at())}", names([said.at()]))


def better(said: Said) -> Fact:
    """Which minor piece is better."""
    return Fact(None, "which piece is better is a matter of opinion")


def on_shade(said: Said) -> Fact | None:
    """Whether a bishop stands on the colour named."""
    at = said.at("piece")
    if said.board.piece_type_at(at) != chess.BISHOP:
        return None
    return Fact(
        facts.is_light(at) == _shade(said),
        f"{piece_on(said.board, at)} is on a {'light' if facts.is_light(at) else 'dark'} square",
        names([at]),
    )


def lost_bishop(said: Said) -> Fact:
    """Whether a side has fewer than two bishops (for a knight: and the other lost a knight)."""
    own = facts.bishops(said.board, said.side())
    return Fact(len(own) < 2, _own(said, said.side()), names(own))


def bishop_and_knight(said: Said) -> Fact:
    """Whether a side's minor pieces are a bishop and a knight."""
    mine = facts.count(said.board, said.side())
    true = (
        mine.bishops >= 1 and mine.knights >= 1 and not facts.bishop_pair(said.board, said.side())
    )
    if re.search(r"against|versus| to | for ", said.original):
        true = true and facts.bishop_pair(said.board, not said.side())
    return Fact(
        true,
        f"{side_name(said.side())} has {several(mine.bishops, 'bishop')} and "
        f"{several(mine.knights, 'knight')}",
    )


def two_against(said: Said) -> Fact:
    """Whether a side has the bishop pair and the other bishop and knight (or two knights)."""
    theirs = facts.count(said.board, not said.side())
    knights = "number2" in said or "knights" in said.original
    fits = (theirs.knights, theirs.bishops) == ((2, 0) if knights else (1, 1))
    return Fact(
        facts.bishop_pair(said.board, said.side()) and fits,
        f"{_own(said, said.side())}; {side_name(not said.side())} has "
        f"{several(theirs.bishops, 'bishop')} and {several(theirs.knights, 'knight')}",
    )


def pawns_on_shade(said: Said) -> Fact:
    """Whether most of a side's pawns stand on one colour."""
    light = bool(_shade(said))
    pawns = facts.pawns(said.board, said.side())
    on = [s for s in pawns if facts.is_light(s) == light]
    wanted = 2 * len(on) > len(pawns)
    if "number" in said:
        wanted = len(on) == said.number() and said.values.get("number2", len(pawns)) == len(pawns)
    elif " all " in f" {said.original.lower()} ":
        wanted = len(on) == len(pawns)
    return Fact(
        wanted,
        f"{len(on)} of {side_name(said.side())}'s {len(pawns)} pawns stand on "
        f"{'light' if light else 'dark'} squares",
        names(on),
    )


def is_bad_or_good(said: Said) -> Fact | None:
    """Good or bad, as said; "better" is a matter of opinion."""
    if re.search(r"better|worse", said.original):
        return better(said)
    return is_bad(said) if "bad" in said.original else is_good(said)


def only_bishop(said: Said) -> Fact | None:
    """Whether a side's only bishop runs on the colour named."""
    own = facts.bishops(said.board, said.side())
    if len(own) != 1:
        return None
    return Fact(facts.is_light(own[0]) == _shade(said), _own(said, said.side()), names(own))


def not_there(said: Said) -> Fact | None:
    """That a side has no bishop of the colour spoken of; nothing where it has one."""
    fact = has_coloured(said)
    return None if fact.true else fact


_PAIR = r"(?:bishop pairs?|bishops pair|pair of bishops|both bishops|(?:two|N.) bishops|advantage of the (?:bishop pair|(?:two|N.) bishops))"
_SHADED = r"(?P<shade>light|dark|white|black) squared? bishops?"


def all_shade(said: Said) -> Fact:
    """Whether all bishops on the board stand on the colour named."""
    both = [s for c in (chess.WHITE, chess.BLACK) for s in facts.bishops(said.board, c)]
    true = bool(both) and all(facts.is_light(s) == _shade(said) for s in both)
    return Fact(true, f"{_own(said, chess.WHITE)}; {_own(said, chess.BLACK)}", names(both))


def on_own_colour(said: Said) -> Fact | None:
    """Whether most (or so many) of a side's pawns stand on the colour of its one bishop."""
    own = facts.bishops(said.board, said.side("whose"))
    state = facts.bishop(said.board, own[0]) if len(own) == 1 else None
    if state is None:
        return None
    on, off = state.pawns_on_colour, state.pawns_off_colour
    true = len(on) == said.number() if "number" in said else len(on) > len(off)
    if "all" in said.original.lower().split():
        true = not off
    return Fact(
        true,
        f"{piece_on(said.board, own[0])}: {several(len(on), 'own pawn')} on its colour, {len(off)} on the other",
        names((own[0], *on)),
    )


def number_of_bishops(said: Said) -> Fact:
    """Whether a side (each, if none is named) has so many bishops."""
    wanted = said.number() if "number" in said else 1
    sides = (said.side(),) if "side" in said else chess.COLORS
    true = all(len(facts.bishops(said.board, c)) == wanted for c in sides)
    return Fact(true, "; ".join(_own(said, c) for c in sides))


def has_view(said: Said) -> Fact | None:
    """Whether a bishop sees a square or piece."""
    at, target = said.at("piece"), said.at("target")
    if said.board.piece_type_at(at) != chess.BISHOP:
        return None
    true = facts.attacks(said.board, at, target)
    does = "reaches" if true else "does not reach"
    return Fact(true, f"{piece_on(said.board, at)} {does} {square(target)}", names((at, target)))


def shaded_on(said: Said) -> Fact:
    """Whether a side's bishop of the colour named stands on a square."""
    light = bool(_shade(said))
    own = facts.bishops(said.board, said.side("whose"), light)
    where = f"on {listed(names(own))}" if own else "nowhere"
    return Fact(
        said.at("square") in own,
        f"{side_name(said.side('whose'))}'s {'light' if light else 'dark'}-squared bishop stands {where}",
        names(own),
    )


def all_bishops(said: Said) -> Fact:
    """Whether both sides have bishops on both colours."""
    true = all(facts.bishop_pair(said.board, c) for c in chess.COLORS)
    return Fact(true, f"{_own(said, chess.WHITE)}; {_own(said, chess.BLACK)}")


def outside_chain(said: Said) -> Fact | None:
    """Whether a bishop has passed its own pawns, or stands behind one that stops it."""
    at = said.at("piece")
    piece = said.board.piece_at(at)
    if piece is None or piece.piece_type != chess.BISHOP:
        return None
    ahead = 8 if piece.color else -8
    pawns = said.board.pieces(chess.PAWN, piece.color)
    behind = [s for s in (at - ahead - 1, at - ahead + 1) if 0 <= s < 64 and s in pawns]
    before = [s for s in said.board.attacks(at) if s in pawns and (s > at) == piece.color]
    text = f"own pawns before it: {listed(names(before))}; behind it: {listed(names(behind))}"
    if not behind and not before:
        return _ahead_of_pawns(said, at)
    return Fact(
        bool(behind) and len(before) < 2,
        f"{piece_on(said.board, at)}: {text}",
        names((at, *before, *behind)),
    )


def _ahead_of_pawns(said: Said, at: chess.Square) -> Fact | None:
    """Whether a bishop is further up than its side's pawns of the middle files, where that is plain."""
    colour = bool(said.board.color_at(at))
    rank = facts.rank_for(colour, at)
    middle = [
        facts.rank_for(colour, s)
        for s in facts.pawns(said.board, colour)
        if 2 <= chess.square_file(s) <= 5
    ]
    if not middle or min(middle) < rank <= max(middle):
        return None
    text = f"{piece_on(said.board, at)} is {'before' if rank > max(middle) else 'behind'} its pawns"
    return Fact(rank > max(middle), text, names([at]))


def open_diagonal(said: Said) -> Fact | None:
    """Whether a bishop looks along three free squares ahead; not if it has none ahead at all."""
    at = said.at("piece")
    piece = said.board.piece_at(at)
    if piece is None or piece.piece_type != chess.BISHOP:
        return None
    ahead = [s for s in said.board.attacks(at) if (s > at) == piece.color]
    free = [s for s in ahead if said.board.color_at(s) != piece.color]
    best = max((sum((s - at) % d == 0 for s in free) for d in (7, 9)), default=0)
    if 0 < best < 3:
        return None
    text = f"{piece_on(said.board, at)} reaches ahead: {listed(names(free)) or 'nothing'}"
    return Fact(best > 2, text, names((at, *free)))


def wing_pawns_on_shade(said: Said) -> Fact | None:
    """Whether a side's pawns on a wing (all, or most) stand on one colour."""
    files = (range(4, 8), range(5, 8)) if said.wing().value == "kingside" else (range(4), range(3))
    own = facts.pawns(said.board, said.side("whose"))
    most = re.search(r"\b(?:mostly|mainly)\b", said.original)
    answers = []
    for wing in files:
        pawns = [s for s in own if chess.square_file(s) in wing]
        on = [s for s in pawns if facts.is_light(s) == bool(_shade(said))]
        answers.append(2 * len(on) > len(pawns) if most else len(on) == len(pawns))
    if not pawns or answers[0] != answers[1]:
        return None  # whether the centre pawns belong to the wing is a matter of taste
    true = answers[0]
    return Fact(true, f"{len(on)} of {len(pawns)} pawns there: {listed(names(on))}", names(pawns))


def is_their_bad(said: Said) -> Fact | None:
    """Whether a bishop is the bad (or good) bishop of its side."""
    words = {*said.phrases["piece"].words, *said.phrases["piece2"].words}
    at = said.at("piece") if said.phrases["piece"].squares else said.at("piece2")
    if not words & {"bad", "good"} or said.board.piece_type_at(at) != chess.BISHOP:
        return None
    fact = is_bad(replace(said, values={**said.values, "piece": at}))
    if fact is None or fact.true is None or "bad" in words:
        return fact
    return replace(fact, true=not fact.true)


def can_challenge(said: Said) -> Fact | None:
    """That a bishop cannot meet one of the other colour; of others nothing is said."""
    one, other = said.at("piece"), said.at("piece2")
    kinds = {said.board.piece_type_at(one), said.board.piece_type_at(other)}
    if kinds != {chess.BISHOP} or facts.is_light(one) == facts.is_light(other):
        return None
    return Fact(
        False,
        f"the bishops on {square(one)} and {square(other)} are of opposite colours",
        names((one, other)),
    )


def shade_gone(said: Said) -> Fact | None:
    """Whether neither side has a bishop on the colour named."""
    fact = someone_has_coloured(said)
    return replace(fact, true=not fact.true) if "bishops" in said.original else None


def colours_of_two(said: Said) -> Fact | None:
    """Whether two bishops named together run on the same colour (or on different ones)."""
    at = said.at("piece")
    others = others_of(said, at) if said.phrases["piece"].parts else ()
    if said.board.piece_type_at(at) != chess.BISHOP or len(others) != 1:
        return None
    same = facts.is_light(at) == facts.is_light(others[0])
    text = f"{square(at)} and {square(others[0])} are of {'one colour' if same else 'different colours'}"
    return Fact(same == (said.word("which") == "same"), text, names((at, *others)))


def no_guard_of_shade(said: Said) -> Fact:
    """Whether a side has a bishop on the colour named."""
    light = said.word("shade") == "light"
    colours = [said.word("colour") == "white"] if said.word("colour") else list(chess.COLORS)
    if "side" in said.values or "whose" in said.values:
        colours = [said.side()]
    own = [s for c in colours for s in facts.bishops(said.board, c, light)]
    return Fact(
        bool(own),
        f"{said.word('shade')}-squared bishops: {listed(names(own))}",
        names(own),
    )


_GUARDS = r"(?:to|that could|which could|that can|able to) (?:look after|guard|defend|cover|protect|control|watch(?: over)?|take care of|hold|mind|contest|fight for|patrol)"


def only_of_shade(said: Said) -> Fact:
    """Whether a side has the only bishop on the colour named."""
    light = said.word("shade") == "light"
    own, other = (facts.bishops(said.board, c, light) for c in (said.side(), not said.side()))
    text = f"{said.word('shade')}-squared bishops: {listed(names((*own, *other)))}"
    return Fact(bool(own) and not other, text, names((*own, *other)))


def fianchetto_there(said: Said) -> Fact:
    """Whether a bishop stands fianchettoed on the square named."""
    at = said.at("square")
    home = chess.square_name(at) in {"b2", "g2", "b7", "g7", "a3", "h3", "a6", "h6"}
    there = said.board.piece_type_at(at) == chess.BISHOP
    text = "a bishop stands" if there else "no bishop stands"
    return Fact(home and there, f"{text} on {square(at)}", names([at]))


PATTERNS = (
    Pattern(
        r"(?:the|this|a|{whose}) (?:(?:king|queen) 's |(?:light|dark) squared |white |black )*bishop (?:{be}|has been|was) (?:fianchettoed|in fianchetto) (?:on|to|at) {square}",
        fianchetto_there,
    ),
    Pattern(
        r"{side} {have} the only (?P<shade>light|dark) squared bishop(?: on the board| left| in the game)?",
        only_of_shade,
    ),
    Pattern(
        r"the only (?P<shade>light|dark) squared bishop(?: on the board| left)? (?:is|belongs to) (?:{whose}|{side})",
        only_of_shade,
    ),
    Pattern(
        r"(?:any |an? |the )?(?P<colour>white|black) bishop (?:left )?(?:guards|covers|protects|defends|controls|watches(?: over)?|looks after|patrols|minds|can guard|can cover|can protect|can control) (?:the )?(?P<shade>light|dark) squares",
        no_guard_of_shade,
    ),
    Pattern(
        rf"there is (?:no |any |a )?(?:(?P<colour>white|black) )?bishop (?:left )?(?:any more )?{_GUARDS} (?:the )?(?P<shade>light|dark) squares",
        no_guard_of_shade,
    ),
    Pattern(
        rf"{{side}} {{have}} (?:no |any |a |the )?bishop (?:left )?(?:any more )?{_GUARDS} (?:the |{{own}} )?(?P<shade>light|dark) squares",
        no_guard_of_shade,
    ),
    Pattern(rf"{{side}} {{have}} {{det}}(?!N. ){_PAIR}(?: left)?", pair),
    Pattern(r"{side} {have} {det}{number} bishops(?: left)?", pair_wanted),
    Pattern(
        r"{side} {have} {det}advantage of {det}(?:bishop pair|pair of bishops|{number} bishops)",
        pair,
    ),
    Pattern(rf"only {{side}} {{have}} {{det}}{_PAIR}(?: left)?", only_pair),
    Pattern(
        rf"(?:the )?{_PAIR} (?:belongs to|is in the hands of|is with|stays with|is on the side "
        r"of|lies with|rests with) {side}",
        pair,
    ),
    Pattern(
        rf"{{side}} (?:has|have) (?:lost|given up|surrendered|parted with|conceded|sacrificed|"
        rf"ceded|traded(?: off)?|handed over|yielded|gone without) {{det}}{_PAIR}",
        pair,
        against=True,
    ),
    Pattern(
        rf"{{side}} (?:lacks?|is without|are without|is missing) {{det}}{_PAIR}", pair, against=True
    ),
    Pattern(
        rf"{{side}} (?:has|have) (?:won|gained|obtained|got|acquired|kept) {{det}}{_PAIR}", pair
    ),
    Pattern(rf"there is (?:a |the )?{_PAIR}", anyone_pair),
    Pattern(
        r"(?:the|we have|there are|they have|both sides have|it is)(?: now)?(?: got)? ?(?:the |a )?"
        r"(?:bishops (?:are |is )?(?:of |on )?opposite (?:colou?rs?|coloured)(?: squares)?|"
        r"opposite colou?r(?:ed)? bishops(?: are on)?(?: ending| endgame| position)?|"
        r"bishops of opposite colou?rs?)(?: on)?",
        opposite,
    ),
    Pattern(
        r"(?:opposite colou?r(?:ed)? bishops?|bishops of opposite colou?rs?)(?! (?:and|in|with|are|often|tend|on)\b)",
        opposite,
    ),
    Pattern(
        r"{side} {have} (?:bishops of opposite colou?rs?|opposite colou?red bishops)", opposite
    ),
    Pattern(
        r"(?:the (?:two |N. )?remaining|the|both|the two|the N.) bishops (?:are|move|run|operate|travel|work|glide|go) (?:of|on|along|on "
        r"squares of)?(?: the)? ?(?:opposite|different) (?:colou?rs?|colou?red squares)",
        opposite,
    ),
    Pattern(
        r"(?:the (?:two )?remaining|the|both|the two) bishops (?:are|move|run|operate|travel|work|glide|go) (?:of|on|along|on "
        r"squares of) the same colou?r(?:ed squares)?",
        same_colour,
    ),
    Pattern(rf"{{side}} {{have}} {{det}}{_SHADED}(?: left| any longer)?", has_coloured),
    Pattern(rf"there is {{det}}{_SHADED}(?: left)?", someone_has_coloured),
    Pattern(
        rf"{{side}} (?:has|have) (?:lost|exchanged|traded|swapped|given up|given away|given|parted with|swapped off) {{det}}{_SHADED}",
        lost_coloured,
    ),
    Pattern(
        rf"{{side}} (?:lacks?|is without|are without|misses|is missing) {{det}}{_SHADED}",
        lost_coloured,
    ),
    Pattern(
        rf"{{side}} {{have}} {{det}}(?:unopposed|unchallenged|uncontested) (?:{_SHADED}|bishop)",
        has_unopposed,
    ),
    Pattern(
        r"{piece} (?:{be}) (?:unopposed|unchallenged|unrivalled|uncontested|without "
        r"(?:a )?(?:rival|opponent|counterpart|opposite number))",
        is_unopposed,
    ),
    Pattern(
        r"{piece} (?:{be}) (?:opposed|matched|rivalled|balanced|contested) by (?:P.|(?:an? )?(?:white|black|enemy)? ?(?:one|bishop|counterpart|rival|opposite number))(?: (?:of|on) (?:the )?same colou?r)?",
        is_unopposed,
        against=True,
    ),
    Pattern(
        r"{piece} (?:faces|meets|face|meet) (?:(?:P.|(?:an? |any )?(?:white|black|enemy)? ?(?:one|bishop|counterpart|rival|opposite number)) (?:of|on) (?:the )?same colou?r|(?:an?|any) (?:white|black|enemy) (?:one|counterpart|rival))",
        is_unopposed,
        against=True,
    ),
    Pattern(
        r"{piece} (?:{be}) (?:faced|met|challenged|confronted|answered|countered) by (?:P.|(?:an? )?(?:white|black|enemy)? ?(?:one|bishop|counterpart|rival|opposite number)) (?:of|on) (?:the )?same colou?r",
        is_unopposed,
        against=True,
    ),
    Pattern(
        r"{piece} (?:has|have|meets|meet|finds|faces) (?:a |any )?(?:black |white |enemy )?(?:counterpart|rival|opponent|opposite number|"
        r"competitor|opposition)",
        is_unopposed,
        against=True,
    ),
    Pattern(r"{piece} {be} (?:a |the )?(?:really |rather )?bad(?: bishop| one| piece)?", is_bad),
    Pattern(
        r"{piece} {be} (?:hemmed in|hindered|impeded|held up|shut in|shut|shut away|shut up|closed in|closed|kept in|stuck|trapped|caged|locked up|locked|locked away|blocked|blocked in|restricted|hampered|obstructed|"
        r"locked in|buried|imprisoned|smothered|walled in|stifled) (?:by|behind) {piece2}",
        shut_in,
    ),
    Pattern(r"{piece} {be} (?:a |the )?good (?:bishop|one)", is_good),
    Pattern(
        r"{side} (?:has|have) fianchettoed {det}(?:(?P<which>king|queen) 's )?bishops?", fianchetto
    ),
    Pattern(
        r"{side} (?:{have}|(?:has|have) (?:put|placed|brought|developed)) {det}(?:(?P<which>king|queen) 's )?bishops? (?:is )?(?:in|into|to) (?:a )?fianchetto",
        fianchetto,
    ),
    Pattern(r"{side} {have} {det}fianchettoed (?:(?P<which>king|queen) 's )?bishops?", fianchetto),
    Pattern(r"{side} (?:has|have) fianchettoed", fianchetto),
    Pattern(r"{piece} {be} (?:fianchettoed|in fianchetto|on the fianchetto)", is_fianchettoed),
    Pattern(
        r"{piece} {be} (?:much |clearly |far |slightly )?(?:better|stronger|worse|weaker|superior) "
        r"(?:than|to) {piece2}",
        better,
    ),
    Pattern(
        r"{piece} (?:has|have) (?:most|all) of {piece2} on (?:the )?(?:other|opposite) colou?r",
        is_good,
    ),
    Pattern(
        r"{piece} (?:has|have) (?:most|all) of {piece2} on (?:its|the same|its own|{own}) colou?r",
        is_bad,
    ),
    Pattern(r"{side} (?:has|have) fianchettoed {piece}", is_fianchettoed),
    Pattern(
        r"{piece} (?:runs?|moves?|operates?|travels?|works?|plays?|goes|glides?|{be}|belongs?) (?:on|along|to) (?:the |a )?(?P<shade>light|dark|white|black) (?:coloured |colored )?(?:squares?|colou?r|ones)",
        on_shade,
    ),
    Pattern(
        r"(?:both (?:of )?)?{whose} (?:two |both )?bishops {be} (?:both )?(?:on|there|alive|left|intact|in play|present|around|with us)(?: the board)?",
        pair,
    ),
    Pattern(
        r"{side} {have} both (?:a )?(?:light|dark) squared and (?:a )?(?:light|dark) squared bishops?",
        pair,
    ),
    Pattern(
        r"{side} {have} (?:bishops? on|a bishop of|bishops of) (?:both|each) (?:colou?rs?|squares|kinds of square)",
        pair,
    ),
    Pattern(
        r"(?:the )?bishop pair {be} (?:gone|history|no more|broken up|broken|lost)",
        anyone_pair,
        against=True,
    ),
    Pattern(
        r"{whose} (?:bishop pair|pair of bishops) {be} (?:intact|still there|alive|complete)", pair
    ),
    Pattern(
        r"both (?:bishop pairs|pairs of bishops) (?:{be} (?:intact|there|alive|complete|on)|survive|remain)",
        all_bishops,
    ),
    Pattern(
        r"the (?:(?:two|N.) bishops|bishop pair|pair of bishops) (?:is|are) {whose}",
        lambda said: pair(said.of_whose()),
    ),
    Pattern(
        r"{whose} (?:bishop pair|pair of bishops) (?:is|has been) (?:gone|broken up|lost|history|broken)",
        pair,
        against=True,
    ),
    Pattern(
        rf"{{whose}} {_SHADED} (?:is|has|was)(?: been)? (?:gone|exchanged|traded|off(?: the board)?|taken|captured|swapped off|disappeared|left the (?:board|game|stage|field)|retired|departed|no longer (?:there|on the board)|missing)(?: off)?",
        lost_coloured,
    ),
    Pattern(
        rf"{{whose}} {_SHADED} {{be}} (?:on|there|alive|left|around|present)(?: the board)?",
        has_coloured,
    ),
    Pattern(
        r"{piece} {be} (?:a |the )?(?P<shade>light|dark) squared(?: (?:one|ones|{number}|bishop|bishops|piece))?",
        on_shade,
    ),
    Pattern(
        r"{side} {have} (?:only )?{det}(?:one |single |lone )?(?P<shade>light|dark) squared one",
        has_coloured,
    ),
    Pattern(
        r"{side} (?:has |have )?(?:exchanged|traded|swapped|given up|parted with|gave up|exchanged off|lost|given|gave) (?:a|one|{own}|the) (?:(?:good|better|best|fine|strong|important|valuable) |of {own} )?bishops?(?: for (?:a|the|{own}) knight)?",
        lost_bishop,
    ),
    Pattern(
        r"{side} {have} (?:a |any )?bishops? (?:on|for|of) (?:the )?(?P<shade>light|dark) (?:squares|colou?r)",
        has_coloured,
    ),
    Pattern(
        r"{side} {have} (?:a )?bishop and (?:a )?knight(?: (?:against|versus|to|for) (?:the |{own} )?(?:two bishops|bishop pair|pair of bishops|{number} bishops))?",
        bishop_and_knight,
    ),
    Pattern(
        r"{side} {have} (?:the |{own} )?(?:two bishops|bishop pair|{number} bishops) (?:against|versus|to) (?:a )?(?:bishop and (?:a )?knight|knight and (?:a )?bishop|{number2} knights)",
        two_against,
    ),
    Pattern(
        r"(?:(?P<most>most|the majority|all)|{number}) of {whose} (?:{number2} )?pawns {be} (?:fixed |placed )?on (?:the )?(?P<shade>light|dark|white|black) (?:squares|ones)",
        pawns_on_shade,
    ),
    Pattern(
        r"{whose} pawns {be} (?:mostly|mainly|largely|all|for the most part|predominantly)? ?(?:fixed |placed )?on (?:the )?(?P<shade>light|dark|white|black) (?:squares|ones)",
        pawns_on_shade,
    ),
    Pattern(r"{piece} {be} (?:of|on) the same colou?r as (?:most of )?{piece2}", is_bad),
    Pattern(r"{piece} {be} (?:a )?(?:good|bad|worse|better) (?:one|piece)", is_bad_or_good),
    Pattern(
        r"{whose} (?:only |last |remaining |one )?bishop (?:{be} (?:a |the )?(?P<shade>light|dark) squared(?: one| bishop)?|(?:{be}|runs|moves|travels|operates|works|plays) (?:on|along) (?:the )?(?P<shade2>light|dark) squares)",
        only_bishop,
    ),
    Pattern(
        rf"{{whose}} {_SHADED}(?= (?:attacks?|controls?|pins?|can|dominates?|eyes|guards?|protects?|defends?|rules?|looks?|points?|plays?|needs?|wants?) )",
        not_there,
        noun=True,
    ),
    Pattern(
        r"it is (?:a case of |an? (?:position|ending|endgame) with |all about )?(?:opposite colou?red bishops|bishops of opposite colou?rs?)",
        opposite,
    ),
    Pattern(
        r"(?:the )?(?:two |both )?(?:remaining )?bishops {be} (?:both |all )?(?:on )?(?:the )?(?P<shade>light|dark) (?:squared|squares)",
        all_shade,
    ),
    Pattern(
        r"{whose} pawns {be} (?:mostly|mainly|largely|all|for the most part)? ?on the (?:same )?colou?r (?:of|as) {own} (?:own )?bishop",
        on_own_colour,
    ),
    Pattern(
        r"(?:most|the majority|{number}) of {whose} (?:{number2} )?pawns {be} on the (?:same )?colou?r (?:of|as) {own} (?:own )?bishop",
        on_own_colour,
    ),
    Pattern(
        r"(?:the |both |two )?bishops can (?:meet|attack|oppose|touch|exchange|face|fight|see) ?(?:each other|one another)?",
        opposite,
        against=True,
    ),
    Pattern(
        r"neither bishop can (?:ever )?(?:attack|oppose|touch|capture|meet|exchange itself for|challenge) the other(?: one| bishop)?",
        opposite,
    ),
    Pattern(
        r"(?:each side|both sides|{side}) {have} (?:just |only )?(?:one|a single|{number}) bishops?(?: each)?",
        number_of_bishops,
    ),
    Pattern(rf"(?:it is )?(?:only )?{{side}} who {{have}} {{det}}(?!N. ){_PAIR}", pair),
    Pattern(
        r"{piece} (?:has|have) (?:an? )?(?:free|open|clear|unobstructed) (?:diagonal|view|line|path|road)(?: (?:to|of|towards|at) {target})",
        has_view,
    ),
    Pattern(
        r"{piece} {be} (?:biting on granite|(?:completely |totally )?(?:blunted|shut out|dead|blocked)) (?:by|on|because of) {piece2}",
        lambda said: (
            is_bad(said) if said.board.piece_type_at(said.at("piece")) == chess.BISHOP else None
        ),
    ),
    Pattern(rf"{{whose}} {_SHADED} {{be}} (?:the one |the bishop )?on {{square}}", shaded_on),
    Pattern(
        r"{piece} {be} (?:outside|in front of|beyond) (?:the|{own}|its)(?: own)? (?:pawn chain|chain of pawns|pawns|pawn structure|chain)",
        outside_chain,
    ),
    Pattern(
        r"{piece} {be} (?:inside|behind|within) (?:the|{own}|its)(?: own)? (?:pawn chain|chain of pawns|pawn structure|chain)",
        outside_chain,
        against=True,
    ),
    Pattern(
        r"{whose} {wing} pawns {be} (?:all |mostly |mainly )?(?:fixed |placed )?on (?:the )?(?P<shade>light|dark|white|black) (?:squares|ones)",
        wing_pawns_on_shade,
    ),
    Pattern(r"{piece} {be} {piece2}", is_their_bad),
    Pattern(
        r"{side} {have} (?P<most>all )?{number} (?:of {own} )?pawns (?:fixed |placed |standing )?on (?:the )?(?P<shade>light|dark) squares",
        lambda said: pawns_on_shade(
            replace(said, values={**said.values, "whose": said.values["side"]})
        ),
    ),
    Pattern(
        r"{piece} (?:can|could) (?:ever )?(?:challenge|oppose|contest|meet|confront|stop|fight|neutralise|neutralize) {piece2}",
        can_challenge,
    ),
    Pattern(rf"there are (?:any |some )?{_SHADED}(?: left| on the board)?", someone_has_coloured),
    Pattern(
        rf"{{side}} {{have}} (?:only |just )?(?:one|a single|{{number}}) {_SHADED}(?: left)?",
        has_coloured,
    ),
    Pattern(
        r"{side} (?:has|have) (?:lost|exchanged|traded|given up|parted with|swapped) {det}fianchetto(?:ed)? bishop",
        fianchetto,
        against=True,
    ),
    Pattern(
        rf"(?:both |the |all )?{_SHADED} (?:have|are)(?: been)? (?:all )?(?:swapped|exchanged|traded|gone|off|off the board|swapped off|come off)(?: off)?",
        shade_gone,
    ),
    Pattern(
        r"{piece} {be} (?:of|on|on squares of) (?:the )?(?P<which>same|opposite|different) colou?rs?",
        colours_of_two,
    ),
    Pattern(
        r"{piece} {be} (?:(?:completely |totally )?(?:shut in|locked in|hemmed in|buried|entombed|caged|caged in|walled in|shut away|locked up|locked out)|stuck (?:at home|on {square})|(?:shut|locked) out of (?:the game|play))",
        shut_away,
    ),
    Pattern(r"{piece} (?:has|have) (?:a |any )?way out", shut_away, against=True),
    Pattern(r"{side} {have} {det}(?P<which>bad|good) bishop", has_bad),
    Pattern(
        r"{side} (?:has|have) fianchettoed (?:(?:{det}|{own} )(?:(?:king|queen) 's )?bishops? )?on (?:the )?(?:{wing}|{square})",
        fianchetto_at,
    ),
    Pattern(
        r"{whose} (?:(?:king|queen) 's )?bishop {be} (?:fianchettoed|in fianchetto) on (?:the )?(?:{wing}|{square})",
        lambda said: fianchetto_at(said.of_whose()),
    ),
    Pattern(r"only {side} (?:has|have) fianchettoed(?: (?:a|his|her|G.) bishop)?", only_fianchetto),
    Pattern(
        r"{side} (?:is|are) the only (?:one|side|player) (?:to have|who has|that has) fianchettoed(?: (?:a|his|her|G.) bishop)?",
        only_fianchetto,
    ),
    Pattern(
        r"both (?:kings '?s?|king 's|G. king 's|G.|kings) bishops {be} (?:fianchettoed|in fianchetto)",
        both_fianchettoed,
    ),
    Pattern(
        r"(?:the|we have|{side} have|there are|it is|these are|they are)(?: got)? ?(?:the |a |both )?"
        r"(?:same colou?r(?:ed)? bishops?(?: ending| endgame| position)?|bishops (?:are |is )?(?:of |on )?(?:the |one and the )?same colou?r(?:ed squares)?)",
        same_colour,
    ),
    Pattern(
        r"(?:the|we have|{side} have|there are|it is|these are|they are)(?: got)? ?(?:the |a |both )?"
        r"(?:opposite bishops?(?: ending| endgame| position)?|opposite colou?r(?:ed)? bishops?(?: ending| endgame| position)?|"
        r"bishops (?:are |is )?(?:of |on )?(?:opposite|different) colou?r(?:s|ed squares)?)",
        opposite,
    ),
    Pattern(
        r"(?:one|{number}) (?:bishop|of the bishops|of them) is (?:a |the )?(?:light|dark) squared(?: one| bishop)? ?(?:and|,) (?:the other|the other one|the other bishop|{number2})(?: is)? (?:a )?(?:light|dark) squared(?: one)?",
        opposite,
    ),
    Pattern(
        r"{side} {have} (?:a |the )(?P<shade>light|dark) squared bishop ?,? (?:and |while )?S. (?:has|have )?(?:a |the |has the |has a |have the )?(?:light|dark) squared (?:one|bishop|N.)",
        whose_shades,
    ),
    Pattern(
        r"{piece} can (?:see|look|get|reach|go|move) (?:past|through|beyond|round|around) {piece2}",
        see_past,
    ),
    Pattern(
        r"(?:(?P<most>most|all) of the |all (?:the )?|all of the |the )(?P<colour>white|black) pawns {be} (?:all |mostly |mainly |both )?(?:fixed |placed )?on (?:the )?(?P<shade>light|dark) (?:squares|ones)",
        coloured_pawns_on_shade,
    ),
    Pattern(
        r"{whose} pawns all {be} (?:fixed |placed )?on (?:the )?(?P<shade>light|dark) (?:squares|ones)",
        pawns_on_shade,
    ),
    Pattern(
        r"(?:all|all of|most of|nearly all of) {whose} pawns {be} (?:fixed |placed |now )?on (?:the )?(?P<shade>light|dark) (?:squares|ones)",
        pawns_on_shade,
    ),
    Pattern(
        r"(?P<none>none|not one|no one|any) of {whose} pawns (?:is|are) on (?:the |a )?(?P<shade>light|dark) (?:squares?|ones?)",
        lambda said: turned(any_pawn_on_shade(said), said.word("none") != "any"),
    ),
    Pattern(
        r"{side} {have} (?:a |any )?pawns? on (?:the |a )?(?P<shade>light|dark) squares?(?! (?:against|to|and)\b)",
        lambda said: any_pawn_on_shade(
            replace(said, values={**said.values, "whose": said.values["side"]})
        ),
    ),
    Pattern(
        r"(?:all of |all |most of )?{whose} pawns {be} (?:all |mostly |mainly )?on (?:the )?(?:other|opposite|wrong|right) colou?r (?:to|from|than|of|as) (?:{own}|the) (?:own )?bishop(?: 's)?",
        off_own_colour,
    ),
    Pattern(
        r"(?:all of |all |most of )?{whose} pawns {be} (?:all |mostly |mainly )?on (?:the |G. )bishop 's(?: own)? colou?r",
        on_own_colour,
    ),
    Pattern(rf"{{side}} alone {{have}} {{det}}{_PAIR}(?: left)?", only_pair),
    Pattern(
        rf"{{side}} (?:is|are) the only (?:one|side|player) (?:with|to have|who has) {{det}}{_PAIR}(?: left)?",
        only_pair,
    ),
    Pattern(
        r"(?:the )?(?:two |both |both the |N. )?(?P<shade>light|dark) squared bishops (?:has|have|are|were|left|came|went)(?: both| just| been| come| all)*(?: (?:gone|left|off|exchanged|traded|swapped|come off|disappeared))?(?: the board)?(?: together| off)?",
        shade_gone,
    ),
    Pattern(r"{side} (?:has|have) fianchettoed (?:one|a|both) of {own} bishops", fianchetto),
    Pattern(
        r"{piece} {have} (?:an? |the )?(?:nice |good |fully )?(?:open|free|clear|long) diagonal(?: in front of (?:it|P.)| ahead| open)?",
        open_diagonal,
    ),
    Pattern(
        r"(?:the|a|G.) (?:(?P<which>king|queen) 's )?bishop (?:has been|was|is) fianchettoed by {side}",
        fianchetto,
    ),
    Pattern(
        r"(?:anything|a bishop|nothing|no bishop) (?:is|has been|was) fianchettoed", any_fianchetto
    ),
)
