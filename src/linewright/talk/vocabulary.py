"""What each word of a talk may stand for on a chessboard, with a price.

A `Token` is a word or a part of one ("e4-e5" is two). A `Lexicon` knows, for the words of one
talk, which of them may be pieces, squares, files, ranks, colours or verbs of moving, either as
written or as a recogniser may have misheard them. A price is a negative log likelihood: 0 is as
written, about 3 means "only if the rest of the talk wants it".
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise

from linewright.english.words import LONGEST_WORD
from linewright.expressions import expression
from linewright.moves import PIECE_LETTERS
from linewright.talk.fluency import wrong_words
from linewright.talk.sounds import (
    Phones,
    distance,
    known_words,
    pronunciations,
    spelt,
    square_costs,
)

INFINITE = 99.0
FILES = "abcdefgh"
SQUARES = tuple(f + r for r in "12345678" for f in FILES)


def words(text: str) -> frozenset[str]:
    """The words of a text as a set; for tables."""
    return frozenset(text.split())


WALKS = words(
    "steps stepped moves moved drops dropped backs backed goes went comes came runs ran jumps jumped"
    " hops hopped slides slid pulls pulled swings swung slips slipped walks walked heads headed"
    " returns returned retreats retreated retires retired withdraws withdrew sneaks turns flees fled"
    " gets got go come move step drop retreat return"
)
"""How a man goes where nothing but the verb tells that it does."""


def begins_question(said: Iterable[str]) -> bool:
    """Whether a question begins among words, in captions that have no marks for one.

    >>> begins_question("black does he kick it".split()), begins_question("he does".split())
    (True, False)
    """
    return any(a in _ASKING and b in _ASKED for a, b in pairwise(said))


_ASKING = words("do does did can could will would should is are has")
PERSONS = words("i you he she we they")
WHO = PERSONS | words("white black")
"""Whoever may move: each table says what else it takes for a subject."""
_ASKED = PERSONS | {"it"}

PIECES = {
    **PIECE_LETTERS,
    "horse": "N", "lady": "Q", "monarch": "K", "steed": "N", "tower": "R", "soldier": "P",
}  # fmt: skip
_PIECE_SPELLINGS: dict[str, tuple[str, float]] = {
    "night": ("N", 0.3), "nights": ("N", 0.5), "nite": ("N", 0.3), "knit": ("N", 0.8),
    "knife": ("N", 1.2), "pond": ("P", 0.3), "ponds": ("P", 0.5), "pons": ("P", 0.5),
    "porn": ("P", 0.3), "pun": ("P", 0.8), "palm": ("P", 1.0), "prawn": ("P", 0.5),
    "pawned": ("P", 0.5), "spawn": ("P", 0.7), "pong": ("P", 0.7), "rock": ("R", 0.8),
    "ruck": ("R", 0.8), "brook": ("R", 0.9), "rook's": ("R", 0.2), "rooke": ("R", 0.2),
    "crook": ("R", 1.0), "hook": ("R", 1.6), "book": ("R", 2.2), "look": ("R", 3.0),
    "clean": ("Q", 2.2), "quin": ("Q", 0.6), "quinn": ("Q", 0.4), "green": ("Q", 1.6),
    "keen": ("Q", 1.8), "bishup": ("B", 0.2), "bishops": ("B", 0.4), "bish": ("B", 0.5),
    "ship": ("B", 2.2), "kink": ("K", 1.0), "ping": ("K", 1.5), "kin": ("K", 1.2),
}  # fmt: skip
DIGITS = {
    "one": "1", "two": "2", "three": "3", "four": "4", "five": "5", "six": "6", "seven": "7",
    "eight": "8",
}  # fmt: skip
DIGITS |= {d: d for d in "12345678"}
_DIGIT_SPELLINGS: dict[str, tuple[str, float]] = {
    "won": ("1", 0.6), "wan": ("1", 0.6), "to": ("2", 2.4), "too": ("2", 1.2), "tree": ("3", 0.4),
    "free": ("3", 0.9), "for": ("4", 1.3), "fore": ("4", 0.3), "ford": ("4", 0.8),
    "fife": ("5", 0.3), "fine": ("5", 1.6), "hive": ("5", 0.8), "sex": ("6", 0.4),
    "sicks": ("6", 0.2), "sicks.": ("6", 0.2), "sick": ("6", 0.7), "heaven": ("7", 0.9),
    "ate": ("8", 0.4), "fire": ("5", 1.0), "fly": ("5", 1.5), "thee": ("3", 1.5),
    "hate": ("8", 1.2), "door": ("4", 1.8), "more": ("4", 2.6), "forth": ("4", 0.8),
    "fourth": ("4", 0.8), "sixth": ("6", 0.7), "fifth": ("5", 0.7),
}  # fmt: skip
_FILE_SPELLINGS: dict[str, tuple[str, float]] = {
    "bee": ("b", 0.3), "be": ("b", 1.4), "see": ("c", 1.6), "sea": ("c", 0.4), "cee": ("c", 0.2),
    "dee": ("d", 0.2), "ee": ("e", 0.2), "he": ("e", 2.4), "eff": ("f", 0.2), "if": ("f", 2.2),
    "gee": ("g", 0.3), "aitch": ("h", 0.1), "age": ("h", 0.8), "hey": ("a", 1.2),
    "each": ("h", 1.4), "ef": ("f", 0.3), "the": ("d", 3.2), "jee": ("g", 0.3), "ay": ("a", 0.4),
    "eh": ("a", 0.5), "she": ("c", 2.0), "de": ("d", 0.5), "gi": ("g", 0.5), "bi": ("b", 0.7),
    "ii": ("e", 0.5), "si": ("c", 0.5), "di": ("d", 0.5), "beat": ("b", 1.6), "tea": ("d", 1.2),
    "t": ("d", 0.9), "p": ("b", 0.9), "v": ("b", 0.9), "z": ("c", 0.9), "s": ("f", 1.0),
    "x": ("f", 1.6), "8": ("h", 1.4), "eight": ("h", 1.8), "3": ("e", 2.0), "k": ("a", 1.0),
    "j": ("g", 0.8), "i": ("e", 3.0),
}  # fmt: skip
_PLAIN_ENOUGH = 2.0
FILE_WORDS = {file: file for file in FILES} | {
    word: file for word, (file, price) in _FILE_SPELLINGS.items() if price < _PLAIN_ENOUGH
}
"""The file that a word is for where only a file can stand."""

_AS_A_LETTER = words("be bee see sea cee dee ee eff ef gee jee aitch")
"""Words that sound just as the letter of a file."""

OWNERS = words("his her its their my your our")
ARTICLES = OWNERS | words("the this that a an")
"""These and what stands for them."""
OWNED = OWNERS | words("the a this that extra passed doubled isolated central")
"""Words a piece is named after: "the", "his", "passed"."""
TO_A_SQUARE = words("to on onto into at from")
"""Words behind which a square is a place and no move."""
TAKES = words(
    "take takes taking took taken takeing capture captures capturing captured grab grabs grabbing"
    " grabbed snatch snatches snatched recapture recaptures recapturing recaptured retake retakes"
    " retook retaking gobble gobbles gobbled chop chops chopped eats eliminates eliminated"
    " removes trades exchanges swaps traded exchanged swapped trade exchange swap pockets collects"
    " nabs pinches hoovers cashes x times regains regained recovers recovered reclaims retrieves"
    " bites nibbles munches devours swallows swallowed steals stole plucks bags slays axes scoops mops"
)
RETAKES = words("recapture recaptures recapturing recaptured retake retakes retaking retook")
SOFT_TAKES = words(
    "win wins won winning pick picks picking picked accept accepts accepting accepted"
)
_TAKE_SPELLINGS = {
    "tape": 0.8, "tapes": 0.6, "steaks": 0.5, "stakes": 0.6, "ticks": 0.8, "tics": 0.8,
    "text": 1.2, "tax": 1.0, "tanks": 1.0, "tates": 0.4, "tech": 1.3, "sticks": 1.2, "tasks": 1.2,
    "thanks": 2.2, "makes": 2.6, "aches": 1.6, "cakes": 1.2, "lakes": 1.3, "tags": 1.3, "tex": 0.9,
    "talks": 1.6, "fakes": 1.4, "regains": 0.1, "regained": 0.2, "recovers": 0.2, "recovered": 0.3, "texts": 1.0, "captors": 0.8, "shakes": 1.6, "tank": 1.6,
    "tick": 1.4, "grabs": 0.0, "times": 2.0, "takeaways": 1.5, "wakes": 1.5,
}  # fmt: skip
TRADES = words(
    "trade trades traded exchange exchanges exchanged swap swaps swapped trading swapping exchanging"
)
CASTLES = words("castle castles castled castling castels")
_CASTLE_SPELLINGS = {
    "cassels": 0.4, "cassel": 0.5, "castle's": 0.2, "castro": 0.8, "hassles": 0.9, "hassle": 1.0,
    "tackles": 1.2, "tassels": 0.7, "vassals": 0.8, "castles'": 0.1, "cattles": 0.8, "cattle": 0.9,
    "causal": 1.0, "costs": 2.0, "castor": 1.0, "cancels": 1.0, "cancel": 1.2, "casts": 1.2,
}  # fmt: skip
COLOURS = {"white": "w", "white's": "w", "whites": "w", "black": "b", "black's": "b", "blacks": "b"}
_COLOUR_SPELLINGS: dict[str, tuple[str, float]] = {
    "wight": ("w", 0.2), "wide": ("w", 0.9), "wife": ("w", 1.2), "whit": ("w", 0.6),
    "wait": ("w", 1.3), "quite": ("w", 2.2), "blanc": ("b", 0.4), "block": ("b", 1.0),
    "blank": ("b", 0.6), "plaque": ("b", 0.6), "lack": ("b", 1.6), "back": ("b", 3.2),
    "blacked": ("b", 0.5), "black's": ("b", 0.0), "whitest": ("w", 0.9), "bleak": ("b", 0.8),
    "while": ("w", 2.4), "light": ("w", 2.6), "black,": ("b", 0.0),
}  # fmt: skip

BEFORE_A_VERB = words("to we can could i you they must will would should may might let's just")
AFTER_A_SIDE = words(
    "plays played play goes went moves moved replies answers responds continues chooses takes took"
    " captures recaptures castles castled is has can could will would should must wants gets puts"
    " brings develops pushes retreats attacks defends threatens to king queen rook bishop knight"
    " pawn pieces knights bishops rooks pawns king's queen's just now then simply also usually"
    " decides needs tries stops strikes wins loses gives gave does did may might cannot can't"
)
"""What may follow the name of a side that was misheard."""

COMMON = words(
    "the a an and or but so if then that this these those it its he she his her they them their we"
    " us our you your i me my is are was were be been being am do does did has have had will would"
    " can could should shall may might must not no nor to of in on at by for from with without as"
    " into onto over under up down out off about after before between against because when where"
    " while which who whom whose what why how there here now very more most much many some any all"
    " both each every other another one two three four five six seven eight see say says said go"
    " goes going get gets got make makes made look looks come comes came take takes took give gives"
    " think know want let right left well just only also too even still again back way good bad"
    " best better like than time first last next new old long little own same such great big"
    " eat ate won free fine age beat main thing things things' things've find found"
    " need keep kept put sit play plays played move moves king queen"
)
"""Words so usual in any talk that hearing a chess word in them costs extra (common practice, no
source)."""

_SHORTENED = words(
    "it's that's there's here's he's she's what's let's i'm i'd i'll they're we're don't"
)


@dataclass(frozen=True, slots=True)
class Token:
    """A word or part of one. `word` is its index in the talk.

    `gap` says how strongly the talk breaks before it: 1 after a full stop, 0.3 after a comma.
    `raw` keeps the letters as written, for notation such as "Nf3".
    """

    text: str
    word: int
    gap: float
    raw: str
    asked: bool = False
    """Whether a question mark follows."""


_SPLIT = expression(
    r"(?i)(?-i:b)(?=[a-h][1-8](?![a-z0-9]))|o-o-o|o-o|0-0-0|0-0|[kqrbn][a-h]?[1-8]?x?[a-h][1-8](?![a-z0-9])|[a-h]x[a-h][1-8]"
    r"|[a-h](?=[a-h][1-8](?![a-z0-9]))|[a-h][1-8]|[a-z]+(?:['’][a-z]+)?|\d+"
)


def tokenise(spoken: Sequence[tuple[str, str, float]]) -> tuple[Token, ...]:
    """The tokens of `(word, punctuation after it, pause before it in seconds)` triples.

    >>> [t.text for t in tokenise([("Knight", ",", 0), ("f3-e5", ".", 0), ("d-pawn", "", 0)])]
    ['knight', 'f3', 'e5', 'd', 'pawn']
    """
    tokens: list[Token] = []
    gap = 1.0
    for index, (word, mark, pause) in enumerate(spoken):
        gap = max(gap, 0.7 if pause >= 0.9 else 0.4 if pause >= 0.45 else 0.0)
        for match in _SPLIT.finditer(word):
            raw = match[0][:LONGEST_WORD].replace("’", "'")
            tokens.append(Token(raw.lower(), index, gap, raw))
            gap = 0.0
        if "?" in mark and tokens:
            tokens[-1] = replace(tokens[-1], asked=True)
        if any(c in ".!?…" for c in mark):
            gap = 1.0
        elif any(c in ";:–—" for c in mark):
            gap = 0.6
        elif "," in mark:
            gap = 0.3
    return tuple(tokens)


ALIKE = 0.2
"""What it costs that a word which sounds just as a letter is one, where a man is sent to a square."""

SENTENCE, COMMA = 0.9, 0.25
"""A break this strong ends a sentence; one this strong is heard."""


def stop_before(token: Token) -> str:
    """The stop that the break before a token stands for, as the text of a pattern: " .", " ,"."""
    return " ." if token.gap >= SENTENCE else " ," if token.gap >= COMMA else ""


@dataclass(frozen=True, slots=True)
class Guess:
    """One thing a stretch of tokens may stand for: `value` up to token `end`, at a price."""

    end: int
    value: str
    price: float


_CLAUSES = words(
    "we you us i it they any anything all every most white black castling recapturing developing moving taking pushing"
)
_NUMBERED = words("move moves chapter part number game round lesson line or and only these those")

WORDS_A_STOP = 60
"""Fewer full stops than one in so many words are none at all."""

_COUNTABLE = words(
    "moves pieces minutes games points ways things men squares options choices ideas plans tempi"
    " answers replies times checks people pupils files diagonals sides lines threats weaknesses"
)
"""What numbers count in a talk."""

NOISY = 0.035
"""Above this share of wrong words worse likenesses are heard too."""


@dataclass(slots=True)
class Lexicon:
    """What the words of one talk may stand for. Built once a talk; answers are remembered."""

    tokens: tuple[Token, ...]
    phones: dict[str, Phones] = field(default_factory=dict)
    known: frozenset[str] = frozenset()
    ease: float = 1.0
    """What prices of misheard words are multiplied with: less where the recogniser errs often."""
    noise: float = 0.0
    unmarked: bool = False
    """Whether the recogniser writes no stops."""
    _pieces: dict[str, tuple[tuple[str, float], ...]] = field(default_factory=dict)
    _squares: dict[int, tuple[Guess, ...]] = field(default_factory=dict)
    _kinds: dict[tuple[str, str], float] = field(default_factory=dict)

    @classmethod
    def of(cls, tokens: tuple[Token, ...]) -> Lexicon:
        """The lexicon of a talk's tokens.

        **Cost**: one pass over the pronouncing dictionary, then linear.
        """
        texts = {token.text for token in tokens}
        plain = {t.removesuffix("'s") for t in texts} | set(_MODELS)
        phones = pronunciations(plain)
        for single in plain:
            if len(single) == 1 or re.fullmatch(r"[a-h]\d|\d+", single):
                phones[single] = spelt(single)
        lexicon = cls(tokens, phones, known_words(plain))
        stops = sum(token.gap >= SENTENCE for token in tokens[1:])
        lexicon.unmarked = stops * WORDS_A_STOP < len(tokens)
        lexicon.noise = max(0.012, lexicon.odd_share(), 0.8 * lexicon.wrong_share() - 0.04)
        lexicon.ease = max(0.45, min(0.8, 1.1 - 4.0 * lexicon.noise))
        return lexicon

    @property
    def noisy(self) -> bool:
        """Whether the recogniser errs often."""
        return self.noise > NOISY

    def ordinary(self, index: int) -> bool:
        """Whether a word is English that a recogniser seldom writes for one of the board's."""
        text = self.text(index)
        if text in COMMON or text.isdigit() or len(text) == 1 or text in _SHORTENED:
            return True
        odd = text in _PIECE_SPELLINGS or text in _TAKE_SPELLINGS or text in _FILE_SPELLINGS
        odd = odd or _CASTLE_SPELLINGS.get(text, 1.0) <= 0.5
        return text in self.known and not odd and text not in _DIGIT_SPELLINGS

    def known_word(self, index: int) -> bool:
        """Whether a word is English."""
        text = self.text(index)
        return text in self.known or text in COMMON or text in _SHORTENED

    def text(self, index: int) -> str:
        """The token's letters, or an empty string past the end."""
        return self.tokens[index].text if 0 <= index < len(self.tokens) else ""

    def sound(self, text: str) -> Phones:
        """How a word of the talk sounds."""
        return self.phones.get(text.removesuffix("'s")) or spelt(text)

    def _extra(self, text: str) -> float:
        """What it costs that a word as usual as this should have been misheard."""
        if text in COMMON:
            return 1.8
        return 0.9 if text in self.known else 0.3

    def pieces(self, index: int) -> tuple[tuple[str, float], ...]:
        """Which pieces a token may name, with prices."""
        text = self.text(index)
        if text not in self._pieces:
            found = self._find_pieces(text)
            self._pieces[text] = tuple((p, price * self.ease) for p, price in found)
        return self._pieces[text]

    def man(self, index: int) -> str:
        """The letter of the one man that a token names, also as a recogniser misspells it."""
        found = () if self.text(index).endswith("s") else self.pieces(index)
        return found[0][0] if found and found[0][1] < 0.6 else ""

    def men(self, index: int) -> str:
        """The letter of the kind of men that a token names in the plural, perhaps misspelt."""
        text = self.text(index)
        several = text.endswith("s") and not text.endswith("'s")
        found = self.pieces(index) if several else ()
        return found[0][0] if found and found[0][1] < 1.8 else ""

    def _find_pieces(self, text: str) -> tuple[tuple[str, float], ...]:
        bare = text.removesuffix("'s")
        if bare in PIECES:
            return ((PIECES[bare], 0.0),)
        if bare.endswith("s") and bare[:-1] in PIECES:
            return ((PIECES[bare[:-1]], 0.4),)
        if text in _PIECE_SPELLINGS:
            return (_PIECE_SPELLINGS[text],)
        if len(text) < 3 or text in NEVER_PIECES or text in COLOURS or is_square(text):
            return ()
        sound = self.sound(text)
        found = []
        for name in PIECE_LETTERS:
            far = distance(sound, self.sound(name))
            if far <= 1.0:
                found.append((PIECES[name], 0.5 + 2.0 * far + self._extra(text)))
        found.sort(key=lambda item: item[1])
        return tuple(item for item in found[:2] if item[1] < 4.2)

    def _near(self, text: str, kind: str, exact: frozenset[str], odd: dict[str, float],
              models: tuple[str, ...]) -> float:  # fmt: skip
        if text in exact:
            return odd.get(text, 0.0)
        if text in odd:
            return odd[text] * self.ease
        key = (kind, text)
        if key not in self._kinds:
            price = INFINITE
            if len(text) > 2 and text not in NEVER_PIECES and not is_square(text):
                far = min(distance(self.sound(text), self.sound(m)) for m in models)
                if far <= 0.9:
                    price = self.ease * (0.6 + 2.0 * far + self._extra(text))
            self._kinds[key] = price
        return self._kinds[key]

    def take(self, index: int) -> float:
        """The price of hearing a verb of capture in a token; `INFINITE` if it cannot be one."""
        return self._near(self.text(index), "take", TAKES, _TAKE_SPELLINGS,
                          ("takes", "captures", "recaptures"))  # fmt: skip

    def castle(self, index: int) -> float:
        """The price of hearing "castles" in a token."""
        return self._near(self.text(index), "castle", CASTLES, _CASTLE_SPELLINGS,
                          ("castles", "castle", "castled"))  # fmt: skip

    def castling_word(self, index: int) -> str:
        """The form of "castle" that a misheard token sounds most like.

        A recogniser gets the end of a word right more often than its middle, so that counts first.
        """
        if self.text(index).endswith("'s"):
            return "castle" if self.text(index - 1) in _WHO_CASTLE else "castles"
        sound = self.sound(self.text(index))
        forms = ("castles", "castle", "castled", "castling")
        return min(forms, key=lambda form: (
            self.sound(form)[-1:] != sound[-1:], distance(sound, self.sound(form))
        ))  # fmt: skip

    def colour(self, index: int) -> tuple[str, float] | None:
        """The side a token may name ("w" or "b") and the price."""
        text = self.text(index)
        if text in COLOURS:
            return COLOURS[text], 0.0
        guess = _COLOUR_SPELLINGS.get(text)
        follows = self.text(index + 1) in AFTER_A_SIDE and self.tokens[index + 1].gap < 0.3
        verb = self.text(index - 1) in BEFORE_A_VERB  # "to block", "you wait"
        if guess is None or not follows or verb:
            return None
        return guess

    def digit(self, index: int) -> tuple[str, float] | None:
        """The rank a token may name."""
        text = self.text(index)
        if text in DIGITS:
            return DIGITS[text], 0.0
        return _DIGIT_SPELLINGS.get(text)

    def file(self, index: int) -> tuple[str, float] | None:
        """The file a token may name."""
        text = self.text(index)
        if len(text) == 1 and text in FILES:
            return text, 1.2 if text == "a" else 0.0
        return _FILE_SPELLINGS.get(text)

    def squares(self, index: int) -> tuple[Guess, ...]:
        """The squares that may be named from a token on, cheapest first."""
        if index not in self._squares:
            self._squares[index] = self._find_squares(index)
        return self._squares[index]

    def square(self, index: int) -> Guess | None:
        """A square that is plainly named from a token on ("e4", "e four"), or None."""
        text = self.text(index)
        if is_square(text):
            return Guess(index + 1, text, 0.0)
        if len(text) == 1 and text in FILES and self._joined(index + 1):
            nxt = self.text(index + 1)
            if nxt in DIGITS:
                return Guess(
                    index + 2, text + DIGITS[nxt], 0.0 if text != "a" or nxt.isdigit() else 0.1
                )
        return None

    def _joined(self, index: int) -> bool:
        return index < len(self.tokens) and self.tokens[index].gap < 0.6

    def _at_once(self, index: int) -> bool:
        """Whether no comma parts a token from the one before: "with me, for" is no b4."""
        return index < len(self.tokens) and self.tokens[index].gap < COMMA

    def _find_squares(self, index: int) -> tuple[Guess, ...]:
        plain = self.square(index)
        if plain is not None:
            return (plain,)
        best: dict[tuple[int, str], float] = {}

        def offer(end: int, square: str, price: float) -> None:
            key = (end, square)
            price *= self.ease
            if price < best.get(key, 4.2):
                best[key] = price

        file = self.file(index)
        counted = bool(file and file[1] > 0) and self._counts(index + 1)
        digit = self.digit(index + 1) if self._at_once(index + 1) and not counted else None
        text = self.text(index)
        if file and digit:
            if text in _AS_A_LETTER and digit[1] == 0 and self._sent_to(index):
                return (Guess(index + 2, file[0] + digit[0], ALIKE),)
            offer(index + 2, file[0] + digit[0], 0.1 + file[1] + digit[1])
        if text and text not in PIECES and not self._conjunction(index):
            self._by_sound(index, 1, offer)
            if digit:
                self._by_sound(index, 2, offer)
        found = [Guess(end, square, price) for (end, square), price in best.items()]
        found.sort(key=lambda guess: guess.price)
        return tuple(found[:4])

    def _sent_to(self, index: int) -> bool:
        """Whether a man is sent to what stands at a token: "the pawn goes to see six"."""
        if self.text(index - 1) not in TO_A_SQUARE or not self._at_once(index):
            return False
        return any(
            self.man(k) and self._at_once(k + 1) for k in range(max(0, index - 3), index - 1)
        )

    def _counts(self, index: int) -> bool:
        """Whether a number counts what follows: "there would be two knights" is no b2."""
        after = self.text(index + 1)
        several = self.men(index + 1) or after in _COUNTABLE
        return self.text(index) in DIGITS and bool(several) and self._joined(index + 1)

    def _conjunction(self, index: int) -> bool:
        """Whether "before" is no b4: "before White exchanged", "before castling"."""
        after = self.text(index + 1)
        clause = after in _CLAUSES and self.tokens[index + 1].gap < 0.3
        return self.text(index) == "before" and clause and not self.pieces(index - 1)

    def _by_sound(self, index: int, count: int, offer: object) -> None:
        texts = [self.text(index + k) for k in range(count)]
        if any(t in PIECES or is_square(t) for t in texts) or len("".join(texts)) > 9:
            return
        window: Phones = sum((self.sound(t) for t in texts), ())
        extra = sum(self._extra(t) for t in texts if t not in DIGITS)
        if count == 1 and len(window) < 3:
            return
        if count == 1 and texts[0] in DIGITS:
            if self.text(index - 1) in _NUMBERED or self.text(index + 1).endswith("s"):
                return  # "move four", "three pawns"
            extra += 1.2  # "three" is a number before it is an e3 half heard
        for square, far in square_costs(window).items():
            after_piece = index > 0 and self.text(index - 1) in PIECES | _PIECE_SPELLINGS
            wider = 0.45 if self.noisy else 0.0
            if far <= wider + (1.15 if after_piece else 0.75 if count == 1 else 1.0):
                offer(index + count, square, 0.5 + 2.2 * far + extra)  # type: ignore[operator]

    def odd_share(self) -> float:
        """The share of chess words that are not as written: a measure of the recogniser's noise."""
        clean = odd = 0
        for index, token in enumerate(self.tokens):
            text = token.text
            if is_square(text) or text in PIECES or text in TAKES:
                clean += 1
            elif text in CLEAR_ERRORS or self._split_square(index):
                odd += 1
        return (odd + 0.15) / (clean + odd + 12)

    def wrong_share(self) -> float:
        """The share of misheard words by how well plain words follow each other; 0 if unknown."""
        return wrong_words([token.text for token in self.tokens], _of_the_board) or 0.0

    def _split_square(self, index: int) -> bool:
        text, after = self.text(index), self.text(index + 1)
        if len(text) == 1 and text in "bcdefgh" and after in ("for", "fore", "to", "too", "tree"):
            return not (after == "to" and is_square(self.text(index + 2)))  # "rook f to c1"
        return text in ("bee", "sea", "gee", "age", "eff") and after in DIGITS


def _of_the_board(text: str) -> bool:
    bare = text.removesuffix("'s").removesuffix("s")
    return (
        len(text) == 1 or text in DIGITS or text in TAKES or text in CASTLES or text in COLOURS
        or text in PIECES or bare in PIECES or is_square(text)
    )  # fmt: skip


CLEAR_ERRORS = words(
    "night nights nite pond ponds porn prawn quinn cassels tapes steaks wight plaque rooke bishup"
    " sicks fife defore czech"
)
"""Words that hardly occur in a chess talk except as recogniser's errors."""

NEVER_PIECES = words(
    "the and that this with then than they them there their here have has had not but for from"
    " you your are was were what when where which who why how can could would will been being very"
    " now one two three four five six seven eight nine ten see say says his her him its it's out"
    " bring brings bringing right might light quite white black just well does doing going into"
    " pin pins pinned pinning point win wins won check checks take takes open opens long short"
    " again pressure position finish issue dish push pushes nothing thing things something anything"
    " next knows know known like likes line lines look looks good should need kind"
    " gone on in an between seen screen mean means clean paying playing played"
)
_MODELS = words(
    "king queen rook bishop knight pawn takes captures recaptures castles castle castled castling"
)


def is_square(text: str) -> bool:
    """Whether a token is a square as written."""
    return len(text) == 2 and text[0] in FILES and text[1] in "12345678"


def any_square(text: str) -> str:
    """A token, with one word for all squares."""
    return "<square>" if is_square(text) else text


def spoken_words(tokens: Iterable[Token]) -> str:
    """The tokens as one string, for messages and tests."""
    return " ".join(token.raw for token in tokens)


_WHO_CASTLE = words("i we you they both")
