"""Wordings are found as Python's `re` finds them, the reference for what a template means."""

from __future__ import annotations

import json
import re
from collections import Counter
from pathlib import Path

import pytest

from linewright.english.phrases import gather
from linewright.english.sentences import read_sentences
from linewright.judging import MACROS, PHRASES, Pattern
from linewright.statements import families
from linewright.wordings import Fit, Listing, plainly

FOLDER = Path(__file__).parent / "statements"
ALL = [(family.name, pattern) for family in families() for pattern in family.patterns]


def _forms(every: int) -> list[tuple[str, str]]:
    """The bare and the full form of sentences of the development set."""
    rows = (FOLDER / "develop.jsonl").read_text("utf-8").splitlines()[::every]
    texts = [json.loads(row)["text"] for row in rows if row]
    sentences = [sentence for text in texts for sentence in read_sentences(text)]
    pairs = [gather(sentence.tokens) for sentence in sentences]
    return [(bare.text.rstrip(" .!"), full.text.rstrip(" .!")) for bare, full in pairs]


FORMS = _forms(every=23)


def _reference(template: str) -> re.Pattern[str]:
    """The template as an expression of `re`, which wants a name of its own for each group."""
    told: Counter[str] = Counter()

    def named(name: str, inside: str = "") -> str:
        told[name] += 1
        return f"(?P<{name}__{told[name]}>{inside}"

    def put(match: re.Match[str]) -> str:
        name = match["inner"] or match["group"]
        if match["group"]:
            return named(name)
        plain = name.rstrip("0123456789")
        return MACROS[plain] if plain in MACROS else f"{named(name, PHRASES[plain])})"

    whole = re.sub(r"\{(?P<inner>[a-z]+\d?)\}|\(\?P<(?P<group>\w+)>", put, plainly(template))
    return re.compile(whole)


def _groups(match: re.Match[str]) -> tuple[tuple[str, str], ...]:
    return tuple((k.split("__")[0], v) for k, v in match.groupdict().items() if v)


def _found(listing: Listing, pattern: Pattern, text: str) -> list[Fit]:
    if pattern.noun:
        return listing.anywhere(text)
    return listing.beginning(text, 0, [len(text)])


@pytest.mark.parametrize("part", range(4))
def test_wordings_fit_as_the_reference_says(part: int) -> None:
    fitting = 0
    for family, pattern in ALL[part::4]:
        listing, reference = Listing([(family, pattern)]), _reference(pattern.template)
        for bare, full in FORMS:
            text = full if pattern.full else bare
            wanted = (
                list(reference.finditer(text))
                if pattern.noun
                else [m for m in (reference.fullmatch(text),) if m and m.end()]
            )
            got = _found(listing, pattern, text)
            fitting += len(got)
            assert [(f.start, f.end, f.groups) for f in got] == [
                (*m.span(), _groups(m)) for m in wanted
            ], pattern.template
    assert fitting > 10


def test_found_together_as_found_alone() -> None:
    bare = [(family, p) for family, p in ALL if not p.full and not p.noun]
    together = Listing(bare)
    for text, _ in FORMS[::9]:
        ends = range(len(text), 0, -1)
        alone = [
            (family, pattern, fit.end)
            for family, pattern in bare
            for fit in Listing([(family, pattern)]).beginning(text, 0, ends)
        ]
        assert [(f.family, f.pattern, f.end) for f in together.beginning(text, 0, ends)] == alone


def test_what_must_not_follow_is_looked_for_where_the_match_ends() -> None:
    pattern = Pattern(r"{side} has the pair(?! of (?:rooks|knights))", lambda said: None)
    listing = Listing([("pairs", pattern)])
    text = "S\ue000 has the pair of rooks"
    assert listing.beginning(text, 0, [len("S\ue000 has the pair")]) == []
    text = "S\ue000 has the pair of bishops"
    (fit,) = listing.beginning(text, 0, [len(text), len("S\ue000 has the pair"), 0])
    assert text[: fit.end] == "S\ue000 has the pair"


@pytest.mark.parametrize("wrong", ["(a", "a)", "a**", r"(?P<x>a)\1", "(?i:a)", "[a"])
def test_a_template_that_is_none_is_told(wrong: str) -> None:
    with pytest.raises(ValueError, match=r"wording 0: .* at [0-9]+ of"):
        Listing([("wrong", Pattern(wrong, lambda said: None))])
