"""The figures a lesson asks for, drawn from their records.

A figure whose data is missing becomes a sentence that says why. Students are not told it where the
games are missing: that is the teacher's matter (`figure-without-games`, and the proof sheet).
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from html import escape
from typing import TYPE_CHECKING, Any

from linewright.drawing import Engraving, board_svg, board_words, squares_of
from linewright.drawing.palette import INK
from linewright.inline import OF_GAMES
from linewright.lesson import Lesson, Node
from linewright.moves import side_name
from linewright.set_blocks import Drawing, spelt
from linewright.typography import curled_text

if TYPE_CHECKING:
    from linewright.analyst.pawn_ending import PawnEnding, Verdict


def _on_paper(fen: str, imagined: bool) -> str:
    return board_svg(fen, imagined=imagined, words="")


MISSING = {
    "tally": "No games are at hand for this lesson, so there is no tally to print.",
    "plans": "No games are at hand for this lesson, so there are no plans to print.",
    "reach": "No games are at hand for this lesson, so its reach cannot be measured.",
    "pawn-ending": "No board of kings and pawns stands here, so there is no pawn ending to judge.",
}


UNJUDGED = "This pawn ending has not been judged, so there is no verdict."

BoardDrawer = Callable[[str, bool], str]
"""Draws a position in FEN, imagined or not, in the manner of the output that prints it."""


def plate_of(
    drawing: Drawing, record: Any, lesson: Lesson, draw: BoardDrawer = _on_paper
) -> Engraving:
    """The picture of a figure, from its record where it needs one."""
    if isinstance(record, Engraving):
        return record
    if drawing.kind == "tree":
        return tree_engraving(lesson, drawing.node)
    if drawing.kind == "pawn-ending" and record is not None:
        return ending_engraving(record, drawing.imagined, draw)
    if drawing.kind == "pawn-ending" and set(squares_of(drawing.fen).values()) <= set("KPkp"):
        words = board_words(drawing.fen, imagined=drawing.imagined)
        return Engraving(draw(drawing.fen, drawing.imagined), words, (UNJUDGED,))
    return Engraving("", MISSING.get(drawing.kind, f"‘{drawing.kind}’ cannot be drawn here."))


def is_for_students(drawing: Drawing, made: Engraving) -> bool:
    """Whether what was made of a figure is printed for students."""
    return bool(made.svg) or drawing.kind not in OF_GAMES


# --- a pawn ending and what it is worth -------------------------------------------------------


def ending_engraving(
    ending: PawnEnding, imagined: bool = False, draw: BoardDrawer = _on_paper
) -> Engraving:
    """The board of a pawn ending, with the verdict for either side to move below it."""
    verdicts = [verdict for verdict in (ending.here, ending.other) if verdict is not None]
    notes = tuple(_verdict_words(verdict) for verdict in verdicts)
    return Engraving(draw(ending.fen, imagined), board_words(ending.fen, imagined=imagined), notes)


def _verdict_words(verdict: Verdict) -> str:
    mover = side_name(verdict.fen.split()[1] == "w")
    told = [f"{mover} to move: {verdict.result.words}"]
    if verdict.reason:
        told.append(f", {verdict.reason}")
    told.append(". ")
    if verdict.text:
        told.append(f"{verdict.text.replace('...', '…')}. ")
    if verdict.holding is not None and len(verdict.holding) == 1:
        told.append(f"Only {verdict.holding[0]} holds. ")
    told.append(_decided_by(verdict))
    return curled_text("".join(told))


def _decided_by(verdict: Verdict) -> str:
    """Who says so and how surely: "Proved by pawn tables."."""
    how = f"{verdict.certainty[:1].upper()}{verdict.certainty[1:]}"
    if not verdict.depth:
        return f"{how} by {verdict.engine}."
    return f"{how}, by {verdict.engine} at depth {verdict.depth} ({verdict.nodes:,} positions)."


# --- the tree of lines ------------------------------------------------------------------------

WIDTH = 640
TEXT = 21
ROW = 30
STEP = 26
"""The tree's width, the size of its letters, the height of a row, the depth of a side line."""


def tree_engraving(lesson: Lesson, node: int = 0) -> Engraving:
    """The lines the lesson shows from a position, side lines hung below the move they leave.

    From the start where the lesson shows nothing after the position.
    """
    nodes = lesson.tree.nodes
    start = nodes[node] if nodes[node].children else nodes[0]
    if not start.children:
        return Engraving("", "The lesson shows no moves, so there is no tree to print.")
    rows = list(_rows(lesson, start))
    words = "; ".join(" ".join(row.lines) for row in rows)
    return Engraving(_tree_svg(rows), f"Lines of the lesson: {words}.")


class _Row:
    """One row of the tree as it is set: its text in lines, and how deep it hangs.

    `parent` is the row it hangs on; one that `goes_on` with that row's line stands below the side
    lines that leave it.
    """

    __slots__ = ("depth", "goes_on", "lines", "main", "parent", "top")

    def __init__(self, depth: int, lines: list[str], parent: int | None, goes_on: bool) -> None:
        self.depth = depth
        self.lines = lines
        self.parent = parent
        self.goes_on = goes_on
        self.main = depth == 0
        self.top = 0


def _rows(lesson: Lesson, start: Node) -> Iterator[_Row]:
    """The rows of the tree: a line is cut behind each move that others are shown in place of, so
    that these hang where they leave it."""
    nodes = lesson.tree.nodes
    first = start.children[0]
    waiting: list[tuple[list[Node], int, int | None, bool]]
    waiting = [([nodes[first], *lesson.tree.main_line(first)], 0, None, False)]
    at, count = 0, 0
    while waiting:
        run, depth, parent, goes_on = waiting.pop()
        rivals = [_rivals(lesson, node) for node in run]
        cut = next((k for k, others in enumerate(rivals) if others), len(run) - 1)
        room = (WIDTH - STEP * min(depth, 8) - 24) / (TEXT * 0.5)
        row = _Row(min(depth, 8), _wrapped(run[: cut + 1], int(room)), parent, goes_on)
        row.top = at
        at += ROW * len(row.lines) + 8
        if rest := run[cut + 1 :]:
            waiting.append((rest, depth, count, True))
        for other in reversed(rivals[cut]):
            line = [nodes[other], *lesson.tree.main_line(other)]
            waiting.append((line, depth + 1, count, False))
        count += 1
        yield row


def _rivals(lesson: Lesson, node: Node) -> tuple[int, ...]:
    """The moves shown in place of the main one after a position."""
    assert node.parent is not None
    ways = lesson.tree.nodes[node.parent].children
    return ways[1:] if ways[0] == node.index else ()


def _wrapped(run: list[Node], room: int) -> list[str]:
    lines = [""]
    for k, node in enumerate(run):
        word = spelt(node) if node.white or k == 0 else node.san + node.suffix
        if lines[-1] and len(lines[-1]) + 1 + len(word) > room:
            lines.append("")
        lines[-1] = f"{lines[-1]} {word}".strip()
    return lines


def _tree_svg(rows: list[_Row]) -> str:
    height = rows[-1].top + ROW * len(rows[-1].lines) + 6
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {height}" width="{WIDTH}"'
        f' height="{height}" aria-hidden="true" font-family="Libertinus Serif, Georgia, serif"'
        f' font-size="{TEXT}" fill="{INK}">'
    ]
    for k, row in enumerate(rows):
        x, y = 20 + STEP * row.depth, row.top + 22
        parts.append(_stem(rows, k))
        parts.append(f'<circle cx="{x - 9}" cy="{y - 7}" r="{4 if row.main else 3}"/>')
        weight = ' font-weight="bold"' if row.main else ""
        for i, line in enumerate(row.lines):
            parts.append(f'<text x="{x}" y="{y + ROW * i}"{weight}>{escape(line)}</text>')
    return "".join(parts) + "</svg>"


def _stem(rows: list[_Row], k: int) -> str:
    """The line from a row up to the one it leaves, or goes on with."""
    row = rows[k]
    if row.parent is None:
        return ""
    above, y = rows[row.parent].top + 20, row.top + 15
    x = 11 + STEP * (row.depth if row.goes_on else row.depth - 1)
    across = "" if row.goes_on else f"H{x + STEP}"
    return f'<path d="M{x} {above}V{y}{across}" fill="none" stroke="{INK}" stroke-width="1.2"/>'
