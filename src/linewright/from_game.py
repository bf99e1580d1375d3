"""Turn an annotated game file into a script: moves, comments, variations and glyphs kept.

What a script has no words for is said, not dropped silently.
"""

from __future__ import annotations

import io
import json
import re
from collections import Counter
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass

import chess
import chess.pgn

from linewright.frontmatter import RESULTS
from linewright.inline import MarkKind
from linewright.moves import Unresolved, label, resolve
from linewright.notation import MOVE, SIGN_NAGS, SUFFIX_NAGS, read_move

_SUFFIXES = {nag: text for text, nag in SUFFIX_NAGS.items()}
_SIGNS = {10: "=", 13: "∞", 14: "⩲", 15: "⩱", 16: "±", 17: "∓", 18: "+−", 19: "−+"}
assert set(_SIGNS) == set(SIGN_NAGS.values())

_COMMAND = re.compile(r"\[%(\w+)\s*([^\]]*?)\s*\]")
_MARK = re.compile(
    rf"(?:{'|'.join(MarkKind)}):[a-h][1-8](?:-[a-h][1-8])?(?:,[a-h][1-8](?:-[a-h][1-8])?)*"
)
_NUMBERED = re.compile(r"(?<![\w.,/$-])(\d{1,4})\.(?=[\s.…]*[KQRBNO0oa-h♔-♟][\w-]*[\dO0o])")
_BARE = re.compile(rf"(?:\d+\.(?:\.\.)?)?{MOVE.pattern}(?: [{''.join(_SIGNS.values())}]+)?")
_STOP = re.compile(r"[.!?][\"”’]*\s+(?=[A-Z\[])")
LONGEST = 600
"""Characters after which a paragraph ends even where nobody said a word."""
_MARKUP = re.compile(r"([\\`*_\[\]<>#&])")
TAUGHT = "Taught"
"""The tag of a game file made from a lesson: the side that is taught, or both."""
PLAYERS = ("White", "Black")
_KEYS = {"teacher": "Annotator", "white": "White", "black": "Black"}
_OWN_KEYS = {"for": TAUGHT, "club": "Club", "series": "Series", "students": "Students"}
_FOUND_ANEW = {"Event", "Date", "Result", "FEN", "SetUp", "ECO", "Opening", "Variation", "PlyCount"}
"""Tags that are looked at apart, and those that say what the moves say."""
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
    tagged: bool = True
    """Whether the file has tags, as game files do; else it is perhaps none."""


_TAG_PAIR = re.compile(r"^\s*\[\w+\s+\"", re.MULTILINE)


def script_from_game(pgn: str) -> FromGame | None:
    """The script of the first game of a game file; None if there is no game in it.

    The moves of the script, followed, give the same tree as the game. Never raises for what
    stands in the file.
    """
    reader = _Reader()
    game = chess.pgn.read_game(io.StringIO(pgn), Visitor=lambda: reader)
    if game is None or not (game.variations or game.comment):
        return None
    writer = _Writer(game, reader.returns)
    body = writer.body()
    rest = pgn.count("\n[Event ") + pgn.startswith("[Event ") - 1
    if rest > 0:
        writer.lost[
            f"{rest} more game{'s' * (rest > 1)} in the file: one script holds one game"
        ] = 1
    for wrong in reader.wrong:
        writer.lost[wrong] += 1
    front = _front_matter(game, writer.lost)
    not_kept = tuple(
        text if count == 1 else f"{text} ({count} times)" for text, count in writer.lost.items()
    )
    named = tuple(side for side in PLAYERS if _told(game, side))
    tagged = _TAG_PAIR.search(pgn) is not None
    return FromGame(f"{front}\n{body}", not_kept, named, _names_in(body, game), tagged)


class _Reader(chess.pgn.GameBuilder[chess.pgn.Game]):
    """Builds the game; `wrong` says of each move that cannot be played where and why."""

    def __init__(self) -> None:
        super().__init__()
        self.wrong: list[str] = []
        self.returns: dict[chess.pgn.GameNode, str] = {}
        self.returned = False

    def visit_move(self, board: chess.Board, move: chess.Move) -> None:
        """Adds the move; side lines before it are over."""
        super().visit_move(board, move)
        self.returned = False

    def begin_variation(self) -> None:
        """Goes to the board before the move."""
        super().begin_variation()
        self.returned = False

    def end_variation(self) -> None:
        """Goes back to the move the side line stands beside."""
        super().end_variation()
        self.returned = True

    def visit_comment(self, comment: str) -> None:
        """Keeps a comment at its move; one behind its side lines apart."""
        node = self.variation_stack[-1]
        if self.returned and self.in_variation:
            self.returns[node] = " ".join(filter(None, [self.returns.get(node, ""), comment]))
        else:
            super().visit_comment(comment)

    def parse_san(self, board: chess.Board, san: str) -> chess.Move:
        """The move; the base class raises where there is none."""
        try:
            return super().parse_san(board, san)
        except ValueError:
            move = read_move(san)
            found = resolve(move, board) if move else None
            why = found.reason if isinstance(found, Unresolved) else "no move can be read there"
            self.wrong.append(f"{label(board, san if move else '')} and what follows it: {why}")
            raise

    def handle_error(self, error: Exception) -> None:
        """Says what `wrong` does not say in better words already."""
        moves = chess.InvalidMoveError, chess.IllegalMoveError, chess.AmbiguousMoveError
        if not isinstance(error, moves):
            self.wrong.append(f"what cannot be read: {error}")


def _front_matter(game: chess.pgn.Game, lost: Counter[str]) -> str:
    """The head of the script; the tags it has no line for are counted in `lost`.

    The players' names stand in lines of their own, which a teacher can take out, and in no other.
    """
    title = _told(game, "Event")
    if title and _names_in(title, game):
        lost["the tag Event, which names a player"] += 1
        title = ""
    own = TAUGHT in game.headers
    keys = _KEYS | (_OWN_KEYS if own else {})
    known = {*keys.values(), *_FOUND_ANEW} | ({"Site"} if own else set())
    lines = ["---", f"title: {_quoted(title or 'A game')}"]
    lines += [
        f"{key}: {_quoted(value)}" for key, tag in keys.items() if (value := _told(game, tag))
    ]
    if (result := game.headers.get("Result", "*")) in RESULTS and result != "*":
        lines.append(f"result: {result}")
    date = _told(game, "Date").replace(".", "-").removesuffix("-??").removesuffix("-??")
    if re.fullmatch(r"\d{4}(-\d\d){0,2}", date):
        lines.append(f"date: {date}")
    elif date:
        lost["the tag Date"] += 1
    for tag in game.headers:
        if tag not in known and _told(game, tag):
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
    def __init__(self, game: chess.pgn.Game, returns: Mapping[chess.pgn.GameNode, str]) -> None:
        self.game = game
        self.returns = returns
        self.running = TAUGHT in game.headers
        self.lost: Counter[str] = Counter()
        self.leads = False
        """Whether the words before a move began a clause that another has to follow."""

    def body(self) -> str:
        """The paragraphs of the script: a new one after each comment on the main line.

        In a game file made from a lesson words and moves are one text: a new one after a sentence.
        """
        said = self.comment(self.game.comment)
        self.leads = _leads_on(said)
        paragraphs: list[str] = []
        current = [said]
        node: chess.pgn.GameNode = self.game
        numbered = True
        while node.variations:
            if self.ends(said) or len(" ".join(current)) > LONGEST:
                rest = self.begun(current)
                paragraphs.append(_joined(current))
                current, numbered = rest, True
            main = node.variations[0]
            said = self.write(current, node, main, numbered)
            current.extend(self.side_line(node, other) for other in node.variations[1:])
            said = self.write_return(current, main) or said
            numbered = _needs_number(current)
            node = main
        paragraphs.append(_joined(current))
        return "\n\n".join(filter(None, paragraphs)) + "\n"

    def ends(self, words: str) -> bool:
        """Whether a paragraph ends with these words of a comment."""
        return bool(words) and (not self.running or _ends_a_sentence(words))

    def begun(self, parts: list[str]) -> list[str]:
        """The sentence that leads to the next move, taken off the end of a paragraph."""
        stops = [*_STOP.finditer(parts[-1])] if self.running and parts[-1][:1] != "(" else []
        if not stops or _ends_a_sentence(parts[-1]):
            return []
        whole = parts[-1]
        parts[-1] = whole[: stops[-1].end()].rstrip()
        return [whole[stops[-1].end() :]]

    def side_line(self, node: chess.pgn.GameNode, first: chess.pgn.ChildNode) -> str:
        """A variation in parentheses, its own variations inside it."""
        out: list[str] = []
        child: chess.pgn.ChildNode | None = first
        parent: chess.pgn.GameNode = node
        numbered = True
        if first.starting_comment:
            out.append(_apart(self.comment(first.starting_comment)))
            self.leads = _leads_on(first.starting_comment)
        while child is not None:
            self.write(out, parent, child, numbered)
            if child is not first:
                out.extend(self.side_line(parent, other) for other in parent.variations[1:])
            self.write_return(out, child)
            numbered = _needs_number(out)
            parent, child = child, (child.variations[0] if child.variations else None)
        return f"({_joined(out)})"

    def write(
        self, out: list[str], parent: chess.pgn.GameNode, node: chess.pgn.ChildNode, numbered: bool
    ) -> str:
        """Adds a move with its glyphs and comment; the words of the comment."""
        board = parent.board()
        if node.move == chess.Move.null() or not board.is_legal(node.move):
            self.lost["null moves, and what follows them"] += 1
            node.variations.clear()
            return ""
        san = board.san(node.move)
        glyphs = self.glyphs(node.nags)
        address = _address_alone(node.comment)
        words = self.comment(node.comment, address)
        numbered = numbered or board.turn or bool(address)
        text = (label(board, san) if numbered else san) + glyphs
        out.append(f"[{text}]({address})" if address else text)
        if words:
            out[-1] += "." * (_begins_a_sentence(words) and not glyphs and not self.leads)
            out.append(_apart(words))
            self.leads = _leads_on(words)
        return words

    def write_return(self, out: list[str], node: chess.pgn.ChildNode) -> str:
        """Adds what is said behind the side lines of a move; these words."""
        words = self.comment(self.returns.get(node, ""))
        if words:
            out[-1] += "." * (
                _begins_a_sentence(words) and out[-1][-1:] == ")" and not _ends_a_sentence(out[-1])
            )
            out.append(_apart(words))
            self.leads = _leads_on(words)
        return words

    def glyphs(self, nags: set[int]) -> str:
        suffix = next((_SUFFIXES[nag] for nag in sorted(nags) if nag in _SUFFIXES), "")
        sign = next((f" {_SIGNS[nag]}" for nag in sorted(nags) if nag in _SIGNS), "")
        used = len(bool(suffix) * [1]) + len(bool(sign) * [1])
        if len(nags) > used:
            for nag in sorted(nags):
                if nag not in _SUFFIXES and nag not in _SIGNS:
                    self.lost[f"the glyph ${nag}"] += 1
        return suffix + sign

    def comment(self, text: str, carried: str = "") -> str:
        """A comment as running text: markup escaped, moves left as words, marks on their words.

        Commands that are none of this project are reported, and marks that no words take; the
        one `carried` stands on the move.
        """
        plain = _COMMAND.sub(" ", text)
        if not _balanced(plain):
            text = text.replace("(", "–").replace(")", "–")
        parts = _COMMAND.split(" ".join(text.split()))  # words, name, value, words, …
        out = [_Piece(parts[0])]
        waiting: list[str] = []
        for name, value, words in zip(parts[1::3], parts[2::3], parts[3::3], strict=True):
            address = _address(name, value)
            if address is None:
                self.lost[f"the comment command [%{name}]"] += 1
            if address is not None:
                _wait(waiting, address)
            rest = words
            while waiting and (first := re.search(r"\w", rest)):
                address = waiting.pop(0)
                end = first.start() + _words_meant(rest[first.start() :], address)
                out += [_Piece(rest[: first.start()]), _Piece(rest[first.start() : end], address)]
                rest = rest[end:]
            out.append(_Piece(rest))
        for address in waiting:
            if not _mark_back(out, address) and address != carried:
                self.lost[f"the {_told_mark(address)}, which finds no words to stand on"] += 1
        return " ".join("".join(piece.written() for piece in out).split())


@dataclass(frozen=True, slots=True)
class _Piece:
    """Words of a comment, with the address of a mark or a board that is on them."""

    words: str
    address: str = ""

    def written(self) -> str:
        plain = _MARKUP.sub(r"\\\1", self.words)
        plain = _NUMBERED.sub(r"\1\\.", plain)
        return f"[{plain}]({self.address})" if self.address else plain


def _address(name: str, value: str) -> str | None:
    """What a command of this project is in a script, None where it is none.

    >>> _address("mark", "attack:g5-f6"), _address("clk", "0:10:00")
    ('#attack:g5-f6', None)
    """
    if name == "mark" and _MARK.fullmatch(value):
        return f"#{value}"
    if name == "board":
        with suppress(ValueError):
            return f"?fen={chess.Board(value).fen()}"
    return None


def _told_mark(address: str) -> str:
    """An address as a reader knows it: "mark point:d5", "board of 8/8/…"."""
    return f"mark {address[1:]}" if address[0] == "#" else f"board of {address.partition('=')[2]}"


def _address_alone(comment: str) -> str:
    """The first mark of a comment without words, which only the move can carry."""
    if _COMMAND.sub("", comment).strip():
        return ""
    waiting: list[str] = []
    for name, value in _COMMAND.findall(comment):
        if address := _address(name, value):
            _wait(waiting, address)
    return next(iter(waiting), "")


def _wait(waiting: list[str], address: str) -> None:
    """Adds an address to those that wait for words; marks of one kind are one address."""
    kind, colon, _ = address.partition(":")
    if colon and waiting and waiting[-1].startswith(f"{kind}:"):
        waiting[-1] += f",{address[len(kind) + 1 :]}"
    else:
        waiting.append(address)


def _words_meant(words: str, address: str) -> int:
    """Where the words end that a mark before them is on: with its square, else after a few.

    >>> _words_meant("the pawn on e4 at once. Then d5", "#attack:d5-e4")
    14
    """
    clause = re.match(r"(?:(?!\b\d+\.+\s*\w)[^.,;:!?])*", words)
    end = clause.end() if clause and clause.end() else len(words)
    squares = set(re.findall(r"[a-h][1-8]", address)) if address.startswith("#") else set()
    if named := [m.end() for m in re.finditer(r"\b[a-h][1-8]\b", words[:end]) if m[0] in squares]:
        return named[0]
    few = re.match(r"\s*(?:\S+\s+){0,3}\S+", words[:end])
    return few.end() if few else end


def _mark_back(pieces: list[_Piece], address: str) -> bool:
    """Puts a mark that stands behind the words on the last of them that names its square, else on
    the last word; False where there is none without a mark."""
    squares = re.findall(r"[a-h][1-8]", address.partition(" ")[0])
    for pattern in [rf"\b(?:{'|'.join(squares)})\b"] * address.startswith("#") + [r"\w+"]:
        for k in range(len(pieces) - 1, -1, -1):
            piece = pieces[k]
            found = [*re.finditer(pattern, piece.words)]
            if found and not piece.address:
                start, end = found[-1].span()
                words = piece.words
                pieces[k : k + 1] = [
                    _Piece(words[:start]), _Piece(words[start:end], address), _Piece(words[end:]),
                ]  # fmt: skip
                return True
    return False


def _leads_on(words: str) -> bool:
    """Whether words end in a clause begun that another has to follow.

    >>> _leads_on("It is slow. After"), _leads_on("It is slow. Now")
    (True, False)
    """
    last = re.split(r"[.!?…][\"”’)]*\s+", words)[-1]
    return bool(_BEGUN.match(last)) and not _ends_a_sentence(last)


_BEGUN = re.compile(
    r"\W*(?:and |but |so |then )?(?:after|once|when|if|as|in|with|against|since|because|while)\b",
    re.I,
)


def _begins_a_sentence(words: str) -> bool:
    return words.lstrip('["“(')[:1].isupper()


def _ends_a_sentence(words: str) -> bool:
    return re.sub(r"\]\([^()]*\)$", "", words).rstrip('"”’)')[-1:] in {*".!?…"}


def _needs_number(out: list[str]) -> bool:
    """Whether a move that comes next does not follow a move directly."""
    return not out or not _BARE.fullmatch(out[-1])


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
