"""The draft voice: same words, same sound; times that fit the sound."""

from __future__ import annotations

import io
import wave
from array import array

import pytest

from linewright.voice import Speech, VoiceError, join, silence, speak

TEXT = "So today, knight to f three — and then he plays e4; black's reply “is” … well: bishop takes c6 check! It is 1984 and O-O wins."
WORDS = TEXT.split()


def loudness(speech: Speech, start_ms: int, end_ms: int) -> float:
    samples = array("h", speech.pcm)[
        start_ms * speech.rate_hz // 1000 : end_ms * speech.rate_hz // 1000
    ]
    return sum(abs(s) for s in samples) / max(len(samples), 1)


def test_every_word_has_a_time_in_order() -> None:
    speech = speak(WORDS)
    assert len(speech.words) == len(WORDS)
    assert all(start <= end for start, end in speech.words)
    assert all(a[1] <= b[0] for a, b in zip(speech.words, speech.words[1:], strict=False))
    assert speech.words[-1][1] <= speech.length_ms
    for word, (start, end) in zip(WORDS, speech.words, strict=True):
        assert (end > start) == any(c.isalnum() for c in word), word


def test_words_are_loud_and_pauses_are_not() -> None:
    speech = speak(["Knight", "f3.", "Bishop", "c4."])
    (_, end), (start, later) = speech.words[1], speech.words[2]
    assert start - end > 100, "a full stop is a pause"
    assert loudness(speech, end + 10, start - 10) < 20 < loudness(speech, start, later)


def test_same_words_same_sound() -> None:
    first = speak(WORDS)
    speak(["something", "else"], "en-us", 220)
    assert speak(WORDS) == first
    assert speak(WORDS, "en-gb+f3").pcm != first.pcm


def test_twice_the_pace_takes_half_the_time() -> None:
    slow, fast = speak(WORDS * 5, pace=110), speak(WORDS * 5, pace=220)
    assert 1.7 < slow.length_ms / fast.length_ms < 2.3


def test_parts_are_joined_with_pauses() -> None:
    one = speak(["check"])
    both = join([one, silence(500, one.rate_hz), one])
    offset = both.words[1][0] - both.words[0][0]
    assert abs(offset - one.length_ms - 500) <= 1
    with pytest.raises(ValueError, match="sample rates differ"):
        join([silence(10), silence(10, 8000)])


def test_the_wav_file_is_one() -> None:
    speech = speak(["mate"])
    with wave.open(io.BytesIO(speech.wav())) as file:
        assert (file.getnchannels(), file.getsampwidth(), file.getframerate()) == (1, 2, 22_050)
        assert file.readframes(file.getnframes()) == speech.pcm


def test_nothing_to_say_and_no_such_voice() -> None:
    assert speak([]).pcm == b""
    assert speak(["—", "♘"]).words == ((0, 0), (0, 0))
    with pytest.raises(VoiceError, match="no voice “xx-none”"):
        speak(["a"], "xx-none")
