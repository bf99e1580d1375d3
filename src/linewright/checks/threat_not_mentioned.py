"""A threat made by a taught move that the text never mentions.

Often the threat is the reason for the move. Students who are not told play the move and miss the
harvest.

```flags
---
for: White
---
After 1.e4 e5 2.Nf3 Nc6 3.Bc4 Nf6 White goes ⟦4.Ng5⟧ and waits. Black castles soon.
```

```clean
---
for: White
---
After 1.e4 e5 2.Nf3 Nc6 3.Bc4 Nf6 4.Ng5 White threatens the pawn on f7.
```

```clean
---
for: Black
---
After 1.d4 d5 2.c4 c6 3.Nf3 Nf6 4.Nc3 dxc4 5.e3 b5 6.a4 Black goes 6...b4. The knight on c3 has to
move. 7.Na2 e6.
```

Limits: needs an analyst, who lets the other side pass, and a side that is taught; only threats
that win a pawn or more beyond what the side has anyhow. A threat counts as mentioned if its move
is written or a word such as threat, attack, target, win or mate stands within two sentences, or if
they say that the man it takes must go or is lost, and name its square or (of no pawn) its side. A
man that takes and is taken back in the lesson threatens nothing.

Source: an engine's answer, with its depth and nodes beside it.
"""

import re
from collections.abc import Iterator

import chess

from linewright.analyst.questions import Analyst, Threat
from linewright.analyst.review import (
    Shown,
    arrow,
    is_taught,
    points_in_words,
    shown_moves,
    taught_side,
)
from linewright.checks import Grounds
from linewright.expressions import expression
from linewright.finding import Evidence, Finding, Severity
from linewright.lesson import Lesson

SEVERITY = Severity.NOTE
NEEDS = ("analyst",)

_WORDS = expression(
    r"\b(threat\w*|attack\w*|target\w*|aim\w*|hit\w*|win\w*|mat(?:e|es|ing)\b|menac\w*|fork\w*|"
    r"take|takes|trap\w*|danger\w*|eye\w*|point\w*|look\w*|chas\w*|kick\w*|driv\w*|hunt\w*)",
    re.IGNORECASE,
)
_MUST_GO = (
    r"(?: \w+ly| now| again)? (?:(?:must|has to|had to|needs to|should) (?:\w+ly )?(?:go|move|leave"
    r"|retreat|run|flee|withdraw|step|back|give way|be moved|be saved|jump|hop)"
    r"|cannot (?:stay|stand|hold)|can['’]t (?:stay|stand|hold)"
    r"|(?:moves?|goes|steps?|jumps?|hops?) (?:away|aside|out of the way)"
    r"|retreats?|flees?|withdraws?|backs (?:off|away|out)|hangs?|falls?"
    r"|is (?:lost|in trouble|gone|loose|hanging))\b"
)
"""Behind a man: it is told to be driven away, or lost."""
_NEAR = 260
"""Characters after the move in which a threat may be named: about two sentences."""


def check(grounds: Grounds) -> Iterator[Finding]:
    """Notes for unmentioned threats, with the line that carries them out."""
    analyst, lesson = grounds.analyst, grounds.lesson
    if analyst is None or taught_side(lesson) is None:
        return
    for shown in shown_moves(lesson):
        if not is_taught(lesson, shown) or _speaks_of_it(lesson, shown):
            continue
        if _taken_back(lesson, shown):
            continue
        after = shown.node.board()
        threat = analyst.threat(after)
        if threat is None or _carried_out(lesson, threat):
            continue
        if _target_must_go(lesson, shown, threat):
            continue
        if _made_before(analyst, lesson, shown, threat):
            continue
        words = lesson.script.source.words(shown.span)
        what = _in_words(threat)
        message = f"'{words}' threatens {what}, which is not mentioned: {threat.shown()}"
        evidence = Evidence(
            threat.analysis.cited(), shown.node.fen, (), (arrow(threat.line[0]),), threat.shown()
        )
        yield Finding("threat-not-mentioned", SEVERITY, shown.span, message, evidence)


def _taken_back(lesson: Lesson, shown: Shown) -> bool:
    """Whether the lesson shows a trade: the man that takes is taken, and threatens nothing."""
    replies = (lesson.tree.nodes[child].move for child in shown.node.children)
    at = shown.move.to_square
    return shown.before.is_capture(shown.move) and any(m and m.to_square == at for m in replies)


def _made_before(analyst: Analyst, lesson: Lesson, shown: Shown, threat: Threat) -> bool:
    """Whether the side's move before this one threatened the same already."""
    reply = lesson.tree.nodes[shown.node.parent or 0]
    if reply.parent is None:
        return False
    earlier = analyst.threat(lesson.tree.nodes[reply.parent].board())
    return earlier is not None and earlier.line[0] == threat.line[0]


def _in_words(threat: Threat) -> str:
    if threat.mate:
        return "mate"
    board, move = chess.Board(threat.fen), chess.Move.from_uci(threat.line[0])
    taken = board.piece_type_at(move.to_square)
    if taken is None or taken == chess.PAWN:
        return f"to win {points_in_words(threat.points)}"
    return f"to take the {chess.piece_name(taken)} on {chess.square_name(move.to_square)}"


def _speaks_of_it(lesson: Lesson, shown: Shown) -> bool:
    text = lesson.script.source.text
    following = text[shown.span.end : shown.span.end + _NEAR]
    before = text[max(shown.span.start - _NEAR // 2, 0) : shown.span.start]
    return bool(_WORDS.search(following) or _WORDS.search(before.rpartition(". ")[2]))


def _target_must_go(lesson: Lesson, shown: Shown, threat: Threat) -> bool:
    """Whether the words behind the move say of the man that would be taken that it has to go."""
    to = chess.parse_square(threat.line[0][2:4])
    taken = chess.Board(threat.fen).piece_type_at(to)
    if taken is None:
        return False
    man, square = chess.piece_name(taken), chess.square_name(to)
    owner = "white" if chess.Board(threat.fen).color_at(to) else "black"
    following = lesson.script.source.text[shown.span.end : shown.span.end + _NEAR]
    names = [rf"{man} (?:on|from|at) {square}", rf"{square}(?:[- ]{man})?"]
    if taken != chess.PAWN:
        names.append(rf"{owner}(?:['’]s)? {man}")
    named = rf"\b(?:{'|'.join(names)}){_MUST_GO}"
    return bool(re.search(named, " ".join(following.split()), re.IGNORECASE))


def _carried_out(lesson: Lesson, threat: Threat) -> bool:
    """Whether the lesson writes the threatening move anywhere."""
    uci = threat.line[0]
    played = any(node.move and node.move.uci() == uci for node in lesson.tree.nodes)
    return played or any(m.move and m.move.uci() == uci for m in lesson.mentions)
