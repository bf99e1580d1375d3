from collections.abc import Callable, Mapping, Sequence
from typing import TypedDict, final

def position_key(fen: str) -> int: ...
def perft(fen: str, depth: int) -> int: ...

@final
class EngineLine:
    """One of the best lines of an answer.

    `score_cp` and `mate` are as the side to move of the *asked* position sees them; one of them
    is None. `score_cp`: hundredths of a pawn. `mate`: mate in so many moves, negative when
    getting mated. `depth`, `reached`: plies searched in full, deepest ply looked at. `moves`: the
    line in the notation of UCI, never empty.
    """

    @property
    def score_cp(self) -> int | None: ...
    @property
    def mate(self) -> int | None: ...
    @property
    def depth(self) -> int: ...
    @property
    def reached(self) -> int: ...
    @property
    def moves(self) -> list[str]: ...

@final
class EngineAnswer:
    """What a search found: the best lines first; no lines where the game is over (mate or
    stalemate on the board). `engine` is the identity that decides answers.
    """

    @property
    def engine(self) -> str: ...
    @property
    def lines(self) -> list[EngineLine]: ...
    @property
    def depth(self) -> int: ...
    @property
    def nodes(self) -> int: ...
    @property
    def time_ms(self) -> float: ...

@final
class Engine:
    """The built-in engine with its memory.

    `hash_mb` (at least 1) is the size of its hash table, `threads` 1 to 64.

    Raises: ValueError for numbers below 1, MemoryError for a table beyond the free memory.
    """

    def __new__(cls, hash_mb: int = 16, threads: int = 1) -> Engine: ...
    @property
    def identity(self) -> str:
        """Name and version; remembered answers of another identity are not this engine's."""

    def analyse(
        self,
        fen: str,
        moves: Sequence[str] = (),
        *,
        nodes: int | None = None,
        depth: int | None = None,
        time_ms: int | None = None,
        lines: int = 1,
        only: Sequence[str] = (),
        keep: bool = False,
    ) -> EngineAnswer:
        """Best `lines` lines of the position after `moves` (UCI) from `fen`.

        Ends at whichever limit comes first; at least one is needed. `only` restricts the first
        move to those given (UCI). With one thread the same question with a node or depth limit
        has the same answer every time, unless `keep` asks to go on with what earlier searches
        left in memory (quicker when playing on move by move). The moves before count for
        repetitions. The GIL is released; Ctrl-C ends the search. One search at a time: a second
        thread waits.

        Raises: ValueError for an impossible position (no king, nine pawns, opponent in check),
        an illegal move, limits below 1 or none.
        """

    def stop(self) -> None:
        """Ends a search that runs in another thread, which returns what it has found by then.

        Does nothing to a search that has not begun yet.
        """

    def clear(self) -> None:
        """Forgets everything earlier searches left in memory."""

def evaluate(fen: str) -> int:
    """Evaluation without search, in hundredths of a pawn as the side to move sees it."""

def run_uci() -> None:
    """Speaks UCI on standard input and output until `quit` or the end of the input."""

@final
class PawnTables:
    """Solved endings of kings and pawns, kept for the next question.

    Values are `(low, high, thumb)` from White's side, 1 a win, 0 a draw, -1 a loss: `low` and
    `high` hold, `thumb` judges promotions without a table by rule of thumb. None where the pawns
    can turn into more than `most_skeletons` different placings.

    Raises (each method): ValueError for an impossible position or one with other men.
    """

    def __new__(cls, most_skeletons: int) -> PawnTables: ...
    def bracket(self, fen: str) -> tuple[int, int, int] | None:
        """What the position is worth."""

    def prove(self, fen: str, most_tables: int) -> tuple[int, int, int] | None:
        """The same, after following the promotions that matter through further tables."""

    def moves(self, fen: str) -> list[tuple[str, tuple[int, int, int], int | None]] | None:
        """Legal moves in UCI, the value after each, and the plies until a pawn queens or the
        king is mated, if the position after it is won for somebody."""

    def solved(self) -> int:
        """Number of placings solved so far."""

_Remarks = list[tuple[int, int, str]]

class _Report(TypedDict):
    games: int
    variants: int
    refused: _Remarks
    warnings: _Remarks
    warned: int
    duplicates: list[tuple[int, int]]

@final
class GameReader:
    def __init__(self, known: bytes, *, keep_to_fault: bool = False) -> None: ...
    def feed(self, data: bytes) -> None: ...
    def finish(self) -> None: ...
    def drop_rest(self) -> None: ...
    def waiting(self) -> int: ...
    def held_back(self) -> int: ...
    def line(self) -> int: ...
    def start_at_line(self, line: int) -> None: ...
    def take_games(self) -> dict[str, bytes | tuple[bytes, bytes]]: ...
    def take_report(self) -> _Report: ...

_Tallied = tuple[int, int, int, int, int]

@final
class StoredGames:
    def __init__(
        self,
        moves: bytes,
        offsets: bytes,
        fens: bytes,
        fen_offsets: bytes,
        white: bytes,
        black: bytes,
        year: bytes,
        result: bytes,
        skip: bytes,
    ) -> None: ...
    def __len__(self) -> int: ...
    def passing(self, key: int, plies: int) -> list[int]: ...
    def arrivals(self, key: int, plies: int) -> list[tuple[list[int], int]]: ...
    def plans(
        self, key: int, depth: int, plies: int
    ) -> tuple[_Tallied, list[tuple[str, str, _Tallied]]]: ...
    def san(self, index: int) -> list[str]: ...

@final
class GameIndexer:
    def __init__(self, plies: int, bits: int, first: int, last: int, sign: int = 1) -> None: ...
    def feed(self, games: StoredGames) -> None: ...
    def rows(self, shard: int) -> dict[str, bytes]: ...

def rating_band(rating: int) -> int: ...
def move_code(fen: str, uci: str) -> int: ...
def invent_games(
    seed: int,
    first: int,
    last: int,
    *,
    ratings: tuple[int, int] = (900, 2400),
    years: tuple[int, int] = (1990, 2024),
    players: int = 20_000,
    event: str = "Invented games",
    site: str = "Nowhere",
    book: list[tuple[int, int, float, float, float]] = [],
) -> bytes: ...

@final
class OpeningBook:
    """Opening lines by position: each a text of moves in the notation of UCI from the start.

    A line is read up to its first move that is not legal. `rows` are texts with a line a row: how
    many moves it shares with the row before, then the others in short notation. `habits` are the
    weights of what is seen of a move, where no line goes on, in the order of `HABITS`. Raises
    `ValueError` for a row that cannot be read and for another number of weights.
    """

    def __new__(
        cls, lines: Sequence[str], rows: Sequence[str], habits: Sequence[float]
    ) -> OpeningBook: ...
    def usual(self, weights: dict[str, float], line: Sequence[str]) -> dict[str, float]:
        """Minus the log of each legal move's chance of being shown after a line (UCI).

        Raises `ValueError` for a line with a move that is not legal.
        """

HABITS: list[tuple[str, int]]
"""The parts of the table of habits with their lengths."""

TRAITS: list[str]

def traits_of_moves(
    book: OpeningBook, line: Sequence[str], named: int | None = None
) -> list[tuple[str, list[int]]]:
    """What words without a square may say of each legal move (UCI), as places in `TRAITS`;
    `named` is the square that the words speak of."""

def seen_moves(line: Sequence[str]) -> list[tuple[str, list[int]]]:
    """What is seen of each legal move after a line (UCI), as places in the table of habits.

    Raises `ValueError` for a line with a move that is not legal.
    """

@final
class TalkFound:
    """What a search of a talk found: events and nodes by number; event 0 is none, node 0 the start.

    `hypotheses`: price and last event, the cheapest first. `events`: kind, phrase, price, node,
    base, silent nodes, extra nodes, faults (slot, misheard), mode, whether it holds, event before.
    `rivals`: gap, kept event, other event. `nodes`: parent, move (UCI), move (SAN), FEN, plies.
    """

    @property
    def hypotheses(self) -> list[tuple[float, int]]: ...
    @property
    def events(
        self,
    ) -> dict[
        int,
        tuple[
            str,
            int,
            float,
            int,
            int,
            list[int],
            list[int],
            list[tuple[str, bool]],
            str,
            bool | None,
            int,
        ],
    ]: ...
    @property
    def rivals(self) -> list[tuple[float, int, int]]: ...
    @property
    def nodes(self) -> dict[int, tuple[int, str, str, str, int]]: ...

@final
class TalkSearch:
    """The phrases of one talk (`linewright.talk.phrases`), to be understood.

    `phrases` name their spec by its place in `specs` and are sorted by their first token;
    `confusions` has 64 times 64 prices of one square written for another.

    Raises: ValueError for phrases out of order and numbers that do not fit.
    """

    def __new__(
        cls,
        specs: Sequence[object],
        phrases: Sequence[tuple[object, int]],
        noise: float,
        confusions: Sequence[float],
    ) -> TalkSearch: ...
    def search(
        self,
        weights: dict[str, float],
        book: OpeningBook,
        theme: Sequence[str],
        me: str,
        answers: dict[int, str],
        counts: Callable[[str], dict[str, float]] | None = None,
        truth: Mapping[int, Sequence[str]] | None = None,
        keep: int = 40,
        near: float = 1.3,
        perhaps: Mapping[int, tuple[str, float]] | None = None,
    ) -> TalkFound:
        """The best ways to understand the talk; ValueError for a weight that is missing or none."""

    def way(
        self,
        weights: dict[str, float],
        book: OpeningBook,
        theme: Sequence[str],
        me: str,
        lines: Sequence[str],
        at: Mapping[int, Sequence[str]],
        slips: set[int],
    ) -> list[tuple[int, str, str, float, bool, bool, bool]]:
        """The decisions of the cheapest way to understand the talk that its known moves allow.

        The arguments, and each decision, are as for `lesson`.
        """

    def lesson(
        self,
        weights: dict[str, float],
        book: OpeningBook,
        theme: Sequence[str],
        me: str,
        lines: Sequence[str],
        at: Mapping[int, Sequence[str]],
        slips: set[int],
        margin: float,
    ) -> tuple[
        float,
        dict[str, float],
        int,
        list[tuple[int, str, str, float, bool, bool, bool]],
        list[
            tuple[
                float,
                int,
                dict[str, float],
                list[tuple[int, str, str, float, bool, bool, bool]],
                list[tuple[int, str, str, float, bool, bool, bool]],
            ]
        ],
    ]:
        """What the talk teaches about the weights; see `Decoder.lesson`."""

    def choices(
        self, weights: dict[str, float], book: OpeningBook, line: Sequence[str], phrase: int
    ) -> list[tuple[float, str, list[tuple[str, bool]]]]:
        """Price, move (UCI) and faults of the moves a phrase may mean after a line."""

@final
class Wordings:
    """Ways of saying something, found in a text.

    `wordings` are pairs: a regular expression over a normal form, and one that must not follow it
    ("" for none). Names in braces stand for the expression of `names`; where that is a set of
    characters ("[S]."), for a group of that name.

    Finds are (number of the wording, begin, end, groups that hold something by name).

    Raises: ValueError for an expression that cannot be read, with its number and the place in it.
    """

    def __new__(cls, wordings: Sequence[tuple[str, str]], names: Mapping[str, str]) -> Wordings: ...
    def beginning(
        self, text: str, begin: int, ends: Sequence[int]
    ) -> list[tuple[int, int, int, list[tuple[str, str]]]]:
        """The wordings that fit from `begin` to one of the `ends`, which are tried in order."""

    def leading(self, text: str, begin: int) -> list[tuple[int, int, int, list[tuple[str, str]]]]:
        """The wordings that fit from `begin` on, each as far as it leads."""

    def anywhere(self, text: str) -> list[tuple[int, int, int, list[tuple[str, str]]]]:
        """All places where the wordings fit, by wording and from left to right."""
