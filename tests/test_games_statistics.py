"""Intervals, errors and rating tables against published values and reference libraries."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st
from statsmodels.stats.proportion import confint_proportions_2indep, proportion_confint

from linewright.games import statistics

TABLES: dict[str, Any] = yaml.safe_load(
    (Path(__file__).parent / "tables" / "statistics.yaml").read_text(encoding="utf-8")
)


@pytest.mark.parametrize("case", TABLES["wilson"], ids=lambda c: f"{c['x']}/{c['n']}")
def test_wilson(case: dict[str, Any]) -> None:
    found = statistics.wilson(case["x"], case["n"])
    assert found == pytest.approx(case["computed"]["wilson"], abs=1e-5)
    if "table_recalled" in case:
        # Newcombe 1998, Table I, printed to four decimals (recalled, recomputed).
        assert [round(end, 4) for end in found] == case["table_recalled"]["wilson"]


def test_difference_of_two_shares() -> None:
    for case in TABLES["difference"]:
        one = statistics.proportion(case["x1"], case["n1"])
        other = statistics.proportion(case["x2"], case["n2"])
        assert statistics.difference(one, other) == pytest.approx(case["computed"], abs=1e-5)


def test_performance_table() -> None:
    """All 101 values of FIDE's table 8.1.1."""
    table = TABLES["fide_p_to_dp"]["table"]
    assert len(table) == 101
    for fraction, difference in table.items():
        assert statistics.rating_difference(float(fraction)) == difference, fraction


@pytest.mark.parametrize("case", TABLES["score_standard_error"], ids=lambda c: c["id"])
def test_trinomial_error(case: dict[str, Any]) -> None:
    won, drawn, lost = case["wins"], case["draws"], case["losses"]
    assert statistics.trinomial_error(won, drawn, lost) == pytest.approx(
        case["trinomial_se"], abs=1e-6
    )
    score = statistics.score(won, drawn, lost)
    assert score.value == case["score"]
    if case["n"] >= statistics.SMALL:
        assert (score.low, score.high) == pytest.approx(case["interval95"], abs=1e-6)
    else:
        # The trinomial interval of few games may be a point; ours never is.
        assert score.low < score.high and score.small


@given(st.integers(0, 500), st.integers(1, 500))
def test_wilson_as_statsmodels_has_it(successes: int, others: int) -> None:
    trials = successes + others
    expected = proportion_confint(successes, trials, method="wilson")
    assert statistics.wilson(successes, trials) == pytest.approx(expected, abs=1e-9)


@given(*[st.tuples(st.integers(0, 80), st.integers(1, 80)) for _ in range(2)])
def test_newcombe_as_statsmodels_has_it(one: tuple[int, int], other: tuple[int, int]) -> None:
    (a, n), (b, m) = (one[0], sum(one)), (other[0], sum(other))
    expected = confint_proportions_2indep(a, n, b, m, method="newcomb", compare="diff")
    found = statistics.difference(statistics.proportion(a, n), statistics.proportion(b, m))
    assert found == pytest.approx(expected, abs=1e-9)


@given(st.integers(0, 300), st.integers(0, 300), st.integers(0, 300))
def test_a_score_lies_in_its_interval(wins: int, draws: int, losses: int) -> None:
    score = statistics.score(wins, draws, losses)
    assert 0 <= score.low <= score.value + 1e-12 and score.value - 1e-12 <= score.high <= 1
    assert not math.isnan(score.low) and "None" not in str(score)
