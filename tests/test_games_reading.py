"""Game files as the PGN standard describes them, and as they come instead."""

from __future__ import annotations

import bz2
import gzip
import io
import json
import lzma
import random
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import chess
import chess.pgn
import pytest
import zstandard
from hypothesis import given, settings
from hypothesis import strategies as st
from typer.testing import CliRunner

from linewright import _core
from linewright.cli import app
from linewright.games import files, indexing, store
from linewright.games.adding import Addition, FileReport
from linewright.games.collection import Collection

GAME = '[Event "Club evening"]\n[White "A"]\n[Black "B"]\n[Result "1-0"]\n\n1. e4 e5 2. Nf3 1-0\n'
OTHER = GAME.replace('"A"', '"C"').replace("Nf3", "Bc4")


def add(folder: Path, *contents: bytes | str, keep: bool = False) -> list[FileReport]:
    paths = []
    for number, content in enumerate(contents):
        path = folder / f"file{number}.pgn"
        path.write_bytes(content.encode() if isinstance(content, str) else content)
        paths.append(str(path))
    return Addition(folder / "collection", keep_to_fault=keep).run(paths)


def read(text: str | bytes) -> tuple[list[list[str]], Any]:
    """Moves of each game read, and the report."""
    reader = _core.GameReader(b"")
    reader.feed(text.encode() if isinstance(text, str) else text)
    reader.finish()
    report = reader.take_report()
    content = store.table(store.GAMES, reader.take_games())
    walker = indexing.stored_games(content)
    return [walker.san(index) for index in range(content.num_rows)], report


# --- grammar ----------------------------------------------------------------------------------
# source: PGN Standard, S. J. Edwards (coordinator), 1994; the section stands with each case.

GRAMMAR = {
    "7 tokens need no white space between": ("1.e4 e5 2.Nf3{x}Nc6$1(2...d6)3.Bb5*", "e4 e5 Nf3 Nc6 Bb5"),
    "5 a comment in braces may span lines": ("1.e4 {one\ntwo} e5 *", "e4 e5"),
    "5 braces do not nest": ("1.e4 {a { b} e5 *", "e4 e5"),
    "5 a semicolon comments to the end of the line": ("1.e4 ; {not open\n e5 *", "e4 e5"),
    "5 a brace comment hides a semicolon": ("1.e4 { ; } e5 *", "e4 e5"),
    "6 a percent sign in the first column escapes the line": ("1.e4\n% e5 d5\n e5 *", "e4 e5"),
    "8.2.2 move numbers may be missing": ("e4 e5 Nf3 *", "e4 e5 Nf3"),
    "8.2.2.1 numbers may have any number of dots": ("1 e4 1...e5 2. Nf3 2.... Nc6 *", "e4 e5 Nf3 Nc6"),
    "8.2.3.8 suffixes are read": ("1.e4! e5? 2.Nf3!! Nc6?? 3.Bb5!? a6?! *", "e4 e5 Nf3 Nc6 Bb5 a6"),
    "8.2.4 numeric glyphs": ("1.e4 $1 e5 $139 2.Nf3$10 *", "e4 e5 Nf3"),
    "8.2.5 variations nest": ("1.e4 (1.d4 d5 (1...Nf6 2.c4) 2.c4) e5 *", "e4 e5"),
    "8.2.3.4 a piece pinned to its king needs no disambiguation": (
        "1.d4 e6 2.Nc3 Bb4 3.Nf3 Ne7 4.e3 d6 5.Bd3 Bd7 6.O-O O-O 7.Ne2 *",
        "d4 e6 Nc3 Bb4 Nf3 Ne7 e3 d6 Bd3 Bd7 O-O O-O Ne2",
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", GRAMMAR)
def test_grammar_of_the_standard(name: str) -> None:
    text, moves = GRAMMAR[name]
    games, report = read(f'[Event "A"]\n\n{text}\n')
    assert [" ".join(game) for game in games] == [moves], report


def test_all_four_results_and_the_seven_tags(tmp_path: Path) -> None:
    text = "".join(
        f'[Event "E {n}"]\n[Site "S"]\n[Date "2003.0{n}.17"]\n[Round "{n}"]\n[White "W"]\n'
        f'[Black "B"]\n[Result "{result}"]\n\n1. e4 {result}\n\n'
        for n, result in enumerate(["1-0", "0-1", "1/2-1/2", "*"], 1)
    )
    add(tmp_path, text)
    games = Collection(tmp_path / "collection").read_games(range(4))
    assert [game.result for game in games] == ["1-0", "0-1", "1/2-1/2", "*"]
    assert (games[1].event, games[1].site, games[1].date, games[1].round, games[1].year) == (
        "E 2", "S", "2003.02.17", "2", 2003,
    )  # fmt: skip


def test_a_pinned_knight_leaves_the_other_unambiguous() -> None:
    games, _ = read('[Event "A"]\n\n1.d4 e6 2.Nc3 Bb4 3.Nf3 Nf6 4.Nd2 d5 5.e4 c5 *')
    assert games[0][6] == "Nd2"
    pinned = '[Event "A"]\n[FEN "4k3/8/8/8/1b6/2N5/8/4K1N1 w - - 0 1"]\n\n1.Ne2 *'
    games, report = read(pinned)
    assert games == [["Ne2"]], report


# --- what comes instead -------------------------------------------------------------------------


def test_one_bad_game_does_not_hurt_the_next(tmp_path: Path) -> None:
    bad = {
        "1. e4 {never closed 1-0": "never closed",
        "1. e4 (1. d4 d5 1-0": "never closed",
        "1. e4 e5 ) 2. Nf3 1-0": "never opened",
        "1. e4 xyzzy e5 1-0": "'xyzzy' is no move",
        "1. e4 e5 2. Ke3 1-0": "no white king can go to e3",
        "1. d4 d5 2. Nf3 Nf6 3. Nd2 1-0": "could be Nbd2 or Nfd2",
        "1. e4 -- 2. d4 1-0": "null move",
        "1. e4 e5 2. O-O 1-0": "may not castle short",
        "1-0": "without moves",
    }
    text = "".join(f'[Event "Bad"]\n\n{moves}\n\n{GAME}\n' for moves in bad)
    (report,) = add(tmp_path, text.replace('"A"', '"{}"'), "")[:1]
    assert report.games == 2 * len(bad)
    assert report.added + report.duplicates == len(bad)
    assert len(report.refused) == len(bad)
    for remark, reason in zip(report.refused, bad.values(), strict=True):
        assert reason in remark.reason
    lines = text.splitlines()
    for remark in report.refused:
        assert lines[remark.game_line - 1] == '[Event "Bad"]'
        assert remark.game_line <= remark.line <= remark.game_line + 3


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (GAME.replace(" 1-0\n", "\n"), "no result at the end"),
        (GAME.replace('"1-0"', '"0-1"'), "contradict"),
        (GAME.replace('[White "A"]', '[White "A"]\n[White "Z"]'), "stands twice"),
        (GAME.replace('"A"]', '"A'), "no closing quote"),
        (GAME.replace("[White", '[WhiteElo "12345"]\n[White'), "is no rating"),
        (GAME.replace("[White", '[Date "31st of May"]\n[White'), "is no date"),
        (GAME.replace("Nf3", "Ng1-f3"), "not in standard notation"),
        (GAME.replace("2.", "7."), "move number 7 where 2 comes next"),
    ],
)
def test_oddities_are_said_and_the_game_kept(tmp_path: Path, text: str, said: str) -> None:
    (report,) = add(tmp_path, text)
    assert (report.added, report.refused) == (1, ())
    assert any(said in remark.reason for remark in report.warnings), report.warnings


def test_open_dates_and_ratings_are_no_oddity(tmp_path: Path) -> None:
    tags = '[Date "????.??.??"]\n[WhiteElo "?"]\n[BlackElo "-"]\n[White'
    (report,) = add(tmp_path, GAME.replace("[White", tags, 1))
    assert (report.added, report.warned) == (1, 0)


def test_encodings_and_line_ends(tmp_path: Path) -> None:
    name = GAME.replace('"A"', '"Bøgh \\"Jr\\" Müller"')
    versions = [
        name.encode(),
        b"\xef\xbb\xbf" + name.replace("\n", "\r\n").encode(),
        name.encode("cp1252"),
        name.encode("utf-16"),
        name.replace("\n", "\r").encode(),
    ]
    reports = add(tmp_path, *versions)
    assert [r.added for r in reports] == [1, 0, 0, 0, 0]
    assert [r.duplicates for r in reports] == [0, 1, 1, 1, 1]
    (game,) = Collection(tmp_path / "collection").read_games([0])
    assert game.white == 'Bøgh "Jr" Müller'


def test_no_tags_and_no_blank_lines(tmp_path: Path) -> None:
    (report,) = add(tmp_path, "1. e4 e5 1-0\n1. d4 d5 0-1\n" + GAME.strip() + "\n" + OTHER.strip())
    assert (report.games, report.added) == (4, 4)


def test_other_variants_are_counted_and_left_out(tmp_path: Path) -> None:
    odd = GAME.replace("[White", '[Variant "Crazyhouse"]\n[White').replace("Nf3", "P@e4")
    (report,) = add(tmp_path, odd + GAME)
    assert (report.games, report.variants, report.added, report.refused) == (2, 1, 1, ())


def test_deep_nesting_and_a_long_comment(tmp_path: Path) -> None:
    deep = GAME.replace(" 2.", " " + "(" * 100_000 + "1... c5" + ")" * 100_000 + " 2.")
    long = OTHER.replace(" 2.", " {" + "word " * 1_000_000 + "} 2.")
    (report,) = add(tmp_path, deep + "\n" + long)
    assert (report.added, report.refused) == (2, ())


def test_a_game_kept_up_to_its_fault(tmp_path: Path) -> None:
    (report,) = add(tmp_path, GAME.replace("Nf3", "Ke3"), keep=True)
    assert (report.added, report.refused) == (1, ())
    assert "kept up to the fault" in report.warnings[0].reason
    (game,) = Collection(tmp_path / "collection").read_games([0])
    assert game.moves == ("e4", "e5")


# --- packed files -------------------------------------------------------------------------------


def _zip(content: bytes) -> bytes:
    sink = io.BytesIO()
    with zipfile.ZipFile(sink, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("inner.pgn", content)
    return sink.getvalue()


PACKERS: dict[str, Callable[[bytes], bytes]] = {
    ".gz": gzip.compress,
    ".bz2": bz2.compress,
    ".xz": lzma.compress,
    ".zst": zstandard.compress,
    ".zip": _zip,
}


@pytest.mark.parametrize("suffix", PACKERS)
def test_packed_files(tmp_path: Path, suffix: str) -> None:
    path = tmp_path / f"games.pgn{suffix}"
    path.write_bytes(PACKERS[suffix]((GAME + OTHER).encode()))
    (report,) = Addition(tmp_path / "c").run([str(path)])
    assert (report.added, report.warned, report.broken) == (2, 0, "")


def test_wrong_extensions_and_folders(tmp_path: Path) -> None:
    (tmp_path / "in").mkdir()
    (tmp_path / "in" / "one.pgn").write_bytes(gzip.compress(GAME.encode()))
    (tmp_path / "in" / "two.gz").write_text(OTHER)
    (tmp_path / "in" / "readme.txt").write_text("not a game")
    reports = Addition(tmp_path / "c").run([str(tmp_path / "in")])
    assert [r.added for r in reports] == [1, 1]
    assert all("read as that" in r.warnings[0].reason for r in reports)


@pytest.mark.parametrize("suffix", [".gz", ".bz2", ".xz", ".zst"])
def test_a_truncated_archive_gives_what_it_has(tmp_path: Path, suffix: str) -> None:
    rng = random.Random(5)
    text = "".join(GAME.replace('"A"', f'"{rng.random()}"') + "\n" for _ in range(30_000))
    packed = PACKERS[suffix](text.encode())
    path = tmp_path / f"games.pgn{suffix}"
    path.write_bytes(packed[: len(packed) * 2 // 3])
    (report,) = Addition(tmp_path / "c").run([str(path)])
    assert report.broken
    assert report.added > 1000
    assert Collection(tmp_path / "c").games == report.added
    assert not Collection(tmp_path / "c").manifest.sources[0].complete


def test_corrupt_archives_binaries_and_missing_files(tmp_path: Path) -> None:
    packed = bytearray(gzip.compress((GAME * 50).encode()))
    packed[20:30] = b"\x00" * 10
    broken_zip = _zip(GAME.encode())[:-30]
    for name, content in [
        ("a.pgn.gz", packed),
        ("b.zip", broken_zip),
        ("c.pgn", bytes(range(256)) * 20),
    ]:
        (tmp_path / name).write_bytes(bytes(content))
    names = [str(tmp_path / n) for n in ("a.pgn.gz", "b.zip", "c.pgn", "none.pgn")]
    (tmp_path / "good.pgn").write_text(GAME)
    reports = Addition(tmp_path / "c").run([*names, str(tmp_path / "good.pgn")])
    assert [bool(r.broken) for r in reports] == [True, True, True, True, False]
    assert "binary" in reports[2].broken and "no such file" in reports[3].broken
    assert reports[4].added == 1


def test_an_archive_bomb_is_stopped(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(files, "BOMB_BYTES", 1 << 20)
    path = tmp_path / "bomb.pgn.gz"
    path.write_bytes(gzip.compress(GAME.encode() + b" " * (64 << 20)))
    (report,) = Addition(tmp_path / "c").run([str(path)])
    assert "400 times its size" in report.broken


def test_standard_input_and_json(tmp_path: Path) -> None:
    runner = CliRunner()
    text = GAME + '[Event "Bad"]\n\n1. e4 e5 2. Ke3 1-0\n' + GAME
    result = runner.invoke(
        app, ["games", "add", "-", "--collection", str(tmp_path / "c"), "--json"], input=text
    )
    assert result.exit_code == 0, result.output
    (report,) = json.loads(result.stdout)["files"]
    assert (report["games"], report["added"], report["duplicates"]) == (3, 1, 1)
    assert report["refused"][0]["line"] == 9 and "2.Ke3" in report["refused"][0]["reason"]
    assert report["warnings"] == []


def test_a_file_without_a_game_is_said_to_be_none(tmp_path: Path) -> None:
    """Found in use: notes were added as a source, every game refused, and the end was good."""
    (tmp_path / "notes.txt").write_text("bring the clocks\n")
    (tmp_path / "one.pgn").write_text(GAME)
    asked = ["games", "add", "--collection", str(tmp_path / "c")]
    none = CliRunner().invoke(app, [*asked, str(tmp_path / "notes.txt")])
    assert none.exit_code == 1 and "is it a game file (PGN)?" in none.stdout
    one = CliRunner().invoke(app, [*asked, str(tmp_path / "one.pgn")])
    assert one.exit_code == 0 and "1 game, 1 added\n" in one.stdout


# --- against the reference library ----------------------------------------------------------------


def _random_game(rng: random.Random) -> chess.pgn.Game:
    game = chess.pgn.Game()
    node: chess.pgn.GameNode = game
    board = game.board()
    for _ in range(rng.randrange(4, 90)):
        moves = list(board.legal_moves)
        if not moves:
            break
        move = rng.choice(moves)
        board.push(move)
        node = node.add_variation(move)
        if rng.random() < 0.1:
            node.comment = rng.choice(["good", "1. e4 is no move here", "a ; b", "(not a line)"])
        if rng.random() < 0.1:
            node.nags.add(rng.randrange(1, 20))
    game.headers["Result"] = rng.choice(["1-0", "0-1", "1/2-1/2", "*"])
    return game


def test_reads_what_the_reference_library_writes() -> None:
    rng = random.Random(11)
    written = [_random_game(rng) for _ in range(150)]
    text = "\n\n".join(str(game) for game in written)
    games, report = read(text)
    assert report["refused"] == [] and report["warned"] == 0
    expected = []
    for game in written:
        board = game.board()
        expected.append([board.san_and_push(move) for move in game.mainline_moves()])
    seen = {tuple(moves) for moves in games}
    assert seen == {tuple(moves) for moves in expected}


@settings(max_examples=200, deadline=None)
@given(st.text(alphabet='[]{}()"\\;%$*.<> \n\r\t1e45Nf3Oo0-=+#!?xEvent½…\ufeffé', max_size=300))
def test_nothing_makes_the_reader_fail(text: str) -> None:
    games, report = read('[Event "A"]\n' + text + "\n" + GAME)
    assert report["games"] >= 1
    assert ["e4", "e5", "Nf3"] in games


@settings(max_examples=100, deadline=None)
@given(st.binary(max_size=400), st.integers(1, 50))
def test_chunks_do_not_matter(noise: bytes, step: int) -> None:
    content = GAME.encode() + noise + b"\n" + OTHER.encode()
    whole, _ = read(content)
    reader = _core.GameReader(b"")
    for start in range(0, len(content), step):
        reader.feed(content[start : start + step])
    reader.finish()
    assert reader.waiting() == len(whole)
