"""What has been played: where a piece came from and went, how often it moved, who was first.

The moves that led to the board are looked through, the last one first; where only a board was set
up nothing can be told. Moves of a piece are counted along its way, castling as a move of king and rook (FIDE Laws, 3.8.2).

    after 1.e4 e5 2.Nf3 Nc6 3.Bb5 a6 4.Bxc6 dxc6 5.O-O f6 6.d4 exd4 7.Nxd4 c5 8.Nb3 Qxd1 9.Rxd1:
        holds: the knight went from d4 to b3
        fails: the knight came to b3 from d2
        holds: White moved last
        holds: the knight on b3 has made three moves
        fails: White has made two moves with the knight on b3
        holds: White was the first to castle
        left alone: White took a long time over this move
        left alone: Black came here from another town
"""

from __future__ import annotations

import re

import chess

from linewright import facts
from linewright.board_words import piece_on, several, square
from linewright.judging import Fact, Pattern, Said
from linewright.moves import MAN, side_name
from linewright.moves_meant import Played
from linewright.statements.development import times_moved

FAMILY = "played"

_KIND = rf"(?:{MAN})"
_SHADES = r"(?:(?:white|black|other|own|light squared|dark squared|dark|light|same|very|new) )*"
_WENT = (
    r"(?:went|came|moved|travelled|jumped|hopped|retreated|withdrew|returned|stepped|walked|dropped|swung|slid|ran|was played|was brought|was moved|"
    r"(?:has|have) (?:gone|come|moved|travelled|jumped|hopped|retreated|withdrawn|returned|stepped|walked|dropped|swung|been played|been brought|been moved|been driven))"
    r"(?: back| over| across| out| up| down| away| all the way)*"
)


def _kind(name: str) -> chess.PieceType | None:
    return chess.PIECE_NAMES.index(name) if name in chess.PIECE_NAMES[1:] else None


def _side_of(said: Said, words: str) -> chess.Color | None:
    """The side a noun is of, as far as its words say."""
    if "whose" in said:
        return said.side("whose")
    if re.search(r"\bwhite\b", words):
        return chess.WHITE
    return chess.BLACK if re.search(r"\bblack\b", words) else None


def _file_fits(said: Said, played: Played) -> bool:
    return "file" not in said or chess.square_file(played.move.from_square) == said.file()


def _taken(played: Played) -> chess.PieceType | None:
    return facts.captured(played.before, played.move)


def _asked(said: Said, colour: chess.Color | None) -> list[Played]:
    """The moves of a side (or of both), the last one first; only that one where "just" is said."""
    own = [p for p in reversed(said.place.past()) if colour is None or p.colour == colour]
    return own[:1] if re.search(r"\b(?:just|last move)\b", said.original) else own


def _arrived_on(said: Said, played: Played) -> bool:
    """Whether a pawn stands on the file named after the move: "the c-pawn came from b2"."""
    pawn = played.before.piece_type_at(played.move.from_square) == chess.PAWN
    return pawn and chess.square_file(played.move.to_square) == said.file()


def went(said: Said) -> Fact | None:
    """Whether the last move of such a man went from one square to another."""
    colour = _side_of(said, said.word("shades"))
    kind = _kind(said.word("kind"))
    own = [
        p
        for p in _asked(said, colour)
        if p.before.piece_type_at(p.move.from_square) == kind
        and (_file_fits(said, p) or ("file" in said and _arrived_on(said, p)))
    ]
    if not own:
        return None

    def fits(played: Played) -> bool:
        return ("square" not in said or played.move.to_square == said.at("square")) and (
            "square2" not in said or played.move.from_square == said.at("square2")
        )

    found = [p for p in own if fits(p)]
    if not found and "square" in said:
        own = [p for p in own if p.move.to_square == said.at("square")] or own
    last = (found or own)[0]
    move = f"{square(last.move.from_square)}-{square(last.move.to_square)}"
    return Fact(
        bool(found),
        f"the {said.word('kind')} went {move.replace('-', ' to ')}",
        (square(last.move.to_square),),
        (move,),
    )


def moved_last(said: Said) -> Fact | None:
    """Whether a side made the last move."""
    last = said.place.last()
    if last is None:
        return None
    return Fact(
        last.colour == said.side(), f"the last move was {side_name(last.colour)}'s {last.san}"
    )


def moved_often(said: Said) -> Fact | None:
    """Whether a piece (of the side named) has made so many moves."""
    at = said.at("piece")
    colour = said.board.color_at(at)
    if colour is None or not said.place.history or ("side" in said and said.side() != colour):
        return None
    times = times_moved(said.board, at)
    wanted = said.number() if "number" in said else 1
    return Fact(
        times == wanted,
        f"{piece_on(said.board, at)} has made {several(times, 'move')}",
        (square(at),),
    )


def moved_as_often(said: Said) -> Fact | None:
    """Whether a piece has made as many moves as another, or so many more."""
    first, second = said.at("piece"), said.at("piece2")
    if said.board.piece_at(first) is None or said.board.piece_at(second) is None:
        return None
    if not said.place.history or first == second:
        return None
    one, other = times_moved(said.board, first), times_moved(said.board, second)
    how = said.word("how")
    if "number" in said:
        true = one - other == (said.number() if how != "fewer" else -said.number())
    elif how in {"more", "fewer", "less"}:
        true = one > other if how == "more" else one < other
    else:
        true = one == other
    text = (
        f"{piece_on(said.board, first)} has made {several(one, 'move')}, "
        f"{piece_on(said.board, second)} {several(other, 'move')}"
    )
    return Fact(true, text, (square(first), square(second)))


def _castled_at(said: Said, colour: chess.Color) -> int | None:
    for number, played in enumerate(said.place.past()):
        if played.colour == colour and played.before.is_castling(played.move):
            return number
    return None


def castled_first(said: Said) -> Fact | None:
    """Whether a side castled before (or after) the other."""
    if not said.place.history:
        return None
    own, other = _castled_at(said, said.side()), _castled_at(said, not said.side())
    when = said.word("when")
    if "number" in said and own is not None and other is not None:
        late = own // 2 - other // 2
        true = said.number() == (late if when in {"after", "later than"} else -late)
        return Fact(true, f"castled on moves {own // 2 + 1} and {other // 2 + 1}")
    true = own is not None and (other is None or own < other)
    if when in {"after", "later than"}:
        true = own is not None and other is not None and own > other
    told = [
        f"{side_name(c)} {'has not castled' if n is None else f'castled on move {n // 2 + 1}'}"
        for c, n in ((said.side(), own), (not said.side(), other))
    ]
    return Fact(true, "; ".join(told))


def was_first(said: Said) -> Fact | None:
    """Whether the first capture (or check) of the game was a side's."""
    for played in said.place.past():
        check = said.word("what").startswith("give") and played.after.is_check()
        if check or (said.word("what").startswith(("take", "cap")) and _taken(played)):
            return Fact(
                played.colour == said.side(), f"{side_name(played.colour)} played {played.san}"
            )
    return None


_NOUN = rf"(?:(?:the|a|an|this|that|{{whose}}) )?(?P<shades>{_SHADES})(?:{{file}} )?(?P<kind>{_KIND})(?: (?:on|from) Q.)?"


def reached_in(said: Said) -> Fact | None:
    """Whether a piece stands on a square it has come to in so many moves."""
    at, where = said.at("piece"), said.at("square")
    if said.board.color_at(at) is None or not said.place.history:
        return None
    times = times_moved(said.board, at)
    return Fact(
        at == where and times == said.number(),
        f"{piece_on(said.board, at)} has made {several(times, 'move')}",
        (square(at),),
    )


def began_on(said: Said) -> Fact | None:
    """Whether the man that stood on a square at the start now stands on another."""
    start, where = said.at("square2"), said.at("square")
    if not said.place.history:
        return None
    board = said.board.root()
    kind = _kind(said.word("kind"))
    if kind and board.piece_type_at(start) != kind:
        return None
    at: chess.Square | None = start
    for played in said.place.past():
        move = played.move
        if played.before.is_castling(move) and at is not None:
            rank, short = chess.square_rank(move.to_square), chess.square_file(move.to_square) == 6
            if at == chess.square(7 if short else 0, rank):
                at = chess.square(5 if short else 3, rank)
        if at == move.from_square:
            at = move.to_square
        elif at == move.to_square:
            at = None
    now = f"is on {square(at)}" if at is not None else "has been taken"
    return Fact(at == where, f"the man from {square(start)} {now}", (square(where),))


def started_on(said: Said) -> Fact | None:
    """Whether a piece stood on a square at the start of the game."""
    at, where = said.at("piece"), said.at("square")
    if said.board.color_at(at) is None or not said.place.history:
        return None
    start = at
    for played in reversed(said.place.past()):
        move = played.move
        if played.before.is_castling(move) and said.board.piece_type_at(at) == chess.ROOK:
            rank, short = chess.square_rank(move.to_square), chess.square_file(move.to_square) == 6
            if start == chess.square(5 if short else 3, rank):
                start = chess.square(7 if short else 0, rank)
        elif start == move.to_square:
            start = move.from_square
    return Fact(
        start == where, f"{piece_on(said.board, at)} started on {square(start)}", (square(at),)
    )


PATTERNS = (
    Pattern(
        r"{piece} (?:started|began|started out|started life|began life)(?: (?:the game|its life|out))? (?:on|from) {square}",
        started_on,
    ),
    Pattern(
        r"{piece} (?:(?:has|have) )?(?:reached|went to|came to|got to|gone to|come to|got|arrived on|is on|moved to|jumped to) {square} in (?:only |just )?{number} (?:single )?(?:moves?|steps?|tempi)",
        reached_in,
    ),
    Pattern(
        rf"(?:the|a|G.) {_SHADES}(?P<kind>{_KIND}) (?:that|which) (?:began|started|was|stood|began (?:life|the game)|started (?:out|the game)|came) (?:on|from|at) {{square2}} (?:is|has gone|has moved|has come|went|has ended up|ended up|has got)(?: now)? (?:on|to) {{square}}",
        began_on,
    ),
    Pattern(
        rf"(?:the|a|G.) {_SHADES}(?P<kind>{_KIND}) (?:from|of) {{square2}} (?:is|has gone|has moved|has come|went|has ended up|ended up|has got|has made its way)(?: now)? (?:on|to) {{square}}",
        began_on,
    ),
    Pattern(rf"{_NOUN} {_WENT} from {{square2}}(?: (?:to|onto) {{square}})?", went),
    Pattern(rf"{_NOUN} {_WENT} (?:to|onto) {{square}} from {{square2}}", went),
    Pattern(r"{side} (?:moved|played|went) last", moved_last),
    Pattern(
        r"{side} (?:made|has made|played|has played) the (?:last|latest|previous) move", moved_last
    ),
    Pattern(
        r"the (?:last|latest|previous) move (?:was|has been|is) (?:made |played )?by {side}",
        moved_last,
    ),
    Pattern(
        r"the (?:last|latest|previous) move (?:was|is) {whose}",
        lambda said: moved_last(said.of_whose()),
    ),
    Pattern(
        r"{piece} (?:(?:has|have) )?(?:made|had|completed|taken|used|spent|done|needed|moved) (?:only |just )?{number} (?:moves?|tempi|tempos|steps|times)(?: (?:already|since .*|in the (?:whole )?game|in all))?",
        moved_often,
    ),
    Pattern(
        r"{piece} (?:has |have )?(?:only )?(?:moved|advanced|been moved) (?:only |just )?once(?: (?:already|in the (?:whole )?game))?",
        moved_often,
    ),
    Pattern(
        r"{side} (?:(?:has|have) )?(?:made|spent|used|lost|played|needed|invested) (?:only |just )?{number} (?:moves?|tempi|tempos|turns) (?:with|on|for|by) {piece}(?! as)",
        moved_often,
    ),
    Pattern(
        r"{piece} (?:has |have )?(?:made|had|moved|spent|used|taken) (?:(?:just |exactly )?as (?:many (?:moves|times|tempi)|often)) as {piece2}",
        moved_as_often,
    ),
    Pattern(
        r"{piece} (?:has |have )?(?:made|had|moved|spent|used|taken) (?:{number} )?(?P<how>more|fewer|less)(?: (?:moves?|often|times|tempi))? than {piece2}",
        moved_as_often,
    ),
    Pattern(
        r"{piece} (?:has |have )?(?:made|had|moved|spent|used|taken) {number} (?:moves?|times) (?P<how>more|fewer|less) than {piece2}",
        moved_as_often,
    ),
    Pattern(
        r"{side} (?:has )?castled (?:{number} moves? |some moves )?(?P<when>before|earlier than|sooner than|ahead of|after|later than) {side2}(?: did)?",
        castled_first,
    ),
    Pattern(r"{side} (?:was|is) the first (?:one |side |player )?to castle", castled_first),
    Pattern(r"{side} castled first", castled_first),
    Pattern(
        r"{side} (?:was|is) the first (?:one |side |player )?to (?P<what>take|capture|give check)(?: (?:something|anything))?",
        was_first,
    ),
)
