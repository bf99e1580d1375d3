"""Single faults planted in good lessons, and what the checks make of each.

`python -m tests.planted` prints the figures; `test_planted.py` holds them up.
"""

from __future__ import annotations

import random
import re
import statistics
import sys
from collections import Counter, defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from linewright.build import examine
from linewright.finding import Finding
from linewright.following import follow
from linewright.lesson import Lesson, PlacedMove
from linewright.script import parse
from linewright.source import Source, Span

ROOT = Path(__file__).parent.parent
LESSONS = (
    ROOT / "examples" / "exchange-variation.md",
    *sorted((ROOT / "tests" / "lessons").glob("*.md")),
)
KINDS = ("square", "piece", "number", "side", "missing", "swapped", "typo")
_SAN = re.compile(r"(?P<number>\d+(?:\.\.\.|\.)\s?)?(?P<san>[^!?]+)(?P<suffix>[!?]*)$")
_NEAR = {"a": "bs", "b": "av", "c": "dx", "d": "ce", "e": "df", "f": "eg", "g": "fh", "h": "gj"}


@dataclass(frozen=True, slots=True)
class Planted:
    """A lesson with one fault: `place` is where, `meant` the label of the move that stood there."""

    kind: str
    text: str
    place: Span
    was: str
    now: str
    meant: str


@dataclass(frozen=True, slots=True)
class Outcome:
    """What the checks made of a planted fault: the findings the good lesson had not."""

    planted: Planted
    findings: tuple[Finding, ...]

    @property
    def noticed(self) -> bool:
        """Whether anything is said."""
        return bool(self.findings)

    @property
    def follow_on(self) -> int:
        """How many findings there are beyond the one that is due."""
        return max(0, len(self.findings) - 1)

    def rank(self) -> int | None:
        """The place of what stood there among the repairs offered, 0 the first; None if absent."""
        for finding in self.findings:
            plain = [re.sub(r"[+#!?]", "", repair) for repair in finding.repairs]
            for k, repair in enumerate(plain):
                if self.planted.meant in repair.split():
                    return k
        return None


def faults(text: str, seed: int, most: int) -> Iterator[Planted]:
    """Faults of every kind planted in a good lesson, at most so many of a kind."""
    lesson = follow(parse(Source("lesson.md", text)))
    assert not lesson.slips, lesson.slips
    rng = random.Random(seed)
    for kind in KINDS:
        places = [m for m in lesson.moves if m.node is not None]
        rng.shuffle(places)
        made = 0
        for place in places:
            if made < most and (planted := plant(kind, lesson, place, rng)) is not None:
                made += 1
                yield planted


def plant(kind: str, lesson: Lesson, place: PlacedMove, rng: random.Random) -> Planted | None:
    """One fault at one move, or None where that kind of fault cannot be made there."""
    source = lesson.script.source
    was = source.words(place.span)
    match = _SAN.match(was)
    assert match and place.node is not None
    number, san, suffix = match["number"] or "", match["san"], match["suffix"]
    span = place.span
    now: str | None
    if kind == "swapped":
        k = lesson.moves.index(place)
        after = lesson.moves[k + 1] if k + 1 < len(lesson.moves) else None
        if after is None or source.text[span.end : after.span.start].strip():
            return None
        other = _SAN.match(source.words(after.span))
        assert other
        between = source.text[span.end : after.span.start]
        now = f"{number}{other['san']}{suffix}{between}{other['number'] or ''}{san}"
        span = Span(span.start, after.span.end)
        was = source.words(span)
    else:
        now = _spoilt(kind, number, san, rng)
        now = now + suffix if now else now
    if now is None or now == was:
        return None
    text = source.text[: span.start] + now + source.text[span.end :]
    text = text.replace("  ", " ") if not now else text
    label = re.sub(r"[+#]", "", lesson.tree.nodes[place.node].label)
    meant = label if number else label.split(".")[-1]
    return Planted(kind, text, Span(span.start, span.start + len(now)), was, now, meant)


def _spoilt(kind: str, number: str, san: str, rng: random.Random) -> str | None:
    square = re.search(r"[a-h][1-8]", san)
    match kind:
        case "square" if square:
            file, rank = square[0][0], square[0][1]
            if rng.random() < 0.5:
                rank = str(min(8, max(1, int(rank) + rng.choice((-1, 1)))))
            else:
                file = rng.choice(
                    _NEAR[file]
                    .replace("s", "b")
                    .replace("v", "c")
                    .replace("x", "b")
                    .replace("j", "g")
                )
            return number + san[: square.start()] + file + rank + san[square.end() :]
        case "piece" if san[0] in "QRBNK" and san[0] != "O":
            return number + rng.choice("QRBNK".replace(san[0], "")) + san[1:]
        case "number" if number:
            value = int(re.match(r"\d+", number)[0])  # type: ignore[index]
            other = value + rng.choice((-1, 1))
            return None if other < 1 else number.replace(str(value), str(other), 1) + san
        case "side" if number:
            return (
                number.replace("...", ".") if "..." in number else number.replace(".", "...")
            ) + san
        case "missing":
            return ""
        case "typo" if square:
            made = rng.choice(
                (
                    san[: square.start()] + "j" + san[square.start() + 1 :],
                    san[: square.end() - 1] + "9" + san[square.end() :],
                    san[: square.end()] + san[square.end() - 1] + san[square.end() :],
                    san[:1].lower() + san[1:] if san[0] in "QRNK" else san[0] + san,
                    san[: square.start() + 1] + san[square.start()] + san[square.start() + 1 :],
                )
            )
            return number + made
    return None


def outcome(planted: Planted, usual: Counter[tuple[str, str]]) -> Outcome:
    """The findings a planted fault brings that the good lesson had not."""
    left = usual.copy()
    new = []
    for finding in examine(Source("lesson.md", planted.text)).findings:
        key = (finding.rule, finding.message)
        if finding.rule in ("wrong-length", "too-fast-to-follow"):
            continue
        if left[key]:
            left[key] -= 1
        else:
            new.append(finding)
    return Outcome(planted, tuple(new))


def outcomes(most: int, seed: int = 1) -> list[Outcome]:
    """What becomes of faults planted in every lesson, at most so many of a kind in each."""
    out = []
    for path in LESSONS:
        text = path.read_text("utf-8")
        usual = Counter((f.rule, f.message) for f in examine(Source("lesson.md", text)).findings)
        out += [outcome(planted, usual) for planted in faults(text, seed, most)]
    return out


def table(found: list[Outcome]) -> str:
    """The figures by kind of fault: how many, noticed, follow-on findings, repairs."""
    by_kind: dict[str, list[Outcome]] = defaultdict(list)
    for one in found:
        by_kind[one.planted.kind].append(one)
    by_kind["all"] = found
    lines = ["kind      planted noticed  follow-on: median mean max   repair: first any"]
    for kind, some in by_kind.items():
        seen = [one for one in some if one.noticed]
        extra = [one.follow_on for one in seen] or [0]
        ranks = [one.rank() for one in seen]
        lines.append(
            f"{kind:9} {len(some):7} {len(seen):7} {statistics.median(extra):18.1f} "
            f"{statistics.mean(extra):4.2f} {max(extra):3} {sum(r == 0 for r in ranks):15} "
            f"{sum(r is not None for r in ranks):3}"
        )
    return "\n".join(lines)


if __name__ == "__main__":
    result = outcomes(int(sys.argv[1]) if len(sys.argv) > 1 else 25)
    if len(sys.argv) > 2:
        for one in sorted(result, key=lambda o: -o.follow_on):
            if one.follow_on or (one.noticed and one.rank() != 0):
                p = one.planted
                print(f"## {p.kind}: {p.was!r} -> {p.now!r} (meant {p.meant})")
                for f in one.findings:
                    print(f"     {f.rule}: {f.message}"[:230])
    print(table(result))
