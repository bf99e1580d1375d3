"""A lesson as the analyst looks at it: which moves it shows, and which of them it teaches."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

import chess

from linewright.analyst.answer import san_line
from linewright.analyst.questions import Soundness, won_points
from linewright.lesson import Lesson, Node
from linewright.source import Span

_IF = re.compile(r"\b(?:if|should|suppose|when|whenever)\b[^.!?;]{0,80}$", re.IGNORECASE)
BAD_SUFFIXES = frozenset({"?", "??", "?!"})


@dataclass(frozen=True, slots=True)
class Shown:
    """A move where the lesson first shows it; `before` is the board it is played on."""

    node: Node
    before: chess.Board
    move: chess.Move
    span: Span

    @property
    def white(self) -> bool:
        """Who makes it."""
        return self.before.turn


def taught_side(lesson: Lesson) -> bool | None:
    """The side the students learn to play, None for both."""
    return {"White": True, "Black": False}.get(lesson.front.taught or "")


def shown_moves(lesson: Lesson) -> Iterator[Shown]:
    """Every move of the lesson where it is first written, repaired slips left out."""
    seen: set[int] = set()
    for placed in lesson.moves:
        if placed.node is None or placed.node in seen:
            continue
        seen.add(placed.node)
        node = lesson.tree.nodes[placed.node]
        if node.move is None or node.parent is None or node.assumed:
            continue
        before = lesson.tree.nodes[node.parent].board()
        yield Shown(node, before, node.move, placed.span)


def is_taught(lesson: Lesson, shown: Shown) -> bool:
    """Whether a move is offered to the students as one to play: made by their side, and neither
    it nor an earlier move of theirs on the line marked as bad."""
    side = taught_side(lesson)
    if side is not None and shown.white != side:
        return False
    line = lesson.tree.line(shown.node.index)
    return not any(node.suffix in BAD_SUFFIXES for node in line if node.white == shown.white)


def is_hypothetical(lesson: Lesson, shown: Shown) -> bool:
    """Whether a move is brought in by the word if (should, suppose, when) in its sentence."""
    return bool(_IF.search(lesson.script.source.text[: shown.span.start][-100:]))


def taught_moves(lesson: Lesson) -> Iterator[Shown]:
    """The moves offered to the students."""
    return (shown for shown in shown_moves(lesson) if is_taught(lesson, shown))


def arrow(uci: str) -> str:
    """A move as evidence draws it.

    >>> arrow("g1f3")
    'g1-f3'
    """
    return f"{uci[:2]}-{uci[2:4]}"


def points_in_words(points: int) -> str:
    """Material as it is said.

    >>> points_in_words(3), points_in_words(1), points_in_words(6)
    ('a piece', 'a pawn', '6 pawns' worth')
    """
    names = {
        1: "a pawn", 2: "two pawns", 3: "a piece", 4: "a piece and a pawn", 5: "a rook",
        9: "the queen",
    }  # fmt: skip
    return names.get(points, f"{points} pawns' worth")


def cost_in_words(soundness: Soundness) -> str:
    """What a bad move costs: mate, material, or a share of the advantage."""
    after = chess.Board(soundness.fen)
    after.push_uci(soundness.move)
    mates = soundness.played_cp < -50_000 <= soundness.best_cp
    if mates:
        return f"allows {_mate(soundness.played_cp)}"
    if soundness.best_cp > 50_000 > soundness.played_cp:
        return f"misses {_mate(soundness.best_cp)}"
    points = won_points(after, soundness.refutation)
    points_before = -won_points(chess.Board(soundness.fen), soundness.instead)
    lost = max(points, 0) + _taken(soundness) * -1
    if min(points, lost) >= 1 and points > points_before:
        return f"loses {points_in_words(min(points, lost))}"
    return f"costs {soundness.loss_cp / 100:.1f} pawns"


def _taken(soundness: Soundness) -> int:
    """What the move itself takes, in pawns."""
    return won_points(chess.Board(soundness.fen), (soundness.move,))


def _mate(worth: int) -> str:
    moves = 100_000 - abs(worth)
    return f"mate in {moves}" if moves else "mate"


def best_move_san(soundness: Soundness) -> str:
    """The better move with its number."""
    return san_line(soundness.fen, soundness.instead, 1)
