"""Scan the text of one block: words, moves, links, figures, side lines, each with its place.

CommonMark's inline marks (emphasis, code, escapes, links) are read here rather than by a library
because every word must keep its place in the teacher's file.
"""

from __future__ import annotations

import html
import re
from bisect import bisect_left
from collections import Counter
from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from difflib import get_close_matches
from enum import StrEnum

from linewright.expressions import expression
from linewright.notation import (
    FIGURINES,
    MOVE,
    WrittenMove,
    no_castling,
    read_by_files,
    read_move,
    written,
)
from linewright.question_marks import ends_question
from linewright.source import Span
from linewright.textfault import Fault


@dataclass(frozen=True, slots=True)
class Style:
    """How words are set."""

    strong: bool = False
    emphasis: bool = False
    code: bool = False


PLAIN = Style()


@dataclass(frozen=True, slots=True)
class Text:
    """Readable words, escapes and entities resolved; a line end counts as a space."""

    span: Span
    text: str
    style: Style = PLAIN


@dataclass(frozen=True, slots=True)
class Move:
    """A numbered move, or one that follows directly in a run of moves (`number` is None).

    `black` is what the notation says of the side: True for `3...Nf6`, False for `3.Nf3`, None
    inside a run.
    """

    span: Span
    written: WrittenMove
    number: int | None = None
    black: bool | None = None
    style: Style = PLAIN


@dataclass(frozen=True, slots=True)
class Mention:
    """A move standing alone in the words: checked, not played. `black` as in `...Nf6`."""

    span: Span
    written: WrittenMove
    black: bool | None = None
    style: Style = PLAIN


@dataclass(frozen=True, slots=True)
class Unreadable:
    """Looks like a move and is not notation: `text` with its number, `move` without.

    `played` if it is numbered or follows a move directly, so that a move was meant to be played.
    `move` is what was meant where that is plain (O-O for OO). `perhaps_no_move` if it is one only
    where the board allows it: 8.00 is a time of day too.
    """

    span: Span
    text: str
    move: str
    number: int | None = None
    black: bool | None = None
    played: bool = False
    style: Style = PLAIN
    perhaps_no_move: bool = False


@dataclass(frozen=True, slots=True)
class Paren:
    """An opening or closing parenthesis, `partner` being whether its other half exists."""

    span: Span
    opens: bool
    partner: bool = True
    style: Style = PLAIN


class MarkKind(StrEnum):
    """What a mark on the board means."""

    POINT = "point"
    ATTACK = "attack"
    DEFEND = "defend"
    PLAN = "plan"
    WEAK = "weak"


@dataclass(frozen=True, slots=True)
class Mark:
    """A square, or an arrow if `to` is set."""

    kind: MarkKind
    square: str
    to: str | None = None


@dataclass(frozen=True, slots=True)
class Edits:
    """What a what-if address changes on the board.

    `only` keeps these kinds of pieces of both sides (capital letters), `remove` empties squares,
    `place` puts pieces (FEN letters) on squares, `turn` is ``white`` or ``black``, `fen` replaces
    the whole board first.
    """

    only: str = ""
    remove: tuple[str, ...] = ()
    place: tuple[tuple[str, str], ...] = ()
    turn: str = ""
    fen: str = ""


@dataclass(frozen=True, slots=True)
class Link:
    """Words with an address: marks, a what-if board, or an ordinary link (neither)."""

    span: Span
    address: str
    children: tuple[Inline, ...]
    marks: tuple[Mark, ...] = ()
    what_if: Edits | None = None


FIGURES = ("board", "tally", "plans", "tree", "reach", "pawn-ending")
OF_GAMES = ("tally", "plans", "reach")
"""The figures that count games of a collection."""


@dataclass(frozen=True, slots=True)
class Figure:
    """An image: one of the project's figures (`kind`), or an ordinary picture (`kind` empty)."""

    span: Span
    caption: str
    kind: str
    address: str


Inline = Text | Move | Mention | Unreadable | Paren | Link | Figure


@dataclass(frozen=True, slots=True)
class InlineText:
    """Text gathered from one or more lines; `offsets` has the source place of each character."""

    text: str
    offsets: tuple[int, ...]

    @classmethod
    def joined(cls, parts: Sequence[tuple[str, int]]) -> InlineText:
        """Lines put together with line ends between; each part is (text, place)."""
        offsets: list[int] = []
        for k, (text, start) in enumerate(parts):
            if k:
                offsets.append(offsets[-1] + 1 if offsets else start)
            offsets.extend(range(start, start + len(text)))
        return cls("\n".join(text for text, _ in parts), tuple(offsets))

    def offset(self, index: int) -> int:
        """The place in the source of a character, or of the end."""
        if index < len(self.offsets):
            return self.offsets[index]
        return self.offsets[-1] + 1 if self.offsets else 0

    def span(self, start: int, end: int) -> Span:
        """The source span of a range of characters, which must not be empty."""
        return Span(self.offset(start), self.offset(end - 1) + 1)

    def index(self, offset: int) -> int:
        """The character that stands at a place in the source, or the first one behind it."""
        return bisect_left(self.offsets, offset)


EMPTY = InlineText("", ())


_DOTS = r"(?:\.\s?\.\.\.|\.\s?\.\s?\.|\.\.|…|\.\s?…)"
_NUMBERED = expression(
    rf"(?<![\w.,/$-])(?P<number>\d{{1,3}}|\d{{4}}(?=[.…]+\S))(?P<dots>\s?{_DOTS}|\.)[ \u00a0\n]?"
    rf"(?P<move>{MOVE.pattern})"
)
_ALONE = expression(rf"(?<![\w.\-/#@])(?P<dots>\.\.\.|…)?(?P<move>{MOVE.pattern})")
_WRONG = expression(
    r"(?<![\w.,/$-])(?:(?P<number>\d{1,3})(?P<dots>\.\.\.|…|\.)[ \u00a0]?)?"
    r"(?P<move>[KQRBN][a-z]?[0-9]?x?[a-z][0-9]{1,2}[+#]?"
    r"|(?:O-O-O-O|0-0-0-0)[-O0]*)(?!\w)(?:[!?]{1,2}(?=\s))?"
)
_WRONG_NUMBERED = expression(
    r"(?<![\w.,/$-])(?P<number>\d{1,3})(?P<dots>\.\.\.|…|\.)"
    r"(?P<move>(?=[\w=+-]*\d)[A-Za-z♔-♟][\w=+#:×-]{1,7})(?!\w)(?:[!?]{1,2}(?=\s))?"
)
_WRONG_IN_RUN = expression(
    r"(?P<move>(?=[a-zA-Z]*[a-h])(?=[\w=-]*[1-9])[KQRBNkqrnPpa-h♔-♟][\w=+#:×]{1,7}"
    r"|[A-Z]?[a-hA-H]?[1-8]?[xX:×]?[A-H][1-8][+#]?|[A-Z][a-h]?[1-8]?[x:×]?[a-h][1-8][+#]?)"
    r"(?!\w)(?:[!?]{1,2}(?=\s))?"
)
"""Behind a move, what can only be one: with capitals ("NF6"), with a piece's letter of another
language ("Sf6")."""
_CASTLED = (
    r"(?P<move>[O0o]{2,3}|[O0o]−[O0o](?:−[O0o])?|[Oo] [-–] [Oo](?: [-–] [Oo])?)"
    r"[+#]?(?!\w|\s?[-–:.,]\d)(?:[!?]{1,2}(?=\s))?"
)
"""Castling as it is typed in haste."""
_CASTLED_NUMBERED = expression(
    rf"(?<![\w.,/$€£-])(?P<number>\d{{1,3}})(?P<dots>\.\.\.|…|\.)[ \u00a0]?{_CASTLED}"
)
_CASTLED_IN_RUN = expression(_CASTLED)
_BY_FILES = (
    r"(?P<move>(?:ab|b[ac]|c[bd]|d[ce]|e[df]|f[eg]|g[fh]|hg)|[a-h][x×:][a-h])"
    r"(?P<tail>[+#]?(?:!!|\?\?|!\?|\?!|!|\?)?)(?![\w'’-])"
)
"""A capture by a pawn as it is written by hand, with the two files alone."""
_BY_FILES_NUMBERED = expression(
    rf"(?<![\w.,/$-])(?P<number>\d{{1,3}})(?P<dots>\.\.\.|…|\.){_BY_FILES}"
)
_BY_FILES_IN_RUN = expression(rf"{_BY_FILES}(?=\s+\d{{1,3}}(?:\.|…)|\s*[.,;:)]|\s*$)")
_TIME_BEFORE = expression(
    r"\b(?:at|by|until|till|from|around|about|costs?|paid|pay|version)\s$", re.IGNORECASE
)
_TIME_AFTER = expression(
    r"\s?(?:%|€|£|[ap]\.?m\b|o['’]clock|h\b|hrs?\b|hours\b|euros?\b|pounds?\b|dollars?\b)",
    re.IGNORECASE,
)
_APART = expression(r"[ \u00a0](\?\?|\?!|\?)(?![!?\w])")
"""A sign of a mistake, or the mark of a question, behind a space."""
_LOOK_BACK, _LOOK_AHEAD = 300, 24
"""Characters that tell whether a question ends: sentences of teachers are not longer."""
_SPECIAL = expression(r"[\\`<!\[*_&()]|[0-9…]|\.\.\.|[KQRBNPOo♔-♟a-h](?<!\w\w)")
_PUNCTUATION = frozenset("!\"#$%&'()*+,-./:;<=>?@[\\]^_`{|}~")
_SPACES = expression(r"[ \u00a0\n]+")
_PARTED = expression(r"[,;]?[ \u00a0\n]+")
_BETWEEN_MOVES = expression(r"(?:[ \u00a0\n]|[*_]|\$\d{1,3}\b)*")
_ADDRESS = expression(
    r"\(\s*+(?:<(?P<angled>[^<>\n]*)>|(?P<what_if>\?fen=[^()\n]*+)|(?P<plain>[^\s()]*(?:\([^\s()]*\)[^\s()]*)*))"
    r"(?:\s*+(?<=\s)(?:\"[^\"]*\"|'[^']*'))?\s*+\)"
)
"""What stands in the round brackets of a link; nothing is given back, or much space were slow."""
_SQUARE = expression(r"[a-h][1-8]")
_DEEPEST = 20
"""Links in links: what is nested deeper, which nobody writes, is printed as it stands."""


def scan(text: InlineText, faults: list[Fault], played: Collection[int] = ()) -> tuple[Inline, ...]:
    """The inlines of a block's text in order; faults are added to `faults`. Never raises.

    `played` are the characters at which a move without a number is played and not mentioned.
    """
    scanner = _Scanner(text, faults, played)
    inlines = scanner.run(0, len(text.text))
    return _pair_parens(inlines, faults)


class _Scanner:
    def __init__(self, text: InlineText, faults: list[Fault], played: Collection[int]) -> None:
        self.played = played
        self.whole = text
        self.text = text.text
        self.faults = faults
        self.brackets = _brackets(text.text)
        self.depth = 0

    def run(self, start: int, end: int, style: Style = PLAIN) -> tuple[Inline, ...]:
        out = _Output(self.whole, style)
        at, last_move_end = start, -1
        delimiters = _delimiters(self.text, start, end)
        while at < end:
            if last_move_end >= 0 and (step := self.follows(end, last_move_end, delimiters, out)):
                at = last_move_end = step
                continue
            last_move_end = -1
            found = _SPECIAL.search(self.text, at, end)
            if not found:
                break
            out.words(at, found.start())
            at = found.start()
            if at in delimiters:
                at = out.toggle(at, delimiters[at])
                continue
            before = len(out.inlines)
            at = self.special(at, end, out)
            if len(out.inlines) > before and _is_played(out.inlines[-1]):
                last_move_end = at
        out.words(at, end)
        return out.finished()

    def within(self, start: int, end: int, style: Style) -> tuple[Inline, ...]:
        """The inlines of a link or of code, one deeper than the text around it."""
        self.depth += 1
        inlines = self.run(start, end, style)
        self.depth -= 1
        return inlines

    def follows(self, end: int, move_end: int, delimiters: _Delimiters, out: _Output) -> int:
        """Reads a move that follows directly; the place after it, or 0."""
        gap = _BETWEEN_MOVES.match(self.text, move_end, end)
        if not gap or gap.end() == move_end:
            return 0
        match = self.without_question(MOVE, gap.end(), end)
        if match and out.between(move_end, gap.end(), delimiters):
            out.add(Move(self.whole.span(*match.span()), written(match), style=out.style))
            self.warn_of_sign_apart(match, end)
            return match.end()
        castled = None if match else _CASTLED_IN_RUN.match(self.text, gap.end(), end)
        if castled and out.between(move_end, gap.end(), delimiters):
            return self.castled(castled, out)
        match = None if match else _WRONG_IN_RUN.match(self.text, gap.end(), end)
        match = match or _BY_FILES_IN_RUN.match(self.text, gap.end(), end)
        if match and out.between(move_end, gap.end(), delimiters):
            span = self.whole.span(*match.span())
            out.add(Unreadable(span, match[0], match[0], played=True, style=out.style))
            self.faults.append(_unreadable(span, match))
            return match.end()
        return 0

    def special(self, at: int, end: int, out: _Output) -> int:
        """Reads whatever begins at a special character; the place after it."""
        char = self.text[at]
        if char == "\\":
            return self.escape(at, end, out)
        if char == "`":
            return self.code(at, end, out)
        if char == "<":
            return self.angle(at, end, out)
        if char in "![":
            return self.link_or_figure(at, end, out)
        if char == "&":
            return self.entity(at, end, out)
        if char in "()":
            out.add(Paren(self.whole.span(at, at + 1), char == "(", style=out.style))
            return at + 1 if char == "(" else self.reply(at + 1, end, out)
        return self.move(at, end, out)

    def reply(self, at: int, end: int, out: _Output) -> int:
        """Reads Black's move without a number behind a parenthesis that parts it from White's, if
        White's next follows: "12.Ra3 (instead of 12.Qc2), g5 13.Nc4"; the place after it."""
        white = _move_before_parenthesis(out.inlines)
        gap = _PARTED.match(self.text, at, end)
        move = MOVE.match(self.text, gap.end(), end) if white and gap else None
        behind = _SPACES.match(self.text, move.end(), end) if move else None
        following = _NUMBERED.match(self.text, behind.end(), end) if behind else None
        if white is None or move is None or following is None or following["dots"].strip() != ".":
            return at
        if white.number is None or white.black or int(following["number"]) != white.number + 1:
            return at
        out.words(at, move.start())
        span = self.whole.span(*move.span())
        out.add(Move(span, written(move), white.number, True, out.style))
        return move.end()

    def move(self, at: int, end: int, out: _Output) -> int:
        style = out.style
        if match := self.without_question(_NUMBERED, at, end):
            dots = match["dots"].strip()
            black = dots != "."
            number = int(match["number"])
            move = written(MOVE.match(match["move"]) or match)
            out.add(Move(self.whole.span(*match.span()), move, number, black, style))
            self.warn_of_sign_apart(match, end)
            return match.end()
        castled = _CASTLED_NUMBERED.match(self.text, at, end)
        if castled and not self.tells_a_time(castled):
            return self.castled(castled, out)
        if match := self.without_question(_ALONE, at, end):
            move = written(MOVE.match(match["move"]) or match)
            if at in self.played:
                black = True if match["dots"] else None
                out.add(Move(self.whole.span(*match.span()), move, None, black, style))
            elif match["dots"] or _names_more_than_a_square(move):
                black = True if match["dots"] else None
                out.add(Mention(self.whole.span(*match.span()), move, black, style))
            else:
                out.words(at, match.end())
            return match.end()
        wrongly = (_WRONG_NUMBERED, _WRONG, _BY_FILES_NUMBERED)
        if match := next(filter(None, (form.match(self.text, at, end) for form in wrongly)), None):
            span = self.whole.span(*match.span())
            given = int(match["number"]) if match["number"] else None
            black = match["dots"] != "." if match["number"] else None
            wrong = Unreadable(span, match[0], match["move"], given, black, given is not None)
            out.add(replace(wrong, style=style))
            self.faults.append(_unreadable(span, match))
            return match.end()
        out.words(at, at + 1)
        return at + 1

    def without_question(self, pattern: re.Pattern[str], at: int, end: int) -> re.Match[str] | None:
        """A move at a place, without the question mark that ends its sentence."""
        match = pattern.match(self.text, at, end)
        if match is None or match["suffix"] != "?" or match["sign"]:
            return match
        last = match.end() - 1
        before = self.text[max(last - _LOOK_BACK, 0) : last]
        after = self.text[last + 1 : min(last + 1 + _LOOK_AHEAD, end)]
        return pattern.match(self.text, at, last) if ends_question(before, after) else match

    def warn_of_sign_apart(self, match: re.Match[str], end: int) -> None:
        """A question mark apart from a move may be its sign, or end a question."""
        apart = _APART.match(self.text, match.end(), end)
        if apart is None:
            return
        before = self.text[max(match.end() - _LOOK_BACK, 0) : match.end()]
        after = self.text[apart.end() : min(apart.end() + _LOOK_AHEAD, end)]
        if not ends_question(before, after):
            span = self.whole.span(match.start(), apart.end())
            repair = f"{match[0]}{apart[1]}"
            reason = (
                f"the '{apart[1]}' stands apart from '{match[0]}' and is read as the sentence's:"
                f" write '{repair}' if it is the move's"
            )
            self.faults.append(Fault("sign-apart", span, reason, (repair,)))

    def tells_a_time(self, match: re.Match[str]) -> bool:
        """Whether `8.00` is a time of day, a price or the like by the words beside it."""
        if match["dots"] != "." or not match["move"].isdigit():
            return False
        before = self.text[max(match.start() - 12, 0) : match.start()]
        return bool(_TIME_BEFORE.search(before) or _TIME_AFTER.match(self.text, match.end()))

    def castled(self, match: re.Match[str], out: _Output) -> int:
        """Reads castling typed in haste; the place after it."""
        span = self.whole.span(*match.span())
        sounds = sum(char in "O0o" for char in match["move"])
        move = "O-O-O" if sounds == 3 else "O-O"
        parts = match.groupdict()
        number, dots = parts.get("number"), parts.get("dots")
        wrong = Unreadable(
            span, match[0], move, int(number) if number else None,
            dots != "." if number else None, True, out.style,
            perhaps_no_move=dots == "." and match["move"].isdigit(),
        )  # fmt: skip
        out.add(wrong)
        if not wrong.perhaps_no_move:
            repair = match[0].replace(match["move"], move)
            reason = no_castling(match["move"], move)
            self.faults.append(Fault("move", span, reason, (repair,)))
        return match.end()

    def escape(self, at: int, end: int, out: _Output) -> int:
        if at + 1 < end and self.text[at + 1] in _PUNCTUATION:
            out.piece(at, at + 2, self.text[at + 1])
            return at + 2
        if at + 1 < end and self.text[at + 1] == "\n":
            out.piece(at, at + 2, " ")
            return at + 2
        out.words(at, at + 1)
        return at + 1

    def code(self, at: int, end: int, out: _Output) -> int:
        ticks = expression(r"`+").match(self.text, at, end)
        assert ticks is not None
        close = expression(rf"(?<!`){ticks[0]}(?!`)").search(self.text, ticks.end(), end)
        if not close or self.depth == _DEEPEST:
            out.words(at, ticks.end())
            return ticks.end()
        # Moves in code are moves: teachers set them so to make them stand out.
        style = Style(out.style.strong, out.style.emphasis, code=True)
        for inline in self.within(ticks.end(), close.start(), style):
            out.add(inline)
        return close.end()

    def angle(self, at: int, end: int, out: _Output) -> int:
        if self.text.startswith("<!--", at):
            close = self.text.find("-->", at, end)
            if close >= 0:
                return close + 3
            reason = "'<!--' is never closed in this paragraph: it is printed"
            self.faults.append(Fault("unclosed-comment", self.whole.span(at, at + 4), reason))
        out.words(at, at + 1)
        return at + 1

    def entity(self, at: int, end: int, out: _Output) -> int:
        match = expression(r"&(?:#\d{1,7}|#[xX][0-9a-fA-F]{1,6}|\w{2,31});").match(
            self.text, at, end
        )
        if match and (char := html.unescape(match[0])) != match[0]:
            out.piece(at, match.end(), char)
            return match.end()
        out.words(at, at + 1)
        return at + 1

    def link_or_figure(self, at: int, end: int, out: _Output) -> int:
        is_image = self.text[at] == "!"
        start = at + 1 if is_image else at
        close = self.brackets.get(start, -1)
        close = close if close < end else -1
        match = _ADDRESS.match(self.text, close + 1, end) if close >= 0 else None
        if not match or self.depth == _DEEPEST:
            out.words(at, at + 1)
            return at + 1
        address = match["angled"] or match["what_if"] or match["plain"] or ""
        span = self.whole.span(at, match.end())
        if is_image:
            caption = _plain(self.text[start + 1 : close])
            out.add(self.figure(span, caption, address))
        else:
            children = self.within(start + 1, close, out.style)
            marks, what_if = self.meaning(address, span)
            out.add(Link(span, address, children, marks, what_if))
        return match.end()

    def figure(self, span: Span, caption: str, address: str) -> Figure:
        if address in FIGURES:
            return Figure(span, caption, address, address)
        near = get_close_matches(address.lower(), FIGURES, 1, 0.7)
        if near and "." not in address and "/" not in address:
            reason = f"'{address}' is no figure: '{near[0]}' is"
            self.faults.append(Fault("figure", span, reason, (f"![{caption}]({near[0]})",)))
        return Figure(span, caption, "", address)

    def meaning(self, address: str, span: Span) -> tuple[tuple[Mark, ...], Edits | None]:
        if address.startswith("#"):
            return _marks(address, span, self.faults), None
        if address.startswith("?"):
            return (), _edits(address, span, self.faults)
        return (), None


def _brackets(text: str) -> dict[int, int]:
    """Where each square bracket closes, those written with a backslash left out."""
    opened: list[int] = []
    closes: dict[int, int] = {}
    for found in expression(r"\\.|[\[\]]", re.DOTALL).finditer(text):
        if found[0] == "[":
            opened.append(found.start())
        elif found[0] == "]" and opened:
            closes[opened.pop()] = found.start()
    return closes


class _Output:
    """Collects inlines and joins words that stand together."""

    def __init__(self, whole: InlineText, style: Style) -> None:
        self.whole = whole
        self.style = style
        self.inlines: list[Inline] = []

    def add(self, inline: Inline) -> None:
        self.inlines.append(inline)

    def words(self, start: int, end: int) -> None:
        """Adds words as they stand; they are split where a line's prefix was skipped."""
        while start < end:
            stop = start + 1
            offsets = self.whole.offsets
            while stop < end and offsets[stop] == offsets[stop - 1] + 1:
                stop += 1
            self.piece(start, stop, self.whole.text[start:stop].replace("\n", " "))
            start = stop

    def piece(self, start: int, end: int, text: str) -> None:
        span = self.whole.span(start, end)
        last = self.inlines[-1] if self.inlines else None
        if (
            isinstance(last, Text)
            and last.style == self.style
            and last.span.end == span.start
            and len(last.text) == last.span.end - last.span.start
            and len(text) == end - start
        ):
            self.inlines[-1] = Text(last.span.to(span), last.text + text, self.style)
        else:
            self.inlines.append(Text(span, text, self.style))

    def between(self, start: int, end: int, delimiters: _Delimiters) -> bool:
        """Adds what stands between two moves; False (nothing added) if it is more than space."""
        k, steps = start, []
        while k < end:
            if k in delimiters:
                steps.append(k)
                k += delimiters[k][0]
            elif self.whole.text[k] in "*_":
                return False
            else:
                steps.append(k)
                k += 1
        for step in steps:
            if step in delimiters:
                self.toggle(step, delimiters[step])
            elif self.whole.text[step].isspace():
                self.piece(step, step + 1, " ")
        return True

    def toggle(self, at: int, delimiter: tuple[int, bool, bool]) -> int:
        length, strong, emphasis = delimiter
        style = self.style
        self.style = Style(style.strong ^ strong, style.emphasis ^ emphasis, style.code)
        return at + length

    def finished(self) -> tuple[Inline, ...]:
        return tuple(self.inlines)


_RUN = expression(r"\*+|_+")
_Delimiters = dict[int, tuple[int, bool, bool]]


def _delimiters(text: str, start: int, end: int) -> _Delimiters:
    """Emphasis marks that pair up: place → (length, turns strong, turns emphasis).

    CommonMark's rules for runs of one to three marks that open and close as a whole; other
    arrangements stay literal, which prints the mark and loses nothing.
    """
    found: _Delimiters = {}
    open_runs: list[tuple[str, int]] = []
    still_open: Counter[str] = Counter()
    for run in _RUN.finditer(text, start, end):
        if run.start() > start and text[run.start() - 1] == "\\":
            continue
        before = text[run.start() - 1] if run.start() > start else " "
        after = text[run.end()] if run.end() < end else " "
        opens, closes = _flanking(before, after, run[0][0])
        if closes and still_open[run[0]]:
            length = len(run[0])
            kind = (length, length >= 2, length % 2 == 1)
            found[run.start()] = kind
            mark = ""
            while mark != run[0]:
                mark, place = open_runs.pop()
                still_open[mark] -= 1
            found[place] = kind
        elif opens and len(run[0]) <= 3:
            open_runs.append((run[0], run.start()))
            still_open[run[0]] += 1
    return found


def _flanking(before: str, after: str, mark: str) -> tuple[bool, bool]:
    """Whether a run may open and may close emphasis. Source: CommonMark 0.31, section 6.2."""
    space_before, space_after = before.isspace(), after.isspace()
    point_before, point_after = _is_point(before), _is_point(after)
    left = not space_after and (not point_after or space_before or point_before)
    right = not space_before and (not point_before or space_after or point_after)
    if mark == "*":
        return left, right
    return left and (not right or point_before), right and (not left or point_after)


def _move_before_parenthesis(inlines: Sequence[Inline]) -> Move | None:
    """The move right before the parenthesis that the last of these closes, or before several."""
    depth = 0
    for k in range(len(inlines) - 1, -1, -1):
        one = inlines[k]
        if isinstance(one, Paren):
            depth += -1 if one.opens else 1
        parts = isinstance(one, Paren) or (isinstance(one, Text) and not one.text.strip(" ,;\n"))
        if depth == 0 and not parts:
            return one if isinstance(one, Move) else None
    return None


def _is_played(inline: Inline) -> bool:
    """Whether a move that follows directly goes on from here."""
    return isinstance(inline, Move) or (isinstance(inline, Unreadable) and inline.played)


def _is_point(char: str) -> bool:
    return not (char.isalnum() or char.isspace())


def _names_more_than_a_square(move: WrittenMove) -> bool:
    """Whether a lone move is more than the name of a square, as `e4` is in running text."""
    return move.piece != "P" or move.claims_capture or bool(move.promotion)


_MARKUP = expression(r"\\(?=[!-/:-@\[-`{-~])|(?<!\w)[*_]{1,3}|[*_]{1,3}(?!\w)")


def _plain(markdown: str) -> str:
    return _MARKUP.sub("", markdown.replace("\n", " "))


def _unreadable(span: Span, match: re.Match[str]) -> Fault:
    move = match["move"]
    number = match[0][: match.start("move") - match.start()]
    raised = move[0].upper() + move[1:]
    repairs = (f"{number}{raised}",) if raised != move and read_move(raised) else ()
    text = move.translate(FIGURINES)
    squares = re.findall(r"[a-z]\d+", text)
    off_board = [s for s in squares if not _SQUARE.fullmatch(s)]
    reason = f"'{move}' is no move in chess notation"
    if off_board:
        reason += f": there is no square {off_board[-1]}"
    elif read_by_files(move):
        reason += ": the capture of a pawn names the square it takes on"
    return Fault("move", span, reason, repairs)


def _pair_parens(inlines: tuple[Inline, ...], faults: list[Fault]) -> tuple[Inline, ...]:
    """The same inlines, parentheses without their other half marked and, with moves, reported."""
    out = list(inlines)
    opened: list[int] = []
    last_move = max((k for k, inline in enumerate(inlines) if isinstance(inline, Move)), default=-1)
    for k, inline in enumerate(inlines):
        if isinstance(inline, Paren):
            if inline.opens:
                opened.append(k)
            elif opened:
                opened.pop()
            else:
                out[k] = Paren(inline.span, False, False, inline.style)
    for k in opened:
        paren = inlines[k]
        assert isinstance(paren, Paren)
        out[k] = Paren(paren.span, True, False, paren.style)
        if k < last_move:
            reason = "'(' opens a side line that is not closed in this paragraph"
            faults.append(Fault("side-line", paren.span, reason))
    return tuple(out)


def _marks(address: str, span: Span, faults: list[Fault]) -> tuple[Mark, ...]:
    body = address[1:]
    kind_name, colon, squares = body.rpartition(":")
    kinds = [kind.value for kind in MarkKind]
    kind = MarkKind.POINT
    if colon:
        if kind_name.lower() not in kinds:
            near = get_close_matches(kind_name.lower(), kinds, 1, 0.5)
            repairs = tuple(f"#{name}:{squares}" for name in near)
            reason = f"'{kind_name}' is no kind of mark: there are {', '.join(kinds)}"
            faults.append(Fault("mark", span, reason, repairs))
            return ()
        kind = MarkKind(kind_name.lower())
    marks: list[Mark] = []
    for part in squares.split(","):
        ends = part.strip().lower().split("-")
        distinct = len(ends) <= 2 and len(set(ends)) == len(ends)
        if distinct and all(_SQUARE.fullmatch(end) for end in ends):
            marks.append(Mark(kind, ends[0], ends[1] if len(ends) == 2 else None))
        else:
            what = part.strip() or address
            reason = f"'{what}' is neither a square like e4 nor an arrow like e1-e8"
            faults.append(Fault("mark", span, reason))
    return tuple(marks)


def _edits(address: str, span: Span, faults: list[Fault]) -> Edits | None:
    """The edits of a what-if address, or None with a fault if nothing of it can be read."""
    values: dict[str, str] = {}
    wrong: list[str] = []
    for part in address[1:].replace("&amp;", "&").split("&"):
        name, equals, value = part.partition("=")
        if name not in {"only", "remove", "place", "turn", "fen"} or not equals:
            known = "only=, remove=, place=, turn=, fen="
            wrong.append(f"'{part}' is no change of the board: there are {known}")
            continue
        values[name] = value.replace("%20", " ").replace("%2F", "/").strip()
    only = values.get("only", "").upper()
    if set(only) - set("KQRBNP"):
        wrong.append(f"'only={values['only']}' has letters that are no pieces (K Q R B N P)")
        only = "".join(c for c in only if c in "KQRBNP")
    remove = _list(values.get("remove", ""), r"[a-h][1-8]", "remove", wrong)
    place = _list(values.get("place", ""), r"[KQRBNPkqrbnp][a-h][1-8]", "place", wrong)
    turn = values.get("turn", "").lower()
    if turn not in {"", "white", "black"}:
        wrong.append(f"'turn={turn}' is neither white nor black")
        turn = ""
    faults.extend(Fault("what-if", span, reason) for reason in wrong)
    edits = Edits(only, tuple(remove), tuple((p[0], p[1:]) for p in place), turn,
                  values.get("fen", "").replace("_", " "))  # fmt: skip
    return None if wrong and edits == Edits() else edits


def _list(value: str, pattern: str, name: str, wrong: list[str]) -> list[str]:
    items = [item.strip() for item in value.split(",") if item.strip()]
    bad = [item for item in items if not re.fullmatch(pattern, item)]
    example = "a1,h1" if name == "remove" else "Nd5,rd8"
    wrong.extend(f"'{item}' in {name}= is not written like {example}" for item in bad)
    return [item for item in items if item not in bad]
