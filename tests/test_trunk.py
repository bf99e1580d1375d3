"""Which continuation is the main line of a lesson that tells several."""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from linewright.following import follow
from linewright.outputs.game_file import game_of
from linewright.placing import GrowingTree
from linewright.script import Script, parse
from linewright.source import Source
from linewright.trunk import Ranks, Shown, calls_main, ranks_of

HEAD = "1.e4 e5 2.Nf3 Nc6 3.Bc4"


def trunk(text: str) -> str:
    """The main line behind the first moves, in SAN."""
    tree = follow(parse(Source("lesson.md", text))).tree
    return " ".join(node.san for node in tree.main_line()[5:])


PARTS = "# When Black mirrors\n\n{head} Bc5 4.c3 Nf6.\n\n# {title}\n\n3...Nf6 4.d3 Bc5 5.c3 d6."


@pytest.mark.parametrize(
    ("title", "main"),
    [
        ("The main line", "Nf6 d3 Bc5 c3 d6"),
        ("Part 2: our main line", "Nf6 d3 Bc5 c3 d6"),
        ("Back to the main line", "Nf6 d3 Bc5 c3 d6"),
        ("Off the main line", "Bc5 c3 Nf6"),
        ("Main line sidelines", "Bc5 c3 Nf6"),
        ("When Black hits the pawn", "Bc5 c3 Nf6"),
    ],
)
def test_a_part_headed_as_the_main_line_is_it(title: str, main: str) -> None:
    assert trunk(PARTS.format(head=HEAD, title=title)) == main


def test_smaller_parts_belong_to_a_part_headed_as_the_main_line() -> None:
    text = f"# First\n\n{HEAD} Bc5.\n\n# The main line\n\n## At once\n\n3...Nf6 4.d3.\n\n# Last\n\n3...d6."
    assert trunk(text) == "Nf6 d3"


def test_what_a_part_headed_as_the_main_line_looks_back_to_does_not_go_first() -> None:
    text = f"{HEAD} Bc5 4.c3.\n\n# The main line\n\n3...Nf6 4.d3, not as after 3...Bc5 4.c3 Nf6."
    assert trunk(text) == "Nf6 d3"


def test_a_box_named_main_line_says_it_wherever_it_stands() -> None:
    text = f"{HEAD} Bc5 4.c3 Nf6. There is 3...Nf6 4.d3.\n\n> **Main line.** {HEAD} Nf6 4.d3 Be7"
    assert trunk(text) == "Nf6 d3 Be7"
    named_first = f"> **Main line.** {HEAD} Nf6 4.d3\n\n# The main line\n\n{HEAD} Bc5"
    assert trunk(named_first) == "Nf6 d3"


@pytest.mark.parametrize(
    "first",
    [
        "3...f6? 4.d4",
        "3...f6 is rather greedy.",
        "3...f6 loses time.",
        "If Black plays 3...f6, then 4.d4.",
        "Never think of 3...f6 here.",
    ],
)
def test_a_move_warned_of_or_supposed_gives_way_to_one_that_goes_on(first: str) -> None:
    assert trunk(f"{HEAD} is known. {first} 3...Nf6 4.d3 Bc5 5.c3.") == "Nf6 d3 Bc5 c3"


@pytest.mark.parametrize(
    "text",
    [
        f"{HEAD} f6? 4.d4 exd4 5.O-O Bc5 6.c3 and Black suffers. He had 3...Nf6.",
        f"{HEAD} f6 is not bad. Others like 3...Nf6 4.d3 Bc5.",
        f"{HEAD} f6 4.d4. And 3...Nf6? 4.Ng5 d5 5.exd5.",
    ],
)
def test_what_is_taught_at_length_or_not_warned_of_stays_the_main_line(text: str) -> None:
    assert trunk(text).startswith("f6 d4" if "d4" in text else "f6")


def test_a_mistake_that_was_played_stays_in_the_line_of_its_game() -> None:
    game = '---\nwhite: "Osric Vane"\n---\n\n'
    assert trunk(f"{game}{HEAD} f6? Better is 3...Nf6 4.d3 Bc5. But 3...f6 4.d4") == "f6 d4"


def test_the_game_file_follows_the_line_called_main() -> None:
    game = game_of(follow(parse(Source("a.md", PARTS.format(head=HEAD, title="The main line")))))
    assert [node.san() for node in game.mainline()][5:] == ["Nf6", "d3", "Bc5", "c3", "d6"]


def test_a_title_of_many_clauses_is_read_at_once() -> None:
    """Found by reading: the ways to read it doubled with each comma."""
    assert not calls_main("So we play it, " * 200)
    assert calls_main("So we play it, " * 200 + "and now the main line")


def test_signs_of_the_teachers_own_need_not_be_free() -> None:
    """Found by reading: characters of an icon font left none for the marks."""
    game = game_of(follow(parse(Source("a.md", "\U000f0000\U000f0001 [now](#d4) 1.e4 e5 2.Nf3."))))
    assert "[%mark point:d4]" in game.comment


ACCEPTED = "# Taken\n\nThe main line is 1.e4 e5 2.f4 exf4 3.Nf3 g5 4.h4 g4 5.Ne5 Nf6 6.Bc4 d5."
DECLINED = "# Not taken\n\nThere is 2...Bc5, and then 3.Nf3 d6 4.c3 Nf6 5.d4 exd4 6.cxd4 Bb6."


@pytest.mark.parametrize(
    "words",
    [
        "Back in the main line, the quiet players choose",
        "We return to our main line. Slower is",
        "In the main line White may also think of",
    ],
)
def test_words_that_go_back_to_the_main_line_put_the_move_on_it(words: str) -> None:
    """Found in use: the move went onto the line told last, where what followed was illegal."""
    read = follow(
        parse(Source("a.md", f"{ACCEPTED}\n\n{DECLINED}\n\n# Slower\n\n{words} 4.Bc4 Bg7."))
    )
    assert not read.slips
    assert read.tree.text(read.steps[-1].after) == "1.e4 e5 2.f4 exf4 3.Nf3 g5 4.Bc4 Bg7"


@pytest.mark.parametrize(
    ("moves", "line"),
    [
        ("4.Bc4 g4 5.O-O gxf3 6.Qxf3 Qf6", "2.f4 exf4 3.Nf3 g5 4.Bc4"),
        ("4.Bc4 Nf6 5.d3 Qg6", "2.f4 Bc5 3.Nf3 d6 4.Bc4"),  # one slip tells nothing
    ],
)
def test_a_part_begins_on_the_main_line_where_far_more_fits_there(moves: str, line: str) -> None:
    told = f"{ACCEPTED}\n\n{DECLINED}\n\n# Slower\n\nQuiet players choose {moves}."
    read = follow(parse(Source("a.md", told)))
    assert f"1.e4 e5 {line}" in read.tree.text(read.steps[-1].after)


def test_a_line_that_only_compares_with_the_main_line_goes_on() -> None:
    text = f"{ACCEPTED}\n\n{DECLINED} Not as in the main line, White goes 4.Bc4 Nf6."
    read = follow(parse(Source("a.md", text)))
    assert read.tree.text(read.steps[-1].after) == "1.e4 e5 2.f4 Bc5 3.Nf3 d6 4.Bc4 Nf6"


def test_what_does_not_fit_the_main_line_stays_where_its_number_puts_it() -> None:
    text = f"{ACCEPTED}\n\n{DECLINED} In the main line White goes 4.Bc4 Nf6 5.d3 Ng4 6.Rf1 Bf2+."
    read = follow(parse(Source("a.md", text)))
    assert not read.slips
    assert read.tree.text(read.steps[-1].after).startswith("1.e4 e5 2.f4 Bc5 3.Nf3 d6 4.Bc4 Nf6")


@pytest.mark.parametrize(
    ("taught", "right", "main"),
    [
        ("Black", "3...Nf6! is the right answer", "Nf6"),
        ("Black", "The best reply is 3...Nf6", "Nf6"),
        ("Black", "3...Nf6 is not the right answer", "f6 d4 exd4 O-O"),
        ("Black", "3...Nf6 is better for White", "f6 d4 exd4 O-O"),
        ("White", "3...Nf6! is the right answer", "f6 d4 exd4 O-O"),
    ],
)
def test_what_is_called_right_for_the_side_taught_goes_first(
    taught: str, right: str, main: str
) -> None:
    """Found in use: the game file ended with the mistake, its cure a side line."""
    text = f"---\nfor: {taught}\n---\n\n{HEAD} f6 4.d4 exd4 5.O-O and White is happy. {right}."
    assert trunk(text) == main


LONG = f"---\nfor: White\n---\n\n{HEAD} Nf6 4.d3 Bc5 5.c3 d6 6.O-O O-O 7.Re1 a6.\n\n# More\n\n"


@pytest.mark.parametrize(
    "words",
    [
        "Here 4.Ng5 is best left alone, for 4...d5 comes.",
        "Here 4.Ng5 is best answered with 4...d5.",
        "4.Ng5 is right away answered with 4...d5.",
        "After 3...Nf6 the second best move is 4.Nc3 and then 4...Nxe4.",
        "Many a player believes that 4.Ng5 is best, as it eyes f7. It is not: 4...d5",
        "One often hears it said that after 3...Nf6 4.Ng5 is best.",
        "4.Ng5 is best, but only in dreams.",
        "Why 4.Ng5, is it best? No, 4...d5",
        "Is it true that 4.Ng5 is best? No, 4...d5",
        "4.Nc3 would be best without the fork 4...Nxe4",
        "The bishop after 4.Bb3 is best placed.",
        "The bishop after 4.Bb3 is best.",
        "In a quick game 4.Ng5 is best if you need a win.",
        "Black's best hope is 4.Nc3 now.",
        "4.Ng5 is better.",
    ],
)
def test_what_is_not_called_right_in_earnest_does_not_go_first(words: str) -> None:
    """Found in use: praise of something else made a side line the game."""
    assert trunk(LONG + words).startswith("Nf6 d3 Bc5")


@pytest.mark.parametrize(
    ("words", "main"),
    [
        ("But 4.Ng5! is the right move, not 4.Nc3.", "Nf6 Ng5"),
        ("The best move here is 4.Ng5 d5 5.exd5.", "Nf6 Ng5 d5 exd5"),
        ("White's best is 4.Ng5.", "Nf6 Ng5"),
        ("4.Ng5 is better. 4...d5 5.exd5 Na5 6.Bb5+ c6 7.dxc6 bxc6", "Nf6 Ng5 d5 exd5 Na5 Bb5+"),
    ],
)
def test_what_is_called_right_in_earnest_goes_first(words: str, main: str) -> None:
    assert trunk(LONG + words).startswith(main)


@pytest.mark.parametrize(
    "words",
    [
        "In the main line the bishop goes out first.",
        "Nobody who plays so can go back to the main line and no transposition helps:",
        "(a return to the main line is not to be had)",
        "In the main line all is soon open; here nothing is, and there comes",
        "In the main line all is soon open, but this time White is slow:",
    ],
)
def test_words_that_only_name_the_main_line_leave_the_line_at_hand(words: str) -> None:
    """Found in use: a sentence about the main line tore the next move out of its line."""
    text = f"{HEAD} Bc5 4.c3 Nf6.\n\nThe other way is 3...Nf6 4.d3 d6. {words} 5.O-O Be7."
    read = follow(parse(Source("a.md", text)))
    assert not read.slips
    assert read.tree.text(read.steps[-1].after) == f"{HEAD} Nf6 4.d3 d6 5.O-O Be7"


@pytest.mark.parametrize(
    "words",
    [
        "So, back to the main line.",
        "That is that. In the main line White goes",
        "Back in the main line, he does not wait:",
    ],
)
def test_words_that_lead_from_a_line_to_the_main_line_leave_it(words: str) -> None:
    text = f"{HEAD} Bc5 4.c3 Nf6.\n\nThe other way is 3...Nf6 4.d3 d6. {words} 5.O-O O-O."
    read = follow(parse(Source("a.md", text)))
    assert read.tree.text(read.steps[-1].after) == f"{HEAD} Bc5 4.c3 Nf6 5.O-O O-O"


def test_parts_that_go_on_where_their_numbers_say_do_not_ask_for_the_main_line(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Found by reading: to ask at each part made the time grow with the square of their number."""
    asked: list[int] = []

    def ranks(script: Script, told: Sequence[Shown], tree: GrowingTree) -> Ranks:
        asked.append(len(told))
        return ranks_of(script, told, tree)

    monkeypatch.setattr("linewright.following.ranks_of", ranks)
    parts = "".join(f"\n\n# Part\n\nNow 4.{move} is played." for move in ("a3", "b3", "h3", "d3"))
    read = follow(parse(Source("a.md", f"{HEAD} Nf6 4.c3 Be7.\n\nOr 3...Bc5 4.O-O.{parts}")))
    assert not read.slips
    assert len(asked) == 1
