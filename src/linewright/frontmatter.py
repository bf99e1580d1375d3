"""Read the YAML front matter of a script: bounded, safe, every fault with its place."""

from __future__ import annotations

import datetime
import re
from collections.abc import Callable
from dataclasses import dataclass, fields, replace
from difflib import get_close_matches
from typing import TYPE_CHECKING, Any

from linewright.expressions import expression
from linewright.source import NOWHERE, Source, Span
from linewright.textfault import Fault

if TYPE_CHECKING:
    import yaml

MAX_CHARACTERS = 64 * 1024
"""Longest front matter that is read; a lesson needs a few hundred characters."""

MAX_DEPTH = 20
"""Deepest nesting that is read; the reader underneath recurses once a level."""

DEFAULT_PACE_WPM = 140
"""Words a minute when the script says nothing: the rate of lectures to listeners who have to
think along (Tauroza & Allison 1990: 140 for lectures to non-native listeners; from memory)."""


RESULTS = ("1-0", "0-1", "1/2-1/2", "*")
"""How a game ended. Source: Portable Game Notation Specification (1994), section 8.1.1.7."""


@dataclass(frozen=True, slots=True)
class Accepted:
    """A finding looked at and kept: its rule, the words it stands at, and the reason."""

    rule: str
    place: str
    because: str
    span: Span


@dataclass(frozen=True, slots=True)
class FrontMatter:
    """What the head of a script says of the lesson.

    `taught` is ``"White"``, ``"Black"`` or None; `students` the rating band (low, high); `pace`
    in words a minute; `minutes` the length aimed at as (shortest, longest); `start` a FEN or
    empty for the initial position; `white` and `black` the players of a game, `result` how it
    ended as a game file writes it ("*" where that is not known); `games` the names of collections;
    `places` the span of each key that stands in the script; `talk` the file of the
    talk it was heard from, empty for one that was written.
    """

    title: str = ""
    taught: str | None = None
    students: tuple[int, int] | None = None
    pace: int = DEFAULT_PACE_WPM
    minutes: tuple[float, float] | None = None
    start: str = ""
    games: tuple[str, ...] = ()
    recording: str = ""
    talk: str = ""
    teacher: str = ""
    club: str = ""
    date: str = ""
    series: str = ""
    white: str = ""
    black: str = ""
    result: str = "*"
    language: str = "en"
    answers: tuple[tuple[str, str], ...] = ()
    accept: tuple[Accepted, ...] = ()
    span: Span = NOWHERE
    places: tuple[tuple[str, Span], ...] = ()

    @property
    def names_players(self) -> bool:
        """Whether the script is that of a game: its players are named."""
        return bool(self.white or self.black)

    def place(self, key: str) -> Span:
        """Where a key stands, else the front matter as a whole."""
        return dict(self.places).get(key, self.span)


class _RefusedError(ValueError):
    """A value that cannot be read; its text is the reason."""


def read_front_matter(source: Source, faults: list[Fault]) -> tuple[FrontMatter, int]:
    """The front matter and the place where the body begins; faults are added to `faults`.

    Never raises.
    """
    text = source.text
    opening = re.match(r"---[ \t]*\n", text)
    if not opening:
        return FrontMatter(), 0
    closing = expression(r"^(?:---|\.\.\.)[ \t]*$", re.MULTILINE).search(text, opening.end())
    if not closing:
        if re.match(r"[\w-]+[ \t]*:", text[opening.end() :]):
            reason = "the front matter opened by '---' is never closed by a second '---'"
            faults.append(Fault("front-matter", Span(0, 3), reason))
        return FrontMatter(), 0
    span = Span(0, closing.end())
    body = text[opening.end() : closing.start()]
    front = FrontMatter(span=span)
    if len(body) > MAX_CHARACTERS:
        reason = f"the front matter is longer than {MAX_CHARACTERS:,} characters: it is left out"
        faults.append(Fault("front-matter", Span(0, 3), reason))
        return front, closing.end()
    return _Reader(source, opening.end(), faults).read(body, front), closing.end()


class _Reader:
    def __init__(self, source: Source, start: int, faults: list[Fault]) -> None:
        self.source = source
        self.start = start
        self.faults = faults

    def fault(self, span: Span, reason: str, repairs: tuple[str, ...] = (), kind: str = "") -> None:
        self.faults.append(Fault(kind or "front-matter", span, reason, repairs))

    def read(self, body: str, front: FrontMatter) -> FrontMatter:
        import yaml

        try:
            root = self.compose(body)
        except yaml.YAMLError as error:
            mark = getattr(error, "problem_mark", None)
            place = self.start + (min(mark.index, max(len(body) - 1, 0)) if mark else 0)
            line, reason, repairs = _badly_written(body, place - self.start)
            self.fault(Span(self.start + line.start, self.start + line.end), reason, repairs)
            return front
        except _RefusedError as error:
            self.fault(Span(0, 3), f"the front matter is left out: {error}")
            return front
        if root is None:
            return front
        if not isinstance(root, yaml.MappingNode):
            self.fault(front.span, "the front matter is not a list of 'key: value' lines")
            return front
        return self.keys(root, front)

    def compose(self, body: str) -> yaml.Node | None:
        """The node tree, refused before it can grow: no aliases, no tags, bounded depth."""
        import yaml

        depth = 0
        for event in yaml.parse(body, Loader=yaml.SafeLoader):
            if isinstance(event, yaml.AliasEvent):
                raise _RefusedError(f"it uses an alias (*{event.anchor}), write the value out")
            if tag := getattr(event, "tag", None):
                raise _RefusedError(f"it uses a tag ({tag}), plain values are enough")
            opens = isinstance(event, (yaml.MappingStartEvent, yaml.SequenceStartEvent))
            closes = isinstance(event, (yaml.MappingEndEvent, yaml.SequenceEndEvent))
            depth += opens - closes
            if depth > MAX_DEPTH:
                raise _RefusedError(f"it is nested more than {MAX_DEPTH} deep")
        return yaml.compose(body, Loader=yaml.SafeLoader)

    def span(self, node: yaml.Node) -> Span:
        return Span(self.start + node.start_mark.index, self.start + node.end_mark.index)

    def keys(self, root: yaml.MappingNode, front: FrontMatter) -> FrontMatter:
        import yaml

        values: dict[str, Any] = {}
        places: dict[str, Span] = {}
        for key_node, value_node in root.value:
            key = str(key_node.value) if isinstance(key_node, yaml.ScalarNode) else "?"
            span = self.span(key_node)
            if key in places:
                self.fault(span, f"'{key}' stands twice: the first is used")
                continue
            if key == "analyst":
                reason = "'analyst' is not read from a lesson: name the engine in your own settings"
                self.fault(span, reason, kind="analyst-in-lesson")
                continue
            if key not in _KEYS:
                self.unknown(key, span)
                continue
            places[key] = span
            try:
                field, read = _KEYS[key]
                values[field] = read(self, value_node)
            except (_RefusedError, RecursionError) as error:
                value = self.source.words(self.span(value_node)).strip()
                self.fault(span, f"'{key}: {value[:60]}' is not read: {error}")
        return replace(front, places=tuple(places.items()), **values)

    def unknown(self, key: str, span: Span) -> None:
        near = get_close_matches(key.lower(), _KEYS, 1, 0.6)
        hint = f": did you mean '{near[0]}'?" if near else f": the keys are {', '.join(_KEYS)}"
        reason = f"'{key}' is no key of the front matter{hint.rstrip('?')}"
        self.fault(span, reason, tuple(near), kind="unknown-front-matter")

    # Values. Each returns what the field holds or raises _RefusedError with the reason.

    def text(self, node: yaml.Node) -> str:
        import yaml

        if not isinstance(node, yaml.ScalarNode):
            raise _RefusedError("one line of text is expected")
        return str(node.value).strip()

    def date(self, node: yaml.Node) -> str:
        """A date in figures must be a day there is; words ("last Tuesday") are left alone."""
        value = self.text(node)
        if found := re.fullmatch(r"(\d{4})[-./](\d{1,2})(?:[-./](\d{1,2}))?", value):
            year, month, day = int(found[1]), int(found[2]), int(found[3] or 1)
            try:
                datetime.date(year, month, day)
            except ValueError:
                what = "month" if not 1 <= month <= 12 else "day"
                raise _RefusedError(
                    f"there is no such {what}; write year-month-day, as 2026-03-12"
                ) from None
        return value

    def side(self, node: yaml.Node) -> str | None:
        value = self.text(node).capitalize()
        if value in {"White", "Black"}:
            return value
        if value.lower() in {"both", ""}:
            return None
        raise _RefusedError("White, Black or both is expected")

    def result(self, node: yaml.Node) -> str:
        value = re.sub(r"\s+", "", self.text(node)).replace("½", "1/2").replace("–", "-")
        if value not in RESULTS:
            raise _RefusedError(f"{', '.join(RESULTS[:-1])} or {RESULTS[-1]} is expected")
        return value

    def whole(self, node: yaml.Node) -> int:
        value = self.text(node).split(" ")[0]
        if not re.fullmatch(r"\d{1,6}", value) or int(value) == 0:
            raise _RefusedError("a whole number above 0 is expected")
        return int(value)

    def band(self, node: yaml.Node) -> tuple[int, int]:
        low, high = self.pair(node)
        if high > 4000 or low > high:
            raise _RefusedError("a rating band like 1200-1800 is expected")
        return int(low), int(high)

    def pair(self, node: yaml.Node) -> tuple[float, float]:
        import yaml

        if isinstance(node, yaml.SequenceNode):
            parts = [str(item.value) for item in node.value]
        else:
            parts = re.split(r"\s*(?:-|–|—|\bto\b|\.\.)\s*", self.text(node))
        numbers = all(re.fullmatch(r"\d{1,5}(?:\.\d+)?", part) for part in parts)
        if not 1 <= len(parts) <= 2 or not numbers:
            raise _RefusedError("a number or a range like 8-10 is expected")
        return float(parts[0]), float(parts[-1])

    def minutes(self, node: yaml.Node) -> tuple[float, float]:
        low, high = self.pair(node)
        if not 0 < low <= high:
            raise _RefusedError("minutes like 8 or 8-10 are expected")
        return low, high

    def names(self, node: yaml.Node) -> tuple[str, ...]:
        import yaml

        if isinstance(node, yaml.SequenceNode):
            return tuple(self.text(item) for item in node.value)
        return tuple(name for name in (self.text(node),) if name)

    def accepted(self, node: yaml.Node) -> tuple[Accepted, ...]:
        import yaml

        if not isinstance(node, yaml.SequenceNode):
            raise _RefusedError("a list is expected, each entry with rule, place and because")
        return tuple(entry for item in node.value if (entry := self.one_accepted(item)))

    def one_accepted(self, node: yaml.Node) -> Accepted | None:
        import yaml

        span = self.span(node)
        span = Span(span.start, min(span.end, self.start + len(self.source.text)))
        words = self.source.words(span).rstrip()
        span = Span(span.start, span.start + len(words))
        if not isinstance(node, yaml.MappingNode):
            self.fault(span, f"'{words[:60]}' accepts nothing: rule, place and because are needed")
            return None
        entry = {str(k.value): self.text(v) for k, v in node.value}
        missing = [key for key in ("rule", "place", "because") if not entry.get(key)]
        for key in entry:
            if key not in {"rule", "place", "because"}:
                self.unknown_part(key, span)
        if missing:
            self.fault(span, f"this entry of accept has no {' and no '.join(missing)}")
            return None
        return Accepted(entry["rule"], entry["place"], entry["because"], span)

    def unknown_part(self, key: str, span: Span) -> None:
        reason = f"'{key}' is no part of an accept entry: there are rule, place, because"
        self.fault(span, reason, kind="unknown-front-matter")

    def answered(self, node: yaml.Node) -> tuple[tuple[str, str], ...]:
        import yaml

        if not isinstance(node, yaml.MappingNode):
            raise _RefusedError("answers are written 'place: move', one a line")
        return tuple((str(k.value), self.text(v)) for k, v in node.value)


_KEY_LINE = expression(r"\s*(?P<key>[\w-]+):\s+(?P<value>\S.*?)\s*")
_OPENS = expression(r"[\w-]+:\s+[\"']")
_SIGNS = "&*!|>%@`"
"""What a plain value cannot begin with."""
_CLOSES = {'"': '"', "'": "'", "[": "]", "{": "}"}


def _badly_written(body: str, at: int) -> tuple[Span, str, tuple[str, ...]]:
    """Where and why the front matter cannot be read, with the line as it may have been meant.

    `at` is where reading stopped: in the faulty line or at the beginning of the one after it.
    """
    spans, start = [], 0
    for line in body.splitlines(keepends=True):
        if start > at:
            break
        spans.append(Span(start, start + len(line.rstrip())))
        start += len(line)
    # a quotation mark that is left open is noticed only where the next one stands, or at the end
    opens = (span for span in spans[:-2] if _OPENS.match(body, span.start, span.end))
    for span in (*reversed(spans[-2:]), *opens):
        if told := _bad_line(body[span.start : span.end]):
            return span, *told
    span = spans[-1] if spans else Span(0, 1)
    return span, f"'{body[span.start : span.end].strip()}' is no 'key: value' line", ()


def _bad_line(line: str) -> tuple[str, tuple[str, ...]] | None:
    """What is wrong with a line by its look, and the line mended."""
    plain = line.strip()
    if "\t" in line[: len(line) - len(line.lstrip())]:
        return f"a tab moves '{plain}' in, and lines begin at the margin", (plain,)
    found = _KEY_LINE.fullmatch(line)
    if found is None:
        return None
    value = found["value"]
    if closes := _CLOSES.get(value[0]):
        if value.endswith(closes) and len(value) > 1:
            return None
        return f"'{value}' begins with {value[0]} and does not end with {closes}", ()
    if ": " not in value and value[0] not in _SIGNS:
        return None
    sign = "has a colon inside" if ": " in value else f"begins with {value[0]}"
    quoted = value.replace("\\", "\\\\").replace('"', '\\"')
    repair = f'{found["key"]}: "{quoted}"'
    return f"'{value}' {sign}: write it in quotation marks, {repair}", (repair,)


_KEYS: dict[str, tuple[str, Callable[[_Reader, yaml.Node], Any]]] = {
    "title": ("title", _Reader.text),
    "for": ("taught", _Reader.side),
    "students": ("students", _Reader.band),
    "pace": ("pace", _Reader.whole),
    "minutes": ("minutes", _Reader.minutes),
    "start": ("start", _Reader.text),
    "games": ("games", _Reader.names),
    "recording": ("recording", _Reader.text),
    "talk": ("talk", _Reader.text),
    "teacher": ("teacher", _Reader.text),
    "club": ("club", _Reader.text),
    "date": ("date", _Reader.date),
    "series": ("series", _Reader.text),
    "white": ("white", _Reader.text),
    "black": ("black", _Reader.text),
    "result": ("result", _Reader.result),
    "language": ("language", _Reader.text),
    "answers": ("answers", _Reader.answered),
    "accept": ("accept", _Reader.accepted),
}

KEYS = tuple(_KEYS)
"""The keys of a front matter as they are written."""

assert {name for name, _ in _KEYS.values()} <= {f.name for f in fields(FrontMatter)}
