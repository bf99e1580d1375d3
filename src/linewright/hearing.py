"""From a talk's file to what is made of it: read, hear, judge, write."""

from __future__ import annotations

import itertools
import os
import re
from bisect import bisect_right
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from hashlib import sha256
from pathlib import Path
from typing import Any

import chess

from linewright.build import load, made_in, write_file
from linewright.errors import CannotReadError
from linewright.expressions import expression
from linewright.finding import Finding, Severity
from linewright.hearing_again import Again, HeardBefore, again_lines, heard_again
from linewright.hearing_sheet import hearing_sheet, stem_of, tells_slip
from linewright.judged_place import Judges, Place
from linewright.script import parse
from linewright.source import NOWHERE, Source, Span
from linewright.statements import Answer, Verdict, judge
from linewright.statements_of_lesson import AFTER, BEFORE, reached_twice
from linewright.talk.answers import back_told, findings_of, is_told, place_of, without_answered
from linewright.talk.heard import Heard, HeardMove, HeardSlip, Said, hear
from linewright.talk.meant import meaning
from linewright.talk.mends import is_mended, names_meant
from linewright.talk.read_first import read_first
from linewright.talk.record import UNWEIGHED, when
from linewright.talk.sureness import doubtful_words, sure_slip
from linewright.talk.transcript import FileForm, Transcript, read_transcript, source_from_bytes
from linewright.talk.vocabulary import begins_question
from linewright.talk.writing import (
    PERHAPS_BELOW,
    changes_table,
    corrected_captions,
    head_told,
    script_text,
    slip_list,
)
from linewright.talk.written_answers import Written, quoted, without_answers, written_answers

Answers = tuple[tuple[str, str], ...]

Judged = tuple[tuple[Verdict, Said, tuple[str, ...]], ...]
"""Statements with their verdicts, their words and the moves to their boards."""


def hear_file(
    path: Path,
    recording: Path | None = None,
    answers: Answers = (),
    unread: Sequence[str] = (),
    *,
    of_script: bool = False,
) -> Heard:
    """The talk in a file, heard; with its recording every word gets a measured time.

    `answers` are the teacher's to earlier questions, `unread` lines among them that are none; an
    answer that cannot be followed is a finding. So is a recording that cannot be read, where it is
    one that the script of an earlier hearing names (`of_script`).

    Raises: CannotReadError.
    """
    try:
        data = path.read_bytes()
    except OSError as error:
        raise CannotReadError(str(path), (error.strerror or str(error)).lower()) from error
    source, found = source_from_bytes(path.name, data)
    if why := _why_a_script(source, path):
        raise CannotReadError(str(path), why)
    transcript = read_transcript(source)
    transcript = replace(transcript, findings=(*found, *transcript.findings))
    timed = transcript
    if recording is not None:
        try:
            timed = _timed_by(transcript, recording)
        except CannotReadError as error:
            if not of_script:
                raise
            timed = replace(transcript, findings=(*transcript.findings, _not_read(error)))
    heard = with_sides_told_wrong(hear(timed, answers=dict(answers)))
    return with_no_move_told(with_answers_told(replace(heard, unread_answers=tuple(unread))))


def _why_a_script(source: Source, path: Path) -> str:
    """That a file is a lesson script, with what to do; empty where it may be a talk."""
    front = parse(source).front
    if not front.talk and not (front.places and _NUMBERED_MOVE.search(source.text)):
        return ""
    talk = f", or hear its talk '{front.talk}'" if front.talk else ""
    return f"it is a lesson script, run 'linewright check {path}'{talk}"


_NUMBERED_MOVE = re.compile(r"\b1\.\s?[KQRBNOa-h0]")


def with_no_move_told(heard: Heard) -> Heard:
    """The same with a finding where nothing in the talk tells of a move."""
    transcript = heard.transcript
    if heard.moves or heard.questions or heard.what_if or transcript.refused:
        return heard
    message = (
        "no move was found in the talk: moves are told with their piece and square, as in"
        " 'knight f3'; is it the right file"
    )
    found = Finding("no-moves", Severity.ERROR, Span(0, len(transcript.source.text)), message)
    return replace(heard, transcript=replace(transcript, findings=(*transcript.findings, found)))


def recording_line(recording: Path, folder: Path) -> tuple[str, str]:
    """The line of a head that names a recording, from the folder of the script."""
    try:
        path = Path(os.path.relpath(recording.resolve(), folder.resolve()))
    except ValueError:  # on another drive
        path = recording.resolve()
    return "recording", f"recording: {quoted(path.as_posix())}"


def measured_text(heard: Heard, recording: Path) -> str:
    """How many words were found in a recording, in one line; empty where it could not be used."""
    transcript = heard.transcript
    if not transcript.measured:
        return ""
    words = len(transcript.words)
    return f"times of {transcript.measured} of {words} words measured in {recording.name}"


def with_answers_told(heard: Heard) -> Heard:
    """The same with a finding for each answer that could not be followed or read."""
    offers = {place_of(question.said): question.offer for question in heard.questions}
    found = [*findings_of(heard.answered, heard.unread_answers, offers), *back_told(heard)]
    transcript = heard.transcript
    told = replace(transcript, findings=(*transcript.findings, *found))
    return replace(heard, transcript=told)


def with_sides_told_wrong(heard: Heard) -> Heard:
    """The same with the statements that hold of the other side among the slips.

    "White is a queen down" where Black is: one says a side for the other readily. Of two slips that
    begin at one word the surer one stays.
    """
    told = {slip.said.first: slip for slip in heard.slips}
    found = []
    for verdict, said, line in _judged(heard):
        side = verdict.offer.removeprefix(OF_THE_OTHER)
        swapped = verdict.verdict == "fails" and verdict.offer == f"{OF_THE_OTHER}{side}"
        if not swapped or side not in ("White", "Black") or _is_left_out(heard, said):
            continue
        if _NAMES_A_SIDE.search(said.text) and not begins_question(said.text.lower().split()):
            slip = HeardSlip(said, side, "side", UNWEIGHED, verdict.because, line)
            slip = replace(slip, sure=sure_slip(heard, slip))
            if said.first not in told or told[said.first].sure < slip.sure:
                found.append(slip)
    better = {slip.said.first for slip in found}
    kept = (slip for slip in heard.slips if slip.said.first not in better)
    slips, answered = without_answered(
        tuple(sorted((*kept, *found), key=lambda slip: slip.said.first)),
        heard.answered,
        heard.transcript.words,
    )
    return replace(heard, slips=slips, answered=answered)


_NAMES_A_SIDE = re.compile(r"(?i)\b(white|black)\b")

OF_THE_OTHER = "it holds of "
"""How a verdict offers the other side."""


def _timed_by(transcript: Transcript, path: Path) -> Transcript:
    from linewright.talk.align import align_transcript
    from linewright.talk.recording import read_recording

    try:
        with path.open("rb") as file:
            return align_transcript(transcript, read_recording(path.name, file))
    except OSError as error:
        raise CannotReadError(str(path), (error.strerror or str(error)).lower()) from error


def _not_read(error: CannotReadError) -> Finding:
    message = (
        f"the recording that the script names cannot be used ({error}): the times are those of the"
        " talk; put it back, name another with --recording, or take 'recording:' out of the script"
    )
    return Finding("unusable-recording", Severity.ERROR, NOWHERE, message)


def answers_in(script: Path) -> Written:
    """The teacher's answers in the head of a script written before; none where there is none."""
    if not script.is_file():
        return Written()
    source, _ = load(script)
    return written_answers(source)


def statements_of(heard: Heard) -> Judged:
    """The statements of a talk about the boards it stands at, with their words and lines.

    What fails on a board that is in doubt is not decided; what the teacher has mended is left out,
    as are the men listed of a what-if board.
    """
    is_in_doubt = doubtful_words(heard)

    def decided(verdict: Verdict, said: Said) -> Verdict:
        if verdict.answer is Answer.HOLDS and _holds_a_slip(heard, said):
            because = "these words are told as a slip"
            return replace(_undecided(verdict), because=because)
        if verdict.answer is not Answer.FAILS:
            return verdict
        if _is_of_a_slip(heard, verdict, said):
            because = f"it is said of what was said wrong before: {verdict.because}"
            return replace(_undecided(verdict), because=because)
        return _undecided(verdict) if is_in_doubt(said.first) else verdict

    return tuple(
        (decided(verdict, said), said, line)
        for verdict, said, line in _judged(heard)
        if not _is_left_out(heard, said)
    )


def _holds_a_slip(heard: Heard, said: Said) -> bool:
    """Whether a slip is told of words of a statement, which then is not so as it was meant."""
    return any(
        said.first <= slip.said.first and slip.said.end <= said.end and slip.sure >= PERHAPS_BELOW
        for slip in heard.slips
    )


def _is_of_a_slip(heard: Heard, verdict: Verdict, said: Said) -> bool:
    """Whether a statement fails only for a man that words before named wrong, which a slip tells:
    "White's knight on b6 looks silly, but it looks at c4"."""
    missing = _NO_MAN_THERE.match(verdict.because)
    if missing is None or missing["square"] in verdict.statement.words:
        return False
    return any(
        missing["square"] in f"{slip.said.text} {slip.men}"
        and 0 < said.first - slip.said.first <= SPOKEN_OF_WORDS
        for slip in heard.slips
    )


SPOKEN_OF_WORDS = 40
"""So many words behind a man named wrong, "it" may still be that man."""
_NO_MAN_THERE = expression(r"there is no [a-z ]+ on (?P<square>[a-h][1-8])\b")


def _is_left_out(heard: Heard, said: Said) -> bool:
    """Whether nothing is told of words: what the teacher has mended, men of a what-if board."""
    return is_mended(heard.transcript, said) or heard.is_pictured(said)


def _undecided(verdict: Verdict) -> Verdict:
    because = f"the board is in doubt: here {verdict.because}"
    return replace(verdict, answer=Answer.CANNOT_TELL, because=because, offer="", repair="")


def _judged(heard: Heard) -> Judged:
    """The statements of a talk as the boards it stands at say."""
    if not heard.transcript.words:
        return ()
    text, starts = _running_text(heard)
    places = _places_of(heard)
    first_words = [first for first, _ in heard.places]

    def word_at(offset: int) -> int:
        return max(0, bisect_right(starts, offset) - 1)

    def place(offset: int) -> Place:
        index = bisect_right(first_words, word_at(offset))
        return places(heard.places[index - 1][1] if index else 0)

    def near(offset: int) -> list[Place]:
        index = bisect_right(first_words, word_at(offset))
        around = [node for _, node in heard.places[max(0, index - BEFORE) : index + AFTER]]
        return [places(node) for node in dict.fromkeys(around)]

    taught = places(0).taught
    found = []
    for verdict in judge(text, place, taught, near=near):
        first = word_at(verdict.statement.span.start)
        last = word_at(max(verdict.statement.span.start, verdict.statement.span.end - 1))
        at_ms = heard.transcript.words[first].start_ms
        said = Said(first, last + 1, verdict.statement.words, at_ms)
        found.append((verdict, said, heard.line_to(heard.node_at(first))))
    return tuple(found)


def _places_of(heard: Heard) -> Callable[[int], Place]:
    """The place of each node of a talk, made once, with the places before it."""
    taught = {"w": chess.WHITE, "b": chess.BLACK}.get(heard.me)
    shared = reached_twice((move.fen, heard.label(node)) for node, move in heard.moves.items())
    judges = Judges(lines=shared)
    made: dict[int, Place] = {}

    def place(node: int) -> Place:
        chain = []
        while node not in made and node in heard.moves:
            chain.append(node)
            node = heard.moves[node].parent
        here = made.setdefault(node, Place(chess.Board(), taught, judges))
        for step in reversed(chain):
            board = here.board.copy()
            board.push_san(heard.moves[step].san)
            here = made[step] = Place(board, taught, here.judges, before=here)
        return here

    return place


def _running_text(heard: Heard) -> tuple[str, list[int]]:
    """The words as one text, captions put right and mended names as they are meant, and where each
    word begins in it."""
    now = {c.said.first: c for c in (*heard.caption_changes, *names_meant(heard))}
    starts: list[int] = []
    parts: list[str] = []
    length = 0
    skip = 0
    for index, word in enumerate(heard.transcript.words):
        text = word.text
        if index in now:
            text, skip = now[index].now, now[index].said.end
        elif index < skip:
            text = ""
        piece = (text + word.mark + " ") if text else word.mark
        starts.append(length)
        parts.append(piece)
        length += len(piece)
    return "".join(parts), starts


def _at(said: Said | None) -> float | None:
    return None if said is None or said.at_ms is None else round(said.at_ms / 1000, 3)


def _place(said: Said | None) -> dict[str, Any]:
    """Where words are said: when, which word they begin with, and as an answer names them."""
    if said is None:
        return {"at": None, "word": None, "key": None}
    return {"at": _at(said), "word": said.first + 1, "key": place_of(said)}


def as_record(heard: Heard) -> dict[str, Any]:
    """The report of `linewright hear --json` (see `schemas/hear.schema.json`)."""
    return {
        "version": 1,
        "talk": heard.transcript.source.name,
        "timing": heard.transcript.timing.value,
        "words": len(heard.transcript.words),
        "words_measured": heard.transcript.measured,
        "teacher": heard.teacher,
        "club": heard.club,
        "lines": [
            {"kind": line.kind, "moves": [_move(move) for move in line.moves]}
            for line in heard.lines
        ],
        "slips": [_slip(slip) for slip in heard.slips],
        "questions": [
            {
                **_place(q.said), "said": q.said.text, "text": q.text,
                "choices": list(q.choices), "moves": list(q.line),
            }
            for q in heard.questions
        ],
        "in_doubt": [
            {**_place(one.said), "until": _at(one.last), "until_word": one.last.first + 1,
             "told": one.moves}
            for one in read_first(heard)
        ],
        "statements": [_statement(*item) for item in statements_of(heard)],
        "caption_changes": [
            {**_place(c.said), "was": c.said.text, "now": c.now, "sure": c.sure}
            for c in heard.caption_changes
        ],
        "what_if": [
            {**_place(w.said), "said": w.said.text, "edits": w.edits, "fen": w.fen,
             "moves": list(w.line)}
            for w in heard.what_if
        ],
        "findings": [
            {"rule": f.rule, "severity": f.severity.value, "message": f.message}
            for f in heard.transcript.findings
        ],
    }  # fmt: skip


def _move(move: HeardMove) -> dict[str, Any]:
    said = move.said.text if move.said else None
    return {"san": move.san, **_place(move.said), "said": said}


def _slip(slip: HeardSlip) -> dict[str, Any]:
    return {
        **_place(slip.said), "said": slip.said.text, "meant": slip.meant, "kind": slip.kind,
        "sure": slip.sure, "stood": slip.stood, "moves": list(slip.line),
    }  # fmt: skip


def _statement(verdict: Verdict, said: Said, line: tuple[str, ...]) -> dict[str, Any]:
    return {
        **_place(said), "words": verdict.statement.words, "family": verdict.statement.family,
        "verdict": verdict.verdict, "because": verdict.because,
        "squares": list(verdict.squares), "moves": list(line),
    }  # fmt: skip


def script_in(heard: Heard, folder: Path) -> Path:
    """Where the script of a talk stands in the folder it is written into."""
    return folder / f"{stem_of(heard)}.script.md"


def has_errors(heard: Heard) -> bool:
    """Whether something that was given for a hearing could not be used."""
    return any(finding.severity is Severity.ERROR for finding in heard.transcript.findings)


def keep_script(heard: Heard, folder: Path, answers: Answers = ()) -> Path | None:
    """Sets aside the script of an earlier hearing, if its teacher changed more than the answers.

    What the hearing wrote is known by the mark it left in the proof sheet; without one all that the
    new script has otherwise may be the teacher's. Returns where it is kept, perhaps from before, or
    None where nothing had to be.

    Raises: CannotWriteError.
    """
    path = script_in(heard, folder)
    if not path.exists() or (old := path.read_bytes()) == script_text(heard, answers).encode():
        return None
    if mark_of(old.decode("utf-8", "replace")) == _mark_in(folder / f"{stem_of(heard)}.proof.html"):
        return None
    for number in itertools.count(1):
        kept = folder / f"{stem_of(heard)}.script.before-{number}.md"
        if not kept.exists():
            return write_file(kept, old)
        if kept.read_bytes() == old:
            return kept
    raise AssertionError("numbers do not end")


def mark_of(script: str) -> str:
    """What tells a script from others, but for the answers in its head and the ends of lines."""
    text = without_answers("\n".join(script.splitlines()))
    return sha256(text.strip().encode()).hexdigest()[:MARK_LETTERS]


MARK_LETTERS = 16
_MARK = re.compile(r"<!-- the script as it was written: ([0-9a-f]+)((?: [0-9a-f]+)*) -->\s*$")
"""The mark of the script, then those of the lines of its head that the talk gives."""


def _mark_in(sheet: Path) -> str:
    """The mark of the script that was written with a proof sheet; empty where there is none."""
    return next(iter(_marks_in(sheet)), "")


def _marks_in(sheet: Path) -> list[str]:
    found = _MARK.search(_text_of(sheet))
    return [found[1], *found[2].split()] if found else []


def _text_of(sheet: Path) -> str:
    """The text of a proof sheet; empty where there is none."""
    try:
        return sheet.read_text("utf-8", "replace")
    except OSError:
        return ""


def _marked(sheet: str, script: str, heard: Heard) -> str:
    """The sheet with what the next hearing must know: what was heard and written."""
    marks = " ".join([mark_of(script), *map(mark_of, head_told(heard).values())])
    record = HeardBefore.of(heard).written()
    return f"{sheet.rstrip()}\n{record}\n<!-- the script as it was written: {marks} -->\n"


def otherwise_than_before(heard: Heard, folder: Path) -> Again | None:
    """What is heard otherwise than when the proof sheet in a folder was written, if one is."""
    return heard_again(heard, HeardBefore.read(_text_of(folder / f"{stem_of(heard)}.proof.html")))


def with_head(heard: Heard, head: Mapping[str, str], folder: Path) -> Heard:
    """The talk with the lines of a head that its teacher wrote, by their keys.

    A line that the hearing before wrote as the talk gave it is left to the talk, if it gives one.
    One that its teacher has taken out since stays out: it stands empty in what is returned.
    """
    written = _marks_in(folder / f"{stem_of(heard)}.proof.html")[1:]
    told = head_told(heard)
    kept = {k: line for k, line in head.items() if k not in told or mark_of(line) not in written}
    if "title" in head:  # else there is no script from before, or not its head
        gone = (k for k in told if k not in head and mark_of(told[k]) in written)
        kept.update(dict.fromkeys(gone, ""))
    return replace(heard, head=tuple(kept.items()))


def wrote_text(written: Sequence[Path], kept: Path | None) -> str:
    """What was written, in one line, and where a teacher's own changes are, in another.

    >>> wrote_text([Path("t/t.script.md"), Path("t/t.proof.html")], None)
    'wrote t/t.script.md, t.proof.html'
    """
    first, *others = written
    told = "wrote " + ", ".join([str(first), *(path.name for path in others)])
    return told if kept is None else f"{told}\n{kept_text(kept)}"


def kept_text(kept: Path) -> str:
    """What is said of a script with changes that was set aside, and how to go on with it."""
    name = re.sub(r"\.before-\d+(?=\.md$)", "", kept.name)
    own = _own_name(kept.with_name(name))
    return (
        f"your own changes to {name} are kept in {kept}: to go on with them, rename it, for example"
        f" to {own}, which no hearing writes over"
    )


def _own_name(script: Path) -> str:
    """A name for a script to go on with: one that no hearing writes, nor taken already."""
    stem = script.name.removesuffix(".script.md")
    named = stem.lower().endswith("lesson") and not script.with_name(f"{stem}.md").exists()
    return f"{stem}.md" if named else f"{stem}-lesson.md"


def folder_of(talk: Path) -> Path:
    """The folder for what is made of a talk, by its name; one without an ending is not taken.

    Raises: CannotReadError for a folder.

    >>> folder_of(Path("club/monday.vtt")).as_posix(), folder_of(Path("club/monday")).as_posix()
    ('club/monday', 'club/monday-lesson')
    """
    if not talk.name or talk.is_dir():
        raise CannotReadError(str(talk), "it is a folder")
    folder = talk.with_suffix("")
    return folder if folder != talk else talk.with_name(f"{talk.name}-lesson")


def write_all(
    heard: Heard,
    folder: Path,
    answers: Answers = (),
    judged: Judged | None = None,
    again: Again | None = None,
) -> list[Path]:
    """Writes script, slip list, corrected captions, their changes and the proof sheet.

    `judged` are the talk's statements, where they are known already, `again` what is heard
    otherwise than before. Returns the paths.

    Raises: CannotWriteError.
    """
    stem = stem_of(heard)
    ending = {FileForm.VTT: "vtt", FileForm.SRT: "srt", FileForm.TEXT: "txt"}[heard.transcript.form]
    verdicts = statements_of(heard) if judged is None else judged
    script = script_text(heard, answers)
    files: dict[str, Callable[[], str]] = {
        f"{stem}.script.md": lambda: script,
        f"{stem}.slips.md": lambda: slip_list(heard),
        f"{stem}.corrected.{ending}": lambda: corrected_captions(heard),
        f"{stem}.changes.md": lambda: changes_table(heard),
        f"{stem}.proof.html": lambda: _marked(
            hearing_sheet(heard, verdicts, answers, again), script, heard
        ),
    }
    made_in(folder)
    return [write_file(folder / name, made().encode()) for name, made in files.items()]


def _count(number: int, name: str) -> str:
    return f"{number} {name}" + ("" if number == 1 else "s")


MOST_STATEMENTS = 5
"""More statements that do not hold are left to the proof sheet."""


def report_text(heard: Heard, judged: Judged = (), again: Again | None = None) -> str:
    """A short account of a hearing, its statements and what is heard otherwise than before.

    Slips whose meaning is answered are counted and not told: nothing is left to do about them.
    """
    lines = [f"{f.severity.value}: {f.message}" for f in heard.transcript.findings]
    told = [slip for slip in heard.slips if not is_told(slip, heard.answered)]
    answered = len(heard.slips) - len(told)
    for slip in told:
        name = "perhaps a slip" if slip.sure < PERHAPS_BELOW else "slip"
        said = f'{when(slip.said)} {name}: "{slip.said.text}"'
        lines.append(f"{said} for {meaning(slip)}: {slip.stood}")
    lines.extend(f"{when(one.said)} question: {one.text}" for one in heard.questions)
    lines.extend(f"{when(one.said)} {one.text}" for one in read_first(heard))
    failing = _failing(heard, judged)
    lines.extend(_told(failing))
    lines.extend(again_lines(again) if again else ())
    said_moves = sum(1 for move in heard.moves.values() if move.said)
    counts = [
        _count(len(heard.lines), "line"),
        f"{_count(said_moves, 'move')} said",
        f"{len(heard.moves) - said_moves} not said",
        _count(len(heard.slips), "slip") + (f" ({answered} as answered)" if answered else ""),
        _count(len(heard.questions), "question"),
        _count(len(heard.caption_changes), "correction"),
    ]
    if failing:
        does = "does" if len(failing) == 1 else "do"
        counts.append(f"{_count(len(failing), 'statement')} that {does} not hold")
    return "\n".join([*lines, ", ".join(counts)])


def _failing(heard: Heard, judged: Judged) -> list[tuple[Verdict, Said]]:
    """The statements that do not hold, but for those in whose words a slip is told."""
    return [
        (verdict, said)
        for verdict, said, _ in judged
        if verdict.verdict == "fails" and not tells_slip(heard, said)
    ]


def _told(failing: Sequence[tuple[Verdict, Said]]) -> Iterator[str]:
    for verdict, said in failing[:MOST_STATEMENTS]:
        words = " ".join(verdict.statement.words.split())
        yield f'{when(said)} does not hold: "{words}": {verdict.because}'
    if len(failing) > MOST_STATEMENTS:
        yield f"and {len(failing) - MOST_STATEMENTS} more on the proof sheet"
