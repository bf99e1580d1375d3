"""Follow a script on the board: `Script` → `Lesson`. Never raises; every fault is a `Slip`.

Where a move belongs is `placing`'s, what was meant by one that fits nowhere is `mending`'s. Where
one repair is likelier than all others the rest is followed after it, so that one slip does not
hide what comes after it; else the text is lost until a move finds its place again, and what is
said meanwhile is in doubt.
"""

from __future__ import annotations

import re
from collections import deque
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import chess

from linewright.ahead import Events, known_moves
from linewright.answering import begins_behind, examines_a_move, unnumbered
from linewright.changed_boards import apply_edits, game_over, why_no_start
from linewright.exercise import ExerciseText, Passage
from linewright.expressions import expression
from linewright.forbidding import forbids, sentence_end, sets_beside, shows_why
from linewright.headings import heading_title
from linewright.inline import (
    Figure,
    Inline,
    Link,
    Mention,
    Move,
    Paren,
    Text,
    Unreadable,
    scan,
)
from linewright.lesson import (
    Change,
    Lesson,
    Node,
    Part,
    PlacedExercise,
    PlacedMark,
    PlacedMention,
    PlacedMove,
    Slip,
    SlipKind,
    Step,
    Tree,
    WhatIfBoard,
)
from linewright.mark_boards import on_their_boards
from linewright.mending import (
    Known,
    Passed,
    Repair,
    Slipped,
    earlier_repair,
    follows_better,
    goes_on,
    misfitting,
    repairs,
    repairs_of_text,
)
from linewright.mentioned import (
    Found,
    already_shown,
    best_fit,
    both_turns,
    impossible_mention,
    mentioned_move,
    route,
)
from linewright.moves import (
    Unresolved,
    WhyNot,
    likeliest,
    may_have_led_to,
    resolve,
    side_name,
)
from linewright.notation import no_castling
from linewright.placing import NEVER, GrowingTree, Walk, number_text, ply_of
from linewright.putting_back import put_back
from linewright.referring import (
    names_its_line,
    names_its_rival,
    sentence_begins,
    tells_of_another_lesson,
)
from linewright.script import Block, BlockKind, FrontMatter, Script
from linewright.source import Span
from linewright.trunk import OnMainLine, Ranks, on_the_main_line, ranks_of

_SENTENCE_BEFORE = expression(r"[.!?:;][*_)\"”]*(?:\]\([^)]*\))?\s*$")
"""What ends a sentence before words, in a link or outside."""


def follow(script: Script) -> Lesson:
    """The lesson of a script: every move on the board, slips beside it. Never raises.

    A legal move that nothing after it follows from may turn out to be the wrong one only later:
    then the script is followed once more with that move mended.
    """
    return _settled(lambda settled: _Follower(script, settled))


def _settled(follower: Callable[[Mapping[int, Repair]], _Follower]) -> Lesson:
    settled: dict[int, Repair] = {}
    while True:
        try:
            return follower(settled).run()
        except _Earlier as earlier:
            settled = {**settled, id(earlier.move): earlier.repair}


_APART = re.compile(
    r"[.!?;:()\n>]|(?i:\b(?:lines?|variations?|main|instead|after|back|than|like|as|same|transpos\w+|again"
    r"|before|when|where|while|game|or|if|in|order)\b)"
)
"""What stands between two moves where the second may be of another line than the first."""


_TELLING = 3
"""So many words between two moves tell how the line goes on; fewer ("and") may list two lines."""


_FAR_BETTER = 2
"""So many more moves must fit the main line for a part to begin there without a word of it."""


_SENTENCE_REACH = 300
"""So many characters before a move can belong to its sentence."""


_MOST_AGAIN = 4
"""How often at most a script is followed once more."""


class _Earlier(Exception):  # noqa: N818
    """A move before the slip at hand is the wrong one."""

    def __init__(self, move: Move, repair: Repair) -> None:
        super().__init__()
        self.move = move
        self.repair = repair


_STANDARD_START = chess.STARTING_FEN


def _finished(tree: GrowingTree, ranks: Ranks) -> Tree:
    return Tree(
        tuple(
            Node(
                index=k,
                parent=tree.parents[k],
                move=tree.moves[k],
                san=tree.sans[k],
                ply=tree.ply(k),
                fen=tree.fen(k),
                label=tree.labels[k],
                children=tuple(sorted(tree.children[k], key=ranks.order.__getitem__)),
                suffix=tree.suffixes[k],
                sign=tree.signs[k],
                assumed=tree.assumed[k],
                doubtful=tree.doubtful[k],
                aside=k > 0 and tree.told[k] == NEVER,
                settled=k in ranks.settled,
                _board=tree.boards[k],
            )
            for k in range(len(tree.boards))
        )
    )


@dataclass(frozen=True, slots=True)
class _From:
    """Where a question or an answer begins: a tree, the node in it, the moves of the script, and
    the slip after which the board is lost."""

    tree: GrowingTree
    node: int
    known: Known
    lost_at: Span | None = None

    def copy(self) -> _From:
        """The same with a tree to be grown on its own."""
        return replace(self, tree=self.tree.copy())


LESSON, EXERCISE, OWN_BOARD = "the lesson", "the exercise", "the exercise's own board"
"""Whose lines the moves of a text are looked for on, as a finding names it."""


def _same_men(one: chess.Board, other: chess.Board) -> bool:
    """Whether two boards look the same and have the same side to move."""
    return one.board_fen() == other.board_fen() and one.turn == other.turn


def _line_of(lesson: Lesson, node: int, known: Known, lost_at: Span | None) -> _From:
    """Where an answer begins: nothing but the line to a node, its signs left out.

    `lost_at` is the slip after which the text was lost before the question already, if it was.
    """
    tree, at = GrowingTree(lesson.tree.nodes[0].board()), 0
    for one in lesson.tree.line(node):
        if one.move:
            at = tree.play(at, one.move)
            tree.assumed[at], tree.doubtful[at] = one.assumed, one.doubtful
    lost = lesson.lost[-1] if lesson.lost else None
    if lost is None or lost.end < len(lesson.script.source.text):
        return _From(tree, at, known)
    own = (slip.span for slip in lesson.slips if slip.span.start == lost.start)
    return _From(tree, at, known, next(own, lost_at))


@dataclass(frozen=True, slots=True)
class _Planned:
    """What a repair has already settled of a move still to come."""

    base: int
    move: chess.Move
    sure: bool


@dataclass(frozen=True, slots=True)
class _Beside:
    """A move that the words forbid (`node`), and where the line goes on (`home`).

    `depth` is how many side lines are open there, `set_beside` if it only stands beside the played
    move, `marked` if it has a `?` or `!`.
    """

    node: int
    home: int
    depth: int
    set_beside: bool
    marked: bool


class _Follower:
    """Walks the script once with a board in hand."""

    def __init__(
        self,
        script: Script,
        settled: Mapping[int, Repair],
        begins: _From | None = None,
        whose: str = LESSON,
        afresh: frozenset[int] = frozenset(),
    ) -> None:
        self.script = script
        self.afresh = afresh
        self.whose = whose
        self.settled = settled
        self.passed: deque[Passed] = deque(maxlen=8)
        self.slips: list[Slip] = []
        self.tree = begins.tree if begins else GrowingTree(self.start_board())
        self.walk = Walk(self.tree)
        self.exercises: list[PlacedExercise] = []
        self.imagined: WhatIfBoard | None = None
        self.steps: list[Step] = []
        self.moves: list[PlacedMove] = []
        self.marks: list[PlacedMark] = []
        self.mentions: list[PlacedMention] = []
        self.lost_at: Span | None = None
        self.lost: list[Span] = []
        self.unclosed: list[Span] = []
        self.unclosed_at: Span | None = None
        self.events = Events(script)
        self.known = known_moves(self.events.all)
        self.planned: dict[int, _Planned] = {}
        self.shift = (0, 0)
        self.spoken = True
        self.mentioned: list[chess.Board] = []
        self.beside: _Beside | None = None
        self.referred: Move | None = None
        self.elsewhere: list[Span] = []
        self.behind_start = self.moves_behind_start()
        self.block_start = 0
        self.part_start = 0
        self.begun = begins.node if begins else 0
        if begins:
            self.begin(begins)

    def begin(self, begins: _From) -> None:
        """Stands where a question or an answer begins."""
        start = self.script.blocks[0].span.start if self.script.blocks else 0
        self.go(Span(start, start), Change.RETURN, begins.node)
        self.known |= begins.known
        if begins.lost_at:
            self.lose(begins.lost_at)

    @property
    def node(self) -> int:
        return self.walk.node

    @property
    def open(self) -> list[int]:
        return self.walk.open

    def start_board(self) -> chess.Board:
        front = self.script.front
        if not front.start:
            return chess.Board()
        reason = why_no_start(front.start)
        if not reason:
            return chess.Board(front.start)
        reason = f"'{front.start}' is no position: {reason}"
        self.slips.append(Slip(SlipKind.START, front.place("start"), _STANDARD_START, reason))
        return chess.Board()

    def run(self) -> Lesson:
        parts: list[tuple[Block, int]] = []
        for block in self.script.blocks:
            start = self.block(block)
            if block.kind is BlockKind.HEADING:
                parts.append((block, start))
        end = Span(len(self.script.source.text), len(self.script.source.text))
        self.found(end)
        self.closed(end)
        tree = _finished(self.tree, self.ranks())
        return Lesson(
            self.script,
            tree,
            tuple(self.steps),
            tuple(self.moves),
            tuple(on_their_boards(self.script.source, self.marks, self.steps)),
            tuple(self.mentions),
            tuple(sorted(self.slips_but_of(parts), key=lambda slip: slip.span)),
            tuple(self.parts(parts, tree)),
            tuple(self.lost),
            tuple(self.exercises),
            tuple(self.unclosed),
            tuple(self.elsewhere),
        )

    def block(self, block: Block) -> int:
        """Follows one block; the node where the board stands after it."""
        if block.exercise:
            self.exercises.append(self.exercise(block.span, block.exercise))
        self.spoken = block.spoken
        here, steps = self.node, len(self.steps)
        end = Span(block.span.end, block.span.end)
        self.block_start = block.span.start
        if block.kind is BlockKind.HEADING:
            self.part_start = block.span.end
        known = len(self.tree.moves)
        self.inlines(block.inlines)
        self.leave_forbidden(end.start, same_sentence=False)
        while self.open:  # unclosed side lines end with their block
            self.close(end)
        self.unclosed_at = self.unclosed_at or _first_unclosed(block)
        self.restore(end)
        if block.kind is BlockKind.QUOTE and len(self.steps) > steps:
            self.go(end, Change.RETURN, here)
            self.found(end)
        elif self.only_recalls(block, here, known):
            self.go(end, Change.RETURN, here)
        return self.node

    def only_recalls(self, block: Block, here: int, known: int) -> bool:
        """Whether an item of a list names no move that is new (the `known` were there before it),
        and nothing goes on from it: "1. Play 3...e6 at once" among the last words of a lesson."""
        if block.kind is not BlockKind.ITEM or self.node == here or self.script.front.talk:
            return False
        recalls = len(self.tree.moves) == known and self.tree.children[self.node]
        return bool(recalls) and self.better_from(here, block.span.end) >= 0

    # Exercises

    def exercise(self, span: Span, text: ExerciseText) -> PlacedExercise:
        """An exercise, its question read at this place of the lesson, its answer from its board."""
        if text.fen and (wrong := why_no_start(text.fen)):
            return self.boardless(span, text, wrong)
        task, own_board = self.question(text)
        last = task.at(len(self.script.source.text)).node
        shown, behind = (task.tree.nodes[k].board() for k in (0 if own_board else last, last))
        if own_board and not begins_behind(text.answer, text.task, shown, behind):
            last = 0
        begins = _line_of(task, last, self.known, self.lost_at)
        board = begins.tree.boards[begins.node]
        own = self.with_start(text) if own_board else self.script.front
        played = unnumbered(text.task, text.answer, board)
        passage = text.answer
        if played:
            passage = replace(passage, inlines=scan(passage.written, [], played))
        afresh = frozenset(passage.written.offset(at) for at in played)
        learns = board.turn != examines_a_move(text.task.text)
        script = self.passage(text, passage, replace(own, taught=side_name(learns)))
        whose = OWN_BOARD if own_board else EXERCISE
        answer = _settled(lambda settled: _Follower(script, settled, begins.copy(), whose, afresh))
        return PlacedExercise(span, shown.fen(), task, answer)

    def boardless(self, span: Span, text: ExerciseText, wrong: str) -> PlacedExercise:
        """An exercise whose own board cannot be: its moves are not looked at."""
        empty = _Follower(replace(self.script, blocks=(), faults=()), {}).run()
        slip = Slip(SlipKind.START, text.fen_place, _STANDARD_START, wrong)
        return PlacedExercise(
            span, self.tree.fen(self.node), replace(empty, slips=(slip,)), replace(empty, slips=())
        )

    def question(self, text: ExerciseText) -> tuple[Lesson, bool]:
        """The question of an exercise, and whether it begins on a board of its own.

        The moves of one with such a board may name it as a board of the lesson: "after 22...Ka5".
        """
        if not text.fen:
            return self.question_here(text), False
        script = self.passage(text, text.task, self.with_start(text))
        own = _settled(lambda settled: _Follower(script, settled, whose=OWN_BOARD))
        moves = any(isinstance(inline, Move) for inline in text.task.inlines)
        if own.slips or (moves and not own.moves):
            here = self.question_here(text)
            board = here.tree.nodes[here.at(len(self.script.source.text)).node].board()
            if not here.slips and _same_men(board, chess.Board(text.fen)):
                return here, False
        return own, True

    def question_here(self, text: ExerciseText) -> Lesson:
        """The question read at this place of the lesson."""
        script = self.passage(text, text.task, self.script.front)
        begins = _From(self.tree, self.question_begins(text), self.known, self.lost_at)
        return _settled(lambda settled: _Follower(script, settled, begins.copy()))

    def question_begins(self, text: ExerciseText) -> int:
        """The node a question is read from: where the lesson stands, or where its first move is
        played on the main line, if that is named: "White has just played 8.e5 in the main line"."""
        first = next((one for one in text.task.inlines if isinstance(one, Move)), None)
        if first is None or not _ON_THE_MAIN_LINE.search(text.task.text):
            return self.node
        for node, way in pairwise(self.main_line()):
            found = resolve(first.written, self.tree.boards[node])
            if self.tree.ply(node) == ply_of(first) and found == self.tree.moves[way]:
                return node
        return self.node

    def main_line(self) -> list[int]:
        """The nodes of the main line from the start, as far as the script has been followed."""
        ranks, out = self.ranks(), [0]
        while ways := self.tree.children[out[-1]]:
            out.append(min(ways, key=ranks.order.__getitem__))
        return out

    def ranks(self) -> Ranks:
        """Which continuations are the main ones, as far as the script has been followed."""
        outside = [s for s in self.steps if s.change is Change.MOVE and not s.depth]
        return ranks_of(self.script, outside, self.tree)

    def with_start(self, text: ExerciseText) -> FrontMatter:
        """The front matter with the exercise's own board as start."""
        return replace(self.script.front, start=text.fen, places=(("start", text.fen_place),))

    def passage(self, text: ExerciseText, passage: Passage, front: FrontMatter) -> Script:
        """A question or an answer as a script in the same source."""
        block = Block(BlockKind.PARAGRAPH, passage.span, passage.inlines)
        faults = tuple(f for f in text.faults if f.span.start in passage.span)
        return Script(self.script.source, front, (block,) if passage.inlines else (), faults)

    def inlines(self, inlines: Sequence[Inline]) -> None:
        for at, inline in enumerate(inlines):
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
                    self.unreadable(inline)
                case Figure():
                    pass
                case _:
                    self.words_behind_forbidden(inline)
                    self.words_that_put_back(inlines, at)
                    if _ends_sentence(inline.text):
                        self.mentioned = []

    # Steps

    def go(self, span: Span, change: Change, node: int, base: int | None = None) -> None:
        before = self.node
        self.walk.node = self.tree.visit(node)
        self.imagined = None
        self.mentioned = []
        fen = self.tree.fen(node)
        origin = before if base is None else base
        depth = len(self.open)
        self.steps.append(Step(span, change, before, origin, node, fen, depth, self.spoken))

    def restore(self, span: Span) -> None:
        if self.imagined is not None:
            self.go(span, Change.RESTORE, self.node)

    def words_that_put_back(self, inlines: Sequence[Inline], at: int) -> None:
        """The real board again where words put back what the imagined one left out."""
        if self.imagined is None or self.imagined.edits.place or self.imagined.edits.fen:
            return
        there = chess.Board(self.imagined.fen).piece_map()
        real = self.tree.boards[self.node].piece_map()
        left_out = [man.symbol() for square, man in real.items() if square not in there]
        first = last = at
        while first and isinstance(inlines[first - 1], Text):
            first -= 1
        while last + 1 < len(inlines) and isinstance(inlines[last + 1], Text):
            last += 1
        start, text = inlines[first].span.start, self.script.source.text
        opened = not first or _SENTENCE_BEFORE.search(text[inlines[first - 1].span.start : start])
        back = put_back(text[start : inlines[last].span.end], left_out, midway=not opened)
        if back and start + back.start in inlines[at].span:
            self.restore(Span(start + back.start, start + back.stop))

    # Side lines

    def paren(self, paren: Paren) -> None:
        if not paren.partner and not paren.opens:
            return
        if paren.opens:
            self.open.append(self.node)
        elif self.open:
            self.close(paren.span)
            self.found(paren.span)

    def close(self, span: Span) -> None:
        node = self.open.pop()
        if node != self.node or self.imagined is not None:
            self.go(span, Change.RETURN, node)

    # Moves

    def move(self, move: Move) -> None:
        if move in self.behind_start:
            return
        if not self.script.front.talk and self.refers(move):
            self.referred = move
            return
        if move.span.start in self.afresh and self.node != self.begun:
            self.go(Span(move.span.start, move.span.start), Change.RETURN, self.begun)
        if self.beside and self.better_from(self.beside.home, move.span.start) > 0:
            self.return_home(move.span.start)
        last = self.moves[-1].span.end if self.moves else 0
        came_from = self.node
        self.follow_move(move)
        self.note_forbidden(move, came_from, max(last, self.block_start))

    # Moves that only say what is spoken of

    def moves_behind_start(self) -> frozenset[Move]:
        """The moves that say how the board came about that the text begins on: "White has just
        played 14.Bxc4", and those right before such a one."""
        start, out = self.tree.boards[0], list[Move]()
        line: list[Move] = []
        for event in self.events.all if start.ply() else ():
            straight_on = isinstance(event, Move) and self.events.straight_on(event)
            line = [*(line if straight_on else ()), event] if isinstance(event, Move) else []
            last = ply_of(event) == start.ply() - 1 if isinstance(event, Move) else False
            if last and may_have_led_to(line[-1].written, start):
                out += line
        return frozenset(out)

    def refers(self, move: Move) -> bool:
        """Whether a move only names the line it is spoken of, or tells of another lesson.

        In a talk the hearing has weighed the words itself.
        """
        if self.events.straight_on(move):
            return self.events.before(move) is self.referred
        run = self.events.run_from(move)
        text = self.script.source.text
        before = text[max(self.block_start, move.span.start - _SENTENCE_REACH) : move.span.start]
        behind = text[run[-1].span.end :][:_SENTENCE_REACH]
        if len(run) == 1 and names_its_line(before, behind):
            return self.names_line_at_hand(move, before)
        if len(run) == 1 and names_its_rival(before, behind):
            return self.is_rival(move)
        if (
            self.node
            and ply_of(move) == self.tree.ply(self.node)
            and self.can_play(move, self.node)
        ):
            return False
        if not (tells_of_another_lesson(before, behind) and self.goes_on_without(run)):
            return False
        self.elsewhere.append(move.span.to(run[-1].span))
        return True

    def names_line_at_hand(self, move: Move, before: str) -> bool:
        """Whether a move is one of those that lead to the last one, told in the same sentence."""
        last = self.moves[-1] if self.moves else None
        start = move.span.start - len(before) + sentence_begins(before)
        if last is None or last.node != self.node or last.span.start < start:
            return False
        return any(
            self.tree.ply(node) == ply_of(move)
            and resolve(move.written, self.tree.boards[node]) == self.tree.moves[way]
            for node, way in pairwise(self.tree.path(self.node))
        )

    def is_rival(self, move: Move) -> bool:
        """Whether a move was told in place of the last one before."""
        parent = self.tree.parents[self.node]
        if parent is None or ply_of(move) != self.tree.ply(parent):
            return False
        found = resolve(move.written, self.tree.boards[parent])
        beside = set(self.tree.children[parent]) - {self.node}
        return any(self.tree.moves[each] == found for each in beside)

    def goes_on_without(self, run: Sequence[Move]) -> bool:
        """Whether what comes after moves goes on as well without them."""
        ahead = self.events.behind(run[-1].span.end)
        if not self.node and not any(isinstance(event, Move) for event in ahead):
            return False
        after = self.walk.copy()
        for k, move in enumerate(run):
            if (placed := after.place(move, straight_on=k > 0)) is None:
                return True
            after.node = after.tree.play(*placed)
        return follows_better(after, self.node, ahead) >= 0

    def follow_move(self, move: Move) -> None:
        if (planned := self.planned.pop(id(move), None)) is not None:
            self.moves.append(PlacedMove(move.span, move.written, None, planned.base))
            self.assume(move, planned.base, planned.move, planned.sure)
        elif (repair := self.settled.get(id(move))) is not None and self.can_take(repair):
            self.moves.append(PlacedMove(move.span, move.written, None, self.node))
            self.slips.append(self.slip(move, [repair]))
            self.take(move, repair)
        elif (placed := self.placed(move)) is not None:
            at = self.events.place_of(move)
            last = self.goes_on_from_last(move)
            self.passed.append(Passed(at, move, self.walk.copy(), last))
            new = self.tree.play(*placed)
            self.moves.append(PlacedMove(move.span, move.written, new, placed[0]))
            self.played(move, placed[0], new)
        else:
            self.mend(move)

    def placed(self, move: Move) -> tuple[int, chess.Move] | None:
        """The node a move is played from and the move, or None if it fits nowhere."""
        if (node := self.main_line_named(move)) is not None:
            found = resolve(move.written, self.tree.boards[node])
            if isinstance(found, chess.Move):
                return node, found
        return self.walk.place(move, self.goes_on_from_last(move))

    def main_line_named(self, move: Move) -> int | None:
        """The node of the main line that a move is played from, if the words before it go back
        there and what follows fits there as well as where the number alone would put it.

        Where a part begins, no words are needed if far more of what follows fits there. In a talk
        the hearing has weighed the words itself.
        """
        ply = ply_of(move)
        if ply is None or self.script.front.talk:
            return None
        last = self.moves[-1].span.end if self.moves else 0
        named = on_the_main_line(self.script.source.text[last : move.span.start])
        if not named and (self.part_start <= last or ply == self.tree.ply(self.node)):
            return None
        fits_here = ply == self.tree.ply(self.node) and self.can_play(move, self.node)
        if (named is not OnMainLine.PLAINLY and fits_here) or not self.may_leave(move, ply, named):
            return None
        node = next((k for k in self.main_line() if self.tree.ply(k) == ply), None)
        needed = 0 if named else _FAR_BETTER
        if node is None or self.better_from(node, move.span.start) < needed:
            return None
        return node

    def may_leave(self, move: Move, ply: int, named: OnMainLine | None) -> bool:
        """Whether a move can be played elsewhere than where its number puts it and, where no words
        name the main line, so much behind it does not fit that it may be far better there.

        To ask this before which line is the main one keeps the time of many parts short.
        """
        alone = self.walk.place(move, self.goes_on_from_last(move))
        there = alone[0] if alone else None
        nodes = (k for k, its in enumerate(self.tree.plies) if its == ply and k != there)
        if not any(self.can_play(move, k) for k in nodes):
            return False
        ahead = self.events.behind(move.span.start)
        return bool(named) or misfitting(self.walk, ahead) >= _FAR_BETTER

    def can_play(self, move: Move, node: int) -> bool:
        return isinstance(resolve(move.written, self.tree.boards[node]), chess.Move)

    # Moves that the words forbid

    def note_forbidden(self, move: Move, came_from: int, last: int) -> None:
        """Notes where the line goes on, if the words forbid a move that leaves it.

        `last` is where the move before ends. In a talk the hearing has weighed the words itself.
        """
        if self.beside and self.beside.node not in self.tree.path(self.node):
            self.beside = None
        placed = self.moves[-1]
        if placed.node is None or self.script.front.talk:
            return
        line = self.tree.path(came_from)
        before = self.script.source.text[last : move.span.start]
        if placed.node in line or placed.base == came_from or placed.base not in line:
            return
        if forbids(before):
            marked = bool(move.written.suffix)
            depth = len(self.open)
            self.beside = _Beside(self.node, came_from, depth, sets_beside(before), marked)

    def words_behind_forbidden(self, text: Text) -> None:
        """Goes on with the line where the words about a forbidden move end."""
        if self.beside is None or len(self.open) != self.beside.depth:
            return
        marked = self.beside.marked and self.moves[-1].node == self.beside.node
        end = sentence_end(text.text, marked)
        if self.beside.set_beside:
            self.leave_forbidden(text.span.start, same_sentence=True)
        if self.beside and end is not None:
            whole = len(text.text) == text.span.end - text.span.start
            place = text.span.start + end if whole else text.span.end
            self.leave_forbidden(place, same_sentence=False)

    def leave_forbidden(self, place: int, same_sentence: bool) -> None:
        """Back to the line from a forbidden move, unless what comes next shows what is wrong with
        it: only from it the next moves can be played, or the words lead to them."""
        beside = self.beside
        if beside is None or len(self.open) != beside.depth:
            return
        better = self.better_from(beside.home, place)
        following = self.events.next_move(place)
        if not better and following is not None:
            plies = self.tree.ply(self.node), self.tree.ply(beside.home)
            goes_on = ply_of(following) == plies[0] != plies[1]
            words = self.script.source.text[place : following.span.start]
            better -= goes_on or shows_why(words, same_sentence)
        if better >= 0:
            self.return_home(place)

    def return_home(self, place: int) -> None:
        assert self.beside is not None
        if self.beside.home != self.node:
            self.go(Span(place, place), Change.RETURN, self.beside.home)
        self.beside = None

    def better_from(self, node: int, place: int) -> float:
        """How many more of the moves behind a place can be played from another node."""
        return follows_better(self.walk, node, self.events.behind(place))

    def closed(self, span: Span) -> None:
        """A move stands behind the paragraph of a parenthesis that is not closed.

        Where in the paragraph the side line was meant to end, nothing says.
        """
        if self.unclosed_at is not None:
            self.unclosed.append(Span(self.unclosed_at.start, span.start))
        self.unclosed_at = None

    def played(self, move: Move | Unreadable, base: int, new: int) -> None:
        self.found(move.span)
        self.closed(move.span)
        if not self.open:
            self.tree.tell(new)
        if isinstance(move, Move):
            self.tree.suffixes[new] = self.tree.suffixes[new] or move.written.suffix
            self.tree.signs[new] = self.tree.signs[new] or move.written.sign
        self.go(move.span, Change.MOVE, new, base)

    def goes_on_from_last(self, move: Move) -> bool:
        """Whether a move goes on with the line at hand, and on no other line.

        So does one whose number leaves out a single move, if the sentence goes on to it from the
        move before and speaks of no other line: "4.Be2 and the knight chases the queen 5.Nf3".
        """
        return self.events.straight_on(move) or (
            ply_of(move) == self.tree.ply(self.node) + 1 and self.in_one_breath(move)
        )

    def in_one_breath(self, move: Move) -> bool:
        """Whether only words of the same sentence stand between a move and the one before it."""
        before = self.events.before(move)
        if not isinstance(before, Move) or not self.moves or self.moves[-1].node != self.node:
            return False
        between = self.script.source.text[before.span.end : move.span.start]
        return len(between.split()) >= _TELLING and not _APART.search(between)

    # Slips

    def found(self, span: Span) -> None:
        """The board follows the text again."""
        if self.lost_at is not None:
            self.lost.append(Span(self.lost_at.start, max(span.start, self.lost_at.end)))
        self.lost_at = None
        self.walk.lost = False

    def lose(self, span: Span) -> None:
        """The board does not follow the text any more."""
        self.lost_at = self.lost_at or span
        self.walk.lost = True

    def mend(self, move: Move) -> None:
        """Reports a move that fits nowhere and goes on with its likeliest repair, if there is
        one."""
        ahead = self.events.ahead_of(move)
        offered: list[Repair] = []
        ended = self.ended_before(move)
        if not ended:
            straight_on = self.goes_on_from_last(move)
            meant = self.as_shifted(move) if straight_on else move
            offered = repairs(self.walk, meant, ahead, self.known, straight_on)
        best = offered[0] if offered else None
        self.moves.append(PlacedMove(move.span, move.written, None, self.node))
        if self.lost_at and not (best and best.sure and move.number is not None):
            self.slips.append(self.unfollowed(move, self.lost_at))
            return
        if best and best.kind is Slipped.NUMBER and best.base == self.node:
            if self.shifted_as_before(move):
                self.take(move, best)
                return
            self.shift = (len(self.slips), (ply_of(move) or 0) - self.tree.ply(self.node))
        if not ended:
            self.look_back(move, best)
        self.slips.append(self.slip(move, offered))
        if best is None or not goes_on(self.walk, best, ahead):
            self.lose(move.span)
        else:
            self.take(move, best)

    def ended_before(self, move: Move) -> bool:
        """Whether a move is meant to follow one that ended the game."""
        goes_on = ply_of(move) in {None, self.tree.ply(self.node)}
        return goes_on and bool(game_over(self.tree.boards[self.node]))

    def as_shifted(self, move: Move) -> Move:
        """A move that does not fit, whose number is wrong by as much as the last wrong one, with
        the right number: it is mended on its own line, not on another that has its number."""
        by = (ply_of(move) or 0) - self.tree.ply(self.node)
        if not by or by != self.shift[1] or move.number is None or by % 2:
            return move
        if self.can_play(move, self.node):
            return move
        return replace(move, number=move.number - by // 2)

    def shifted_as_before(self, move: Move) -> bool:
        """Whether the number is wrong by as much as the last wrong one, which has been told."""
        index, by = self.shift
        if not by or (ply_of(move) or 0) - self.tree.ply(self.node) != by:
            return False
        told = self.slips[index]
        more = ", and so with the numbers after it"
        if more not in told.reason:
            reason, otherwise, left_out = told.reason.partition(", or ")
            self.slips[index] = replace(told, reason=reason + more + otherwise + left_out)
        return True

    def look_back(self, move: Move, best: Repair | None) -> None:
        """Raises `_Earlier` where a move before this one is likelier to be wrong."""
        here = self.events.place_of(move)
        after = sum(isinstance(event, Move) for event in self.events.ahead_of(move))
        if self.lost_at or len(self.settled) >= _MOST_AGAIN or after < 2:
            return
        if found := earlier_repair(self.passed, best, self.events.all, here, self.known):
            words = self.script.source.words(move.span)
            raise _Earlier(found[0].move, replace(found[1], reason=_blamed(found[1], words)))

    def can_take(self, repair: Repair) -> bool:
        """Whether a repair found before still fits: one settled later may have changed the tree."""
        if repair.base >= len(self.tree.boards):
            return False
        board = self.tree.boards[repair.base].copy(stack=False)
        for played in repair.moves:
            if not board.is_legal(played):
                return False
            board.push(played)
        return True

    def take(self, move: Move, best: Repair) -> None:
        """Goes on with a repair."""
        ahead = self.events.ahead_of(move)
        base, played = best.base, best.moves[-1]
        if best.kind is Slipped.MISSING:
            for filler in best.moves[:-1]:
                base = self.tree.assume(base, filler, best.sure)
                if not self.open:
                    self.tree.tell(base)
        if best.kind is Slipped.SWAPPED:
            played = best.moves[0]
            new = self.tree.assume(base, played, best.sure)
            self.planned[id(ahead[0])] = _Planned(new, best.moves[1], best.sure)
        self.assume(move, base, played, best.sure)

    def assume(self, move: Move | Unreadable, base: int, played: chess.Move, sure: bool) -> None:
        self.played(move, base, self.tree.assume(base, played, sure))

    def unreadable(self, wrong: Unreadable) -> None:
        """Goes on after what looks like a move and is none, with what it may have been."""
        if not wrong.played or (self.walk.lost and wrong.number is None):
            return
        ahead = self.events.ahead_of(wrong)
        offered = repairs_of_text(
            self.walk, wrong.move, wrong.number, wrong.black, ahead, self.known
        )
        if wrong.perhaps_no_move:
            offered = [r for r in offered if self.tree.boards[r.base].is_castling(r.moves[0])]
        best = offered[0] if offered else None
        if wrong.perhaps_no_move and best is None:
            return
        fen = self.tree.boards[best.base if best else self.node].fen()
        reason = "no notation"
        if wrong.perhaps_no_move:
            reason = no_castling(wrong.text, wrong.move)
        texts = _texts(offered)
        self.slips.append(Slip(SlipKind.UNREADABLE, wrong.span, fen, reason, texts))
        if best is None or not goes_on(self.walk, best, ahead):
            self.lose(wrong.span)
        else:
            self.assume(wrong, best.base, best.moves[0], best.sure)

    def slip(self, move: Move, offered: Sequence[Repair]) -> Slip:
        """What is wrong with a move that fits nowhere, with the likeliest repairs."""
        if not offered:
            return self.beyond(move)
        best = offered[0]
        board = self.tree.boards[best.base]
        why = resolve(move.written, board)
        if id(move) in self.settled:
            kind = SlipKind.CONTRADICTED if best.kind is Slipped.MOVE else SlipKind.NUMBER
            return Slip(kind, move.span, board.fen(), best.reason, _texts(offered))
        if isinstance(why, Unresolved) and best.kind in (Slipped.MOVE, Slipped.SWAPPED):
            kind = SlipKind.ILLEGAL
            reason = f"{why.reason}; {best.reason}" if best.reason else why.reason
            if why.why is WhyNot.AMBIGUOUS:
                texts = dict.fromkeys(r.text for r in offered if r.moves[0] in why.moves)
                return Slip(SlipKind.AMBIGUOUS, move.span, board.fen(), reason, tuple(texts))
        elif best.kind is Slipped.MISSING and move.number is None:
            reason = f"{why.reason}; {best.reason}" if isinstance(why, Unresolved) else best.reason
            kind = SlipKind.ILLEGAL
        else:
            kind, reason = SlipKind.NUMBER, best.reason
        return Slip(kind, move.span, board.fen(), reason, _texts(offered))

    def beyond(self, move: Move) -> Slip:
        """The slip of a number that no line reaches, or of a move behind the end of the game."""
        board = self.tree.boards[self.node]
        if over := game_over(board):
            reason = f"{self.tree.labels[self.node] or 'the board'} is {over}, the game is over"
            return Slip(SlipKind.ILLEGAL, move.span, board.fen(), reason)
        upcoming = f"{board.fullmove_number}{'.' if board.turn else '...'}"
        given = number_text(move)
        reason = f"no line of {self.whose} reaches '{given}': the next move here is {upcoming}"
        near = likeliest(move.written, board)
        texts = tuple(upcoming + board.san(legal) for legal in near)
        return Slip(SlipKind.NUMBER, move.span, board.fen(), reason, texts)

    def unfollowed(self, move: Move, lost_at: Span) -> Slip:
        text = self.script.source.words(lost_at)
        reason = f"it comes after '{text}', which is no legal move there"
        return Slip(SlipKind.UNFOLLOWED, move.span, self.tree.boards[self.node].fen(), reason)

    # Mentions, marks and imagined boards

    def mention(self, mention: Mention) -> None:
        board = chess.Board(self.imagined.fen) if self.imagined else self.tree.boards[self.node]
        words = self.script.source.text[: mention.span.start]
        found, self.mentioned = mentioned_move(mention, board, self.mentioned, words)
        found = found or already_shown(mention, self.tree, self.node)
        found = found or self.forbidden_mention(mention) or route(mention, board)
        if found is None:
            self.slips.append(impossible_mention(mention, board))
        fen = found[0] if found else board.fen()
        move = found[1] if found else None
        self.mentions.append(PlacedMention(mention.span, mention.written, self.node, fen, move))

    def forbidden_mention(self, mention: Mention) -> Found | None:
        """A move instead of the last one, if the words forbid it: "3.Nd2. Please not Nc3"."""
        parent = self.tree.parents[self.node]
        last = max(self.moves[-1].span.end if self.moves else 0, self.block_start)
        before = self.script.source.text[last : mention.span.start]
        if parent is None or not forbids(before):
            return None
        return best_fit(mention.written, [self.tree.boards[parent]])

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

    def parts(self, headings: list[tuple[Block, int]], tree: Tree) -> Iterator[Part]:
        end = len(self.script.source.text)
        main = frozenset(node.index for node in tree.main_line())
        for k, (block, start) in enumerate(headings):
            stop = headings[k + 1][0].span.start if k + 1 < len(headings) else end
            span = Span(block.span.start, stop)
            key = self.key_node(span, start, main)
            yield Part(heading_title(block), block.level, span, start, key)

    def slips_but_of(self, headings: list[tuple[Block, int]]) -> Iterator[Slip]:
        """The slips but those of moves that headings name, where one of their part's boards has
        them: a heading speaks of what stands below it, not of the board before."""
        ends = [block.span.start for block, _ in headings[1:]] + [len(self.script.source.text)]
        own = {
            mention.span: (mention.written, Span(block.span.end, end))
            for (block, _), end in zip(headings, ends, strict=False)
            for mention in self.mentions
            if mention.span.start in block.span
        }
        for slip in self.slips:
            written, below = own.get(slip.span, (None, slip.span))
            told = (step for step in self.steps if written and step.span.start in below)
            nodes = {node for step in told for node in (step.after, self.tree.parents[step.after])}
            boards = [b for n in nodes if n is not None for b in both_turns(self.tree.boards[n])]
            if not (written and boards and best_fit(written, boards)):
                yield slip

    def key_node(self, span: Span, start: int, main: frozenset[int]) -> int:
        """The last position a part reaches outside side lines, or where it begins; not one that
        it only recalls and leaves again.

        Of a part that goes on with the `main` line and ends with a shorter remark beside it, the
        last of the main line.
        """
        steps = [s for s in self.steps if s.change is Change.MOVE and s.spoken and not s.depth]
        left = {b.before for b in self.steps if b.change is Change.RETURN and b.span.start in span}
        before = {step.after for step in steps if step.span.start < span.start}
        recalled = left & before
        told = (step.after for step in steps if step.span.start in span)
        shown = [node for node in told if node not in recalled]
        new = [k for k, node in enumerate(shown) if node in main and node not in before]
        if new and len(shown) - 1 - new[-1] < len(new):
            return shown[new[-1]]
        return shown[-1] if shown else start


def _first_unclosed(block: Block) -> Span | None:
    """The first opening parenthesis of a block that has no closing one."""
    return next(
        (i.span for i in block.inlines if isinstance(i, Paren) and i.opens and not i.partner), None
    )


_ON_THE_MAIN_LINE = expression(
    r"\b(?:in|on|of) (?:the|our|my|your) main (?:line|variation)\b", re.IGNORECASE
)


def _blamed(repair: Repair, words: str) -> str:
    """Why a legal move is the wrong one."""
    return f"{repair.reason}, so that '{words}' can follow" if repair.reason else (
        f"'{words}' cannot be played after it"
    )  # fmt: skip


def _texts(offered: Sequence[Repair], most: int = 3) -> tuple[str, ...]:
    """The texts of the likeliest repairs, those far less likely than the first left out, and
    those that lose a piece where another does not."""
    near = [repair for repair in offered if repair.cost <= offered[0].cost + 2.0]
    if near and near[0].kind is Slipped.NUMBER:  # what was left out, if anything was, is a guess
        near = [repair for repair in near if len(repair.moves) < 3]
    sound = [repair.text for repair in near if not repair.loses]
    return tuple(dict.fromkeys(sound or [repair.text for repair in near]))[:most]


def _words_span(link: Link) -> Span:
    """The words of a link without its brackets and address."""
    if not link.children:
        return link.span
    return link.children[0].span.to(link.children[-1].span)


def _ends_sentence(text: str) -> bool:
    return any(mark in text for mark in (". ", "? ", "! ", "; ")) or text.rstrip().endswith(
        (".", "?", "!")
    )
