"""Moves that a talk asks about in place of one it told."""

from __future__ import annotations

import chess
import pytest

from linewright.source import Source
from linewright.talk import heard as heard_module
from linewright.talk.heard import Heard, Reading, hear
from linewright.talk.said import Form
from linewright.talk.transcript import read_transcript
from linewright.talk.writing import script_text

OPEN = "e4 e5 knight f3 knight c6 bishop c4 bishop c5 c3 knight f6 d3 d6 castles castles"
MAIN = "e4 e5 Nf3 Nc6 Bc4 Bc5 c3 Nf6 d3 d6 O-O O-O"


def heard(words: str, captions: bool = False) -> Heard:
    source = Source("talk.vtt", captions_of(words)) if captions else Source("talk.txt", words)
    return hear(read_transcript(source))


def captions_of(words: str) -> str:
    said = words.lower().replace(",", "").replace(".", "").replace("?", "").split()
    cues = [
        f"00:{k // 60:02}:{k % 60:02}.000 --> 00:{(k + 3) // 60:02}:{(k + 3) % 60:02}.900\n"
        + " ".join(said[2 * k : 2 * k + 8])
        for k in range(0, (len(said) + 1) // 2, 4)
    ]
    return "WEBVTT\n\n" + "\n\n".join(cues) + "\n"


def line(talk: Heard) -> str:
    return " ".join(talk.moves[node].san for node in talk.main_line())


@pytest.mark.parametrize(
    ("told", "captions"),
    [
        ("and then bishop g5 h6 bishop h4. By the way could we have taken the knight on f6 with the"
        " bishop instead of bishop h4? Yes, but queen takes f6 and Black is happy. Then a6,"
        " knight b d2.", False),
        *(("and then bishop g5 h6 bishop h4. Should White have taken the knight on f6 rather than"
        " playing bishop h4? No, because queen takes f6 is easy. Black plays a6,"
        " knight b d2.", captions) for captions in (False, True)),
    ],
)  # fmt: skip
def test_a_try_in_place_of_a_move_told_is_a_line_beside_it(told: str, captions: bool) -> None:
    """Found in use: the move told was dropped for the try, or one nobody said was put between."""
    talk = heard(f"{OPEN} {told}", captions)
    assert line(talk) == f"{MAIN} Bg5 h6 Bh4 a6 Nbd2"
    tried = next(n for n, move in talk.moves.items() if move.san == "Bxf6")
    assert talk.label(tried) == "8.Bxf6"
    assert all(move.said for move in talk.moves.values())


@pytest.mark.parametrize(
    ("told", "san", "not_there"),
    [
        ("Now Black castles instead of h6 at once, and castles.", "O-O", "6...O-O"),
        ("In the last game White took the knight instead of bishop h4.", "Bxf6", "7.Bxf6"),
    ],
)
def test_no_try_stands_for_an_earlier_move_or_one_of_another_game(
    told: str, san: str, not_there: str
) -> None:
    """Found in use: moves of the game stood on a board before the one they were played on."""
    opening = (
        "e4, Black plays e5, knight f3, knight c6, bishop c4, bishop c5, c3, knight f6, d3, d6"
    )
    talk = heard(f"White plays {opening}. Bishop g5, h6, bishop h4. {told}")
    labels = [talk.label(node) for node, move in talk.moves.items() if move.san == san]
    assert not_there not in labels and "5...O-O" not in labels


def test_instead_of_stands_behind_the_try() -> None:
    """Found in use: "with the knight instead 17...Nxa2 of queen d7"."""
    talk = heard(
        OPEN
        + " and then bishop g5 h6 bishop h4. Could we have taken the knight on f6 with the bishop"
        " instead of bishop h4? Yes, but queen takes f6 and Black is happy. Then a6."
    )
    assert "with the bishop 8.Bxf6 instead of bishop h4" in script_text(talk)


@pytest.mark.parametrize(
    ("words", "denied"),
    [
        ("it is gone so do not be hasty the knight comes back to c3 and black is fine", False),
        ("so you should not think the knight comes back to c3 and black is fine", True),
        ("so do not play the knight back to c3 and black is fine", True),
    ],
)
def test_a_clause_of_its_own_is_not_denied_by_the_one_before(words: str, denied: bool) -> None:
    """Found in use: "so do not be greedy the knight comes back to c3", in captions without stops."""
    reading = Reading.of(read_transcript(Source("talk.vtt", captions_of(f"{OPEN} {words}"))))
    named = [p for same in reading.phrases.values() for p in same if p.spec.says_target]
    last = [p for p in named if p.form is Form.FULL and p.spec.targets[0][0] == chess.C3][-1]
    assert last.cues.negated == denied


@pytest.mark.parametrize("lost", [False, True])
def test_a_square_as_written_stands_on_a_board_in_doubt(
    lost: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Found in use: a right "c8" became "e8" in the captions, where the board was another one."""
    if lost:
        monkeypatch.setattr(heard_module, "doubtful_words", lambda _: lambda _: True)
    words = (
        "white plays e4 black plays e5 night f3 night see six bishop see four bishop see five see"
        " three night f6 d3 d6 castles castles rook c1 a6"
    )
    changes = [(one.said.text, one.now) for one in heard(words, captions=True).caption_changes]
    assert (("c1", "e1") in changes) != lost
    assert ("night", "knight") in changes
