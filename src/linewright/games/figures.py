"""Figures of games: scores as dots with their intervals on a common axis. Returns SVG texts.

Paper and ink, one accent for each side to move; every number stands with what it was counted
from, and nothing is told by colour alone.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from html import escape

import chess

from linewright.drawing import Engraving
from linewright.drawing.palette import BLUE, DAY, INK, PAPER, VERMILLION
from linewright.games.of_lesson import LessonGames
from linewright.games.plans import Happening, Plans
from linewright.games.reach import Reach
from linewright.games.statistics import Proportion, Score, percent
from linewright.games.tally import Tally
from linewright.lesson import Lesson
from linewright.moves import side_name

WIDTH = 480
"""The units of a figure's width: set in a column of 80 mm its letters are still read."""
ROW = 30
LEFT = 84
"""Where moves are written."""
AXIS = (236, 408)
"""Where an axis begins and ends, in the figure's units."""
MOVES = 8
"""Moves shown; the rest are counted in one line."""
CASTLED_ROOKS = {"h1f1", "a1d1", "h8f8", "a8d8"}
CASTLED_KINGS = {"e1g1", "e1c1", "e8g8", "e8c8"}
"""Said already with the castling."""
FONT = "'Libertinus Serif', Georgia, serif"


@dataclass(frozen=True, slots=True)
class _Dot:
    """One row: words, a figure beside them, and a value with its interval on the axis."""

    words: str
    beside: str
    value: float | None
    low: float = 0.0
    high: float = 1.0
    small: bool = False
    after: str = ""


def draw_tally(tally: Tally) -> str:
    """The SVG of a tally: each move's score for the side that plays it."""
    side = side_name(tally.white_to_move)
    shown = tally.moves[:MOVES]
    rows = [_score_row(f"{_label(tally, m.san)}", str(m.share), m.score) for m in shown]
    rest = sum(m.games for m in tally.moves[MOVES:])
    foot = [f"Dot: what {side} scores; line: where the true score lies, 19 times in 20."]
    if any(row.small for row in rows):
        foot.append("Open dot: fewer than 30 games, lean on nothing.")
    if rest:
        foot.append(f"{len(tally.moves) - MOVES} more moves in {rest} games are left out.")
    foot.append(_basis(tally.basis()))
    return _sheet(f"{side} to move", ("games", f"{side} scores"), rows, foot, _colour(side))


def _label(tally: Tally, san: str) -> str:
    number = tally.fen.split()[5]
    return f"{number}{'.' if tally.white_to_move else '…'}{san}"


def _score_row(words: str, beside: str, score: Score) -> _Dot:
    if not score.games:
        return _Dot(words, beside, None, after="no results")
    return _Dot(
        words, beside, score.value, score.low, score.high, score.small, percent(score.value)
    )


def draw_plans(plans: Plans) -> str:
    """The SVG of plans: how often each thing happens in the moves after a position."""
    rows = [_share_row(words, one) for words, one in _happenings(plans)]
    foot = ["Dot: how often it happens; line: where the true share probably lies."]
    if any(row.small for row in rows):
        foot.append("Open dot: fewer than 30 games, lean on nothing.")
    off, on = plans.queens_off_ever, plans.queens_on
    if off is not None and on is not None and off.white.games:
        foot.append(f"White scores {off.white} once the queens are off,")
        foot.append(f"{on} where a queen stays to the end.")
    foot.append(_basis(plans.basis()))
    return _sheet("What happens next", ("", "share of games"), rows, foot, BLUE, left=220)


def _share_row(words: str, one: Happening) -> _Dot:
    share = one.share
    return _Dot(words, "", share.share, share.low, share.high, share.small, share.short)


def _happenings(plans: Plans) -> Iterator[tuple[str, Happening]]:
    """The things that happen most: castling, breaks, queens, where the pieces go."""
    for castling in plans.castling:
        if castling.way != "not" and castling.happening.share.share >= 0.05:
            yield f"{castling.side} castles {castling.way}", castling.happening
    for pawn in plans.breaks[:5]:
        yield f"{pawn.side}: pawn {pawn.from_square}–{pawn.to_square}", pawn.happening
    if plans.queens_off is not None:
        yield "the queens come off", plans.queens_off
    routes = [
        route
        for route in plans.routes
        if route.piece not in "PpKk"
        and route.to_square not in ("", route.from_square)
        and f"{route.from_square}{route.to_square}" not in CASTLED_ROOKS
    ]
    for route in sorted(routes, key=lambda r: -r.happening.share.count)[:6]:
        piece = chess.Piece.from_symbol(route.piece)
        name = chess.piece_name(piece.piece_type)
        side = side_name(piece.color)
        yield f"{side}: {name} {route.from_square} to {route.to_square}", route.happening


def draw_reach(reach: Reach) -> str:
    """The SVG of a reach: what is unanswered, by its weight, and how long games stay inside."""
    rows = [
        _Dot(
            one.label,
            f"after {one.after.replace('...', '…') or 'the start'}",
            one.weight,
            one.weight * _ratio(one.share.low, one.share),
            min(1.0, one.weight * _ratio(one.share.high, one.share)),
            one.share.small,
            percent(one.weight),
        )
        for one in reach.unanswered[:MOVES]
    ]
    inside = f"{percent(reach.inside)} of the games stay in the lesson to the end of a line"
    foot = [f"{inside} ({percent(reach.low)} to {percent(reach.high)})."]
    if reach.half_way is not None:
        moves = (reach.half_way + 1) // 2
        foot.append(
            f"Half of the games have left it within {moves} move{'s' * (moves != 1)} "
            f"from {reach.line or 'the start'}."
        )
    if reach.rare:
        foot.append(f"Hardly met, though answered: {', '.join(r.label for r in reach.rare[:4])}.")
    foot.append("Dot: share of the games that leave by this reply; open dot: fewer than 30 games.")
    foot.append(_basis(reach.basis()))
    heads = ("", "share of games from the start")
    return _sheet("Replies the lesson does not answer", heads, rows, foot, VERMILLION)


def _ratio(end: float, share: Proportion) -> float:
    return end / share.share if share.share else 0.0


def _colour(side: str) -> str:
    return BLUE if side == "White" else VERMILLION


def _basis(text: str) -> str:
    return f"Counted: {text}."


def _folded(text: str, width: int = 75) -> list[str]:
    lines = [""]
    for word in text.split():
        if lines[-1] and len(lines[-1]) + len(word) + 1 > width:
            lines.append("")
        lines[-1] = f"{lines[-1]} {word}".strip()
    return lines


# --- setting ------------------------------------------------------------------------------------


def _sheet(
    title: str,
    heads: tuple[str, str],
    rows: Sequence[_Dot],
    foot: Iterable[str],
    colour: str,
    left: int = LEFT,
) -> str:
    notes = [line for told in foot for line in _folded(told)]
    top = 64
    bottom = top + ROW * max(len(rows), 1)
    height = bottom + 30 + 18 * len(notes) + 8
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {height}" '
        f'width="{WIDTH}" height="{height}" font-family="{FONT}" font-size="16" fill="{INK}">',
        f'<rect width="{WIDTH}" height="{height}" fill="{PAPER}"/>',
        _text(16, 26, title, size=18, weight="bold"),
        _text(left, 50, heads[0], colour=DAY.quiet, size=14),
        _text(AXIS[0], 50, heads[1], colour=DAY.quiet, size=14),
        *_axis(top, bottom),
    ]
    for index, row in enumerate(rows):
        parts += _row(row, top + ROW * index + ROW // 2, colour, left)
    if not rows:
        parts.append(_text(16, top + 20, "nothing to show", colour=DAY.quiet))
    for index, line in enumerate(notes):
        parts.append(_text(16, bottom + 42 + 18 * index, line, colour=DAY.quiet, size=13.5))
    return "".join(parts) + "</svg>"


def _axis(top: int, bottom: int) -> Iterator[str]:
    for hundredths in (0, 25, 50, 75, 100):
        x = _at(hundredths / 100)
        dash = "" if hundredths in (0, 50, 100) else ' stroke-dasharray="2 4"'
        wide = 1.2 if hundredths == 50 else 0.8
        yield (
            f'<path d="M{x:.1f} {top}V{bottom}" stroke="{DAY.edge}" stroke-width="{wide}"{dash}/>'
        )
        yield _text(x, bottom + 16, f"{hundredths}", anchor="middle", colour=DAY.quiet, size=12)
    yield _text(AXIS[1] + 16, bottom + 16, "%", colour=DAY.quiet, size=12)


def _row(row: _Dot, y: int, colour: str, left: int) -> Iterator[str]:
    yield _text(16, y + 5, row.words)
    if row.beside:
        yield _text(left, y + 5, row.beside, colour=DAY.quiet, size=14)
    if row.value is None:
        yield _text(AXIS[0] + 8, y + 5, row.after, colour=DAY.quiet, size=14)
        return
    low, high, at = _at(row.low), _at(row.high), _at(row.value)
    yield (
        f'<path d="M{low:.1f} {y}H{high:.1f}M{low:.1f} {y - 4}V{y + 4}M{high:.1f} {y - 4}V{y + 4}" '
        f'stroke="{INK}" stroke-width="1.6" fill="none"/>'
    )
    fill = PAPER if row.small else colour
    dot = f'cx="{at:.1f}" cy="{y}" r="5.5" fill="{fill}"'
    yield f'<circle {dot} stroke="{INK}" stroke-width="1.6"/>'
    yield _text(AXIS[1] + 16, y + 5, row.after, size=14)


def _at(value: float) -> float:
    return AXIS[0] + (AXIS[1] - AXIS[0]) * value


def _text(
    x: float,
    y: float,
    words: str,
    *,
    size: float = 16,
    colour: str = INK,
    anchor: str = "start",
    weight: str = "normal",
) -> str:
    place = f'x="{x:.1f}" y="{y:.1f}" font-size="{size}" fill="{colour}"'
    style = f' text-anchor="{anchor}"' if anchor != "start" else ""
    bold = f' font-weight="{weight}"' if weight != "normal" else ""
    return f"<text {place}{style}{bold}>{escape(words)}</text>"


# --- in words, and for a lesson -------------------------------------------------------------------


def tally_engraving(tally: Tally) -> Engraving:
    """The figure of a tally with the same in words."""
    side = side_name(tally.white_to_move)
    moves = "; ".join(f"{m.san} in {m.share}, {side} scores {m.score}" for m in tally.moves[:MOVES])
    words = f"{side} to move, {tally.basis()}: {moves or 'nobody came here'}"
    return Engraving(draw_tally(tally), words) if tally.games else Engraving("", words + ".")


def plans_engraving(plans: Plans) -> Engraving:
    """The figure of plans with the same in words."""
    told = "; ".join(f"{words}: {one.share}" for words, one in _happenings(plans))
    words = f"What happens next, {plans.basis()}: {told or 'nobody came here'}"
    return Engraving(draw_plans(plans), words) if plans.games else Engraving("", words + ".")


def reach_engraving(reach: Reach | None) -> Engraving:
    """The figure of a reach with the same in words."""
    if reach is None:
        why = "The lesson does not say whom it is for, so its reach cannot be measured."
        return Engraving("", why)
    if not reach.games:
        return Engraving("", f"{reach.no_games[:1].upper()}{reach.no_games[1:]}.")
    replies = "; ".join(
        f"{one.label}, {percent(one.weight)} of the games" for one in reach.unanswered[:MOVES]
    )
    stays = f"{percent(reach.inside)} of the games stay in the lesson"
    words = f"{stays}, {reach.basis()}. Replies it does not answer: {replies or 'none'}"
    return Engraving(draw_reach(reach), words)


def engravings(lesson: Lesson, games: LessonGames) -> dict[int, Engraving]:
    """The figures of games a lesson asks for, by the place of their span."""
    from linewright.inline import Figure

    made: dict[int, Engraving] = {}
    for block in lesson.script.blocks:
        for inline in block.inlines:
            if isinstance(inline, Figure):
                board = chess.Board(lesson.at(inline.span.start).fen)
                if inline.kind == "tally":
                    made[inline.span.start] = tally_engraving(games.tally(board))
                elif inline.kind == "plans":
                    made[inline.span.start] = plans_engraving(games.plans(board))
                elif inline.kind == "reach":
                    made[inline.span.start] = reach_engraving(games.reach())
    return made
