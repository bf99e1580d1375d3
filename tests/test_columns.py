"""Boards in columns: where each stands, from heights alone."""

from __future__ import annotations

from itertools import pairwise

from hypothesis import given, settings
from hypothesis import strategies as st

from linewright.columns import Kind, Piece, Place, Setting, arrange

LINE, LEADING = 6.0, 4.0
SETTING = Setting((300.0, 300.0, 400.0), LINE, LEADING, LEADING, 10.0)


def words(lines: int, part: int = 0) -> Piece:
    height = lines * (LINE + LEADING) - LEADING
    return Piece(Kind.WORDS, height, height, part=part)


def board(part: int = 0) -> Piece:
    return Piece(Kind.BOARD, 150.0, 150.0, 10.0, 10.0, part)


def heading(part: int) -> Piece:
    return Piece(Kind.HEADING, 10.0, 10.0, 20.0, 10.0, part)


def places(*pieces: Piece) -> list[tuple[int, Place]]:
    """Behind which piece each board is set (itself, if where it is told), and where."""
    return [(standing.behind, standing.place) for standing in arrange(pieces, SETTING)]


def test_a_board_that_fits_stands_behind_its_words() -> None:
    assert places(words(10), board(), words(30)) == [(1, Place.HERE)]


def test_long_words_flow_round_a_board_at_the_foot_of_their_column() -> None:
    """Behind the words 60 points are left, before them 260."""
    assert places(words(4), words(20), board(), words(30)) == [(1, Place.FOOT)]


def test_a_board_behind_short_words_stands_at_the_head_of_the_next_column() -> None:
    """Of the column 100 points are left, which what follows fills."""
    assert places(words(18), words(2), board(), words(30)) == [(2, Place.HEAD)]


def test_a_board_passes_few_words_rather_than_touch_a_board_of_others() -> None:
    found = arrange([words(18), words(2), board(), words(3), board(), words(9), words(30)], SETTING)
    assert found[0].place is Place.HEAD
    assert found[1].behind == 5


def test_a_board_that_leaves_its_part_is_known() -> None:
    pieces = [words(18), words(2), board(), heading(1), words(30, 1)]
    (standing,) = arrange(pieces, SETTING)
    assert standing.place is Place.HEAD
    assert standing.away
    # Here the heading itself goes to the next column, and the board stands before it.
    pieces = [words(18), words(3), board(), words(4), heading(1), words(30, 1)]
    (standing,) = arrange(pieces, SETTING)
    assert standing.place is Place.HEAD
    assert not standing.away


KINDS = st.one_of(
    st.integers(1, 40).map(words),
    st.just(board()),
    st.just(heading(0)),
    st.floats(5.0, 900.0).map(lambda height: Piece(Kind.WHOLE, height, height, 12.0, 12.0)),
)


@given(st.lists(KINDS, max_size=24))
@settings(max_examples=80, deadline=None)
def test_boards_keep_their_order_and_their_words(pieces: list[Piece]) -> None:
    """Every board is set once, in its order, none before the words it belongs to."""
    found = arrange(pieces, SETTING)
    assert [s.board for s in found] == [
        k for k, piece in enumerate(pieces) if piece.kind is Kind.BOARD
    ]
    assert all(one.behind <= other.behind for one, other in pairwise(found))
    for standing in found:
        anchor = standing.board - 1
        while anchor >= 0 and pieces[anchor].kind is Kind.BOARD:
            anchor -= 1
        if standing.place is Place.FOOT:
            assert standing.behind == anchor == standing.board - 1
        else:
            assert standing.behind >= anchor
