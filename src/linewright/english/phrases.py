"""Words gathered into phrases: sides, pieces, squares, files, wings, numbers, moves.

A sentence gets two normal forms. In the *bare* one sides, squares, files, wings, ranks, diagonals,
numbers and moves are phrases and all other words stand as they are; in the *full* one pieces are
phrases too ("White's other knight on d2", "it", "both rooks"). Adverbs that change nothing are
dropped, negations and hedges are taken out and kept as marks, so that one pattern covers "is not",
"is no longer" and "is now".
"""

from __future__ import annotations

import re
from collections.abc import Callable, Container, Iterable, Sequence
from dataclasses import dataclass, field, replace
from enum import StrEnum
from functools import cache

from linewright.english.told_moves import TRIGGERS, Told, told_castling, told_move, told_turn
from linewright.english.wording import (
    AS_IT_IS,
    BEING,
    DOING,
    GOT_MORE,
    NOT_BEING,
    PLACES,
    POSTED,
    PRAISE,
    SAME_FIRSTS,
    STRESS,
    same,
    third_person,
)
from linewright.english.words import Token
from linewright.expressions import expression
from linewright.moves import PIECE_TYPES


class Mode(StrEnum):
    """How several values of one phrase are meant."""

    ONE = "one"
    ALL = "all"
    ANY = "any"
    NONE = "none"


@dataclass(frozen=True, slots=True)
class Phrase:
    """A phrase of the chess world.

    `kind` is ``side``, ``piece``, ``square``, ``file``, ``wing``, ``number``, ``move``, ``rank`` or
    ``diagonal``. `who` names a side: ``white``, ``black``, ``he``, ``we``, ``you``, ``they``,
    ``opponent``, ``first``, ``second``, ``mover``, ``both``; for a piece it is whose it is (may be
    empty). `pieces` are letters of ``KQRBNP``; `squares` as "e4"; `files` as "e". `words` are the
    adjectives; `determiner` the article; `parts` the members of a list, joined as `mode` says;
    `without` what is excepted ("all but the queen").
    """

    kind: str
    start: int
    end: int
    mode: Mode = Mode.ONE
    who: str = ""
    pieces: str = ""
    plural: bool = False
    determiner: str = ""
    squares: tuple[str, ...] = ()
    files: tuple[str, ...] = ()
    words: tuple[str, ...] = ()
    number: int = 0
    moves: tuple[Token, ...] = ()
    value: str = ""
    parts: tuple[Phrase, ...] = ()
    without: tuple[Phrase, ...] = ()

    def placed(self, start: int, end: int) -> Phrase:
        """The same phrase at a place in the text."""
        return Phrase(
            self.kind, start, end, self.mode, self.who, self.pieces, self.plural, self.determiner,
            self.squares, self.files, self.words, self.number, self.moves, self.value, self.parts,
            self.without,
        )  # fmt: skip


@dataclass(frozen=True, slots=True)
class Item:
    """A word or a phrase of a normal form, with its place in the text."""

    text: str
    start: int
    end: int
    phrase: Phrase | None = None
    token: Token | None = None


@dataclass(frozen=True, slots=True)
class Form:
    """A normal form: the items, and the text patterns are matched against.

    In `text` a phrase is a capital letter for its kind and a character for its place in `phrases`.
    `at` gives for each item where it begins in `text`; `negated` and `hedged` are the places in
    `text` before which a "not" or an "about" was taken out; `still` those of "still", `almost`
    those of "almost", which says that something is not so.
    """

    items: tuple[Item, ...]
    text: str = ""
    at: tuple[int, ...] = ()
    phrases: tuple[Phrase, ...] = ()
    negated: tuple[int, ...] = ()
    hedged: tuple[int, ...] = ()
    still: tuple[int, ...] = field(default=())
    almost: tuple[int, ...] = field(default=())


LETTERS = {
    "side": "S",
    "whose": "G",
    "piece": "P",
    "square": "Q",
    "file": "F",
    "wing": "W",
    "number": "N",
    "move": "M",
    "rank": "R",
    "diagonal": "D",
}
FIRST_MARK = 0xE000
"""Phrases are numbered in the private use area, so that no word of a text looks like one."""

PIECE_WORDS = {
    "king": "K", "kings": "K", "queen": "Q", "queens": "Q", "rook": "R", "rooks": "R",
    "bishop": "B", "bishops": "B", "knight": "N", "knights": "N", "horse": "N", "horses": "N",
    "pawn": "P", "pawns": "P", "piece": "QRBN", "pieces": "QRBN", "minor": "BN",
    "isolani": "P", "units": "KQRBNP", "unit": "KQRBNP", "men": "KQRBNP", "man": "KQRBNP",
}  # fmt: skip
_EASE = {
    "easily",
    "comfortably",
    "immediately",
    "simply",
    "really",
    "completely",
    "entirely",
    "fully",
}
_BARE_AFTER = {"to", "can", "could", "will", "would", "must", "may", "might", "should", "shall"}
_BE = {"is", "are", "be", "becomes", "become", "remains", "remain", "was", "were", "being"}
_DROPPED = _EASE | {
    "now",
    "currently",
    "just",
    "clearly",
    "obviously",
    "actually",
    "also",
    "quite",
    "certainly",
    "definitely",
    "totally",
    "very",
    "indeed",
    "thus",
    "therefore",
    "however",
    "firmly",
    "directly",
    "suddenly",
    "finally",
    "presently",
    "truly",
    "rather",
    "somewhat",
    "temporarily",
    "permanently",
    "undoubtedly",
    "surely",
    "naturally",
    "plainly",
    "evidently",
    "seriously",
    "badly",
    "nicely",
    "neatly",
    "safely",
    "then",
    "again",
    "instead",
    "conveniently",
    "incidentally",
    "unfortunately",
    "sadly",
    "luckily",
    "fortunately",
    "officially",
    "effectively",
    "literally",
    "technically",
    "strictly",
    "moreover",
    "furthermore",
    "wholly",
    "utterly",
    "altogether",
    "thoroughly",
    "hence",
    "meanwhile",
    "today",
    "anyway",
    "already",
    "too",
    "perfectly",
    "nonetheless",
    "nevertheless",
    "admittedly",
    "anymore",
    "exactly",
    "precisely",
    "itself",
    "himself",
    "herself",
    "themselves",
    "straightaway",
    "dangerously",
    "securely",
    "annoyingly",
    "painfully",
    "happily",
    "jointly",
    "ourselves",
    "thereby",
    "hereby",
    "henceforth",
    "consequently",
    "accordingly",
    "myself",
    "yourself",
    "yourselves",
}
_DROPPED_RUNS = (
    "of course", "at the moment", "at present", "right now", "for now", "at this point", "in fact",
    "as well", "once more", "once again", "for the moment", "for the time being", "at once",
    "in this position", "in the position", "after all", "by now", "as it stands", "as things stand",
    "at this moment", "in effect", "to be precise", "strictly speaking", "without doubt",
    "without a doubt", "no doubt", "to be exact", "at last",
    "as you can see", "as we can see", "as you see", "you see", "here and now", "so far",
    "in this structure", "in this pawn structure", "on this board", "of this position", "this minute", "this instant", "this very moment", "at the same time", "simultaneously", "any longer", "any more", "right away", "straight away", "as it happens", "on his own", "for example", "for instance", "on this very move", "on this move", "on the very next move", "on the next move", "in the diagram", "by the way", "this very move",
    "no fewer than", "no less than", "not fewer than", "all the way", "straight down", "all along", "at this instant", "at the present moment",
    "at present moment", "in all likelihood", "as we speak", "right this moment", "right this second", "this second", "this very second", "right this minute", "as we stand", "if you like", "if you will", "needless to say",
    "by then", "by that time", "long since", "by this time", "to date", "up to now", "until now", "up till now", "as yet", "at this stage", "at that point", "by this point",
    "a bit", "a touch", "a tad", "you know", "i mean", "i suppose", "i guess", "if i may say so", "mind you", "as you know", "as we know", "as i said", "as we said",
    "for what it is worth", "to be fair", "to be honest", "to be sure", "funnily enough", "oddly enough", "in this game",
    "in our game", "in the game so far", "these days", "by my count", "on my count", "for a change", "believe it or not",
    "to my eye", "it seems to me", "in my book", "in other words", "on closer inspection", "at a glance",
)  # fmt: skip
_ALMOST, _ALMOST_RUNS = {"almost", "nearly"}, ("all but", "close to", "next to")
_HEDGES = _ALMOST | {
    "virtually",
    "practically",
    "roughly",
    "approximately",
    "essentially",
    "basically",
}
_HEDGE_RUNS = ("more or less", "pretty much", "kind of", "sort of", "by and large",
               "just about", "as good as", "so to speak", *_ALMOST_RUNS)  # fmt: skip
_NOT_RUNS = ("nowhere does", "nowhere do", "in no way does", "in no sense does", "no longer", "not yet", "not any longer", "by no means", "not at all",
             "no more", "not quite", "not in any way", "in no way", "not really")  # fmt: skip
_COLOURED = set(
    "square squares squared side counterpart counterparts one ones minor heavy major army light dark "
    "isolated passed doubled backward queenside kingside".split()
)
_PRONOUNS = {"he": "he", "she": "he", "him": "he", "we": "we", "i": "we", "us": "we", "me": "we",
             "you": "you"}  # fmt: skip
_POSSESSIVES = {"his": "he", "her": "he", "our": "we", "my": "we", "your": "you", "their": "they",
                "its": "it", "ours": "we", "mine": "we", "yours": "you", "hers": "he", "theirs": "they"}  # fmt: skip
_SIDE_RUNS = {
    "the opponent": "opponent", "my opponent": "opponent", "our opponent": "opponent",
    "your opponent": "opponent", "the other side": "other", "the other player": "other",
    "the enemy": "opponent", "his opponent": "other", "her opponent": "other",
    "the first player": "white", "the second player": "black", "the side to move": "mover",
    "the player to move": "mover", "the white side": "white", "the black side": "black",
    "the white player": "white", "the black player": "black", "the white pieces": "white",
    "the black pieces": "black", "the white army": "white", "the black army": "black",
    "the defending side": "", "the side that moved last": "last", "the player with white": "white",
    "the player with black": "black", "white player": "white", "black player": "black",
}  # fmt: skip


def _by_first(runs: Iterable[str]) -> dict[str, tuple[str, ...]]:
    """The runs of words under the word they begin with, in their order."""
    found: dict[str, tuple[str, ...]] = {}
    for run in runs:
        first = run.split()[0]
        found[first] = (*found.get(first, ()), run)
    return found


@cache
def _marked(kind: str) -> str:
    """A kind as it is written beside words."""
    return f"<{kind}>"


@cache
def _split(run: str) -> list[str]:
    """The words of a run."""
    return run.split()


_DROPPED_BY_FIRST, _HEDGE_BY_FIRST = _by_first(_DROPPED_RUNS), _by_first(_HEDGE_RUNS)
_JOIN_BY_FIRST = _by_first(("as well as", "and also", "and then"))
_NOT_BY_FIRST, _SIDE_BY_FIRST = _by_first(_NOT_RUNS), _by_first(_SIDE_RUNS)
_SQUARE_NOUNS = {"square", "squares", "point", "points", "spot", "field", "fields"}
_OF_SQUARES = {
    "important", "key", "central", "critical", "blockading", "weak", "strong", "vital", "sensitive",
    "crucial", "light", "dark", "vulnerable", "famous", "wonderful", "beautiful", "tender", "soft",
    "ideal", "excellent", "empty", "blockade", "transit", "entry", "good", "outpost", "centre",
    "center", "fine", "lovely", "juicy", "natural", "advanced", "little", "same", "squared", "two",
}  # fmt: skip
_BOTH = {"sides", "players", "colours", "colors", "camps", "armies"}
_ONE_SIDE = {"side", "player", "colour", "color", "camp", "party", "army"}
_ORDINALS = {w: i for i, w in enumerate(
    ["first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth"], 1)} | {
    f"{i}{s}": i for i, s in enumerate(["st", "nd", "rd", "th", "th", "th", "th", "th"], 1)}  # fmt: skip
_WINGS = {"king": "kingside", "queen": "queenside"}
_ADJECTIVES = {
    "white",
    "black",
    "enemy",
    "opposing",
    "own",
    "remaining",
    "other",
    "last",
    "lone",
    "single",
    "good",
    "bad",
    "active",
    "passive",
    "strong",
    "weak",
    "extra",
    "poor",
    "proud",
    "powerful",
    "beautiful",
    "developed",
    "undeveloped",
    "attacked",
    "defended",
    "undefended",
    "unprotected",
    "unguarded",
    "protected",
    "loose",
    "hanging",
    "pinned",
    "trapped",
    "overloaded",
    "advanced",
    "central",
    "isolated",
    "passed",
    "backward",
    "doubled",
    "tripled",
    "connected",
    "fianchettoed",
    "far",
    "fine",
    "lonely",
    "mighty",
    "valuable",
    "important",
    "key",
    "whole",
    "entire",
    "little",
    "old",
    "famous",
    "stray",
    "brave",
    "cornered",
    "exposed",
    "open",
    "same",
    "very",
    "outside",
    "tall",
    "fellow",
    "dear",
    "nice",
    "light",
    "dark",
    "squared",
    "coloured",
    "colored",
    "heavy",
    "major",
    "minor",
    "blockaded",
    "blocked",
    "queenside",
    "kingside",
    "two",
    "three",
    "minor's",
    "front",
    "rear",
    "base",
    "lead",
    "rival",
    "hostile",
    "friendly",
    "unfortunate",
    "remote",
    "misplaced",
    "excellent",
    "annoying",
    "dangerous",
    "lovely",
    "nimble",
    "new",
    "original",
    "neighbouring",
    "neighboring",
    "adjacent",
}
_DETERMINERS = {"the", "a", "an", "this", "that", "these", "those", "another", "any", "some"}


Step = Callable[[int], tuple[list[Item], int] | None]
"""Reads what begins at an item: the items to put there, and how many they stand for."""

_RUN_WORDS = (
    {"straight", "right", "clean", "clear", "the"}
    | {"does", "do", "not", "never", "still", "yet", "only", "even", "here"}
    | _HEDGES
    | _DROPPED
    | _NOT_BY_FIRST.keys()
    | _JOIN_BY_FIRST.keys()
    | _HEDGE_BY_FIRST.keys()
    | _DROPPED_BY_FIRST.keys()
    | PRAISE
)
_WORDING_WORDS = {"has", "have", "is", "are", "am"} | SAME_FIRSTS | BEING.keys() | POSTED
_MOVE_NOUNS = frozenset(
    "capture reply exchange advance recapture retreat push thrust sequence continuation answer response sally sortie manoeuvre check".split()
)
"""Nouns that a move may be called by: "the reply a3"."""
_EXCEPT = (
    "except for",
    "except",
    "apart from",
    "other than",
    "with the exception of",
    "bar",
    "save",
)
_AFTER_PRAISE = set(
    "and or but to for on in of at enough than that which who because as since so when while here is are a the now "
    "from with by about indeed too if though although squares square points point".split()
)
_STOPS = {".", ",", ";", ":", "!", "?", ")", "and", "but", "with"}
_DIAGONAL_WORDS = {"the", "this", "that", "diagonal", "long"}
_PLACE_WORDS = (
    set("abcdefgh")
    | _ORDINALS.keys()
    | {"back", "last", "home", "the", "both", "either", "neither", "kingside", "queenside"}
    | _WINGS.keys()
)
_MOVER_WORDS = set(PIECE_TYPES)
_SIDE_WORDS = (
    {"white", "black", "both", "each", "neither", "either", "no", "one", "nobody", "noone"}
    | {"somebody", "someone", "everybody", "everyone", "they", "them"}
    | _SIDE_BY_FIRST.keys()
    | _PRONOUNS.keys()
    | _POSSESSIVES.keys()
)
_COUNT_WORDS = {"twice", "thrice", "once", "a", "one"}
_PIECE_STARTS = (
    {"everything", "nothing", "something", "anything", "it", "both", "all", "each", "every"}
    | {"neither", "none", "no", "either", "one", "any"}
    | _DETERMINERS
    | _ADJECTIVES
    | PIECE_WORDS.keys()
    | _WINGS.keys()
)
_NO_KINDS = frozenset[str]()
_SQUARE_KINDS, _MOVE_KINDS, _NUMBER_KINDS = map(frozenset, (["<square>"], ["<move>"], ["<number>"]))
_LIST_KINDS = frozenset(["<piece>"])
_PIECE_KINDS = frozenset(["<whose>", "<number>", "<square>", "<file>", "<wing>", "<side>"])
"""Kinds of phrases and tokens, written so that no word looks like one."""

_IN_PLACES = (
    set("abcdefgh")
    | {"rank", "ranks", "sixth", "seventh", "eighth", "files", "side", "kingside", "queenside"}
    | {"wing", "wings", "flank", "flanks"}
)
_IN_NUMBERS = {"<number>", "twice", "thrice", "once", "one", "couple", "single", "lone", "all"}
_IN_EXCEPTIONS = {words.split()[0] for words in _EXCEPT}
"""Of these words one stands in whatever the steps read; a kind is written "<number>"."""


def gather(
    tokens: Sequence[Token], links: Sequence[tuple[int, int, tuple[str, ...]]] = ()
) -> tuple[Form, Form]:
    """The bare and the full normal form of a sentence's tokens.

    `links` are places in the text with the squares they point at: a piece or square named there
    is the one on that square.
    """
    bare = _Gatherer([Item(t.text, t.start, t.end, None, t) for t in tokens], links).bare()
    return _form(bare), _placed(_form(_Gatherer(bare, links).full()))


_STANDING_THERE = expression(
    r"P(.) (?:is|are) (?:hanging|loose|en prise|undefended|unprotected|unguarded|trapped|pinned|attacked|protected|defended|"
    r"isolated|at home|undeveloped|unmoved|asleep) (?:on|at) Q(.)(?= ?$| [,;.:!]| (?:and|but) )"
)


def _placed(form: Form) -> Form:
    """The form in which "his bishop is hanging on d6" names the bishop on d6."""
    phrases = list(form.phrases)
    for match in _STANDING_THERE.finditer(form.text):
        piece, where = (ord(mark) - FIRST_MARK for mark in match.groups())
        one = phrases[piece]
        if not (one.squares or one.parts or one.plural or one.determiner == "it"):
            phrases[piece] = replace(one, squares=phrases[where].squares)
    return replace(form, phrases=tuple(phrases)) if form.phrases else form


_DOING_COMPOUNDS = {"cover", "moves", "move", "shield", "shelter", "push", "break", "storm"}
"""Of those behind a noun these may be what it does: "the bishop moves on the light squares"."""
_COMPOUNDS = set(
    "side 's ending endings endgame structure move moves majority pair island islands chain break storm count sacrifice "
    "up down ahead behind race push less more formation shield cover shelter protection centre center".split()
)
"""Behind "pawn", "king" or "piece" these make another noun, or a measure."""


@dataclass(slots=True)
class _Noun:
    """A noun of the board while it is read: where it begins and ends, and what is told of it.

    `told` is whether it has adjectives; the other fields are those of `Phrase`.
    """

    start: int
    end: int = 0
    word: str = ""
    pieces: str = ""
    mode: Mode = Mode.ONE
    quantified: bool = False
    who: str = ""
    determiner: str = ""
    count: int = 0
    squares: tuple[str, ...] = ()
    files: tuple[str, ...] = ()
    words: tuple[str, ...] = ()
    told: bool = False


class _Gatherer:
    """One pass over the items of a sentence."""

    def __init__(
        self, items: list[Item], links: Sequence[tuple[int, int, tuple[str, ...]]]
    ) -> None:
        self.links = links
        self._take(items)

    def _take(self, items: list[Item]) -> None:
        """Goes on with these items."""
        self.items = items
        self._words = [item.text for item in items]
        told = (item.phrase or item.token for item in items)
        self._kinds = ["" if one is None else _marked(one.kind) for one in told]
        self._present = {*self._words, *self._kinds}

    # --- the bare form ---------------------------------------------------------------------

    def bare(self) -> list[Item]:
        self._sweep(self._runs, _RUN_WORDS, tail="ly")
        self._sweep(self._wording, _WORDING_WORDS)
        self._sweep(self._diagonal, _DIAGONAL_WORDS, _SQUARE_KINDS, {"diagonal"})
        self._sweep(self._squares, _DETERMINERS | {"both", "either"}, _SQUARE_KINDS, {"<square>"})
        self._sweep(self._places, _PLACE_WORDS, needed=_IN_PLACES)
        self._sweep(self._moves, _MOVER_WORDS, _MOVE_KINDS, {"<move>", "<square>"})
        self._sweep(self._sides, _SIDE_WORDS)
        self._sweep(self._numbers, _COUNT_WORDS, _NUMBER_KINDS, _IN_NUMBERS)
        self._sweep(self._told_move, TRIGGERS)
        self._sweep(self._told_next, {"and", "then"}, needed={"after"})
        return self.items

    def full(self) -> list[Item]:
        self._sweep(self._pieces, _PIECE_STARTS, _PIECE_KINDS)
        self._sweep(self._piece_lists, PIECE_WORDS.keys(), _LIST_KINDS, {"and", "or", "&"})
        self._sweep(self._excepted, (), _LIST_KINDS, {"but", *_IN_EXCEPTIONS})
        self._sweep(self._placed, (), _LIST_KINDS, {",", ":", "("})
        if not self._present.isdisjoint(_IN_EXCEPTIONS):
            self._excepted_late()
        return self.items

    def _sweep(
        self,
        step: Step,
        words: Container[str],
        kinds: frozenset[str] = _NO_KINDS,
        needed: Iterable[str] = (),
        tail: str = "",
    ) -> None:
        """Takes a step wherever one of the words or kinds, or a tail, stands.

        Nothing is tried in a sentence that has none of the words (or kinds) `needed`.
        """
        if needed and self._present.isdisjoint(needed):
            return
        told = enumerate(zip(self._words, self._kinds, strict=True))
        if tail:
            tried = [n for n, (w, k) in told if w in words or k in kinds or w.endswith(tail)]
        elif kinds:
            tried = [n for n, (w, k) in told if w in words or k in kinds]
        else:
            tried = [n for n, (w, _) in told if w in words]
        out: list[Item] = []
        done = 0
        for at in tried:
            if at >= done and (made := step(at)) is not None:
                out.extend(self.items[done:at])
                out.extend(made[0])
                done = at + made[1]
        if done:
            self._take([*out, *self.items[done:]])

    def _text(self, at: int) -> str:
        return self._words[at] if 0 <= at < len(self._words) else ""

    def _phrase(self, at: int, *kinds: str) -> Phrase | None:
        if 0 <= at < len(self.items):
            phrase = self.items[at].phrase
            if phrase and phrase.kind in kinds:
                return phrase
        return None

    def _says(self, at: int, words: str) -> int:
        """How many items the words take at a place, 0 where they do not stand there."""
        run = _split(words)
        return len(run) if at >= 0 and self._words[at : at + len(run)] == run else 0

    def _made(self, at: int, length: int, phrase: Phrase) -> tuple[list[Item], int]:
        start, end = self.items[at].start, self.items[at + length - 1].end
        return [Item("", start, end, phrase.placed(start, end))], length

    def _mark(self, at: int, length: int, mark: str) -> tuple[list[Item], int]:
        return [Item(mark, self.items[at].start, self.items[at + length - 1].end)], length

    def _runs(self, at: int) -> tuple[list[Item], int] | None:
        """Adverbs dropped; negations and hedges marked."""
        if run := self._run_of_words(at):
            return run
        word = self._text(at)
        if word in {"not", "never", "does", "do"}:
            return self._negation(at, word)
        if word in _HEDGES:
            return self._mark(at, 1, _hedge(word))
        if (word == "still" and self._text(at + 1) != "to") or (
            word == "yet" and self._text(at - 1) not in {",", ""} and self._text(at + 1) != "to"
        ):
            return self._mark(at, 1, "<still>")
        return ([], 1) if self._adds_nothing(at, word) else None

    def _run_of_words(self, at: int) -> tuple[list[Item], int] | None:
        """Runs of words that negate, hedge, join or add nothing."""
        if self._says(at, "the move") and at + 2 < len(self.items):
            token = self.items[at + 2].token
            if token is not None and token.kind in {"square", "move"}:
                return [], 2  # "the move f3 attacks the bishop"
        noun = self._text(at + 1) if self._text(at) == "the" and at + 2 < len(self.items) else ""
        if noun in _MOVE_NOUNS:
            token = self.items[at + 2].token
            if token is not None and token.kind in {"square", "move"}:
                return [], 2  # "the capture dxe5 attacks the knight"
        for run in _JOIN_BY_FIRST.get(self._text(at), ()):
            if length := self._says(at, run):
                return self._put(at, length, ("and",))
        aux = 1 if self._text(at) in {"does", "do"} else 0
        for run in _NOT_BY_FIRST.get(self._text(at + aux), ()):
            if length := self._says(at + aux, run):
                return self._mark(at, length + aux, "<not>")
        for run in _HEDGE_BY_FIRST.get(self._text(at), ()):
            if length := self._says(at, run):
                return self._mark(at, length, _hedge(run))
        for run in _DROPPED_BY_FIRST.get(self._text(at), ()):
            length = self._says(at, run)
            if length and not (run == "after all" and self._text(at + length) in _DETERMINERS):
                return [], length
        return None

    def _negation(self, at: int, word: str) -> tuple[list[Item], int] | None:
        """ "does not", "there is not a", "not a single", "not one of"; "not only" denies nothing."""
        after = self._text(at + 1)
        if word in {"does", "do"}:
            if after == "not" and self._text(at + 2) in _STOPS | {""}:
                first, last = self.items[at], self.items[at + 1]
                return [first, Item("<not>", last.start, last.end)], 2  # "and Black does not"
            return self._mark(at, 2, "<not>") if after == "not" else None
        if word == "not" and after in {"a", "one"}:
            single = self._says(at + 1, "a single")
            there_is = self._text(at - 1) in {"is", "are"} and self._text(at - 2) == "there"
            if after == "a" and there_is and not single:
                return self._mark(at, 2, "no")
            if single or after == "one":
                of = self._text(at + 1 + (single or 1)) == "of"
                return self._mark(at, 1 + (single or 1), "none" if of else "no")
        if after in {"only", "just", "merely"}:
            return [], 2
        return self._mark(at, 1, "<not>")

    def _adds_nothing(self, at: int, word: str) -> bool:
        """Whether a word may be left out: adverbs, praise, an "only" or "even" that stresses."""
        if word == "only":
            return self._only_counts(at)
        if word in {"straight", "right", "directly", "clean", "clear"} and self._text(at + 1) in {
            "at", "into", "through", "down", "along", "towards",
        }:  # fmt: skip
            return self._text(at - 1) not in _BE
        if word == "even":
            ends = self._text(at + 1) in {"", ".", "!", ",", ";"}  # "is perfectly even"
            return (
                not ends
                and self._text(at - 1) not in {*_BE, "dead"}
                and self._text(at + 1) not in {"in", "on"}
            )
        if word.endswith("ly") and len(word) > 4 and word not in STRESS and at:
            return True
        if word in PRAISE:
            return self._praises(at)
        if word in _EASE and self._text(at - 1) in {"not", "never"}:
            return False  # "not easily" is no "not"
        return word in _DROPPED or (word == "here" and self._text(at + 1) not in {"is", "are"})

    def _praises(self, at: int) -> bool:
        """Whether an adjective stands before what it praises, and not behind it."""
        if at + 1 >= len(self.items):
            return False
        token = self.items[at + 1].token
        named = token is not None and token.kind in {"square", "move", "number", "word"}
        return named and self._text(at + 1) not in _AFTER_PRAISE

    def _wording(self, at: int) -> tuple[list[Item], int] | None:
        """Other words for the same: "is stationed on", "boasts", "stands"."""
        word = self._text(at)
        if word in SAME_FIRSTS:
            second = at + 1
            while self._text(second).startswith("<"):
                second += 1
            runs = same(word)
            for said, meant in (*runs.get(self._text(second), ()), *runs.get("", ())):
                if length := self._run_with_marks(at, said):
                    return self._put(at, length, meant)
        if word in BEING and self._text(at + 1) not in NOT_BEING:
            after = "be" if self._text(at - 1) in _BARE_AFTER and word[-1] != "s" else BEING[word]
            return self._put(at, 1, (after,))
        got = self._run_with_marks(at, (word, "got")) if word in {"has", "have"} else 0
        if got and self._text(at + got) not in GOT_MORE:
            return self._put(at, got, (word,))
        if word in POSTED and self._text(at + 1) in PLACES and self._was_be(at - 1):
            return [], 1
        return self._done(at, word)

    def _done(self, at: int, word: str) -> tuple[list[Item], int] | None:
        """ "is attacking" as "attacks", "is being attacked" as "is attacked"."""
        here = at + 1
        while self._text(here).startswith("<"):
            here += 1
        doing = self._text(here)
        if word not in {"is", "are"} or self._text(here + 1) == "":
            return None
        if doing == "being":
            return self._put(at, here + 1 - at, (word,))
        if doing in DOING and doing not in AS_IT_IS:
            verb = DOING[doing]
            return self._put(at, here + 1 - at, (third_person(verb) if word == "is" else verb,))
        return None

    def _run_with_marks(self, at: int, words: tuple[str, ...]) -> int:
        """How many items a run of words takes, marks between them included; 0 if it is not there."""
        here = at
        for word in words:
            while here > at and self._text(here).startswith("<"):
                here += 1
            if self._text(here) != word:
                return 0
            here += 1
        return here - at

    def _put(self, at: int, length: int, words: tuple[str, ...]) -> tuple[list[Item], int]:
        """Other words in the place of the items there; their marks are kept, in front."""
        first, last = self.items[at], self.items[at + length - 1]
        marks = [i for i in self.items[at : at + length] if i.text.startswith("<")]
        return [*marks, *(Item(word, first.start, last.end) for word in words)], length

    def _was_be(self, at: int) -> bool:
        while self._text(at).startswith("<") or self._text(at) in {"both", "all"}:
            at -= 1
        return self._text(at) in _BE

    def _only_counts(self, at: int) -> bool:
        """Whether "only" merely stresses a number or a time, and may be dropped."""
        before, after = self._text(at - 1), self._text(at + 1)
        token = self.items[at + 1].token if at + 1 < len(self.items) else None
        if token is not None and (token.number or 0) > 1 and token.kind == "number":
            return True
        return before not in {"", "the", ",", ";", ":", ".", "and", "but", "because", "that"} and (
            after
            not in {
                "move",
                "legal",
                "way",
                "check",
                "the",
                "reply",
                "open",
                "by",
                "with",
                "from",
                "",
                ".",
                ",",
                ";",
                "!",
            }
        )

    def _squares(self, at: int) -> tuple[list[Item], int] | None:
        start = at
        if self._text(at) in {"both", "either"}:
            squares, end, mode = self._square_list(at + 1)
            made = Phrase("square", 0, 0, mode, squares=tuple(squares))
            return self._made(at, end - at, made) if len(squares) > 1 else None
        if named := self._described_square(at):
            return named
        if self._text(at) == "the" and self._token_square(at + 1) and self._text(at + 2) in {
            "square", "point",
        }:  # fmt: skip
            square = self._token_square(at + 1)
            return self._made(at, 3, Phrase("square", 0, 0, squares=(square,)))
        if self._text(at) == "the" and self._text(at + 1) in {
            "square",
            "squares",
            "point",
            "points",
        }:
            at += 2 if self._token_square(at + 2) else 0
        squares, end, mode = self._square_list(at)
        if not squares:
            return None
        if self._text(end) in _SQUARE_NOUNS and self._text(end + 1) not in {"at", "to", "towards"}:
            end += 1
        return self._made(start, end - start, Phrase("square", 0, 0, mode, squares=tuple(squares)))

    def _described_square(self, at: int) -> tuple[list[Item], int] | None:
        """ "the important blockading square d5", "the weak f7 square"."""
        here = at + 1
        if self._text(at) not in {"the", "this", "that"}:
            return None
        while self._text(here) in _OF_SQUARES and here < at + 4:
            here += 1
        if here == at + 1:
            return None
        if self._text(here) in _SQUARE_NOUNS and self._token_square(here + 1):
            squares, end, mode = self._square_list(here + 1)
        elif self._token_square(here) and self._text(here + 1) in _SQUARE_NOUNS:
            squares, end, mode = [self._token_square(here)], here + 2, Mode.ONE
        else:
            return None
        return self._made(at, end - at, Phrase("square", 0, 0, mode, squares=tuple(squares)))

    def _token_square(self, at: int) -> str:
        if 0 <= at < len(self.items):
            token = self.items[at].token
            if token and token.kind == "square":
                return token.text
        return ""

    def _square_list(self, at: int) -> tuple[list[str], int, Mode]:
        squares: list[str] = []
        mode, first = Mode.ONE, at
        while square := self._token_square(at):
            squares.append(square)
            at += 1
            again = self._text(at + 1) in {"to", "on", "at", "from"} and (
                self._text(at + 1) == self._text(first - 1)
            )
            if self._text(at) in {"and", "or"} and self._token_square(at + 1 + again):
                mode = Mode.ANY if self._text(at) == "or" else Mode.ALL
                at += 1 + again
            elif (
                self._text(at) == "," and self._token_square(at + 1) and self._list_goes_on(at + 1)
            ):
                at += 1
            else:
                break
        return squares, at, mode

    def _list_goes_on(self, at: int) -> bool:
        """Whether "e4, d5 and f6" comes to its "and"."""
        while self._token_square(at):
            if self._text(at + 1) in {"and", "or"} and self._token_square(at + 2):
                return True
            if self._text(at + 1) != ",":
                return False
            at += 2
        return False

    def _places(self, at: int) -> tuple[list[Item], int] | None:
        return self._file(at) or self._rank(at) or self._wing(at)

    def _diagonal(self, at: int) -> tuple[list[Item], int] | None:
        start = at
        if self._text(at) in {"the", "this", "that"}:
            at += 1
        if self._text(at) == "diagonal" and self._text(at + 1) == "from" and (
            self._token_square(at + 2) and self._text(at + 3) == "to" and self._token_square(at + 4)
        ):  # fmt: skip
            ends = (self._token_square(at + 2), self._token_square(at + 4))
            return self._made(start, at + 5 - start, Phrase("diagonal", 0, 0, squares=ends))
        if (
            self._text(at) == "diagonal"
            and self._token_square(at + 1)
            and self._token_square(at + 2)
        ):
            ends = (self._token_square(at + 1), self._token_square(at + 2))
            return self._made(start, at + 3 - start, Phrase("diagonal", 0, 0, squares=ends))
        first, second = self._token_square(at), self._token_square(at + 1)
        if first and second and self._text(at + 2) == "diagonal":
            phrase = Phrase("diagonal", 0, 0, squares=(first, second))
            return self._made(start, at + 3 - start, phrase)
        shade = self._text(at + 1) if self._text(at + 2) in {"squared", "square"} else ""
        skip = 2 if shade in {"light", "dark"} else 0
        if not skip and self._text(at + 1) in {"light", "dark"}:
            shade, skip = self._text(at + 1), 1
        if self._text(at) == "long" and self._text(at + 1 + skip) == "diagonal":
            phrase = Phrase("diagonal", 0, 0, value=f"long {shade}".strip())
            return self._made(start, at + 2 + skip - start, phrase)
        return None

    def _letter(self, at: int) -> str:
        """A file's letter; "a" only where a hyphen tells it from the article."""
        text = self._text(at)
        if len(text) != 1 or text not in "abcdefgh":
            return ""
        if text == "a" and not self._hyphen_after(at):
            return ""
        return text

    def _hyphen_after(self, at: int) -> bool:
        token = self.items[at].token
        return token is not None and token.hyphen

    def _file(self, at: int) -> tuple[list[Item], int] | None:
        if self._says(at, "both the") and self._letter(at + 2) and (made := self._file(at + 2)):
            (item, *_), length = made
            assert item.phrase is not None
            return self._made(at, length + 2, replace(item.phrase, mode=Mode.ALL))
        both = self._says(at, "both central files") or self._says(at, "the central files")
        if both:
            phrase = Phrase("file", 0, 0, Mode.ALL, files=("d", "e"))
            return self._made(at, both, phrase)
        files: list[str] = []
        mode = Mode.ONE
        here = at
        while letter := self._letter(here):
            files.append(letter)
            here += 1
            if self._text(here) in {"and", "or"} and self._letter_ahead(here + 1):
                mode = Mode.ANY if self._text(here) == "or" else Mode.ALL
                here += 1
            elif (
                self._text(here) == "file"
                and self._text(here + 1) in {"and", "or"}
                and (self._letter_ahead(here + 2))
            ):
                mode = Mode.ANY if self._text(here + 1) == "or" else Mode.ALL
                here += 3 if self._text(here + 2) == "the" else 2
            elif self._text(here) == "," and self._letter_ahead(here + 1):
                here += 1
            else:
                break
        if not files:
            return None
        if self._text(here) in {"file", "files"}:
            return self._made(at, here + 1 - at, Phrase("file", 0, 0, mode, files=tuple(files)))
        if self._text(here) in {"pawn", "pawns"} or (
            self._text(here) in {"rook", "rooks"} and self._hyphen_after(here - 1)
        ):
            return self._made(at, here - at, Phrase("file", 0, 0, mode, files=tuple(files)))
        return None

    def _letter_ahead(self, at: int) -> bool:
        if self._text(at) == "the":
            at += 1
        if not self._letter(at):
            return False
        if self._text(at + 1) == "," and self._letter(at + 2):
            return True
        return self._text(at + 1) in {"file", "files", "pawn", "pawns", "and", "or"}

    def _rank(self, at: int) -> tuple[list[Item], int] | None:
        word = self._text(at)
        if self._text(at + 1) not in {"rank", "ranks"}:
            bare = word in {"sixth", "seventh", "eighth"} and self._text(at - 1) in (
                _POSSESSIVES.keys() | {"the"}
            )
            if bare and (at + 1 == len(self.items) or self._text(at + 1) in _STOPS):
                return self._made(at, 1, Phrase("rank", 0, 0, number=_ORDINALS[word]))
            return None
        if word in {"back", "last", "home"}:
            return self._made(at, 2, Phrase("rank", 0, 0, value=word))
        if number := _ORDINALS.get(word):
            return self._made(at, 2, Phrase("rank", 0, 0, number=number))
        return None

    def _wing(self, at: int) -> tuple[list[Item], int] | None:
        start = at
        if self._text(at) == "the":
            at += 1
        if self._text(at) in {"both", "either", "neither"} and self._text(at + 1) in {
            "wing", "wings", "flank", "flanks",
        }:  # fmt: skip
            modes = {"both": Mode.ALL, "either": Mode.ANY, "neither": Mode.NONE}
            phrase = Phrase("wing", 0, 0, modes[self._text(at)], value="both")
            return self._made(start, at + 2 - start, phrase)
        word = self._text(at)
        length = 0
        if word in {"kingside", "queenside"}:
            length = 1
        elif word in _WINGS and self._text(at + 1) == "side":
            word, length = _WINGS[word], 2
        elif word in _WINGS and self._says(at + 1, "'s") and self._text(at + 2) in {
            "side", "wing", "flank",
        }:  # fmt: skip
            word, length = _WINGS[word], 3
        if not length:
            return None
        return self._made(start, at + length - start, Phrase("wing", 0, 0, value=word))

    def _moves(self, at: int) -> tuple[list[Item], int] | None:
        token = self.items[at].token
        if token and token.kind == "move" and self.items[at].phrase is None:
            return self._made(at, 1, Phrase("move", 0, 0, moves=(token,)))
        return self._spoken_move(at)

    def _told_move(self, at: int) -> tuple[list[Item], int] | None:
        """ "if Black puts the knight on c6" as "after" that move; "taking on f6" as the move."""
        items = [i for i in self.items[at : at + 24] if not i.text.startswith("<")]
        form = _form(items)
        names = {
            form.text[place : place + 2]: (*item.phrase.squares, *item.phrase.files)[0]
            for item, place in zip(form.items, form.at, strict=True)
            if item.phrase and len((*item.phrase.squares, *item.phrase.files)) == 1
        }
        if turn := told_turn(form.text):
            dropped = 1 + max(i for i, place in enumerate(form.at) if place < turn)
            return [], next(
                n for n, i in enumerate(self.items[at:], 1) if i is form.items[dropped - 1]
            )
        if castled := self._told_castling(at, form):
            return castled
        told = told_move(form.text, names)
        if told is None:
            return None
        length = 1 + max(i for i, place in enumerate(form.at) if place < told.length)
        last = form.items[length - 1]
        taken = next(n for n, i in enumerate(self.items[at:], 1) if i is last)
        first = self.items[at]
        move = self._move_of(told, form, first, last)
        if not told.condition:
            return [move], taken
        return [Item("after", first.start, first.end), move], taken

    def _told_castling(self, at: int, form: Form) -> tuple[list[Item], int] | None:
        """ "castling would", "if White castles": the move."""
        told = told_castling(form.text)
        if told is None:
            return None
        end, way, wing, condition = told
        long = way == "long"
        if wing:
            long = form.phrases[ord(wing[1]) - FIRST_MARK].value == "queenside"
        length = 1 + max(i for i, place in enumerate(form.at) if place < end)
        first, last = form.items[0], form.items[length - 1]
        taken = next(n for n, i in enumerate(self.items[at:], 1) if i is last)
        token = Token("O-O-O" if long else "O-O", first.start, last.end, "move")
        move = Item(
            "", first.start, last.end, Phrase("move", first.start, last.end, moves=(token,))
        )
        return ([Item("after", first.start, first.end), move] if condition else [move]), taken

    def _told_next(self, at: int) -> tuple[list[Item], int] | None:
        """ "after h6 and Black takes it": the next move of a condition."""
        if not (self._phrase(at - 1, "move") and self._says(at - 2, "after")):
            return None
        lead = self.items[at]
        rest = _Gatherer([replace(lead, text="after"), *self.items[at + 1 : at + 24]], self.links)
        made = rest._told_move(0)
        if made is None:
            return None
        (_, move, *_), length = made if len(made[0]) > 1 else ([lead, *made[0]], made[1])
        return [lead, move], length

    def _move_of(self, told: Told, form: Form, first: Item, last: Item) -> Item:
        """The move told as a phrase."""
        who = form.phrases[ord(told.side[1]) - FIRST_MARK].who if told.side else ""
        black = who == "black" if who in {"white", "black"} else None
        if told.mark:
            phrase = form.phrases[ord(told.mark[1]) - FIRST_MARK]
            if black is not None and phrase.moves and phrase.moves[0].black is None:
                phrase = replace(phrase, moves=(replace(phrase.moves[0], black=black),))
            elif black is not None and phrase.kind == "square":
                step = Token(phrase.squares[0], phrase.start, phrase.end, "move", black=black)
                phrase = replace(phrase, kind="move", moves=(step,))
            return Item("", phrase.start, phrase.end, phrase)
        token = Token(told.code, first.start, last.end, "move", black=black)
        moved = Phrase("move", first.start, last.end, moves=(token,))
        return Item("", first.start, last.end, moved)

    def _spoken_move(self, at: int) -> tuple[list[Item], int] | None:
        """ "knight to d5", "knight d5", "bishop takes f6", not "the knight to …"."""
        piece = self._text(at)
        if piece not in _MOVER_WORDS:
            return None
        if self._text(at - 1) in _DETERMINERS | _ADJECTIVES | set(_POSSESSIVES) | {"'s"}:
            return None
        here, takes = at + 1, False
        if self._text(here) in {"to", "takes", "captures", "x"}:
            takes = self._text(here) != "to"
            here += 1
            if self._text(here) == "on":
                here += 1
        square = self._phrase(here, "square") or self._square_mated(here)
        if not square or len(square.squares) != 1:
            return None
        letter = "" if piece == "pawn" else PIECE_WORDS[piece]
        written = f"{letter}{'x' if takes else ''}{square.squares[0]}"
        token = Token(written, self.items[at].start, self.items[here].end, "move")
        return self._made(at, here + 1 - at, Phrase("move", 0, 0, moves=(token,)))

    def _square_mated(self, at: int) -> Phrase | None:
        """The square of "f7 mate" in "queen takes f7 mate"."""
        token = self.items[at].token if 0 <= at < len(self.items) else None
        if token is None or token.kind != "move" or token.number is not None:
            return None
        bare = re.fullmatch(r"([a-h][1-8])[#+]*", token.text)
        return Phrase("square", 0, 0, squares=(bare[1],)) if bare else None

    def _sides(self, at: int) -> tuple[list[Item], int] | None:
        found = self._side_at(at)
        if not found:
            return None
        phrase, length = found
        if self._text(at + length) == "'s" and phrase.kind == "side":
            made, total = self._made(at, length + 1, replace(phrase, kind="whose"))
            return made, total
        return self._made(at, length, phrase)

    def _side_at(self, at: int) -> tuple[Phrase, int] | None:
        for run in _SIDE_BY_FIRST.get(self._text(at), ()):
            who = _SIDE_RUNS[run]
            if (length := self._says(at, run)) and who:
                if run.endswith(" pieces") and self._text(at - 1) not in {"with", "has"}:
                    continue
                return Phrase("side", 0, 0, who=who), length
        word, nxt = self._text(at), self._text(at + 1)
        if word in {"white", "black"}:
            if (
                nxt in {"and", "or"}
                and self._text(at + 2) in {"white", "black"}
                and (self._text(at + 3) not in PIECE_WORDS)
            ):
                mode = Mode.ALL if nxt == "and" else Mode.ANY
                return Phrase("side", 0, 0, mode, who="both"), 3
            if nxt in PIECE_WORDS or nxt in _COLOURED:
                return None
            if self._phrase(at + 1, "file", "square") and self._text(at + 2) in PIECE_WORDS:
                return None
            return Phrase("side", 0, 0, who=word), 1
        if word in {"both", "each", "neither", "either", "no", "one"}:
            return self._several_sides(at, word, nxt)
        if word in {"nobody", "noone"}:
            return Phrase("side", 0, 0, Mode.NONE, who="both"), 1
        if word in {"somebody", "someone"}:
            return Phrase("side", 0, 0, Mode.ANY, who="both"), 1
        if word in {"everybody", "everyone"}:
            return Phrase("side", 0, 0, Mode.ALL, who="both"), 1
        return self._pronoun(at, word)

    def _several_sides(self, at: int, word: str, nxt: str) -> tuple[Phrase, int] | None:
        if word == "each" and (self._text(at - 1) in PIECE_WORDS or self._text(at - 1) == "points"):
            return None
        castles = self._text(at - 1) in {"on", "to", "castle"}
        if word in {"both", "either", "each", "neither"} and castles:
            return None  # the wings are meant
        modes = {"both": Mode.ALL, "each": Mode.ALL, "neither": Mode.NONE, "either": Mode.ANY,
                 "no": Mode.NONE, "one": Mode.ANY}  # fmt: skip
        phrase = Phrase("side", 0, 0, modes[word], who="both")
        sides = {nxt, self._text(at + 3)}
        if word == "neither" and self._text(at + 2) == "nor" and sides == {"white", "black"}:
            return phrase, 4
        if word == "no" and nxt == "one":
            return phrase, 2
        if nxt in (_BOTH if word == "both" else _ONE_SIDE):
            return phrase, 2
        if nxt == "of" and self._text(at + 2) in {"them", "us"}:
            return (phrase, 3) if word != "no" else None
        if nxt == "of" and self._says(at + 2, "the") and self._text(at + 3) in _BOTH:
            return phrase, 4
        if word in {"both", "each", "neither"} and nxt in {
            "have", "has", "can", "are", "is", "castled", "may", "<still>", "<not>",
        }:  # fmt: skip
            return phrase, 1
        return None

    def _pronoun(self, at: int, word: str) -> tuple[Phrase, int] | None:
        if word == "her" and self._owns(at + 1):
            return Phrase("whose", 0, 0, who="he"), 1
        if word in _POSSESSIVES and word != "her":
            return Phrase("whose", 0, 0, who=_POSSESSIVES[word]), 1
        if word == "her":
            return Phrase("side", 0, 0, who="he"), 1
        if word in _PRONOUNS:
            return Phrase("side", 0, 0, who=_PRONOUNS[word]), 1
        if word in {"they", "them"}:
            return Phrase("side", 0, 0, who="they"), 1
        return None

    def _owns(self, at: int) -> bool:
        text = self._text(at)
        return (
            text in PIECE_WORDS
            or text in _ADJECTIVES
            or bool(self._phrase(at, "file", "square", "wing"))
            or text
            in {"position", "right", "rights", "last", "castling", "pair", "majority", "lead"}
        )

    def _numbers(self, at: int) -> tuple[list[Item], int] | None:
        word = self._text(at)
        if self._text(at - 1) == "all" and self._text(at + 1) == "of" and self.items[at].token:
            # "all four of her pieces"
            return [], 1
        if word in {"twice", "thrice"}:
            made, _ = self._made(at, 1, Phrase("number", 0, 0, number=2 + (word == "thrice")))
            item = self.items[at]
            return [*made, Item("times", item.start, item.end)], 1
        if word == "once" and re.fullmatch(
            r"attack(?:ed|s)|defend(?:ed|s)|protect(?:ed|s)|hit|hits|guard(?:ed|s)|cover(?:ed|s)|controll?(?:ed|s)|support(?:ed|s)|watch(?:ed|es)|"
            r"P|Q", self._text(at - 1) or ("P" if self._phrase(at - 1, "square", "piece") else "")
        ):  # fmt: skip
            made, _ = self._made(at, 1, Phrase("number", 0, 0, number=1))
            item = self.items[at]
            return [*made, Item("times", item.start, item.end)], 1
        if length := self._says(at, "a couple of") or self._says(at, "a couple"):
            return self._made(at, length, Phrase("number", 0, 0, number=2))
        if length := self._says(at, "a single") or self._says(at, "a lone"):
            return self._made(at, length, Phrase("number", 0, 0, number=1))
        token = self.items[at].token
        if token is None and word == "one":  # put there for "one single"
            return self._made(at, 1, Phrase("number", 0, 0, number=1))
        if token and token.kind == "number" and token.number is not None:
            if word == "one" and self._text(at + 1) in {"of", "another", "day", "thing"}:
                return None
            before = self._text(at - 1)
            if word == "one" and self._text(at - 2) in {"a", "an"} and before not in STRESS:
                return None  # "a relative one"
            if word == "one" and (
                before in {"no", "the", "this", "that", "which"} or before in _ADJECTIVES
            ):
                return None
            return self._made(at, 1, Phrase("number", 0, 0, number=token.number))
        return None

    # --- the full form ---------------------------------------------------------------------

    def _pieces(self, at: int) -> tuple[list[Item], int] | None:
        return (
            self._some_of(at)
            or self._theirs(at)
            or self._noun_phrase(at)
            or self._whole(at)
            or self._it(at)
        )

    def _theirs(self, at: int) -> tuple[list[Item], int] | None:
        """ "ours on c5", "Black's on e4": the piece that stands there."""
        whose, square = self._phrase(at, "whose"), self._phrase(at + 2, "square")
        if whose is not None and self._text(at + 1) in _VERBS_AFTER | {"<not>", "<still>"}:
            return self._his_too(at, whose)
        if whose is None or square is None or self._text(at + 1) not in {"on", "at"}:
            return None
        phrase = Phrase(
            "piece", 0, 0, who=whose.who, pieces="KQRBNP", determiner="the", squares=square.squares
        )
        return self._made(at, 3, phrase)

    def _his_too(self, at: int, whose: Phrase) -> tuple[list[Item], int] | None:
        """ "our bishop is out, his is not": the man of the kind that was named before."""
        before = next((n for n in range(at - 1, -1, -1) if self._text(n) in PIECE_WORDS), None)
        if before is None or self._text(before) not in _MOVER_WORDS:
            return None
        words: list[str] = []
        while self._text(before - 1) in _ADJECTIVES:
            before -= 1
            words.append(self._text(before))
        noun = next(self._text(n) for n in range(before, at) if self._text(n) in PIECE_WORDS)
        shade = tuple(w for w in reversed(words) if w in {"light", "dark", "squared"})
        phrase = Phrase(
            "piece", 0, 0, who=whose.who, pieces=PIECE_WORDS[noun], determiner="whose", words=shade
        )
        return self._made(at, 1, phrase)

    def _some_of(self, at: int) -> tuple[list[Item], int] | None:
        """ "two of our pieces": so many of them."""
        number = self._phrase(at, "number")
        made = self._noun_phrase(at + 2) if number and self._text(at + 1) == "of" else None
        if made is None or number is None:
            return None
        (item, *_), length = made
        if item.phrase is None or not item.phrase.plural or item.phrase.mode is not Mode.ONE:
            return None
        pieces = item.phrase.pieces
        if pieces == "QRBN" and self._text(at - 1) in {"by", "with"}:
            pieces = "KQRBNP"  # "attacked by three of our pieces": any man is meant
        phrase = replace(item.phrase, number=number.number, determiner="", pieces=pieces)
        return self._made(at, length + 2, phrase)

    def _whole(self, at: int) -> tuple[list[Item], int] | None:
        modes = {"everything": Mode.ALL, "nothing": Mode.NONE, "something": Mode.ANY,
                 "anything": Mode.ANY}  # fmt: skip
        if (word := self._text(at)) in modes:
            if self._text(at + 1) == "of" and self._phrase(at + 2, "whose"):
                return None
            return self._made(at, 1, Phrase("piece", 0, 0, modes[word], pieces="QRBNP" if word == "everything" else "KQRBNP",
                                            determiner="all"))  # fmt: skip
        return None

    def _it(self, at: int) -> tuple[list[Item], int] | None:
        word = self._text(at)
        if word == "it":
            return self._made(at, 1, Phrase("piece", 0, 0, pieces="KQRBNP", determiner="it",
                                            squares=self._linked(at, 1)))  # fmt: skip
        before = self._text(at - 1)
        if (
            word == "that"
            and at
            and (
                self.items[at - 1].phrase is not None
                or before in PIECE_WORDS
                or before in {"one", "ones", "side"}
            )
        ):
            return None  # "a pawn on d5 that is attacked"
        if word in {"this", "that", "these", "those"} and (
            self._text(at + 1) in {"is", "are", "can", "attacks", "has"} or self._linked(at, 1)
        ):
            return self._made(at, 1, Phrase("piece", 0, 0, pieces="KQRBNP", determiner="it",
                                            squares=self._linked(at, 1)))  # fmt: skip
        side = self._phrase(at, "side")
        if side and side.who == "they" and self._linked(at, 1):
            return self._made(at, 1, Phrase("piece", 0, 0, Mode.ALL, pieces="KQRBNP",
                                            determiner="it", squares=self._linked(at, 1)))  # fmt: skip
        return None

    def _linked(self, at: int, length: int) -> tuple[str, ...]:
        start, end = self.items[at].start, self.items[at + length - 1].end
        for first, last, squares in self.links:
            if first < end and start < last:
                return squares
        return ()

    def _noun_phrase(self, at: int) -> tuple[list[Item], int] | None:
        noun = self._noun_at(at)
        if noun is None or self._is_more_than_noun(noun):
            return None
        self._read_behind(noun)
        noun.squares = noun.squares or self._linked(at, noun.end - at)
        if not self._names_pieces(noun):
            return None
        return self._made(at, noun.end - at, self._as_phrase(noun))

    def _noun_at(self, at: int) -> _Noun | None:
        """A noun of the board with all that stands before it: "both of White's d-pawns"."""
        noun = _Noun(at)
        noun.mode, here = self._quantifier(at)
        noun.quantified = here > at
        owner = self._phrase(here, "whose")
        if owner and owner.mode is Mode.NONE and noun.mode is Mode.ONE:
            noun.mode, noun.quantified = Mode.NONE, True
        noun.who, noun.determiner, here = self._owner(here)
        noun.count, here = self._count(here)
        words, here = self._adjectives(here)
        noun.squares, noun.files, wing, here = self._before_noun(here)
        late, here = self._adjectives(here)
        noun.word = self._text(here)
        noun.pieces = PIECE_WORDS.get(noun.word, "")
        if noun.word in {"one", "ones"} and noun.determiner in {"the", "this", "that"}:
            on = self._text(here + 1) in {"on", "at"} and self._phrase(here + 2, "square")
            noun.pieces = "KQRBNP" if on else ""
        if noun.word == "counterpart" and self._text(here + 1) in {"on", "at", "from"}:
            noun.pieces, noun.who, noun.determiner = "KQRBNP", "", "the"  # "its counterpart on c3"
        if noun.word in {"ones", "one"} and noun.count and {"white", "black"} & {*words, *late}:
            noun.pieces = "KQRBNP"  # "defended by three white ones"
        if noun.word == "minor":
            here += 1
            noun.word = self._text(here)
            noun.pieces = "BN" if noun.word in {"piece", "pieces"} else ""
        if noun.word == "isolani":
            words, noun.files = ("isolated",), ("d",)
        noun.words = tuple(word for word in (*words, *late, wing) if word)
        noun.told = bool(words or late)
        noun.end = here + 1
        return noun if noun.pieces else None

    def _is_more_than_noun(self, noun: _Noun) -> bool:
        """Whether the noun belongs to a longer one: "pawn ending", "opposite coloured bishops"."""
        after = self._text(noun.end)
        if after in _DOING_COMPOUNDS and self._is_done(noun):
            return False
        if self._says(noun.end, "side by side"):
            return False
        if after in _COMPOUNDS or (after == "and" and self._pair(noun.end)):
            return True
        own = noun.determiner or noun.who
        return noun.words[-1:] in {("coloured",), ("colored",)} and not own

    def _is_done(self, noun: _Noun) -> bool:
        """Whether the word behind a noun is what it does: a place or thing follows."""
        definite = noun.determiner in {"the", "this", "that", "both"} or noun.who
        if not (definite or noun.word.endswith("s")):
            return False
        phrase = self.items[noun.end + 1].phrase if noun.end + 1 < len(self.items) else None
        if self._text(noun.end) in {"moves", "move"}:
            return bool(definite) and self._text(noun.end + 1) in {"on", "along", "to"}
        return phrase is not None or self._text(noun.end + 1) in _DETERMINERS

    def _read_behind(self, noun: _Noun) -> None:
        """What stands behind a noun: "of White's", "on e4", a square without "on"."""
        definite = noun.determiner in {"the", "this", "that"} or noun.who
        single = not noun.word.endswith("s") and len(noun.pieces) == 1
        beside = self._phrase(noun.end, "square") if definite and single else None
        if beside and not noun.squares:
            noun.squares = beside.squares
            noun.end += 1
        from_where = self._phrase(noun.end + 1, "square")
        if (
            definite and single and from_where and not noun.squares
            and self._text(noun.end) == "from" and len(from_where.squares) == 1
            and (noun.start == 0 or self._text(noun.start - 1) in _STOPS)
            and self._text(noun.end + 2) in _VERBS_AFTER
        ):  # fmt: skip
            noun.squares, noun.words = from_where.squares, (*noun.words, "from")
            noun.end += 2
        who, squares, files, wing, noun.end = self._after_noun(noun.end)
        noun.who = noun.who or who
        noun.squares, noun.files = noun.squares or squares, noun.files or files
        noun.words = (*noun.words, wing) if wing else noun.words

    def _names_pieces(self, noun: _Noun) -> bool:
        """Whether a noun tells which pieces are meant, and not only what something is."""
        own = bool(noun.who or noun.quantified)
        if not (own or noun.determiner or noun.squares or noun.files or noun.told
                or noun.word in {"pieces", "pawns", "rooks", "knights", "bishops", "queens"}
                or (noun.count and self._text(noun.start - 1) in {"by", "with"})):  # fmt: skip
            return False
        if noun.determiner in {"a", "an", ""} and not own and self._text(noun.start - 1) in _BE:
            return self._does_something(noun)  # "is a passed pawn" tells what it is, not which
        return bool(noun.determiner or own) or not self._inside_indefinite(noun.start)

    def _does_something(self, noun: _Noun) -> bool:
        """Whether "there is a knight on f6" goes on with what that knight does."""
        there = self._text(noun.start - 2) == "there" and (noun.squares or noun.count)
        return bool(there) and (
            self._text(noun.end) in DOING
            or (self._text(noun.end) in {"that", "which"} and self._text(noun.end + 1) != "")
        )

    def _as_phrase(self, noun: _Noun) -> Phrase:
        pieces, mode = noun.pieces, noun.mode
        if "heavy" in noun.words or "major" in noun.words:
            pieces = "QR"
        if "minor" in noun.words:
            pieces = "BN"
        plural = noun.word.endswith("s") or noun.word == "men"
        counted = noun.count and not noun.determiner and not noun.who
        hit = self._text(noun.end) in {"is", "are"} and not counted
        if pieces == "QRBN" and (mode is Mode.NONE or counted) and not hit:
            pieces = "KQRBNP"  # "no piece defends it", "by two pieces": any man is meant
        if self._text(noun.start) == "both" and not plural:
            mode = Mode.ONE  # "both the king and the queen"
        if mode is Mode.ONE and noun.determiner in {"a", "an", "any", "some", "another"}:
            mode = Mode.ANY
        return Phrase(
            "piece", 0, 0, mode, noun.who, pieces, plural, noun.determiner, noun.squares,
            noun.files, noun.words, noun.count,
        )  # fmt: skip

    def _pair(self, at: int) -> bool:
        return self._text(at + 1) == "move"

    def _inside_indefinite(self, at: int) -> bool:
        """Whether "a" or "an" stands before a place, with only adjectives between."""
        at -= 1
        while self._text(at) in _ADJECTIVES:
            at -= 1
        return self._text(at) in {"a", "an"}

    def _quantifier(self, at: int) -> tuple[Mode, int]:
        word, nxt = self._text(at), self._text(at + 1)
        modes = {"both": Mode.ALL, "all": Mode.ALL, "each": Mode.ALL, "every": Mode.ALL,
                 "neither": Mode.NONE, "none": Mode.NONE, "no": Mode.NONE, "either": Mode.ANY,
                 "one": Mode.ANY, "any": Mode.ANY}  # fmt: skip
        if word not in modes:
            return Mode.ONE, at
        if word in {"none", "one"} and nxt != "of":
            return Mode.ONE, at
        return modes[word], at + (2 if nxt == "of" else 1)

    def _owner(self, at: int) -> tuple[str, str, int]:
        if whose := self._phrase(at, "whose"):
            if whose.mode is not Mode.ONE:
                return "both", "whose", at + 1
            return whose.who, "whose", at + 1
        if (word := self._text(at)) in _DETERMINERS:
            return "", word, at + 1
        return "", "", at

    def _count(self, at: int) -> tuple[int, int]:
        number = self._phrase(at, "number")
        return (number.number, at + 1) if number else (0, at)

    def _adjectives(self, at: int) -> tuple[tuple[str, ...], int]:
        words: list[str] = []
        while (word := self._text(at)) in _ADJECTIVES:
            words.append(word)
            at += 1
        return tuple(words), at

    def _before_noun(self, at: int) -> tuple[tuple[str, ...], tuple[str, ...], str, int]:
        if (square := self._phrase(at, "square")) and self._text(at + 1) in PIECE_WORDS:
            return square.squares, (), "", at + 1
        if (file := self._phrase(at, "file")) and self._text(at + 1) in PIECE_WORDS:
            return (), file.files, "", at + 1
        if (wing := self._phrase(at, "wing")) and self._text(at + 1) in PIECE_WORDS:
            return (), (), wing.value, at + 1
        if (
            self._text(at) in _WINGS
            and self._says(at + 1, "'s")
            and (self._text(at + 2) in PIECE_WORDS)
        ):
            return (), (), _WINGS[self._text(at)], at + 2
        return (), (), "", at

    def _after_noun(self, at: int) -> tuple[str, tuple[str, ...], tuple[str, ...], str, int]:
        who, wing = "", ""
        squares: tuple[str, ...] = ()
        files: tuple[str, ...] = ()
        while True:
            if self._text(at) == "of" and (owner := self._phrase(at + 1, "whose", "side")):
                who, at = owner.who, at + 2
                continue
            step = at
            while self._text(step) in {"standing", "sitting", "posted", "over", "placed", "out",
                                       "back", "down", "up", "stuck", "there"}:  # fmt: skip
                step += 1
            if (self._says(at, "on the board") or self._says(at, "on this board")) and (
                self._text(at + 3) in _VERBS_AFTER | {"<still>"}
            ):
                at += 3
                continue
            if self._text(at) == "away" and self._text(at + 1) == "from":
                step = at + 1
            if self._text(step) in {"on", "at", "from"} or (
                step == at and self._text(step) == "of"
            ):
                away = self._text(step) != "from" or self._text(step - 1) == "away"
                if away and (square := self._phrase(step + 1, "square")):
                    squares, at = square.squares, step + 2
                    continue
                skip = 2 if self._text(step + 1) in {"the", "that", "this"} else 1
                file = None if squares else self._phrase(step + skip, "file")
                if file and self._text(step + skip + 1) not in PIECE_WORDS:
                    files, at = file.files, step + skip + 1
                    continue
                if place := self._phrase(step + skip, "wing") or self._phrase(step + 1, "wing"):
                    at = step + (skip if self._phrase(step + skip, "wing") else 1) + 1
                    wing = place.value
                    continue
            return who, squares, files, wing, at

    def _piece_lists(self, at: int) -> tuple[list[Item], int] | None:
        """ "the king and the queen", "king and rook", "the bishops on c1 and f1"."""
        first = self._member(at)
        if not first:
            return None
        parts, here, mode = [first], at + 1, Mode.ONE
        while True:
            comma = self._text(here) == ","
            word = (
                self._text(here + 1)
                if comma and self._text(here + 1) in {"and", "or"}
                else (self._text(here))
            )
            step = here + (2 if comma and word in {"and", "or"} else 1)
            if word not in {"and", "or", ",", "&"} or not (nxt := self._member(step)):
                break
            after = self._text(step + 1)
            leads = after == "can" and (at == 0 or self._text(at - 1) in _STOPS)
            told = _is_singular(after) and not nxt.plural
            if comma and word != "," and self._lists(at) and told:
                break  # "attacks our knight, and our pawn is ..."
            alone = told or (after in _VERBS_AFTER and self._text(at - 1) in {"by", "on"})
            if alone and word != "," and not leads and not self._lists(at):
                break  # "is open for the rook, and the pawn keeps the knight out"
            parts.append(nxt)
            here = step + 1
            if word != ",":
                mode = Mode.ANY if word == "or" else Mode.ALL
                break
        counted = self._phrase(at - 2, "piece")
        apart = counted is not None and counted.number == len(parts) - 1 > 1
        if mode is Mode.ONE or (apart and self._text(at + 1) == ","):
            return None  # "two men attack the bishop, the queen and the knight": those two
        made = replace(first, mode=mode, parts=tuple(parts), kind="piece")
        return self._made(at, here - at, made)

    def _excepted_late(self) -> None:
        """ "all pieces have moved except the queen": the exception is put to what it excepts."""
        first: int | None = None
        for at in range(len(self.items)):
            if self._text(at) in _STOPS - {"and", "with"}:
                first = None
            phrase = self._phrase(at, "piece")
            if first is None and phrase and (phrase.plural or phrase.mode is not Mode.ONE):
                first = at
            length = next((n for w in _EXCEPT if (n := self._says(at, w))), 0)
            other = self._phrase(at + length, "piece") if length else None
            ends = at + length + 1 == len(self.items) or self._text(at + length + 1) in _STOPS
            if first is None or other is None or not ends:
                continue
            subject = self._phrase(first, "piece")
            if subject is not None and first < at - 1:
                made = replace(self.items[first], phrase=replace(subject, without=(other,)))
                self.items[first] = made
                del self.items[at : at + length + 1]
            return

    def _placed(self, at: int) -> tuple[list[Item], int] | None:
        """ "the central pawns, d6 and e6, are": pieces with their squares behind them."""
        first, squares = self._phrase(at, "piece"), self._phrase(at + 2, "square")
        if first is None or squares is None or self._text(at + 1) not in {",", ":", "("}:
            return None
        named = first.squares or first.parts or first.determiner in {"it", "a", "an", "all"}
        if named or (len(squares.squares) > 1) != first.plural:
            return None
        if self._text(at + 3) in {",", ")"}:
            return self._made(at, 4, replace(first, squares=squares.squares, mode=Mode.ONE))
        if at + 3 == len(self.items) or self._text(at + 3) in {".", "!", ";"}:
            return self._made(at, 3, replace(first, squares=squares.squares, mode=Mode.ONE))
        return None

    def _excepted(self, at: int) -> tuple[list[Item], int] | None:
        """ "all pieces except the queen", "every pawn but the one on a2"."""
        first = self._phrase(at, "piece")
        if first is None or not (first.plural or first.mode is not Mode.ONE):
            return None
        for words in (*_EXCEPT, "but"):
            length = self._says(at + 1, words)
            other = self._phrase(at + 1 + length, "piece") if length else None
            if other and other.determiner != "it":
                return self._made(at, length + 2, replace(first, without=(other,)))
        return None

    def _lists(self, at: int) -> bool:
        return self._text(at - 1) in {"forks", "fork", "attacks", "hits", "skewers", "between"}

    def _member(self, at: int) -> Phrase | None:
        if phrase := self._phrase(at, "piece"):
            return phrase if phrase.determiner not in {"it", "all"} else None
        word = self._text(at)
        if word in PIECE_WORDS and word not in {"minor", "man", "men", "unit"} and (
            self._text(at - 1) in {"and", "or", ",", "forks", "fork", "attacks", "hits", "between",
                                   "skewers", "of", "forking", "attacking", "hitting"}
            or self._text(at + 1) in {"and", "or"}
            or (self._text(at - 1) == "by" and self._text(at + 1) == ",")
        ) and self._text(at + 1) != "'s":  # fmt: skip
            item = self.items[at]
            return Phrase("piece", item.start, item.end, Mode.ONE, pieces=PIECE_WORDS[word],
                          plural=word.endswith("s"), determiner="the")  # fmt: skip
        return None


_SINGULAR_VERBS = {
    "is",
    "has",
    "attacks",
    "defends",
    "protects",
    "pins",
    "hits",
    "forks",
    "controls",
    "can",
    "covers",
}
_VERBS_AFTER = _SINGULAR_VERBS | {"are", "have", "attack", "defend"}
_THIRD_PERSON = expression(r"[a-z]{2,}[^su'\W]s")
_NO_VERBS = frozenset(
    "always perhaps besides sometimes towards afterwards whereas unless files ranks squares "
    "diagonals lines wings sides moves checks endings endgames positions pieces".split()
)
"""Words in -s that behind a piece tell nothing of it."""


def _is_singular(word: str) -> bool:
    """Whether a word tells what one piece does: "keeps", "attacks", "is"."""
    if word in _SINGULAR_VERBS:
        return True
    other = word in _NO_VERBS or word in PIECE_WORDS
    return not other and _THIRD_PERSON.fullmatch(word) is not None


def _hedge(words: str) -> str:
    """The mark of a hedge: "almost" says that something is not so, "about" that it roughly is."""
    return "<almost>" if words in _ALMOST or words in _ALMOST_RUNS else "<hedge>"


def _form(items: Sequence[Item]) -> Form:
    kept: list[Item] = []
    phrases: list[Phrase] = []
    pieces: list[str] = []
    at: list[int] = []
    marks: dict[str, list[int]] = {"<not>": [], "<hedge>": [], "<still>": [], "<almost>": []}
    place = 0
    for index, item in enumerate(items):
        text = item.text
        if item.phrase is None and text in marks:
            marks[text].append(place)
            continue
        if item.phrase is None and text == "no" and index + 1 < len(items):
            marks["<not>"].append(place)
            continue
        if item.phrase is not None:
            text = LETTERS[item.phrase.kind] + chr(FIRST_MARK + len(phrases))
            phrases.append(item.phrase)
        kept.append(item)
        at.append(place)
        pieces.append(text)
        place += len(text) + 1
    return Form(
        tuple(kept), " ".join(pieces), tuple(at), tuple(phrases), tuple(marks["<not>"]),
        tuple(marks["<hedge>"]), tuple(marks["<still>"]),
        tuple(marks["<almost>"]),
    )  # fmt: skip
