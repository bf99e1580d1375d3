"""The model of English: its parts against their definitions, its judgements against plain sense."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from linewright.talk import language
from linewright.talk.language import HEADS, MARGIN, WINDOW, in_pieces, judge, read, split, windows
from linewright.talk.vocabulary import Token, tokenise


def tokens(text: str) -> tuple[Token, ...]:
    """The tokens of words with stops."""
    words = [(word.rstrip(",."), word) for word in text.split()]
    found = [(bare, word[len(bare) :], 0.0) for bare, word in words]
    return tokenise(found)


def tells(text: str, words: str) -> float:
    """The log odds that some words of a text tell a move."""
    told = tokens(text)
    wanted = words.split()
    names = [token.text for token in told]
    first = next(k for k in range(len(names)) if names[k : k + len(wanted)] == wanted)
    return judge(read(told), [(first, first + len(wanted))])[0].tells


@given(st.integers(0, 2000))
def test_each_piece_is_read_once_with_others_around_it(size: int) -> None:
    kept: list[int] = []
    for low, high, first, end in windows(size):
        assert 0 <= low <= first <= end <= high <= size
        assert high - low <= WINDOW
        assert low == 0 or first - low >= MARGIN
        assert high == size or high - end == MARGIN
        kept += range(first, end)
    assert kept == list(range(size))


def test_words_are_split_as_published() -> None:
    # source: the notes on tokens that come with BERT (2018): "unaffable" is "un ##aff ##able"
    pieces = {"un": 0, "##aff": 1, "##able": 2, "##a": 3, "[UNK]": 4}
    assert split("Unaffable", pieces) == [0, 1, 2]
    assert split("xyz", pieces) == [4]
    assert split("", pieces) == [4]


def test_breaks_are_read_as_stops_and_commas() -> None:
    pieces = {"well": 0, "now": 1, "e": 2, "##4": 3, ",": 4, ".": 5, "[UNK]": 6}
    numbers, starts, ends = in_pieces(tokens("Well, now e4. E4"), pieces)
    assert numbers == [0, 4, 1, 2, 3, 5, 2, 3]
    assert starts == [0, 2, 3, 6]
    assert ends == [1, 3, 5, 8]


def test_the_unit_bends_as_defined() -> None:
    # source: Hendrycks, Gimpel (2016): x times the normal distribution's share below x; their
    # approximation is used
    values = np.linspace(-6, 6, 241, dtype=np.float32)
    exact = [x * 0.5 * (1 + math.erf(x / math.sqrt(2))) for x in values.tolist()]
    assert np.abs(language.gelu(values) - exact).max() < 1e-3


def test_attention_is_the_published_one() -> None:
    # source: Vaswani et al. (2017), equation 1, head by head
    rng = np.random.default_rng(4)
    looks = rng.normal(0, 1, (5, 3 * HEADS * 2)).astype(np.float32)
    asked, keys, values = np.split(looks.astype(float), 3, axis=1)
    expected = np.zeros((5, HEADS * 2))
    for head in range(HEADS):
        part = slice(2 * head, 2 * head + 2)
        shares = np.exp(asked[:, part] @ keys[:, part].T / math.sqrt(2))
        shares /= shares.sum(1, keepdims=True)
        expected[:, part] = shares @ values[:, part]
    np.testing.assert_allclose(language._attention(looks), expected, atol=1e-5)


def test_evened_rows_have_no_mean_and_unit_variance() -> None:
    rows = np.array([[1.0, 2.0, 3.0, 10.0]], np.float32)
    even = language.Norm(np.ones(4, np.float32), np.zeros(4, np.float32))(rows)
    assert abs(even.mean()) < 1e-6
    assert even.var() == pytest.approx(1, abs=1e-5)


@pytest.mark.parametrize(
    ("told", "not_told", "words"),
    [
        (
            "White develops, bishop c4, and now Black plays knight f6.",
            "The bishop looks at f7, and one day he dreams of a knight on f6.",
            "f6",
        ),
        (
            "He takes, and we take back with the pawn. Now queen d2, getting out of the pin.",
            "That is the whole point of the line, Black never gets time for queen d2 there.",
            "queen d2",
        ),
        (
            "So Black castles, and here White plays h4, a very sharp move.",
            "So Black castles, and the pawn that worries me is the one on h4.",
            "h4",
        ),
    ],
)
def test_moves_are_told_from_wishes_and_places(told: str, not_told: str, words: str) -> None:
    assert tells(told, words) > tells(not_told, words) + 1


def test_nothing_is_made_of_nothing() -> None:
    assert judge(read(()), []) == []
    assert judge(read(tokens("Hello.")), [(0, 1)])[0].tells < 0


def test_judgements_hardly_hang_on_where_a_window_begins() -> None:
    talk = "Now the story goes on, and nobody moves a thing for a while. " * 25
    told = tokens(f"{talk} Then White plays knight f3, and Black answers knight c6. {talk}")
    place = next(k for k, token in enumerate(told) if token.text == "knight")
    late = judge(read(told), [(place, place + 2)])[0].tells
    moved = judge(read(told[13:]), [(place - 13, place - 11)])[0].tells
    assert late == pytest.approx(moved, abs=1.5)
