"""Reach by hand and by counting games; figures; the example collection."""

from __future__ import annotations

import json
import lzma
import runpy
from dataclasses import replace
from pathlib import Path
from xml.etree import ElementTree

import chess
import pytest
from typer.testing import CliRunner

from linewright.cli import app
from linewright.errors import CannotReadError
from linewright.following import follow
from linewright.games.adding import Addition
from linewright.games.collection import Collection
from linewright.games.figures import draw_plans, draw_reach, draw_tally, reach_engraving
from linewright.games.home import UnplayableLineError, open_named, play
from linewright.games.of_lesson import games_of
from linewright.games.plans import plans
from linewright.games.reach import Reach, reach
from linewright.games.tally import Filter, ask
from linewright.lesson import Lesson
from linewright.script import parse
from linewright.source import Source

EXAMPLES = Path(__file__).parent.parent / "examples"
GAMES = EXAMPLES / "brackwater-games.pgn.xz"


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Collection:
    folder = tmp_path_factory.mktemp("demo")
    Addition(folder).run([str(GAMES)])
    return Collection(folder)


def lesson(text: str) -> Lesson:
    return follow(parse(Source("lesson.md", text)))


def small(folder: Path, counts: dict[str, int]) -> Collection:
    """A collection in which each line is played so often."""
    text = "".join(
        f'[Event "E"]\n[White "{line} {n}"]\n[WhiteElo "1500"]\n[BlackElo "1500"]\n'
        f'[Result "1-0"]\n\n{line} 1-0\n\n'
        for line, count in counts.items()
        for n in range(count)
    )
    (folder / "g.pgn").write_text(text)
    Addition(folder / "c").run([str(folder / "g.pgn")])
    return Collection(folder / "c")


def test_reach_by_hand(tmp_path: Path) -> None:
    """100 games; the lesson answers 1...e5 2...Nc6 (60 x 2/3) and 1...c5 (30): 0.4 + 0.3."""
    found = small(
        tmp_path,
        {
            "1.e4 e5 2.Nf3 Nc6 3.Bb5": 40,
            "1.e4 e5 2.Nf3 d6 3.d4": 20,
            "1.e4 c5 2.Nf3 d6": 30,
            "1.e4 e6 2.d4": 10,
        },
    )
    text = "---\nfor: White\n---\n1.e4 e5 2.Nf3 Nc6 3.Bb5, or 1...c5 2.Nf3.\n"
    seen = reach(lesson(text), found)
    assert seen is not None and seen.line == "1.e4"
    assert seen.inside == pytest.approx(0.4 + 0.3)
    assert seen.unknown == 0
    # Delta method by hand: shares .6, .3, .1 of 100; below 1...e5 two thirds of 60.
    inner = (2 / 3) * (1 / 3) / 60
    outer = (0.6 * (2 / 3) ** 2 + 0.3 - 0.7**2) / 100
    half = 1.959964 * (outer + 0.6**2 * inner) ** 0.5
    assert (seen.low, seen.high) == pytest.approx((0.7 - half, 0.7 + half), abs=1e-6)
    assert [(r.label, round(r.weight, 6)) for r in seen.unanswered] == [
        ("2...d6", 0.2),
        ("1...e6", 0.1),
    ]
    assert {line.text: round(line.probability, 6) for line in seen.lines} == {
        "1.e4 e5 2.Nf3 Nc6 3.Bb5": 0.4,
        "1.e4 c5 2.Nf3": 0.3,
    }
    assert [p for _, p in seen.survival] == pytest.approx([1, 0.9, 0.9, 0.7, 0.7])


def test_reach_needs_to_know_for_whom(tmp_path: Path) -> None:
    found = small(tmp_path, {"1.e4 e5": 3})
    assert reach(lesson("1.e4 e5"), found) is None
    assert reach(lesson("---\nfor: White\n---\nno moves\n"), found) is None


def test_transpositions_and_foreign_orders(tmp_path: Path) -> None:
    found = small(tmp_path, {"1.d4 d5 2.c4 e6 3.Nc3 Nf6": 30, "1.c4 e6 2.d4 d5 3.Nc3 Nf6": 20})
    text = "---\nfor: White\n---\n1.d4 d5 2.c4 e6\n\n3.Nc3 Nf6 4.Bg5 Be7 or 3...c5.\n"
    seen = reach(lesson(text), found)
    assert seen is not None
    first = seen.orders[0]
    assert (first.moves, first.share.count, first.share.games) == (
        "1.c4 e6 2.d4 d5",
        20,
        50,
    )
    assert seen.games == 50, "both orders count at the position"


def test_a_rare_reply_and_a_position_without_games(tmp_path: Path) -> None:
    found = small(tmp_path, {"1.e4 e5 2.Nf3 Nc6": 200})
    text = "---\nfor: White\n---\n1.e4 a5 2.d4 h5 3.Nf3 or 1...e5 2.Nf3.\n"
    seen = reach(lesson(text), found)
    assert seen is not None
    (rare,) = seen.rare
    assert (rare.label, rare.share.count, rare.taught_plies) == ("1...a5", 0, 4)
    assert seen.inside == pytest.approx(1.0)
    text = "---\nfor: White\n---\n1.d4 d5\n\n2.c4 e6 3.Nc3\n"
    seen = reach(lesson(text), found)
    assert seen is not None and seen.unknown == pytest.approx(1.0)


REPLIES = {
    "1.e4 e5 2.Nf3 Nc6 3.Bb5": 40,
    "1.e4 c5 2.Nf3 d6 3.d4": 8,
    "1.e4 c5 2.Nf3 e6 3.d4": 4,
    "1.e4 e6 2.d4": 3,
}


def test_a_reply_is_told_with_the_move_it_answers_and_no_share_twice(tmp_path: Path) -> None:
    """Found in use: "4.Bc4 after Qa5: 20 % (2 of 10); one game in 5 goes this way"."""
    found = small(tmp_path, REPLIES)
    text = "---\nfor: White\n---\n1.e4 e5 2.Nf3 Nc6 3.Bb5, or 1...c5 2.Nf3 d6 3.d4.\n"
    seen = reach(lesson(text), found)
    assert seen is not None
    told = {reply.label: (reply.after, reply.reason) for reply in seen.unanswered}
    assert told == {"2...e6": ("2.Nf3", ""), "1...e6": ("1.e4", "")}


def test_few_games_and_games_all_alike_leave_room_for_doubt(tmp_path: Path) -> None:
    """Found in use: "0 % (0 % to 0 %)" of 48 games, and of none."""
    found = small(tmp_path, {"1.e4 e5 2.Nf3 d6": 48})
    text = "---\nfor: White\n---\n1.e4 e5\n\n2.Nf3 Nc6 3.Bb5.\n"
    seen = reach(lesson(text), found)
    assert seen is not None and seen.games == 48
    assert (seen.inside, seen.low) == (0, 0) and seen.high == pytest.approx(0.0741, abs=1e-4)
    seen = reach(lesson(text), found, ratings=(2400, 2500))
    assert seen is not None and seen.games == 0 and (seen.low, seen.high) == (0, 1)
    assert seen.no_games.startswith("no games of c (48 games) come to 1.e4 e5")
    assert seen.no_games.endswith("rated 2400 to 2599")
    assert not reach_engraving(seen).svg
    path = tmp_path / "l.md"
    path.write_text(text)
    told = CliRunner().invoke(
        app, ["reach", str(path), "-c", str(tmp_path / "c"), "--rating", "2400"]
    )
    assert told.stdout == f"for White: {seen.no_games}\n"


def test_a_bad_move_is_no_choice_of_the_lesson(tmp_path: Path) -> None:
    found = small(tmp_path, REPLIES)
    lines = "1.e4 e5\n\n2.Nf3 Nc6 (2.Qh5{sign} Nc6 is early) 3.Bb5.\n"
    head = "---\nfor: White\n---\n"
    choices = {
        sign: [one.label for one in seen.choices]
        for sign in ("", "?", "?!")
        if (seen := reach(lesson(head + lines.format(sign=sign)), found)) is not None
    }
    assert choices == {"": ["2.Nf3", "2.Qh5"], "?": [], "?!": []}


def brute(found: Collection, taught: Lesson, seen: Reach) -> float:
    """Of the games through the start whose mover choices fit, how many stay to a leaf: the same
    figure from whole games, where the student's moves are made by the student."""
    nodes = taught.tree.nodes
    node, inside = nodes[seen.start], 1.0
    while node.children:
        board = node.board()
        tally = ask(found, board, seen.filter)
        if board.turn == (seen.taught == "White"):
            node = nodes[node.children[0]]
            continue
        assert len(node.children) == 1
        child = nodes[node.children[0]]
        assert child.move is not None
        move = tally.move(child.move.uci())
        inside *= move.games / tally.games if move else 0.0
        node = child
    return inside


def test_the_example_lesson(demo: Collection) -> None:
    path = EXAMPLES / "exchange-variation.md"
    taught = follow(parse(Source(str(path), path.read_text())))
    seen = reach(taught, demo)
    assert seen is not None
    assert seen.taught == "White" and seen.games > 300
    assert 0 <= seen.low <= seen.inside <= seen.high <= 1
    labels = [reply.label for reply in seen.unanswered[:6]]
    assert "3...c6" in labels, "played often, not in the lesson"
    assert all(
        one.weight >= other.weight
        for one, other in zip(seen.unanswered, seen.unanswered[1:], strict=False)
    )
    one_line = lesson(
        "---\nfor: White\n---\n1.d4 d5 2.c4 e6 3.Nc3 Nf6 4.cxd5 exd5 5.Bg5\n\n5...Be7 6.e3 c6 7.Bd3 O-O 8.Qc2\n"
    )
    seen = reach(one_line, demo, ratings=(1000, 2000))
    assert seen is not None
    assert seen.inside == pytest.approx(brute(demo, one_line, seen))


# --- figures ------------------------------------------------------------------------------------


def test_figures_say_their_basis(demo: Collection) -> None:
    board = play("1.d4 d5 2.c4 e6 3.Nc3 Nf6 4.cxd5 exd5 5.Bg5")
    tally = ask(demo, board, Filter((1000, 1900)))
    path = EXAMPLES / "exchange-variation.md"
    seen = reach(follow(parse(Source(str(path), path.read_text()))), demo)
    assert seen is not None
    for svg in (draw_tally(tally), draw_plans(plans(demo, board)), draw_reach(seen)):
        root = ElementTree.fromstring(svg)
        words = " ".join(node.text or "" for node in root.iter("{http://www.w3.org/2000/svg}text"))
        assert "games" in words and demo.folder.name in words
        dots = list(root.iter("{http://www.w3.org/2000/svg}circle"))
        assert dots and all(0 <= float(dot.get("cx", "-1")) <= 480 for dot in dots)
        assert not list(root.iter("{http://www.w3.org/2000/svg}rect"))[1:], "no bars"


def test_the_figure_of_a_reach_says_where_it_begins_and_counts_moves(demo: Collection) -> None:
    """Found in use: "within 20 plies from ." on a page for pupils."""
    seen = reach(lesson("---\nfor: White\n---\n1.d4 d5 2.c4 e6 3.Nc3"), demo)
    assert seen is not None
    svg = draw_reach(replace(seen, line="", survival=((1, 0.9), (7, 0.4))))
    words = " ".join(" ".join(ElementTree.fromstring(svg).itertext()).split())
    assert "Half of the games have left it within 4 moves from the start." in words


def test_dots_stand_where_the_scores_are(demo: Collection) -> None:
    tally = ask(demo, play("1.d4 d5 2.c4 e6 3.Nc3 Nf6"))
    root = ElementTree.fromstring(draw_tally(tally))
    dots = [float(d.get("cx", "0")) for d in root.iter("{http://www.w3.org/2000/svg}circle")]
    expected = [236 + 172 * m.score.value for m in tally.moves[:8] if m.score.games]
    assert dots == pytest.approx(expected, abs=0.1)


def test_a_lesson_gets_its_figures(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    text = (
        f"---\nfor: White\nstudents: 1000-2000\ngames: [{GAMES.name}, nothing]\n---\n"
        "1.d4 d5 2.c4 e6 ![Replies](tally)\n\n![Plans](plans)\n\n![Reach](reach)\n"
    )
    taught = lesson(text)
    games, notes = games_of(taught, EXAMPLES)
    assert games is not None
    assert len(notes) == 1 and "'nothing'" in notes[0]
    made = games.figures(taught)
    assert len(made) == 3 and all(one.svg and one.words for one in made.values())
    name = GAMES.name.split(".")[0]
    assert all(f"; {name} (" in one.words for one in made.values())
    assert not any("state" in one.words for one in made.values())


# --- the example collection -----------------------------------------------------------------------


def test_the_example_collection_is_made_by_its_script(tmp_path: Path) -> None:
    script = runpy.run_path(str(EXAMPLES / "make_games.py"))
    stored = lzma.decompress(GAMES.read_bytes())
    assert stored.endswith(script["games"]())
    assert stored.startswith(b"% Invented games")
    assert GAMES.stat().st_size < 600_000


def test_the_example_collection_is_plausible(demo: Collection) -> None:
    assert 2_900 <= demo.games <= 3_100
    heads = demo.heads(demo.games_through(_start_key()))
    assert heads["white_rating"].min() >= 900 and heads["white_rating"].max() <= 2400
    assert len(set(heads["year"].tolist())) > 20
    board = play("1.d4 d5 2.c4 e6 3.Nc3 Nf6 4.Bg5 Nbd7 5.cxd5 exd5")
    weak, strong = (ask(demo, board, Filter(r)) for r in ((900, 1399), (1800, 2400)))
    assert weak.move("Nxd5") is not None, "beginners fall for it"
    assert strong.move("Nxd5") is None, "strong players do not"
    before = play("1.d4 d5 2.c4 e6 3.Nc3 Nf6")
    low, high = (ask(demo, before, Filter(r)).move("cxd5") for r in ((900, 1399), (1800, 2400)))
    assert low is not None and high is not None and low.share.high < high.share.share


def _start_key() -> int:
    from linewright import _core

    return _core.position_key(chess.STARTING_FEN)


# --- the commands ------------------------------------------------------------------------------


def test_ask_and_reach_on_the_command_line(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    runner = CliRunner()
    folder = str(tmp_path / "c")
    assert runner.invoke(app, ["games", "add", str(GAMES), "-c", folder]).exit_code == 0
    line = "1.d4 d5 2.c4 e6 3.Nc3 Nf6 4.cxd5 exd5 5.Bg5"
    shown = runner.invoke(app, ["games", "ask", "-c", folder, "--moves", line, "--rating", "1400"])
    assert shown.exit_code == 0 and "Be7" in shown.stdout and "rated 1400 to 1599" in shown.stdout
    answer = json.loads(
        runner.invoke(
            app,
            [
                "games",
                "ask",
                "-c",
                folder,
                "--moves",
                line,
                "--json",
                "--models",
                "2",
                "--plans",
                "12",
            ],
        ).stdout
    )
    assert answer["games"] == sum(move["games"] for move in answer["moves"])
    assert answer["generations"] == [1]
    first = answer["moves"][0]
    assert first["wins"] + first["draws"] + first["losses"] <= first["games"]
    assert len(answer["model_games"]) == 2 and answer["plans"]["plies"] == 12
    path = EXAMPLES / "exchange-variation.md"
    found = runner.invoke(app, ["reach", str(path), "-c", folder, "--json"])
    assert found.exit_code == 0, found.output
    reached = json.loads(found.stdout)
    assert reached["unanswered"] and reached["generations"] == [1]
    wrong = runner.invoke(app, ["games", "ask", "-c", folder, "--moves", "1.e4 e5 2.Ke3"])
    assert isinstance(wrong.exception, UnplayableLineError) and "'Ke3'" in str(wrong.exception)
    wrong = runner.invoke(
        app, ["games", "ask", "-c", folder, "--lesson", str(path), "--line", "1700"]
    )
    assert isinstance(wrong.exception, CannotReadError) and "lines" in str(wrong.exception)
    fed = tmp_path / "feeds.md"
    fed.write_text("# x\n1.e4 e5\f\v\f\v 2.Nf3\n", "utf-8")
    wrong = runner.invoke(app, ["games", "ask", "-c", folder, "--lesson", str(fed), "--line", "5"])
    assert isinstance(wrong.exception, CannotReadError) and "2 lines" in str(wrong.exception)
    wrong = runner.invoke(app, ["games", "ask", "-c", folder, "--rating", "1600-1200"])
    assert wrong.exit_code == 2 and "the lower number first" in wrong.output
    asked = ["games", "ask", "-c", folder, "--moves", line, "--models", "2", "--plans", "12"]
    told = " ".join(
        runner.invoke(app, [*asked, "--rating", "1400", "--years", "2015-2020"]).output.split()
    )
    limits = "both rated 1400 to 1599, from 2015 to 2020"
    assert f"model games, {limits}:" in told and f", {limits}, the next 6 moves" in told
    assert "Ke1 to g1" not in told and "scores no results" not in told
    place = runner.invoke(
        app, ["games", "ask", "-c", folder, "--lesson", str(path), "--line", "17", "--json"]
    )
    assert place.exit_code == 0 and json.loads(place.stdout)["games"] > 0


def test_a_game_file_named_by_a_lesson_is_indexed_once(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    one = open_named(GAMES.name, EXAMPLES)
    stamp = (one.folder / "manifest.json").stat().st_mtime_ns
    assert open_named(GAMES.name, EXAMPLES).games == one.games
    assert (one.folder / "manifest.json").stat().st_mtime_ns == stamp


@pytest.mark.parametrize(
    ("moves", "reason"),
    [
        (
            "1.e4 d5 2.exd5 Qxd4",
            "cannot be played there: no black queen reaches d4 (from d8); perhaps 2...Qxd5",
        ),
        ("1.e4 d5 2.exd5 Dxd5", "is no move in chess notation; perhaps Qxd5"),
        ("1.Nf3 d5 2.d3 c5 3.Nd2", "could be several moves: the knights on b1 and f3"),
    ],
)
def test_a_line_that_cannot_be_played_says_why_and_what_may_be_meant(
    moves: str, reason: str
) -> None:
    """Found in use: only that it "cannot be played there"."""
    with pytest.raises(UnplayableLineError) as wrong:
        play(moves)
    assert wrong.value.reason.startswith(reason)
