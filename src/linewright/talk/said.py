"""What a stretch of a talk says of a move, how it says it, and what stands around it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Form(StrEnum):
    """How a phrase is said."""

    NOTATION = "notation"
    """"Nf3" as a recogniser or typist writes it."""
    FULL = "full"
    """Piece and square: "knight f3", "bishop drops back to e2"."""
    PLACED = "placed"
    """Piece on square, without a verb between: "the knight on f6", "the e5 pawn"."""
    SQUARE = "square"
    """A square alone: "e4"."""
    CAPTURE = "capture"
    """With a verb of capture: "takes on d5", "queen takes rook"."""
    CASTLING = "castling"
    BOTH = "both"
    """One move by each side: "both sides castle"."""
    TRADE = "trade"
    """Two captures in one phrase: "queens come off"."""
    VAGUE = "vague"
    """A move without its square: "the rook steps aside", "pushes on"."""
    CLAUSE = "clause"
    """A clause that names no move and may tell one: "he hits it at once"."""


@dataclass(frozen=True, slots=True)
class Spec:
    """What words say of a move; empty parts are not said. Prices as in the vocabulary."""

    pieces: tuple[tuple[str, float], ...] = ()
    targets: tuple[tuple[int, float], ...] = ()
    to_file: str = ""
    to_rank: str = ""
    from_square: int | None = None
    from_file: str = ""
    from_rank: str = ""
    capture: bool = False
    captured: str = ""
    castling: str = ""
    promotion: str = ""
    check: bool = False
    mate: bool = False
    ep: bool = False
    retake: bool = False
    back: bool = False
    """"drops back to f3": a piece, and not forwards."""
    quiet: bool = False
    fianchetto: bool = False
    free: bool = False
    """Any piece may be meant, though none is named."""
    like_last: bool = False
    """"puts one on c8": a piece like the one that moved last."""
    other: bool = False
    """"the other knight": not the one that moved last."""
    mirror: bool = False
    """"does the same": the last move as the other side makes it."""
    deed: str = ""
    """What the move does: "attack", "support", "block", "pin", "fork" or "double"."""
    met: str = ""
    """The piece it does that to; where none is named, the one the talk has at hand."""
    met_square: int | None = None
    leaning: tuple[float, ...] = ()
    """How the words of a clause go with each trait of a move (log odds); empty where they say more."""

    @property
    def full(self) -> bool:
        """Whether a square or castling is named."""
        return bool(self.targets or self.castling)

    @property
    def says_mover(self) -> bool:
        """Whether the piece that moves, or its file, is named."""
        return bool(self.pieces or self.from_file)

    @property
    def says_target(self) -> bool:
        """Whether a square, a piece to take or castling is named."""
        return bool(self.targets or self.castling or self.captured)


@dataclass(frozen=True, slots=True)
class Cues:
    """What the words around a phrase say about it. Prices are added by the decoder."""

    side: str = ""
    weak_side: str = ""
    piece_side: str = ""
    person: str = ""
    """"me" after "I" and "we", "other" after "he", "she", "they"; "you" may be either."""
    intent: bool = False
    modal: bool = False
    supposed: bool = False
    negated: bool = False
    infinitive: bool = False
    gerund: bool = False
    played: bool = False
    static: bool = False
    after: bool = False
    alternative: int = 0
    """1 after "instead", "also"; 2 where the talk counts ("the third retreat")."""
    either: bool = False
    instead_of: bool = False
    reason: bool = False
    """After "because", "so that", "where": a move that explains rather than one that is made."""
    back: int = 0
    """2 where the talk says plainly that it goes back, 1 where it may."""
    board_of: bool = False
    """"Back to where White played bishop c4": the move tells a board and is not made."""
    main: bool = False
    start: bool = False
    number: int = 0
    unreal: bool = False
    listed: bool = False
    hint: int = -1
    """A square a side was just said to support or attack, perhaps by a move that was not said."""
    repeated: bool = False
    """Whether the same was said just before."""
    paired: bool = False
    """One of two squares named together: "plays f3 and e4"."""
    firm: bool = False
    """A placement said as a plain fact: "the knight on f6"."""
    past: bool = False
    begins: float = 0.0
    """How strongly the talk breaks between the phrase before and this one."""


@dataclass(frozen=True, slots=True)
class Phrase:
    """Tokens `first` up to `end` read in one way, at a price for the words themselves."""

    first: int
    end: int
    form: Form
    spec: Spec
    price: float = 0.0
    told: float = 0.0
    """The log odds that it tells a move, by the words around it."""
    leaves: float = -3.0
    """The log odds that it leaves the board at hand for an earlier one."""
    parts: float = 0.0
    """How much likelier than usual the talk comes back to the board after it (log odds)."""
    cues: Cues = Cues()
    verb: bool = False
    """Whether a verb of moving stands in the phrase."""
    cut: bool = False
    """Whether a longer phrase that begins here says more."""
    covered: bool = False
    """Whether a phrase that begins later says the same: "pawn on b4" in "a pawn on b4"."""

    @property
    def says_something(self) -> bool:
        """Whether it has words: a going back that nobody tells has none."""
        return self.end > self.first

    @property
    def plain(self) -> bool:
        """Whether its words are chess words as written."""
        prices = [p for _, p in self.spec.targets[:1]] + [p for _, p in self.spec.pieces[:1]]
        return self.price < 0.7 and all(price < 0.6 for price in prices)
