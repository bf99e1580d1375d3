"""How well a talk was heard: the report of ``hear --json`` held against the truth file.

A move is found when the same move stands in the report on the same position (so a different order
of moves that gives the same board is no fault). What the truth calls `mentioned` need not be found
and does no harm when it is.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, fields
from functools import cache
from typing import Any

import chess
from rapidfuzz.distance import Levenshtein

NEAR_S = 5.0
"""A slip or question belongs to the words it is this near to (seconds)."""

SURE = 0.5
"""A slip less sure than this is a question to the teacher, not an alarm."""

Edge = tuple[str, str]


@dataclass
class Score:
    """Counts that can be added over talks."""

    talks: int = 0
    moves: int = 0
    moves_found: int = 0
    moves_heard: int = 0
    moves_heard_right: int = 0
    lines: int = 0
    lines_whole: int = 0
    branches: int = 0
    branches_right: int = 0
    unspoken: int = 0
    unspoken_right: int = 0
    unspoken_asked: int = 0
    slips: int = 0
    slips_found: int = 0
    slips_meant: int = 0
    false_alarms: int = 0
    boards: int = 0
    boards_right: int = 0
    misheard: int = 0
    changes: int = 0
    changes_right: int = 0
    changes_neutral: int = 0
    questions: int = 0
    faults: list[str] = field(default_factory=list)

    def __add__(self, other: Score) -> Score:
        return Score(
            **{f.name: getattr(self, f.name) + getattr(other, f.name) for f in fields(self)}
        )


def edges(lines: Iterable[dict[str, Any]], kinds: Sequence[str]) -> dict[Edge, dict[str, Any]]:
    """Every move of the lines by the board before it; the prefix of a line counts as its own."""
    found: dict[Edge, dict[str, Any]] = {}
    for line in lines:
        if line["kind"] not in kinds:
            continue
        sans: tuple[str, ...] = ()
        for move in line["moves"]:
            found.setdefault(edge_after(sans, move["san"]), move)
            sans = (*sans, move["san"])
    return found


@cache
def board_after(sans: tuple[str, ...]) -> chess.Board:
    """The board after these moves; never changed by who asks for it."""
    if not sans:
        return chess.Board()
    board = board_after(sans[:-1]).copy(stack=False)
    board.push_san(sans[-1])
    return board


@cache
def edge_after(sans: tuple[str, ...], san: str) -> Edge:
    """The board after these moves and the move from it, as the reference library writes both."""
    board = board_after(sans)
    return board.epd(), board.san(board.parse_san(san))


ALL = ("shown", "supposed", "mentioned")
PLAYED = ("shown", "supposed")


def score(truth: dict[str, Any], heard: dict[str, Any], words: Sequence[Any] = ()) -> Score:
    """The counts for one talk; `words` are the caption words with what was really said."""
    result = Score(talks=1)
    score_moves(result, truth, heard)
    score_branches(result, truth, heard)
    score_unspoken(result, truth, heard)
    score_slips(result, truth, heard)
    score_boards(result, truth, heard)
    if words:
        score_changes(result, words, heard.get("caption_changes", []))
    result.questions = len(heard.get("questions", []))
    result.faults = [f"{truth['talk']}: {fault}" for fault in result.faults]
    return result


def score_moves(result: Score, truth: dict[str, Any], heard: dict[str, Any]) -> None:
    wanted, told = edges(truth["lines"], PLAYED), edges(heard["lines"], PLAYED)
    known, everything = edges(truth["lines"], ALL), edges(heard["lines"], ALL)
    result.moves = len(wanted)
    result.moves_found = sum(1 for edge in wanted if edge in everything)
    result.moves_heard = len(told)
    result.moves_heard_right = sum(1 for edge in told if edge in known)
    boards = {chess.Board().epd(), *(after(edge) for edge in everything)}
    for edge, move in wanted.items():
        if edge not in everything and edge[0] in boards:
            instead = [san for board, san in everything if board == edge[0]]
            result.faults.append(f"missed {place(edge)} {said(move)}, has {instead or 'nothing'}")
    true = {chess.Board().epd(), *(after(edge) for edge in known)}
    for edge, move in told.items():
        if edge not in known and edge[0] in true:
            result.faults.append(f"invented {place(edge)} {said(move)}")
    for line in truth["lines"]:
        if line["kind"] in PLAYED:
            result.lines += 1
            result.lines_whole += all(edge in everything for edge in edges([line], ALL))


@cache
def after(edge: Edge) -> str:
    """The board after a move; faults are listed only where the board before was right."""
    board = chess.Board(edge[0] + " 0 1")
    board.push_san(edge[1])
    return board.epd()


def place(edge: Edge) -> str:
    board = chess.Board(edge[0] + " 0 1")
    return f"{'' if board.turn else '...'}{edge[1]} on {board.board_fen()}"


def said(move: dict[str, Any]) -> str:
    at = move.get("at")
    return f"({'no time' if at is None else f'{at:.1f} s'}, “{move.get('said') or 'not said'}”)"


def score_branches(result: Score, truth: dict[str, Any], heard: dict[str, Any]) -> None:
    """A side line is at the right place when its first move stands on the board it left from."""
    everything = edges(heard["lines"], ALL)
    seen: set[str] = set()
    before: set[Edge] = set()
    for line in truth["lines"]:
        if line["kind"] not in PLAYED:
            continue
        for edge in edges([line], ALL):
            if edge in before:
                continue
            before.add(edge)
            if edge[0] in seen:
                result.branches += 1
                result.branches_right += edge in everything
                if edge not in everything:
                    result.faults.append(f"side line {place(edge)} is not at its place")
            seen.add(edge[0])


def score_unspoken(result: Score, truth: dict[str, Any], heard: dict[str, Any]) -> None:
    everything = edges(heard["lines"], ALL)
    for item in truth["unspoken"]:
        board = chess.Board()
        for san in item["moves"][:-1]:
            board.push_san(san)
        result.unspoken += 1
        if (board.epd(), item["moves"][-1]) in everything:
            result.unspoken_right += 1
        elif any(near(question, item) for question in heard.get("questions", [])):
            result.unspoken_asked += 1
        else:
            result.faults.append(f"unspoken {place((board.epd(), item['moves'][-1]))} not found")


def near(heard: dict[str, Any], wanted: dict[str, Any], within_s: float = 2 * NEAR_S) -> bool:
    """Whether a report's place is that of the truth, by time or, without times, by words or moves."""
    if wanted.get("at") is not None and heard.get("at") is not None:
        return abs(float(heard["at"]) - float(wanted["at"])) <= within_s
    ours, theirs = (
        plain(wanted.get("said") or ""),
        plain(heard.get("said") or heard.get("words") or ""),
    )
    if ours and theirs:
        return ours in theirs or theirs in ours
    return bool(wanted.get("moves")) and heard.get("moves") == wanted["moves"]


def plain(text: str) -> str:
    return re.sub(r"[^a-z0-9 ]", "", text.lower())


def score_slips(result: Score, truth: dict[str, Any], heard: dict[str, Any]) -> None:
    told = [slip for slip in heard.get("slips", []) if slip.get("sure", 1.0) >= SURE]
    used: set[int] = set()
    for wanted in truth["slips"]:
        result.slips += 1
        found = [i for i, slip in enumerate(told) if i not in used and near(slip, wanted, NEAR_S)]
        if not found:
            result.faults.append(f"slip not found {said(wanted)}, meant {wanted['meant']}")
            continue
        best = next((i for i in found if same(told[i]["meant"], wanted["meant"])), found[0])
        used.add(best)
        result.slips_found += 1
        result.slips_meant += same(told[best]["meant"], wanted["meant"])
    for i, slip in enumerate(told):
        if i not in used:
            result.false_alarms += 1
            result.faults.append(
                f"false alarm {said(slip)}, meant {slip.get('meant')}, sure {slip.get('sure')}"
            )


def same(a: str | None, b: str | None) -> bool:
    """Whether two repairs say the same: the move, or at least the square or the side."""
    one, two = (re.sub(r"[+#=!?x]", "", str(text or "")).lower() for text in (a, b))
    return bool(one) and bool(two) and (one == two or one.endswith(two) or two.endswith(one))


def score_boards(result: Score, truth: dict[str, Any], heard: dict[str, Any]) -> None:
    told = heard.get("what_if", [])
    for wanted in truth["what_if"]:
        result.boards += 1
        here = [item for item in told if str(item.get("fen", "")).split(" ")[0] == wanted["board"]]
        result.boards_right += bool(here)
        if not here:
            result.faults.append(f"what-if board {said(wanted)} is not {wanted['board']}")


# --- captions ----------------------------------------------------------------------------------

NUMBERS = {
    "one": "1",
    "two": "2",
    "three": "3",
    "four": "4",
    "five": "5",
    "six": "6",
    "seven": "7",
    "eight": "8",
}


def bare(text: str) -> str:
    """Words without case, punctuation and the way squares are written."""
    words = [NUMBERS.get(w, w) for w in re.sub(r"[^\w' ]", " ", text.lower()).split()]
    return re.sub(r"\b([a-h]) ([1-8])\b", r"\1\2", " ".join(words))


def score_changes(result: Score, words: Sequence[Any], changes: Sequence[dict[str, Any]]) -> None:
    """A change is right when it brings the words nearer to what was really said, word by word, with
    words that were said: f5 for e5 is nearer than "eve five", and wrong."""
    tokens = [
        (index, bare(part)) for index, word in enumerate(words) for part in word.shown.split()
    ]
    result.misheard = sum(
        1 for word in words if bare(word.shown) != bare(word.said) and is_chess(word.said)
    )
    for change in changes:
        result.changes += 1
        was = [bare(part) for part in str(change["was"]).split()]
        found = find(tokens, was, words, change.get("at"))
        if found is None:
            result.faults.append(f"change of words that are not there: {change}")
            continue
        owners = group(words, {tokens[i][0] for i in found})
        really = bare(" ".join(words[i].said for i in owners))
        shown = bare(" ".join(words[i].shown for i in owners))
        now = bare(shown.replace(bare(str(change["was"])), bare(str(change["now"])), 1))
        nearer = Levenshtein.distance(shown.split(), really.split()) - Levenshtein.distance(
            now.split(), really.split()
        )
        if nearer > 0 and set(bare(str(change["now"])).split()) <= set(really.split()):
            result.changes_right += 1
        elif now == shown:
            result.changes_neutral += 1
        else:
            result.faults.append(
                f"wrong correction “{change['was']}” → “{change['now']}”, was “{really}” ({change.get('at')})"
            )


def group(words: Sequence[Any], owners: set[int]) -> list[int]:
    """The words with those that belong to the same error: the later ones have nothing said."""
    first, last = min(owners), max(owners)
    while first > 0 and not words[first].said:
        first -= 1
    while last + 1 < len(words) and not words[last + 1].said:
        last += 1
    return list(range(first, last + 1))


def is_chess(text: str) -> bool:
    """Whether words are a square, a piece or another word of the board."""
    return (
        re.search(
            r"\b[a-h][1-8]\b|knight|bishop|rook|queen|king|pawn|castle|check|takes|\b[a-h]\b",
            text.lower(),
        )
        is not None
    )


def find(
    tokens: Sequence[tuple[int, str]], was: Sequence[str], words: Sequence[Any], at: float | None
) -> range | None:
    """The tokens that a change speaks of: the same words, nearest to its time."""
    hits = [
        range(i, i + len(was))
        for i in range(len(tokens))
        if [t for _, t in tokens[i : i + len(was)]] == list(was)
    ]
    if not hits:
        return None
    return min(hits, key=lambda hit: abs(words[tokens[hit.start][0]].start - (at or 0)))
