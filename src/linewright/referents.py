"""What phrases speak of: which side "he" is, which knight "the knight", which move "Nd4" may be."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import chess

from linewright import facts
from linewright.board_words import listed
from linewright.english.phrases import Mode, Phrase
from linewright.judged_place import Place
from linewright.moves_meant import Played, find_move
from linewright.notation import read_move
from linewright.position.pawns import Wing


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
        told = next((w for w in phrase.words if w in {"light", "dark"}), "")
        if told and not _of_shade(phrase, chess.SquareSet(map(chess.parse_square, phrase.squares))):
            other = "dark" if told == "light" else "light"
            squares = f"{phrase.squares[0]} is a {other} square"
            return f"there is no {whose}{told}-squared {_noun(phrase)}{where}: {squares}"
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
        return tuple(_of_shade(phrase, mask & there))
    if phrase.files:
        files = {"abcdefgh".index(f) for f in phrase.files}
        mask = chess.SquareSet(s for s in mask if chess.square_file(s) in files)
    mask = _of_shade(phrase, mask)
    for word in phrase.words:
        mask = _narrowed(board, mask, word, phrase)
    return _by_last_move(place, mask)


def _of_shade(phrase: Phrase, mask: chess.SquareSet) -> chess.SquareSet:
    """Those of the squares that are of the colour a phrase names ("light-squared"), if it does."""
    if "light" in phrase.words or "dark" in phrase.words:
        return mask & (chess.BB_LIGHT_SQUARES if "light" in phrase.words else chess.BB_DARK_SQUARES)
    return mask


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
        if several := moves_of_several(place.board, san):
            return Choice(several, unsure=True, question=which_is_meant(several))
        led = _led_to_setup(place, san, number, black)
        untold = f"what led to this board is not known: {san}" if led else ""
        return Choice((), missing=f"{san} is not possible here", untold=untold)
    return Choice((played,))


def moves_of_several(board: chess.Board, san: str) -> tuple[Played, ...]:
    """The moves that a name fits where more than one man of its side can make it."""
    other = board.copy(stack=False)
    if not board.is_check():
        other.push(chess.Move.null())
    for before in (board, other):
        try:
            before.parse_san(san)
        except chess.AmbiguousMoveError:
            return tuple(Played(before, move) for move in _by_name(before, san))
        except ValueError:
            continue
    return ()


def _by_name(board: chess.Board, san: str) -> Iterator[chess.Move]:
    """The legal moves that a name fits, less told than it must be."""
    read = read_move(san)
    if read is not None and read.to:
        kind, to = chess.Piece.from_symbol(read.piece).piece_type, chess.parse_square(read.to)
        for move in board.legal_moves:
            if move.to_square == to and board.piece_type_at(move.from_square) == kind:
                yield move


def which_is_meant(several: Sequence[Played]) -> str:
    """The question which of several men makes a move."""
    man = chess.piece_name(several[0].before.piece_type_at(several[0].move.from_square) or 0)
    return f"which {man} is meant: {listed([one.san for one in several], 'or')}?"


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
