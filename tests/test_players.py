"""The players of a game that a talk goes through: who has which side, and what that tells."""

from __future__ import annotations

import re

import pytest

from linewright.build import edition_of, examine
from linewright.following import follow
from linewright.masthead import facts_line, players_line
from linewright.outputs import load_output
from linewright.outputs.game_file import tag_section
from linewright.outputs.handout import typst_source
from linewright.script import parse
from linewright.source import Source
from linewright.talk.heard import Heard, hear, spoken
from linewright.talk.players import names_of_players, players, with_sides
from linewright.talk.transcript import read_transcript
from linewright.talk.vocabulary import tokenise
from linewright.talk.writing import head_told, script_text


def named(text: str) -> dict[str, str]:
    return players(tokenise(spoken(read_transcript(Source("talk.txt", text)))))


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
        # whom the speaker faced, by a title; she need not be named again
        ("i had black against missus dunmore who likes her tea. e4.", {"dunmore": "w"}),
        ("I played White against Mr Farr. e4 e5.", {"farr": "b"}),
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
        "I had Black against something sharp. e4 e5.",
        "I play White against anything he likes. e4 e5.",
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
    tokens = tokenise(spoken(read_transcript(Source("t.txt", "now, Mrs Alma Rudge's knight"))))
    sides = with_sides(tokens, {"alma": "w", "rudge": "w"})
    assert [token.text for token in sides] == ["now", "white's", "knight"]
    assert sides[1].gap == tokens[1].gap


UNSTOPPED = (
    "tonight a game from our summer league osmund fennel has the white pieces against mina corvell"
    " osmund begins with e4 and mina plays e6 d4 d5 and black resigned"
)


def test_a_name_without_capitals_ends_where_its_side_is_told() -> None:
    """Found in use: of "summer league osmund fennel has the white pieces" nobody was a player."""
    assert named(UNSTOPPED) == {"osmund": "w", "fennel": "w", "mina": "b", "corvell": "b"}
    alone = "it is our summer league sadie has white . sadie plays e4 and black answers e5"
    assert named(alone) == {"sadie": "w"}


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        (UNSTOPPED, {"w": "Osmund Fennel", "b": "Mina Corvell"}),
        ("White is Miss Thorne, Black is old Major Bell. Thorne plays e4 and Bell replies e5.",
         {"w": "Miss Thorne", "b": "Major Bell"}),
        ("our mrs dunmore has black. e4 c5. dunmore goes d6.", {"b": "Mrs Dunmore"}),
        ("Alma has White, so Alma plays e4. Alma Rudge has White, and Rudge plays d4.",
         {"w": "Alma Rudge"}),
        ("Osgood has White here. Osgood plays e4. In another, Penrice has White. Penrice plays d4.", {}),
        ("e4 e5, knight f3.", {}),
    ],
)  # fmt: skip
def test_players_are_named_as_said(text: str, wanted: dict[str, str]) -> None:
    assert names_of_players(tokenise(spoken(read_transcript(Source("talk.txt", text))))) == wanted


def test_players_and_result_reach_the_script_and_the_game_file() -> None:
    script = parse(Source("club.script.md", script_text(heard(UNSTOPPED))))
    assert not script.faults
    assert (script.front.white, script.front.black) == ("Osmund Fennel", "Mina Corvell")
    tags = tag_section(follow(script)).splitlines()
    assert tags[4:7] == ['[White "Osmund Fennel"]', '[Black "Mina Corvell"]', '[Result "1-0"]']


def test_a_player_who_is_not_named_is_unknown_in_the_game_file() -> None:
    text = script_text(heard("our mrs dunmore has black. e4 c5. dunmore goes d6."))
    assert "white:" not in text.split("---")[1]
    tags = tag_section(follow(parse(Source("a.md", text)))).splitlines()
    assert tags[4:6] == ['[White "?"]', '[Black "Mrs Dunmore"]']


def test_players_are_keys_of_the_front_matter_like_others() -> None:
    script = parse(Source("a.md", "---\nwhite: [A, B]\nblak: C\n---\n\n1.e4\n"))
    assert [fault.reason for fault in script.faults] == [
        "'white: [A, B]' is not read: one line of text is expected",
        "'blak' is no key of the front matter: did you mean 'black'",
    ]


def test_a_title_is_written_as_on_an_envelope() -> None:
    talk = read_transcript(Source("talk.txt", "i had black against missus dunmore. e4 e5."))
    assert names_of_players(tokenise(spoken(talk))) == {"w": "Mrs Dunmore"}


@pytest.mark.parametrize(
    ("said", "named"),
    [
        (
            "my name is hester gorse and i had black against mr bramley tosswick e4 e5",
            {"b": "Hester Gorse", "w": "Mr Bramley Tosswick"},
        ),
        ("My name is Hester Gorse. I played the white pieces. E4, e5.", {"w": "Hester Gorse"}),
        ("My name is Hester Gorse. If I had Black, I would play e5.", {}),
        ("My name is Hester Gorse. Today we look at Black's answer to e4.", {}),
        ("My name is Hester Gorse. I had Black. In the other game I had White.", {}),
        ("My name is not important. I had Black.", {}),
        ("I had White. E4, e5.", {}),
    ],
)
def test_the_speaker_is_a_player_where_name_and_side_are_said(
    said: str, named: dict[str, str]
) -> None:
    talk = hear(read_transcript(Source("a.txt", said)))
    assert talk.players == named


LESSON = (
    "White plays e4, and we answer with knight f6. White pushes e5, the knight goes to d5, d4, d6, knight"
    " f3, bishop g4, bishop e2, e6. White castles, bishop e7, c4, knight b6, knight c3, and we castle."
)
GAME = (
    " White was Wilma Oakshott, and Black was Aubrey Finch. {} e4, knight f6, e5, knight d5, d4, d6, knight"
    " f3, bishop g4. Here Wilma played h3. Bishop takes f3, queen takes f3."
)


def test_players_of_a_game_shown_besides_are_none_of_the_lesson() -> None:
    """Found in use: the names of a game at the end stood over a main line they never played."""
    talk = heard(
        LESSON + "\n\nNow let me show you a short game from our club." + GAME.format("It began")
    )
    assert talk.players == {"w": "Wilma Oakshott", "b": "Aubrey Finch"}
    assert not {"white", "black"} & head_told(talk).keys()


def test_players_named_before_or_behind_their_own_game_are_its_players() -> None:
    for said in (
        GAME.format("It began").strip(),
        LESSON + " And Black was Aubrey Finch. Aubrey takes, bishop takes f3.",
    ):
        assert head_told(heard(said))["black"] == 'black: "Aubrey Finch"'


def test_a_start_that_is_only_supposed_begins_no_other_game() -> None:
    """Found in use: the names of the game were lost where another start of it was spoken of."""
    told = (
        LESSON + " In this game White was Wilma Oakshott, and Black was Aubrey Finch. Wilma could"
    )
    talk = heard(f"{told} have begun with d4, d5, c4.")
    assert head_told(talk)["white"] == 'white: "Wilma Oakshott"'


def test_a_game_besides_may_part_late() -> None:
    """Found in use: its names stood over the lesson where only its last moves were told."""
    game = (
        " Now another game. White was Wilma Oakshott, and Black was Aubrey Finch. Instead of knight c3"
        " Wilma plays h3, and Aubrey castles."
    )
    for said, named in ((game, False), (game.replace("another", "the"), True)):
        talk = heard(LESSON + " H3, bishop h5." + said)
        assert ("white" in head_told(talk)) == named


@pytest.mark.parametrize(
    "said", ["White was Anna, and Black was Ben e4.", "white was anna and black was ben e4"]
)
def test_who_had_a_side_is_no_side_that_moves(said: str) -> None:
    """Found in use: without a stop behind it the name was the side of the first move, as a slip."""
    rest = "c6 anna plays d4 ben plays d5 anna goes knight c3 ben takes e4 knight takes e4"
    talk = heard(f"{said} {rest}")
    assert talk.players == {"w": "Anna", "b": "Ben"} and not talk.slips


@pytest.mark.parametrize(
    ("head", "line"),
    [
        (
            "white: Ed Osgood\nblack: Ada Penrice\nresult: 0-1\n",
            "White: Ed Osgood · Black: Ada Penrice · 0–1",
        ),
        ("black: Ada Penrice\n", "Black: Ada Penrice"),
        ("result: 1/2-1/2\n", "½–½"),
        ("", ""),
    ],
)
def test_players_and_result_stand_under_the_title(head: str, line: str) -> None:
    report = examine(Source("a.md", f"---\ntitle: A game\n{head}---\n\n1.e4 e5 2.Nf3.\n"))
    edition = edition_of(report, "a")
    page = load_output("page").make(edition)[0].data.decode()
    prompt = load_output("prompt-sheet").make(edition)[0].data.decode()
    under = r"<h1>A game</h1>\s*<p[^>]*>((?:White|Black|½)[^<]*)</p>"
    assert re.findall(under, page) == re.findall(under, prompt) == ([line] if line else [])
    assert f'"A game", "{line}", ' in typst_source(edition)


def test_a_date_stays_in_one_line() -> None:
    lesson = follow(parse(Source("a.md", "---\nteacher: Ada Penrice\ndate: 2026-10-07\n---\n")))
    assert facts_line(lesson) == "Ada Penrice · 7\u00a0October\u00a02026"


def test_the_players_of_a_game_file_are_printed_as_people_say_them() -> None:
    head = '---\nwhite: "Osgood, Ed"\nblack: Ada Penrice\n---\n'
    assert players_line(follow(parse(Source("a.md", head)))) == (
        "White: Ed Osgood · Black: Ada Penrice"
    )
