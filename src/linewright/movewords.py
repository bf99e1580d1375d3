"""Moves told in English words, and whether they fit the move they stand beside."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import pairwise

import chess

from linewright.expressions import expression
from linewright.moves import MAN, PIECE_TYPES, side_name
from linewright.number_words import UNITS


@dataclass(frozen=True, slots=True)
class MoveWords:
    """What words say of a move; None or empty where they say nothing.

    `start` and `end` are places in the text that was read. `piece` and `taken` are piece types,
    `to` a square, `from_file` a letter, `wing` ``"K"`` or ``"Q"``; `castles`, `takes`, `checks`
    and `mates` are what is asserted; `white` says whose move it is.
    """

    start: int
    end: int
    piece: int | None = None
    taken: int | None = None
    to: str = ""
    from_file: str = ""
    wing: str = ""
    castles: bool = False
    takes: bool = False
    checks: bool = False
    mates: bool = False
    white: bool | None = None

    @property
    def tells_side_alone(self) -> bool:
        """Whether nothing but the side is told: "White plays"."""
        said = replace(self, start=0, end=0, white=None)
        return self.white is not None and said == MoveWords(0, 0)


_PIECE = rf"(?:{MAN})"
_SIDE = r"(?:the|a|his|her|my|our|your|their|its|white's|black's)"
_NUMBERS = UNITS[1:9]
_SQUARE = rf"[a-h](?:[1-8]|[ -](?:{'|'.join(_NUMBERS)})\b)"
_CAPTURES = "takes|captures|grabs|snaps off|chops off|recaptures|retakes|takes back"
_TAKES = rf"(?:{_CAPTURES}|wins|eats)"
_GO = (
    "goes|moves|comes|drops|retreats|steps|jumps|hops|develops|slides|returns|withdraws|"
    "went|came|moved|jumped|retreated|dropped|stepped|returned|withdrew"
)
_GOES = (
    rf"(?:(?:(?:{_GO})\s+)?(?:(?:right|straight|all\s+the\s+way)\s+)?"
    r"(?:(?:back|out|over|up|down|across|home|away|forward)\s+)?to|lands\s+on|in\s+on)"
)
_WING = r"(?P<wing>kingside|queenside|king's side|queen's side|short|long)"
_NOT_AT_ONCE = r"(?!\s+(?:in\s+(?!one\b|1\b)\w+|soon|shortly|before long|later|next|anyway|sooner))"
"""Behind "mate", what says that it is not on the board yet: "mate in a few moves"."""
_CHECK = rf"(?:,?\s+(?:with\s+|giving\s+|is\s+)?(?P<check>check|(?:check)?mate\b{_NOT_AT_ONCE}))?"

_PATTERNS = [
    expression(pattern, re.IGNORECASE)
    for pattern in (
        rf"\b(?P<castles>castles|castling|castle)(?:\s+(?:on\s+the\s+)?{_WING})?{_CHECK}",
        rf"\b(?:(?P<file>[a-h])-?\s?)?(?P<piece>{_PIECE})\s+(?P<takes>{_TAKES})"
        rf"(?:\s+(?:on\s+)?(?P<to>{_SQUARE})|\s+(?:{_SIDE}\s+)?(?P<taken>{_PIECE})"
        rf"(?:\s+on\s+(?P<to2>{_SQUARE}))?)?{_CHECK}",
        rf"\b(?P<piece>{_PIECE})\s+(?:{_GOES}\s+)?(?P<to>{_SQUARE}){_CHECK}",
        rf"\b(?P<file>[a-h])\s+(?P<takes>takes)\s+(?:on\s+)?(?P<to>{_SQUARE}){_CHECK}",
        rf"\b(?P<takes>{_TAKES})(?:\s+on\s+{_SQUARE})?(?:\s+back)?\s+with\s+(?:{_SIDE}\s+)?"
        rf"(?:(?P<file>[a-h])-)?(?P<piece>{_PIECE}){_CHECK}",
        rf"\b(?P<piece>{_PIECE})\s+(?P<kind>check|capture|sacrifice|retreat|move|mate)\b",
    )
]
_AFTER = [
    expression(pattern, re.IGNORECASE)
    for pattern in (
        rf"\s*,?\s*(?P<takes>takes|captures|grabs)\s+(?:{_SIDE}\s+)?(?P<taken>{_PIECE})\b{_CHECK}",
        r"\s*,?\s*(?:is|gives|comes with|with)\s+(?P<check>check\b|(?:check)?mate\b"
        + _NOT_AT_ONCE
        + ")",
    )
]
_LEADS_TO_MOVE = expression(
    r"[\s,:;–—(\"'*]*(?:(?:with|by|now|here|then|at once|is|was|comes|follows|namely|so|and)"
    r"[\s,:;–—(\"'*]+)?$",
    re.IGNORECASE,
)
_NEGATION = expression(
    r"\b(?:not|no|instead of|rather than|before|without)\s+\S*\s*$", re.IGNORECASE
)
_SENTENCE_END = expression(r"[.!?]\s")
_WHICH = (
    r"(?:(?:other|last|own|second|remaining|good|bad|king's|queen's|(?:light|dark)-squared|[a-h])"
    r"[ -])*"
)
_OWNED = expression(rf"\b(?P<whose>white's|black's|my|our|his|her)\s+{_WHICH}$", re.IGNORECASE)
_HOW = r"(?:(?:now|then|simply|just|also|again|first|at once|quietly|calmly|immediately)\s+)*"
_DOES = rf"\b(?P<whose>white|black)\s+{_HOW}"
_DONE_BY = expression(
    rf"{_DOES}(?:(?:brings|brought|puts|plays|played|moves|moved|develops|developed|posts|posted)\s+"
    rf"(?:out\s+)?(?:the|his|her|a)\s+{_WHICH})?$",
    re.IGNORECASE,
)
"""A side that does what the words behind it say: "Black castles", "White brings the bishop"."""
_PLAYS = expression(
    rf"{_DOES}(?:plays|played|answers|answered|replies|replied|chooses|chose|continues|continued)"
    r"(?:\s+with)?[\s,:*]+$",
    re.IGNORECASE,
)
_TAKES_THERE = expression(
    rf"{_DOES}(?P<takes>{_CAPTURES})\s+(?:on\s+)?(?P<to>{_SQUARE}){_CHECK}", re.IGNORECASE
)
_JOINS = (
    r"\b(?:if|when|whenever|once|after|before|until|till|because|since|as|unless|should|did|that|"
    r"where|though|although|while|fear\w*)\b"
)
_SUPPOSED = expression(rf"{_JOINS}\s+(?:\w+\s+)?$", re.IGNORECASE)
"""Words before a side that might do a thing, or did it: no words of the move behind them."""
_JOINED = expression(rf"{_JOINS}(?!\s+\d)", re.IGNORECASE)
"""The same farther before it: what the other side does may be part of what is supposed. Before a
move ("after 1.e4") they join that move alone."""
_FIRST_PERSON = expression(r"(?i:\b(?:i|my|mine|i'm|i'd)\b)")
_OPPONENT = ("his", "her")


_NEAR = 300
"""Characters before a move in which words that lead straight to it can begin."""


Owners = Mapping[str, bool]
"""Whether words that own a piece ("black's", "my") are of White."""


def words_before(
    text: str,
    start: int,
    move_at: int,
    owners: Owners | None = None,
    mover: bool | None = None,
) -> MoveWords | None:
    """What the words from `start` that lead straight to a move at `move_at` say of it.

    `owners` are the words by which a side is known, with `white` and `black`; `mover` is the side
    that makes the move, where it is known.
    """
    known = {**_SIDES, **(owners or {})}
    start = max(start, move_at - _NEAR)
    begin = max((m.end() for m in _SENTENCE_END.finditer(text, start, move_at)), default=start)
    best: MoveWords | None = None
    for pattern in _PATTERNS:
        for match in pattern.finditer(text, begin, move_at):
            adjacent = _LEADS_TO_MOVE.match(text, match.end(), move_at)
            if adjacent and adjacent.end() == move_at and not _negated(text, match.start()):
                found = _of_side(_read(match), text, begin, known)
                if best is None or found.end - found.start > best.end - best.start:
                    best = found
    for match in _TAKES_THERE.finditer(text, begin, move_at) if best is None else ():
        adjacent = _LEADS_TO_MOVE.match(text, match.end(), move_at)
        supposed = _SUPPOSED.search(text, begin, match.start())
        if mover is not None and known[match["whose"].lower()] != mover:
            supposed = supposed or _JOINED.search(text, begin, match.start())
        if adjacent and adjacent.end() == move_at and not supposed:
            best = replace(_read(match), white=known[match["whose"].lower()])
    plays = _PLAYS.search(text, begin, move_at)
    if best is None and plays and not _negated(text, plays.start()):
        white = known[plays["whose"].lower()]
        best = MoveWords(plays.start(), plays.end(), white=white)
    return best


_SIDES = {"white": True, "black": False, "white's": True, "black's": False}


def owners_at(text: str, start: int, at: int, taught: bool, name: str) -> Owners:
    """Of whom "my" and "his" are, where the lesson is told by the side that is `taught`.

    "His" is the opponent's where one of the players tells the game, and where the words before do
    not name the side that is taught, nor its player (`name`), whose it may be then.
    """
    owners = {"my": taught, "our": taught}
    if not _is_told_by_a_player(text):
        return owners
    before_it = text[start:at].lower().split()[-_NEAR_WORDS - 1 :]
    near = [word.strip(".,;:!?*()") for word in before_it]
    side = "white" if taught else "black"
    own = {side, f"{side}'s", *name.lower().split()}
    named = any(word in own and before not in _HAD for before, word in pairwise(near))
    return owners if named else {**owners, **dict.fromkeys(_OPPONENT, not taught)}


@lru_cache(maxsize=4)
def _is_told_by_a_player(text: str) -> bool:
    """Whether a lesson often says "I" or "my". Asked of each move, so it is counted once a text."""
    return len(_FIRST_PERSON.findall(text)) >= _OFTEN


_HAD = frozenset("had have with as playing played".split())
"""Before a side these say who has it: "I had Black"."""
_OFTEN = 3
"""So often a lesson says "I" or "my" that is told by one of the players."""
_NEAR_WORDS = 30
"""So many words before "his" may name who it is."""


def _of_side(found: MoveWords, text: str, begin: int, known: Owners) -> MoveWords:
    """The same with the side that the words before it name, and these words."""
    side = _OWNED.search(text, begin, found.start) if found.piece else None
    if side is None or side["whose"].lower() not in known:
        side = _DONE_BY.search(text, begin, found.start)
    if side is None or side["whose"].lower() not in known:
        return found
    return replace(found, start=side.start(), white=known[side["whose"].lower()])


def words_after(text: str, move_end: int, end: int) -> MoveWords | None:
    """What the words right after a move, up to `end`, say of it."""
    for pattern in _AFTER:
        if match := pattern.match(text, move_end, end):
            return _read(match)
    return None


def _negated(text: str, at: int) -> bool:
    """Whether the phrase is about another move than the one that follows."""
    return bool(_NEGATION.search(text[max(0, at - 24) : at]))


def _read(match: re.Match[str]) -> MoveWords:
    parts = {name: value for name, value in match.groupdict().items() if value}
    check = (parts.get("check") or parts.get("kind") or "").lower()
    wing = parts.get("wing", "").lower()
    return MoveWords(
        start=match.start(),
        end=match.end(),
        piece=PIECE_TYPES.get(parts.get("piece", "").lower()),
        taken=PIECE_TYPES.get(parts.get("taken", "").lower()),
        to=_square(parts.get("to") or parts.get("to2") or ""),
        from_file=parts.get("file", "").lower(),
        wing={"k": "K", "s": "K", "q": "Q", "l": "Q"}.get(wing[:1], ""),
        castles="castles" in parts,
        takes="takes" in parts or check == "capture",
        checks=check == "check",
        mates="mate" in check,
    )


def _square(said: str) -> str:
    """A square as it is written: "d eight" is d8."""
    file, rank = said[:1].lower(), said[1:].lower().strip(" -")
    return file + (str(_NUMBERS.index(rank) + 1) if rank in _NUMBERS else rank)


def differences(words: MoveWords, board: chess.Board, move: chess.Move) -> list[str]:
    """What the words say that the move does not do; the board stands before the move."""
    after = board.copy(stack=False)
    after.push(move)
    piece = board.piece_type_at(move.from_square)
    to, origin = chess.square_name(move.to_square), chess.square_name(move.from_square)
    wrong: list[str] = []
    if words.white is not None and words.white != board.turn:
        wrong.append(f"{'White' if board.turn else 'Black'} moves")
    if words.castles and not board.is_castling(move):
        wrong.append("it is not castling")
    elif words.wing and board.is_kingside_castling(move) != (words.wing == "K"):
        wrong.append(f"it castles {'kingside' if words.wing == 'Q' else 'queenside'}")
    if words.castles:
        return wrong
    if words.piece and words.piece != piece:
        wrong.append(f"the {chess.piece_name(piece or 1)} moves")
    if words.to and words.to != to:
        wrong.append(f"it goes to {to}, not {words.to}")
    if words.from_file and words.from_file != origin[0]:
        wrong.append(f"it comes from {origin}")
    wrong.extend(_capture_differences(words, board, move))
    if words.mates and not after.is_checkmate():
        wrong.append("it is not mate")
    elif words.checks and not after.is_check():
        wrong.append("it gives no check")
    return wrong


def put_right(said: str, words: MoveWords, board: chess.Board, move: chess.Move) -> str:
    """Words that say another move, with the man, the square and the side of this one.

    Empty where they say more that it does not do: that takes other words.
    """
    piece = board.piece_type_at(move.from_square) or chess.PAWN
    right = replace(
        words,
        piece=words.piece and piece,
        to=words.to and chess.square_name(move.to_square),
        white=None if words.white is None else board.turn,
    )
    if differences(right, board, move):
        return ""
    if right.piece != words.piece:
        said = re.sub(rf"(?i)\b{_PIECE}\b", chess.piece_name(piece), said, count=1)
    if right.to != words.to:
        said = re.sub(
            rf"(?i)\b{_SQUARE}", lambda m: right.to if _square(m[0]) == words.to else m[0], said
        )
    if right.white != words.white:
        said = _other_side(said, side_name(board.turn))
    return said


def _other_side(said: str, side: str) -> str:
    """Words with this side for the other, or before a man that "our" names."""
    named = re.compile(r"(?i)\b(?:white|black)\b")
    if named.search(said):
        return named.sub(lambda m: side if m[0][0].isupper() else side.lower(), said)
    return re.sub(r"(?i)\b(?:my|our|his|her)\b", f"{side}'s", said, count=1)


def put_right_of(said: str, board: chess.Board, move: chess.Move) -> str:
    """Words that tell a move wrong, put right by `put_right`; empty where they cannot be.

    >>> put_right_of("our bishop goes to e3", chess.Board("4k3/8/8/8/8/8/8/4KB2 w - - 0 1"),
    ...              chess.Move.from_uci("f1d3"))
    'our bishop goes to d3'
    """
    words = words_before(said, 0, len(said), mover=board.turn)
    right = put_right(said, words, board, move) if words else ""
    return right if right != said else ""


def _capture_differences(words: MoveWords, board: chess.Board, move: chess.Move) -> list[str]:
    if not words.takes:
        return []
    if not board.is_capture(move):
        return ["it takes nothing"]
    taken = chess.PAWN if board.is_en_passant(move) else board.piece_type_at(move.to_square)
    if words.taken and taken and words.taken != taken:
        return [f"it takes a {chess.piece_name(taken)}, not a {chess.piece_name(words.taken)}"]
    return []
