"""Turn an annotated game file into a script: moves, comments, variations and glyphs kept. Floor 4.

What a script has no words for is said, not dropped silently.
"""

from __future__ import annotations

import io
import json
import re
from collections import Counter
from dataclasses import dataclass

import chess
import chess.pgn

from linewright.frontmatter import RESULTS
from linewright.moves import label
from linewright.notation import MOVE, SIGN_NAGS, SUFFIX_NAGS

_SUFFIXES = {nag: text for text, nag in SUFFIX_NAGS.items()}
_SIGNS = {10: "=", 13: "∞", 14: "⩲", 15: "⩱", 16: "±", 17: "∓", 18: "+−", 19: "−+"}
assert set(_SIGNS) == set(SIGN_NAGS.values())

_COMMAND = re.compile(r"\[%(\w+)[^\]]*\]")
_NUMBERED = re.compile(r"(\d)(\.)(?=[\s.]*[KQRBNO0a-h♔-♟])")
_MARKUP = re.compile(r"([\\`*_\[\]<>#&])")
PLAYERS = ("White", "Black")
_KEPT = {"Event", "Date", "White", "Black", "Result", "Annotator", "FEN"}
_FOUND_ANEW = {"SetUp", "ECO", "Opening", "Variation", "PlyCount"}
"""Tags that say what the moves say."""
CAUTION = (
    "Comments taken from a game file belong to whoever wrote them: ask before you publish them."
)


@dataclass(frozen=True, slots=True)
class FromGame:
    """A script made from a game, and in one line each what of the game it does not hold."""

    text: str
    not_kept: tuple[str, ...]
    players: tuple[str, ...] = ()
    """The sides ("White", "Black") whose player is named in the head."""
    names_in_words: tuple[str, ...] = ()
    """Parts of these names that stand in the words too."""


def script_from_game(pgn: str) -> FromGame | None:
    """The script of the first game of a game file; None if there is no game in it.

    The moves of the script, followed, give the same tree as the game. Never raises for what
    stands in the file.
    """
    game = chess.pgn.read_game(io.StringIO(pgn))
    if game is None or not (game.variations or game.comment):
        return None
    writer = _Writer(game)
    body = writer.body()
    rest = pgn.count("\n[Event ") + pgn.startswith("[Event ") - 1
    if rest > 0:
        writer.lost[
            f"{rest} more game{'s' * (rest > 1)} in the file: one script holds one game"
        ] = 1
    for error in game.errors:
        writer.lost[f"what cannot be played: {str(error).split(' while ')[0]}"] += 1
    front = _front_matter(game, writer.lost)
    not_kept = tuple(
        text if count == 1 else f"{text} ({count} times)" for text, count in writer.lost.items()
    )
    named = tuple(side for side in PLAYERS if _told(game, side))
    return FromGame(f"{front}\n{body}", not_kept, named, _names_in(body, game))


def _front_matter(game: chess.pgn.Game, lost: Counter[str]) -> str:
    """The head of the script; the tags it has no line for are counted in `lost`.

    The players' names stand in lines of their own, which a teacher can take out, and in no other.
    """
    title = _told(game, "Event")
    if title and _names_in(title, game):
        lost["the tag Event, which names a player"] += 1
        title = ""
    lines = ["---", f"title: {_quoted(title or 'A game')}"]
    lines += [
        f"{key}: {_quoted(value)}"
        for key, tag in (("teacher", "Annotator"), ("white", "White"), ("black", "Black"))
        if (value := _told(game, tag))
    ]
    if (result := game.headers.get("Result", "*")) in RESULTS and result != "*":
        lines.append(f"result: {result}")
    date = _told(game, "Date").replace(".", "-")
    if re.fullmatch(r"\d{4}-\d\d-\d\d", date):
        lines.append(f"date: {date}")
    elif date:
        lost["the tag Date"] += 1
    for tag in game.headers:
        if tag not in _KEPT | _FOUND_ANEW and _told(game, tag):
            lost[f"the tag {tag}"] += 1
    board = game.board()
    if board.fen() != chess.STARTING_FEN:
        lines.append(f"start: {board.fen()}")
    return "\n".join([*lines, "---", "", f"<!-- {CAUTION} -->", ""])


def _told(game: chess.pgn.Game, tag: str) -> str:
    """What a tag says; empty where it is not there or says that nobody knows."""
    value = " ".join(game.headers.get(tag, "").split())
    return value if value.strip("?.-*") else ""


def _names_in(text: str, game: chess.pgn.Game) -> tuple[str, ...]:
    """The parts of the players' names that stand in a text as words, initials left out."""
    names = " ".join(_told(game, side) for side in PLAYERS)
    parts = dict.fromkeys(re.findall(r"[^\W\d_]{3,}", names))
    return tuple(part for part in parts if re.search(rf"\b{part}\b", text))


def _quoted(text: str) -> str:
    return json.dumps(" ".join(text.split()), ensure_ascii=False)


class _Writer:
    def __init__(self, game: chess.pgn.Game) -> None:
        self.game = game
        self.lost: Counter[str] = Counter()

    def body(self) -> str:
        """The paragraphs of the script: a new one after each comment on the main line."""
        paragraphs: list[str] = []
        current: list[str] = []
        opening = self.comment(self.game.comment)
        if opening:
            paragraphs.append(opening)
        node: chess.pgn.GameNode = self.game
        numbered = True
        while node.variations:
            main = node.variations[0]
            numbered = self.write(current, node, main, numbered)
            for side_line in node.variations[1:]:
                current.append(self.side_line(node, side_line))
                numbered = True
            if self.words(main) or len(" ".join(current)) > 600:
                paragraphs.append(_joined(current))
                current, numbered = [], True
            node = main
        if current:
            paragraphs.append(_joined(current))
        return "\n\n".join(paragraphs) + "\n"

    def side_line(self, node: chess.pgn.GameNode, first: chess.pgn.ChildNode) -> str:
        """A variation in parentheses, its own variations inside it."""
        out: list[str] = []
        child: chess.pgn.ChildNode | None = first
        parent: chess.pgn.GameNode = node
        numbered = True
        if first.starting_comment:
            out.append(_apart(self.comment(first.starting_comment)))
        while child is not None:
            numbered = self.write(out, parent, child, numbered)
            if child is not first:
                for other in parent.variations[1:]:
                    out.append(self.side_line(parent, other))
                    numbered = True
            parent, child = child, (child.variations[0] if child.variations else None)
        return f"({_joined(out)})"

    def write(
        self, out: list[str], parent: chess.pgn.GameNode, node: chess.pgn.ChildNode, numbered: bool
    ) -> bool:
        """Adds a move with its glyphs and comment; whether the next one needs a number."""
        board = parent.board()
        if node.move == chess.Move.null() or not board.is_legal(node.move):
            self.lost["null moves, and what follows them"] += 1
            node.variations.clear()
            return True
        san = board.san(node.move)
        text = label(board, san) if numbered or board.turn else san
        out.append(text + self.glyphs(node.nags))
        words = self.words(node)
        if words:
            out.append(_apart(words))
        return bool(words)

    def glyphs(self, nags: set[int]) -> str:
        suffix = next((_SUFFIXES[nag] for nag in sorted(nags) if nag in _SUFFIXES), "")
        sign = next((f" {_SIGNS[nag]}" for nag in sorted(nags) if nag in _SIGNS), "")
        used = len(bool(suffix) * [1]) + len(bool(sign) * [1])
        if len(nags) > used:
            for nag in sorted(nags):
                if nag not in _SUFFIXES and nag not in _SIGNS:
                    self.lost[f"the glyph ${nag}"] += 1
        return suffix + sign

    def words(self, node: chess.pgn.ChildNode) -> str:
        return self.comment(node.comment)

    def comment(self, text: str) -> str:
        """A comment as running text: markup escaped, moves left as words, commands reported."""
        for name in _COMMAND.findall(text):
            self.lost[f"the comment command [%{name}]"] += 1
        plain = " ".join(_COMMAND.sub("", text).split())
        plain = _MARKUP.sub(r"\\\1", plain)
        plain = _NUMBERED.sub(r"\1\\.", plain)
        if not _balanced(plain):
            plain = plain.replace("(", "–").replace(")", "–")
        return plain


def _apart(words: str) -> str:
    """Words that follow a move, kept from being read as the next one."""
    return f"– {words}" if MOVE.match(words.lstrip("(.… ")) else words


def _joined(parts: list[str]) -> str:
    return " ".join(part for part in parts if part)


def _balanced(text: str) -> bool:
    """Whether every parenthesis of a text is opened before it is closed, and closed."""
    depth = 0
    for sign in text:
        depth += (sign == "(") - (sign == ")")
        if depth < 0:
            return False
    return depth == 0
