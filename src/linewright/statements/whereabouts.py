"""Whereabouts: what stands on which file, wing, rank or square, before, behind or beside what.

Definitions: the queenside is the a- to d-file, the kingside the e- to h-file (Hooper & Whyld, The
Oxford Companion to Chess). A piece is in front of another, or behind it, if both stand on one line,
with nothing between, and it is further on, or further back, as the side of the second one looks at
the board; beside it is a neighbouring square. A square is light or dark as on any board: a1 is
dark. A pawn's way to queen is counted in its own moves, the first of which may be two squares.

    FEN 8/5pk1/4p1p1/2B4p/1P5P/4bPP1/6K1/8 w - - 0 1:
        holds: the b-pawn is four steps from queening
        holds: Black has no pawns on the queenside
        holds: only White has a pawn on the queenside
        holds: there is no rook on the d-file
        holds: the white king stands on a light square
        fails: the b-pawn is two steps from queening
        fails: the white king stands on a dark square
        left alone: put a rook behind the passed pawn
    FEN r2q1rk1/pp2bppp/2np3p/4p3/4P3/2N1B2P/PPP2PP1/R2QR1K1 w - - 0 1:
        holds: the rook on e1 is behind the e-pawn
        fails: the queen is behind the e-pawn
        left alone: there may be a knight on d5 soon
    after 1.d4 d6 2.e4 g6 3.f4:
        holds: White has three pawns in a row in the centre
        fails: White has four pawns side by side
        holds: White has three pawns abreast on d4, e4 and f4
        fails: White has three pawns side by side on d4, e4 and g2
"""

from __future__ import annotations

from collections.abc import Callable, Iterable

import chess

from linewright import facts
from linewright.board_words import MEN_OF_KIND, file_name, listed, names, piece_on, several, square
from linewright.judging import Fact, Pattern, Said
from linewright.moves import side_name

FAMILY = "whereabouts"

_KIND = r"(?P<kind>(?:minor |major |heavy )?pieces?|pawns?|knights?|bishops?|rooks?|queens?|kings?)"
_COLOUR = r"(?:(?P<colour>white|black) )?"
_PLACE = r"(?:on|in|over on|along|left on) (?:the )?(?:{file}|{wing}|{square})"
_HOW_MANY = r"(?:(?:an?|any|the|{number}|{own}|another|single|only|just|one) )*"


def _place(said: Said) -> tuple[str, list[chess.Square]] | None:
    """The place named, and its squares."""
    if "file" in said:
        return f"on the {file_name(said.file())}", _where(chess.square_file, said.file())
    if "square" in said:
        return f"on {square(said.at('square'))}", [said.at("square")]
    if "wing" in said:
        king = said.wing().value == "kingside"
        return f"on the {said.wing().value}", [
            s for s in chess.SQUARES if (chess.square_file(s) > 3) == king
        ]
    return None


def _where(coordinate: Callable[[chess.Square], int], wanted: int) -> list[chess.Square]:
    return [s for s in chess.SQUARES if coordinate(s) == wanted]


def _kind(said: Said) -> str:
    word = said.word("kind")
    return word.removesuffix("s")


def _of(board: chess.Board, colour: chess.Color, kind: str) -> list[chess.Square]:
    return [s for t in MEN_OF_KIND[kind] for s in board.pieces(t, colour)]


def _there(said: Said, colours: Iterable[chess.Color]) -> tuple[str, list[chess.Square]] | None:
    place = _place(said)
    if place is None or _kind(said) not in MEN_OF_KIND:
        return None
    where, squares = place
    found = [s for c in colours for s in _of(said.board, c, _kind(said)) if s in squares]
    return where, sorted(found)


def _told(said: Said, where: str, found: list[chess.Square]) -> str:
    on = f": {listed(names(found))}" if found and "square" not in said else ""
    count = several(len(found), _kind(said))
    return f"{count} {where}{on}"


def _enough(said: Said, number: int) -> bool:
    return number == said.number() if "number" in said else number > 0


def side_has_there(said: Said) -> Fact | None:
    """Whether a side has something of the kind (so many) at the place."""
    found = _there(said, [said.side()])
    if found is None:
        return None
    if "square" in said and not found[1] and not said.negated:
        return None  # what is imagined there
    text = f"{side_name(said.side())} has {_told(said, *found)}"
    return Fact(_enough(said, len(found[1])), text, names(found[1]))


def only_side_there(said: Said) -> Fact | None:
    """Whether one side has something of the kind at the place, and the other has not."""
    mine, yours = _there(said, [said.side()]), _there(said, [not said.side()])
    if mine is None or yours is None:
        return None
    text = f"{side_name(said.side())} has {_told(said, *mine)}, {side_name(not said.side())} {len(yours[1])}"
    return Fact(bool(mine[1]) and not yours[1], text, names((*mine[1], *yours[1])))


def anything_there(said: Said) -> Fact | None:
    """Whether anything of the kind (so many) stands at the place, of the colour named."""
    colours = [said.word("colour") == "white"] if said.word("colour") else list(chess.COLORS)
    found = _there(said, colours)
    if found is None or ("square" in said and not found[1] and not said.negated):
        return None
    if said.word("bare") and not said.negated:
        return None
    owner = f"{said.word('colour').title()} has " if said.word("colour") else ""
    text = f"{owner}{_told(said, *found)}"
    return Fact(_enough(said, len(found[1])), text, names(found[1]))


def all_there(said: Said) -> Fact | None:
    """Whether all of a side's men of the kind stand at the place."""
    side = said.side() if {"side", "whose"} & set(said.values) else said.word("colour") == "white"
    found = _there(said, [side])
    if found is None:
        return None
    own = _of(said.board, side, _kind(said))
    word = said.word("which") or "all"
    number = len(found[1])
    true = {"none": number == 0, "not": number == 0, "most": 2 * number > len(own)}.get(
        word.split()[0], bool(own) and number == len(own)
    )
    return Fact(true, f"{side_name(side)} has {_told(said, *found)} of {len(own)}", names(found[1]))


def is_shade(said: Said) -> Fact:
    """Whether a square, or the one a piece stands on, is light or dark."""
    at = said.at("target")
    light = bool(chess.BB_LIGHT_SQUARES & chess.BB_SQUARES[at])
    shade = "light" if light else "dark"
    return Fact(said.word("shade") == shade, f"{square(at)} is a {shade} square", names([at]))


def _between_free(board: chess.Board, one: chess.Square, other: chess.Square) -> bool:
    return not chess.SquareSet(chess.between(one, other)) & board.occupied


def behind(said: Said) -> Fact | None:
    """Whether a piece stands behind another on a line."""
    one, other = said.at("piece"), said.at("piece2")
    board = said.board
    if one == other or board.piece_at(one) is None or board.piece_at(other) is None:
        return None
    up = 1 if board.color_at(other) else -1
    ranks = up * (chess.square_rank(one) - chess.square_rank(other))
    same_file = chess.square_file(one) == chess.square_file(other)
    aligned = bool(chess.ray(one, other))
    free = _between_free(board, one, other)
    true = aligned and ranks < 0 and (free or (same_file and _is_pawn(board, other)))
    if not true and aligned and free and ranks == 0:
        return None
    if not true and aligned and not same_file and ranks > 0 and free:
        return None  # from whose side of the board?
    word = "in front of" if ranks > 0 else "behind" if ranks < 0 else "beside"
    if not aligned or not free:
        word = "not on one free line with"
    return Fact(
        true, f"{piece_on(board, one)} is {word} {piece_on(board, other)}", names((one, other))
    )


def _is_pawn(board: chess.Board, at: chess.Square) -> bool:
    return board.piece_type_at(at) == chess.PAWN


def beside(said: Said) -> Fact | None:
    """Whether two pieces stand on neighbouring squares."""
    one, other = said.at("piece"), said.at("target")
    if one == other:
        return None
    true = chess.square_distance(one, other) == 1
    away = several(chess.square_distance(one, other), "square")
    return Fact(true, f"{square(one)} and {square(other)} are {away} apart", names((one, other)))


def something_in_front(said: Said) -> Fact | None:
    """Whether a man of the kind stands in front of a piece, on its file."""
    at, kind = said.at("piece"), _kind(said) if said.word("kind") else ""
    piece = said.board.piece_at(at)
    if piece is None:
        return None
    colours = list(chess.COLORS)
    if colour := said.word("colour"):
        colours = [not piece.color] if colour == "enemy" else [colour == "white"]
    ahead = [
        s
        for s in chess.SQUARES
        if chess.square_file(s) == chess.square_file(at) and (s > at) == piece.color and s != at
    ]
    types = MEN_OF_KIND.get(kind, MEN_OF_KIND["man"])
    found = [
        s
        for s in ahead
        if said.board.color_at(s) in colours and said.board.piece_type_at(s) in types
    ]
    text = f"in front of {piece_on(said.board, at)}: {listed(names(found)) or 'nothing'}"
    return Fact(bool(found), text, names((at, *found)))


def nothing_in_front(said: Said) -> Fact | None:
    """Whether nothing stands in front of a piece, on its file."""
    fact = something_in_front(said)
    return None if fact is None else Fact(not fact.true, fact.because, fact.squares)


def pawns_before_king(said: Said) -> Fact | None:
    """Whether so many own pawns stand before a king, on its file and those beside it."""
    at = said.at("piece")
    piece = said.board.piece_at(at)
    if piece is None or piece.piece_type != chess.KING:
        return None
    own = [
        s
        for s in said.board.pieces(chess.PAWN, piece.color)
        if abs(chess.square_file(s) - chess.square_file(at)) < 2 and (s > at) == piece.color
    ]
    near = [s for s in own if abs(chess.square_rank(s) - chess.square_rank(at)) < 3]
    answers = {_enough(said, len(own)), _enough(said, len(near))}
    if len(answers) > 1:
        return None
    text = f"pawns before {piece_on(said.board, at)}: {listed(names(near)) or 'none'}"
    return Fact(answers.pop(), text, names((at, *near)))


def steps_to_queen(said: Said) -> Fact | None:
    """Whether a pawn needs so many moves to queen."""
    at = said.at("piece")
    colour = said.board.color_at(at)
    if said.board.piece_type_at(at) != chess.PAWN or colour is None:
        return None
    moves = facts.steps_to_promote(at, colour)
    squares = 7 - chess.square_rank(at) if colour else chess.square_rank(at)
    wanted = {"square": {squares}, "move": {moves}}.get(
        said.word("unit").removesuffix("s"), {moves, squares}
    )
    return Fact(
        said.number() in wanted,
        f"{piece_on(said.board, at)} is {several(squares, 'square')} from queening",
        names([at]),
    )


def pawn_can_step(said: Said) -> Fact | None:
    """Whether the square before a pawn is free."""
    at = said.at("piece")
    colour = said.board.color_at(at)
    if said.board.piece_type_at(at) != chess.PAWN or colour is None:
        return None
    ahead = at + (8 if colour else -8)
    free = said.board.piece_at(ahead) is None
    text = f"{square(ahead)} is free" if free else f"{piece_on(said.board, ahead)} stands before it"
    return Fact(free, text, names((at, ahead)))


def king_distance(said: Said) -> Fact | None:
    """Whether a king stands so many steps from a square or piece."""
    at, to = said.at("piece"), said.at("target")
    if said.board.piece_type_at(at) != chess.KING or at == to:
        return None
    steps = chess.square_distance(at, to)
    text = f"{piece_on(said.board, at)} is {several(steps, 'step')} from {square(to)}"
    return Fact(steps == said.number(), text, names((at, to)))


def on_so_many_files(said: Said) -> Fact:
    """Whether all pawns stand on so many files."""
    files = sorted({chess.square_file(s) for s in chess.SquareSet(said.board.pawns)})
    text = f"files with pawns: {listed([file_name(f) for f in files]) or 'none'}"
    return Fact(len(files) == said.number(), text)


def _on_rank(said: Said, at: chess.Square) -> bool:
    """Whether a square is on the rank told, counted from the side told."""
    rank = said.values["rank"].number
    return bool(chess.square_rank(at) == (rank - 1 if said.side() else 8 - rank))


def abreast(said: Said) -> Fact | None:
    """Whether a side has so many pawns side by side (in the middle: one of them on d or e)."""
    own = said.board.pieces(chess.PAWN, said.side())
    middle = "middle" in said.original or "cent" in said.original
    best: list[chess.Square] = []
    for s in own:
        row = [s]
        while chess.square_file(row[-1]) < 7 and row[-1] + 1 in own:
            row.append(row[-1] + 1)
        if middle and not {chess.square_file(x) for x in row} & {3, 4}:
            continue
        if "rank" in said and not _on_rank(said, s):
            continue
        if "square" in said and said.at("square") not in row:
            continue
        best = max(best, row, key=len)
    true = len(best) >= said.number()
    return Fact(true, f"side by side: {listed(names(best)) or 'none'}", names(best))


def those_abreast(said: Said) -> Fact | None:
    """Whether the pawns on the squares named or pointed at stand side by side."""
    named = sorted(map(chess.parse_square, said.phrases["piece"].squares))
    if len(named) < 2:
        return None
    own = said.board.pieces(chess.PAWN, said.side())
    files = [chess.square_file(at) for at in named]
    pawns = all(at in own for at in named) and named[-1] - named[0] == len(named) - 1
    true = pawns and files == list(range(files[0], files[0] + len(files)))
    text = listed(piece_on(said.board, at) for at in named)
    return Fact(true, f"{text} {'stand' if true else 'do not stand'} side by side", names(named))


def number_of_open_files(said: Said) -> Fact:
    """Whether so many files have no pawns."""
    free = facts.open_files(said.board)
    text = f"files without pawns: {listed([file_name(f) for f in free]) or 'none'}"
    return Fact(len(free) == said.number(), text)


def only_open(said: Said) -> Fact:
    """Whether a file is the only open one."""
    free = facts.open_files(said.board)
    text = f"open files: {listed([file_name(f) for f in free]) or 'none'}"
    return Fact(tuple(free) == (said.file(),), text)


def file_empty_but(said: Said) -> Fact:
    """Whether nothing but the piece named stands on a file."""
    own = said.at("piece") if "piece" in said else None
    there = [
        s
        for s in chess.SQUARES
        if chess.square_file(s) == said.file() and said.board.piece_at(s) and s != own
    ]
    text = f"on the {file_name(said.file())}: {listed([piece_on(said.board, s) for s in there]) or 'nothing else'}"
    true = not there and (own is None or chess.square_file(own) == said.file())
    return Fact(true, text, names(there))


def who_is_on(said: Said) -> Fact:
    """Whether a man of the side's stands on a square."""
    at = said.at("square")
    true = said.board.color_at(at) is said.side()
    what = piece_on(said.board, at) if said.board.piece_at(at) else f"{square(at)} is empty"
    return Fact(true, what, names([at]))


_NEXT = (
    r"(?:right |just |directly )?(?:next to|beside|alongside|adjacent to|next door to|close beside)"
)
_AWAY = r"(?:away )?(?:from|short of)"
_QUEENING = (
    r"(?:queening|promoting|promotion|becoming a queen|the queening square|the promotion square|"
    r"(?:the )?R.|the other side|the end|its queening square|making a queen)"
)
_TO_QUEEN = r"(?:to (?:queen|promote|become a queen|reach (?:the )?R.|make a queen|turn into a queen|get there|go|get to the other side))"
_NO_MORE = r"(?! (?:against|to|versus|for|and|that|which|more|as|than)\b)"

_ABREAST = (
    r"(?:all )?(?:side by side|next to each other|abreast|shoulder to shoulder"
    r"|in (?:a|one|the same) (?:rank|row|line))"
)
PATTERNS = (
    Pattern(rf"{{side}} {{have}} {_HOW_MANY}{_KIND} {_PLACE}{_NO_MORE}", side_has_there),
    Pattern(rf"only {{side}} {{have}} {_HOW_MANY}{_KIND} {_PLACE}{_NO_MORE}", only_side_there),
    Pattern(
        rf"{{side}} (?:is|are) the only (?:one|side|player) with {_HOW_MANY}{_KIND} {_PLACE}",
        only_side_there,
    ),
    Pattern(rf"{{side}} {{have}} the only (?:{{wing}} )?{_KIND} {_PLACE}", only_side_there),
    Pattern(rf"{{side}} {{have}} the only {{wing}} {_KIND}", only_side_there),
    Pattern(
        rf"there (?:is|are) {_HOW_MANY}{_COLOUR}{_KIND}(?: standing| left| posted)? {_PLACE}{_NO_MORE}",
        anything_there,
    ),
    Pattern(
        rf"(?P<bare>(?:an? )?){_COLOUR}{_KIND}(?: (?:is|are|stands?))? {_PLACE}{_NO_MORE}",
        anything_there,
    ),
    Pattern(
        rf"(?P<which>all|all of|all the|both|both of|most of|none of|not one of) ?{{whose}} {_KIND} {{be}} (?:all |both )?{_PLACE}",
        all_there,
    ),
    Pattern(rf"{{whose}} {_KIND} (?:all |both )?{{be}} (?:all|both) {_PLACE}", all_there),
    Pattern(
        rf"(?P<which>all|all of|all the|both|most of|none of|not one of) (?:the )?(?P<colour>white|black) {_KIND} {{be}} (?:all )?{_PLACE}",
        all_there,
    ),
    Pattern(
        rf"the (?P<colour>white|black) {_KIND} (?:all |both )?{{be}} (?:all|both) {_PLACE}",
        all_there,
    ),
    Pattern(
        r"{target} (?:is|are|stands) (?:on )?(?:a |the )?(?P<shade>light|dark) squares?", is_shade
    ),
    Pattern(
        r"{piece} (?:is|are|hides|is hiding|are hiding) (?:right |just |directly |hidden )?(?:behind|in back of) {piece2}",
        behind,
    ),
    Pattern(rf"{{piece}} (?:is|are) {_NEXT} {{target}}", beside),
    Pattern(
        rf"{{piece}} {{have}} (?:an? |any )?(?P<colour>white |black |enemy )?{_KIND} in front of (?:it|him|her|them|P.)",
        something_in_front,
    ),
    Pattern(
        r"there (?:is|are) (?:an? |any )?(?P<kind>thing|man|piece|pawn|pawns) (?:at all )?in front of {piece}",
        something_in_front,
    ),
    Pattern(r"nothing (?:is|stands )?(?:in front of|before|ahead of) {piece}", nothing_in_front),
    Pattern(
        r"{piece} {have} (?:all )?(?:its |his |G. )?(?:{number} )?pawns? in front of (?:it|him|her|them|P.)",
        pawns_before_king,
    ),
    Pattern(
        r"{piece} (?:is|are) (?:only |just )?{number} (?P<unit>steps?|squares?|moves?) "
        rf"{_AWAY} {_QUEENING}",
        steps_to_queen,
    ),
    Pattern(
        r"{piece} (?:needs?|has|have|requires?|must make|has to make) (?:only |just )?{number} (?:more )?(?P<unit>steps?|squares?|moves?)(?: more)? "
        rf"{_TO_QUEEN}",
        steps_to_queen,
    ),
    Pattern(
        r"{piece} (?:queens|promotes|will queen|will promote|can queen) in (?:only |just )?{number} (?P<unit>moves?|steps?)",
        steps_to_queen,
    ),
    Pattern(
        r"{piece} can (?:advance|step forward|go forward|move forward|go any further|be pushed|be advanced|push on|move on|go on)",
        pawn_can_step,
    ),
    Pattern(
        r"{number} (?:of the )?files (?:is|are|have|has) (?:without |completely without |no |(?:completely |totally )?(?:open|free of|empty of|clear of) ?)(?:any )?(?:pawns)?",
        number_of_open_files,
    ),
    Pattern(r"only (?:the )?{file} is (?:completely |fully )?open", only_open),
    Pattern(
        r"(?:the )?{file} is the only (?:one that is |completely |fully )?open (?:file|one)?",
        only_open,
    ),
    Pattern(
        r"(?:the )?{file} is (?:completely |totally |quite )?empty(?: (?:apart from|except for|except|but for|save for|bar) {piece})?",
        file_empty_but,
    ),
    Pattern(
        r"{piece} is (?:alone|the only (?:piece|man|thing)|all alone) on {file}", file_empty_but
    ),
    Pattern(r"{side} (?:is|are|has anyone|has anything|has something) on {square}", who_is_on),
    Pattern(
        r"{piece} (?:is|are) (?:only |just )?{number} (?P<unit>steps?|squares?|moves?) (?:away )?from {target}",
        king_distance,
    ),
    Pattern(
        r"(?:all|all of) (?:the )?(?P<kind>pawns) (?:left )?{be} on {number} files?(?: ,? .*)?",
        on_so_many_files,
    ),
    Pattern(
        rf"{{side}} {{have}} {{number}} pawns {_ABREAST}(?: on (?:the )?{{rank}})?(?: in the (?:middle|cent(?:re|er)))?(?: ,? ?(?:on )?{{square}})?",
        abreast,
    ),
    Pattern(
        rf"{{side}} {{have}} {{piece}} {_ABREAST}(?: in the (?:middle|cent(?:re|er)))?",
        those_abreast,
    ),
)
