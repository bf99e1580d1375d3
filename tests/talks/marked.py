"""Talks written with their truth in them: one marked text gives the transcript and the truth file.

A marked talk (`NAME.talk`) has a few `key: value` lines, an empty line, and what is said.

* ``[Nf3|knight to f3]`` is a move with the words that say it; ``[Nf3?|words]`` one that the words
  only hint at, ``[Nf3?|]`` one made in silence; ``[Nf3!square|knight f4]`` one said wrong (the word
  after ``!`` is the kind of slip).
* ``[!square e5|pawn on e4]`` is a slip that is no move: what was meant, and what was said.
* ``[@only=KP|just kings and pawns]`` is a what-if board (``only``, ``remove``, ``place``).
* ``{night>knight}`` is a recogniser's error: what the caption shows, what was said.
* ``<save A>`` names the board, ``<to A>`` goes back to it, ``<to 3w>`` to the position after White's
  third move of the line at hand, ``<to 0>`` to the start; ``<supposed>`` and ``<mentioned>`` say what
  kind the moves are up to the next ``<to>``; ``<pause 4>`` is a silence in seconds.
"""

from __future__ import annotations

import json
import random
import re
import sys
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import chess

FOLDER = Path(__file__).parent
WRITTEN = ("tune", "aside", "plain", "plain_aside")
"""The folders with transcripts and truth files; those of the others are made when they are needed."""

RANK = {"shown": 2, "supposed": 1, "mentioned": 0}


@dataclass
class Node:
    """A move of the talk with where it was said."""

    board: chess.Board
    parent: Node | None = None
    san: str = ""
    kind: str = "shown"
    at: float | None = None
    said: str | None = None
    hint: str | None = None
    unspoken: bool = False
    children: list[Node] = field(default_factory=list)

    def path(self) -> list[Node]:
        """The nodes from the first move to this one."""
        return [] if self.parent is None else [*self.parent.path(), self]


@dataclass
class Said:
    """One word as the caption shows it, what was really said, and its time."""

    shown: str
    said: str = ""
    start: float = 0.0
    end: float = 0.0
    paragraph: int = 0


@dataclass
class Talk:
    """A marked talk taken apart."""

    name: str
    head: dict[str, str]
    words: list[Said] = field(default_factory=list)
    root: Node = field(default_factory=lambda: Node(chess.Board()))
    slips: list[dict[str, Any]] = field(default_factory=list)
    what_if: list[dict[str, Any]] = field(default_factory=list)
    changes: list[dict[str, Any]] = field(default_factory=list)


TOKEN = re.compile(
    r"\[(?P<tag>[^|\]]*)\|(?P<words>[^\]]*)\]|<(?P<order>[^>]*)>|(?P<gap>\n\s*\n)|(?P<text>(?:\{[^}]*\}|[^\[<\s{])+|\{[^}]*\}\S*)"
)


def read_marked(path: Path) -> Talk:
    """The talk in a marked file; raises `ValueError` where a move is not legal."""
    head, _, body = path.read_text("utf-8").partition("\n\n")
    keys = dict(line.split(": ", 1) for line in head.splitlines())
    talk = Talk(path.stem, keys)
    if "start" in keys:
        talk.root.board = chess.Board(keys["start"])
    Reader(talk, body).read()
    return talk


class Reader:
    """Walks the marked text once; the clock runs as the words go by."""

    def __init__(self, talk: Talk, body: str) -> None:
        self.talk, self.body = talk, body
        self.node, self.kind = talk.root, "shown"
        self.saved: dict[str, Node] = {}
        self.clock = float(talk.head.get("begins", "0.8"))
        self.pace = float(talk.head.get("pace", "150"))
        self.random = random.Random(talk.name)
        self.paragraph = 0

    def read(self) -> None:
        for token in TOKEN.finditer(self.body.strip()):
            if token["gap"]:
                self.paragraph += 1
                self.clock += 0.7
            elif token["order"] is not None:
                self.order(token["order"])
            elif token["text"]:
                self.say(token["text"])
            else:
                self.tagged(token["tag"], token["words"])

    def order(self, order: str) -> None:
        name, _, value = order.partition(" ")
        if name == "save":
            self.saved[value] = self.node
        elif name == "to":
            self.node, self.kind = self.place(value), "shown"
        elif name in ("supposed", "mentioned", "shown"):
            self.kind = name
        elif name == "pause":
            self.clock += float(value)
        else:
            raise ValueError(f"{self.talk.name}: no such order <{order}>")

    def place(self, value: str) -> Node:
        if value in self.saved:
            return self.saved[value]
        if value == "0":
            return self.talk.root
        number, side = int(value[:-1]), value[-1]
        for node in self.node.path():
            made = node.parent.board if node.parent else node.board
            if made.fullmove_number == number and made.turn == (side == "w"):
                return node
        raise ValueError(f"{self.talk.name}: no move {value} on the line")

    def tagged(self, tag: str, text: str) -> None:
        first = len(self.talk.words)
        began = self.clock
        for piece in re.findall(r"(?:\{[^}]*\}|[^\s{])+", text):
            self.say(piece)
        shown = [word.shown for word in self.talk.words[first:]]
        said = " ".join(shown).strip(" ,.;:?!—…") or None
        at = round(self.talk.words[first].start if shown else began, 2)
        if tag.startswith("@"):
            self.imagine(tag[1:], at, said)
        elif tag.startswith("!"):
            kind, _, meant = tag[1:].partition(" ")
            self.slip(at, said, meant, kind)
        else:
            self.move(tag, at, said)

    def slip(self, at: float, said: str | None, meant: str, kind: str) -> None:
        moves = [node.san for node in self.node.path()]
        self.talk.slips.append(
            {"at": at, "said": said, "meant": meant, "kind": kind, "moves": moves}
        )

    def move(self, tag: str, at: float, said: str | None) -> None:
        san, _, kind = tag.partition("!")
        unspoken = san.endswith("?")
        board = self.node.board
        try:
            move = board.parse_san(san.rstrip("?"))
        except ValueError as error:
            raise ValueError(
                f"{self.talk.name}: “{tag}” after {[n.san for n in self.node.path()]}: {error}"
            ) from error
        san = board.san(move)
        if kind:
            self.slip(at, said, san, kind)
        old = next((child for child in self.node.children if child.san == san), None)
        if old:
            old.kind = max(old.kind, self.kind, key=lambda k: RANK[k])
            self.node = old
            return
        after = board.copy(stack=False)
        after.push(move)
        node = Node(after, self.node, san, self.kind, at, said, unspoken=unspoken)
        if unspoken:
            node.hint, node.said = node.said, None
            node.at = at if node.hint else None
        self.node.children.append(node)
        self.node = node

    def imagine(self, edits: str, at: float, said: str | None) -> None:
        board = self.node.board.copy(stack=False)
        for edit in edits.split("&"):
            name, _, value = edit.partition("=")
            if name == "only":
                for square, piece in board.piece_map().items():
                    if piece.symbol().upper() not in value:
                        board.remove_piece_at(square)
            elif name == "remove":
                for name_of_square in value.split(","):
                    board.remove_piece_at(chess.parse_square(name_of_square))
            elif name == "place":
                for item in value.split(","):
                    board.set_piece_at(
                        chess.parse_square(item[1:]), chess.Piece.from_symbol(item[0])
                    )
            else:
                raise ValueError(f"{self.talk.name}: no such edit {edit}")
        moves = [node.san for node in self.node.path()]
        self.talk.what_if.append(
            {"at": at, "said": said, "edits": edits, "moves": moves, "board": board.board_fen()}
        )

    def say(self, piece: str) -> None:
        """Say a piece without spaces: a word, or an error with the words around it."""
        for text, was, now in re.findall(r"([^{]+)|\{([^>}]*)>([^}]*)\}", piece):
            if now:
                self.talk.changes.append({"at": round(self.clock, 2), "was": was, "now": now})
            for i, word in enumerate((was or text).split()):
                self.say_word(word, (now if i == 0 else "") if now else word)

    def say_word(self, word: str, said: str) -> None:
        words = self.talk.words
        if words and not any(c.isalnum() for c in word):
            if words[-1].shown[-1] not in ",.;:?!":
                words[-1].shown += word
                words[-1].said += word if words[-1].said else ""
                self.breathe(word)
            return
        start = self.clock
        syllables = max(1, len(re.findall(r"[aeiouy]+|\d|(?<![a-z])[b-h](?=\d)", word.lower())))
        spoken = 60 / self.pace * (0.45 + 0.32 * syllables) * self.random.uniform(0.85, 1.15)
        words.append(Said(word, said, start, start + spoken, self.paragraph))
        self.clock = start + spoken
        self.breathe(word)

    def breathe(self, word: str) -> None:
        """The pause that punctuation makes."""
        if word[-1] in ".!?…":
            self.clock += self.random.uniform(0.3, 0.8)
        elif word[-1] in ",;:—":
            self.clock += self.random.uniform(0.1, 0.3)


def truth(talk: Talk) -> dict[str, Any]:
    """The truth file of a talk, in the form of ``hear --json`` and with what was left unsaid."""
    timed = talk.head["form"] != "plain"
    lines, unspoken, stack = [], [], [talk.root]
    while stack:
        node = stack.pop()
        stack.extend(reversed(node.children))
        if node.unspoken:
            unspoken.append(
                {
                    "moves": [n.san for n in node.path()],
                    "hint": node.hint,
                    "at": node.at if timed else None,
                }
            )
        ends = not node.children or all(RANK[c.kind] < RANK[node.kind] for c in node.children)
        if node.parent is not None and ends:
            moves = [
                {"san": n.san, "at": n.at if timed else None, "said": n.said} for n in node.path()
            ]
            lines.append({"kind": node.kind, "moves": moves})
    out = {
        "talk": talk.name,
        "lines": lines,
        "unspoken": unspoken,
        "slips": talk.slips,
        "what_if": talk.what_if,
        "caption_changes": talk.changes,
    }
    if not timed:
        for item in (*talk.slips, *talk.what_if, *talk.changes):
            item["at"] = None
    return out


# --- the transcripts ---------------------------------------------------------------------------


def stamp(seconds: float, decimal: str = ".") -> str:
    """A caption time."""
    ms = round(seconds * 1000)
    return f"{ms // 3600000:02}:{ms // 60000 % 60:02}:{ms // 1000 % 60:02}{decimal}{ms % 1000:03}"


def cues(words: list[Said], longest: int, at_sentence: bool) -> list[list[Said]]:
    """Words in captions of at most so many words, ending with sentences or long pauses."""
    out: list[list[Said]] = [[]]
    for before, word in zip([None, *words], words, strict=False):
        full = len(out[-1]) >= longest
        closed = (
            before is not None and at_sentence and before.shown[-1] in ".?!" and len(out[-1]) > 3
        )
        paused = before is not None and word.start - before.end > 1.5
        if out[-1] and (full or closed or paused):
            out.append([])
        out[-1].append(word)
    return out


def transcript(talk: Talk) -> str:
    """The text of the transcript in the form its head asks for."""
    form = talk.head["form"]
    words = [word for word in talk.words if word.shown]
    if form == "vtt":
        blocks = [
            f"{stamp(c[0].start)} --> {stamp(c[-1].end)}\n{two_lines(c)}\n"
            for c in cues(words, 14, True)
        ]
        return "WEBVTT\n\n" + "\n".join(blocks).replace("&", "&amp;")
    if form == "srt":
        label = talk.head.get("label", "")
        blocks = []
        for i, c in enumerate(cues(words, 12, True)):
            who = f"{label}: " if label and i % 9 == 0 else ""
            blocks.append(
                f"{i + 1}\n{stamp(c[0].start, ',')} --> {stamp(c[-1].end, ',')}\n{who}{two_lines(c)}\n"
            )
        return "\n".join(blocks)
    if form == "auto":
        return "WEBVTT\nKind: captions\nLanguage: en\n\n" + rolled(words)
    paragraphs: dict[int, list[Said]] = {}
    for word in words:
        paragraphs.setdefault(word.paragraph, []).append(word)
    texts = []
    for spoken in paragraphs.values():
        minutes, seconds = divmod(int(spoken[0].start), 60)
        clock = f"[{minutes}:{seconds:02}] " if form == "text" else ""
        texts.append(clock + " ".join(word.shown for word in spoken))
    return "\n\n".join(texts) + "\n"


def two_lines(cue: list[Said]) -> str:
    """The words of a caption, on two lines where they are many."""
    text = [word.shown for word in cue]
    return (
        " ".join(text)
        if len(text) < 8
        else " ".join(text[: len(text) // 2]) + "\n" + " ".join(text[len(text) // 2 :])
    )


def rolled(words: list[Said]) -> str:
    """Live captions: small letters, no punctuation, a time for each word, lines that roll up."""
    out, before = [], ""
    for cue in cues(words, 8, False):
        plain = [
            re.sub(r"[^\w' -]|(?<!\w)-|-(?!\w)", "", word.shown).lower() or "uh" for word in cue
        ]
        timed = plain[0] + "".join(
            f"<{stamp(w.start)}><c> {p}</c>" for w, p in zip(cue[1:], plain[1:], strict=True)
        )
        out.append(
            f"{stamp(cue[0].start)} --> {stamp(cue[-1].end)} align:start position:0%\n{before or ' '}\n{timed}\n"
        )
        before = " ".join(plain)
    return "\n".join(out)


SUFFIX = {"vtt": "vtt", "auto": "vtt", "srt": "srt", "text": "txt", "plain": "md"}


def lines(talk: Talk) -> list[tuple[str, ...]]:
    """The lines of a talk (UCI), from the start to each end; none if it starts elsewhere."""
    found: list[tuple[str, ...]] = []

    def walk(node: Node, line: tuple[str, ...]) -> None:
        if not node.children and line:
            found.append(line)
        for child in node.children:
            walk(child, (*line, node.board.parse_san(child.san).uci()))

    if talk.root.board.fen() == chess.STARTING_FEN:
        walk(talk.root, ())
    return found


def files(path: Path) -> dict[Path, str]:
    """The transcript and the truth file that a marked talk gives."""
    talk = read_marked(path)
    text = transcript(talk)
    if talk.head["form"] == "auto":
        for item in talk.slips + talk.what_if:
            item["said"] = plain_words(item["said"])
        for change in talk.changes:
            change["was"] = plain_words(change["was"])
    report = truth(talk)
    if talk.head["form"] == "auto":
        for line in report["lines"]:
            for move in line["moves"]:
                move["said"] = plain_words(move["said"])
    return {
        path.with_suffix("." + SUFFIX[talk.head["form"]]): text,
        path.with_suffix(".truth.json"): json.dumps(report, indent=1, ensure_ascii=False) + "\n",
    }


def plain_words(text: str | None) -> str | None:
    """Words as live captions show them."""
    return None if text is None else " ".join(re.sub(r"[^\w' -]", "", text).lower().split())


def main() -> None:
    """Write the transcripts and truth files of the marked talks that tests read."""
    for path in sorted(path for half in WRITTEN for path in FOLDER.glob(f"{half}/*.talk")):
        if len(sys.argv) > 1 and path.stem not in sys.argv[1:]:
            continue
        for target, text in files(path).items():
            target.write_text(text, "utf-8")
        talk = read_marked(path)
        count = len(talk.words)
        print(f"{path.parent.name}/{path.stem}: {count} words, {len(talk.slips)} slips")


if __name__ == "__main__":
    main()
