"""What a talk without a heading is called: its opening, as far as it teaches that."""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Iterator, Sequence
from itertools import takewhile

import chess

from linewright.names import Name, NameFound, find_names, name_of_line, names_at, plain_letters
from linewright.talk.capitals import titled
from linewright.talk.record import Heard
from linewright.talk.vocabulary import words

FIRST_WORDS = 120
"""An opening is named at once within so many words, if it is shown."""

_KINDS = words("defence opening gambit game attack system variation countergambit")


def title_of(heard: Heard) -> str:
    """The talk's own title; else the opening as it names it at once; else what its lines share.

    "Last week we saw the Slav" is not what is shown, and names no talk that shows an opening named
    at once too.
    """
    headings = heard.transcript.headings
    if headings:
        return headings[0].title
    called = list(_called(heard))
    named = _named_at_once(heard)
    spelt = [title for _, name in named if (title := _spelt(name, called))]
    before = [name.words for before_a_move, name in named if before_a_move]
    if spelt:
        return spelt[0]
    if before:
        best = before[0]
        return titled(best) if best == best.lower() else best[:1].upper() + best[1:]
    if short := _named_for_short(heard, called):
        return short
    file = heard.transcript.source.name
    return _shared(heard) or file.rpartition(".")[0] or file


def _boards(heard: Heard, nodes: Sequence[int]) -> list[str]:
    return [chess.STARTING_FEN, *(heard.moves[node].fen for node in nodes)] if nodes else []


def _called(heard: Heard) -> Iterator[str]:
    """The names on the way of the main line, the first board's first, then other usual ones."""
    boards = _boards(heard, heard.main_line())
    names = dict.fromkeys(name for board in boards if (name := names_at(board)))
    yield from (name.usual for name in names)
    yield from (also for name in names for also in name.also)


def _named_at_once(heard: Heard) -> list[tuple[bool, NameFound]]:
    """The openings named in the first sentences, each with whether that is before the first move."""
    first = min((turn.word for turn in heard.turns), default=0)
    text, starts = _as_put_right(heard)
    found = []
    for name in find_names(text):
        word = bisect_right(starts, name.span.start) - 1
        if name.certain and word < max(first, FIRST_WORDS):
            found.append((word < first, name))
    return found


def _named_for_short(heard: Heard, called: Sequence[str]) -> str:
    """A part of a name on the way of the main line that is said at once without its kind.

    "The two knights, the real one": of two words at least, for one may be any word.
    """
    said = " ".join(_fold(word.text) for word in heard.transcript.words[:FIRST_WORDS])
    for part in (part for name in called for part in name.split(", ")):
        *short, kind = _fold(part).split()
        if kind in _KINDS and len(short) > 1 and f" the {' '.join(short)} " in f" {said} ":
            return part
    return ""


def _as_put_right(heard: Heard) -> tuple[str, list[int]]:
    """The words of the talk as the corrected captions have them, and where each begins."""
    changes = {change.said.first: change for change in heard.caption_changes}
    words, parts = heard.transcript.words, []
    starts, at, index = [], 0, 0
    while index < len(words):
        change = changes.get(index)
        end = change.said.end if change else index + 1
        part = (change.now if change else words[index].text) + words[end - 1].mark
        starts += [at] * (end - index)
        parts.append(part)
        at += len(part) + 1
        index = end
    return " ".join(parts), starts


def _spelt(said: NameFound, called: Sequence[str]) -> str:
    """What is said of an opening that is shown, as the catalogue spells it: "Caro-Kann Defence"."""
    titles = [title for name in called if (title := _beginning(name, said))]
    with_kind = [title for title in titles if _fold(title.split()[-1]) in _KINDS]
    return next(iter([*with_kind, *titles]), "")


def _beginning(name: str, said: NameFound) -> str:
    """The beginning of a name that is said, with the kind of opening that follows it at once."""
    parts = name.split()
    for end in range(1, len(parts) + 1):
        if _is_named(" ".join(parts[:end]), said):
            more = parts[end : end + 1]
            kind = bool(more) and not parts[end - 1].endswith(",") and _fold(more[0]) in _KINDS
            return " ".join(parts[: end + kind]).rstrip(",")
    return ""


def _is_named(name: str, said: NameFound) -> bool:
    """Whether a name is said, in any order where the words of the talk have no capital.

    Who writes none tells names as they come: "the vienna's game vienna".
    """
    if _fold(name) == _fold(said.words):
        return True
    small = said.words == said.words.lower()
    return small and set(_fold(said.meant).split()) <= set(_fold(name).split())


def _shared(heard: Heard) -> str:
    """The name of the main line as far as all lines that are shown share it."""
    lines = [[move.node for move in line.moves] for line in heard.lines if line.kind == "shown"]
    main = list(heard.main_line())
    names = [name.usual.split(", ") for line in [main, *lines] if (name := _name(heard, line))]
    if not main or not names:
        return ""
    same = takewhile(lambda parts: len(set(parts)) == 1, zip(*names, strict=False))
    if shared := ", ".join(parts[0] for parts in same):
        return shared
    common = takewhile(lambda nodes: len(set(nodes)) == 1, zip(main, *lines, strict=False))
    told = _name(heard, [nodes[0] for nodes in common])
    return told.usual if told else ""


def _name(heard: Heard, nodes: Sequence[int]) -> Name | None:
    boards = _boards(heard, nodes)
    return name_of_line(boards) if boards else None


def _fold(name: str) -> str:
    """A name without capitals, accents, hyphens, stops and other spellings."""
    letters = plain_letters(name).replace("defense", "defence").replace("'", "")
    return re.sub(r"[-\s,]+", " ", letters).strip()
