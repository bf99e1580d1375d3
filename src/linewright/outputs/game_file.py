"""The lesson's moves as a game file (PGN), side lines as variations, words as comments.

Written in the export format of the standard, in UTF-8 where it says ISO 8859-1. Marks and what-if
boards stand in the comments as commands of this project before the words they are on:
`[%mark attack:g5-f6]` and `[%board FEN]`; a mark on a board that comes later stands behind the
words there. The tag `Taught` says whom the lesson is for, and that words and moves are one text.
General words that open a part, in a paragraph of their own, lead to its first move likewise.
Moves in parentheses behind the last move of a line explain it: a game file has no side line there,
so they are words of its comment, without their marks. Words said when the talk is back from the
side lines of a move, and those that lead over them to the next move, stand behind these; so do
those that lead to a main move told after its side lines, with the move. What closes the lesson,
a summing up or a leave, stands behind the last move of the main line. Braces in the teacher's
words become parentheses, since the standard has no way to write them in a comment.

Source: Portable Game Notation Specification (1994), sections 7, 8 and 16.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from collections import defaultdict
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import count, takewhile
from typing import TypeVar

import chess
import chess.pgn

from linewright.inline import Figure, Inline, Link, Mention, Move, Paren, Text
from linewright.lesson import Change, Lesson, Node, PlacedMark
from linewright.names import name_of_line
from linewright.notation import SIGN_NAGS, SUFFIX_NAGS
from linewright.outputs import Artifact, Edition
from linewright.replies import board_before_replies, says_the_same
from linewright.script import Block, BlockKind
from linewright.speech import shown_move
from linewright.statements_of_lesson import heads_summary
from linewright.talk.recaps import closing_at

_Result = TypeVar("_Result")

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


class LessonGame(chess.pgn.Game):
    """A game with comments behind the side lines of a move too (`returns`)."""

    def __init__(self) -> None:
        super().__init__()
        self.returns: dict[chess.pgn.GameNode, str] = {}

    def accept(self, visitor: chess.pgn.BaseVisitor[_Result]) -> _Result:
        """Shows a visitor the game in the order of the file."""
        if visitor.begin_game() is not chess.pgn.SKIP:
            for name, value in self.headers.items():
                visitor.visit_header(name, value)
            if visitor.end_headers() is not chess.pgn.SKIP:
                board = self.board()
                visitor.visit_board(board)
                if self.comment:
                    visitor.visit_comment(self.comment)
                if self.variations:
                    self._tell(self.variations[0], board, visitor)
                visitor.visit_result(self.headers.get("Result", "*"))
        visitor.end_game()
        return visitor.result()

    def _tell(
        self,
        first: chess.pgn.ChildNode,
        board: chess.Board,
        visitor: chess.pgn.BaseVisitor[_Result],
        *,
        alone: bool = False,
    ) -> None:
        """Shows a line from a move on, with side lines beside each; beside it none if `alone`."""
        node: chess.pgn.ChildNode | None = first
        while node is not None:
            node._accept_node(board, visitor)
            others = [] if alone and node is first else node.parent.variations
            for other in others:
                if other is not node and others[0] is node:
                    if visitor.begin_variation() is not chess.pgn.SKIP:
                        self._tell(other, board.copy(stack=False), visitor, alone=True)
                    visitor.end_variation()
            if told := self.returns.get(node):
                visitor.visit_comment(told)
            board.push(node.move)
            node = node.variations[0] if node.variations else None


def game_of(lesson: Lesson) -> LessonGame:
    """The lesson's tree as a game, with comments and numeric glyphs."""
    game = LessonGame()
    game.headers["Result"] = lesson.front.result
    start = lesson.tree.nodes[0].board()
    if start.fen() != chess.STARTING_FEN:
        game.setup(start)
    comments = _Comments(lesson).written()
    nodes: dict[int, chess.pgn.GameNode] = {0: game}
    game.comment = comments.behind.get(0, "")
    explained = lesson.tree.explanations()
    for node in lesson.tree.nodes[1:]:
        if node.index in explained:
            continue
        assert node.parent is not None and node.move is not None
        comment = comments.behind.get(node.index, "")
        child = nodes[node.parent].add_variation(node.move, comment=comment)
        child.nags.update(
            nag
            for nag in (SUFFIX_NAGS.get(node.suffix), SIGN_NAGS.get(node.sign))
            if nag is not None
        )
        child.starting_comment = comments.before.get(node.index, "")
        nodes[node.index] = child
        if returned := comments.returns.get(node.index):
            game.returns[child] = returned
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
    further = {"Annotator": front.teacher, "Taught": front.taught or "both", "Series": front.series}
    if front.students:
        further["Students"] = "-".join(str(rating) for rating in front.students)
    if front.club:
        further["Club"] = front.club
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


@dataclass(frozen=True, slots=True)
class Comments:
    """The words told at each node: behind its move, behind its side lines, and before its move.

    The last are those that lead to the first move of a side line.
    """

    behind: Mapping[int, str]
    returns: Mapping[int, str]
    before: Mapping[int, str]


@dataclass(frozen=True, slots=True)
class _Back:
    """Words that lead back to a move: its node, the words and the move, and their place.

    The next words go on from there, unless they are said of another move than that.
    """

    node: int
    leading: str
    notation: str
    place: int

    @property
    def text(self) -> str:
        """The words with the move they lead to."""
        return f"{self.leading} {self.notation}".strip()


@dataclass(frozen=True, slots=True)
class _Around:
    """Words that break off before a parenthesis: their node, the first move inside, and the texts
    of which they are the last."""

    node: int
    inside: int
    texts: list[str]


@dataclass(slots=True)
class _Comments:
    """The words of a lesson on their way to the moves they are about."""

    lesson: Lesson
    behind: dict[int, list[str]] = field(default_factory=lambda: defaultdict(list))
    returns: dict[int, list[str]] = field(default_factory=lambda: defaultdict(list))
    before: dict[int, list[str]] = field(default_factory=lambda: defaultdict(list))
    pending: _Back | None = None
    """Words that lead back to a move told before, or to the main line."""
    awaited: set[int] = field(default_factory=set)
    """Main moves that words stand behind already, which were said before they are told."""
    signs: dict[str, tuple[int, str]] = field(default_factory=dict)
    """What stands in the words for a command, until they are put together: its node and text."""
    around: _Around | None = None
    """Words of the block at hand that break off before a parenthesis."""
    closing: bool = False
    """Whether the words close the lesson from here on."""

    def written(self) -> Comments:
        """The comments, with the commands of marks and imagined boards."""
        places = self._commands()
        headed = False
        opening: _Run | None = None
        for k, block in enumerate(self.lesson.script.blocks):
            if block.kind in _TOLD:
                runs = self._below_list(k, _told(self.lesson, block, places))
                if opening is not None and self._led_over(opening, block):
                    opening = None
                if opening is not None:
                    if (led := _opened(opening, runs)) is None:
                        self._put_all([opening], headed)
                        headed = False
                    runs, opening = led or runs, None
                elif (headed and len(runs) == 1 and _is_general(runs[0])) or _leads_over(runs):
                    opening = runs[0]
                    continue
                self._put_all(runs, headed)
                headed = False
            elif block.kind is BlockKind.HEADING:
                if opening is not None and not _leads_over([opening]):
                    self._put_all([opening], headed)
                    opening = None
                headed = True
                self.closing = self.closing or self._heads_the_end(block)
        if opening is not None:
            self._put_all([opening], headed)
        shown = "".join(t for told in self._all() for texts in told.values() for t in texts)
        for sign, (node, _) in self.signs.items():
            if sign not in shown:
                self.behind[node].append(sign)
        behind, returns, before = (
            {node: self._written(texts) for node, texts in told.items()} for told in self._all()
        )
        return Comments(behind, returns, before)

    def _below_list(self, k: int, runs: list[_Run]) -> list[_Run]:
        """The words of a block; those of a box below a list of replies at the move these answer.

        A box whose words are of the last reply's board stays there, where they are judged.
        """
        blocks = self.lesson.script.blocks
        boxed = blocks[k].kind is BlockKind.QUOTE and len(runs) == 1 and not runs[0].leads_to
        node = board_before_replies(self.lesson, blocks[:k]) if boxed else None
        if node is None or not says_the_same(self.lesson, blocks[k], node):
            return runs
        return [replace(runs[0], node=node)]

    def _led_over(self, opening: _Run, block: Block) -> bool:
        """Whether words lead over to a block that begins with a side line: they go with it."""
        if not _leads_over([opening]) or not isinstance(next(iter(block.inlines), None), Move):
            return False
        lead = _lead_after(self.lesson, block.span.start - 1, block.span.end, {})
        if lead is None or not lead.side_line:
            return False
        self.before[lead.node].append(opening.text)
        return True

    def _heads_the_end(self, heading: Block) -> bool:
        """Whether a heading behind the last move stands over words that close the lesson.

        Its own words say so, or those below take leave or give thanks, and none speaks of chess.
        Others may be of the side line told last: "He grabs and has to give it back."
        """
        place = heading.span.start
        if self._moves_after(place):
            return False
        title = "".join(text for _, text in _texts(self.lesson, heading.inlines, {}, {}))
        below = (b for b in self.lesson.script.blocks if b.kind in _TOLD and b.span.start > place)
        told = ["".join(t for _, t in _texts(self.lesson, b.inlines, {}, {})) for b in below]
        leaves = any(_TAKES_LEAVE.search(words) or closing_at(words) is not None for words in told)
        return heads_summary(title) or (leaves and not _OF_CHESS.search(" ".join(told)))

    def _moves_after(self, place: int) -> bool:
        return bisect_right(self.lesson.starts, place) < len(self.lesson.starts)

    def _closed(self, run: _Run) -> list[_Run]:
        """A run without what closes the lesson, and that behind the last move of the main line.

        So it is only of words said in a side line, which nobody sees who plays through the game;
        what is marked on the board there stays.
        """
        main = [node.index for node in self.lesson.tree.told_line()]
        if run.node in main or self._moves_after(run.place):
            return [run]
        cut = 0 if self.closing else closing_at(run.text)
        if cut is None or any(sign in run.text[cut:] for sign in self.signs):
            return [run]
        self.closing = True
        last = replace(run, node=main[-1], text=run.text[cut:])
        return [replace(run, text=run.text[:cut]), last]

    def _put_all(self, told: Sequence[_Run], headed: bool) -> None:
        """The words of a block, which may be the first behind a heading."""
        runs = [part for run in told for part in self._closed(run)]
        self.around = None
        for k, run in enumerate(runs):
            self._put(run, opens=headed and k == 0, begins=k == 0)
        self._flush()

    def _all(self) -> tuple[dict[int, list[str]], ...]:
        return self.behind, self.returns, self.before

    def _written(self, texts: Sequence[str]) -> str:
        """Words said at different times as one comment, with the commands that stand in it."""
        words = [text for text in texts if not self.signs.keys() >= set(text)]
        bare = "".join(text for text in texts if text not in words)
        told = _comment(words)
        spaced = f"{told} {' '.join(bare)}"
        out = "".join(f"{self.signs[c][1]} " if c in self.signs else c for c in spaced)
        return " ".join(out.split())

    def _commands(self) -> dict[int, str]:
        """For the place of each link the signs of its commands that are of the board at hand."""
        explained = self.lesson.tree.explanations()
        places: dict[int, str] = defaultdict(str)
        known: dict[tuple[int, str], None] = {}  # the same board once
        found = [
            (placed.span.start, placed.node, _mark_command(placed))
            for placed in self.lesson.marks
            if placed.node not in explained
        ]
        for step in self.lesson.steps:
            if step.imagined:
                node = explained.get(step.after, step.after)
                found.append((step.imagined.span.start, node, f"[%board {step.imagined.fen}]"))
        text = self.lesson.script.source.text
        unused = (sign for k in count(FIRST_SIGN) if (sign := chr(k)) not in text)
        for place, node, command in sorted(found):
            if (node, command) in known:
                continue
            known[node, command] = None
            sign = next(unused)
            self.signs[sign] = node, command
            here = self.lesson.at(place).node
            if explained.get(here, here) == node:
                places[place] += sign
        return places

    def _put(self, run: _Run, *, opens: bool, begins: bool) -> None:
        """The words of a run where they belong; those that lead elsewhere go there with the move.

        Words that open a part lead to its first move as a whole, as do those of a paragraph on the
        board the talk came back to. What leads to the main line from its side lines stands behind
        these, with the move.
        """
        text, leads = run.text, run.leads_to
        if leads is None or not leads.off:
            self._go_on(run)
            return
        if leads.opened and _is_open(text):
            if leads.told_inside:
                leads = replace(leads, opened=False)
            else:
                text = f"{text.rstrip()}{_AROUND}{leads.notation}{_AROUND}"
        back = begins and leads.behind and run.node == leads.base
        whole = (opens or leads.returned or back) and not leads.opened
        told, leading = ("", text) if whole else _split_sentence(text, leads, begins=begins)
        if not whole and not begins and not leads.opened:
            told, leading = _split_lines(told, leading)
        if run.label and told.strip() == run.label:
            told, leading = "", text
        told, leading = self._behind_parenthesis(run, told, leading)
        self._say(run.node, told, run.place)
        if told.endswith(_AROUND):
            self._keep_open(run.node, leads.node)
        if self._names_its_rival(leads) and not told.strip():
            assert self.pending is not None
            leading = f"{self.pending.text} {leading}".strip()
            self.pending = None
        elif self.pending is not None and self.pending.node == leads.base and not _has_words(told):
            leads = self._in_a_row(leads, leading)
            leading = f"{self.pending.text} {leading}".strip()
            self.pending = None
        self._flush()
        if leads.side_line:
            self.before[leads.node].append(leading)
        elif leads.again or leads.behind:
            self.pending = _Back(leads.node, leading, leads.notation, run.place)
        else:
            self._say(leads.base, leading, run.place)

    def _keep_open(self, node: int, inside: int) -> None:
        """Keeps in mind where words were put that go on behind a parenthesis."""
        found = (texts for told in self._all() for texts in told.values())
        ends = [texts for texts in found if texts and texts[-1].endswith(_AROUND)]
        self.around = _Around(node, inside, ends[-1]) if ends else None

    def _behind_parenthesis(self, run: _Run, told: str, leading: str) -> tuple[str, str]:
        """The words of a run that are told and that lead on, without the end of the sentence that
        broke off before a parenthesis: that is put there."""
        around, leads = self.around, run.leads_to
        if around is None or around.node != run.node or self.pending is not None:
            return told, leading
        if leads is not None and leads.node == around.inside:
            return told, leading
        self.around = None
        words = told or leading
        stop = _END.search(told) or _END.match(words)
        turns = [turn.start() for turn in _TURNS.finditer(words)]
        end = stop.end() if stop else len(told) or max(turns, default=0)
        rest = words[:end].strip()
        if rest:
            apart = "" if rest[0] in ",;:.!?" else " "
            begun = _HOLE_AROUND.sub(r" (\1)" if _has_words(rest) else "", around.texts[-1])
            around.texts[-1] = f"{begun}{apart}{rest}"
        if leads is not None and rest.endswith(_AROUND):
            self.around = replace(around, inside=leads.node)
        return (told[end:], leading) if told else ("", leading[end:])

    def _names_its_rival(self, leads: _Lead) -> bool:
        """Whether words that named a move lead to a side line in its place: "Instead of 6.e3"."""
        named = self.pending.node if self.pending is not None else None
        return (
            named is not None
            and leads.side_line
            and self.lesson.tree.nodes[named].parent == leads.base
        )

    def _in_a_row(self, leads: _Lead, leading: str) -> _Lead:
        """A move that words lead on to from one before: Black's without a number, if nothing
        stands between them ("1.e4 e6")."""
        move = self.lesson.tree.nodes[leads.node]
        return leads if leading.strip() or move.white else replace(leads, notation=move.san)

    def _go_on(self, run: _Run) -> None:
        """The words of a run at its move; those that lead to the next behind its side lines.

        "3. Nc3 { Now } ( 3. Nf3 ) 3... Qa5" would tear them from the move they lead to.
        """
        over = run.leads_to is not None and run.leads_to.base == run.node
        apart = self._beside(run.node) and not self._is_back(run.node, run.place)
        told, leading = run.text, ""
        if over and apart and self.pending is None:
            told, leading = _split_onward(run.text)
        told, leading = self._behind_parenthesis(run, told, leading)
        self._say(run.node, told, run.place)
        if _has_words(leading):
            self.returns[run.node].append(leading)

    def _say(self, node: int, text: str, place: int) -> None:
        if not _has_words(text):
            return
        if self.pending is not None and self.pending.node != node:
            self._flush()
        lead = self.lesson.tree.nodes[node].label if node in self.awaited else ""
        if self.pending is not None:
            lead = self.pending.text
        said = f"{lead}{'' if not lead or text[:1] in ',;:.!?' else ' '}{text}"
        self.pending = None
        self.awaited.discard(node)
        if (ahead := self._ahead(node, place)) is not None:
            self.returns[ahead].append(said)
            self.awaited.add(ahead)
        else:
            where = self.returns if self._is_back(node, place) else self.behind
            where[node].append(said)

    def _flush(self) -> None:
        """Words that lead back to a move, and that no others go on from, are said there."""
        back, self.pending = self.pending, None
        if back is not None and _has_words(back.leading):
            self._say(back.node, back.text, back.place)

    def _ahead(self, node: int, place: int) -> int | None:
        """The main move after a node if only side lines beside it have been told before a place.

        Words said there stand behind them: "(If 5...b5 6.axb5.) That is no good for us."
        """
        ways = self.lesson.tree.nodes[node].children
        earlier = takewhile(lambda step: step.span.start < place, self.lesson.steps)
        told = {step.after for step in earlier if step.spoken}
        beside = set(ways[1:]) - set(self.lesson.tree.explanations())
        return ways[0] if ways and ways[0] not in told and beside & told else None

    def _is_back(self, node: int, place: int) -> bool:
        """Whether the side lines beside a move have been told before a place."""
        beside = self._beside(node)
        earlier = takewhile(lambda step: step.span.start < place, self.lesson.steps)
        return any(step.spoken and step.after in beside for step in earlier)

    def _beside(self, node: int) -> frozenset[int]:
        """The side lines beside a move, by their first moves; none beside one that begins one."""
        tree = self.lesson.tree
        parent = tree.nodes[node].parent
        if parent is None or tree.nodes[parent].children[0] != node:
            return frozenset()
        return frozenset(tree.nodes[parent].children) - {node} - set(tree.explanations())


def _comment(texts: Sequence[str]) -> str:
    """Words said at different times as one comment; none where only "and" is left of them, or the
    "After" of moves: "After 1.e4 e5 Black is free"."""
    told = _joined([_clean(text) for text in texts])
    told = _HOLE_AROUND.sub("", told).rstrip(" ,;")
    return "" if told.lower().rstrip(":,") in _CONNECTIVES else told


_CONNECTIVES = frozenset(["and", "then", "and then", "after", "with"])


def _has_words(text: str) -> bool:
    return any(c.isalnum() for c in text)


_AROUND = "\x01"
"""Stands around the first move of a parenthesis that a sentence may go on behind."""
_HOLE_AROUND = re.compile(f"{_AROUND}([^{_AROUND}]*){_AROUND}$")


def _joined(texts: Sequence[str]) -> str:
    r"""Words said at different times as one text: one that breaks off is seen to, and one that goes
    on behind a parenthesis has its first move there.

    >>> _joined(["We play", "Back again.", "Now"])
    'We play … Back again. Now'
    >>> _joined(["If he takes\x014.dxe5\x01", "we are fine."])
    'If he takes (4.dxe5) we are fine.'
    """
    out = ""
    for text in filter(_has_words, texts):
        first = re.sub(_SIGNS, "", text)[:1]
        goes_on = out and (out[-1] not in ".!?…”\"'" or first.islower())
        if goes_on and (around := _HOLE_AROUND.search(out)):
            out = f"{out[: around.start()]} ({around[1]}) {text}"
            continue
        out = out.rstrip(" ,;") if goes_on else out
        out += (" … " if goes_on else " " if out else "") + text
    return out


FIRST_SIGN = 0xF0000
"""Characters for private use that the words do not have: signs of commands, before a word."""
_SIGNS = r"[\U000F0000-\U000FFFFF]*"

_OF_A_BOARD = re.compile(r"\b[a-h][1-8]\b|[\U000F0000-\U000FFFFF]")

_OF_CHESS = re.compile(
    r"\b(?:[a-h][1-8]|white|black|pawns?|knights?|bishops?|rooks?|queens?|kings?|mates?|moves?"
    r"|files?|ranks?|squares?|pieces?|endings?|endgames?)\b",
    re.IGNORECASE,
)

_TAKES_LEAVE = re.compile(
    r"(?:^|[.!?…][\"”’)]*\s)\W*(?:(?:so|and|well|now|okay|then|again|many|my|our|with|warm),? )*"
    r"(?:thanks|thank you|good ?bye|bye|farewell|see you|good night|until (?:next|then)|next"
    r" (?:time|week|month|lesson|meeting))\b",
    re.IGNORECASE,
)
"""A sentence that begins with thanks or a leave."""

LEAD_TO_MOVE_WORDS = 8
"""So many words without a stop may all lead to a move that is not of the line at hand."""

_END = re.compile(r"(?:(?<!\d)|(?<=[a-h][1-8]))[.!?][\"”’)]*(?:\s+|$)")
"""Where a sentence ends; a stop behind a number may be that of a move, not behind a square."""
_TURNS = re.compile(
    rf"(?:^|(?<=\s)){_SIGNS}(?:(?:and|but|so|or) )*{_SIGNS}"
    r"(?:but|now|if|suppose|supposing|instead|okay|what (?:if|happens (?:if|when))"
    r"|(?<!at )(?<!the )(?:first|second|third|fourth|fifth)(?:ly)?,? the\b"
    r"|(?:and|or) the (?:second|third|other|last)|let's|let me)\b",
    re.IGNORECASE,
)
"""Where words without stops turn to what comes next, as talk does."""
_CLAUSE = re.compile(r"[,;]\s+(?=(?:so|but|and|then|therefore)\b)")
"""Where words behind a side line's last move turn from it to the main move."""
_LINE_CLOSED = re.compile(
    r";\s*|,\s+(?=(?:and|or|but|while|whereas)(?:\s*$|\s+(?:after|if|when|on|against|following)\b))"
)
"""What parts two lines in one sentence: "and White is fine; or", "is equal, and after"."""
_ONWARD = re.compile(
    rf"\s*{_SIGNS}(?:[.,;:!?–—A-Z]"
    r"|(?:and|but|or|so|then|now|if|when|after|we|you|he|she|they)\b)"
)
"""Words without stops that begin anew behind a move: "and we defend with"."""


def _split_sentence(text: str, leads: _Lead, *, begins: bool) -> tuple[str, str]:
    """The sentences of a text that are said of the move behind them, and what leads to the next.

    What leads is the sentence still open at the end, or the last where a paragraph `begins` with
    the text; not before a parenthesis. To a side line questions before it lead too: "What if
    White pushes? If he plays".
    """
    ends = [0, *(stop.end() for stop in _END.finditer(text))]
    if len(ends) == 1:
        return _split_talk(text, leads, begins=begins)
    whole = not text[ends[-1] :].strip()
    if (whole and begins and not leads.opened) or (
        leads.side_line and whole and "?" in text[ends[-2] :]
    ):
        ends.pop()
    elif whole or leads.opened:
        return text, ""
    while leads.side_line and len(ends) > 1 and "?" in text[ends[-2] : ends[-1]]:
        ends.pop()
    return text[: ends[-1]].strip(), text[ends[-1] :].strip()


def _split_talk(text: str, leads: _Lead, *, begins: bool) -> tuple[str, str]:
    """The same for words without a stop, as talk is written down."""
    if leads.opened:
        return text, ""
    if leads.behind and not begins and (joints := list(_CLAUSE.finditer(text))):
        return text[: joints[-1].start()].strip(), text[joints[-1].end() :].strip()
    if len(text.split()) <= LEAD_TO_MOVE_WORDS:
        return "", text
    turns = list(_TURNS.finditer(text))
    if turns:
        return text[: turns[-1].start()].strip(), text[turns[-1].start() :].strip()
    return ("", text) if leads.side_line or begins else (text, "")


def _split_lines(told: str, leading: str) -> tuple[str, str]:
    """The same without the words that close the line before among those that lead to the next.

    >>> _split_lines("", "and White is fine; or"), _split_lines("", "is worse, and after")
    (('and White is fine', 'or'), ('is worse', 'and after'))
    """
    ends = [one for one in _LINE_CLOSED.finditer(leading) if _has_words(leading[: one.start()])]
    if not ends:
        return told, leading
    return f"{told} {leading[: ends[-1].start()]}".strip(), leading[ends[-1].end() :].strip()


def _split_onward(text: str) -> tuple[str, str]:
    """The words that are said of a move, and those that lead to the next of its line.

    >>> _split_onward("is best. Now"), _split_onward("is best but now"), _split_onward(", and")
    (('is best. ', 'Now'), ('is best ', 'but now'), ('', ', and'))
    """
    ends = [0, *(stop.end() for stop in _END.finditer(text))]
    told, leading = text[: ends[-1]], text[ends[-1] :]
    if told or _ONWARD.match(leading) or leading.rstrip().endswith(":"):
        return told, leading
    turns = [len(text), *(turn.start() for turn in _TURNS.finditer(text))]
    return text[: turns[-1]], text[turns[-1] :]


@dataclass(frozen=True, slots=True)
class _Lead:
    """The move that words lead to: its node, and the one it is played from.

    `side_line` if it begins one, `elsewhere` if the board first goes to another position, `again`
    if it was told before; `returned` if the talk came back to the board the words are said on,
    after another move there; `behind` if it is the main move, told first behind one of its side
    lines; `opened` if a parenthesis opens before it, `told_inside` if a sentence ends with that.
    """

    node: int
    base: int
    notation: str
    side_line: bool
    elsewhere: bool
    again: bool
    returned: bool
    behind: bool
    opened: bool
    told_inside: bool

    @property
    def off(self) -> bool:
        """Whether the words lead away from the line at hand, or back to it."""
        return self.side_line or self.elsewhere or self.again or self.behind


def _openings(block: Block) -> dict[int, bool]:
    """The places of a block's opening parentheses, and whether a sentence ends with each: words
    before it end with a colon, or those inside it with a stop ("A bold try is (3...f5.)")."""
    open_ones: list[int] = []
    out: dict[int, bool] = {}
    before = ""
    for one in block.inlines:
        if isinstance(one, Paren) and one.opens:
            open_ones.append(one.span.start)
            out[one.span.start] = before.endswith(":")
        elif isinstance(one, Paren) and open_ones:
            out[open_ones.pop()] |= before[-1:] in {".", "!", "?"}
        before = one.text.rstrip() if isinstance(one, Text) else ""
    return out


def _is_open(text: str) -> bool:
    """Whether words break off before the end of their sentence."""
    return _has_words(text) and text.rstrip()[-1:] not in {".", "!", "?", "…"}


def _lead_after(lesson: Lesson, place: int, end: int, opening: Mapping[int, bool]) -> _Lead | None:
    """The move that the words at a place lead to, or None.

    Words at the board a side line begins on may stand in an earlier block: the talk came back.
    """
    starts = lesson.starts
    k = bisect_right(starts, place)
    if k == len(starts):
        return None
    step = lesson.steps[k]
    if step.change is Change.RETURN and k + 1 < len(starts) and starts[k + 1] < end:
        return None
    parent = lesson.tree.nodes[step.after].parent
    if step.change is not Change.MOVE or parent is None:
        return None
    ways = lesson.tree.nodes[parent].children
    told = {earlier.after for earlier in lesson.steps[:k] if earlier.spoken}
    again = step.after in told
    returned = not step.went_elsewhere and not told.isdisjoint(ways)
    side_line = not again and ways[0] != step.after
    behind = not again and not side_line and not told.isdisjoint(ways)
    between = [paren for paren in opening if place < paren < starts[k]]
    if starts[k] >= end and not (side_line and returned):
        return None
    notation = lesson.tree.nodes[step.after].label
    elsewhere = step.went_elsewhere and step.depth == 0
    return _Lead(
        step.after,
        parent,
        notation,
        side_line,
        elsewhere,
        again,
        returned and side_line,
        behind,
        opened=bool(between),
        told_inside=side_line and any(opening[paren] for paren in between),
    )


def _mark_command(placed: PlacedMark) -> str:
    mark = placed.mark
    arrow = f"{mark.square}-{mark.to}" if mark.to else mark.square
    return f"[%mark {mark.kind}:{arrow}]"


@dataclass(frozen=True, slots=True)
class _Run:
    """Words between two moves: the node they are said at, where they end, the move they lead to."""

    node: int
    text: str
    place: int
    leads_to: _Lead | None
    label: str = ""
    """The bold words it begins with, where they name a box: they go where its first words go."""


def _told(lesson: Lesson, block: Block, signs: Mapping[int, str]) -> list[_Run]:
    """Runs of words of a block; played moves are left out, those that explain the last of a line
    are words. `signs` stand before the words of the links at their places."""
    explained = lesson.tree.explanations()
    opening = _openings(block)
    runs: list[_Run] = []
    for place, text in _texts(lesson, _without_label(block), explained, signs):
        node = lesson.at(place).node
        node = explained.get(node, node)
        leads_to = _lead_after(lesson, place, block.span.end, opening)
        if leads_to is not None and leads_to.node in explained:
            leads_to = None
        goes_on = runs and runs[-1].node == node
        if goes_on and _nothing_between(lesson, runs[-1], place, opening):
            runs[-1] = _Run(node, runs[-1].text + text, place, leads_to)
        else:
            runs.append(_Run(node, text, place, leads_to))
    told = [replace(run, text=" ".join(run.text.replace("\0", "").split(" "))) for run in runs]
    if told and block.kind is BlockKind.QUOTE:
        name = "".join(text for _, text in _texts(lesson, _label(block), explained, signs))
        told[0] = replace(told[0], label=name.strip())
    return told


def _is_general(run: _Run) -> bool:
    """Whether the only words of a block speak of no board: no square and no mark stands in them."""
    return run.leads_to is None and not _OF_A_BOARD.search(run.text)


_LEADS_OVER = re.compile(
    r"(?:\?|^(?:(?:so|and|okay|right|well|good),? )*"
    r"(?:now (?:for|to|on to|comes?)|next(?:,| comes?)|on to)\b[^.!?]*[.!?]?)$",
    re.IGNORECASE,
)
"""A paragraph that only leads over to what comes next: a pupil's question, "Now for the brave"."""


def _leads_over(runs: Sequence[_Run]) -> bool:
    """Whether the only words of a block lead over to the next, also over a heading."""
    return (
        len(runs) == 1
        and runs[0].leads_to is None
        and _is_general(runs[0])
        and bool(_LEADS_OVER.search(runs[0].text.strip()))
    )


def _opened(opening: _Run, runs: list[_Run]) -> list[_Run] | None:
    """The runs of a block with the general words that open its part ("there are three ways"),
    which lead to its first move with the words before that; None if those do not lead elsewhere."""
    first = runs[0] if runs else None
    leads = first.leads_to if first else None
    beside = first is not None and (first.node == opening.node or _leads_over([opening]))
    if first and leads and leads.off and not leads.opened and beside:
        return [replace(first, text=f"{opening.text} {first.text}"), *runs[1:]]
    return None


def _nothing_between(lesson: Lesson, run: _Run, place: int, opening: Mapping[int, bool]) -> bool:
    """Whether words go on with a run: no move and no side line begins between them."""
    lead = run.leads_to
    apart = lead is not None and lead.off and any(run.place < one < place for one in opening)
    return not apart and _no_move_between(lesson, run.place, place)


def _no_move_between(lesson: Lesson, first: int, then: int) -> bool:
    """Whether no move of the game file stands between two places."""
    explained = lesson.tree.explanations()
    steps = lesson.steps[bisect_right(lesson.starts, first) : bisect_right(lesson.starts, then)]
    return all(step.change is not Change.MOVE or step.after in explained for step in steps)


def _label(block: Block) -> tuple[Inline, ...]:
    """The words in bold that a block begins with."""
    bold = takewhile(lambda one: isinstance(one, Text) and one.style.strong, block.inlines)
    return tuple(bold)


def _without_label(block: Block) -> tuple[Inline, ...]:
    """The words of a block; of a box of moves without the words in bold that name it.

    "**Main line.** 1.e4 e5": a heading is no comment on a move. Bold words before others are said.
    """
    label = list(_label(block))
    rest = block.inlines[len(label) :]
    words = (one for one in rest if not (isinstance(one, Text) and not one.text.strip()))
    named = block.kind is BlockKind.QUOTE and isinstance(next(words, None), Move)
    if label and named:
        return rest
    name = label[-1] if label else None
    if (
        block.kind is BlockKind.QUOTE
        and isinstance(name, Text)
        and name.text.strip()[-1:].isalnum()
    ):
        label[-1] = replace(name, text=f"{name.text.rstrip()}: ")
    return (*label, *rest)


def _texts(
    lesson: Lesson,
    inlines: tuple[Inline, ...],
    explained: Mapping[int, int],
    signs: Mapping[int, str],
) -> list[tuple[int, str]]:
    out: list[tuple[int, str]] = []
    around = _around_words(lesson, inlines, explained)
    for inline in inlines:
        match inline:
            case Paren() if inline.span.start in around:
                out.append((inline.span.start, "(" if inline.opens else ")"))
            case Link():
                if sign := signs.get(inline.span.start):
                    out.append((inline.span.start, sign))
                out.extend(_texts(lesson, inline.children, explained, signs))
            case Figure() | Paren():
                pass
            case Move() | Mention():
                placed = lesson.move_at(inline.span.start)
                if placed is None or placed.node is None or placed.node in explained:
                    out.append((inline.span.start, shown_move(inline)))
            case _:
                out.append((inline.span.start, inline.text))
    return out


def _around_words(
    lesson: Lesson, inlines: Sequence[Inline], explained: Mapping[int, int]
) -> frozenset[int]:
    """The places of the parentheses around moves that are words, not a side line."""
    out: set[int] = set()
    open_ones: list[tuple[int, bool]] = []
    for one in inlines:
        if isinstance(one, Paren) and one.opens:
            open_ones.append((one.span.start, True))
        elif isinstance(one, Paren) and open_ones:
            place, words = open_ones.pop()
            out |= {place, one.span.start} if words else set()
        elif isinstance(one, Move | Mention):
            placed = lesson.move_at(one.span.start)
            if placed is not None and placed.node is not None and placed.node not in explained:
                open_ones = [(place, False) for place, _ in open_ones]
    return frozenset(out)


_LEADING = re.compile(r"^[\s,;:.!?)—–-]+(?=[\w(\U000F0000-\U000FFFFF]|$)")
_HOLE = re.compile(r"[,;]?\s+(?=[.,;!?](?:\s|$))")
"""What a side line in parentheses leaves before the mark of its sentence: "free, . Now"."""


def _clean(text: str) -> str:
    """A comment without braces and the punctuation that belonged to the move before it.

    >>> _clean(", the bishop was free, . Now {we} go on")
    'the bishop was free. Now (we) go on'
    """
    plain = " ".join(text.replace("{", "(").replace("}", ")").replace("\0", "").split())
    plain = _HOLE.sub("", plain)
    return _LEADING.sub("", plain).strip()
