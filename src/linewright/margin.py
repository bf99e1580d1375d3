"""Notes in the margin of a sheet a teacher works from: numbers, boards, counts, verdicts.

What the proof sheet of a lesson and that of a talk have in common.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any

from markupsafe import Markup

from linewright.drawing import NARROW, Dark, Marking, board_svg, white_to_move
from linewright.drawing.palette import DAY, NIGHT, css_variables
from linewright.typography import curled_text, printed

MOST_DIAGRAMS = 150
"""More boards than this make the sheet too heavy to open; further notes stand without."""


@cache
def stylesheet(*more: str) -> str:
    """The style sheet of the sheets, with further ones of the package's templates after it."""
    from jinja2 import Environment

    names = ("proof.css", *more)
    folder = resources.files("linewright") / "templates"
    text = "".join((folder / name).read_text("utf-8") for name in names)
    css: str = (
        Environment(autoescape=False)
        .from_string(text)
        .render(day=css_variables(DAY), night=css_variables(NIGHT))
    )
    return css


# --- notes ------------------------------------------------------------------------------------

LOOKS = ("error", "warning", "note")
"""How a note looks, the gravest first."""
NO_BOARD = Markup("")


@dataclass(frozen=True, slots=True)
class MarginNote:
    """A note as it stands in the margin. `board` is empty where no board helps.

    `look` is one of `LOOKS`, `name` what the teacher reads, `where` what stands behind it.
    `mend` says what to do, `to_copy` are words that may be copied for it.
    """

    number: int
    look: str
    name: str
    where: str
    message: str
    because: str = ""
    proof: str = ""
    repairs: tuple[str, ...] = ()
    board: Markup = NO_BOARD
    turn: str = ""
    mend: str = ""
    to_copy: tuple[str, ...] = ()


class Diagrams:
    """Draws the boards of a sheet, the same one once in a row, until there are many."""

    def __init__(self, flipped: bool) -> None:
        self.flipped = flipped
        self.drawn = 0
        self.before: tuple[str, tuple[Marking, ...]] | None = None

    def draw(
        self, fen: str | None, marks: tuple[Marking, ...], imagined: bool = False
    ) -> tuple[Markup, str]:
        """A small board and whose move it is; nothing where the note before shows the same."""
        if not fen or (fen, marks) == self.before or self.drawn >= MOST_DIAGRAMS:
            return NO_BOARD, ""
        try:
            svg = board_svg(
                fen,
                marks,
                flipped=self.flipped,
                imagined=imagined,
                dark=Dark.TINTED,
                margins=NARROW,
                shared=True,
            )
        except (ValueError, IndexError):
            return NO_BOARD, ""
        self.before = (fen, marks)
        self.drawn += 1
        return Markup(svg), f"{'White' if white_to_move(fen) else 'Black'} to move"


def number_chip(number: int, look: str, name: str) -> Markup:
    """The number of a note behind its words, which leads to the note."""
    return Markup('\u2060<a class="no {0}" href="#f{1}" aria-label="{2} {1}">{1}</a>').format(
        look, number, name
    )


def noted_words(words: Markup, note: int, look: str, long: bool, begins: bool) -> Markup:
    """Words underlined as those of a note, which they lead to; where it begins it leads back."""
    place = Markup(' id="w{}"').format(note) if begins else ""
    return Markup('<a class="at {}{}"{} href="#f{}">{}</a>').format(
        look, " long" if long else "", place, note, words
    )


def sentence(message: str) -> str:
    """A message as a sentence: first letter large, a full stop at its end.

    A square or a pawn's move keeps its small letter: "E5" and "Exd5" are none.

    >>> sentence("'6.Nd9' is no move"), sentence("black is in check"), sentence("e5 is empty")
    ('‘6.Nd9’ is no move.', 'Black is in check.', 'e5 is empty.')
    """
    if not message:
        return ""
    small = re.match(r"[a-h](?:x?[a-h]?[1-8]|-(?:pawn|file))", message)
    told = curled_text(message if small else message[:1].upper() + message[1:])
    return told if told.endswith((".", "!", "?", "…")) else f"{told}."


def counted(number: int, one: str, many: str = "") -> str:
    """A number with its word: "1 move", "2,000 moves".

    >>> counted(1, "slip"), counted(0, "reply", "replies")
    ('1 slip', '0 replies')
    """
    return f"{number:,} {one if number == 1 else many or one + 's'}"


@dataclass(frozen=True, slots=True)
class Count:
    """How many notes of a kind there are, and which."""

    look: str
    words: str
    numbers: tuple[int, ...]


def tally(notes: Iterable[MarginNote]) -> list[Count]:
    """The notes counted by their names, the gravest first.

    >>> note = MarginNote(1, "error", "Perhaps a slip", "0:03", "")
    >>> [count.words for count in tally([note, note])]
    ['2 perhaps slips']
    """
    numbers: dict[tuple[int, str], list[int]] = {}
    for note in notes:
        numbers.setdefault((LOOKS.index(note.look), note.name.lower()), []).append(note.number)
    return [
        Count(LOOKS[rank], counted(len(found), name, f"{name.replace(' a ', ' ')}s"), tuple(found))
        for (rank, name), found in sorted(numbers.items())
    ]


# --- statements -------------------------------------------------------------------------------

_VERDICTS = {"holds": "hold", "fails": "fail", "cannot-tell": "could not be judged"}


def statement_counts(verdicts: Sequence[Any]) -> str:
    """How many statements were judged and how: "31 statements: 27 hold, 2 fail …"."""
    if not verdicts:
        return ""
    counts = Counter(str(verdict.verdict) for verdict in verdicts)
    told = [f"{counts[key]} {words}" for key, words in _VERDICTS.items() if counts[key]]
    if counts["holds"] == 1:
        told = [part.replace("1 hold", "1 holds") for part in told]
    if counts["fails"] == 1:
        told = [part.replace("1 fail", "1 fails") for part in told]
    return f"{counted(len(verdicts), 'statement')}: {', '.join(told)}"


@dataclass(frozen=True, slots=True)
class Told:
    """A judged statement as a sheet lists it; `anchor` is the id of its place."""

    place: str
    anchor: str
    words: str
    verdict: str
    because: str


def told(verdict: Any, place: str, anchor: str) -> Told:
    """A judged statement as a sheet lists it."""
    said = {"holds": "holds", "fails": "fails"}.get(str(verdict.verdict), "not judged")
    words, because = printed(verdict.statement.words), printed(verdict.because)
    return Told(place, anchor, words, said, because)
