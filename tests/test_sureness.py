"""How sure what was heard is told to be, and what is asked where it is not sure."""

from __future__ import annotations

import pytest

from linewright.hearing import as_record, report_text, statements_of, with_sides_told_wrong
from linewright.hearing_sheet import hearing_sheet
from linewright.source import Source
from linewright.talk.decoder import Kind
from linewright.talk.heard import ASK_UNSAID_BELOW, Heard, hear
from linewright.talk.read_first import read_first
from linewright.talk.sureness import (
    IN_DOUBT_BELOW,
    default_sureness,
    doubtful_words,
    move_features,
    slip_features,
    sure_moves,
    sure_slip,
    sure_unsaid,
    unsaid_features,
    unsaid_of,
)
from linewright.talk.transcript import read_transcript
from linewright.talk.writing import PERHAPS_BELOW, script_text, slip_list

OPEN = "White plays e4, Black replies e5, knight f3, knight c6. "
ON = " knight f6. White castles, bishop e7. Rook e1, b5. Bishop b3, d6. c3, castles."
LOST = " and it is all a matter of taste, I play the rook somewhere, queen to g6 perhaps, rook d3."
LEFT_OUT = (
    OPEN + "Bishop c4. Well, d3 comes, knight g5 and we look at f7, rook b8, knight takes f7."
)


def heard(text: str, answers: dict[str, str] | None = None) -> Heard:
    return with_sides_told_wrong(hear(read_transcript(Source("talk.txt", text)), answers=answers))


def test_the_weights_are_of_what_is_seen() -> None:
    talk = heard(OPEN + "Bishop b5, a6. Bishop a5," + ON)
    assert set(default_sureness()["slip"]) == set(slip_features(talk, talk.slips[0]))
    talk = heard(LEFT_OUT)
    turn = next(t for t in talk.turns if t.event.kind is Kind.PLAY and unsaid_of(t.event))
    assert set(default_sureness()["unsaid"]) == set(unsaid_features(talk, turn))
    assert set(default_sureness()["move"]) == set(move_features(talk)[0])


def test_a_slip_is_surer_where_the_talk_is_understood_around_it() -> None:
    plain = heard(OPEN + "Bishop b5, a6. Bishop a5," + ON).slips
    lost = heard(OPEN + "Bishop b5, a6. Bishop a5," + LOST).slips
    assert [slip.meant for slip in (*plain, *lost)] == ["Ba4", "Ba4"]
    assert lost[0].sure + 0.1 < plain[0].sure < 1
    assert lost[0].sure > 0


def test_a_side_told_wrong_is_weighed_like_any_slip() -> None:
    talk = heard(OPEN + "Bishop b5, a6. Bishop takes c6, d takes c6. White has doubled pawns.")
    slip = next(slip for slip in talk.slips if slip.meant == "Black")
    assert slip.sure == sure_slip(talk, slip)


def test_a_slip_that_may_be_none_is_told_as_a_perhaps(monkeypatch: pytest.MonkeyPatch) -> None:
    talk = heard(OPEN + "Bishop b5, a6. Bishop a5," + ON)
    assert 'word 14 slip: "Bishop a5"' in report_text(talk)
    for place in ("linewright.hearing", "linewright.hearing_sheet"):
        monkeypatch.setattr(f"{place}.PERHAPS_BELOW", 1.0)
    assert talk.slips[0].sure > PERHAPS_BELOW
    assert 'word 14 perhaps a slip: "Bishop a5"' in report_text(talk)
    assert "Perhaps a slip" in hearing_sheet(talk, ())
    assert "Bishop a5" in slip_list(talk), "none is left out"


FIRST = {"word 14 d3": "4.d3"}
"""What is asked first; on its answer hangs whether the other is asked."""


def test_a_doubtful_move_that_nobody_said_is_a_question() -> None:
    assert [question.unsaid for question in heard(LEFT_OUT).questions] == ["3...Nf6 before it"]
    talk = heard(LEFT_OUT, FIRST)
    asked = talk.questions[0]
    assert (asked.said.text, asked.unsaid) == ("knight g5", "4...d6 before it")
    assert asked.choices[0] == "5.Ng5" and asked.choices[-1] == "only talk"
    assert '"knight g5", with 4...d6 before it, which nobody said: is it 5.Ng5' in asked.text
    turn = next(t for t in talk.turns if talk.label(t.node) == "5.Ng5")
    assert sure_unsaid(talk, turn) < ASK_UNSAID_BELOW
    assert "nobody said 4...d6 before it; is it 5.Ng5" in script_text(talk)


def test_a_move_that_must_have_been_made_is_not_asked_about() -> None:
    talk = heard(OPEN + "Bishop b5. Bishop a4, knight f6. White castles.")
    assert "a6" in [move.san for move in talk.moves.values() if move.said is None]
    assert not talk.questions


@pytest.mark.parametrize("answer", ["5.Ng5", "only talk"])
def test_an_answer_settles_a_move_that_nobody_said(answer: str) -> None:
    place = "word 16 knight g5"
    assert place.split()[1] == str(heard(LEFT_OUT, FIRST).questions[0].said.first + 1)
    talk = heard(LEFT_OUT, {**FIRST, place: answer})
    assert not any("4...d6" in question.unsaid for question in talk.questions)
    assert [one.fault for one in talk.answered] == ["", ""]
    played = "Ng5" in [move.san for move in talk.moves.values()]
    assert played is (answer != "only talk")


def test_of_several_moves_that_nobody_said_the_teacher_is_asked() -> None:
    """Found in use: one of ten moves that would do was shown to pupils, and no question came."""
    talk = heard(
        "White plays f4, d5, knight f3, knight f6, e3, g6, bishop e2, bishop g7, castles, castles, d3,"
        " c5, queen e1, knight c6, knight c3, d4, knight d1, d takes e3, knight takes e3, knight d4,"
        " bishop d1, knight g4, knight takes g4, bishop takes g4, knight takes d4, bishop takes d4"
        " check, king h1, bishop takes d1, queen takes d1. A bishop each. His bishop on d4 is strong,"
        " so we hit it with c3. Bishop back to g7. Our bishop comes to e3, he plays b6, queen f3."
    )
    (asked,) = (question for question in talk.questions if question.unsaid)
    one, *others = asked.unsaid.removesuffix(" before it").split(" or ")
    assert asked.said.text == "c3" and others
    assert [talk.label(node) for node, move in talk.moves.items() if move.said is None] == [one]
    assert all(other.startswith("15...") and other != one for other in others)
    assert f"nobody said {asked.unsaid}; is it 16.c3" in script_text(talk)


SPANISH = (
    OPEN
    + "Bishop b5, a6, bishop a4, knight f6. White castles, bishop e7. Rook e1, b5. Bishop b3, d6."
    " c3, castles. "
)
PLAIN = "h3, knight a5. Bishop c2, c5. d4, queen c7. Knight bd2, c takes d4, c takes d4."
OF_ANOTHER_GAME = (
    "Knight takes c5, d takes c5, queen takes d8, rook takes d8, bishop f4, bishop e6, rook a d1, rook"
    " takes d1."
)


def test_moves_that_fit_are_sure_and_those_of_another_game_are_not() -> None:
    assert all(sure > 0.9 for _, sure in sure_moves(heard(SPANISH + PLAIN)))
    told = sure_moves(heard(SPANISH + OF_ANOTHER_GAME))
    sure = [sure for turn, sure in told if turn.phrase[0] < len(SPANISH.split())]
    lost = [sure for turn, sure in told if turn.phrase[0] >= len(SPANISH.split())]
    assert min(sure) > 0.8 > IN_DOUBT_BELOW > max(lost)


def test_where_the_board_is_lost_is_to_be_read_first() -> None:
    """Found in use: one slip put forty moves on a wrong board, and nothing told the teacher."""
    assert not read_first(heard(SPANISH + PLAIN))
    talk = heard(SPANISH + OF_ANOTHER_GAME)
    (one,) = read_first(talk)
    assert one.said.text == "Knight takes c5" and one.moves == len(sure_moves(talk)) - 16
    line = f"word {one.said.first + 1} read this first: {one.moves} moves up to {one.until}"
    assert line in report_text(talk)
    assert f"at 'word {one.said.first + 1} knight takes c5': read this first" in script_text(talk)
    assert "<b>Read first</b>" in hearing_sheet(talk)
    (record,) = as_record(talk)["in_doubt"]
    assert (record["key"], record["told"]) == (f"word {record['word']} knight takes c5", one.moves)
    assert record["until_word"] == one.last.first + 1


def test_what_is_answered_is_sure() -> None:
    words = SPANISH + PLAIN.replace("d4, queen c7", "d4, queen to a5")
    place = f"word {len((SPANISH + PLAIN).split('queen c7')[0].split()) + 1} queen to a5"
    talk = heard(words, {place: "11...Bd7"})
    assert [one.fault for one in talk.answered] == [""]
    sure = {talk.label(turn.node): sure for turn, sure in sure_moves(talk)}
    assert sure["11...Bd7"] == 1 and min(sure.values()) > 0.8
    assert not read_first(talk)


def test_a_stretch_that_is_right_is_put_away_as_said() -> None:
    """Found in use: moves that were right were to be read first after every hearing."""
    words = SPANISH + OF_ANOTHER_GAME
    first = heard(words)
    (one,) = read_first(first)
    place = f"word {one.said.first + 1} knight takes c5"
    assert f'if all is right, answer "{place}": "as said"' in one.text
    talk = heard(words, {place: "as said"})
    assert [answer.fault for answer in talk.answered] == [""]
    assert not read_first(talk)
    assert [move.san for move in talk.moves.values()] == [m.san for m in first.moves.values()]


def test_a_word_that_is_right_puts_no_stretch_away() -> None:
    """Found in use: a correction of the captions was refused, and with it the stretch went."""
    words = SPANISH + OF_ANOTHER_GAME.replace("Knight", "Night", 1)
    talk = heard(words)
    (change,) = talk.caption_changes
    (one,) = read_first(talk)
    refused = heard(words, {f"word {change.said.first + 1} {change.said.text}": "as said"})
    assert not refused.caption_changes and len(read_first(refused)) == 1
    place = one.text.split('answer "')[1].split('":')[0]
    put_away = heard(words, {place: "as said"})
    assert put_away.caption_changes and not read_first(put_away)


def test_two_stretches_that_are_near_are_one() -> None:
    between = " Bishop c2, c5."
    talk = heard(SPANISH + OF_ANOTHER_GAME + between + OF_ANOTHER_GAME)
    assert len(read_first(talk)) == 1


def test_nothing_is_told_false_of_a_board_that_is_lost() -> None:
    sure, lost = (
        heard(SPANISH + told + " White has doubled pawns.") for told in (PLAIN, OF_ANOTHER_GAME)
    )
    word = len(sure.transcript.words) - 1
    assert not doubtful_words(sure)(word)
    assert doubtful_words(lost)(len(lost.transcript.words) - 1)
    assert [verdict.verdict for verdict, *_ in statements_of(sure)] == ["fails"]
    assert "fails" not in [verdict.verdict for verdict, *_ in statements_of(lost)]


def test_a_talk_without_moves_is_nowhere_in_doubt() -> None:
    talk = heard("Welcome to the chess club, tonight we speak about the pawns and the bishops.")
    assert not sure_moves(talk) and not read_first(talk) and not doubtful_words(talk)(3)
