"""The statements of a lesson: what the teacher says, judged on the board at that place."""

from __future__ import annotations

import json
import re
from bisect import bisect_right
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace
from functools import cache
from itertools import takewhile
from typing import TYPE_CHECKING

import chess

from linewright.expressions import expression
from linewright.inline import Inline, Link, MarkKind, Move, Text
from linewright.judged_answers import Asked, asked_of, judged_answer, judged_in_words, reply_of
from linewright.kept_verdicts import Kept
from linewright.lesson import Lesson, Node, PlacedExercise, Step
from linewright.opening_words import not_of_the_part_before
from linewright.script import Block, BlockKind
from linewright.source import Span
from linewright.statements import Answer, Statement, Verdict, judge, judged_at
from linewright.statements import Link as Pointed

if TYPE_CHECKING:
    from linewright.judged_place import Judges, Place

Found = tuple[Verdict, ...]

BEFORE, AFTER = 3, 4
"""So many boards before and after its own a sentence of a talk may be about."""

READ = {BlockKind.PARAGRAPH, BlockKind.ITEM, BlockKind.QUOTE}
"""Blocks whose statements are judged: what is spoken, and what is printed beside it."""


def judge_lesson(
    lesson: Lesson,
    judges: Judges | Callable[[], Judges] | None = None,
    kept: Kept | None = None,
) -> tuple[Verdict, ...]:
    """The verdicts on all statements of a lesson, in order, with their places in the source.

    Headings and private notes are left out, block quotes are read, the questions and answers of
    exercises on their own boards. What was spoken in a talk may
    be said of a board shortly before or after. `judges` may be made when
    they are first needed; `kept` may remember verdicts from before. Cost: linear in the words.
    """

    @cache
    def ground() -> tuple[Callable[[int], Place], Judges | None]:
        asked = judges() if callable(judges) else judges
        return places(lesson, asked), asked

    shared = json.dumps(shared_positions(lesson), sort_keys=True) if kept else ""
    verdicts: list[Verdict] = []
    for block in lesson.script.blocks:
        if block.kind not in READ or not block.inlines:
            continue
        text, links = readable(lesson.script.source.text, block)
        start = block.inlines[0].span.start

        summing_up = _sums_up(block, text)

        def told(
            text: str = text,
            links: Sequence[Pointed] = links,
            start: int = start,
            summing_up: bool = summing_up,
        ) -> Found:
            at, asked = ground()
            near = _near(lesson, at, start) if lesson.front.talk else None
            found = judge(
                text, lambda offset: at(start + offset), None, asked, links, near, near is None
            )
            found = tuple(_named_ahead(verdict, at(start + len(text))) for verdict in found)
            if not summing_up:
                return found
            ends = _ends(lesson, at)
            moved = (_told_of_a_move(verdict, lesson, at) for verdict in found)
            return tuple(_summed_up(verdict, ends) for verdict in moved)

        if kept is None:
            found = told()
        else:
            whole = lesson.script.blocks if summing_up else None
            boards = "\n".join(_boards(lesson, one) for one in whole or (block,) if one.inlines)
            found = kept.judged(told, text, str(links), str(lesson.front.taught), shared, boards)
        verdicts.extend(_moved(found, start))
    verdicts = list(not_of_the_part_before(verdicts, lesson, lambda: ground()[0]))
    for exercise in lesson.exercises:
        of_it = tuple(_of_exercise(exercise, judges, kept))
        verdicts.extend(of_it)
        verdicts.extend(_of_words_for_answer(exercise, of_it, judges))
    return tuple(sorted(verdicts, key=lambda verdict: verdict.statement.span))


def _of_exercise(
    exercise: PlacedExercise, judges: Judges | Callable[[], Judges] | None, kept: Kept | None
) -> Iterator[Verdict]:
    """The verdicts on what the question and the answer of an exercise say, and on a "true" or "no"
    that answers: one that says why in words that fail is not counted twice."""
    told = judge_lesson(exercise.answer, judges, kept)
    asked = judge_lesson(exercise.task, judges, kept)
    question, answer = (_passage_of(one) for one in (exercise.task, exercise.answer))
    put = asked_of(question[1]) if question else None
    if not (question and put):
        yield from (_of_question(verdict, exercise.task, judges) for verdict in asked)
        yield from told
        return
    span = Span(question[0] + put.span.start, question[0] + put.span.end)
    claimed = [v for v in asked if put.claim and v.statement.span.start in span]
    beside = [_of_question(v, exercise.task, judges) for v in asked if v not in claimed]
    reply = reply_of(answer[1]) if answer else None
    if answer and reply:
        told = tuple(v for v in told if v.statement.span.start - answer[0] not in reply)
    why = _not_judged(exercise, put, reply, beside)
    if why and put.claim:
        beside = [_undecided(v, why) if v.answer is Answer.FAILS else v for v in beside]
        yield from (_undecided(verdict, why) for verdict in claimed)
    yield from beside
    yield from told
    if why or not answer or any(v.answer is Answer.FAILS for v in told):
        return
    end = places(exercise.task, judges() if callable(judges) else judges)
    last = len(exercise.task.script.source.text)
    if found := judged_answer(question[1], put, answer[1], end(last)):
        yield from _moved((found,), answer[0])


def _of_words_for_answer(
    exercise: PlacedExercise,
    told: Sequence[Verdict],
    judges: Judges | Callable[[], Judges] | None,
) -> Iterator[Verdict]:
    """The verdict on an answer that names what the question asks for: "How many pawns has White?"

    An answer that plays moves, or of which something else is judged already, is left alone.
    """
    question, answer = (_passage_of(one) for one in (exercise.task, exercise.answer))
    if not question or not answer or exercise.answer.moves:
        return
    if any(v.statement.span.start >= answer[0] for v in told):
        return
    at = places(exercise.task, judges() if callable(judges) else judges)
    begins = question[0]
    if found := judged_in_words(question[1], answer[1], lambda offset: at(begins + offset)):
        yield from _moved((found,), answer[0])


def _not_judged(
    exercise: PlacedExercise, put: Asked, reply: Span | None, beside: Sequence[Verdict]
) -> str:
    """Why the reply of an answer is not judged; empty if it is.

    What fails beside a claim may be a claim as well, of which the reply is told.
    """
    if reply is None:
        return "the exercise asks whether it is so, and its answer says neither"
    if exercise.answer.moves and not exercise.task.moves:
        return "the answer plays moves, and may speak of the board after them"
    if not put.single or (put.claim and any(v.answer is Answer.FAILS for v in beside)):
        return "the exercise asks of more than one claim, and its answer may be to another"
    return ""


def _undecided(verdict: Verdict, because: str) -> Verdict:
    return replace(verdict, answer=Answer.CANNOT_TELL, because=because, offer="", repair="")


def _passage_of(told: Lesson) -> tuple[int, str] | None:
    """Where the question or answer of an exercise begins, and its words; None if there are none."""
    block = next((block for block in told.script.blocks if block.inlines), None)
    if block is None:
        return None
    return block.inlines[0].span.start, readable(told.script.source.text, block)[0]


def _of_question(
    verdict: Verdict, task: Lesson, judges: Judges | Callable[[], Judges] | None
) -> Verdict:
    """A verdict on what a question says, which may be of the board it ends with all along:
    "White to move. Black has just played 18...Nd4."."""
    if verdict.answer is Answer.HOLDS:
        return verdict
    end = places(task, judges() if callable(judges) else judges)(len(task.script.source.text))
    return _holding_at(verdict, end) or verdict


def _named_ahead(verdict: Verdict, end: Place) -> Verdict:
    """A verdict on a name said before the moves it belongs to ("this is the Sicilian: 1.e4 c5"):
    it may be of the board that its block reaches."""
    if verdict.statement.family != "names" or verdict.answer is not Answer.FAILS:
        return verdict
    return _holding_at(verdict, end) or verdict


def _holding_at(verdict: Verdict, place: Place) -> Verdict | None:
    """The verdict on the same words at another place, if they hold there."""
    found = judged_at(verdict, place)
    return next((again for again in found if again.answer is Answer.HOLDS), None)


_SUMS_UP = expression(
    r"\W*(?:so |and |now )?(?:to sum (?:it |this |things )?up|summing up|to summari[sz]e|"
    r"in summary|to recap|let (?:us|me) (?:sum up|recap|summari[sz]e))\b",
    re.IGNORECASE,
)
_LABEL = expression(
    r"\W*(?:(?:things|what|points?|rules?) )?(?:to )?(?:please )?(?:remember|summary|summing up|"
    r"sum up|recap|in short|in brief|in a nutshell|(?:the )?key (?:idea|point)s?|take[ -]?aways?|"
    r"take home|(?:the )?lessons?|(?:the )?rules?|conclusions?|review)\b",
    re.IGNORECASE,
)
"""What stands in bold before a box that says again what the lesson has shown."""


def heads_summary(title: str) -> bool:
    """Whether a heading or label stands over what says again what the lesson has shown.

    >>> [heads_summary(t) for t in ("What to take home", "In short", "The trap")]
    [True, True, False]
    """
    return bool(_LABEL.match(title))


def _sums_up(block: Block, text: str) -> bool:
    """Whether a block says again what was shown: a summing up, or a box with such a label."""
    bold = takewhile(lambda one: isinstance(one, Text) and one.style.strong, block.inlines)
    label = "".join(one.text for one in bold if isinstance(one, Text))
    boxed = block.kind is BlockKind.QUOTE and heads_summary(label)
    return bool(boxed or _SUMS_UP.match(text))


_A_SQUARE = expression(r"\b[a-h][1-8]\b")
_GOES = expression(r"\b(?:goes|moves|comes|jumps|travels|heads|swings|switches|retreats) ")


def _summed_up(verdict: Verdict, boards: Sequence[Place]) -> Verdict:
    """A verdict on what is said where a lesson is summed up, of the boards that its lines and parts
    end with: where men stand is so if it was so on one of them, the last ones first.

    What names no square is left as it is: of some board it is nearly always so.
    """
    if verdict.answer is not Answer.FAILS or not _A_SQUARE.search(verdict.statement.words):
        return verdict
    for place in boards:
        if again := _holding_at(verdict, place):
            return replace(again, because=f"on a board shown before: {again.because}")
    return verdict


def _ends(lesson: Lesson, at: Callable[[int], Place]) -> list[Place]:
    """The boards with which lines and parts end, the last ones first, each once.

    No others are asked: on the starting board, and on those before its first move, a man stands
    where nobody speaks of it.
    """
    leaves = {node.index for node in lesson.tree.leaves()}
    heads = [b.span.start for b in lesson.script.blocks if b.kind is BlockKind.HEADING]
    last = {bisect_right(lesson.starts, head) - 1 for head in heads}
    steps = [s for n, s in enumerate(lesson.steps) if n in last or s.after in leaves]
    found = {place.fen: place for place in (at(step.span.start) for step in reversed(steps))}
    return [place for fen, place in found.items() if fen != lesson.tree.nodes[0].fen]


def _told_of_a_move(verdict: Verdict, lesson: Lesson, at: Callable[[int], Place]) -> Verdict:
    """A verdict on what tells of a move between two squares ("the rook on f8 goes to b8"), where
    the lesson plays one: so it is, unless on the board before it the words are wrong.

    There they may well be no statement at all: that a knight can make its move is not judged.
    """
    words = verdict.statement.words
    squares = set(_A_SQUARE.findall(words))
    if verdict.answer is not Answer.FAILS or len(squares) < 2:
        return verdict
    shown = {0: -1, **{step.after: step.span.start for step in lesson.steps}}
    for node in reversed(lesson.tree.nodes[1:]):
        assert node.move is not None
        ends = {chess.square_name(s) for s in (node.move.from_square, node.move.to_square)}
        if node.parent not in shown or not ends <= squares:
            continue
        again = judged_at(verdict, at(shown[node.parent]))
        if all(one.answer is Answer.HOLDS for one in again) and (again or _GOES.search(words)):
            because = f"the lesson plays it: {node.label}"
            return replace(verdict, answer=Answer.HOLDS, because=because, offer="", repair="")
    return verdict


def _near(
    lesson: Lesson, at: Callable[[int], Place], start: int
) -> Callable[[int], Sequence[Place]]:
    """The places shortly before and after a place in a block that begins at `start`.

    Those on its own line come first, with the next ones that the lesson shows there: behind "he
    gets doubled pawns" the talk may tell another line before it goes on.
    """

    def near(offset: int) -> Sequence[Place]:
        index = bisect_right(lesson.starts, start + offset)
        around = lesson.steps[max(0, index - BEFORE) : index + AFTER]
        here = lesson.at(start + offset).node
        own = {node.index for node in (*lesson.tree.line(here), *_ahead(lesson, here))}
        on = [step for step in around if step.after in own]
        later = [step for step in _shown(lesson, here) if step not in on]
        return [at(s.span.start) for s in (*on, *later, *(s for s in around if s not in on))]

    return near


AHEAD = 2
"""So many half-moves of its own line may be spoken of before they are told."""


def _ahead(lesson: Lesson, node: int) -> tuple[Node, ...]:
    return lesson.tree.main_line(node)[:AHEAD]


def _shown(lesson: Lesson, node: int) -> list[Step]:
    """The steps that first show the next boards of a node's line."""
    first: dict[int, Step] = {}
    for step in lesson.steps:
        first.setdefault(step.after, step)
    return [first[one.index] for one in _ahead(lesson, node) if one.index in first]


def _boards(lesson: Lesson, block: Block) -> str:
    """The boards of a block with the moves to them, each with where it comes up."""
    start, end = block.inlines[0].span.start, block.inlines[-1].span.end
    offsets = [step.span.start for step in lesson.steps if start < step.span.start < end]
    if lesson.front.talk:
        here = range(*(bisect_right(lesson.starts, place) for place in (start, end)))
        around = lesson.steps[max(0, here.start - BEFORE) : here.stop + AFTER]
        offsets = [step.span.start for step in around]
    nodes = lesson.tree.nodes
    told = []
    for offset in (start, *offsets):
        place = lesson.at(offset)
        ahead = _ahead(lesson, place.node) if lesson.front.talk else ()
        line = " ".join(n.move.uci() for n in (*lesson.tree.line(place.node), *ahead) if n.move)
        told.append(f"{offset - start} {line} {place.fen} {place.imagined is not None}")
    return "\n".join((nodes[0].fen, *told))


_BEFORE_STOP = expression(r" ([,.;:!?])(?= |$)")
"""What a mark left between its last word and a comma."""


def _moved(verdicts: Iterable[Verdict], start: int) -> Iterator[Verdict]:
    """Verdicts about a block as verdicts about the source."""
    for verdict in verdicts:
        span = verdict.statement.span
        moved = Span(start + span.start, start + span.end)
        words = _BEFORE_STOP.sub(r"\1", " ".join(verdict.statement.words.split()))
        yield replace(verdict, statement=Statement(moved, words, verdict.statement.family))


def readable(source: str, block: Block) -> tuple[str, list[Pointed]]:
    """The words of a block without its marks, each at its old distance from the first."""
    start = block.inlines[0].span.start
    letters = [" "] * (block.inlines[-1].span.end - start)
    links: list[Pointed] = []
    _write(source, block.inlines, start, letters, links)
    return "".join(letters), links


def _write(
    source: str, inlines: Sequence[Inline], start: int, letters: list[str], links: list[Pointed]
) -> None:
    for inline in inlines:
        if isinstance(inline, Link):
            squares = tuple(
                m.square
                for m in inline.marks
                if m.to is None and (m.kind in {MarkKind.POINT, MarkKind.WEAK})
            )
            if squares and inline.children:
                first, last = inline.children[0].span.start, inline.children[-1].span.end
                links.append((first - start, last - start, squares))
            _write(source, inline.children, start, letters, links)
            continue
        words = source[inline.span.start : inline.span.end]
        if isinstance(inline, Text):
            if inline.style.code:
                continue
            if len(inline.text) == len(words):
                words = inline.text
        elif not isinstance(inline, Move) and not hasattr(inline, "written"):
            words = words if type(inline).__name__ == "Paren" else " " * len(words)
        for index, letter in enumerate(words):
            letters[inline.span.start - start + index] = " " if letter == "\n" else letter


def shared_positions(lesson: Lesson) -> dict[str, str]:
    """The positions that two lines of the lesson reach, each with the first move that led there."""
    return reached_twice((node.fen, node.label) for node in lesson.tree.nodes)


def reached_twice(reached: Iterable[tuple[str, str]]) -> dict[str, str]:
    """The positions that two lines reach, each with the first move that led there; `reached` are
    the boards (FEN) of all moves, each with its move ("5...Nf6").
    """
    first: dict[str, str] = {}
    shared: dict[str, str] = {}
    for fen, move in reached:
        key = " ".join(fen.split()[:4])
        if key in first:
            shared[key] = first[key]
        else:
            first[key] = move
    return shared


def places(lesson: Lesson, judges: Judges | None = None) -> Callable[[int], Place]:
    """The board, with the moves that led there, for any place of the script."""
    from linewright.judged_place import Judges, Place

    taught = {"White": chess.WHITE, "Black": chess.BLACK}.get(lesson.front.taught or "")
    known = replace(judges or Judges(), lines=shared_positions(lesson))
    imagined: dict[str, Place] = {}
    followed = {0: Place(lesson.tree.nodes[0].board(), taught, known)}

    def reached(index: int) -> Place:
        for node in () if index in followed else lesson.tree.line(index):
            if node.index not in followed:
                assert node.parent is not None
                assert node.move is not None
                before = followed[node.parent]
                board = before.board.copy()
                board.push(node.move)
                followed[node.index] = Place(board, taught, known, before=before)
        return followed[index]

    @cache
    def at(offset: int) -> Place:
        place = lesson.at(offset)
        if place.imagined is None:
            return reached(place.node)
        if place.fen not in imagined:
            imagined[place.fen] = Place(chess.Board(place.fen), taught, known, imagined=True)
        return imagined[place.fen]

    return at
