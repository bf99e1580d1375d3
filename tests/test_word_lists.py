"""Word lists of the package: each word stands in its list once, so that taking it out is one edit."""

from __future__ import annotations

import ast
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import pytest

SOURCES = Path(__file__).parent.parent / "src" / "linewright"
MODULES = sorted(SOURCES.rglob("*.py"))


def lists_of_words(text: str) -> Iterator[tuple[int, list[str]]]:
    """The sets that a module makes of the words of a text, each with its line."""
    for node in ast.walk(ast.parse(text)):
        match node:
            case ast.Call(ast.Name("words"), [ast.Constant(str(listed)), *_]):
                yield node.lineno, listed.split()
            case ast.Call(
                ast.Name("set" | "frozenset"),
                [ast.Call(ast.Attribute(ast.Constant(str(listed)), "split"), [])],
            ):
                yield node.lineno, listed.split()


def twice(text: str) -> list[tuple[int, str]]:
    return [
        (line, word)
        for line, words in lists_of_words(text)
        for word, times in Counter(words).items()
        if times > 1
    ]


def test_a_word_that_stands_twice_is_seen() -> None:
    assert twice('A = words("to on at to")\nB = set("a b c".split())\n') == [(1, "to")]
    assert twice('B = frozenset(\n    "a b"\n    " b".split())\n') == [(1, "b")]


def test_the_lists_are_found() -> None:
    assert sum(len(list(lists_of_words(path.read_text("utf-8")))) for path in MODULES) > 100


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(SOURCES)))
def test_no_list_holds_a_word_twice(path: Path) -> None:
    assert twice(path.read_text("utf-8")) == []
