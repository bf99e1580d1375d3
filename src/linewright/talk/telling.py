"""Whether words tell a move made now, whether they go back, and what the talk will come back to.

"Knight f3" after "he plays" is a move; after "so there is no", it is not. The cues of a phrase
(`linewright.talk.cues`) are what a grammar book would name; this is what they leave over: a
logistic regression on them and on the plain words nearby, learned from talks whose moves are known
(`python benches/fit_telling.py`). It knows no chess: the board has its say in the search.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import fields, replace
from functools import cache
from importlib import resources
from itertools import pairwise
from math import fsum

import chess

from linewright.talk.language import Text, judge
from linewright.talk.said import Cues, Form, Phrase
from linewright.talk.vocabulary import COMMA, SENTENCE, Token, any_square

Model = Mapping[str, float]
"""What each thing seen adds to the log odds; the empty name is what there is to begin with."""

Models = Mapping[str, Model]

BEFORE, AFTER = 8, 6
"""How many words of its sentence count."""

FAR = 25
"""No sentence is looked at further than this (words)."""

LONG_AGO = 120

STRETCH = 40
"""How many words after a move count."""

_STRETCHES = (2, 5, 10, 20, 40, 80)

USUAL_PARTING = -2.5
"""The log odds that the talk comes back to a board, of all boards."""

_SPANS = (6, 15, 40, 119)

MOST = 4.0
"""No words make a move surer than this (log odds), nor less sure."""

SHARES: Mapping[str, tuple[float, float, float]] = {
    "tells": (0.63, 0.67, -0.9),
    "clauses": (1.0, 0.0, 0.0),
    "leaves": (0.43, 0.6, 0.2),
}
"""What the log odds by the words and by the model of English count, and what there is to begin with.

Fitted to talks of which neither has learned, the first a fifth more: moves are found best so.
"""

SINCE = "since "
"""How the words on the way from the move before are named: only a going back is learned from them."""

_OF_MOVES = frozenset("<square> castles castle castled takes take captures recaptures".split())
_PLURALS = frozenset("knights bishops rooks pawns queens ponds nights".split())
_PIECES = frozenset(
    "knight bishop rook queen king pawn night pond knights bishops rooks pawns".split()
)
_SIDES = frozenset(("white", "black", "white's", "black's"))
_COUNTED = ("hint", "number")
_NAMED_SIDES = ("side", "piece_side", "weak_side")


def tell(
    tokens: Sequence[Token],
    text: Text,
    found: Mapping[int, Sequence[Phrase]],
    models: Models | None = None,
) -> dict[int, list[Phrase]]:
    """The same phrases with the log odds that each tells a move, and that it leaves the board."""
    known = default_models() if models is None else models
    plain = plain_words(tokens)
    spans = list(dict.fromkeys((p.first, p.end) for phrases in found.values() for p in phrases))
    judged_so = dict(zip(spans, judge(text, spans), strict=True))

    def judged(phrase: Phrase) -> Phrase:
        told, leaves = by_words(tokens, plain, phrase, known)
        by_language = judged_so[phrase.first, phrase.end]
        name = _told_as(phrase)
        return replace(
            phrase,
            told=together(name, told, getattr(by_language, name)),
            leaves=together("leaves", leaves, by_language.leaves),
        )

    told = {place: [judged(phrase) for phrase in phrases] for place, phrases in found.items()}
    ends = next_moves(len(tokens), told)

    def dwelt(phrase: Phrase) -> Phrase:
        seen = dwelling(tokens, plain, phrase, ends[phrase.end])
        return replace(phrase, parts=odds(known["parts"], seen) - USUAL_PARTING)

    return {place: [dwelt(phrase) for phrase in phrases] for place, phrases in told.items()}


def by_words(
    tokens: Sequence[Token], plain: Sequence[str], phrase: Phrase, models: Models
) -> tuple[float, float]:
    """The log odds by what is seen of the words that a phrase tells a move and leaves the board."""
    seen = features(tokens, plain, phrase)
    return odds(models[_told_as(phrase)], seen), odds(models["leaves"], seen)


def _told_as(phrase: Phrase) -> str:
    """The name of the model that says whether a phrase tells a move."""
    return "clauses" if phrase.form is Form.CLAUSE else "tells"


def together(name: str, of_words: float, of_language: float) -> float:
    """The log odds by what is seen of the words and by the model of English, within reason."""
    words, read, begin = SHARES[name]
    return max(-MOST, min(MOST, words * of_words + read * of_language + begin))


def next_moves(size: int, told: Mapping[int, Sequence[Phrase]]) -> list[int]:
    """For each of so many places, and the end, where the next words begin that likely tell a move."""
    ends = [size] * (size + 1)
    for place in range(size - 1, -1, -1):
        tells = any(phrase.told > 0 for phrase in told.get(place, ()))
        ends[place] = place if tells else ends[place + 1]
    return ends


def dwelling(tokens: Sequence[Token], plain: Sequence[str], phrase: Phrase, end: int) -> set[str]:
    """What is seen of the words between a phrase and the next move, at `end`.

    "And now Black has a choice": where a teacher dwells on a board, the talk will come back to it.
    """
    words = plain[phrase.end : end]
    stretch = next((limit for limit in _STRETCHES if len(words) < limit), LONG_AGO)
    breaks = sum(token.gap >= SENTENCE for token in tokens[phrase.end : end])
    seen = {f"stretch {stretch}", f"breaks {min(breaks, 4)}", f"form={phrase.form.value}"}
    seen.update(f"then {word}" for word in words[:STRETCH])
    seen.update(f"then {' '.join(pair)}" for pair in pairwise(words[:STRETCH]))
    seen.update(f"soon {word}" for word in words[:3])
    if any(token.asked for token in tokens[phrase.end : end]):
        seen.add("asks")
    if phrase.cues.supposed:
        seen.add("supposed")
    return seen


def odds(model: Model, seen: set[str]) -> float:
    """The log odds by a model of what is seen, within reason."""
    total = fsum((model[""], *(model.get(name, 0.0) for name in seen)))
    return max(-MOST, min(MOST, total))


def features(tokens: Sequence[Token], plain: Sequence[str], phrase: Phrase) -> set[str]:
    """What is seen of a phrase: its form, its cues, the words in and around it."""
    seen = set(_of_form(phrase))
    seen.update(_of_cues(phrase))
    seen.update(_of_words(tokens, plain, phrase))
    seen.update(_of_the_way(plain, phrase))
    seen.update(_of_square(tokens, phrase))
    seen.update(_of_company(tokens, plain, phrase))
    return seen


def plain_words(tokens: Sequence[Token]) -> list[str]:
    """The words, with one for all squares, one for all pieces and one for both sides."""
    return [_plain(token.text) for token in tokens]


def _plain(text: str) -> str:
    if text in _PIECES:
        return "<piece>"
    return "<side>" if text in _SIDES else any_square(text)


def _of_form(phrase: Phrase) -> Iterator[str]:
    form, spec = phrase.form.value, phrase.spec
    yield f"form={form}"
    yield f"form={form} verb={phrase.verb}"
    yield f"cut={phrase.cut}"
    yield f"covered={phrase.covered}"
    yield f"length={min(phrase.end - phrase.first, 6)}"
    yield f"form={form} {bool(spec.pieces):d}{bool(spec.targets):d}{bool(spec.captured):d}"
    yield f"price={min(int(phrase.price * 2), 8)}"


def _of_cues(phrase: Phrase) -> Iterator[str]:
    for item in fields(Cues):
        value = getattr(phrase.cues, item.name)
        if item.name in _COUNTED:
            value = value > 0
        elif item.name in _NAMED_SIDES:
            value = bool(value)
        elif item.name == "begins":
            value = round(value, 1)
        if value:
            yield f"{item.name}={value}"
            yield f"{phrase.form.value}:{item.name}={value}"


def _of_words(tokens: Sequence[Token], plain: Sequence[str], phrase: Phrase) -> Iterator[str]:
    first, end = phrase.first, phrase.end

    def word(place: int) -> str:
        return plain[place] if 0 <= place < len(plain) else "#"

    def pause(place: int) -> str:
        gap = tokens[place].gap if 0 <= place < len(tokens) else 0.0
        return "." if gap >= SENTENCE else "," if gap >= COMMA else "_"

    for back in (1, 2, 3):
        yield f"{-back} {word(first - back)}"
    yield f"{phrase.form.value}: -1 {word(first - 1)}"
    yield f"+1 {word(end)}"
    yield f"{phrase.form.value}: +1 {word(end)}"
    yield f"+2 {word(end + 1)}"
    yield f"before {word(first - 2)} {word(first - 1)}"
    yield f"after {word(end)} {word(end + 1)}"
    pauses = pause(first) + pause(end)
    yield f"pause {pause(first)}"
    yield f"pause after {pause(end)}"
    yield f"pauses {pauses}"
    yield f"{phrase.form.value}:pauses {pauses}"
    place = first - 1
    while place >= max(0, first - BEFORE) and tokens[place + 1].gap < SENTENCE:
        yield f"early {plain[place]}"
        place -= 1
    yield f"begun {first - 1 - place}"
    for place in range(end, min(len(tokens), end + AFTER)):
        if tokens[place].gap >= SENTENCE:
            break
        yield f"late {plain[place]}"
    for place in range(first, end):
        yield f"in {plain[place]}"
    if any(tokens[place].text in _PLURALS for place in range(first, end)):
        yield f"{phrase.form.value}: several"
    yield from _of_sentence(tokens, plain, phrase)


def _of_the_way(plain: Sequence[str], phrase: Phrase) -> Iterator[str]:
    """The words since the talk last named a square, a capture or castling."""
    place = phrase.first - 1
    while place >= max(0, phrase.first - FAR) and plain[place] not in _OF_MOVES:
        yield SINCE + plain[place]
        place -= 1


def _of_square(tokens: Sequence[Token], phrase: Phrase) -> Iterator[str]:
    """How long ago the square was last named, and how soon it will be: news is told of more often."""
    if not phrase.spec.targets:
        return
    name, form = chess.square_name(phrase.spec.targets[0][0]), phrase.form.value
    before = range(phrase.first - 1, max(-1, phrase.first - LONG_AGO), -1)
    after = range(phrase.end, min(len(tokens), phrase.end + LONG_AGO))
    ago = next((phrase.first - k for k in before if tokens[k].text == name), LONG_AGO)
    soon = next((k - phrase.end for k in after if tokens[k].text == name), LONG_AGO)
    for way, words_between in (("named", ago), ("named again", soon)):
        span = next((limit for limit in _SPANS if words_between < limit), LONG_AGO)
        yield f"{way} {span}"
        yield f"{form}: {way} {span}"
    yield f"times {min(sum(tokens[k].text == name for k in before), 4)}"


def _of_company(tokens: Sequence[Token], plain: Sequence[str], phrase: Phrase) -> Iterator[str]:
    """How many squares its sentence names before and after it, and how far the sentence goes on."""
    place = phrase.first
    while place > max(0, phrase.first - LONG_AGO) and tokens[place].gap < SENTENCE:
        place -= 1
    yield f"squares before {min(plain[place : phrase.first].count('<square>'), 4)}"
    place = phrase.end
    while place < min(len(tokens), phrase.end + LONG_AGO) and tokens[place].gap < SENTENCE:
        place += 1
    yield f"squares after {min(plain[phrase.end : place].count('<square>'), 4)}"
    yield f"goes on {min((place - phrase.first) // 3, 5)}"


def _of_sentence(tokens: Sequence[Token], plain: Sequence[str], phrase: Phrase) -> Iterator[str]:
    """How the sentence begins, and whether it asks."""
    start = phrase.first
    while start > max(0, phrase.first - FAR) and tokens[start].gap < SENTENCE:
        start -= 1
    if start < phrase.first:
        yield f"begins {plain[start]}"
        yield f"begins {' '.join(plain[start : start + 2])}"
    stop = phrase.end
    while stop < min(len(tokens), phrase.end + FAR) and tokens[stop].gap < SENTENCE:
        stop += 1
    if tokens[stop - 1].asked:
        yield "asks"
        yield f"asks {plain[start]}"


@cache
def default_models() -> Models:
    """The models by name: `tells` for a move made now, `clauses` for the same where the words name
    none, `leaves` for a going back, `parts` for a board that is come back to.

    **Source**: learned from the invented talks of ``tests/talks``
    (``benches/fit_telling.py``).
    """
    text = (resources.files("linewright.talk") / "telling.json").read_text("utf-8")
    models: Models = json.loads(text)
    return models
