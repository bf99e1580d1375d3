"""With how many men, and with which, a side attacks or defends something; more or fewer than another.

Counted are the men that bear on a square directly, pinned or not (FIDE Laws, 3.1.2); a number also
agrees if men behind others on the same line are counted in. "With the knight" tells with which.

    after 1.e4 e5 2.Nf3 Nc6 3.Bc4 Bc5 4.c3 Nf6 5.d3 d6 6.O-O O-O 7.Re1 a6:
        holds: White attacks f7 with one piece only
        holds: White attacks f7 with the bishop
        fails: Black defends e5 with the bishop
        holds: Black defends e5 with two pieces
        fails: White attacks f7 with more pieces than Black defends it with
        holds: Black defends e5 more often than White attacks it
        fails: the pawn on e5 has as many defenders as attackers
        holds: the pawn on e4 is attacked once by Black and defended twice by White
        fails: the knight on f6 attacks e4 together with the bishop on c5
        holds: f7 has one attacker but two defenders
        left alone: White defends with great skill
"""

from __future__ import annotations

import chess

from linewright import facts
from linewright.board_words import listed, names, piece_on, square
from linewright.judging import Fact, Pattern, Said
from linewright.moves import PIECE_TYPES, side_name

FAMILY = "attack counts"

_HITS = r"(?:attacks?|hits?|targets?|bears? (?:down )?on|aims? at|strikes? at)"
_SAVES = r"(?:defends?|protects?|guards?|covers?|supports?|holds?)"
_HIT = r"(?:attacked|hit|targeted|under attack|threatened)"
_SAFE = r"(?:defended|protected|guarded|covered|supported)"
_UNIT = r"(?:P.|(?P<kind>pieces?|units?|men|man|things?|ones?|pawns?|knights?|bishops?|rooks?|attackers?|defenders?))"


def _bearing(said: Said, colour: chess.Color, at: chess.Square) -> tuple[int, int]:
    """How many men of a side bear on a square, and how many with those behind them."""
    kind = PIECE_TYPES.get(said.word("kind").rstrip("s"))
    own = facts.attackers(said.board, colour, at)
    if kind:
        own = tuple(s for s in own if said.board.piece_type_at(s) == kind)
        return len(own), len(own)
    return len(own), len(own) + len(facts.attackers_through(said.board, colour, at))


def _told(said: Said, colour: chess.Color, at: chess.Square) -> str:
    own = facts.attackers(said.board, colour, at)
    men = (
        listed(f"{piece_on(said.board, s)}".removeprefix("the ") for s in own) if own else "nothing"
    )
    return f"{side_name(colour)} bears on {square(at)} with {men}"


def _wrong_way(said: Said, colour: chess.Color, at: chess.Square, saves: bool) -> bool:
    """Whether a side is said to attack its own man, or to defend the enemy's."""
    owner = said.board.color_at(at)
    return owner is not None and (owner == colour) != saves


def with_number(said: Said) -> Fact | None:
    """Whether a side attacks or defends something with so many men."""
    at, colour = said.at("target"), said.side()
    if _wrong_way(said, colour, at, bool(said.word("saves"))):
        return None
    return Fact(
        said.number() in _bearing(said, colour, at),
        _told(said, colour, at),
        names((at, *facts.attackers(said.board, colour, at))),
    )


def with_man(said: Said) -> Fact | None:
    """Whether a side attacks or defends something with the man named."""
    at, source = said.at("target"), said.at("piece")
    if said.board.color_at(source) is None or source == at:
        return None
    true = source in facts.attackers(said.board, said.side(), at)
    return Fact(true, _told(said, said.side(), at), names((at, source)))


def more_than(said: Said) -> Fact | None:
    """Whether a side bears on something with more men (or so many more) than the other."""
    at, colour = said.at("target"), said.side()
    (mine, mine_all), (yours, yours_all) = (_bearing(said, c, at) for c in (colour, not colour))
    text = f"{_told(said, colour, at)}; {_told(said, not colour, at)}"
    if "number" in said:
        return Fact(said.number() in {mine - yours, mine_all - yours_all}, text, names([at]))
    if said.word("how") == "fewer":
        return Fact(mine_all < yours_all, text, names([at]))
    if said.word("how") == "as":
        return Fact(mine == yours or mine_all == yours_all, text, names([at]))
    return Fact(mine_all > yours_all, text, names([at]))


def _pressure(said: Said) -> tuple[chess.Square, tuple[int, int], tuple[int, int], str] | None:
    at = said.at("target")
    if said.board.color_at(at) is None:
        return None
    state = facts.pressure(said.board, at)
    hits, keeps = len(state.attackers), len(state.defenders)
    text = f"{piece_on(said.board, at)} is attacked {hits} and defended {keeps} times"
    return (
        at,
        (hits, hits + len(state.attackers_behind)),
        (keeps, keeps + len(state.defenders_behind)),
        text,
    )


def both_counts(said: Said) -> Fact | None:
    """Whether something is attacked so often and defended so often."""
    found = _pressure(said)
    if found is None:
        return None
    at, hits, keeps, text = found
    if "side" in said and _wrong_way(said, said.side(), at, saves=False):
        return Fact(False, f"{piece_on(said.board, at)} is {side_name(said.side())}'s own")
    true = said.number() in hits and said.number("number2") in keeps
    return Fact(true, text, names([at]))


def compared(said: Said) -> Fact | None:
    """Whether something has more, fewer or as many attackers as defenders."""
    found = _pressure(said)
    if found is None:
        return None
    at, hits, keeps, text = found
    first, second = (hits, keeps) if said.word("first").startswith("att") else (keeps, hits)
    if "number" in said:
        true = said.number() in {a - b for a, b in zip(first, second, strict=True)}
    elif said.word("how") == "as":
        true = any(a == b for a, b in zip(first, second, strict=True))
    else:
        true = first[1] > second[1] if said.word("how") == "more" else first[1] < second[1]
    return Fact(true, text, names([at]))


def together(said: Said) -> Fact | None:
    """Whether a piece and another both attack something (or both defend it)."""
    at = said.at("target")
    both = (said.at("piece"), said.at("piece2"))
    colours = {said.board.color_at(s) for s in both}
    if len(colours) != 1 or None in colours:
        return None
    true = all(facts.attacks(said.board, s, at) for s in both)
    each = [
        f"{piece_on(said.board, s)} {'bears' if facts.attacks(said.board, s, at) else 'does not bear'}"
        for s in both
    ]
    return Fact(true, f"on {square(at)} {listed(each)}", names((at, *both)))


_SIDES = rf"{{side}} (?:(?P<hits>{_HITS})|(?P<saves>{_SAVES})) {{target}}"
_THAN = r"than (?:{side2}|P.)(?: (?:attacks?|defends?|protects?|guards?|covers?|controls?|does|do|has|have))?(?: (?:it|P.))?(?: with)?"

PATTERNS = (
    Pattern(
        rf"{_SIDES} (?:only |just )?with (?:only |just )?{{number}} {_UNIT}(?: (?:only|alone|in all))?(?! more)",
        with_number,
    ),
    Pattern(rf"{_SIDES} (?:only |just )?with {{piece}}(?: (?:only|alone))?", with_man),
    Pattern(rf"{_SIDES} with (?P<how>more|fewer) {_UNIT} {_THAN}", more_than),
    Pattern(rf"{_SIDES} with {{number}} (?:more {_UNIT}|{_UNIT} more) {_THAN}", more_than),
    Pattern(
        rf"{_SIDES} with (?:just |exactly )?(?P<how>as) many {_UNIT} as (?:{{side2}}|P.)(?: (?:attacks?|defends?|does|do|has|have))?(?: (?:it|P.))?(?: with)?",
        more_than,
    ),
    Pattern(rf"{_SIDES} (?P<how>more|fewer|less) (?:often|times) {_THAN}", more_than),
    Pattern(
        rf"{_SIDES} (?:just |exactly )?(?P<how>as) (?:often|many times) as (?:{{side2}}|P.)(?: (?:attacks?|defends?|does|do|has|have))?(?: (?:it|P.))?",
        more_than,
    ),
    Pattern(r"{side} outnumbers? {side2} (?:on|at|around) {target}", more_than),
    Pattern(
        r"{side} {have} (?P<how>more|fewer) (?:pieces|units|men|attackers|defenders) (?:on|around|bearing on|trained on|aimed at|pointing at|against) {target} than {side2}",
        more_than,
    ),
    Pattern(
        rf"{{target}} (?:{{be}}) {_HIT} (?:{{number}} times )?by (?:{{number}} {_UNIT}|{{side}}|{{number}})(?: {{number}} times)? (?:and|but|, but|, and) (?:is |it is |P. is |only |just )*{_SAFE} (?:only |just )?(?:by )?(?:{{number2}}(?: (?:times|pieces|men|units|ones|defenders))?|{{number2}} times by S.|by {{number2}})(?: by S.)?",
        both_counts,
    ),
    Pattern(
        rf"{{target}} (?:{{be}}) {_HIT} {{number}} times by {{side}} (?:and|but|, but|, and) (?:is |it is |P. is |only |just )*{_SAFE} (?:only |just )?{{number2}} times(?: by S.)?",
        both_counts,
    ),
    Pattern(
        r"{target} {have} (?:only |just )?{number} attackers? (?:and|but|against|to) (?:only |just )?{number2} (?:defenders?|protectors?|guards?)",
        both_counts,
    ),
    Pattern(
        r"{target} {have} (?:just |exactly )?(?P<how>as) many (?P<first>attackers|defenders) as (?:it has )?(?:attackers|defenders)",
        compared,
    ),
    Pattern(
        r"{target} {have} {number} more (?P<first>attackers?|defenders?) than (?:attackers|defenders)",
        compared,
    ),
    Pattern(
        r"{target} {have} (?P<how>more|fewer) (?P<first>attackers|defenders) than (?:attackers|defenders)",
        compared,
    ),
    Pattern(
        rf"{{target}} {{be}} (?P<first>attack)ed by {{number}} (?:piece|unit|man)s? more than (?:defends? it|{_SAFE}|it is {_SAFE})",
        compared,
    ),
    Pattern(
        rf"{{piece}} (?:{_HITS}|{_SAVES}) {{target}} (?:together|along|in tandem|jointly) with {{piece2}}",
        together,
    ),
    Pattern(
        rf"{{piece}} (?:together|along) with {{piece2}} (?:{_HITS}|{_SAVES}) {{target}}", together
    ),
)
