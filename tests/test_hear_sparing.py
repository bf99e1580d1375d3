"""Moves told with hardly a word, and the same words as mere talk."""

from __future__ import annotations

import pytest

from linewright.source import Source
from linewright.talk.heard import hear
from linewright.talk.transcript import read_transcript


def lines(text: str, name: str = "talk.txt") -> list[str]:
    talk = hear(read_transcript(Source(name, text)))
    return [" ".join(move.san for move in line.moves) for line in talk.lines]


OPEN = "e4 e5, knight f3, knight c6. "
ITALIAN = "e4 e5, knight f3, knight c6, bishop c4, bishop c5. "
NIMZO = "d4 knight f6, c4 e6, knight c3. "
CENTRE = "e4 d5, e takes d5, queen takes d5. "
OLD_INDIAN = "d4 knight f6, c4 d6, knight c3 e5. "


@pytest.mark.parametrize(
    ("words", "wanted"),
    [
        ("e4, e5. Knight out, knight out. Bishop b5.", "e4 e5 Nf3 Nc6 Bb5"),
        (OPEN + "Bishop out, bishop out. c3, knight f6.", "e4 e5 Nf3 Nc6 Bc4 Bc5 c3 Nf6"),
        ("e4 e6, d4 d5. The knight comes, knight f6. Bishop g5.", "e4 e6 d4 d5 Nc3 Nf6 Bg5"),
        ("e4 c6, d4 d5. Horse first, takes, takes. Bishop f5.", "e4 c6 d4 d5 Nc3 dxe4 Nxe4 Bf5"),
        ("d4 d5, c4 e6, knight c3. Knight. Bishop g5, bishop e7.", "d4 d5 c4 e6 Nc3 Nf6 Bg5 Be7"),
        (CENTRE + "Knight c3. Home. d4, knight f6.", "e4 d5 exd5 Qxd5 Nc3 Qd8 d4 Nf6"),
        (CENTRE + "Knight c3. Queen home. d4, knight f6.", "e4 d5 exd5 Qxd5 Nc3 Qd8 d4 Nf6"),
        ("d4 knight f6, c4 e6, knight f3. Check. Bishop d2, queen e7.", "d4 Nf6 c4 e6 Nf3 Bb4+ Bd2 Qe7"),
        ("d4 e5, d takes e5, knight c6, knight f3, queen e7, bishop f4. Check from the queen. Block."
         " Queen takes b2.", "d4 e5 dxe5 Nc6 Nf3 Qe7 Bf4 Qb4+ Bd2 Qxb2"),
        (NIMZO + "Pin. e3, castles.", "d4 Nf6 c4 e6 Nc3 Bb4 e3 O-O"),
        ("d4 knight f6, c4 e6, knight f3, bishop b4 check. Bishop in between. Queen e7.",
         "d4 Nf6 c4 e6 Nf3 Bb4+ Bd2 Qe7"),
        ("e4 knight f6. e5, knight d5, c4, knight b6, d4 d6. Knight f3, bishop g4, bishop e2, d takes e5."
         " c5. Knight d5, knight takes e5.", "e4 Nf6 e5 Nd5 c4 Nb6 d4 d6 Nf3 Bg4 Be2 dxe5 c5 Nd5 Nxe5"),
        ("e4 e5, knight f3 d6, d4, bishop g4, d takes e5. He keeps it simple. Bishop takes f3,"
         " queen takes f3, d takes e5.", "e4 e5 Nf3 d6 d4 Bg4 dxe5 Bxf3 Qxf3 dxe5"),
        (OLD_INDIAN + "We go past. Bishop e7, e4.", "d4 Nf6 c4 d6 Nc3 e5 d5 Be7 e4"),
        ("d4 knight f6, knight f3 d5, bishop g5. h6 asks, and it keeps the pin. Knight e4.",
         "d4 Nf6 Nf3 d5 Bg5 h6 Bh4 Ne4"),
        ("d4 d5, c4 c6. I brought out the king's knight, and he brought out the king's knight. e3.",
         "d4 d5 c4 c6 Nf3 Nf6 e3"),
        ("e4 c5, knight f3 d6, d4, c takes d4, knight takes d4, knight f6, knight c3. The little move"
         " with the a-pawn. Bishop e2, e5.", "e4 c5 Nf3 d6 d4 cxd4 Nxd4 Nf6 Nc3 a6 Be2 e5"),
        ("d4 d5, c4 e6, knight c3, c5, c takes d5, e takes d5, knight f3, knight c6. g3, knight f6,"
         " bishop g2, bishop e7. King's away, king's away. d takes c5.",
         "d4 d5 c4 e6 Nc3 c5 cxd5 exd5 Nf3 Nc6 g3 Nf6 Bg2 Be7 O-O O-O dxc5"),
        ("e4 e5, knight f3 d6, d4, e takes d4, queen takes d4. He offers the queens. Queen e3, bishop e7.",
         "e4 e5 Nf3 d6 d4 exd4 Qxd4 Qf6 Qe3 Be7"),
        ("d4 f5, c4 knight f6, g3 e6, bishop g2. Knight to the edge? No. Bishop e7, knight to the edge,"
         " castles.", "d4 f5 c4 Nf6 g3 e6 Bg2 Be7 Nh3 O-O"),
        ("e4 d5, e takes d5. He doesn't take at once. Knight f6, d4. Bishop out with a kick. f3.",
         "e4 d5 exd5 Nf6 d4 Bg4 f3"),
        ("d4 d5, c4 e6, knight c3, c5. e3, knight f6. Our other knight, knight c6. a3.",
         "d4 d5 c4 e6 Nc3 c5 e3 Nf6 Nf3 Nc6 a3"),
        ("e4 e6, d4 d5, knight c3, knight f6. We push, knight d7. f4 c5, knight f3, knight c6.",
         "e4 e6 d4 d5 Nc3 Nf6 e5 Nfd7 f4 c5 Nf3 Nc6"),
        ("e4 c5, knight c3, knight c6. g3 g6. Bishop g2. Black copies. d3 d6.",
         "e4 c5 Nc3 Nc6 g3 g6 Bg2 Bg7 d3 d6"),
        ("d4 knight f6, c4 c5, d5 b5, c takes b5. We offer another, takes, bishop takes a6. Knight c3, g6.",
         "d4 Nf6 c4 c5 d5 b5 cxb5 a6 bxa6 Bxa6 Nc3 g6"),
        ("e4 e5, knight f3, knight c6, bishop c4, knight f6. We jump in, d5, e takes d5, knight a5.",
         "e4 e5 Nf3 Nc6 Bc4 Nf6 Ng5 d5 exd5 Na5"),
        (OPEN + "Bishop b5. He kicks. Bishop a4, knight f6.", "e4 e5 Nf3 Nc6 Bb5 a6 Ba4 Nf6"),
        ("e4 e5, knight f3, d6. We hit with the d-pawn. e takes d4, knight takes d4.",
         "e4 e5 Nf3 d6 d4 exd4 Nxd4"),
    ],
)  # fmt: skip
def test_moves_told_with_hardly_a_word(words: str, wanted: str) -> None:
    assert lines(words) == [wanted]


def test_a_piece_that_is_only_spoken_of() -> None:
    said = (
        "so e4 e5 knight f3 knight c6 it must be this knight first and then bishop b5 a6 and so on"
    )
    assert lines(said) == ["e4 e5 Nf3 Nc6 Bb5 a6"]


def test_captions_without_stops() -> None:
    said = (
        "so e4 e5 knight out knight out bishop b5 a6 bishop a4 knight f6 and that is all for today"
    )
    assert lines(said) == ["e4 e5 Nf3 Nc6 Bb5 a6 Ba4 Nf6"]


@pytest.mark.parametrize(
    ("words", "wanted"),
    [
        (OPEN + "With the knight out, White can castle soon. Bishop b5, a6.", "e4 e5 Nf3 Nc6 Bb5 a6"),
        (OPEN + "Once the bishop is out of the way, he castles some day. Bishop b5, a6.",
         "e4 e5 Nf3 Nc6 Bb5 a6"),
        (OPEN + "Do look at that at home. Bishop b5, a6.", "e4 e5 Nf3 Nc6 Bb5 a6"),
        (NIMZO + "Beware of the pin on the long side. Bishop b4.", "d4 Nf6 c4 e6 Nc3 Bb4"),
        (ITALIAN + "There is no check anywhere. d3, knight f6.", "e4 e5 Nf3 Nc6 Bc4 Bc5 d3 Nf6"),
        (ITALIAN + "Let me check. d3, knight f6.", "e4 e5 Nf3 Nc6 Bc4 Bc5 d3 Nf6"),
        ("e4 e5. In the past people feared this. Knight f3, knight c6.", "e4 e5 Nf3 Nc6"),
        ("d4 d5, c4 e6. A small move may be a big one. Knight c3, knight f6.", "d4 d5 c4 e6 Nc3 Nf6"),
        ("e4 e5, knight f3. And what does the knight do? It attacks. Knight c6.", "e4 e5 Nf3 Nc6"),
        (CENTRE + "Knight c3. One step at a time. Queen a5.", "e4 d5 exd5 Qxd5 Nc3 Qa5"),
        (OPEN + "Everyone copies that. Bishop b5, a6.", "e4 e5 Nf3 Nc6 Bb5 a6"),
        (OPEN + "Bishop b5. White offers the bishop for nothing, it seems. a6, bishop a4.",
         "e4 e5 Nf3 Nc6 Bb5 a6 Ba4"),
        ("d4 d5, c4 e6. It takes one step to learn this. Knight c3, knight f6.", "d4 d5 c4 e6 Nc3 Nf6"),
        ("d4 f5, c4 knight f6, g3 e6. Bishop g2, bishop e7. Knight f3. We offer the queens? Not yet."
         " Castles.", "d4 f5 c4 Nf6 g3 e6 Bg2 Be7 Nf3 O-O"),
        ("e4 knight f6, e5, knight d5, c4, knight b6. d4 d6, f4. In it goes? No. d takes e5,"
         " f takes e5, knight c6.", "e4 Nf6 e5 Nd5 c4 Nb6 d4 d6 f4 dxe5 fxe5 Nc6"),
    ],
)  # fmt: skip
def test_the_same_words_as_mere_talk(words: str, wanted: str) -> None:
    assert lines(words) == [wanted]
