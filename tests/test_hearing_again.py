"""A talk heard again: what is heard otherwise than before is told, and nothing else."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache
from html import unescape
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from typer.testing import CliRunner

from linewright.cli import app
from linewright.hearing import report_text
from linewright.hearing_again import (
    MOST_ON_TERMINAL,
    Again,
    HeardBefore,
    Otherwise,
    again_lines,
    heard_again,
)
from linewright.hearing_sheet import hearing_sheet
from linewright.source import Source
from linewright.talk.heard import Heard, Said, hear
from linewright.talk.transcript import read_transcript

TALK = """[0:00] White plays d4, Black plays d5, bishop f4, knight f6. e3, and e6.
[0:10] Knight f3, bishop d6, bishop g3, and castles. Bishop d3, and Black pushes the pawn.
[0:20] Now knight d2, knight c6, c3. And the rook comes to e8. Then knight e5 and the queen goes to c7. f4, knight e7.
[0:40] What about bishop takes d6 instead? queen takes. White castles, and e5 takes.
[0:50] Going back, after d5, knight f3 is also good. Then the knight comes out, bishop f4 and c5. e3 with knight c6, and the bishop comes out.
[1:10] There takes takes. And the pawn goes up. White plays h3 and the knight goes back.
"""


@cache
def heard(text: str = TALK, *answers: tuple[str, str]) -> Heard:
    return hear(read_transcript(Source("club.txt", text)), answers=dict(answers))


def unanswered(talk: Heard) -> Heard:
    """The same, as if nobody had answered."""
    return replace(talk, answered=())


def told(now: Heard, before: Heard) -> list[str]:
    again = heard_again(now, HeardBefore.of(before))
    assert again is not None
    return list(again_lines(again))


OTHER_BOARD = ("0:40 bishop takes d6", "9.Bxd6")
"""The words are heard as 8.Bxd6; four moves go on from there."""


def test_a_first_hearing_has_nothing_to_be_held_against() -> None:
    assert heard_again(heard(), None) is None
    assert "as before" not in report_text(heard())
    assert "as before" not in hearing_sheet(heard())


def test_a_hearing_that_changes_nothing_says_so() -> None:
    assert told(heard(), heard()) == ["all is heard as before"]


def test_moves_that_only_go_on_from_a_change_are_counted_with_it() -> None:
    now = unanswered(heard(TALK, OTHER_BOARD))
    assert told(now, heard()) == [
        '0:40 heard otherwise: "bishop takes d6" is 9.Bxd6, was 8.Bxd6; the 4 moves behind it change'
        ' too; to have it as before, answer "0:40 bishop takes d6": "8.Bxd6"'
    ]


def test_what_was_answered_is_not_told_nor_what_goes_on_from_it() -> None:
    line = "all else is heard as before, but for the 4 moves that go on from your answers"
    answered = heard(TALK, OTHER_BOARD)
    assert told(answered, heard()) == [line]
    assert told(heard(), answered) == [line], "an answer taken away is a change of the answers too"
    assert told(answered, answered) == ["all is heard as before"]


@pytest.mark.parametrize(
    ("was", "now"), [("4...Bd6", "only talk"), ("only talk", "4...Bd6")], ids=["gone", "new"]
)
def test_moves_that_are_gone_or_new_are_told(was: str, now: str) -> None:
    hearings = {
        "4...Bd6": heard(),
        "only talk": unanswered(heard(TALK, ("0:12 bishop d6", "only talk"))),
    }
    first = told(hearings[now], hearings[was])[0]
    assert first == (
        f'0:11 heard otherwise: "bishop d6" is {now}, was {was}; to have it as before, answer'
        f' "0:11 bishop d6": "{was}"'
    )


def test_a_way_back_that_is_another_is_told() -> None:
    before = HeardBefore.of(heard())
    back = next(k for k, one in enumerate(before.told) if not one.moves)
    to_start = (*before.told[:back], replace(before.told[back], node=1), *before.told[back + 1 :])
    again = heard_again(heard(), replace(before, told=to_start))
    assert again is not None
    (place,) = again.places
    assert (place.was, place.now, place.answer) == ("back to 1.d4", "back to 1...d5", "")


@pytest.mark.parametrize(("first", "same"), [(3, True), (60, False)], ids=["beside", "far off"])
def test_a_move_told_by_other_words_beside_them_is_the_same(first: int, same: bool) -> None:
    before = HeardBefore.of(heard())
    moved = replace(before.told[0], first=first, end=first + 1)
    told_there = tuple(sorted((moved, *before.told[1:]), key=lambda one: one.first))
    again = heard_again(heard(), replace(before, told=told_there))
    assert again is not None and (not again.places) == same


def test_a_line_that_is_only_supposed_now_is_told_once() -> None:
    before = HeardBefore.of(heard())
    moves = tuple((base, san, "supposed") for base, san, _ in before.moves)
    again = heard_again(heard(), replace(before, moves=moves))
    assert again is not None
    first = again.places[0]
    assert (first.was, first.now) == ("1.d4, supposed", "1.d4, shown")
    assert len(again.places) == 1 and first.behind > 30


def test_words_that_are_new_in_the_talk_are_no_change_of_the_hearing() -> None:
    more = TALK.replace("f4, knight e7.", "h3, and the other rook comes to d8. f4, knight e7.")
    again = heard_again(heard(more), HeardBefore.of(heard()))
    assert again is not None and again.words_changed
    assert not any("rook" in place.said.text or "h3" in place.said.text for place in again.places)
    typo = heard(TALK.replace("also good", "also fine"))
    assert told(typo, heard()) == ["all else is heard as before"]


def test_another_talk_of_the_same_name_is_not_compared() -> None:
    other = "White plays c4, Black replies e5, knight c3, knight f6, g3, d5. Then White takes."
    assert heard_again(heard(other), HeardBefore.of(heard())) is None


def test_many_places_are_left_to_the_sheet() -> None:
    word = heard().transcript.words[2]
    said = Said(2, 3, word.text, word.start_ms)
    places = tuple(Otherwise(said, "1.d4", f"1.{san}4", 0, "") for san in "abcdefgh" * 2)
    lines = list(again_lines(Again(places, 0, True, False)))
    assert len(lines) == MOST_ON_TERMINAL + 1
    assert lines[-1] == "and 4 more heard otherwise on the proof sheet"
    assert all(
        f"1.{san}4" in hearing_sheet(heard(), again=Again(places, 0, True, False))
        for san in "abcdefgh"
    )


def test_the_sheet_lists_what_is_heard_otherwise() -> None:
    now = unanswered(heard(TALK, OTHER_BOARD))
    sheet = hearing_sheet(now, again=heard_again(now, HeardBefore.of(heard())))
    table = re.search(r'<table class="otherwise">.*?</table>', sheet, re.DOTALL)
    assert table
    words = " ".join(re.sub(r"<[^>]+>", " ", unescape(table[0])).split())
    assert words == (
        'Time Said Was Is 0:40 bishop takes d6 "0:40 bishop takes d6": "8.Bxd6" 8.Bxd6 9.Bxd6'
        " ; the 4 moves behind it change too"
    )
    link = re.search(r'href="#(\w+)"', table[0])
    assert link and f'id="{link[1]}"' in sheet
    hostile = Otherwise(Said(2, 3, "d4 <b>", 0), "2...<i>", "3...Qc7", 0, '"<b>": "d4"')
    told_so = hearing_sheet(now, again=Again((hostile,), 0, True, False))
    assert "<i>" not in told_so.split('"otherwise"')[1].split("</table>")[0]
    assert '<span class="whole">3…Qc7</span>' in told_so
    same = hearing_sheet(heard(), again=heard_again(heard(), HeardBefore.of(heard())))
    assert "All is heard as before." in same and "Heard otherwise" not in same


# --- the record in the sheet -------------------------------------------------------------------


def test_a_record_is_read_as_it_was_written() -> None:
    hostile = "White plays e4 --> <script> e5 --!> <!-- knight f3 \"quoted\" 'so' \\ é knight c6."
    for talk in (heard(), heard(TALK, OTHER_BOARD), heard(hostile)):
        record = HeardBefore.of(talk)
        assert HeardBefore.read(f"<html>\n{record.written()}\n") == record
        assert record.written().count(">") == record.written().count("<") == 1


@given(st.data())
def test_a_damaged_record_is_none(data: st.DataObject) -> None:
    text = HeardBefore.of(heard()).written()
    at = data.draw(st.integers(0, len(text) - 1))
    new = data.draw(st.sampled_from(["", "9", "-1", "[", "]", '"', "null", "{}", "1e999", "\n"]))
    damaged = text[:at] + new + text[at + data.draw(st.integers(0, 3)) :]
    assert HeardBefore.read(damaged) in (None, HeardBefore.of(heard()))


def test_a_teacher_who_answers_is_told_and_can_have_it_as_before(tmp_path: Path) -> None:
    """Found in use: an answer changed how other places were heard, and nothing told."""
    talk, folder = tmp_path / "club.txt", tmp_path / "club"
    talk.write_text(TALK, "utf-8")
    runner, script = CliRunner(), folder / "club.script.md"
    sheet = folder / "club.proof.html"

    def hearing(*answers: str) -> str:
        if answers:
            text = re.sub(r"answers:.*?(?=\n---)", "", script.read_text("utf-8"), flags=re.DOTALL)
            head = "\n".join(["\nanswers:", *(f"  {line}" for line in answers), "---\n"])
            script.write_text(text.replace("\n---\n", head, 1), "utf-8")
        return runner.invoke(app, ["hear", str(talk)]).output

    assert "as before" not in hearing()
    assert "\nall is heard as before\n" in hearing()
    answer = '"0:31 f4": "only talk"'
    output = hearing(answer)
    copied = re.findall(r"to have it as before, answer (.*)", output)
    assert copied and "Heard otherwise than before" in sheet.read_text("utf-8")
    assert all(line in unescape(sheet.read_text("utf-8")) for line in copied)
    assert "all else is heard as before" in hearing('"0:21 knight d2": "7.Nbd2"', answer)
    assert not list(folder.glob("*before-*"))
    sheet.write_text(re.sub(r"<!-- what was heard.*", "", sheet.read_text("utf-8")), "utf-8")
    assert "as before" not in hearing(), "a sheet of an earlier version has no record"


def test_no_answer_is_offered_that_would_change_nothing() -> None:
    """Found by reading: where only what nobody said is otherwise, no answer brings it back; nor is one
    offered that cannot be played on the line at hand."""
    first = heard()
    for place, was in (("0:12 bishop d6", "5.Bg3"), ("0:17 pushes the pawn", "7.Nbd2")):
        again = heard_again(heard(TALK, (place, "only talk")), HeardBefore.of(first))
        assert again is not None
        (otherwise,) = (one for one in again.places if one.was == was)
        assert otherwise.was != otherwise.now and not otherwise.answer
