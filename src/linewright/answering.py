"""What the answer of an exercise plays: moves without numbers, and whose they are to teach.

"Nh5" alone answers an exercise as well as "12...Nh5": the board of the exercise says which move it
is. In running text such a move is only mentioned, and the name of a square is no move at all; in
an answer both may be what the students are to find.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

import chess

from linewright.exercise import Passage
from linewright.expressions import expression
from linewright.inline import Mention, Move, Text
from linewright.moves import resolve
from linewright.notation import MOVE, WrittenMove, written
from linewright.placing import ply_of

_OTHERWISE = expression(
    r"\b(?:not?|never|without|after|if|when|because|since|as|instead|than|against|before|prevents?"
    r"|stops?|threat\w*|later|next|then)\b|n['’]t\b",
    re.IGNORECASE,
)
"""Before a move in its sentence these say that it is not the one that answers."""
_SENTENCE = expression(r"[.!?;](?:\s|$)")
_OR = expression(r",?\s+or(?:\s+(?:else|also|even))?\s+[*_`]*$", re.IGNORECASE)
_BEGINS = expression(r"[*_`]*$")
_SQUARE = expression(r"(?<![\w.\-/#@])[a-h][1-8](?!\w)")
_NO_MOVE = expression(r"(?:,|,? and) [a-h][1-8]\b| (?:is|are|was|were|has|as|from|for|on)\b")
"""What stands behind the name of a square that is none but a square."""
_ASKS_SQUARE = expression(r"\b(?:where|squares?|points?)\b", re.IGNORECASE)
_WHY_NOT = expression(
    r"\bwhy\b[^.!?]*?(?:\b(?:not|never|wrong|bad|mistake|blunder|lose\w*|fail\w*|worse"
    r"|impossible)\b|n['’]t\b)|\bwhat(?:['’]s| is| was)?(?: so)? (?:wrong|bad)\b"
    r"|\bwhat (?:happens|would happen|goes wrong)\b",
    re.IGNORECASE,
)


def examines_a_move(question: str) -> bool:
    """Whether a question asks what comes of a move, and not for one: the reply is the lesson.

    >>> examines_a_move("Why does White not take on b4?"), examines_a_move("What happens after g4?")
    (True, True)
    >>> examines_a_move("Which move saves the game, and why?")
    False
    """
    return bool(_WHY_NOT.search(question))


def begins_behind(answer: Passage, task: Passage, before: chess.Board, behind: chess.Board) -> bool:
    """Whether an answer begins behind the moves that a question plays on its own board.

    "What is best after 7.Bb5+ here?" is answered by "7...c6"; "What is wrong with 7.Bb5+?" may be
    by "7.Bb5+ c6 wins a piece", which begins where the question does. `before` is the board of the
    exercise, `behind` the one with the question's moves.
    """
    first = next((each for each in answer.inlines if isinstance(each, Move)), None)
    if first is not None and first.number is not None:
        ply = ply_of(first)
        return ply == behind.ply() != before.ply()
    return not unnumbered(task, answer, before) and bool(unnumbered(task, answer, behind))


def unnumbered(task: Passage, answer: Passage, board: chess.Board) -> tuple[int, ...]:
    """Where in the text of an answer moves stand that are played on the exercise's board without
    a number.

    The first move of the answer is one, where the side to move can play it and its sentence does
    not say otherwise, and so are others offered beside it ("Nh5 or Qb6").
    """
    found: list[int] = []
    for at, move in _moves(answer, bool(_ASKS_SQUARE.search(task.text))):
        before = answer.text[:at]
        if found and not _OR.search(before):
            continue
        said_otherwise = not found and _OTHERWISE.search(_SENTENCE.split(before)[-1])
        if said_otherwise or not isinstance(resolve(move, board), chess.Move):
            return tuple(found)
        found.append(at)
    return tuple(found)


def _moves(answer: Passage, of_squares: bool) -> Iterator[tuple[int, WrittenMove]]:
    """The moves without numbers of an answer up to its first numbered one, with their places:
    pieces' moves, and squares where a move may begin, unless it is squares that are asked for."""
    inside = [inline for inline in answer.inlines if not isinstance(inline, Text)]
    mentions: dict[int, WrittenMove] = {}
    end = len(answer.text)
    for inline in inside:
        at = answer.written.index(inline.span.start)
        if not isinstance(inline, Mention):
            end = at
            break
        mentions[at] = inline.written
    found = dict(mentions)
    for square in () if of_squares else _SQUARE.finditer(answer.text, 0, end):
        before = answer.text[: square.start()]
        begins = _BEGINS.fullmatch(before) or _OR.search(before)
        move = MOVE.match(answer.text, square.start())
        if begins and move and not _NO_MOVE.match(answer.text, square.end()):
            found.setdefault(square.start(), written(move))
    return iter(sorted(found.items(), key=lambda item: item[0]))
