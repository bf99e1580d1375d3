"""What a side or a man can do now, however it is said: take, go, put, check, mate, block, promote.

One judge looks for a legal move (FIDE Laws, 3.1 to 3.10) that fits all that is told of it: who
moves, with what, from where, to where, what is taken, whether it gives check or mate, whether it
can be taken in return. A side that is not to move is asked as if it were, unless the other is in
check. "Only" says that no other man of the side can; a number, how many men can.

    after 1.d4 d5 2.Bf4 Nf6 3.e3 e6 4.Nf3 Bd6 5.Bg3 O-O:
        holds: it is possible for Black to take on g3
        fails: White might sneak to c5 with the queen
        holds: only White's bishop can take on d6
        fails: the black king may sneak to g7
        fails: the king can't budge
        holds: Black's queen can slide to e7
        holds: nothing of ours can take on d5
        fails: there are two black pieces that can take on g3
        left alone: White can take his time
        left alone: he could take a rest on the queenside
        left alone: the knight can be a tricky piece
        left alone: White can play well here
    after 1.e4 e5 2.Nf3 d6 3.Bc4 Bg4 4.Nc3 g6 5.Nxe5 Bxd1:
        fails: only the king can recapture
        holds: White's bishop is free to drop back to b3
    after 1.e4 e5 2.Nf3 Nc6 3.Bc4 Bc5 4.c3 Nf6 5.d4 exd4 6.cxd4 Bb4+:
        holds: White can put a knight on c3
        holds: the bishop on c1 can step in between on d2
        fails: the queen can block the check on c2
        holds: White can block with the knight on d2
        fails: White can block the check with the rook
        holds: White can answer the check by putting a knight on c3
        left alone: White can be happy
        left alone: White can count on a lot of play
    after 1.e4 e5 2.Bc4 Nc6 3.Qh5 Nf6:
        fails: White can take the knight on f6 with the queen
        fails: Black can take the queen with the pawn
        holds: the bishop can give check on f7
        holds: the queen can take on f7 with check
        fails: the bishop can give mate on f7
        holds: the queen mates on f7
    FEN 6k1/5ppp/8/8/8/8/5PPP/3R2K1 w - - 0 1:
        holds: it is possible for White to give mate with the rook
        fails: the f-pawn may go three squares forward
        holds: the f-pawn may go two squares forward
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace

import chess

from linewright.board_words import listed, several, square
from linewright.judging import Fact, Pattern, Said
from linewright.moves import MAN, side_name

FAMILY = "powers"

_IRREGULAR = {
    "get": "getting", "put": "putting", "hop": "hopping", "step": "stepping", "drop": "dropping",
    "slip": "slipping", "run": "running", "swap": "swapping", "snap": "snapping", "chop": "chopping",
    "win": "winning", "nab": "nabbing", "swing": "swinging", "pop": "popping", "slot": "slotting",
    "pick": "picking", "cut": "cutting", "bag": "bagging", "grab": "grabbing", "zip": "zipping",
    "be": "being", "ship": "shipping", "go": "going",
}  # fmt: skip


def _verbs(words: str) -> str:
    """An expression for verbs in their plain form and that in -ing."""
    found = []
    for verb in (word.strip() for word in words.split(",")):
        first, _, rest = verb.partition(" ")
        doing = (
            _IRREGULAR.get(first)
            or f"{first.removesuffix('e') if not first.endswith(('ee', 'oe')) else first}ing"
        )
        found.append(f"(?:{first}|{doing}){f' {rest}' if rest else ''}")
    return f"(?:{'|'.join(sorted(found, key=len, reverse=True))})"


_ADV = r"(?: (?:also|simply|even|always|legally|still|just|now|then|here|next|immediately|at once|already|well|safely|only|either|easily|both|at least|in fact|really|ever|again|too))*"
_CAN = (
    rf"(?:can|could|may|might|(?:is|are|be|am|would be|was){_ADV} (?:able|free|ready|allowed|permitted|entitled|in a position|at liberty|welcome|legally able) to|"
    r"(?:has|have|had|gets|would have)(?: got)? (?:the|a|an) (?:chance|option|possibility|opportunity|right|choice|means) (?:to|of)|"
    rf"(?:has|have) (?:it in (?:G.|its) power) to|manages? to){_ADV}"
)
_TAKE = _verbs(
    "take, capture, grab, snap off, snap up, snatch, nick, bite, eat, remove, win, swallow, gobble up, pick off, pick up, "
    "chop off, chop, exchange, swap off, trade off, recapture, retake, bite off, eliminate, munch, scoop up, pinch, nab, pocket, bag, "
    "get rid of, take out, take off, take back, capture back, take away, kill, collect, cash in, help itself to, help himself to, steal, knock off, annex, gain"
)
_GO = _verbs(
    "go, step, hop, jump, leap, slide, drop, retreat, come, head, move, swing, travel, run, walk, escape, flee, return, advance, "
    "sidestep, slip, get, land, settle, withdraw, fall, climb, march, dash, switch, shift, penetrate, invade, reach, arrive, enter, "
    "push, be played, be moved, be put, be placed, be brought, be developed, be pushed, be advanced, be transferred, be retreated, be posted, "
    "visit, occupy, be withdrawn, swoop, sneak, bounce, make it, run away, get away, get out, wriggle out, save itself, hide"
)
_PUT = _verbs(
    "put, place, bring, move, play, slide, swing, drop, pop, post, plant, develop, transfer, get, retreat, shift, send, station, "
    "lift, fianchetto, advance, push, withdraw, hop, step, route, pull, take, throw, thrust, sink, tuck, bounce, jump, march, lead, interpose"
)
_CHECK = (
    rf"(?:{_verbs('give, deliver, say, call, announce')} (?:a |another )?check|{_verbs('check')}|put S. in check|have a check)"
    r"(?: (?:to )?(?:S.|(?:the|G.)(?: (?:white|black|enemy))? king|the king of S.))?"
)
_MATE = rf"(?:{_verbs('give, deliver, announce')} (?:check)?mate|mate|mating|checkmate|checkmating)(?: (?:S.|(?:the|G.)(?: (?:white|black|enemy))? king))?"
_BLOCK = (
    rf"(?:{_verbs('block, interpose, step in between, go between, come between, go in between, come in between, get in between, jump in between, step between, get in the way, jump between, stand between, be interposed')}"
    r"(?: (?:the |this |that |against the )?check| it| there)?)"
)
_MEET = rf"{_verbs('meet, parry, answer, stop, get out of, escape, escape from, step out of, run out of, move out of, deal with, end')} (?:the |this |that )?(?:check|double check)"
_PROMOTE = rf"(?:{_verbs('promote')}|queen|become a queen|make a (?:new )?queen)"
_KIND = rf"(?:{MAN}|minor piece|piece|man|men|thing|unit)s?"
_ADJ = r"(?:(?:white|black|enemy|hostile|own|other|different|single|little|poor|same|light squared|dark squared|king 's|queen 's|W.|only|last|loose|hanging|brave|proud) )*"


def _noun(tag: str, digit: str, at: str) -> str:
    """A noun phrase: how many, whose, of which colour and file, which man, where."""
    return (
        r"(?P<much"
        + tag
        + r">(?:(?:only|just|none of|neither of|neither|both of|both|all of|all|either of|one of|any of|any|exactly) )*)"
        rf"(?:{{number{digit}}} (?:of )?)?(?:(?:the|a|an|this|that|these|those|another|every|each|{{whose{digit}}}) )*"
        rf"(?P<adj{tag}>{_ADJ})(?:{{file{digit}}} |{{square{at}}} )?(?P<kind{tag}>{_KIND})"
        rf"(?: (?:(?:on|from|at|there on|standing on) )?{{square{at}}}(?! (?:{MAN}))|(?: on the {{file{digit}}}))?(?: (?:of|belonging to) {{whose{digit}}})?"
    )


_BY = _noun("by", "1", "2")
_PREY = _noun("prey", "2", "3")
_SPOT = (
    r"(?:on|at|to|onto|into|in on|upon|as far as|up to|out to|back to|over to|across to|down to)"
)
_ROLES = (
    rf"(?: (?:(?:{_SPOT}) {{square}}(?! (?:or|and|,) (?:to |on |on to )?Q)|from (?:{{square4}})|(?:only |just )?(?:with|using|by using|by means of|by (?:moving|putting|playing|bringing|placing|interposing|blocking with)) {_BY}|by (?:taking|capturing|removing) (?:the |a |G. |that |this )*(?P<removes>{_KIND})(?: with it)?|"
    r"(?P<mates>with (?:check)?mate|mating)|(?P<checks>with (?:a )?check|giving (?:a )?check)|"
    r"(?P<free>for free|for nothing|with impunity|safely|in safety|without (?:any )?(?:risk|danger|punishment)|without being (?:taken|captured|recaptured)|unpunished|free of charge|scot free)|"
    r"(?P<passing>en passant|in passing)|{number3} (?P<steps>squares?|steps?)(?: forwards?| ahead| at once| up)*|"
    r"(?:to|and) (?P<blocks>block|meet|stop|parry|answer|interpose against) (?:the |this |that )?check|"
    r"back|off|over|across|up|down|out|there|again|next|next move|at once|right now|now|in one move|in one|in N. moves?|in a single move|"
    r"on the (?:next )?move|straight away|right away|too|as well|here|away|forward|in between|only|once more|this (?:very )?move|in reply|in return))*"
)
_PIECE_ROLES = _ROLES.replace(_BY, "{piece2}")
_DOES = (
    rf"(?:(?P<take>{_TAKE})(?: (?:on|at) {{square}}| {{square}}| {_PREY}| (?:it|him|her|them|something|anything))?{_ROLES}|"
    rf"(?P<go>{_GO})(?: {{square}})?{_ROLES}|(?P<check>{_CHECK}){_ROLES}|(?P<mate>{_MATE}){_ROLES}|(?P<block>{_BLOCK}){_ROLES}|"
    rf"(?P<meet>{_MEET}){_ROLES}|(?P<promote>{_PROMOTE}){_ROLES})"
)
_PIECE_DOES = (
    rf"(?:(?P<take>{_TAKE})(?: (?:on|at) {{square}}| {{target}}){_PIECE_ROLES}|"
    rf"(?P<go>{_GO})(?: {{square}})?{_PIECE_ROLES}|(?P<check>{_CHECK}){_PIECE_ROLES}|"
    rf"(?P<mate>{_MATE}){_PIECE_ROLES}|(?P<block>{_BLOCK}){_PIECE_ROLES}|"
    rf"(?P<promote>{_PROMOTE}){_PIECE_ROLES})"
)
"""What a piece that is named or pointed at ("it", "that knight") can do."""

_SIDE_DOES = rf"(?:{_DOES}|(?P<put>{_PUT}) {_BY}{_ROLES})"

_NAMES = {"man": "", "men": "", "thing": "", "unit": "", "piece": "", "minor piece": ""}
Fits = Callable[[chess.Board, chess.Move], bool]


def asked(board: chess.Board, colour: chess.Color) -> chess.Board:
    """The board with a side to move; as it is where that cannot be.

    >>> asked(chess.Board(), chess.BLACK).turn
    False
    """
    if board.turn == colour or board.is_check():
        return board
    other = board.copy(stack=False)
    other.push(chess.Move.null())
    return other


def _types(word: str) -> tuple[chess.PieceType, ...]:
    word = "man" if word == "men" else word.removesuffix("s")
    if word in chess.PIECE_NAMES[1:]:
        return (chess.PIECE_NAMES.index(word),)
    if word == "minor piece":
        return (chess.KNIGHT, chess.BISHOP)
    return tuple(chess.PIECE_TYPES)


def _adjective_colour(said: Said, words: str) -> chess.Color | None:
    if re.search(r"\bwhite\b", words):
        return chess.WHITE
    if re.search(r"\bblack\b", words):
        return chess.BLACK
    if re.search(r"\b(?:enemy|hostile)\b", words) and said.place.taught is not None:
        return not said.place.taught
    return None


def _owner(said: Said, tag: str, digit: str, at: str) -> chess.Color | None:
    """The side a noun is of, as far as it tells or its square shows."""
    if f"whose{digit}" in said:
        return said.side(f"whose{digit}")
    told = _adjective_colour(said, said.word(f"adj{tag}"))
    if told is None and f"square{at}" in said:
        return said.board.color_at(said.at(f"square{at}"))
    return told


def _last_capture(said: Said) -> chess.Square | None:
    last = said.place.last()
    if last is None or not last.before.is_capture(last.move):
        return None
    return last.move.to_square


def _colours(said: Said) -> list[chess.Color]:
    """The side that is asked, or both where the words do not tell."""
    if "side" in said:
        return [said.side("side")]
    if "piece" in said:
        colour = said.board.color_at(said.at("piece"))
        return [] if colour is None else [colour]
    owner = _owner(said, "by", "1", "2") if said.word("kindby") else None
    if owner is not None:
        return [owner]
    prey = _owner(said, "prey", "2", "3") if said.word("kindprey") else None
    if prey is not None:
        return [not prey]
    if said.word("take") and "square" in said:
        there = said.board.color_at(said.at("square"))
        if there is not None:
            return [not there]
    back = re.search(r"back|recaptur|retak", f"{said.word('take')} {said.original}")
    if back or said.board.is_check():
        return [said.board.turn]
    types = _types(said.word("kindby"))
    if not said.word("kindby"):
        return [said.board.turn]
    have = [c for c in chess.COLORS if any(said.board.pieces(t, c) for t in types)]
    return have or [said.board.turn]


def _men(said: Said, board: chess.Board, colour: chess.Color) -> list[chess.Square]:
    """The men of a side that the noun of who moves may mean."""
    if "piece" in said:
        return [s for s in (said.at("piece"),) if board.color_at(s) == colour]
    types = _types(said.word("kindby")) if said.word("kindby") else tuple(chess.PIECE_TYPES)
    shade = re.search(r"(light|dark) squared", said.word("adjby"))
    found = [s for t in types for s in board.pieces(t, colour)]
    if "file1" in said:
        found = [s for s in found if chess.square_file(s) == said.file("file1")]
    if "square2" in said:
        found = [s for s in found if s == said.at("square2")]
    if "square4" in said and any(s == said.at("square4") for s in found):
        found = [said.at("square4")]
    if shade:
        light = shade[1] == "light"
        found = [s for s in found if bool(chess.BB_LIGHT_SQUARES & chess.BB_SQUARES[s]) == light]
    return found


def _goal(said: Said) -> chess.Square | None:
    """The square the move must go to, where it is told."""
    for name in ("square", "square3", "target"):
        if name in said:
            return said.at(name)
    if "square4" in said and (said.word("check") or said.word("mate")):
        return said.at("square4")
    return None


def _rest(said: Said) -> Fits | None:
    """What a move must fit beside who makes it; None where the words tell too little."""
    goal, last = _goal(said), _last_capture(said)
    take = said.word("take")
    back = bool(take) and re.search(r"\b(?:back|recaptur|retak)", f"{take} {said.original}")
    if back and (goal is None or ("target" in said and last is not None)):
        goal = last
    if take and goal is None and not said.word("kindprey") and not said.word("passing"):
        return None
    if (
        (said.word("go") or said.word("put"))
        and goal is None
        and not said.word("steps")
        and not said.word("blocks")
    ):
        return None
    if (
        take
        and said.word("kindprey")
        and said.word("kindprey").rstrip("s") in _NAMES
        and goal is None
    ):
        return None
    prey = _types(said.word("kindprey")) if said.word("kindprey") else tuple(chess.PIECE_TYPES)
    tests: list[Fits] = []
    if goal is not None:
        tests.append(lambda _board, move: move.to_square == goal)
    if take:
        tests.append(lambda board, move: board.is_capture(move))
        tests.append(
            lambda board, move: (board.piece_type_at(move.to_square) or chess.PAWN) in prey
        )
    if take and "file2" in said:
        file = said.file("file2")
        tests.append(lambda _board, move: chess.square_file(move.to_square) == file)
    if said.word("passing"):
        tests.append(lambda board, move: board.is_en_passant(move))
    if said.word("check") or said.word("checks"):
        tests.append(lambda board, move: board.gives_check(move))
    if said.word("mate") or said.word("mates"):
        tests.append(_mates)
    if said.word("free"):
        tests.append(_safe)
    if said.word("block") or said.word("blocks") in {"block", "interpose against"}:
        tests.append(_blocks)
    if said.word("promote"):
        tests.append(lambda _board, move: move.promotion is not None)
    if said.word("steps"):
        far = said.number("number3")
        tests.append(
            lambda _board, move: chess.square_distance(move.from_square, move.to_square) == far
        )
    return (lambda board, move: all(test(board, move) for test in tests)) if tests else None


def _meets(said: Said) -> Fits:
    """What a move that meets a check must fit: where it goes, what it takes, as far as told."""
    goal, prey = _goal(said), said.word("removes")

    def fits(board: chess.Board, move: chess.Move) -> bool:
        taken = board.piece_type_at(move.to_square)
        takes = not prey or (taken is not None and taken in _types(prey))
        return takes and (goal is None or move.to_square == goal)

    return fits


def _mates(board: chess.Board, move: chess.Move) -> bool:
    board.push(move)
    mate = board.is_checkmate()
    board.pop()
    return mate


def _safe(board: chess.Board, move: chess.Move) -> bool:
    board.push(move)
    safe = not any(reply.to_square == move.to_square for reply in board.legal_moves)
    board.pop()
    return safe


def _blocks(board: chess.Board, move: chess.Move) -> bool:
    king = board.king(board.turn)
    return king is not None and any(
        move.to_square in chess.SquareSet(chess.between(king, giver)) for giver in board.checkers()
    )


def able(said: Said) -> Fact | None:
    """Whether there is a legal move as it is told (or so many men that can make one)."""
    if (said.word("meet") or said.word("block")) and not said.board.is_check():
        if "check" in said.original or "block" in said.word("block"):
            return Fact(False, "there is no check") if "check" in said.original else None
        return None
    last = said.place.last()
    back = re.search(r"\b(?:recaptur|retak|tak\w+ back)", said.original)
    if back and (last is None or not last.before.is_capture(last.move)):
        return None  # after what capture is not said
    if said.word("go") and re.search(r"\bsafely\b", f"{said.original} {said.trailing}"):
        return None
    facts = [fact for colour in _colours(said) if (fact := _able(said, colour)) is not None]
    if not facts:
        return None
    if len({fact.true for fact in facts}) > 1:
        return Fact(None, f"whose {said.word('kindby')} is meant?")
    return facts[0]


def _gone_to(said: Said, colour: chess.Color) -> Said:
    """The statement with "with the queen on e7" as where she goes, if none stands there."""
    if "square2" not in said or not said.word("kindby") or {"square", "square3"} & {*said.values}:
        return said
    there = said.board.piece_at(said.at("square2"))
    if there and there.color == colour and there.piece_type in _types(said.word("kindby")):
        return said
    values = {("square" if k == "square2" else k): v for k, v in said.values.items()}
    return replace(said, values=values)


def _able(said: Said, colour: chess.Color) -> Fact | None:
    board = asked(said.board, colour)
    if not said.word("take") and ("side" in said or said.word("block") or said.word("meet")):
        said = _gone_to(said, colour)
    men = set(_men(said, board, colour))
    spots = said.phrases.get("square")
    if spots and len(spots.squares) > 1 and re.search(r"\b(?:may|might)\b", said.original):
        return None  # "the bishop may come to f4 or g5" tells of plans
    only = re.search(r"\b(?:can|could|may) only\b", said.original) and not said.negated
    if said.word("go") and spots and only and men:
        named_ones = set(map(chess.parse_square, spots.squares))
        others = [m for m in board.legal_moves if m.from_square in men]
        others = [m for m in others if m.to_square not in named_ones]
        if others:
            return Fact(False, f"legal too: {listed([board.san(m) for m in others[:4]])}")
    if said.word("kindby") and not men:
        kind = said.word("kindby")
        where = f" on {square(said.at('square2'))}" if "square2" in said else ""
        return Fact(False, f"{side_name(colour)} has no such {kind}{where}", offer="<missing>")
    rest = _meets(said) if said.word("meet") else _rest(said)
    if rest is None:
        return None
    if board.turn != colour:
        return Fact(False, f"{side_name(not colour)} is in check and to move")
    moves = [m for m in board.legal_moves if rest(board, m)]
    named_mover = said.word("kindby") or "piece" in said
    mine = [m for m in moves if m.from_square in men] if named_mover else moves
    true = _counted(said, board, men, moves, mine)
    shown = mine or moves
    text = (
        f"legal: {listed(list(dict.fromkeys(board.san(m) for m in shown))[:4])}"
        if shown
        else (f"{side_name(colour)} has no such legal move")
    )
    return Fact(
        true,
        text,
        tuple(dict.fromkeys(square(m.to_square) for m in mine[:4])),
        tuple(f"{square(m.from_square)}-{square(m.to_square)}" for m in mine[:2]),
    )


def _counted(
    said: Said, board: chess.Board, men: set[chess.Square],
    moves: list[chess.Move], mine: list[chess.Move],
) -> bool:  # fmt: skip
    """Whether so many men can, or only these, or any at all."""
    much = said.word("muchby")
    movers = {m.from_square for m in mine}
    if said.word("none") or "none" in much or "neither" in much:
        return not movers
    if "both" in much:
        return len(movers) == 2 and movers == men
    if "all" in much.split():
        return movers == men
    if "number1" in said:
        return len(movers) == said.number("number1")
    only = re.search(r"\b(?:only|alone|just|none other|no other)\b", said.original)
    if only and said.word("kindby"):
        kept = said.word("put") or (
            not re.search(r"\b(?:with|by|using)\b", said.original)
            and not re.match(r"\W*(?:only|just|there is only)\b", said.original.lower())
            and "alone" not in said.original
            and not re.search(r"only (?:one|piece|man|pawn|unit|thing)", said.original.lower())
        )
        if not kept:
            return bool(movers) and all(m.from_square in men for m in moves)
        if "square" in said and re.search(
            r"\b(?:only|just)\b(?: \w+)* (?:to|on|onto)\b", said.original
        ):
            reach = {m.to_square for m in board.legal_moves if m.from_square in men}
            return bool(movers) and reach == {said.at("square")}
    return bool(movers)


# --- how many squares, moves, checks ------------------------------------------------------------


def goals(said: Said) -> Fact | None:
    """Whether a man has so many squares to go to (or only the one named)."""
    facts = [fact for colour in _colours(said) if (fact := _goals(said, colour)) is not None]
    if len(facts) > 1 and len({fact.true for fact in facts}) > 1:
        return Fact(None, f"whose {said.word('kindby')} is meant?")
    return facts[0] if facts else None


def _goals(said: Said, colour: chess.Color) -> Fact | None:
    board = asked(said.board, colour)
    men = _men(said, board, colour)
    if not men or board.turn != colour or said.word("kindby").rstrip("s") in _NAMES:
        return None
    counts = {
        man: sorted({m.to_square for m in board.legal_moves if m.from_square == man}) for man in men
    }
    taking = re.search(r"captur", said.word("what")) is not None
    if taking:
        counts = {
            man: sorted(
                {
                    m.to_square
                    for m in board.legal_moves
                    if m.from_square == man and board.is_capture(m)
                }
            )
            for man in men
        }

    def fits(squares: list[chess.Square]) -> bool:
        if "square" in said:
            return (
                squares == [said.at("square")]
                if "only" in said.original
                else said.at("square") in squares
            )
        if "number3" in said:
            return len(squares) == said.number("number3")
        return bool(squares)

    fitting = [man for man, squares in counts.items() if fits(squares)]
    if 0 < len(fitting) < len(men):
        return Fact(None, f"which {said.word('kindby')} is meant?")
    man = (fitting or men)[0]
    text = listed(list(map(square, counts[man]))) if counts[man] else "nowhere"
    return Fact(
        bool(fitting),
        f"the {chess.piece_name(board.piece_type_at(man) or chess.PAWN)} on {square(man)} can go to {text}",
        tuple(map(square, counts[man])),
    )


def checks(said: Said) -> Fact | None:
    """Whether a side has so many moves that give check (or mate)."""
    colour = said.side("side") if "side" in said else said.board.turn
    board = asked(said.board, colour)
    if board.turn != colour:
        return Fact(False, f"{side_name(not colour)} is in check and to move")
    found = [board.san(m) for m in board.legal_moves if board.gives_check(m)]
    if "mate" in said.word("what"):
        found = [board.san(m) for m in board.legal_moves if _mates(board, m)]
    because = f"{side_name(colour)} has {several(len(found), 'such move')}: {listed(found[:6])}"
    if "number3" in said:
        return Fact(len(found) == said.number("number3"), because)
    return Fact(len(found) == 1 if said.word("one") else bool(found), because)


def ways_of_taking(said: Said) -> Fact | None:
    """Whether a side has so many legal captures on a square."""
    board = asked(said.board, said.side())
    if board.turn != said.side():
        return Fact(False, f"{side_name(not said.side())} is in check and to move")
    found = [
        m for m in board.legal_moves if m.to_square == said.at("square") and board.is_capture(m)
    ]
    sans = listed(board.san(m) for m in found)
    return Fact(len(found) == said.number(), f"captures: {sans}")


def checks_of_piece(said: Said) -> Fact | None:
    """Whether a piece has so many moves that give check."""
    return checks_from(said)


def checks_from(said: Said) -> Fact | None:
    """Whether a piece can give check on so many squares."""
    at = said.at("piece")
    colour = said.board.color_at(at)
    if colour is None:
        return None
    board = asked(said.board, colour)
    found = [m for m in board.legal_moves if m.from_square == at and board.gives_check(m)]
    there = {m.to_square for m in found}
    sans = listed(board.san(m) for m in found)
    return Fact(len(there) == said.number(), f"checks: {sans}", tuple(map(square, there)))


def captures_there(said: Said) -> Fact | None:
    """Whether a side has so many legal captures."""
    colour = said.side("side") if "side" in said else said.board.turn
    board = asked(said.board, colour)
    found = [board.san(m) for m in board.legal_moves if board.is_capture(m)]
    if board.turn != colour:
        return Fact(False, f"{side_name(not colour)} is in check and to move")
    because = f"{side_name(colour)} has {several(len(found), 'capture')}: {listed(found[:6])}"
    if "number3" in said:
        return Fact(len(found) == said.number("number3"), because)
    return Fact(bool(found), because)


def can_play(said: Said) -> Fact | None:
    """Whether a side can legally play the move named."""
    played = said.played()
    if "side" in said and played.colour != said.side("side"):
        return Fact(False, f"{played.san} is a move of {side_name(played.colour)}")
    return Fact(True, f"{played.san} is legal", (square(played.move.to_square),))


def meets_by(said: Said) -> Fact | None:
    """Whether the move named is legal for the side in check."""
    played = said.played()
    if not said.board.is_check():
        return Fact(False, "there is no check")
    true = played.move in said.board.legal_moves and said.side() == said.board.turn
    return Fact(true, f"{played.san} is {'legal' if true else 'not legal'}")


_SUBJECT = (
    rf"(?:there (?:is|are) )?(?:(?P<none>nothing|nobody|no one)(?: else)?(?: of {{whose1}})?|{_BY})"
    r"(?:(?: that| which| who)| alone)?"
)
_FOR = r"(?:possible|legal|legally possible|allowed|permitted|open|within the rules)"
_LEFT = r"(?: (?:left|available|to go to|to choose from|at (?:its|G.) disposal|to run to|to flee to|to move to|to step to|to retreat to|open to it|free))*"

PATTERNS = (
    Pattern(rf"{{side}}(?: to (?:move|play))?(?: to)? {_CAN} {_SIDE_DOES}(?! (?:by|with) M)", able),
    Pattern(
        rf"{{side}} {_CAN} (?:{_BLOCK}|{_MEET}) (?:by|with|by playing|playing) {{move}}", meets_by
    ),
    Pattern(rf"it (?:is|would be) {_FOR} for {{side}} to {_SIDE_DOES}", able),
    Pattern(rf"it (?:is|would be) {_FOR} for {_BY} to {_DOES}", able),
    Pattern(rf"{_SUBJECT} {_CAN} {_DOES}", able),
    Pattern(rf"{{piece}} {_CAN} {_PIECE_DOES}", able),
    Pattern(
        rf"(?:the|this|that|G.) check {_CAN} be (?:(?P<block>blocked|interposed)|(?P<meet>parried|met|answered|stopped|dealt with)){_ROLES}",
        able,
    ),
    Pattern(
        r"(?:(?P<none>nobody|no one|neither side|neither player)|{side}) (?:can|could|may) (?:take|capture) (?:anything|something|a thing|any piece)(?: (?:this move|now|at the moment|right now|here|in this position))?",
        captures_there,
    ),
    Pattern(rf"{{side}} {_CAN} (?P<take>{_TAKE}) {{target}}(?! (?:with|by|using))", able),
    Pattern(
        rf"{{piece}} {_CAN} {_CHECK} (?:on|at|from) (?:only |just |either of )*{{number}} squares?(?: only)?",
        checks_from,
    ),
    Pattern(
        rf"{{side}} (?P<mate>mates?|checkmates?|(?:gives?|delivers?|forces?) (?:check)?mate)(?: in one| at once| next move)*(?: (?:on|at|from) {{square}})(?: with {_BY})?",
        able,
    ),
    Pattern(
        r"{piece} (?P<mate>mates?|checkmates?|(?:gives?|delivers?) (?:check)?mate)(?: in one| at once| next move)*(?: (?:on|at|from) {square})",
        lambda said: None if said.board.is_checkmate() else able(said),  # then it is done
    ),
    Pattern(r"there is (?:a |one )?(?P<check>checks?) (?:on|at) {square}(?! with| from)", able),
    Pattern(
        rf"(?:{_BY}) (?:is|are) the only (?:one|ones|piece|man|thing|unit|pawn)s?(?: of G.| on the board)? (?:that|which|who) {_CAN} {_DOES}",
        able,
    ),
    Pattern(
        rf"the only {_KIND}(?: of G.| {{side}} has)? (?:that|which|who) {_CAN} {_DOES} (?:is|are) {_BY}",
        able,
    ),
    Pattern(
        rf"(?:{_PREY}|{{square}}) {_CAN} (?:be|get) (?P<take>taken|captured|eaten|grabbed|removed|recaptured|retaken|snatched|won|bitten|snapped off|picked off|exchanged)(?: back| off)?(?: (?:only|just))?(?: by (?:(?P<none>nothing|nobody|no one)|{_BY}))?{_ROLES}",
        able,
    ),
    Pattern(
        rf"{_BY} {{have}} (?:only |just |exactly |still )*{{number3}} (?:(?:free|legal|safe|available|possible|good|empty|different) )*(?P<what>squares?|moves?|captures?){_LEFT}",
        goals,
    ),
    Pattern(
        rf"{_BY} {_CAN} (?:{_GO}|{_verbs('make, choose from, choose between')})(?: to| on)? (?:only |just |exactly )*{{number3}} (?:(?:free|legal|safe|available|possible|good|empty|different) )*(?P<what>squares?|moves?|captures?){_LEFT}",
        goals,
    ),
    Pattern(rf"{_BY} {{have}}(?: got)? (?:only )?{{square}}{_LEFT}", goals),
    Pattern(
        rf"{_BY} {_CAN} (?:budge|stir|make a (?:single )?move|go anywhere|move anywhere|move at all)",
        goals,
    ),
    Pattern(
        r"{side} {have} (?:(?:{number3}|any|a|(?P<one>a single|one single)) )?(?:different |possible |legal )?(?P<what>checks?|mates?)(?: (?:on the board|available|at (?:his|G.) disposal|in one|to give|to choose from|in this position))?(?! (?:on|from|with|at|to|in|along|coming|and) )",
        checks,
    ),
    Pattern(
        r"there (?:is|are) (?:{number3}|(?P<one>a single|one single)) (?:different |possible |legal )?(?P<what>checks|checks|mates|mates in one) (?:available |open )?(?:to|for) {side}",
        checks,
    ),
    Pattern(
        rf"{{side}} {_CAN} (?:give|giving) {{number3}} (?:different )?(?P<what>checks)", checks
    ),
    Pattern(
        rf"{{side}} {_CAN} (?:give|giving|deliver) (?:any|a|a single) (?P<what>checks?)", checks
    ),
    Pattern(
        r"{side} {have} (?:any |a )?(?:way|means|possibility|chance) (?:of giving|to give|of delivering) (?:a )?(?P<what>check)",
        checks,
    ),
    Pattern(
        r"(?:there are )?{number3} (?P<what>checks)(?: for the taking| available| possible| on the board)?(?! (?:for|with|by|from|on) )",
        checks,
    ),
    Pattern(r"{number3} (?P<what>checks?) (?:is |are )?(?:available |there )?for {side}", checks),
    Pattern(
        r"{side} {have} (?:{number3}|any) (?:different |possible |legal )?captures(?: (?:available|to choose from))?(?! (?:on|with|at) )",
        captures_there,
    ),
    Pattern(r"{side} (?:can|could|may|might) (?:play|make|choose|try) {move}", can_play),
    Pattern(
        rf"{{side}} {_CAN} (?:take|capture|recapture|retake) (?:it |P. )?on {{square}} (?:in )?{{number}} (?:different )?ways?",
        ways_of_taking,
    ),
    Pattern(
        r"{side} (?:has|have) {number} (?:different )?(?:ways?|possibilities|options|means) (?:of taking|to take|of capturing|to capture|to recapture|of recapturing|for taking|for capturing|for recapturing) (?:it |P. )?(?:on )?{square}",
        ways_of_taking,
    ),
    Pattern(r"{side} (?:has|have) {number} (?:different )?captures on {square}", ways_of_taking),
    Pattern(r"{number} (?P<what>checks?) (?:for|by|with|from) {piece}", checks_of_piece),
    Pattern(
        r"{piece} (?:has|have) {number} (?:different |possible )?(?P<what>checks?)", checks_of_piece
    ),
    Pattern(
        r"{move} (?:is|would be) (?:a |one |another |also a )?(?:legal |possible )?(?:move|option|possibility|choice|check|capture)? ?(?:that |which )?{side} (?:can|could|may|might) (?:make|play|choose)",
        can_play,
    ),
    Pattern(
        r"{move} (?:is|would be) (?:open|available|possible|legal|allowed) (?:to|for) {side}",
        can_play,
    ),
)
