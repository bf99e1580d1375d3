"""Whether words tell a move, by the words around them; what talks with known moves teach."""

from __future__ import annotations

import math

import pytest

from linewright.talk.decoder import Decoder, default_weights
from linewright.talk.heard import Reading
from linewright.talk.telling import MOST, default_models, features, odds, plain_words
from linewright.talk.transcript import read_transcript, source_from_bytes


def reading(text: str) -> Reading:
    source, _ = source_from_bytes("talk.txt", text.encode())
    return Reading.of(read_transcript(source))


def told(text: str, words: str) -> float:
    """The log odds of the last phrase with these words."""
    found = reading(text)
    tokens = found.tokens
    for place in sorted(found.phrases, reverse=True):
        for phrase in found.phrases[place]:
            if " ".join(t.text for t in tokens[phrase.first : phrase.end]) == words:
                return phrase.told
    raise AssertionError(words)


OPEN = "White plays e4, Black replies e5. "


@pytest.mark.parametrize(
    ("move", "talk", "words"),
    [
        ("Then he plays knight f3.", "He would love to have a knight f3.", "knight f3"),
        ("Black replies knight c6.", "It looks after the knight on c6.", None),
        ("Now bishop c4, bishop c5.", "He dreams of bishop c4.", "bishop c4"),
    ],
)
def test_the_words_around_tell_moves_from_mere_talk(
    move: str, talk: str, words: str | None
) -> None:
    said = words or "knight c6"
    stands = words or "knight on c6"
    assert told(OPEN + move, said) > told(OPEN + talk, stands)


def test_odds_stay_within_reason() -> None:
    found = reading(OPEN + "Then he plays knight f3 and Black plays knight c6.")
    for phrases in found.phrases.values():
        for phrase in phrases:
            assert abs(phrase.told) <= MOST and abs(phrase.leaves) <= MOST


def test_a_model_adds_up_what_is_seen() -> None:
    assert odds({"": 0.5, "a": 1.0, "b": -0.25}, {"a", "b", "c"}) == pytest.approx(1.25)
    assert odds({"": 0.0, "a": 40.0}, {"a"}) == MOST


def test_what_is_seen_names_no_square_and_no_side() -> None:
    found = reading(OPEN + "White plays knight f3, so Black's knight goes to c6.")
    plain = plain_words(found.tokens)
    seen = {
        name
        for phrases in found.phrases.values()
        for phrase in phrases
        for name in features(found.tokens, plain, phrase)
    }
    assert any("<side>" in name for name in seen)
    assert not any(name.endswith((" f3", " c6", " white", " black")) for name in seen)


def test_the_models_are_no_longer_than_what_is_seen_often() -> None:
    models = default_models()
    assert set(models) == {"tells", "leaves", "parts", "clauses"}
    for model in models.values():
        assert "" in model and 200 < len(model) < 16000
        assert all(math.isfinite(part) for part in model.values())


TALK = OPEN + "Knight f3, knight c6. Bishop b5, a6. Bishop takes c6, d takes c6."
LINE = "e2e4 e7e5 g1f3 b8c6 f1b5 a7a6 b5c6 d7c6".split()


def lesson(line: list[str], margin: float = 0.8, talk: str = TALK) -> tuple[Decoder, tuple]:  # type: ignore[type-arg]
    found = reading(talk)
    decoder = Decoder(found.phrases, found.lexicon.noise)
    lines = [" ".join(line[:end]) for end in range(1, len(line) + 1)]
    at = dict.fromkeys(range(len(decoder.phrases)), lines)
    return decoder, decoder.lesson(default_weights(), [], "", lines, at, set(), margin)


def test_a_talk_that_is_understood_teaches_nothing() -> None:
    _, (price, slopes, wrong, way, points) = lesson(LINE, margin=0.0)
    assert wrong == 0 and points == [] and price > 0
    # what the way costs is made of its prices, up to what is no price
    assert slopes["usual_named"] > 0
    assert [san for _, kind, san, *_ in way if kind == "play"] == [
        "e4", "e5", "Nf3", "Nc6", "Bb5", "a6", "Bxc6", "dxc6",
    ]  # fmt: skip


def test_a_mistake_says_which_prices_would_mend_it() -> None:
    # the truth is made out to be the less usual recapture
    words = TALK.replace("d takes c6", "Black takes back")
    decoder, (_, _, _, _, points) = lesson([*LINE[:-1], "b7c6"], talk=words)
    assert points, "the search prefers what is said"
    violation, mistakes, slopes, truth, mistaken = points[-1]
    assert violation > 0 and mistakes >= 1
    assert any(decision[4] for decision in mistaken)
    assert not any(decision[4] for decision in truth)
    # a small step along the slopes makes the violation as much smaller as they say
    # (of a price: a share such as book_most is no line)
    prices = {name: slope for name, slope in slopes.items() if name.startswith("usual_")}
    name, slope = max(prices.items(), key=lambda item: abs(item[1]))
    moved = {**default_weights(), name: default_weights()[name] - 0.1 * math.copysign(1, slope)}
    lines = [" ".join([*LINE[:-1], "b7c6"][:end]) for end in range(1, 9)]
    at = dict.fromkeys(range(len(decoder.phrases)), lines)
    again = decoder.lesson(moved, [], "", lines, at, set(), 0.8)[4]
    left = again[-1][0] if again else 0.0
    assert left == pytest.approx(violation - 0.1 * abs(slope), abs=0.05)


def test_a_board_that_is_dwelt_on_is_likelier_come_back_to() -> None:
    choice = "Here Black has a choice of several moves, and we will look at all of them. "
    lines = "e4 e5, knight f3, knight c6, bishop b5. {}a6, bishop a4, knight f6."
    plain, dwelt = (reading(lines.format(said)) for said in ("", choice))

    def parts(found: Reading) -> float:
        place = next(k for k, token in enumerate(found.tokens) if token.text == "b5")
        told = (p for same in found.phrases.values() for p in same if p.end == place + 1)
        return max(phrase.parts for phrase in told)

    assert parts(dwelt) > parts(plain) + 1.0


def test_the_way_says_to_which_boards_it_comes_back() -> None:
    words = OPEN + "Knight f3, knight c6. Bishop b5, a6. Instead of bishop b5 White has bishop c4."
    main = "e2e4 e7e5 g1f3 b8c6 f1b5 a7a6".split()
    other = [*main[:4], "f1c4"]
    found = reading(words)
    decoder = Decoder(found.phrases, found.lexicon.noise)
    lines = [" ".join(line[:end]) for line in (main, other) for end in range(1, 7)]
    at = dict.fromkeys(range(len(decoder.phrases)), lines)
    way = decoder.lesson(default_weights(), [], "", lines, at, set(), 0.0)[3]
    assert [san for _, kind, san, *_, parts in way if kind == "play" and parts] == ["Nc6"]
