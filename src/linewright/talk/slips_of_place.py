"""Slips of where pieces stand and whose they are, in a talk that is understood.

"The knight on c6" that stands on d7, "White's two knights on b6 and b4" that are Black's.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

import chess

from linewright.moves import PIECE_NAMES, side_name
from linewright.talk.decoder import Event, Kind, Tree
from linewright.talk.record import UNWEIGHED, Heard, HeardSlip, Said
from linewright.talk.said import Form, Phrase
from linewright.talk.vocabulary import OWNED, Lexicon, Token, words

LATELY = 6
"""A piece that moved within so many plies is the likelier one to be misplaced."""

SIDE_WITHIN = 6
"""The side of a piece is named at most so many words before it."""

OWNED_WITHIN = 16
"""The squares of what a side owns are named within so many words."""


@dataclass(frozen=True, slots=True)
class PlaceSlips:
    """Finds the slips of place of one talk.

    `phrases` are all that the talk's words may say, `events` what they were taken for; `said` gives
    the words of tokens.
    """

    tree: Tree
    events: Sequence[Event]
    phrases: Sequence[Phrase]
    tokens: Sequence[Token]
    lexicon: Lexicon
    said: Callable[[int, int], Said]

    def of_event(self, heard: Heard, event: Event, here: int) -> Iterator[HeardSlip]:
        """The slip in words that tell where a piece stands."""
        phrase = event.phrase
        if event.true is False and (phrase.cues.firm or self._of_one(phrase)):
            yield from self._slip_of_place(heard, phrase, here)
        elif phrase.form is Form.PLACED:
            found = list(self._slip_of_owner(heard, phrase, here))
            yield from found or self._slip_of_ours(heard, phrase, here)

    def passed_over(self, heard: Heard) -> Iterator[HeardSlip]:
        """Pieces said to stand where they do not, in words that the search made nothing of."""
        taken = {
            token
            for event in self.events
            if event.kind in (Kind.PLAY, Kind.GOTO, Kind.PLACE)
            for token in range(event.phrase.first, event.phrase.end)
        }
        for phrase in self.phrases:
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

    def owned_by_other(self, heard: Heard) -> Iterator[HeardSlip]:
        """Pieces called one side's that are the other's: "White's two knights on b6 and b4"."""
        for k, token in enumerate(self.tokens):
            colour = self.lexicon.colour(k)
            if not colour or token.text not in _SIDES:
                continue
            owned = self._owned(k)
            if owned is None:
                continue
            letter, squares, end = owned
            here = heard.node_at(token.word)
            boards = [self.tree.board(node) for node in self.tree.line(here)[:-5:-1]]
            own, theirs = (
                chess.Piece.from_symbol(letter if white else letter.lower())
                for white in (colour[0] == "w", colour[0] == "b")
            )
            if any(board.piece_at(square) == own for board in boards for square in squares):
                continue
            if all(boards[0].piece_at(square) == theirs for square in squares):
                meant = side_name(theirs.color)
                names = " and ".join(chess.square_name(square) for square in squares)
                name = f"{PIECE_NAMES[letter]}{'s' if len(squares) > 1 else ''}"
                stands = "stand" if len(squares) > 1 else "stands"
                stood = f"on {names} {stands} the {meant.lower()} {name}"
                said, line = self.said(k, end), heard.line_to(here)
                yield HeardSlip(said, meant, "side", UNWEIGHED, stood, line, f"{name} on {names}")

    def _owned(self, k: int) -> tuple[str, list[int], int] | None:
        """The piece (letter) and its squares that a side is said to own from a token on, and the end.

        None where anything else is said.
        """
        possessive = self.tokens[k].text.endswith("s")
        letter, squares = "", list[int]()
        j = k + 1
        while j < min(len(self.tokens), k + OWNED_WITHIN):
            text = self.tokens[j].text
            square = self.lexicon.square(j)
            if square is not None and square.price < 1:
                if not letter:
                    return None
                squares.append(chess.parse_square(square.value))
                j = square.end
                continue
            if squares and text != "and":
                break
            man = self.lexicon.man(j) or self.lexicon.men(j)
            if man and (letter or j > k + (3 if possessive else 5)):
                return None
            if not man and text not in (_STANDING if letter else _OF_OWN if possessive else _HAS):
                return None
            letter = letter or man
            j += 1
        said = possessive or any(self.tokens[n].text in _HAVING for n in range(k + 1, j))
        return (letter, squares, j) if letter and squares and said else None

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

    def _slip_of_ours(self, heard: Heard, phrase: Phrase, here: int) -> Iterator[HeardSlip]:
        """A piece called ours that is theirs, here and just before: "our pawn on c4 is attacked"."""
        k = phrase.first - 1 - (self.lexicon.text(phrase.first - 1) == "own")
        cues, inner = phrase.cues, self.tokens[phrase.first : phrase.end]
        if self.lexicon.text(k) != "our" or not heard.me or cues.negated or cues.unreal:
            return
        if any(token.text == "back" for token in inner):
            return  # "we get our pawn back on e5", where theirs stands
        letter, square = phrase.spec.pieces[0][0], phrase.spec.targets[0][0]
        for node in self.tree.line(here)[:-4:-1]:
            piece = self.tree.board(node).piece_at(square)
            theirs = piece is not None and ("w" if piece.color else "b") != heard.me
            if not theirs or piece is None or piece.symbol().upper() != letter:
                return
        meant = side_name(heard.me != "w")
        name = f"the {PIECE_NAMES[letter]} on {chess.square_name(square)}"
        said = self.said(k, phrase.end)
        stood = f"{name} is {meant}'s, and the speaker has the other side"
        yield HeardSlip(said, meant, "side", UNWEIGHED, stood, heard.line_to(here))

    def _slip_of_place(self, heard: Heard, phrase: Phrase, here: int) -> Iterator[HeardSlip]:
        """A piece said to stand where it does not, if it stands near by."""
        spec = phrase.spec
        board = self.tree.board(here)
        side = phrase.cues.piece_side or self._owner(phrase)
        inner = self.tokens[phrase.first : phrase.end]
        if any(token.text in _AIMING or token.text in _PAST for token in inner):
            return  # "the queen eyes g2" does not put her there, nor "keeps the rook off h2"
        if any(self.lexicon.text(phrase.first - n) in _LIKING for n in (1, 2, 3)):
            return  # "I like the knight on b6", better than the queen that just went there
        if self._set_up(phrase):
            return
        struck = self._text_before(phrase) in _HITTING or self._is_struck(phrase)
        hit = self._hit_by_last(here) if struck else None
        went = self._went_instead(here, spec.pieces[0][0], spec.targets[0][0], side)
        near = _near_place(board, spec.pieces[0][0], spec.targets[0][0], side, hit, went)
        if near is None:
            return
        meant, kind, fact = near
        said = self.said(self._first_said(phrase, kind), phrase.end)
        square = chess.square_name(spec.targets[0][0])
        men = f"{PIECE_NAMES[spec.pieces[0][0]]} on {square}" if kind == "side" else ""
        yield HeardSlip(said, meant, kind, UNWEIGHED, fact, heard.line_to(here), men)

    def _first_said(self, phrase: Phrase, kind: str) -> int:
        """The first token of what was said wrong: of a wrong side the word that names it."""
        if kind == "side":
            before = range(phrase.first - 1, max(phrase.first - SIDE_WITHIN, 0) - 1, -1)
            named = (k for k in before if self.lexicon.colour(k))
            return next(named, phrase.first)
        return phrase.first - (phrase.first > 0 and self.tokens[phrase.first - 1].text in OWNED)

    def _set_up(self, phrase: Phrase) -> bool:
        """Whether a piece belongs to what is described: "a gambit with the bishop on g2".

        "With the knight on c8 shut in" tells of this board, as does "what do we do with the bishop".
        """
        before = [self.lexicon.text(phrase.first - n) for n in (1, 2, 3)]
        articles = 0 if before[0] == "with" else 1 if before[0] in _NAMING else 2
        named = before[articles] == "with" and (articles < 2 or before[1] in ("the", "his"))
        dealt = self.lexicon.text(phrase.first - articles - 2) in _DEALS
        after = self.lexicon.text(phrase.end)
        return named and not dealt and not (after.endswith(("ing", "ed")) or after in _DONE_TO)

    def _is_struck(self, phrase: Phrase) -> bool:
        """Whether a piece is said to be attacked: "the pawn on d5 is attacked by the new knight"."""
        after = [self.lexicon.text(phrase.end), self.lexicon.text(phrase.end + 1)]
        return after[0] in ("is", "was", "gets") and after[1] in _STRUCK

    def _went_instead(self, here: int, letter: str, square: int, side: str) -> int | None:
        """Where a piece of that kind went lately that could have gone to the square said instead."""
        for node in self.tree.line(here)[: -LATELY - 1 : -1]:
            if not node:
                break
            move = chess.Move.from_uci(self.tree.uci(node))
            before = self.tree.board(self.tree.parent(node))
            piece = before.piece_at(move.from_square)
            other = chess.Move(move.from_square, square)
            stands = self.tree.board(here).piece_at(move.to_square) == piece
            own = side in ("", self.tree.turn(self.tree.parent(node)))
            same = own and piece is not None and piece.symbol().upper() == letter
            if same and stands and before.is_legal(other):
                return move.to_square
        return None

    def _of_one(self, phrase: Phrase) -> bool:
        """Whether a piece is spoken of as one that stands there: "that poor bishop on g5"."""
        cues = phrase.cues
        loose = phrase.told > 0 or phrase.price or not phrase.plain
        if not cues.static or cues.unreal or cues.negated or loose:
            return False
        named = (phrase.first - 1, phrase.first - 2, phrase.first - 3)
        if not any(self.lexicon.text(k) in _THAT_ONE for k in named):
            return False
        before = {self.lexicon.text(k) for k in range(phrase.first - 8, phrase.first)}
        after = {self.lexicon.text(k) for k in range(phrase.end, phrase.end + 4)}
        return not (before & _ELSEWHERE or after & {"if", "would", "there"})

    def _owner(self, phrase: Phrase) -> str:
        """The side said to have a piece: "Black has doubled pawns on c3"."""
        for k in range(phrase.first, max(phrase.first - 5, 1), -1):
            if self.tokens[k].gap >= 0.3:
                return ""
            if self.lexicon.text(k - 1) in _BUT:
                return ""
            if self.lexicon.text(k - 1) in _HAVING:
                colour = self.lexicon.colour(k - 2)
                return colour[0] if colour and self.lexicon.text(k - 2) in _SIDES else ""
        return ""

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


_HITTING = words("hits hitting attacks attacking pins pinning eyes eyeing on at against threatens")
_PAST = words("stood")
_NAMING = words("the his her their a an")
_DEALS = words("do done deal dealt wrong happy")
_DONE_TO = words("shut hit stuck hung")
_STRUCK = words("attacked hit hanging pinned taken")
_AIMING = words(
    "hits attacks pins eyes threatens at against towards targets watches covers controls guards"
    " protects defends aims points bears looks sees off through both under"
)
_LIKING = words("like prefer rather imagine")
_THAT_ONE = words("the that this passed beautiful")
_ELSEWHERE = words(
    "had was were compare will would should could can might want wants need needs if when where gives"
    " give rewound put puts place get getting going other another instead like likes without no not"
    " never back until before after one"
)
_BUT = words("but nothing and while because so when if")
_OF_OWN = words(
    "own two three four other last poor proud little big old lovely good bad best strong only remaining"
)
_HAS = _OF_OWN | words("has have got had the a an isolated passed weak doubled lonely")
_STANDING = words(
    "on over there here standing sitting the side king's queen's kingside queenside of them two three"
    " four and"
)
_HAVING = words("has had got")
_SIDES = words("white black white's black's")


def _near_place(
    board: chess.Board,
    letter: str,
    square: int,
    side: str,
    hit: chess.SquareSet | None = None,
    went: int | None = None,
) -> tuple[str, str, str] | None:
    """What was likely meant by a piece said to stand where it does not: move, kind of slip, fact.

    `hit` are the squares that the piece moved last attacks, if one is said to be; `went` is where a
    piece of that kind went that could have gone to this square.
    """
    there = board.piece_at(square)
    if there is not None and there.symbol().upper() == letter and side:
        owner = side_name(there.color)
        if owner[0].lower() != side:
            return (
                owner,
                "side",
                f"on {chess.square_name(square)} stands the {owner.lower()} {PIECE_NAMES[letter]}",
            )
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
    if went is not None and (same or across):
        same = [went]
    if not same and len(across) == 1:
        same = across
    if hit is not None and any(other in hit for other in same):
        same = [other for other in same if other in hit]
    if len(same) > 1:  # a rank is misspoken more readily than a file
        same = [s for s in same if chess.square_file(s) == chess.square_file(square)] or same
    named = chess.square_name(square)
    if len(same) != 1 or (there is not None and letter == "P"):
        return _other_man(named, there)
    place = chess.square_name(same[0])
    meant = ("" if letter == "P" else letter) + place
    return (
        meant,
        "square",
        f"{_on(named, there)}, the {PIECE_NAMES[letter]} stands on {place}",
    )


def _other_man(named: str, there: chess.Piece | None) -> tuple[str, str, str] | None:
    """The man on a square as the one that was meant there; None where it is empty."""
    if there is None:
        return None
    meant = there.symbol().upper().replace("P", "") + named
    return meant, "piece", _on(named, there)


def _on(named: str, there: chess.Piece | None) -> str:
    if there is None:
        return f"{named} is empty"
    return f"on {named} stands a {PIECE_NAMES[there.symbol().upper()]}"


def _mirrored(square: int) -> tuple[int, int]:
    """The squares that stand for this one from the other side, and on the other wing.

    "The bishop on c8" for the one on c1, "the rook on a8" for the one on h8.
    """
    return chess.square_mirror(square), square ^ 7
