"""What collections cost: reading, storing, asking, adding more, a whole lesson with its reach.

A file of invented games is written from a fixed number (half a minute for each 100,000 games on
two cores) and read into a collection counted to 40 plies. Ratios are to the reference library's
parsing with position hashing in the same run, since machines differ and are noisy. Sizes are
arguments: `benches/games.py 100000 300000 1000000` shows how the figures grow; `--file PATH`
takes the games from a file written before.
"""

from __future__ import annotations

import io
import os
import random
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

import chess
import chess.pgn
import chess.polyglot

from linewright import _core
from linewright.following import follow
from linewright.games.collection import Collection
from linewright.games.reach import reach
from linewright.games.tally import ask
from linewright.script import parse
from linewright.source import Source

SIZES = (100_000,)
PLIES = 40
MORE = 10_000
NUMBER = 1
WRITTEN_AT_ONCE = 20_000
ADD = "from linewright.cli import main; import sys; sys.argv[0] = 'linewright'; main()"


def write(path: Path, first: int, last: int) -> None:
    """Writes invented games to a file."""
    with path.open("wb") as file:
        for start in range(first, last, WRITTEN_AT_ONCE):
            file.write(_core.invent_games(NUMBER, start, min(last, start + WRITTEN_AT_ONCE)))


def head(path: Path, games: int, into: Path) -> None:
    """The first games of a file as a file of their own."""
    left = games
    with path.open("rb") as source, into.open("wb") as sink:
        for line in source:
            if line.startswith(b"[Event "):
                left -= 1
                if left < 0:
                    return
            sink.write(line)


def reference_rate(path: Path, games: int = 300) -> float:
    """Games a second at which the reference library parses and hashes every position."""
    with path.open("rb") as file:
        text = file.read(games * 700).decode()
    stream = io.StringIO(text)
    begun = time.process_time()
    done = 0
    while done < games and (game := chess.pgn.read_game(stream)) is not None:
        board = game.board()
        for move in game.mainline_moves():
            board.push(move)
            chess.polyglot.zobrist_hash(board)
        done += 1
    return done / (time.process_time() - begun)


def add(folder: Path, path: Path) -> tuple[float, float, int]:
    """Seconds by the clock, seconds of CPU and most megabytes of an addition."""
    command = [sys.executable, "-c", ADD, "games", "add", str(path), "-c", str(folder)]
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    begun = time.perf_counter()
    process = subprocess.Popen([*command, "--plies", str(PLIES)], stdout=subprocess.DEVNULL)
    _, status, usage = os.wait4(process.pid, 0)
    clock = time.perf_counter() - begun
    process.returncode = os.waitstatus_to_exitcode(status)
    assert process.returncode == 0 and before
    return clock, usage.ru_utime + usage.ru_stime, usage.ru_maxrss // 1024


def positions(found: Collection, count: int) -> list[str]:
    """Positions of random games at random depths, common and rare ones."""
    rng = random.Random(5)
    picked = found.read_games(rng.sample(range(found.games), count))
    fens = []
    for game in picked:
        board = chess.Board()
        for san in game.moves[: rng.randrange(0, 30)]:
            board.push_san(san)
        fens.append(board.fen(en_passant="fen"))
    return fens


def percentile(times: list[float], share: float) -> float:
    """The time below which so many of the times lie, in milliseconds."""
    return sorted(times)[int(len(times) * share)] * 1000


def asked(folder: Path, fens: list[str], *, cold: bool) -> list[tuple[float, float]]:
    """Seconds by the clock and of CPU; cold questions open the collection anew."""
    found = Collection(folder)
    times = []
    for fen in fens:
        if cold:
            _forget(folder)
            found = Collection(folder)
        begun, busy = time.perf_counter(), time.process_time()
        ask(found, fen)
        times.append((time.perf_counter() - begun, time.process_time() - busy))
    return times


def told(what: str, times: list[tuple[float, float]]) -> str:
    """Median and 95th percentile, by the clock and of CPU."""
    clock, busy = ([one[n] for one in times] for n in (0, 1))
    median, late = (f"{percentile(clock, s):.1f} ms" for s in (0.5, 0.95))
    cpu = f"{percentile(busy, 0.5):.1f} and {percentile(busy, 0.95):.1f} ms of CPU"
    return f"           a tally, {what}: median {median}, p95 {late}; {cpu}"


def _forget(folder: Path) -> None:
    """Asks the system to drop the files' pages, so that they are read from the disk again."""
    for path in folder.glob("rows/*/rows-*.parquet"):
        descriptor = os.open(path, os.O_RDONLY)
        os.posix_fadvise(descriptor, 0, 0, os.POSIX_FADV_DONTNEED)
        os.close(descriptor)


def lesson_of(found: Collection, size: int = 200) -> str:
    """A lesson of about so many positions along the moves most played."""
    lines: list[list[str]] = []
    waiting: list[list[str]] = [[]]
    shown = 0
    while waiting and shown < size:
        line = waiting.pop(0)
        board = chess.Board()
        for san in line:
            board.push_san(san)
        moves = [m.san for m in ask(found, board).moves[: 2 if len(line) < 16 else 1]]
        shown += len(moves)
        lines += [[*line, san] for san in moves]
        waiting += [[*line, san] for san in moves]
    ends = [line for line in lines if not any(o[:-1] == line for o in lines)]
    text = "\n\n".join(" ".join(_numbered(line)) for line in ends)
    return f"---\nfor: White\nstudents: 1200-1799\n---\n{text}\n"


def _numbered(line: list[str]) -> Iterator[str]:
    for ply, san in enumerate(line):
        yield f"{ply // 2 + 1}.{san}" if ply % 2 == 0 else san


def measure(path: Path, games: int, folder: Path, reference: float) -> None:
    """Prints the figures of one size."""
    collection = folder / f"c{games}"
    clock, cpu, memory = add(collection, path)
    found = Collection(collection)
    rate = games / clock
    idle = 2 * games / cpu
    clocked = f"{rate:,.0f} games/s by the clock, {rate / reference:.0f} x the reference"
    print(f"{games:>9,} games  {clocked}")
    print(f"           {cpu:.1f} s of CPU: {idle:,.0f} games/s on two idle cores, ", end="")
    print(f"{idle / reference:.0f} x the reference on one")
    size = found.size() / games
    print(f"           {memory} MB of memory, {size:.0f} bytes a game on disk, {PLIES} plies")
    fens = positions(found, 300)
    warm = asked(collection, fens, cold=False)[len(fens) // 2 :]
    print(told("warm", warm))
    cold = asked(collection, fens[:60], cold=True)
    print(told("cold", cold))
    lesson = follow(parse(Source("lesson.md", lesson_of(found))))
    begun, busy = time.perf_counter(), time.process_time()
    reach(lesson, Collection(collection))
    clock, cpu = time.perf_counter() - begun, time.process_time() - busy
    print(
        f"           reach of {len(lesson.tree.nodes)} positions: {clock:.2f} s, {cpu:.2f} s of CPU"
    )
    more = folder / "more.pgn"
    write(more, 50_000_000, 50_000_000 + MORE)
    clock, cpu, _ = add(collection, more)
    print(f"           adding {MORE:,} more: {clock:.1f} s, {cpu:.1f} s of CPU")


def main() -> None:
    """Runs the sizes given."""
    arguments = sys.argv[1:]
    given = Path(arguments.pop(arguments.index("--file") + 1)) if "--file" in arguments else None
    sizes = [int(size) for size in arguments if size != "--file"] or list(SIZES)
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        source = given or folder / "all.pgn"
        if given is None:
            write(source, 0, max(sizes))
        reference = reference_rate(source)
        print(f"the reference library parses and hashes {reference:,.0f} games/s of CPU")
        for size in sizes:
            path = folder / "some.pgn"
            head(source, size, path)
            measure(path, size, folder, reference)


if __name__ == "__main__":
    main()
