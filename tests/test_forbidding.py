"""Numbered moves that the words forbid: what follows goes on with the line, not with them."""

from __future__ import annotations

import pytest

from linewright.following import follow
from linewright.forbidding import forbids
from linewright.lesson import Lesson
from linewright.script import parse
from linewright.source import Source

LINE = "1.d4 d5 2.c4 e6 3.Nf3"


def lesson(text: str) -> Lesson:
    return follow(parse(Source("a.md", text)))


def main_line(text: str) -> str:
    tree = lesson(text).tree
    return tree.text(tree.main_line()[-1].index)


@pytest.mark.parametrize(
    "warning",
    [
        ". Never 3.Nc3, which allows a pin. Now 3...Nf6",
        ". Please not 3.Nc3. Then 3...Nf6",
        ", not 3.Nc3. Black answers 3...Nf6",
        ", not 3.Nc3, and after 3...Nf6",
        " rather than 3.Nc3 keeps the choice, and then comes 3...Nf6",
        " instead of 3.Nc3. Now 3...Nf6",
        ". Do not play 3.Nc3? here. Now 3...Nf6",
        ". Never 3.Nc3, when the bishop pins.\n\nNow 3...Nf6",
        ". Never 3.Nc3, because of 3...Bb4 and the pin. Now 3...Nf6",
    ],
)
def test_the_line_goes_on_from_the_played_move(warning: str) -> None:
    """Found in use: all that followed "Never 3.Nc3" was put on the board after it."""
    followed = lesson(f"{LINE}{warning} 4.g3.")
    assert not followed.slips
    assert followed.tree.text(followed.tree.main_line()[-1].index) == f"{LINE} Nf6 4.g3"


@pytest.mark.parametrize(
    "told",
    [
        "Instead of this we play",
        "Instead of taking Black chooses",
        "Rather than all that the choice is",
        "To avoid this we play",
        "Black avoids it with",
        "Black does not like this and chooses",
        "We do not trade the knight but play",
        "Rather than castling comes",
        "Instead of castling White plays",
        "Instead of retreating Black should play",
        "Instead of trading queens Black plays",
        "To avoid this Black simply plays",
        "To avoid a pin we play",
        "In order to avoid mate Black should play",
        "Instead of taking the best is",
        "Instead of this our move is",
    ],
)
def test_a_clause_behind_what_is_put_aside_leads_to_the_played_move(told: str) -> None:
    """Found in use: "Instead of this we play" left the board on the line put aside."""
    assert not forbids(told)
    followed = lesson(f"{LINE} Nf6 4.g3 Be7.\n\n{told} 3...Bb4+. White is in check.")
    last = followed.at(len(followed.script.source.text))
    assert followed.tree.nodes[last.node].san == "Bb4+"


@pytest.mark.parametrize(
    "told",
    [
        "Rather than let White play",
        "Instead of the move we saw",
        "We stop that and never play",
        "Avoid playing the greedy",
        "Refrain from pushing the hasty",
        "Instead of hitting the bishop with",
        "Rather than opening the king by",
        "Avoid making the knight move",
        "Avoid moving our knight to",
        "Avoid taking it with",
        "Avoid anything that allows",
        "Avoid the line that begins",
        "Avoid the line that starts with",
        "Avoid the move that was played",
        "Avoid all that follows",
        "Avoid what is called",
        "Avoid that White plays",
        "Avoid lines where Black plays",
        "Try to avoid lines Black plays",
        "Avoid thinking Black plays",
        "Avoid pawns and tricks like",
        "Instead of trying to play",
        "Instead of this move",
        "Instead of trading queens",
        "We are afraid of being mated, so we avoid being mated by",
    ],
)
def test_a_clause_of_the_forbidden_move_itself_forbids_it(told: str) -> None:
    assert forbids(told)


@pytest.mark.parametrize(
    "told",
    ["Avoid playing the greedy", "Instead of meeting it with", "Avoid anything that allows"],
)
def test_the_line_goes_on_from_before_what_a_clause_puts_aside(told: str) -> None:
    """Found in use: "Avoid playing the greedy 3.cxd5" was taken for played."""
    followed = lesson(f"{LINE} Nf6 4.g3 Be7.\n\n{told} 3...Bb4+. Black has castled nowhere.")
    last = followed.at(len(followed.script.source.text))
    assert followed.tree.nodes[last.node].san == "Be7"


@pytest.mark.parametrize(
    "praise",
    [
        "You will not regret",
        "We do not hesitate to switch to",
        "Black cannot prevent",
        "Black did not see",
        "Few players do not know",
        "We never tire of",
        "White should not delay",
        "Black cannot avoid",
        "You cannot go wrong with",
        "I never stopped playing",
        "It is not bad to try",
        "Let us not miss",
    ],
)
def test_a_move_praised_behind_a_negation_is_played(praise: str) -> None:
    assert not forbids(praise)
    assert main_line(f"{LINE}. {praise} 3.Nc3. Then 3...Nf6 4.g3.").endswith("e6 3.Nf3")
    followed = lesson(f"{LINE}. {praise} 3.Nc3. Then 3...Nf6 4.g3.").tree
    assert "1.d4 d5 2.c4 e6 3.Nc3 Nf6 4.g3" in {
        followed.text(one.index) for one in followed.leaves()
    }


@pytest.mark.parametrize(
    "warning",
    [
        "We never like",
        "White does not want to play",
        "Please do not even think of",
        "You should not be tempted by",
        "Don't rush into",
        "White did not go for",
        "We do not recommend the slow move",
        "Never answer with",
        "Instead of developing with",
        "White avoids the tempting",
        "He hasn't chosen",
        "He isn't simply playing",
    ],
)
def test_what_is_said_not_to_be_played_is_forbidden(warning: str) -> None:
    assert forbids(warning)


@pytest.mark.parametrize(
    "shown",
    [
        " Never 3.Nc3, because 3...Bb4 pins it.",
        " Never 3.Nc3: 3...Bb4 pins it.",
        " Never 3.Nc3. Black would pin it with 3...Bb4.",
        " Why not 3.Nc3? After 3...Bb4 it is pinned.",
        " Never 3.Nc3. Black pins it with 3...Bb4 4.Qb3 c5 5.Nf3.",
        " It is not as good as 3.Nc3. Black may pin it with 3...Bb4.",
    ],
)
def test_what_is_wrong_with_a_forbidden_move_is_shown_after_it(shown: str) -> None:
    followed = lesson(f"{LINE}.{shown}")
    assert not followed.slips
    pinned = next(node for node in followed.tree.nodes if node.san == "Bb4")
    assert pinned.parent is not None
    assert followed.tree.nodes[pinned.parent].san == "Nc3"


def test_only_the_board_may_tell_which_line_goes_on() -> None:
    """No knight on c3 reaches b3."""
    text = "1.e4 e6 2.d3 d5 3.Nd2. We never like 3.Nc3 and on 3...c5 go 4.Nb3 Nc6."
    assert main_line(text) == "1.e4 e6 2.d3 d5 3.Nd2 c5 4.Nb3 Nc6"


def test_the_board_is_that_of_the_line_where_the_warning_ends() -> None:
    followed = lesson(f"{LINE}. Never 3.Nc3. The knight on f3 stands well.")
    assert followed.at(len(followed.script.source.text) - 1).fen.startswith(
        "rnbqkbnr/ppp2ppp/4p3/3p4/2PP4/5N2"
    )


def test_a_forbidden_move_of_a_side_line_leads_back_into_it() -> None:
    text = "1.d4 d5 2.c4 e6 (2...c6 3.Nf3. Never 3.Nc3. Then 3...Nf6 4.e3) 3.Nc3 Nf6"
    tree = lesson(text).tree
    assert tree.text(tree.main_line()[-1].index) == "1.d4 d5 2.c4 e6 3.Nc3 Nf6"
    assert "1.d4 d5 2.c4 c6 3.Nf3 Nf6 4.e3" in {tree.text(leaf.index) for leaf in tree.leaves()}


def test_a_forbidden_move_without_number_is_one_instead_of_the_last() -> None:
    """Found in use: "Please not Nc3" behind a move of White was looked for among Black's."""
    followed = lesson("1.e4 e6 2.d3 d5 3.Nd2. Please not Nc3, which allows a push.")
    assert not followed.slips
    (mention,) = followed.mentions
    assert mention.move is not None and mention.move.uci() == "b1c3"
    assert lesson("1.e4 e6 2.d3 d5 3.Nd2. Here Nc3 is a plan.").slips
