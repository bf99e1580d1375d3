"""Threats, soundness, force and advantage: what only calculation can tell.

Definitions: what a side would do if it were to move now, mate in one or winning material at once,
is read off the board, and a mate in two or three found by looking at every move; anything deeper is
asked of the analyst, whose answer is given with its name and depth. Without one the answer is
"cannot tell".

    after 1.e4 e5 2.Bc4 Nc6 3.Qh5:
        holds: White threatens mate
        holds: White threatens Qxf7
        holds: the threat is mate on f7
        fails: Black threatens mate
        fails: White threatens nothing
        cannot tell: White is better
        cannot tell: the attack is sound
        cannot tell: White wins a piece by force
        left alone: a threat is stronger than its execution
        left alone: White has good memories of this line
    after 1.e4 c6 2.d4 d5 3.Nc3 dxe4 4.Nxe4 e6 5.Bd3:
        cannot tell: White threatens Nf6+
        cannot tell: Black threatens Nf6
    FEN 7k/8/4K3/8/8/8/8/6Q1 w - - 0 1:
        holds: White mates in two moves
        holds: it is a forced mate in two
        fails: there is a mate in three
        fails: White has a forced mate in one
    after 1.e4 e5 2.Nf3 Nc6:
        fails: White has mate in two
        fails: White threatens mate
        cannot tell: Black stands slightly worse
        cannot tell: the position is equal
"""

from __future__ import annotations

import re
from dataclasses import replace

import chess

from linewright import facts
from linewright.board_words import NUMBER_WORDS, listed, names, piece_on, square
from linewright.expressions import expression
from linewright.judging import Fact, Pattern, Said
from linewright.moves import side_name
from linewright.moves_meant import of_side
from linewright.position.mates import TooManyBoardsError, fastest_mate

FAMILY = "analysis"


def _threats(said: Said, colour: chess.Color) -> str:
    found = facts.threats(said.board, colour)
    asked = said.board.copy(stack=False)
    if asked.turn != colour:
        asked.push(chess.Move.null())
    sans = [asked.san(t.move) for t in found[:3]]
    return (
        f"{side_name(colour)} threatens {listed(sans)}"
        if sans
        else (f"{side_name(colour)} threatens neither mate in one nor to win material at once")
    )


def threatens_mate(said: Said) -> Fact | None:
    """Whether a side would mate at once if it were to move; longer mates are not looked for."""
    if "number" in said and said.number() != 1:
        return None
    colour = said.side() if "side" in said else not said.board.turn
    mates = facts.threatens_mate(said.board, colour)
    if "square" in said:
        mates = tuple(m for m in mates if m.to_square == said.at("square"))
    return Fact(bool(mates), _threats(said, colour), names(m.to_square for m in mates))


def threatens_move(said: Said) -> Fact | None:
    """Whether a move would mate or win material at once; deeper threats need the analyst."""
    colour = said.side() if "side" in said else not said.board.turn
    played = of_side(said.played(), said.board, colour)
    if played is None:
        return None
    found = [t for t in facts.threats(said.board, colour) if t.move == played.move]
    if found:
        return Fact(True, _threats(said, colour), names([played.move.to_square]))
    return _asked(said, "threat", f"{played.san} wins nothing at once")


def threatens_piece(said: Said) -> Fact | None:
    """Whether a side threatens to take a piece with profit."""
    at = said.at("target")
    if said.phrases["target"].determiner == "all":
        return None  # "nothing" is asked of the whole board
    colour = said.board.color_at(at)
    if colour is None and said.phrases["target"].kind == "square":
        return None  # "Black threatens e4": the move of a pawn
    if colour is None or ("side" in said and said.side() == colour):
        return Fact(False, f"{piece_on(said.board, at)} is no enemy piece")
    takes = [t for t in facts.threats(said.board, not colour) if t.move.to_square == at]
    hit = facts.hanging_piece(said.board, at)
    true = bool(takes) or hit is not None
    return Fact(
        true,
        f"{piece_on(said.board, at)} {'can' if true else 'cannot'} be taken with profit",
        names([at]),
    )


def threatens_anything(said: Said) -> Fact:
    """Whether a side threatens mate in one or to win material at once."""
    colour = said.side()
    found = facts.threats(said.board, colour)
    return Fact(bool(found), _threats(said, colour), names(t.move.to_square for t in found[:3]))


def _asked(said: Said, question: str, beside: str = "") -> Fact:
    """What the analyst says to a question, or that one is needed."""
    analyst = said.place.judges.analyst
    if analyst is None:
        return Fact(None, f"needs an analyst{': ' + beside if beside else ''}")
    found: Fact | None = analyst.decide(said, question)
    return found or Fact(None, f"the analyst cannot decide it{': ' + beside if beside else ''}")


def can_win(said: Said) -> Fact | None:
    """Whether a side can take something; with profit, if that is said."""
    at = said.at("target")
    colour = said.board.color_at(at)
    if colour is None or colour == said.side():
        return None
    hit = facts.hanging_piece(said.board, at)
    if not _WITH_PROFIT.search(f"{said.original} {said.trailing}"):
        takers = _takers(said.board, said.side(), at)
        by = listed(piece_on(said.board, s) for s in takers)
        text = f"can be taken by {by}" if takers else "cannot be taken"
        return Fact(bool(takers), f"{piece_on(said.board, at)} {text}", names((at, *takers)))
    text = "can be taken with profit" if hit else "cannot be taken with profit"
    return Fact(hit is not None, f"{piece_on(said.board, at)} {text}", names([at]))


_WITH_PROFIT = expression(
    r"\b(?:win|wins|for free|free of charge|for nothing|safely|with profit|without|snatch|pick up)\b"
)


def _takers(board: chess.Board, colour: chess.Color, at: chess.Square) -> list[chess.Square]:
    """The squares from which a side may legally take on a square, were it to move."""
    asked = board.copy(stack=False)
    if asked.turn != colour:
        asked.turn, asked.ep_square = colour, None
    return sorted({m.from_square for m in asked.legal_moves if m.to_square == at})


def mates_in(said: Said) -> Fact:
    """Whether the fastest mate is in so many moves ("at most", "at least", "two or three"), by
    every move there is where that can be paid for; longer ones are a question for the analyst.

    With no side named, the mate may be that of either. What is denied is a mate in no more moves
    than these.
    """
    fewest, most = _bounds(said)
    sides = [said.side()] if "side" in said else [said.board.turn, not said.board.turn]
    try:
        found = [(side, _fastest_mate(said.board, side, most or fewest)) for side in sides]
    except TooManyBoardsError:
        return _asked(said, "force")
    for side, moves in found:
        if _is_in(said.board, side, moves, 0 if said.negated else fewest):
            return _told_mate(said.board, side, moves, most or fewest, True)
    side, moves = next((one for one in found if one[1] is not None), found[0])
    if not most and moves is None:
        return _asked(said, "force")
    return _told_mate(said.board, side, moves, most or fewest, False)


def _bounds(said: Said) -> tuple[int, int]:
    """The fewest and the most moves in which mate is said to be; the most 0 if they are open."""
    wanted = said.number()
    told = f"{said.word('before')} {said.word('behind')}"
    if "number2" in said:
        return wanted, max(wanted, said.number("number2"))
    if _LEAST.search(told):
        return wanted, 0
    return (0 if _MOST.search(told) else wanted), wanted


def _is_in(board: chess.Board, side: chess.Color, moves: int | None, fewest: int) -> bool:
    """Whether a mate, found within the most moves, takes no fewer. That of the side which is not
    to move may be counted with the move it has just made."""
    return moves is not None and moves + (board.turn != side) >= fewest


def _told_mate(
    board: chess.Board, side: chess.Color, moves: int | None, wanted: int, true: bool
) -> Fact:
    mates = facts.threatens_mate(board, side) if moves == 1 else ()
    if mates and (board.turn == side or true):
        san = facts.to_move(board, side).san(mates[0])
        return Fact(true, f"{san} is mate", names(m.to_square for m in mates))
    if moves is None:
        return Fact(true, f"{side_name(side)} has no mate in {_number(wanted)}: no move forces it")
    return Fact(true, f"{side_name(side)} mates in {_number(moves)}")


def _number(moves: int) -> str:
    return NUMBER_WORDS[moves] if moves < len(NUMBER_WORDS) else str(moves)


def _fastest_mate(board: chess.Board, side: chess.Color, most: int) -> int | None:
    """In how many moves a side mates; where the other is to move, were it its own turn for one,
    else after every reply."""
    if board.turn != side and most == 1:
        return 1 if facts.threatens_mate(board, side) else None
    return fastest_mate(board, side, most)


def threatened_with_mate(said: Said) -> Fact | None:
    """Whether the other side would mate a side at once if it were to move."""
    return threatens_mate(said.meaning({**said.values, "side": not said.side()}))


def _space(said: Said) -> Fact:
    return Fact(None, "space is a matter of opinion")


def advantage(said: Said) -> Fact:
    """Who stands better: a question for the analyst, unless the game is over."""
    if said.board.is_stalemate() or said.board.is_insufficient_material():
        drawn = re.search(r"drawn|draw|equal|level", said.original) is not None
        why = "it is stalemate" if said.board.is_stalemate() else "nobody has enough to give mate"
        return Fact(drawn, f"{why}: a draw")
    ending = said.place.judges.pawn_ending
    if said.place.judges.analyst is None and ending is not None and _decisive(said):
        found: Fact | None = ending(said.board, said.side(), said.word("how"))
        return found or _asked(said, "advantage")
    return _asked(said, "advantage")


def _decisive(said: Said) -> bool:
    """Whether a pawn ending is said to be won or lost for somebody."""
    told = said.word("how") in {"winning", "won", "losing", "lost"}
    return told and "side" in said and facts.ending(said.board) == "pawn"


def soundness(said: Said) -> Fact:
    """Whether a sacrifice, attack or move is sound: a question for the analyst."""
    return _asked(said, "soundness")


def force(said: Said) -> Fact:
    """Whether something is won by force: a question for the analyst, unless it is a mate that can
    be looked for in full."""
    if "number" in said and "mate" in said.original.lower() and "move" not in said:
        return mates_in(said)
    return _asked(said, "force")


def threatens_on(said: Said) -> Fact:
    """Whether a side would win material by taking on a square, were it to move."""
    found = [
        t for t in facts.threats(said.board, said.side()) if t.move.to_square == said.at("square")
    ]
    return Fact(bool(found), _threats(said, said.side()), names(t.move.to_square for t in found))


def threatens_kind(said: Said) -> Fact | None:
    """Whether a side would win such a piece at once, were it to move."""
    kinds = {
        "pawn": {1},
        "knight": {2},
        "bishop": {3},
        "rook": {4},
        "queen": {5},
        "piece": {2, 3},
    }.get(said.word("kind"))
    if kinds is None:
        return _asked(said, "force")
    found = [
        t
        for t in facts.threats(said.board, said.side())
        if said.board.piece_type_at(t.move.to_square) in kinds
    ]
    if found:
        return Fact(True, _threats(said, said.side()), names(t.move.to_square for t in found))
    return _asked(said, "threat", _threats(said, said.side()))


def any_threat(said: Said) -> Fact:
    """Whether the side that moved last threatens anything at once."""
    colour = not said.board.turn
    found = facts.threats(said.board, colour)
    return Fact(bool(found), _threats(said, colour))


_WORSE = (
    r"(?:much |clearly |slightly |a little |a touch |a shade |considerably |far |marginally |somewhat |just |"
    r"a bit |even |objectively |strategically |positionally |simply )*(?P<how>better|worse|winning|losing|lost|won|fine|"
    r"busted|in trouble|on top|doing well|in good shape|comfortable|for choice|equal|ok|okay|more comfortable|preferable)"
)


def _nothing(said: Said) -> Fact:
    return threatens_anything(said)


def _opinion(said: Said) -> Fact | None:
    phrase = said.phrases.get("piece")
    if phrase is not None and phrase.determiner == "it":
        return None
    return Fact(None, "a matter of opinion")


def _mate_after(said: Said) -> Fact | None:
    if "number" in said and said.number() != 1:
        return None
    board = said.played().after if "move" in said else said.board
    mates = facts.threatens_mate(board, not board.turn)
    if "square" in said:
        mates = tuple(m for m in mates if m.to_square == said.at("square"))
    asked = board.copy(stack=False)
    asked.push(chess.Move.null())
    sans = [asked.san(m) for m in mates] if not board.is_check() else []
    return Fact(
        bool(mates),
        f"{side_name(not board.turn)} threatens {listed(sans)}"
        if mates
        else "no mate in one is threatened",
        tuple(square(m.to_square) for m in mates),
    )


def mates_now(said: Said) -> Fact:
    """Whether there is a mate in one (by the move named); if not, a question for the analyst."""
    mates = facts.threatens_mate(said.board, said.side())
    if "move" in said:
        played = said.played()
        after = played.after
        return Fact(
            after.is_checkmate(), f"{played.san} is {'mate' if after.is_checkmate() else 'no mate'}"
        )
    if mates:
        asked = facts.to_move(said.board, said.side())
        return Fact(True, f"{asked.san(mates[0])} is mate", names(m.to_square for m in mates))
    none = f"{side_name(said.side())} has no mate in one"
    if re.search(_AT_ONCE, f"{said.original} {said.trailing}".lower()):
        return Fact(False, none)
    return _asked(said, "force", none)


_AT_ONCE = r"\b(?:immediate|instant|immediately|at once|next move|on the (?:next )?move|on the spot|straight off|in hand|available|now)\b"


def mate_on(said: Said) -> Fact:
    """Whether there is a mate in one by a move to the square."""
    colour = said.side() if "side" in said else said.board.turn
    mates = facts.threatens_mate(said.board, colour)
    asked = facts.to_move(said.board, colour)
    there = [m for m in mates if m.to_square == said.at("square")]
    sans = listed([asked.san(m) for m in mates]) if mates else "no move"
    return Fact(bool(there), f"{sans} is mate in one", names(m.to_square for m in mates))


def both_threatened(said: Said) -> Fact | None:
    """Whether a side threatens to take both pieces with profit."""
    facts_of = [
        threatens_piece(
            replace(
                said,
                values={**said.values, "target": said.values[name]},
                phrases={**said.phrases, "target": said.phrases[name]},
            )
        )
        for name in ("target", "target2")
    ]
    told = [fact for fact in facts_of if fact is not None]
    if len(told) < 2:
        return None
    return next((fact for fact in told if not fact.true), told[0])


def nothing_threatened(said: Said) -> Fact:
    """Whether the side that moved last threatens neither mate in one nor material."""
    fact = any_threat(said)
    return Fact(not fact.true, fact.because)


def side_threatens_nothing(said: Said) -> Fact:
    """Whether a side threatens neither mate in one nor material."""
    fact = threatens_anything(said)
    return Fact(not fact.true, fact.because)


_OR_MORE = r"or more|or longer|or slower|or later|at least|at the (?:least|earliest)|minimum"
_OR_LESS = (
    r"or less|or fewer|or sooner|or faster|or quicker|or earlier|at most|at the (?:most|latest)|"
    r"maximum|tops|within"
)
_LEAST, _MOST = expression(_OR_MORE), expression(_OR_LESS)
_IN_MOVES = (
    rf"(?P<before>within|in(?: (?:{_OR_MORE}|{_OR_LESS}))?) {{number}}(?: moves?)?"
    rf"(?: ,? ?(?P<behind>{_OR_MORE}|{_OR_LESS}|(?:or|to|at most|maximum) {{number2}}))?(?: moves?)?"
)
_A_MATE = r"(?:already |now |even |still )?(?:an? )?(?:forced |simple |quick |neat |nice |pretty |beautiful |easy |elegant |clear |standard )*(?:check)?mate"

PATTERNS = (
    Pattern(
        r"{side} (?:{have} (?:a |an )?(?:(?:immediate|instant|direct) )?mate (?:on the spot|on the move|next move|on the board|available|straight off|in hand)|{have} an (?:immediate|instant) mate|"
        r"(?:mates?|checkmates?) (?:on the spot|next move|on the move|straight off)|can (?:give |deliver )?(?:check)?mate (?:on the spot|on the move|next move|straight off))",
        mates_now,
    ),
    Pattern(
        r"{side} (?:threatens?|is threatening|are threatening|has the threat of|threatened) (?:immediate |a quick |instant )?"
        r"(?:check)?mate(?: (?:on|at) {square}| in (?:one|{number})| next move| at once)?",
        threatens_mate,
    ),
    Pattern(
        r"(?:there is|we have) (?:a |the )?threat of (?:check)?mate(?: on {square})?",
        threatens_mate,
    ),
    Pattern(
        r"(?:the|{own}) threat is (?:check)?mate(?: (?:on|at) {square}| in (?:one|{number})| next move| at once)?",
        threatens_mate,
    ),
    Pattern(
        r"(?:it|this|that|this move|the move|{move}) (?:threatens|would threaten|carries the threat of) (?:check)?mate"
        r"(?: (?:on|at) {square}| in (?:one|{number}))?",
        _mate_after,
    ),
    Pattern(
        r"(?:check)?mate (?:on|at) {square} is (?:threatened|the threat|on the cards)",
        threatens_mate,
    ),
    Pattern(
        r"{side} (?:threatens?|is threatening|are threatening)(?: to play| the move)? {move}(?: (?:check)?mate)?",
        threatens_move,
    ),
    Pattern(r"(?:the|{own}) threat is {move}(?: mate)?", threatens_move),
    Pattern(
        r"{side} (?:threatens?|is threatening)(?: to (?:take|win|capture|grab))? {target}",
        threatens_piece,
    ),
    Pattern(
        r"{side} (?:threatens?|is threatening) (?:anything|something)(?<=(?P<what>thing))",
        _nothing,
    ),
    Pattern(
        r"{side} {be} (?:being )?threatened with (?:an? )?(?:immediate )?(?:check)?mate(?: (?:on|at) {square})?",
        threatened_with_mate,
    ),
    Pattern(
        r"{side} (?:threatens?|{be} threatening) (?:anything|something) (?:on|at|against) {square}",
        threatens_on,
    ),
    Pattern(
        r"{side} (?:threatens?|{be} threatening) nothing (?:on|at|against) {square}",
        threatens_on,
        against=True,
    ),
    Pattern(
        r"{move} ?,? ?(?:with )?(?:mate |check )?(?:is|was|are) (?:threatened|the threat|a threat|being threatened)",
        threatens_move,
    ),
    Pattern(
        r"{side} {have} (?:a |any |an immediate |the )?(?:real |direct |immediate )*threats?(?! (?:of|to))",
        threatens_anything,
    ),
    Pattern(r"{side} (?:can|could) (?:win|take|capture|grab|pick up|snatch) {target}", can_win),
    Pattern(
        rf"{{side}} (?:mates|can mate|can give mate|can deliver mate|gives mate|has a mate|has mate|is mating|could mate) {_IN_MOVES}",
        mates_in,
    ),
    Pattern(rf"there is {_A_MATE} {_IN_MOVES}", mates_in),
    Pattern(rf"{{side}} {{have}} {_A_MATE} {_IN_MOVES}", mates_in),
    Pattern(r"{side} {have} (?:more|less|extra) (?:space|room)", _space),
    Pattern(rf"{{side}} (?:{{be}}|stands?|has been) {_WORSE}", advantage),
    Pattern(
        r"{side} {have} (?:a |an |the |some )?(?:clear |slight |small |big |large |decisive |winning |huge |considerable |tiny |"
        r"lasting |comfortable |pleasant |nagging |overwhelming |nice |stable |serious |permanent |better )*(?P<how>advantage|edge|upper hand|"
        r"plus|initiative|winning position|better position|better game|better chances|worse position|lost position|pull|attack|"
        r"superior position)(?! in (?:development|material)| (?:of the|on material))",
        advantage,
    ),
    Pattern(
        r"(?:the )?(?:position|game|chances|things) (?:{be}) (?:roughly |about |completely |dynamically |totally |objectively |dead )*"
        r"(?P<how>equal|level|balanced|even|winning(?: for {side})?|lost(?: for {side})?|better for {side}|drawn|a draw|unclear|fine for {side}|"
        r"good for {side}|bad for {side})(?! (?:on|in) material)",
        advantage,
    ),
    Pattern(
        r"(?:the|this|{own}) (?:piece |knight |bishop |rook |queen |exchange |pawn )*(?:sacrifice|attack|gambit|combination|idea|plan) {be} "
        r"(?:not )?(?:completely |entirely |perfectly )?(?P<how>sound|unsound|correct|incorrect|refuted|dubious)",
        soundness,
    ),
    Pattern(
        r"(?P<move>M.) (?:is|would be) (?P<how>sound|unsound|a mistake|a blunder|an error|best|the best move|a good move|bad|good|strong|weak|"
        r"dubious|winning|losing|refuted|a bad move|inaccurate|an inaccuracy|the strongest|too slow|necessary)",
        soundness,
    ),
    Pattern(
        r"(?P<move>Q.) (?:is|was|would be) (?P<how>a mistake|a blunder|an error|a bad move|a good move|the best move|an inaccuracy)",
        soundness,
    ),
    Pattern(r"{move} (?:works|fails|does the trick|is out of the question|does work)", soundness),
    Pattern(
        r"(?:{side}|{move}) (?P<deed>wins|loses|win|lose|is winning|is losing|regains|always gets|gets|recovers) (?P<won>(?:a|an|the|{number}|material|back the|at least a) ?(?:pawns?|piece|knight|"
        r"bishop|rook|queen|exchange|pieces|game)?)(?: back)?(?: by force| on the spot| at once| in all lines| immediately)?",
        force,
    ),
    Pattern(
        r"{side} (?P<won>wins|is winning|mates|has a forced (?:win|mate)|can force (?:mate|a win|a draw))(?: (?:by force|in {number}|"
        r"quickly|on the spot))",
        force,
    ),
    Pattern(
        r"(?:there is|{side} {have}) (?:a )?(?P<won>forced (?:mate|win|draw|line)|mate in {number})",
        force,
    ),
    Pattern(
        r"{piece} (?:{be}|becomes) (?:stronger|better|worse|weaker|more active|more valuable|superior|inferior|badly placed|well placed|"
        r"strong|weak|active|passive|useless|poor|excellent|good|powerful|dangerous|misplaced|a monster|a problem)",
        _opinion,
    ),
    Pattern(
        r"(?:the )?(?:doubled )?(?:pawns?|pawn structure) {be} (?:a )?(?:weak|weakness|strong|strength|better|healthy|sound|damaged|ruined)",
        _opinion,
    ),
    Pattern(
        r"(?:there is|{side} {have}) (?:a |an |any )?(?:immediate |direct |real |double )*threats? (?:to|against|on) {target}",
        threatens_piece,
    ),
    Pattern(
        r"{side} (?:is about to|threatens to|is threatening to) (?:give |deliver )?(?:check)?mate(?: (?:on|at) {square})?",
        threatens_mate,
    ),
    Pattern(
        r"{side} (?:threatens|is threatening) to (?:take|capture|win) on {square}", threatens_on
    ),
    Pattern(
        r"{side} (?:threatens|is threatening) to (?:win|capture|take) (?:a|the) (?P<kind>pawn|piece|knight|bishop|rook|queen|exchange)",
        threatens_kind,
    ),
    Pattern(
        r"{side} (?:threatens|is threatening) (?:a|the) (?:fork|discovered attack|skewer|pin|double attack|combination)",
        force,
    ),
    Pattern(
        r"there is (?:a |any )?(?:real |serious |immediate |direct )*threats?(?! to| against| on| of)",
        any_threat,
    ),
    Pattern(
        r"{side} (?:can|could) (?:give )?(?:check)?mate(?: (?:with {move}|on {square}|on the {rank}))?",
        mates_now,
    ),
    Pattern(
        r"{side} (?:mates|has (?:a )?mate|is mating)(?: (?:with {move}|on {square}|on the {rank}))?",
        mates_now,
    ),
    Pattern(r"{side} (?P<deed>loses|is lost) by force", force),
    Pattern(r"nothing is (?:threatened|being threatened)", nothing_threatened),
    Pattern(r"{side} (?:threatens|is threatening) nothing(?: at all)?", side_threatens_nothing),
    Pattern(r"{target} is (?:being )?threatened(?: by {side})?", threatens_piece),
    Pattern(
        r"{side} {have} (?:a |the )?(?:mating threat|threat of mate|mate threat)(?: on {square})?",
        threatens_mate,
    ),
    Pattern(rf"(?:it is|this is|that is|here it is) {_A_MATE} {_IN_MOVES}", mates_in),
    Pattern(
        r"{side} (?:mates?|has mate|have mate|gives? mate|delivers? mate|checkmates?) (?:next move|next turn|next|at once|now|this move|immediately|on the next move|on the move|straight away)",
        mates_now,
    ),
    Pattern(r"(?:there is|{side} {have}) (?:a )?(?:check)?mate (?:on|at) {square}", mate_on),
    Pattern(
        r"{side} {have} (?:a )?(?:check)?mate (?:in one|next move|next|at once|here|this move|on the board|available|waiting)",
        mates_now,
    ),
    Pattern(
        r"{side} (?:threatens?|is threatening|are threatening) (?:both )?{target} and {target2}",
        both_threatened,
    ),
)
