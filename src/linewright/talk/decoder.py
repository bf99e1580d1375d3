"""Which reading of a whole talk makes sense on the board.

A beam search over the phrases of a talk in order. A hypothesis is a place in a tree of moves with
the places it may return to; each phrase may be a move from here or from an earlier place, a
supposed or mentioned side line, the repetition of a move already made, a going back, a slip with
the move that was meant, a move after one that was not said, or nothing but talk. Every choice has
a price (minus a log likelihood, own constants tuned on the invented talks of `tests/talks/tune`);
the cheapest whole is kept, with its nearest rivals.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

import chess

from linewright.talk.phrases import Form, Phrase, Spec
from linewright.talk.sounds import distance, square_phones
from linewright.talk.usual import Legal, Positions
from linewright.talk.vocabulary import INFINITE

BEAM = 48
SPREAD = 12.0
"""Hypotheses this much dearer than the cheapest are dropped."""

SAME_BOARD = 3
"""How many hypotheses with the same board are kept."""

SLIP = 5.6
"""What a slip of the tongue costs: about one in 270 moves (own estimate)."""


class Kind(StrEnum):
    """What a phrase turned out to be."""

    PLAY = "play"
    ASIDE = "aside"
    ECHO = "echo"
    GOTO = "goto"
    PLACE = "place"


class Mode(StrEnum):
    """What a line is to the teacher."""

    SHOWN = "shown"
    SUPPOSED = "supposed"
    MENTIONED = "mentioned"


@dataclass(frozen=True, slots=True)
class Fault:
    """Where the words and the move differ.

    `slot` names the part (square, piece, wing, capture, from, side); `misheard` says the
    recogniser is likelier to blame than the teacher.
    """

    slot: str
    misheard: bool = False


@dataclass(slots=True)
class Event:
    """One decision, with the one before it."""

    before: Event | None
    kind: Kind
    phrase: Phrase | None
    price: float
    node: int
    base: int = 0
    silent: tuple[int, ...] = ()
    faults: tuple[Fault, ...] = ()
    mode: Mode = Mode.SHOWN
    extra: tuple[int, ...] = ()
    depth: int = 0
    true: bool | None = None


Stack = tuple[tuple[int, Mode], ...]


@dataclass(slots=True)
class Hypothesis:
    """A way to understand the talk so far."""

    price: float
    here: int
    stack: Stack
    mode: Mode
    event: Event | None
    rivals: Rival | None = None
    silent: frozenset[int] = frozenset()
    """Positions reached by moves that were not said."""

    @property
    def key(self) -> tuple[int, Stack, Mode]:
        return self.here, self.stack, self.mode


@dataclass(slots=True)
class Rival:
    """Another way to the same place, kept for the margin."""

    event: Event | None
    gap: float
    kept: Event | None
    before: Rival | None


@dataclass(frozen=True, slots=True)
class Choice:
    """A legal move that words may mean, with the price and what does not fit."""

    price: float
    legal: Legal
    faults: tuple[Fault, ...]


@dataclass(frozen=True, slots=True)
class Prices:
    """How likely a phrase is to be a move played, a side line, or only talk."""

    play: float
    branch: float
    aside: float
    echo: float


@dataclass(frozen=True, slots=True)
class Base:
    """A place a move may be played from."""

    node: int
    price: float
    stack: Stack
    mode: Mode
    current: bool = False
    instead: chess.Move | None = None
    """The move of the line at hand that another one here would replace."""


def reading_prices(phrase: Phrase, mode: Mode = Mode.SHOWN) -> Prices:
    """The prices of a phrase's readings from its form and its cues."""
    cues = phrase.cues
    play, aside = _form_prices(phrase)
    echo = 0.5 if phrase.spec.full else 1.2
    branch = play + 2.5
    if cues.supposed:
        echo += 1.2
        branch, play, aside = play, play + (2.2 if mode is Mode.SHOWN else 0.0), aside + 0.8
    if cues.modal and not cues.supposed:
        branch, play, aside = play + 0.2, play + 0.9, min(aside, 2.3)
    if cues.infinitive:
        branch, play, aside = min(branch, play + 1.2), play + 1.3, min(aside, 0.8)
    if cues.intent:
        branch, play, aside = play + 1.2, play + 3.0, min(aside, 0.1)
    if cues.negated:
        branch, play, aside = play + 2.6, play + 3.4, min(aside, 0.1)
    tells = cues.side or (cues.person and cues.played)
    if tells and not (cues.reason or cues.static or cues.paired) and phrase.spec.full:
        aside += 1.4  # "Black brings the bishop to f5" tells of a move
    if cues.paired:
        aside = min(aside, 1.0)
    if cues.repeated:
        aside = min(aside, 1.2)
    if cues.unreal and not cues.supposed and phrase.form is Form.PLACED:
        aside, play = 0.0, play + 1.5
    if cues.instead_of:
        play, branch, aside = play + 3.0, branch + 2.5, min(aside, 1.5)
    if cues.back == 2 and phrase.form in (Form.FULL, Form.SQUARE, Form.CAPTURE, Form.NOTATION):
        aside += 2.0 if not cues.static else 0.0
    if cues.after:
        echo -= 0.2
    elif cues.played and (cues.side or cues.person):
        echo += 0.7
    if phrase.cut:
        play, branch, aside, echo = play + 1.6, branch + 1.6, aside + 1.6, echo + 1.6
    return Prices(play, branch, aside, max(0.1, echo))


def _form_prices(phrase: Phrase) -> tuple[float, float]:
    cues = phrase.cues
    form = phrase.form
    if form is Form.NOTATION:
        return 0.0, 1.4 if cues.reason else 4.0
    if form is Form.FULL:
        if cues.reason:
            return 0.8, 1.2
        if not phrase.spec.pieces and phrase.spec.free:
            return 0.2, 1.5
        return 0.0, (2.6 if phrase.verb else 3.8) if phrase.spec.pieces else 2.2
    if form is Form.PLACED:
        return (5.0, 0.0) if cues.static else (0.4, 1.8)
    if form is Form.SQUARE:
        if cues.static:
            return 4.2, 0.0
        if cues.played or cues.side or cues.listed:
            return 0.0, 3.4
        return 0.3, 2.0
    if form is Form.CASTLING:
        return (2.2, 0.1) if cues.gerund else (0.0, 2.8)
    if form is Form.CAPTURE:
        if cues.gerund:
            return 1.8, 0.5
        if cues.reason:
            return 0.6, 1.2
        if phrase.spec.targets or phrase.spec.captured:
            return 0.0, 3.4
        if phrase.spec.pieces or cues.side:
            return 0.0, 2.8
        return 0.2, 1.8 if cues.person else 1.5
    if form in (Form.TRADE, Form.BOTH):
        return 0.2, 1.4 if cues.gerund or cues.infinitive else 2.8
    return 0.4, 1.0


class Decoder:
    """Searches the readings of one talk. `noise` is the recogniser's share of wrong words."""

    def __init__(
        self,
        positions: Positions,
        noise: float = 0.01,
        me: str = "",
        beam: int = BEAM,
        answered: dict[tuple[int, int], str] | None = None,
    ) -> None:
        self.positions = positions
        self.me = me
        self.beam = beam
        self.answered = answered or {}
        self.noise = noise
        self._resolved: dict[tuple[int, Spec], tuple[Choice, ...]] = {}
        self._literal: dict[tuple[int, Spec], bool] = {}
        self._targets: dict[tuple[tuple[int, float], ...], list[tuple[float, bool]]] = {}
        self._confusions = _confusions(noise)
        self._bar = INFINITE
        self._floor = 0.0

    # --- the search ---------------------------------------------------------------------------

    def search(self, phrases: dict[int, list[Phrase]], skips: dict[int, float]) -> list[Hypothesis]:
        """The best hypotheses of the whole talk, cheapest first."""
        starts = sorted(phrases)
        following = dict(zip(starts, [*starts[1:], -1], strict=True))
        agenda: dict[int, dict[tuple[int, Stack, Mode], Hypothesis]] = {}
        first = Hypothesis(0.0, 0, (), Mode.SHOWN, None)
        agenda[starts[0] if starts else -1] = {first.key: first}
        for start in starts:
            waiting = agenda.pop(start, None)
            if not waiting:
                continue
            self._bar = INFINITE * 1e3
            kept = _pruned(waiting, self.beam)
            self._floor = kept[0].price
            for hypothesis in kept:
                self._step(hypothesis, phrases[start], skips[start], following, starts, agenda)
        return _pruned(agenda.get(-1, {first.key: first}), self.beam)

    def _step(
        self, hypothesis: Hypothesis, phrases: Sequence[Phrase], skip: float,
        following: dict[int, int], starts: Sequence[int],
        agenda: dict[int, dict[tuple[int, Stack, Mode], Hypothesis]],
    ) -> None:  # fmt: skip
        place = following[phrases[0].first]
        if any((p.first, p.end) in self.answered for p in phrases):
            phrases = [p for p in phrases if (p.first, p.end) in self.answered]
            skip += 50.0
        skipped = replace(hypothesis, price=hypothesis.price + skip)
        _offer(agenda.setdefault(place, {}), skipped)
        for phrase in phrases:
            after = _next_start(starts, phrase.end)
            slot = agenda.setdefault(after, {})
            answer = self.answered.get((phrase.first, phrase.end))
            for new in self._readings(hypothesis, phrase):
                if answer is not None and not self._agrees(new, answer):
                    continue
                self._bar = min(self._bar, new.price + SPREAD)
                if new.price <= self._bar:
                    _offer(slot, new)

    def _agrees(self, hypothesis: Hypothesis, answer: str) -> bool:
        """Whether the last decision is what the teacher has answered."""
        event = hypothesis.event
        if event is None or event.kind is not Kind.PLAY:
            return not any(c.isdigit() for c in answer) and not answer.startswith(("O-O", "0-0"))
        san = answer.rpartition(".")[2].strip().rstrip("+#")
        return self.positions.san(event.node).rstrip("+#") == san

    def _readings(self, hyp: Hypothesis, phrase: Phrase) -> Iterator[Hypothesis]:
        prices = reading_prices(phrase, hyp.mode)
        yield self._aside(hyp, phrase, prices)
        if phrase.form is Form.TRADE:
            yield from self._trade(hyp, phrase, prices)
            return
        if phrase.form is Form.BOTH:
            yield from self._both(hyp, phrase, prices)
            return
        yield from self._echoes(hyp, phrase, prices)
        yield from self._plays(hyp, phrase, prices)

    def _event(self, hyp: Hypothesis, kind: Kind, phrase: Phrase, price: float, node: int,
               **more: object) -> Event:  # fmt: skip
        depth = hyp.event.depth + 1 if hyp.event else 1
        return Event(hyp.event, kind, phrase, price, node, depth=depth, **more)  # type: ignore[arg-type]

    def _grown(self, hyp: Hypothesis, event: Event, price: float, here: int, stack: Stack,
               mode: Mode) -> Hypothesis:  # fmt: skip
        silent = hyp.silent | set(event.silent) if event.silent else hyp.silent
        return Hypothesis(hyp.price + price, here, stack, mode, event, hyp.rivals, silent)

    # --- only talk ----------------------------------------------------------------------------

    def _aside(self, hyp: Hypothesis, phrase: Phrase, prices: Prices) -> Hypothesis:
        price = prices.aside + 0.3 * phrase.price
        kind, true = Kind.ASIDE, None
        if phrase.form is Form.PLACED and phrase.cues.static:
            kind = Kind.PLACE
            more, true = self._truth(hyp.here, phrase)
            price += more
        event = self._event(hyp, kind, phrase, price, hyp.here, mode=hyp.mode, true=true)
        return self._grown(hyp, event, price, hyp.here, hyp.stack, hyp.mode)

    def _truth(self, here: int, phrase: Phrase) -> tuple[float, bool | None]:
        """What a piece said to stand on a square costs or gains, by the board."""
        cues = phrase.cues
        if cues.unreal or cues.intent or cues.negated or cues.supposed:
            return 0.0, None
        if self._stands(here, phrase):
            return -0.5, True
        node = here
        for _ in range(3):
            node = self.positions[node].parent
            if node < 0:
                break
            if self._stands(node, phrase):
                return 0.6, True
        # a plain fact that is false is a slip of its own
        return (
            6.4 if phrase.end - phrase.first > 3 or cues.back else 4.6
        ) if cues.firm else 1.5, False

    def _stands(self, node: int, phrase: Phrase) -> bool:
        board = self.positions.board(node)
        letters = {letter for letter, _ in phrase.spec.pieces}
        for square, price in phrase.spec.targets:
            piece = board.piece_at(square)
            if piece and price < 3 and piece.symbol().upper() in letters:
                side = phrase.cues.piece_side
                if not side or (piece.color == chess.WHITE) == (side == "w"):
                    return True
        return False

    # --- moves already made -------------------------------------------------------------------

    def _echoes(self, hyp: Hypothesis, phrase: Phrase, prices: Prices) -> Iterator[Hypothesis]:
        cues, spec = phrase.cues, phrase.spec
        if phrase.form is Form.PLACED and cues.static and not cues.back:
            return
        if not spec.full and not spec.pieces and not spec.captured:
            return
        line = self.positions.line(hyp.here)
        matches = 0
        for age, node in enumerate(reversed(line[1:])):
            if age > (60 if cues.back else 24):
                break
            if not self._is_said(node, spec) or self._wrong_side(node, cues.side):
                continue
            price = prices.echo + phrase.price + min(0.14 * age, 1.6)
            if node in hyp.silent:
                price += 1.8
            price += self._stranger(self.positions[node].turn, cues.person)
            if not cues.after and not cues.back and self._playable(hyp.here, phrase):
                price += 1.6
            if cues.number and self._number(self.positions[node].parent) != cues.number:
                price += 2.5
            if (cues.intent and not cues.back) or phrase.cut or price > 6:
                pass
            elif cues.instead_of:
                yield self._gone(
                    hyp, phrase, self.positions[node].parent, 0.3 + 0.1 * age, hyp.stack
                )
            elif cues.back or cues.main or cues.after or cues.begins >= 0.6:
                toll = 0.3 if cues.back else 1.6 if cues.main else 2.4
                if age:
                    yield self._gone(hyp, phrase, node, toll + 0.08 * age, hyp.stack)
                    if cues.back and not cues.after:
                        parent = self.positions[node].parent
                        yield self._gone(hyp, phrase, parent, toll + 0.6 + 0.08 * age, hyp.stack)
                price += (0.0, 0.8, 2.4)[cues.back]
            if matches == 0:
                event = self._event(hyp, Kind.ECHO, phrase, price, node, mode=hyp.mode)
                yield self._grown(hyp, event, price, hyp.here, hyp.stack, hyp.mode)
            matches += 1
            if not cues.back or matches == 6:
                break
        yield from self._returns_to(hyp, phrase)

    def can_be_made(self, node: int, spec: Spec) -> bool:
        """Whether either side, now or just before, could make a move as the words have it."""
        line = self.positions.line(node)
        if any(self._is_said(other, spec) for other in line[1:]):
            return True
        board = self.positions.board(node)
        for turn in (board.turn, not board.turn):
            other = board.copy(stack=False)
            other.turn = turn
            if turn != board.turn and board.is_check():
                continue
            found = Positions(other)
            if any(self._plain_fit(legal, spec) for legal in found.legal(0)):
                return True
        return False

    def _plain_fit(self, legal: Legal, spec: Spec) -> bool:
        letters = {letter for letter, _ in spec.pieces}
        squares = {square for square, _ in spec.targets}
        file = not spec.from_file or "abcdefgh"[chess.square_file(legal.start)] == spec.from_file
        return (
            legal.piece in letters
            and legal.to in squares
            and file
            and (bool(legal.captured) or not spec.capture)
        )

    def _playable(self, here: int, phrase: Phrase) -> bool:
        """Whether the phrase is a plain move in the position at hand."""
        found = self.resolve(here, phrase)
        return bool(found) and not found[0].faults and found[0].price < 3.5

    def _returns_to(self, hyp: Hypothesis, phrase: Phrase) -> Iterator[Hypothesis]:
        """Going back to a move on a line left before."""
        cues = phrase.cues
        if (cues.intent or cues.negated) and not cues.back:
            return
        here_line = set(self.positions.line(hyp.here))
        for depth, (node, mode) in enumerate(reversed(hyp.stack)):
            for age, other in enumerate(reversed(self.positions.line(node)[1:])):
                if age > 16 or other in here_line:
                    break
                if self._is_said(other, phrase.spec) and not self._wrong_side(other, cues.side):
                    toll = 0.3 if cues.back or cues.main or cues.instead_of else 2.6
                    where = self.positions[other].parent if cues.instead_of else other
                    stack = hyp.stack[: len(hyp.stack) - 1 - depth]
                    if age and not cues.instead_of:
                        stack = (*stack, (node, mode))[-4:]
                    price = toll + 0.1 * age + 0.2 * depth + phrase.price
                    event = self._event(hyp, Kind.GOTO, phrase, price, where, mode=mode)
                    yield self._grown(hyp, event, price, where, stack, mode)
                    break

    def _gone(
        self, hyp: Hypothesis, phrase: Phrase, node: int, toll: float, stack: Stack
    ) -> Hypothesis:
        price = toll + phrase.price
        event = self._event(hyp, Kind.GOTO, phrase, price, node, mode=hyp.mode)
        pushed = (*stack, (hyp.here, hyp.mode))[-4:]
        return self._grown(hyp, event, price, node, pushed, hyp.mode)

    def _is_said(self, node: int, spec: Spec) -> bool:
        """Whether the words fit the move that led to a position, word for word."""
        key = (node, spec)
        if key not in self._literal:
            position = self.positions[node]
            legal = next(
                item for item in self.positions.legal(position.parent) if item.move == position.move
            )
            price, faults = self._fit(position.parent, legal, spec)
            self._literal[key] = price < 2.5 and not faults
        return self._literal[key]

    def _wrong_side(self, node: int, side: str) -> bool:
        """Whether the move that led to a position was not the named side's."""
        return bool(side) and side == self.positions[node].turn

    # --- moves --------------------------------------------------------------------------------

    def _plays(self, hyp: Hypothesis, phrase: Phrase, prices: Prices) -> Iterator[Hypothesis]:
        limit = min(prices.aside + 7.5, self._bar - hyp.price)
        line = set(self.positions.line(hyp.here))
        fits_here = self._playable(hyp.here, phrase)
        behind = hyp.price - self._floor
        for base in self._bases(hyp, phrase):
            cost = base.price + min(prices.play, prices.branch)
            if cost > limit or (base.price > 4.2 and (fits_here or behind > 6)):
                continue
            count = 4 if base.current else 2
            for choice in self.resolve(base.node, phrase)[:count]:
                if cost + choice.price > limit + 1:
                    break
                node = self.positions.play(base.node, choice.legal.move)
                if not base.current and node in line:
                    continue
                yield from self._played(hyp, phrase, prices, base, choice, node)
            if base.current and phrase.spec.full and cost + 3.5 < limit and behind < 5:
                yield from self._after_silence(hyp, phrase, prices, base)

    def _played(self, hyp: Hypothesis, phrase: Phrase, prices: Prices, base: Base, choice: Choice,
                node: int, silent: tuple[int, ...] = (), toll: float = 0.0) -> Iterator[Hypothesis]:  # fmt: skip
        cues = phrase.cues
        price = base.price + choice.price + phrase.price + toll
        turn = self.positions[node].turn
        price += self._stranger(turn, cues.person)
        if base.instead is not None and base.instead.from_square == choice.legal.start:
            price -= 0.9
        if cues.weak_side == turn:
            price += 1.1
        common = {"base": base.node, "silent": silent, "faults": choice.faults}
        if prices.play < prices.branch + 4:
            total = price + prices.play
            event = self._event(hyp, Kind.PLAY, phrase, total, node, mode=base.mode, **common)
            yield self._grown(hyp, event, total, node, base.stack, base.mode)
        if prices.branch < prices.play + 2:
            total = price + prices.branch
            mode = Mode.SUPPOSED if cues.supposed else Mode.MENTIONED
            event = self._event(hyp, Kind.PLAY, phrase, total, node, mode=mode, **common)
            left = (base.node, base.mode) if base.current else (hyp.here, hyp.mode)
            stack = base.stack if base.stack[-1:] == (left,) else (*base.stack, left)[-4:]
            yield self._grown(hyp, event, total, node, stack, mode)

    def _stranger(self, turn: str, person: str) -> float:
        """What it costs that a pronoun names the other side than the one that has moved."""
        if not self.me or not person:
            return 0.0
        mine = turn != self.me
        return 0.0 if mine == (person == "me") else 1.7

    def _bases(self, hyp: Hypothesis, phrase: Phrase) -> Iterator[Base]:
        cues = phrase.cues
        stay = 0.0
        if cues.either:
            stay += 1.6
        elif cues.alternative:
            stay += 0.7
        if cues.back or cues.main:
            stay += 2.0 if cues.back == 2 else 0.8
        if hyp.mode is not Mode.SHOWN and cues.begins >= 0.6:
            stay += 0.6 if cues.supposed or cues.side else 0.8
        if hyp.mode is Mode.MENTIONED:
            stay += 0.4
        if cues.number:
            stay += 0.0 if self._number(hyp.here) == cues.number else 1.5
        yield Base(hyp.here, stay, hyp.stack, hyp.mode, current=True)
        yield from self._returns(hyp, phrase)
        yield from self._earlier(hyp, phrase)

    def _returns(self, hyp: Hypothesis, phrase: Phrase) -> Iterator[Base]:
        cues = phrase.cues
        mode = hyp.mode
        price = 0.0
        for depth, (node, before) in enumerate(reversed(hyp.stack)):
            more = _leaving(mode, cues.begins, bool(cues.back or cues.main), cues.supposed)
            price += more if not depth or mode is Mode.SHOWN else 0.3 * more
            stack = hyp.stack[: len(hyp.stack) - 1 - depth]
            yield Base(node, price + (0.3 if cues.either else 0.0), stack, before)
            mode = before

    def _earlier(self, hyp: Hypothesis, phrase: Phrase) -> Iterator[Base]:
        """Places before on the line, where another move may be shown."""
        cues = phrase.cues
        pushed = (*hyp.stack, (hyp.here, hyp.mode))[-4:]
        node = hyp.here
        for back in range(1, 45):
            replaced = self.positions[node].move
            node = self.positions[node].parent
            if node < 0:
                return
            price = min(4.4 + 0.35 * back, 6.2 if cues.begins >= 0.6 else 9.5)
            if cues.either:
                price = 0.3 + 0.8 * (back - 1)
            elif cues.alternative == 2:
                price = min(0.7 + 0.25 * (back - 1), 3.2)
            elif cues.alternative:
                price = min(0.7 + 0.3 * (back - 1), 5.0)
            elif cues.back:
                price = min(0.9 + 0.15 * back, 3.5)
            elif cues.listed and hyp.mode is Mode.MENTIONED:
                price = 0.8 + 0.8 * (back - 1)
            if cues.start and node == 0:
                price = 0.3
            if cues.number and self._number(node) == cues.number:
                price = min(price, 1.2 if cues.back else 2.4)
            elif cues.number and cues.back:
                price += 1.5
            if price < 9:
                yield Base(node, price, pushed, hyp.mode, instead=replaced)

    def _number(self, node: int) -> int:
        return self.positions[node].number

    def _after_silence(
        self, hyp: Hypothesis, phrase: Phrase, prices: Prices, base: Base
    ) -> Iterator[Hypothesis]:
        """The move said, after one or two that were not."""
        direct = self.resolve(base.node, phrase)
        if direct and direct[0].price < 2.5:
            return
        for toll, item in self._silences(base.node, phrase.cues.hint):
            node = self.positions.play(base.node, item.move)
            best = self.resolve(node, phrase)[:2] if self._possible(node, phrase.spec) else ()
            for choice in best:
                if choice.price < 3 and not choice.faults:
                    after = self.positions.play(node, choice.legal.move)
                    yield from self._played(hyp, phrase, prices, base, choice, after, (node,), toll)
            if not best or best[0].faults or best[0].price > 3:
                yield from self._after_two(hyp, phrase, prices, base, node, toll)

    def _silences(self, node: int, hint: int) -> list[tuple[float, Legal]]:
        """Moves that may have been made without a word, with their prices.

        A square just said to be supported makes moves likely that bring a piece to bear on it.
        """
        usual = self.positions.usual(node)
        found = [(3.0 + 0.75 * price, item) for price, item in usual[:7]]
        if hint >= 0:
            board = self.positions.board(node)
            before = board.attackers_mask(board.turn, hint)
            for price, item in usual:
                after = self.positions.board(self.positions.play(node, item.move))
                if after.attackers_mask(board.turn, hint) & ~before & chess.BB_SQUARES[item.to]:
                    found.append((0.8 + 0.6 * price, item))
        return sorted((f for f in found if f[0] <= 7.5), key=lambda f: f[0])

    def _after_two(
        self, hyp: Hypothesis, phrase: Phrase, prices: Prices, base: Base, node: int, toll: float
    ) -> Iterator[Hypothesis]:
        if not self.positions.book(node) or toll > 5:
            return
        for price, item in self.positions.usual(node)[:3]:
            second = self.positions.play(node, item.move)
            more = toll + 1.5 + 0.8 * price
            if not self._possible(second, phrase.spec):
                continue
            for choice in self.resolve(second, phrase)[:1]:
                if choice.price < 2.5 and not choice.faults and more < 8:
                    after = self.positions.play(second, choice.legal.move)
                    yield from self._played(
                        hyp, phrase, prices, base, choice, after, (node, second), more
                    )

    def _possible(self, node: int, spec: Spec) -> bool:
        """Whether the words fit some legal move as they are; only to save time."""
        if spec.castling or not spec.targets:
            return True
        bits = 0
        for square, _ in spec.targets:
            bits |= 1 << square
        letters = [letter for letter, _ in spec.pieces] or (
            [] if spec.capture or spec.free else ["P"]
        )
        return self.positions.can(node, letters, bits)

    def _trade(self, hyp: Hypothesis, phrase: Phrase, prices: Prices) -> Iterator[Hypothesis]:
        """Two captures on one square."""
        spec = phrase.spec
        taker = replace(spec, pieces=((spec.captured, 0.0),))
        for choice in self._resolve(hyp.here, taker, phrase.cues.side)[:3]:
            if choice.faults:
                continue
            first = self.positions.play(hyp.here, choice.legal.move)
            half = prices.play + phrase.price + choice.price + 1.0
            event = self._event(hyp, Kind.PLAY, phrase, half, first, base=hyp.here, mode=hyp.mode)
            yield self._grown(hyp, event, half, first, hyp.stack, hyp.mode)
            for item in self.positions.legal(first):
                if item.to == choice.legal.to and item.captured == spec.captured:
                    node = self.positions.play(first, item.move)
                    price = (
                        prices.play
                        + phrase.price
                        + choice.price
                        + 0.5 * self.positions.price(first, item)
                    )
                    event = self._event(hyp, Kind.PLAY, phrase, price, node, base=hyp.here,
                                        mode=hyp.mode, extra=(first,))  # fmt: skip
                    yield self._grown(hyp, event, price, node, hyp.stack, hyp.mode)

    def _both(self, hyp: Hypothesis, phrase: Phrase, prices: Prices) -> Iterator[Hypothesis]:
        """The same words for one move by each side."""
        for choice in self._resolve(hyp.here, phrase.spec, "")[:3]:
            first = self.positions.play(hyp.here, choice.legal.move)
            for answer in self._resolve(first, phrase.spec, "")[:3]:
                node = self.positions.play(first, answer.legal.move)
                price = prices.play + phrase.price + 0.6 * (choice.price + answer.price)
                event = self._event(hyp, Kind.PLAY, phrase, price, node, base=hyp.here,
                                    mode=hyp.mode, extra=(first,))  # fmt: skip
                yield self._grown(hyp, event, price, node, hyp.stack, hyp.mode)

    # --- words against a board ----------------------------------------------------------------

    def resolve(self, node: int, phrase: Phrase) -> tuple[Choice, ...]:
        """The legal moves that a phrase may mean in a position, likeliest first."""
        return self._resolve(node, phrase.spec, phrase.cues.side)

    def _resolve(self, node: int, spec: Spec, side: str) -> tuple[Choice, ...]:
        key = (node, spec)
        found = self._resolved.get(key)
        if found is None:
            found = tuple(self._choices(node, spec))
            self._resolved[key] = found
        if side and side != self.positions[node].turn:
            fault = Fault("side")
            return tuple(Choice(c.price + 4.6, c.legal, (*c.faults, fault)) for c in found)
        return found

    def _choices(self, node: int, spec: Spec) -> list[Choice]:
        near = self._near_moves(node, spec)
        fits = [(self._fit(node, legal, spec), legal) for legal in near]
        fits = [((price, faults), legal) for (price, faults), legal in fits if price < 12]
        plain = [self.positions.price(node, legal) for (price, faults), legal in fits if not faults]
        share = sum(math.exp(-price) for price in plain)
        among = math.log(share) if share else 0.0
        out = []
        for (price, faults), legal in fits:
            usual = self.positions.price(node, legal)
            more = 0.5 * usual
            if not faults:
                # what is named is likely meant, however rare; of several, the usual one
                more = 0.9 * (usual + among) + 0.2 * min(-among, 4.5) + 0.7 * max(0.0, -among - 4.5)
            out.append(Choice(price + more, legal, faults))
        out.sort(key=lambda choice: choice.price)
        return out[:5]

    def _near_moves(self, node: int, spec: Spec) -> Iterator[Legal]:
        """The legal moves with at most one part off; only to save time."""
        if not spec.targets:
            yield from self.positions.legal(node)
            return
        table = self._table(spec.targets)
        letters = {letter for letter, _ in spec.pieces}
        for legal in self.positions.legal(node):
            far = table[legal.to][0]
            if far < SLIP or (far < INFINITE and (not letters or legal.piece in letters)):
                yield legal

    def _fit(self, node: int, legal: Legal, spec: Spec) -> tuple[float, tuple[Fault, ...]]:
        """How ill the words fit a legal move, and in which parts."""
        price = 0.0
        faults: list[Fault] = []
        if spec.castling:
            if not legal.castling:
                return INFINITE, ()
            if spec.castling not in ("any", legal.castling):
                return SLIP + 0.4, (Fault("wing"),)
            return 0.0, ()
        if legal.castling:
            return INFINITE, ()
        if spec.targets:
            cost, misheard = self._target(spec.targets, legal.to)
            if cost >= INFINITE:
                return INFINITE, ()
            price += cost
            if cost >= SLIP - 0.1 or misheard:
                faults.append(Fault("square", misheard))
        price += self._piece_fit(node, legal, spec, faults)
        if price >= 12:
            return INFINITE, ()
        price += self._origin_fit(legal, spec, faults)
        if spec.other and legal.start == self._last_of(node, legal.piece):
            price += 2.5
        price += self._capture_fit(node, legal, spec, faults)
        if len([f for f in faults if not f.misheard]) > 1:
            return INFINITE, ()
        return price, tuple(faults)

    def _last_piece(self, node: int) -> str:
        """The piece that made the move to a position."""
        move = self.positions[node].move
        piece = self.positions.board(node).piece_at(move.to_square) if move else None
        return piece.symbol().upper() if piece else ""

    def _last_of(self, node: int, piece: str) -> int:
        """The square the mover's last move of such a piece went to, or -1."""
        for _ in range(6):
            above = self.positions[node].parent
            if above < 0 or self.positions[above].parent < 0:
                return -1
            node = self.positions[above].parent
            position = self.positions[above]
            board = self.positions.board(above)
            assert position.move is not None
            moved = board.piece_at(position.move.to_square)
            if (
                moved is not None
                and moved.symbol().upper() == piece
                and self.positions[node].turn != position.turn
            ):
                return position.move.to_square
        return -1

    def _piece_fit(self, node: int, legal: Legal, spec: Spec, faults: list[Fault]) -> float:
        if not spec.pieces:
            if not spec.targets or spec.capture or legal.piece == "P":
                return 0.0
            if spec.from_square is not None:
                return 0.0
            if spec.free:
                return 1.4 if spec.like_last and legal.piece != self._last_piece(node) else 0.2
            return 3.4 + (0.0 if self.noise > 0.03 else 1.0)
        for letter, price in spec.pieces:
            if letter == legal.piece:
                return price
        if spec.castling or not spec.targets or spec.promotion:
            return INFINITE
        faults.append(Fault("piece"))
        said = spec.pieces[0][0]
        return SLIP + (0.2 if {said, legal.piece} in ({"N", "B"}, {"K", "Q"}) else 0.8)

    def _origin_fit(self, legal: Legal, spec: Spec, faults: list[Fault]) -> float:
        price = 0.0
        if spec.from_square is not None and legal.start != spec.from_square:
            faults.append(Fault("from"))
            price += SLIP
        file = chess.square_file(legal.start)
        if spec.from_file and "abcdefgh"[file] != spec.from_file:
            faults.append(Fault("from"))
            price += SLIP - 0.4
        if spec.from_rank and str(chess.square_rank(legal.start) + 1) != spec.from_rank:
            price += SLIP
        if spec.to_file and "abcdefgh"[chess.square_file(legal.to)] != spec.to_file:
            return INFINITE
        if spec.to_rank and str(chess.square_rank(legal.to) + 1) != spec.to_rank:
            return INFINITE
        if spec.fianchetto and legal.to not in (chess.B2, chess.G2, chess.B7, chess.G7):
            price += 6
        return price

    def _capture_fit(self, node: int, legal: Legal, spec: Spec, faults: list[Fault]) -> float:
        price = 0.0
        if spec.capture and not legal.captured:
            if not spec.targets:
                return INFINITE
            faults.append(Fault("capture"))
            price += SLIP - 1.0
        elif legal.captured and not spec.capture:
            price += 2.2 if legal.piece == "P" else 0.9
            if spec.quiet:
                price += 1.5
        if spec.captured and legal.captured and spec.captured != legal.captured:
            if not spec.targets:
                return INFINITE
            faults.append(Fault("captured"))
            price += SLIP - 0.6
        if spec.retake and legal.captured:
            last = self.positions[node].move
            same = last is not None and last.to_square == legal.to
            price += -0.6 if same else 1.6
        if spec.ep and not legal.ep:
            return INFINITE
        if spec.promotion:
            if not legal.promotion:
                return INFINITE
            price += 0.0 if spec.promotion == legal.promotion else 4.0
        elif legal.promotion and legal.promotion != "Q":
            price += 3.0
        if (spec.check or spec.mate) and not self.positions.gives_check(node, legal.move):
            price += 2.2
        return price

    def _target(self, targets: tuple[tuple[int, float], ...], square: int) -> tuple[float, bool]:
        """The price of a square given the squares that were heard, and whether it was misheard."""
        return self._table(targets)[square]

    def _table(self, targets: tuple[tuple[int, float], ...]) -> list[tuple[float, bool]]:
        table = self._targets.get(targets)
        if table is None:
            table = self._targets[targets] = self._target_table(targets)
        return table

    def _target_table(self, targets: tuple[tuple[int, float], ...]) -> list[tuple[float, bool]]:
        table = [(INFINITE, False)] * 64
        for square, price in targets:
            for other in range(64):
                slip = slip_price(square, other)
                heard = self._confusions[square][other]
                misheard = heard < slip
                total = price + min(slip, heard)
                if total < table[other][0]:
                    table[other] = (total, misheard and square != other)
        return table


def slip_price(said: int, meant: int) -> float:
    """What it costs to say one square and mean another (own estimates)."""
    if said == meant:
        return 0.0
    file, rank = chess.square_file(said), chess.square_rank(said)
    file2, rank2 = chess.square_file(meant), chess.square_rank(meant)
    if file == file2:
        step = abs(rank - rank2)
        return SLIP + (0.3 if step == 1 or rank + rank2 == 7 else 1.0)
    if rank == rank2:
        step = abs(file - file2)
        return SLIP + (0.5 if step == 1 or file + file2 == 7 else 1.1)
    return INFINITE


def _confusions(noise: float) -> list[list[float]]:
    """The price of a recogniser writing one square for another, by their sounds."""
    base = -math.log(max(noise, 0.002) * 0.5)
    sounds = [square_phones(chess.square_name(s)) for s in range(64)]
    table = []
    for a in range(64):
        row = []
        for b in range(64):
            if a == b:
                row.append(0.0)
                continue
            far = distance(sounds[a], sounds[b])
            row.append(base + 1.6 * far if far <= 1.3 else INFINITE)
        table.append(row)
    return table


def _leaving(mode: Mode, begins: float, cue: bool, supposed: bool) -> float:
    """What it costs to leave a side line without saying so."""
    if cue:
        return 0.3
    if mode is Mode.MENTIONED:
        return 0.4 if begins >= 0.3 else 1.0
    if mode is Mode.SUPPOSED:
        return (
            0.45
            if begins >= 0.6 or supposed
            else 1.1
            if begins >= 0.5
            else 1.8
            if begins >= 0.3
            else 2.6
        )
    return 3.2 if begins >= 0.6 else 4.5


def _offer(slot: dict[tuple[int, Stack, Mode], Hypothesis], new: Hypothesis) -> None:
    old = slot.get(new.key)
    if old is None:
        slot[new.key] = new
        return
    winner, loser = (new, old) if new.price < old.price else (old, new)
    gap = loser.price - winner.price
    if gap < 2.0:
        winner.rivals = Rival(loser.event, gap, winner.event, winner.rivals)
    slot[new.key] = winner


def _pruned(waiting: dict[tuple[int, Stack, Mode], Hypothesis], beam: int) -> list[Hypothesis]:
    """The cheapest hypotheses, few of them with the same board."""
    ordered = sorted(waiting.values(), key=lambda hypothesis: hypothesis.price)
    limit = ordered[0].price + SPREAD
    kept: list[Hypothesis] = []
    boards: dict[int, int] = {}
    for hypothesis in ordered:
        if hypothesis.price > limit or len(kept) >= beam:
            break
        same = boards.get(hypothesis.here, 0)
        if same < SAME_BOARD:
            boards[hypothesis.here] = same + 1
            kept.append(hypothesis)
    return kept


def _next_start(starts: Sequence[int], end: int) -> int:
    from bisect import bisect_left

    place = bisect_left(starts, end)
    return starts[place] if place < len(starts) else -1


def skip_prices(phrases: dict[int, list[Phrase]]) -> dict[int, float]:
    """What it costs to make nothing of the words at each place."""
    return {start: max(_skip(phrase) for phrase in found) for start, found in phrases.items()}


def _skip(phrase: Phrase) -> float:
    prices = [price for _, price in phrase.spec.targets[:1]]
    prices += [price for _, price in phrase.spec.pieces[:1]]
    odd = phrase.price + sum(prices)
    spec = phrase.spec
    bare = 2.4 if phrase.cues.side or spec.pieces else 1.4
    full = {
        Form.NOTATION: 6.0, Form.FULL: 6.0, Form.PLACED: 7.0, Form.SQUARE: 3.6, Form.CASTLING: 2.8,
        Form.CAPTURE: 5.0 if spec.says_target else bare,
        Form.TRADE: 1.2, Form.BOTH: 1.2, Form.VAGUE: 0.4,
    }[phrase.form]  # fmt: skip
    if phrase.cut:
        return 0.0
    return max(0.0, full * (1.0 - odd / 2.2)) if odd > 0.6 else full


def events_of(hypothesis: Hypothesis) -> list[Event]:
    """The decisions of a hypothesis in order."""
    out = []
    event = hypothesis.event
    while event is not None:
        out.append(event)
        event = event.before
    return out[::-1]


def whose(positions: Positions, hypothesis: Hypothesis) -> str:
    """Which side the speaker calls "I" or "we", from the moves so far; empty if it cannot be told."""
    votes = {"w": 0, "b": 0}
    for event in events_of(hypothesis):
        if event.kind is Kind.PLAY and event.phrase is not None and event.phrase.cues.person:
            mover = "b" if positions[event.node].turn == "w" else "w"
            mine = event.phrase.cues.person == "me"
            votes[mover if mine else ("b" if mover == "w" else "w")] += 1
    best = max(votes, key=votes.__getitem__)
    total = votes["w"] + votes["b"]
    return best if total >= 3 and votes[best] >= 0.72 * total else ""
