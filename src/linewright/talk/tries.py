"""Moves asked about in place of one told: "could we have taken the pawn instead of queen d7"."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from linewright.talk.said import Phrase
from linewright.talk.vocabulary import OWNED, Lexicon, words

FAR_TOLD = 40
"""The move that another would take the place of was told at most so many words before."""
PLAIN = 1.0
"""Log odds at least that such words show a move, and on an earlier board."""


def with_tries(
    lexicon: Lexicon, phrases: Mapping[int, Sequence[Phrase]]
) -> dict[int, list[Phrase]]:
    """The phrases, those of a move in place of one told as another one on the board before it.

    Words around such a move are those of a question and so speak against a move, though what
    follows ("no, because queen takes a2") is the line it would lead to.
    """

    def tried(phrase: Phrase) -> Phrase:
        if not _in_place_of_told(lexicon, phrases, phrase):
            return phrase
        cues = replace(
            phrase.cues,
            alternative=max(phrase.cues.alternative, 1),
            supposed=phrase.cues.supposed or _asked(lexicon, phrase.first),
        )
        return replace(
            phrase, cues=cues, told=max(phrase.told, PLAIN), leaves=max(phrase.leaves, PLAIN)
        )

    return {first: [tried(phrase) for phrase in same] for first, same in phrases.items()}


def _in_place_of_told(
    lexicon: Lexicon, phrases: Mapping[int, Sequence[Phrase]], phrase: Phrase
) -> bool:
    """Whether "instead of" and a move told before stand behind a phrase.

    Without a question that move is the one told last, and of this game: "in the last game White
    took the knight instead of bishop h4" shows no line here.
    """
    k = phrase.end
    if (lexicon.text(k), lexicon.text(k + 1)) not in _OTHER_THAN or lexicon.tokens[k].gap >= 0.6:
        return False
    k += 2
    while lexicon.text(k) in _FILLERS:
        k += 1
    others = {other.spec for other in phrases.get(k, ())}
    before = range(max(0, phrase.first - FAR_TOLD), phrase.first)
    told = [one for j in before for one in phrases.get(j, ()) if one.told > -2]
    named = [one for one in told if one.spec in others]
    if not named or _is_of_a_game(lexicon, named[-1].end, phrase.first):
        return False
    last = all(one.first <= named[-1].first or one.end > phrase.first for one in told)
    return last or _asked(lexicon, phrase.first)


def _is_of_a_game(lexicon: Lexicon, first: int, end: int) -> bool:
    """Whether words speak of a game, and so of another one: "in the last game"."""
    return any(lexicon.text(k) in _GAMES for k in range(first, end))


def _asked(lexicon: Lexicon, first: int) -> bool:
    """Whether what might have been is asked just before: "could we have", "should he have"."""
    before = [lexicon.text(k) for k in range(max(0, first - 5), first)]
    return any(text in _MIGHT and "have" in before[n:] for n, text in enumerate(before))


_OTHER_THAN = {("instead", "of"), ("rather", "than")}
_FILLERS = OWNED | words("playing taking moving going with move")
_GAMES = words("game games")
_MIGHT = words("could can might should would couldn't can't shouldn't")
