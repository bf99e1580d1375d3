"""The game file keeps a lesson's words: all of them, once, where they can be understood."""

from __future__ import annotations

import random
import re

import chess
import chess.pgn
import pytest

from linewright.following import follow
from linewright.outputs.game_file import game_of
from linewright.script import parse
from linewright.source import Source

LINES = (
    "1.d4 d5 2.c4 e6 3.Nc3 Nf6 4.Bg5 Be7",
    "1.d4 d5 2.c4 c6 3.Nf3 Nf6 4.e3 e6",
    "1.d4 Nf6 2.c4 g6 3.Nc3 Bg7 4.e4 d6",
)
LEADS = ("", "After ", "Now ", "If ", "Instead of ", "The answer to ", "And so ")


def movetext(text: str) -> str:
    game = game_of(follow(parse(Source("a.md", text))))
    return game.accept(chess.pgn.StringExporter(columns=None, headers=False))


def test_a_known_line_in_a_sentence_keeps_the_words_before_it() -> None:
    """Found in use: of "The reply to 1.d4 d5 2.c4 is e6" only "2.c4 is e6" was left."""
    text = "1.d4 d5 2.c4 e6 3.Nc3 is calm.\n\n# Sum\nMany play it. The reply to 1.d4 d5 2.c4 is e6."
    assert "{ Many play it. The reply to 1.d4 d5 2.c4 is e6. }" in movetext(text)


def test_words_that_lead_back_stay_before_moves_told_for_the_first_time() -> None:
    """Found in use: they were put together with words behind these moves, which made nonsense."""
    text = "1.d4 is solid. The reply to 1.d4 d5 2.c4 is e6."
    assert "1. d4 { is solid. The reply to 1.d4 } 1... d5 2. c4 { is e6. }" in movetext(text)


class Teller:
    """Writes paragraphs of words that stand nowhere else, between moves of a few known lines."""

    def __init__(self, seed: int) -> None:
        self.random = random.Random(seed)
        self.words: list[str] = []

    def said(self) -> str:
        new = [f"zz{len(self.words) + k}zz" for k in range(self.random.randint(1, 5))]
        self.words += new
        return " ".join(new)

    def moves(self, line: str, first: int, last: int) -> str:
        board, out = chess.Board(), []
        for k, token in enumerate(line.split()[:last]):
            move = board.parse_san(token.split(".")[-1])
            dots = "." if board.turn else "..."
            number = f"{board.fullmove_number}{dots}" if board.turn or k == first else ""
            out.append(f"{number}{board.san(move)}")
            board.push(move)
        return " ".join(out[first:])

    def sentence(self, inside: bool = False) -> str:
        pick, line = self.random, self.random.choice(LINES)
        first = pick.choice([0, 0, 1, 2, 3])
        last = first + pick.randint(1, 4)
        lead = pick.choice(LEADS) + (self.said() + " " if pick.random() < 0.5 else "")
        told = f"{lead}{self.moves(line, first, last)}{pick.choice([' ', ', ', ': '])}{self.said()}"
        if pick.random() < 0.3 and last < 8:
            told += f" {self.moves(line, last, last + 1)}"
        if pick.random() < 0.3 and not inside:
            told += f" ({self.sentence(inside=True)}) {self.said()}"
        return told if inside else told + pick.choice(". . ! ?".split())

    def script(self) -> str:
        parts = []
        for _ in range(self.random.randint(1, 4)):
            heading = self.random.choice(["# A part\n\n", ""])
            parts.append(heading + " ".join(self.sentence() for _ in range(3)))
        return "\n\n".join(parts)


@pytest.mark.parametrize("seed", range(30))
def test_every_word_stands_once_in_the_game_file(seed: int) -> None:
    teller = Teller(seed)
    kept = re.findall(r"zz\d+zz", movetext(teller.script()))
    assert sorted(kept) == sorted(teller.words)


def test_general_words_that_open_a_part_lead_to_its_first_move() -> None:
    """Found in use: they ended in the comment on the last move of the part before."""
    line = "1.d4 d5 2.c4 e6 3.Nc3 Nf6 4.Bg5 Be7 is calm."
    told = movetext(f"{line}\n\n# Others\n\nThere are two ways out.\n\nThe first is 2...c6 3.Nf3.")
    assert "Be7 { is calm. }" in told
    assert "( { There are two ways out. The first is } 2... c6" in told
    here = movetext(f"{line}\n\n# So far\n\nThe bishop on g5 is well placed.\n\nNow 2...c6 3.Nf3.")
    assert "Be7 { is calm. The bishop on g5 is well placed. }" in here


def test_what_ends_a_side_line_stays_there_when_the_main_move_comes_behind_it() -> None:
    """Found in use: "the queen is lost" stood behind the move that saves it."""
    text = (
        "---\nfor: Black\n---\n\n1.d4 d5 2.c4 dxc4 3.e3 b5 4.a4 c6 5.axb5 cxb5 6.Qf3 the rook is"
        " lost, so think again: 3...Nf6 is the right move."
    )
    assert "6. Qf3 { the rook is lost } ) { so think again: 3...Nf6 is the right move. }" in (
        movetext(text)
    )


MAIN_AND_SIDE = "1.d4 d5 2.c4 e6 3.Nc3 Nf6.\n\n# Another way\n\nThere is 2...dxc4 3.e3 b5 too"


def main_and_side(*, behind: str) -> tuple[str, str]:
    """What stands behind the last move of the side line, and of the main line."""
    told = movetext(f"{MAIN_AND_SIDE}{behind}")
    side = re.search(r"3\. e3 b5 \{([^}]*)\}", told)
    main = re.search(r"Nf6 \{([^}]*)\} \*$", told)
    return side[1].strip() if side else "", main[1].strip() if main else ""


def test_what_closes_a_lesson_stands_behind_the_last_move_of_its_main_line() -> None:
    """Found in use: a summing up stood three brackets deep, behind the last side line told."""
    headed = main_and_side(
        behind=".\n\n# To take home\n\nTwo rules. Keep e6 for later.\n\nBe brave."
    )
    assert headed == ("too.", "Two rules. Keep e6 for later. Be brave.")
    leave = main_and_side(behind=".\n\n# Tea\n\nThe urn is on. Thanks to Tilla.")
    assert leave == ("too.", "The urn is on. Thanks to Tilla.")
    said = main_and_side(behind=" and Black holds. So let's sum up. Never rush. See you.")
    assert said == ("too and Black holds.", "So let's sum up. Never rush. See you.")
    plain = main_and_side(behind=" and that is it let me sum up never rush on d5 and see you")
    assert plain == ("too", "and that is it let me sum up never rush on d5 and see you")


@pytest.mark.parametrize(
    "words",
    [
        "# Is it good?\n\nNo. He grabs and has to give it back, with interest.",
        "# Why this fails\n\nIt is greedy and it loses time. That is thanks to his own greed.",
        "# Warum?\n\nDas kostet viel Zeit.",
    ],
)
def test_a_last_part_that_takes_no_leave_stays_where_it_is_said(words: str) -> None:
    side, main = main_and_side(behind=f".\n\n{words}")
    assert side == f"too. {words.rpartition(chr(10))[2]}"
    assert main == ""


def test_what_is_said_of_the_last_side_line_stays_there() -> None:
    """A part without moves may be on its board, as a mark certainly is."""
    assert main_and_side(behind=".\n\n# Its plan\n\nThe pawn on b5 stays.")[1] == ""
    marked = main_and_side(behind=".\n\n# To take home\n\nLook at [the pawn](#b5).")
    assert marked == ("too. Look at [%mark point:b5] the pawn.", "")


def test_words_that_name_the_main_move_lead_to_the_side_line_in_its_place() -> None:
    """Found in use: "Go back. Instead of 6.e3" stood as a comment on 6.e3 itself."""
    line = "1.d4 d5 2.c4 e6 3.Nc3 Nf6 4.Bg5."
    told = movetext(f"{line}\n\n# More\n\nGo back. Instead of 3.Nc3 White has 3.cxd5, a trade.")
    assert "3. Nc3 ( { Go back. Instead of 3.Nc3 White has } 3. cxd5 { a trade. } )" in told
    apart = movetext(f"{line}\n\n# More\n\nThink of 3.Nc3. What about 3.cxd5 instead?")
    assert "3. Nc3 { Think of 3.Nc3 } ( { What about } 3. cxd5 { instead? } )" in apart


def test_the_name_of_a_box_stays_with_its_words() -> None:
    """Found in use: "Watch out!" stood alone, its warning elsewhere in a side line."""
    line = "1.d4 d5 2.c4 e6 3.Nc3 Nf6 4.Bg5."
    told = movetext(f"{line}\n\n> **Mind it!** After 2.c4 never go 2...b5?, it drops a pawn.")
    assert "( { Mind it! After 2.c4 never go } 2... b5" in told and "4. Bg5 *" in told


def test_a_lone_preposition_is_no_comment() -> None:
    """Found in use: a game file began with "{ After } 1. e4"."""
    assert movetext("After 1.d4 d5 2.c4 Black is free.").startswith("1. d4 d5 2. c4 { Black is")


def test_talk_without_stops_turns_to_the_next_way_by_its_number() -> None:
    """Found in use: "there is nothing to be afraid of" opened the second of two ways."""
    text = (
        "1.d4 d5 2.c4 e6 3.Nc3 and there are two more ways first the one with 2...dxc4 3.e3 b5 and"
        " nobody here has to be afraid of it second the calm one that is when he plays 2...c6"
    )
    told = movetext(text)
    assert "3. e3 b5 { and nobody here has to be afraid of it } )" in told
    assert "( { second the calm one that is when he plays } 2... c6" in told


def test_a_question_what_happens_stays_whole() -> None:
    """Found in use: of "What happens if he goes" only "What happens …" was left there."""
    line = "1.d4 d5 2.c4 e6 3.Nc3 and we are fine"
    told = movetext(f"{line}\n\nWhat happens if Black is in a hurry and goes 2...dxc4 that is all")
    assert "( { What happens if Black is in a hurry and goes } 2... dxc4" in told


def test_words_before_a_parenthesis_go_with_it_if_it_ends_their_sentence() -> None:
    """Found in use: "A bold try is …" stayed alone, far from the try."""
    line = "1.d4 d5 2.c4 e6 3.Nc3 Nf6 4.Bg5.\n\n2...e6 is calm."
    told = movetext(f"{line} A bold try is (2...b5 3.cxd5 and a pawn is gone.) Now 3.Nc3.")
    assert "( { A bold try is } 2... b5 3. cxd5 { and a pawn is gone. } )" in told
    colon = movetext(f"{line} Greedy men take: (2...dxc4 3.e3). Now 3.Nc3.")
    assert "( { Greedy men take: } 2... dxc4 3. e3 )" in colon
    # Not so what only makes a remark.
    free = movetext(f"{line} The centre is firm (2...b5 3.cxd5 is worse). Now 3.Nc3.")
    assert "( 2... b5 3. cxd5 { is worse } )" in free


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (
            "Should White be afraid (3...dxc4 4.e4)? No.",
            "{ Should White be afraid? } 3... Nf6 ( 3... dxc4 4. e4 ) { No. }",
        ),
        (
            "He is (3...dxc4) greedy. Look:",
            "{ He is (3...dxc4) greedy. } 3... Nf6 ( 3... dxc4 ) { Look:",
        ),
        (
            "He is (see 3...dxc4) greedy.",
            "{ He is (3...dxc4) greedy. } 3... Nf6 ( { see } 3... dxc4 )",
        ),
        (
            "There (3...dxc4 4.e4) he is free and now",
            "{ There (3...dxc4) he is free } 3... Nf6 ( 3... dxc4 4. e4 ) { and now",
        ),
        (
            "He takes (3...dxc4), holds (3...c6) or plays on.",
            "{ He takes (3...dxc4), holds (3...c6) or plays on. } 3... Nf6 ( 3... dxc4 )",
        ),
    ],
)
def test_the_end_of_a_sentence_stands_by_its_beginning_around_a_side_line(
    words: str, told: str
) -> None:
    assert told in movetext(f"1.d4 d5 2.c4 e6 3.Nc3. {words} 3...Nf6.")


def test_a_sentence_that_goes_on_behind_a_parenthesis_has_no_hole() -> None:
    """Found in use: "Lesson 1 was … and if you forgot it"."""
    told = movetext("1.d4 d5 2.c4 e6 3.Nc3. A lively try was (2.Nf3 Nf6), and it was fun. 3...Nf6.")
    assert "{ A lively try was (2.Nf3), and it was fun. }" in told


def test_parentheses_of_the_words_stay_and_those_of_a_side_line_are_its_own() -> None:
    told = movetext(
        "1.d4 d5 2.c4 e6 3.Nc3. Then (as ever) he asks: is it good (3...dxc4 4.e4)? No."
    )
    assert "{ Then (as ever) he asks: is it good (3...dxc4 4.e4)? No. } *" in told
    beside = movetext("1.d4 d5 2.c4 e6 (2...e5 is bold, and (they say) bad) 3.Nc3.")
    assert "( 2... e5 { is bold, and (they say) bad } ) 3. Nc3" in beside


def test_words_that_lead_over_a_heading_stand_with_what_comes_behind_it() -> None:
    """Found in use: a pupil's question ended the side line before that of its answer."""
    line = "1.d4 d5 2.c4 e6 3.Nc3 Nf6 4.Bg5.\n\nThere is 3.Nf3 Nf6 4.Bg5 too, and it is calm."
    told = movetext(f"{line}\n\nYes, Ottil? Can he take?\n\n# Taking\n\n2...dxc4 wins a pawn.")
    assert "( { Yes, Ottil? Can he take? } 2... dxc4 { wins a pawn. } )" in told
    over = movetext(f"{line}\n\nNow for the brave.\n\n# Taking\n\nBlack plays 2...dxc4.")
    assert "( { Now for the brave. Black plays } 2... dxc4" in over
    # Where the line simply goes on they are said on its board.
    here = movetext("1.d4 d5 2.c4 e6.\n\nWhat now?\n\n# Calm\n\n3.Nc3 is best.")
    assert "e6 { What now? } 3. Nc3" in here


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ("and all is well; 2...dxc4 3.e3 wins back", "3. Nc3 { and all is well } ) ( 2... dxc4"),
        ("and all is well; or 2...dxc4 3.e3", "3. Nc3 { and all is well } ) ( { or } 2... dxc4"),
        ("is sound. It is slow, and after 2...dxc4", "{ is sound. It is slow } ) ( { and after }"),
        ("is sound, or 2...dxc4", "3. Nc3 { is sound } ) ( { or } 2... dxc4"),
    ],
)
def test_words_that_close_a_line_do_not_lead_to_the_next(words: str, told: str) -> None:
    """Found in use: what was said of the first of two lines stood before the second."""
    assert told in movetext(f"1.d4 d5 2.c4 e6 (2...c6 3.Nc3 {words}) 3.Nf3.")


def test_words_that_only_lead_to_the_next_line_stay_whole() -> None:
    told = movetext("1.d4 d5 2.c4 e6 (2...c6 3.Nc3; or, if you dare, 2...dxc4) 3.Nf3.")
    assert "3. Nc3 ) ( { or, if you dare } 2... dxc4" in told


@pytest.mark.parametrize("more", ["", "\n\nUsual is 1...Nf6 2.c4 e6."])
def test_a_box_below_a_list_of_replies_is_said_of_the_move_they_answer(more: str) -> None:
    """Found in use: the key idea of a move stood behind the last reply to it."""
    replies = "- 1...d5, the oldest;\n- 1...Nf6, which waits."
    told = movetext(f"1.d4 He replies:\n\n{replies}\n\n> **Key idea.** The centre.{more}")
    assert told.index("Key idea. The centre.") < told.index("d5")
    line = "- 1...d5 2.c4, the oldest;\n- 2...e6, which holds."
    told = movetext(f"1.d4 He replies:\n\n{line}\n\n> **Key idea.** The centre.")
    assert told.index("Key idea. The centre.") > told.index("e6")


@pytest.mark.parametrize(
    ("words", "shared"),
    [
        ("Black's knight on f6 attacks e4.", False),
        ("Look at f6.", False),
        ("White's pawn on d4 attacks e5.", True),
        ("The centre comes first.", True),
    ],
)
def test_a_box_of_the_last_reply_in_a_list_stays_with_it(words: str, shared: bool) -> None:
    """Found in use: it stood where no knight is on f6 yet, and was judged where one is."""
    replies = "- 1...d5, the oldest;\n- 1...Nf6, which waits."
    told = movetext(f"1.d4 He replies:\n\n{replies}\n\n> **Key idea.** {words}\n\n2.c4 e6.")
    assert (told.index("Key idea.") < told.index("Nf6")) == shared
