"""A UCI engine that behaves, or misbehaves in the way its first argument names."""

from __future__ import annotations

import os
import random
import subprocess
import sys
import time

import chess

MANNER = sys.argv[1] if len(sys.argv) > 1 else "well"


NAMES = {"nameless": "", "shouts": "\x1b[2JHarbour\x07 \x1b[31mClerk" + "!" * 100_000}
NONSENSE = {
    "boundless": f"cp {10**40}", "endless-mate": f"mate {10**9}", "no-mate": "mate 0",
    "sure": "cp -90000",
}  # fmt: skip


def say(text: str) -> None:
    sys.stdout.write(text + "\n")
    sys.stdout.flush()


def answer(board: chess.Board, words: list[str]) -> None:
    wanted = words[words.index("searchmoves") + 1 :] if "searchmoves" in words else []
    legal = [move.uci() for move in board.legal_moves]
    moves = [uci for uci in legal if not wanted or uci in wanted]
    if MANNER == "lies":
        say("info depth 9 nodes 1234 score cp 50 multipv 1 pv e1e8")
        say("bestmove e1e8")
    elif MANNER == "no-score":
        say(f"bestmove {moves[0]}")
    elif MANNER in NONSENSE:
        say(f"info depth -5 nodes 4321 score {NONSENSE[MANNER]} multipv 1 pv {moves[0]}")
        say(f"bestmove {moves[0]}")
    elif MANNER == "elsewhere":
        other = next((uci for uci in legal if uci not in wanted), legal[0])
        say(f"info depth 3 nodes 20 score cp 10 multipv 1 pv {other}")
        say(f"bestmove {other}")
    else:
        for rank in range(min(MULTIPV, len(moves))):
            say(f"info depth 7 nodes 4321 score cp {20 - rank} multipv {rank + 1} pv {moves[rank]}")
        say(f"bestmove {moves[0]}")


def misbehave() -> None:
    if MANNER == "crashes":
        os._exit(3)
    if MANNER == "hangs":
        time.sleep(600)
    if MANNER == "hangs-with-child":
        subprocess.Popen([sys.executable, "-c", "import time; time.sleep(600)"])
        time.sleep(600)
    if MANNER == "floods":
        while True:
            say("info depth 1 score cp 1 nodes 1 pv e2e4 " + "e7e5 " * 200)
    if MANNER == "floods-one-line":
        while True:
            sys.stdout.write("x" * 65536)
    if MANNER == "noise":
        sys.stdout.buffer.write(random.Random(1).randbytes(4096) + b"\n")
        sys.stdout.buffer.flush()


if MANNER == "silent":
    time.sleep(600)
if MANNER == "dies-at-once":
    sys.exit(1)

BOARD, MULTIPV = chess.Board(), 1
for line in sys.stdin:
    words = line.split()
    if not words:
        continue
    if words[0] == "uci":
        say(f"id name {NAMES.get(MANNER, 'Harbour Clerk 1')}")
        say("option name Hash type spin default 16 min 1 max 64")
        say("option name MultiPV type spin default 1 min 1 max 20")
        say("uciok")
    elif words[0] == "isready":
        say("readyok")
    elif words[0] == "setoption" and "MultiPV" in words:
        MULTIPV = int(words[-1])
    elif words[0] == "position":
        fen = " ".join(words[2:8]) if words[1] == "fen" else chess.STARTING_FEN
        BOARD = chess.Board(fen)
        for uci in words[words.index("moves") + 1 :] if "moves" in words else []:
            BOARD.push_uci(uci)
    elif words[0] == "go":
        misbehave()
        answer(BOARD, words)
    elif words[0] == "quit":
        break
