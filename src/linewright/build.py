"""Order the stages: read, parse, follow, time, judge, check, make, write.

What parses, follows, checks and makes touches neither the disk nor the clock: a lesson is read,
timed by its recording and written here, a talk in `hearing`.
"""

from __future__ import annotations

import os
import tempfile
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, field, replace
from itertools import combinations
from pathlib import Path
from typing import TYPE_CHECKING, Any

from linewright.aids import Aids
from linewright.checks import Checked, Grounds, compared, run_checks
from linewright.errors import CannotReadError, CannotWriteError, UnknownNameError
from linewright.finding import Finding, Severity
from linewright.following import follow
from linewright.lesson import Lesson
from linewright.script import Fault, parse, read_source
from linewright.source import Source, beside_or_above
from linewright.timing import Timeline, time

if TYPE_CHECKING:
    from linewright.film.sound import Sound
    from linewright.outputs import Artifact, Edition, Output
    from linewright.talk.transcript import Transcript

MAX_BYTES = 4 * 1024 * 1024
"""Longest script that is read. A lesson of 15 minutes has about 15,000 bytes."""

PAPERS = ("a4", "us-letter")


@dataclass(frozen=True, slots=True)
class Report:
    """A lesson with everything found out about it.

    `sound` is what the timeline was measured in; `notes` say what was done without, in one line
    each.
    """

    lesson: Lesson
    timeline: Timeline
    checked: Checked
    verdicts: tuple[Any, ...] = ()
    sound: Sound | None = None
    notes: tuple[str, ...] = ()
    figures: Mapping[int, Any] = field(default_factory=dict)

    @property
    def findings(self) -> tuple[Finding, ...]:
        """The findings that are not accepted, in the order of their places."""
        return self.checked.findings

    @property
    def clean(self) -> bool:
        """Whether nothing but notes was found."""
        return all(finding.severity is Severity.NOTE for finding in self.findings)


def load(path: Path) -> tuple[Source, tuple[Fault, ...]]:
    """The text of a script file with the faults of its encoding.

    Raises `CannotReadError` if there is no such file, it is a folder, it may not be read or is
    far too long for a lesson.
    """
    name = str(path)
    try:
        size = path.stat().st_size
        if path.is_dir():
            raise CannotReadError(name, "it is a folder")
        if size > MAX_BYTES:
            megabytes = f"{size / 2**20:.1f} MB"
            raise CannotReadError(name, f"{megabytes} is too long for a lesson (at most 4 MB)")
        return read_source(name, path.read_bytes())
    except OSError as error:
        raise CannotReadError(name, reason(error)) from None


def load_lesson(path: Path) -> tuple[Source, tuple[Fault, ...]]:
    """The same of a lesson script, which a transcript is not.

    Raises `CannotReadError`.
    """
    from linewright.talk.transcript import is_transcript

    source, faults = load(path)
    if is_transcript(source):
        told = f"it is the transcript of a talk, run 'linewright hear {path}'"
        raise CannotReadError(str(path), told)
    return source, faults


def reason(error: OSError) -> str:
    """What the system says of an error, lower case."""
    text = error.strerror or str(error)
    return text[:1].lower() + text[1:]


@dataclass(frozen=True, slots=True)
class Timed:
    """A timeline, the sound it was measured in, and what to tell the teacher about it.

    `unheard` says why the recording that the lesson names is not its sound.
    """

    timeline: Timeline
    sound: Sound | None = None
    notes: tuple[str, ...] = ()
    unheard: str = ""


def examine(
    source: Source,
    faults: tuple[Fault, ...] = (),
    aids_for: Callable[[Lesson], Aids] | None = None,
    timed: Callable[[Lesson], Timed] | None = None,
) -> Report:
    """Everything the checks find in a script. Never raises for what stands in it.

    `aids_for` gives what the lesson is judged with beyond the board, None for nothing; `timed`
    gives its times, None for the script's pace.
    """
    lesson = follow(parse(source, faults))
    aids = aids_for(lesson) if aids_for else Aids()
    try:
        times = timed(lesson) if timed else Timed(time(lesson))
        verdicts = aids.judge(lesson) if aids.judge else ()
        grounds = Grounds(
            lesson, times.timeline, verdicts, aids.analyst, aids.collection, times.unheard
        )
        checked = run_checks(grounds)
        figures = aids.figures() if aids.figures else {}
    finally:
        if aids.close:
            aids.close()
    notes = (*times.notes, *aids.notes)
    return Report(lesson, times.timeline, checked, verdicts, times.sound, notes, figures)


def compare(reports: Sequence[Report]) -> tuple[Report, ...]:
    """The same reports with what does not fit between lessons of a series.

    Which lessons make one: see `linewright.series`. Each difference is told once, in the later
    lesson, and not at all where that one accepts it. **Cost**: linear in the moves and words.
    """
    from linewright.series import notes_on, series_of

    out = list(reports)
    place = {id(report.lesson): k for k, report in enumerate(reports)}
    for series in series_of([(report.lesson, report.verdicts) for report in reports]):
        places = [place[id(member.lesson)] for member in series.members]
        for k in places:
            report = reports[k]
            grounds = Grounds(report.lesson, report.timeline, report.verdicts, series=series)
            out[k] = replace(report, checked=compared(report.checked, grounds))
        for earlier, later in combinations(places, 2):
            out[earlier] = _told_once(out[earlier], out[later])
    for lesson, note in notes_on([report.lesson for report in reports]):
        k = place[id(lesson)]
        out[k] = replace(out[k], notes=(*out[k].notes, note))
    return tuple(out)


def _told_once(earlier: Report, later: Report) -> Report:
    """The report of a lesson without what that of a later one tells, or accepts."""
    source = earlier.lesson.script.source
    told = {
        (found.rule, found.span, found.also.span)
        for found in (*later.findings, *(found for found, _ in later.checked.accepted))
        if found.also is not None and found.also.source is source
    }
    kept = (
        found
        for found in earlier.findings
        if found.also is None
        or found.also.source is not later.lesson.script.source
        or (found.rule, found.also.span, found.span) not in told
    )
    return replace(earlier, checked=replace(earlier.checked, findings=tuple(kept)))


def timing_of(folder: Path, *, aligned: bool = True) -> Callable[[Lesson], Timed]:
    """How to time a lesson of a folder: by its recording, else the draft voice, else its pace.

    A lesson is as long for whoever checks it as for whoever builds it. Without `aligned` the words
    are only spread over a recording: finding each in it takes long (a minute of sound 1.5 s).
    """

    def timed(lesson: Lesson) -> Timed:
        if lesson.front.recording:
            return _by_recording(lesson, folder, aligned)
        return _by_voice(lesson, folder)

    return timed


def _by_recording(lesson: Lesson, folder: Path, aligned: bool) -> Timed:
    from linewright.film.sound import read_recording
    from linewright.soundtrack import recorded, spread_over_recording

    path = beside_or_above(folder, lesson.front.recording)
    try:
        sound = read_recording(path)
        if not aligned:
            return Timed(spread_over_recording(lesson, sound.length_ms), sound)
        talk, without = _talk_if_any(lesson, folder, "are looked for in the recording")
        timeline, notes = recorded(lesson, path, sound.length_ms, talk)
    except CannotReadError as error:
        damaged = f"{error.reason}; give a sound or film file that plays"
        return _unheard(lesson, folder, damaged if path.exists() else _MISSING)
    if timeline is None:
        return _unheard(lesson, folder, "; ".join(notes))
    return Timed(timeline, sound, (*without, *notes))


def _unheard(lesson: Lesson, folder: Path, why: str) -> Timed:
    return replace(_by_voice(lesson, folder), unheard=f"{why}; the draft voice speaks instead")


def paced(folder: Path) -> Callable[[Lesson], Timed]:
    """How to time a lesson of a folder at once: at its pace, whatever sound it has.

    Of its recording only whether there is such a file is looked at. The talk of a heard script is
    read, for the words it says. **Cost**: then that of comparing two texts, else linear.
    """

    def timed(lesson: Lesson) -> Timed:
        name = lesson.front.recording
        missing = bool(name) and not beside_or_above(folder, name).is_file()
        talk, without = _talk_if_any(lesson, folder, "are reckoned with")
        return Timed(_at_pace(lesson, talk), None, without, _MISSING if missing else "")

    return timed


_MISSING = "there is no such file in the script's folder nor above; give the path to it"


def _talk_if_any(
    lesson: Lesson, folder: Path, instead: str
) -> tuple[Transcript | None, tuple[str, ...]]:
    """The talk a lesson was heard from, None where it was written; and a note if it is missing.

    `instead` tells what happens to all words of the script then.
    """
    from linewright.talk_times import talk_of

    if not lesson.front.talk:
        return None, ()
    try:
        talk = talk_of(lesson, folder)
        why = f"the talk '{lesson.front.talk}' is not beside the script"
    except CannotReadError as error:
        talk, why = None, str(error)
    without = f"{why}: all words of the script {instead}, some moves twice"
    return talk, () if talk else (without,)


def by_talk(
    lesson: Lesson, folder: Path, *, recorded: bool = False
) -> tuple[Timeline | None, tuple[str, ...]]:
    """The times of the talk a lesson of a folder was heard from, and what to tell the teacher.

    None where it was written, was `recorded` and measured, or where its talk has no times for it.
    """
    from linewright.talk_times import talk_of, timed_by_talk

    front = lesson.front
    if not front.talk or recorded:
        return None, ()
    voice = "captions have the times of the draft voice"
    try:
        talk = talk_of(lesson, folder)
    except CannotReadError as error:
        return None, (f"{error}; {voice}",)
    if talk is None:
        return None, (f"the talk '{front.talk}' is not beside the script: {voice}",)
    timeline = timed_by_talk(lesson, talk)
    if timeline is None:
        return None, (f"the talk '{front.talk}' has no times for the words of the script: {voice}",)
    return timeline, (
        f"captions have the times of the talk '{front.talk}', the film those of the draft voice",
        *_late(timeline),
    )


LATE_MS = 4000
"""Captions that come so much later than their words are told."""


def _late(timeline: Timeline) -> Iterator[str]:
    """What to tell of captions that wait for words the talk does not say."""
    from linewright.captioning import latest_ms

    late = latest_ms(timeline)
    if late >= LATE_MS:
        yield (
            f"captions come up to {round(late / 1000)} s after the words of the talk, because the"
            " script has words that it does not say: say them, or leave them out"
        )


def _at_pace(lesson: Lesson, talk: Transcript | None) -> Timeline:
    """The times of a lesson at its pace, those of the words its talk says where it has one."""
    if talk is None:
        return time(lesson)
    from linewright.talk_times import words_said

    return time(lesson, words_said(lesson, talk))


def _by_voice(lesson: Lesson, folder: Path) -> Timed:
    from linewright.film.sound import Sound
    from linewright.soundtrack import voiced
    from linewright.voice import VoiceError

    talk, without = _talk_if_any(lesson, folder, "are spoken")
    try:
        timeline, speech = voiced(lesson, talk)
    except VoiceError as error:
        unspoken = f"{error}; times are reckoned from the pace"
        return Timed(_at_pace(lesson, talk), None, (*without, unspoken))
    return Timed(timeline, Sound(speech.rate_hz, speech.pcm), without)


def chosen_outputs(only: Sequence[str], without: Sequence[str] = ()) -> tuple[Output, ...]:
    """The outputs of the names given, or all that are not made on demand only, less some.

    Raises `UnknownNameError` for a name that is no output.
    """
    from linewright.outputs import load_output, output_names

    known = output_names()
    names, left_out = _names(only, known), _names(without, known)
    outputs = tuple(load_output(name) for name in (names or known) if name not in left_out)
    return outputs if names else tuple(output for output in outputs if not output.on_demand)


def _names(given: Sequence[str], known: tuple[str, ...]) -> list[str]:
    listed = [name.strip() for one in given for name in one.split(",")]
    names = [name.lower().replace("_", "-") for name in listed if name]
    for name in names:
        if name not in known:
            raise UnknownNameError("output", name, known)
    return names


def edition_of(report: Report, base: str, **more: Any) -> Edition:
    """What the outputs are made from."""
    from linewright.outputs import Edition

    edition = Edition(report.lesson, report.timeline, report.findings, report.verdicts, base=base)
    return replace(edition, **{"figures": report.figures, "held": report.checked.held, **more})


def make(edition: Edition, outputs: Iterable[Output]) -> Iterator[tuple[Output, list[Artifact]]]:
    """Each output with its artifacts, one after the other."""
    for output in outputs:
        yield output, list(output.make(edition))


def write(folder: Path, artifacts: Iterable[Artifact]) -> list[Path]:
    """The paths of the files written into a folder, each whole or not at all.

    Other files in the folder are left alone. Raises `CannotWriteError`.
    """
    made_in(folder)
    return [write_file(folder / artifact.name, artifact.data) for artifact in artifacts]


def made_in(folder: Path) -> None:
    """Makes the folder, if it is not there yet.

    Raises `CannotWriteError`.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise CannotWriteError(str(folder), reason(error)) from None


def write_file(path: Path, data: bytes) -> Path:
    """The path of a file written at once: a reader sees the old bytes or the new ones.

    Raises `CannotWriteError`; then nothing is left behind.
    """
    try:
        handle, temporary = tempfile.mkstemp(prefix=f".{path.name}.", dir=path.parent)
    except OSError as error:
        raise CannotWriteError(str(path), reason(error)) from None
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        Path(temporary).chmod(0o666 & ~_umask())
        Path(temporary).replace(path)
    except OSError as error:
        raise CannotWriteError(str(path), reason(error)) from None
    finally:
        with suppress(OSError):
            Path(temporary).unlink(missing_ok=True)
    return path


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask


KEPT_BYTES = 512 * 1024 * 1024
"""Most that is kept of finished film parts; the oldest go first."""


class KeptFiles:
    """Finished parts of films in the user's cache folder, so that builds go on from them."""

    def __init__(self, folder: Path | None = None) -> None:
        self.folder = folder or cache_folder() / "film"

    def get(self, key: str) -> bytes | None:
        """What was kept under a key, or None."""
        path = self.folder / key
        try:
            data = path.read_bytes()
            path.touch()
        except OSError:
            return None
        return data

    def put(self, key: str, data: bytes) -> None:
        """Keeps data under a key; silently does not where there is no room for it."""
        with suppress(OSError, CannotWriteError):
            self.folder.mkdir(parents=True, exist_ok=True)
            write_file(self.folder / key, data)
            self.forget_oldest()

    def forget_oldest(self) -> None:
        files = sorted(self.folder.iterdir(), key=lambda path: path.stat().st_mtime)
        size = sum(path.stat().st_size for path in files)
        while files and size > KEPT_BYTES:
            oldest = files.pop(0)
            size -= oldest.stat().st_size
            oldest.unlink(missing_ok=True)


def cache_folder() -> Path:
    """The user's folder for what can be made again."""
    base = os.environ.get("LINEWRIGHT_CACHE") or os.environ.get("XDG_CACHE_HOME")
    root = Path(base) if base else Path.home() / ".cache"
    return root if os.environ.get("LINEWRIGHT_CACHE") else root / "linewright"
