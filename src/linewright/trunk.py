"""Which continuation of a move is the main one, where a lesson tells several.

What the teacher calls the main line goes first: a box or paragraph that begins with "Main line" in
bold, else a part that is headed so. Else it is the continuation told first outside parentheses,
unless the teacher warns of it (a `?`, `??` or `?!`, or the words of its sentence) or only supposes
it, and goes on as far or farther with another, or calls another the right one for the side that is
taught, however far it goes. In a game, whose head names players, the moves that
were played stay the main line, good or bad; in a script heard from a talk those that the hearing
told first, which has weighed the words itself.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import takewhile
from typing import Protocol

from linewright.expressions import expression
from linewright.inline import Text
from linewright.moves import side_name
from linewright.placing import NEVER, GrowingTree
from linewright.script import Block, BlockKind, Script
from linewright.source import Span

_CALLED = expression(
    r"^(?:[^.:;,–—]*[.:;,–—])*? *(?:(?:and|now|so|then|back|on|over|to) )*"
    r"(?:(?:the|our|my|your|his|her|white's|black's) )?(?:real |true |actual )?"
    r"main (?:line|variation|continuation)"
    r"(?= *$| *[.:;,!–—(\d-]"
    r"| (?:is|was|after|with|begins|starts|goes|runs|for|in|against|at last)\b)",
    re.IGNORECASE,
)
"""A title or bold words that say it is the main line; "Before the main line" says it is not."""

_MAIN = r"(?:the|our|my|your) (?:real |true |actual )?main (?:line|variation|continuation)\b"
_ON_IT = expression(
    rf"(?P<back>\b(?:back|return\w*|resum\w+|once more|once again|go(?:es)? on|going on)\b"
    rf"[^.!?;]{{0,24}}\b{_MAIN}|(?:^|[.!?;:] )\W*(?:(?:and|but|now|so|then) )*(?:in|on) {_MAIN})"
    rf"|(?<!as )(?<!like )(?<!than )(?<!from )(?<!not )(?<!unlike )\b(?:in|on) {_MAIN}",
    re.IGNORECASE,
)
"""What comes next is told on the main line: plainly where the words that lead to the move go back
to it or begin so and do not turn from it again, else perhaps only in passing."""

_ENDS_ON_IT = expression(rf"{_MAIN}\W*$", re.IGNORECASE)
_DENIED = expression(r"\b(?:not|never|no|cannot|\w+n['’]t)\b", re.IGNORECASE)
_HERE = expression(r"\b(?:here|this time|but)\b", re.IGNORECASE)
_CLAUSE_END = expression(r"[,:–—]")

_FAULT = (
    r"(?:greedy|greed|mistake|blunder|error|wrong|bad|worse|worst|dubious|doubtful|careless|hasty"
    r"|premature|inferior|suspicious|poor|losing|too (?:early|slow|soon|late|risky|much))"
)
_PLAIN_WORD = r"(?!(?:not|no|never|hardly|but|after|and)\b)[\w'’-]+"
_SAID_BEHIND = expression(
    r"^[\s,!?)—–]*(?:(?:here|now|already|at once|however|of course|which|that|this) ?,? ?)*"
    r"(?:(?:is|was|are|would be|looks|seems|proves|turns out to be)"
    rf"(?: {_PLAIN_WORD}){{0,3}}? {_FAULT}\b(?! for\b)"
    r"|(?:simply |just |only |already )*(?:loses|fails|blunders|does not work|doesn['’]t work"
    r"|runs into|falls into|is refuted|gets punished|is punished)\b)",
    re.IGNORECASE,
)
_SAID_BEFORE = expression(
    rf"(?:\b(?:(?:the|this|a|his|her) (?:\w+ )?{_FAULT}|{_FAULT} (?:is|was|would be|with)"
    r"|never|do not|don['’]t|avoid|instead of|rather than|if|suppose|supposing|what if)\b"
    r"|^\W*should (?:white|black|he|she|they)\b)[^.!?;]{0,60}$",
    re.IGNORECASE,
)
"""What is said of a move in its sentence, behind it and before it."""

_BEST = r"(?:right|correct|proper|best|strongest)"
_BETTER = r"(?:better|stronger)"
_A_MOVE = r"(?:move|choice|way|plan|answer|reply|response|continuation|idea|defence|defense|one)"
_PRAISED_BEHIND = expression(
    rf"^[\s,!)—–]*(?:(?:here|now|however|which|that|this) ?,? ?)*(?:is|was|would be)"
    rf"(?: {_PLAIN_WORD}){{0,2}}? (?:(?P<best>{_BEST})|{_BETTER})"
    rf"(?: {_A_MOVE}\b| (?:here|now|and)\b| ?[.,;:!)]| ?$)"
    r"(?! (?:only|when|against|without|for (?:white|black|him|her|them))\b)",
    re.IGNORECASE,
)
_PRAISED_BEFORE = expression(
    rf"\b(?:(?P<best>{_BEST})|{_BETTER})(?: {_A_MOVE})?(?: here| now)?"
    r" (?:is|was|would be)[\s,:*]*$",
    re.IGNORECASE,
)
"""What is said of the move that was to be played, where the clause ends with it."""

_NO_PRAISE = expression(
    r"\b(?:believ\w*|thinks?(?! (?:again|first|twice|hard|about)\b)|thought|says?|said|claim\w*"
    r"|many|most|some|might|may|perhaps|maybe|could|if|unless|without|but|although|though|second|third|next|his|her|their|opponent['’]s"
    r"|no|never|hardly|not(?! *$)|\w+n['’]t)\b|\?$",
    re.IGNORECASE,
)
"""The sentence asks, denies or tells others' opinion; "not" before another move is none of it."""

_ASKS = expression(r"^\W*(?:why|what|how|is|are|does|do|would|should|could|can)\b", re.IGNORECASE)
_OF_ANOTHER = expression(
    r"\b(?:after|against|before|behind|from|of|than|to|with)\W*$", re.IGNORECASE
)
"""What is said behind the move is said of something else: "the bishop after 4.Bb3 is better"."""

_STOP = expression(r"[.!?;](?=\s|$)")
_BAD = frozenset({"?", "??", "?!"})


class Shown(Protocol):
    """A move shown at a place in the words, as a step of the lesson is."""

    @property
    def span(self) -> Span:
        """Its words."""

    @property
    def after(self) -> int:
        """The node it leads to."""


def calls_main(title: str) -> bool:
    """Whether a title or label says that what it stands over is the main line.

    >>> [calls_main(t) for t in ("The main line", "Part 3: our main line", "Main line, 6.d3")]
    [True, True, True]
    >>> [calls_main(t) for t in ("Before the main line", "Main line sidelines")]
    [False, False]
    """
    return bool(_CALLED.search(" ".join(title.split()).replace("’", "'")))


def doubts(before: str, behind: str) -> bool:
    """Whether the words of its sentence warn of a move or only suppose it; `before` are those from
    the move before it on.

    >>> doubts("Suppose White plays", "here"), doubts("We play", ", which is greedy")
    (True, True)
    >>> doubts("We play", "here")
    False
    """
    return bool(_SAID_BEFORE.search(before) or _SAID_BEHIND.search(behind))


class OnMainLine(StrEnum):
    """How words say that what comes next is told on the main line."""

    PLAINLY = "plainly"
    PERHAPS = "perhaps"


def on_the_main_line(words: str) -> OnMainLine | None:
    """Whether words before a move go to the main line with it, and how plainly.

    >>> on_the_main_line("Back in the main line, they do not wait:")
    <OnMainLine.PLAINLY: 'plainly'>
    >>> on_the_main_line("and as in the main line")
    >>> on_the_main_line("In the main line the bishop comes out. Now")
    <OnMainLine.PERHAPS: 'perhaps'>
    """
    words = " ".join(words.split())
    if not _ON_IT.search(words):
        return None
    *sentences, clause = _STOP.split(words)
    if sentences and not re.search(r"\w", clause) and _ENDS_ON_IT.search(sentences[-1]):
        clause = sentences[-1]
    found = (one for one in _ON_IT.finditer(clause) if one["back"])
    plainly = any(
        not _DENIED.search(clause[: one.end()])
        and not _DENIED.search(_CLAUSE_END.split(clause[one.end() :])[0])
        and not _HERE.search(clause[one.end() :])
        for one in found
    )
    return OnMainLine.PLAINLY if plainly else OnMainLine.PERHAPS


@dataclass(frozen=True, slots=True)
class Ranks:
    """The place of each continuation among those of the same move, lowest first.

    `settled` are the positions whose first continuation goes first because the teacher says so.
    """

    order: Mapping[int, tuple[float, ...]]
    settled: frozenset[int]


def ranks_of(script: Script, told: Sequence[Shown], tree: GrowingTree) -> Ranks:
    """The ranks of all moves of a tree; `told` are those shown outside parentheses, in order."""
    boxed = _first_told(told, (block.span for block in script.blocks if _is_box(block)), tree)
    headed = _first_told(told, _headed(script), tree)
    back = frozenset(_stepping_back(script, told, tree))
    order = {
        node: (
            tree.told[node] == NEVER,
            boxed.get(node, NEVER),
            node not in headed,
            node in back,
            headed.get(node, NEVER),
            tree.told[node],
        )
        for node in range(len(tree.boards))
    }
    said = {*boxed, *headed, *back}
    return Ranks(
        order, frozenset(parent for node in said if (parent := tree.parents[node]) is not None)
    )


def _first_told(told: Sequence[Shown], spans: Iterable[Span], tree: GrowingTree) -> dict[int, int]:
    """When each move of some stretches is first told in them, with the moves that lead there."""
    out: dict[int, int] = {}
    for span in spans:
        for k, shown in enumerate(told):
            if shown.span.start in span:
                for node in tree.path(shown.after):
                    out.setdefault(node, k)
    return out


def _is_box(block: Block) -> bool:
    """Whether a block begins with bold words that call what follows the main line."""
    bold = takewhile(lambda one: isinstance(one, Text) and one.style.strong, block.inlines)
    label = "".join(one.text for one in bold if isinstance(one, Text))
    return block.kind is not BlockKind.HEADING and calls_main(label)


def _headed(script: Script) -> Iterator[Span]:
    """The parts under headings that call them the main line, with the smaller parts in them."""
    headings = [block for block in script.blocks if block.kind is BlockKind.HEADING]
    end = len(script.source.text)
    for k, block in enumerate(headings):
        if calls_main(script.source.words(block.span).strip("# \n")):
            behind = (one for one in headings[k + 1 :] if one.level <= block.level)
            stop = next(behind, None)
            yield Span(block.span.start, stop.span.start if stop else end)


# --- warnings -----------------------------------------------------------------------------------


def _stepping_back(script: Script, told: Sequence[Shown], tree: GrowingTree) -> Iterator[int]:
    """The moves warned of or supposed that another, neither of these, goes on from as far."""
    front = script.front
    if front.talk or front.names_players:
        return
    forks = {k for k, ways in enumerate(tree.children) if sum(_told(tree, w) for w in ways) > 1}
    if not forks:
        return
    doubted, best, better = _weighed(script, told, tree, forks)
    for fork in forks:
        ways = [way for way in tree.children[fork] if _told(tree, way)]
        if front.taught == side_name(tree.boards[fork].turn):
            if right := [way for way in ways if way in best - doubted]:
                yield from (way for way in ways if way not in right)
                continue
            if right := [way for way in ways if way in better - doubted]:
                far = max(_length(tree, way) for way in right)
                yield from (w for w in ways if w not in right and _length(tree, w) <= far)
                continue
        good = [_length(tree, way) for way in ways if way not in doubted]
        yield from (w for w in ways if w in doubted and good and max(good) >= _length(tree, w))


def _told(tree: GrowingTree, node: int) -> bool:
    return tree.told[node] != NEVER


def _length(tree: GrowingTree, node: int) -> int:
    """How many moves a line is told on from a move, along its longest way."""
    longest, ahead = 0, [(node, 0)]
    while ahead:
        here, moves = ahead.pop()
        longest = max(longest, moves)
        ahead += [(way, moves + 1) for way in tree.children[here] if _told(tree, way)]
    return longest


def _weighed(
    script: Script, told: Sequence[Shown], tree: GrowingTree, forks: set[int]
) -> tuple[set[int], set[int], set[int]]:
    """The moves at forks that are marked as bad, or warned of or supposed where first told; those
    that are called right where they are told; and those that are called better."""
    blocks = iter(script.blocks)
    block = next(blocks, None)
    seen: set[int] = set()
    doubted: set[int] = set()
    best: set[int] = set()
    better: set[int] = set()
    for k, shown in enumerate(told):
        while block is not None and block.span.end <= shown.span.start:
            block = next(blocks, None)
        fork = tree.parents[shown.after]
        if fork not in forks or block is None:
            continue
        before, behind = _sentence(script, block, told, k)
        if praise := _praise(script, block, told, k):
            theirs = side_name(not tree.boards[fork].turn).lower()
            if not expression(rf"\b{theirs}['’]s\b", re.IGNORECASE).search(before):
                (best if praise["best"] else better).add(shown.after)
        if shown.after in seen:
            continue
        seen.add(shown.after)
        if doubts(before, behind) or tree.suffixes[shown.after] in _BAD:
            doubted.add(shown.after)
    return doubted, best, better


def _praise(script: Script, block: Block, told: Sequence[Shown], k: int) -> re.Match[str] | None:
    """The words of a move's sentence that call it right, unless the sentence doubts them."""
    before, behind = _sentence(script, block, told, k)
    found = _PRAISED_BEFORE.search(before)
    if found is None and not _OF_ANOTHER.search(before):
        found = _PRAISED_BEHIND.search(behind)
    if found is None:
        return None
    text, span = script.source.text, told[k].span
    begins = _STOP.split(text[block.span.start : span.start])[-1].lstrip().removeprefix("But ")
    ends = text[span.end : block.span.end]
    stop = _STOP.search(ends)
    asks = stop is not None and stop[0] == "?" and ends[: stop.start()].split() == behind.split()
    doubts = _NO_PRAISE.search(begins) or _NO_PRAISE.search(behind) or _ASKS.search(begins)
    return None if asks or doubts else found


def _sentence(script: Script, block: Block, told: Sequence[Shown], k: int) -> tuple[str, str]:
    """The words of a move's sentence before and behind it, as far as no other move stands there."""
    text, span = script.source.text, told[k].span
    begins = max(block.span.start, told[k - 1].span.end if k else 0)
    ends = min(block.span.end, told[k + 1].span.start if k + 1 < len(told) else len(text))
    before = _STOP.split(text[min(begins, span.start) : span.start])[-1]
    behind = _STOP.split(text[span.end : max(ends, span.end)])[0]
    return " ".join(before.split()), " ".join(behind.split())


__all__ = ["OnMainLine", "Ranks", "calls_main", "doubts", "on_the_main_line", "ranks_of"]
