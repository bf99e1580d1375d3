"""What the words of a statement mean on a board, and how its truth is put together.

A family of statements (`linewright.statements`) gives patterns over the normal forms of
`linewright.english` and, for each, a judge: a function from `Said` (the phrases of one reading,
each with a single meaning) to a `Fact`. Here the facts of several meanings are joined ("both",
"neither", "or", "which one is meant?"); which meanings a phrase has is for `referents` (sides, men
and squares) and `moves_meant`, and what stands on a board is put into words by `board_words`.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import chess

from linewright import facts
from linewright.board_words import past_blocker, piece_on
from linewright.english.phrases import FIRST_MARK, LETTERS, Form, Mode, Phrase
from linewright.expressions import expression
from linewright.judged_place import Place
from linewright.moves_meant import Played
from linewright.position.pawns import Wing
from linewright.referents import Choice, Memory, piece_choice


@dataclass(frozen=True, slots=True)
class Fact:
    """What the board shows: whether what was asserted is `true` (None: it cannot be told).

    `because` is one short sentence with the board fact, true whatever was asserted. `squares` and
    `arrows` ("e1-e8") are to be drawn. `offer` is a near reading that holds.
    `meant` tells which of several pieces were meant, by the places of their words.
    """

    true: bool | None
    because: str
    squares: tuple[str, ...] = ()
    arrows: tuple[str, ...] = ()
    offer: str = ""
    meant: tuple[tuple[int, chess.Square], ...] = ()


@dataclass(frozen=True, slots=True)
class Said:
    """One reading of a statement: its board, the values of its phrases, its other words.

    `place` is the board; `values` has one meaning for each phrase of the pattern; `words` the
    text of the pattern's other named groups; `negated` and `hedged` how it was said; `original`
    the words as they were written; `telling_not` is the pattern's; `trailing` are the words left
    out right behind it ("at once").
    """

    place: Place
    values: Mapping[str, Any]
    words: Mapping[str, str]
    phrases: Mapping[str, Phrase]
    negated: bool = False
    hedged: bool = False
    original: str = ""
    telling_not: bool = False
    trailing: str = ""

    @property
    def board(self) -> chess.Board:
        """The board the statement is about."""
        return self.place.board

    def __contains__(self, name: str) -> bool:
        return name in self.values or bool(self.words.get(name))

    def meaning(self, values: Mapping[str, Any]) -> Said:
        """The same words with other values of its phrases."""
        return Said(
            self.place, values, self.words, self.phrases, self.negated, self.hedged, self.original,
            self.telling_not, self.trailing,
        )  # fmt: skip

    def of_whose(self) -> Said:
        """The same with the side whose men are spoken of as the side that does it."""
        return replace(self, values={**self.values, "side": self.values["whose"]})

    def side(self, name: str = "side") -> chess.Color:
        """The side a phrase means; where only "Black's" is said, its side."""
        if name == "side" and name not in self.values and "whose" in self.values:
            name = "whose"
        return bool(self.values[name])

    def at(self, name: str = "piece") -> chess.Square:
        """The square a piece or square phrase means."""
        return int(self.values[name])

    def number(self, name: str = "number") -> int:
        """The number a phrase means."""
        return int(self.values[name])

    def file(self, name: str = "file") -> int:
        """The file (0 = a)."""
        return int(self.values[name])

    def wing(self, name: str = "wing") -> Wing:
        """The wing."""
        return Wing(self.values[name])

    def played(self, name: str = "move") -> Played:
        """The move."""
        value = self.values[name]
        assert isinstance(value, Played)
        return value

    def word(self, name: str) -> str:
        """The words of another group of the pattern, "" if it is not there."""
        return self.words.get(name) or ""


Judge = Callable[[Said], Fact | None]


@dataclass(frozen=True, slots=True)
class Pattern:
    """A way of saying something, and who judges it.

    `template` is a regular expression over a normal form in which ``{side}``, ``{piece}``,
    ``{square}``, ``{target}`` (piece or square), ``{file}``, ``{wing}``, ``{number}``, ``{move}``,
    ``{rank}``, ``{diagonal}`` and ``{whose}`` (each also with a digit: ``{side2}``) stand for
    phrases, and names of `MACROS` for common words. `against` is true where the words assert the
    opposite of what the judge tells ("has lost the right"). `noun` patterns may stand anywhere in
    a sentence ("the doubled c-pawns"); `usual` ones speak of what is usually played; where `not`
    is the telling part (`telling_not`), "the knight cannot move" means the one that cannot. A
    `tolerant` judge can weigh an "almost"; others have nothing to say to it.
    """

    template: str
    judge: Judge
    against: bool = False
    noun: bool = False
    usual: bool = False
    telling_not: bool = False
    tolerant: bool = False

    @property
    def full(self) -> bool:
        """Whether it is matched against the full form, in which pieces are phrases."""
        return any(word in self.template for word in ("{piece", "{target", "<man>P."))


MACROS = {
    "be": r"(?:is|are|am|be|being)",
    "have": r"(?:has|have|had|having)",
    "a": r"(?:(?:a|an|the|any|some|his|her|G.) )?",
    "the": r"(?:(?:the|his|her|this|that|G.|a|an|any|one|another|these|those) )?",
    "det": r"(?:(?:the|a|an|any|some|all|both|full|this|that|G.) )*",
    "own": "G.",
    "times": r"(?:N. times|N. pieces)",
    "it": r"(?:it|this|that|which|this move|that move|the move|this position|the position|here)",
}
PHRASES = {
    "side": "[S].",
    "whose": "[G].",
    "piece": "[PMS].",
    "square": "[Q].",
    "target": "[PQS].",
    "file": "[F].",
    "wing": "[W].",
    "number": "[N].",
    "move": "[MQ].",
    "rank": "[R].",
    "diagonal": "[D].",
}
"""How phrases stand in a normal form: a letter for the kind, and a mark."""


_NOW = expression(
    r"\b(?:(?:can|could|may|might)(?!['’]|\s+(?:not|never|no|have)\b)|(?<!not )able|"
    r"(?:im)?possible|(?:il)?legal|playable|allowed)\b",
    re.IGNORECASE,
)
"""What is said of a move on the board as it stands, and not of one that led to it."""


def others_of(said: Said, at: chess.Square) -> tuple[chess.Square, ...]:
    """Of pieces named together, those on other squares than this one."""
    found: list[chess.Square] = []
    for part in said.phrases["piece"].parts:
        choice = piece_choice(replace(part, parts=()), said.place, Memory())
        found.extend(s for s in (choice.values if choice else ()) if isinstance(s, int))
    parts = said.phrases["piece"].parts
    kind = said.board.piece_type_at(at)
    mine = [p for p in parts if kind and chess.piece_symbol(kind).upper() in p.pieces]
    if len(mine) == len(parts):
        return tuple(s for s in found if s != at)
    return tuple(s for s in found if s != at and said.board.piece_type_at(s) != kind)


def decide(judge: Judge, said: Said, choices: Mapping[str, Choice]) -> Fact | None:
    """The fact over all meanings of the phrases: both, neither, or the one that is meant."""
    open_names = [name for name in choices if name not in said.values]
    open_names.sort(key=lambda name: not choices[name].unsure)  # what "it" is, before "no pawn"
    if open_names:
        return _over(judge, said, choices, open_names[0], choices[open_names[0]])
    return judge(said)


def _over(
    judge: Judge, said: Said, choices: Mapping[str, Choice], name: str, choice: Choice
) -> Fact | None:
    if not choice.values and choice.untold and not _NOW.search(said.original):
        return Fact(None, choice.untold)
    if not choice.values:
        none_wanted = choice.mode is Mode.NONE
        return Fact(none_wanted, choice.missing or "there is none", offer="<missing>")
    facts = []
    for value in choice.values:
        if isinstance(value, Choice):
            fact = _over(judge, said, choices, name, value)
        else:
            fact = decide(judge, said.meaning({**said.values, name: value}), choices)
            if fact is not None and choice.unsure and name.startswith(("piece", "target")):
                told = (said.phrases[name].start, int(value))
                fact = replace(fact, meant=(*fact.meant, told))
        if fact is not None:
            facts.append(fact)
    if not facts:
        return None
    if len(choice.values) == 1 and choice.mode in {Mode.ONE, Mode.ALL, Mode.ANY}:
        return facts[0]
    no_more = re.search(r"\b(?:no longer|any ?more|any longer)\b", said.original) is not None
    plain = not re.search(r"\b(?:both|all|every|each)\b", said.original.lower())
    if choice.mode is Mode.ALL and not choice.unsure and said.negated and not no_more and plain:
        for fact in facts:
            if fact.true:  # "the bishops have not moved": none of them has
                return fact
    return _joined(facts, choice, said.negated and not no_more, said.telling_not)


def _joined(facts: Sequence[Fact], choice: Choice, negated: bool, telling_not: bool) -> Fact:
    true = [f for f in facts if f.true]
    false = [f for f in facts if f.true is False]
    if choice.count:
        told = false if negated else true  # "two of them have not moved": those that have not
        fits = len(told) == choice.count
        return replace(_together(told or facts[:2]), true=fits != negated)
    if choice.unsure:
        return _meant(facts, true, false, choice, negated, telling_not)
    if choice.mode is Mode.ALL or choice.mode is Mode.ONE:
        if false:
            return false[0]
        unknown = [f for f in facts if f.true is None]
        return unknown[0] if unknown else _together(facts)
    if choice.mode is Mode.NONE:
        return replace(true[0], true=False) if true else replace(_together(facts), true=True)
    if true:
        return true[0]
    unknown = [f for f in facts if f.true is None]
    return unknown[0] if unknown else _together(facts[:2])


def _meant(
    facts: Sequence[Fact],
    true: Sequence[Fact],
    false: Sequence[Fact],
    choice: Choice,
    negated: bool,
    telling_not: bool,
) -> Fact:
    """One of several is meant: agreed by all, or the only one that fits, or a question."""
    if not true or not false:
        return facts[0]
    if choice.question == "who is meant?":
        return Fact(None, choice.question)
    if not negated:
        return true[0]
    if telling_not:
        return false[0]
    return Fact(None, choice.question)


def _together(facts: Sequence[Fact]) -> Fact:
    said = list(dict.fromkeys(f.because for f in facts))
    squares = tuple(dict.fromkeys(s for f in facts for s in f.squares))
    arrows = tuple(dict.fromkeys(a for f in facts for a in f.arrows))
    return Fact(facts[0].true, "; ".join(said[:3]), squares, arrows)


def battery(board: chess.Board, source: chess.Square, target: chess.Square) -> bool:
    """Whether a piece bears on a square through pieces of its own in front of it, and no pawn: of
    a queen behind a pawn one does not say so."""
    colour = board.color_at(source)
    if colour is None or chess.between(source, target) & board.pawns:
        return False
    return source in facts.attackers_through(board, colour, target)


_DIRECT = expression(r"\bdirect(?:ly)?\b", re.IGNORECASE)


def from_behind(said: Said, board: chess.Board, source: chess.Square, target: chess.Square) -> str:
    """How the rear piece of a battery bears on what its own men in front attack, or "".

    It does not do so "directly", and attacks no king: that would be check.
    """
    if said.negated or _DIRECT.search(said.original) or _DIRECT.search(said.trailing):
        return ""
    if board.piece_type_at(target) == chess.KING:
        return ""
    if not battery(board, source, target):
        return ""
    shut = past_blocker(board, source, target).replace("past", "behind")
    return f"{piece_on(board, source)} attacks {piece_on(board, target)}{shut}"


def phrases_of(groups: Iterable[tuple[str, str]], form: Form) -> dict[str, Phrase]:
    """The phrases among what the groups of a match hold, by the names of the groups."""
    return {
        name: form.phrases[ord(text[1]) - FIRST_MARK]
        for name, text in groups
        if len(text) == 2 and text[0] in LETTERS.values()
    }
