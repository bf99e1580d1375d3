"""Ask whether what is said about a board is true: `linewright ask` and `linewright.ask`."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import cache
from typing import Any

import chess

from linewright.expressions import expression
from linewright.judged_place import Judges
from linewright.judging import Fact
from linewright.moves import Unresolved, resolve
from linewright.notation import read_move
from linewright.position.fen import read_fen
from linewright.statements import Link, Verdict, judge

_LINK = expression(r"\[([^\]\n]*)\]\((#[^)\n]*)\)")
_LONE_HALF = expression(r"[\ud800-\udfff]")
"""Half a character, which JSON can hold by its number only."""
_POINT = expression(r"(?:#|,|:)([a-h][1-8])(?!-)")


class UnreadableQuestionError(ValueError):
    """Moves, a position or a side that cannot be read; the message says what and why."""


def ask(
    text: str,
    *,
    moves: str | Sequence[str] | None = None,
    fen: str | None = None,
    taught: str | None = None,
    judges: Judges | None = None,
) -> tuple[Verdict, ...]:
    """The verdicts on the statements of a text about the board after the moves, or at a FEN.

    `taught` ("White" or "Black") is whose side "we" is. A marked link in the text
    (`[this knight](#f6)`) points at its square. Where no `judges` are named, pawn endings are
    judged by tables, and what needs an engine or a collection cannot be told.

    Raises: UnreadableQuestionError where the moves or the FEN are none.

    >>> [(v.verdict, v.because) for v in ask("Black has castled.", moves="1.e4 e5 2.Nf3")]
    [('fails', 'Black has not castled: the king stands on e8')]
    """
    board = read_board(moves, fen)
    plain, links = without_links(text)
    return judge(plain, board, read_side(taught), judges or with_tables(), links)


@cache
def with_tables() -> Judges:
    """Judges without engine or collection: pawn endings are proved by tables, or not told."""
    return Judges(pawn_ending=_proved)


def _proved(board: chess.Board, side: bool | None, result: str) -> Fact | None:
    """What the tables of pawn endings prove of a result, None where they do not reach.

    Cost: the tables of kings and one pawn take some milliseconds, once; larger ones up to a second.
    """
    return _ending_tables()(board, side, result)


@cache
def _ending_tables() -> Callable[[chess.Board, bool | None, str], Fact | None]:
    from linewright.analyst.builtin import BuiltIn
    from linewright.analyst.ending_decider import EndingDecider
    from linewright.analyst.pawn_ending import PawnEndings
    from linewright.analyst.questions import Analyst

    return EndingDecider(PawnEndings(Analyst(BuiltIn())), only_proved=True)


def read_board(moves: str | Sequence[str] | None = None, fen: str | None = None) -> chess.Board:
    """The board after the moves (from the FEN, if there is one), with its moves.

    Raises: UnreadableQuestionError where a move is illegal or the FEN is none.
    """
    try:
        board = read_fen(fen) if fen else chess.Board()
    except ValueError as error:
        raise UnreadableQuestionError(f"'{fen}' is no position: {error}") from error
    written = re.split(r"\s+", moves.strip()) if isinstance(moves, str) else list(moves or [])
    for word in written:
        san = re.sub(r"^\d+\s*(?:\.+|…)?\s*|^(?:\.{2,}|…)", "", str(word)).strip()
        if not san or san in {"1-0", "0-1", "1/2-1/2", "*"}:
            continue
        board.push(_move(board, san))
    return board


def _move(board: chess.Board, san: str) -> chess.Move:
    written = read_move(san)
    found = resolve(written, board) if written else None
    if isinstance(found, chess.Move):
        return found
    try:
        return board.parse_uci(san)
    except ValueError:
        pass
    where = f"{board.fullmove_number}{'.' if board.turn else '...'}"
    why = found.reason if isinstance(found, Unresolved) else "it is no move"
    raise UnreadableQuestionError(f"move {where}{san} cannot be played: {why}")


def read_side(name: str | None) -> chess.Color | None:
    """The side a word means, or None for no side.

    Raises: UnreadableQuestionError for another word.
    """
    word = (name or "").strip().lower()
    if word in {"white", "w"}:
        return chess.WHITE
    if word in {"black", "b"}:
        return chess.BLACK
    if not word:
        return None
    raise UnreadableQuestionError(f"'{name}' is no side: White or Black is meant")


def without_links(text: str) -> tuple[str, list[Link]]:
    """The text with marked links reduced to their words, every word at its old place."""
    links: list[Link] = []

    def blank(match: re.Match[str]) -> str:
        squares = tuple(_POINT.findall(match[2]))
        if squares:
            links.append((match.start(1), match.end(1), squares))
        return f" {match[1]} {' ' * (len(match[2]) + 2)}"

    return _LINK.sub(blank, text), links


def answer_lines(lines: Iterable[str]) -> Iterator[str]:
    """One JSON line for each line of questions, in order; a faulty line is answered with its fault.

    A question is `{"moves": [...] or "fen": "...", "text": "...", "taught": "White"|null}`, an
    answer `{"text": ..., "statements": [{"words", "family", "verdict", "because", "squares"}]}`,
    with `error` beside them where the question could not be read.
    """
    for number, line in enumerate(lines, 1):
        if line.strip():
            told = json.dumps(answer(line, number), ensure_ascii=False)
            yield _LONE_HALF.sub(lambda half: f"\\u{ord(half[0]):04x}", told)


def answer(line: str, number: int = 1) -> dict[str, Any]:
    """The answer to one line of questions."""
    try:
        question = json.loads(line)
    except (ValueError, RecursionError) as error:
        return {"text": "", "statements": [], "error": f"line {number} is no JSON: {error}"}
    if not isinstance(question, dict) or not isinstance(question.get("text"), str):
        return {"text": "", "statements": [], "error": f"line {number} has no text"}
    text, taught = question["text"], question.get("taught")
    moves, fen = question.get("moves"), question.get("fen")
    if not isinstance(moves, (str, list, type(None))) or not isinstance(fen, (str, type(None))):
        return {"text": text, "statements": [], "error": f"line {number}: moves or fen unreadable"}
    if not isinstance(taught, (str, type(None))):
        return {"text": text, "statements": [], "error": f"line {number}: taught unreadable"}
    try:
        verdicts = ask(text, moves=moves, fen=fen, taught=taught)
    except UnreadableQuestionError as error:
        return {"text": text, "statements": [], "error": f"line {number}: {error}"}
    except Exception as error:  # one line's fault must not lose the answers to the others
        fault = f"line {number} could not be judged: {type(error).__name__}: {error}"
        return {"text": text, "statements": [], "error": fault}
    return {"text": text, "statements": [as_record(verdict) for verdict in verdicts]}


def as_record(verdict: Verdict) -> dict[str, Any]:
    """The verdict with the fields of a batch answer."""
    return {
        "words": verdict.statement.words,
        "family": verdict.statement.family,
        "verdict": verdict.verdict,
        "because": verdict.because,
        "squares": list(verdict.squares),
    }
