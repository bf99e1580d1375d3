"""Notes in shorthand written out: "Nc3 pinned" as "the knight on c3 is pinned".

Who prepares a lesson in notes leaves out articles and verbs and writes a piece as in a move. `written_out`
gives the words such a note stands for; a sentence with a verb of its own is left as it is.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from linewright.english.words import Token, read_words
from linewright.expressions import expression

_PIECES = {"K": "king", "Q": "queen", "R": "rook", "B": "bishop", "N": "knight"}
_VERB = expression(
    r"\b(?:is|are|was|were|has|have|had|can|could|will|would|may|might|must|do|does|did|should|attacks?|defends?|protects?|takes?|"
    r"captures?|wins?|loses?|gives?|threatens?|controls?|plays?|moves?|goes|comes|wants?|makes?|stands?|keeps?|holds?|looks?|i|we|he|she|you|they)\b"
)
_HOW = (
    r"(?:pinned|hanging|undefended|unprotected|unguarded|en prise|loose|trapped|attacked|hit|protected|defended|guarded|covered|"
    r"isolated|backward|passed|doubled|blocked|overloaded|pinned to the (?:king|queen|rook)|in check|undeveloped|developed)"
)
_NAME = r"(?:the (?:king|queen|rook|bishop|knight) on [a-h][1-8]|[a-h][1-8]|the [a-h] pawns?|the pawn on [a-h][1-8])"
_SIDES = r"(?:white|black)"
_RULES = tuple(
    (re.compile(said), plain)
    for said, plain in (
        (rf"({_NAME}) ({_HOW})((?: by {_NAME}| twice| once| to {_NAME})?)", r"\1 is \2\3"),
        (rf"({_SIDES}) : ((?:[a-h]) pawns?) ({_HOW})", r"\1 's \2 is \3"),
        (
            rf"({_SIDES}|w) : ((?:\d+|one|two|three|four|five|no|the|an?|both|all)\b.*)",
            r"\1 has \2",
        ),
        (
            r"(?:iqp|isolani|isolated pawn|isolated queen 's pawn) : ([a-h][1-8])",
            r"the pawn on \1 is isolated",
        ),
        (r"passed pawn : ([a-h][1-8])", r"the pawn on \1 is passed"),
        (rf"(?:b pair|bishop pair|two bishops|pair) : ({_SIDES})", r"\1 has the bishop pair"),
        (rf"(?:to move|move|turn|on move) : ({_SIDES})", r"it is \1 's move"),
        (rf"(?:extra pawn|pawn up|plus pawn) : ({_SIDES})", r"\1 is a pawn up"),
        (rf"({_SIDES}|w) up (\d+)(?: (pawns?|points?))?", r"\1 is up by \2 \3"),
        (rf"up (\d+) (?:for )?({_SIDES})", r"\2 is up by \1"),
        (
            r"([a-h][1-8]) : (\d+|one|two|three|four) (?:v|vs|against|versus|:) (\d+|one|two|three|four)",
            r"\1 has \2 attackers and \3 defenders",
        ),
        (
            r"([a-h][1-8]) : (\d+|one|two|three|four) attackers? ,? ?(?:and |against )?(\d+|one|two|three|four|no) defenders?",
            r"\1 has \2 attackers and \3 defenders",
        ),
        (r"(half )?open(?: files?)? : ([a-h])", r"the \2 file is \1open"),
        (
            r"(half )?open(?: files?)? : ([a-h]) (?:,|and) ([a-h])",
            r"the \2 and \3 files are \1open",
        ),
        (r"([a-h]) file : half open (?:for )?(?:white|w)", r"the \1 file is half open for white"),
        (r"([a-h]) file : half open (?:for )?(?:black|b)", r"the \1 file is half open for black"),
        (r"([a-h]) file : (open|half open|closed)", r"the \1 file is \2"),
        (
            r"(\d+|one|two|three|four|no) (checks|captures)(?: available| possible)?(?: : .*)?",
            r"there are \1 \2",
        ),
        (
            rf"({_SIDES}) (?:0-0|o-o|castling short|short castling)(?: is)? (?:possible|on|available|ok)",
            r"\1 can castle short",
        ),
        (
            rf"({_SIDES}) (?:0-0-0|o-o-o|castling long|long castling)(?: is)? (?:possible|on|available|ok)",
            r"\1 can castle long",
        ),
        (
            r"(\d+|one|two|three|four) (bishops|knights|rooks|queens|pawns|minor pieces) on (?:the )?board",
            r"there are \1 \2 on the board",
        ),
    )
)
_KNOWN = expression(
    r"[a-h](?:[1-8])?|white|black|w|b|[kqrbn]|\d+|-|–|—|,|king|queen|rook|bishop|knight|pawn|and|the|on|for|only"
)


def written_out(tokens: Sequence[Token]) -> tuple[Token, ...]:
    """The tokens of a sentence, or of the note in shorthand that it is, written out.

    >>> from linewright.english.words import read_words
    >>> " ".join(t.text for t in written_out(read_words("Nc3 pinned (Bb4 - Ke1).")))
    'the knight on c3 is pinned .'
    """
    words = _without_brackets(tokens)
    text = " ".join(_plain(t) for t in words)
    words = [t for t in words if t.text not in {"now", "already", "here", "still"} or t is words[0]]
    if len(words) > 14 or _VERB.search(text) or not words:
        return tuple(tokens)
    made: list[Token] = []
    begin = 0
    for at, token in enumerate([*words, Token(".", 0, 0, "stop")]):
        ends = at == len(words) or (token.kind == "stop" and token.text in {",", ";", ".", "!"})
        if not ends:
            continue
        made.extend(_clause(words[begin:at]) or words[begin:at])
        if at < len(words):
            made.append(token)
        begin = at + 1
    whole = _clause([t for t in words if t.text not in {".", "!"}])
    if whole:
        return tuple(whole) + tuple(words[-1:] if words[-1].kind == "stop" else ())
    return tuple(made) if [t.text for t in made] != [t.text for t in words] else tuple(tokens)


def _plain(token: Token) -> str:
    """A token as its words: a piece written as in a move is "the knight on c3"."""
    if (
        token.kind == "move"
        and token.move is not None
        and not token.move.claims_capture
        and token.number is None
    ):
        move = re.fullmatch(r"([KQRBN])([a-h][1-8])", token.text)
        return f"the {_PIECES[move[1]]} on {move[2]}" if move else token.text.lower()
    return token.text


def _clause(words: Sequence[Token]) -> list[Token]:
    """A clause of a note written out; nothing where it is none."""
    text = " ".join(_plain(t) for t in words)
    for said, plain in _RULES:
        match = said.fullmatch(text)
        if match is None:
            continue
        out = re.sub(r" for $| $", "", match.expand(plain).replace("  ", " "))
        first, last = words[0], words[-1]
        return [_token(word, first.start, last.end) for word in out.split()]
    return []


def _token(word: str, start: int, end: int) -> Token:
    (made, *_) = read_words(word) if word != "'s" else (Token("'s", start, end, "whose"),)
    return replace(made, start=start, end=end)


def _without_brackets(tokens: Sequence[Token]) -> list[Token]:
    """The tokens without brackets that name only pieces and squares."""
    kept: list[Token] = []
    at = 0
    while at < len(tokens):
        close = next((n for n in range(at, len(tokens)) if tokens[n].text == ")"), None)
        inside = tokens[at + 1 : close] if tokens[at].text == "(" and close else ()
        if inside and all(
            t.kind in {"move", "square", "number"} or _KNOWN.fullmatch(t.text) for t in inside
        ):
            at = close + 1 if close else at + 1
            continue
        kept.append(tokens[at])
        at += 1
    return kept
