"""The lessons of a series side by side: which is which, and what each shows on which board.

A lesson's number is the one in its title ("Lesson 3: ...", "3. The pin"), else in its file's name
(`lesson-3.md`, `03-pin.md`); a number that two lessons have is nobody's. Where no lesson has one
and each has a date in figures, in its head or in front of its file's name, they are numbered by
date. The order is that of the numbers if all have one, else that of the dates if all have one, else
as the lessons were given, those with numbers in their order.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from collections import Counter, defaultdict
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import islice
from pathlib import PurePath
from typing import Any, Protocol, TypeVar

import chess

from linewright.analyst.review import Shown, is_taught, shown_moves, taught_side
from linewright.expressions import expression
from linewright.finding import Passage
from linewright.forbidding import forbids
from linewright.lesson import Lesson, Node, PlacedExercise
from linewright.lesson_numbers import COUNT, MEETING, ORDINAL, count_said
from linewright.notation import MOVE, WrittenMove, read_move
from linewright.opinions import (
    Key,
    OfMove,
    OfPosition,
    Worth,
    key_of,
    of_moves,
    of_positions,
    surely_reached,
)
from linewright.recalling import recalled, sentence_around
from linewright.source import Source, Span
from linewright.trunk import doubts
from linewright.whose_moves import is_no_lesson_of_ours, is_wordless, tells_of_others

_ENDS = r"(?=[ *_]*(?:$|[.:,;)–—]|[–—-] ))"
_IN_TITLE = expression(
    rf"(?:^|[:,(–—-] ?)(?:(?:the|our|my) )?(?P<nth>{ORDINAL}) {MEETING}{_ENDS}"
    rf"|\blesson (?:no\.? ?|number )?(?P<number>{COUNT}){_ENDS}"
    rf"|^lesson (?:no\.? ?|number )?(?P<begins>{COUNT})\b(?!['’])"
    rf"|(?:^|[:,(–—-] ?)(?:{MEETING}|part) (?:no\.? ?|number )?(?P<headed>{COUNT}){_ENDS}"
    rf"|^(?P<first>\d{{1,3}})(?:[.:)] +| *[–—-] +)(?!\d|{MOVE.pattern})",
    re.IGNORECASE,
)
_IN_FILE = expression(
    rf"(?:^|[^a-z]){MEETING}[-_ ]?(?P<number>\d{{1,3}})(?!\d)"
    r"|^(?P<first>\d{1,3})(?:[-_ .]|$)|[-_ ](?P<last>\d{1,3})$",
    re.IGNORECASE,
)
_DATED = expression(
    r"^(?:(?P<year>\d{4})[-_. ]?(?P<month>\d{2})(?:[-_. ]?(?P<day>\d{2}))?(?!\d)"
    r"|\d{1,2}[-_.]\d{1,2}[-_.]\d{4}(?!\d))"
)
"""A date that the name of a file begins with; which is the month in the other order is unsure."""
_DAY = expression(r"\d{4}[-./]\d{1,2}[-./]\d{1,2}")


@dataclass(frozen=True, slots=True)
class Choice:
    """The move a lesson teaches as the main one for its side on a board; `told` is the lesson, or
    the answer of the exercise, whose tree has the node."""

    told: Lesson
    node: Node
    fen: str
    span: Span

    @property
    def move(self) -> chess.Move:
        """The move."""
        assert self.node.move is not None
        return self.node.move

    @property
    def line(self) -> str:
        """The line to the move, in SAN."""
        return self.told.tree.text(self.node.index)

    def leads_to(self) -> frozenset[Key]:
        """The positions behind the move in its lesson, that after the move among them."""
        nodes = self.told.tree.nodes
        out, ahead = set(), [self.node]
        while ahead:
            here = ahead.pop()
            out.add(key_of(here.fen))
            ahead += [nodes[child] for child in here.children]
        return frozenset(out)


@dataclass(frozen=True, eq=False)
class Member:
    """A lesson of a series with its judged statements; `number` is None where it has none."""

    lesson: Lesson
    verdicts: tuple[Any, ...] = ()
    number: int | None = None

    @property
    def source(self) -> Source:
        """The script."""
        return self.lesson.script.source

    @property
    def title(self) -> str:
        """What the lesson is called, else the name of its file."""
        return self.lesson.front.title or PurePath(self.source.name).stem

    @property
    def called(self) -> str:
        """How messages name it: ``lesson 2 (slav.md)``, or by its file alone."""
        name = self.source.name
        return name if self.number is None else f"lesson {self.number} ({name})"

    def at(self, span: Span) -> str:
        """How messages name a place in it: ``lesson 2 (slav.md:14)``, or by its file alone."""
        place = Passage(self.source, span).place
        return place if self.number is None else f"lesson {self.number} ({place})"

    @cached_property
    def shown(self) -> Mapping[Key, Mapping[chess.Move, int]]:
        """The moves that the lesson shows or mentions on each board, with where they first stand.

        Those of its exercises among them, and those in parentheses.
        """
        out: dict[Key, dict[chess.Move, int]] = defaultdict(dict)
        for told in self._passages():
            for placed in told.moves:
                node = None if placed.node is None else told.tree.nodes[placed.node]
                if node is None or node.parent is None or node.move is None:
                    continue
                fen = told.tree.nodes[node.parent].fen
                out[key_of(fen)].setdefault(node.move, placed.span.start)
            for mention in told.mentions:
                if mention.move is not None:
                    out[key_of(mention.fen)].setdefault(mention.move, mention.span.start)
        return out

    def has(self, moves: Sequence[WrittenMove], ply: int | None, key: Key | None) -> bool:
        """Whether the lesson has a run of moves.

        The moves are looked for on the board `key` and, as they are numbered (`ply` half-moves
        with the first of them), on any other; a single one may be only mentioned there.
        """
        if len(self.followed(moves, ply, key)) == len(moves):
            return True
        return len(moves) == 1 and any(
            mention.move is not None
            and _alike(mention.written, moves[0])
            and (key_of(mention.fen) == key or _next_ply(mention.fen) == ply)
            for told in self._passages()
            for mention in told.mentions
        )

    def followed(
        self, moves: Sequence[WrittenMove], ply: int | None, key: Key | None
    ) -> tuple[Node, ...]:
        """The nodes of the lesson or an exercise that a run of moves goes along, as far as any."""
        longest: tuple[Node, ...] = ()
        for told in self._passages():
            nodes = told.tree.nodes
            for node in nodes[1:]:
                on_board = node.parent is not None and key_of(nodes[node.parent].fen) == key
                if on_board or node.ply == ply:
                    longest = max(longest, _along(told, node, moves), key=len)
        return longest

    def mentions(self, move: WrittenMove, key: Key) -> bool:
        """Whether the lesson speaks of a move on a line that has come past a board: "here 4.e4 was
        sharper" is said of the board before."""
        nodes = self.lesson.tree.nodes
        return any(
            _alike(one.written, move)
            and any(
                key_of(node.fen) == key for node in (nodes[0], *self.lesson.tree.line(one.node))
            )
            for one in self.lesson.mentions
        )

    def _passages(self) -> Iterator[Lesson]:
        yield self.lesson
        for exercise in self.lesson.exercises:
            yield from (exercise.task, exercise.answer)

    @cached_property
    def choices(self) -> Mapping[Key, Choice]:
        """The main moves the lesson teaches its side, none in a game or where no side is taught.

        Only on the line of its own main moves: what follows a second choice is no first one. What
        another lesson is said to have had is not taught here.
        """
        lesson, side = self.lesson, taught_side(self.lesson)
        if side is None or lesson.front.names_players:
            return {}
        first = {one.node.index: one for one in shown_moves(lesson)}
        retold = [told.span for told in recalled(lesson)]
        out: dict[Key, Choice] = {}
        for node in self._main_nodes(side):
            one = first.get(node.index)
            if one is None or node.white != side:
                continue
            if any(is_no_lesson_of_ours(title) for title in self.titles(one.span)):
                continue
            if not any(one.span.start in span for span in retold) and _offered(lesson, one):
                fen = one.before.fen()
                out.setdefault(key_of(fen), Choice(lesson, node, fen, one.span))
        for choice in _asked_for(lesson, side):
            out.setdefault(key_of(choice.fen), choice)
        return out

    def _main_nodes(self, side: bool) -> Iterator[Node]:
        """The nodes on lines on which the side taught plays its first choice throughout."""
        nodes = self.lesson.tree.nodes
        ahead = [nodes[0]]
        while ahead:
            here = ahead.pop()
            ways = here.children[:1] if here.board().turn == side else here.children
            told = [nodes[way] for way in ways if not nodes[way].aside]
            yield from told
            ahead += told

    @cached_property
    def of_moves(self) -> tuple[OfMove, ...]:
        """What the lesson says of moves, and the main moves it teaches."""
        said = of_moves(self.lesson, self.verdicts)
        heard = bool(self.lesson.front.talk)  # what a talk marks with its voice is no sign
        taught = (
            OfMove(one.span, one.fen, one.move, Worth.TAUGHT, one.line)
            for one in (() if heard else self.choices.values())
        )
        return (*said, *taught)

    @cached_property
    def of_positions(self) -> tuple[OfPosition, ...]:
        """What the lesson says of positions."""
        return tuple(of_positions(self.lesson, self.verdicts))

    def paragraph(self, span: Span) -> str:
        """The paragraph that some words stand in."""
        blocks = (block for block in self.lesson.script.blocks if span.start in block.span)
        return "\n".join(self.source.words(block.span) for block in blocks)

    def around(self, span: Span) -> str:
        """What the lesson says around some words: its title, the heading of their part, and the
        paragraph they stand in with the one before."""
        lesson = self.lesson
        blocks = [b for b in lesson.script.blocks if b.span.start <= span.start]
        told = [self.source.words(block.span) for block in blocks[-2:]]
        return "\n".join((*self.titles(span), *told))

    def titles(self, span: Span) -> tuple[str, ...]:
        """The title of the lesson, and the heading of the part that some words stand in."""
        parts = [part.title for part in self.lesson.parts if part.span.start <= span.start]
        return (self.lesson.front.title, *parts[-1:])


def _along(told: Lesson, node: Node, moves: Sequence[WrittenMove]) -> tuple[Node, ...]:
    """The nodes, from one on, that a run of moves goes along as far as it can."""
    out: list[Node] = []
    ways = [node]
    for move in moves:
        fits = (way for way in ways if (san := read_move(way.san)) and _alike(san, move))
        found = next(fits, None)
        if found is None:
            break
        out.append(found)
        ways = [told.tree.nodes[child] for child in found.children]
    return tuple(out)


def _next_ply(fen: str) -> int:
    """The half-moves from the first move on with the one to be played on a board."""
    turn, number = fen.split()[1], int(fen.rsplit(maxsplit=1)[-1])
    return 2 * number - (turn == "w")


def _alike(one: WrittenMove, other: WrittenMove) -> bool:
    """Whether two written moves can be the same: capture, check and further squares left out."""
    return (one.piece, one.to, one.castling) == (other.piece, other.to, other.castling) and (
        not one.promotion or not other.promotion or one.promotion == other.promotion
    )


def question_of(exercise: PlacedExercise) -> str:
    """The question of an exercise as it is written."""
    script = exercise.task.script
    return " ".join(script.source.words(block.span) for block in script.blocks)


_PLAY = r"(?:plays?|do|does|answers?|repl(?:y|ies)|moves?|continues?|choose|goes? on|meets?)"
_SIDE = r"(?:we|you|White|Black)"
_PLAINLY = r"(?: (?:now|here|next|best|then|in this position|at this point|on the board))*"
_MOVE_HERE = rf"(?: (?:to |against |after )?(?:\d{{1,3}}\s?\.+ ?)?{MOVE.pattern})?"
_ASKS_FOR_IT = expression(
    rf"^(?:(?:and|so|but|now|then|quiz|question)[,:]? )*(?:(?:in this position|here|now),? )?"
    rf"(?:(?:what|which move|how)(?: (?:do|does|should|shall|will|would|is))? {_SIDE}(?: to)?"
    rf"(?: now)? {_PLAY}"
    rf"|(?:find|give|play|show|choose|what(?:['’]s| is)|which is) (?:{_SIDE}['’]s|the|our|your)"
    r" (?:best|right|strongest|correct|next) (?:move|reply|answer|continuation)"
    rf"(?: for {_SIDE})?"
    rf"|what is (?:our|your) (?:move|reply|answer))"
    rf"{_MOVE_HERE}{_PLAINLY}$",
    re.IGNORECASE,
)
_ASKS_ELSE = expression(
    r"\b(?:why|wrong|mistakes?|bad|worst|avoid|not|never|win\w*|won|mate\w*|punish\w*|instead|else"
    r"|another|other|alternative|loses?|if|first|second|two|which of|trap\w*|threat\w*|protect\w*"
    r"|defend\w*|attack\w*|develop\w*|save\w*|draw\w*)\b|n['’]t\b",
    re.IGNORECASE,
)


def asks_what_to_play(question: str) -> bool:
    """Whether a question asks for the move to play, and for nothing more narrow.

    >>> [asks_what_to_play(words) for words in ("Look at f7. What should White play here?",
    ...     "Find the best move.", "How do we meet 4...Nd4?", "Find a move that protects e5.")]
    [True, True, True, False]
    """
    if _ASKS_ELSE.search(question):
        return False
    sentences = re.split(r"[.!?](?:\s+|$)", " ".join(question.split()))
    return any(_ASKS_FOR_IT.search(sentence.strip("*_ ")) for sentence in sentences)


def _asked_for(lesson: Lesson, side: bool) -> Iterator[Choice]:
    """The moves that answers of exercises give where the question asks what the side plays."""
    for exercise in lesson.exercises:
        nodes = exercise.answer.tree.nodes
        if not asks_what_to_play(question_of(exercise)):
            continue
        for placed in exercise.answer.moves[:1]:
            node = None if placed.node is None else nodes[placed.node]
            if node is None or node.parent is None or node.white != side:
                continue
            if nodes[node.parent].fen == exercise.fen and surely_reached(exercise.answer, node):
                yield Choice(exercise.answer, node, exercise.fen, placed.span)


def _offered(lesson: Lesson, one: Shown) -> bool:
    """Whether a move is taught: not warned of, nor supposed, nor set beside the one played, nor
    told as what others play or once played."""
    before, behind = sentence_around(lesson, one.span)
    lead_in = _sentence_before(lesson, one.span) if is_wordless(before) else ""
    if tells_of_others(f"{lead_in} {before}", behind):
        return False
    before = before[max((move.end() for move in MOVE.finditer(before)), default=0) :]
    if move := MOVE.search(behind):
        behind = behind[: move.start()]
    if forbids(before) or doubts(before, behind):
        return False
    return surely_reached(lesson, one.node) and is_taught(lesson, one)


def _sentence_before(lesson: Lesson, span: Span) -> str:
    """The words that lead to a sentence of moves alone: the sentence before it, in its paragraph
    or at the end of the one before."""
    blocks, text = lesson.script.blocks, lesson.script.source.text
    k = bisect_right(blocks, span.start, key=lambda block: block.span.start)
    begins = blocks[max(k - 2, 0)].span.start if k else 0
    before = text[max(begins, span.start - _REACH) : span.start]
    sentences = [words for words in _STOP.split(before) if not is_wordless(words)]
    return sentences[-1] if sentences else ""


_STOP = expression(r"(?<!\d)[.!?;](?=\s|$)")
_REACH = 600
"""Characters before a move in which it is looked for what leads to it."""


class Told(Protocol):
    """Something that stands at a place of a lesson."""

    @property
    def span(self) -> Span:
        """Its words."""


T = TypeVar("T", bound=Told)


@dataclass(frozen=True, eq=False)
class Series:
    """The lessons of a series in order; `ordered` if numbers or dates say the order."""

    members: tuple[Member, ...]
    ordered: bool = False

    def member(self, lesson: Lesson) -> Member:
        """The member that a lesson is."""
        return next(one for one in self.members if one.lesson is lesson)

    def numbered(self, number: int) -> Member | None:
        """The lesson of a number, None if it is not among these."""
        return next((one for one in self.members if one.number == number), None)

    def before(self, member: Member) -> Member | None:
        """The lesson before another, None for the first or where nothing says the order.

        Of numbered lessons only the one with the number before: others may not be at hand.
        """
        if member.number is not None:
            return self.numbered(member.number - 1)
        place = self.members.index(member)
        return self.members[place - 1] if self.ordered and place else None

    def after(self, member: Member) -> tuple[Member, ...]:
        """The lessons that may come after another: all but it where nothing says the order."""
        if self.ordered:
            return self.members[self.members.index(member) + 1 :]
        return tuple(one for one in self.members if one is not member and _may_follow(one, member))

    def has_next(self, member: Member) -> bool:
        """Whether the next lesson is at hand; where nothing says the order any may be."""
        if member.number is not None:
            return self.numbered(member.number + 1) is not None
        return bool(self.after(member))

    def named(self, words: str) -> Member | None:
        """The one lesson whose title has some words, None if there is none or several."""
        found = [one for one in self.members if words.casefold() in one.title.casefold()]
        return found[0] if len(found) == 1 else None

    def differences(
        self,
        lesson: Lesson,
        told: Callable[[Member], Mapping[Any, T]],
        differ: Callable[[T, T], bool],
    ) -> Iterator[tuple[T, Member, T]]:
        """What a lesson says that another says differently: its own words, the other, its words.

        `told` gives what a lesson says by what it is said of. Each is held against the first
        lesson before it from which it differs; the same pair is given for both its lessons.
        """
        if (told, differ) not in self._found:
            self._found[told, differ] = self._differing(told, differ)
        yield from self._found[told, differ].get(self.member(lesson), ())

    @cached_property
    def _found(self) -> dict[Any, dict[Member, list[tuple[Any, Member, Any]]]]:
        """The differences found already: every lesson of the series asks for its own."""
        return {}

    def _differing(
        self, told: Callable[[Member], Mapping[Any, T]], differ: Callable[[T, T], bool]
    ) -> dict[Member, list[tuple[T, Member, T]]]:
        by_matter: dict[Any, list[tuple[Member, T]]] = defaultdict(list)
        for member in self.members:
            for about, words in told(member).items():
                by_matter[about].append((member, words))
        out: dict[Member, list[tuple[T, Member, T]]] = defaultdict(list)
        for said in by_matter.values():
            for k, (later, words) in enumerate(said):
                found = ((one, other) for one, other in said[:k] if differ(other, words))
                for earlier, other in islice(found, 1):
                    out[later].append((words, earlier, other))
                    out[earlier].append((other, later, words))
        return out


def _may_follow(one: Member, other: Member) -> bool:
    return one.number is None or other.number is None or one.number > other.number


def series_of(told: Sequence[tuple[Lesson, tuple[Any, ...]]]) -> tuple[Series, ...]:
    """The series among lessons, each with its judged statements: those that name the same one,
    or all of them where none names any. A series has two lessons or more."""
    by_name: dict[str, list[tuple[Lesson, tuple[Any, ...]]]] = defaultdict(list)
    for lesson, verdicts in told:
        by_name[_name_of(lesson)].append((lesson, verdicts))
    if len(by_name) > 1:
        by_name.pop("", None)
    return tuple(_series(lessons) for lessons in by_name.values() if len(lessons) > 1)


def _series(told: Sequence[tuple[Lesson, tuple[Any, ...]]]) -> Series:
    found = [_number_of(lesson) for lesson, _ in told]
    counts = Counter(found)
    numbers = [number if counts[number] == 1 else None for number in found]
    dates = [_date_of(lesson) for lesson, _ in told]
    dated = None not in dates and len(set(dates)) == len(dates)
    order = list(range(len(told)))
    if dated and None in numbers:
        order.sort(key=lambda k: dates[k] or ())
        if not any(found):
            numbers = [order.index(k) + 1 for k in range(len(told))]
    else:  # those with numbers in their order, the rest where it was given
        numbered = [k for k in order if numbers[k] is not None]
        in_order = iter(sorted(numbered, key=lambda k: numbers[k] or 0))
        order = [k if numbers[k] is None else next(in_order) for k in order]
    members = tuple(Member(told[k][0], tuple(told[k][1]), numbers[k]) for k in order)
    return Series(members, None not in numbers or dated)


def notes_on(lessons: Sequence[Lesson]) -> tuple[tuple[Lesson, str], ...]:
    """What a teacher would not see of comparing lessons: those compared with none, and numbers
    that two have; each with a lesson it is said of."""
    by_name: dict[str, list[Lesson]] = defaultdict(list)
    for lesson in lessons:
        by_name[_name_of(lesson)].append(lesson)
    if len(lessons) < 2:
        return ()
    out: list[tuple[Lesson, str]] = []
    for name, members in by_name.items():
        if len(by_name) > 1 and not name:
            reason = "it names no `series`, as others do: it is compared with none of them"
            out += [(lesson, f"{lesson.script.source.name}: {reason}") for lesson in members]
            continue
        if len(members) == 1:
            (lesson,) = members
            reason = f"no other lesson of the series '{lesson.front.series}' is here to compare"
            out.append((lesson, f"{lesson.script.source.name}: {reason}"))
        out += _numbered_alike(members)
    return tuple(out)


def _numbered_alike(lessons: Sequence[Lesson]) -> Iterator[tuple[Lesson, str]]:
    by_number: dict[int | None, list[Lesson]] = defaultdict(list)
    for lesson in lessons:
        by_number[_number_of(lesson)].append(lesson)
    for number, same in by_number.items():
        if number is not None and len(same) > 1:
            names = " and ".join(lesson.script.source.name for lesson in same)
            yield same[0], f"{names} have the same number, {number}: it is used for none of them"


def _name_of(lesson: Lesson) -> str:
    return " ".join(lesson.front.series.split()).casefold()


def _number_of(lesson: Lesson) -> int | None:
    stem = _DATED.sub("", _stem(lesson), count=1)
    found = _IN_TITLE.search(lesson.front.title) or _IN_FILE.search(stem)
    said = next((one for one in found.groups() if one), "") if found else ""
    return count_said(said) if said else None


def _date_of(lesson: Lesson) -> tuple[int, ...] | None:
    """The date of a lesson in its head, else in front of the name of its file."""
    if _DAY.fullmatch(lesson.front.date):
        return tuple(int(part) for part in re.split(r"[-./]", lesson.front.date))
    found = _DATED.match(_stem(lesson))
    if found is None or found["year"] is None:
        return None
    return tuple(int(part) for part in found.group("year", "month", "day") if part)


def _stem(lesson: Lesson) -> str:
    return PurePath(lesson.script.source.name.replace("\\", "/")).stem


__all__ = [
    "Choice",
    "Member",
    "Series",
    "asks_what_to_play",
    "notes_on",
    "question_of",
    "series_of",
]
