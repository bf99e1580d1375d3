"""Words as books print them: curled quotation marks, moves with an ellipsis."""

from __future__ import annotations

_OPENS_QUOTE = frozenset(" \u00a0([{–—-/\"'“‘")


_CURLED = {'"': ("“", "”"), "'": ("‘", "’")}


def curled_text(text: str, before: str = "") -> str:
    """The words with typographic quotation marks; `before` is the character in front of them.

    >>> curled_text("'6.Nd9' is not White's move")
    '‘6.Nd9’ is not White’s move'
    """
    out: list[str] = []
    for char in text:
        opens = not before or before in _OPENS_QUOTE
        curled = _CURLED.get(char, (char, char))[0 if opens else 1]
        out.append(curled)
        before = curled
    return "".join(out)


def printed(words: str) -> str:
    """Words outside the running text as books print them."""
    return curled_text(words.replace("...", "…"))
