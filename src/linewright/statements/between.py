"""What stands between two men on one line: nothing, one man, so many.

Counted are the men on the squares strictly between, of either side (common practice, no source).

    after 1.e4 e5 2.Nf3 Nc6 3.Bb5 d6:
        holds: the knight on c6 stands between the bishop on b5 and the king on e8
        holds: there is one piece between the bishop on b5 and the king on e8
        fails: there is nothing between the bishop on b5 and the king on e8
        left alone: there is nothing between them as players
        left alone: the difference between the bishop and the knight is small
"""

from __future__ import annotations

import chess

from linewright.board_words import listed, names, piece_on, square
from linewright.judging import Fact, Pattern, Said, others_of

FAMILY = "between"


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


def shuts_way(said: Said) -> Fact | None:
    """Whether a man is the first that a bishop, rook or queen meets on one of its lines."""
    at, man = said.at("piece"), said.at("piece2")
    slider = said.board.piece_type_at(at) in {chess.BISHOP, chess.ROOK, chess.QUEEN}
    if not slider or said.board.piece_at(man) is None:
        return None
    met = [s for s in said.board.attacks(at) if said.board.piece_at(s)]
    text = listed(piece_on(said.board, s) for s in met) if met else "no man"
    return Fact(man in met, f"{piece_on(said.board, at)} runs into {text}", names((at, man)))


def shuts_way_of(said: Said) -> Fact | None:
    """The same of "the g2-bishop's diagonal"."""
    return shuts_way(said.meaning({**said.values, "piece": said.at("square")}))


_LINE = r"(?:(?:long|whole|short|open|light squared|dark squared) )*(?:diagonal|line|view|path|scope|range|file|way|road|sight|rays?)"
_SHUT = (
    r"(?:obstructed|blocked|closed|shut|barred|masked|interrupted|cut|cut off|shut off|obscured)"
)

PATTERNS = (
    Pattern(
        rf"(?:the|its|D.|{{whose}}) ?(?:{_LINE})? of {{piece}} {{be}} {_SHUT}(?: off)? by {{piece2}}",
        shuts_way,
    ),
    Pattern(
        rf"{{piece2}} (?:blocks|obstructs|closes|shuts|bars|masks|interrupts|cuts|obscures|hides|is in the way of|is on|stands on|cuts off|shuts off) (?:the|D.) ?(?:{_LINE})? of {{piece}}",
        shuts_way,
    ),
    Pattern(
        rf"the {{square}} (?:bishop|rook|queen) 's {_LINE} {{be}} {_SHUT}(?: off)? by {{piece2}}",
        shuts_way_of,
    ),
    Pattern(
        rf"{{piece2}} (?:blocks|obstructs|closes|shuts|bars|masks|interrupts|cuts|obscures|cuts off|shuts off) the {{square}} (?:bishop|rook|queen) 's {_LINE}",
        shuts_way_of,
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
        r"(?:there (?:is|are) )?(?:only |just |nothing but )?{piece2} (?:(?:left|standing|stands|stand|is|are) )?(?:in )?between {piece}",
        between_both,
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
