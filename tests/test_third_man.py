"""A third man of a kind on a what-if board is told where nobody says that it is meant."""

from __future__ import annotations

import pytest

from linewright.build import examine
from linewright.source import Source


@pytest.mark.parametrize(
    ("link", "told"),
    [
        ("[with a knight on f4](?remove=c7&place=nf4)", 1),
        ("[with the knight on f4](?remove=f6&place=nf4)", 0),
        ("[with a third knight](?remove=c7&place=nf4)", 0),
        ("[with three knights](?remove=c7&place=nf4)", 0),
        ("[with an extra knight](?remove=c7&place=nf4)", 0),
        ("[with knights only](?only=KN&remove=c7&place=nf4)", 0),
        ("[with a queen on g5](?remove=c7&place=qg5)", 0),
        ("[with a pawn on f4](?remove=c7&place=pf4)", 0),
    ],
)
def test_a_third_man_is_told_unless_it_is_meant(link: str, told: int) -> None:
    """Found in use: "with a third rook" was taken for a slip."""
    text = f"After 1.e4 e5 2.Nf3 Nc6 3.Bc4 Nf6 see it {link} now.\n"
    found = [one.rule for one in examine(Source("a.md", text)).findings]
    assert found.count("third-man-on-what-if-board") == told
