"""Stories of a game brought to the board they stand at: "White had castled" as "White has castled".

Who tells a game in the past tense speaks of the board the story has come to. `told_now` gives such a
sentence in the present, if it names what is on this board and is told in the past throughout: "the
knight was pinned" may be told of any game, and "had castled when" of any time.
"""

from __future__ import annotations

from dataclasses import replace

from linewright.english.sentences import Sentence
from linewright.english.wording import inflected, third_person
from linewright.english.words import Token
from linewright.expressions import expression

_NOT_NOW = expression(
    r"\b(?:is|are|has|have|can|could|does|do|will|would|may|might|am|if|when|where|before|after|until|till|once|originally|ago|"
    r"yesterday|first time|last time|i|my|me|mine|today|nowadays|(?<!by )then|used to|how|why|said|thought|believed|told|so that|in order|"
    r"game|match|tournament|opponent|club|champion|pupil|student|book|author|year|century|days|nights|evening|morning|"
    r"[a-z]+ was asked|surprised|happy|afraid|tired|nervous)\b"
)
"""What tells that a story is not of this board, or goes back in it."""
_NAMED = expression(
    r"\b(?:white|black|[a-h] (?:file|files|pawn|pawns)|both (?:sides|kings|players|camps|armies)|neither (?:side|king|player|camp)|"
    r"the (?:two |both )?(?:queens|rooks|bishops|knights|kings|minor pieces|dark squared bishops|light squared bishops)|(?:open|no|any|half open) files?|"
    r"(?:ending|endgame))\b"
)

_VERBS = (
    "attack hit defend protect guard cover control watch eye support pin fork skewer block face occupy threaten target stop prevent "
    "shield hold dominate command oppose check blockade stare glare look aim point bear stand lie sit remain own enjoy possess count "
    "boast lack belong form uphold menace assail nail keep number need rule overlook challenge confront back lead trail outnumber"
).split()
_ODD = {"bear": "bore", "stand": "stood", "lie": "lay", "sit": "sat", "hit": "hit", "hold": "held", "keep": "kept",
        "uphold": "upheld", "lead": "led"}  # fmt: skip
_PLAIN = {_ODD.get(verb) or inflected(verb)["past"]: verb for verb in _VERBS}
_AUX = {"had": "has", "was": "is", "were": "are"}
_SUBJECT = frozenset(
    "king queen rook bishop knight pawn kings queens rooks bishops knights pawns piece pieces white black he she it they which who and side "
    "sides player players camps armies both each neither rook's file files pair".split()
)
_OBJECT = frozenset(
    "the a an his her its their our white black both each one two three four five no not nothing at on down to up after over it him them every "
    "any all neither only".split()
)


def told_now(sentence: Sentence) -> Sentence | None:
    """The sentence in the present tense, or None where it does not tell of this board.

    >>> from linewright.english.sentences import read_sentences
    >>> made = told_now(read_sentences("White had castled, and the rook stood on e1.")[0])
    >>> made and " ".join(token.text for token in made.tokens)
    'white has castled , and the rook stands on e1 .'
    """
    tokens = sentence.tokens
    text = " ".join(t.text for t in tokens)
    if (
        sentence.asks
        or sentence.supposes
        or sentence.reports
        or sentence.general
        or _NOT_NOW.search(text)
    ):
        return None
    if not (_NAMED.search(text) or any(t.kind == "square" for t in tokens)):
        return None
    made = tuple(_now(tokens, at) for at in range(len(tokens)))
    return None if made == tokens else replace(sentence, tokens=made)


def _now(tokens: tuple[Token, ...], at: int) -> Token:
    """A token in the present tense, if it is a verb in the past."""
    token = tokens[at]
    before = tokens[at - 1] if at else None
    if token.text in _AUX:
        return replace(token, text=_AUX[token.text])
    verb = _PLAIN.get(token.text)
    if verb is None or before is None or at + 1 >= len(tokens):
        return token
    subject = before.text in _SUBJECT or before.kind == "square" or before.text == ","
    behind = tokens[at + 1]
    if not subject or not (behind.text in _OBJECT or behind.kind in {"square", "number"}):
        return token
    several = before.text.endswith("s") or before.text == "they"
    return replace(token, text=verb if several else third_person(verb))


__all__ = ["told_now"]
