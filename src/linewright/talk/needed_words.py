"""Words that a recogniser wrote for others that sound alike, known by the move they tell.

"The takes e4" of a d-pawn, "take it on person" of a capture en passant, "the six" alone between two
commas: where a move that is understood needs just these words and no English sentence has what was
written there, they are put right, however ordinary they are.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import chess

from linewright.talk.decoder import Event, Kind, Tree
from linewright.talk.said import Form
from linewright.talk.sounds import LETTER_PHONES, Phones, distance
from linewright.talk.vocabulary import (
    ARTICLES,
    COMMA,
    DIGITS,
    FILES,
    PIECES,
    TAKES,
    Lexicon,
    Token,
    is_square,
)

PutRight = tuple[int, int, str]
"""Tokens, half open, with what was said."""

BESIDE = 3
"""So many words before or behind those of a move may still tell of it."""

NEAR_PAWN = 0.6
"""So far may the sound of two words be from "d pawn": less than one phone that is clearly another."""

NEAR_EN_PASSANT = 0.2
"""So far, by phone, may words be from "en passant": "in passing" is farther, and is English."""

_EN_PASSANT: Phones = ("AA", "N", "P", "AE", "S", "AA", "N")
_PAWN: Phones = ("P", "AO", "N")
_NO_SUBJECTS = frozenset("the be".split())
"""Words for a file's letter that cannot be who takes."""
_BEFORE_A_NOUN = ARTICLES | {"with"}


def needed_words(
    events: Sequence[Event], tree: Tree, tokens: Sequence[Token], lexicon: Lexicon
) -> Iterator[PutRight]:
    """Stretches of tokens that stand for words the moves need, with these words.

    **Cost**: linear in the moves.
    """
    for event in events:
        if event.kind is not Kind.PLAY or event.true is False:
            continue
        for first, end, now in _of_move(event, tree, tokens, lexicon):
            parts = [token.word for token in tokens[first:end]]
            around = [
                token.word for token in (*tokens[max(first - 1, 0) : first], *tokens[end : end + 1])
            ]
            if set(parts).isdisjoint(around):  # "be-pawn" is put right as a whole or not at all
                yield first, end, now


def _of_move(
    event: Event, tree: Tree, tokens: Sequence[Token], lexicon: Lexicon
) -> Iterator[PutRight]:
    uci, san = tree.uci(event.node), tree.san(event.node)
    yield from _square_alone(event, uci[2:4], tokens, lexicon)
    if san[0] not in FILES:
        return
    yield from _file_that_takes(event, san, tokens, lexicon)
    yield from _pawn_of_file(event, uci[0], tokens, lexicon)
    if tree.board(tree.parent(event.node)).is_en_passant(chess.Move.from_uci(uci)):
        yield from _en_passant(event, tokens, lexicon)


def _square_alone(
    event: Event, target: str, tokens: Sequence[Token], lexicon: Lexicon
) -> Iterator[PutRight]:
    """A square that is a clause of its own, its file by sound: "e5, the six, d4"."""
    first, end = event.phrase.first, event.phrase.end
    if event.phrase.form is not Form.SQUARE or end != first + 2:
        return
    parted = tokens[first].gap >= COMMA and (end == len(tokens) or tokens[end].gap >= COMMA)
    file, digit = lexicon.file(first), DIGITS.get(tokens[first + 1].text)
    if parted and file and file[1] > 0 and digit and file[0] + digit == target:
        yield first, end, target


def _file_that_takes(
    event: Event, san: str, tokens: Sequence[Token], lexicon: Lexicon
) -> Iterator[PutRight]:
    """The file of a pawn that takes: "the takes e4"."""
    for k in (event.phrase.first, event.phrase.first - 1):
        if "x" not in san or k < 0 or k + 1 >= len(tokens):
            continue
        file, verb = lexicon.file(k), tokens[k + 1]
        takes = verb.text in TAKES and verb.text.endswith("s") and verb.gap < COMMA
        if takes and tokens[k].text in _NO_SUBJECTS and file and file[0] == san[0]:
            yield k, k + 1, san[0]


def _pawn_of_file(
    event: Event, origin: str, tokens: Sequence[Token], lexicon: Lexicon
) -> Iterator[PutRight]:
    """The file of a pawn that is named: "the be pawn takes", "take back with the deep on"."""
    wanted = LETTER_PHONES[origin] + _PAWN
    for k in _around(event, tokens):
        if k == 0 or k + 1 >= len(tokens) or tokens[k - 1].text not in _BEFORE_A_NOUN:
            continue
        word, noun = tokens[k], tokens[k + 1]
        if max(word.gap, noun.gap) >= COMMA or word.text in ARTICLES or word.text in DIGITS:
            continue
        file = lexicon.file(k)
        if noun.text == "pawn":
            if file and file[0] == origin and word.text != origin:
                yield k, k + 1, origin
        elif not (_of_board(word.text) or _of_board(noun.text)):
            sound = lexicon.sound(word.text) + lexicon.sound(noun.text)
            if distance(sound, wanted) <= NEAR_PAWN:
                yield k, k + 2, f"{origin} pawn"


def _en_passant(event: Event, tokens: Sequence[Token], lexicon: Lexicon) -> Iterator[PutRight]:
    """The words "en passant" as others: "take it on person"."""
    for k in _around(event, tokens):
        for end in (k + 2, k + 3):
            texts = [token.text for token in tokens[k:end]]
            broken = any(token.gap >= COMMA for token in tokens[k + 1 : end])
            if len(texts) < end - k or broken or texts == ["en", "passant"]:
                continue
            if any(_of_board(text) for text in texts):
                continue
            sound: Phones = sum((lexicon.sound(text) for text in texts), ())
            if distance(sound, _EN_PASSANT) <= NEAR_EN_PASSANT * len(_EN_PASSANT):
                yield k, end, "en passant"
                return


def _around(event: Event, tokens: Sequence[Token]) -> range:
    """The tokens of a move's words and a few beside them."""
    phrase = event.phrase
    return range(max(phrase.first - BESIDE, 0), min(phrase.end + BESIDE, len(tokens)))


def _of_board(text: str) -> bool:
    return text in PIECES or text in TAKES or is_square(text) or (len(text) == 1 and text in FILES)
