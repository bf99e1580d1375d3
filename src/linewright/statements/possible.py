"""What can be played: a man put on a square, a capture with a man, a check given, a check blocked.

A side that is not to move is asked as if it were (unless the other is in check). "Can" is legality
(FIDE Laws, 3.1 to 3.10), not soundness. A check is blocked by a legal move of another man to a
square between; it is met by any legal move.

    after 1.e4 e5 2.Nf3 Nc6 3.Bc4 Bc5 4.c3 Nf6 5.d4 exd4 6.cxd4 Bb4+:
        holds: White can put a knight on c3
        holds: the bishop on c1 can step in between on d2
        fails: the queen can block the check on c2
        holds: White can block with the knight on d2
        fails: White can block the check with the rook
        holds: White can answer the check by putting a knight on c3
        left alone: White can be happy
        left alone: White can count on a lot of play
    after 1.e4 e5 2.Bc4 Nc6 3.Qh5 Nf6:
        fails: White can take the knight on f6 with the queen
        fails: Black can take the queen with the pawn
        holds: the bishop can give check on f7
        holds: the queen can take on f7 with check
        fails: the bishop can give mate on f7
        holds: the queen mates on f7
"""

from __future__ import annotations

import re
from collections.abc import Callable

import chess

from linewright import facts
from linewright.judging import Fact, Pattern, Said, listed, named, others_of, piece_on, square

FAMILY = "possible"

_CAN = r"(?:can|could|may|might|is able to|are able to|is free to|is ready to|is allowed to)(?: also| simply| even| always| legally)?"
_KIND = r"(?:king|queen|rook|bishop|knight|pawn)"
_MAN = rf"(?:(?:the|a|an|G.|another) )?(?:(?:white|black|other|own|light|dark|squared) )*(?:{{file}} )?(?P<kind>{_KIND})(?: (?:(?:on|from|at) )?(?P<from>Q.))?"
_PUT = r"(?:put|place|bring|move|play|slide|swing|drop|pop|post|plant|develop|transfer|get|retreat|shift|send|station|lift|interpose|fianchetto|advance|push)"
_TAKE = r"(?:take|capture|grab|win|snatch|eat|recapture|snap off|gobble up|remove|chop off|exchange|retake|take back|pick up|swap off)"
_BETWEEN = (
    r"(?:step in between|go between|come between|go in between|get in between|jump in between|step between|block|interpose|be interposed|be put in between|"
    r"get in the way|come to the rescue|block it|block the check|meet the check|stop the check|answer the check|parry the check|parry it|stop it)"
)
_CHECK = r"(?:give (?:a )?check|check|put S. in check|deliver (?:a )?check)"


def asked(board: chess.Board, colour: chess.Color) -> chess.Board:
    """The board with a side to move; as it is where that cannot be.

    >>> asked(chess.Board(), chess.BLACK).turn
    False
    """
    if board.turn == colour or board.is_check():
        return board
    other = board.copy(stack=False)
    other.push(chess.Move.null())
    return other


def _kind(said: Said) -> chess.PieceType | None:
    word = said.word("kind")
    return chess.PIECE_NAMES.index(word) if word else None


def _moves(
    said: Said, colour: chess.Color, fits: Callable[[chess.Board, chess.Move], bool]
) -> Fact | None:
    """Whether a side has a legal move of the man named that fits."""
    board = asked(said.board, colour)
    if board.turn != colour:
        return Fact(False, f"{named(not colour)} is in check and to move")
    kind = _kind(said)
    found = [
        m
        for m in board.legal_moves
        if (kind is None or board.piece_type_at(m.from_square) == kind)
        and ("file" not in said or chess.square_file(m.from_square) == said.file())
        and ("piece" not in said or m.from_square == said.at("piece"))
        and fits(board, m)
    ]
    sans = [board.san(m) for m in found]
    return Fact(
        bool(found),
        f"legal: {listed(sans[:4])}" if found else f"{named(colour)} has no such legal move",
        tuple(dict.fromkeys(square(m.to_square) for m in found[:4])),
        tuple(f"{square(m.from_square)}-{square(m.to_square)}" for m in found[:2]),
    )


def _colour(said: Said) -> chess.Color | None:
    if "side" in said:
        return said.side()
    return said.board.color_at(said.at("piece")) if "piece" in said else None


def can_put(said: Said) -> Fact | None:
    """Whether a side can legally put such a man on a square (with check, if that is said)."""
    colour = _colour(said)
    if colour is None or ("piece" in said and said.board.color_at(said.at("piece")) != colour):
        return None
    where = said.at("square")

    def fits(board: chess.Board, move: chess.Move) -> bool:
        return move.to_square == where and (not said.word("check") or board.gives_check(move))

    return _moves(said, colour, fits)


def can_take_with(said: Said) -> Fact | None:
    """Whether a side can legally take something with such a man."""
    colour, at = _colour(said), said.at("target")
    if colour is None or said.board.color_at(at) != (not colour):
        return None
    return _moves(said, colour, lambda board, move: move.to_square == at)


def can_take_on(said: Said) -> Fact | None:
    """Whether a side can legally take on a square with such a man (with check)."""
    colour = _colour(said)
    if colour is None:
        return None
    where = said.at("square")

    def fits(board: chess.Board, move: chess.Move) -> bool:
        checks = not said.word("check") or board.gives_check(move)
        return move.to_square == where and board.is_capture(move) and checks

    return _moves(said, colour, fits)


def can_block(said: Said) -> Fact | None:
    """Whether the check can be blocked (with such a man, on a square)."""
    board, colour = said.board, _colour(said)
    if colour is None:
        return None
    if not board.is_check() or board.turn != colour:
        return Fact(False, f"{named(colour)} is not in check") if "check" in said.original else None
    king, givers = board.king(colour), board.checkers()
    blocks = re.search(r"\b(?:block|between|interpos|in the way)", said.original) is not None

    def fits(_board: chess.Board, move: chess.Move) -> bool:
        there = "square" not in said or move.to_square == said.at("square")
        between = king is not None and any(
            move.to_square in chess.SquareSet(chess.between(king, giver)) for giver in givers
        )
        return there and (between or not blocks) and (not blocks or move.from_square != king)

    return _moves(said, colour, fits)


def can_check(said: Said) -> Fact | None:
    """Whether a side (or a piece) can give check (on a square, with such a man)."""
    colour = _colour(said)
    if colour is None:
        return None

    def fits(board: chess.Board, move: chess.Move) -> bool:
        there = "square" not in said or move.to_square == said.at("square")
        return there and board.gives_check(move)

    return _moves(said, colour, fits)


def can_mate(said: Said) -> Fact | None:
    """Whether a side (or a piece) can mate with its next move (on a square)."""
    colour = _colour(said)
    if colour is None:
        return None

    def fits(board: chess.Board, move: chess.Move) -> bool:
        if "square" in said and move.to_square != said.at("square"):
            return False
        board.push(move)
        mate = board.is_checkmate()
        board.pop()
        return mate

    return _moves(said, colour, fits)


def only_kind_takes(said: Said) -> Fact | None:
    """Whether a side can take on a square with such a man and with no other."""
    fact = can_take_on(said)
    colour = _colour(said)
    if fact is None or colour is None or not fact.true:
        return fact
    board, kind = asked(said.board, colour), _kind(said)
    others = [
        board.san(m)
        for m in board.legal_moves
        if m.to_square == said.at("square")
        and board.is_capture(m)
        and (
            board.piece_type_at(m.from_square) != kind
            or ("file" in said and chess.square_file(m.from_square) != said.file())
        )
    ]
    return Fact(not others, f"{fact.because}; with others: {listed(others)}", fact.squares)


def stands_between(said: Said) -> Fact | None:
    """Whether a piece stands between two others on one line, or so many men do."""
    first, second = said.at("piece2"), said.at("piece3")
    between = chess.SquareSet(chess.between(first, second))
    line = chess.SquareSet(chess.ray(first, second))
    if not line:
        return Fact(False, f"{square(first)} and {square(second)} are on no line")
    men = [s for s in between if said.board.piece_at(s)]
    text = listed(piece_on(said.board, s) for s in men) if men else "nothing"
    true = said.at("piece") in men if "piece" in said else bool(men)
    if "number" in said:
        true = len(men) == said.number()
    return Fact(
        true,
        f"between {piece_on(said.board, first)} and {piece_on(said.board, second)} stands {text}",
        tuple(map(square, men)),
    )


def _named(said: Said) -> Fact | None:
    """Whether the move named is legal for the side in check."""
    played = said.played()
    if not said.board.is_check():
        return Fact(False, f"{named(said.board.turn)} is not in check")
    true = played.move in said.board.legal_moves and said.side() == said.board.turn
    return Fact(true, f"{played.san} is {'legal' if true else 'not legal'}")


def _check_there(said: Said) -> Fact | None:
    """Whether the side to move can give check on a square."""
    where = said.at("square")
    return _moves(
        said,
        said.board.turn,
        lambda board, move: move.to_square == where and board.gives_check(move),
    )


def squares_to_go(said: Said) -> Fact | None:
    """Whether a piece has so many legal moves."""
    at = said.at("piece")
    piece = said.board.piece_at(at)
    if piece is None or (piece.piece_type == chess.KING and re.search(r"square", said.original)):
        return None
    goals = list(dict.fromkeys(m.to_square for m in facts.mobile(said.board, at)))
    wanted = said.number() if "number" in said else None
    true = bool(goals) if wanted is None else len(goals) == wanted
    return Fact(
        true,
        f"{piece_on(said.board, at)} can go to {listed(map(square, goals))}",
        tuple(map(square, goals)),
    )


def count_checks(said: Said) -> Fact | None:
    """Whether the side to move (or the side named) has so many moves that give check."""
    colour = said.side() if "side" in said else said.board.turn
    board = asked(said.board, colour)
    sans = [board.san(m) for m in board.legal_moves if board.gives_check(m)]
    wanted = said.number() if "number" in said else 1
    return Fact(
        bool(sans) if "number" not in said else len(sans) == wanted,
        f"checks: {listed(sans)}",
    )


def between_both(said: Said) -> Fact | None:
    """Whether a man stands between two that are named together."""
    at, man = said.at("piece"), said.at("piece2")
    others = others_of(said, at)
    if len(others) != 1 or not said.phrases["piece"].parts:
        return None
    between = chess.SquareSet(chess.between(at, others[0]))
    text = listed(piece_on(said.board, s) for s in between if said.board.piece_at(s))
    return Fact(
        man in between,
        f"between {piece_on(said.board, at)} and {piece_on(said.board, others[0])} stands {text}".replace(
            "stands none", "stands nothing"
        ),
    )


def kind_between(said: Said) -> Fact | None:
    """Whether such a man (so many of them) stands between two that are named together."""
    at = said.at("piece")
    others = others_of(said, at)
    if len(others) != 1 or not said.phrases["piece"].parts:
        return None
    men = [s for s in chess.SquareSet(chess.between(at, others[0])) if said.board.piece_at(s)]
    word = said.word("kind").rstrip("s")
    kind = chess.PIECE_NAMES.index(word) if word in chess.PIECE_NAMES[1:] else None
    fit = [s for s in men if kind is None or said.board.piece_type_at(s) == kind]
    text = listed(piece_on(said.board, s) for s in men) if men else "nothing"
    true = len(fit) == said.number() if "number" in said else bool(fit)
    return Fact(
        true,
        f"between {piece_on(said.board, at)} and {piece_on(said.board, others[0])} stands {text}",
        tuple(map(square, men)),
    )


def gave_check(said: Said) -> Fact | None:
    """Whether a side gives check (with the piece named) on the board."""
    board = said.board
    if board.turn == said.side() or not board.is_check():
        return Fact(False, f"{named(not said.side())} is not in check")
    givers = list(board.checkers())
    true = said.at("piece") in givers if "piece" in said else True
    text = listed(piece_on(board, s) for s in givers)
    return Fact(true, f"check is given by {text}", tuple(map(square, givers)))


def checks_from(said: Said) -> Fact | None:
    """Whether a piece can give check on so many squares."""
    at = said.at("piece")
    colour = said.board.color_at(at)
    if colour is None:
        return None
    board = asked(said.board, colour)
    found = [m for m in board.legal_moves if m.from_square == at and board.gives_check(m)]
    goals = {m.to_square for m in found}
    return Fact(
        len(goals) == said.number(), f"checks: {listed(board.san(m) for m in found)}",
        tuple(map(square, goals)),
    )  # fmt: skip


PATTERNS = (
    Pattern(
        rf"{{piece}} {_CAN} {_CHECK}(?: (?:the|G.) king| P.)? (?:on|at|from) (?:only |just |either of )?{{number}} squares?(?: only)?",
        checks_from,
    ),
    Pattern(
        rf"{{side}} {_CAN} (?:go|step|move|run|walk|escape|retreat|jump|reply) with {_MAN} (?:to|on|onto) {{square}}",
        can_put,
    ),
    Pattern(
        r"{side} (?:has given|have given|gave|gives|is giving)(?: S.)? (?:a )?check (?:with|from|by) {piece}",
        gave_check,
    ),
    Pattern(
        r"{piece2} (?:blocks|stands in|is in|cuts|interrupts|closes|obstructs|bars) (?:the )?(?:road|way|line|path|view|connection|file|diagonal|rank) between {piece}",
        between_both,
    ),
    Pattern(
        r"there (?:is|are) (?:only |just )?(?:a|an|any|some|still a|{number}) (?:(?:white|black|enemy|own) )*(?P<kind>kings?|queens?|rooks?|bishops?|knights?|pawns?|pieces?|man|men|things?)(?: (?:left|standing))? (?:in )?between {piece}",
        kind_between,
    ),
    Pattern(
        rf"{{piece}} {_CAN} (?:go|move|jump|step|hop|get|swing|travel|retreat|slide|come|run)(?: back| over| in| straight| on)* (?:from {{square2}} )(?:to|onto|into) {{square}}(?P<check> with (?:a )?check)?",
        can_put,
    ),
    Pattern(
        r"(?:there (?:is|are) )?{piece2} (?:(?:left|standing|stands|stand|is|are) )?(?:in )?between {piece}",
        between_both,
    ),
    Pattern(
        r"{piece} {have} (?:exactly |precisely |only |just )?{number} (?:(?:legal|free|safe|possible|available|different|other) )*(?:moves?|squares?)(?: (?:to (?:go|move|run|choose|jump) (?:to|from)|to choose from|available|at (?:its|his|her|G.) disposal|to go))?(?! ahead| up| more| less| from)",
        squares_to_go,
    ),
    Pattern(
        r"{piece} (?:can|could|may) (?:go|move|get|jump|reach|choose|run|travel) ?(?:to|between|from|among)? (?:exactly |precisely |only |just )?{number} (?:(?:legal|free|safe|possible|available|different|other) )*squares?",
        squares_to_go,
    ),
    Pattern(
        r"there (?:is|are) (?:exactly |only |just )?{number} (?:(?:possible|legal|available) )?checks?(?: (?:available|possible|on the board|here|on|to be had))?(?: (?:to|for) {side})?",
        count_checks,
    ),
    Pattern(
        r"{side} {have} (?:exactly |only |just )?{number} (?:(?:possible|legal|available) )?checks?(?: (?:available|on the board|here|at (?:his|her|G.) disposal))?(?! on| with| from)",
        count_checks,
    ),
    Pattern(
        rf"{{side}} {_CAN} {_PUT} {_MAN}(?: back| over| up| down| out)? (?:to|on|onto|into|at|in on) {{square}}(?P<check> with (?:a )?check)?(?: to (?:block|stop|meet|parry) (?:it|the check))?(?! (?:by|with))",
        can_put,
    ),
    Pattern(
        rf"{{side}} {_CAN} {_PUT} {{piece}}(?: back| over| up| down| out)? (?:to|on|onto|into|at|in on) {{square}}(?P<check> with (?:a )?check)?(?: to (?:block|stop|meet|parry) (?:it|the check))?",
        can_put,
    ),
    Pattern(rf"{{side}} {_CAN} {_TAKE} {{target}} (?:with|using|by) {{piece}}", can_take_with),
    Pattern(rf"{{side}} {_CAN} {_TAKE} {{target}}(?! (?:with|by|using))", can_take_with),
    Pattern(
        rf"{{side}} {_CAN} (?:only )?{_TAKE}(?: back)? on {{square}}(?! (?:with|by))(?P<check> with check)?",
        can_take_on,
    ),
    Pattern(
        rf"{{side}} {_CAN} {_TAKE}(?: back)?(?: on)? {{square}} with {_MAN}(?P<check> with check)?",
        can_take_on,
    ),
    Pattern(
        rf"{{side}} {_CAN} {_TAKE}(?: back)?(?: on)? {{square}} only with {_MAN}", only_kind_takes
    ),
    Pattern(
        rf"{{side}} {_CAN} only {_TAKE}(?: back)?(?: on)? {{square}} with {_MAN}", only_kind_takes
    ),
    Pattern(
        rf"{{piece}} {_CAN} {_TAKE} (?:on )?{{square}}(?P<check> with (?:a )?check)?", can_take_on
    ),
    Pattern(rf"{{piece}} {_CAN} {_BETWEEN}(?: ,)?(?: (?:on|at|from) {{square}})?", can_block),
    Pattern(
        rf"{{side}} {_CAN} (?:{_BETWEEN}) (?:by (?:putting|playing|moving|bringing|placing|interposing) |with ){_MAN}(?: ,)?(?: (?:on|to|at|onto) {{square}})?",
        can_block,
    ),
    Pattern(
        rf"{{side}} {_CAN} (?:{_BETWEEN}) (?:by|with|by playing) {{move}}",
        _named,
    ),
    Pattern(
        rf"{{side}} {_CAN} {_CHECK}(?: {{whose}} king)?(?: with {_MAN})?(?: (?:on|at|from) {{square}})?(?: with {_MAN})?",
        can_check,
    ),
    Pattern(
        rf"{{piece}} {_CAN} {_CHECK}(?: (?:the|G.) king)?(?: P.)?(?: (?:on|at|from) {{square}})?",
        can_check,
    ),
    Pattern(
        rf"{{side}} (?:{_CAN} )?(?:mates?|checkmates?|(?:give|gives|deliver|delivers|force|forces) (?:check)?mate)(?: in (?:one|N.)(?: moves?)?| at once| next move)?(?: (?:on|at|from) {{square}})(?: with {_MAN})?",
        can_mate,
    ),
    Pattern(
        rf"{{piece}} (?:{_CAN} )?(?:mates?|checkmates?|(?:give|gives|deliver|delivers) (?:check)?mate)(?: in (?:one|N.)(?: moves?)?| at once| next move)?(?: (?:on|at|from) {{square}})",
        can_mate,
    ),
    Pattern(
        r"there is (?:a |one )?(?:check|checks) (?:on|at) {square}(?! with| from)",
        _check_there,
    ),
    Pattern(
        r"(?:there is )?(?:nothing|anything|something) (?:is |stands )?(?:standing |left )?between {piece2} and {piece3}",
        stands_between,
    ),
    Pattern(
        r"(?:there (?:is|are) )?(?:only |just )?{number} (?:pieces?|man|men|things?|pawns?|units?) (?:left )?(?:(?:{be}|stands?|block the way) )?(?:standing )?between {piece2} and {piece3}",
        stands_between,
    ),
    Pattern(
        r"(?:there (?:is|are) )?{piece} (?:{be}|stands) between {piece2} and {piece3}",
        stands_between,
    ),
)
