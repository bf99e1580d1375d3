"""Moves that are only mentioned: the board each is possible on."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

import chess

from linewright.expressions import expression
from linewright.inline import Mention
from linewright.lesson import Slip, SlipKind
from linewright.moves import (
    Unresolved,
    WhyNot,
    candidates,
    false_claim,
    likeliest,
    resolve,
    second_leg,
)
from linewright.notation import WrittenMove
from linewright.placing import GrowingTree

Found = tuple[str, chess.Move]
"""The position (FEN) on which a move is possible, and the move."""


def mentioned_move(
    mention: Mention, board: chess.Board, before: Sequence[chess.Board], words: str
) -> tuple[Found | None, list[chess.Board]]:
    """The board and move of a mention: for the side to move, the other side, or after the
    moves mentioned before it in the sentence (`before`).

    `words` are those before it. Returned too: the boards that the next mention of the sentence
    may go on from.
    """
    running = before[-1:]
    boards = [*both_turns(board)]
    side = chess.BLACK if mention.black else _threatener(words, board)
    if side is not None:
        boards.sort(key=lambda b: b.turn != side)
    here = best_fit(mention.written, boards)
    later = best_fit(mention.written, [b for r in running for b in both_turns(r)])
    if found := later or here:
        after = chess.Board(found[0])
        after.push(found[1])
        before = [after]
    return here or later, [*before]


def _turns(mention: Mention, board: chess.Board) -> list[chess.Board]:
    """The board with either side to move, as far as the notation leaves open whose move it is."""
    return [turn for turn in both_turns(board) if not (mention.black and turn.turn)]


def route(mention: Mention, board: chess.Board) -> tuple[str, chess.Move] | None:
    """The second leg of a mentioned route, with the board behind the first."""
    legs = (second_leg(mention.written, turn) for turn in _turns(mention, board))
    return next(((after.fen(), move) for after, move in filter(None, legs)), None)


_THREAT_REACH = 60
_THREAT = expression(
    r"(?:\b(?P<who>white|black)(?:['’]s)?(?:\s+(?:is|are|was|now|also|really|only|main|real|\w+ly))*\s+)?"
    r"\bthreat(?:s|en(?:s|ed|ing)?)?(?:\s+(?:is|was|are|of|to|play|now))*\s+(?:\.\.\.|…)?$",
    re.IGNORECASE,
)
"""What stands right before a move that is threatened."""


def _threatener(words: str, board: chess.Board) -> chess.Color | None:
    """Whose move a threat is ("White threatens Nf6+"): the side's that is named, or the
    side's that is not to move; None where the words speak of no threat."""
    if (found := _THREAT.search(words[-_THREAT_REACH:])) is None:
        return None
    return found["who"].lower() == "white" if found["who"] else not board.turn


def already_shown(mention: Mention, tree: GrowingTree, node: int) -> Found | None:
    """A move of the lesson's tree that reads the same, the current line's latest first."""
    path = tree.path(node)
    rest = [k for k in range(1, len(tree.moves)) if k not in set(path)]
    wanted = mention.written.san.replace("x", "")
    for one in [*reversed(path[1:]), *rest]:
        parent, move = tree.parents[one], tree.moves[one]
        if parent is None or move is None:
            continue
        if tree.sans[one].rstrip("+#").replace("x", "") == wanted:
            return tree.boards[parent].fen(), move
    return None


def impossible_mention(mention: Mention, board: chess.Board) -> Slip:
    """What is wrong with a move mentioned that is possible on no board."""
    turns = _turns(mention, board)
    why = resolve(mention.written, turns[0] if turns else board)
    reason = why.reason if isinstance(why, Unresolved) else ""
    likely: list[str] = []
    for turn in turns:
        likely += [turn.san(m) for m in likeliest(mention.written, turn, most=2)]
    kind = SlipKind.MENTION
    if any(_possible_later(mention.written, turn) for turn in turns):
        kind = SlipKind.MENTION_LATER
    repairs = tuple(dict.fromkeys(likely))[:3]
    return Slip(kind, mention.span, board.fen(), reason, repairs)


def both_turns(board: chess.Board) -> Iterator[chess.Board]:
    """The board as it stands, then with the other side to move unless a king could be taken."""
    yield board
    if not board.is_check():
        other = board.copy(stack=False)
        other.push(chess.Move.null())
        yield other


def best_fit(written: WrittenMove, boards: Sequence[chess.Board]) -> Found | None:
    """The first board on which a written move can be played and takes, checks or mates as its
    notation says, else the first on which it can be played; and the move."""
    fits = [(board, move) for board in boards for move in candidates(written, board)]
    true = (fit for fit in fits if not false_claim(written, *fit))
    board, move = next(true, fits[0] if fits else (None, None))
    return (board.fen(), move) if board and move else None


def _possible_later(written: WrittenMove, board: chess.Board) -> bool:
    """Whether a move becomes possible after one more own move, the other side passing."""
    for first in board.legal_moves:
        after = board.copy(stack=False)
        after.push(first)
        if after.is_check():
            continue
        after.push(chess.Move.null())
        found = resolve(written, after)
        if isinstance(found, chess.Move) or found.why is WhyNot.AMBIGUOUS:
            return True
    return False
