"""Expressions kept between runs match as those compiled anew, and a spoilt file does no harm."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from linewright import expressions
from linewright.expressions import Store, expression
from linewright.statements import families

SOURCES = (
    r"(?P<who>[SP].) (?:is|are) (?P<rest>.*)",
    r"(?:a|b)(?!c)x{0,3}(?<=x)$",
    r"\bpawn(?:s)?\b|(?P<n>\d+)",
    "(?i:König)é*",
)
TEXTS = ("P! is pinned", "axx", "bc", "two pawns on e4", "17", "könig", "")


@pytest.mark.parametrize("source", SOURCES)
def test_a_kept_expression_matches_as_a_fresh_one(source: str, tmp_path: Path) -> None:
    path = tmp_path / "folder" / "kept.bin"
    first = Store(path)
    expression(source, store=first)
    first.save()
    kept = expression(source, store=Store(path))
    fresh = re.compile(source)
    assert (kept.pattern, kept.flags, kept.groups) == (fresh.pattern, fresh.flags, fresh.groups)
    assert dict(kept.groupindex) == dict(fresh.groupindex)
    for text in TEXTS:
        mine, theirs = kept.search(text), fresh.search(text)
        assert (mine is None) == (theirs is None)
        if mine and theirs:
            assert (mine.span(), mine.groupdict()) == (theirs.span(), theirs.groupdict())


def test_every_pattern_of_the_statements_survives_being_kept(tmp_path: Path) -> None:
    store = Store(tmp_path / "kept.bin")
    templates = {p.template for family in families() for p in family.patterns[::9]}
    sources = {re.sub(r"\{[a-z]+\d?\}|P<\w+>", ":", template) for template in templates}
    made = {source: expression(source, store=store) for source in sources}
    store.save()
    again = Store(store.path)
    text = "the pawn on e4 is attacked by the knight and White has castled"
    for source, pattern in made.items():
        kept = expression(source, store=again)
        assert kept.flags == pattern.flags
        assert bool(kept.search(text)) == bool(re.search(source, text))
    assert not again.changed


@pytest.mark.parametrize("at", [0, 3, 30, -1])
def test_a_spoilt_file_does_no_harm(at: int, tmp_path: Path) -> None:
    path = tmp_path / "kept.bin"
    first = Store(path)
    expression("a+", store=first)
    first.save()
    spoilt = bytearray(path.read_bytes())
    spoilt[at] ^= 0x55
    path.write_bytes(spoilt)
    again = Store(path)
    match = expression("a+", store=again).match("aab")
    assert again.changed
    assert match is not None
    assert match[0] == "aa"


def test_codes_that_are_no_expression_are_compiled_anew(tmp_path: Path) -> None:
    path = tmp_path / "kept.bin"
    for row in ([32, bytes(8), 1, {}], [32], [32, b"abc", 1, {}], ["a", "b", "c", "d"]):
        wrong = Store(path)
        wrong.put("code 0", "a+", row)
        wrong.save()
        assert expression("a+", store=Store(path)).fullmatch("aa")
    for written in (b"", bytes(4), bytes(20), b"a" * 99):
        path.write_bytes(written)
        assert expression("a+", store=Store(path)).fullmatch("aa")


def test_flags_are_kept_apart(tmp_path: Path) -> None:
    store = Store(tmp_path / "kept.bin")
    assert expression("a+", store=store).match("AA") is None
    assert expression("a+", re.IGNORECASE, store).match("AA")
    store.save()
    again = Store(store.path)
    assert expression("a+", re.IGNORECASE, again).match("AA")
    assert expression("a+", store=again).match("AA") is None
    assert not again.changed


def test_a_folder_that_cannot_be_written_does_no_harm(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("", "utf-8")
    store = Store(tmp_path / "file" / "kept.bin")
    assert expression("b+", store=store).match("bb")
    store.save()
    assert not store.path.exists()


def test_only_what_is_used_is_kept_beyond_a_size(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(expressions, "MOST", 2)
    path = tmp_path / "kept.bin"
    old = Store(path)
    for letter in "abc":
        old.put("letters", letter, letter)
    old.save()
    new = Store(path)
    new.put("letters", "d", "d")
    assert new.get("letters", "a") == "a"
    new.save()
    last = Store(path)
    assert [last.get("letters", letter) for letter in "abcd"] == ["a", None, None, "d"]


def test_what_is_no_expression_is_an_error(tmp_path: Path) -> None:
    with pytest.raises(re.error):
        expression("(", store=Store(tmp_path / "kept.bin"))
