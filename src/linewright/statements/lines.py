"""Files, ranks and diagonals: open, half-open, held, batteries, rooks on the seventh.

Definitions: an open file has no pawn, a half-open one no pawn of the side it is half-open for and
one of the other's (Hooper & Whyld, The Oxford Companion to Chess). A side holds a file if it alone
has a rook or queen on it and no pawn of its own. A diagonal is open if no pawn stands on it
(common practice, no source). Battery: two line pieces of one side on one line, nothing between.

    after 1.e4 e5 2.Nf3 Nc6 3.Bb5 Nf6 4.O-O Nxe4 5.d4 Nd6 6.Bxc6 dxc6 7.dxe5 Nf5 8.Qxd8+ Kxd8:
        holds: the d-file is open
        fails: The e-file is open.
        holds: there is only one open file
        fails: White has the half-open c-file
        holds: Black has a half-open e-file
        holds: White has one open file
        fails: White has two open files for the rooks
        cannot tell: Black has only two open files
        left alone: open files belong to rooks
        left alone: White will open the d-file
    after 1.d4 d5 2.c4 e6 3.Nc3 Nf6 4.cxd5 exd5 5.Bg5 c6 6.Qc2 Be7 7.e3 Nbd7 8.Bd3 O-O:
        holds: the c-file is half-open for White
        holds: White can put a rook on the half-open c-file
        fails: the c-file is half-open for Black
        holds: White has a battery on the b1-h7 diagonal
        holds: there are no open files
        fails: White controls the e-file
        holds: the d-file is blocked by a white pawn
        fails: the c-file is blocked by a white pawn
        fails: the rook on a1 has an open file
"""

from __future__ import annotations

import re
from dataclasses import replace

import chess

from linewright import facts
from linewright.board_words import file_name, listed, names, past_blocker, piece_on, square
from linewright.judging import Fact, Pattern, Said, others_of
from linewright.moves import side_name
from linewright.position.files import FileState
from linewright.position.pawns import Wing

FAMILY = "lines"


def _state_text(board: chess.Board, file: int) -> str:
    pawns = [
        f"{'white' if board.color_at(s) else 'black'} pawn on {square(s)}"
        for s in facts.spread(board.pawns & chess.BB_FILES[file])
    ]
    return f"{file_name(file)}: {listed(pawns) if pawns else 'no pawn'}"


def is_open(said: Said) -> Fact:
    """Whether a file has no pawn."""
    file = said.file()
    return Fact(
        facts.file_state(said.board, file) is FileState.OPEN,
        _state_text(said.board, file),
        names(chess.SquareSet(chess.BB_FILES[file])),
    )


def closed_by(said: Said) -> Fact:
    """Whether a side has a pawn on a file."""
    shade = said.word("shade")
    name = "whose" if "whose" in said else "whose2"
    colour = shade == "white" if shade else said.side(name)
    pawns = said.board.pieces(chess.PAWN, colour) & chess.BB_FILES[said.file()]
    return Fact(bool(pawns), _state_text(said.board, said.file()), names(pawns))


def has_open_file(said: Said) -> Fact | None:
    """Whether the file a piece stands on is the one named, and open (half-open)."""
    at = said.at("piece")
    colour = said.board.color_at(at)
    if colour is None or said.board.piece_type_at(at) not in {chess.ROOK, chess.QUEEN}:
        return None
    file = chess.square_file(at)
    half = FileState.HALF_OPEN_FOR_WHITE if colour else FileState.HALF_OPEN_FOR_BLACK
    wanted = half if said.word("half") else FileState.OPEN
    true = facts.file_state(said.board, file) is wanted
    if "file" in said:
        true = true and said.file() == file
    return Fact(true, _state_text(said.board, file), names([at]))


def is_half_open(said: Said) -> Fact:
    """Whether a file is half-open (for the side named, or for one)."""
    file = said.file()
    state = facts.file_state(said.board, file)
    name = "whose" if "whose" in said else "side"
    if name in said:
        wanted = FileState.HALF_OPEN_FOR_WHITE if said.side(name) else FileState.HALF_OPEN_FOR_BLACK
        true = state is wanted
    else:
        true = state in {FileState.HALF_OPEN_FOR_WHITE, FileState.HALF_OPEN_FOR_BLACK}
    return Fact(true, _state_text(said.board, file), names(chess.SquareSet(chess.BB_FILES[file])))


def is_closed(said: Said) -> Fact:
    """Whether both sides have a pawn on a file."""
    file = said.file()
    return Fact(
        facts.file_state(said.board, file) is FileState.CLOSED, _state_text(said.board, file)
    )


def _open_text(board: chess.Board) -> str:
    return f"open files: {listed('abcdefgh'[f] for f in facts.open_files(board))}"


def any_open(said: Said) -> Fact:
    """Whether there are (so many) open files."""
    number = len(facts.open_files(said.board))
    true = number == said.number() if "number" in said else number > 0
    if said.word("least"):
        true = number >= said.number()
    return Fact(true, _open_text(said.board))


def side_has_open(said: Said) -> Fact:
    """Whether a side has so many open files: they are open to both.

    Where the number is right with those half open for it, it may be meant so.
    """
    free = facts.open_files(said.board)
    half = facts.half_open_files(said.board, said.side())
    text = f"{_open_text(said.board)}; half-open for {side_name(said.side())}: "
    text += listed("abcdefgh"[f] for f in half)
    if len(free) == said.number():
        return Fact(True, text)
    return Fact(None if len(free) + len(half) == said.number() else False, text)


def open_on_wing(said: Said) -> Fact:
    """Whether a file of a wing (a to d, e to h) is open, or so many."""
    files = range(4) if said.wing() is Wing.QUEENSIDE else range(4, 8)
    found = [f for f in facts.open_files(said.board) if f in files]
    true = len(found) == said.number() if "number" in said else bool(found)
    return Fact(true, _open_text(said.board))


def none_open(said: Said) -> Fact | None:
    """ "no open files": that there are none."""
    return any_open(said) if said.negated else None


def the_open_file(said: Said) -> Fact:
    """Whether a file is the only open one."""
    return Fact(facts.open_files(said.board) == (said.file(),), _open_text(said.board))


def has_half_open(said: Said) -> Fact:
    """Whether a side has a half-open file (the one named)."""
    if "file" in said:
        return is_half_open(said)
    files = facts.half_open_files(said.board, said.side())
    true = len(files) == said.number() if "number" in said else bool(files)
    return Fact(
        true, f"half-open for {side_name(said.side())}: {listed('abcdefgh'[f] for f in files)}"
    )


def has_open(said: Said) -> Fact:
    """Whether a side stands on the open file named with a rook or queen, or holds it."""
    file = said.file()
    is_free = facts.file_state(said.board, file) is FileState.OPEN
    heavy = facts.heavy_on_file(said.board, said.side(), file)
    text = f"{_state_text(said.board, file)}; {side_name(said.side())} has there {listed(names(heavy))}"
    return Fact(is_free and bool(heavy), text, names(heavy))


def controls(said: Said) -> Fact:
    """Whether a side holds a file."""
    file = said.file()
    holder = facts.controls_file(said.board, file)
    heavy = [
        f"{side_name(c)}: {listed(names(facts.heavy_on_file(said.board, c, file)))}"
        for c in (chess.WHITE, chess.BLACK)
    ]
    name = "whose" if "whose" in said else "side"
    return Fact(
        holder is said.side(name), f"rooks and queens on the {file_name(file)}: {'; '.join(heavy)}"
    )


def on_the_file(said: Said) -> Fact | None:
    """Whether a piece stands on a file."""
    at = said.at("piece")
    if said.board.piece_at(at) is None:
        return None
    return Fact(chess.square_file(at) == said.file(), f"{piece_on(said.board, at)}", names([at]))


def side_on_file(said: Said) -> Fact:
    """Whether a side has a rook (or queen) on a file."""
    kind = chess.QUEEN if said.word("heavy").startswith("queen") else chess.ROOK
    squares = [
        s
        for s in facts.heavy_on_file(said.board, said.side(), said.file())
        if said.board.piece_type_at(s) == kind
    ]
    true = len(squares) == said.number() if "number" in said else bool(squares)
    return Fact(
        true,
        f"{side_name(said.side())} has on the {file_name(said.file())}: {listed(names(squares))}",
        names(squares),
    )


def doubled_rooks(said: Said) -> Fact:
    """Whether a side has doubled its rooks (on the file named)."""
    found = facts.doubled_rooks(said.board, said.side())
    if "file" in said:
        found = tuple(b for b in found if chess.square_file(b.pieces[0]) == said.file())
    rooks = list(said.board.pieces(chess.ROOK, said.side()))
    return Fact(
        bool(found),
        f"{side_name(said.side())}'s rooks stand on {listed(names(rooks))}",
        names(rooks),
    )


def connected_rooks(said: Said) -> Fact:
    """Whether a side's rooks defend each other."""
    rooks = list(said.board.pieces(chess.ROOK, said.side("whose" if "whose" in said else "side")))
    true = facts.connected_rooks(said.board, said.side("whose" if "whose" in said else "side"))
    return Fact(true, f"the rooks stand on {listed(names(rooks))}", names(rooks))


def battery(said: Said) -> Fact:
    """Whether a side has a battery (on the line named, aimed at the square named)."""
    found = facts.batteries(said.board, said.side())
    if "file" in said:
        found = tuple(
            b for b in found if b.line == "file" and chess.square_file(b.pieces[0]) == said.file()
        )
    if "diagonal" in said:
        line = _diagonal(said)
        found = tuple(
            b for b in found if b.line == "diagonal" and set(line) & set(b.pieces) == set(b.pieces)
        )
    if "square" in said:
        found = tuple(b for b in found if said.at("square") in b.along)
    text = "; ".join(" and ".join(piece_on(said.board, s) for s in b.pieces) for b in found)
    return Fact(
        bool(found),
        text or f"{side_name(said.side())} has no such battery",
        names(found[0].pieces) if found else (),
    )


def _diagonal(said: Said) -> tuple[chess.Square, ...]:
    phrase = said.values["diagonal"]
    if phrase.squares:
        return facts.diagonal(*(chess.parse_square(s) for s in phrase.squares))
    if "light" in phrase.value:
        return facts.diagonal(chess.H1, chess.A8)
    if "dark" in phrase.value:
        return facts.diagonal(chess.A1, chess.H8)
    light = facts.diagonal(chess.H1, chess.A8)
    if said.values.get("piece") in light:  # of the two, the one the piece spoken of stands on
        return light
    return facts.diagonal(chess.A1, chess.H8)


def diagonal_open(said: Said) -> Fact:
    """Whether a diagonal holds no pawn."""
    phrase = said.values["diagonal"]
    lines = [_diagonal(said)]
    if len(phrase.squares) == 2 and " to " in said.original:
        first, last = map(chess.parse_square, phrase.squares)
        lines = [(first, *chess.SquareSet(chess.between(first, last)), last)]
        stops = [s for s in lines[0][1:-1] if said.board.piece_at(s)]
        text = f"between {square(first)} and {square(last)}: {listed(names(stops))}"
        return Fact(not stops, text, names(lines[0]))
    if phrase.value == "long":
        lines = [facts.diagonal(chess.A1, chess.H8), facts.diagonal(chess.H1, chess.A8)]
    free = [
        line
        for line in lines
        if line and not any(said.board.piece_type_at(s) == chess.PAWN for s in line)
    ]
    pawns = [s for s in lines[0] if said.board.piece_type_at(s) == chess.PAWN]
    ends = f"{square(lines[0][0])}-{square(lines[0][-1])}" if lines[0] else "no diagonal"
    text = f"pawns on {ends}: {listed(names(pawns))}"
    return Fact(bool(free), text, names(lines[0]))


def on_diagonal(said: Said) -> Fact | None:
    """Whether a piece stands on a diagonal."""
    at = said.at("piece")
    if said.board.piece_at(at) is None:
        return None
    phrase = said.values["diagonal"]
    lines = (
        [_diagonal(said)]
        if phrase.value != "long"
        else [facts.diagonal(chess.A1, chess.H8), facts.diagonal(chess.H1, chess.A8)]
    )
    true = any(at in line for line in lines)
    return Fact(true, f"{piece_on(said.board, at)}", names([at]))


def on_rank(said: Said) -> Fact | None:
    """Whether a side has a rook (or queen) on a rank counted from its own side."""
    phrase = said.values["rank"]
    colour = said.side()
    rank = 1 if phrase.value in {"back", "last", "home"} else phrase.number
    rooks = facts.rooks_on_rank(said.board, colour, rank)
    if said.word("heavy").startswith("queen"):
        row = rank - 1 if colour else 8 - rank
        rooks = facts.spread(
            said.board.queens & said.board.occupied_co[colour] & chess.BB_RANKS[row]
        )
    true = len(rooks) == said.number() if "number" in said else bool(rooks)
    if said.word("both"):
        true = len(rooks) > 1
    return Fact(true, f"{side_name(colour)} has on that rank: {listed(names(rooks))}", names(rooks))


def piece_on_rank(said: Said) -> Fact | None:
    """Whether a piece stands on a rank counted from its own side."""
    at = said.at("piece")
    colour = said.board.color_at(at)
    if colour is None:
        return None
    phrase = said.values["rank"]
    rank = 1 if phrase.value in {"back", "last", "home"} else phrase.number
    return Fact(facts.rank_for(colour, at) == rank, piece_on(said.board, at), names([at]))


def back_rank_weak(said: Said) -> Fact:
    """Whether a side's back rank is weak: its king has no flight off it."""
    colour = said.side("whose" if "whose" in said else "side")
    free = facts.flights(said.board, colour)
    return Fact(
        facts.back_rank_weak(said.board, colour),
        f"{side_name(colour)}'s king can go to {listed(names(free))}",
        names(free),
    )


def piece_on_open(said: Said) -> Fact | None:
    """Whether a piece stands on an open (or half-open for its side) file."""
    at = said.at("piece")
    colour = said.board.color_at(at)
    if colour is None:
        return None
    state = facts.file_state(said.board, chess.square_file(at))
    half = {FileState.HALF_OPEN_FOR_WHITE, FileState.HALF_OPEN_FOR_BLACK}
    kind = said.word("kind")
    wanted = half if "half" in kind or "semi" in kind else {FileState.OPEN}
    if kind == "closed":
        wanted = {FileState.CLOSED}
    there = "file" not in said or said.file() == chess.square_file(at)
    return Fact(
        state in wanted and there,
        f"{piece_on(said.board, at)}; {_state_text(said.board, chess.square_file(at))}",
        names([at]),
    )


def any_kind(said: Said) -> Fact:
    """Whether any file is open, half-open, or either, as said."""
    states = [facts.file_state(said.board, f) for f in range(8)]
    free = [f for f in range(8) if states[f] is FileState.OPEN]
    half = [
        f
        for f in range(8)
        if states[f] in {FileState.HALF_OPEN_FOR_WHITE, FileState.HALF_OPEN_FOR_BLACK}
    ]
    kind = said.word("kind")
    found = free if kind == "open" else half if " or " not in kind else free + half
    text = (
        f"open: {listed('abcdefgh'[f] for f in free)}; "
        f"half-open: {listed('abcdefgh'[f] for f in half)}"
    )
    true = len(found) == said.number() if "number" in said else bool(found)
    return Fact(true, text)


def in_battery(said: Said) -> Fact | None:
    """Whether a piece is part of a battery (on the line named)."""
    at = said.at("piece")
    colour = said.board.color_at(at)
    if colour is None:
        return None
    found = [b for b in facts.batteries(said.board, colour) if at in b.pieces]
    if "diagonal" in said:
        line = _diagonal(said)
        found = [b for b in found if b.line == "diagonal" and set(b.pieces) <= set(line)]
    if "file" in said:
        found = [b for b in found if b.line == "file" and chess.square_file(at) == said.file()]
    text = (
        " and ".join(piece_on(said.board, s) for s in found[0].pieces)
        if found
        else (f"{piece_on(said.board, at)} is in no battery")
    )
    return Fact(bool(found), text, names(found[0].pieces) if found else names([at]))


def all_closed(said: Said) -> Fact:
    """Whether both sides have a pawn on every file."""
    states = [facts.file_state(said.board, f) for f in range(8)]
    free = [f for f in range(8) if states[f] is not FileState.CLOSED]
    return Fact(not free, f"not closed: {listed('abcdefgh'[f] for f in free)}")


def opened_any(said: Said) -> Fact | None:
    """Whether any file is open, or half-open for the side."""
    free = [*facts.open_files(said.board), *facts.half_open_files(said.board, said.side())]
    return Fact(
        bool(free),
        f"open or half-open for {side_name(said.side())}: {listed('abcdefgh'[f] for f in free)}",
    )


def opened_file(said: Said) -> Fact:
    """Whether a file is open or half-open for a side that had a pawn on it."""
    state = facts.file_state(said.board, said.file())
    mine = FileState.HALF_OPEN_FOR_WHITE if said.side() else FileState.HALF_OPEN_FOR_BLACK
    return Fact(state in {mine, FileState.OPEN}, _state_text(said.board, said.file()))


def pawn_on_file(said: Said) -> Fact:
    """Whether a pawn (of the colour named) stands on a file."""
    pawns = facts.spread(said.board.pawns & chess.BB_FILES[said.file()])
    if said.word("shade"):
        pawns = tuple(s for s in pawns if said.board.color_at(s) == (said.word("shade") == "white"))
    return Fact(bool(pawns), _state_text(said.board, said.file()), names(pawns))


def piece_holds(said: Said) -> Fact | None:
    """Whether a piece's side holds a file, with that piece on it."""
    at = said.at("piece")
    colour = said.board.color_at(at)
    if colour is None or said.board.piece_type_at(at) not in {chess.ROOK, chess.QUEEN}:
        return None
    true = chess.square_file(at) == said.file() and (
        facts.controls_file(said.board, said.file()) is colour
    )
    return Fact(
        true, f"{piece_on(said.board, at)}; {_state_text(said.board, said.file())}", names([at])
    )


def faces(said: Said) -> Fact | None:
    """Whether two pieces stand on one line with nothing between."""
    one, other = said.at("piece"), said.at("piece2")
    if said.board.color_at(one) in {None, said.board.color_at(other)}:
        return None
    true = facts.clear_between(said.board, one, other)
    definite = all(said.phrases[name].squares for name in ("piece", "piece2"))
    if not (true or definite) and re.search(r"\b(?:look|star)", said.original):
        return None  # it looks that way, past what stands between
    return Fact(
        true,
        f"{piece_on(said.board, one)} and {piece_on(said.board, other)}: "
        f"{'nothing' if true else 'something'} between",
        names((one, other)),
    )


def face_each_other(said: Said) -> Fact | None:
    """Whether a piece has an enemy piece of its kind opposite on a clear line."""
    at = said.at("piece")
    piece = said.board.piece_at(at)
    if piece is None:
        return None
    if said.phrases["piece"].parts:
        return _both_face(said, at)
    if said.phrases["piece"].plural and piece.piece_type == chess.ROOK:
        return rooks_face(said)
    found = [
        s
        for s in said.board.pieces(piece.piece_type, not piece.color)
        if facts.line_between(at, s) and not chess.between(at, s) & said.board.pawns
    ]
    if piece.piece_type == chess.PAWN:
        found = [b if piece.color else a for a, b in facts.rams(said.board) if at in (a, b)]
    return Fact(
        bool(found),
        f"{piece_on(said.board, at)} faces {listed(piece_on(said.board, s) for s in found)}",
        names((at, *found)),
    )


def rook_on_open(said: Said) -> Fact:
    """Whether a side has a rook on an open file."""
    rooks = [
        s
        for s in said.board.pieces(chess.ROOK, said.side())
        if facts.file_state(said.board, chess.square_file(s)) is FileState.OPEN
    ]
    return Fact(
        bool(rooks), f"{_open_text(said.board)}; rooks there: {listed(names(rooks))}", names(rooks)
    )


def nobody_holds(said: Said) -> Fact:
    """Whether neither side holds a file."""
    holder = facts.controls_file(said.board, said.file())
    return Fact(
        holder is None,
        f"{file_name(said.file())}: {'nobody' if holder is None else side_name(holder)} holds it",
    )


def diagonal_free_for(said: Said) -> Fact | None:
    """Whether a diagonal is open (for a piece on it: it sees more than before the last move)."""
    last = said.place.last()
    if "piece" not in said or last is None:
        return diagonal_open(said)
    at = said.at("piece")
    before = len(chess.SquareSet(last.before.attacks_mask(at)))
    after = len(chess.SquareSet(said.board.attacks_mask(at)))
    return Fact(
        after > before,
        f"{piece_on(said.board, at)} sees {before} squares before and {after} after {last.san}",
        names([at]),
    )


def sees(said: Said) -> Fact | None:
    """Whether a piece reaches a square or piece."""
    at, target = said.at("piece"), said.at("target")
    true = facts.attacks(said.board, at, target)
    return Fact(
        true,
        f"{piece_on(said.board, at)} {'reaches' if true else 'does not reach'} {square(target)}"
        f"{'' if true else past_blocker(said.board, at, target)}",
        names((at, target)),
    )


_HALF = r"(?:half open|semi open|halfopen)"
_ON = r"(?:on|along|down) (?:the )?(?:open |half open )?"
_HOLD = (
    r"(?:controls?|holds?|commands?|dominates?|occup(?:y|ies)|owns?|has (?:taken )?control of|"
    r"has (?:seized|taken|occupied)|is in (?:control|possession|command) of|rules|have control of|"
    r"has taken over|has got hold of|{have} a grip on)"
)


def no_kind(said: Said) -> Fact:
    """Whether no file is open or half-open."""
    states = [facts.file_state(said.board, f) for f in range(8)]
    free = [f for f in range(8) if states[f] is not FileState.CLOSED]
    return Fact(not free, f"open or half-open: {listed('abcdefgh'[f] for f in free)}")


def on_their_rank(said: Said) -> Fact | None:
    """Whether a piece stands on a rank counted from the side named."""
    at = said.at("piece")
    phrase = said.values["rank"]
    rank = 1 if phrase.value in {"back", "last", "home"} else phrase.number
    if said.board.piece_at(at) is None:
        return None
    return Fact(
        facts.rank_for(said.side("whose"), at) == rank, piece_on(said.board, at), names([at])
    )


def reached_rank(said: Said) -> Fact | None:
    """Whether a piece stands on a rank, counted from the side named or else from its own."""
    whose = said.phrases.get("whose")
    named_side = whose is not None and whose.who not in {"it", "he", "they"}
    if named_side:
        return on_their_rank(said)
    found = piece_on_rank(said)
    rank = said.phrases["rank"].number
    at = said.at("piece")
    colour = said.board.color_at(at)
    if found and rank in {1, 2} and colour is not None and facts.rank_for(colour, at) == 9 - rank:
        return replace(found, true=True)  # the enemy's second rank
    return found


def is_half_open_or_open(said: Said) -> Fact:
    """Whether a side has no pawn of its own on a file."""
    own = facts.on_file(said.board, said.side(), said.file())
    return Fact(not own, _state_text(said.board, said.file()), names(own))


def rooks_face(said: Said) -> Fact | None:
    """Whether rooks of both sides stand on one file (the one named) with nothing between.

    Where only pieces stand between, nothing is said: they may step aside.
    """
    lined = [
        (one, other)
        for one in said.board.pieces(chess.ROOK, chess.WHITE)
        for other in said.board.pieces(chess.ROOK, chess.BLACK)
        if facts.line_between(one, other) and not chess.between(one, other) & said.board.pawns
    ]
    if "file" in said:
        lined = [p for p in lined if {chess.square_file(s) for s in p} == {said.file()}]
    pairs = [(a, b) for a, b in lined if not chess.between(a, b) & said.board.occupied]
    if lined and not pairs:
        return None
    text = "; ".join(f"{square(a)} and {square(b)}" for a, b in pairs) or "none"
    return Fact(
        bool(pairs), f"rooks that face each other: {text}", names(s for p in pairs for s in p)
    )


def contested(said: Said) -> Fact:
    """Whether both sides have a rook or queen on a file without pawns."""
    heavy = [
        {
            s
            for kind in (chess.ROOK, chess.QUEEN)
            for s in said.board.pieces(kind, c)
            if chess.square_file(s) == said.file()
        }
        for c in chess.COLORS
    ]
    true = all(heavy) and facts.controls_file(said.board, said.file()) is None
    return Fact(true, _state_text(said.board, said.file()), names(heavy[0] | heavy[1]))


def shares_file(said: Said) -> Fact | None:
    """Whether two pieces stand on one file (the one named)."""
    one, other = said.at("piece"), said.at("piece2")
    if one == other:
        return None
    files = {chess.square_file(one), chess.square_file(other)}
    true = len(files) == 1 and ("file" not in said or said.file() in files)
    return Fact(
        true,
        f"{piece_on(said.board, one)} and {piece_on(said.board, other)} stand on "
        f"{'one file' if len(files) == 1 else 'different files'}",
        names((one, other)),
    )


def _both_face(said: Said, at: chess.Square) -> Fact | None:
    """Whether a piece has one of the others spoken of opposite, with nothing between."""
    if said.board.piece_type_at(at) == chess.PAWN and "eye" in said.original:
        return None  # pawns of two files guard the squares before one another
    others = others_of(said, at)
    found = [s for s in others if facts.clear_between(said.board, at, s)]
    return Fact(
        bool(found),
        f"{piece_on(said.board, at)} and {listed((piece_on(said.board, s) for s in others), 'or')}: "
        f"{'nothing' if found else 'something'} between",
        names((at, *found)),
    )


def between(said: Said) -> Fact | None:
    """Whether a piece stands on the line between two others."""
    at, one = said.at("piece2"), said.at("piece")
    others = others_of(said, one)
    if len(said.phrases["piece"].parts) != 2 or not others:
        return None
    true = any(at in chess.SquareSet.between(one, s) for s in others)
    does = "stands" if true else "does not stand"
    return Fact(
        true,
        f"{piece_on(said.board, at)} {does} between {piece_on(said.board, one)} and "
        f"{listed((piece_on(said.board, s) for s in others), 'or')}",
        names((at, one, *others)),
    )


def open_for_piece(said: Said) -> Fact | None:
    """Whether a file is open, or half-open, for the side whose piece is named."""
    colour = said.board.color_at(said.at("piece"))
    if colour is None:
        return None
    return is_half_open_or_open(replace(said, values={**said.values, "side": colour}))


def pawn_of_side_on(said: Said) -> Fact:
    """Whether a side has a pawn on a file."""
    colours = (said.side(),) if "side" in said else chess.COLORS
    found = [
        s for c in colours for s in facts.pawns(said.board, c)
        if chess.square_file(s) == said.file()
    ]  # fmt: skip
    return Fact(
        bool(found), f"pawns on the {file_name(said.file())}: {listed(names(found))}", names(found)
    )


def both_on_file(said: Said) -> Fact | None:
    """Whether a piece stands on the file on which several are said to be doubled."""
    piece = said.phrases["piece"]
    if not (piece.parts or piece.plural) or (piece.pieces == "P" and not piece.squares):
        return None  # of a side's pawns, two on one file are doubled
    return on_the_file(said)


def only_half_open(said: Said) -> Fact | None:
    """Whether the files named are all the files of their kind."""
    kind = FileState.OPEN
    files = {"abcdefgh".index(f) for f in said.phrases["file"].files}
    states = {f: facts.file_state(said.board, f) for f in range(8)}
    if said.word("kind") == "open":
        found = {f for f in states if states[f] is kind}
    else:
        found = {
            f for f in states
            if states[f] in {FileState.HALF_OPEN_FOR_WHITE, FileState.HALF_OPEN_FOR_BLACK}
        }  # fmt: skip
    return Fact(
        files == found, f"{said.word('kind')}: {listed('abcdefgh'[f] for f in sorted(found))}"
    )


def side_half_open_there(said: Said) -> Fact | None:
    """Whether the file named behind "a half-open file" is one."""
    return is_half_open(said) if "half" in said.word("kind") else is_open(said)


def files_without(said: Said) -> Fact:
    """Whether so many files have pawns ("no": have none)."""
    empty = [f for f in range(8) if not said.board.pawns & chess.BB_FILES[f]]
    number = len(empty) if said.negated else 8 - len(empty)
    true = number == said.number()
    text = f"files without pawns: {listed('abcdefgh'[f] for f in empty)}"
    return Fact(true != said.negated, text)


def pawn_of_shade(said: Said) -> Fact:
    """Whether a file has pawns of the colour named (and, with "only", of no other)."""
    white = said.word("shade") == "white"
    own, other = (facts.on_file(said.board, c, said.file()) for c in (white, not white))
    only = re.search(r"\b(?:only|just|nothing but)\b", said.original.lower())
    true = bool(own) and not (only and other)
    return Fact(true, _state_text(said.board, said.file()), names((*own, *other)))


_LOOKS = (
    r"(?:looks?|sees?|points?|aims?|stares?|goes|runs?|reach(?:es)?|works?|bears?|surveys?|rakes?|sweeps?|eyes?|shoots?|gazes?|"
    r"fires?|cuts?|extends?|is open|is aimed|is pointing|is aiming|is looking|is staring|is trained|is free|has its eyes?)"
)
_WAY = (
    r"(?:right|straight|all the way|down|up|along|through|across|over|the|its|long|open|diagonal|file|rank|D.|F.|R.|directly|"
    r"back|far|and|from Q.|past everything|unhindered)"
)


def sees_far(said: Said) -> Fact | None:
    """Whether a queen, rook or bishop reaches a square or piece along its line."""
    kind = said.board.piece_type_at(said.at("piece"))
    if kind not in {chess.BISHOP, chess.ROOK, chess.QUEEN} or said.at("piece") == said.at("target"):
        return None
    fact = sees(said)
    is_square = said.phrases["target"].kind == "square"
    if fact is not None and not fact.true and is_square and _stands_there(said, kind):
        return None  # "the queen goes to a5", where one stands: it tells how that came there
    return fact


def _stands_there(said: Said, kind: chess.PieceType | None) -> bool:
    """Whether a piece like the one that is named stands on the target."""
    piece, named = said.board.piece_at(said.at("target")), said.phrases["piece"]
    return piece is not None and piece.piece_type == kind and not (named.who or named.squares)


def open_as_far(said: Said) -> Fact | None:
    """Whether a piece on the line reaches the square, with nothing between."""
    end = said.at("square")
    line = (
        _diagonal(said)
        if "diagonal" in said
        else tuple(chess.SquareSet(chess.BB_FILES[said.file()]))
    )
    if end not in line:
        return None
    sliders = (chess.BISHOP, chess.QUEEN) if "diagonal" in said else (chess.ROOK, chess.QUEEN)
    found = [
        s
        for s in line
        if s != end
        and said.board.piece_type_at(s) in sliders
        and facts.clear_between(said.board, s, end)
    ]
    text = f"pieces that reach {square(end)}: {listed(names(found)) or 'none'}"
    return Fact(bool(found), text, names((end, *found)))


def on_the_diagonal(said: Said) -> Fact | None:
    """Whether a piece stands on a diagonal."""
    at = said.at("piece")
    if said.board.piece_at(at) is None:
        return None
    line = _diagonal(said)
    return Fact(at in line, piece_on(said.board, at), names([at]))


def so_many_open(said: Said) -> Fact:
    """Whether so many files are open, and the one named among them."""
    free = facts.open_files(said.board)
    true = len(free) == said.number() and ("file" not in said or said.file() in free)
    return Fact(true, f"open files: {listed([file_name(f) for f in free]) or 'none'}")


def no_rook_on_open(said: Said) -> Fact:
    """Whether no rook stands on an open (or half-open) file."""
    half = said.word("which").startswith("half")
    found = []
    for colour in chess.COLORS:
        files = facts.half_open_files(said.board, colour) if half else facts.open_files(said.board)
        found += [s for s in said.board.pieces(chess.ROOK, colour) if chess.square_file(s) in files]
    return Fact(not found, f"rooks there: {listed(names(found)) or 'none'}", names(found))


def nothing_between(said: Said) -> Fact | None:
    """Whether the two pieces named stand on one line with nothing between."""
    one = said.at("piece")
    if said.phrases["piece"].parts or said.phrases["piece"].plural:
        others = [s for s in others_of(said, one) if chess.ray(one, s)]
    else:
        return None
    if not others:
        return None
    true = any(facts.clear_between(said.board, one, s) for s in others)
    return Fact(
        true,
        f"{piece_on(said.board, one)}, {piece_on(said.board, others[0])}",
        names((one, *others)),
    )


def kinds_face(said: Said) -> Fact | None:
    """Whether two men of a kind, one of each side, stand on one line with nothing between."""
    kind = chess.PIECE_NAMES.index(said.word("kind").removesuffix("s"))
    pairs = [
        (a, b)
        for a in said.board.pieces(kind, chess.WHITE)
        for b in said.board.pieces(kind, chess.BLACK)
        if chess.ray(a, b)
    ]
    if "file" in said:
        pairs = [p for p in pairs if {chess.square_file(s) for s in p} == {said.file()}]
    free = [p for p in pairs if facts.clear_between(said.board, *p)]
    text = f"on one line: {'; '.join(listed(names(p)) for p in pairs) or 'none'}"
    return Fact(bool(free), text, names(free[0] if free else ()))


def kings_on_line(said: Said) -> Fact:
    """Whether the kings (or the queens) stand on one line of the kind named."""
    kind = chess.KING if said.word("kind") == "kings" else chess.QUEEN
    men = [s for c in chess.COLORS for s in said.board.pieces(kind, c)]
    if len(men) != 2:
        return Fact(False, f"{said.word('kind')}: {listed(names(men))}")
    one, other = men
    line = facts.line_between(one, other)
    text = f"the {said.word('kind')} stand on {square(one)} and {square(other)}"
    return Fact(line == said.word("line"), text, names((one, other)))


def blocks_diagonal(said: Said) -> Fact | None:
    """Whether a piece stands on a diagonal, in the way of a bishop or queen on it."""
    at, line = said.at("piece"), _diagonal(said)
    if said.board.piece_at(at) is None:
        return None
    behind = [
        s
        for s in line
        if s != at
        and said.board.piece_type_at(s) in {chess.BISHOP, chess.QUEEN}
        and at in said.board.attacks(s)
    ]
    text = f"{piece_on(said.board, at)}; on the line behind it: {listed(names(behind)) or 'none'}"
    pawn = said.board.piece_type_at(at) == chess.PAWN
    return Fact(at in line and (pawn or bool(behind)), text, names((at, *behind)))


def has_any_pawn(said: Said) -> Fact:
    """Whether any pawn stands on a file."""
    left = [s for c in chess.COLORS for s in facts.on_file(said.board, c, said.file())]
    return Fact(bool(left), f"pawns there: {listed(names(left)) or 'none'}", names(left))


PATTERNS = (
    Pattern(
        r"{piece} (?:covers|commands|controls|rakes|sweeps|dominates|owns|occupies|rules|holds|has) (?:the )?{diagonal}(?! with)",
        on_diagonal,
    ),
    Pattern(r"(?:there is|we have|here is) (?:now )?(?:an? |the )?(?P<kind>open) {file}", is_open),
    Pattern(r"(?:the )?{file} {be} (?:fully |completely )?open(?: now)?(?! for)", is_open),
    Pattern(r"(?:the )?{file} {be} (?:an? )?(?:fully )?open(?: files?)?(?! for)", is_open),
    Pattern(r"(?:the )?{file} (?:has been|was|is|has) opened(?: up)?", is_open),
    Pattern(
        rf"(?:the )?{{file}} {{be}} (?:a )?{_HALF}(?: files?)?(?: for {{side}})?", is_half_open
    ),
    Pattern(r"(?:the )?{file} {be} (?:closed|blocked|shut|not open|locked)(?: file)?", is_closed),
    Pattern(
        r"(?:there (?:is|are)|we have|the position has) (?:{det})(?:only |just |(?P<least>at least ))?(?:{number} )?open files?(?: (?:on the board|anywhere|yet|for (?:the|{own}) (?:rooks?|pieces|heavy pieces)))?(?! on| for)",
        any_open,
    ),
    Pattern(rf"{{whose}} {{file}} {{be}} {_HALF}", lambda said: is_half_open(said.of_whose())),
    Pattern(
        r"{side} {have} (?:only |just |exactly )?{number} (?:completely |fully )?open files?(?: (?:on the board|anywhere|for (?:the|{own}) (?:rooks?|pieces|heavy pieces)))?(?! on| for)",
        side_has_open,
    ),
    Pattern(
        r"(?:there (?:is|are)|we have|{side} {have}) (?:{number} |an? |any |the |only )*open files? (?:on|over on) {wing}",
        open_on_wing,
    ),
    Pattern(
        r"there (?:is|are) (?:only |just )?{number} files? (?:free of pawns|without (?:any )?pawns?|clear of pawns|empty of pawns|with no pawns)(?: on them)?",
        so_many_open,
    ),
    Pattern(r"(?:the )?only open file is (?:the )?{file}", the_open_file),
    Pattern(r"{number} (?:completely |fully )?open files?(?! on| for)", so_many_open),
    Pattern(r"(?:any )?open files?(?: anywhere| here| at all)?(?! on| for)", none_open),
    Pattern(r"(?:the )?{file} alone {be} (?:\w+ )?open", the_open_file),
    Pattern(r"only (?:the )?{file} {be} (?:\w+ )?open", the_open_file),
    Pattern(r"(?:the )?(?:one|single|sole) open file is (?:the )?{file}", the_open_file),
    Pattern(r"(?:the )?{file} is the only open file", the_open_file),
    Pattern(r"the open file is (?:the )?{file}", is_open),
    Pattern(rf"{{side}} {{have}} {{det}}{_HALF} {{file}}", is_half_open),
    Pattern(
        rf"{{side}} {{have}} {{det}}(?:{{number}} )?{_HALF} files?(?: to (?:work|play) (?:on|with|along))?"
        rf"(?! on)",
        has_half_open,
    ),
    Pattern(
        rf"{{side}} {{have}} {{det}}{_HALF} files? (?:on|which is) (?:the )?{{file}}", is_half_open
    ),
    Pattern(r"{side} {have} the open {file}", has_open),
    Pattern(rf"{{side}} {_HOLD} (?:the )?(?:open |only open )?{{file}}", controls),
    Pattern(
        r"{side} {have} (?:the )?(?:open )?{file} (?:under control|alone|in {own} hands|in {own} grip)",
        controls,
    ),
    Pattern(
        r"(?:the )?(?:open )?{file} (?:is controlled by|is in the hands of|is held by|is dominated by|"
        r"belongs to) {side}",
        controls,
    ),
    Pattern(r"(?:the )?(?:open )?{file} is {whose}", controls),
    Pattern(
        r"{piece} {be} (?:already )?(?:on|along) (?:the )?(?:open |half open )?{file}", on_the_file
    ),
    Pattern(
        rf"{{side}} {{have}} (?:a|the|{{number}}|{{own}}) (?P<heavy>rooks?|queen) {_ON}{{file}}",
        side_on_file,
    ),
    Pattern(
        rf"{{side}} (?:has|have) doubled (?:{{own}} |the )?rooks(?: {_ON}{{file}})?", doubled_rooks
    ),
    Pattern(
        r"{side} (?:has|have) (?:stacked|tripled|lined up|placed|put|posted|piled|piled up|massed|parked|brought|got|trained) (?:both |all |the |N. |two |{own} )*rooks(?: up)? (?:on|onto|along|in|up on) (?:the )?(?:open |half open )?{file}",
        doubled_rooks,
    ),
    Pattern(rf"{{side}} {{have}} doubled rooks(?: {_ON}{{file}})?", doubled_rooks),
    Pattern(r"{whose} rooks {be} (?:connected|joined|linked)", connected_rooks),
    Pattern(r"{side} (?:has|have) connected (?:{own} |the )?rooks", connected_rooks),
    Pattern(
        rf"{{side}} {{have}} {{det}}(?:powerful |strong |dangerous |nasty |queen and bishop |rook )*battery"
        rf"(?: (?:{_ON}{{file}}|(?:on|along|down) (?:the )?{{diagonal}}|against {{square}}|"
        rf"(?:aimed|pointing|pointed|trained) (?:at|on) {{square}}))?",
        battery,
    ),
    Pattern(r"(?:the )?{diagonal} {be} (?:wide |completely |fully )?open", diagonal_open),
    Pattern(r"(?:the )?{diagonal} {be} (?:closed|blocked|shut)", diagonal_open, against=True),
    Pattern(r"{piece} {be} (?:on|along) (?:the )?{diagonal}", on_diagonal),
    Pattern(
        r"(?:the )?{diagonal} {be} (?:occupied|controlled|held|commanded|ruled) by {piece}",
        on_diagonal,
    ),
    Pattern(
        r"{piece} (?:controls|commands|rakes|sweeps|dominates|occupies|rules) (?:the )?(?:open )?{diagonal}",
        on_diagonal,
    ),
    Pattern(
        r"{side} {have} (?:a|the|{number}|{own}|(?P<both>both)) (?P<heavy>rooks?|queen) on (?:the |{own} )?{rank}",
        on_rank,
    ),
    Pattern(r"{piece} {be} (?:doubled )?on (?:the )?{rank}", piece_on_rank),
    Pattern(
        r"{piece} (?:controls|commands|dominates|rules|sweeps|patrols|occupies) (?:the |{whose} )?{rank}",
        piece_on_rank,
    ),
    Pattern(
        r"{piece} (?:(?:has|have) (?:reached|invaded|penetrated(?: to)?|arrived on|occupied|entered|(?:got|gone|come|made it|broken through|advanced) (?:to|onto)|infiltrated)|reached|occup(?:y|ies)) (?:the |{whose} )?{rank}",
        reached_rank,
    ),
    Pattern(
        r"{whose} (?:back rank|first rank|{rank}) {be} (?:weak|vulnerable|exposed|bare|unguarded)",
        back_rank_weak,
    ),
    Pattern(
        r"{side} {have} (?:a )?(?:weak back rank|back rank (?:weakness|problem|problems))",
        back_rank_weak,
    ),
    Pattern(rf"(?:the|{{whose}}) {_HALF} {{file}}", is_half_open, noun=True),
    Pattern(r"the (?:only )?open {file}", is_open, noun=True),
    Pattern(rf"{{whose}} (?:only )?{_HALF} files? (?:{{be}}) (?:the )?{{file}}", is_half_open),
    Pattern(
        r"{piece} (?:{be} on|(?:has|have) (?:a |the )?(?:\w+ )?view (?:down|along|of|on)|(?:has|have) (?:reached|taken|occupied|seized|found)|occup(?:y|ies)|(?:has|have)) (?:an? |the )?(?P<kind>open|half open|semi open|closed) files?(?: ,? ?(?:the )?{file})?(?: to (?:work|play|operate) (?:on|along))?",
        piece_on_open,
    ),
    Pattern(
        rf"(?:there are|we have|there is) (?:any |a |{{number}} )?(?P<kind>open or {_HALF}|{_HALF}) files?(?! on| for)",
        any_kind,
    ),
    Pattern(
        rf"(?:{{number}} |any |a single )?files? {{be}} (?P<kind>open or {_HALF}|open|{_HALF})(?! for)",
        any_kind,
    ),
    Pattern(r"there is (?:a |any )?pawns? on (?:the )?{diagonal}", diagonal_open, against=True),
    Pattern(
        r"{piece} (?:forms?|makes?|builds?) (?:a )?(?:powerful |strong |nasty |dangerous )?battery(?: (?:on|along) (?:the )?(?:{diagonal}|{file}))?",
        in_battery,
    ),
    Pattern(
        r"{side} alone (?:controls|occupies|holds|commands|has|owns) (?:the )?(?:open )?{file}",
        controls,
    ),
    Pattern(
        rf"(?:the )?{{file}} {{be}} {_HALF}(?: files?)? (?:in {{whose}} favou?r|on {{whose}} side|from {{whose}} side|for {{whose}} rooks?)",
        is_half_open,
    ),
    Pattern(
        r"(?:all|every|all the|all of the|each of the) (?:{number} )?(?:single )?files? (?:{be} (?:closed|blocked|shut)|"
        r"(?:has|have|contains?|carr(?:y|ies)|holds?) (?:(?:a|at least one|at least {number2}|some) )?pawns?(?: on it| of some sort)?)",
        all_closed,
    ),
    Pattern(
        r"(?:an |any |a single )?(?P<kind>open) files? exists?(?: on this board| here)?", any_kind
    ),
    Pattern(
        r"{side} (?:has|have) opened (?:a|the) file(?: for {own} (?:rooks?|queen))?", opened_any
    ),
    Pattern(r"{side} (?:has|have) opened (?:the )?{file}", opened_file),
    Pattern(
        r"there (?:is|are) (?:any |a |still )?(?:(?P<shade>white|black) )?pawns? (?:left )?on (?:the )?{file}",
        pawn_on_file,
    ),
    Pattern(
        r"(?:a |any |the )?(?:(?P<shade>white|black) )?pawns? (?:stands?|is|are|sits?) on (?:the )?{file}",
        pawn_on_file,
    ),
    Pattern(
        r"(?:the )?{file} {be} (?:free of (?:any |all )?pawns|free from pawns|without (?:any |a )?(?:single )?pawns?|clear of (?:all )?pawns|empty of pawns|empty|pawnless)(?: altogether)?",
        is_open,
    ),
    Pattern(r"(?:the )?{file} {have} (?:any |a )?pawns?(?: on it| left)?", is_open, against=True),
    Pattern(
        r"{whose} rooks {be} doubled(?: (?:on|along) (?:the )?(?:open )?{file})?", doubled_rooks
    ),
    Pattern(
        r"{piece} (?:controls|holds|commands|dominates|occupies|owns|rules) (?:the )?(?:open )?{file}",
        piece_holds,
    ),
    Pattern(
        r"{piece} (?:faces|stares at|looks at|confronts|stands opposite|is opposite|eyeballs) {piece2}(?: (?:on|along|down) (?:the )?(?:open )?(?:{file}|{diagonal}|file|diagonal))?",
        faces,
    ),
    Pattern(
        r"{piece} (?:face|stare at|confront|eye|oppose|are facing) (?:each other|one another)(?: (?:on|along|down) (?:the )?(?:open )?(?:{file}|{diagonal}|file|diagonal))?",
        face_each_other,
    ),
    Pattern(
        r"{side} {have} the only (?P<kind>open|half open) file",
        lambda said: has_half_open(said) if "half" in said.word("kind") else None,
    ),
    Pattern(r"{side} {have} (?:any |a |some )?rooks? on (?:an |the )?open files?", rook_on_open),
    Pattern(
        r"(?:the )?(?:{file} is )?(?:the )?only (?P<kind>open) files? (?:is|on the board is) (?:the )?{file}",
        the_open_file,
    ),
    Pattern(
        r"(?:both sides|{side}) {have} (?:a|one|{own}) rooks? on (?:the )?{file}", side_on_file
    ),
    Pattern(r"(?:nobody|neither side) (?:controls|holds) (?:the )?{file}", nobody_holds),
    Pattern(
        r"(?:the )?{diagonal} (?:is|has been) opened(?: up)?(?: for {piece})?", diagonal_free_for
    ),
    Pattern(
        r"{piece} {have} (?:a )?(?:clear|free|open|unobstructed) (?:view|path|run|line) (?:of|to|down|along) (?:the )?{target}",
        sees,
    ),
    Pattern(
        r"there is neither an? (?:fully )?open(?: (?:file|one))? nor an? half open (?:file|one)",
        no_kind,
    ),
    Pattern(
        r"{side} (?:can|could|is able to)? ?(?:use|uses|make use of|makes use of|exploit|exploits) (?:an? |the )open {file}",
        is_open,
    ),
    Pattern(r"{piece} {be} on {whose} {rank}", on_their_rank),
    Pattern(
        r"{piece} (?:controls|holds|occupies|commands|has seized|has taken|has occupied|has grabbed) (?:the|an|any) (?:only )?(?P<kind>open) files?",
        piece_on_open,
    ),
    Pattern(
        r"(?:the )?{file} {be} (?:open|half open) (?:to|for) {whose} (?:rooks?|queen|pieces|heavy pieces)",
        lambda said: is_half_open_or_open(said.of_whose()),
    ),
    Pattern(
        r"{piece} (?:has|have) (?:a |the )?(?:free|clear|open|unobstructed) (?P<line>file|diagonal)(?: (?:to|towards) {target})?",
        lambda said: sees(said) if "target" in said else None,
    ),
    Pattern(
        r"{piece} (?:stare|look|glare|point)s? at (?:each other|one another)(?: (?:on|along|down) (?:the )?(?:open )?(?:{file}|{diagonal}|file|diagonal))?",
        face_each_other,
    ),
    Pattern(
        r"(?:the )?rooks (?:face|oppose|confront) (?:each other|one another)(?: (?:on|along|down) (?:the )?(?:open )?{file})?",
        rooks_face,
    ),
    Pattern(
        r"(?:(?:the )?{file} (?:is|remains) (?:contested|disputed|shared|in dispute)|both sides {have} a rook on (?:the )?{file})",
        contested,
    ),
    Pattern(
        r"{piece} {be} (?:on|along) (?:the )?(?:same (?P<same>file)|(?:open |half open )?{file}) as {piece2}",
        shares_file,
    ),
    Pattern(
        r"{piece2} (?:{be} )?(?:between|separates|divides) {piece}",
        between,
    ),
    Pattern(r"between {piece} there is {piece2}", between),
    Pattern(r"between {piece} {be} {piece2}", between),
    Pattern(
        rf"(?:a|one|some) files? {{be}} (?P<kind>open or {_HALF}|open|{_HALF})(?! for)", any_kind
    ),
    Pattern(
        r"(?:the )?{file} {be} (?:an? )?(?:fully |completely )?(?:open|half open)(?: file)? (?:for|to) {piece}",
        open_for_piece,
    ),
    Pattern(
        r"there (?:is|are) (?:a |any |an )?pawns? of (?:{side}|(?:either|any) (?:colou?r|side)) (?:left )?on (?:the )?{file}",
        pawn_of_side_on,
    ),
    Pattern(
        r"(?:the )?(?:open )?{file} {be} (?:in {whose} (?:hands|possession|grip|control)|under {whose} (?:control|command|thumb))",
        lambda said: controls(said.of_whose()),
    ),
    Pattern(
        r"{piece} {have} (?:a )?(?:clear|free|open|unobstructed) (?:view|path|run|line|shot) (?:(?:down|along|up|across|on) the (?:diagonal|file|rank|board) )?(?:of|to|at|towards|as far as) (?:the )?{target}",
        sees,
    ),
    Pattern(
        r"(?:the )?(?:open |half open )?{file} (?:belongs to|is controlled by|is held by|is commanded by|is occupied by) {piece}",
        piece_holds,
    ),
    Pattern(
        r"{piece} {be} (?:doubled|lined up|stacked|(?:one|N.) behind the other|in tandem|(?:one|N.) in front of the other) (?:on|along|up on) (?:the )?(?:open |half open )?{file}",
        both_on_file,
    ),
    Pattern(
        r"{piece} {have} (?:a )?(?:clear|free|open) (?:diagonal|file|rank) (?:all the way )?(?:to|as far as|down to|up to) {target}",
        sees,
    ),
    Pattern(r"the only (?P<kind>open|half open) files? (?:is|are) (?:the )?{file}", only_half_open),
    Pattern(
        r"(?:the )?{file} (?:is|are) the only (?P<kind>open|half open) (?:files?|ones?)",
        only_half_open,
    ),
    Pattern(
        rf"(?:the )?{{file}} {{be}} {{whose}} (?:only )?(?P<kind>{_HALF}|open) files?",
        lambda said: (is_half_open if "half" in said.word("kind") else is_half_open_or_open)(
            said.of_whose()
        ),
    ),
    Pattern(
        r"{piece} (?:{have}|(?:has|have) (?:taken|seized|grabbed|occupied|taken over|claimed)|uses?|makes? use of|enjoys?|works? on|operates? on|occup(?:y|ies)|sits? on) (?:the )?(?:only )?(?:open |half open )?{file}(?: (?:already|at (?:its|{own}) disposal))?(?! for| to| alone)",
        on_the_file,
    ),
    Pattern(
        rf"{{side}} {{have}} (?:an? )?(?P<kind>{_HALF}|open) file ?(?::|,) (?:the )?{{file}}",
        side_half_open_there,
    ),
    Pattern(
        r"{piece} (?:looks?|stares?|points?|peers?|aims?|gazes?) (?:down|along|up) (?:the )?(?:open |half open )?{file}",
        on_the_file,
    ),
    Pattern(
        r"{piece} {have} (?:the )?(?:open |half open )?{file} (?:for|to|alone|all to)", piece_holds
    ),
    Pattern(
        r"(?:the )?{file} {be} (?:fully |completely )?open (?:for|to) {side}", is_half_open_or_open
    ),
    Pattern(
        r"{number} files (?:carry|have|contain|hold|show) (?:any )?pawns?(?: at all| on them)?",
        files_without,
    ),
    Pattern(
        r"(?:all|every|each of the|all the|all of the) (?:{number} )?(?:single )?files? {be} full of pawns",
        all_closed,
    ),
    Pattern(
        r"{side} {have} (?:the )?(?:open |half open )?{file} (?:all )?(?:to|for)(?= ?$| [.,;!])",
        controls,
    ),
    Pattern(r"{piece} {have} {diagonal} (?:all )?(?:to|for)(?= ?$| [.,;!])", on_diagonal),
    Pattern(
        r"(?:the )?{file} {have} (?:only |just )?(?:an? |one |{number} )?(?P<shade>white|black) pawns?(?: on it)?",
        pawn_of_shade,
    ),
    Pattern(
        r"{piece} (?:can|could|may) (?:use|work on|operate on|take over|occupy|make use of) (?:the )?(?:half open |open )?{file}",
        open_for_piece,
    ),
    Pattern(
        rf"{{piece}} (?:{_LOOKS}|{{have}} (?:a |an )?(?:\w+ )?(?:view|diagonal|line|road|path|file|run))(?: {_WAY})* (?:as far as|to|at|towards|toward|into|onto|through to|until|on|for|against|of) {{target}}",
        sees_far,
    ),
    Pattern(
        rf"(?:the |this |that )?{{diagonal}} is (?:open|free|clear|unobstructed)(?: {_WAY})* (?:as far as|up to|down to|to|until) {{square}}",
        open_as_far,
    ),
    Pattern(
        rf"(?:the |this |that )?{{file}} is (?:open|free|clear|empty|unobstructed)(?: {_WAY})* (?:as far as|up to|down to|until) {{square}}",
        open_as_far,
    ),
    Pattern(
        r"{piece} (?:runs?|goes|works?|bears?|operates?|moves?|is|are|sits?|plays?|acts?|lives?) (?:down|along|on|across|over|up) {diagonal}",
        on_the_diagonal,
    ),
    Pattern(
        r"(?:two|N.|both) (?:neighbou?ring|adjacent) files(?: ,)? (?:the )?{file}(?: files?)?(?: ,)? (?:have|are|has) (?:no|any|without)(?: pawns)?(?: left)?",
        is_open,
    ),
    Pattern(
        r"{side} (?:has|have) (?:half opened|a half open|the half open) {file}(?: for (?:himself|herself|themselves|S.))?",
        is_half_open,
    ),
    Pattern(
        r"(?:the )?{file} (?:became|has become|becomes|turned|is) half open for {side}",
        is_half_open,
    ),
    Pattern(
        r"for {side} (?:the )?(?:half open file is (?:the )?{file}|{file} is half open)",
        is_half_open,
    ),
    Pattern(
        r"{whose} half open file is (?:the )?{file}", lambda said: is_half_open(said.of_whose())
    ),
    Pattern(
        r"{whose} (?:pieces|rooks|queen|heavy pieces) (?:has|have) the half open {file}(?: to use| to work on)?",
        lambda said: is_half_open(said.of_whose()),
    ),
    Pattern(
        r"(?:only|just) {number} files? (?:has|have|is|are)(?: been)? (?:completely |fully )?open(?:ed)?(?: ,? ?(?:the )?{file})?",
        so_many_open,
    ),
    Pattern(
        r"(?:there is|there are|{side} have) {number} (?:completely |fully )?open files?(?: ,? ?(?:the )?{file})?",
        so_many_open,
    ),
    Pattern(
        r"no (?:rook|rooks|heavy piece) (?:is|are|has occupied|has taken|stands|has reached|has got to) (?:on )?(?:any |an |the )?(?P<which>open|half open)?(?: files?)(?: yet)?",
        no_rook_on_open,
    ),
    Pattern(r"nothing {be} between {piece}(?: on (?:the )?{file})?", nothing_between),
    Pattern(
        r"(?:the )?(?:whole )?{file} {be} (?:an open one|completely open|open ,? with no pawns(?: of either colou?r)?(?: left)?(?: on it)?)",
        is_open,
    ),
    Pattern(
        r"(?:the )?{file} {be} (?:blocked|closed)(?: off)? by (?:the )?(?:pawns|a pawn|G. pawns?|any pawns?)",
        is_closed,
    ),
    Pattern(
        r"(?:the )?{file} {be} (?:blocked|closed|obstructed|barred|shut|plugged)(?: off)? by (?:an? |the |one )?(?:(?P<shade>white|black) pawn|pawn of {whose}|{whose2} pawn)",
        closed_by,
    ),
    Pattern(
        r"{piece} {have} (?:an?|the) (?P<half>half )?open (?:{file}|file)(?: to (?:itself|work on|use|operate on))?",
        has_open_file,
    ),
    Pattern(r"there is (?:an? |N. )?open file(?! (?:for|on)\b)", any_open),
    Pattern(
        r"nothing {be} between the (?:N. )?(?P<kind>queens|rooks|kings|bishops)(?: on (?:the )?(?:{file}|{diagonal}|{rank}))?",
        kinds_face,
    ),
    Pattern(
        r"{piece} (?:blocks?|obstructs?|closes|interrupts?|stands? on|is in the way of|is in the way on) (?:the )?{diagonal}",
        blocks_diagonal,
    ),
    Pattern(
        r"(?:the )?{diagonal} {be} (?:blocked|obstructed|closed|shut|barred|cut|interrupted|masked|obscured)(?: off)? by {piece}",
        blocks_diagonal,
    ),
    Pattern(
        r"(?:the (?:N. |two )?|both |N. )(?P<kind>kings|queens) (?:are|stand|sit|face each other|oppose each other|find themselves) (?:both )?(?:on|along) (?:the same|one) (?P<line>file|rank|diagonal)",
        kings_on_line,
    ),
    Pattern(
        r"(?:the )?{file} (?:carries|contains|bears|shows|holds) (?:any |a )?pawns?(?: at all| on it)?",
        has_any_pawn,
    ),
)
