"""Captions of the spoken words (WebVTT and SRT), at most two lines of 37 characters.

Those of a script that was heard have the times of its talk, where the talk is at hand: they belong
to its own film or sound.

Source: W3C WebVTT (syntax); SubRip conventions (no formal standard).
"""

from __future__ import annotations

from collections.abc import Sequence

from linewright.captioning import Caption, captions
from linewright.clock import timestamp
from linewright.outputs import Artifact, Edition


def make(edition: Edition) -> tuple[Artifact, ...]:
    """The captions in both formats."""
    shown = captions(edition.talk or edition.timeline)
    language = edition.lesson.front.language
    return (
        Artifact(f"{edition.base}.{language}.vtt", "text/vtt", web_vtt(shown).encode()),
        Artifact(f"{edition.base}.{language}.srt", "application/x-subrip", srt(shown).encode()),
    )


def web_vtt(shown: Sequence[Caption]) -> str:
    """The captions as a WebVTT file."""
    blocks = ["WEBVTT"]
    for number, caption in enumerate(shown, 1):
        text = "\n".join(_escaped(line) for line in caption.lines)
        times = f"{timestamp(caption.start_ms)} --> {timestamp(caption.end_ms)}"
        blocks.append(f"{number}\n{times}\n{text}")
    return "\n\n".join(blocks) + "\n"


def srt(shown: Sequence[Caption]) -> str:
    """The captions as a SubRip file."""
    blocks = []
    for number, caption in enumerate(shown, 1):
        times = f"{timestamp(caption.start_ms, ',')} --> {timestamp(caption.end_ms, ',')}"
        lines = "\n".join(line.replace("-->", "→") for line in caption.lines)
        blocks.append(f"{number}\n{times}\n{lines}\n")
    return "\n".join(blocks)


def _escaped(line: str) -> str:
    """Cue text: no markup, no arrow (WebVTT, cue text)."""
    return line.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
