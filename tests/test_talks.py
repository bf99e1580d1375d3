"""The invented talks: what is true of them is legal, is said where it says, and is up to date."""

from __future__ import annotations

import importlib.util
import json
import re
import sys
from pathlib import Path
from types import ModuleType
from typing import Any

import chess
import pytest

from linewright.hearing import as_record
from linewright.source import Source
from linewright.talk.heard import hear
from linewright.talk.transcript import FileForm, Timing, read_transcript

TALKS = Path(__file__).parent / "talks"


def load(name: str) -> ModuleType:
    spec = importlib.util.spec_from_file_location(f"talks_{name}", TALKS / f"{name}.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[f"talks_{name}"] = module
    spec.loader.exec_module(module)
    return module


marked = load("marked")
EVERY = sorted(TALKS.glob("*/*.talk"))
MARKED = [path for path in EVERY if path.parent.name in marked.WRITTEN]


def truth_of(path: Path) -> dict[str, Any]:
    truth: dict[str, Any] = json.loads(path.with_suffix(".truth.json").read_text("utf-8"))
    return truth


def test_all_talks_can_be_read_and_no_two_have_one_name() -> None:
    for path in EVERY:
        truth = marked.truth(marked.read_marked(path))
        assert sum(len(line["moves"]) for line in truth["lines"]) > 20, path.stem
    assert len({path.stem for path in EVERY}) == len(EVERY)


def test_there_are_enough_talks_and_both_halves_are_alike() -> None:
    halves = {half: [p for p in MARKED if p.parent.name == half] for half in ("tune", "aside")}
    assert len(MARKED) >= 16
    assert len(halves["tune"]) >= len(halves["aside"]) >= 8
    forms = {
        half: {marked.read_marked(p).head["form"] for p in paths} for half, paths in halves.items()
    }
    assert forms["tune"] == forms["aside"]
    hard = halves["tune"] + halves["aside"]
    openings = {tuple(m["san"] for m in truth_of(p)["lines"][0]["moves"][:10]) for p in hard}
    assert len(openings) == len(hard), "no two talks are about the same moves"


@pytest.mark.parametrize("path", MARKED, ids=lambda p: p.stem)
def test_files_are_what_the_marked_talk_gives(path: Path) -> None:
    for target, text in marked.files(path).items():
        assert target.read_text("utf-8") == text, f"run python tests/talks/marked.py {path.stem}"


@pytest.mark.parametrize("path", MARKED, ids=lambda p: p.stem)
def test_every_line_is_legal(path: Path) -> None:
    truth = truth_of(path)
    for line in truth["lines"]:
        board = chess.Board()
        for move in line["moves"]:
            assert board.san(board.parse_san(move["san"])) == move["san"]
            board.push_san(move["san"])
    for item in (*truth["unspoken"], *truth["slips"], *truth["what_if"]):
        board = chess.Board()
        for san in item["moves"]:
            board.push_san(san)


@pytest.mark.parametrize("path", MARKED, ids=lambda p: p.stem)
def test_what_was_said_stands_in_the_transcript_at_its_time(path: Path) -> None:
    target = next(p for p in marked.files(path) if ".truth" not in p.name)
    source = Source(target.name, target.read_text("utf-8"))
    talk = read_transcript(source)
    assert 300 <= len(talk.words) <= 1200
    heard = [re.sub(r"\W", "", word.text).lower() for word in talk.words]
    for item in said_items(truth_of(path)):
        words = [w for w in (re.sub(r"\W", "", w).lower() for w in item["said"].split()) if w]
        places = [i for i in range(len(heard)) if heard[i : i + len(words)] == words]
        assert places, item
        if item["at"] is not None and talk.timing is not Timing.NONE:
            near = min(abs((talk.words[i].start_ms or 0) / 1000 - item["at"]) for i in places)
            assert near < (6 if talk.form is not FileForm.TEXT else 25), item


def said_items(truth: dict[str, Any]) -> list[dict[str, Any]]:
    moves = [move for line in truth["lines"] for move in line["moves"] if move["said"]]
    return [*moves, *(slip for slip in truth["slips"] if slip["said"])]


noise = load("noise")
scoring = load("score")


@pytest.mark.parametrize("path", MARKED, ids=lambda p: p.stem)
def test_the_truth_scores_itself_in_full(path: Path) -> None:
    truth = truth_of(path)
    words = marked.read_marked(path).words
    changes = [{"at": c["at"], "was": c["was"], "now": c["now"]} for c in truth["caption_changes"]]
    report = {
        "lines": truth["lines"],
        "slips": [{**slip, "sure": 0.9} for slip in truth["slips"]],
        "what_if": [{"fen": item["board"]} for item in truth["what_if"]],
        "caption_changes": changes,
    }
    result = scoring.score(truth, report, words)
    assert result.faults == []
    assert result.moves_found == result.moves == result.moves_heard
    assert (result.branches_right, result.lines_whole) == (result.branches, result.lines)
    assert (result.slips_found, result.slips_meant, result.false_alarms) == (
        result.slips,
        result.slips,
        0,
    )
    assert result.unspoken_right == result.unspoken
    assert result.boards_right == result.boards
    assert result.changes_right + result.changes_neutral == len(changes)


def test_what_goes_wrong_is_counted() -> None:
    path = TALKS / "tune" / "italian.talk"
    truth = truth_of(path)
    worse = json.loads(json.dumps(truth))
    last = worse["lines"][-1]["moves"]
    last[-1]["san"] = "h6"
    worse["slips"] = [
        {"at": 3.0, "said": "evening", "meant": "e4", "sure": 0.8},
        {"at": 9.0, "meant": "a", "sure": 0.2},
    ]
    change = {"at": 12.0, "was": "e4", "now": "e5"}
    result = scoring.score(
        truth, {**worse, "caption_changes": [change]}, marked.read_marked(path).words
    )
    assert result.moves - result.moves_found == 1
    assert result.moves_heard - result.moves_heard_right == 1
    assert (result.slips_found, result.false_alarms) == (0, 1)
    assert (result.changes, result.changes_right) == (1, 0)
    nothing = scoring.score(truth, {"lines": []})
    assert (nothing.moves_found, nothing.branches_right, nothing.slips_found) == (0, 0, 0)


@pytest.mark.parametrize(
    "rate",
    [0.08, pytest.param(0.02, marks=pytest.mark.slow), pytest.param(0.2, marks=pytest.mark.slow)],
)
def test_noise_has_the_rate_asked_for_and_is_the_same_each_time(rate: float) -> None:
    talk = marked.read_marked(TALKS / "tune" / "london.talk")
    once, again = noise.noisy(talk, rate), noise.noisy(talk, rate)
    assert once.words == again.words
    assert abs(noise.error_rate(once) - rate) < 0.1 * rate + 0.003
    assert noise.noisy(talk, rate, seed=2).words != once.words
    said = " ".join(word.said for word in once.words)
    assert said.split() == " ".join(word.said for word in talk.words).split(), "what was said stays"


@pytest.mark.slow
@pytest.mark.parametrize("name", ["italian", "caro", "scandinavian", "exchange_qgd", "french"])
def test_noise_can_be_written_in_every_form(name: str) -> None:
    talk = noise.noisy(marked.read_marked(TALKS / "tune" / f"{name}.talk"), 0.2)
    shown = [
        word for said in talk.words for word in said.shown.split() if any(map(str.isalnum, word))
    ]
    suffix = marked.SUFFIX[talk.head["form"]]
    heard = read_transcript(Source(f"{name}.{suffix}", marked.transcript(talk)))
    assert abs(len(heard.words) - len(shown)) <= 0.02 * len(shown)


def test_noise_sounds_like_what_was_said() -> None:
    assert noise.distance(noise.sounds_of("b4"), noise.sounds_of("before")) < 0.5, (
        "CMU: B IY F AO R, B IH F AO R"
    )
    assert "night" in [word for word, _ in noise.alike(noise.sounds_of("knight"))[:2]]
    assert "be three" in [text for text, _ in noise.alike_in_two(noise.sounds_of("b3"))]


def test_plain_words_that_might_be_squares_misheard_do_not_pass_for_moves() -> None:
    """Found in use: "that's even" was a move, since "even" might be e7 misheard."""
    talk = marked.read_marked(TALKS / "rooms" / "petroff_b4.talk")
    truth = marked.truth(talk)
    report = as_record(hear(read_transcript(Source("petroff.vtt", marked.transcript(talk)))))
    result = scoring.score(truth, report)
    assert result.moves_found >= 0.85 * result.moves
    assert result.moves_heard_right >= 0.75 * result.moves_heard
