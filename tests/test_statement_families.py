"""Every documented wording of every family of statements, judged."""

from __future__ import annotations

import re

import chess
import pytest

from linewright.statements import families, judge

_HEAD = re.compile(r"(after .*?|FEN .*?|at the start)(?: \((White|Black) is taught\))?:")
_WORDING = re.compile(r"(holds|fails|cannot tell|left alone): (.*)")


def _board(head: str) -> chess.Board:
    if head.startswith("FEN"):
        return chess.Board(head[4:].strip())
    board = chess.Board()
    for san in re.sub(
        r"\d+\.+", "", head.removeprefix("after").replace("at the start", "")
    ).split():
        board.push_san(san)
    return board


def documented() -> list[tuple[str, str, chess.Color | None, str, str]]:
    found = []
    for family in families():
        head, taught = "", None
        for line in map(str.strip, family.documentation.splitlines()):
            if match := _HEAD.fullmatch(line):
                head, taught = match[1], {"White": True, "Black": False}.get(match[2] or "")
            elif head and (match := _WORDING.fullmatch(line)):
                found.append((family.name, head, taught, match[1], match[2]))
    return found


@pytest.mark.parametrize(
    ("family", "head", "taught", "expected", "text"),
    documented(),
    ids=[f"{d[0]}: {d[3]}: {d[4]}" for d in documented()],
)
def test_wording(
    family: str, head: str, taught: chess.Color | None, expected: str, text: str
) -> None:
    verdicts = judge(text, _board(head), taught)
    if expected == "left alone":
        assert not verdicts, verdicts
        return
    assert {v.verdict for v in verdicts} == {expected.replace(" ", "-")}, verdicts
    assert any(v.statement.family == family for v in verdicts), verdicts
    for verdict in verdicts:
        span = verdict.statement.span
        assert text[span.start : span.end] == verdict.statement.words
        assert verdict.because
        assert not verdict.because.endswith(".")


def test_every_family_documents_a_verdict_and_what_is_left_alone() -> None:
    for family in families():
        kinds = {d[3] for d in documented() if d[0] == family.name}
        assert {"holds", "fails", "left alone"} <= kinds or {
            "cannot tell",
            "left alone",
        } <= kinds, family.name


def test_family_names_are_told_apart() -> None:
    names = [family.name for family in families()]
    assert len(names) == len(set(names))
