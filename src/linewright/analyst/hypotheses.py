"""Sentences that suppose a move and say what it leads to: "if he takes the pawn, Qa4+ wins the
bishop".

Only sentences without numbered moves: those with them are lines, and looked at as such.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

import chess

from linewright.changed_boards import why_impossible
from linewright.expressions import expression
from linewright.finding import Finding
from linewright.lesson import Lesson
from linewright.moves import MAN, PIECE_TYPES
from linewright.source import Span

_SENTENCE = expression(
    r"\b(?:if|when|should|suppose)\s+"
    r"(?P<who>he|she|they|white|black|(?:your |the )?opponent|you|we|"
    r"(?:the|his|her) (?P<piece>pawn|knight|bishop|rook|queen|king))\s+"
    r"(?:now |then |dares? to |tries to |greedily |simply )*"
    r"(?P<deed>takes?|captures?|grabs?|snatch(?:es)?|plays?|goes|castles|blocks?|interposes?)\b"
    r"(?P<what>[^,.;:!?()\n]{0,60}),\s*"
    r"(?:then |there is |there comes |we have |(?:white|black) has )?"
    r"(?P<then>(?:\.\.\.|…)?[^.;!?()\n]{2,120})",
    re.IGNORECASE,
)
_MOVE = expression(
    r"(?<![\w.-])(?:[KQRBN][a-h]?[1-8]?x?[a-h][1-8]|[a-h]x[a-h][1-8](?:=[QRBN])?|"
    r"[a-h][1-8](?:=[QRBN])?|O-O(?:-O)?)[+#]?(?![\w-])"
)
_NUMBERED = expression(r"\d+\s*(?:\.|…)")
_KIND = r"(?P<kind>pawn|knight|bishop|rook|queen|piece|exchange|material)s?"
_WINS = expression(
    r"^(?:(?P<subject>\w+)\b.{0,20}?)?\b"
    r"(?P<deed>wins?|picks? up|collects?|nets?|regains?|gets? back|gains?|loses?|drops?)\s+"
    r"(?:back )?(?P<won>(?:a|an|the|his|her|two|three)\s+(?:whole |clear |full )?"
    rf"{_KIND})",
    re.IGNORECASE,
)
_FALLS = expression(
    rf"\b(?:the|a|his|her)\s+{_KIND}\s+(?:drops|falls|is lost|is gone|hangs|goes lost)\b",
    re.IGNORECASE,
)
_MATES = expression(
    r"\b(?:is|gives|forces|it is|we have) (?:check)?mate\b|\bmates\b", re.IGNORECASE
)
_TAKER = expression(rf"\bwith (?:the |his |her )?({MAN})\b")
_VICTIM = expression(
    r"\b(?:the|this|that|your|our)\s+(?:[a-h][1-8]?-?\s?)?(pawn|knight|bishop|rook|queen)\b"
)


@dataclass(frozen=True, slots=True)
class Hypothesis:
    """A supposed move and what is said to come of it.

    `board` is the board it is supposed on; `moves` are the moves it may mean; `reply` is the
    answer as it is written, "" if none is named; `won` says what the side that answers is said to
    win ("a piece", "mate", "" if nothing is said), negative in `gains` if it is said to lose it.
    `span` covers the sentence from the supposition on, `told` the words of what comes of it.
    """

    span: Span
    told: Span
    board: chess.Board
    moves: tuple[chess.Move, ...]
    reply: str
    won: str
    gains: bool

    def lines(self) -> Iterator[tuple[chess.Move, ...]]:
        """The supposed moves with the answer, where it can be played after them."""
        for move in self.moves:
            if not self.reply:
                yield (move,)
                continue
            after = self.board.copy(stack=False)
            after.push(move)
            try:
                yield move, after.parse_san(self.reply.rstrip("+#"))
            except ValueError:
                continue


def hypotheses(lesson: Lesson) -> Iterator[Hypothesis]:
    """The suppositions of a lesson that can be understood, in the order of the text."""
    text = lesson.script.source.text
    for found in _SENTENCE.finditer(text):
        if _NUMBERED.search(found[0] + text[found.end() : found.end() + 1]):
            continue
        place = lesson.before(found.start())
        board = chess.Board(place.fen)
        if why_impossible(board) or not _is_mover(found["who"].lower(), board, lesson):
            continue
        moves = tuple(_supposed(board, found["deed"].lower(), found["what"]))
        if found["piece"]:
            kind = PIECE_TYPES[found["piece"].lower()]
            moves = tuple(m for m in moves if board.piece_type_at(m.from_square) == kind)
        if moves:
            yield _read(found, board, moves)


def answers(hypothesis: Hypothesis, span: Span) -> bool:
    """Whether a move mentioned at a place answers the supposition and can be played after it."""
    told = hypothesis.told
    return told.start <= span.start < told.end and any(hypothesis.lines())


def unexplained(lesson: Lesson, findings: Iterator[Finding]) -> Iterator[Finding]:
    """The findings about mentioned moves that no supposition before them explains."""
    supposed = tuple(hypotheses(lesson))
    for finding in findings:
        if not any(answers(hypothesis, finding.span) for hypothesis in supposed):
            yield finding


def _is_mover(who: str, board: chess.Board, lesson: Lesson) -> bool:
    """Whether the words can mean the side to move."""
    if who in {"white", "black"}:
        return board.turn == (who == "white")
    taught = {"White": chess.WHITE, "Black": chess.BLACK}.get(lesson.front.taught or "")
    if taught is None or (who.startswith("the ") and who != "the opponent"):
        return True
    return (board.turn == taught) == (who in {"you", "we"})


def _supposed(board: chess.Board, deed: str, what: str) -> Iterator[chess.Move]:
    """The legal moves the words of a supposition may mean."""
    written = _MOVE.search(what)
    # A square alone is a pawn's move where it is played, and a place where something is taken.
    if written is not None and (len(written[0]) > 2 or deed.startswith("play")):
        try:
            yield board.parse_san(written[0].rstrip("+#"))
        except ValueError:
            return
        return
    if deed == "castles":
        yield from (move for move in board.legal_moves if board.is_castling(move))
        return
    if deed.startswith(("play", "go")):
        return
    words = what.lower()
    taker = _TAKER.search(words)
    if deed.startswith(("block", "interpose")):
        yield from _blocking(board, PIECE_TYPES[taker[1]] if taker else None)
        return
    victim = _VICTIM.search(words[: taker.start()] if taker else words)
    square = re.search(r"\b([a-h][1-8])\b", words)
    file = re.search(r"\b([a-h])-?pawn\b", words)
    for move in board.generate_legal_captures():
        taken = board.piece_type_at(move.to_square) or chess.PAWN
        goal = chess.square_name(move.to_square)
        fits = (
            (not victim or taken == PIECE_TYPES[victim[1]])
            and (not square or goal == square[1])
            and (not file or goal[0] == file[1])
            and (not taker or board.piece_type_at(move.from_square) == PIECE_TYPES[taker[1]])
        )
        if fits:
            yield move


def _blocking(board: chess.Board, kind: chess.PieceType | None) -> Iterator[chess.Move]:
    """The legal moves that step between a checking piece and the king."""
    for move in board.legal_moves if board.is_check() else ():
        mover = board.piece_type_at(move.from_square)
        if mover != chess.KING and not board.is_capture(move) and kind in {None, mover}:
            yield move


def _read(found: re.Match[str], board: chess.Board, moves: tuple[chess.Move, ...]) -> Hypothesis:
    then = found["then"].rstrip()
    start = found.start("then")
    said = then.lstrip(".… ")
    reply = _MOVE.search(said)
    won, gains = _claimed(said, board.turn)
    return Hypothesis(
        Span(found.start(), start + len(then)),
        Span(start, start + len(then)),
        board,
        moves,
        reply[0] if reply else "",
        won,
        gains,
    )


def _claimed(then: str, mover: chess.Color) -> tuple[str, bool]:
    """What is said to be won, and whether the side that answers wins it."""
    if claim := _WINS.search(then):
        loses = claim["deed"].lower().startswith(("lose", "drop"))
        subject = (claim["subject"] or "").lower()
        by_mover = subject in {"he", "she", "they"} or (
            subject in {"white", "black"} and (subject == "white") == mover
        )
        return claim["won"].lower(), loses == by_mover
    if claim := _FALLS.search(then):
        return claim["kind"].lower(), True
    return ("mate", True) if _MATES.search(then) else ("", True)
