"""Transcripts against the W3C grammar and examples, SubRip conventions and everyday faults."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from linewright.clock import timestamp
from linewright.source import Source
from linewright.talk.transcript import (
    FileForm,
    Timing,
    Transcript,
    read_transcript,
    source_from_bytes,
)

TABLE: dict[str, Any] = yaml.safe_load(
    (Path(__file__).parent / "tables/captions.yaml").read_text("utf-8")
)


def read(text: str, name: str = "talk.txt") -> Transcript:
    return read_transcript(Source(name, text))


def rules(talk: Transcript) -> set[str]:
    return {finding.rule for finding in talk.findings}


def words(talk: Transcript) -> list[str]:
    return [word.text for word in talk.words]


@pytest.mark.parametrize("example", TABLE["w3c_examples"], ids=lambda e: e["id"])
def test_the_examples_of_the_standard_are_read(example: dict[str, Any]) -> None:
    talk = read(example["text"], "x.vtt")
    assert talk.form is FileForm.VTT
    found = [
        [cue.span.start_ms, cue.span.end_ms, " ".join(words(talk)[slice(*cue.words)])]
        for cue in talk.cues
    ]
    assert found == example["cues"]
    if "identifiers" in example:
        assert [cue.identifier for cue in talk.cues] == example["identifiers"]
    if "speakers" in example:
        assert [talk.words[cue.words[0]].speaker for cue in talk.cues] == example["speakers"]


@pytest.mark.parametrize("form", ["vtt", "srt"])
def test_time_stamps_against_the_published_grammar(form: str) -> None:
    header = "WEBVTT\n\n" if form == "vtt" else "1\n"
    for written in TABLE["timestamps"][form]["valid"]:
        talk = read(
            f"{header}{written} --> 999:00:00{'.' if form == 'vtt' else ','}000\nknight f3\n",
            f"x.{form}",
        )
        assert not rules(talk) & {"time-unreadable"}, written
    for written in TABLE["timestamps"][form]["invalid"]:
        talk = read(
            f"{header}{written} --> 99:00:00{'.' if form == 'vtt' else ','}000\nknight f3\n",
            f"x.{form}",
        )
        assert rules(talk) & {"time-unreadable", "time-not-standard"}, written
        assert words(talk) == ["knight", "f3"], "the words are kept whatever the time"


def test_milliseconds_of_both_forms() -> None:
    for ms, srt, vtt in TABLE["milliseconds"]:
        assert timestamp(ms, ",") == srt
        assert timestamp(ms) == vtt
        cue = read(f"WEBVTT\n\n{vtt} --> 99:00:00.000\nx\n", "x.vtt").cues[0]
        assert cue.span.start_ms == ms
        assert read(f"1\n{srt} --> 99:00:00,000\nx\n", "x.srt").cues[0].span.start_ms == ms


def test_a_file_that_only_looks_like_captions_says_so() -> None:
    talk = read("WEBVTTX\n\n00:00.000 --> 00:01.000\nx\n", "x.vtt")
    assert "captions-header" in rules(talk)
    assert words(talk) == ["x"]


def test_words_carry_their_place_and_punctuation() -> None:
    talk = read(
        "WEBVTT\n\n00:01.000 --> 00:03.000\nSo <b>kni</b>ght &amp; pawn, to f3 — no: “e4”!\n",
        "x.vtt",
    )
    assert words(talk) == ["So", "knight", "pawn", "to", "f3", "no", "e4"]
    assert [word.mark for word in talk.words] == ["", "", ",", "", "", ":", "”!"]
    assert talk.source.words(talk.words[4].span) == "f3"
    assert talk.words[-1].ends_sentence
    assert talk.word_at(talk.words[3].span.start) == 3
    assert "styling-tags" in rules(talk)


def test_stamps_inside_a_cue_are_measured_and_the_rest_is_spread() -> None:
    text = "WEBVTT\n\n00:01.000 --> 00:04.000\nqueen<00:01.800><c> takes</c><00:02.500><c> d4</c>\n"
    talk = read(text, "x.vtt")
    assert [word.start_ms for word in talk.words] == [1000, 1800, 2500]
    assert {word.timing for word in talk.words} == {Timing.MEASURED}
    plain = read("WEBVTT\n\n00:01.000 --> 00:04.000\nqueen takes d4\n", "x.vtt")
    assert plain.timing is Timing.ESTIMATED
    assert plain.cues[0].timing is Timing.MEASURED
    assert plain.end_ms == 4000


def test_captions_that_roll_up_are_heard_once() -> None:
    text = """WEBVTT

00:00.000 --> 00:02.000
today we look at
the knight

00:02.000 --> 00:04.000
the knight
on f6 and its

00:04.000 --> 00:05.000
on f6 and its
neighbours
"""
    talk = read(text, "x.vtt")
    assert " ".join(words(talk)) == "today we look at the knight on f6 and its neighbours"
    assert "rolled-up-captions" in rules(talk)


def test_the_first_caption_of_those_that_roll_up_has_an_empty_upper_line() -> None:
    cues = [" ", "today we<00:00:00.500><c> look</c>"], ["today we look", "at the knight"]
    last = ["at the knight", "on f6"]
    text = "WEBVTT\n\n" + "\n\n".join(
        f"00:{2 * i:02}.000 --> 00:{2 * i + 2:02}.000\n" + "\n".join(cue)
        for i, cue in enumerate((*cues, last))
    )
    talk = read(text, "x.vtt")
    assert " ".join(words(talk)) == "today we look at the knight on f6"
    assert talk.words[2].start_ms == 500
    assert "text-outside-cues" not in rules(talk)


def test_a_line_said_twice_is_heard_twice() -> None:
    cues = ["knight takes d5", "knight takes d5", "and now the queen", "has no square"]
    text = "\n".join(
        f"00:00:{2 * i:02},000 --> 00:00:{2 * i + 2:02},000\n{c}\n" for i, c in enumerate(cues)
    )
    assert words(read(text, "x.srt"))[:6] == ["knight", "takes", "d5"] * 2


def test_times_that_run_backwards_keep_the_words_and_the_good_times() -> None:
    starts = [1, 4, 90, 10, 13]
    text = "\n".join(
        f"00:{s // 60:02}:{s % 60:02},000 --> 00:{(s + 2) // 60:02}:{(s + 2) % 60:02},000\nword{s}\n"
        for s in starts
    )
    talk = read(text, "x.srt")
    assert words(talk) == [f"word{s}" for s in starts]
    assert [f.rule for f in talk.findings] == ["times-backwards"]
    assert "“1:30”" in talk.findings[0].message
    assert [talk.words[i].start_ms for i in (0, 1, 3, 4)] == [1000, 4000, 10000, 13000]
    assert 6000 <= (talk.words[2].start_ms or 0) <= 10000
    assert talk.words[2].timing is Timing.ESTIMATED


def test_overlapping_cues_and_cues_without_length() -> None:
    text = "1\n00:00:01,000 --> 00:00:05,000\none two\n\n2\n00:00:03,000 --> 00:00:03,000\nthree\n"
    talk = read(text, "x.srt")
    assert rules(talk) == {"cues-overlap", "cue-ends-early"}
    assert (talk.words[1].end_ms or 0) <= 3000
    assert (talk.words[2].end_ms or 0) > 3000


@pytest.mark.parametrize("label", ["MARIT: ", "Teacher: ", ">> ", "- ", "<v Marit>"])
def test_speaker_labels_are_no_words(label: str) -> None:
    """Found in use: that ">>" is no word was told at every hearing, and nothing could be done."""
    talk = read(f"WEBVTT\n\n00:01.000 --> 00:02.000\n{label}knight to f3\n", "x.vtt")
    assert words(talk) == ["knight", "to", "f3"]
    assert ("speaker-labels" in rules(talk)) == any(c.isalpha() for c in label)


def captions(*texts: str) -> str:
    """A file of captions, a second each."""
    cues = (f"00:{k:02}.000 --> 00:{k + 1:02}.000\n{text}\n" for k, text in enumerate(texts))
    return "\n".join(["WEBVTT\n", *cues])


def test_moves_and_words_of_teaching_before_a_colon_are_said() -> None:
    said = ["E4: one way to begin", "E5: the same", "E4: once more", "Knight f3: at e5", "O-O: safe",
            "Rook d1: why", "Rook d1: there", "Aim: castle", "Aim: take the centre"]  # fmt: skip
    talk = read(captions(*said), "x.vtt")
    assert " ".join(words(talk)) == " ".join(said).replace(":", "")
    assert "speaker-labels" not in rules(talk)


def test_who_speaks_in_turns_is_a_label_and_each_is_told() -> None:
    said = ["Ilse: what now", "Odo: knight f3", "Ilse: and then", "it goes on", "Odo: bishop c4",
            "Plan: castle", "no plan", "Plan: attack", "so", "then", "again", "more"]  # fmt: skip
    talk = read(captions(*said), "x.vtt")
    assert words(talk)[:7] == ["what", "now", "knight", "f3", "and", "then", "it"]
    assert words(talk).count("Plan") == 2
    told = next(finding.message for finding in talk.findings if finding.rule == "speaker-labels")
    assert "“Ilse”" in told and "also “Odo”" in told


@pytest.mark.parametrize(
    ("said", "speakers"),
    [
        (["Will: knight f3", "Mark: knight c6", "you will see", "mark this", "Will: bishop c4",
          "Mark: bishop c5", "and", "so", "on"], {"Will", "Mark"}),
        (["Mary White: pawn to e4", "Odo King: pawn to e5", "Mary White: knight f3",
          "Odo King: knight c6", "and", "so", "on", "we", "go", "now"], {"Mary White", "Odo King"}),
        (["welcome to the club", "Marit: e4 is good", "we see", "Marit: and on", "Student: why",
          "so it is", "knight f3", "and on"], {"Marit", "Student"}),
        (["good evening", "Warning: he takes", "Example: e4", "Warning: again", "Example: d4"], set()),
        (["the plan", "Plan: castle", "an idea", "Idea: take", "Plan: wait", "Idea: e4"], set()),
        (["Ilse: look", "Odo: e4", "Look: he takes", "Ilse: so", "Odo: why", "Look: again", "on"],
         {"Ilse", "Odo"}),
        (["King safety: castle", "so", "King safety: h3", "and", "on"], set()),
    ],
)  # fmt: skip
def test_speakers_with_names_that_are_words_are_labels(said: list[str], speakers: set[str]) -> None:
    """Found in use: "Will:", "Odo King:" and one who speaks with a student went into the words."""
    talk = read(captions(*said), "x.vtt")
    assert {word.speaker for word in talk.words} - {""} == speakers
    assert not any(
        part in word.text for name in speakers for part in name.split() for word in talk.words
    )


def test_who_opens_the_talk_and_some_cues_is_a_label() -> None:
    said = ["Bram: good evening", "we look at", "e4", "e5", "Bram: knight f3", "and so on"]
    assert "Bram" not in words(read(captions(*said), "x.vtt"))


def test_capitals_are_no_label_in_a_talk_that_is_in_capitals() -> None:
    talk = read(captions("MY IDEA IS THIS", "IDEA: KNIGHT F3 IS PLAYED"), "x.vtt")
    assert "IDEA" in words(talk)[4:]


def test_an_arrow_between_words_is_no_line_of_times() -> None:
    talk = read(captions("he goes\nknight f3 --> the queen\nand on", "then castles"), "x.vtt")
    assert " ".join(words(talk)) == "he goes knight f3 the queen and on then castles"
    assert not rules(talk) & {"time-unreadable", "text-outside-cues"}


@pytest.mark.parametrize("name", ["x.vtt", "x.txt"])
def test_only_tags_are_taken_off_not_words_between_such_marks(name: str) -> None:
    said = "my <favourite> <i>move</i> <c.red>is</c> <font color=red>e4</font> <b>here</b>"
    talk = read(captions(said) if name == "x.vtt" else said, name)
    assert " ".join(words(talk)) == "my favourite move is e4 here"


@pytest.mark.parametrize("name", ["x.vtt", "x.txt"])
def test_moves_and_files_between_angle_brackets_are_said(name: str) -> None:
    """Found in use: "<c4>" and "<b5>" were taken for tags of captions."""
    said = (
        "White plays <c4> here and <b5> and <h4> and <a pawn> on the <q side> or <c-file>, <e4>."
        ' <h2>Then</h2> <br/>he <a href="x">goes</a> <lang en>on</lang> <b class=k>there</b>'
    )
    talk = read(captions(said) if name == "x.vtt" else said, name)
    told = "White plays c4 here and b5 and h4 and a pawn on the q side or c-file e4 Then he goes"
    assert " ".join(words(talk)) == f"{told} on there"
    assert {word.mark for word in talk.words} <= {"", ",", "."}


def test_a_sentence_with_a_colon_is_no_label() -> None:
    talk = read("WEBVTT\n\n00:01.000 --> 00:02.000\nWhite: what is the plan\n", "x.vtt")
    assert words(talk)[0] == "White"


def test_emoji_and_sounds_are_left_out_and_figurines_kept() -> None:
    talk = read("1\n00:00:01,000 --> 00:00:03,000\n[music] ♘f3 👍 is 🔥great🔥 😀\n", "x.srt")
    assert words(talk) == ["♘f3", "is", "great"]
    assert len(talk.sounds) == 1
    assert "emoji" in rules(talk)


def test_text_outside_captions_is_reported() -> None:
    talk = read("WEBVTT\n\nknight to f3 comes first\n\n00:01.000 --> 00:02.000\ne4\n", "x.vtt")
    assert words(talk) == ["e4"]
    assert any("knight to f3" in finding.message for finding in talk.findings)


@pytest.mark.parametrize("stamp", ["[{}] ", "({}) ", "{} ", "{} - ", "{}\n", "[{}]: ", "[0:{}] "])
def test_text_with_times(stamp: str) -> None:
    text = (
        stamp.format("1:05")
        + "knight to f3, and now "
        + "\n"
        + stamp.format("1:20")
        + "bishop c4.\n"
    )
    talk = read(text)
    assert words(talk) == ["knight", "to", "f3", "and", "now", "bishop", "c4"]
    assert talk.words[0].start_ms == 65_000
    assert talk.words[5].start_ms == 80_000
    assert (talk.words[4].end_ms or 0) <= 65_000 + 5 * 600, (
        "the rest up to the next time is a pause"
    )


def test_markdown_is_read_as_text() -> None:
    text = "---\ntitle: x\n---\n# The Exchange\n\n[0:01] *Knight* takes **d5**. <!-- mine -->\n\n---\n\n## After\n\nIt [stands](#d5) well.\n"
    talk = read(text, "talk.md")
    assert words(talk) == ["Knight", "takes", "d5", "It", "stands", "well"]
    assert [(h.title, h.before_word) for h in talk.headings] == [("The Exchange", 0), ("After", 3)]
    assert len(talk.notes) == 2
    assert talk.source.words(talk.words[4].span) == "stands"


def test_text_without_times_says_so() -> None:
    talk = read("Knight to f3.\n\nThen bishop c4.\n")
    assert talk.timing is Timing.NONE
    assert len(talk.cues) == 2
    assert rules(talk) == {"no-times"}


GARDEN = (
    "we plant the beans in a row along the wall and water them every evening so that they do not dry out in the sun "
    * 3
)
GERMAN = (
    "der Springer geht nach f3 und dann kommt der Läufer auf das Feld c4 und wir haben hier eine gute Stellung mit Druck auf f7 "
    * 3
)
RUSSIAN = (
    "конь идёт на поле и мы видим что слон стоит хорошо а ферзь пока не играет и белые имеют преимущество "
    * 4
)
CHESS = (
    "knight to f3 and the bishop comes to c4, so that we have pressure on the pawn, and Black castles to get the king away from it "
    * 3
)


@pytest.mark.parametrize(
    ("text", "rule", "part"),
    [
        (GARDEN, "not-about-chess", "does not sound like chess"),
        (GERMAN, "other-language", "German"),
        (RUSSIAN, "other-language", "not Latin"),
        ("", "no-words", "no spoken word"),
        ("WEBVTT\n", "no-words", "no spoken word"),
    ],
)
def test_talks_that_cannot_be_heard_say_why(text: str, rule: str, part: str) -> None:
    found = [finding for finding in read(text).findings if finding.rule == rule]
    assert len(found) == 1
    assert part in found[0].message


def test_a_chess_talk_is_about_chess() -> None:
    assert rules(read(CHESS)) == {"no-times"}


def test_four_hours_are_read_whole() -> None:
    cues = [
        f"{timestamp(i * 2000)} --> {timestamp(i * 2000 + 2000)}\nknight to f3 and bishop c4\n"
        for i in range(7200)
    ]
    talk = read("WEBVTT\n\n" + "\n".join(cues), "x.vtt")
    assert len(talk.words) == 7200 * 6
    assert talk.end_ms == 4 * 3600 * 1000
    assert talk.findings == ()


def test_bytes_of_every_everyday_encoding() -> None:
    text = "Knight “f3” — no.\r\nNext\rlast"
    for data in (
        text.encode(),
        text.encode("utf-8-sig"),
        text.encode("utf-16"),
        text.encode("cp1252"),
    ):
        source, findings = source_from_bytes("a.txt", data)
        assert source.text == "Knight “f3” — no.\nNext\nlast"
        assert [f.rule for f in findings] == (
            ["not-utf-8"] if data == text.encode("cp1252") else []
        )
    source, (finding,) = source_from_bytes("a.txt", b"one\r\ntwo\r\nf\xfcnf")
    assert source.words(finding.span) == "ü"
    source, findings = source_from_bytes("a.txt", b"a\0b")
    assert "\0" not in source.text
    assert findings[0].rule == "unreadable-characters"


def test_new_times_keep_everything_else() -> None:
    talk = read("Knight to f3.")
    timed = talk.retimed(
        [(0, 100, Timing.MEASURED), (100, 200, Timing.MEASURED), (250, 400, Timing.ESTIMATED)]
    )
    assert timed.text == talk.text
    assert timed.timing is Timing.ESTIMATED
    assert timed.cues[0].span.start_ms == 0
    with pytest.raises(ValueError, match="1 times for 3 words"):
        talk.retimed([(0, 1, Timing.MEASURED)])


PIECES = st.sampled_from(
    ["WEBVTT", "\n", "\n\n", "00:01.000", " --> ", "00:00:02,500", "[1:23]", "(0:61)", "1:05 ", "<b>", "</b>", "<00:02.000>",
     "<v A>", "&amp;", "&#0;", "&#xFFFFFFFF;", "😀", "NOTE x", "knight ", "f3", ", ", "—", "…", "<", ">", "{", "[", "]", "<!--", "-->",
     "---\n", "# ", "MARIT: ", "\r\n", "\ufeff", "♘", "\u200d", "12", "999999:00:00.000"]
)  # fmt: skip


@given(
    st.one_of(st.lists(PIECES, max_size=40).map("".join), st.text(max_size=200)),
    st.sampled_from(["a.vtt", "a.srt", "a.md"]),
)
def test_reading_never_raises_and_words_come_in_order(text: str, name: str) -> None:
    talk = read(text, name)
    last_end, last_ms = 0, 0
    for word in talk.words:
        assert last_end <= word.span.start < word.span.end <= len(text)
        last_end = word.span.end
        assert (word.start_ms is None) == (word.timing is Timing.NONE)
        if word.start_ms is not None and word.end_ms is not None:
            assert last_ms <= word.start_ms <= word.end_ms
            last_ms = word.end_ms
    counted = [index for cue in talk.cues for index in range(*cue.words)]
    assert counted == list(range(len(talk.words)))
    for finding in talk.findings:
        assert 0 <= finding.span.start <= finding.span.end <= len(text)
        assert not finding.message.endswith(".")
