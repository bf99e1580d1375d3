"""Write the example collection: invented games of an invented club, from a fixed number.

The circle likes the Queen's Gambit and plays it on most of its evenings, so the collection has
more of it than games at large have. Nobody in these games exists and none of them was played.

The openings follow the table below:
weights for the weakest players (rated 900) and the strongest (2400), and where a third number
stands, the factor by which fashion multiplied the weight over the years. What a position's
weights leave of 100 goes to whatever looks sensible on the board. After the table every move
comes from a seeded player who looks one move ahead and errs by rating.

The weights are this example's own invention, not counts of anything.
"""

# ruff: noqa: E501 -- the table has a line for each position

from __future__ import annotations

import lzma
import sys
from pathlib import Path

import chess

from linewright import _core

NUMBER = 20_260_312
GAMES = 3_000
FILE = Path(__file__).parent / "brackwater-games.pgn.xz"
EVENT = "Brackwater Chess Circle, invented game"
SITE = "Brackwater, nowhere"

BOOK = """
: d4 84 82, e4 10 8, c4 3 6, Nf3 2 4, f4 1 0
d4: d5 82 70, Nf6 12 24, e6 4 4, f5 1 1, c5 1 1
d4 d5: c4 78 88, Nf3 8 8, Bf4 10 3 2.2, e3 3 0, Nc3 1 1
d4 d5 c4: e6 76 66, c6 8 18, dxc4 9 12, Nc6 3 2, e5 2 1, Bf5 2 0
d4 d5 c4 e6: Nc3 76 70, Nf3 13 24, cxd5 9 5, e3 1 1
d4 d5 c4 e6 Nc3: Nf6 80 66, Be7 3 14, c6 7 10, c5 3 7, dxc4 4 2, Bb4 3 1
d4 d5 c4 e6 Nc3 Nf6: cxd5 24 66 1.4, Bg5 56 18, Nf3 15 16, e3 5 0
d4 d5 c4 e6 Nc3 Nf6 cxd5: exd5 87 98, Nxd5 13 2
d4 d5 c4 e6 Nc3 Nf6 cxd5 exd5: Bg5 78 91, Bf4 10 4, Nf3 9 5, e3 3 0
d4 d5 c4 e6 Nc3 Nf6 cxd5 exd5 Bg5: Be7 54 60, c6 15 27, Nbd7 17 11, Be6 5 1, Bb4 6 1, Bf5 2 0
d4 d5 c4 e6 Nc3 Nf6 cxd5 exd5 Bg5 Be7: e3 78 86, Nf3 15 8, Qc2 3 5, Bxf6 4 0
d4 d5 c4 e6 Nc3 Nf6 cxd5 exd5 Bg5 Be7 e3: c6 34 52, O-O 44 36, Nbd7 10 9, Bf5 4 1, Be6 5 0
d4 d5 c4 e6 Nc3 Nf6 cxd5 exd5 Bg5 Be7 e3 c6: Bd3 62 52, Nf3 24 10, Qc2 12 37
d4 d5 c4 e6 Nc3 Nf6 cxd5 exd5 Bg5 Be7 e3 c6 Bd3: O-O 52 36, Nbd7 42 61, Bg4 3 0
d4 d5 c4 e6 Nc3 Nf6 cxd5 exd5 Bg5 Be7 e3 c6 Bd3 O-O: Nf3 58 40, Qc2 30 38, Nge2 10 21
d4 d5 c4 e6 Nc3 Nf6 cxd5 exd5 Bg5 Be7 e3 c6 Bd3 O-O Nf3: Nbd7 70 84, Re8 12 8, Bg4 12 2
d4 d5 c4 e6 Nc3 Nf6 cxd5 exd5 Bg5 Be7 e3 c6 Bd3 O-O Nf3 Nbd7: Qc2 52 78, O-O 44 20
d4 d5 c4 e6 Nc3 Nf6 cxd5 exd5 Bg5 Be7 e3 c6 Bd3 O-O Nf3 Nbd7 Qc2: Re8 74 92, h6 18 5
d4 d5 c4 e6 Nc3 Nf6 cxd5 exd5 Bg5 Be7 e3 c6 Bd3 O-O Nf3 Nbd7 Qc2 Re8: O-O 90 84, O-O-O 6 10
d4 d5 c4 e6 Nc3 Nf6 cxd5 exd5 Bg5 Be7 e3 c6 Bd3 O-O Nf3 Nbd7 Qc2 Re8 O-O: Nf8 70 94, h6 14 2
d4 d5 c4 e6 Nc3 Nf6 cxd5 exd5 Bg5 Be7 e3 c6 Bd3 O-O Nf3 Nbd7 Qc2 Re8 O-O Nf8: Rab1 42 48, Rae1 16 14, h3 18 20, a3 12 2, Ne5 8 10
d4 d5 c4 e6 Nc3 Nf6 cxd5 exd5 Bg5 Be7 e3 c6 Bd3 O-O Nf3 Nbd7 Qc2 Re8 O-O Nf8 Rab1: a5 30 46, Ng6 24 16, Be6 14 12, Ne4 16 18, Bg4 10 6
d4 d5 c4 e6 Nc3 Nf6 cxd5 exd5 Bg5 Be7 e3 c6 Bd3 O-O Nf3 Nbd7 Qc2 Re8 O-O Nf8 Rab1 a5: a3 84 96, Na4 6 2
d4 d5 c4 e6 Nc3 Nf6 cxd5 exd5 Bg5 Be7 e3 c6 Bd3 O-O Nf3 Nbd7 Qc2 Re8 O-O Nf8 Rab1 a5 a3: Ng6 56 54, Be6 18 18, Ne4 16 24
d4 d5 c4 e6 Nc3 Nf6 cxd5 exd5 Bg5 Be7 e3 c6 Bd3 O-O Nf3 Nbd7 Qc2 Re8 O-O Nf8 Rab1 a5 a3 Ng6: b4 90 96
d4 d5 c4 e6 Nc3 Nf6 cxd5 exd5 Bg5 Be7 e3 c6 Bd3 O-O Nf3 Nbd7 Qc2 Re8 O-O Nf8 Rab1 a5 a3 Ng6 b4: axb4 94 97
d4 d5 c4 e6 Nc3 Nf6 cxd5 exd5 Bg5 Be7 e3 c6 Bd3 O-O Nf3 Nbd7 Qc2 Re8 O-O Nf8 Rab1 a5 a3 Ng6 b4 axb4: axb4 99 99
d4 d5 c4 e6 Nc3 Nf6 cxd5 exd5 Bg5 Be7 e3 c6 Bd3 O-O Nf3 Nbd7 Qc2 Re8 O-O Nf8 Rab1 a5 a3 Ng6 b4 axb4 axb4: Ne4 30 46, Be6 22 16, Bd6 20 14, h6 16 10
d4 d5 c4 e6 Nc3 Nf6 cxd5 exd5 Bg5 Be7 e3 c6 Bd3 O-O Nf3 Nbd7 Qc2 Re8 O-O Nf8 Rab1 a5 a3 Ng6 b4 axb4 axb4 Ne4: Bxe7 88 96, Bxe4 8 2
d4 d5 c4 e6 Nc3 Nf6 cxd5 exd5 Bg5 Be7 e3 c6 Bd3 O-O Qc2: Nbd7 76 82, h6 14 6, Re8 8 10
d4 d5 c4 e6 Nc3 Nf6 cxd5 exd5 Bg5 Be7 e3 c6 Bd3 O-O Qc2 Nbd7: Nf3 66 56, Nge2 24 42
d4 d5 c4 e6 Nc3 Nf6 cxd5 exd5 Bg5 Be7 e3 c6 Bd3 Nbd7: Qc2 34 50, Nf3 48 22, Nge2 14 26
d4 d5 c4 e6 Nc3 Nf6 cxd5 exd5 Bg5 Be7 e3 c6 Bd3 Nbd7 Nf3: O-O 78 76, Ne4 8 6, Nh5 4 12
d4 d5 c4 e6 Nc3 Nf6 cxd5 exd5 Bg5 Be7 e3 c6 Bd3 Nbd7 Qc2: O-O 80 66, Nh5 6 26
d4 d5 c4 e6 Nc3 Nf6 cxd5 exd5 Bg5 Be7 e3 c6 Qc2: Nbd7 46 34, O-O 40 20, g6 2 26, Na6 2 10, Bg4 6 4
d4 d5 c4 e6 Nc3 Nf6 cxd5 exd5 Bg5 Be7 e3 O-O: Bd3 70 72, Nf3 26 12, Qc2 3 15
d4 d5 c4 e6 Nc3 Nf6 cxd5 exd5 Bg5 Be7 e3 O-O Bd3: c6 40 44, Nbd7 38 50, Be6 8 1, h6 10 3
d4 d5 c4 e6 Nc3 Nf6 cxd5 exd5 Bg5 Be7 e3 O-O Bd3 Nbd7: Nf3 60 34, Nge2 16 40, Qc2 20 24
d4 d5 c4 e6 Nc3 Nf6 cxd5 exd5 Bg5 Be7 e3 O-O Bd3 Nbd7 Nf3: c6 62 70, Re8 28 28
d4 d5 c4 e6 Nc3 Nf6 cxd5 exd5 Bg5 Be7 e3 Nbd7: Bd3 72 74, Nf3 24 18
d4 d5 c4 e6 Nc3 Nf6 cxd5 exd5 Bg5 Be7 e3 Nbd7 Bd3: O-O 60 54, c6 32 44
d4 d5 c4 e6 Nc3 Nf6 cxd5 exd5 Bg5 Be7 Nf3: O-O 56 40, c6 30 52, Bf5 8 4
d4 d5 c4 e6 Nc3 Nf6 cxd5 exd5 Bg5 c6: e3 72 62, Qc2 8 28, Nf3 16 6
d4 d5 c4 e6 Nc3 Nf6 cxd5 exd5 Bg5 c6 e3: Be7 50 46, Bf5 22 32, Nbd7 16 16, Bd6 8 2
d4 d5 c4 e6 Nc3 Nf6 cxd5 exd5 Bg5 c6 e3 Bf5: Qf3 12 68, Bd3 62 18, Nf3 20 8
d4 d5 c4 e6 Nc3 Nf6 cxd5 exd5 Bg5 c6 e3 Bf5 Bd3: Bxd3 76 90, Bg6 20 8
d4 d5 c4 e6 Nc3 Nf6 cxd5 exd5 Bg5 c6 e3 Bf5 Qf3: Bg6 84 92, Be6 10 6
d4 d5 c4 e6 Nc3 Nf6 cxd5 exd5 Bg5 Nbd7: e3 50 74, Nf3 24 25, Nxd5 22 0
d4 d5 c4 e6 Nc3 Nf6 cxd5 exd5 Bg5 Nbd7 Nxd5: Nxd5 76 99, c6 12 0, Be7 10 0
d4 d5 c4 e6 Nc3 Nf6 cxd5 exd5 Bg5 Nbd7 Nxd5 Nxd5: Bxd8 96 99
d4 d5 c4 e6 Nc3 Nf6 cxd5 exd5 Bg5 Nbd7 Nxd5 Nxd5 Bxd8: Bb4 90 100, Kxd8 10 0
d4 d5 c4 e6 Nc3 Nf6 cxd5 exd5 Bg5 Nbd7 Nxd5 Nxd5 Bxd8 Bb4: Qd2 100 100
d4 d5 c4 e6 Nc3 Nf6 cxd5 exd5 Bg5 Nbd7 Nxd5 Nxd5 Bxd8 Bb4 Qd2: Bxd2 52 40, Kxd8 48 60
d4 d5 c4 e6 Nc3 Nf6 cxd5 exd5 Bg5 Nbd7 Nxd5 Nxd5 Bxd8 Bb4 Qd2 Bxd2: Kxd2 100 100
d4 d5 c4 e6 Nc3 Nf6 cxd5 exd5 Bg5 Nbd7 Nxd5 Nxd5 Bxd8 Bb4 Qd2 Bxd2 Kxd2: Kxd8 99 99
d4 d5 c4 e6 Nc3 Nf6 cxd5 exd5 Bg5 Nbd7 Nxd5 Nxd5 Bxd8 Bb4 Qd2 Kxd8: Qxb4 88 80
d4 d5 c4 e6 Nc3 Nf6 cxd5 exd5 Bg5 Nbd7 Nxd5 Nxd5 Bxd8 Bb4 Qd2 Kxd8 Qxb4: Nxb4 100 100
d4 d5 c4 e6 Nc3 Nf6 cxd5 exd5 Bg5 Nbd7 e3: c6 40 48, Be7 44 42, Bb4 12 6
d4 d5 c4 e6 Nc3 Nf6 cxd5 exd5 Bf4: Be7 22 30, c6 34 34, Bd6 26 26, Nc6 8 2, Bf5 6 2
d4 d5 c4 e6 Nc3 Nf6 cxd5 Nxd5: e4 60 76, Nf3 22 18, Nxd5 14 2
d4 d5 c4 e6 Nc3 Nf6 Bg5: Be7 50 60, Nbd7 28 18, dxc4 6 6, c6 5 5, Bb4 5 8, h6 5 2
d4 d5 c4 e6 Nc3 Nf6 Bg5 Nbd7: cxd5 34 40, e3 36 34, Nf3 27 25
d4 d5 c4 e6 Nc3 Nf6 Bg5 Nbd7 cxd5: exd5 95 99, Nxd5 4 0
d4 d5 c4 e6 Nc3 Nf6 Bg5 Be7: e3 58 60, Nf3 26 28, cxd5 12 11
d4 d5 c4 e6 Nc3 Nf6 Bg5 Be7 cxd5: exd5 82 86, Nxd5 17 14
d4 d5 c4 e6 Nc3 Nf6 Bg5 Be7 e3: O-O 64 66, Nbd7 18 12, h6 8 16, c6 8 3
d4 d5 c4 e6 Nc3 Nf6 Bg5 Be7 e3 O-O: Nf3 74 80, Bd3 14 4, cxd5 8 8
d4 d5 c4 e6 Nc3 Nf6 Nf3: Be7 44 42, c6 18 26, dxc4 10 14, c5 8 8, Bb4 8 8, Nbd7 8 2
d4 d5 c4 e6 Nc3 Nf6 Nf3 Be7: Bg5 54 40, Bf4 18 44 1.6, cxd5 12 8, e3 14 6
d4 d5 c4 e6 Nc3 Nf6 Nf3 Be7 cxd5: exd5 88 94
d4 d5 c4 e6 Nc3 Nf6 Nf3 Be7 cxd5 exd5: Bg5 64 46, Bf4 26 48
d4 d5 c4 e6 Nc3 Be7: cxd5 24 48, Nf3 54 42, e3 8 2, Bf4 6 4
d4 d5 c4 e6 Nc3 Be7 cxd5: exd5 99 100
d4 d5 c4 e6 Nc3 Be7 cxd5 exd5: Bf4 66 94, Nf3 26 5
d4 d5 c4 e6 Nc3 Be7 cxd5 exd5 Bf4: c6 34 48, Nf6 52 46
d4 d5 c4 e6 Nc3 Be7 cxd5 exd5 Bf4 Nf6: e3 88 94
d4 d5 c4 e6 Nc3 Be7 cxd5 exd5 Bf4 c6: e3 84 84, Qc2 6 14
d4 d5 c4 e6 Nc3 Be7 Nf3: Nf6 96 96
d4 d5 c4 e6 Nc3 c6: Nf3 48 34, e4 10 26, e3 26 24, cxd5 14 14
d4 d5 c4 e6 Nc3 c6 cxd5: exd5 86 98, cxd5 12 2
d4 d5 c4 e6 Nc3 c6 cxd5 exd5: Bf4 44 48, Nf3 30 20, Qc2 4 16, e3 14 6
d4 d5 c4 e6 Nc3 c5: cxd5 62 84, e3 20 4, Nf3 14 10
d4 d5 c4 e6 Nf3: Nf6 72 62, c6 10 16, Be7 4 6, c5 6 8, dxc4 6 6
d4 d5 c4 e6 Nf3 Nf6: Nc3 56 48, g3 12 36, Bg5 18 8, e3 12 5
d4 d5 c4 e6 Nf3 Nf6 Nc3: Be7 48 44, c6 18 24, dxc4 10 14, Bb4 10 10, Nbd7 8 2
d4 d5 c4 e6 cxd5: exd5 97 98, Qxd5 3 0
d4 d5 c4 e6 cxd5 exd5: Nc3 74 92, Nf3 14 6, Bf4 8 2
d4 d5 c4 e6 cxd5 exd5 Nc3: Nf6 74 56, c6 16 36, Be7 4 4, Bb4 4 0
d4 d5 c4 e6 cxd5 exd5 Nc3 Nf6: Bg5 74 90, Bf4 14 6, Nf3 10 4
d4 d5 c4 e6 cxd5 exd5 Nc3 c6: Bf4 44 52, Nf3 26 14, e3 16 6, Qc2 4 22
d4 d5 c4 c6: Nf3 44 54, Nc3 36 30, cxd5 14 8, e3 4 6
d4 d5 c4 c6 Nf3: Nf6 82 92, Bf5 8 1, e6 8 5
d4 d5 c4 c6 Nf3 Nf6: Nc3 68 66, e3 16 26, cxd5 12 4
d4 d5 c4 c6 Nf3 Nf6 Nc3: e6 36 40, dxc4 24 34, Bf5 20 2, a6 2 18, g6 12 3
d4 d5 c4 c6 Nf3 Nf6 Nc3 dxc4: a4 54 88, e4 24 6, e3 18 5
d4 d5 c4 c6 Nf3 Nf6 Nc3 e6: e3 46 50, Bg5 44 46
d4 d5 c4 c6 cxd5: cxd5 97 99
d4 d5 c4 c6 cxd5 cxd5: Nc3 74 76, Bf4 14 12
d4 d5 c4 dxc4: e3 40 34, Nf3 34 44, e4 18 20, Nc3 7 1
d4 d5 c4 dxc4 e3: Nf6 46 66, b5 26 2, e5 8 24, e6 12 4
d4 d5 c4 dxc4 Nf3: Nf6 70 84, b5 10 0, c6 8 4
d4 d5 Nf3: Nf6 62 74, c6 6 4, e6 10 6, Bf5 10 6, Nc6 8 2
d4 d5 Nf3 Nf6: c4 44 62, Bf4 28 16 2.0, e3 14 6, g3 8 12
d4 d5 Bf4: Nf6 52 54, c5 12 26, e6 16 6, Nc6 10 2, Bf5 6 6
d4 d5 Bf4 Nf6: e3 66 70, Nf3 28 26
d4 Nf6: c4 60 78, Nf3 16 14, Bf4 12 4 2.0, Bg5 6 3, Nc3 4 1
d4 Nf6 c4: e6 40 50, g6 34 36, c5 10 8, e5 6 1, d6 8 1
d4 Nf6 c4 e6: Nc3 58 46, Nf3 32 42, g3 4 10
d4 Nf6 c4 e6 Nc3: d5 44 34, Bb4 42 60, c5 6 4, Be7 6 1
d4 Nf6 c4 e6 Nc3 Bb4: e3 34 42, Qc2 14 34, a3 24 6, Bd2 14 2, Nf3 12 14
d4 Nf6 c4 e6 Nf3: d5 44 40, b6 24 34, Bb4 14 18, c5 8 6
d4 Nf6 c4 e6 Nf3 d5: Nc3 60 54, g3 10 36, Bg5 18 6
d4 Nf6 c4 g6: Nc3 78 80, Nf3 14 10, g3 2 8
d4 Nf6 c4 g6 Nc3: Bg7 78 66, d5 18 34
d4 Nf6 c4 g6 Nc3 Bg7: e4 80 86, Nf3 16 10
d4 Nf6 c4 g6 Nc3 Bg7 e4: d6 80 86, O-O 18 13
d4 Nf6 c4 g6 Nc3 Bg7 e4 d6: Nf3 56 56, f3 18 18, Be2 10 14, h3 4 10
d4 e6: c4 46 70, Nf3 22 16, e4 20 12
d4 e6 c4: d5 46 40, Nf6 34 46, f5 10 8, Bb4 4 4
d4 e6 c4 d5: Nc3 66 60, Nf3 22 34, cxd5 10 5
d4 f5: c4 44 40, g3 14 36, Nf3 20 12, Nc3 8 8, Bg5 6 4
c4: e5 38 34, Nf6 26 34, c5 14 16, e6 12 12, c6 6 4
c4 e6: d4 36 30, Nc3 34 34, Nf3 18 26
c4 e6 d4: d5 60 56, Nf6 26 36
c4 e6 Nc3: d5 54 56, Nf6 28 38
c4 e6 Nc3 d5: d4 64 74, cxd5 24 18
c4 e6 Nc3 d5 d4: Nf6 66 54, Be7 6 24, c6 12 12
c4 Nf6: Nc3 54 60, Nf3 20 24, d4 16 6, g3 6 10
Nf3: d5 52 40, Nf6 30 44, c5 8 10, g6 4 4
Nf3 d5: d4 52 36, c4 12 30, g3 28 32
Nf3 d5 d4: Nf6 62 72, e6 12 8, Bf5 8 6
Nf3 Nf6: c4 30 52, d4 36 26, g3 24 20
e4: e5 56 34, c5 18 38, e6 9 13, c6 6 10, d5 5 2, d6 3 1, Nf6 2 1
e4 e5: Nf3 78 90, Bc4 6 3, f4 4 1, d4 4 1, Nc3 5 4
e4 e5 Nf3: Nc6 78 82, d6 12 2, Nf6 7 15
e4 e5 Nf3 Nc6: Bc4 48 34, Bb5 26 54, d4 12 8, Nc3 11 3
e4 e5 Nf3 Nc6 Bc4: Bc5 46 52, Nf6 36 46, d6 6 0, h6 6 0
e4 e5 Nf3 Nc6 Bc4 Bc5: c3 34 60, d3 26 26, O-O 22 10, b4 6 3
e4 e5 Nf3 Nc6 Bc4 Nf6: d3 38 68, Ng5 40 24, Nc3 10 1, d4 6 4
e4 e5 Nf3 Nc6 Bb5: a6 58 60, Nf6 16 32, d6 12 2, Bc5 8 3
e4 e5 Nf3 Nc6 Bb5 a6: Ba4 60 86, Bxc6 34 13
e4 e5 Nf3 Nc6 Bb5 a6 Ba4: Nf6 76 94, b5 14 2
e4 c5: Nf3 60 76, Nc3 10 10, c3 10 7, d4 8 2, Bc4 8 0
e4 c5 Nf3: d6 38 38, Nc6 34 32, e6 22 28
e4 c5 Nf3 d6: d4 72 78, Bb5 8 14, Bc4 10 0, Nc3 6 2
e4 c5 Nf3 d6 d4: cxd4 97 99
e4 c5 Nf3 d6 d4 cxd4: Nxd4 95 98
e4 c5 Nf3 d6 d4 cxd4 Nxd4: Nf6 92 98
e4 c5 Nf3 d6 d4 cxd4 Nxd4 Nf6: Nc3 94 97
e4 c5 Nf3 d6 d4 cxd4 Nxd4 Nf6 Nc3: a6 42 60, g6 30 18, Nc6 18 14, e6 8 6
e4 e6: d4 76 90, Nf3 12 4, d3 4 4
e4 e6 d4: d5 97 99
e4 e6 d4 d5: Nc3 34 46, e5 32 26, exd5 24 8, Nd2 8 20
e4 c6: d4 68 76, Nc3 12 10, Nf3 12 8
e4 c6 d4: d5 97 99
e4 c6 d4 d5: e5 36 50, exd5 30 22, Nc3 20 22, Nd2 4 4
e4 d5: exd5 88 97
e4 d5 exd5: Qxd5 82 66, Nf6 16 33
"""


def book() -> list[tuple[int, int, float, float, float]]:
    """The table as keys and move numbers; transposed lines add up in one position."""
    entries: dict[tuple[int, int], tuple[float, float, float]] = {}
    for line in BOOK.strip().splitlines():
        moves, _, weights = line.partition(":")
        board = chess.Board()
        for san in moves.split():
            board.push_san(san)
        fen = board.fen(en_passant="fen")
        for entry in weights.split(","):
            san, weak, strong, *fashion = entry.split()
            code = _core.move_code(fen, board.parse_san(san).uci())
            at = (_core.position_key(fen), code)
            if at not in entries:
                entries[at] = (float(weak), float(strong), float(fashion[0]) if fashion else 1.0)
    return [(key, code, *rest) for (key, code), rest in entries.items()]


def games() -> bytes:
    """The whole collection as PGN."""
    return _core.invent_games(
        NUMBER,
        0,
        GAMES,
        ratings=(900, 2400),
        years=(1998, 2025),
        players=260,
        event=EVENT,
        site=SITE,
        book=book(),
    )


def main() -> None:
    """Writes the file, or another one if it is named."""
    path = Path(sys.argv[1]) if len(sys.argv) > 1 else FILE
    notice = "% Invented games of an invented club: nobody in them exists, none was played.\n\n"
    path.write_bytes(lzma.compress(notice.encode() + games(), preset=9))
    print(f"{path}: {GAMES} invented games, {path.stat().st_size // 1000} kB")


if __name__ == "__main__":
    main()
