"""The players of a game that a talk goes through: who has which side, and what that tells."""

from __future__ import annotations

import pytest

from linewright.source import Source
from linewright.talk.heard import Heard, hear, tokens_of
from linewright.talk.players import players, with_sides
from linewright.talk.transcript import read_transcript


def named(text: str) -> dict[str, str]:
    return players(list(tokens_of(read_transcript(Source("talk.txt", text)))))


def heard(text: str) -> Heard:
    return hear(read_transcript(Source("talk.txt", text)))


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("Osgood with the white pieces against young Penrice. e4 e5. Penrice takes it.",
         {"osgood": "w", "penrice": "b"}),
        ("White is Miss Thorne, Black is Major Bell. Thorne plays e4 and Bell replies e5.",
         {"thorne": "w", "bell": "b"}),
        ("Our game, Alma Rudge against Mrs Tolley. Alma plays e4.",
         {"alma": "w", "rudge": "w", "tolley": "b"}),
        ("White's name was Hetty, and I was Black. f4. Hetty's bishop is shut in.", {"hetty": "w"}),
        ("Black in the game was Ludo. e4 c5. Ludo goes d6.", {"ludo": "b"}),
        ("it's Sadie with white against big Tom. e4. Tom answers c5.", {"sadie": "w", "tom": "b"}),
        ("sadie had black. e4. sadie answers c5.", {"sadie": "b"}),
    ],
)  # fmt: skip
def test_players_are_known_by_what_is_said_of_their_sides(
    text: str, wanted: dict[str, str]
) -> None:
    assert named(text) == wanted


@pytest.mark.parametrize(
    "text",
    [
        "White is better and better. Black is fine. e4 e5.",
        "white is threatening mate. threatening plays a role.",
        "The French with Black is solid. French plays are rare.",
        "A knight against a bishop. The knight takes the pawn.",
        "Attack with White, defend with Black. e4 e5.",
        "Rufus with White. e4 e5.",  # named once and never again
        "Rufus with White, and later Rufus with Black. Rufus takes it.",  # two games
        "black is solid and solid plays well. e4 e5.",
        "",
    ],
)
def test_other_words_are_no_players(text: str) -> None:
    assert named(text) == {}


def test_a_players_name_says_whose_move_it_is() -> None:
    talk = heard("Osgood against Penrice. e4, d5. Osgood takes, and Penrice takes with the queen.")
    assert [" ".join(m.san for m in line.moves) for line in talk.lines] == ["e4 d5 exd5 Qxd5"]


def test_a_move_given_to_the_wrong_player_is_a_slip_of_side() -> None:
    talk = heard(
        "Alma has White against Mr Pike. Alma plays e4, and Pike answers e5. Knight f3, knight c6,"
        " bishop b5. Now Alma plays a6, and the bishop retreats to a4."
    )
    assert [(slip.kind, slip.meant) for slip in talk.slips] == [("side", "a6")]


def test_captions_keep_the_players_names() -> None:
    talk = heard("Alma has White against Tom. Alma plays e4, Tom answers e5, night f3.")
    assert [(c.said.text, c.now) for c in talk.caption_changes] == [("night", "knight")]


def test_titles_and_first_names_go_with_the_name() -> None:
    tokens = list(tokens_of(read_transcript(Source("t.txt", "now, Mrs Alma Rudge's knight"))))
    sides = with_sides(tokens, {"alma": "w", "rudge": "w"})
    assert [token.text for token in sides] == ["now", "white's", "knight"]
    assert sides[1].gap == tokens[1].gap
