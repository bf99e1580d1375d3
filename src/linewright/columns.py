"""Arrange boards in columns of words: `Piece`s as they are told → where each board stands.

A board stands right behind the words that reach it. Where what is left of their column is too low
for it, it stands at the foot of the column with the end of these words behind it, or at the head
of the next one with the words that follow before it: whichever costs less. Boards never change
their order.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from enum import Enum, auto
from math import inf


class Kind(Enum):
    """What breaks between its lines, what stays whole, what draws on what follows it."""

    WORDS = auto()
    WHOLE = auto()
    HEADING = auto()
    BOARD = auto()


class Place(Enum):
    """Where a board stands: in the words, at the foot of their column, at the head of the next."""

    HERE = auto()
    FOOT = auto()
    HEAD = auto()


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece of the lesson as it is set in a column.

    `other` is its height in its other form: words that follow words are indented, a board away
    from its part has the part's name in its caption. `above` and `below` is the space it asks for,
    none if it takes what is usual between paragraphs. `part` counts the headings before it.
    Units: points.
    """

    kind: Kind
    height: float
    other: float
    above: float | None = None
    below: float | None = None
    part: int = 0


@dataclass(frozen=True, slots=True)
class Setting:
    """How the columns are made. Units: points.

    `heights` are those of the first columns and, last, of all others; `line` is the height of a
    line, `leading` the space between two, `spacing` that between paragraphs, `clearance` that
    between a board at foot or head of a column and the words.
    """

    heights: tuple[float, ...]
    line: float
    leading: float
    spacing: float
    clearance: float

    @property
    def pitch(self) -> float:
        """From one line to the next."""
        return self.line + self.leading


@dataclass(frozen=True, slots=True)
class Standing:
    """A board's place: behind which piece it is set (at the foot: before it), and whether it left
    its part. Where it was told it is behind itself."""

    board: int
    place: Place
    behind: int
    away: bool


SLACK = 2.0
"""Points by which heights may differ from the typesetter's and no board be lost from its place."""
ROUNDING = 0.01
MOST_STATES = 40
"""Arrangements followed side by side."""
PATIENCE = 2
"""So many pieces of words at most pass a board before it is set."""

# What an arrangement costs, in lines left empty.
STACKED, AWAY, PASSED, BEFORE = 45.0, 8.0, 0.6, 0.3
"""That boards of different words touch, that one leaves its part, each line that it lets pass, and
each line of its own words that stands behind it."""
AT_FOOT, AT_HEAD, PUT_OFF, TWINS = 2.0, 2.0, 5.0, 2.0
"""That a board stands elsewhere than right behind its words, or touches another of theirs."""
FREE_LINES, GROWS = 1.5, 0.2
"""Lines that may be empty at no cost, as words rarely fill a column to the line, and how much the
cost of the others grows with their square."""
BEFORE_WHOLE = 24.0
"""What a hole costs at most before what stays whole, an exercise: nothing can fill it."""


@dataclass(frozen=True, slots=True)
class _State:
    """An arrangement so far: how full the column is, and which boards are still to be set.

    `heads` wait for the next column, `waiting` for the next end of words (with the number of
    pieces they let pass). `touched` is the anchor of the board that stands last in the column.
    """

    column: int
    y: float
    limit: float
    below: float | None
    indents: bool
    cost: float
    set: tuple[Standing, ...] = ()
    heads: tuple[int, ...] = ()
    heads_from: float = 0.0
    waiting: tuple[tuple[int, int], ...] = ()
    touched: int | None = None


def arrange(pieces: Sequence[Piece], setting: Setting) -> tuple[Standing, ...]:
    """Where each board stands, in their order.

    A figure that stays whole may be passed by a board that waits.

    **Cost**: more than linear in the pieces: 0.8 s for a hundred boards, 1.8 s for two hundred.
    """
    return _Arranging(pieces, setting).best()


class _Arranging:
    """Follows the cheapest arrangements from piece to piece."""

    def __init__(self, pieces: Sequence[Piece], setting: Setting) -> None:
        self.pieces = pieces
        self.setting = setting
        self.anchors: dict[int, int] = {}
        for k, piece in enumerate(pieces):
            if piece.kind is Kind.BOARD and k:
                self.anchors[k] = self.anchors.get(k - 1, k - 1)

    def best(self) -> tuple[Standing, ...]:
        states = [_State(0, 0.0, self.column(0), None, False, 0.0)]
        for k, piece in enumerate(self.pieces):
            states = _cheapest(
                after for state in states for after in self.with_piece(state, k, piece)
            )
        ended = (self.ended(state) for state in states)
        found = min(ended, key=lambda state: state.cost)
        return tuple(sorted(found.set, key=lambda standing: standing.board))

    def column(self, k: int) -> float:
        return self.setting.heights[min(k, len(self.setting.heights) - 1)]

    # Pieces

    def with_piece(self, state: _State, k: int, piece: Piece) -> Iterator[_State]:
        if piece.kind is Kind.BOARD:
            if any(standing.board == k for standing in state.set):
                yield state
                return
            yield from self.served(replace(state, waiting=(*state.waiting, (k, 0))), k)
            return
        if piece.kind is Kind.HEADING:
            yield self.flowed(state, k, self.drawn(k))
            return
        for before in (state, *self.at_foot(state, k)):
            after = self.flowed(before, k, self.first_of(piece))
            yield from self.served(after, k)

    def flowed(self, state: _State, k: int, needed: float) -> _State:
        """The state behind a piece that is no board, whose beginning needs so much at once."""
        piece, setting = self.pieces[k], self.setting
        words = piece.kind is Kind.WORDS and piece.above is None
        height = piece.other if words and state.indents else piece.height
        gap = self.gap(state, piece)
        if state.y and state.y + gap + needed > state.limit + ROUNDING:
            most = BEFORE_WHOLE if piece.kind is Kind.WHOLE else inf
            state, gap = self.broken(state, k - 1, most), self.gap_at_head(state)
        if piece.kind is Kind.WORDS:
            lines = max(round((height + setting.leading) / setting.pitch), 1)
            pitch = (height + setting.leading) / lines
            while state.y + gap + lines * pitch - setting.leading > state.limit + ROUNDING:
                fit = int((state.limit - state.y - gap + setting.leading + ROUNDING) // pitch)
                fit = min(fit, lines - 2)
                if fit < 2 or lines < 4:
                    if not state.y:
                        break  # higher than a column
                    state, gap = self.broken(state, k - 1), self.gap_at_head(state)
                    continue
                state = replace(state, y=state.y + gap + fit * pitch - setting.leading)
                state, lines = self.broken(state, k), lines - fit
                gap = self.gap_at_head(state)
            height = lines * pitch - setting.leading
        return replace(
            state,
            y=state.y + gap + height,
            below=piece.below,
            indents=words,
            touched=None,
        )

    def drawn(self, k: int) -> float:
        """What a heading needs with the beginning of what follows it."""
        needed, below = self.pieces[k].height, self.pieces[k].below
        for piece in self.pieces[k + 1 :]:
            space = max(below or 0.0, piece.above or 0.0)
            needed += space + self.first_of(piece)
            if piece.kind is not Kind.HEADING:
                break
            below = piece.below
        return needed

    def first_of(self, piece: Piece) -> float:
        """What must stand together at the beginning of a piece: no line is left alone."""
        if piece.kind is not Kind.WORDS:
            return piece.height
        setting = self.setting
        lines = round((piece.height + setting.leading) / setting.pitch)
        return piece.height if lines <= 3 else 2 * setting.pitch - setting.leading

    def gap(self, state: _State, piece: Piece) -> float:
        if not state.y:
            return 0.0
        asked = [space for space in (state.below, piece.above) if space is not None]
        return max(asked) if asked else self.setting.spacing

    def gap_at_head(self, state: _State) -> float:
        return self.setting.clearance if state.heads else 0.0

    def broken(self, state: _State, k: int, most: float = inf) -> _State:
        """The next column, with what waits for its head, where piece `k` ends the one before."""
        setting, pieces = self.setting, self.pieces
        empty = max((state.limit - state.y) / setting.pitch - FREE_LINES, 0.0)
        cost = state.cost + min(empty + GROWS * empty * empty, most)
        y, standings = 0.0, []
        passed = (state.y - state.heads_from) / setting.pitch
        for board in state.heads:
            away = pieces[board].part != pieces[k].part
            behind = next(s.behind for s in state.set if s.board == board)
            standings.append(Standing(board, Place.HEAD, behind, away))
            cost += AWAY * away + PASSED * passed
            y += pieces[board].other if away else pieces[board].height
            y += setting.clearance if board != state.heads[-1] else 0.0
        kept = tuple(s for s in state.set if s.board not in state.heads)
        column = state.column + 1
        return replace(
            state,
            column=column,
            y=y,
            limit=self.column(column),
            below=setting.clearance if state.heads else None,
            cost=cost,
            set=(*kept, *standings),
            heads=(),
            touched=self.anchors.get(state.heads[-1]) if state.heads else None,
        )

    # Boards

    def at_foot(self, state: _State, k: int) -> Iterator[_State]:
        """The state with the first board of some words at the foot of the column they begin in."""
        piece, board = self.pieces[k], k + 1
        if state.heads or state.waiting or board >= len(self.pieces):
            return
        if piece.kind is not Kind.WORDS or self.pieces[board].kind is not Kind.BOARD:
            return
        setting, height = self.setting, self.pieces[board].height
        room = state.limit - state.y - self.gap(state, piece) - height - setting.clearance - SLACK
        lines = round((piece.height + setting.leading) / setting.pitch)
        fits = int((room + setting.leading) // setting.pitch)
        if lines < 4 or fits < 2 or fits >= lines:
            return
        yield replace(
            state,
            limit=state.limit - height - setting.clearance,
            cost=state.cost + AT_FOOT + BEFORE * (lines - fits),
            set=(*state.set, Standing(board, Place.FOOT, k, False)),
        )

    def served(self, state: _State, k: int) -> Iterator[_State]:
        """The states in which boards that wait are set behind a piece, or wait longer."""
        if not state.waiting:
            yield state
            return
        (board, passed), *others = state.waiting
        rest = replace(state, waiting=tuple(others))
        piece = self.pieces[board]
        away = piece.part != self.pieces[k].part
        height = piece.other if away else piece.height
        room = state.limit - state.y - self.gap(state, piece)
        if state.heads or height > room - SLACK:
            low = height > room + SLACK
            if low or not state.heads:
                yield from self.served(self.here(self.broken(rest, k), board, k), k)
            if low and state.y:
                yield from self.served(self.at_head(rest, board, k), k)
            if passed < PATIENCE or (state.heads and not low):
                yield self.put_off(state, k)
        else:
            yield from self.served(self.here(rest, board, k), k)
            if self.stacked(state, board) and passed < PATIENCE:
                yield self.put_off(state, k)

    def here(self, state: _State, board: int, k: int) -> _State:
        piece = self.pieces[board]
        away = piece.part != self.pieces[k].part
        stacked = self.stacked(state, board)
        twins = state.touched is not None and not stacked
        height = piece.other if away else piece.height
        return replace(
            state,
            y=state.y + self.gap(state, piece) + height,
            below=piece.below,
            indents=False,
            cost=state.cost + STACKED * stacked + TWINS * twins + AWAY * away,
            set=(*state.set, Standing(board, Place.HERE, k, away)),
            touched=self.anchors.get(board),
        )

    def stacked(self, state: _State, board: int) -> bool:
        """Whether a board would stand on the board of other words."""
        return state.touched is not None and state.touched != self.anchors.get(board)

    def at_head(self, state: _State, board: int, k: int) -> _State:
        others = {self.anchors.get(head) for head in state.heads} - {self.anchors.get(board)}
        return replace(
            state,
            cost=state.cost + AT_HEAD + STACKED * bool(others),
            set=(*state.set, Standing(board, Place.HEAD, k, False)),
            heads=(*state.heads, board),
            heads_from=state.heads_from if state.heads else state.y,
        )

    def put_off(self, state: _State, k: int) -> _State:
        passed = 0.0
        for piece in self.pieces[k + 1 :]:
            passed += piece.height if piece.kind is not Kind.BOARD else 0.0
            if piece.kind in {Kind.WORDS, Kind.WHOLE}:
                break
        waiting = tuple((board, times + 1) for board, times in state.waiting)
        cost = state.cost + len(waiting) * (PUT_OFF + PASSED * passed / self.setting.pitch)
        return replace(state, waiting=waiting, cost=cost)

    def ended(self, state: _State) -> _State:
        """The state with all boards set: behind the last piece, whatever waits."""
        last = len(self.pieces) - 1
        for board, _ in state.waiting:
            state = self.here(state, board, last)
        heads = state.heads
        state = self.broken(state, last) if heads else state
        return replace(state, waiting=(), cost=state.cost + AWAY * len(heads))


def _cheapest(states: Iterable[_State]) -> list[_State]:
    """The cheapest states, of those that go on alike only one."""
    best: dict[tuple[object, ...], _State] = {}
    for state in states:
        key = (
            state.column, round(state.y), round(state.limit), state.indents,
            state.heads, state.waiting, state.touched,
        )  # fmt: skip
        if key not in best or state.cost < best[key].cost:
            best[key] = state
    return sorted(best.values(), key=lambda state: state.cost)[:MOST_STATES]
