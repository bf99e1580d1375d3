"""The built-in engine: published tactics and mates, the same answer twice, stopping, bad input,
and a conversation in UCI."""

import csv
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from pathlib import Path

import chess
import chess.engine
import pytest

from linewright._core import Engine, evaluate

START = chess.STARTING_FEN
BUSY = "r3k2r/p1ppqpb1/bn2pnp1/3PN3/1p2P3/2N2Q1p/PPPBBPPP/R3K2R w KQkq - 0 1"
LOOP = "from linewright._core import run_uci; run_uci()"


def tactics(prefix: str) -> list[dict[str, str]]:
    path = Path(__file__).parent / "tables" / "tactics.csv"
    rows = (row for row in path.read_text().splitlines() if not row.startswith("#"))
    return [row for row in csv.DictReader(rows) if row["id"].startswith(prefix)]


@pytest.fixture(scope="module")
def engine() -> Engine:
    return Engine(hash_mb=16)


def solved(engine: Engine, rows: list[dict[str, str]], nodes: int) -> list[str]:
    found = []
    for row in rows:
        answer = engine.analyse(row["fen"], nodes=nodes)
        if answer.lines[0].moves[0] in row["best_moves"].split():
            found.append(row["id"])
    return found


def test_tactics_at_few_nodes(engine: Engine) -> None:
    """Every tenth position of Win at Chess; source in the table."""
    rows = tactics("WAC")[::10]
    assert len(rows) == 30
    assert len(solved(engine, rows, 150_000)) >= 20


@pytest.mark.slow
def test_win_at_chess(engine: Engine) -> None:
    """At the nodes a quiet core searches in a second; source in the table."""
    assert len(solved(engine, tactics("WAC"), 2_000_000)) >= 285


@pytest.mark.slow
def test_bratko_kopec(engine: Engine) -> None:
    """At the nodes a quiet core searches in ten seconds; source in the table."""
    assert len(solved(engine, tactics("BK"), 20_000_000)) >= 20


def test_proved_mates_are_found(engine: Engine) -> None:
    """Mates in at most three proved by trying every defence; source in the table."""
    rows = [row for row in tactics("WAC") if row["mate_in"] and int(row["mate_in"]) <= 3]
    assert len(rows) > 20
    for row in rows:
        line = engine.analyse(row["fen"], nodes=400_000).lines[0]
        assert line.mate is not None and 0 < line.mate <= int(row["mate_in"]), row
        board = chess.Board(row["fen"])
        for move in line.moves:
            board.push_uci(move)
        if line.mate == (len(line.moves) + 1) // 2:
            assert board.is_checkmate(), row


@pytest.mark.parametrize(
    ("fen", "most_moves"),
    [
        ("8/8/8/8/8/4k3/8/4K2Q w - - 0 1", 10),
        ("8/8/8/3k4/8/8/8/R3K3 w - - 0 1", 16),
        ("8/8/8/3k4/8/8/8/2B1KB2 w - - 0 1", 19),
        ("8/8/8/3k4/8/8/8/1N2KB2 w - - 0 1", 33),
    ],
)
def test_a_bare_king_is_mated(engine: Engine, fen: str, most_moves: int) -> None:
    """The longest mates with Q, R, B+B and B+N take 10, 16, 19 and 33 moves (common knowledge of
    endgame tables, from memory); a third more is allowed here, within the fifty-move rule."""
    board = chess.Board(fen)
    engine.clear()
    while not board.is_game_over(claim_draw=True):
        moves = [move.uci() for move in board.move_stack]
        board.push_uci(engine.analyse(fen, moves, nodes=40_000, keep=True).lines[0].moves[0])
    assert board.is_checkmate()
    assert len(board.move_stack) <= 2 * (most_moves + most_moves // 3 + 2)


def test_the_same_question_has_the_same_answer(engine: Engine) -> None:
    first = engine.analyse(BUSY, nodes=30_000, lines=3)
    engine.analyse(START, nodes=10_000)
    second = engine.analyse(BUSY, nodes=30_000, lines=3)
    other = Engine(hash_mb=16).analyse(BUSY, nodes=30_000, lines=3)
    assert first.lines == second.lines == other.lines
    assert first.nodes == second.nodes == other.nodes
    assert first.nodes == 30_000


def test_several_lines_are_different_legal_and_sorted(engine: Engine) -> None:
    lines = engine.analyse(BUSY, depth=7, lines=5).lines
    assert len({line.moves[0] for line in lines}) == 5
    scores = [line.score_cp for line in lines if line.score_cp is not None]
    assert scores == sorted(scores, reverse=True)
    for line in lines:
        board = chess.Board(BUSY)
        for move in line.moves:
            board.push(board.parse_uci(move))


def test_a_bad_move_asked_about_is_shown_with_its_refutation(engine: Engine) -> None:
    """Common practice, no source: the queen goes back and leaves the pawn on e4 alone."""
    fen = "r1bqk2r/pppp1pp1/2n2n1p/2b1p3/2B1P3/5N2/PPPPQPPP/RNB2RK1 w kq - 2 6"
    for nodes in (50_000, 100_000, 300_000, 600_000):
        line = engine.analyse(fen, nodes=nodes, only=["e2d1"]).lines[0]
        assert line.moves[:2] == ["e2d1", "f6e4"]


def test_only_the_moves_asked_for(engine: Engine) -> None:
    lines = engine.analyse(START, depth=5, lines=5, only=["a2a3", "h2h4"]).lines
    assert {line.moves[0] for line in lines} == {"a2a3", "h2h4"}


def test_two_threads_answer_too() -> None:
    line = (
        Engine(hash_mb=16, threads=2).analyse(tactics("WAC.004")[0]["fen"], nodes=400_000).lines[0]
    )
    assert line.moves[0] in tactics("WAC.004")[0]["best_moves"].split()


def test_a_search_stops_at_once() -> None:
    engine = Engine()
    delays = []
    for _ in range(5):
        asked: list[float] = []

        def stop(asked: list[float] = asked) -> None:
            asked.append(time.perf_counter())
            engine.stop()

        threading.Timer(0.15, stop).start()
        engine.analyse(BUSY, time_ms=60_000)
        delays.append(time.perf_counter() - asked[0])
    # The median, because other programs on the machine may hold a wake-up back.
    assert sorted(delays)[2] < 0.05, delays


@pytest.mark.parametrize(
    "fen",
    [
        "qqqqkqqq/q7/2q5/8/8/5Q2/6Q1/QQQ1KQQQ w - - 0 1",
        "1qqqkqq1/1q4q1/q6q/8/8/Q6Q/1Q4Q1/1QQQKQQ1 w - - 0 1",
    ],
)
def test_limits_hold_where_exchanges_have_no_end(engine: Engine, fen: str) -> None:
    """With 22 queens trying out all captures takes millions of positions before depth 1 is done."""
    for limits in ({"nodes": 1}, {"nodes": 10_000}, {"nodes": 50, "lines": 5}):
        answer = engine.analyse(fen, **limits)  # type: ignore[arg-type]
        assert answer.nodes < 20_000
        assert len(answer.lines) == limits.get("lines", 1)
    began = time.process_time()
    engine.analyse(fen, time_ms=1, lines=200)
    assert time.process_time() - began < 0.5


def test_repetition_and_fifty_moves_are_draws(engine: Engine) -> None:
    """FIDE Laws of Chess 9.2 and 9.3."""
    # White is a queen up, but every move completes a hundred half-moves.
    late = engine.analyse("8/8/8/3k4/8/8/8/Q3K3 w - - 99 80", depth=6)
    assert late.lines[0].score_cp == 0
    # White has two rooks and a pawn for the queen, but no way out of the checks on e1 and h4.
    perpetual = engine.analyse("R7/1R6/6k1/8/8/8/6P1/4q1K1 w - - 0 1", depth=10)
    assert perpetual.lines[0].score_cp == 0
    # The same position for the third time: the king may go to and fro, and that is no win.
    moves = ["g1h2", "e1h4", "h2g1", "h4e1"] * 2
    assert engine.analyse("R7/1R6/6k1/8/8/8/6P1/4q1K1 w - - 0 1", moves, depth=4).lines


def test_game_over_has_no_lines(engine: Engine) -> None:
    assert engine.analyse("k7/1Q6/1K6/8/8/8/8/8 b - - 0 1", nodes=100).lines == []
    assert engine.analyse("k7/2Q5/1K6/8/8/8/8/8 b - - 0 1", nodes=100).lines == []


@pytest.mark.parametrize(
    "fen",
    [
        "no board",
        "",
        "8/8/8/8/8/8/8/8 w - - 0 1",
        "k7/8/8/8/8/8/8/8 w - - 0 1",
        "k7/8/8/8/8/PPP5/PPPPPP2/K7 w - - 0 1",
        "k7/8/8/8/8/8/8/RK6 w - - 0 1",
        "k6P/8/8/8/8/8/8/K7 w - - 0 1",
        "kk6/8/8/8/8/8/8/K7 w - - 0 1",
        "9/8/8/8/8/8/8/8/8/8 w - - 0 1",
    ],
)
def test_impossible_positions_are_refused(engine: Engine, fen: str) -> None:
    with pytest.raises(ValueError, match="is not a position"):
        engine.analyse(fen, nodes=100)


def test_senseless_limits_are_refused(engine: Engine) -> None:
    for limits in ({"nodes": 0}, {"nodes": -5}, {"depth": 0}, {"time_ms": -1}, {}, {"lines": 0}):
        full = limits if "lines" not in limits else {"nodes": 10, **limits}
        with pytest.raises(ValueError):
            engine.analyse(START, **full)  # type: ignore[arg-type]
    for bad in ({"hash_mb": 0}, {"hash_mb": -1}, {"threads": 0}, {"threads": 1000}):
        with pytest.raises(ValueError):
            Engine(**bad)
    with pytest.raises(MemoryError, match="does not fit"):
        Engine(hash_mb=1 << 30)
    assert engine.analyse(START, depth=10**9, nodes=500).lines


def test_illegal_moves_are_refused(engine: Engine) -> None:
    for moves in (["e2e5"], ["e2e4", "e2e4"], ["zzz"], ["e2e4" * 1000]):
        with pytest.raises(ValueError, match="is not a legal move"):
            engine.analyse(START, moves, nodes=100)
    with pytest.raises(ValueError, match="is not a legal move"):
        engine.analyse(START, nodes=100, only=["e7e5"])


def test_evaluation_is_the_same_for_both_sides() -> None:
    for row in tactics("WAC")[:60]:
        board = chess.Board(row["fen"])
        assert evaluate(board.fen()) == evaluate(board.mirror().fen())


# --- UCI ------------------------------------------------------------------------------------


def talk(commands: str | bytes, timeout: float = 30) -> list[str]:
    data = commands.encode() if isinstance(commands, str) else commands
    done = subprocess.run(
        [sys.executable, "-c", LOOP], input=data, capture_output=True, timeout=timeout, check=True
    )
    assert not done.stderr
    return done.stdout.decode().splitlines()


def test_introduction_and_a_search() -> None:
    """Source: the UCI protocol (2000)."""
    said = talk("uci\nisready\nposition startpos moves e2e4 e7e5\ngo depth 6\n")
    assert said[0].startswith("id name ") and "uciok" in said and "readyok" in said
    assert said[-1].startswith("bestmove ")
    infos = [line for line in said if line.startswith("info depth")]
    for word in ("score", "nodes", "nps", "pv", "seldepth", "multipv", "hashfull"):
        assert f" {word} " in infos[-1]


@pytest.fixture
def client() -> Iterator[chess.engine.SimpleEngine]:
    client = chess.engine.SimpleEngine.popen_uci([sys.executable, "-c", LOOP])
    yield client
    client.quit()


def test_the_program_starts_the_engine_without_loading_the_rest() -> None:
    done = subprocess.run(
        [sys.executable, "-X", "importtime", "-m", "linewright", "engine"],
        input="uci\nquit\n", capture_output=True, text=True, timeout=30, check=True,
    )  # fmt: skip
    assert "uciok" in done.stdout
    loaded = {line.rpartition("|")[2].strip() for line in done.stderr.splitlines()}
    assert "linewright._core" in loaded
    assert not loaded & {"typer", "rich", "chess", "linewright.cli", "linewright.lesson"}


def test_the_reference_client_plays_and_analyses(client: chess.engine.SimpleEngine) -> None:
    board = chess.Board()
    for _ in range(6):
        played = client.play(board, chess.engine.Limit(nodes=2000)).move
        assert played is not None
        board.push(played)
    lines = client.analyse(board, chess.engine.Limit(depth=5), multipv=3)
    assert len(lines) == 3
    client.configure({"Hash": 1, "Threads": 2})
    assert client.play(board, chess.engine.Limit(time=0.05)).move in list(board.legal_moves)
    clock = chess.engine.Limit(white_clock=1, black_clock=1, white_inc=0.01, black_inc=0.01)
    began = time.monotonic()
    assert client.play(board, clock).move in list(board.legal_moves)
    assert time.monotonic() - began < 1


def test_endless_search_ends_on_stop_and_quit() -> None:
    process = subprocess.Popen(
        [sys.executable, "-c", LOOP], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    )
    assert process.stdin and process.stdout
    process.stdin.write("go infinite\nisready\n")
    process.stdin.flush()
    for line in process.stdout:
        assert not line.startswith("bestmove")
        if line == "readyok\n":
            break
    process.stdin.write("stop\n")
    process.stdin.flush()
    assert any(line.startswith("bestmove") for line in iter(process.stdout.readline, ""))
    process.stdin.write("go infinite\nquit\n")
    process.stdin.flush()
    assert process.wait(timeout=10) == 0


def test_mate_and_stalemate_on_the_board() -> None:
    said = talk("position fen k7/1Q6/1K6/8/8/8/8/8 b - - 0 1\ngo nodes 50\n")
    assert said == ["info depth 0 score mate 0", "bestmove (none)"]
    said = talk("position fen k7/2Q5/1K6/8/8/8/8/8 b - - 0 1\ngo infinite\nstop\n")
    assert said == ["info depth 0 score cp 0", "bestmove (none)"]


def test_commands_in_the_wrong_order_get_an_answer() -> None:
    said = talk(
        "stop\nponderhit\ngo depth 2\nstop\nisready\nucinewgame\nposition\ngo depth 1\nuci\n"
    )
    assert [line for line in said if line.startswith("bestmove")][1] == "bestmove 0000"
    assert "readyok" in said and said[-1] == "uciok"
    assert any("there is no position to search" in line for line in said)


@pytest.mark.parametrize(
    ("command", "answer"),
    [
        ("dance", "unknown command 'dance'"),
        ("position fen 8/8/8/8/8/8/8/8 w - - 0 1", "missing king"),
        ("position startpos moves e2e5", "'e2e5' is not a legal move"),
        ("position fen", "a position is 'startpos' or 'fen' and a FEN"),
        ("setoption name Hash value 99999999999", "does not fit"),
        ("setoption name Hash value many", "cannot be set to 'many'"),
        ("setoption name Colour value 3", "option 'colour' cannot be set to '3'"),
        ("setoption name Threads value 0", "threads cannot be had"),
        ("setoption", "an option is set by 'name'"),
        ("setoption nameHash value 8", "an option is set by 'name'"),
        ("setoption Hash value 8", "not by 'Hash value 8'"),
        ("position startpos movese2e4", "'moves' and moves, not 'startpos movese2e4'"),
        ("position startposmoves e2e4", "a position is 'startpos' or 'fen'"),
        ("position fen 8/8/8/8/8/5k2/8/5K2 w - - 0 1 movese2e4", "is not a position"),
        ("go depth -3", "'depth -3' is taken as 'depth 1'"),
        ("go nodes zero depth 1", "'nodes' needs a number, not 'zero'"),
        ("go movetime 0", "'movetime 0' is taken as 'movetime 1'"),
        ("go depth 1 sideways", "'go' does not know 'sideways'"),
        ("go depth 1 searchmoves e2e5", "'e2e5' is not a legal move"),
    ],
)
def test_what_cannot_be_done_is_said(command: str, answer: str) -> None:
    said = talk(f"{command}\nisready\n")
    assert any(line.startswith("info string") and answer in line for line in said), said
    assert "readyok" in said
    if command.startswith("go"):
        assert any(line.startswith("bestmove") for line in said)


def test_a_very_long_command_is_refused_and_a_long_game_is_read() -> None:
    said = talk(b"position startpos moves " + b"e2e4 " * 300_000 + b"\nisready\n")
    assert any("longer than 1048576 bytes" in line for line in said) and said[-1] == "readyok"
    said = talk(b"x" * (1 << 20) + b"\nisready\n")
    assert said[-1] == "readyok" and all(len(line) < 200 for line in said)
    there_and_back = b"g1f3 g8f6 f3g1 f6g8 " * 5000
    said = talk(b"position startpos moves " + there_and_back + b"\ngo depth 3\n")
    assert said[-1].startswith("bestmove ")


def test_a_depth_too_large_to_be_held_is_still_a_limit() -> None:
    """Three moves mate: the search to any depth comes to an end, a search without one does not."""
    mate = "position fen 7k/8/6K1/8/8/8/8/R7 w - - 0 1\n"
    said = talk(f"{mate}go depth 99999999999 nodes 2000\n")
    assert said[-1] == "bestmove a1a8" and not any("info string" in line for line in said)
    # Without any limit the answer would only come on 'stop', which is never sent here.
    with subprocess.Popen(
        [sys.executable, "-m", "linewright", "engine"],
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True,
    ) as engine:  # fmt: skip
        assert engine.stdin is not None and engine.stdout is not None
        engine.stdin.write("position fen 7k/5K2/8/8/8/8/8/R7 b - - 0 1\ngo depth 99999999999\n")
        engine.stdin.flush()
        timer = threading.Timer(30, engine.kill)
        timer.start()
        said = []
        while not said or (said[-1] and not said[-1].startswith("bestmove")):
            said.append(engine.stdout.readline())
        timer.cancel()
        engine.stdin.write("quit\n")
    assert said[-1].startswith("bestmove h8h7")


def test_what_is_said_of_memory_does_not_contradict_itself() -> None:
    (said,) = (
        line for line in talk("setoption name Hash value 99999999999\n") if "does not fit" in line
    )
    most = int(said.split("it may have ")[1].split(" MB")[0])
    assert 0 < most < 99_999_999_999


def test_a_go_full_of_nonsense_is_not_answered_word_by_word() -> None:
    said = talk("go depth 1 " + "zz " * 300_000 + "\n")
    assert len(said) < 30 and said[-1].startswith("bestmove ")
    assert "info string 299990 more words of this 'go' were not understood" in said


def test_bytes_that_are_no_text_do_no_harm() -> None:
    assert (
        talk(b"\xff\xfe\x00\nposition fen \xff\xff\nisready\nquit\ngo infinite\n")[-1] == "readyok"
    )


@pytest.mark.parametrize(
    ("wanted", "told"),
    [
        (
            ["--positions", "NONE"],
            "no position of tactics.csv begins with 'NONE'; there are BK, WAC",
        ),
        (["--every", "0"], "0 is not one or more"),
    ],
)
def test_the_benchmark_says_what_it_has_not_before_it_measures(
    wanted: list[str], told: str
) -> None:
    bench = Path(__file__).resolve().parent.parent / "benches" / "engine.py"
    run = subprocess.run(
        [sys.executable, str(bench), *wanted],
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )
    assert run.returncode == 2
    assert told in run.stderr
    assert "Traceback" not in run.stderr
