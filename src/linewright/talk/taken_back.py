"""What a speaker takes back before he goes on, left out: "rook h6, no, wait, pawn h3".

What he says then begins anew somewhere in the last move he said before: with the man ("the knight
to f6, no, sorry, the knight to f3"), with the square alone ("to g4, no, sorry, to g5"), or with
another move. From there on his words are no move, no name and no slip. Where he may as well object
to a move he asked about, or answer it ("no, wait, g5 is hit by the pawn"), nothing is left out.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from linewright.english.hesitation import SOUNDS, TAKEN_BACK
from linewright.expressions import expression
from linewright.talk.phrases import FILLERS, LEADING, MOVING
from linewright.talk.vocabulary import (
    ARTICLES,
    COMMA,
    DIGITS,
    FILES,
    INFINITE,
    SENTENCE,
    Lexicon,
    Token,
    begins_question,
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
_SIDES = words("queenside kingside queen's king's long short")
_MIGHT = words("could should would might may wants want")
_ASKING = words("can will is are does do did has")
_ASKED = words("white black there this that the")
_ASKED_ABOUT = {("what", "about"), ("how", "about"), ("what", "if")}
_BEFORE_A_VERB = words("just simply also still now then here only always")
_IS = words("is was has had")
_VERBS = words("can can't cannot could will would won't isn't doesn't wasn't did")

_LETTERS = {"man": "m", "square": "s", "castling": "c", "capture": "x"}
_LAST_MOVE = expression(r"(?:c|(?:m[wtf]*|f)?x[wt]*(?:m[wt]*)?s?|m[wtf]*(?:st+)?s?|s)[wt]*$")
"""The last move in a clause, finished or not. Each word is a letter: a man, a square, castling, a
capture (x), a file, one such as "to" (t) or another word of a move."""
_TAKEN = expression(r"m[wtf]*$")
_FINISHED = expression(r"(?:[cs]|x[wt]*m)[wt]*$")
_WHOLE = expression(r"c|(?:m[wtf]*|f)x[wtf]*[ms]|m[wtf]*s")
"""A move that stands for the whole of the one before, man and all."""
_NAME = expression(r"[cs]|m[wtf]*s|(?:m[wtf]*|f)?x[wtf]*(?:m[wtf]*)?s?|m")


def without_taken_back(lexicon: Lexicon) -> tuple[Token, ...]:
    """The tokens of a lexicon without what is taken back, and without the words that say so.

    >>> from linewright.talk.vocabulary import tokenise
    >>> said = "we put the bishop to g4 no sorry to g5 here".split()
    >>> lexicon = Lexicon.of(tokenise([(word, "", 0.0) for word in said]))
    >>> [token.text for token in without_taken_back(lexicon)]
    ['we', 'put', 'the', 'bishop', 'to', 'g5', 'here']
    """
    tokens, gone, behind = lexicon.tokens, dict[int, int](), 0
    for sign in range(1, len(tokens)):
        end = _sign(tokens, sign) if sign >= behind else 0
        behind = max(behind, end)
        if not end or end == len(tokens) or tokens[sign].gap >= SENTENCE or tokens[sign - 1].asked:
            continue
        before = [k for k in range(max(0, sign - FARTHEST), sign) if k not in gone]
        first = _Restart(lexicon, before, behind, _is_supposed(tokens, sign)).first()
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
    return end


def _is_supposed(tokens: Sequence[Token], sign: int) -> bool:
    """Whether the move before a sign is asked about or wished for, so that it may be answered."""
    first = sign - 1
    while first and sign - first < FARTHEST and tokens[first].gap < SENTENCE:
        first -= 1
    said = [token.text for token in tokens[first:sign]]
    pairs = list(pairwise(said))
    asked = begins_question(said) or any(a in _ASKING and b in _ASKED for a, b in pairs)
    return asked or not _MIGHT.isdisjoint(said) or not _ASKED_ABOUT.isdisjoint(pairs)


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
    supposed: bool

    def first(self) -> int | None:
        """The place where what is said behind the sign begins anew; None where it does not."""
        lexicon, head = self.lexicon, self.behind
        near = range(head, min(head + NAMED_WITHIN, len(lexicon.tokens)))
        if not any(self._kind(k) for k in near) or self._says_the_same():
            return None
        while lexicon.text(head) in ARTICLES | _LEADS:
            head += 1
        if self._kind(head) == "square" and self._kind(head + 1) == "man":
            return None  # "no, wait, the d7 knight is in the way"
        same = self._begun_anew(head)
        return None if same is None else self._with_what_leads(same)

    def _begun_anew(self, head: int) -> int | None:
        """The place in the last move before the sign that the words from `head` on stand for."""
        last = self._last_move()
        said = "".join(map(self._letter, last))
        name = _NAME.match("".join(map(self._letter, self._clause_behind(head))))
        meant = name[0] if name is not None else ""
        if not said or not meant:
            return None
        if _FINISHED.search(said) and (self.supposed or self._is_answer(head + len(meant))):
            return None
        if meant[0] in "sx":
            at = said.rfind(meant[0])
        elif not _TAKEN.search(said):
            at = 0 if _WHOLE.match(meant) else -1
        elif "x" in meant or "x" not in said:
            at = 0 if _WHOLE.match(meant) else said.rfind("m")
        else:
            at = said.rfind("m") if meant == "m" else -1
        return last[at] if at >= 0 else None

    def _is_answer(self, k: int) -> bool:
        """Whether a verb stands where a name ends: "h6 kicks it", "the king on g8 takes"."""
        while self.lexicon.text(k) in DIGITS or self.lexicon.text(k) in _BEFORE_A_VERB:
            k += 1
        if k >= len(self.lexicon.tokens) or self.lexicon.tokens[k].gap >= COMMA:
            return False
        text = self.lexicon.text(k)
        acts = text.endswith("s") and not text.endswith(("ss", "'s"))
        acts = acts and self._kind(k) in ("", "capture")
        return acts or text in _VERBS

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

    def _last_move(self) -> Sequence[int]:
        """The places of the last move before the sign, finished or not; none where that is unclear.

        A pause parts it from the move before, and so does the square that one ends with.
        """
        clause: list[int] = []
        for k in reversed(self.before):
            if self._letter(k) == "." or (clause and self._parts(clause[0])):
                break
            clause.insert(0, k)
        letters = "".join(map(self._letter, clause))
        found = _LAST_MOVE.search(letters)
        if found is None:
            return ()
        ahead = letters[: found.start()].rstrip("w")
        torn = ahead.endswith(("x", "s") if found[0].startswith("x") else "x")
        return () if torn else clause[found.start() :]

    def _clause_behind(self, head: int) -> Sequence[int]:
        """The places of words from `head` on, up to a pause or to what is said of them."""
        clause = list(range(head, min(head + FARTHEST, len(self.lexicon.tokens))))
        ends = [
            n for n, k in enumerate(clause) if n and (self._parts(k) or self.lexicon.text(k) in _IS)
        ]
        return clause[: ends[0]] if ends else clause

    def _parts(self, k: int) -> bool:
        """Whether a pause before a word parts two moves; none does in "the knight, to f6"."""
        token = self.lexicon.tokens[k]
        return token.gap >= (SENTENCE if token.text in _LEADS else COMMA)

    def _letter(self, k: int) -> str:
        """A word of a move as a letter of `_LAST_MOVE`; a full stop for other words."""
        kind, text = self._kind(k), self.lexicon.text(k)
        if kind or text not in _OF_A_MOVE:
            return _LETTERS.get(kind, ".")
        return "t" if text in _LEADS else "f" if text in FILES else "w"

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
        if self._kind(self.behind) == "castling" and self.lexicon.text(self.behind + 1) in _SIDES:
            return False  # "castles, no, sorry, castles queenside"
        return any(
            texts[-n:] == [self.lexicon.text(self.behind + k) for k in range(n)]
            for n in range(1, len(texts) + 1)
        )
