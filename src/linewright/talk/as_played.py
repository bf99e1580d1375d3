"""What is told as really played or as the main line, behind moves that are only supposed.

"Better was bishop h5 ... but I took the knight, and he took back": the search takes what
follows for supposed too, for it goes on from the words that were.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace

from linewright.talk.decoder import Event, Kind, Mode, Tree
from linewright.talk.vocabulary import SENTENCE, Token, words

PLAYED_WITHIN = 14
"""So many words before a move may say that it was played, if no sentence ends between."""

_MAIN = re.compile(
    r"\b(?:in|back in|back to) (?:the|our|my|this|that) (?:actual |real |same )?"
    r"(?:game(?! (?:of|that|last|against|with)\b)"
    r"|main line (?!(?:of|we|that)\b).*\b(?:he|she|we|they|i|you|white|black|it)\b)"
)
"""What makes the line of the move behind it the main one.

"The main line of the Slav" is another; "in the main line, take on c4" sums up what to do.
"""
_PAST = (
    "took played went pushed castled chose moved captured recaptured grabbed exchanged swapped traded"
    " retreated answered replied advanced brought put developed blocked picked dropped gave kept"
).replace(" ", "|")
_PLAYED = re.compile(
    r"(?:^|\b(?:but|no|anyway|well|however|unfortunately|sadly|luckily) )"
    r"(?:(?:so|no|well|then|now|here|in reality|of course|and|as i said) )*"
    r"(?:i|he|she|we|they|white|black) (?:just |simply |really |only |actually |in fact )?"
    rf"(?:{_PAST})\b"
)
"""A clause of its own that tells a move in the past; tokens have the sides for players' names."""
_CONCLUDED = re.compile(
    r"^so (?:instead )?(?:i|he|she|we|they|white|black)\b(?!.*\b(?:if|whether)\b)"
)
"""A sentence that tells what was supposed for the reason of what is done: "so he pushes"."""
_SUPPOSES = words(
    "if suppose supposing assuming imagine unless whenever would could should might may can must had"
    " have has never not didn't don't wouldn't couldn't shouldn't say lets let's"
)
"""Words with which a move in the past is none that was played: "in the game he could have taken"."""


def with_what_was_played(
    tree: Tree, events: Sequence[Event], tokens: Sequence[Token]
) -> list[Event]:
    """The decisions, with what was really played behind a supposed line shown.

    Told so is a move in the past, "in the game", or as what follows from what was supposed ("so he
    pushes"), that goes back to a board of the line shown.
    The line from there is the one that the talk goes on from farthest.
    """
    out = list(events)
    shown: set[int] = {0}
    before: Event | None = None
    for k, event in enumerate(events):
        if event.kind is not Kind.PLAY:
            continue
        now = out[k]
        goes_back = before is not None and before.mode is Mode.SUPPOSED and now.base in shown
        if now.mode is Mode.SUPPOSED and goes_back and _was_played(now, before, tokens):
            path = _farthest(out, k)
            for n in range(k, len(out)):
                if out[n].kind is Kind.PLAY and {*out[n].made} <= path:
                    out[n] = replace(out[n], mode=Mode.SHOWN)
            now = out[k]
        if now.mode is Mode.SHOWN:
            shown.update(tree.line(now.node))
        before = now
    return out


def said_to_be_main(tree: Tree, events: Sequence[Event], tokens: Sequence[Token]) -> frozenset[int]:
    """The boards of the line that the talk calls the main line, or that of the game; maybe none."""
    found: set[int] = set()
    before: Event | None = None
    for event in events:
        if event.kind is Kind.PLAY:
            if event.mode is Mode.SHOWN and _called_main(event, before, tokens):
                found.update(tree.line(event.node)[1:])
            before = event
    return frozenset(found)


def _was_played(event: Event, before: Event | None, tokens: Sequence[Token]) -> bool:
    lead = _lead(event, before, tokens)
    said = [token.text for token in tokens[event.phrase.first : event.phrase.end][:2]]
    told = _PLAYED.search(" ".join([*lead, *said]))
    if _CONCLUDED.search(" ".join([*lead, *said])):
        return True
    return (told is not None and not _supposes(lead)) or _called_main(event, before, tokens)


def _called_main(event: Event, before: Event | None, tokens: Sequence[Token]) -> bool:
    lead = _lead(event, before, tokens)
    return bool(_MAIN.search(" ".join(lead))) and not _supposes(lead)


def _supposes(lead: Sequence[str]) -> bool:
    """Whether the last clause of the words that lead to a move makes it one that was not played."""
    but = max((k for k, word in enumerate(lead) if word == "but"), default=0)
    return not _SUPPOSES.isdisjoint(lead[but:])


def _lead(event: Event, before: Event | None, tokens: Sequence[Token]) -> list[str]:
    """The words of a sentence that lead to a move, from the last move on.

    Where they begin within a sentence an empty word stands before them.
    """
    first = start = event.phrase.first
    least = max(first - PLAYED_WITHIN, 0 if before is None else before.phrase.end)
    while start > least and tokens[start].gap < SENTENCE:
        start -= 1
    lead = [token.text for token in tokens[start:first]]
    return lead if start == 0 or tokens[start].gap >= SENTENCE else ["", *lead]


def _farthest(events: Sequence[Event], k: int) -> set[int]:
    """The boards of a decision and of the supposed moves behind it that go on farthest."""
    children: dict[int, list[Event]] = {}
    for event in _run(events, k):
        for parent, node in zip((event.base, *event.made), event.made, strict=False):
            if all(node != made.node for made in children.get(parent, ())):
                children.setdefault(parent, []).append(replace(event, node=node))

    def depth(node: int) -> int:
        return 1 + max((depth(child.node) for child in children.get(node, ())), default=0)

    path = {*events[k].made}
    here = events[k].node
    while here in children:
        here = max(children[here], key=lambda child: depth(child.node)).node
        path.add(here)
    return path


def _run(events: Sequence[Event], k: int) -> Iterator[Event]:
    """The moves behind a decision that are told as supposed, but not as such by their own words."""
    for event in events[k + 1 :]:
        if event.kind is Kind.PLAY:
            if event.mode is Mode.SHOWN:
                return
            if event.mode is Mode.SUPPOSED and not event.phrase.cues.supposed:
                yield event
