"""Pawns: doubled, isolated, backward, passed, connected, hanging, chains, islands, majorities.

Definitions: doubled, isolated, backward, passed, connected pawns, majority and island as in Hooper
& Whyld, The Oxford Companion to Chess; hanging pawns and the chain as in Nimzowitsch, My System;
the candidate as in Kmoch, Pawn Power in Chess. The wings are the files a to d and e to h; a
count also holds if it is right with the d- and e-files left out. A passed pawn has no enemy pawn
ahead on its own or a neighbouring file.

    after 1.e4 e5 2.Nf3 Nc6 3.Bb5 Nf6 4.O-O Nxe4 5.d4 Nd6 6.Bxc6 dxc6 7.dxe5 Nf5 8.Qxd8+ Kxd8 9.Nc3:
        holds: White has four pawns against three on the kingside
        holds: White has three pawns against four on the queenside
        fails: White has three pawns against two on the queenside
        holds: Black's queenside pawns are doubled
        holds: Black has doubled c-pawns
        holds: the doubled c-pawns are a long-term weakness
        fails: White has doubled pawns
        holds: White has a kingside majority
        holds: Black has the majority on the queenside
        holds: neither side has a passed pawn
        left alone: doubled pawns are not always weak
        left alone: a passed pawn must be pushed
    after 1.e4 c6 2.d4 d5 3.exd5 cxd5 4.c4 Nf6 5.Nc3 e6 6.Nf3 Be7 7.cxd5 Nxd5:
        holds: White has an isolated queen's pawn
        holds: the pawn on d4 is isolated
        fails: White's pawns on d4 and h4 are isolated
        holds: White has three pawn islands
        holds: White's pawns on a2, b2 and d4 form two islands
        fails: White's pawns on a2, b2 and d4 form three islands
        fails: Black has an isolated pawn
        holds: the isolated d-pawn is White's
        fails: the d-pawn is a passed pawn
        fails: White has hanging pawns
    after 1.e4 c5 2.Nf3 d6 3.d4 cxd4 4.Nxd4:
        cannot tell: White has an extra pawn in the centre
        fails: White has two extra pawns in the centre
        holds: Black has an extra pawn in the centre
        holds: Black has one pawn more in the centre
        holds: White is a pawn down in the centre
    FEN 4k3/pp3p2/8/2pP4/2P5/8/5PPP/4K3 w - - 0 1:
        holds: White has a protected passed pawn on d5
        holds: the pawn on d5 is passed and protected
        fails: White has a passed c-pawn
        holds: White has a passed d-pawn
        holds: White's h-pawn is passed
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace

import chess

from linewright import facts
from linewright.board_words import (
    file_name,
    kind_and_square,
    listed,
    names,
    piece_on,
    several,
    square,
)
from linewright.english.phrases import Phrase
from linewright.judging import Fact, Pattern, Said
from linewright.moves import PIECE_TYPES, side_name
from linewright.position.pawns import Wing

FAMILY = "pawns"

Finder = Callable[[chess.Board, chess.Color], Iterable[chess.Square]]


def _doubled(board: chess.Board, colour: chess.Color) -> list[chess.Square]:
    return [s for group in facts.doubled(board, colour) for s in group]


def _tripled(board: chess.Board, colour: chess.Color) -> list[chess.Square]:
    return [s for group in facts.tripled(board, colour) for s in group]


def _connected_passed(board: chess.Board, colour: chess.Color) -> list[chess.Square]:
    return [s for group in facts.connected_passed(board, colour) for s in group]


def _isolated_doubled(board: chess.Board, colour: chess.Color) -> list[chess.Square]:
    return [s for s in _doubled(board, colour) if s in facts.isolated(board, colour)]


def _blockaded(board: chess.Board, colour: chess.Color) -> list[chess.Square]:
    step = 8 if colour else -8
    enemy = board.occupied_co[not colour]
    return [s for s in facts.pawns(board, colour) if enemy & chess.BB_SQUARES[s + step]]


def _fixed(board: chess.Board, colour: chess.Color) -> list[chess.Square]:
    return [pair[0 if colour else 1] for pair in facts.rams(board)]


KINDS: tuple[tuple[str, Finder], ...] = (
    ("connected passed", _connected_passed),
    ("protected passed", facts.protected_passed),
    ("outside passed", facts.outside_passed),
    ("distant passed", facts.outside_passed),
    ("isolated doubled", _isolated_doubled),
    ("doubled isolated", _isolated_doubled),
    ("doubled and isolated", _isolated_doubled),
    ("isolated and doubled", _isolated_doubled),
    ("tripled", _tripled),
    ("trebled", _tripled),
    ("doubled", _doubled),
    ("double", _doubled),
    ("isolated", facts.isolated),
    ("backward", facts.backward),
    ("passed", facts.passed),
    ("connected", facts.connected),
    ("united", facts.connected),
    ("linked", facts.connected),
    ("hanging", facts.hanging_pawns),
    ("candidate", facts.candidates),
    ("blockaded", _blockaded),
    ("blocked", _blockaded),
    ("fixed", _fixed),
)
_WORDS = "|".join(sorted((k for k, _ in KINDS), key=len, reverse=True))


def _finder(word: str) -> tuple[str, Finder] | None:
    word = word.replace("passer", "passed").strip()
    for kind, finder in KINDS:
        if word == kind:
            return kind, finder
    return None


def _found(said: Said, colour: chess.Color) -> tuple[str, tuple[chess.Square, ...]] | None:
    """The pawns of a side of the kind named, on the file, wing or square named."""
    found = _finder(said.word("kind"))
    if found is None:
        return None
    kind, finder = found
    squares = tuple(finder(said.board, colour))
    if "file" in said:
        squares = tuple(s for s in squares if chess.square_file(s) == said.file())
    if "wing" in said:
        files = range(4) if said.wing() is Wing.QUEENSIDE else range(4, 8)
        squares = tuple(s for s in squares if chess.square_file(s) in files)
    if "square" in said:
        squares = tuple(s for s in squares if s == said.at("square"))
    if said.word("which"):
        wanted = {"queen": 3, "king": 4}[said.word("which")]
        squares = tuple(s for s in squares if chess.square_file(s) == wanted)
    return kind, squares


def _all_of(said: Said, colour: chess.Color) -> str:
    """What a side has of the kind named, anywhere."""
    found = _finder(said.word("kind"))
    assert found is not None
    kind, finder = found
    squares = tuple(finder(said.board, colour))
    where = f"on {listed(names(squares))}" if squares else "nowhere"
    label = {"double": "doubled", "united": "connected", "linked": "connected"}.get(kind, kind)
    if not squares:
        return f"{side_name(colour)} has no {label} pawn"
    article = "an" if label[0] in "aeiou" else "a"
    several_pawns = f"{label} pawns" if len(squares) > 1 else f"{article} {label} pawn"
    return f"{side_name(colour)} has {several_pawns} {where}"


def has_kind(said: Said) -> Fact | None:
    """Whether a side has pawns of the kind named (there)."""
    colour = said.side("whose" if "whose" in said else "side")
    found = _found(said, colour)
    if found is None:
        return None
    kind, squares = found
    true = bool(squares)
    if "number" in said:
        number = (
            len({chess.square_file(s) for s in squares})
            if kind in {"doubled", "tripled"} and (said.word("sets"))
            else len(squares)
        )
        true = number == said.number()
    elif said.word("several") and kind not in {"doubled", "tripled", "connected", "hanging"}:
        true = len(squares) > 1
    return Fact(true, _all_of(said, colour), names(squares))


def anyone_has(said: Said) -> Fact | None:
    """Whether either side has pawns of the kind named (there)."""
    facts_of = [
        has_kind(replace(said, values={**said.values, "side": c}))
        for c in (chess.WHITE, chess.BLACK)
    ]
    known = [f for f in facts_of if f is not None]
    for fact in known:
        if fact.true:
            return fact
    return Fact(False, "; ".join(f.because for f in known)) if known else None


def side_only(said: Said) -> Fact | None:
    """Whether only one side has pawns of the kind named."""
    mine, yours = (
        has_kind(said),
        has_kind(replace(said, values={**said.values, "side": not said.side()})),
    )
    if mine is None or yours is None:
        return None
    return Fact(bool(mine.true) and not yours.true, f"{mine.because}; {yours.because}")


def is_kind(said: Said) -> Fact | None:
    """Whether a pawn is of the kind named (or of both kinds, if there are two)."""
    if said.word("other"):
        parts = [_is(said, said.word(name)) for name in ("other", "kind")]
        return next((p for p in parts if p is None or not p.true), parts[1])
    name = "target" if "target" in said else "piece"
    if empty := _without_pawn(said, name):
        return Fact(False, f"no pawn stands on {listed(empty)}")
    at = said.at(name)
    piece = said.board.piece_at(at)
    found = _finder(said.word("kind"))
    if piece is None or found is None or piece.piece_type != chess.PAWN:
        return None
    kind, finder = found
    squares = set(finder(said.board, piece.color))
    phrase = said.phrases.get(name)
    if phrase is not None and phrase.plural and "doubled" in kind and not phrase.files:
        return _group(said, phrase, piece.color, squares)
    true = at in squares
    return Fact(true, _why(said.board, at, piece.color, kind, true), names([at]))


def _without_pawn(said: Said, name: str) -> list[str]:
    """The squares that pawns are named on together ("the pawns on a2 and d3") and none stands on."""
    phrase = said.phrases.get(name)
    if phrase is None or not phrase.plural or len(phrase.squares) < 2 or phrase.pieces != "P":
        return []
    squares = {at: said.board.piece_type_at(chess.parse_square(at)) for at in phrase.squares}
    return [at for at, kind in squares.items() if kind != chess.PAWN]


def _group(said: Said, phrase: Phrase, colour: chess.Color, squares: set[chess.Square]) -> Fact:
    """Of pawns named together ("Black's queenside pawns are doubled") one pair is enough."""
    wing = next((w for w in phrase.words if w in {"kingside", "queenside"}), "")
    kept = [
        s
        for s in sorted(squares)
        if not wing or (chess.square_file(s) < 4) == (wing == "queenside")
    ]
    return Fact(bool(kept), _all_of(said, colour), names(kept))


def _why(board: chess.Board, at: chess.Square, colour: chess.Color, kind: str, true: bool) -> str:
    pawn = piece_on(board, at)
    file = chess.square_file(at)
    if kind in {"passed", "protected passed", "outside passed", "distant passed"} and not true:
        ahead = [
            s
            for s in facts.pawns(board, not colour)
            if abs(chess.square_file(s) - file) <= 1
            and (chess.square_rank(s) > chess.square_rank(at)) == colour
            and chess.square_rank(s) != chess.square_rank(at)
        ]
        if ahead:
            return f"{pawn} is not passed: {listed(names(ahead))} is ahead of it".replace(
                "is ahead", "are ahead" if len(ahead) > 1 else "is ahead"
            )
    if kind == "isolated" and not true:
        near = [s for s in facts.pawns(board, colour) if abs(chess.square_file(s) - file) == 1]
        return f"{pawn} has a neighbour on {listed(names(near[:1]))}"
    if kind == "doubled" and not true:
        return f"{pawn} is {side_name(colour)}'s only pawn on the {file_name(file)}"
    label = {"double": "doubled", "united": "connected", "linked": "connected"}.get(kind, kind)
    return f"{pawn} is {'' if true else 'not '}{label}"


def is_protected_passed(said: Said) -> Fact | None:
    """Whether a pawn is passed and defended by a pawn."""
    at = said.at("piece")
    colour = said.board.color_at(at)
    if colour is None:
        return None
    true = at in facts.protected_passed(said.board, colour)
    return Fact(true, _why(said.board, at, colour, "protected passed", true), names([at]))


def islands(said: Said) -> Fact:
    """Whether a side has so many pawn islands."""
    groups = facts.islands(said.board, said.side())
    text = "; ".join(listed(names(g)) for g in groups)
    return Fact(
        len(groups) == said.number(),
        f"{side_name(said.side())} has {several(len(groups), 'pawn island')}: {text}",
    )


def in_one_group(said: Said) -> Fact | None:
    """Whether all pawns of a side form one island."""
    if re.search(r"\b(?:two|three|four|five|[2-8])\b", said.original):
        return None
    groups = facts.islands(said.board, said.side("whose"))
    text = "; ".join(listed(names(g)) for g in groups)
    colour = said.side("whose")
    return Fact(
        len(groups) == 1, f"{side_name(colour)} has {several(len(groups), 'pawn island')}: {text}"
    )


def file_pawn_on(said: Said) -> Fact:
    """Whether a side's pawn stands on a square, which is of the file named."""
    at = said.at("square")
    there = said.board.piece_at(at) == chess.Piece(chess.PAWN, said.side())
    own = facts.on_file(said.board, said.side(), said.file())
    text = (
        f"{side_name(said.side())} has on the {'abcdefgh'[said.file()]}-file: {listed(names(own))}"
    )
    return Fact(there and chess.square_file(at) == said.file(), text, names(own))


def more_islands(said: Said) -> Fact:
    """Whether a side has more (or fewer) islands than the other."""
    mine = len(facts.islands(said.board, said.side()))
    yours = len(facts.islands(said.board, not said.side()))
    true = mine < yours if said.word("fewer") else mine > yours
    return Fact(
        true, f"{side_name(said.side())} has {several(mine, 'island')}, the other side {yours}"
    )


def _counts(said: Said, wing: Wing, colour: chess.Color) -> tuple[int, int]:
    count = facts.wing_count(said.board, wing)
    return count.of(colour), count.of(not colour)


def _narrow_counts(said: Said, wing: Wing, colour: chess.Color) -> tuple[int, int]:
    first, last = (0, 2) if wing is Wing.QUEENSIDE else (5, 7)
    return (
        facts.count_between(said.board, colour, first, last),
        facts.count_between(said.board, not colour, first, last),
    )


def _either_counts(said: Said, wing: Wing, colour: chess.Color) -> set[tuple[int, int]]:
    """The counts on a wing with its central file, and without it where that hides no majority."""
    wide, narrow = _counts(said, wing, colour), _narrow_counts(said, wing, colour)
    same = wide[0] - wide[1] == narrow[0] - narrow[1]
    return {wide, narrow} if same or narrow[0] != narrow[1] else {wide}


def _wing_text(said: Said, wing: Wing, narrow: bool = False) -> str:
    """The counts on a wing, without its central file if they are right only so."""
    white, black = (_narrow_counts if narrow else _counts)(said, wing, chess.WHITE)
    central = "d" if wing is Wing.QUEENSIDE else "e"
    where = f"{wing} without the {central}-file" if narrow else f"{wing}"
    return f"{where}: White has {several(white, 'pawn')}, Black {several(black, 'pawn')}"


def pawns_against(said: Said) -> Fact:
    """Whether a side has so many pawns against so many on a wing."""
    colour, wing = said.side(), said.wing()
    wanted = (said.number("number"), said.number("number2"))
    true = wanted in _either_counts(said, wing, colour)
    squares = [
        s
        for s in facts.spread(said.board.pawns)
        if (chess.square_file(s) < 4) == (wing is Wing.QUEENSIDE)
    ]
    narrow = true and wanted != _counts(said, wing, colour)
    return Fact(true, _wing_text(said, wing, narrow), names(squares))


def there_are_against(said: Said) -> Fact:
    """The same without a side: either side may be the one with the first number."""
    wing = said.wing()
    wanted = (said.number("number"), said.number("number2"))
    true = any(wanted in _either_counts(said, wing, c) for c in chess.COLORS)
    narrow = true and all(wanted != _counts(said, wing, c) for c in chess.COLORS)
    return Fact(true, _wing_text(said, wing, narrow))


def pawns_on_wing(said: Said) -> Fact:
    """Whether a side has so many pawns on a wing."""
    colour, wing = said.side(), said.wing()
    wide, narrow = (count(said, wing, colour)[0] for count in (_counts, _narrow_counts))
    number = said.number()
    return Fact(number in {wide, narrow}, _wing_text(said, wing, number == narrow != wide))


def majority(said: Said) -> Fact:
    """Whether a side has more pawns on a wing (on any, if none is named)."""
    colour = said.side("whose" if "whose" in said else "side")
    wings = (said.wing(),) if "wing" in said else (Wing.QUEENSIDE, Wing.KINGSIDE)
    true = any(facts.majority(said.board, wing) is colour for wing in wings)
    narrow = False
    if not true and "wing" in said:
        mine, yours = _narrow_counts(said, said.wing(), colour)
        true = narrow = mine > yours and not said.negated
    if "number" in said:
        true = true and said.number() in {_counts(said, said.wing(), colour)[0]}
    return Fact(true, "; ".join(_wing_text(said, wing, narrow and true) for wing in wings))


def minority(said: Said) -> Fact:
    """Whether a side has fewer pawns on a wing."""
    colour = said.side()
    return Fact(
        facts.majority(said.board, said.wing()) is (not colour), _wing_text(said, said.wing())
    )


def equal_on_wing(said: Said) -> Fact:
    """Whether both sides have as many pawns on a wing."""
    return Fact(facts.majority(said.board, said.wing()) is None, _wing_text(said, said.wing()))


def extra_on_wing(said: Said) -> Fact:
    """Whether a side has one pawn more (or so many) on a wing."""
    mine, yours = _counts(said, said.wing(), said.side())
    wanted = said.number() if "number" in said else 1
    return Fact(mine - yours == wanted, _wing_text(said, said.wing()))


def symmetrical(said: Said) -> Fact:
    """Whether both sides' pawns stand on the same files."""
    files = [{chess.square_file(s) for s in facts.pawns(said.board, c)} for c in chess.COLORS]
    counts = [
        sorted(chess.square_file(s) for s in facts.pawns(said.board, c)) for c in chess.COLORS
    ]
    both = [
        f"{side_name(c)}: {''.join('abcdefgh'[f] for f in sorted(fs))}"
        for c, fs in zip(chess.COLORS, files, strict=True)
    ]
    return Fact(counts[0] == counts[1], f"files with pawns: {'; '.join(both)}")


def on_file(said: Said) -> Fact:
    """Whether a side has (so many) pawns on a file."""
    squares = facts.on_file(said.board, said.side(), said.file())
    wanted = said.number() if "number" in said else None
    true = bool(squares) if wanted is None else len(squares) == wanted
    where = listed(names(squares))
    return Fact(
        true,
        f"{side_name(said.side())} has on the {file_name(said.file())}: {where}",
        names(squares),
    )


def on_square(said: Said) -> Fact | None:
    """Whether a side has the kind of man named on a square."""
    kind = PIECE_TYPES[said.word("man")]
    piece = said.board.piece_at(said.at("square"))
    true = (
        piece is not None
        and piece.piece_type == kind
        and ("side" not in said or piece.color == said.side())
    )
    text = (
        f"{'White' if piece.color else 'Black'}'s {kind_and_square(said.board, said.at('square'))}"
        if (piece)
        else f"{square(said.at('square'))} is empty"
    )
    return Fact(true, text, names([said.at("square")]))


def stands_on(said: Said) -> Fact | None:
    """Whether a piece stands on a square."""
    at, where = said.at("piece"), said.at("square")
    piece = said.board.piece_at(where)
    text = kind_and_square(said.board, where) if piece else f"{square(where)} is empty"
    return Fact(at == where, text, names([where]))


def is_break(said: Said) -> Fact:
    """Whether a pawn move attacks an enemy pawn at once."""
    played = said.played()
    colour = played.colour
    true = played.move in facts.breaks(played.before, colour)
    if not true and played.before.piece_type_at(played.move.from_square) == chess.PAWN:
        enemy = facts.pawns(played.before, not colour)
        after = played.after
        true = any(facts.attacks(after, played.move.to_square, s) for s in enemy)
    return Fact(
        true,
        f"{played.san} {'attacks' if true else 'attacks no'} "
        f"{'an enemy pawn' if true else 'enemy pawn'}",
    )


def chain(said: Said) -> Fact:
    """Whether a side has a pawn chain (with the base or head named)."""
    found = facts.chains(said.board, said.side("whose" if "whose" in said else "side"), 2)
    if "square" in said:
        ends = {c.base for c in found} if said.word("end") == "base" else {c.head for c in found}
        true = said.at("square") in ends
    else:
        true = bool(found)
    text = "; ".join("-".join(names(c.pawns)) for c in found) or "no chain"
    return Fact(true, f"{side_name(said.side('whose' if 'whose' in said else 'side'))}: {text}")


def islands_against(said: Said) -> Fact:
    """Whether one side has so many islands and the other so many."""
    white, black = (len(facts.islands(said.board, c)) for c in (chess.WHITE, chess.BLACK))
    wanted = {said.number("number"), said.number("number2")}
    return Fact({white, black} == wanted, f"White has {several(white, 'island')}, Black {black}")


def tension(said: Said) -> Fact:
    """Whether the pawns on the squares named can take each other."""
    squares = {chess.parse_square(s) for s in said.phrases["square"].squares}
    pairs = [set(pair) for pair in facts.levers(said.board)]
    text = "; ".join(" and ".join(names(sorted(p))) for p in pairs) or "none"
    return Fact(squares in pairs, f"pawns that can take each other: {text}", names(squares))


def any_tension(said: Said) -> Fact:
    """Whether any pawns can take each other."""
    pairs = facts.levers(said.board)
    text = "; ".join(" and ".join(names(p)) for p in pairs) or "none"
    return Fact(bool(pairs), f"pawns that can take each other: {text}")


def rammed(said: Said) -> Fact | None:
    """Whether a pawn stands head to head with an enemy pawn."""
    at = said.at("piece")
    if said.board.piece_type_at(at) != chess.PAWN:
        return None
    true = any(at in pair for pair in facts.rams(said.board))
    return Fact(
        true,
        f"{piece_on(said.board, at)} {'is' if true else 'is not'} blocked by a pawn",
        names([at]),
    )


def in_chain(said: Said) -> Fact | None:
    """Whether a pawn is part of a chain."""
    at = said.at("piece")
    colour = said.board.color_at(at)
    if colour is None:
        return None
    true = any(at in c.pawns for c in facts.chains(said.board, colour, 2))
    return Fact(
        true, f"{piece_on(said.board, at)} {'is' if true else 'is not'} in a chain", names([at])
    )


def crossed(said: Said) -> Fact | None:
    """Whether a piece stands in the enemy half."""
    at = said.at("piece")
    colour = said.board.color_at(at)
    if colour is None:
        return None
    return Fact(facts.rank_for(colour, at) > 4, piece_on(said.board, at), names([at]))


def wing_in_favour(said: Said) -> Fact:
    """Whether the counts on a wing are as said (in favour of the side named)."""
    wing = said.wing()
    name = "whose" if "whose" in said else "side"
    if name not in said:
        return there_are_against(said)
    colour = said.side(name)
    wanted = (said.number("number"), said.number("number2"))
    wide, narrow = (count(said, wing, colour) for count in (_counts, _narrow_counts))
    return Fact(wanted in {wide, narrow}, _wing_text(said, wing, wanted == narrow != wide))


def pawns_there(said: Said) -> Fact:
    """Whether any pawn stands on a wing."""
    count = facts.wing_count(said.board, said.wing())
    return Fact(count.white + count.black > 0, _wing_text(said, said.wing()))


def pawn_guard(said: Said) -> Fact:
    """Whether a pawn of a colour could ever attack a square."""
    colour = said.word("shade") == "white"
    at = said.at("square")
    true = facts.pawn_can_guard(said.board, colour, at)
    return Fact(
        true,
        f"{side_name(colour)} {'has a' if true else 'has no'} pawn that could come to attack "
        f"{square(at)}",
        names([at]),
    )


def _is(said: Said, kind: str) -> Fact | None:
    return is_kind(replace(said, words={**said.words, "kind": kind, "other": ""}))


def nowhere(said: Said) -> Fact | None:
    """ "no passed pawns anywhere": that there are none."""
    return anyone_has(said) if said.negated else None


def chain_on(said: Said) -> Fact | None:
    """Whether a pawn of a side on the square named is part of a chain."""
    at = said.at("square")
    found = [c.pawns for c in facts.chains(said.board, said.side(), 2)]
    text = "; ".join("-".join(names(pawns)) for pawns in found) or "no chain"
    return Fact(
        any(at in pawns for pawns in found), f"{side_name(said.side())}: {text}", names([at])
    )


def isolani(said: Said) -> Fact:
    """Whether a side has an isolated queen's pawn."""
    at = facts.isolated_queens_pawn(said.board, said.side())
    if at is not None and "square" in said and said.at("square") != at:
        return Fact(False, f"{side_name(said.side())}'s isolated d-pawn stands on {square(at)}")
    text = f"on {square(at)}" if at is not None else "nowhere"
    return Fact(
        at is not None,
        f"{side_name(said.side())}'s isolated d-pawn stands {text}",
        names([at]) if at is not None else (),
    )


def exists(said: Said) -> Fact | None:
    """Whether a pawn of the kind exists (for the side named, or at all)."""
    return has_kind(said) if "side" in said else anyone_has(said)


def one_island(said: Said) -> Fact:
    """Whether a side's pawns stand on neighbouring files without a gap."""
    groups = facts.islands(said.board, said.side())
    return Fact(
        len(groups) == 1, f"{side_name(said.side())} has {several(len(groups), 'pawn island')}"
    )


def blockaded_by(said: Said) -> Fact | None:
    """Whether a piece stands right in front of a pawn."""
    at, by = said.at("piece"), said.at("piece2")
    pawn = said.board.piece_at(at)
    if pawn is None or pawn.piece_type != chess.PAWN or by == at:
        return None
    ahead = at + (8 if pawn.color else -8)
    there = piece_on(said.board, ahead)
    return Fact(
        by == ahead,
        f"in front of {piece_on(said.board, at)}: "
        f"{there if said.board.piece_at(ahead) else 'nothing'}",
        names((at, ahead)),
    )


def only_of_kind(said: Said) -> Fact | None:
    """Whether a side has just one pawn of the kind, and it is the one named."""
    found = _finder(said.word("kind"))
    if found is None:
        return None
    squares = tuple(found[1](said.board, said.side()))
    fact = has_kind(said)
    return (
        None
        if fact is None
        else Fact(bool(fact.true) and len(squares) == 1, fact.because, fact.squares)
    )


def _whose_kind(said: Said) -> Fact | None:
    """Of a side's pawns on a file: all of the kind (doubled: there are two)."""
    own = facts.on_file(said.board, said.side(), said.file())
    if not own:
        return Fact(
            False,
            f"{side_name(said.side())} has no pawn on the {file_name(said.file())}",
            offer="<missing>",
        )
    found = _found(said, said.side())
    if found is None:
        return None
    kind, squares = found
    true = bool(squares) if "doubled" in kind or "tripled" in kind else set(own) <= set(squares)
    return Fact(true, _why(said.board, own[0], said.side(), kind, true), names(own))


def can_take_each(said: Said) -> Fact | None:
    """Whether a pawn has an enemy pawn it can take and that can take it."""
    at = said.at("piece")
    if said.board.piece_type_at(at) != chess.PAWN:
        return None
    true = any(at in pair for pair in facts.levers(said.board))
    return Fact(
        true,
        f"{piece_on(said.board, at)} {'has' if true else 'has no'} enemy pawn to take",
        names([at]),
    )


_KIND = rf"(?P<kind>{_WORDS})"
_PAWN = r"(?:(?P<which>king|queen) 's )?(?:{file} )?pawns?"
_WHERE = r"(?: on (?:the )?(?:{file}|{square}|{wing})| in (?:the )?{file})?"
_LOSE = r"(?! (?:up|down|ahead|behind|ending|majority))"


def each_on_wing(said: Said) -> Fact:
    """Whether both sides have so many pawns on a wing."""
    wing = said.wing()
    sides = (said.side(),) if "side" in said else chess.COLORS
    true = any(
        all(counts(said, wing, c)[0] == said.number() for c in sides)
        for counts in (_counts, _narrow_counts)
    )
    return Fact(true, _wing_text(said, wing))


def chain_between(said: Said) -> Fact:
    """Whether a side's pawns lead diagonally, each guarding the next, from one square to another."""
    found = facts.chains(said.board, said.side("whose"), 2)
    ends = {said.at("square"), said.at("square2")}
    text = "; ".join("-".join(names(c.pawns)) for c in found) or "no chain"
    true = any(ends <= set(c.pawns) for c in found)
    return Fact(true, f"{side_name(said.side('whose'))}: {text}", names(ends))


def pawn_can_support(said: Said) -> Fact | None:
    """Whether a pawn of the same side could ever guard a piece where it stands."""
    at, by = said.at("piece"), said.at("piece2")
    colour = said.board.color_at(at)
    if colour is None or said.board.piece_at(by) != chess.Piece(chess.PAWN, colour):
        return None
    true = facts.pawn_can_guard(said.board, colour, at)
    does = "has a pawn that can" if true else "has no pawn that can ever"
    return Fact(true, f"{side_name(colour)} {does} guard {square(at)}", names([at]))


def pawn_stops(said: Said) -> Fact | None:
    """Whether enemy pawns stand ahead of a pawn on its own or a neighbouring file."""
    at, by = said.at("piece"), said.at("piece2")
    pawn, other = said.board.piece_at(at), said.board.piece_at(by)
    if pawn is None or other is None or pawn.color == other.color:
        return None
    if pawn.piece_type != chess.PAWN or other.piece_type != chess.PAWN:
        return None
    passed = at in facts.passed(said.board, pawn.color)
    return Fact(not passed, _why(said.board, at, pawn.color, "passed", passed), names([at]))


def number_of_kind(said: Said) -> Fact | None:
    """Whether so many of a side's pawns are of the kind named."""
    found = _found(said, said.side("whose"))
    if found is None:
        return None
    _, squares = found
    own = facts.pawns(said.board, said.side("whose"))
    true = len(squares) == said.number() and (
        "number2" not in said or said.number("number2") == len(own)
    )
    return Fact(true, _all_of(said, said.side("whose")), names(squares))


def side_by_side(said: Said) -> Fact | None:
    """Whether a pawn has a pawn of its side beside it on the same rank."""
    at = said.at("piece")
    pawn = said.board.piece_at(at)
    if pawn is None or pawn.piece_type != chess.PAWN:
        return None
    beside = [
        s
        for s in facts.pawns(said.board, pawn.color)
        if chess.square_rank(s) == chess.square_rank(at) and abs(s - at) == 1
    ]
    return Fact(
        bool(beside),
        f"beside {piece_on(said.board, at)}: {listed(piece_on(said.board, s) for s in beside)}",
        names((at, *beside)),
    )


def outnumber(said: Said) -> Fact:
    """Whether a side's pawns on a wing are more than the other's (so many to so many)."""
    colour = said.side("whose") if "whose" in said else said.side()
    mine, yours = (
        sum(
            1
            for s in facts.pawns(said.board, c)
            if (chess.square_file(s) > 3) == (said.wing() is Wing.KINGSIDE)
        )
        for c in (colour, not colour)
    )
    true = mine > yours
    if "number" in said:
        true = (mine, yours) == (said.number("number"), said.number("number2"))
    return Fact(
        true,
        f"{side_name(colour)} has {several(mine, 'pawn')} on the {said.wing()}, {side_name(not colour)} {yours}",
    )


def wing_balanced(said: Said) -> Fact:
    """Whether both sides have as many pawns on a wing (so many each)."""
    counts = [
        sum(
            1
            for s in facts.pawns(said.board, c)
            if (chess.square_file(s) > 3) == (said.wing() is Wing.KINGSIDE)
        )
        for c in chess.COLORS
    ]
    true = counts[0] == counts[1]
    if "number" in said:
        true = counts in (
            [said.number("number"), said.number("number2")],
            [said.number("number2"), said.number("number")],
        )
    return Fact(true, f"{said.wing()}: White has {several(counts[0], 'pawn')}, Black {counts[1]}")


def position_mirrored(said: Said) -> Fact:
    """Whether one side's men stand where the other's do, seen in a mirror."""
    turned = said.board.mirror()
    true = turned.board_fen() == said.board.board_fen()
    return Fact(
        true,
        "the men of one side mirror those of the other"
        if true
        else "the men of the two sides stand differently",
    )


def more_centre_pawns(said: Said) -> Fact:
    """Whether a side has more (or fewer) pawns on the d- and e-files than the other."""
    mine, yours = (
        sum(1 for s in facts.pawns(said.board, c) if chess.square_file(s) in {3, 4})
        for c in (said.side(), not said.side())
    )
    true = mine > yours if said.word("more") == "more" else mine < yours
    return Fact(
        true,
        f"pawns on the d- and e-files: {side_name(said.side())} {mine}, {side_name(not said.side())} {yours}",
    )


def each_wing(said: Said) -> Fact:
    """Whether on each wing the sides have so many pawns against so many."""
    wanted = {said.number("number"), said.number("number2")}
    counts = {
        wing: [
            sum(
                1
                for s in facts.pawns(said.board, c)
                if (chess.square_file(s) > 3) == (wing is Wing.KINGSIDE)
            )
            for c in chess.COLORS
        ]
        for wing in (Wing.KINGSIDE, Wing.QUEENSIDE)
    }
    text = "; ".join(f"{wing}: {white} against {black}" for wing, (white, black) in counts.items())
    return Fact(all(set(count) == wanted for count in counts.values()), text)


def centre_pawns(said: Said) -> Fact | None:
    """Whether a side has so many pawns on the d- and e-file (so many more than the other)."""
    mine, yours = (
        sum(len(facts.on_file(said.board, c, f)) for f in (3, 4))
        for c in (said.side(), not said.side())
    )
    text = f"on the d- and e-file: {side_name(said.side())} {mine}, {side_name(not said.side())} {yours}"
    wanted = said.number() if "number" in said else 1
    if said.word("more") or said.word("extra"):
        return Fact(mine - yours == wanted, text)
    if "number2" in said:
        return Fact((mine, yours) == (wanted, said.number("number2")), text)
    if "number" not in said:
        return Fact(mine > 0, text)
    return Fact(mine == wanted, text)


def extra_in_centre(said: Said) -> Fact:
    """Whether a side has so many pawns more, or fewer, on the two middle files; open where the four
    squares of the centre tell otherwise."""
    side = said.side() is not bool(said.word("less"))
    wanted = said.number() if "number" in said else 1
    mine, yours, text = _pawns_on(said.board, side, chess.BB_FILE_D | chess.BB_FILE_E)
    near, far, told = _pawns_on(said.board, side, chess.BB_CENTER)
    because = f"on the d- and e-file: {text}"
    if mine - yours == wanted or near - far != wanted:
        return Fact(mine - yours == wanted, because)
    return Fact(None, f"{because}, but on d4, e4, d5 and e5: {told}")


def _pawns_on(
    board: chess.Board, side: chess.Color, squares: chess.Bitboard
) -> tuple[int, int, str]:
    """How many pawns a side and the other have on some squares, and that in words."""
    mine, yours = (len(board.pieces(chess.PAWN, one) & squares) for one in (side, not side))
    return mine, yours, f"{side_name(side)} {mine}, {side_name(not side)} {yours}"


def doubled_there(said: Said) -> Fact:
    """Whether a side has doubled pawns on the file, one of them on the square named."""
    colour = said.side("whose")
    at = said.at("square") if "square" in said else None
    file = chess.square_file(at) if at is not None else said.file("file2")
    own = facts.on_file(said.board, colour, file)
    true = len(own) > 1 and (at is None or at in own)
    return Fact(
        true, f"{side_name(colour)} has on that file: {listed(names(own)) or 'no pawn'}", names(own)
    )


def has_neighbour(said: Said) -> Fact | None:
    """Whether a pawn has one of its side's beside it, on a neighbouring file (the one named)."""
    at = said.at("piece")
    colour = said.board.color_at(at)
    if colour is None or said.board.piece_type_at(at) != chess.PAWN:
        return None
    beside = [
        s
        for s in facts.pawns(said.board, colour)
        if abs(chess.square_file(s) - chess.square_file(at)) == 1
        and ("file" not in said or chess.square_file(s) == said.file())
    ]
    text = f"own pawns beside {square(at)}: {listed(names(beside)) or 'none'}"
    return Fact(bool(beside), text, names((at, *beside)))


def islands_of_pawns(said: Said) -> Fact | None:
    """Whether the pawns spoken of, all of a side's or those on squares, are so many islands."""
    phrase = said.phrases["piece"]
    colour = said.board.color_at(said.at("piece"))
    if (
        colour is None
        or phrase.pieces != "P"
        or not phrase.plural
        or phrase.files
        or "single" in phrase.words
    ):
        return None
    if phrase.squares:
        return _islands_of(said, colour, phrase.squares)
    if phrase.number:
        return None
    return islands(replace(said, values={**said.values, "side": colour}))


def _islands_of(said: Said, colour: chess.Color, squares: Sequence[str]) -> Fact:
    """Whether pawns on squares that are named stand in so many of their side's islands."""
    named = {chess.parse_square(at) for at in squares}
    own = [group for group in facts.islands(said.board, colour) if named & set(group)]
    text = "; ".join(listed(names(group)) for group in own)
    because = f"they stand in {several(len(own), 'island')}: {text}"
    return Fact(len(own) == said.number(), because, tuple(sorted(squares)))


def central_majority(said: Said) -> Fact:
    """Whether a side has more pawns on the central files (d and e, or c to f)."""
    colour = said.side()
    found = [
        [sum(len(facts.on_file(said.board, c, f)) for f in files) for c in (colour, not colour)]
        for files in ((3, 4), (2, 3, 4, 5))
    ]
    (mine, yours), wide = found
    text = f"on the d- and e-file: {side_name(colour)} {mine}, {side_name(not colour)} {yours}"
    if "number2" in said:
        wanted = [said.number(), said.number("number2")]
        return Fact(wanted in found and wanted[0] > wanted[1], text)
    return Fact(mine > yours or (wide[0] > wide[1] and mine == yours), text)


def split_pawns(said: Said) -> Fact:
    """Whether a side's pawns stand in more than one island (so many)."""
    found = facts.islands(said.board, said.side("whose"))
    wanted = said.number() if "number" in said else None
    if re.search(r"\btwo\b", said.original):
        wanted = 2
    true = len(found) == wanted if wanted else len(found) > 1
    text = f"{side_name(said.side('whose'))} has {several(len(found), 'pawn island')}"
    return Fact(true, text)


def coloured_kind(said: Said) -> Fact | None:
    """Whether the side of a colour has pawns of the kind."""
    return has_kind(replace(said, values={**said.values, "side": said.word("colour") == "white"}))


def doubled_on_file(said: Said) -> Fact:
    """Whether some side's pawns are doubled on the file named."""
    groups = [g for c in chess.COLORS for g in facts.doubled(said.board, c)]
    text = "; ".join(listed(names(g)) for g in groups) or "none"
    true = any(chess.square_file(g[0]) == said.file() for g in groups)
    return Fact(true, f"doubled pawns: {text}")


def doubled_on(said: Said) -> Fact:
    """Whether a pawn stands on a square with another of its side on the file."""
    at = said.at("square")
    groups = [g for c in chess.COLORS for g in facts.doubled(said.board, c)]
    text = "; ".join(listed(names(g)) for g in groups) or "none"
    return Fact(any(at in g for g in groups), f"doubled pawns: {text}", names([at]))


PATTERNS = (
    Pattern(
        r"(?:the|{whose}|these) (?:\w+ )?doubled pawns {be} (?:the ones |those )?(?:on|at) {square}",
        doubled_on,
    ),
    Pattern(
        rf"{{side}} {{have}} {{det}}(?:(?P<several>several|pair of|couple of) )?(?:{{number}} )?"
        rf"(?:(?P<sets>sets?|pairs?) of )?(?:very |weak |strong |dangerous |extra |far advanced |advanced |"
        rf"white |black |healthy |little )*{_KIND} {_PAWN}{_WHERE}{_LOSE}",
        has_kind,
    ),
    Pattern(rf"{{side}} {{have}} {{det}}{_KIND} (?:{{wing}}) pawns?", has_kind),
    Pattern(r"{side} {have} {det}(?P<kind>passed)(?:(?<=passed)) (?:one)(?! )", has_kind),
    Pattern(rf"only {{side}} {{have}} {{det}}(?:{{number}} )?{_KIND} {_PAWN}{_WHERE}", side_only),
    Pattern(
        rf"{{side}} (?:suffers? from|{{be}} (?:saddled|burdened|stuck|lumbered|left|weighed down) with|"
        rf"has to live with|has to nurse|must look after|has accepted|have accepted|has ended up with|"
        rf"is nursing|is stuck with|has been left with|has been saddled with|plays with) "
        rf"{{det}}(?:{{number}} )?(?:weak )?{_KIND} {_PAWN}{_WHERE}",
        has_kind,
    ),
    Pattern(
        rf"{{side}} (?:has|have) (?:{{det}}){_PAWN} (?P<kind>doubled|isolated){_WHERE}", has_kind
    ),
    Pattern(
        rf"{{side}} {{have}} (?:an? )?(?P<kind>isolated) (?P<which>queen|king) 's pawn{_WHERE}",
        has_kind,
    ),
    Pattern(
        rf"(?:there (?:is|are)|we have|we see|here (?:is|are)) {{det}}(?:{{number}} )?{_KIND} {_PAWN}{_WHERE}",
        anyone_has,
    ),
    Pattern(
        rf"{{target}} {{be}} (?:(?:a|an|now|the|both|all) )?(?:weak |strong |dangerous |far advanced |advanced |real |true )*"
        rf"(?:(?P<other>{_WORDS})(?: and| ,|) (?:a )?)?{_KIND}(?: (?:pawn|one|pawns|ones))?(?! (?:by|against)| and (?:isolated|doubled|passed|protected|backward|defended|supported))",
        is_kind,
    ),
    Pattern(r"{piece} {be} (?:a )?(?P<kind>passer)", is_kind),
    Pattern(
        r"{piece} {be} (?:a )?(?:passed and (?:protected|defended|supported)|protected and passed)(?: by a pawn)?",
        is_protected_passed,
    ),
    Pattern(rf"{{piece}} (?:has become|became|becomes) (?:a |an )?{_KIND}(?: pawn)?", is_kind),
    Pattern(
        rf"(?:the )?(?:(?P<kind>{_WORDS})) {_PAWN}{_WHERE} (?:is|are|belongs? to) {{whose}}(?! )",
        has_kind,
    ),
    Pattern(rf"{{whose}} (?:{{wing}} )?pawns(?: on (?:the )?{{wing}})? {{be}} {_KIND}", has_kind),
    Pattern(rf"{{whose}} (?:{{file}}|{{wing}})(?: pawns) {{be}} {_KIND}", has_kind),
    Pattern(
        rf"{{whose}} {_KIND} pawns? {{be}} on (?:the )?(?:{{file}}|{{square}}|{{wing}})", has_kind
    ),
    Pattern(r"{side} {have} {number} (?:pawn )?islands?", islands),
    Pattern(
        r"{whose} (?:pawn )?islands (?:number|amount to|come to|are) {number}",
        lambda said: islands(said.of_whose()),
    ),
    Pattern(
        r"{whose} (?:pawns|structure|pawn structure|pawn position) (?:(?:is|are) (?:split|divided|broken|scattered|separated)(?: up)? (?:into|over|in)|"
        r"falls? into|consists? of|breaks? (?:up |down )?into|splits? (?:up )?into|forms?|makes?|is made up of) {number} (?:separate |single |different )?(?:pawn )?(?:islands?|groups?|clusters?|parts?)",
        lambda said: islands(said.of_whose()),
    ),
    Pattern(
        r"{side} {have} (?:one )?(?:more|(?P<fewer>fewer|less)) (?:pawn )?islands?(?: than {side2})?",
        more_islands,
    ),
    Pattern(
        r"{side} {have} (?:{det})?{number} (?:pawns? )?(?:against|versus|to|v|vs|facing|opposed to|for|"
        r"and {side2} {number2}|on) (?:{side2} |{own} )?(?:only )?{number2}(?: pawns?)?(?: of {own})? "
        r"(?:on|over on|at) {wing}",
        lambda said: pawns_against(said) if "number2" in said else None,
    ),
    Pattern(
        r"(?:on|over on) {wing} ?,? {side} {have} (?:{det})?{number} (?:pawns? )?(?:against|versus|to|v|vs) "
        r"{number2}(?: pawns?)?",
        pawns_against,
    ),
    Pattern(
        r"{side} {have} (?:a )?{number} (?:to|against|versus|v|vs) {number2} (?:pawn )?(?:majority|advantage|"
        r"superiority) (?:on|over on) {wing}",
        pawns_against,
    ),
    Pattern(
        r"(?:it is|there are|we have) {number} (?:pawns? )?(?:against|versus|to|v|vs) {number2}(?: pawns?)? "
        r"(?:on|over on) {wing}",
        there_are_against,
    ),
    Pattern(r"{side} {have} (?:only |just )?{number} pawns on {wing}", pawns_on_wing),
    Pattern(
        r"{side} {have} {det}(?:healthy |sound |mobile |useful |crippled |{number} pawn )*(?:(?:pawn )?majority"
        r"(?: of pawns)?|more pawns|extra pawns|numerical superiority|most of the pawns|preponderance of pawns)"
        r"(?: of {number} (?:pawns )?(?:to|against|versus|over) {number2}(?: pawns)?)? (?:on|over on) {wing}(?: ,? ?{number} (?:pawns )?(?:to|against|versus|over) {number2}(?: pawns)?)?",
        lambda said: pawns_against(said) if "number2" in said else majority(said),
    ),
    Pattern(
        r"{side} {have} {det}(?:{number} (?:to|v|vs|against|over|versus)? ?{number2}) (?:pawn )?majority (?:on|over on) {wing}",
        pawns_against,
    ),
    Pattern(
        r"{whose} (?:pawn )?majority (?:on|over on) {wing} ?(?::|,|—|–|is|of|,? being)? ?{number} (?:pawns )?(?:to|against|versus|over|v) {number2}",
        pawns_against,
    ),
    Pattern(
        r"(?:there are |we count |it is )?{number} (?:white |black )?pawns (?:are )?(?:against|versus|to|v|face|facing|oppose|opposing|confront|opposed to|opposed by|faced by|met by|confronted by) {number2}(?: (?:white|black)? ?(?:ones|pawns))? (?:on|over on) {wing}",
        there_are_against,
    ),
    Pattern(
        r"{side} {have} {det}(?:healthy |sound |mobile |useful |crippled |good |4 3 |3 2 )*(?:{wing} )"
        r"(?:pawn )?majority(?: (?:of|,) {number} (?:pawns )?(?:to|against|versus|over) {number2})?",
        lambda said: pawns_against(said) if "number2" in said else majority(said),
    ),
    Pattern(r"{side} {have} {det}(?:healthy )?pawn majority(?! on)", majority),
    Pattern(
        r"(?:the )?(?:{wing} |pawn )?majority(?: on {wing})? (?:is|belongs to|lies with) (?:{whose}|{side})",
        majority,
    ),
    Pattern(
        r"{whose} (?:pawn )?majority(?: (?:of )?{number} (?:to|against|versus|over) {number2})? (?:is|lies) (?:to be found )?on {wing}",
        lambda said: pawns_against(said) if "number2" in said else majority(said),
    ),
    Pattern(
        r"(?:there (?:is|are) )?(?:a pair of |N. )?doubled pawns {be} on (?:the )?{file}",
        doubled_on_file,
    ),
    Pattern(
        r"{whose} pawns (?:are|is|form|forms|make|make up|hang together in|stick together in|stay together in|stand in)(?: still| all| all still)*(?: in)? (?:N. |one |a |the )(?:single |same |big |long |solid |unbroken )*(?:group|island|block|body|mass|piece|unit)",
        in_one_group,
    ),
    Pattern(
        r"{side} (?:has|have) (?:(?:advanced|pushed|brought|run|marched|driven|sent|walked|got|moved) )?(?:{own}|the|a) {file} pawn (?:up |down |all the way |out )*(?:on|at|to|onto|as far as) {square}",
        file_pawn_on,
    ),
    Pattern(
        r"{number} (?:pawns? )?(?:against|versus|to|v|vs) {number2}(?: pawns?)? (?:for|in favour of) {side} (?:on|over on) {wing}",
        pawns_against,
    ),
    Pattern(
        r"(?:on|over on) {wing} ,? ?{number} (?:pawns? )?(?:against|versus|to|v|vs) {number2}(?: pawns?)? (?:for|in favour of) {side}",
        pawns_against,
    ),
    Pattern(r"{side} (?:{be}) in the majority on {wing}", majority),
    Pattern(r"{side} (?:{be}|outnumbers? {side2}) on {wing}(?<=side)", lambda said: None),
    Pattern(
        r"{side} outnumbers? {side2}(?: by {number} (?:pawns? )?to {number2})? (?:on|over on) {wing}(?: by {number} (?:pawns? )?to {number2})?",
        lambda said: pawns_against(said) if "number2" in said else majority(said),
    ),
    Pattern(
        r"{side} {have} {det}(?:minority|fewer pawns|less pawns)(?: of pawns)? on {wing}", minority
    ),
    Pattern(
        r"{side} {have} (?:an? |one |{number} )?(?:extra|more) pawns? on {wing}", extra_on_wing
    ),
    Pattern(r"{side} {be} (?:a|{number}) pawns? (?:up|ahead) on {wing}", extra_on_wing),
    Pattern(
        r"(?:(?:the )?(?:pawns|numbers|sides|pawn counts?|it|things)(?: count)? {be} (?:equal|even|balanced|level|"
        r"the same|evenly split) (?:on|over on) {wing}|{wing} {be} (?:level|balanced|equal|even|symmetrical))",
        equal_on_wing,
    ),
    Pattern(r"{side} {have} (?:equal|the same number of|as many) pawns on {wing}", equal_on_wing),
    Pattern(
        r"(?:the )?(?:pawn structure|pawns|pawn formation|structure|pawn skeleton|pawn position) {be} "
        r"(?:completely |perfectly )?(?:symmetrical|symmetric|mirrored)",
        symmetrical,
    ),
    Pattern(
        r"(?:the )?(?:pawn structure|pawns|structure) {be} (?:asymmetrical|asymmetric|unbalanced)",
        symmetrical,
        against=True,
    ),
    Pattern(
        r"{side} {have} (?:an? |any |the |{number} )?(?:pawns? (?:left )?(?:on|in) (?:the )?{file}|{file} pawns?)",
        on_file,
    ),
    Pattern(
        r"{side} {have} (?:{det})(?:strong |proud |powerful |good |beautiful |nice |fine |central |own )*"
        r"(?P<man>pawn|knight|bishop|rook|queen|king) (?:on|at) {square}",
        on_square,
    ),
    Pattern(
        r"there is (?:{det})(?:white |black )?(?P<man>pawn|knight|bishop|rook|queen|king) on {square}",
        on_square,
    ),
    Pattern(
        r"{whose} (?P<man>pawn|knight|bishop|rook|queen|king) (?:is|stands|sits) on {square}",
        lambda said: on_square(said.of_whose()),
    ),
    Pattern(
        r"{side} {have} (?:{det})pawn chain(?: (?:with (?:its|the) (?P<end>base|head) (?:on|at)) {square})?",
        chain,
    ),
    Pattern(
        r"{move} (?:is|would be) (?:{own}|the|a|one) (?:natural |typical |thematic |standard |freeing |main |"
        r"pawn |central )*(?:break|lever|pawn break)",
        is_break,
    ),
    # what a noun phrase takes for granted
    Pattern(
        r"the (?:(?:weak|two|famous|ugly|poor) )*(?P<kind>doubled|isolated|backward|passed|tripled) {file} pawns?",
        anyone_has,
        noun=True,
    ),
    Pattern(
        r"the (?P<kind>doubled|isolated|backward|passed|tripled) pawns? on (?:the )?(?:{file}|{square})",
        anyone_has,
        noun=True,
    ),
    Pattern(
        r"the (?P<kind>doubled|isolated|backward|passed|tripled) (?P<which>queen|king) 's pawn",
        anyone_has,
        noun=True,
    ),
    Pattern(
        rf"{{whose}} (?:(?:weak|two|ugly|poor|own) )*(?P<kind>doubled|isolated|backward|passed|tripled|hanging|"
        rf"protected passed|connected passed) {_PAWN}(?: on (?:the )?(?:{{file}}|{{square}}))?",
        has_kind,
        noun=True,
    ),
    Pattern(r"{whose} {wing} majority", majority, noun=True),
    Pattern(
        r"(?:all (?:of )?)?(?:{number2} of )?{whose} (?:{number3} )?pawns (?:form|make up|are in|make|stand in|fall into) {number} (?:separate |different |distinct )?(?:pawn )?(?:islands?|groups?|clusters?)",
        islands,
    ),
    Pattern(r"it is {number} (?:pawn )?islands? (?:against|to|versus) {number2}", islands_against),
    Pattern(r"the (?P<end>base|head) of {whose} (?:pawn )?chain is (?:on )?{square}", chain),
    Pattern(
        r"there is (?:a |pawn |some )*tension between (?:the )?(?:pawns )?(?:on )?(?:the )?{square}",
        tension,
    ),
    Pattern(
        r"(?:there is|we have) (?:a |pawn |some )*tension(?: in the cent(?:re|er))?(?! between)",
        any_tension,
    ),
    Pattern(
        r"{piece} (?:blocks? (?:each other|one another)(?: 's (?:way|path|advance|progress))?|{be} (?:head to head|nose to nose|eye to eye|chest to chest)|face each other|{be} (?:locked|rammed|fixed against each other))",
        rammed,
    ),
    Pattern(r"{piece} form (?:a |part of (?:a|the) )?(?:pawn )?chain", in_chain),
    Pattern(
        r"{piece} (?:has|have) crossed (?:the (?:middle|halfway|centre|center)(?: line)?(?: of the board)?|halfway|(?:over )?(?:to|into) (?:the enemy|the other|enemy|{own}) (?:half|territory|side)(?: of the board)?)",
        crossed,
    ),
    Pattern(
        r"(?:{side} can play|{side} {have}|there is) the (?:break|lever|pawn break|freeing move)(?: with)? {move}(?: against .*)?(?<!against)",
        is_break,
    ),
    Pattern(
        r"(?:on |over on )?{wing} ?,? ?it is {number} (?:pawns? )?(?:against|to|versus|v) {number2}(?: pawns?)?(?: (?:in {whose} favou?r|for {side}))?",
        wing_in_favour,
    ),
    Pattern(r"there are pawns (?:on|over on) {wing}", pawns_there),
    Pattern(
        r"{side} {have} {number} (?P<man>pawn|knight|bishop|rook)s (?:on|at) (?:the )?(?:cent(?:re|ral|er) )?(?:squares )?{square}",
        on_square,
    ),
    Pattern(
        r"(?:a |any )?(?P<shade>white|black) pawns? (?:can|could) (?:ever )?(?:guard|cover|protect|defend|attack|control|challenge) {square}(?: again)?",
        pawn_guard,
    ),
    Pattern(
        r"{piece} (?:lags|lag|is lagging|has fallen|has been left|has stayed|is) behind(?: (?:{own}|the) (?:neighbou?rs?|fellows?|colleagues?|comrades?|companions?)(?: on {square})?)?",
        lambda said: _is(said, "backward"),
    ),
    Pattern(
        r"{piece} (?:stands?|are|sit) (?:(?:one|{number}) behind the other|(?:one|{number}) in front of the other|on the same file|on one file)",
        lambda said: _is(said, "doubled"),
    ),
    Pattern(
        r"{piece} {have} (?:a |an )?(?:free|clear|open|unobstructed) (?:path|road|way|run|march)(?: (?:to|towards|forward|ahead).*)?",
        lambda said: _is(said, "passed"),
    ),
    Pattern(
        r"{piece} {have} (?:a |any |own )?(?:pawn )?(?:neighbou?rs?|brothers?|sisters?|siblings|family|pawns? beside it|companions?|pawn neighbou?rs?|comrades?|pawns? next to it|friends?)(?: (?:of its own|to support it|on either side|beside it|at its side|next door|to lean on|on the files? beside it))?(?! on)",
        lambda said: _is(said, "isolated"),
        against=True,
    ),
    Pattern(
        r"{piece} {be} (?:all |quite |left )*(?:alone|(?<=all )on (?:its|{own}) own|by itself|without neighbou?rs|without (?:a |any )?(?:neighbou?rs?|companions?|pawn neighbou?rs?)|cut off from (?:its|{own}|the|all) (?:\w+ )?(?:fellows|neighbou?rs|comrades|companions|friends|colleagues|brothers|pawns|mates)|cut off|separated from (?:(?:its|{own}) (?:fellows|neighbou?rs|comrades|companions|friends|colleagues|brothers)|{piece2}))",
        lambda said: _is(said, "isolated"),
    ),
    Pattern(
        r"{piece} (?:has|have) lost (?:its|{own}|both|all) (?:{own} )?(?:neighbou?rs|companions|comrades|friends|fellows)",
        lambda said: _is(said, "isolated"),
    ),
    Pattern(r"{piece} {be} (?:an? )?isolani", lambda said: _is(said, "isolated")),
    Pattern(r"{side} {have} (?:an?|the) (?:isolani|iqp|isolated d pawn)(?: on {square})?", isolani),
    Pattern(
        rf"(?:any )?{_KIND} pawns?(?: (?:anywhere|here|on the board|in sight|on either side|for either side|for anyone))?",
        nowhere,
    ),
    Pattern(
        r"{side} {have} {det}(?:little |small |nice )?(?:pawn )?chain ?,? (?:on|with|of|consisting of|made up of|from|:)? ?{square}",
        chain_on,
    ),
    Pattern(
        rf"(?:a |any )?{_KIND} pawns? exists?(?: (?:for {{side}}|on this board|here))?", exists
    ),
    Pattern(
        r"(?:it is |we count |we have )?{number} (?:pawns? )?(?:against|versus|to|v) {number2}(?: pawns?)? (?:on|over on) {wing}",
        there_are_against,
    ),
    Pattern(
        r"(?:the )?{wing} pawns? : {number} (?:against|versus|to|v) {number2}", there_are_against
    ),
    Pattern(
        r"{whose} pawns {be} (?:all )?(?:connected|united|linked|in one piece|unbroken)(?: in (?:a single|one|{number}) (?:island|chain|group))?",
        one_island,
    ),
    Pattern(r"{whose} (?:pawn )?structure {be} (?:intact|unbroken|in one piece)", one_island),
    Pattern(
        r"{side} {have} (?:only |just )?{number} (?:pawn )?islands?(?: (?:to|against|versus) {side2} 's {number2})?",
        islands,
    ),
    Pattern(r"{side} (?:has|have) fewer (?:pawn )?islands", more_islands),
    Pattern(
        r"{piece} {be} (?:firmly )?(?:blockaded|stopped|held up|blocked|obstructed|halted|restrained|held in check|held back|stopped in its tracks) by {piece2}",
        blockaded_by,
    ),
    Pattern(
        r"{side} (?:can|could) (?:break|lever open the position|strike|hit back|challenge the cent(?:re|er)) with {move}",
        is_break,
    ),
    Pattern(
        r"{side} {have} {det}(?P<kind>doubled|isolated|backward|passed|tripled) (?:one|pawn) on {square}",
        has_kind,
    ),
    Pattern(
        rf"{{whose}} only {_KIND} pawn is (?:on |the one on )?(?:the )?(?:{{square}}|{{file}} pawn)",
        only_of_kind,
    ),
    Pattern(
        rf"{{whose}} {_KIND} pawns? {{be}} (?:the )?(?:one |ones )?(?:on )?(?:the )?(?:{{square}}|{{file}} pawns?)",
        has_kind,
    ),
    Pattern(
        rf"{{whose}} {{file}} pawns? {{be}} (?:an? |the |now |still )?{_KIND}(?: (?:pawns?|ones?))?(?! by| and)",
        _whose_kind,
    ),
    Pattern(
        r"{side} {have} {number} (?:pawns )?(?:on|over on) {wing} ,? {side2} (?:has |have )?(?:only )?{number2}",
        pawns_against,
    ),
    Pattern(
        r"(?:on|over on) {wing} {side} {have} {number} (?:pawns )?(?:and|,) {side2} (?:has |have )?{number2}",
        pawns_against,
    ),
    Pattern(
        r"{side} {have} (?:one|a|{number}) (?:more )?pawns? more (?:than {side2} )?on {wing}",
        extra_on_wing,
    ),
    Pattern(
        r"{piece} (?:attack|attacks|can take|can capture|are attacking|threaten|eye|eyes|hit|touch) (?:each other|one another)",
        can_take_each,
    ),
    Pattern(r"{number} (?:pawn )?islands? (?:for|of) {side}", islands),
    Pattern(
        r"(?:{number} pawns (?:each|apiece|a side)|(?:{side}|we) {have} {number} pawns(?: each)?|there are {number} pawns (?:each|a side|apiece)) (?:on|over on) {wing}",
        each_on_wing,
    ),
    Pattern(
        r"{whose} (?:pawn )?chain (?:runs?|goes|stretches|extends|leads|reaches|is) from {square} (?:up |over |via |through )?(?:(?:over|via|through)? ?{square3} )?(?:up )?(?:to|through to|as far as) {square2}",
        chain_between,
    ),
    Pattern(
        r"{piece2} can (?:support|protect|defend|guard|cover|back up|help|come to the aid of) {piece}",
        pawn_can_support,
    ),
    Pattern(
        r"{piece} can be (?:supported|protected|defended|guarded|covered|helped|backed up) by {piece2}",
        pawn_can_support,
    ),
    Pattern(
        r"{piece2} can (?:stop|halt|hold up|restrain|oppose|get in the way of|catch) {piece}",
        pawn_stops,
    ),
    Pattern(
        r"{piece} can be (?:stopped|halted|held up|restrained|opposed) by {piece2}",
        pawn_stops,
    ),
    Pattern(
        rf"of {{whose}} (?:{{number2}} )?pawns (?P<only>only )?{{number}} (?:is|are) {_KIND}",
        number_of_kind,
    ),
    Pattern(
        rf"(?P<only>only )?{{number}} of {{whose}} (?:{{number2}} )?pawns {{be}} {_KIND}",
        number_of_kind,
    ),
    Pattern(
        r"{whose} (?P<majority>majority) {be} {number} (?:to|against) {number2} (?:on|over on) {wing}",
        lambda said: pawns_against(said.of_whose()),
    ),
    Pattern(
        r"{piece} {be} (?:side by side|next to each other|abreast|shoulder to shoulder|neighbou?rs)",
        side_by_side,
    ),
    Pattern(
        r"{whose} {wing} pawns (?:outnumber|are more numerous than|are superior in number to) {whose2}(?: pawns)?(?: (?:by )?{number} (?:to|against) {number2})?",
        outnumber,
    ),
    Pattern(
        r"{side} outnumbers? {side2}(?: (?:by )?{number} (?:pawns )?(?:to|against) {number2})? (?:on|over on) {wing}(?: (?:by )?{number} (?:pawns )?(?:to|against) {number2})?",
        outnumber,
    ),
    Pattern(
        r"{whose} {be} (?P<kind>doubled|isolated|backward|tripled|connected)(?! by| in)",
        lambda said: None if "rook" in said.original else has_kind(said.of_whose()),
    ),
    Pattern(
        r"(?:on |over on )?{wing} ,? ?(?:the )?(?:pawns|sides) (?:balance|match|{be} (?:balanced|even|level|equal|matched|equally matched))(?: each other| out)?(?: ,? ?{number} (?:against|to|versus) {number2})?",
        wing_balanced,
    ),
    Pattern(
        r"(?:the )?(?:{wing} pawns|pawns on {wing}) (?:balance|match|{be} (?:balanced|even|level|equal|matched))(?: each other| out)?(?: ,? ?{number} (?:against|to|versus) {number2})?",
        wing_balanced,
    ),
    Pattern(
        r"{side} {have} (?:the|an|one|a single) (?:extra|additional|spare) pawn (?:on|over on) {wing}",
        extra_on_wing,
    ),
    Pattern(r"there is (?:a |some )?(?:pawn )?tension between {piece}", can_take_each),
    Pattern(
        r"(?:the )?(?:position|game|board|set up|setup) {be} (?:perfectly |completely |fully |entirely )?(?:symmetrical|symmetric|mirrored)",
        position_mirrored,
    ),
    Pattern(
        r"{side} {have} (?P<more>more|fewer|less) (?:centre |central |center )?pawns in the cent(?:re|er)(?: than {side2}(?: has| have)?)?",
        more_centre_pawns,
    ),
    Pattern(
        r"(?:on|over on) {wing} ?,? (?:it is|there are|we have) {number} (?:pawns )?(?:each|apiece|a side|all)",
        each_on_wing,
    ),
    Pattern(rf"{{whose}} pawns {{be}} {_KIND} (?:on|over on) {{wing}}", has_kind),
    Pattern(
        r"(?:it is |we have |there are )?{number} (?:pawns )?(?:against|to|versus|v) {number2} on (?:each wing|both wings|either wing|each side|both sides|W.)(?<!W.)",
        each_wing,
    ),
    Pattern(
        r"(?:nothing|no pawn|none|pawn|pawns) (?:in|of|among) {whose} (?:pawns|pawn mass|camp|structure|pawn structure|army) can (?:stop|catch|halt|hold up) {piece}",
        lambda said: _is(said, "passed") if not said.negated else None,
    ),
    Pattern(
        r"{piece} {be} free to (?:run|advance|march|go|queen|run through|walk)(?: (?:on|forward|through|home))?",
        lambda said: _is(said, "passed"),
    ),
    Pattern(
        r"{piece} {have} (?:a |an |any )?(?:(?:own|friendly|white|black) )?(?:neighbou?rs?|companions?|neighbou?ring pawns?|neighbou?ring P.(?: own colou?r)?|friends?|colleagues?|partners?|fellow pawns?|comrades?)(?: of (?:its|their|G.) own(?: colou?r)?)?(?: (?:beside|next to) (?:it|P.))?(?: on (?:the )?{file})?",
        has_neighbour,
    ),
    Pattern(
        r"(?:a |an )?(?:completely |perfectly |totally |fully )?(?:symmetrical|symmetric) (?:position|structure|pawn structure|formation) (?:has )?(?:arisen|arises|appeared|come about|emerged|is on the board|resulted)",
        symmetrical,
    ),
    Pattern(
        r"(?:it is|this is|we have|there is|{side} have) (?:a |an )?(?:completely |perfectly |totally |fully )?(?:symmetrical|symmetric) (?:position|structure|pawn structure|formation)",
        symmetrical,
    ),
    Pattern(r"{side} {have} the same (?:pawn structure|structure|pawn formation)", symmetrical),
    Pattern(
        r"{whose} (?:pawn )?(?:structure|formation|position|pawns) (?:has|have|consists? of|is made up of|is split into|is divided into|are split into|are divided into|falls into|shows?) {number} (?:pawn )?(?:islands?|groups?|parts?)",
        lambda said: islands(said.of_whose()),
    ),
    Pattern(
        r"{piece} {be} (?:split|broken|divided|cut|scattered|separated)(?: up)? (?:in|into|over) {number} (?:separate |different )?(?:islands?|groups?|parts?|clusters?)",
        islands_of_pawns,
    ),
    Pattern(
        r"{piece} (?:form|make|make up|fall into|stand in|consist of|are) {number} (?:separate |different )?islands?",
        islands_of_pawns,
    ),
    Pattern(
        r"{side} {have} {det}(?:pawn )?majority(?: of pawns)? in the cent(?:re|er)(?: ,? (?:with )?(?:of )?{number} (?:pawns? )?(?:to|against|versus) {number2})?",
        central_majority,
    ),
    Pattern(
        r"(?:the )?(?:pawn )?majority(?: of pawns)? in the cent(?:re|er) (?:is|belongs to|lies with) (?:{whose}|{side})",
        central_majority,
    ),
    Pattern(
        r"{whose} pawns {be} (?:split|broken|divided|cut) (?:in|into) (?:two|{number}|several|pieces)(?: groups| islands| parts)?",
        split_pawns,
    ),
    Pattern(
        r"there (?:is|are) (?:a |an |any )?(?P<kind>passed|isolated|doubled|backward) (?P<colour>white|black) pawns?(?: in this ending| here| on the board)?",
        coloured_kind,
    ),
    Pattern(
        r"there (?:is|are) (?:a |an |any )?(?P<colour>white|black) (?P<kind>passed|isolated|doubled|backward) pawns?(?: in this ending| here| on the board)?",
        coloured_kind,
    ),
    Pattern(
        r"{side} {have} (?:only |just )?(?:{number}|an?|the) (?:(?P<more>extra|more) )?(?:centre|central|center) pawns?(?P<extra> more| extra)?(?: (?:against|to|versus) (?:{number2}|one))?(?! in)",
        centre_pawns,
    ),
    Pattern(
        r"{side} {have} (?:{number}|an?|the) (?:(?P<more>extra|more|additional|spare) pawns?|pawns? (?P<extra>more|extra))"
        r"(?: than {side2})? in the (?:centre|center)(?: than {side2})?",
        extra_in_centre,
    ),
    Pattern(
        r"{side} {be} (?:{number}|a) pawns? (?:(?P<more>up|ahead)|(?P<less>down|behind)) in the (?:centre|center)",
        extra_in_centre,
    ),
    Pattern(
        r"{whose} (?:{file} )?pawns {be} doubled on (?:the )?(?:{file2}|{square})", doubled_there
    ),
    Pattern(
        r"the (?P<colour>white|black) (?:pawn )?chain (?:runs?|goes|stretches|extends|leads|reaches|is) from {square} (?:up |over |via |through )?(?:(?:over|via|through)? ?{square3} )?(?:up )?(?:to|through to|as far as) {square2}",
        lambda said: chain_between(
            replace(said, values={**said.values, "whose": said.word("colour") == "white"})
        ),
    ),
)
