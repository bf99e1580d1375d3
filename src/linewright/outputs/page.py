"""The lesson to read on a screen: one HTML file, with a board that follows the words.

Nothing is loaded from anywhere. Without scripts, and on paper, diagrams stand between the words.
"""

from __future__ import annotations

import base64
import hashlib
import json
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any

from jinja2 import Environment
from markupsafe import Markup, escape

from linewright.drawing import (
    FULL,
    Dark,
    Marking,
    board_svg,
    ground_svg,
    last_svg,
    mark_sample,
    shared_shapes,
    turn_svg,
)
from linewright.drawing.board import SIDE, mark_words
from linewright.drawing.marks import arrow, square_mark
from linewright.drawing.palette import DAY, MARK_COLOURS, NIGHT, WORD_COLOURS, css_variables
from linewright.html import render
from linewright.masthead import (
    MEANINGS,
    explained,
    facts_line,
    missing_picture,
    opening_line,
    players_line,
)
from linewright.outputs import Artifact, Edition
from linewright.plates import is_for_students, plate_of
from linewright.reading import Reading, set_out
from linewright.script import BlockKind
from linewright.set_blocks import (
    Diagram,
    Drawing,
    Exercise,
    ImaginedWords,
    LinkedWords,
    MarkedWords,
    MentionWords,
    MoveWords,
    Picture,
    Plate,
    Run,
    SetBlock,
    Turn,
    after,
    grouped,
    heading_levels,
    own_name,
    plain,
)

LINES = {
    "point": "solid",
    "attack": "wavy",
    "defend": "double",
    "plan": "dashed",
    "weak": "dotted",
}
"""How marked words are underlined: by shape as well as colour, like the marks themselves."""


def make(edition: Edition) -> tuple[Artifact, ...]:
    """The page as one HTML file."""
    html = page_html(edition)
    return (Artifact(f"{edition.base}.html", "text/html", html.encode()),)


def page_html(edition: Edition) -> str:
    """The text of the page."""
    reading = set_out(edition.lesson)
    web = _Web(edition, reading)
    body = Markup("\n").join(web.body())
    front = edition.lesson.front
    css = _stylesheet()
    script = _template_text("page.js")
    return render(
        "page.html",
        language=front.language or "en",
        policy=_policy(css, script),
        title=reading.title,
        front=front,
        players=players_line(edition.lesson),
        opening=opening_line(edition.lesson),
        facts=facts_line(edition.lesson),
        css=Markup(css),
        shapes=Markup(shared_shapes()),
        parts=web.parts,
        body=body,
        key=list(web.key()),
        data=Markup(_json(web.data())),
        script=Markup(script),
    )


def _template_text(name: str) -> str:
    return (resources.files("linewright") / "templates" / name).read_text("utf-8")


@cache
def _stylesheet() -> str:
    environment = Environment(autoescape=False)
    css: str = environment.from_string(_template_text("page.css")).render(
        day=css_variables(DAY, WORD_COLOURS), night=css_variables(NIGHT, MARK_COLOURS), lines=LINES
    )
    return css


def _policy(css: str, script: str) -> str:
    """A policy under which the browser runs this style and this script and nothing else."""

    def digest(text: str) -> str:
        return base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()

    return (
        f"default-src 'none'; style-src 'sha256-{digest(css)}' 'unsafe-hashes';"
        f" script-src 'sha256-{digest(script)}'; base-uri 'none'; form-action 'none'"
    )


def _json(data: object) -> str:
    """JSON that cannot end the script element it stands in."""
    text = json.dumps(data, ensure_ascii=False, separators=(",", ":"))
    return text.replace("<", "\\u003c").replace("\u2028", "\\u2028").replace("\u2029", "\\u2029")


@dataclass(frozen=True, slots=True)
class Stop:
    """One board of the page: what stands on it, what led to it, what is marked; `back` where the
    board only goes back at the end of a side line, which is no step for a reader who clicks;
    `looked_up` in a box of moves that the words tell too, past which the reader is led."""

    fen: str
    caption: str
    last: str = ""
    imagined: bool = False
    marks: tuple[str, ...] = ()
    words: str = ""
    back: bool = False
    looked_up: bool = False

    def record(self) -> dict[str, object]:
        """The stop as the page's script reads it."""
        placement, _, rest = self.fen.partition(" ")
        return {
            "f": placement,
            "t": "b" if rest.startswith("b") else "w",
            "i": int(self.imagined),
            "l": self.last,
            "m": self.marks,
            "c": self.caption,
            "w": self.words,
            "b": int(self.back),
            "x": int(self.looked_up),
        }


@dataclass(frozen=True, slots=True)
class PartLink:
    """An entry of the list of parts."""

    id: str
    level: int
    title: str


class _Web:
    """Writes the words of the page and collects its boards."""

    def __init__(self, edition: Edition, reading: Reading) -> None:
        self.edition = edition
        self.lesson = edition.lesson
        self.reading = reading
        start = self.lesson.tree.nodes[0]
        self.stops = [Stop(start.fen, after(start))]
        self.marks: dict[str, dict[str, str]] = {}
        self.kinds: dict[str, None] = {}
        self.parts: list[PartLink] = []
        self.exercises = 0
        self.looked_up = False

    # The words

    def body(self) -> Iterator[Markup]:
        levels = heading_levels(self.reading.blocks)
        blocks = self.reading.blocks
        k = 0
        while k < len(blocks):
            group = grouped(self.lesson, blocks, k)
            yield from self.group(group, levels.get(k, 2))
            for block in group:
                yield from (self.plate(plate) for plate in block.plates)
            k += len(group)

    def group(self, group: list[SetBlock], level: int) -> Iterator[Markup]:
        block = group[0]
        match block.kind:
            case BlockKind.QUOTE:
                yield self.idea(group)
            case BlockKind.ITEM:
                items = Markup("").join(self.item(item) for item in group)
                yield Markup('<div class="list" role="list">{}</div>').format(items)
            case BlockKind.HEADING:
                yield self.heading(block, level)
            case BlockKind.PAUSE:
                yield Markup('<p class="pause" aria-hidden="true">∗∗∗</p>')
            case BlockKind.CODE:
                yield Markup("<pre>{}</pre>").format(block.content.rstrip("\n"))
            case _ if block.runs:
                yield Markup("<p>{}</p>").format(self.words(block))

    def heading(self, block: SetBlock, level: int) -> Markup:
        part = PartLink(f"part-{len(self.parts) + 1}", level, plain(block.runs))
        self.parts.append(part)
        tag = f"h{min(level, 6)}"
        return Markup('<{0} id="{1}">{2}</{0}>').format(Markup(tag), part.id, self.words(block))

    def idea(self, group: list[SetBlock]) -> Markup:
        named = own_name(group[0])
        label = Markup("") if named else Markup('<p class="label">Key idea</p>')
        paragraphs = (Markup("<p>{}</p>").format(self.words(b)) for b in group if b.runs)
        inside = label + Markup("").join(paragraphs)
        return Markup('<aside class="idea" aria-label="{}">{}</aside>').format(
            named or "Key idea", inside
        )

    def item(self, block: SetBlock) -> Markup:
        return Markup(
            '<div class="item d{}" role="listitem"><span>{}</span><p>{}</p></div>'
        ).format(min(max(block.level, 1), 5), block.marker, self.words(block))

    def words(self, block: SetBlock) -> Markup:
        self.looked_up = block.looked_up
        words = self.runs(block.runs)
        if block.end_step is not None:
            words += self.end_of(block.end_step)
        self.looked_up = False
        return words

    def runs(self, runs: Iterable[Run]) -> Markup:
        return Markup("").join(self.run(run) for run in runs)

    def run(self, run: Run) -> Markup:
        match run:
            case MoveWords():
                return _styled(self.move(run), run.style.emphasis, False)
            case MentionWords():
                words = Markup('<span class="mention">{}</span>').format(run.text)
                return _styled(words, run.style.emphasis, run.style.strong)
            case Turn():
                step = self.lesson.steps[run.step]
                return self.stop_words(self.board_of(step.after, back=True), escape(run.text), "")
            case MarkedWords():
                return self.marked(run)
            case ImaginedWords():
                words = self.runs(run.runs)
                stop = Stop(run.board.fen, "Imagined board", "", True, (), plain(run.runs))
                return self.stop_words(stop, words, "what-if")
            case LinkedWords():
                return self.link(run)
            case _:
                words = escape(run.text)
                if run.style.code and run.text.strip():
                    words = Markup("<code>{}</code>").format(words)
                return _styled(words, run.style.emphasis, run.style.strong)

    def move(self, run: MoveWords) -> Markup:
        look = "mv main" if run.main or run.style.strong else "mv"
        words = escape(run.text)
        if run.boxed and run.number:
            words = Markup("<b>{}</b>{}").format(run.number, run.text.removeprefix(run.number))
        if run.node is None:
            return Markup('<span class="{}">{}</span>').format(look, words)
        return self.stop_words(self.board_of(run.node), words, look)

    def board_of(self, index: int, back: bool = False) -> Stop:
        node = self.lesson.tree.nodes[index]
        last = node.move.uci()[:4] if node.move else ""
        return Stop(node.fen, after(node), last, back=back, looked_up=self.looked_up)

    def marked(self, run: MarkedWords) -> Markup:
        words = self.runs(run.runs)
        kinds = dict.fromkeys(mark.kind.value for mark in run.marks)
        self.kinds.update(kinds)
        look = " ".join(("mk", *(f"mk-{kind}" for kind in kinds)))
        caption = "Imagined board" if run.imagined else self.caption_at(run)
        keys = tuple(self.mark(mark) for mark in run.marks)
        stop = Stop(run.fen, caption, "", run.imagined, keys, plain(run.runs))
        return self.stop_words(stop, words, look)

    def caption_at(self, run: MarkedWords) -> str:
        return after(self.lesson.tree.nodes[self.lesson.at(run.span.end - 1).node])

    def mark(self, mark: Marking) -> str:
        """The key under which the page's script finds a mark's drawing and words."""
        key = f"{mark.kind}:{mark.square}{'-' + mark.to if mark.to else ''}"
        if mark.to:
            drawn = {"svg": arrow(mark.kind, _middle(mark.square), _middle(mark.to))}
        else:
            drawn = {"svg": square_mark(mark.kind, 0, 0), "at": mark.square}
        self.marks[key] = {**drawn, "words": mark_words(mark)}
        return key

    def link(self, run: LinkedWords) -> Markup:
        words = self.runs(run.runs)
        if run.address.startswith(("https://", "http://", "mailto:")):
            return Markup('<a href="{}" rel="noreferrer">{}</a>').format(run.address, words)
        return words

    def stop_words(self, stop: Stop, words: Markup, look: str) -> Markup:
        self.stops.append(stop)
        number = len(self.stops) - 1
        return Markup('<span class="{}" data-stop="{}">{}</span>').format(look, number, words)

    def end_of(self, index: int) -> Markup:
        """The place at a block's end where the board goes back, which has no words."""
        return self.stop_words(
            self.board_of(self.lesson.steps[index].after, back=True), Markup(""), ""
        )

    # Plates

    def plate(self, plate: Plate) -> Markup:
        match plate:
            case Diagram():
                return self.diagram(plate)
            case Exercise():
                return self.exercise(plate)
            case Drawing():
                return self.drawing(plate)
            case Picture():
                return Markup('<p class="absent">{}</p>').format(missing_picture(plate))

    def board(self, fen: str, marks: tuple[Marking, ...] = (), **options: Any) -> Markup:
        svg = board_svg(
            fen, marks, flipped=self.reading.flipped, dark=Dark.TINTED, shared=True, **options
        )
        return Markup('<span class="paper">{}</span>').format(Markup(svg))

    def diagram(self, plate: Diagram) -> Markup:
        last = "" if plate.marks else plate.last
        board = self.board(plate.fen, plate.marks, imagined=plate.imagined, last=last)
        self.kinds.update(dict.fromkeys(mark.kind.value for mark in plate.marks))
        look = "asked" if plate.asked else "still"
        return _figure(board, plate.caption, look)

    def exercise(self, plate: Exercise) -> Markup:
        self.exercises += 1
        answer = Markup("")
        if plate.answer:
            answer = Markup("<details><summary>Answer</summary><p>{}</p></details>").format(
                plate.answer
            )
        return Markup(
            '<section class="exercise" aria-label="Exercise {0}"><p class="label">Exercise {0}</p>'
            "{1}<p>{2}</p>{3}</section>"
        ).format(
            self.exercises,
            _figure(self.board(plate.fen), "", "asked"),
            plate.task or "What would you play?",
            answer,
        )

    def drawing(self, plate: Drawing) -> Markup:
        record = self.edition.figures.get(plate.span.start)
        made = plate_of(plate, record, self.lesson, self.drawn)
        if not is_for_students(plate, made):
            return Markup("")
        if not made.svg:
            words = f"{plate.caption}: {made.words}" if plate.caption else made.words
            return Markup('<p class="absent">{}</p>').format(words)
        picture = Markup('<span class="paper" role="img" aria-label="{}">{}</span>').format(
            made.words, Markup(made.svg)
        )
        look = "asked" if plate.kind == "pawn-ending" else "asked wide"
        notes = Markup("").join(Markup('<p class="verdict">{}</p>').format(n) for n in made.notes)
        return _figure(picture, plate.caption, look) + notes

    def drawn(self, fen: str, imagined: bool) -> str:
        """A board for a figure."""
        return board_svg(
            fen, flipped=self.reading.flipped, imagined=imagined, dark=Dark.TINTED, shared=True,
            words="",
        )  # fmt: skip

    # What the script needs

    def key(self) -> Iterator[dict[str, object]]:
        for kind in explained(self.kinds):
            svg = Markup(mark_sample(kind))
            yield {"kind": kind, "meaning": MEANINGS[kind], "svg": svg}

    def data(self) -> dict[str, object]:
        wide, high = FULL.size
        return {
            "flipped": self.reading.flipped,
            "view": f"{-FULL.left} {-FULL.top} {wide} {high}",
            "grounds": [
                ground_svg(flipped=flipped, imagined=imagined)
                for imagined in (False, True)
                for flipped in (False, True)
            ],
            "turns": [
                turn_svg(white, flipped) for flipped in (False, True) for white in (True, False)
            ],
            "last": last_svg(0, 0),
            "marks": self.marks,
            "stops": [stop.record() for stop in self.stops],
        }


def _middle(square: str) -> tuple[float, float]:
    x, y = "abcdefgh".index(square[0]) * 100, SIDE - int(square[1]) * 100
    return x + 50, y + 50


def _styled(words: Markup, emphasis: bool, strong: bool) -> Markup:
    if strong:
        words = Markup("<strong>{}</strong>").format(words)
    return Markup("<em>{}</em>").format(words) if emphasis else words


def _figure(picture: Markup, caption: str, look: str) -> Markup:
    under = Markup("<figcaption>{}</figcaption>").format(caption) if caption else Markup("")
    return Markup('<figure class="{}">{}{}</figure>').format(look, picture, under)
