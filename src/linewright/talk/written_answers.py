"""The teacher's answers as they stand in the head of a script, and what cannot be read of them.

A head that is no YAML, or whose answers are no mapping, is read line by line: no answer is lost.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from hashlib import sha256

from linewright.expressions import expression
from linewright.frontmatter import KEYS, FrontMatter
from linewright.script import parse
from linewright.source import Source

Pairs = tuple[tuple[str, str], ...]

UNREAD = "# no answer:"
"""What stands before a line that could not be read, where a script is written anew."""


@dataclass(frozen=True, slots=True)
class Written:
    """Answers as (place, move) and the lines that are none, as written.

    `head` are the other lines of the head that a hearing keeps, by their keys; `recording` is the
    file that one of them names.
    """

    pairs: Pairs = ()
    unread: tuple[str, ...] = ()
    head: Pairs = ()
    recording: str = ""


def written_answers(source: Source) -> Written:
    """The answers in the head of a script. Never raises.

    >>> written_answers(Source("s.md", '---\\nanswers:\\n- "0:07 d5": "only talk"\\n---\\n')).pairs
    (('0:07 d5', 'only talk'),)
    """
    script = parse(source)
    head = _head(source.text)
    before = tuple(line[len(UNREAD) :].strip() for line in _bare(head) if line.startswith(UNREAD))
    if _is_plain(script.front, head):
        return Written(script.front.answers, before, _kept(head), script.front.recording)
    pairs: dict[str, str] = {}
    unread = list(before)
    for line in _lines_of_answers(head):
        found = _ANSWER.fullmatch(line) or _QUOTED.fullmatch(line)
        if found and found["place"] not in pairs:
            pairs[found["place"]] = found["move"].strip()
        else:
            unread.append(line)
    others = tuple(dict.fromkeys(unread))
    return Written(tuple(pairs.items()), others, _kept(head), script.front.recording)


_ANSWER = expression(
    r"(?:[-*]\s+)?(?P<q>[\"']?)(?P<place>(?:word\s+\d+|(?:\d+:)?\d+:\d\d)\s[^\"]*?)(?P=q)\s*:"
    r"\s*(?P<r>[\"']?)(?P<move>[^\"':]+?)(?P=r)\s*,?",
    re.IGNORECASE,
)


_QUOTED = expression(r'"(?P<place>[^"]+)"\s*:\s*"(?P<move>[^"]+)"')
"""An answer whose words need no time; only below its key, where nothing else is written so."""


_NOT_KEPT = frozenset({"talk", "answers", "accept", "start"})
"""What a hearing writes anew (the talk, the answers), and what holds of the script before only: the
words of its accepted findings and the board it began with."""


_KEPT = expression(
    rf"(?P<key>{'|'.join(key for key in KEYS if key not in _NOT_KEPT)})"
    r"[ \t]*:[ \t]*[^\s#>|&*].*"
)
"""The lines of a head that a teacher writes and a hearing keeps."""


def _kept(head: str) -> Pairs:
    found = (_KEPT.fullmatch(line.rstrip()) for line in head.splitlines())
    return tuple({match["key"]: match[0] for match in found if match}.items())


def _is_plain(front: FrontMatter, head: str) -> bool:
    """Whether all that looks like an answer was read as YAML."""
    places = {place for place, _ in front.answers}
    if not places and not any(_begins_answers(line) for line in _bare(head)):
        return not any(_ANSWER.fullmatch(line) for line in _bare(head))
    found = (_ANSWER.fullmatch(line) for line in _bare(head))
    looks = [match["place"] for match in found if match]
    return bool(places) and set(looks) <= places and len(looks) == len(set(looks))


def _head(text: str) -> str:
    """What stands between the first two lines of dashes."""
    found = re.match(r"---[ \t]*\n(.*?)^(?:---|\.\.\.)[ \t]*$", text, re.DOTALL | re.MULTILINE)
    return found[1] if found else ""


def _bare(head: str) -> Iterator[str]:
    return (line.strip() for line in head.splitlines())


def _begins_answers(line: str) -> bool:
    return bool(re.match(r"answers?\s*:|answers?$", line))


def without_answers(text: str) -> str:
    """A script without the answers in its head, however they are written there, and without what
    else a hearing keeps.

    >>> without_answers('---\\ntitle: T\\nanswers:\\n  "0:07 d5": "d5"\\n---\\n\\nWords.\\n')
    '---\\n---\\n\\nWords.\\n'
    """
    head = _head(text)
    answers = set(_lines_of_answers(head))
    kept = [line for line in head.splitlines(keepends=True) if not _is_of_answers(line, answers)]
    return text.replace(head, "".join(kept), 1) if head else text


def _is_of_answers(line: str, answers: set[str]) -> bool:
    bare = line.strip()
    of_them = (
        bool(_KEPT.fullmatch(line.rstrip()))
        or bare in answers
        or _begins_answers(bare)
        or bare.startswith(UNREAD)
    )
    return not bare or of_them


def _lines_of_answers(head: str) -> Iterator[str]:
    """The lines that are, or should be, answers: below their key, or shaped like one anywhere."""
    inside = False
    for line in _bare(head):
        if not line or line.startswith("#"):
            continue
        if _begins_answers(line):
            inside = True
            rest = _AS_HEARD.sub("", line.partition(":")[2]).strip().strip("{}[]").strip()
            yield from (part.strip() for part in rest.split(", ") if part.strip())
        elif _ANSWER.fullmatch(line):
            yield line
        elif re.match(r"[a-z]+\s*:", line):
            inside = False
        elif inside:
            yield line


def answer_lines(pairs: Pairs, unread: tuple[str, ...]) -> list[str]:
    """The answers as lines of a script's head, marked as heard; none where there are none."""
    if not pairs and not unread:
        return []
    lines = [f"  {quoted(place)}: {quoted(move)}" for place, move in pairs]
    return [
        f"answers:{'' if pairs else ' {}'}  # as heard {_mark(pairs)}",
        *lines,
        *(f"  {UNREAD} {line}" for line in unread),
    ]


_AS_HEARD = expression(r"\s*# as heard (?P<mark>[0-9a-f]+)\s*$", re.MULTILINE)
_MARK_LETTERS = 8


def _mark(pairs: Pairs) -> str:
    """What tells these answers from others."""
    return sha256(repr(pairs).encode()).hexdigest()[:_MARK_LETTERS]


def is_newer_than_hearing(source: Source) -> bool:
    """Whether the answers in the head of a script are others than those it was heard with.

    A hearing marks those it knew; where there is no mark there were none. Never raises.

    >>> head = '---\\nanswers:\\n  "0:07 d5": "only talk"\\n---\\n'
    >>> is_newer_than_hearing(Source("s.md", head)), is_newer_than_hearing(Source("s.md", ""))
    (True, False)
    """
    written, head = written_answers(source), _head(source.text)
    if any(f"{UNREAD} {line}" not in head for line in written.unread):
        return True
    found = _AS_HEARD.search(head)
    return bool(written.pairs) if found is None else found["mark"] != _mark(written.pairs)


def quoted(text: str) -> str:
    """Text in the double quotes of YAML."""
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'
