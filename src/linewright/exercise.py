"""Read the text of an exercise: its question, its board and its answer, each with its place.

An exercise is a fenced block: the question, then a line `answer: …`; a line `fen: …` sets a board
of its own. Nothing is resolved on a board here.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from difflib import get_close_matches

from linewright.expressions import expression
from linewright.inline import EMPTY, Inline, InlineText, scan
from linewright.source import NOWHERE, Span
from linewright.textfault import Fault

FENCE = "exercise"
"""The name of the fenced block."""

_KEYS = {
    "answer": "answer", "task": "task", "question": "task", "fen": "fen", "board": "fen",
}  # fmt: skip
_MEANT = {
    "solution": "answer", "solutions": "answer", "reply": "answer", "result": "answer",
    "position": "fen", "problem": "task",
}  # fmt: skip
"""Words teachers use for the keys there are."""

_KEY = expression(r"\s*(?P<key>[A-Za-z]+)\s*:(?=\s|$)\s*")


@dataclass(frozen=True, slots=True)
class Passage:
    """The words of a question or an answer: as they stand, joined by spaces, and scanned.

    `written` has the same characters with their places in the source.
    """

    span: Span = NOWHERE
    text: str = ""
    inlines: tuple[Inline, ...] = ()
    written: InlineText = EMPTY


@dataclass(frozen=True, slots=True)
class ExerciseText:
    """What stands in an exercise, nothing resolved.

    `fen` is empty where no board of its own is set; `faults` are those of its question and
    answer, to be reported with their boards.
    """

    task: Passage
    answer: Passage
    fen: str = ""
    fen_place: Span = NOWHERE
    faults: tuple[Fault, ...] = ()


def named_like_an_exercise(name: str, lines: Iterable[str]) -> bool:
    """Whether a fenced block that is named otherwise is meant for an exercise: by its name, or
    because it holds an answer.

    >>> named_like_an_exercise("exercize", []), named_like_an_exercise("python", ["answer: 42"])
    (True, True)
    >>> named_like_an_exercise("text", ["1.e4 is the answer"])
    False
    """
    if name == FENCE:
        return False
    near = bool(get_close_matches(name, (FENCE,), 1, 0.7))
    keys = (_KEY.match(line) for line in lines)
    return near or any(key is not None and _meant(key["key"]) == "answer" for key in keys)


def read_exercise(lines: Iterable[tuple[str, int]], faults: list[Fault], end: Span) -> ExerciseText:
    """The exercise that lines (each with its place) set; faults of its form go to `faults`.

    `end` is where a missing answer is told. Never raises.
    """
    kept: dict[str, list[tuple[str, int]]] = {"task": [], "answer": [], "fen": []}
    current, answers = "task", NOWHERE
    for line, start in lines:
        text, at = line, start
        if match := _KEY.match(line):
            place = Span(start + match.start("key"), start + match.end("key"))
            if key := _meant(match["key"]):
                answers = place if key == "answer" else answers
                current, text, at = key, line[match.end() :], start + match.end()
            _odd_key(match["key"], key, place, faults)
        kept[current].append((text.strip(), at + len(text) - len(text.lstrip())))
        current = "task" if current == "fen" else current
    own: list[Fault] = []
    task, answer = (_passage(kept[name], own) for name in ("task", "answer"))
    if not answer.text:
        reason = "'answer:' is empty" if answers != NOWHERE else "there is no line 'answer: …'"
        faults.append(Fault("no-answer", end if answers == NOWHERE else answers, reason))
    fen, at = kept["fen"][0] if kept["fen"] else ("", 0)
    return ExerciseText(task, answer, fen, Span(at, at + len(fen)), tuple(own))


def _meant(key: str) -> str:
    """The key that a word is or is meant for, or an empty string."""
    word = key.lower()
    if found := _KEYS.get(word) or _MEANT.get(word):
        return found
    near = get_close_matches(word, _KEYS, 1, 0.75)
    return _KEYS[near[0]] if near else ""


def _odd_key(key: str, meant: str, place: Span, faults: list[Fault]) -> None:
    """A fault for a key there is not. A key is written in lower case at the start of a line;
    other words begin a sentence."""
    if key.lower() in _KEYS:
        return
    near = get_close_matches(key.lower(), _KEYS, 1, 0.75)
    name = near[0] if near else meant
    if name:
        reason = f"'{key}' is no key of an exercise, it is almost '{name}'"
        faults.append(Fault("exercise-key", place, reason, (name,)))
    elif key.islower():
        reason = f"'{key}' is no key of an exercise: there are task, fen and answer"
        faults.append(Fault("exercise-key", place, reason))


def _passage(lines: list[tuple[str, int]], faults: list[Fault]) -> Passage:
    lines = [(text, start) for text, start in lines if text]
    if not lines:
        return Passage()
    text = InlineText.joined(lines)
    span = Span(text.offset(0), text.offset(len(text.text)))
    return Passage(span, " ".join(line for line, _ in lines), scan(text, faults), text)
