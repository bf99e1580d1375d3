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
_CALLED_BEFORE = re.compile(
    r"\b(?:(?P<own>our|my)|the|white's|black's|his|their) main (?:line|move|answer|reply|try|continuation)"
    r"(?: (?:here|now|there))* (?:is|remains)(?: (?:still|of course|to|then))*$"
)
_CALLED_BEHIND = re.compile(
    r"^(?:(?:and|so|well|of course) )*(?:that's|it's|(?:(?:that|this|which|it) )?(?:is|remains))"
    r"(?: (?:still|really|of course|then|now))*"
    r"(?: (?:the|white's|black's|his|their) main (?:line|move|answer|reply|try|continuation)(?! of\b)"
    r"| (?P<own>ours|mine|(?:our|my) (?:(?:own|main|first) )*(?:line|choice|system|answer|reply))"
    r"(?! (?:in|as|when|if|against|for)\b))\b"
)
"""What calls a move the main one before it and behind it; of one's own it is said as `own`.

"My choice in blitz" and "ours if he lets us" are so only then.
"""
_IN_OUR_LESSON = re.compile(
    r"\b(?:in|to) (?:our|my|this) (?:own )?lesson(?! (?:of|on|about|that|last|against|with)\b)"
)
_WE_DO = re.compile(
    r"^(?: (?=but\b))?(?:(?:but|so|and|now|well|instead|today|here|then) )*"
    r"(?:(?:we|i)(?: (?:always|now|ourselves|myself|simply|just|instead|rather|will))*"
    r" (?:go|play|choose|take|recommend|prefer|pick)|(?:our|my) (?:own )?[\w'-]+ is|our own)\b"
)
"""A clause of its own that tells what "we" do; beside what others play most that is one's own."""
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
    r"^(?:so(?: instead)?|(?:(?:but|so|well|okay|and) )?(?:anyway|anyhow|in any case|in fact))"
    r" (?:i|he|she|we|they|white|black)\b(?!.*\b(?:if|whether)\b)"
)
"""A sentence that leaves what was supposed for what is done, or for its reason: "so he pushes"."""
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
    """The boards of the line that the talk calls the main line, or that of the game; maybe none.

    What others play most ("that's the main line, but we go ...") and what is its own is it only
    where the talk goes on from there at least half as far as from the other moves. Of what others
    play most only that move is: of the moves before it nothing is said. It is none beside one's own.
    """
    plays = [event for event in events if event.kind is Kind.PLAY]
    forks = _Forks(tree, plays)
    found: set[int] = set()
    own, others, ours = list[int](), list[int](), list[int]()
    for before, event, after in zip([None, *plays], plays, [*plays[1:], None], strict=False):
        if event.mode is not Mode.SHOWN:
            continue
        called_own = _own_choice(event, before, after, tokens)
        if called_own:
            own.append(event.node)
        elif _called_main(event, before, tokens):
            found.update(tree.line(event.node)[1:])
        elif called_own is not None:
            others.append(event.node)
        elif _is_what_we_do(event, before, tokens):
            ours.append(event.node)
    beside = {other for node in others for other in forks.rivals(node)}
    for node in (*own, *(node for node in ours if node in beside)):
        found.update(forks.taught_to(node))
    for node in others:
        rivals = forks.rivals(node)
        if rivals.isdisjoint(found) and rivals.isdisjoint(ours) and forks.is_taught(node):
            found.add(node)
    return frozenset(found)


class _Forks:
    """How far a talk goes on from each move shown, beside the others on the same board."""

    def __init__(self, tree: Tree, plays: Sequence[Event]) -> None:
        self.tree = tree
        self.reach: dict[int, int] = {}
        self.ways: dict[int, set[int]] = {}
        for line in (tree.line(event.node) for event in plays if event.mode is Mode.SHOWN):
            for at in range(1, len(line)):
                self.ways.setdefault(line[at - 1], set()).add(line[at])
                self.reach[line[at]] = max(self.reach.get(line[at], 0), len(line) - at)

    def rivals(self, node: int) -> set[int]:
        """The other moves that are shown on the board of a move."""
        return self.ways.get(self.tree.parent(node), set()) - {node}

    def is_taught(self, node: int) -> bool:
        """Whether the talk goes on at least half as far from a move as from the others."""
        farthest = max((self.reach[one] for one in self.rivals(node)), default=0)
        return 2 * self.reach.get(node, 0) >= farthest

    def taught_to(self, node: int) -> list[int]:
        """The line to a move, from behind the last fork where another is gone on from much farther."""
        line = self.tree.line(node)[1:]
        left = [k for k, one in enumerate(line) if not self.is_taught(one)]
        return line[left[-1] + 1 :] if left else line


def _own_choice(
    event: Event, before: Event | None, after: Event | None, tokens: Sequence[Token]
) -> bool | None:
    """Whether the words around a move call it the talk's own line; None if they call it nothing."""
    lead = _lead(event, before, tokens)
    behind = [token.text for token in _behind(event, after, tokens)]
    told = _CALLED_BEFORE.search(" ".join(lead)) or _CALLED_BEHIND.search(" ".join(behind))
    if _supposes(lead):
        return None
    if _IN_OUR_LESSON.search(" ".join(lead)):
        return True
    return None if told is None else told["own"] is not None


def _is_what_we_do(event: Event, before: Event | None, tokens: Sequence[Token]) -> bool:
    lead = _lead(event, before, tokens)
    said = [token.text for token in tokens[event.phrase.first : event.phrase.end]]
    return bool(_WE_DO.search(" ".join([*lead, *said]))) and not _supposes(lead)


def _behind(event: Event, after: Event | None, tokens: Sequence[Token]) -> Iterator[Token]:
    """The words of a sentence behind a move, up to the next one."""
    end = len(tokens) if after is None else after.phrase.first
    for token in tokens[event.phrase.end : min(end, event.phrase.end + PLAYED_WITHIN)]:
        if token.gap >= SENTENCE:
            return
        yield token


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
