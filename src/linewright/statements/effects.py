"""What a move does: attacks, defends, blocks, opens, prepares castling, stops a move, gains time.

Definitions: effects are read off the board before and after the move. A move stops an enemy move
that was possible had the mover passed and now is not, or now loses material. A tempo is gained
where the move newly attacks something that must be seen to ("tempo" in Hooper & Whyld, The Oxford
Companion to Chess; the measure by exchanges on the square is the project's own).

    after 1.e4 e5:
        holds: Nf3 attacks the pawn on e5
        holds: 2.Nf3 attacks the e5-pawn
        fails: Bc4 attacks the pawn on e5
        fails: Nf3 defends the pawn on e4
        holds: Nc3 defends the pawn on e4
        holds: Bc4 prepares castling
        fails: Qh5 prepares to castle kingside
        left alone: White plays Nf3 because it is good
        left alone: Nf3 is my favourite move
    after 1.e4 d5 2.exd5 Qxd5 3.Nc3:
        holds: White gains a tempo
        holds: this gains a tempo
        holds: Nc3 gains a tempo on the queen
        holds: this move attacks the queen
    after 1.e4 e5 2.Nf3 Nc6 3.Bc4 Nf6 4.d3:
        holds: d3 protects the pawn on e4
        holds: ...h6 stops Ng5
        fails: ...d6 stops Ng5
    after 1.e4 e5 2.Nf3 Nc6 3.Bc4 Bc5 4.c3 Nf6 5.d4 exd4 6.cxd4 Bb4+:
        holds: 7.Nc3 blocks the check
        fails: 7.Kf1 blocks the check
        holds: 7.Nc3 leaves the pawn on e4 defended
    after 1.e4 e5 2.d4 exd4 3.Bc4 Nf6 4.Qxd4 d6 5.Qd3 Nc6:
        holds: 6.Qb3 attacks f7
        fails: 6.Qb3 attacks c6
    after 1.e4 a6 2.Bc4 b5 3.Bb3 c5 4.d3:
        holds: 4...c4 leaves the bishop on b3 without a square to go to
        fails: 4...d6 leaves the bishop on b3 with no safe square
        left alone: 4...c4 leaves the bishop on b3 without a square to go home to
        left alone: 4...c4 leaves the bishop on b3 in trouble
        holds: 4...c4 puts a pawn on c4
        holds: 4...c4 gains space on the queenside
        fails: 4...c4 gains space on the kingside
        left alone: 4...Nc6 gains space on the queenside
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import replace

import chess

from linewright import facts
from linewright.board_words import (
    MEN_OF_KIND,
    file_name,
    listed,
    names,
    past_blocker,
    piece_on,
    several,
    square,
)
from linewright.judging import Fact, Pattern, Said, from_behind
from linewright.moves import PIECE_TYPES, side_name
from linewright.moves_meant import Played
from linewright.position.files import FileState
from linewright.position.moves import Stop
from linewright.position.pawns import Wing

FAMILY = "effects"


def _played(said: Said) -> Played | None:
    """The move spoken of: the one named, else the last one played."""
    if "move" in said:
        return said.played()
    whose = re.match(r"(?:white|black)(?=(?:'s|’s) last)", said.original, re.I)
    if whose is None:
        return said.place.last()
    own = [p for p in said.place.past() if p.colour == (whose[0].lower() == "white")]
    return own[-1] if own else None


def hits(said: Said) -> Fact | None:
    """Whether the moved piece attacks a piece or square after the move."""
    played = _played(said)
    if played is None:
        return None
    target = said.at("target")
    after = played.after
    source = played.move.to_square
    if after.color_at(target) == played.colour:
        supposed = played.before.board_fen() == said.board.board_fen() and "side" not in said
        if supposed and played.before.piece_type_at(played.move.from_square) == chess.PAWN:
            return None  # "pushing the pawn to e4" may speak of the other side's pawn
        return Fact(False, f"{piece_on(after, target)} is {side_name(played.colour)}'s own")
    true = facts.attacks(after, source, target)
    if not true and (behind := from_behind(said, after, source, target)):
        text = f"after {played.san} {behind}"
        return Fact(True, text, names((source, target)), (f"{square(source)}-{square(target)}",))
    if not true:
        opened = facts.discoveries(played.before, played.move)
        true = any(d.target == target for d in opened)
    hit = facts.effects(played.before, played.move).attacks
    elsewhere = not true and _stood_elsewhere(said, after, hit)
    text = listed(piece_on(after, s) for s in hit) if hit else "no enemy piece"
    if true and after.color_at(target) is None:
        text = square(target)
    because = f"after {played.san} {piece_on(after, source)} attacks {text}"
    if not (true or elsewhere) and (shut := past_blocker(after, source, target)):
        because += f" and does not reach {square(target)}{shut}"
    return Fact(
        true or elsewhere,
        because,
        names((source, target)),
        (f"{square(source)}-{square(target)}",) if true else (),
    )


def _stood_elsewhere(said: Said, after: chess.Board, hit: Iterable[chess.Square]) -> bool:
    """Whether a move played earlier hit a piece of the kind told, which has gone since."""
    told = said.phrases["target"]
    named_so = told.kind == "piece" and not (told.squares or told.files or told.parts)
    before = after.board_fen() != said.board.board_fen() and len(after.move_stack) < len(
        said.board.move_stack
    )
    kinds = {(after.piece_at(s) or chess.Piece(1, True)).symbol().upper() for s in hit}
    return named_so and before and bool(kinds & {*told.pieces})


def guards(said: Said) -> Fact | None:
    """Whether the move defends a piece or square."""
    played = _played(said)
    if played is None:
        return None
    target = said.at("target")
    after = played.after
    source = played.move.to_square
    if after.color_at(target) == (not played.colour) or source == target:
        return Fact(False, f"{piece_on(after, target)} is not {side_name(played.colour)}'s")
    opened = target in facts.effects(played.before, played.move).newly_defends
    true = facts.attacks(after, source, target) or opened
    does = "defends" if true else "does not defend"
    return Fact(
        true,
        f"after {played.san} {piece_on(after, source)} {does} {piece_on(after, target)}",
        names((source, target)),
    )


def pins_it(said: Said) -> Fact | None:
    """Whether the move pins a piece."""
    played = _played(said)
    if played is None:
        return None
    after, at = played.after, said.at("piece")
    found = [p for p in facts.pins_of(after, at) if after.color_at(p.by) == played.colour]
    if "target" in said:
        found = [p for p in found if p.behind == said.at("target")]
    if found:
        return Fact(
            True,
            f"after {played.san} {piece_on(after, at)} is pinned to "
            f"{piece_on(after, found[0].behind)}",
            names((at, found[0].by, found[0].behind)),
        )
    return Fact(False, f"after {played.san} {piece_on(after, at)} is not pinned", names([at]))


def breaks_pin(said: Said) -> Fact | None:
    """Whether the move breaks a pin that was there."""
    played = _played(said)
    if played is None:
        return None
    was = facts.pins(played.before, played.colour)
    now = facts.pins(played.after, played.colour)
    text = listed(piece_on(played.before, p.pinned) for p in was) if was else "nothing"
    return Fact(len(was) > len(now), f"before {played.san} {text} was pinned")


def prepares(said: Said) -> Fact | None:
    """Whether the move clears the way for castling (on the wing named)."""
    played = _played(said)
    if played is None:
        return None
    if played.before.is_castling(played.move):
        return Fact(False, f"{played.san} is castling itself")
    wings = set(facts.prepares_castling(played.before, played.move)) | set(
        facts.makes_castling_possible(played.before, played.move)
    )
    wanted = {said.wing()} if "wing" in said else {Wing.KINGSIDE, Wing.QUEENSIDE}
    text = (
        f"{played.san} clears the way {listed(sorted(wings))}"
        if wings
        else (f"{played.san} clears nothing between king and rook")
    )
    return Fact(bool(wings & wanted), text)


def allows_castling(said: Said) -> Fact | None:
    """Whether the move makes castling possible."""
    played = _played(said)
    if played is None:
        return None
    wings = facts.makes_castling_possible(played.before, played.move)
    return Fact(
        bool(wings),
        f"after {played.san} castling has become possible {listed(wings, 'or')}".replace(
            "possible none", "possible on no wing"
        ),
    )


def stops_move(said: Said) -> Fact | None:
    """Whether the move stops the enemy move named."""
    played = _played(said)
    if played is None or "move2" not in said:
        return None
    other: Played = said.played("move2")
    passed = played.before.copy(stack=False)
    passed.push(chess.Move.null())
    move = other.move
    if other.colour == played.colour:
        return None
    state = facts.stops(played.before, played.move, move)
    name = other.san
    texts = {
        Stop.IMPOSSIBLE: f"after {played.san} {name} is no longer possible",
        Stop.LOSES: f"after {played.san} {name} loses the piece",
        Stop.NOT_STOPPED: f"after {played.san} {name} is still possible",
        Stop.WAS_NOT_POSSIBLE: f"{name} was not possible anyway",
    }
    return Fact(state in {Stop.IMPOSSIBLE, Stop.LOSES}, texts[state])


def stops_piece(said: Said) -> Fact | None:
    """Whether the move stops an enemy piece from going to a square."""
    played = _played(said)
    at = said.at("piece")
    if played is None or played.before.color_at(at) is not (not played.colour):
        return None
    move = chess.Move(at, said.at("square"))
    state = facts.stops(played.before, played.move, move)
    name = f"{piece_on(played.before, at)} going to {square(move.to_square)}"
    texts = {
        Stop.IMPOSSIBLE: f"{played.san} rules out {name}",
        Stop.LOSES: f"after {played.san} {name} is lost there",
        Stop.NOT_STOPPED: f"{played.san} does not stop {name}",
        Stop.WAS_NOT_POSSIBLE: f"{name} was not possible anyway",
    }
    return Fact(state in {Stop.IMPOSSIBLE, Stop.LOSES}, texts[state])


def hits_often(said: Said) -> Fact | None:
    """Whether after a move so many of its side's men attack something."""
    played = said.played()
    at = said.at("target")
    if played.after.color_at(at) is played.colour:
        return None
    found = facts.attackers(played.after, played.colour, at)
    text = f"after {played.san} {several(len(found), 'man', 'men')} of {side_name(played.colour)} attack {square(at)}"
    return Fact(len(found) == said.number(), text, names((at, *found)))


def brings_to(said: Said) -> Fact | None:
    """Whether a move brings a piece to a square, castling the rook too."""
    played, at = said.played(), said.at("square")
    kind = played.before.piece_type_at(said.at("piece"))
    came = played.after.piece_at(at)
    was = played.before.piece_at(at)
    true = came is not None and came != was and came.piece_type == kind
    return Fact(true, f"after {played.san} {piece_on(played.after, at)}", names([at]))


def puts_on(said: Said) -> Fact:
    """Whether after a move a man of the mover's of that kind has come to a square."""
    played, at = said.played(), said.at("square")
    came = played.after.piece_at(at)
    kind = chess.PIECE_NAMES.index(said.word("kind"))
    own = came is not None and came.color is played.colour and came.piece_type == kind
    true = own and came != played.before.piece_at(at)
    stands = f"{piece_on(played.after, at)} stands there" if came else f"{square(at)} is empty"
    return Fact(true, f"after {played.san} {stands}", names([at]))


def takes_it(said: Said) -> Fact | None:
    """Whether a move takes what is named."""
    played, at = said.played(), said.at("target")
    own = played.before.color_at(at) is not (not played.colour)
    if own or not said.phrases["move"].moves:
        return None
    true = played.move.to_square == at
    return Fact(true, f"{played.san} goes to {square(played.move.to_square)}", names([at]))


def gains_tempo(said: Said) -> Fact | None:
    """Whether the move attacks something that must be seen to."""
    played = _played(said)
    if played is None:
        return None
    if "side" in said and said.side() != played.colour:
        return Fact(False, f"the last move was {side_name(played.colour)}'s: {played.san}")
    targets = facts.tempo_targets(played.before, played.move)
    true = said.at("target") in targets if "target" in said else bool(targets)
    text = (
        listed(piece_on(played.after, t) for t in targets) if targets else "nothing that must move"
    )
    return Fact(true, f"{played.san} attacks {text}", names((played.move.to_square, *targets)))


def develops(said: Said) -> Fact | None:
    """Whether the move brings a piece out from its first square."""
    played = _played(said)
    if played is None:
        return None
    piece = played.before.piece_at(played.move.from_square)
    start = chess.Board()
    true = (
        piece is not None
        and piece.piece_type not in {chess.PAWN, chess.KING}
        and (start.piece_at(played.move.from_square) == piece)
    )
    where = square(played.move.from_square)
    return Fact(
        true,
        f"{played.san} moves {piece_on(played.before, played.move.from_square)}"
        if piece
        else f"nothing stands on {where}",
        names([played.move.to_square]),
    )


def opens_file(said: Said) -> Fact | None:
    """Whether the move opens or half-opens a file."""
    played = _played(said)
    if played is None:
        return None
    found = facts.opened_files(played.before, played.move)
    half = bool(said.word("half"))
    fit = [f for f, state in found if f == said.file() and (half or state is FileState.OPEN)]
    if not fit and not half:
        fit = [f for f, state in found if f == said.file()]
    text = "; ".join(f"{file_name(f)}: {state}" for f, state in found) or "no file"
    return Fact(bool(fit), f"{played.san} opens {text}")


def _reach(board: chess.Board, at: chess.Square) -> int:
    """How many squares a piece bears on, or a pawn can step to."""
    pawn = board.piece_at(at)
    if pawn is None or pawn.piece_type != chess.PAWN:
        return len(chess.SquareSet(board.attacks_mask(at)))
    step = 8 if pawn.color else -8
    ahead = [at + step, at + 2 * step][: 1 + (chess.square_rank(at) == (1 if pawn.color else 6))]
    free = 0
    for goal in ahead:
        if not 0 <= goal < 64 or board.piece_at(goal):
            break
        free += 1
    return free


def opens_line(said: Said) -> Fact | None:
    """Whether the move opens a line for a piece."""
    played = _played(said)
    if played is None:
        return None
    at = said.at("piece")
    before, after = (_reach(board, at) for board in (played.before, played.after))
    return Fact(
        after > before,
        f"{piece_on(played.after, at)} reaches {before} squares before "
        f"{played.san} and {after} after it",
        names([at]),
    )


def takes(said: Said) -> Fact | None:
    """Whether the move captures (the kind named, or anything)."""
    played = _played(said)
    if played is None:
        return None
    taken = facts.captured(played.before, played.move)
    name = chess.piece_name(taken) if taken else "nothing"
    if said.word("kind"):
        return Fact(PIECE_TYPES.get(said.word("kind")) == taken, f"{played.san} takes {name}")
    return Fact(taken is not None, f"{played.san} takes {name}")


def side_recaptured(said: Said) -> Fact | None:
    """Whether the last move took back, by the side named."""
    played = said.place.last()
    if played is None:
        return None
    true = facts.recaptures(said.board) and played.colour == said.side()
    return Fact(true, f"the last move was {side_name(played.colour)}'s {played.san}")


def last_move_was(said: Said) -> Fact | None:
    """Whether the side named has just played the move named."""
    played = said.place.last()
    if played is None:
        return None
    named_move = said.played()
    if "whose" in said.values and said.side() != played.colour:
        own = [p for p in said.place.past() if p.colour == said.side()]
        played = own[-1] if own else played
    true = (
        played.move == named_move.move
        and played.before.board_fen() == named_move.before.board_fen()
    )
    if "side" in said:
        true = true and played.colour == said.side()
    return Fact(true, f"the last move was {side_name(played.colour)}'s {played.san}")


def answers_check(said: Said) -> Fact | None:
    """Whether a side is in check and the move named is a legal answer."""
    fact = is_legal(said)
    if fact is None or fact.true is None:
        return fact
    board = said.board
    if not board.is_check() or board.turn != said.side():
        return Fact(False, f"{side_name(said.side())} is not in check")
    return fact


def is_legal(said: Said) -> Fact | None:
    """Whether the move named is possible now."""
    played = said.played()
    true = played.before.board_fen() == said.board.board_fen() and played.colour == said.board.turn
    text = f"{played.san} is {'legal' if true else 'not possible now'}"
    return Fact(true, text)


def blocks(said: Said) -> Fact | None:
    """Whether the move blocks an enemy attack (on the piece named) or a piece's way."""
    played = _played(said)
    if played is None:
        return None
    at = said.at("piece")
    shut = facts.blocks_line(played.before, played.move)
    true = any(at in pair for pair in shut)
    if not true:
        before = len(chess.SquareSet(played.before.attacks_mask(at)))
        true = len(chess.SquareSet(played.after.attacks_mask(at))) < before
    if not true and played.before.piece_type_at(at) == chess.PAWN:
        step = 8 if played.before.color_at(at) else -8
        true = played.move.to_square == at + step
    return Fact(
        true,
        f"{played.san} {'shuts in' if true else 'does not shut in'} {piece_on(played.after, at)}",
        names((at, played.move.to_square)),
    )


def controls_square(said: Said) -> Fact | None:
    """Whether the moved piece bears on a square after the move."""
    played = _played(said)
    if played is None:
        return None
    source, target = played.move.to_square, said.at("target")
    true = facts.attacks(played.after, source, target)
    return Fact(
        true,
        f"after {played.san} {piece_on(played.after, source)} "
        f"{'bears' if true else 'does not bear'} on {square(target)}",
        names((source, target)),
    )


def hits_kind(said: Said) -> Fact | None:
    """Whether the moved piece attacks an enemy piece of a kind."""
    played = _played(said)
    if played is None:
        return None
    kinds = MEN_OF_KIND.get(said.word("kind"), MEN_OF_KIND["piece"])
    hit = facts.effects(played.before, played.move).attacks
    found = [s for s in hit if played.after.piece_type_at(s) in kinds]
    text = listed(piece_on(played.after, s) for s in hit) if hit else "no enemy man"
    return Fact(
        bool(found),
        f"after {played.san} {piece_on(played.after, played.move.to_square)} attacks {text}",
        names((played.move.to_square, *found)),
    )


def move_kind(said: Said) -> Fact | None:
    """Whether a move is of the kind named."""
    played = _played(said)
    if played is None or ("whose" in said and said.side() != played.colour):
        return None
    what = said.word("what")
    taken = facts.captured(played.before, played.move)
    kinds = {
        "pawn move": 1,
        "knight move": 2,
        "bishop move": 3,
        "rook move": 4,
        "queen move": 5,
        "king move": 6,
    }
    if what in kinds:
        true = played.before.piece_type_at(played.move.from_square) == kinds[what]
    elif what == "check":
        true = played.after.is_check()
    elif what == "retreat":
        back = chess.square_rank(played.move.to_square) - chess.square_rank(played.move.from_square)
        true = (back < 0) if played.colour else (back > 0)
    else:
        true = taken is not None
        if what == "recapture":
            true = facts.recaptures(played.after)
    return Fact(true, f"the move is {side_name(played.colour)}'s {played.san}")


def took_on(said: Said) -> Fact | None:
    """Whether a side took (the kind named) on a square; with its last move, if "just" is said."""
    own = [played for played in said.place.past() if played.colour == said.side()]
    if not own:
        return None
    asked = own[-1:] if re.search(r"\bjust\b", said.original) else own
    found = [
        played
        for played in asked
        if played.move.to_square == said.at("square")
        and (taken := facts.captured(played.before, played.move)) is not None
        and taken == PIECE_TYPES.get(said.word("kind"), taken)
    ]
    if found:
        return Fact(True, f"{found[-1].san} was played", names([said.at("square")]))
    return Fact(False, f"{side_name(said.side())}'s last move was {own[-1].san}")


def takes_square(said: Said) -> Fact | None:
    """Whether after a move the moved piece covers a square another piece could use."""
    played = said.played()
    source, where = played.move.to_square, said.at("square")
    true = facts.attacks(played.after, source, where) and facts.attacks(
        played.before, said.at("piece"), where
    )
    does = "covers" if facts.attacks(played.after, source, where) else "does not cover"
    return Fact(true, f"after {played.san} {piece_on(played.after, source)} {does} {square(where)}")


def hits_number(said: Said) -> Fact | None:
    """Whether the moved piece attacks so many enemy men."""
    played = _played(said)
    if played is None:
        return None
    hit = facts.effects(played.before, played.move).attacks
    big = [s for s in hit if played.after.piece_type_at(s) != chess.PAWN]
    text = listed(piece_on(played.after, s) for s in hit) if hit else "nothing"
    return Fact(said.number() in {len(hit), len(big)}, f"{played.san} attacks {text}")


def moves_piece(said: Said) -> Fact | None:
    """Whether the move is one of the piece named."""
    played = _played(said)
    if played is None:
        return None
    at = (
        played.move.to_square
        if said.board.move_stack and said.board.peek() == played.move
        else (played.move.from_square)
    )
    meant = {at, played.move.from_square} if said.phrases["piece"].determiner == "it" else {at}
    return Fact(
        said.at("piece") in meant,
        f"{played.san} moves {piece_on(played.before, played.move.from_square)}",
    )


_HIT = (
    r"(?:attacks?|hits?|attacking|hitting|would attack|threatens to take|goes after|eyes|targets|"
    r"puts pressure on|puts the question to|asks a question of|kicks|harasses|chases|pressures|challenges)"
)
_DEF = (
    r"(?:defends?|protects?|guards?|covers?|supports?|defending|protecting|guarding|covering|supporting|"
    r"would defend|would protect|overprotects|shores up|props up)"
)
_THE = (
    r"(?:it|this move|that move|the move|the (?:last|latest|previous) move|this|that|{own} (?:last|latest|previous) move|(?:the|this|{own}) (?:(?:knight|bishop|rook|queen|"
    r"pawn|king) 's )?(?:retreat|advance|capture|jump|recapture|check|pawn move|developing move|reply|sortie|leap|push))"
)
_STOP = (
    r"(?:stops|prevents|rules out|takes away|forestalls|hinders|puts a stop to|puts an end to|excludes|"
    r"avoids|would stop|would prevent|is played to stop|is meant to stop|guards against|deters|discourages)"
)


def last_went(said: Said) -> Fact | None:
    """Whether a piece of the side named stands on the square it is said to have moved to."""
    if said.board.color_at(said.at("piece")) != said.side():
        return None
    return went(said)


def went(said: Said) -> Fact | None:
    """Whether a piece stands on a square other than its first one."""
    at, where = said.at("piece"), said.at("square")
    if said.board.piece_at(at) is None:
        return None
    return Fact(at == where, piece_on(said.board, at), names((at, where)))


def piece_took(said: Said) -> Fact | None:
    """Whether a piece stands on a square where it has taken what is named."""
    where = said.at("square")
    taken = [
        p for p in said.place.past()
        if p.move.to_square == where and p.before.is_capture(p.move)
    ]  # fmt: skip
    kind = chess.PIECE_NAMES.index(said.word("kind"))
    true = bool(taken) and said.at("piece") == where and (
        taken[-1].before.piece_type_at(where) == kind
    )  # fmt: skip
    because = f"{taken[-1].san} was played" if taken else f"nothing was taken on {square(where)}"
    return Fact(true, because, names([where]))


def last_put(said: Said) -> Fact | None:
    """Whether the last move (of the side named) brought a piece to a square."""
    last = _last_of(said)
    if last is None:
        return None
    where = said.at("square") if "square" in said else said.at("piece")
    true = last.move.to_square == where == said.at("piece")
    return Fact(true, f"the last move was {last.san}", names([last.move.to_square]))


def _last_of(said: Said) -> Played | None:
    """The last move, or the last one of the side named."""
    for played in reversed(said.place.past()):
        if "whose" not in said or played.colour == said.side("whose"):
            return played
    return None


def adds_one(said: Said) -> Fact | None:
    """Whether the last move brings one more attacker (or defender) of what is named to bear."""
    last = _last_of(said)
    if last is None:
        return None
    at, board = said.at("target"), last.after
    owner = board.color_at(at)
    defends = not said.word("what").startswith("attack")
    if said.word("what") == "piece" and owner is not None:
        defends = owner == last.colour
    text = piece_on(board, at) if owner is not None else square(at)
    if owner is not None and (owner == last.colour) != defends:
        return Fact(False, f"{text} is {side_name(owner)}'s; the last move was {last.san}")
    now, before = board.attackers(last.colour, at), last.before.attackers(last.colour, at)
    wanted = {"second": 2, "third": 3, "fourth": 4}.get(said.word("nth"), len(now))
    true = len(now) > len(before) and len(now) == wanted
    return Fact(
        true,
        f"after {last.san} {text} is {'defended' if defends else 'attacked'} {several(len(now), 'time')}, before {several(len(before), 'time')}",
        names((at, last.move.to_square)),
    )


def last_with(said: Said) -> Fact | None:
    """Whether the last move (of the side named) was made with such a piece."""
    last = _last_of(said)
    if last is None:
        return None
    kind = last.before.piece_type_at(last.move.from_square)
    return Fact(kind == chess.PIECE_NAMES.index(said.word("kind")), f"the last move was {last.san}")


def meets_check(said: Said) -> Fact | None:
    """Whether a move answers the check on the board before it (or blocks it, if that is said)."""
    played = said.played()
    before = played.before
    if not before.is_check():
        return Fact(False, f"{side_name(before.turn)} is not in check")
    king = before.king(before.turn)
    between = king is not None and any(
        played.move.to_square in chess.SquareSet(chess.between(king, giver))
        for giver in before.checkers()
    )
    if "block" in said.word("how") or "interpos" in said.word("how"):
        does = "blocks" if between else "does not block"
        return Fact(between, f"{played.san} {does} the check", names([played.move.to_square]))
    return Fact(True, f"{played.san} is legal", names([played.move.to_square]))


def leaves(said: Said) -> Fact | None:
    """Whether a piece is undefended, hanging or defended after a move."""
    played = said.played()
    at = said.at("piece" if "piece" in said.values else "target")
    after = played.after
    if at == played.move.from_square:
        at = played.move.to_square
    if after.piece_at(at) is None:
        return None
    keepers = facts.defenders(after, at)
    how = said.word("how")
    true = bool(keepers)
    if how in {"hanging", "en prise"}:
        true = facts.hanging_piece(after, at) is not None
    elif how not in {"defended", "protected", "covered", "guarded"}:
        true = not keepers
    by = listed(piece_on(after, s) for s in keepers) if keepers else "nothing"
    return Fact(
        true, f"after {played.san} {piece_on(after, at)} is defended by {by}", names((at, *keepers))
    )


def gains_space(said: Said) -> Fact | None:
    """Whether the pawn that moved stands on the wing on which space is said to be gained.

    How much room it gives is a matter of opinion where it does, and on the central files.
    """
    played = _played(said)
    if played is None or played.before.piece_type_at(played.move.from_square) != chess.PAWN:
        return None
    at = played.move.to_square
    wing = Wing.QUEENSIDE if chess.square_file(at) < 4 else Wing.KINGSIDE
    advanced = chess.square_rank(at) >= 3 if played.colour else chess.square_rank(at) <= 4
    text = f"{played.san} moves a pawn on the {wing.value}"
    if wing is said.wing():
        return Fact(True, text, names([at])) if advanced else None
    return None if chess.square_file(at) in {3, 4} else Fact(False, text, names([at]))


def leaves_no_square(said: Said) -> Fact | None:
    """Whether a piece has no move after a move that does not lose material there."""
    played, at = said.played(), said.at("target")
    after = played.after
    if after.piece_at(at) is None or at == played.move.to_square:
        return None
    board = facts.to_move(after, bool(after.color_at(at)))
    moves = facts.mobile(after, at)
    safe = [move.to_square for move in moves if facts.capture_result(board, move) >= 0]
    where = f"safely go to {listed(names(safe))}" if safe else "go nowhere safely"
    return Fact(
        not safe, f"after {played.san} {piece_on(after, at)} can {where}", names((at, *safe))
    )


def takes_guard(said: Said) -> Fact | None:
    """Whether a move takes away what defended a piece."""
    played, at = said.played(), said.at("piece")
    if played.before.piece_at(at) is None or played.after.piece_at(at) is None:
        return None
    was, now = (len(facts.defenders(board, at)) for board in (played.before, played.after))
    return Fact(
        now < was,
        f"{piece_on(played.before, at)} is defended {was} times before {played.san} and {now} after it",
        names([at]),
    )


def supports(said: Said) -> Fact | None:
    """Whether the move adds a defender to a piece or square."""
    played = _played(said)
    if played is None:
        return None
    at = said.at("piece") if "piece" in said else said.at("target")
    was, now = (
        len(facts.attackers(board, played.colour, at)) for board in (played.before, played.after)
    )
    return Fact(
        now > was,
        f"{square(at)} is defended {was} times before {played.san} and {now} after it",
        names([at]),
    )


def has_been(said: Said) -> Fact | None:
    """Whether a piece stands on a square, or has stood there in the known moves."""
    at, where = said.at("piece"), said.at("square")
    if said.board.piece_at(at) is None:
        return None
    stood = at
    for played in reversed(said.place.past()):
        if stood == where:
            break
        if played.move.to_square == stood:
            stood = played.move.from_square
    return Fact(stood == where, piece_on(said.board, at), names((at, where)))


def put_there(said: Said) -> Fact | None:
    """Whether a side's piece stands on the square named with it; last moved, where "just" is said."""
    at = said.at("piece")
    phrase = said.phrases["piece"]
    if not phrase.squares or said.board.color_at(at) != said.side():
        return None
    last = said.place.last()
    if re.search(r"\bjust\b", said.original) and last is not None:
        return Fact(
            last.move.to_square == at, f"the last move was {last.san}", names([last.move.to_square])
        )
    return Fact(True, piece_on(said.board, at), names([at]))


def stops_attack(said: Said) -> Fact | None:
    """Whether a move leaves a piece attacked less often than before."""
    played = _played(said)
    at = said.at("piece")
    if played is None or played.before.piece_at(at) is None or played.after.piece_at(at) is None:
        return None
    enemy = not played.before.color_at(at)
    was, now = (len(facts.attackers(b, enemy, at)) for b in (played.before, played.after))
    return Fact(
        now < was,
        f"{piece_on(played.before, at)} is attacked {was} times before {played.san} and {now} after it",
        names([at]),
    )


_ADDS = r"(?:adds|added|has added|creates|created|has created|brings|brought|has brought|gives|gave|has given|makes|made|provides|provided|puts|put|is)"
_NTH = r"(?P<nth>second|third|fourth|another|new|extra|further|additional|fresh|one more)"


def keeps_guarded(said: Said) -> Fact | None:
    """Whether something is defended (a square: covered by the mover) after a move."""
    played, at = said.played(), said.at("target")
    after = played.after
    owner = after.color_at(at)
    by = facts.attackers(after, played.colour if owner is None else owner, at)
    text = listed(piece_on(after, s) for s in by) if by else "nothing"
    return Fact(
        bool(by), f"after {played.san} {text} guards {piece_on(after, at)}", names((at, *by))
    )


def would_double(said: Said) -> Fact:
    """Whether a move leaves a side with more doubled pawns, at once or once a pawn takes back."""
    played = said.played()
    colour = said.side("whose" if "whose" in said.values else "side")
    files = {said.file()} if "file" in said.values else set(range(8))

    def doubled(board: chess.Board) -> set[int]:
        groups = facts.doubled(board, colour)
        return {chess.square_file(s) for group in groups for s in group} & files

    before, after = doubled(played.before), played.after
    boards = [after]
    if colour != played.colour:
        for move in after.legal_moves:
            pawn = after.piece_type_at(move.from_square) == chess.PAWN
            if move.to_square == played.move.to_square and pawn:
                boards.append(Played(after, move).after)
    new = [doubled(board) - before for board in boards]
    text = listed(file_name(f) for f in sorted(set().union(*new)))
    return Fact(any(new), f"{side_name(colour)}'s pawns become doubled on: {text}")


def stops_way_of(said: Said) -> Fact | None:
    """Whether a move shuts the way of any such piece (to the square named)."""
    kind = chess.PIECE_NAMES.index(said.word("man"))
    asked = said.played() if "move" in said else said.place.last()
    if asked is None:
        return None
    men = facts.spread(asked.before.pieces_mask(kind, True) | asked.before.pieces_mask(kind, False))
    found = [stops_way(said.meaning({**said.values, "piece": at})) for at in men]
    told = [fact for fact in found if fact is not None]
    return next((fact for fact in told if fact.true), told[0] if told else None)


def stops_way(said: Said) -> Fact | None:
    """Whether a move shuts the way of a piece (to the square named)."""
    played = said.played() if "move" in said else said.place.last()
    if played is None:
        return None
    at = said.at("piece")
    before, after = played.before, played.after
    if before.piece_at(at) is None or after.piece_at(at) != before.piece_at(at):
        return None
    shut = list(chess.SquareSet(before.attacks_mask(at) & ~after.attacks_mask(at)))
    true = said.at("square") in shut if "square" in said else bool(shut)
    text = f"after {played.san} {piece_on(after, at)} no longer sees {listed(names(shut))}"
    return Fact(true, text.replace("no longer sees none", "sees what it saw"), names((at, *shut)))


def blocks_file(said: Said) -> Fact | None:
    """Whether a move puts a man on a file where it did not stand, in the way of a heavy piece."""
    played = said.played() if "move" in said else said.place.last()
    if played is None:
        return None
    goal = played.move.to_square
    came = chess.square_file(goal) == said.file() != chess.square_file(played.move.from_square)
    board = played.after
    heavy = [
        s
        for s in board.attackers(True, goal) | board.attackers(False, goal)
        if board.piece_type_at(s) in {chess.ROOK, chess.QUEEN}
        and chess.square_file(s) == said.file()
    ]
    heavy_behind = bool(heavy) or bool(
        chess.SquareSet(chess.BB_FILES[said.file()] & (board.rooks | board.queens))
    )
    text = f"after {played.san} {piece_on(board, goal)} stands on the {file_name(chess.square_file(goal))}"
    return Fact(came and heavy_behind, text, names([goal]))


_RETREAT = (
    r"(?:a |any )?(?:single |good |safe )*(?:squares?|retreats?|escape|escape squares?|way out)"
    r"(?: to (?:go|run|retreat|escape|flee)(?: to)?)?(?! to\b)"
)
PATTERNS = (
    Pattern(
        r"(?:{move}|"
        + _THE
        + r") (?:would |will )?(?:blocks?|closes?|shuts?|plugs?|stops? up|blocked|closed|shut) (?:the )?(?:open )?{file}",
        blocks_file,
    ),
    Pattern(
        r"(?:{move}|"
        + _THE
        + r") (?:would |will )?(?:shuts?|locks?|hems?|walls?|boxes|fences?) {piece} in",
        blocks,
    ),
    Pattern(
        r"(?:{move}|"
        + _THE
        + r") (?:blocks|shuts|closes|interrupts|cuts|obstructs|blocked|shut|closed|interrupted|bars|barred|cuts off|shuts off) (?:the )?(?:line|diagonal|path|way|view|file|road)(?: of {piece}| for {piece})(?: (?:to|towards|against|on) {square})?",
        stops_way,
    ),
    Pattern(
        r"(?:{move}|"
        + _THE
        + r") (?:blocks|shuts|closes|interrupts|cuts|obstructs|blocked|shut|closed|interrupted|bars|barred|cuts off|shuts off) (?:the|G.) (?:(?:light|dark) squared )?(?P<man>bishop|rook|queen) 's (?:line|diagonal|path|way|view|file|road)(?: (?:to|towards|against|on) {square})?",
        stops_way_of,
    ),
    Pattern(
        rf"(?:{{whose}}|the|this|that) (?:last |latest |very last )?(?:move|step|pawn move|N. move) {_ADDS} (?:an? |yet )?{_NTH} (?P<what>attacker|attack|defender|guard|protector|defence|protection|cover|guardian|supporter|support|piece) (?:on|to|against|for|of|at|onto) {{target}}",
        adds_one,
    ),
    Pattern(
        rf"(?:{{whose}}|the|this|that) (?:last |latest |very last )?(?:move|step|pawn move) {_ADDS} {{target}} (?:an? |yet |some )?{_NTH} (?P<what>attacker|defender|guard|protector|defence|protection|cover|guardian|supporter|support)",
        adds_one,
    ),
    Pattern(
        r"{side} (?:(?:has|have) )?(?:put|placed|brought|moved|developed|played|posted|planted|retreated|stationed|placed) {piece}(?: there)?",
        put_there,
    ),
    Pattern(
        r"(?:{move}|"
        + _THE
        + r") (?:blocks|stops|ends|lifts|meets|parries|blocked|stopped|ended|interrupts|cuts) (?:the |this |any )?(?:attack|pressure|view|line of attack|threat) (?:on|to|against|at) {piece}",
        stops_attack,
    ),
    Pattern(
        r"{piece} (?:went|came|moved|jumped|retreated|got|dropped back|returned|hopped|travelled|stepped|has returned|has retreated|has withdrawn|withdrew)(?: back| over| down| up| out)? to {square}(?: (?:on |with )?(?:the |G. )?last move)?(?! from| with| in )",
        has_been,
    ),
    Pattern(
        _THE.join((r"(?:{move}|", r")"))
        + r" (?:gives?|gave|lends?|lent|adds?|added|brings?) (?:{target} )?(?:(?:some|more|another|extra|a|an|additional|further|second|third|one|N.) )*(?:support|protection|defence|cover|defender|protector)(?: to {target})?",
        lambda said: supports(said) if "target" in said else None,
    ),
    Pattern(rf"{{move}} (?:both )?{_HIT} {{target}}", hits),
    Pattern(_THE + rf" {_HIT} {{target}}", hits),
    Pattern(
        rf"{{move}} (?:both )?{_DEF} {{target}}(?: (?:again|once more|too|additionally|N. times))?",
        guards,
    ),
    Pattern(
        r"{move} keeps {target} (?:safely |well )?(?:protected|defended|guarded|covered)",
        keeps_guarded,
    ),
    Pattern(_THE + rf" {_DEF} {{target}}", guards),
    Pattern(
        r"(?:{move}|"
        + _THE
        + r") (?:pins|would pin|puts? a pin on|has put a pin on|pinning|pinned) {piece}"
        r"(?: (?:to|against) {target})?",
        pins_it,
    ),
    Pattern(
        r"(?:{move}|" + _THE + r") (?:breaks|escapes|gets out of|lifts|ends) (?:the|a) pin",
        breaks_pin,
    ),
    Pattern(
        r"(?:{move}|" + _THE + r") (?:prepares?|gets ready|makes ready|clears the way|"
        r"paves the way|makes way|makes room|prepares the way|readies (?:himself|white|black)|is ready)(?: (?:to|for|for "
        r"{side} to))? (?:castling|castle|castles)(?: (?:on )?(?:the )?{wing}| short| long)?",
        prepares,
    ),
    Pattern(
        r"(?:{move}|" + _THE + r") (?:allows|enables|lets|permits) {side} to castle(?: {wing})?",
        allows_castling,
    ),
    Pattern(
        r"(?:{move}|" + _THE + r") (?:makes castling possible|allows castling)",
        allows_castling,
    ),
    Pattern(
        r"(?:{move}|"
        + _THE
        + rf") {_STOP} (?:the move |white from playing |black from playing |any |ideas of )?{{move2}}",
        stops_move,
    ),
    Pattern(
        r"(?:{move}|"
        + _THE
        + rf") (?:{_STOP}|keeps) {{piece}} (?:from )?(?:coming|going|jumping|getting|landing|moving|hopping|settling|reaching|leaping|entering)(?: in)?(?: (?:to|on|onto|into|at))? {{square}}(?: for free)?",
        stops_piece,
    ),
    Pattern(
        r"(?:{move}|"
        + _THE
        + r") (?:would |will )?(?:keeps?|locks|shuts|bars) {piece} (?:out of|from|off|away from) {square}",
        stops_piece,
    ),
    Pattern(
        r"(?:{move}|"
        + _THE
        + r") (?:would |will )?(?:takes?|denies|deny|takes away) (?:{square} (?:away )?from {piece}|{piece} (?:the )?{square2})",
        lambda said: stops_piece(
            said
            if "square" in said
            else said.meaning({**said.values, "square": said.at("square2")})
        ),
    ),
    Pattern(
        r"{move} (?:would |will )?(?:doubles?|doubling|gives?|leaves?|saddles?) (?:{whose} (?:{file} )?pawns|{side} (?:with )?doubled (?:{file} )?pawns)(?: after the recapture| if S. recaptures?)?",
        would_double,
    ),
    Pattern(
        r"(?:{move}|" + _THE + r") (?:gains|wins|gained) (?:a )?(?:tempo|time|a move)"
        r"(?: (?:on|against|by attacking|by hitting|at the expense of) {target})?",
        gains_tempo,
    ),
    Pattern(
        r"{side} (?:gains|gain|win|gained|has gained|wins|has won|won) (?:a )?(?:tempo|time)(?: (?:on|against|by attacking|by hitting) "
        r"{target})?",
        gains_tempo,
    ),
    Pattern(
        r"(?:{move}|this move|the move|it) (?:is played |comes |came |arrives |arrived |was played |is |has been played )with (?:a )?(?:gain of )?"
        r"(?:tempo|time)(?: (?:on|against) {target})?",
        gains_tempo,
    ),
    Pattern(
        r"{move} (?:is |was )?(?:a )?(?:developing move|develops (?:a|the|another) (?:piece|knight|bishop|minor piece|queen)|"
        r"develops)",
        develops,
    ),
    Pattern(r"(?:it|this move|the move) develops a piece", develops),
    Pattern(
        r"(?:{move}|"
        + _THE
        + r") (?:opens|opened|has opened|would open|(?P<half>half opens)) (?:up )?(?:the )?{file}",
        opens_file,
    ),
    Pattern(
        r"(?:{move}|"
        + _THE
        + r") (?:opens|opened|clears|frees)(?: up)? (?:the |a )?(?:line|diagonal|path|way|road) "
        r"(?:for|of) {piece}(?: (?:to|towards|as far as|up to|against) Q.)?",
        opens_line,
    ),
    Pattern(
        r"(?:{move}|"
        + _THE
        + r") (?:would |will )?(?:frees?|releases?|liberates?|unblocks?|unveils?|clears?) {piece}(?: 's (?:path|way))?",
        opens_line,
    ),
    Pattern(
        r"(?:{move}|"
        + _THE
        + r") (?:blocks|shuts in|shuts out|locks in|obstructs|hems in|gets in the way of|buries|"
        r"blocks in|interferes with|stands in the way of) {piece}",
        blocks,
    ),
    Pattern(
        r"{move} (?:captures|takes|wins|removes|eliminates|grabs) (?:a|the) (?P<kind>pawn|knight|bishop|rook|queen)",
        takes,
    ),
    Pattern(r"{move} (?:is|was) (?:a )?(?:capture|exchange|recapture)", takes),
    Pattern(r"{side} (?:has|have) (?:just )?(?:recaptured|taken back|retaken)", side_recaptured),
    Pattern(
        r"{side} (?:has|have) (?:just )?(?:played|moved|answered with|replied with|chosen|replied) {move}",
        last_move_was,
    ),
    Pattern(
        r"{side} played {move}",
        lambda said: last_move_was(said) if re.search(r"\bjust\b", said.original, re.I) else None,
    ),
    Pattern(
        r"{side} (?:has |have )?(?:developed|castled|moved|brought (?:out )?(?:P.|(?:a|the|another) (?:knight|bishop|piece|minor piece))(?: out)?|brought out (?:a|the|another) (?:knight|bishop|piece)) with (?:a )?(?:gain of )?(?:tempo|time)",
        gains_tempo,
    ),
    Pattern(
        r"(?:the last move|{whose} last move) (?:was|is|has been) {move}",
        lambda said: last_move_was(
            replace(
                said,
                values={
                    **said.values,
                    **({"side": said.values["whose"]} if "whose" in said else {}),
                },
            )
        ),
    ),
    Pattern(
        r"{side} (?:can|could|may|might) (?:also |now |even )?(?:answer|meet|parry|stop|end|get out of|deal with|reply to) (?:the |this |that )?check (?:by|with|through|by playing) {move}",
        answers_check,
    ),
    Pattern(
        r"{move} (?:is|would be) (?:an? )?(?:legal|possible|playable legally|(?:legal|possible|permitted|allowed) (?:move|capture|reply|continuation)|illegal)(?<!illegal)",
        is_legal,
    ),
    Pattern(
        r"{move} (?:is|would be) (?:illegal|impossible|not possible|not legal)",
        is_legal,
        against=True,
    ),
    Pattern(_THE + r" (?:controls|covers|takes control of|guards) {target}", controls_square),
    Pattern(r"{move} (?:controls|covers|takes control of|guards) {target}", controls_square),
    Pattern(
        _THE
        + r" (?:attacked|attacks|hits) (?:a|an|any) (?:enemy )?(?P<kind>piece|pawn|knight|bishop|rook|queen)",
        hits_kind,
    ),
    Pattern(
        r"{move} (?:attacked|attacks|hits) (?:a|an|any) (?:enemy )?(?P<kind>piece|pawn|knight|bishop|rook|queen)",
        hits_kind,
    ),
    Pattern(
        r"{side} (?:stops|prevents|has stopped|has prevented|rules out|has ruled out) {move2}",
        stops_move,
    ),
    Pattern(
        r"(?:{move}|the last move|{whose} last move|this move|it) (?:was|is) (?:a )?(?P<what>capture|check|pawn move|knight move|bishop move|rook move|queen move|king move|recapture|retreat)",
        move_kind,
    ),
    Pattern(
        r"{side} (?:has|have) (?:taken|captured|grabbed|won|removed) (?:a|the) (?P<kind>pawn|knight|bishop|rook|queen) (?:on|at) {square}",
        took_on,
    ),
    Pattern(r"{side} (?:has|have) (?:taken|captured) on {square}", took_on),
    Pattern(
        r"{move} (?:keeps|denies|takes|deprives) {square} (?:away )?(?:from|out of|to|of) {piece}",
        takes_square,
    ),
    Pattern(
        r"(?:{move}|this move|the move|it) (?:attacks|hits) {number} (?:enemy )?(?:pieces|things|men|targets)(?: at once)?",
        hits_number,
    ),
    Pattern(
        r"(?:{move}|this move|the move|it) (?:retreats|withdraws|brings|moves|develops) {piece}",
        moves_piece,
    ),
    Pattern(
        r"{side} (?:(?:has|have) )?(?:just )?(?:played|moved|put|brought|developed|placed|taken|retreated) {piece} (?:back )?(?:to|on|onto) {square}",
        last_went,
    ),
    Pattern(
        r"{piece} (?:has|have) (?:just )?(?:moved|gone|come|got|gone back|retreated|advanced|travelled|jumped|been moved|been played|walked|run|marched|wandered|strolled|hopped|slid|swung|stepped|dropped|climbed)(?: back| over| away| up| down| across)? (?:back )?to {square}",
        went,
    ),
    Pattern(
        rf"(?:with|by) {{own}} (?:last|latest|previous) move ,? ?{{side}} (?:has )?(?:{_HIT}|attacked|hit|threatened) {{target}}",
        hits,
    ),
    Pattern(
        r"{piece} (?:has|have) (?:just )?(?:taken|captured|grabbed|recaptured|removed|won) (?:a|the|{own}) (?P<kind>pawn|knight|bishop|rook|queen) (?:on|at) {square}",
        piece_took,
    ),
    Pattern(_THE + r" (?:has )?(?:attacked|hit|threatened|targeted) {target}", hits),
    Pattern(
        r"{move} (?:attacks|hits|targets) {target} (?:{number} times|with {number} pieces)",
        hits_often,
    ),
    Pattern(
        r"{move} (?:brings?|puts?|places?|takes?|gets?|moves?) {piece} (?:back )?(?:on|to|onto) {square}",
        brings_to,
    ),
    Pattern(r"{move} (?:takes|captures|removes|picks up|snaps off|grabs) {target}", takes_it),
    Pattern(
        r"{move} (?:puts?|places?|gets?|lands?) (?:G.|the|a) (?P<kind>king|queen|rook|bishop|knight|pawn) (?:on|at) {square}",
        puts_on,
    ),
    Pattern(
        r"(?:{move}|" + _THE + r") (?:lets|allows) {piece} (?:out|to come out|into the game)",
        opens_line,
    ),
    Pattern(
        r"(?:{move}|"
        + _THE
        + r") (?:opens|opened|clears|frees)(?: up)? (?:the )?(?:line|diagonal|path|way|road) of {piece}",
        opens_line,
    ),
    Pattern(r"{move} (?:attacked|hit|threatened) {target}", hits),
    Pattern(_THE + r" (?:has )?(?:defended|protected|covered|guarded|supported) {target}", guards),
    Pattern(r"{move} (?:defended|protected|covered|guarded|supported) {target}", guards),
    Pattern(
        r"(?:{whose} |the )(?:last|latest|previous) move (?:has )?(?:put|placed|brought|took|moved|developed|transferred) {piece}(?: (?:on|to|onto|at) {square})?",
        last_put,
    ),
    Pattern(
        r"(?:{whose} |the )(?:last|latest|previous) move was (?:made )?(?:with|by) (?:the|{own}|a) (?:(?:queen|king) 's )?(?P<kind>king|queen|rook|bishop|knight|pawn)",
        last_with,
    ),
    Pattern(
        r"{move} (?:would |can |will )?(?:only )?(?P<how>blocks?|interposes? against|meets?|parr(?:y|ies)|answers?|stops?|blocked|answered|parried|met|deals? with|gets? {side} out of|gets? out of) (?:the |this |that )?check",
        meets_check,
    ),
    Pattern(
        r"{move} (?:would |will )?leaves? {target} (?P<how>undefended|unprotected|unguarded|hanging|en prise|loose|without (?:a |any )?(?:protection|defender|cover|support)|defended|protected|covered|guarded)",
        leaves,
    ),
    Pattern(
        r"(?:{move}|" + _THE + r") (?:would |will )?(?:gains?|grabs?|takes?|wins?|claims?) "
        r"(?:some |more |a lot of )?space (?:on|over on) {wing}",
        gains_space,
    ),
    Pattern(
        rf"{{move}} (?:would |will )?leaves? {{target}} without {_RETREAT}",
        leaves_no_square,
    ),
    Pattern(
        rf"{{move}} (?:would |will )?leaves? {{target}} with {_RETREAT}",
        leaves_no_square,
        against=True,
    ),
    Pattern(
        r"{move} (?:would |will )?(?:takes?|removes?) (?:the |its |a )?(?:protection|defence|defender|support|cover|guard) (?:away )?(?:from|of) {piece}",
        takes_guard,
    ),
)
