"""What a teacher asks the class and answers with words: which kind of line the moves asked about are.

"Can he take on d4? No" tells a move that nobody makes, "Should he take? Yes, he takes it" one that
is made. A question that is answered with a move is left as it was heard: the move tells. But after
"why not take on c3? Because then ..." both are supposed, for the answer says why nobody plays so. And
what is tried out behind "should we take?" is supposed, where another move is shown in its place.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from itertools import pairwise

from linewright.talk.decoder import Kind
from linewright.talk.record import LONGEST_SUPPOSED, HeardMove, Turn
from linewright.talk.transcript import Word
from linewright.talk.vocabulary import WHO

_HELPS = frozenset(
    "do does did can could will would should shall may might must is are isn't can't couldn't".split()
)
_SHOULD = frozenset("should shall must can could do does may might will would".split())
"""With these somebody is asked whether a move is to be made."""
_WHO = WHO | {"it"}
_OPENINGS = frozenset(
    [("why", "not"), ("what", "about"), ("how", "about"), ("what", "if"), ("what", "of")]
)
"""Words that open a question about a move."""
_NO = frozenset("no nope never not sadly nothing".split())
_WHY_NOT = ("why", "not")
_BECAUSE = frozenset("because cause cos 'cause since".split())
"""Words that open the answer to what a move asked about would lead to."""
_YES = frozenset("yes yeah yep sure certainly exactly right correct indeed".split())
_OF_COURSE = ("of", "course")

ASKED_WORDS = 6
"""So many words behind a move may end its question, and so many before it open one without stops."""
ANSWER_WORDS = 2
"""Among so many words an answer begins with its because or its no: "well, because"."""
BUT_WORDS = 8
"""So many words behind a yes may take it back."""


def with_kinds_asked(
    moves: Mapping[int, HeardMove], turns: Sequence[Turn], words: Sequence[Word]
) -> dict[int, HeardMove]:
    """The moves, those of a question answered in words of the kind that the answer says.

    A move that is asked about and not gone on from is supposed, unless the answer is yes; so is one
    that the answer speaks against, with the moves of the answer. A supposed move that the answer
    says yes to is shown with what follows, where nothing else is.
    """
    out = dict(moves)
    for turn in turns:
        if turn.event.kind is not Kind.PLAY or turn.node not in out:
            continue
        end = _question_end(words, *turn.phrase)
        if end is None:
            continue
        if out[turn.node].kind == "shown" and _spoken_against(words, end):
            _suppose(out, turns, turn)
        elif out[turn.node].kind == "shown" and not _follows(out, turn.node):
            if not _affirmed(words, end) and _told_once(turns, turn.node):
                out[turn.node] = replace(out[turn.node], kind="supposed")
        elif out[turn.node].kind == "supposed" and _affirmed(words, end):
            _show(out, turn.node)
    for turn in turns:
        if _is_tried(out, turns, turn, words):
            _suppose(out, turns, turn)
    return out


def _is_tried(
    moves: Mapping[int, HeardMove], turns: Sequence[Turn], turn: Turn, words: Sequence[Word]
) -> bool:
    """Whether a move is the first behind a question if one should, and another is shown for it."""
    if turn.event.kind is not Kind.PLAY or turn.node not in moves:
        return False
    here = moves[turn.node]
    later = (t for t in turns[turns.index(turn) + 1 :] if t.event.kind is Kind.PLAY)
    instead = any(
        t.event.base == here.parent and t.node != turn.node and moves[t.node].kind == "shown"
        for t in later
    )
    return here.kind == "shown" and instead and _behind_whether(words, turn.phrase[0])


def _behind_whether(words: Sequence[Word], first: int) -> bool:
    """Whether the sentence before the one that a word stands in asks if one should, with no answer."""
    start = first
    while start > 0 and not words[start - 1].ends_sentence and first - start < ANSWER_WORDS:
        start -= 1
    if start == 0 or "?" not in words[start - 1].mark or _affirmed(words, start):
        return False
    begin = start - 1
    while begin > 0 and not words[begin - 1].ends_sentence and start - begin < 2 * ASKED_WORDS:
        begin -= 1
    texts = [word.text.lower() for word in words[begin:start]]
    return any(a in _SHOULD and b in _WHO for a, b in pairwise(texts))


def _question_end(words: Sequence[Word], first: int, end: int) -> int | None:
    """The word behind the question that a move is told in; None if it is told in none.

    Without stops only a no at once shows that a question was one.
    """
    start = first
    while start > 0 and not words[start - 1].ends_sentence and first - start < 3 * ASKED_WORDS:
        start -= 1
    for k in range(end, min(end + ASKED_WORDS, len(words)) + 1):
        if words[k - 1].ends_sentence:
            asks = "?" in words[k - 1].mark and _opens_question(words[start:end])
            return k if asks else None
    near = max(start, first - ASKED_WORDS)
    follows = _text(words, end) if end < len(words) and not words[end - 1].mark else ""
    if follows in _BECAUSE and _asks_why_not(words[near:end]):
        return end
    return end if follows in _NO and _opens_question(words[near:end]) else None


def _asks_why_not(words: Sequence[Word]) -> bool:
    return _WHY_NOT in pairwise(word.text.lower() for word in words)


def _opens_question(words: Sequence[Word]) -> bool:
    texts = [word.text.lower() for word in words]
    return any(
        (a in _HELPS and b in _WHO) or (a, b) in _OPENINGS for a, b in pairwise([*texts, ""])
    )


def _spoken_against(words: Sequence[Word], end: int) -> bool:
    """Whether the words behind a question open a reason, or say no."""
    texts = [_text(words, k) for k in range(end, min(end + ANSWER_WORDS, len(words)))]
    return not _BECAUSE.isdisjoint(texts) or texts[:1] in ([no] for no in _NO)


def _affirmed(words: Sequence[Word], end: int) -> bool:
    """Whether the words behind a question say yes, and do not take it back."""
    texts = [_text(words, k) for k in range(end, min(end + BUT_WORDS, len(words)))]
    said = texts[:2]
    yes = bool(said) and (
        said[0] in _YES
        or tuple(said) == _OF_COURSE
        or (len(said) == 2 and said[0] in _WHO and said[1] in _HELPS and bool(words[end + 1].mark))
    )
    return yes and "but" not in texts and _NO.isdisjoint(texts)


def _text(words: Sequence[Word], k: int) -> str:
    return words[k].text.lower()


def _told_once(turns: Sequence[Turn], node: int) -> bool:
    """Whether the question alone tells a move."""
    return sum(1 for turn in turns if turn.event.kind is Kind.PLAY and turn.node == node) == 1


def _follows(moves: Mapping[int, HeardMove], node: int) -> bool:
    return any(move.parent == node for move in moves.values())


def _suppose(moves: dict[int, HeardMove], turns: Sequence[Turn], asked: Turn) -> None:
    """Supposes a move asked about, with the moves told of it until the talk goes back.

    Not what is told elsewhere too, nor what goes on for so long that it is taught.
    """
    own = {asked.node}
    later = turns[turns.index(asked) + 1 :]
    for turn in later:
        event = turn.event
        if event.kind is not Kind.PLAY or event.base not in own:
            break
        own.update(event.made)
    goes_on = any(move.parent in own and node not in own for node, move in moves.items())
    if goes_on or not _told_once(turns, asked.node) or len(own) > LONGEST_SUPPOSED:
        return
    for node in own & moves.keys():
        moves[node] = replace(moves[node], kind="supposed")


def _show(moves: dict[int, HeardMove], node: int) -> None:
    """Shows a move and what is supposed behind it, where no other is shown in its place."""
    parent = moves[node].parent
    others = (m for m in moves.values() if m.parent == parent and m.node != node)
    above = moves.get(parent)
    if any(move.kind == "shown" for move in others) or (above and above.kind != "shown"):
        return
    within = {node}
    for number in sorted(moves):
        move = moves[number]
        if number in within or move.parent in within:
            within.add(number)
            if move.kind == "supposed":
                moves[number] = replace(move, kind="shown")
