"""What a speaker takes back before he goes on, left out: "rook h6, no, wait, pawn h3".

What he says then begins anew somewhere in what he said before: with the man ("the knight to f6, no,
sorry, the knight to f3"), with the square alone ("to g4, no, sorry, to g5"), or with another move.
From there on his words are no move, no name and no slip.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from linewright.english.hesitation import SOUNDS, TAKEN_BACK
from linewright.talk.phrases import FILLERS, LEADING, MOVING
from linewright.talk.vocabulary import (
    ARTICLES,
    DIGITS,
    FILES,
    INFINITE,
    SENTENCE,
    Lexicon,
    Token,
    words,
)

FARTHEST = 8
"""So many words at most are taken back."""

NAMED_WITHIN = 3
"""Within so many words what is meant instead names a man, a square or a capture."""

AS_GOOD_AS_NAMED = 1.0
"""A word misheard at this price or below is one of the board's."""

_SIGNS = tuple(
    sorted(
        {tuple(run.replace(",", " ").split()) for run in TAKEN_BACK.split(";")},
        key=len,
        reverse=True,
    )
)
_MORE = (
    ("i", "mean"),
    ("i", "meant"),
    *((word,) for word in words("sorry wait no rather") | SOUNDS),
)
"""What may stand behind a sign before what is meant."""
_LEADS = words("to on onto into")
_OF_A_MOVE = FILLERS | LEADING | MOVING | ARTICLES | frozenset(FILES) | frozenset(DIGITS)
_HEADS = ("man", "castling")


def without_taken_back(lexicon: Lexicon) -> tuple[Token, ...]:
    """The tokens of a lexicon without what is taken back, and without the words that say so.

    >>> from linewright.talk.vocabulary import tokenise
    >>> said = "we put the bishop to g4 no sorry to g5 here".split()
    >>> lexicon = Lexicon.of(tokenise([(word, "", 0.0) for word in said]))
    >>> [token.text for token in without_taken_back(lexicon)]
    ['we', 'put', 'the', 'bishop', 'to', 'g5', 'here']
    """
    tokens, gone = lexicon.tokens, dict[int, int]()
    for sign in range(1, len(tokens)):
        behind = 0 if sign in gone or tokens[sign - 1].asked else _sign(tokens, sign)
        if not behind:
            continue
        before = [k for k in range(max(0, sign - FARTHEST), sign) if k not in gone]
        first = _Restart(lexicon, before, behind).first()
        if first is not None:
            gone |= dict.fromkeys(range(first, behind), first)
    return tuple(
        replace(token, gap=tokens[gone[k - 1]].gap) if k - 1 in gone else token
        for k, token in enumerate(tokens)
        if k not in gone
    )


def _sign(tokens: Sequence[Token], at: int) -> int:
    """Where the words end that take back what was said before `at`; 0 where none do."""
    end = _run(tokens, at, _SIGNS)
    while end and (further := _run(tokens, end, _MORE)):
        end = further
    return end if end < len(tokens) else 0


def _run(tokens: Sequence[Token], at: int, runs: Sequence[tuple[str, ...]]) -> int:
    for run in runs:
        if all(at + n < len(tokens) and tokens[at + n].text == word for n, word in enumerate(run)):
            return at + len(run)
    return 0


@dataclass(frozen=True, slots=True)
class _Restart:
    """The places before a sign that something is taken back, and the place behind it."""

    lexicon: Lexicon
    before: Sequence[int]
    behind: int

    def first(self) -> int | None:
        """The place where what is said behind the sign begins anew; None where it does not."""
        lexicon, head = self.lexicon, self.behind
        near = range(head, min(head + NAMED_WITHIN, len(lexicon.tokens)))
        if not any(self._kind(k) for k in near) or self._says_the_same():
            return None
        while lexicon.text(head) in ARTICLES | _LEADS:
            head += 1
        kind = self._kind(head)
        if not kind or (kind == "square" and self._kind(head + 1) == "man"):
            return None  # "no, wait, the d7 knight is in the way"
        same = self._back_to(kind)
        if same is None and kind in _HEADS:
            of_another = self._back_to(*_HEADS)
            same = self._back_to("square") if of_another is None else of_another
        return None if same is None else self._with_what_leads(same)

    def _with_what_leads(self, first: int) -> int:
        """The place of the same words before what is taken back: "the" of "the night to f6"."""
        k = self.behind
        leads = []
        while self.lexicon.text(k) in ARTICLES | _LEADS:
            leads.append(self.lexicon.text(k))
            k += 1
        for n in range(len(leads), 0, -1):
            if [self.lexicon.text(first - n + j) for j in range(n)] == leads[
                :n
            ] and first - n in self.before:
                return first - n
        return first

    def _back_to(self, *wanted: str) -> int | None:
        """The nearest word of a kind before the sign, with nothing but words of a move behind it."""
        tokens = self.lexicon.tokens
        for k in reversed(self.before):
            if self._kind(k) in wanted or tokens[k].text in wanted:
                return k
            if not self._of_a_move(k) or tokens[k].gap >= SENTENCE:
                return None
        return None

    def _of_a_move(self, k: int) -> bool:
        return bool(self._kind(k)) or self.lexicon.text(k) in _OF_A_MOVE

    def _kind(self, k: int) -> str:
        """What a word names: a man, a square, castling or a capture; nothing for other words."""
        lexicon = self.lexicon
        squares, pieces = lexicon.squares(k), lexicon.pieces(k)
        prices = {
            "square": squares[0].price if squares else INFINITE,
            "man": pieces[0][1] if pieces else INFINITE,
            "castling": lexicon.castle(k),
            "capture": lexicon.take(k),
        }
        kind = min(prices, key=lambda kind: prices[kind])
        return kind if prices[kind] <= AS_GOOD_AS_NAMED else ""

    def _says_the_same(self) -> bool:
        """Whether what is said behind the sign was said before it: "bishop e3, no, wait, bishop e3"."""
        texts = [self.lexicon.text(k) for k in self.before]
        return any(
            texts[-n:] == [self.lexicon.text(self.behind + k) for k in range(n)]
            for n in range(1, len(texts) + 1)
        )
