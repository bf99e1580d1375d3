"""What a talk was heard to say: lines, slips, questions, corrections, each with its words and time."""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Mapping
from dataclasses import dataclass, field
from operator import itemgetter

import chess

from linewright.clock import clock
from linewright.talk.decoder import Event, Mode
from linewright.talk.transcript import Transcript


@dataclass(frozen=True, slots=True)
class Said:
    """Words of the talk: indices into the transcript's words, half open, and their text."""

    first: int
    end: int
    text: str
    at_ms: int | None


def when(said: Said) -> str:
    """The time of words, or which word of the talk they begin with.

    >>> when(Said(4, 5, "e4", None)), when(Said(4, 5, "e4", 61_000))
    ('word 5', '1:01')
    """
    return f"word {said.first + 1}" if said.at_ms is None else clock(said.at_ms)


@dataclass(frozen=True, slots=True)
class HeardMove:
    """A move of the talk's tree. `said` is None for a move that was not said.

    `node` is its number in the tree, `parent` the one before it (0 is the start).
    """

    node: int
    parent: int
    san: str
    uci: str
    said: Said | None
    kind: str
    fen: str
    sure: float = 1.0


@dataclass(frozen=True, slots=True)
class HeardLine:
    """Moves from the start; `kind` is ``shown``, ``supposed`` or ``mentioned``."""

    kind: str
    moves: tuple[HeardMove, ...]


ONLY_TALK = "only talk"
"""What is said of words that make no move."""
AS_SAID = "as said"
"""What is said of words in which nothing is to be put right."""

UNWEIGHED = 0.0
"""How sure a slip is before it is weighed with what is said around it (`sureness`)."""


@dataclass(frozen=True, slots=True)
class HeardSlip:
    """Something said wrong. `meant` is the move (or the piece and its square, or the side).

    `stood` says what stood on the board, `sure` (0 to 1) how sure it is, `line` the moves to the
    position it was said in, `men` the pieces whose side was told wrong ("rook on e1"), if any,
    `put_right` the words that say at once what was meant ("c2" of "b2, I mean c2"), if any do.
    """

    said: Said
    meant: str
    kind: str
    sure: float
    stood: str
    line: tuple[str, ...]
    men: str = ""
    put_right: str = ""

    def board(self) -> chess.Board:
        """The position it was said in."""
        board = chess.Board()
        for san in self.line:
            board.push_san(san)
        return board


@dataclass(frozen=True, slots=True)
class Question:
    """A doubt for the teacher: the words, and what they may mean, likeliest first.

    `unsaid` are moves in doubt that nobody said, "4...d6 before it"; empty where there are none.
    `line` leads to the board of the first move among the choices; where they are of different
    boards, `boards` says behind which move each is.
    """

    said: Said
    text: str
    choices: tuple[str, ...]
    line: tuple[str, ...]
    unsaid: str = ""
    boards: tuple[str, ...] = ()

    @property
    def ways(self) -> tuple[str, ...]:
        """The choices as they are told: "2...Nc6 after 2.c3" where they are of other boards."""
        after = (*self.boards, *[""] * len(self.choices))
        return tuple(
            f"{choice} {board}".strip() for choice, board in zip(self.choices, after, strict=False)
        )

    @property
    def offer(self) -> str:
        """The choices as a question lists them, with room for any other move.

        >>> Question(Said(0, 1, "take", None), "", ("3...exd4", "only talk"), ()).offer
        '3...exd4, or another move, or only talk'
        """
        talk = [way for way in self.ways[1:] if way == ONLY_TALK]
        moves = [way for way in self.ways if way not in talk]
        return ", or ".join([*moves, "another move", *talk])


@dataclass(frozen=True, slots=True)
class Answered:
    """A teacher's answer: its place and what it says, as written, and the words it is about.

    `fault` says why it could not be followed; empty if it was. `said` is None where no words fit.
    `numbered` is the move with its number, where it is followed though the answer has another.
    `refuses` tells that a correction of the captions was refused by it.
    """

    place: str
    answer: str
    said: Said | None
    fault: str
    numbered: str = ""
    refuses: bool = False


@dataclass(frozen=True, slots=True)
class CaptionChange:
    """Words of the captions to be put right."""

    said: Said
    now: str
    sure: float


@dataclass(frozen=True, slots=True)
class WhatIf:
    """A what-if board: its edits as a script's link writes them, and the board."""

    said: Said
    edits: str
    fen: str
    line: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Turn:
    """One change of the board in the order of the talk: a move, or a going back (`move` None).

    `node` is where the board stands after it.
    """

    word: int
    node: int
    phrase: tuple[int, int]
    event: Event


OPENING_MOVES = 2
"""Half-moves. A talk that goes back to one so early begins a game anew."""

LONGEST_EXPLANATION = 4
"""Half-moves. Of the supposed ends of 72 invented talks two in three of those as short as this only
explained, one in six of the longer ones."""


LONGEST_SUPPOSED = 8
"""Half-moves. Of the supposed ends of the same talks all that were longer were shown."""


_ANOTHER_GAME = re.compile(
    r"(?<!from )(?<!of )(?<!was )(?<!is )\b(?:a|an|another|one more)(?: [\w'-]+){0,2} game\b"
)
"""What tells of a game besides; "this is from a game at the club" tells of the one shown."""

_UNREAL = frozenset("could would might should if can't couldn't".split())


@dataclass(frozen=True, slots=True)
class Heard:
    """Everything a talk was understood to say."""

    transcript: Transcript
    lines: tuple[HeardLine, ...]
    moves: dict[int, HeardMove]
    turns: tuple[Turn, ...]
    slips: tuple[HeardSlip, ...]
    questions: tuple[Question, ...]
    caption_changes: tuple[CaptionChange, ...]
    what_if: tuple[WhatIf, ...]
    me: str = ""
    places: tuple[tuple[int, int], ...] = field(default=())
    """From which word on the board stands at which node."""
    answered: tuple[Answered, ...] = field(default=())
    unread_answers: tuple[str, ...] = field(default=())
    """Lines among the teacher's answers that are none, as written."""
    head: tuple[tuple[str, str], ...] = field(default=())
    """What a teacher has written into the head of the script: keys with their lines."""
    partings: tuple[tuple[int, float], ...] = field(default=())
    """The words at which another way to understand the talk parts, and how much dearer it is."""
    players: Mapping[str, str] = field(default_factory=dict)
    """The name of the player of each side ("w" or "b") that the talk names."""
    introduced: int = 0
    """The word at which the talk first tells who has which side."""
    teacher: str = ""
    """The name of the speaker, if he gives it."""
    club: str = ""
    """The name of the club the talk is held in, if it is told."""
    margins: Mapping[int, float] = field(default_factory=dict)
    """How much dearer the cheapest way is that does without a move, by the move's number."""
    main: frozenset[int] = frozenset()
    """The nodes of the line that the talk calls the main line or that of the game, if it does."""
    pictured: tuple[Said, ...] = ()
    """Words that list the men of a what-if board, or name them on it."""

    def is_pictured(self, said: Said) -> bool:
        """Whether words are about the men of a what-if board, and not about those of the game."""
        return any(one.first < said.end and said.first < one.end for one in self.pictured)

    def node_at(self, word: int) -> int:
        """The node whose board is up when a word is said."""
        index = bisect_right(self.places, word, key=itemgetter(0))
        return self.places[index - 1][1] if index else 0

    def board(self, node: int) -> chess.Board:
        """A fresh board of a node."""
        return chess.Board(self.moves[node].fen) if node in self.moves else chess.Board()

    def label(self, node: int) -> str:
        """A move with its number, "3...Bc5"; empty for the start."""
        if node not in self.moves:
            return ""
        ply = len(self.line_to(node)) - 1
        return f"{ply // 2 + 1}{'...' if ply % 2 else '.'}{self.moves[node].san}"

    def main_line(self) -> tuple[int, ...]:
        """The nodes of the line taught that the talk goes on from farthest.

        A talk that dismisses a line after two moves and teaches another is about the other. What it
        supposes at length ("suppose he takes, then ...", for ten moves) it teaches.
        """
        goes_on, taught = self.continuations(), self._taught()
        out: list[int] = []
        while (here := goes_on.get(out[-1] if out else 0)) in taught:
            out.append(here)
        return tuple(out)

    def players_of_main_line(self) -> Mapping[str, str]:
        """The players, unless their game is another one that the talk shows besides.

        It is another one where they are named behind the main line, and the talk speaks of another
        game there or begins anew: not where it tells how the game could have begun.
        """
        main = self.main_line()
        behind = [turn for turn in self.turns if turn.word >= self.introduced]
        told = {turn.node for turn in self.turns if turn.word < self.introduced}
        if not main or main[-1] not in told or not behind:
            return self.players
        if _ANOTHER_GAME.search(self._said_before(self.introduced, sentences=2)):
            return {}
        real = next((turn for turn in behind if not self._is_unreal(turn)), None)
        anew = real is not None and len(self.way_to(real.node)) <= OPENING_MOVES
        return {} if anew else self.players

    def _is_unreal(self, turn: Turn) -> bool:
        """Whether a turn tells what is not done, by itself or by the sentence that leads to it."""
        lead = self._said_before(turn.word, sentences=1).split()
        return turn.event.mode is Mode.SUPPOSED or not _UNREAL.isdisjoint(lead)

    def _said_before(self, word: int, sentences: int) -> str:
        """The words before one, from so many beginnings of sentences before it on."""
        words, first = self.transcript.words, word
        while first:
            sentences -= words[first - 1].ends_sentence
            if not sentences:
                break
            first -= 1
        return " ".join(one.text.lower() for one in words[first:word])

    def continuations(self) -> dict[int, int]:
        """The move that each board is gone on from farthest; one that is taught before others.

        What the talk calls its main line goes before what is longer. Of moves that are gone on from
        as far it is the one told first.
        """
        told = [node for node, move in self.moves.items() if move.kind != "mentioned"]
        taught, reach = self._taught(), self._reach()
        out: dict[int, int] = {}

        def rank(node: int) -> tuple[bool, bool, tuple[int, int]]:
            return node in taught, node in self.main, reach[node]

        for node in told:
            best = out.setdefault(self.moves[node].parent, node)
            if rank(node) > rank(best):
                out[self.moves[node].parent] = node
        return out

    def _taught(self) -> set[int]:
        """The moves shown, and those of lines that are supposed at length."""
        reach = self._reach()
        out: set[int] = set()
        for node in sorted(reach, key=lambda n: len(self.way_to(n))):
            move = self.moves[node]
            above = self.moves.get(move.parent)
            goes_on = above is not None and above.kind == "supposed" and above.node in out
            if move.kind == "shown" or goes_on or reach[node][0] > LONGEST_SUPPOSED:
                out.add(node)
        return out

    def _reach(self) -> dict[int, tuple[int, int]]:
        """How far the talk goes on from each move that is not only mentioned, and how much it tells."""
        told = [node for node, move in self.moves.items() if move.kind != "mentioned"]
        out = dict.fromkeys(told, (1, 1))
        for node in sorted(told, key=lambda n: len(self.way_to(n)), reverse=True):
            parent = self.moves[node].parent
            if parent in out:
                depth, weight = out[parent]
                out[parent] = (max(depth, 1 + out[node][0]), weight + out[node][1])
        return out

    def explanations(self) -> dict[int, int]:
        """The moves that explain the last move of a line shown, by that last move.

        "Rook d1, because if he takes, rook takes wins the queen": supposed moves where nothing is
        shown any more. Long ones are no explanation: what a talk supposes for so long it teaches.
        """
        shown = {n for node, move in self.moves.items() if move.kind == "shown"
                 for n in self.way_to(node)}  # fmt: skip
        goes_on = {self.moves[node].parent for node in shown}
        depth = {node: len(self.way_to(node)) for node in self.moves}
        out: dict[int, int] = {}
        for node in sorted(self.moves, key=depth.__getitem__):
            parent = self.moves[node].parent
            if parent in out:
                out[node] = out[parent]
            elif node not in shown and parent in shown - goes_on:
                out[node] = parent
        long = {end for node, end in out.items() if depth[node] - depth[end] > LONGEST_EXPLANATION}
        return {node: end for node, end in out.items() if end not in long}

    def way_to(self, node: int) -> list[int]:
        """The nodes from the first move to a node."""
        out = []
        while node in self.moves:
            out.append(node)
            node = self.moves[node].parent
        return out[::-1]

    def line_to(self, node: int) -> tuple[str, ...]:
        """The moves from the start to a node."""
        return tuple(self.moves[n].san for n in self.way_to(node))
