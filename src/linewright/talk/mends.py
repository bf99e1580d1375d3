"""What a teacher has mended in the transcript itself: "knight to b6 [means Nc6]".

The captions stay as they were said. A move that is meant is heard as an answer is; no slip is told of
the words, nor is anything asked of them. Words that are meant ("the knight on f6 [means the knight
on f3]", "Black castles [means White castles]") are heard, and stand in the script, in the place of
those that were said.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

import chess

from linewright.moves import MAN
from linewright.movewords import put_right_of
from linewright.talk.answers import move_in, overlap, plain
from linewright.talk.cues import PLAYED
from linewright.talk.decoder import Kind
from linewright.talk.record import Answered, CaptionChange, Heard, HeardSlip, Said, Turn
from linewright.talk.transcript import MENDED_WORDS, Mend, Transcript, Word
from linewright.talk.vocabulary import ARTICLES, CASTLES, PIECES, TAKES, Token, tokenise, words

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
    place = None if move_in(mend.means) else _replaced(mend, words)
    if place is not None:
        return _differing(mend, words, *place)
    side = _NAMES_A_SIDE.match(mend.means)
    k = _side_said(mend, words) if side else None
    if side is None or k is None or words[k].text.lower() == side[0].lower():
        return None
    return side[0] if words[k].text[0].isupper() else side[0].lower(), k, k + 1


def _side_said(mend: Mend, words: Sequence[Word]) -> int | None:
    """The last side in the words of a mend, if their move is told of it ("Black goes to e3").

    "White is happy, so the bishop goes to c5" names a side of which something else is told.
    """
    first, end = mend.words
    said = [word.text.lower() for word in words[first:end]]
    k = next((k for k in range(len(said) - 1, -1, -1) if said[k] in _SIDES), None)
    if k is None:
        return None
    rest = said[k + 1 :]
    rest = rest[bool(rest and re.fullmatch(MAN, rest[0])) :]
    named = not rest and bool(re.fullmatch(_SIDE, mend.means, re.IGNORECASE))
    return first + k if named or _is_one_move(rest) else None


def _is_one_move(said: Sequence[str]) -> bool:
    """Whether the words behind a name tell one move of it, and nothing else: "goes back to e3"."""
    verb = next((k for k, text in enumerate(said) if not text.endswith("ly")), len(said))
    rest = said[verb + 1 :]
    squares = [k for k, text in enumerate(rest) if _SQUARE.fullmatch(text)]
    moves = bool(said[verb : verb + 1]) and said[verb] in _MOVES
    return moves and squares in ([], [len(rest) - 1]) and (_MOVES | _JOINS).isdisjoint(rest)


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
_MEN = frozenset(PIECES) | CASTLES
_SQUARE = re.compile("[a-h][1-8]")
_MOVES = PLAYED | TAKES | CASTLES | words("puts put brings brought drops jumps hops steps returns")
_GOES = (_MOVES - TAKES - CASTLES) | words("gone going move moving come drop hop jump")
_BACK_TO = words("to onto back down up over away across home only straight quietly")
_VERB_WITHIN = 4
_JOINS = words("and or but so then while because when as since if though which who where")
_NAMES_A_SIDE = re.compile(r"(?i)(?:white|black)\b")

_SIDE = r"(?:white|black)"
_LEADS = ARTICLES | words("white black white's black's plays")
_NAME = re.compile(
    rf"(?i)(?:(?:the|a|an|this|that|my|your|his|her|our|their|{_SIDE}['’]s) )?(?:{_SIDE} )?"
    rf"(?:{MAN})s?(?: (?:on|at|from) [a-h][1-8])?"
)
"""A man as it is named."""


def names_meant(heard: Heard) -> tuple[CaptionChange, ...]:
    """What stands in the script for words that are mended.

    The words of a mend stand for as many of those before it, where most are the same, else for the
    last man that is named there. Words of a move are put right by the move that is meant.
    """
    out: list[CaptionChange] = []
    for mend in heard.transcript.mends:
        found = _put_right(heard, mend) or _meant(mend, heard.transcript.words)
        if found is not None:
            out.extend(_changes(heard.transcript.words, *found))
    return tuple(out)


def _changes(words: Sequence[Word], means: str, first: int, end: int) -> Iterator[CaptionChange]:
    """The changes of words: one for each where as many are meant, so that a move may begin among them."""
    told = means.split()
    places = [(first + k, first + k + 1, text) for k, text in enumerate(told)]
    for begin, stop, text in places if len(told) == end - first else [(first, end, means)]:
        said = " ".join(word.text for word in words[begin:stop])
        if said.lower() != text.lower():
            yield CaptionChange(Said(begin, stop, said, words[begin].start_ms), text, 1.0)


def _put_right(heard: Heard, mend: Mend) -> tuple[str, int, int] | None:
    """The words of a mended move that say another one, as they are right, and their place.

    The words of a mend may begin in those of moves before it, which are right as they are.
    """
    made = [turn for turn in heard.turns if turn.event.kind is Kind.PLAY]
    turn = next((turn for turn in reversed(made) if _makes(heard, turn, mend)), None)
    if turn is None:
        return None
    told = max((t.phrase[1] for t in made if t.phrase[1] <= turn.phrase[0]), default=0)
    first, end = max(turn.phrase[0], mend.words[0]), mend.words[1]
    said = heard.transcript.words
    while first > max(told, mend.words[0]) and said[first - 1].text.lower() in _LEADS:
        first -= 1
    board = heard.board(turn.event.base)
    move = board.parse_san(heard.moves[turn.event.node].san)
    right = put_right_of(" ".join(word.text for word in said[first:end]), board, move).split()
    if right:
        return _other_words(said[first:end], right, first) if len(right) == end - first else None
    man = board.piece_at(move.from_square)
    same = man is not None and _man_before(said, first) in ("", man.symbol().upper())
    return _other_square(said, first, end, move) if same else None


def _man_before(words: Sequence[Word], first: int) -> str:
    """The letter of the last man named in the sentence before some words; empty without one."""
    for word in reversed(words[max(0, first - MENDED_WORDS) : first]):
        if set(word.mark) & set(".!?…"):
            return ""
        if word.text.lower() in PIECES:
            return PIECES[word.text.lower()]
    return ""


def _other_square(
    words: Sequence[Word], first: int, end: int, move: chess.Move
) -> tuple[str, int, int] | None:
    """The square of a move in place of the one that words without a man end with: "back to e3".

    The man stands before a comma, or is not named: "The bishop, attacked, goes back to e3". Only the
    square that a man goes to is it: "leaves e3" and "with an eye on e3" name another place.
    """
    texts = [word.text.lower() for word in words[first:end]]
    squares = [text for text in texts if _SQUARE.fullmatch(text)]
    meant = chess.square_name(move.to_square)
    if squares != texts[-1:] or squares == [meant] or not _MEN.isdisjoint(texts):
        return None
    way = [word.text.lower() for word in words[max(0, first - _VERB_WITHIN) : end - 1]]
    going = [k for k, text in enumerate(way) if text in _GOES]
    rest = way[going[-1] + 1 :] if going else way[-2:]
    goes = rest[-1:] in (["to"], ["onto"]) and _BACK_TO.issuperset(rest)
    if not goes or not (going or "back" in rest):
        return None
    return meant, end - 1, end


def _makes(heard: Heard, turn: Turn, mend: Mend) -> bool:
    """Whether a turn is the move that a mend means, made in its words."""
    if not overlap(turn.phrase, mend.words):
        return False
    try:
        meant = heard.board(turn.event.base).parse_san(_move(mend))
    except ValueError:
        return False
    return meant.uci() == heard.moves[turn.event.node].uci


def _differing(mend: Mend, words: Sequence[Word], first: int, end: int) -> tuple[str, int, int]:
    """The words of a mend that differ from what they stand for, and the place of these."""
    return _other_words(words[first:end], mend.means.split(), first) or (mend.means, first, end)


def _other_words(
    words: Sequence[Word], means: Sequence[str], first: int
) -> tuple[str, int, int] | None:
    """The words that differ from those said, as many, and their place from `first` on; None if none do."""
    same = [a.text.lower() == b.lower() for a, b in zip(words, means, strict=False)]
    if len(means) != len(words) or all(same):
        return None
    begin, stop = same.index(False), len(same) - same[::-1].index(False)
    return " ".join(means[begin:stop]), first + begin, first + stop


def _replaced(mend: Mend, words: Sequence[Word]) -> tuple[int, int] | None:
    """The place of the words that a mend stands for, or None where it cannot be told."""
    first, end = mend.words
    means = mend.means.lower().split()
    said = [word.text.lower() for word in words[first:end]]
    alike = sum(a == b for a, b in zip(said[-len(means) :], means, strict=False))
    if len(means) <= len(said) and 2 * alike >= len(means):
        return end - len(means), end
    if _NAME.fullmatch(mend.means):
        return _last_man(said, first)
    return None


def _last_man(said: Sequence[str], first: int) -> tuple[int, int] | None:
    """The place of the last man named, if nothing follows but the move told of him."""
    for end in range(len(said), 0, -1):
        begin = next((k for k in range(end) if _NAME.fullmatch(" ".join(said[k:end]))), None)
        if begin is not None:
            rest = said[end:]
            alone = not rest or _is_one_move(rest)
            return (first + begin, first + end) if alone else None
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
