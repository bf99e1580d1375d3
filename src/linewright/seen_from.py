"""What a man would do from a square that it is only sent to, judged from that square.

"The knight goes to c4, from where it attacks d6", "from c4 the knight looks at d6", "the bishop
comes to b7 and attacks e4 from there" are said of the square named, not of where
the man stands now.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

import chess

from linewright.expressions import expression
from linewright.judged_place import Place
from linewright.moves import PIECE_TYPES
from linewright.statements import Answer, Verdict, judged_at

_MEN = "|".join(PIECE_TYPES)
_JUDGED = frozenset(("attack", "effects", "lines", "powers", "squares", "tactics"))
_THERE_BEFORE = expression(
    r"(?P<square>\b[a-h][1-8])[,.;:]? (?:and |but )?"
    r"(?:(?:from )?(?:where|there)|(?:from|on) which(?: square)?),? $",
    re.IGNORECASE,
)
_FROM_AHEAD = expression(r"from (?P<square>[a-h][1-8]),? ", re.IGNORECASE)
_FROM_BEHIND = expression(r" from (?:there|(?P<square>[a-h][1-8]))\b")
_SQUARES = expression(r"[a-h][1-8]")
_MAN = expression(
    rf"\b(?:(?P<side>white|black)(?:['’]s)? )?(?:[\w-]+ )?(?P<man>{_MEN})\b"
    r"(?: on (?P<on>[a-h][1-8]))?|\b(?P<letter>(?-i:[KQRBN]))[a-h1-8]?x?[a-h][1-8]\b",
    re.IGNORECASE,
)
_SUBJECT = expression(
    rf"(?:(?:it|he|she)\b|(?:the |this |that |his |her |our |my |your |(?:white|black)['’]s )"
    rf"(?:(?:white|black) )?(?:{_MEN})\b(?! on [a-h][1-8])) ?",
    re.IGNORECASE,
)
_IT = expression(r"\b(?:it|him|her)\b", re.IGNORECASE)
_VERB = expression(r"[a-z]+s\b")


@dataclass(frozen=True, slots=True)
class _Sent:
    """A man that is sent somewhere: its kind, whose it is if told, where it stands if told."""

    kind: chess.PieceType
    colour: chess.Color | None
    on: chess.Square | None


def seen_from(text: str, verdict: Verdict, at: Callable[[int], Place | None]) -> Verdict:
    """The verdict judged with the man on the square that its words speak from, if they do."""
    if verdict.statement.family not in _JUDGED:
        return verdict
    named = _square_and_words(text, verdict)
    place = at(verdict.statement.span.start)
    if named is None or place is None:
        return verdict
    before, square, words = named
    men = tuple(_men(before, place, square))
    if not men or square in men:
        return verdict
    verdicts = [again for man in men for again in _judged(verdict, place, man, square, words)]
    holding = (again for again in verdicts if again.answer is Answer.HOLDS)
    return next(holding, verdicts[0] if verdicts else _untold(verdict, square))


def _square_and_words(text: str, verdict: Verdict) -> tuple[str, chess.Square, str] | None:
    """The words that tell of the man, the square it acts from, and what is said of it there."""
    span, words = verdict.statement.span, verdict.statement.words
    before = text[: span.start]
    paragraph = " ".join(before[before.rfind("\n\n") + 1 :].split()) + " "
    if there := _THERE_BEFORE.search(paragraph):
        return paragraph[: there.start()], chess.parse_square(there["square"].lower()), words
    if ahead := _FROM_AHEAD.match(words):
        rest = words[ahead.end() :]
        return f"{paragraph}{rest}", chess.parse_square(ahead["square"].lower()), rest
    behind = _FROM_BEHIND.match(text, span.end)
    if behind is None:
        return None
    sentence = paragraph[max(paragraph.rfind(stop) for stop in (". ", "! ", "? ")) + 1 :]
    square = behind["square"] or next(iter(_SQUARES.findall(sentence)[-1:]), "")
    said = f"{sentence}{words}" if behind["square"] else sentence
    return (said, chess.parse_square(square), words) if square else None


def _men(before: str, place: Place, to: chess.Square) -> Iterator[chess.Square]:
    """Where the man stands that is sent to a square, the likeliest of several first.

    The one that moved last is spoken of rather than one that could go there at once, and that
    rather than another of its kind.
    """
    sent, board = _sent(before, place), place.board
    if sent is None:
        if board.move_stack:
            yield board.peek().to_square
        return
    sides = chess.COLORS if sent.colour is None else (sent.colour,)
    found = [square for side in sides for square in board.pieces(sent.kind, side)]
    if sent.on in found:
        found = [sent.on]
    last = board.peek().to_square if board.move_stack else None
    found.sort(key=lambda man: (man != last, not _reaches(board, man, to)))
    for man in found:
        if board.color_at(to) is not board.color_at(man) or man == to:
            yield man


def _sent(before: str, place: Place) -> _Sent | None:
    """The man that the words before spoke of last, or that the move named last brought."""
    told = next(iter(list(_MAN.finditer(before))[-1:]), None)
    if told is None:
        return None
    if told["letter"]:
        kind = chess.PIECE_SYMBOLS.index(told["letter"].lower())
        return _Sent(kind, None, None)
    side = None if told["side"] is None else told["side"].lower() == "white"
    on = chess.parse_square(told["on"].lower()) if told["on"] else None
    return _Sent(PIECE_TYPES[told["man"].lower()], side, on)


def _reaches(board: chess.Board, man: chess.Square, to: chess.Square) -> bool:
    if board.piece_type_at(man) == chess.PAWN:
        return chess.square_file(man) == chess.square_file(to)
    return to in board.attacks(man)


def _judged(
    verdict: Verdict, place: Place, man: chess.Square, to: chess.Square, words: str
) -> tuple[Verdict, ...]:
    """What the board says to the words with a man put on the square."""
    board = place.board.copy(stack=False)
    piece = board.remove_piece_at(man)
    assert piece is not None
    board.set_piece_at(to, piece)
    colour, kind = chess.COLOR_NAMES[piece.color], chess.piece_name(piece.piece_type)
    name = f"the {colour} {kind} on {chess.square_name(to)}"
    if subject := _SUBJECT.match(words):
        said = f"{name} {words[subject.end() :]}"
    elif _VERB.match(words):
        said = f"{name} {words}"
    else:
        said = _IT.sub(name, words, count=1)
    asked = replace(verdict, statement=replace(verdict.statement, words=said))
    found = judged_at(asked, place.on(board))
    return tuple(replace(again, statement=verdict.statement, repair="") for again in found)


def _untold(verdict: Verdict, square: chess.Square) -> Verdict:
    because = f"it is said of a man on {chess.square_name(square)}, and that is not judged"
    return replace(
        verdict, answer=Answer.CANNOT_TELL, because=because, offer="", repair="", arrows=()
    )
