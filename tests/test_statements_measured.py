"""The judging of statements, measured: how many are recognised, how many verdicts are right.

The sets and what they hold are told in tests/statements/README.md. The floors for the sentences
kept aside are a little under what was measured, so that a change for the worse shows.
"""

from __future__ import annotations

import json
from collections import Counter
from importlib.util import module_from_spec, spec_from_file_location
from pathlib import Path
from types import ModuleType

import pytest

from linewright.asking import answer

FOLDER = Path(__file__).parent / "statements"


def _scoring() -> ModuleType:
    path = Path(__file__).resolve().parent.parent / "benches" / "statements.py"
    spec = spec_from_file_location("statement_scoring", path)
    assert spec is not None and spec.loader is not None
    module = module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


scoring = _scoring()


def scored(name: str, step: int) -> Counter[str]:
    rows = (FOLDER / f"{name}.jsonl").read_text("utf-8").splitlines()[::step]
    total: Counter[str] = Counter()
    for row in rows:
        given = answer(row)
        assert "error" not in given, given
        total += scoring.score(json.loads(row), given)
    return total


@pytest.mark.parametrize(
    ("name", "step", "recognised", "right"),
    [
        ("develop", 8, 0.84, 0.975),  # an eighth of them: two standard errors below the whole
        pytest.param("develop", 1, 0.86, 0.98, marks=pytest.mark.slow),
        ("aside", 1, 0.88, 0.97),
        ("later/exam", 2, 0.88, 0.97),
    ],
)
def test_statements_are_recognised_and_judged_right(
    name: str, step: int, recognised: float, right: float
) -> None:
    counts = scored(name, step)
    assert counts["recognised"] / counts["decidable"] >= recognised, counts
    assert counts["right"] / (counts["right"] + counts["wrong"]) >= right, counts
    assert counts["false_alarm"] <= max(1, counts["no_statement"] / 20), counts
    assert counts["false_verdict"] <= max(1, counts["undecidable"] / 20), counts


@pytest.mark.parametrize("path", sorted(FOLDER.glob("prose_*.txt")), ids=lambda path: path.stem)
def test_ordinary_prose_is_left_alone(path: Path) -> None:
    # the target: at most one sentence of ordinary prose in two hundred
    texts = [text for text in path.read_text("utf-8").splitlines() if text]
    boards = [json.loads(row) for row in (FOLDER / "develop.jsonl").read_text("utf-8").splitlines()]
    mistaken = [
        text
        for index, text in enumerate(texts)
        if any(
            one["verdict"] in scoring.DECISIVE
            for one in answer(
                json.dumps(
                    {
                        **{
                            key: value
                            for key, value in boards[(7 * index) % len(boards)].items()
                            if key in ("moves", "fen")
                        },
                        "text": text,
                        "taught": ("White", "Black", None)[index % 3],
                    }
                )
            )["statements"]
        )
    ]
    assert len(mistaken) <= len(texts) / 200, mistaken
