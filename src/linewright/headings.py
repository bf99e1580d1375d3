"""The words of headings, without the moves that only set their board."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import dropwhile, takewhile

from linewright.inline import Figure, Inline, Link, Mention, Move, Paren, Text
from linewright.script import Block
from linewright.source import Span
from linewright.speech import shown_move


def heading_title(block: Block) -> str:
    """The words of a heading without the moves before or behind them, which only set the board.

    A move that the words need stays: "Back to 3…Bf5", "Why 4.d3 is better".
    """
    texts = [(_titled(inline), isinstance(inline, Move)) for inline in block.inlines]
    inside = _behind_leading(texts)
    inside = inside[: len(inside) - _trailing(inside)]
    words = "".join(text for text, _ in inside)
    return " ".join(words.split()).strip(" :,–—-") or "".join(text for text, _ in texts).strip()


def heading_shown(block: Block) -> tuple[Inline, ...]:
    """What pupils read of a heading: moves before "Back to 9…Nc6" only set its board and are left
    out, as in "8.exf6 Bxf6 9.O-O: Back to 9…Nc6".
    """
    texts = [(_titled(inline), isinstance(inline, Move)) for inline in block.inlines]
    words = len(texts) - len(_behind_leading(texts))
    match block.inlines[words:]:
        case [Text() as first, Move(), *_] if words:
            shown = first.text.lstrip(" :,–—-")
            if shown.strip() in _GOES_BACK:
                start = first.span.start + len(first.text) - len(shown)
                begins = replace(first, text=shown, span=Span(start, first.span.end))
                return (begins, *block.inlines[words + 1 :])
    return block.inlines


_GOES_BACK = ("Back to", "After")


_Titled = Sequence[tuple[str, bool]]
"""Texts of a heading, each with whether it is a move."""


def _behind_leading(texts: _Titled) -> _Titled:
    """A heading without the moves before its words, unless a sentence begins with them."""
    rest = list(dropwhile(lambda item: item[1] or not item[0].strip(), texts))
    begins = rest[0][0].lstrip()[:1] if rest else ""
    return texts if begins.islower() else rest


def _trailing(texts: _Titled) -> int:
    """How many texts at the end of a heading are moves that its words do not lead to."""
    count = len(list(takewhile(lambda item: item[1] or not item[0].strip(), reversed(texts))))
    before = texts[len(texts) - count - 1][0].split() if count < len(texts) else []
    return 0 if before and before[-1].lower() in _LEAD_TO_A_MOVE else count


_LEAD_TO_A_MOVE = frozenset(
    "a after against and at before by for from in instead is like of on or than the to versus vs"
    " with".split()
)


def _titled(inline: Inline) -> str:
    """The text of a part of a heading, a move with its number."""
    if isinstance(inline, Move):
        return shown_move(inline).replace("...", "…")
    return text_of(inline)


def text_of(inline: Inline) -> str:
    match inline:
        case Move() | Mention():
            return inline.written.text
        case Link():
            return "".join(text_of(child) for child in inline.children)
        case Paren():
            return "(" if inline.opens else ")"
        case Figure():
            return ""
        case _:
            return inline.text


def walk(inlines: Sequence[Inline]) -> Iterator[Inline]:
    for inline in inlines:
        yield inline
        if isinstance(inline, Link):
            yield from walk(inline.children)
