"""Slips of the tongue in a talk that is understood: what was said, and what stood on the board."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import cached_property

import chess

from linewright.moves import side_name
from linewright.talk.afterthoughts import confusable
from linewright.talk.aptness import NameSlips
from linewright.talk.decoder import (
    Choice,
    Decoder,
    Event,
    Fault,
    Kind,
    Tree,
    Understood,
    events_of,
)
from linewright.talk.record import UNWEIGHED, Heard, HeardSlip, Said
from linewright.talk.repairs import as_put_right
from linewright.talk.said import Form, Phrase, Spec
from linewright.talk.slips_of_aim import AimSlips
from linewright.talk.slips_of_file import FileSlips
from linewright.talk.slips_of_place import PlaceSlips
from linewright.talk.vocabulary import (
    FILES,
    PIECES,
    Lexicon,
    Token,
    begins_question,
    is_square,
    words,
)

TELLS_A_MOVE = 1.0
"""From these log odds on, the words around are taken to tell a move."""

TELLS_SURELY = 2.0
"""From these on, nothing else is likely."""

TELLS_NO_MOVE = -1.0
"""Below these, they are taken to tell none."""

TELLS_PERHAPS = 0.65
"""So much is asked of words that name a piece and its square."""

TELLS_BY_HALF = 0.5
"""So much of a pawn's square, which is named for much else."""

TELLS_OF_A_PIECE = -2.5
"""So little of a piece with a square, where that piece moves next to one readily taken for it."""

UNSAID_WITHIN = 16
"""A square tells of a move not said again so few words before the next."""

SAID_AGAIN = 6
"""What is said again at once follows within so many words."""

UNSTOPPED = 0.04
"""A talk in which fewer words than these (as a share) come after a stop or a pause has none."""

DOUBTFUL = 1.5
"""A move cheaper than this fits too well to be called a slip."""

NO_PRICE = 90.0
"""Of words that name another square altogether: any others are the likelier to tell the move."""


@dataclass(frozen=True, slots=True)
class Missaid:
    """A move that words tell which the search took for talk, perhaps but for one part.

    `slot` names that part; it is empty where the words fit.
    """

    node: int
    phrase: Phrase
    slot: str


@dataclass
class SlipFinder:
    """Finds the slips of one talk.

    `doubted` are the phrases (tokens) that later words made doubtful; `said` gives the words of
    tokens.
    """

    decoder: Decoder
    understood: Understood
    tokens: Sequence[Token]
    lexicon: Lexicon
    doubted: frozenset[tuple[int, int]]
    said: Callable[[int, int], Said]
    tree: Tree = field(init=False)
    events: list[Event] = field(init=False)
    places: PlaceSlips = field(init=False)
    names: NameSlips = field(init=False)
    missaid: dict[int, Missaid] = field(init=False)
    """The moves that words before them, taken for talk, tell or miss by one part, by their number."""

    def __post_init__(self) -> None:
        self.tree = self.understood.tree
        self.events = events_of(self.understood.hypotheses[0])
        self.places = PlaceSlips(
            self.tree, self.events, self.decoder.phrases, self.tokens, self.lexicon, self.said
        )
        self.missaid = {slip.node: slip for slip in self._missaid()}
        told = frozenset(
            token
            for slip in self.missaid.values()
            for token in range(slip.phrase.first, slip.phrase.end)
        )
        self.names = NameSlips(self.tree, self.events, self.lexicon, told, self.said)

    def _missaid(self) -> Iterator[Missaid]:
        """Moves that words before them, taken for talk, tell or miss by one part.

        "And here bishop e5 is possible. Rook takes b7": the move between was said wrong, not left
        out. "Bishop b4. The bishop gets out of the way": the second tells what the first missed.
        """
        near: list[Event] = []
        here = 0
        held: Event | None = None
        for event in self.events:
            if event.kind is Kind.ASIDE:
                near.append(event)
                continue
            if event.kind not in (Kind.PLAY, Kind.GOTO):
                continue
            if held is not None:
                yield from self._missaid_before(held, near, here)
                near, here, held = [], held.node, None
            if event.kind is Kind.PLAY and _hardly_said(event) and not event.silent:
                held = event  # words behind it may be what tells the move
                continue
            if event.kind is Kind.PLAY:
                yield from self._missaid_before(event, near, here)
            near, here = [], event.node
        if held is not None:
            yield from self._missaid_before(held, near, here)

    def _missaid_before(
        self, event: Event, asides: Sequence[Event], here: int
    ) -> Iterator[Missaid]:
        node = event.silent[0] if event.silent else event.node
        if self.tree.parent(node) != here:
            return
        found = []
        for aside in asides:
            slot, price = self._missed(aside.phrase, event, here, node)
            if slot is not None:
                found.append((price, Missaid(node, aside.phrase, slot)))
        if found:
            yield min(found, key=lambda item: item[0])[1]

    def _missed(
        self, phrase: Phrase, event: Event, here: int, node: int
    ) -> tuple[str | None, float]:
        """The part in which words before a move miss it (nothing if they fit), and the price.

        None where they do not tell of it.
        """
        if self._should_have_been(phrase):
            return None, 0.0
        gap = event.phrase.first - phrase.end
        choice = self._as_made(phrase, here, node)
        if choice is not None and not choice.faults:
            told = phrase.plain and bool(phrase.spec.pieces) and phrase.told > TELLS_A_MOVE
            return ("" if told and event.silent else None), choice.price
        if not self._tells_a_move(phrase, gap, event):
            return ("square" if self._said_for(phrase, event, here, node) else None), NO_PRICE
        if choice is not None and len(choice.faults) == 1 and not choice.faults[0].misheard:
            slot = choice.faults[0].slot
            if self._loosely(phrase, choice.faults[0], pawn=self.tree.san(node)[0].islower()):
                return None, 0.0
            again = slot == "side" and gap <= 1 and self._takes_there(phrase, event)
            if again or (slot not in ("side", "capture") and self._open_to(event)):
                return slot, choice.price
        if self._of_that_piece(phrase, event, node) or self._said_for(phrase, event, here, node):
            return "square", NO_PRICE
        return None, 0.0

    def _should_have_been(self, phrase: Phrase) -> bool:
        """Whether words tell what should have been played, which is never what was."""
        before = [self.lexicon.text(k) for k in range(max(0, phrase.first - 4), phrase.first)]
        return any(
            first in _SHOULD and then in _HAVE for first, then in itertools.pairwise(before)
        ) or any(word in _SHOULD_HAVE for word in before)

    def _said_for(self, phrase: Phrase, event: Event, here: int, node: int) -> bool:
        """Whether words name the piece that moves next, on a square readily said for the right one.

        "The bishop retires to e2, from where it looks at h7", and it is on d3: the move is made
        without a word, or told by where the piece stands. Words that tell of a move so surely as to
        be made are none of talk, whatever the move after them says.
        """
        cues, gap = phrase.cues, event.phrase.first - phrase.end
        doubtful = cues.unreal or cues.supposed or cues.static or not phrase.plain
        if doubtful or not phrase.spec.targets or not self._names_mover(phrase, node):
            return False
        square, went = phrase.spec.targets[0][0], chess.parse_square(self.tree.uci(node)[2:4])
        other = "b" if self.tree.turn(here) == "w" else "w"
        if not confusable(square, went) or square == went or self._could(here, phrase.spec, other):
            return False
        if not event.silent and event.phrase.form not in _LEAVES_OPEN:
            return phrase.told > TELLS_SURELY and gap <= UNSAID_WITHIN
        if self.tree.san(node)[0].islower():
            vague = bool(event.silent) or event.phrase.form is not Form.SQUARE
            return vague and phrase.told > TELLS_BY_HALF and gap <= UNSAID_WITHIN
        return phrase.told > TELLS_OF_A_PIECE

    def _names_mover(self, phrase: Phrase, node: int) -> bool:
        """Whether the piece that moves is the one of a phrase, which says not where it came from."""
        inside = {self.tokens[k].text for k in range(phrase.first, phrase.end)}
        letter = phrase.spec.pieces[0][0] if phrase.spec.pieces else "P"
        alone = not phrase.spec.pieces and phrase.form is not Form.SQUARE
        if "from" in inside or alone or self.lexicon.text(phrase.end) == "not":
            return False
        origin = chess.Move.from_uci(self.tree.uci(node)).from_square
        piece = self.tree.board(self.tree.parent(node)).piece_at(origin)
        return piece is not None and piece.symbol().upper() == letter

    def _of_that_piece(self, phrase: Phrase, event: Event, node: int) -> bool:
        """Whether a move plainly told is one of the piece that moves, to quite another square."""
        plainly = phrase.told > TELLS_A_MOVE and bool(phrase.spec.pieces)
        inside = {self.tokens[k].text for k in range(phrase.first, phrase.end)}
        denied = self.lexicon.text(phrase.end) == "not" or "from" in inside
        placed = event.phrase.form is Form.PLACED
        if not plainly or denied or not (placed or self._open_to(event)):
            return False
        origin = chess.Move.from_uci(self.tree.uci(node)).from_square
        piece = self.tree.board(self.tree.parent(node)).piece_at(origin)
        return piece is not None and piece.symbol().upper() == phrase.spec.pieces[0][0]

    def _tells_a_move(self, phrase: Phrase, gap: int, event: Event) -> bool:
        """Whether words before a move are told as one, near enough to be what was made."""
        if not phrase.plain or phrase.cues.unreal or not phrase.spec.full:
            return False
        if not _hardly_said(event):
            within = UNSAID_WITHIN if phrase.told > TELLS_SURELY else SAID_AGAIN
            return gap <= within and phrase.told > TELLS_A_MOVE
        if phrase.spec.pieces:
            return phrase.told > TELLS_PERHAPS
        of_it = (
            self.lexicon.text(phrase.end) in _IS or self.lexicon.text(phrase.first - 1) == "making"
        )
        bare = phrase.form is Form.SQUARE and not of_it
        return bare and phrase.told > TELLS_NO_MOVE and gap <= UNSAID_WITHIN

    def _open_to(self, event: Event) -> bool:
        """Whether a move leaves open what the words before it said: it was not said, or vaguely."""
        return bool(event.silent) or event.phrase.form in (Form.VAGUE, Form.CLAUSE)

    def _takes_there(self, phrase: Phrase, event: Event) -> bool:
        """Whether a capture is told again at once: "White takes c3, bishop takes c3"."""
        square = chess.parse_square(self.tree.uci(event.node)[2:4])
        named = any(target == square for target, _ in phrase.spec.targets)
        return named and phrase.form is Form.CAPTURE and not event.silent

    def _as_made(self, phrase: Phrase, here: int, node: int) -> Choice | None:
        """How words fit the move from one board to the next."""
        line = [self.tree.uci(above) for above in self.tree.line(here)[1:]]
        choices = self.decoder.choices(line, phrase)
        return next((c for c in choices if self.tree.after(here, c.move) == node), None)

    def slips(self, heard: Heard) -> Iterator[HeardSlip]:
        """The slips of the talk; `heard` has its moves and where the board stands at each word."""
        told: set[int] = set()
        found = itertools.chain(
            self._of_events(heard),
            self.places.passed_over(heard),
            self.places.owned_by_other(heard),
            FileSlips(self.tree, self.events, self.tokens, self.said).slips(heard),
            AimSlips(self.tree, self.events, self.tokens, self.lexicon, self.said).slips(heard),
        )
        for slip in as_put_right(found, self.tokens, self.lexicon):
            place = range(slip.said.first, slip.said.end)
            if told.isdisjoint(place):
                told.update(place)
                yield slip

    def named(self, heard: Heard) -> Iterator[HeardSlip]:
        """The slips in what is only named, each as sure as it is (`aptness`)."""
        yield from as_put_right(self.names.slips(heard), self.tokens, self.lexicon)

    def _of_events(self, heard: Heard) -> Iterator[HeardSlip]:
        here = 0
        for slip in self.missaid.values():
            if slip.slot:
                yield self._slip_of_missaid(heard, slip)
        told = {id(slip.phrase) for slip in self.missaid.values()}
        for event in self.events:
            if event.kind is Kind.PLAY:
                found = list(self._slip_of_move(heard, event))
                found = found or list(self._slip_of_the_rest(heard, event))
                found = found or list(self._slip_of_file(heard, event))
                yield from found or self._slip_of_person(heard, event)
            elif event.kind is Kind.ASIDE and id(event.phrase) not in told:
                found = list(self._slip_of_mention(heard, event, here))
                yield from found or self._slip_of_side(heard, event, here)
            elif event.kind is Kind.PLACE:
                yield from self.places.of_event(heard, event, here)
            if event.kind in (Kind.PLAY, Kind.GOTO):
                here = event.node

    def _slip_of_missaid(self, heard: Heard, slip: Missaid) -> HeardSlip:
        parent = self.tree.parent(slip.node)
        san = self.tree.san(slip.node)
        said = self._slip_words(slip.phrase, Fault(slip.slot))
        stood = f"{self._mover(parent)} is to move, and {san} is what the talk goes on from"
        kind = _SLIP_KINDS.get(slip.slot, slip.slot)
        return HeardSlip(said, san, kind, UNWEIGHED, stood, heard.line_to(parent))

    def _mover(self, node: int) -> str:
        return side_name(self.tree.turn(node) == "w")

    def _slip_of_move(self, heard: Heard, event: Event) -> Iterator[HeardSlip]:
        doubted = (event.phrase.first, event.phrase.end) in self.doubted
        excused = not self._spelt_as_square(event.phrase) or (self.lexicon.noisy and not doubted)
        excused = excused and not self._beside(event)
        faults = [fault for fault in event.faults if not (fault.misheard and excused)]
        if not faults:
            return
        fault = faults[0]
        san = self.tree.san(event.node)
        if self._loosely(event.phrase, fault, pawn=san[0].islower()):
            return
        parent = self.tree.parent(event.node)
        said = self._slip_words(event.phrase, fault)
        stood = f"{self._mover(parent)} is to move, and {san} fits what is said before and after"
        line = heard.line_to(parent)
        yield HeardSlip(said, san, _SLIP_KINDS.get(fault.slot, fault.slot), UNWEIGHED, stood, line)

    def _beside(self, event: Event) -> bool:
        """Whether a piece is plainly told to go to the square beside the one it went to.

        A recogniser takes any letter that rhymes for another, a teacher that of the next file.
        """
        phrase = event.phrase
        told = phrase.plain and bool(phrase.spec.pieces) and phrase.told > TELLS_A_MOVE
        if not told or not phrase.spec.targets:
            return False
        square, went = phrase.spec.targets[0][0], chess.parse_square(self.tree.uci(event.node)[2:4])
        return square // 8 == went // 8 and abs(square - went) == 1

    def _slip_of_file(self, heard: Heard, event: Event) -> Iterator[HeardSlip]:
        """A man told by a file it does not come from: "the a-rook to b8" where the f-rook goes."""
        phrase, k = event.phrase, event.phrase.first
        file = self.lexicon.text(k - 1)
        owned = file != "a" or self.lexicon.text(k - 2) in _NAMING
        named = file in _FILES and owned and self.lexicon.text(k) in PIECES
        if not named or phrase.spec.from_file or self.tokens[k].gap >= 0.3:
            return
        letter, uci = self.lexicon.man(k), self.tree.uci(event.node)
        takes = letter == "P" and phrase.form is Form.CAPTURE
        if uci[0] == file or not (takes or letter in ("R", "N")):
            return
        parent, san = self.tree.parent(event.node), self.tree.san(event.node)
        said = self.said(k - 1, phrase.end)
        stood = f"{san} fits what is said, and comes from the {uci[0]}-file"
        yield HeardSlip(said, san, "file", UNWEIGHED, stood, heard.line_to(parent))

    def _slip_of_the_rest(self, heard: Heard, event: Event) -> Iterator[HeardSlip]:
        """A move whose words are part of more that fits but for the piece.

        "Takes back with the pawn" where the queen took, "the rook takes back" where the bishop did.
        """
        phrase = event.phrase
        if phrase.form is not Form.CAPTURE or phrase.spec.says_mover:
            return
        parent = self.tree.parent(event.node)
        for more in self.decoder.phrases:
            spec, plain = more.spec, more.form is Form.CAPTURE and more.plain
            if not plain or not spec.pieces or spec.from_file or not self._says_more(more, phrase):
                continue
            choice = self._as_made(more, parent, event.node)
            if choice is None or [fault.slot for fault in choice.faults] != ["piece"]:
                continue
            san = self.tree.san(event.node)
            said = self.said(more.first, more.end)
            stood = f"{san} fits what is said before and after"
            yield HeardSlip(said, san, "piece", UNWEIGHED, stood, heard.line_to(parent))
            return

    def _slip_of_person(self, heard: Heard, event: Event) -> Iterator[HeardSlip]:
        """A move told as ours that is theirs: "our queen comes to b3" where White's does."""
        phrase, me = event.phrase, heard.me
        k = phrase.first - 1
        parent = self.tree.parent(event.node)
        mover = self.tree.turn(parent)
        ours = self.lexicon.text(k) in _OURS and self.tokens[phrase.first].gap < 0.3
        alone = not event.extra and not event.silent and event.price >= DOUBTFUL
        doubtful = not alone or not phrase.plain or phrase.form is Form.CASTLING
        if not me or me == mover or not ours or doubtful or not phrase.spec.full:
            return
        if self.lexicon.text(k - 1) in _AS_THEY:
            return
        word = self.lexicon.text(k)
        stood = f"{self._mover(parent)} is to move, and the speaker says “{word}” of the other side"
        said = self.said(k, phrase.end)
        yield HeardSlip(
            said, self.tree.san(event.node), "side", UNWEIGHED, stood, heard.line_to(parent)
        )

    def _says_more(self, more: Phrase, phrase: Phrase) -> bool:
        """Whether a phrase goes on from another, or has in front the piece that takes back."""
        if more.end < phrase.end or more.first > phrase.first:
            return False
        if any(self.tokens[k].gap >= 0.3 for k in range(more.first + 1, more.end)):
            return False
        if more.first == phrase.first:
            return more.end > phrase.end
        before = self.lexicon.text(more.first - 1)
        begins = self.tokens[more.first].gap >= 0.3 or before in ("and", "then")
        return begins or (more.spec.retake and before in ("the", "a"))

    def _spelt_as_square(self, phrase: Phrase) -> bool:
        """Whether a square is written in letters, not in words that may stand for another."""
        return phrase.plain and any(
            is_square(self.tokens[k].raw.lower()) for k in range(phrase.first, phrase.end)
        )

    def _loosely(self, phrase: Phrase, fault: Fault, pawn: bool) -> bool:
        """Whether the words at fault may belong to something else, so that nothing was said wrong.

        A piece before a comma ("hit by the bishop, take on c6"), "a pawn" read as the a-pawn, a
        word that only sounds like a capture. `pawn` says whether a pawn moved.
        """
        inside = range(phrase.first, phrase.end)
        if fault.slot == "side":
            return self._named_apart(phrase)
        bare = not phrase.verb or fault.slot == "capture"
        if self._unstopped and pawn and bare and fault.slot in ("piece", "capture"):
            return True  # "to catch the bishop a6 makes a hole"
        if fault.slot == "capture":
            return all(self.lexicon.take(k) > 0 for k in inside)
        if fault.slot in ("piece", "from") and any(self.tokens[k].gap >= 0.3 for k in inside[1:]):
            return True
        file = self.tokens[phrase.first]
        article = file.text == "a" and self.tokens[phrase.first + 1].word != file.word
        of_file = file.text == phrase.spec.from_file and not _of_pawn(phrase)
        return fault.slot == "from" and bool(phrase.spec.from_file) and (
            article or not (phrase.spec.capture or (of_file and phrase.told > TELLS_SURELY))
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
            yield HeardSlip(
                said, san, "square", UNWEIGHED, stood, heard.line_to(self.tree.parent(here))
            )
            return
        if self._said_again(phrase, here):
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

    def _said_again(self, phrase: Phrase, here: int) -> bool:
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
        if self._should_have_been(phrase):
            return
        before = self.tokens[max(phrase.first - 8, 0) : phrase.first + 1]
        if begins_question(token.text for token in before):
            return
        if any(self._could(node, phrase.spec, side) for node in self.tree.line(here)[:-3:-1]):
            return
        other = "b" if side == "w" else "w"
        if not self._could(here, phrase.spec, other):
            return
        meant = side_name(other == "w")
        stood = f"only {meant} could play this here"
        said = self._slip_words(phrase, Fault("side"))
        yield HeardSlip(said, meant, "side", UNWEIGHED, stood, heard.line_to(here))

    @cached_property
    def _unstopped(self) -> bool:
        """Whether the talk is written without stops, so that a phrase may begin in any other."""
        return sum(token.gap >= 0.3 for token in self.tokens) < UNSTOPPED * len(self.tokens)

    def _side_before(self, phrase: Phrase) -> int | None:
        """The token that names a side, at most eight before a phrase."""
        near = range(phrase.first - 1, max(phrase.first - 9, -1), -1)
        return next((k for k in near if self.lexicon.colour(k)), None)

    def _named_apart(self, phrase: Phrase) -> bool:
        """Whether a stop follows the side before a phrase: "copies White, bishop c5"."""
        side = self._side_before(phrase)
        return side is not None and self.tokens[side + 1].gap >= 0.3

    def _apart(self, phrase: Phrase) -> bool:
        """Whether no side is named before a phrase, or a stop stands between."""
        side = self._side_before(phrase)
        return side is None or any(
            self.tokens[k].gap >= 0.3 for k in range(side + 1, phrase.first + 1)
        )

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
        if self._should_have_been(phrase):
            return []
        line = [self.tree.uci(above) for above in self.tree.line(node)[1:]]
        for choice in self.decoder.choices(line, phrase):
            after = self.tree.after(node, choice.move)
            faults = [f for f in choice.faults if f.slot == slot]
            if after in heard.moves and faults and (slot == "square" or choice.price < 9.5):
                san = self.tree.san(after)
                if self._loosely(phrase, faults[0], pawn=san[0].islower()):
                    continue
                stood = f"no such move can be made here; {san} is shown"
                kind = _SLIP_KINDS.get(faults[0].slot, faults[0].slot)
                said = self.said(phrase.first, phrase.end)
                return [HeardSlip(said, san, kind, UNWEIGHED, stood, heard.line_to(node))]
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
        side = self._side_before(phrase) if fault.slot == "side" else None
        return self.said(phrase.first if side is None else side, phrase.end)


_FILES = frozenset(FILES)
_NAMING = words("the his her our my your their")


def _hardly_said(event: Event) -> bool:
    """Whether a move was not said, or by a clause that is likelier to be mere talk."""
    return bool(event.silent) or (event.phrase.form is Form.CLAUSE and event.phrase.told < 0)


_LEAVES_OPEN = (Form.VAGUE, Form.CLAUSE, Form.PLACED, Form.SQUARE)
_IS = words("is isn't was are")
_SHOULD = words("should could might would ought")
_HAVE = words("have of to")
_SHOULD_HAVE = words("should've could've might've would've")
_OURS = words("our my")
_AS_THEY = words("do did does so as than")
_SLIP_KINDS = {"from": "square", "captured": "piece", "capture": "piece"}


def _of_pawn(phrase: Phrase) -> bool:
    return not phrase.spec.pieces or phrase.spec.pieces[0][0] == "P"


def _other_side(board: chess.Board) -> chess.Board | None:
    """The board with the other side to move; None where that would leave a king in check."""
    if board.is_check():
        return None
    other = board.copy(stack=False)
    other.turn = not board.turn
    return other
