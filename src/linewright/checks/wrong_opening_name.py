"""An opening's name or code that does not belong to the position.

Students look the name up and find another opening. A name counts as said of the position in a
heading, after words like "this is", "known as", "we have reached", right behind a move that is
played ("1...e6, the French Defence", "1...e6 is the French Defence"), and with "of" behind a name
that counts; a code (`D35`) wherever it stands.
Other sentences that name the position are judged as statements and told here where they fail.

```flags
After 1.d4 d5 2.c4 e6 3.Nc3 Nf6 we have reached the ⟦Sicilian Defence⟧ again.
```

```flags
Black answers with 1.e4 e6, the ⟦Caro-Kann Defence⟧, and after 2.d4 d5 White can choose.
```

```flags
Then 1.e4 e6 2.d4 d5 3.e5 is the Advance Variation of the ⟦Caro-Kann Defence⟧.
```

```flags
After 1.e4 e6 2.d4 d5 3.e5 c5 this is the Advance Variation of the ⟦Caro-Kann Defence⟧.
```

```flags
After 1.d4 d5 2.c4 e6 3.Nc3 Nf6 4.cxd5 exd5 5.Bg5 (⟦B90⟧) the structure is fixed.
```

```flags
# The ⟦Sicilian Defence⟧ 1.d4 d5 2.c4 e6

It is Black's choice.
```

```clean
After 1.e4 e6 2.d4 d5 nothing is left of the Sicilian; ...c5 is the Sicilian Defence too.
```

```clean
After 1.d4 d5 2.c4 e6 3.Nc3 Nf6 we have reached the Queen's Gambit Declined (D35) again.
```

```clean
After 1.e4 c6 2.d4 d5 3.e5 e6 the bishop is shut in, and that is the French Defence trouble.
```

Limits: a name said in passing ("unlike the Sicilian", "a French bishop") is not judged. A name that
belongs to an earlier or a possible later position of the line passes.

Source: codes of the Encyclopaedia of Chess Openings and usual names by position, from the
catalogue named in ARCHITECTURE.md, with corrections.
"""

import re
from collections.abc import Iterator, Sequence

from linewright.checks import Grounds
from linewright.expressions import expression
from linewright.finding import Evidence, Finding, Severity
from linewright.lesson import Lesson
from linewright.names import belongs, find_names, name_of_line, tells_a_kind, told_by
from linewright.script import Block, BlockKind
from linewright.source import Span

SEVERITY = Severity.WARNING

_CODE = expression(r"(?<![\w#:-])([A-E]\d\d)(?![\w-])")
_SAID_OF_THIS = expression(
    r"\b(?:this is|it is|that is|it's|that's|is called|known as|named|we have|we get|we reach|"
    r"we have reached|have reached|has reached|we are in|we're in|gives us|brings us to|leads to|"
    r"this position is|called)\s+(?:now\s+|again\s+)?(?:the\s+|a\s+|an\s+)?(?:so-called\s+)?$",
    re.IGNORECASE,
)
_BEHIND_A_MOVE = expression(
    r"(?:[a-h][1-8]|O-O)(?:=[QRBN])?[+#]?[!?]{0,2}(?P<joint>,|\s+(?:is|was|makes it|brings us to"
    r"|gives us|gives|leads to|begins|starts|introduces|means))\s+"
    r"(?:the\s+|a\s+|an\s+)?(?:so-called\s+)?$"
)
_ENDS = expression(r"\s*(?:[.,;:)!?—–]|$|of\b|in\b)")
_OF = expression(r"\s+(?:of|in)\s+(?:the\s+)?")


def check(grounds: Grounds) -> Iterator[Finding]:
    """Findings for names and codes in headings, paragraphs, lists and quotes."""
    lesson = grounds.lesson
    told: list[Span] = []
    for block in lesson.script.blocks:
        if block.inlines:
            for finding in (*_names(lesson, block), *_codes(lesson, block)):
                told.append(finding.span)
                yield finding
    yield from _statements(grounds, told)


def _statements(grounds: Grounds, told: Sequence[Span]) -> Iterator[Finding]:
    """Findings for sentences that name the position and fail, where nothing else is found."""
    for verdict in grounds.verdicts:
        statement = verdict.statement
        if verdict.verdict != "fails" or statement.family != "names":
            continue
        if any(_overlap(span, statement.span) for span in told):
            continue
        message = f"'{statement.words}' fails: {verdict.because}"
        evidence = Evidence(verdict.because, verdict.fen)
        yield Finding("wrong-opening-name", SEVERITY, statement.span, message, evidence)


def _overlap(one: Span, other: Span) -> bool:
    return one.start < other.end and other.start < one.end


_NEAR = 80
"""Characters before a name that can say what it is a name of."""


def _is_said(lesson: Lesson, block: Block, text: str, start: int, end: int) -> bool:
    """Whether a name at a place of a block's text is said of the position there.

    Behind a move it is where the move is played: one that is only mentioned leads elsewhere.
    """
    begin = max(start - _NEAR, 0)
    before = text[begin:start]
    if _SAID_OF_THIS.search(before):
        return not tells_a_kind(text, start, end)
    behind = _BEHIND_A_MOVE.search(before)
    if behind is None or not _ENDS.match(text, end):
        return False
    at = block.span.start + begin + behind.start("joint")
    return any(move.span.end == at for move in lesson.moves)


def _text(lesson: Lesson, block: Block) -> str:
    """The block's characters, addresses of links blanked out, every place kept."""
    text = lesson.script.source.words(block.span)
    return re.sub(r"\]\([^)]*\)", lambda match: " " * len(match[0]), text)


_CAPITALS = expression(r"[A-Z][\w'’-]+(?:[\s,–-]+(?:(?:of|the)\s){0,2}[A-Z][\w'’-]+)*")


_NO_NAMES = frozenset(("white", "black", "the", "a", "move", "part", "white's", "black's"))


def _surely_right(lesson: Lesson, block: Block, text: str) -> bool:
    """Whether every name said of the position is one of its line's: no need to look further."""
    heading = block.kind is BlockKind.HEADING
    for found in _CAPITALS.finditer(text):
        if not heading and not _is_said(lesson, block, text, found.start(), found.end()):
            continue
        words = found[0].lower().split()
        begins = heading and found.start() == 0  # a heading's first word is capital anyhow
        if set(words[1:] if begins else words) <= _NO_NAMES:
            continue
        place = Span(block.span.start + found.start(), block.span.start + found.end())
        if not any(told_by(found[0], line) for line in _lines(lesson, block, place, heading)):
            return False
    return True


def _names(lesson: Lesson, block: Block) -> Iterator[Finding]:
    text = _text(lesson, block)
    if _surely_right(lesson, block, text):
        return
    said = -1
    for found in find_names(text):
        span = Span(block.span.start + found.span.start, block.span.start + found.span.end)
        heading = block.kind is BlockKind.HEADING
        behind = said >= 0 and _OF.fullmatch(text, said, found.span.start)
        at = found.span
        if not (heading or behind or _is_said(lesson, block, text, at.start, at.end)):
            continue
        said = found.span.end
        lines = _lines(lesson, block, span, heading)
        judged = [belongs(found.words, line) for line in lines]
        if any(each.how != "elsewhere" for each in judged):
            continue
        here = next((each.here for each in reversed(judged) if each.here), None)
        if heading and not here:
            continue
        fact = f"the position is {_named(here.code, here.usual)}" if here else "it has no name yet"
        words = " ".join(found.words.split())
        message = f"'{words}' does not belong here: {fact}"
        repairs = (here.usual,) if here else ()
        fen = lines[0][-1]
        yield Finding("wrong-opening-name", SEVERITY, span, message, Evidence(fact, fen), repairs)


def _named(code: str, usual: str) -> str:
    return f"{usual} ({code})" if code else usual


def _lines(lesson: Lesson, block: Block, span: Span, heading: bool) -> list[Sequence[str]]:
    """The lines a name may be said of: to its place, and in a heading to the part's key too."""
    nodes = [lesson.at(span.start).node, lesson.at(block.span.end).node]
    if heading:
        # The board a heading sets, or its part reaches; what stood there before says nothing.
        keys = [part.key for part in lesson.parts if part.span.start == block.span.start]
        nodes = [nodes[1], *keys]
    return [_boards(lesson, node) for node in dict.fromkeys(nodes)]


def _boards(lesson: Lesson, node: int) -> list[str]:
    return [lesson.tree.nodes[0].fen, *(n.fen for n in lesson.tree.line(node))]


def _codes(lesson: Lesson, block: Block) -> Iterator[Finding]:
    text = _text(lesson, block)
    for match in _CODE.finditer(text):
        span = Span(block.span.start + match.start(), block.span.start + match.end())
        heading = block.kind is BlockKind.HEADING
        lines = _lines(lesson, block, span, heading)
        names = [name_of_line(line) for line in lines]
        codes = [name.code for name in names if name and name.code]
        if not codes or match[1] in codes:
            continue
        fact = f"the position has the code {codes[0]}"
        message = f"'{match[1]}' does not belong here: {fact}"
        evidence = Evidence(fact, lines[0][-1])
        yield Finding("wrong-opening-name", SEVERITY, span, message, evidence, (codes[0],))
