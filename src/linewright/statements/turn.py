"""Whose move it is, check, mate, stalemate, legal replies, the only move.

Definitions: FIDE Laws of Chess, articles 1.2, 3.9, 5.1.1 (checkmate) and 5.2.1 (stalemate). "The
only move" is decided where just one move is legal; where several are, whether the others lose is
a question for the analyst.

    after 1.e4 e5 2.Nf3:
        holds: It's Black's move.
        holds: Black to move
        fails: it is White's turn
        fails: White is in check
        holds: neither king is in check
        fails: this is checkmate
        left alone: it is White who wants more
        left alone: Black checks his notes
    after 1.e4 e5 2.Nf3 Nc6 3.Bb5 Nf6 4.O-O Nxe4 5.d4 Nd6 6.Bxc6 dxc6 7.dxe5 Nf5 8.Qxd8+:
        holds: Black is in check
        holds: Black has only one legal move
        holds: Kxd8 is the only move
        holds: the king must recapture
        fails: it is mate
    after 1.f3 e5 2.g4 Qh4#:
        holds: White is checkmated
        holds: that's mate
        holds: White has no legal moves
        fails: it's stalemate
        fails: Black is mated
    after 1.e4 e5 2.Nf3 Nf6 3.Nxe5 Nxe4 4.Qe2 Nf6 5.Nc6+:
        holds: Black has three ways to answer the check
        fails: the check comes from the knight
        fails: the king can step out of the check
"""

from __future__ import annotations

import re
from dataclasses import replace

import chess

from linewright import facts
from linewright.board_words import listed, names, piece_on, several, square
from linewright.judging import Fact, Pattern, Said
from linewright.moves import MAN, PIECE_TYPES, side_name

FAMILY = "turn"


def to_move(said: Said) -> Fact:
    """Whether it is a side's move."""
    turn = said.board.turn
    return Fact(
        said.side("whose" if "whose" in said else "side") == turn, f"it is {side_name(turn)}'s move"
    )


def _checked(said: Said, colour: chess.Color) -> Fact:
    king = said.board.king(colour)
    if king is None:
        return Fact(False, f"{side_name(colour)} has no king")
    givers = facts.attackers(said.board, not colour, king)
    text = f"by {listed(piece_on(said.board, s) for s in givers)}" if givers else ""
    because = (
        f"{side_name(colour)}'s king is in check {text}"
        if givers
        else (f"nothing attacks {side_name(colour)}'s king on {square(king)}")
    )
    return Fact(bool(givers), because, names((king, *givers)))


def in_check(said: Said) -> Fact:
    """Whether a side is in check."""
    return _checked(said, said.side())


def king_in_check(said: Said) -> Fact | None:
    """Whether a king is in check."""
    piece = said.board.piece_at(said.at())
    if piece is None or piece.piece_type != chess.KING:
        return None
    return _checked(said, piece.color)


def is_check(said: Said) -> Fact:
    """Whether the board shows a check (after a move, if one is named)."""
    board = said.played().after if "move" in said else said.board
    givers = tuple(board.checkers())
    text = listed(piece_on(board, s) for s in givers) if givers else "no piece"
    return Fact(board.is_check(), f"{text} gives check", names(givers))


def gives_check(said: Said) -> Fact | None:
    """Whether a piece gives check now."""
    at = said.at()
    colour = said.board.color_at(at)
    king = None if colour is None else said.board.king(not colour)
    if colour is None or king is None:
        return None
    true = facts.attacks(said.board, at, king)
    does = "checks" if true else "does not check"
    return Fact(
        true, f"{piece_on(said.board, at)} {does} the king on {square(king)}", names((at, king))
    )


def is_mate(said: Said) -> Fact:
    """Whether it is checkmate (after a move, if one is named)."""
    board = said.played().after if "move" in said else said.board
    if board.is_checkmate():
        return Fact(True, f"{side_name(board.turn)} is in check and has no legal move")
    if board.is_check():
        answer = next(iter(board.legal_moves))
        return Fact(False, f"{side_name(board.turn)} can answer the check with {board.san(answer)}")
    return Fact(False, f"{side_name(board.turn)} is not in check")


def is_mated(said: Said) -> Fact:
    """Whether a side is checkmated."""
    colour = said.side("whose" if "whose" in said else "side")
    fact = is_mate(said)
    return Fact(bool(fact.true) and said.board.turn == colour, fact.because)


def checks_along(said: Said) -> Fact | None:
    """Whether a piece gives check along the file named, or along a line of the kind named."""
    fact = gives_check(said)
    at = said.at("piece")
    king = said.board.king(said.board.turn)
    if fact is None or not fact.true or king is None:
        return fact
    same_file = chess.square_file(at) == chess.square_file(king)
    same_rank = chess.square_rank(at) == chess.square_rank(king)
    if "file" in said:
        return replace(fact, true=same_file and chess.square_file(at) == said.file())
    fits = {"file": same_file, "rank": same_rank, "diagonal": not (same_file or same_rank)}
    return replace(fact, true=fits[said.word("line")])


def gave_check(said: Said) -> Fact | None:
    """Whether a side gives check (with the piece named) on the board."""
    board = said.board
    if board.turn == said.side() or not board.is_check():
        return Fact(False, f"{side_name(not said.side())} is not in check")
    givers = list(board.checkers())
    true = said.at("piece") in givers if "piece" in said else True
    text = listed(piece_on(board, s) for s in givers)
    return Fact(true, f"check is given by {text}", tuple(map(square, givers)))


def in_check_from(said: Said) -> Fact:
    """Whether a side is in check and the piece named gives it."""
    board = said.board
    givers = list(board.checkers()) if board.turn == said.side() else []
    text = listed(piece_on(board, s) for s in givers) if givers else "nothing"
    return Fact(
        said.at("piece") in givers,
        f"{side_name(said.side())}'s king is checked by {text}",
        names(givers),
    )


def mated_by(said: Said) -> Fact | None:
    """Whether a king is checkmated and the piece named gives the check."""
    fact = king_mated(said)
    if fact is None or said.phrases["piece2"].plural:
        return None  # "by three minor pieces": those that take part are not counted
    return replace(fact, true=bool(fact.true) and said.at("piece2") in said.board.checkers())


def king_mated(said: Said) -> Fact | None:
    """Whether a king is checkmated."""
    piece = said.board.piece_at(said.at())
    if piece is None or piece.piece_type != chess.KING:
        return None
    fact = is_mate(said)
    return Fact(bool(fact.true) and said.board.turn == piece.color, fact.because)


def has_mated(said: Said) -> Fact:
    """Whether a side has given checkmate."""
    fact = is_mate(said)
    return Fact(bool(fact.true) and said.board.turn != said.side(), fact.because)


def is_stalemate(said: Said) -> Fact:
    """Whether it is stalemate."""
    board = said.played().after if "move" in said else said.board
    true = board.is_stalemate()
    if "side" in said:
        true = true and board.turn == said.side()
    count = facts.legal_count(board)
    check = "is in check" if board.is_check() else "is not in check"
    return Fact(true, f"{side_name(board.turn)} {check} and has {several(count, 'legal move')}")


def legal_moves(said: Said) -> Fact:
    """Whether a side has so many legal moves (or any)."""
    colour = said.side() if "side" in said else said.board.turn
    board = facts.to_move(said.board, colour)
    count = facts.legal_count(board)
    first = next(iter(board.legal_moves), None)
    only = f": {board.san(first)}" if count == 1 and first else ""
    because = f"{side_name(colour)} has {several(count, 'legal move')}{only}"
    if "number" in said:
        return Fact(count == said.number(), because)
    return Fact(count == 1 if said.word("one") else count > 0, because)


def only_move(said: Said) -> Fact | None:
    """Whether a move is the only legal one; among several it takes an analyst."""
    played = said.played()
    moves = list(played.before.legal_moves)
    others = [played.before.san(m) for m in moves if m != played.move]
    if not others:
        return Fact(True, f"{played.san} is the only legal move")
    if said.word("legal"):
        return Fact(False, f"{listed(others[:3], 'or')} is legal too")
    analyst = said.place.judges.analyst
    if analyst is not None and hasattr(analyst, "only_move"):
        found: Fact | None = analyst.only_move(played.before, played.move)
        return found
    return Fact(None, f"needs an analyst: {listed(others[:2], 'or')} is legal too")


def only_one_move(said: Said) -> Fact:
    """Whether there is only one move (legal), else a question for the analyst."""
    count = facts.legal_count(said.board)
    if count == 1:
        return legal_moves(said)
    if said.word("legal"):
        return Fact(False, legal_moves(said).because)
    return Fact(
        None, f"needs an analyst: {side_name(said.board.turn)} has {several(count, 'legal move')}"
    )


def is_forced(said: Said) -> Fact | None:
    """Whether the move named, or the last move, was the only legal one."""
    played = said.played() if "move" in said else said.place.last()
    if played is None:
        return None
    count = facts.legal_count(played.before)
    if count == 1:
        return Fact(True, f"{played.san} is the only legal move")
    return Fact(
        None, f"needs an analyst: {side_name(played.colour)} had {several(count, 'legal move')}"
    )


def must_king(said: Said) -> Fact | None:
    """Whether only the piece named can move, or take back."""
    kind = said.word("kind")
    wanted = PIECE_TYPES[kind]
    board = said.board
    moves = list(board.legal_moves)
    if said.word("take") in {"move", "reply"} and wanted != chess.KING:
        return None
    if said.word("take") not in {"", "move", "reply"} and board.move_stack:
        goal = board.move_stack[-1].to_square
        takers = [m for m in moves if m.to_square == goal]
        if not takers:
            return Fact(False, f"nothing can take on {square(goal)}")
        moves = takers if said.word("take") == "recapture" else moves
    kinds = {board.piece_type_at(m.from_square) for m in moves}
    text = listed([board.san(m) for m in moves[:4]])
    return Fact(kinds == {wanted}, f"legal: {text}{' and others' if len(moves) > 4 else ''}")


def can_en_passant(said: Said) -> Fact:
    """Whether taking en passant is possible now."""
    true = said.board.has_legal_en_passant()
    if "side" in said:
        true = true and said.side() == said.board.turn
    where = f"on {square(said.board.ep_square)}" if true and said.board.ep_square else "nowhere"
    return Fact(true, f"taking en passant is possible {where}")


def king_flights(said: Said) -> Fact | None:
    """Whether a king has (so many) squares to go to."""
    piece = said.board.piece_at(said.at())
    if piece is None or piece.piece_type != chess.KING:
        return None
    squares = facts.flights(said.board, piece.color)
    because = f"the king on {square(said.at())} can go to {listed(names(squares))}"
    if "number" in said:
        return Fact(len(squares) == said.number(), because, names(squares))
    return Fact(bool(squares), because.replace("to none", "nowhere"), names(squares))


def move_number(said: Said) -> Fact:
    """Whether the game is at the move named."""
    now = said.board.fullmove_number
    return Fact(said.number() in {now, now - (said.board.turn == chess.WHITE)}, f"it is move {now}")


def only_king_answers(said: Said) -> Fact:
    """Whether a check can be answered by king moves only."""
    board = said.board
    if not board.is_check():
        return Fact(False, f"{side_name(board.turn)} is not in check")
    others = [m for m in board.legal_moves if board.piece_type_at(m.from_square) != chess.KING]
    text = f"{board.san(others[0])} answers it too" if others else "no other piece can help"
    return Fact(not others, text)


def only_check(said: Said) -> Fact | None:
    """Whether a move is the only one that gives check."""
    played = said.played()
    board = played.before.copy(stack=False)
    found = [m for m in board.legal_moves if board.gives_check(m)]
    sans = listed([board.san(m) for m in found])
    return Fact(found == [played.move], f"checks: {sans}")


def way_to_answer(said: Said) -> Fact | None:
    """The same of whoever is in check: "no way to block the check"."""
    return can_answer(replace(said, values={**said.values, "side": said.board.turn}))


def can_answer(said: Said) -> Fact | None:
    """Whether the side in check can block it, or take the piece that gives it."""
    board = said.board
    if not board.is_check():
        return (
            Fact(False, f"{side_name(board.turn)} is not in check")
            if "check" in said.original
            else None
        )
    if said.side() != board.turn:
        return Fact(False, f"{side_name(board.turn)} is in check")
    takes = said.word("how") in {"capture", "take"}
    givers = board.checkers()
    found = [
        m for m in board.legal_moves if board.piece_type_at(m.from_square) != chess.KING or takes
    ]
    found = [m for m in found if (m.to_square in givers) == takes]
    return Fact(
        bool(found),
        f"legal: {listed([board.san(m) for m in found[:3]])}"
        if found
        else f"no legal move does: {listed([board.san(m) for m in list(board.legal_moves)[:3]])}",
    )


def answered_with(said: Said) -> Fact | None:
    """Whether the last move blocked (or answered) a check with such a man."""
    fact, last = parried(said), said.place.last()
    if fact is None or last is None:
        return fact
    man = last.before.piece_type_at(last.move.from_square)
    fits = man is not None and chess.piece_name(man) == said.word("man")
    return replace(fact, true=fact.true and fits and last.colour == said.side())


_KIND_WORD = rf"(?P<man>{MAN})"


def parried(said: Said) -> Fact | None:
    """Whether the last move blocked a check, or leaves no mate in one."""
    board = said.board
    if "mate" in said.original:
        mates = facts.threatens_mate(board, board.turn)
        text = board.san(mates[0]) if mates else ""
        return Fact(not mates, f"{text} is mate" if mates else "there is no mate in one")
    last = said.place.last()
    if last is None or not last.before.is_check():
        return Fact(False, "there was no check")
    king = last.before.king(last.colour)
    blocks = king is not None and any(
        last.move.to_square in chess.SquareSet(chess.between(king, giver))
        for giver in last.before.checkers()
    )
    if said.word("how") == "blocked":
        return Fact(blocks, f"{last.san} {'blocks' if blocks else 'does not block'} the check")
    return Fact(True, f"{last.san} answers the check")


def flight_on(said: Said) -> Fact | None:
    """Whether a king can go to the square named."""
    piece = said.board.piece_at(said.at())
    if piece is None or piece.piece_type != chess.KING:
        return None
    squares = facts.flights(said.board, piece.color)
    return Fact(
        said.at("square") in squares,
        f"the king on {square(said.at())} can go to {listed(names(squares))}",
        names(squares),
    )


def must_move(said: Said) -> Fact | None:
    """ "Black has to move", of a side called by its name."""
    return None if said.phrases["side"].who == "he" else to_move(said)


def mover_is(said: Said) -> Fact | None:
    """ "the side to move is Black"."""
    if said.phrases["side2"].who != "mover":
        return None
    return to_move(said)


def gives_side_check(said: Said) -> Fact:
    """Whether a side gives check now."""
    return _checked(said, not said.side())


def game_over(said: Said) -> Fact:
    """Whether the game is over by mate, stalemate or want of material."""
    board = said.board
    why = (
        "checkmate"
        if board.is_checkmate()
        else "stalemate"
        if board.is_stalemate()
        else "nobody can give mate"
        if board.is_insufficient_material()
        else "there are legal moves"
    )
    return Fact(why != "there are legal moves", why)


def can_go(said: Said) -> Fact | None:
    """Whether a piece can legally go to a square."""
    at = said.at("piece")
    if said.board.color_at(at) is None:
        return None
    moves = {m.to_square: m for m in facts.mobile(said.board, at)}
    goals = list(moves)
    where = said.at("square")
    if where in moves and re.search(
        r"\b(?:safely|safe|with impunity)\b", f"{said.original} {said.trailing}"
    ):
        return _goes_safely(said, moves[where])
    return Fact(
        where in goals,
        f"{piece_on(said.board, at)} can go to {listed(names(goals))}",
        names((at, said.at("square"))),
    )


def _taken_on(said: Said) -> chess.Square | None:
    if "square" in said:
        return said.at("square")
    return said.board.move_stack[-1].to_square if said.board.move_stack else None


def can_recapture(said: Said) -> Fact | None:
    """Whether a piece can take back where the last capture was made."""
    goal = _taken_on(said)
    if goal is None or said.board.color_at(said.at("piece")) is None:
        return None
    true = any(m.to_square == goal for m in facts.mobile(said.board, said.at("piece")))
    return Fact(
        true,
        f"{piece_on(said.board, said.at('piece'))} {'can' if true else 'cannot'} take on "
        f"{square(goal)}",
        names((said.at("piece"), goal)),
    )


def side_recapture(said: Said) -> Fact | None:
    """Whether a side can take back (with the kind of piece named)."""
    goal = _taken_on(said)
    if goal is None:
        return None
    board = facts.to_move(said.board, said.side())
    found = [
        m
        for m in board.legal_moves
        if m.to_square == goal
        and (
            not said.word("kind")
            or board.piece_type_at(m.from_square) == PIECE_TYPES[said.word("kind")]
        )
    ]
    return Fact(bool(found), f"takes on {square(goal)}: {listed([board.san(m) for m in found])}")


_IT = (
    r"(?:it|this|that|which|here it|the position|this position|the game|(?:the |this )?(?:final|end|last|present|current) position|the diagram|this diagram|the picture|"
    r"(?:the |this )?position on the board|what (?:is|stands) (?:here|on the board)|what S. (?:has|have|see|sees)(?: on the board)?)"
)


def king_escapes(said: Said) -> Fact:
    """Whether a side's king can legally go to a square."""
    board = facts.to_move(said.board, said.side())
    goals = [
        m.to_square for m in board.legal_moves if board.piece_type_at(m.from_square) == chess.KING
    ]
    return Fact(
        said.at("square") in goals,
        f"{side_name(said.side())}'s king can go to {listed(names(goals))}",
        names(goals),
    )


def _goes_safely(said: Said, move: chess.Move) -> Fact:
    """Whether a piece cannot be taken with profit after a move."""
    board = facts.to_move(said.board, said.board.color_at(move.from_square) is True)
    board.push(move)
    takers = facts.attackers(board, board.turn, move.to_square)
    lost = move.to_square in {h.square for h in facts.hanging(board, not board.turn)}
    lost = lost or any(board.piece_type_at(s) == chess.PAWN for s in takers)
    text = f"{square(move.to_square)} is covered by {listed(piece_on(board, s) for s in takers)}"
    return Fact(not lost, text.replace("by none", "by nothing"), names((move.to_square, *takers)))


def check_by(said: Said) -> Fact | None:
    """Whether a check comes from the piece named."""
    if not said.board.is_check():
        return Fact(False, f"{side_name(said.board.turn)} is not in check")
    return gives_check(said)


def only_legal_is(said: Said) -> Fact | None:
    """Whether the only legal move brings a piece to a square."""
    at = said.at("piece")
    moves = list(said.board.legal_moves)
    true = (
        len(moves) == 1 and moves[0].from_square == at and moves[0].to_square == said.at("square")
    )
    return Fact(true, f"legal: {listed([said.board.san(m) for m in moves[:4]])}")


def king_leaves_check(said: Said) -> Fact | None:
    """Whether a king in check has a legal move."""
    piece = said.board.piece_at(said.at("piece"))
    if piece is None or piece.piece_type != chess.KING:
        return None
    if not said.board.is_check() or said.board.turn != piece.color:
        return Fact(False, f"{side_name(piece.color)} is not in check")
    found = [m for m in said.board.legal_moves if m.from_square == said.at("piece")]
    return Fact(bool(found), f"king moves: {listed([said.board.san(m) for m in found])}")


def ways_out(said: Said) -> Fact | None:
    """Whether the side in check has so many legal answers."""
    if not said.board.is_check() and "check" not in said.original:
        return None
    if not said.board.is_check():
        return Fact(False, f"{side_name(said.board.turn)} is not in check")
    return legal_moves(said)


def check_on(said: Said) -> Fact | None:
    """Whether a side could give check on a square (with the piece named)."""
    board = facts.to_move(said.board, said.side())
    found = [
        m for m in board.legal_moves
        if m.to_square == said.at("square") and board.gives_check(m)
        and ("piece" not in said or m.from_square == said.at("piece"))
    ]  # fmt: skip
    return Fact(
        bool(found),
        f"checks on {square(said.at('square'))}: {listed([board.san(m) for m in found])}",
    )


def one_way_out(said: Said) -> Fact | None:
    """Whether the side in check has so many legal answers; of other needs nothing is said."""
    if not said.board.is_check():
        return None
    return ways_out(said)


def check_from(said: Said) -> Fact | None:
    """Whether a piece gives check from the square named."""
    fact = gives_check(said)
    if fact is None or said.at("piece") == said.at("square"):
        return fact
    return Fact(
        False, f"{piece_on(said.board, said.at('piece'))} is not on {square(said.at('square'))}"
    )


def answers_with(said: Said) -> Fact | None:
    """Whether a side in check can answer it with such a piece (by going to the square named)."""
    board = said.board
    if not board.is_check():
        return Fact(False, f"{side_name(board.turn)} is not in check")
    if said.side() != board.turn:
        return Fact(False, f"{side_name(board.turn)} is in check")
    found = [
        m for m in board.legal_moves
        if board.piece_type_at(m.from_square) == PIECE_TYPES[said.word("kind")]
        and ("square" not in said or m.to_square == said.at("square"))
    ]  # fmt: skip
    text = listed([board.san(m) for m in found[:4]]) if found else "no such move is legal"
    return Fact(bool(found), text)


def only_way(said: Said) -> Fact | None:
    """Whether a check can be answered only by the move, or in the way, that is named."""
    board = said.board
    if not board.is_check():
        return None
    moves = list(board.legal_moves)
    text = f"legal: {listed([board.san(m) for m in moves[:4]])}"
    if "move" in said:
        return Fact(moves == [said.played().move], text)
    if said.word("kind"):
        kinds = {board.piece_type_at(m.from_square) for m in moves}
        return Fact(kinds == {PIECE_TYPES[said.word("kind")]}, text)
    king = board.king(board.turn)
    blocks = all(
        king is not None
        and board.piece_type_at(m.from_square) != chess.KING
        and m.to_square not in board.checkers()
        for m in moves
    )
    return Fact(bool(moves) and blocks, text)


def all_king_moves(said: Said) -> Fact:
    """Whether every legal move is one of the king."""
    moves = list(said.board.legal_moves)
    others = [m for m in moves if said.board.piece_type_at(m.from_square) != chess.KING]
    if "whose" in said and said.side("whose") != said.board.turn:
        return Fact(False, f"it is {side_name(said.board.turn)}'s move")
    text = (
        f"{said.board.san(others[0])} is legal too"
        if others
        else f"{several(len(moves), 'king move')}"
    )
    return Fact(bool(moves) and not others, text)


def checked_along(said: Said) -> Fact | None:
    """Whether a king is in check along the line named."""
    fact = king_in_check(said)
    if fact is None or not fact.true:
        return fact
    king = said.at("piece")
    for giver in said.board.attackers(not said.board.color_at(king), king):
        line = {
            "rank": chess.square_rank(giver) == chess.square_rank(king),
            "file": chess.square_file(giver) == chess.square_file(king),
        }
        diagonal = not any(line.values()) and said.board.piece_type_at(giver) != chess.KNIGHT
        if {**line, "diagonal": diagonal}[said.word("line")]:
            return fact
    return replace(fact, true=False)


def interposes(said: Said) -> Fact | None:
    """Whether the side in check can put something (so many pieces) on a square between."""
    board = said.board
    if not board.is_check() or said.side() != board.turn:
        told = "check" in said.original  # an attack on another piece may be meant
        return Fact(False, f"{side_name(said.side())} is not in check") if told else None
    found = [
        m for m in board.legal_moves
        if m.to_square == said.at("square") and board.piece_type_at(m.from_square) != chess.KING
        and m.to_square not in board.checkers()
    ]  # fmt: skip
    true = len(found) == said.number() if "number" in said else bool(found)
    return Fact(true, f"legal: {listed([board.san(m) for m in found])}")


def called_out(said: Said) -> Fact | None:
    """ "Mate!": what holds; a mate called out in a line of moves is not this board's."""
    fact = is_stalemate(said) if "stale" in said.original.lower() else is_mate(said)
    return fact if fact.true else None


def double_checked(said: Said) -> Fact | None:
    """Whether a side (or its king) is in check from two pieces, or from one uncovered."""
    board = said.board
    if "piece" in said:
        piece = board.piece_at(said.at("piece"))
        if piece is None or piece.piece_type != chess.KING:
            return None
        colour = piece.color
    else:
        colour = said.side()
    givers = list(board.checkers()) if board.turn == colour else []
    text = f"{side_name(colour)}'s king is checked by {listed(piece_on(board, s) for s in givers)}"
    if said.word("how") == "discovered":
        last = said.place.last()
        uncovered = last is not None and any(s != last.move.to_square for s in givers)
        return Fact(uncovered, text.replace("by none", "by nothing"), names(givers))
    return Fact(len(givers) > 1, text.replace("by none", "by nothing"), names(givers))


def piece_mates(said: Said) -> Fact | None:
    """Whether a piece (on the square named) gives checkmate now."""
    at = said.at("piece")
    colour = said.board.color_at(at)
    if colour is None or ("square" in said and said.at("square") != at):
        return None
    fact = is_mate(said)
    true = bool(fact.true) and at in said.board.checkers()
    return replace(fact, true=true)


def side_gives_mate(said: Said) -> Fact | None:
    """Whether a side has given mate; of one to move, what it threatens is another question."""
    return has_mated(said)


def has_stalemated(said: Said) -> Fact:
    """Whether a side has left the other without a legal move."""
    fact = is_stalemate(replace(said, values={}))
    return replace(fact, true=bool(fact.true) and said.board.turn != said.side())


def king_stalemated(said: Said) -> Fact | None:
    """Whether the side of a king is stalemated."""
    piece = said.board.piece_at(said.at("piece"))
    if piece is None or piece.piece_type != chess.KING:
        return None
    fact = is_stalemate(replace(said, values={}))
    return replace(fact, true=bool(fact.true) and said.board.turn == piece.color)


def ends_in(said: Said) -> Fact:
    """Whether the game is over in the way named."""
    if "stale" in said.word("how"):
        return is_stalemate(said)
    return is_mate(said) if "mate" in said.word("how") else game_over(said)


def checkers_number(said: Said) -> Fact:
    """Whether so many pieces give check."""
    givers = list(said.board.checkers())
    text = listed(piece_on(said.board, s) for s in givers) if givers else "no piece"
    return Fact(len(givers) == said.number(), f"{text} gives check", names(givers))


def mated_side_by(said: Said) -> Fact:
    """Whether a side is checkmated and the piece named gives the check."""
    fact = is_mated(said)
    return replace(fact, true=bool(fact.true) and said.at("piece") in said.board.checkers())


def has_in_check(said: Said) -> Fact | None:
    """Whether a side has the other in check (from two pieces, or one uncovered)."""
    other = said.meaning({**said.values, "side": not said.side()})
    return double_checked(other) if said.word("how") else in_check(other)


def only_such_move(said: Said) -> Fact | None:
    """Whether every legal move is one of the man named (to the square named)."""
    board = said.board
    if "whose" in said.values and said.side("whose") != board.turn:
        return Fact(False, f"it is {side_name(board.turn)}'s move")
    moves = list(board.legal_moves)
    goal = said.at("square") if "square" in said.values else None
    fits = [
        m
        for m in moves
        if board.piece_type_at(m.from_square) == PIECE_TYPES[said.word("kind")]
        and goal in {None, m.to_square}
        and (not said.word("takes") or board.is_capture(m))
    ]
    text = f"legal: {listed([board.san(m) for m in moves[:4]])}{' and others' if len(moves) > 4 else ''}"
    return Fact(bool(moves) and len(fits) == len(moves), text)


_ONLY = r"(?:the|{whose}|{own}) (?:only|sole|single|one) (?:legal |possible |available )?(?:move|reply|answer|option|choice|resource|possibility)"


def answers_check(said: Said) -> Fact | None:
    """Whether a move is a legal answer to a check."""
    played = said.played()
    if not played.before.is_check():
        return (
            Fact(False, f"{side_name(played.colour)} is not in check")
            if "check" in said.original
            else None
        )
    return Fact(played.move in played.before.legal_moves, f"{played.san} is legal")


def check_along(said: Said) -> Fact:
    """Whether some piece gives check along the line named."""
    board = said.board
    found = [checks_along(said.meaning({**said.values, "piece": s})) for s in board.checkers()]
    told = [fact for fact in found if fact is not None]
    if not told:
        return Fact(False, f"{side_name(board.turn)} is not in check")
    return next((fact for fact in told if fact.true), told[0])


def any_check(said: Said) -> Fact:
    """Whether a side (the one to move, if none is named) could give check."""
    board = facts.to_move(said.board, said.side() if "side" in said.values else said.board.turn)
    found = [board.san(m) for m in board.legal_moves if board.gives_check(m)]
    return Fact(bool(found), f"checks: {listed(found[:4])}")


def check_there(said: Said) -> Fact | None:
    """Whether a side (either, if none is named) could give check on a square."""
    for name in ("whose", "side", "side2"):
        if name in said.values:
            return check_on(said.meaning({**said.values, "side": said.side(name)}))
    found = [check_on(said.meaning({**said.values, "side": c})) for c in chess.COLORS]
    told = [fact for fact in found if fact is not None]
    return next((fact for fact in told if fact.true), told[0] if told else None)


PATTERNS = (
    Pattern(
        rf"{_ONLY} is (?:to )?(?:interpose|put|place|play|bring|block with|move|interposing|playing|moving|bringing|putting|with|develop) (?:the |a |{{own}} )?{_KIND_WORD.replace('man', 'kind')}(?: (?:to|on|at|onto|in between on|between on) {{square}})?",
        only_such_move,
    ),
    Pattern(
        rf"{_ONLY} is (?:to )?(?P<takes>take|capture|recapture|taking|capturing|recapturing)(?: (?:back|it|P.))?(?: on {{square}})? with (?:the |a |{{own}} )?{_KIND_WORD.replace('man', 'kind')}",
        only_such_move,
    ),
    Pattern(
        rf"{_ONLY} is (?:a |the |with the )?{_KIND_WORD.replace('man', 'kind')}(?: 's)?(?: move)?",
        only_such_move,
    ),
    Pattern(
        rf"{{side}} (?:must|has to|can only|may only|have to) (?:interpose|block with) (?:with )?(?:the |a |{{own}} )?{_KIND_WORD.replace('man', 'kind')}(?: (?:on|to|at) {{square}})?",
        lambda said: (
            only_such_move(said)
            if said.side() == said.board.turn
            else Fact(False, f"it is {side_name(said.board.turn)}'s move")
        ),
    ),
    Pattern(
        r"{side} {have} (?:S.|{whose} king|P.) in (?:(?P<how>double|discovered) )?check(?: there| here)?",
        has_in_check,
    ),
    Pattern(r"{side} (?:is|are|has been|have been) (?:check)?mated by {piece}", mated_side_by),
    Pattern(
        r"{side} (?:{be}|stands?|{be} caught|finds) (?:in|under) (?:a )?(?P<how>double|discovered) check",
        double_checked,
    ),
    Pattern(
        r"{piece} (?:{be}|stands?) (?:in|under) (?:a )?(?P<how>double|discovered) check",
        double_checked,
    ),
    Pattern(
        r"{piece} (?:gives|has given|gave|delivers|has delivered|delivered|is giving) (?:the )?(?:check)?mate(?: (?:on|from|at) {square})?",
        piece_mates,
    ),
    Pattern(
        r"{piece} (?:mates|checkmates|has mated|has checkmated|is mating)(?: {side})?(?: (?:on|from|at) {square})?(?! in| with| by| on)",
        piece_mates,
    ),
    Pattern(
        r"(?:the )?(?:check)?mate (?:is|was|has been|has) (?:given |delivered |dealt )?by {piece}",
        piece_mates,
    ),
    Pattern(
        r"{side} (?:mates|checkmates|mated|gives (?:check)?mate|delivers (?:check)?mate|gave (?:check)?mate)(?: {side2})?(?! in| with| by| on| after| next| at| P| Q| M)",
        side_gives_mate,
    ),
    Pattern(
        r"{side} (?:has|have) (?:mated|checkmated|given (?:check)?mate|delivered (?:check)?mate) with {piece}",
        lambda said: piece_mates(said) if has_mated(said).true else has_mated(said),
    ),
    Pattern(
        r"{side} (?:has|have) (?:just )?(?:stalemated|given stalemate to|let off with stalemate)(?: {side2}| G. opponent)?",
        has_stalemated,
    ),
    Pattern(r"{side} (?:stalemates|stalemated) {side2}", has_stalemated),
    Pattern(r"{piece} (?:is|has been|stands) (?:stalemated|in stalemate)", king_stalemated),
    Pattern(
        r"the game (?:ends|has ended|is over|finishes|has finished|is finished|has come to an end|comes to an end|is drawn)(?: (?:in|with|by) (?:a |an )?(?:\w+ )?(?P<how>checkmate|mate|stalemate))?(?: there)?(?! in| with| by| after| when| on| if)",
        ends_in,
    ),
    Pattern(
        rf"{_IT} is (?:a )?(?P<how>draw by stalemate|drawn by stalemate|stalemate position|stalemated position|position of stalemate)",
        ends_in,
    ),
    Pattern(
        r"(?:a )?(?P<how>stalemate|checkmate|mate) (?:has (?:arisen|occurred|come about|resulted|been reached)|it is|is on the board|is the result)",
        ends_in,
    ),
    Pattern(
        r"(?:only |just )?{number} (?:\w+ )?(?:pieces?|men|units?) (?:gives?|is giving|are giving|check) (?:check|S.|the king|P.)(?: at once| at the same time| together)?",
        checkers_number,
    ),
    Pattern(
        r"{side} (?:must|has to|have to|needs to) (?:answer|deal with|meet|parry|respond to|get out of|attend to|react to|reply to) (?:a |the |this )?(?P<how>double|discovered) check",
        double_checked,
    ),
    Pattern(
        r"{side} (?:must|has to|have to|needs to) (?:answer|deal with|meet|parry|respond to|attend to|react to|reply to) a check",
        in_check,
    ),
    Pattern(
        r"{side} (?:gives|has given|gave|delivers) (?:a )?(?:check)(?! with| by| from| on| to| at| in| after)",
        gives_side_check,
    ),
    Pattern(
        r"{side} (?:has given|have given|gave|gives|is giving)(?: S.)? (?:a )?check (?:with|from|by) {piece}",
        gave_check,
    ),
    Pattern(
        r"(?:it is |now it is |here it is )?{whose} (?:move|turn|turn to move|go)(?: to play)?"
        r"(?! (?:to [QPMFW]|from [QP]|with [PM]|into|onto|of))",
        to_move,
    ),
    Pattern(
        r"it is {side} (?:to move|to play|to go|who is to move|whose turn it is|whose move it is|on the move|on move)",
        to_move,
    ),
    Pattern(
        r"{side} (?:is |are )?(?:to move|to play|to reply|to respond|to answer|on move|on the move|on turn|the one to move)",
        to_move,
    ),
    Pattern(r"{side} (?:has|have) (?:the move|the turn)", to_move),
    Pattern(
        r"(?:the|it is the) (?:move|turn) (?:is with|belongs to|is|of|lies with|passes to|falls to) {side}",
        to_move,
    ),
    Pattern(
        r"{piece} (?:(?:gives?|is giving|delivers) (?:a )?check|checks|checks {piece2}) (?:along|on|down|up) (?:the |a )?(?:{file}|(?:open |long |half open )*(?P<line>file|rank|diagonal))",
        checks_along,
    ),
    Pattern(r"{side} (?:{be}|stands?) (?:in|under) check(?! from| by)", in_check),
    Pattern(r"{side} (?:{be}|stands?) (?:in|under) check (?:from|by) {piece}", in_check_from),
    Pattern(
        r"it (?:is for|falls to|is left to) {side} to (?:move|play|decide|choose|reply|answer|act|find|make)(?: [^,;:.]*[^,;:. ])?",
        to_move,
    ),
    Pattern(r"{piece} {be} (?:in|under) check", king_in_check),
    Pattern(rf"{_IT} (?:is|was|comes with|gives) (?:a )?check", is_check),
    Pattern(
        r"(?:there is (?:a |any )?check(?! on| in| from| at| to)|checks? (?:has|have) been given)",
        is_check,
    ),
    Pattern(
        r"{move} (?:is|gives|comes with|was|would be|would give|will give|will be|would come with) (?:a )?check",
        is_check,
    ),
    Pattern(
        r"{piece} (?:gives check|is giving check|checks {piece2}|is checking {piece2})",
        gives_check,
    ),
    Pattern(
        rf"(?:{_IT} (?:is|was|ends in|means)|there is|we have) (?:a |already |the )?(?:check)?mate",
        is_mate,
    ),
    Pattern(
        rf"{_IT} is (?:a |the )?(?:smothered mate|(?:back rank|{{rank}}) mate|checkmate|mate on the spot)",
        is_mate,
    ),
    Pattern(
        r"{move} (?:is|gives|was|would be|mates|delivers|would mate) ?(?:check)?(?:mate)?(?<=mate|ates)",
        is_mate,
    ),
    Pattern(r"{side} (?:is|are|has been|have been|gets|got) (?:check)?mated", is_mated),
    Pattern(r"{side} (?:is|are) (?:checkmate|mate)", is_mated),
    Pattern(r"{piece} (?:is|has been) (?:check)?mated", king_mated),
    Pattern(
        r"{side} (?:has|have) (?:(?:check)?mated|delivered (?:check)?mate|given (?:check)?mate)(?: {side2})?",
        has_mated,
    ),
    Pattern(rf"{_IT} (?:is|was|would be) (?:a )?stalemate", is_stalemate),
    Pattern(r"{side} (?:is|are|has been) (?:stalemated|in stalemate|stalemate)", is_stalemate),
    Pattern(
        r"{side} {have} (?:only |just |exactly )?(?:{number} |any |a |(?P<one>a single |one |only one ))?"
        r"legal (?:moves?|replies|reply|answers?|options?|continuations?|responses?)",
        legal_moves,
    ),
    Pattern(
        r"there (?:is|are) (?:only |just |exactly )?(?:{number}|any|a|(?P<one>a single|one|only one)) "
        r"legal (?:moves?|replies|reply|answers?|options?|continuations?|responses?)",
        legal_moves,
    ),
    Pattern(
        r"{side} {have} (?:only |just )?{number} (?P<legal>legal )?(?:moves?|reply|replies|answers?)",
        lambda said: only_one_move(said) if said.number() == 1 else None,
    ),
    Pattern(
        r"there is only (?:one|{number}) (?P<legal>legal )?(?:move|reply|answer|response)(?! to )",
        only_one_move,
    ),
    Pattern(
        r"{move} (?:is|was) (?:{own} |the )?(?:only|sole|single|one and only) (?P<legal>legal |possible )?"
        r"(?:move|reply|answer|response|option|defence|way out)",
        only_move,
    ),
    Pattern(
        r"(?:the|{own}) only (?P<legal>legal |possible )?(?:move|reply|answer|response) is {move}",
        only_move,
    ),
    Pattern(r"{move} (?:is|was) (?:forced|compulsory|obligatory)", is_forced),
    Pattern(
        r"(?:the reply|the recapture|the move|{it}) (?:is|was) (?:forced|compulsory)", is_forced
    ),
    Pattern(
        r"(?:the|{own}) (?P<kind>king|queen|rook|bishop|knight|pawn) (?:must|has to) "
        r"(?P<take>recapture|take back|retake|move|take)",
        must_king,
    ),
    Pattern(
        r"{side} (?:must|has to|have to|can only) (?P<take>recapture|take back|retake|take|reply|move) with "
        r"(?:the|{own}) (?P<kind>king|queen|rook|bishop|knight|pawn)",
        must_king,
    ),
    Pattern(
        r"only (?:the|{own}) (?P<kind>king|queen|rook|bishop|knight|pawn) can (?P<take>recapture|take back|"
        r"retake|move|take)",
        must_king,
    ),
    Pattern(
        r"{side} (?:can|may|could) (?:take|capture|recapture)(?: (?:it|P.|the pawn|on {square}))? (?:en passant|in passing)(?: on {square})?",
        can_en_passant,
    ),
    Pattern(
        r"(?:taking |capturing |capture |the capture )?en passant is (?:possible|legal|available|allowed)",
        can_en_passant,
    ),
    Pattern(
        r"{piece} {have} (?:only |just )?(?:{number} |any |a )?(?:flight|escape|safe|free)? ?squares?"
        r"(?: to (?:go to|escape to|flee to))?(?: left)?",
        king_flights,
    ),
    Pattern(
        r"(?:we are (?:now )?(?:at|on)|(?:we|{side}) (?:have|has) (?:now )?(?:reached|got to|come to)|(?:it|this) is) move (?:number )?{number}",
        move_number,
    ),
    Pattern(
        r"there are (?:only )?{number} (?:legal )?(?:moves|replies|options)(?: (?:for|available to|open to) {side}| (?:that )?{side} (?:can|could) make)",
        legal_moves,
    ),
    Pattern(
        r"{side} {have} {number} (?:possible |different )?(?:moves|options)(?: to choose from| available| at (?:his|her|their|{own}) disposal)?(?! ahead| up)",
        lambda said: None,
    ),
    Pattern(
        r"(?:the )?check (?:can|could) (?:only )?be (?:met|answered|parried) (?:only )?by (?:moving the (?P<kind>king)|a (?P<kind>king) move)",
        only_king_answers,
    ),
    Pattern(
        r"{side} (?:must|has to|have to) (?:answer|deal with|meet|parry|respond to|get out of|attend to|react to) (?:the |this )?check(?: first)?",
        in_check,
    ),
    Pattern(
        r"{side} (?:can|could|is able to) (?P<how>block|interpose|capture|take) (?:against )?(?:the |this )?(?:check|checking piece|checker|piece giving check)",
        can_answer,
    ),
    Pattern(
        rf"{{side}} (?:has |have )?(?:just )?(?P<how>blocked|parried|met|answered|stopped) (?:the|this|that) check (?:with|by moving|using|by interposing) (?:(?:the|a|G.) )?{_KIND_WORD}(?: (?:on|to) Q.)?",
        answered_with,
    ),
    Pattern(
        r"(?:the )?(?:check|mate|threat of mate) (?:is|has been) (?P<how>blocked|parried|met|answered|prevented|stopped)",
        parried,
    ),
    Pattern(r"{piece} (?:gives|is giving|delivers|gave|has given) (?:the |a )?check", gives_check),
    Pattern(
        r"{piece} {have} (?:a |an )?(?:flight|escape|safe|free)? ?square (?:on|at) {square}",
        flight_on,
    ),
    Pattern(r"{side} moves(?! and| the| on| with| to| his| in| from)", to_move),
    Pattern(r"{side2} is {side}", mover_is),
    Pattern(r"{side} is to (?:move|play)(?: {own} (?:\w+) move)?", to_move),
    Pattern(
        r"it is (?:up|down) to {side}(?: to (?:move|play|find a move|reply|answer|decide|act))?",
        to_move,
    ),
    Pattern(
        r"{side} (?:must|has to|have to|needs to|is the next to) (?:move|find a move|make a move|reply|play a move)(?! to| his| her| the| with| again)",
        must_move,
    ),
    Pattern(r"{side} moves next", to_move),
    Pattern(r"(?:the|it is the) (?:move|turn) (?:is )?{whose}", to_move),
    Pattern(
        r"(?:{side} (?:can|could|may|has|have|will|would)(?: (?:play|go|have|give|try))? )?{move} ,? ?(?:with|giving|and gives|comes with|is played with|coming with) (?:a |an )?(?:immediate )?(?:check)?mate",
        is_mate,
    ),
    Pattern(
        r"{side} (?:can|could|may|has|have|will|would)(?: (?:play|go|have|give|try))? {move} ,? ?(?:with|giving|and gives) (?:a )?check(?! from| by)",
        is_check,
    ),
    Pattern(r"{side} {be} (?:being )?checked(?: by {piece})?", in_check),
    Pattern(r"{side} {be} facing (?:a )?check", in_check),
    Pattern(
        r"(?:there is|we have) (?:a )?check (?:on|to) (?:the board|{whose} king|the king)", is_check
    ),
    Pattern(r"{side} {be} (?:giving|delivering) check", gives_side_check),
    Pattern(r"{whose} {king} (?:is|has been) (?:check)?mated".replace("{king}", "king"), is_mated),
    Pattern(
        r"{side} {have} (?:a |any )?(?:legal )?(?:moves?|way out|answer|defence) (?:left|at all|any more)",
        legal_moves,
    ),
    Pattern(r"{side} {have} run out of (?:legal )?moves", legal_moves, against=True),
    Pattern(
        r"{side} {be} without (?:a |any )?(?:single )?(?:legal )?moves?", legal_moves, against=True
    ),
    Pattern(
        r"{side} can (?:legally )?move(?: anything| at all)?(?! the| his| her| to| on| a )",
        legal_moves,
    ),
    Pattern(r"the game is over", game_over),
    Pattern(
        r"{piece} (?:can|could|is able to|{have} access to|has its eye on going to) ?(?:move|go|step|escape|flee|run|jump|hop|leap|come|travel|head|swing|land|get|retreat|advance|settle|be brought|be played|be moved|be transferred|sidestep)? ?(?:to|into|on|onto|back to)? ?{square}",
        can_go,
    ),
    Pattern(r"{piece} can (?:be reached|reach) {square}", can_go),
    Pattern(r"{piece} can (?:recapture|take back|retake)(?: on {square})?", can_recapture),
    Pattern(
        r"{side} can (?:recapture|take back|retake)(?: on {square})?(?: with (?:the |{own} )?(?P<kind>king|queen|rook|bishop|knight|pawn))?",
        side_recapture,
    ),
    Pattern(
        r"{side} (?:can|could) (?:escape|flee|go|run|step) (?:with the king )?to {square}",
        king_escapes,
    ),
    Pattern(r"{side} (?:must|has to|have to) move (?:the |{own} )?(?P<kind>king)", must_king),
    Pattern(
        r"(?:a |an )(?:beautiful |nice |pretty |lovely )*(?:smothered|back rank|{rank}) mate",
        is_mate,
    ),
    Pattern(r"{piece} (?:is|has been) (?:check)?mated by {piece2}", mated_by),
    Pattern(
        r"{side} can (?:still )?(?:wriggle out|escape|get out of (?:the )?(?:check|mate)|save {own} king)",
        legal_moves,
    ),
    Pattern(r"(?:the )?check (?:comes|is|is given|is coming) (?:from|by) {piece}", check_by),
    Pattern(
        r"{piece} (?:is|are) (?:the )?(?:checking piece|checker|piece giving check|one giving check)",
        check_by,
    ),
    Pattern(
        r"(?:the|{whose}) only (?:legal |possible )?(?:move|reply|answer) is (?:to (?:bring|put|play|move|block with|interpose) )?{piece} to {square}",
        only_legal_is,
    ),
    Pattern(
        r"{piece} (?:can|may|could) (?:(?:step|move|walk|get|run|slip|sidestep|go) (?:out of|away from|out of the way of|aside from|aside out of|from)|sidestep|evade|escape|escape from|avoid|dodge|leave|elude) (?:the |this )?check",
        king_leaves_check,
    ),
    Pattern(
        r"{side} {have} (?:only |just |exactly )?{number} (?:legal )?(?:ways?|moves?|answers?|replies|options|means|possibilities) (?:to|of) (?:answer|meet|parry|escape|get out of|stop|answering|meeting|parrying|escaping|getting out of|deal with|respond to|reply to)(?: (?:it|this|that|the check|check|P.))?",
        ways_out,
    ),
    Pattern(
        r"{side} (?:{have}|can give|could give) (?:a |an )?check (?:on|at) {square}(?: with {piece})?",
        check_on,
    ),
    Pattern(r"(?:oh dear |alas )?(?:check)?mate(?= ?$| [!.:])", called_out),
    Pattern(r"(?:oh dear |alas )?stalemate(?= ?$| [!.:])", called_out),
    Pattern(
        r"there (?:is|are) {number} (?:legal |possible )?(?:ways?|moves?|answers?|replies|reply|responses?)(?: out| (?:to (?:answer|meet|parry|stop|deal with|get out of|escape)) (?:it|this|that|the check|check|P.))",
        one_way_out,
    ),
    Pattern(
        r"{piece} (?:gives|is giving|gave|has given|delivers) (?:a )?check (?:on|from|at) {square}",
        check_from,
    ),
    Pattern(
        r"{side} (?:can|may|could|must|has to|have to) (?:answer|meet|parry|get out of|respond to|deal with) (?:the |this )?check (?:with|by moving|by using|using|by playing) (?:a |the |{own} )?(?P<kind>king|queen|rook|bishop|knight|pawn)(?: moves?)?(?: to {square})?",
        answers_with,
    ),
    Pattern(
        r"(?:the )?only (?:legal )?(?:way|move|answer|reply) (?:to (?:answer|meet|parry|stop|get out of|deal with) (?:the |this )?check )?is (?:to move (?:the |{own} )?(?P<kind>king)|{move}|to (?P<how>block|interpose)(?: (?:it|the check|a piece))?)",
        only_way,
    ),
    Pattern(
        r"{side} (?:mates|gives mate|can mate|delivers mate|checkmates)(?: (?:on the spot|at once|in one|immediately|on the next move))? (?:with|by|by playing) {move}",
        is_mate,
    ),
    Pattern(
        r"(?:every|all|each)(?: of)? (?:{whose} )?legal moves? (?:of {whose} )?(?:is|are) (?:a |by the )?king(?: moves?)?",
        all_king_moves,
    ),
    Pattern(
        r"{piece} {be} in check (?:along|on|down|from along) (?:the |a )?(?:open |long )?(?P<line>rank|file|diagonal)",
        checked_along,
    ),
    Pattern(
        r"{side} (?:can|could|may) (?:interpose|block|put something in between|block the check|interpose something) (?:on|at) {square}(?: with {number} (?:different )?(?:pieces|men))?",
        interposes,
    ),
    Pattern(
        r"{side} (?:can|could|may) (?P<how>capture|take) the (?:checking|attacking) (?:piece|queen|rook|bishop|knight|pawn)",
        can_answer,
    ),
    Pattern(r"{side} {have} the next move(?! of)", to_move),
    Pattern(r"{side} {be} to go(?= ?$| [,.!;])", to_move),
    Pattern(
        r"(?:an? |any )?checks? {be} (?:possible|available|to hand|at hand)(?: (?:for|to) {side})?",
        any_check,
    ),
    Pattern(
        r"(?:an? )?check (?:on|at) {square} {be} (?:possible|available|at {whose} disposal|open to {side})(?: for {side2})?",
        check_there,
    ),
    Pattern(
        r"{side} {be} (?:the (?:one|side|player) )?to (?:make|play) (?:the|{own}) (?:next|N. )?(?:next )?move",
        to_move,
    ),
    Pattern(
        r"{move} {be} (?:a |one |the |an )?(?:possible |legal |valid |permitted |available )(?:answer|reply|response|defence|way out|parry)(?: to (?:the |this )?check)?",
        answers_check,
    ),
    Pattern(
        r"(?:the )?check (?:comes|is given|runs|is coming|was given|is delivered) (?:along|down|on|up|from along|across) (?:the |a )?(?:open |long |half open )*(?:{file}|(?P<line>file|rank|diagonal|{rank}))",
        check_along,
    ),
    Pattern(
        r"(?:{whose}|the) only (?:available |possible |legal )?check is (?:by |with )?{move}",
        only_check,
    ),
    Pattern(r"{move} is (?:{whose}|the) only (?:available |possible |legal )?check", only_check),
    Pattern(r"(?:it is |now )?(?:it )?moves {side}", to_move),
    Pattern(
        r"(?:there is )?(?:no |any |a )?way to (?P<how>block|interpose|capture|take|parry|stop)(?: (?:against|something against))? (?:the |this |that )?(?:check|checking piece|checker)",
        way_to_answer,
    ),
)
