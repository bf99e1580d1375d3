"""Squares whose file a recogniser writes as the word that sounds just as its letter."""

from __future__ import annotations

from linewright.source import Source
from linewright.talk.heard import hear
from linewright.talk.transcript import read_transcript


def test_a_square_told_by_the_sound_of_its_letter_is_the_only_one_where_a_man_goes() -> None:
    """Found in use: the likelier moves e6 and d6 were heard for it."""
    for letter, words in (("c", "see six"), ("c", "sea six"), ("b", "be six"), ("b", "bee six")):
        text = f"White plays d4. Black plays knight f6, c4, and pawn to {words}. Knight c3."
        talk = hear(read_transcript(Source("talk.txt", text)))
        assert [m.san for m in talk.lines[0].moves] == ["d4", "Nf6", "c4", f"{letter}6", "Nc3"]
        assert [(c.said.text, c.now) for c in talk.caption_changes] == [(words, f"{letter}6")]
