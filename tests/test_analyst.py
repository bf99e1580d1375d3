"""The analyst: engines of all manners, memory, settings, questions."""

from __future__ import annotations

import os
import sqlite3
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from pathlib import Path

import chess
import pytest

from linewright.analyst.answer import (
    Analysis,
    Effort,
    EffortError,
    EngineTroubleError,
    Line,
    Score,
)
from linewright.analyst.builtin import BuiltIn
from linewright.analyst.memory import Memory
from linewright.analyst.open import open_analyst
from linewright.analyst.questions import Analyst, fitting_sign, won_points
from linewright.analyst.settings import SettingsError, read_settings
from linewright.analyst.uci import UciEngine

SPEAKS = str(Path(__file__).parent / "engines" / "speaks.py")
START = chess.STARTING_FEN
QUICK = Effort(nodes=2000)


def spoken(manner: str) -> tuple[str, ...]:
    return (sys.executable, SPEAKS, manner)


def line_to(moves: str, fen: str = START) -> chess.Board:
    board = chess.Board(fen)
    for san in moves.split():
        board.push_san(san)
    return board


def processes_with(mark: str) -> list[str]:
    listed = subprocess.run(["ps", "-eo", "args"], capture_output=True, text=True, check=True)
    return [line for line in listed.stdout.splitlines() if mark in line and "ps -eo" not in line]


# --- engines of other people -------------------------------------------------------------------


def test_an_engine_that_behaves_answers_with_name_depth_and_nodes() -> None:
    with UciEngine(spoken("well"), {"Hash": 32}) as engine:
        found = engine.answer(START, Effort(nodes=100, lines=3))
    assert (found.engine, found.depth, found.nodes) == ("Harbour Clerk 1 (Hash=32)", 7, 4321)
    assert len(found.lines) == 3
    assert found.lines[0].score == Score(cp=20)


def test_a_name_is_one_short_line_that_no_terminal_obeys() -> None:
    with UciEngine(spoken("shouts")) as engine:
        assert engine.identity.startswith("[2JHarbour [31mClerk!!!") and len(engine.identity) == 80
    with UciEngine(spoken("nameless")) as engine:
        assert engine.identity == Path(sys.executable).name


def test_a_score_beyond_all_material_is_no_mate() -> None:
    with UciEngine(spoken("sure")) as engine:
        found = engine.answer(START, QUICK)
    assert (found.lines[0].score, found.depth) == (Score(cp=-49_999), 0)


def test_scores_are_seen_from_white_and_only_moves_asked_about_are_answered() -> None:
    black = line_to("e4")
    with UciEngine(spoken("well")) as engine:
        found = engine.answer(black.fen(), QUICK, ("e7e5",))
    assert found.lines == (Line(Score(cp=-20), ("e7e5",)),)


@pytest.mark.parametrize(
    ("manner", "words"),
    [
        ("crashes", "ended by itself"),
        ("dies-at-once", "ended by itself"),
        ("hangs", "did not answer within 1 s"),
        ("silent", "did not answer within 1 s"),
        ("floods", "wrote more than 8 MB"),
        ("floods-one-line", "wrote more than 8 MB"),
        ("lies", "it named a move that cannot be played: illegal uci: 'e1e8'"),
        ("boundless", "no line with a score"),
        ("endless-mate", "no line with a score"),
        ("no-mate", "no line with a score"),
        ("no-score", "no line with a score"),
        ("elsewhere", "was not asked about"),
    ],
)
def test_a_faulty_engine_is_stopped_and_named_in_one_line(manner: str, words: str) -> None:
    begun = time.monotonic()
    with pytest.raises(EngineTroubleError) as caught:
        patience_s = 1 if "1 s" in words else 25
        start_s = 1 if manner == "silent" else 20
        engine = UciEngine(spoken(manner), start_s=start_s, patience_s=patience_s)
        engine.answer(START, QUICK, ("g1f3",) if manner == "elsewhere" else ())
    assert words in str(caught.value)
    assert "\n" not in str(caught.value) and "Traceback" not in str(caught.value)
    assert time.monotonic() - begun < 60
    wait_until_gone(f"speaks.py {manner}")


def wait_until_gone(mark: str, within_s: float = 5) -> None:
    end = time.monotonic() + within_s
    while processes_with(mark) and time.monotonic() < end:
        time.sleep(0.05)
    assert not processes_with(mark)


def test_nothing_but_the_one_line_is_told_of_an_engine_that_says_nothing(tmp_path: Path) -> None:
    work = (
        "import sys\n"
        "from linewright.analyst.uci import UciEngine\n"
        "try: UciEngine(('cat',), start_s=0.5)\n"
        "except Exception as trouble: print(trouble)\n"
    )
    for _ in range(3):
        done = subprocess.run(
            [sys.executable, "-c", work], check=True, capture_output=True, text=True
        )
        assert done.stderr == ""
        assert "the engine 'cat' is not used any more: it did not answer" in done.stdout


def test_children_of_a_hanging_engine_are_ended_too() -> None:
    engine = UciEngine(spoken("hangs-with-child"), start_s=5, patience_s=1)
    pid = engine._pid
    with pytest.raises(EngineTroubleError):
        engine.answer(START, QUICK)
    wait_until_gone("speaks.py hangs-with-child")
    end = time.monotonic() + 5
    while group_lives(pid) and time.monotonic() < end:
        time.sleep(0.05)
    assert not group_lives(pid)


def group_lives(pid: int) -> bool:
    listed = subprocess.run(["ps", "-eo", "pgid,stat"], capture_output=True, text=True, check=True)
    rows = (line.split() for line in listed.stdout.splitlines()[1:])
    return any(int(row[0]) == pid and not row[1].startswith("Z") for row in rows)


def test_noise_before_the_answer_does_no_harm() -> None:
    with UciEngine(spoken("noise")) as engine:
        assert engine.answer(START, QUICK).best is not None


@pytest.mark.parametrize(
    ("command", "words"),
    [
        (("/no/such/engine at all",), "there is no program '/no/such/engine at all'"),
        (("/no/such", "engine"), "'/no/such'; a name with spaces needs quotes"),
        ((SPEAKS,), "may not be run"),
        ((), "its command is empty"),
        (("/",), "may not be run"),
    ],
)
def test_a_command_that_cannot_run_is_named(command: tuple[str, ...], words: str) -> None:
    with pytest.raises(EngineTroubleError, match="is not used any more") as caught:
        UciEngine(command)
    assert words in str(caught.value)


def test_an_unknown_option_is_named() -> None:
    with pytest.raises(EngineTroubleError, match="it has no option 'Colour'"):
        UciEngine(spoken("well"), {"Colour": "red"})


def test_a_program_with_spaces_and_quotes_in_its_name_is_run(tmp_path: Path) -> None:
    program = tmp_path / "an \"engine\" of 'mine'"
    program.write_text(f'#!/bin/sh\nexec "{sys.executable}" "{SPEAKS}" well\n')
    program.chmod(0o700)
    with UciEngine((str(program),)) as engine:
        assert engine.identity == "Harbour Clerk 1"


def test_no_question_is_asked_where_the_game_is_over() -> None:
    mate = "rnb1kbnr/pppp1ppp/8/4p3/6Pq/5P2/PPPPP2P/RNBQKBNR w KQkq - 1 3"
    stalemate = "7k/5Q2/6K1/8/8/8/8/8 b - - 0 1"
    for fen in (mate, stalemate):
        assert BuiltIn().answer(fen, QUICK).lines == ()
        with UciEngine(spoken("crashes")) as engine:
            assert engine.answer(fen, QUICK).lines == ()


# --- limits and positions ----------------------------------------------------------------------


@pytest.mark.parametrize(
    "limits",
    [{}, {"nodes": 0}, {"depth": -3}, {"time_ms": 0}, {"nodes": 5, "lines": 0}, {"nodes": 2**63}],
)
def test_impossible_limits_are_refused(limits: dict[str, int]) -> None:
    with pytest.raises(EffortError):
        Effort(**limits)


@pytest.mark.parametrize(
    "fen",
    [
        "no board",
        "8/8/8/8/8/8/8/K7 w - - 0 1",
        "rnbqkbnr/pppppppp/8/8/8/P7/PPPPPPPP/RNBQKBNR w KQkq - 0 1",
        "4k3/8/8/8/8/8/4Q3/4K3 w - - 0 1",
    ],
)
def test_impossible_positions_are_refused(fen: str) -> None:
    with pytest.raises(ValueError, match="is no position"):
        Analyst(BuiltIn(), effort=QUICK).ask(fen)


# --- memory ------------------------------------------------------------------------------------


class Counting:
    """An answerer that counts how often it is asked."""

    identity = "counting"

    def __init__(self, fails_after: int | None = None) -> None:
        self.asked = 0
        self.fails_after = fails_after

    def answer(self, fen: str, effort: Effort, only: tuple[str, ...] = ()) -> Analysis:
        self.asked += 1
        if self.fails_after is not None and self.asked > self.fails_after:
            raise EngineTroubleError(self.identity, "it ended by itself")
        return Analysis(fen, self.identity, 1, 1, (Line(Score(cp=1), ("e2e4",)),))

    def close(self) -> None:
        pass


def test_a_second_run_asks_nothing_again(tmp_path: Path) -> None:
    engine = Counting()
    for _ in range(2):
        analyst = Analyst(engine, Memory(tmp_path / "memory.sqlite"))
        first = analyst.ask(START)
        analyst.close()
    assert engine.asked == 1
    assert (first.engine, first.depth, first.nodes) == ("counting", 1, 1)


def test_answers_are_told_apart_by_engine_limits_and_moves(tmp_path: Path) -> None:
    memory = Memory(tmp_path / "memory.sqlite")
    memory.remember(Analysis(START, "one", 1, 1, ()), QUICK)
    assert memory.recall("one", START, QUICK) is not None
    assert memory.recall("two", START, QUICK) is None
    assert memory.recall("one", START, Effort(nodes=2001)) is None
    assert memory.recall("one", START, QUICK, ("e2e4",)) is None
    assert memory.recall("one", START.replace("0 1", "9 9"), QUICK) is not None


@pytest.mark.parametrize("damage", ["text", "cut", "empty", "other layout", "folder"])
def test_a_damaged_memory_is_made_anew(tmp_path: Path, damage: str) -> None:
    path = tmp_path / "memory.sqlite"
    if damage == "folder":
        path.mkdir()
    elif damage == "text":
        path.write_text("this is no database " * 100)
    elif damage == "empty":
        path.write_bytes(b"")
    else:
        memory = Memory(path)
        memory.remember(Analysis(START, "one", 1, 1, ()), QUICK)
        memory.close()
        if damage == "cut":
            path.write_bytes(path.read_bytes()[:100] + b"\xff" * 5000)
        else:
            with sqlite3.connect(path) as store:
                store.execute("PRAGMA user_version = 99")
    engine = Counting()
    analyst = Analyst(engine, Memory(path))
    analyst.ask(START)
    analyst.ask(START)
    assert engine.asked == (2 if damage == "folder" else 1)


def test_two_processes_share_a_memory(tmp_path: Path) -> None:
    path = tmp_path / "memory.sqlite"
    work = (
        "import sys; from pathlib import Path\n"
        "from linewright.analyst.memory import Memory\n"
        "memory = Memory(Path(sys.argv[1]))\n"
        "for k in range(300): memory.remember_text('kind', f'{sys.argv[2]} {k}', 'x' * 200)\n"
    )
    runs = [subprocess.Popen([sys.executable, "-c", work, str(path), name]) for name in "ab"]
    assert [run.wait(60) for run in runs] == [0, 0]
    memory = Memory(path)
    kept = [memory.recall_text("kind", f"{name} {k}") for name in "ab" for k in range(300)]
    assert all(kept)


def test_threads_share_a_memory(tmp_path: Path) -> None:
    memory = Memory(tmp_path / "memory.sqlite")

    def write(name: str) -> None:
        for k in range(100):
            memory.remember_text("kind", f"{name}{k}", name)

    threads = [threading.Thread(target=write, args=(name,)) for name in "abc"]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert all(memory.recall_text("kind", f"{name}{k}") for name in "abc" for k in range(100))


# --- trouble on the way ------------------------------------------------------------------------


def test_after_trouble_the_fallback_answers_and_one_line_is_told() -> None:
    told: list[str] = []
    analyst = Analyst(
        Counting(fails_after=1), fallback=BuiltIn, on_trouble=told.append, effort=QUICK
    )
    assert analyst.ask(START).engine == "counting"
    answers = [analyst.ask(line_to(moves)) for moves in ("d4", "c4", "Nf3")]
    assert {answer.engine for answer in answers} == {BuiltIn().identity}
    assert told == ["the engine 'counting' is not used any more: it ended by itself"]


# --- settings ----------------------------------------------------------------------------------


@pytest.fixture
def settings(tmp_path: Path) -> Iterator[Path]:
    folder = tmp_path / "linewright"
    folder.mkdir(mode=0o700)
    yield folder / "settings.yaml"


def write_settings(path: Path, text: str, mode: int = 0o600) -> None:
    path.write_text(text)
    path.chmod(mode)


def test_an_engine_named_in_the_users_settings_is_used(settings: Path, tmp_path: Path) -> None:
    write_settings(
        settings,
        f'analyst:\n  command: \'"{sys.executable}" "{SPEAKS}" well\'\n  options: {{Hash: 8}}\n'
        "  nodes: 500\n",
    )
    told: list[str] = []
    analyst, _ = open_analyst(told.append, settings_file=settings, memory_file=tmp_path / "m")
    try:
        assert analyst.ask(START).engine == "Harbour Clerk 1 (Hash=8)"
        assert analyst.effort == Effort(nodes=500)
        assert told == []
    finally:
        analyst.close()


def test_without_settings_the_built_in_engine_answers(tmp_path: Path) -> None:
    analyst, _ = open_analyst(settings_file=tmp_path / "none.yaml", memory_file=tmp_path / "m")
    assert analyst.identity == BuiltIn().identity


@pytest.mark.skipif(not hasattr(os, "getuid"), reason="owners of files are known on POSIX only")
@pytest.mark.parametrize("mode", [0o622, 0o660, 0o666])
def test_settings_that_others_can_write_start_nothing(settings: Path, mode: int) -> None:
    write_settings(settings, "analyst: {command: /bin/true}\n", mode)
    with pytest.raises(SettingsError, match="other users can write"):
        read_settings(settings)


@pytest.mark.skipif(not hasattr(os, "getuid"), reason="owners of files are known on POSIX only")
def test_settings_of_another_user_start_nothing(
    settings: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write_settings(settings, f"analyst: {{command: '{tmp_path}/never'}}\n")
    monkeypatch.setattr(os, "getuid", lambda: settings.stat().st_uid + 1)
    told: list[str] = []
    analyst, _ = open_analyst(told.append, settings_file=settings, memory_file=tmp_path / "m")
    assert analyst.identity == BuiltIn().identity
    assert len(told) == 1 and "belongs to another user" in told[0]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("analyst: [", "not YAML"),
        ("- one\n- two\n", "'key: value' lines"),
        ("analysts: {command: x}\n", "'analysts' is no setting"),
        ("analyst: {comand: x}\n", "'analyst: comand' is no setting"),
        ("analyst: {command: '\"open'}\n", "is not read"),
        ("analyst: {command: ''}\n", "'command' is empty"),
        ("analyst: {command: x, nodes: 0}\n", "a number above 0"),
        ("analyst: {command: x, seconds: soon}\n", "a number above 0"),
        ("analyst: {nodes: 99999999999999999999}\n", "at most 1,000,000,000,000,000, is"),
        ("analyst: {nodes: 1" + "0" * 5000 + "}\n", "not YAML"),
        ("analyst: {nodes: 2026-99-99}\n", "not YAML"),
        ("analyst: {seconds: .inf}\n", "'seconds: inf' is not read"),
        ("analyst: {seconds: .nan}\n", "'seconds: nan' is not read"),
        ("analyst: {nodes: true}\n", "a number above 0"),
        ("analyst: {command: x, options: 3}\n", "'name: value' lines"),
        ("analyst: {command: x, options: {Hash: [8]}}\n", "option 'Hash' is not read"),
        ("analyst: {command: x, options: {Hash: }}\n", "option 'Hash' is not read"),
        ("analyst: {command: {a: b}}\n", "'command: {'a': 'b'}' is not read: a program"),
        ("analyst: {command: [x, {a: b}]}\n", "'{'a': 'b'}' in 'command' is not read"),
        ("analyst: {command: 7}\n", "'command: 7' is not read: a program"),
        ("analyst: {nodes: 1.5}\n", "'nodes: 1.5' is not read: a whole number"),
        ("analyst: false\n", "'analyst' needs 'command: ...' below it"),
        ("endgame-tables: {a: b}\n", "in 'endgame-tables' is not read: a folder"),
        ("endgame-tables: [3]\n", "'3' in 'endgame-tables' is not read"),
        ("x: " + "y" * 70_000, "too long"),
    ],
)
def test_settings_that_are_not_understood_are_one_line(
    settings: Path, text: str, words: str
) -> None:
    write_settings(settings, text)
    with pytest.raises(SettingsError) as caught:
        read_settings(settings)
    assert words in str(caught.value) and "\n" not in str(caught.value)


def test_folders_without_endgame_tables_are_told(settings: Path, tmp_path: Path) -> None:
    (tmp_path / "empty").mkdir()
    (tmp_path / "file").write_text("no folder")
    names = [tmp_path / "gone", tmp_path / "empty", tmp_path / "file"]
    good = Path(__file__).parent / "tables" / "syzygy"
    write_settings(settings, "endgame-tables:\n" + "".join(f"  - {n}\n" for n in [*names, good]))
    told: list[str] = []
    analyst, _ = open_analyst(told.append, settings_file=settings, memory_file=tmp_path / "m")
    analyst.close()
    for line, name, why in zip(
        told, names, ["does not exist", "holds no tables", "is no folder"], strict=True
    ):
        assert line.startswith(f"'{name}', one of your 'endgame-tables', {why}")


def test_settings_with_whole_numbers_and_lists_are_read(settings: Path) -> None:
    write_settings(
        settings, "analyst: {command: [a b, 2], nodes: 2.0, seconds: 0.5, options: {A: 1.5}}\n"
    )
    read = read_settings(settings)
    assert (read.command, read.nodes, read.time_ms) == (("a b", "2"), 2, 500)
    assert read.options == {"A": "1.5"}


# --- questions ---------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def analyst() -> Analyst:
    return Analyst(BuiltIn(), effort=Effort(nodes=30_000))


QUEENS_GAMBIT = "d4 d5 c4 e6 Nc3 Nf6 Bg5 Nbd7 cxd5 exd5"


def test_the_old_trap_in_the_queens_gambit_is_seen(analyst: Analyst) -> None:
    """Common practice, no source: 6.Nxd5 Nxd5 7.Bxd8 Bb4+ loses a piece for a pawn."""
    board = line_to(QUEENS_GAMBIT)
    found = analyst.soundness(board, board.parse_san("Nxd5"))
    assert found.shown(5).startswith("6.Nxd5 Nxd5")
    assert found.loss_cp > 120
    error = analyst.error(board, board.parse_san("Nxd5"), (1200, 1700))
    assert error is not None and error.severity == "error"
    assert analyst.error(board, board.parse_san("e3"), (1200, 1700)) is None


def test_what_a_line_wins_by_force(analyst: Analyst) -> None:
    board = line_to(QUEENS_GAMBIT)
    line = "c3d5 f6d5 g5d8 f8b4 d1d2 b4d2 e1d2 e8d8"
    moves = [chess.Move.from_uci(uci) for uci in line.split()]
    won = analyst.won(board, board.turn, moves)
    assert won is not None and (won.points, won.mate) == (-2, False)


def test_threats_by_passing(analyst: Analyst) -> None:
    scholars = line_to("e4 e5 Bc4 Nc6 Qh5")
    threat = analyst.threat(scholars)
    assert threat is not None and threat.mate
    assert threat.shown().endswith("Qxf7#")
    assert analyst.threat(line_to("e4 e5 Nf3 Nc6")) is None
    assert analyst.threat(line_to("e4 d5 Bb5+")) is None


def test_only_moves(analyst: Analyst) -> None:
    board = line_to("d4 d5 c4 e6 Nc3 Nf6 Bg5 Nbd7 cxd5 exd5 Nxd5 Nxd5 Bxd8 Bb4+")
    found = analyst.only_move(board)
    assert found is not None and (found.move, found.only, found.gap_cp) == ("d1d2", True, None)
    opening = analyst.only_move(chess.Board())
    assert opening is not None and not opening.only


def test_signs_of_advantage(analyst: Analyst) -> None:
    level = analyst.in_keeping(chess.Board(), "=")
    won = analyst.in_keeping(chess.Board(), "+−")
    assert level is not None and level.fits
    assert won is not None and not won.fits and won.better_sign in {"=", "⩲"}
    assert analyst.in_keeping(chess.Board(), "?!") is None
    assert [fitting_sign(cp) for cp in (-300, -100, -50, 0, 50, 100, 300)] == [
        "-+", "∓", "⩱", "=", "⩲", "±", "+-",
    ]  # fmt: skip


def test_material_is_counted_where_a_line_has_come_to_rest() -> None:
    board = line_to("e4 d5")
    assert won_points(board, ["e4d5", "d8d5"]) == 0
    assert won_points(board, ["e4d5", "g8f6"]) == 1


@pytest.mark.parametrize(
    ("fen", "moves", "points"),
    [
        # The queen takes a covered pawn as the last move of the line.
        ("3rk3/8/8/3p4/8/8/8/3QK3 w - - 0 1", ["d1d5"], -8),
        # A queen that stands attacked may still go away when its side is to move.
        ("4k3/3r4/8/8/8/8/8/3QK3 b - - 0 1", ["d7d6"], -5),
        # The line is cut before the second rook is taken back.
        ("3rk3/3r4/8/8/8/8/3R4/3RK3 w - - 0 1", ["d2d7", "d8d7"], 0),
        # A check must be answered before anything is taken.
        ("r6k/8/8/3q4/8/8/8/3QK3 b - - 0 1", ["a8e8"], 4),
        # Mate is not counted in pawns.
        ("k7/8/8/8/8/q7/1P6/KR6 b - - 0 1", ["a3a4"], 0),
        # A pawn that could be taken at the end of a quiet line is not counted.
        ("4k3/8/3p4/8/8/8/3R4/4K3 b - - 0 1", ["e8e7"], 0),
    ],
)
def test_a_line_is_counted_where_it_has_come_to_rest(
    fen: str, moves: list[str], points: int
) -> None:
    """Counted by hand."""
    assert won_points(chess.Board(fen), moves) == points


@pytest.mark.parametrize("manner", ["well", "crashes"])
def test_a_check_with_an_engine_ends_and_leaves_no_process(
    settings: Path, tmp_path: Path, manner: str
) -> None:
    mark = f"{manner}-{os.getpid()}"
    program = tmp_path / mark
    program.write_text(f'#!/bin/sh\nexec "{sys.executable}" "{SPEAKS}" {manner} {mark}\n')
    program.chmod(0o700)
    write_settings(settings, f"analyst: {{command: '{program}', nodes: 100}}\n")
    lesson = tmp_path / "lesson.md"
    lesson.write_text("After 1.e4 e5 2.Nf3 Nc6 all is well.\n")
    environment = {
        **os.environ,
        "XDG_CONFIG_HOME": str(settings.parent.parent),
        "XDG_CACHE_HOME": str(tmp_path),
    }
    done = subprocess.run(
        [sys.executable, "-m", "linewright", "check", str(lesson)],
        env=environment, capture_output=True, text=True, timeout=120, check=False,
    )  # fmt: skip
    assert done.returncode in {0, 1}, done.stderr
    assert "Traceback" not in done.stderr + done.stdout
    told = "is not used any more: it ended by itself" in done.stderr
    assert told == (manner == "crashes")
    wait_until_gone(mark)
