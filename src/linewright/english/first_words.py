"""The words a template or a regular expression over a normal form may begin with.

Most of the many ways of saying something are ruled out by the first word of a clause; what may
stand there is read off the template once.
"""

from __future__ import annotations

import re

from linewright.expressions import expression

LETTERS_OF = {
    "side": "S", "whose": "G", "square": "Q", "file": "F", "wing": "W", "number": "N", "rank": "R",
    "diagonal": "D", "move": "MQ", "piece": "PMS", "target": "PQS",
}  # fmt: skip
"""The letters of normal forms a phrase of a template may stand for."""

ANYTHING = frozenset({""})
"""Said of a template that may begin with any word."""

_LEAD = expression(r"\{([a-z]+)\d?\}|([a-z]+)(?=[ )|]|$)|\[([A-Z]+)\]|([A-Z])(?=\.)| ")
_MACRO_FIRSTS = {
    "have": "has have had having",
    "be": "is are am be being",
    "it": "it this that which the here",
    "own": "G",
    "times": "N",
}


def first_words(template: str) -> frozenset[str]:
    """The words (phrases as their letters) a text may begin with; one is "" where any may.

    >>> sorted(first_words(r"(?:the |a )?(?:{file}|open (?:one|file)) {be} half open"))
    ['F', 'a', 'open', 'the']
    >>> sorted(first_words(r"(?P<who>[SP].) (?:has|have)"))
    ['P', 'S']
    """
    choices = alternatives(template)
    if len(choices) > 1:
        return frozenset().union(*(first_words(choice) for choice in choices))
    if template.startswith("("):
        inner, optional, rest = _leading_group(template)
        if inner is None or (rest[:1].isalpha() and not optional and inner[-1:] not in {" ", ""}):
            return ANYTHING
        found = frozenset().union(*(first_words(c) for c in alternatives(inner)))
        return found | first_words(rest) if optional else found
    lead = _LEAD.match(template)
    if lead is None:
        return ANYTHING
    if lead[1]:
        if lead[1] in LETTERS_OF:
            return frozenset(LETTERS_OF[lead[1]])
        return frozenset(_MACRO_FIRSTS.get(lead[1], "").split()) or ANYTHING
    if letters := lead[3] or lead[4]:
        return frozenset(letters)
    return frozenset([lead[2]]) if lead[2] else first_words(template[1:])


def _leading_group(template: str) -> tuple[str | None, bool, str]:
    """The inside of the group a template begins with, whether it may be missing, and the rest."""
    depth, at = 0, 0
    for mark in re.finditer(r"[()]", template):
        depth += 1 if mark[0] == "(" else -1
        at = mark.start()
        if depth == 0:
            break
    head = re.match(r"\((?:\?:|\?P<\w+>)?(?!\?)", template)
    tail = re.match(r"[?*]|\{0,\d\}", template[at + 1 :])
    inner = template[head.end() : at] if head else None
    return (
        inner,
        tail is not None,
        template[at + 1 + (tail.end() if tail else 0) :],
    )


def alternatives(template: str) -> list[str]:
    """A template split at the bars outside of its groups."""
    if "|" not in template:
        return [template]
    found, depth, start = [], 0, 0
    for mark in re.finditer(r"[()|]", template):
        char = mark[0]
        depth += (char == "(") - (char == ")")
        if char == "|" and depth == 0:
            found.append(template[start : mark.start()])
            start = mark.end()
    return [*found, template[start:]]
