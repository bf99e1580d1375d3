"""A lesson as the analyst looks at it: which moves it shows, and which of them it teaches."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import chess

from linewright.analyst.answer import san_line
from linewright.analyst.questions import FORCED_PLIES, Analyst, Error, Soundness, won_points
from linewright.expressions import expression
from linewright.lesson import Lesson, Node
from linewright.position.material import VALUES, balance
from linewright.script import BlockKind
from linewright.source import Span

_IF = expression(r"\b(?:if|should|suppose|when|whenever)\b[^.!?;]{0,80}$", re.IGNORECASE)
BAD_SUFFIXES = frozenset({"?", "??", "?!"})


@dataclass(frozen=True, slots=True)
class Shown:
    """A move where the lesson first shows it; `before` is the board it is played on."""

    node: Node
    before: chess.Board
    move: chess.Move
    span: Span

    @property
    def white(self) -> bool:
        """Who makes it."""
        return self.before.turn


def taught_side(lesson: Lesson) -> bool | None:
    """The side the students learn to play, None for both."""
    return {"White": True, "Black": False}.get(lesson.front.taught or "")


def shown_moves(lesson: Lesson) -> Iterator[Shown]:
    """Every move of the lesson where it is first spoken, or else written: in a box, a heading.

    Repaired slips are left out, with all that comes after them: a position the teacher did not
    write says nothing about the lesson.
    """
    nodes = lesson.tree.nodes
    guessed: list[bool] = []
    for node in nodes:
        guessed.append(node.assumed or (node.parent is not None and guessed[node.parent]))
    for index, span in sorted(_first_places(lesson).items(), key=lambda item: item[1]):
        node = nodes[index]
        if node.move is None or node.parent is None or guessed[node.index]:
            continue
        before = nodes[node.parent].board()
        yield Shown(node, before, node.move, span)


def _first_places(lesson: Lesson) -> dict[int, Span]:
    """Where each node is first spoken of, or else written."""
    written: dict[int, Span] = {}
    spoken: dict[int, Span] = {}
    for placed in lesson.moves:
        if placed.node is None:
            continue
        written.setdefault(placed.node, placed.span)
        step = lesson.step_at(placed.span.start)
        if step is not None and step.spoken:
            spoken.setdefault(placed.node, placed.span)
    return written | spoken


def is_taught(lesson: Lesson, shown: Shown) -> bool:
    """Whether a move is offered to the students as one to play: made by their side, and neither
    it nor an earlier move of theirs on the line marked as bad.

    A side line that begins with a question or a supposition ("(What if Black takes? 8...Qxd2+")
    shows what comes of a move. The moves of a game that the lesson shows or tells were played, not
    taught, but for those it praises or recommends.
    Nobody speaks marks: in a talk the words around say of a move that it is a mistake, and those
    in doubt are asked about.
    """
    side = taught_side(lesson)
    if side is not None and shown.white != side:
        return False
    if lesson.front.talk and (_warned_of(lesson, shown) or _asked_about(lesson, shown)):
        return False
    if _in_doubt(lesson, shown):
        return False
    if shown.node.index in game_moves(lesson) and not _praised(lesson, shown):
        return False
    if told_as_played(lesson, shown) and not _praised(lesson, shown, _PRAISE_OR_ADVICE):
        return False
    line = lesson.tree.line(shown.node.index)
    return not any(node.suffix in BAD_SUFFIXES for node in line if node.white == shown.white)


LOST_CP = -90
"""A side that stands no worse than this has not lost anything yet."""


def taught_errors(lesson: Lesson, analyst: Analyst | None) -> Iterator[tuple[Shown, Error]]:
    """The taught moves that give something up, each with what; none without an analyst."""
    if analyst is None:
        return
    for shown in shown_moves(lesson):
        if is_taught(lesson, shown):
            error = analyst.error(shown.before, shown.move, lesson.front.students)
            if error is not None:
                yield shown, error


def game_moves(lesson: Lesson) -> frozenset[int]:
    """The nodes of the game that a lesson shows: its main line, where its head names players."""
    if not lesson.front.names_players:
        return frozenset()
    return frozenset(node.index for node in lesson.tree.told_line())


_PRAISE = expression(
    r"\b(?:fine|good|great|excellent|lovely|brilliant|beautiful|strong|right|correct|clever"
    r"|accurate|precise|nice|superb|perfect)(?: (?:little|quiet|strong|active|\w+ing))?"
    r" (?:move|reply|answer|choice|decision|idea|shot|retreat|push|plan|defence|way)\b"
    r"|\b(?:best|strongest)\b|\bwell played\b|\bjust right\b",
    re.IGNORECASE,
)
_ADVICE = expression(
    r"\b(?:should|must|ought to|better|instead|recommend\w*|correct|remember)\b", re.IGNORECASE
)
_PRAISE_OR_ADVICE = (_PRAISE, _ADVICE)
_NOT = expression(r"(?:\b(?:not|no|never|hardly)|n't)\b[^.!?;,]{0,16}$", re.IGNORECASE)


_SOMEBODY = (
    r"(?:(?P<name>(?!(?:White|Black|We|You|They|It|This|That|Who|What|Nobody|Everybody|Everyone|And|But|So"
    r"|Then|Now|Here|If|When)\b)[A-Z][\w'’-]+)|I|(?i:(?:his|her|my|our|your|the) opponent))"
)
_DID_PLAY = (
    rf"\b{_SOMEBODY}\s+(?:\w+ly\s+)?(?:played|tried|chose|went|answered|replied|continued)\b"
    r"(?!\s+(?:is|was|are|were|by)\b)"
)
_PLAYED = expression(rf"{_DID_PLAY}[\w\s,'’]{{0,20}}$")
"""Before a move: it is told of a game that somebody played."""
_PLAYED_ANYWHERE = expression(_DID_PLAY)
_PLAYED_WITHIN = 60
_BEGINS = expression(r"(?:^|[.!?…:(]|\n\s*\n|\n[->*#])[\s*_\"“”'‘’)>#-]*$")
"""Before a word: any word has a capital here, so that the capital makes it no name."""
_BEGINS_WITHIN = 40


def told_as_played(lesson: Lesson, shown: Shown) -> bool:
    """Whether a move is of a game that the words tell: "and here Yusra played 7.h4", and on."""
    text = lesson.script.source.text
    if not _PLAYED_ANYWHERE.search(text):
        return False
    first = _first_places(lesson)
    for node in lesson.tree.line(shown.node.index):
        start = first[node.index].start if node.index in first else 0
        low = max(0, start - _PLAYED_WITHIN)
        told = _PLAYED.search(text[low:start])
        if told and _is_somebody(lesson, told["name"], low + told.start()):
            return True
    return False


def _is_somebody(lesson: Lesson, name: str | None, at: int) -> bool:
    """Whether a word with a capital names a person: within a sentence; or at the beginning of one
    ("Often played 4.Ba4") where the head or the midst of another sentence has it too."""
    text = lesson.script.source.text
    if name is None or not _BEGINS.search(text[max(0, at - _BEGINS_WITHIN) : at]):
        return True
    front = lesson.front
    named = re.findall(r"[\w'’-]+", f"{front.white} {front.black} {front.teacher}")
    return name in named or bool(
        re.search(rf"(?m)^(?!#|title:).*[a-z,;] {re.escape(name)}\b", text)
    )


def _praised(
    lesson: Lesson, shown: Shown, wordings: Sequence[re.Pattern[str]] = (_PRAISE,)
) -> bool:
    """Whether a move has a `!`, or the words of its sentence call it good."""
    if shown.node.suffix in {"!", "!!"}:
        return True
    text = lesson.script.source.text
    start, end = shown.span.start, shown.span.end
    before = _STOP.split(_NUMBER.split(text[max(0, start - WARNED_WITHIN) : start])[-1])[-1]
    behind = _STOP.split(_NUMBER.split(text[end : end + WARNED_WITHIN])[0])[0]
    return any(
        not _NOT.search(words[: found.start()])
        for words in (before, behind)
        for wording in wordings
        for found in wording.finditer(words)
    )


def is_hypothetical(lesson: Lesson, shown: Shown) -> bool:
    """Whether a move is brought in by the word if (should, suppose, when) in its sentence."""
    return bool(_IF.search(lesson.script.source.text[: shown.span.start][-100:]))


_WONDERS = expression(r"\?|\b(?:what if|what about|if|suppose|supposing|imagine)\b", re.IGNORECASE)


def _in_doubt(lesson: Lesson, shown: Shown) -> bool:
    """Whether a move stands in parentheses whose words before their first move ask or suppose."""
    text = lesson.script.source.text[: shown.span.start].rpartition("\n\n")[2]
    inside = ""
    closed = 0
    for letter in reversed(text):
        if letter == "(" and not closed:
            return bool(_WONDERS.search(_NUMBER.split(inside[::-1])[0]))
        closed += (letter == ")") - (letter == "(")
        inside += letter
    return False


_WARNING = expression(
    r"\b(?:mistake|blunder|beginners?|careful|trap|traps|greedy|greed|snatch(?:es)?|grabs?|careless|hasty"
    r"|don't|never"
    r"|tempt\w*|poison\w*|falls?|fell|punish\w*|refut\w*|loses?|lost"
    r"|disaster|some people|somebody|some lads|lots of people|a child|thinks|thought"
    r"|wrong|bad|worse|worst|terrible)\b",
    re.IGNORECASE,
)
_RESULT = expression(r"\b(?:gone|mate|wins?|winning|fork\w*)\b", re.IGNORECASE)
"""What a reply does to who made the move; before it, a threat of his own."""
_STOP = expression(r"[.!?](?:\s|$)")
_NUMBER = expression(r"(?<![\w.])\d{1,3}(?:\.+|…)(?=[\w♔-♟])")
WARNED_WITHIN = 160
"""Letters before and behind a move in which its sentence may warn of it."""


def _warned_of(lesson: Lesson, shown: Shown) -> bool:
    """Whether a talk shows what is wrong with a move: its words warn, or they only suppose the
    move, and the reply that is told comes at once.

    Talk without stops is bounded by its moves: what stands before another is said of that one.
    """
    text = lesson.script.source.text
    start, end = shown.span.start, shown.span.end
    before = _STOP.split(_NUMBER.split(text[max(0, start - WARNED_WITHIN) : start])[-1])[-1]
    behind = _STOP.split(text[end : end + WARNED_WITHIN])[0]
    of_move, *replies = _NUMBER.split(behind, maxsplit=2)
    of_reply = replies[0] if replies else ""
    answered = any(child for child in shown.node.children)
    return answered and (
        is_hypothetical(lesson, shown)
        or any(bool(_WARNING.search(words)) for words in (before, of_move, of_reply))
        or bool(_RESULT.search(of_reply))
    )


def _asked_about(lesson: Lesson, shown: Shown) -> bool:
    """Whether a move of a talk was not said, or it or one before it on its line is asked about.

    A move that nobody said is told beside; what hangs on a question is told with its answer.
    """
    source = lesson.script.source
    if _UNSAID.match(source.text, shown.span.end):
        return True
    asked = _asked_nodes(lesson)
    return any(node.index in asked for node in lesson.tree.line(shown.node.index))


_UNSAID = expression(r"[.,;:!? ]*<!-- not said: ")
_CHOICE = expression(r"\d{1,3}\.+[^\s,>;]+")


def _asked_nodes(lesson: Lesson) -> frozenset[int]:
    """The moves that the questions behind a paragraph are about, where it shows them first."""
    first = _first_places(lesson)
    found: set[int] = set()
    paragraph = None
    for block in lesson.script.blocks:
        if block.kind is not BlockKind.NOTE:
            paragraph = block.span
            continue
        words = lesson.script.source.words(block.span)
        if paragraph is None or not words.startswith("<!-- question "):
            continue
        told = {choice.rstrip("+#") for choice in _CHOICE.findall(words)}
        found.update(
            node
            for node, span in first.items()
            if span.start in paragraph and lesson.tree.nodes[node].label.rstrip("+#") in told
        )
    return frozenset(found)


def arrow(uci: str) -> str:
    """A move as evidence draws it.

    >>> arrow("g1f3")
    'g1-f3'
    """
    return f"{uci[:2]}-{uci[2:4]}"


def points_in_words(points: int) -> str:
    """Material as it is said.

    >>> points_in_words(3), points_in_words(1), points_in_words(6)
    ('a piece', 'a pawn', "6 pawns' worth")
    """
    names = {
        1: "a pawn", 2: "two pawns", 3: "a piece", 4: "a piece and a pawn", 5: "a rook",
        9: "the queen",
    }  # fmt: skip
    return names.get(points, f"{points} pawns' worth")


def given_up(fen: str, moves: Sequence[str], points: int) -> str:
    """What the side to move is short of in a line that costs it so many points.

    Men of a kind are set off against each other, and a bishop against a knight. Empty where no
    part of the line comes to these points.

    >>> before = "r1bqkb1r/pppn1ppp/5n2/3p2B1/3P4/2N5/PP2PPPP/R2QKBNR w KQkq - 0 6"
    >>> given_up(before, "c3d5 f6d5 g5d8 f8b4 d1d2 b4d2 e1d2 e8d8".split(), 2)
    'a knight for a pawn'
    """
    board = chess.Board(fen)
    mover = board.turn
    taken = {chess.WHITE: Counter[int](), chess.BLACK: Counter[int]()}
    told = ""
    for uci in moves:
        move = chess.Move.from_uci(uci)
        if board.is_capture(move):
            kind = board.piece_type_at(move.to_square) or chess.PAWN
            taken[board.turn][kind] += 1
        board.push(move)
        lost, won = taken[not mover] - taken[mover], taken[mover] - taken[not mover]
        if sum(VALUES[k] * n for k, n in lost.items()) - points == sum(
            VALUES[k] * n for k, n in won.items()
        ):
            told = _balance(lost, won)
    return told


def _balance(lost: Counter[int], won: Counter[int]) -> str:
    minor = min(_minors(lost), _minors(won))
    lost, won = _without_minors(lost, minor), _without_minors(won, minor)
    return _men(lost) + (f" for {_men(won)}" if won else "") if lost else ""


def _minors(men: Counter[int]) -> int:
    return men[chess.KNIGHT] + men[chess.BISHOP]


def _without_minors(men: Counter[int], many: int) -> Counter[int]:
    """The men less some minor pieces: a knight for a bishop is an even trade."""
    knights = min(men[chess.KNIGHT], many)
    return men - Counter({chess.KNIGHT: knights, chess.BISHOP: many - knights})


def _men(men: Counter[int]) -> str:
    numbers = {1: "a", 2: "two", 3: "three", 4: "four"}
    parts = [
        f"{numbers.get(count, count)} {chess.piece_name(kind)}{'s' if count > 1 else ''}"
        for kind, count in sorted(men.items(), reverse=True)
    ]
    return " and ".join(parts)


def cost_in_words(soundness: Soundness) -> str:
    """What a bad move costs: mate, material, or a share of the advantage."""
    after = chess.Board(soundness.fen)
    after.push_uci(soundness.move)
    mates = soundness.played_cp < -50_000 <= soundness.best_cp
    if mates:
        return f"allows {_mate(soundness.played_cp)}"
    if soundness.best_cp > 50_000 > soundness.played_cp:
        return f"misses {_mate(soundness.best_cp)}"
    points = won_points(after, soundness.refutation)
    points_before = -won_points(chess.Board(soundness.fen), soundness.instead)
    lost = max(points, 0) + _taken(soundness) * -1
    if min(points, lost) >= 1 and points > points_before:
        cost = min(points, lost)
        line = (soundness.move, *soundness.refutation[:FORCED_PLIES])
        return f"loses {given_up(soundness.fen, line, cost) or points_in_words(cost)}"
    return f"costs {soundness.loss_cp / 100:.1f} pawns"


def _taken(soundness: Soundness) -> int:
    """What the move itself takes, in pawns; what is taken back is no matter of it."""
    before = chess.Board(soundness.fen)
    after = before.copy(stack=False)
    after.push_uci(soundness.move)
    return balance(after, before.turn) - balance(before, before.turn)


def _mate(worth: int) -> str:
    moves = 100_000 - abs(worth)
    return f"mate in {moves}" if moves else "mate"


def best_move_san(soundness: Soundness) -> str:
    """The better move with its number."""
    return san_line(soundness.fen, soundness.instead, 1)
