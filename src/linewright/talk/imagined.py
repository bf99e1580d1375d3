"""What-if boards in a talk: "picture it with just kings and pawns", "imagine the queens off"."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import chess

from linewright.talk.listed_men import Listed, listed_board, listed_men, named_again
from linewright.talk.vocabulary import SENTENCE, Lexicon, words

STOP = 0.3
"""A pause (in seconds, a mark counted as one) that parts two words."""

NEAR = 12
"""So many words before a board the talk may have asked to picture one."""


MOST_BETWEEN = 8
"""So many words at most that name no man stand before one, or between two."""


@dataclass(frozen=True, slots=True)
class Men:
    """Men to take away: their letter, and what else is said of them.

    `square` is where one stands, `every` whether all of the kind go, `side` whose they are,
    `shade` whether they stand on "light" or "dark" squares.
    """

    letter: str
    square: int | None = None
    every: bool = False
    side: str = ""
    shade: str = ""


@dataclass(frozen=True, slots=True)
class Imagined:
    """A changed board: the tokens that say so, and what is left (letters) or is taken away.

    `listed` are the men of a board that is told man by man; from `sentence` on stand those of its
    last sentence.
    """

    first: int
    end: int
    only: str = ""
    without: tuple[Men, ...] = ()
    listed: tuple[Listed, ...] = ()
    sentence: int = -1


def imagined_boards(lexicon: Lexicon) -> Iterator[Imagined]:
    """The what-if boards of a talk in order."""
    last_end = 0
    for index in range(len(lexicon.tokens)):
        if index < last_end:
            continue
        found = _listed(lexicon, index) or _left(lexicon, index)
        found = found or _no_pieces(lexicon, index) or _gone(lexicon, index)
        if found is not None:
            last_end = found.end
            yield found


# --- men listed -----------------------------------------------------------------------------------


def _listed(lexicon: Lexicon, i: int) -> Imagined | None:
    """ "just the kings, White's pawns on d4 and e5 and a bishop on c8"."""
    if not _pictured(lexicon, i):
        return None
    j = _behind_only(lexicon, i)
    found = listed_men(lexicon, j)
    if found is None or not found.is_placed:
        return None
    sides = found.has_both_sides and _pictured_at_once(lexicon, i)
    if not found.has_kings and not (sides and (j > i or _alone(lexicon, found.end))):
        return None
    sentence = found.sentence if found.sentence > j else i
    return Imagined(i, found.end, listed=found.men, sentence=sentence)


def named_on_them(lexicon: Lexicon, boards: Sequence[Imagined]) -> list[Imagined]:
    """Where men of boards told man by man are named on them, so that no move is told there."""
    return [
        Imagined(*spot)
        for board in boards
        for spot in named_again(lexicon, board.listed, board.end)
    ]


def _alone(lexicon: Lexicon, end: int) -> bool:
    """Whether a list ends with "only" or "nothing else"."""
    nothing = lexicon.text(end) == "nothing" and lexicon.text(end + 1) == "else"
    return lexicon.text(end) == "only" or nothing


def _pictured_at_once(lexicon: Lexicon, i: int) -> bool:
    """Whether the clause that is going on asks to picture a board, and has named no square yet."""
    for k in range(i - 1, max(i - NEAR, 0) - 1, -1):
        if lexicon.tokens[k + 1].gap >= SENTENCE or lexicon.square(k) is not None:
            return False
        if lexicon.text(k) in _PICTURE:
            return True
    return False


# --- what is left ---------------------------------------------------------------------------------


def _left(lexicon: Lexicon, i: int) -> Imagined | None:
    """ "just kings and pawns", "everything but the rooks", "kings and pawns, nothing else"."""
    told = lexicon.text(i) in _ONLY
    j = _behind_only(lexicon, i)
    kinds, end = _kinds(lexicon, j)
    alone = _alone(lexicon, end)
    if not kinds or not (told or (alone and len(kinds) > 1)):
        return None
    taken = {lexicon.text(k) for k in range(max(0, i - 7), i)} & _EVERYTHING
    pictured = _pictured(lexicon, i) or lexicon.text(end) in ("left", "remain", "here")
    enough = kinds >= {"K", "P"} or (pictured and ("P" in kinds or taken or len(kinds) > 1))
    if not enough:
        return None
    if "P" not in kinds and taken:  # of the pieces, that is
        kinds.add("P")
    return Imagined(i, end, only=_letters(kinds))


def _behind_only(lexicon: Lexicon, i: int) -> int:
    """Where "only", "nothing but the" and the like end that may begin at a token."""
    j = i
    while j - i < MOST_BETWEEN and (
        lexicon.text(j) in _ONLY or (j > i and lexicon.text(j) in _ARTICLES)
    ):
        j += 1
    return j


def _kinds(lexicon: Lexicon, j: int) -> tuple[set[str], int]:
    """The kinds of men listed from a token on, each in the plural, and where the list ends."""
    kinds: set[str] = set()
    end = j
    while j - end < MOST_BETWEEN:
        letter = lexicon.men(j)
        if not letter and kinds and _pictured(lexicon, j) and lexicon.square(j + 1) is None:
            letter = lexicon.man(j) if lexicon.text(j - 1) == "and" else ""  # "kings and pond"
        if letter:
            kinds.add(letter)
            end = j + 1
        elif lexicon.text(j) not in ("and", "the", "their", "then"):
            return kinds, end
        j += 1
    return kinds, end


def _letters(kinds: set[str]) -> str:
    return "".join(k for k in "KQRBNP" if k in kinds | {"K"})


def _no_pieces(lexicon: Lexicon, i: int) -> Imagined | None:
    """ "take away all the pieces", "all the minor pieces removed", "no minor pieces, no queens"."""
    text = lexicon.text(i)
    if text not in _TAKE_AWAY and text not in ("all", "every", "no"):
        return None
    j = i + (text in _TAKE_AWAY)
    every = False
    while lexicon.text(j) in _ARTICLES or lexicon.text(j) in _OFF or lexicon.text(j) == "no":
        every = every or lexicon.text(j) in ("all", "every", "no")
        j += 1
    minor = lexicon.text(j) == "minor"
    j += minor
    if not every or lexicon.text(j) not in ("pieces", "piece"):
        return None
    end = j + 1
    while lexicon.text(end) in _OFF or lexicon.text(end) in _STATES:
        end += 1
    if text not in _TAKE_AWAY and not (minor and _pictured(lexicon, i)):
        return None
    kept = set("KQRP" if minor else "KP")
    if lexicon.text(end) == "no" and (queens := lexicon.men(end + 1)):
        kept.discard(queens)
        end += 2
    return Imagined(i, end, only=_letters(kept))


# --- what is gone ---------------------------------------------------------------------------------


def _gone(lexicon: Lexicon, i: int) -> Imagined | None:
    """ "take the queens off", "without the bishop on c8", "the queens off the board"."""
    text = lexicon.text(i)
    if text in _TAKE_AWAY:
        return _taken_off(lexicon, i)
    pictured = _pictured(lexicon, i)
    if text in ("without", "no") and pictured:
        found = _men(lexicon, i + 1)
        told = text == "without" or lexicon.text(i - 1) in _HAVING
        if found and (told or found[0].every):
            whose = lexicon.colour(i - 2) if lexicon.text(i - 1) in ("has", "had") else None
            kinds, end = _several(lexicon, found)
            if whose:
                kinds = [replace(kind, side=whose[0]) for kind in kinds]
            return Imagined(i, end, without=tuple(kinds))
        return None
    found = _men(lexicon, i) if pictured else None
    if found is None or i == found[1]:
        return None
    men, end = found
    if there := _not_there(lexicon, end):
        return Imagined(i, there, without=(men,))
    while lexicon.text(end) in _BEING:
        end += 1
    if lexicon.text(end) not in _STATES or _said_of_a_move(lexicon, i):
        return None
    if lexicon.text(end) == "gone" and lexicon.text(end + 1) in _ELSEWHERE:
        return None  # "the bishop has gone to f8"
    return Imagined(i, _to_the_board(lexicon, end + 1), without=(men,))


def _not_there(lexicon: Lexicon, k: int) -> int:
    """Where "isn't there", "were not on the board" ends that begins at a token; 0 without it."""
    text, after = lexicon.text(k), lexicon.text(k + 1)
    end = k + 1 if text in _IS_NOT else k + 2 if text in _BEING and after == "not" else 0
    if end and lexicon.text(end) in ("there", "here", "around"):
        return end + 1
    on_board = [lexicon.text(end + k) for k in range(3)] == ["on", "the", "board"]
    return end + 3 if end and on_board else 0


def _taken_off(lexicon: Lexicon, i: int) -> Imagined | None:
    """ "take the queens off", "remove the bishop on c8", "take just that bishop off the board"."""
    j = i + 1
    off = False
    while lexicon.text(j) in _OFF or lexicon.text(j) in ("just", "only"):
        off = off or lexicon.text(j) in _OFF
        j += 1
    found = _men(lexicon, j)
    if found is None or _traded(lexicon, i) or _parted(lexicon, i + 1):
        return None
    men, end = _several(lexicon, found)
    board = lexicon.text(end) in _OFF or (
        lexicon.text(end) == "from" and lexicon.text(end + 2) == "board"
    )
    if not (off or board or lexicon.text(i) in _REMOVE):
        return None
    return Imagined(i, _to_the_board(lexicon, end), without=tuple(men))


def _several(lexicon: Lexicon, found: tuple[Men, int]) -> tuple[list[Men], int]:
    """Men and those that "and" adds to them: "all the pawns and the rooks", "queens, rooks and"."""
    men, end = [found[0]], found[1]
    while men[-1].every:
        joined = lexicon.text(end) in _JOINS
        more = _men(lexicon, end + joined)
        if more is None or not more[0].every or not (joined or _listed_on(lexicon, more[1])):
            break
        men.append(more[0])
        end = more[1]
    return men, end


def _listed_on(lexicon: Lexicon, end: int) -> bool:
    """Whether "and" another kind of men follows: "without queens, rooks and bishops".

    Or one more before it: "without queens, rooks, bishops and knights".
    """
    joined = lexicon.text(end) in _JOINS
    more = _men(lexicon, end + joined)
    listed = more is not None and more[0].every
    return listed and more is not None and (joined or _listed_on(lexicon, more[1]))


def _parted(lexicon: Lexicon, k: int) -> bool:
    """Whether a stop stands before a word: "d takes, queens off" tells a move."""
    return k < len(lexicon.tokens) and lexicon.tokens[k].gap >= STOP


def _men(lexicon: Lexicon, j: int) -> tuple[Men, int] | None:
    """Men named from a token on ("both queens", "White's bishop on g5"), and where that ends."""
    side = shade = ""
    every = False
    first = j
    while True:
        text = lexicon.text(j)
        if text in _SHADES:
            shade = text
        elif colour := lexicon.colour(j):
            side = colour[0]
        elif text not in _ARTICLES and text not in _OF_SHADE:
            break
        every = every or text in ("both", "two", "pair")
        j += 1
        if j - first > 6:
            return None
    square = lexicon.square(j)
    parted = square is not None and _parted(lexicon, square.end)
    if square is not None and lexicon.man(square.end) and not parted:  # "our d6 bishop"
        return Men(lexicon.man(square.end), chess.parse_square(square.value)), square.end + 1
    several = lexicon.men(j)
    letter = several or lexicon.man(j) or _man_that_is(lexicon, j)
    if letter in ("", "K"):
        return None
    end = j + 1
    on = lexicon.square(end + 1) if lexicon.text(end) in ("on", "from", "at") else None
    if on is not None:
        return Men(letter, chess.parse_square(on.value)), on.end
    return Men(letter, None, bool(several) or every, side, shade), end


def _man_that_is(lexicon: Lexicon, j: int) -> str:
    """The man of "that knight's gone"."""
    named = lexicon.pieces(j) if lexicon.text(j).endswith("'s") else ()
    gone = lexicon.text(j + 1) in _STATES
    return named[0][0] if named and gone else ""


def _to_the_board(lexicon: Lexicon, end: int) -> int:
    while lexicon.text(end) in ("off", "away", "from", "the", "board", "out"):
        end += 1
    return end - (lexicon.text(end - 1) == "the")


def _pictured(lexicon: Lexicon, i: int) -> bool:
    """Whether the talk asks, just before or at once, to picture a board."""
    before = [lexicon.text(k) for k in range(max(0, i - NEAR), i)]
    if _PICTURE & set(before):
        return True
    pairs = set(itertools.pairwise(before))
    return ("what", "if") in pairs or ("your", "heads") in pairs or ("this", "without") in pairs


def _said_of_a_move(lexicon: Lexicon, i: int) -> bool:
    """ "and queens come off", "if the queens are exchanged": moves, not boards."""
    return lexicon.text(i - 1) in ("and", "then", "until", "when", "once")


def _traded(lexicon: Lexicon, i: int) -> bool:
    """ "We take the queens off, queen takes e7", "it wants to remove the knight on f6": moves."""
    before = [lexicon.text(k) for k in (i - 1, i - 2)]
    if before[0] == "to" and before[1] in _WANTS:
        return True
    if lexicon.text(i) == "took":
        return "if" not in {lexicon.text(k) for k in range(i - 4, i)}
    swapped = lexicon.text(i) == "swap" and before[0] in ("you", "and")
    who = before[0] in _WHO_TRADES and not _parted(lexicon, i)
    traded = lexicon.text(i) == "takes" or (lexicon.text(i) in _TRADED and who)
    return (traded or swapped) and not _pictured(lexicon, i)


# --- the boards -----------------------------------------------------------------------------------


def edited(board: chess.Board, found: Imagined, last: int | None) -> tuple[str, chess.Board] | None:
    """The edits as a script's link writes them, and the changed board; None if there is no such man.

    `last` is the square talked about just before, for "that bishop".
    """
    if found.listed:
        return listed_board(board, found.listed)
    changed = board.copy(stack=False)
    if found.only:
        for square, piece in board.piece_map().items():
            if piece.symbol().upper() not in found.only:
                changed.remove_piece_at(square)
        return "only=" + found.only, changed
    squares = sorted({s for men in found.without for s in _squares_of(board, men, last)})
    for square in squares:
        changed.remove_piece_at(square)
    if not squares:
        return None
    return "remove=" + ",".join(chess.square_name(s) for s in squares), changed


def _squares_of(board: chess.Board, men: Men, last: int | None) -> list[int]:
    """Where the men to take away stand."""
    if men.square is not None:
        return [men.square] if board.piece_at(men.square) else []
    found = [
        square
        for square, piece in board.piece_map().items()
        if piece.symbol().upper() == men.letter
        and men.side in ("", "w" if piece.color else "b")
        and (not men.shade or _shade(square) == men.shade)
    ]
    if men.every:
        return sorted(found)
    if last in found:
        return [last]
    return found if len(found) == 1 else []


def _shade(square: int) -> str:
    return "light" if chess.BB_SQUARES[square] & chess.BB_LIGHT_SQUARES else "dark"


_ONLY = words("only just nothing but except for leave leaving")
_EVERYTHING = words("everything all every")
_PICTURE = words("picture imagine suppose visualise visualize pretend examine consider imagining")
_REMOVE = words("remove removing delete")
_TAKE_AWAY = _REMOVE | words("take lift wipe strip takes taking took forget swap whip clear")
_JOINS = words("and or nor")
_TRADED = words("take takes swap remove")
_WHO_TRADES = words(
    "we he she they i white black would could can will to mustn't don't never can't"
)
_WANTS = words("want wants wanted like likes hopes threatens")
_ELSEWHERE = words("to back home into for")
_OFF = words("off away out aside")
_STATES = words("off gone vanished vanish disappeared disappear exchanged removed missing")
_IS_NOT = words("isn't aren't wasn't weren't")
_HAVING = words("is are there's has had have having with")
_BEING = words("are were is was being all taken have had had've just has traded")
_ARTICLES = words(
    "the a an all both this that just these those of his her its my our your every other two pair any"
)
_SHADES = words("light dark")
_OF_SHADE = words("squared square coloured")
