"""Endings: what kind it is, and whether a pawn ending is won.

Definitions: a pawn ending has kings and pawns only; a rook ending rooks besides, and so on (common
practice, no source). Whether a pawn ending is won is asked of the pawn-ending judge, which solves
it; without one, or with pieces on the board, it cannot be told here.

    FEN 8/5p2/4k3/8/4K3/8/5P2/8 w - - 0 1:
        holds: this is a pawn ending
        holds: only kings and pawns are left
        fails: it is a rook ending
        cannot tell: the pawn ending is won for White
        cannot tell: White wins the pawn ending
        left alone: pawn endings are hard to play
        left alone: if the rooks come off, the pawn ending is won
    FEN 8/4k3/8/8/3KP3/8/8/8 w - - 0 1:
        fails: White has the opposition
    FEN 8/8/4k3/8/4K3/4P3/8/8 b - - 0 1:
        holds: White has the opposition
        holds: the kings are in opposition
"""

from __future__ import annotations

from dataclasses import replace

import chess

from linewright import facts
from linewright.board_words import listed, names, several, square
from linewright.judging import Fact, Pattern, Said
from linewright.moves import side_name

FAMILY = "endings"


def kind(said: Said) -> Fact:
    """Whether the ending is of the kind named."""
    found = facts.ending(said.board)
    wanted = said.word("kind")
    text = f"it is a {found} ending" if found else f"pieces left: {facts.in_words(said.board)}"
    same = {
        "minor piece": {"minor-piece", "knight", "bishop", "bishop against knight"},
        "king and pawn": {"pawn"},
    }
    if wanted == "queenless":
        return Fact(
            not said.board.queens,
            "the queens are off" if not said.board.queens else "there are queens on the board",
        )
    return Fact(found in same.get(wanted, {wanted}), text)


def only_pawns(said: Said) -> Fact:
    """Whether only kings and pawns are left."""
    pieces = said.board.occupied & ~said.board.kings & ~said.board.pawns
    return Fact(not pieces, _left(len(facts.spread(pieces))), names(facts.spread(pieces)))


def _left(pieces: int) -> str:
    """How many pieces are left beside kings and pawns."""
    if not pieces:
        return "nothing but kings and pawns is left"
    return f"{pieces} pieces are left" if pieces > 1 else "one piece is left"


def _is_draw(result: str) -> bool:
    """Whether a result told is a draw."""
    return any(word in result for word in ("draw", "hold", "save"))


def won(said: Said) -> Fact:
    """What the pawn-ending judge says: won, lost or drawn for the side named."""
    board = said.board
    judge = said.place.judges.pawn_ending
    if facts.ending(board) != "pawn":
        if facts.ending(board) == "bare kings":
            return Fact(_is_draw(said.word("result")), "only the kings are left: a draw")
        return Fact(None, "there are pieces on the board: needs an analyst")
    if judge is None:
        return Fact(None, "needs the judge of pawn endings")
    found: Fact | None = judge(board, said.side() if "side" in said else None, said.word("result"))
    return found or Fact(None, "the judge of pawn endings does not decide it")


def opposition(said: Said) -> Fact:
    """Whether the kings face each other and the side named is not to move."""
    white, black = said.board.king(chess.WHITE), said.board.king(chess.BLACK)
    if white is None or black is None:
        return Fact(False, "a king is missing")
    files = abs(chess.square_file(white) - chess.square_file(black))
    ranks = abs(chess.square_rank(white) - chess.square_rank(black))
    direct = sorted((files, ranks)) == [0, 2] or (files == ranks == 2)
    distant = sorted((files, ranks)) in ([0, 4], [0, 6])
    true = distant if said.word("far") else direct
    if "side" in said:
        true = true and said.board.turn != said.side()
    return Fact(
        true,
        f"the kings stand on {square(white)} and {square(black)}, "
        f"{side_name(said.board.turn)} is to move",
        names((white, black)),
    )


def in_square(said: Said) -> Fact | None:
    """Whether a king catches the passed pawn named, by the rule of the square."""
    at = said.at("piece2") if "piece2" in said else None
    king = said.board.piece_at(said.at("piece"))
    if king is None or king.piece_type != chess.KING:
        return None
    pawns = [at] if at is not None else list(facts.passed(said.board, not king.color))
    if not pawns or said.board.color_at(pawns[0]) == king.color:
        return None
    true = facts.in_the_square(said.board, pawns[0], said.board.turn == king.color)
    return Fact(
        true,
        f"the king on {square(said.at('piece'))} "
        f"{'is in' if true else 'is outside'} the square of the pawn on {square(pawns[0])}",
        names((said.at("piece"), pawns[0])),
    )


def kind_v_kind(said: Said) -> Fact:
    """Whether one side has just such a piece and the other just another."""
    counts = [facts.count(said.board, c) for c in (chess.WHITE, chess.BLACK)]
    shown = [(c.knights, c.bishops, c.rooks, c.queens) for c in counts]
    one = {
        "knight": (1, 0, 0, 0),
        "bishop": (0, 1, 0, 0),
        "rook": (0, 0, 1, 0),
        "queen": (0, 0, 0, 1),
        "two bishops": (0, 2, 0, 0),
    }
    minor = {"knight", "bishop"}
    if {said.word("more"), said.word("less")} == minor and "ending" not in said.original:
        shown = [(c.knights, c.bishops, 0, 0) for c in counts]
    wanted = {one[said.word("more")], one[said.word("less")]}
    return Fact(
        set(shown) == wanted and (len(wanted) == 2 or shown[0] == shown[1]),
        facts.in_words(said.board),
    )


def double_rooks(said: Said) -> Fact:
    """Whether each side has two rooks and no other piece."""
    counts = [facts.count(said.board, c) for c in (chess.WHITE, chess.BLACK)]
    true = all((c.rooks, c.minor, c.queens) == (2, 0, 0) for c in counts)
    return Fact(true, facts.in_words(said.board))


def only_kind(said: Said) -> Fact:
    """Whether besides kings and pawns there are only pieces of one kind."""
    kind = {
        "rooks": chess.ROOK,
        "queens": chess.QUEEN,
        "knights": chess.KNIGHT,
        "bishops": chess.BISHOP,
    }[said.word("kind")]
    others = [
        s
        for s, p in said.board.piece_map().items()
        if p.piece_type not in {chess.KING, chess.PAWN, kind}
    ]
    true = not others and any(p.piece_type == kind for p in said.board.piece_map().values())
    return Fact(true, f"other pieces: {len(others)}", names(others))


def won_any(said: Said) -> Fact | None:
    """Won, lost or drawn, of any ending: by the rules, the pawn-ending judge, or not at all."""
    board = said.board
    if board.is_stalemate() or board.is_insufficient_material():
        why = "it is stalemate" if board.is_stalemate() else "nobody has enough to give mate"
        return Fact(_is_draw(said.word("result")), f"{why}: a draw")
    if facts.ending(board) not in {"pawn", "bare kings"}:
        return Fact(None, "needs an analyst")
    return won(said)


def bishops_ending(said: Said) -> Fact:
    """Whether only bishops are left (on different colours, if so said)."""
    true = facts.ending(said.board) == "bishop"
    if "opposite" in said.word("kind"):
        true = true and facts.opposite_coloured(said.board)
    return Fact(true, facts.in_words(said.board))


_KIND = r"(?P<kind>pawn|king and pawn|rook|queen|knight|bishop|minor piece|bishop against knight|queenless)"
_ENDING = r"(?:king and pawn |pawn |king and pawns )?(?:ending|endgame)"
_PLAIN = r"(?:(?:simply|just|easily|trivially|theoretically|technically|clearly|dead|theoretical|simple|clear|elementary|easy|book|technical) )*"
_WON = (
    r"(?P<result>won|winning|lost|losing|drawn|a draw|a dead draw|a win|hopeless|a theoretical draw|a theoretical win|"
    r"a technical win|completely won|easily won|dead drawn|dead lost)"
)


def kinds_gone(said: Said) -> Fact:
    """Whether no piece of a kind is left on the board."""
    types = {
        "rooks": chess.ROOK,
        "queens": chess.QUEEN,
        "knights": chess.KNIGHT,
        "bishops": chess.BISHOP,
    }
    left = [s for c in chess.COLORS for s in said.board.pieces(types[said.word("kind")], c)]
    return Fact(not left, f"{said.word('kind')} left: {len(left)}", names(left))


def caught_by(said: Said) -> Fact | None:
    """Whether a passed pawn is in the square of the king named."""
    values = {**said.values, "piece": said.values["piece2"], "piece2": said.values["piece"]}
    return in_square(replace(said, values=values))


def zugzwang(said: Said) -> Fact:
    """Whether having to move loses something: a question for the analyst."""
    return Fact(None, "needs an analyst")


def king_ahead(said: Said) -> Fact | None:
    """Whether a king stands ahead of a pawn of its side on its file."""
    at = said.at("piece")
    king = said.board.piece_at(at)
    if king is None or king.piece_type != chess.KING:
        return None
    behind = [
        s
        for s in facts.pawns(said.board, king.color)
        if chess.square_file(s) == chess.square_file(at)
        and (chess.square_rank(s) < chess.square_rank(at)) == king.color
    ]
    return Fact(bool(behind), f"the king on {square(at)}; pawns behind it: {listed(names(behind))}")


def kind_and_pawns(said: Said) -> Fact:
    """Whether a side (each, if none is named) has one piece of the kind, pawns and nothing else."""
    sides = (said.side(),) if "side" in said else chess.COLORS
    wanted = said.number() if "number" in said else 1
    kind = chess.PIECE_NAMES.index(said.word("kind"))
    fits = []
    for colour in sides:
        pieces = said.board.occupied_co[colour] & ~said.board.kings & ~said.board.pawns
        own = said.board.pieces(kind, colour)
        fits.append(len(own) == wanted and int(own) == pieces)
    return Fact(all(fits), facts.in_words(said.board))


def kind_there(said: Said) -> Fact:
    """Whether any piece of a kind is on the board."""
    kind = chess.PIECE_NAMES.index(said.word("kind"))
    left = [s for c in chess.COLORS for s in said.board.pieces(kind, c)]
    return Fact(bool(left), f"{said.word('kind')}s left: {len(left)}", names(left))


def minors_gone(said: Said) -> Fact:
    """Whether no bishop or knight is left on the board."""
    left = facts.spread(said.board.bishops | said.board.knights)
    return Fact(not left, f"minor pieces left: {len(left)}", names(left))


def kind_with_pawns(said: Said) -> Fact | None:
    """Whether the ending is of the kind named, with so many pawns of each side."""
    fact = kind(said)
    if fact is None or not fact.true or "number" not in said:
        return fact
    left = [len(said.board.pieces(chess.PAWN, c)) for c in (chess.WHITE, chess.BLACK)]
    true = left == [said.number()] * 2
    return Fact(true, f"White has {several(left[0], 'pawn')}, Black {left[1]}")


def won_pawns(said: Said) -> Fact | None:
    """Won, lost or drawn, of a pawn ending; of others nothing is said."""
    if facts.ending(said.board) not in {"pawn", "bare kings"}:
        return None
    return won(said)


def moves_and(said: Said) -> Fact | None:
    """ "White to move and win": whose move it is, and what a pawn ending is worth."""
    if said.side() != said.board.turn:
        return Fact(False, f"it is {side_name(said.board.turn)}'s move")
    return won_pawns(said)


def pawns_left(said: Said) -> Fact:
    """Whether any pawn is on the board."""
    left = facts.spread(said.board.pawns)
    return Fact(bool(left), f"pawns left: {listed(names(left))}", names(left))


PATTERNS = (
    Pattern(
        r"(?:some |any |the |there are |no )*pawns (?:{be} left|remain|{be} still (?:on the board|there))(?: on the board)?(?! [a-z])",
        lambda said: pawns_left(said) if not said.phrases else None,
    ),
    Pattern(
        r"(?:the last|every|all the|all of the) pawns? (?:has|have|is|are) (?:been )?(?:gone|disappeared|fallen|taken|captured|exchanged|left the board|vanished|come off|swapped off|off)(?: the board)?",
        pawns_left,
        against=True,
    ),
    Pattern(
        r"(?:the |an? )?(?:exchange|trade|swap|liquidation) of (?P<kind>queens|rooks|knights|bishops) (?:has|have) (?:taken place|been made|occurred|happened|been carried out|been completed)(?: (?:on|at) Q.)?",
        kinds_gone,
    ),
    Pattern(
        r"(?:it is )?(?:all pawns now|(?:only |just |nothing but )?(?:the )?kings and pawns(?: and nothing else| only| alone)?)(?= ?$| [,.!:—–])",
        only_pawns,
    ),
    Pattern(rf"(?:a|an) (?:pure|simple|plain) {_KIND} (?:ending|endgame)(?= ?$| [,.!:—–])", kind),
    Pattern(
        rf"(?:it|this|that|here it|we) (?:is|have|has become|reach|are in) (?:a |an |now a )?(?:pure |simple )?{_KIND} "
        r"(?:ending|endgame|middlegame)",
        kind,
    ),
    Pattern(
        rf"(?:{{side}} (?:{{have}}|{{be}} in|(?:has|have) reached|(?:has|have) entered|reach(?:es)?)|this has become|here we have|what we have is|the game has become|the result is) (?:reached )?(?:an? )?(?:pure |simple |plain )?{_KIND} (?:ending|endgame)",
        kind,
    ),
    Pattern(
        r"it is (?:a |an |the )?(?P<more>bishop|knight|rook|queen|two bishops) (?:against|versus|v) (?P<less>bishop|knight|rook|queen)(?: (?:ending|endgame))?",
        kind_v_kind,
    ),
    Pattern(
        r"(?:only (?:the )?kings and pawns|the kings and pawns only|kings and pawns only) (?:are left|remain|are on the board|are on|survive|have survived)",
        only_pawns,
    ),
    Pattern(r"(?:there are|we have) only (?:kings and pawns|pawns)(?: left)?", only_pawns),
    Pattern(
        rf"(?:(?:the|this|that|such a|the resulting|{{own}}|that) )?{_ENDING} (?:is|are|would be|will be|ends in|ends as|finishes in|results in|leads to|comes to|remains|turns out) (?:not )?{_PLAIN}(?:a )?{_PLAIN}{_WON}(?: (?:for|in favour of) {{side}})?",
        won,
    ),
    Pattern(
        rf"(?:the|this|that|the resulting) {_ENDING} {_PLAIN}(?P<result>wins|loses|draws)(?: for {{side}})?",
        won,
    ),
    Pattern(
        rf"{{side}} (?:(?:will|would|can|could|may|should|must|is able to|is going to|(?:has|have) (?:enough|what it takes) to|manages to) )?{_PLAIN}(?P<result>wins?|loses?|draws?|is (?:{_PLAIN})(?:winning|losing|lost|won)(?: in)?|are winning(?: in)?|holds?|saves?) (?:the |this |that |a )?(?:draw in (?:the|this) )?{_ENDING}",
        won,
    ),
    Pattern(
        rf"{{side}} (?:{{have}}|{{be}} in|reach(?:es)?) (?:a|an|the) {_PLAIN}(?P<result>won|winning|lost|losing|drawn) {_ENDING}(?: on the board)?",
        won,
    ),
    Pattern(
        rf"(?:(?:it|this|that|here) is |here we have |we have |here )?(?:a|an) {_PLAIN}(?P<result>won|winning|lost|drawn) {_ENDING}(?: for {{side}})?",
        won,
    ),
    Pattern(
        r"{side} (?:can|could|will) (?:(?:only|still|just|hope to|ever|do no more than) )*(?P<result>win|draw|hold)(?: (?:this|it|the position|the game|this position|the draw|by force|any more))?(?! [QPMNFW])",
        won_pawns,
    ),
    Pattern(
        r"(?:the|this) (?:position|game|diagram|study) (?:is|would be|ends in|must be) (?:a )?(?:dead |theoretical |clear |simple |book |known |trivial )*(?P<result>draw|drawn|win|won|loss|lost)(?: (?:for|in favour of) {side})?",
        won_any,
    ),
    Pattern(
        r"(?:a )?(?:(?:dead|theoretical|clear|simple|book|theoretically) )*(?P<result>drawn|draw)(?= ?$| [.!])",
        won_pawns,
    ),
    Pattern(
        r"{side} to (?:move|play) (?:and |: |, |— )?(?P<result>wins?|draws?|holds?|loses?)",
        moves_and,
    ),
    Pattern(
        rf"{_ENDING} {_PLAIN}{_WON}(?: for {{side}})?(?= ?$| [,.!;])",
        won,
    ),
    Pattern(
        rf"(?:the )?(?:right|correct|proper|true|only) (?:result|outcome|verdict) is (?:a )?{_WON}(?: for {{side}})?",
        won_any,
    ),
    Pattern(r"{side} {have} the (?:direct |diagonal |(?P<far>distant) )?opposition", opposition),
    Pattern(r"the kings (?:are|stand) in (?:direct |(?P<far>distant) )?opposition", opposition),
    Pattern(r"{piece} {be} (?:in|inside|within) the square(?: of {piece2})?", in_square),
    Pattern(
        r"{piece} {be} (?:outside|out of) the square(?: of {piece2})?", in_square, against=True
    ),
    Pattern(r"{piece} (?:catches|can catch|stops|is able to catch) {piece2}", in_square),
    Pattern(r"(?:it is )?(?:a )?(?:double|four) (?P<kind>rook) (?:ending|endgame)", double_rooks),
    Pattern(
        r"(?:the )?(?P<kind>rooks|queens|knights|bishops) are (?:the only|all the) pieces (?:left|remaining|on the board|that (?:are left|remain))(?: on the board)?",
        only_kind,
    ),
    Pattern(
        r"only (?P<kind>rooks|queens|knights|bishops) and pawns (?:are left|remain|are on the board)",
        only_kind,
    ),
    Pattern(r"kings and pawns are all that (?:is|are|has|have|remains?)(?: left)?", only_pawns),
    Pattern(
        r"(?:(?:all )?(?:of )?(?:the )?pieces|every(?: single)? piece|all the pieces|the pieces) (?:is|are|has been|have been|have|has) (?:all )?(?:gone|off(?: the board)?|exchanged(?: off)?|traded(?: off)?|come off|disappeared|left (?:the )?(?:board|stage|game|scene)|swapped(?: off)?|departed)",
        only_pawns,
    ),
    Pattern(r"there are (?:any )?pieces left(?: on the board)?", only_pawns, against=True),
    Pattern(
        r"(?:it|this|that) (?:is|would be) (?:a )?(?:dead |theoretical |clear |simple |book |known )*(?P<result>draw|drawn|win|won|loss|lost)(?: (?:for|position for) {side})?",
        won_any,
    ),
    Pattern(
        r"{side} (?P<result>draws|holds the draw|holds|wins|loses)(?: (?:this|the position|easily|comfortably|by force))?",
        won_any,
    ),
    Pattern(
        r"it is (?:an? )?(?P<kind>opposite colou?red bishops?|bishop) (?:ending|endgame)",
        bishops_ending,
    ),
    Pattern(r"only pawns are left (?:beside|besides|apart from|with) the kings", only_pawns),
    Pattern(
        r"(?:it is|this is|we have) (?:an? )?(?:pure )?(?P<kind>pawn|rook|queen|knight|bishop|minor piece) (?:ending|endgame)",
        kind,
    ),
    Pattern(
        r"(?:apart from|besides|beside) (?:the )?kings (?:there are )?only pawns (?:are left|remain)",
        only_pawns,
    ),
    Pattern(
        r"(?:both|all|the two|N.)(?: pairs?)?(?: of)? (?:the )?(?P<kind>rooks|queens|knights|bishops) (?:have|are)(?: been)? (?:gone|exchanged|traded|swapped|off|disappeared|vanished|removed|left (?:the )?(?:board|stage|scene|game)|come off|departed|gone from the board|captured|taken)(?: off)?(?: the board)?",
        kinds_gone,
    ),
    Pattern(
        r"{piece} (?:is|has) (?:too late|too far away|unable|not able) (?:to (?:catch|stop) {piece2})",
        in_square,
        against=True,
    ),
    Pattern(r"{piece} can (?:catch|stop) {piece2}", in_square),
    Pattern(r"{piece} (?:can be|will be) (?:caught|stopped) by {piece2}", caught_by),
    Pattern(r"{side} is in zugzwang", zugzwang),
    Pattern(r"{piece} {be} in front of {own} (?:own )?pawn", king_ahead),
    Pattern(
        r"(?:it is|this is|we have|here is|we are in) (?:an? )?(?:ending|endgame) (?:with|of) (?P<kind>opposite coloured bishops|bishops of opposite colou?rs?|bishops)",
        bishops_ending,
    ),
    Pattern(
        r"(?:each side|both sides|{side}|white and black) {have} (?:only )?(?:a|one|{number}) (?P<kind>rook|queen|knight|bishop)s? and (?:the )?pawns?(?: ,? nothing else| and nothing else)?",
        kind_and_pawns,
    ),
    Pattern(
        r"(?:there are|there is) (?:any |a |some |still )?(?P<kind>knight|bishop|rook|queen)s?(?: left)? on the board",
        kind_there,
    ),
    Pattern(
        r"(?:all (?:of )?)?(?:the )?minor pieces {be} (?:all )?(?:gone|off|exchanged)",
        minors_gone,
    ),
    Pattern(
        r"(?:there are|we have) (?:just |only |nothing but )?(?:the )?kings and (?:the )?pawns (?:left|on the board|remaining|now)",
        only_pawns,
    ),
    Pattern(
        r"(?:the|N.|both|the N.) kings (?:are|stand|face) (?:directly |right )?(?:opposite each other|face to face|facing each other|each other|one another|opposite one another)(?: on (?:the same |one )?(?:file|rank|{file}|{rank}))?",
        opposition,
    ),
    Pattern(
        rf"(?:the )?(?:position|game|thing) (?:is|has become|has turned into) (?:an? )?(?:pure |simple |plain )?{_KIND} (?:ending|endgame)(?: with (?P<each>{{number}} pawns (?:on either side|each|a side|apiece|on each side)))?",
        kind_with_pawns,
    ),
    Pattern(
        rf"(?:it is |this is )(?:an? )?(?:pure |simple |plain )?{_KIND} (?:ending|endgame) with (?P<each>{{number}} pawns (?:on either side|each|a side|apiece|on each side))",
        kind_with_pawns,
    ),
)
