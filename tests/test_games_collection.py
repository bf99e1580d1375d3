"""The store: every tally recounted by the reference library, and everything that may go wrong."""

from __future__ import annotations

import io
import json
import random
import resource
import signal
import subprocess
import sys
import time
from collections import Counter
from pathlib import Path
from typing import Any

import chess
import chess.pgn
import duckdb
import numpy as np
import pytest

from linewright import _core
from linewright.errors import (
    CannotReadError,
    CannotWriteError,
    LinewrightError,
    UnknownNameError,
)
from linewright.games import adding, collection, store
from linewright.games.adding import Addition, FileReport
from linewright.games.collection import Collection
from linewright.games.figures import plans_engraving
from linewright.games.manifest import NewerCollectionError
from linewright.games.model_games import Wanted, model_games
from linewright.games.plans import plans
from linewright.games.tally import Filter, ask

Row = tuple[int, int, int, int]  # key, move, year, band
Counts = tuple[int, ...]


def invented(seed: int, games: int, first: int = 0) -> str:
    return _core.invent_games(seed, first, first + games, players=60, years=(2001, 2012)).decode()


def add(folder: Path, *, plies: int | None = None, **texts: str) -> list[FileReport]:
    paths = []
    for name, text in texts.items():
        path = folder / f"{name}.pgn"
        path.write_text(text, encoding="utf-8")
        paths.append(str(path))
    return Addition(folder / "c").run(paths, plies)


def all_rows(found: Collection) -> dict[Row, Counts]:
    """Every tally row summed over the segments, rows of nothing left out."""
    total: dict[Row, list[int]] = {}
    names = [n for n in store.ROWS if n not in ("key", "move", "year", "band")]
    for segment in found.manifest.segments:
        for piece in segment.rows:
            content = store.read(found.folder / piece.file)
            columns = [content.column(n).to_pylist() for n in store.ROWS]
            for row in zip(*columns, strict=True):
                counts = total.setdefault(row[:4], [0] * len(names))
                for place, value in enumerate(row[4:]):
                    counts[place] += value
    return {row: tuple(counts) for row, counts in total.items() if any(counts)}


def recount(text: str, plies: int) -> dict[Row, Counts]:
    """The same by the reference library, game by game, by brute force."""
    total: Counter[tuple[Row, int]] = Counter()
    stream = io.StringIO(text)
    while (game := chess.pgn.read_game(stream)) is not None:
        year = (
            int(game.headers.get("Date", "?")[:4])
            if game.headers.get("Date", "?")[:4].isdigit()
            else 0
        )
        ratings = [int(game.headers.get(f"{side}Elo", "0")) for side in ("Black", "White")]
        result = game.headers["Result"]
        board = game.board()
        seen = set()
        for ply, move in enumerate(game.mainline_moves()):
            if ply == plies:
                break
            mine, theirs = ratings[board.turn], ratings[not board.turn]
            key = _core.position_key(board.fen(en_passant="fen"))
            code = _core.move_code(board.fen(en_passant="fen"), move.uci())
            if (key, code) not in seen:
                seen.add((key, code))
                row = (key, code, year, mine // 200 * 200)
                won = {"1-0": board.turn, "0-1": not board.turn}.get(result)
                points = (won is True, result == "1/2-1/2", won is False)
                both = mine > 0 and theirs > 0
                counts = (1, *points, both, mine * both, theirs * both)
                for place, value in enumerate(counts):
                    total[row, place] += int(value)
            board.push(move)
    rows = {row for row, _ in total}
    return {row: tuple(total[row, place] for place in range(7)) for row in rows}


ODD_GAMES = """[Event "from a position"]
[FEN "r3k2r/8/8/3pP3/8/8/8/R3K2R w KQkq d6 0 1"]
[Date "2010.??.??"]
[Result "1/2-1/2"]

1. exd6 O-O-O 2. O-O Rhe8 3. Rad1 Re2 1/2-1/2

[Event "back and forth"]
[WhiteElo "1450"]
[Result "*"]

1. Nf3 Nf6 2. Ng1 Ng8 3. Nf3 Nf6 4. Ng1 Ng8 5. e4 e5 *

[Event "promotes"]
[White "p"]
[Result "1-0"]
[WhiteElo "2000"]
[BlackElo "1800"]

1. h4 g5 2. hxg5 h6 3. gxh6 Bg7 4. hxg7 Nf6 5. gxh8=N d5 1-0
"""


@pytest.mark.parametrize("games", [120, pytest.param(2000, marks=pytest.mark.slow)])
def test_every_tally_equals_a_brute_force_recount(tmp_path: Path, games: int) -> None:
    text = invented(3, games) + ODD_GAMES
    (report,) = add(tmp_path, plies=40, all=text)
    assert (report.added, report.refused) == (games + 3, ())
    assert all_rows(Collection(tmp_path / "c")) == recount(text, 40)


def test_a_tally_and_its_sql(tmp_path: Path) -> None:
    text = invented(4, 400)
    add(tmp_path, all=text)
    found = Collection(tmp_path / "c")
    board = chess.Board()
    tally = ask(found, board, Filter((1200, 1599), (2003, 2011)))
    query = f"""
        SELECT move, SUM(games), SUM(wins), SUM(draws), SUM(losses)
        FROM read_parquet('{tmp_path}/c/rows/*/rows-*.parquet')
        WHERE key = {_core.position_key(board.fen())}
          AND band BETWEEN 1200 AND 1400 AND year BETWEEN 2003 AND 2011
        GROUP BY move HAVING SUM(games) > 0
    """
    expected = {row[0]: row[1:] for row in duckdb.connect().execute(query).fetchall()}
    assert len(tally.moves) == len(expected) > 3
    for move in tally.moves:
        code = _core.move_code(board.fen(), move.uci)
        assert (move.games, move.wins, move.draws, move.losses) == expected[code]
    assert tally.games == sum(m.games for m in tally.moves)
    assert "rated 1200 to 1599, from 2003 to 2011" in tally.basis()
    assert sum(p.share.count for p in tally.moves[0].years) == tally.moves[0].games


def test_transpositions_are_one_position(tmp_path: Path) -> None:
    game = '[Event "A"]\n[White "{}"]\n\n{} 1-0\n\n'
    lines = ["1.d4 d5 2.c4 e6 3.Nc3", "1.c4 e6 2.d4 d5 3.Nc3", "1.d4 e6 2.c4 d5 3.cxd5"]
    add(tmp_path, all="".join(game.format(n, line) for n, line in enumerate(lines)))
    board = chess.Board()
    for move in "d4 d5 c4 e6".split():
        board.push_san(move)
    tally = ask(Collection(tmp_path / "c"), board)
    assert [(m.san, m.games) for m in tally.moves] == [("Nc3", 2), ("cxd5", 1)]
    assert tally.small and "small sample" in tally.basis()


def test_games_through_a_position_and_model_games(tmp_path: Path) -> None:
    text = invented(5, 300)
    add(tmp_path, all=text)
    add(tmp_path, more=invented(5, 40, first=300))
    found = Collection(tmp_path / "c")
    positions: dict[str, list[int]] = {}
    for game in found.read_games(range(340)):
        board = chess.Board()
        for ply, san in enumerate(game.moves[:30]):
            if ply % 5 == 0:
                positions.setdefault(board.fen(en_passant="xfen").rsplit(" ", 2)[0], []).append(
                    game.number
                )
            board.push_san(san)
    rng = random.Random(1)
    for epd in rng.sample(sorted(positions), 60):
        key = _core.position_key(epd + " 0 1")
        assert set(positions[epd]) <= set(found.games_through(key).tolist())
    best = model_games(found, chess.Board(), Wanted(result="1-0", ratings=(1300, 2400)), limit=4)
    assert [g.result for g in best] == ["1-0"] * 4
    levels = [g.white_rating + g.black_rating for g in best]
    assert levels == sorted(levels, reverse=True) and min(g.white_rating for g in best) >= 1300


def test_plans_as_the_reference_library_sees_them(tmp_path: Path) -> None:
    add(tmp_path, all=invented(6, 200))
    found = Collection(tmp_path / "c")
    seen = plans(found, chess.Board(), plies=24)
    castles: Counter[tuple[str, str]] = Counter()
    queens_off = knights = 0
    for game in found.read_games(range(200)):
        board = chess.Board()
        knight: int | None = chess.G1
        for san in game.moves[:24]:
            move = board.parse_san(san)
            if board.is_castling(move):
                castles[
                    "White" if board.turn else "Black",
                    "short" if board.is_kingside_castling(move) else "long",
                ] += 1
            knight = (
                move.to_square
                if move.from_square == knight
                else None
                if move.to_square == knight
                else knight
            )
            board.push(move)
        queens_off += not board.queens
        knights += knight == chess.F3
    assert {
        (c.side, c.way): c.happening.share.count
        for c in seen.castling
        if c.way != "not" and c.happening.share.count
    } == castles
    assert seen.queens_off is not None and seen.queens_off.share.count == queens_off
    route = next(r for r in seen.routes if (r.from_square, r.to_square) == ("g1", "f3"))
    assert route.happening.share.count == knights
    assert seen.games == 200 and "200 games" in seen.basis()


# --- adding again, removing ---------------------------------------------------------------------


def test_adding_twice_in_parts_or_at_once_is_the_same(tmp_path: Path) -> None:
    one, two = invented(7, 150), invented(7, 120, first=150)
    (tmp_path / "x").mkdir()
    add(tmp_path, one=one)
    again = add(tmp_path, one=one, two=two)
    assert [(r.added, r.duplicates) for r in again] == [(0, 150), (120, 0)]
    add(tmp_path / "x", both=one + two)
    parts, whole = Collection(tmp_path / "c"), Collection(tmp_path / "x" / "c")
    assert all_rows(parts) == all_rows(whole)
    assert [s.name.rsplit("/", 1)[1] for s in parts.manifest.sources] == ["one.pgn", "two.pgn"]


@pytest.mark.parametrize("large", [200_000, 10])
def test_a_source_can_be_taken_out_again(
    tmp_path: Path, large: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(collection, "LARGE", large)
    one, two, three = invented(8, 80), invented(8, 40, first=60), invented(8, 20, first=400)
    add(tmp_path, one=one)
    add(tmp_path, two=two)
    add(tmp_path, three=three)
    done = collection.remove(tmp_path / "c", str(tmp_path / "three.pgn"))
    assert (done.games, done.kept) == (20, 0)
    found = Collection(tmp_path / "c")
    assert found.games == 100
    both = recount(invented(8, 100), 60)
    assert all_rows(found) == both
    assert ask(found, chess.Board()).games == 100
    assert len(found.games_through(_core.position_key(chess.STARTING_FEN))) == 100
    done = collection.remove(tmp_path / "c", str(tmp_path / "one.pgn"))
    assert (done.games, done.kept) == (60, 20), "the second file has twenty of them too"
    assert Collection(tmp_path / "c").games == 40
    assert all_rows(Collection(tmp_path / "c")) == recount(two, 60)
    (report,) = add(tmp_path, one=one)
    assert (report.added, report.duplicates) == (60, 20)
    assert all_rows(Collection(tmp_path / "c")) == both
    with pytest.raises(UnknownNameError):
        collection.remove(tmp_path / "c", "nobody.pgn")


def test_a_name_of_several_sources_takes_none_out(tmp_path: Path) -> None:
    """Found in use: the sources of two states of a file went out together."""
    for first in (0, 300):
        add(tmp_path, games=invented(8, 20, first=first))
    path = str(tmp_path / "games.pgn")
    with pytest.raises(LinewrightError, match="is 2 sources: name one by its digest"):
        collection.remove(tmp_path / "c", path)
    digest = Collection(tmp_path / "c").manifest.sources[0].digest
    assert collection.remove(tmp_path / "c", digest[:8]).sources == (path,)
    assert collection.remove(tmp_path / "c", path).games == 20


def test_another_depth_counts_anew(tmp_path: Path) -> None:
    text = invented(9, 60)
    add(tmp_path, plies=10, all=text)
    assert all_rows(Collection(tmp_path / "c")) == recount(text, 10)
    add(tmp_path, plies=30, all=text)
    assert all_rows(Collection(tmp_path / "c")) == recount(text, 30)


def test_many_small_additions_stay_few_segments(tmp_path: Path) -> None:
    for n in range(9):
        texts = {f"f{n}": invented(10, 10, first=10 * n)}
        add(tmp_path, plies=None, **texts)
    found = Collection(tmp_path / "c")
    assert len(found.manifest.segments) <= 4
    assert all_rows(found) == recount(invented(10, 90), 60)
    files = {
        p.relative_to(found.folder).as_posix() for p in found.folder.glob("*/**/*") if p.is_file()
    }
    assert files == {piece.file for piece in found.manifest.pieces()}, "nothing is left behind"


# --- interruptions --------------------------------------------------------------------------------

ADD = "import sys; from linewright.cli import main; sys.argv = ['linewright', 'games', 'add', *sys.argv[1:]]; main()"
IN_PARTS = "import linewright.games.adding as a; a.GAMES_AT_ONCE = 400; a.files.CHUNK = 1 << 16; "


def start(*arguments: str, before: str = "", **more: Any) -> subprocess.Popen[bytes]:
    return subprocess.Popen(
        [sys.executable, "-c", before + ADD, *arguments],
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
        **more,
    )


def test_killed_at_any_moment_it_goes_on(tmp_path: Path) -> None:
    text = invented(12, 1600)
    path = tmp_path / "all.pgn"
    path.write_text(text)
    folder = tmp_path / "c"
    rng = random.Random(2)
    for _ in range(3):
        running = start(str(path), "-c", str(folder), before=IN_PARTS)
        time.sleep(0.6 + rng.random() * 1.2)
        running.send_signal(signal.SIGKILL)
        running.wait()
        if (folder / "manifest.json").exists():
            found = Collection(folder)
            assert collection.verify(folder) == []
            first = _core.position_key(chess.STARTING_FEN)
            rows = all_rows(found)
            assert sum(n[0] for row, n in rows.items() if row[0] == first) == found.games
    (report,) = Addition(folder).run([str(path)])
    assert report.added + report.duplicates == 1600
    found = Collection(folder)
    assert found.games == 1600
    assert [s.complete for s in found.manifest.sources] == [True]
    (tmp_path / "y").mkdir()
    add(tmp_path / "y", all=text)
    assert all_rows(found) == all_rows(Collection(tmp_path / "y" / "c"))


def test_an_interrupted_file_resumes_where_it_was(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(adding, "GAMES_AT_ONCE", 300)
    monkeypatch.setattr("linewright.games.files.CHUNK", 1 << 16)
    text = invented(13, 1500)
    path = tmp_path / "all.pgn"
    path.write_text(text + '[Event "Bad"]\n\n1. e4 e5 2. Ke3 1-0\n')

    class StopError(Exception):
        pass

    def stop(progress: adding.Progress) -> None:
        if progress.games > 900:
            raise StopError

    with pytest.raises(StopError):
        Addition(tmp_path / "c", tell=stop).run([str(path)])
    half = Collection(tmp_path / "c").games
    assert 300 <= half < 1500
    (report,) = Addition(tmp_path / "c").run([str(path)])
    assert report.resumed and (report.added, report.duplicates) == (1500, 0)
    lines = (text.count("\n") + 3, text.count("\n") + 1)
    assert [(r.line, r.game_line) for r in report.refused] == [lines], "lines go on counting"
    (tmp_path / "y").mkdir()
    add(tmp_path / "y", all=text)
    assert all_rows(Collection(tmp_path / "c")) == all_rows(Collection(tmp_path / "y" / "c"))


def test_two_at_once(tmp_path: Path) -> None:
    names = []
    for n in range(2):
        path = tmp_path / f"{n}.pgn"
        path.write_text(invented(14, 400, first=400 * n))
        names.append(str(path))
    running = [start(name, "-c", str(tmp_path / "c")) for name in names]
    for one in running:
        one.communicate()
        assert one.returncode == 0
    found = Collection(tmp_path / "c")
    assert found.games == 800 and len(found.manifest.sources) == 2
    assert collection.verify(found.folder) == []


def test_a_reader_survives_an_addition(tmp_path: Path) -> None:
    add(tmp_path, one=invented(15, 50))
    reading = Collection(tmp_path / "c")
    add(tmp_path, two=invented(15, 60, first=50))
    assert ask(reading, chess.Board()).games == 110


def test_no_room_on_the_disk(tmp_path: Path) -> None:
    add(tmp_path, one=invented(16, 30))
    path = tmp_path / "two.pgn"
    path.write_text(invented(16, 4000, first=30))

    def small() -> None:
        resource.setrlimit(resource.RLIMIT_FSIZE, (20_000, 20_000))

    running = start(str(path), "-c", str(tmp_path / "c"), preexec_fn=small)
    _, said = running.communicate()
    assert running.returncode == 2
    assert b"cannot write" in said and b"stands as before" in said and b"Traceback" not in said
    assert Collection(tmp_path / "c").games == 30
    assert collection.verify(tmp_path / "c") == []


def test_a_folder_that_cannot_be_written(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("x")
    (tmp_path / "g.pgn").write_text(invented(1, 2))
    with pytest.raises(CannotWriteError):
        Addition(tmp_path / "file" / "c").run([str(tmp_path / "g.pgn")])


def test_a_newer_collection_and_none(tmp_path: Path) -> None:
    add(tmp_path, one=invented(17, 5))
    path = tmp_path / "c" / "manifest.json"
    data = json.loads(path.read_text())
    path.write_text(json.dumps({**data, "version": 99}))
    with pytest.raises(NewerCollectionError, match="newer linewright"):
        Collection(tmp_path / "c")
    path.write_text("{ not json")
    with pytest.raises(CannotReadError):
        Collection(tmp_path / "c")
    with pytest.raises(CannotReadError, match="games add"):
        Collection(tmp_path / "nothing")


def damage(path: Path) -> None:
    data = bytearray(path.read_bytes())
    data[40 : min(400, len(data) - 40)] = bytes(len(data[40 : min(400, len(data) - 40)]))
    path.write_bytes(data)


def test_a_damaged_shard_is_named_and_made_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("linewright.games.indexing.ROWS_PER_SHARD", 800)
    text = invented(18, 80)
    add(tmp_path, all=text)
    found = Collection(tmp_path / "c")
    (segment,) = found.manifest.segments
    assert len(segment.rows) >= 4
    keys = [row[0] for row in recount(text, 60)]
    damage(found.folder / segment.rows[1].file)
    answered = broken = 0
    for key in keys[:300]:
        try:
            answered += bool(len(found.rows(key)["key"]))
        except store.DamagedFileError as error:
            assert segment.rows[1].file in str(error.path)
            assert "--rebuild" in str(error)
            broken += 1
    assert answered > 100 and broken > 10
    (seen,) = collection.verify(tmp_path / "c")
    assert seen.file == segment.rows[1].file and not seen.rebuilt
    (seen,) = collection.verify(tmp_path / "c", mend=True)
    assert seen.rebuilt and collection.verify(tmp_path / "c") == []
    assert all_rows(Collection(tmp_path / "c")) == recount(text, 60)


def test_damaged_games_name_their_source(tmp_path: Path) -> None:
    one, two = invented(19, 50), invented(19, 40, first=50)
    add(tmp_path, one=one)
    add(tmp_path, two=two)
    found = Collection(tmp_path / "c")
    damage(found.folder / found.manifest.batches[1].piece.file)
    (seen,) = collection.verify(tmp_path / "c", mend=True)
    assert (seen.games, seen.sources) == (40, (str(tmp_path / "two.pgn"),))
    assert Collection(tmp_path / "c").games == 50
    (report,) = add(tmp_path, two=two)
    assert report.added == 40
    assert all_rows(Collection(tmp_path / "c")) == recount(one + two, 60)


def test_a_file_that_vanished_is_damage(tmp_path: Path) -> None:
    add(tmp_path, one=invented(20, 20))
    found = Collection(tmp_path / "c")
    (found.folder / found.manifest.segments[0].rows[0].file).unlink()
    with pytest.raises(store.DamagedFileError, match="missing"):
        ask(found, chess.Board())


def test_keys_spread_over_shards_in_order() -> None:
    keys = np.array([-(2**63), -1, 0, 2**63 - 1], np.int64)
    shards = [(((int(k) & (2**64 - 1)) ^ (1 << 63)) >> 62) for k in keys]
    assert shards == [0, 1, 2, 3]


def test_figures_are_told_as_pupils_read_them(tmp_path: Path) -> None:
    """Found in use: "1 games, the next 20 plies", "100 %" of one game, "1000 to 1599" for 1400."""
    add(tmp_path, all='[Result "1-0"]\n\n1. e4 e5 2. Nf3 Nc6 1-0\n')
    found = Collection(tmp_path / "c")
    assert "1 game, all games; a small sample" in ask(found, chess.Board()).basis()
    told = plans_engraving(plans(found, chess.Board()))
    assert "1 game, the next 10 moves" in told.words and "100 %" not in told.words
    few = [plans(found, chess.Board(), plies).basis().split("; ")[0] for plies in (1, 2, 3, 4)]
    one = "1 game, the next"
    assert few == [f"{one} {n}" for n in ("half-move", "move", "3 half-moves", "2 moves")]
    assert ">1 of 1<" in told.svg and ">100 %<" not in told.svg
    unrated = ask(found, chess.Board(), Filter((1000, 1400))).basis()
    assert unrated == "no games rated 1000 to 1399; c (1 game)"
    assert str(Filter((1000, 1400))) == "rated 1000 to 1399"
    assert str(Filter((1000, 1401))) == "rated 1000 to 1599"
    assert str(Filter((1400, 1400))) == "rated 1400 to 1599"
