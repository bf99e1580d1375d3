"""Follow a script on the board: `Script` → `Lesson`. Never raises; every fault is a `Slip`.

Where a numbered move belongs: (a) it is the next move of the current line; (b) a move already on
the current line, or a new branch from it, at that number; (c) a move on another line at that
number, latest first, or a new branch there. A move whose number fits the current position but
which is illegal there is a slip, not a branch elsewhere. Floor 2.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from enum import StrEnum

import chess

from linewright.inline import Edits, Figure, Inline, Link, Mark, Mention, Move, Paren, Unreadable
from linewright.moves import Unresolved, WhyNot, label, likeliest, resolve, side_name
from linewright.notation import WrittenMove
from linewright.script import Block, BlockKind, FrontMatter, Script
from linewright.source import NOWHERE, Span
from linewright.textfault import Fault


@dataclass(frozen=True, slots=True, eq=False)
class Node:
    """One position of the lesson's tree.

    `index` and `parent` are places in `Tree.nodes`; `ply` counts half-moves from the initial
    position by the move number (1.e4 is 1, 1...e5 is 2); `fen` is the position after the move;
    `children` in the order they were shown; `suffix` and `sign` as first written; `assumed` if
    the move is a repair of a slip and not what was written.
    """

    index: int
    parent: int | None
    move: chess.Move | None
    san: str
    ply: int
    fen: str
    label: str
    children: tuple[int, ...] = ()
    suffix: str = ""
    sign: str = ""
    assumed: bool = False
    _board: chess.Board = field(default_factory=chess.Board, repr=False)

    def board(self) -> chess.Board:
        """A fresh board with the position after the move."""
        return self._board.copy(stack=False)

    @property
    def white(self) -> bool:
        """Whether White made the move."""
        return not self._board.turn


@dataclass(frozen=True, slots=True, eq=False)
class Tree:
    """All positions of a lesson; node 0 is the start."""

    nodes: tuple[Node, ...]

    def line(self, index: int) -> tuple[Node, ...]:
        """The nodes from the first move to a node, the start left out."""
        out: list[Node] = []
        node = self.nodes[index]
        while node.parent is not None:
            out.append(node)
            node = self.nodes[node.parent]
        return tuple(reversed(out))

    def moves(self, index: int) -> tuple[chess.Move, ...]:
        """The moves from the start to a node."""
        return tuple(node.move for node in self.line(index) if node.move)

    def main_line(self, index: int = 0) -> tuple[Node, ...]:
        """The nodes after a node along first continuations."""
        out: list[Node] = []
        node = self.nodes[index]
        while node.children:
            node = self.nodes[node.children[0]]
            out.append(node)
        return tuple(out)

    def leaves(self) -> tuple[Node, ...]:
        """The nodes at which lines end, in the order they were shown."""
        return tuple(node for node in self.nodes if not node.children and node.parent is not None)

    def text(self, index: int) -> str:
        """The line to a node in SAN with numbers."""
        words = []
        for k, node in enumerate(self.line(index)):
            words.append(node.label if node.white or k == 0 else node.san)
        return " ".join(words)


class Change(StrEnum):
    """What a step does to the board."""

    MOVE = "move"
    RETURN = "return"
    """A side line, a heading's or a quote's excursion closes."""
    WHAT_IF = "what-if"
    RESTORE = "restore"
    """A what-if board gives way to the real one."""


@dataclass(frozen=True, slots=True)
class WhatIfBoard:
    """A changed board that no legal move leads to. `why` says what is impossible about it."""

    span: Span
    fen: str
    base: int
    edits: Edits
    why: str = ""


@dataclass(frozen=True, slots=True)
class Step:
    """One change on the board at one place in the words.

    `before` and `after` are nodes; `base` is the node a move is played from, so that a step with
    ``base != before`` first goes back (or elsewhere). `fen` is the board shown after; `depth` how
    many side lines are open; `spoken` False in headings and quotes.
    """

    span: Span
    change: Change
    before: int
    base: int
    after: int
    fen: str
    depth: int = 0
    spoken: bool = True
    imagined: WhatIfBoard | None = None

    @property
    def went_elsewhere(self) -> bool:
        """Whether the board first leaves the position it stood at."""
        return self.base != self.before


class SlipKind(StrEnum):
    """What does not fit the board."""

    ILLEGAL = "illegal"
    AMBIGUOUS = "ambiguous"
    NUMBER = "number"
    MENTION = "mention"
    MENTION_LATER = "mention-later"
    """Impossible now, possible after another own move or two."""
    UNFOLLOWED = "unfollowed"
    """Comes after an illegal move and cannot be followed."""
    WHAT_IF = "what-if"
    START = "start"


@dataclass(frozen=True, slots=True)
class Slip:
    """What was written does not fit the board. `fen` is the board it was tried on."""

    kind: SlipKind
    span: Span
    fen: str
    reason: str
    repairs: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class PlacedMark:
    """A mark with the words it stands on and the board it is drawn on."""

    span: Span
    words: Span
    mark: Mark
    node: int
    fen: str


@dataclass(frozen=True, slots=True)
class PlacedMention:
    """A move mentioned, with the board it was found possible on (`fen`) and the move, or None."""

    span: Span
    written: WrittenMove
    node: int
    fen: str
    move: chess.Move | None


@dataclass(frozen=True, slots=True)
class PlacedMove:
    """A move as written with the node it became, or None where it was a slip."""

    span: Span
    written: WrittenMove
    node: int | None
    base: int


@dataclass(frozen=True, slots=True)
class Part:
    """A part of the lesson: from a heading to the next.

    `title` is the heading without its move; `key` the node to draw for the part; `start` the node
    at which it begins.
    """

    title: str
    level: int
    span: Span
    start: int
    key: int


@dataclass(frozen=True, slots=True)
class Place:
    """The board at a place in the words."""

    node: int
    fen: str
    imagined: WhatIfBoard | None = None

    def board(self) -> chess.Board:
        """A fresh board."""
        return chess.Board(self.fen)


@dataclass(frozen=True, slots=True)
class Lesson:
    """A script with its boards.

    Steps, marks, mentions, moves and slips are in the order of their places.
    """

    script: Script
    tree: Tree
    steps: tuple[Step, ...]
    moves: tuple[PlacedMove, ...]
    marks: tuple[PlacedMark, ...]
    mentions: tuple[PlacedMention, ...]
    slips: tuple[Slip, ...]
    parts: tuple[Part, ...]
    _starts: tuple[int, ...] = field(init=False, repr=False, compare=False)
    _moves_at: dict[int, PlacedMove] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "_starts", tuple(step.span.start for step in self.steps))
        object.__setattr__(self, "_moves_at", {move.span.start: move for move in self.moves})

    @property
    def front(self) -> FrontMatter:
        """The front matter of the script."""
        return self.script.front

    def at(self, offset: int) -> Place:
        """The board while the character at `offset` is said; a move's own words show it played."""
        found = self.step_at(offset)
        if found is None:
            return Place(0, self.tree.nodes[0].fen)
        return Place(found.after, found.fen, found.imagined)

    def before(self, offset: int) -> Place:
        """The board just before the character at `offset`."""
        return self.at(offset - 1)

    def step_at(self, offset: int) -> Step | None:
        """The last step at or before a place."""
        k = bisect_right(self._starts, offset)
        return self.steps[k - 1] if k else None

    def move_at(self, start: int) -> PlacedMove | None:
        """The move whose words start exactly there."""
        return self._moves_at.get(start)

    def find(self, words: str) -> int | None:
        """The place of a move such as `9.Nc3` or `9...Be7` in the script, of a line of moves, or
        of any words; None if it stands nowhere."""
        wanted = words.replace(" ", "").rstrip("+#!?")
        for move in self.moves:
            if move.node is not None and self.tree.nodes[move.node].label.rstrip("+#") == wanted:
                return move.span.start
        place = self.script.source.text.find(words)
        return place if place >= 0 else None


def follow(script: Script) -> Lesson:
    """The lesson of a script: every move on the board, slips beside it. Never raises."""
    return _Follower(script).run()


def apply_edits(board: chess.Board, edits: Edits) -> tuple[chess.Board, str]:
    """The board with the edits made, and what is impossible about it (empty if nothing).

    Castling rights and en passant squares that no longer fit are dropped.
    """
    why = ""
    out = board.copy(stack=False)
    if edits.fen:
        try:
            out = chess.Board(edits.fen if " " in edits.fen else f"{edits.fen} w - - 0 1")
        except ValueError as error:
            why = f"'{edits.fen}' is no position: {_lower(str(error))}"
    if edits.only:
        for square, piece in out.piece_map().items():
            if piece.symbol().upper() not in edits.only:
                out.remove_piece_at(square)
    for square_name in edits.remove:
        if out.remove_piece_at(chess.parse_square(square_name)) is None and not why:
            why = f"there is nothing on {square_name} to remove"
    for letter, square_name in edits.place:
        out.set_piece_at(chess.parse_square(square_name), chess.Piece.from_symbol(letter))
    if edits.turn:
        out.turn = edits.turn == "white"
    out.castling_rights = out.clean_castling_rights()
    out.ep_square = out.ep_square if out.has_legal_en_passant() else None
    return out, why or why_impossible(out)


def why_impossible(board: chess.Board) -> str:
    """What makes a board no possible board, lower case; empty if nothing.

    Source: FIDE Laws of Chess, articles 2.2 (pieces), 3.9 and 5.1 (the king is never taken).
    """
    status = board.status()
    for side in (chess.WHITE, chess.BLACK):
        kings = len(board.pieces(chess.KING, side))
        if kings != 1:
            return f"{side_name(side)} has {kings or 'no'} king{'s' * (kings > 1)}"
        if len(board.pieces(chess.PAWN, side)) > 8:
            return f"{side_name(side)} has more than eight pawns"
    if status & chess.STATUS_PAWNS_ON_BACKRANK:
        return "a pawn stands on the first or last rank"
    if status & chess.STATUS_OPPOSITE_CHECK:
        other = side_name(not board.turn)
        return f"{other} is in check although it is {side_name(board.turn)}'s move"
    if status & (chess.STATUS_TOO_MANY_WHITE_PIECES | chess.STATUS_TOO_MANY_BLACK_PIECES):
        return "a side has more than sixteen pieces"
    return ""


def _lower(text: str) -> str:
    return text[:1].lower() + text[1:]


_STANDARD_START = chess.STARTING_FEN


class _TreeBuilder:
    """The growing tree; boards are kept, so that going back costs nothing."""

    def __init__(self, start: chess.Board) -> None:
        self.boards = [start]
        self.plies = [start.ply()]
        self.parents: list[int | None] = [None]
        self.moves: list[chess.Move | None] = [None]
        self.sans = [""]
        self.labels = [""]
        self.children: list[list[int]] = [[]]
        self.suffixes = [""]
        self.signs = [""]
        self.assumed = [False]
        self.visited = [0]
        self.clock = 0

    def ply(self, node: int) -> int:
        return self.plies[node]

    def visit(self, node: int) -> int:
        self.clock += 1
        self.visited[node] = self.clock
        return node

    def child(self, node: int, move: chess.Move) -> int | None:
        return next((c for c in self.children[node] if self.moves[c] == move), None)

    def play(self, node: int, move: chess.Move) -> int:
        """The node after a legal move, made if it is new."""
        known = self.child(node, move)
        if known is not None:
            return known
        before = self.boards[node]
        board = before.copy(stack=False)
        san = board.san_and_push(move)
        new = len(self.boards)
        self.boards.append(board)
        self.plies.append(board.ply())
        self.parents.append(node)
        self.moves.append(move)
        self.sans.append(san)
        self.labels.append(label(before, san))
        self.children.append([])
        self.children[node].append(new)
        self.suffixes.append("")
        self.signs.append("")
        self.assumed.append(False)
        self.visited.append(0)
        return new

    def path(self, node: int) -> list[int]:
        """The nodes from the start to this one."""
        out = [node]
        while (parent := self.parents[out[-1]]) is not None:
            out.append(parent)
        return out[::-1]

    def others(self, ply: int, path: Sequence[int]) -> list[int]:
        """Nodes with a ply that are not on the path, latest visited first."""
        on_path = set(path)
        found = [k for k in range(len(self.boards)) if self.ply(k) == ply and k not in on_path]
        return sorted(found, key=self.last_visit, reverse=True)

    def last_visit(self, node: int) -> int:
        return max([self.visited[node], *(self.visited[child] for child in self.children[node])])

    def finished(self) -> Tree:
        return Tree(
            tuple(
                Node(
                    index=k,
                    parent=self.parents[k],
                    move=self.moves[k],
                    san=self.sans[k],
                    ply=self.ply(k),
                    fen=self.boards[k].fen(),
                    label=self.labels[k],
                    children=tuple(self.children[k]),
                    suffix=self.suffixes[k],
                    sign=self.signs[k],
                    assumed=self.assumed[k],
                    _board=self.boards[k],
                )
                for k in range(len(self.boards))
            )
        )


class _Follower:
    """Walks the script once with a board in hand."""

    def __init__(self, script: Script) -> None:
        self.script = script
        self.slips: list[Slip] = []
        self.tree = _TreeBuilder(self.start_board())
        self.node = 0
        self.imagined: WhatIfBoard | None = None
        self.steps: list[Step] = []
        self.moves: list[PlacedMove] = []
        self.marks: list[PlacedMark] = []
        self.mentions: list[PlacedMention] = []
        self.open: list[int] = []
        self.lost: Span | None = None
        self.upcoming: list[Move] = []
        self.spoken = True
        self.mentioned: list[chess.Board] = []

    def start_board(self) -> chess.Board:
        front = self.script.front
        if not front.start:
            return chess.Board()
        span = front.place("start")
        try:
            board = chess.Board(front.start)
        except ValueError as error:
            reason = f"'{front.start}' is no position: {_lower(str(error))}"
        else:
            reason = why_impossible(board)
            if not reason:
                return board
            reason = f"'{front.start}' is not a possible position: {reason}"
        self.slips.append(Slip(SlipKind.START, span, _STANDARD_START, reason))
        return chess.Board()

    def run(self) -> Lesson:
        parts: list[tuple[Block, int]] = []
        for block in self.script.blocks:
            start = self.block(block)
            if block.kind is BlockKind.HEADING:
                parts.append((block, start))
        tree = self.tree.finished()
        return Lesson(
            self.script,
            tree,
            tuple(self.steps),
            tuple(self.moves),
            tuple(self.marks),
            tuple(self.mentions),
            tuple(sorted(self.slips, key=lambda slip: slip.span)),
            tuple(self.parts(parts)),
        )

    def block(self, block: Block) -> int:
        """Follows one block; the node where the board stands after it."""
        self.spoken = block.spoken
        self.lost = None
        self.upcoming = [inline for inline in _walk(block.inlines) if isinstance(inline, Move)]
        here, steps = self.node, len(self.steps)
        self.inlines(block.inlines)
        while self.open:  # unclosed side lines end with their block
            self.close(Span(block.span.end, block.span.end))
        end = Span(block.span.end, block.span.end)
        self.restore(end)
        if block.kind is BlockKind.QUOTE and len(self.steps) > steps:
            self.go(end, Change.RETURN, here)
        return self.node

    def inlines(self, inlines: Sequence[Inline]) -> None:
        for inline in inlines:
            match inline:
                case Move():
                    self.move(inline)
                case Mention():
                    self.mention(inline)
                case Paren():
                    self.paren(inline)
                case Link():
                    self.link(inline)
                case Unreadable():
                    self.lost = self.lost or inline.span
                case Figure():
                    pass
                case _:
                    if _ends_sentence(inline.text):
                        self.mentioned = []

    # Steps

    def go(self, span: Span, change: Change, node: int, base: int | None = None) -> None:
        before = self.node
        self.node = self.tree.visit(node)
        self.imagined = None
        self.mentioned = []
        fen = self.tree.boards[node].fen()
        origin = before if base is None else base
        depth = len(self.open)
        self.steps.append(Step(span, change, before, origin, node, fen, depth, self.spoken))

    def restore(self, span: Span) -> None:
        if self.imagined is not None:
            self.go(span, Change.RESTORE, self.node)

    # Side lines

    def paren(self, paren: Paren) -> None:
        if not paren.partner and not paren.opens:
            return
        if paren.opens:
            self.open.append(self.node)
        elif self.open:
            self.close(paren.span)
        self.lost = None

    def close(self, span: Span) -> None:
        node = self.open.pop()
        if node != self.node or self.imagined is not None:
            self.go(span, Change.RETURN, node)

    # Moves

    def move(self, move: Move) -> None:
        self.upcoming.pop(0)
        base, played = self.place_move(move)
        if isinstance(played, Slip):
            self.slips.append(played)
            assumed = self.assumed_move(move, played)
            self.moves.append(PlacedMove(move.span, move.written, None, base))
            if assumed is None:
                self.lost = self.lost or move.span
                return
            base, played = assumed
            new = self.tree.play(base, played)
            self.tree.assumed[new] = True
        else:
            new = self.tree.play(base, played)
            self.moves.append(PlacedMove(move.span, move.written, new, base))
        self.lost = None
        self.tree.suffixes[new] = self.tree.suffixes[new] or move.written.suffix
        self.tree.signs[new] = self.tree.signs[new] or move.written.sign
        self.go(move.span, Change.MOVE, new, base)

    def place_move(self, move: Move) -> tuple[int, chess.Move | Slip]:
        """The node a written move is played from and the move, or the slip it is."""
        if move.number is None:
            return self.node, self.next_move(move)
        ply = 2 * (move.number - 1) + (1 if move.black else 0)
        here = self.tree.ply(self.node)
        if ply == here:
            found = resolve(move.written, self.tree.boards[self.node])
            if isinstance(found, chess.Move):
                return self.node, found
            if (known := self.known_elsewhere(move, ply)) is not None:
                return known
            lost = self.lost is not None
            return self.node, self.unfollowed(move) if lost else self.slip(move, found)
        if (placed := self.branch(move, ply)) is not None:
            return placed
        return self.node, self.unplaced(move, ply)

    def next_move(self, move: Move) -> chess.Move | Slip:
        board = self.tree.boards[self.node]
        if self.lost is not None:
            return self.unfollowed(move)
        found = resolve(move.written, board)
        return found if isinstance(found, chess.Move) else self.slip(move, found)

    def branch(self, move: Move, ply: int) -> tuple[int, chess.Move] | None:
        """(b) on the current line or from it, then (c) on or from other lines."""
        path = self.tree.path(self.node)
        for node in path:
            if self.tree.ply(node) == ply and node != self.node:
                found = resolve(move.written, self.tree.boards[node])
                if isinstance(found, chess.Move):
                    return node, found
        if (known := self.known_elsewhere(move, ply)) is not None:
            return known
        for node in self.tree.others(ply, path):
            found = resolve(move.written, self.tree.boards[node])
            if isinstance(found, chess.Move):
                return node, found
        return None

    def known_elsewhere(self, move: Move, ply: int) -> tuple[int, chess.Move] | None:
        """A move already shown on another line, the latest first."""
        for node in self.tree.others(ply, self.tree.path(self.node)):
            board = self.tree.boards[node]
            found = resolve(move.written, board)
            if not isinstance(found, chess.Move) or self.tree.child(node, found) is None:
                continue
            if board.is_capture(found) or not move.written.claims_capture:
                return node, found
        return None

    # Slips

    def slip(self, move: Move, why: Unresolved) -> Slip:
        board = self.tree.boards[self.node]
        prefix = self.number_text(move)
        if why.why is WhyNot.AMBIGUOUS:
            repairs = tuple(prefix + board.san(m) for m in why.moves)
            return Slip(SlipKind.AMBIGUOUS, move.span, board.fen(), why.reason, repairs)
        if move.number is not None and (wrong := self.other_side(move)) is not None:
            return wrong
        likely = likeliest(move.written, board, self.following(move))
        repairs = tuple(prefix + board.san(m) + move.written.suffix for m, _ in likely)
        return Slip(SlipKind.ILLEGAL, move.span, board.fen(), why.reason, repairs)

    def other_side(self, move: Move) -> Slip | None:
        """The slip `3.Nf6` for `3...Nf6`: the number fits, the dots name the wrong side."""
        ply = 2 * ((move.number or 1) - 1) + (0 if move.black else 1)
        for node in reversed(self.tree.path(self.node)):
            if self.tree.ply(node) != ply:
                continue
            board = self.tree.boards[node]
            if isinstance(found := resolve(move.written, board), chess.Move):
                fits = label(board, board.san(found))
                side = side_name(board.turn)
                reason = f"it is {side}'s move: written {fits}"
                return Slip(SlipKind.NUMBER, move.span, board.fen(), reason, (fits,))
        return None

    def unplaced(self, move: Move, ply: int) -> Slip:
        """Why no position takes a numbered move: wrong number, or illegal wherever it could be."""
        if self.lost is not None:
            return self.unfollowed(move)
        board = self.tree.boards[self.node]
        found = resolve(move.written, board)
        if isinstance(found, chess.Move):
            fits = label(board, board.san(found)) + move.written.suffix
            given = f"{move.number}{'...' if move.black else '.'}"
            side = side_name(board.turn)
            reason = f"'{given}' cannot be: the next move is {fits} by {side}"
            return Slip(SlipKind.NUMBER, move.span, board.fen(), reason, (fits,))
        if (wrong := self.other_side(move)) is not None:
            return wrong
        return self.illegal_there(move, ply)

    def illegal_there(self, move: Move, ply: int) -> Slip:
        """The slip of a move whose number lies on the current line, or beyond every line."""
        path = self.tree.path(self.node)
        there = [node for node in path if self.tree.ply(node) == ply]
        there += self.tree.others(ply, path)
        if there:
            board = self.tree.boards[there[0]]
            why = resolve(move.written, board)
            reason = why.reason if isinstance(why, Unresolved) else ""
            if isinstance(why, Unresolved) and why.why is WhyNot.AMBIGUOUS:
                repairs = tuple(label(board, board.san(m)) for m in why.moves)
                return Slip(SlipKind.AMBIGUOUS, move.span, board.fen(), reason, repairs)
            likely = likeliest(move.written, board, self.following(move))
            prefix = self.number_text(move)
            repairs = tuple(prefix + board.san(m) + move.written.suffix for m, _ in likely)
            return Slip(SlipKind.ILLEGAL, move.span, board.fen(), reason, repairs)
        board = self.tree.boards[self.node]
        given = f"{move.number}{'...' if move.black else '.'}"
        upcoming = f"{board.fullmove_number}{'.' if board.turn else '...'}"
        reason = f"no line of the lesson reaches '{given}': the next move here is {upcoming}"
        likely = likeliest(move.written, board, self.following(move))
        repairs = tuple(upcoming + board.san(m) for m, _ in likely)
        return Slip(SlipKind.NUMBER, move.span, board.fen(), reason, repairs)

    def unfollowed(self, move: Move) -> Slip:
        assert self.lost is not None
        text = self.script.source.words(self.lost)
        reason = f"it comes after '{text}', which is no legal move there"
        fen = self.tree.boards[self.node].fen()
        return Slip(SlipKind.UNFOLLOWED, move.span, fen, reason)

    def assumed_move(self, move: Move, slip: Slip) -> tuple[int, chess.Move] | None:
        """The repair to go on with, where what follows leaves no real doubt, so that one slip
        does not hide everything after it."""
        board = self.tree.boards[self.node]
        if slip.kind is SlipKind.NUMBER:
            found = resolve(move.written, board)
            if isinstance(found, chess.Move):
                return self.node, found
            return self.other_node(move)
        if slip.kind not in {SlipKind.ILLEGAL, SlipKind.AMBIGUOUS} or slip.fen != board.fen():
            return None
        following = self.following(move)
        likely = likeliest(move.written, board, following, most=12)
        if slip.kind is SlipKind.AMBIGUOUS:
            why = resolve(move.written, board)
            allowed = why.moves if isinstance(why, Unresolved) else ()
            likely = [(m, fits) for m, fits in likely if m in allowed]
        if not likely or not following:
            return None
        best, fits = likely[0]
        return (self.node, best) if fits == len(following) else None

    def other_node(self, move: Move) -> tuple[int, chess.Move] | None:
        for node in reversed(self.tree.path(self.node)):
            found = resolve(move.written, self.tree.boards[node])
            if (
                isinstance(found, chess.Move)
                and self.tree.boards[node].fullmove_number == move.number
            ):
                return node, found
        return None

    def following(self, move: Move) -> list[WrittenMove]:
        """Up to four written moves that go straight on from a move in the same block."""
        out: list[WrittenMove] = []
        black = (
            self.tree.boards[self.node].turn == chess.BLACK if move.black is None else move.black
        )
        number = move.number or self.tree.boards[self.node].fullmove_number
        for upcoming in self.upcoming[:4]:
            number, black = (number, True) if not black else (number + 1, False)
            if upcoming.number is not None and (upcoming.number, upcoming.black) != (number, black):
                break
            out.append(upcoming.written)
        return out

    @staticmethod
    def number_text(move: Move) -> str:
        return "" if move.number is None else f"{move.number}{'...' if move.black else '.'}"

    # Mentions, marks and imagined boards

    def mention(self, mention: Mention) -> None:
        board = chess.Board(self.imagined.fen) if self.imagined else self.tree.boards[self.node]
        found = self.mentioned_move(mention, board)
        if found is None and (known := self.already_shown(mention)) is not None:
            found = known
        if found is None:
            self.impossible_mention(mention, board)
        fen = found[0] if found else board.fen()
        move = found[1] if found else None
        self.mentions.append(PlacedMention(mention.span, mention.written, self.node, fen, move))

    def mentioned_move(self, mention: Mention, board: chess.Board) -> tuple[str, chess.Move] | None:
        """The board and move of a mention: for the side to move, the other side, or after the
        moves mentioned before it in the sentence."""
        running = self.mentioned[-1:]
        boards = [*_both_turns(board)]
        if mention.black:
            boards.sort(key=lambda b: b.turn)
        here = _first_fit(mention.written, boards)
        later = _first_fit(mention.written, [b for r in running for b in _both_turns(r)])
        if found := later or here:
            after = chess.Board(found[0])
            after.push(found[1])
            self.mentioned = [after]
        return here or later

    def already_shown(self, mention: Mention) -> tuple[str, chess.Move] | None:
        """A move of the lesson's tree that reads the same, the current line's latest first."""
        path = self.tree.path(self.node)
        rest = [k for k in range(1, len(self.tree.moves)) if k not in set(path)]
        wanted = mention.written.san.replace("x", "")
        for node in [*reversed(path[1:]), *rest]:
            parent, move = self.tree.parents[node], self.tree.moves[node]
            if parent is None or move is None:
                continue
            if self.tree.sans[node].rstrip("+#").replace("x", "") == wanted:
                return self.tree.boards[parent].fen(), move
        return None

    def impossible_mention(self, mention: Mention, board: chess.Board) -> None:
        why = resolve(mention.written, board)
        reason = why.reason if isinstance(why, Unresolved) else ""
        likely: list[str] = []
        for turn in _both_turns(board):
            likely += [turn.san(m) for m, _ in likeliest(mention.written, turn, most=2)]
        kind = SlipKind.MENTION
        if any(_possible_later(mention.written, turn) for turn in _both_turns(board)):
            kind = SlipKind.MENTION_LATER
        repairs = tuple(dict.fromkeys(likely))[:3]
        self.slips.append(Slip(kind, mention.span, board.fen(), reason, repairs))

    def link(self, link: Link) -> None:
        self.inlines(link.children)
        if link.what_if is not None:
            base = self.tree.boards[self.node]
            board, why = apply_edits(base, link.what_if)
            imagined = WhatIfBoard(link.span, board.fen(), self.node, link.what_if, why)
            if why:
                self.slips.append(Slip(SlipKind.WHAT_IF, link.span, board.fen(), why))
            self.imagine(link.span, imagined)
        fen = self.imagined.fen if self.imagined else self.tree.boards[self.node].fen()
        words = _words_span(link)
        for mark in link.marks:
            self.marks.append(PlacedMark(link.span, words, mark, self.node, fen))

    def imagine(self, span: Span, imagined: WhatIfBoard) -> None:
        """Shows a what-if board from its words on, or from the last move inside them."""
        inside = [step.span.end for step in self.steps[-4:] if step.span.start in span]
        place = Span(max([span.start, *inside]), span.end)
        here, depth = self.node, len(self.open)
        step = Step(place, Change.WHAT_IF, here, here, here, imagined.fen, depth, self.spoken)
        self.steps.append(replace(step, imagined=imagined))
        self.imagined = imagined
        self.mentioned = []

    # Parts

    def parts(self, headings: list[tuple[Block, int]]) -> Iterator[Part]:
        end = len(self.script.source.text)
        for k, (block, start) in enumerate(headings):
            stop = headings[k + 1][0].span.start if k + 1 < len(headings) else end
            span = Span(block.span.start, stop)
            yield Part(heading_title(block), block.level, span, start, self.key_node(span, start))

    def key_node(self, span: Span, start: int) -> int:
        """The last position a part reaches outside side lines, or where it begins."""
        shown = [
            step.after
            for step in self.steps
            if step.span.start in span
            and step.change is Change.MOVE
            and step.spoken
            and not step.depth
        ]
        return shown[-1] if shown else start


def heading_title(block: Block) -> str:
    """The words of a heading without its moves, trimmed of the punctuation that led to them."""
    words = "".join(_text_of(inline) for inline in block.inlines if not isinstance(inline, Move))
    return (
        " ".join(words.split()).strip(" :,–—-")
        or "".join(_text_of(inline) for inline in block.inlines).strip()
    )


def _text_of(inline: Inline) -> str:
    match inline:
        case Move() | Mention():
            return inline.written.text
        case Link():
            return "".join(_text_of(child) for child in inline.children)
        case Paren():
            return "(" if inline.opens else ")"
        case Figure():
            return ""
        case _:
            return inline.text


def _walk(inlines: Sequence[Inline]) -> Iterator[Inline]:
    for inline in inlines:
        yield inline
        if isinstance(inline, Link):
            yield from _walk(inline.children)


def _words_span(link: Link) -> Span:
    """The words of a link without its brackets and address."""
    if not link.children:
        return link.span
    return link.children[0].span.to(link.children[-1].span)


def _ends_sentence(text: str) -> bool:
    return any(mark in text for mark in (". ", "? ", "! ", "; ")) or text.rstrip().endswith(
        (".", "?", "!")
    )


def _both_turns(board: chess.Board) -> Iterator[chess.Board]:
    """The board as it stands, then with the other side to move unless a king could be taken."""
    yield board
    if not board.is_check():
        other = board.copy(stack=False)
        other.push(chess.Move.null())
        yield other


def _first_fit(
    written: WrittenMove, boards: Sequence[chess.Board]
) -> tuple[str, chess.Move] | None:
    """The first board on which a written move can be played, and the move."""
    for board in boards:
        found = resolve(written, board)
        if isinstance(found, Unresolved) and found.why is WhyNot.AMBIGUOUS:
            found = found.moves[0]
        if isinstance(found, chess.Move):
            return board.fen(), found
    return None


def _possible_later(written: WrittenMove, board: chess.Board) -> bool:
    """Whether a move becomes possible after one more own move, the other side passing."""
    for first in board.legal_moves:
        after = board.copy(stack=False)
        after.push(first)
        if after.is_check():
            continue
        after.push(chess.Move.null())
        found = resolve(written, after)
        if isinstance(found, chess.Move) or found.why is WhyNot.AMBIGUOUS:
            return True
    return False


__all__ = [
    "NOWHERE", "Change", "Fault", "Lesson", "Node", "Part", "Place", "PlacedMark", "PlacedMention",
    "PlacedMove", "Slip", "SlipKind", "Step", "Tree", "WhatIfBoard", "apply_edits", "follow",
    "heading_title", "why_impossible",
]  # fmt: skip
