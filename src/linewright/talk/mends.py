"""What a teacher has mended in the transcript itself: "knight to b6 [means Nc6]".

The captions stay as they were said. A move that is meant is heard as an answer is; no slip is told of
the words, nor is anything asked of them. Words that are meant ("the knight on f6 [means the knight
on f3]", "Black castles [means White castles]") are heard, and stand in the script, in the place of
those that were said.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace

from linewright.moves import MAN
from linewright.movewords import put_right_of
from linewright.talk.answers import move_in, overlap, plain
from linewright.talk.decoder import Kind
from linewright.talk.record import Answered, CaptionChange, Heard, HeardSlip, Said, Turn
from linewright.talk.transcript import Mend, Transcript, Word
from linewright.talk.vocabulary import Token, tokenise

_WHOSE = re.compile(r"(?i)(?:white|black) (?:plays )?")
_CASTLES = {"castles": "O-O", "castles kingside": "O-O", "castles queenside": "O-O-O"}


def answers_in_captions(transcript: Transcript) -> Mapping[str, str]:
    """The moves that mends mean, as answers about the words before them."""
    return {_place(transcript, mend): move for mend in transcript.mends if (move := _move(mend))}


def is_mended(transcript: Transcript, said: Said) -> bool:
    """Whether the teacher has mended some of these words in the transcript."""
    return any(overlap((said.first, said.end), mend.words) for mend in transcript.mends)


def with_mends(heard: Heard) -> Heard:
    """The talk without slips and questions in words that are mended.

    A mend that could not be followed as a move is told, unless it says of a slip what was meant.
    """
    transcript = heard.transcript
    if not transcript.mends:
        return heard
    mends = {_place(transcript, mend): mend for mend in transcript.mends}
    answered = tuple(
        one
        for one in heard.answered
        if (mend := mends.get(one.place)) is None
        or (one.fault and not any(_says(mend, slip) for slip in heard.slips))
    )
    return replace(
        heard,
        slips=tuple(slip for slip in heard.slips if not is_mended(transcript, slip.said)),
        questions=tuple(one for one in heard.questions if not is_mended(transcript, one.said)),
        answered=tuple(_as_mend(one) if one.place in mends else one for one in answered),
    )


def as_meant(transcript: Transcript, tokens: Sequence[Token]) -> tuple[Token, ...]:
    """The tokens of a talk with the words that are meant in the place of those that are mended.

    Of a mend that cannot stand for words ("Black goes there [means White plays Be3]") the side alone
    is heard.
    """
    heard = tuple(tokens)
    for mend in transcript.mends:
        meant = _meant(mend, transcript.words)
        if meant is not None:
            heard = _with(heard, *meant)
    return heard


def _meant(mend: Mend, words: Sequence[Word]) -> tuple[str, int, int] | None:
    """What is to be heard for words, and their place; None where nothing is."""
    first = None if move_in(mend.means) else _replaced(mend, words)
    if first is not None:
        return _differing(mend, words, first)
    side = _NAMES_A_SIDE.match(mend.means)
    sides = [k for k in range(*mend.words) if words[k].text.lower() in _SIDES]
    if side is None or len(sides) != 1:
        return None
    return side[0], sides[0], sides[0] + 1


def _with(tokens: tuple[Token, ...], means: str, first: int, end: int) -> tuple[Token, ...]:
    """The tokens with the words from `first` up to `end` told otherwise.

    A word more than stood there is one with the last of them, so that all keep their places.
    """
    before = tuple(token for token in tokens if token.word < first)
    here = [token for token in tokens if first <= token.word < end]
    if not here:
        return tokens
    told = tokenise([(word, "", 0.0) for word in means.split()])
    placed = [replace(token, word=min(first + token.word, end - 1), gap=0.0) for token in told]
    placed[0] = replace(placed[0], gap=here[0].gap)
    placed[-1] = replace(placed[-1], asked=here[-1].asked)
    return (*before, *placed, *(token for token in tokens if token.word >= end))


_SIDES = ("white", "black")
_NAMES_A_SIDE = re.compile(r"(?i)(?:white|black)\b")

_SIDE = r"(?:white|black)"
_NAME = re.compile(
    rf"(?i)(?:(?:the|a|an|this|that|my|your|his|her|our|their|{_SIDE}['’]s) )?(?:{_SIDE} )?"
    rf"(?:{MAN})s?(?: (?:on|at|from) [a-h][1-8])?|[a-h][1-8]|{_SIDE}"
)
"""A man, a square or a side as it is named."""


def names_meant(heard: Heard) -> tuple[CaptionChange, ...]:
    """What stands in the script for words that are mended.

    The words of a mend stand for as many of those before it, where most are the same, else for the
    name that these end with. Words of a move are put right by the move that is meant.
    """
    out = []
    for mend in heard.transcript.mends:
        found = _put_right(heard, mend) or _meant(mend, heard.transcript.words)
        if found is not None:
            means, first, end = found
            words = heard.transcript.words[first:end]
            said = Said(first, end, " ".join(word.text for word in words), words[0].start_ms)
            out.append(CaptionChange(said, means, 1.0))
    return tuple(out)


def _put_right(heard: Heard, mend: Mend) -> tuple[str, int, int] | None:
    """The words of a mended move that say another one, as they are right, and their place."""
    turn = next((turn for turn in heard.turns if _makes(turn, mend)), None)
    if turn is None or not _move(mend):
        return None
    words = heard.transcript.words[slice(*mend.words)]
    board = heard.board(turn.event.base)
    move = board.parse_san(heard.moves[turn.event.node].san)
    right = put_right_of(" ".join(word.text for word in words), board, move).split()
    return _other_words(words, right, mend.words[0]) if len(right) == len(words) else None


def _makes(turn: Turn, mend: Mend) -> bool:
    """Whether a turn is a move that mended words make."""
    return turn.event.kind is Kind.PLAY and overlap(turn.phrase, mend.words)


def _differing(mend: Mend, words: Sequence[Word], first: int) -> tuple[str, int, int]:
    """The words of a mend that differ from what they stand for, and the place of these."""
    end, means = mend.words[1], mend.means.split()
    return _other_words(words[first:end], means, first) or (mend.means, first, end)


def _other_words(
    words: Sequence[Word], means: Sequence[str], first: int
) -> tuple[str, int, int] | None:
    """The words that differ from those said, as many, and their place from `first` on; None if none do."""
    same = [a.text.lower() == b.lower() for a, b in zip(words, means, strict=False)]
    if len(means) != len(words) or all(same):
        return None
    begin, stop = same.index(False), len(same) - same[::-1].index(False)
    return " ".join(means[begin:stop]), first + begin, first + stop


def _replaced(mend: Mend, words: Sequence[Word]) -> int | None:
    """The first of the words that a mend stands for, or None where they cannot be told."""
    first, end = mend.words
    means = mend.means.lower().split()
    said = [word.text.lower() for word in words[first:end]]
    alike = sum(a == b for a, b in zip(said[-len(means) :], means, strict=False))
    if len(means) <= len(said) and 2 * alike >= len(means):
        return end - len(means)
    if _NAME.fullmatch(mend.means):
        starts = range(len(said))
        return next((first + k for k in starts if _NAME.fullmatch(" ".join(said[k:]))), None)
    return None


def _place(transcript: Transcript, mend: Mend) -> str:
    first, end = mend.words
    words = " ".join(plain(word.text) for word in transcript.words[first:end])
    return f"word {first + 1} {words}"


def _move(mend: Mend) -> str:
    means = _WHOSE.sub("", mend.means, count=1)
    return _CASTLES.get(means.lower()) or move_in(means)


def _says(mend: Mend, slip: HeardSlip) -> bool:
    """Whether a mend gives the meaning of a slip in its words."""
    within = overlap((slip.said.first, slip.said.end), mend.words)
    return within and slip.meant.rstrip("+#") == mend.means.rstrip("+#")


def _as_mend(one: Answered) -> Answered:
    return replace(one, answer=f"[means {one.answer}]")
