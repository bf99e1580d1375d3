"""How many there are of something, one side against the other: "more pieces out than Black".

Counted is what the board or the known moves show: men, pieces developed, pawns of a wing, islands,
files, men lost. Definitions: a minor piece is a knight or a bishop, a major piece
a rook or a queen (Hooper & Whyld, The Oxford Companion to Chess). "Pieces" are said
both with and without queens and rooks of pieces brought out, and with and without pawns of men
lost (common practice, no source): what holds in one of these senses holds.

    after 1.e4 e5 2.Nf3 Nc6 3.Bc4 d6:
        holds: White has brought out more minor pieces than Black
        holds: White has developed one minor piece more than Black
        holds: White has one more piece out than Black
        fails: Black has as many minor pieces out as White
        fails: Black has two more pieces out than White
        holds: minor pieces in play: two for White against one for Black
        fails: minor pieces in play: two for White and two for Black
        holds: counting pawn islands, it is one for White and one for Black
        holds: White has just as many pawns as Black
        holds: both sides have the same number of pieces
        left alone: more pieces are better than fewer
    after 1.e4 c5 2.Nf3 d6 3.d4 cxd4 4.Nxd4 Nf6:
        holds: White has as many islands as Black
        holds: the number of pawns is the same on both sides
        holds: White has fewer pawns on the queenside than on the kingside
        fails: it is three pawns against four for White on the queenside
        left alone: Black has more chances than White
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import chess

from linewright import facts
from linewright.board_words import NUMBER_WORDS, names, several
from linewright.judging import Fact, Pattern, Said
from linewright.moves import side_name

FAMILY = "comparing"

_MINOR = (chess.KNIGHT, chess.BISHOP)
_MAJOR = (chess.ROOK, chess.QUEEN)
_PIECES = (*_MINOR, *_MAJOR)
_MEN = (*_PIECES, chess.PAWN)
_START = chess.Board()

Sense = Callable[[chess.Board, chess.Color], Sequence[int]]
"""What a side has of something: squares, or files."""

_KINDS: dict[str, tuple[str, tuple[chess.PieceType, ...]]] = {
    r"minor pieces?|minors?|knights? and bishops?|bishops? and knights?": ("minor piece", _MINOR),
    r"(?:major|heavy) pieces?|majors?|rooks? and queens?": ("major piece", _MAJOR),
    r"knights?": ("knight", (chess.KNIGHT,)),
    r"bishops?": ("bishop", (chess.BISHOP,)),
    r"rooks?": ("rook", (chess.ROOK,)),
    r"queens?": ("queen", (chess.QUEEN,)),
    r"pawns?": ("pawn", (chess.PAWN,)),
    r"pieces?": ("piece", _PIECES),
    r"men|man|units?": ("man", _MEN),
}
_OTHERS: dict[str, tuple[str, Sense]] = {
    r"islands?": ("pawn island", lambda b, c: [i[0] for i in facts.islands(b, c)]),
    r"isolated pawns?": ("isolated pawn", facts.isolated),
    r"passed pawns?": ("passed pawn", facts.passed),
    r"backward pawns?": ("backward pawn", facts.backward),
    r"doubled pawns?": ("doubled pawn", lambda b, c: [s for g in facts.doubled(b, c) for s in g]),
    r"half open files?": ("half-open file", facts.half_open_files),
    r"undefended (?:pieces?|men)": ("undefended man", facts.undefended),
}
_WHAT = rf"(?P<what>(?:pawn )?(?:{'|'.join((*_OTHERS, *_KINDS))}))"
_OUT = r"out|developed|in play|in (?:the )?(?:game|action)|into (?:the )?(?:play|game)|off the back rank|in the play|active"
_HOME = (
    r"at home|undeveloped|unmoved|asleep|on the back rank|(?:still |left )?to (?:develop|bring out)|"
    r"on (?:its|their|G.) (?:original|starting|home|initial|first) squares?"
)
_LEFT = r"on the board|left|left on the board|remaining|in all|altogether|in total"
_WHERE = rf"(?: (?P<where>{_OUT}|{_HOME}|{_LEFT}))?(?: on {{wing}})?"
_LOST = r"lost|given up|parted with|dropped|surrendered"
_TAKEN = r"taken|captured|won|picked up"
_BROUGHT = r"brought out|got out|developed|brought into play|brought into the game"
_HAS = rf"{{have}}(?: (?P<verb>{_BROUGHT}|{_LOST}|{_TAKEN}))?"
_THAN = r"(?: (?:than|as) (?:{side2}|{whose2})(?: {have}| do| does| did)?)?"
_AGAINST = r"(?: ?(?:,|and|against|to|versus|but))+ "
_VERSUS = r"(?: ?,)? (?:against|to|versus) "
_FOR = r"(?: ?,? ?(?:for|from) {side})"
_FOR2 = r"(?: ?,? ?(?:for|from) {side2})"


@dataclass(frozen=True, slots=True)
class _Counted:
    """What is counted: its name, what stands behind it in a report, and its senses."""

    noun: str
    state: str
    senses: tuple[Sense, ...]

    def told(self, colour: chess.Color, number: int) -> str:
        """ "White has two minor pieces out"."""
        many = "men" if self.noun.endswith("man") else ""
        many = self.noun.replace("man", "men") if many else ""
        return f"{side_name(colour)} has {several(number, self.noun, many)}{self.state}"


def _counted(said: Said) -> _Counted | None:
    """What the words name, with where it is."""
    what = said.word("what").removeprefix("pawn ") or said.word("what")
    where, verb = said.word("where"), said.word("verb")
    for words, (noun, sense) in _OTHERS.items():
        if re.fullmatch(words, what):
            return None if where or verb else _Counted(noun, "", (_of_wing(said, sense),))
    noun, kinds = next(n for words, n in _KINDS.items() if re.fullmatch(words, what))
    if re.fullmatch(_LOST, verb):
        return _lost(said, noun, kinds, by_other=False)
    if re.fullmatch(_TAKEN, verb):
        return _lost(said, noun, kinds, by_other=True)
    if re.fullmatch(_OUT, where) or re.fullmatch(_BROUGHT, verb):
        return None if chess.PAWN in kinds else _placed(noun, kinds, out=True)
    if re.fullmatch(_HOME, where):
        return None if noun == "man" else _placed(noun, kinds, out=False)
    state = f" on the {said.wing().value}" if "wing" in said else ""
    wide, narrow = (_of_wing(said, _standing(kinds), narrow=narrow) for narrow in (False, True))
    return _Counted(noun, state, (wide, narrow) if "wing" in said else (wide,))


def _standing(kinds: tuple[chess.PieceType, ...]) -> Sense:
    return lambda board, colour: [s for kind in kinds for s in board.pieces(kind, colour)]


def _of_wing(said: Said, sense: Sense, *, narrow: bool = False) -> Sense:
    """The sense on one wing: half of the board or, `narrow`, without the king's or queen's file."""
    if "wing" not in said:
        return sense
    files = range(4, 8) if said.wing().value == "kingside" else range(4)
    files = files[1:] if narrow and files[0] else files[:-1] if narrow else files
    return lambda board, colour: [s for s in sense(board, colour) if chess.square_file(s) in files]


def _placed(noun: str, kinds: tuple[chess.PieceType, ...], *, out: bool) -> _Counted:
    """Pieces that have left the squares where such pieces start, or stand there."""

    def sense(kinds: tuple[chess.PieceType, ...]) -> Sense:
        def found(board: chess.Board, colour: chess.Color) -> list[int]:
            stands = [s for kind in kinds for s in board.pieces(kind, colour)]
            return [s for s in stands if (_START.piece_at(s) != board.piece_at(s)) == out]

        return found

    loose = noun == "piece"
    senses = (
        (sense(_MINOR), sense((*_MINOR, chess.QUEEN)), sense(kinds)) if loose else (sense(kinds),)
    )
    return _Counted("minor piece" if loose else noun, " out" if out else " at home", senses)


def _lost(
    said: Said, noun: str, kinds: tuple[chess.PieceType, ...], *, by_other: bool
) -> _Counted | None:
    """Men that were taken from a side in the known moves; or, `by_other`, that it took."""
    if not said.place.history:
        return None
    taken = [(p.colour, *_victim(p.before, p.move)) for p in said.place.past()]

    def sense(kinds: tuple[chess.PieceType, ...]) -> Sense:
        def found(_: chess.Board, colour: chess.Color) -> list[int]:
            return [at for by, kind, at in taken if kind in kinds and (by == colour) == by_other]

        return found

    senses = (sense(kinds), sense(_MEN)) if noun == "piece" else (sense(kinds),)
    return _Counted(noun, " taken" if by_other else " fewer than at first", senses)


def _victim(before: chess.Board, move: chess.Move) -> tuple[chess.PieceType, chess.Square]:
    return facts.captured(before, move) or 0, move.to_square


# --- one side against the other --------------------------------------------------------------


def _of_white(said: Said) -> Said:
    """The same, where both sides are spoken of at once: one of them will do."""
    return replace(said, values={**said.values, "side": chess.WHITE})


def _related(said: Said, true: Callable[[int, int], bool]) -> Fact | None:
    """Whether the numbers of both sides stand so to each other, in any sense of the words."""
    counted = _counted(said)
    if counted is None:
        return None
    own = said.side()
    other = said.side("side2") if "side2" in said else not own
    other = said.side("whose2") if "whose2" in said else other
    if own == other:
        return None
    pairs = [(sense(said.board, own), sense(said.board, other)) for sense in counted.senses]
    fits = [pair for pair in pairs if true(len(pair[0]), len(pair[1]))]
    ours, theirs = (fits or pairs)[0]
    told = f"{counted.told(own, len(ours))}, {side_name(other)} {_in_words(len(theirs))}"
    return Fact(bool(fits), told, names([*ours, *theirs]) if _squares(counted) else ())


def _in_words(number: int) -> str:
    return NUMBER_WORDS[number] if 0 < number < len(NUMBER_WORDS) else str(number or "none")


def _squares(counted: _Counted) -> bool:
    return "file" not in counted.noun and "at first" not in counted.state


def _number(said: Said) -> int | None:
    """The number told, if one is."""
    if "number" in said:
        return said.number()
    return 1 if said.word("one") else None


def more(said: Said) -> Fact | None:
    """Whether a side has more (or fewer) of something than the other, by so many if told."""
    fewer = said.word("more") in {"fewer", "less"}
    number = _number(said)
    if number is not None:
        by = -number if fewer else number
        return _related(said, lambda ours, theirs: ours - theirs == by)
    return _related(said, lambda ours, theirs: ours < theirs if fewer else ours > theirs)


def as_many(said: Said) -> Fact | None:
    """Whether both sides have as many of something."""
    return _related(said, lambda ours, theirs: ours == theirs)


def twice_as_many(said: Said) -> Fact | None:
    """Whether a side has twice as many of something as the other."""
    return _related(said, lambda ours, theirs: ours == 2 * theirs > 0)


def so_many_each(said: Said) -> Fact | None:
    """Whether a side has so many of something and the other so many."""
    wanted = said.number(), said.number("number2")
    return _related(said, lambda ours, theirs: (ours, theirs) == wanted)


def so_many_of_both(said: Said) -> Fact | None:
    """Whether each side has so many of something."""
    wanted = _number(said)
    return _related(_of_white(said), lambda ours, theirs: ours == theirs == wanted)


def same_of_both(said: Said) -> Fact | None:
    """Whether both sides have the same number of something."""
    return as_many(_of_white(said))


def so_many_against(said: Said) -> Fact | None:
    """Whether it is so many against so many, for one side if it is told which."""
    if "side" in said:
        return so_many_each(said)
    wanted = {said.number(), said.number("number2")}
    values = {name: value for name, value in said.values.items() if name != "side2"}
    return _related(
        _of_white(replace(said, values=values)), lambda ours, theirs: {ours, theirs} == wanted
    )


def more_there(said: Said) -> Fact | None:
    """Whether a side has more (or fewer) of something on one wing than on the other."""
    counted = _counted(said)
    if counted is None or said.wing() == said.wing("wing2"):
        return None
    elsewhere = replace(said, values={**said.values, "wing": said.wing("wing2")})
    other = _counted(elsewhere)
    assert other is not None
    own = said.side()
    here, there = (c.senses[0](said.board, own) for c in (counted, other))
    fewer = said.word("more") in {"fewer", "less"}
    true = len(here) < len(there) if fewer else len(here) > len(there)
    told = f"{counted.told(own, len(here))}, {_in_words(len(there))}{other.state}"
    return Fact(true, told, names([*here, *there]))


_N = r"(?:{number}|(?P<one>one|an?))"
_MORE = r"(?P<more>more|fewer|less)"
_SAME = r"(?P<more>(?:exactly |just |precisely )?as many|the same number of|an equal number of|equally many)"

PATTERNS = (
    Pattern(rf"{{side}} {_HAS} {_MORE} {_WHAT}{_WHERE}{_THAN}", more),
    Pattern(
        rf"{{side}} {_HAS} (?:exactly )?{_N} (?P<more>more|fewer|less) {_WHAT}{_WHERE}{_THAN}", more
    ),
    Pattern(rf"{{side}} {_HAS} (?:exactly )?{_N} {_WHAT} {_MORE}{_WHERE}{_THAN}", more),
    Pattern(rf"{{side}} {_HAS} (?:exactly )?{_N} {_WHAT}{_WHERE} {_MORE}{_THAN}", more),
    Pattern(rf"{{side}} {{be}} {{number}} {_WHAT} (?:ahead|up) in (?:pieces|men|units)", more),
    Pattern(
        rf"{{side}} {_HAS} {_SAME} {_WHAT}{_WHERE}(?: as {{side2}}(?: {{have}}| do| does| did)?)?",
        as_many,
    ),
    Pattern(
        rf"{{side}} {_HAS} twice as many {_WHAT}{_WHERE}(?: as {{side2}}(?: {{have}}| do| does)?)?",
        twice_as_many,
    ),
    Pattern(
        rf"(?:the )?(?:number|count) of {_WHAT}{_WHERE} is (?:the same|equal|even)(?: (?:for|on) (?:both|S.|the two|either)(?: sides?)?)?",
        same_of_both,
    ),
    Pattern(
        rf"(?:counting |in |as for )?{_WHAT}{_WHERE} ?[:,]? ?(?:(?:it|that|this|P.) is )?{{number}}{_FOR}{_AGAINST}{{number2}}{_FOR2}",
        so_many_each,
    ),
    Pattern(
        rf"(?:counting )?{_WHAT}{_WHERE} ?[:,]? ?(?:(?:it|that|this) is )?{{side}} (?:{{have}} )?{{number}} ?{_AGAINST}{{side2}} (?:{{have}} )?{{number2}}",
        so_many_each,
    ),
    Pattern(
        rf"(?:it|that|this) is {{number}} {_WHAT}{_WHERE}(?:{_FOR})?{_AGAINST}{{number2}}(?:{_FOR2}|{_FOR})?{_WHERE}",
        so_many_against,
    ),
    Pattern(
        rf"{{number}} {_WHAT}{_WHERE}{_FOR}{_AGAINST}{{number2}}(?: pawns| pieces)?{_FOR2}",
        so_many_each,
    ),
    Pattern(
        rf"{{side}} {_HAS} {{number}} {_WHAT}{_WHERE}{_VERSUS}(?:only )?{{number2}}{_FOR2}",
        so_many_each,
    ),
    Pattern(
        rf"{{side}} {_HAS} {{number}} {_WHAT}{_WHERE}{_VERSUS}{{side2}} (?:{_HAS.replace('verb', 'verbs')} )?(?:only )?{{number2}}(?: {_WHAT.replace('what', 'kind')})?{_WHERE}",
        so_many_each,
    ),
    Pattern(
        rf"{{side}} {_HAS} {{number}} {_WHAT}{_WHERE}{_VERSUS}{{whose2}} {{number2}}", so_many_each
    ),
    Pattern(rf"{{side}} {_HAS} {_N} {_WHAT}{_WHERE} (?:each|apiece)", so_many_of_both),
    Pattern(
        rf"(?:there are |it is )?{_N} {_WHAT} (?:on {{wing}}|(?P<where>{_LEFT})) (?:each|apiece)",
        so_many_of_both,
    ),
    Pattern(rf"{{side}} {_HAS} {_MORE} {_WHAT} on {{wing}} than on {{wing2}}", more_there),
)
