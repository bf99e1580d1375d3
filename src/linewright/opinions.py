"""What a lesson says of its moves and positions: signs, and the words that are read as judgments.

Read narrowly: a judgment that is put as a question, under a condition, as somebody else's opinion
or with "not" is left out, and so is one on a board in doubt.
"""

from __future__ import annotations

import re
from bisect import bisect_left
from collections.abc import Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING, TypeVar

import chess

from linewright.expressions import expression
from linewright.forbidding import forbids
from linewright.lesson import Lesson, Node, PlacedMention, PlacedMove
from linewright.notation import MOVE
from linewright.question_marks import may_end_sentence
from linewright.recalling import sentence_around
from linewright.source import Span

if TYPE_CHECKING:
    from linewright.statements import Verdict

Key = str
P = TypeVar("P", PlacedMove, PlacedMention)


def key_of(fen: str) -> Key:
    """A position without its move counters: the same however it was reached.

    Source: FIDE Laws of Chess, article 9.2.2, for what makes two positions the same.

    >>> key_of("8/8/8/8/8/4k3/8/4K3 w - - 12 60")
    '8/8/8/8/8/4k3/8/4K3 w - -'
    """
    return " ".join(fen.split()[:4])


class Worth(StrEnum):
    """What a lesson says a move is worth."""

    BAD = "bad"
    DUBIOUS = "dubious"
    INTERESTING = "interesting"
    GOOD = "good"
    BEST = "the best"
    TAUGHT = "the move to play"
    """Not said: the lesson teaches it as the main move of its side."""


@dataclass(frozen=True, slots=True)
class OfMove:
    """What is said of a move on a board (`fen`); `line` is what led there and the move, in SAN."""

    span: Span
    fen: str
    move: chess.Move
    worth: Worth
    line: str

    @property
    def san(self) -> str:
        """The move in short notation."""
        return chess.Board(self.fen).san(self.move)


@dataclass(frozen=True, slots=True)
class OfPosition:
    """What is said of a position: White stands between `low` and `high`.

    **Units**: 0 equal, 1 a little better, 2 better, 3 and more winning; below 0 for Black. `line`
    is what led there, in SAN.
    """

    span: Span
    fen: str
    low: float
    high: float
    line: str


# --- moves --------------------------------------------------------------------------------------

_SUFFIXES = {
    "??": Worth.BAD, "?": Worth.BAD, "?!": Worth.DUBIOUS, "!?": Worth.INTERESTING,
    "!": Worth.GOOD, "!!": Worth.GOOD,
}  # fmt: skip
"""Source: PGN standard (1994), section 10, numeric annotation glyphs 1 to 6."""

_SAID = {
    **dict.fromkeys(
        ("a mistake", "a blunder", "an error", "bad", "a bad move", "losing", "refuted", "unsound"),
        Worth.BAD,
    ),
    **dict.fromkeys(("dubious", "inaccurate", "an inaccuracy"), Worth.DUBIOUS),
    **dict.fromkeys(("good", "a good move", "strong", "sound"), Worth.GOOD),
    **dict.fromkeys(("best", "the best move", "the strongest"), Worth.BEST),
}
_IS = expression(rf"\b(?:is|was) (?P<how>{'|'.join(sorted(_SAID, key=len, reverse=True))})$", re.I)


def of_moves(lesson: Lesson, verdicts: Sequence[Verdict]) -> Iterator[OfMove]:
    """What a lesson and the answers of its exercises say of moves, by signs and by words.

    In a heard talk `!` and `?` are how it was said, and no signs.
    """
    for told in _told(lesson):
        for placed in () if lesson.front.talk else told.moves:
            worth = _SUFFIXES.get(placed.written.suffix)
            if worth and placed.node is not None and _is_sign(told, placed):
                yield from _of_node(told, told.tree.nodes[placed.node], placed.span, worth)
    for verdict in verdicts:
        found = _IS.search(verdict.statement.words)
        span = verdict.statement.span
        if found and verdict.statement.family == "analysis" and _plainly_said(lesson, span):
            yield from _worded(lesson.told_at(span.start), span, _SAID[found["how"].lower()])


def _is_sign(told: Lesson, placed: PlacedMove) -> bool:
    """Whether the mark behind a move is plainly the teacher's judgment of it.

    Where its sentence ends with a lone mark, that may be how the sentence is said, unless the
    sentence is a line of moves. A mark of praise behind words that forbid the move is none, and
    what others are said to call the move is not the teacher's.
    """
    suffix = placed.written.suffix
    before, _ = sentence_around(told, placed.span)
    if _OTHERS_SAY.search(before) or (suffix in _PRAISES and forbids(before)):
        return False
    text = told.script.source.text
    if len(suffix) > 1 or not may_end_sentence(text[placed.span.end : placed.span.end + _REACH]):
        return True
    return bool(MOVE.search(before)) and not _WORD.search(_MOVES.sub("", before))


_PRAISES = frozenset({"!", "!!", "!?"})
_OTHERS_SAY = expression(
    r"\b(?:books?|people|many|most|some|others?|they|masters?|champions?|theory)\b[^,;:]*"
    r"\b(?:g[ai]ve[sn]?|call(?:s|ed)?|mark(?:s|ed)?|says?|said|thinks?|thought|believed?"
    r"|recommend(?:s|ed)?|praised?|print(?:s|ed)?)\b",
    re.IGNORECASE,
)
_MOVES = expression(rf"(?:\d{{1,3}}\s?(?:\.{{1,3}}|…)\s?)?{MOVE.pattern}|\d{{1,3}}(?:\.{{1,3}}|…)")
_WORD = expression(r"\w")


def _worded(told: Lesson, span: Span, worth: Worth) -> Iterator[OfMove]:
    """What words say of the move they name, or else of the one played last ("that is best")."""
    move = next(iter(_between(told.moves, span.start, span.end)), None)
    mention = next(iter(_between(told.mentions, span.start, span.end)), None)
    place = told.at(span.start)
    if place.imagined is not None:
        return
    if move is not None:
        if move.node is not None:
            yield from _of_node(told, told.tree.nodes[move.node], span, worth)
    elif mention is not None:
        if mention.move is not None and told.tree.nodes[mention.node].fen == mention.fen:
            yield from _of_next(told, told.tree.nodes[mention.node], mention.move, span, worth)
    elif named := MOVE.match(told.script.source.words(span)):
        # a pawn's move without its number is no mention: "h4 is a mistake" could be the square
        here = told.tree.nodes[place.node]
        with suppress(ValueError):
            found = here.board().parse_san(named[0])
            yield from _of_next(told, here, found, span, worth)
    else:
        yield from _of_node(told, told.tree.nodes[place.node], span, worth)


def _of_node(told: Lesson, node: Node, span: Span, worth: Worth) -> Iterator[OfMove]:
    if node.parent is None or node.move is None or not surely_reached(told, node):
        return
    fen = told.tree.nodes[node.parent].fen
    yield OfMove(span, fen, node.move, worth, told.tree.text(node.index))


def _of_next(
    told: Lesson, on: Node, move: chess.Move, span: Span, worth: Worth
) -> Iterator[OfMove]:
    if surely_reached(told, on):
        line = f"{told.tree.text(on.index)} {on.board().san(move)}".strip()
        yield OfMove(span, on.fen, move, worth, line)


def surely_reached(told: Lesson, node: Node) -> bool:
    """Whether a board is as the teacher wrote it: no move to it is a repair or in doubt."""
    return not any(one.assumed or one.doubtful for one in (node, *told.tree.line(node.index)))


# --- positions ----------------------------------------------------------------------------------

_SIGNS = {
    "=": (-0.5, 0.5), "⩲": (0.5, 1.5), "⩱": (-1.5, -0.5), "±": (1.5, 3.0), "∓": (-3.0, -1.5),
    "+-": (3.0, 4.0), "-+": (-4.0, -3.0), "∞": (-1.5, 1.5),
}  # fmt: skip
"""Signs of advantage as ranges. Source: PGN standard (1994), section 10, glyphs 10 to 19."""

_LITTLE = r"(?:slightly|a little|a bit|a touch|a shade|marginally|somewhat|just)"
_SLIGHT = r"(?:slight|small|tiny|little|nagging|lasting|pleasant|comfortable)"
_MUCH = r"(?:much|clearly|considerably|far|simply|completely|objectively|strategically|a lot)"
_GREAT = r"(?:clear|big|large|huge|considerable|overwhelming|serious|stable|permanent|nice)"
_SIDE = r"(?P<side>White|Black|we|you)"
_STANDS = expression(
    rf"^{_SIDE} (?:is|are|stands?) (?:(?P<little>{_LITTLE}) |{_MUCH} )?"
    r"(?P<how>better|worse|winning|losing|lost|won|busted|in trouble|on top|fine|ok|okay|equal)$",
    re.IGNORECASE,
)
_HAS = expression(
    rf"^{_SIDE} (?:has|have) (?:a |an |the |some )?(?:(?P<little>{_SLIGHT}) |{_GREAT} |decisive )*"
    r"(?P<how>advantage|edge|upper hand|plus|winning position|better position|better game|"
    r"better chances|worse position|lost position|superior position)$",
    re.IGNORECASE,
)
_IT_IS = expression(
    r"^(?:the )?(?:position|game|chances) (?:is|are) (?:(?:roughly|about|completely|dynamically"
    r"|totally|objectively|dead) )?(?P<how>equal|level|balanced|even|drawn|a draw|unclear"
    r"|(?:winning|lost|better|fine|good|bad) for (?P<side>White|Black))$",
    re.IGNORECASE,
)
_FOR_THE_SIDE = {
    **dict.fromkeys(("better", "on top", "advantage", "upper hand", "plus"), (1.5, 3.0)),
    **dict.fromkeys(("better position", "better game", "better chances"), (1.5, 3.0)),
    **dict.fromkeys(("superior position", "good"), (1.5, 3.0)),
    **dict.fromkeys(("winning", "won", "winning position"), (3.0, 4.0)),
    **dict.fromkeys(("worse", "worse position", "in trouble", "bad"), (-3.0, -1.5)),
    **dict.fromkeys(("losing", "lost", "busted", "lost position"), (-4.0, -3.0)),
    **dict.fromkeys(("fine", "ok", "okay"), (-0.5, 4.0)),
    "edge": (0.5, 1.5), "unclear": (-1.5, 1.5),
}  # fmt: skip
_EQUAL = (-0.5, 0.5)


def differ(one: OfPosition, other: OfPosition) -> bool:
    """Whether two judgments cannot both be meant: from equal to better, not from equal to a
    little better."""
    return max(one.low, other.low) - min(one.high, other.high) >= 1


def of_positions(lesson: Lesson, verdicts: Sequence[Verdict]) -> Iterator[OfPosition]:
    """What a lesson and the answers of its exercises say of positions: who stands better."""
    for told in _told(lesson):
        for placed in told.moves:
            sign = _SIGNS.get(placed.written.sign)
            node = _node(told, placed)
            if sign and node and surely_reached(told, node):
                yield OfPosition(placed.span, node.fen, *sign, told.tree.text(node.index))
    for verdict in verdicts:
        statement = verdict.statement
        if statement.family != "analysis" or not _plainly_said(lesson, statement.span):
            continue
        told = lesson.told_at(statement.span.start)
        place = told.at(statement.span.start)
        node = told.tree.nodes[place.node]
        reach = _range(statement.words, lesson.front.taught)
        if node.parent is None and not lesson.front.start:
            continue  # before the first move it is said of the opening as a whole
        if reach and place.imagined is None and surely_reached(told, node):
            line = told.tree.text(node.index)
            yield OfPosition(statement.span, node.fen, *reach, line)


def _node(told: Lesson, placed: PlacedMove) -> Node | None:
    return None if placed.node is None else told.tree.nodes[placed.node]


def _range(words: str, taught: str | None) -> tuple[float, float] | None:
    """Where White stands by the words of a statement; None if they say nothing of it.

    >>> _range("Black is better", None), _range("White has a small advantage", None)
    ((-3.0, -1.5), (0.5, 1.5))
    """
    found = _STANDS.search(words) or _HAS.search(words) or _IT_IS.search(words)
    if found is None:
        return None
    said = {name: value.lower() for name, value in found.groupdict().items() if value}
    how = said["how"].split(" for ")[0]
    if how not in _FOR_THE_SIDE:
        return _EQUAL
    low, high = _FOR_THE_SIDE[how]
    if "little" in said and how not in {"fine", "ok", "okay"}:
        low, high = (0.5, 1.5) if low > 0 else (-1.5, -0.5)
    side = said.get("side", "white")
    if side in {"we", "you"}:
        if taught is None:
            return None
        side = taught.lower()
    return (low, high) if side == "white" else (-high, -low)


# --- how it is said -----------------------------------------------------------------------------

_HEDGED = expression(
    r"\b(?:if|unless|when|whenever|until|after|once|otherwise|would|could|might|may|perhaps|maybe"
    r"|should|not|never|no|hardly|cannot|\w+n['’]t|many|most|some|others?|people|books?|they|say|says"
    r"|said|(?<!I )(?<!we )think|thinks|thought|believes?|believed|claims?|claimed|seems?|seemed"
    r"|looks?|looked|almost|nearly|hopes?|wants?|why|whether|as long as|provided|suppose|was|were"
    r"|than|except|only|used to|less)\b",
    re.IGNORECASE,
)
"""Of a judgment in such a sentence it is not certain that it is the teacher's of this board."""
_GOES_ON = expression(r"^ ?(?:[.,;:!)*_—–]|$|(?:and|but|here|now|already|because|since|with)\b)")
_STOP = expression(r"[.!?;](?=[\s\"”’)*_]|$)")
_REACH = 400
"""Characters of a sentence that are looked at before and behind a judgment."""


def _plainly_said(lesson: Lesson, span: Span) -> bool:
    """Whether a judgment is the teacher's own, without condition, of the board at its place."""
    text = lesson.script.source.text
    supposed, before = _clauses_before(text, span)
    behind = text[span.end : span.end + _REACH]
    stop = _STOP.search(behind)
    if stop and stop[0] == "?":
        return False
    rest = behind[: stop.start()] if stop else behind
    if not _GOES_ON.match(" ".join(behind[:20].split("\n"))):
        return False
    if _HEDGED.search(_without_played(lesson, before, span)) or _HEDGED.search(rest):
        return False
    if _SUPPOSES.match(supposed):
        return False
    told = lesson.told_at(span.start)
    begins = span.start - len(before)
    return not _between(told.mentions, begins, span.start)


_SUPPOSES = expression(
    r"\W*(?:(?:now|and|just|but|let us|let['’]s) )*(?:imagine|suppose|assume|picture|pretend|say"
    r"|take away|remove|put|without|if)\b",
    re.IGNORECASE,
)
"""A sentence that changes the board in thought for the one behind it."""


def _clauses_before(text: str, span: Span) -> tuple[str, str]:
    """The sentence before that of a judgment, and the words of its own before it."""
    before = text[max(0, span.start - _REACH) : span.start].rsplit("\n\n", maxsplit=1)[-1]
    ends = [0, 0, *(stop.end() for stop in _SENTENCE_STOP.finditer(before))]
    return before[ends[-2] : ends[-1]], before[ends[-1] :]


def _between(placed: Sequence[P], begins: int, ends: int) -> Sequence[P]:
    """Those of placed moves, in the order of the text, that begin between two places."""
    first = bisect_left(placed, begins, key=lambda one: one.span.start)
    return placed[first : bisect_left(placed, ends, lo=first, key=lambda one: one.span.start)]


_SENTENCE_STOP = expression(r"(?<!\b\d)(?<!\b\d\d)[.!?;:][\"”’)*_]*\s+")


def _without_played(lesson: Lesson, before: str, span: Span) -> str:
    """The words behind the last move that is played before a judgment: what leads to that move
    ("after 9.Nc3", "if 9.Nc3") has come true on the board."""
    begins = span.start - len(before)
    told = lesson.told_at(span.start)
    ends = [one.span.end for one in _between(told.moves, begins, span.start)]
    return before[max(ends, default=begins) - begins :]


def _told(lesson: Lesson) -> Iterator[Lesson]:
    """The lesson, and the answers of its exercises, which are followed on boards of their own."""
    yield lesson
    yield from (exercise.answer for exercise in lesson.exercises)


__all__ = ["OfMove", "OfPosition", "Worth", "differ", "key_of", "of_moves", "of_positions"]
