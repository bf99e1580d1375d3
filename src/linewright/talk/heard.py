"""A talk understood: its lines with words and times, slips, questions, caption corrections.

`hear` turns a transcript into a `Heard`: nothing is invented, every move carries the words and
the time it came from, or says that it was not said.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

import chess

from linewright._core import OpeningBook
from linewright.finding import Severity
from linewright.names import find_names
from linewright.talk.cues import CueReader
from linewright.talk.decoder import (
    Decoder,
    Event,
    Fault,
    Hypothesis,
    Kind,
    Mode,
    chain,
    events_of,
    whose,
    whose_you,
)
from linewright.talk.heard_names import misheard_names
from linewright.talk.imagined import edited, imagined_boards
from linewright.talk.phrases import Parser
from linewright.talk.said import Form, Phrase, Spec
from linewright.talk.telling import Models, tell
from linewright.talk.transcript import Transcript
from linewright.talk.usual import Usual, catalogue_line
from linewright.talk.vocabulary import FILES, PIECES, Lexicon, Token, is_square, tokenise

FIRST_BEAM = 60
"""A quick first hearing tells whom the speaker calls "I"."""

TELLS_A_MOVE = 1.0
"""From these log odds on, the words around are taken to tell a move."""

TELLS_SURELY = 2.0
"""So much is asked of a move in place of one that is written."""

TELLS_NO_MOVE = -1.0
"""Below these, they are taken to tell none."""

SURELY_NO_MOVE = -2.0
"""Below these, no misheard word is put right for a move."""

SAID_AGAIN = 6
"""What is said again at once follows within so many words."""

ASK_BELOW = 1.3
"""Readings nearer than this (in price) are shown to the teacher as a question."""


@dataclass(frozen=True, slots=True)
class Said:
    """Words of the talk: indices into the transcript's words, half open, and their text."""

    first: int
    end: int
    text: str
    at_ms: int | None


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


@dataclass(frozen=True, slots=True)
class HeardSlip:
    """Something said wrong. `meant` is the move (or the piece and its square, or the side).

    `stood` says what stood on the board, `sure` (0 to 1) how sure it is, `line` the moves to the
    position it was said in.
    """

    said: Said
    meant: str
    kind: str
    sure: float
    stood: str
    line: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Question:
    """A doubt for the teacher: the words, and what they may mean, likeliest first."""

    said: Said
    text: str
    choices: tuple[str, ...]
    line: tuple[str, ...]


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

    def node_at(self, word: int) -> int:
        """The node whose board is up when a word is said."""
        node = 0
        for first, place in self.places:
            if first > word:
                break
            node = place
        return node

    def line_to(self, node: int) -> tuple[str, ...]:
        """The moves from the start to a node."""
        out: list[str] = []
        while node in self.moves:
            out.append(self.moves[node].san)
            node = self.moves[node].parent
        return tuple(out[::-1])


def hear(
    transcript: Transcript,
    counts: Usual | None = None,
    answers: Mapping[str, str] | None = None,
) -> Heard:
    """What a talk says, move by move.

    `answers` are the teacher's answers to earlier questions: place (as in the script's head) to a
    move or "only talk". `counts` may say how often moves are played (a collection's tally). A transcript that is not
    about chess, or not English, gives an empty result; its findings say why.

    **Cost**: about 2 s of CPU for ten minutes of talk.
    """
    if any(f.severity is Severity.ERROR for f in transcript.findings):
        return Heard(transcript, (), {}, (), (), (), (), ())
    return hear_reading(Reading.of(transcript), counts, answers)


def hear_reading(
    reading: Reading,
    counts: Usual | None = None,
    answers: Mapping[str, str] | None = None,
    weights: Mapping[str, float] | None = None,
) -> Heard:
    """As `hear`, of a talk taken apart before, perhaps with other prices than the fitted ones."""
    return _Hearing(reading, counts, answers or {}, weights).heard()


def spoken(transcript: Transcript) -> list[tuple[str, str, float]]:
    """Words with the punctuation after them and the pause before them in seconds."""
    out: list[tuple[str, str, float]] = []
    before = None
    for word in transcript.words:
        pause = 0.0
        if before is not None and word.start_ms is not None and before.end_ms is not None:
            pause = (word.start_ms - before.end_ms) / 1000
        out.append((word.text, word.mark, pause))
        before = word
    return out


def themes(text: str) -> list[tuple[str, ...]]:
    """The lines of the openings that a text names."""
    from linewright.names import rows_meant

    lines: list[tuple[str, ...]] = []
    for found in find_names(text):
        if not found.certain or "castles" in found.meant:
            continue
        rows = [catalogue_line(slug) for slug in rows_meant(found.meant)]
        lines.extend(sorted((row for row in rows if row), key=len)[:2])
    return lines


@dataclass(frozen=True, slots=True)
class Reading:
    """A talk taken apart: what its words may stand for, before a board is looked at."""

    transcript: Transcript
    tokens: tuple[Token, ...]
    lexicon: Lexicon
    phrases: dict[int, list[Phrase]]
    theme: list[tuple[str, ...]]
    book: OpeningBook | None = None

    @classmethod
    def of(
        cls,
        transcript: Transcript,
        telling: Models | None = None,
        book: OpeningBook | None = None,
    ) -> Reading:
        """The reading of a transcript; `telling` and `book` are other than those that ship.

        **Cost**: 0.4 s for ten minutes of talk.
        """
        tokens = tokenise(spoken(transcript))
        lexicon = Lexicon.of(tokens)
        imagined = [found for found, _ in imagined_boards(lexicon)]
        phrases = CueReader(lexicon).read(Parser(lexicon).phrases(imagined))
        phrases = tell(tokens, phrases, telling)
        return cls(transcript, tokens, lexicon, phrases, themes(transcript.text), book)


def with_you(
    phrases: Mapping[int, Sequence[Phrase]], me: str, you: str
) -> tuple[str, dict[int, list[Phrase]]] | None:
    """The side to be called "me" and the phrases with "you" as that one or the other.

    None if the sides are not known. Where nobody says "I", "you" takes its place.
    """
    if not you:
        return None
    name = "me" if not me or me == you else "other"

    def told(phrase: Phrase) -> Phrase:
        person = phrase.cues.person
        if person == "you":
            person = name
        elif not me:
            person = ""
        return replace(phrase, cues=replace(phrase.cues, person=person))

    return me or you, {first: [told(p) for p in same] for first, same in phrases.items()}


class _Hearing:
    """One hearing of one talk."""

    def __init__(
        self,
        reading: Reading,
        counts: Usual | None,
        answers: Mapping[str, str],
        weights: Mapping[str, float] | None,
    ) -> None:
        self.transcript = reading.transcript
        self.tokens = reading.tokens
        self.lexicon = reading.lexicon
        self.phrases = reading.phrases
        self.answered = self._answered(answers)
        self.decoder = Decoder(self.phrases, self.lexicon.noise, weights, reading.book)
        theme = reading.theme
        first = self.decoder.search("", theme, self.answered, counts, beam=FIRST_BEAM)
        self.me = whose(first)  # whom the speaker calls "I" is known only then
        known = with_you(self.phrases, self.me, whose_you(first))
        if known is not None:
            self.me, self.phrases = known
            self.decoder = Decoder(self.phrases, self.lexicon.noise, weights, reading.book)
        self.understood = self.decoder.search(self.me, theme, self.answered, counts)
        self.tree = self.understood.tree
        self.events = events_of(self.understood.hypotheses[0])

    def _answered(self, answers: Mapping[str, str]) -> dict[tuple[int, int], str]:
        """The answers by the tokens (first, end) they are about."""
        if not answers:
            return {}
        from linewright.talk.writing import place_of

        known: dict[tuple[int, int], str] = {}
        for phrases in self.phrases.values():
            for phrase in phrases:
                answer = answers.get(place_of(self.said(phrase.first, phrase.end)))
                if answer is not None:
                    known[phrase.first, phrase.end] = answer.strip()
        return known

    def heard(self) -> Heard:
        turns = list(self._turns())
        moves = self._moves()
        places = tuple((turn.word, turn.node) for turn in turns)
        bare = Heard(self.transcript, (), moves, tuple(turns), (), (), (), (), self.me, places)
        return replace(
            bare,
            lines=tuple(_lines(moves)),
            slips=tuple(self._slips(bare)),
            questions=tuple(self._questions(bare)),
            caption_changes=tuple(self._changes()),
            what_if=tuple(self._boards(bare)),
        )

    def said(self, first: int, end: int) -> Said:
        """The words of the tokens from `first` up to `end`."""
        a, b = self.tokens[first].word, self.tokens[end - 1].word + 1
        words = self.transcript.words[a:b]
        text = " ".join(
            w.text + (w.mark if i < len(words) - 1 else "") for i, w in enumerate(words)
        )
        return Said(a, b, text, words[0].start_ms)

    # --- the tree -----------------------------------------------------------------------------

    def _turns(self) -> Iterator[Turn]:
        for event in self.events:
            if event.kind in (Kind.PLAY, Kind.GOTO):
                phrase = event.phrase
                word = self.tokens[phrase.first].word
                last = self.tokens[phrase.end - 1].word + 1
                yield Turn(word, event.node, (word, last), event)

    def _moves(self) -> dict[int, HeardMove]:
        found: dict[int, HeardMove] = {}
        for event in self.events:
            if event.kind is not Kind.PLAY:
                continue
            said = self.said(event.phrase.first, event.phrase.end)
            new = [*event.silent, *event.extra, event.node]
            for node in new:
                unsaid = node in event.silent or (node == event.node and bool(event.extra))
                self._add(found, node, None if unsaid else said, event.mode)
        return found

    def _add(self, found: dict[int, HeardMove], node: int, said: Said | None, mode: Mode) -> None:
        rank = [Mode.MENTIONED, Mode.SUPPOSED, Mode.SHOWN]
        for above in self.tree.line(node)[1:-1]:
            if above not in found:
                self._add(found, above, None, mode)
        if node in found:
            old = found[node]
            if rank.index(mode) > rank.index(Mode(old.kind)):
                found[node] = replace(old, kind=mode.value)
            return
        found[node] = HeardMove(
            node, self.tree.parent(node), self.tree.san(node), self.tree.uci(node), said, mode.value,
            self.tree.board(node).fen(),
        )  # fmt: skip

    # --- slips --------------------------------------------------------------------------------

    def _slips(self, heard: Heard) -> Iterator[HeardSlip]:
        here = 0
        for event in self.events:
            if event.kind is Kind.PLAY:
                yield from self._slip_of_move(heard, event)
            elif event.kind is Kind.ASIDE:
                found = list(self._slip_of_mention(heard, event, here))
                yield from found or self._slip_of_side(heard, event, here)
            elif event.kind is Kind.PLACE and event.true is False and event.phrase.cues.firm:
                yield from self._slip_of_place(heard, event.phrase, here)
            elif event.kind is Kind.PLACE and event.phrase.form is Form.PLACED:
                yield from self._slip_of_owner(heard, event.phrase, here)
            if event.kind in (Kind.PLAY, Kind.GOTO):
                here = event.node
        yield from self._passed_over(heard)

    def _passed_over(self, heard: Heard) -> Iterator[HeardSlip]:
        """Pieces said to stand where they do not, in words that the search made nothing of."""
        taken = {
            token
            for event in self.events
            if event.kind in (Kind.PLAY, Kind.GOTO, Kind.PLACE)
            for token in range(event.phrase.first, event.phrase.end)
        }
        for phrase in self.decoder.phrases:
            cues = phrase.cues
            if (
                phrase.form is not Form.PLACED or not cues.firm or not cues.static or cues.unreal
                or phrase.price or not self._spelt_out(phrase)
                or not taken.isdisjoint(range(phrase.first, phrase.end))
            ):  # fmt: skip
                continue
            here = heard.node_at(self.tokens[phrase.first].word)
            if not any(self._stands(node, phrase) for node in self.tree.line(here)[:-5:-1]):
                yield from self._slip_of_place(heard, phrase, here)

    def _spelt_out(self, phrase: Phrase) -> bool:
        """Whether the square is written as one, or as the name of a letter and a number: "see three"."""
        if phrase.plain and not phrase.spec.targets[0][1]:
            return True
        rank, file = self.lexicon.digit(phrase.end - 1), self.lexicon.file(phrase.end - 2)
        named = rank is not None and rank[1] == 0 and file is not None and file[1] <= 1.6
        return named and phrase.spec.pieces[0][1] < 0.6 and phrase.spec.targets[0][1] < 1.5

    def _stands(self, node: int, phrase: Phrase) -> bool:
        """Whether a piece stands where a phrase has it."""
        piece = self.tree.board(node).piece_at(phrase.spec.targets[0][0])
        side = phrase.cues.piece_side
        return (
            piece is not None
            and piece.symbol().upper() == phrase.spec.pieces[0][0]
            and side in ("", "w" if piece.color else "b")
        )

    def _slip_of_move(self, heard: Heard, event: Event) -> Iterator[HeardSlip]:
        excused = self.lexicon.noisy or not self._spelt_as_square(event.phrase)
        faults = [fault for fault in event.faults if not (fault.misheard and excused)]
        if not faults:
            return
        fault = faults[0]
        if self._loosely(event.phrase, fault):
            return
        san = self.tree.san(event.node)
        board = self.tree.board(self.tree.parent(event.node))
        said = self._slip_words(event.phrase, fault)
        stood = f"{'White' if board.turn else 'Black'} is to move, and {san} fits what is said before and after"
        line = heard.line_to(self.tree.parent(event.node))
        yield HeardSlip(
            said, san, _SLIP_KINDS.get(fault.slot, fault.slot), self._sure(event), stood, line
        )

    def _spelt_as_square(self, phrase: Phrase) -> bool:
        """Whether a square is written in letters, not in words that may stand for another."""
        return phrase.plain and any(
            is_square(self.tokens[k].raw.lower()) for k in range(phrase.first, phrase.end)
        )

    def _loosely(self, phrase: Phrase, fault: Fault) -> bool:
        """Whether the words at fault may belong to something else, so that nothing was said wrong.

        A piece before a comma ("hit by the bishop, take on c6"), "a pawn" read as the a-pawn, a
        word that only sounds like a capture.
        """
        inside = range(phrase.first, phrase.end)
        if fault.slot == "capture":
            return all(self.lexicon.take(k) > 0 for k in inside)
        if fault.slot in ("piece", "from") and any(self.tokens[k].gap >= 0.3 for k in inside[1:]):
            return True
        file = self.tokens[phrase.first]
        article = file.text == "a" and self.tokens[phrase.first + 1].word != file.word
        return fault.slot == "from" and bool(phrase.spec.from_file) and (
            article or not phrase.spec.capture
        )  # fmt: skip

    def _slip_of_mention(self, heard: Heard, event: Event, here: int) -> Iterator[HeardSlip]:
        """A move talked about that nobody can make, where one like it is shown next."""
        phrase = event.phrase
        assert phrase is not None
        named = phrase.form in (Form.FULL, Form.CAPTURE, Form.NOTATION) and phrase.spec.full
        if not named or not phrase.plain or not phrase.spec.pieces or phrase.cues.unreal:
            return
        if self._named_after(phrase, here):
            said, san = self.said(phrase.first, phrase.end), self.tree.san(here)
            stood = f"{san} is played, and no such move can be made"
            yield HeardSlip(said, san, "square", 0.6, stood, heard.line_to(self.tree.parent(here)))
            return
        if self._said_again(heard, phrase, here):
            yield from self._shown_instead(heard, phrase, here, "square")
            return
        for node in self.tree.line(here)[:-5:-1]:
            if self._can_be_made(node, phrase.spec):
                return
            yield from (slip := self._shown_instead(heard, phrase, node))
            if slip:
                return

    def _named_after(self, phrase: Phrase, here: int) -> bool:
        """Whether a move told without its square is named at once, by a square next to its own.

        "The knight goes to the middle. Knight e4" where it went to e5.
        """
        last = next((e for e in self.events[::-1] if e.phrase.end <= phrase.first), None)
        if last is None or last.kind is not Kind.PLAY or last.phrase.spec.targets or not here:
            return False
        said, (letter, _) = phrase.spec.targets[0][0], phrase.spec.pieces[0]
        made = self.tree.board(here).piece_at(went := chess.parse_square(self.tree.uci(here)[2:4]))
        near = chess.square_distance(said, went) == 1 and (
            said // 8 == went // 8 or said % 8 == went % 8
        )
        told = phrase.told > TELLS_A_MOVE and phrase.first - last.phrase.end <= 2
        same = made is not None and made.symbol().upper() == letter
        return told and near and same and not self._can_be_made(here, phrase.spec)

    def _said_again(self, heard: Heard, phrase: Phrase, here: int) -> bool:
        """Whether a check that is none is said again at once as one: "queen h5 check: queen h4 check"."""
        after = next((e for e in self.events if e.phrase.first >= phrase.end), None)
        if not phrase.spec.check or after is None or after.kind is not Kind.PLAY:
            return False
        soon = after.phrase.first - phrase.end <= SAID_AGAIN and after.base == here
        board = self.tree.board(here)
        checks = {m.to_square for m in board.legal_moves if board.gives_check(m)}
        false = not any(square in checks for square, _ in phrase.spec.targets)
        return soon and false and self.tree.board(after.node).is_check()

    def _slip_of_side(self, heard: Heard, event: Event, here: int) -> Iterator[HeardSlip]:
        """A move talked about as one side's that only the other side could make."""
        phrase, cues = event.phrase, event.phrase.cues
        side = cues.side or cues.weak_side
        put = phrase.form is Form.PLACED  # "Black will put the bishop on b2"
        told = (cues.played or put) and not (
            cues.static or cues.negated or cues.unreal or cues.paired
        )
        named = phrase.form in (Form.FULL, Form.SQUARE, Form.PLACED)
        named = named and phrase.spec.full and phrase.plain
        if not side or not told or not named or phrase.spec.free or self._apart(phrase):
            return
        if any(self._could(node, phrase.spec, side) for node in self.tree.line(here)[:-3:-1]):
            return
        other = "b" if side == "w" else "w"
        if not self._could(here, phrase.spec, other):
            return
        meant = "White" if other == "w" else "Black"
        stood = f"only {meant} could play this here"
        said = self._slip_words(phrase, Fault("side"))
        yield HeardSlip(said, meant, "side", 0.6, stood, heard.line_to(here))

    def _apart(self, phrase: Phrase) -> bool:
        """Whether a comma stands between a phrase and the side named before it."""
        for k in range(phrase.first, max(phrase.first - 8, 0), -1):
            if self.tokens[k].gap >= 0.3:
                return True
            if self.lexicon.colour(k - 1):
                return False
        return True

    def _could(self, node: int, spec: Spec, side: str) -> bool:
        """Whether a side could make the move as the words have it, were it its turn."""
        board = self.tree.board(node)
        mine = board.turn == (side == "w")
        turned = board if mine else _other_side(board)
        letters = {letter for letter, _ in spec.pieces} or {"P"}
        squares = {square for square, price in spec.targets if price < 1}
        return turned is None or any(
            move.to_square in squares
            and chess.piece_symbol(turned.piece_type_at(move.from_square) or 1).upper() in letters
            for move in turned.legal_moves
        )

    def _shown_instead(
        self, heard: Heard, phrase: Phrase, node: int, slot: str = "piece"
    ) -> list[HeardSlip]:
        """The move shown from a position that the words miss by one part, as a slip."""
        line = [self.tree.uci(above) for above in self.tree.line(node)[1:]]
        for choice in self.decoder.choices(line, phrase):
            after = self.tree.after(node, choice.move)
            faults = [f for f in choice.faults if f.slot == slot]
            if after in heard.moves and faults and (slot == "square" or choice.price < 9.5):
                san = self.tree.san(after)
                stood = f"no such move can be made here; {san} is shown"
                kind = _SLIP_KINDS.get(faults[0].slot, faults[0].slot)
                said = self.said(phrase.first, phrase.end)
                return [HeardSlip(said, san, kind, 0.7, stood, heard.line_to(node))]
        return []

    def _can_be_made(self, node: int, spec: Spec) -> bool:
        """Whether either side, now or just before, could make a move as the words have it."""
        letters = {letter for letter, _ in spec.pieces}
        squares = {square for square, _ in spec.targets}
        board = self.tree.board(node)
        for turned in (board, _other_side(board)):
            for move in turned.legal_moves if turned else ():
                piece = turned.piece_at(move.from_square) if turned else None
                file = chess.FILE_NAMES[chess.square_file(move.from_square)]
                if (
                    piece is not None and turned is not None
                    and piece.symbol().upper() in letters and move.to_square in squares
                    and (not spec.from_file or file == spec.from_file)
                    and (turned.is_capture(move) or not spec.capture)
                ):  # fmt: skip
                    return True
        return False

    def _slip_words(self, phrase: Phrase, fault: Fault) -> Said:
        if fault.slot != "side":
            return self.said(phrase.first, phrase.end)
        first = phrase.first
        for back in range(1, 9):
            if first - back >= 0 and self.lexicon.colour(first - back):
                return self.said(first - back, phrase.end)
        return self.said(first, phrase.end)

    def _sure(self, event: Event) -> float:
        """How sure a slip is: from what the words would cost if meant as said."""
        best = self.understood.hypotheses[0].price
        other = next(
            (h.price for h in self.understood.hypotheses[1:] if not _has(h, event)), best + 6.0
        )
        return round(1 / (1 + math.exp(-0.9 * (min(other - best, 6.0)) - 0.2)), 2)

    def _slip_of_place(self, heard: Heard, phrase: Phrase, here: int) -> Iterator[HeardSlip]:
        """A piece said to stand where it does not, if it stands near by."""
        spec = phrase.spec
        board = self.tree.board(here)
        side = phrase.cues.piece_side or self._owner(phrase)
        inner = self.tokens[phrase.first : phrase.end]
        if any(token.text in _AIMING for token in inner):
            return  # "the queen eyes g2" does not put her there
        hit = self._hit_by_last(here) if self._text_before(phrase) in _HITTING else None
        near = _near_place(board, spec.pieces[0][0], spec.targets[0][0], side, hit)
        if near is None:
            return
        meant, kind, fact = near
        owned = phrase.first > 0 and self.tokens[phrase.first - 1].text in _OWNERS
        said = self.said(phrase.first - owned, phrase.end)
        yield HeardSlip(said, meant, kind, 0.6, fact, heard.line_to(here))

    def _owner(self, phrase: Phrase) -> str:
        """The side said to have a piece: "Black has doubled pawns on c3"."""
        for k in range(phrase.first, max(phrase.first - 5, 1), -1):
            if self.tokens[k].gap >= 0.3:
                return ""
            if self.lexicon.text(k - 1) in _HAVING:
                colour = self.lexicon.colour(k - 2)
                return colour[0] if colour and self.lexicon.text(k - 2) in _SIDES else ""
        return ""

    def _slip_of_owner(self, heard: Heard, phrase: Phrase, here: int) -> Iterator[HeardSlip]:
        """A piece said to be one side's where it is the other's, here and just before."""
        side = self._owner(phrase)
        cues = phrase.cues
        if not side or cues.intent or cues.negated or cues.unreal or cues.supposed:
            return
        letter, square = phrase.spec.pieces[0][0], phrase.spec.targets[0][0]
        for node in self.tree.line(here)[:-4:-1]:
            piece = self.tree.board(node).piece_at(square)
            same = piece is not None and piece.symbol().upper() == letter
            if same and side == ("w" if piece and piece.color else "b"):
                return
        yield from self._slip_of_place(heard, phrase, here)

    def _text_before(self, phrase: Phrase) -> str:
        k = phrase.first - 1
        while k > 0 and self.tokens[k].text in ("the", "a", "this", "that", "his", "her"):
            k -= 1
        return self.tokens[k].text if k >= 0 else ""

    def _hit_by_last(self, node: int) -> chess.SquareSet | None:
        """The squares that the piece moved last attacks."""
        if not node:
            return None
        return self.tree.board(node).attacks(chess.Move.from_uci(self.tree.uci(node)).to_square)

    # --- questions ----------------------------------------------------------------------------

    def _questions(self, heard: Heard) -> Iterator[Question]:
        asked: set[int] = set()
        for gap, one, other in self._rivals():
            if gap > ASK_BELOW or one.phrase is None or one.phrase.first in asked:
                continue
            asked.add(one.phrase.first)
            said = self.said(one.phrase.first, one.phrase.end)
            line = heard.line_to(self.tree.parent(one.node) if one.kind is Kind.PLAY else one.node)
            choices = (self._reading(one), self._reading(other))
            if choices[0] != choices[1]:
                text = f'"{said.text}": is it {choices[0]}, or {choices[1]}'
                yield Question(said, text, choices, line)

    def _rivals(self) -> Iterator[tuple[float, Event, Event]]:
        best = self.understood.hypotheses[0]
        for other in self.understood.hypotheses[1:]:
            gap = other.price - best.price
            if gap > ASK_BELOW:
                break
            pair = _first_difference(best.event, other.event)
            same = _made_apart(best.event, other.event) == _made_apart(other.event, best.event)
            if pair is not None and not same:
                yield gap, *pair
        for rival in self.understood.rivals:
            pair = _first_difference(rival.kept, rival.event)
            same = _made_apart(rival.kept, rival.event) == _made_apart(rival.event, rival.kept)
            if rival.gap <= ASK_BELOW and pair is not None and not same:
                yield rival.gap, *pair

    def _reading(self, event: Event) -> str:
        if event.kind is not Kind.PLAY:
            return "only talk"
        parent = self.tree.parent(event.node)
        number = self.tree.number(parent)
        dots = "." if self.tree.turn(parent) == "w" else "..."
        return f"{number}{dots}{self.tree.san(event.node)}"

    # --- captions -----------------------------------------------------------------------------

    def _changes(self) -> Iterator[CaptionChange]:
        done: set[int] = set()
        for event in self.events:
            for first, end, now in self._misheard(event):
                said = self.said(first, end)
                if said.first in done or _same_words(said.text, now):
                    continue
                if self._stands_as_written(first, end, event.phrase):
                    continue
                done.update(range(said.first, said.end))
                yield CaptionChange(said, _cased(said.text, now), 0.9)
        for first, end, now in misheard_names(self.tokens):
            said = self.said(first, end)
            if said.first not in done:
                done.update(range(said.first, said.end))
                yield CaptionChange(said, now, 0.9)
        yield from self._plain_errors(done)

    def _stands_as_written(self, first: int, end: int, phrase: Phrase) -> bool:
        """Whether words are too ordinary to be put right on the word of one phrase.

        They may, where the recogniser errs often and the words around tell a move.
        """
        plain = all(self.lexicon.ordinary(k) for k in range(first, end))
        square = all(is_square(self.tokens[k].text) for k in range(first, end))
        if phrase.told < SURELY_NO_MOVE or self._far_fetched(phrase):
            return True
        known = all(self.lexicon.known_word(k) for k in range(first, end))
        if known and phrase.told < TELLS_NO_MOVE:
            return True
        if self.lexicon.noisy:
            return (plain or square) and phrase.told < (TELLS_SURELY if square else TELLS_A_MOVE)
        return plain or square

    def _far_fetched(self, phrase: Phrase) -> bool:
        """Whether words sound little like a square that nothing else in the phrase tells of."""
        targets = phrase.spec.targets
        return phrase.form is Form.SQUARE and bool(targets) and targets[0][1] > 3.0

    def _within_square(self, k: int, target: str) -> int | None:
        """Where the square ends that a token is a part of, plainly named in several; or None."""
        before = self.lexicon.square(k - 1) if k else None
        if before is not None and before.end > k:
            return before.end
        here = self.lexicon.square(k)
        return here.end if here is not None and here.end > k + 1 and here.value == target else None

    def _misheard(self, event: Event) -> Iterator[tuple[int, int, str]]:
        """Stretches of tokens in a phrase that stand for other words, with those words."""
        phrase = event.phrase
        assert phrase is not None
        board_backed = event.kind in (Kind.PLAY, Kind.ECHO, Kind.GOTO, Kind.PLACE)
        if not board_backed or event.true is False:
            return
        target = self._target(event)
        letters = {letter for letter, _ in phrase.spec.pieces} | {phrase.spec.captured}
        k = phrase.first
        while k < phrase.end:
            if (plain := self._within_square(k, target)) is not None:
                k = plain  # "e five": its number alone is not misheard
                continue
            guess = next(
                (
                    g
                    for g in self.lexicon.squares(k)
                    if g.value == target
                    and g.end <= phrase.end
                    and g.price > 0
                    and not self._toward(g.end)
                ),
                None,
            )
            if guess is not None:
                yield k, guess.end, guess.value
                k = guess.end
                continue
            text = self.tokens[k].text
            fault = any(f.misheard and f.slot == "square" for f in event.faults)
            if fault and is_square(text) and target and text != target:
                yield k, k + 1, target
            piece = next(
                ((p, c) for p, c in self.lexicon.pieces(k) if p in letters and c > 0), None
            )
            if piece and text.removesuffix("s") not in PIECES and not text.endswith("'s"):
                yield k, k + 1, _NAMES[piece[0]] + _plural(text)
            elif phrase.spec.capture and 0 < self.lexicon.take(k) < 90 and text not in _TAKE_WORDS:
                yield k, k + 1, "takes"
            elif phrase.spec.castling and 0 < self.lexicon.castle(k) < 90:
                yield k, k + 1, self.lexicon.castling_word(k)
            k += 1

    def _target(self, event: Event) -> str:
        assert event.phrase is not None
        if event.kind is Kind.PLACE:
            return chess.square_name(event.phrase.spec.targets[0][0])
        if event.phrase.form is Form.TRADE or not event.node:
            return ""
        return self.tree.uci(event.node)[2:4]

    def _plain_errors(self, done: set[int]) -> Iterator[CaptionChange]:
        """Words that are no words of a chess talk, wherever they stand."""
        for index, token in enumerate(self.tokens):
            now = _PLAIN.get(token.text)
            if now and token.word not in done and self._of_the_board(index):
                said = self.said(index, index + 1)
                if said.text.lower().strip(".,") == token.text:
                    done.add(token.word)
                    yield CaptionChange(said, _cased(said.text, now), 0.95)

    def _toward(self, k: int) -> bool:
        """Whether a square follows "to" at once: "b to d2" is no "b2"."""
        before, after = self.lexicon.text(k - 1), self.lexicon.text(k)
        return before == "to" and is_square(after) and self.tokens[k].gap < 0.3

    def _of_the_board(self, k: int) -> bool:
        """Whether a word for "knight" or "pawn" is no night, by what follows, or it may be none."""
        if self.lexicon.text(k - 1) in _BEFORE_NIGHT and not is_square(self.lexicon.text(k + 1)):
            return False
        if self.tokens[k].text not in _NIGHTS or self._spelt_ill:
            return True
        before = [self.lexicon.text(n) for n in (k - 1, k - 2)]
        pawn = self.tokens[k].text in _PONDS and (before[0] in _OWNERS or before[0] in set(FILES))
        if pawn or (before[0] in _OWNERS and before[1] in _DONE_TO_PIECES):
            return True
        after = [self.lexicon.text(n) for n in range(k + 1, k + 3)]
        if after[0] == "and":
            return after[1].removesuffix("s") in PIECES  # "one night and nobody came"
        if self.tokens[k].text.endswith("s") and (is_square(after[0]) or after[0] in PIECES):
            return False  # "knight takes e4", run together
        return after[0] in _OF_PIECES or any(is_square(text) for text in after)

    @cached_property
    def _spelt_ill(self) -> bool:
        """Whether the recogniser writes another word for "knight" or "pawn" more often than not."""
        texts = [token.text for token in self.tokens]
        right = sum(text in _SPELT for text in texts)
        return self.lexicon.noisy and sum(text in _PLAIN for text in texts) > max(3, right)

    # --- what-if boards -----------------------------------------------------------------------

    def _boards(self, heard: Heard) -> Iterator[WhatIf]:
        for found, _ in imagined_boards(self.lexicon):
            said = self.said(found.first, found.end)
            node = heard.node_at(said.first)
            last = self._last_square(found.first)
            result = edited(self.tree.board(node), found.edits, last)
            if result is not None:
                edits, board = result
                yield WhatIf(said, edits, board.fen(), heard.line_to(node))

    def _last_square(self, before: int) -> int | None:
        for k in range(before - 1, max(before - 40, -1), -1):
            square = self.lexicon.square(k)
            if square is not None:
                return chess.parse_square(square.value)
        return None


_HITTING = frozenset(
    "hits hitting attacks attacking pins pinning eyes eyeing on at against threatens".split()
)
_OWNERS = frozenset("my our his her your their white's black's".split())
_AIMING = frozenset(
    "hits attacks pins eyes threatens at against towards targets watches covers controls guards"
    " protects defends aims points bears looks sees".split()
)
_HAVING = frozenset("has had".split())
_SIDES = frozenset("white black".split())
_SLIP_KINDS = {"from": "square", "captured": "piece", "capture": "piece"}
_NAMES = {"K": "king", "Q": "queen", "R": "rook", "B": "bishop", "N": "knight", "P": "pawn"}
_PLAIN = {"night": "knight", "nights": "knights", "nite": "knight", "pond": "pawn", "ponds": "pawns",
          "porn": "pawn", "prawn": "pawn"}  # fmt: skip
_SPELT = frozenset("knight knights pawn pawns".split())
_NIGHTS = frozenset("night nights prawn pond ponds".split())
_BEFORE_NIGHT = frozenset("good last every all by at late saturday friday club".split())
_PONDS = frozenset("prawn pond ponds".split())
_OWNERS = frozenset(
    "the a his her its their my your our this that extra passed doubled isolated central".split()
)
_DONE_TO_PIECES = frozenset(
    "pin pins pinning pinned attack attacks attacking kick kicks kicking hit hits hitting chase chases"
    " chasing take takes taking develop develops developing defend defends defending move moves"
    " moving trade trades trading win wins winning lose loses losing".split()
)
_OF_PIECES = frozenset(
    "on takes goes to moves jumps hops comes drops retreats stands sits is from attacks pair".split()
)
_TAKE_WORDS = frozenset(
    "wins win picks accepts won regains regained recovers recovered grabs".split()
)


def _has(hypothesis: Hypothesis, event: Event) -> bool:
    return any(e is event or (e.phrase is event.phrase and e.node == event.node and e.kind is event.kind)
               for e in events_of(hypothesis))  # fmt: skip


def _made_apart(one: Event | None, other: Event | None) -> set[int]:
    """The boards reached by moves on one way and not on the other's common past."""
    past = {id(e) for e in chain(other)}
    own = itertools.takewhile(lambda e: id(e) not in past, chain(one))
    return {n for e in own if e.kind is Kind.PLAY for n in (*e.silent, *e.extra, e.node)}


def _first_difference(one: Event | None, other: Event | None) -> tuple[Event, Event] | None:
    """The first decision in which two ways to understand a talk part."""
    a = {id(e) for e in chain(one)}
    theirs = [e for e in chain(other) if id(e) not in a][::-1]
    b = {id(e) for e in chain(other)}
    ours = [e for e in chain(one) if id(e) not in b][::-1]
    for mine in ours:
        for their in theirs:
            if (
                (
                    mine.phrase is not None
                    and their.phrase is not None
                    and mine.phrase.first == their.phrase.first
                )
                and (mine.kind, mine.node) != (their.kind, their.node)
                and Kind.PLAY
                in (
                    mine.kind,
                    their.kind,
                )
            ):
                return mine, their
    return None


def _other_side(board: chess.Board) -> chess.Board | None:
    """The board with the other side to move; None where that would leave a king in check."""
    if board.is_check():
        return None
    other = board.copy(stack=False)
    other.turn = not board.turn
    return other


def _plural(text: str) -> str:
    """ "s" where a misheard piece word is written as several: "ponds"."""
    return "s" if _PLAIN.get(text, "").endswith("s") else ""


def _same_words(was: str, now: str) -> bool:
    return was.lower().strip(".,!?") == now.lower()


def _cased(was: str, now: str) -> str:
    """The new words with a capital where the old had one."""
    return now[0].upper() + now[1:] if was[:1].isupper() else now


def _near_place(
    board: chess.Board, letter: str, square: int, side: str, hit: chess.SquareSet | None = None
) -> tuple[str, str, str] | None:
    """What was likely meant by a piece said to stand where it does not: move, kind of slip, fact."""
    there = board.piece_at(square)
    if there is not None and there.symbol().upper() == letter and side:
        owner = "White" if there.color else "Black"
        if owner[0].lower() != side:
            return (
                owner,
                "side",
                f"the {_NAMES[letter]} on {chess.square_name(square)} is {owner}'s",
            )
    if there is not None and there.symbol().upper() != letter:
        name = _NAMES[there.symbol().upper()]
        meant = ("" if name == "pawn" else there.symbol().upper()) + chess.square_name(square)
        return meant, "piece", f"on {chess.square_name(square)} stands a {name}"
    same: list[int] = []
    across: list[int] = []
    for other, piece in board.piece_map().items():
        if piece.symbol().upper() != letter or (
            side and (piece.color == chess.WHITE) != (side == "w")
        ):
            continue
        files = abs(chess.square_file(other) - chess.square_file(square))
        ranks = abs(chess.square_rank(other) - chess.square_rank(square))
        if files + ranks == 1:
            same.append(other)
        elif other in _mirrored(square):
            across.append(other)
    if not same and len(across) == 1:
        same = across
    if hit is not None and any(other in hit for other in same):
        same = [other for other in same if other in hit]
    if len(same) > 1:  # a rank is misspoken more readily than a file
        same = [s for s in same if chess.square_file(s) == chess.square_file(square)] or same
    if len(same) != 1:
        return None
    place = chess.square_name(same[0])
    meant = ("" if letter == "P" else letter) + place
    return (
        meant,
        "square",
        f"{chess.square_name(square)} is empty, the {_NAMES[letter]} stands on {place}",
    )


def _mirrored(square: int) -> tuple[int, int]:
    """The squares that stand for this one from the other side, and on the other wing.

    "The bishop on c8" for the one on c1, "the rook on a8" for the one on h8.
    """
    return chess.square_mirror(square), square ^ 7


def _lines(moves: dict[int, HeardMove]) -> Iterator[HeardLine]:
    """The lines of a tree: from the start to each end, in the order they were begun.

    A line whose kind changes on its way is also given as far as the stronger kind goes.
    """
    children: dict[int, list[int]] = {}
    for node, move in moves.items():
        children.setdefault(move.parent, []).append(node)
    strength = {"mentioned": 0, "supposed": 1, "shown": 2}

    def walk(node: int, so_far: tuple[HeardMove, ...]) -> Iterator[HeardLine]:
        nxt = children.get(node, [])
        if so_far:
            kind = so_far[-1].kind
            stronger = [c for c in nxt if strength[moves[c].kind] >= strength[kind]]
            if not stronger:
                yield HeardLine(kind, so_far)
        for child in nxt:
            yield from walk(child, (*so_far, moves[child]))

    yield from walk(0, ())


def line_text(sans: Sequence[str], start: int = 0) -> str:
    """Moves with their numbers: "1.e4 e5 2.Nf3".

    >>> line_text(["e4", "e5", "Nf3"]), line_text(["c5", "d4"], 1)
    ('1.e4 e5 2.Nf3', '1...c5 2.d4')
    """
    out: list[str] = []
    for offset, san in enumerate(sans):
        ply = start + offset
        number = f"{ply // 2 + 1}." if ply % 2 == 0 else (f"{ply // 2 + 1}..." if not out else "")
        out.append(number + san)
    return " ".join(out)


def tokens_of(transcript: Transcript) -> Iterable[Token]:
    """The tokens of a transcript; for tests."""
    return tokenise(spoken(transcript))


__all__ = [
    "CaptionChange",
    "Heard",
    "HeardLine",
    "HeardMove",
    "HeardSlip",
    "Question",
    "Said",
    "Turn",
    "WhatIf",
    "hear",
    "line_text",
]
