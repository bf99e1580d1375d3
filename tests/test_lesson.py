"""Following: where moves belong, side lines, what-if boards, slips and going on after them."""

from __future__ import annotations

from pathlib import Path

import chess
import chess.pgn
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from linewright.following import follow
from linewright.lesson import Change, Lesson, Slip, SlipKind
from linewright.moves import likeliest
from linewright.notation import read_move
from linewright.outputs.game_file import game_of
from linewright.reading import set_out
from linewright.script import parse
from linewright.source import Source

EXAMPLE = (Path(__file__).parent.parent / "examples" / "exchange-variation.md").read_text("utf-8")


def lesson(text: str) -> Lesson:
    return follow(parse(Source("lesson.md", text)))


def lines(text: str) -> list[str]:
    tree = lesson(text).tree
    return [tree.text(leaf.index) for leaf in tree.leaves()]


def only_slip(text: str) -> Slip:
    slips = lesson(text).slips
    assert len(slips) == 1, slips
    return slips[0]


def test_a_number_that_goes_back_branches_from_the_current_line() -> None:
    assert lines("1.e4 e5 2.Nf3 Nc6 3.Bb5 a6. Earlier 2.f4 was played.") == [
        "1.e4 e5 2.Nf3 Nc6 3.Bb5 a6",
        "1.e4 e5 2.f4",
    ]


def test_a_move_already_on_the_line_goes_back_to_it() -> None:
    read = lesson("1.e4 e5 2.Nf3 Nc6 3.Bb5 a6. After 2.Nf3 Black can choose.")
    assert lines(read.script.source.text) == ["1.e4 e5 2.Nf3 Nc6 3.Bb5 a6"]
    assert read.tree.text(read.steps[-1].after) == "1.e4 e5 2.Nf3"
    assert read.steps[-1].went_elsewhere


def test_a_move_on_another_line_is_found_the_latest_first() -> None:
    text = "1.e4 e5 (1...c5 2.Nf3 d6) (1...e6 2.d4 d5) 2.Nc3 and 3.exd5 now."
    read = lesson(text)
    assert read.tree.text(read.steps[-1].after) == "1.e4 e6 2.d4 d5 3.exd5"
    assert not read.slips


BOX = "> **Main line.** 1.e4 d5 2.exd5 Qxd5 3.Nc3 Qa5 4.d4 Nf6 5.Nf3 c6\n\n"
SIDE = (
    "1.e4 d5 2.exd5 Qxd5 3.Nc3 Qa5. What about a check, 3...Qe5+? No, because then the bishop drops in"
    " on e2 4.Be2{} 5.Nf3.\n\nSo 3...Qa5 4.d4 Nf6 5.Nf3 c6."
)


@pytest.mark.parametrize(
    ("between", "misses"),
    [
        (" and the knight chases the queen", True),
        (", then the knight chases the queen with tempo,", True),
        (" 4...Qa5 and the knight chases the queen", False),
        (". The knight chases the queen in the other line too:", False),
        (" is not as good as the line with", False),
        (" and", False),
    ],
)
def test_a_move_left_out_of_a_side_line_is_no_leap_to_the_main_line(
    between: str, misses: bool
) -> None:
    read = lesson(BOX + SIDE.format(between))
    told = [slip.reason for slip in read.slips]
    assert told == (["Black's move 4... is missing before it"] if misses else [])
    assert [s.reason for s in lesson(SIDE.format(between)).slips if misses] == told


def test_parentheses_restore_the_board_to_any_depth() -> None:
    read = lesson("1.e4 e5 (1...c5 2.Nf3 (2.c3 d5 (2...Nf6)) d6) 2.Nf3")
    assert read.tree.text(read.steps[-1].after) == "1.e4 e5 2.Nf3"
    assert sorted(lines(read.script.source.text)) == sorted(
        ["1.e4 e5 2.Nf3", "1.e4 c5 2.Nf3", "1.e4 c5 2.c3 d5", "1.e4 c5 2.c3 Nf6"]
    )


def test_the_first_continuation_is_the_main_one() -> None:
    tree = lesson("1.e4 (1.d4 d5) e5").tree
    assert [tree.nodes[child].san for child in tree.nodes[0].children] == ["e4", "d4"]


def test_a_side_line_told_first_is_not_the_main_one() -> None:
    text = (
        "1.e4 e6 2.d4 d5 and could defend with the knight (3.Nc3 Nf6 4.Bg5 is another evening). "
        "We play 3.e5 c5 now."
    )
    tree = lesson(text).tree
    assert [node.san for node in tree.main_line()] == ["e4", "e6", "d4", "d5", "e5", "c5"]
    both = lesson(text + " There is 3.Nc3 too.").tree
    assert [both.nodes[child].san for child in both.nodes[4].children] == ["e5", "Nc3"]


def test_a_line_told_only_in_parentheses_is_a_line() -> None:
    tree = lesson("The opening (1.e4 e5 2.Nf3) is old (1.d4 is older).").tree
    assert [node.san for node in tree.main_line()] == ["e4", "e5", "Nf3"]


TWO_LINES = (
    "1.e4 e6 2.d4 d5 3.e5 c5 4.c3 Nc6 5.Nf3 Qb6 and first 6.Bd3 cxd4 7.cxd4 Nxd4 8.Nxd4 Qxd4 "
    "9.Bb5+ Bd7 10.Qxd4 wins.\n\nBetter is 6.a3 Nh6 7.b4 cxd4 8.cxd4 Nf5 "
)


def test_after_an_illegal_move_the_line_at_hand_goes_on() -> None:
    """9...Bd7 has been played in the other line, after another 9th move."""
    text = TWO_LINES + "9.Bb3. Count once more. After 9...Bd7 10.Be2 Be7 11.O-O all is well."
    read = lesson(text)
    assert [slip.kind for slip in read.slips] == [SlipKind.ILLEGAL]
    assert "9.Bb2" in read.slips[0].repairs
    before, _, after = read.tree.text(read.steps[-1].after).partition(" 9.")
    assert before.endswith("6.a3 Nh6 7.b4 cxd4 8.cxd4 Nf5")
    assert after.endswith(" Bd7 10.Be2 Be7 11.O-O")


def test_after_an_illegal_move_another_line_can_still_be_taken_up() -> None:
    text = (
        TWO_LINES
        + "9.Bb3. Remember the trap: 6.Bd3 cxd4 7.cxd4 Nxd4 8.Nxd4 Qxd4 9.Bb5+ Bd7 10.Qxd4."
    )
    read = lesson(text)
    assert [slip.kind for slip in read.slips] == [SlipKind.ILLEGAL]
    assert read.tree.text(read.steps[-1].after).endswith("9.Bb5+ Bd7 10.Qxd4")


def test_a_repair_is_offered_once_though_it_fits_on_two_lines() -> None:
    text = TWO_LINES + "9.Bb2 Bd7. There is 6...c4 too, and then 7.Nd2 Na5 8.g3."
    assert only_slip(text).repairs == ("7.Nbd2", "7.Nfd2")


@pytest.mark.parametrize(
    "written",
    ["4.00", "4.OO", "4.0-0", "4.o-o", "4.O−O", "4. OO", "4.O - O"],
)
def test_castling_typed_in_haste_is_followed(written: str) -> None:
    read = lesson(f"1.e4 e5 2.Nf3 Nc6 3.Bc4 Bc5 {written} Nf6 5.Re1 and on.")
    assert read.tree.text(read.steps[-1].after).endswith("4.O-O Nf6 5.Re1")
    assert [slip.repairs for slip in read.slips] == ([("4.O-O",)] if "-" not in written[:4] else [])


def test_castling_without_strokes_inside_a_run_is_followed() -> None:
    read = lesson("1.d4 d5 2.Nc3 Nc6 3.Bf4 Bf5 4.Qd2 Qd7 5.OOO 000 6.e3 and 5...OOO again.")
    assert [slip.repairs[:1] for slip in read.slips] == [("5.O-O-O",), ("O-O-O",), ("5...O-O-O",)]
    assert read.tree.text(read.steps[-1].after).endswith("5.O-O-O O-O-O")


@pytest.mark.parametrize(
    "words",
    [
        "We start at 4.00 today", "it is 4.00 pm", "4.00 euros for the hall", "from 4.00-5.00",
        "play 14.00 games", "4.00 and the clock",
    ],
)  # fmt: skip
def test_times_and_prices_are_no_castling(words: str) -> None:
    """The last would be castling if it were possible."""
    assert not lesson(f"1.e4 e5 2.Nf3 Nc6 3.Nc3 Nf6, {words} all.").slips


def test_a_heading_sets_the_board_and_is_not_spoken() -> None:
    read = lesson("# The Spanish 1.e4 e5 2.Nf3 Nc6 3.Bb5\n\nNow 3...a6 asks.")
    assert read.tree.text(read.steps[-1].after).endswith("3.Bb5 a6")
    assert [step.spoken for step in read.steps] == [False] * 5 + [True]
    assert read.parts[0].title == "The Spanish"


def test_a_quote_leaves_the_board_as_it_found_it() -> None:
    read = lesson("1.e4 e5\n\n> Remember 1...c5 2.Nf3.\n\nNow 2.Nc3.")
    assert read.tree.text(read.steps[-1].after) == "1.e4 e5 2.Nc3"


def test_what_if_boards_last_to_the_next_move_or_the_end_of_the_paragraph() -> None:
    text = "1.e4 e5 [imagine](?remove=e5) this. 2.Nf3 now. [Picture](?only=KP) it.\n\nGone."
    read = lesson(text)
    changes = [step.change for step in read.steps]
    assert changes == [
        Change.MOVE, Change.MOVE, Change.WHAT_IF, Change.MOVE, Change.WHAT_IF, Change.RESTORE,
    ]  # fmt: skip
    inside = read.at(text.index("this"))
    assert inside.imagined and chess.Board(inside.fen).piece_at(chess.E5) is None
    assert read.at(text.index("Gone")).imagined is None


def test_the_board_is_known_at_every_place() -> None:
    text = "Before. 1.e4 then e5 is a square, 1...e5 done."
    read = lesson(text)
    assert read.at(0).fen == chess.STARTING_FEN
    assert read.at(text.index("1.e4")).node == 1
    assert read.at(text.index("then")).node == 1
    assert read.before(text.index("1.e4")).node == 0


def test_another_start() -> None:
    fen = "4k3/8/8/8/8/8/4P3/4K3 b - - 0 12"
    read = lesson(f"---\nstart: {fen}\n---\n12...Kd7 13.e4 Kd6")
    assert not read.slips
    assert read.tree.text(read.steps[-1].after) == "12...Kd7 13.e4 Kd6"


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("1.e4 e5 2.Bb5 Nc6 3.Bxd7", "no white bishop reaches d7"),
        ("1.e4 e5 2.Ke3", "no white king reaches e3"),
        ("1.e4 e5 2.O-O", "the bishop on f1 stands between king and rook"),
        ("1.e4 e5 2.Ke2 a6 3.Ke1 a5 4.O-O", "White has lost the right to castle kingside"),
        ("1.d4 e6 2.c4 Bb4+ 3.a3", "White is in check and a2-a3 does not answer it"),
        ("1.e4 e5 2.Nf3 Nc6 3.Nxd5", "no white knight reaches d5"),
        ("1.d4 d5 2.exd5", "no white pawn on the e-file can take on d5"),
        ("1.e4 e5 2.dxe5", "no white pawn on the d-file can take on e5"),
        ("1.e4 e5 2.e5", "the pawn on e5 is in the way"),
        ("1.d4 e5 2.e5", "the pawn on e5 is in the way"),
        ("1.e4 e5 2.Nd2", "White's own pawn stands on d2"),
        ("1.e4 e5 2.d4 Bb4+ 3.Nc3 Nc6 4.Nd5", "the knight on c3 is pinned to the king"),
        ("1.e4 f5 2.exf5 Kf7 3.Qh5+ Kg6", "g6 is attacked"),
    ],
)
def test_reasons_name_the_board_fact(text: str, reason: str) -> None:
    slips = lesson(text).slips
    assert any(reason in slip.reason for slip in slips), [slip.reason for slip in slips]


def test_likeliest_repair_lets_the_rest_be_played() -> None:
    slip = only_slip("1.d4 d5 2.c4 e6 3.Nc3 Nf6 4.cxd5 exd5 5.Bg5 Nbd7 6.Nxd6 Nxd5 7.Bxd8 Bb4+")
    assert slip.kind is SlipKind.ILLEGAL
    assert slip.repairs[0] == "6.Nxd5"


def test_one_slip_does_not_hide_the_next() -> None:
    read = lesson("1.d4 d5 2.c4 e6 3.Nd3 Nf6 4.Bg5 Be7 5.e3 O-O 6.Nf3 Nb7 7.Rc1 c6")
    assert [read.script.source.words(s.span) for s in read.slips] == ["3.Nd3", "Nb7"]


def test_wrong_side_and_wrong_number() -> None:
    assert only_slip("1.d4 d5 2.c4 e6 3.Nc3 3.Nf6 4.Bg5").repairs == ("3...Nf6",)
    assert only_slip("1.d4 d5 2.c4 e6 4.Nc3 Nf6").repairs == ("3.Nc3",)


def test_an_illegal_move_does_not_slip_into_another_line() -> None:
    read = lesson("1.e4 e5 (1...c5 2.Nf3 d6 3.Bb5+) 2.Nc3 Nf6 3.Nd4")
    assert read.slips[0].kind is SlipKind.ILLEGAL


def test_ambiguous_moves_offer_each_piece() -> None:
    slip = only_slip("1.d4 d5 2.Nf3 Nf6 3.e3 e6 4.Bd3 Bd6 5.Nd2")
    assert slip.kind is SlipKind.AMBIGUOUS
    assert set(slip.repairs) == {"5.Nbd2", "5.Nfd2"}


def test_mentions_for_either_side_and_in_a_row_are_fine() -> None:
    assert not lesson(
        "1.d4 d5 2.c4 e6. White wants Nc3 and Black ...Nf6. Then Bg5 and e3 come."
    ).slips
    assert not lesson("1.d4 d5 2.c4 e6. White plans Nf3, Nc3, Bg5 and Rc1 soon.").slips


@pytest.mark.parametrize(
    ("words", "from_square"),
    [
        ("White's threat is Nf6+ and more.", chess.E4),
        ("Nf6+ would be no surprise.", chess.E4),  # Black's gives no check
        ("the threat is Nf6.", chess.E4),
        ("White is threatening Nf6.", chess.E4),
        ("Black meets the threat with Nf6.", chess.G8),
        ("Black wants Nf6.", chess.G8),
    ],
)
def test_the_sign_and_the_words_of_a_threat_say_whose_move_it_is(
    words: str, from_square: chess.Square
) -> None:
    read = lesson(f"1.e4 c6 2.d4 d5 3.Nc3 dxe4 4.Nxe4 e6 5.Bd3 Now {words}")
    (mention,) = read.mentions
    assert mention.move is not None
    assert mention.move.from_square == from_square


def test_every_step_of_the_example_is_legal() -> None:
    read = lesson(EXAMPLE)
    for node in read.tree.nodes[1:]:
        assert node.parent is not None and node.move is not None
        board = read.tree.nodes[node.parent].board()
        assert node.move in board.legal_moves
        board.push(node.move)
        assert board.fen() == node.fen


@settings(max_examples=120, deadline=None)
@given(
    st.integers(0, len(EXAMPLE) - 1),
    st.integers(0, 30),
    st.text(max_size=12)
    | st.sampled_from(["(", ")", "5.Qh5", "[", "](#e9)", "---", "\n\n", "Nf6"]),
)
@example(at=1880, length=4, inserted="")  # a repair settled before another changed the tree
def test_any_mutation_of_a_script_is_followed(at: int, length: int, inserted: str) -> None:
    read = lesson(EXAMPLE[:at] + inserted + EXAMPLE[at + length :])
    starts = [step.span.start for step in read.steps]
    assert starts == sorted(starts)
    for node in read.tree.nodes[1:]:
        assert node.parent is not None and node.move is not None
        assert node.move in read.tree.nodes[node.parent].board().legal_moves


@settings(max_examples=60, deadline=None)
@given(st.randoms(use_true_random=False), st.integers(1, 60))
def test_any_legal_game_is_followed_to_its_end(random: object, plies: int) -> None:
    board = chess.Board()
    moves = []
    for _ in range(plies):
        legal = sorted(board.legal_moves, key=chess.Move.uci)
        if not legal:
            break
        move = random.choice(legal)  # type: ignore[attr-defined]
        moves.append((board.fullmove_number, board.turn, board.san(move)))
        board.push(move)
    text = " ".join(f"{n}.{san}" if white else san for n, white, san in moves)
    read = lesson(f"The game went {text} and ended.")
    assert not read.slips
    assert read.steps[-1].fen == board.fen()


@pytest.mark.parametrize(
    ("heading", "title"),
    [
        ("The Spanish: 3.Bb5", "The Spanish"),
        ("The Spanish 1.e4 e5 2.Nf3 Nc6 3.Bb5", "The Spanish"),
        ("3.Bb5: The Spanish", "The Spanish"),
        ("3.Bb5 The Spanish", "The Spanish"),
        ("Back to 2...Nc6: Bc4 instead of Bb5", "Back to 2…Nc6: Bc4 instead of Bb5"),
        ("Back to 3.Bb5", "Back to 3.Bb5"),
        ("2...Nc6: 3.**Bc4** instead of Bb5", "3.Bc4 instead of Bb5"),
        ("3.Bb5: 3…**d6** instead of a6", "3…d6 instead of a6"),
        ("3.Bb5 is stronger", "3.Bb5 is stronger"),
        ("Why 3.Bb5 is stronger", "Why 3.Bb5 is stronger"),
        ("1.e4 e5 2.Nf3", "1.e4 e5 2.Nf3"),
    ],
)
def test_a_title_keeps_the_moves_that_its_words_need(heading: str, title: str) -> None:
    """Found in use: "Back to 3.f4: d5 instead of exf4" was titled "Back to : d5 ..."."""
    read = lesson(f"1.e4 e5 2.Nf3 Nc6 3.Bb5\n\n## {heading}\n\nWords.\n")
    assert [part.title for part in read.parts] == [title]
    assert not read.slips


def test_moves_in_parentheses_behind_the_last_one_explain_it() -> None:
    """A game file has no side line behind the end of a line: there they are words."""
    text = (
        "1.e4 e5 2.Nf3 Nc6 3.Bb5 (or 3.Bc4 Bc5 (if 3...Nf6 [here](#g5) then 4.Ng5)) 3...a6."
        " Now 4.Ba4 (because 4.Bxc6 dxc6 5.Nxe5 Qd4 (5...Qg5 too) takes [back](#e5)). Fine."
        "\n\nThe end is 4...Nf6 (since if 5.O-O Nxe4 (5...b5 (6.Bb3) is slow) 6.d4). All seen."
    )
    found = lesson(text)
    assert not found.slips
    assert [node.label for node in found.tree.told_line()][-1] == "4...Nf6"
    explained = found.tree.explanations()
    labels = {found.tree.nodes[node].label for node in explained}
    assert labels == {"5.O-O", "5...Nxe4", "5...b5", "6.Bb3", "6.d4"}
    told = "(since if 5.O-O Nxe4 (5...b5 (6.Bb3) is slow) 6.d4). All seen."
    assert game_of(found).end().comment == told


SCANDINAVIAN = "1.e4 d5 2.exd5 Qxd5 3.Nc3"


def test_numbers_that_leave_out_a_move_may_be_wrong_or_the_move_is_missing() -> None:
    """Found in use: the numbers were all told wrong, and a move that did not fit them as well."""
    slip = only_slip(f"{SCANDINAVIAN} Qa5 5.Nf3 Nf6 6.Bc4 c6.")
    assert slip.kind is SlipKind.NUMBER
    assert slip.repairs[0] == "4.Nf3"
    assert slip.reason == (
        "'5.' cannot be: the next move is 4.Nf3 by White, and so with the numbers after it,"
        " or move 4 is left out before it"
    )


def test_one_wrong_number_is_wrong_where_the_numbers_after_it_are_right() -> None:
    slip = only_slip(
        "1.d4 d5 2.c4 e6 3.Nc3 Nf6 4.Bg5 Be7 6.cxd5 exd5 is one way there,"
        " 3.cxd5 exd5 4.Nc3 Nf6 5.Bg5 Be7 another."
    )
    assert slip.repairs == ("5.cxd5",)


def test_a_move_of_both_sides_that_what_follows_needs_is_missing() -> None:
    read = lesson("1.e4 e5 2.Nf3 Nc6 4.O-O Nf6 5.d3 d6.")
    (slip,) = read.slips
    assert slip.reason == "move 3 is left out before it"
    assert slip.repairs[0].startswith("3.B")
    assert slip.repairs[0].endswith(" 4.O-O")
    assert read.tree.nodes[read.steps[-1].after].label == "5...d6"


def test_a_repair_that_loses_a_piece_is_not_offered_beside_others() -> None:
    """Found in use: every move that was offered left the queen to the knight."""
    slip = only_slip(f"{SCANDINAVIAN} 4.d4 Nf6.")
    assert slip.repairs[0] == "3...Qa5 4.d4"
    for repair in slip.repairs:
        assert repair.removesuffix(" 4.d4") in {"3...Qa5", "3...Qd6", "3...Qd8", "3...Qe6+"}


def test_a_piece_that_blocks_castling_was_to_move() -> None:
    slip = only_slip("1.e4 e5 2.Nf3 Nc6 3.O-O Nf6 4.d3 d6.")
    assert slip.repairs
    assert all(repair.startswith("3.B") for repair in slip.repairs)


def test_no_man_makes_way_for_a_king_that_has_left_its_square() -> None:
    board = chess.Board()
    for san in ("e4", "e5", "Ke2", "Ke7"):
        board.push_san(san)
    written = read_move("O-O")
    assert written and likeliest(written, board) == []


def test_nothing_follows_mate() -> None:
    slip = only_slip("1.f3 e5 2.g4 Qh4# 3.Kf2.")
    assert slip.reason == "2...Qh4# is mate, the game is over"
    text = "1.f3 e5 2.g4\n\n```exercise\nHow?\nanswer: 2...Qh4 Kf2\n```\n"
    (slip,) = lesson(text).exercises[0].answer.slips
    assert (slip.kind, slip.reason) == (SlipKind.ILLEGAL, "2...Qh4# is mate, the game is over")


@pytest.mark.parametrize(
    ("run", "repairs"),
    [
        ("1.e4 c5 2.Nf3 NC6 3.d4 cxd4", ("Nc6",)),
        ("1.e4 C5 2.Nf3 Nc6 3.d4 cxd4", ("c5",)),
        ("1.e4 c5 2.Cf3 Nc6 3.d4 cxd4", ("2.Nf3",)),
        ("1.e4 c5 2.Nf3 Sc6 3.d4 cxd4", ("Nc6",)),
        ("1.e4 d5 2.exd5 Dxd5 3.d4 e5", ("Qxd5",)),
    ],
)
def test_letters_that_are_wrong_but_tell_the_move(run: str, repairs: tuple[str, ...]) -> None:
    read = lesson(f"We look at {run} now.")
    (slip,) = read.slips
    assert (slip.kind, slip.repairs) == (SlipKind.UNREADABLE, repairs)
    last = read.tree.nodes[read.steps[-1].after]
    assert (last.san, last.doubtful) == (run.rsplit(maxsplit=1)[-1], False)


def test_a_bishop_without_its_capital_is_no_pawn() -> None:
    slip = only_slip("1.e4 e5 2.Nf3 Nc6 3.bb5 a6 4.Ba4 Nf6.")
    assert slip.repairs[0] == "3.Bb5"


def test_a_wrong_side_does_not_hide_the_next_one() -> None:
    """Found in use: the second was left out, as the first made nothing that followed possible."""
    slips = lesson("1.e4 e5 2.Nf3 Nc6. White plays 3...Bb5 and Black 3.a6. Then 4.Ba4 Nf6.").slips
    assert [(slip.reason, slip.repairs[0]) for slip in slips] == [
        ("it is White's move", "3.Bb5"),
        ("it is Black's move", "3...a6"),
    ]


def test_no_move_before_the_end_of_a_game_is_blamed_for_what_follows_it() -> None:
    """Found by reading: 1.f3 was told to be 1.e3, as moves stand behind the mate."""
    read = lesson("1.f3 e5 2.g4 Qh4# 3.Nc3 Nc6 4.e4 d6.")
    source = read.script.source.text
    first = read.slips[0].span
    assert source[first.start : first.end] == "3.Nc3"


@pytest.mark.parametrize(
    ("run", "repairs"),
    [
        ("1.d4 d5 2.c4 e6 3.Nc3 Nf6 4.cd exd5 5.Bg5 Be7", ("4.cxd5",)),
        ("1.d4 d5 2.c4 e6 3.Nc3 Nf6 4.cxd ed 5.Bg5 Be7", ("4.cxd5", "exd5")),
        ("1.e4 e5 2.d4 ed! 3.c3", ("exd4",)),
        ("1.e4 e5, and 2.d4 e5 de facto", ()),
        ("1.e4 e5 2.Nf3, Ed said", ()),
    ],
)
def test_a_pawn_capture_written_with_two_files_is_mended(
    run: str, repairs: tuple[str, ...]
) -> None:
    """Found in use: the moves behind it were blamed, with repairs that were all wrong."""
    slips = [slip for slip in lesson(run).slips if slip.kind is SlipKind.UNREADABLE]
    assert tuple(repair for slip in slips for repair in slip.repairs) == repairs
    assert all(slip.kind is SlipKind.UNREADABLE for slip in lesson(run).slips) or not repairs


def test_a_route_is_possible_and_printed_with_its_hyphens() -> None:
    """Found in use: `...Na6-c7` lost its hyphen and was told to be no move of White's."""
    words = "1.e4 e5 2.Nc3 d6. The plan is ...Nf6-g4 and ...d6-d5, White's is Nf3-h4-f5."
    read = lesson(words)
    assert not read.slips
    runs = [run for block in set_out(read).blocks for run in block.runs]
    printed = "".join(getattr(run, "text", "") for run in runs)
    assert printed.endswith("The plan is …Nf6-g4 and …d6-d5, White’s is Nf3-h4-f5.")


def test_a_move_of_black_in_the_words_is_looked_for_among_his() -> None:
    slip = only_slip("1.e4 e5 2.Nc3 d6. Black never plays ...Ng8-e3.")
    assert slip.reason == "no black knight reaches e3 (from b8, g8)"
    board = chess.Board(slip.fen)
    board.push(chess.Move.null())
    assert all(board.parse_san(repair) for repair in slip.repairs)


RIVALS = (
    "1.e4 e5 2.Nf3 Nc6 (2...d6 3.d4 exd4 4.Nxd4 Nf6 5.Nc3) 3.Bc4 Bc5 4.c3 Nf6. All is quiet.\n\n"
)


@pytest.mark.parametrize("named", ["instead of 3.Bc4", "and not 3.Bc4"])
@pytest.mark.parametrize("reply", ["a6", "3...a6"])
def test_a_move_named_as_the_one_not_chosen_leaves_the_board(named: str, reply: str) -> None:
    """Found in use: Black's move behind such a parenthesis was lost, and the next went elsewhere."""
    read = lesson(f"{RIVALS}3.Bb5 ({named}) {reply} 4.Ba4 Nf6. Black asks at once.")
    assert not read.slips
    assert "1.e4 e5 2.Nf3 Nc6 3.Bb5 a6 4.Ba4 Nf6" in [
        read.tree.text(leaf.index) for leaf in read.tree.leaves()
    ]
    assert [read.tree.nodes[step.after].san for step in read.steps[-4:]] == [
        "Bb5", "a6", "Ba4", "Nf6",
    ]  # fmt: skip


def test_a_move_behind_a_parenthesis_is_black_s_only_before_white_s_next() -> None:
    read = lesson("1.e4 (1.d4 d5) c5 is a defence. 1.d4 (1.c4 e5) Nf6 2.c4 (2.Nf3 e6) e6 3.Nc3.")
    assert not read.slips
    assert [move.written.text for move in read.moves if move.node is not None].count("c5") == 0
    assert "1.d4 Nf6 2.c4 e6 3.Nc3" in [read.tree.text(leaf.index) for leaf in read.tree.leaves()]


def test_words_that_name_the_move_not_chosen_stay_with_the_one_that_was() -> None:
    exported = str(game_of(lesson(f"{RIVALS}3.Bb5 (instead of 3.Bc4) 3...a6. Black asks.")))
    assert "3. Bb5 { (instead of 3.Bc4) } 3... a6" in " ".join(exported.split())


def test_a_list_that_recalls_moves_leaves_the_board() -> None:
    """Found in use: a closing list took the board of what follows back to the first moves."""
    told = "1.e4 e5 2.Nf3 Nc6 3.Bb5 a6 4.Ba4 Nf6.\n\n1. Play 2...Nc6 at once.\n2. Wait.\n\n"
    read = lesson(told + "Now castle.")
    text = read.script.source.text
    assert read.tree.nodes[read.at(text.index("2...Nc6")).node].label == "2...Nc6"
    for words in ("Wait", "Now castle"):
        assert read.tree.nodes[read.at(text.index(words)).node].label == "4...Nf6"
    branching = lesson(told.replace("Play 2...Nc6 at once", "After 2...Nc6") + "3.Bc4 is older.")
    assert not branching.slips


def test_a_list_that_recalls_a_move_may_be_gone_on_from() -> None:
    read = lesson(
        "1.e4 e5 2.Nf3 Nc6 3.Bb5 a6 4.Ba4.\n\n- After 2...Nc6\n\n3.Bc4 Bc5 4.c3 is older."
    )
    assert not read.slips
    assert read.tree.text(read.steps[-1].after) == "1.e4 e5 2.Nf3 Nc6 3.Bc4 Bc5 4.c3"
