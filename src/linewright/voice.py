"""The draft voice: text spoken by the machine, with the time of every word.

It stands in for the teacher until there is a recording: the film can be watched, and times are
those of real speech. The speaking library (eSpeak NG, GPL-3.0-or-later) and its data come with
the `espeakng-loader` wheel; nothing need be installed beside Python.
"""

from __future__ import annotations

import _ctypes
import ctypes
import io
import os
import re
import threading
import wave
from array import array
from bisect import bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

SLOWEST, FASTEST = 80, 450
"""Words a minute the voice can keep to (documentation of the speaking library)."""

DEFAULT_VOICE = "en-gb"
"""British English. A voice is a language, and after a plus sign a variant: ``en-us+f3``."""


class VoiceError(RuntimeError):
    """The draft voice cannot speak: its library or data is missing, or the voice is unknown."""


@dataclass(frozen=True, slots=True)
class Speech:
    """Sound and the time of every word in it.

    **Units/shape**: `pcm` is mono, 16 bit, little endian, `rate_hz` samples a second; `words`
    has one `(start_ms, end_ms)` for each word spoken, in order and disjoint.
    """

    rate_hz: int
    pcm: bytes
    words: tuple[tuple[int, int], ...] = ()

    @property
    def length_ms(self) -> int:
        """How long the sound lasts."""
        return len(self.pcm) // 2 * 1000 // self.rate_hz

    def wav(self) -> bytes:
        """The sound as the bytes of a WAV file."""
        out = io.BytesIO()
        with wave.open(out, "wb") as file:
            file.setnchannels(1)
            file.setsampwidth(2)
            file.setframerate(self.rate_hz)
            file.writeframes(self.pcm)
        return out.getvalue()


def silence(ms: int, rate_hz: int = 22_050) -> Speech:
    """A pause.

    >>> silence(250).length_ms
    250
    """
    return Speech(rate_hz, bytes(2 * -(-max(ms, 0) * rate_hz // 1000)))


def join(parts: Iterable[Speech]) -> Speech:
    """The parts one after the other, with the times of all their words.

    **Raises**: `ValueError` when the parts differ in sample rate.

    >>> parts = [Speech(1000, bytes(200), ((10, 90),)), Speech(1000, bytes(100), ((0, 40),))]
    >>> join(parts).words
    ((10, 90), (100, 140))
    """
    rate, pcm = 0, bytearray()
    words: list[tuple[int, int]] = []
    for part in parts:
        if rate and part.rate_hz != rate:
            raise ValueError(f"sample rates differ: {rate} and {part.rate_hz} Hz")
        rate = part.rate_hz
        offset = len(pcm) // 2 * 1000 // rate
        words.extend((start + offset, end + offset) for start, end in part.words)
        pcm += part.pcm
    return Speech(rate or 22_050, bytes(pcm), tuple(words))


def speak(words: Sequence[str], voice: str = DEFAULT_VOICE, pace: int = 150) -> Speech:
    """The words spoken, with the start and end of each.

    A word may be several to the ear (``"knight f three"``); punctuation at its end makes the
    voice pause and turn as a reader would. `pace` is the voice's own measure of words a minute:
    what comes out is a tenth less in chess talk and more where words are short. The same words
    give the same sound.

    **Raises**: `VoiceError`.

    >>> speech = speak(["Knight", "takes", "d five,", "check."])
    >>> [start < end for start, end in speech.words]
    [True, True, True, True]
    """
    text, places = _spoken_text(words)
    with _ONE_AT_A_TIME:
        rate_hz, samples, events = _say(text, voice, min(max(pace, SLOWEST), FASTEST))
    starts = _starts(places, events)
    return Speech(rate_hz, samples.tobytes(), _spans(starts, samples, rate_hz))


_UNSPOKEN = re.compile(r"[^\w\s'.,;:?!-]+|(?<!\w)[-']|[-'](?!\w)|_")
_TURNS = (".", ",", ";", ":", "?", "!")
_PAUSES = str.maketrans({"—": ",", "–": "-", "…": ",", "’": "'", "‑": "-"})


def _spoken_text(words: Sequence[str]) -> tuple[str, list[tuple[int, int]]]:
    """One text for the voice and the range of each word in it; unspeakable words are empty."""
    pieces: list[str] = []
    places: list[tuple[int, int]] = []
    at = 0
    for word in words:
        piece = " ".join(_UNSPOKEN.sub(" ", word.translate(_PAUSES)).split())
        if not any(c.isalnum() for c in piece):
            places.append((at, at))
            if pieces and piece[:1] in _TURNS and pieces[-1][-1] not in _TURNS:
                pieces[-1] += piece[0]
                at += 1
            continue
        places.append((at, at + len(piece)))
        pieces.append(piece)
        at += len(piece) + 1
    return " ".join(pieces), places


def _starts(places: Sequence[tuple[int, int]], events: Sequence[tuple[int, int]]) -> list[int]:
    """The sample at which each word starts; a word the voice passed over starts with the next."""
    firsts = [start for start, _ in places]
    found: dict[int, int] = {}
    for offset, sample in events:
        index = bisect_right(firsts, offset) - 1
        while index > 0 and places[index][0] == places[index][1]:
            index -= 1
        if index >= 0:
            found.setdefault(index, sample)
    starts: list[int] = []
    following = events[-1][1] if events else 0
    for index in range(len(places) - 1, -1, -1):
        following = (
            min(found.get(index, following), following) if starts else found.get(index, following)
        )
        starts.append(following)
    return starts[::-1]


QUIET = 200
"""Samples below this (of 32,768) are the pause after a word; the voice's own pauses are 0."""


def _spans(starts: Sequence[int], samples: array[int], rate_hz: int) -> tuple[tuple[int, int], ...]:
    """Start and end in milliseconds; a word ends with its sound, not where the next begins."""
    spans = []
    stops = [*starts[1:], len(samples)] if starts else []
    for start, stop in zip(starts, stops, strict=True):
        end = stop
        while end > start and abs(samples[end - 1]) < QUIET:
            end -= 1
        spans.append((start * 1000 // rate_hz, end * 1000 // rate_hz))
    return tuple(spans)


# --- the speaking library ----------------------------------------------------------------------

_SYNCHRONOUS = 2
_DO_NOT_EXIT = 0x8000
_UTF8 = 1
_END_PAUSE = 0x1000
_RATE = 1
_WORD_EVENT = 1
_SEED = 1
_LONGEST_PATH = 150
"""The library keeps the path of its data in a fixed buffer of 160 bytes."""


class _Identity(ctypes.Union):
    _fields_ = (("number", ctypes.c_int), ("name", ctypes.c_char_p), ("text", ctypes.c_char * 8))


class _Event(ctypes.Structure):
    _fields_ = (
        ("type", ctypes.c_int),
        ("unique_identifier", ctypes.c_uint),
        ("text_position", ctypes.c_int),
        ("length", ctypes.c_int),
        ("audio_position", ctypes.c_int),
        ("sample", ctypes.c_int),
        ("user_data", ctypes.c_void_p),
        ("id", _Identity),
    )


_CALLBACK = ctypes.CFUNCTYPE(
    ctypes.c_int, ctypes.POINTER(ctypes.c_short), ctypes.c_int, ctypes.POINTER(_Event)
)


_ONE_AT_A_TIME = threading.Lock()
"""The library has one state for the whole process."""


def _say(text: str, voice: str, pace: int) -> tuple[int, array[int], list[tuple[int, int]]]:
    """Sample rate, samples, and where in the text and sound each word starts.

    The library is loaded anew for every text: its noise and pitch would run on from one text to
    the next, and the same words would not give the same sound.
    """
    samples, events = array("h"), list[tuple[int, int]]()

    def receive(data: Any, count: int, found: Any) -> int:
        if data and count > 0:
            samples.frombytes(ctypes.string_at(data, 2 * count))
        index = 0
        while found[index].type:
            if found[index].type == _WORD_EVENT:
                events.append((found[index].text_position - 1, found[index].sample))
            index += 1
        return 0

    library, keep = _load(), _CALLBACK(receive)
    try:
        rate_hz = int(library.espeak_Initialize(_SYNCHRONOUS, 0, _data_path(), _DO_NOT_EXIT))
        if rate_hz <= 0:
            raise VoiceError("the draft voice's data cannot be read: install espeakng-loader again")
        library.espeak_SetSynthCallback(keep)
        library.espeak_ng_SetRandSeed(_SEED)
        _choose(library, voice, pace)
        data = text.encode()
        if text and library.espeak_Synth(
            data, len(data) + 1, 0, 1, 0, _UTF8 | _END_PAUSE, None, None
        ):
            raise VoiceError("the draft voice failed while speaking")
    finally:
        library.espeak_Terminate()
        _unload(library)
    return rate_hz, samples, events


def _choose(library: Any, voice: str, pace: int) -> None:
    language, plus, variant = voice.partition("+")
    name = {"en-gb": "en"}.get(language.lower(), language) + plus + variant
    if library.espeak_SetVoiceByName(name.encode()) != 0:
        raise VoiceError(f"the draft voice has no voice “{voice}”: “en-gb” and “en-us” are two")
    library.espeak_SetParameter(_RATE, pace, 0)


def _load() -> Any:
    try:
        import espeakng_loader

        return ctypes.CDLL(espeakng_loader.get_library_path())
    except (ImportError, OSError) as error:
        raise VoiceError(f"the draft voice's library cannot be loaded: {error}") from error


def _unload(library: Any) -> None:
    close = getattr(_ctypes, "dlclose", None) or getattr(_ctypes, "FreeLibrary", None)
    if close:
        close(library._handle)


def _data_path() -> bytes:
    import espeakng_loader

    path = espeakng_loader.get_data_path().encode()
    if len(path) <= _LONGEST_PATH:
        return bytes(path)
    near = os.path.relpath(path)
    if len(near) <= _LONGEST_PATH:
        return bytes(near)
    raise VoiceError("the draft voice's data lies too deep in folders: move the environment up")
