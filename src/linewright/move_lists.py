"""Whether the items of a numbered list are the moves of a game: `1. d4 d5` or `1. Develop.`

CommonMark makes a list of both. A list that counts its items from 1 is a list of moves only where
it reads as a run of moves: each item but the last with what both sides play.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from linewright.expressions import expression
from linewright.notation import MOVE

if TYPE_CHECKING:
    from markdown_it.token import Token

AFTER_MARKER = expression(rf"(?:\.\.|…|\.\s?\.)?\s*(?:[*_`]*)(?:{MOVE.pattern})")
"""What stands behind the marker of an item that begins with a move."""
_BY_BLACK = expression(r"\s*(?:\.\.|…|\.\s?\.)")
_NEXT_MOVE = expression(rf"[!?*_`]*\s+[*_`]*(?:{MOVE.pattern})")
_NEXT_APART = expression(
    rf"[!?*_`]*\s*(?:(?:\([^()\n]{{0,200}}\)|[,;:/–—-])\s*)+[*_`]*(?:{MOVE.pattern})"
)
"""Black's move where a mark or a remark stands before it: `1. e4, e5`."""
_PAWN_MOVE = expression(r"\s*[*_`]*([a-h][1-8])\b")


@dataclass(frozen=True, slots=True)
class ListItem:
    """An item of a numbered list: its number as written and the text of its first paragraph, empty
    if that does not begin on the line of the number."""

    number: int
    text: str

    @property
    def begins_with_move(self) -> bool:
        """Whether a move stands right behind the number."""
        return bool(AFTER_MARKER.match(self.text))

    @property
    def tells_both(self) -> bool:
        """Whether Black's move of that number is told too, or alone."""
        if _BY_BLACK.match(self.text):
            return True
        first = AFTER_MARKER.match(self.text)
        if first and _NEXT_MOVE.match(self.text, first.end()):
            return True
        return bool(re.search(rf"(?<!\d){self.number}(?:\.\.\.|…|\. \.\.\.)", self.text))

    @property
    def tells_both_apart(self) -> bool:
        """Whether Black's move stands behind White's, but not right behind it."""
        first = AFTER_MARKER.match(self.text)
        return bool(first and _NEXT_APART.match(self.text, first.end()))


@dataclass(frozen=True, slots=True)
class ListReading:
    """How a list is read: `moves` or items; `doubtful` if it could well be the other, `apart` if
    its items have both sides' moves, but with something between them."""

    moves: bool
    doubtful: bool = False
    apart: bool = False


def read_list(items: Sequence[ListItem], opens_the_game: bool) -> ListReading:
    """How a numbered list is read; `opens_the_game` if no move of its game stands before it.

    >>> read_list([ListItem(1, "d4 d5"), ListItem(2, "c4 is a gambit.")], True).moves
    True
    >>> read_list([ListItem(1, "e4 is weak."), ListItem(2, "Nf6 helps.")], False)
    ListReading(moves=False, doubtful=False, apart=False)
    """
    counts = [item.number for item in items] == list(range(1, len(items) + 1))
    if len(items) < 2 or not counts:
        return ListReading(moves=True)
    if _one_pawn_twice(items):
        return ListReading(moves=False)
    told = [item.tells_both for item in items[:-1]]
    moves = 2 * sum(told) >= len(told)
    mixed = any(told) and not all(told)
    starts = not moves and opens_the_game and items[0].begins_with_move
    apart = starts and any(item.tells_both_apart for item in items)
    return ListReading(moves, doubtful=mixed or starts, apart=apart)


def _one_pawn_twice(items: Sequence[ListItem]) -> bool:
    """Whether the items tell one pawn move twice, which White hardly plays twice in a game.

    Where items have both sides' moves, only if all begin with it: else it may be a slip.
    """
    moves = [found[1] for item in items if (found := _PAWN_MOVE.match(item.text))]
    if any(item.tells_both for item in items):
        return len(moves) == len(items) and len(set(moves)) == 1
    return len(set(moves)) < len(moves)


def numbered_lists(tokens: Sequence[Token]) -> Iterator[list[tuple[Token, ListItem]]]:
    """The lists of a text that are numbered as moves are (`1.`), each item with its token."""
    lists: list[list[tuple[Token, ListItem]]] = []
    for k, token in enumerate(tokens):
        if token.type == "ordered_list_open":
            lists.append([])
        elif token.type == "ordered_list_close":
            if items := lists.pop():
                yield items
        elif token.type == "list_item_open" and token.markup == ".":
            lists[-1].append((token, ListItem(int(token.info), _first_text(tokens, k))))


def _first_text(tokens: Sequence[Token], opening: int) -> str:
    """The text of an item's first paragraph, empty if it begins on a later line."""
    first = next((t for t in tokens[opening + 1 : opening + 3] if t.type == "inline"), None)
    same_line = first and first.map and first.map[0] == (tokens[opening].map or [0])[0]
    return first.content if first and same_line else ""


__all__ = ["AFTER_MARKER", "ListItem", "ListReading", "numbered_lists", "read_list"]
