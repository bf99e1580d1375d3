"""A text cut into words, numbers, squares and moves, with contractions written out."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from linewright.expressions import expression
from linewright.notation import MOVE, WrittenMove, written
from linewright.number_words import NUMBERS, TENS


@dataclass(frozen=True, slots=True)
class Token:
    """One word of a text.

    `text` is its normal form (lower case, contractions written out, so several tokens may share
    one place), `start` and `end` where it stands. `kind` is ``word``, ``number``, ``square``,
    ``move``, ``stop`` (punctuation) or ``whose`` (the 's of a genitive); `move` is the written
    move and `black` whether it was written as Black's, `number` its move number or the value.
    """

    text: str
    start: int
    end: int
    kind: str = "word"
    move: WrittenMove | None = None
    number: int | None = None
    black: bool | None = None
    hyphen: bool = False


_CONTRACTED = {
    "can't": "can not",
    "cannot": "can not",
    "won't": "will not",
    "shan't": "shall not",
    "ain't": "is not",
    "let's": "let us",
    "i'm": "i am",
    "he'd": "he would",
    "she'd": "she would",
    "they'd": "they would",
    "we'd": "we would",
    "it'd": "it would",
    "you'd": "you would",
    "i'd": "i would",
    "that'd": "that would",
    "this'd": "this would",
    "there'd": "there would",
    "who'd": "who would",
    "that'll": "that will",
}
_SUBJECTS = {
    "it",
    "that",
    "he",
    "she",
    "there",
    "here",
    "what",
    "who",
    "this",
    "everything",
    "nothing",
    "nobody",
    "which",
}
_HAS_BEFORE = {
    "castled",
    "lost",
    "won",
    "got",
    "given",
    "sacrificed",
    "regained",
    "gained",
    "had",
    "been",
    "moved",
    "played",
    "taken",
    "traded",
    "exchanged",
    "fianchettoed",
    "forfeited",
    "swapped",
    "dropped",
    "managed",
    "left",
    "become",
    "developed",
    "grabbed",
    "recaptured",
    "run",
    "gone",
    "come",
    "arrived",
    "ended",
    "landed",
    "settled",
    "found",
    "started",
    "captured",
    "never",
    "yet",
    "brought",
    "put",
    "kept",
    "retreated",
    "advanced",
    "opened",
    "doubled",
    "controlled",
    "hit",
    "completed",
    "finished",
    "transposed",
    "led",
    "turned",
}
_IS_BEFORE = {
    "a",
    "an",
    "in",
    "not",
    "pinned",
    "attacked",
    "better",
    "worse",
    "up",
    "down",
    "to",
    "ahead",
    "behind",
    "on",
    "still",
    "now",
    "just",
    "no",
    "under",
    "defended",
    "undefended",
    "protected",
    "unprotected",
    "trapped",
    "stuck",
    "overloaded",
    "winning",
    "losing",
    "about",
    "unable",
    "able",
    "free",
    "ready",
    "threatening",
    "loose",
    "en",
    "isolated",
    "backward",
    "passed",
    "doubled",
    "hanging",
    "covered",
    "guarded",
    "blocked",
    "open",
    "closed",
    "half",
    "also",
    "already",
    "completely",
    "really",
    "mated",
    "stalemated",
    "checkmated",
    "short",
    "level",
    "equal",
    "caught",
    "overworked",
    "attacking",
    "defending",
    "pinning",
    "hitting",
    "forking",
    "double",
    "safe",
    "mate",
    "check",
    "fine",
    "lost",
    "out",
    "even",
    "balanced",
    "worth",
    "won",
    *(
        "wide totally fully well quite so lined aimed nailed stapled glued tucked overprotected unguarded unattended backed held hemmed "
        "shut boxed gone there very too fixed blockaded stuck tied surrounded doomed supported propped exposed ripe opposite beside "
        "between sandwiched aiming staring looking"
    ).split(),
}
_BETWEEN = set(
    "only still also already just now never always both clearly really since even".split()
)
_AFTER_DOING = set(
    "a an the to on his her our my your their this that these those it him them us two three four "
    "both nothing with for at in into by from down up out over all right straight directly hard away back along towards against".split()
)
"""After "'s" and a word in "-ing" these tell that "'s" is "is": "White's playing the Italian"."""
_NOUNS = {
    "check",
    "retreat",
    "capture",
    "file",
    "files",
    "development",
    "island",
    "islands",
    "chain",
    "line",
    "lines",
    "diagonal",
    "territory",
    "half",
    "king",
    "queen",
    "rook",
    "bishop",
    "knight",
    "pawn",
    "kings",
    "queens",
    "rooks",
    "bishops",
    "knights",
    "pawns",
    "piece",
    "pieces",
    "position",
    "majority",
    "minor",
    "side",
    "square",
    "squares",
    "structure",
    "move",
    "turn",
    "army",
    "camp",
    "only",
    "own",
    "best",
    "threat",
    "idea",
    "plan",
    "point",
    "bishop's",
    "king's",
    "queen's",
    "right",
    "advantage",
    "lead",
}

_HYPHENS = {"-", "–", "‑"}
_SQUARE_PAIR = expression(r"([a-h][1-8])[-–‑]([a-h][1-8])(?!\w)")
_NUMBERED = expression(r"(\d{1,3})\s?(\.{3}|…|\.{1,2})\s?(?=[KQRBNOa-h0♔-♟])")
_DOTS = expression(r"(?:\.{3}|…)\s?(?=[KQRBNOa-h♔-♟])")
_WORD = expression(r"[^\W\d_]+(?:['’][^\W\d_]+)*['’]?|\d+(?:st|nd|rd|th)?(?!\w)")
_PLAIN_WORD = expression(r"(?![Oo][-–‑])[^\W\d_]+(?:['’][^\W\d_]+)*['’]?(?![\w♔-♟])")
"""A word no part of which can be a move or a square."""
_SQUARE = expression(r"[a-h][1-8](?![\w])")
_ON_IT = expression(
    r"\b(?:on|at|from|of|to|into|onto|against|behind|square|pawn|knight|bishop|rook|queen|king|[a-z]{4,}(?:ack|end|ect|ard|over|rol)s?|hits?|eyes?)\s$",
    re.I,
)
"""Before a square with "!" at the end of a sentence: it is no move then ("it stands on e7!")."""
_STOP = expression(r"\.{3}|…|--|[.,;:!?()\[\]—–\"“”]")


LONGEST_WORD = 40
"""More letters than these are not looked at: no word has so many, and some costs grow with the
square of the letters. A pasted address, or text written without blanks, is one word."""


def read_words(text: str) -> tuple[Token, ...]:
    """The tokens of a text, in order. Hyphens join nothing: "e-file" is two words.

    >>> [t.text for t in read_words("White can't castle: it's on e4")]
    ['white', 'can', 'not', 'castle', ':', 'it', 'is', 'on', 'e4']
    """
    tokens: list[Token] = []
    at = 0
    while at < len(text):
        found, end = _token_at(text, at)
        if found and text[end : end + 1] in _HYPHENS:
            found[-1] = replace(found[-1], hyphen=True)
        tokens.extend(found)
        at = end
    return tuple(_join_numbers(_settle_apostrophes(tokens)))


def _join_numbers(tokens: list[Token]) -> list[Token]:
    """ "thirty-nine" as one number."""
    out: list[Token] = []
    for token in tokens:
        last = out[-1] if out else None
        if last and last.text in TENS and token.kind == "number" and 0 < (token.number or 0) < 10:
            value = (last.number or 0) + (token.number or 0)
            out[-1] = replace(last, end=token.end, number=value, hyphen=False)
            continue
        out.append(token)
    return out


def _pawn_steps(start: str, end: str) -> bool:
    """Whether "e2-e4" can be a pawn's move, and is no line of squares."""
    return start[0] == end[0] and abs(int(start[1]) - int(end[1])) <= 2


def _token_at(text: str, at: int) -> tuple[list[Token], int]:
    before = text[at - 1] if at else " "
    if text[at] == " ":
        return [], at + 1
    if not before.isalnum():
        plain = _PLAIN_WORD.match(text, at)
        if plain:
            return _words(plain[0], at), plain.end()
        pair = _SQUARE_PAIR.match(text, at)
        if pair and not _pawn_steps(pair[1], pair[2]):
            first = Token(pair[1], at, at + 2, "square")
            return [first, Token(pair[2], at + 3, at + 5, "square")], pair.end()
        if move := _move_at(text, at):
            return _with_ending(text, move)
        if square := _SQUARE.match(text, at):
            return _square(text, square)
        if word := _WORD.match(text, at):
            return _words(word[0], at), word.end()
    if text[at] == "+" and not before.isalnum() and text[at + 1 : at + 2].isdecimal():
        return [Token("up", at, at + 1)], at + 1  # "White +1"
    if stop := _STOP.match(text, at):
        return [Token(stop[0], at, stop.end(), "stop")], stop.end()
    return [], at + 1


def _with_ending(text: str, move: Token) -> tuple[list[Token], int]:
    """A move, with the "'s" or "'d" that may be written to it."""
    end = move.end
    tail = re.match(r"['’](s|d)(?!\w)", text[end : end + 4])
    if tail is None:
        return [move], end
    word = Token("'s", end, end + 2, "whose") if tail[1] == "s" else Token("would", end, end + 2)
    return [move, word], end + 2


def _square(text: str, match: re.Match[str]) -> tuple[list[Token], int]:
    """A square, with the "'s" that may be written to it."""
    end = match.end()
    token = Token(match[0], match.start(), end, "square")
    if text[end : end + 1] in {"'", "’"} and re.match(r"s(?!\w)", text[end + 1 : end + 3]):
        return [token, Token("'s", end, end + 2, "whose")], end + 2
    return [token], end


def _move_at(text: str, at: int) -> Token | None:
    """A numbered move, one after dots, or one that cannot be a mere square."""
    number = black = None
    start = at
    if numbered := _NUMBERED.match(text, at):
        number, black, at = (
            int(numbered[1]),
            len(numbered[2]) == 3 or numbered[2] == "…",
            numbered.end(),
        )
    elif dots := _DOTS.match(text, at):
        black, at = True, dots.end()
    match = MOVE.match(text, at)
    if not match:
        return None
    move = written(match)
    bare = move.piece == "P" and re.fullmatch(r"[a-h][1-8]", move.text.rstrip("!?"))
    if number is None and black is None and bare and _ON_IT.search(text, max(0, at - 12), at):
        return None
    if number is None and black is None and bare and "!" not in move.text:
        return None
    end = match.end() - (len(match[0]) - len(match[0].rstrip()))
    if move.suffix and end == len(text.rstrip()) and move.suffix in "!?":
        end -= 1  # the mark ends the sentence
    return Token(move.san, start, end, "move", move, number, black)


def _words(word: str, at: int) -> list[Token]:
    low = word[:LONGEST_WORD].lower().replace("’", "'")
    end = at + len(word)
    if low in {"whites", "blacks"}:
        return [Token(low[:-1], at, end - 1), Token("'s", end - 1, end, "whose")]
    if low[0].isdecimal():
        ordinal = not low.isdecimal()
        value = int(re.sub(r"\D", "", low))
        return [Token(low, at, end, "word" if ordinal else "number", number=value)]
    if low in _CONTRACTED:
        return [Token(part, at, end) for part in _CONTRACTED[low].split()]
    return _with_apostrophe(low, at, end) if "'" in low else [_plain_word(low, at, end)]


def _with_apostrophe(low: str, at: int, end: int) -> list[Token]:
    if low.endswith("n't"):
        return [Token(low[:-3], at, end - 3), Token("not", end - 3, end)]
    for tail, full in (("'re", "are"), ("'ve", "have"), ("'ll", "will")):
        if low.endswith(tail):
            return [Token(low[:-3], at, end - 3), Token(full, end - 3, end)]
    if low.endswith("'s"):
        return [Token(low[:-2], at, end - 2), Token("'s", end - 2, end, "whose")]
    if low.endswith("s'"):
        return [Token(low[:-1], at, end - 1), Token("'s", end - 1, end, "whose")]
    return [_plain_word(low.rstrip("'"), at, end)]


def _plain_word(low: str, at: int, end: int) -> Token:
    number = NUMBERS.get(low)
    return Token(low, at, end, "word" if number is None else "number", number=number)


def _settle_apostrophes(tokens: list[Token]) -> list[Token]:
    """ "'s" as "is", "has" or the genitive, told by its neighbours."""
    out: list[Token] = []
    for index, token in enumerate(tokens):
        if token.kind != "whose":
            out.append(token)
            continue
        after = [t.text for t in tokens[index + 1 : index + 5]]
        lettered = any(t.hyphen and len(t.text) == 1 for t in tokens[index + 1 : index + 2])
        verb = _verb_meant(out[-1].text if out else "", after, lettered)
        if len(out) > 1 and out[-2].text == "of" and after and after[0] in {"on", "at", "in"}:
            verb = ""  # "that bishop of White's on c4"
        if verb:
            out.append(Token(verb, token.start, token.end))
        else:
            out.append(token)
    return out


_AFTER_HIT = {
    "twice",
    "once",
    "thrice",
    "by",
    "three",
    "two",
    "four",
    "again",
    ",",
    ".",
    "!",
    "and",
    "but",
    "from",
}
"""After "'s hit" these tell that it is what happens to it: "d5's hit twice"."""
_AFTER_LEFT = {".", ",", ";", ":", "!", "and", "but", "for", "with", "to", "on", "in", "at"}
"""After "'s left" these tell that it is what remains: "one pawn's left, and it's ours"."""

_ADVERBS = {"just", "now", "already", "also", "finally", "never", "only", "simply", "again"}
_OBJECTS = {"the", "a", "an", "our", "his", "her", "my", "your", "their", "it", "both", "two", "this", "that"}  # fmt: skip


_PAWN_KINDS = frozenset(
    "doubled tripled isolated passed backward advanced connected lost extra".split()
)
_FILES = frozenset("abcdefgh")
_OF_FILES = frozenset(
    "already still now half semi open closed wide completely fully just only not also".split()
)


def _has_done(after: list[str]) -> bool:
    """Whether "he's just attacked our rook" goes on with what was done to something."""
    words = [word for word in after if word not in _ADVERBS]
    done = words and (
        words[0] in _HAS_BEFORE or words[0].endswith("ed") or words[0] in {"hit", "put"}
    )
    if not done or len(words) < 2:
        return False
    return words[1] in _OBJECTS or re.fullmatch(r"[a-h][1-8]", words[1]) is not None


def _verb_meant(before: str, after: list[str], lettered: bool) -> str:
    first = after[0] if after else ""
    second = after[1] if len(after) > 1 else ""
    if first in _PAWN_KINDS and second in _FILES and after[2:3] and after[2] in {"pawn", "pawns"}:
        return ""  # "Black's doubled f-pawns"
    if before in {"file", "files", "diagonal"} and first in _OF_FILES and second != "pawn":
        return "is"
    if before == "one" and (first.endswith("ed") or first in {"called", "known"}):
        return "is"
    if first in {"dead", "all", "still"} and second in {
        "level",
        "equal",
        "even",
        "lost",
        "drawn",
        "square",
    }:
        return "is"
    if first == "got":
        return "has"
    if (lettered and before not in _SUBJECTS) or (first == "half" and second != "open"):
        return ""
    done = second.endswith("ed") or second in {"hit", "hanging", "loose"}
    if first in _BETWEEN and second in _IS_BEFORE and done and not _noun_soon(after[2:4]):
        return "is"
    if first in {"sat", "stood"} or (first in _BETWEEN and second in {"sat", "stood"}):
        return "is"
    if first == "being" or (first, second) == ("all", "alone"):
        return "is"
    if first == "left" and (not second or second in _AFTER_LEFT):
        return "is"
    if first in _BETWEEN and second in _HAS_BEFORE and before not in {"ending", "endgame"}:
        return "has"
    told = second in _AFTER_DOING or re.fullmatch(r"[a-h][1-8]", second) is not None
    if first.endswith("ing") and len(first) > 4 and told:
        return "is"
    if first == "getting":
        return "is"
    if first == "hit" and (not second or second in _AFTER_HIT):
        return "is"
    if first in {*NUMBERS, "a", "an"} and {*after[1:]} & {"ahead", "up", "down", "short", "behind"}:
        return "is"
    if _has_done(after):
        return "has"
    if first in _HAS_BEFORE and not _noun_soon(after[1:2]):
        return "has"
    if before in {"nobody", "everybody"} and first in _NOUNS:
        return ""
    if before in _SUBJECTS or (
        before in {"ending", "endgame"} and {first, second} & {"won", "lost", "drawn"}
    ):
        return "is"
    if first in {"a", "an", "the", "in", "not", "up", "on", "to", "no"} and not lettered:
        return "is"
    if first in _IS_BEFORE and not _noun_soon(after[1:3]):
        return "is"
    return ""


def _noun_soon(words: list[str]) -> bool:
    for word in words:
        if word in _NOUNS:
            return True
        if word in {"and", "to", "by", "on", "in", "the", "a", "of", ",", "."}:
            return False
    return False
