"""What was said and when, read from captions or text.

`read_transcript` takes WebVTT (W3C grammar), SubRip, and plain text or Markdown with times in
brackets, at the start of lines, or without any. It never raises: every fault is a finding, the
rest is still read, and words always come in the order of the file.
"""

from __future__ import annotations

import html
import re
import unicodedata
from bisect import bisect_right
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from enum import StrEnum
from itertools import accumulate, pairwise

from linewright.clock import clock
from linewright.finding import Evidence, Finding, Severity
from linewright.source import Decoded, Source, Span, decoded


class Timing(StrEnum):
    """Where a time comes from."""

    MEASURED = "measured"
    """Written in the file for this very word or cue, or found in the recording."""
    ESTIMATED = "estimated"
    """Spread over the words of a cue by their length."""
    NONE = "none"
    """Nothing says when it was said."""


class FileForm(StrEnum):
    """How a transcript is written."""

    VTT = "vtt"
    SRT = "srt"
    TEXT = "text"


@dataclass(frozen=True, slots=True)
class Word:
    """One spoken word.

    `span` covers the word's own characters, without punctuation and styling, and carries its
    times. `text` is the word as read (character references resolved), `mark` the punctuation
    that follows it. `cue` is the index of the cue it stands in.
    """

    span: Span
    text: str
    cue: int
    timing: Timing
    mark: str = ""
    speaker: str = ""

    @property
    def start_ms(self) -> int | None:
        """When the word begins."""
        return self.span.start_ms

    @property
    def end_ms(self) -> int | None:
        """When the word ends."""
        return self.span.end_ms

    @property
    def ends_sentence(self) -> bool:
        """Whether the punctuation after the word closes a sentence."""
        return any(c in ".!?…" for c in self.mark)


@dataclass(frozen=True, slots=True)
class Cue:
    """A stretch of the talk as the file divides it: a caption, or the text after one time.

    `words` are indices into the transcript's words, half open. The cue's own times stand in
    its span.
    """

    span: Span
    words: tuple[int, int]
    timing: Timing
    identifier: str = ""


@dataclass(frozen=True, slots=True)
class Heading:
    """A Markdown heading between the words; printed in the text, not said."""

    span: Span
    title: str
    before_word: int


@dataclass(frozen=True, slots=True)
class Mend:
    """What the teacher has put behind words said wrong: "[means Nc6]".

    `words` are those before it, half open, as far as they go without a mark.
    """

    span: Span
    words: tuple[int, int]
    means: str


@dataclass(frozen=True, slots=True)
class Transcript:
    """What was said: words in the order of the file, with their times where there are any.

    `notes` are comments (WebVTT ``NOTE``, HTML comments), `sounds` labels such as ``[music]``,
    `mends` what stands in brackets behind words said wrong; none of them is spoken.

    >>> talk = read_transcript(Source("talk.srt", "00:00:01,000 --> 00:00:02,000\\nKnight f3\\n"))
    >>> [(word.text, word.start_ms, word.timing.value) for word in talk.words]
    [('Knight', 1000, 'estimated'), ('f3', 1500, 'estimated')]
    """

    source: Source
    form: FileForm
    cues: tuple[Cue, ...]
    words: tuple[Word, ...]
    headings: tuple[Heading, ...] = ()
    notes: tuple[Span, ...] = ()
    sounds: tuple[Span, ...] = ()
    findings: tuple[Finding, ...] = ()
    mends: tuple[Mend, ...] = ()

    @property
    def timing(self) -> Timing:
        """The weakest kind of time among the words; `NONE` where there are no words."""
        kinds = {word.timing for word in self.words}
        for kind in (Timing.NONE, Timing.ESTIMATED, Timing.MEASURED):
            if kind in kinds:
                return kind
        return Timing.NONE

    @property
    def measured(self) -> int:
        """How many words have a measured time."""
        return sum(1 for word in self.words if word.timing is Timing.MEASURED)

    @property
    def refused(self) -> bool:
        """Whether its words are none that moves can be looked for in."""
        return any(finding.rule in NOT_TO_BE_HEARD for finding in self.findings)

    @property
    def end_ms(self) -> int | None:
        """When the last word ends, or None without times."""
        ends = [word.end_ms for word in self.words if word.end_ms is not None]
        return max(ends) if ends else None

    @property
    def text(self) -> str:
        """All words with their punctuation, as one line."""
        return " ".join(word.text + word.mark for word in self.words)

    @property
    def starts(self) -> list[int]:
        """Where each word begins in `text`. In the file other things may stand between them."""
        lengths = [len(word.text) + len(word.mark) + 1 for word in self.words]
        return [0, *accumulate(lengths)][: len(lengths)]

    def word_at(self, offset: int) -> int | None:
        """The index of the word that stands at a place in the text, or None between words."""
        index = bisect_right(self.words, offset, key=lambda word: word.span.start) - 1
        return index if index >= 0 and offset in self.words[index].span else None

    def retimed(
        self, times: Sequence[tuple[int, int, Timing]], findings: Iterable[Finding] = ()
    ) -> Transcript:
        """The same words with new times, one `(start_ms, end_ms, timing)` for each word."""
        if len(times) != len(self.words):
            raise ValueError(f"{len(times)} times for {len(self.words)} words")
        words = tuple(
            replace(w, span=Span(w.span.start, w.span.end, start, end), timing=timing)
            for w, (start, end, timing) in zip(self.words, times, strict=True)
        )
        cues = tuple(_retimed_cue(cue, words) for cue in self.cues)
        return replace(self, words=words, cues=cues, findings=(*self.findings, *findings))


def _retimed_cue(cue: Cue, words: Sequence[Word]) -> Cue:
    own = words[cue.words[0] : cue.words[1]]
    if not own:
        return cue
    kinds = {word.timing for word in own}
    timing = Timing.MEASURED if kinds == {Timing.MEASURED} else Timing.ESTIMATED
    span = Span(cue.span.start, cue.span.end, own[0].start_ms, own[-1].end_ms)
    return replace(cue, span=span, timing=timing)


def source_from_bytes(name: str, data: bytes) -> tuple[Source, tuple[Finding, ...]]:
    """The text of a file, with what is wrong with its characters.

    UTF-16 is no fault: programs that write subtitles use it.
    """
    read = decoded(data)
    text, finding = read.text, _wrong_encoding(read)
    if "\0" in text:
        text = text.replace("\0", "\ufffd")
        message = "the file holds zero bytes; each is read as an unreadable character"
        finding = finding or Finding("unreadable-characters", Severity.WARNING, Span(0, 0), message)
    return Source(name, text), (finding,) if finding else ()


def _wrong_encoding(read: Decoded) -> Finding | None:
    if read.encoding == "UTF-16":
        return _NO_TEXT if "\ufffd" in read.text else None
    if read.encoding == "UTF-8":
        return None
    message = f"byte {read.byte} is not UTF-8; read as {read.encoding}: save the file as UTF-8"
    return Finding("not-utf-8", Severity.WARNING, read.place, message)


_NO_TEXT = Finding(
    "unreadable-characters",
    Severity.WARNING,
    Span(0, 0),
    "the file begins as text in UTF-16 does, and what follows is no such text; is it a text file",
)


# --- lines and readable characters -------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Line:
    start: int
    text: str

    @property
    def end(self) -> int:
        return self.start + len(self.text)

    @property
    def blank(self) -> bool:
        return not self.text.strip()

    @property
    def span(self) -> Span:
        return Span(self.start, self.end)


@dataclass(slots=True)
class _Readable:
    """Characters left after styling is taken off, each with its place in the source."""

    chars: list[str] = field(default_factory=list)
    starts: list[int] = field(default_factory=list)
    ends: list[int] = field(default_factory=list)
    stamps: list[tuple[int, int]] = field(default_factory=list)
    speakers: list[tuple[int, str]] = field(default_factory=list)

    def put(self, text: str, start: int, end: int) -> None:
        for char in text:
            self.chars.append(char)
            self.starts.append(start)
            self.ends.append(end)

    @property
    def text(self) -> str:
        return "".join(self.chars)


@dataclass(slots=True)
class _Draft:
    """A cue under construction: its readable characters and the times the file gives it."""

    span: Span
    readable: _Readable
    start_ms: int | None = None
    end_ms: int | None = None
    identifier: str = ""
    trusted: bool = True


@dataclass(slots=True)
class _Reading:
    """What one pass over a file gathers."""

    source: Source
    form: FileForm
    drafts: list[_Draft] = field(default_factory=list)
    headings: list[tuple[Span, str, int]] = field(default_factory=list)
    notes: list[Span] = field(default_factory=list)
    sounds: list[Span] = field(default_factory=list)
    faults: dict[str, list[tuple[Span, str]]] = field(default_factory=dict)

    def fault(self, rule: str, span: Span, detail: str = "") -> None:
        self.faults.setdefault(rule, []).append((span, detail))


def _lines(text: str) -> list[_Line]:
    lines, start = [], 0
    for match in re.finditer(r"\r\n|\n|\r", text):
        lines.append(_Line(start, text[start : match.start()]))
        start = match.end()
    lines.append(_Line(start, text[start:]))
    return lines


def read_transcript(source: Source) -> Transcript:
    """The words of a talk with their times; its form is told from the text itself.

    **Source**: WebVTT, W3C (grammar of file, cue timings and cue text); SubRip conventions (no
    formal standard); times in brackets as typists of interviews write them (common practice, no
    source). **Cost**: linear in the text.
    """
    lines = _lines(_without_mends(source.text))
    form = _form(source, lines)
    reading = _Reading(source, form)
    if form is FileForm.TEXT:
        _read_text(reading, lines)
    else:
        _read_captions(reading, lines)
    transcript = _assemble(reading)
    return replace(transcript, mends=tuple(_mends(transcript)))


_MEND = re.compile(
    r"[ \r\n]*\[means:?\s+(?P<means>(?=\S)(?:(?!-->)[^\[\]]){1,100})\](?P<mark>[.,;:!?…]*)",
    re.IGNORECASE,
)
MENDED_WORDS = 8
"""So many words at most before a mend are those it is about."""


def _without_mends(text: str) -> str:
    """The text with blanks for what mends say, their marks behind the words before them.

    >>> _without_mends("to b6 [means Nc6]. Then")
    'to b6.             Then'
    """
    return _MEND.sub(_blank, text)


def _blank(mend: re.Match[str]) -> str:
    """Blanks as long as a mend, with its marks and one of its line breaks."""
    broken = re.search(r"\r\n|\n|\r", mend[0])
    kept = mend["mark"] + (broken[0] if broken else "")
    return kept + " " * (len(mend[0]) - len(kept))


def _mends(transcript: Transcript) -> Iterator[Mend]:
    """What is mended in the text, with the words before it."""
    words, before = transcript.words, 0
    for found in _MEND.finditer(transcript.source.text):
        end = bisect_right(words, found.start(), key=lambda word: word.span.start)
        first = max(end - 1, before)
        while first > max(end - MENDED_WORDS, before) and not words[first - 1].mark:
            first -= 1
        if first < end:
            means = " ".join(found["means"].split())
            yield Mend(Span(found.start("means"), found.end("means")), (first, end), means)
            before = end


_CLOCK = r"(?:\d{1,3}:)?\d{1,3}:\d{1,2}(?:[.,]\d{1,6})?"
_TIMES = re.compile(r"\s*\d.*-->|.*-->\s*\d{1,3}:\d")
"""What a line of times begins with, or an ill written one: an arrow alone is a speaker's, "f3 --> e5"."""
_TIMING_LINE = re.compile(rf"\s*(?P<a>{_CLOCK})\s*-->\s*(?P<b>{_CLOCK})(?P<rest>.*)$")


def _form(source: Source, lines: Sequence[_Line]) -> FileForm:
    first = next((line.text.lstrip("\ufeff") for line in lines if not line.blank), "")
    if re.match(r"WEBVTT(?=[ \t]|$)", first):
        return FileForm.VTT
    timed = sum(1 for line in lines if _TIMING_LINE.match(line.text))
    suffix = source.name.lower().rpartition(".")[2]
    if suffix in ("vtt", "srt") or timed:
        return FileForm.VTT if suffix == "vtt" else FileForm.SRT
    return FileForm.TEXT


def is_transcript(source: Source) -> bool:
    """Whether a text is the transcript of a talk, and no lesson script: it has times, and no move
    with its number unless it is a file of captions.

    >>> is_transcript(Source("a.txt", "[0:02] White plays e4.\\n[0:05] And now e5."))
    True
    >>> is_transcript(Source("a.md", "We begin with 1.e4 e5.")), is_transcript(Source("a.srt", ""))
    (False, True)
    """
    form = _form(source, _lines(source.text))
    if form is not FileForm.TEXT:
        return True
    timed = sum(1 for line in source.text.split("\n") if _BEGINS_TIMED.match(line))
    return timed > 0 and not _NUMBERED_MOVE.search(source.text)


_BEGINS_TIMED = re.compile(r"\[?(?:\d{1,2}:)?\d{1,3}:[0-5]\d\]?(?:\s|$)")
_NUMBERED_MOVE = re.compile(r"\b\d+\.(?:\.\.)?\s?[KQRBNSDTLOa-h0]")


def _ms(text: str) -> int | None:
    """Milliseconds of a written time, or None where minutes or seconds run past 59.

    >>> _ms("1:23"), _ms("01:02:03,5"), _ms("75:10"), _ms("1:75")
    (83000, 3723500, 4510000, None)
    """
    whole, _, fraction = text.replace(",", ".").partition(".")
    parts = [int(part) for part in whole.split(":")]
    if parts[-1] > 59 or (len(parts) == 3 and parts[1] > 59):
        return None
    seconds = 0
    for part in parts:
        seconds = seconds * 60 + part
    return seconds * 1000 + int((fraction + "000")[:3])


# --- captions (WebVTT and SubRip) --------------------------------------------------------------

_STRICT = {
    FileForm.VTT: re.compile(r"(?:\d{2,}:)?[0-5]\d:[0-5]\d\.\d{3}$"),
    FileForm.SRT: re.compile(r"\d{2}:\d{2}:\d{2},\d{3}$"),
}


def _blocks(lines: Sequence[_Line]) -> Iterator[list[_Line]]:
    """Runs of lines between blank ones; a timing line also begins a block of its own (W3C).

    A line of spaces right behind the times is the upper, still empty line of a caption that rolls up.
    """
    block: list[_Line] = []
    for line in lines:
        if line.text and line.blank and block and _TIMES.match(block[-1].text):
            continue
        if line.blank:
            if block:
                yield block
            block = []
            continue
        if _TIMES.match(line.text) and any(_TIMES.match(old.text) for old in block):
            identifier = [block.pop()] if block[-1].text.strip().isdigit() else []
            yield block
            block = identifier
        block.append(line)
    if block:
        yield block


def _read_captions(reading: _Reading, lines: Sequence[_Line]) -> None:
    body = list(lines)
    if reading.form is FileForm.VTT:
        body = _without_header(reading, body)
    for block in _blocks(body):
        _read_block(reading, block)
    _name_speakers(reading)


def _without_header(reading: _Reading, lines: list[_Line]) -> list[_Line]:
    first = next((i for i, line in enumerate(lines) if not line.blank), len(lines))
    if first == len(lines):
        return []
    if not re.match(r"\ufeff?WEBVTT(?=[ \t]|$)", lines[first].text):
        reading.fault("captions-header", lines[first].span)
        return lines
    after = first + 1
    while after < len(lines) and not lines[after].blank and "-->" not in lines[after].text:
        after += 1
    return lines[after:]


def _read_block(reading: _Reading, block: list[_Line]) -> None:
    head = block[0].text.strip()
    whole = Span(block[0].start, block[-1].end)
    at = next((i for i, line in enumerate(block[:2]) if _TIMES.match(line.text)), None)
    if at is None:
        if reading.form is FileForm.VTT and re.match(r"(NOTE|STYLE|REGION)(?=[ \t]|$)", head):
            reading.notes.append(whole)
        elif not (len(block) == 1 and head.isdigit()):
            reading.fault("text-outside-cues", whole, _quoted(reading.source.words(whole)))
        return
    timing = _TIMING_LINE.match(block[at].text)
    start = _ms(timing["a"]) if timing else None
    end = _ms(timing["b"]) if timing else None
    if timing is None or start is None or end is None:
        reading.fault("time-unreadable", block[at].span, _quoted(block[at].text))
    elif not all(_STRICT[reading.form].match(timing[side]) for side in "ab"):
        reading.fault("time-not-standard", block[at].span, _quoted(block[at].text))
    if start is not None and end is not None and end <= start:
        reading.fault("cue-ends-early", block[at].span, _quoted(block[at].text))
        end = None
    payload = block[at + 1 :]
    span = Span(payload[0].start, payload[-1].end) if payload else Span(whole.end, whole.end)
    readable = _Readable()
    for line in payload:
        _read_cue_line(reading, readable, line)
    identifier = block[0].text.strip() if at else ""
    reading.drafts.append(_Draft(span, readable, start, end, identifier))


_TAG = (
    r"(?i:/?(?:c|i|b|u|s|v|lang|ruby|rt|rp|font|br|p|em|strong|span|div|small|big|mark|sub|sup|a|q"
    r"|code|del|ins|center|hr|ul|ol|li|blockquote|pre|img)(?:\.[^\s<>]+)?"
    r"|/h[1-6]|h(?P<level>[1-6])(?=[^<>]{0,80}>.{0,400}</h(?P=level)>))"
    r"(?:(?<=lang)\s+[\w-]+|(?:\s+[\w:-]+\s*=[^<>]*)?)\s*/?"
)
"""A tag of captions or of HTML; other words between such marks are said: "<c4>", "<a pawn>".

A heading's is one only where it is closed: "<h4>" is a square.
"""
_CUE_TOKEN = re.compile(
    r"<(?P<stamp>(?:\d{2,}:)?\d{2}:\d{2}\.\d{3})>"
    r"|<v(?:\.[^\s<>]*)?[ \t]+(?P<voice>[^<>]*)>"
    rf"|<(?P<tag>{_TAG}|/)>"
    r"|\{(?P<brace>\\[^{}]*|/?[bius])\}"
    r"|&(?P<ref>#\d+|#x[\da-fA-F]+|[A-Za-z]+);"
    r"|(?P<sound>\[[^\[\]\d][^\[\]]{0,60}\]|[♪♫]+"
    r"|\((?i:music|applause|laughs?|laughter|laughing|coughs?|sighs?|pause|inaudible)\))"
)


def _read_cue_line(reading: _Reading, readable: _Readable, line: _Line) -> None:
    label = re.match(r"\s*(?:>>+|-(?=\s))\s*", line.text)
    at = label.end() if label else 0
    if label:  # a sign that nobody says: of a name alone is it told that it was left out
        readable.speakers.append((len(readable.chars), ""))
    for match in _CUE_TOKEN.finditer(line.text, at):
        _put_plain(readable, line, at, match.start())
        _read_cue_token(reading, readable, line, match)
        at = match.end()
    _put_plain(readable, line, at, len(line.text))
    readable.put("\n", line.end, line.end)


def _put_plain(readable: _Readable, line: _Line, start: int, end: int) -> None:
    for i in range(start, end):
        letter = " " if line.text[i] in "<>" else line.text[i]
        readable.put(letter, line.start + i, line.start + i + 1)


def _read_cue_token(
    reading: _Reading, readable: _Readable, line: _Line, match: re.Match[str]
) -> None:
    span = Span(line.start + match.start(), line.start + match.end())
    if match["stamp"]:
        ms = _ms(match["stamp"])
        if ms is not None:
            readable.stamps.append((len(readable.chars), ms))
    elif match["voice"] is not None:
        reading.fault("speaker-labels", span, _quoted(match["voice"].strip()))
        readable.speakers.append((len(readable.chars), html.unescape(match["voice"].strip())))
    elif match["tag"] or match["brace"]:
        if not re.match(r"/?(v|c)\b|/$", match["tag"] or ""):
            reading.fault("styling-tags", span, _quoted(match[0]))
    elif match["ref"]:
        text = html.unescape(match[0])
        readable.put("" if text in "\u200e\u200f" else text, span.start, span.end)
    else:
        reading.sounds.append(span)
        readable.put(" ", span.start, span.end)


_LABEL = re.compile(r"\s*(?P<name>[A-Z][\w.'-]*(?: [A-Z0-9][\w.'-]*){0,2})\s?:(?=\s)")
_WORD_IN_SMALL = re.compile(r"(?<![\w'-])[a-z][\w'-]*")
_ROLES = re.compile(r"(?i)(speaker|teacher|coach|host|student|pupil|audience|presenter)( \d+)?$")
_NOT_NAMES = frozenset(
    "white black so note question answer remember now and but example warning tip hint rule".split()
)
_AS_NOUN = re.compile(
    r"\b(?i:a|an|the|this|that|my|your|his|her|our|their|no|one|some|any|another|each|every|what)"
    r" ([a-z][\w'-]*)"
)


def _name_speakers(reading: _Reading) -> None:
    """Take ``NAME:`` at the start of cues off the words where it is a label, not a sentence.

    A label is

    * a role: "Teacher:";
    * in capitals, in a talk that is not;
    * a name (`_speakers`).

    Notation and the words of chess are none.
    """
    texts = [draft.readable.text for draft in reading.drafts]
    found = [
        (draft, match)
        for draft, text in zip(reading.drafts, texts, strict=True)
        if (match := _LABEL.match(text)) and not _is_of_chess(match["name"])
    ]
    whole = "".join(texts)
    shouted = sum(map(str.isupper, whole)) > sum(map(str.islower, whole))
    names = _speakers([match["name"] for _, match in found], texts)
    for draft, match in found:
        name = match["name"]
        capitals = name.isupper() and len(name) > 1 and not shouted
        if capitals or _ROLES.match(name) or name in names:
            span = Span(
                draft.readable.starts[match.start("name")], draft.readable.ends[match.end() - 1]
            )
            reading.fault("speaker-labels", span, _quoted(name))
            for i in range(match.start(), match.end()):
                draft.readable.chars[i] = " "
            draft.readable.speakers.append((0, name))


def _is_of_chess(name: str) -> bool:
    """Whether what stands before a colon is notation, a man, or the word of a teacher.

    A man's name may stand behind a first one.

    >>> [_is_of_chess(name) for name in ("E4", "Knight f3", "King safety", "White", "Odo King")]
    [True, True, True, True, False]
    """
    first = name.lower().split()[0]
    return first in _NOT_NAMES or _is_chess(first)


def _speakers(labels: Sequence[str], texts: Sequence[str]) -> set[str]:
    """The names that stand before a colon more than once, where they tell who speaks.

    They do where

    * they stand before most cues;
    * one of them opens the talk;
    * they take turns with each other or with a role.

    Words that the talk also writes small are none ("Idea: castle"). Where that leaves less than two,
    words are names that it has not as nouns ("you will", but "the idea"), if they take turns and
    one opens the talk.
    """
    small = {word for text in texts for word in _WORD_IN_SMALL.findall(text)}
    nouns = {word for text in texts for word in _AS_NOUN.findall(text)}
    roles = {label for label in labels if _ROLES.match(label)}
    often = _repeated(x for x in labels if not small.issuperset(x.lower().split()))
    most = sum(label in often for label in labels) > len(texts) / 2
    names = often if most or _opens(often, texts) or len(often | roles) > 1 else set()
    turns = _repeated(label for label in labels if label.lower() not in nouns)
    if len(names) < 2 <= len(turns | roles) and _opens(turns, texts):
        return names | turns
    return names


def _repeated(labels: Iterable[str]) -> set[str]:
    return {label for label, count in Counter(labels).items() if count > 1}


def _opens(names: Iterable[str], texts: Sequence[str]) -> bool:
    return any(text.startswith(f"{name}:") for text in texts[:1] for name in names)


# --- plain text and Markdown -------------------------------------------------------------------

_TEXT_TOKEN = re.compile(
    rf"[\[(<](?P<stamp>{_CLOCK})(?:\s*(?:-->?|–|—|to)\s*{_CLOCK})?[\])>]\s*:?"
    r"|!?\[(?P<label>[^\[\]]+)\]\([^()\s]*(?:\s\"[^\"]*\")?\)"
    r"|(?P<sound>\[(?i:[^\[\]\d]{0,20}(?:music|applause|laugh\w*|inaudible|silence|crosstalk"
    r"|cough\w*|pause)[^\[\]]{0,20})\])"
    r"|&(?P<ref>#\d+|#x[\da-fA-F]+|amp|lt|gt|nbsp|quot|apos);"
    rf"|<(?P<tag>{_TAG})>"
)
_BARE_STAMP = re.compile(rf"\s*(?P<stamp>{_CLOCK})(?=\s|$)\s*(?:[-–—|]\s+)?")


def _read_text(reading: _Reading, lines: Sequence[_Line]) -> None:
    draft: _Draft | None = None
    for line in _spoken_lines(reading, lines):
        heading = re.match(r"\s{0,3}(#{1,6})\s+(.*?)\s*#*\s*$", line.text)
        if heading:
            reading.headings.append((line.span, heading[2], line.start))
            draft = None if draft is None or draft.start_ms is None else draft
        elif line.blank:
            draft = None if draft is None or draft.start_ms is None else draft
        else:
            draft = _read_text_line(reading, line, draft)
    _close_text_cues(reading.drafts)
    _name_speakers(reading)


def _spoken_lines(reading: _Reading, lines: Sequence[_Line]) -> Iterator[_Line]:
    """The lines less front matter and HTML comments, which become notes."""
    text = reading.source.text
    hidden = [m.span() for m in re.finditer(r"<!--.*?(?:-->|\Z)", text, re.DOTALL)]
    front = re.match(r"\ufeff?---[ \t]*\n.*?\n(?:---|\.\.\.)[ \t]*(?:\n|$)", text, re.DOTALL)
    if front:
        hidden.append(front.span())
    reading.notes.extend(Span(a, b) for a, b in sorted(hidden))
    silent = bytearray(len(text))
    for a, b in hidden:
        silent[a:b] = b"\1" * (b - a)
    for line in lines:
        marks = silent[line.start : line.end]
        told = "".join(" " if gone else c for c, gone in zip(line.text, marks, strict=True))
        if not re.fullmatch(r"\s*([-*_])(\s*\1){2,}\s*", line.text):
            yield _Line(line.start, told.replace("\ufeff", " "))


def _read_text_line(reading: _Reading, line: _Line, draft: _Draft | None) -> _Draft:
    bare = _BARE_STAMP.match(line.text)
    at = 0
    if bare:
        draft = _begin(reading, line, bare)
        at = bare.end()
    elif draft is None:
        draft = _Draft(Span(line.start, line.end), _Readable())
        reading.drafts.append(draft)
    for match in _TEXT_TOKEN.finditer(line.text, at):
        _put_text(draft, line, at, match.start())
        if match["stamp"]:
            draft = _begin(reading, line, match)
        else:
            _put_text_token(reading, draft, line, match)
        at = match.end()
    _put_text(draft, line, at, len(line.text))
    draft.readable.put("\n", line.end, line.end)
    return draft


def _put_text(draft: _Draft, line: _Line, start: int, end: int) -> None:
    _put_plain(draft.readable, line, start, end)
    draft.span = Span(draft.span.start, max(draft.span.end, line.start + end))


def _begin(reading: _Reading, line: _Line, match: re.Match[str]) -> _Draft:
    start = _ms(match["stamp"])
    place = Span(line.start + match.start(), line.start + match.end())
    if start is None:
        reading.fault("time-unreadable", place, _quoted(match["stamp"]))
    draft = _Draft(Span(place.end, place.end), _Readable(), start)
    reading.drafts.append(draft)
    return draft


def _put_text_token(reading: _Reading, draft: _Draft, line: _Line, match: re.Match[str]) -> None:
    start, end = line.start + match.start(), line.start + match.end()
    if match["label"]:
        for i in range(match.start("label"), match.end("label")):
            draft.readable.put(line.text[i], line.start + i, line.start + i + 1)
    elif match["sound"]:
        reading.sounds.append(Span(start, end))
        draft.readable.put(" ", start, end)
    elif match["ref"]:
        draft.readable.put(html.unescape(match[0]), start, end)
    else:
        reading.fault("styling-tags", Span(start, end), _quoted(match[0]))


SLOWEST_MS = 600
"""A word in text with times is not stretched over more than this (100 words a minute): what is
left up to the next time is a pause. Common practice, no source."""


def _close_text_cues(drafts: list[_Draft]) -> None:
    """Text names only when a stretch begins: it ends at the next one, or earlier after a pause."""
    later = None
    for draft in reversed(drafts):
        if draft.start_ms is None:
            continue
        length = len(draft.readable.text.split()) * SLOWEST_MS
        end = draft.start_ms + length
        draft.end_ms = min(end, later) if later is not None and later > draft.start_ms else end
        later = draft.start_ms


# --- from drafts to words ----------------------------------------------------------------------

_SPLIT = re.compile(r"\s+|—|--+|(?<!\d)…|(?<=[A-Za-z])\.{2,}(?=[A-Za-z])")
_EDGE = "\"'`´“”‘’„«»‹›()[]{}<>.,;:!?¿¡…-–—*_~|/\\"


@dataclass(frozen=True, slots=True)
class _Token:
    first: int
    last: int
    text: str
    mark: str


def _tokens(reading: _Reading, readable: _Readable) -> Iterator[_Token]:
    text, at = readable.text, 0
    cuts = [(m.start(), m.end()) for m in _SPLIT.finditer(text)] + [(len(text), len(text))]
    for start, end in cuts:
        if at < start:
            token = _token(reading, readable, at, start, text[start:end].strip())
            if token:
                yield token
        at = end


def _token(
    reading: _Reading, readable: _Readable, start: int, end: int, divider: str
) -> _Token | None:
    for i in range(start, end):
        if _is_emoji(readable.chars[i]):
            span = Span(readable.starts[i], readable.ends[i])
            reading.fault("emoji", span, _quoted(readable.chars[i]))
    last = end
    while end > start and (readable.chars[end - 1] in _EDGE or _is_emoji(readable.chars[end - 1])):
        end -= 1
    while start < end and (readable.chars[start] in _EDGE or _is_emoji(readable.chars[start])):
        start += 1
    if not any(c.isalnum() or c in "♔♕♖♗♘♙♚♛♜♝♞♟" for c in readable.chars[start:end]):
        return None
    mark = "".join(c for c in readable.chars[end:last] if not _is_emoji(c)) + divider
    text = "".join(c for c in readable.chars[start:end] if not _is_emoji(c))
    return _Token(start, end - 1, text, mark.strip("*_`~"))


def _is_emoji(char: str) -> bool:
    """Whether a character is a pictograph that is not a chess figurine."""
    code = ord(char)
    if code < 0x200D or "♔" <= char <= "♟":
        return False
    return (
        code in (0x200D, 0xFE0F, 0x20E3)
        or 0x1F000 <= code <= 0x1FAFF
        or (0x2600 <= code <= 0x27BF and unicodedata.category(char) == "So")
    )


def _assemble(reading: _Reading) -> Transcript:
    if reading.form is FileForm.TEXT:
        reading.drafts = [draft for draft in reading.drafts if draft.readable.text.strip()]
    rolled = [0] * len(reading.drafts)
    if reading.form is not FileForm.TEXT:
        rolled = _rolled_up([draft.readable.text for draft in reading.drafts])
    _order_times(reading)
    words: list[Word] = []
    cues: list[Cue] = []
    for index, draft in enumerate(reading.drafts):
        tokens = list(_tokens(reading, draft.readable))
        if rolled[index]:
            tokens = _less_repeated(reading, draft, tokens, rolled[index])
        first = len(words)
        words.extend(_timed(draft, tokens, index))
        cues.append(_cue(draft, (first, len(words))))
    headings = tuple(
        Heading(span, title, bisect_right(words, place, key=lambda w: w.span.start))
        for span, title, place in reading.headings
    )
    transcript = Transcript(
        reading.source, reading.form, tuple(cues), tuple(_disjoint(words)), headings,
        tuple(reading.notes), tuple(reading.sounds),
    )  # fmt: skip
    return replace(transcript, findings=_findings(reading, transcript))


def _cue(draft: _Draft, words: tuple[int, int]) -> Cue:
    span = Span(draft.span.start, draft.span.end, draft.start_ms, draft.end_ms)
    if draft.start_ms is None:
        return Cue(span, words, Timing.NONE, draft.identifier)
    timing = Timing.MEASURED if draft.trusted else Timing.ESTIMATED
    return Cue(span, words, timing, draft.identifier)


def _rolled_up(texts: Sequence[str]) -> list[int]:
    """How many first lines of each caption only roll up from the one before.

    Live captions show a line twice: while it is typed, and above the next one. That is a way of
    captioning a whole file; a teacher who says a line twice is heard twice.
    """
    lines = [[line.strip() for line in text.split("\n") if line.strip()] for text in texts]
    shared = [0]
    partly = 0
    for old, new in pairwise(lines):
        longest = range(min(len(old), len(new)), 0, -1)
        count = next((n for n in longest if old[-n:] == new[:n]), 0)
        shared.append(count)
        partly += 0 < count < max(len(new), len(old))
    return shared if partly >= max(2, 0.3 * len(texts) - 1) else [0] * len(texts)


def _less_repeated(
    reading: _Reading, draft: _Draft, tokens: list[_Token], lines: int
) -> list[_Token]:
    reading.fault("rolled-up-captions", Span(draft.span.start, draft.span.end))
    text = draft.readable.text
    kept = [line for line in text.split("\n") if line.strip()][:lines]
    cut = _end_of_words(text, len(" ".join(kept).split()))
    return [token for token in tokens if token.first >= cut]


def _end_of_words(text: str, count: int) -> int:
    matches = re.finditer(r"\S+", text)
    end = 0
    for _, match in zip(range(count), matches, strict=False):
        end = match.end()
    return end


def _weight(token: _Token) -> int:
    """How long a word takes to say, in letters; a digit is a whole syllable."""
    digits = sum(c.isdigit() for c in token.text)
    return max(3, len(token.text) - digits) + 3 * digits + (3 if token.mark else 0)


def _timed(draft: _Draft, tokens: Sequence[_Token], cue: int) -> Iterator[Word]:
    anchors = _anchors(draft, tokens)
    for index, token in enumerate(tokens):
        start, end, timing = anchors[index]
        readable = draft.readable
        span = Span(readable.starts[token.first], readable.ends[token.last], start, end)
        speaker = ""
        for place, name in sorted(readable.speakers):
            if place <= token.first:
                speaker = name
        yield Word(span, token.text, cue, timing, token.mark, speaker)


def _anchors(
    draft: _Draft, tokens: Sequence[_Token]
) -> list[tuple[int | None, int | None, Timing]]:
    """A start, an end and their kind for each token of a cue."""
    if draft.start_ms is None:
        return [(None, None, Timing.NONE)] * len(tokens)
    end = draft.end_ms if draft.end_ms is not None else draft.start_ms + len(tokens) * 400
    marks: list[tuple[int, int]] = [(0, draft.start_ms)]
    for place, ms in sorted(draft.readable.stamps):
        index = next((i for i, t in enumerate(tokens) if t.first >= place), len(tokens))
        if index < len(tokens) and marks[-1][1] <= ms <= end:
            marks = marks[:-1] if marks[-1][0] == index else marks
            marks.append((index, ms))
    measured = {index for index, _ in marks} if draft.readable.stamps else set()
    marks.append((len(tokens), end))
    out: list[tuple[int | None, int | None, Timing]] = []
    for (first, start), (last, stop) in pairwise(marks):
        weights = [_weight(token) for token in tokens[first:last]]
        done, total = 0, sum(weights)
        for offset, weight in enumerate(weights):
            exact = first + offset in measured and draft.trusted
            begin = start + (stop - start) * done // total
            done += weight
            kind = Timing.MEASURED if exact else Timing.ESTIMATED
            out.append((begin, start + (stop - start) * done // total, kind))
    return out


def _order_times(reading: _Reading) -> None:
    """Distrust the fewest cues whose removal leaves the starts in order, and time them between.

    The longest non-decreasing run of starts is kept: one mistyped time does not move the rest.
    """
    timed = [draft for draft in reading.drafts if draft.start_ms is not None]
    kept = set(_longest_rising([draft.start_ms or 0 for draft in timed]))
    for index, draft in enumerate(timed):
        if index not in kept:
            reading.fault("times-backwards", draft.span, f"“{clock(draft.start_ms or 0)}”")
            draft.trusted = False
    _fill_between(reading.drafts)
    for before, after in pairwise(timed):
        if not (before.trusted and after.trusted) or before.end_ms is None:
            continue
        start = after.start_ms or 0
        if before.end_ms > start and reading.form is not FileForm.TEXT:
            reading.fault("cues-overlap", after.span, f"“{clock(start)}”")


def _longest_rising(values: Sequence[int]) -> list[int]:
    """Indices of a longest non-decreasing run; of equal ones the run with the earlier values.

    Walks from the right, so that of two times in conflict the later one in the file is the
    mistyped one.
    """
    tails: list[int] = []
    keys: list[int] = []
    following: dict[int, int | None] = {}
    for index in range(len(values) - 1, -1, -1):
        place = bisect_right(keys, -values[index])
        following[index] = tails[place - 1] if place else None
        tails[place : place + 1] = [index]
        keys[place : place + 1] = [-values[index]]
    run: list[int] = []
    at = tails[-1] if tails else None
    while at is not None:
        run.append(at)
        at = following[at]
    return run


def _fill_between(drafts: Sequence[_Draft]) -> None:
    """Give cues without a usable time one between their neighbours, in a file that has times."""
    if not any(draft.start_ms is not None and draft.trusted for draft in drafts):
        return
    index = 0
    while index < len(drafts):
        if drafts[index].start_ms is not None and drafts[index].trusted:
            index += 1
            continue
        last = index
        while last < len(drafts) and (drafts[last].start_ms is None or not drafts[last].trusted):
            last += 1
        _spread(drafts, index, last)
        index = last


def _spread(drafts: Sequence[_Draft], first: int, last: int) -> None:
    run = drafts[first:last]
    sizes = [max(len(draft.readable.text.split()), 1) for draft in run]
    before = drafts[first - 1] if first else None
    start = ((before.end_ms or before.start_ms) if before else 0) or 0
    stop = drafts[last].start_ms if last < len(drafts) else start + sum(sizes) * 400
    stop = start if stop is None or stop < start else stop
    done, total = 0, sum(sizes)
    for draft, size in zip(run, sizes, strict=True):
        draft.start_ms = start + (stop - start) * done // total
        done += size
        draft.end_ms = start + (stop - start) * done // total
        draft.trusted = False


def _disjoint(words: Sequence[Word]) -> Iterator[Word]:
    """The words with ends cut back to the next start and starts never before the last one."""
    floor = 0
    starts: list[int | None] = []
    for word in words:
        if word.start_ms is None:
            starts.append(None)
            continue
        floor = max(floor, word.start_ms)
        starts.append(floor)
    following: int | None = None
    ends: list[int | None] = [None] * len(words)
    for index in range(len(words) - 1, -1, -1):
        start, end = starts[index], words[index].end_ms
        if start is None or end is None:
            continue
        end = max(end, start)
        ends[index] = end if following is None else min(end, following)
        following = start
    for word, start, end in zip(words, starts, ends, strict=True):
        moved = word.start_ms != start
        timing = Timing.ESTIMATED if moved and word.timing is Timing.MEASURED else word.timing
        yield replace(word, span=Span(word.span.start, word.span.end, start, end), timing=timing)


# --- findings ----------------------------------------------------------------------------------

_MESSAGES = {
    "captions-header": (
        Severity.WARNING,
        "{detail}the first line is not “WEBVTT”, so players will not show these captions:"
        " put it there, followed by an empty line",
    ),
    "time-unreadable": (
        Severity.WARNING,
        "{detail} is no time that can be read; the words are kept with estimated times:"
        " write minutes and seconds below 60",
    ),
    "time-not-standard": (
        Severity.NOTE,
        "{detail} is read, but not written as the format wants it: write hours, minutes,"
        " seconds and three decimals",
    ),
    "cue-ends-early": (
        Severity.WARNING,
        "{detail} ends before it begins; its length is estimated from its words",
    ),
    "times-backwards": (
        Severity.WARNING,
        "the time {detail} runs backwards; the words keep their order and get estimated times",
    ),
    "cues-overlap": (
        Severity.NOTE,
        "the caption at {detail} begins before the one before it has ended; the earlier words"
        " are cut short",
    ),
    "text-outside-cues": (
        Severity.WARNING,
        "{detail} stands outside every caption and is not heard: give it a time line",
    ),
    "styling-tags": (Severity.NOTE, "styling such as {detail} is left out of the words"),
    "speaker-labels": (Severity.NOTE, "{detail} is taken as a speaker's label, not as words"),
    "emoji": (Severity.NOTE, "{detail} is not spoken and is left out of the words"),
    "rolled-up-captions": (
        Severity.NOTE,
        "{detail}lines that roll up from one caption to the next are heard once",
    ),
}


_EACH_TOLD = frozenset({"speaker-labels"})
"""Findings that tell every word they are about: each may be one that was said."""


def _quoted(text: str) -> str:
    plain = " ".join(text.split())
    return f"“{plain if len(plain) <= 60 else plain[:57] + '…'}”"


def _findings(reading: _Reading, transcript: Transcript) -> tuple[Finding, ...]:
    found = [_fault(reading, rule, places) for rule, places in reading.faults.items()]
    found.extend(_about_all(transcript))
    return tuple(sorted(found, key=lambda finding: (finding.span.start, finding.rule)))


def _fault(reading: _Reading, rule: str, places: list[tuple[Span, str]]) -> Finding:
    """One finding for all places of a fault: the first is named, the others are its evidence."""
    severity, message = _MESSAGES[rule]
    span, detail = places[0]
    text = message.format(detail=detail)
    evidence = Evidence()
    if len(places) > 1:
        numbers = [reading.source.line_column(place.start)[0] for place, _ in places]
        lines = sorted(set(numbers))
        shown = ", ".join(str(number) for number in lines[:20])
        more = f" and {len(lines) - 20} more" if len(lines) > 20 else ""
        also = dict.fromkeys(told for _, told in places if told != detail)
        named = f"; also {', '.join(also)}" if also and rule in _EACH_TOLD else ""
        text += f" ({len(places)} times{named})"
        evidence = Evidence(text=f"lines {shown}{more}")
    return Finding(rule, severity, span, text, evidence)


_COMMONEST = """
English the and of to is that it in you this for with on he but not we have so are
German und der die das ist nicht ich wir mit auf den ein eine hier auch von zu es
French le la les et est une des que qui dans pour sur pas nous avec il ce du je
Spanish el los las que es una por con para no se lo del como pero más aquí y en
Italian il che è di un una per non con sono gli della del qui come anche più si
Dutch het een de van en dat is niet ik wij met op voor hier ook zijn maar te
Norwegian og det er ikke jeg vi på med som en et til av her kan har så men den
Portuguese o que não uma com para os as do da em é por mais aqui mas como
"""
COMMON_WORDS = {
    line.split()[0]: frozenset(line.split()[1:]) for line in _COMMONEST.strip().splitlines()
}
"""Some of the commonest words of each language (from memory, unverified), enough to tell which
of them a talk is in."""

_CHESS = """
knight knights bishop bishops rook rooks queen queens king kings pawn pawns castle castles
castled castling check checkmate mate file diagonal opening gambit kingside queenside endgame
"""
CHESS_WORDS = frozenset(_CHESS.split())
"""Words that a talk about chess cannot do without (common practice, no source)."""

FEW_WORDS = 40

NOT_TO_BE_HEARD = frozenset({"no-words", "other-language", "not-about-chess"})
"""Findings about the words, with which no move is looked for in them."""


def _about_all(transcript: Transcript) -> Iterator[Finding]:
    span = Span(0, len(transcript.source.text))
    words = [word.text.lower() for word in transcript.words]
    if not words:
        message = "no spoken word was found in the file; is it the right one"
        yield Finding("no-words", Severity.ERROR, span, message)
        return
    if transcript.timing is Timing.NONE:
        message = (
            "no times stand in the file, so none can be given back: put them in brackets,"
            " as in [1:23], or give the recording"
        )
        yield Finding("no-times", Severity.NOTE, span, message)
    if len(words) < FEW_WORDS:
        return
    language = _other_language(words)
    if language:
        yield Finding("other-language", Severity.ERROR, span, language)
        return
    share = sum(1 for word in words if _is_chess(word)) / len(words)
    if share < 0.01:
        message = (
            f"this does not sound like chess: {share:.1%} of {len(words)} words are pieces or"
            " squares; give the transcript of a chess talk"
        )
        yield Finding("not-about-chess", Severity.ERROR, span, message)


def _is_chess(word: str) -> bool:
    return word in CHESS_WORDS or _SMALL_NOTATION.fullmatch(word) is not None


_SMALL_NOTATION = re.compile(
    r"(?:[kqrbn]?[a-h]?[1-8]?x?[a-h][1-8](?:=[qrbn])?|o-o(?:-o)?|0-0(?:-0)?)\W*"
)
"""A square, or a move in notation, in small letters."""


def _other_language(words: Sequence[str]) -> str:
    """Why the words are not English, or an empty string."""
    letters = [c for word in words for c in word if c.isalpha()]
    latin = sum(1 for c in letters if unicodedata.name(c, "").startswith("LATIN"))
    if letters and latin < 0.5 * len(letters):
        return (
            f"the words are not English: {1 - latin / len(letters):.0%} of the letters are not"
            " Latin; only English talks are understood"
        )
    shares = {
        name: sum(1 for word in words if word in common) / len(words)
        for name, common in COMMON_WORDS.items()
    }
    best = max(shares, key=lambda name: shares[name])
    if best == "English" or shares[best] < 0.1 or shares[best] < 1.5 * shares["English"]:
        return ""
    return (
        f"the words look like {best}: {shares[best]:.0%} of them are among its commonest,"
        f" {shares['English']:.0%} among those of English; only English talks are understood"
    )
