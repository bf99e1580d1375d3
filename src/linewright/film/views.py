"""What is seen when: Timeline → `Film`, a list of views with the frame each begins at.

Time here is counted in frames of a fixed rate; only frames on which the picture changes are
listed, so that still seconds cost nothing.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import dataclass, replace

from linewright.captioning import Caption, captions
from linewright.drawing import squares_of, white_to_move
from linewright.inline import Mark
from linewright.lesson import Change, Lesson, Step
from linewright.notation import read_move
from linewright.speech import say_move
from linewright.timing import Cue, Timeline

GLIDE_MS = 250
"""How long a piece is on its way; about what the eye follows (common practice, no source)."""

BACK_MS = 420
"""How long pieces take to go back several moves at once."""

MARK_HOLD_MS = 1500
"""How long a mark stays after its words, unless the board changes first."""

CARD_MS = 1200
"""Shortest title or end card."""


@dataclass(frozen=True, slots=True)
class Shape:
    """The size of the picture. **Units**: pixels, both even."""

    name: str
    width_px: int
    height_px: int


SHAPES = {
    "wide": Shape("wide", 1920, 1080),
    "tall": Shape("tall", 1080, 1920),
    "square": Shape("square", 1080, 1080),
}


def shape_of(name: str) -> Shape | None:
    """The shape of a name, or of a size like `1280x720` (made even, 160 to 4096); None otherwise.

    >>> shape_of("641x361")
    Shape(name='641x361', width_px=640, height_px=360)
    """
    if name in SHAPES:
        return SHAPES[name]
    width, _, height = name.lower().partition("x")
    if not (width.isdigit() and height.isdigit()) or len(name) > 9:
        return None
    sizes = [int(width) // 2 * 2, int(height) // 2 * 2]
    if not all(160 <= size <= 4096 for size in sizes):
        return None
    return Shape(name, *sizes)


@dataclass(frozen=True, slots=True)
class Card:
    """The words beside the board: the part, the move as written and said, the line to it.

    `line` is (words, is it the current move) in order; `note` tells a going-back or an imagined
    board.
    """

    part: str = ""
    move: str = ""
    said: str = ""
    line: tuple[tuple[str, bool], ...] = ()
    note: str = ""
    to_move: str = ""


@dataclass(frozen=True, slots=True)
class Travel:
    """A piece on its way; `share` of the way gone in thousandths, so that views can be compared."""

    letter: str
    from_square: str
    to_square: str
    share: int


@dataclass(frozen=True, slots=True)
class View:
    """One picture. Equal views look the same.

    `kind` is ``board``, ``title`` or ``end``; `resting` are the pieces that stand still as
    (square, letter).
    """

    kind: str = "board"
    resting: tuple[tuple[str, str], ...] = ()
    travelling: tuple[Travel, ...] = ()
    white_to_move: bool = True
    imagined: bool = False
    last: str = ""
    marks: tuple[Mark, ...] = ()
    card: Card = Card()
    caption: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Shot:
    """A view and the frame it begins at."""

    frame: int
    view: View


@dataclass(frozen=True, slots=True)
class Film:
    """The shots of a lesson in order.

    `parts` are (title, first frame), `frames` the length; `title_fen` and `end_fen` the boards of
    the title and the end card.
    """

    shots: tuple[Shot, ...]
    parts: tuple[tuple[str, int], ...]
    frames: int
    fps: int
    flipped: bool
    title: str
    byline: str
    captions: tuple[Caption, ...]
    title_fen: str
    end_fen: str

    def view_at(self, frame: int) -> View:
        """The picture of a frame."""
        k = bisect_right([shot.frame for shot in self.shots], frame)
        return self.shots[max(k - 1, 0)].view


@dataclass(frozen=True, slots=True)
class _Glide:
    start_ms: int
    end_ms: int
    fen: str
    to_fen: str


@dataclass(frozen=True, slots=True)
class _Marked:
    start_ms: int
    end_ms: int
    mark: Mark


def film_of(lesson: Lesson, timeline: Timeline, fps: int = 30, burnt: bool = False) -> Film:
    """The film of a lesson. `burnt` writes the captions into the picture."""
    return _Director(lesson, timeline, fps, burnt).direct()


def part_of(film: Film, words: str) -> tuple[Film, int, int] | None:
    """The part whose title holds some words as a film of its own, with its first frame and the
    one after its last; None if there is no such part."""
    starts = [*film.parts, ("", film.frames)]
    for k, (title, first) in enumerate(film.parts):
        if words.lower() not in title.lower():
            continue
        end = starts[k + 1][1]
        inside = [s for s in film.shots if first < s.frame < end and s.view.kind == "board"]
        shots = (Shot(0, film.view_at(first)), *(Shot(s.frame - first, s.view) for s in inside))
        low, high = first * 1000 // film.fps, end * 1000 // film.fps
        heard = tuple(
            replace(c, start_ms=max(c.start_ms - low, 0), end_ms=min(c.end_ms, high) - low)
            for c in film.captions
            if first <= round(c.start_ms * film.fps / 1000) < end
        )
        part = replace(film, shots=shots, parts=((title, 0),), frames=end - first, captions=heard)
        return part, first, end
    return None


class _Director:
    def __init__(self, lesson: Lesson, timeline: Timeline, fps: int, burnt: bool) -> None:
        self.lesson = lesson
        self.timeline = timeline
        self.fps = fps
        self.captions = tuple(captions(timeline))
        self.burnt = burnt
        self.cues = timeline.cues
        self.cue_starts = [cue.start_ms for cue in self.cues]
        self.glides = list(self.find_glides())
        self.marks = list(self.find_marks())
        self.title_until, self.end_from = self.cards_at()

    def direct(self) -> Film:
        frames = max(self.frame(self.timeline.total_ms), 1)
        shots: list[Shot] = []
        for frame in sorted(f for f in self.changes() if f < frames):
            view = self.view(frame)
            if not shots or shots[-1].view != view:
                shots.append(Shot(frame, view))
        front = self.lesson.front
        byline = ", ".join(part for part in (front.teacher, front.club) if part)
        parts = tuple((part.title, self.frame(part.start_ms)) for part in self.timeline.parts)
        return Film(
            tuple(shots),
            parts,
            frames,
            self.fps,
            front.taught == "Black",
            front.title,
            byline,
            self.captions,
            *self.card_boards(),
        )

    def card_boards(self) -> tuple[str, str]:
        """The first part's key position, and the last real board."""
        tree, parts = self.lesson.tree, self.lesson.parts
        real = [cue.fen for cue in self.cues if not (cue.step and cue.step.imagined)]
        first = tree.nodes[parts[0].key].fen if parts else tree.nodes[0].fen
        return first, real[-1] if real else first

    def frame(self, ms: float) -> int:
        return round(ms * self.fps / 1000)

    def changes(self) -> set[int]:
        """Every frame at which the picture may change."""
        out = {0, self.frame(self.title_until), self.frame(self.end_from)}
        out |= {self.frame(cue.start_ms) for cue in self.cues}
        out |= {self.frame(part.start_ms) for part in self.timeline.parts}
        for mark in self.marks:
            out |= {self.frame(mark.start_ms), self.frame(mark.end_ms)}
        if self.burnt:
            for caption in self.captions:
                out |= {self.frame(caption.start_ms), self.frame(caption.end_ms)}
        for glide in self.glides:
            out |= set(range(self.frame(glide.start_ms), self.frame(glide.end_ms) + 1))
        return out

    def cards_at(self) -> tuple[int, int]:
        """Until when the title stands, and from when the end card: only in silence."""
        words = [word for word in self.timeline.words if word.said]
        total = self.timeline.total_ms
        if not words or not self.lesson.front.title:
            return 0, total
        first, last = words[0].start_ms - 400, words[-1].end_ms + 500
        return (first if first >= CARD_MS else 0), (last if total - last >= CARD_MS else total)

    # Glides

    def find_glides(self) -> Iterator[_Glide]:
        """The ways of pieces, none longer than its board is shown."""
        fen = self.lesson.tree.nodes[0].fen
        free_ms = 0
        for k, cue in enumerate(self.cues):
            step = cue.step
            until = self.cues[k + 1].start_ms if k + 1 < len(self.cues) else cue.end_ms
            if step is not None:
                base = self.lesson.tree.nodes[step.base].fen
                if step.change is Change.MOVE and step.went_elsewhere and base != fen:
                    start = max(free_ms, cue.start_ms - BACK_MS)
                    if cue.start_ms > start:
                        yield _Glide(start, cue.start_ms, fen, base)
                    fen = base
                length = GLIDE_MS if step.change is Change.MOVE else BACK_MS
                end = cue.start_ms + min(length, 4 * (until - cue.start_ms) // 5)
                if cue.fen != fen:
                    yield _Glide(cue.start_ms, end, fen, cue.fen)
                free_ms = end
            fen = cue.fen

    # Marks

    def find_marks(self) -> Iterator[_Marked]:
        """When each mark is seen: with its words and a little longer, on its own board only."""
        words = self.timeline.words
        for placed in self.lesson.marks:
            said = [
                word
                for word in words
                if word.span.end > placed.words.start and word.span.start < placed.words.end
            ]
            if not said:
                continue
            start, end = said[0].start_ms, said[-1].end_ms + MARK_HOLD_MS
            k = bisect_right(self.cue_starts, start)
            cues = self.cues[max(k - 1, 0) :]
            own = next((cue for cue in cues if cue.fen == placed.fen and cue.end_ms > start), None)
            if own is None or own.start_ms > end + MARK_HOLD_MS:
                continue
            start = max(start, own.start_ms)
            end = max(end, start + MARK_HOLD_MS)  # its board may come just after its words
            leaves = next(
                (c.start_ms for c in cues if c.start_ms > start and c.fen != own.fen), end
            )
            yield _Marked(start, max(min(end, leaves), start), placed.mark)

    # Views

    def view(self, frame: int) -> View:
        ms = frame * 1000 / self.fps
        half = 500 / self.fps
        caption = self.caption(ms + half) if self.burnt else ()
        if frame < self.frame(self.title_until):
            return View("title")
        if frame >= self.frame(self.end_from) and self.end_from < self.timeline.total_ms:
            return View("end")
        k = max(bisect_right(self.cue_starts, ms + half) - 1, 0)
        cue = self.cues[k]
        view = self.board(cue, ms, frame)
        marks = tuple(
            m.mark for m in self.marks if self.frame(m.start_ms) <= frame < self.frame(m.end_ms)
        )
        return replace(view, marks=marks, caption=caption, card=self.card(cue, ms + half))

    def board(self, cue: Cue, ms: float, frame: int) -> View:
        imagined = bool(cue.step and cue.step.imagined)
        last = _last_move(self.lesson, cue.step)
        for glide in self.glides:
            first, end = self.frame(glide.start_ms), self.frame(glide.end_ms)
            if first <= frame < end:
                share = (frame - first + 1) / (end - first + 1)
                resting, travelling = between(glide.fen, glide.to_fen, share)
                turn = white_to_move(glide.fen)
                return View("board", resting, travelling, turn, imagined, last)
        resting = tuple(sorted(squares_of(cue.fen).items()))
        return View("board", resting, (), white_to_move(cue.fen), imagined, last)

    def caption(self, ms: float) -> tuple[str, ...]:
        shown = (c for c in self.captions if c.start_ms <= ms < c.end_ms)
        return next((c.lines for c in shown), ())

    def card(self, cue: Cue, ms: float) -> Card:
        parts = [part for part in self.timeline.parts if part.start_ms <= ms]
        part = parts[-1].title if parts else ""
        side = f"{'White' if white_to_move(cue.fen) else 'Black'} to move"
        if cue.step is None:
            return Card(part, to_move=side)
        move, said, note = _told(self.lesson, cue.step)
        return Card(part, move, said, _line(self.lesson, cue.step), note, side)


def _last_move(lesson: Lesson, step: Step | None) -> str:
    if step is None or step.imagined:
        return ""
    move = lesson.tree.nodes[step.after].move
    return move.uci()[:4] if move else ""


def _told(lesson: Lesson, step: Step) -> tuple[str, str, str]:
    """The move as written and as said, and what else happens to the board."""
    node = lesson.tree.nodes[step.after]
    if step.imagined:
        return "", "", "an imagined board"
    if node.parent is None:
        return "", "", "the starting position"
    placed = lesson.move_at(step.span.start)
    suffix = placed.written.suffix if placed and placed.node == step.after else ""
    written = read_move(node.san)
    said = say_move(written) if written else ""
    note = ""
    if step.change is not Change.MOVE:
        note = "back to"
    elif step.went_elsewhere:
        base = lesson.tree.nodes[step.base]
        note = f"instead, after {base.label}" if base.label else "from the start"
    return f"{node.label}{suffix}", said, note


LINE_WORDS = 36
"""Most moves of a line shown; longer ones lose their beginning."""


def _line(lesson: Lesson, step: Step) -> tuple[tuple[str, bool], ...]:
    nodes = lesson.tree.line(step.after)
    shown = nodes[-LINE_WORDS:]
    words = [
        (node.label if node.white or k == 0 else node.san, node.index == step.after)
        for k, node in enumerate(shown)
    ]
    return tuple([("…", False)] * (len(shown) < len(nodes)) + words)


MOVE_MS = 1300
"""How long each board of a clip is shown; common practice, no source."""


def film_of_line(lesson: Lesson, node: int, fps: int = 24) -> Film:
    """A silent film from the position before a move along its line to the end."""
    tree = lesson.tree
    first = tree.nodes[node]
    start = tree.nodes[first.parent if first.parent is not None else 0]
    boards = [start, *([first] if first is not start else []), *tree.main_line(node)]
    pause, glide = round(MOVE_MS * fps / 1000), round(GLIDE_MS * fps / 1000)
    shots: list[Shot] = []
    for k, here in enumerate(boards):
        at = k * pause
        card = _clip_card(lesson, here.index)
        last = here.move.uci()[:4] if here.move else ""
        white = white_to_move(here.fen)
        if k:
            for step in range(glide):
                resting, moving = between(boards[k - 1].fen, here.fen, (step + 1) / (glide + 1))
                shots.append(
                    Shot(at + step, View("board", resting, moving, not white, last=last, card=card))
                )
        resting = tuple(sorted(squares_of(here.fen).items()))
        frame = at + glide if k else 0
        shots.append(Shot(frame, View("board", resting, (), white, last=last, card=card)))
    front = lesson.front
    flipped = front.taught == "Black"
    frames = len(boards) * pause + pause
    return Film(tuple(shots), (), frames, fps, flipped, front.title, "", (), start.fen, start.fen)


def _clip_card(lesson: Lesson, index: int) -> Card:
    node = lesson.tree.nodes[index]
    written = read_move(node.san)
    side = f"{'White' if white_to_move(node.fen) else 'Black'} to move"
    title = lesson.front.title
    if written is None:
        return Card(title, to_move=side)
    return Card(title, f"{node.label}{node.suffix}", say_move(written), (), "", side)


def between(
    fen: str, to_fen: str, share: float
) -> tuple[tuple[tuple[str, str], ...], tuple[Travel, ...]]:
    """The pieces at rest and on their way from one board to another.

    Pieces of a kind that leave and arrive are matched nearest first; what is taken stands until
    the end, what is new appears at the end. `share` of the time gone, 0 to 1.

    >>> _, on_the_way = between("8/8/8/8/8/8/4P3/8 w - -", "8/8/8/8/4P3/8/8/8 b - -", 0.5)
    >>> on_the_way
    (Travel(letter='P', from_square='e2', to_square='e4', share=500),)
    """
    before, after = squares_of(fen), squares_of(to_fen)
    resting = {s: p for s, p in before.items() if after.get(s) == p}
    leaving = {s: p for s, p in before.items() if after.get(s) != p}
    arriving = {s: p for s, p in after.items() if before.get(s) != p}
    gone = round(1000 * share * share * (3 - 2 * share))
    travelling: list[Travel] = []
    pairs = sorted(
        (_distance(a, b), a, b) for a, p in leaving.items() for b, q in arriving.items() if p == q
    )
    for _, origin, to in pairs:
        if origin in leaving and to in arriving:
            travelling.append(Travel(leaving.pop(origin), origin, to, gone))
            del arriving[to]
    return tuple(sorted((resting | leaving).items())), tuple(travelling)


def _distance(a: str, b: str) -> int:
    return max(abs(ord(a[0]) - ord(b[0])), abs(int(a[1]) - int(b[1])))
