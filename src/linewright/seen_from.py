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
_WHOSE = r"(?:(?P<side>white|black)(?:['’]s)? )?"
_MAN = expression(
    rf"\b{_WHOSE}(?:[\w-]+ )?(?P<man>{_MEN})\b"
    r"(?: on (?P<on>[a-h][1-8]))?|\b(?P<letter>(?-i:[KQRBN]))[a-h1-8]?x?[a-h][1-8]\b",
    re.IGNORECASE,
)
_NAMED = expression(
    rf"(?:(?:the|this|that|his|her|our|my|your|its|an?) )?{_WHOSE}"
    rf"(?:(?!and\b|or\b)[\w'’-]+ )?(?:[a-h]-)?(?P<man>{_MEN})\b(?: on (?P<on>[a-h][1-8])\b)? ?",
    re.IGNORECASE,
)
_PRONOUN = expression(r"(?:it|he|she)\b ?", re.IGNORECASE)
_SEVERAL = expression(
    rf"(?:they|these|those|both|all|two|(?:[\w'’-]+ ){{0,3}}(?:{_MEN}|piece)s)\b", re.IGNORECASE
)
_IT = expression(r"\b(?:it|him|her)\b", re.IGNORECASE)
_VERB = expression(r"[a-z]+s\b")


@dataclass(frozen=True, slots=True)
class _Seen:
    """What is said of a square: the words before, the words of the statement, and whether the man
    is spoken of as being there ("where it", "there") and not as acting from there."""

    before: str
    square: chess.Square
    words: str
    there: bool = False


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
    seen = _seen(text, verdict)
    place = at(verdict.statement.span.start)
    if seen is None or place is None:
        return verdict
    if _SEVERAL.match(seen.words):
        return _unless_failed(verdict, seen.square)
    subject = _NAMED.match(seen.words)
    if not (subject or _PRONOUN.match(seen.words) or _VERB.match(seen.words)) or (
        subject and subject["on"] and seen.there
    ):
        if not _IT.search(seen.words):
            return verdict
        subject = None
    told = list(_MAN.finditer(seen.before))
    if subject and seen.there:
        if _IT.search(seen.words, subject.end()):
            subject = None
        elif told and _sent(told[-1]).kind != _sent(subject).kind:
            return _unless_failed(verdict, seen.square)
    sent = _sent(subject) if subject else _sent(told[-1]) if told else None
    if sent is not None and _stands(sent, place.board, seen.square):
        if seen.there:
            return verdict
        return next(iter(_judged(verdict, place, seen.square, seen, subject)), verdict)
    found = [
        again
        for man in _men(sent, place, seen.square)
        for again in _judged(verdict, place, man, seen, subject)
    ]
    if holding := next((again for again in found if again.answer is Answer.HOLDS), None):
        return holding
    sure = subject or len({_sent(one).kind for one in _of_sentence(seen.before)}) == 1
    if found and sure:
        return found[0]
    return _untold(verdict, seen.square) if found else _unless_failed(verdict, seen.square)


def _seen(text: str, verdict: Verdict) -> _Seen | None:
    """The square that a statement is said of, and the words that tell of the man; if any."""
    span, words = verdict.statement.span, verdict.statement.words
    before = text[: span.start]
    paragraph = " ".join(before[before.rfind("\n\n") + 1 :].split()) + " "
    if there := _THERE_BEFORE.search(paragraph):
        square = chess.parse_square(there["square"].lower())
        return _Seen(paragraph[: there.start()], square, words, there=True)
    if ahead := _FROM_AHEAD.match(words):
        return _Seen(paragraph, chess.parse_square(ahead["square"].lower()), words[ahead.end() :])
    behind = _FROM_BEHIND.match(text, span.end)
    if behind is None:
        return None
    sentence = _last_sentence(paragraph)
    name = behind["square"] or next(iter(_SQUARES.findall(sentence)[-1:]), "")
    return _Seen(sentence, chess.parse_square(name), words) if name else None


def _last_sentence(text: str) -> str:
    return text[max(text.rfind(stop) for stop in (". ", "! ", "? ")) + 1 :]


def _of_sentence(before: str) -> list[re.Match[str]]:
    """The men told in the last of the sentences before that tells of any."""
    ended = before.rstrip(" .!?")
    while ended:
        sentence = _last_sentence(ended)
        if found := list(_MAN.finditer(sentence)):
            return found
        ended = ended[: len(ended) - len(sentence)].rstrip(" .!?")
    return []


def _stands(sent: _Sent, board: chess.Board, square: chess.Square) -> bool:
    """Whether a man that may be the one told of stands on the square already."""
    of_side = sent.colour is None or sent.colour is board.color_at(square)
    return board.piece_type_at(square) == sent.kind and of_side


def _men(sent: _Sent | None, place: Place, to: chess.Square) -> Iterator[chess.Square]:
    """Where the man stands that is sent to a square, the likeliest of several first.

    The one that moved last is spoken of rather than one that could go there at once, and that
    rather than another of its kind, which is thought of only where its side is told.
    """
    board = place.board
    last = board.peek().to_square if board.move_stack else None
    if sent is None:
        if last is not None and last != to:
            yield last
        return
    sides = chess.COLORS if sent.colour is None else (sent.colour,)
    found = [square for side in sides for square in board.pieces(sent.kind, side)]
    if sent.on in found:
        found = [sent.on]
    elif sent.colour is None:
        found = [man for man in found if man == last or _reaches(board, man, to)]
    found.sort(key=lambda man: (man != last, not _reaches(board, man, to)))
    for man in found:
        if board.color_at(to) is not board.color_at(man):
            yield man


def _sent(told: re.Match[str]) -> _Sent:
    """The man that words tell of, or that a move brought."""
    words = told.groupdict()
    if words.get("letter"):
        return _Sent(chess.PIECE_SYMBOLS.index(words["letter"].lower()), None, None)
    side = None if words["side"] is None else words["side"].lower() == "white"
    on = chess.parse_square(words["on"].lower()) if words["on"] else None
    return _Sent(PIECE_TYPES[words["man"].lower()], side, on)


def _reaches(board: chess.Board, man: chess.Square, to: chess.Square) -> bool:
    if board.piece_type_at(man) == chess.PAWN:
        return chess.square_file(man) == chess.square_file(to)
    return to in board.attacks(man)


def _judged(
    verdict: Verdict,
    place: Place,
    man: chess.Square,
    seen: _Seen,
    subject: re.Match[str] | None,
) -> tuple[Verdict, ...]:
    """What the board says to the words with a man put on the square."""
    board = place.board.copy(stack=False)
    piece = board.remove_piece_at(man)
    assert piece is not None
    board.set_piece_at(seen.square, piece)
    colour, kind = chess.COLOR_NAMES[piece.color], chess.piece_name(piece.piece_type)
    name = f"the {colour} {kind} on {chess.square_name(seen.square)}"
    words = seen.words
    if told := subject or _PRONOUN.match(words):
        said = f"{name} {words[told.end() :]}"
    elif _VERB.match(words):
        said = f"{name} {words}"
    else:
        said = _IT.sub(name, words, count=1)
    asked = replace(verdict, statement=replace(verdict.statement, words=said))
    found = judged_at(asked, place.on(board))
    return tuple(replace(again, statement=verdict.statement, repair="") for again in found)


def _unless_failed(verdict: Verdict, square: chess.Square) -> Verdict:
    return _untold(verdict, square) if verdict.answer is Answer.FAILS else verdict


def _untold(verdict: Verdict, square: chess.Square) -> Verdict:
    because = f"it is said of a man on {chess.square_name(square)}, and that is not judged"
    return replace(
        verdict, answer=Answer.CANNOT_TELL, because=because, offer="", repair="", arrows=()
    )
