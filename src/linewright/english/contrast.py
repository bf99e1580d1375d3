"""Contrasts cut down to what they assert: "it is White, not Black, who can castle".

"White, not Black, has the pair", "not the c-file but the d-file is open" and "hit twice, not once" say
one thing and set it against what is not so. `without_contrast` leaves out what it is set against,
where that is a side, a piece, a place, a number or a name like the one that is asserted; "attacked, not
pinned" says two things and is left as it is.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from linewright.english.words import Token
from linewright.expressions import expression
from linewright.moves import MAN

_KIND = rf"(?:{MAN}|piece|minor piece)s?"
_SIDE = r"(?:white|black|we|us|he|him|she|her|you|they|them|me|i|our opponent|the opponent|both sides|both|his|hers|ours|mine|yours|theirs)(?: 's)?"
_PIECE = rf"(?:(?:the|his|her|our|my|your|its|their|a|an|one|white 's|black 's|both|two|three) )*(?:(?:white|black|other|light squared|dark squared|light|dark|squared|king 's|queen 's) )*(?:[a-h] |[a-h][1-8] )?{_KIND}(?: (?:on |at )?[a-h][1-8])?"
_PLACE = r"(?:(?:on|in|at|to|from|along|behind|by|against|with|for) )?(?:(?:the|his|her|our|white 's|black 's) )?(?:[a-h][1-8]|[a-h](?: file)?|king 's side|queen 's side|king side|queen side|kingside|queenside|centre|center|middle|(?:first|second|third|fourth|fifth|sixth|seventh|eighth|back) rank|(?:light|dark|white|black) squares?|long (?:side|way)|short (?:side|way)|(?:long|short) diagonal|short|long)"
_NUMBER = r"(?:(?:just|only|merely|the usual) )?(?:(?:zero|one|two|three|four|five|six|seven|eight|nine|ten|once|twice|thrice|single|double|\d+)(?: times| of them| pawns?| pieces?| attackers?| defenders?| islands?| moves?| files?)?|half|open|half open|a half open one|a single one)"
_MOVE = r"(?:a )?(?:white|black) (?:one|ones)|(?:a|the) (?:rook|pawn|queen|bishop|knight|minor piece|pawn|queenless) (?:ending|endgame)"
_NAME = r"(?:(?:the|a|an) )?(?:\w+ ){0,3}(?:defen[cs]e|attack|gambit|opening|game|variation|system|indian|sicilian|french|spanish|italian|english|scandinavian|caro kann|pirc|modern|slav|dutch|benoni|catalan|grunfeld|gruenfeld|petroff|philidor|ruy lopez|vienna|scotch|london|alekhine|evans|two knights|four knights|giuoco piano|ponziani|benko|budapest|trompowsky|nimzo|king 's indian|queen 's indian|qgd|qga)"
_STATE = r"(?:check|mate|checkmate|stalemate|a pin|a fork|a skewer|pin|fork|skewer|a check|a mate|opposite (?:ones|sides|colou?rs)|the same(?: side| one)?)"
_LIKE = rf"(?:{_PIECE}|{_SIDE}|{_PLACE}|{_NUMBER}|{_MOVE}|{_NAME}|{_STATE}|(?:the )?other (?:one|side|way|way round))"
_BEHIND = expression(
    rf"(?P<cut> (?:,|—|–|--|\() ?(?:and |but |though )?(?:not|rather than|instead of|and never|never)(?: on| in| at| to| by| with| of| from| along)? (?:{_LIKE}|M)(?: (?:too|either|as well|though|any more|for once|as usual|this time|of course|as (?:some|many|people|you)[^,;:.]{{0,24}}))?)(?= ?(?:$|[.!;:)—–]|,))(?P<stop> ?[,)—–](?= \w))?"
)
"""", not Black," and what stands around it."""
_BEFORE = expression(
    rf"(?:(?<=^)|(?<= )|(?<=, ))(?P<cut>not (?P<left>{_LIKE}) ,? ?but )(?=(?:rather )?{_LIKE})"
)
"""Before what is so: "not Black but"."""
_IS_NOT = expression(
    rf"\b(?P<it>it|this|that)(?: is| was) (?P<cut>not (?P<left>{_LIKE}) ,? ?but )(?=(?:rather )?{_LIKE})"
)


def without_contrast(tokens: Sequence[Token]) -> tuple[Token, ...]:
    """The tokens of a sentence without what it is set against.

    >>> from linewright.english.words import read_words
    >>> " ".join(t.text for t in without_contrast(read_words("It is White, not Black, who can castle.")))
    'it is white who can castle .'
    """
    texts = [t.text for t in tokens]
    if "not" not in texts and "rather" not in texts and "instead" not in texts:
        return tuple(tokens)
    kept = list(tokens)
    for pattern in (_IS_NOT, _BEFORE, _BEHIND):
        kept = _cut(kept, pattern)
    return tuple(kept)


def _cut(tokens: list[Token], pattern: re.Pattern[str]) -> list[Token]:
    """The tokens without what the pattern cuts out, once."""
    text, at = "", []
    for token in tokens:
        at.append(len(text))
        text += f"{'M' if token.kind == 'move' else token.text} "
    match = pattern.search(text.rstrip())
    if match is None or (not text[: match.start()].strip(" ,") and pattern is _BEHIND):
        return tokens
    first, end = match.span("cut")
    if "stop" in match.re.groupindex and match["stop"]:
        end = match.end("stop")
    return [t for t, place in zip(tokens, at, strict=True) if not first <= place < end]


__all__ = ["without_contrast"]
