"""A long line has a board every so often, on the page and on paper."""

from __future__ import annotations

import random

import chess
import pytest

from linewright.build import examine
from linewright.dividing import divided
from linewright.reading import Reading, set_out
from linewright.script import BlockKind
from linewright.set_blocks import Diagram, plain
from linewright.source import Source

GAME = (
    "1.d4 d5 2.c4 e6 3.Nc3 Nf6 4.Bg5 Be7 5.e3 O-O 6.Nf3 Nbd7 7.Rc1 c6 8.Bd3 dxc4 9.Bxc4 Nd5"
    " 10.Bxe7 Qxe7 11.O-O Nxc3 12.Rxc3 e5 13.dxe5 Nxe5 14.Nxe5 Qxe5 15.f4 Qe4 16.Bb3 Bf5"
    " 17.Qh5 g6 18.Qh6 Rad8 19.Bc2 Qd5 20.e4 Qc5+ 21.Kh1 Bd7 22.f5 Qe5 23.Qf4 Rfe8 24.Qg4 Kg7"
).split()


def numbered(moves: list[str]) -> list[str]:
    """The moves of a game, each with its number."""
    bare = [move.rpartition(".")[2] for move in moves]
    return [f"{k // 2 + 1}{'...' if k % 2 else '.'}{move}" for k, move in enumerate(bare)]


MOVES = numbered(GAME)


def set_of(text: str) -> Reading:
    return set_out(examine(Source("lesson.md", f"---\ntitle: A game\n---\n\n{text}")).lesson)


def captions(reading: Reading) -> list[list[str]]:
    return [[p.caption for p in b.plates if isinstance(p, Diagram)] for b in reading.blocks]


def told(moves: list[str], a_paragraph: int, words: str = "and so on") -> str:
    said = [f"{move} {words}" for move in moves]
    paragraphs = [said[k : k + a_paragraph] for k in range(0, len(said), a_paragraph)]
    return "\n\n".join(" ".join(part) + "." for part in paragraphs)


@pytest.mark.parametrize("a_paragraph", [4, 10, 48])
def test_a_game_has_a_board_every_five_to_seven_moves(a_paragraph: int) -> None:
    reading = set_of(told(MOVES, a_paragraph))
    shown = [caption for block in captions(reading) for caption in block]
    assert 4 <= len(shown) <= 6
    nodes = reading.lesson.tree.nodes
    plies = [node.index for node in nodes if f"After {node.label.replace('...', '…')}" in shown]
    assert len(plies) == len(shown)
    assert all(
        7 <= later - earlier <= 14 for earlier, later in zip([0, *plies], plies, strict=False)
    )


def test_the_board_stands_where_the_words_dwell() -> None:
    moves = list(MOVES)
    moves[11] += " and here we stop, and look, and look once more at all the pieces on the board,"
    assert captions(set_of(told(moves, 48)))[0][0] == "After 6…Nbd7"


def test_a_short_line_needs_no_board() -> None:
    assert captions(set_of(told(MOVES[:9], 9))) == [[]]


def test_no_board_stands_near_another() -> None:
    marked = f"{told(MOVES[:15], 15)} [This pawn](#d4). {told(MOVES[15:20], 8)}"
    assert captions(set_of(marked)) == [["After 4.Bg5", "After 8.Bd3"]]
    marked = f"{told(MOVES[:12], 12)} [This pawn](#d4). {told(MOVES[12:20], 8)}"
    assert captions(set_of(marked)) == [["After 6…Nbd7"]]


def test_who_asks_for_boards_chooses_them() -> None:
    asked = f"{told(MOVES[:4], 4)}\n\n![Here](board)\n\n{told(MOVES[4:], 50)}"
    assert captions(set_of(asked)) == [[], ["Here"], []]


def test_no_position_is_shown_twice() -> None:
    line = told(MOVES[:36], 12)
    again = f"{line}\n\n## After 1.d4\n\nOnce more: {' '.join(GAME[1:36])}."
    reading = set_of(again)
    boards = [p.fen for b in reading.blocks for p in b.plates if isinstance(p, Diagram)]
    assert len(boards) == len(set(boards))


def test_a_heading_and_the_middle_of_a_list_have_no_board() -> None:
    items = "\n".join(f"- {move} it is" for move in MOVES)
    reading = set_of(f"## The game\n\n{items}\n\nThat is all.")
    with_boards = {k for k, block in enumerate(captions(reading)) if block}
    kinds = [block.kind for block in reading.blocks]
    assert with_boards == {max(k for k, kind in enumerate(kinds) if kind is BlockKind.ITEM)}


def test_what_a_box_lists_is_no_line_told() -> None:
    box = f"> **Main line.** {' '.join(GAME)}"
    assert captions(set_of(f"{box}\n\nWe look at this another day.")) == [[], []]


def test_random_games_have_boards_of_their_own() -> None:
    chance = random.Random(5)
    for _ in range(5):
        board = chess.Board()
        moves: list[str] = []
        while len(moves) < 60 and not board.is_game_over():
            number = f"{board.fullmove_number}{'.' if board.turn else '...'}"
            move = chance.choice(list(board.legal_moves))
            moves.append(number + board.san_and_push(move))
        reading = set_of(told(moves, chance.choice([3, 9, 20])))
        boards = [p.fen for b in reading.blocks for p in b.plates if isinstance(p, Diagram)]
        assert len(moves) // 14 <= len(boards) <= len(moves) // 7
        assert {node.fen for node in reading.lesson.tree.nodes} >= set(boards)


def test_no_paragraph_is_cut_behind_a_short_form() -> None:
    reading = set_of(
        "1.e4 e5 2.Nf3 Nc6 and the knight looks at [the pawn](#attack:f3-e5) on e5, said old Mr."
        " Pell, who had stood at this board for years. Then he went on with the bishop, as he always"
        " did on such evenings: 3.Bc4."
    )
    told = [part for block in reading.blocks for part in divided(reading.lesson, block)]
    assert [plain(block.runs)[-6:] for block in told] == ["years.", "3.Bc4."]


def test_a_remark_beside_the_main_line_takes_no_board_from_it() -> None:
    """Found in use: twelve moves of the main line had no board, two remarks beside it had."""
    main = " ".join(f"{move} and on." for move in MOVES[:12])
    text = (
        f"## The line\n\n{main} We might {numbered([*GAME[:10], 'Bf4'])[-1]} here, which is a move"
        " for those who like it quiet, who have no clock, and who know what they want of it.\n\n"
        "## Later\n\n" + " ".join(f"{move} and on." for move in MOVES[12:20])
    )
    shown = [caption for block in captions(set_of(text)) for caption in block]
    assert "After 6.Bf4" not in shown
    assert "After 6…Nbd7" in shown


def test_the_board_of_a_part_is_the_end_of_its_side_line_where_that_is_its_matter() -> None:
    trap = "5...b6 6.cxd5 exd5 7.Nf3 Bb7 8.Bd3"
    text = (
        f"## The line\n\n{' '.join(MOVES[:9])} stands well.\n\n"
        f"## The trap\n\nThen {MOVES[9]} is best. Not {trap}."
    )
    shown = [caption for block in captions(set_of(text)) for caption in block]
    assert shown[-1] == "After 8.Bd3"


def test_a_list_that_recalls_a_move_has_no_board() -> None:
    text = (
        f"## The line\n\n{' '.join(MOVES[:9])}.\n\n## To keep\n\n1. Play 2...e6 at once.\n2. Wait."
    )
    shown = [caption for block in captions(set_of(text)) for caption in block]
    assert shown == ["After 5.e3"]


def test_a_board_on_the_way_is_of_the_main_line_before_those_beside_it() -> None:
    aside = (
        " We might also go 6.Bf4 here. That is a move for those who like it quiet, who have no"
        " clock, and who know what they want of it. Now on."
    )
    text = told(MOVES[:12], 12) + aside + " " + told(MOVES[12:24], 12)
    shown = [caption for block in captions(set_of(text)) for caption in block]
    assert shown and "After 6.Bf4" not in shown
