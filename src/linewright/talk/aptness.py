"""Which name a teacher would say here, and where another was likely meant.

No list of rules ends where teachers do, but most of what they name is right. So it is learned of
all that is rightly named how words go with what is true on the board (`linewright.talk.scene`):
"looks at" with what the piece bears on, "isolated" with a pawn that has no neighbours. Where a
square, man, side or file that the tongue takes for the one said would go much better with the
words, the one said may be a slip. How likely that is, given also how far the board is in doubt, is
a second, small model. Both are in `naming.json`, learned by `benches/fit_naming.py`.
"""

from __future__ import annotations

import json
import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from importlib import resources

import chess

from linewright.moves import PIECE_NAMES, side_name
from linewright.talk.decoder import Event, Kind, Tree
from linewright.talk.naming import Name, Slot, names_in
from linewright.talk.recaps import recap
from linewright.talk.record import Heard, HeardSlip, Said
from linewright.talk.scene import ALONE, Scene, Step, traits
from linewright.talk.sureness import doubts
from linewright.talk.vocabulary import Lexicon

BEHIND, AHEAD = 6, 5
"""So many moves that led to a board, and that the talk tells next, are looked at."""

EARLIER = 2
"""The words may still speak of so many boards before the one at hand."""

LATELY = 40
"""A square named so few words before is one the talk has at hand."""

APART = 4
"""Of two names so few words apart only one is a slip."""

LEAST = 0.3
"""Slips less likely than this are not told."""

FARTHEST = 40
"""No more words since the last move count."""

Goes = Mapping[str, Mapping[str, float]]
"""How what is seen of the words goes with each trait (log odds)."""

Features = dict[str, float]


@dataclass(frozen=True, slots=True)
class Models:
    """What is learned: how words go with traits, by slot, and what makes a slip likely."""

    apt: Mapping[str, Goes]
    slip: Mapping[str, float]


@dataclass(frozen=True, slots=True)
class Spot:
    """A name where it is said: the board, the decisions on its words, and how far it is in doubt."""

    name: Name
    scene: Scene
    node: int
    events: tuple[Event, ...]
    since: int
    """Words since the last move."""
    doubt: Mapping[str, float]
    before: tuple[Scene, ...]
    """The boards of the moves before, of which the words may still speak."""
    next: tuple[Scene, ...]
    """Those that the talk goes on from and to next, of which they may speak already."""

    @property
    def traits(self) -> tuple[tuple[str, ...], ...]:
        """What is true of each choice, the one said first."""
        return true_of(self.name, self.scene)


def true_of(name: Name, scene: Scene) -> tuple[tuple[str, ...], ...]:
    """What is true on a board of each choice, the one said first."""
    return tuple(traits(scene, name, choice) for choice in name.choices)


def log_chances(
    seen: Sequence[str], true: Sequence[Sequence[str]], goes: Goes
) -> tuple[float, ...]:
    """The log of the chance of each choice, by what is seen of the words and true of it."""
    leaning: dict[str, float] = {}
    for word in seen:
        for trait, more in goes.get(word, {}).items():
            leaning[trait] = leaning.get(trait, 0.0) + more
    raw = [math.fsum(leaning.get(trait, 0.0) for trait in one) for one in true]
    most = max(raw)
    whole = most + math.log(math.fsum(math.exp(one - most) for one in raw))
    return tuple(one - whole for one in raw)


@dataclass(frozen=True, slots=True)
class Weighed:
    """A name weighed: the best other choice (its place), and what tells whether it was meant."""

    best: int
    features: Features


def weigh(spot: Spot, apt: Mapping[str, Goes]) -> Weighed | None:
    """A name held against what else may have been meant; None where nothing else can."""
    name, true = spot.name, spot.traits
    if len(true) < 2:
        return None
    chances = log_chances(name.seen, true, apt.get(name.slot, {}))
    best = max(range(1, len(true)), key=chances.__getitem__)
    slot, gap = name.slot.value, chances[best] - chances[0]
    apart = _apart(name, name.choices[best])
    out: Features = {
        "": 1.0, slot: 1.0, f"{slot} gap": gap / 4, apart: 1.0, f"{apart} gap": max(gap, 0.0) / 4,
        "said": max(chances[0], -8.0) / 4, "best": chances[best], "gap": gap / 4,
        "since": min(spot.since, FARTHEST) / 20, **spot.doubt,
    }  # fmt: skip
    for when, scenes in (("before", spot.before), ("next", spot.next)):
        other = min((_gap(spot.name, scene, apt) for scene in scenes), default=gap)
        out[f"gap {when}"] = min(gap, other) / 4
        out[f"gap {when} over 1"] = max(min(gap, other) - 1, 0.0) / 4
        if other < min(gap, 0.0):
            out[f"apt {when}"] = 1.0
    out.update((f"gap over {least}", max(gap - least, 0.0) / 4) for least in (2, 4, 6))
    for place, whose in ((0, "said"), (best, "best")):
        true_of = (trait for trait in true[place] if not trait.startswith(ALONE))
        out.update((f"{slot} {whose}: {trait}", 1.0) for trait in true_of)
    out.update((f"word {word}", 1.0) for word in name.seen[1:])
    out.update(_of_events(spot.events))
    return Weighed(best, out)


def _gap(name: Name, scene: Scene, apt: Mapping[str, Goes]) -> float:
    """How much better the best other choice goes on a board than what is said."""
    said, *others = log_chances(name.seen, true_of(name, scene), apt.get(name.slot, {}))
    return max(others) - said


def _of_events(events: Sequence[Event]) -> Iterator[tuple[str, float]]:
    """What the search made of the words of a name."""
    if not events:
        yield "unread", 1.0
    for event in events:
        yield f"form {event.phrase.form.value}", 1.0
        yield f"kind {event.kind.name.lower()}", 1.0
        if event.true is not None:
            yield f"stands {event.true}", 1.0
        cues = event.phrase.cues
        for cue in _CUES:
            if getattr(cues, cue):
                yield f"cue {cue}", 1.0
    if events:
        yield "told", max(-4.0, min(4.0, max(event.phrase.told for event in events))) / 4


_CUES = (
    "intent", "modal", "supposed", "negated", "infinitive", "gerund", "played", "static", "after",
    "alternative", "either", "instead_of", "reason", "back", "unreal", "listed", "repeated",
    "paired", "firm", "past", "main",
)  # fmt: skip


def _apart(name: Name, other: str) -> str:
    """How far what is said is from another choice."""
    if name.slot is not Slot.SQUARE:
        return f"other {name.slot.value}"
    one, two = chess.parse_square(name.said), chess.parse_square(other)
    if chess.square_mirror(one) == two:
        return "across the board"
    if chess.square_rank(one) != chess.square_rank(two):
        return "next rank"
    beside = abs(chess.square_file(one) - chess.square_file(two)) == 1
    return "next file" if beside else "other wing"


@dataclass(frozen=True, slots=True)
class NameSlips:
    """Finds the slips among what one talk names without moving it.

    `missaid` are the tokens that tell of a move though the search took them for talk.
    """

    tree: Tree
    events: Sequence[Event]
    lexicon: Lexicon
    missaid: frozenset[int]
    said: Callable[[int, int], Said]

    def slips(self, heard: Heard) -> Iterator[HeardSlip]:
        """The slips, the likeliest first, each with how likely it is."""
        models = default_models()
        summed_up = range(*recap(self.lexicon.tokens))  # there boards of the whole talk are named
        found = []
        for spot in self.spots(heard):
            if spot.name.first in summed_up:
                continue
            weighed = weigh(spot, models.apt)
            if weighed is not None and (sure := chance(weighed.features, models.slip)) >= LEAST:
                found.append((sure, spot, weighed.best))
        kept: list[int] = []
        for sure, spot, best in sorted(found, key=lambda item: (-item[0], item[1].name.first)):
            if all(abs(spot.name.first - other) > APART for other in kept):
                kept.append(spot.name.first)
                yield self._slip(heard, spot, best, sure)

    def spots(self, heard: Heard) -> Iterator[Spot]:
        """What the talk names, but for the names that tell a move, with the boards it is said on."""
        covering = self._covering()
        moves = [event for event in self.events if event.kind is Kind.PLAY]
        named: list[tuple[int, int]] = []
        for name in names_in(self.lexicon):
            events = covering.get(name.first, ())
            moved = any(event.kind in (Kind.PLAY, Kind.GOTO) for event in events)
            if moved or name.first in self.missaid:
                continue
            word = self.lexicon.tokens[name.first].word
            node = heard.node_at(word)
            ahead = [move for move in moves if move.phrase.end > name.first][:AHEAD]
            last = max((m.phrase.end for m in moves if m.phrase.end <= name.first), default=0)
            lately = frozenset(square for k, square in named if k >= name.first - LATELY)
            earlier = self.tree.line(node)[-2 : -2 - EARLIER : -1]
            yield Spot(
                name,
                self._scene(node, ahead, lately),
                node,
                events,
                name.first - last,
                doubts(heard, word, word + 1),
                tuple(self._scene(n, ahead, lately) for n in earlier),
                tuple(self._scene(n, ahead, lately) for n in self._next(node, ahead)),
            )
            if name.slot is Slot.SQUARE:
                named.append((name.first, chess.parse_square(name.said)))

    def _scene(self, node: int, ahead: Sequence[Event], lately: frozenset[int]) -> Scene:
        """A board with the moves to it and those that the talk tells next."""
        behind = tuple(self._step(n) for n in self.tree.line(node)[1:][-BEHIND:])
        then = tuple(self._step(event.node) for event in ahead)
        return Scene(self.tree.board(node), behind, then, lately)

    def _next(self, node: int, ahead: Sequence[Event]) -> Iterator[int]:
        """The boards of the next move: before it, where the talk has left this one, and after it."""
        for event in ahead[:1]:
            if (base := self.tree.parent(event.node)) != node:
                yield base
            yield event.node

    def _covering(self) -> dict[int, tuple[Event, ...]]:
        """The decisions on each token."""
        out: dict[int, tuple[Event, ...]] = {}
        for event in self.events:
            for k in range(event.phrase.first, event.phrase.end):
                out[k] = (*out.get(k, ()), event)
        return out

    def _step(self, node: int) -> Step:
        board = self.tree.board(self.tree.parent(node))
        return Step.of(board, chess.Move.from_uci(self.tree.uci(node)))

    def _slip(self, heard: Heard, spot: Spot, best: int, sure: float) -> HeardSlip:
        name, meant = spot.name, spot.name.choices[best]
        said = self.said(*name.quoted)
        stood = reason(spot, best)
        told = _told(name, meant, spot.scene.board)
        return HeardSlip(said, told, name.slot.value, sure, stood, heard.line_to(spot.node))


def chance(features: Features, weights: Mapping[str, float]) -> float:
    """How likely a name is a slip, between 0 and 1."""
    odds = math.fsum(weights.get(what, 0.0) * value for what, value in features.items())
    return round(1 / (1 + math.exp(-odds)), 2)


def _told(name: Name, meant: str, board: chess.Board) -> str:
    """What was meant, as a slip tells it: "Nf6" where the knight stands there, "d-file", "White"."""
    if name.slot is Slot.SIDE:
        return side_name(meant == "w")
    if name.slot is Slot.FILE:
        return f"{meant}-pawn" if name.man == "P" else f"{meant}-file"
    if name.slot is Slot.PIECE:
        return PIECE_NAMES[meant]
    piece = board.piece_at(chess.parse_square(meant))
    there = name.man and piece is not None and piece.symbol().upper() == name.man
    return f"{name.man.replace('P', '')}{meant}" if there else meant


# --- why ---------------------------------------------------------------------------------------


def reason(spot: Spot, best: int) -> str:
    """What is true of what was likely meant and not of what was said, in words."""
    true = spot.traits
    only = [trait for trait in true[best] if trait not in true[0]]
    name, meant = spot.name, spot.name.choices[best]
    for trait, told in _REASONS[name.slot].items():
        if trait in only:
            return told.format(**_words(spot, meant))
    return _UNTOLD[name.slot].format(**_words(spot, meant))


def _words(spot: Spot, meant: str) -> dict[str, str]:
    """The words that reasons are made of."""
    name, scene = spot.name, spot.scene
    side = {"w": "White", "b": "Black"}
    last = scene.last
    subject = name.subject
    there = scene.board.piece_at(subject) if subject is not None else None
    letter = meant if name.slot is Slot.PIECE else name.man
    return {
        "meant": side.get(meant, meant) if name.slot is Slot.SIDE else meant,
        "said": side.get(name.said, name.said) if name.slot is Slot.SIDE else name.said,
        "man": PIECE_NAMES.get(letter, "man"),
        "square": chess.square_name(name.square) if name.square is not None else "",
        "moved": PIECE_NAMES.get(last.man, "man") if last else "",
        "went": chess.square_name(last.target) if last else "",
        "subject": PIECE_NAMES[there.symbol().upper()] if there else "",
        "at": chess.square_name(subject) if subject is not None else "",
    }


_REASONS: Mapping[Slot, Mapping[str, str]] = {
    Slot.SQUARE: {
        "that man": "the {man} stands on {meant}, not on {said}",
        "subject hits": "the {subject} on {at} hits {meant}, not {said}",
        "moved hits": "the {moved} on {went} hits {meant}, not {said}",
        "subject guards": "the {subject} on {at} guards {meant}, not {said}",
        "moved guards": "the {moved} on {went} guards {meant}, not {said}",
        "subject bears": "the {subject} on {at} looks at {meant}, not at {said}",
        "moved bears": "the {moved} on {went} looks at {meant}, not at {said}",
        "subject behind man": "the {subject} on {at} looks down to {meant}, not to {said}",
        "moved behind man": "the {moved} on {went} looks down to {meant}, not to {said}",
        "that man goes": "a {man} can go to {meant}, none to {said}",
        "went there": "the {moved} went to {meant}, not to {said}",
        "isolated": "the pawn on {meant} has no neighbours",
        "hit": "what stands on {meant} is attacked",
        "next there": "the talk goes on to {meant}",
        "man": "{said} is empty, {meant} is not",
    },
    Slot.PIECE: {
        "stands there": "on {square} stands a {man}",
        "goes there": "a {man} can go to {square}",
        "moved": "the {man} moved last",
        "hit by it": "the {moved} on {went} hits a {man}",
        "moves next": "the {man} moves next",
    },
    Slot.SIDE: {
        "that man there": "the {man} on {square} is {meant}'s",
        "own man there": "what stands on {square} is {meant}'s",
        "that man goes there": "{meant}'s {man} can go to {square}, {said}'s cannot",
        "a pawn up": "{meant} is a pawn up",
        "more worth": "{meant} is ahead",
        "fewer worth": "{meant} is behind",
        "more doubled": "{meant} has the doubled pawns",
        "more isolated": "{meant} has the isolated pawns",
        "more bishops": "{meant} has more bishops",
        "king open": "{meant}'s king has lost its cover",
        "in check": "{meant} is in check",
        "moves next": "{meant} moves next",
    },
    Slot.FILE: {
        "open": "the {meant}-file is open, the {said}-file is not",
        "half open": "the {meant}-file is half open, the {said}-file is not",
        "that man moves": "the {meant}-pawn moves next",
        "went there": "the {moved} went to the {meant}-file",
    },
}

_UNTOLD: Mapping[Slot, str] = {
    Slot.SQUARE: "by the words and the board {meant} is likelier than {said}",
    Slot.PIECE: "by the words and the board a {man} is likelier",
    Slot.SIDE: "by the words and the board {meant} is likelier than {said}",
    Slot.FILE: "by the words and the board the {meant}-file is likelier than the {said}-file",
}


@cache
def default_models() -> Models:
    """The models that ship.

    **Source**: learned from the invented talks of ``tests/talks`` (``benches/fit_naming.py``).
    """
    text = (resources.files("linewright.talk") / "naming.json").read_text("utf-8")
    learned = json.loads(text)
    return Models(learned["apt"], learned["slip"])
