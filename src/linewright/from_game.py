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

from linewright.moves import label
from linewright.notation import MOVE, SIGN_NAGS, SUFFIX_NAGS

_SUFFIXES = {nag: text for text, nag in SUFFIX_NAGS.items()}
_SIGNS = {10: "=", 13: "∞", 14: "⩲", 15: "⩱", 16: "±", 17: "∓", 18: "+−", 19: "−+"}
assert set(_SIGNS) == set(SIGN_NAGS.values())

_COMMAND = re.compile(r"\[%(\w+)[^\]]*\]")
_NUMBERED = re.compile(r"(\d)(\.)(?=[\s.]*[KQRBNO0a-h♔-♟])")
_MARKUP = re.compile(r"([\\`*_\[\]<>#&])")
CAUTION = (
    "Comments taken from a game file belong to whoever wrote them: ask before you publish them."
)


@dataclass(frozen=True, slots=True)
class FromGame:
    """A script made from a game, and in one line each what of the game it does not hold."""

    text: str
    not_kept: tuple[str, ...]


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
    not_kept = tuple(
        text if count == 1 else f"{text} ({count} times)" for text, count in writer.lost.items()
    )
    return FromGame(f"{_front_matter(game)}\n{body}", not_kept)


def _front_matter(game: chess.pgn.Game) -> str:
    headers = game.headers
    players = [headers.get(side, "?") for side in ("White", "Black")]
    event = headers.get("Event", "?")
    title = event if event != "?" else ""
    if players != ["?", "?"]:
        title = f"{players[0]} – {players[1]}" + (f", {title}" if title else "")
    lines = ["---", f"title: {_quoted(title or 'A game')}"]
    if (annotator := headers.get("Annotator")) and annotator != "?":
        lines.append(f"teacher: {_quoted(annotator)}")
    date = headers.get("Date", "").replace(".", "-")
    if re.fullmatch(r"\d{4}-\d\d-\d\d", date):
        lines.append(f"date: {date}")
    board = game.board()
    if board.fen() != chess.STARTING_FEN:
        lines.append(f"start: {board.fen()}")
    return "\n".join([*lines, "---", "", f"<!-- {CAUTION} -->", ""])


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
