"""The proof sheet of a talk: what was heard, with times, and what to look at beside it.

One HTML file, no script, nothing loaded from anywhere.
"""

from __future__ import annotations

import json
import re
from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cache

import chess
from markupsafe import Markup

from linewright.clock import clock
from linewright.drawing import Sign, shared_shapes, signs
from linewright.finding import Finding
from linewright.hearing_again import Again, Otherwise, behind_text
from linewright.hearing_text import Placed, Row, rows_of
from linewright.html import render
from linewright.margin import (
    LOOKS,
    MOST_DIAGRAMS,
    Diagrams,
    MarginNote,
    counted,
    sentence,
    statement_counts,
    stylesheet,
    tally,
    told,
)
from linewright.statements import Verdict
from linewright.talk.answers import overlap, place_of
from linewright.talk.heard import Heard, HeardLine, HeardSlip, Question, Said, WhatIf, line_text
from linewright.talk.meant import meaning
from linewright.talk.read_first import read_first
from linewright.talk.record import when
from linewright.talk.titles import title_of
from linewright.talk.transcript import Timing
from linewright.talk.writing import (
    LOOK_FIRST_BELOW,
    PERHAPS_BELOW,
    how_to_refuse,
    mend,
)
from linewright.typography import curled_text, printed

Judged = tuple[Verdict, Said, tuple[str, ...]]
"""A judged statement, its words and the moves to its board."""


NEAR = 30
"""Notes fewer words apart than this share a board, if they show the same."""


def hearing_sheet(
    heard: Heard,
    statements: Sequence[Judged] = (),
    answers: Sequence[tuple[str, str]] = (),
    again: Again | None = None,
) -> str:
    """The proof sheet of a hearing as the text of an HTML page.

    `answers` are the teacher's to earlier questions, which are not asked again, `again` what is
    heard otherwise than at the hearing before, if there was one.
    """
    drafts = sorted(_drafts(heard, statements), key=_order)
    notes = _numbered(heard, drafts)
    rows = rows_of(heard, notes) if heard.transcript.words else []
    starts = _lines_of(rows)
    findings = [_Found.of(finding, heard) for finding in heard.transcript.findings]
    return render(
        "hearing.html",
        language="en",
        club="",
        opening="",
        css=Markup(stylesheet("hearing.css")),
        shapes=Markup(shared_shapes()),
        title=title_of(heard),
        file=_file(heard),
        facts=_timing(heard),
        size=_size(heard),
        heard=heard,
        script=f"{stem_of(heard)}.script.md",
        most_boards=MOST_DIAGRAMS,
        failed=heard.transcript.refused,
        findings=findings,
        tally=tally(note.margin for note in notes),
        counts=_counts(heard),
        without=max(0, sum(bool(draft.fen) for draft in drafts) - MOST_DIAGRAMS),
        todo=list(_todo(drafts)),
        first=[(_anchor(one.said, starts), when(one.said), one) for one in read_first(heard)],
        again=again,
        otherwise=[_Otherwise.of(place, starts) for place in again.places] if again else [],
        statements=statement_counts([verdict for verdict, *_ in statements]),
        verdicts=list(_verdicts(statements, starts)),
        rows=rows,
        lines=_lines(heard),
        changes=list(_changes(heard)),
        refusal=how_to_refuse(heard),
        answers=answers,
    )


# --- the head ---------------------------------------------------------------------------------


def stem_of(heard: Heard) -> str:
    return _file(heard).rpartition(".")[0] or _file(heard)


def _file(heard: Heard) -> str:
    return heard.transcript.source.name.replace("\\", "/").rsplit("/", 1)[-1]


def _timing(heard: Heard) -> str:
    words, measured = len(heard.transcript.words), heard.transcript.measured
    if 0 < measured < words:
        return f"times of {measured} of {words} words measured, the others estimated"
    return {
        Timing.MEASURED: "times measured",
        Timing.ESTIMATED: "times estimated within the captions",
        Timing.NONE: "without times: places are counted in words",
    }[heard.transcript.timing]


def _size(heard: Heard) -> str:
    end = heard.transcript.end_ms
    words = counted(len(heard.transcript.words), "spoken word")
    return words if end is None else f"{words} · {clock(end)}"


def _counts(heard: Heard) -> str:
    """Lines, moves and corrections in one sentence."""
    kinds = [line.kind for line in heard.lines]
    by_kind = ", ".join(
        f"{kinds.count(kind)} {kind}"
        for kind in ("shown", "supposed", "mentioned")
        if kind in kinds
    )
    said = sum(1 for move in heard.moves.values() if move.said)
    lines = counted(len(kinds), "line") + (f" ({by_kind})" if by_kind else "")
    moves = f"{counted(said, 'move')} said, {len(heard.moves) - said} not said"
    return f"{lines} · {moves} · {counted(len(heard.caption_changes), 'caption correction')}"


@dataclass(frozen=True, slots=True)
class _Found:
    """A finding about the talk's file as the head of the sheet tells it."""

    look: str
    name: str
    where: str
    message: str

    @classmethod
    def of(cls, finding: Finding, heard: Heard) -> _Found:
        line, _ = heard.transcript.source.line_column(finding.span.start)
        where = f"{finding.rule} · line {line}" if finding.span.end else finding.rule
        look = finding.severity.value
        return cls(look, look.capitalize(), where, sentence(finding.message))


# --- notes ------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Draft:
    """A note before it has its number and its board, and its row in the table of things to do."""

    said: Said
    margin: MarginNote
    fen: str
    marks: tuple[Sign, ...] = ()
    imagined: bool = False
    meant: str = ""
    sure: str = ""
    after: tuple[str, ...] = ()


def _order(draft: _Draft) -> tuple[int, int, int]:
    return draft.said.first, LOOKS.index(draft.margin.look), draft.said.end


def _drafts(heard: Heard, statements: Sequence[Judged]) -> Iterator[_Draft]:
    yield from (_of_slip(slip) for slip in heard.slips)
    yield from (_of_question(question) for question in heard.questions)
    yield from (_of_board(board) for board in heard.what_if)
    for verdict, said, line in statements:
        if verdict.verdict == "fails" and not tells_slip(heard, said):
            yield _of_statement(verdict, said, line)


def tells_slip(heard: Heard, said: Said) -> bool:
    """Whether a slip is told of some of these words: then nothing else is wrong with them."""
    words = (said.first, said.end)
    return any(overlap((slip.said.first, slip.said.end), words) for slip in heard.slips)


def _of_slip(slip: HeardSlip) -> _Draft:
    percent = f"{round(100 * slip.sure)} % sure"
    sure = slip.sure >= LOOK_FIRST_BELOW
    name = "Perhaps a slip" if slip.sure < PERHAPS_BELOW else "Slip"
    meant = meaning(slip)
    margin = MarginNote(
        0, "error", name, f"{when(slip.said)} · wrong {slip.kind} · {percent}",
        sentence(f'said "{slip.said.text}", meant {printed(meant)}'), sentence(slip.stood),
        mend=sentence(mend(slip)) + (" Or in the captions:" if sure else ""),
        to_copy=(f"{slip.said.text} [means {meant}]",) if sure else (),
    )  # fmt: skip
    marks = tuple(_marks(slip.line, (slip.meant,)))
    return _Draft(
        slip.said, margin, _fen(slip.line), marks, False, printed(meant), percent, slip.line
    )


def _of_question(question: Question) -> _Draft:
    place = place_of(question.said)
    pairs = [f"{_quoted(place)}: {_quoted(choice)}" for choice in question.choices]
    margin = MarginNote(
        0, "note", "Question", when(question.said),
        f"{printed(sentence(question.text).rstrip('.'))}?",
        mend="To answer, in the script’s head (or any other move in SAN, or only talk):",
        to_copy=tuple(pairs),
    )  # fmt: skip
    marks = tuple(_marks(question.line, question.choices))
    meant = printed(" or ".join(question.choices))
    return _Draft(
        question.said, margin, _fen(question.line), marks, False, meant, "", question.line
    )


def _of_board(board: WhatIf) -> _Draft:
    message = sentence(f'"{board.said.text}" is this board')
    where = f"{when(board.said)} · ?{board.edits}"
    margin = MarginNote(0, "note", "Imagined board", where, message)
    return _Draft(board.said, margin, board.fen, (), True, after=board.line)


def _of_statement(verdict: Verdict, said: Said, line: tuple[str, ...]) -> _Draft:
    offer = f" {sentence(verdict.offer)}" if verdict.offer else ""
    margin = MarginNote(
        0, "warning", "Failing statement", f"{when(said)} · {verdict.statement.family}",
        sentence(f'"{verdict.statement.words}" fails'), sentence(verdict.because) + offer,
        repairs=(verdict.repair,) if verdict.repair else (),
    )  # fmt: skip
    fen = verdict.fen or _fen(line)
    return _Draft(said, margin, fen, signs("point", verdict.squares, verdict.arrows), after=line)


def _quoted(text: str) -> str:
    """Text as YAML writes it in double quotes."""
    return json.dumps(text, ensure_ascii=False)


@cache
def _board(line: tuple[str, ...]) -> chess.Board:
    """The board after moves; not to be changed."""
    board = chess.Board()
    for san in line:
        board.push_san(san)
    return board


def _fen(line: tuple[str, ...]) -> str:
    return _board(line).fen()


def _marks(line: tuple[str, ...], meant: Sequence[str]) -> Iterator[Sign]:
    """An arrow for each move that may be meant, a ring for a piece said to stand somewhere."""
    for words in meant:
        san = re.sub(r"^\d+\.+", "", words)
        try:
            move = _board(line).parse_san(san)
        except ValueError:
            if place := re.fullmatch(r"[KQRBN]?([a-h][1-8])", san):
                yield Sign("point", place[1])
            continue
        yield Sign("point", chess.square_name(move.from_square), chess.square_name(move.to_square))


def _numbered(heard: Heard, drafts: Sequence[_Draft]) -> list[Placed]:
    """The notes with numbers and boards. Where boards run out, slips keep theirs longest."""
    by_weight = sorted(
        (k for k, draft in enumerate(drafts) if draft.fen),
        key=lambda k: (LOOKS.index(drafts[k].margin.look), k),
    )
    drawn = set(by_weight[:MOST_DIAGRAMS])
    diagrams = Diagrams(heard.me == "b")
    placed: list[Placed] = []
    for k, draft in enumerate(drafts):
        if (placed and draft.said.first - placed[-1].said.first > NEAR) or k not in drawn:
            diagrams.before = None
        fen = draft.fen if k in drawn else None
        board, turn = diagrams.draw(fen, draft.marks, draft.imagined)
        caption = f"{_after(draft)}{turn}" if board else ""
        margin = replace(draft.margin, number=k + 1, board=board, turn=caption)
        placed.append(Placed(draft.said, margin))
    return placed


def _after(draft: _Draft) -> str:
    if not draft.after or draft.imagined:
        return ""
    return printed(f"After {line_text(draft.after[-1:], len(draft.after) - 1)}. ")


# --- tables -----------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _ToDo:
    """A slip or a question as the table at the top lists it."""

    number: int
    look: str
    name: str
    time: str
    said: str
    meant: str
    sure: str


def _todo(drafts: Sequence[_Draft]) -> Iterator[_ToDo]:
    for number, draft in enumerate(drafts, 1):
        if draft.meant:
            margin = draft.margin
            yield _ToDo(
                number, margin.look, margin.name, when(draft.said), curled_text(draft.said.text),
                draft.meant, draft.sure,
            )  # fmt: skip


def _verdicts(statements: Sequence[Judged], starts: Sequence[int]) -> Iterator[object]:
    """The statements with the line of the sheet each stands in."""
    for verdict, said, _ in statements:
        yield told(verdict, when(said), _anchor(said, starts))


def _anchor(said: Said, starts: Sequence[int]) -> str:
    """The line of the sheet that words begin in; `starts` are the words that lines begin with."""
    return f"l{starts[bisect_right(starts, said.first) - 1]}"


def _lines_of(rows: Sequence[Row]) -> list[int]:
    """The words that the lines of the sheet begin with."""
    return [int(line.anchor[1:]) for row in rows for line in row.lines if line.anchor]


def _with_whole_moves(text: str) -> Markup:
    """Words in which no line ends between a move and its number."""
    parts = printed(text).split(" ")
    whole = Markup('<span class="whole">{}</span>')
    return Markup(" ").join(whole.format(part) if "…" in part else part for part in parts)


@dataclass(frozen=True, slots=True)
class _Otherwise:
    """A place that is heard otherwise than before, as the table of them lists it."""

    anchor: str
    time: str
    said: str
    was: Markup
    now: Markup
    behind: str
    answer: str

    @classmethod
    def of(cls, place: Otherwise, starts: Sequence[int]) -> _Otherwise:
        return cls(
            _anchor(place.said, starts), when(place.said), curled_text(place.said.text),
            _with_whole_moves(place.was), _with_whole_moves(place.now),
            behind_text(place), place.answer,
        )  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Change:
    number: int
    time: str
    was: str
    now: str
    sure: str


def _changes(heard: Heard) -> Iterator[_Change]:
    for number, change in enumerate(heard.caption_changes, 1):
        percent = f"{round(100 * change.sure)} %"
        yield _Change(number, when(change.said), change.said.text, change.now, percent)


@dataclass(frozen=True, slots=True)
class _LineMove:
    """A move of a line; `kind` is told where it changes."""

    label: str
    unsaid: bool
    kind: str


@dataclass(frozen=True, slots=True)
class _Shown:
    """A line of the talk: what it has in common with lines before it, and what it adds."""

    kind: str
    time: str
    before: str
    moves: tuple[_LineMove, ...]


def _lines(heard: Heard) -> list[_Shown]:
    """The lines in the order in which what they add is said."""
    rows = sorted(_lines_with_places(heard), key=lambda row: row[0])
    return [shown for _, shown in rows]


def _lines_with_places(heard: Heard) -> Iterator[tuple[int, _Shown]]:
    """Each line with the word that what it adds begins at, the last line's where it adds none."""
    place = 0
    listed: set[int] = set()
    for line in heard.lines:
        new = [move for move in line.moves if move.node not in listed]
        known = len(line.moves) - len(new)
        listed.update(move.node for move in new)
        said = next((move.said for move in new if move.said), None)
        before = printed(line_text([move.san for move in line.moves[:known]]))
        place = said.first if said else place
        time = when(said) if said else ""
        yield place, _Shown(line.kind, time, before, _told_moves(line, known))


def _told_moves(line: HeardLine, known: int) -> tuple[_LineMove, ...]:
    new = line.moves[known:]
    labels = printed(line_text([move.san for move in new], known)).split(" ") if new else []
    kinds = ["shown", *(move.kind for move in line.moves)][known:]
    return tuple(
        _LineMove(label, move.said is None, "" if move.kind == before else move.kind)
        for label, move, before in zip(labels, new, kinds, strict=False)
    )
