"""The words at the head and foot of what students get: opening, side, date, the marks' meanings."""

from __future__ import annotations

import datetime
from collections.abc import Collection

from linewright.lesson import Lesson
from linewright.set_blocks import Picture

POINT = "point"
MEANINGS = {
    POINT: "what the words on it speak of",
    "attack": "is attacked, or attacks along the arrow",
    "defend": "is defended, or defends along the arrow",
    "plan": "where it wants to go",
    "weak": "a weakness",
}


def explained(kinds: Collection[str]) -> list[str]:
    """The kinds of marks of a lesson that its key explains, in the key's order.

    None where it only points, as the words on the marks do; else every kind, so that no reader
    asks what is left out.

    >>> explained(["point"]), explained(["weak", "point"])
    ([], ['point', 'weak'])
    """
    found = [kind for kind in MEANINGS if kind in kinds]
    return found if found != [POINT] else []


def missing_picture(plate: Picture) -> str:
    """What is said in the place of an ordinary image, which no output carries."""
    caption = f"“{plate.caption}”" if plate.caption else "a picture"
    return f"Here the script shows {caption} ({plate.address})."


def opening_line(lesson: Lesson) -> str:
    """The opening's name and code at the end of what the main line has of them.

    Empty where the lesson's title is that name: nobody is told it twice.
    """
    from linewright.names import name_of_line, plain_letters

    name = name_of_line(node.board() for node in lesson.tree.told_line())
    if name is None or plain_letters(name.usual) == plain_letters(lesson.front.title):
        return ""
    return " · ".join(filter(None, (name.usual, name.code))).replace("'", "’")


def players_line(lesson: Lesson) -> str:
    """Who played whom and how it ended, as far as the head names them; empty where it does not.

    >>> from linewright.following import follow
    >>> from linewright.script import parse
    >>> from linewright.source import Source
    >>> head = "---\\nwhite: Ed Osgood\\nblack: Ada Penrice\\nresult: 1/2-1/2\\n---\\n"
    >>> players_line(follow(parse(Source("a.md", head))))
    'White: Ed Osgood · Black: Ada Penrice · ½–½'
    """
    front = lesson.front
    white = f"White: {person(front.white)}" if front.white else ""
    black = f"Black: {person(front.black)}" if front.black else ""
    result = "" if front.result == "*" else front.result.replace("1/2", "½").replace("-", "–")
    return " · ".join(part for part in (white, black, result) if part)


def person(name: str) -> str:
    """A name as people say it: a game file has the surname first.

    >>> person("Penrice, Ada M."), person("Ada Penrice"), person("Osgood, Ed, Jr.")
    ('Ada M. Penrice', 'Ada Penrice', 'Osgood, Ed, Jr.')
    """
    surname, comma, given = (part.strip() for part in name.partition(","))
    if not comma or not surname or "," in given or not given[:1].isupper() or given in _TITLES:
        return name
    return f"{given} {surname}"


_TITLES = frozenset("Jr Jr. Sr Sr. II III IV".split())
"""What may stand behind a surname and a comma and is no name."""


def facts_line(lesson: Lesson) -> str:
    """Whose side is taught, for whom, in which series, by whom and when, the date in one piece."""
    front = lesson.front
    students = ""
    if front.students:
        low, high = front.students
        students = f"rated {low}–{high}" if low != high else f"rated about {low}"
    side = f"for {front.taught}" if front.taught else ""
    date = day(front.date).replace(" ", "\u00a0")  # on a phone "2026" had a line to itself
    parts = [side, students, front.series, front.teacher, date]
    words = " · ".join(part for part in parts if part)
    return words[:1].upper() + words[1:]


def day(date: str) -> str:
    """A date as people write it, if it is one of the international form.

    >>> day("2026-10-07"), day("last Tuesday")
    ('7 October 2026', 'last Tuesday')
    """
    try:
        found = datetime.date.fromisoformat(date)
    except ValueError:
        return date
    return f"{found.day} {_MONTHS[found.month - 1]} {found.year}"


_MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September",
    "October", "November", "December",
)  # fmt: skip
