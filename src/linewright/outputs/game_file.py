"""The lesson's moves as a game file (PGN), side lines as variations, words as comments.

Written in the export format of the standard, in UTF-8 where it says ISO 8859-1. Marks and what-if
boards stand in the comments as commands of this project: `[%mark attack:g5-f6,point:d5]` and
`[%board FEN]`. Moves in parentheses behind the last move of a line explain it: a game file has no
side line there, so they are words of its comment, without their marks. Braces in the teacher's
words become parentheses, since the standard has no way to write them in a comment.

Source: Portable Game Notation Specification (1994), sections 7, 8 and 16.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from collections import defaultdict
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from itertools import takewhile

import chess
import chess.pgn

from linewright.inline import Figure, Inline, Link, Mention, Move, Paren, Text
from linewright.lesson import Change, Lesson, Node, PlacedMark
from linewright.names import name_of_line
from linewright.notation import SIGN_NAGS, SUFFIX_NAGS
from linewright.outputs import Artifact, Edition
from linewright.script import Block, BlockKind
from linewright.speech import shown_move

COLUMNS = 79
"""Fewer than 80 characters a line (section 8.2.1)."""

_TOLD = frozenset({BlockKind.PARAGRAPH, BlockKind.ITEM, BlockKind.QUOTE})


def make(edition: Edition) -> tuple[Artifact, ...]:
    """One PGN file with one game."""
    lesson = edition.lesson
    game = game_of(lesson)
    exporter = chess.pgn.StringExporter(columns=None, headers=False)
    text = f"{tag_section(lesson)}\n{filled(game.accept(exporter))}\n\n"
    data = text.encode()
    return (Artifact(f"{edition.base}.pgn", "application/vnd.chess-pgn", data),)


def filled(movetext: str) -> str:
    """Movetext on lines of fewer than 80 characters, as many tokens on each as fit (section 8.2.1).

    A token that begins with a percent sign never begins a line, where it would make the rest of
    the line an escape (section 6).
    """
    lines = [""]
    for token in movetext.split():
        joined = f"{lines[-1]} {token}" if lines[-1] else token
        if len(joined) <= COLUMNS or token.startswith("%") or not lines[-1]:
            lines[-1] = joined
        else:
            lines.append(token)
    return "\n".join(lines)


def game_of(lesson: Lesson) -> chess.pgn.Game:
    """The lesson's tree as a game, with comments and numeric glyphs."""
    game = chess.pgn.Game()
    game.headers["Result"] = lesson.front.result
    start = lesson.tree.nodes[0].board()
    if start.fen() != chess.STARTING_FEN:
        game.setup(start)
    comments, openings = _comments(lesson)
    nodes: dict[int, chess.pgn.GameNode] = {0: game}
    game.comment = comments.get(0, "")
    explained = lesson.tree.explanations()
    for node in lesson.tree.nodes[1:]:
        if node.index in explained:
            continue
        assert node.parent is not None and node.move is not None
        child = nodes[node.parent].add_variation(node.move, comment=comments.get(node.index, ""))
        child.nags.update(
            nag
            for nag in (SUFFIX_NAGS.get(node.suffix), SIGN_NAGS.get(node.sign))
            if nag is not None
        )
        child.starting_comment = openings.get(node.index, "")
        nodes[node.index] = child
    for node in lesson.tree.nodes:
        if node.index not in explained:
            nodes[node.index].variations.sort(key=_place_among(lesson, node))
    return game


def _place_among(lesson: Lesson, node: Node) -> Callable[[chess.pgn.ChildNode], int]:
    """The order of the continuations of a node, as the lesson has them."""
    order = [lesson.tree.nodes[child].move for child in node.children]
    return lambda variation: order.index(variation.move)


def tag_section(lesson: Lesson) -> str:
    """The seven-tag roster in its order, then further tags in ASCII order (section 8.1)."""
    front = lesson.front
    roster = {
        "Event": front.title or "?",
        "Site": front.club or "?",
        "Date": _date(front.date),
        "Round": "-",
        "White": front.white or "?",
        "Black": front.black or "?",
        "Result": front.result,
    }
    further = {"Annotator": front.teacher}
    named = name_of_line(node.board() for node in lesson.tree.told_line())
    if named:
        further |= {"ECO": named.code, "Opening": named.usual}
    start = lesson.tree.nodes[0].fen
    if start != chess.STARTING_FEN:
        further |= {"FEN": start, "SetUp": "1"}
    tags = [*roster.items(), *sorted((k, v) for k, v in further.items() if v)]
    return "".join(f'[{name} "{_quoted(value)}"]\n' for name, value in tags)


def _quoted(value: str) -> str:
    """A string token: escapes, one line, at most 255 characters (section 7.1)."""
    plain = " ".join(value.split())[:255]
    return plain.replace("\\", "\\\\").replace('"', '\\"')


def _date(written: str) -> str:
    match = re.fullmatch(r"(\d{4})(?:[-./](\d{1,2}))?(?:[-./](\d{1,2}))?", written.strip())
    if not match:
        return "????.??.??"
    year, month, day = match.groups()
    return f"{year}.{month.zfill(2) if month else '??'}.{day.zfill(2) if day else '??'}"


def _comments(lesson: Lesson) -> tuple[dict[int, str], dict[int, str]]:
    """The words told at each node, with the commands of marks and imagined boards; and the words
    that lead to the first move of a side line, which stand before it."""
    words: dict[int, list[str]] = defaultdict(list)
    openings: dict[int, list[str]] = defaultdict(list)
    for block in lesson.script.blocks:
        if block.kind in _TOLD:
            for node, text, leads_to in _told(lesson, block):
                told = text
                if leads_to is not None:
                    told, opening = ("", text) if leads_to.returned else _split_sentence(text)
                    openings[leads_to.node].append(opening)
                if told:
                    words[node].append(told)
    commands: dict[int, list[str]] = defaultdict(list)
    explained = lesson.tree.explanations()
    for placed in lesson.marks:
        if placed.node not in explained:
            commands[placed.node].append(_mark_command(placed))
    for step in lesson.steps:
        if step.imagined:
            commands[explained.get(step.after, step.after)].append(f"[%board {step.imagined.fen}]")
    return (
        {
            node: " ".join(filter(None, [_joined(words[node]), *commands[node]]))
            for node in {*words, *commands}
        },
        {node: _joined(texts) for node, texts in openings.items()},
    )


def _joined(texts: Sequence[str]) -> str:
    """Words said at different times as one text: one that breaks off is seen to.

    >>> _joined(["We play", "Back again.", "Now"])
    'We play … Back again. Now'
    """
    out = ""
    for text in filter(None, texts):
        goes_on = out and (out[-1] not in ".!?…”\"'" or text[0].islower())
        out += (" … " if goes_on else " " if out else "") + text
    return out


def _split_sentence(text: str) -> tuple[str, str]:
    """The whole sentences of a text, and the one that is still open at its end."""
    ends = [match.end() for match in re.finditer(r"(?<!\d)[.!?]\s+", text)]
    cut = ends[-1] if ends else 0
    return text[:cut].strip(), text[cut:].strip()


@dataclass(frozen=True, slots=True)
class _SideLine:
    """The first move of a side line that words lead to.

    `returned` if the talk came back to the board the words are said on, after another move there.
    """

    node: int
    returned: bool


def _side_line_after(lesson: Lesson, place: int, end: int) -> _SideLine | None:
    """The side line that the words at a place lead to for the first time, or None.

    Words at the board it begins on may stand in an earlier block: the talk came back to it.
    """
    starts = [step.span.start for step in lesson.steps]
    k = bisect_right(starts, place)
    if k == len(starts):
        return None
    step = lesson.steps[k]
    parent = lesson.tree.nodes[step.after].parent
    if step.change is not Change.MOVE or parent is None:
        return None
    ways = lesson.tree.nodes[parent].children
    told = {earlier.after for earlier in lesson.steps[:k] if earlier.spoken}
    returned = not step.went_elsewhere and not told.isdisjoint(ways)
    if ways[0] == step.after or step.after in told or (starts[k] >= end and not returned):
        return None
    return _SideLine(step.after, returned)


def _mark_command(placed: PlacedMark) -> str:
    mark = placed.mark
    arrow = f"{mark.square}-{mark.to}" if mark.to else mark.square
    return f"[%mark {mark.kind}:{arrow}]"


def _told(lesson: Lesson, block: Block) -> list[tuple[int, str, _SideLine | None]]:
    """Runs of words of a block, each with the node it is said at and the side line it leads to;
    played moves are left out, those that explain the last of a line are words."""
    explained = lesson.tree.explanations()
    runs: list[tuple[int, str, _SideLine | None]] = []
    for place, text in _texts(lesson, _without_label(block), explained):
        node = lesson.at(place).node
        node = explained.get(node, node)
        leads_to = _side_line_after(lesson, place, block.span.end)
        if leads_to is not None and leads_to.node in explained:
            leads_to = None
        if runs and runs[-1][0] == node:
            runs[-1] = (node, runs[-1][1] + text, leads_to)
        else:
            runs.append((node, text, leads_to))
    cleaned = ((node, _clean(text), leads_to) for node, text, leads_to in runs)
    return [one for one in cleaned if any(c.isalnum() for c in one[1])]


def _without_label(block: Block) -> tuple[Inline, ...]:
    """The words of a block; of a box of moves without the words in bold that name it.

    "**Main line.** 1.e4 e5": a heading is no comment on a move. Bold words before others are said.
    """
    label = list(takewhile(lambda one: isinstance(one, Text) and one.style.strong, block.inlines))
    rest = block.inlines[len(label) :]
    words = (one for one in rest if not (isinstance(one, Text) and not one.text.strip()))
    named = block.kind is BlockKind.QUOTE and isinstance(next(words, None), Move)
    return rest if label and named else block.inlines


def _texts(
    lesson: Lesson, inlines: tuple[Inline, ...], explained: Mapping[int, int]
) -> list[tuple[int, str]]:
    out: list[tuple[int, str]] = []
    for inline in inlines:
        match inline:
            case Link():
                out.extend(_texts(lesson, inline.children, explained))
            case Figure() | Paren():
                pass
            case Move() | Mention():
                placed = lesson.move_at(inline.span.start)
                if placed is None or placed.node is None or placed.node in explained:
                    out.append((inline.span.start, shown_move(inline)))
            case _:
                out.append((inline.span.start, inline.text))
    return out


_LEADING = re.compile(r"^[\s,;:.!?)—–-]+(?=\w|$)")


def _clean(text: str) -> str:
    """A comment without braces and the punctuation that belonged to the move before it."""
    plain = text.replace("{", "(").replace("}", ")").replace("\0", "")
    return _LEADING.sub("", " ".join(plain.split())).strip()
