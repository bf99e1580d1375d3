"""What is said of a part, of what a move would lead to, or of a whole lesson; and reasons that fit."""

from __future__ import annotations

from pathlib import Path

import chess
import pytest
from typer.testing import CliRunner

from linewright import statements_of_lesson
from linewright.cli import app
from linewright.following import follow
from linewright.judged_place import Place
from linewright.script import parse
from linewright.source import Source
from linewright.statements import Verdict, judge, judged_at
from linewright.statements_of_lesson import judge_lesson

OPENED = "6k1/5p2/8/8/8/8/5PPP/6K1 w - - 0 1"
OUTPOST = "r1bqkb1r/pp1n1ppp/2n1p3/2ppP3/8/3P1NP1/PPPN1P1P/R1BQKB1R w KQkq - 0 1"
BATTERY = "6k1/6p1/7p/8/5BN1/8/3Q4/6K1 w - - 0 1"


def told(text: str, fen: str) -> dict[str, tuple[str, str]]:
    found = judge(text, chess.Board(fen))
    return {v.statement.words: (v.verdict, v.because) for v in found}


def verdicts(text: str, fen: str) -> list[str]:
    return [verdict for verdict, _ in told(text, fen).values()]


@pytest.mark.parametrize(
    ("text", "fen", "verdict"),
    [
        ("Black's king has no pawn in front of it on the g-file or the h-file.", OPENED, "holds"),
        ("Black's king has no pawn in front of it on the f-file and the g-file.", OPENED, "fails"),
        ("In front of Black's king there is a pawn on the f-file.", OPENED, "holds"),
        ("In front of Black's king there is a pawn on the h-file.", OPENED, "fails"),
        ("Black's king has a pawn in front of it on the f-file or the g-file.", OPENED, "holds"),
        ("Black's king has a pawn in front of it on the f-file and the g-file.", OPENED, "fails"),
        ("Black's king has a pawn in front of it on the f- or g-file.", OPENED, "holds"),
        ("Black's king has a pawn in front of it on the f- and g-files.", OPENED, "fails"),
        ("Black's king has a pawn in front of it on the g-file or the h-file.", OPENED, "fails"),
        ("Black's king has no pawn in front of it.", OPENED, "fails"),
        ("All eight pawns are on the board for each side.", chess.STARTING_FEN, "cannot-tell"),
        ("All eight pawns are on the board.", chess.STARTING_FEN, "fails"),
        ("Black cannot use f6 for a knight.", OUTPOST, "holds"),
        ("Black can use f6 for a knight.", OUTPOST, "fails"),
        ("Black can use b6 for a knight.", OUTPOST, "holds"),
    ],
)
def test_what_is_said_of_a_part_is_not_judged_of_the_whole(
    text: str, fen: str, verdict: str
) -> None:
    assert verdicts(text, fen) == [verdict]


@pytest.mark.parametrize(
    ("text", "last"),
    [
        ("White may play Nh4, and the knight on h4 looks at f5.", "holds"),
        ("White may play Nh4, and the knight on h4 looks at f6.", "fails"),
        ("White may play d4, and the pawn on d4 attacks the pawn on c5.", "holds"),
        ("White may play Nh4, and the knight on g4 looks at f6.", "fails"),
        ("White may play Nh4, and Black has castled.", "fails"),
        ("Black is not hurrying, so White plans Nh4, and the knight on h4 looks at f5.", "holds"),
        ("White never played Nh4, and the knight on h4 looks at f5.", "fails"),
        ("White does not want Nh4, so the knight on h4 looks at f5.", "fails"),
        ("White could play Nh4 but did not, and the knight on h4 looks at f5.", "fails"),
        ("White chose Nh4, and the knight on h4 looks at f5.", "fails"),
        ("White may play dxc5, and Black is a pawn down.", "fails"),
        ("White may play Nh4, and the knight on h4 already looks at f5.", "fails"),
    ],
)
def test_what_a_supposed_move_leads_to_is_judged_behind_it(text: str, last: str) -> None:
    assert verdicts(text, OUTPOST)[-1] == last


def test_a_summing_up_is_of_any_board_of_the_lesson() -> None:
    lines = "1.e4 e6 2.d3 d5 3.Nd2 c5 4.g3 Nc6 5.Bg2 is one way.\n\nAnother is 1.d4 d5.\n\n"
    text = "The bishop stands on g2, and the rook stands on h4."

    def judged(words: str) -> list[str]:
        return [v.verdict for v in judge_lesson(follow(parse(Source("lesson.md", words))))][-2:]

    assert judged(f"{lines}To sum up: {text}") == ["holds", "fails"]
    assert judged(lines + text) == ["fails", "fails"]


SUMMED_UP = (
    "# One\n\n1.e4 e5 2.Nf3 Nc6 3.Bb5 a6.\n\n# Two\n\nNow 4.Bxc6 dxc6 5.d3 comes.\n\n"
    "To sum up, {}.\n"
)


@pytest.mark.parametrize(
    ("claim", "verdict"),
    [
        ("Black has a pawn on e7", "fails"),  # only on the starting board
        ("White's bishop stands on f1", "fails"),
        ("Black has a pawn on a7", "fails"),  # only before it moved
        ("White's bishop stands on b5", "holds"),  # where the first part ends
        ("Black has a pawn on c6", "holds"),
    ],
)
def test_a_summing_up_is_not_of_boards_on_the_way(claim: str, verdict: str) -> None:
    lesson = follow(parse(Source("lesson.md", SUMMED_UP.format(claim))))
    assert [v.verdict for v in judge_lesson(lesson)][-1] == verdict


def test_a_summing_up_is_judged_on_each_board_once(monkeypatch: pytest.MonkeyPatch) -> None:
    lines = "1.e4 e6 2.d3 d5 3.Nd2 c5.\n\n" * 12
    lesson = follow(parse(Source("lesson.md", f"{lines}To sum up: the rook stands on h4.\n")))
    asked: list[str] = []

    def noting(verdict: Verdict, place: Place) -> tuple[Verdict, ...]:
        asked.append(place.fen)
        return judged_at(verdict, place)

    monkeypatch.setattr(statements_of_lesson, "judged_at", noting)
    assert judge_lesson(lesson)[-1].verdict == "fails"
    assert len(asked) == len(set(asked)) == 1


@pytest.mark.parametrize(
    ("text", "fen", "because"),
    [
        (
            "White attacks the pawn on h6 three times.",
            BATTERY,
            "the pawn on h6 is attacked twice (the bishop on f4 and the knight on g4), "
            "3 times with the queen on d2 behind",
        ),
        (
            "No white pawn can ever drive the knight on d7 away.",
            OUTPOST,
            "White can still attack the knight on d7 with a pawn",
        ),
        ("Black can use f6 for a knight.", OUTPOST, "the pawn on e5 guards f6"),
    ],
)
def test_the_reason_tells_what_decided(text: str, fen: str, because: str) -> None:
    assert because in [reason for _, reason in told(text, fen).values()]


def test_few_games_contradict_what_they_leave_no_doubt_of(tmp_path: Path) -> None:
    game = (
        '[White "Player {0}"]\n[Black "Guest {0}"]\n[Date "2020.01.{0}"]\n[WhiteElo "1500"]\n'
        '[BlackElo "1500"]\n[Result "1-0"]\n\n1. e4 e6 2. d3 {1} 1-0\n'
    )
    replies = ["d5"] * 11 + ["c5"]
    games = [game.format(10 + k, reply) for k, reply in enumerate(replies)]
    (tmp_path / "evening.pgn").write_text("\n".join(games), "utf-8")
    lesson = tmp_path / "lesson.md"
    lesson.write_text(
        "---\nfor: White\nstudents: 1300-1700\ngames: evening.pgn\n---\n"
        "There are forty games in our file. After 1.e4 e6 2.d3 Black answered 2...d5 in 200 games.\n\n"
        "It was met with 2...c5 in 80 percent of them. The most frequent reply is 2...c5.\n\n"
        "It was met with 2...c5 in 15 percent of them, and with 2...d5 in eleven games.\n"
    )
    found = CliRunner().invoke(app, ["check", str(lesson)]).output
    for words in (
        "'forty games in our file' is not what there are",
        "'in 200 games' is more than there are: d5 is in no more than 11",
        "'80 percent' is not what the games say: c5 is played in 8 %",
        "'The most frequent reply is 2...c5' fails",
    ):
        assert words in found
    assert "15 percent' is" not in found
    assert "eleven games' is" not in found


BRACKWATER = Path(__file__).parent.parent / "examples" / "brackwater-games.pgn.xz"


@pytest.mark.parametrize(
    ("words", "message"),
    [
        ("Only seven games in the collection went another way.", ""),
        ("The collection has 40 games with 2.c4 e6.", ""),
        ("Two games in my database reached it.", ""),
        ("Our collection of 12 games in this line is small.", ""),
        ("There are more than 1,000 games in the collection.", ""),
        ("There are over 500 games in the file.", ""),
        ("After 2.c4 there are 40 games in the file.", ""),
        ("It goes 1.d4 d5 2.c4 e6 now. There are 40 games in the file.", ""),
        ("There are about 2,600 games in the file.", ""),
        ("Ann lost in two games with 2.c4 e6 last week.", ""),
        ("In twelve games in a row Ann met 2.c4 e6.", ""),
        ("In 5 games of the match 2.c4 e6 came.", ""),
        ("There are 2,000 games in the collection.", "is not what there are"),
        ("There are more than 9,000 games in the collection.", "is not what there are"),
        ("So our file now holds forty games.", "is not what there are"),
        ("There are fewer than 500 games in the file.", "is not what there are"),
        ("It goes 1.d4 d5 now. There are 9,000 games in the file.", "is not what there are"),
        ("In 12 games Black answered 2.c4 with 2...e6.", "is older than the games"),
    ],
)
def test_figures_of_a_part_are_not_taken_for_the_whole(
    tmp_path: Path, words: str, message: str
) -> None:
    lesson = tmp_path / "lesson.md"
    text = (
        f"---\nfor: White\nstudents: 1000-1900\ngames: {BRACKWATER}\n---\n1.d4 d5 2.c4\n\n{words}\n"
    )
    lesson.write_text(text, "utf-8")
    found = CliRunner().invoke(app, ["check", str(lesson)]).output
    figures = [line for line in found.splitlines() if "games" in line and "'" in line]
    told = [line for line in figures if "what there are" in line or "older than" in line]
    assert all(message in line for line in told) and bool(told) == bool(message), found


@pytest.mark.parametrize(
    ("box", "verdicts"),
    [
        ("**Remember.** The rook on f8 goes to e8.", ["holds"]),
        ("**The key ideas**: the knight on g1 goes to f3.", ["holds"]),
        ("**Remember.** The rook on f8 goes to d8.", ["fails"]),
        ("**Look.** The rook on f8 goes to e8.", ["fails"]),
    ],
)
def test_a_box_that_says_what_to_remember_is_held_against_the_moves_shown(
    box: str, verdicts: list[str]
) -> None:
    """Found in use: what the lesson had played was denied, for it stood no longer where it began."""
    line = "1.e4 e5 2.Nf3 Nc6 3.Bc4 Bc5 4.O-O Nf6 5.d3 O-O 6.c3 d6 7.Bb3 Re8 8.Nbd2 Be6."
    lesson = follow(parse(Source("lesson.md", f"{line}\n\n> {box}\n")))
    assert [v.verdict for v in judge_lesson(lesson)] == verdicts


TWO_KNIGHTS = "4k3/8/6n1/3P3n/8/8/4B3/4K3 b - - 0 1"


@pytest.mark.parametrize(
    ("text", "verdict", "because"),
    [
        ("Black can play Nf4.", "holds", "Ngf4 is legal"),
        ("Nf4 attacks the bishop on e2.", "holds", "after Ngf4"),
        ("Nf4 attacks the king.", "fails", "Ngf4"),
        ("After Nf4 the bishop on e2 is attacked.", "cannot-tell", "Ngf4 or Nhf4"),
    ],
)
def test_a_move_that_two_men_can_make_is_possible(text: str, verdict: str, because: str) -> None:
    """Found in use: "threatens Nf4" failed as not possible, with two knights that reach it."""
    ((answer, told_because),) = told(text, TWO_KNIGHTS).values()
    assert (answer, because in told_because) == (verdict, True), told_because


@pytest.mark.parametrize(
    ("text", "verdict"),
    [
        ("White can't play f4.", "fails"),
        ("White can't play f4 without losing control of e5.", "cannot-tell"),
        ("White cannot play f4 without weakening his king.", "cannot-tell"),
        ("White cannot castle without losing a bishop.", "holds"),
        ("White can't play f4, without losing control of e5.", "fails"),
        ("Nothing defends e2 without blocking the king.", "fails"),
    ],
)
def test_what_cannot_be_done_without_a_loss_may_be_possible(text: str, verdict: str) -> None:
    assert verdicts(text, chess.STARTING_FEN) == [verdict]


@pytest.mark.parametrize(
    ("text", "verdict"),
    [
        ("White may take the whole centre, and then Black attacks it.", "cannot-tell"),
        ("White will castle, and then the rook attacks d5.", "cannot-tell"),
        ("White can develop and then Black attacks d1.", "cannot-tell"),
        ("White has the move, and Black attacks d1.", "fails"),
        ("You can count: White has the move, and then Black attacks d1.", "fails"),
        ("White may not castle, and then Black attacks d1.", "fails"),
    ],
)
def test_what_comes_then_is_not_said_of_this_board(text: str, verdict: str) -> None:
    """Found in use: "may take the centre, and then we shoot at it" failed of the knight there."""
    assert verdicts(text, chess.STARTING_FEN)[-1:] == [verdict]


def test_a_pawn_that_is_not_named_joins_those_beside_it() -> None:
    """Found in use: a2 and c2 were two islands with a pawn on b2."""
    fen = "4k3/8/8/8/6P1/8/PPP5/4K3 w - - 0 1"
    one, two, three = (
        f"White's pawns on {pawns}" for pawns in ("a2 and c2 form one island",
        "a2, c2 and g4 form two islands", "a2, c2 and g4 form three islands")
    )  # fmt: skip
    found = told(f"{one}. {two}. {three}.", fen)
    assert [found[words][0] for words in (one, two, three)] == ["holds", "holds", "fails"]


def test_words_that_open_a_part_fail_where_no_board_of_it_has_what_they_say() -> None:
    """Found in use: a knight that never was, and a queen too many, were left undecided."""
    before = "1.e4 e5 2.Nf3 Nc6 3.Bb5 a6.\n\n# Another bishop\n\n"
    after = "\n\n3.Bc4 Bc5 is older."
    said = "The bishop on c4 attacks f7. White has two queens. White's king stands on g1."
    lesson = follow(parse(Source("lesson.md", before + said + after)))
    found = [v.verdict for v in judge_lesson(lesson)]
    assert found == ["cannot-tell", "fails", "fails"]


def test_what_comes_of_having_castled_is_not_said_of_the_board_before() -> None:
    """Found in use: "when White has castled" was taken for a report that he has."""
    found = told("When White has castled, Black has two queens.", chess.STARTING_FEN)
    assert all(verdict != "fails" for verdict, _ in found.values())
