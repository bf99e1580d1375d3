"""What the words of a statement mean on a board, and how its truth is put together.

A family of statements (`linewright.statements`) gives patterns over the normal forms of
`linewright.english` and, for each, a judge: a function from `Said` (the phrases of one reading,
each with a single meaning) to a `Fact`. Here phrases get their meanings: which side "he" is, which
knight "the knight" may be, which board "after Nd4" speaks of; and the facts of several meanings
are joined ("both", "neither", "or", "which one is meant?").
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

import chess

from linewright import facts
from linewright.english.phrases import FIRST_MARK, LETTERS, Form, Mode, Phrase
from linewright.expressions import expression
from linewright.moves import PIECE_TYPES
from linewright.notation import read_move
from linewright.number_words import UNITS
from linewright.position.pawns import Wing

MEN_OF_KIND: dict[str, tuple[chess.PieceType, ...]] = {
    **{name: (kind,) for name, kind in PIECE_TYPES.items()},
    "minor piece": (chess.KNIGHT, chess.BISHOP),
    "heavy piece": (chess.ROOK, chess.QUEEN),
    "major piece": (chess.ROOK, chess.QUEEN),
    "piece": (chess.KNIGHT, chess.BISHOP, chess.ROOK, chess.QUEEN),
    "man": tuple(chess.PIECE_TYPES),
}
"""The men a word may mean."""
AT_THE_START = {
    "pawn": 8, "knight": 2, "bishop": 2, "rook": 2, "queen": 1, "minor piece": 4, "heavy piece": 3,
    "major piece": 3, "piece": 7, "man": 16,
}  # fmt: skip
"""How many of a kind each side begins with."""
NUMBER_WORDS = ["no", *UNITS[1:11]]


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
class Judges:
    """Who can be asked beyond the board. Each may be missing; then the answer is "cannot tell".

    `analyst` is asked about threats, soundness and advantage, `pawn_ending` about pawn endings,
    `tally` about how often and how well a move is played; `lines` are the positions (FEN without
    counters) that several lines of the same lesson reach, with the move that first led there.
    """

    analyst: Any = None
    pawn_ending: Any = None
    tally: Any = None
    lines: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Place:
    """Where a statement stands: the board (with the moves that led there), whom is taught.

    `history` is false where the board was only set up, so that nothing is known of the moves.
    `imagined` is true on a changed board that no moves lead to; `before` is the place one move
    earlier, where it is known.
    """

    board: chess.Board
    taught: chess.Color | None = None
    judges: Judges = Judges()
    imagined: bool = False
    before: Place | None = field(default=None, compare=False, repr=False)
    _past: list[Played] = field(default_factory=list, compare=False, repr=False)
    _fen: list[str] = field(default_factory=list, compare=False, repr=False)

    def on(self, board: chess.Board) -> Place:
        """The same place with another board."""
        return Place(board, self.taught, self.judges, self.imagined)

    def past(self) -> list[Played]:
        """The moves that led here. Cost: linear in the moves, once."""
        if not self._past:
            earlier, places = self, []
            while earlier.before is not None and not earlier._past:
                places.append(earlier)
                earlier = earlier.before
            self._past.extend(earlier._past or past_moves(earlier.board))
            self._past.extend(
                Played(place.before.board, place.board.peek())
                for place in reversed(places)
                if place.before is not None
            )
        return self._past

    def boards(self) -> list[chess.Board]:
        """The boards from the start of the known moves to this one, shared: not to be changed."""
        return [*(played.before for played in self.past()), self.board]

    @property
    def fen(self) -> str:
        """The board as FEN. Cost: once."""
        if not self._fen:
            self._fen.append(self.board.fen())
        return self._fen[0]

    def last(self) -> Played | None:
        """The move that led here, if it is known."""
        if not self.board.move_stack:
            return None
        before = self.board.copy()
        move = before.pop()
        return Played(before, move)

    def just_taken(self) -> chess.Piece | None:
        """The man that the move that led here took, if it took one."""
        last = self.last()
        if last is None or not last.before.is_capture(last.move):
            return None
        pawn = chess.Piece(chess.PAWN, not last.colour)  # en passant
        return last.before.piece_at(last.move.to_square) or pawn

    @property
    def history(self) -> bool:
        """Whether the moves that led here are known from the start of the game."""
        return bool(self.board.move_stack)


@dataclass(frozen=True, slots=True)
class Played:
    """A move spoken of, with the board before it."""

    before: chess.Board
    move: chess.Move

    @property
    def after(self) -> chess.Board:
        """The board after the move."""
        board = self.before.copy()
        board.push(self.move)
        return board

    @property
    def colour(self) -> chess.Color:
        """The side that makes the move."""
        return self.before.turn

    @property
    def san(self) -> str:
        """The move in short notation."""
        return self.before.san(self.move)


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


# --- what has been spoken of -----------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Memory:
    """What a text has spoken of so far: the side named last, the squares of the last piece.

    `named` are the squares of the pieces spoken of lately, the last one first. `you` is the side
    the speaker calls "you" where that has shown itself ("your knight on f6"). `led` is the square
    of the piece that the last sentence was about, whatever it did something to.
    """

    side: chess.Color | None = None
    it: tuple[chess.Square, ...] = ()
    named: tuple[chess.Square, ...] = ()
    you: chess.Color | None = None
    led: tuple[chess.Square, ...] = ()


@dataclass(frozen=True, slots=True)
class Choice:
    """The values a phrase may have. With `unsure`, one of them is meant, likeliest first.

    With `count` ("by two pawns") so many of them must fit. Where there are none, `missing` says
    why; `untold` says why what is meant may be all the same, and nothing tells.
    """

    values: tuple[Any, ...]
    mode: Mode = Mode.ONE
    unsure: bool = False
    question: str = ""
    missing: str = ""
    count: int = 0
    untold: str = ""


def side_choice(phrase: Phrase, place: Place, memory: Memory) -> Choice | None:
    """The sides a phrase may mean."""
    if phrase.who == "both":
        return Choice((chess.WHITE, chess.BLACK), phrase.mode)
    colour = colour_of(phrase.who, place, memory)
    if colour is None:
        if phrase.who in {"we", "you", "opponent", "other", "they"}:
            return Choice((chess.WHITE, chess.BLACK), unsure=True, question="who is meant?")
        return None
    return Choice((colour,))


def colour_of(who: str, place: Place, memory: Memory) -> chess.Color | None:
    """The side a word names, by the words before it, whom is taught, and who moved last."""
    taught = place.taught
    if who in {"white", "black"}:
        return who == "white"
    if who == "you" and memory.you is not None:
        return memory.you
    if who in {"we", "you"}:
        return taught
    if who == "opponent":
        return None if taught is None else not taught
    if who == "mover":
        return place.board.turn
    if who == "last":
        return not place.board.turn
    if who == "other":
        if memory.side is not None:
            return not memory.side
        return None if taught is None else not taught
    if who in {"he", "they", "it"}:
        if memory.side is not None:
            return memory.side
        return not place.board.turn if taught is None else not taught
    return None


def piece_choice(phrase: Phrase, place: Place, memory: Memory) -> Choice | None:
    """The squares of the pieces a phrase may mean."""
    if phrase.parts:
        return _listed_pieces(phrase, place, memory)
    if phrase.determiner == "it" and not phrase.squares:
        told = memory.it or _by_last_move(place, chess.SquareSet(place.board.occupied))
        return Choice(told, unsure=len(told) > 1 or not memory.it, question='what is "it"?')
    found = _candidates(phrase, place, memory)
    for other in phrase.without:
        excepted = piece_choice(other, place, memory)
        out = set(_squares_in(excepted.values)) if excepted else set()
        found = tuple(s for s in found if s not in out)
    if not found:
        return Choice((), phrase.mode, missing=_missing(phrase, place, memory))
    if phrase.mode is not Mode.ONE:
        return _of_either_side(phrase, found, place) or Choice(found, phrase.mode)
    if phrase.plural:
        return _several_pieces(phrase, found, place)
    if phrase.number == 1 and not phrase.determiner and not phrase.who and not phrase.squares:
        return Choice(found, Mode.ANY, count=1)  # "by one piece": by no more
    if len(found) == 1:
        return Choice(found)
    if phrase.squares and phrase.determiner != "it":
        return Choice(found, Mode.ALL)
    kept = tuple(s for s in found if s in memory.it)
    if len(kept) != 1:
        kept = tuple(s for s in memory.named if s in found)[:1]
    if len(kept) == 1 and phrase.determiner in {"the", "this", "that"}:
        found = (*kept, *(s for s in found if s not in kept))
    return Choice(found, unsure=True, question=f"which {_noun(phrase)} is meant?")


def _several_pieces(phrase: Phrase, found: tuple[chess.Square, ...], place: Place) -> Choice:
    """The pieces of a plural: so many of them, those of one side, or all."""
    bare = not phrase.determiner and not phrase.squares
    if bare and phrase.number:
        return Choice(found, Mode.ANY, count=phrase.number)
    if phrase.pieces == "P" and not phrase.squares and not bare:
        moved_last = (not place.board.turn, place.board.turn)
        sides = [tuple(s for s in found if place.board.color_at(s) == c) for c in moved_last]
        if all(sides):  # "the f-pawns", "the pawns", of one side or the other
            groups = tuple(Choice(side, Mode.ALL) for side in sides)
            return Choice(groups, unsure=True, question="whose pawns are meant?")
    both = None if bare else _of_either_side(phrase, found, place)
    return both or Choice(found, Mode.ANY if bare else Mode.ALL)


def _squares_in(values: Iterable[Any]) -> Iterator[chess.Square]:
    """All squares of a choice, those of its groups too."""
    for value in values:
        if isinstance(value, Choice):
            yield from _squares_in(value.values)
        else:
            yield value


def _of_either_side(phrase: Phrase, found: tuple[chess.Square, ...], place: Place) -> Choice | None:
    """ "both knights", "the rooks", where each side has two: those of one side, or all."""
    if phrase.squares or phrase.files or phrase.who or phrase.pieces in {"P", "K"}:
        return None
    if len(phrase.pieces) != 1 and not phrase.number:
        return None
    if phrase.mode not in {Mode.ONE, Mode.ALL} or phrase.determiner == "all":
        return None
    sides = [tuple(s for s in found if place.board.color_at(s) == c) for c in chess.COLORS]
    if any(len(side) != (phrase.number or 2) for side in sides):
        return None
    if place.taught is not None:
        sides.sort(key=lambda side: place.board.color_at(side[0]) != place.taught)
    groups = tuple(Choice(side, Mode.ALL) for side in (*sides, found))
    return Choice(groups, unsure=True, question=f"whose {_noun(phrase)}s are meant?")


def is_generic(phrase: Phrase) -> bool:
    """Whether a phrase at the head of a clause speaks of such pieces in general."""
    return (
        phrase.kind == "piece"
        and (phrase.determiner in {"a", "an"} or (phrase.plural and not phrase.determiner))
        and not (phrase.squares or phrase.files or phrase.who or phrase.number)
        and phrase.mode in {Mode.ONE, Mode.ANY}
        and not {"white", "black", "enemy"} & set(phrase.words)
    )


def _listed_pieces(phrase: Phrase, place: Place, memory: Memory) -> Choice | None:
    members: list[Choice] = []
    for part in phrase.parts:
        who = part.who or ("" if part.squares else phrase.who)
        choice = piece_choice(replace(part, who=who, parts=()), place, memory)
        if choice is None:
            return None
        if not choice.values:
            return choice
        members.append(choice)
    return Choice(tuple(members), phrase.mode)


def _noun(phrase: Phrase) -> str:
    if len(phrase.pieces) == 1:
        return chess.piece_name(chess.PIECE_SYMBOLS.index(phrase.pieces.lower()))
    return "piece"


def _missing(phrase: Phrase, place: Place, memory: Memory) -> str:
    colour = _owner_colour(phrase, place, memory)
    whose = "" if colour is None else f"{'white' if colour else 'black'} "
    where = ""
    if phrase.squares:
        where = f" on {' or '.join(phrase.squares)}"
        there = [place.board.piece_at(chess.parse_square(s)) for s in phrase.squares]
        stands = [f"{_called(p)} stands there" for p in there if p]
        if stands:
            return f"there is no {whose}{_noun(phrase)}{where}: a {stands[0]}"
    elif phrase.files:
        where = f" on the {' or '.join(phrase.files)}-file"
    state = " ".join(w for w in phrase.words if w in _STATES or w in {"light", "dark"})
    state = state.replace("light", "light-squared").replace("dark", "dark-squared")
    state = f"{state} " if state else ""
    return f"there is no {whose}{state}{_noun(phrase)}{where}"


def _called(piece: chess.Piece) -> str:
    return f"{'white' if piece.color else 'black'} {chess.piece_name(piece.piece_type)}"


def _owner_colour(phrase: Phrase, place: Place, memory: Memory) -> chess.Color | None:
    if "white" in phrase.words:
        return chess.WHITE
    if "black" in phrase.words:
        return chess.BLACK
    if phrase.who and phrase.who != "both":
        return colour_of(phrase.who, place, memory)
    if {"enemy", "opposing", "hostile", "rival"} & set(phrase.words):
        if memory.side is not None:
            return not memory.side
        return None if place.taught is None else not place.taught
    return None


_STATES: dict[str, Callable[[chess.Board, chess.Color], Iterable[chess.Square]]] = {
    "isolated": facts.isolated,
    "passed": facts.passed,
    "backward": facts.backward,
    "doubled": lambda b, c: [s for group in facts.doubled(b, c) for s in group],
    "connected": facts.connected,
    "undefended": facts.undefended,
    "unprotected": facts.undefended,
    "unguarded": facts.undefended,
    "loose": facts.undefended,
    "attacked": facts.attacked,
    "hanging": lambda b, c: [h.square for h in facts.hanging(b, c)],
}


def _candidates(phrase: Phrase, place: Place, memory: Memory) -> tuple[chess.Square, ...]:
    board = place.board
    colour = _owner_colour(phrase, place, memory)
    mask = chess.SquareSet()
    for letter in phrase.pieces:
        kind = chess.PIECE_SYMBOLS.index(letter.lower())
        for side in (chess.WHITE, chess.BLACK):
            if colour is None or side == colour:
                mask |= board.pieces(kind, side)
    if phrase.squares:
        there = chess.SquareSet(chess.parse_square(s) for s in phrase.squares)
        if "from" in phrase.words:
            there = _now_of(place, mask, there) or there
        if phrase.who == "you" and not mask & there:
            others = replace(phrase, who="")  # the speaker says "you" to the other side
            return _candidates(others, place, memory)
        return tuple(mask & there)
    if phrase.files:
        files = {"abcdefgh".index(f) for f in phrase.files}
        mask = chess.SquareSet(s for s in mask if chess.square_file(s) in files)
    if "light" in phrase.words or "dark" in phrase.words:
        mask &= chess.BB_LIGHT_SQUARES if "light" in phrase.words else chess.BB_DARK_SQUARES
    for word in phrase.words:
        mask = _narrowed(board, mask, word, phrase)
    return _by_last_move(place, mask)


def _now_of(place: Place, mask: chess.SquareSet, sources: chess.SquareSet) -> chess.SquareSet:
    """Where the pieces stand now that once stood on the squares named, if they moved from there."""
    where = {s: s for s in sources}
    if mask & sources or not place.history:
        return chess.SquareSet()
    for played in place.past():
        move = played.move
        for source in sources:
            if move.from_square in {where.get(source), source}:
                where[source] = move.to_square
    return chess.SquareSet(where.values()) & mask


def _narrowed(
    board: chess.Board, mask: chess.SquareSet, word: str, phrase: Phrase
) -> chess.SquareSet:
    if word in _STATES:
        have = {s for colour in chess.COLORS for s in _STATES[word](board, colour)}
        return chess.SquareSet(s for s in mask if s in have)
    if word in {"kingside", "queenside"} and (phrase.plural or len(phrase.pieces) == 1):
        return _of_wing(board, mask, word, phrase)
    return mask


def _of_wing(
    board: chess.Board, mask: chess.SquareSet, wing: str, phrase: Phrase
) -> chess.SquareSet:
    """King's bishop, queen's knight, queen's pawn: told by where the piece began."""
    if phrase.plural:
        files = range(4, 8) if wing == "kingside" else range(4)
        if phrase.pieces == "P":
            return chess.SquareSet(s for s in mask if chess.square_file(s) in files)
        return chess.SquareSet(s for s in mask if chess.square_file(_began(board, s)) in files)
    homes = {
        "P": {"kingside": 4, "queenside": 3},
        "N": {"kingside": 6, "queenside": 1},
        "B": {"kingside": 5, "queenside": 2},
        "R": {"kingside": 7, "queenside": 0},
    }
    home = homes.get(phrase.pieces, {}).get(wing)
    if home is None:
        return mask
    kept = chess.SquareSet(s for s in mask if chess.square_file(_began(board, s)) == home)
    return kept or mask


def _began(board: chess.Board, square: chess.Square) -> chess.Square:
    """Where the piece on a square stood at the start of the known moves."""
    for move in reversed(board.move_stack):
        if move.to_square == square:
            square = move.from_square
    return square


def _by_last_move(place: Place, squares: Iterable[chess.Square]) -> tuple[chess.Square, ...]:
    """The squares with the one moved to last in front."""
    found = tuple(squares)
    last = place.board.move_stack[-1].to_square if place.board.move_stack else None
    return tuple(sorted(found, key=lambda s: s != last))


def square_choice(phrase: Phrase) -> Choice:
    """The squares named."""
    return Choice(tuple(chess.parse_square(s) for s in phrase.squares), phrase.mode)


def _for_the_other(board: chess.Board, san: str) -> bool:
    """Whether the side that gives check could play a move, if it were to move again."""
    turned = board.copy(stack=False)
    turned.turn, turned.ep_square = not board.turn, None
    try:
        turned.parse_san(san)
    except ValueError:
        return False
    return True


def move_choice(phrase: Phrase, place: Place) -> Choice | None:
    """The move named: legal here, the last one played, one played before, or the other side's."""
    san = phrase.moves[0].text if phrase.moves else phrase.squares[0]
    number = phrase.moves[0].number if phrase.moves else None
    black = phrase.moves[0].black if phrase.moves else None
    played = find_move(place.board, san, number, black, place.past())
    if played is None:
        if san.startswith("?"):
            return None  # a move told in words that is meant for another board
        if not phrase.moves and place.board.piece_at(chess.parse_square(phrase.squares[0])):
            return None  # "c3 protects it": what stands there
        if place.board.is_check() and san[0] != "O" and _for_the_other(place.board, san):
            return None  # a threat, which the check puts off
        led = _led_to_setup(place, san, number, black)
        untold = f"what led to this board is not known: {san}" if led else ""
        return Choice((), missing=f"{san} is not possible here", untold=untold)
    return Choice((played,))


def _led_to_setup(place: Place, san: str, number: int | None, black: bool | None) -> bool:
    """Whether a move may have been made before a board was set up: its man stands there.

    `number` and `black` are what was told of it, where they were.
    """
    past = place.past()
    first = past[0].before if past else place.board
    move = read_move(san) if first.fen() != chess.STARTING_FEN else None
    if move is None:
        return False
    if move.castling:
        ends = [chess.G1, chess.G8] if move.castling == "K" else [chess.C1, chess.C8]
    else:
        ends = [chess.parse_square(move.to)]
    letter = "K" if move.castling else move.promotion or move.piece
    told = number is not None or black is not None
    sides = (not black,) if told else tuple(chess.COLORS)
    men = [man for at in ends if (man := first.piece_at(at))]
    return any(man.symbol().upper() == letter and man.color in sides for man in men)


_NOW = expression(
    r"\b(?:(?:can|could|may|might)(?!['’]|\s+(?:not|never|no|have)\b)|(?<!not )able|"
    r"(?:im)?possible|(?:il)?legal|playable|allowed)\b",
    re.IGNORECASE,
)
"""What is said of a move on the board as it stands, and not of one that led to it."""


def find_move(
    board: chess.Board,
    san: str,
    number: int | None = None,
    black: bool | None = None,
    past: Sequence[Played] | None = None,
) -> Played | None:
    """The move a name means on a board, or None.

    A numbered move is looked for at its number among the moves played, or as another move there;
    then the last move, a legal move, a move played before (latest first), a move of the side that
    is not to move. `past` are the moves that led here, if they are known already.
    """
    past = past_moves(board) if past is None else past
    others = black is not None and number is None and board.turn == black
    if san.startswith("?!"):  # supposed, so it is none that was played
        if others and (played := _as_other_side(board, san)):
            return played
        return Played(board, move) if (move := _legal(board, san)) else _as_other_side(board, san)
    if number is not None:
        here = 2 * (board.fullmove_number - 1) + (not board.turn)
        index = len(past) - (here - 2 * (number - 1) - bool(black))
        if 0 <= index < len(past):
            if _same_move(past[index], san):
                return past[index]
            if move := _legal(past[index].before, san):
                return Played(past[index].before, move)
    if past and _same_move(past[-1], san):
        return past[-1]
    if others and (played := _as_other_side(board, san)):
        return played
    if move := _legal(board, san):
        return Played(board, move)
    for earlier in reversed(past):
        if (black is None or earlier.colour == (not black)) and _same_move(earlier, san):
            return earlier
    return _as_other_side(board, san)


SUPPOSED_PLIES = 4
"""So many moves behind "if he takes" the words still go on from it."""


def was_supposed(past: Sequence[Played], san: str) -> bool:
    """Whether a supposed move is one of the last played: "if he takes", and a line shows it."""
    return san.startswith("?!") and any(_same_move(one, san) for one in past[-SUPPOSED_PLIES:])


def of_side(played: Played, board: chess.Board, colour: chess.Color) -> Played | None:
    """A move as the same words mean it for one side on a board, or None where it has none such."""
    if played.colour == colour:
        return played
    return _as_other_side(board, played.san) if board.turn != colour else None


def _as_other_side(board: chess.Board, san: str) -> Played | None:
    """The move as one of the side that is not to move."""
    if board.is_check():
        return None
    other = board.copy(stack=False)
    other.push(chess.Move.null())
    move = _legal(other, san)
    return Played(other, move) if move else None


def past_moves(board: chess.Board) -> list[Played]:
    """The moves of a board's stack, each with the board before it. Cost: linear in the moves."""
    before = board.root()
    found = []
    for move in board.move_stack:
        found.append(Played(before.copy(), move))
        before.push(move)
    return found


def _same_move(played: Played, san: str) -> bool:
    if san.startswith("?"):
        return played.move in _as_told(played.before, san)
    castles = san.startswith("O")
    if not castles and chess.square_name(played.move.to_square) not in san:
        return False
    return _legal(played.before, san) == played.move


def _as_told(board: chess.Board, told: str) -> list[chess.Move]:
    """The legal moves that fit a move told in words (`linewright.english.told_moves`)."""
    man, file, start, takes, prey, to = told.lstrip("?!").split(":")
    kinds = {symbol.upper(): kind for kind, symbol in enumerate(chess.PIECE_SYMBOLS) if symbol}
    last = board.move_stack[-1].to_square if board.move_stack else None
    found = [
        move
        for move in board.legal_moves
        if (not man or board.piece_type_at(move.from_square) == kinds[man])
        and (not file or chess.square_file(move.from_square) == "abcdefgh".index(file))
        and (not start or chess.square_name(move.from_square) == start)
        and (not to or chess.square_name(move.to_square) == to)
        and (not takes or board.is_capture(move))
        and (not prey or board.piece_type_at(move.to_square) == kinds[prey])
    ]
    if takes and not to and not prey:  # "taking back with the h-pawn"
        found = [m for m in found if m.to_square == last] or found
    return [m for m in found if m.promotion in {None, chess.QUEEN}]


def _legal(board: chess.Board, san: str) -> chess.Move | None:
    if san.startswith("?"):
        fitting = _as_told(board, san)
        if not san.lstrip("?!").startswith(":"):
            return fitting[0] if len(fitting) == 1 else None
        goals = {move.to_square for move in fitting}  # "takes on c3": the least man that can
        fitting.sort(key=lambda move: board.piece_type_at(move.from_square) or 0)
        return fitting[0] if len(goals) == 1 else None
    for written in (san, san.replace("x", ""), re.sub(r"^([KQRBN])x?([a-h][1-8])$", r"\1x\2", san)):
        try:
            return board.parse_san(written)
        except ValueError:
            continue
    return None


# --- one statement ---------------------------------------------------------------------------


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


def choices_of(
    groups: Mapping[str, Phrase], place: Place, memory: Memory
) -> dict[str, Choice] | None:
    """The meanings of each phrase of a match, or None where one has none at all."""
    found: dict[str, Choice] = {}
    own: chess.Color | None = None
    for name, phrase in groups.items():
        its = replace(memory, side=own) if own is not None and phrase.who == "it" else memory
        each = phrase.plural and any(len(c.values) > 1 for c in found.values())
        each = each and phrase.who in {"they", "it"}  # "pinned to their queens": each to its own
        asked = replace(phrase, who="") if each else phrase
        choice = _choice(name.rstrip("0123456789"), asked, place, its)
        if choice is None:
            return None
        unmet = not choice.values and phrase.determiner in {"a", "an", "any"}
        if unmet and (phrase.squares or phrase.files):
            return None  # "a knight on d5" is imagined where none stands
        one = len(choice.values) == 1 and isinstance(choice.values[0], int)
        if phrase.kind == "piece" and one and not phrase.parts:
            owner = place.board.color_at(choice.values[0])
            own = owner if owner is not None else own
        if each:
            choice = replace(choice, mode=Mode.ANY)
        found[name] = choice
    return found


def _choice(kind: str, phrase: Phrase, place: Place, memory: Memory) -> Choice | None:
    if kind in {"side", "whose"}:
        return side_choice(phrase, place, memory)
    if kind in {"piece", "target"} and phrase.kind == "whose":
        return None
    if kind in {"piece", "target"}:
        return _thing_choice(phrase, place, memory)
    if kind == "move":
        return move_choice(phrase, place)
    if kind == "square":
        return square_choice(phrase)
    if kind == "file":
        return Choice(tuple("abcdefgh".index(f) for f in phrase.files), phrase.mode)
    if kind == "wing":
        both = (Wing.KINGSIDE, Wing.QUEENSIDE)
        return (
            Choice(both, phrase.mode) if phrase.value == "both" else Choice((Wing(phrase.value),))
        )
    if kind == "number":
        return Choice((phrase.number,))
    return Choice((phrase,))


def _thing_choice(phrase: Phrase, place: Place, memory: Memory) -> Choice | None:
    if phrase.kind == "square":
        return square_choice(phrase)
    if phrase.kind == "move":
        token = phrase.moves[0]
        if token.move is None or token.number is not None or token.move.castling:
            return None
        if token.move.claims_capture and not _came_last(place, token.move.to):
            return None  # "dxe5 attacks the knight": what stands on e5 is not meant
        named = Phrase(
            "piece",
            phrase.start,
            phrase.end,
            pieces=token.move.piece,
            squares=(token.move.to,),
            determiner="the",
        )
        choice = piece_choice(named, place, memory)
        return choice if choice and choice.values else None
    if phrase.kind == "side":
        if phrase.who != "they" or not memory.it:
            return None
        return Choice(memory.it, Mode.ALL)
    return piece_choice(phrase, place, memory)


def _came_last(place: Place, to: str) -> bool:
    """Whether the last move went to a square."""
    stack = place.board.move_stack
    return bool(stack) and chess.square_name(stack[-1].to_square) == to


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


# --- words for board facts -------------------------------------------------------------------


def square(at: chess.Square) -> str:
    """The name of a square."""
    return chess.square_name(at)


def names(squares: Iterable[chess.Square]) -> tuple[str, ...]:
    """The names of squares."""
    return tuple(chess.square_name(s) for s in squares)


def piece_on(board: chess.Board, at: chess.Square) -> str:
    """ "the knight on f6", or "f6" where nothing stands there."""
    kind = board.piece_type_at(at)
    return f"the {chess.piece_name(kind)} on {square(at)}" if kind else square(at)


def past(board: chess.Board, at: chess.Square, target: chess.Square) -> str:
    """ " past the pawn on e4", where that keeps a piece from a square on its line, or ""."""
    blocker = facts.blocker(board, at, target)
    return "" if blocker is None else f" past {piece_on(board, blocker)}"


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
    shut = past(board, source, target).replace("past", "behind")
    return f"{piece_on(board, source)} attacks {piece_on(board, target)}{shut}"


def kind_and_square(board: chess.Board, at: chess.Square) -> str:
    """ "knight on f6"."""
    return piece_on(board, at).removeprefix("the ")


def listed(parts: Iterable[str], joint: str = "and") -> str:
    """ "a, b and c"; "none" where there is nothing.

    >>> listed(["e4", "d5", "c6"]), listed([])
    ('e4, d5 and c6', 'none')
    """
    parts = list(parts)
    if not parts:
        return "none"
    return f"{', '.join(parts[:-1])} {joint} {parts[-1]}" if len(parts) > 1 else parts[0]


def several(number: int, one: str, many: str = "") -> str:
    """ "no pawns", "one pawn", "three pawns".

    >>> several(1, "pawn"), several(0, "pawn"), several(12, "move")
    ('one pawn', 'no pawns', '12 moves')
    """
    word = NUMBER_WORDS[number] if 0 <= number < len(NUMBER_WORDS) else str(number)
    return f"{word} {one if number == 1 else many or one + 's'}"


def file_name(file: int) -> str:
    """ "e-file"."""
    return f"{'abcdefgh'[file]}-file"


def phrases_of(groups: Iterable[tuple[str, str]], form: Form) -> dict[str, Phrase]:
    """The phrases among what the groups of a match hold, by the names of the groups."""
    return {
        name: form.phrases[ord(text[1]) - FIRST_MARK]
        for name, text in groups
        if len(text) == 2 and text[0] in LETTERS.values()
    }
