"""Reach: how much of what students will meet a lesson answers.

The lesson is walked as positions, so lines that transpose meet. At the opponents' moves their
frequencies in the students' band decide; at the taught side's moves the student plays what the
lesson shows first, moves it shows as bad last.
"""

from __future__ import annotations

import math
from collections import deque
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

import chess

from linewright import _core
from linewright.games import statistics
from linewright.games.collection import Collection, sampled
from linewright.games.statistics import Proportion, Score
from linewright.games.tally import Filter, MoveTally, Tally, ask, move_of
from linewright.lesson import Lesson, Node, PlacedMove
from linewright.moves import side_name

ARRIVALS_FOLLOWED = 2_000
"""Games followed back from a position to see by which moves they came."""
POSITIONS_TRACED = 8
COMMON_ORDER = 0.05
"""An order by which at least so many of a position's games arrive is worth telling."""
RARE = 0.03
"""A reply is rare if its share surely lies below this."""


@dataclass(frozen=True, slots=True)
class Reply:
    """A move of the opponents at a position of the lesson.

    `weight` is the probability that a game from the lesson's start comes to the position and
    goes this way. `node` is a node of the lesson with the position, `line` the moves to it.
    """

    node: int
    fen: str
    line: str
    after: str
    """The move it answers, with its number; empty at the start."""
    label: str
    san: str
    uci: str
    share: Proportion
    score: Score
    """Of the side that plays it."""
    weight: float
    reason: str = ""
    taught_plies: int = 0
    """How many moves the lesson spends after it."""


@dataclass(frozen=True, slots=True)
class Line:
    """A line of the lesson to its end: how likely the opponents go along with all of it."""

    leaf: int
    text: str
    probability: float


@dataclass(frozen=True, slots=True)
class Choice:
    """A first move of the taught side where the lesson shows several, and what it then reaches."""

    node: int
    label: str
    line: str
    inside: float
    unknown: float


@dataclass(frozen=True, slots=True)
class MoveOrder:
    """Moves outside the lesson by which games reach one of its positions."""

    node: int
    line: str
    """How the lesson gets there."""
    moves: str
    share: Proportion


@dataclass(frozen=True, slots=True)
class Reach:
    """What a lesson answers of what its students will meet. Probabilities are 0 to 1.

    `inside` + `unknown` + what is left over make 1: a game from the start stays in the lesson to
    the end of a line, comes to a position the collection has no games of, or meets an unanswered
    reply. `survival` is the probability to be still inside after so many plies from the start.
    """

    start: int
    fen: str
    line: str
    taught: str
    filter: Filter
    collection: str
    generations: tuple[int, ...]
    """The state each collection was in, in the order of their names."""
    games: int
    """Games of the filter that reach the start."""
    inside: float
    low: float
    high: float
    unknown: float
    survival: tuple[tuple[int, float], ...]
    lines: tuple[Line, ...]
    choices: tuple[Choice, ...]
    unanswered: tuple[Reply, ...]
    rare: tuple[Reply, ...]
    orders: tuple[MoveOrder, ...]
    thin: tuple[str, ...]
    """Lines to positions whose figures rest on fewer than 30 games."""

    def basis(self) -> str:
        """What the figures stand on, for a caption."""
        few = "; a small sample" if self.games < statistics.SMALL else ""
        line = self.line or "the start"
        games = statistics.in_games(self.games)
        return f"{games} from {line}, {self.filter}{few}; {self.collection}"

    @property
    def no_games(self) -> str:
        """That nothing was counted, and of what."""
        return f"no games of {self.collection} come to {self.line or 'the start'}, {self.filter}"

    @property
    def half_way(self) -> int | None:
        """Plies from the start after which half the games have left the lesson."""
        return next((ply for ply, inside in self.survival if inside < 0.5), None)


@dataclass(slots=True)
class _Place:
    """A position of the lesson: all nodes that have it, and the moves shown from it."""

    node: Node
    key: int
    moves: dict[str, _Place] = field(default_factory=dict)
    nodes: list[Node] = field(default_factory=list)
    tally: Tally | None = None


@dataclass(frozen=True, slots=True)
class _Value:
    inside: float
    unknown: float
    variance: float


def reach(
    lesson: Lesson,
    collections: Collection | Sequence[Collection],
    *,
    ratings: tuple[int, int] | None = None,
    start: int | None = None,
    orders: bool = True,
) -> Reach | None:
    """What a lesson reaches; `None` if it does not say whom it is for, or shows no moves.

    `ratings` is the band of the students and their opponents, from the front matter if left out;
    `start` a node, else where the lesson's lines begin to part. **Cost**: one tally for each
    position with the opponents to move; the move orders replay up to 16,000 games.
    """
    front = lesson.script.front
    taught = {"White": chess.WHITE, "Black": chess.BLACK}.get(front.taught or "")
    if taught is None or len(lesson.tree.nodes) < 2:
        return None
    several = [collections] if isinstance(collections, Collection) else list(collections)
    first = _start(lesson) if start is None else start
    chosen = Filter(ratings or front.students)
    walk = _Walk(lesson, several, taught, chosen, first)
    return walk.record(_orders(lesson, several, walk) if orders else ())


def _start(lesson: Lesson) -> int:
    """Where a lesson begins in earnest: where its lines part or its first paragraph ends.

    If the first paragraph is all there is, its first run of moves is taken for the way there.
    """
    nodes = lesson.tree.nodes
    trunk = [0]
    while len(nodes[trunk[-1]].children) == 1:
        trunk.append(nodes[trunk[-1]].children[0])
    part = len(trunk) - 1 if nodes[trunk[-1]].children else len(trunk) - 2
    spoken = [m for m in lesson.moves if m.node is not None]
    for group in (_paragraph(lesson, spoken), _run(lesson, spoken)):
        reached = max((trunk.index(m.node) for m in group if m.node in trunk), default=0)
        if reached and nodes[trunk[reached]].children:
            return trunk[min(part, reached)]
    return trunk[max(part, 0)]


def _paragraph(lesson: Lesson, spoken: list[PlacedMove]) -> list[PlacedMove]:
    """The moves of the first block that has any."""
    for block in lesson.script.blocks:
        inside = [m for m in spoken if block.span.start <= m.span.start < block.span.end]
        if inside:
            return inside
    return []


def _run(lesson: Lesson, spoken: list[PlacedMove]) -> list[PlacedMove]:
    """The first moves, as long as only numbers and spaces stand between them."""
    run = spoken[:1]
    for one, other in pairwise(spoken):
        between = lesson.script.source.text[one.span.end : other.span.start]
        if between.strip(" \n0123456789.…"):
            break
        run.append(other)
    return run


class _Walk:
    """The lesson as positions, with the values of each."""

    def __init__(
        self,
        lesson: Lesson,
        collections: list[Collection],
        taught: chess.Color,
        chosen: Filter,
        first: int,
    ) -> None:
        self.lesson = lesson
        self.taught = taught
        self._collections = collections
        self._filter = chosen
        self._untaught = _untaught(lesson)
        self.places: dict[int, _Place] = {}
        self.start = self._gather(first)
        self._values: dict[int, _Value] = {}

    def _gather(self, first: int) -> _Place:
        nodes = self.lesson.tree.nodes
        begin = self._place(nodes[first])
        waiting = deque([first])
        while waiting:
            node = nodes[waiting.popleft()]
            here = self._place(node)
            for child in sorted(node.children, key=self._untaught.__contains__):
                move = nodes[child].move
                if move is not None:
                    here.moves.setdefault(move.uci(), self._place(nodes[child]))
                waiting.append(child)
        return begin

    def _place(self, node: Node) -> _Place:
        key = _core.position_key(node.board().fen(en_passant="fen"))
        place = self.places.setdefault(key, _Place(node, key))
        if node not in place.nodes:
            place.nodes.append(node)
        return place

    def tally(self, place: _Place) -> Tally:
        if place.tally is None:
            fen = place.node.board().fen(en_passant="fen")
            place.tally = ask(self._collections, fen, self._filter)
        return place.tally

    def theirs(self, place: _Place) -> bool:
        return place.node.board().turn != self.taught

    def value(self, place: _Place, path: frozenset[int] = frozenset()) -> _Value:
        """Probability to stay inside from here, and the variance of that figure."""
        if place.key in self._values:
            return self._values[place.key]
        if not place.moves or place.key in path:
            return _Value(1.0, 0.0, 0.0)
        path |= {place.key}
        if self.theirs(place):
            found = self._expected(place, path)
        else:
            found = self.value(next(iter(place.moves.values())), path)
        self._values[place.key] = found
        return found

    def _expected(self, place: _Place, path: frozenset[int]) -> _Value:
        tally = self.tally(place)
        if not tally.games:
            return _Value(0.0, 1.0, 0.0)
        parts = [
            (found.share.share, self.value(child, path))
            for uci, child in place.moves.items()
            if (found := tally.move(uci)) is not None
        ]
        inside = sum(share * part.inside for share, part in parts)
        # Delta method: the spread of the shares (multinomial), and that of what follows them.
        spread = sum(share * part.inside**2 for share, part in parts) - inside**2
        variance = spread / tally.games + sum(s * s * part.variance for s, part in parts)
        unknown = sum(share * part.unknown for share, part in parts)
        return _Value(inside, unknown, max(variance, 0.0))

    def weights(self) -> tuple[dict[int, float], list[float]]:
        """Probability of a game to come to each position, and to be inside after each ply."""
        weights: dict[int, float] = {}
        layer = {self.start.key: 1.0}
        survival = [1.0]
        ended = 0.0
        for _ in range(len(self.lesson.tree.nodes)):
            following: dict[int, float] = {}
            for key, weight in layer.items():
                weights[key] = weights.get(key, 0.0) + weight
                place = self.places[key]
                if not place.moves:
                    ended += weight
                for child, share in self._steps(place):
                    following[child.key] = following.get(child.key, 0.0) + weight * share
            if not following:
                break
            layer = following
            survival.append(ended + sum(layer.values()))
        return weights, survival

    def _steps(self, place: _Place) -> Iterable[tuple[_Place, float]]:
        if not place.moves:
            return
        if not self.theirs(place):
            yield next(iter(place.moves.values())), 1.0
            return
        tally = self.tally(place)
        for uci, child in place.moves.items():
            found = tally.move(uci)
            if found is not None:
                yield child, found.share.share

    # --- what it comes to ---------------------------------------------------------------------

    def record(self, orders: tuple[MoveOrder, ...]) -> Reach:
        lesson, begin = self.lesson, self.start
        value = self.value(begin)
        weights, survival = self.weights()
        theirs = [p for p in self.places.values() if p.moves and self.theirs(p)]
        opening = ask(self._collections, begin.node.board().fen(en_passant="fen"), self._filter)
        low, high = _interval(value, opening.games)
        unanswered = [one for place in theirs for one in self._unanswered(place, weights)]
        unanswered.sort(key=lambda one: (-one.weight, -one.share.count))
        return Reach(
            start=begin.node.index,
            fen=begin.node.fen,
            line=lesson.tree.text(begin.node.index),
            taught=side_name(self.taught),
            filter=self._filter,
            collection=opening.collection,
            generations=opening.generations,
            games=opening.games,
            inside=value.inside,
            low=low,
            high=high,
            unknown=value.unknown,
            survival=tuple(enumerate(survival)),
            lines=self._lines(),
            choices=self._choices(),
            unanswered=tuple(unanswered),
            rare=tuple(one for place in theirs for one in self._rare(place, weights)),
            orders=orders,
            thin=tuple(
                lesson.tree.text(p.node.index)
                for p in theirs
                if self.tally(p).games < statistics.SMALL
            ),
        )

    def _lines(self) -> tuple[Line, ...]:
        lines = []
        for leaf in self.lesson.tree.leaves():
            chance = 1.0
            for node in self.lesson.tree.line(leaf.index):
                if node.ply <= self.start.node.ply or node.parent is None or node.move is None:
                    continue
                place = self._place(self.lesson.tree.nodes[node.parent])
                if self.theirs(place):
                    found = self.tally(place).move(node.move.uci())
                    chance *= found.share.share if found else 0.0
            lines.append(Line(leaf.index, self.lesson.tree.text(leaf.index), chance))
        return tuple(lines)

    def _choices(self) -> tuple[Choice, ...]:
        found = []
        for place in self.places.values():
            taught = [c for c in place.moves.values() if self._is_taught(c)]
            if self.theirs(place) or len(taught) < 2:
                continue
            for child in taught:
                value = self.value(child)
                node = child.node
                line = self.lesson.tree.text(place.node.index)
                found.append(Choice(node.index, node.label, line, value.inside, value.unknown))
        return tuple(found)

    def _is_taught(self, place: _Place) -> bool:
        return any(node.index not in self._untaught for node in place.nodes)

    def _reply(
        self, place: _Place, move: MoveTally, weights: dict[int, float], **more: object
    ) -> Reply:
        node = place.node
        dots = "." if node.board().turn else "..."
        return Reply(
            node=node.index,
            fen=node.fen,
            line=self.lesson.tree.text(node.index),
            after=node.label if node.parent is not None else "",
            label=f"{node.board().fullmove_number}{dots}{move.san}",
            san=move.san,
            uci=move.uci,
            share=move.share,
            score=move.score,
            weight=weights.get(place.key, 0.0) * move.share.share,
            **more,  # type: ignore[arg-type]
        )

    def _unanswered(self, place: _Place, weights: dict[int, float]) -> Iterable[Reply]:
        tally = self.tally(place)
        for move in tally.moves:
            if move.uci in place.moves or self._leads_back(place, move):
                continue
            yield self._reply(place, move, weights, reason=_reason(place, tally, move))

    def _leads_back(self, place: _Place, move: MoveTally) -> bool:
        """Whether the reply comes to another position of the lesson."""
        board = place.node.board()
        board.push_uci(move.uci)
        return _core.position_key(board.fen(en_passant="fen")) in self.places

    def _rare(self, place: _Place, weights: dict[int, float]) -> Iterable[Reply]:
        tally = self.tally(place)
        if tally.small:
            return
        for uci, child in place.moves.items():
            move = tally.move(uci)
            share = move.share if move else statistics.proportion(0, tally.games)
            if share.high < RARE:
                san = place.node.board().san(chess.Move.from_uci(uci))
                known = move or _never(uci, san, share)
                yield self._reply(
                    place, known, weights, taught_plies=_below(child), reason="hardly met"
                )


def _interval(value: _Value, games: int) -> tuple[float, float]:
    """Where the true figure lies: by the delta method, or Wilson's where that would claim too much.

    None or all of the games inside leave the delta method no spread, as few games do.
    """
    if games < statistics.SMALL or not value.variance:
        return statistics.wilson(value.inside * games, games)
    half = statistics.Z95 * math.sqrt(value.variance)
    return max(0.0, value.inside - half), min(1.0, value.inside + half)


def _untaught(lesson: Lesson) -> set[int]:
    """The nodes whose moves the lesson shows the students without teaching to play them."""
    from linewright.analyst.review import is_taught, shown_moves

    side = lesson.front.taught == "White"
    own = (shown for shown in shown_moves(lesson) if shown.white == side)
    return {shown.node.index for shown in own if not is_taught(lesson, shown)}


def _never(uci: str, san: str, share: Proportion) -> MoveTally:
    nothing = statistics.score(0, 0, 0)
    drawn = statistics.proportion(0, 0)
    return MoveTally(uci, san, 0, share, nothing, drawn, None, None, None, None, {}, 0)


def _below(place: _Place) -> int:
    """How many positions the lesson shows from here on, this one included."""
    seen: set[int] = set()
    waiting = [place]
    while waiting:
        one = waiting.pop()
        if one.key not in seen:
            seen.add(one.key)
            waiting += one.moves.values()
    return len(seen)


def _reason(place: _Place, tally: Tally, move: MoveTally) -> str:
    """The first thing, without an engine, for which a reply matters beside its share."""
    board = place.node.board()
    played = chess.Move.from_uci(move.uci)
    side = side_name(board.turn)
    rest = [m.score for m in tally.moves if m.uci in place.moves]
    others = statistics.score(
        sum(s.wins for s in rest), sum(s.draws for s in rest), sum(s.losses for s in rest)
    )
    if others.games and statistics.score_difference(move.score, others)[0] > 0:
        return f"{side} scores {move.score}, more than with what the lesson answers ({others})"
    if move.san.endswith("#"):
        return "it is mate"
    if board.is_capture(played):
        taken = board.piece_at(played.to_square)
        what = chess.piece_name(taken.piece_type) if taken else "pawn"
        return f"it takes a {what}"
    if board.gives_check(played):
        return "it gives check"
    return "it is played most" if tally.rank(move.uci) == 1 else ""


def _orders(lesson: Lesson, collections: list[Collection], walk: _Walk) -> tuple[MoveOrder, ...]:
    found: list[MoveOrder] = []
    for node in _traced(lesson, walk):
        ways: dict[tuple[int, ...], int] = {}
        key = _core.position_key(node.board().fen(en_passant="fen"))
        for one in collections:
            numbers = sampled(one.games_through(key), ARRIVALS_FOLLOWED)
            for way, count in one.stored(numbers).arrivals(key, one.manifest.plies):
                ways[tuple(way)] = ways.get(tuple(way), 0) + count
        found += _outside(lesson, node, ways)
    return tuple(sorted(found, key=lambda one: -one.share.share))


def _traced(lesson: Lesson, walk: _Walk) -> list[Node]:
    """The positions worth asking for other orders: the start, where lines part, the parts' keys."""
    nodes = lesson.tree.nodes
    wanted = [walk.start.node.index, *(n.index for n in nodes if len(n.children) > 1)]
    wanted += [part.key for part in lesson.parts]
    wanted += [p.node.index for p in walk.places.values() if len(p.nodes) > 1]
    keep = [nodes[index] for index in dict.fromkeys(wanted) if nodes[index].ply > 2]
    return sorted(keep, key=lambda node: node.ply)[:POSITIONS_TRACED]


def _outside(lesson: Lesson, node: Node, ways: dict[tuple[int, ...], int]) -> Iterable[MoveOrder]:
    inside = {_core.position_key(one.board().fen(en_passant="fen")) for one in lesson.tree.nodes}
    total = sum(ways.values())
    for way, count in ways.items():
        if count < COMMON_ORDER * total:
            continue
        board = chess.Board()
        moves, leaves = [], False
        for code in way:
            move = move_of(board, code)
            number = f"{board.fullmove_number}." if board.turn else ""
            moves.append(number + board.san_and_push(move))
            leaves |= _core.position_key(board.fen(en_passant="fen")) not in inside
        if leaves:
            share = statistics.proportion(count, total)
            yield MoveOrder(node.index, lesson.tree.text(node.index), " ".join(moves), share)
