"""Counting: how many of a kind are on the board, against how many, how many have gone, what was taken.

Definitions: pieces are queens, rooks, bishops and knights, minor pieces bishops and knights, heavy
pieces queens and rooks; men are all, the kings too (common practice, no source). What has gone is
counted against the array the game begins with; what was taken, and by what, is read from the moves.
"Knight against bishop" holds if both sides have just that, or if that is all in which they differ.

    after 1.e4 e5 2.Nf3 Nc6 3.Bb5 a6 4.Bxc6 dxc6 5.Nxe5 Qd4 6.Nf3 Qxe4+ 7.Qe2 Qxe2+ 8.Kxe2:
        holds: there are fourteen pawns left
        holds: two pieces each have been exchanged
        holds: the queens were exchanged on e2
        holds: we have each lost a queen
        fails: there are thirteen pawns left
        fails: three queens are left
        left alone: count the pawns before you trade pieces
    FEN 8/5pk1/6p1/3N3p/1P5P/4bPP1/6K1/8 w - - 0 1:
        holds: it's knight against bishop
        holds: White has a knight and four pawns against a bishop and three
        holds: the bishop is Black's only piece
        fails: it's rook against bishop
        fails: there are eight pawns on the board
        left alone: a knight against a bishop can be a long story
"""

from __future__ import annotations

import re
from collections.abc import Iterator

import chess

from linewright import facts
from linewright.board_words import AT_THE_START, MEN_OF_KIND, listed, several
from linewright.english.phrases import Mode
from linewright.judging import Fact, Pattern, Said
from linewright.moves import side_name
from linewright.position.pawns import Wing

FAMILY = "counting"

_TYPES = {kind: MEN_OF_KIND[kind] for kind in AT_THE_START if kind != "man"}
_PLAIN = {"minor": "minor piece", "major piece": "heavy piece", "men": "man", "unit": "man"}

_KIND = (
    r"(?:(?:minor|major|heavy) pieces?|minors|pieces?|men|units|pawns?|knights?|bishops?|rooks?|"
    r"queens?)"
)
_ITEM = rf"(?:(?:N.|an?|no|both|both the|the|all|another|G.|just|only) )*(?:(?:remaining|extra|additional|whole) )*{_KIND}"
_AND = r"(?: ,)?(?: and| plus| ,) "
_LIST = rf"{_ITEM}(?:{_AND}{_ITEM})*"
_LISTS = rf"{_ITEM}(?:{_AND}{_ITEM})+"
_LEFT = (
    r"(?: (?:left|remaining|on|in all|altogether|in total|all told|over|on the board|"
    r"left on the board|remaining on the board|still on))*"
)
_EACH = (
    r"(?:each|apiece|a side|per side|a piece|on each side|on either side|on both sides|for each side|for either side|"
    r"for both sides)"
)
_OFF = (
    r"(?:has|have|is|are|were|was)(?: been| all been| both been| all| both)? "
    r"(?:gone|off|exchanged|traded|swapped|taken|captured|come off|disappeared|vanished|left|lost|removed|"
    r"missing|no longer there|no more|dead)(?: off)?(?: the board| from the board| S\.)?"
)
_AGAINST = r"(?:against|to|versus|v|vs|facing)"
_NOT_HERE = (
    r"(?! (?:on (?!the board)|in (?!all|total)|out|developed|against|for|to|versus|more|v|up|down|at|"
    r"behind|that|which|of|fewer|less|extra|ahead|short|each|aimed|there|ending|endings|endgame|pair|"
    r"back|and N|and (?:an?|the|no|G)|,|undeveloped|around|near|protecting|attacking|defending)\b)"
)


def _kind(word: str) -> str:
    plain = word if word == "men" else word.removesuffix("s")
    return _PLAIN.get(plain, plain)


def _number(board: chess.Board, colour: chess.Color, kind: str) -> int:
    if kind == "man":
        return board.occupied_co[colour].bit_count()
    return sum(len(board.pieces(t, colour)) for t in _TYPES[kind])


def _items(words: str) -> Iterator[tuple[str, int, bool]]:
    """The kinds named in words, how many of each, and whether just so many."""
    for part in re.finditer(rf"(?P<lead>[^,]*?)\b(?P<kind>{_KIND})\b", words):
        kind, lead = _kind(part["kind"]), part["lead"].split()
        told = next((int(w) for w in lead if w.isdigit()), None)
        if told is not None:
            yield kind, told, True
        elif "no" in lead:
            yield kind, 0, True
        elif "both" in lead or ("all" in lead and kind in AT_THE_START):
            yield kind, AT_THE_START[kind], True
        elif part["kind"].endswith("s") or part["kind"] == "men":
            yield kind, 2, False
        else:
            yield kind, 1, False


def _fits(number: int, wanted: int, exact: bool) -> bool:
    return number == wanted if exact else number >= wanted


def _counts(board: chess.Board, colour: chess.Color, kinds: list[str]) -> str:
    parts = [several(_number(board, colour, kind), *_name(kind)) for kind in kinds]
    return f"{side_name(colour)} has {listed(parts)}"


def _name(kind: str) -> tuple[str, str]:
    return (kind, "men" if kind == "man" else f"{kind}s")


def has_these(said: Said) -> Fact | None:
    """Whether a side has what is listed."""
    items = list(_items(said.word("list")))
    only = bool(said.word("only"))
    colour = said.side()
    true = all(_fits(_number(said.board, colour, k), n, exact or only) for k, n, exact in items)
    kinds = [k for k, _, _ in items]
    if only and true:
        true = _nothing_else(said.board, colour, kinds)
    return Fact(true, _counts(said.board, colour, kinds))


def _nothing_else(board: chess.Board, colour: chess.Color, kinds: list[str]) -> bool:
    """Whether a side has no pieces of other kinds (pawns only count where they are named)."""
    told = {t for kind in kinds for t in _TYPES.get(kind, ())}
    rest = [t for t in _TYPES["piece"] if t not in told]
    return not any(board.pieces(t, colour) for t in rest)


def _sided(said: Said) -> list[chess.Color]:
    return [said.side()] if {"side", "whose"} & set(said.values) else [chess.WHITE, chess.BLACK]


def against(said: Said) -> Fact | None:
    """Whether one side has what is listed first and the other what is listed last."""
    mine, yours = list(_items(said.word("list"))), list(_items(said.word("other")))
    loose = re.search(r" (?:and )?(\d+)$", said.word("other"))
    if loose:  # "against a bishop and three", "three pawns to two"
        kind = mine[-1][0] if len(mine) == 1 or mine[-1][0] == "pawn" else ""
        if not kind:
            return None
        yours.append((kind, int(loose[1]), True))
    if not mine or not yours or not all(exact for _, n, exact in (*mine, *yours) if n > 1):
        return None
    kinds = list(dict.fromkeys(k for k, _, _ in (*mine, *yours)))
    if kinds == ["pawn"] and _of_a_wing(said.board, mine[0][1], yours[0][1]):
        return None
    for colour in _sided(said):
        if _stand_so(said.board, colour, mine, yours):
            return Fact(True, _both_counts(said.board, colour, kinds))
    if not {"side", "whose"} & set(said.values) and not said.word("lead"):
        return None
    if not _sided(said)[1:] or said.word("board"):
        return Fact(False, _both_counts(said.board, _sided(said)[0], kinds))
    if kinds == ["pawn"]:
        return None  # those of a wing may be meant
    return Fact(False, _both_counts(said.board, chess.WHITE, kinds))


def _both_counts(board: chess.Board, colour: chess.Color, kinds: list[str]) -> str:
    return f"{_counts(board, colour, kinds)}, {_counts(board, not colour, kinds)}"


def _stand_so(
    board: chess.Board,
    colour: chess.Color,
    mine: list[tuple[str, int, bool]],
    yours: list[tuple[str, int, bool]],
) -> bool:
    """Whether the numbers are these, or the sides differ just by them."""
    both = ((colour, mine), (not colour, yours))
    if all(_number(board, c, k) == n for c, items in both for k, n, _ in items):
        kinds = {k for k, _, _ in (*mine, *yours)}
        others = (k for k in ("knight", "bishop", "rook", "queen") if k not in kinds)
        if len(kinds) == 1 or kinds & {"pawn", "piece", "minor piece"}:
            return True
        return all(_number(board, colour, k) == _number(board, not colour, k) for k in others)
    difference = dict.fromkeys(("knight", "bishop", "rook", "queen"), 0)
    if any(k == "pawn" for k, _, _ in (*mine, *yours)):
        difference["pawn"] = 0
    for sign, items in ((1, mine), (-1, yours)):
        for kind, number, _ in items:
            if kind not in difference:
                return False
            difference[kind] += sign * number
    return all(
        _number(board, colour, k) - _number(board, not colour, k) == d
        for k, d in difference.items()
    )


def on_board(said: Said) -> Fact | None:
    """Whether so many of what is listed are on the board, of both sides together."""
    items = list(_items(said.word("list")))
    if not items:
        return None
    totals = {k: sum(_number(said.board, c, k) for c in chess.COLORS) for k, _, _ in items}
    true = all(_fits(totals[k], n, exact) for k, n, exact in items)
    told = listed([several(n, *_name(k)) for k, n in totals.items()])
    verb = "is" if len(totals) == 1 and 1 in totals.values() else "are"
    return Fact(true, f"{told} {verb} on the board")


def any_on_board(said: Said) -> Fact | None:
    """Whether any of a kind are on the board: "no queens are left" is said with a "not"."""
    kind = _kind(said.word("kinds"))
    if not said.negated or said.trailing.strip().startswith("to "):
        return None
    left = sum(_number(said.board, c, kind) for c in chess.COLORS)
    return Fact(
        left > 0, f"{several(left, *_name(kind))} {'is' if left == 1 else 'are'} on the board"
    )


def each_has(said: Said) -> Fact | None:
    """Whether each side has so many of what is listed."""
    items = list(_items(said.word("list")))
    if not items:
        return None
    true = all(_number(said.board, c, k) == n for c in chess.COLORS for k, n, _ in items)
    if not true and said.word("lead").startswith("it"):
        true = bool((each_lost(said) or Fact(False, "")).true)
    if not true and not said.values and not said.word("lead") and "there" not in said.original:
        return None  # those of a wing may be meant, or those taken
    return Fact(true, _both_counts(said.board, chess.WHITE, [k for k, _, _ in items]))


def each_lost(said: Said) -> Fact | None:
    """Whether each side has lost so many of what is listed since the start."""
    items = list(_items(said.word("list")))
    if not items or any(k not in AT_THE_START for k, _, _ in items):
        return None
    true = all(
        AT_THE_START[k] - _number(said.board, c, k) == n for c in chess.COLORS for k, n, _ in items
    )
    return Fact(true, _both_counts(said.board, chess.WHITE, [k for k, _, _ in items]))


def gone_in_all(said: Said) -> Fact | None:
    """Whether so many of a kind have gone, of both sides together or of each."""
    items = list(_items(said.word("list")))
    if not items or any(k not in AT_THE_START for k, _, _ in items):
        return None
    true = True
    for kind, number, exact in items:
        gone = [AT_THE_START[kind] - _number(said.board, c, kind) for c in chess.COLORS]
        if not exact and number == 1:
            true = true and sum(gone) > 0
        else:
            true = true and (sum(gone) == number or gone == [number, number])
    return Fact(true, _both_counts(said.board, chess.WHITE, [k for k, _, _ in items]))


def each_lost_if_both(said: Said) -> Fact | None:
    """Whether both sides have lost what is listed, if both are spoken of."""
    side = said.phrases["side"]
    if side.who != "both":
        return None
    return _lost_by(said) if side.mode is Mode.NONE else each_lost(said)


def _lost_by(said: Said) -> Fact | None:
    """Whether one side has lost so many (or more) of what is listed since the start."""
    items = list(_items(said.word("list")))
    if not items or any(k not in AT_THE_START for k, _, _ in items):
        return None
    true = all(AT_THE_START[k] - _number(said.board, said.side(), k) >= n for k, n, _ in items)
    return Fact(true, _both_counts(said.board, chess.WHITE, [k for k, _, _ in items]))


def lost_file_pawns(said: Said) -> Fact:
    """Whether a side has no pawn on the file (on each of the files)."""
    left = facts.on_file(said.board, said.side(), said.file())
    text = f"{side_name(said.side())} has {several(len(left), 'pawn')} on the {'abcdefgh'[said.file()]}-file"
    return Fact(not left, text)


def pairs_gone(said: Said) -> Fact | None:
    """Whether each side has lost one (so many) of the kind."""
    kind = _kind(said.word("kind"))
    if kind not in AT_THE_START:
        return None
    gone = [AT_THE_START[kind] - _number(said.board, c, kind) for c in (chess.WHITE, chess.BLACK)]
    wanted = said.number() if "number" in said else 1
    return Fact(gone == [wanted, wanted], _both_counts(said.board, chess.WHITE, [kind]))


def list_missing(said: Said) -> Fact | None:
    """Whether a side has lost so many of what is listed."""
    items = list(_items(said.word("list")))
    if not items or any(k not in AT_THE_START for k, _, _ in items):
        return None
    gone = {k: AT_THE_START[k] - _number(said.board, said.side(), k) for k, _, _ in items}
    true = all(gone[k] == n for k, n, _ in items)
    return Fact(true, _counts(said.board, said.side(), list(gone)))


def same_number_of(said: Said) -> Fact:
    """Whether both sides have as many of the kind."""
    kind = _kind(said.word("kind"))
    white, black = (_number(said.board, c, kind) for c in (chess.WHITE, chess.BLACK))
    return Fact(white == black, _both_counts(said.board, chess.WHITE, [kind]))


def _of_a_wing(board: chess.Board, mine: int, yours: int) -> bool:
    """Whether so many pawns stand against so many on one of the wings, and not on the board."""
    whole = [_number(board, c, "pawn") for c in (chess.WHITE, chess.BLACK)]
    if sorted(whole) == sorted((mine, yours)):
        return False
    counts = [facts.wing_count(board, wing) for wing in Wing]
    return any(sorted((w.white, w.black)) == sorted((mine, yours)) for w in counts)


def only_these(said: Said) -> Fact | None:
    """Whether no pieces but those of the kinds named (and kings and pawns) are on the board."""
    kinds = {_kind(k) for k in re.findall(_KIND, said.word("kinds"))}
    types = {t for kind in kinds for t in _TYPES.get(kind, ())}
    if kinds <= {"man", "piece"} or not types or "kings" in said.word("kinds"):
        return None
    others = [
        s
        for s in chess.SquareSet(said.board.occupied)
        if said.board.piece_type_at(s) not in {*types, chess.KING, chess.PAWN}
    ]
    missing = [
        t for t in types if not said.board.pieces(t, True) and not said.board.pieces(t, False)
    ]
    true = not others and not missing
    text = f"other pieces: {listed([chess.square_name(s) for s in others]) or 'none'}"
    return Fact(true, text, tuple(chess.square_name(s) for s in others))


def only_gone(said: Said) -> Fact | None:
    """Whether men of the kind have gone, and no others."""
    items = list(_items(said.word("list")))
    if len(items) != 1 or "pair" in said.word("list"):
        return None
    (kind, number, exact) = items[0]
    types = _TYPES.get(kind)
    if types is None or kind not in AT_THE_START:
        return None
    gone = sum(AT_THE_START[kind] - _number(said.board, c, kind) for c in chess.COLORS)
    all_gone = 32 - said.board.occupied.bit_count()
    true = gone > 0 and gone == all_gone and (not exact or gone == number)
    return Fact(true, f"{several(all_gone, 'man', 'men')} are gone, {several(gone, *_name(kind))}")


def only_pair_gone(said: Said) -> Fact | None:
    """Whether one of the kind of each side (so many) has gone, and nothing else."""
    kind = _kind(said.word("list"))
    if kind not in AT_THE_START or kind == "man":
        return None
    gone = [AT_THE_START[kind] - _number(said.board, c, kind) for c in (chess.WHITE, chess.BLACK)]
    wanted = said.number() if "number" in said else 1
    true = gone == [wanted, wanted] and 32 - said.board.occupied.bit_count() == 2 * wanted
    return Fact(true, _both_counts(said.board, chess.WHITE, [kind]))


def gone_any(said: Said) -> Fact | None:
    """Whether any men of the kind have gone."""
    kind = _kind(said.word("list"))
    if kind not in AT_THE_START or kind == "man":
        return None
    gone = sum(AT_THE_START[kind] - _number(said.board, c, kind) for c in chess.COLORS)
    return Fact(gone > 0, f"{several(gone, *_name(kind))} {'has' if gone == 1 else 'have'} gone")


def none_left(said: Said) -> Fact | None:
    """Whether none of the kinds listed is left on the board."""
    items = list(_items(said.word("list")))
    left = {k: sum(_number(said.board, c, k) for c in chess.COLORS) for k, _, _ in items}
    told = listed([several(n, *_name(k)) for k, n in left.items()])
    return Fact(not any(left.values()), f"{told} are on the board") if left else None


def one_gone(said: Said) -> Fact | None:
    """Whether a side has lost one of its pieces of a kind (so many of them)."""
    kind = _kind(said.word("kind"))
    if kind not in AT_THE_START:
        return None
    gone = AT_THE_START[kind] - _number(said.board, said.side(), kind)
    wanted = said.number() if "number" in said else 1
    return Fact(gone == wanted, _counts(said.board, said.side(), [kind]))


def last_piece(said: Said) -> Fact | None:
    """Whether a side has just one piece (or one of a kind), and it is the one named."""
    first, of = _kind(said.word("kind")), _kind(said.word("of"))
    if not re.search(r"\b(?:only|last|sole|one|single)\b", said.original):
        return None
    own = _number(said.board, said.side(), of)
    true = own == 1 and _number(said.board, said.side(), first) == 1
    return Fact(true, _counts(said.board, said.side(), list(dict.fromkeys([first, of]))))


def more_by(said: Said) -> Fact:
    """Whether a side has so many more (or fewer) of a kind than the other."""
    kind = _kind(said.word("kind"))
    more = _number(said.board, said.side(), kind) - _number(said.board, not said.side(), kind)
    sign = -1 if said.word("less") else 1
    wanted = said.number() if "number" in said else 1
    return Fact(sign * more == wanted, _both_counts(said.board, said.side(), [kind]))


def more_than(said: Said) -> Fact:
    """Whether a side has more (or fewer) of a kind than the other."""
    kind = _kind(said.word("kind"))
    more = _number(said.board, said.side(), kind) - _number(said.board, not said.side(), kind)
    return Fact((more < 0) if said.word("less") else more > 0,
                _both_counts(said.board, said.side(), [kind]))  # fmt: skip


def number_of_side(said: Said) -> Fact:
    """Whether a side has so many of a kind: "White's pawns number six"."""
    kind = _kind(said.word("kind"))
    true = _number(said.board, said.side(), kind) == said.number()
    return Fact(true, _counts(said.board, said.side(), [kind]))


def _captures(said: Said) -> list[tuple[chess.Color, chess.PieceType, chess.PieceType, int]]:
    """The captures played: who took, what was taken, by what, and where."""
    found = []
    for played in said.place.past():
        board, move = played.before, played.move
        if not board.is_capture(move):
            continue
        taken = board.piece_type_at(move.to_square) or chess.PAWN
        by = board.piece_type_at(move.from_square) or chess.PAWN
        found.append((board.turn, taken, by, move.to_square))
    return found


def traded_on(said: Said) -> Fact | None:
    """Whether both sides took one of the kind on the square."""
    kind = _kind(said.word("kind"))
    if not said.place.history or kind not in _TYPES:
        return Fact(None, "the moves that led here are not known")
    by = {c[0] for c in _captures(said) if c[1] in _TYPES[kind] and c[3] == said.at("square")}
    where = chess.square_name(said.at("square"))
    sides = listed([side_name(not c) for c in sorted(by, reverse=True)]) if by else "neither side"
    return Fact(len(by) == 2, f"{sides} lost a {kind} on {where}")


def both_file_pawns_gone(said: Said) -> Fact:
    """Whether neither side has a pawn on the file any more."""
    left = [len(facts.on_file(said.board, c, said.file())) for c in (chess.WHITE, chess.BLACK)]
    return Fact(not any(left), f"White has {several(left[0], 'pawn')} there, Black {left[1]}")


def exchanges_made(said: Said) -> Fact | None:
    """Whether anything has been taken yet."""
    gone = 32 - said.board.occupied.bit_count()
    if said.word("bare") and not said.negated:
        return None
    true = gone > 0
    return Fact(true, f"{several(gone, 'man', 'men')} {'has' if gone == 1 else 'have'} been taken")


def all_here(said: Said) -> Fact:
    """Whether all men are on the board."""
    left = said.board.occupied.bit_count()
    text = f"{several(left, 'man', 'men')} are on the board"
    if re.search(r"\bevery piece\b", said.original, re.I) and left < 32:
        pieces = (said.board.occupied & ~said.board.pawns).bit_count()
        return Fact(pieces == 16, f"{text}, {pieces} of them pieces")
    return Fact(left == 32, text)


_SORT = r"(?P<sort>captures?|exchanges?|trades?|swaps?)"

PATTERNS = (
    Pattern(rf"{{side}} {{have}} (?P<list>{_LISTS}){_LEFT}{_NOT_HERE}", has_these),
    Pattern(
        rf"{{side}} {{have}} (?P<only>nothing (?:left )?(?:but|except)|only|just) (?P<list>{_LISTS}){_LEFT}{_NOT_HERE}",
        has_these,
    ),
    Pattern(
        rf"(?:{{side}} {{have}} )(?P<list>{_LIST}) (?P<other>{_AGAINST} (?:G. )?(?:{_LIST}(?: and N.)?|N.))(?: of {{side2}})?(?! (?:pawns|on)\b)",
        against,
    ),
    Pattern(
        rf"(?P<lead>it is |we have |this is |that is |we are left with |it comes down to |there is )?(?P<list>{_LIST}) (?P<other>{_AGAINST} (?:{_LIST}(?: and N.)?|N.))(?P<board> on the board)?(?! (?:can|could|may|is|are|pawns|on|will|would|must|has|have|should)\b)",
        against,
    ),
    Pattern(
        rf"there (?:is|are) (?:only |just |exactly )?(?P<list>{_LIST}) {_EACH}(?: left| on the board)?",
        each_has,
    ),
    Pattern(
        rf"(?P<lead>it is |{{side}} (?:S. )?have |we have )?(?:each )?(?P<list>{_LIST}) {_EACH}(?: left| on the board)?(?! (?:on|in|has|have)\b)",
        each_has,
    ),
    Pattern(
        rf"there (?:is|are) (?:only |just |exactly )?(?P<list>(?:N.|no|an?) {_KIND}(?:{_AND}{_ITEM})*)"
        r"(?: (?:left|remaining|on|in all|altogether|in total|all told|on the board|in play))+",
        on_board,
    ),
    Pattern(r"there (?:is|are) (?P<list>N. (?:pawns|queens|rooks|bishops|knights|men))", on_board),
    Pattern(r"there (?:is|are) (?P<kinds>queens?|rooks|bishops|knights|pawns)", any_on_board),
    Pattern(
        rf"(?P<kinds>{_KIND}) (?:(?:is|are|remains?) )?(?:left|remaining|on|on the board|in play|there)(?: on the board)?",
        any_on_board,
    ),
    Pattern(
        rf"(?:only |just |exactly )?(?P<list>(?:N.|no) {_KIND}) (?:is|are|remain|remains)(?: left| remaining| on| on the board| there)+(?! (?:to|for|with) S)",
        on_board,
    ),
    Pattern(rf"(?P<list>N. {_KIND}) (?:left|remaining)(?: on the board)?", on_board),
    Pattern(rf"(?P<list>{_LIST}) {_EACH} {_OFF}", each_lost),
    Pattern(
        rf"{{side}} (?:S. )?(?:has|have)(?: each)?(?: both)? (?:lost|given up|traded|exchanged|swapped) (?P<list>{_LIST}) {_EACH}",
        each_lost,
    ),
    Pattern(
        rf"(?:S.|{{side}}) have each (?:lost|given up|parted with|dropped) (?P<list>{_LIST})",
        each_lost,
    ),
    Pattern(
        rf"S. S. (?:has|have) (?:lost|given up|dropped) (?P<list>(?:N.|an?|both) {_KIND})",
        each_lost,
    ),
    Pattern(rf"S. S. {{have}} (?P<list>{_LIST}){_LEFT}{_NOT_HERE}", each_has),
    Pattern(rf"{{side}} each {{have}} (?P<list>{_LIST}){_LEFT}{_NOT_HERE}", each_has),
    Pattern(rf"{{side}} {{have}} (?P<list>{_LIST}) {_EACH}{_LEFT}", each_has),
    Pattern(rf"(?:only |just |exactly )?(?P<list>(?:N.) {_KIND}) {_OFF}", gone_in_all),
    Pattern(
        rf"(?P<list>(?:the |all the |both |all )?(?:queens|rooks|bishops|knights|minor pieces|pawns|heavy pieces|major pieces)(?:{_AND}(?:the )?(?:queens|rooks|bishops|knights|minor pieces|pawns))+) {_OFF}",
        none_left,
    ),
    Pattern(
        r"(?P<list>(?:the |all the |all |both )?(?:queens|rooks|bishops|knights|minor pieces|heavy pieces|major pieces)) "
        r"(?:came off|went|have come off|went off|have all come off|got exchanged|got traded|were exchanged|were traded|were swapped)(?: off)?(?: the board)?",
        none_left,
    ),
    Pattern(
        r"(?:one|{number}) of {whose} (?P<kind>pawns|knights|bishops|rooks|pieces|minor pieces) "
        rf"{_OFF}",
        one_gone,
    ),
    Pattern(
        r"{side} (?:has|have) (?:lost|given up|parted with|traded|exchanged|swapped|given|dropped) (?:one|{number}) of {own} (?P<kind>pawns|knights|bishops|rooks|pieces|minor pieces)",
        one_gone,
    ),
    Pattern(
        r"{side} (?:is|are) (?:missing|without) (?:one|{number}) of {own} (?P<kind>pawns|knights|bishops|rooks|pieces|minor pieces)",
        one_gone,
    ),
    Pattern(
        r"(?:the|{own}) (?P<kind>knight|bishop|rook|queen) is {whose} (?:(?:only|last|remaining|one|sole|single|other) )*(?P<of>piece|minor piece|heavy piece|knight|bishop|rook)(?: left)?",
        last_piece,
    ),
    Pattern(
        r"{whose} (?P<kind>knight|bishop|rook|queen) is {own} (?:(?:only|last|remaining|one|sole|single|N.) )*(?P<of>piece|minor piece|heavy piece|knight|bishop|rook)(?: left)?",
        last_piece,
    ),
    Pattern(
        r"{whose} (?:(?:only|last|remaining|one|sole|single|N.) )*(?P<of>piece|minor piece|heavy piece)(?: left)? is (?:a|the|{own}) (?P<kind>knight|bishop|rook|queen)",
        last_piece,
    ),
    Pattern(
        rf"{{side}} {{have}} (?:{{number}}|an?) more (?P<kind>{_KIND})(?: than {{side2}})?(?: (?:has|have|does|do))?(?! (?:on|in|out|developed)\b)",
        more_by,
    ),
    Pattern(
        rf"{{side}} {{have}} (?:{{number}}|an?) (?P<kind>{_KIND}) more(?: than {{side2}})?(?: (?:has|have|does|do))?(?! (?:on|in|out|developed)\b)",
        more_by,
    ),
    Pattern(
        rf"{{side}} {{have}} (?:{{number}}|an?) (?P<less>fewer|less) (?P<kind>{_KIND})(?: than {{side2}})?(?! (?:on|in|out|developed)\b)",
        more_by,
    ),
    Pattern(
        rf"{{side}} {{have}} (?:{{number}}|an?) (?P<kind>{_KIND}) (?P<less>fewer|less)(?: than {{side2}})?(?! (?:on|in|out|developed)\b)",
        more_by,
    ),
    Pattern(
        rf"{{side}} {{have}} (?:the )?(?:more|most|greater number of) (?P<kind>{_KIND})(?: than {{side2}})?(?: left)?(?! (?:on|in|out|developed|near|around|to)\b)",
        more_than,
    ),
    Pattern(
        rf"{{side}} {{have}} (?:the )?(?P<less>fewer|less|fewest) (?P<kind>{_KIND})(?: than {{side2}})?(?: left)?(?! (?:on|in|out|developed|near|around|to)\b)",
        more_than,
    ),
    Pattern(
        r"{side} {have} (?:{number}|an?) (?:extra|additional) (?P<kind>(?:minor|major|heavy) pieces?)(?: than {side2})?(?! (?:on|in|out|developed)\b)",
        more_by,
    ),
    Pattern(
        r"{side} (?:is|are) down to {number} (?P<kind>pawns?|pieces?|minor pieces?|knights?|bishops?|rooks?)",
        number_of_side,
    ),
    Pattern(
        r"{number} of the (?P<kind>pawns|pieces|knights|bishops|rooks) (?:is|are) {whose}",
        number_of_side,
    ),
    Pattern(
        r"(?:the |both |a pair of )?(?P<kind>queens|rooks|bishops|knights|pawns|minor pieces) (?:has been|have been|were|was|got|came|have come) (?:exchanged|traded|swapped|off|traded off|exchanged off|swapped off|taken off) on {square}",
        traded_on,
    ),
    Pattern(
        r"{side} (?:has |have )?(?:exchanged|traded|swapped) (?:the |a pair of )?(?P<kind>queens|rooks|bishops|knights|pawns|minor pieces) on {square}",
        traded_on,
    ),
    Pattern(
        r"(?:both|both the|the) {file} pawns (?:has|have|are|were)(?: both)?(?: been)? (?:gone|off|exchanged|traded|swapped|taken|come off|disappeared|vanished|left the board|missing|no longer there)(?: off)?",
        both_file_pawns_gone,
    ),
    Pattern(
        rf"there (?:have been|has been|is|are) (?:(?:an?|any|one|first|N.) )*{_SORT}",
        exchanges_made,
    ),
    Pattern(r"(?P<bare>(?:an? |one |N. )?(?:captures?|exchanges?|trades?|swaps?))", exchanges_made),
    Pattern(
        rf"{{side}} (?:has|have) (?:made|seen|had) (?:an?|any|a single) {_SORT}", exchanges_made
    ),
    Pattern(
        r"(?:everything|everyone|everybody|the whole army|the whole lot|every piece|every man|every pawn and piece|all of it) (?:is|are) (?:on|on the board|here|there|present|in place)(?: on the board)?",
        all_here,
    ),
    Pattern(
        r"(?:none|not one|no one|not any) of the (?:pieces|men|pieces and pawns) (?:has|have|is|are)(?: been)? (?:exchanged|traded|taken|captured|swapped|gone|lost|off)",
        all_here,
    ),
    Pattern(
        r"(?:nothing|not a thing) (?:is|has) (?:come off|been lost|gone|been swapped|left the board)(?: the board)?",
        all_here,
    ),
    Pattern(rf"(?P<list>{_LIST}) (?:of|from|for) {{side}} {_OFF}", each_lost_if_both),
    Pattern(
        rf"{{side}} (?:has|have) (?:lost|parted with|given up|had to give up|exchanged|traded) (?P<list>{_LIST})(?! (?:for|in return|in exchange|each|apiece|or)\b)",
        each_lost_if_both,
    ),
    Pattern(r"{side} (?:has|have) lost (?:{own} |the |a |an )?{file} pawns?", lost_file_pawns),
    Pattern(
        rf"(?:the|a|an|one|{{number}}) pairs? of (?P<kind>{_KIND}) (?:has|have|is|are|was|were|left|came off|went)(?: been| come| just| both)* ?(?:gone|off|exchanged|traded|swapped|left|disappeared|vanished|the board|taken|removed|come off)*(?: off)?(?: the board| from the board)?(?: (?:around|on|at|by|before|after|about|as early as) move N.)?",
        pairs_gone,
    ),
    Pattern(rf"{{side}} {{have}} (?:only |just )?(?P<list>{_LIST}) missing", list_missing),
    Pattern(
        rf"{{side}} {{have}} the same number of (?P<kind>{_KIND})(?: as {{side2}})?", same_number_of
    ),
    Pattern(rf"(?P<list>(?:N.|an?) {_KIND}) (?:of|from) each \w+ {_OFF}", each_lost),
    Pattern(
        rf"only (?P<kinds>(?:the )?(?:kings and )?{_KIND}(?:{_AND}(?:the )?{_KIND})*) (?:is|are|remain|remains)(?: left| remaining| on the board| still there)*",
        only_these,
    ),
    Pattern(
        rf"(?:there (?:is|are) |we have |it is )?(?:only|nothing but|just) (?P<kinds>(?:the )?(?:kings and )?{_KIND}(?:{_AND}(?:the )?{_KIND})*) (?:left|remaining|on the board)",
        only_these,
    ),
    Pattern(
        rf"the only (?:pieces|things|men) left (?:is|are) (?P<kinds>(?:the )?(?:kings and )?{_KIND}(?:{_AND}(?:the )?{_KIND})*)",
        only_these,
    ),
    Pattern(
        rf"(?:apart from|besides|except for|other than) the (?:kings and pawns|kings|pawns) (?:there (?:is|are) )?(?:only )?(?P<kinds>(?:the )?{_KIND}(?:{_AND}(?:the )?{_KIND})*) (?:is|are|remain) (?:left|on the board|there)",
        only_these,
    ),
    Pattern(rf"(?P<list>{_LIST}) {_OFF} {_EACH}", each_lost),
    Pattern(
        r"{side} (?:is|are) (?:missing|without|short of) (?:{own} |the |a |an )?{file} pawns?",
        lost_file_pawns,
    ),
    Pattern(
        rf"(?:only|just|nothing but) (?P<list>(?:N. |one )?(?:pairs? of )?{_KIND}) {_OFF}",
        only_gone,
    ),
    Pattern(
        rf"(?:only|just) (?:a |one |{{number}} )?pairs? of (?P<list>{_KIND}) {_OFF}", only_pair_gone
    ),
    Pattern(
        rf"(?:only |just )?(?P<list>{_LIST}) {_EACH} (?:remains?|survives?|is left|are left|left)(?: on the board)?",
        each_has,
    ),
    Pattern(
        r"(?:an? |one |any |single |N. )*(?P<bare>unit|man|piece|thing) (?:has|have) (?:left the board|come off|been taken|been captured|been exchanged|disappeared|gone)",
        exchanges_made,
    ),
    Pattern(rf"the first (?P<list>pawns|pieces|minor pieces|knights|bishops) {_OFF}", gone_any),
)
