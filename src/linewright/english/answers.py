"""Questions put together with their answers: "which file is open? The d-file." as one sentence.

Who asks and answers says something. `put_together` reads such a pair as what it says: the words of
the answer stand where the asking word stood ("the d-file is open"), a noun that is only named with
a question mark leads the sentence behind it ("that knight? Pinned." is "that knight is pinned"), and
"castled yet? No." is asked in full. All words keep their places in the text; those of an answer
take the place of the word that asked for it.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace

from linewright.english.sentences import Sentence
from linewright.english.wording import inflected, third_person
from linewright.english.words import Token
from linewright.expressions import expression
from linewright.moves import MAN
from linewright.source import Span

_NO_VERB_IN = expression(
    r"\b(?:is|are|was|were|has|have|had|can|could|will|would|may|might|must|do|does|did|"
    r"should|let|look|see|think|try|because|if|when|castle|castles|castled)\b"
)
"""Words that an answer made of a mere noun does not hold."""

_OF_CHESS = expression(
    r"\b(?:white|black|pawns?|knights?|bishops?|rooks?|queens?|kings?|pieces?|file|files|kingside|queenside|side|ours?|mine|his|hers|"
    r"theirs|yours|we|us|me|you|he|him|she|her|both|neither|none|nobody|nothing|once|twice|thrice|level|equal|even|one|ones|"
    r"castling|pair|diagonal|rank|centre|center|majority|check|mate|fork|pin)\b"
)
"""An answer speaks of the board."""
_LEAD_IN = expression(
    r"(?:(?:and|but|so|well|now|ok|okay|hey|right|oh|ooh|wow|quick|quiz|question|guys|kids|look|hmm|um|er|ah|whoa|"
    r"guess|tell me|can you tell me|do you see|can you see|who can tell me|who can see|any idea|do you know|who knows|"
    r"you may ask|one may ask|you might ask|the question is) ?[,:—–!]? ?)+"
)
_ANSWER_LEAD = expression(
    r"(?:(?:why|oh|well|yes|right|exactly|of course|correct|the answer is|the answer|it is|they are|that is|that would be|"
    r"naturally|obviously|indeed|precisely|simply|just|easy|surely|certainly) ?[,:—–]? ?)+"
)
_ASKING = expression(r"(?:who|whose|what|which|where|how many|how often|how much)\b")
_AUX = {"is", "are", "was", "were", "has", "have", "can"}
_BARE = (
    "have own hold attack hit defend protect guard cover control pin fork eye watch support block "
    "threaten occupy stop face see need lack lose win give keep command target"
).split()
"""Verbs asked with "does": "which piece does it attack?"."""
_PLURAL = {"is": "are", "has": "have", **{third_person(verb): verb for verb in _BARE}}


def put_together(sentences: Sequence[Sentence]) -> Iterator[Sentence]:
    """The sentences, those that ask and those that answer them made one where that says something."""
    at = 0
    while at < len(sentences):
        made = _answered(*sentences[at : at + 2]) if at + 1 < len(sentences) else None
        if made is None:
            yield sentences[at]
            at += 1
            continue
        at += 2
        while more := _asked_again(made, sentences[at : at + 2]):
            made, at = more, at + 2
        yield made


def _asked_again(made: Sentence, more: Sequence[Sentence]) -> Sentence | None:
    """The sentence with "and Black? One." behind "how many has White? Two."."""
    if len(more) < 2 or not more[0].asks:
        return None
    words, answer = _without_stops(more[0].tokens), _without_stops(more[1].tokens)
    counts = len(answer) == 1 and answer[0].kind == "number"
    if not (
        counts
        and re.fullmatch(r"(?:and |but )?(?:white|black|we|he|she|they|you|us|him)", _plain(words))
    ):
        return None
    joint = _word("and", words[0])
    tokens = (*_without_stops(made.tokens), joint, words[-1], *answer)
    return replace(made, span=Span(made.span.start, more[1].span.end), tokens=tokens)


def _plain(tokens: Sequence[Token]) -> str:
    return " ".join(t.text for t in tokens)


def _answered(asked: Sentence, reply: Sentence) -> Sentence | None:
    """A question and what follows it as one sentence that asserts, or None."""
    if asked.reports or asked.supposes or asked.general or reply.asks:
        return None
    words = _without_stops(asked.tokens)
    last = asked.tokens[-1].text if asked.tokens else ""
    lead = _LEAD_IN.match(_plain(words) + " ")
    if lead:
        words = words[len(lead[0].split()) :]
    if not words or last not in {"?", "!"} or reply.reports or reply.supposes:
        return None
    if _ASKING.match(_plain(words)) and (last == "?" or lead):
        made = _filled(words, _answer_words(reply.tokens))
    elif last == "?":
        made = _topic(words, reply.tokens)
    else:
        return None
    if made is None:
        return None
    return replace(
        reply, span=Span(asked.span.start, reply.span.end), tokens=_in_order(made), asks=False
    )


def _in_order(tokens: Sequence[Token]) -> tuple[Token, ...]:
    """The tokens, none of which stands before the one it follows."""
    found: list[Token] = []
    for token in tokens:
        last = found[-1] if found else token
        behind = token.start >= last.start
        found.append(token if behind else replace(token, start=last.start, end=last.end))
    return tuple(found)


def _without_stops(tokens: Sequence[Token]) -> list[Token]:
    """The tokens without the stops at either end."""
    found = list(tokens)
    while found and found[-1].kind == "stop":
        found.pop()
    while found and found[0].kind == "stop":
        found.pop(0)
    return found


def _answer_words(tokens: Sequence[Token]) -> list[Token]:
    """The noun that an answer consists of; nothing where it says more, or something else."""
    words = _without_stops(tokens)
    if lead := _ANSWER_LEAD.match(_plain(words) + " "):
        words = words[len(lead[0].split()) :]
    cut = next(
        (n for n, t in enumerate(words) if t.text in {",", "!", "—", "–", ";", ":", "("}), None
    )
    if cut is not None and not re.search(r"\band\b", _plain(words[cut:])):
        words = words[:cut]
    text = _plain(words)
    named = any(t.kind in {"square", "number", "move", "whose"} for t in words) or _OF_CHESS.search(
        text
    )
    return words if named and len(words) <= 12 and not _NO_VERB_IN.search(text) else []


def _set(words: Sequence[Token], at: Token) -> list[Token]:
    """Words of an answer at the place of the word that asked for them."""
    return [replace(t, start=at.start, end=at.end) for t in words]


def _word(text: str, at: Token) -> Token:
    return Token(text, at.start, at.end)


def _filled(asked: list[Token], answer: list[Token]) -> list[Token] | None:
    """The question as a statement, with the answer where it asks."""
    if not answer:
        return None
    text = [t.text for t in asked]
    if text[:2] in (["how", "many"], ["how", "often"]):
        return _counted(asked, answer)
    if text[0] == "whose":
        return _whose(asked, answer)
    if text[0] == "where":
        return _where(asked, answer)
    noun = _until_verb(asked)
    if noun is None:
        return None
    rest = asked[noun:]
    said = _with_noun(answer, asked[1:noun])
    if rest[0].text in {"does", "do", "did", "has", "have", "can"} and len(rest) > 2:
        moved = _asked_of(rest, said)
        if moved is not None:
            return moved
    if (
        text[0] == "what"
        and noun == 1
        and text[1] in {"is", "are"}
        and text[2:3]
        and text[2] in _SUBJECTS
    ):
        return [*rest[1:], rest[0], *_set(answer, rest[-1])]
    return [*_set(said, asked[0]), *_agreeing(rest, said)]


_SUBJECTS = set("the this that it our his white black my her your".split())


def _agreeing(rest: list[Token], said: Sequence[Token]) -> list[Token]:
    """The verb behind an answer, plural where the answer joins several."""
    plural = any(t.text == "and" for t in said)
    verb = _PLURAL.get(rest[0].text, rest[0].text)
    return [_word(verb, rest[0]), *rest[1:]] if plural else rest


def _until_verb(asked: Sequence[Token]) -> int | None:
    """Where the verb of "which black piece attacks d4" stands."""
    verbs = {
        *_AUX,
        "does",
        "do",
        "did",
        *_BARE,
        *map(third_person, _BARE),
        "stands",
        "sits",
        "moves",
        "guards",
        "gives",
    }
    for n, token in enumerate(asked[1:], 1):
        if token.text in verbs and token.text not in {"pin", "fork", "check"}:
            return n
        if n > 5:
            return None
    return None


def _with_noun(answer: Sequence[Token], noun: Sequence[Token]) -> list[Token]:
    """ "the one on d5" with the noun that was asked about; "mine" and "White's" too."""
    names = [
        t for t in noun if t.kind == "word" and t.text not in {"of", "the", "white", "black", "'s"}
    ]
    last = next(
        (
            t
            for t in reversed(names)
            if re.match(
                r"(?:pawn|knight|bishop|rook|queen|king|file|piece|square|side|player)s?$", t.text
            )
        ),
        None,
    )
    if last is None:
        return list(answer)
    made = [
        replace(t, text=last.text) if t.text in {"one", "ones"} and n else t
        for n, t in enumerate(answer)
    ]
    if made[-1].kind == "whose":
        made.append(_word(last.text, made[-1]))
    return made


def _asked_of(rest: list[Token], said: Sequence[Token]) -> list[Token] | None:
    """ "does the bishop attack" with its object: "the bishop attacks the knight"."""
    aux = rest[0].text
    if aux in {"has", "have", "can"}:
        verb = next(
            (
                n
                for n, t in enumerate(rest[1:], 1)
                if n > 1
                and re.match(r"(?:\w+ed|lost|won|kept|got|had|castle|take|capture|attack)$", t.text)
            ),
            None,
        )
        if verb is None:
            return None
        return [*rest[1:verb], rest[0], rest[verb], *_set(said, rest[verb]), *rest[verb + 1 :]]
    verb = next((n for n, t in enumerate(rest[1:], 1) if t.text in _BARE and n > 1), None)
    if verb is None:
        return None
    told = rest[verb]
    doing = (
        inflected(told.text)["past"]
        if aux == "did"
        else told.text
        if aux == "do"
        else third_person(told.text)
    )
    return [*rest[1:verb], _word(doing, told), *_set(said, told), *rest[verb + 1 :]]


def _counted(asked: list[Token], answer: list[Token]) -> list[Token] | None:
    """ "how many islands does White have? Two." as "White has two islands"."""
    number = [
        t
        for t in answer
        if t.kind == "number" or t.text in {"none", "no", "once", "twice", "thrice", "not", "times"}
    ]
    if not number or len(answer) > 4:
        return None
    number = [
        _word("no", t) if t.text in {"none", "zero"} else t
        for t in number
        if t.text not in {"times", "not"}
    ]
    if not number:
        return None
    noun = next(
        (
            n
            for n, t in enumerate(asked)
            if t.text in {*_AUX, "does", "do", "did", *_BARE, *map(third_person, _BARE)} and n > 1
        ),
        None,
    )
    if noun is None:
        return None
    what, rest = asked[2:noun], asked[noun:]
    often = asked[1].text == "often" or (what and what[-1].text == "times")
    once = number[0].text in {"once", "twice", "thrice"}
    said = [
        *_set(number[:1], asked[0]),
        *([] if once else [_word("times", asked[1])] if often else what),
    ]
    if often:
        return _so_often(rest, said)
    if rest[0].text in {"does", "do", "did", "has", "have"} and len(rest) > 2:
        return _asked_of(rest, said)
    if rest[0].text in {"has", "have"} and len(rest) == 2:
        subject = _set([rest[1], rest[0]], asked[0])  # "how many pawns has White?"
        return [*subject, *_at_end(said, rest[1])]
    if rest[0].text in {"is", "are"} and rest[1:]:
        place = rest[1].text
        if place in {"there", "on", "in", "left"}:
            tail = rest[2:] if place == "there" else rest[1:]
            return [_word("there", asked[0]), _word("are", asked[0]), *said, *tail]
    return [*said, *rest]


def _so_often(rest: list[Token], said: list[Token]) -> list[Token] | None:
    """ "is f7 attacked" and "twice" as "f7 is attacked twice"."""
    if rest[0].text not in {"is", "are"}:
        return None
    ends = ("ed", "hit")
    mid = next((n for n, t in enumerate(rest) if n > 1 and t.text.endswith(ends)), None)
    if mid is None:
        return None
    return [*rest[1:mid], rest[0], rest[mid], *_at_end(said, rest[mid]), *rest[mid + 1 :]]


def _at_end(words: Sequence[Token], at: Token) -> list[Token]:
    return _set(words, at)


def _whose(asked: list[Token], answer: list[Token]) -> list[Token] | None:
    """ "whose move is it? Black's." as "it is Black's move"."""
    text = _plain(asked)
    match = re.match(r"whose (?P<what>move|turn|go) (?:is it|now|next)", text)
    if match is None or len(answer) > 3:
        return None
    owner = [t for t in answer if t.text not in {"move", "turn"}]
    first = asked[0]
    if owner and owner[-1].kind != "whose" and owner[-1].text in {"white", "black"}:
        owner = [*owner, Token("'s", first.start, first.end, "whose")]
    own = {"ours": "our", "mine": "my", "yours": "your", "his": "his", "hers": "her"}
    owner = [replace(t, text=own.get(t.text, t.text)) for t in owner]
    return [_word("it", first), _word("is", first), *_set(owner, first), _word("move", first)]


def _where(asked: list[Token], answer: list[Token]) -> list[Token] | None:
    """ "where is the king? Still on e8." as "the king is still on e8"."""
    if len(asked) < 3 or asked[1].text not in {"is", "are"}:
        return None
    still = answer[0].text in {"still", "already", "right"}
    if answer[1 if still and len(answer) > 1 else 0].text not in {
        "on",
        "in",
        "at",
        "behind",
        "off",
    }:
        return None
    return [*asked[2:], asked[1], *_set(answer, asked[-1])]


_HOWS = (
    r"(?:pinned|castled|hanging|undefended|unprotected|loose|open|closed|half open|isolated|passed|backward|doubled|attacked|"
    r"defended|protected|guarded|covered|trapped|en prise|gone|developed|blocked|overloaded|mate|check|in check|legal|level|equal|"
    r"unguarded|safe|off|exchanged|moved|castled already|developed already|lost|up a pawn|down a pawn|ahead|behind)"
)
_BARE_QUESTION = expression(
    rf"(?P<who>[^,;:.]*?\b(?:pawns?|knights?|bishops?|rooks?|queens?|king|kings|file|files|material|white|black|we|he|she|[a-h][1-8]|diagonal))"
    rf" (?P<how>(?:still |already |really )?{_HOWS})(?: yet| already| now| again| there| then| too| by (?:.*)| to the (?:king|queen|rook)| twice| once)?$"
)
_YES_NO = expression(
    r"(?:yes|yep|yeah|correct|indeed|of course|certainly|exactly|sure|absolutely|no|nope|not yet|not at all|never|by no means|not any more)\b"
)
_GOES_ON = expression(
    rf"(?:(?:{_HOWS}|stapled|nailed|glued|pinned|stuck|tied|protected|defended|guarded|held|wide open|safely|completely|totally|on|behind|"
    r"already|still|not|never|nowhere|off|all alone|alone|out of play|back|in|under|gone|taken|traded|swapped|exchanged|there for the taking|free)\b|"
    r"(?:only|just) (?:one|the|two)\b)"
)
_NAMED = expression(
    r"(?:(?:the|that|this|these|those|our|my|his|her|your|their|white|black|white 's|black 's|any|a|an|and|dark|light|squared|half|open|good|bad|"
    r"other|poor|old|doubled|isolated|passed|backward|first|second|extra|own|king 's|queen 's|enemy|central|whole|back|long|last|bishop|pawn|on|of|in|at|"
    r"[a-h]|[a-h][1-8]|kingside|queenside|seventh|eighth|material|file|files|pair|king|queen|rook|knight|bishop|pawn|kings|queens|rooks|knights|"
    r"bishops|pawns|piece|pieces|square|castling|diagonal|rank|structure|centre|center|majority|count|islands|chain) )+$"
)


def _topic(asked: list[Token], reply: Sequence[Token]) -> list[Token] | None:
    """A noun with a question mark before what is said of it."""
    if re.match(rf"(?:{MAN}) [a-h][1-8]\b", _plain(asked)):
        asked = [_word("the", asked[0]), *asked]
    text, answer = _plain(asked), _plain(reply)
    if match := _BARE_QUESTION.match(text):
        if not _YES_NO.match(answer) or re.match(
            r"(?:is|are|has|have|can|does|do|did|was|were)\b", text
        ):
            return None
        return _told_back(asked, match, answer)
    if not _NAMED.match(text + " ") or len(asked) > 9:
        return None
    comma = _word(",", asked[-1])
    if _GOES_ON.match(answer):
        be = (
            "are"
            if re.search(r"(?:pawns|bishops|knights|rooks|queens|kings|pieces|files)$", text)
            else "is"
        )
        return [*asked, _word(be, asked[-1]), *reply]
    return [*asked, replace(comma, kind="stop"), *reply]


def _told_back(asked: list[Token], match: re.Match[str], answer: str) -> list[Token] | None:
    """ "knight c6 pinned? No." as "knight c6 is not pinned"."""
    count = len(match["who"].split())
    be = "has" if match["how"].startswith(("castled", "moved", "developed")) else "is"
    no = re.match(r"no|nope|never|by no", answer)
    joint = asked[count]
    said = [_word(be, joint), *([_word("not", joint)] if no else [])]
    return [*asked[:count], *said, *asked[count:]]
