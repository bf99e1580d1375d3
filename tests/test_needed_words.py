"""Ordinary words that stand for others which a move needs are put right, and no English is."""

from __future__ import annotations

import pytest

from linewright.source import Source
from linewright.talk.heard import hear
from linewright.talk.transcript import read_transcript
from linewright.talk.writing import corrected_captions, script_text

SPANISH = "White plays e4, e5, knight f3, knight c6, bishop b5, a6. Bishop takes c6, "
VIENNA = "White plays e4, e5, knight c3, knight f6, f4, d5, takes e5, knight takes e4, "
FRENCH = "White plays e4, e6, d4, d5, e5, c5, c3, knight c6, knight f3, f5. "


def changes(words: str) -> dict[str, str]:
    talk = hear(read_transcript(Source("talk.txt", words)))
    return {change.said.text: change.now for change in talk.caption_changes}


@pytest.mark.parametrize(
    ("words", "was", "now"),
    [
        (f"{SPANISH}the takes c6, knight c3.", "the", "d"),
        (f"{SPANISH}and he takes back with the deep on. Now knight c3.", "deep on", "d pawn"),
        (f"{VIENNA}knight f3, knight takes c3. The be pawn takes back, and now d4.", "be", "b"),
        (f"{FRENCH}Take it on person, queen takes f6.", "on person", "en passant"),
        ("White plays e4, e5, knight f3, the six, d4, e takes d4.", "the six", "d6"),
        (f"{VIENNA}knight f3. So much for the Vianna.", "Vianna", "Vienna"),
    ],
)
def test_a_word_that_a_move_or_a_name_needs_is_put_right(words: str, was: str, now: str) -> None:
    """Found in use: moves were understood, and script and captions kept the words misheard."""
    assert changes(words) == {was: now}


def test_a_needed_word_stands_in_script_and_captions() -> None:
    talk = hear(read_transcript(Source("talk.txt", f"{FRENCH}Take it on person, queen takes f6.")))
    assert "Take it en passant 6.exf6" in script_text(talk)
    assert "Take it en passant, queen" in corrected_captions(talk)


@pytest.mark.parametrize(
    "words",
    [
        f"{SPANISH}and the pawn takes back. Now knight c3.",
        f"{SPANISH}he takes c6 with the other pawn, knight c3.",
        f"{FRENCH}We take it in passing, queen takes f6.",
        f"{FRENCH}Take it en passant, queen takes f6.",
        f"{VIENNA}knight f3. So much for Vienna and for the viewer.",
    ],
)
def test_english_stays_as_it_was_said(words: str) -> None:
    assert not changes(words)
