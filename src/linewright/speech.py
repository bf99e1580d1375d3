"""How a script sounds: its words in order, moves spelt as they are said."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from linewright.expressions import expression
from linewright.inline import Figure, Inline, Link, Mention, Move, Paren
from linewright.moves import PIECE_NAMES
from linewright.notation import WrittenMove
from linewright.script import Block, Script
from linewright.source import Span

STOPS = ".,;:?!…"
"""Marks behind a word by which a voice turns."""


@dataclass(frozen=True, slots=True)
class SpokenWord:
    """One word as it is heard. `shown` is how captions and pages print it (a move in SAN).

    The spoken words of one move share its span; only the first carries `shown`, the others have
    it empty. `block` is the place of its block in the script; `notation` says that it tells a
    move made on the board, which stands in the script as notation.
    """

    span: Span
    said: str
    shown: str
    block: int
    notation: bool = False


def say_move(move: WrittenMove) -> str:
    """A move as a teacher says it.

    >>> from linewright.notation import read_move
    >>> say_move(read_move("Nbxd7+")), say_move(read_move("O-O-O")), say_move(read_move("exd5"))
    ('knight b takes d7 check', 'castles queenside', 'e takes d5')
    """
    if move.castling:
        said = "castles kingside" if move.castling == "K" else "castles queenside"
    else:
        who = "" if move.piece == "P" else PIECE_NAMES[move.piece]
        origin = move.from_file if move.piece != "P" or move.claims_capture else ""
        rank = move.from_rank if move.piece != "P" else ""
        verb = "takes" if move.claims_capture else ("to" if (origin or rank) and who else "")
        said = " ".join(part for part in (who, origin + rank, verb, move.to) if part)
        if move.promotion:
            said += f" promotes to a {PIECE_NAMES[move.promotion]}"
    if move.claims_mate:
        return f"{said} mate"
    return f"{said} check" if move.claims_check else said


def spoken_words(script: Script) -> tuple[SpokenWord, ...]:
    """Every word students hear, in order: paragraphs and lists, not headings, quotes and notes."""
    words: list[SpokenWord] = []
    for index, block in enumerate(script.blocks):
        if block.spoken:
            words.extend(block_words(block, index))
    return tuple(words)


def block_words(block: Block, index: int) -> list[SpokenWord]:
    """The spoken words of one block. Punctuation belongs to the word before it."""
    out: list[SpokenWord] = []
    for token in _tokens(_pieces(block.inlines)):
        span = Span(token[0].span.start, token[-1].span.end)
        shown = "".join(piece.shown for piece in token)
        words = _said(token).split()
        if not words and out:
            last = max(k for k, word in enumerate(out) if word.shown)
            out[last] = replace(out[last], shown=f"{out[last].shown} {shown}")
            continue
        notation = any(piece.notation for piece in token)
        out.extend(
            SpokenWord(span, word, shown if k == 0 else "", index, notation)
            for k, word in enumerate(words or [""])
        )
    return out


@dataclass(frozen=True, slots=True)
class _Piece:
    """A run of characters without space: printed as `shown`, heard as `said`."""

    span: Span
    shown: str
    said: str
    notation: bool = False


_SPACE: _Piece | None = None


def _pieces(inlines: Sequence[Inline]) -> Iterator[_Piece | None]:
    """The pieces of a block in order, None where there is space between them."""
    for inline in inlines:
        match inline:
            case Move() | Mention():
                made = isinstance(inline, Move)
                yield _Piece(inline.span, shown_move(inline), say_move(inline.written), made)
            case Link():
                yield from _pieces(inline.children)
            case Paren():
                yield _Piece(inline.span, "(" if inline.opens else ")", "")
            case Figure():
                yield _SPACE
            case _:
                yield from _text_pieces(inline.span, inline.text)


_RUNS = expression(r"(\s+)|(\S+)")


def _text_pieces(span: Span, text: str) -> Iterator[_Piece | None]:
    exact = len(text) == span.end - span.start
    for run in _RUNS.finditer(text):
        if run[1]:
            yield _SPACE
            continue
        place = Span(span.start + run.start(), span.start + run.end()) if exact else span
        spoken = any(c.isalnum() for c in run[0])
        said = run[0] if spoken else "".join(c for c in run[0] if c in ".,;:?!")
        yield _Piece(place, run[0], said)


def shown_move(move: Move | Mention) -> str:
    """A move as it is printed: number and notation without space between.

    Dashes of other kinds, zeros and figurines stay as the teacher wrote them.
    """
    text = re.sub(r"\s+", "", move.written.text)
    if isinstance(move, Move) and move.number is not None:
        return f"{move.number}{'...' if move.black else '.'}{text}"
    return f"...{text}" if move.black else text


def _tokens(pieces: Iterator[_Piece | None]) -> Iterator[list[_Piece]]:
    token: list[_Piece] = []
    for piece in pieces:
        if piece is not None:
            token.append(piece)
        elif token:
            yield token
            token = []
    if token:
        yield token


def _said(token: list[_Piece]) -> str:
    """What a token sounds like, its punctuation kept at the end of the word before it."""
    said = ""
    for piece in token:
        if not any(c.isalnum() for c in piece.said):
            said = said.rstrip() + piece.said if said else said
        else:
            said += f" {piece.said} " if " " in piece.said else piece.said
    return said
