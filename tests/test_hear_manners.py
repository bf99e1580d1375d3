"""Moves told by the manner in which a piece moves, and which of several moves is meant."""

from __future__ import annotations

import pytest

from linewright.source import Source
from linewright.talk.heard import hear
from linewright.talk.transcript import read_transcript


def lines(text: str) -> list[str]:
    talk = hear(read_transcript(Source("talk.txt", text)))
    return [" ".join(move.san for move in line.moves) for line in talk.lines]


ITALIAN = "e4 e5, knight f3, knight c6, bishop c4, bishop c5. "
SCOTCH = "e4 e5, knight f3, knight c6, d4, e takes d4, knight takes d4. "
DUTCH = "d4 f5, c4 knight f6, knight c3 e6, e4, f takes e4. "
EXCHANGE = "e4 e5, knight f3, knight c6, bishop b5 a6. "


OPEN_C_FILE = (
    "d4 d5, c4 c6, c takes d5, c takes d5, knight f3 knight f6, bishop f4 knight c6, e3 bishop g4,"
    " bishop e2 e6, castles bishop d6, bishop takes d6 queen takes d6, knight c3 castles. "
)


@pytest.mark.parametrize(
    ("words", "last"),
    [
        ("White's rook comes over to the open file on c1. Black plays a6.", "Rc1 a6"),
        ("The rook goes to the half-open file at c1, a6.", "Rc1 a6"),
        ("The rook slides to the c file, c1, and Black plays a6.", "Rc1 a6"),
    ],
)  # fmt: skip
def test_a_square_behind_an_open_file_says_which_file_it_is(words: str, last: str) -> None:
    """Found in use: the rook went to the file that is usual, though the square was told."""
    assert [line.split()[-2:] for line in lines(OPEN_C_FILE + words)] == [last.split()]


@pytest.mark.parametrize(
    ("words", "wanted"),
    [
        (SCOTCH + "Black plays bishop c5. The knight steps back to the queenside, b3. Bishop b6.",
         "e4 e5 Nf3 Nc6 d4 exd4 Nxd4 Bc5 Nb3 Bb6"),
        ("e4 e5, knight f3, knight c6. White comes out with the other knight, and Black plays bishop b4.",
         "e4 e5 Nf3 Nc6 Nc3 Bb4"),
        (EXCHANGE + "White trades his bishop for the knight, and Black takes back with the d-pawn.",
         "e4 e5 Nf3 Nc6 Bb5 a6 Bxc6 dxc6"),
        ("d4 knight f6, c4 e6, knight f3. Black gives a check on b4, bishop d2.",
         "d4 Nf6 c4 e6 Nf3 Bb4+ Bd2"),
        (ITALIAN + "c3, knight f6, d4. Black wants e takes d4, and he plays it. c takes d4.",
         "e4 e5 Nf3 Nc6 Bc4 Bc5 c3 Nf6 d4 exd4 cxd4"),
        (ITALIAN + "d3 knight f6. White castles and so does Black.",
         "e4 e5 Nf3 Nc6 Bc4 Bc5 d3 Nf6 O-O O-O"),
        (ITALIAN + "d3 knight f6. White castles, and Black's king walks to the kingside.",
         "e4 e5 Nf3 Nc6 Bc4 Bc5 d3 Nf6 O-O O-O"),
        ("e4 e6, d4 d5, knight c3, knight f6. White pins the knight, and Black plays bishop e7.",
         "e4 e6 d4 d5 Nc3 Nf6 Bg5 Be7"),
        ("e4 e5, knight f3 d6, d4. Black pins the knight, and White takes on e5.",
         "e4 e5 Nf3 d6 d4 Bg4 dxe5"),
        (EXCHANGE + "Bishop a4. And now the bishop is driven away, bishop b3, knight f6.",
         "e4 e5 Nf3 Nc6 Bb5 a6 Ba4 b5 Bb3 Nf6"),
        ("d4 knight f6, c4 e6, knight c3. Black's bishop is heading for b4, and there it is on b4. e3, castles.",
         "d4 Nf6 c4 e6 Nc3 Bb4 e3 O-O"),
        ("d4 d5, knight f3, c6, c4 knight f6, knight c3, e6, e3. The queen leaves d8 for b6, and White plays a3.",
         "d4 d5 Nf3 c6 c4 Nf6 Nc3 e6 e3 Qb6 a3"),
        ("e4 d5, e takes d5, queen takes d5, knight c3. The queen has to move. Back to d8. White plays d4.",
         "e4 d5 exd5 Qxd5 Nc3 Qd8 d4"),
        ("King's pawn two squares, the same from Black, knight f3, knight c6, bishop b5, and Black asks"
         " the bishop with a6.",
         "e4 e5 Nf3 Nc6 Bb5 a6"),
        ("We start with the e-pawn, Black answers e5. In goes the knight, knight c6.",
         "e4 e5 Nf3 Nc6"),
        ("d4 d6, e4 e5. White takes, Black takes back, and off go the queens. Now knight f3.",
         "d4 d6 e4 e5 dxe5 dxe5 Qxd8+ Kxd8 Nf3"),
        ("e4 e5, knight f3, d6. d4, bishop g4. h3 puts the question to the bishop, and it keeps the pin"
         " from h5. Bishop e2.",
         "e4 e5 Nf3 d6 d4 Bg4 h3 Bh5 Be2"),
        ("e4 d5, e takes d5, queen takes d5, knight c3. She goes home. d4.",
         "e4 d5 exd5 Qxd5 Nc3 Qd8 d4"),
        ("e4 e6, d4 d5, knight c3, bishop b4, e5 c5, a3, bishop takes c3, b takes c3. Back comes the"
         " knight to e7. Queen g4.",
         "e4 e6 d4 d5 Nc3 Bb4 e5 c5 a3 Bxc3+ bxc3 Ne7 Qg4"),
        ("e4 c5, knight f3 d6, d4, c takes d4, knight takes d4, knight f6, knight c3 a6, bishop e2 e6,"
         " castles, bishop e7, f4, castles. The king slides into the corner. Queen c7.",
         "e4 c5 Nf3 d6 d4 cxd4 Nxd4 Nf6 Nc3 a6 Be2 e6 O-O Be7 f4 O-O Kh1 Qc7"),
        ("e4 e5, knight f3, knight c6, d4, e takes d4, knight takes d4, bishop c5, knight takes c6,"
         " and he trades on c6 with the b-pawn, thinking of his bishop. d4 is empty now. Bishop d3.",
         "e4 e5 Nf3 Nc6 d4 exd4 Nxd4 Bc5 Nxc6 bxc6 Bd3"),
    ],
)  # fmt: skip
def test_moves_told_by_their_manner(words: str, wanted: str) -> None:
    assert lines(words) == [wanted]


@pytest.mark.parametrize(
    ("words", "wanted"),
    [
        ("d4 f5, knight c3 d5, bishop g5, g6, e3 bishop g7, f3, c6, e4, f takes e4. White takes, and Black castles.",
         "fxe4"),
        ("e4 c6, d4 d5, f3 e6, knight c3, bishop e7, bishop d3, d takes e4. White takes back, and Black plays b6.",
         "fxe4"),
    ],
)  # fmt: skip
def test_a_pawn_takes_back_where_one_can(words: str, wanted: str) -> None:
    assert wanted in lines(words)[0].split()


def test_a_square_alone_is_a_pawn_move_where_pieces_are_named() -> None:
    talk = (
        "d4 knight f6, c4 e6, knight c3 bishop b4, e3. Black castles. Bishop d3. Now d5, and knight f3."
        " Black replies c5, White castles, and then b6, a3. Now a5 was bad, so bishop takes c3."
    )
    assert "Bd3 d5 Nf3 c5" in lines(talk)[0]


def test_a_speaker_who_hardly_names_pieces_means_them() -> None:
    talk = "e4, e5. F3, c6. C4, f6. D3, c5. Castles, castles. C3, d6. E1, a6. B3, a7."  # the squares alone
    assert lines(talk)[0].startswith("e4 e5 Nf3 Nc6 Bc4 Nf6 d3 Bc5 O-O O-O")


def test_a_piece_goes_back_to_where_it_came_from() -> None:
    talk = (
        "e4 e5, knight f3, knight f6. White takes on e5, d6. The knight retreats. Knight takes e4."
    )
    assert lines(talk) == ["e4 e5 Nf3 Nf6 Nxe5 d6 Nf3 Nxe4"]


def test_a_piece_that_is_spoken_to_does_not_move() -> None:
    talk = "e4 d5, e takes d5, knight f6, and the knight says, go away, pawn. White plays d4."
    assert lines(talk) == ["e4 d5 exd5 Nf6 d4"]


def test_a_square_misheard_after_a_verb_of_moving_is_heard() -> None:
    talk = (
        "e4 d5, pond takes dee five, queen takes dee five, night see three, and she goes back to dee"
        " eight. Then dee four, night eff six, night eff three."
    )
    assert lines(talk) == ["e4 d5 exd5 Qxd5 Nc3 Qd8 d4 Nf6 Nf3"]


def test_you_is_the_side_that_you_have_been_before() -> None:
    talk = hear(
        read_transcript(
            Source(
                "talk.txt",
                "You play e4, he answers e5. You bring out the knight, knight f3. He defends with"
                " knight c6. You go bishop b5, he plays a6, and you take.",
            )
        )
    )
    assert talk.me == "w"
    assert [move.san for move in talk.lines[0].moves][-1] == "Bxc6"


def test_a_square_named_for_the_pawn_on_it_begins_no_other_line() -> None:
    opening = (
        SCOTCH + "Knight f6, knight takes c6, b takes c6, e5, queen e7, queen e2, knight d5, c4. "
    )
    talk = "Bishop a6. So b3, making c4 rock solid, and then g6, f4, bishop g7."
    wanted = "e4 e5 Nf3 Nc6 d4 exd4 Nxd4 Nf6 Nxc6 bxc6 e5 Qe7 Qe2 Nd5 c4 Ba6 b3 g6 f4 Bg7"
    assert lines(opening + talk) == [wanted]


def test_to_be_a_pawn_up_is_no_move_of_the_a_pawn() -> None:
    assert lines(ITALIAN + "d3 knight f6. Castles, and Black is a pawn up. d6.") == [
        "e4 e5 Nf3 Nc6 Bc4 Bc5 d3 Nf6 O-O d6"
    ]
