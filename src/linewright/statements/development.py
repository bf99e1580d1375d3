"""Development, tempo and the king's safety, as far as they are facts.

Definitions: a knight or bishop is developed once it has left the square where it starts (Hooper &
Whyld, The Oxford Companion to Chess, "development"). Ahead in development: more knights and bishops
out, castling counted as one more. A king's shield is its own pawns on its own and the neighbouring
files, one or two ranks ahead (common practice, no source). Whether a king is safe, or a lead in
development worth anything, is a matter of opinion.

    after 1.e4 e5 2.Nf3 Nc6 3.Bb5 Nf6 4.O-O:
        holds: White has developed two pieces
        fails: Black has developed three minor pieces
        holds: the knight on f3 is developed
        fails: the bishop on c1 is developed
        holds: all of White's queenside pieces are still at home
        holds: White is ahead in development
        fails: Black has brought his queen out
        holds: Black's queen is still on its original square
        fails: all of White's minor pieces are developed
        left alone: development matters in open positions
        left alone: White should develop the bishop
        cannot tell: Black's king is safe
"""

from __future__ import annotations

import re
from dataclasses import replace

import chess

from linewright import facts
from linewright.board_words import listed, names, piece_on, several, square
from linewright.judging import Fact, Pattern, Said
from linewright.moves import side_name

FAMILY = "development"


def _state(said: Said, colour: chess.Color) -> str:
    state = facts.development(said.board, colour)
    return (
        f"{side_name(colour)} has {listed(names(state.out)) if state.out else 'nothing'} out and "
        f"{listed(names(state.home)) if state.home else 'nothing'} at home"
    )


def developed_count(said: Said) -> Fact:
    """Whether a side has so many knights and bishops (or pieces) out."""
    colour = said.side()
    state = facts.development(said.board, colour)
    number = len(state.out)
    kind = said.word("kind")
    wanted = said.number() if "number" in said else 1
    true = number == wanted
    if kind.startswith("piece"):
        extra = number + state.queen_out + _rooks_out(said, colour)
        true = wanted in {number, number + state.queen_out, extra}
        if said.negated and wanted == 1 and "single" in said.original:
            true = extra > 0  # "has not developed a single piece"
    elif kind.startswith(("knight", "bishop")):
        piece = chess.KNIGHT if kind.startswith("knight") else chess.BISHOP
        true = sum(said.board.piece_type_at(s) == piece for s in state.out) == wanted
    return Fact(true, _state(said, colour), names(state.out))


def _rooks_out(said: Said, colour: chess.Color) -> int:
    homes = {chess.A1, chess.H1} if colour else {chess.A8, chess.H8}
    return sum(s not in homes for s in said.board.pieces(chess.ROOK, colour))


def all_developed(said: Said) -> Fact:
    """Whether no knight or bishop of a side stands at home."""
    colour = said.side("whose" if "whose" in said else "side")
    state = facts.development(said.board, colour)
    return Fact(not state.home, _state(said, colour), names(state.home))


def any_out(said: Said) -> Fact | None:
    """Whether a side has a knight or bishop out, where it is said that it has not a single one."""
    if not said.negated:
        return None
    state = facts.development(said.board, said.side())
    return Fact(bool(state.out), _state(said, said.side()), names(state.out))


def nothing_developed(said: Said) -> Fact:
    """Whether every knight and bishop of a side stands at home."""
    colour = said.side("whose" if "whose" in said else "side")
    state = facts.development(said.board, colour)
    return Fact(not state.out, _state(said, colour), names(state.out))


def is_developed(said: Said) -> Fact | None:
    """Whether a piece has left the square where it starts."""
    at = said.at("piece")
    piece = said.board.piece_at(at)
    if piece is None or piece.piece_type in {chess.PAWN, chess.KING}:
        return None
    if re.search(r"\b(?:developed|brought out|got out)\b.*\ball\b.*pieces", said.original):
        return None  # not the pieces just spoken of
    true = not _at_home(piece, at)
    return Fact(
        true,
        f"{piece_on(said.board, at)} {'has left' if true else 'is on'} its first square",
        names([at]),
    )


def at_home(said: Said) -> Fact | None:
    """Whether a piece stands on a square where such a piece starts."""
    at = said.at("piece")
    piece = said.board.piece_at(at)
    if piece is None:
        return None
    true = _at_home(piece, at)
    return Fact(
        true,
        f"{piece_on(said.board, at)} {'is on' if true else 'has left'} its first square",
        names([at]),
    )


def _at_home(piece: chess.Piece, at: chess.Square) -> bool:
    start = chess.Board()
    return start.piece_at(at) == piece


def has_moved(said: Said) -> Fact | None:
    """Whether a piece has moved in the known moves."""
    at = said.at("piece")
    piece = said.board.piece_at(at)
    if piece is None:
        return None
    if not said.place.history:
        if "number" in said:
            return None
        return Fact(not _at_home(piece, at), f"{piece_on(said.board, at)}", names([at]))
    times = times_moved(said.board, at)
    wanted = said.number() if "number" in said else None
    true = times > 0 if wanted is None else times == wanted
    return Fact(true, f"{piece_on(said.board, at)} has moved {several(times, 'time')}", names([at]))


def times_moved(board: chess.Board, at: chess.Square) -> int:
    """How often the piece on a square has moved in the known moves. Cost: linear in the moves."""
    back = board.copy()
    times = 0
    while back.move_stack:
        move = back.pop()
        if back.is_castling(move):
            king_side = chess.square_file(move.to_square) == 6
            rank = chess.square_rank(move.to_square)
            if at == chess.square(5 if king_side else 3, rank):
                at, times = chess.square(7 if king_side else 0, rank), times + 1
        if move.to_square == at:
            at, times = move.from_square, times + 1
    return times


def ahead(said: Said) -> Fact:
    """Whether a side has more knights, bishops and king brought to their places."""
    return _lead(said, said.side())


def behind(said: Said) -> Fact:
    """Whether the other side is ahead in development."""
    return _lead(said, not said.side())


def _lead(said: Said, colour: chess.Color) -> Fact:
    """Knights and bishops out; where they are as many, castling and then tempi decide."""
    lead = facts.lead(said.board, colour)
    castled = [facts.castled(said.board, c) is not None for c in (colour, not colour)]
    worth = lead + castled[0] - castled[1]
    text = f"{_state(said, chess.WHITE)}; {_state(said, chess.BLACK)}"
    if "number" in said:
        counts = {lead} if "minor" in said.original else {lead, worth}
        return Fact(said.number() in counts, text)
    if worth == 0 and lead > 0:
        return Fact(None, f"a matter of opinion, as only one side has castled: {text}")
    return Fact(worth > 0, text)


def equal_development(said: Said) -> Fact:
    """Whether both sides have as many knights and bishops out."""
    return Fact(
        facts.lead(said.board, chess.WHITE) == 0,
        f"{_state(said, chess.WHITE)}; {_state(said, chess.BLACK)}",
    )


def queen_out(said: Said) -> Fact:
    """Whether a side's queen has left its square."""
    state = facts.development(said.board, said.side())
    queens = list(said.board.pieces(chess.QUEEN, said.side()))
    return Fact(
        state.queen_out,
        f"{side_name(said.side())}'s queen stands on {listed(names(queens))}",
        names(queens),
    )


def safe_king(said: Said) -> Fact | None:
    """What can be said of a king's safety."""
    piece = said.board.piece_at(said.at("piece"))
    if piece is None or piece.piece_type != chess.KING:
        return None
    state = facts.king_safety(said.board, piece.color)
    if state is None:
        return None
    return Fact(
        None,
        f"a matter of opinion: the king on {square(state.king)} has "
        f"{several(len(state.shield), 'pawn')} in front of it and "
        f"{several(len(state.attackers), 'enemy piece')} near it",
        names([state.king]),
    )


def king_attackers(said: Said) -> Fact:
    """Whether so many enemy pieces bear on the squares around a king."""
    colour = said.side("whose" if "whose" in said else "side")
    state = facts.king_safety(said.board, colour)
    found = state.attackers if state else ()
    true = len(found) == said.number() if "number" in said else bool(found)
    return Fact(
        true,
        f"pieces that bear on the squares around {side_name(colour)}'s king: {listed(names(found))}",
        names(found),
    )


def king_shield(said: Said) -> Fact | None:
    """Whether a king has (so many) pawns in front of it."""
    piece = said.board.piece_at(said.at("piece"))
    if piece is None or piece.piece_type != chess.KING:
        return None
    state = facts.king_safety(said.board, piece.color)
    shield = state.shield if state else ()
    true = len(shield) == said.number() if "number" in said else bool(shield)
    return Fact(
        true,
        f"the king on {square(said.at('piece'))} has in front of it {listed(names(shield))}",
        names(shield),
    )


def side_developed(said: Said) -> Fact | None:
    """Whether a side has brought the piece named off its first square."""
    if said.board.color_at(said.at("piece")) != said.side() or said.phrases["piece"].number:
        return None
    return is_developed(said)


def side_home(said: Said) -> Fact | None:
    """Whether a side has the piece named on its first square."""
    if said.board.color_at(said.at("piece")) != said.side():
        return None
    return at_home(said)


def side_moved(said: Said) -> Fact | None:
    """Whether a side has moved the piece named."""
    if said.board.color_at(said.at("piece")) != said.side():
        return None
    return has_moved(said)


def equal_out(said: Said) -> Fact:
    """Whether the sides have as many of a kind out."""
    kinds = {"knights": {chess.KNIGHT}, "bishops": {chess.BISHOP}}.get(
        said.word("kind"), {chess.KNIGHT, chess.BISHOP}
    )
    out = [
        sum(said.board.piece_type_at(s) in kinds for s in facts.development(said.board, c).out)
        for c in chess.COLORS
    ]
    return Fact(out[0] == out[1], f"{_state(said, chess.WHITE)}; {_state(said, chess.BLACK)}")


def leads_by(said: Said) -> Fact:
    """Whether a side has so many more (or fewer) knights and bishops out."""
    lead = facts.lead(said.board, said.side())
    lead = -lead if said.word("more") in {"fewer", "less"} else lead
    return Fact(lead == said.number(), f"{_state(said, chess.WHITE)}; {_state(said, chess.BLACK)}")


def has_out(said: Said) -> Fact:
    """Whether a side has at least one of a kind out."""
    state = facts.development(said.board, said.side())
    kinds = {"knight": {chess.KNIGHT}, "bishop": {chess.BISHOP}}.get(
        said.word("kind"), {chess.KNIGHT, chess.BISHOP}
    )
    found = [s for s in state.out if said.board.piece_type_at(s) in kinds]
    return Fact(bool(found), _state(said, said.side()), names(found))


def shield_count(said: Said) -> Fact:
    """Whether so many pawns stand in front of a king."""
    colour = said.side("whose")
    state = facts.king_safety(said.board, colour)
    shield = state.shield if state else ()
    return Fact(
        len(shield) == said.number(),
        f"in front of {side_name(colour)}'s king: {listed(names(shield))}",
        names(shield),
    )


def more_out(said: Said) -> Fact:
    """Whether a side has more (or fewer) knights and bishops out than the other."""
    lead = facts.lead(said.board, said.side())
    true = lead > 0 if said.word("more") == "more" else lead < 0
    return Fact(true, f"{_state(said, chess.WHITE)}; {_state(said, chess.BLACK)}")


def home_count(said: Said) -> Fact:
    """Whether so many knights and bishops of a side stand at home."""
    state = facts.development(said.board, said.side())
    return Fact(len(state.home) == said.number(), _state(said, said.side()), names(state.home))


def kinds_at_home(said: Said) -> Fact:
    """Whether so many (or any) of a side's knights, bishops or both stand at home."""
    kinds = {"knight": {chess.KNIGHT}, "bishop": {chess.BISHOP}}.get(
        said.word("kind"), {chess.KNIGHT, chess.BISHOP}
    )
    home = facts.development(said.board, said.side()).home
    which = [s for s in home if said.board.piece_type_at(s) in kinds]
    true = len(which) == said.number() if "number" in said else bool(which)
    return Fact(true, _state(said, said.side()), names(which))


def man_there(said: Said) -> Fact | None:
    """Whether such a man of a side stands on the square named."""
    man, at = said.phrases["man"], said.at("square")
    if man.squares or man.number > 1:
        return None
    piece = said.board.piece_at(at)
    true = piece is not None and piece.color == said.side() and piece.symbol().upper() in man.pieces
    what = (
        "nothing"
        if piece is None
        else f"a {'white' if piece.color else 'black'} {chess.piece_name(piece.piece_type)}"
    )
    return Fact(true, f"on {square(at)} stands {what}", names([at]))


def of_pieces(said: Said) -> Fact:
    """Whether so many of a side's knights and bishops (or of one kind) are out, or at home."""
    colour = said.side("whose")
    state = facts.development(said.board, colour)
    home = re.fullmatch(_HOMES, said.word("out")) is not None
    kinds = {"knight": {chess.KNIGHT}, "bishop": {chess.BISHOP}}.get(
        said.word("kind").rstrip("s"), {chess.KNIGHT, chess.BISHOP}
    )
    which = [s for s in (state.home if home else state.out) if said.board.piece_type_at(s) in kinds]
    count = len(which)
    wanted = said.number()
    if said.word("kind").startswith("piece") and not home:
        extra = count + state.queen_out
        fits = wanted in {count, extra, extra + _rooks_out(said, colour)}
    else:
        fits = wanted == count
    if said.negated:  # "two of our pieces are not out": so many are at home
        fits = wanted != len(state.home if not home else state.out)
    return Fact(fits, _state(said, colour), names(which))


def developed_against(said: Said) -> Fact:
    """Whether a side has so many pieces out, and the other side so many."""
    fact = developed_count(said)
    if not fact.true or "number2" not in said:
        return fact
    other = replace(
        said, values={**said.values, "side": not said.side(), "number": said.number("number2")}
    )
    return replace(
        developed_count(other), because=f"{fact.because}; {_state(said, not said.side())}"
    )


def all_out_but(said: Said) -> Fact:
    """Whether all of a side's knights and bishops but so many are out."""
    colour = said.side()
    return Fact(
        len(facts.development(said.board, colour).home) == said.number(), _state(said, colour)
    )


def has_left(said: Said) -> Fact | None:
    """Whether a piece stood on a square in the known moves and stands there no longer."""
    where = said.at("square")
    at = said.at("piece")
    if at == where:
        return Fact(False, f"{piece_on(said.board, at)} stands there", names([at]))
    if not said.place.history:
        return Fact(None, "the moves that led here are not known")
    now = {where}
    for played in said.place.past():
        if played.move.from_square in now:
            now.add(played.move.to_square)
        elif played.move.to_square in now - {where}:
            now.discard(played.move.to_square)
    away = "has left" if at in now else "has not been on"
    return Fact(at in now, f"{piece_on(said.board, at)} {away} {square(where)}", names([at]))


def shut_in(said: Said) -> Fact | None:
    """Whether a king has no square to go to, or a piece no move."""
    at = said.at("piece")
    piece = said.board.piece_at(at)
    if piece is None or piece.piece_type == chess.BISHOP:
        return None
    if piece.piece_type == chess.KING:
        home = 0 if piece.color else 7
        free = tuple(
            s for s in facts.flights(said.board, piece.color) if chess.square_rank(s) != home
        )
    else:
        free = tuple(m.to_square for m in facts.mobile(said.board, at))
    return Fact(
        not free, f"{piece_on(said.board, at)} can go to {listed(names(free))}", names([at])
    )


def has_luft(said: Said) -> Fact | None:
    """Whether a king on its first rank has a square off it (any flight, if it stands elsewhere)."""
    piece = said.board.piece_at(said.at("piece"))
    if piece is None or piece.piece_type != chess.KING:
        return None
    home = 0 if piece.color else 7
    free = [s for s in facts.flights(said.board, piece.color) if chess.square_rank(s) != home]
    return Fact(
        bool(free),
        f"{piece_on(said.board, said.at('piece'))} can leave its rank to "
        f"{listed(names(free))}".replace("to none", "nowhere"),
        names(free),
    )


def on_wing(said: Said) -> Fact | None:
    """Whether a piece stands on a wing."""
    at = said.at("piece")
    if said.board.piece_at(at) is None:
        return None
    true = (chess.square_file(at) < 4) == (said.wing() == "queenside")
    return Fact(true, piece_on(said.board, at), names([at]))


def in_corner(said: Said) -> Fact | None:
    """Whether a piece stands on a1, h1, a8 or h8."""
    at = said.at("piece")
    if said.board.piece_at(at) is None:
        return None
    return Fact(
        at in {chess.A1, chess.H1, chess.A8, chess.H8}, piece_on(said.board, at), names([at])
    )


_OUT = r"(?:developed|brought out|got out|activated|deployed|moved out|mobili[sz]ed)"
_OUTS = (
    r"(?:out|developed|in play|in the game|in action|into play|into the game|off the back rank|"
    r"off (?:their|its|G.|the) (?:starting|home|original|first|initial) squares?|off the ground|up and running|on active squares|"
    r"moved|into the open)"
)
_HOMES = (
    r"(?:at home|undeveloped|unmoved|asleep|sleeping|in bed|unused|out of play|out of the game|in the box|"
    r"(?:on|at) (?:its|their|his|her|the|G.) (?:original|starting|home|initial|first|own) squares?|"
    r"on (?:the|its|their|G.) (?:back|first|home) rank|where (?:it|they|P.) (?:began|started|begins|is|are|was|were)(?: at the start| out)?|"
    r"where (?:it|they|P.|S.) started(?: out)?|waiting to be developed|to be developed|to come out|to be brought out)"
)
_KIND = r"(?P<kind>(?:minor )?pieces?|knights?|bishops?)"
_MINOR = r"(?:(?:minor )?pieces|forces|army|development|men)"


_ON_FILES = r"(?: on (?:the )?{file}(?: (?:and|or|nor) (?:on )?(?:the )?{file2})?)?"


def shield_there(said: Said) -> Fact:
    """Whether a king has (so many) own pawns in front of it."""
    state = facts.king_safety(said.board, said.side("whose"))
    shield = state.shield if state else ()
    told = f"in front of {side_name(said.side('whose'))}'s king: {listed(names(shield))}"
    phrases = [said.phrases[name] for name in ("file", "file2") if name in said.phrases]
    if files := {"abcdefgh".index(file) for phrase in phrases for file in phrase.files}:
        shield = tuple(s for s in shield if chess.square_file(s) in files)
        any_will_do = said.negated or re.search(r"\bn?or\b", said.original)  # "no pawn on f and g"
        if "number" not in said and not any_will_do:
            on = {chess.square_file(s) for s in shield}
            return Fact(on == files, told, names(shield))
    true = len(shield) == said.number() if "number" in said else bool(shield)
    return Fact(true, told, names(shield))


def shield_moved(said: Said) -> Fact:
    """Whether any of the three pawns before a king has left its first square."""
    colour = said.side("whose")
    king = said.board.king(colour)
    if king is None:
        return Fact(False, f"{side_name(colour)} has no king")
    row = 1 if colour else 6
    files = [
        f for f in range(chess.square_file(king) - 1, chess.square_file(king) + 2) if 0 <= f < 8
    ]
    pawn = chess.Piece(chess.PAWN, colour)
    gone = [f for f in files if said.board.piece_at(chess.square(f, row)) != pawn]
    return Fact(
        bool(gone), f"pawns that have left their squares: {listed('abcdefgh'[f] for f in gone)}"
    )


def near_king(said: Said) -> Fact | None:
    """Whether a piece attacks a square beside a king."""
    king = said.board.king(said.side("whose"))
    at = said.at("piece")
    if king is None or said.board.piece_at(at) is None:
        return None
    near = chess.SquareSet(chess.BB_KING_ATTACKS[king]) & chess.SquareSet(
        facts.attacked_squares(said.board, at)
    )
    return Fact(
        bool(near), f"{piece_on(said.board, at)} bears on {listed(names(near))}", names(near)
    )


def side_luft(said: Said) -> Fact | None:
    """Whether a side's king on its first rank has a square off it."""
    king = said.board.king(said.side())
    if king is None:
        return None
    return has_luft(replace(said, values={**said.values, "piece": king}))


def all_of_kind_out(said: Said) -> Fact | None:
    """Whether a side has all its minor pieces (or knights, or bishops) out."""
    state = facts.development(said.board, said.side())
    kinds = {"knights": {chess.KNIGHT}, "bishops": {chess.BISHOP}}.get(
        said.word("kind"), {chess.KNIGHT, chess.BISHOP}
    )
    left = [s for s in state.home if said.board.piece_type_at(s) in kinds]
    return Fact(not left, _state(said, said.side()), names(left))


def both_shields(said: Said) -> Fact:
    """Whether both kings have so many own pawns in front of them."""
    shields = [
        state.shield if (state := facts.king_safety(said.board, c)) else () for c in chess.COLORS
    ]
    true = all(len(shield) == said.number() if "number" in said else shield for shield in shields)
    text = "; ".join(listed(names(shield)) for shield in shields)
    return Fact(
        bool(true), f"in front of the kings: {text}", names(s for shield in shields for s in shield)
    )


def _only_developed(said: Said) -> bool:
    """Whether "the only undeveloped piece" is spoken of."""
    return re.search(r"\b(?:only|last) (?:\w+ )?(?:un)?developed\b", said.original) is not None


def only_it(said: Said) -> Fact | None:
    """Whether only the piece named is out, or (where that is denied) not out."""
    fact = only_one_out(said)
    if fact is None or not said.negated:
        return fact
    state = facts.development(said.board, bool(said.board.color_at(said.at("piece"))))
    return replace(fact, true=list(state.home) != [said.at("piece")])


def only_one_out(said: Said) -> Fact | None:
    """Whether a piece is the only one of its side (a minor one, where that is said) out or at home."""
    at = said.at("piece")
    colour = said.board.color_at(at)
    if colour is None:
        return None
    state = facts.development(said.board, colour)
    home = re.fullmatch(_HOMES, said.word("out")) is not None or "undeveloped" in said.original
    denied = said.negated and not home
    still = (
        denied or home or re.search(r"unmoved|(?:hasn.t|has not) moved", said.original) is not None
    )
    which = list(state.home if still else state.out)
    if not re.search(r"\bminor\b", said.original) and still and "developed" not in said.original:
        heavy = said.board.pieces(chess.QUEEN, colour) | said.board.pieces(chess.ROOK, colour)
        piece = said.board.piece_type_at(at)
        if piece in {chess.QUEEN, chess.ROOK}:
            start = chess.Board()
            which += [s for s in heavy if start.piece_at(s) == said.board.piece_at(s)]
    true = (which == [at]) != denied  # "the only one that has not moved"
    return Fact(true, _state(said, colour), names(which))


def has_stepped(said: Said) -> Fact | None:
    """Whether a pawn stands so many squares ahead of where it started."""
    at = said.at("piece")
    pawn = said.board.piece_at(at)
    if pawn is None or pawn.piece_type != chess.PAWN:
        return None
    steps = chess.square_rank(at) - 1 if pawn.color else 6 - chess.square_rank(at)
    return Fact(
        steps == said.number(), f"the pawn on {square(at)} has gone {several(steps, 'square')}"
    )


PATTERNS = (
    Pattern(
        r"{piece} (?:has|have) (?:advanced|moved|gone|been pushed|been advanced|stepped) (?:only |just )?{number} squares?(?: forward| ahead| up)?",
        has_stepped,
    ),
    Pattern(
        r"{side} {have} all (?:of )?(?:{own} |the )?minor pieces but {number} (?:in play|out|developed|in the game)",
        all_out_but,
    ),
    Pattern(
        r"{side} {have} all but {number} of (?:{own}|the) minor pieces (?:in play|out|developed|in the game)",
        all_out_but,
    ),
    Pattern(
        r"{side} (?:has|have) (?:developed|brought out) all (?:but {number} of {own} minor pieces|{own} minor pieces but {number2})",
        lambda said: all_out_but(
            said
            if "number" in said
            else replace(said, values={**said.values, "number": said.number("number2")})
        ),
    ),
    Pattern(
        r"{piece} (?:(?:has|have) (?:left|abandoned|vacated|quitted|departed from|moved away from|gone from)|left|abandoned|vacated|moved away from) {square}(?! (?:for|to|unprotected|undefended|hanging|without|open))",
        has_left,
    ),
    Pattern(
        r"{piece} {be} (?:the|{own}) (?:only|last|one) (?:(?:white|black|minor) )*(?:P.|piece|one|minor piece)(?: (?:that|which))? {side} (?:has|have) (?:got )?(?P<out>developed|moved|brought out|got out|out)",
        only_one_out,
    ),
    Pattern(
        r"{piece} {be} (?:the|{own}) (?:only|last) (?P<out>developed|undeveloped|unmoved) (?:(?:minor|white|black) )*(?:P.|piece|one|minor piece)(?: of G.)?",
        only_one_out,
    ),
    Pattern(
        r"(?:the|{own}) (?:only|last) (?P<out>developed|undeveloped|unmoved) (?:(?:minor|white|black) )*(?:P.|piece|one|minor piece)(?: of G.)? is {piece}",
        only_one_out,
    ),
    Pattern(
        r"(?:(?:the|{own}) (?:only|last) P.|P.) is {piece}",
        lambda said: only_one_out(said) if _only_developed(said) else None,
    ),
    Pattern(
        r"{piece} {be} (?:(?:the|{own}) (?:only|last) P.|P.)",
        lambda said: only_one_out(said) if _only_developed(said) else None,
    ),
    Pattern(rf"only {{piece}} (?:{{be}}|has|have) (?:been )?(?P<out>{_OUTS}|{_HOMES})", only_it),
    Pattern(
        r"{side} {be} ahead in development by (?:a|one|{number}) (?:minor )?(?:pieces?|moves?|temp\w+)",
        ahead,
    ),
    Pattern(
        rf"{{piece}} {{be}} (?:the|{{own}}) (?:only|last) (?:(?:white|black|minor) )*(?:P.|piece|one|minor piece|knight|bishop)(?: of G.)?(?: (?:that|which))? ?(?:is |has |has been )?(?P<out>{_OUTS}|{_HOMES})",
        only_one_out,
    ),
    Pattern(
        rf"(?:the|{{own}}|only|just) ?(?:only|one|sole|N.) (?:(?:white|black|minor|developed) )*(?:P.|piece|minor piece)(?: of G.| G. has| S. (?:has|have))?(?: (?:that|which))? ?(?:is |has |has been )?(?P<out>{_OUTS}|{_HOMES}) (?:is|:) {{piece}}",
        only_one_out,
    ),
    Pattern(
        rf"{{side}} (?:has|have) {_OUT} (?:only |just |exactly )?(?:{{number}}|(?:a|one)) (?:of {{own}} )?{_KIND}",
        developed_count,
    ),
    Pattern(
        rf"{{side}} {{have}} (?:only |just )?{{number}} (?:of {{own}} )?{_KIND} (?:out|developed|in play|in the game)",
        developed_count,
    ),
    Pattern(
        r"{side} (?:has|have) (?:(?:completed|finished) (?:{own} |the )?development(?: of (?:all )?(?:P.|(?:G. |the )?(?:minor )?(?:pieces|forces)))?|(?:completed|finished) developing (?:(?:all )?(?:{own}|the) (?:minor )?pieces)?)",
        all_developed,
    ),
    Pattern(r"{whose} development {be} (?:complete|completed|finished)", all_developed),
    Pattern(
        rf"{{side}} (?:has|have) (?:{_OUT}|brought) all (?:of )?(?:N. )?(?:of )?(?:(?:the|G.) )?minor pieces(?: already)?",
        all_developed,
    ),
    Pattern(
        r"{side} (?:has|have) all (?:of )?(?:N. )?(?:of )?(?:(?:the|G.) )?minor pieces (?:out|developed|in play|in the game|off the back rank)",
        all_developed,
    ),
    Pattern(
        r"{side} (?:has|have) (?:a |an? single |one |N. |any )?(?:minor )?piece (?:out|developed|in play|off the R.|off the back rank)",
        any_out,
        telling_not=True,
    ),
    Pattern(
        rf"{{side}} (?:has|have) (?:{_OUT}) (?:(?:a|any|one|N.) )?(?:single )?(?:minor )?pieces?(?: (?:except|but|apart from|other than|besides) .*)?",
        any_out,
        telling_not=True,
    ),
    Pattern(
        rf"{{side}} (?:has|have) (?:{_OUT}|brought) (?:all|all of) (?:{{own}} |the )?{_MINOR}(?: into play| out)?",
        all_developed,
    ),
    Pattern(
        r"all (?:of )?(?:{whose}|the) (?:minor pieces|pieces) {be} (?:developed|out|in play|in the game)",
        lambda said: all_developed(said) if "whose" in said else None,
    ),
    Pattern(
        rf"{{side}} (?:has|have) {_OUT} (?:nothing|anything|a single piece|any pieces?|any of {{own}} pieces)",
        nothing_developed,
        against=True,
    ),
    Pattern(
        r"(?:none of|not one of) {whose} (?:minor )?pieces (?:is|are|has been|have been) (?:developed|out)",
        nothing_developed,
    ),
    Pattern(
        r"{whose} (?:minor )?pieces {be} all (?:at home|on their (?:original|starting|home|initial) squares|undeveloped)",
        nothing_developed,
    ),
    Pattern(r"{piece} (?:{be}) (?:developed|out|in play|activated|in the game)", is_developed),
    Pattern(
        r"{piece} (?:{be}) (?:undeveloped|unmoved|asleep|sleeping|out of play|not developed)",
        is_developed,
        against=True,
    ),
    Pattern(
        r"{piece} (?:has|have) (?:been (?:developed|brought out|brought into play|got out|activated)|come out|entered (?:the game|play|the fray)|left home|joined (?:the game|in|the fight)|come into play|emerged|got out|seen (?:the )?daylight)",
        lambda said: is_developed(said) if "target" not in said else None,
    ),
    Pattern(
        r"{piece} (?:{be}|sits?|stands?) (?:at home|on (?:its|their|his|her|the) (?:original|starting|home|initial|first) "
        r"squares?|at its post|in its corner|on G. (?:original|starting|home|initial|first) squares?|undeveloped)".replace(
            "G.", "{own}"
        ),
        at_home,
    ),
    Pattern(r"{piece} (?:has|have) (?:moved|been moved)(?: {number} times)?(?! since)", has_moved),
    Pattern(
        r"{piece} (?:has|have) (?:budged|stirred|taken a step)(?: from Q.| at all)?", has_moved
    ),
    Pattern(
        r"{side} {be} (?:a little |slightly |well |far |clearly |way )*(?:ahead|better|further along|in front|leading) in "
        r"development",
        ahead,
    ),
    Pattern(
        r"{side} {have} (?:a |the |some )?(?:\w+ )?(?:lead|edge|advantage|plus|head start) in development",
        ahead,
    ),
    Pattern(r"{side} {be} (?:better|more) developed(?: than {side2})?", ahead),
    Pattern(r"{side} leads in development", ahead),
    Pattern(r"{side} {have} (?:the |a )?(?:better|superior|faster|quicker) development", ahead),
    Pattern(
        r"{side} {have} a lead of {number} (?:minor )?(?:tempi|tempos|tempo|moves?|pieces?)(?: in development)?",
        ahead,
    ),
    Pattern(
        r"{side} {be} {number} (?:minor )?(?:tempi|tempos|tempo|moves?|pieces?) ahead in development",
        ahead,
    ),
    Pattern(
        r"{side} {be} (?:a little |slightly |well |far |clearly |way |badly |lagging |trailing )*(?:behind|backward|"
        r"lagging|trailing)(?: \w+)? in development",
        behind,
    ),
    Pattern(r"{side} (?:lags|trails) (?:behind )?in development", behind),
    Pattern(r"(?:the )?development {be} (?:equal|even|level|balanced)", equal_development),
    Pattern(r"{side} {be} equally (?:well )?developed", equal_development),
    Pattern(
        r"(?:in terms of|in|as for|as far as) development ?,? (?:the sides|{side}|they|it|things) (?:is|are) (?:equal|level|even)",
        equal_development,
    ),
    Pattern(
        r"{side} (?:{be} (?:a|{number}) (?:tempo|move|piece|tempi|moves|pieces|minor pieces) ahead in development|leads? by (?:a|{number}) (?:developed )?(?:piece|pieces|tempo|tempi)(?: in development)?)",
        ahead,
    ),
    Pattern(
        r"{side} (?:has|have) (?:brought|developed|moved|taken) (?:{own}|the|a) queen(?: out)?(?: early| too early)?",
        queen_out,
    ),
    Pattern(
        r"{piece} {be} (?:very |quite |perfectly |absolutely |reasonably |un)?(?:safe|secure|exposed|in danger|unsafe|"
        r"vulnerable|weak|insecure|safer)",
        safe_king,
    ),
    Pattern(
        r"(?:only )?{number} (?:enemy |of {own2} )?pieces (?:bear on|are aimed at|attack|surround|point at|aim at) "
        r"{whose} king".replace("{own2}", "{own}"),
        king_attackers,
    ),
    Pattern(
        r"{piece} (?:has|have) (?:lost )?(?:a |{number} )?pawns? (?:shield|in front of (?:it|him|her)|shelter|cover)",
        king_shield,
    ),
    Pattern(
        r"{side} {have} (?:a|an|one) (?P<kind>knight|bishop|piece|minor piece) (?:out|developed|in play|in the game)",
        has_out,
    ),
    Pattern(rf"{{side}} (?:has|have) {_OUT} {{piece}}(?: (?:out|into play))?", side_developed),
    Pattern(
        r"(?:only )?{number} (?:unmoved |untouched |own )?pawns (?:(?:shelter|shield|protect|cover|guard|surround)s?|{be} in front of) {whose} king",
        shield_count,
    ),
    Pattern(
        r"{side} (?:has|have) (?:developed|brought out|got out) (?P<more>more|fewer|less) (?:minor )?pieces(?: than {side2}(?: has)?)?",
        more_out,
    ),
    Pattern(
        r"{side} {have} (?P<more>more|fewer|less) (?:minor )?pieces (?:out|developed|in play)(?: than {side2}(?: has)?)?",
        more_out,
    ),
    Pattern(
        r"{piece} (?:has|have) yet to (?:move|be developed|come out|enter the game|make a move)",
        has_moved,
        against=True,
    ),
    Pattern(
        r"{side} (?:has|have) (?:ever )?(?:moved|touched|played with) {piece}(?! (?:to|on|onto) )(?: {number} times)?",
        side_moved,
    ),
    Pattern(
        r"{side} (?:has|have) (?:yet |still )?to (?:get|bring|take|move) {piece} (?:out|moving|developed|into play|into the game|off the back rank|going)",
        side_developed,
        against=True,
    ),
    Pattern(
        r"{side} (?:has|have) (?:yet |still )?to (?:develop|activate|bring out|get out) {piece}",
        side_developed,
        against=True,
    ),
    Pattern(rf"{{side}} {{have}} {{piece}} {_OUTS}", side_developed),
    Pattern(rf"{{side}} {{have}} {{piece}} {_HOMES}", side_home),
    Pattern(rf"{{piece}} {{be}} {_HOMES}(?: on Q.)?", at_home),
    Pattern(rf"{{piece}} {{be}} {_OUTS}", is_developed),
    Pattern(
        r"{piece} (?:has|have) (?:done anything|joined (?:in|the game|the fight|the battle|play)|been touched|been used|"
        r"come off the back rank|moved off (?:its|{own}|the) (?:original|starting|home|initial|first) squares?|stirred|budged|got going|got off the ground|"
        r"been moved out|seen action|made a move|done (?:its|{own}) bit|taken part)",
        is_developed,
    ),
    Pattern(
        r"{piece} (?:has|have) (?:yet|still) to (?:join in|join the game|do anything|leave home|get out|get going|be moved|be brought out|be used|be touched|enter play|see action|leave (?:its|{own}|the) (?:original|starting|home|initial|first) square)",
        is_developed,
        against=True,
    ),
    Pattern(
        rf"{{number}} of {{whose}} {_KIND} (?:{{be}}|has|have) (?P<out>{_OUTS}|{_HOMES})", of_pieces
    ),
    Pattern(
        rf"{{number}} of {{whose}} {_KIND} (?:has|have) (?:been )?(?P<out>developed|brought out|moved|come out|got out)",
        of_pieces,
    ),
    Pattern(
        rf"{{side}} {{have}} (?P<more>more|fewer|less) {_KIND} {_OUTS} than {{side2}}", more_out
    ),
    Pattern(
        rf"{{side}} (?:has|have) {_OUT} (?P<more>more|fewer|less) {_KIND} than {{side2}}", more_out
    ),
    Pattern(
        rf"{{side}} {{have}} {{number}} (?P<more>more|fewer|less) {_KIND} {_OUTS}(?: than {{side2}})?",
        leads_by,
    ),
    Pattern(
        rf"{{side}} (?:has|have) {_OUT} {{number}} (?P<more>more|fewer|less) {_KIND} than {{side2}}",
        leads_by,
    ),
    Pattern(rf"{{side}} {{have}} (?:just )?as many {_KIND} {_OUTS} as {{side2}}", equal_out),
    Pattern(rf"{{side}} (?:has|have) {_OUT} (?:just )?as many {_KIND} as {{side2}}", equal_out),
    Pattern(
        rf"{{side}} {{have}} {{number}} {_KIND} {_OUTS}(?: (?:to|against|versus) (?:{{whose}} |S. )?{{number2}})?(?! than)",
        developed_against,
    ),
    Pattern(
        r"{piece} (?:has|have) left (?:its|{own}|the) (?:original|starting|home|initial|first) square",
        is_developed,
    ),
    Pattern(r"{piece} (?:waits?|is waiting) (?:at home|on its original square)", at_home),
    Pattern(
        r"{side} {have} (?:{number}|an?|(?P<some>some|any|any of {own})) (?:more )?(?P<kind>knight|bishop|minor piece)s? (?:left |remaining )*(?:at home|undeveloped|unmoved|on (?:its|their|G.|the) (?:original|starting|home|initial|first) squares?|(?:left |still )?to (?:develop|bring out)|waiting to (?:be developed|come out)|in the box|asleep)",
        kinds_at_home,
    ),
    Pattern(
        r"{side} (?:has|have) (?:just |already )?(?:brought|developed|got|moved|taken|posted|put|placed|transferred|led) (?P<man>P.) (?:(?:out|up|over|across|back|round|outside (?:the|G.) (?:pawn )?chain|in front of (?:the|G.) (?:pawn )?chain) )*(?:to|on|onto) {square}",
        man_there,
    ),
    Pattern(
        r"{side} {have} {number} (?:minor )?pieces? (?:at home|undeveloped|on the back rank|left to develop|still to develop|to develop)",
        home_count,
    ),
    Pattern(
        r"{number} of {whose} (?:minor )?pieces {be} (?P<out>developed|out|at home|undeveloped|in play)",
        of_pieces,
    ),
    Pattern(
        r"(?:not one|none) of {whose} (?:minor )?pieces (?:has|have|is|are) (?:been )?(?:developed|moved|out)",
        nothing_developed,
    ),
    Pattern(
        r"{piece} {be} (?:shut in|hemmed in|boxed in|smothered|locked in|walled in) (?:by|behind) {piece2}",
        shut_in,
    ),
    Pattern(
        r"{piece} {have} (?:any |a )?(?:luft|air|escape square|escape squares|flight squares?|breathing space|loophole|way off the back rank|way out)",
        has_luft,
    ),
    Pattern(r"{piece} {be} (?:on|over on) {wing}", on_wing),
    Pattern(r"{piece} {be} in (?:the|a|its|their) corners?", in_corner),
    Pattern(
        r"{piece} (?:has|have) moved (?P<once>once|twice|N. times) already".replace(
            "N.", "{number}"
        ),
        has_moved,
    ),
    Pattern(r"{piece} {have} (?:any |a )?way off (?:the )?{rank}", has_luft),
    Pattern(
        rf"in front of {{whose}} king there (?:is|are) (?:(?:{{number}}|a|any) )?pawns?{_ON_FILES}",
        shield_there,
    ),
    Pattern(
        rf"there (?:is|are) (?:(?:{{number}}|a|any) )?pawns? in front of {{whose}} king{_ON_FILES}",
        shield_there,
    ),
    Pattern(
        rf"{{whose}} king {{have}} (?:(?:{{number}}|a|any|no) )?pawns? in front of (?:it|him|her){_ON_FILES}",
        shield_there,
    ),
    Pattern(
        r"{piece} {have} (?:any |a |some )?(?:pawn cover|pawn shield|cover|shelter|protection|pawn protection)",
        king_shield,
    ),
    Pattern(r"the pawns in front of {whose} king (?:have|has) (?:moved|been moved)", shield_moved),
    Pattern(
        r"the pawns in front of {whose} king {be} (?:unmoved|untouched|intact|on their original squares)",
        shield_moved,
        against=True,
    ),
    Pattern(
        r"{piece} (?:controls|covers|eyes|bears on) the squares (?:around|next to) {whose} king",
        near_king,
    ),
    Pattern(
        r"{side} {have} (?:any |a |an |some )?(?:luft|air|escape square|escape squares|flight squares?|breathing space|loophole|bolt hole)(?: (?:for {own} king|on the back rank))?",
        side_luft,
    ),
    Pattern(
        r"{side} (?:has|have) (?:made|created|given|provided|opened) (?:{own} king )?(?:some |a |an |any )?(?:luft|air|escape square|loophole|breathing space|bolt hole|flight square)(?: (?:for {own} king|with .*))?",
        side_luft,
    ),
    Pattern(
        r"{whose} (?:king 's )?(?:pawn cover|pawn shield|pawn shelter|shelter|castled position|king position|kingside pawns|king 's position) {be} (?:intact|unbroken|untouched|undamaged|complete|unmoved|unweakened|whole)",
        shield_moved,
        against=True,
    ),
    Pattern(
        r"{whose} (?:king 's )?(?:pawn cover|pawn shield|castled position|king position|kingside pawns|king 's position) {be} (?:weakened|broken|damaged|disturbed|compromised|torn open)",
        shield_moved,
    ),
    Pattern(
        r"{whose} king {have} (?:all (?:the )?)?{number} pawns? in front(?: of (?:it|him|her))?",
        shield_there,
    ),
    Pattern(r"{piece} (?:has |have )?(?:got|come|gone|came|went) out", is_developed),
    Pattern(
        r"{side} (?:leads?|{be} (?:ahead|in front|in the lead)|{be} leading) in development by {number} (?:tempi|tempos|moves|pieces|minor pieces)",
        ahead,
    ),
    Pattern(
        r"{side} (?:{be} (?:behind|lagging)|lags?|trails?) (?:behind )?in development by {number} (?:tempi|tempos|moves|pieces|minor pieces)",
        behind,
    ),
    Pattern(
        r"{side} {have} (?:all|all of|both|both of) (?:{own} |the )?(?P<kind>minor pieces|pieces|knights|bishops) (?:out|developed|in play|in the game|off the back rank)",
        all_of_kind_out,
    ),
    Pattern(
        rf"{{side}} (?:has|have) {_OUT} (?:all )?{{number}} of {{own}} {_KIND}", developed_count
    ),
    Pattern(
        r"{side} (?:has|have) (?:yet|still) to (?:develop|bring out|move|activate) {piece}",
        side_developed,
        against=True,
    ),
    Pattern(
        r"(?:both|the) kings {have} (?:all )?(?:{number} )?pawns in front of (?:them|S.)",
        both_shields,
    ),
)
